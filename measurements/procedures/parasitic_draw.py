"""Draw at rest: what current a car takes once it should be asleep, over time, and through which
fuse.

Method: ammeter in the minus lead beside a bypass lead that was opened afterwards, or a fine clamp;
then millivolts across the fuses, which stay in. The usual limit and the times are common practice;
fuses' resistances as `core.blade_fuse` gives them, taken for the standard size.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from measurements.core import battery, units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.blade_fuse import STANDARD_RATINGS, cold_mohm, through_fuse_a
from measurements.core.cautions import BATTERY_LEAD
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge, span_for
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Driving,
    Effort,
    Flag,
    Formula,
    Free,
    Grid,
    Limit,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Series,
    Source,
    Span,
    Text,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.uncertainty import fixed, rectangular

if TYPE_CHECKING:
    from uncertainties import UFloat

_PRACTICE = Source("C", "common practice, asleep")

DRAW_MOST_A = 0.050
"""Most that a 12 volt car takes asleep; 25 to 35 mA are typical (common practice)."""

SLEEPS_BY_S = 3600.0
"""Control units fall asleep within 10 to 60 min, some later (common practice)."""

RISE_LEAST_A = 0.020
"""A rise smaller than this is no waking (judgement)."""

STEADY_NEEDS = 3
"""Fewer readings than this, asleep, tell neither steady from pulsing nor a rare waking."""

MOST_OF_DRAW = 0.5
"""A circuit with more than this share of the draw is the one to follow (judgement)."""

STARTS_FROM_PERCENT = 50.0
"""Charge below which a start is doubtful, where none was entered (judgement)."""


# --- limits and numbers -----------------------------------------------------------------------


def _draw_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    return Span(None, DRAW_MOST_A, _PRACTICE) if context.car.volts == 12 else None


def mean_over_time(points: Sequence[tuple[float, Any]]) -> Any:
    """Mean of a current read at rising times (s), on straight lines between the readings.

    >>> mean_over_time([(0, 0.02), (100, 0.02), (300, 0.08)])
    0.04
    """
    if len(points) == 1:
        return points[0][1]
    area = sum((late - early) * (one + two) / 2 for (early, one), (late, two) in pairwise(points))
    return area / (points[-1][0] - points[0][0])


def _size(value: Any) -> Any:
    """The number without its sign, which only tells how the leads were held."""
    return value if value.nominal_value >= 0 else -value


# --- reasoning --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Moment:
    """One reading of the watch: seconds since shutdown, row, verdict as if asleep, amperes.

    amps: None where only "more than", "less than" or an overload was noted.
    """

    seconds: float
    row: RowReadings
    outcome: str
    amps: UFloat | None
    low: bool


def _watched(
    readings: Readings, context: Context, verdicts: Sequence[VerdictOutcome]
) -> list[Moment]:
    by_address = {verdict.address: verdict for verdict in verdicts}
    moments = []
    for row in readings.rows("watch"):
        seconds, verdict = row.value("at"), by_address.get(row.address("current"))
        if seconds is None or verdict is None:
            continue
        value = row.uncertain("current")
        amps = None if value is None else _size(value)
        span = span_for(PROCEDURE, verdict.address, context, readings, row)
        high = span.high if span else None
        low = verdict.outcome == "within" or bool(
            amps is not None and high is not None and amps.nominal_value <= high
        )
        moments.append(Moment(float(seconds), row, verdict.outcome, amps, low))
    return moments


def _asleep_from(readings: Readings, moments: Sequence[Moment]) -> float:
    """Seconds from which the car should count as asleep: first at or below the limit; else when it
    was noted asleep, else after an hour."""
    first_low = next((moment.seconds for moment in moments if moment.low), None)
    if first_low is not None and first_low <= SLEEPS_BY_S:
        return first_low
    noted = readings.given("asleep_at")
    return min(noted, SLEEPS_BY_S) if noted is not None else SLEEPS_BY_S


def _unjudged(verdict: VerdictOutcome) -> VerdictOutcome:
    return replace(
        verdict, outcome="no_limit", p=None, low=None, high=None, source=None, too_narrow=False
    )


def assess(readings: Readings, context: Context) -> Assessment:
    """The draw over time, judged only once the car should sleep; then where it flows."""
    verdicts = judge(PROCEDURE, readings, context)
    moments = _watched(readings, context, verdicts)
    start = _asleep_from(readings, moments)
    asleep = [moment for moment in moments if moment.seconds >= start]
    judged = {moment.row.address("current") for moment in asleep}
    verdicts = tuple(
        verdict
        if verdict.address in judged or not verdict.address.startswith("watch.")
        else _unjudged(verdict)
        for verdict in verdicts
    )
    fuses = _fuses(readings)
    draw = _mean_draw(asleep)
    pattern, where, also = _pattern(readings, moments, asleep, fuses, draw)
    figures = _figures(readings, draw, fuses, bool(asleep))
    weak = _confounders(readings, context, moments, asleep)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=pattern,
        where=where,
        also=also,
        figures=figures,
        verdicts=verdicts,
        confounders=weak,
        customer=_customer(pattern, where, readings, moments, asleep, draw, fuses, figures),
        technician=_technician(
            pattern, where, also, readings, context, moments, asleep, draw, fuses, figures, verdicts
        ),
        chart=_chart(readings, context, moments, asleep),
    )


def _mean_draw(asleep: Sequence[Moment]) -> UFloat | None:
    """None where nothing was read, or anything only as "more than" or as an overload."""
    points = [(moment.seconds, moment.amps) for moment in asleep if moment.amps is not None]
    if not points or len(points) < len(asleep):
        return None
    mean: UFloat = mean_over_time(points)
    return mean


def _rises(asleep: Sequence[Moment]) -> bool:
    """Whether the current, never low, goes up again clearly after having been lower."""
    known = [moment.amps for moment in asleep if moment.amps is not None]
    for index, before in enumerate(known):
        for after in known[index + 1 :]:
            rise: Any = after - before
            least = max(RISE_LEAST_A, before.nominal_value / 4, 2 * rise.std_dev)
            if rise.nominal_value > least:
                return True
    return False


def _over_time(moments: Sequence[Moment], asleep: Sequence[Moment]) -> tuple[str, tuple[str, ...]]:
    """Pattern of the watch alone with the readings that show it; ("", ()) if nothing was read."""
    if not moments:
        return "", ()
    if all(moment.outcome == "no_limit" for moment in moments):
        return "undecided", ()
    if not asleep:
        return "not_asleep_yet", (moments[-1].row.code,)
    first = next((n for n, moment in enumerate(asleep) if moment.low), None)
    high = tuple(moment.row.code for moment in asleep if moment.outcome == "outside")
    if first is None:
        if not high:
            return "undecided", ()
        if _rises(asleep):
            return "high_pulsing", high
        return ("high_steady", high) if asleep[-1].outcome == "outside" else ("undecided", ())
    woken = tuple(m.row.code for m in asleep[first:] if m.outcome == "outside")
    if woken:
        return "wakes_again", woken
    if any(moment.outcome != "within" for moment in asleep[first:]):
        return "undecided", ()
    if asleep[first].seconds > SLEEPS_BY_S:
        return "sleeps_late", (asleep[first].row.code,)
    return "sound", ()


@dataclass(frozen=True)
class Fuse:
    """A fuse with the current through it, A."""

    row: RowReadings
    amps: UFloat

    @property
    def flows(self) -> bool:
        """The current is clear of nought."""
        return bool(self.amps.nominal_value > 2 * self.amps.std_dev)


def _fuses(readings: Readings) -> list[Fuse]:
    """Fuses whose current can be told, the most current first."""
    from uncertainties import ufloat

    found = []
    for row in readings.rows("fuses"):
        drop, own = row.uncertain("drop"), row.uncertain("resistance")
        if drop is None:
            continue
        typical = cold_mohm("standard", str(row.value("rating")))
        mohm: Any = None
        if own is not None and own.nominal_value > 0:
            mohm = own * 1000
        elif typical is not None:
            mohm = ufloat(typical[0], rectangular(typical[0] * typical[1]))
        if mohm is not None:
            found.append(Fuse(row, through_fuse_a(_size(drop), mohm, None)))
    return sorted(found, key=lambda fuse: -fuse.amps.nominal_value)


_HIGH = ("high_steady", "high_pulsing", "wakes_again")


def _pattern(
    readings: Readings,
    moments: Sequence[Moment],
    asleep: Sequence[Moment],
    fuses: Sequence[Fuse],
    draw: UFloat | None,
) -> tuple[str, tuple[str, ...], list[Also]]:
    """The leading pattern: where it flows if that is known, else how it goes over time."""
    over_time, where = _over_time(moments, asleep)
    located = _located(readings, over_time, fuses, draw)
    if located is None:
        return over_time or "undecided", where, []
    also = [Also(over_time, where)] if over_time in _HIGH else []
    return *located, also


def _located(
    readings: Readings, over_time: str, fuses: Sequence[Fuse], draw: UFloat | None
) -> tuple[str, tuple[str, ...]] | None:
    """Through which fuse a high draw flows, or that it flows through none of them."""
    if over_time in _HIGH and draw is not None and fuses:
        through = tuple(
            fuse.row.code
            for fuse in fuses
            if fuse.flows and fuse.amps.nominal_value > MOST_OF_DRAW * draw.nominal_value
        )
        if through:
            return "through_fuse", through
        through_all: Any = sum((fuse.amps for fuse in fuses[1:]), fuses[0].amps)
        at_most = through_all.nominal_value + 2 * through_all.std_dev
        if readings.given("all_fuses") and at_most < MOST_OF_DRAW * draw.nominal_value:
            return "not_through_fuses", ()
    elif not over_time and fuses:
        alone = tuple(
            fuse.row.code
            for fuse in fuses
            if fuse.amps.nominal_value - 2 * fuse.amps.std_dev > DRAW_MOST_A
        )
        if alone:
            return "through_fuse", alone
    return None


def _figures(
    readings: Readings, draw: UFloat | None, fuses: Sequence[Fuse], asleep: bool
) -> list[Figure]:
    """Mean draw, what it takes in a day, time until low at best, and current through each fuse."""
    figures = [
        figure_of(
            f"fuse_{fuse.row.code}", f"through {fuse.row.label}", "current", fuse.amps, unit="mA"
        )
        for fuse in fuses
    ]
    if draw is None:
        return figures
    figures.append(figure_of("draw", "mean draw, asleep", "current", draw, unit="mA"))
    figures.append(figure_of("a_day", "taken in a day", "capacity", draw * 24))
    if fuses:
        total: Any = sum((fuse.amps for fuse in fuses[1:]), fuses[0].amps)
        figures.append(
            figure_of("rest", "not through these fuses", "current", draw - total, unit="mA")
        )
    figures.append(_time_until_low(readings, draw))
    return figures


def _from_to(readings: Readings) -> tuple[float, float]:
    """Charge to start from and to stop at, per cent; full where none was entered."""
    start, stop = readings.given("charge"), readings.given("stop_at")
    return (
        100.0 if start is None else float(start),
        STARTS_FROM_PERCENT if stop is None else float(stop),
    )


def _time_until_low(readings: Readings, draw: UFloat) -> Figure:
    from uncertainties import ufloat

    label, why = "until the charge is low, at best", ""
    capacity = readings.given("capacity")
    start, stop = _from_to(readings)
    if capacity is None:
        why = "the battery's capacity is not entered"
    elif draw.nominal_value <= 2 * draw.std_dev:
        why = "no draw clear of nought was measured"
    elif start <= stop:
        why = "the charge to stop at is not below the charge to start from"
    if why or capacity is None:
        return Figure("until_low", label, "time", None, absent_because=why)
    charge: Any = ufloat(start, battery.TABLE_FINENESS_PERCENT / 2)
    hours = battery.hours_until(capacity, charge, stop, draw)
    return figure_of("until_low", label, "time", hours * 3600, unit="h")


def _confounders(
    readings: Readings,
    context: Context,
    moments: Sequence[Moment],
    asleep: Sequence[Moment],
) -> list[str]:
    weak = []
    if asleep and moments[-1].seconds < SLEEPS_BY_S:
        weak.append("short_watch")
    if asleep and len(asleep) < STEADY_NEEDS:
        weak.append("few_readings")
    if context.car.high_voltage:
        weak.append("high_voltage")
    return weak


# --- words and chart --------------------------------------------------------------------------


def _ma(value: float) -> str:
    return units.show_value(abs(value), "current", places=0, unit="mA")


def _minutes(seconds: float) -> str:
    return units.show_value(seconds, "time", places=0, unit="min")


def _how_long(seconds: float) -> str:
    """Hours below two days, else days; no finer than two figures."""
    hours = seconds / 3600
    if hours < 48:
        return f"{fixed(hours, 0 if hours >= 10 else 1)} hours"
    return f"{fixed(hours / 24, 0 if hours >= 240 else 1)} days"


def _params(
    pattern: str,
    where: Sequence[str],
    readings: Readings,
    moments: Sequence[Moment],
    asleep: Sequence[Moment],
    draw: UFloat | None,
    fuses: Sequence[Fuse],
) -> dict[str, str]:
    known = [m.amps.nominal_value for m in asleep if m.amps is not None]
    params: dict[str, str] = {}
    if draw is not None:
        params = {
            "draw": _ma(draw.nominal_value),
            "least": _ma(min(known)),
            "most": _ma(max(known)),
            "at": _minutes(asleep[0].seconds),
        }
    if moments:
        params["watched"] = _minutes(moments[-1].seconds)
        last = moments[-1].amps
        params["last"] = "" if last is None else _ma(last.nominal_value)
    if pattern == "sleeps_late":
        params["at"] = _minutes(next(m.seconds for m in asleep if m.low))
    if pattern == "through_fuse":
        meant = [fuse for fuse in fuses if fuse.row.code in where]
        params["fuse"] = ", ".join(fuse.row.label for fuse in meant)
        params["through"] = ", ".join(
            units.show(
                fuse.amps.nominal_value, fuse.amps.std_dev, "current", unit="mA", digit=0.001
            )
            for fuse in meant
        )
        params["about"] = ", ".join(_ma(fuse.amps.nominal_value) for fuse in meant)
    return params


def _key(pattern: str, params: Mapping[str, str]) -> str:
    """The sentence of a pattern; one without figures where they were not read throughout."""
    figure = "last" if pattern == "not_asleep_yet" else "draw"
    told_by_figures = pattern in ("not_asleep_yet", "sleeps_late", "sound", *_HIGH)
    return "no_number" if told_by_figures and not params.get(figure) else pattern


def _customer(
    pattern: str,
    where: Sequence[str],
    readings: Readings,
    moments: Sequence[Moment],
    asleep: Sequence[Moment],
    draw: UFloat | None,
    fuses: Sequence[Fuse],
    figures: Sequence[Figure],
) -> list[Sentence]:
    say = PROCEDURE.say
    params = _params(pattern, where, readings, moments, asleep, draw, fuses)
    params["seen"] = PROCEDURE.pattern(pattern).label
    said = [say("customer." + _key(pattern, params), **params)]
    until = next((f.value for f in figures if f.key == "until_low"), None)
    if until is not None and pattern not in ("undecided", "not_asleep_yet"):
        start, stop = _from_to(readings)
        said.append(
            say(
                "customer.until_low",
                capacity=units.show_value(readings.given("capacity"), "capacity", places=0),
                start=units.show_value(start, "ratio", places=0),
                stop=units.show_value(stop, "ratio", places=0),
                long=_how_long(until),
            )
        )
    if pattern == "sound":
        said.append(say("customer.only_while_watched", watched=params["watched"]))
    return said


def _technician(
    pattern: str,
    where: Sequence[str],
    also: Sequence[Also],
    readings: Readings,
    context: Context,
    moments: Sequence[Moment],
    asleep: Sequence[Moment],
    draw: UFloat | None,
    fuses: Sequence[Fuse],
    figures: Sequence[Figure],
    verdicts: Sequence[VerdictOutcome],
) -> list[Sentence]:
    say = PROCEDURE.say
    params = _params(pattern, where, readings, moments, asleep, draw, fuses)
    params["seen"] = PROCEDURE.pattern(pattern).label
    said = [say("technician." + _key(pattern, params), **params)]
    for item in also:
        said.append(say("technician.also", seen=PROCEDURE.pattern(item.pattern).label))
    over_time = {pattern, *(item.pattern for item in also)}
    if over_time & set(_HIGH) and pattern not in ("through_fuse", "not_through_fuses"):
        said.append(say("technician.fuses_partly" if fuses else "technician.fuses_next"))
    if any(row.get("drop") is not None for row in readings.rows("fuses")) and (
        len(fuses) < sum(row.get("drop") is not None for row in readings.rows("fuses"))
    ):
        said.append(say("technician.fuse_unknown"))
    if fuses:
        said.append(say("technician.fuse_resistance"))
    if over_time & {"high_pulsing", "wakes_again"}:
        said.append(say("technician.mean_is_rough"))
    if any(f.key == "until_low" and f.value is not None for f in figures):
        said.append(say("technician.best_case"))
    if moments and context.car.volts != 12 and not any(v.high is not None for v in verdicts):
        said.append(say("technician.no_general_limit", volts=str(context.car.volts)))
    if any(verdict.outcome == "cannot_tell" for verdict in verdicts):
        said.append(say("technician.close"))
    return said


def _chart(
    readings: Readings,
    context: Context,
    moments: Sequence[Moment],
    asleep: Sequence[Moment],
) -> dict[str, Any]:
    """Current over time. What was read before it should sleep is left out where it would flatten
    the rest, and the title says so."""
    known = [moment for moment in moments if moment.amps is not None]
    if not known:
        return {}
    span = span_for(PROCEDURE, known[0].row.address("current"), context, readings, known[0].row)
    limit = span.high if span else None
    slept = [m.amps.nominal_value for m in known if m in asleep and m.amps is not None]
    tall = 2 * max([*slept, limit or 0.0]) if slept else float("inf")
    drawn = [m for m in known if m in asleep or (m.amps and m.amps.nominal_value <= tall)]
    told = "; ".join(
        f"{_ma(m.amps.nominal_value)} at {_minutes(m.seconds)}" for m in known if m.amps is not None
    )
    title = PROCEDURE.say("chart.draw", told=told).text
    if limit is not None:
        title += " " + PROCEDURE.say("chart.limit", limit=_ma(limit)).text
    if len(drawn) < len(known):
        title += " " + PROCEDURE.say("chart.left_out").text
    return {
        "kind": "lines",
        "title": title,
        "x": {"label": "since shutdown", "unit": "min"},
        "y": {"label": "draw", "unit": "mA", "from_zero": True},
        "series": [
            {
                "label": "draw",
                "points": [
                    [m.seconds / 60, m.amps.nominal_value * 1000, m.amps.std_dev * 1000]
                    for m in drawn
                    if m.amps is not None
                ],
            }
        ],
        "limits": [
            {
                "label": PROCEDURE.say("chart.mark", limit=_ma(limit)).text,
                "value": limit * 1000,
                "beyond": "above",
            }
        ]
        if limit is not None
        else [],
        "note": "",
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The reading that would tell most now, with the reason."""
    verdicts = judge(PROCEDURE, readings, context)
    moments = _watched(readings, context, verdicts)
    rows = readings.rows("watch")
    if not moments:
        return ((rows[0].address("current"), "The first reading starts the watch."),)
    read = {moment.row.code for moment in moments}
    start = _asleep_from(readings, moments)
    asleep = [moment for moment in moments if moment.seconds >= start]
    pattern, _ = _over_time(moments, asleep)
    empty = next((row for row in rows if row.code not in read), None)
    if pattern in ("not_asleep_yet", "sound") and empty is not None and len(asleep) < STEADY_NEEDS:
        return ((empty.address("current"), "Wait, nothing opened or touched, and read again."),)
    if pattern in _HIGH and not _fuses(readings):
        return (("fuses.r1.drop", "Millivolts across a fuse show its current; it stays in."),)
    return ()


