"""From what was typed to readings: the one validator of page and command line.

Typed text comes by address (`grid.row.column`, `given.key`, `ready.code`). What is impossible is
refused and stays out; what is improbable is asked about and stands; what is lacking is listed.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal

from measurements.core import typed as typed_text
from measurements.core import uncertainty, units
from measurements.core.context import Context
from measurements.core.instruments import Instrument
from measurements.core.logs.file import (
    SWITCH,
    Files,
    LogFile,
    has_times_of_day,
    place_of,
    unit_in_file,
    units_of,
    wanted_as,
)
from measurements.core.logs.text import LogRefused
from measurements.core.procedure import (
    Bounds,
    Choice,
    Code,
    Conditions,
    Count,
    Date,
    Dated,
    Field,
    File,
    Fixed,
    Flag,
    Free,
    Grid,
    Handed,
    Odometer,
    OfCar,
    Pairs,
    Procedure,
    Product,
    Quantity,
    QuantityBy,
    Row,
    RowOf,
    Series,
    Span,
    Text,
    fields_of,
)

if TYPE_CHECKING:
    from uncertainties import UFloat

    from measurements.core.logs.columns import LogColumns

Typing = Mapping[str, Any]
"""Address -> text, or (text, unit)."""

Value = float | int | str | bool


@dataclass(frozen=True)
class Reading:
    """One thing that was entered, as typed and as understood.

    value: in the stored unit of `quantity`, a code, a bool, a day as text; None unless measured;
    words: for a person, where the value is a code or a bool;
    bound: for "above" and "below"; u: standard uncertainty; digit: of the last figure known, stored
    unit; gain and own: see `uncertainty.Parts`; unit: in which a person sees it.
    """

    address: str
    label: str
    typed: str
    typed_unit: str = ""
    status: typed_text.Status = "measured"
    quantity: str = ""
    value: Value | None = None
    bound: float | None = None
    u: float = 0.0
    digit: float = 0.0
    unit: str = ""
    instrument: str = ""
    gain: float = 0.0
    own: float = 0.0
    shared_with: str = ""
    origin: str = "measured"
    words: str = ""

    @property
    def number(self) -> float | None:
        """The value of a quantity as a float, else None."""
        if self.quantity and isinstance(self.value, (int, float)):
            return float(self.value)
        return None

    @property
    def understood(self) -> str:
        """What the program read, with unit and ± (k = 2), for the line under the field."""
        if self.status == "overload":
            return "overload"
        if self.status == "not_measured":
            return "not measured"
        if self.bound is not None:
            words = "more than {}" if self.status == "above" else "less than {}"
            return words.format(units.show_value(self.bound, self.quantity, unit=self.unit))
        number = self.number
        if number is None or self.words:
            return self.words or str(self.value)
        return units.show(number, self.u, self.quantity, digit=self.digit, unit=self.unit)


@dataclass(frozen=True)
class Fault:
    """Something to put right ("refused": left out) or to look at ("asks": stands as it is).

    text: what is wrong and what to do; typed: what was entered; meant: a likely correction.
    """

    address: str
    kind: Literal["refused", "asks"]
    text: str
    typed: str
    meant: str = ""


@dataclass(frozen=True)
class RowReadings:
    """The readings of one row. `row` is the declaration; label is its name, the typed one first."""

    grid: str
    row: Row
    label: str
    readings: Readings

    @property
    def code(self) -> str:
        """Middle part of the address."""
        return self.row.code

    def address(self, column: str) -> str:
        """Address of a column in this row."""
        return f"{self.grid}.{self.row.code}.{column}"

    def get(self, column: str) -> Reading | None:
        """The reading, or None if nothing was entered."""
        return self.readings.get(self.address(column))

    def value(self, column: str) -> Any:
        """Its value if measured; else what the row's preset says; else None."""
        found = self.readings.value(self.address(column))
        if found is None and self.get(column) is None:
            return self.row.facts.get(column)
        return found

    def uncertain(self, column: str) -> UFloat | None:
        """The reading as a number with uncertainty, sharing its instrument's gain."""
        return self.readings.uncertain(self.address(column))


