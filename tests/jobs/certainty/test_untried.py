"""What was told of a complaint and nobody tried."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from jobs import words
from jobs.certainty.untried import (
    NO_CONDITION,
    OF_A_PHASE,
    OF_A_TRY,
    TO_TRY,
    engine_speed_band,
    speed_band,
    untried,
)
from measurements.procedures import PROCEDURES
from measurements.procedures.road_test import PHASES

ANSWERS = [
    (name, code)
    for name in TO_TRY
    for code in words.CONDITIONS[name].answers.codes
    if code not in NO_CONDITION
]
TOLD = st.dictionaries(
    st.sampled_from(sorted(words.CONDITIONS)),
    st.lists(st.sampled_from(sorted({code for _name, code in ANSWERS})), max_size=3, unique=True),
)
COVERED = st.sets(st.sampled_from(ANSWERS))


def test_what_no_test_covered_is_named():
    told = {"engine_temperature": ["hot"], "weather": ["wet"], "speed_band": ["motorway"]}
    assert untried(told, {("engine_temperature", "hot")}) == [
        ("speed_band", "motorway"),
        ("weather", "wet"),
    ]


def test_a_try_under_all_that_was_told_leaves_nothing():
    assert untried({"weather": ["wet"]}, set(), as_told=True) == []


def test_any_weather_and_unasked_questions_ask_for_nothing():
    assert (
        untried({"weather": ["any"], "loads_on": ["none"], "speed_band": ["not_asked"]}, ()) == []
    )


def test_what_tells_of_the_past_cannot_be_tried():
    assert (
        untried({"since_when": ["weeks"], "how_often": ["once"], "after_work": ["water"]}, ()) == []
    )


@given(TOLD, COVERED, COVERED)
def test_a_further_test_never_leaves_more_untried(told, covered, further):
    assert set(untried(told, covered | further)) <= set(untried(told, covered))


@given(TOLD, COVERED)
def test_only_what_was_told_is_named(told, covered):
    assert all(code in told[name] for name, code in untried(told, covered))


def test_all_that_tests_cover_are_answers_that_can_be_given():
    covered = {answer for answers in OF_A_TRY.values() for answer in answers}
    covered |= {("driving_state", doing) for doing in OF_A_PHASE.values()}
    covered |= {("speed_band", speed_band(v)) for v in (0, 10, 50, 90, 130)}
    covered |= {("engine_speed_band", engine_speed_band(n)) for n in (800, 1500, 3000, 5000)}
    assert covered <= set(ANSWERS)


def test_rows_and_phases_are_those_of_the_tests():
    rows = {row.code for row in PROCEDURES["make_it_happen"].grids[0].axis.rows}
    assert set(OF_A_TRY) <= rows
    assert set(OF_A_PHASE) == set(PHASES)
