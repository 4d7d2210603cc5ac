"""Figures of compression and of the air around it, against sources and routes outside the program.

Sources: US Army TM 5-4210-230-14&P-1 (three quarters of the highest, neighbours, oil) and
TM 5-3895-359-14&P (readings of four cylinders, least pressures by height), both seen in reprints; a
car maker's service manual (70 % of the highest, worked in kPa and psi), seen second-hand; ISO 2533
tables of the standard atmosphere (from memory) and the hydrostatic equation integrated with scipy;
NACA Report 1135 (from memory) for compression without loss of heat; JCGM 101 (propagation by
random draws; from memory) with numpy. How much oil must raise a cylinder is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
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
from tests.reference.conftest import Against

FOUR = Context(car=Car(fuel="petrol", engine=Engine("inline", 4)))
DIESEL = Context(car=Car(fuel="diesel", engine=Engine("inline", 4)))

THREE_QUARTERS = (
    "rule of US Army TM 5-4210-230-14&P-1, at least 75 % of the highest, seen in a reprint"
)
NEIGHBOURS = "rule of US Army TM 5-4210-230-14&P-1 for adjacent cylinders, seen in a reprint"
FOUR_READINGS = "US Army TM 5-3895-359-14&P, Table 2, seen in a reprint"
LEAST_BY_HEIGHT = "US Army TM 5-3895-359-14&P, Table 1, seen in a reprint"
MAKERS_MANUAL = "a maker's service manual, 70 % of the highest, rounded, seen second-hand"
BY_HAND = "exact fractions by hand"
ROUNDED = "by hand, to one decimal"
DRAWS = "400,000 random draws with numpy, after JCGM 101:2008, from memory"
ATMOSPHERE_TABLES = "ISO 2533, tables, from memory"

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
    dry: Sequence[int],
    wet: Sequence[int | None],
    unit: str,
    context: Context = FOUR,
    **more: str,
) -> Assessment:
    """Judge cylinders 1, 2 ...; None for one that was not oiled."""
    typed: dict[str, object] = {f"given.{key}": value for key, value in more.items()}
    for column, values in (("dry", dry), ("wet", wet)):
        typed |= {
            f"cylinders.c{n}.{column}": (str(value), unit)
            for n, value in enumerate(values, 1)
            if value is not None
        }
    return assess(PROCEDURE, validate(PROCEDURE, typed, context).readings, context)


def listed(readings: Sequence[int], unit: str) -> str:
    return f"{', '.join(map(str, readings))} {unit}"


@pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES)
def test_low_cylinders_and_neighbours_are_those_of_the_manual(
    example: tuple, against: Against
) -> None:
    dry, wet, unit, _, low, neighbours, _ = example
    found = judged(dry, wet, unit)
    against(
        f"low cylinders of {listed(dry, unit)}",
        THREE_QUARTERS,
        expected=list(low),
        got=sorted({int(code[1:]) for item in (found, *found.also) for code in item.where}),
    )
    patterns = {found.pattern, *(item.pattern for item in found.also)}
    against(
        f"neighbours are low among {listed(dry, unit)}",
        NEIGHBOURS,
        expected=neighbours,
        got="neighbours_low" in patterns,
    )


@pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES)
def test_share_and_rise_as_worked_by_hand(example: tuple, against: Against) -> None:
    dry, wet, unit, share, _, _, rises = example
    found = judged(dry, wet, unit)
    against(
        f"lowest of the highest, {listed(dry, unit)}",
        ROUNDED,
        expected=share,
        got=found.figure("lowest_share").value,
        within=0.05,
        unit="%",
    )
    for n, rise in enumerate(rises, 1):
        against(
            f"rise from {dry[n - 1]} to {wet[n - 1]} {unit} with oil",
            ROUNDED,
            expected=rise,
            got=found.figure(f"rise_c{n}").value,
            within=0.05,
            unit="%",
        )


@pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES)
def test_share_spread_and_rise_by_exact_fractions(example: tuple, against: Against) -> None:
    """The same in fractions of whole numbers, without a unit or a float."""
    dry, wet, unit, *_ = example
    found = judged(dry, wet, unit)
    kpa = 1.0 if unit == "kPa" else 6.894757293168361
    against(
        f"lowest of the highest, {listed(dry, unit)}",
        BY_HAND,
        expected=float(Fraction(100 * min(dry), max(dry))),
        got=found.figure("lowest_share").value,
        relative=1e-9,
        unit="%",
    )
    against(
        f"highest less lowest, {listed(dry, unit)}",
        "subtraction by hand" + ("" if unit == "kPa" else "; psi by NIST SP 811, from memory"),
        expected=(max(dry) - min(dry)) * kpa,
        got=found.figure("spread").value,
        relative=1e-9,
        unit="kPa",
    )
    for n, (before, after) in enumerate(zip(dry, wet, strict=False), 1):
        against(
            f"rise from {before} to {after} {unit} with oil",
            BY_HAND,
            expected=float(Fraction(100 * (after - before), before)),
            got=found.figure(f"rise_c{n}").value,
            relative=1e-9,
            unit="%",
        )


@pytest.mark.parametrize(
    ("highest", "lowest", "unit"), [(1035, 725, "kPa"), (150, 105, "psi")], ids=["kPa", "psi"]
)
def test_share_by_a_makers_example(highest: int, lowest: int, unit: str, against: Against) -> None:
    against(
        f"lowest of the highest, {lowest} and {highest} {unit}",
        MAKERS_MANUAL,
        expected=70.0,
        got=judged((highest, lowest, highest, highest), (), unit).figure("lowest_share").value,
        within=0.1,
        unit="%",
    )


def test_spread_by_a_manuals_table_in_two_units(against: Against) -> None:
    """The manual prints each reading in psi and, rounded, in kPa."""
    found = judged((445, 440, 405, 435), (), "psi", DIESEL).figure("spread")
    against(
        "highest less lowest, 445, 440, 405, 435 psi, against the readings in kPa",
        FOUR_READINGS,
        expected=float(3066 - 2791),
        got=found.value,
        within=1.0,
        unit="kPa",
    )


def test_rise_beyond_the_others_is_the_difference_of_means(against: Against) -> None:
    """30.23 % less the mean of 4.17, 5.08 and 4.62 % is 25.6 points."""
    dry, wet, unit, *_ = EXAMPLES["one rises"]
    rises = [100 * (b - a) / a for a, b in zip(dry, wet, strict=True)]
    found = judged(dry, wet, unit).figure("extra_c3").value
    for source, expected, within in (
        ("numpy.mean of the other rises", rises[2] - np.mean([rises[0], rises[1], rises[3]]), 1e-7),
        (ROUNDED, 25.6, 0.05),
    ):
        against(
            "rise of 860 to 1120 kPa beyond that of three others",
            source,
            expected=float(expected),
            got=found,
            within=within,
            unit="points",
        )


def test_rise_with_no_other_oiled_is_held_against_what_oil_adds_to_any(against: Against) -> None:
    dry, wet, unit, *_ = EXAMPLES["one rises"]
    found = judged(dry, (None, None, wet[2], None), unit).figure("extra_c3")
    against(
        "rise of 860 to 1120 kPa beyond the usual, no other oiled",
        "common practice: oil adds 3 to 6 %, its middle by hand",
        expected=float(Fraction(100 * 260, 860) - Fraction(9, 2)),
        got=found.value,
        relative=1e-9,
        unit="points",
    )


def drawn(*readings: int, draws: int = 400_000) -> list[np.ndarray]:
    """Readings in kPa up to 1250 by random draws on one typical gauge: 2.5 % of 2500 kPa as a
    bound, needle to 20 kPa, handling 10 kPa. The scale's error runs as cosine and sine between
    independent errors at nought and middle."""
    generator = np.random.default_rng(4)
    at_zero, at_middle = generator.normal(0, 62.5 / 3**0.5, (2, draws))

    def error(kpa: float) -> np.ndarray:
        angle = kpa / 1250 * np.pi / 2
        return np.cos(angle) * at_zero + np.sin(angle) * at_middle

    def own() -> np.ndarray:
        return generator.normal(0, 10, draws) + generator.uniform(-10, 10, draws)

    return [kpa + error(kpa) + own() for kpa in readings]


def test_uncertainty_of_share_spread_and_rise_by_random_draws(against: Against) -> None:
    """First order against draws: within 3 %."""
    dry, wet, unit, *_ = EXAMPLES["one rises"]
    found = judged(dry, wet, unit)
    low, high, oiled = drawn(860, 1200, 1120)
    for key, what, draws, shown in (
        ("lowest_share", "lowest of the highest, 860 and 1200 kPa", 100 * low / high, "%"),
        ("spread", "highest less lowest, 860 and 1200 kPa", high - low, "kPa"),
        ("rise_c3", "rise from 860 to 1120 kPa with oil", 100 * (oiled / low - 1), "%"),
    ):
        figure = found.figure(key)
        against(
            what,
            DRAWS,
            expected=float(draws.mean()),
            got=figure.value,
            within=0.2,
            unit=shown,
        )
        against(
            f"standard uncertainty: {what}",
            DRAWS,
            expected=float(draws.std()),
            got=figure.u,
            relative=0.03,
            unit=shown,
        )


def test_a_gauge_wrong_by_a_share_of_the_reading_leaves_only_its_needle(against: Against) -> None:
    """Gain cancels in a ratio: only needle 10 kPa and handling 10 kPa remain."""
    gauge = Instrument("compression_gauge", "own", "±1 %", (Span(2500, 10),))
    context = Context(car=FOUR.car, instruments={"compression_gauge": gauge})
    found = judged((1200, 1180, 860, 1190), (), "kPa", context).figure("lowest_share")
    own = (10**2 + 10**2 / 12) ** 0.5
    against(
        "standard uncertainty of 860 of 1200 kPa, gauge ±1 % of the reading",
        "JCGM 100:2008, 5.2.2, from memory, by hand",
        expected=100 * own / 1200 * (1 + (860 / 1200) ** 2) ** 0.5,
        got=found.u,
        relative=1e-6,
        unit="%",
    )


def test_limits_are_those_of_manual_and_common_practice(against: Against) -> None:
    found = judged((1200, 1180, 860, 1190), (), "kPa")
    for what, source, address, expected, unit in (
        ("lowest of the highest, at least", THREE_QUARTERS, "figure.lowest_share", 75.0, "%"),
        ("petrol engine, at least", "common practice", "cylinders.c1.dry", 690.0, "kPa"),
    ):
        against(what, source, expected=expected, got=found.verdict(address).low, unit=unit)


# --- the air ----------------------------------------------------------------------------------

# Height m: pressure kPa, pressure ratio, density ratio
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
def test_standard_atmosphere_by_its_table(height: int, against: Against) -> None:
    pressure, ratio, density = ATMOSPHERE[height]
    kpa = standard_pressure_kpa(height)
    for what, expected, got, within, unit in (
        ("air pressure", pressure, kpa, 0.001, "kPa"),
        ("air pressure over that at sea level", ratio, kpa / 101.325, 5e-5, ""),
        ("air density over that at sea level", density, standard_density_ratio(height), 5e-5, ""),
    ):
        against(
            f"{what}, {height} m",
            ATMOSPHERE_TABLES,
            expected=expected,
            got=got,
            within=within,
            unit=unit,
        )


@pytest.mark.parametrize("height", [h for h in ATMOSPHERE if h])
def test_standard_atmosphere_by_the_hydrostatic_equation(height: int, against: Against) -> None:
    """dp/dH = -g p/(R T), T falling 6.5 K a kilometre from 288.15 K, integrated numerically."""
    g, gas, lapse, warm = 9.80665, 287.05287, 0.0065, 288.15
    solved = solve_ivp(
        lambda h, p: -g * p / (gas * (warm - lapse * h)),
        (0, height),
        [101.325],
        rtol=1e-10,
        atol=1e-10,
    )
    pressure = float(solved.y[0, -1])
    density = pressure / 101.325 * warm / (warm - lapse * height)
    for what, expected, got, unit in (
        ("air pressure", pressure, standard_pressure_kpa(height), "kPa"),
        ("air density over that at sea level", density, standard_density_ratio(height), ""),
    ):
        against(
            f"{what}, {height} m",
            "hydrostatic equation integrated by scipy.integrate.solve_ivp",
            expected=expected,
            got=got,
            relative=2e-5,
            unit=unit,
        )


@pytest.mark.parametrize(
    ("feet", "pressure_ratio", "density_ratio"),
    [
        (2000, 0.9298, 0.9428),
        (5000, 0.8320, 0.8617),
        (6000, 0.8014, 0.8359),
        (8000, 0.7428, 0.7860),
    ],
)
def test_the_factor_of_common_tables_is_the_density_ratio(
    feet: int, pressure_ratio: float, density_ratio: float, against: Against
) -> None:
    """Altitude tables for compression print 0.8359 at 6000 ft: 4 % off the pressure ratio."""
    metres = feet * 0.3048
    against(
        f"air pressure over that at sea level, {feet} ft",
        ATMOSPHERE_TABLES,
        expected=pressure_ratio,
        got=standard_pressure_kpa(metres) / 101.325,
        within=5e-5,
    )
    against(
        f"air density over that at sea level, {feet} ft",
        "altitude factors for compression, common practice",
        expected=density_ratio,
        got=standard_density_ratio(metres),
        within=5e-5,
    )


# gauge kPa, height m -> at sea level, kPa gauge
SEA_LEVEL = ((1000, 1000, 1127.4), (1050, 1500, 1258.2), (900, 2500, 1221.1))


@pytest.mark.parametrize(("gauge", "height", "expected"), SEA_LEVEL)
def test_at_sea_level(gauge: int, height: int, expected: float, against: Against) -> None:
    less = gauge * 9 // 10
    found = judged((gauge, less, gauge, gauge), (), "kPa", altitude=f"{height} m")
    for key, read, at_sea in (
        ("sea_level_highest", gauge, expected),
        ("sea_level_lowest", less, expected * 0.9),
    ):
        against(
            f"{read} kPa at {height} m, as at sea level",
            "air pressure of ISO 2533, tables, from memory; ratio by hand",
            expected=at_sea,
            got=found.figure(key).value,
            within=0.06,
            unit="kPa",
        )


@pytest.mark.parametrize(("gauge", "height", "_expected"), SEA_LEVEL)
def test_at_sea_level_by_absolute_pressures(
    gauge: int, height: int, _expected: float, against: Against
) -> None:
    """The cylinder multiplies the air's absolute pressure by the same number everywhere."""
    ambient = standard_pressure_kpa(height)
    times = (gauge + ambient) / ambient
    against(
        f"{gauge} kPa at {height} m, as at sea level",
        "absolute pressures, by hand",
        expected=times * STANDARD_ATMOSPHERE_KPA - STANDARD_ATMOSPHERE_KPA,
        got=sea_level_kpa(gauge, ambient),
        relative=1e-12,
        unit="kPa",
    )


