"""What is read from a log and computed of it, against data with certified values, scipy by another
route, and the definitions worked row by row."""

from __future__ import annotations

import math
import statistics
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import ndimage, stats

from measurements.core.assessment import Assessment
from measurements.core.logs.columns import Wanted
from measurements.core.logs.file import open_log
from measurements.core.run_file import run_data
from measurements.procedures.data_log import BANDS_RPM, PROCEDURE
from tests.reference.conftest import Against

NIST = "NIST/ITL Statistical Reference Datasets, univariate, Michelso (certified values)"
NDIMAGE = "scipy.ndimage: labelled runs of rows beyond the limit, spans added up"
BINNED = "scipy.stats.binned_statistic over the rows of the band"
BY_HAND = "the definition worked row by row with Python's own statistics module"
F_2_2_1 = "JCGM 100:2008, F.2.2.1: u = 0.29 of the last digit"
RULE_4_3_7 = "JCGM 100:2008, 4.3.7: u = a/√3, a known to be the bound"
JCGM_106 = "JCGM 106:2012, clause 7, with scipy.stats.norm"

MICHELSON = """
299.85 299.74 299.90 300.07 299.93 299.85 299.95 299.98 299.98 299.88 300.00 299.98 299.93 299.65
299.76 299.81 300.00 300.00 299.96 299.96 299.96 299.94 299.96 299.94 299.88 299.80 299.85 299.88
299.90 299.84 299.83 299.79 299.81 299.88 299.88 299.83 299.80 299.79 299.76 299.80 299.88 299.88
299.88 299.86 299.72 299.72 299.62 299.86 299.97 299.95 299.88 299.91 299.85 299.87 299.84 299.84
299.85 299.84 299.84 299.84 299.89 299.81 299.81 299.82 299.80 299.77 299.76 299.74 299.75 299.76
299.91 299.92 299.89 299.86 299.88 299.72 299.84 299.85 299.85 299.78 299.89 299.84 299.78 299.81
299.76 299.81 299.79 299.81 299.82 299.85 299.87 299.87 299.81 299.74 299.81 299.94 299.95 299.80
299.81 299.87
"""
"""Speeds of light of 1879, in thousands of km/s; of the data set that is certified."""
SPEEDS = MICHELSON.split()


def judged(folder: Path, lines: list[str], typed: dict[str, str]) -> Assessment:
    (folder / "log.csv").write_text("\n".join([*lines, ""]), encoding="utf-8")
    given = {"log.file": "log.csv", "log.time.source": "1", "log.watched.source": "2"} | typed
    found = run_data(PROCEDURE, {"typed": given}, folder=folder)
    assert found.checked.ok, found.checked.faults
    return found.assessment


def figure(found: Assessment, key: str) -> Any:
    one = found.figure(key)
    assert one is not None
    return one


# --- certified data -----------------------------------------------------------------------------


@pytest.fixture
def michelson(tmp_path: Path) -> np.ndarray:
    """The certified data, read out of a file with decimal commas."""
    path = tmp_path / "michelso.csv"
    rows = [f"{n};{value.replace('.', ',')}" for n, value in enumerate(SPEEDS)]
    path.write_text("\n".join(["run;speed", *rows, ""]), encoding="utf-8")
    return open_log(path).read({"time": Wanted(0), "speed": Wanted(1)}).columns["speed"]


def test_what_is_read_has_the_certified_mean_and_spread(
    michelson: np.ndarray, against: Against
) -> None:
    against(
        "mean of a column as it was read",
        NIST,
        expected=299.852400000000,
        got=float(michelson.mean()),
        within=1e-11,
    )
    against(
        "standard deviation of a column as it was read",
        NIST,
        expected=0.0790105478190518,
        got=float(michelson.std(ddof=1)),
        within=1e-12,
    )
    first, second = michelson[:-1] - michelson.mean(), michelson[1:] - michelson.mean()
    lagged = float((first * second).sum() / ((michelson - michelson.mean()) ** 2).sum())
    against(
        "correlation from row to row of a column as it was read",
        NIST,
        expected=0.535199668621283,
        got=lagged,
        within=1e-11,
    )


