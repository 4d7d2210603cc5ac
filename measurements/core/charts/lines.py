"""Lines over x, with limits hatched and uncertainties as bars."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
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

_STROKES = (("", 2.6, False), ("9 3 2 3", 1.6, False), ("2 4", 1.6, False), ("12 3", 1.6, False))


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Lines over time, engine speed or the like, with named level limits."""
    series = [series_points(one) for one in data["series"]]
    old = [series_points(one) for one in earlier.get("series", [])]
    limits = [
        (str(one["label"]), number(one["value"], "limit"), str(one["beyond"]))
        for one in data.get("limits", [])
    ]
    points = [point for _, line in [*series, *old] for point in line]
    if not points:
        raise ChartError("there is no point to draw")
    xs = [x for x, _, _ in points]
    spread = [y + s * 2 * u for _, y, u in points for s in (-1, 1)] + [
        value for _, value, _ in limits
    ]
    spread += [value for _, value, _ in limits]
    low, high = min(spread), max(spread)
    if data["y"].get("from_zero"):
        low = min(0.0, low)
    margin = (high - low or abs(high) or 1.0) * 0.12
    low, high = (low if data["y"].get("from_zero") and low >= 0 else low - margin), high + margin
    named = len(series) + len(old) > 1
    key_height = 18 * math.ceil((len(series) + bool(old)) / 2) if named else 0
    left, right, top = 46.0, 310.0, 28.0
    foot = top + 160
    sheet = Sheet(foot + 44 + key_height)
    x_of = Scale(min(xs), max(xs), left + 10, right - 10)
    y_of = Scale(low, high, foot, top)
    used: list[float] = []
    for _, value, beyond in limits:
        y = y_of(value)
        sheet.hatch(left, *((top, right, y) if beyond == "above" else (y, right, foot)))
    sheet.line([(left, top), (left, foot), (right, foot)])
    for tick in ticks(low, high):
        sheet.line([(left - 5, y_of(tick)), (left, y_of(tick))])
        sheet.text(left - 8, y_of(tick) + 4.5, tick_words(tick), anchor="end")
    for tick in x_ticks(xs):
        sheet.line([(x_of(tick), foot), (x_of(tick), foot + 5)])
        sheet.text(x_of(tick), foot + 18, tick_words(tick), anchor="middle")
    sheet.text(left - 40, 14, axis_words(data["y"]))
    sheet.text(right, foot + 34, axis_words(data["x"]), anchor="end")
    for label, value, beyond in limits:
        y = y_of(value)
        sheet.line([(left, y), (right, y)], 1.6)
        below = beyond == "below" and y + 18 <= foot
        words_y = y + (14 if below else -5)
        while any(abs(words_y - other) < 14 for other in used):
            words_y += 14 if below else -14
        used.append(words_y)
        sheet.text(right - 4, words_y, label, anchor="end", weight=600, ground=ground)
    for line in [line for _, line in old]:
        polyline(sheet, line, x_of, y_of, "6 4", 1.6, hollow=True, ground=ground)
    for index, (_, line) in enumerate(series):
        dash, width, hollow = _STROKES[index % len(_STROKES)]
        polyline(
            sheet, line, x_of, y_of, dash, width, hollow=hollow or index % 2 == 1, ground=ground
        )
    if named:
        entries = [
            (label, *_STROKES[i % len(_STROKES)][:2], i % 2 == 1)
            for i, (label, _) in enumerate(series)
        ]
        if old:
            entries.append(("before", "6 4", 1.6, True))
        for index, (label, dash, width, hollow) in enumerate(entries):
            x = left - 40 + 158 * (index % 2)
            y = foot + 50 + 18 * (index // 2)
            sheet.line([(x, y - 4), (x + 30, y - 4)], width, dash)
            sheet.dot(x + 15, y - 4, hollow=hollow, ground=ground)
            sheet.text(x + 36, y, shortened(label, 19))
    note = str(data.get("note", ""))
    if note:
        x, y, _ = series[0][1][-1]
        sheet.text(
            min(x_of(x), right - 6),
            min(y_of(y) + 22, foot - 6),
            note,
            anchor="end",
            weight=600,
            ground=ground,
        )
    return sheet


def x_ticks(xs: Sequence[float]) -> list[float]:
    distinct = sorted(set(xs))
    return distinct if len(distinct) <= 4 else ticks(distinct[0], distinct[-1], 5)


def axis_words(axis: Mapping[str, Any]) -> str:
    return ", ".join(
        part for part in (str(axis.get("label", "")), str(axis.get("unit", ""))) if part
    )


def series_points(one: Mapping[str, Any]) -> tuple[str, list[tuple[float, float, float]]]:
    points = []
    for point in one["points"]:
        x, y, *rest = point
        points.append((number(x, "x"), number(y, "y"), number(rest[0], "u") if rest else 0.0))
    return str(one.get("label", "")), points


def polyline(
    sheet: Sheet,
    line: Sequence[tuple[float, float, float]],
    x_of: Scale,
    y_of: Scale,
    dash: str,
    width: float,
    *,
    hollow: bool,
    ground: str,
) -> None:
    if len(line) > 1:
        sheet.line([(x_of(x), y_of(y)) for x, y, _ in line], width, dash)
    for x, y, u in line:
        half = abs(y_of(y) - y_of(y + 2 * u)) if u else 0.0
        error_bar(sheet, x_of(x), y_of(y), half, upright=True)
        sheet.dot(x_of(x), y_of(y), hollow=hollow, ground=ground)
