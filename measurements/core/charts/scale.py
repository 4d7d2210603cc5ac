"""Single values on one scale with named marks, such as rest volts beside the states of charge."""

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
    """A row for each value; marks across all rows, hatched beyond `low` and `high`.

    rows: label, value, u; marks: value, label; all in `unit`. Earlier values of rows with the same
    label are hollow.
    """
    rows = [
        (str(row["label"]), number(row["value"]), number(row.get("u", 0.0), "u"))
        for row in data["rows"]
    ]
    if not rows:
        raise ChartError("there is no value to draw")
    old = {str(row["label"]): number(row["value"]) for row in earlier.get("rows", [])}
    marks = [(number(m["value"], "mark"), str(m["label"])) for m in data.get("marks", [])]
    low = None if data.get("low") is None else number(data["low"], "low")
    high = None if data.get("high") is None else number(data["high"], "high")
    shown = [value + side * 2 * u for _, value, u in rows for side in (-1, 1)]
    shown += [old[label] for label, _, _ in rows if label in old]
    shown += [value for value, _ in marks] + [v for v in (low, high) if v is not None]
    margin = (max(shown) - min(shown) or abs(max(shown)) or 1.0) * 0.08
    left, right, top, step = 92.0, 310.0, 24.0, 30.0
    foot = top + step * len(rows)
    before = any(label in old for label, _, _ in rows)
    sheet = Sheet(foot + (58 if before else 40))
    x_of = Scale(min(shown) - margin, max(shown) + margin, left, right)
    if low is not None:
        sheet.hatch(left, top, x_of(low), foot)
        sheet.line([(x_of(low), top), (x_of(low), foot)], 1.6)
    if high is not None:
        sheet.hatch(x_of(high), top, right, foot)
        sheet.line([(x_of(high), top), (x_of(high), foot)], 1.6)
    free_from = left - 20
    for value, label in sorted(marks):
        x = x_of(value)
        sheet.line([(x, top - 5), (x, foot)], 1, "2 4")
        half = 3.2 * len(label)
        if x - half >= free_from and x + half <= right + 8:
            sheet.text(x, top - 9, label, anchor="middle")
            free_from = x + half + 5
    sheet.line([(left, top), (left, foot), (right, foot)])
    for index, (label, value, u) in enumerate(rows):
        y = top + step * (index + 0.5)
        sheet.text(left - 8, y + 4.5, shortened(label, 15), anchor="end", weight=500)
        if label in old:
            sheet.dot(x_of(old[label]), y - 7, hollow=True, ground=ground)
        error_bar(sheet, x_of(value), y, x_of(value + 2 * u) - x_of(value), upright=False)
        sheet.dot(x_of(value), y)
    for tick in ticks(x_of.low, x_of.high, 4):
        sheet.line([(x_of(tick), foot), (x_of(tick), foot + 5)])
        sheet.text(x_of(tick), foot + 18, tick_words(tick), anchor="middle")
    axis = ", ".join(
        part for part in (str(data.get("axis", "")), str(data.get("unit", ""))) if part
    )
    sheet.text(right, foot + 34, axis, anchor="end")
    if before:
        sheet.dot(10, foot + 47, hollow=True, ground=ground)
        sheet.text(20, foot + 51.5, "before")
    return sheet
