"""Data log: whether a logged value kept to its limit while the car was used, and when it did not.

A log has millions of values and hardly ever an uncertainty of its own: what counts is the level
that was *held* for a stated time, judged with the logger's accuracy (JCGM 106), and the stretches
beyond the limit, laid beside engine speed and load. How many rows make a gap, what is a low engine
speed and how much of a stretch makes "mostly" is judgement.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.assessment import (
    Also,
    Assessment,
    Figure,
    Sentence,
    Table,
    VerdictOutcome,
)
from measurements.core.context import Context
from measurements.core.decision import verdict_words
from measurements.core.judging import conclude, judge_figure
from measurements.core.logs import search
from measurements.core.logs.columns import LogColumns
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Bounds,
    Caution,
    Choice,
    Confounder,
    Effort,
    File,
    Flag,
    Formula,
    Grid,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    QuantityBy,
    Row,
    Source,
    Span,
    Text,
)
from measurements.core.readings import Readings
from measurements.core.uncertainty import rectangular, resolution

if TYPE_CHECKING:
    import numpy as np

GAP_ROWS = 5
"""Two rows further apart than so many usual steps have a gap between them."""
GAP_SHARE = 0.1
"""With more of the log missing, staying inside the limit proves little."""
LEFT_OUT_SHARE = 0.01
"""With more lines left out, the file is hardly what the logger wrote."""
LEAST_S = 1.0
"""Duration that counts where none is given: longer than a switch takes."""
LOW_RPM, HIGH_RPM, RUNNING_RPM = 1200.0, 1800.0, 400.0
MOSTLY, HARDLY = 0.8, 0.25
"""A stretch is mostly of a kind with so much of its time; elsewhere it may reach so much of that
rate."""
SEEN_ENOUGH_S = 10.0
"""Time that the other kind must have been logged, else nothing is said about it."""
LOAD_ON = 50.0
REACTION_S = 10.0
"""A person marks a moment before or after it by so much."""

BANDS_RPM = (0.0, 900.0, 1200.0, 1800.0, 2500.0, 4000.0)
MOST_BANDS = 12
LISTED = 20
SLICES = 200
DRAWN_STRETCHES = 80


@dataclass(frozen=True)
class Watched:
    """A quantity that can be watched: its name in a sentence, what is possible, the headings that
    stand for it, and what a logger typically gets wrong: per cent of the value and a fixed part."""

    name: str
    possible: Bounds
    headings: tuple[str, ...]
    percent: float
    fixed: float


WATCHED: Mapping[str, Watched] = {
    "voltage": Watched(
        "voltage", (-1000.0, 1000.0), ("volts", "voltage", "battery", "batt", "u", "v"), 1.0, 0.0
    ),
    "current": Watched(
        "current", (-3000.0, 3000.0), ("amps", "amperes", "current", "i", "a"), 3.0, 0.0
    ),
    "gauge_pressure": Watched(
        "gauge pressure", (-101.0, 400_000.0), ("pressure", "rail", "boost", "p"), 2.5, 0.0
    ),
    "absolute_pressure": Watched(
        "absolute pressure", (0.0, 400_000.0), ("pressure", "map", "manifold", "p"), 2.0, 0.0
    ),
    "temperature": Watched(
        "temperature", (-60.0, 1500.0), ("temperature", "temp", "coolant", "oil", "t"), 0.0, 2.0
    ),
    "ratio": Watched("share", (-1000.0, 1000.0), ("share", "duty", "trim", "position"), 0.0, 1.0),
    "rotation": Watched("speed of rotation", (0.0, 300_000.0), ("rpm", "speed", "n"), 0.5, 0.0),
    "resistance": Watched("resistance", (0.0, 1e9), ("ohms", "resistance", "r"), 2.0, 0.0),
    "frequency": Watched("frequency", (0.0, 1e7), ("frequency", "hertz", "f"), 0.5, 0.0),
    "flow": Watched("flow", (-1e6, 1e6), ("flow", "q"), 5.0, 0.0),
}
"""Accuracies are typical of what a car's own sensors or a plug-in logger give (common practice)."""

_POSSIBLE = {quantity: watched.possible for quantity, watched in WATCHED.items()}


# --- the log as it is judged ------------------------------------------------------------------


@dataclass(frozen=True)
class Log:
    """The watched quantity over time with what goes beside it, rows without a value left out.

    time in s; value, low, high in the stored unit; speed in rpm and load in % may be missing.
    gaps: (start, length) in s, of the whole log; span_s: from the first to the last value.
    """

    quantity: str
    system: str
    what: str
    time: np.ndarray
    value: np.ndarray
    speed: np.ndarray | None
    load: np.ndarray | None
    others: Mapping[str, np.ndarray]
    step_s: float
    gap_s: float
    gaps: tuple[tuple[float, float], ...]
    span_s: float
    least_s: float
    low: float | None
    high: float | None
    source: Source
    load_on: float
    percent: float
    fixed: float
    digit: float

    @property
    def sides(self) -> list[tuple[search.Side, float]]:
        """The limits, each with the side that lies beyond it."""
        found: list[tuple[search.Side, float]] = []
        if self.low is not None:
            found.append(("below", self.low))
        if self.high is not None:
            found.append(("above", self.high))
        return found

    @property
    def missing_s(self) -> float:
        """Seconds in gaps."""
        return sum(length for _, length in self.gaps)

    def u(self, value: float) -> float:
        """Standard uncertainty of one logged value: the logger's bound and its last digit."""
        bound = rectangular(self.percent / 100 * abs(value) + self.fixed)
        return math.hypot(bound, resolution(self.digit))

    def shown(self, value: float) -> str:
        """A value for the technician, to the last digit of the log that means something."""
        digit = max(self.digit, self.u(value) / 10)
        return units.show(value, 0.0, self.quantity, self.system, digit=digit)

    def plain(self, value: float) -> str:
        """A value for the customer, to two decimals at most."""
        unit = units.shop_unit(self.quantity, self.system)
        stored = units.QUANTITIES[self.quantity].unit
        number = abs(float(units.convert(value, self.quantity, stored, unit)))
        places = 2 if number < 10 else 1 if number < 1000 else 0
        return units.show_value(value, self.quantity, self.system, places=places)


