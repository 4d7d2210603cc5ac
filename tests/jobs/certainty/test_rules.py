"""How sure a finding may be, rule by rule."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.certainty.rules import (
    ALWAYS_THERE,
    COMES_AND_GOES,
    Allowed,
    Case,
    Changed,
    Ground,
    Pictured,
    Tested,
    allowed,
    clearing,
)

TELLS = Tested(3, "electrical_supply", "fault", present="yes")
SEES = replace(TELLS, direct=True)
SOUND = Tested(4, "fuel_supply", "sound", present="yes")
REPORTED = Case((), reported=True, seen=True)


def of(*grounds: Ground, **facts) -> Allowed:
    return allowed(replace(REPORTED, grounds=grounds, **facts))


def lacks(found: Allowed, certainty: str) -> list[str]:
    return [lack.code for lack in found.lacks[certainty]]


# --- confirmed -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "ground",
    [SEES, Pictured("5a", fault=True), Changed(6, gone=True), replace(TELLS, goes_along=True)],
    ids=["direct test", "photo of the fault", "gone with the part", "went along with the part"],
)
def test_direct_sight_or_a_fault_that_goes_with_the_part_confirms(ground):
    assert of(ground).highest == "confirmed"


@pytest.mark.parametrize(
    "ground",
    [TELLS, Pictured("5a", fault=False), Changed(6, gone=False), replace(SEES, shows="nothing")],
    ids=["inferred", "photo of something", "part changed", "decides nothing"],
)
def test_nothing_else_confirms(ground):
    assert lacks(of(ground), "confirmed") == ["direct"]


def test_many_tests_that_only_infer_never_confirm():
    many = [replace(TELLS, no=no, group=f"group {no}") for no in range(1, 30)]
    assert of(*many).highest == "probable"


def test_a_direct_test_that_something_weakened_does_not_confirm():
    found = of(replace(SEES, whole=False))
    assert [(one.code, one.of) for one in found.lacks["confirmed"]] == [("direct_weakened", ("3",))]


def test_a_direct_test_that_speaks_for_another_cause_does_not_confirm():
    assert not of(replace(SEES, speaks=False)).permits("confirmed")


# --- probable --------------------------------------------------------------------------------


def test_one_whole_test_with_the_fault_there_makes_it_probable():
    assert of(TELLS).highest == "probable"


@pytest.mark.parametrize(
    ("grounds", "facts", "missing"),
    [
        ((SOUND,), {}, "telling"),
        ((replace(TELLS, speaks=False),), {}, "speaks"),
        ((replace(TELLS, whole=False),), {}, "weakened"),
        ((TELLS,), {"seen": False}, "seen"),
        ((replace(TELLS, present="no"),), {"how_often": "one_in_ten"}, "present"),
        ((replace(TELLS, present="unknown"),), {"how_often": "one_in_ten"}, "present"),
        ((), {}, "evidence"),
    ],
)
def test_what_is_missing_for_probable_is_named(grounds, facts, missing):
    assert lacks(of(*grounds, **facts), "probable") == [missing]


def test_a_fault_that_is_there_on_every_drive_is_in_every_test():
    assert of(replace(TELLS, present="no"), how_often="every_drive").permits("probable")


def test_until_it_was_seen_here_only_direct_sight_is_more_than_suspected():
    assert of(TELLS, seen=False).highest == "suspected"
    assert of(Pictured("5a", fault=True), seen=False).highest == "confirmed"


def test_what_nobody_reported_need_not_be_seen_first():
    found = of(replace(TELLS, present="unknown"), reported=False, seen=False)
    assert found.highest == "probable"


# --- stakes ----------------------------------------------------------------------------------


def test_a_repair_of_stakes_wants_two_grounds_one_direct_and_what_else_looks_so():
    assert lacks(of(TELLS, stakes=True), "probable") == ["second", "one_direct", "also_like"]


def test_two_tests_of_one_evidence_group_are_one_ground():
    found = of(SEES, replace(SEES, no=9), stakes=True, also_like=True)
    assert lacks(found, "confirmed") == lacks(found, "probable") == ["second"]


def test_two_grounds_that_share_no_cause_one_of_them_direct_are_enough():
    other = replace(TELLS, no=9, group="oil")
    assert of(SEES, other, stakes=True, also_like=True).highest == "confirmed"


def test_a_photo_of_the_fault_is_a_ground_of_its_own():
    picture = Pictured("5a", fault=True)
    assert of(TELLS, picture, stakes=True, also_like=True).highest == "confirmed"


# --- against it ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("against", "code"),
    [
        (Tested(8, "substitution", "nothing", clears=True), "tried"),
        (Changed(8, gone=False, no_use=True), "changed"),
    ],
)
def test_a_part_that_was_tried_or_changed_in_vain_is_no_more_than_suspected(against, code):
    found = of(SEES, against, names_cause=True)
    assert found.highest == "suspected"
    assert code in lacks(found, "confirmed")


def test_a_part_changed_in_vain_may_be_just_what_the_finding_is_not_about():
    assert of(SEES, Changed(8, gone=False, no_use=True)).highest == "confirmed"


# --- ruled out -------------------------------------------------------------------------------


def test_its_own_sound_test_with_the_fault_there_rules_it_out():
    case = replace(REPORTED, grounds=(SOUND, TELLS))
    assert allowed(case).permits("ruled_out")
    assert clearing(case) == [SOUND]


@pytest.mark.parametrize(
    ("ground", "missing"),
    [
        (TELLS, "own_sound"),
        (Pictured("5a", fault=False), "own_sound"),
        (replace(SOUND, own=False), "own"),
        (replace(SOUND, whole=False), "weakened"),
        (replace(SOUND, present="no"), "there"),
        (replace(SOUND, present="unknown"), "there"),
        (replace(SOUND, after_change=True), "own_sound"),
    ],
)
def test_what_is_missing_to_rule_it_out_is_named(ground, missing):
    assert lacks(of(ground), "ruled_out") == [missing]


def test_a_fault_that_is_always_there_was_there_in_the_test():
    unknown = replace(SOUND, present="unknown")
    assert of(unknown, how_often=ALWAYS_THERE).permits("ruled_out")
    assert not of(replace(SOUND, present="no"), how_often=ALWAYS_THERE).permits("ruled_out")


def test_another_part_in_its_place_with_the_fault_staying_rules_it_out():
    assert of(Tested(8, "substitution", "nothing", clears=True)).permits("ruled_out")


# --- whatever the evidence -------------------------------------------------------------------

TESTS = st.builds(
    Tested,
    no=st.integers(1, 40),
    group=st.sampled_from(["electrical_supply", "oil", "road"]),
    shows=st.sampled_from(["fault", "sound", "nothing"]),
    direct=st.booleans(),
    whole=st.booleans(),
    present=st.sampled_from(["yes", "no", "unknown"]),
    speaks=st.booleans(),
    own=st.booleans(),
    goes_along=st.booleans(),
    clears=st.booleans(),
    after_change=st.booleans(),
)
PICTURES = st.builds(Pictured, no=st.just("5a"), fault=st.booleans())
CHANGES = st.builds(Changed, no=st.integers(1, 40), gone=st.booleans(), no_use=st.booleans())
GROUNDS = st.one_of(TESTS, PICTURES, CHANGES)
CASES = st.builds(
    Case,
    grounds=st.lists(GROUNDS, max_size=5).map(tuple),
    names_cause=st.booleans(),
    reported=st.booleans(),
    how_often=st.sampled_from(["", "every_drive", ALWAYS_THERE, *sorted(COMES_AND_GOES)]),
    seen=st.booleans(),
    stakes=st.booleans(),
    also_like=st.booleans(),
)
RISING = ["suspected", "probable", "confirmed"]


def contradicts(ground: Ground) -> bool:
    if isinstance(ground, Tested):
        return ground.clears
    return isinstance(ground, Changed) and ground.no_use


@given(CASES, GROUNDS)
def test_more_evidence_lowers_nothing_unless_it_contradicts(case, further):
    more = replace(case, grounds=(*case.grounds, further))
    before, after = allowed(case), allowed(more)
    if not contradicts(further):
        assert RISING.index(after.highest) >= RISING.index(before.highest)
    assert after.permits("ruled_out") or not before.permits("ruled_out")


@given(CASES)
def test_what_may_be_confirmed_may_be_called_probable(case):
    found = allowed(case)
    assert found.permits("probable") or not found.permits("confirmed")


@given(CASES)
def test_suspected_and_not_tested_may_always_be_said(case):
    assert allowed(case).permits("suspected")
    assert allowed(case).permits("not_tested")


@given(CASES)
def test_weakened_tests_alone_make_nothing_probable(case):
    weak = [replace(one, whole=False) for one in case.tests]
    assert allowed(replace(case, grounds=weak)).highest == "suspected"


@given(CASES)
def test_stakes_never_make_it_easier(case):
    low, high = (allowed(replace(case, stakes=stakes)) for stakes in (False, True))
    assert RISING.index(high.highest) <= RISING.index(low.highest)


@given(CASES)
def test_having_seen_the_fault_never_makes_it_harder(case):
    unseen, seen = (allowed(replace(case, seen=seen)) for seen in (False, True))
    assert RISING.index(seen.highest) >= RISING.index(unseen.highest)


@given(CASES, st.randoms())
def test_the_order_of_the_evidence_does_not_matter(case, chance):
    mixed = list(case.grounds)
    chance.shuffle(mixed)
    found, again = allowed(case), allowed(replace(case, grounds=mixed))
    assert all(found.permits(code) == again.permits(code) for code in (*RISING, "ruled_out"))
