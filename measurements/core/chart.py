"""Charts and glyphs as SVG text: attributes only, currentColor, the same on page and paper.

`draw` turns the plain chart data of an assessment into SVG, 320 wide, type 13. What lies beyond a
limit is hatched with drawn lines. The `<title>` tells the whole content. A new kind of chart is a
module in `core.charts` and a line in `_DRAWERS`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from measurements.core.charts import (
    candidates,
    corners,
    cylinders,
    engine,
    level,
    lines,
    pairs,
    path,
    pins,
    plan,
    scale,
    tally,
    trace,
    wheels,
)
from measurements.core.charts.marks import Side, certainty_line, limit_strip, verdict_glyph
from measurements.core.charts.sheet import ChartError, Sheet, number, ticks

__all__ = [
    "ChartError",
    "Side",
    "certainty_line",
    "draw",
    "limit_strip",
    "number",
    "ticks",
    "verdict_glyph",
]

_DRAWERS: Mapping[str, Callable[[Mapping[str, Any], Mapping[str, Any], str], Sheet]] = {
    "path": path.draw,
    "lines": lines.draw,
    "pairs": pairs.draw,
    "cylinders": cylinders.draw,
    "corners": corners.draw,
    "engine": engine.draw,
    "level": level.draw,
    "scale": scale.draw,
    "tally": tally.draw,
    "trace": trace.draw,
    "candidates": candidates.draw,
    "pins": pins.draw,
    "plan": plan.draw,
    "wheels": wheels.draw,
}


def draw(
    data: Mapping[str, Any],
    *,
    ground: str = "#ffffff",
    earlier: Mapping[str, Any] | None = None,
    name: str = "chart",
) -> str:
    """The SVG of chart data, "" if there is none.

    ground: colour behind hollow dots; earlier: chart data of the run before, drawn dashed with
    hollow dots; name: prefix of ids, so that two charts can stand on one page. Raises ChartError.
    """
    if not data:
        return ""
    kind = data.get("kind")
    if kind not in _DRAWERS:
        raise ChartError(f"chart kind {kind!r} is none of {sorted(_DRAWERS)}")
    if earlier and earlier.get("kind") != kind:
        raise ChartError(f"cannot lay a {earlier.get('kind')!r} chart under a {kind!r} chart")
    return _DRAWERS[str(kind)](data, earlier or {}, ground).svg(str(data.get("title", "")), name)