def _log(readings: Readings, context: Context, columns: LogColumns) -> Log | None:
    """The log; None where no row has a value that counts."""
    import numpy as np

    quantity = str(readings.given("watched"))
    all_time, watched = columns.columns["time"], columns.columns["watched"]
    known = ~np.isnan(watched)
    beside: dict[str, Any] = {}
    for key in ("engine_speed", "load", "road_speed", "temperature"):
        if key in columns.columns:
            beside[key] = column = columns.columns[key]
            missing = np.isnan(column)
            if missing.any():
                own = search.usual_step(all_time[~missing])
                beside[key] = search.carried(all_time, column, GAP_ROWS * own)
    time = all_time[known]
    if not len(time):
        return None
    step = search.usual_step(time)
    gap = GAP_ROWS * step
    jumps = np.flatnonzero(np.diff(time) > gap) if gap else np.empty(0, dtype=int)
    gaps = tuple((float(time[n]), float(time[n + 1] - time[n])) for n in jumps)
    span = float(time[-1] - time[0])
    if readings.given("running_only") and "engine_speed" in beside:
        known &= beside["engine_speed"] >= RUNNING_RPM
        time = all_time[known]
    if not len(time):
        return None
    value = watched[known] if not known.all() else watched
    beside = {key: column[known] for key, column in beside.items()}
    percent, fixed = _accuracy(readings, quantity)
    return Log(
        quantity=quantity,
        system=context.units,
        what=_what(readings, quantity),
        time=time,
        value=value,
        speed=beside.pop("engine_speed", None),
        load=beside.pop("load", None),
        others=beside,
        step_s=step,
        gap_s=gap or math.inf,
        gaps=gaps,
        span_s=span,
        least_s=_least(readings),
        low=readings.given("limit_low"),
        high=readings.given("limit_high"),
        source=_source(readings),
        load_on=LOAD_ON if (found := readings.given("load_above")) is None else float(found),
        percent=percent,
        fixed=fixed,
        digit=columns.digits["watched"],
    )


def _least(readings: Readings) -> float:
    found = readings.given("least")
    return LEAST_S if found is None else float(found)


def _what(readings: Readings, quantity: str) -> str:
    """What is watched, in words for a sentence."""
    named = readings.given("named")
    return str(named).strip() if named else f"the {WATCHED[quantity].name}"


def _accuracy(readings: Readings, quantity: str) -> tuple[float, float]:
    """Per cent of the value and fixed part that bound the logger's error: given, else typical."""
    percent, fixed = readings.given("accuracy_percent"), readings.given("accuracy_fixed")
    if percent is None and fixed is None:
        return WATCHED[quantity].percent, WATCHED[quantity].fixed
    return float(percent or 0.0), float(fixed or 0.0)


def _source(readings: Readings) -> Source:
    named = str(readings.given("limit_source") or "").strip()
    given_by = readings.given("limit_from")
    if given_by == "maker":
        return Source("maker", named or "the car maker's data")
    if given_by == "standard":
        return Source("S", named or "a published standard")
    return Source("C", named or "the shop's own experience")


def edges_of(text: str) -> tuple[float, ...] | None:
    """Edges of bands of engine speed in rpm, rising; None where they can't be read.

    >>> edges_of("0, 900, 1200"), edges_of("900 to 0")
    ((0.0, 900.0, 1200.0), None)
    """
    parts = [part for part in re.split(r"[;,\s]+", text.strip()) if part]
    if not 2 <= len(parts) <= MOST_BANDS or not all(re.fullmatch(r"[0-9]{1,5}", p) for p in parts):
        return None
    edges = tuple(float(part) for part in parts)
    return edges if all(a < b for a, b in pairwise(edges)) else None


def _question_of_bands(text: str) -> tuple[str, str] | None:
    if edges_of(text) is not None:
        return None
    usual = ", ".join(f"{edge:.0f}" for edge in BANDS_RPM)
    return (
        "These are not rising whole numbers with commas between them: the usual bands are taken.",
        usual,
    )


# --- stretches beyond the limit ---------------------------------------------------------------


@dataclass(frozen=True)
class Stretches:
    """What lay beyond the limits: the long stretches, all of them in figures, and the rows of the
    long ones as a mask."""

    long: tuple[tuple[search.Side, search.Event], ...]
    count: int
    seconds: float
    longest_s: float
    rows: Any

    @property
    def short(self) -> int:
        """How many were too short to count."""
        return self.count - len(self.long)


