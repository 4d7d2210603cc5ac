"""Coolant use: how much goes missing over distance, whether it gets worse, what of it is explained.

Balance of a stretch: fall of the level + added − drained on purpose; unexplained is that less what
was caught outside. What is usual, fast, or too short to judge is common practice; nobody publishes
it. Entries of earlier tests on the car come along (`core.history`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Any

from measurements.core.assessment import (
    Also,
    Assessment,
    Figure,
    Sentence,
    Table,
    VerdictOutcome,
)
from measurements.core.context import Context
from measurements.core.decision import decide, verdict_words
from measurements.core.history import DatedRow, dated_rows
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Count,
    Dated,
    Driving,
    Effort,
    Formula,
    Grid,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Source,
    Span,
)
from measurements.core.readings import Readings
from measurements.core.uncertainty import rectangular
from measurements.core.units import show, show_value

USUAL_L = 0.05
"""Per 1000 km: some ten millilitres go through the hoses of a sound car (common practice)."""

FAST_L = 0.5
"""Per 1000 km: from upper to lower mark within about as much (common practice)."""

LEAST_KM, LEAST_DAYS = 100.0, 7
"""Over less nothing is worked out per 1000 km or per 30 days (judgement)."""

FEW_DRIVES = 5
"""So long air may still leave a system that was filled anew (common practice)."""

LEVEL_TOLD_L = 0.15
"""How far off a level may be that was only told, or not read (judgement)."""

TOLD_SHARE = 0.15
"""Standard uncertainty of an amount that was only told, as a share (judgement)."""

ODOMETER_SHARE = 0.02
"""How far off a car's odometer may be (common practice)."""

ODOMETER_TOLD_KM = 100.0
"""How far off an odometer reading may be that was only told (judgement)."""

LONGEST_KM = 5000.0
"""Nobody is sent away for longer to make a figure clearer (judgement)."""

_USUAL = Source("C", "common practice: some ten millilitres in 1000 km are ordinary")


def lost(level_drop: Any, added: Any, drained: Any) -> Any:
    """What went missing: fall of the level + added − drained on purpose, all in one unit.

    >>> lost(300, 500, 0), lost(-50, 900, 200)
    (800, 650)
    """
    return level_drop + added - drained


def per(amount: Any, span: Any, unit: float) -> Any:
    """An amount per so much of a span: litres over km per 1000 km, or over days per 30 days.

    >>> per(650, 800, 1000)
    812.5
    """
    return amount / (span / unit)


# --- the balance ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Entry:
    """One day's entry. lost, caught: litres since the first entry, with their doubt; km: odometer
    as read; told: nobody of the shop measured it."""

    dated: DatedRow
    day: date
    km: Any
    lost: Any
    caught: Any
    told: bool

    def days_since(self, first: Entry) -> int:
        """Whole days from another entry on."""
        return (self.day - first.day).days


@dataclass(frozen=True)
class Basis:
    """What losses are laid over. entries: those that can be; spans: since the first of them, km or
    days; unit: 1000 km or 30 days; key: of the figure."""

    entries: tuple[Entry, ...]
    spans: tuple[Any, ...]
    unit: float
    least: float
    key: str

    @property
    def by_distance(self) -> bool:
        """By kilometres, not by days."""
        return self.key == "per_1000"

    def rate(self, first: int, last: int, *, unexplained: bool = False) -> Any:
        """Litres per unit between two entries."""
        start, end = self.entries[first], self.entries[last]
        amount: Any = end.lost - start.lost
        if unexplained:
            amount = amount - (end.caught - start.caught)
        return per(amount, self.spans[last] - self.spans[first], self.unit)

    def long_enough(self, first: int, last: int) -> bool:
        """The stretch between two entries can be judged."""
        return _value(self.spans[last] - self.spans[first]) >= self.least

    @property
    def turn(self) -> int | None:
        """Where the last stretch begins: the latest entry with enough before and after it."""
        last = len(self.entries) - 1
        for place in range(last - 1, 0, -1):
            if self.long_enough(place, last) and self.long_enough(0, place):
                return place
        return None


def _value(number: Any) -> float:
    return float(getattr(number, "nominal_value", number))


def _u(number: Any) -> float:
    return float(getattr(number, "std_dev", 0.0))


def _clearly_above(number: Any, floor: float = 0.0) -> bool:
    """Above a value by more than its own doubt (k = 2)."""
    return _value(number) - 2 * _u(number) > floor


