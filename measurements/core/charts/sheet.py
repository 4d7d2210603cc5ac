"""The paper that charts are drawn on: 320 wide, type 13, attributes only, currentColor."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from html import escape
from typing import Any

from measurements.core.units import QUANTITIES, limit_texts

WIDTH = 320
TYPE = 13
_FONT = "Barlow Semi Condensed, Liberation Sans Narrow, sans-serif"


class ChartError(ValueError):
    """Chart data that cannot be drawn; says which part."""


def number(value: Any, what: str = "value") -> float:
    """A finite float; raises ChartError for anything else."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ChartError(f"{what} {value!r} is not a finite number")
    return float(value)


def _n(value: float) -> str:
    """A coordinate with one decimal at most."""
    return f"{round(value, 1):g}"


class Sheet:
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


def tick_words(value: float) -> str:
    return f"{value:g}".replace("-", "−")


def limit_numbers(low: float | None, high: float | None, unit: str) -> tuple[str, str]:
    """The bounds of a limit as tables tell them, without `unit`, which is a stored one."""
    kind = next((kind for kind in QUANTITIES.values() if kind.unit == unit), None)
    if kind is not None:
        return limit_texts(low, high, kind.key, unit)
    least, most = ("" if bound is None else tick_words(bound) for bound in (low, high))
    return least, most


def shortened(words: str, most: int) -> str:
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


def in_two_lines(words: str, most: int) -> list[str]:
    """The words as one line or two of at most `most` letters; only the second is cut short.

    >>> in_two_lines("front left, toe over the rim span", 17)
    ['front left, toe', 'over the rim span']
    """
    lines = textwrap.wrap(words, most) or [""]
    return [lines[0], shortened(words[len(lines[0]) :].strip(), most)] if lines[1:] else lines


class Scale:
    """Values to a stretch of the sheet."""

    def __init__(self, low: float, high: float, start: float, end: float) -> None:
        if not high > low:
            high = low + 1
        self.low, self.high, self.start, self.end = low, high, start, end

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start + min(max(share, 0.0), 1.0) * (self.end - self.start)


def error_bar(sheet: Sheet, x: float, y: float, half: float, *, upright: bool) -> None:
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
