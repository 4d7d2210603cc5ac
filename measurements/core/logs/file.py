"""A log as a caller hands it over: where it is, how it is written, and who reads its columns."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from measurements.core import units
from measurements.core.logs.columns import LogColumns, Wanted, read_columns
from measurements.core.logs.text import LogRefused, LogText, is_clock, is_unit, recognise
from measurements.core.procedure import Row

SAMPLE_BYTES = 64_000
SWITCH = "0/1"
"""Unit of a share that is logged as a switch: off and on, 0 and 1, read as 0 and 100 %."""

_BY_NUMBER = re.compile(r"(?:column )?#?([1-9][0-9]?)\Z", re.IGNORECASE)
_IN_HEADING = re.compile(r"[\[(]\s*([^\])]{1,10}?)\s*[\])]\s*\Z")

ReadColumns = Callable[[Path, LogText, Mapping[str, Wanted]], LogColumns]


@dataclass(frozen=True)
class LogFile:
    """A log on disk. columns_of: reads columns of it, here or in another process."""

    path: Path
    text: LogText
    columns_of: ReadColumns = read_columns

    def read(self, wanted: Mapping[str, Wanted]) -> LogColumns:
        """The wanted columns by key; raises LogRefused."""
        return self.columns_of(self.path, self.text, wanted)


Files = Mapping[str, LogFile | LogRefused]
"""What is typed as a file -> the log, or why it can't be read."""


def open_log(path: Path, columns_of: ReadColumns = read_columns) -> LogFile:
    """The log in a file, recognised by its beginning; raises LogRefused and OSError."""
    with path.open("rb") as file:
        beginning = file.read(SAMPLE_BYTES)
    return LogFile(path, recognise(beginning, size=path.stat().st_size), columns_of)


# --- columns and their units ------------------------------------------------------------------


def place_of(text: LogText, source: str) -> int:
    """The place of a column, from 0, by its heading or its number from 1 ("3", "column 3").

    Raises LogRefused with the headings that there are.
    """
    wanted = _folded(source)
    found = [n for n, heading in enumerate(text.headings) if _folded(heading) == wanted]
    if len(found) == 1:
        return found[0]
    if found:
        which = " or ".join(f"column {n + 1}" for n in found)
        raise LogRefused(f"The heading “{source}” stands there {len(found)} times: type {which}.")
    number = _BY_NUMBER.match(wanted)
    if number and int(number[1]) <= len(text.headings):
        return int(number[1]) - 1
    shown = ", ".join(text.headings[:20])
    more = " and others" if len(text.headings) > 20 else ""
    raise LogRefused(f"The file has no column “{source[:40]}”. It has {shown}{more}.")


def source_of(text: LogText, place: int) -> str:
    """How to name a column so that `place_of` finds it again."""
    heading = text.headings[place]
    try:
        return heading if place_of(text, heading) == place else f"column {place + 1}"
    except LogRefused:
        return f"column {place + 1}"


def unit_in_file(text: LogText, place: int, quantity: str) -> str:
    """Our symbol for the unit that stands below or behind a heading, "" for none of the quantity's.

    Where times of day are logged, no unit is needed.
    """
    for said in _units_said(text, place):
        try:
            symbol = units.unit_symbol(quantity, said.strip("[]() ")) if said.strip() else ""
        except units.UnknownUnitError:
            continue
        if symbol:
            return symbol
    return ""


def has_times_of_day(text: LogText, place: int) -> bool:
    """Whether the column holds times of day."""
    return any(is_clock(row[place]) for row in text.preview if place < len(row))


def wanted_as(place: int, quantity: str, unit: str) -> Wanted:
    """How to read a column of a quantity in a unit of its own into the stored unit."""
    if unit == SWITCH:
        return Wanted(place, factor=100.0, switch=True)
    stored = units.QUANTITIES[quantity].unit
    offset = float(units.convert(0.0, quantity, unit, stored))
    return Wanted(place, float(units.convert_width(1.0, quantity, unit, stored)), offset)


def units_of(quantity: str, *, switch: bool = False) -> tuple[str, ...]:
    """The units in which a column of the quantity may be logged."""
    return ((SWITCH,) if switch else ()) + tuple(units.QUANTITIES[quantity].units)


# --- guessing ---------------------------------------------------------------------------------


def guess(
    text: LogText, rows: Sequence[Row], quantities: Mapping[str, str]
) -> dict[str, tuple[str, str]]:
    """Row code -> (column, unit) as the headings suggest, to be shown and confirmed.

    rows: with facts {"headings": words that stand for it, or these by quantity} and {"by_unit":
    True} where the unit alone is enough; quantities: row code -> quantity. A column is guessed
    once, for the row that comes first.
    """
    free = list(range(len(text.headings)))
    found = {}
    for row in rows:
        quantity = quantities.get(row.code, "")
        likeness = {place: _likeness(text, place, row, quantity) for place in free}
        place = max(free, key=likeness.__getitem__, default=None)
        if place is None or not likeness[place]:
            continue
        free.remove(place)
        unit = unit_in_file(text, place, quantity) if quantity else ""
        found[row.code] = (source_of(text, place), unit)
    return found


def _likeness(text: LogText, place: int, row: Row, quantity: str) -> int:
    """How well a heading fits: its words, whole or among others, then its unit."""
    bare = _folded(_IN_HEADING.sub("", text.headings[place]))
    words = set(re.split(r"[^a-z0-9µ°%]+", bare))
    named = row.facts.get("headings", ())
    if isinstance(named, Mapping):
        named = named.get(quantity, ())
    names = [_folded(name) for name in named]
    score = 0
    if bare in names:
        score = 4
    elif any(set(name.split()) <= words for name in names):
        score = 2
    if quantity and unit_in_file(text, place, quantity):
        # A share fits too much, and seconds may be of anything, to go by the unit alone.
        score += 1 if score or row.facts.get("by_unit") else 0
    elif quantity and _other_unit(text, place):
        return 0
    return score


def _other_unit(text: LogText, place: int) -> bool:
    """A unit stands there, and it is not one of the quantity that was asked for."""
    return any(said and is_unit(said) for said in _units_said(text, place))


def _units_said(text: LogText, place: int) -> tuple[str, str]:
    """What stands as a unit below the heading, and in brackets behind it."""
    behind = _IN_HEADING.search(text.headings[place])
    return text.units[place], behind[1] if behind else ""


def _folded(words: str) -> str:
    return " ".join(words.replace("_", " ").lower().split())
