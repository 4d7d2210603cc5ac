"""Which tests usually come first for a kind of complaint: a shop's habit, not a verdict.

Quick and cheap ones that see much stand first; what must be read before something wipes it (stored
codes before the battery is touched) stands before it. The order is judgement, common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

FIRST = ("make_it_happen", "look_over")
"""With any complaint: a minute each, and either may save the rest."""

LIKELY: Mapping[str, tuple[str, ...]] = {
    "lamp_on": ("trouble_codes", "live_values", "oil_pressure", "road_test", "data_log"),
    "wont_crank": (
        "trouble_codes",
        "battery_at_rest",
        "fuses_and_relays",
        "cranking",
        "starter_current",
        "voltage_drop",
        "substitution",
    ),
    "cranks_no_start": (
        "trouble_codes",
        "battery_at_rest",
        "fuses_and_relays",
        "starter_current",
        "fuel_pressure",
        "spark_plugs",
        "compression",
    ),
    "starts_badly": (
        "trouble_codes",
        "battery_at_rest",
        "cranking",
        "starter_current",
        "voltage_drop",
        "fuel_pressure",
        "compression",
    ),
    "battery_flat_standing": ("battery_at_rest", "parasitic_draw", "fuses_and_relays", "charging"),
    "charging_fault": ("battery_at_rest", "charging", "voltage_drop", "trouble_codes", "data_log"),
    "noise_by_speed": ("road_test", "play", "tyres", "brake_drag", "brakes"),
    "vibration": ("road_test", "tyres", "play", "spark_plugs", "brakes"),
    "brakes": ("brake_drag", "brakes", "tyres", "road_test"),
    "steering": ("play", "tyres", "road_test", "alignment"),
    "pulls": ("tyres", "brake_drag", "play", "brakes", "road_test", "alignment"),
    "overheats": (
        "trouble_codes",
        "pressure_hold",
        "pressure_cap",
        "temperature_survey",
        "combustion_gas",
        "coolant_use",
        "oil_level",
    ),
    "loses_coolant": (
        "pressure_hold",
        "pressure_cap",
        "oil_level",
        "combustion_gas",
        "coolant_use",
        "spark_plugs",
    ),
    "uses_oil": ("oil_level", "spark_plugs", "compression", "leak_down"),
    "leaks_fluid": ("oil_level", "pressure_hold", "brakes", "fuel_pressure", "coolant_use"),
    "lacks_power": (
        "trouble_codes",
        "live_values",
        "road_test",
        "intake_vacuum",
        "fuel_pressure",
        "compression",
        "brake_drag",
    ),
    "runs_rough": (
        "trouble_codes",
        "live_values",
        "substitution",
        "starter_current",
        "spark_plugs",
        "intake_vacuum",
        "compression",
        "leak_down",
        "fuel_pressure",
    ),
    "stalls": (
        "trouble_codes",
        "live_values",
        "charging",
        "fuel_pressure",
        "intake_vacuum",
        "data_log",
    ),
    "fuel_use": ("trouble_codes", "live_values", "brake_drag", "tyres", "brakes", "spark_plugs"),
    "gearbox": (
        "trouble_codes",
        "battery_at_rest",
        "road_test",
        "play",
        "live_values",
        "voltage_drop",
        "substitution",
    ),
    "item_dead": (
        "fuses_and_relays",
        "battery_at_rest",
        "voltage_drop",
        "substitution",
        "wire_trace",
        "trouble_codes",
    ),
    "water_inside": ("voltage_drop", "parasitic_draw"),
    "air_conditioning": (
        "trouble_codes",
        "fuses_and_relays",
        "substitution",
        "temperature_survey",
        "voltage_drop",
    ),
    "smell_or_smoke": ("oil_level", "brake_drag", "pressure_hold", "charging", "spark_plugs"),
}
"""Family of a complaint -> names of procedures, the first to do first."""


def likely_for(families: Iterable[str]) -> tuple[str, ...]:
    """The usual first tests for all complaints of a ticket, each once: FIRST, then in turn, so that
    no complaint waits for another's last test."""
    lists = [LIKELY.get(family, ()) for family in dict.fromkeys(families)]
    longest = max((len(names) for names in lists), default=0)
    turns = (names[n] for n in range(longest) for names in lists if n < len(names))
    return tuple(dict.fromkeys((*FIRST, *turns))) if longest else ()
