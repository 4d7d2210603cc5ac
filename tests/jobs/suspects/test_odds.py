"""Odds of suspects: against published worked examples, a brute enumeration, and what must hold."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.suspects.odds import IN_A_GROUP, Piece, likelihoods, moved, update
from tests.jobs.suspects.made import table, tables, yes_no

CAUSES = {"cable": 25, "ground": 15, "commanded_low": 35, "alternator": 20, "belt": 5}


@st.composite
def cases(draw: st.DrawFn, weights: bool = True):
    """A table and some outcomes on it, in an order."""
    made = draw(tables())
    keys = draw(st.permutations(sorted(made.evidence)))
    pieces = [
        Piece(
            key,
            draw(st.sampled_from(sorted(made.evidence[key].otherwise))),
            draw(st.sampled_from([1.0, 0.5, 0.1, 0.0])) if weights else 1.0,
            draw(st.sampled_from(["", "", "one"])) if weights else "",
        )
        for key in keys
    ]
    return made, pieces


def test_the_first_worked_example() -> None:
    """Trade reference 7.bayes-01, Bayes' theorem by hand."""
    chances = {
        "cable": 0.05,
        "ground": 0.05,
        "commanded_low": 0.9,
        "alternator": 0.1,
        "belt": 0.3,
    }
    found = update(yes_no(CAUSES, test=chances), [Piece("test", "positive")]).shares
    want = {
        "cable": 0.0338,
        "ground": 0.0203,
        "commanded_low": 0.8514,
        "alternator": 0.0541,
        "belt": 0.0405,
    }
    assert found == pytest.approx(want, abs=5e-5)


def test_the_second_worked_example() -> None:
    """Trade reference 7.bayes-02."""
    made = yes_no(
        {"head_gasket": 20, "cap": 40, "hose": 40},
        test={"head_gasket": 0.85, "cap": 0.05, "hose": 0.03},
    )
    found = update(made, [Piece("test", "positive")]).shares
    assert found == pytest.approx({"head_gasket": 0.8416, "cap": 0.099, "hose": 0.0594}, abs=5e-5)


def test_two_results_in_turn() -> None:
    """Trade reference 7.chain-01."""
    made = yes_no(
        CAUSES,
        first={
            "cable": 0.05,
            "ground": 0.95,
            "commanded_low": 0.95,
            "alternator": 0.95,
            "belt": 0.95,
        },
        second={
            "cable": 0.1,
            "ground": 0.1,
            "commanded_low": 0.9,
            "alternator": 0.1,
            "belt": 0.2,
        },
    )
    found = update(made, [Piece("first", "positive"), Piece("second", "positive")]).shares
    want = {
        "cable": 0.0036,
        "ground": 0.0415,
        "commanded_low": 0.8718,
        "alternator": 0.0554,
        "belt": 0.0277,
    }
    assert found == pytest.approx(want, abs=5e-5)


@pytest.mark.parametrize(
    ("prior", "sensitivity", "specificity", "result", "after"),
    [
        (30, 90, 95, "positive", 0.8852),
        (30, 90, 95, "negative", 0.0432),
        (5, 80, 90, "positive", 0.2963),
    ],
)
def test_sensitivity_and_specificity(prior, sensitivity, specificity, result, after) -> None:
    """Trade reference 7.lr_update; the likelihood ratios of diagnostic tests."""
    made = yes_no(
        {"fault": prior, "none": 100 - prior},
        test={"fault": sensitivity / 100, "none": 1 - specificity / 100},
    )
    assert update(made, [Piece("test", result)]).shares["fault"] == pytest.approx(after, abs=5e-5)


@given(cases(weights=False))
def test_it_equals_a_brute_enumeration_in_exact_fractions(case) -> None:
    made, pieces = case
    joint = {}
    for suspect in made.suspects:
        p = Fraction(suspect.start)
        for piece in pieces:
            p *= Fraction(made.evidence[piece.key].row(suspect.code)[piece.outcome])
        joint[suspect.code] = p
    total = sum(joint.values())
    want = {code: float(p / total) for code, p in joint.items()}
    assert update(made, pieces).shares == pytest.approx(want, rel=1e-9, abs=1e-12)


