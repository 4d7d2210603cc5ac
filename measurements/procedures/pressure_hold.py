"""Cooling-system pressure hold: does it keep pressure, once cooling and warming are allowed for?

Trapped gas that cools loses pressure, its vapour condenses, shrinking coolant leaves it more room.
The fall without any leak is computed between brackets (`core.trapped_gas`); only what lies beyond
it, with its uncertainty, counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from measurements.core import decision, units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.atmosphere import AIR_FIELDS, ambient_of
from measurements.core.cautions import COOLANT_IN_CYLINDER, COOLS_HIGH_VOLTAGE
from measurements.core.context import Context
from measurements.core.cooling import (
    CAP,
    COOLANT_FIELDS,
    LOWEST_SHOWN_KPA,
    VISIBLE_KPA,
    unknowns_of,
)
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.one_gauge import two_readings
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
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Series,
    Source,
    Span,
)
from measurements.core.readings import Reading, Readings, RowReadings
from measurements.core.trapped_gas import (
    NoGasLeftError,
    NotInBalanceError,
    Unknowns,
    air_loss_ml_min,
    coolant_loss_ml,
    expected_kpa,
)
from measurements.core.uncertainty import rectangular

if TYPE_CHECKING:
    from uncertainties import UFloat

SETTLING_S = 120.0
"""Pumped air is dry and not yet at the coolant's temperature, and hoses give (common practice)."""

HOT_C = 40.0
"""Above hand-warm: makers ask for a test below about 38 °C."""

# How far apart two values share the error of the scale by half or so, kPa and °C.
_PRESSURE_REACH = 25.0
_TEMPERATURE_REACH = 10.0


@dataclass(frozen=True)
class Point:
    """One row of the hold with a pressure: seconds, row, reading in kPa."""

    seconds: float
    row: RowReadings
    reading: Reading

    @property
    def kpa(self) -> float:
        """The pressure as read."""
        return self.reading.number or 0.0


def _points(readings: Readings) -> list[Point]:
    found = []
    for row in readings.rows("hold"):
        seconds, reading = row.value("at"), row.get("pressure")
        if seconds is not None and reading and reading.number is not None:
            found.append(Point(float(seconds), row, reading))
    return found


def _temperatures(readings: Readings) -> list[tuple[float, Reading]]:
    found = []
    for row in readings.rows("hold"):
        seconds, reading = row.value("at"), row.get("temperature")
        if seconds is not None and reading and reading.number is not None:
            found.append((float(seconds), reading))
    return found


def _temperature_at(
    series: Sequence[tuple[float, Reading]],
    seconds: float,
) -> tuple[float, Reading] | None:
    """Temperature by straight lines between readings; none further than a minute outside them."""
    for (early, one), (late, two) in pairwise(series):
        if early <= seconds <= late:
            share = (seconds - early) / (late - early)
            value = (one.number or 0.0) * (1 - share) + (two.number or 0.0) * share
            return value, one if share < 0.5 else two
    near = [item for item in series if abs(item[0] - seconds) <= 60]
    return (near[0][1].number or 0.0, near[0][1]) if near else None


# --- the judgement ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Hold:
    """The stretch that is judged, and everything needed to say what a tight system would do."""

    start: Point
    end: Point
    start_kpa: UFloat
    end_kpa: UFloat
    start_c: UFloat
    end_c: UFloat
    ambient_kpa: UFloat
    unknowns: Unknowns
    settling: bool

    def expected_at(self, end_c: UFloat) -> UFloat:
        """What a tight system would show at this temperature."""
        from uncertainties import ufloat

        expected = expected_kpa(
            self.start_kpa, self.start_c, end_c, self.ambient_kpa, self.unknowns
        )
        if not self.settling:
            return expected
        # Not settled and no later start to count from: up to 5 % of the absolute pressure may still
        # go as the pumped air cools and the hoses give (judgement).
        most = 0.05 * (self.start.kpa + self.ambient_kpa.nominal_value)
        return expected - ufloat(most / 2, rectangular(most / 2))

    @property
    def seconds(self) -> float:
        """Length of the stretch."""
        return self.end.seconds - self.start.seconds


def _fitted(readings: Readings) -> str:
    return readings.given("fitted") or "tester"


def _stretch(
    points: Sequence[Point],
    settled: bool,
    floor_kpa: float,
) -> tuple[Point, Point, bool]:
    """First and last point to judge, and whether settling still has to be allowed for."""
    start, later = points[0], list(points[1:])
    settling = not settled
    if settling:
        rest = [p for p in points if p.seconds >= start.seconds + SETTLING_S]
        lost_at_once = any(p.kpa < start.kpa / 2 for p in points)
        if len(rest) >= 2 and not lost_at_once:
            start, later, settling = rest[0], rest[1:], False
    # An empty system cannot fall further: its rate ends where it reached the bottom.
    end = next((p for p in later if p.kpa <= floor_kpa + 2.0), later[-1])
    return start, end, settling


