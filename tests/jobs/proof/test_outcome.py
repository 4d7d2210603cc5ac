"""What the repeat of a test shows of a part that was changed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.proof.outcome import (
    Clock,
    Held,
    Outcome,
    Pair,
    Reason,
    Side,
    by_clock,
    of_pair,
    together,
)
from measurements.core.compare import Apart
from tests.jobs.proof.made import two

SURE = {"not_present", "changed_not_cured", "no_change", "worse"}


def code(pair: Pair) -> str:
    return of_pair(pair).code


def why(pair: Pair) -> list[str]:
    return [reason.code for reason in of_pair(pair).reasons]


# ------------------------------------------------------------------ by limits and patterns


@pytest.mark.parametrize(
    ("before", "after", "outcome"),
    [
        (0.61, 0.05, "not_present"),
        (0.61, 0.45, "changed_not_cured"),
        (0.61, 0.62, "no_change"),
        (0.45, 0.61, "worse"),
        (0.05, 0.61, "worse"),
    ],
)
def test_the_limit_gives_a_change_its_direction(before, after, outcome):
    assert code(two(before, after)) == outcome


def test_a_higher_value_is_better_where_the_limit_is_a_lowest_one():
    low, better = Held("outside", 2.0), Held("outside", 0.5)
    pair = two(0.61, 0.9)
    turned = replace(
        pair,
        before=replace(pair.before, held={"a": low}),
        after=replace(pair.after, held={"a": better}),
    )
    assert code(turned) == "changed_not_cured"
    assert code(pair) == "worse"


def test_a_reading_without_a_limit_moves_but_has_no_direction():
    pair = two(0.61, 0.9)
    bare = replace(pair, before=replace(pair.before, held={}), after=replace(pair.after, held={}))
    assert code(bare) == "changed_not_cured"


def test_one_point_better_and_one_worse_is_a_change_that_did_not_cure():
    better, worse = two(0.61, 0.45), two(0.45, 0.61)
    moved = replace(worse.changes[0], address="b")
    both = Pair(
        replace(better.before, held={**better.before.held, "b": worse.before.held["a"]}),
        replace(better.after, held={**better.after.held, "b": worse.after.held["a"]}),
        changes=(*better.changes, moved),
    )
    assert code(both) == "changed_not_cured"


def test_a_pattern_that_goes_by_a_change_smaller_than_the_doubt_tells_nothing():
    pair = two(0.24, 0.19, u=0.05)
    flipped = replace(
        pair, before=replace(pair.before, seen="unusual"), after=replace(pair.after, seen="sound")
    )
    assert (code(flipped), why(flipped)) == ("cannot_tell", ["too_uncertain"])


def test_no_change_is_said_only_where_a_cure_would_have_been_seen():
    seen = replace(two(0.61, 0.62).before, seen="unusual")
    clear = replace(two(0.61, 0.62), before=seen, after=seen)
    blurred = replace(two(0.61, 0.62, u=0.3), before=seen, after=seen)
    assert code(clear) == "no_change"
    assert (code(blurred), why(blurred)) == ("cannot_tell", ["too_uncertain"])


@pytest.mark.parametrize(
    ("before", "after", "outcome"),
    [
        ("vibrates", "sound", "not_present"),
        ("vibrates", "vibrates", "no_change"),
        ("vibrates", "pulls", "changed_not_cured"),
        ("sound", "vibrates", "worse"),
    ],
)
def test_a_test_without_numbers_is_judged_by_its_pattern(before, after, outcome):
    def of(pattern: str) -> Side:
        return Side("sound" if pattern == "sound" else "unusual", pattern)

    assert code(Pair(of(before), of(after))) == outcome


# ------------------------------------------------------------------ the complaint itself


def test_a_complaint_that_is_still_there_is_not_cured_whatever_was_read():
    assert code(two(0.61, 0.05, complaint=("yes", "yes"))) == "changed_not_cured"
    assert code(two(0.61, 0.61, complaint=("yes", "yes"))) == "no_change"


def test_a_complaint_that_was_there_before_and_not_after_needs_no_reading():
    assert code(two(0.05, 0.05, complaint=("yes", "no"))) == "not_present"


@pytest.mark.parametrize(
    ("complaint", "reason"),
    [
        (("no", "no"), "absent_before"),
        (("unknown", "no"), "unknown_before"),
        (("", ""), "sound_before"),
        (("yes", "unknown"), "unknown_after"),
    ],
)
def test_where_nothing_was_seen_before_nothing_is_shown_after(complaint, reason):
    pair = two(0.05, 0.05, complaint=complaint)
    assert (code(pair), why(pair)) == ("cannot_tell", [reason])


def test_a_bad_reading_before_counts_though_the_complaint_was_absent_then():
    assert code(two(0.61, 0.05, complaint=("no", "no"))) == "not_present"


def test_a_reading_that_stays_unusual_without_the_complaint_settles_nothing():
    pair = two(0.61, 0.61, complaint=("yes", "no"))
    assert (code(pair), why(pair)) == ("cannot_tell", ["still_seen"])


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_test_that_decides_nothing_is_named(when):
    pair = two(0.61, 0.05)
    undecided = replace(pair, **{when: replace(getattr(pair, when), seen="undecided")})
    assert (code(undecided), why(undecided)) == ("cannot_tell", [f"undecided_{when}"])


# ------------------------------------------------------------------ what is in the way


def test_other_conditions_are_named():
    apart = (
        Apart("", "engine", "the engine was hot before and cold after"),
        Apart("", "load", "5 A before and 50 A after are too far apart"),
    )
    pair = replace(two(0.61, 0.05), apart=apart)
    (reason,) = of_pair(pair).reasons
    assert code(pair) == "cannot_tell"
    assert reason.about == (
        "the engine was hot before and cold after",
        "load: 5 A before and 50 A after are too far apart",
    )


def test_a_point_that_is_missing_in_one_of_the_two_stops_nothing():
    pair = replace(two(0.61, 0.05), apart=(Apart("b", "b", "not measured after"),))
    assert code(pair) == "not_present"


def test_gone_after_something_else_was_moved_is_cannot_tell():
    pair = replace(two(0.61, 0.05), disturbed=("Connector X1",))
    assert of_pair(pair) == Outcome("cannot_tell", (Reason("disturbed", ("Connector X1",)),))


@pytest.mark.parametrize(("before", "after"), [(0.61, 0.62), (0.45, 0.61)])
def test_what_was_moved_excuses_no_fault_that_is_still_there(before, after):
    pair = two(before, after)
    assert code(replace(pair, disturbed=("Connector X1",))) == code(pair)


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_weakened_test_is_not_trusted(when):
    pair = two(0.61, 0.05)
    weak = replace(pair, **{when: replace(getattr(pair, when), doubts=("battery weak",))})
    assert of_pair(weak) == Outcome("cannot_tell", (Reason("doubt", ("battery weak",)),))


# ------------------------------------------------------------------ promises


VALUES = st.floats(0.0, 1.0, allow_nan=False).map(lambda v: round(v, 3))
DOUBTS = st.floats(0.001, 0.2).map(lambda u: round(u, 4))
COMPLAINT = st.sampled_from(["yes", "no", "unknown", ""])


@given(value=VALUES, u=DOUBTS, complaint=COMPLAINT)
def test_the_same_test_twice_is_never_worse_and_never_a_cure_by_reading(value, u, complaint):
    found = code(two(value, value, u, complaint=(complaint, complaint)))
    assert found in {"no_change", "cannot_tell"}


@given(before=VALUES, after=VALUES, u=DOUBTS, first=COMPLAINT, second=COMPLAINT)
def test_the_other_way_round_a_cure_is_never_a_cure(before, after, u, first, second):
    pair = two(before, after, u, complaint=(first, second))
    if code(pair) == "not_present":
        turned = code(two(after, before, u, complaint=(second, first)))
        assert turned != "not_present"
        if pair.before.seen == "unusual":
            assert turned in {"worse", "cannot_tell"}


@given(
    values=st.tuples(VALUES, VALUES),
    u=DOUBTS,
    more=st.floats(1.0, 50.0),
    complaint=st.tuples(COMPLAINT, COMPLAINT),
)
def test_more_doubt_never_makes_a_sure_outcome_of_an_unsure_one(values, u, more, complaint):
    """The reading judged by its own doubt; what each test saw as a whole stays."""
    pair = two(*values, u, complaint=complaint)
    blurred = two(*values, u * more, complaint=complaint)
    blurred = replace(
        blurred,
        before=replace(blurred.before, seen=pair.before.seen, pattern=pair.before.pattern),
        after=replace(blurred.after, seen=pair.after.seen, pattern=pair.after.pattern),
    )
    if code(pair) == "cannot_tell":
        assert code(blurred) == "cannot_tell"


@given(before=VALUES, after=VALUES, u=DOUBTS, first=COMPLAINT, second=COMPLAINT)
def test_who_cannot_tell_says_why(before, after, u, first, second):
    found = of_pair(two(before, after, u, complaint=(first, second)))
    assert found.code in SURE or found.reasons


# ------------------------------------------------------------------ several tests


@pytest.mark.parametrize(
    ("codes", "outcome"),
    [
        ([], "not_checked"),
        (["not_present"], "not_present"),
        (["not_present", "worse"], "worse"),
        (["not_present", "no_change"], "changed_not_cured"),
        (["not_present", "changed_not_cured"], "changed_not_cured"),
        (["not_present", "cannot_tell"], "cannot_tell"),
        (["no_change", "cannot_tell"], "no_change"),
    ],
)
def test_of_several_tests_the_worst_counts(codes, outcome):
    found = [Outcome(one) for one in codes]
    assert together(found).code == together(found[::-1]).code == outcome


@pytest.mark.parametrize("reason", ["absent_before", "sound_before", "no_before", "conditions"])
def test_a_test_that_tells_nothing_of_the_change_is_silent_beside_another(reason):
    silent = Outcome("cannot_tell", (Reason(reason),))
    assert together([silent, Outcome("not_present")]) == Outcome("not_present")
    assert together([silent]) == silent


# ------------------------------------------------------------------ a fault that comes and goes


def test_the_clock_counts_clean_drives_to_the_number_that_its_rate_needs():
    """ln 0.05 / ln (1 - 1/n), as the arithmetic of `core.recurrence` has it: 11 for one in four."""
    gone = Outcome("not_present")
    assert by_clock(gone, Clock(4, clean=3)).code == "no_recurrence_yet"
    assert by_clock(gone, Clock(4, clean=10)).code == "no_recurrence_yet"
    assert by_clock(gone, Clock(4, clean=11)).code == "not_present"


def test_no_number_of_drives_settles_what_came_only_once():
    assert Clock(None).needed is None
    assert by_clock(Outcome("not_present"), Clock(None, clean=400)).code == "no_recurrence_yet"


def test_drives_alone_may_show_it_where_no_test_could():
    absent = Outcome("cannot_tell", (Reason("absent_before"),))
    assert by_clock(absent, Clock(2, clean=5)).code == "not_present"
    assert by_clock(Outcome("not_checked"), Clock(2, clean=5)).code == "not_present"


def test_enough_drives_do_not_say_which_of_two_things_put_it_right():
    moved = Outcome("cannot_tell", (Reason("disturbed", ("Connector",)),))
    found = by_clock(moved, Clock(2, clean=9))
    assert (found.code, found.reasons) == ("cannot_tell", moved.reasons)


def test_before_any_drive_a_repeat_says_why_it_settles_nothing():
    absent = Outcome("cannot_tell", (Reason("absent_before"),))
    found = by_clock(absent, Clock(4))
    assert (found.code, found.reasons) == ("no_recurrence_yet", absent.reasons)


def test_without_a_repeat_and_a_drive_nothing_was_checked():
    assert by_clock(Outcome("not_checked"), Clock(4)).code == "not_checked"


@pytest.mark.parametrize(
    ("by_test", "outcome"),
    [
        ("not_present", "changed_not_cured"),
        ("changed_not_cured", "changed_not_cured"),
        ("worse", "worse"),
        ("no_change", "no_change"),
        ("cannot_tell", "no_change"),
        ("not_checked", "no_change"),
    ],
)
def test_once_it_comes_back_it_is_not_cured(by_test, outcome):
    found = by_clock(Outcome(by_test), Clock(4, clean=30, came_back=True))
    assert (found.code, found.reasons) == (outcome, (Reason("came_back"),))


@given(
    one_in=st.sampled_from([1.0, 2.0, 4.0, 10.0, None]),
    clean=st.integers(0, 60),
    more=st.integers(0, 60),
    found=st.sampled_from(["not_present", "cannot_tell", "not_checked", "no_change", "worse"]),
)
def test_a_further_clean_drive_never_takes_a_cure_back(one_in, clean, more, found):
    now = by_clock(Outcome(found), Clock(one_in, clean)).code
    later = by_clock(Outcome(found), Clock(one_in, clean + more)).code
    if now == "not_present":
        assert later == "not_present"
    if found in {"no_change", "worse"}:
        assert now == later == found
