"""The columns of a log as numbers: the clean file in one go, a dirty one row by row.

A row that can't be read is listed with its line number and left out; the good ones are kept.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from measurements.core.logs.decimals import parse_lines
from measurements.core.logs.text import MOST_ROWS, LogRefused, LogText, is_clock, is_number

if TYPE_CHECKING:
    import numpy as np

LISTED_LINES = 20
_BLOCK_BYTES = 2_000_000
TIME = "time"


@dataclass(frozen=True)
class BadLine:
    """A line that was left out, counted from 1, and why."""

    line: int
    why: str


@dataclass(frozen=True)
class LogColumns:
    """Columns by key, of one length, in the stored unit of their quantity (time in seconds from the
    first row). An empty cell is NaN. bad: the first lines left out; bad_count: all of them.
    """

    columns: Mapping[str, np.ndarray]
    rows: int
    bad: tuple[BadLine, ...] = ()
    bad_count: int = 0


@dataclass(frozen=True)
class Wanted:
    """A column to read: its place in the file from 0, and value = number * factor + offset."""

    place: int
    factor: float = 1.0
    offset: float = 0.0


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
    wide = text.encoding == "utf-16"
    with path.open("rb") if not wide else _as_utf8(path) as file:
        for _ in range(text.first_line - 1):
            file.readline()
        line, rest = text.first_line, b""
        while chunk := file.read(_BLOCK_BYTES):
            chunk = rest + chunk
            cut = chunk.rfind(b"\n") + 1
            block, rest = chunk[:cut], chunk[cut:]
            if block:
                yield line, block
                line += block.count(b"\n")
        if rest.strip():
            yield line, rest + b"\n"


def _as_utf8(path: Path) -> io.BytesIO:
    return io.BytesIO(path.read_bytes().decode("utf-16", errors="replace").encode())


class _Reader:
    """Gathers columns block by block: plain lines at once, the others one by one."""

    def __init__(self, text: LogText, wanted: Mapping[str, Wanted]) -> None:
        self.text = text
        self.keys = list(wanted)
        self.places = [one.place for one in wanted.values()]
        self.width = len(text.headings)
        self.encoding = "utf-8" if text.encoding == "utf-16" else text.encoding
        self.clock = _Clock() if self._has_clock() else None
        self.values: list[Any] = []
        self.lines: list[Any] = []
        self.rows = 0
        self.bad: list[BadLine] = []
        self.bad_count = 0

    def _has_clock(self) -> bool:
        if TIME not in self.keys:
            return False
        place = self.places[self.keys.index(TIME)]
        return any(is_clock(row[place]) for row in self.text.preview if place < len(row))

    def take(self, first_line: int, block: bytes) -> None:
        """The lines of a block."""
        import numpy as np

        values, good, starts, ends = parse_lines(
            np.frombuffer(block, dtype=np.uint8),
            self.width,
            self.places,
            self.text.separator,
            self.text.decimal,
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
            cells = next(csv.reader([decoded], delimiter=self.text.separator, strict=True))
            if len(cells) < self.width:
                raise ValueError(f"has {len(cells)} columns, {self.width} are needed")
            return [
                self._number(key, cells[p]) for key, p in zip(self.keys, self.places, strict=True)
            ]
        except (ValueError, csv.Error) as fault:
            self.refuse(line, str(fault))
            return None

    def _number(self, key: str, cell: str) -> float:
        if key == TIME and self.clock is not None:
            return self.clock.seconds(cell)
        if not cell.strip():
            return math.nan
        if not is_number(cell) or (self.text.decimal == "." and "," in cell):
            raise ValueError(f"“{cell.strip()[:20]}” is no number")
        return float(cell.replace(",", "."))

    def refuse(self, line: int, why: str) -> None:
        """Count a line that is left out, and list it if it is among the first."""
        self.bad_count += 1
        if len(self.bad) < LISTED_LINES:
            self.bad.append(BadLine(line, why))


class _Clock:
    """Times of day to seconds since the first; midnight in between is a day later."""

    def __init__(self) -> None:
        self.first: datetime | None = None
        self.days = timedelta()
        self.last: datetime | None = None

    def seconds(self, cell: str) -> float:
        text = cell.strip().replace(",", ".")
        dated = "-" in text[:5] or len(text) > 15
        if not is_clock(text):
            raise ValueError(f"“{text[:20]}” is no time")
        whole = text if dated else f"2000-01-01T{text:0>8}" if text.count(":") == 2 else ""
        if not whole:
            whole = f"2000-01-01T{text:0>5}:00"
        moment = datetime.fromisoformat(whole.replace(" ", "T"))
        if not dated and self.last is not None and moment < self.last - timedelta(hours=12):
            self.days += timedelta(days=1)
        self.last = moment
        moment += self.days
        if self.first is None:
            self.first = moment
        return (moment - self.first).total_seconds()


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
        columns[key] = numbers[n] if plain else numbers[n] * one.factor + one.offset
    if TIME in columns:
        time = columns[TIME]
        known = np.where(np.isnan(time), -np.inf, time)
        before = np.maximum.accumulate(known)
        keep = np.isfinite(known)
        keep[1:] &= known[1:] > before[:-1]
        for row in np.flatnonzero(~keep):
            missing = math.isnan(time[row])
            why = "has no time" if missing else "its time is not after the row above"
            reader.refuse(int(lines[row]), why)
        if not keep.any():
            raise LogRefused("Not one row has a time that can be read.")
        if not keep.all():
            columns = {key: column[keep] for key, column in columns.items()}
        columns[TIME] = columns[TIME] - columns[TIME][0]
    rows = len(next(iter(columns.values())))
    bad = sorted(reader.bad, key=lambda one: one.line)
    return LogColumns(columns, rows, tuple(bad), reader.bad_count)