@pytest.mark.parametrize(("feet", "least"), [(2500, 480), (5000, 440), (7500, 410), (10000, 380)])
def test_least_pressures_of_a_manual_by_height_are_one_at_sea_level(
    feet: int, least: int, against: Against
) -> None:
    """The manual lowers a diesel's least pressure from 515 psi at 500 ft with its own density of
    warm, moist air, which falls a little less than the standard pressure: within 6 %."""

    def at_sea(psi: int, height: int) -> float:
        metres = f"{height * 0.3048:.1f} m"
        found = judged((psi,) * 4, (), "psi", DIESEL, altitude=metres)
        return float(found.figure("sea_level_lowest").value)

    against(
        f"least pressure at {feet} ft over that at 500 ft, both taken to sea level",
        LEAST_BY_HEIGHT,
        expected=1.0,
        got=at_sea(least, feet) / at_sea(515, 500),
        within=0.06,
    )


# --- rough expectation ------------------------------------------------------------------------

# ratio, exponent, ambient kPa -> gauge kPa
EXPECTED = ((10.5, 1.28, 101.325, 1953.8), (9, 1.25, 84.56, 1233.6))


@pytest.mark.parametrize(("ratio", "exponent", "ambient", "gauge"), EXPECTED)
def test_rough_expectation(
    ratio: float, exponent: float, ambient: float, gauge: float, against: Against
) -> None:
    against(
        f"expected from {ratio}:1, exponent {exponent}, air {ambient} kPa",
        ROUNDED,
        expected=gauge,
        got=expected_kpa(ratio, exponent, ambient),
        within=0.06,
        unit="kPa",
    )