def _is_told(dated: DatedRow) -> bool:
    return dated.row.value("origin") != "measured"


def _amount(dated: DatedRow, column: str) -> Any:
    """Litres with their doubt; nought where nothing was entered, None where it has no number."""
    from uncertainties import ufloat

    if dated.row.get(column) is None:
        return 0.0
    read = dated.row.uncertain(column)
    if read is None or not read.nominal_value or not _is_told(dated):
        return read
    return read + ufloat(0.0, TOLD_SHARE * abs(read.nominal_value))


def _level(dated: DatedRow) -> Any:
    """Litres above the mark; at the mark, with a wide doubt, where it was not read."""
    from uncertainties import ufloat

    wide = ufloat(0.0, rectangular(LEVEL_TOLD_L))
    if dated.row.get("level") is None:
        return wide
    read = dated.row.uncertain("level")
    return read if read is None or not _is_told(dated) else read + wide


def _entries(readings: Readings, context: Context) -> tuple[list[Entry], bool]:
    """All entries of this and earlier tests by day, and whether an amount is not known."""
    from uncertainties import ufloat

    found: list[Entry] = []
    first_level: Any = None
    added: Any = 0.0
    drained: Any = 0.0
    caught: Any = 0.0
    gain = ufloat(1.0, rectangular(ODOMETER_SHARE))
    for dated in dated_rows(PROCEDURE, "days", readings, context):
        level = _level(dated)
        amounts = [_amount(dated, column) for column in ("added", "drained", "caught")]
        if level is None or any(amount is None for amount in amounts):
            return found, True
        if first_level is None:
            # What was poured in or let out on the first day belongs to the time before it.
            first_level = level
        else:
            added, drained, caught = (
                total + more for total, more in zip((added, drained, caught), amounts, strict=True)
            )
        km: Any = None
        if dated.odometer_km is not None:
            km = dated.odometer_km * gain
            if _is_told(dated):
                km = km + ufloat(0.0, rectangular(ODOMETER_TOLD_KM))
        found.append(
            Entry(
                dated,
                date.fromisoformat(dated.day),
                km,
                lost(first_level - level, added, drained),
                caught,
                _is_told(dated),
            )
        )
    return found, False


def _basis(entries: Sequence[Entry]) -> tuple[Basis | None, str]:
    """Distance where there is enough of it, else days; or None and why there is neither."""
    if len(entries) < 2:
        return None, "too_few"
    read = tuple(entry for entry in entries if entry.km is not None)
    if any(_value(b.km) < _value(a.km) for a, b in pairwise(read)):
        return None, "backwards"
    if len(read) > 1:
        spans = tuple(entry.km - read[0].km for entry in read)
        if _value(spans[-1]) >= LEAST_KM:
            return Basis(read, spans, 1000.0, LEAST_KM, "per_1000"), ""
    days = tuple(float(entry.days_since(entries[0])) for entry in entries)
    if days[-1] >= LEAST_DAYS:
        return Basis(tuple(entries), days, 30.0, LEAST_DAYS, "per_30_days"), ""
    return None, "too_short"


_ABSENT = {
    "too_few": "two entries are needed, with days",
    "backwards": "the odometer runs backwards from one entry to the next",
    "too_short": "the entries lie too close together",
    "unknown": "an amount is not known",
}
_RATE_LABELS = {"per_1000": "lost per 1000 km", "per_30_days": "lost in 30 days"}