@dataclass(frozen=True)
class Readings:
    """All readings of a run, by address, with the rows that the form had.

    logs: grid of a file -> the columns that were read from it; never stored, read again.
    """

    by_address: Mapping[str, Reading]
    grid_rows: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)
    unticked: tuple[str, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    missing: tuple[str, ...] = ()
    logs: Mapping[str, LogColumns] = field(default_factory=dict, compare=False, repr=False)
    _gains: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)

    def __iter__(self) -> Iterator[Reading]:
        return iter(self.by_address.values())

    def get(self, address: str) -> Reading | None:
        """The reading, or None if nothing was entered there."""
        return self.by_address.get(address)

    def value(self, address: str) -> Any:
        """The value if there is one with status "measured", else None."""
        reading = self.by_address.get(address)
        return reading.value if reading and reading.status == "measured" else None

    def given(self, key: str) -> Any:
        """The value of a field that is given beside the grids."""
        return self.value(f"given.{key}")

    def rows(self, grid: str) -> tuple[RowReadings, ...]:
        """The rows of a grid in order, those without readings too."""
        return tuple(
            RowReadings(grid, row, self.names.get(f"{grid}.{row.code}", row.label), self)
            for row in self.grid_rows.get(grid, ())
        )

    def uncertain(self, address: str) -> UFloat | None:
        """The reading for error propagation; None without a number.

        Readings of one instrument in one range share its gain, so that it cancels in a difference.
        """
        reading = self.by_address.get(address)
        number = reading.number if reading else None
        if reading is None or number is None or reading.status != "measured":
            return None
        from uncertainties import ufloat

        result = ufloat(number, reading.own) if reading.own else uncertainty.exact(number)
        if reading.gain:
            if reading.shared_with not in self._gains:
                self._gains[reading.shared_with] = ufloat(0, reading.gain)
            result = result + number * self._gains[reading.shared_with]
        return result

    def to_list(self) -> list[dict[str, Any]]:
        """One plain row per reading, for storing and listing."""
        rows = []
        for reading in self.by_address.values():
            first, _, rest = reading.address.partition(".")
            row, _, column = rest.partition(".")
            rows.append(
                {
                    "address": reading.address,
                    "row": row if column else "",
                    "column": column or row,
                    "grid": first,
                    "label": reading.label,
                    "typed": reading.typed,
                    "typed_unit": reading.typed_unit,
                    "status": reading.status,
                    "quantity": reading.quantity,
                    "value": reading.value,
                    "bound": reading.bound,
                    "u": reading.u,
                    "instrument": reading.instrument,
                    "origin": reading.origin,
                }
            )
        return rows


@dataclass(frozen=True)
class Checked:
    """Readings, and what is wrong or lacking with what was typed."""

    readings: Readings
    faults: tuple[Fault, ...]
    typed: Typing = field(default_factory=dict)

    @property
    def ok(self) -> bool:
        """Nothing was refused; questions and gaps don't stop a record."""
        return not any(fault.kind == "refused" for fault in self.faults)

    @property
    def missing(self) -> tuple[str, ...]:
        """Addresses that are needed and empty."""
        return self.readings.missing

    def faults_at(self, address: str) -> tuple[Fault, ...]:
        """The faults of one field."""
        return tuple(fault for fault in self.faults if fault.address == address)


# --- rows and fields --------------------------------------------------------------------------

_CORNERS = (
    Row("fl", "front left"),
    Row("fr", "front right"),
    Row("rl", "rear left"),
    Row("rr", "rear right"),
)
_AXLES = (Row("front", "front axle"), Row("rear", "rear axle"))
EXTRA = {Free: "r", Series: "s", Conditions: "x", Dated: "d", Pairs: "p"}
"""Axis kind -> letter of its rows that can be added."""
_EXTRA_LABEL = {
    Series: "reading {}",
    Conditions: "other point {}",
    Dated: "entry {}",
    Pairs: "probe {}",
}


def rows_of(grid: Grid, context: Context, typed: Typing, more: int = 0) -> tuple[Row, ...]:
    """The rows that the grid has for this car and for what was typed so far; `more` empty ones."""
    axis = grid.axis
    if isinstance(axis, (Fixed, File)):
        return axis.rows
    if isinstance(axis, OfCar):
        return _rows_of_car(axis, context)
    if isinstance(axis, Product):
        firsts = _rows_of_car(axis.first, context) if isinstance(axis.first, OfCar) else ()
        return tuple(
            _joined(first, second)
            for first in firsts or axis.first.rows  # type: ignore[union-attr]
            for second in axis.second.rows
        )
    if isinstance(axis, (Dated, Pairs)):
        return _extra_rows(grid, typed, axis.opens, axis.most, more)
    if isinstance(axis, Free):
        chosen = axis.presets.get(_choice_typed(typed, axis.by), ()) if axis.by else ()
        return chosen or _extra_rows(grid, typed, axis.opens, axis.most, more)
    if isinstance(axis, Conditions):
        extra = _extra_rows(grid, typed, 0, axis.most - len(axis.presets), more)
        return (*axis.presets, *extra)
    if isinstance(axis, Series):
        planned = len(axis.planned)
        rows = _extra_rows(grid, typed, planned, axis.most, more)
        return tuple(
            Row(row.code, row.label, {axis.time.key: axis.planned[n]} if n < planned else {})
            for n, row in enumerate(rows)
        )
    raise ValueError(f"grid {grid.key!r}: rows of kind {type(axis).__name__} are not collected yet")


