"""A logged value over time: everything it did between two slices, beyond its limits hatched."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from measurements.core.charts.sheet import (
    ChartError,
    Scale,
    Sheet,
    number,
    shortened,
    tick_words,
    ticks,
)

Slice = tuple[float, float, float]

_LEFT, _RIGHT, _TOP = 46.0, 310.0, 28.0
_TALL, _THIN, _BETWEEN = 150.0, 44.0, 24.0


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """points: (x, least, most) of slices; those more than `gap` apart are not joined; speed: the
    same of the engine speed, in a thin panel below; limits: value, beyond ("above" or "below"),
    label; stretches: (start, end) beyond a limit. Of an earlier log in the same unit the middle is
    dashed."""
    points = _slices(data["points"])
    if not points:
        raise ChartError("there is no point to draw")
    same = bool(earlier) and earlier["y"].get("unit") == data["y"].get("unit")
    old = _slices(earlier["points"]) if same else []
    speed = _slices(data.get("speed", []))
    limits = [
        (number(one["value"], "limit"), str(one["beyond"]), str(one["label"]))
        for one in data.get("limits", [])
    ]
    shown = [*points, *old]
    low = min([least for _, least, _ in shown] + [value for value, _, _ in limits])
    high = max([most for _, _, most in shown] + [value for value, _, _ in limits])
    margin = (high - low or abs(high) or 1.0) * 0.12
    foot = _TOP + _TALL
    below = foot + (_BETWEEN + _THIN if speed else 0.0)
    sheet = Sheet(below + (58 if old else 40))
    end = max(x for x, _, _ in shown)
    x_of = Scale(min(0.0, points[0][0]), end, _LEFT, _RIGHT)
    y_of = Scale(low - margin, high + margin, foot, _TOP)
    for value, beyond, _label in limits:
        y = y_of(value)
        sheet.hatch(_LEFT, *((_TOP, _RIGHT, y) if beyond == "above" else (y, _RIGHT, foot)))
    _axes(sheet, y_of, _TOP, foot)
    for value, _beyond, _label in limits:
        sheet.line([(_LEFT, y_of(value)), (_RIGHT, y_of(value))], 1.6)
    for value, beyond, label in limits:
        # on its good side, and below the trace: what lies beyond is what matters
        y = y_of(value) + (-5 if beyond == "below" else 14)
        sheet.text(_RIGHT - 4, y, label, anchor="end", weight=600, ground=ground)
    _wave(sheet, old, x_of, y_of, number(earlier["gap"], "gap") if same else 0.0, dashed=True)
    _wave(sheet, points, x_of, y_of, number(data["gap"], "gap"))
    _bars(sheet, data.get("stretches", []), x_of, foot)
    sheet.text(_LEFT - 40, 14, _words(data["y"]))
    if speed:
        top = foot + _BETWEEN
        highest = max(most for _, _, most in speed)
        speed_of = Scale(0.0, highest * 1.08 or 1.0, below, top)
        _axes(sheet, speed_of, top, below, most=2)
        _wave(sheet, speed, x_of, speed_of, number(data["gap"], "gap"))
        sheet.text(_LEFT - 40, top - 6, shortened(str(data.get("speed_label", "")), 40))
    for tick in ticks(x_of.low, x_of.high, 5):
        sheet.line([(x_of(tick), below), (x_of(tick), below + 5)])
        sheet.text(x_of(tick), below + 18, tick_words(tick), anchor="middle")
    sheet.text(_RIGHT, below + 34, _words(data["x"]), anchor="end")
    if old:
        sheet.line([(_LEFT - 40, below + 47), (_LEFT - 10, below + 47)], 1.6, "6 4")
        sheet.text(_LEFT - 4, below + 51.5, "before")
    return sheet


def _slices(points: Sequence[Any]) -> list[Slice]:
    return [(number(x, "x"), number(a, "least"), number(b, "most")) for x, a, b in points]


def _words(axis: Mapping[str, Any]) -> str:
    parts = (str(axis.get("label", "")), str(axis.get("unit", "")))
    return shortened(", ".join(part for part in parts if part), 46)


def _axes(sheet: Sheet, scale: Scale, top: float, foot: float, most: int = 5) -> None:
    sheet.line([(_LEFT, top), (_LEFT, foot), (_RIGHT, foot)])
    for tick in ticks(scale.low, scale.high, most):
        sheet.line([(_LEFT - 5, scale(tick)), (_LEFT, scale(tick))])
        sheet.text(_LEFT - 8, scale(tick) + 4.5, tick_words(tick), anchor="end")


def _wave(
    sheet: Sheet,
    slices: Sequence[Slice],
    x_of: Scale,
    y_of: Scale,
    gap: float,
    dashed: bool = False,
) -> None:
    """Up to the most and down to the least of each slice, so that no peak is lost; what is missing
    stays open. Dashed: the middle alone."""
    part: list[tuple[float, float]] = []

    def close() -> None:
        # one slice alone is still a mark to be seen
        if part:
            sheet.line(part if len(part) > 1 else part * 2, 1.6 if dashed else 1.4, "6 4" * dashed)
        part.clear()

    last = -math.inf
    for x, least, most in slices:
        if x - last > gap:
            close()
        last = x
        middle = (least + most) / 2
        ends = (middle,) if dashed else (most, least)
        part += [(x_of(x), y_of(y)) for y in ends]
    close()


def _bars(sheet: Sheet, stretches: Sequence[Any], x_of: Scale, foot: float) -> None:
    """A thick bar on the foot under each stretch, three wide at least."""
    bars = []
    for start, end in stretches:
        left, right = x_of(number(start, "start")), x_of(number(end, "end"))
        bars.append(((left, foot - 2.5), (max(right, left + 3), foot - 2.5)))
    sheet.strokes(bars, 5)
