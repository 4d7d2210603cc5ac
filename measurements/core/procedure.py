"""The declaration of a procedure: what is measured, how, with which cautions, and how it is judged.

A procedure is data plus one pure function. Form, JSON schema, report section, command line and help
page are made from the data. All numbers in a declaration are in the stored unit of their quantity
(see `core.units`): volt, ampere, kPa, °C, mm and so on.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from measurements.core.assessment import Assessment, Figure, Sentence
    from measurements.core.context import Context
    from measurements.core.readings import Readings, RowReadings

_CODE = re.compile(r"[a-z][a-z0-9_]*\Z")

Bounds = tuple[float | None, float | None]


class DeclarationError(ValueError):
    """A procedure contradicts itself; the message names the procedure and what to mend."""

    def __init__(self, procedure: str, problem: str) -> None:
        super().__init__(f"procedure {procedure!r}: {problem}")


# --- where a limit comes from, and what to be careful of --------------------------------------


@dataclass(frozen=True)
class Source:
    """Where a limit comes from.

    tag: "S" a published standard or text, "C" common practice, "maker" the car maker's own data.
    Words for "C" are "usual" and "unusual", never "within" and "outside" (see `core.decision`).
    """

    tag: Literal["S", "C", "maker"]
    text: str
    edition: str = ""

    @property
    def words(self) -> str:
        """For a reader: "common practice", or the name of the publication with its edition."""
        return ", ".join(part for part in (self.text, self.edition) if part)


@dataclass(frozen=True)
class Caution:
    """A danger and what to do about it; shown before the first field.

    danger: a few words, printed bold; text: what to do; authority: public body or "common
    practice"; reader: "customer" when it is also printed in the report, without the authority,
    else "technician"; when: shown only if this returns true for the context (None: always);
    from_memory: the authority was named without its text at hand, and the page says so.
    """

    danger: str
    text: str
    authority: str = ""
    reader: Literal["technician", "customer"] = "technician"
    when: Callable[[Context], bool] | None = None
    from_memory: bool = False


MAKER_FIRST = Caution(
    danger="The maker's data and local rules come first.",
    text=(
        "Where they differ from this sheet, follow them; what needs a licence is for who holds it."
    ),
)
"""The last caution of every procedure."""


@dataclass(frozen=True)
class Precondition:
    """Something to tick before measuring; its address is `ready.<code>`.

    confounder: code of the procedure's confounder that holds when it is not ticked ("" for none).
    """

    code: str
    text: str
    confounder: str = ""


@dataclass(frozen=True)
class Confounder:
    """A reason why the test proves less than it seems.

    weight: how much of the evidence is left, 0 (nothing) to 1 (all of it);
    only_sound: weakens only the `sound` pattern (a bad reading still counts whole).
    """

    code: str
    text: str
    weight: float
    only_sound: bool = False


@dataclass(frozen=True)
class Effort:
    """What the test costs: minutes of work, tools by name, the car's state, and what it risks."""

    minutes: int
    tools: tuple[str, ...] = ()
    state: Literal["cold", "hot", "driving", "any"] = "any"
    risk: str = ""


# --- fields: what one box of the form takes ---------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Field:
    """One thing to enter. Use one of the kinds below.

    key: last part of the address; needed: listed as missing when it is empty;
    origin: whether it is measured, told by somebody, or read off a photo;
    finer: seldom used, so a form may fold it away.
    """

    key: str
    label: str
    help: str = ""
    needed: bool = False
    origin: Literal["measured", "told", "photo"] = "measured"
    finer: bool = False


@dataclass(frozen=True, kw_only=True)
class Quantity(Field):
    """A measured value.

    quantity: key of `core.units.QUANTITIES` ("voltage", "gauge_pressure" ...).
    possible: outside it a value is refused; likely: outside it the form asks, the value may stand.
    Both in the stored unit, bounds allowed, or a function of the context (a 24 volt lorry).
    instrument: kind of `core.instruments` whose accuracy holds; "" if none, then u is handling.
    unit: what a bare number means ("" = the shop's unit for the quantity), e.g. "mV" for ripple.
    """

    quantity: str
    possible: Bounds | Callable[[Context], Bounds]
    likely: Bounds | Callable[[Context], Bounds] | None = None
    instrument: str = ""
    unit: str = ""


