"""Charging: what was seen at each point, and nothing concluded without enough load."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.readings import layout
from measurements.core.run_file import run_data
from measurements.procedures.charging import PROCEDURE, usual_window

WELL = {
    "given.rated": "100",
    "given.regulator_temp": "25",
    "points.off.battery_v": "12.60",
    "points.idle.battery_v": "14.30",
    "points.fast.battery_v": "14.10",
    "points.fast.stud_v": "14.25",
    "points.fast.current": "70",
}


def judged(typed: dict[str, Any], **context: Any) -> Assessment:
    context.setdefault("fault_present", "yes")
    return run_data(PROCEDURE, {"typed": typed, "context": context}).assessment


def test_opens_at_three_points() -> None:
    made = layout(PROCEDURE, Context())
    assert [row.label for row in made.grids[0].rows] == ["engine off", "idle", "2000 rpm, loads on"]
    assert made.grids[0].can_add


def test_preset_conditions_stand_in_until_typed() -> None:
    made = layout(PROCEDURE, Context())
    defaults = {slot.address: slot.default for slot in made.slots}
    assert defaults["points.fast.rpm"] == "2000"
    assert defaults["points.fast.loads"] == "heavy"


@pytest.mark.parametrize(
    "change",
    [
        {"given.rated": ""},
        {"points.fast.current": ""},
        {"points.fast.current": "49"},
        {"points.fast.loads": "some"},
    ],
)
def test_sound_needs_half_of_the_rated_current_with_loads_on(change: dict[str, str]) -> None:
    assert judged(WELL).pattern == "sound"
    assert judged({**WELL, **change}).pattern == "not_loaded_enough"


@pytest.mark.parametrize("drop", ["given.feed_drop", "given.ground_drop"])
def test_a_loss_on_the_way_is_not_concluded_without_load(drop: str) -> None:
    with_load = judged({**WELL, drop: "0.9"})
    without = judged({**WELL, drop: "0.9", "points.fast.current": ""})
    assert with_load.pattern in ("lost_in_feed", "lost_in_ground")
    assert without.pattern == "undecided"
    assert "technician.drop_at_small_current" in [s.id for s in without.technician]


def test_a_small_drop_is_scaled_to_the_rating() -> None:
    result = judged({**WELL, "points.fast.current": "55", "given.feed_drop": "0.250"})
    figure = result.figure("feed_drop_at_rated")
    assert figure is not None and figure.value == pytest.approx(0.25 / 55 * 100)
    assert result.pattern == "lost_in_feed"


def test_a_second_fault_is_not_hidden_by_the_first() -> None:
    result = judged(
        {**WELL, "given.feed_drop": "0.9", "given.ground_drop": "0.6", "points.fast.ripple": "900"}
    )
    assert result.pattern == "lost_in_feed"
    assert [item.pattern for item in result.also] == ["lost_in_ground", "ripple_high"]


def test_low_at_light_load_alone_is_no_finding() -> None:
    result = judged({"given.rated": "100", "points.idle.battery_v": "12.7"})
    assert result.pattern == "undecided"


def test_speed_and_load_are_told_apart_by_one_more_point() -> None:
    typed = {**WELL, "points.idle.battery_v": "12.70"}
    assert judged(typed).pattern == "low_first_full_later"
    point = {"points.x1.rpm": "850", "points.x1.loads": "heavy", "points.x1.battery_v": "14.20"}
    assert judged({**typed, **point}).pattern in ("low_first_full_later", "low_until_called")


def test_following_a_low_request_shows_no_ability() -> None:
    result = judged(
        {
            **WELL,
            "given.requested": "12.6",
            "points.idle.stud_v": "12.65",
            "points.fast.stud_v": "12.62",
            "points.fast.battery_v": "12.5",
        }
    )
    assert result.pattern == "follows_low_request"
    assert "Whether the alternator can deliver more was not shown." in result.customer[0].text


def test_too_high_is_an_alarm_only_when_it_lasts() -> None:
    high = {**WELL, "points.idle.battery_v": "15.6"}
    assert judged(high).pattern == "undecided"
    assert "technician.watch_above" in [s.id for s in judged(high).technician]
    assert judged({**high, "given.lasted": "yes"}).pattern == "above_window"


def test_the_window_moves_with_the_temperature() -> None:
    assert usual_window(-10, True)[1] > 15.23
    assert usual_window(60, False)[0] < 13.7
    assert usual_window(None, False) == (13.8, 14.8)
    assert usual_window(None, True) == (13.5, 15.0)


@given(st.floats(-40, 130))
def test_temperature_only_widens_the_window(temp_c: float) -> None:
    low, high = usual_window(temp_c, False)
    assert low <= 13.8 and high >= 14.8


def test_a_lorry_has_twice_the_window() -> None:
    typed = {
        "given.rated": "100",
        "given.regulator_temp": "25",
        "points.idle.battery_v": "28.4",
        "points.fast.battery_v": "28.0",
        "points.fast.current": "70",
    }
    assert judged(typed, car={"volts": 24}).pattern == "sound"


def test_a_high_voltage_car_keeps_its_readings_but_gets_no_pattern() -> None:
    result = judged(WELL, car={"high_voltage": True})
    assert (result.pattern, result.confounders[0]) == ("undecided", "not_for_this_car")
    assert "converter" in result.customer[0].text


def test_never_pull_a_battery_lead_is_the_first_caution() -> None:
    assert PROCEDURE.cautions[0].danger == "Never pull a battery lead on a running engine."


def test_stud_battery_and_drops_that_do_not_add_up_weaken_it() -> None:
    result = judged(
        {
            **WELL,
            "points.fast.stud_v": "14.60",
            "given.feed_drop": "0.02",
            "given.ground_drop": "0.02",
        }
    )
    assert "points_disagree" in result.confounders


def test_ripple_of_a_bare_number_is_millivolt() -> None:
    verdict = judged({**WELL, "points.fast.ripple": "20"}).verdict("points.fast.ripple")
    assert verdict is not None and verdict.value == pytest.approx(0.020)


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ({}, "given.rated"),
        ({"given.rated": "100"}, "points.fast.current"),
        (
            {"given.rated": "100", "points.fast.battery_v": "14.2", "points.fast.current": "60"},
            "points.fast.stud_v",
        ),
    ],
)
def test_next_step_asks_for_what_decides(typed: dict[str, str], address: str) -> None:
    judgement = run_data(PROCEDURE, {"typed": typed})
    assert PROCEDURE.next_step is not None
    steps = PROCEDURE.next_step(judgement.checked.readings, judgement.context)
    assert steps[0][0] == address


@given(st.floats(11, 16), st.floats(11, 16), st.floats(0, 120))
def test_sound_is_never_said_below_half_of_the_rating(
    idle: float, fast: float, amps: float
) -> None:
    result = judged(
        {
            **WELL,
            "points.idle.battery_v": f"{idle:.2f}",
            "points.fast.stud_v": "",
            "points.fast.battery_v": f"{fast:.2f}",
            "points.fast.current": f"{amps:.1f}",
        }
    )
    assert result.pattern != "sound" or float(f"{amps:.1f}") >= 50
