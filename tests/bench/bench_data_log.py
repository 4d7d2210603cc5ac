"""What a log of a million rows costs: read, judged and drawn, against merely reading it.

Run by hand, on a machine that does nothing else: python -m tests.bench.bench_data_log
Clean rows are held against numpy.loadtxt, which can do nothing else with them; with one bad row in
a hundred it gives up, so there the csv module merely passing over the rows is the floor. Both ways
take turns in one run. Each way runs in a process of its own, whose peak of memory the system tells.
"""

from __future__ import annotations

import csv
import math
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROWS = 1_000_000
ROUNDS = 5
TARGET = 3.0
TARGET_MB = 400.0
BAD_EVERY = 100
TYPED = {
    "given.watched": "voltage",
    "given.limit_low": "13.2 V",
    "given.limit_from": "our own",
    "given.least": "2 s",
    "log.time.source": "time",
    "log.watched.source": "battery",
    "log.engine_speed.source": "engine speed",
    "log.load.source": "load",
    "log.load.unit": "%",
}


def write_log(path: Path, bad_every: int) -> None:
    """A day at twelve rows a second: four columns, sagging at idle and now and then for moments."""
    import numpy as np

    draw = np.random.default_rng(7)
    seconds = np.arange(ROWS) / 12
    rpm = np.round(800 + 900 * (1 + np.sin(seconds / 37)) + 40 * draw.standard_normal(ROWS))
    volts = 14.1 - 1.8 * (rpm < 850) + 0.15 * draw.standard_normal(ROWS)
    load = np.round(50 + 45 * np.sin(seconds / 101))
    with path.open("w", encoding="utf-8") as file:
        file.write("time,battery,engine speed,load\ns,V,rpm,%\n")
        for n, (t, u, r, p) in enumerate(zip(seconds, volts, rpm, load, strict=True)):
            bad = bad_every and n % bad_every == bad_every - 1
            file.write(f"{t:.3f},{'overrun' if bad else f'{u:.2f}'},{r:.0f},{p:.0f}\n")


# --- the ways -----------------------------------------------------------------------------------


def loadtxt(path: Path) -> str:
    """The array library's own reader of clean text."""
    import numpy as np

    return f"{len(np.loadtxt(path, delimiter=',', skiprows=2))} rows"


def csv_alone(path: Path) -> str:
    """The csv module, which looks at nothing."""
    with path.open(encoding="utf-8", newline="") as file:
        return f"{sum(1 for _row in csv.reader(file))} rows"


def ours(path: Path) -> str:
    """All that a person sees: columns, bad lines, figures, tables, verdicts, chart."""
    from measurements.core import chart
    from measurements.core.run_file import run_data
    from measurements.procedures.data_log import PROCEDURE

    typed = TYPED | {"log.file": path.name}
    found = run_data(PROCEDURE, {"typed": typed}, folder=path.parent).assessment
    svg = chart.draw(found.chart)
    rows, left_out = found.figure("rows"), found.figure("left_out")
    if rows is None or left_out is None or not rows.value or math.isnan(rows.value):
        raise RuntimeError("the log was not read")
    return f"{rows.value:.0f} rows, {left_out.value:.0f} left out, {len(svg)} of drawing"


WAYS: dict[str, Callable[[Path], str]] = {"loadtxt": loadtxt, "csv": csv_alone, "ours": ours}


def peak_mb() -> float:
    """Most memory that this process has had, in megabytes (VmHWM of Linux)."""
    for line in Path("/proc/self/status").read_text("ascii").splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) * 1024 / 1e6
    raise RuntimeError("the system does not tell the peak of a process")


def in_its_own_process(way: str, path: Path) -> tuple[float, float, str]:
    """Seconds, peak of memory in megabytes, and what came out. Imports don't count as time."""
    into, out = os.pipe()
    if not (child := os.fork()):
        import numpy  # noqa: F401

        import measurements.core.run_file
        import measurements.procedures.data_log  # noqa: F401

        start = time.perf_counter()
        said = WAYS[way](path)
        spent = time.perf_counter() - start
        os.write(out, f"{spent}|{peak_mb()}|{said}".encode())
        os._exit(0)
    os.close(out)
    with os.fdopen(into, "rb") as answer:
        parts = answer.read().decode().split("|")
    if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) or len(parts) != 3:
        raise RuntimeError(f"{way} did not come to an end")
    return float(parts[0]), float(parts[1]), parts[2]


def compared(name: str, path: Path, floor: str) -> bool:
    """Print both ways and their ratio; whether a target is missed."""
    times: dict[str, list[float]] = {floor: [], "ours": []}
    peaks, said = {}, {}
    for turn in range(ROUNDS + 1):
        for way in times:
            seconds, peaks[way], said[way] = in_its_own_process(way, path)
            if turn:  # the first one warms up
                times[way].append(seconds)
    middle = {way: statistics.median(spent) for way, spent in times.items()}
    print(f"\n{name}, {path.stat().st_size / 1e6:.0f} MB, median of {ROUNDS}")
    for way, seconds in middle.items():
        print(f"  {way:8} {seconds:6.2f} s, peak {peaks[way]:4.0f} MB: {said[way]}")
    ratio = middle["ours"] / middle[floor]
    print(f"  ratio {ratio:.2f}, target below {TARGET}; peak below {TARGET_MB:.0f} MB")
    return ratio >= TARGET or peaks["ours"] >= TARGET_MB


def main() -> int:
    """Measure, print, and answer 1 where a target is missed."""
    with tempfile.TemporaryDirectory() as folder:
        clean, dirty = Path(folder) / "clean.csv", Path(folder) / "dirty.csv"
        if not (child := os.fork()):  # so that their making leaves no trace in our memory
            write_log(clean, 0)
            write_log(dirty, BAD_EVERY)
            os._exit(0)
        if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]):
            raise RuntimeError("the logs could not be made")
        missed = compared("a million clean rows", clean, "loadtxt")
        missed |= compared("one bad row in a hundred", dirty, "csv")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
