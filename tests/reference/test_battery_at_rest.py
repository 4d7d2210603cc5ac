"""State of charge from volts and density against published tables and other routes.

Tables: a battery trade council's (seen second-hand), TM 5-3805-262-20 p. 5-142 (army, coarse),
TM 9-6140-200-14 para 4-7 (cells). AGM volts are common practice.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from measurements.core import battery
from measurements.core.assessment import Assessment
from measurements.core.battery import CHEMISTRIES, STATES_PERCENT
from measurements.core.run_file import run_data
from measurements.procedures.battery_at_rest import PROCEDURE
from tests.reference.conftest import Against

COUNCIL = "battery trade council's table for flooded batteries, seen second-hand"
ARMY = "TM 5-3805-262-20 p. 5-142, coarse table"
PRACTICE = "common practice, makers differ by 0.1 V"


def judged(**typed: str) -> Assessment:
    readings = {key.replace("__", "."): text for key, text in typed.items()}
    return run_data(PROCEDURE, {"typed": readings, "context": {"fault_present": "yes"}}).assessment


@pytest.mark.parametrize(
    ("volts", "kind", "percent"),
    [
        (12.55, "flooded", 87.5),
        (12.24, "flooded", 50),
        (11.95, "flooded", 8.8),
        (12.45, "agm", 62.5),
    ],
)
def test_charge_from_rest_volts(volts: float, kind: str, percent: float, against: Against) -> None:
    against(
        f"state of charge from {volts} V at rest, {kind}",
        COUNCIL if kind == "flooded" else PRACTICE,
        expected=percent,
        got=battery.charge_percent(volts, CHEMISTRIES[kind]),
        within=0.05,
        unit="%",
    )


def test_charge_with_a_temperature_coefficient(against: Against) -> None:
    """1.5 mV/K for six cells, cell EMF of battery texts (from memory); −5 °C."""
    at_25 = battery.at_25_c(12.40, -5.0, 0.0015)
    against(
        "12.40 V at −5 °C moved to 25 °C, 1.5 mV/K",
        "battery texts, from memory",
        expected=12.445,
        got=at_25,
        within=1e-9,
        unit="V",
    )
    against(
        "state of charge from it",
        COUNCIL,
        expected=74.4,
        got=battery.charge_percent(at_25, CHEMISTRIES["flooded"]),
        within=0.05,
        unit="%",
    )


@pytest.mark.parametrize("kind", ["flooded", "agm", "unknown"])
def test_charge_agrees_with_numpy_inside_the_table(kind: str, against: Against) -> None:
    table = CHEMISTRIES[kind].volts
    volts = np.linspace(table[0], table[-1], 200)
    ours = [battery.charge_percent(float(v), CHEMISTRIES[kind]) for v in volts]
    apart = float(np.max(np.abs(np.interp(volts, table, STATES_PERCENT) - ours)))
    against(
        f"greatest difference from numpy.interp over the {kind} table",
        "numpy.interp",
        expected=0.0,
        got=apart,
        within=1e-9,
        unit="%",
    )


@pytest.mark.parametrize(("volts", "percent"), [(12.6, 100), (12.4, 75), (12.2, 50), (12.0, 25)])
def test_charge_agrees_with_the_coarse_army_table(
    volts: float, percent: float, against: Against
) -> None:
    """Two tables of unlike origin, alike within the ±10 % that a charge is quoted to."""
    against(
        f"state of charge from {volts} V at rest",
        ARMY,
        expected=percent,
        got=battery.charge_percent(volts, CHEMISTRIES["flooded"]),
        within=battery.TABLE_FINENESS_PERCENT,
        unit="%",
    )


@pytest.mark.parametrize(
    ("density", "percent"), [(1.265, 100), (1.225, 75), (1.190, 50), (1.155, 25), (1.120, 0)]
)
def test_charge_from_density(density: float, percent: float, against: Against) -> None:
    against(
        f"state of charge from density {density}",
        COUNCIL,
        expected=percent,
        got=battery.charge_percent_by_density(density),
        within=1e-9,
        unit="%",
    )


@pytest.mark.parametrize("state", range(5))
def test_volts_and_density_tables_fit_each_other(state: int, against: Against) -> None:
    """A cell's open-circuit volts are its density plus about 0.845 (battery texts, from memory)."""
    against(
        f"rest volts of six cells at {STATES_PERCENT[state]:.0f} %",
        "density + 0.845 V a cell, battery texts, from memory",
        expected=6 * (battery.DENSITIES_G_CM3[state] + 0.845),
        got=CHEMISTRIES["flooded"].volts[state],
        within=0.11,
        unit="V",
    )


