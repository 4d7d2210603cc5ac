"""Charts and glyphs as SVG text: attributes only, currentColor, the same on page and paper.

`draw` turns the plain chart data of an assessment into SVG, 320 wide, type 13. What lies beyond a
limit is hatched with drawn lines. The `<title>` tells the whole content.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from html import escape
from typing import Any, Literal

WIDTH = 320
TYPE = 13
_FONT = "Barlow Semi Condensed, Liberation Sans Narrow, sans-serif"

Side = Literal["upper", "lower", "both"]


class ChartError(ValueError):
    """Chart data that cannot be drawn; says which part."""


def number(value: Any, what: str = "value") -> float:
    """A finite float; raises ChartError for anything else."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ChartError(f"{what} {value!r} is not a finite number")
    return float(value)


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
    drawers: dict[str, Callable[..., _Sheet]] = {
        "path": _path,
        "lines": _lines,
        "pairs": _pairs,
        "cylinders": _cylinders,
        "level": _level,
    }
    if kind not in drawers:
        raise ChartError(f"chart kind {kind!r} is none of {sorted(drawers)}")
    if earlier and earlier.get("kind") != kind:
        raise ChartError(f"cannot lay a {earlier.get('kind')!r} chart under a {kind!r} chart")
    return drawers[str(kind)](data, earlier or {}, ground).svg(str(data.get("title", "")), name)


# --- drawing ----------------------------------------------------------------------------------


def _n(value: float) -> str:
    """A coordinate with one decimal at most."""
    return f"{round(value, 1):g}"


class _Sheet:
    """Elements of one drawing, in the order of painting."""

    def __init__(self, height: float) -> None:
        self.height = height
        self.parts: list[str] = []

    def line(
        self,
        points: Sequence[tuple[float, float]],
        width: float = 1.0,
        dash: str = "",
        opacity: float = 1.0,
    ) -> None:
        steps = " L".join(f"{_n(x)} {_n(y)}" for x, y in points)
        extra = f' stroke-dasharray="{dash}"' if dash else ""
        extra += f' stroke-opacity="{opacity}"' if opacity < 1 else ""
        self.parts.append(f'<path d="M{steps}" stroke-width="{width:g}"{extra}/>')

    def strokes(
        self, segments: Sequence[tuple[tuple[float, float], tuple[float, float]]], width: float
    ) -> None:
        """Several straight strokes as one element: a PDF renderer styles each element anew."""
        if segments:
            steps = "".join(f"M{_n(a)} {_n(b)}L{_n(c)} {_n(d)}" for (a, b), (c, d) in segments)
            self.parts.append(f'<path d="{steps}" stroke-width="{width:g}"/>')

    def dot(
        self, x: float, y: float, *, hollow: bool = False, radius: float = 4.0, ground: str = ""
    ) -> None:
        fill = escape(ground, quote=True) if hollow else "currentColor"
        self.parts.append(
            f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{radius:g}" fill="{fill}" stroke-width="1.6"/>'
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        anchor: str = "start",
        weight: int = 400,
        ground: str = "",
    ) -> None:
        if ground:
            wide = 6.3 * len(words) + 6
            left = {"start": x - 3, "middle": x - wide / 2, "end": x - wide + 3}[anchor]
            self.parts.append(
                f'<rect x="{_n(left)}" y="{_n(y - 12)}" width="{_n(wide)}" height="16" '
                f'fill="{escape(ground, quote=True)}" stroke="none"/>'
            )
        self.parts.append(
            f'<text x="{_n(x)}" y="{_n(y)}" fill="currentColor" stroke="none" '
            f'text-anchor="{anchor}" font-weight="{weight}">{escape(words)}</text>'
        )

    def hatch(
        self,
        left: float,
        top: float,
        right: float,
        bottom: float,
        step: float = 7.0,
        width: float = 1.0,
    ) -> None:
        """Lines at 45° inside a box, drawn one by one so that every renderer shows them."""
        if right - left < 1 or bottom - top < 1:
            return
        pitch = step * math.sqrt(2)
        run = (right - left) + (bottom - top)
        strokes = []
        offset = pitch / 2
        while offset < run:
            # x + y grows by `offset` from the top left corner; cut by the box
            x1, y1 = left + offset, top
            if x1 > right:
                x1, y1 = right, top + offset - (right - left)
            x2, y2 = left, top + offset
            if y2 > bottom:
                x2, y2 = left + offset - (bottom - top), bottom
            strokes.append(f"M{_n(x1)} {_n(y1)}L{_n(x2)} {_n(y2)}")
            offset += pitch
        self.parts.append(
            f'<path d="{"".join(strokes)}" stroke-width="{width:g}" stroke-opacity="0.45"/>'
        )

    def svg(self, title: str, name: str) -> str:
        if not title:
            raise ChartError("a chart needs a title that tells its content")
        mark = escape(f"{name}-title", quote=True)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {_n(self.height)}" '
            f'width="{WIDTH}" height="{_n(self.height)}" role="img" aria-labelledby="{mark}" '
            f'fill="none" stroke="currentColor" font-family="{_FONT}" font-size="{TYPE}">'
            f'<title id="{mark}">{escape(title)}</title>{"".join(self.parts)}</svg>'
        )