# --- assessment -------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Found:
    """What is worked out of the entries."""

    readings: Readings
    context: Context
    entries: tuple[Entry, ...]
    basis: Basis | None
    why_not: str
    rate: Any = None
    last: Any = None
    before: Any = None
    verdict: VerdictOutcome | None = None

    @property
    def total(self) -> Any:
        """Litres lost from the first entry to the last, or None."""
        return self.entries[-1].lost if len(self.entries) > 1 and not self.unknown else None

    @property
    def unknown(self) -> bool:
        """An amount has no number, so that no balance can be drawn."""
        return self.why_not == "unknown"

    @property
    def unexplained(self) -> Any:
        """Of the total, what nobody caught outside, or None."""
        return None if self.total is None else self.total - self.entries[-1].caught

    @property
    def loses(self) -> bool:
        """The loss is more than what is usual."""
        return self.verdict is not None and self.verdict.outcome == "outside"

    @property
    def fast(self) -> bool:
        """It is clearly more than what counts as fast."""
        if not self.loses:
            return False
        risk = self.context.risk
        return decide(_value(self.rate), _u(self.rate), None, FAST_L, risk).outcome == "outside"

    @property
    def more_lately(self) -> bool:
        """The last stretch lost clearly more than the time before, and more than usual."""
        if self.last is None or self.before is None:
            return False
        return _clearly_above(self.last - self.before) and _clearly_above(self.last, USUAL_L)

    @property
    def worse(self) -> bool:
        """The same, and not because air was leaving."""
        return self.more_lately and not self.lately_refilled

    @property
    def lately_refilled(self) -> bool:
        """Filled anew so few drives ago that air may still leave."""
        drives = self.readings.given("drives_since")
        return drives is not None and drives <= FEW_DRIVES

    @property
    def oil_gained(self) -> Any:
        """Litres of oil more than before if that is clear, else None."""
        gained = self.readings.uncertain("given.oil_gain")
        return gained if gained is not None and _clearly_above(gained) else None

    @property
    def into_oil(self) -> bool:
        """Coolant goes missing while the oil rises, or is milky on the stick."""
        milky = self.readings.given("oil_look") == "milky_stick"
        missing = self.unexplained is not None and _clearly_above(self.unexplained)
        return self.loses and missing and (milky or self.oil_gained is not None)

    @property
    def gained(self) -> bool:
        """There is clearly more in it than the entries explain."""
        return self.total is not None and _value(self.total) + 2 * _u(self.total) < 0


def _found(readings: Readings, context: Context) -> _Found:
    entries, unknown = _entries(readings, context)
    basis, why_not = (None, "unknown") if unknown else _basis(entries)
    if basis is None:
        return _Found(readings, context, tuple(entries), None, why_not)
    last = len(basis.entries) - 1
    rate, turn = basis.rate(0, last), basis.turn
    figure = figure_of(basis.key, _RATE_LABELS[basis.key], "volume", rate)
    return _Found(
        readings,
        context,
        tuple(entries),
        basis,
        "",
        rate,
        None if turn is None else basis.rate(turn, last),
        None if turn is None else basis.rate(0, turn),
        judge_figure(PROCEDURE, figure, context, Span(None, USUAL_L, _USUAL)),
    )


def assess(readings: Readings, context: Context) -> Assessment:
    """How much is lost, how fast, whether faster than before, and what of it is explained."""
    found = _found(readings, context)
    seen = _seen(found)
    lead = seen[0] if seen else "undecided"
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=(),
        also=tuple(Also(code) for code in seen[1:]),
        figures=_figures(found),
        verdicts=(
            *judge(PROCEDURE, readings, context),
            *([found.verdict] if found.verdict is not None else []),
        ),
        confounders=_confounders(found),
        tables=_tables(found),
        customer=_customer(found),
        technician=_technician(found, seen),
        chart=_chart(found),
    )


def _seen(found: _Found) -> list[str]:
    """Patterns, what matters most first."""
    if found.verdict is None:
        return []
    holds = {
        "loss_into_oil": found.into_oil,
        "fast_loss": found.fast,
        "getting_worse": found.worse,
        "after_refill": found.loses and found.lately_refilled,
        "slow_loss": found.loses and not found.fast and not found.lately_refilled,
    }
    seen = [code for code, is_so in holds.items() if is_so]
    milky = found.readings.given("oil_look") == "milky_stick"
    if not seen and found.verdict.outcome == "within" and not found.gained and not milky:
        return ["no_loss"]
    return seen


def _confounders(found: _Found) -> list[str]:
    weak = []
    if found.entries and all(entry.told for entry in found.entries):
        weak.append("all_told")
    ends = (found.entries[0], found.entries[-1]) if found.entries else ()
    if any(entry.dated.row.get("level") is None for entry in ends):
        weak.append("level_assumed")
    if found.lately_refilled:
        weak.append("refilled")
    if found.basis is not None and not found.basis.by_distance:
        weak.append("by_days")
    if found.readings.given("driven") in ("hardly", "short"):
        weak.append("hardly_driven")
    return weak