def _stretches(log: Log) -> Stretches:
    import numpy as np

    rows = np.zeros(len(log.time), dtype=bool)
    long: list[tuple[search.Side, search.Event]] = []
    count, seconds, longest = 0, 0.0, 0.0
    for side, level in log.sides:
        every = search.beyond(log.time, log.value, level, side, log.gap_s)
        count, seconds = count + every.count, seconds + every.seconds
        longest = max(longest, every.longest_s)
        if every.longest_s < log.least_s or not every.count:
            continue
        for event in search.stretches(
            log.time, log.value, level, side, least_s=log.least_s, gap_s=log.gap_s
        ):
            rows[event.first : event.last + 1] = True
            long.append((side, event))
    long.sort(key=lambda one: one[1].start_s)
    return Stretches(tuple(long), count, seconds, longest, rows)


def _kinds(log: Log, found: Stretches) -> list[str]:
    """With what the long stretches go: patterns, the most telling first."""
    spans = search.spans_of(log.time, log.gap_s)
    kinds: list[tuple[str, Any, Any]] = []
    if log.load is not None:
        kinds.append(("beyond_with_load", log.load, log.load > log.load_on))
    if log.speed is not None:
        kinds.append(("beyond_at_low_speed", log.speed, log.speed < LOW_RPM))
        kinds.append(("beyond_at_high_speed", log.speed, log.speed >= HIGH_RPM))
    return [name for name, column, inside in kinds if _is_mostly(spans, found, column, inside)]


def _is_mostly(spans: Any, found: Stretches, column: Any, inside: Any) -> bool:
    """Whether the long stretches lie inside a kind of rows, and the others were seen and were
    good."""
    known = column == column  # not NaN
    here, elsewhere = known & inside, known & ~inside
    seen_here, seen_elsewhere = float(spans[here].sum()), float(spans[elsewhere].sum())
    beyond_here = float(spans[here & found.rows].sum())
    beyond_elsewhere = float(spans[elsewhere & found.rows].sum())
    if seen_elsewhere < SEEN_ENOUGH_S or beyond_here <= 0:
        return False
    mostly = beyond_here >= MOSTLY * (beyond_here + beyond_elsewhere)
    return mostly and beyond_elsewhere / seen_elsewhere <= HARDLY * beyond_here / seen_here


# --- the judgement ----------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """Held levels against the limit, and what the stretches beyond it go with."""
    columns = readings.logs.get("log")
    if columns is None or not readings.given("watched"):
        return _undecided(readings, context, "no_log")
    log = _log(readings, context, columns)
    if log is None:
        return _undecided(readings, context, "no_values")
    found = _stretches(log)
    figures, verdicts = _figures(log, columns, found, context)
    marks = _marks(readings, columns)
    outcomes = {verdict.outcome for verdict in verdicts if verdict.outcome != "no_limit"}
    kinds: list[str] = []
    gappy = log.missing_s > GAP_SHARE * log.span_s
    if "outside" in outcomes:
        kinds = _kinds(log, found)
        pattern = kinds[0] if kinds else "beyond_for_long"
    elif not outcomes or "cannot_tell" in outcomes:
        pattern = "undecided"
    elif found.count:
        pattern = "short_dips_only"
    else:
        pattern = "gaps_in_log" if gappy else "stays_inside"
    also = [*kinds[1:]]
    if gappy and pattern not in ("gaps_in_log", "undecided"):
        also.append("gaps_in_log")
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=pattern,
        also=[Also(code) for code in also],
        figures=figures,
        verdicts=verdicts,
        confounders=_confounders(log, columns, found, marks, context),
        tables=_tables(readings, log, columns, found),
        customer=_customer(pattern, log, found, kinds),
        technician=_technician(pattern, log, columns, found, verdicts, marks, readings),
        chart=_chart(log, found),
    )


def _undecided(readings: Readings, context: Context, why: str) -> Assessment:
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern="undecided",
        customer=(PROCEDURE.say("customer.nothing"),),
        technician=(PROCEDURE.say(why),),
    )


def _figures(
    log: Log, columns: LogColumns, found: Stretches, context: Context
) -> tuple[list[Figure], list[VerdictOutcome]]:
    import numpy as np

    quantity, value = log.quantity, log.value
    figures = [
        Figure("duration", "length of the log", "time", log.span_s),
        Figure("rows", "rows read", "count", float(columns.rows)),
        Figure("left_out", "lines left out", "count", float(columns.bad_count)),
        Figure("step", "usual time from row to row", "time", log.step_s),
        Figure("gaps", "gaps", "count", float(len(log.gaps))),
        Figure("gap_time", "time in gaps", "time", log.missing_s),
    ]
    for key, label, number in (
        ("least", "lowest value", float(value.min())),
        ("middle", "middle value (median)", float(np.median(value))),
        ("most", "highest value", float(value.max())),
    ):
        figures.append(Figure(key, label, quantity, number, log.u(number)))
    verdicts = []
    sides: tuple[tuple[search.Side, str, str, Span | None], ...] = (
        (
            "below",
            "held_low",
            "lowest level held",
            None if log.low is None else Span(log.low, None, log.source),
        ),
        (
            "above",
            "held_high",
            "highest level held",
            None if log.high is None else Span(None, log.high, log.source),
        ),
    )
    # A limit kept for the car may be of another quantity than this log: those given here count.
    without = replace(context, limits=())
    for side, key, label, span in sides:
        level = search.held(log.time, value, side, log.least_s, log.gap_s)
        figure = (
            Figure(key, label, quantity, None, absent_because="the log is nowhere long enough")
            if level is None
            else Figure(key, label, quantity, level, log.u(level))
        )
        figures.append(figure)
        verdicts.append(judge_figure(PROCEDURE, figure, without, span))
    if log.sides:
        figures += [
            Figure("beyond_count", "stretches beyond the limit", "count", float(found.count)),
            Figure("beyond_long", "of these long enough to count", "count", float(len(found.long))),
            Figure("beyond_time", "time beyond the limit", "time", found.seconds),
            Figure("longest", "longest stretch beyond the limit", "time", found.longest_s),
        ]
    return figures, verdicts


