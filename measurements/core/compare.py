"""Two runs of one procedure side by side: before and after, matched point by point.

Readings of one instrument in one range share its gain, so that a change is known better than either
value. Points taken under other conditions are not compared, and it is said which.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import Any, Literal

from measurements.core import units
from measurements.core.assessment import Figure
from measurements.core.context import Context
from measurements.core.procedure import (
    Conditions,
    Count,
    Dated,
    Free,
    Grid,
    Pairs,
    Procedure,
    Quantity,
)
from measurements.core.readings import Reading, Readings, RowReadings

K = 2
"""A change counts as clear beyond K standard uncertainties (95 %, JCGM 100 6.3)."""


@dataclass(frozen=True)
class Change:
    """One point in both runs, values in the stored unit; change is after less before."""

    address: str
    label: str
    quantity: str
    before: float
    u_before: float
    after: float
    u_after: float
    change: float
    u_change: float
    direction: Literal["less", "more", "no clear change"]


@dataclass(frozen=True)
class Apart:
    """A point or a whole run that cannot be compared, and why in words."""

    address: str
    label: str
    reason: str


@dataclass(frozen=True)
class Comparison:
    """What could be compared, and what not. `apart` with address "" concerns the whole."""

    changes: tuple[Change, ...]
    apart: tuple[Apart, ...]

    @property
    def comparable(self) -> bool:
        """Both runs were made under like conditions."""
        return not any(item.address == "" for item in self.apart)


def compare(
    procedure: Procedure,
    before: Readings,
    after: Readings,
    *,
    context_before: Context | None = None,
    context_after: Context | None = None,
    figures_before: Sequence[Figure] = (),
    figures_after: Sequence[Figure] = (),
) -> Comparison:
    """Match two runs of `procedure` on one car: by readings, or by the figures it names in
    `compares`, where the readings depend on how the tools were set up, or by what it works out for
    that in `compared_by`.

    Nothing is matched when a condition that the procedure names in `comparable` differs by more
    than stated there, or when the engine was hot in one and cold in the other.
    """
    whole = _whole_apart(procedure, before, after)
    states = tuple(
        context.state_of_car if context else "" for context in (context_before, context_after)
    )
    if all(states) and states[0] != states[1]:
        reason = "the engine was {} before and {} after".format(*states)
        whole.append(Apart("", "engine", reason))
    if whole:
        return Comparison((), tuple(whole))
    changes: list[Change] = []
    apart: list[Apart] = []
    if procedure.compared_by:
        figures = procedure.compared_by(before), procedure.compared_by(after)
        _match_figures(("*",), *figures, changes, apart)
        return Comparison(tuple(changes), tuple(apart))
    if procedure.compares:
        _match_figures(procedure.compares, figures_before, figures_after, changes, apart)
        return Comparison(tuple(changes), tuple(apart))
    for entry in procedure.given:
        if isinstance(entry, (Quantity, Count)) and entry.origin == "measured":
            if entry.key in procedure.comparable:
                continue
            address = f"given.{entry.key}"
            _match(address, before.get(address), after.get(address), changes, apart)
    for grid in procedure.grids:
        columns = [c.key for c in grid.columns if isinstance(c, (Quantity, Count))]
        for row_before, row_after in _rows(grid, before, after, apart):
            for key in columns:
                _match(
                    row_after.address(key), row_before.get(key), row_after.get(key), changes, apart
                )
    return Comparison(tuple(changes), tuple(apart))


def _whole_apart(procedure: Procedure, before: Readings, after: Readings) -> list[Apart]:
    labels = {entry.key: entry.label for entry in procedure.given}
    found = []
    for key, (absolute, relative) in procedure.comparable.items():
        first, second = before.get(f"given.{key}"), after.get(f"given.{key}")
        if first is None or second is None:
            continue
        a, b = first.number, second.number
        if a is None or b is None:
            alike = first.value == second.value
        else:
            alike = abs(a - b) <= absolute + relative * max(abs(a), abs(b))
        if not alike:
            reason = "{} before and {} after are too far apart".format(  # noqa: UP032
                first.understood, second.understood
            )
            found.append(Apart("", labels[key], reason))
    return found


def _rows(
    grid: Grid, before: Readings, after: Readings, apart: list[Apart]
) -> list[tuple[RowReadings, RowReadings]]:
    """Rows that are the same point in both runs."""
    if isinstance(grid.axis, Dated):
        return []  # a diary goes on; its rows are not two readings of one thing
    earlier = {_called(grid, row): row for row in before.rows(grid.key)}
    pairs = []
    for row in after.rows(grid.key):
        if not isinstance(grid.axis, Conditions):
            if _called(grid, row) in earlier:
                pairs.append((earlier[_called(grid, row)], row))
            continue
        found = next((old for old in earlier.values() if _same_point(grid.axis, old, row)), None)
        if found is not None:
            pairs.append((found, row))
        elif any(row.get(column.key) for column in grid.columns):
            apart.append(
                Apart(f"{grid.key}.{row.code}", row.label, "no like point in the other run")
            )
    return pairs


def _called(grid: Grid, row: RowReadings) -> str:
    """What makes a row the same one in another run: its code, or the name that was typed for it,
    or the two places that were probed."""
    if isinstance(grid.axis, Free):
        return row.label.casefold()
    if isinstance(grid.axis, Pairs):
        ends = (row.get(grid.axis.left.key), row.get(grid.axis.right.key))
        return " / ".join(sorted(end.words for end in ends if end))
    return row.code


def _same_point(axis: Conditions, first: RowReadings, second: RowReadings) -> bool:
    for entry in axis.fields:
        a, b = first.value(entry.key), second.value(entry.key)
        if isinstance(a, (int, float)) and isinstance(b, (int, float)):
            if abs(a - b) > axis.tolerance.get(entry.key, 0.0):
                return False
        elif a != b:
            return False
    return True


def _match(
    address: str,
    before: Reading | None,
    after: Reading | None,
    changes: list[Change],
    apart: list[Apart],
) -> None:
    if before is None and after is None:
        return
    label = (after or before).label  # type: ignore[union-attr]
    if before is None or after is None:
        when = "before" if before is None else "after"
        apart.append(Apart(address, label, f"not measured {when}"))
        return
    a, b = before.number, after.number
    if a is None or b is None or {before.status, after.status} != {"measured"}:
        apart.append(Apart(address, label, "no value in one of the two"))
        return
    if before.gain and before.shared_with == after.shared_with:
        u = math.hypot(before.own, after.own, before.gain * (b - a))
    else:
        u = math.hypot(before.u, after.u)
    changes.append(_change(address, label, before.quantity, (a, before.u), (b, after.u), u))


def _change(
    address: str,
    label: str,
    quantity: str,
    before: tuple[float, float],
    after: tuple[float, float],
    u: float,
) -> Change:
    (a, u_before), (b, u_after) = before, after
    direction: Literal["less", "more", "no clear change"] = "no clear change"
    if abs(b - a) > K * u:
        direction = "more" if b > a else "less"
    return Change(address, label, quantity, a, u_before, b, u_after, b - a, u, direction)


def _match_figures(
    keys: Sequence[str],
    before: Sequence[Figure],
    after: Sequence[Figure],
    changes: list[Change],
    apart: list[Apart],
) -> None:
    """Figures of one key in both runs, at `figure.<key>`; what the runs share is not known, so
    that the doubt of a change is rather too large."""
    earlier = {figure.key: figure for figure in before}
    later = {figure.key: figure for figure in after}
    for key in dict.fromkeys((*later, *earlier)):
        if not any(fnmatchcase(key, pattern) for pattern in keys):
            continue
        one, other = earlier.get(key), later.get(key)
        figure = other or one
        if figure is None:
            continue
        a, b = one.value if one else None, other.value if other else None
        if one is None or other is None or a is None or b is None:
            if a is not None or b is not None:
                when = "before" if a is None else "after"
                apart.append(Apart(f"figure.{key}", figure.label, f"not known {when}"))
            continue
        u = math.hypot(one.u, other.u)
        changes.append(
            _change(f"figure.{key}", figure.label, figure.quantity, (a, one.u), (b, other.u), u)
        )


def chart_of(
    comparison: Comparison,
    verdicts: dict[str, tuple[float | None, float | None]],
    title: str,
    quantity: str,
) -> dict[str, Any]:
    """Chart data of kind "pairs" for the changes of one quantity; `verdicts`: address -> limits."""
    rows = []
    shown = [change for change in comparison.changes if change.quantity == quantity]
    short = [change.label.split(",")[0] for change in shown]
    for change, name in zip(shown, short, strict=True):
        low, high = verdicts.get(change.address, (None, None))
        rows.append(
            {
                "label": name if short.count(name) == 1 else change.label,
                "before": [change.before, change.u_before],
                "after": [change.after, change.u_after],
                "low": low,
                "high": high,
            }
        )
    if not rows:
        return {}
    kind = units.QUANTITIES[quantity]
    return {"kind": "pairs", "title": title, "unit": kind.unit, "axis": kind.label, "rows": rows}