def _no_temperature(context: Context) -> tuple[UFloat, UFloat]:
    """A cold engine's coolant: near the air's temperature, and hardly changing within minutes."""
    from uncertainties import ufloat

    air = context.ambient.temperature_c
    start = ufloat(20.0 if air is None else air, 5.0)
    return start, start + ufloat(0, 1.0)


def _hold(
    readings: Readings, context: Context, start: Point, end: Point, settling: bool
) -> tuple[Hold | None, bool]:
    """The stretch with its numbers, None if the temperature cannot be known; was it read?"""
    pressures = two_readings(
        (start.kpa, start.reading),
        (end.kpa, end.reading),
        PROCEDURE.handling_u["pressure"],
        _PRESSURE_REACH,
    )
    series = _temperatures(readings)
    first, last = (_temperature_at(series, point.seconds) for point in (start, end))
    read = first is not None and last is not None
    if first is not None and last is not None:
        temperatures = two_readings(
            first, last, PROCEDURE.handling_u["temperature"], _TEMPERATURE_REACH
        )
    elif readings.given("start") == "cold":
        temperatures = _no_temperature(context)
    else:
        return None, read
    return Hold(
        start,
        end,
        *pressures,
        *temperatures,
        ambient_of(readings, context),
        unknowns_of(readings, _fitted(readings)),
        settling,
    ), read


def assess(readings: Readings, context: Context) -> Assessment:
    """Measured fall against the fall without a leak."""
    points = _points(readings)
    weak = _confounders(readings, points)
    technician: list[Sentence] = []
    if points:
        technician += _above_cap(readings, points, context)
    if len(points) < 2:
        return _undecided(readings, context, weak, [*technician, PROCEDURE.say("too_few")])
    floor = LOWEST_SHOWN_KPA[_fitted(readings)]
    start, end, settling = _stretch(points, "settled" not in readings.unticked, floor)
    hold, read = _hold(readings, context, start, end, settling)
    if not read:
        weak.append("temperature_not_read")
    if hold is None:
        return _undecided(
            readings, context, weak, [*technician, PROCEDURE.say("no_temperature")], points
        )
    weak += _confounders_of(hold, readings)
    try:
        expected = hold.expected_at(hold.end_c)
    except (NotInBalanceError, NoGasLeftError) as problem:
        return _undecided(
            readings, context, weak, [*technician, _refusal(problem, context)], points
        )
    return _judged(readings, context, hold, expected, points, weak, technician)


def _judged(
    readings: Readings,
    context: Context,
    hold: Hold,
    expected: UFloat,
    points: Sequence[Point],
    weak: Sequence[str],
    technician: list[Sentence],
) -> Assessment:
    fall: Any = hold.start_kpa - hold.end_kpa
    by_cooling: Any = hold.start_kpa - expected
    excess: Any = expected - hold.end_kpa
    figures = [
        figure_of("fall", "fall as read", "gauge_pressure", fall),
        figure_of("expected_fall", "fall of a tight system", "gauge_pressure", by_cooling),
        figure_of("excess", "fall beyond that of a tight system", "gauge_pressure", excess),
        *_rates(readings, hold, expected, excess),
    ]
    pattern = _pattern(hold, fall, by_cooling, excess, context.risk)
    if pattern in _ESCAPES and _at_once(hold, points):
        pattern = "falls_at_once"
    verdict, more = _verdict(readings, context, hold, points, figures[2], pattern)
    figures += more
    # The maker may allow less than an eye can see.
    if verdict.outcome == "outside" and pattern == "steady":
        pattern = "falls_faster"
    lead, also = _with_drips(readings, pattern)
    told = _technician(pattern, hold, expected, excess, readings, verdict, weak, context)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=() if lead in ("steady", "drips_seen", "undecided") else (hold.end.row.code,),
        also=also,
        figures=figures,
        verdicts=(*judge(PROCEDURE, readings, context), verdict),
        confounders=weak,
        customer=_customer(pattern, lead, hold, fall, by_cooling, readings, context),
        technician=(*technician, *told),
        chart=_chart(readings, hold, points, expected, context),
    )


def _pattern(hold: Hold, fall: UFloat, by_cooling: UFloat, excess: UFloat, risk: float) -> str:
    """What was seen. Direction words go by the values read, decisions by their uncertainty."""
    y, u = excess.nominal_value, excess.std_dev
    lost, cooled = fall.nominal_value, by_cooling.nominal_value
    below = decision.decide(y, u, high=VISIBLE_KPA, risk=risk).outcome
    above = decision.decide(-y, u, high=VISIBLE_KPA, risk=risk).outcome
    if below == "outside":
        if cooled >= -VISIBLE_KPA:
            return "falls_faster"
        return "falls_although_warming" if lost > 0 else "rises_less"
    if above == "outside":
        return "rises_more" if lost < 0 else "undecided"
    by_temperature = "falls_as_cooling" if lost > 0 else "rises_as_warming"
    if hold.settling:
        by_temperature = "undecided"  # what settles is neither cooling nor a leak
    if below == above == "within":
        return "steady" if abs(lost) <= VISIBLE_KPA else by_temperature
    # Too uncertain for a verdict, yet all that was seen is what temperature alone may do.
    plain = abs(lost) > VISIBLE_KPA and abs(cooled) > VISIBLE_KPA and lost * cooled > 0
    return by_temperature if plain and abs(y) <= 2 * u else "undecided"


