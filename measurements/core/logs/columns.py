"""The columns of a log as numbers: the clean file in one go, a dirty one row by row.

A row that can't be read is listed with its line number and left out; the good ones are kept.
"""

from __future__ import annotations

import codecs
import csv
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from measurements.core.logs.decimals import clock_seconds, parse_lines
from measurements.core.logs.text import (
    LONGEST_LINE,
    MOST_ROWS,
    LogRefused,
    LogText,
    is_clock,
    is_number,
    line_too_long,
    printable,
)

if TYPE_CHECKING:
    import numpy as np

LISTED_LINES = 20
_BLOCK_BYTES = 2_000_000
_LARGEST = 1e15
_HALF_A_DAY_S = 43_200.0
_PLACES = 9
TIME = "time"
"""Key of the column that must rise."""

_WORDS = {"on": 1.0, "yes": 1.0, "true": 1.0, "off": 0.0, "no": 0.0, "false": 0.0}
"""What a switch may be called instead of 1 and 0."""


@dataclass(frozen=True)
class BadLine:
    """A line that was left out, counted from 1, and why."""

    line: int
    why: str


@dataclass(frozen=True)
class LogColumns:
    """Columns by key, of one length, in the stored unit of their quantity (time in seconds from the
    first row). An empty cell is NaN. bad: the first lines left out; bad_count: all of them; units:
    in which each column was logged ("" for times of day); digits: the last digit of each as it was
    written, in the stored unit.
    """

    columns: Mapping[str, np.ndarray]
    rows: int
    bad: tuple[BadLine, ...] = ()
    bad_count: int = 0
    units: Mapping[str, str] = field(default_factory=dict)
    digits: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Wanted:
    """A column to read: its place in the file from 0, and value = number * factor + offset.

    switch: words such as on and off stand for 1 and 0 in it.
    """

    place: int
    factor: float = 1.0
    offset: float = 0.0
    switch: bool = False


def read_columns(path: Path, text: LogText, wanted: Mapping[str, Wanted]) -> LogColumns:
    """Read the wanted columns of the file at `path`. The key "time" must rise from row to row.

    Raises LogRefused for too many rows, for no good row, or when a column does not exist.
    """
    for key, one in wanted.items():
        if not 0 <= one.place < len(text.headings):
            raise LogRefused(f"The file has no column for {key}.")
    reader = _Reader(text, wanted)
    for first_line, block in _blocks(path, text):
        reader.take(first_line, block)
    return _rising(reader, wanted)


def _blocks(path: Path, text: LogText) -> Iterator[tuple[int, bytes]]:
    """Whole lines of values, some megabytes at a time, with the number of their first line."""
    line, rest, skip = text.first_line, b"", text.first_line - 1
    for chunk in _chunks(path, text.encoding):
        rest += chunk
        while skip and (end := rest.find(b"\n") + 1):
            rest, skip = rest[end:], skip - 1
        if skip:
            continue
        cut = rest.rfind(b"\n") + 1
        block, rest = rest[:cut], rest[cut:]
        if block:
            yield line, block
            line += block.count(b"\n")
        if len(rest) > 4 * LONGEST_LINE:
            raise line_too_long(line)
    if rest.strip() and not skip:
        yield line, rest + b"\n"


def _chunks(path: Path, encoding: str) -> Iterator[bytes]:
    """The file in parts; what has two bytes a sign is written anew as UTF-8."""
    with path.open("rb") as file:
        decode = codecs.getincrementaldecoder(encoding)("replace").decode
        while chunk := file.read(_BLOCK_BYTES):
            yield decode(chunk).encode() if encoding == "utf-16" else chunk


