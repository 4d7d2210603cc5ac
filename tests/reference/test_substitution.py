"""Two counts against each other, by published output, by exact fractions and by scipy.

The conditional test: J. Przyborowski and H. Wilenski, Biometrika 31 (1940) 313 (from memory).
"""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from scipy.stats import binom, binomtest

from measurements.core.run_file import run_data
from measurements.procedures.substitution import (
    PROCEDURE,
    at_most,
    luck_of_difference,
    luck_of_fall,
    luck_of_holding,
    share_expected,
)
from tests.reference.conftest import Against

PRINTED = "two-sample Poisson test as printed by R's poisson.test in a public answer of 2021, seen"
CONDITIONAL = "Przyborowski and Wilenski 1940, from memory, in exact fractions"
SCIPY = "scipy.stats.binomtest"


def test_two_against_thirteen_as_printed(against: Against) -> None:
    against(
        "luck of 2 against 13 over the same time",
        PRINTED,
        expected=0.007385,
        got=luck_of_difference(2, 13),
        within=5e-7,
    )


@pytest.mark.parametrize(
    ("one", "other", "fraction"),
    [
        (3, 5, Fraction(2 * (1 + 8 + 28 + 56), 2**8)),
        (0, 6, Fraction(2, 2**6)),
        (1, 9, Fraction(2 * 11, 2**10)),
    ],
)
def test_small_counts_by_counting_ways(
    one: int, other: int, fraction: Fraction, against: Against
) -> None:
    against(
        f"luck of {one} against {other}",
        CONDITIONAL,
        expected=float(fraction),
        got=luck_of_difference(one, other),
        relative=1e-9,
    )


@pytest.mark.parametrize(("one", "other"), [(3, 5), (46, 1), (210, 260), (9000, 9400)])
def test_two_sided_by_scipy(one: int, other: int, against: Against) -> None:
    against(
        f"luck of {one} against {other}, two-sided",
        SCIPY,
        expected=float(binomtest(one, one + other, 0.5).pvalue),
        got=luck_of_difference(one, other),
        relative=1e-7,
    )


@pytest.mark.parametrize(
    ("before", "after", "times"), [(20, 12, 6.0), (40, 3, 1.0), (7, 0, 0.5), (300, 170, 1.5)]
)
def test_a_fall_below_half_by_scipy(
    before: int, after: int, times: float, against: Against
) -> None:
    """Half of the rate left, over `times` of the time: of all counted it makes ½t / (1 + ½t)."""
    share = 0.5 * times / (1 + 0.5 * times)
    for words, side, got in (
        ("so few", "less", luck_of_fall(before, after, times)),
        ("so many", "greater", luck_of_holding(before, after, times)),
    ):
        expected = binomtest(after, before + after, share, alternative=side).pvalue
        against(
            f"luck of {words} after, {before} before and {after} in {times:g} times the time",
            SCIPY,
            expected=float(expected),
            got=got,
            relative=1e-7,
        )


def test_large_counts_lose_no_figures(against: Against) -> None:
    against(
        "at most 9,000 of 18,400, share a half",
        "scipy.stats.binom",
        expected=float(binom.cdf(9000, 18400, 0.5)),
        got=at_most(9000, 18400, 0.5),
        relative=1e-7,
    )


def test_two_counts_by_drawing_them(against: Against) -> None:
    """Poisson counts of one rate, kept where they sum to 20: how often 4 or fewer fall on one."""
    draw = np.random.default_rng(11)
    first, second = (draw.poisson(10.0, 2_000_000) for _ in range(2))
    kept = first[first + second == 20]
    against(
        "share of draws with at most 4 of 20, one rate at both places",
        "numpy, drawn Poisson counts",
        expected=float((kept <= 4).mean()),
        got=at_most(4, 20, 0.5),
        within=0.001,
    )


def test_share_of_the_later_count(against: Against) -> None:
    """Rates 1 and ½, times 2 and 3: 2 before against 1½ after."""
    against(
        "share of the later count, half the rate, one and a half times the time",
        "exact fractions by hand",
        expected=float(Fraction(3, 2) / (2 + Fraction(3, 2))),
        got=share_expected(1.5),
        relative=1e-12,
    )


def test_rate_and_its_doubt(against: Against) -> None:
    """46 in two minutes of a watch good to ±1 s, typed to the minute."""
    typed = {
        "given.kind": "swap",
        "given.time_before": "2.00 min",
        "counts.first.before": "46",
        "counts.first.after": "40",
    }
    figure = run_data(PROCEDURE, {"typed": typed}).assessment.figure("rate_first_before")
    assert figure is not None and figure.value is not None
    against(
        "46 counted in two minutes",
        "arithmetic by hand",
        expected=23.0,
        got=60 * figure.value,
        relative=1e-9,
        unit="in a minute",
    )
    against(
        "its standard uncertainty, from the count alone",
        "variance of a Poisson count; JCGM 100:2008, 5.1.2, by hand",
        expected=math.sqrt(46) / 2,
        got=60 * figure.u,
        relative=0.01,
        unit="in a minute",
    )