def test_lowest_middle_and_highest_of_the_certified_data(tmp_path: Path, against: Against) -> None:
    rows = ["s,V", *(f"{n},{value}" for n, value in enumerate(SPEEDS))]
    found = judged(tmp_path, ["t,u", *rows], {"given.watched": "voltage"})
    numbers = [float(value) for value in SPEEDS]
    for key, expected in (
        ("least", min(numbers)),
        ("middle", statistics.median(numbers)),
        ("most", max(numbers)),
    ):
        against(
            f"{figure(found, key).label} of 100 rows of the certified data",
            BY_HAND,
            expected=expected,
            got=figure(found, key).value,
            unit="V",
        )


# --- stretches, bands, held levels --------------------------------------------------------------

SECONDS, LIMIT, LEAST = 0.1, 13.2, 2.0


@pytest.fixture(scope="module")
def drive() -> dict[str, np.ndarray]:
    """Half an hour at ten rows a second: a voltage that swings, sags and drops out for moments."""
    n = 18_000
    draw = np.random.default_rng(20_250_331)
    time = np.round(np.arange(n) * SECONDS, 1)
    rpm = np.round(800 + 1500 * (1 + np.sin(time / 41)) + 60 * draw.standard_normal(n))
    volts = 14.0 + 0.5 * np.sin(time / 17) - 0.9 * (np.sin(time / 41) < -0.9)
    volts += 0.25 * draw.standard_normal(n)
    volts[draw.integers(0, n, 40)] = 9.0
    keep = (time < 700) | (time > 731)
    return {"time": time[keep], "volts": np.round(volts, 2)[keep], "rpm": rpm[keep]}


@pytest.fixture(scope="module")
def found(drive: dict[str, np.ndarray], tmp_path_factory: pytest.TempPathFactory) -> Assessment:
    rows = [f"{t:.1f},{u:.2f},{r:.0f}" for t, u, r in zip(*drive.values(), strict=True)]
    typed = {
        "given.watched": "voltage",
        "given.limit_low": f"{LIMIT} V",
        "given.least": f"{LEAST} s",
        "given.accuracy_percent": "0.5 %",
        "given.accuracy_fixed": "0.02 V",
        "log.engine_speed.source": "rpm",
    }
    return judged(tmp_path_factory.mktemp("drive"), ["time,u,rpm", "s,V,rpm", *rows], typed)


def runs_by_labels(drive: dict[str, np.ndarray], level: float) -> np.ndarray:
    """Seconds of every stretch below a level: a row lasts to the next, but not over the gap."""
    time, volts = drive["time"], drive["volts"]
    spans = np.append(np.diff(time), 0.0)
    # a row that is not below between the two sides of a gap keeps them apart
    gap = np.flatnonzero(spans > 5 * SECONDS * 1.0001) + 1
    below = np.insert(volts < level, gap, False)
    spans = np.insert(np.where(spans > 1, 0.0, spans), gap, 0.0)
    labels, count = ndimage.label(below)
    return ndimage.sum_labels(spans, labels, np.arange(1, count + 1))


def test_stretches_beyond_the_limit(
    drive: dict[str, np.ndarray], found: Assessment, against: Against
) -> None:
    runs = runs_by_labels(drive, LIMIT)
    long = runs[runs >= LEAST - 1e-9]
    assert len(long) > 2, "the drive is meant to sag for long"
    for key, expected, unit in (
        ("beyond_count", float(len(runs)), ""),
        ("beyond_long", float(len(long)), ""),
        ("beyond_time", float(runs.sum()), "s"),
        ("longest", float(runs.max()), "s"),
    ):
        against(
            f"{figure(found, key).label}, half an hour at 10 rows a second",
            NDIMAGE,
            expected=expected,
            got=figure(found, key).value,
            within=1e-6,
            unit=unit,
        )


