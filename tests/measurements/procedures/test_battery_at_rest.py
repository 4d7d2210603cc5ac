"""Battery at rest: no figure without rest, no clipping that hides a fault, nothing on capacity."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.readings import layout
from measurements.core.run_file import run_data
from measurements.procedures.battery_at_rest import PROCEDURE

RESTED = {
    "given.chemistry": "flooded",
    "given.rested": "10",
    "given.temperature": "23",
}
KINDS = ["flooded", "efb", "agm", "lithium", "unknown"]


def judged(typed: dict[str, Any], **context: Any) -> Assessment:
    context.setdefault("fault_present", "yes")
    readings = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions} | typed
    return run_data(PROCEDURE, {"typed": readings, "context": context}).assessment


def volts(text: str, **more: str) -> Assessment:
    """Judge one rested flooded battery, unless told otherwise."""
    changed = {f"given.{key}": value for key, value in more.items()}
    return judged({**RESTED, **changed, "batteries.b1.volts": text})


def ids(result: Assessment) -> list[str]:
    return [sentence.id for sentence in (*result.customer, *result.technician)]


# --- no figure where there is none ------------------------------------------------------------


@pytest.mark.parametrize("text", ["12.91", "12.99", "13.10", "13.60"])
def test_above_what_rests_there_is_no_figure(text: str) -> None:
    result = volts(text)
    figure = result.figure("charge_b1")
    assert result.pattern != "sound" and figure is not None and figure.value is None


def test_clearly_above_what_rests_is_said() -> None:
    assert volts("13.10").pattern == "above_rest"


def test_a_dead_cell_is_not_called_nought_per_cent() -> None:
    result = volts("10.60", last="charged")
    figure = result.figure("charge_b1")
    assert result.pattern == "one_cell_missing"
    assert figure is not None and figure.value is None and "0 %" not in figure.absent_because


@pytest.mark.parametrize("last", ["driven", "load", "stood", "unknown", ""])
def test_without_a_charge_before_it_a_missing_cell_is_not_concluded(last: str) -> None:
    result = volts("10.60", last=last)
    assert result.pattern == "flat"
    assert "a dead cell look alike" in " ".join(s.text for s in result.technician)


def test_a_charge_a_little_above_full_is_not_clipped() -> None:
    figure = volts("12.70").figure("charge_b1")
    assert figure is not None and figure.value == pytest.approx(106.25)


@pytest.mark.parametrize("more", [{"rested": "0.5"}, {"rested": ""}, {"rested": "3.9"}])
def test_without_hours_of_rest_there_is_no_figure_and_nothing_sound(more: dict[str, str]) -> None:
    result = volts("12.66", **more)
    figure = result.figure("charge_b1")
    assert result.pattern == "not_rested" and figure is not None and figure.value is None


def test_lamps_for_seconds_and_a_short_wait_stand_for_hours() -> None:
    assert volts("12.66", rested="", surface_off="yes").pattern == "sound"


def test_low_volts_without_rest_are_still_low_but_without_a_figure() -> None:
    result = volts("11.95", rested="0.2")
    figure = result.figure("charge_b1")
    assert result.pattern == "low" and "not_rested" in result.confounders
    assert figure is not None and figure.value is None
    assert "customer.low_no_figure" in ids(result)


@pytest.mark.parametrize("text", ["12.85", "13.00", "13.30", "13.50"])
def test_lithium_volts_tell_no_charge(text: str) -> None:
    result = volts(text, chemistry="lithium")
    figure = result.figure("charge_b1")
    assert result.pattern in ("charge_not_told", "undecided")
    assert figure is not None and figure.value is None


# --- what weakens it --------------------------------------------------------------------------


def test_full_volts_say_nothing_about_capacity() -> None:
    result = volts("12.66")
    assert result.pattern == "sound" and "capacity_not_shown" in result.confounders
    assert {"customer.not_capacity", "technician.not_capacity"} <= set(ids(result))


def test_an_unknown_kind_widens_the_doubt() -> None:
    known, unknown = (
        volts("12.60", chemistry=kind).verdict("batteries.b1.volts")
        for kind in ("flooded", "unknown")
    )
    assert known is not None and unknown is not None and unknown.u > 1.5 * known.u


def test_away_from_25_degrees_the_doubt_is_wider() -> None:
    near, far, untold = (
        volts("12.60", temperature=text).verdict("batteries.b1.volts") for text in ("25", "-5", "")
    )
    assert near is not None and far is not None and untold is not None
    assert far.u == untold.u > near.u


def test_a_slope_moves_limits_and_charge_with_the_temperature() -> None:
    result = volts("12.40", temperature="-5", slope="1.5")
    verdict, figure = result.verdict("batteries.b1.volts"), result.figure("charge_b1")
    assert verdict is not None and verdict.low == pytest.approx(12.45 - 0.045)
    assert figure is not None and figure.value == pytest.approx(74.4, abs=0.05)


@pytest.mark.parametrize("text", ["12.20", "11.40"])
def test_cold_and_low_warns_of_ice(text: str) -> None:
    result = volts(text, temperature="-12")
    assert {"customer.may_be_frozen", "technician.may_be_frozen"} <= set(ids(result))


@pytest.mark.parametrize("look", ["frozen", "swollen", "leaking"])
def test_what_is_seen_on_the_battery_leads_and_advises(look: str) -> None:
    result = volts("12.66", look=look)
    pattern = PROCEDURE.pattern(result.pattern)
    assert pattern.direct and pattern.driving is not None
    assert "charged" in pattern.driving.words and "jump-started" in pattern.driving.words


def test_the_testers_figure_stands_as_typed() -> None:
    result = judged({**RESTED, "batteries.b1.volts": "12.66", "given.tester": "540 A, replace?"})
    assert "“540 A, replace?”" in " ".join(s.text for s in result.technician)


def test_minus_signs_are_information() -> None:
    assert volts("-12.60").pattern == "reads_backwards"


# --- two batteries, cells ---------------------------------------------------------------------


def test_one_good_battery_of_two_is_not_sound() -> None:
    one = judged({**RESTED, "batteries.b1.volts": "12.66"}, car={"volts": 24})
    both = judged(
        {**RESTED, "batteries.b1.volts": "12.66", "batteries.b2.volts": "12.65"}, car={"volts": 24}
    )
    assert (one.pattern, both.pattern) == ("undecided", "sound")
    assert "one_of_two" in one.confounders


def test_the_sum_of_two_batteries_is_refused_as_one() -> None:
    found = run_data(
        PROCEDURE,
        {"typed": {"batteries.b1.volts": "25.30"}, "context": {"car": {"volts": 24}}},
    )
    assert [fault.kind for fault in found.checked.faults] == ["refused"]


def test_next_step_asks_for_the_second_battery() -> None:
    found = run_data(
        PROCEDURE,
        {"typed": {"batteries.b1.volts": "12.60"}, "context": {"car": {"volts": 24}}},
    )
    assert PROCEDURE.next_step is not None
    assert PROCEDURE.next_step(found.checked.readings, found.context)[0][0] == "batteries.b2.volts"


@pytest.mark.parametrize(("choice", "rows"), [("none", 0), ("six", 6), ("twelve", 12)])
def test_cells_stand_ready_as_chosen(choice: str, rows: int) -> None:
    made = layout(PROCEDURE, Context(car=Car(volts=24)), {"given.cells_read": choice})
    assert len(made.grids[1].rows) == rows


def cells(*read: str, **more: str) -> Assessment:
    typed = {f"cells.c{number}.density": text for number, text in enumerate(read, 1)}
    return judged({**RESTED, "given.cells_read": "six", **more, **typed})


def test_the_weakest_cell_is_pointed_at() -> None:
    result = cells("1.265", "1.180", "1.260", "1.265", "1.260", "1.265")
    assert (result.pattern, result.where) == ("cells_apart", ("c2",))


def test_between_the_two_rules_both_are_named() -> None:
    result = cells("1.265", "1.225", "1.265", "1.265", "1.265", "1.265")
    assert result.pattern == "cells_apart_a_little"
    said = " ".join(s.text for s in result.technician)
    assert "0.025" in said and "0.050" in said


def test_cells_of_a_flat_battery_are_to_be_charged_first() -> None:
    result = cells("1.190", "1.110", "1.185", "1.190", "1.185", "1.190")
    assert "cells_not_charged" in result.confounders


def test_volts_and_density_that_disagree_weaken_it() -> None:
    result = cells(*["1.190"] * 6, **{"batteries.b1.volts": "12.66"})
    assert "density_disagrees" in result.confounders


# --- properties -------------------------------------------------------------------------------


@given(
    st.floats(-20, 20),
    st.sampled_from(KINDS),
    st.sampled_from(["", "0.5", "10"]),
    st.sampled_from(["", "charged", "driven"]),
    st.sampled_from(["", "-30", "25", "60"]),
)
def test_no_voltage_in_range_is_too_much(
    number: float, kind: str, rested: str, last: str, temp: str
) -> None:
    result = volts(f"{number:.2f}", chemistry=kind, rested=rested, last=last, temperature=temp)
    assert result.customer and result.technician


@given(st.floats(9, 16), st.sampled_from(KINDS))
def test_the_unit_typed_changes_nothing(number: float, kind: str) -> None:
    in_volts = volts(f"{number:.3f}", chemistry=kind)
    typed = {**RESTED, "given.chemistry": kind}
    in_mv = judged({**typed, "batteries.b1.volts": [f"{1000 * float(f'{number:.3f}'):.0f}", "mV"]})
    assert (in_mv.pattern, in_mv.verdicts) == (in_volts.pattern, in_volts.verdicts)


@given(st.floats(10, 12.9), st.floats(0, 2))
def test_fewer_volts_never_look_fuller(number: float, less: float) -> None:
    """Below what rests, more charge is never seen at fewer volts."""
    rank = {"flat": 0, "low": 1, "undecided": 2, "sound": 3, "above_rest": 4}
    more, fewer = volts(f"{number:.2f}"), volts(f"{number - less:.2f}")
    if more.pattern != "above_rest" and number < 12.75:
        assert rank[fewer.pattern] <= rank[more.pattern]


@given(st.lists(st.floats(1.0, 1.4), min_size=6, max_size=6))
def test_no_densities_in_range_are_too_much(read: list[float]) -> None:
    result = cells(*[f"{density:.3f}" for density in read])
    spread = result.figure("spread_1")
    assert spread is not None and spread.value is not None and spread.value >= 0
