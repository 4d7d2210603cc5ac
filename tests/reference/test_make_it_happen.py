"""Tries without the fault, and tries with it, against published tables and by other routes.

Sources: rule of three as quoted in JAMA 274 (1995) 1013 and BMJ 311 (1995) 619 (abstracts seen);
zero-failure sample sizes of reliability texts (seen); worked exact intervals (seen); Fisher's lady
tasting tea, The Design of Experiments 1935, and three against three of World Class Quality 1991, as
quoted in course notes (seen). Oracles: scipy's binomial, beta and hypergeometric distributions and
its Fisher's exact test.
"""

from __future__ import annotations

import math

import pytest
from scipy.stats import beta, binom, fisher_exact, hypergeom, norm

from measurements.core.assessment import Assessment
from measurements.core.recurrence import (
    luck_of_none,
    luck_of_staying_away,
    more_needed,
    rate_at_least,
    rate_at_most,
    rate_with_doubt,
    tries_needed,
)
from measurements.core.run_file import run_data
from measurements.procedures.make_it_happen import PROCEDURE
from tests.reference.conftest import Against

JAMA = "JAMA 274 (1995) 1013, rule of three after Hanley and Lippman-Hand 1983, abstract seen"
BMJ = "BMJ 311 (1995) 619, rule of three, text seen"
SUCCESS_RUN = "zero-failure sample size, n = ln(1 - C) / ln R; public worked examples, seen"
WORKED = "published worked exact intervals (Clopper and Pearson), seen"
TEA = "R. A. Fisher, The Design of Experiments, 1935, lady tasting tea (from memory)"
EPINEPHRINE = "published worked Agresti-Caffo interval, trial of Perondi et al. 2004, seen"
RISKS = (
    "published worked Agresti-Caffo interval of a risk difference, 45 and 15 of 150, 1.96² / 4 in "
    "place of one, seen"
)
SIX = "K. R. Bhote, World Class Quality, 1991, three against three, as quoted in course notes, seen"


def judged(typed: dict[str, str]) -> Assessment:
    ready = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
    return run_data(PROCEDURE, {"typed": {**ready, **typed}}).assessment


def stayed_away(often: str, clean: int) -> dict[str, str]:
    return {
        "given.came": "no",
        "given.driver": "technician",
        "given.one_in": often,
        "tries.as_told.tried": str(clean),
    }


@pytest.mark.parametrize(
    ("reliability", "confidence", "published"),
    [
        (0.90, 0.95, 29),
        (0.95, 0.95, 59),
        (0.99, 0.95, 299),
        (0.90, 0.90, 22),
        (0.95, 0.99, 90),
        (0.99, 0.90, 230),
    ],
)
def test_tries_without_it_that_are_needed(
    reliability: float, confidence: float, published: int, against: Against
) -> None:
    one_in = round(1 / (1 - reliability))
    against(
        f"tries in a row without it, once in {one_in}, {100 * confidence:g} % certainty",
        SUCCESS_RUN,
        expected=published,
        got=tries_needed(one_in, 1 - confidence),
    )


@pytest.mark.parametrize("one_in", [2, 4, 10, 37, 1000])
def test_needed_tries_are_the_first_with_luck_below_five_per_cent(
    one_in: int, against: Against
) -> None:
    """By scipy's binomial: chance of none in k tries."""
    first = next(k for k in range(1, 5000) if binom.pmf(0, k, 1 / one_in) <= 0.05)
    found = judged(stayed_away(str(one_in), 1)).figure("needed")
    assert found is not None
    against(
        f"tries in a row without it, told once in {one_in}",
        "scipy.stats.binom, first k with none at 5 % or less",
        expected=first,
        got=int(found.value or 0),
    )


def test_what_is_left_of_the_needed_tries(against: Against) -> None:
    """Geometric series by hand: 0.75^11 = 0.0422 and 0.75^10 = 0.0563."""
    found = judged(stayed_away("4", 3)).figure("left")
    assert found is not None and 0.75**11 <= 0.05 < 0.75**10
    against(
        "tries still to be made after 3, told once in four",
        "powers of 0.75 by hand",
        expected=8,
        got=int(found.value or 0),
    )


@pytest.mark.parametrize("clean", [1, 3, 29])
@pytest.mark.parametrize("one_in", [2, 4, 10])
def test_luck_of_staying_away(one_in: int, clean: int, against: Against) -> None:
    against(
        f"chance that once in {one_in} stays away {clean} times",
        "scipy.stats.binom, none in that many",
        expected=float(binom.pmf(0, clean, 1 / one_in)),
        got=luck_of_staying_away(one_in, clean),
        relative=1e-9,
    )


@pytest.mark.parametrize(("tried", "published"), [(50, 0.06), (1000, 0.003)])
def test_none_in_many_against_the_rule_of_three(
    tried: int, published: float, against: Against
) -> None:
    """The rule is an approximation, printed to one digit."""
    against(
        f"highest share with none in {tried}",
        JAMA,
        expected=published,
        got=rate_at_most(0, tried),
        relative=0.035,
    )


def test_none_in_8192_against_the_rule_of_three(against: Against) -> None:
    against(
        "highest share with none in 8192 operations",
        BMJ,
        expected=3 / 8192,
        got=rate_at_most(0, 8192),
        relative=0.01,
    )


