"""Saturation pressure and boiling point against IAPWS-IF97, an independent formulation.

The code uses the short equation of IAPWS SR1-86(1992), the `iapws` library the industrial
formulation of 1997. Both describe the same water; from 1 to 200 °C they lie within 0.018 %.
"""

from __future__ import annotations

import pytest
from iapws.iapws97 import _PSat_T, _TSat_P

from measurements.core.atmosphere import standard_pressure_kpa
from measurements.core.saturation import boiling_c, saturation_kpa, water_activity

RELATIVE = 2e-4


def of_1997(temperature_c: float) -> float:
    """IAPWS-IF97 region 4, kPa."""
    return 1000 * _PSat_T(temperature_c + 273.15)


@pytest.mark.parametrize("temperature_c", range(1, 201))
def test_saturation_pressure_agrees_with_the_industrial_formulation(temperature_c: int) -> None:
    assert saturation_kpa(temperature_c) == pytest.approx(of_1997(temperature_c), rel=RELATIVE)


@pytest.mark.parametrize(
    ("temperature_c", "kpa"),
    [
        (0, 0.611),
        (20, 2.339),
        (85, 57.867),
        (95, 84.609),
        (100, 101.418),
        (108, 134.007),
        (125, 232.224),
        (130, 270.260),
    ],
)
def test_saturation_pressure_agrees_with_steam_tables(temperature_c: float, kpa: float) -> None:
    """Values of IF97 rounded to 1 Pa; half a pascal of rounding beside the 0.02 %."""
    assert saturation_kpa(temperature_c) == pytest.approx(kpa, rel=RELATIVE, abs=0.0006)


@pytest.mark.parametrize(("kelvin", "megapascal"), [(300, 0.00353658941), (500, 2.63889776)])
def test_the_oracle_reproduces_its_own_release(kelvin: float, megapascal: float) -> None:
    """IAPWS R7-97(2012), table 35: check values of the saturation equation, nine digits."""
    assert _PSat_T(kelvin) == pytest.approx(megapascal, rel=1e-8)


@pytest.mark.parametrize(
    ("gauge_kpa", "ambient_kpa", "boils_c"),
    [
        (0, 101.325, 99.97),
        (90, 101.325, 118.82),
        (103.4, 101.325, 120.95),
        (110, 84.56, 119.34),
        (140, 101.325, 126.25),
    ],
)
def test_water_boils_where_the_formulation_says(
    gauge_kpa: float, ambient_kpa: float, boils_c: float
) -> None:
    """0.02 % of pressure is 0.006 K here, and the values are rounded to 0.01 K."""
    found = boiling_c(gauge_kpa + ambient_kpa)
    assert found == pytest.approx(_TSat_P((gauge_kpa + ambient_kpa) / 1000) - 273.15, abs=0.01)
    assert found == pytest.approx(boils_c, abs=0.012)


@pytest.mark.parametrize(("gauge_kpa", "boils_c"), [(0, 108.02), (103.4, 130.09), (140, 135.68)])
def test_half_glycol_boils_where_ideal_mixing_says(gauge_kpa: float, boils_c: float) -> None:
    """Raoult's law with a water share of 0.7555 on IF97; rounded to 0.01 K."""
    assert boiling_c(gauge_kpa + 101.325, water_activity=0.7555) == pytest.approx(
        boils_c, abs=0.012
    )


def test_half_glycol_boils_above_the_standard_for_coolant() -> None:
    """ASTM D3306: 50 % by volume boils at 107.8 °C or more (figure from memory of the standard)."""
    assert boiling_c(101.325, water_activity=water_activity(50)) > 107.8


@pytest.mark.parametrize(
    ("percent", "share"), [(30, 0.878), (40, 0.822), (50, 0.7555), (60, 0.673)]
)
def test_share_of_water_follows_molar_masses(percent: float, share: float) -> None:
    """Molar masses of IUPAC, densities at 20 °C; rounded to three or four places."""
    assert water_activity(percent) == pytest.approx(share, abs=0.0006)


@pytest.mark.parametrize(
    ("altitude_m", "kpa"),
    [(0, 101.325), (500, 95.461), (1000, 89.875), (1500, 84.556), (2000, 79.495), (3000, 70.109)],
)
def test_air_pressure_agrees_with_the_standard_atmosphere(altitude_m: float, kpa: float) -> None:
    """ISO 2533 tables, rounded to 1 Pa."""
    assert standard_pressure_kpa(altitude_m) == pytest.approx(kpa, abs=0.001)
