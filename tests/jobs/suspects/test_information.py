"""What a test is expected to tell: worked examples, the definition, and what must hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import entropy as scipy_entropy

from jobs.suspects.information import after, expected_bits
from jobs.suspects.tables import entropy
from tests.jobs.suspects.made import tables, yes_no

CAUSES = {"cable": 0.25, "ground": 0.15, "commanded_low": 0.35, "alternator": 0.2, "belt": 0.05}
LOW = {"ground": 0.05, "commanded_low": 0.05, "alternator": 0.05, "belt": 0.05}


def bits(shares, chances) -> float:
    made = yes_no(dict.fromkeys(shares, 1), test=chances)
    return expected_bits(made.evidence["test"], shares)


@pytest.mark.parametrize(
    ("shares", "chances", "want"),
    [
        (CAUSES, {"cable": 0.95, **LOW}, 0.5622),
        (
            CAUSES,
            {"cable": 0.1, "ground": 0.1, "commanded_low": 0.9, "alternator": 0.1, "belt": 0.2},
            0.4799,
        ),
        ({"a": 0.5, "b": 0.5}, {"a": 1 - 1e-15, "b": 1e-15}, 1.0),
        ({"a": 0.5, "b": 0.5}, {"a": 0.5, "b": 0.5}, 0.0),
    ],
)
def test_the_worked_examples(shares, chances, want) -> None:
    """Trade reference 7, table of expected information, rows 01 to 04."""
    assert bits(shares, chances) == pytest.approx(want, abs=5e-5)


def test_uncertainty_of_the_causes() -> None:
    """Trade reference 7: 2.1211 bits."""
    assert entropy(CAUSES) == pytest.approx(2.1211, abs=5e-5)


def test_bits_a_minute_rank_as_published() -> None:
    """Trade reference 7, per-minute ranking."""
    others = dict.fromkeys(CAUSES, 0.02)
    per_minute = {
        "feed": bits(CAUSES, {"cable": 0.95, **LOW}) / 5,
        "load": bits(
            CAUSES,
            {"cable": 0.1, "ground": 0.1, "commanded_low": 0.9, "alternator": 0.1, "belt": 0.2},
        )
        / 8,
        "bench": bits(CAUSES, others | {"alternator": 0.97}) / 90,
    }
    assert per_minute == pytest.approx(
        {"feed": 0.11243, "load": 0.05998, "bench": 0.00655}, abs=5e-6
    )


@st.composite
def questions(draw: st.DrawFn):
    """A test of a random table, and random shares."""
    made = draw(tables())
    key = draw(st.sampled_from(sorted(made.evidence)))
    weights = {one.code: draw(st.integers(1, 50)) for one in made.suspects}
    shares = {code: weight / sum(weights.values()) for code, weight in weights.items()}
    return made.evidence[key], shares, draw(st.sampled_from([1.0, 0.5, 0.1]))


@given(questions())
def test_it_is_the_fall_of_uncertainty_on_average(question) -> None:
    """H(before) - sum of P(outcome) H(after), by the entropy of scipy."""
    evidence, shares, weight = question
    fall = scipy_entropy(list(shares.values()), base=2)
    for outcome in evidence.otherwise:
        row = {
            code: weight * evidence.row(code)[outcome] + (1 - weight) * evidence.otherwise[outcome]
            for code in shares
        }
        p = sum(share * row[code] for code, share in shares.items())
        left = after(evidence, shares, outcome, weight)
        fall -= p * scipy_entropy(list(left.values()), base=2)
    assert expected_bits(evidence, shares, weight) == pytest.approx(float(fall), abs=1e-9)


@given(questions())
def test_it_lies_between_nought_and_both_uncertainties(question) -> None:
    evidence, shares, weight = question
    told = expected_bits(evidence, shares, weight)
    outcomes = np.zeros(len(evidence.otherwise))
    for code, share in shares.items():
        outcomes += share * np.array([evidence.row(code)[o] for o in evidence.otherwise])
    most = min(entropy(shares), float(scipy_entropy(outcomes, base=2)) if weight == 1 else 99)
    assert 0 <= told <= most + 1e-9


@given(questions())
def test_a_weakened_test_tells_no_more_than_the_whole_one(question) -> None:
    evidence, shares, weight = question
    assert expected_bits(evidence, shares, weight) <= expected_bits(evidence, shares) + 1e-9


def test_a_test_that_touches_no_suspect_tells_nothing() -> None:
    made = yes_no({"a": 1, "b": 1}, test={})
    assert expected_bits(made.evidence["test"], {"a": 0.7, "b": 0.3}) == 0
