"""What happened on which day, over all runs of a procedure on one car."""

from __future__ import annotations

from dataclasses import dataclass

from measurements.core.context import Context
from measurements.core.procedure import Dated, Procedure
from measurements.core.readings import Readings, RowReadings, validate


@dataclass(frozen=True)
class DatedRow:
    """One row with its day (2025-03-31), the odometer in km or None, and the run it came with.

    run: uid of the earlier run, "" for the run at hand.
    """

    day: str
    odometer_km: float | None
    row: RowReadings
    run: str = ""

    @property
    def words(self) -> str:
        """The row as a line: "2026-03-01, 81 200 km, 0.3 L"."""
        return ", ".join(
            reading.understood
            for reading in self.row.readings
            if reading.address.startswith(f"{self.row.grid}.{self.row.code}.")
        )


def dated_rows(
    procedure: Procedure, grid: str, readings: Readings, context: Context
) -> tuple[DatedRow, ...]:
    """The rows of a `Dated` grid of this run and of the earlier ones in the context, by day.

    A row without a day can't be placed and is left out. What is noted twice, on the same day with
    the same readings, counts once: the run at hand goes first.
    """
    declared = next(one for one in procedure.grids if one.key == grid)
    axis = declared.axis
    if not isinstance(axis, Dated):
        raise ValueError(f"grid {grid!r} of {procedure.name!r} has no days")
    found: list[DatedRow] = []
    known: set[tuple[object, ...]] = set()
    sources = [("", readings)]
    sources += [
        (run.uid, validate(procedure, run.typed, context).readings) for run in context.earlier
    ]
    for run, source in sources:
        for row in source.rows(grid):
            day = row.value(axis.date.key)
            if not day:
                continue
            counter = row.get(axis.odometer.key) if axis.odometer else None
            km = counter.number if counter else None
            values = tuple(row.value(column.key) for column in declared.columns)
            if (day, km, values) in known:
                continue
            known.add((day, km, values))
            found.append(DatedRow(str(day), km, row, run))
    found.sort(key=lambda one: (one.day, one.odometer_km or 0.0))
    return tuple(found)
