"""Cautions that several tests share, worded once. The others stand with their test."""

from __future__ import annotations

from measurements.core.context import Context
from measurements.core.procedure import Caution


def _high_voltage(context: Context) -> bool:
    return context.car.high_voltage


BATTERY_LEAD = Caution(
    "Never pull a battery lead on a running engine.",
    "The surge destroys control units, and it tests nothing.",
    "common practice",
)

BELTS_AND_FANS = Caution(
    "Belts, fans, pulleys.",
    "Keep leads, sleeves and hair clear; an electric fan starts by itself.",
    "workplace rules on machine guarding",
    from_memory=True,
)

BRAKE_DUST = Caution(
    "Brake dust may hold asbestos.",
    "Wet it or use a vacuum made for it; never blow or brush it dry.",
    "OSHA 29 CFR 1910.1001 App. F",
    from_memory=True,
)

CAN_LEAP = Caution(
    "The car can leap.",
    "Neutral or park, brake on, wheels chocked, nobody in front or behind: a bridged "
    "clutch or gear switch lets it crank in gear.",
    "common practice",
)

COOLANT_IN_CYLINDER = Caution(
    "Coolant in a cylinder bends rods.",
    "If liquid may have reached a cylinder, do not crank: plugs out first, then turn the "
    "engine by hand with nobody in the way.",
    "common practice",
)

COOLS_HIGH_VOLTAGE = Caution(
    "High voltage: some coolant circuits cool battery and inverter.",
    "Open none of those circuits without the maker's shut-down and the training it asks "
    "for; orange cables stay untouched.",
    "UN R100; local rules for electrical work",
    when=_high_voltage,
    from_memory=True,
)

EXHAUST_GAS = Caution(
    "Exhaust gas.",
    "Run the engine outdoors or with extraction.",
    "occupational limits for carbon monoxide",
)

MOVES_SILENTLY = Caution(
    "It moves off without a sound.",
    "A hybrid or electric car that is ready rolls silently and may start its engine by "
    "itself; warn who stands near.",
    "maker's instructions",
    when=_high_voltage,
)

PARKING_BRAKE = Caution(
    "An electric parking brake can close on fingers.",
    "Service position by the maker's way first; never force its piston back.",
    "maker's instructions",
)

PLUG_WELLS = Caution(
    "Blow out the wells before loosening, eyes covered.",
    "Grit that falls in scores the cylinder; compressed air throws it at your face.",
    "OSHA 29 CFR 1910.242(b)",
    from_memory=True,
)

STANDS_SILENT = Caution(
    "It stands silent and can still move.",
    "Switched off, key out of range, before a hand goes near a wheel.",
    "maker's instructions",
    when=_high_voltage,
)

STARTS_BY_ITSELF = Caution(
    "High voltage: the engine starts and stops by itself.",
    "Maker's service mode to hold it running; orange cables stay untouched.",
    "UN R100; local rules for electrical work",
    when=_high_voltage,
    from_memory=True,
)

SWITCHED_OFF = Caution(
    "A hybrid may start its engine by itself.",
    "Switch it off, key out of range, maker's shut-down before anything is opened.",
    "UN R100; maker's instructions",
    when=_high_voltage,
    from_memory=True,
)

USED_OIL = Caution(
    "Used oil harms skin and water.",
    "Gloves; catch it, store it closed and labelled, hand it in.",
    "40 CFR 279; local rules",
    from_memory=True,
)

WHEEL_NUTS = Caution(
    "Wheel nuts to the maker's torque with a torque wrench.",
    "Note value, tool and who did it; again after 50 to 100 km.",
    "common practice",
)

WHEEL_NUTS_AFTERWARDS = Caution(
    "A wheel that was off: nuts to the maker's torque with a torque wrench.",
    "Note value, tool and who did it; again after 50 to 100 km.",
    "common practice",
)