def _at_once(hold: Hold, points: Sequence[Point]) -> bool:
    return any(
        p.kpa < hold.start.kpa / 2 and p.seconds - hold.start.seconds <= SETTLING_S for p in points
    )


def _drip_place(readings: Readings) -> str:
    """Words for where coolant escaped from the car, "" if that was not seen."""
    seen = readings.given("drips")
    return "" if seen in (None, "none", "not_looked", "tester") else _PLACES[seen]


def _with_drips(readings: Readings, pattern: str) -> tuple[str, tuple[Also, ...]]:
    """Coolant seen escaping leads where the pressure says less than the eye."""
    if not _drip_place(readings):
        return pattern, ()
    if pattern in ("steady", "undecided", "falls_as_cooling", "rises_as_warming"):
        return "drips_seen", ()
    return pattern, (Also("drips_seen"),)


def _rates(readings: Readings, hold: Hold, expected: UFloat, excess: UFloat) -> tuple[Figure, ...]:
    from uncertainties import ufloat

    minutes = hold.seconds / 60
    rate = figure_of(
        "leak_rate", "fall beyond cooling, a minute", "pressure_rate", excess / minutes
    )
    labels = (
        ("coolant_loss", "coolant lost, if it is coolant that escapes"),
        ("air_loss", "air lost, if it is air that escapes"),
    )
    gas_l = readings.given("gas_space_l")
    if gas_l is None:
        why = "the room above the coolant is not known in litres"
        return (
            rate,
            *(Figure(key, label, "flow", None, absent_because=why) for key, label in labels),
        )
    # A gas space is estimated from how much it takes to fill it: 10 % (judgement).
    gas: Any = ufloat(gas_l, 0.1 * gas_l)
    liquid = coolant_loss_ml(gas, expected, hold.end_kpa, hold.ambient_kpa) / minutes
    air = air_loss_ml_min(gas, excess, hold.seconds, hold.start_c, hold.end_c)
    return (rate, figure_of(*labels[0], "flow", liquid), figure_of(*labels[1], "flow", air))


def _verdict(
    readings: Readings,
    context: Context,
    hold: Hold,
    points: Sequence[Point],
    excess: Figure,
    pattern: str,
) -> tuple[VerdictOutcome, list[Figure]]:
    """The fall beyond cooling against none visible, or, where the car's maker allows one, against
    that at the maker's time; without a reading at about that time there is no verdict."""
    allowed = readings.given("allowed_fall")
    if allowed is None:
        span = None if pattern == "rises_more" else Span(None, VISIBLE_KPA, _NONE_VISIBLE)
        return judge_figure(PROCEDURE, excess, context, span), []
    seconds = readings.given("allowed_time") or SETTLING_S
    source = Source("maker", f"car maker's limit in {_minutes(seconds)}")
    near = [p for p in points if abs(p.seconds - hold.start.seconds - seconds) <= seconds / 10]
    label = "fall beyond cooling in the maker's time"
    why, beyond = "there is no reading at about the time that the maker gives", None
    stretch, _ = _hold(readings, context, hold.start, near[0], hold.settling) if near else (None, 0)
    if stretch is not None:
        try:
            beyond = stretch.expected_at(stretch.end_c) - stretch.end_kpa
        except (NotInBalanceError, NoGasLeftError):
            why = "for the maker's time nothing can be predicted"
    if beyond is None:
        figure = Figure("excess_by_maker", label, "gauge_pressure", None, absent_because=why)
        return judge_figure(PROCEDURE, figure, context, Span(None, allowed, source)), [figure]
    figure = figure_of("excess_by_maker", label, "gauge_pressure", beyond)
    return judge_figure(PROCEDURE, figure, context, Span(None, allowed, source)), [figure]


_NONE_VISIBLE = Source("C", "common practice, no visible fall")


# --- confounders ------------------------------------------------------------------------------


def _confounders(readings: Readings, points: Sequence[Point]) -> list[str]:
    weak = []
    if readings.given("start") == "hot":
        weak.append("hot_start")
    if readings.given("gas_space") == "brim":
        weak.append("brim_full")
    if readings.given("drips") in (None, "not_looked"):
        weak.append("not_looked")
    if readings.given("drips") == "tester":
        weak.append("tester_leaked")
    cap = readings.given("cap")
    if cap and points:
        if points[0].kpa < 0.7 * cap:
            weak.append("low_pressure")
        if readings.given("fitted") == "tee" and max(p.kpa for p in points) > 0.9 * cap:
            weak.append("cap_may_open")
    return weak