@pytest.mark.parametrize(
    ("mach", "pressure", "density"),
    [(2.0, 0.1278, 0.2300), (2.5, 0.05853, 0.1317), (3.0, 0.02722, 0.07623)],
)
def test_rough_expectation_by_tables_of_isentropic_air(
    mach: float, pressure: float, density: float, against: Against
) -> None:
    """Air brought to rest is compressed like that in a cylinder without loss of heat: exponent
    1.4. The tables print the pressure and density before over those after, to four digits."""
    ratio = 1 / density
    against(
        f"expected from {ratio:.3f}:1, exponent 1.4, air 100 kPa",
        f"NACA Report 1135, table of isentropic flow, Mach {mach:g}, from memory",
        expected=100 * (1 / pressure - 1),
        got=expected_kpa(ratio, 1.4, 100.0),
        relative=5e-4,
        unit="kPa",
    )


@pytest.mark.parametrize(("ratio", "exponent", "ambient", "_gauge"), EXPECTED)
def test_rough_expectation_step_by_step(
    ratio: float, exponent: float, ambient: float, _gauge: float, against: Against
) -> None:
    """dp/p = -n dV/V from the whole volume to one ratio-th of it, integrated numerically."""
    solved = solve_ivp(
        lambda v, p: -exponent * p / v, (1.0, 1 / ratio), [ambient], rtol=1e-10, atol=1e-9
    )
    against(
        f"expected from {ratio}:1, exponent {exponent}, air {ambient} kPa",
        "polytropic law integrated by scipy.integrate.solve_ivp",
        expected=float(solved.y[0, -1]) - ambient,
        got=expected_kpa(ratio, exponent, ambient),
        relative=1e-7,
        unit="kPa",
    )


def test_rough_expectation_of_the_test_itself(against: Against) -> None:
    """What the procedure states, with its own exponent of 1.25: 101.325 x (10.5^1.25 - 1)."""
    found = judged((1200, 1190, 1195, 1180), (), "kPa", ratio="10.5:1").figure("expected")
    power = np.exp(1.25 * np.log(10.5))
    against(
        "expected from 10.5:1, exponent 1.25, air not known",
        "by logarithms with numpy; exponent by common practice",
        expected=float(101.325 * (power - 1)),
        got=found.value,
        relative=1e-9,
        unit="kPa",
    )