@pytest.mark.parametrize(
    ("fahrenheit", "added"), [(80, 0.0), (100, 0.008), (60, -0.008), (0, -0.032)]
)
def test_density_moved_to_80_f(fahrenheit: float, added: float, against: Against) -> None:
    """An army table steps 0.008 for each 20 °F."""
    celsius = (fahrenheit - 32) / 1.8
    against(
        f"density 1.250 read at {fahrenheit} °F, moved to 80 °F",
        "army table, 0.008 for each 20 °F",
        expected=1.250 + added,
        got=battery.density_at_80_f(1.250, celsius),
        within=1e-9,
        unit="g/cm³",
    )


@pytest.mark.parametrize(
    ("rule", "lowest", "outcome"),
    [
        ("army", "1.225", "outside"),
        ("practice", "1.225", "within"),
        ("practice", "1.200", "outside"),
        ("army", "1.260", "within"),
    ],
)
def test_spread_of_cells_by_each_rule(
    rule: str, lowest: str, outcome: str, against: Against
) -> None:
    """TM 9-6140-200-14 para 4-7: more than 0.025; common practice 0.050. A fine hydrometer."""
    fine = {"kind": "hydrometer", "name": "laboratory hydrometer", "accuracy": "±0.001 g/cm³"}
    typed = {"given.cells_read": "six", "given.spread_rule": rule}
    typed |= {f"cells.c{n}.density": "1.265" for n in range(1, 6)}
    typed["cells.c6.density"] = lowest
    result = run_data(
        PROCEDURE, {"typed": typed, "context": {"instruments": {"hydrometer": fine}}}
    ).assessment
    verdict = result.verdict("figure.spread_1")
    assert verdict is not None
    against(
        f"five cells at 1.265, one at {lowest}",
        "TM 9-6140-200-14 para 4-7" if rule == "army" else "common practice",
        expected=outcome,
        got=verdict.outcome,
    )


@pytest.mark.parametrize("fahrenheit", [80, 50])
def test_mean_density_and_spread_of_six_cells(fahrenheit: int, against: Against) -> None:
    read = ["1.265", "1.260", "1.255", "1.190", "1.260", "1.265"]
    typed = {f"cells.c{n}.density": text for n, text in enumerate(read, 1)}
    typed |= {"given.cells_read": "six", "given.temperature": [str(fahrenheit), "°F"]}
    result = run_data(PROCEDURE, {"typed": typed}).assessment
    mean, spread = result.figure("density_1"), result.figure("spread_1")
    assert mean is not None and spread is not None
    exact = [Fraction(text) for text in read]
    against(
        f"mean density of six cells read at {fahrenheit} °F, at 80 °F",
        "exact fractions; 0.004 for each 10 °F, common practice",
        expected=float(sum(exact) / 6 + Fraction("0.0004") * (fahrenheit - 80)),
        got=mean.value,
        within=1e-9,
        unit="g/cm³",
    )
    against(
        "highest less lowest of six cells",
        "exact fractions",
        expected=float(max(exact) - min(exact)),
        got=spread.value,
        within=1e-9,
        unit="g/cm³",
    )


def test_uncertainty_of_the_charge_by_sampling(against: Against) -> None:
    """12.15 V AGM at 25 °C: meter, makers' ±0.1 V, the table's own 10 % as two standard
    uncertainties; 400,000 draws on the straight stretch between 25 and 50 %."""
    found = judged(
        given__chemistry="agm",
        given__rested="10",
        given__temperature="25",
        batteries__b1__volts="12.15",
    ).figure("charge_b1")
    draw, n = np.random.default_rng(11), 400_000
    volts = 12.15 * (1 + draw.uniform(-0.005, 0.005, n)) + draw.uniform(-0.03, 0.03, n)
    volts += draw.uniform(-0.1, 0.1, n)
    percent = 25 + (volts - 12.0) / 0.3 * 25 + draw.normal(0, 5, n)
    assert found is not None
    against(
        "standard uncertainty of a charge, AGM, 12.15 V",
        "400,000 random draws",
        expected=float(percent.std()),
        got=found.u,
        relative=0.01,
        unit="%",
    )


def test_difference_of_two_batteries_by_sampling(against: Against) -> None:
    """One meter's gain is shared by both readings and nearly cancels."""
    found = judged(batteries__b1__volts="12.66", batteries__b2__volts="12.20").figure("apart")
    draw, n = np.random.default_rng(12), 400_000
    gain = 1 + draw.uniform(-0.005, 0.005, n)
    one = 12.66 * gain + draw.uniform(-0.03, 0.03, n)
    two = 12.20 * gain + draw.uniform(-0.03, 0.03, n)
    assert found is not None
    against(
        "12.66 V less 12.20 V",
        "subtraction by hand",
        expected=0.46,
        got=found.value,
        within=1e-9,
        unit="V",
    )
    against(
        "its standard uncertainty",
        "400,000 random draws",
        expected=float((one - two).std()),
        got=found.u,
        relative=0.01,
        unit="V",
    )
