"""The form of a test, made from its procedure: field names are reading addresses.

One validator serves page and command line (`core.readings.validate`): nothing is checked here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.functional import cached_property
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from measurements.core import chart, decision, units
from measurements.core.assessment import Assessment, VerdictOutcome
from measurements.core.context import Context
from measurements.core.history import DatedRow, dated_rows
from measurements.core.judging import assess
from measurements.core.logs.file import Files
from measurements.core.procedure import (
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
    Pairs,
    Procedure,
    Product,
    Quantity,
    Series,
    Text,
    fields_of,
)
from measurements.core.readings import Checked, Fault, Layout, RowSlots, Slot, layout, validate
from measurements.forms.log_boxes import LogBoxes, LogView

UNIT = "unit."
MORE = "more."
SEEN = "seen"
PHOTOS = "photos."
LONGEST_SEEN = 2_000
MOST_MORE = 40
OPEN_FACTS = 3
OPEN_NUMBERS = 2
"""Boxes that need not be filled and yet stand open: facts of a test, numbers of a row."""

USUAL_UNITS: Mapping[str, tuple[str, ...]] = {
    "voltage": ("V", "mV"),
    "resistance": ("Ω", "mΩ", "kΩ"),
    "gauge_pressure": ("kPa", "bar", "psi"),
    "absolute_pressure": ("kPa", "mbar", "inHg"),
    "temperature": ("°C", "°F"),
    "length": ("mm", "in", "m"),
    "distance": ("km", "mi"),
    "volume": ("L", "mL", "US qt"),
    "time": ("s", "min"),
    "torque": ("N·m", "lbf·ft"),
}
"""Units offered as a choice; any other that the quantity takes may be typed with the number."""


_ADD: Mapping[type, Any] = {
    Series: gettext_lazy("One more reading"),
    Conditions: gettext_lazy("One more point"),
    Dated: gettext_lazy("One more day"),
    Pairs: gettext_lazy("One more probe"),
}
"""What the button says that adds a row, by kind of axis; named rows say what they are called."""


class AddressedField(BoundField):
    """A field whose name is an address; its id has hyphens, for selectors and scripts."""

    @property
    def auto_id(self) -> str:
        """The id, without dots."""
        return f"f-{self.html_name.replace('.', '-')}"


class TypedField(forms.CharField):
    """Text as typed, kept to the letter: the core understands or refuses it."""

    def __init__(self, **options: Any) -> None:
        super().__init__(required=False, strip=False, **options)

    def get_bound_field(self, form: forms.BaseForm, field_name: str) -> BoundField:
        """The field with an id that selectors can name."""
        return AddressedField(form, self, field_name)

    def clean(self, value: Any) -> str:
        """The text, unchecked."""
        return value or ""


@dataclass
class SlotView:
    """One box with all that its fragment shows: `_number_field`, `_field` and `_chips`."""

    slot: Slot
    field: BoundField
    kind: str
    unit: str = ""
    echo: str = ""
    ask: bool = False
    outcome: str = ""
    lower: bool = False
    common: bool = False
    strip: str = ""
    limit: str = ""
    limit_words: str = ""
    carry: dict[str, str] | None = None
    negative: bool = False

    @property
    def is_filled(self) -> bool:
        """Something is typed in it, or something is wrong with it."""
        return bool(self.field.value() or self.field.errors)


@dataclass
class RowView:
    """One row: the boxes that stand open, and those folded away behind their names."""

    row: RowSlots
    label: str
    open: list[SlotView]
    folded: list[SlotView]
    unfold: bool
    before_code: str = ""
    photos: str = ""
    photos_waiting: int = 0

    @property
    def anchor(self) -> str:
        """Its id on the page, which holds the grid: two grids may both have a row r1."""
        return self.place.replace(".", "-")

    @property
    def place(self) -> str:
        """Grid and row, as in the addresses of its boxes."""
        return self.boxes[0].slot.address.rpartition(".")[0]

    @property
    def is_touched(self) -> bool:
        """Something of it is said, wrong, or photographed."""
        return bool(self.photos_waiting) or any(view.is_filled for view in self.boxes)

    @property
    def is_over(self) -> bool:
        """A reading of it lies outside: its stretch of the route is doubled."""
        return any(view.outcome == "outside" for view in self.boxes)

    @property
    def folded_names(self) -> str:
        """What the fold holds."""
        return ", ".join(str(view.field.label) for view in self.folded)

    @property
    def boxes(self) -> list[SlotView]:
        """All boxes."""
        return [*self.open, *self.folded]


@dataclass
class GridView:
    """A grid: as a route where its rows lead from place to place, else row by row."""

    key: str
    label: str
    help: str
    rows: list[RowView]
    can_add: bool
    add_words: str
    is_route: bool
    closing: SlotView | None = None
    noted: tuple[DatedRow, ...] = ()
    seldom: list[RowView] = field(default_factory=list)
    log: LogView | None = None

    @property
    def seldom_names(self) -> str:
        """The rows behind the fold."""
        return ", ".join(row.label for row in self.seldom)


class RunForm(forms.Form):
    """The readings of one test. Make it with `form_for`."""

    def __init__(
        self,
        procedure: Procedure,
        context: Context,
        data: Mapping[str, Any] | None = None,
        *,
        carry: Mapping[str, dict[str, str]] | None = None,
        files: Files | None = None,
        reads_files: bool = True,
        waiting: Mapping[str, int] | None = None,
        **options: Any,
    ) -> None:
        super().__init__(data, **options)
        self.procedure, self.context = procedure, context
        self.carry = carry or {}
        source = data if data is not None else self.initial
        self._source = source
        self.layout: Layout = layout(procedure, context, self._pairs(source), self._more(source))
        self.files: Files = files or {}
        self.reads_files = reads_files
        self.waiting = waiting or {}
        pairs = self._pairs(source)
        self.logs = {
            grid.key: LogBoxes(grid, pairs, self.files)
            for grid in procedure.grids
            if isinstance(grid.axis, File)
        }
        for slot in self.layout.slots:
            self.fields[slot.address] = self._field(slot)
        for grid in self.layout.grids:
            # How to read a column is said once, in its first row.
            for row in grid.rows[1:]:
                for slot in row.slots:
                    self.fields[slot.address].help_text = ""
        for column, slot in self._unit_columns().items():
            self.fields[UNIT + column] = self._unit_field(slot, column)

    # --- what was typed ----------------------------------------------------------------------

    def _pairs(self, source: Mapping[str, Any]) -> dict[str, tuple[str, str]]:
        """Address -> (text, unit) out of everything sent that looks like an address."""
        return {
            name: (str(source[name]), str(source.get(UNIT + column_of(name), "") or ""))
            for name in source
            if "." in name and not name.startswith((UNIT, MORE)) and isinstance(source[name], str)
        }

    def _more(self, source: Mapping[str, Any]) -> dict[str, int]:
        found = {}
        for grid in self.procedure.grids:
            text = str(source.get(MORE + grid.key, "") or "0")
            found[grid.key] = min(int(text), MOST_MORE) if text.isascii() and text.isdigit() else 0
        return found

    @cached_property
    def typed(self) -> dict[str, tuple[str, str]]:
        """What is typed in the boxes that this form has, as the record keeps it."""
        pairs = self._pairs(self._source)
        return {
            slot.address: (text, unit if text.strip() and _takes_unit(slot) else "")
            for slot in self.layout.slots
            if (pair := pairs.get(slot.address)) and (text := pair[0]).strip()
            for unit in [pair[1]]
        }

    @cached_property
    def kept(self) -> list[tuple[str, str]]:
        """What was typed for rows that another choice has taken away: it comes back with them."""
        known = {slot.address for slot in self.layout.slots}
        grids = {grid.key for grid in self.procedure.grids}
        return [
            (name, text)
            for name, (text, _unit) in self._pairs(self._source).items()
            if name not in known and name.split(".")[0] in grids and text.strip()
        ][:200]

    @cached_property
    def checked(self) -> Checked:
        """Readings and faults."""
        files = self.files if self.reads_files else None
        return validate(self.procedure, self.typed, self.context, files)

    @cached_property
    def assessment(self) -> Assessment:
        """What the readings say so far."""
        return assess(self.procedure, self.checked.readings, self.context)

    def _clean_form(self) -> None:
        for fault in self.checked.faults:
            if fault.kind == "refused":
                self.add_error(fault.address if fault.address in self.fields else None, fault.text)
        super()._clean_form()

    @property
    def named_faults(self) -> list[dict[str, str]]:
        """What is refused, with the name of its row, for the list on top of the page."""
        labels = {slot.address: slot.label for slot in self.layout.slots}
        for grid in self.layout.grids:
            for row in grid.rows:
                labels |= {s.address: f"{row.label}, {s.label}" for s in row.slots}
        return [
            {
                "href": f"#{self[fault.address].auto_id}" if fault.address in self.fields else "",
                "text": _("%(field)s: %(fault)s")
                % {
                    "field": capfirst(labels.get(fault.address, fault.address)),
                    "fault": fault.text,
                },
            }
            for fault in self.checked.faults
            if fault.kind == "refused"
        ]

    # --- questions ---------------------------------------------------------------------------

    @property
    def questions(self) -> list[Fault]:
        """Improbable values; they may stand."""
        return [fault for fault in self.checked.faults if fault.kind == "asks"]

    @property
    def seen(self) -> str:
        """The questions that the page shows, to be sent back with the form."""
        return "|".join(f"{fault.address}={fault.typed}" for fault in self.questions)[:LONGEST_SEEN]

    @property
    def has_unseen_questions(self) -> bool:
        """A question that this page has not shown yet."""
        return self.seen != str(self._source.get(SEEN, ""))

    # --- fields ------------------------------------------------------------------------------

    def _field(self, slot: Slot) -> TypedField:
        entry = slot.field
        attrs: dict[str, Any] = {}
        if slot.default:
            attrs["placeholder"] = slot.default
        widget: forms.Widget = forms.TextInput(attrs=attrs)
        if isinstance(entry, Handed) or _is_called(slot):
            widget = forms.HiddenInput()
        elif (choices := self._file_choices(slot)) is not None:
            widget = forms.Select(choices=choices)
        elif isinstance(entry, Choice) and entry.chips:
            unknown = _("not said") if slot.row is None else _("not looked at")
            unsaid = [] if slot.default else [("", unknown)]
            widget = forms.RadioSelect(choices=[*_capital(entry.choices), *unsaid])
        elif isinstance(entry, Choice):
            empty = entry.choices.get(slot.default, slot.default) if slot.default else "–"
            widget = forms.Select(choices=[("", capfirst(empty)), *_capital(entry.choices)])
        elif isinstance(entry, Flag) and slot.address.startswith("ready."):
            widget = forms.CheckboxInput()
        elif isinstance(entry, Flag):
            widget = forms.RadioSelect(
                choices=[("yes", _("yes")), ("no", _("no")), ("", _("not looked at"))]
            )
        elif isinstance(entry, Text) and entry.longest > 120:
            widget = forms.Textarea(attrs={"rows": 2})
        elif isinstance(entry, (Count, Odometer)):
            attrs["inputmode"] = "numeric"
        elif isinstance(entry, Date):
            attrs["placeholder"] = "2025-03-31"
        elif isinstance(entry, Code):
            attrs |= {"placeholder": entry.example, "autocapitalize": "characters"}
        chosen = slot.default if isinstance(widget, forms.RadioSelect) else None
        return TypedField(
            label=capfirst(slot.label), help_text=entry.help, widget=widget, initial=chosen
        )

    @property
    def takes_files(self) -> bool:
        """A file belongs to this test."""
        return bool(self.logs)

    def guessed(self) -> dict[str, str]:
        """What the headings of a file suggest for columns that are not assigned yet."""
        found: dict[str, str] = {}
        for log in self.logs.values():
            found |= log.guessed()
        return found

    def _file_choices(self, slot: Slot) -> list[tuple[str, str]] | None:
        """What a column of a file, or its unit, can be chosen from; None for any other box."""
        log = self.logs.get(slot.address.split(".")[0])
        return log.choices(slot) if log else None

    def _log_view(self, grid: Grid) -> LogView | None:
        if not isinstance(grid.axis, File):
            return None
        at_file = f"{grid.key}.{grid.axis.file.key}"
        faults = " ".join(fault.text for fault in self.checked.faults_at(at_file))
        return self.logs[grid.key].view(faults)

    def _unit_columns(self) -> dict[str, Slot]:
        """One choice of unit for each column of numbers that has usual alternatives."""
        found: dict[str, Slot] = {}
        for slot in self.layout.slots:
            quantity = getattr(slot.field, "quantity", "distance" if _is_odometer(slot) else "")
            if quantity in USUAL_UNITS:
                found.setdefault(column_of(slot.address), slot)
        return found

    def _unit_field(self, slot: Slot, column: str) -> TypedField:
        quantity = getattr(slot.field, "quantity", "distance")
        offered = dict.fromkeys((slot.unit, *USUAL_UNITS[quantity]))
        return TypedField(
            label=_("Unit of %(what)s") % {"what": slot.label},
            initial=slot.unit,
            widget=forms.Select(choices=[(unit, unit) for unit in offered]),
        )

    # --- what the page shows -----------------------------------------------------------------

    @cached_property
    def _verdicts(self) -> dict[str, VerdictOutcome]:
        return {verdict.address: verdict for verdict in self.assessment.verdicts}

    def view_of(self, slot: Slot) -> SlotView:
        """A box with its limit, echo, verdict and question."""
        entry, field = slot.field, self[slot.address]
        numeric = isinstance(entry, (Quantity, Count, Odometer))
        kind = "number" if numeric else "chips" if _is_tapped(entry) else "field"
        view = SlotView(slot, field, kind, carry=self.carry.get(slot.address))
        if not numeric:
            return view
        view.unit = str(self._source.get(UNIT + column_of(slot.address)) or slot.unit)
        view.negative = _can_be_negative(self.procedure, slot, self.context)
        if slot.limit and isinstance(entry, Quantity):
            view.limit, view.limit_words = _limit_words(
                slot.limit.low, slot.limit.high, entry.quantity, view.unit
            )
        reading = self.checked.readings.get(slot.address)
        if reading is not None:
            view.echo = _("Understood: %(value)s") % {"value": reading.understood}
        for fault in self.checked.faults_at(slot.address):
            if fault.kind == "asks" or not field.errors:
                view.echo, view.ask = fault.text, True
        verdict = self._verdicts.get(slot.address)
        if verdict is not None and verdict.outcome != "no_limit":
            view.outcome = verdict.outcome
            view.lower = decision.side_of(verdict) == "lower"
            view.common = bool(verdict.source and verdict.source.tag == "C")
            view.strip = _strip(verdict)
            if verdict.too_narrow and verdict.outcome == "cannot_tell":
                view.echo += ". " + _("This instrument is too coarse for so narrow a limit.")
            elif verdict.outcome == "cannot_tell" and not view.ask:
                view.echo += ". " + _("The limit lies inside that.")
        return view

    @property
    def ready(self) -> list[SlotView]:
        """The preconditions, to tick."""
        return [self.view_of(slot) for slot in self.layout.ready]

    @cached_property
    def ready_options(self) -> list[dict[str, Any]]:
        """The same as `_ticks.html` takes them."""
        return [
            {
                "name": slot.address,
                "value": "yes",
                "id": self[slot.address].auto_id,
                "label": slot.label,
                "checked": self._source.get(slot.address) == "yes",
                "kind": "checkbox",
            }
            for slot in self.layout.ready
        ]

    @cached_property
    def facts(self) -> list[SlotView]:
        """What is given beside the grids, but for what closes a route."""
        closing = self._closing
        return [
            self.view_of(slot)
            for slot in self.layout.given
            if closing is None or slot.address != closing.address
        ]

    @property
    def open_facts(self) -> list[SlotView]:
        """Those that are needed, filled, or first in the list."""
        return [view for view in self.facts if view.slot.address in self._opened]

    @property
    def folded_facts(self) -> list[SlotView]:
        """The rest, behind a fold."""
        return [view for view in self.facts if view.slot.address not in self._opened]

    @cached_property
    def _opened(self) -> set[str]:
        opened: set[str] = set()
        others = 0
        for view in self.facts:
            if view.slot.field.needed or view.is_filled or view.carry or _is_chips(view):
                opened.add(view.slot.address)
            elif others < OPEN_FACTS and not view.slot.field.finer:
                others += 1
                opened.add(view.slot.address)
        return opened

    @cached_property
    def _closing(self) -> Slot | None:
        """A measured value of a route's own quantity is the whole of the route."""
        for grid in self.procedure.grids:
            entry = _route_quantity(grid)
            for slot in self.layout.given if entry else ():
                given = slot.field
                if (
                    isinstance(given, Quantity)
                    and (given.quantity, given.instrument) == (entry.quantity, entry.instrument)
                    and given.origin == "measured"
                ):
                    return slot
        return None

    @cached_property
    def grids(self) -> list[GridView]:
        """The grids in order."""
        views = []
        for grid in self.layout.grids:
            is_route = bool(grid.rows) and all(
                row.row.end and len(row.slots) == 1 for row in grid.rows
            )
            rows = [self._row(row, is_route, grid.grid.axis) for row in grid.rows]
            stands_open = is_route or grid.grid.photos  # a place is one line until it is tapped
            seldom = [] if stands_open else [r for r in rows if _is_seldom(r, grid.grid.axis)]
            rows = [row for row in rows if row not in seldom]
            for before, row in pairwise(rows):
                row.before_code = before.row.row.code
            for row in rows if grid.grid.photos else ():
                row.photos = f"{PHOTOS}{row.place}"
                row.photos_waiting = self.waiting.get(row.place, 0)
            closes = self._closing if _route_quantity(grid.grid) else None
            closing = self.view_of(closes) if closes else None
            views.append(
                GridView(
                    grid.grid.key,
                    grid.grid.label,
                    grid.grid.help,
                    rows,
                    grid.can_add,
                    _add_words(grid.grid.axis),
                    is_route,
                    closing,
                    self._noted(grid.grid),
                    seldom,
                    self._log_view(grid.grid),
                )
            )
        return views

    def _noted(self, grid: Grid) -> tuple[DatedRow, ...]:
        """What earlier tests on this car noted, of a grid that is a diary."""
        if not isinstance(grid.axis, Dated):
            return ()
        rows = dated_rows(self.procedure, grid.key, self.checked.readings, self.context)
        return tuple(row for row in rows if row.run)

    @cached_property
    def proposals(self) -> list[dict[str, str]]:
        """Where to measure next, and why."""
        if self.procedure.next_step is None:
            return []
        labels = {slot.address: slot.full_label for slot in self.layout.slots}
        return [
            {
                "href": f"#{self[address].auto_id}" if address in self.fields else "",
                "label": labels.get(address, ""),
                "why": why,
            }
            for address, why in self.procedure.next_step(self.checked.readings, self.context)
        ]

    def _row(self, row: RowSlots, is_route: bool, axis: Any) -> RowView:
        views = [self.view_of(slot) for slot in row.slots]
        if is_route or isinstance(axis, File):
            return RowView(row, row.label, views, [], False)
        preset = not row.row.optional and isinstance(axis, Conditions)
        conditions = {entry.key for entry in axis.fields} if isinstance(axis, Conditions) else set()
        opened, folded, facts, others = [], [], [], 0
        for view in views:
            key = view.slot.field.key
            if preset and key in conditions:
                facts.append(view)
            elif view.slot.field.needed or key in conditions or _is_time(view, axis):
                opened.append(view)
            elif view.slot.field.finer and not view.is_filled:
                folded.append(view)
            elif _is_chips(view):
                opened.append(view)
            elif others < OPEN_NUMBERS and view.kind == "number":
                others += 1
                opened.append(view)
            else:
                folded.append(view)
        folded += facts
        if len(folded) == 1:
            opened, folded = views, []
        return RowView(row, row.label, opened, folded, any(v.is_filled for v in folded))

    @property
    def number_boxes(self) -> list[SlotView]:
        """Every box that takes a number, for the live answer."""
        views = [self.view_of(slot) for slot in self.layout.slots]
        return [view for view in views if view.kind == "number"]

    @property
    def folded_fact_names(self) -> str:
        """What the fold holds."""
        return ", ".join(str(view.field.label) for view in self.folded_facts)

    @property
    def unfolds_facts(self) -> bool:
        """Something behind the fold is filled."""
        return any(view.is_filled for view in self.folded_facts)

    @property
    def chooses_rows(self) -> bool:
        """A choice among the facts decides which rows there are."""
        return any(isinstance(g.axis, Free) and g.axis.by for g in self.procedure.grids)

    @property
    def more_fields(self) -> list[tuple[str, int]]:
        """How many rows were added, sent along hidden."""
        return [(MORE + key, count) for key, count in self._more(self._source).items() if count]

    @property
    def unit_fields(self) -> list[BoundField]:
        """The choices of unit."""
        return [self[name] for name in self.fields if name.startswith(UNIT)]

    @property
    def photo_boxes(self) -> list[str]:
        """Names of the boxes that take photos of one row."""
        return [row.photos for grid in self.grids for row in grid.rows if row.photos]

    @property
    def row_names(self) -> dict[str, str]:
        """What people call the rows that take photos, by grid and row."""
        return {
            f"{grid.grid.key}.{row.row.code}": row.label
            for grid in self.layout.grids
            if grid.grid.photos
            for row in grid.rows
        }

    @property
    def shape(self) -> str:
        """Names of the boxes: where it changes, the page draws the readings again."""
        import hashlib

        names = "|".join(slot.address for slot in self.layout.slots)
        for grid in self.layout.grids:
            if isinstance(grid.grid.axis, Pairs):  # what can be probed is what was named
                offered = {code: words for s in grid.rows[:1] for code, words in _offered(s)}
                names += repr(offered)
            if isinstance(grid.grid.axis, File):  # units go by the quantity and the column
                slots = [slot for row in grid.rows for slot in row.slots]
                names += repr([self._file_choices(slot) for slot in slots])
        return hashlib.sha256(names.encode()).hexdigest()[:16]

    # --- the sentence of the save bar --------------------------------------------------------

    @property
    def progress(self) -> tuple[int, int]:
        """Readings entered and readings asked for: every needed box that takes a number, every
        needed box of a row that is there, and every other number that was entered in a grid."""
        asked, done = set(), set()
        grids = {grid.key for grid in self.procedure.grids}
        for slot in self.layout.slots:
            numeric = isinstance(slot.field, (Quantity, Count))
            grid = slot.address.split(".")[0]
            if grid in self.logs and not slot.field.needed:
                continue  # the unit of a column is part of saying which it is
            in_grid = grid in grids
            entered = self.checked.readings.get(slot.address) is not None
            wanted = slot.field.needed and not _is_optional(slot)
            if not (numeric or in_grid):
                continue
            if wanted or slot.address in self.checked.missing:
                asked.add(slot.address)
            if entered and (in_grid or wanted):
                asked.add(slot.address)
                done.add(slot.address)
        return len(done), len(asked)

    @property
    def state(self) -> str:
        """One sentence: how far it is, and what is to put right or to look at."""
        done, asked = self.progress
        said = []
        if asked:
            said.append(
                ngettext("%(done)s of %(asked)s reading.", "%(done)s of %(asked)s readings.", asked)
                % {"done": done, "asked": asked}
            )
        lacking = [
            slot.label
            for slot in self.layout.given
            if slot.address in self.checked.missing
            and not isinstance(slot.field, (Quantity, Count))
        ]
        if lacking:
            said.append(_("Still to say: %(what)s.") % {"what": ", ".join(lacking)})
        refused = [fault for fault in self.checked.faults if fault.kind == "refused"]
        if refused:
            said.append(
                ngettext("One to put right.", "%(n)s to put right.", len(refused))
                % {"n": len(refused)}
            )
        if self.questions:
            said.append(
                ngettext("One to look at.", "%(n)s to look at.", len(self.questions))
                % {"n": len(self.questions)}
            )
        return " ".join(said) or _("Nothing entered yet.")