@dataclass(frozen=True, kw_only=True)
class Choice(Field):
    """One of a closed list: code -> label. The code is stored, the label (or code) may be typed.

    chips: few and short enough to stand open, each a tap, instead of folded into a list.
    """

    choices: Mapping[str, str]
    default: str = ""
    chips: bool = False


@dataclass(frozen=True, kw_only=True)
class Flag(Field):
    """Yes or no; empty means not looked at, which is not the same as no."""


@dataclass(frozen=True, kw_only=True)
class Count(Field):
    """A whole number of things, from `low` to `high` inclusive."""

    low: int = 0
    high: int = 1_000_000


@dataclass(frozen=True, kw_only=True)
class Code(Field):
    """A short code that matches `pattern` whole (upper-cased before matching)."""

    pattern: str
    example: str = ""


@dataclass(frozen=True, kw_only=True)
class Date(Field):
    """A calendar day, typed as 2025-03-31."""


@dataclass(frozen=True, kw_only=True)
class Odometer(Field):
    """Distance on the car's counter, with "km" or "mi"; stored in km."""


@dataclass(frozen=True, kw_only=True)
class Text(Field):
    """Free words, at most `longest` characters.

    question: for words with a form of their own, such as a code: what to ask about them and what
    was perhaps meant ("" = no offer), or None; they stand as typed in any case.
    """

    longest: int = 200
    question: Callable[[str], tuple[str, str] | None] | None = None


@dataclass(frozen=True, kw_only=True)
class RowOf(Field):
    """One of the named rows of other grids, e.g. a pin of a connector; stored as `grid.row`.

    grids: keys of grids with a `Free` axis; their rows are offered under the grid's label and the
    name that was typed.
    """

    grids: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class QuantityBy(Field):
    """A measured value of the quantity that a given choice says; its codes are quantities.

    by: key of that choice; possible: quantity -> bounds as in `Quantity`.
    """

    by: str
    possible: Mapping[str, Bounds]

    def of(self, quantity: str) -> Quantity | None:
        """The field once the quantity is known; None for one that it does not take."""
        if quantity not in self.possible:
            return None
        return Quantity(
            key=self.key,
            label=self.label,
            help=self.help,
            needed=self.needed,
            origin=self.origin,
            finer=self.finer,
            quantity=quantity,
            possible=self.possible[quantity],
        )


@dataclass(frozen=True, kw_only=True)
class Handed(Field):
    """A file that is handed over, typed as the key under which the caller has it: the SHA-256 of
    its bytes, or on the command line its path beside the readings file."""


# --- axes: what the rows of a grid are --------------------------------------------------------


@dataclass(frozen=True)
class Row:
    """A row of a grid: `code` is the middle part of an address.

    facts: what the procedure wants to know of the row later (kind of joint, preset engine speed);
    start, end: names of the two places that a step of a route lies between (charts along a path).
    """

    code: str
    label: str
    facts: Mapping[str, Any] = field(default_factory=dict)
    optional: bool = False
    start: str = ""
    end: str = ""


@dataclass(frozen=True)
class Fixed:
    """The same rows on every car."""

    rows: tuple[Row, ...]


@dataclass(frozen=True)
class OfCar:
    """Rows taken from the car.

    `cylinders` give c1, c2 ...; `corners` fl, fr, rl, rr; `axles` front, rear; `humps` h1, h2 ...,
    as many as cylinders, in the order in which they come on a screen.
    """

    of: Literal["cylinders", "corners", "axles", "humps"]


@dataclass(frozen=True)
class Free:
    """Rows r1, r2 ... that the technician names; `named` is the key of the name's column.

    presets: rows that stand ready, by the code of the given choice field `by`; where the chosen
    code has presets, these are the rows and none can be added.
    own: keys of columns that only rows without a preset have, such as the name.
    called: what a row is called as long as it has no name.
    """

    named: str = "name"
    called: str = "step"
    own: tuple[str, ...] = ("name",)
    by: str = ""
    presets: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)
    opens: int = 2
    most: int = 24


@dataclass(frozen=True)
class Conditions:
    """Rows are working points. Each row has the condition fields beside the columns.

    A preset row's `facts` hold the conditions that are meant, {"rpm": 2000, "loads": "on"}, and
    stand until others are typed. Rows x1, x2 ... can be added.
    tolerance: how far two values of a condition may differ and still be the same point (150 rpm).
    """

    fields: tuple[Field, ...]
    presets: tuple[Row, ...]
    tolerance: Mapping[str, float] = field(default_factory=dict)
    most: int = 12