# --- declaration ------------------------------------------------------------------------------

_RUNS_FLAT = Driving(
    "only_as_stated",
    "It may not start after standing. Do not stop where that would be dangerous; a charger or a "
    "disconnected battery only as the maker says.",
)

PROCEDURE = Procedure(
    name="parasitic_draw",
    title="Draw at rest",
    version=1,
    group="Electrical",
    purpose="Shows how much current the car takes once it should sleep, whether it stays asleep, "
    "and through which fuse the current flows.",
    proves_nothing_when=(
        "The car was woken meanwhile: a door, the bonnet, a key nearby, a fuse pulled, the meter's "
        "own connecting. And a rare waking is missed by a short watch."
    ),
    evidence_group="electrical_supply",
    needs_before=("trouble_codes",),
    leaves_apart=(
        "Meter and bypass lead in the battery's minus lead",
        "Door and bonnet latches made closed by hand",
    ),
    comparable={"stop_at": (5.0, 0.0)},
    effort=Effort(
        15,
        ("ammeter for small currents", "bypass lead", "millivoltmeter"),
        risk="an hour of waiting; memories may be lost if the supply breaks",
    ),
    cautions=(
        Caution(
            "Never start, and switch nothing big on, with the meter in.",
            "It burns the meter's fuse or the meter, and cuts the supply. Bypass lead on first.",
            "common practice",
        ),
        Caution(
            "Do not break the supply.",
            "Bypass lead in parallel, then the clamp off, then the meter, then the bypass off. "
            "Else memories, trouble codes, windows and radio may be lost, and modules wake.",
            "common practice",
        ),
        Caution(
            "Battery gas explodes; acid blinds.",
            "Minus lead only; no spark at the posts, the last clamp away from the battery; "
            "goggles. Never charge or jump a frozen battery.",
            "OSHA 1910.178(g), 1910.151(c)",
            from_memory=True,
        ),
        Caution(
            "Latches that are made closed catch fingers and may lock the car.",
            "A key kept outside, far away from the car; latches opened again before a door is "
            "shut.",
            "common practice",
        ),
        Caution(
            "Do not pull fuses or open doors to look.",
            "It wakes modules and hides the fault: millivolts across fuses first. Air-bag fuses "
            "stay in.",
            "the maker's instructions",
        ),
        BATTERY_LEAD,
        Caution(
            "High-voltage system.",
            "Only the 12 volt side, by people trained for it; the car may wake and feed its 12 "
            "volt battery by itself. Orange cable: stop.",
            "workplace guidance on electric vehicles",
            when=lambda context: context.car.high_voltage,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "bypass", "Meter connected beside a bypass lead, or a clamp used", "supply_broken"
        ),
        Precondition("latches", "Latches of doors, bonnet and boot made closed", "latches_open"),
        Precondition("keys", "All keys and fobs well away from the car", "keys_near"),
        Precondition("quiet", "Nothing opened, touched or pulled during the watch", "disturbed"),
        Precondition("not_started", "Nobody will start it with the meter in"),
    ),
    given=(
        Quantity(
            key="asleep_at",
            label="seen to be asleep since",
            quantity="time",
            unit="min",
            origin="told",
            possible=(0.0, 172_800.0),
            likely=(60.0, 7200.0),
            help="After shutdown, by a lamp or the maker's sign. Empty: told by the current.",
        ),
        Quantity(
            key="capacity",
            label="battery's rated capacity",
            quantity="capacity",
            origin="told",
            possible=(1.0, 500.0),
            likely=(30.0, 250.0),
            help="On its label.",
        ),
        Quantity(
            key="charge",
            label="charge to start from",
            finer=True,
            quantity="ratio",
            origin="told",
            possible=(0.0, 100.0),
            likely=(30.0, 100.0),
            help="Empty: full.",
        ),
        Quantity(
            key="stop_at",
            label="charge at which a start is doubtful",
            finer=True,
            quantity="ratio",
            origin="told",
            possible=(0.0, 100.0),
            likely=(20.0, 80.0),
            help="Empty: 50 %.",
        ),
        Flag(key="all_fuses", label="all fuses were measured, in every box"),
    ),
    grids=(
        Grid(
            "watch",
            "Current after shutdown",
            Series(
                time=Quantity(
                    key="at",
                    label="since shutdown",
                    quantity="time",
                    unit="min",
                    possible=(0.0, 172_800.0),
                    likely=(0.0, 86_400.0),
                ),
                planned=(60.0, 600.0, 1200.0, 2400.0, 3600.0),
                most=60,
            ),
            (
                Quantity(
                    key="current",
                    label="current",
                    quantity="current",
                    unit="mA",
                    possible=(-100.0, 100.0),
                    likely=(-15.0, 15.0),
                    instrument="fine_ammeter",
                    help="The sign only tells how the leads were held.",
                ),
            ),
        ),
        Grid(
            "fuses",
            "Volts across fuses, left in, car asleep",
            Free(opens=2, most=24),
            (
                Text(key="name", label="fuse or circuit", longest=40),
                Choice(
                    key="rating",
                    label="blade fuse",
                    choices={
                        **{code: f"{code} A" for code in STANDARD_RATINGS},
                        "other": "other",
                    },
                ),
                Quantity(
                    key="drop",
                    label="across it",
                    quantity="voltage",
                    unit="mV",
                    possible=(-20.0, 20.0),
                    likely=(-0.1, 0.1),
                    instrument="multimeter_mv",
                ),
                Quantity(
                    key="resistance",
                    label="its own resistance",
                    finer=True,
                    quantity="resistance",
                    unit="mΩ",
                    origin="told",
                    possible=(0.00001, 10.0),
                    likely=(0.0003, 0.3),
                    help="From the fuse maker's data, where it is known.",
                ),
            ),
        ),
    ),
    limits=(Limit("watch.*.current", bounds=_draw_limit, magnitude=True),),
    patterns=(
        Pattern(
            "through_fuse",
            "more than usual flows through a fuse at rest",
            direct=True,
            driving=_RUNS_FLAT,
        ),
        Pattern(
            "not_through_fuses",
            "high, and little of it flows through the fuses",
            driving=_RUNS_FLAT,
        ),
        Pattern("high_steady", "stays above what is usual", driving=_RUNS_FLAT),
        Pattern("high_pulsing", "above what is usual, up and down", driving=_RUNS_FLAT),
        Pattern("wakes_again", "falls asleep and wakes again", driving=_RUNS_FLAT),
        Pattern("sleeps_late", "falls asleep later than is usual"),
        Pattern("not_asleep_yet", "not asleep yet when the watch ended"),
        Pattern("sound", "asleep within usual time, and draws no more than usual", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("supply_broken", "The supply was broken to connect the meter.", 0.6),
        Confounder("latches_open", "Doors or bonnet may have counted as open.", 0.5),
        Confounder("keys_near", "A key may have been near enough to keep it awake.", 0.6),
        Confounder("disturbed", "It may have been disturbed during the watch.", 0.5),
        Confounder("short_watch", "It was watched for less than an hour.", 0.6, True),
        Confounder("few_readings", "There are few readings of it asleep.", 0.6),
        Confounder("high_voltage", "The car may wake and feed its 12 volt battery by itself.", 0.6),
    ),
    sentences={
        "chart.draw": "Draw after shutdown: {told}.",
        "chart.limit": "Limit when asleep: {limit}.",
        "chart.left_out": "The first readings, much higher, are not drawn.",
        "chart.mark": "at most {limit}",
        "customer.through_fuse": (
            "With the car at rest, current keeps flowing through this fuse's circuit: {fuse} "
            "(about {about})."
        ),
        "customer.not_through_fuses": (
            "At rest the car draws {draw}, more than usual, and little of it goes through the "
            "fuses."
        ),
        "customer.high_steady": (
            "At rest the car keeps drawing {draw}, more than usual. It empties the battery while "
            "parked."
        ),
        "customer.high_pulsing": (
            "At rest the car draws more than usual, up and down between {least} and {most}."
        ),
        "customer.wakes_again": (
            "The car fell asleep ({least}), then something woke and drew {most}."
        ),
        "customer.sleeps_late": (
            "The car fell asleep only after {at}, later than usual; then it drew {least}."
        ),
        "customer.not_asleep_yet": (
            "The car was not asleep yet after {watched}, so its draw at rest is not known."
        ),
        "customer.no_number": ("Result of the watch: {seen}. A number was not read throughout."),
        "customer.sound": "At rest the car drew {draw}. That is not unusual.",
        "customer.undecided": (
            "The measurements made so far do not decide how much the car draws at rest."
        ),
        "customer.until_low": (
            "At that, a new battery of {capacity} goes from {start} to {stop} of its charge in "
            "about {long} at best; an older one sooner."
        ),
        "customer.only_while_watched": (
            "It was watched for {watched}. What wakes only now and then may not show in that time."
        ),
        "technician.through_fuse": (
            "{fuse}: {through}. Diagram: what hangs on it; unplug one at a time, and wait for "
            "sleep each time."
        ),
        "technician.not_through_fuses": (
            "{draw}, and little of it through the fuses: alternator (clamp on its B+ cable), "
            "starter, fusible links, accessories at the battery."
        ),
        "technician.high_steady": "{draw} after {at} and later, steady.",
        "technician.high_pulsing": (
            "{least} to {most}, up and down: a module that keeps waking others, or a bus kept "
            "awake."
        ),
        "technician.wakes_again": (
            "Down to {least}, up again to {most}. Overnight log; note what clicks or lights when "
            "it wakes."
        ),
        "technician.sleeps_late": (
            "Below the limit only at {at}. Maker's time to sleep; what keeps it awake until then?"
        ),
        "technician.not_asleep_yet": (
            "{last} after {watched}. Wait on, nothing touched: many cars take an hour."
        ),
        "technician.no_number": (
            "{seen}. Overload, “more than” or “less than” was noted: read on a range that fits."
        ),
        "technician.sound": (
            "{draw} asleep, watched for {watched}. If the battery still runs flat: overnight log."
        ),
        "technician.undecided": "Not enough was read, too close to tell, or no limit is known.",
        "technician.also": "Also seen: {seen}.",
        "technician.fuses_next": (
            "Next: millivolts across the fuses, none pulled, car asleep. The alternator's cable by "
            "clamp: it is on no fuse."
        ),
        "technician.fuses_partly": (
            "No fuse measured so far carries most of it. The others, then alternator, starter and "
            "what sits at the battery."
        ),
        "technician.fuse_unknown": (
            "A fuse without known rating gives no current: enter its rating or resistance."
        ),
        "technician.fuse_resistance": (
            "Currents through fuses by typical cold resistance, a fifth either way; cheap fuses "
            "differ more."
        ),
        "technician.mean_is_rough": (
            "Mean from few readings of a current that jumps: rough. A log gives a better one."
        ),
        "technician.best_case": (
            "Time until low is the best case: rated capacity, no self-discharge, no cold."
        ),
        "technician.no_general_limit": (
            "The usual limit is for 12 volt cars; enter the maker's for {volts} volt."
        ),
        "technician.close": "Where it says too close to tell: a finer range decides.",
    },
    formulas=(
        Formula(
            "draw",
            "mean over time on straight lines between the readings, from the moment it should "
            "sleep",
        ),
        Formula("a_day", "mean draw x 24 h"),
        Formula(
            "until_low",
            "rated capacity x (charge to start from − charge to stop at) / mean draw; best case",
            "definition of capacity",
        ),
        Formula(
            "fuse_*",
            "volts across the fuse / its cold resistance, typical ± 20 % where none is entered",
            "Ohm's law; resistances from memory of fuse makers' data sheets",
        ),
        Formula("rest", "mean draw less the currents through all fuses measured"),
    ),
    example={
        "ready.bypass": "yes",
        "ready.latches": "yes",
        "ready.keys": "yes",
        "ready.quiet": "yes",
        "ready.not_started": "yes",
        "given.capacity": "60",
        "watch.s1.current": "3100",
        "watch.s4.current": "310",
        "watch.s5.current": "310",
        "watch.s6.at": "75",
        "watch.s6.current": "312",
        "watch.s7.at": "90",
        "watch.s7.current": "311",
        "fuses.r1.name": "rear lamps",
        "fuses.r1.rating": "10",
        "fuses.r1.drop": "2.30",
    },
    assess=assess,
    next_step=_next_step,
)
