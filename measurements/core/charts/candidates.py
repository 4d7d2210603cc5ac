"""A measured value beside the values that would explain it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from measurements.core.charts.sheet import (
    ChartError,
    Scale,
    Sheet,
    error_bar,
    number,
    shortened,
    tick_words,
    ticks,
)


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Each candidate on one scale with ± (k = 2); what was measured is a hatched strip across."""
    rows = [(str(row["label"]), *_pair((row["value"], row["u"]))) for row in data["rows"]]
    if not rows:
        raise ChartError("there is no candidate to draw")
    old = {
        str(row["label"]): number(row["value"], "earlier value") for row in earlier.get("rows", ())
    }
    measured = _pair(data["measured"]) if data.get("measured") else None
    was = _pair(earlier["measured"])[0] if earlier.get("measured") else None
    most = max(
        [value + 2 * u for _, value, u in rows]
        + [old[label] for label, _, _ in rows if label in old]
        + ([measured[0] + 2 * measured[1]] if measured else [])
        + ([was] if was is not None else [])
    )
    left, right, top, step = 128.0, 312.0, 26.0, 26.0
    foot = top + step * len(rows)
    sheet = Sheet(foot + 44)
    scale = Scale(0.0, most * 1.08 or 1.0, left, right)
    if measured is not None:
        low, high = scale(measured[0] - 2 * measured[1]), scale(measured[0] + 2 * measured[1])
        sheet.hatch(low, top - 8, max(high, low + 2), foot, 5)
        sheet.line([(scale(measured[0]), top - 8), (scale(measured[0]), foot)], 2.2)
        place = scale(measured[0])
        anchor = "end" if place > 240 else "start" if place < 170 else "middle"
        sheet.text(place, 13, str(data.get("note", "")), anchor=anchor, weight=600)
    if was is not None:
        sheet.line([(scale(was), top - 8), (scale(was), foot)], 1.6, "6 4")
    for index, (label, value, u) in enumerate(rows):
        y = top + step * (index + 0.5)
        marked = bool(data["rows"][index].get("marked"))
        sheet.text(
            left - 8, y + 4.5, shortened(label, 20), anchor="end", weight=700 if marked else 400
        )
        if label in old:
            sheet.dot(scale(old[label]), y, hollow=True, radius=6, ground=ground)
        error_bar(sheet, scale(value), y, scale(value + 2 * u) - scale(value), upright=False)
        sheet.dot(scale(value), y, radius=5 if marked else 3.5)
    sheet.line([(left, top - 8), (left, foot), (right, foot)])
    for tick in ticks(0.0, scale.high, 4):
        sheet.line([(scale(tick), foot), (scale(tick), foot + 5)])
        sheet.text(scale(tick), foot + 18, tick_words(tick), anchor="middle")
    sheet.text(right, foot + 34, f"{data.get('axis', '')}, {data.get('unit', '')}", anchor="end")
    if old or was is not None:
        sheet.line([(10, foot + 30), (38, foot + 30)], 1.6, "6 4")
        sheet.dot(24, foot + 30, hollow=True, radius=6, ground=ground)
        sheet.text(44, foot + 34, "before")
    return sheet


def _pair(entry: Any) -> tuple[float, float]:
    value, u = entry
    return number(value), number(u, "u")
