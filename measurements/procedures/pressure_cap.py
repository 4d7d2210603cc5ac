"""Pressure cap: where it opens, whether it holds below that, its vacuum valve, seal and rating.

The cap sits on its own adapter: a tester in the cap's place takes it out of circuit. Usual limits
are common practice: SAE J164 gives sizes of caps and necks, no opening tolerance (scope as
published), and makers' figures for common caps lie between 0.84 and 1.17 of the rating.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.atmosphere import AIR_FIELDS, ambient_of
from measurements.core.cautions import COOLS_HIGH_VOLTAGE
from measurements.core.context import Context
from measurements.core.cooling import CAP, VISIBLE_KPA
from measurements.core.decision import verdict_words
from measurements.core.judging import conclude, figure_of, judge, judge_figure, span_for
from measurements.core.one_gauge import on_one_gauge, two_readings
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Driving,
    Effort,
    Fixed,
    Flag,
    Formula,
    Grid,
    Limit,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    Series,
    Source,
    Span,
)
from measurements.core.readings import Reading, Readings, RowReadings
from measurements.core.saturation import boiling_c
from measurements.core.uncertainty import repeats, resolution
from measurements.core.wording import at_head

if TYPE_CHECKING:
    from uncertainties import UFloat

LEAST_SHARE, MOST_SHARE = 0.85, 1.15
"""Of the rating: a cap usually opens between them (common practice, from makers' figures)."""

SAME_RATING_KPA = 4.0
"""1.0 bar and 15 psi, or 1.4 bar and 20 psi, are one class; 15 and 16 psi are two (judgement)."""

MOST_SUCTION_KPA = 7.0
"""Vacuum valves usually open at some 2 to 7 kPa below the air (common practice)."""

APART_SHARE = 0.1
"""Tries further apart than a tenth of the rating: the valve sticks (judgement)."""

SHORT_HOLD_S = 30.0
HELD_LOW_SHARE, HELD_CLOSE_SHARE = 0.7, 0.95

_PRESSURE = "gauge_pressure"
_REACH_KPA = 25.0
_USUAL = Source("C", "common practice, 0.85 to 1.15 of the rating")
_ENTERED = Source("maker", "maker's figure entered with the readings")
_NO_FALL = Source("C", "common practice, no visible fall")

# --- what it is held against ------------------------------------------------------------------


def _rating(readings: Readings) -> float | None:
    """The rating on the cap; where it cannot be read, the one that the maker asks for."""
    found = readings.given("cap")
    return found if found is not None else readings.given("asked")


def _reversed(readings: Readings) -> bool:
    low, high = readings.given("opens_least"), readings.given("opens_most")
    return low is not None and high is not None and low > high


def _opening_span(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    low, high, rating = (
        readings.given("opens_least"),
        readings.given("opens_most"),
        _rating(readings),
    )
    if not _in_circuit(readings) or _reversed(readings):
        return None
    if low is not None or high is not None:
        return Span(low, high, _ENTERED)
    if rating is None:
        return None
    return Span(LEAST_SHARE * rating, MOST_SHARE * rating, _USUAL)


def _in_circuit(readings: Readings) -> bool:
    """The pressure reached the cap: not so with the tester in its place."""
    return (readings.given("fitted") or "adapter") != "in_its_place"


# --- what was read ----------------------------------------------------------------------------


def _tries(readings: Readings) -> list[tuple[RowReadings, Reading]]:
    """The tries with a number, and those that say only "more than" or "less than"."""
    found = [(row, row.get("opens")) for row in readings.rows("tries")]
    return [
        (row, reading)
        for row, reading in found
        if reading is not None and reading.status != "not_measured"
    ]


def _opens_at(readings: Readings, context: Context) -> UFloat | None:
    """Mean of the tries: what the gauge is wrong by is common to all, their scatter is averaged."""
    read = {row.code: reading for row, reading in _tries(readings) if reading.number is not None}
    if not read or not _in_circuit(readings):
        return None
    from uncertainties import ufloat

    handling = PROCEDURE.handling_u["opens"]
    numbers = on_one_gauge(read, context.instrument("pressure_tester"), handling)
    mean: Any = sum(numbers.values()) / len(numbers)
    if len(read) < 2:
        return mean
    scatter = repeats([reading.number or 0.0 for reading in read.values()]).s
    needle = max(math.hypot(handling, resolution(reading.digit)) for reading in read.values())
    # The needle's share of the scatter stands in each reading already.
    more = math.sqrt(max(0.0, scatter**2 - needle**2) / len(read))
    return mean + ufloat(0, more) if more else mean


def _held(readings: Readings) -> list[tuple[float, RowReadings, Reading]]:
    """Seconds, row, pressure."""
    found = []
    for row in readings.rows("hold"):
        seconds, reading = row.value("at"), row.get("pressure")
        if seconds is not None and reading is not None and reading.number is not None:
            found.append((float(seconds), row, reading))
    return found if _in_circuit(readings) else []


def _fall(readings: Readings) -> UFloat | None:
    held = _held(readings)
    if len(held) < 2:
        return None
    first, last = held[0][2], held[-1][2]
    start, end = two_readings(
        (first.number or 0.0, first),
        (last.number or 0.0, last),
        PROCEDURE.handling_u["pressure"],
        _REACH_KPA,
    )
    fall: Any = start - end
    return fall


def _boils_c(absolute_kpa: Any) -> Any:
    """Boiling point of water with the uncertainty of the pressure."""
    from uncertainties import wrap

    def slope(kpa: float) -> float:
        return (boiling_c(kpa + 0.1) - boiling_c(kpa - 0.1)) / 0.2

    return wrap(boiling_c, [slope])(absolute_kpa)


def _figures(readings: Readings, context: Context) -> list[Figure]:
    figures = []
    opens, fall, rating = _opens_at(readings, context), _fall(readings), _rating(readings)
    if opens is not None:
        figures.append(figure_of("opens_at", "opens at, mean of the tries", _PRESSURE, opens))
    if fall is not None:
        figures.append(figure_of("hold_fall", "fall while held", _PRESSURE, fall))
    if rating is None:
        return figures
    air = ambient_of(readings, context)
    rated = _boils_c(air + rating)
    label = "water boils under the rated pressure"
    figures.append(figure_of("boils_rated", label, "temperature", rated))
    if opens is not None:
        found: Any = _boils_c(air + opens)
        label = "water boils under the pressure at which it opens"
        figures.append(figure_of("boils_found", label, "temperature", found))
        label = "boiling point lost against the rating"
        figures.append(figure_of("boil_lost", label, "temperature_difference", rated - found))
    return figures


# --- the judgement ----------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """Each thing that the cap must do, and what the eye saw of it."""
    figures = _figures(readings, context)
    verdicts = [*judge(PROCEDURE, readings, context), *_verdicts_on(figures, readings, context)]
    by_address = {verdict.address: verdict for verdict in verdicts}
    seen = _seen(readings, by_address)
    lead, where = seen[0] if seen else (_quiet(readings, by_address), ())
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=where,
        also=tuple(Also(code, rows) for code, rows in seen[1:]),
        figures=figures,
        verdicts=verdicts,
        confounders=_confounders(readings, context, figures, lead),
        customer=_customer(lead, seen, readings, figures, context),
        technician=_technician(lead, seen, readings, figures, by_address, context),
        chart=_chart(readings, figures, context),
    )


def _verdicts_on(
    figures: Sequence[Figure], readings: Readings, context: Context
) -> list[VerdictOutcome]:
    verdicts = []
    for figure in figures:
        if figure.key == "opens_at":
            # One limit for each try and for their mean: the one chosen for the tries.
            span = span_for(PROCEDURE, "tries.t1.opens", context, readings)
            rating = _rating(readings)
            # Beyond the upper end hoses may burst; below the lower one it only boils sooner.
            high = rating is not None and (figure.value or 0.0) > rating
            verdicts.append(judge_figure(PROCEDURE, figure, context, span, safety=high))
        elif figure.key == "hold_fall":
            span = Span(None, VISIBLE_KPA, _NO_FALL)
            verdicts.append(judge_figure(PROCEDURE, figure, context, span))
    return verdicts


def _side(verdict: VerdictOutcome, reading: Reading | None) -> str:
    """ "above" or "below" the limit that it is outside of, "" if it is not."""
    if verdict.outcome != "outside":
        return ""
    if reading is not None and reading.number is None:
        return "below" if reading.status == "below" else "above"
    value = verdict.value or 0.0
    return "below" if verdict.low is not None and value < verdict.low else "above"


def _opening_seen(
    readings: Readings, by_address: Mapping[str, VerdictOutcome]
) -> list[tuple[str, tuple[str, ...]]]:
    """Late if any try was: a valve that sticks once sticks in the car."""
    mean = by_address.get("figure.opens_at")
    seen = []
    for code, side in (("opens_late", "above"), ("opens_early", "below")):
        rows = tuple(
            row.code
            for row, reading in _tries(readings)
            if _side(by_address[reading.address], reading) == side
        )
        if rows or (mean is not None and _side(mean, None) == side):
            seen.append((code, rows))
    return seen


def _seen(
    readings: Readings, by_address: Mapping[str, VerdictOutcome]
) -> list[tuple[str, tuple[str, ...]]]:
    fall = by_address.get("figure.hold_fall")
    suction = by_address.get("given.vacuum_at")
    late = suction is not None and suction.outcome == "outside"
    checks = (
        ("does_not_hold", fall is not None and fall.outcome == "outside"),
        ("wrong_rating", _other_rating(readings) != ""),
        ("vacuum_valve_stuck", readings.given("vacuum") in ("stays_shut", "stays_open") or late),
        ("seal_damaged", readings.given("seal") == "damaged"),
        ("neck_damaged", readings.given("neck") == "damaged"),
    )
    nowhere: tuple[str, ...] = ()
    return [
        *_opening_seen(readings, by_address),
        *((code, nowhere) for code, holds in checks if holds),
    ]


def _other_rating(readings: Readings) -> str:
    """ "higher" or "lower" where the cap is of another rating than the maker asks for."""
    cap, asked = readings.given("cap"), readings.given("asked")
    if cap is None or asked is None or abs(cap - asked) <= SAME_RATING_KPA:
        return ""
    return "higher" if cap > asked else "lower"


def _quiet(readings: Readings, by_address: Mapping[str, VerdictOutcome]) -> str:
    """Nothing unusual: worth something only where it was seen to open and to hold."""
    judged = [v for v in by_address.values() if v.outcome != "no_limit"]
    needed = ("figure.opens_at", "figure.hold_fall")
    whole = all(a in by_address and by_address[a].outcome == "within" for a in needed)
    usual = whole and not _apart(readings) and all(v.outcome != "outside" for v in judged)
    usual = usual and _rating(readings) is not None
    return "as_rated" if usual else "undecided"


def _apart(readings: Readings) -> bool:
    values = [reading.number for _, reading in _tries(readings) if reading.number is not None]
    rating = _rating(readings)
    if len(values) < 2 or rating is None:
        return False
    return max(values) - min(values) > APART_SHARE * rating


def _confounders(
    readings: Readings, context: Context, figures: Sequence[Figure], lead: str
) -> list[str]:
    held, rating = _held(readings), _rating(readings)
    opens = next((figure.value for figure in figures if figure.key == "opens_at"), None)
    start = held[0][2].number or 0.0 if held else 0.0
    long = held[-1][0] - held[0][0] if held else 0.0
    pressed = bool(_tries(readings)) or bool(readings.rows("hold") and held)
    checks = (
        ("not_in_circuit", not _in_circuit(readings)),
        ("rating_not_read", readings.given("cap") is None and rating is not None),
        ("makers_rating_unknown", readings.given("asked") is None),
        ("one_try", len(_tries(readings)) == 1),
        ("tries_apart", _apart(readings)),
        ("held_low", bool(held and rating) and start < HELD_LOW_SHARE * (rating or 0.0)),
        (
            "held_close",
            lead == "does_not_hold" and opens is not None and start > HELD_CLOSE_SHARE * opens,
        ),
        ("short_hold", len(held) > 1 and long < SHORT_HOLD_S),
        ("vacuum_not_tried", readings.given("vacuum") in (None, "not_tried")),
        ("seal_dirty", pressed and readings.given("seal") == "dirty"),
        ("seal_not_looked", readings.given("seal") in (None, "not_looked")),
        ("neck_not_looked", readings.given("neck") in (None, "not_looked")),
    )
    return [code for code, holds in checks if holds]


# --- words and chart --------------------------------------------------------------------------


def _kpa(value: float, context: Context) -> str:
    places = 0 if units.shop_unit(_PRESSURE, context.units) == "kPa" else 1
    return units.show_value(value, _PRESSURE, context.units, places)


def _celsius(value: float, context: Context) -> str:
    return units.show_value(value, "temperature", context.units, 0)


def _told_tries(readings: Readings, context: Context) -> str:
    """ "104 kPa, 108 kPa, more than 126 kPa", as read, each pressure once."""
    told = []
    for _, reading in _tries(readings):
        number = reading.number
        told.append(_kpa(number, context) if number is not None else reading.understood)
    return ", ".join(dict.fromkeys(told))


def _params(readings: Readings, figures: Sequence[Figure], context: Context) -> dict[str, str]:
    """Everything that a sentence may name; patterns name only what was read."""
    values = {figure.key: figure.value for figure in figures if figure.value is not None}
    params = {"tries": _told_tries(readings, context)}
    for key, value in (
        ("cap", readings.given("cap")),
        ("asked", readings.given("asked")),
        ("rating", _rating(readings)),
        ("opens", values.get("opens_at")),
    ):
        if value is not None:
            params[key] = _kpa(value, context)
    numbers = [reading.number for _, reading in _tries(readings) if reading.number is not None]
    if numbers:
        params["highest"] = _kpa(max(numbers), context)
    for key in ("rated", "found"):
        if f"boils_{key}" in values:
            params[key] = _celsius(values[f"boils_{key}"], context)
    held = _held(readings)
    if len(held) > 1:
        params["start"] = _kpa(held[0][2].number or 0.0, context)
        params["end"] = _kpa(held[-1][2].number or 0.0, context)
        params["time"] = units.show_value(held[-1][0] - held[0][0], "time", places=0, unit="s")
    suction = readings.get("given.vacuum_at")
    if suction is not None:
        number = suction.number
        params["suction"] = (
            suction.understood
            if number is None
            else units.show_value(number, "vacuum", context.units, 1)
        )
    return params


def _spoken(code: str, readings: Readings, figures: Sequence[Figure]) -> str:
    """The sentence for what was seen: some patterns come about in two ways."""
    known = {figure.key for figure in figures if figure.value is not None}
    if code == "wrong_rating":
        return "rated_" + _other_rating(readings)
    if code == "vacuum_valve_stuck":
        said = readings.given("vacuum")
        return {"stays_shut": "vacuum_shut", "stays_open": "vacuum_open"}.get(said, "vacuum_late")
    if code == "opens_late" and _rating(readings) is None:
        return "opens_late_only"
    if code == "opens_late" and any(r.number is None for _, r in _tries(readings)):
        return "did_not_open"
    if code == "opens_early" and "boils_found" not in known:
        return "opens_early_only"
    return code


def _customer(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    figures: Sequence[Figure],
    context: Context,
) -> list[Sentence]:
    params = _params(readings, figures, context)
    codes = [code for code, _ in seen] or [lead]
    said = [
        PROCEDURE.say("customer." + _spoken(code, readings, figures), **params) for code in codes
    ]
    if lead == "undecided" and not _in_circuit(readings):
        said.append(PROCEDURE.say("customer.not_in_circuit"))
    return said


def _technician(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    figures: Sequence[Figure],
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    say, params = PROCEDURE.say, _params(readings, figures, context)
    codes = [code for code, _ in seen] or [lead]
    told = [say("next." + _spoken(code, readings, figures), **params) for code in codes]
    told += [
        say("verdict", label=at_head(verdict.label), words=verdict_words(verdict, context.units))
        for address, verdict in by_address.items()
        if address.startswith("figure.") and verdict.source is not None
    ]
    by_key = {figure.key: figure for figure in figures}
    if "boils_found" in by_key:
        lost = by_key["boil_lost"]
        shown = units.show(lost.value or 0.0, lost.u, "temperature_difference", context.units)
        clear = (lost.value or 0.0) > 2 * lost.u
        told.append(say("boils_sooner" if clear else "boils", lost=shown, **params))
    checks = (
        ("not_in_circuit", not _in_circuit(readings)),
        ("reversed", _reversed(readings)),
        ("apart", _apart(readings)),
        ("no_rating", _rating(readings) is None),
        ("dirty", readings.given("seal") == "dirty"),
        ("flat_hose", readings.given("hose_flat") is True),
        ("wet_it", "wetted" in readings.unticked and "does_not_hold" in codes),
    )
    return told + [say("was." + code, **params) for code, holds in checks if holds]


def _chart(readings: Readings, figures: Sequence[Figure], context: Context) -> dict[str, Any]:
    """Each try beside rating and usual window, and their mean."""
    rows = [
        {"label": row.label, "value": reading.number, "u": reading.u}
        for row, reading in _tries(readings)
        if reading.number is not None
    ]
    mean = next((figure for figure in figures if figure.key == "opens_at"), None)
    if mean is None:
        return {}
    if len(rows) > 1:
        rows.append({"label": "mean", "value": mean.value, "u": mean.u})
    span = span_for(PROCEDURE, "tries.t1.opens", context, readings)
    cap, asked, rating = readings.given("cap"), readings.given("asked"), _rating(readings)
    marks = [] if cap is None else [{"value": cap, "label": "rating"}]
    if asked is not None and (cap is None or _other_rating(readings)):
        marks.append({"value": asked, "label": "maker asks"})
    title = PROCEDURE.say(
        "chart.tries" if rating is not None else "chart.no_rating",
        tries=_told_tries(readings, context),
        rating="" if rating is None else _kpa(rating, context),
    )
    return {
        "kind": "scale",
        "title": title.text,
        "unit": "kPa",
        "axis": "opens at",
        "low": span.low if span else None,
        "high": span.high if span else None,
        "marks": marks,
        "rows": rows,
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """What to look at or try next, the cheapest first."""
    asks = (
        ("given.cap", _rating(readings) is None, "Its rating says what it has to hold."),
        ("given.asked", readings.given("asked") is None, "A cap of another rating is a finding."),
        ("tries.t1.opens", not _tries(readings), "Pump slowly until it opens, three times."),
        ("hold.s1.pressure", len(_held(readings)) < 2, "A cap may open right and still leak."),
        ("given.vacuum", readings.given("vacuum") is None, "A stuck one flattens hoses."),
    )
    found = [(address, why) for address, lacks, why in asks if lacks]
    return tuple(found[:1]) if _in_circuit(readings) else ()


# --- the declaration --------------------------------------------------------------------------

_UNTIL_EXCHANGED = Driving(
    "only_as_stated",
    "Short distances only, no trailer and no long climbs, with the coolant level looked at cold "
    "before each drive. Stop and switch off if the temperature climbs above its usual mark.",
)
_MAY_BURST = Driving(
    "only_as_stated",
    "Short distances only until the right cap is on: pressure above its rating can burst a hose "
    "or the radiator. Stop and switch off if the temperature climbs above its usual mark or steam "
    "shows.",
)


def _suction_limit() -> Limit:
    return Limit(
        "given.vacuum_at",
        high=MOST_SUCTION_KPA,
        source=Source("C", "common practice, opens at a slight suction"),
    )


def _makers(key: str, label: str) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity=_PRESSURE,
        possible=(10.0, 300.0),
        likely=(40.0, 180.0),
        origin="told",
        finer=True,
    )


PROCEDURE = Procedure(
    name="pressure_cap",
    title="Pressure cap",
    version=1,
    group="Cooling system",
    purpose="Shows on the cap itself at which pressure it opens, whether it holds below that, "
    "whether its vacuum valve lets air back, and whether it is the cap that the maker asks for.",
    proves_nothing_when="The tester sat in the cap's place, as in a pressure hold: then the cap "
    "was never tried. Also with a dry or dirty seal, with an adapter that leaks itself, and where "
    "the neck on the car is what leaks.",
    cautions=(
        Caution(
            "Never take the cap off a hot system.",
            "Coolant under pressure flashes to steam and scalds. Wait until the hose can be held "
            "in the hand, cover the cap with a cloth, turn it slowly to the first stop, keep your "
            "face away; gloves and face shield.",
            "HSE HSG261; common practice",
            "customer",
            from_memory=True,
        ),
        Caution(
            "Goggles on while pumping.",
            "The cap spits when it opens, and an adapter that is not locked flies off. Point it "
            "away from people.",
            "common practice",
        ),
        Caution(
            "The tester must have a relief valve, and the car sees no more than the rating.",
            "On its own adapter stop at 15 % above the rating, or at the maker's figure, and "
            "record “>” and the pressure. On a tee at the car never pump above the lower of the "
            "cap's and the maker's rating.",
            "common practice",
        ),
        Caution(
            "Let the pressure down by the tester's valve before the adapter comes off.",
            "Not by unlocking it.",
            "common practice",
        ),
        Caution(
            "Electric fans start by themselves.",
            "Key out and away while you lean over the neck; sleeves, hair and cloth clear of fan "
            "and belts.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "Glycol is poisonous to people and animals.",
            "Wipe up what drips from the cap; keep the container closed and labelled. Do not taste "
            "or sniff.",
            "NIOSH, ATSDR",
            "customer",
            from_memory=True,
        ),
        COOLS_HIGH_VOLTAGE,
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("wetted", "Seal and valves clean, wetted with coolant or water.", "seal_dry"),
        Precondition(
            "tester_tight",
            "Adapter and tester tried by themselves: shut off, the gauge stands still.",
            "tester_not_tried",
        ),
        Precondition(
            "slowly",
            "Pumped slowly; the highest pressure before it opened was written down.",
            "pumped_fast",
        ),
    ),
    effort=Effort(
        minutes=4,
        tools=("cooling-system pressure tester", "cap adapter", "clock", "cloth"),
        state="cold",
        risk="Next to none: the cap comes off cold and goes back on.",
    ),
    given=(
        CAP,
        replace(
            CAP,
            key="asked",
            label="Rating that the car's maker asks for",
            origin="told",
            help="From the maker's data, not from the cap. Another rating is a finding by itself.",
        ),
        Choice(
            key="seal",
            label="Seals of the cap",
            needed=True,
            chips=True,
            choices={
                "whole": "whole and soft",
                "damaged": "hard, torn, swollen or missing",
                "dirty": "dirty",
                "not_looked": "not looked",
            },
            help="The lower seal holds the pressure, the upper one lets it draw from the bottle.",
        ),
        Choice(
            key="neck",
            label="Seat in the filler neck",
            chips=True,
            choices={
                "whole": "whole and clean",
                "damaged": "nicked, dented, cracked or eaten",
                "not_looked": "not looked",
            },
        ),
        Choice(
            key="vacuum",
            label="Vacuum valve",
            needed=True,
            chips=True,
            choices={
                "opens": "opens under suction and closes",
                "stays_shut": "stays shut",
                "stays_open": "stays open",
                "not_tried": "not tried",
            },
            help="By the pump's suction, or lifted with a finger: it must move and spring back. "
            "In some caps it hangs open at rest and closes with the first stroke.",
        ),
        Quantity(
            key="vacuum_at",
            label="Vacuum valve opens at a suction of",
            quantity="vacuum",
            possible=(0.0, 90.0),
            likely=(0.5, 20.0),
            instrument="vacuum_gauge",
            finer=True,
        ),
        Flag(key="hose_flat", label="A hose was flat after cooling", finer=True),
        Choice(
            key="fitted",
            label="Where the cap sat",
            default="adapter",
            chips=True,
            finer=True,
            choices={
                "adapter": "on its own adapter",
                "tee": "on the car, tester on a tee",
                "in_its_place": "off: the tester sat in its place",
            },
        ),
        _makers("opens_least", "Maker: opens at no less than"),
        _makers("opens_most", "Maker: opens at no more than"),
        *(replace(entry, finer=True) for entry in AIR_FIELDS),
    ),
    grids=(
        Grid(
            "tries",
            "Pumped until it opens",
            Fixed(
                (
                    Row("t1", "try 1"),
                    Row("t2", "try 2"),
                    Row("t3", "try 3"),
                    Row("t4", "try 4", optional=True),
                    Row("t5", "try 5", optional=True),
                )
            ),
            (
                Quantity(
                    key="opens",
                    label="opens at",
                    quantity=_PRESSURE,
                    possible=(0.0, 300.0),
                    likely=(30.0, 180.0),
                    needed=True,
                    instrument="pressure_tester",
                    help="The highest pressure before air comes. Not open at the upper limit: stop "
                    "and type “>” and the pressure.",
                ),
            ),
            help="The first try often lies higher: leave it in.",
        ),
        Grid(
            "hold",
            "Held just below that",
            Series(
                Quantity(
                    key="at",
                    label="time",
                    quantity="time",
                    unit="s",
                    possible=(0.0, 3600.0),
                    likely=(0.0, 600.0),
                    instrument="clock",
                ),
                planned=(0.0, 60.0),
                most=6,
            ),
            (
                Quantity(
                    key="pressure",
                    label="pressure",
                    quantity=_PRESSURE,
                    possible=(0.0, 300.0),
                    likely=(0.0, 180.0),
                    needed=True,
                    instrument="pressure_tester",
                    help="As fine as the needle shows it: 15.0 says more than 15.",
                ),
            ),
            help="Begin at about nine tenths of the pressure at which it opened.",
        ),
    ),
    handling_u={"opens": 2.0, "pressure": 0.5, "vacuum_at": 0.3},
    limits=(Limit("tries.*.opens", bounds=_opening_span), _suction_limit()),
    comparable={"fitted": (0.0, 0.0)},
    compares=("opens_at", "hold_fall"),
    maker_figures={"hold_fall": ("Fall while the cap is held", _PRESSURE)},
    patterns=(
        Pattern("opens_late", "opens too late", direct=True, driving=_MAY_BURST),
        Pattern("opens_early", "opens too early", direct=True, driving=_UNTIL_EXCHANGED),
        Pattern("does_not_hold", "does not hold pressure", direct=True, driving=_UNTIL_EXCHANGED),
        Pattern(
            "wrong_rating",
            "another rating than the maker asks for",
            direct=True,
            driving=_UNTIL_EXCHANGED,
        ),
        Pattern("vacuum_valve_stuck", "vacuum valve sticks", direct=True),
        Pattern("seal_damaged", "seal of the cap damaged", direct=True),
        Pattern("neck_damaged", "seat in the filler neck damaged", direct=True),
        Pattern("as_rated", "opens and holds as rated", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("not_in_circuit", "The tester sat in the cap's place: it was not tried.", 0.0),
        Confounder("seal_dry", "Seal and valves were not cleaned and wetted.", 0.5),
        Confounder("seal_dirty", "The seal was dirty: dirt leaks too.", 0.5),
        Confounder("tester_not_tried", "Adapter and tester were not tried for tightness.", 0.6),
        Confounder("pumped_fast", "Perhaps pumped fast: the needle overshoots.", 0.7),
        Confounder(
            "rating_not_read",
            "The rating on the cap was not read: held against the one that the maker asks for.",
            0.8,
        ),
        Confounder(
            "makers_rating_unknown",
            "Which rating the maker asks for is not known.",
            0.8,
            only_sound=True,
        ),
        Confounder("one_try", "Tried once only.", 0.7),
        Confounder("tries_apart", "The tries lie far apart.", 0.5),
        Confounder(
            "held_low",
            "Held at less than seven tenths of the rating.",
            0.5,
            only_sound=True,
        ),
        Confounder("held_close", "Held so close to where it opens that it may have opened.", 0.4),
        Confounder("short_hold", "Held for less than half a minute.", 0.6, only_sound=True),
        Confounder("vacuum_not_tried", "The vacuum valve was not tried.", 0.7, only_sound=True),
        Confounder("seal_not_looked", "Nobody looked at the seals.", 0.8, only_sound=True),
        Confounder("neck_not_looked", "Nobody looked at the filler neck.", 0.8, only_sound=True),
    ),
    leaves_apart=("cap of radiator or tank off",),
    evidence_group="coolant_escape",
    formulas=(
        Formula(
            "opens_at",
            "sum of the tries / their number; doubt: scatter / root of their number, with the "
            "gauge's own error, which all tries share",
            "JCGM 100:2008, 4.2",
        ),
        Formula("hold_fall", "pressure at the start less pressure at the end, same gauge"),
        Formula(
            "boils_rated",
            "temperature at which water's saturation pressure is air pressure + rating; glycol "
            "left out, which boils some kelvins higher",
            "IAPWS SR1-86(1992); ISO 2533 for the height",
        ),
        Formula(
            "boils_found",
            "the same with the pressure at which the cap opens",
            "IAPWS SR1-86(1992); ISO 2533 for the height",
        ),
        Formula("boil_lost", "boils under the rating less boils under the pressure found"),
    ),
    example={
        "ready.wetted": "yes",
        "ready.tester_tight": "yes",
        "ready.slowly": "yes",
        "given.cap": "110 kPa",
        "given.asked": "110 kPa",
        "given.seal": "whole",
        "given.neck": "whole",
        "given.vacuum": "opens",
        "tries.t1.opens": "112 kPa",
        "tries.t2.opens": "110 kPa",
        "tries.t3.opens": "110 kPa",
        "hold.s1.at": "0 s",
        "hold.s1.pressure": "100 kPa",
        "hold.s2.at": "60 s",
        "hold.s2.pressure": "100 kPa",
    },
    assess=assess,
    next_step=_next_step,
    sentences={
        # customer
        "customer.opens_late": "The cap of the cooling system is rated {rating}. It opened only at "
        "{highest}. Pressure above the rating can burst a hose or the radiator.",
        "customer.did_not_open": "The cap of the cooling system is rated {rating}. In trying it we "
        "noted {tries}. Pressure above the rating can burst a hose or the radiator.",
        "customer.opens_late_only": "The cap of the cooling system opened at a higher pressure "
        "than it should: {tries}. That can burst a hose or the radiator.",
        "customer.opens_early": "The cap of the cooling system is rated {rating} and opened at "
        "{opens} already. Plain water then boils at about {found} instead of {rated}; the engine "
        "loses coolant sooner when it works hard.",
        "customer.opens_early_only": "The cap of the cooling system opened at a lower pressure "
        "than it should: {tries}.",
        "customer.does_not_hold": "The cap of the cooling system let pressure go: {start} became "
        "{end} in {time}. A tight one shows no visible fall.",
        "customer.rated_higher": "The cap that is fitted is rated {cap}; the car's maker asks for "
        "{asked}. The higher pressure strains hoses and radiator.",
        "customer.rated_lower": "The cap that is fitted is rated {cap}; the car's maker asks for "
        "{asked}. The coolant boils sooner than the maker meant.",
        "customer.vacuum_shut": "The valve in the cap that lets coolant back while the engine "
        "cools does not open. Hoses can then be sucked flat.",
        "customer.vacuum_open": "The small valve in the cap stays open. It should close, or the "
        "system does not keep its pressure.",
        "customer.vacuum_late": "The valve in the cap that lets coolant back while the engine "
        "cools opened only at a suction of {suction}, more than is usual.",
        "customer.seal_damaged": "The seal of the cap is damaged, as seen by eye.",
        "customer.neck_damaged": "The seat that the cap seals on is damaged, as seen by eye. A new "
        "cap alone may not seal there.",
        "customer.as_rated": "The cap of the cooling system was tried by itself. It opened at "
        "about {opens}, is rated {rating}, and held {start} for {time}.",
        "customer.undecided": "What was tried does not show whether the cap of the cooling system "
        "does its work. It has to be tried again.",
        "customer.not_in_circuit": "The pressure was put on where the cap belongs, so the cap "
        "itself was not under pressure.",
        # technician
        "next.opens_late": "Opened late ({tries}, rated {rating}): new cap of the right rating, "
        "then look at hoses, tank seams and heater core, which may have seen that pressure.",
        "next.did_not_open": "Not open where you stopped ({tries}, rated {rating}): do not pump "
        "further. New cap, then look at hoses, tank seams and heater core.",
        "next.opens_late_only": "Opened late ({tries}): new cap of the right rating, then look at "
        "hoses, tank seams and heater core.",
        "next.opens_early": "Opened early ({tries}, rated {rating}): clean and wet seal and seat, "
        "try again, then a new cap. Coolant lost when hot fits this.",
        "next.opens_early_only": "Opened early ({tries}): clean and wet seal and seat, try again, "
        "then a new cap.",
        "next.does_not_hold": "{start} became {end} in {time}. Soapy water at the adapter first, "
        "seal wetted, tester upside down; falls again: new cap.",
        "next.rated_higher": "Wrong part: {cap} fitted, {asked} asked for. Photograph both "
        "figures; fit the right one, then pressure hold at the maker's rating only.",
        "next.rated_lower": "Wrong part: {cap} fitted, {asked} asked for. Photograph both figures; "
        "fit the right one before overheating is searched further.",
        "next.vacuum_shut": "Vacuum valve stays shut: hoses sucked flat on cooling fit this. Clean "
        "it once; it must spring back by itself.",
        "next.vacuum_open": "Vacuum valve stays open. Some hang open at rest by design: the first "
        "stroke of the pump must close them.",
        "next.vacuum_late": "Vacuum valve opened only at {suction}: clean it, try again, look at "
        "the hose to the overflow bottle.",
        "next.seal_damaged": "Seal damaged: photograph it with the ticket tag. New cap, and look "
        "at what swelled it (oil in the coolant swells rubber).",
        "next.neck_damaged": "Seat damaged: a new cap on the adapter proves nothing for this neck. "
        "Dress or exchange it, then try with the tester on a tee.",
        "next.as_rated": "As rated on the adapter. On the car the neck seals as well: look at its "
        "seat, and at the overflow hose, before the cap is left out of account.",
        "next.undecided": "Not enough to say: rating read, three tries, held for a minute at nine "
        "tenths of that, vacuum valve moved.",
        "verdict": "{label}: {words}.",
        "boils": "Water, glycol left out, boils at {found} under the pressure at which it opens.",
        "boils_sooner": "Water, glycol left out, boils at {found} under the pressure at which it "
        "opens, at {rated} under its rating: {lost} lost.",
        "was.not_in_circuit": "With the tester in the cap's place the cap is out of circuit: what "
        "was read there belongs to the system. Put the cap on its own adapter.",
        "was.reversed": "The maker's least lies above the maker's most: one of the two is "
        "mistyped, so neither was used.",
        "was.apart": "The tries lie far apart ({tries}): a valve that sticks. In the car each hot "
        "run is a first try.",
        "was.no_rating": "No rating read: it stands on the cap, in kPa, bar or psi. Without it "
        "there is nothing to hold the pressure against.",
        "was.dirty": "Dirty seal: clean it, wet it, try again before the cap is blamed.",
        "was.flat_hose": "Hose flat after cooling: vacuum valve, or the overflow hose kinked, "
        "blocked or not dipping into the coolant.",
        "was.wet_it": "The seal was not wetted: testers find air leaks that lose no coolant. Wet "
        "it and hold once more.",
        # chart
        "chart.tries": "Opened at {tries}; rated {rating}.",
        "chart.no_rating": "Opened at {tries}; rating not known.",
    },
)
