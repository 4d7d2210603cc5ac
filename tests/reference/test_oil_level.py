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

CONTEXT = Context(fault_present="yes")


@pytest.mark.parametrize(
    ("between_mm", "between_l", "level_mm", "above_l", "to_upper_l"),
    [
        ("20", "1", "5", "0.25", "0.75"),
        ("18", "0.9", "27", "1.35", "-0.45"),
        ("25", "1.5", "-4", "-0.24", "1.74"),
    ],
)
def test_litres_on_the_stick(
    between_mm: str, between_l: str, level_mm: str, above_l: str, to_upper_l: str
) -> None:
    """Exact: only binary rounding separates code and fraction."""
    span, litres, level = (Fraction(text) for text in (between_mm, between_l, level_mm))
    assert litres * level / span == Fraction(above_l)
    assert litres - litres * level / span == Fraction(to_upper_l)
    floats = (float(level), float(span), float(litres))
    assert litres_above(*floats) == pytest.approx(float(Fraction(above_l)), abs=1e-12)
    assert litres_to_upper(*floats) == pytest.approx(float(Fraction(to_upper_l)), abs=1e-12)


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


def test_uncertainty_of_litres_by_hand() -> None:
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
    assert found.figure("level").u == pytest.approx(u_level, rel=1e-9)
    assert found.figure("above_min").u == pytest.approx(by_hand, rel=1e-6)


def test_use_per_1000_km_by_fractions() -> None:
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
    assert found.figure("use").value == pytest.approx(float(by_hand), abs=1e-9)
