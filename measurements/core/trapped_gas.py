"""Pressure of the gas trapped above a coolant: what temperature does to it, and what a leak does.

Air follows Gay-Lussac's law, water vapour stands at its saturation pressure, and shrinking coolant
leaves more room. What cannot be seen from outside is a bracket, spread over fixed points.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.saturation import saturation_kpa

if TYPE_CHECKING:
    from uncertainties import UFloat


class NotInBalanceError(ValueError):
    """Pressure and temperature do not belong together: more vapour than there is pressure."""

    def __init__(self, gauge_kpa: float, temperature_c: float, vapour_kpa: float) -> None:
        self.gauge_kpa, self.temperature_c, self.vapour_kpa = gauge_kpa, temperature_c, vapour_kpa
        super().__init__(
            f"at {temperature_c:g} °C the coolant's vapour alone would stand at {vapour_kpa:.1f} "
            f"kPa absolute, more than a gauge reading of {gauge_kpa:g} kPa allows; read both again"
        )


class NoGasLeftError(ValueError):
    """Warming coolant would fill the whole gas space; no pressure can be predicted then."""

    def __init__(self, warming_k: float) -> None:
        self.warming_k = warming_k
        super().__init__(
            f"warming by {warming_k:g} K, the coolant would take most of the gas space; repeat it "
            "with the temperature steady, or with more room above the coolant"
        )


def vapour_kpa(temperature_c: float, activity: float) -> float:
    """Water vapour over the coolant, kPa absolute; below 0 °C (under 0.7 kPa) as at 0 °C."""
    if not activity:
        return 0.0
    return activity * saturation_kpa(temperature_c if temperature_c > 0 else 0.0)


def air_part_kpa(
    gauge_kpa: float,
    temperature_c: float,
    *,
    ambient_kpa: float = units.STANDARD_ATMOSPHERE_KPA,
    activity: float = 0.0,
) -> float:
    """Pressure of the dry air above the coolant, kPa absolute. Raises NotInBalanceError below 0."""
    vapour = vapour_kpa(temperature_c, activity)
    air = gauge_kpa + ambient_kpa - vapour
    if air < 0:
        raise NotInBalanceError(gauge_kpa, temperature_c, vapour)
    return air


def gas_volume_ratio(cooling_k: float, contraction_per_k: float) -> float:
    """Gas volume at the start over that at the end: below 1 when shrinking coolant makes room.

    contraction_per_k: coolant volume x expansion / gas volume at the start. Raises NoGasLeftError
    when warming coolant would leave less than a third of the gas space.
    """
    growth = 1 + contraction_per_k * cooling_k
    if growth < 1 / 3:
        raise NoGasLeftError(-cooling_k)
    return 1 / growth


def no_leak_kpa(
    gauge_kpa: float,
    start_c: float,
    end_c: float,
    *,
    ambient_kpa: float = units.STANDARD_ATMOSPHERE_KPA,
    activity: float = 0.0,
    contraction_per_k: float = 0.0,
) -> float:
    """Gauge pressure at `end_c` of a closed system that stood at `gauge_kpa` at `start_c`.

    Gay-Lussac's law for the air, saturated vapour of the given water activity, and a gas space that
    changes with the coolant's volume. Raises NotInBalanceError, NoGasLeftError.
    """
    air = air_part_kpa(gauge_kpa, start_c, ambient_kpa=ambient_kpa, activity=activity)
    kelvins = (end_c + units.ZERO_CELSIUS_K) / (start_c + units.ZERO_CELSIUS_K)
    air *= kelvins * gas_volume_ratio(start_c - end_c, contraction_per_k)
    return air + vapour_kpa(end_c, activity) - ambient_kpa


def coolant_loss_ml(gas_l: Any, expected_kpa: Any, measured_kpa: Any, ambient_kpa: Any) -> Any:
    """Millilitres of coolant that the trapped gas pushed out: gas x (expected / measured - 1).

    Pressures are gauge; expected is the one without a leak. Numbers with or without uncertainty.
    """
    return 1000 * gas_l * ((expected_kpa + ambient_kpa) / (measured_kpa + ambient_kpa) - 1)


def air_loss_ml_min(
    gas_l: Any, excess_kpa: Any, seconds: Any, start_c: Any = 20.0, end_c: Any = 20.0
) -> Any:
    """Millilitres a minute of air at 101.325 kPa and the start's temperature, if air escapes.

    Ideal gas law with the fall beyond cooling. Numbers with or without uncertainty.
    """
    at_start = excess_kpa * (start_c + units.ZERO_CELSIUS_K) / (end_c + units.ZERO_CELSIUS_K)
    return 1000 * gas_l * at_start / units.STANDARD_ATMOSPHERE_KPA / (seconds / 60)


@dataclass(frozen=True)
class Unknowns:
    """What nobody can see from outside, as brackets from nought.

    driest: lowest water activity that this coolant may have (only to refuse what cannot be);
    moistest: highest; contraction_per_k: coolant that shrinks freely; lowest_shown_kpa: where the
    gauge stops.
    """

    driest: float
    moistest: float
    contraction_per_k: float
    lowest_shown_kpa: float = 0.0


# Gauss and Legendre's three points and weights on 0 to 1: exact for a polynomial of fifth degree,
# and the pressure is nearly straight in both brackets. The same points every time.
_POINTS = tuple(
    (0.5 + 0.5 * node, weight / 2)
    for node, weight in ((-math.sqrt(0.6), 5 / 9), (0.0, 8 / 9), (math.sqrt(0.6), 5 / 9))
)
_STEP = 0.1
"""Of the difference quotients, kPa and K: small against any uncertainty, large against rounding."""


def expected_kpa(
    gauge_kpa: UFloat, start_c: UFloat, end_c: UFloat, ambient_kpa: UFloat, unknowns: Unknowns
) -> UFloat:
    """Gauge pressure that a tight system would show at the end, with its standard uncertainty.

    Each bracket is even between its ends and taken at fixed points; at each of them the measured
    values count to first order (JCGM 100, 5.1), so that what start and end share cancels in a
    difference. Raises NotInBalanceError, NoGasLeftError.
    """
    from uncertainties import ufloat

    given = (gauge_kpa, start_c, end_c, ambient_kpa)
    nominal = [number.nominal_value for number in given]
    gauge, start, end, ambient = nominal
    air_part_kpa(gauge, start, ambient_kpa=ambient, activity=unknowns.driest)
    # With the coolant wholly free: the most that can happen to the gas space.
    gas_volume_ratio(start - end, unknowns.contraction_per_k)
    moistest = min(unknowns.moistest, (gauge + ambient) / vapour_kpa(start, 1.0))
    nodes = [
        (
            moist_weight * free_weight,
            *_shown_with_slopes(
                nominal,
                moist * moistest,
                free * unknowns.contraction_per_k,
                unknowns.lowest_shown_kpa,
            ),
        )
        for moist, moist_weight in _POINTS
        for free, free_weight in _POINTS
    ]
    mean = sum(weight * shown for weight, shown, _ in nodes)
    slopes = [sum(weight * each[i] for weight, _, each in nodes) for i in range(len(given))]
    # Across the brackets both the pressure differs and what an error of reading does to it.
    shared = _covariances(given)
    variance = 0.0
    for weight, shown, each in nodes:
        apart = [slope - middle for slope, middle in zip(each, slopes, strict=True)]
        variance += weight * (shown - mean) ** 2
        variance += weight * sum(
            [
                a * b * both
                for a, row in zip(apart, shared, strict=True)
                for b, both in zip(apart, row, strict=True)
            ]
        )
    at_nought = mean - math.fsum(
        slope * value for slope, value in zip(slopes, nominal, strict=True)
    )
    total: Any = ufloat(at_nought, math.sqrt(variance)) if variance > 0 else at_nought
    for slope, number in zip(slopes, given, strict=True):
        total = total + slope * number
    return total


def _covariances(numbers: Sequence[UFloat]) -> list[list[float]]:
    """What each two numbers share; summed exactly, so that no order of sources changes a digit."""
    from_source = [
        {source: (slope, source.std_dev**2) for source, slope in number.derivatives.items()}
        for number in numbers
    ]
    return [
        [
            math.fsum(
                [
                    slope * other[source][0] * square
                    for source, (slope, square) in one.items()
                    if source in other
                ]
            )
            for other in from_source
        ]
        for one in from_source
    ]


def _shown_with_slopes(
    given: Sequence[float], activity: float, contraction_per_k: float, lowest_kpa: float
) -> tuple[float, list[float]]:
    """What the gauge would show, and how it follows each of the four values."""

    def shown(gauge: float, start: float, end: float, ambient: float) -> float:
        pressure = no_leak_kpa(
            gauge,
            start,
            end,
            ambient_kpa=ambient,
            activity=activity,
            contraction_per_k=contraction_per_k,
        )
        return pressure if pressure > lowest_kpa else lowest_kpa

    gauge, start, end, ambient = given
    between = (
        (shown(gauge + _STEP, start, end, ambient), shown(gauge - _STEP, start, end, ambient)),
        (shown(gauge, start + _STEP, end, ambient), shown(gauge, start - _STEP, end, ambient)),
        (shown(gauge, start, end + _STEP, ambient), shown(gauge, start, end - _STEP, ambient)),
        (shown(gauge, start, end, ambient + _STEP), shown(gauge, start, end, ambient - _STEP)),
    )
    slopes = [(above - below) / (2 * _STEP) for above, below in between]
    return shown(gauge, start, end, ambient), slopes