def _rows_of_car(axis: OfCar, context: Context) -> tuple[Row, ...]:
    if axis.of == "corners":
        return _CORNERS
    if axis.of == "axles":
        return _AXLES
    count = max(1, min(context.car.engine.cylinders, 16))
    if axis.of == "humps":
        return tuple(Row(f"h{n}", f"hump {n}") for n in range(1, count + 1))
    return tuple(Row(f"c{n}", f"cylinder {n}") for n in range(1, count + 1))


def _joined(first: Row, second: Row) -> Row:
    """The row of a product: "front left, as it stands"."""
    facts = {**first.facts, **second.facts, "first": first.code, "second": second.code}
    return Row(
        f"{first.code}_{second.code}",
        ", ".join(label for label in (first.label, second.label) if label),
        facts,
        first.optional or second.optional,
    )


def _extra_rows(grid: Grid, typed: Typing, opens: int, most: int, more: int) -> tuple[Row, ...]:
    kind = type(grid.axis)
    letter = EXTRA[kind]
    highest, empty = opens, 0
    for address in typed:
        found = re.fullmatch(rf"{grid.key}\.{letter}([1-9][0-9]?)\.[a-z0-9_]+", address)
        if found and _text(typed[address])[0].strip():
            highest = max(highest, int(found[1]))
            # One is ready for the next probe: probing goes on until all is known.
            empty = 1 if kind is Pairs and int(found[1]) == highest else empty
    count = min(highest + empty + more, most)
    label = f"{grid.axis.called} {{}}" if isinstance(grid.axis, Free) else _EXTRA_LABEL[kind]
    return tuple(Row(f"{letter}{n}", label.format(n), optional=True) for n in range(1, count + 1))


def _choice_typed(typed: Typing, key: str) -> str:
    return _text(typed.get(f"given.{key}", ""))[0].strip()


def _text(entry: Any) -> tuple[str, str]:
    """Text and unit of an entry; raises TypeError for anything that isn't text."""
    if isinstance(entry, str):
        return entry, ""
    if (
        isinstance(entry, (tuple, list))
        and len(entry) == 2
        and all(isinstance(part, str) for part in entry)
    ):
        return entry[0], entry[1]
    raise TypeError(f"{entry!r} is not text, nor text with a unit")


@dataclass(frozen=True)
class Slot:
    """One box of the form. unit: what a bare number means; units: what may be chosen;
    default: what stands for an empty box (a preset condition, a choice's default)."""

    address: str
    field: Field
    label: str
    row: Row | None = None
    unit: str = ""
    units: tuple[str, ...] = ()
    limit: Span | None = None
    default: str = ""

    @property
    def full_label(self) -> str:
        """With its row: "idle, volts at the battery"."""
        return f"{self.row.label}, {self.label}" if self.row else self.label


@dataclass(frozen=True)
class RowSlots:
    """The boxes of one row."""

    row: Row
    label: str
    slots: tuple[Slot, ...]


@dataclass(frozen=True)
class GridLayout:
    """A grid as a form shows it."""

    grid: Grid
    rows: tuple[RowSlots, ...]
    can_add: bool


@dataclass(frozen=True)
class Layout:
    """All boxes of a procedure for one car, in working order."""

    given: tuple[Slot, ...]
    ready: tuple[Slot, ...]
    grids: tuple[GridLayout, ...]

    @property
    def slots(self) -> tuple[Slot, ...]:
        """Every box: preconditions, given, then the grids row by row."""
        in_grids = tuple(s for grid in self.grids for row in grid.rows for s in row.slots)
        return (*self.ready, *self.given, *in_grids)


