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
from tests.reference.conftest import Against

MPH = 1.609344
MAKERS_TABLE = "a car maker's service manual, tyre rotation at 5 mph, seen"
TEACHING_SHEET = "a teaching sheet on tyre and shaft frequency, seen; unloaded tyre"


def rolled(marking: str) -> float:
    size = size_of(marking)
    assert size is not None
    return rolled_mm(size)


@pytest.mark.parametrize(
    ("marking", "low", "high"),
    [("P235/75R15", 1.00, 1.00), ("P235/60R16", 1.06, 1.07), ("P235/60ZR16", 1.06, 1.07)],
)
def test_turns_a_second_at_five_miles_an_hour(
    marking: str, low: float, high: float, against: Against
) -> None:
    """The maker's table, printed to 0.01; tread patterns of one size differ by as much."""
    found = wheel_hz(5 * MPH, rolled(marking))
    against(
        f"turns of a wheel {marking} in a second at 5 mph",
        MAKERS_TABLE,
        expected=(low + high) / 2,
        got=found,
        within=(high - low) / 2 + 0.01,
        unit="Hz",
    )


def test_turns_a_second_at_sixty_miles_an_hour(against: Against) -> None:
    """The maker's example: twelve steps of 5 mph at 1.07 are 12.84; his steps are rounded."""
    against(
        "turns of a wheel P235/60R16 in a second at 60 mph",
        MAKERS_TABLE,
        expected=12.84,
        got=wheel_hz(60 * MPH, rolled("P235/60R16")),
        relative=0.01,
        unit="Hz",
    )


def test_an_unloaded_tyre_rolls_farther_than_a_loaded_one(against: Against) -> None:
    """The teaching sheet: P205/65 15 at 60 mph, 80.03 in around, gives 13.195 Hz, at 75 mph 16.49.

    With its circumference our arithmetic is the same; by load 3.05 / π of it is rolled.
    """
    unloaded_mm = 80.03 * 25.4
    for mph, expected, within in ((60, 13.195, 0.005), (75, 16.49, 0.01)):
        against(
            f"turns of a wheel 80.03 in around in a second at {mph} mph",
            TEACHING_SHEET,
            expected=expected,
            got=wheel_hz(mph * MPH, unloaded_mm),
            within=within,
            unit="Hz",
        )
    against(
        "rolled by P205/65R15, by its 80.03 in around unloaded",
        "3.05 diameters, ETRTO standards manual, from memory",
        expected=3.05 / math.pi,
        got=rolled("P205/65R15") / unloaded_mm,
        relative=0.001,
        unit="",
    )


@pytest.mark.parametrize(("wheel", "ratio", "shaft"), [(7.0, 3.08, 22.0), (13.195, 2.78, 36.6)])
def test_propeller_shaft(wheel: float, ratio: float, shaft: float, against: Against) -> None:
    """The second maker's example, 7 Hz and 3.08:1, rounded to whole Hz; the teaching sheet's."""
    for times, key in ((1, "shaft_once_hz"), (2, "shaft_twice_hz")):
        against(
            f"shaft, {times} x a turn, wheel {wheel} Hz, {ratio}:1",
            "a maker's worked example, rounded, seen" if ratio == 3.08 else TEACHING_SHEET,
            expected=times * shaft,
            got=figures(wheel, ratio)[key],
            relative=0.021,
            unit="Hz",
        )


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


def test_figures_of_the_procedure_by_exact_fractions(against: Against) -> None:
    found = figures(14.0, 3.5)
    wheel = Fraction("100.8") * 1000 / 3600 / 2  # km/h to m/s, over 2 m a turn
    engine = Fraction(2400, 60)
    for what, key, exact in (
        ("wheel, once a turn", "wheel_once_hz", wheel),
        ("wheel, twice a turn", "wheel_twice_hz", 2 * wheel),
        ("shaft, once a turn", "shaft_once_hz", wheel * Fraction(7, 2)),
        ("engine, half a turn", "engine_half_hz", engine / 2),
        ("engine, once a turn", "engine_first_hz", engine),
        ("engine, twice a turn", "engine_second_hz", engine * 2),
    ):
        against(
            f"{what}, 100.8 km/h, 2 m a turn, 3.5:1, 2400 rpm",
            "exact fractions",
            expected=float(exact),
            got=found[key],
            relative=1e-9,
            unit="Hz",
        )
    against(
        "rolled in one turn, as measured",
        "the reading itself",
        expected=2000.0,
        got=found["circumference"],
        relative=1e-9,
        unit="mm",
    )


