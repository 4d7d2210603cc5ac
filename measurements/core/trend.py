"""One procedure on one car, again and again: which points were read when, and how they moved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from measurements.core import units
from measurements.core.assessment import Assessment, VerdictOutcome
from measurements.core.readings import Reading, Readings

MOST_LINES = 4
"""More lines than this can't be told apart in one drawing."""

_DAYS_IN_MONTH = 30.4375
_A_WHILE_DAYS = 45
"""Within less, the order of the tests is drawn and not the time between them."""


@dataclass(frozen=True)
class Told:
    """One run: its day, readings and assessment."""

    day: date
    readings: Readings
    assessment: Assessment


@dataclass(frozen=True)
class Line:
    """One point over all runs: its name, quantity, and a reading for each run or None."""

    key: str
    label: str
    quantity: str
    readings: tuple[Reading | None, ...]

    @property
    def measured(self) -> int:
        """How many runs have a value."""
        return sum(one is not None and one.number is not None for one in self.readings)


def lines_of(runs: Sequence[Told]) -> list[Line]:
    """Every measured point, in the order of the latest run that has it; runs in order of days.

    Points are the same where address and name are the same: a row that is named by hand counts by
    its name, so that two routes typed in another order are not mixed up.
    """
    found: dict[tuple[str, str], list[Reading | None]] = {}
    for n, run in enumerate(runs):
        for reading in run.readings:
            if not reading.quantity or reading.quantity == "count":
                continue
            key = (reading.address.rsplit(".", 1)[-1], reading.label)
            found.setdefault(key, [None] * len(runs))[n] = reading
    order = {
        (reading.address.rsplit(".", 1)[-1], reading.label): (-n, place)
        for n, run in enumerate(runs)
        for place, reading in enumerate(run.readings)
    }
    ordered = sorted(found.items(), key=lambda item: order[item[0]])
    return [
        Line(
            f"{column}:{label}",
            label,
            next(one.quantity for one in readings if one is not None),
            tuple(readings),
        )
        for (column, label), readings in ordered
    ]


def chart_of(runs: Sequence[Told], lines: Sequence[Line], title: str) -> dict[str, Any]:
    """Chart data of kind "lines" over months, or over the tests one by one where all lie within a
    few weeks, for up to four points of one quantity: those with a limit first. Empty where nothing
    was measured twice."""
    latest = {v.label: v for run in runs for v in run.assessment.verdicts}
    twice = [line for line in lines if line.measured > 1]
    if not twice:
        return {}
    twice.sort(key=lambda line: not _has_limit(latest.get(line.label)))
    quantity = twice[0].quantity
    drawn = [line for line in twice if line.quantity == quantity][:MOST_LINES]
    first = runs[0].day
    close = (runs[-1].day - first).days < _A_WHILE_DAYS
    series, told = [], []
    for line in drawn:
        points = []
        for n, (run, reading) in enumerate(zip(runs, line.readings, strict=True), start=1):
            number = reading.number if reading else None
            if reading is None or number is None:
                continue
            months = round((run.day - first).days / _DAYS_IN_MONTH, 2)
            points.append([n if close else months, number, reading.u])
            told.append(f"{line.label} {units.show_value(number, quantity)} on {run.day}")
        series.append({"label": line.label, "points": points})
    kind = units.QUANTITIES[quantity]
    return {
        "kind": "lines",
        "title": f"{title}: {'; '.join(told)}.",
        "x": {"label": "test, in order" if close else f"months since {first}", "unit": ""},
        "y": {"label": kind.label, "unit": kind.unit},
        "series": series,
        "limits": _limits([latest[line.label] for line in drawn if line.label in latest]),
    }


def _has_limit(verdict: VerdictOutcome | None) -> bool:
    return verdict is not None and (verdict.low is not None or verdict.high is not None)


def _limits(verdicts: Sequence[VerdictOutcome]) -> list[dict[str, Any]]:
    """The limits, where all the points drawn share them."""
    pairs = {(v.low, v.high) for v in verdicts if _has_limit(v)}
    if len(pairs) != 1:
        return []
    low, high = pairs.pop()
    found = []
    if low is not None:
        found.append({"label": "at least", "value": low, "beyond": "below"})
    if high is not None:
        found.append({"label": "at most", "value": high, "beyond": "above"})
    return found