def layout(
    procedure: Procedure,
    context: Context,
    typed: Typing | None = None,
    more: Mapping[str, int] | None = None,
) -> Layout:
    """The form of a procedure. `typed` decides presets and rows, `more` adds empty rows by grid.

    A file stands before the rows of its grid, as a row of its own.
    """
    from measurements.core.judging import span_for

    typed, more = typed or {}, more or {}
    readings = validate(procedure, typed, context).readings
    chosen = _choices_as_codes(procedure, _entries(typed)[0])
    ready = tuple(
        Slot(f"ready.{item.code}", Flag(key=item.code, label=item.text), item.text)
        for item in procedure.preconditions
    )
    given = tuple(
        _slot(
            _of_quantity(entry, procedure, chosen),
            f"given.{entry.key}",
            context,
            span=span_for(procedure, f"given.{entry.key}", context, readings),
        )
        for entry in procedure.given
    )
    grids = []
    for grid in procedure.grids:
        rows = rows_of(grid, context, chosen, more.get(grid.key, 0))
        built = _file_row(grid, context)
        for row in rows:
            label = readings.names.get(f"{grid.key}.{row.code}", row.label)
            whole = RowReadings(grid.key, row, label, readings)
            slots = []
            for declared in fields_of(grid, row):
                entry = _resolved(declared, procedure, readings.grid_rows, readings.names)
                address = f"{grid.key}.{row.code}.{entry.key}"
                span = span_for(procedure, address, context, readings, whole)
                slots.append(_slot(entry, address, context, row, span))
            built.append(RowSlots(row, label, tuple(slots)))
        grids.append(GridLayout(grid, tuple(built), _can_add(grid, rows)))
    return Layout(given, ready, tuple(grids))


def _file_row(grid: Grid, context: Context) -> list[RowSlots]:
    """The file itself, where the rows are its columns."""
    if not isinstance(grid.axis, File):
        return []
    fields = (grid.axis.file, grid.axis.called)
    slots = tuple(_slot(entry, f"{grid.key}.{entry.key}", context) for entry in fields)
    return [RowSlots(Row("file", grid.axis.file.label), grid.axis.file.label, slots)]


def _can_add(grid: Grid, rows: tuple[Row, ...]) -> bool:
    axis = grid.axis
    if not isinstance(axis, (Free, Series, Conditions, Dated, Pairs)):
        return False
    if isinstance(axis, Free) and rows in axis.presets.values():
        return False
    return len(rows) < axis.most


def _slot(
    entry: Field, address: str, context: Context, row: Row | None = None, span: Span | None = None
) -> Slot:
    unit, default = "", ""
    allowed: tuple[str, ...] = ()
    if isinstance(entry, Quantity):
        unit = entry.unit or units.shop_unit(entry.quantity, context.units)
        allowed = tuple(units.QUANTITIES[entry.quantity].units)
    elif isinstance(entry, Odometer):
        unit = units.shop_unit("distance", context.units)
        allowed = tuple(units.QUANTITIES["distance"].units)
    elif isinstance(entry, Choice):
        default = entry.default
    if row is not None and entry.key in row.facts:
        fact = row.facts[entry.key]
        if isinstance(entry, Quantity):
            stored = units.QUANTITIES[entry.quantity].unit
            default = f"{float(units.convert(fact, entry.quantity, stored, unit)):.10g}"
        elif isinstance(entry, Flag):
            default = "yes" if fact else "no"
        else:
            default = str(fact)
    return Slot(address, entry, entry.label, row, unit, allowed, span, default)


# --- validation -------------------------------------------------------------------------------


class RefusedError(ValueError):
    """A field's content cannot be taken; the message says what is allowed."""


def validate(
    procedure: Procedure, typed: Typing, context: Context, files: Files | None = None
) -> Checked:
    """Understand everything that was typed for a procedure on this car.

    Nothing is lost: a refused text is quoted in its fault, an improbable value stands with a
    question. Blank entries count as not given. files: what was handed over, by the key that is
    typed for it; without them no file is looked at.
    """
    entries, faults = _entries(typed)
    chosen = _choices_as_codes(procedure, entries)
    grid_rows = {grid.key: rows_of(grid, context, chosen) for grid in procedure.grids}
    readings: dict[str, Reading] = {}
    known: set[str] = set()

    def take(entry: Field, address: str, label: str, handling: float = 0.0) -> None:
        known.add(address)
        text, unit = entries.get(address, ("", ""))
        if not text.strip():
            return
        try:
            reading, question = _understand(entry, address, label, text, unit, context, handling)
        except (RefusedError, typed_text.TypedError) as problem:
            faults.append(Fault(address, "refused", str(problem), text))
            return
        readings[address] = reading
        if question:
            faults.append(question)

    for item in procedure.preconditions:
        take(Flag(key=item.code, label=item.text), f"ready.{item.code}", item.text)
    for declared in procedure.given:
        entry = _of_quantity(declared, procedure, chosen)
        take(entry, f"given.{entry.key}", entry.label, procedure.handling_u.get(entry.key, 0.0))
    names: dict[str, str] = {}
    for grid in procedure.grids:
        if isinstance(grid.axis, File):
            for entry in (grid.axis.file, grid.axis.called):
                take(entry, f"{grid.key}.{entry.key}", entry.label)
        for row in grid_rows[grid.key]:
            label = row.label
            for declared in fields_of(grid, row):
                column = _resolved(declared, procedure, grid_rows, names)
                address = f"{grid.key}.{row.code}.{column.key}"
                handling = procedure.handling_u.get(column.key, 0.0)
                take(column, address, f"{label}, {column.label}", handling)
                named = readings.get(address)
                if isinstance(grid.axis, Free) and column.key == grid.axis.named and named:
                    # What stands after the name is called by it.
                    label = names[f"{grid.key}.{row.code}"] = str(named.value)
    for address in entries:
        if address not in known and entries[address][0].strip():
            faults.append(
                Fault(
                    address,
                    "refused",
                    f"There is no field “{address[:60]}” in this test.",
                    entries[address][0],
                )
            )
    faults += _times_rising(procedure, grid_rows, readings)
    faults += _days_in_order(procedure, grid_rows, readings, context)
    logs = {}
    for grid in procedure.grids:
        if isinstance(grid.axis, File):
            columns, wrong = _columns_of(grid, grid.axis, readings, chosen, files)
            faults += wrong
            if columns is not None:
                logs[grid.key] = columns
    unticked = tuple(
        item.code
        for item in procedure.preconditions
        if not (f"ready.{item.code}" in readings and readings[f"ready.{item.code}"].value is True)
    )
    missing = _missing(procedure, grid_rows, readings)
    found = Readings(readings, grid_rows, unticked, names, missing, logs)
    return Checked(found, tuple(faults), entries)