def _confounders_of(hold: Hold, readings: Readings) -> list[str]:
    weak = []
    if hold.start_c.nominal_value > HOT_C and readings.given("start") != "hot":
        weak.append("hot_start")
    if hold.seconds < SETTLING_S:
        weak.append("short_hold")
    change = abs(hold.end_c.nominal_value - hold.start_c.nominal_value)
    if change > 2 and readings.given("temperature_at") not in (None, "tank"):
        weak.append("temperature_elsewhere")
    return weak


# --- words and chart --------------------------------------------------------------------------


def _pressure(kpa: float, context: Context) -> str:
    system = context.units
    places = 0 if units.shop_unit("gauge_pressure", system) == "kPa" else 1
    return units.show_value(kpa, "gauge_pressure", system, places)


def _minutes(seconds: float) -> str:
    return units.show_value(seconds, "time", places=1 if seconds % 60 else 0, unit="min")


def _above_cap(readings: Readings, points: Sequence[Point], context: Context) -> list[Sentence]:
    cap = readings.given("cap")
    highest = max(points, key=lambda point: point.kpa)
    if not cap or highest.kpa - 2 * highest.reading.u <= cap:
        return []
    return [
        PROCEDURE.say(
            "above_cap", highest=_pressure(highest.kpa, context), cap=_pressure(cap, context)
        )
    ]


def _refusal(problem: NotInBalanceError | NoGasLeftError, context: Context) -> Sentence:
    """Why nothing can be predicted, in the shop's units."""
    if isinstance(problem, NoGasLeftError):
        return PROCEDURE.say(
            "no_gas_left",
            warming=units.show_value(problem.warming_k, "temperature_difference", context.units, 0),
        )
    return PROCEDURE.say(
        "not_in_balance",
        gauge=_pressure(problem.gauge_kpa, context),
        temperature=units.show_value(problem.temperature_c, "temperature", context.units, 0),
        vapour=units.show_value(problem.vapour_kpa, "absolute_pressure", context.units, 0),
    )


def _undecided(
    readings: Readings,
    context: Context,
    weak: Sequence[str],
    technician: Sequence[Sentence],
    points: Sequence[Point] = (),
) -> Assessment:
    """Nothing to compare with; drips that were seen still count."""
    lead, also = _with_drips(readings, "undecided")
    place = _drip_place(readings)
    key = "drips_seen" if place else "undecided"
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        also=also,
        confounders=weak,
        verdicts=judge(PROCEDURE, readings, context),
        customer=(PROCEDURE.say(f"customer.{key}", place=place),),
        technician=(*technician, *([PROCEDURE.say(key, place=place)] if place else [])),
        chart=_chart(readings, None, points, None, context) if len(points) > 1 else {},
    )


def _customer(
    pattern: str,
    lead: str,
    hold: Hold,
    fall: UFloat,
    by_cooling: UFloat,
    readings: Readings,
    context: Context,
) -> list[Sentence]:
    cap, place = readings.given("cap"), _drip_place(readings)
    said = [
        PROCEDURE.say(
            "customer.made" if cap else "customer.made_no_cap",
            start=_pressure(hold.start.kpa, context),
            time=_minutes(hold.seconds),
            cap=_pressure(cap, context) if cap else "",
        )
    ]
    explained = by_cooling.nominal_value
    key = f"customer.{pattern}"
    if pattern == "falls_faster" and hold.settling:
        key = "customer.falls_faster_settling"
    elif pattern == "falls_faster" and explained < 1:
        key = "customer.falls_faster_not_cooling"
    if not (lead == "drips_seen" and pattern in ("steady", "undecided")):
        said.append(
            PROCEDURE.say(
                key,
                change=_pressure(abs(fall.nominal_value), context),
                explained=_pressure(abs(explained), context),
                visible=units.show_value(VISIBLE_KPA, "gauge_pressure", context.units, 1),
            )
        )
    if place:
        said.append(PROCEDURE.say("customer.drips_seen", place=place))
    elif pattern in _ESCAPES:
        said.append(PROCEDURE.say("customer.where_unknown"))
    return said


_ESCAPES = ("falls_faster", "falls_at_once", "falls_although_warming", "rises_less")


