"""Two faults at once: when a pair explains what no single suspect does."""

from __future__ import annotations

import math

import pytest
from hypothesis import given

from jobs.suspects.odds import Piece, update
from jobs.suspects.pairs import both, weigh_pairs
from tests.jobs.suspects.made import table
from tests.jobs.suspects.test_odds import cases

SOUND = {"drop": "sound", "charging": "sound"}


def two_tests():
    """A ground that loses volts and an alternator that gives little, each seen by its own test."""
    own = {"": {"sound": 0.94, "bad": 0.06}}
    return table(
        {"ground": 30, "alternator": 30, "belt": 20, "unlisted": 10, "nothing": 10},
        {
            "drop": own | {"ground": {"sound": 0.05, "bad": 0.95}},
            "charging": own | {"alternator": {"sound": 0.05, "bad": 0.95}},
        },
    )


def test_a_pair_wins_where_neither_alone_explains_both() -> None:
    pieces = [Piece("drop", "bad"), Piece("charging", "bad")]
    assert weigh_pairs(two_tests(), pieces, SOUND).best == ("ground", "alternator")


def test_one_unusual_test_calls_for_no_pair() -> None:
    pieces = [Piece("drop", "bad"), Piece("charging", "sound")]
    assert weigh_pairs(two_tests(), pieces, SOUND).best is None


def test_without_evidence_a_pair_has_the_product_of_its_odds() -> None:
    found = weigh_pairs(two_tests(), [], SOUND)
    assert found.pair["ground", "alternator"] / found.single["ground"] == pytest.approx(0.3)


def test_sound_needs_both_to_leave_the_test_alone() -> None:
    evidence = two_tests().evidence["drop"]
    row = both(evidence, "ground", "alternator", "sound")
    assert row["sound"] == pytest.approx(0.05 * 0.94 / 0.94)
    assert sum(row.values()) == pytest.approx(1)


def test_two_that_both_spoil_a_test_leave_it_less_often_sound_than_either() -> None:
    made = table(
        {"a": 50, "b": 50},
        {
            "test": {
                "": {"sound": 0.9, "bad": 0.1},
                "a": {"sound": 0.3, "bad": 0.7},
                "b": {"sound": 0.6, "bad": 0.4},
            }
        },
    )
    row = both(made.evidence["test"], "a", "b", "sound")
    assert row["sound"] == pytest.approx(0.3 * 0.6 / 0.9)


def test_what_both_are_stranger_to_stays_as_usual() -> None:
    evidence = two_tests().evidence["charging"]
    assert both(evidence, "ground", "belt", "sound") == pytest.approx(dict(evidence.otherwise))


@given(cases())
def test_singles_keep_their_ratios_beside_pairs(case) -> None:
    made, pieces = case
    single = weigh_pairs(made, pieces, {}).single
    alone = update(made, pieces).shares
    total = sum(single.values())
    assert {code: p / total for code, p in single.items()} == pytest.approx(alone, abs=1e-9)


@given(cases())
def test_singles_and_pairs_together_are_a_distribution(case) -> None:
    made, pieces = case
    found = weigh_pairs(made, pieces, dict.fromkeys(made.evidence, "o0"))
    assert math.isclose(sum(found.single.values()) + sum(found.pair.values()), 1)
