"""The small drawings of the visual language: certainty lines and verdict glyphs, as SVG text.

Attributes only, so that the content policy stays strict and page and paper draw the same. Both are
hidden from screen readers, since the word beside them says it.
"""

_CERTAINTY = {
    "confirmed": '<path d="M0 6H52" stroke-width="6"/>',
    "probable": '<path d="M0 6H52" stroke-width="2"/>',
    "suspected": '<path d="M0 6H52" stroke-width="2" stroke-dasharray="8 5"/>',
    "ruled_out": '<path d="M0 6H52" stroke-width="1.2"/>'
    '<path d="M18 12L26 0M26 12L34 0" stroke-width="2"/>',
    "not_tested": '<path d="M2 6H52" stroke-width="3" stroke-dasharray="0.1 8"'
    ' stroke-linecap="round"/>',
}

_AXIS = '<path d="M1 7H33" stroke-width="1"/>'
_VERDICT = {
    "within": '<path d="M23 1V13" stroke-width="2"/><path d="M6 7H16" stroke-width="2"/>'
    '<circle cx="11" cy="7" r="3.2" fill="currentColor" stroke="none"/>',
    "outside": '<path d="M15 1V13" stroke-width="2"/><path d="M22 7H32" stroke-width="2"/>'
    '<circle cx="27" cy="7" r="4.6" fill="currentColor" stroke="none"/>',
    "cannot_tell": '<path d="M19 1V13" stroke-width="2"/><path d="M9 7H27" stroke-width="2"/>'
    '<path d="M9 4V10M27 4V10" stroke-width="1.5"/>'
    '<circle cx="17" cy="7" r="3.2" fill="currentColor" stroke="none"/>',
    "no_limit": '<circle cx="17" cy="7" r="2.8" stroke-width="1.5"/>',
}


def certainty_line(certainty: str) -> str:
    """52 x 12: thick, thin, dashed, crossed twice, or dots."""
    return _svg(52, 12, _CERTAINTY[certainty])


def verdict_glyph(outcome: str, lower: bool = False) -> str:
    """34 x 14: axis, stop (the limit), dot (the reading), bar (its uncertainty).

    lower: the limit is a lower one, so within lies right of the stop.
    """
    drawn = _AXIS + _VERDICT[outcome]
    if lower:
        drawn = f'<g transform="matrix(-1 0 0 1 34 0)">{drawn}</g>'
    return _svg(34, 14, drawn)


def _svg(width: int, height: int, drawn: str) -> str:
    return (
        f'<svg viewBox="0 0 {width} {height}" width="{width}" height="{height}" fill="none"'
        f' stroke="currentColor" aria-hidden="true">{drawn}</svg>'
    )