def ticks(low: float, high: float, most: int = 5) -> list[float]:
    """Round numbers from low to high, at most `most` plus one of them.

    >>> ticks(0, 0.9)
    [0.0, 0.2, 0.4, 0.6, 0.8]
    """
    span = number(high, "high") - number(low, "low")
    if span <= 0:
        return [low]
    raw = span / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1, 2, 5, 10) if m * power >= raw * 0.999)
    first = math.ceil(low / step - 1e-9)
    return [round(k * step, 10) for k in range(first, math.floor(high / step + 1e-9) + 1)]


def _tick(value: float) -> str:
    return f"{value:g}".replace("-", "−")


def _short(words: str, most: int) -> str:
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


class _Scale:
    """Values to a stretch of the sheet."""

    def __init__(self, low: float, high: float, start: float, end: float) -> None:
        if not high > low:
            high = low + 1
        self.low, self.high, self.start, self.end = low, high, start, end

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start + min(max(share, 0.0), 1.0) * (self.end - self.start)


def _error_bar(sheet: _Sheet, x: float, y: float, half: float, *, upright: bool) -> None:
    """± bar with end ticks; left out where it would hide under the dot."""
    if half <= 4.5:
        return
    if upright:
        sheet.line([(x, y - half), (x, y + half)], 1.2)
        for end in (y - half, y + half):
            sheet.line([(x - 3, end), (x + 3, end)], 1.2)
    else:
        sheet.line([(x - half, y), (x + half, y)], 1.2)
        for end in (x - half, x + half):
            sheet.line([(end, y - 3), (end, y + 3)], 1.2)


# --- along a path -----------------------------------------------------------------------------