def _resolved(
    entry: Field,
    procedure: Procedure,
    grid_rows: Mapping[str, tuple[Row, ...]],
    names: Mapping[str, str],
) -> Field:
    """The field as it can be filled now: a reference to rows offers those that have a name."""
    if not isinstance(entry, RowOf):
        return entry
    offered = {}
    for grid in procedure.grids:
        for row in grid_rows.get(grid.key, ()) if grid.key in entry.grids else ():
            name = names.get(f"{grid.key}.{row.code}")
            if name:
                offered[f"{grid.key}.{row.code}"] = f"{grid.label}: {name}"
    return Choice(
        key=entry.key,
        label=entry.label,
        help=entry.help,
        needed=entry.needed,
        origin=entry.origin,
        finer=entry.finer,
        choices=offered,
    )


def _of_quantity(entry: Field, procedure: Procedure, chosen: Typing) -> Field:
    """The field as it can be filled now: with the quantity that a choice names, if it is made."""
    if not isinstance(entry, QuantityBy):
        return entry
    return entry.of(_chosen_code(procedure, entry.by, chosen)) or entry


def _chosen_code(procedure: Procedure, key: str, chosen: Typing) -> str:
    """The code of a given choice, its default where it is empty. `chosen`: with codes as text."""
    choice = next((entry for entry in procedure.given if entry.key == key), None)
    return _choice_typed(chosen, key) or getattr(choice, "default", "")


def quantity_of(row: Row, chosen: Typing) -> str:
    """The quantity of a file's column, "" while the choice that names it is not made.

    chosen: typed text, the choice by its code.
    """
    by = row.facts.get("quantity_by")
    found = _choice_typed(chosen, by) if by else row.facts.get("quantity", "")
    return found if found in units.QUANTITIES else ""


def _columns_of(
    grid: Grid, axis: File, readings: dict[str, Reading], chosen: Typing, files: Files | None
) -> tuple[LogColumns | None, list[Fault]]:
    """The columns of a grid's file as they are assigned, and what stops reading them. What is
    refused is left out of the readings. None without a file, or while a needed column lacks."""
    faults: list[Fault] = []

    def refuse(address: str, text: str) -> None:
        typed = readings.pop(address).typed if address in readings else ""
        faults.append(Fault(address, "refused", text, typed))

    at_file = f"{grid.key}.{axis.file.key}"
    handed = readings.get(at_file)
    file = (files or {}).get(str(handed.value)) if handed else None
    if handed and files is not None and not isinstance(file, LogFile):
        refuse(at_file, str(file or "There is no such file here: choose it again."))
    wanted, logged_in, digits = {}, {}, {}
    for row in axis.rows:
        at_source, at_unit = (
            f"{grid.key}.{row.code}.{entry.key}" for entry in (axis.source, axis.unit)
        )
        quantity, switch = quantity_of(row, chosen), bool(row.facts.get("switch"))
        unit = ""
        if quantity and at_unit in readings:
            try:
                unit = _column_unit(quantity, str(readings[at_unit].value), switch)
            except units.UnknownUnitError as problem:
                refuse(at_unit, f"{str(problem)[:1].upper()}{str(problem)[1:]}.")
                continue
        if not isinstance(file, LogFile) or not quantity or at_source not in readings:
            continue
        try:
            place = place_of(file.text, str(readings[at_source].value))
        except LogRefused as problem:
            refuse(at_source, str(problem))
            continue
        timed = quantity == "time" and has_times_of_day(file.text, place)
        unit = unit or unit_in_file(file.text, place, quantity)
        if not unit and not timed:
            offered = ", ".join(units_of(quantity, switch=switch))
            text = "The file does not say in which unit “{}” is: choose one of {}."
            refuse(at_unit, text.format(file.text.headings[place], offered))
            continue
        stored = units.QUANTITIES[quantity].unit
        wanted[row.code] = wanted_as(place, quantity, stored if timed else unit)
        logged_in[row.code] = "" if timed else unit
        digits[row.code] = wanted[row.code].factor / 10.0 ** file.text.places[place]
    needed = {row.code for row in axis.rows if not row.optional}
    if not isinstance(file, LogFile) or faults or not needed <= wanted.keys():
        return None, faults
    try:
        return replace(file.read(wanted), units=logged_in, digits=digits), faults
    except LogRefused as problem:
        refuse(at_file, str(problem))
        return None, faults


