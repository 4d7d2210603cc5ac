"""Plain decimal numbers out of bytes, many lines at once: what a general reader does cell by cell.

A line whose every wanted cell is a plain decimal of at most 15 digits (or empty) is read here; its
value is the whole number divided by a power of ten, both exact, hence rounded like `float()`.
All other lines are left to a reader that can say what is wrong with them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np

_MOST_DIGITS = 15
_LONGEST_CELL = _MOST_DIGITS + 1
_NEWLINE, _RETURN, _BLANK, _MINUS, _PLUS, _NOUGHT, _QUOTE = 10, 13, 32, 45, 43, 48, 34


def parse_lines(
    block: np.ndarray, width: int, places: Sequence[int], separator: str, decimal: str
) -> tuple[Any, Any, Any, Any]:
    """Numbers of whole lines.

    block: bytes (uint8) that end with a newline; width: columns of a line; places: wanted ones.
    Answers (values of shape places x lines with NaN for empty cells, lines read, start of each
    line, its end).
    """
    import numpy as np

    newlines = np.flatnonzero(block == _NEWLINE)
    starts = np.empty_like(newlines)
    starts[0] = 0
    starts[1:] = newlines[:-1] + 1
    ends = newlines - ((newlines > starts) & (block[newlines - 1] == _RETURN))
    marks = np.flatnonzero(block == ord(separator))
    first = np.searchsorted(marks, starts)
    good = np.searchsorted(marks, ends) - first == width - 1
    quotes = np.flatnonzero(block == _QUOTE)
    if len(quotes):
        good[np.searchsorted(newlines, quotes)] = False
    # Lines with too few separators point past the end; they are not good anyway.
    marks = np.append(marks, np.full(width, len(block) - 1))
    values = np.empty((len(places), len(newlines)))
    for n, place in enumerate(places):
        start = starts if place == 0 else marks[first + place - 1] + 1
        end = ends if place == width - 1 else marks[first + place]
        values[n], right = _cells(block, start, end, ord(decimal))
        good &= right
    return values, good, starts, ends


def _cells(block: Any, start: Any, end: Any, decimal: int) -> tuple[Any, Any]:
    """The number in each cell, and whether it is one or empty."""
    import numpy as np

    start, end = start.copy(), end.copy()
    last = len(block) - 1
    while True:
        blank = (start < end) & (block[np.minimum(start, last)] == _BLANK)
        if not blank.any():
            break
        start += blank
    while True:
        blank = (start < end) & (block[end - 1] == _BLANK)
        if not blank.any():
            break
        end -= blank
    empty = end <= start
    sign = block[np.minimum(start, last)]
    minus = ~empty & (sign == _MINUS)
    start += minus | (~empty & (sign == _PLUS))
    length = end - start
    whole = np.zeros(len(start), dtype=np.int64)
    digits = np.zeros(len(start), dtype=np.int8)
    places = np.zeros(len(start), dtype=np.int8)
    dotted = np.zeros(len(start), dtype=bool)
    right = length <= _LONGEST_CELL
    for n in range(min(int(length.max(initial=0)), _LONGEST_CELL)):
        inside = length > n
        signs = block[np.minimum(start + n, last)]
        value = signs - np.uint8(_NOUGHT)
        digit = inside & (value < 10)
        dot = inside & (signs == decimal)
        whole = np.where(digit, whole * 10 + value, whole)
        digits += digit
        places += digit & dotted
        right &= ~inside | digit | (dot & ~dotted)
        dotted |= dot
    right &= (digits > 0) & (digits <= _MOST_DIGITS)
    numbers = whole / (10.0 ** np.arange(_LONGEST_CELL + 1))[places]
    numbers[minus] *= -1
    numbers[empty] = np.nan
    return numbers, right | empty
