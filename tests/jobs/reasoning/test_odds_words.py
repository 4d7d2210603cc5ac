"""Odds are shown no finer than the judgement behind them."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.reasoning.odds_words import in_number, in_words, per_cent, times, times_words


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.99, "over 19 in 20"),
        (0.94, "19 in 20"),
        (0.87, "9 in 10"),
        (0.5, "5 in 10"),
        (0.1, "1 in 10"),
        (0.07, "1 in 15"),
        (0.04, "1 in 25"),
        (0.02, "1 in 50"),
        (0.01, "1 in 100"),
        (0.001, "under 1 in 100"),
    ],
)
def test_odds_are_one_number_in_another(share: float, said: str) -> None:
    assert in_number(share) == said


@given(st.floats(0, 1))
def test_no_share_is_said_with_a_decimal_place(share: float) -> None:
    assert re.fullmatch(r"(over |under )?\d+ in \d+", in_number(share))


@given(st.floats(0, 1), st.floats(0, 1))
def test_more_is_never_said_with_a_shorter_bar(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert 1 <= per_cent(low) <= per_cent(high) <= 100


@given(st.floats(0, 1))
def test_each_share_has_a_word(share: float) -> None:
    assert in_words(share)


@pytest.mark.parametrize(
    ("factor", "sign"),
    [(9.3, "× 9"), (1.4, "× 1.4"), (47.0, "× 45"), (1.0, "× 1"), (0.24, "÷ 4"), (0.7, "÷ 1.4")],
)
def test_a_factor_is_rounded_to_what_it_is_worth(factor: float, sign: str) -> None:
    assert times(factor) == sign


def test_a_factor_is_a_sentence_too() -> None:
    assert times_words(9.2).startswith(
        "About 9 times as likely if this is the cause as if it is not"
    )