def _column_unit(quantity: str, text: str, switch: bool) -> str:
    """Our symbol for the unit of a column."""
    if switch and "".join(text.split()).lower() in (SWITCH, "on/off"):
        return SWITCH
    return units.unit_symbol(quantity, text)


def _days_in_order(
    procedure: Procedure,
    grid_rows: Mapping[str, tuple[Row, ...]],
    readings: dict[str, Reading],
    context: Context,
) -> list[Fault]:
    """A day after the test is refused and left out; an odometer that ran backwards is asked."""
    faults = []
    for grid in procedure.grids:
        if not isinstance(grid.axis, Dated):
            continue
        days = []
        for row in grid_rows[grid.key]:
            address = f"{grid.key}.{row.code}.{grid.axis.date.key}"
            day = readings.get(address)
            if day is None:
                continue
            if context.measured_on and str(day.value) > context.measured_on:
                text = f"{day.value} is after the day of this test, {context.measured_on}."
                faults.append(Fault(address, "refused", text, day.typed))
                del readings[address]
                continue
            if grid.axis.odometer is not None:
                counter = readings.get(f"{grid.key}.{row.code}.{grid.axis.odometer.key}")
                if counter is not None and counter.number is not None:
                    days.append((str(day.value), counter.number, counter))
        days.sort(key=lambda entry: entry[:2])
        for (_, before, _first), (_, after, counter) in pairwise(days):
            if after < before:
                faults.append(
                    Fault(
                        counter.address,
                        "asks",
                        "Is that right? An earlier day stands at {}.".format(
                            units.show_value(before, "distance", unit=counter.unit)
                        ),
                        counter.typed,
                    )
                )
    return faults


def _entries(typed: Typing) -> tuple[dict[str, tuple[str, str]], list[Fault]]:
    """Text and unit of each entry; what isn't text is refused."""
    entries: dict[str, tuple[str, str]] = {}
    faults: list[Fault] = []
    for address, entry in typed.items():
        try:
            entries[address] = _text(entry)
        except TypeError as problem:
            faults.append(Fault(address, "refused", f"{problem}.", repr(entry)[:60]))
    return entries, faults


def _choices_as_codes(
    procedure: Procedure, entries: Mapping[str, tuple[str, str]]
) -> dict[str, tuple[str, str]]:
    """The entries with labels of given choices as their codes, since these decide the rows."""
    coded = dict(entries)
    for entry in procedure.given:
        address = f"given.{entry.key}"
        if isinstance(entry, Choice) and address in coded:
            code = _choice_code(entry, coded[address][0])
            coded[address] = (code or "", "")
    return coded


def _choice_code(entry: Choice, text: str) -> str | None:
    """The code that was typed, by itself or by its label; None for neither."""
    bare = " ".join(text.split())
    if bare in entry.choices:
        return bare
    by_label = {words.lower(): code for code, words in entry.choices.items()}
    return by_label.get(bare.lower())


def _missing(
    procedure: Procedure, grid_rows: Mapping[str, tuple[Row, ...]], readings: Mapping[str, Reading]
) -> tuple[str, ...]:
    lacking = [
        f"given.{entry.key}"
        for entry in procedure.given
        if entry.needed and f"given.{entry.key}" not in readings
    ]
    for grid in procedure.grids:
        if isinstance(grid.axis, File) and f"{grid.key}.{grid.axis.file.key}" not in readings:
            lacking.append(f"{grid.key}.{grid.axis.file.key}")
        for row in grid_rows[grid.key]:
            begun = any(f"{grid.key}.{row.code}.{c.key}" in readings for c in fields_of(grid, row))
            if row.optional and not begun:
                continue
            lacking += [
                f"{grid.key}.{row.code}.{column.key}"
                for column in fields_of(grid, row)
                if column.needed
                and f"{grid.key}.{row.code}.{column.key}" not in readings
                and column.key not in row.facts
            ]
    return tuple(lacking)


