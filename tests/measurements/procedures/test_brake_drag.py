"""Brake drag: sides against each other with what face and cooling do; trials that halve the search;
what a drive with braking is worth."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.compare import compare
from measurements.core.context import Ambient, ChosenLimit, Context
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import Readings, validate
from measurements.procedures.brake_drag import PROCEDURE, SIDES_K

PRESENT = Context(fault_present="yes")
CORNERS = ("fl", "fr", "rl", "rr")
READY = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
DRIVE = {
    **READY,
    "given.danger": "none",
    "given.braked": "none",
    "given.tool": "dull",
    "given.distance": "15",
    "given.air": "20",
}


def heats(*celsius: object) -> dict[str, Any]:
    return {f"wheels.{c}.temperature": str(t) for c, t in zip(CORNERS, celsius, strict=True)}


def spun(*words: str) -> dict[str, Any]:
    return {f"wheels.{c}.spin": word for c, word in zip(CORNERS, words, strict=True)}


FREE = spun("free", "free", "free", "free")
ALIKE = {**DRIVE, **heats(38, 40, 30, 31), **FREE}
LEFT_HOT = {**DRIVE, **heats(150, 45, 30, 31)}


def readings_of(typed: dict[str, Any], context: Context = PRESENT) -> Readings:
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return checked.readings


def judged(typed: dict[str, Any], context: Context = PRESENT) -> Assessment:
    return assess(PROCEDURE, readings_of(typed, context), context)


def patterns(found: Assessment) -> list[str]:
    return [found.pattern, *(item.pattern for item in found.also)]


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def outcome(found: Assessment, figure: str) -> str:
    verdict = found.verdict(f"figure.{figure}")
    assert verdict is not None
    return verdict.outcome


def u_of(found: Assessment, figure: str) -> float:
    one = found.figure(figure)
    assert one is not None
    return one.u


# --- left against right -----------------------------------------------------------------------


def test_the_hotter_side_is_named() -> None:
    found = judged(LEFT_HOT)
    assert (found.pattern, found.where) == ("one_side_hot", ("fl",))
    assert "front left 150 °C, front right 45 °C" in words(found)


def test_alike_on_both_axles_after_a_known_drive_is_sound() -> None:
    assert judged(ALIKE).pattern == "all_alike"


@pytest.mark.parametrize("missing", ["given.braked", "wheels.rl.temperature"])
def test_sound_needs_all_four_and_the_drive(missing: str) -> None:
    typed = {address: text for address, text in ALIKE.items() if address != missing}
    assert judged(typed).pattern == "undecided"


def test_what_is_usual_is_called_so_and_is_common_practice() -> None:
    verdict = judged(LEFT_HOT).verdict("figure.sides_front")
    assert verdict is not None and verdict.source is not None
    assert (verdict.high, verdict.source.tag) == (SIDES_K, "C")


def test_hot_brakes_may_differ_by_a_share_of_their_rise() -> None:
    typed = {**DRIVE, "given.braked": "hard", **heats(320, 280, 150, 150)}
    verdict = judged(typed).verdict("figure.sides_front")
    assert verdict is not None
    assert verdict.high == pytest.approx(0.15 * 300)


def test_a_limit_of_the_maker_goes_first() -> None:
    kept = ChosenLimit("figure.sides_front", None, 300.0, Source("maker", "sheet"))
    found = judged({**LEFT_HOT, "given.braked": "light"}, replace(PRESENT, limits=(kept,)))
    assert outcome(found, "sides_front") == "within"


def test_bare_metal_by_infrared_decides_less_than_a_dull_face() -> None:
    dull, bare, probe = (
        judged({**LEFT_HOT, "given.tool": tool}) for tool in ("dull", "bare", "contact")
    )
    assert u_of(probe, "sides_front") < u_of(dull, "sides_front") < u_of(bare, "sides_front")
    assert "shiny_face" in bare.confounders
    assert "shiny_face" not in dull.confounders


def test_a_way_of_reading_that_nobody_noted_counts_as_the_worst() -> None:
    typed = {address: text for address, text in LEFT_HOT.items() if address != "given.tool"}
    assert u_of(judged(typed), "sides_front") == pytest.approx(
        u_of(judged({**LEFT_HOT, "given.tool": "bare"}), "sides_front")
    )


def test_sides_read_minutes_apart_decide_less() -> None:
    apart = {address: text for address, text in LEFT_HOT.items() if address != "ready.minute"}
    found = judged(apart)
    assert "read_apart" in found.confounders
    assert u_of(found, "sides_front") > u_of(judged(LEFT_HOT), "sides_front")


def test_the_time_between_the_sides_counts_as_told() -> None:
    quick = judged({**LEFT_HOT, "given.gap": "10"})
    late = judged({**LEFT_HOT, "given.gap": "120"})
    assert u_of(quick, "sides_front") < u_of(judged(LEFT_HOT), "sides_front")
    assert "read_apart" in late.confounders


def test_read_late_a_good_result_is_worth_less() -> None:
    found = judged({**ALIKE, "given.since_stop": "20"})
    assert "cooled" in found.confounders
    assert PROCEDURE.confounder("cooled").only_sound


def test_after_braking_the_cooler_side_may_be_the_faulty_one() -> None:
    found = judged({**LEFT_HOT, "given.braked": "hard"})
    assert "braked_before" in found.confounders
    assert "it may also be the cooler side" in words(found)


def test_hot_on_a_diagonal_points_to_a_circuit() -> None:
    found = judged({**DRIVE, **heats(150, 45, 30, 120)})
    assert found.where == ("fl", "rr")
    assert "Hot on a diagonal" in words(found)


# --- a whole axle -----------------------------------------------------------------------------


def test_both_sides_hot_without_braking_are_an_axle() -> None:
    found = judged({**DRIVE, **heats(130, 135, 30, 31)})
    assert (found.pattern, found.where) == ("both_sides", ("fl", "fr"))


def test_both_sides_hot_after_braking_say_nothing() -> None:
    typed = {**DRIVE, "given.braked": "hard", "given.gap": "5", **heats(130, 131, 60, 61)}
    assert judged(typed).pattern == "all_alike"


def test_both_sides_hard_to_turn_are_an_axle() -> None:
    found = judged({**DRIVE, **spun("free", "free", "drags", "lets_go")})
    assert (found.pattern, found.where) == ("both_sides", ("rl", "rr"))
    assert "drags" not in patterns(found)


@pytest.mark.parametrize("place", ["pedal_up", "booster", "line", "nothing"])
def test_what_frees_a_whole_axle_names_the_place(place: str) -> None:
    found = judged({**DRIVE, **heats(130, 135, 30, 31), "given.upstream": place})
    assert PROCEDURE.sentences[f"upstream.{place}"] in words(found)


# --- by hand and by tool ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("column", "word", "pattern"),
    [
        ("bled", "frees", "frees_at_bleed"),
        ("bled", "stays", "stays_at_bleed"),
        ("slides", "stiff", "slides_stiff"),
        ("slides", "seized", "slides_stiff"),
        ("slack", "frees", "handbrake_holds"),
    ],
)
def test_what_lets_it_go_leads_over_the_heat(column: str, word: str, pattern: str) -> None:
    found = judged({**LEFT_HOT, "wheels.fl.spin": "drags", f"wheels.fl.{column}": word})
    assert (found.pattern, found.where) == (pattern, ("fl",))
    assert "one_side_hot" in patterns(found)


@pytest.mark.parametrize(("column", "word"), [("slack", "stays"), ("slides", "free")])
def test_a_trial_that_finds_nothing_is_no_finding(column: str, word: str) -> None:
    found = judged({**LEFT_HOT, "wheels.fl.spin": "drags", f"wheels.fl.{column}": word})
    assert patterns(found) == ["one_side_hot", "drags"]


def test_advice_stops_where_the_trial_is_done() -> None:
    typed = {**LEFT_HOT, "wheels.fl.spin": "drags"}
    asks = "open the bleed screw while it drags"
    assert asks in words(judged(typed))
    assert asks not in words(judged({**typed, "wheels.fl.bled": "frees"}))


@pytest.mark.parametrize("danger", ["heat", "smoke", "boiled"])
def test_dangerous_heat_leads_and_forbids_driving(danger: str) -> None:
    found = judged({**LEFT_HOT, "given.danger": danger})
    assert found.pattern == "too_hot"
    assert PROCEDURE.pattern("too_hot").driving.code == "do_not_drive"


def test_a_smell_alone_is_no_pattern() -> None:
    found = judged({**ALIKE, "given.danger": "smell"})
    assert found.pattern == "all_alike"
    assert "Hot smell" in words(found)


def test_hot_and_free_by_hand_is_said() -> None:
    assert "hot and yet free by hand" in words(judged({**LEFT_HOT, "wheels.fl.spin": "free"}))


def test_turned_in_gear_is_worth_less() -> None:
    typed = {address: text for address, text in ALIKE.items() if address != "ready.neutral"}
    assert "not_neutral" in judged(typed).confounders


def test_a_binding_brake_may_be_driven_only_as_stated() -> None:
    driving = PROCEDURE.pattern("one_side_hot").driving
    assert driving is not None
    assert driving.code == "only_as_stated"
    assert "short way" in driving.words


# --- torque -----------------------------------------------------------------------------------


def test_residual_torque_has_no_limit_but_the_makers() -> None:
    typed = {**READY, "given.radius": "300", "wheels.fl.force": "100"}
    bare = judged(typed)
    assert bare.verdict("figure.torque_fl") is None
    assert bare.pattern == "undecided"
    assert judged({**typed, "given.most_torque": "10"}).pattern == "drags"


def test_a_pull_without_its_radius_is_no_torque() -> None:
    figure = judged({**READY, "wheels.fl.force": "100"}).figure("torque_fl")
    assert figure is not None
    assert figure.value is None
    assert "radius" in figure.absent_because


def test_power_needs_the_tyre() -> None:
    typed = {**READY, "wheels.fl.torque": "20"}
    bare = judged(typed).figure("power_fl")
    assert bare is not None and bare.value is None
    known = judged({**typed, "given.tyre": "205/55 R16"}).figure("power_fl")
    assert known is not None and known.value is not None
    faster = judged({**typed, "given.tyre": "205/55 R16", "given.speed": "120"}).figure("power_fl")
    assert faster is not None
    assert faster.value == pytest.approx(1.5 * known.value)


# --- around it --------------------------------------------------------------------------------


def test_what_was_loosened_stands_apart_by_wheel() -> None:
    typed = {"wheels.fl.bled": "frees", "wheels.rl.slack": "stays", "given.upstream": "line"}
    assert PROCEDURE.moved is not None
    assert PROCEDURE.moved(readings_of(typed)) == (
        "bleed screw opened, front left",
        "handbrake cable slackened, rear left",
        "brake line opened at the master cylinder",
    )
    assert PROCEDURE.moved(readings_of(ALIKE)) == ()


def test_the_air_noted_for_the_whole_test_will_do() -> None:
    typed = {address: text for address, text in ALIKE.items() if address != "given.air"}
    bare, noted = judged(typed), judged(typed, replace(PRESENT, ambient=Ambient(temperature_c=20)))
    assert bare.figure("rise_fl") is None
    assert "air_not_read" in bare.confounders
    rise = noted.figure("rise_fl")
    assert rise is not None
    assert rise.value == pytest.approx(18)


def test_two_runs_are_compared_by_what_stands_above_the_air() -> None:
    winter = {**ALIKE, "given.air": "-5", **heats(13, 15, 5, 6)}
    before, after = readings_of(ALIKE), readings_of(winter)
    found = compare(
        PROCEDURE,
        before,
        after,
        figures_before=judged(ALIKE).figures,
        figures_after=judged(winter).figures,
    )
    assert found.comparable
    assert {change.direction for change in found.changes} == {"no clear change"}


@pytest.mark.parametrize(("key", "other"), [("braked", "hard"), ("tool", "contact")])
def test_unlike_drives_and_tools_are_not_compared(key: str, other: str) -> None:
    before, after = readings_of(ALIKE), readings_of({**ALIKE, f"given.{key}": other})
    assert not compare(PROCEDURE, before, after).comparable


def test_the_drawing_has_a_panel_for_each_wheel_that_was_read() -> None:
    data = judged({**DRIVE, "wheels.fl.temperature": "80", "wheels.rr.temperature": "60"}).chart
    assert [(p["row"], p["side"]) for p in data["panels"]] == [(0, 0), (1, 1)]
    assert "front left 60 K" in data["title"].replace("\xa0", " ")
    assert chart.draw(data)


def test_a_brake_colder_than_the_air_is_not_drawn() -> None:
    assert judged({**DRIVE, **heats(10, 12, 11, 12)}).chart == {}


def test_the_difference_for_a_shop_in_fahrenheit_carries_no_offset() -> None:
    said = words(judged(LEFT_HOT, replace(PRESENT, units="us")))
    assert "Up to 45 °F of difference" in said


# --- whatever is typed ------------------------------------------------------------------------

RANK = {"within": 0, "cannot_tell": 1, "outside": 2}


@given(st.lists(st.integers(60, 400), min_size=2, max_size=2))
def test_a_hotter_side_is_never_more_usual(celsius: list[int]) -> None:
    """Beside a neighbour at 60 °C, after a drive without braking."""
    found = [
        outcome(judged({**DRIVE, **heats(hot, 60, 30, 31)}), "sides_front")
        for hot in sorted(celsius)
    ]
    assert RANK[found[0]] <= RANK[found[1]]


@given(st.integers(-40, 500), st.integers(-40, 500))
def test_left_and_right_changed_round_change_only_the_side(left: int, right: int) -> None:
    one, other = (
        judged({**DRIVE, **heats(left, right, 30, 30)}),
        judged({**DRIVE, **heats(right, left, 30, 30)}),
    )
    assert one.pattern == other.pattern
    assert outcome(one, "sides_front") == outcome(other, "sides_front")


@given(st.integers(-40, 900))
def test_the_unit_typed_changes_no_verdict(fahrenheit: int) -> None:
    celsius = f"{(fahrenheit - 32) / 1.8:.6f}"
    typed = {**DRIVE, **heats(40, 40, 30, 30)}
    found = [
        judged({**typed, "wheels.fl.temperature": entry})
        for entry in ((str(fahrenheit), "°F"), (celsius, "°C"))
    ]
    assert found[0].pattern == found[1].pattern
    assert outcome(found[0], "sides_front") == outcome(found[1], "sides_front")
