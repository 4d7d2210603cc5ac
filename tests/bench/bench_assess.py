"""What it costs to judge a test, and to draw its chart; nothing of the framework is needed.

Run by hand, on a machine that does nothing else: python -m tests.bench.bench_assess
Each procedure's own example, its readings stored already, is judged and drawn in turn: medians of
processor time. Beside them a tight system's pressure over 4096 fixed points of all that is
uncertain, the way of JCGM 101 that the judgement itself does not take. `--profile NAME` shows where
the time of one procedure goes.
"""

from __future__ import annotations

import cProfile
import pstats
import statistics
import sys
import time
from collections.abc import Callable
from typing import Any

from measurements.core import chart
from measurements.core.judging import assess
from measurements.core.procedure import File, Procedure
from measurements.core.run_file import Judged, run_data
from measurements.core.trapped_gas import no_leak_kpa
from measurements.procedures import PROCEDURES
from tests.measurements.readings_files import FOLDER

ROUNDS, WARM, TURNS = 60, 5, 3
MOST_MS = 2.0
MOST_LOG_MS = 20.0
"""Where a file of some thousand samples is searched, beside what was typed."""
MOST_CHART_MS = 10.0
MOST_POINTS_MS = 20.0
POINTS = 4096


def median_ms(task: Callable[[], Any]) -> float:
    """Median of processor time in ms; the smallest of some turns, since others only ever add."""
    for _ in range(WARM):
        task()
    turns = []
    for _ in range(TURNS):
        spent = []
        for _ in range(ROUNDS):
            start = time.process_time_ns()
            task()
            spent.append((time.process_time_ns() - start) / 1e6)
        turns.append(statistics.median(spent))
    return min(turns)


def example_of(procedure: Procedure) -> Judged:
    """The procedure's own example, with its readings checked."""
    data = {"typed": dict(procedure.example)}
    return run_data(procedure, data, folder=FOLDER / procedure.name)


def judging_ms(judged: Judged) -> float:
    """From stored readings to the assessment."""
    return median_ms(lambda: assess(judged.procedure, judged.checked.readings, judged.context))


def _radical_inverse(number: int, base: int) -> float:
    found, scale = 0.0, 1.0 / base
    while number:
        number, digit = divmod(number, base)
        found += digit * scale
        scale /= base
    return found


def points() -> list[tuple[float, ...]]:
    """4096 evenly spread points in six dimensions (Halton), the same every time."""
    bases = (2, 3, 5, 7, 11, 13)
    return [tuple(_radical_inverse(n, base) for base in bases) for n in range(1, POINTS + 1)]


def over_all(spread: list[tuple[float, ...]]) -> tuple[float, float]:
    """Mean and standard deviation of a tight system's gauge pressure, kPa, 90 to 60 °C, over
    gauge, both temperatures, air pressure, water activity and how much room the coolant makes."""
    found = [
        no_leak_kpa(
            98 + 4 * a,
            89 + 2 * b,
            59 + 2 * c,
            ambient_kpa=100.8 + d,
            activity=0.8055 * e,
            contraction_per_k=0.0032 * f,
        )
        for a, b, c, d, e, f in spread
    ]
    return statistics.fmean(found), statistics.pstdev(found)


def main() -> int:
    print(f"{'test':<18} {'judged ms':>10} {'chart ms':>10}")
    missed = False
    for procedure in PROCEDURES.values():
        judged = example_of(procedure)
        data = judged.assessment.chart
        spent = judging_ms(judged)
        drawn = median_ms(lambda data=data: chart.draw(data)) if data else 0.0
        reads_a_log = any(isinstance(grid.axis, File) for grid in procedure.grids)
        most = MOST_LOG_MS if reads_a_log else MOST_MS
        held = spent < most and drawn < MOST_CHART_MS
        missed |= not held
        print(f"{procedure.name:<18} {spent:>10.3f} {drawn:>10.3f}{'' if held else '  <- missed'}")
    spread = points()
    spent = median_ms(lambda: over_all(spread))
    missed |= spent >= MOST_POINTS_MS
    mean, deviation = over_all(spread)
    print(f"{POINTS} points of a cooling system: {spent:.1f} ms ({mean:.1f} ± {deviation:.1f} kPa)")
    print(
        f"targets: judged below {MOST_MS} ms ({MOST_LOG_MS} ms with a log), chart below "
        f"{MOST_CHART_MS} ms, {POINTS} points below {MOST_POINTS_MS} ms"
    )
    return 1 if missed else 0


def profile(name: str) -> int:
    """Where the time of judging one procedure's example goes."""
    judged = example_of(PROCEDURES[name])
    assess(judged.procedure, judged.checked.readings, judged.context)
    watched = cProfile.Profile()
    watched.enable()
    for _ in range(50):
        assess(judged.procedure, judged.checked.readings, judged.context)
    watched.disable()
    pstats.Stats(watched).sort_stats("cumulative").print_stats(40)
    return 0


if __name__ == "__main__":
    sys.exit(profile(sys.argv[2]) if sys.argv[1:2] == ["--profile"] else main())