def _times_rising(
    procedure: Procedure, grid_rows: Mapping[str, tuple[Row, ...]], readings: dict[str, Reading]
) -> list[Fault]:
    """A series runs forward: a time at or before the one above it is refused and left out."""
    faults = []
    for grid in procedure.grids:
        if not isinstance(grid.axis, Series):
            continue
        last = -math.inf
        for row in grid_rows[grid.key]:
            key = grid.axis.time.key
            address = f"{grid.key}.{row.code}.{key}"
            used = any(f"{grid.key}.{row.code}.{c.key}" in readings for c in fields_of(grid))
            if not used:
                continue
            reading = readings.get(address)
            number = reading.number if reading else row.facts.get(key)
            if number is None:
                continue
            if number <= last:
                text = "{} is not later than the reading above it, at {}.".format(
                    units.show_value(number, "time"), units.show_value(last, "time")
                )
                faults.append(Fault(address, "refused", text, reading.typed if reading else ""))
                readings.pop(address, None)
                continue
            last = number
    return faults


LONGEST_KEY = 200
"""Characters of the name under which a file is handed over."""

_YES = {"yes", "y", "on", "true", "1"}
_NO = {"no", "n", "off", "false", "0"}


def _understand(
    entry: Field, address: str, label: str, text: str, unit: str, context: Context, handling: float
) -> tuple[Reading, Fault | None]:
    """One reading, and a question if it is improbable; raises what is impossible."""
    if isinstance(entry, (Quantity, Odometer)):
        return _quantity(entry, address, label, text, unit, context, handling)
    value: Value
    quantity = words = ""
    bare = " ".join(text.split())
    if isinstance(entry, QuantityBy):
        raise RefusedError("Say first of what: then its unit is known.")
    if isinstance(entry, Handed):
        value = text.strip()
        if len(value) > LONGEST_KEY or any(_is_unprintable(sign) for sign in value):
            raise RefusedError("This is no name of a file.")
    elif isinstance(entry, Choice):
        code = _choice_code(entry, text)
        if code is None:
            raise RefusedError(
                "“{}” is none of: {}.".format(bare[:40], ", ".join(entry.choices.values()))
            )
        value, words = code, entry.choices[code]
    elif isinstance(entry, Flag):
        if bare.lower() not in _YES | _NO:
            raise RefusedError(f"“{bare[:40]}” is neither yes nor no.")
        value = bare.lower() in _YES
        words = "yes" if value else "no"
    elif isinstance(entry, Count):
        counted = typed_text.parse(text, "count")
        if counted.status == "not_measured":
            return Reading(address, label, text, status="not_measured", quantity="count"), None
        if counted.status != "measured" or counted.value is None:
            raise RefusedError(f"“{bare[:40]}” is not a number of things.")
        value, quantity = int(counted.value), "count"
        if not entry.low <= value <= entry.high:
            raise RefusedError(f"{value} is not from {entry.low} to {entry.high}.")
    elif isinstance(entry, Code):
        value = bare.upper()
        if not re.fullmatch(entry.pattern, value, re.ASCII):
            raise RefusedError(
                "“{}” is not written as expected{}.".format(
                    bare[:40], f", for instance {entry.example}" if entry.example else ""
                )
            )
    elif isinstance(entry, Date):
        try:
            value = date.fromisoformat(bare).isoformat()
        except ValueError:
            raise RefusedError(f"“{bare[:40]}” is no day; write it like 2025-03-31.") from None
    elif isinstance(entry, Text):
        value = text.strip()
        if len(value) > entry.longest:
            raise RefusedError(
                f"{len(value)} characters are too many; at most {entry.longest} fit here."
            )
        for position, sign in enumerate(text, start=1):
            if _is_unprintable(sign):
                raise RefusedError(
                    f"There is an unprintable character (U+{ord(sign):04X}) at position "
                    f"{position}; delete it."
                )
        asked = entry.question(value) if entry.question else None
        if asked is not None:
            return (
                Reading(address, label, text, value=value, origin=entry.origin),
                Fault(address, "asks", asked[0], text, asked[1]),
            )
    else:
        raise RefusedError(f"a field of kind {type(entry).__name__} cannot be entered here.")
    return Reading(
        address, label, text, value=value, quantity=quantity, origin=entry.origin, words=words
    ), None


