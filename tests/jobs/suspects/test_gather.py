"""What counts as evidence of a complaint, once each, and what is left out with its reason."""

from __future__ import annotations

import math
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.suspects.gather import (
    STRENGTHS,
    Changed,
    Made,
    Said,
    Told,
    gather,
    ratio,
    suspects_naming,
)
from jobs.suspects.knowledge import tables
from jobs.suspects.odds import Piece, likelihoods, update
from jobs.suspects.tables import NOTHING, Suspect, Table
from measurements.core.judging import COMMON_CONFOUNDERS
from measurements.procedures import PROCEDURES

STARTS = tables()["starts_badly"]
ABSENT = next(one.weight for one in COMMON_CONFOUNDERS if one.code == "fault_absent")


def shares(table: Table = STARTS, **evidence) -> dict[str, float]:
    return dict(update(table, gather(table, **evidence).pieces).shares)


def test_a_repeat_under_the_same_conditions_counts_once() -> None:
    one = Made(3, "voltage_drop", "lost_in_one_step", state="hot", present="yes")
    again = Made(5, "voltage_drop", "lost_in_one_step", state="hot", present="yes")
    assert shares(tests=[one, again]) == shares(tests=[one])


def test_of_repeats_the_latest_counts_and_the_page_can_say_which() -> None:
    found = gather(
        STARTS,
        tests=[Made(3, "voltage_drop", "lost_spread"), Made(5, "voltage_drop", "sound")],
    )
    assert [piece.source for piece in found.pieces] == ["5"]
    assert [(one.source, one.why, one.by) for one in found.left_out] == [(3, "newer", 5)]


@pytest.mark.parametrize(
    "other",
    [{"state": "cold"}, {"present": "no"}, {"subject": "starter_feed"}],
    ids=["engine cold", "fault away", "another path"],
)
def test_a_pass_under_other_conditions_never_takes_back_a_failure(other) -> None:
    seen = {"state": "hot", "present": "yes", "subject": "starter_ground"}
    failed = Made(3, "voltage_drop", "lost_in_one_step", **seen)
    passed = Made(5, "voltage_drop", "sound", **(seen | other))
    assert {p.outcome for p in gather(STARTS, tests=[failed, passed]).pieces} == {
        "lost_in_one_step",
        "sound",
    }


def test_a_test_that_decides_nothing_does_not_push_out_one_that_does() -> None:
    found = gather(
        STARTS,
        tests=[Made(3, "voltage_drop", "lost_spread"), Made(5, "voltage_drop", "undecided")],
    )
    assert [piece.source for piece in found.pieces] == ["3"]


@pytest.mark.parametrize(
    ("test", "why"),
    [
        (Made(1, "alignment", "sound"), "no_rows"),
        (Made(1, "voltage_drop", "undecided"), "undecided"),
        (Made(1, "voltage_drop", "sound", weight=0.0), "silent"),
        (Made(1, "gone_test", "anything", known=False), "retired"),
        (Made(1, "voltage_drop", "a_code_of_long_ago"), "no_rows"),
        (Made(1, "substitution", "followed", part="wiper motor"), "no_rows"),
    ],
)
def test_what_does_not_count_says_why(test: Made, why: str) -> None:
    found = gather(STARTS, tests=[test])
    assert (found.pieces, [one.why for one in found.left_out]) == ((), [why])


def test_a_substitution_speaks_of_the_part_that_was_tried_and_of_no_other() -> None:
    rough = tables()["runs_rough"]
    before = shares(rough)
    after = shares(
        rough, tests=[Made(4, "substitution", "followed", part="ignition coil of cylinder 2")]
    )
    coil = suspects_naming(rough, ["ignition coil"])
    others = {code for code in before if code not in coil}
    assert all(after[code] > before[code] for code in coil)
    kept = {code: after[code] / before[code] for code in others}
    assert max(kept.values()) == pytest.approx(min(kept.values()))


def test_a_part_that_no_suspect_names_leaves_the_substitution_out() -> None:
    rough = tables()["runs_rough"]
    found = gather(rough, tests=[Made(4, "substitution", "followed", part="wiper motor")])
    assert [one.why for one in found.left_out] == ["no_part"]


@pytest.mark.parametrize("family", sorted(tables()))
def test_a_good_reading_with_the_fault_away_moves_no_suspect_by_more_than_a_tenth(family) -> None:
    table = tables()[family]
    for key, evidence in table.evidence.items():
        procedure = PROCEDURES.get(key.partition("@")[0].partition(":")[0])
        if procedure is None or procedure.fault_shown is not None:
            continue
        column = likelihoods(table, Piece(key, procedure.sound.code, ABSENT))
        usual = evidence.otherwise[procedure.sound.code]
        worst = max(abs(math.log(p / usual)) for p in column.values())
        assert worst <= math.log(1.1), key


def test_several_answers_to_one_question_are_one_source() -> None:
    found = gather(STARTS, answers=[Told(2, "after_work", ("battery_or_jump", "work_elsewhere"))])
    assert len({piece.group for piece in found.pieces}) == 1


