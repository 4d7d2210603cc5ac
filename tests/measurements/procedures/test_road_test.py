"""Road test: what was noticed and when; a vibration is told apart only where the signs agree."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.readings import validate
from measurements.core.rolling import shown_speed_bounds
from measurements.core.run_file import run_data
from measurements.procedures.road_test import (
    NOTICED,
    PROCEDURE,
    Moment,
    goes_with,
    matches,
    turning_things,
)

READY = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
DRIVEN = {"given.driver": "technician", "given.stopped": "no", "given.distance": "22"}
CORE = ("idle", "pull_away", "cruise", "brake")
QUIET = {f"points.{code}.noticed": "nothing" for code in CORE}
SIZE = {"given.tyre": "205/55 R16", "given.speed_from": "satellite"}


def judged(typed: dict[str, Any], **context: Any) -> Assessment:
    data = {"typed": {**READY, **DRIVEN, **typed}, "context": {"fault_present": "yes", **context}}
    return run_data(PROCEDURE, data).assessment


def point(row: str, **columns: str) -> dict[str, str]:
    return {f"points.{row}.{key}": value for key, value in columns.items()}


def said(found: Assessment) -> str:
    text = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return text.replace("\xa0", " ")


# --- nothing noticed, and what it is worth ----------------------------------------------------


@pytest.mark.parametrize("lacking", CORE)
def test_without_the_points_of_any_drive_nothing_is_concluded(lacking: str) -> None:
    typed = {**QUIET, "given.complaint": "none", f"points.{lacking}.noticed": "not_tried"}
    assert judged(typed).pattern == "undecided"
    assert "Not tried" in said(judged(typed))


def test_without_a_word_on_the_complaint_nothing_is_concluded() -> None:
    assert judged(QUIET).pattern == "undecided"


def test_nothing_noticed_while_the_complaint_stayed_away_does_not_say_it_is_gone() -> None:
    found = judged({**QUIET, "given.complaint": "no"})
    assert found.pattern == "nothing_noticed"
    assert "not_reproduced" in found.confounders
    assert "does not mean it is gone" in said(found)


@pytest.mark.parametrize(
    ("typed", "confounder"),
    [
        ({"given.distance": "4.9"}, "short_drive"),
        ({"given.stopped": "not_the_car"}, "cut_short"),
        ({"ready.as_told": ""}, "other_conditions"),
    ],
)
def test_what_weakens_a_quiet_drive(typed: dict[str, str], confounder: str) -> None:
    found = judged({**QUIET, "given.complaint": "none", **typed})
    assert (found.pattern, found.confounders) == ("nothing_noticed", (confounder,))
    assert PROCEDURE.confounder(confounder).only_sound


def test_the_odometer_goes_before_a_noted_distance_and_never_backwards() -> None:
    readings = {"given.odometer_out": "100", "given.odometer_in": "103"}
    ahead = judged({**QUIET, **readings}).figure("driven")
    assert ahead is not None and ahead.value == 3
    swapped = {"given.odometer_out": "103", "given.odometer_in": "100"}
    behind = judged({**QUIET, **swapped})
    figure = behind.figure("driven")
    assert figure is not None and figure.value is None and "odometer" in figure.absent_because


# --- what leads -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "noticed", "pattern"),
    [
        ("idle", "hot", "runs_hot"),
        ("cruise", "lamp", "lamp_came_on"),
        ("brake", "judder", "brake_judder"),
        ("brake", "vibration", "brake_judder"),
        ("brake", "pulls_left", "pulls"),
        ("cruise", "pulls_right", "pulls"),
        ("bumps", "knock", "something_noticed"),
        ("turn_left", "hum", "something_noticed"),
        ("cruise", "judder", "something_noticed"),
    ],
)
def test_what_was_noticed_gives_its_pattern(row: str, noticed: str, pattern: str) -> None:
    found = judged({**QUIET, "given.complaint": "none", **point(row, noticed=noticed)})
    assert (found.pattern, found.where) == (pattern, (row,))


def test_the_most_urgent_leads_and_the_rest_is_kept() -> None:
    typed = {
        **QUIET,
        "given.complaint": "as_told",
        **point("brake", noticed="judder"),
        **point("cruise", noticed="pulls_left"),
        **point("pull_away", noticed="lamp"),
        **point("idle", noticed="hot"),
    }
    found = judged(typed)
    assert [found.pattern, *(item.pattern for item in found.also)] == [
        "runs_hot",
        "lamp_came_on",
        "brake_judder",
        "pulls",
        "reproduced",
    ]


@pytest.mark.parametrize("why", ["brakes", "steering", "engine", "smoke", "other_danger"])
def test_a_drive_stopped_for_a_danger_leads_and_says_not_to_drive(why: str) -> None:
    found = judged({**QUIET, "given.complaint": "none", "given.stopped": why})
    assert found.pattern == "stopped_early"
    driving = PROCEDURE.pattern("stopped_early").driving
    assert driving is not None and driving.code == "do_not_drive"


def test_the_complaint_alone_is_enough_to_say_it_came() -> None:
    assert judged({"given.complaint": "as_told"}).pattern == "reproduced"
    assert judged({"given.complaint": "otherwise"}).pattern == "reproduced_otherwise"


# --- what a vibration goes with ---------------------------------------------------------------


def shake(**columns: str) -> dict[str, str]:
    return {**QUIET, "given.complaint": "none", **point("cruise", noticed="vibration", **columns)}


@pytest.mark.parametrize(
    ("columns", "pattern"),
    [
        ({"speed": "110", "rpm": "2600", "hz": "15.9"}, "vibration_with_wheel_speed"),
        ({"speed": "110", "rpm": "2600", "hz": "31.7"}, "vibration_with_wheel_speed"),
        ({"speed": "110", "rpm": "2600", "hz": "21.7"}, "vibration_with_engine_speed"),
        ({"speed": "110", "rpm": "2600", "hz": "43.3"}, "vibration_with_engine_speed"),
        ({"speed": "110", "rpm": "2600", "hz": "86.7"}, "vibration_with_engine_speed"),
        ({"speed": "110", "rpm": "2600", "hz": "57"}, "something_noticed"),
        ({"speed": "110", "hz": "15.9"}, "vibration_with_wheel_speed"),
        ({"rpm": "2600", "hz": "43.3"}, "vibration_with_engine_speed"),
        ({"speed": "110", "rpm": "2600"}, "something_noticed"),
        ({"hz": "15.9"}, "something_noticed"),
    ],
)
def test_the_measured_frequency_tells_wheels_from_engine(
    columns: dict[str, str], pattern: str
) -> None:
    assert judged({**shake(**columns), **SIZE}).pattern == pattern


def test_a_frequency_that_fits_both_is_not_decided_by_it() -> None:
    found = judged({**shake(speed="100", rpm="3460", hz="28.8"), **SIZE})
    assert (found.pattern, found.confounders) == ("something_noticed", ("frequencies_overlap",))


def test_a_second_point_decides_where_the_frequency_fits_both() -> None:
    other = point("x1", phase="cruise", speed="102", rpm="2400", noticed="vibration")
    found = judged({**shake(speed="100", rpm="3460", hz="28.8"), **SIZE, **other})
    assert found.pattern == "vibration_with_wheel_speed"
    assert "frequencies_overlap" not in found.confounders


def test_where_frequency_and_points_contradict_neither_is_believed() -> None:
    standing = point("idle", noticed="vibration", rpm="850")
    found = judged({**shake(speed="110", rpm="2600", hz="15.9"), **SIZE, **standing})
    assert (found.pattern, found.confounders) == ("something_noticed", ("signs_disagree",))


@pytest.mark.parametrize(
    ("felt", "quiet", "family"),
    [
        ([(110, 2600), (112, 3500)], [], "wheel"),
        ([(110, 2600), (60, 2650)], [], "engine"),
        ([(0, 850)], [], "engine"),
        ([(110, 2600)], [(112, 3500)], "engine"),
        ([(110, 2600)], [(0, 2600)], "wheel"),
        ([(110, 2600)], [(60, 2600)], "wheel"),
        ([(110, 2600)], [(112, 2700)], ""),
        ([(110, 2600)], [(60, 1500)], ""),
        ([(110, 2600), (112, 3500), (60, 2600)], [], ""),
        ([(110, None), (112, None)], [(60, None)], ""),
        ([(10, 900), (10.5, 2000)], [], ""),
        ([], [(110, 2600)], ""),
    ],
)
def test_comparing_points(
    felt: list[tuple[float, float]], quiet: list[tuple[float, float]], family: str
) -> None:
    assert goes_with([Moment(*m) for m in felt], [Moment(*m) for m in quiet]) == family


def test_a_speedometer_makes_the_wheels_less_certain_than_a_satellite() -> None:
    typed = shake(speed="110", rpm="2600", hz="15.9")
    fine = judged({**typed, **SIZE}).figure("wheel_once_hz")
    coarse = judged({**typed, "given.tyre": "205/55 R16"}).figure("wheel_once_hz")
    assert fine is not None and coarse is not None
    assert coarse.u > 2 * fine.u
    assert coarse.value is not None and fine.value is not None and coarse.value < fine.value


def test_a_measured_turn_goes_before_the_tyres_marking() -> None:
    typed = {**shake(speed="110", rpm="2600"), **SIZE, "given.circumference": "1980"}
    figure = judged(typed).figure("circumference")
    assert figure is not None and figure.value == 1980


def test_without_tyre_or_speed_the_wheel_is_said_to_be_unknown() -> None:
    figure = judged(shake(rpm="2600")).figure("wheel_once_hz")
    assert figure is not None and figure.value is None and "tyre size" in figure.absent_because


def test_a_tyre_size_that_cannot_be_read_is_asked_about_and_stands() -> None:
    checked = validate(PROCEDURE, {"given.tyre": "165 R 14"}, Context())
    (fault,) = checked.faults
    assert (fault.kind, fault.address) == ("asks", "given.tyre")
    assert checked.readings.given("tyre") == "165 R 14"


@pytest.mark.parametrize(
    ("cylinders", "keys"),
    [
        (4, ["engine_half_hz", "engine_first_hz", "engine_second_hz"]),
        (2, ["engine_half_hz", "engine_first_hz", "engine_second_hz"]),
        (6, ["engine_half_hz", "engine_first_hz", "engine_second_hz", "engine_firing_hz"]),
        (3, ["engine_half_hz", "engine_first_hz", "engine_firing_hz", "engine_second_hz"]),
    ],
)
def test_firing_order_is_added_where_it_is_not_one_of_the_three(
    cylinders: int, keys: list[str]
) -> None:
    found = turning_things(None, None, ufloat(3000, 10), cylinders)
    assert [thing.key for thing in found] == keys


# --- words, cautions, chart -------------------------------------------------------------------


def test_cautions_name_the_checks_before_and_when_to_stop() -> None:
    words = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for part in (
        "Brake pedal pumped firm",
        "Stop at once",
        "insurance",
        "customer's yes",
        "phone",
        "against the clock",
        "reserve",
    ):
        assert part in words
    assert any(caution.reader == "customer" for caution in PROCEDURE.cautions)
    silent = PROCEDURE.cautions_for(Context(car=Car(high_voltage=True)))
    assert any("without a sound" in caution.danger for caution in silent)


def test_a_pull_does_not_send_anybody_to_the_toe() -> None:
    found = judged({**QUIET, "given.complaint": "none", **point("cruise", noticed="pulls_left")})
    assert "Toe alone does not make a car pull" in said(found)


def test_the_customer_reads_no_frequency() -> None:
    found = judged({**shake(speed="110", rpm="2600", hz="15.9"), **SIZE})
    assert not any("Hz" in sentence.text for sentence in found.customer)


def test_the_chart_marks_what_agrees_and_lies_over_the_one_before() -> None:
    before = judged({**shake(speed="110", rpm="2600", hz="15.9"), **SIZE}).chart
    after = judged({**shake(speed="125", rpm="2950"), **SIZE}).chart
    assert [row["label"] for row in before["rows"] if row["marked"]] == ["wheel, once a turn"]
    assert after["measured"] is None
    svg = chart.draw(after, earlier=before)
    assert ">before<" in svg
    assert ">before<" not in chart.draw(before)
    assert "felt 15.9 Hz" in chart.draw(before).replace("\xa0", " ")


# --- laws -------------------------------------------------------------------------------------


@given(st.floats(1, 250), st.floats(0.05, 1), st.lists(st.floats(1, 250), min_size=1, max_size=6))
def test_what_agrees_lies_nearer_than_what_does_not(
    measured: float, u: float, others: list[float]
) -> None:
    things = turning_things(None, None, ufloat(60 * others[0], 1), 4)
    found = matches(ufloat(measured, u), things)
    gaps = [abs(thing.hz.nominal_value - measured) for thing in found]
    assert all(gap <= 2 * (u + 0.1) for gap in gaps)


@given(st.floats(5, 300))
def test_a_true_speed_lies_within_what_the_rule_allows(shown: float) -> None:
    low, high = shown_speed_bounds(shown)
    assert 0 <= low < high == shown
    assert shown - low == pytest.approx(low / 10 + 4)


@given(st.floats(20, 240), st.floats(600, 7000), st.floats(1.05, 2.0))
def test_faster_turns_more_often(speed: float, rpm: float, factor: float) -> None:
    slow = turning_things(ufloat(speed, 0.1) / 7, 3.5, ufloat(rpm, 10), 4)
    fast = turning_things(ufloat(speed * factor, 0.1) / 7, 3.5, ufloat(rpm * factor, 10), 4)
    for one, other in zip(slow, fast, strict=True):
        assert other.hz.nominal_value == pytest.approx(one.hz.nominal_value * factor)


_COLUMNS = st.fixed_dictionaries(
    {
        "noticed": st.sampled_from(sorted(NOTICED)),
        "speed": st.one_of(st.just(""), st.integers(0, 200).map(str)),
        "rpm": st.one_of(st.just(""), st.integers(0, 7000).map(str)),
        "hz": st.one_of(st.just(""), st.integers(1, 300).map(str)),
    }
)


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(st.sampled_from([*CORE, "start", "coast", "x1"]), _COLUMNS, max_size=4),
    st.sampled_from(["as_told", "otherwise", "no", "none", ""]),
    st.sampled_from(["no", "brakes", "not_the_car", ""]),
    st.sampled_from(["205/55 R16", "", "something"]),
    st.sampled_from(["", "3.9"]),
)
def test_any_drive_gets_an_answer_in_any_units(
    rows: dict[str, dict[str, str]], complaint: str, stopped: str, tyre: str, ratio: str
) -> None:
    typed: dict[str, Any] = {
        "given.complaint": complaint,
        "given.stopped": stopped,
        "given.tyre": tyre,
        "given.shaft_ratio": ratio,
    }
    for row, columns in rows.items():
        typed |= point(row, **columns)
        if columns["speed"]:
            typed[f"points.{row}.speed"] = (columns["speed"], "km/h")
    found = [judged(typed, units=system) for system in ("metric", "us")]
    assert found[0].pattern == found[1].pattern
    assert found[0].customer and found[0].technician
    assert {verdict.outcome for verdict in found[0].verdicts} <= {"no_limit"}
    if found[0].chart:
        assert chart.draw(found[0].chart).startswith("<svg")