@dataclass(frozen=True)
class Series:
    """Rows s1, s2 ... in rising order of the column `time` (quantity "time", stored in seconds).

    planned: times in seconds at which a reading is asked for; more rows can be added up to `most`.
    """

    time: Quantity
    planned: tuple[float, ...]
    most: int = 60


@dataclass(frozen=True)
class Dated:
    """Rows d1, d2 ... of what happened on a day, with the odometer where it was read.

    What earlier runs on this car noted is carried along: `core.history.dated_rows` gives all rows
    of all runs in order of their days. odometer: None where distance does not matter.
    """

    date: Date = field(default_factory=lambda: Date(key="date", label="day", needed=True))
    odometer: Odometer | None = field(
        default_factory=lambda: Odometer(key="odometer", label="odometer")
    )
    opens: int = 1
    most: int = 60


@dataclass(frozen=True)
class Pairs:
    """Rows p1, p2 ... each between two rows of other grids, whose names are offered; sparse.

    `left` and `right` say which grids' rows can be chosen; these stand earlier in the procedure.
    """

    left: RowOf
    right: RowOf
    opens: int = 3
    most: int = 90


@dataclass(frozen=True)
class Product:
    """Every combination of two axes that have their own rows: each row of `first` with each of
    `second`. Codes are joined by an underscore; facts of both hold, and "first" and "second" name
    the two codes. A row is optional where either part is."""

    first: Fixed | OfCar
    second: Fixed


@dataclass(frozen=True)
class File:
    """A file of columns, such as a data log; its rows say which column of the file is what.

    rows: what a column can be, with facts {"quantity": key of a quantity} or {"quantity_by": key of
    a given choice whose codes are quantities}, {"switch": True} where it may be logged as on and
    off, and {"headings": words that stand for it} for a first guess. Each row has the fields
    `source` (heading or number of the column) and `unit`. The file itself is typed as
    `<grid>.file`, the key under which the caller gives it to `readings.validate`, with its name
    beside it as `<grid>.called`; the columns read from it are `Readings.logs[<grid>]`.
    """

    rows: tuple[Row, ...]
    file: Handed = field(default_factory=lambda: Handed(key="file", label="the file", needed=True))
    called: Text = field(
        default_factory=lambda: Text(
            key="called", label="name of the file", longest=120, origin="told"
        )
    )
    source: Text = field(
        default_factory=lambda: Text(
            key="source", label="column of the file", longest=80, needed=True
        )
    )
    unit: Text = field(default_factory=lambda: Text(key="unit", label="its unit", longest=20))


Axis = Fixed | OfCar | Free | Conditions | Series | Dated | Pairs | Product | File

COLLECTED = (Fixed, OfCar, Free, Conditions, Series, Dated, Pairs, Product, File)
"""Axis kinds that `core.readings` can collect; a procedure may use no other yet."""


@dataclass(frozen=True)
class Grid:
    """A table of readings; an address is `<grid key>.<row code>.<column key>`.

    photos: each row takes photos of its own, which are kept with the row's name as their place.
    """

    key: str
    label: str
    axis: Axis
    columns: tuple[Field, ...]
    help: str = ""
    photos: bool = False


# --- limits and patterns ----------------------------------------------------------------------


@dataclass(frozen=True)
class Span:
    """Bounds found for one reading: at least one of low and high, in the stored unit."""

    low: float | None
    high: float | None
    source: Source


@dataclass(frozen=True)
class Limit:
    """What readings at an address are held against; `*` in it stands for one part.

    Either low and/or high with `source`, or `bounds(context, readings, row)`, which returns a Span,
    or None where there is no limit for this row.
    safety: someone can be hurt beyond it, so words for "cannot tell" differ.
    magnitude: the sign only tells how the leads were held, so the size is judged.
    A limit that the technician chose for the car (`Context.limits`) goes first, unless
    maker_may_override is false.
    """

    address: str
    low: float | None = None
    high: float | None = None
    source: Source | None = None
    bounds: Callable[[Context, Readings, RowReadings | None], Span | None] | None = None
    safety: bool = False
    maker_may_override: bool = True
    magnitude: bool = False


@dataclass(frozen=True)
class Driving:
    """Driving advice that a pattern proposes for a finding; a technician decides, and signs it.

    code: how it may be driven; words: the hazard, or how, how far and watching what.
    """

    code: Literal["do_not_drive", "only_as_stated"]
    words: str


