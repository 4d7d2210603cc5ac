"""Instruments: what they measure and how well. One typical default for each kind.

The defaults' accuracies are typical of workshop instruments (common practice, no particular maker);
an instrument that the shop enters takes their place.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

KINDS: Mapping[str, tuple[str, str]] = {
    "multimeter": ("multimeter, volts", "voltage"),
    "multimeter_ac": ("multimeter, alternating volts", "voltage"),
    "multimeter_mv": ("multimeter, millivolts", "voltage"),
    "clamp_ammeter": ("clamp meter, amperes", "current"),
    "fine_ammeter": ("ammeter for small currents, in series or a fine clamp", "current"),
    "ohmmeter": ("multimeter, ohms", "resistance"),
    "battery_tester": ("battery tester, volts", "voltage"),
    "pressure_tester": ("cooling-system pressure tester", "gauge_pressure"),
    "compression_gauge": ("cylinder compression gauge", "gauge_pressure"),
    "leak_down_tester": ("cylinder leak-down tester", "gauge_pressure"),
    "fuel_gauge": ("fuel pressure gauge, low side", "gauge_pressure"),
    "oil_gauge": ("oil pressure gauge, mechanical", "gauge_pressure"),
    "vacuum_gauge": ("vacuum gauge", "vacuum"),
    "tyre_gauge": ("tyre pressure gauge", "gauge_pressure"),
    "barometer": ("barometer", "absolute_pressure"),
    "thermometer": ("contact or infrared thermometer", "temperature"),
    "fluid_tester": ("brake fluid tester, boiling point", "temperature"),
    "hydrometer": ("hydrometer", "density"),
    "tread_gauge": ("tread depth gauge", "length"),
    "calliper": ("vernier calliper", "length"),
    "micrometer": ("micrometer", "length"),
    "dial_gauge": ("dial gauge on a stand", "length"),
    "level_gauge": ("angle gauge or spirit level", "angle"),
    "odometer": ("the car's own odometer", "distance"),
    "measuring_jug": ("measuring jug", "volume"),
    "dipstick_by_eye": ("dipstick, read by eye", "length"),
    "feeler_gauge": ("feeler gauge", "length"),
    "tape": ("tape or rule, read by eye", "length"),
    "spring_balance": ("spring balance", "force"),
    "torque_wrench": ("torque wrench with a dial or beam", "torque"),
    "rev_counter": ("rev counter", "rotation"),
    "clock": ("clock or watch", "time"),
}
"""Kind -> label and the quantity that it measures."""


@dataclass(frozen=True)
class Span:
    """A measuring range: full scale and last digit, both in the stored unit of the quantity."""

    full_scale: float
    digit: float


@dataclass(frozen=True)
class Instrument:
    """An instrument. accuracy: as its data sheet prints it, e.g. "±(0.5 % + 3 counts)".

    ranges: from small to large, the smallest that holds the value is taken to be the one it was
    on; empty: unknown, then the last typed digit counts. typical: a default, not the shop's own.
    """

    kind: str
    name: str
    accuracy: str
    ranges: tuple[Span, ...] = ()
    typical: bool = False
    serial: str = ""
    calibration_due: str = ""

    @property
    def quantity(self) -> str:
        """Key of the quantity that instruments of this kind measure."""
        return KINDS[self.kind][1]

    def range_for(self, value: float) -> tuple[int, Span | None]:
        """Number and range for a value in the stored unit; beyond all, the largest."""
        for number, span in enumerate(self.ranges):
            if abs(value) <= span.full_scale:
                return number, span
        return (len(self.ranges) - 1, self.ranges[-1]) if self.ranges else (0, None)

    @property
    def words(self) -> str:
        """Name and accuracy for a report; says when the accuracy is only typical."""
        known = self.accuracy or "accuracy not known"
        return f"{self.name}, {known}{' (typical of its kind)' if self.typical else ''}"


def _typical(kind: str, accuracy: str, *ranges: tuple[float, float]) -> Instrument:
    return Instrument(
        kind, KINDS[kind][0], accuracy, tuple(Span(full, digit) for full, digit in ranges), True
    )


_DEFAULTS = {
    instrument.kind: instrument
    for instrument in (
        _typical("multimeter", "±(0.5 % + 3 counts)", (6, 0.001), (60, 0.01), (600, 0.1)),
        _typical("multimeter_ac", "±(1.0 % + 5 counts)", (6, 0.001), (60, 0.01), (600, 0.1)),
        _typical("multimeter_mv", "±(0.5 % + 3 counts)", (0.06, 0.00001), (0.6, 0.0001)),
        _typical("fine_ammeter", "±(1.0 % + 3 counts)", (6, 0.001), (10, 0.01)),
        _typical("clamp_ammeter", "±(2 % + 5 counts)", (60, 0.01), (600, 0.1), (2000, 1)),
        _typical("ohmmeter", "±(0.9 % + 3 counts)", (600, 0.1), (6e3, 1), (6e4, 10), (6e5, 100)),
        _typical("battery_tester", "±(0.5 % + 2 counts)", (30, 0.01)),
        _typical("pressure_tester", "±1.6 % of range", (250, 2)),
        _typical("compression_gauge", "±2.5 % of range", (2500, 20), (7000, 50)),
        _typical("leak_down_tester", "±2.5 % of range", (700, 5)),
        _typical("fuel_gauge", "±2.5 % of range", (1000, 5)),
        _typical("oil_gauge", "±2.5 % of range", (1000, 10)),
        _typical("vacuum_gauge", "±2.5 % of range", (101, 1)),
        _typical("tyre_gauge", "±7 kPa", (700, 2)),
        _typical("barometer", "±0.3 kPa", (120, 0.1)),
        _typical("thermometer", "±(1 % + 1 °C)", (500, 0.1)),
        _typical("fluid_tester", "±5 °C", (320, 1)),
        _typical("hydrometer", "±0.005 g/cm³", (1.4, 0.005)),
        _typical("tread_gauge", "±0.1 mm", (30, 0.1)),
        _typical("calliper", "±0.05 mm", (200, 0.05)),
        _typical("micrometer", "±0.01 mm", (50, 0.01)),
        _typical("dial_gauge", "±0.01 mm", (10, 0.01)),
        _typical("level_gauge", "±0.1 °", (90, 0.1)),
        _typical("odometer", "±2 %", (2_000_000, 1)),
        _typical("measuring_jug", "±5 %", (5, 0.05)),
        _typical("dipstick_by_eye", "±1 mm", (200, 1)),
        _typical("feeler_gauge", "±0.02 mm", (5, 0.05)),
        _typical("tape", "±0.5 mm", (10_000, 1)),
        _typical("spring_balance", "±2 % of range", (250, 5)),
        _typical("torque_wrench", "±(4 % + 1 counts)", (100, 1)),
        _typical("rev_counter", "±(1 % + 1 counts)", (10_000, 10)),
        _typical("clock", "±1 s", (86_400, 1)),
    )
}


def default_instrument(kind: str) -> Instrument | None:
    """The typical instrument of a kind, or None for a kind that we do not know."""
    return _DEFAULTS.get(kind)
