"""Voltage drop: judged only with a current, and located step by step."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.readings import layout
from measurements.core.run_file import run_data
from measurements.procedures.voltage_drop import PROCEDURE, STEP_LIMIT_V, WHOLE_LIMIT_V

STEPS = ("post", "cable", "strap", "case")
GROUND = {
    "given.path": "starter_ground",
    "given.current": "200",
    "ready.battery": "yes",
    "ready.leads": "yes",
}


def judged(typed: dict[str, Any], **context: Any) -> Assessment:
    return run_data(PROCEDURE, {"typed": typed, "context": context}).assessment


def drops(*values: float) -> dict[str, str]:
    return {f"path.{step}.drop": f"{value:.3f}" for step, value in zip(STEPS, values, strict=True)}


def test_without_current_nothing_is_judged() -> None:
    result = judged({"given.path": "starter_ground", **drops(0, 0, 0.9, 0)})
    assert result.pattern == "no_current"
    assert {verdict.outcome for verdict in result.verdicts} == {"no_limit"}


@pytest.mark.parametrize(
    "typed", [{"given.load_seen": "no"}, {"given.current": "0.03"}, {"given.current": "-"}, {}]
)
def test_what_shows_no_current(typed: dict[str, str]) -> None:
    assert (
        judged({"given.path": "starter_ground", **typed, **drops(0, 0, 0, 0)}).pattern
        == "no_current"
    )


@pytest.mark.parametrize(
    "typed",
    [
        {"given.load_seen": "yes"},
        {"given.current": "0.5"},
        {"given.current": "-12"},
        {"given.current": ">100"},
    ],
)
def test_what_shows_a_current(typed: dict[str, str]) -> None:
    result = judged({"given.path": "starter_ground", **typed, **drops(0.01, 0.02, 0.6, 0.01)})
    assert (result.pattern, result.where) == ("lost_in_one_step", ("strap",))


def test_the_worst_step_leads_and_the_others_are_named() -> None:
    result = judged({**GROUND, **drops(0.3, 0.05, 0.7, 0.2)})
    assert result.where == ("strap",)
    assert [item.where for item in result.also] == [("post",), ("case",)]
    assert sum(s.id == "technician.also_outside" for s in result.technician) == 2


def test_one_fault_says_nothing_of_the_rest() -> None:
    result = judged({**GROUND, **drops(0.01, 0.05, 0.7, 0.01)})
    assert "technician.one_fault_clears_nothing" in [s.id for s in result.technician]


def test_sound_says_that_it_holds_for_this_path_only() -> None:
    result = judged({**GROUND, **drops(0.01, 0.05, 0.05, 0.01)})
    assert result.pattern == "sound"
    assert "This concerns that stretch only." in [s.text for s in result.customer]


def test_a_step_not_read_leaves_it_undecided() -> None:
    typed = {**GROUND, **drops(0.01, 0.05, 0.05, 0.01)}
    del typed["path.strap.drop"]
    result = judged(typed)
    assert result.pattern == "undecided"
    assert result.missing == ("path.strap.drop",)


def test_a_weak_current_never_gives_sound() -> None:
    typed = {
        **GROUND,
        "given.current": "60",
        "given.rated": "200",
        **drops(0.003, 0.01, 0.01, 0.003),
    }
    assert judged(typed).pattern == "not_loaded_enough"


def test_a_weak_current_still_shows_a_great_loss() -> None:
    typed = {**GROUND, "given.current": "60", "given.rated": "200", **drops(0.01, 0.01, 0.5, 0.01)}
    result = judged(typed)
    assert (result.pattern, "weak_current" in result.confounders) == ("lost_in_one_step", True)


def test_more_than_the_rated_current_is_scaled_down() -> None:
    typed = {
        **GROUND,
        "given.current": "300",
        "given.rated": "200",
        "given.whole": "0.360",
        **drops(0.04, 0.13, 0.15, 0.04),
    }
    result = judged(typed)
    figure = result.figure("drop_at_rated")
    assert figure is not None and figure.value == pytest.approx(0.24)
    assert result.pattern != "lost_spread"


def test_resistance_is_absent_with_a_reason_without_current() -> None:
    result = judged(
        {"given.path": "starter_ground", "given.load_seen": "yes", "given.whole": "0.1"}
    )
    figure = result.figure("resistance")
    assert figure is not None and figure.value is None
    assert figure.absent_because == "the current was not measured"


def test_gain_cancels_in_the_gap_between_whole_and_steps() -> None:
    """With independent readings 0.5 % of 2 x 8 V alone would hide a gap of 0.03 V."""
    result = judged({**GROUND, "given.whole": "8.00", **drops(2.0, 2.0, 2.0, 2.0)})
    summed = result.figure("sum")
    assert summed is not None and summed.u < 0.03


def test_maker_limit_goes_first_and_is_named() -> None:
    source = {"tag": "maker", "text": "workshop manual"}
    limits = [{"address": "path.strap.drop", "low": None, "high": 0.5, "source": source}]
    result = judged({**GROUND, **drops(0.01, 0.05, 0.4, 0.01)}, limits=limits)
    verdict = result.verdict("path.strap.drop")
    assert verdict is not None and verdict.outcome == "within"
    assert verdict.source is not None and verdict.source.tag == "maker"


def test_a_limit_of_another_voltage_system_is_not_borrowed() -> None:
    result = judged({**GROUND, **drops(0.01, 0.05, 0.4, 0.01)}, car={"volts": 24})
    assert {verdict.outcome for verdict in result.verdicts} == {"no_limit"}
    assert "technician.no_general_limit" in [s.id for s in result.technician]


def test_a_high_voltage_car_gets_its_caution_and_confounder() -> None:
    result = judged({**GROUND, **drops(0.01, 0.05, 0.05, 0.01)}, car={"high_voltage": True})
    context = Context.from_dict({"car": {"high_voltage": True}})
    assert "high_voltage" in result.confounders
    assert any(c.danger == "High-voltage system." for c in PROCEDURE.cautions_for(context))


def test_preset_rows_have_no_box_for_a_name() -> None:
    preset = layout(PROCEDURE, Context(), {"given.path": "starter_ground"})
    by_hand = layout(PROCEDURE, Context(), {"given.path": "accessory_feed"})
    assert [slot.field.key for slot in preset.grids[0].rows[0].slots] == ["drop"]
    assert [slot.field.key for slot in by_hand.grids[0].rows[0].slots] == ["name", "kind", "drop"]
    assert (preset.grids[0].can_add, by_hand.grids[0].can_add) == (False, True)


def test_each_preset_step_shows_the_limit_of_its_kind() -> None:
    made = layout(PROCEDURE, Context(), {"given.path": "starter_feed"})
    limits = [row.slots[0].limit.high for row in made.grids[0].rows if row.slots[0].limit]
    assert limits == [0.10, 0.20, 0.30, 0.10]


def test_limits_are_those_of_the_trade_reference() -> None:
    assert {kind: limit for kind, (limit, _) in STEP_LIMIT_V.items()} == {
        "small_joint": 0.05,
        "joint": 0.10,
        "cable": 0.20,
        "contact": 0.30,
    }
    assert WHOLE_LIMIT_V["charging_feed"] == 0.30


def test_the_chart_leans_where_the_loss_is() -> None:
    data = judged({**GROUND, **drops(0.098, 0.046, 0.661, 0.019)}).chart
    assert data["drops"] == [0.098, 0.046, 0.661, 0.019]
    assert data["note"] == "0.66\u00a0V here"
    assert len(data["stations"]) == 5


@given(st.floats(0.0, 3.0), st.floats(0.0, 3.0))
def test_more_loss_never_reads_better(first: float, second: float) -> None:
    order = {"within": 0, "cannot_tell": 1, "outside": 2}
    outcomes = []
    for drop in sorted((round(first, 3), round(second, 3))):
        result = judged({**GROUND, "path.strap.drop": f"{drop:.3f}"})
        verdict = result.verdict("path.strap.drop")
        assert verdict is not None
        outcomes.append(order[verdict.outcome])
    assert outcomes == sorted(outcomes)


@given(st.lists(st.floats(-2, 2), min_size=4, max_size=4))
def test_reversed_leads_change_no_verdict(values: list[float]) -> None:
    ahead = judged({**GROUND, **drops(*values)})
    behind = judged({**GROUND, **drops(*(-value for value in values))})
    assert [v.outcome for v in ahead.verdicts] == [v.outcome for v in behind.verdicts]
