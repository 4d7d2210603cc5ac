"""Trims, lambda and sensors at rest against published scales and tables, and other routes.

Scales of a byte: SAE J1979 / ISO 15031-5, seen in reprinted tables, not in the standard itself.
Air by fuel of blends: a maker of injectors, application manual, 2005, table 2-1, seen. Standard
atmosphere: ISO 2533 and U.S. Standard Atmosphere 1976, tables, from memory. Windows of trims are
common practice and no reference.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pint
import pytest

from measurements.core.assessment import Assessment, Figure
from measurements.core.run_file import run_data
from measurements.procedures.live_values import PROCEDURE, celsius_of_byte, trim_of_byte
from tests.reference.conftest import Against

SCALES = "SAE J1979 / ISO 15031-5, table of values, seen in reprints"
BLENDS = "a maker of injectors, application manual 2005, table 2-1, seen"
FRACTIONS = "exact fractions by hand"
DECIMALS = "decimal arithmetic by another route: fuel first, then the share"
DRAWS = "400,000 random draws with numpy, after JCGM 101:2008, from memory"
GUM = "JCGM 100:2008, F.2.2.1 and 5.1.2, by hand"
ATMOSPHERE = "ISO 2533 / U.S. Standard Atmosphere 1976, tables, from memory"
PINT = "pint with its own registry"

LOOPS = {"engine.idle.loop": "closed", "engine.held.loop": "closed"}


def run(typed: dict[str, Any]) -> Assessment:
    return run_data(PROCEDURE, {"context": {}, "typed": {**LOOPS, **typed}}).assessment


def trims(short: str, long: str, point: str = "idle") -> dict[str, str]:
    return {f"trims.{point}_b1.stft": short, f"trims.{point}_b1.ltft": long}


def figure(found: Assessment, key: str) -> Figure:
    one = found.figure(key)
    assert one is not None and one.value is not None, key
    return one


@pytest.mark.parametrize(
    ("byte", "percent"), [(0, -100.0), (64, -50.0), (128, 0.0), (192, 50.0), (255, 99.22)]
)
def test_scale_of_a_trim(byte: int, percent: float, against: Against) -> None:
    against(
        f"trim that byte {byte} stands for",
        SCALES,
        expected=percent,
        got=trim_of_byte(byte),
        within=0.005,
        unit="%",
    )


def test_one_count_of_a_trim(against: Against) -> None:
    """Reprints give the factor as 0.7812, cut after the fourth figure."""
    against(
        "one count of a trim",
        SCALES,
        expected=0.7812,
        got=trim_of_byte(129),
        within=0.0001,
        unit="%",
    )


@pytest.mark.parametrize(("byte", "celsius"), [(0, -40.0), (40, 0.0), (255, 215.0)])
def test_scale_of_a_temperature(byte: int, celsius: float, against: Against) -> None:
    against(
        f"temperature that byte {byte} stands for",
        SCALES,
        expected=celsius,
        got=celsius_of_byte(byte),
        within=1e-9,
        unit="°C",
    )


@pytest.mark.parametrize(
    ("short", "long"), [("6", "13"), ("-8", "-12"), ("10", "10"), ("-14.1", "15.6"), ("0", "25")]
)
def test_both_trims_together(short: str, long: str, against: Against) -> None:
    got = figure(run(trims(short, long)), "total_idle_b1").value
    exact = (1 + Fraction(short) / 100) * (1 + Fraction(long) / 100) - 1
    against(
        f"short {short} % and long {long} % together",
        FRACTIONS,
        expected=float(exact * 100),
        got=got,
        within=1e-9,
        unit="%",
    )
    planned = Decimal("12.5")  # milligrams for one stroke, any number
    learned = planned + planned * Decimal(long) / 100
    given = learned + learned * Decimal(short) / 100
    against(
        f"the same of 12.5 mg planned, short {short} %, long {long} %",
        DECIMALS,
        expected=float((given / planned - 1) * 100),
        got=got,
        within=1e-9,
        unit="%",
    )


def test_the_sum_differs_by_the_product_only(against: Against) -> None:
    against(
        "short 10 % and long 10 % together, less their sum",
        FRACTIONS,
        expected=float(Fraction(10, 100) ** 2 * 100),
        got=(figure(run(trims("10", "10")), "total_idle_b1").value or 0.0) - 20,
        within=1e-9,
        unit="%",
    )


def test_idle_less_speed(against: Against) -> None:
    found = run(trims("6", "13") | trims("-1", "3", "held"))
    exact = Fraction(106 * 113 - 99 * 103, 10_000)
    against(
        "idle 6 and 13 % less 2500 rpm −1 and 3 %",
        FRACTIONS,
        expected=float(exact * 100),
        got=figure(found, "change_b1").value,
        within=1e-9,
        unit="%",
    )
    against(
        "the same, long trims alone, 20 less 20 %",
        FRACTIONS,
        expected=0.0,
        got=figure(run(trims("0", "20") | trims("0", "20", "held")), "change_b1").value,
        within=1e-9,
        unit="%",
    )


def test_doubt_of_both_trims_together_by_hand(against: Against) -> None:
    """Nought and nought: counts of 100/128 % and whole per cents typed for each, and 1 % for the
    middle of the swing of the short one."""
    counts = (Decimal(100) / 128) ** 2 / 12 + Decimal(1) / 12
    against(
        "standard uncertainty of two trims of nought together",
        GUM,
        expected=float((2 * counts + 1).sqrt()),
        got=figure(run(trims("0", "0")), "total_idle_b1").u,
        relative=1e-6,
        unit="%",
    )


def test_doubt_of_both_trims_together_by_draws(against: Against) -> None:
    draw = np.random.default_rng(20250331).normal
    size = 400_000
    read = np.hypot(100 / 128, 1) / np.sqrt(12)
    short = draw(8, np.hypot(1, read), size)
    long = draw(15, read, size)
    against(
        "standard uncertainty of 8 and 15 % together",
        DRAWS,
        expected=float(np.std(((1 + short / 100) * (1 + long / 100) - 1) * 100)),
        got=figure(run(trims("8", "15")), "total_idle_b1").u,
        relative=0.01,
        unit="%",
    )


def test_lambda_of_a_blend_that_nobody_corrected(against: Against) -> None:
    """A tenth of ethanol wants 13.9 parts of air, petrol 14.5: planned for petrol, the mixture
    stands at 14.5 / 13.9, which a trim of just that share puts right."""
    share = (14.5 / 13.9 - 1) * 100
    found = run(trims("0", f"{share:.6f}"))
    against(
        "lambda of a tenth of ethanol, planned for petrol",
        BLENDS,
        expected=14.5 / 13.9,
        got=figure(found, "uncorrected_idle_b1").value,
        within=1e-6,
    )
    against("ethanol, a tenth: some 4 % more", BLENDS, expected=4, got=round(share), unit="%")


@pytest.mark.parametrize("seen", ["0.97", "1", "1.03"])
def test_lambda_in_closed_form(seen: str, against: Against) -> None:
    """Air 14.7 g, fuel given g grams: lambda = 14.7 / (14.7 g); planned fuel is g / 1.288."""
    fuel = 1 / Fraction(seen)
    planned = fuel / (Fraction(112, 100) * Fraction(115, 100))
    found = run(trims("12", "15") | {"trims.idle_b1.lambda": seen})
    against(
        f"lambda before correction, {seen} read with 12 and 15 %",
        "lambda = air / air needed (definition), exact fractions",
        expected=float(1 / planned),
        got=figure(found, "uncorrected_idle_b1").value,
        within=1e-9,
    )


@pytest.mark.parametrize(
    ("metres", "kpa"),
    [("0", 101.325), ("500", 95.461), ("1000", 89.875), ("2000", 79.495), ("3000", 70.109)],
)
def test_intake_pressure_at_rest_is_that_of_the_standard_atmosphere(
    metres: str, kpa: float, against: Against
) -> None:
    found = run({"given.keyon_pressure": "90", "given.altitude": metres})
    against(
        f"90 kPa shown with the engine off at {metres} m, less the air",
        ATMOSPHERE,
        expected=90 - kpa,
        got=figure(found, "pressure_less_air").value,
        within=0.003,
        unit="kPa",
    )


def test_intake_pressure_at_rest_in_inches_of_mercury(against: Against) -> None:
    inch = float(pint.get_application_registry().Quantity(1, "inch_Hg").to("kPa").magnitude)
    found = run({"given.keyon_pressure": ["29.1", "inHg"], "given.ambient": ["29.9", "inHg"]})
    against(
        "29.1 inHg shown with the engine off, barometer 29.9",
        PINT,
        expected=-0.8 * inch,
        got=figure(found, "pressure_less_air").value,
        within=1e-4,
        unit="kPa",
    )


@pytest.mark.parametrize(
    ("key", "one", "other"),
    [
        ("coolant_less_intake", "soak_coolant", "soak_intake"),
        ("coolant_less_outside", "soak_coolant", "soak_outside"),
        ("intake_less_outside", "soak_intake", "soak_outside"),
    ],
)
def test_differences_after_a_night(key: str, one: str, other: str, against: Against) -> None:
    """Fahrenheit against Celsius, so that an offset would show."""
    registry: Any = pint.get_application_registry()
    found = run({f"given.{one}": ["68", "°F"], f"given.{other}": ["59", "°F"]})
    warm, cool = (registry.Quantity(n, "degF").to("degC").magnitude for n in (68, 59))
    words = key.replace("_", " ")
    against(
        f"{words}, 68 and 59 °F",
        PINT,
        expected=float(warm - cool),
        got=figure(found, key).value,
        within=1e-6,
        unit="K",
    )
    against(
        f"{words}, 68 and 59 °F, by hand",
        "nine degrees Fahrenheit are five kelvin (NIST SP 811)",
        expected=5.0,
        got=figure(found, key).value,
        within=1e-6,
        unit="K",
    )