def form_for(
    procedure: Procedure,
    context: Context,
    data: Mapping[str, Any] | None = None,
    *,
    initial: Mapping[str, Any] | None = None,
    carry: Mapping[str, dict[str, str]] | None = None,
    files: Files | None = None,
    reads_files: bool = True,
    waiting: Mapping[str, int] | None = None,
) -> RunForm:
    """The form of a procedure for one car: bound to `data`, or filled with `initial`.

    data: field name -> text; names are addresses, `unit.<grid>.<column>` and `more.<grid>`.
    carry: address -> {value, at}, values that are offered and never filled in unasked.
    files: those that are typed, by their keys; reads_files: false leaves their values unread and
    says only how they are written. waiting: grid and row -> how many photos of it are stored.
    """
    return RunForm(
        procedure,
        context,
        data,
        initial=dict(initial or {}),
        carry=carry,
        files=files,
        reads_files=reads_files,
        waiting=waiting,
    )


def column_of(address: str) -> str:
    """`path.clamp.drop` -> `path.drop`; `given.current` stays."""
    parts = address.split(".")
    return f"{parts[0]}.{parts[-1]}"


def _capital(choices: Mapping[str, str]) -> list[tuple[str, str]]:
    return [(code, capfirst(label)) for code, label in choices.items()]


