"""Before and after: matched point by point, or said why not."""

from __future__ import annotations

import math
from typing import Any

import pytest

from measurements.core import chart
from measurements.core.compare import chart_of, compare
from measurements.core.context import Context
from measurements.core.readings import Readings, validate
from measurements.procedures import PROCEDURES
from tests.measurements.readings_files import Case

DROP, CHARGE = PROCEDURES["voltage_drop"], PROCEDURES["charging"]


def drops(current: str = "205", **steps: str) -> Readings:
    typed = {"given.path": "starter_ground", "given.current": current}
    typed |= {f"path.{step}.drop": value for step, value in steps.items()}
    return validate(DROP, typed, Context()).readings


def points(**typed: str) -> Readings:
    entries = {f"points.{key.replace('__', '.')}": value for key, value in typed.items()}
    return validate(CHARGE, entries, Context()).readings


def test_the_demo_van_before_and_after_its_new_strap() -> None:
    before = Case("voltage_drop", "corroded_strap_hot").judged()
    after = Case("voltage_drop", "strap_renewed_hot").judged()
    found = compare(DROP, before.checked.readings, after.checked.readings)
    strap = next(c for c in found.changes if c.address == "path.strap.drop")
    assert strap.change == pytest.approx(-0.590)
    assert strap.direction == "less"
    assert found.comparable


def test_gain_of_one_meter_cancels_in_a_change() -> None:
    (change,) = compare(DROP, drops(strap="4.000"), drops(strap="4.010")).changes
    gain, counts = 0.005 / math.sqrt(3), 0.003 / math.sqrt(3)
    assert change.u_change == pytest.approx(math.hypot(counts, counts, gain * 0.010), rel=1e-6)
    assert change.u_change < change.u_before


def test_ranges_of_one_meter_do_not_share_their_gain() -> None:
    (change,) = compare(DROP, drops(strap="4.000"), drops(strap="7.00")).changes
    assert change.u_change == pytest.approx(math.hypot(change.u_before, change.u_after))


def test_a_change_inside_its_doubt_is_not_clear() -> None:
    (change,) = compare(DROP, drops(strap="0.100"), drops(strap="0.103")).changes
    assert change.direction == "no clear change"


@pytest.mark.parametrize(("current", "comparable"), [("205", True), ("260", True), ("120", False)])
def test_another_current_is_not_compared(current: str, comparable: bool) -> None:
    found = compare(DROP, drops("205", strap="0.6"), drops(current, strap="0.1"))
    assert found.comparable is comparable
    if not comparable:
        assert found.changes == ()
        assert "205" in found.apart[0].reason and "120" in found.apart[0].reason


def test_another_path_is_not_compared() -> None:
    other = validate(DROP, {"given.path": "starter_feed", "path.post.drop": "0.1"}, Context())
    assert not compare(DROP, drops(post="0.1"), other.readings).comparable


def test_hot_and_cold_are_not_compared() -> None:
    contexts: dict[str, Any] = {
        "context_before": Context(state_of_car="hot"),
        "context_after": Context(state_of_car="cold"),
    }
    found = compare(DROP, drops(strap="0.6"), drops(strap="0.1"), **contexts)
    assert found.apart[0].reason == "the engine was hot before and cold after"


def test_a_point_that_only_one_run_has_is_named() -> None:
    found = compare(DROP, drops(strap="0.6", case="0.02"), drops(strap="0.1", post="0.01"))
    assert {(item.address, item.reason) for item in found.apart} == {
        ("path.case.drop", "not measured after"),
        ("path.post.drop", "not measured before"),
    }


def test_overload_has_no_change() -> None:
    found = compare(DROP, drops(strap="OL"), drops(strap="0.1"))
    assert (found.changes, found.apart[0].reason) == ((), "no value in one of the two")


@pytest.mark.parametrize(("rpm", "matched"), [("2100", True), ("2150", True), ("2151", False)])
def test_working_points_match_within_their_tolerance(rpm: str, matched: bool) -> None:
    before = points(fast__battery_v="12.4")
    after = points(x1__rpm=rpm, x1__loads="heavy", x1__battery_v="14.1")
    found = compare(CHARGE, before, after)
    assert bool(found.changes) is matched
    if not matched:
        assert "no like point in the other run" in [item.reason for item in found.apart]


def test_the_change_is_drawn_as_pairs() -> None:
    found = compare(DROP, drops(strap="0.661"), drops(strap="0.071"))
    data = chart_of(
        found, {"path.strap.drop": (None, 0.2)}, "0.66 V before, 0.07 V after.", "voltage"
    )
    assert data["rows"][0]["high"] == 0.2
    assert "<title" in chart.draw(data)
    assert chart_of(found, {}, "t", "current") == {}