def test_the_level_held_against_every_level_that_was_read(
    drive: dict[str, np.ndarray], found: Assessment, against: Against
) -> None:
    """Brute force: the first of all values below or at which the log stays for two seconds."""

    def first_that_lasts(log: dict[str, np.ndarray], levels: np.ndarray) -> float:
        return next(
            float(level)
            for level in levels
            if (runs := runs_by_labels(log, level + 0.005)).size and runs.max() >= LEAST - 1e-9
        )

    levels = np.unique(drive["volts"])
    against(
        "lowest level held for 2 s",
        "each level of the log in turn, by scipy.ndimage.label",
        expected=first_that_lasts(drive, levels),
        got=figure(found, "held_low").value,
        within=1e-9,
        unit="V",
    )
    mirrored = drive | {"volts": -drive["volts"]}
    against(
        "highest level held for 2 s",
        "each level of the mirrored log in turn, by scipy.ndimage.label",
        expected=-first_that_lasts(mirrored, -levels[::-1]),
        got=figure(found, "held_high").value,
        within=1e-9,
        unit="V",
    )


def test_lengths_and_gaps(
    drive: dict[str, np.ndarray], found: Assessment, against: Against
) -> None:
    times = drive["time"].tolist()
    steps = [b - a for a, b in pairwise(times)]
    usual = statistics.median(steps)
    gaps = [step for step in steps if step > 5 * usual]
    for key, expected, unit in (
        ("duration", math.fsum(steps), "s"),
        ("step", usual, "s"),
        ("gaps", float(len(gaps)), ""),
        ("gap_time", math.fsum(gaps), "s"),
        ("rows", float(len(times)), ""),
        ("left_out", 0.0, ""),
    ):
        against(
            figure(found, key).label,
            BY_HAND,
            expected=expected,
            got=figure(found, key).value,
            within=1e-6,
            unit=unit,
        )


def test_values_by_engine_speed(
    drive: dict[str, np.ndarray], found: Assessment, against: Against
) -> None:
    (table,) = (one for one in found.tables if one.title.startswith("By engine speed"))
    edges = [*BANDS_RPM, 1e6]
    for head, statistic in (("lowest", "min"), ("middle", "median"), ("highest", "max")):
        binned = stats.binned_statistic(drive["rpm"], drive["volts"], statistic, edges).statistic
        column = table.head.index(head)
        shown = [float(row[column].split("\xa0")[0]) for row in table.rows]
        expected = [float(value) for value in binned if not math.isnan(value)]
        assert len(shown) == len(expected)
        for row, got, wanted in zip(table.rows, shown, expected, strict=True):
            against(
                f"{head} voltage from {row[0]}".replace("\xa0", " "),
                BINNED,
                expected=round(wanted, 2),
                got=got,
                within=0.0051,  # the middle of an even number of rows may lie on half a digit
                unit="V",
            )


# --- doubt --------------------------------------------------------------------------------------


def test_the_doubt_of_a_held_level(found: Assessment, against: Against) -> None:
    held = figure(found, "held_low")
    bound = 0.005 * held.value + 0.02
    against(
        "u of the level held: bound of 0.5 % + 0.02 V and a last digit of 0.01 V",
        f"{RULE_4_3_7}; {F_2_2_1}",
        expected=math.hypot(bound / math.sqrt(3), 0.29 * 0.01),
        got=held.u,
        relative=1e-3,
        unit="V",
    )


@pytest.mark.parametrize(("digit", "rows"), [(0.1, ["14.0", "14.1"]), (1.0, ["14", "15"])])
def test_the_last_digit_alone(
    digit: float, rows: list[str], tmp_path: Path, against: Against
) -> None:
    lines = ["t,u", "s,V", *(f"{n},{rows[n % 2]}" for n in range(20))]
    typed = {"given.watched": "voltage", "given.accuracy_percent": "0", "given.least": "1 s"}
    found = judged(tmp_path, lines, typed)
    against(
        f"u of a value logged to {digit} V, no other doubt",
        F_2_2_1,
        expected=0.29 * digit,
        got=figure(found, "held_low").u,
        relative=6e-3,
        unit="V",
    )


def test_the_chance_that_the_held_level_lies_inside(found: Assessment, against: Against) -> None:
    verdict = found.verdict("figure.held_low")
    assert verdict is not None and verdict.value is not None
    against(
        "chance that the level held lies at or above 13.2 V",
        JCGM_106,
        expected=float(stats.norm.sf(LIMIT, verdict.value, verdict.u)),
        got=verdict.p,
        within=1e-9,
    )