def _add_words(axis: Any) -> str:
    if isinstance(axis, Free):
        return _("One more %(what)s") % {"what": axis.called}
    return str(_ADD.get(type(axis), ""))


def _is_tapped(entry: Field) -> bool:
    """Its answers stand open, each a tap."""
    return isinstance(entry, Flag) or (isinstance(entry, Choice) and entry.chips)


def _is_chips(view: SlotView) -> bool:
    """A choice that stands open, unless it is seldom said."""
    entry = view.slot.field
    return isinstance(entry, Choice) and entry.chips and not entry.finer


def _takes_unit(slot: Slot) -> bool:
    return isinstance(slot.field, (Quantity, Odometer))


def _offered(row: RowSlots) -> list[tuple[str, str]]:
    """Everything that the choices of a row offer."""
    fields = [slot.field for slot in row.slots]
    return [pair for one in fields if isinstance(one, Choice) for pair in one.choices.items()]


def _is_called(slot: Slot) -> bool:
    """The name of a file, which comes with it."""
    return slot.row is not None and slot.row.code == "file" and isinstance(slot.field, Text)


def _is_odometer(slot: Slot) -> bool:
    return isinstance(slot.field, Odometer)


def _is_optional(slot: Slot) -> bool:
    return slot.row is not None and slot.row.optional


