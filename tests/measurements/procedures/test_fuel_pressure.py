"""Fuel pressure: no level without the maker's figure, then what the figures say, then what needs
none."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, ChosenLimit, Context
from measurements.core.instruments import Instrument, Span
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import validate
from measurements.procedures.fuel_pressure import PROCEDURE

FINE = Instrument("fuel_gauge", "fine", "±0.6 % of range", (Span(600, 2),))
PRESENT = Context(fault_present="yes", instruments={"fuel_gauge": FINE})
BARE = {
    **{f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions},
    "given.leak": "none",
    "given.regulator": "fixed",
    "points.key_on.pressure": "380",
    "points.idle.pressure": "380",
    "points.load.pressure": "376",
}
MAKER = {**BARE, "given.static_least": "350", "given.static_most": "410"}
HOSE = {
    **BARE,
    "given.regulator": "hose",
    "points.idle.pressure": "320",
    "points.hose_off.pressure": "378",
}


def judged(typed: dict[str, Any], context: Context = PRESENT) -> Assessment:
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def held(*kpa: str, **more: str) -> dict[str, str]:
    """Readings at 0, 5 and 10 min."""
    typed = {f"hold.s{number}.pressure": text for number, text in enumerate(kpa, 1)}
    return typed | {f"given.{key}": value for key, value in more.items()}


# --- no level without the maker's figure ------------------------------------------------------


@pytest.mark.parametrize("kpa", ["40", "250", "380", "900"])
def test_without_the_makers_figure_no_level_is_judged(kpa: str) -> None:
    found = judged({**BARE, **dict.fromkeys((k for k in BARE if k.endswith("pressure")), kpa)})
    assert found.pattern == "undecided"
    assert "Enter the maker's figure" in words(found)
    assert found.verdict("points.idle.pressure").outcome == "no_limit"


def test_no_limit_is_declared_without_the_maker() -> None:
    assert all(limit.low is None and limit.high is None for limit in PROCEDURE.limits)
    assert all(limit.bounds is not None for limit in PROCEDURE.limits)


def test_what_needs_no_figure_is_still_told() -> None:
    found = judged({**BARE, **held("380", "376", "372")})
    assert "0.80 kPa/min" in words(found)
    assert "only the maker's figure says" in words(found)


def test_figures_changed_round_are_not_used() -> None:
    found = judged({**BARE, "given.static_least": "410", "given.static_most": "350"})
    assert found.pattern == "undecided"
    assert "least stands above the most" in words(found)


def test_a_limit_kept_for_the_car_counts_as_the_makers() -> None:
    kept = ChosenLimit("points.*.pressure", 350.0, 410.0, Source("maker", "sheet"))
    found = judged(BARE, replace(PRESENT, limits=(kept,)))
    assert found.pattern == "within_maker"
    assert "no_makers_figure" not in found.confounders


# --- against the maker ------------------------------------------------------------------------


def test_inside_the_figures_without_load_is_worth_less() -> None:
    assert judged(MAKER).pattern == "within_maker"
    idle = {key: text for key, text in MAKER.items() if "load" not in key}
    assert "not_loaded" in judged(idle).confounders
    assert PROCEDURE.confounder("not_loaded").only_sound


@pytest.mark.parametrize(
    ("key_on", "idle", "load", "pattern"),
    [
        ("300", "300", "290", "low_everywhere"),
        ("380", "380", "290", "low_under_load"),
        ("300", "380", "376", "low_in_part"),
        ("480", "480", "470", "above_maker"),
    ],
)
def test_where_it_is_outside_decides_the_picture(
    key_on: str, idle: str, load: str, pattern: str
) -> None:
    points = {"key_on": key_on, "idle": idle, "load": load}
    typed = {f"points.{row}.pressure": kpa for row, kpa in points.items()}
    assert judged({**MAKER, **typed}).pattern == pattern


def test_one_point_alone_is_not_everywhere() -> None:
    typed = {"given.regulator": "fixed", "given.static_least": "350"}
    assert judged({**typed, "points.idle.pressure": "250"}).pattern == "low_in_part"


def test_a_regulator_with_a_hose_is_not_held_against_the_figure_without_vacuum() -> None:
    typed = {**HOSE, "given.static_least": "350", "given.static_most": "410"}
    found = judged(typed)
    assert found.verdict("points.idle.pressure").outcome == "no_limit"
    assert found.pattern == "within_maker"


def test_idle_and_vacuum_together_are_held_against_it() -> None:
    typed = {**HOSE, "given.static_least": "350", "given.static_most": "410"}
    inside = judged({**typed, "given.idle_vacuum": "60"})
    assert inside.verdict("figure.across_idle").outcome == "within"
    low = judged({**typed, "given.idle_vacuum": "60", "points.idle.pressure": "250"})
    assert "low_in_part" in (low.pattern, *(item.pattern for item in low.also))


def test_a_gauge_too_coarse_for_the_window_says_so() -> None:
    typed = {**MAKER, "given.static_least": "370", "given.static_most": "390"}
    found = judged(typed, replace(PRESENT, instruments={}))
    assert found.pattern == "undecided"
    assert "gauge_too_coarse" in found.confounders


# --- hold -------------------------------------------------------------------------------------


def test_the_hold_is_judged_at_the_makers_time_only() -> None:
    asked = {"hold_least": "200", "hold_after": "5"}
    found = judged({**MAKER, **held("380", "260", "150", **asked)})
    assert found.verdict("hold.s2.pressure").outcome == "within"
    assert found.verdict("hold.s3.pressure").outcome == "no_limit"
    assert found.pattern == "within_maker"
    low = judged({**MAKER, **held("380", "150", "90", **asked)})
    assert (low.pattern, low.where) == ("falls_after_stop", ("s2",))


def test_without_a_reading_at_the_makers_time_there_is_no_verdict() -> None:
    found = judged({**MAKER, **held("380", "260", "150", hold_least="200", hold_after="20")})
    assert "read it then" in words(found)
    assert "hold_not_judged" in found.confounders


def test_a_fall_is_judged_by_how_much_it_fell() -> None:
    asked = {"hold_fall": "20", "hold_after": "5"}
    assert judged({**MAKER, **held("380", "374", "370", **asked)}).pattern == "within_maker"
    found = judged({**MAKER, **held("380", "330", "300", **asked)})
    assert found.pattern == "falls_after_stop"
    assert "fell by 50 kPa; the maker allows 20 kPa" in words(found)


def test_a_cooling_rail_weakens_a_fall() -> None:
    cooled = {"hold.s1.temperature": "60", "hold.s3.temperature": "45"}
    asked = held("380", "330", "300", hold_fall="20", hold_after="5")
    found = judged({**MAKER, **asked, **cooled})
    assert "temperature_changed" in found.confounders
    assert "cooled by 15 K" in words(found)


def test_a_warming_rail_may_hide_a_leak() -> None:
    warmed = {"hold.s1.temperature": "40", "hold.s3.temperature": "55"}
    found = judged({**MAKER, **held("380", "381", "380"), **warmed})
    assert "a leak may hide in that" in words(found)
    assert "no fall that this gauge shows" in words(found)


def test_a_least_without_its_time_is_asked_for() -> None:
    found = judged({**MAKER, **held("380", "370", "365", hold_least="200")})
    assert "After how many minutes" in words(found)
    assert "hold_not_judged" in found.confounders


# --- what needs no figure ---------------------------------------------------------------------


def test_a_sag_under_load_is_seen_without_the_maker() -> None:
    assert judged({**BARE, "points.load.pressure": "300"}).pattern == "sags_under_load"
    assert judged({**BARE, "points.load.pressure": "365"}).pattern == "undecided"


def test_a_pressure_that_the_control_unit_sets_may_sag() -> None:
    typed = {**BARE, "given.regulator": "commanded", "points.load.pressure": "300"}
    assert judged(typed).pattern == "undecided"


def test_a_hose_that_changes_nothing_is_seen_without_the_maker() -> None:
    assert judged(HOSE).pattern == "undecided"
    assert judged({**HOSE, "points.hose_off.pressure": "322"}).pattern == "hose_changes_nothing"


def test_nothing_at_all_is_no_level() -> None:
    typed = dict.fromkeys((key for key in BARE if key.endswith("pressure")), "0")
    assert judged({**BARE, **typed}).pattern == "stays_at_nought"
    suction = dict.fromkeys(typed, "-30")
    assert judged({**BARE, **suction}).pattern != "stays_at_nought"


def test_escaping_fuel_leads_over_any_figure_and_forbids_driving() -> None:
    found = judged({**MAKER, "given.leak": "injector", "points.load.pressure": "250"})
    assert found.pattern == "fuel_escaping"
    pattern = PROCEDURE.pattern(found.pattern)
    assert pattern.direct and pattern.driving is not None
    assert pattern.driving.code == "do_not_drive"
    assert [item.pattern for item in found.also] == ["low_under_load"]


def test_a_pinched_return_tells_pump_from_regulator() -> None:
    assert "the pump can do more" in words(judged({**MAKER, "points.pinched.pressure": "520"}))
    assert "hardly a change" in words(judged({**MAKER, "points.pinched.pressure": "382"}))


def test_cautions_name_injection_into_skin_fire_relief_and_hard_lines() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("hospital at once", "common-rail", "Extinguisher", "Relieve", "plastic lines"):
        assert word in said
    diesel = PROCEDURE.cautions_for(Context(car=Car(fuel="diesel")))
    assert any(caution.danger.startswith("Diesel") for caution in diesel)


def test_the_next_step_asks_for_the_figure_first() -> None:
    checked = validate(PROCEDURE, BARE, PRESENT)
    address, why = PROCEDURE.next_step(checked.readings, PRESENT)[0]
    assert address == "given.static_least"
    assert "maker" in why


# --- laws -------------------------------------------------------------------------------------

KPA = st.one_of(st.just(""), st.integers(-90, 2400).map(str))


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["", "hose", "fixed", "commanded", "unknown"]),
    st.tuples(KPA, KPA, KPA, KPA, KPA, KPA, KPA, KPA),
    st.tuples(*[st.one_of(st.just(""), st.integers(1, 2000).map(str))] * 5),
)
def test_anything_that_can_be_typed_gets_an_answer(
    regulator: str, read: tuple[str, ...], asked: tuple[str, ...]
) -> None:
    rows = ("key_on", "idle", "load", "hose_off", "pinched")
    boxes = [f"points.{row}.pressure" for row in rows]
    boxes += [f"hold.s{number}.pressure" for number in (1, 2, 3)]
    figures = ("static_least", "static_most", "idle_least", "hold_least", "hold_fall")
    typed = dict(zip(boxes, read, strict=True))
    typed |= {f"given.{key}": kpa for key, kpa in zip(figures, asked, strict=True)}
    found = judged({**typed, "given.regulator": regulator, "given.hold_after": "5"})
    assert found.pattern in {pattern.code for pattern in PROCEDURE.patterns}
    if found.pattern == "within_maker":
        assert not found.outside
    if found.chart:
        assert chart.draw(found.chart)


@settings(max_examples=40, deadline=None)
@given(st.integers(300, 400))
def test_more_pressure_is_never_judged_lower(kpa: int) -> None:
    rank = {"outside": 0, "cannot_tell": 1, "within": 2}
    typed = {**BARE, "given.static_least": "350"}
    first, second = (
        judged({**typed, "points.idle.pressure": str(each)}).verdict("points.idle.pressure")
        for each in (kpa, kpa + 4)
    )
    assert rank[first.outcome] <= rank[second.outcome]


@settings(max_examples=20, deadline=None)
@given(st.integers(200, 500), st.integers(200, 500))
def test_the_display_unit_changes_no_verdict(idle: int, load: int) -> None:
    typed: dict[str, Any] = {
        key: (text, "kPa") if "pressure" in key or "static" in key else text
        for key, text in MAKER.items()
    }
    typed |= {
        "points.idle.pressure": (str(idle), "kPa"),
        "points.load.pressure": (str(load), "kPa"),
    }
    us = judged(typed, replace(PRESENT, units="us"))
    assert judged(typed).verdicts == us.verdicts