# --- marks and confounders --------------------------------------------------------------------


def _marks(readings: Readings, columns: LogColumns) -> list[float]:
    """When somebody marked the complaint: seconds from the start of the log."""
    import numpy as np

    found = []
    noticed = readings.given("noticed_at")
    if noticed is not None:
        found.append(float(noticed))
    if "marker" in columns.columns:
        pressed = columns.columns["marker"] > LOAD_ON
        begins = pressed.copy()
        begins[1:] &= ~pressed[:-1]
        found += [float(columns.columns["time"][n]) for n in np.flatnonzero(begins)[:LISTED]]
    return sorted(found)


def _near(mark: float, found: Stretches) -> bool:
    return any(
        event.start_s - REACTION_S <= mark <= event.start_s + event.seconds + REACTION_S
        for _, event in found.long
    )


def _confounders(
    log: Log, columns: LogColumns, found: Stretches, marks: Sequence[float], context: Context
) -> list[str]:
    weak = []
    if not marks and context.fault_present != "no":
        weak.append("no_marker")
    if marks and found.long and not any(_near(mark, found) for mark in marks):
        weak.append("marker_elsewhere")
    if log.step_s > log.least_s / 2:
        weak.append("sampled_slowly")
    if columns.bad_count > LEFT_OUT_SHARE * (columns.rows + columns.bad_count):
        weak.append("lines_left_out")
    return weak


# --- tables -----------------------------------------------------------------------------------


def _moment(seconds: float) -> str:
    """Time since the start: 1:04.5, or 1:02:03 from an hour on.

    >>> _moment(64.5), _moment(3723), _moment(59.96)
    ('1:04.5', '1:02:03', '1:00.0')
    """
    if seconds >= 3600:
        whole = round(seconds)
        return f"{whole // 3600}:{whole // 60 % 60:02}:{whole % 60:02}"
    tenths = round(seconds * 10)
    return f"{tenths // 600}:{tenths // 10 % 60:02}.{tenths % 10}"


def _long(seconds: float) -> str:
    """A duration in the unit in which people say it."""
    for unit, many in (("h", 7200.0), ("min", 120.0)):
        if seconds >= many:
            return units.show_value(seconds, "time", places=1, unit=unit)
    places = 2 if seconds < 1 else 1 if seconds < 20 else 0
    return units.show_value(round(seconds, places), "time", unit="s")


def _tables(
    readings: Readings, log: Log, columns: LogColumns, found: Stretches
) -> tuple[Table, ...]:
    tables = [_table_of_columns(readings, columns)]
    if found.long:
        tables.append(_table_of_stretches(log, found))
    tables.append(_table_of_bands(readings, log, found))
    if log.gaps:
        rows = tuple((_moment(start), _long(length)) for start, length in log.gaps[:LISTED])
        tables.append(Table(_titled("Gaps", len(log.gaps)), ("from", "for"), rows))
    if columns.bad_count:
        rows = tuple((str(one.line), one.why) for one in columns.bad)
        title = _titled("Lines left out", columns.bad_count)
        tables.append(Table(title, ("line", "why"), rows))
    return tuple(tables)


def _titled(title: str, count: int) -> str:
    return f"{title}: {count}" if count <= LISTED else f"{title}: the first {LISTED} of {count}"


def _table_of_columns(readings: Readings, columns: LogColumns) -> Table:
    name = str(readings.value("log.called") or "").strip()
    rows = []
    for row in readings.rows("log"):
        if row.code in columns.columns:
            unit = columns.units.get(row.code, "") or "time of day"
            rows.append((row.label, str(row.value("source")), unit))
    title = f"Read from {name}" if name else "Columns that were read"
    return Table(title, ("what", "column of the file", "unit there"), tuple(rows))


def _table_of_stretches(log: Log, found: Stretches) -> Table:
    import numpy as np

    beside: list[tuple[str, Any, Any]] = []
    if log.speed is not None:
        beside.append(("engine speed", log.speed, _middle("rotation", log.system)))
    if log.load is not None:
        beside.append(("load", log.load, lambda part: _load_words(part, log.load_on)))
    for key, label, quantity in (
        ("road_speed", "road speed", "speed"),
        ("temperature", "temperature", "temperature"),
    ):
        if key in log.others:
            beside.append((label, log.others[key], _middle(quantity, log.system)))
    rows = []
    for _side, event in found.long[:LISTED]:
        cells = [_moment(event.start_s), _long(event.seconds), log.shown(event.worst)]
        for _label, column, words in beside:
            part = column[event.first : event.last + 1]
            part = part[~np.isnan(part)]
            cells.append(words(part) if len(part) else "not known")
        rows.append(tuple(cells))
    head = ("from", "for", "worst", *(label for label, _, _ in beside))
    return Table(_titled("Stretches beyond the limit", len(found.long)), head, tuple(rows))


def _middle(quantity: str, system: str) -> Any:
    """Words for the middle of some values."""
    import numpy as np

    return lambda part: units.show_value(float(np.median(part)), quantity, system, places=0)


def _load_words(part: Any, load_on: float) -> str:
    share = float((part > load_on).mean())
    if share in (0.0, 1.0):
        return "on" if share else "off"
    return f"on for {units.show_value(100 * share, 'ratio', places=0)} of it"


