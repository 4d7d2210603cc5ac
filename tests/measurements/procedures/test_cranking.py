"""Cranking: dangers first, held volts and not the dip, and battery, loss and starter told apart."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.run_file import run_data
from measurements.procedures.cranking import PROCEDURE, held_least_v

PETROL = {"fuel": "petrol"}
DID = ["turns", "turns_slowly", "one_click", "many_clicks", "nothing", "stops_dead", "whirs"]


def judged(typed: dict[str, Any], **context: Any) -> Assessment:
    context.setdefault("fault_present", "yes")
    context.setdefault("car", PETROL)
    readings = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions} | typed
    return run_data(PROCEDURE, {"typed": readings, "context": context}).assessment


def crank(did: str, volts: str = "", amps: str = "", rpm: str = "", **more: str) -> Assessment:
    """Judge one attempt at 20 °C from 12.60 V at rest, unless told otherwise."""
    typed = {
        "given.did": did,
        "given.temperature": "20",
        "given.rest": "12.60",
        "attempts.first.volts": volts,
        "attempts.first.current": amps,
        "attempts.first.speed": rpm,
    }
    return judged(typed | {f"given.{key}": value for key, value in more.items()})


def ids(result: Assessment) -> list[str]:
    return [sentence.id for sentence in (*result.customer, *result.technician)]


def steps(result_of: dict[str, str]) -> tuple[tuple[str, str], ...]:
    found = run_data(PROCEDURE, {"typed": result_of})
    assert PROCEDURE.next_step is not None
    return PROCEDURE.next_step(found.checked.readings, found.context)


# --- dangers ----------------------------------------------------------------------------------


def test_do_not_crank_on_suspected_liquid_is_the_first_caution() -> None:
    assert PROCEDURE.cautions[0].danger == "Liquid suspected in a cylinder: do not crank."


def test_the_car_leaping_is_warned_of() -> None:
    (caution,) = (c for c in PROCEDURE.cautions if c.danger == "The car can leap.")
    for word in ("Neutral", "brake on", "chocked", "nobody in front"):
        assert word in caution.text


@pytest.mark.parametrize(
    "typed", [{"given.liquid": "yes"}, {"given.did": "stops_dead"}], ids=["liquid", "stops_dead"]
)
def test_after_a_dead_stop_nothing_asks_for_another_try(typed: dict[str, str]) -> None:
    result = judged(typed)
    pattern = PROCEDURE.pattern(result.pattern)
    assert steps(typed) == ()
    assert pattern.driving is not None and pattern.driving.code == "do_not_drive"
    assert "Do not crank" in result.technician[0].text
    assert not any("then crank again" in sentence.text for sentence in result.technician)


def test_liquid_leads_whatever_else_was_read() -> None:
    assert crank("turns", "10.80", "180", liquid="yes").pattern == "liquid_suspected"


# --- switches ---------------------------------------------------------------------------------


def test_a_lost_bumper_is_seen_though_the_switch_was_not_measured() -> None:
    result = judged({"given.did": "nothing", "switches.clutch.stop": "missing"})
    assert (result.pattern, result.where) == ("switch_not_reached", ("clutch",))


@pytest.mark.parametrize("state", ["open", "closed"])
def test_a_switch_that_does_not_change_is_seen(state: str) -> None:
    result = judged(
        {"given.did": "nothing", "switches.brake.rest": state, "switches.brake.pressed": state}
    )
    assert (result.pattern, result.where) == ("switch_unchanged", ("brake",))
    assert f"technician.stays_{state}" in ids(result)


def test_a_switch_that_changes_is_nothing_unusual() -> None:
    result = judged(
        {
            "given.did": "turns",
            "given.temperature": "20",
            "attempts.first.volts": "10.80",
            "switches.clutch.rest": "open",
            "switches.clutch.pressed": "closed",
            "switches.clutch.reaches": "yes",
            "switches.clutch.stop": "there",
        }
    )
    assert result.pattern == "sound"


def test_a_switch_that_stays_closed_advises_how_to_start() -> None:
    driving = PROCEDURE.pattern("switch_unchanged").driving
    assert driving is not None and "neutral" in driving.words


# --- volts and current ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("did", "volts", "amps", "pattern"),
    [
        ("many_clicks", "7.20", "45", "low_volts_low_current"),
        ("turns_slowly", "8.90", "40", "low_volts_low_current"),
        ("turns_slowly", "11.90", "40", "good_volts_low_current"),
        ("one_click", "12.30", "5", "good_volts_low_current"),
        ("turns_slowly", "9.30", "420", "high_current_slow"),
        ("one_click", "8.00", "600", "high_current_slow"),
        ("turns_slowly", "8.60", "", "low_volts"),
        ("turns_slowly", "9.00", "180", "low_volts"),
        ("turns", "10.80", "180", "sound"),
    ],
)
def test_volts_and_current_together(did: str, volts: str, amps: str, pattern: str) -> None:
    assert crank(did, volts, amps).pattern == pattern


def test_the_first_dip_is_not_judged() -> None:
    result = judged({"given.did": "turns", "attempts.first.dip": "7.50"})
    verdict = result.verdict("attempts.first.dip")
    assert verdict is not None and verdict.outcome == "no_limit"
    assert result.pattern == "undecided" and "technician.first_dip_only" in ids(result)


def test_a_deep_dip_beside_good_held_volts_is_nothing() -> None:
    result = judged(
        {
            "given.did": "turns",
            "given.temperature": "20",
            "attempts.first.volts": "10.80",
            "attempts.first.dip": "7.50",
        }
    )
    assert result.pattern == "sound"


def test_nine_point_six_volts_is_the_load_test_and_unusual_here() -> None:
    result = crank("turns_slowly", "9.70", "180")
    verdict = result.verdict("attempts.first.volts")
    assert verdict is not None and (verdict.outcome, verdict.low) == ("outside", 10.0)
    assert "load-test figure" in " ".join(s.text for s in result.technician)


def test_the_cold_lowers_what_is_usual() -> None:
    assert crank("turns", "9.40", "200", temperature="-18").pattern == "sound"
    assert crank("turns", "9.40", "200", temperature="20").pattern == "low_volts"


def test_slow_in_frost_is_not_held_against_a_speed() -> None:
    verdict = crank("turns", "9.60", "200", "80", temperature="-12").verdict("attempts.first.speed")
    assert verdict is not None and verdict.outcome == "no_limit"


def test_an_own_note_of_the_current_goes_before_the_usual_one() -> None:
    assert crank("turns_slowly", "10.60", "230").pattern == "slow_with_good_volts"
    assert crank("turns_slowly", "10.60", "230", noted_current="110").pattern == "high_current_slow"


def test_a_makers_least_goes_before_the_usual_one() -> None:
    source = {"tag": "maker", "text": "invented workshop manual"}
    limits = [{"address": "attempts.*.volts", "low": 9.0, "high": None, "source": source}]
    typed = {"given.did": "turns", "given.temperature": "20", "attempts.first.volts": "9.60"}
    result = judged(typed, limits=limits)
    assert result.pattern == "sound" and "limit.maker" in ids(result)


def test_the_sign_of_the_clamp_does_not_matter() -> None:
    assert crank("turns_slowly", "9.30", "-420").pattern == "high_current_slow"


@pytest.mark.parametrize("rest", ["12.10", "12.40"])
def test_a_weak_battery_is_a_confounder_and_said(rest: str) -> None:
    result = crank("turns_slowly", "8.60", "180", rest=rest)
    assert "battery_low" in result.confounders
    assert {"customer.battery_low", "technician.battery_low"} <= set(ids(result))


def test_a_charged_battery_is_none() -> None:
    assert "battery_low" not in crank("turns_slowly", "8.60", "180").confounders


def test_the_worst_attempt_leads() -> None:
    result = judged(
        {
            "given.did": "turns",
            "given.temperature": "20",
            "attempts.first.volts": "10.80",
            "attempts.second.volts": "8.90",
        }
    )
    assert (result.pattern, result.where) == ("low_volts", ("second",))


# --- does not turn ----------------------------------------------------------------------------


def test_no_volts_at_the_control_terminal_is_a_missing_command() -> None:
    assert crank("nothing", control="0.20").pattern == "no_command"


def test_a_command_that_arrives_and_volts_that_hold_point_past_the_switches() -> None:
    assert crank("one_click", "12.30", control="11.90").pattern == "commanded_stands"


@pytest.mark.parametrize("control", ["", "11.9"])
def test_a_starter_that_stands_is_at_least_said(control: str) -> None:
    assert crank("nothing", control=control).pattern == "does_not_turn"


def test_a_missing_command_does_not_hide_low_volts() -> None:
    result = crank("nothing", "6.00", control="0.10")
    assert result.pattern == "no_command"
    assert [item.pattern for item in result.also] == ["low_volts"]


def test_good_volts_without_the_starters_doing_are_not_sound() -> None:
    result = judged({"given.temperature": "20", "attempts.first.volts": "10.80"})
    assert result.pattern == "undecided" and result.missing == ("given.did",)


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ({}, "given.did"),
        ({"given.did": "nothing"}, "given.control"),
        ({"given.did": "turns"}, "attempts.first.volts"),
        ({"given.did": "turns", "attempts.first.volts": "10.8"}, "attempts.first.current"),
    ],
)
def test_next_step_asks_for_what_decides(typed: dict[str, str], address: str) -> None:
    assert steps(typed)[0][0] == address


# --- properties -------------------------------------------------------------------------------


@given(
    st.sampled_from(["", *DID]),
    st.floats(0, 14),
    st.floats(-1500, 1500),
    st.floats(0, 600),
    st.sampled_from(["", "-30", "0", "20", "70"]),
)
def test_no_readings_in_range_are_too_much(
    did: str, volts: float, amps: float, rpm: float, temp: str
) -> None:
    result = crank(did, f"{volts:.2f}", f"{amps:.0f}", f"{rpm:.0f}", temperature=temp)
    assert result.customer and result.technician


@given(st.floats(6, 13))
def test_the_unit_typed_changes_nothing(volts: float) -> None:
    text = f"{volts:.2f}"
    in_mv = judged(
        {
            "given.did": "turns",
            "attempts.first.volts": [f"{float(text) * 1000:.0f}", "mV"],
        }
    )
    in_volts = judged({"given.did": "turns", "attempts.first.volts": text})
    assert in_mv.pattern == in_volts.pattern
    assert [v.outcome for v in in_mv.verdicts] == [v.outcome for v in in_volts.verdicts]


@given(st.floats(6, 13), st.floats(0, 4))
def test_more_volts_are_never_judged_worse(volts: float, more: float) -> None:
    order = ["outside", "cannot_tell", "within"]
    low, high = (
        crank("turns", f"{number:.2f}").verdict("attempts.first.volts")
        for number in (volts, volts + more)
    )
    assert low is not None and high is not None
    assert order.index(low.outcome) <= order.index(high.outcome)


@given(st.floats(-60, 80), st.floats(0, 40))
def test_what_is_usual_never_falls_as_it_warms(temp_c: float, warmer_k: float) -> None:
    assert 8.9 <= held_least_v(temp_c) <= held_least_v(temp_c + warmer_k) <= 10.0