def _is_seldom(row: RowView, axis: Any) -> bool:
    """A row that stands ready but need not be measured, and of which nothing is typed."""
    ready = isinstance(axis, (Fixed, Conditions, Product))
    return ready and row.row.row.optional and not any(box.is_filled for box in row.boxes)


def _is_time(view: SlotView, axis: Any) -> bool:
    return isinstance(axis, Series) and view.slot.field.key == axis.time.key


def _can_be_negative(procedure: Procedure, slot: Slot, context: Context) -> bool:
    """Whether a minus sign is usual there, and not only a matter of how the leads are held."""
    entry = slot.field
    if not isinstance(entry, Quantity):
        return False
    bounds = entry.likely or entry.possible
    low, _high = bounds(context) if callable(bounds) else bounds
    by_size = any(
        limit.magnitude and column_of(limit.address) == column_of(slot.address)
        for limit in procedure.limits
    )
    return (low is None or low < 0) and not by_size


def _route_quantity(grid: Grid) -> Quantity | None:
    """What is read between two places, for a grid whose ready rows lead from place to place."""
    axis = grid.axis
    rows = axis.rows if isinstance(axis, Fixed) else ()
    if isinstance(axis, Free):
        rows = tuple(row for ready in axis.presets.values() for row in ready)
    if not rows or not all(row.end for row in rows):
        return None
    entries = fields_of(grid, rows[0])
    return entries[0] if len(entries) == 1 and isinstance(entries[0], Quantity) else None


def _limit_words(
    low: float | None, high: float | None, quantity: str, unit: str
) -> tuple[str, str]:
    """The limit left of the line, and at most or at least above it."""
    if unit not in units.QUANTITIES[quantity].units:
        return "", ""
    least, most = units.limit_texts(low, high, quantity, unit)
    if least and most:
        return f"{least}–{most}", ""
    if most:
        return most, _("at most")
    return (least, _("at least")) if least else ("", "")


def _strip(verdict: VerdictOutcome) -> str:
    if verdict.value is None:
        return ""
    value = abs(verdict.value) if verdict.low is None else verdict.value
    return chart.limit_strip(value, verdict.u, verdict.low, verdict.high, verdict.outcome)
