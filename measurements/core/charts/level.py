"""A level on a stick with two marks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from measurements.core.charts.sheet import ChartError, Scale, Sheet, error_bar, number


def draw(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> Sheet:
    """A dipstick lying down: two marks, hatched beyond them, the film up to where it was read."""
    stick = data["stick"]
    low, high = number(stick["low"], "low mark"), number(stick["high"], "high mark")
    if high <= low:
        raise ChartError(f"the high mark {high:g} must lie above the low mark {low:g}")
    level = None if data.get("level") is None else number(data["level"], "level")
    u = number(data.get("u", 0.0), "u")
    span = high - low
    seen = [value for value in (level, _old_level(earlier)) if value is not None]
    scale = Scale(
        min([low - span * 0.5, *(v - span * 0.1 for v in seen)]),
        max([high + span * 0.6, *(v + span * 0.1 for v in seen)]),
        14,
        306,
    )
    sheet = Sheet(112)
    top, foot = 44.0, 68.0
    sheet.hatch(14, top, scale(low), foot)
    sheet.hatch(scale(high), top, 306, foot)
    sheet.line([(306, top), (14, top), (14, foot), (306, foot)], 1.6)
    for mark, label in ((low, "low mark"), (high, "full mark")):
        sheet.line([(scale(mark), top - 8), (scale(mark), foot + 8)], 1.6)
        sheet.text(scale(mark), foot + 22, label, anchor="middle", weight=500)
    if level is not None:
        sheet.line([(14, 56), (scale(level), 56)], 5)
        error_bar(sheet, scale(level), 34, scale(level + 2 * u) - scale(level), upright=False)
        sheet.dot(scale(level), 34)
        anchor = "end" if scale(level) > 200 else "start" if scale(level) < 90 else "middle"
        sheet.text(
            scale(level),
            20,
            str(data.get("note", "")) or f"{level:g} {stick['unit']}",
            anchor=anchor,
            weight=600,
        )
    old = _old_level(earlier)
    if old is not None:
        sheet.dot(scale(old), foot + 34, hollow=True, ground=ground)
        sheet.text(scale(old) + 9, foot + 38.5, "before")
    return sheet


def _old_level(earlier: Mapping[str, Any]) -> float | None:
    value = earlier.get("level")
    return None if value is None else number(value, "earlier level")
