"""What was found, place by place: one mark for each thing, with its short name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from measurements.core.charts.sheet import ChartError, Sheet, shortened

_LEFT, _TOP, _ACROSS, _LINE = 112.0, 14.0, 3, 22.0
_PITCH = (316.0 - _LEFT) / _ACROSS


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Rows of marks: firm ones solid, others hollow; what only an earlier run had is struck out."""
    rows = [(str(row["label"]), _marks(row)) for row in data["rows"]]
    if not rows:
        raise ChartError("there is no row to draw")
    here = {label.casefold(): marks for label, marks in rows}
    gone: dict[str, dict[str, bool]] = {}
    for row in earlier.get("rows", ()):
        label, marks = str(row["label"]), _marks(row)
        left_over = {
            n: firm for n, firm in marks.items() if n not in here.get(label.casefold(), {})
        }
        if left_over and label.casefold() not in here:
            rows.append((label, {}))
        gone[label.casefold()] = left_over
    lines = [
        max(1, -(-(len(marks) + len(gone.get(label.casefold(), {}))) // _ACROSS))
        for label, marks in rows
    ]
    foot = _TOP + _LINE * sum(lines) + 4
    sheet = Sheet(foot + 26)
    y = _TOP
    for (label, marks), height in zip(rows, lines, strict=True):
        sheet.text(_LEFT - 10, y + 4.5, shortened(label, 17), anchor="end", weight=500)
        every = [(name, firm, False) for name, firm in marks.items()]
        every += [(name, firm, True) for name, firm in gone.get(label.casefold(), {}).items()]
        for place, (name, firm, old) in enumerate(every):
            x = _LEFT + _PITCH * (place % _ACROSS)
            _mark(sheet, x, y + _LINE * (place // _ACROSS), name, firm, old, ground)
        y += _LINE * height
    sheet.line([(_LEFT - 5, _TOP - 10), (_LEFT - 5, foot - 8)])
    sheet.dot(10, foot + 9)
    sheet.text(20, foot + 13.5, str(data.get("firm", "")))
    sheet.dot(86, foot + 9, hollow=True, ground=ground)
    sheet.text(96, foot + 13.5, shortened(str(data.get("loose", "")), 22))
    if any(gone.values()):
        sheet.line([(236, foot + 9), (256, foot + 9)], 1.6)
        sheet.text(262, foot + 13.5, "before")
    return sheet


def _mark(sheet: Sheet, x: float, y: float, name: str, firm: bool, old: bool, ground: str) -> None:
    words = shortened(name, 9)
    sheet.dot(x + 4, y, hollow=not firm or old, ground=ground)
    sheet.text(x + 12, y + 4.5, words, weight=600 if firm and not old else 400)
    if old:
        sheet.line([(x + 10, y), (x + 14 + 6.3 * len(words), y)], 1.6)


def _marks(row: Mapping[str, Any]) -> dict[str, bool]:
    """Name -> firm, in order; a name that comes twice is firm if either is."""
    found: dict[str, bool] = {}
    marks: Iterable[Mapping[str, Any]] = row["marks"]
    for mark in marks:
        name = str(mark["label"])
        found[name] = found.get(name, False) or bool(mark.get("firm"))
    return found
