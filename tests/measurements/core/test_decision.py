"""Verdicts: four outcomes, and words that name the limit and its authority."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import VerdictOutcome
from measurements.core.decision import (
    RISK,
    DecisionError,
    chance_in_words,
    decide,
    decide_beyond,
    side_of,
    verdict_words,
)
from measurements.core.procedure import Source

MAKER = Source("maker", "the maker's manual", "2019")
PRACTICE = Source("C", "common practice")


def verdict(outcome: str, source: Source = MAKER, **changes: object) -> VerdictOutcome:
    facts = {
        "address": "a.b.c",
        "label": "x",
        "outcome": outcome,
        "quantity": "voltage",
        "value": 0.2,
        "u": 0.01,
        "p": 0.5,
        "high": 0.2,
        "source": source,
    }
    return VerdictOutcome(**{**facts, **changes})  # type: ignore[arg-type]


def test_no_limit_gives_no_verdict() -> None:
    assert decide(5, 0.1).outcome == "no_limit"


def test_on_the_limit_cannot_tell() -> None:
    for bounds in ({"high": 0.2}, {"low": 0.2}, {"low": 0.2, "high": 9.0}):
        assert decide(0.2, 1e-6, **bounds).outcome == "cannot_tell"


@pytest.mark.parametrize(
    ("bound", "status", "low", "high", "outcome"),
    [
        (100, "above", None, 50, "outside"),
        (100, "above", None, 200, "cannot_tell"),
        (100, "above", 50, None, "within"),
        (100, "above", 200, None, "cannot_tell"),
        (0.1, "below", None, 0.2, "within"),
        (0.1, "below", 0.2, None, "outside"),
        (0.1, "below", 0.05, None, "cannot_tell"),
        (0.1, "below", None, 0.05, "cannot_tell"),
        (math.inf, "above", None, 50, "outside"),
        (5, "above", 1, 9, "cannot_tell"),
        (5, "above", None, None, "no_limit"),
    ],
)
def test_beyond_a_range(
    bound: float, status: str, low: float | None, high: float | None, outcome: str
) -> None:
    assert decide_beyond(bound, status, low, high).outcome == outcome  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "numbers",
    [(math.nan, 0.1, None, 1), (1, -0.1, None, 1), (1, 0.1, 2, 1), (1, math.inf, None, 1)],
)
def test_impossible_numbers_are_refused(numbers: tuple[float, float, float | None, float]) -> None:
    with pytest.raises(DecisionError):
        decide(*numbers)


@pytest.mark.parametrize("risk", [0, 0.5, 1, -0.1])
def test_impossible_risk_is_refused(risk: float) -> None:
    with pytest.raises(DecisionError, match="must lie between"):
        decide(1, 0.1, high=2, risk=risk)


def test_risk_is_told_as_a_chance() -> None:
    assert chance_in_words() == "1 chance in 44"
    assert chance_in_words(0.05) == "1 chance in 20"


def test_words_name_limit_and_source() -> None:
    assert verdict_words(verdict("within")) == (
        "inside the limit of at most 0.20\u00a0V, the maker's manual, 2019"
    )
    assert verdict_words(verdict("outside", low=0.1)).startswith(
        "outside the limit of 0.10\u00a0V to"
    )


def test_common_practice_is_usual_or_unusual() -> None:
    assert verdict_words(verdict("within", PRACTICE)).startswith("usual, at most")
    assert verdict_words(verdict("outside", PRACTICE)).startswith("unusual, at most")


def test_doubt_at_a_safety_limit_is_no_permission() -> None:
    assert "treat it as reached" in verdict_words(verdict("cannot_tell", safety=True))
    assert "treat it as reached" in verdict_words(verdict("cannot_tell", PRACTICE, safety=True))
    assert "treat it as reached" not in verdict_words(verdict("cannot_tell"))


def test_an_instrument_that_cannot_decide_is_named_so() -> None:
    assert "this instrument cannot decide" in verdict_words(verdict("cannot_tell", too_narrow=True))


@given(st.floats(-100, 100), st.floats(-100, 100), st.floats(1e-6, 50), st.floats(-50, 50))
def test_farther_beyond_an_upper_limit_never_reads_better(
    a: float, b: float, u: float, limit: float
) -> None:
    order = {"within": 0, "cannot_tell": 1, "outside": 2}
    near, far = sorted((a, b))
    assert order[decide(near, u, high=limit).outcome] <= order[decide(far, u, high=limit).outcome]


@given(st.floats(-100, 100), st.floats(1e-6, 50), st.floats(-50, 50))
def test_upper_and_lower_limit_mirror_each_other(y: float, u: float, limit: float) -> None:
    assert decide(y, u, high=limit).outcome == decide(-y, u, low=-limit).outcome


@given(st.floats(-10, 10), st.floats(0.01, 5), st.floats(1.0, 4.0))
def test_a_worse_instrument_never_turns_a_verdict_round(y: float, u: float, times: float) -> None:
    fine, coarse = decide(y, u, high=0).outcome, decide(y, u * times, high=0).outcome
    assert coarse in (fine, "cannot_tell")


@given(st.floats(-10, 10), st.floats(0.001, 5), st.floats(RISK, 0.4))
def test_accepting_more_risk_never_adds_doubt(y: float, u: float, risk: float) -> None:
    if decide(y, u, high=0).outcome != "cannot_tell":
        assert decide(y, u, high=0, risk=risk).outcome == decide(y, u, high=0).outcome


@pytest.mark.parametrize(
    ("value", "low", "high", "outcome", "side"),
    [
        (0.3, None, 0.2, "outside", "upper"),
        (0.1, 0.2, None, "outside", "lower"),
        (14.0, 13.8, 14.8, "within", "both"),
        (13.0, 13.8, 14.8, "outside", "lower"),
        (14.79, 13.8, 14.8, "cannot_tell", "upper"),
    ],
)
def test_side_of_the_glyph(
    value: float, low: float | None, high: float | None, outcome: str, side: str
) -> None:
    assert side_of(verdict(outcome, value=value, low=low, high=high)) == side
