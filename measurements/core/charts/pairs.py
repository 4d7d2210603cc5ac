"""Before and after, point by point, each row on one scale with its own limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from measurements.core.charts.sheet import (
    ChartError,
    Scale,
    Sheet,
    error_bar,
    in_two_lines,
    number,
    tick_words,
    ticks,
)


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Pairs of before (hollow) and after (solid) on one scale, each row with its own limits."""
    del earlier  # a pair carries its own before
    rows = list(data["rows"])
    values: list[float] = []
    for row in rows:
        for key in ("before", "after"):
            if row.get(key):
                value, u = row[key]
                values += [number(value) - 2 * number(u, "u"), number(value) + 2 * number(u, "u")]
        values += [number(row[key], key) for key in ("low", "high") if row.get(key) is not None]
    if not values:
        raise ChartError("there is no point to draw")
    low, high = min([*values, 0.0] if min(values) >= 0 else values), max(values)
    if low == 0.0 and min(values) > 0.6 * high:
        low = min(values) - (high - min(values) or 1) * 0.2
    left, right, top, step = 112.0, 310.0, 12.0, 34.0
    foot = top + step * len(rows)
    sheet = Sheet(foot + 58)
    scale = Scale(low, high + (high - low or 1) * 0.08, left + 6, right)
    for index, row in enumerate(rows):
        y = top + step * (index + 0.5)
        for key in ("high", "low"):
            if row.get(key) is None:
                continue
            x = scale(number(row[key], key))
            box = (x, y - 13, right, y + 13) if key == "high" else (left, y - 13, x, y + 13)
            sheet.hatch(*box)
            sheet.line([(x, y - 13), (x, y + 13)], 1.6)
        lines = in_two_lines(str(row["label"]), 17)
        for line, shift in zip(lines, (-2.5, 11.5) if lines[1:] else (4.5,), strict=True):
            sheet.text(left - 10, y + shift, line, anchor="end", weight=500)
        for key, hollow, shift in (("before", True, -5.0), ("after", False, 5.0)):
            if row.get(key):
                value, u = number(row[key][0]), number(row[key][1], "u")
                error_bar(
                    sheet,
                    scale(value),
                    y + shift,
                    scale(value + 2 * u) - scale(value),
                    upright=False,
                )
                sheet.dot(scale(value), y + shift, hollow=hollow, ground=ground)
    sheet.line([(left, top - 4), (left, foot), (right, foot)])
    for tick in ticks(scale.low, scale.high, 4):
        sheet.line([(scale(tick), foot), (scale(tick), foot + 5)])
        sheet.text(scale(tick), foot + 18, tick_words(tick), anchor="middle")
    sheet.text(right, foot + 34, f"{data.get('axis', '')}, {data.get('unit', '')}", anchor="end")
    sheet.dot(10, foot + 47, hollow=True, ground=ground)
    sheet.text(20, foot + 51.5, "before")
    sheet.dot(80, foot + 47)
    sheet.text(90, foot + 51.5, "after")
    return sheet