@pytest.mark.parametrize("rpm", [600, 850, 2400, 3000, 6500])
def test_engine_orders_by_another_library(rpm: float, against: Against) -> None:
    """Turns a minute to turns a second by pint, which counts a turn as 2 π radians."""
    registry = pint.get_application_registry()
    turns = registry.Quantity(rpm, "revolution / minute").to("radian / second").magnitude
    for order in (0.5, 1.0, 2.0, 3.0):
        expected = order * turns / (2 * math.pi)
        assert engine_hz(rpm, order) == pytest.approx(expected)
        if rpm == 2400:
            against(
                f"engine, {order:g} a turn at {rpm} rpm",
                "pint",
                expected=expected,
                got=engine_hz(rpm, order),
                relative=1e-9,
                unit="Hz",
            )


@pytest.mark.parametrize(("speed", "around"), [(30, 1700), (100, 1927), (180, 2240)])
def test_wheel_by_another_library(speed: float, around: float, against: Against) -> None:
    registry = pint.get_application_registry()
    per_turn = registry.Quantity(around, "millimetre")
    found = (registry.Quantity(speed, "kilometre / hour") / per_turn).to("1 / second").magnitude
    against(
        f"wheel of {around} mm at {speed} km/h",
        "pint",
        expected=found,
        got=wheel_hz(speed, around),
        relative=1e-9,
        unit="Hz",
    )


def test_rolled_distance_against_a_published_one(against: Against) -> None:
    """245/35 R17: 1854 mm printed, a fit through makers' books; ours is 0.8 % below it."""
    against(
        "rolled by 245/35 R17 in one turn",
        "a published technical dictionary, seen",
        expected=1854,
        got=rolled("245/35 R17"),
        relative=0.01,
        unit="mm",
    )


@pytest.mark.parametrize(
    ("marking", "rim_in", "width_mm", "aspect"),
    [("205/55 R16", 16, 205, 55), ("195/65R15", 15, 195, 65), ("P235/75R15", 15, 235, 75)],
)
def test_circumference_by_sides_of_the_tyre(
    marking: str, rim_in: int, width_mm: int, aspect: int, against: Against
) -> None:
    """Closed form from the three numbers of the marking, exact but for binary rounding."""
    wall = Fraction(width_mm * aspect, 100)
    around = Fraction(305, 100) * (rim_in * Fraction(254, 10) + 2 * wall)
    against(
        f"rolled by {marking} in one turn",
        "exact fractions; 3.05 diameters, ETRTO standards manual, from memory",
        expected=float(around),
        got=rolled(marking),
        within=1e-9,
        unit="mm",
    )


@pytest.mark.parametrize("shown", [30.0, 50.0, 114.0, 130.0])
def test_speedometer_rule_solved_numerically(shown: float, against: Against) -> None:
    """Lowest true speed: where shown = v + v / 10 + 4, found by bisection."""
    lowest = brentq(lambda v: v + v / 10 + 4 - shown, 0, 300)
    assert shown_speed_bounds(shown) == pytest.approx((lowest, shown))
    against(
        f"lowest true speed behind {shown:g} km/h shown",
        "UN R39, from memory, solved by scipy.optimize.brentq",
        expected=lowest,
        got=shown_speed_bounds(shown)[0],
        relative=1e-9,
        unit="km/h",
    )


@pytest.mark.parametrize(
    ("out", "back", "unit", "km", "u"),
    [("84210", "84232", "km", 22.0, 0.4082), ("52330", "52342", "mi", 19.312128, 0.6570)],
)
def test_distance_by_the_odometer(
    out: str, back: str, unit: str, km: float, u: float, against: Against
) -> None:
    """Two whole numbers, each u = d / √12 (JCGM 100, F.2.2.1); a mile is 1.609344 km exactly."""
    typed = {"given.odometer_out": [out, unit], "given.odometer_in": [back, unit]}
    figure = run_data(PROCEDURE, {"typed": typed}).assessment.figure("driven")
    assert figure is not None
    against(
        f"driven, odometer {out} to {back} {unit}",
        "subtraction by hand; a mile by definition",
        expected=km,
        got=figure.value,
        relative=1e-6,
        unit="km",
    )
    against(
        f"its standard uncertainty, whole {unit}",
        "JCGM 100:2008, F.2.2.1, by hand",
        expected=u,
        got=figure.u,
        within=0.0005,
        unit="km",
    )
