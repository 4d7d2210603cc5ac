"""Water vapour over a coolant: saturation pressure, boiling point, and what glycol takes away."""

from __future__ import annotations

import math
from functools import lru_cache

CRITICAL_K = 647.096
CRITICAL_KPA = 22064.0
FREEZING_C = 0.0
CRITICAL_C = CRITICAL_K - 273.15

# Molar masses in g/mol (IUPAC); densities at 20 °C in g/mL.
_WATER_G_PER_MOL, _WATER_G_PER_ML = 18.015, 0.9982
_GLYCOL_G_PER_MOL, _GLYCOL_G_PER_ML = 62.07, 1.1132


class TemperatureOutOfRangeError(ValueError):
    """The formula holds from 0 °C to the critical point, 373.946 °C."""

    def __init__(self, temperature_c: float) -> None:
        super().__init__(
            f"{temperature_c:g} °C is outside 0 to {CRITICAL_C:.3f} °C, where water and its vapour "
            "can stand side by side"
        )


class NoBoilingPointError(ValueError):
    """At this pressure and water activity the coolant boils nowhere between 0 and 373.946 °C."""

    def __init__(self, pressure_kpa: float, water_activity: float) -> None:
        super().__init__(
            f"no boiling point for {pressure_kpa:g} kPa absolute and a water activity of "
            f"{water_activity:g}"
        )


class GlycolShareError(ValueError):
    """Per cent by volume of glycol, from 0 to 100."""

    def __init__(self, percent: float) -> None:
        super().__init__(f"{percent:g} % glycol by volume is not between 0 and 100 %")


# A bracket of unknowns asks for the same two or three temperatures at each of its points.
@lru_cache(maxsize=256)
def saturation_kpa(temperature_c: float) -> float:
    """Pressure of water vapour in balance with water, kPa absolute.

    Source: IAPWS SR1-86(1992), "Saturation properties of ordinary water substance", equation 1
    (Wagner and Pruss). Raises TemperatureOutOfRangeError.
    """
    if not FREEZING_C <= temperature_c <= CRITICAL_C:
        raise TemperatureOutOfRangeError(temperature_c)
    kelvin = temperature_c + 273.15
    # Rounding may leave a tiny negative number at the critical point itself.
    tau = max(0.0, 1.0 - kelvin / CRITICAL_K)
    exponent = (
        -7.85951783 * tau
        + 1.84408259 * tau**1.5
        - 11.7866497 * tau**3
        + 22.6807411 * tau**3.5
        - 15.9618719 * tau**4
        + 1.80122502 * tau**7.5
    )
    return CRITICAL_KPA * math.exp(CRITICAL_K / kelvin * exponent)


def boiling_c(pressure_kpa: float, *, water_activity: float = 1.0) -> float:
    """Temperature in °C at which the vapour over the coolant reaches this absolute pressure.

    Model: water_activity x saturation pressure (Raoult's law; glycol's own vapour left out).
    Raises NoBoilingPointError.
    """
    low, high = FREEZING_C, CRITICAL_C
    if water_activity <= 0 or not (
        saturation_kpa(low) <= pressure_kpa / water_activity <= saturation_kpa(high)
    ):
        raise NoBoilingPointError(pressure_kpa, water_activity)
    wanted = pressure_kpa / water_activity
    # Halving is slow but cannot miss: the saturation pressure rises all the way.
    while high - low > 1e-9:
        middle = (low + high) / 2
        if saturation_kpa(middle) < wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def water_activity(glycol_percent: float) -> float:
    """Share of water among the molecules of an ethylene glycol mixture, 0 to 1.

    glycol_percent: by volume, at 20 °C. By Raoult's law this is also the water activity; measured
    ones for 50 % are up to 0.06 higher, so treat 0.05 as the model's uncertainty.
    Raises GlycolShareError.
    """
    if not 0 <= glycol_percent <= 100:
        raise GlycolShareError(glycol_percent)
    water = (100 - glycol_percent) * _WATER_G_PER_ML / _WATER_G_PER_MOL
    glycol = glycol_percent * _GLYCOL_G_PER_ML / _GLYCOL_G_PER_MOL
    return water / (water + glycol)
