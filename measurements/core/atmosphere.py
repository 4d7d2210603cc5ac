"""Air pressure around the car: from a barometer, else from the height above the sea."""

from __future__ import annotations

from typing import TYPE_CHECKING

from measurements.core.context import Ambient, Context
from measurements.core.procedure import Quantity
from measurements.core.readings import Readings

if TYPE_CHECKING:
    from uncertainties import UFloat

LOWEST_M, HIGHEST_M = -500.0, 5000.0

BAROMETER = Quantity(
    key="ambient",
    label="Air pressure from a barometer",
    quantity="absolute_pressure",
    possible=(50.0, 110.0),
    likely=(75.0, 106.0),
    instrument="barometer",
    help="The pressure on the spot, not reduced to sea level.",
)
ALTITUDE = Quantity(
    key="altitude",
    label="Height above the sea",
    quantity="length",
    unit="m",
    possible=(LOWEST_M * 1000, HIGHEST_M * 1000),
    likely=(-50e3, 3000e3),
    origin="told",
    help="Instead of a barometer.",
)
AIR_FIELDS = (BAROMETER, ALTITUDE)
"""What a test may ask of the air, and `ambient_of` reads."""


class AltitudeOutOfRangeError(ValueError):
    """No workshop lies there: heights from 500 m below to 5,000 m above the sea are taken."""

    def __init__(self, altitude_m: float) -> None:
        super().__init__(
            f"{altitude_m:g} m is not between {LOWEST_M:g} and {HIGHEST_M:g} m above the sea"
        )


def _temperature_ratio(altitude_m: float) -> float:
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise AltitudeOutOfRangeError(altitude_m)
    return 1 - 2.25577e-5 * altitude_m


def standard_pressure_kpa(altitude_m: float) -> float:
    """Pressure of the standard atmosphere in kPa absolute (ISO 2533, below 11 km).

    The weather moves the true one by some 1.5 kPa. Raises AltitudeOutOfRangeError.

    >>> round(standard_pressure_kpa(1500), 3)
    84.556
    """
    return 101.325 * _temperature_ratio(altitude_m) ** 5.25588


def standard_density_ratio(altitude_m: float) -> float:
    """Density of the standard atmosphere over that at sea level (ISO 2533, below 11 km).

    >>> round(standard_density_ratio(1500), 4)
    0.8637
    """
    return _temperature_ratio(altitude_m) ** (5.25588 - 1)


def air_is_known(readings: Readings, context: Context) -> bool:
    """Whether anybody said what the air pressure is, or how high the shop lies."""
    said = [readings.given(entry.key) for entry in AIR_FIELDS]
    return said != [None, None] or context.ambient != Ambient()


def ambient_of(readings: Readings, context: Context) -> UFloat:
    """Air pressure, kPa absolute: the barometer's, else that of the height, else the context's."""
    from uncertainties import ufloat

    read = readings.uncertain(f"given.{BAROMETER.key}")
    if read is not None:
        return read
    altitude_mm = readings.given(ALTITUDE.key)
    if altitude_mm is not None:
        kpa = standard_pressure_kpa(altitude_mm / 1000)
        return ufloat(kpa, context.ambient.u_pressure_kpa)
    return ufloat(context.ambient.pressure_kpa, context.ambient.u_pressure_kpa)
