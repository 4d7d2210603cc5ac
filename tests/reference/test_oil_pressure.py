"""Oil pressure against car makers' printed figures, NIST's factors, pint and hand calculation.

Car makers print least pressures in kPa and psi side by side, with engine speed and oil temperature;
they are used as data, each read in a copy of the maker's manual. NIST SP 811 from memory.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pint
import pytest

from measurements.core.assessment import Assessment, Figure
from measurements.core.context import Context
from measurements.core.instruments import Instrument, Span
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.oil_pressure import PROCEDURE
from tests.reference.conftest import Against

REGISTRY = pint.get_application_registry()
MANUAL = "a car maker's manual, seen in a copy"
NIST = "NIST SP 811, appendix B.8, from memory"
FINE = Instrument("oil_gauge", "fine", "±1 % of range", (Span(600, 5),))
CONTEXT = Context(fault_present="yes", instruments={"oil_gauge": FINE})
HOT = {
    **{f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions},
    "given.start": "at_once",
    "given.oil_temperature": ("80", "°C"),
    "given.temperature_by": "oil",
}


def run(typed: dict[str, Any], context: Context = CONTEXT) -> Assessment:
    checked = validate(PROCEDURE, {**HOT, **typed}, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def figure(found: Assessment, key: str) -> Figure:
    one = found.figure(key)
    assert one is not None and one.value is not None, key
    return one


def points(**kpa: tuple[str, Any]) -> dict[str, Any]:
    """Engine speed and pressure by point."""
    typed: dict[str, Any] = {}
    for row, (rpm, pressure) in kpa.items():
        typed |= {f"points.{row}.rpm": rpm, f"points.{row}.pressure": pressure}
    return typed


# --- makers' figures --------------------------------------------------------------------------

# Idle and speed as printed: kPa, psi. All at 80 °C (176 °F) of oil and 3000 rpm.
PRINTED = [((70, 10), (343, 49.8)), ((110, 16), (410, 59)), ((250, 36), (590, 85))]


@pytest.mark.parametrize(("idle", "speed"), PRINTED)
def test_least_pressures_printed_in_psi_are_those_printed_in_kpa(
    idle: tuple[int, float], speed: tuple[int, float], against: Against
) -> None:
    found = run(
        {
            "given.oil_temperature": ("176", "°F"),
            "given.figure_temperature": ("80", "°C"),
            "given.speed_rpm": "3000",
            "given.least_idle": (str(idle[1]), "psi"),
            "given.least_speed": (str(speed[1]), "psi"),
            **points(idle=("800", "400"), speed=("3000", "595")),
        }
    )
    for row, (kpa, psi) in (("idle", idle), ("speed", speed)):
        verdict = found.verdict(f"points.{row}.pressure")
        assert verdict is not None and verdict.low is not None
        # Printed to 1 psi (6.9 kPa) and 10 kPa, or to 0.1 psi and 1 kPa: half of each.
        within = 3.5 + 5 if kpa % 10 == 0 else 0.35 + 0.5
        against(
            f"least oil pressure, printed as {psi} psi and {kpa} kPa",
            MANUAL,
            expected=float(kpa),
            got=verdict.low,
            within=within,
            unit="kPa",
        )


@pytest.mark.parametrize(
    ("rpm", "kpa", "expected"),
    [("3000", "100", "outside"), ("3000", "300", "within"), ("3000", "595", "outside")],
)
def test_a_makers_window_at_speed(rpm: str, kpa: str, expected: str, against: Against) -> None:
    """Printed: 150 to 550 kPa at 3000 rpm, 29 kPa or more at idle."""
    found = run(
        {
            "given.least_idle": "29",
            "given.least_speed": "150",
            "given.most_speed": "550",
            "given.speed_rpm": "3000",
            **points(idle=("700", "80"), speed=(rpm, kpa)),
        }
    )
    verdict = found.verdict("points.speed.pressure")
    assert verdict is not None
    against(
        f"{kpa} kPa at {rpm} rpm, printed: 150 to 550 kPa",
        MANUAL,
        expected=expected,
        got=verdict.outcome,
    )


# --- units ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "factor", "source"),
    [
        (("60", "psi"), 6.894757, f"{NIST}: 1 psi = 6.894 757 E+03 Pa"),
        (("4.5", "bar"), 100.0, f"{NIST}: 1 bar = 1.0 E+05 Pa"),
        (("4.5", "kgf/cm²"), 98.0665, f"{NIST}: 1 kgf/cm² = 9.806 65 E+04 Pa"),
    ],
)
def test_pressure_per_1000_rpm_whatever_the_gauge_is_marked_in(
    typed: tuple[str, str], factor: float, source: str, against: Against
) -> None:
    found = figure(run(points(speed=("2500", typed))), "per_1000_speed").value
    against(
        f"pressure per 1000 rpm, {' '.join(typed)} at 2500 rpm",
        source,
        expected=float(typed[0]) * factor / 2.5,
        got=found,
        relative=1e-6,
        unit="kPa",
    )
    unit = {"psi": "psi", "bar": "bar", "kgf/cm²": "kilogram_force / centimeter ** 2"}[typed[1]]
    against(
        f"the same, {' '.join(typed)}",
        "pint",
        expected=float((float(typed[0]) * REGISTRY(unit)).to("kPa").magnitude) / 2.5,
        got=found,
        relative=1e-9,
        unit="kPa",
    )


def test_rises_falls_and_the_own_gauge_are_plain_differences(against: Against) -> None:
    """50 psi cold, 12 psi hot idle, 45 psi at speed, 48 psi faster; dash 1.5 bar at idle."""
    psi = Fraction(6894757, 1_000_000)
    found = run(
        {
            **points(
                cold=("820", ("50", "psi")),
                idle=("800", ("12", "psi")),
                speed=("3000", ("45", "psi")),
                high=("4500", ("48", "psi")),
            ),
            "points.idle.own": ("1.5", "bar"),
        }
    )
    for key, words, expected in (
        ("fall_warming", "lower hot than cold, 50 to 12 psi", 38 * psi),
        ("rise", "higher at speed than at idle, 12 to 45 psi", 33 * psi),
        ("rise_on", "higher still, 45 to 48 psi", 3 * psi),
        ("own_idle", "own gauge less ours, 1.5 bar and 12 psi", 150 - 12 * psi),
    ):
        against(
            words,
            f"exact fractions by hand, psi by {NIST}",
            expected=float(expected),
            got=figure(found, key).value,
            within=1e-4,
            unit="kPa",
        )


# --- uncertainty ------------------------------------------------------------------------------


def test_uncertainty_of_a_reading_and_of_its_share_by_speed(against: Against) -> None:
    """Gauge ±6 kPa (rectangular), read to 5 kPa, eye 3 kPa; rev counter ±(1 % + 10) to 10 rpm."""
    found = run(points(speed=("3000", "300")))
    by_gauge = math.hypot(6 / math.sqrt(3), 5 / math.sqrt(12), 3)
    verdict = found.verdict("points.speed.pressure")
    assert verdict is not None
    against(
        "standard uncertainty of 300 kPa on a gauge of 600 kPa, class 1",
        "JCGM 100:2008, 4.3.7 and F.2.2.1, by hand",
        expected=by_gauge,
        got=verdict.u,
        relative=1e-9,
        unit="kPa",
    )
    by_speed = math.hypot(30 / math.sqrt(3), 10 / math.sqrt(3), 10 / math.sqrt(12))
    against(
        "standard uncertainty of 300 kPa at 3000 rpm, per 1000 rpm",
        "JCGM 100:2008, 5.1.6, relative uncertainties of a quotient, by hand",
        expected=100 * math.hypot(by_gauge / 300, by_speed / 3000),
        got=figure(found, "per_1000_speed").u,
        relative=2e-3,
        unit="kPa",
    )


def test_uncertainty_of_own_less_ours_by_hand_and_by_draws(against: Against) -> None:
    """Independent gauges: 10 kPa of reading the dash, ours as above."""
    found = run({**points(idle=("800", "150")), "points.idle.own": "180"})
    ours = math.hypot(6 / math.sqrt(3), 5 / math.sqrt(12), 3)
    against(
        "standard uncertainty of the car's own gauge less ours",
        "JCGM 100:2008, 5.1.2, by hand",
        expected=math.hypot(10, ours),
        got=figure(found, "own_idle").u,
        relative=1e-6,
        unit="kPa",
    )
    draw = np.random.default_rng(5)
    count = 400_000
    drawn = draw.normal(180, 10, count) - (
        150 + draw.uniform(-6, 6, count) + draw.uniform(-2.5, 2.5, count) + draw.normal(0, 3, count)
    )
    against(
        "the same by 400,000 draws with numpy",
        "JCGM 101:2008, from memory",
        expected=float(drawn.std()),
        got=figure(found, "own_idle").u,
        relative=0.01,
        unit="kPa",
    )


def test_two_readings_at_one_place_of_the_scale_share_the_gauges_class(against: Against) -> None:
    """No fall: only mark and eye are left, twice."""
    found = run(points(cold=("800", "300"), idle=("800", "300")))
    against(
        "standard uncertainty of no fall at all, read to 5 kPa, eye 3 kPa, twice",
        "JCGM 100:2008, F.2.2.1 and 5.2, by hand",
        expected=math.sqrt(2 * (5**2 / 12 + 3**2)),
        got=figure(found, "fall_warming").u,
        relative=1e-6,
        unit="kPa",
    )