def _technician(
    pattern: str,
    hold: Hold,
    expected: UFloat,
    excess: UFloat,
    readings: Readings,
    verdict: VerdictOutcome,
    weak: Sequence[str],
    context: Context,
) -> list[Sentence]:
    beyond, place = excess.nominal_value, _drip_place(readings)
    told = [
        PROCEDURE.say(
            "numbers_lower" if beyond >= 0 else "numbers_higher",
            start=_pressure(hold.start.kpa, context),
            end=_pressure(hold.end.kpa, context),
            time=_minutes(hold.seconds),
            tight=units.show(
                expected.nominal_value, expected.std_dev, "gauge_pressure", context.units
            ),
            excess=units.show(abs(beyond), excess.std_dev, "gauge_pressure", context.units),
        )
    ]
    if verdict.source:
        told.append(
            PROCEDURE.say(
                "verdict", label=verdict.label, words=decision.verdict_words(verdict, context.units)
            )
        )
    if hold.start.row.code != "s1":
        told.append(PROCEDURE.say("counted_later", time=_minutes(hold.start.seconds)))
    if hold.settling:
        told.append(PROCEDURE.say("still_settling"))
    if place:
        told.append(PROCEDURE.say("drips_seen", place=place))
    elif "tester_leaked" in weak:
        told.append(PROCEDURE.say("next.tester"))
    elif pattern in _ESCAPES:
        looked = readings.given("drips") == "none"
        told.append(PROCEDURE.say("next.nothing_drips" if looked else "next.look"))
    if pattern == "undecided":
        fell_short = decision.decide(-beyond, excess.std_dev, high=VISIBLE_KPA, risk=context.risk)
        told.append(
            PROCEDURE.say("fell_less" if fell_short.outcome == "outside" else "next.longer")
        )
    elif f"next.{pattern}" in PROCEDURE.sentences:
        told.append(
            PROCEDURE.say(
                f"next.{pattern}", hides=_pressure(max(0.0, beyond + 2 * excess.std_dev), context)
            )
        )
    told += [PROCEDURE.say(f"was.{code}") for code in ("hot_start", "brim_full") if code in weak]
    return told


def _chart(
    readings: Readings,
    hold: Hold | None,
    points: Sequence[Point],
    expected: UFloat | None,
    context: Context,
) -> dict[str, Any]:
    """Pressure over time as read, and what a tight system would show."""
    series: list[dict[str, Any]] = [
        {"label": "as read", "points": [[p.seconds, p.kpa, p.reading.u] for p in points]}
    ]
    title = PROCEDURE.say(
        "chart.as_read",
        start=_pressure(points[0].kpa, context),
        end=_pressure(points[-1].kpa, context),
    ).text
    if hold is not None and expected is not None:
        curve = _no_leak_curve(readings, hold, expected)
        series.append({"label": "if nothing leaked", "points": curve})
        title = PROCEDURE.say(
            "chart.compared",
            start=_pressure(hold.start.kpa, context),
            end=_pressure(hold.end.kpa, context),
            time=_minutes(hold.seconds),
            tight=_pressure(expected.nominal_value, context),
        ).text
    cap = readings.given("cap")
    limits = [{"label": "cap rating", "value": cap, "beyond": "above"}] if cap else []
    return {
        "kind": "lines",
        "title": title,
        "x": {"label": "time", "unit": "s"},
        "y": {"label": "gauge pressure", "unit": "kPa", "from_zero": False},
        "series": series,
        "limits": limits,
        "note": "",
    }


def _no_leak_curve(
    readings: Readings, hold: Hold, expected: UFloat, steps: int = 4
) -> list[list[float]]:
    """The no-leak curve from the start to what is expected at the end: seconds, kPa, u;
    temperature by straight lines between readings."""
    temperatures = _temperatures(readings)
    between = [(0, hold.start_kpa)] if not hold.settling else []
    for step in range(len(between), steps):
        seconds = hold.start.seconds + hold.seconds * step / steps
        found = _temperature_at(temperatures, seconds) if len(temperatures) > 1 else None
        straight: Any = hold.start_c * (1 - step / steps) + hold.end_c * (step / steps)
        at = straight + ((found[0] - straight.nominal_value) if found else 0.0)
        try:
            between.append((step, hold.expected_at(at)))
        except (NotInBalanceError, NoGasLeftError):
            continue  # in between it may have been warmer than at the end
    curve = []
    for step, shown in (*between, (steps, expected)):
        # From the start as it was read: what the gauge is wrong by at both ends says nothing here.
        moved: Any = shown - hold.start_kpa
        seconds = hold.start.seconds + hold.seconds * step / steps
        curve.append([seconds, shown.nominal_value, moved.std_dev])
    return curve


# --- the declaration --------------------------------------------------------------------------

_PLACES = {
    "not_looked": "not looked yet",
    "none": "none seen",
    "radiator": "at the radiator",
    "radiator_hose": "at a radiator hose or its clamp",
    "heater_hose": "at a heater hose or its joint",
    "pump": "at the coolant pump",
    "thermostat": "at the thermostat housing",
    "tank": "at the header or expansion tank",
    "neck": "at the filler neck",
    "tester": "only at the tester's own seal",
    "heater": "inside the car (wet carpet or heater box)",
    "plug": "at a core plug or drain in the block",
    "head_joint": "at the outer edge of the head joint",
    "oil_cooler": "at the oil cooler",
    "tailpipe": "from the exhaust pipe",
    "elsewhere": "elsewhere, see the note and photo",
}

