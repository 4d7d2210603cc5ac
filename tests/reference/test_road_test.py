"""How often wheels, shaft and engine turn, against published tables and by other routes.

Sources: a car maker's service manual, table of tyre rotation in turns a second at 8 km/h (5 mph)
with its worked example (seen); another maker's manual, worked example of a propeller shaft (seen);
a teaching sheet on tyre and shaft frequency (seen), which takes the unloaded tyre; a published
technical dictionary's rolled distance of 245/35 R17 (seen). Oracles: pint for units, scipy for the
bound of the speedometer rule (UN R39, from memory). Rolled distance 3.05 diameters: ETRTO standards
manual, from memory.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pint
import pytest
from scipy.optimize import brentq

from measurements.core.rolling import engine_hz, rolled_mm, shown_speed_bounds, wheel_hz
from measurements.core.run_file import run_data
from measurements.core.tyre_marks import size_of
from measurements.procedures.road_test import PROCEDURE

MPH = 1.609344


def rolled(marking: str) -> float:
    size = size_of(marking)
    assert size is not None
    return rolled_mm(size)


@pytest.mark.parametrize(
    ("marking", "low", "high"),
    [("P235/75R15", 1.00, 1.00), ("P235/60R16", 1.06, 1.07), ("P235/60ZR16", 1.06, 1.07)],
)
def test_turns_a_second_at_five_miles_an_hour(marking: str, low: float, high: float) -> None:
    """The maker's table, printed to 0.01; tread patterns of one size differ by as much."""
    found = wheel_hz(5 * MPH, rolled(marking))
    assert low - 0.005 <= round(found, 2) <= high + 0.005


def test_turns_a_second_at_sixty_miles_an_hour() -> None:
    """The maker's example: twelve steps of 5 mph at 1.07 are 12.84; his steps are rounded."""
    assert wheel_hz(60 * MPH, rolled("P235/60R16")) == pytest.approx(12.84, rel=0.01)


def test_an_unloaded_tyre_rolls_farther_than_a_loaded_one() -> None:
    """The teaching sheet: P205/65 15 at 60 mph, 80.03 in around, gives 13.195 Hz, at 75 mph 16.49.

    With its circumference our arithmetic is the same; by load 3.05 / π of it is rolled.
    """
    unloaded_mm = 80.03 * 25.4
    assert wheel_hz(60 * MPH, unloaded_mm) == pytest.approx(13.195, abs=0.005)
    assert wheel_hz(75 * MPH, unloaded_mm) == pytest.approx(16.49, abs=0.01)
    assert rolled("P205/65R15") / unloaded_mm == pytest.approx(3.05 / math.pi, rel=0.001)


@pytest.mark.parametrize(("wheel", "ratio", "shaft"), [(7.0, 3.08, 22.0), (13.195, 2.78, 36.6)])
def test_propeller_shaft(wheel: float, ratio: float, shaft: float) -> None:
    """The second maker's example, 7 Hz and 3.08:1, rounded to whole Hz; the teaching sheet's."""
    assert figures(wheel, ratio)["shaft_once_hz"] == pytest.approx(shaft, rel=0.021)
    assert figures(wheel, ratio)["shaft_twice_hz"] == pytest.approx(2 * shaft, rel=0.021)


def figures(wheel: float, ratio: float) -> dict[str, float]:
    """What the whole procedure computes for a wheel that rolls 2 m a turn."""
    typed = {
        "given.circumference": "2000",
        "given.speed_from": "satellite",
        "given.shaft_ratio": str(ratio),
        "points.cruise.noticed": "vibration",
        "points.cruise.speed": f"{wheel * 2 * 3.6:.4f}",
        "points.cruise.rpm": "2400",
    }
    result = run_data(PROCEDURE, {"typed": typed}).assessment
    return {f.key: f.value for f in result.figures if f.value is not None}


def test_figures_of_the_procedure_by_exact_fractions() -> None:
    found = figures(14.0, 3.5)
    wheel = Fraction("100.8") * 1000 / 3600 / 2  # km/h to m/s, over 2 m a turn
    assert found["wheel_once_hz"] == pytest.approx(float(wheel))
    assert found["wheel_twice_hz"] == pytest.approx(float(2 * wheel))
    assert found["shaft_once_hz"] == pytest.approx(float(wheel * Fraction(7, 2)))
    assert found["engine_half_hz"] == pytest.approx(float(Fraction(2400, 60) / 2))
    assert found["engine_first_hz"] == pytest.approx(float(Fraction(2400, 60)))
    assert found["engine_second_hz"] == pytest.approx(float(Fraction(2400, 60) * 2))


@pytest.mark.parametrize("rpm", [600, 850, 2400, 3000, 6500])
def test_engine_orders_by_another_library(rpm: float) -> None:
    """Turns a minute to turns a second by pint, which counts a turn as 2 π radians."""
    registry = pint.UnitRegistry()
    turns = registry.Quantity(rpm, "revolution / minute").to("radian / second").magnitude
    for order in (0.5, 1.0, 2.0, 3.0):
        assert engine_hz(rpm, order) == pytest.approx(order * turns / (2 * math.pi))


@pytest.mark.parametrize(("speed", "around"), [(30, 1700), (100, 1927), (180, 2240)])
def test_wheel_by_another_library(speed: float, around: float) -> None:
    registry = pint.UnitRegistry()
    per_turn = registry.Quantity(around, "millimetre")
    found = (registry.Quantity(speed, "kilometre / hour") / per_turn).to("1 / second").magnitude
    assert wheel_hz(speed, around) == pytest.approx(found)


def test_rolled_distance_against_a_published_one() -> None:
    """245/35 R17: 1854 mm printed, a fit through makers' books; ours is 0.8 % below it."""
    assert rolled("245/35 R17") == pytest.approx(1854, rel=0.01)


@pytest.mark.parametrize(
    ("marking", "rim_in", "width_mm", "aspect"),
    [("205/55 R16", 16, 205, 55), ("195/65R15", 15, 195, 65), ("P235/75R15", 15, 235, 75)],
)
def test_circumference_by_sides_of_the_tyre(
    marking: str, rim_in: int, width_mm: int, aspect: int
) -> None:
    """Closed form from the three numbers of the marking, exact but for binary rounding."""
    wall = Fraction(width_mm * aspect, 100)
    around = Fraction(305, 100) * (rim_in * Fraction(254, 10) + 2 * wall)
    assert rolled(marking) == pytest.approx(float(around), abs=1e-9)


@pytest.mark.parametrize("shown", [30.0, 50.0, 114.0, 130.0])
def test_speedometer_rule_solved_numerically(shown: float) -> None:
    """Lowest true speed: where shown = v + v / 10 + 4, found by bisection."""
    lowest = brentq(lambda v: v + v / 10 + 4 - shown, 0, 300)
    assert shown_speed_bounds(shown) == pytest.approx((lowest, shown))


@pytest.mark.parametrize(
    ("out", "back", "unit", "km", "u"),
    [("84210", "84232", "km", 22.0, 0.4082), ("52330", "52342", "mi", 19.312128, 0.6570)],
)
def test_distance_by_the_odometer(out: str, back: str, unit: str, km: float, u: float) -> None:
    """Two whole numbers, each u = d / √12 (JCGM 100, F.2.2.1); a mile is 1.609344 km exactly."""
    typed = {"given.odometer_out": [out, unit], "given.odometer_in": [back, unit]}
    figure = run_data(PROCEDURE, {"typed": typed}).assessment.figure("driven")
    assert figure is not None
    assert figure.value == pytest.approx(km)
    assert figure.u == pytest.approx(u, abs=0.0005)