def _table_of_bands(readings: Readings, log: Log, found: Stretches) -> Table:
    """Values by engine speed and load; one row for the whole where neither was logged."""
    import numpy as np

    spans = search.spans_of(log.time, log.gap_s)
    edges: tuple[float, ...] = (-math.inf, math.inf)
    by = np.zeros(len(log.time))
    if log.speed is not None:
        typed = readings.given("bands")
        edges = (*((edges_of(str(typed)) if typed else None) or BANDS_RPM), math.inf)
        by = log.speed
    states: list[tuple[str, Any]] = [("", np.ones(len(log.time), dtype=bool))]
    if log.load is not None:
        states = [("off", log.load <= log.load_on), ("on", log.load > log.load_on)]
    rows = []
    for words, rows_of in states:
        value = np.where(rows_of, log.value, np.nan)
        for band in search.bands(log.time, value, by, edges, log.gap_s):
            inside = rows_of & (by >= band.low) & (by < band.high) & found.rows
            cells = [_band_words(band.low, band.high)] if log.speed is not None else []
            cells += [words] if log.load is not None else []
            cells += [_long(band.seconds)]
            cells += [log.shown(number) for number in (band.least, band.middle, band.most)]
            if log.sides:
                beyond = float(spans[inside].sum())
                cells.append(_long(beyond) if beyond else "none")
            rows.append(tuple(cells))
    head = ["engine speed"] if log.speed is not None else []
    head += ["load"] if log.load is not None else []
    head += ["time", "lowest", "middle", "highest"]
    head += ["beyond for long"] if log.sides else []
    kinds = [("engine speed", log.speed), ("load", log.load)]
    named = [words for words, column in kinds if column is not None]
    title = "By {}".format(" and ".join(named)) if named else "The whole log"
    return Table(title, tuple(head), tuple(rows))


def _band_words(low: float, high: float) -> str:
    if math.isinf(high):
        return f"{units.show_value(low, 'rotation')} and above"
    return f"{low:.0f} to {units.show_value(high, 'rotation')}"


# --- sentences --------------------------------------------------------------------------------


def _limit_words(log: Log, plain: bool = False) -> str:
    show = log.plain if plain else log.shown
    low, high = (None if bound is None else show(bound) for bound in (log.low, log.high))
    if low and high:
        return f"{low} to {high}"
    return f"at least {low}" if low else f"at most {high}"


def _worst(found: Stretches, log: Log) -> float:
    """The value farthest beyond its limit in a stretch that counts."""

    def beyond(one: tuple[search.Side, search.Event]) -> float:
        side, event = one
        level = log.low if side == "below" else log.high
        return abs(event.worst - (level or 0.0))

    return max(found.long, key=beyond)[1].worst


def _customer(
    pattern: str, log: Log, found: Stretches, kinds: Sequence[str]
) -> tuple[Sentence, ...]:
    say = PROCEDURE.say
    said = [say("customer.made", what=log.what, time=_long(log.span_s))]
    if not log.sides:
        return (*said, say("customer.no_limit"))
    limit = {"limit": _limit_words(log, plain=True)}
    key = f"customer.limit_{log.source.tag.lower()}"
    said.append(say(key, **limit))
    facts = {"least": _long(log.least_s)}
    if pattern.startswith("beyond"):
        longest = max(event.seconds for _, event in found.long)
        said.append(
            say(
                "customer.beyond",
                count=str(len(found.long)),
                longest=_long(longest),
                worst=log.plain(_worst(found, log)),
                **facts,
            )
        )
        said += [say(f"customer.{kind}") for kind in kinds]
    elif pattern == "short_dips_only":
        said.append(say("customer.short", **facts))
    elif pattern == "gaps_in_log":
        said.append(say("customer.gaps", time=_long(log.missing_s)))
    elif pattern == "stays_inside":
        said.append(say("customer.inside"))
    else:
        said.append(say("customer.undecided"))
    return tuple(said)


def _technician(
    pattern: str,
    log: Log,
    columns: LogColumns,
    found: Stretches,
    verdicts: Sequence[VerdictOutcome],
    marks: Sequence[float],
    readings: Readings,
) -> tuple[Sentence, ...]:
    say = PROCEDURE.say
    said = [
        say(
            "read",
            rows=f"{columns.rows:,}".replace(",", "\u202f"),
            time=_long(log.span_s),
            step=_long(log.step_s),
        )
    ]
    if columns.bad_count:
        said.append(say("left_out", count=str(columns.bad_count)))
    for verdict in verdicts:
        if verdict.value is None:
            if verdict.address == "figure.held_low":
                said.append(say("too_short", least=_long(log.least_s)))
            continue
        if verdict.outcome == "no_limit":
            continue
        side = "below" if verdict.address == "figure.held_low" else "above"
        said.append(
            say(
                f"held_{side}",
                what=log.what,
                value=units.show(verdict.value, verdict.u, log.quantity, log.system),
                least=_long(log.least_s),
                words=verdict_words(verdict, log.system),
            )
        )
    if not log.sides:
        said.append(say("no_limit"))
    if readings.given("accuracy_percent") is None and readings.given("accuracy_fixed") is None:
        said.append(say("typical", bound=_bound_words(log)))
    if found.long:
        said.append(
            say(
                "beyond",
                count=str(len(found.long)),
                time=_long(sum(event.seconds for _, event in found.long)),
                longest=_long(found.longest_s),
                worst=log.shown(_worst(found, log)),
            )
        )
    if found.short:
        said.append(say("short", count=str(found.short), least=_long(log.least_s)))
    if log.gaps:
        said.append(say("gaps", count=str(len(log.gaps)), time=_long(log.missing_s)))
    for mark in marks[:3]:
        if log.sides:
            said.append(say("mark_near" if _near(mark, found) else "mark_far", at=_moment(mark)))
    if f"next.{pattern}" in PROCEDURE.sentences:
        said.append(say(f"next.{pattern}"))
    return tuple(said)


