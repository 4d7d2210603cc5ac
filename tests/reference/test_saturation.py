"""Saturation pressure and boiling point against IAPWS-IF97, an independent formulation.

The code uses the short equation of IAPWS SR1-86(1992), the `iapws` library the industrial
formulation of 1997. Both describe the same water; from 1 to 200 °C they lie within 0.018 %.
"""

from __future__ import annotations

import pytest
from iapws.iapws97 import _PSat_T, _TSat_P

from measurements.core.atmosphere import standard_pressure_kpa
from measurements.core.saturation import boiling_c, saturation_kpa, water_activity
from tests.reference.conftest import Against

STEAM_TABLES = "IAPWS-IF97 steam tables, rounded to 1 Pa"
RAOULT = "Raoult's law, water share 0.7555, on IAPWS-IF97; a model, good to about 2 K"
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
def test_saturation_pressure_agrees_with_steam_tables(
    temperature_c: float, kpa: float, against: Against
) -> None:
    """Values of IF97 rounded to 1 Pa; half a pascal of rounding beside the 0.02 %."""
    against(
        f"saturation pressure of water at {temperature_c} °C",
        STEAM_TABLES,
        expected=kpa,
        got=saturation_kpa(temperature_c),
        relative=RELATIVE,
        within=0.0006,
        unit="kPa",
    )


def test_greatest_difference_from_the_industrial_formulation(against: Against) -> None:
    apart = (abs(saturation_kpa(celsius) / of_1997(celsius) - 1) for celsius in range(1, 201))
    against(
        "greatest difference from the 1997 formulation, 1 to 200 °C",
        "IAPWS-IF97, iapws library",
        expected=0.0,
        got=100 * max(apart),
        within=100 * RELATIVE,
        unit="%",
    )


@pytest.mark.parametrize(("kelvin", "megapascal"), [(300, 0.00353658941), (500, 2.63889776)])
def test_the_oracle_reproduces_its_own_release(
    kelvin: float, megapascal: float, against: Against
) -> None:
    """Check values of the saturation equation, nine digits."""
    against(
        f"saturation pressure at {kelvin} K by the library that ours is held against",
        "IAPWS R7-97(2012), table 35",
        expected=megapascal,
        got=_PSat_T(kelvin),
        relative=1e-8,
        unit="MPa",
    )


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
    gauge_kpa: float, ambient_kpa: float, boils_c: float, against: Against
) -> None:
    """0.02 % of pressure is 0.006 K here, and the values are rounded to 0.01 K."""
    found = boiling_c(gauge_kpa + ambient_kpa)
    assert found == pytest.approx(_TSat_P((gauge_kpa + ambient_kpa) / 1000) - 273.15, abs=0.01)
    against(
        f"water boils at {gauge_kpa} kPa gauge, air {ambient_kpa} kPa",
        "IAPWS-IF97, rounded to 0.01 K",
        expected=boils_c,
        got=found,
        within=0.012,
        unit="°C",
    )


@pytest.mark.parametrize(("gauge_kpa", "boils_c"), [(0, 108.02), (103.4, 130.09), (140, 135.68)])
def test_half_glycol_boils_where_ideal_mixing_says(
    gauge_kpa: float, boils_c: float, against: Against
) -> None:
    """Rounded to 0.01 K."""
    against(
        f"half glycol boils at {gauge_kpa} kPa gauge",
        RAOULT,
        expected=boils_c,
        got=boiling_c(gauge_kpa + 101.325, water_activity=0.7555),
        within=0.012,
        unit="°C",
    )


def test_half_glycol_boils_above_the_standard_for_coolant(against: Against) -> None:
    """50 % by volume boils at 107.8 °C or more."""
    found = boiling_c(101.325, water_activity=water_activity(50))
    assert found > 107.8
    against(
        "half glycol boils in the open",
        "ASTM D3306, at least 107.8 °C, from memory",
        expected=107.8,
        got=found,
        within=0.5,
        unit="°C",
    )


@pytest.mark.parametrize(
    ("percent", "share"), [(30, 0.878), (40, 0.822), (50, 0.7555), (60, 0.673)]
)
def test_share_of_water_follows_molar_masses(
    percent: float, share: float, against: Against
) -> None:
    """Rounded to three or four places."""
    against(
        f"share of water in {percent} % glycol by volume",
        "molar masses of IUPAC, densities at 20 °C, worked by hand",
        expected=share,
        got=water_activity(percent),
        within=0.0006,
    )


@pytest.mark.parametrize(
    ("altitude_m", "kpa"),
    [(0, 101.325), (500, 95.461), (1000, 89.875), (1500, 84.556), (2000, 79.495), (3000, 70.109)],
)
def test_air_pressure_agrees_with_the_standard_atmosphere(
    altitude_m: float, kpa: float, against: Against
) -> None:
    against(
        f"air pressure at {altitude_m} m",
        "ISO 2533, tables rounded to 1 Pa",
        expected=kpa,
        got=standard_pressure_kpa(altitude_m),
        within=0.001,
        unit="kPa",
    )
