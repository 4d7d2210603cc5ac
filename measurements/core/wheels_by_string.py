"""From gaps to strings, plumb lines and dials to the angles of each wheel, with their doubt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from measurements.core import wheel_geometry as geometry
from measurements.core.readings import Readings, RowReadings
from measurements.core.uncertainty import exact

if TYPE_CHECKING:
    from uncertainties import UFloat

SIDES = ("left", "right")
TURNS = ("stood", "turned")
"""As the car stood, and rolled on until the wheel had made half a turn."""

SWING_MM = 1.0
"""A rim that swings more, unless the wheel was turned and the mean taken (common practice)."""
SWING_TURNED_MM = 3.0
"""So bent that even the two readings half a turn apart may not meet the same points (judgement)."""

TOO_FAR = "the two gaps differ by more than half the span: read them again"
NO_GAPS = "both gaps of each wheel and the rim span are needed"

Numbers = Mapping[str, Any]
"""Address -> reading with its uncertainty."""


@dataclass(frozen=True)
class Wheel:
    """What was found at one corner. Angles in degrees, lengths in mm, None where it is not known.

    toe: corrected for the string where its skew is known; trusted: the string is known to be
    straight along the car, or corrected; level: the floor's tilt is known or nought; swing: of the
    rim, half the difference between two turns or read beside a dial; turned: both turns were read,
    so that the swing is out of the mean; why: there is no angle.
    """

    row: RowReadings
    toe: UFloat | None
    span: UFloat | None
    camber: UFloat | None
    swing: UFloat | None
    turned: bool
    trusted: bool
    level: bool
    why: str

    @property
    def code(self) -> str:
        return self.row.code

    @property
    def label(self) -> str:
        return self.row.label

    @property
    def axle(self) -> str:
        return axle_of(self.code)

    @property
    def side(self) -> str:
        return side_of(self.code)

    @property
    def blurred(self) -> bool:
        """The rim swings too far to tell the wheel's angle."""
        most = SWING_TURNED_MM if self.turned else SWING_MM
        return self.swing is not None and self.swing.nominal_value > most


def axle_of(corner: str) -> str:
    return "front" if corner[0] == "f" else "rear"


def side_of(corner: str) -> str:
    return "left" if corner[1] == "l" else "right"


def numbers_of(readings: Readings) -> Numbers:
    """Every reading with its uncertainty, made once, so that what is used twice stays one thing."""
    every = {reading.address: readings.uncertain(reading.address) for reading in readings}
    return {address: number for address, number in every.items() if number is not None}


def skews_of(numbers: Numbers) -> dict[str, Any]:
    """Skew of the string on each side where hub gaps, tracks and wheelbase are known, degrees."""
    found = {}
    for side in SIDES:
        addresses = [f"corners.{end}{side[0]}.hub" for end in "fr"]
        addresses += [f"given.{key}" for key in ("track_front", "track_rear", "wheelbase")]
        if all(address in numbers for address in addresses):
            found[side] = geometry.skew_deg(*(numbers[address] for address in addresses))
    return found


def wheels_of(readings: Readings, numbers: Numbers, skews: Mapping[str, Any]) -> dict[str, Wheel]:
    """Corner -> what was found there; all four, those without readings too."""
    return {
        row.code: _wheel(row, readings, numbers, skews.get(side_of(row.code)))
        for row in readings.rows("corners")
    }


def _wheel(row: RowReadings, readings: Readings, numbers: Numbers, skew: Any) -> Wheel:
    axle, why = axle_of(row.code), NO_GAPS
    difference, half_swing = _difference(numbers, row.code, "front", "rear")
    lean, half_lean = _difference(numbers, row.code, "bottom", "top")
    dial = _dial(row, numbers)
    span, height = _size(numbers, "span", axle), _size(numbers, "height", axle)
    tilt = numbers.get(row.address("floor"))
    toe = camber = None
    try:
        if difference is not None and span is not None:
            drift = _drift(dial) if half_swing is None else 0.0
            toe = geometry.toe_deg(difference + drift, 0.0, span) - (0.0 if skew is None else skew)
        if lean is not None and height is not None:
            drift = _drift(dial) if half_lean is None else 0.0
            camber = geometry.camber_deg(0.0, lean + drift, height, 0.0 if tilt is None else tilt)
    except geometry.ImpossibleAngleError:
        why = TOO_FAR
    return Wheel(
        row,
        toe,
        span,
        camber,
        swing=dial if half_swing is None else _size_of(half_swing),
        turned=half_swing is not None,
        trusted=skew is not None or "square" not in readings.unticked,
        level=tilt is not None or "level" not in readings.unticked,
        why=why,
    )


def _size_of(number: Any) -> Any:
    return -number if number.nominal_value < 0 else number


def _difference(numbers: Numbers, corner: str, greater: str, less: str) -> tuple[Any, Any]:
    """Difference of two gaps, the mean of both turns where they were read; and half of what the
    turns differ by, None where only one was read."""
    ends = []
    for turn in TURNS:
        pair: list[Any] = [numbers.get(f"wheels.{corner}_{turn}.{key}") for key in (greater, less)]
        if all(gap is not None for gap in pair):
            ends.append(pair[0] - pair[1])
    if len(ends) == len(TURNS):
        return (ends[0] + ends[1]) / 2, (ends[0] - ends[1]) / 2
    return (ends[0] if ends else None), None


def _dial(row: RowReadings, numbers: Numbers) -> Any:
    """The rim's whole swing as a dial showed it; "more than" counts as that much."""

    reading = row.get("swing")
    if reading is not None and reading.status == "above" and reading.bound is not None:
        return exact(reading.bound)
    return numbers.get(row.address("swing"))


def _drift(dial: Any) -> Any:
    """What a known swing may add to a difference of gaps, since the wheel may stand anyhow."""
    from uncertainties import ufloat

    if dial is None or dial.nominal_value == 0:
        return 0.0
    return ufloat(0, geometry.turning_u_mm(dial.nominal_value))


def _size(numbers: Numbers, key: str, axle: str) -> Any:
    own = numbers.get(f"given.{key}_rear") if axle == "rear" else None
    return numbers.get(f"given.{key}") if own is None else own