def _path(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> _Sheet:
    """Loss along a path, from station to station: where the loss is, the line leans."""
    stations = [str(station) for station in data["stations"]]
    sums = _running(data["drops"], stations)
    before = _running(earlier["drops"], stations) if earlier else []
    limit = None if data.get("limit") is None else number(data["limit"], "limit")
    most = max([value for value in [*sums, *before] if value is not None] + [limit or 0.0])
    step = 40
    left, right, top = 104.0, 316.0, 34.0
    foot = top + step * (len(stations) - 1) + 12
    sheet = _Sheet(foot + 40)
    scale = _Scale(0.0, max(most * 1.1, 1e-6), left, right)
    unit = str(data.get("unit", ""))
    if limit is not None:
        sheet.hatch(scale(limit), 22, right, foot)
        sheet.line([(scale(limit), 22), (scale(limit), foot)], 1.6)
        place = scale(limit)
        anchor = "end" if place > 240 else "start" if place < 150 else "middle"
        sheet.text(place, 15, f"limit {limit:g} {unit}", anchor=anchor, weight=600)
    for index, station in enumerate(stations):
        y = top + step * index
        sheet.text(left - 10, y + 4.5, _short(station, 16), anchor="end", weight=500)
        sheet.line([(left - 5, y), (left, y)])
    sheet.line([(left, 22), (left, foot), (right, foot)])
    for tick in ticks(0.0, scale.high, 4):
        sheet.line([(scale(tick), foot), (scale(tick), foot + 5)])
        sheet.text(scale(tick), foot + 18, _tick(tick), anchor="middle")
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


# --- lines over x -----------------------------------------------------------------------------

_STROKES = (("", 2.6, False), ("9 3 2 3", 1.6, False), ("2 4", 1.6, False), ("12 3", 1.6, False))


def _lines(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> _Sheet:
    """Lines over time, engine speed or the like, with named level limits."""
    series = [_series(one) for one in data["series"]]
    old = [_series(one) for one in earlier.get("series", [])]
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
    sheet = _Sheet(foot + 44 + key_height)
    x_of = _Scale(min(xs), max(xs), left + 10, right - 10)
    y_of = _Scale(low, high, foot, top)
    used: list[float] = []
    for _, value, beyond in limits:
        y = y_of(value)
        sheet.hatch(left, *((top, right, y) if beyond == "above" else (y, right, foot)))
    sheet.line([(left, top), (left, foot), (right, foot)])
    for tick in ticks(low, high):
        sheet.line([(left - 5, y_of(tick)), (left, y_of(tick))])
        sheet.text(left - 8, y_of(tick) + 4.5, _tick(tick), anchor="end")
    for tick in _x_ticks(xs):
        sheet.line([(x_of(tick), foot), (x_of(tick), foot + 5)])
        sheet.text(x_of(tick), foot + 18, _tick(tick), anchor="middle")
    sheet.text(left - 40, 14, _axis_words(data["y"]))
    sheet.text(right, foot + 34, _axis_words(data["x"]), anchor="end")
    for label, value, beyond in limits:
        y = y_of(value)
        sheet.line([(left, y), (right, y)], 1.6)
        below = beyond == "below"
        words_y = y + (14 if below else -5)
        while any(abs(words_y - other) < 14 for other in used):
            words_y += 14 if below else -14
        used.append(words_y)
        sheet.text(right - 4, words_y, label, anchor="end", weight=600, ground=ground)
    for line in [line for _, line in old]:
        _polyline(sheet, line, x_of, y_of, "6 4", 1.6, hollow=True, ground=ground)
    for index, (_, line) in enumerate(series):
        dash, width, hollow = _STROKES[index % len(_STROKES)]
        _polyline(
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
            sheet.text(x + 36, y, _short(label, 19))
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


def _x_ticks(xs: Sequence[float]) -> list[float]:
    distinct = sorted(set(xs))
    return distinct if len(distinct) <= 4 else ticks(distinct[0], distinct[-1], 5)


def _axis_words(axis: Mapping[str, Any]) -> str:
    return ", ".join(
        part for part in (str(axis.get("label", "")), str(axis.get("unit", ""))) if part
    )


def _series(one: Mapping[str, Any]) -> tuple[str, list[tuple[float, float, float]]]:
    points = []
    for point in one["points"]:
        x, y, *rest = point
        points.append((number(x, "x"), number(y, "y"), number(rest[0], "u") if rest else 0.0))
    return str(one.get("label", "")), points


def _polyline(
    sheet: _Sheet,
    line: Sequence[tuple[float, float, float]],
    x_of: _Scale,
    y_of: _Scale,
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
        _error_bar(sheet, x_of(x), y_of(y), half, upright=True)
        sheet.dot(x_of(x), y_of(y), hollow=hollow, ground=ground)


# --- before and after -------------------------------------------------------------------------


def _pairs(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> _Sheet:
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
    sheet = _Sheet(foot + 58)
    scale = _Scale(low, high + (high - low or 1) * 0.08, left + 6, right)
    for index, row in enumerate(rows):
        y = top + step * (index + 0.5)
        for key in ("high", "low"):
            if row.get(key) is None:
                continue
            x = scale(number(row[key], key))
            box = (x, y - 13, right, y + 13) if key == "high" else (left, y - 13, x, y + 13)
            sheet.hatch(*box)
            sheet.line([(x, y - 13), (x, y + 13)], 1.6)
        sheet.text(left - 10, y + 4.5, _short(str(row["label"]), 17), anchor="end", weight=500)
        for key, hollow, shift in (("before", True, -5.0), ("after", False, 5.0)):
            if row.get(key):
                value, u = number(row[key][0]), number(row[key][1], "u")
                _error_bar(
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
        sheet.text(scale(tick), foot + 18, _tick(tick), anchor="middle")
    sheet.text(right, foot + 34, f"{data.get('axis', '')}, {data.get('unit', '')}", anchor="end")
    sheet.dot(10, foot + 47, hollow=True, ground=ground)
    sheet.text(20, foot + 51.5, "before")
    sheet.dot(80, foot + 47)
    sheet.text(90, foot + 51.5, "after")
    return sheet


# --- by cylinder ------------------------------------------------------------------------------


def _cylinders(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> _Sheet:
    """Cylinders in the engine's own order, a row for each bank; marked ones have a heavy ring."""
    del earlier
    rows = list(data["rows"])
    if not rows:
        raise ChartError("there is no cylinder to draw")
    banks = sorted({int(row.get("bank", 0)) for row in rows})
    height = 92.0
    sheet = _Sheet(height * len(banks) + 26)
    low = None if data.get("low") is None else number(data["low"], "low")
    high = None if data.get("high") is None else number(data["high"], "high")
    for number_of_bank, bank in enumerate(banks):
        members = [row for row in rows if int(row.get("bank", 0)) == bank]
        pitch = min(76.0, 304.0 / len(members))
        start = (WIDTH - pitch * len(members)) / 2 + pitch / 2
        y = 28 + height * number_of_bank
        for index, row in enumerate(members):
            x = start + pitch * index
            radius = min(18.0, pitch / 2 - 4)
            if row.get("marked"):
                sheet.dot(x, y, hollow=True, radius=radius, ground=ground)
                sheet.parts[-1] = sheet.parts[-1].replace('stroke-width="1.6"', 'stroke-width="4"')
                sheet.hatch(
                    x - radius * 0.7, y - radius * 0.7, x + radius * 0.7, y + radius * 0.7, 5
                )
            else:
                sheet.dot(x, y, hollow=True, radius=radius, ground=ground)
            sheet.text(
                x,
                y + 4.5,
                str(row["label"]),
                anchor="middle",
                weight=600,
                ground=ground if row.get("marked") else "",
            )
            words = _short(str(row.get("word", "")), max(4, int(pitch / 6.2)))
            sheet.text(
                x, y + radius + 17, words, anchor="middle", weight=600 if row.get("marked") else 400
            )
            if row.get("value") is not None:
                value = number(row["value"])
                off = (low is not None and value < low) or (high is not None and value > high)
                sheet.text(
                    x, y + radius + 32, _tick(value), anchor="middle", weight=600 if off else 400
                )
        if number_of_bank < len(banks) - 1:
            sheet.line([(8, y + height - 34), (WIDTH - 8, y + height - 34)], 1, "2 4")
    window = _window(low, high, str(data.get("unit", "")))
    if window:
        sheet.text(WIDTH - 4, height * len(banks) + 20, window, anchor="end")
    return sheet


def _window(low: float | None, high: float | None, unit: str) -> str:
    if low is not None and high is not None:
        return f"limit {low:g} to {high:g} {unit}"
    if high is not None:
        return f"limit at most {high:g} {unit}"
    return f"limit at least {low:g} {unit}" if low is not None else ""


# --- a level on a stick -----------------------------------------------------------------------


def _level(data: Mapping[str, Any], earlier: Mapping[str, Any], ground: str) -> _Sheet:
    """A dipstick lying down: two marks, hatched beyond them, the film up to where it was read."""
    stick = data["stick"]
    low, high = number(stick["low"], "low mark"), number(stick["high"], "high mark")
    if high <= low:
        raise ChartError(f"the high mark {high:g} must lie above the low mark {low:g}")
    level = None if data.get("level") is None else number(data["level"], "level")
    u = number(data.get("u", 0.0), "u")
    span = high - low
    seen = [value for value in (level, _old_level(earlier)) if value is not None]
    scale = _Scale(
        min([low - span * 0.5, *(v - span * 0.1 for v in seen)]),
        max([high + span * 0.6, *(v + span * 0.1 for v in seen)]),
        14,
        306,
    )
    sheet = _Sheet(112)
    top, foot = 44.0, 68.0
    sheet.hatch(14, top, scale(low), foot)
    sheet.hatch(scale(high), top, 306, foot)
    sheet.line([(306, top), (14, top), (14, foot), (306, foot)], 1.6)
    for mark, label in ((low, "low mark"), (high, "full mark")):
        sheet.line([(scale(mark), top - 8), (scale(mark), foot + 8)], 1.6)
        sheet.text(scale(mark), foot + 22, label, anchor="middle", weight=500)
    if level is not None:
        sheet.line([(14, 56), (scale(level), 56)], 5)
        _error_bar(sheet, scale(level), 34, scale(level + 2 * u) - scale(level), upright=False)
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


# --- small marks ------------------------------------------------------------------------------

_GLYPH = {
    "within": '<path d="M23 1V13" stroke-width="2"/><path d="M6 7H16" stroke-width="2"/>'
    '<circle cx="11" cy="7" r="3.2" fill="currentColor" stroke="none"/>',
    "outside": '<path d="M15 1V13" stroke-width="2"/><path d="M22 7H32" stroke-width="2"/>'
    '<circle cx="27" cy="7" r="4.6" fill="currentColor" stroke="none"/>',
    "cannot_tell": '<path d="M19 1V13" stroke-width="2"/><path d="M9 7H27" stroke-width="2"/>'
    '<path d="M9 4V10M27 4V10" stroke-width="1.5"/>'
    '<circle cx="17" cy="7" r="3.2" fill="currentColor" stroke="none"/>',
    "no_limit": '<circle cx="17" cy="7" r="3.6" stroke-width="1.6"/>',
}
_GLYPH_BOTH = (
    '<path d="M4 1V13M30 1V13" stroke-width="2"/>'
    '<path d="M12 7H22" stroke-width="2"/>'
    '<circle cx="17" cy="7" r="3.2" fill="currentColor" stroke="none"/>'
)


def verdict_glyph(outcome: str, side: Side = "upper") -> str:
    """A chart in small, 34 by 14: axis, stop (the limit), dot (the reading), bar (uncertainty).

    side: which limit matters; a lower one mirrors the glyph. Hidden from screen readers, since the
    word beside it says it.
    """
    if outcome not in _GLYPH:
        raise ChartError(f"outcome {outcome!r} is none of {sorted(_GLYPH)}")
    body = _GLYPH_BOTH if side == "both" and outcome == "within" else _GLYPH[outcome]
    if side == "lower" and outcome != "no_limit":
        body = f'<g transform="translate(34 0) scale(-1 1)">{body}</g>'
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 34 14" width="34" height="14" '
        'fill="none" stroke="currentColor" aria-hidden="true">'
        f'<path d="M1 7H33" stroke-width="1"/>{body}</svg>'
    )


_CERTAINTY = {
    "confirmed": '<path d="M2 7H62" stroke-width="6"/>',
    "probable": '<path d="M2 7H62" stroke-width="2"/>',
    "suspected": '<path d="M2 7H62" stroke-width="2" stroke-dasharray="8 5"/>',
    "ruled_out": '<path d="M2 7H62" stroke-width="2"/>'
    '<path d="M22 13L30 1M34 13L42 1" stroke-width="2"/>',
    "not_tested": '<path d="M2 7H62" stroke-width="2.4" stroke-dasharray="0.1 6" '
    'stroke-linecap="round"/>',
}


def certainty_line(certainty: str) -> str:
    """The line of a certainty, 64 by 14: thick, thin, dashed, crossed twice or dotted."""
    code = certainty.replace(" ", "_")
    if code not in _CERTAINTY:
        raise ChartError(f"certainty {certainty!r} is none of {sorted(_CERTAINTY)}")
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 14" width="64" height="14" '
        f'fill="none" stroke="currentColor" aria-hidden="true">{_CERTAINTY[code]}</svg>'
    )


def limit_strip(
    value: float,
    u: float,
    low: float | None,
    high: float | None,
    outcome: str,
    ground: str = "none",
) -> str:
    """A strip to scale, 104 by 26: the limit stands at the same place in every row.

    An upper limit stands at 43.7 with nought at 1, a lower one at 60.3 with three quarters of it
    at 1; with both, the window fills the middle half. Beyond is hatched, off the scale an arrow,
    hollow means cannot tell. All values in one unit.
    """
    value, u = number(value), number(u, "u")
    low = None if low is None else number(low, "low")
    high = None if high is None else number(high, "high")
    sheet = _Sheet(26)
    sheet.line([(1, 13), (103, 13)])
    if low is not None and high is not None and high > low:
        place = _linear(low, 27.0, high, 77.0)
        _stop(sheet, 27.0, "below")
        _stop(sheet, 77.0, "above")
    elif high is not None:
        place = _linear(0.0, 1.0, high, 43.7) if high > 0 else _linear(high - 1, 1.0, high, 43.7)
        _stop(sheet, 43.7, "above")
    elif low is not None:
        reach = abs(low) or 1.0
        place = _linear(low - reach / 4, 1.0, low, 60.3)
        _stop(sheet, 60.3, "below")
    else:
        sheet.dot(52, 13, hollow=True, radius=3.6, ground=ground)
        return _strip(sheet)
    x = place(value)
    off = -1 if x < 5 else 1 if x > 97 else 0
    if value == 0 and low is None and x < 5:
        off = 0
    x = min(max(x, 5.0), 91.0 if off > 0 else 97.0)
    if off > 0:
        sheet.line([(97, 7), (102, 13), (97, 19)], 2.2)
    elif off < 0:
        x = 13.0
        sheet.line([(7, 7), (2, 13), (7, 19)], 2.2)
    half = abs(place(value + 2 * u) - place(value))
    if not off:
        _error_bar(sheet, x, 13, min(half, 40.0), upright=False)
    if outcome == "cannot_tell":
        sheet.dot(x, 13, hollow=True, radius=5, ground=ground)
    else:
        sheet.dot(x, 13, radius=4.6 if outcome == "outside" else 3.6)
    return _strip(sheet)


def _linear(a: float, at_a: float, b: float, at_b: float) -> Callable[[float], float]:
    return lambda value: at_a + (value - a) / (b - a) * (at_b - at_a)


def _stop(sheet: _Sheet, x: float, beyond: str) -> None:
    sheet.line([(x, 0), (x, 26)], 1.5)
    start, end = (x + 3, 97.0) if beyond == "above" else (3.0, x - 9)
    count = max(0, int((end - start) // 6) + 1)
    sheet.strokes([((start + 6 * n, 17), (start + 6 * n + 6, 9)) for n in range(count)], 0.7)


def _strip(sheet: _Sheet) -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 104 26" width="104" height="26" '
        f'fill="none" stroke="currentColor" aria-hidden="true">{"".join(sheet.parts)}</svg>'
    )