_WATCH_COOLANT = Driving(
    "only_as_stated",
    "Short distances only, with the coolant level looked at cold before each drive. Stop and "
    "switch off if the temperature climbs above its usual mark.",
)

PROCEDURE = Procedure(
    name="pressure_hold",
    title="Cooling system pressure hold",
    version=1,
    group="Cooling system",
    purpose="Shows whether the cooling system keeps its pressure, with cooling and warming of the "
    "trapped gas allowed for.",
    proves_nothing_when="The temperature was not read on a warm engine; the system was full to the "
    "brim; or the leak opens only hot or with the engine running.",
    cautions=(
        Caution(
            "Never open a hot cooling system, nor fit a gauge to it.",
            "Coolant under pressure flashes to steam and scalds. Wait until the hose can be held "
            "in the hand, cover the cap with a cloth, turn it slowly to the first stop, keep your "
            "face away; gloves and face shield.",
            "HSE HSG261; common practice",
            "customer",
            from_memory=True,
        ),
        Caution(
            "Never above the rating on the cap.",
            "More can burst radiator, heater core or tank. Watch the gauge while pumping; use a "
            "tester with a relief valve.",
            "common practice",
        ),
        Caution(
            "Let the pressure down slowly before the tester comes off.",
            "By its valve, not by unscrewing it.",
            "common practice",
        ),
        Caution(
            "No hand pump left on a running engine.",
            "Only where a step asks for it: start from nought, watch all the time, let down at the "
            "cap's rating, never to warm the engine up.",
            "common practice",
        ),
        Caution(
            "Electric fans start by themselves.",
            "Key out and away; hands, hair, sleeves and leads clear of fan and belts.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        COOLANT_IN_CYLINDER,
        Caution(
            "Glycol is poisonous to people and animals.",
            "Catch it, close and label the container, wipe up what was spilt. Do not taste or "
            "sniff.",
            "NIOSH, ATSDR",
            "customer",
            from_memory=True,
        ),
        COOLS_HIGH_VOLTAGE,
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("filled", "Coolant filled to its mark; the level before that is noted.", ""),
        Precondition(
            "tester_tight",
            "Tester tried by itself: shut off from the car, its gauge stands still.",
            "tester_not_tried",
        ),
        Precondition(
            "settled",
            "Pumped up, left for one to two minutes, topped up; then the clock started.",
            "not_settled",
        ),
    ),
    effort=Effort(
        minutes=15,
        tools=("cooling-system pressure tester with adapters", "thermometer", "clock", "lamp"),
        state="cold",
        risk="An old radiator or heater core may give way under its own rated pressure.",
    ),
    given=(
        CAP,
        Choice(
            key="fitted",
            label="Where the tester sits",
            default="tester",
            choices={"tester": "in the cap's place", "tee": "on a tee, the cap stays on"},
        ),
        Choice(
            key="start",
            label="Engine at the start",
            needed=True,
            choices={"cold": "cold, stood for hours", "lukewarm": "hand-warm", "hot": "hot"},
        ),
        *COOLANT_FIELDS,
        Choice(
            key="temperature_at",
            label="Where the temperature is taken",
            default="tank",
            choices={
                "tank": "in or on the tank, at the gas",
                "hose": "on a hose or the housing",
                "sensor": "the engine's own sensor",
            },
        ),
        *AIR_FIELDS,
        Quantity(
            key="allowed_fall",
            label="Fall that the car's maker allows",
            quantity="gauge_pressure",
            possible=(0.0, 100.0),
            likely=(1.0, 30.0),
            origin="told",
        ),
        Quantity(
            key="allowed_time",
            label="Within this time",
            quantity="time",
            unit="min",
            possible=(10.0, 7200.0),
            likely=(60.0, 1800.0),
            origin="told",
            help="Left empty, 2 min is taken.",
        ),
        Choice(
            key="drips",
            label="Where coolant was seen escaping",
            needed=True,
            choices=_PLACES,
            help="Look below, behind the pump, along each hose, and feel the carpet.",
        ),
    ),
    grids=(
        Grid(
            "hold",
            "The hold",
            Series(
                Quantity(
                    key="at",
                    label="time",
                    quantity="time",
                    unit="min",
                    possible=(0.0, 86_400.0),
                    likely=(0.0, 3600.0),
                    instrument="clock",
                ),
                planned=(0.0, 120.0, 300.0),
            ),
            (
                Quantity(
                    key="pressure",
                    label="pressure",
                    quantity="gauge_pressure",
                    possible=(-30.0, 300.0),
                    likely=(0.0, 160.0),
                    needed=True,
                    instrument="pressure_tester",
                ),
                Quantity(
                    key="temperature",
                    label="coolant temperature",
                    quantity="temperature",
                    possible=(-40.0, 150.0),
                    likely=(0.0, 110.0),
                    instrument="thermometer",
                    help="At least at the start and at the end.",
                ),
            ),
            help="Two minutes show a plain leak, ten to fifteen a slow one.",
        ),
    ),
    handling_u={"pressure": 0.5, "temperature": 0.3},
    patterns=(
        Pattern("steady", "the pressure stays", sound=True),
        Pattern("falls_at_once", "falls at once, by more than half", driving=_WATCH_COOLANT),
        Pattern("falls_faster", "falls faster than cooling explains", driving=_WATCH_COOLANT),
        Pattern("falls_although_warming", "falls although warming", driving=_WATCH_COOLANT),
        Pattern("rises_less", "rises less than warming explains"),
        Pattern("rises_more", "rises more than warming explains", driving=_WATCH_COOLANT),
        Pattern("drips_seen", "coolant seen escaping", direct=True, driving=_WATCH_COOLANT),
        Pattern("falls_as_cooling", "falls as cooling explains"),
        Pattern("rises_as_warming", "rises as warming explains"),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "hot_start",
            "The engine was hot at the start: pressure falls by cooling alone, and how much is "
            "known only roughly.",
            0.4,
        ),
        Confounder("not_settled", "The clock started before pressure and hoses had settled.", 0.6),
        Confounder(
            "brim_full",
            "Full to the brim: with hardly any gas, a few millilitres or one kelvin make a large "
            "change.",
            0.5,
        ),
        Confounder(
            "temperature_not_read", "The coolant's temperature was not read at start and end.", 0.6
        ),
        Confounder(
            "temperature_elsewhere",
            "The temperature was not taken at the gas, which may be cooler than the rest.",
            0.7,
        ),
        Confounder("tester_not_tried", "The tester itself was not tried for tightness.", 0.6),
        Confounder("tester_leaked", "The tester's own seal let coolant or air out.", 0.1),
        Confounder(
            "low_pressure",
            "Tried at less than seven tenths of the cap's rating.",
            0.4,
            only_sound=True,
        ),
        Confounder("short_hold", "Held for less than two minutes.", 0.5, only_sound=True),
        Confounder(
            "cap_may_open", "The cap was on and may have let pressure out near its rating.", 0.5
        ),
        Confounder("not_looked", "Nobody looked for drips.", 0.8, only_sound=True),
    ),
    leaves_apart=("cap of radiator or tank off", "pressure tester on the filler neck"),
    formulas=(
        Formula("fall", "pressure at the start less pressure at the end, same gauge"),
        Formula(
            "expected_fall",
            "pressure at the start less (air part x T2/T1 x room ratio + water activity x "
            "saturation pressure at T2 − air pressure); averaged over what cannot be seen (water, "
            "hoses)",
            "Gay-Lussac's law; IAPWS SR1-86(1992); JCGM 100",
        ),
        Formula("excess", "fall as read less fall of a tight system"),
        Formula("excess_by_maker", "the same, up to the reading at the maker's time"),
        Formula("leak_rate", "fall beyond that of a tight system / minutes"),
        Formula(
            "coolant_loss",
            "gas space x (pressure of a tight system / pressure read − 1), both absolute, / "
            "minutes",
            "Boyle's law",
        ),
        Formula(
            "air_loss",
            "gas space x fall beyond cooling x T1/T2 / 101.325 kPa / minutes",
            "ideal gas law; same form as ASTM E2930 and EN 1779, from memory",
        ),
    ),
    example={
        "ready.filled": "yes",
        "ready.tester_tight": "yes",
        "ready.settled": "yes",
        "given.cap": "110",
        "given.start": "cold",
        "given.gas_space": "known",
        "given.coolant": "half",
        "given.drips": "none",
        "given.gas_space_l": "1",
        "hold.s1.at": "0",
        "hold.s1.pressure": "104",
        "hold.s1.temperature": "21",
        "hold.s2.at": "2",
        "hold.s2.pressure": "98",
        "hold.s3.at": "5",
        "hold.s3.pressure": "90",
        "hold.s3.temperature": "21",
    },
    evidence_group="coolant_escape",
    assess=assess,
    sentences={
        # customer
        "customer.made": "The cooling system was put under {start} of pressure, its cap being "
        "rated for {cap}, and left for {time}.",
        "customer.made_no_cap": "The cooling system was put under {start} of pressure and left for "
        "{time}.",
        "customer.steady": "It kept its pressure: the gauge moved by {change}, and less than "
        "{visible} counts as no visible fall. A leak that opens only hot, or "
        "only with the engine running, would not show in this test.",
        "customer.falls_faster": "It lost {change}. Cooling down accounts for about {explained} of "
        "that; a tight system shows no further fall. So something was "
        "escaping.",
        "customer.falls_faster_settling": "It lost {change}. Cooling down and settling account for "
        "about {explained} of that; a tight system shows no "
        "further fall. So something was escaping.",
        "customer.falls_faster_not_cooling": "It lost {change}, and not by cooling down. A tight "
        "system shows no visible fall. So something was "
        "escaping.",
        "customer.falls_at_once": "It lost {change}, more than half, within two minutes. A tight "
        "system shows no visible fall. So something was escaping fast.",
        "customer.falls_although_warming": "It lost {change} while it was warming up, where a "
        "tight system would have gained about {explained}. So "
        "something was escaping.",
        "customer.rises_less": "It rose by {change} while warming up, where a tight system would "
        "have gained about {explained}. So something was escaping.",
        "customer.rises_more": "It rose by {change}, where warming up accounts for about "
        "{explained}. This test does not show where the extra pressure came "
        "from; a further test does.",
        "customer.falls_as_cooling": "It lost {change}, and cooling down alone can account for "
        "that. This shows neither a leak nor that there is none; the "
        "test has to be made again with the engine cold.",
        "customer.rises_as_warming": "It rose by {change}, and warming up alone can account for "
        "that. This shows neither a leak nor that there is none; the "
        "test has to be made again at a steady temperature.",
        "customer.undecided": "The readings do not show whether the cooling system keeps its "
        "pressure. The test has to be made again.",
        "customer.drips_seen": "Coolant was seen escaping: {place}.",
        "customer.where_unknown": "Where it escapes is not shown by this test.",
        # technician
        "numbers_lower": "{start} to {end} in {time}. A tight system would then stand at {tight}; "
        "the reading is {excess} lower.",
        "numbers_higher": "{start} to {end} in {time}. A tight system would then stand at {tight}; "
        "the reading is {excess} higher.",
        "verdict": "The {label}: {words}.",
        "counted_later": "Not settled at first, so counted from {time} on.",
        "still_settling": "Not settled and no later start to count from: a fall of up to 5 % of "
        "the absolute pressure was allowed for. Let it stand, top up, start "
        "again.",
        "above_cap": "{highest} stood above the cap's rating of {cap}: let it down now. More than "
        "the rating can burst radiator or heater core.",
        "too_few": "Two pressures are needed, at the start and at the end.",
        "no_temperature": "No coolant temperature at start and end, and the engine was not cold: a "
        "fall cannot be told from cooling. Read both, or repeat it cold.",
        "not_in_balance": "No prediction: at {temperature} the coolant's vapour alone would stand "
        "at {vapour} absolute, more than {gauge} on the gauge allows. Read "
        "pressure and temperature again.",
        "no_gas_left": "No prediction: warming by {warming}, the coolant may have taken most of "
        "the room above it. Repeat it at a steady temperature, or with more room.",
        "fell_less": "Fell less than cooling must make it: the thermometer is not where the gas "
        "is, or something adds pressure. Repeat it cold; if it stays so, gas test.",
        "next.longer": "Too close for this gauge. Hold it for 10 to 15 min at a steady "
        "temperature.",
        "next.tester": "Only the tester's seal let out: seat it again with the right adapter, then "
        "hold again.",
        "next.look": "Look now, under pressure: hoses, pump, radiator, tank seams, core plugs, "
        "carpet under the heater.",
        "next.nothing_drips": "Nothing drips. In this order: soapy water at the tester's own seal; "
        "carpet and heater box; combustion gas test of the tank; plugs out, "
        "one washed clean or wet tells the cylinder; borescope with the "
        "pressure on; oil for water. Liquid may be in a cylinder: do not "
        "crank, plugs out first, turn by hand.",
        "next.steady": "A leak of up to {hides} over this time would not have shown. Complaint "
        "only hot or under load: gas test and plugs say more than a second cold "
        "hold.",
        "next.rises_more": "Rises without warming enough: combustion gas test next, before the "
        "engine is run for long. Check the thermometer's place first.",
        "next.falls_as_cooling": "Cooling alone can do this, and a leak of up to {hides} could "
        "hide in it. Repeat it cold.",
        "next.rises_as_warming": "Warming alone can do this, and a leak of up to {hides} could "
        "hide in it. Repeat it at a steady temperature.",
        "drips_seen": "Coolant seen escaping {place}: photograph it with the ticket tag, mend it, "
        "then hold again, since there may be a second place.",
        "was.hot_start": "Started hot: the curve in the chart is what cooling alone does, between "
        "its brackets. A cold hold settles it.",
        "was.brim_full": "Full to the brim: draw off about half a litre and hold again before any "
        "part is suspected.",
        # chart
        "chart.as_read": "Gauge pressure from {start} to {end}.",
        "chart.compared": "Gauge pressure from {start} to {end} in {time}; a tight system would "
        "show {tight} at the end.",
    },
)
