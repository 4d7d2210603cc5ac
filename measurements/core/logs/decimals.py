"""Plain decimal numbers and times out of bytes, many lines at once: what a general reader does cell
by cell.

A line whose every wanted cell is a plain decimal of at most 15 digits (or empty) is read here; its
value is the whole number divided by a power of ten, both exact, hence rounded like `float()`. So is
a time of day, where it is written like the others of its length. All other lines are left to a
reader that can say what is wrong with them.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Any

from measurements.core.logs.text import CLOCK

if TYPE_CHECKING:
    import numpy as np

_MOST_DIGITS = 15
_LONGEST_CELL = _MOST_DIGITS + 1
_LONGEST_CLOCK = 36
_MOST_BLANKS = 40
_NEWLINE, _RETURN, _BLANK, _MINUS, _PLUS, _NOUGHT, _QUOTE = 10, 13, 32, 45, 43, 48, 34


def parse_lines(
    block: np.ndarray,
    width: int,
    places: Sequence[int],
    separator: str,
    decimal: str,
    clocks: Collection[int] = (),
) -> tuple[Any, Any, Any, Any]:
    """Numbers of whole lines.

    block: bytes (uint8) that end with a newline; width: columns of a line; places: wanted ones;
    clocks: those of them that hold times, read as seconds (see `clock_seconds`).
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
        start, end, plain = _stripped(block, start, end)
        read = _clocks(block, start, end) if place in clocks else None
        values[n], right = read or _cells(block, start, end, ord(decimal))
        good &= right & plain
    return values, good, starts, ends


def _stripped(block: Any, start: Any, end: Any) -> tuple[Any, Any, Any]:
    """Cells without the blanks around them, and whether those were few enough to strip."""
    import numpy as np

    start, end = start.copy(), end.copy()
    last = len(block) - 1
    plain = np.ones(len(start), dtype=bool)
    for side in ("left", "right"):
        for _ in range(_MOST_BLANKS):
            at = np.minimum(start, last) if side == "left" else end - 1
            blank = (start < end) & (block[at] == _BLANK)
            if not blank.any():
                break
            if side == "left":
                start += blank
            else:
                end -= blank
        else:
            plain &= ~blank
    return start, end, plain


def _cells(block: Any, start: Any, end: Any, decimal: int) -> tuple[Any, Any]:
    """The number in each cell, and whether it is one or empty."""
    import numpy as np

    start = start.copy()
    last = len(block) - 1
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


def clock_seconds(text: str) -> float:
    """Seconds of a time: since midnight, or since 2000 where the day stands before it. A difference
    to UTC is taken off. Raises ValueError for what is no time.

    >>> clock_seconds("00:01:02.5"), clock_seconds("2000-01-02T00:00:00+01:00")
    (62.5, 82800.0)
    """
    from datetime import datetime

    found = CLOCK.match(text)
    if found is None:
        raise ValueError("no time")
    day = text[:10] if found["year"] else "2000-01-01"
    of_day = f"{found['hour']:0>2}:{found['minute']}:{found['second'] or '00'}"
    zone = "" if found["zone"] in (None, "Z") else found["zone"]
    moment = datetime.fromisoformat(f"{day}T{of_day}{zone}")
    start = datetime(2000, 1, 1, tzinfo=moment.tzinfo)
    away = moment.utcoffset()
    seconds = (moment - start).total_seconds() - (away.total_seconds() if away else 0.0)
    part = found["part"] or "0"
    return seconds + int(part) / 10.0 ** len(part)


def _clocks(block: Any, start: Any, end: Any) -> tuple[Any, Any]:
    """The seconds of each cell, and whether it is a time written like the first of its length."""
    import numpy as np

    length = end - start
    numbers, right = np.full(len(start), np.nan), np.zeros(len(start), dtype=bool)
    for long in np.unique(length[(length > 0) & (length <= _LONGEST_CLOCK)]):
        rows = np.flatnonzero(length == long)
        signs = block[start[rows][:, None] + np.arange(long)]
        like = CLOCK.match(bytes(signs[0]).decode("latin-1"))
        if like is None or like["zone"] not in (None, "Z"):
            continue
        is_digit = (signs[0] >= _NOUGHT) & (signs[0] < _NOUGHT + 10)
        digits = signs - np.uint8(_NOUGHT)
        same = np.where(is_digit, digits < 10, signs == signs[0]).all(axis=1)
        fields = {
            name: _whole(digits[:, slice(*like.span(name))])
            for name in ("year", "month", "day", "hour", "minute", "second", "part")
            if like[name]
        }
        seconds, valid = _in_seconds(fields, len(like["part"] or ""))
        numbers[rows], right[rows] = seconds, same & valid
    return numbers, right


def _whole(digits: Any) -> Any:
    """Rows of digits as whole numbers."""
    import numpy as np

    number = np.zeros(len(digits), dtype=np.int64)
    for column in digits.T:
        number = number * 10 + column
    return number


def _in_seconds(fields: dict[str, Any], places: int) -> tuple[Any, Any]:
    """Seconds since midnight or since 2000, and which of them are real times of real days."""
    import numpy as np

    hour, minute = fields["hour"], fields["minute"]
    second = fields.get("second", np.zeros_like(hour))
    valid = (hour < 24) & (minute < 60) & (second < 60)
    seconds = (hour * 3600.0 + minute * 60.0) + second
    if "year" in fields:
        year, month, day = (fields[name] for name in ("year", "month", "day"))
        valid &= (year >= 1) & (month >= 1) & (month <= 12) & (day >= 1)
        months = ((year - 2000) * 12 + month - 1).astype("timedelta64[M]")
        first = np.datetime64("2000-01", "M") + months
        days = first.astype("datetime64[D]") + (day - 1)
        valid &= days.astype("datetime64[M]") == first
        seconds += (days - np.datetime64("2000-01-01", "D")).astype(np.int64) * 86_400.0
    if "part" in fields:
        seconds += fields["part"] / 10.0**places
    return seconds, valid