def test_an_answer_and_a_look_round_that_see_the_same_work_share_a_group() -> None:
    found = gather(
        STARTS,
        tests=[Made(5, "look_over", "recent_work")],
        answers=[Told(2, "after_work", ("work_elsewhere",))],
    )
    assert len({piece.group for piece in found.pieces}) == 1


@pytest.mark.parametrize("strength", STRENGTHS)
def test_a_technicians_word_counts_for_what_is_stated(strength: str) -> None:
    before = shares()
    after = shares(opinions=[Said(9, "weak_battery", strength)])
    times = (after["weak_battery"] / (1 - after["weak_battery"])) / (
        before["weak_battery"] / (1 - before["weak_battery"])
    )
    assert times == pytest.approx(STRENGTHS[strength])


@given(st.floats(0.001, 1000))
def test_what_is_said_stays_a_chance(times: float) -> None:
    assert all(0 < p <= 1 for p in ratio(["a"], times).values())


def test_a_part_changed_without_success_is_less_likely_but_not_out() -> None:
    before = shares()
    after = shares(swaps=[Changed(7, ("battery",), "no_change")])
    assert 0.02 < after["weak_battery"] < before["weak_battery"]


def test_readings_on_the_old_part_tell_nothing_of_the_new_one() -> None:
    low = Made(3, "battery_at_rest", "flat_after_charging")
    kept = shares(tests=[low])["weak_battery"]
    after = shares(tests=[low], swaps=[Changed(7, ("battery",))])["weak_battery"]
    assert after < kept


def test_readings_on_other_parts_carry_on_over_a_swap() -> None:
    drop = Made(3, "voltage_drop", "lost_in_one_step")
    without = gather(STARTS, tests=[drop]).pieces[0]
    with_swap = gather(STARTS, tests=[drop], swaps=[Changed(7, ("starter",))]).pieces[0]
    assert (
        likelihoods(STARTS, with_swap)["poor_ground"] == likelihoods(STARTS, without)["poor_ground"]
    )


def test_after_a_cure_the_evidence_before_it_tells_of_the_cause() -> None:
    drop = Made(3, "voltage_drop", "lost_in_one_step")
    repeat = Made(9, "voltage_drop", "sound")
    found = gather(
        STARTS, tests=[drop, repeat], swaps=[Changed(7, ("ground strap",), "not_present")]
    )
    assert found.cured_by == 7
    assert [(one.source, one.why) for one in found.left_out] == [(9, "after_cure")]
    leading = update(STARTS, found.pieces).leading[0]
    assert leading in suspects_naming(STARTS, ["ground strap"])


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("AGM battery 70 Ah", {"battery"}),
        ("Ground strap, engine to body", {"strap"}),
        ("starter", {"starter"}),
        ("Batteries", set()),
        ("", set()),
        ("cup holder", set()),
    ],
)
def test_a_part_is_known_by_its_words_the_longest_first(written: str, meant: set[str]) -> None:
    table = Table(
        "made",
        (
            Suspect("battery", "b", "b", 1, parts=("battery", "battery clamp")),
            Suspect("strap", "s", "s", 1, parts=("ground strap",)),
            Suspect("engine", "e", "e", 1, parts=("engine",)),
            Suspect("starter", "m", "m", 1, parts=("starter",)),
            Suspect(NOTHING, "n", "n", 1),
        ),
        {},
    )
    assert suspects_naming(table, [written]) == meant


def test_the_order_of_the_record_does_not_matter() -> None:
    tests = [
        Made(3, "voltage_drop", "lost_in_one_step", state="hot", present="yes"),
        Made(4, "battery_at_rest", "low"),
        Made(6, "cranking", "slow_with_good_volts"),
    ]
    results = [shares(tests=order) for order in permutations(tests)]
    assert all(found == pytest.approx(results[0]) for found in results)


def test_a_cure_of_one_complaint_is_none_of_another() -> None:
    drop = Made(3, "voltage_drop", "lost_in_one_step")
    later = Made(9, "battery_at_rest", "low")
    strap = Changed(7, ("ground strap",), "not_present", complaint="one")
    other = gather(STARTS, tests=[drop, later], swaps=[strap], complaint="two")
    assert (other.cured_by, [p.source for p in other.pieces]) == (None, ["3", "9"])
    assert gather(STARTS, tests=[drop, later], swaps=[strap], complaint="one").cured_by == 7


def test_a_cured_part_that_no_suspect_has_is_no_cure_where_nobody_says_of_what() -> None:
    wiper = Changed(7, ("wiper blade",), "not_present")
    assert gather(STARTS, swaps=[wiper]).cured_by is None


def test_who_asks_for_the_cause_of_then_hears_of_the_old_part_too() -> None:
    flat = Made(3, "battery_at_rest", "flat_after_charging")
    changed = Changed(7, ("battery",))
    now = shares(tests=[flat], swaps=[changed])["weak_battery"]
    then = shares(tests=[flat], swaps=[changed], old_parts_too=True)["weak_battery"]
    assert then > now
