"""Temperatures by place: units, straight lines between readings, and the doubt of an interval.

Sources: numpy.interp, scipy.stats.uniform, JCGM 100:2008 (the interval of
4.4.5, from memory), fixed points of ITS-90 with their °F by NIST SP 811, pint's own
registry, the warm-up cycle of rules for on-board diagnosis (from memory).
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pint
import pytest
from scipy import stats

from measurements.core.assessment import Assessment, Figure
from measurements.core.context import Context
from measurements.core.instruments import Instrument, Span
from measurements.core.run_file import run_data
from measurements.procedures.temperature_survey import PROCEDURE, RISE_K, WARM_C
from tests.reference.conftest import Against

INTERP = "numpy.interp"
UNIFORM = "scipy.stats.uniform"
COLUMNS = ("at", "engine", "upper", "lower", "sensor", "heater_in", "heater_out")
BY_HAND = "arithmetic, by hand"
WITHOUT_ERROR = Instrument("thermometer", "thermometer without error", "", (Span(500, 0.0001),))


def run(*rows: tuple[Any, ...], unit: str = "°C", **given: str) -> Assessment:
    typed = {"given.start": "cold", "given.side": "outlet"}
    typed |= {f"given.{key}": text for key, text in given.items()}
    for n, row in enumerate(rows, 1):
        for column, value in zip(COLUMNS, row, strict=False):
            if value != "":
                # So fine that rounding counts for nothing.
                typed[f"warm_up.s{n}.{column}"] = (
                    f"{value} min" if column == "at" else f"{value:.5f} {unit}"
                )
    context = Context(instruments={"thermometer": WITHOUT_ERROR}).to_dict()
    judged = run_data(PROCEDURE, {"typed": typed, "context": context})
    assert judged.checked.ok, judged.checked.faults
    return judged.assessment


def figure(found: Assessment, key: str) -> Figure:
    one = found.figure(key)
    assert one is not None and one.value is not None
    return one


# --- the interval about the opening -----------------------------------------------------------


@pytest.mark.parametrize(("low", "high"), [(80, 84), (72, 92), (81.5, 83)])
def test_opening_is_a_value_anywhere_in_its_interval(
    low: float, high: float, against: Against
) -> None:
    """Placing the thermometer has 1 K of its own, which is taken out for the comparison."""
    found = figure(run((0, 18, 18), (8, low, 26), (9, high, 70)), "opens_at")
    spread = stats.uniform(loc=low, scale=high - low)
    against(
        f"opening between {low} and {high} °C",
        UNIFORM,
        expected=float(spread.mean()),
        got=found.value,
        within=1e-9,
        unit="°C",
    )
    against(
        f"standard uncertainty of an opening between {low} and {high} °C",
        UNIFORM,
        expected=float(spread.std()),
        got=float(np.sqrt(found.u**2 - 1.0**2)),
        within=0.001,
        unit="K",
    )


def test_interval_of_the_guide(against: Against) -> None:
    """96 to 104 °C equally likely: a = 4 °C, u = 2.3 °C."""
    found = figure(run((0, 18, 18), (8, 96, 30), (9, 104, 80)), "opens_at")
    source = "JCGM 100:2008, 4.4.5: 96 °C to 104 °C, rectangular, from memory"
    against("middle of the interval", source, expected=100.0, got=found.value, unit="°C")
    against(
        "standard uncertainty of the interval",
        source,
        expected=2.3,
        got=float(np.sqrt(found.u**2 - 1.0**2)),
        within=0.05,
        unit="K",
    )


@pytest.mark.parametrize(("early", "late"), [(8, 9), (6.5, 12)])
def test_time_of_opening_is_anywhere_between_its_two_readings(
    early: float, late: float, against: Against
) -> None:
    found = figure(run((0, 18, 18), (early, 80, 26), (late, 84, 70)), "opened_after")
    spread = stats.uniform(loc=60 * early, scale=60 * (late - early))
    for what, expected, got in (
        ("time", spread.mean(), found.value),
        ("standard uncertainty of the time", spread.std(), found.u),
    ):
        against(
            f"{what} until the hose warmed, between {early} and {late} min",
            UNIFORM,
            expected=float(expected),
            got=got,
            within=1e-6,
            unit="s",
        )


# --- warm-up ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "series",
    [
        ((0, 18), (4, 50), (6, 68), (8, 80)),
        ((0, -12), (5, 31.5), (9, 70.9), (14, 83.2)),
        ((1, 20), (3.5, 71.0), (4, 72.0)),
    ],
)
def test_warm_up_by_straight_lines(
    series: tuple[tuple[float, float], ...], against: Against
) -> None:
    found = figure(run(*series), "warm_up")
    minutes, celsius = zip(*series, strict=True)
    against(
        f"time to {WARM_C} °C in {series}",
        INTERP,
        expected=60 * float(np.interp(WARM_C, celsius, minutes) - minutes[0]),
        got=found.value,
        within=1e-6,
        unit="s",
    )


def test_doubt_of_the_warm_up_is_that_of_the_temperature_by_its_slope(against: Against) -> None:
    """1 K of placing at 6 K a minute: 10 s, by moving the whole line and asking again."""
    found = figure(run((0, 18), (4, 60), (8, 84)), "warm_up")
    moved = [60 * float(np.interp(WARM_C + k, (18, 60, 84), (0, 4, 8))) for k in (-1, 1)]
    against(
        "standard uncertainty of a warm-up at 6 K a minute",
        f"{INTERP}, the line moved by ±1 K",
        expected=(moved[1] - moved[0]) / 2,
        got=found.u,
        within=0.02,
        unit="s",
    )


def test_warm_is_as_the_rules_for_diagnosis_count_it(against: Against) -> None:
    registry = pint.get_application_registry()
    source = "warm-up cycle: 160 °F, and 40 °F above the start, from memory; pint"
    warm = registry.Quantity(160, "degF").to("degC").magnitude
    rise = registry.Quantity(40, "delta_degF").to("delta_degC").magnitude
    against("warm", source, expected=float(warm), got=WARM_C, within=0.05, unit="°C")
    against("risen", source, expected=float(rise), got=RISE_K, within=0.05, unit="K")


# --- conversion and differences ---------------------------------------------------------------

FIXED_POINTS = (
    ("triple point of water", 0.01, 32.018),
    ("melting point of gallium", 29.7646, 85.57628),
)


@pytest.mark.parametrize(("point", "celsius", "fahrenheit"), FIXED_POINTS)
def test_readings_in_fahrenheit_are_the_fixed_points(
    point: str, celsius: float, fahrenheit: float, against: Against
) -> None:
    found = run((0, fahrenheit), unit="°F")
    against(
        f"{point}, typed as {fahrenheit} °F",
        "ITS-90 defining fixed points; °F by NIST SP 811",
        expected=celsius,
        got=figure(found, "hottest").value,
        within=1e-4,
        unit="°C",
    )


@pytest.mark.parametrize("fahrenheit", [-22.0, 195.0, 230.5])
def test_readings_in_fahrenheit_are_those_of_another_registry(
    fahrenheit: float, against: Against
) -> None:
    expected = float(
        pint.get_application_registry().Quantity(fahrenheit, "degF").to("degC").magnitude
    )
    against(
        f"hottest, typed as {fahrenheit} °F",
        "pint, its own registry",
        expected=expected,
        got=figure(run((0, fahrenheit), unit="°F"), "hottest").value,
        within=1e-6,
        unit="°C",
    )


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(100.0, 212.0), (98.9, 210.0)])
def test_hottest_with_the_hose_cold_in_fahrenheit(
    celsius: float, fahrenheit: float, against: Against
) -> None:
    found = run((0, 64.4, 64.4), (8, fahrenheit, 75), unit="°F")
    against(
        f"engine at its hottest with the hose cold, typed as {fahrenheit} °F",
        "conversion table of NIST SP 811, rounded to 0.1",
        expected=celsius,
        got=figure(found, "hottest_shut").value,
        within=0.05,
        unit="°C",
    )


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(60.0, 140.0), (65.6, 150.0)])
def test_level_in_fahrenheit(celsius: float, fahrenheit: float, against: Against) -> None:
    rows = ((0, 40), (10, fahrenheit - 10), (20, fahrenheit - 1), (25, fahrenheit))
    against(
        f"engine gets no warmer than, typed as {fahrenheit} °F",
        "conversion table of NIST SP 811, rounded to 0.1",
        expected=celsius,
        got=figure(run(*rows, unit="°F"), "levels_at").value,
        within=0.05,
        unit="°C",
    )


@pytest.mark.parametrize("step", [9.0, 27.0])
def test_differences_carry_no_offset_of_the_scale(step: float, against: Against) -> None:
    """9 °F are 5 K: drop across radiator and heater, and sensor against thermometer."""
    end = (15, 200, 190, 190 - step, 200 + step, 180, 180 - step)
    found = run(
        (0, 64, 64, 64, 64 + step),
        (8, 176, 80, 66),
        (9, 184, 150, 80),
        end,
        unit="°F",
        fan_switch=f"{200} °F",
    )
    registry = pint.get_application_registry()
    by_pint = float(registry.Quantity(step, "delta_degF").to("kelvin").magnitude)
    for key in ("radiator_drop", "heater_drop", "sensor_cold", "sensor_hot", "over_switch"):
        words = figure(found, key).label
        for source, expected in (("pint, its own registry", by_pint), (BY_HAND, step * 5 / 9)):
            against(
                f"{words}, {step:g} °F apart",
                source,
                expected=expected,
                got=figure(found, key).value,
                within=1e-6,
                unit="K",
            )


def test_two_places_by_one_thermometer_share_its_gain(against: Against) -> None:
    """±1 % of the reading at 95 and 75 °C: only 20 K of it counts in the difference."""
    gauge = Instrument("thermometer", "one per cent", "±1 %", (Span(500, 0.0001),))
    typed = {"given.start": "cold", "given.side": "outlet"}
    rows = ((0, 18, 18, 18), (8, 80, 27, 20), (9, 84, 66, 30), (14, 98, 95, 75))
    for n, row in enumerate(rows, 1):
        for column, value in zip(COLUMNS, row, strict=False):
            typed[f"warm_up.s{n}.{column}"] = f"{value} {'min' if column == 'at' else '°C'}"
    context = Context(instruments={"thermometer": gauge}).to_dict()
    found = run_data(PROCEDURE, {"typed": typed, "context": context}).assessment
    read = 1.0**2 + 1.0**2 + 2 * (1.0 / np.sqrt(12)) ** 2
    against(
        "standard uncertainty of a drop of 20 K, gain 1 %",
        "JCGM 100:2008, 5.2.2 with correlation 1, by hand",
        expected=float(np.sqrt((0.01 / np.sqrt(3) * 20) ** 2 + read)),
        got=figure(found, "radiator_drop").u,
        within=0.01,
        unit="K",
    )
