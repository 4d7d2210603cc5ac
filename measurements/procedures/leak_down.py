"""Cylinder leak-down: how much of the air let in escapes, and where it is heard.

The percentage depends on the tester's orifice, so cylinders are compared on one tester; its usual
bounds are common practice. Where the air comes out is the better witness: paths after a published
service manual.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from measurements.core import decision
from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.cautions import SWITCHED_OFF
from measurements.core.context import Context
from measurements.core.cylinder_pressure import leak_percent
from measurements.core.engine_layout import blocks, numbers_of, places
from measurements.core.engine_picture import engine_chart
from measurements.core.judging import conclude, figure_of, judge, judge_figure, span_for
from measurements.core.one_gauge import on_one_gauge
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Driving,
    Effort,
    Formula,
    Grid,
    Limit,
    OfCar,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Source,
    Text,
)
from measurements.core.readings import Reading, Readings
from measurements.core.units import show

if TYPE_CHECKING:
    from uncertainties import UFloat

USUAL_PERCENT = 20.0
"""More calls for a repair (common practice; makers print 20 and 25 %)."""

SEVERE_PERCENT = 30.0
"""Severe by common practice."""

OVERLAP_PERCENT = 40.0
"""So much at throttle and tailpipe at once: more likely the piston than two valves (judgement)."""

APART_POINTS = 10.0
"""Cylinders of one engine that leak further apart than this are unlike (judgement)."""

_COMMON = Source("C", "common practice")


@dataclass(frozen=True)
class Place:
    """Where air is heard: words for the form, for a narrow chart, the pattern and what it tells.

    always: it counts however little leaks.
    """

    label: str
    short: str
    pattern: str
    always: bool = False


PLACES: Mapping[str, Place] = {
    "coolant": Place("bubbles in the coolant", "coolant", "into_coolant", always=True),
    "neighbour": Place("a neighbour's plug hole", "beside", "into_neighbour", always=True),
    "tailpipe": Place("tailpipe", "tailpipe", "past_exhaust"),
    "throttle": Place("throttle or intake", "throttle", "past_intake"),
    "filler": Place("oil filler or dipstick", "filler", "past_rings"),
}
"""By how much a place tells, the most telling first."""

NOWHERE = "nowhere"


# --- the leaks --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Leaks:
    """Cylinders by row code, in order of number: per cent lost, and places where air was heard.

    typed: those whose percentage was read off the tester; too_much: beyond the limit; unlike:
    clearly more than the one that leaks least.
    """

    rows: tuple[str, ...]
    percent: Mapping[str, UFloat]
    heard: Mapping[str, tuple[str, ...]]
    typed: tuple[str, ...]
    too_much: tuple[str, ...] = ()
    unlike: tuple[str, ...] = ()
    doubtful: tuple[str, ...] = ()


def _leaks(readings: Readings, context: Context) -> tuple[dict[str, UFloat], tuple[str, ...]]:
    """Per cent by cylinder, as read off or from the two pressures; which were read off."""
    rows = readings.rows("cylinders")
    read: dict[str, Reading] = {}
    for row in rows:
        reading = row.get("pressure")
        if reading is not None and reading.number is not None and reading.status == "measured":
            read[row.code] = reading
    tester = context.instrument("leak_down_tester")
    behind = on_one_gauge(read, tester, PROCEDURE.handling_u["pressure"])
    given = readings.get("given.regulated")
    before: dict[str, Reading] = {}
    for row in rows:
        own = row.get("regulated") or given
        if own is not None and own.number and own.status == "measured":
            before[row.code] = own
    # The regulator's gauge is another one than that behind the orifice, and the same for all.
    ahead = _ahead(before, context)
    found: dict[str, UFloat] = {}
    typed = []
    for row in rows:
        off = readings.uncertain(row.address("leak"))
        if off is not None:
            found[row.code] = off
            typed.append(row.code)
        elif row.code in behind and row.code in ahead:
            found[row.code] = leak_percent(ahead[row.code], behind[row.code])
    return found, tuple(typed)


def _ahead(before: Mapping[str, Reading], context: Context) -> dict[str, UFloat]:
    """Regulated pressure by cylinder; one reading that holds for several is one number."""
    by_address = {reading.address: reading for reading in before.values()}
    tester = context.instrument("leak_down_tester")
    numbers = on_one_gauge(by_address, tester, PROCEDURE.handling_u["regulated"])
    return {code: numbers[reading.address] for code, reading in before.items()}


def _heard(readings: Readings) -> dict[str, tuple[str, ...]]:
    found = {}
    for row in readings.rows("cylinders"):
        said = [row.value(column) for column in ("heard", "also_heard")]
        found[row.code] = tuple(code for code in dict.fromkeys(said) if code in PLACES)
    return found


def _unlike(percent: Mapping[str, UFloat], risk: float) -> tuple[str, ...]:
    """Cylinders that leak more than the tightest by more than sound ones differ, beyond doubt."""
    if len(percent) < 2:
        return ()
    tightest: Any = min(percent.values(), key=lambda leak: leak.nominal_value)
    found = []
    for code, leak in percent.items():
        more: Any = leak - tightest
        apart = decision.decide(more.nominal_value, more.std_dev, None, APART_POINTS, risk)
        if apart.outcome == "outside":
            found.append(code)
    return tuple(found)


def _seen(leaks: Leaks) -> list[Also]:
    """What was seen, the leading pattern first; empty if nothing was."""
    high = tuple(code for code in leaks.rows if code in (*leaks.too_much, *leaks.unlike))
    found = []
    for place, what in PLACES.items():
        where = tuple(
            code
            for code in leaks.rows
            if place in leaks.heard[code] and (what.always or code in high)
        )
        if where:
            found.append(Also(what.pattern, where))
    unheard = tuple(code for code in leaks.too_much if not leaks.heard[code])
    if unheard:
        found.append(Also("leaks_unheard", unheard))
    told = {code for item in found for code in item.where}
    uneven = tuple(code for code in leaks.unlike if code not in told)
    if uneven:
        found.append(Also("uneven", uneven))
    if not found and leaks.doubtful:
        found.append(Also("near_limit", leaks.doubtful))
    return found


# --- the judgement ----------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """Where air escapes first, then how much, then whether the cylinders are alike."""
    percent, typed = _leaks(readings, context)
    figures = _figures(percent, typed)
    verdicts = list(judge(PROCEDURE, readings, context))
    for figure in figures:
        code = figure.key.removeprefix("leak_")
        if figure.key.startswith("leak_"):
            span = span_for(PROCEDURE, f"cylinders.{code}.leak", context, readings)
            verdicts.append(judge_figure(PROCEDURE, figure, context, span))
    outcomes = {_code_of(verdict): verdict.outcome for verdict in verdicts if _code_of(verdict)}
    rows = tuple(row.code for row in readings.rows("cylinders"))
    leaks = Leaks(
        rows,
        percent,
        _heard(readings),
        typed,
        tuple(code for code in rows if outcomes.get(code) == "outside"),
        _unlike(percent, context.risk),
        tuple(code for code in rows if outcomes.get(code) == "cannot_tell"),
    )
    seen = _seen(leaks)
    if not seen:
        seen = [Also("tight" if len(percent) == len(rows) > 1 else "undecided")]
    anything = bool(percent) or any(leaks.heard.values())
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=seen[0].pattern,
        where=seen[0].where,
        also=seen[1:],
        figures=figures,
        verdicts=verdicts,
        confounders=_confounders(readings, context, leaks),
        tables=(_table(readings, context, leaks),) if anything else (),
        customer=[PROCEDURE.say(f"customer.{i.pattern}", where=numbers_of(i.where)) for i in seen],
        technician=_technician(readings, context, leaks, seen, verdicts),
        chart=_chart(context, leaks, seen) if anything else {},
    )


def _code_of(verdict: VerdictOutcome) -> str:
    """The cylinder whose percentage a verdict is on, "" for any other."""
    address = verdict.address
    if address.startswith("figure.leak_"):
        return address.removeprefix("figure.leak_")
    parts = address.split(".")
    return parts[1] if len(parts) == 3 and parts[2] == "leak" else ""


def _figures(percent: Mapping[str, UFloat], typed: Sequence[str]) -> list[Figure]:
    figures = [
        figure_of(f"leak_{code}", f"cylinder {code[1:]}, leak", "ratio", leak)
        for code, leak in percent.items()
        if code not in typed
    ]
    if len(percent) > 1:
        most: Any = max(percent.values(), key=lambda leak: leak.nominal_value)
        least: Any = min(percent.values(), key=lambda leak: leak.nominal_value)
        figures.append(figure_of("spread", "most less least", "ratio", most - least))
    return figures


def _confounders(readings: Readings, context: Context, leaks: Leaks) -> list[str]:
    weak = []
    if context.state_of_car == "cold":
        weak.append("cold_engine")
    if readings.given("orifice") in (None, "unknown"):
        weak.append("orifice_unknown")
    if readings.given("oiled") == "yes":
        weak.append("oiled_before")
    if _at_overlap(leaks):
        weak.append("at_overlap")
    if "neighbour" in {code for heard in leaks.heard.values() for code in heard} and not blocks(
        context.car.engine
    ):
        weak.append("order_unknown")
    return weak


def _at_overlap(leaks: Leaks) -> tuple[str, ...]:
    """Cylinders that blow through both valves at once: perhaps not at the top of compression."""
    return tuple(
        code
        for code, leak in leaks.percent.items()
        if leak.nominal_value >= OVERLAP_PERCENT
        and {"throttle", "tailpipe"} <= set(leaks.heard[code])
    )


# --- words, table, chart ----------------------------------------------------------------------


def _technician(
    readings: Readings,
    context: Context,
    leaks: Leaks,
    seen: Sequence[Also],
    verdicts: Sequence[VerdictOutcome],
) -> list[Sentence]:
    told = []
    if len(leaks.percent) < 2:
        told.append(PROCEDURE.say("too_few"))
    elif len(leaks.percent) < len(leaks.rows):
        lacking = tuple(code for code in leaks.rows if code not in leaks.percent)
        told.append(PROCEDURE.say("lacking", where=numbers_of(lacking)))
    for verdict in verdicts:
        if _code_of(verdict) and verdict.outcome in ("outside", "cannot_tell"):
            told.append(
                PROCEDURE.say(
                    "leak",
                    where=_code_of(verdict)[1:],
                    leak=show(verdict.value or 0.0, verdict.u, "ratio", context.units, digit=1.0),
                    words=decision.verdict_words(verdict, context.units),
                )
            )
    severe = tuple(
        code
        for code in leaks.too_much
        if code in leaks.percent and leaks.percent[code].nominal_value > SEVERE_PERCENT
    )
    if severe:
        told.append(PROCEDURE.say("severe", where=numbers_of(severe)))
    for item in seen:
        if f"next.{item.pattern}" in PROCEDURE.sentences:
            told.append(PROCEDURE.say(f"next.{item.pattern}", where=numbers_of(item.where)))
    if overlap := _at_overlap(leaks):
        told.append(PROCEDURE.say("overlap", where=numbers_of(overlap)))
    beyond = tuple(code for code, leak in leaks.percent.items() if leak.nominal_value < 0)
    if beyond:
        told.append(PROCEDURE.say("negative", where=numbers_of(beyond)))
    if leaks.percent:
        told.append(PROCEDURE.say("one_tester"))
    return told


def _table(readings: Readings, context: Context, leaks: Leaks) -> Table:
    cells = []
    for row in readings.rows("cylinders"):
        leak: Any = leaks.percent.get(row.code)
        pressure = row.get("pressure")
        shown = (
            show(leak.nominal_value, leak.std_dev, "ratio", context.units, digit=1.0)
            if leak is not None
            else "not measured"
        )
        cells.append(
            (
                row.code[1:],
                pressure.understood if pressure else "–",
                shown,
                _where(row.value("heard"), leaks.heard[row.code]),
                str(row.value("note") or ""),
            )
        )
    return Table(
        "Leak-down by cylinder", ("cylinder", "held", "leak", "air heard", "note"), tuple(cells)
    )


def _where(said: str | None, heard: Sequence[str]) -> str:
    if heard:
        return ", ".join(PLACES[code].label for code in heard)
    return "nowhere" if said == NOWHERE else "not noted"


def _chart(context: Context, leaks: Leaks, seen: Sequence[Also]) -> dict[str, Any]:
    marked = {code for item in seen for code in item.where}
    drawn = []
    for code, bank in places(leaks.rows, context.car.engine):
        leak: Any = leaks.percent.get(code)
        heard = leaks.heard[code]
        drawn.append(
            {
                "label": code[1:],
                "bank": bank,
                "leak": None if leak is None else round(leak.nominal_value, 1),
                "air": list(heard),
                "air_word": PLACES[heard[0]].short if heard else "",
                "air_more": PLACES[heard[1]].short if heard[1:] else "",
                "air_said": ", ".join(PLACES[place].label for place in heard),
                "marked": code in marked,
            }
        )
    return engine_chart(drawn, layout=context.car.engine.layout or "inline")


# --- the declaration --------------------------------------------------------------------------


def _not_for(context: Context) -> str:
    if context.car.fuel in ("electric", "fuel_cell"):
        return "an electric car has no cylinders."
    return ""


_WATCH_TEMPERATURE = Driving(
    "only_as_stated",
    "Short distances only, with the coolant level looked at cold before each drive. Stop and "
    "switch off at once if the temperature climbs or steam shows.",
)

_HEARD = {code: place.label for code, place in PLACES.items()} | {NOWHERE: "nowhere"}

PROCEDURE = Procedure(
    name="leak_down",
    title="Cylinder leak-down",
    version=1,
    group="Engine",
    purpose="Shows how much air a cylinder loses with its valves shut, and by listening where it "
    "goes: intake valve, exhaust valve, rings, coolant or the next cylinder.",
    proves_nothing_when="The piston is not at the top of its compression stroke, or the cylinder "
    "was oiled just before. A small leak that opens only hot or under load is not found.",
    cautions=(
        Caution(
            "Air turns the crank with great force.",
            "Bar and socket off the crank before air goes in, hands, hair and sleeves clear of "
            "belts and fans; hold it with a tool made for it, gear and brake, never by hand.",
            "common practice; OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "The car can move.",
            "Wheels chocked, brake on, nobody in front or behind, gear in only while it serves to "
            "hold the engine.",
            "common practice",
        ),
        Caution(
            "Ignition off, key away, injection unplugged.",
            "A turned engine may fire or spray. Nobody with a pacemaker near an open ignition "
            "system.",
            "common practice",
        ),
        Caution(
            "Liquid in a cylinder bends rods.",
            "If coolant or much fuel may be in it: do not crank; turn it to the top by hand with "
            "all plugs out.",
            "common practice",
        ),
        Caution(
            "Compressed air blinds.",
            "Eyes covered; regulator shut before coupling and let down before uncoupling; never "
            "above what tester and maker allow.",
            "OSHA 29 CFR 1910.242(b)",
            from_memory=True,
        ),
        Caution(
            "Coolant cap only on a cold engine.",
            "Open it before air goes in, face away: bubbles throw coolant out.",
            "common practice",
        ),
        Caution(
            "Aluminium head: plugs out lukewarm, not hot.",
            "A thread in a hot head tears out with the plug, and hot metal burns. Blow out the "
            "wells first, eyes covered.",
            "common practice",
        ),
        Caution(
            "Diesel: own adapter, no loosened high-pressure line.",
            "Glow plugs or injectors out as the maker says; fuel under the skin means hospital at "
            "once.",
            "common practice",
            when=lambda context: context.car.fuel in ("diesel", ""),
        ),
        SWITCHED_OFF,
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("bar_off", "Bar and socket off the crank before air went in.", ""),
        Precondition(
            "at_top",
            "Each piston at the top of its compression stroke, both valves shut, engine held.",
            "not_at_top",
        ),
        Precondition(
            "tester_set", "Tester set to nought with its hose shut, as its maker says.", "not_set"
        ),
    ),
    effort=Effort(
        minutes=50,
        tools=(
            "leak-down tester",
            "compressed air",
            "plug socket",
            "crank holder",
            "hose to listen",
        ),
        state="hot",
        risk="A seized plug may tear its thread.",
    ),
    given=(
        Quantity(
            key="regulated",
            label="Regulated pressure, for all",
            quantity="gauge_pressure",
            possible=(20.0, 1500.0),
            likely=(80.0, 1000.0),
            instrument="leak_down_tester",
            help="With air flowing. Leave it empty where the tester shows per cent.",
        ),
        Choice(
            key="orifice",
            label="Orifice of the tester",
            choices={
                "small": "about 1 mm",
                "large": "about 1.5 mm",
                "other": "another",
                "unknown": "not known",
            },
            help="The percentage depends on it; compare only on the same tester.",
        ),
        Choice(
            key="oiled",
            label="Oiled just before",
            choices={"no": "no", "yes": "yes, for the compression test"},
            help="Oil seals the rings for a while.",
        ),
    ),
    grids=(
        Grid(
            "cylinders",
            "Cylinders",
            OfCar("cylinders"),
            (
                Quantity(
                    key="leak",
                    label="leak as shown",
                    quantity="ratio",
                    possible=(0.0, 100.0),
                    likely=(0.0, 60.0),
                    help="Where the tester shows per cent lost.",
                ),
                Quantity(
                    key="pressure",
                    label="pressure held",
                    quantity="gauge_pressure",
                    possible=(0.0, 1500.0),
                    likely=(20.0, 1000.0),
                    instrument="leak_down_tester",
                    help="Where the tester has two gauges: the one towards the cylinder.",
                ),
                Choice(
                    key="heard",
                    label="air heard at",
                    choices=_HEARD,
                    help="Listen with a hose at each: throttle open, oil filler off, coolant cap "
                    "off, neighbours' plugs out.",
                ),
                Choice(key="also_heard", label="and at", choices=_HEARD, finer=True),
                Quantity(
                    key="regulated",
                    label="regulated, if other",
                    quantity="gauge_pressure",
                    possible=(20.0, 1500.0),
                    likely=(80.0, 1000.0),
                    instrument="leak_down_tester",
                    finer=True,
                ),
                Text(key="note", label="note", longest=120),
            ),
            help="Cylinder 1 is where the maker counts from. Go by the firing order, half or a "
            "whole turn from one to the next.",
        ),
    ),
    limits=(Limit("cylinders.*.leak", high=USUAL_PERCENT, source=_COMMON),),
    handling_u={"leak": 2.0, "pressure": 3.0, "regulated": 3.0},
    comparable={"orifice": (0.0, 0.0), "regulated": (0.0, 0.15), "oiled": (0.0, 0.0)},
    patterns=(
        Pattern("tight", "little leaks, and much the same everywhere", sound=True),
        Pattern("into_coolant", "bubbles in the coolant", direct=True, driving=_WATCH_TEMPERATURE),
        Pattern("into_neighbour", "air at the next cylinder's plug hole", direct=True),
        Pattern("past_exhaust", "air at the tailpipe", direct=True),
        Pattern("past_intake", "air at the throttle", direct=True),
        Pattern("past_rings", "air at the oil filler", direct=True),
        Pattern("leaks_unheard", "leaks much, and not heard where"),
        Pattern("uneven", "some leak clearly more than others"),
        Pattern("near_limit", "too near the usual limit to say"),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "not_at_top",
            "Nobody ticked that each piston stood at the top of compression: a valve may have been "
            "open.",
            0.3,
        ),
        Confounder(
            "at_overlap",
            "Much air through both valves at once: the piston may have stood at the wrong top.",
            0.3,
        ),
        Confounder("not_set", "The tester was not set to nought before.", 0.6),
        Confounder(
            "cold_engine", "The engine was cold: rings and valves seal otherwise than warm.", 0.7
        ),
        Confounder(
            "orifice_unknown",
            "The tester's orifice is not known, and usual figures differ with it.",
            0.8,
        ),
        Confounder(
            "oiled_before",
            "The cylinders had just been oiled, which seals worn rings.",
            0.4,
            only_sound=True,
        ),
        Confounder(
            "order_unknown", "The engine's layout is not known, so neighbours cannot be told.", 0.9
        ),
    ),
    needs_before=("spark_plugs", "compression"),
    spoils=("trouble_codes",),
    leaves_apart=(
        "spark plugs out",
        "coils or leads unplugged",
        "leak-down adapter in a plug hole",
    ),
    formulas=(
        Formula(
            "leak_*",
            "100 × (1 − pressure behind the tester's orifice / regulated pressure before it), "
            "gauge pressures, %; where the tester shows per cent, its own figure goes first",
            "common practice; agrees with a maker's manual, seen second-hand",
        ),
        Formula("spread", "largest leak − smallest, in points"),
    ),
    example={
        "ready.bar_off": "yes",
        "ready.at_top": "yes",
        "ready.tester_set": "yes",
        "given.regulated": "100 psi",
        "given.orifice": "small",
        "given.oiled": "no",
        "cylinders.c1.pressure": "93 psi",
        "cylinders.c2.pressure": "94 psi",
        "cylinders.c3.pressure": "58 psi",
        "cylinders.c3.heard": "tailpipe",
        "cylinders.c4.pressure": "92 psi",
    },
    evidence_group="combustion_by_cylinder",
    not_for=_not_for,
    assess=assess,
    sentences={
        # customer
        "customer.tight": "All cylinders hold their air, and much alike.",
        "customer.into_coolant": "Air let into cylinder {where} came out in the coolant. There is "
        "a way between the two that must not be there.",
        "customer.into_neighbour": "Air let into cylinder {where} came out at the cylinder beside "
        "it.",
        "customer.past_exhaust": "Air let into cylinder {where} came out at the exhaust, which "
        "points to a valve there.",
        "customer.past_intake": "Air let into cylinder {where} came out at the intake, which "
        "points to a valve there.",
        "customer.past_rings": "Air let into cylinder {where} came out below, past the piston. "
        "That points to where the piston runs.",
        "customer.leaks_unheard": "Cylinder {where} loses much of its air; we did not hear where.",
        "customer.uneven": "Cylinder {where} loses clearly more air than the best one.",
        "customer.near_limit": "Cylinder {where} is too near what is usual for our tester to say "
        "on which side it is.",
        "customer.undecided": "Too few cylinders were measured to compare them.",
        # technician
        "too_few": "Measure every cylinder on the same tester: one alone cannot be compared.",
        "lacking": "Not measured: {where}. Nothing is called tight before all are.",
        "leak": "{where} leaks {leak}: {words}.",
        "severe": "{where}: more than 30 %, severe by common practice.",
        "next.into_coolant": "{where}: gasket, head or liner. Borescope, pressure hold with the "
        "plugs out, then the head's flatness. Rising air from a recent refill soon stops; this "
        "does not.",
        "next.into_neighbour": "{where}: gasket between the two. Put air into the neighbour too: "
        "it must come back.",
        "next.past_exhaust": "{where}: exhaust valve. Clearance first, tap the valve for a speck "
        "of carbon, again, then borescope.",
        "next.past_intake": "{where}: intake valve. Clearance and cam timing first, again, then "
        "borescope.",
        "next.past_rings": "{where}: rings, bore or piston. With the piston lower down, crank "
        "locked, a leak that falls tells a worn top of the bore from rings. All alike: an engine "
        "worn evenly.",
        "next.leaks_unheard": "{where}: is the adapter itself tight, the piston at the top of "
        "compression? Then listen with a hose at throttle, tailpipe, filler, coolant and the next "
        "plug holes.",
        "next.uneven": "{where}: listen there again, hot if it was cold.",
        "next.near_limit": "{where}: turn twice, set the tester again, repeat.",
        "overlap": "{where} blows at throttle and tailpipe at once: turn one whole turn to the "
        "other top, then again.",
        "negative": "{where}: more behind the orifice than before it. Set the tester to nought and "
        "read again.",
        "one_tester": "The percentage depends on the tester's orifice: compare cylinders, and "
        "earlier tests on the same tester, not figures from elsewhere.",
    },
)
