"""What kind of text a log is: encoding, separator, decimal sign, headings, where its rows begin."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from measurements.core import units

LARGEST_BYTES = 100_000_000
MOST_ROWS = 1_000_000
MOST_COLUMNS = 64
PREVIEW_ROWS = 5
_SAMPLE_BYTES = 64_000
LONGEST_LINE = 20_000
LONGEST_HEADING = 80
_SEPARATORS = ";\t,|"
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?\Z", re.ASCII)
CLOCK = re.compile(
    r"(?:(?P<year>\d{4})-(?P<month>\d{2})-(?P<day>\d{2})[T ])?"
    r"(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2})(?:[.,](?P<part>\d{1,9}))?)?"
    r"(?P<zone>Z|[+-]\d{2}:?\d{2})?\Z",
    re.ASCII,
)
"""A time of day, with or without the day before it and a difference to UTC behind it."""


class LogRefused(ValueError):
    """A file that can't be read as a log; the message says what is wrong and where."""


@dataclass(frozen=True)
class LogText:
    """How a log is written.

    encoding: Python's name; separator: between columns; decimal: "." or ","; headings: one for
    each column, made up where the file has none; units: below the headings where the file has such
    a row, else ""; first_line: number of the first row of values, from 1; preview: first rows;
    places: digits behind the decimal sign of each column, the most of its beginning.
    """

    encoding: str
    separator: str
    decimal: str
    headings: tuple[str, ...]
    units: tuple[str, ...]
    first_line: int
    preview: tuple[tuple[str, ...], ...]
    places: tuple[int, ...] = ()


def line_too_long(number: int) -> LogRefused:
    """The refusal of a line that no log has."""
    return LogRefused(f"Line {number} is longer than {LONGEST_LINE} characters: this is no log.")


def is_number(text: str) -> bool:
    """Whether a cell is a number with either decimal sign; no NaN, no infinity, Latin digits."""
    return bool(_NUMBER.match(text.strip()))


def is_clock(text: str) -> bool:
    """Whether a cell is a time of day, with or without a day before it."""
    return bool(CLOCK.match(text.strip()))


def recognise(data: bytes, *, size: int | None = None) -> LogText:
    """How the log is written, from its beginning. `size`: of the whole file, if data is a part.

    Raises LogRefused for what is empty, too large, no text, or has no row of values.
    """
    size = len(data) if size is None else size
    if size > LARGEST_BYTES:
        raise LogRefused(
            f"The file has {size / 1e6:.0f} MB; at most {LARGEST_BYTES // 1_000_000} MB are read."
        )
    if not data.strip(b"\x00 \t\r\n\xef\xbb\xbf\xfe\xff"):
        raise LogRefused("The file is empty.")
    encoding = _encoding(data)
    sample = data[:_SAMPLE_BYTES]
    text = sample.decode(encoding, errors="ignore")
    if len(data) > len(sample) or size > len(data):
        text = text[: text.rfind("\n") + 1] or text
    if "\r" in text and "\n" not in text:
        raise LogRefused(
            "Its lines end with a carriage return alone. Save it as CSV with ordinary line ends."
        )
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            raise line_too_long(number)
    separator = _separator(text)
    rows = [
        (number, [cell.strip() for cell in row])
        for number, row in _rows(text, separator)
        if any(cell.strip() for cell in row)
    ]
    usual = _usual_width(row for _, row in rows)
    first = next(
        (n for n, (_, row) in enumerate(rows) if len(row) == usual and _has_values(row)), None
    )
    if first is None:
        raise LogRefused(
            "No row of numbers is found in the first lines; a log has columns of numbers with a "
            "heading above each."
        )
    width = len(rows[first][1])
    if width > MOST_COLUMNS:
        raise LogRefused(f"The file has {width} columns; at most {MOST_COLUMNS} are read.")
    above = [row for _, row in rows[:first] if len(row) == width]
    units = _units_row(above)
    named = above[:-1] if units else above
    headings = named[-1] if named else []
    values = [row for _, row in rows[first:]]
    return LogText(
        encoding,
        separator,
        _decimal(values),
        tuple(_heading(headings, n) for n in range(width)),
        tuple(printable(cell) for cell in units) if units else ("",) * width,
        rows[first][0],
        tuple(tuple(printable(cell) for cell in row[:width]) for row in values[:PREVIEW_ROWS]),
        tuple(max(_places(row[n]) for row in values if n < len(row)) for n in range(width)),
    )


