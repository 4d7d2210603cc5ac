"""The boxes of a grid whose rows are the columns of a file: what each can be chosen from, what the
headings suggest, and a look at the file itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from measurements.core.logs.file import (
    Files,
    LogFile,
    guess,
    has_times_of_day,
    place_of,
    source_of,
    unit_in_file,
    units_of,
)
from measurements.core.logs.text import (
    LARGEST_BYTES,
    MOST_COLUMNS,
    MOST_ROWS,
    LogRefused,
    LogText,
)
from measurements.core.procedure import File, Grid, Row
from measurements.core.readings import Slot, quantity_of

UPLOAD = "upload_"
"""How the name of a field begins that takes a grid's file; never kept with what is typed."""

_SEPARATORS = {
    ",": gettext_lazy("commas"),
    ";": gettext_lazy("semicolons"),
    "\t": gettext_lazy("tabs"),
    "|": gettext_lazy("upright bars"),
}
_DECIMALS = {",": gettext_lazy("comma"), ".": gettext_lazy("point")}

Choices = list[tuple[str, str]]


@dataclass(frozen=True)
class LogView:
    """For the page: the field that takes a file, its limits in words, and of the file that is there
    its name, how it is written, headings with units, the first rows, and what is wrong with it."""

    field: str
    limits: str
    name: str = ""
    recognised: str = ""
    head: list[tuple[str, str]] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)
    fault: str = ""


class LogBoxes:
    """One grid with its file, as the form stands. pairs: address -> (text, unit) as typed."""

    def __init__(self, grid: Grid, pairs: Mapping[str, tuple[str, str]], files: Files) -> None:
        assert isinstance(grid.axis, File)  # noqa: S101  (the caller asks for no other)
        self.grid, self.axis, self.pairs = grid, grid.axis, pairs
        found = files.get(self._typed(f"{grid.key}.{grid.axis.file.key}"))
        self.text: LogText | None = found.text if isinstance(found, LogFile) else None

    def _typed(self, address: str) -> str:
        return self.pairs.get(address, ("", ""))[0].strip()

    def _place(self, row: Row) -> int | None:
        """The column that a row has just now, None for none that the file has."""
        typed = self._typed(f"{self.grid.key}.{row.code}.{self.axis.source.key}")
        try:
            return place_of(self.text, typed) if self.text and typed else None
        except LogRefused:
            return None

    def choices(self, slot: Slot) -> Choices | None:
        """What a column or a unit can be chosen from; None for any other box, or without a file.
        What is typed already stays among them."""
        if self.text is None or slot.row is None:
            return None
        if slot.field.key == self.axis.source.key:
            found = [("", "–")] + [
                (source_of(self.text, place), f"{place + 1}: {heading}")
                for place, heading in enumerate(self.text.headings)
            ]
        elif slot.field.key == self.axis.unit.key:
            quantity = quantity_of(slot.row, self.pairs)
            switch = bool(slot.row.facts.get("switch"))
            offered = units_of(quantity, switch=switch) if quantity else ()
            found = [("", self._unless_chosen(slot.row, quantity))]
            found += [(unit, unit) for unit in offered if unit]
        else:
            return None
        typed = self._typed(slot.address)
        return found if typed in dict(found) else [*found, (typed, typed)]

    def _unless_chosen(self, row: Row, quantity: str) -> str:
        """What the empty choice of a unit means."""
        place = self._place(row)
        if self.text is None or place is None or not quantity:
            return "–"
        if quantity == "time" and has_times_of_day(self.text, place):
            return _("time of day")
        said = unit_in_file(self.text, place, quantity)
        return _("%(unit)s, as the file says") % {"unit": said} if said else "–"

    def guessed(self) -> dict[str, str]:
        """What the headings suggest for rows that have no column of this file: address -> text. It
        fills the form, where it is seen and can be changed."""
        if self.text is None:
            return {}
        rows = [row for row in self.axis.rows if self._place(row) is None]
        quantities = {row.code: quantity_of(row, self.pairs) for row in rows}
        found = {}
        for code, (source, unit) in guess(self.text, rows, quantities).items():
            found[f"{self.grid.key}.{code}.{self.axis.source.key}"] = source
            found[f"{self.grid.key}.{code}.{self.axis.unit.key}"] = unit
        return found

    def view(self, fault: str) -> LogView:
        """For the page."""
        limits = _("At most %(megabytes)s MB, %(rows)s rows and %(columns)s columns.") % {
            "megabytes": LARGEST_BYTES // 1_000_000,
            "rows": f"{MOST_ROWS:,}".replace(",", "\u202f"),
            "columns": MOST_COLUMNS,
        }
        field_name = UPLOAD + self.grid.key
        name = self._typed(f"{self.grid.key}.{self.axis.called.key}")
        if self.text is None:
            return LogView(field_name, limits, name, fault=fault)
        recognised = _(
            "Recognised: text in %(encoding)s, columns parted by %(separator)s, decimal "
            "%(decimal)s, values from line %(line)s on."
        ) % {
            "encoding": self.text.encoding.upper().removesuffix("-SIG"),
            "separator": _SEPARATORS.get(self.text.separator, self.text.separator),
            "decimal": _DECIMALS[self.text.decimal],
            "line": self.text.first_line,
        }
        head = list(zip(self.text.headings, self.text.units, strict=True))
        rows = [list(row) for row in self.text.preview]
        return LogView(field_name, limits, name, recognised, head, rows, fault)
