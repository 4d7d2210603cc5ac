"""Air pressure at a height above the sea, for a shop without a barometer."""

from __future__ import annotations

LOWEST_M, HIGHEST_M = -500.0, 5000.0


class AltitudeOutOfRangeError(ValueError):
    """No workshop lies there: heights from 500 m below to 5,000 m above the sea are taken."""

    def __init__(self, altitude_m: float) -> None:
        super().__init__(
            f"{altitude_m:g} m is not between {LOWEST_M:g} and {HIGHEST_M:g} m above the sea"
        )


def standard_pressure_kpa(altitude_m: float) -> float:
    """Pressure of the standard atmosphere in kPa absolute (ISO 2533, below 11 km).

    The weather moves the true one by some 1.5 kPa. Raises AltitudeOutOfRangeError.

    >>> round(standard_pressure_kpa(1500), 3)
    84.556
    """
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise AltitudeOutOfRangeError(altitude_m)
    return 101.325 * (1 - 2.25577e-5 * altitude_m) ** 5.25588