def _encoding(data: bytes) -> str:
    if data.startswith(b"\xef\xbb\xbf"):
        return "utf-8-sig"
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    if b"\x00" in data[:_SAMPLE_BYTES]:
        place = data.index(b"\x00")
        raise LogRefused(f"The file is no text: byte {place} is zero. Export it as CSV.")
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as fault:
        # A character that the sample's end cuts in two is no fault of the file.
        if fault.start < len(data) - 3:
            return "cp1252"
    return "utf-8"


def _separator(text: str) -> str:
    """The sign that cuts the most lines into the same number of columns, two or more."""
    lines = [line for line in text.splitlines() if line.strip()][:60]
    best, score = ",", (0, 0)
    for sign in _SEPARATORS:
        counts = [len(row) for row in csv.reader(lines, delimiter=sign)]
        usual = max(set(counts), key=counts.count)
        if usual < 2:
            continue
        # with a comma between columns, numbers with a comma would be torn: the semicolon goes first
        found = (counts.count(usual), -_SEPARATORS.index(sign))
        if found > score:
            best, score = sign, found
    return best if score != (0, 0) else ","


def _rows(text: str, separator: str) -> list[tuple[int, list[str]]]:
    """Rows with the number of the line on which each ends; those before a fault, if there are
    values among them: the reader of the whole lists it as a bad line."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[tuple[int, list[str]]] = []
    try:
        for row in reader:
            rows.append((reader.line_num, row))
            if len(rows) > 400:
                break
    except csv.Error as fault:
        if any(_has_values([cell.strip() for cell in row]) for _, row in rows):
            return rows
        line = rows[-1][0] + 1 if rows else 1
        open_quote = "end of data" in str(fault)
        why = "a quotation mark is opened and not closed" if open_quote else str(fault)
        raise LogRefused(f"Line {line}: {why}.") from fault
    return rows


def _has_values(row: list[str]) -> bool:
    """It begins with a number or a time of day, or has two, as no row of headings does."""
    good = [cell for cell in row if is_number(cell) or is_clock(cell)]
    return len(good) > 1 or (bool(row) and row[0] in good)


def _usual_width(rows: Iterable[list[str]]) -> int:
    """The number of cells that most rows have."""
    widths = Counter(len(row) for row in rows)
    return max(widths, key=lambda width: widths[width], default=0)


def _units_row(above: list[list[str]]) -> list[str]:
    """The row right above the values, if most of its cells are units as they are written."""
    if len(above) < 2:
        return []
    row = [cell.strip("[]() ") for cell in above[-1]]
    filled = [cell for cell in row if cell]
    known = sum(is_unit(cell) for cell in filled)
    return row if known and 2 * known >= len(filled) else []


def is_unit(text: str) -> bool:
    """Whether it is a unit of some quantity that we know."""
    for quantity in units.QUANTITIES:
        try:
            if units.unit_symbol(quantity, text):
                return True
        except units.UnknownUnitError:
            continue
    return False


def _decimal(rows: list[list[str]]) -> str:
    cells = [cell for row in rows for cell in row if is_number(cell)]
    return "," if sum("," in cell for cell in cells) > sum("." in cell for cell in cells) else "."


def _places(cell: str) -> int:
    """Digits behind the decimal sign; none of a number with a power of ten, and of no number."""
    if not is_number(cell) or "e" in cell.lower():
        return 0
    return len(cell.replace(",", ".").partition(".")[2])


def _heading(headings: list[str], n: int) -> str:
    words = " ".join(printable(headings[n] if n < len(headings) else "").split())
    return words[:LONGEST_HEADING].strip() or f"column {n + 1}"


def printable(cell: str) -> str:
    """A cell as text to show: without controls, marks of direction and what was not readable."""
    kept = (sign if sign.isprintable() or sign.isspace() else "" for sign in cell)
    return "".join(kept).replace("\ufffd", "")