def _bound_words(log: Log) -> str:
    """The logger's bound: "1 % of the value" or "2 °C"."""
    if log.fixed:
        wide = units.convert_width(
            log.fixed,
            log.quantity,
            units.QUANTITIES[log.quantity].unit,
            units.shop_unit(log.quantity, log.system),
        )
        return f"{float(wide):g}\u00a0{units.shop_unit(log.quantity, log.system)}"
    return f"{log.percent:g}\u00a0% of the value"


# --- chart ------------------------------------------------------------------------------------


def _chart(log: Log, found: Stretches) -> dict[str, Any]:
    unit = units.shop_unit(log.quantity, log.system)
    stored = units.QUANTITIES[log.quantity].unit
    factor = float(units.convert_width(1.0, log.quantity, stored, unit))
    offset = float(units.convert(0.0, log.quantity, stored, unit))
    apart = log.gap_s if math.isfinite(log.gap_s) else 0.0
    per, time_unit = (60.0, "min") if log.time[-1] >= 180 else (1.0, "s")

    def drawn(slices: Sequence[tuple[float, float, float]], by: float, plus: float) -> list[Any]:
        return [
            [_rounded(t / per), _rounded(least * by + plus), _rounded(most * by + plus)]
            for t, least, most in slices
        ]

    data: dict[str, Any] = {
        "kind": "trace",
        "x": {"label": "time", "unit": time_unit},
        "y": {"label": log.what, "unit": unit},
        "gap": _rounded(max(apart, 1.6 * float(log.time[-1] - log.time[0]) / SLICES) / per),
        "points": drawn(search.envelope(log.time, log.value, SLICES), factor, offset),
        "limits": [
            {
                "value": _rounded(level * factor + offset),
                "beyond": side,
                "label": f"limit {_rounded(level * factor + offset):g} {unit}",
            }
            for side, level in log.sides
        ],
        "stretches": [
            [_rounded(event.start_s / per), _rounded((event.start_s + event.seconds) / per)]
            for _, event in sorted(found.long, key=lambda one: -one[1].seconds)[:DRAWN_STRETCHES]
        ],
    }
    if log.speed is not None:
        data["speed"] = drawn(search.envelope(log.time, log.speed, SLICES), 1.0, 0.0)
        data["speed_label"] = "engine speed, rpm"
    about = {
        "what": log.what,
        "low": log.shown(float(log.value.min())),
        "high": log.shown(float(log.value.max())),
        "time": _long(log.span_s),
    }
    key = "chart.beyond" if found.long else "chart.within" if log.sides else "chart.plain"
    count = {"count": str(len(found.long))} if found.long else {}
    data["title"] = PROCEDURE.say(key, **about, **count).text
    return data


def _rounded(value: float) -> float:
    """As exact as a drawing needs."""
    return float(f"{value:.5g}")


# --- declaration ------------------------------------------------------------------------------

