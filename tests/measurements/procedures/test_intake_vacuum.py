"""Intake vacuum: engines without a verdict first, then height, then what was seen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Ambient, Car, ChosenLimit, Context
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import validate
from measurements.procedures.intake_vacuum import PROCEDURE, USUAL_IDLE_KPA, window_at

PRESENT = Context(fault_present="yes")
WELL = {
    **{f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions},
    "given.air": "natural",
    "given.idle_needle": "steady",
    "given.held_needle": "steady",
    "given.ambient": "101.3",
    "points.idle.vacuum": "65",
    "points.dip.vacuum": "4",
    "points.overshoot.vacuum": "82",
    "held.s1.vacuum": "66",
    "held.s2.vacuum": "66",
    "held.s3.vacuum": "66",
}


def judged(changes: dict[str, Any] | None = None, context: Context = PRESENT) -> Assessment:
    checked = validate(PROCEDURE, {**WELL, **(changes or {})}, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


# --- no verdict -------------------------------------------------------------------------------


@pytest.mark.parametrize("air", ["boosted", "valve_lift", "diesel", "unknown", ""])
@pytest.mark.parametrize("idle", ["20", "65", "90"])
def test_without_a_throttle_that_makes_it_no_vacuum_is_judged(air: str, idle: str) -> None:
    found = judged({"given.air": air, "points.idle.vacuum": idle})
    assert found.pattern == "undecided"
    assert all(verdict.outcome == "no_limit" for verdict in found.verdicts)


def test_a_diesel_is_not_for_this_test() -> None:
    found = judged(context=replace(PRESENT, car=Car(fuel="diesel")))
    assert found.confounders[0] == "not_for_this_car"


def test_another_port_than_the_manifold_says_nothing() -> None:
    found = judged({"given.port": "before", "points.idle.vacuum": "5"})
    assert found.pattern == "undecided"
    assert "behind the throttle" in words(found)


# --- height -----------------------------------------------------------------------------------


def test_what_is_low_at_the_sea_is_usual_in_the_mountains() -> None:
    low = judged({"points.idle.vacuum": "44", "points.overshoot.vacuum": "60"})
    assert low.pattern == "low_at_idle"
    high_up = {"given.ambient": "", "given.altitude": "2000"}
    found = judged({"points.idle.vacuum": "44", "points.overshoot.vacuum": "60", **high_up})
    assert found.pattern == "steady_usual"


def test_a_height_that_nobody_entered_is_said() -> None:
    found = judged({"given.ambient": "", "points.idle.vacuum": "40"})
    assert "air_pressure_assumed" in found.confounders
    assert "Sea level was taken" in words(found)
    known = replace(PRESENT, ambient=Ambient(84.6, 1.0))
    assert "air_pressure_assumed" not in judged({"given.ambient": ""}, known).confounders


def test_a_beat_is_a_beat_at_any_height() -> None:
    found = judged({"given.ambient": "", "given.idle_needle": "in_beat"})
    assert found.pattern == "drops_in_beat"
    assert "air_pressure_assumed" not in found.confounders


# --- what was seen ----------------------------------------------------------------------------


def test_steady_and_as_deep_as_usual() -> None:
    found = judged()
    assert (found.pattern, found.also, found.confounders) == ("steady_usual", (), ())


@pytest.mark.parametrize("needle", ["", "not_looked"])
def test_a_needle_that_nobody_watched_is_not_steady(needle: str) -> None:
    assert judged({"given.idle_needle": needle}).pattern == "undecided"


@pytest.mark.parametrize(
    ("changes", "pattern"),
    [
        ({"points.idle.vacuum": "40"}, "low_at_idle"),
        ({"points.idle.vacuum": "84", "points.overshoot.vacuum": "96"}, "high_at_idle"),
        ({"held.s3.vacuum": "50"}, "falls_while_held"),
        ({"points.overshoot.vacuum": "66"}, "little_gain"),
        ({"given.idle_needle": "drifts"}, "drifts"),
        ({"given.held_needle": "flutters", "given.idle_needle": "flutters"}, "flutters_with_speed"),
    ],
)
def test_each_behaviour_leads_alone(changes: dict[str, str], pattern: str) -> None:
    assert judged(changes).pattern == pattern


def test_a_second_thing_is_not_hidden_by_the_first() -> None:
    changes = {"given.idle_needle": "in_beat", "points.idle.vacuum": "38", "held.s3.vacuum": "50"}
    found = judged(changes)
    assert found.pattern == "falls_while_held"
    assert [item.pattern for item in found.also] == ["drops_in_beat", "low_at_idle"]


def test_a_fall_is_known_better_than_either_reading() -> None:
    found = judged({"held.s3.vacuum": "58"})
    figure, reading = found.figure("fall_while_held"), found.verdict("held.s3.vacuum")
    assert figure is not None and reading is not None
    assert figure.u < reading.u * 2**0.5


def test_a_snap_that_never_opened_wide_is_not_judged() -> None:
    for dip in ("40", ""):
        found = judged({"points.dip.vacuum": dip, "points.overshoot.vacuum": "66"})
        assert found.verdict("figure.gain_after_snap").outcome == "no_limit"
        assert "not_snapped" in found.confounders


def test_the_makers_own_figure_goes_before_common_practice() -> None:
    strict = ChosenLimit("points.idle.vacuum", 70.0, None, Source("maker", "sheet"))
    found = judged(context=replace(PRESENT, limits=(strict,)))
    assert found.pattern == "low_at_idle"
    assert found.verdict("figure.idle_absolute").outcome == "no_limit"


def test_a_reading_outside_a_kept_limit_is_never_called_usual() -> None:
    strict = ChosenLimit("points.overshoot.vacuum", 90.0, None, Source("maker", "sheet"))
    found = judged(context=replace(PRESENT, limits=(strict,)))
    assert found.pattern == "undecided"
    assert "outside a limit kept for this car" in words(found)


def test_a_us_shop_reads_inches_of_mercury() -> None:
    typed = {key: (text, "kPa") for key, text in WELL.items() if "vacuum" in key}
    found = judged({**typed, "given.ambient": ("101.3", "kPa")}, replace(PRESENT, units="us"))
    assert found.pattern == "steady_usual"
    assert "inHg" in words(found) and "kPa" not in words(found)


def test_the_chart_shows_the_window_only_where_it_holds() -> None:
    assert [mark["label"] for mark in judged().chart["marks"]] == ["idle from", "to"]
    assert judged({"given.air": "boosted"}).chart["marks"] == []


def test_cautions_name_belts_exhaust_movement_and_the_brake_hose() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("Belts", "Exhaust", "must not move", "brake servo"):
        assert word in said


# --- laws -------------------------------------------------------------------------------------

NEEDLES = st.sampled_from(["", "steady", "in_beat", "at_times", "flutters", "drifts", "not_looked"])
VACUUM = st.one_of(st.just(""), st.integers(-240, 104).map(str))


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["", "natural", "boosted", "valve_lift"]),
    st.tuples(NEEDLES, NEEDLES),
    st.tuples(VACUUM, VACUUM, VACUUM, VACUUM, VACUUM, VACUUM),
    st.sampled_from(["", "55", "85", "101.3"]),
)
def test_anything_that_can_be_typed_gets_an_answer(
    air: str, needles: tuple[str, str], vacuums: tuple[str, ...], ambient: str
) -> None:
    rows = ("points.idle", "points.dip", "points.overshoot", "held.s1", "held.s2", "held.s3")
    found = judged(
        {
            "given.air": air,
            "given.idle_needle": needles[0],
            "given.held_needle": needles[1],
            "given.ambient": ambient,
            **{f"{row}.vacuum": text for row, text in zip(rows, vacuums, strict=True)},
        }
    )
    assert found.pattern in {pattern.code for pattern in PROCEDURE.patterns}
    if found.pattern == "steady_usual":
        idle = found.figure("idle_absolute")
        assert USUAL_IDLE_KPA[0] <= idle.value <= USUAL_IDLE_KPA[1]
    if found.chart:
        assert chart.draw(found.chart)


@settings(max_examples=40, deadline=None)
@given(st.integers(70, 104), st.integers(5, 95))
def test_the_window_moves_as_the_air_does(ambient: int, vacuum: int) -> None:
    """The same absolute pressure has the same verdict under any air pressure."""
    found = judged({"given.ambient": str(ambient), "points.idle.vacuum": str(vacuum)})
    moved = judged({"given.ambient": str(ambient - 5), "points.idle.vacuum": str(vacuum - 5)})
    assert found.verdict("figure.idle_absolute").outcome == (
        moved.verdict("figure.idle_absolute").outcome
    )
    assert window_at(ambient)[0] - window_at(ambient - 5)[0] == pytest.approx(5)


@settings(max_examples=40, deadline=None)
@given(st.integers(5, 60))
def test_a_deeper_fall_is_never_judged_better(end: int) -> None:
    rank = {"within": 0, "cannot_tell": 1, "outside": 2}
    first, second = (
        judged({"held.s3.vacuum": str(vacuum)}).verdict("figure.fall_while_held")
        for vacuum in (end, end - 3)
    )
    assert rank[first.outcome] <= rank[second.outcome]


@settings(max_examples=20, deadline=None)
@given(st.integers(10, 95))
def test_the_display_unit_changes_no_verdict(vacuum: int) -> None:
    typed = {key: (text, "kPa") for key, text in WELL.items() if "vacuum" in key}
    typed |= {"points.idle.vacuum": (str(vacuum), "kPa"), "given.ambient": ("101.3", "kPa")}
    assert judged(typed).verdicts == judged(typed, replace(PRESENT, units="us")).verdicts
