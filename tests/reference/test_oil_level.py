"""Litres from a dipstick by exact fractions, and their uncertainty by hand after JCGM 100.

The rule is common practice: litres between the marks x millimetres / millimetres between the marks.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from measurements.core.context import Context
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.oil_level import PROCEDURE, litres_above, litres_to_upper
from tests.reference.conftest import Against

CONTEXT = Context(fault_present="yes")
FRACTIONS = "exact fractions; litres by proportion, common practice"


@pytest.mark.parametrize(
    ("between_mm", "between_l", "level_mm", "above_l", "to_upper_l"),
    [
        ("20", "1", "5", "0.25", "0.75"),
        ("18", "0.9", "27", "1.35", "-0.45"),
        ("25", "1.5", "-4", "-0.24", "1.74"),
    ],
)
def test_litres_on_the_stick(
    between_mm: str,
    between_l: str,
    level_mm: str,
    above_l: str,
    to_upper_l: str,
    against: Against,
) -> None:
    """Exact: only binary rounding separates code and fraction."""
    span, litres, level = (Fraction(text) for text in (between_mm, between_l, level_mm))
    assert litres * level / span == Fraction(above_l)
    assert litres - litres * level / span == Fraction(to_upper_l)
    floats = (float(level), float(span), float(litres))
    stick = f"{level_mm.replace('-', '−')} mm on a stick of {between_mm} mm, {between_l} L"
    for what, expected, got in (
        ("above the lower mark", above_l, litres_above(*floats)),
        ("to the upper mark", to_upper_l, litres_to_upper(*floats)),
    ):
        against(
            f"{what}, {stick}",
            FRACTIONS,
            expected=float(Fraction(expected)),
            got=got,
            within=1e-12,
            unit="L",
        )


@pytest.mark.parametrize(
    ("between_mm", "between_l", "level_mm", "above_l", "to_upper_l"),
    [
        ("20", "1", "5", 0.25, 0.75),
        ("18", "0.9", "27", 1.35, -0.45),
        ("25", "1.5", "-4", -0.24, 1.74),
    ],
)
def test_the_whole_procedure(
    between_mm: str, between_l: str, level_mm: str, above_l: float, to_upper_l: float
) -> None:
    typed = {
        "given.span": between_mm,
        "given.span_l": between_l,
        "stick.first.level": level_mm,
        "given.look": "clear",
    }
    found = assess(PROCEDURE, validate(PROCEDURE, typed, CONTEXT).readings, CONTEXT)
    assert found.figure("above_min").value == pytest.approx(above_l, abs=1e-9)
    assert found.figure("to_max").value == pytest.approx(to_upper_l, abs=1e-9)


def test_uncertainty_of_litres_by_hand(against: Against) -> None:
    """20 mm by rule (±0.5 mm, read to 1 mm), 1 L as printed (±0.05 L), 5 mm on the stick.

    The stick: ±1 mm by eye, read to 1 mm, and 1 mm of handling. Sum of squares of the partial
    derivatives of litres x level / span, JCGM 100 5.1.2; no terms are shared.
    """
    u_level = math.sqrt(1 / 3 + 1 / 12 + 1)
    u_span = math.sqrt(0.5**2 / 3 + 1 / 12)
    u_litres = 0.05 / math.sqrt(3)
    by_hand = math.sqrt(
        (1 / 20 * u_level) ** 2 + (5 / 20 * u_litres) ** 2 + (1 * 5 / 20**2 * u_span) ** 2
    )
    typed = {
        "given.span": "20",
        "given.span_l": "1",
        "stick.first.level": "5",
        "given.look": "clear",
    }
    found = assess(PROCEDURE, validate(PROCEDURE, typed, CONTEXT).readings, CONTEXT)
    to_upper = math.sqrt(
        (1 / 20 * u_level) ** 2 + (15 / 20 * u_litres) ** 2 + (1 * 5 / 20**2 * u_span) ** 2
    )
    for what, key, expected, unit in (
        ("5 mm read off a stick by eye", "level", u_level, "mm"),
        ("litres above the lower mark", "above_min", by_hand, "L"),
        ("litres to the upper mark", "to_max", to_upper, "L"),
    ):
        against(
            f"standard uncertainty of {what}",
            "JCGM 100:2008, 5.1.2, by hand",
            expected=expected,
            got=found.figure(key).u,
            relative=1e-6,
            unit=unit,
        )


def test_level_is_the_mean_of_two_dips(against: Against) -> None:
    typed = {
        "given.span": "20",
        "stick.first.level": "5",
        "stick.second.level": "6",
        "given.look": "clear",
    }
    found = assess(PROCEDURE, validate(PROCEDURE, typed, CONTEXT).readings, CONTEXT)
    against(
        "level from two dips of 5 and 6 mm",
        "arithmetic mean, JCGM 100:2008, 4.2.1",
        expected=5.5,
        got=found.figure("level").value,
        within=1e-9,
        unit="mm",
    )


def test_use_per_1000_km_by_fractions(against: Against) -> None:
    """Filled to the upper mark, 3 mm left of 25 at 1.5 L, 0.75 L added, 1600 km."""
    short = Fraction("1.5") * (25 - 3) / 25
    by_hand = (short + Fraction("0.75")) / Fraction("1.6")
    typed = {
        "given.span": "25",
        "given.span_l": "1.5",
        "stick.first.level": "3",
        "given.look": "clear",
        "given.km_since": "1600",
        "given.added_l": "0.75",
        "given.level_then": "upper",
    }
    found = assess(PROCEDURE, validate(PROCEDURE, typed, CONTEXT).readings, CONTEXT)
    against(
        "oil used per 1000 km, 22 mm of 25 (1.5 L) and 0.75 L in 1600 km",
        "exact fractions",
        expected=float(by_hand),
        got=found.figure("use").value,
        within=1e-9,
        unit="L",
    )


def test_uncertainty_of_the_use_by_sampling(against: Against) -> None:
    """As above, distance and filling measured here: 1 % of the distance, 3 % of what was poured,
    1.5 mm at the start; 25 and 3 mm by eye, 1.5 L as printed. 400,000 draws."""
    numpy = pytest.importorskip("numpy")
    typed = {
        "given.span": "25",
        "given.span_l": "1.5",
        "stick.first.level": "3",
        "given.look": "clear",
        "given.km_since": "1600",
        "given.added_l": "0.75",
        "given.level_then": "upper",
        "given.known_from": "measured",
    }
    found = assess(PROCEDURE, validate(PROCEDURE, typed, CONTEXT).readings, CONTEXT)
    draw, n = numpy.random.default_rng(19), 400_000
    span = 25 + draw.uniform(-0.5, 0.5, n) + draw.uniform(-0.5, 0.5, n)
    level = 3 + draw.uniform(-1, 1, n) + draw.uniform(-0.5, 0.5, n) + draw.normal(0, 1, n)
    litres = 1.5 + draw.uniform(-0.05, 0.05, n)
    then, poured = span + draw.normal(0, 1.5, n), 0.75 * draw.normal(1, 0.03, n)
    used = (litres * (then - level) / span + poured) / (1.6 * draw.normal(1, 0.01, n))
    against(
        "standard uncertainty of the oil used per 1000 km",
        "400,000 random draws",
        expected=float(used.std()),
        got=found.figure("use").u,
        relative=0.02,
        unit="L",
    )
