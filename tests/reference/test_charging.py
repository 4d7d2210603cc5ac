"""Charging against an engine maker's window, battery texts, numpy and worked sets of readings.

The worked sets name causes; ours names what was seen. The table here ties each of them to the
pattern that such readings must lead to. All their thresholds are common practice.
"""

from __future__ import annotations

from typing import Any

import pytest

from measurements.core.run_file import run_data
from measurements.procedures.charging import PROCEDURE, window
from tests.reference.conftest import Against

MANUAL = "an engine maker's technical manual: 14.4 ± 0.3 V at 20 °C, −10 mV/K; worked by hand"
BATTERY_TEXTS = "battery texts, −3 mV/K a cell, seen second-hand; worked by hand"
WORKED_SET = "worked set of readings, thresholds of common practice"


@pytest.mark.parametrize(
    ("ref_v", "tol_v", "ref_c", "tc", "temp_c", "low", "high"),
    [
        (14.4, 0.3, 20, -0.01, 20, 14.1, 14.7),
        (14.4, 0.3, 20, -0.01, 60, 13.7, 14.3),
        (14.2, 0.4, 25, -0.018, -10, 14.43, 15.23),
    ],
)
def test_window_over_temperature(
    ref_v: float,
    tol_v: float,
    ref_c: float,
    tc: float,
    temp_c: float,
    low: float,
    high: float,
    against: Against,
) -> None:
    found = window(ref_v, tol_v, ref_c, tc, temp_c)
    for end, expected, got in (("foot", low, found[0]), ("top", high, found[1])):
        against(
            f"{end} of the window {ref_v} ± {tol_v} V at {ref_c} °C, at {temp_c} °C",
            MANUAL if tc == -0.01 else BATTERY_TEXTS,
            expected=expected,
            got=got,
            within=5e-3,
            unit="V",
        )


def test_window_against_a_line_through_two_points(against: Against) -> None:
    """numpy's fit through the set points at 20 and 60 °C is an independent route to any other."""
    numpy = pytest.importorskip("numpy")
    slope, start = numpy.polyfit([20, 60], [14.4, 14.0], 1)
    low, high = window(14.4, 0.3, 20, -0.01, 37.5)
    against(
        "middle of that window at 37.5 °C",
        "numpy.polyfit through the points at 20 and 60 °C",
        expected=float(slope * 37.5 + start),
        got=(low + high) / 2,
        relative=1e-9,
        unit="V",
    )


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
    """A worked case as readings: the four points at the loaded point, with a current that is
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
def test_worked_cases_lead_to_what_was_seen(cause: str, against: Against) -> None:
    readings, pattern = CASES[cause]
    readings = {**readings, "points.off.battery_v": "12.5"}
    found = run_data(PROCEDURE, {"typed": readings}).assessment.pattern
    against(
        f"what is seen where the set says: {cause.replace('_', ' ')}",
        WORKED_SET,
        expected=PROCEDURE.pattern(pattern).label,
        got=PROCEDURE.pattern(found).label,
    )


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


def test_four_points_close(against: Against) -> None:
    """B+ less battery is the sum of both drops; the high-resistance case: 14.9 - 13.0."""
    result = run_data(PROCEDURE, {"typed": CASES["high_resistance_feed"][0]}).assessment
    gap = result.figure("gap")
    assert gap is not None
    against(
        "B+ less battery, drops of 1.85 V and 0.05 V",
        "Kirchhoff's law of voltages: the sum of both drops",
        expected=1.85 + 0.05,
        got=gap.value,
        relative=1e-9,
        unit="V",
    )
    assert "points_disagree" not in result.confounders


def test_rise_from_rest_to_idle_by_subtraction(against: Against) -> None:
    typed = {"points.off.battery_v": "12.50", "points.idle.battery_v": "14.10"}
    rise = run_data(PROCEDURE, {"typed": typed}).assessment.figure("rise")
    assert rise is not None
    against(
        "14.10 V at idle less 12.50 V at rest",
        "subtraction by hand",
        expected=1.60,
        got=rise.value,
        within=1e-9,
        unit="V",
    )
    # One meter: its ±0.5 % and ±3 counts of 0.01 V, the gain shared by both readings.
    by_hand = ((0.005 * 1.6) ** 2 / 3 + 2 * 0.03**2 / 3) ** 0.5
    against(
        "its standard uncertainty, one meter ±(0.5 % + 3 counts)",
        "JCGM 100:2008, 5.2.2, by hand",
        expected=by_hand,
        got=rise.u,
        relative=1e-6,
        unit="V",
    )


@pytest.mark.parametrize(("key", "drop"), [("feed_drop", "0.18"), ("ground_drop", "0.09")])
def test_drop_at_rated_current_against_pint(key: str, drop: str, against: Against) -> None:
    """Loads on at 60 A, rated 90 A; pint with its own registry, not ours."""
    pint = pytest.importorskip("pint")
    typed = {
        "given.rated": "90",
        "points.fast.battery_v": "14.0",
        "points.fast.current": "60.0",
        f"given.{key}": drop,
    }
    found = run_data(PROCEDURE, {"typed": typed}).assessment.figure(f"{key}_at_rated")
    ureg = pint.get_application_registry()
    ohms = float(drop) * ureg.volt / (60 * ureg.ampere)
    assert found is not None
    against(
        f"{drop} V at 60 A, {key.replace('_', ' ')} at 90 A",
        "Ohm's law by pint",
        expected=(ohms * 90 * ureg.ampere).to("volt").magnitude,
        got=found.value,
        relative=1e-9,
        unit="V",
    )


@pytest.mark.parametrize(("key", "drop"), [("feed_drop", "0.180"), ("ground_drop", "0.090")])
def test_uncertainty_of_a_drop_at_rated_current_by_sampling(
    key: str, drop: str, against: Against
) -> None:
    numpy = pytest.importorskip("numpy")
    typed = {
        "given.rated": "105",
        "points.fast.battery_v": "14.0",
        "points.fast.current": "70.0",
        f"given.{key}": drop,
    }
    found = run_data(PROCEDURE, {"typed": typed}).assessment.figure(f"{key}_at_rated")
    draw, n, volts = numpy.random.default_rng(17), 400_000, float(drop)
    lost = volts * (1 + draw.uniform(-0.005, 0.005, n)) + draw.uniform(-0.003, 0.003, n)
    amps = 70 * (1 + draw.uniform(-0.02, 0.02, n)) + draw.uniform(-0.5, 0.5, n)
    assert found is not None
    against(
        f"standard uncertainty of {drop} V at 70 A taken to 105 A, {key.replace('_', ' ')}",
        "400,000 random draws",
        expected=float((lost / amps * 105).std()),
        got=found.u,
        relative=0.02,
        unit="V",
    )


@pytest.mark.parametrize(
    ("what", "address", "side", "volts"),
    [
        ("ripple, at most", "points.fast.ripple", "high", 0.5),
        ("B+ to battery +, at most", "given.feed_drop", "high", 0.30),
        ("case to battery −, at most", "given.ground_drop", "high", 0.20),
        ("battery with the loads on, at least", "points.fast.battery_v", "low", 13.0),
    ],
)
def test_limits_are_those_of_common_practice(
    what: str, address: str, side: str, volts: float, against: Against
) -> None:
    verdict = run_data(PROCEDURE, {"typed": CASES["normal"][0]}).assessment.verdict(address)
    assert verdict is not None
    against(what, "common practice", expected=volts, got=getattr(verdict, side), unit="V")