PROCEDURE = Procedure(
    name="data_log",
    title="Data log",
    version=1,
    group="Control units",
    purpose="Shows whether a logged value kept to its limit while the car was used, for how long "
    "it did not, and with which engine speed and load that went.",
    proves_nothing_when="the complaint did not happen while it was logged, or the logger asks too "
    "seldom for what is looked for.",
    cautions=(
        Caution(
            "The driver only drives.",
            "A second person watches the logger, or it is looked at when the car stands. Route, "
            "distance and insurance are agreed beforehand; the speed limit holds.",
            "common practice; local rules",
        ),
        Caution(
            "Nothing loose near pedals, belts and fans.",
            "Logger and leads are tied down, clear of pedals, steering, air bags, exhaust and all "
            "that turns; electric fans start by themselves.",
            "OSHA 29 CFR 1910.212, 1910.219; common practice",
            from_memory=True,
        ),
        Caution(
            "Exhaust gas kills indoors.",
            "Let the engine run outside, or with the exhaust led out.",
            "NIOSH; OSHA 29 CFR 1910.1000",
            from_memory=True,
        ),
        Caution(
            "Only fused leads, and none on high voltage, air bags or their plugs.",
            "Tap a circuit at a test point through a fuse or from behind the plug; nothing "
            "pierced. What carries high voltage is logged by the maker's own connection only.",
            "maker's instructions; common practice",
        ),
        Caution(
            "A logger may wake or empty the car.",
            "Left connected it may keep control units awake; do not leave it on overnight without "
            "knowing what it draws.",
            "common practice",
        ),
        Caution(
            "We drive and log your car only with your yes.",
            "If a red lamp, smoke, heavy steering or bad brakes appear on your own drive, stop and "
            "call us; do not watch the logger while you drive.",
            "common practice",
            "customer",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "untouched", "Logging began before anything was unplugged, wiggled or deleted.", ""
        ),
        Precondition(
            "compared",
            "One value of the log was compared with a meter at the part itself.",
            "not_compared",
        ),
    ),
    effort=Effort(
        minutes=20,
        tools=("data logger, or a reader that writes its values as CSV",),
        risk="Leads near moving parts.",
    ),
    given=(
        Choice(
            key="watched",
            label="What is watched",
            needed=True,
            choices={quantity: f"a {watched.name}" for quantity, watched in WATCHED.items()}
            | {"absolute_pressure": "an absolute pressure"},
        ),
        Text(
            key="named",
            label="What exactly, in words",
            longest=60,
            help="As it shall read in a sentence: the voltage at the battery.",
        ),
        QuantityBy(
            key="limit_low",
            label="Lower limit",
            by="watched",
            possible=_POSSIBLE,
            origin="told",
            help="Without a limit there are statistics and no verdict.",
        ),
        QuantityBy(
            key="limit_high", label="Upper limit", by="watched", possible=_POSSIBLE, origin="told"
        ),
        Choice(
            key="limit_from",
            label="Whose limit it is",
            choices={
                "maker": "the car maker's",
                "standard": "a published standard's",
                "own": "our own",
            },
        ),
        Text(key="limit_source", label="Where the limit stands", longest=120, origin="told"),
        Quantity(
            key="least",
            label="Shortest time beyond it that counts",
            quantity="time",
            possible=(0.0, 86_400.0),
            likely=(0.05, 600.0),
            origin="told",
            help="Left empty, 1 s is taken.",
        ),
        Flag(
            key="running_only",
            label="Judge only while the engine turns?",
            help="Needs the engine speed; above 400 rpm counts.",
        ),
        Text(
            key="bands",
            label="Edges of the bands of engine speed, rpm",
            longest=80,
            finer=True,
            question=_question_of_bands,
            help="Left empty: 0, 900, 1200, 1800, 2500, 4000.",
        ),
        Quantity(
            key="load_above",
            label="Load counts as on above",
            quantity="ratio",
            possible=(0.0, 100.0),
            origin="told",
            finer=True,
            help="Left empty, 50 % is taken.",
        ),
        Quantity(
            key="accuracy_percent",
            label="Logger's accuracy: ± per cent of the value",
            quantity="ratio",
            possible=(0.0, 50.0),
            likely=(0.01, 10.0),
            origin="told",
            finer=True,
            help="As its data sheet says. Without any, what is typical is taken, and said.",
        ),
        QuantityBy(
            key="accuracy_fixed",
            label="Logger's accuracy: ± fixed part",
            by="watched",
            possible={quantity: (0.0, bounds[1]) for quantity, bounds in _POSSIBLE.items()},
            origin="told",
            finer=True,
        ),
        Quantity(
            key="noticed_at",
            label="Complaint noticed so long after the start of the log",
            quantity="time",
            possible=(0.0, 10_000_000.0),
            finer=True,
        ),
    ),
    grids=(
        Grid(
            "log",
            "The log",
            File(
                (
                    Row(
                        "time",
                        "time",
                        {
                            "quantity": "time",
                            "headings": ("time", "t", "elapsed", "seconds", "timestamp", "clock"),
                        },
                    ),
                    Row(
                        "watched",
                        "what is watched",
                        {
                            "quantity_by": "watched",
                            "by_unit": True,
                            "headings": {q: watched.headings for q, watched in WATCHED.items()},
                        },
                    ),
                    Row(
                        "engine_speed",
                        "engine speed",
                        {
                            "quantity": "rotation",
                            "by_unit": True,
                            "headings": ("rpm", "engine speed", "engine rpm", "n"),
                        },
                        optional=True,
                    ),
                    Row(
                        "road_speed",
                        "road speed",
                        {
                            "quantity": "speed",
                            "by_unit": True,
                            "headings": ("speed", "road speed", "vehicle speed", "km/h", "mph"),
                        },
                        optional=True,
                    ),
                    Row(
                        "load",
                        "load",
                        {
                            "quantity": "ratio",
                            "switch": True,
                            "headings": ("load", "engine load", "loads", "lights", "fan", "heater"),
                        },
                        optional=True,
                    ),
                    Row(
                        "temperature",
                        "temperature beside it",
                        {
                            "quantity": "temperature",
                            "by_unit": True,
                            "headings": ("temperature", "temp", "coolant", "coolant temperature"),
                        },
                        optional=True,
                    ),
                    Row(
                        "marker",
                        "marker of the complaint",
                        {
                            "quantity": "ratio",
                            "switch": True,
                            "headings": ("marker", "event", "mark", "button", "trigger"),
                        },
                        optional=True,
                    ),
                )
            ),
            (),
            help="A CSV or text file of columns with a heading above each.",
        ),
    ),
    patterns=(
        Pattern("stays_inside", "stays inside its limit", sound=True),
        Pattern("beyond_with_load", "beyond its limit for long, mostly with the load on"),
        Pattern("beyond_at_low_speed", "beyond its limit for long, mostly at low engine speed"),
        Pattern("beyond_at_high_speed", "beyond its limit for long, mostly at high engine speed"),
        Pattern("beyond_for_long", "beyond its limit for long"),
        Pattern("short_dips_only", "beyond its limit only for moments"),
        Pattern("gaps_in_log", "too much of the log is missing"),
        UNDECIDED,
    ),
    confounders=(
        Confounder("not_compared", "No value of the log was compared with a meter.", 0.7),
        Confounder("no_marker", "Nothing in the log marks when the complaint happened.", 0.7),
        Confounder(
            "marker_elsewhere", "The complaint was marked away from the stretches that count.", 0.3
        ),
        Confounder(
            "sampled_slowly",
            "The logger asked too seldom for the time that counts: what is as short as that may be "
            "missed, or look longer than it was.",
            0.5,
        ),
        Confounder("lines_left_out", "More than one line in a hundred could not be read.", 0.7),
    ),
    needs_before=("trouble_codes",),
    leaves_apart=("data logger connected",),
    formulas=(
        Formula("duration", "last time with a value − first time with one, s"),
        Formula("rows", "lines with all wanted columns and a time after the line above"),
        Formula("left_out", "lines that could not be read or whose time does not rise"),
        Formula("step", "median of the times from row to row, s"),
        Formula("gaps", "places where two rows are more than 5 usual steps apart"),
        Formula("gap_time", "sum of these times, s"),
        Formula("least", "smallest value that was read"),
        Formula("middle", "median of the values that were read"),
        Formula("most", "largest value that was read"),
        Formula(
            "held_low",
            "lowest level L so that the value stayed at or below L for the time that counts; "
            "u = √((a/√3)² + (d/√12)²), a: the logger's bound, d: its last digit",
            "JCGM 100:2008, 4.3.7 and F.2.2.1",
        ),
        Formula(
            "held_high",
            "highest level L so that the value stayed at or above L for the time that counts; u as "
            "for the lowest",
            "JCGM 100:2008, 4.3.7 and F.2.2.1",
        ),
        Formula("beyond_count", "runs of rows beyond the limit; a gap ends a run"),
        Formula("beyond_long", "runs that last for the time that counts or longer"),
        Formula("beyond_time", "sum of all runs, each to the first row no longer beyond, s"),
        Formula("longest", "longest of these runs, s"),
    ),
    example={
        "given.watched": "voltage",
        "given.named": "the voltage at the battery",
        "given.limit_low": "13.2 V",
        "given.limit_from": "our own",
        "given.least": "2 s",
        "log.file": "low_at_idle.csv",
        "log.time.source": "time",
        "log.time.unit": "s",
        "log.watched.source": "battery",
        "log.watched.unit": "V",
        "log.engine_speed.source": "engine speed",
        "log.engine_speed.unit": "rpm",
    },
    comparable={"watched": (0.0, 0.0), "least": (0.0, 0.01)},
    compares=("held_low", "held_high", "middle"),
    evidence_group="logged",
    assess=assess,
    sentences={
        # customer
        "customer.made": "We logged {what} over {time}.",
        "customer.nothing": "The log could not be judged; it has to be made again.",
        "customer.no_limit": "No limit is known for it, so this log shows what it did and judges "
        "nothing.",
        "customer.limit_maker": "The car maker's limit is {limit}.",
        "customer.limit_s": "The published limit is {limit}.",
        "customer.limit_c": "By our own experience {limit} is usual.",
        "customer.beyond": "It lay beyond that for longer than a moment, {longest} at the longest "
        "(stretches of {least} or more: {count}); the value farthest beyond was {worst}.",
        "customer.beyond_with_load": "That was mostly while something was switched on or working "
        "hard.",
        "customer.beyond_at_low_speed": "That was mostly with the engine turning slowly.",
        "customer.beyond_at_high_speed": "That was mostly with the engine turning fast.",
        "customer.short": "It went beyond that only for moments, each shorter than {least}.",
        "customer.gaps": "What was logged stayed inside, but {time} of the log are missing.",
        "customer.inside": "It stayed inside for all of that time. What happens seldom may not "
        "have happened then.",
        "customer.undecided": "What was logged is too close to the limit, or too short, to say on "
        "which side it lies.",
        # technician
        "read": "{rows} rows over {time}, one each {step}.",
        "left_out": "{count} lines left out; see the list.",
        "no_log": "No log was read: choose the file, say what is watched, and which columns hold "
        "the time and it.",
        "no_values": "Not one row of the watched column has a value that counts.",
        "too_short": "The log is nowhere {least} long without a gap.",
        "no_limit": "No limit was given: statistics only.",
        "typical": "The logger's accuracy was not given; {bound} was taken, as is typical.",
        "held_below": "For {least} on end {what} was at or below {value}: {words}.",
        "held_above": "For {least} on end {what} was at or above {value}: {words}.",
        "beyond": "Stretches that count: {count}, {time} in all, the longest {longest}, the worst "
        "value {worst}.",
        "short": "Shorter than {least}: {count} more.",
        "gaps": "Gaps: {count}, {time} in all; what happened in them was not seen.",
        "mark_near": "The mark at {at} lies at a stretch that counts.",
        "mark_far": "The mark at {at} lies at no stretch that counts.",
        "next.beyond_with_load": "Measure at the part itself with the load on and off before "
        "anything is changed: the log may see the path, not the part.",
        "next.beyond_at_low_speed": "Measure at the part itself at idle and at raised speed before "
        "anything is changed.",
        "next.beyond_at_high_speed": "Measure at the part itself at the speed of the table, the "
        "car standing, before anything is changed.",
        "next.beyond_for_long": "It goes with neither speed nor load as logged: log temperature or "
        "vibration beside it, or measure at the part itself.",
        "next.short_dips_only": "Log faster, or count shorter times, if the complaint is as short "
        "as that.",
        "next.gaps_in_log": "Log again with fewer channels, so that the logger keeps up.",
        "next.stays_inside": "Only what was logged is answered, at the place where it was tapped.",
        # chart
        "chart.beyond": "{what} from {low} to {high} over {time}; stretches beyond the limit: "
        "{count}.",
        "chart.within": "{what} from {low} to {high} over {time}; no stretch beyond the limit "
        "counts.",
        "chart.plain": "{what} from {low} to {high} over {time}.",
    },
)