@pytest.mark.parametrize(
    ("came", "tried", "risk", "low", "high"),
    [
        (12, 30, 0.05, 0.2495, 0.5661),
        (3, 20, 0.025, 0.0321, 0.3789),
        (42, 100, 0.025, 0.3220, 0.5229),
        (85, 120, 0.005, 0.5904, 0.8092),
    ],
)
def test_both_ends_of_worked_intervals(
    came: int, tried: int, risk: float, low: float, high: float, against: Against
) -> None:
    for end, published, got in (
        ("lowest", low, rate_at_least(came, tried, risk)),
        ("highest", high, rate_at_most(came, tried, risk)),
    ):
        against(
            f"{end} share with {came} of {tried}, {100 * risk:g} % beyond",
            WORKED,
            expected=published,
            got=got,
            within=0.00006,
        )


@pytest.mark.parametrize(("came", "tried"), [(0, 3), (1, 8), (2, 5), (5, 5), (199, 200)])
def test_bounds_by_the_beta_distribution(came: int, tried: int, against: Against) -> None:
    """Another route: quantiles of beta instead of sums of the binomial."""
    high = 1.0 if came == tried else float(beta.ppf(0.95, came + 1, tried - came))
    low = 0.0 if came == 0 else float(beta.ppf(0.05, came, tried - came + 1))
    source = "scipy.stats.beta, 5 % and 95 %"
    against(
        f"highest share with {came} of {tried}",
        source,
        expected=high,
        got=rate_at_most(came, tried),
        within=1e-9,
    )
    against(
        f"lowest share with {came} of {tried}",
        source,
        expected=low,
        got=rate_at_least(came, tried),
        within=1e-9,
    )


@pytest.mark.parametrize(("came", "tried"), [(0, 11), (1, 1), (5, 6), (199, 200)])
def test_the_rate_that_two_runs_are_compared_by(came: int, tried: int, against: Against) -> None:
    """By scipy's beta: mean of the distribution that an even start and the tries leave."""
    against(
        f"rate for comparing, {came} of {tried}",
        "scipy.stats.beta, mean",
        expected=float(beta.mean(came + 1, tried - came + 1)),
        got=rate_with_doubt(came, tried)[0],
        relative=1e-12,
    )


@pytest.mark.parametrize(
    ("one", "other", "low", "high", "within", "source"),
    [
        ((7, 34), (1, 34), 0.0116, 0.3217, 0.00005, EPINEPHRINE),
        ((45, 150), (15, 150), 0.110, 0.285, 0.0005, RISKS),
    ],
)
def test_published_intervals_of_the_difference_of_two_rates(
    one: tuple[int, int],
    other: tuple[int, int],
    low: float,
    high: float,
    within: float,
    source: str,
    against: Against,
) -> None:
    (rate, u), (rate_of_other, u_of_other) = rate_with_doubt(*one), rate_with_doubt(*other)
    reach = float(norm.ppf(0.975)) * math.hypot(u, u_of_other)
    for end, published, got in (
        ("lowest", low, rate - rate_of_other - reach),
        ("highest", high, rate - rate_of_other + reach),
    ):
        against(
            f"{end} difference of {one[0]} of {one[1]} and {other[0]} of {other[1]}, 95 %",
            source,
            expected=published,
            got=got,
            within=within,
        )


def test_the_published_cases_of_all_against_none(against: Against) -> None:
    against(
        "luck of four with it against four without",
        TEA,
        expected=1 / 70,
        got=luck_of_none(4, 4, 4),
        relative=1e-12,
    )
    against(
        "luck of three with it against three without",
        SIX,
        expected=1 / 20,
        got=luck_of_none(3, 3, 3),
        relative=1e-12,
    )
    against(
        "tries without it that part three with it, beside two",
        SIX,
        expected=1,
        got=more_needed(3, 3, 2, 50),
    )


@pytest.mark.parametrize(("came", "tried", "clean"), [(2, 5, 4), (7, 9, 3), (1, 20, 15), (3, 3, 5)])
def test_luck_of_a_condition_without_it(
    came: int, tried: int, clean: int, against: Against
) -> None:
    """By Fisher's exact test of the two-by-two table, and by drawing none of the clean tries."""
    table = [[came, tried - came], [0, clean]]
    label = f"luck of none in {clean} beside {came} of {tried}"
    against(
        label,
        "scipy.stats.fisher_exact, one side",
        expected=float(fisher_exact(table, alternative="greater")[1]),
        got=luck_of_none(came, tried, clean),
        relative=1e-9,
    )
    against(
        label,
        "scipy.stats.hypergeom, none drawn",
        expected=float(hypergeom.pmf(0, tried + clean, came, clean)),
        got=luck_of_none(came, tried, clean),
        relative=1e-9,
    )


def test_sums_of_tries_and_of_times_it_came(against: Against) -> None:
    typed = {"given.came": "as_told", "given.driver": "technician"}
    for row, tried, came in (("as_told", 5, 2), ("cold", 3, 1), ("hot", 4, 0)):
        typed |= {f"tries.{row}.tried": str(tried), f"tries.{row}.came": str(came)}
    found = judged(typed)
    for key, expected in (("tried", 5 + 3 + 4), ("came", 2 + 1 + 0)):
        one = found.figure(key)
        assert one is not None
        against(f"{key}, summed", "addition by hand", expected=expected, got=int(one.value or 0))
