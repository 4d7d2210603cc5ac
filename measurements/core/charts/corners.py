"""A small panel for each corner of the car, such as tread or pads, placed as seen from above."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from measurements.core.charts.sheet import (
    WIDTH,
    ChartError,
    Scale,
    Sheet,
    error_bar,
    limit_numbers,
    number,
    shortened,
)

_PANEL_WIDTH = WIDTH / 2
_PANEL_HEIGHT = 128.0


@dataclass(frozen=True)
class _Panel:
    """row 0 is the front axle, side 0 the left; low: the least that is allowed, None if unknown;
    points: label, value, u, from left to right."""

    row: int
    side: int
    label: str
    low: float | None
    points: tuple[tuple[str, float, float], ...]


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """Panels with one scale from nought, hatched below their limit; earlier values are hollow.

    panels: row, side, label, low, points (label, value, u); all values in `unit`.
    """
    panels = [_read(one) for one in data["panels"]]
    before = {
        (panel.row, panel.side, label): value
        for panel in (_read(one) for one in earlier.get("panels", []))
        for label, value, _ in panel.points
    }
    tops = [value + 2 * u for panel in panels for _, value, u in panel.points]
    if not tops:
        raise ChartError("there is no value to draw")
    tops += [panel.low for panel in panels if panel.low is not None]
    highest = max([*tops, *before.values()]) * 1.2
    axles = sorted({panel.row for panel in panels})
    foot = _PANEL_HEIGHT * len(axles)
    sheet = Sheet(foot + 22)
    unit = str(data.get("unit", ""))
    for panel in panels:
        above = axles.index(panel.row) * _PANEL_HEIGHT
        _draw_panel(sheet, panel, above, highest, before, ground, unit)
    sheet.text(WIDTH - 4, foot + 14, unit, anchor="end")
    if before:
        sheet.dot(10, foot + 9.5, hollow=True, ground=ground)
        sheet.text(20, foot + 14, "before")
    return sheet


def _read(one: Mapping[str, Any]) -> _Panel:
    points = tuple(
        (
            str(point["label"]),
            number(point["value"], "value"),
            number(point.get("u", 0.0), "u"),
        )
        for point in one["points"]
    )
    low = None if one.get("low") is None else number(one["low"], "low")
    return _Panel(int(one["row"]), int(one["side"]), str(one["label"]), low, points)


def _draw_panel(
    sheet: Sheet,
    panel: _Panel,
    above: float,
    highest: float,
    before: Mapping[tuple[int, int, str], float],
    ground: str,
    unit: str,
) -> None:
    left = panel.side * _PANEL_WIDTH + 10
    right = left + _PANEL_WIDTH - 20
    top, foot = above + 22, above + 96
    y_of = Scale(0.0, highest, foot, top)
    sheet.text((left + right) / 2, above + 13, panel.label, anchor="middle", weight=600)
    if panel.low is not None:
        sheet.hatch(left, y_of(panel.low), right, foot)
        sheet.line([(left, y_of(panel.low)), (right, y_of(panel.low))], 1.6)
        if panel.low > 0:
            least, _most = limit_numbers(panel.low, None, unit)
            sheet.text(right, y_of(panel.low) - 3, least, anchor="end")
    sheet.line([(left, foot), (right, foot)])
    pitch = (right - left - 18) / max(1, len(panel.points))
    for index, (label, value, u) in enumerate(panel.points):
        x = left + pitch * (index + 0.5)
        sheet.line([(x, foot), (x, y_of(value))], 2.6)
        old = before.get((panel.row, panel.side, label))
        if old is not None:
            sheet.dot(x - 9, y_of(old), hollow=True, ground=ground)
        under = panel.low is not None and value < panel.low
        sheet.text(
            x + 8,
            max(top + 4, y_of(value) - 4),
            f"{value:.1f}".replace("-", "−"),
            weight=600 if under else 400,
            ground=ground,
        )
        error_bar(sheet, x, y_of(value), abs(y_of(value) - y_of(value + 2 * u)), upright=True)
        sheet.dot(x, y_of(value))
        sheet.text(
            x, foot + 15, shortened(label, max(4, int(pitch / 6.2))), anchor="middle", weight=500
        )
