"""Charging against the worked values of the trade reference 2.3 and 2.9.

2.9's table names causes; ours names what was seen. The table here ties each worked case to the
pattern that such readings must lead to. All thresholds of 2.9 are common practice.
"""

from __future__ import annotations

from typing import Any

import pytest

from measurements.core.run_file import run_data
from measurements.procedures.charging import PROCEDURE, window


@pytest.mark.parametrize(
    ("ref_v", "tol_v", "ref_c", "tc", "temp_c", "low", "high"),
    [
        (14.4, 0.3, 20, -0.01, 20, 14.1, 14.7),
        (14.4, 0.3, 20, -0.01, 60, 13.7, 14.3),
        (14.2, 0.4, 25, -0.018, -10, 14.43, 15.23),
    ],
)
def test_window_over_temperature(
    ref_v: float, tol_v: float, ref_c: float, tc: float, temp_c: float, low: float, high: float
) -> None:
    """Example 2.charge_window: an engine maker's manual, and -18 mV/K of battery texts."""
    assert window(ref_v, tol_v, ref_c, tc, temp_c) == pytest.approx((low, high), abs=5e-3)


def test_window_against_a_line_through_two_points() -> None:
    """numpy's fit through the set points at 20 and 60 °C is an independent route to any other."""
    numpy = pytest.importorskip("numpy")
    slope, start = numpy.polyfit([20, 60], [14.4, 14.0], 1)
    low, high = window(14.4, 0.3, 20, -0.01, 37.5)
    assert (low + high) / 2 == pytest.approx(slope * 37.5 + start)


def typed(
    v_b: str,
    v_bat: str,
    plus: str,
    minus: str,
    ripple: str,
    slip: str,
    request: str = "",
    load_on: str = "",
    amps: str = "70",
) -> dict[str, Any]:
    """A worked case of 2.9 as readings: the four points at the loaded point, with a current that is
    enough; where the case gives a load-on voltage, its four points are those of idle."""
    place = "idle" if load_on else "fast"
    readings = {
        "ready.battery": "yes",
        "given.rated": "100",
        "given.regulator_temp": "25",
        f"points.{place}.stud_v": v_b,
        f"points.{place}.battery_v": v_bat,
        f"points.{place}.ripple": ripple,
        "given.feed_drop": plus,
        "given.ground_drop": minus,
        "given.belt_slip": slip,
        "points.fast.current": amps,
    }
    if request:
        readings["given.requested"] = request
    if load_on:
        # same engine speed, loads on: only the load differs
        readings |= {
            "points.x1.rpm": "800",
            "points.x1.loads": "heavy",
            "points.x1.battery_v": load_on,
        }
    return readings


CASES = {
    "commanded_low": (
        typed("12.70", "12.62", "0.05", "0.03", "20", "no", "12.6"),
        "follows_low_request",
    ),
    "high_resistance_feed": (typed("14.90", "13.00", "1.85", "0.05", "30", "no"), "lost_in_feed"),
    "bad_ground": (typed("13.60", "12.90", "0.12", "0.58", "25", "no"), "lost_in_ground"),
    "belt_slip": (typed("12.30", "12.20", "0.05", "0.05", "30", "yes"), "belt_seen_slipping"),
    "commanded_low_suspected": (
        typed("12.75", "12.68", "0.04", "0.03", "15", "no", load_on="14.35"),
        "low_until_called",
    ),
    "alternator_or_control_fault": (
        typed("12.40", "12.30", "0.05", "0.04", "20", "no", load_on="12.00"),
        "low_everywhere",
    ),
    "not_following_command": (
        typed("12.40", "12.30", "0.05", "0.04", "20", "no", "14.5"),
        "not_following_request",
    ),
    "rectifier_suspect": (typed("13.10", "13.00", "0.06", "0.04", "780", "no"), "ripple_high"),
    "normal": (typed("14.40", "14.30", "0.06", "0.04", "20", "no"), "sound"),
}


@pytest.mark.parametrize("cause", CASES)
def test_worked_cases_lead_to_what_was_seen(cause: str) -> None:
    readings, pattern = CASES[cause]
    readings = {**readings, "points.off.battery_v": "12.5"}
    assert run_data(PROCEDURE, {"typed": readings}).assessment.pattern == pattern


@pytest.mark.parametrize("cause", ["high_resistance_feed", "bad_ground", "normal"])
def test_rules_two_three_and_normal_need_load(cause: str) -> None:
    """Practice rule 5: below half of the rated current these three must not fire."""
    readings, pattern = CASES[cause]
    for amps in ("", "10", "49"):
        result = run_data(
            PROCEDURE, {"typed": {**readings, "points.fast.current": amps}}
        ).assessment
        assert result.pattern != pattern, f"{cause} at {amps or 'no'} A"
        assert "not_loaded" in result.confounders


def test_four_points_close() -> None:
    """2.9: V_B - V_bat is the sum of both drops; case 02: 14.9 - 13.0 = 1.85 + 0.05."""
    result = run_data(PROCEDURE, {"typed": CASES["high_resistance_feed"][0]}).assessment
    gap = result.figure("gap")
    assert gap is not None and gap.value == pytest.approx(1.85 + 0.05)
    assert "points_disagree" not in result.confounders


def test_limits_are_those_of_the_reference() -> None:
    """2.4 and 2.9: ripple 0.5 V r.m.s., feed 0.30 V, ground 0.20 V, loaded at least 13.0 V."""
    verdicts = {
        v.address: v for v in run_data(PROCEDURE, {"typed": CASES["normal"][0]}).assessment.verdicts
    }
    assert verdicts["points.fast.ripple"].high == 0.5
    assert verdicts["given.feed_drop"].high == 0.30
    assert verdicts["given.ground_drop"].high == 0.20
    assert verdicts["points.fast.battery_v"].low == 13.0
