"""Weights moved by counted tickets."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.suspects.counted import IMAGINED, LEAST, MOST, with_counts

weights = st.dictionaries(
    st.sampled_from([f"s{n}" for n in range(16)]), st.integers(LEAST, MOST), min_size=2
)


@st.composite
def counted(draw: st.DrawFn, one_only: bool = False):
    """Weights, and cases of some of their suspects."""
    before = draw(weights)
    codes = st.sampled_from(sorted(before))
    cases = st.dictionaries(codes, st.integers(1, 400), min_size=1, max_size=1 if one_only else 16)
    return before, draw(cases)


def shares(numbers: dict[str, int]) -> dict[str, float]:
    total = sum(numbers.values())
    return {code: number / total for code, number in numbers.items()}


def test_shares_are_those_of_the_textbook() -> None:
    """Dirichlet prior, Bayes' rule for shares: (prior + cases) / (all prior + all cases)."""
    before = {"battery": 30, "cable": 50, "unlisted": 20}
    after = shares(with_counts(before, {"battery": 4, "cable": 1}))
    whole = IMAGINED + 5
    assert after["battery"] == pytest.approx((0.30 * IMAGINED + 4) / whole)
    assert after["cable"] == pytest.approx((0.50 * IMAGINED + 1) / whole)
    assert after["unlisted"] == pytest.approx(0.20 * IMAGINED / whole)


@given(counted())
def test_shares_are_those_of_the_textbook_but_for_rounding(case) -> None:
    before, cases = case
    whole = IMAGINED + sum(cases.values())
    numbers = with_counts(before, cases)
    rounding = len(before) / sum(numbers.values())
    for code, share in shares(numbers).items():
        exact = (shares(before)[code] * IMAGINED + cases.get(code, 0)) / whole
        assert share == pytest.approx(exact, abs=rounding)


@given(weights)
def test_without_a_case_nothing_changes(before) -> None:
    assert with_counts(before, {}) == before


@given(counted(one_only=True))
def test_a_case_never_lowers_the_share_of_what_it_was(case) -> None:
    before, cases = case
    (code,) = cases
    assert shares(with_counts(before, cases))[code] >= shares(before)[code]


@given(counted())
def test_weights_stay_whole_numbers_of_the_tables_scale(case) -> None:
    after = with_counts(*case)
    assert after.keys() == case[0].keys()
    assert all(type(number) is int and LEAST <= number <= MOST for number in after.values())


@given(counted())
def test_what_was_not_counted_never_grows(case) -> None:
    before, cases = case
    after = with_counts(before, cases)
    assert all(after[code] <= before[code] for code in before.keys() - cases.keys())