def _figures(found: _Found) -> list[Figure]:
    labels = {
        "total": "coolant lost in all",
        "caught": "caught outside",
        "unexplained": "lost without being seen outside",
    }
    if found.total is None:
        why = _ABSENT["unknown" if found.unknown else "too_few"]
        return [Figure("total", labels["total"], "volume", None, absent_because=why)]
    caught = found.entries[-1].caught
    figures = [figure_of("total", labels["total"], "volume", found.total)]
    if _value(caught):
        figures.append(figure_of("caught", labels["caught"], "volume", caught))
        figures.append(figure_of("unexplained", labels["unexplained"], "volume", found.unexplained))
    gained = found.oil_gained
    if gained is not None and _clearly_above(found.unexplained):
        share = 100.0 * gained / found.unexplained
        figures.append(figure_of("oil_share", "found again in the oil, at least", "ratio", share))
    basis = found.basis
    if basis is None:
        why = _ABSENT[found.why_not]
        absent = Figure("per_1000", _RATE_LABELS["per_1000"], "volume", None, absent_because=why)
        return [*figures, absent]
    figures.append(figure_of(basis.key, _RATE_LABELS[basis.key], "volume", found.rate))
    if _value(caught):
        rate = basis.rate(0, len(basis.entries) - 1, unexplained=True)
        label = PROCEDURE.say("figure.unseen", rate=_RATE_LABELS[basis.key]).text
        figures.append(figure_of("unexplained_" + basis.key, label, "volume", rate))
    for key, name, rate in (
        ("last", "figure.last", found.last),
        ("before", "figure.before", found.before),
    ):
        if rate is not None:
            label = PROCEDURE.say(name, rate=_RATE_LABELS[basis.key]).text
            figures.append(figure_of(key, label, "volume", rate))
    return figures


# --- table and chart --------------------------------------------------------------------------


def _tables(found: _Found) -> tuple[Table, ...]:
    """Every entry of every test, with what went missing since the one before it."""
    if not found.entries:
        return ()
    system = found.context.units
    cells = []
    for before, entry in zip((None, *found.entries[:-1]), found.entries, strict=True):
        row = entry.dated.row
        since: Any = None if before is None else entry.lost - before.lost
        cells.append(
            (
                entry.dated.day,
                _read(entry, "odometer"),
                _read(entry, "added"),
                _read(entry, "level") if row.get("level") else "taken as at the mark",
                _read(entry, "caught"),
                _read(entry, "drained"),
                "–" if since is None else show(_value(since), _u(since), "volume", system),
                "told" if entry.told else "measured here",
            )
        )
    head = (
        "day",
        "odometer",
        "added",
        "level against the mark",
        "caught",
        "drained",
        "lost since the line above",
        "from",
    )
    return (Table("Coolant day by day", head, tuple(cells)),)


def _read(entry: Entry, column: str) -> str:
    reading = entry.dated.row.get(column)
    return reading.understood if reading else "–"


def _chart(found: _Found) -> dict[str, Any]:
    """What is lost since the first entry, over distance or days."""
    basis = found.basis
    if basis is None:
        return {}
    first = basis.entries[0]
    spans = [_value(span) for span in basis.spans]
    lines = [("lost", [entry.lost - first.lost for entry in basis.entries])]
    if _value(basis.entries[-1].caught - first.caught):
        seen = [e.lost - first.lost - (e.caught - first.caught) for e in basis.entries]
        lines.append(("not caught outside", seen))
    total, system = lines[0][1][-1], found.context.units
    if basis.by_distance:
        over = show_value(spans[-1], "distance", system, 0)
        axis = {"label": "distance since the first entry", "unit": "km"}
    else:
        over = PROCEDURE.say("days", days=str(round(spans[-1]))).text
        axis = {"label": "days since the first entry", "unit": ""}
    lowest = min(_value(amount) for _label, amounts in lines for amount in amounts)
    return {
        "kind": "lines",
        "title": PROCEDURE.say(
            "chart",
            amount=show(_value(total), _u(total), "volume", system),
            over=over,
            entries=str(len(basis.entries)),
        ).text,
        "x": axis,
        "y": {"label": "coolant lost", "unit": "L", "from_zero": lowest >= 0},
        "series": [
            {
                "label": label,
                "points": [
                    [span, _value(amount), _u(amount)]
                    for span, amount in zip(spans, amounts, strict=True)
                ],
            }
            for label, amounts in lines
        ],
    }


# --- words ------------------------------------------------------------------------------------


def _litres(number: Any, context: Context) -> str:
    return show_value(_value(number), "volume", context.units, 2)


def _per_words(found: _Found) -> str:
    by_distance = found.basis is not None and found.basis.by_distance
    return PROCEDURE.say("per.distance" if by_distance else "per.days").text