def _is_unprintable(sign: str) -> bool:
    """A control, half a surrogate pair, a noncharacter, or the sign for what was not readable."""
    code = ord(sign)
    if unicodedata.category(sign) in ("Cc", "Cs"):
        return sign not in "\n\t\r"
    return code == 0xFFFD or 0xFDD0 <= code <= 0xFDEF or code & 0xFFFE == 0xFFFE


def _quantity(
    entry: Quantity | Odometer,
    address: str,
    label: str,
    text: str,
    typed_unit: str,
    context: Context,
    handling: float,
) -> tuple[Reading, Fault | None]:
    possible: Bounds
    likely: Bounds | None
    if isinstance(entry, Odometer):
        quantity, possible, likely = "distance", (0.0, 5_000_000.0), None
        unit, instrument = units.shop_unit(quantity, context.units), None
    else:
        quantity = entry.quantity
        possible = entry.possible(context) if callable(entry.possible) else entry.possible
        likely = entry.likely(context) if callable(entry.likely) else entry.likely
        unit = entry.unit or units.shop_unit(quantity, context.units)
        instrument = context.instrument(entry.instrument)
    found = typed_text.parse(text, quantity, unit, typed_unit=typed_unit)
    base = Reading(
        address,
        label,
        text,
        found.typed_unit,
        found.status,
        quantity,
        unit=unit,
        digit=found.digit,
        origin=entry.origin,
        instrument=instrument.name if instrument else "",
    )
    if found.value is None:
        return base, None
    if _beyond(found.value, possible):
        raise RefusedError(
            "{} is not possible here: {}.".format(  # noqa: UP032
                units.show_value(found.value, quantity, unit=found.unit),
                range_words(possible, quantity, unit),
            )
        )
    if found.status != "measured":
        return _with(base, bound=found.value), None
    reading = _with(base, value=found.value, **_parts(found, instrument, handling))
    if likely is None or not _beyond(found.value, likely):
        return reading, None
    meant = _meant(found, quantity, likely)
    asks = "Is {} right? {} is usual here.{}".format(
        units.show_value(found.value, quantity, unit=found.unit),
        (said := range_words(likely, quantity, unit))[:1].upper() + said[1:],
        f" Did you mean {meant}?" if meant else "",
    )
    return reading, Fault(address, "asks", asks, text, meant)


def _with(reading: Reading, **changes: Any) -> Reading:
    from dataclasses import replace

    return replace(reading, **changes)


def _parts(
    found: typed_text.Typed, instrument: Instrument | None, handling: float
) -> dict[str, Any]:
    """Uncertainty fields of a reading; without an instrument only rounding and handling count."""
    value = found.value or 0.0
    if instrument is None:
        return {"u": handling, "own": handling}
    number, span = instrument.range_for(value)
    accuracy = uncertainty.parse_accuracy(instrument.accuracy, instrument.quantity)
    parts = uncertainty.reading_parts(
        value,
        accuracy,
        digit=span.digit if span else 0.0,
        typed_digit=found.digit,
        full_scale=span.full_scale if span else 0.0,
        handling_u=handling,
    )
    shared = f"{instrument.kind}/{instrument.name}/{instrument.serial}/{number}"
    return {
        "u": parts.u,
        "gain": parts.gain,
        "own": parts.own,
        "shared_with": shared,
        "digit": max(found.digit, span.digit if span else 0.0),
    }


def _beyond(value: float, bounds: tuple[float | None, float | None]) -> bool:
    low, high = bounds
    return (low is not None and value < low) or (high is not None and value > high)


def range_words(bounds: tuple[float | None, float | None], quantity: str, unit: str) -> str:
    """ "from 0 V to 60 V"; bounds in the stored unit."""
    low, high = (
        None if bound is None else units.show_value(bound, quantity, unit=unit) for bound in bounds
    )
    if low and high:
        return f"from {low} to {high}"
    return f"up to {high}" if high else f"from {low} up"


def _meant(
    found: typed_text.Typed, quantity: str, likely: tuple[float | None, float | None]
) -> str:
    """Another unit, or a separator that was left out, that would make the value usual."""
    stored = units.QUANTITIES[quantity].unit
    number = found.number
    if number is None:
        return ""
    if not found.typed_unit:
        for other in units.QUANTITIES[quantity].units:
            if other != found.unit and not _beyond(
                float(units.convert(number, quantity, other, stored)), likely
            ):
                return f"{number} {other}"
    if found.decimals == 0:
        for shift in (1, 2, 3):
            shifted = number.scaleb(-shift)
            value = float(units.convert(shifted, quantity, found.unit, stored))
            if not _beyond(value, likely):
                return f"{shifted} {found.unit}"
    return ""