class _Reader:
    """Gathers columns block by block: plain lines at once, the others one by one."""

    def __init__(self, text: LogText, wanted: Mapping[str, Wanted]) -> None:
        self.text = text
        self.keys = list(wanted)
        self.places = [one.place for one in wanted.values()]
        self.switches = {key for key, one in wanted.items() if one.switch}
        self.width = len(text.headings)
        self.encoding = "utf-8" if text.encoding == "utf-16" else text.encoding
        self.clocks = self._clocks()
        self.values: list[Any] = []
        self.lines: list[Any] = []
        self.rows = 0
        self.bad: list[BadLine] = []
        self.bad_count = 0

    def _clocks(self) -> tuple[int, ...]:
        """The place of the time, where it is given as a time of day."""
        place = dict(zip(self.keys, self.places, strict=True)).get(TIME)
        if place is None:
            return ()
        cells = [row[place] for row in self.text.preview if place < len(row)]
        return (place,) if any(is_clock(cell) for cell in cells) else ()

    def take(self, first_line: int, block: bytes) -> None:
        """The lines of a block."""
        import numpy as np

        values, good, starts, ends = parse_lines(
            np.frombuffer(block, dtype=np.uint8),
            self.width,
            self.places,
            self.text.separator,
            self.text.decimal,
            self.clocks,
        )
        for n in np.flatnonzero(~good):
            values[:, n] = np.nan
            found = self._one(first_line + int(n), block[starts[n] : ends[n]])
            if found is not None:
                values[:, n] = found
                good[n] = True
        self.values.append(values[:, good])
        self.lines.append(np.flatnonzero(good) + first_line)
        self.rows += int(good.sum())
        if self.rows > MOST_ROWS:
            raise LogRefused(f"The file has more than {MOST_ROWS:,} rows.".replace(",", " "))

    def _one(self, line: int, content: bytes) -> list[float] | None:
        """The numbers of one line that is not plain; None where it is empty or bad."""
        if not content.strip():
            return None
        cells: list[str] = []
        try:
            decoded = content.decode(self.encoding, errors="replace")
            if '"' in decoded:
                cells = next(csv.reader([decoded], delimiter=self.text.separator, strict=True))
            else:
                cells = decoded.split(self.text.separator)
            if len(cells) < self.width or any(cell.strip() for cell in cells[self.width :]):
                raise ValueError(f"has {len(cells)} columns, {self.width} are needed")
            return [
                self._number(key, cells[p]) for key, p in zip(self.keys, self.places, strict=True)
            ]
        except (ValueError, csv.Error) as fault:
            self.refuse(line, str(fault))
            return None

    def _number(self, key: str, cell: str) -> float:
        bare = cell.strip()
        if key == TIME and self.clocks:
            try:
                return clock_seconds(bare)
            except ValueError:
                raise ValueError(self._why(bare, "is no time")) from None
        if not bare:
            return math.nan
        if key in self.switches and bare.lower() in _WORDS:
            return _WORDS[bare.lower()]
        other = "." if self.text.decimal == "," else ","
        if not is_number(bare) or other in bare:
            raise ValueError(self._why(bare, "is no number"))
        number = float(bare.replace(",", "."))
        if not abs(number) < _LARGEST:
            raise ValueError(self._why(bare, "is too large for a reading"))
        return number

    def _why(self, cell: str, what: str) -> str:
        """What is wrong with a cell, as long as it will be listed."""
        return f"“{_quoted(cell)}” {what}" if len(self.bad) < LISTED_LINES else ""

    def refuse(self, line: int, why: str) -> None:
        """Count a line that is left out, and list it if it is among the first."""
        self.bad_count += 1
        if len(self.bad) < LISTED_LINES:
            self.bad.append(BadLine(line, why))


def _quoted(cell: str) -> str:
    """The beginning of a cell, to be shown."""
    return printable(" ".join(cell.split()))[:20]


def _rising(reader: _Reader, wanted: Mapping[str, Wanted]) -> LogColumns:
    """Columns in stored units, without the rows whose time is missing or doesn't rise."""
    import numpy as np

    if not reader.rows:
        raise LogRefused("Not one row could be read: look at the columns that were chosen.")
    numbers, lines = np.concatenate(reader.values, axis=1), np.concatenate(reader.lines)
    reader.values, reader.lines = [], []
    columns = {}
    for n, (key, one) in enumerate(wanted.items()):
        plain = one.factor == 1.0 and one.offset == 0.0
        # a value that was 13200 mV is 13.2 V, and not the float beside it
        columns[key] = (
            numbers[n] if plain else np.round(numbers[n] * one.factor + one.offset, _PLACES)
        )
    late: list[BadLine] = []
    late_count = 0
    if TIME in columns:
        time = _over_midnight(columns[TIME]) if reader.clocks else columns[TIME]
        keep, why = _kept(time)
        late_count = int((~keep).sum())
        late = [
            BadLine(int(lines[row]), _WHY[why[row]]) for row in np.flatnonzero(~keep)[:LISTED_LINES]
        ]
        if not keep.any():
            raise LogRefused("Not one row has a time that can be read.")
        columns[TIME] = time
        if late_count:
            columns = {key: column[keep] for key, column in columns.items()}
        columns[TIME] = columns[TIME] - columns[TIME][0]
    rows = len(next(iter(columns.values())))
    bad = sorted([*reader.bad, *late], key=lambda one: one.line)
    return LogColumns(columns, rows, tuple(bad[:LISTED_LINES]), reader.bad_count + late_count)


def _over_midnight(time: Any) -> Any:
    """Times of day with a day more after each midnight; times with their day are left as they are,
    since they never fall by half a day unless they are wrong."""
    import numpy as np

    if time.max() >= 2 * _HALF_A_DAY_S:
        return time
    midnights = np.diff(time) < -_HALF_A_DAY_S
    return time + np.concatenate([[0.0], np.cumsum(midnights) * 2 * _HALF_A_DAY_S])


_WHY = ("", "has no time", "its time is not after the row above", "its time is after the row below")


def _kept(time: Any) -> tuple[Any, Any]:
    """Rows whose time is known and after all before it; and for the others why not (see `_WHY`).
    A single time that is too late for the row below is left out itself, not all that follow."""
    import numpy as np

    why = np.zeros(len(time), dtype=np.int8)
    why[np.isnan(time)] = 1
    rows = np.flatnonzero(why == 0)
    known = time[rows]
    spike = np.zeros(len(known), dtype=bool)
    if len(known) > 2:
        spike[1:-1] = (known[1:-1] > known[2:]) & (known[2:] > known[:-2])
    why[rows[spike]] = 3
    rows, known = rows[~spike], known[~spike]
    fallen = np.zeros(len(known), dtype=bool)
    fallen[1:] = known[1:] <= np.maximum.accumulate(known)[:-1]
    why[rows[fallen]] = 2
    return why == 0, why