def _customer(found: _Found) -> list[Sentence]:
    say, context = PROCEDURE.say, found.context
    if found.verdict is None:
        return [say("customer.undecided")]
    params = {"rate": _litres(found.rate, context), "per": _per_words(found)}
    said = []
    if found.loses:
        said.append(say("customer.loss", **params))
        caught = found.entries[-1].caught
        if _value(caught):
            said.append(say("customer.caught", amount=_litres(caught, context)))
    elif found.verdict.outcome == "within" and not (found.gained or found.worse):
        said.append(say("customer.no_loss"))
    elif not found.worse:
        said.append(say("customer.undecided"))
    if found.worse:
        said.append(say("customer.getting_worse"))
    if found.loses and found.lately_refilled:
        said.append(say("customer.after_refill"))
    if found.into_oil:
        said += [say("customer.loss_into_oil"), say("customer.do_not_run")]
    elif found.fast:
        said.append(say("customer.watch"))
    if found.readings.given("oil_look") == "milky_stick" and not found.into_oil:
        said.append(say("customer.not_until_known"))
    return said


def _technician(found: _Found, seen: Sequence[str]) -> list[Sentence]:
    say, context = PROCEDURE.say, found.context
    said = []
    if found.total is not None:
        said.append(
            say(
                "total",
                amount=show(_value(found.total), _u(found.total), "volume", context.units),
                entries=str(len(found.entries)),
            )
        )
        caught = found.entries[-1].caught
        if _value(caught):
            said.append(
                say(
                    "caught",
                    amount=_litres(caught, context),
                    rest=show(
                        _value(found.unexplained), _u(found.unexplained), "volume", context.units
                    ),
                )
            )
    if found.verdict is None:
        said.append(say(f"why_not.{found.why_not}"))
    else:
        said.append(
            say(
                "rate",
                rate=show(_value(found.rate), _u(found.rate), "volume", context.units),
                per=_per_words(found),
                words=verdict_words(found.verdict, context.units),
            )
        )
    said += _trend_said(found)
    said += [say(f"next.{code}") for code in seen]
    if found.gained:
        said.append(say("gained"))
    elif found.verdict is not None and found.verdict.outcome == "cannot_tell":
        further = show_value(_more_km(found), "distance", context.units, 0)
        said.append(say("next.undecided", distance=further))
    said += _oil_said(found)
    if found.loses and found.readings.given("driven") == "hardly":
        said.append(say("standing"))
    return said


def _trend_said(found: _Found) -> list[Sentence]:
    if found.last is None or found.before is None:
        return []
    words = {
        "last": show(_value(found.last), _u(found.last), "volume", found.context.units),
        "before": show(_value(found.before), _u(found.before), "volume", found.context.units),
        "per": _per_words(found),
    }
    return [PROCEDURE.say("trend.more" if found.more_lately else "trend.even", **words)]


def _oil_said(found: _Found) -> list[Sentence]:
    """Condensed water or coolant in the oil, and what would decide."""
    say = PROCEDURE.say
    look, driven = found.readings.given("oil_look"), found.readings.given("driven")
    said = []
    if found.oil_gained is not None:
        said.append(
            say(
                "oil.gained",
                amount=show(
                    _value(found.oil_gained), _u(found.oil_gained), "volume", found.context.units
                ),
            )
        )
        if not found.loses:
            said.append(say("oil.gained_alone"))
    if look == "milky_stick":
        said.append(say("oil.do_not_run" if found.loses else "oil.not_until_known"))
    if look == "milky_cap":
        short = driven in ("short", "hardly") and not found.loses
        said.append(say("oil.cap_short_trips" if short else "oil.cap"))
    if look in ("milky_stick", "milky_cap") or found.oil_gained is not None:
        said.append(say("oil.decides"))
    return said


# --- what to note next ------------------------------------------------------------------------


def _more_km(found: _Found) -> float:
    """How far to drive on until the figure, if it stays, is clear of what is usual; km."""
    basis = found.basis
    if basis is None or not basis.by_distance:
        return 500.0
    driven = _value(basis.spans[-1])
    apart = abs(_value(found.rate) - USUAL_L)
    wanted = driven * 2 * _u(found.rate) / apart if apart else LONGEST_KM
    # A quarter on top, in hundreds: nobody drives by the kilometre.
    return min(max(round((1.25 * wanted - driven) / 100) * 100.0, 200.0), LONGEST_KM)


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """A day more, and how far to drive before it."""
    found = _found(readings, context)
    empty = next(
        (
            row
            for row in readings.rows("days")
            if not any(row.get(key) for key in ("date", "odometer", "added", "level"))
        ),
        None,
    )
    if empty is None or found.unknown:
        return ()
    address = empty.address("date")
    if not found.entries:
        return ((address, PROCEDURE.say("next.first").text),)
    doubtful = found.verdict is None or found.verdict.outcome == "cannot_tell"
    if not doubtful:
        return ()
    further = show_value(_more_km(found), "distance", context.units, 0)
    return ((address, PROCEDURE.say("next.again", distance=further).text),)


