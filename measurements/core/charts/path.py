"""Loss along a path, from station to station: where the loss is, the line leans."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from measurements.core.charts.sheet import (
    ChartError,
    Scale,
    Sheet,
    limit_numbers,
    number,
    shortened,
    tick_words,
    ticks,
)


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Loss along a path, from station to station: where the loss is, the line leans."""
    stations = [str(station) for station in data["stations"]]
    sums = _running(data["drops"], stations)
    before = _running(earlier["drops"], stations) if earlier else []
    limit = None if data.get("limit") is None else number(data["limit"], "limit")
    most = max([value for value in [*sums, *before] if value is not None] + [limit or 0.0])
    step = 40
    left, right, top = 104.0, 316.0, 34.0
    foot = top + step * (len(stations) - 1) + 12
    sheet = Sheet(foot + 40)
    scale = Scale(0.0, max(most * 1.1, 1e-6), left, right)
    unit = str(data.get("unit", ""))
    if limit is not None:
        sheet.hatch(scale(limit), 22, right, foot)
        sheet.line([(scale(limit), 22), (scale(limit), foot)], 1.6)
        place = scale(limit)
        anchor = "end" if place > 240 else "start" if place < 150 else "middle"
        words = f"limit {limit_numbers(None, limit, unit)[1]} {unit}"
        sheet.text(place, 15, words, anchor=anchor, weight=600)
    for index, station in enumerate(stations):
        y = top + step * index
        sheet.text(left - 10, y + 4.5, shortened(station, 16), anchor="end", weight=500)
        sheet.line([(left - 5, y), (left, y)])
    sheet.line([(left, 22), (left, foot), (right, foot)])
    for tick in ticks(0.0, scale.high, 4):
        sheet.line([(scale(tick), foot), (scale(tick), foot + 5)])
        sheet.text(scale(tick), foot + 18, tick_words(tick), anchor="middle")
    sheet.text(right, foot + 34, f"{data.get('axis', '')}, {unit}", anchor="end")
    for values, old in ((before, True), (sums, False)):
        points = [
            (scale(value), top + step * index)
            for index, value in enumerate(values)
            if value is not None
        ]
        if len(points) > 1:
            sheet.line(points, 1.6 if old else 2.6, "6 4" if old else "")
        for x, y in points:
            sheet.dot(x, y, hollow=old, ground=ground)
    note = str(data.get("note", ""))
    drops = [None if drop is None else number(drop, "drop") for drop in data["drops"]]
    known = [drop for drop in drops if drop is not None]
    if note and known:
        place = drops.index(max(known))
        start, end = sums[place], sums[place + 1]
        if start is not None and end is not None:
            wide = scale(end) - scale(start) >= 90
            # Above the leaning line where it is wide, right of it where it is steep.
            x = min(scale(end) + 16, right) if wide else scale(end) + 10
            y = top + step * place + (13 if wide else step * 0.5 + 4.5)
            anchor = "end" if wide or x > 250 else "start"
            sheet.text(
                x if wide or x <= 250 else scale(start) - 10,
                y,
                note,
                anchor=anchor,
                weight=600,
                ground=ground,
            )
    return sheet


def _running(drops: Sequence[Any], stations: Sequence[str]) -> list[float | None]:
    """Sum since the first station; unknown from the first missing step on."""
    if len(drops) != len(stations) - 1:
        raise ChartError(
            f"{len(stations)} stations need {len(stations) - 1} drops, not {len(drops)}"
        )
    sums: list[float | None] = [0.0]
    for drop in drops:
        last = sums[-1]
        sums.append(None if drop is None or last is None else last + number(drop, "drop"))
    return sums