@given(cases(), st.randoms())
def test_the_order_of_evidence_does_not_matter(case, random) -> None:
    made, pieces = case
    shuffled = list(pieces)
    random.shuffle(shuffled)
    assert update(made, shuffled).shares == pytest.approx(update(made, pieces).shares, abs=1e-9)


@given(cases())
def test_shares_are_a_distribution_and_none_is_ever_lost(case) -> None:
    made, pieces = case
    shares = update(made, pieces).shares
    assert math.isclose(sum(shares.values()), 1)
    assert all(share > 0 for share in shares.values())


@given(cases(weights=False))
def test_without_weight_nothing_moves(case) -> None:
    made, pieces = case
    silent = [Piece(piece.key, piece.outcome, 0.0) for piece in pieces]
    assert update(made, silent).shares == pytest.approx(made.starts, abs=1e-12)


def test_what_the_table_does_not_know_says_nothing() -> None:
    made = yes_no(CAUSES, test={"cable": 0.9})
    pieces = [Piece("test", "undecided"), Piece("another", "positive"), Piece("test", "renamed")]
    found = update(made, pieces)
    assert found.shares == pytest.approx(made.starts)
    assert found.pieces == ()


def test_a_suspect_that_a_test_does_not_touch_is_never_cleared_by_it() -> None:
    made = table(
        {"ground": 50, "alternator": 50},
        {"drop": {"": {"sound": 0.9, "loses": 0.1}, "ground": {"sound": 0.1, "loses": 0.9}}},
    )
    found = update(made, [Piece("drop", "loses")])
    assert found.shares["alternator"] > 0.05
    (factor,) = found.factors["alternator"]
    assert factor.if_cause == pytest.approx(0.1)


def test_of_a_group_the_one_that_tells_most_counts_whole() -> None:
    made = yes_no({"hole": 50, "else": 50}, strong={"hole": 0.95, "else": 0.05}, weak={"hole": 0.7})
    pieces = [
        Piece("weak", "positive", group="cylinder"),
        Piece("strong", "positive", group="cylinder"),
    ]
    weights = {piece.key: piece.weight for piece in update(made, pieces).pieces}
    assert weights == {"strong": 1.0, "weak": IN_A_GROUP}


def test_a_group_moves_less_than_the_same_tests_apart() -> None:
    made = yes_no({"hole": 50, "else": 50}, a={"hole": 0.9, "else": 0.2}, b={"hole": 0.9})
    apart = update(made, [Piece("a", "positive"), Piece("b", "positive")])
    together = update(made, [Piece("a", "positive", group="g"), Piece("b", "positive", group="g")])
    alone = update(made, [Piece("a", "positive")])
    assert alone.shares["hole"] < together.shares["hole"] < apart.shares["hole"]


@given(cases())
def test_each_factor_is_the_suspect_against_the_others(case) -> None:
    made, pieces = case
    found = update(made, pieces)
    for code, factors in found.factors.items():
        for factor in factors:
            column = likelihoods(made, factor.piece)
            assert factor.if_cause == pytest.approx(column[code])
            others = [p for other, p in column.items() if other != code]
            assert min(others) - 1e-12 <= factor.if_not <= max(others) + 1e-12


@given(cases(weights=False))
def test_how_far_a_piece_moves_is_never_below_nought(case) -> None:
    made, pieces = case
    assert all(moved(made, piece, made.starts) >= -1e-12 for piece in pieces)


def test_the_shops_own_odds_win() -> None:
    made = yes_no({"a": 50, "b": 50}, test={"a": 0.9, "b": 0.9})
    found = update(made, [Piece("test", "positive")], {"a": 0.8, "b": 0.2})
    assert found.shares == pytest.approx({"a": 0.8, "b": 0.2})
