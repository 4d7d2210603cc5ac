"""Figures of compression and of the air around it, against sources and routes outside the program.

Sources: worked examples of the trade with the rules of US Army TM 5-4210-230-14&P-1 (three quarters
of the highest, neighbours, oil); ISO 2533 tables of the standard atmosphere (from memory) and the
hydrostatic equation integrated with scipy; JCGM 101 (propagation by random draws) with numpy, and
polytropic compression step by step. How much oil must raise a cylinder is common practice.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from measurements.core.assessment import Assessment
from measurements.core.atmosphere import standard_density_ratio, standard_pressure_kpa
from measurements.core.context import Car, Context, Engine
from measurements.core.cylinder_pressure import expected_kpa, sea_level_kpa
from measurements.core.instruments import Instrument, Span
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.core.units import STANDARD_ATMOSPHERE_KPA
from measurements.procedures.compression import PROCEDURE

FOUR = Context(car=Car(fuel="petrol", engine=Engine("inline", 4)))

# dry, oiled, unit -> lowest of highest %, low cylinders, neighbours among them, rise %
EXAMPLES = {
    "even": ((175, 170, 168, 172), (), "psi", 96.0, (), False, ()),
    "neighbours": (
        (180, 95, 90, 178),
        (188, 98, 94, 186),
        "psi",
        50.0,
        (2, 3),
        True,
        (4.4, 3.2, 4.4, 4.5),
    ),
    "one rises": (
        (1200, 1180, 860, 1190),
        (1250, 1240, 1120, 1245),
        "kPa",
        71.7,
        (3,),
        False,
        (4.2, 5.1, 30.2, 4.6),
    ),
    "just below": ((160, 120, 158, 162), (), "psi", 74.1, (2,), False, ()),
}


def judged(
    dry: tuple[int, ...], wet: tuple[int, ...], unit: str, context: Context = FOUR, **more: str
) -> Assessment:
    typed: dict[str, object] = {f"given.{key}": value for key, value in more.items()}
    for column, values in (("dry", dry), ("wet", wet)):
        typed |= {f"cylinders.c{n}.{column}": (str(v), unit) for n, v in enumerate(values, 1)}
    return assess(PROCEDURE, validate(PROCEDURE, typed, context).readings, context)


@pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES)
def test_worked_examples_of_the_trade(example: tuple) -> None:
    """Printed to one decimal."""
    dry, wet, unit, share, low, neighbours, rises = example
    found = judged(dry, wet, unit)
    assert found.figure("lowest_share").value == pytest.approx(share, abs=0.05)
    named = {code for item in (found, *found.also) for code in item.where}
    assert named == {f"c{n}" for n in low}
    patterns = {found.pattern, *(item.pattern for item in found.also)}
    assert ("neighbours_low" in patterns) is neighbours
    for n, rise in enumerate(rises, 1):
        assert found.figure(f"rise_c{n}").value == pytest.approx(rise, abs=0.05)


@pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES)
def test_share_spread_and_rise_by_exact_fractions(example: tuple) -> None:
    """The same in fractions of whole numbers, without a unit or a float."""
    dry, wet, unit, *_ = example
    found = judged(dry, wet, unit)
    kpa = 1.0 if unit == "kPa" else 6.894757293168361  # NIST SP 811
    share = Fraction(100 * min(dry), max(dry))
    assert found.figure("lowest_share").value == pytest.approx(float(share), rel=1e-9)
    assert found.figure("spread").value == pytest.approx((max(dry) - min(dry)) * kpa, rel=1e-9)
    for n, (before, after) in enumerate(zip(dry, wet, strict=False), 1):
        rise = Fraction(100 * (after - before), before)
        assert found.figure(f"rise_c{n}").value == pytest.approx(float(rise), rel=1e-9)


def test_rise_beyond_the_others_is_the_difference_of_means() -> None:
    """30.23 % less the mean of 4.17, 5.08 and 4.62 % is 25.6 points."""
    dry, wet, unit, *_ = EXAMPLES["one rises"]
    rises = [100 * (b - a) / a for a, b in zip(dry, wet, strict=True)]
    others = np.mean([rises[0], rises[1], rises[3]])
    found = judged(dry, wet, unit).figure("extra_c3").value
    assert found == pytest.approx(rises[2] - others, rel=1e-9)
    assert found == pytest.approx(25.6, abs=0.05)


def drawn_share(draws: int = 400_000) -> np.ndarray:
    """Lowest over highest of 860 and 1200 kPa by random draws, typical gauge: 2.5 % of 2500 kPa as
    a bound, needle to 20 kPa, handling 10 kPa. The scale's error runs as cosine and sine between
    independent errors at nought, middle and end."""
    generator = np.random.default_rng(4)
    at_zero, at_middle = generator.normal(0, 62.5 / 3**0.5, (2, draws))

    def error(kpa: float) -> np.ndarray:
        angle = kpa / 1250 * np.pi / 2
        return np.cos(angle) * at_zero + np.sin(angle) * at_middle

    def own() -> np.ndarray:
        return generator.normal(0, 10, draws) + generator.uniform(-10, 10, draws)

    low = 860 + error(860) + own()
    high = 1200 + error(1200) + own()
    return 100 * low / high


def test_uncertainty_of_the_share_by_random_draws() -> None:
    """JCGM 101. First order against 400 000 draws: within 3 %."""
    found = judged((1200, 1180, 860, 1190), (), "kPa").figure("lowest_share")
    draws = drawn_share()
    assert found.value == pytest.approx(draws.mean(), abs=0.1)
    assert found.u == pytest.approx(draws.std(), rel=0.03)


def test_a_gauge_wrong_by_a_share_of_the_reading_leaves_only_its_needle() -> None:
    """Gain cancels in a ratio (JCGM 100, 5.2.2 example): only needle 10 kPa and handling 10 kPa."""
    gauge = Instrument("compression_gauge", "own", "±1 %", (Span(2500, 10),))
    context = Context(car=FOUR.car, instruments={"compression_gauge": gauge})
    found = judged((1200, 1180, 860, 1190), (), "kPa", context).figure("lowest_share")
    own = (10**2 + 10**2 / 12) ** 0.5
    expected = 100 * own / 1200 * (1 + (860 / 1200) ** 2) ** 0.5
    assert found.u == pytest.approx(expected, rel=1e-6)


# --- the air ----------------------------------------------------------------------------------

# Height m: pressure kPa, pressure ratio, density ratio (ISO 2533 tables, from memory)
ATMOSPHERE = {
    0: (101.325, 1.0, 1.0),
    500: (95.461, 0.9421, 0.9529),
    1000: (89.875, 0.8870, 0.9075),
    1500: (84.556, 0.8345, 0.8637),
    2000: (79.495, 0.7846, 0.8216),
    2500: (74.683, 0.7371, 0.7811),
    3000: (70.109, 0.6919, 0.7421),
}


@pytest.mark.parametrize("height", ATMOSPHERE)
def test_standard_atmosphere_by_its_table(height: int) -> None:
    pressure, ratio, density = ATMOSPHERE[height]
    assert standard_pressure_kpa(height) == pytest.approx(pressure, abs=0.001)
    assert standard_pressure_kpa(height) / 101.325 == pytest.approx(ratio, abs=5e-5)
    assert standard_density_ratio(height) == pytest.approx(density, abs=5e-5)


@pytest.mark.parametrize("height", [h for h in ATMOSPHERE if h])
def test_standard_atmosphere_by_the_hydrostatic_equation(height: int) -> None:
    """dp/dH = -g p/(R T), T falling 6.5 K a kilometre from 288.15 K, integrated numerically."""
    g, gas, lapse, warm = 9.80665, 287.05287, 0.0065, 288.15
    solved = solve_ivp(
        lambda h, p: -g * p / (gas * (warm - lapse * h)),
        (0, height),
        [101.325],
        rtol=1e-10,
        atol=1e-10,
    )
    pressure = solved.y[0, -1]
    density = pressure / 101.325 * warm / (warm - lapse * height)
    assert standard_pressure_kpa(height) == pytest.approx(pressure, rel=2e-5)
    assert standard_density_ratio(height) == pytest.approx(density, rel=2e-5)


@pytest.mark.parametrize(
    ("feet", "pressure_ratio", "density_ratio"),
    [
        (2000, 0.9298, 0.9428),
        (5000, 0.8320, 0.8617),
        (6000, 0.8014, 0.8359),
        (8000, 0.7428, 0.7860),
    ],
)
def test_the_factor_of_trade_tables_is_the_density_ratio(
    feet: int, pressure_ratio: float, density_ratio: float
) -> None:
    """Tables of the trade print 0.8359 at 6000 ft (common practice): 4 % off the pressure ratio."""
    metres = feet * 0.3048
    assert standard_pressure_kpa(metres) / 101.325 == pytest.approx(pressure_ratio, abs=5e-5)
    assert standard_density_ratio(metres) == pytest.approx(density_ratio, abs=5e-5)


# gauge kPa, height m -> at sea level, kPa gauge (worked examples of the trade reference)
SEA_LEVEL = ((1000, 1000, 1127.4), (1050, 1500, 1258.2), (900, 2500, 1221.1))


@pytest.mark.parametrize(("gauge", "height", "expected"), SEA_LEVEL)
def test_at_sea_level(gauge: int, height: int, expected: float) -> None:
    found = judged((gauge, gauge, gauge, gauge), (), "kPa", altitude=f"{height} m")
    assert found.figure("sea_level_highest").value == pytest.approx(expected, abs=0.06)
    assert found.figure("sea_level_lowest").value == pytest.approx(expected, abs=0.06)


@pytest.mark.parametrize(("gauge", "height", "_expected"), SEA_LEVEL)
def test_at_sea_level_by_absolute_pressures(gauge: int, height: int, _expected: float) -> None:
    """The cylinder multiplies the air's absolute pressure by the same number everywhere."""
    ambient = standard_pressure_kpa(height)
    times = (gauge + ambient) / ambient
    at_sea = times * STANDARD_ATMOSPHERE_KPA - STANDARD_ATMOSPHERE_KPA
    assert sea_level_kpa(gauge, ambient) == pytest.approx(at_sea, rel=1e-12)


# --- rough expectation ------------------------------------------------------------------------

# ratio, exponent, ambient kPa -> gauge kPa (worked examples of the trade reference)
EXPECTED = ((10.5, 1.28, 101.325, 1953.8), (9, 1.25, 84.56, 1233.6))


@pytest.mark.parametrize(("ratio", "exponent", "ambient", "gauge"), EXPECTED)
def test_rough_expectation(ratio: float, exponent: float, ambient: float, gauge: float) -> None:
    assert expected_kpa(ratio, exponent, ambient) == pytest.approx(gauge, abs=0.06)


@pytest.mark.parametrize(("ratio", "exponent", "ambient", "_gauge"), EXPECTED)
def test_rough_expectation_step_by_step(
    ratio: float, exponent: float, ambient: float, _gauge: float
) -> None:
    """dp/p = -n dV/V from the whole volume to one ratio-th of it, integrated numerically."""
    solved = solve_ivp(
        lambda v, p: -exponent * p / v, (1.0, 1 / ratio), [ambient], rtol=1e-10, atol=1e-9
    )
    assert expected_kpa(ratio, exponent, ambient) == pytest.approx(
        solved.y[0, -1] - ambient, rel=1e-7
    )
