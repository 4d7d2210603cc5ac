"""Small marks beside words: verdict, certainty, and a strip with the limit to scale."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from measurements.core.charts.sheet import ChartError, Sheet, error_bar, number

Side = Literal["upper", "lower", "both"]

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
    sheet = Sheet(26)
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
        error_bar(sheet, x, 13, min(half, 40.0), upright=False)
    if outcome == "cannot_tell":
        sheet.dot(x, 13, hollow=True, radius=5, ground=ground)
    else:
        sheet.dot(x, 13, radius=4.6 if outcome == "outside" else 3.6)
    return _strip(sheet)


def _linear(a: float, at_a: float, b: float, at_b: float) -> Callable[[float], float]:
    return lambda value: at_a + (value - a) / (b - a) * (at_b - at_a)


def _stop(sheet: Sheet, x: float, beyond: str) -> None:
    sheet.line([(x, 0), (x, 26)], 1.5)
    start, end = (x + 3, 97.0) if beyond == "above" else (3.0, x - 9)
    count = max(0, int((end - start) // 6) + 1)
    sheet.strokes([((start + 6 * n, 17), (start + 6 * n + 6, 9)) for n in range(count)], 0.7)


def _strip(sheet: Sheet) -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 104 26" width="104" height="26" '
        f'fill="none" stroke="currentColor" aria-hidden="true">{"".join(sheet.parts)}</svg>'
    )