@dataclass(frozen=True)
class Pattern:
    """A named outcome of the whole test. Says what was seen, never a cause.

    code is never reused; sound: nothing unusual was seen (exactly one pattern of a list);
    direct: seen with the eye or the part's own test, not inferred; formerly: codes that it had
    before; driving: advice that it proposes, None where it gives no reason for any; weak_battery:
    other tests that were made on this battery mean little.
    """

    code: str
    label: str
    sound: bool = False
    direct: bool = False
    formerly: tuple[str, ...] = ()
    driving: Driving | None = None
    weak_battery: bool = False


UNDECIDED = Pattern("undecided", "these readings do not decide it")
"""Last pattern of every list."""


@dataclass(frozen=True)
class Formula:
    """How a computed figure comes about, for a reader: `--explain` and the help page print it.

    figure: its key, `*` in it stands for one part; text: the formula in words and signs with
    units; source: who says so ("" where it is plain arithmetic or a definition).
    """

    figure: str
    text: str
    source: str = ""

    @property
    def name(self) -> str:
        """The figure in words, out of its key: "fall rate", "left …" for each part."""
        return self.figure.replace("_", " ").replace("*", "…")


# --- the whole --------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Procedure:
    """The definition of a kind of test. `name` equals the name of its file.

    assess(readings, context) is pure: no clock, no settings, no database. sentences: id -> English
    text with {named} gaps; use `say`. not_for: a reason why it does not apply to this car, or "".
    handling_u: column key -> standard uncertainty of placing or reading the tool, stored unit.
    comparable: key of a given field -> (absolute, relative) tolerance within which two runs may be
    laid side by side; a choice must be equal. evidence_group: tests that see the same
    thing share it. needs_before, spoils: what should be done earlier, and which undone procedures
    this test makes worthless. leaves_apart: what it opens or unplugs, each an item "apart" until
    ticked back; moved: the same for what only the readings can name. battery_matters: its readings
    mean little on a weak battery. fault_shown: whether the complaint was there, "yes", "no" or
    "unknown", where the readings themselves say so and nobody needs to be asked. formulas: one for
    each figure. example: typed readings that lead to a pattern.
    maker_figures: key -> (words, quantity) of figures for which a maker gives a limit, kept at the
    address `figure.<key>`. compares: keys of the figures (`*` for a part) that two runs are
    compared by where the readings themselves depend on the set-up; empty: by the readings.
    compared_by: what two runs are compared by instead, worked out of the readings of each, where
    neither readings nor figures say it.
    """

    name: str
    title: str
    version: int
    group: str
    purpose: str
    proves_nothing_when: str
    cautions: tuple[Caution, ...]
    effort: Effort
    assess: Callable[[Readings, Context], Assessment]
    patterns: tuple[Pattern, ...]
    sentences: Mapping[str, str]
    grids: tuple[Grid, ...] = ()
    given: tuple[Field, ...] = ()
    preconditions: tuple[Precondition, ...] = ()
    confounders: tuple[Confounder, ...] = ()
    limits: tuple[Limit, ...] = ()
    handling_u: Mapping[str, float] = field(default_factory=dict)
    comparable: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    needs_before: tuple[str, ...] = ()
    spoils: tuple[str, ...] = ()
    leaves_apart: tuple[str, ...] = ()
    moved: Callable[[Readings], tuple[str, ...]] | None = None
    battery_matters: bool = False
    fault_shown: Callable[[Readings], Literal["yes", "no", "unknown"]] | None = None
    formulas: tuple[Formula, ...] = ()
    example: Mapping[str, str] = field(default_factory=dict)
    maker_figures: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    compares: tuple[str, ...] = ()
    compared_by: Callable[[Readings], Sequence[Figure]] | None = None
    evidence_group: str = ""
    not_for: Callable[[Context], str] | None = None
    next_step: Callable[[Readings, Context], tuple[tuple[str, str], ...]] | None = None

    def __post_init__(self) -> None:
        codes = [pattern.code for pattern in self.patterns]
        if len(set(codes)) != len(codes):
            raise DeclarationError(self.name, f"a pattern is listed twice in {codes}")
        if not codes or codes[-1] != "undecided":
            raise DeclarationError(self.name, "the last pattern must be UNDECIDED")
        if sum(pattern.sound for pattern in self.patterns) != 1:
            raise DeclarationError(self.name, "exactly one pattern must be marked sound")
        if not self.cautions or self.cautions[-1] is not MAKER_FIRST:
            raise DeclarationError(self.name, "the last caution must be MAKER_FIRST")
        for code in [self.name, *codes, *(grid.key for grid in self.grids), *self._field_keys()]:
            if not _CODE.match(code):
                raise DeclarationError(
                    self.name, f"{code!r} is no code: small letters, digits, underscore"
                )
        for grid in self.grids:
            if not isinstance(grid.axis, COLLECTED):
                raise DeclarationError(
                    self.name, f"grid {grid.key!r}: {type(grid.axis).__name__} is not collected yet"
                )
            if isinstance(grid.axis, Pairs):
                self._check_pairs(grid, grid.axis)
            if grid.key in ("given", "ready"):
                raise DeclarationError(self.name, f"a grid may not be called {grid.key!r}")
        known = {confounder.code for confounder in self.confounders}
        for precondition in self.preconditions:
            if precondition.confounder and precondition.confounder not in known:
                raise DeclarationError(
                    self.name, f"precondition {precondition.code!r} names an unknown confounder"
                )
        strangers = set(self.comparable) - {entry.key for entry in self.given}
        if strangers:
            raise DeclarationError(self.name, f"comparable names no given field: {strangers}")
        for limit in self.limits:
            if limit.bounds is None:
                if limit.low is None and limit.high is None:
                    raise DeclarationError(self.name, f"limit {limit.address!r} has no bound")
                if limit.source is None:
                    raise DeclarationError(self.name, f"limit {limit.address!r} has no source")
                if limit.low is not None and limit.high is not None and limit.low > limit.high:
                    raise DeclarationError(self.name, f"limit {limit.address!r}: low above high")

    def _check_pairs(self, grid: Grid, axis: Pairs) -> None:
        earlier = self.grids[: self.grids.index(grid)]
        known = {other.key for other in earlier if isinstance(other.axis, Free)}
        strangers = {*axis.left.grids, *axis.right.grids} - known
        if strangers:
            raise DeclarationError(
                self.name, f"grid {grid.key!r} pairs {sorted(strangers)}, no named rows before it"
            )

    def _field_keys(self) -> list[str]:
        keys = [entry.key for entry in self.given]
        for grid in self.grids:
            keys += [column.key for column in fields_of(grid)]
        return keys

    def pattern(self, code: str) -> Pattern:
        """The pattern with this code, or the one that was formerly called so; else undecided."""
        for pattern in self.patterns:
            if code == pattern.code or code in pattern.formerly:
                return pattern
        return self.patterns[-1]

    @property
    def sound(self) -> Pattern:
        """The pattern that means: nothing unusual was seen."""
        return next(pattern for pattern in self.patterns if pattern.sound)

    def confounder(self, code: str) -> Confounder:
        """One of its own confounders, or one of those that every test knows (`core.judging`)."""
        from measurements.core.judging import COMMON_CONFOUNDERS

        for confounder in (*self.confounders, *COMMON_CONFOUNDERS):
            if confounder.code == code:
                return confounder
        raise DeclarationError(self.name, f"unknown confounder {code!r}")

    def say(self, id: str, **params: str) -> Sentence:
        """The sentence with its gaps filled; stored as id, parameters and the English text."""
        from measurements.core.assessment import Sentence

        if id not in self.sentences:
            raise DeclarationError(self.name, f"unknown sentence {id!r}")
        return Sentence(id=id, params=dict(params), text=self.sentences[id].format(**params))

    def cautions_for(self, context: Context) -> tuple[Caution, ...]:
        """The cautions that hold for this car, in order; the last defers to the maker."""
        return tuple(c for c in self.cautions if c.when is None or c.when(context))


def fields_of(grid: Grid, row: Row | None = None) -> tuple[Field, ...]:
    """All fields of a row of the grid (without `row`: of any); the axis's own come first."""
    axis = grid.axis
    if isinstance(axis, Free) and row is not None and not row.optional:
        return tuple(column for column in grid.columns if column.key not in axis.own)
    if isinstance(axis, Conditions):
        return (*axis.fields, *grid.columns)
    if isinstance(axis, Series):
        return (axis.time, *grid.columns)
    if isinstance(axis, Dated):
        own = (axis.date,) if axis.odometer is None else (axis.date, axis.odometer)
        return (*own, *grid.columns)
    if isinstance(axis, Pairs):
        return (axis.left, axis.right, *grid.columns)
    if isinstance(axis, File):
        return (axis.source, axis.unit, *grid.columns)
    return grid.columns