# --- the declaration --------------------------------------------------------------------------

_DO_NOT_RUN = Driving(
    "do_not_drive",
    "Coolant is lost while the oil rises or turns milky. Oil with coolant in it ruins bearings "
    "within minutes. Do not run the engine; it may be towed.",
)
_WATCH = Driving(
    "only_as_stated",
    "Short distances only, watching the temperature gauge; stop at once if it rises. Top up cold "
    "before each drive, and never open the cap while it is hot.",
)

PROCEDURE = Procedure(
    name="coolant_use",
    title="Coolant use",
    version=1,
    group="Cooling system",
    purpose="Shows from top-ups, levels and distances how much coolant goes missing in 1000 km, "
    "whether that is getting more, and what of it was seen outside. Entries of earlier visits "
    "count along.",
    proves_nothing_when="Top-ups were not all noted, the level was read hot one time and cold the "
    "other, or the system was filled anew and air is still leaving.",
    evidence_group="coolant_escape",
    needs_before=("oil_level",),
    effort=Effort(
        5,
        ("measuring jug", "pen or tape for a mark", "lamp"),
        state="cold",
        risk="some days or weeks between two readings",
    ),
    cautions=(
        Caution(
            "Never open a hot cooling system.",
            "Coolant under pressure flashes to steam and scalds. Look from outside, at the tank's "
            "marks; open only when the hose can be held in the hand, with a cloth, slowly.",
            "HSE HSG261; common practice",
            "customer",
            from_memory=True,
        ),
        Caution(
            "Glycol is poisonous to people and animals.",
            "It tastes sweet: no tasting, no sniffing. Catch it, close and label the container, "
            "wipe up what was spilt; keep children and pets away.",
            "NIOSH, ATSDR",
            "customer",
            from_memory=True,
        ),
        Caution(
            "Milky oil and coolant lost: do not run the engine.",
            "Not even to move the car. Liquid may stand in a cylinder: plugs out first, then turn "
            "it by hand.",
            "common practice",
        ),
        Caution(
            "Top up only with the coolant that the maker names.",
            "Kinds that do not go together form sludge. Plain water only to get home, and noted: "
            "it freezes.",
            "the maker's instructions",
        ),
        Caution(
            "Cold coolant into a hot engine cracks it.",
            "Let it cool down before anything is filled in.",
            "common practice",
        ),
        Caution(
            "Electric fans start by themselves.",
            "Key out and away; hands, hair and sleeves clear of fan and belts.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "High voltage: some coolant circuits cool battery and inverter.",
            "Open none of those without the maker's shut-down and training; note which tank was "
            "read.",
            "UN R100; local rules for electrical work",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("cold", "Level read cold each time, standing level", "other_temperature"),
        Precondition(
            "same_mark", "The same mark each time, marked before topping up", "other_mark"
        ),
        Precondition("all_noted", "Every top-up in this time is noted", "topups_unknown"),
    ),
    given=(
        Count(
            key="drives_since",
            label="drives since it was filled anew",
            high=10_000,
            help="After opening or draining. Empty: not lately.",
        ),
        Quantity(
            key="oil_gain",
            label="oil gained over the same time",
            quantity="volume",
            possible=(-15.0, 15.0),
            likely=(-2.0, 2.0),
            help="By the oil stick, first entry to last; minus where oil was used.",
        ),
        Choice(
            key="oil_look",
            label="oil",
            choices={
                "clear": "clear or dark, no milk",
                "milky_cap": "milky under the filler cap only",
                "milky_stick": "milky on the stick",
                "not_looked": "not looked at",
            },
        ),
        Choice(
            key="driven",
            label="how it was driven",
            origin="told",
            choices={
                "long": "long runs among them",
                "short": "mostly short trips, never quite warm",
                "hardly": "hardly at all",
                "unknown": "not known",
            },
        ),
    ),
    grids=(
        Grid(
            "days",
            "Coolant day by day",
            Dated(opens=2, most=60),
            (
                Quantity(
                    key="added",
                    label="added",
                    quantity="volume",
                    possible=(0.0, 60.0),
                    likely=(0.0, 5.0),
                    instrument="measuring_jug",
                    help="Empty: nothing. On the first day it does not count.",
                ),
                Quantity(
                    key="level",
                    label="level afterwards, against the mark",
                    quantity="volume",
                    possible=(-30.0, 10.0),
                    likely=(-2.0, 0.5),
                    help="What lacks to the mark with a minus, what is over it with a plus. Empty: "
                    "taken as at the mark.",
                ),
                Quantity(
                    key="caught",
                    label="caught outside",
                    quantity="volume",
                    possible=(0.0, 60.0),
                    likely=(0.0, 5.0),
                    instrument="measuring_jug",
                    finer=True,
                    help="Since the entry before, in a tray beneath.",
                ),
                Quantity(
                    key="drained",
                    label="drained on purpose",
                    quantity="volume",
                    possible=(0.0, 60.0),
                    likely=(0.0, 15.0),
                    instrument="measuring_jug",
                    finer=True,
                    help="Since the entry before.",
                ),
                Choice(
                    key="origin",
                    label="this entry is",
                    choices={"told": "told by the customer", "measured": "measured here"},
                    default="told",
                ),
            ),
            help="One line for each time that somebody looked or topped up. The first one starts "
            "the count.",
        ),
    ),
    handling_u={"level": 0.03, "oil_gain": 0.1},
    patterns=(
        Pattern(
            "loss_into_oil", "coolant lost while the oil rises or is milky", driving=_DO_NOT_RUN
        ),
        Pattern("fast_loss", "loses coolant fast", driving=_WATCH),
        Pattern("getting_worse", "loses more than before", driving=_WATCH),
        Pattern("after_refill", "falls, but was filled anew only few drives ago"),
        Pattern("slow_loss", "loses coolant slowly"),
        Pattern("no_loss", "no more than the usual small loss", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "other_temperature",
            "The level may have been read at different temperatures: warm coolant stands higher.",
            0.5,
        ),
        Confounder("other_mark", "The level may have been read against different marks.", 0.6),
        Confounder("topups_unknown", "Top-ups that nobody noted may be missing.", 0.5),
        Confounder("all_told", "Everything was only told.", 0.7),
        Confounder(
            "level_assumed",
            "At the first or last entry the level was not read, but taken as at the mark.",
            0.8,
        ),
        Confounder(
            "refilled",
            "Filled anew a few drives ago: the level falls while air leaves.",
            0.3,
        ),
        Confounder("by_days", "Judged by days, since there is no distance to judge by.", 0.6),
        Confounder(
            "hardly_driven",
            "Short trips hide a loss that comes only hot and under pressure.",
            0.6,
            only_sound=True,
        ),
    ),
    formulas=(
        Formula("total", "level at the first entry − level at the last + all added − all drained"),
        Formula("caught", "all that was caught outside after the first entry"),
        Formula("unexplained", "coolant lost in all − caught outside"),
        Formula(
            "oil_share",
            "100 % x oil gained / coolant lost without being seen outside; a lower bound, since "
            "water boils off and oil burns",
        ),
        Formula("per_1000", "lost between the first and last odometer reading / (km / 1000)"),
        Formula("per_30_days", "lost between the first and last day / (days / 30)"),
        Formula("unexplained_*", "the same, less what was caught outside"),
        Formula("last", "the same over the last stretch of at least 100 km or 7 days"),
        Formula("before", "the same from the first entry to the beginning of that stretch"),
    ),
    example={
        "ready.cold": "yes",
        "ready.same_mark": "yes",
        "ready.all_noted": "yes",
        "given.oil_look": "clear",
        "days.d1.date": "2026-03-02",
        "days.d1.odometer": "81200 km",
        "days.d1.level": "0.00 L",
        "days.d1.origin": "measured",
        "days.d2.date": "2026-04-10",
        "days.d2.odometer": "82400 km",
        "days.d2.added": "0.4 L",
        "days.d2.level": "0.00 L",
        "days.d2.origin": "measured",
    },
    next_step=_next_step,
    assess=assess,
    sentences={
        # customer
        "customer.no_loss": "Over the time that was noted, the car lost no more coolant than is "
        "usual.",
        "customer.loss": "The car loses about {rate} of coolant {per}. That is more than usual.",
        "customer.caught": "Of what was lost, {amount} was caught outside.",
        "customer.getting_worse": "Lately it loses more than before.",
        "customer.after_refill": "The cooling system was filled anew only a few drives ago. The "
        "level falls while the last air leaves; it has to be read again after some more drives.",
        "customer.loss_into_oil": "While coolant goes missing, the oil rises or is milky.",
        "customer.do_not_run": "Do not run the engine: oil with coolant in it ruins bearings "
        "within minutes. The car may be towed.",
        "customer.not_until_known": "The oil is milky. The engine should not be run until it is "
        "known what is in it.",
        "customer.watch": "Until it is mended: short distances only, watch the temperature gauge, "
        "stop at once if it rises, and never open the cap while it is hot.",
        "customer.undecided": "What was noted does not show yet whether the car loses coolant. The "
        "level has to be read again after more driving.",
        # technician
        "total": "Lost in all: {amount}, over {entries} entries.",
        "caught": "Caught outside: {amount}; not seen outside: {rest}.",
        "rate": "{rate} {per}: {words}.",
        "why_not.too_few": "One entry makes no balance: mark the level now, read it again after "
        "some driving.",
        "why_not.backwards": "The odometer runs backwards from one entry to the next: put it "
        "right, then distances count.",
        "why_not.too_short": "The entries lie too close together for a rate.",
        "why_not.unknown": "An amount has no number: enter about how much, as told, or take the "
        "entry out; without it there is no balance.",
        "trend.more": "More than before: {last} {per} over the last stretch, {before} before it.",
        "trend.even": "No clear change: {last} {per} over the last stretch, {before} before it.",
        "gained": "More in it than the entries explain: read warm, filled by somebody unnoticed, "
        "or a bubble that has left. Mark it cold and start anew.",
        "standing": "It hardly moved and still lost: look beneath where it stands, and hold "
        "pressure cold.",
        "next.loss_into_oil": "Coolant missing and the oil rising or milky: oil cooler and head "
        "joint alike. Glycol strip or laboratory, pressure hold cold with the plugs out, "
        "combustion gas.",
        "next.fast_loss": "Fast: pressure hold cold and look for wet places first, pump, radiator, "
        "heater, hoses; then the cap, then combustion gas.",
        "next.getting_worse": "Do not wait for the next visit: hold pressure now, cold.",
        "next.after_refill": "Filled anew a few drives ago: bleed as the maker says, top up cold, "
        "read again after some more drives. No verdict on a leak before.",
        "next.slow_loss": "Slow: pressure hold cold over a longer time, cap opened and held "
        "against its rating, white or coloured crust at joints, wet carpet; then combustion gas.",
        "next.no_loss": "No more than usual. Keep the mark, and note every top-up.",
        "next.undecided": "Too close to what is usual: drive on for some {distance} and read "
        "again, same place, same mark, cold.",
        "oil.gained": "Oil gained in the same time: {amount}. Against coolant lost that is a lower "
        "bound: water boils off, oil burns.",
        "oil.gained_alone": "Oil rises without coolant being lost: fuel or condensed water; smell "
        "at arm's length, no sniffing, and ask for short trips.",
        "oil.do_not_run": "Milky on the stick with coolant lost: do not run it, not even to move "
        "the car. Plugs out and turn by hand before any cranking.",
        "oil.not_until_known": "Milky on the stick, no loss shown: do not run it until the water "
        "is explained.",
        "oil.cap_short_trips": "Milky under the cap only, short trips, no loss shown: condensed "
        "water does this. One long run, then look again.",
        "oil.cap": "Milky under the cap only: never a diagnosis by itself. Look at the stick.",
        "oil.decides": "Condensed water stays at cap and breather, levels stand, and a long run "
        "drives it off. Coolant shows on stick and drain, oil rises, coolant falls, and it stays. "
        "What decides: a little drained cold after standing, a glycol strip or laboratory, "
        "pressure hold cold, combustion gas.",
        # next
        "next.first": "Mark the level cold and note day and odometer: the count starts here.",
        "next.again": "Read the level again, cold, after some {distance}.",
        # figures and chart
        "figure.last": "{rate}, last stretch",
        "figure.before": "{rate}, before it",
        "figure.unseen": "{rate}, not seen outside",
        "per.distance": "in 1000 km",
        "per.days": "in 30 days",
        "days": "{days} days",
        "chart": "Coolant lost: {amount} over {over}, {entries} entries.",
    },
)
