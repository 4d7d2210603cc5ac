"""Combustion gas: a colour that counts for nothing first, then what was seen, then no gas seen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.combustion_gas import PROCEDURE

PETROL = Context(car=Car(fuel="petrol"), fault_present="yes")
DIESEL = replace(PETROL, car=Car(fuel="diesel"))
BLUE = {
    **{f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions},
    "given.fluid_for": "petrol",
    "given.fluid_age": "in_date",
    "given.control": "start",
    "given.bubbles": "none",
    "draws.idle.before": "start",
    "draws.idle.after": "start",
    "draws.idle.minutes": "2",
    "draws.load.after": "start",
}
TURNED = {**BLUE, "draws.load.after": "gas"}


def judged(typed: dict[str, Any], context: Context = PETROL) -> Assessment:
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def rising(*rows: tuple[str, str, str], **more: str) -> dict[str, str]:
    """Rows of (seconds, kPa, °C) from a cold start; half glycol unless told otherwise."""
    typed = {"given.coolant": "half", "given.gas_space": "normal"}
    typed |= {f"given.{key}": value for key, value in more.items()}
    for number, row in enumerate(rows, 1):
        for column, text in zip(("at", "pressure", "temperature"), row, strict=True):
            if text:
                typed[f"rise.s{number}.{column}"] = text
    return typed


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


# --- a colour that counts for nothing ---------------------------------------------------------


@pytest.mark.parametrize(
    "spoils",
    [
        {"given.control": "gas"},
        {"given.control": "between"},
        {"draws.load.liquid": "yes"},
        {"draws.load.before": "between"},
        {"given.fluid_for": "diesel"},
    ],
)
def test_a_change_that_something_else_explains_is_not_counted(spoils: dict[str, str]) -> None:
    found = judged({**TURNED, **spoils})
    assert found.pattern != "gas_seen"
    assert "was not counted" in words(found)


@pytest.mark.parametrize("after", ["gas", "start"])
def test_petrol_fluid_says_nothing_on_a_diesel(after: str) -> None:
    typed = {**BLUE, "draws.idle.after": after, "draws.load.after": after}
    assert judged(typed, DIESEL).pattern == "undecided"
    own = judged({**typed, "given.fluid_for": "diesel"}, DIESEL)
    assert own.pattern == ("gas_seen" if after == "gas" else "none_seen")


def test_a_colour_half_way_counts_neither_way() -> None:
    found = judged({**BLUE, "draws.load.after": "between"})
    assert found.pattern == "undecided"
    assert "counts neither way" in words(found)


def test_without_a_control_a_change_counts_for_less_and_no_change_as_much() -> None:
    turned = {key: value for key, value in TURNED.items() if key != "given.control"}
    assert "control_not_drawn" in judged(turned).confounders
    blue = {key: value for key, value in BLUE.items() if key != "given.control"}
    assert "control_not_drawn" not in judged(blue).confounders


def test_doubts_on_the_fluid_leave_the_bubbles_as_they_are() -> None:
    typed = {**BLUE, "given.fluid_age": "past", "given.control": "gas"}
    found = judged({**typed, "given.bubbles": "follow_speed"})
    assert found.pattern == "bubbles_follow_speed"
    assert found.confounders == ()


# --- what was seen ----------------------------------------------------------------------------


def test_gas_after_load_is_seen_although_idle_stayed_blue() -> None:
    found = judged(TURNED)
    assert (found.pattern, found.where) == ("gas_seen", ("load",))
    assert "Clean air drawn before" in words(found)


def test_before_a_head_comes_off_a_second_ground_is_asked_for() -> None:
    found = judged(TURNED)
    assert "second ground" in words(found)
    assert "same fluid count once" in words(found)


def test_a_second_thing_is_not_hidden_by_the_first() -> None:
    typed = {**TURNED, "given.bubbles": "follow_speed", "given.pushed_out": "without_overheating"}
    assert [item.pattern for item in judged(typed).also] == ["bubbles_follow_speed", "pushed_out"]


@pytest.mark.parametrize(
    ("drives", "pattern"),
    [("0", "air_after_refill"), ("3", "air_after_refill"), ("4", "steady_bubbles")],
)
def test_bubbles_soon_after_filling_conclude_nothing(drives: str, pattern: str) -> None:
    typed = {**BLUE, "given.bubbles": "steady", "given.drives_since": drives}
    assert judged(typed).pattern == pattern


def test_a_hose_is_early_only_clearly_within_the_minute() -> None:
    found = {
        seconds: judged({**BLUE, "given.hose": "hard", "given.hose_hard_after": seconds})
        for seconds in ("30", "58", "120")
    }
    patterns = {seconds: one.pattern for seconds, one in found.items()}
    assert patterns == {"30": "hose_hard_early", "58": "none_seen", "120": "none_seen"}
    assert "too close to tell by hand" in words(found["58"])
    assert "too close to tell by hand" not in words(found["120"])


def test_coolant_pushed_out_by_boiling_says_nothing_of_gas() -> None:
    found = judged({**BLUE, "given.pushed_out": "with_overheating"})
    assert found.pattern == "none_seen"
    assert "what boiling does" in words(found)


# --- pressure beyond warming ------------------------------------------------------------------


def test_pressure_without_warmth_is_beyond_warming() -> None:
    found = judged({**BLUE, **rising(("0", "0", "20"), ("60", "40", "24"))})
    assert found.pattern == "rises_beyond_warming"
    assert "needs another cause" in words(found)


def test_the_same_rise_is_warmth_where_there_is_little_room() -> None:
    rows = (("0", "0", "20"), ("120", "25", "40"))
    wide = judged({**BLUE, **rising(*rows, gas_space="large")})
    narrow = judged({**BLUE, **rising(*rows, gas_space="small")})
    assert wide.pattern == "rises_beyond_warming"
    assert narrow.pattern != "rises_beyond_warming"
    assert "with more of it" in words(narrow)


def test_what_a_cap_lets_out_later_does_not_hide_what_was_seen_before() -> None:
    rows = (("0", "0", "20"), ("60", "100", "24"), ("600", "60", "70"))
    found = judged({**BLUE, **rising(*rows, gas_space="small", cap="100")})
    assert (found.pattern, found.where) == ("rises_beyond_warming", ("s2",))


def test_pressures_without_a_temperature_are_not_judged() -> None:
    found = judged({**BLUE, **rising(("0", "0", ""), ("60", "40", ""))})
    assert found.figure("excess_rise") is None
    assert "read both from the next cold start" in words(found)


def test_more_than_the_caps_rating_is_said() -> None:
    found = judged({**BLUE, **rising(("0", "0", "20"), ("60", "130", "24"), cap="110")})
    assert "let it down now" in words(found)


def test_no_prediction_is_given_in_words() -> None:
    found = judged({**BLUE, **rising(("0", "0", "20"), ("300", "60", "60"), gas_space="brim")})
    assert "No prediction: warming by 40 K" in words(found)


def test_a_gauge_at_nought_on_a_hot_engine_is_refused_in_words() -> None:
    found = judged({**BLUE, **rising(("0", "0", "110"), ("60", "5", "112"), coolant="water")})
    assert found.figure("excess_rise") is None
    assert "vapour alone would stand higher" in words(found)


# --- no gas seen ------------------------------------------------------------------------------


def test_no_gas_seen_needs_a_draw_that_counts() -> None:
    assert judged(BLUE).pattern == "none_seen"
    undone = {key: value for key, value in BLUE.items() if not key.startswith("draws.")}
    assert judged(undone).pattern == "undecided"


def test_idling_alone_weakens_only_a_good_result() -> None:
    idle = {key: value for key, value in BLUE.items() if not key.startswith("draws.load")}
    assert "not_loaded" in judged(idle).confounders
    assert PROCEDURE.confounder("not_loaded").only_sound


def test_an_electric_car_is_not_tested() -> None:
    found = judged(BLUE, replace(PETROL, car=Car(fuel="electric", high_voltage=True)))
    assert found.confounders[0] == "not_for_this_car"


def test_cautions_name_heat_liquid_pump_poison_and_the_fluid_for_diesel() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(DIESEL))
    for word in ("hot", "do not crank", "from nought", "Do not taste", "diesel", "Extract"):
        assert word in said
    assert not any("diesel" in c.danger for c in PROCEDURE.cautions_for(PETROL))


# --- laws -------------------------------------------------------------------------------------

COLOURS = st.sampled_from(["", "start", "between", "gas", "other"])


@settings(max_examples=60, deadline=None)
@given(
    st.tuples(COLOURS, COLOURS, COLOURS),
    st.sampled_from(["", "none", "few_then_stop", "steady", "follow_speed"]),
    st.lists(st.tuples(st.integers(-5, 200), st.integers(-30, 130)), max_size=4),
    st.sampled_from(["brim", "small", "normal", "large", "unknown"]),
    st.sampled_from([PETROL, DIESEL, Context()]),
)
def test_anything_that_can_be_typed_gets_an_answer(
    colours: tuple[str, str, str],
    bubbles: str,
    points: list[tuple[int, int]],
    gas: str,
    context: Context,
) -> None:
    rows = [(str(30 * n), str(kpa), str(celsius)) for n, (kpa, celsius) in enumerate(points)]
    control, idle, load = colours
    found = judged(
        {
            "given.control": control,
            "draws.idle.after": idle,
            "draws.load.after": load,
            "given.bubbles": bubbles,
            **rising(*rows, gas_space=gas),
        },
        context,
    )
    assert found.pattern in {pattern.code for pattern in PROCEDURE.patterns}
    if found.pattern == "none_seen":
        assert "start" in (idle, load) and "gas" not in (idle, load)
    if found.chart:
        assert chart.draw(found.chart)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 60), st.integers(0, 12))
def test_more_pressure_is_never_less_beyond_warming(kpa: int, warmer: int) -> None:
    rank = {"within": 0, "cannot_tell": 1, "outside": 2}
    outcomes = [
        judged(rising(("0", "0", "20"), ("60", str(more), str(20 + warmer)))).verdict(
            "figure.excess_rise"
        )
        for more in (kpa, kpa + 5)
    ]
    assert rank[outcomes[0].outcome] <= rank[outcomes[1].outcome]


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 60), st.integers(20, 50))
def test_the_display_unit_changes_no_verdict(kpa: int, celsius: int) -> None:
    typed = {
        **rising(("0", "0", "20"), ("60", "", "")),
        "rise.s1.pressure": ("0", "kPa"),
        "rise.s1.temperature": ("20", "°C"),
        "rise.s2.pressure": (str(kpa), "kPa"),
        "rise.s2.temperature": (str(celsius), "°C"),
    }
    metric = judged(typed)
    us = judged(typed, replace(PETROL, units="us"))
    assert metric.verdicts == us.verdicts
    assert metric.pattern == us.pattern
