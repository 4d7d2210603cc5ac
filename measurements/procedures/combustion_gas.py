"""Combustion gas in the coolant: colour test, bubbles, hard hose, and pressure beyond warming.

The colour of the fluid counts only beside a control in clean air, without liquid drawn in, with the
fluid made for this fuel. The pressure after a cold start is held against what warming alone does to
the trapped gas (`core.trapped_gas`). No authority publishes how often the colour test errs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from measurements.core import decision, units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.atmosphere import AIR_FIELDS, ambient_of
from measurements.core.cautions import COOLANT_IN_CYLINDER
from measurements.core.context import Context
from measurements.core.cooling import (
    CAP,
    COOLANT_FIELDS,
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
    Count,
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
from measurements.core.trapped_gas import NoGasLeftError, NotInBalanceError, expected_kpa

if TYPE_CHECKING:
    from uncertainties import UFloat

HARD_EARLY_S = 60.0
"""A hose that is hard within a minute of a cold start is unusual (common practice)."""

DRIVES_TO_BLEED = 3
"""For so many drives after filling, air may still be leaving (common practice)."""

ENOUGH_DRAWING_S = 120.0
"""Air is drawn through the fluid for about two minutes (common practice)."""

_PRESSURE_REACH = 25.0
_TEMPERATURE_REACH = 10.0
_WARMING_ONLY = Source("C", "common practice, no visible rise beyond warming")

# --- the colour of the fluid ------------------------------------------------------------------


@dataclass(frozen=True)
class Colour:
    """What the draws say: "gas", "start", "between" or "" (nothing to rely on), and where.

    spoilt: draws that changed and count for nothing, by row.
    """

    says: str
    where: tuple[str, ...] = ()
    spoilt: tuple[str, ...] = ()
    loaded: bool = False


def _drawn(readings: Readings) -> list[RowReadings]:
    return [row for row in readings.rows("draws") if row.value("after")]


def _fluid_fits(readings: Readings, context: Context) -> bool:
    """A fluid that is made for another fuel says nothing; an unknown one is only doubted."""
    made_for = readings.given("fluid_for")
    if made_for in (None, "unknown", "both") or not context.car.fuel:
        return True
    return bool((made_for == "diesel") == context.car.is_diesel)


def _usable(row: RowReadings, readings: Readings, context: Context) -> bool:
    return (
        row.value("liquid") is not True
        and row.value("before") in (None, "start")
        and readings.given("control") not in ("between", "gas", "other")
        and _fluid_fits(readings, context)
    )


def _colour(readings: Readings, context: Context) -> Colour:
    drawn = _drawn(readings)
    used = [row for row in drawn if _usable(row, readings, context)]
    changed = [row.code for row in drawn if row not in used and row.value("after") != "start"]
    spoilt = tuple(changed)
    loaded = any(row.code == "load" for row in used)
    for says in ("gas", "between"):
        where = tuple(
            row.code
            for row in used
            if row.value("after") == says or (says == "between" and row.value("after") == "other")
        )
        if where:
            return Colour(says, where, spoilt, loaded)
    return Colour("start" if used else "", (), spoilt, loaded)


# --- pressure after a cold start --------------------------------------------------------------


@dataclass(frozen=True)
class Point:
    """A row of the rise in which both were read; seconds after the start."""

    seconds: float
    row: RowReadings
    pressure: Reading
    temperature: Reading

    @property
    def kpa(self) -> float:
        """The pressure as read."""
        return self.pressure.number or 0.0

    @property
    def celsius(self) -> float:
        """The temperature as read."""
        return self.temperature.number or 0.0


@dataclass(frozen=True)
class Rise:
    """From the first point to one of the others, and what warming alone makes of it."""

    start: Point
    end: Point
    rise: UFloat
    expected: UFloat
    excess: UFloat


def _points(readings: Readings) -> list[Point]:
    found = []
    for row in readings.rows("rise"):
        seconds, pressure, celsius = row.value("at"), row.get("pressure"), row.get("temperature")
        if seconds is None or pressure is None or celsius is None:
            continue
        if pressure.number is not None and celsius.number is not None:
            found.append(Point(float(seconds), row, pressure, celsius))
    return found


def _fitted(readings: Readings) -> str:
    return readings.given("fitted") or "tee"


def _rise_to(readings: Readings, context: Context, start: Point, end: Point) -> Rise:
    """Raises NotInBalanceError, NoGasLeftError where nothing can be predicted."""
    handling = PROCEDURE.handling_u
    at_start, at_end = two_readings(
        (start.kpa, start.pressure), (end.kpa, end.pressure), handling["pressure"], _PRESSURE_REACH
    )
    cold, warm = two_readings(
        (start.celsius, start.temperature),
        (end.celsius, end.temperature),
        handling["temperature"],
        _TEMPERATURE_REACH,
    )
    shown = expected_kpa(
        at_start,
        cold,
        warm,
        ambient_of(readings, context),
        unknowns_of(readings, _fitted(readings)),
    )
    rise: Any = at_end - at_start
    expected: Any = shown - at_start
    excess: Any = at_end - shown
    return Rise(start, end, rise, expected, excess)


def _beyond(rise: Rise, risk: float) -> str:
    excess = rise.excess
    return decision.decide(
        excess.nominal_value, excess.std_dev, high=VISIBLE_KPA, risk=risk
    ).outcome


def _rise(
    readings: Readings, context: Context, points: Sequence[Point]
) -> tuple[Rise | None, Sentence | None]:
    """The first point beyond what warming explains, else the last one; or why there is none.

    A cap that opens later hides what was seen before, so the first one counts.
    """
    refused: Sentence | None = None
    last: Rise | None = None
    for end in points[1:]:
        try:
            last = _rise_to(readings, context, points[0], end)
        except NoGasLeftError as problem:
            warming = units.show_value(
                problem.warming_k, "temperature_difference", context.units, 0
            )
            refused = PROCEDURE.say("no_gas_left", warming=warming)
            continue
        except NotInBalanceError:
            refused = PROCEDURE.say("not_in_balance")
            continue
        if _beyond(last, context.risk) == "outside":
            break
    return last, None if last else refused


# --- the judgement ----------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """Everything that points to gas in the coolant, the most direct first."""
    colour, points = _colour(readings, context), _points(readings)
    rise, refused = _rise(readings, context, points)
    verdicts = list(judge(PROCEDURE, readings, context))
    figures: list[Figure] = []
    if rise is not None:
        figures = [
            figure_of("rise", "rise as read", "gauge_pressure", rise.rise),
            figure_of("expected_rise", "rise by warming alone", "gauge_pressure", rise.expected),
            figure_of("excess_rise", "rise beyond warming", "gauge_pressure", rise.excess),
        ]
        span = Span(None, VISIBLE_KPA, _WARMING_ONLY)
        verdicts.append(judge_figure(PROCEDURE, figures[2], context, span))
    seen = _seen(readings, colour, rise, verdicts)
    lead, where = seen[0] if seen else (_quiet(colour, verdicts), ())
    weak = _doubts(readings, context, colour, points, rise)
    technician = _technician(lead, seen, readings, context, colour, rise, weak, verdicts)
    if refused is not None:
        technician.append(refused)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=where,
        also=tuple(Also(code, rows) for code, rows in seen[1:]),
        figures=figures,
        verdicts=verdicts,
        confounders=[code for code in weak if lead in _MATTERS_TO.get(code, (lead,))],
        customer=_customer(lead, seen, colour, rise, readings, context),
        technician=technician,
        chart=_chart(readings, context, points, rise),
    )


def _seen(
    readings: Readings,
    colour: Colour,
    rise: Rise | None,
    verdicts: Sequence[VerdictOutcome],
) -> list[tuple[str, tuple[str, ...]]]:
    outside = {verdict.address for verdict in verdicts if verdict.outcome == "outside"}
    bubbles, seen = readings.given("bubbles"), []
    if colour.says == "gas":
        seen.append(("gas_seen", colour.where))
    if bubbles == "follow_speed":
        seen.append(("bubbles_follow_speed", ()))
    if rise is not None and "figure.excess_rise" in outside:
        seen.append(("rises_beyond_warming", (rise.end.row.code,)))
    if "given.hose_hard_after" in outside:
        seen.append(("hose_hard_early", ()))
    if readings.given("pushed_out") == "without_overheating":
        seen.append(("pushed_out", ()))
    if _refilled_lately(readings):
        if bubbles in ("few_then_stop", "steady"):
            seen.append(("air_after_refill", ()))
    elif bubbles == "steady":
        seen.append(("steady_bubbles", ()))
    return seen


def _quiet(colour: Colour, verdicts: Sequence[VerdictOutcome]) -> str:
    """Nothing was seen: only a colour test that can be relied on says so."""
    if colour.says == "start" and not any(verdict.outcome == "outside" for verdict in verdicts):
        return "none_seen"
    return "undecided"


def _refilled_lately(readings: Readings) -> bool:
    drives = readings.given("drives_since")
    if drives is not None:
        return bool(drives <= DRIVES_TO_BLEED)
    return readings.given("refilled") == "yes"


def _doubts(
    readings: Readings,
    context: Context,
    colour: Colour,
    points: Sequence[Point],
    rise: Rise | None,
) -> list[str]:
    """Codes of what makes one or another of the observations worth less."""
    drawn = _drawn(readings)
    weak = []
    if drawn:
        weak += _doubts_of_draws(readings, context, colour, drawn)
    if _refilled_lately(readings):
        weak.append("refilled_lately")
    little = readings.given("gas_space") in ("brim", "small")
    if little and (rise is not None or readings.given("hose_hard_after") is not None):
        weak.append("little_room")
    pressures = [row for row in readings.rows("rise") if row.value("pressure") is not None]
    if len(pressures) > 1 and len(points) < 2:
        weak.append("temperature_not_read")
    cap = readings.given("cap")
    highest = max((row.value("pressure") for row in pressures), default=0.0)
    if cap and _fitted(readings) == "tee" and highest > 0.9 * cap:
        weak.append("cap_may_open")
    if readings.given("bubbles") in (None, "not_looked"):
        weak.append("bubbles_not_looked")
    return weak


_ON_FLUID = ("gas_seen", "none_seen", "undecided")
_ON_AIR = ("bubbles_follow_speed", "pushed_out", "air_after_refill", "undecided")
_ON_PRESSURE = ("rises_beyond_warming", "hose_hard_early", "undecided")
_MATTERS_TO = {
    **dict.fromkeys(("fluid_old", "fluid_age_unknown", "fluid_unknown"), _ON_FLUID),
    **dict.fromkeys(("control_not_drawn", "exhaust_near"), ("gas_seen", "undecided")),
    **dict.fromkeys(("control_changed", "liquid_drawn", "fluid_other_fuel"), ("undecided",)),
    **dict.fromkeys(("not_loaded", "short_draw"), ("none_seen", "undecided")),
    "refilled_lately": _ON_AIR,
    "little_room": _ON_PRESSURE,
}
"""Confounder -> leading patterns that it weakens: doubts on the fluid leave bubbles as they are."""


def _doubts_of_draws(
    readings: Readings, context: Context, colour: Colour, drawn: Sequence[RowReadings]
) -> list[str]:
    control = readings.given("control")
    times = [row.value("minutes") for row in drawn if row.value("minutes") is not None]
    made_for, age = readings.given("fluid_for"), readings.given("fluid_age")
    checks = (
        ("fluid_other_fuel", not _fluid_fits(readings, context)),
        ("fluid_unknown", made_for in (None, "unknown")),
        ("fluid_old", age == "past"),
        ("fluid_age_unknown", age in (None, "unknown")),
        ("control_not_drawn", control in (None, "none")),
        ("exhaust_near", "bay_air" in readings.unticked),
        ("control_changed", control in ("between", "gas", "other")),
        ("liquid_drawn", any(row.value("liquid") is True for row in drawn)),
        ("not_loaded", not colour.loaded),
        ("short_draw", bool(times) and max(times) < ENOUGH_DRAWING_S),
    )
    return [code for code, holds in checks if holds]


# --- words and chart --------------------------------------------------------------------------


def _pressure(kpa: float, context: Context) -> str:
    places = 0 if units.shop_unit("gauge_pressure", context.units) == "kPa" else 1
    return units.show_value(kpa, "gauge_pressure", context.units, places)


def _time(seconds: float) -> str:
    return units.show_value(seconds, "time", places=0, unit="s")


def _params(code: str, rise: Rise | None, readings: Readings, context: Context) -> dict[str, str]:
    if code == "hose_hard_early":
        return {"time": _time(readings.given("hose_hard_after"))}
    if code == "rises_beyond_warming" and rise is not None:
        return {
            "rise": _pressure(rise.rise.nominal_value, context),
            "time": _time(rise.end.seconds - rise.start.seconds),
            "explained": _pressure(max(0.0, rise.expected.nominal_value), context),
        }
    return {}


def _customer(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    colour: Colour,
    rise: Rise | None,
    readings: Readings,
    context: Context,
) -> list[Sentence]:
    codes = [code for code, _ in seen] or [lead]
    said = [
        PROCEDURE.say(f"customer.{code}", **_params(code, rise, readings, context))
        for code in codes
    ]
    if colour.spoilt:
        said.append(PROCEDURE.say("customer.spoilt"))
    elif seen and lead != "gas_seen" and colour.says == "start":
        said.append(PROCEDURE.say("customer.fluid_unchanged"))
    if lead in _STRONG:
        said.append(PROCEDURE.say("customer.second_ground"))
    return said


_STRONG = ("gas_seen", "bubbles_follow_speed", "rises_beyond_warming", "hose_hard_early")


def _technician(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    context: Context,
    colour: Colour,
    rise: Rise | None,
    weak: Sequence[str],
    verdicts: Sequence[VerdictOutcome],
) -> list[Sentence]:
    told = [PROCEDURE.say(f"next.{code}") for code, _ in seen] or [PROCEDURE.say(f"next.{lead}")]
    if rise is not None:
        told.append(_rise_told(rise, context))
    if lead in _STRONG:
        told.append(PROCEDURE.say("two_grounds"))
    if lead == "gas_seen" and readings.given("control") == "start":
        told.append(PROCEDURE.say("control_held"))
    if colour.says == "between":
        told.append(PROCEDURE.say("between"))
    told += [PROCEDURE.say(f"was.{code}") for code in weak if f"was.{code}" in PROCEDURE.sentences]
    if readings.given("hose") == "hard" and readings.given("hose_hard_after") is None:
        told.append(PROCEDURE.say("hose_not_timed"))
    if readings.given("pushed_out") == "with_overheating":
        told.append(PROCEDURE.say("pushed_out_hot"))
    if any(v.address == "given.hose_hard_after" and v.outcome == "cannot_tell" for v in verdicts):
        told.append(PROCEDURE.say("hose_close"))
    told += _above_cap(readings, context)
    return told


def _rise_told(rise: Rise, context: Context) -> Sentence:
    key = {"outside": "rise_beyond", "within": "rise_explained", "cannot_tell": "rise_unclear"}
    return PROCEDURE.say(
        key[_beyond(rise, context.risk)],
        rise=_pressure(rise.rise.nominal_value, context),
        time=_time(rise.end.seconds - rise.start.seconds),
        start=units.show_value(rise.start.celsius, "temperature", context.units, 0),
        end=units.show_value(rise.end.celsius, "temperature", context.units, 0),
        warming=units.show(
            rise.expected.nominal_value, rise.expected.std_dev, "gauge_pressure", context.units
        ),
    )


def _above_cap(readings: Readings, context: Context) -> list[Sentence]:
    cap = readings.given("cap")
    read = [row.get("pressure") for row in readings.rows("rise")]
    above = [
        found.number
        for found in read
        if found and cap and found.number is not None and found.number - 2 * found.u > cap
    ]
    if not above:
        return []
    highest = _pressure(max(above), context)
    return [PROCEDURE.say("above_cap", highest=highest, cap=_pressure(cap, context))]


def _chart(
    readings: Readings, context: Context, points: Sequence[Point], rise: Rise | None
) -> dict[str, Any]:
    """Pressure over time as read, and what warming alone would make of it."""
    if rise is None:
        return {}
    alone = [[points[0].seconds, points[0].kpa, 0.0]]
    for point in points[1:]:
        try:
            each = _rise_to(readings, context, points[0], point)
        except (NotInBalanceError, NoGasLeftError):
            continue
        alone.append(
            [point.seconds, points[0].kpa + each.expected.nominal_value, each.expected.std_dev]
        )
    cap = readings.given("cap")
    title = PROCEDURE.say(
        "chart.rise",
        rise=_pressure(rise.rise.nominal_value, context),
        time=_time(rise.end.seconds - rise.start.seconds),
        warming=_pressure(rise.expected.nominal_value, context),
    )
    return {
        "kind": "lines",
        "title": title.text,
        "x": {"label": "time from the start", "unit": "s"},
        "y": {"label": "gauge pressure", "unit": "kPa", "from_zero": True},
        "series": [
            {"label": "as read", "points": [[p.seconds, p.kpa, p.pressure.u] for p in points]},
            {"label": "by warming alone", "points": alone},
        ],
        "limits": [{"label": "cap rating", "value": cap, "beyond": "above"}] if cap else [],
        "note": "",
    }


def _not_for(context: Context) -> str:
    return "" if context.car.has_engine else "it has no engine in which anything burns."


# --- the declaration --------------------------------------------------------------------------

_COLOURS = {
    "start": "its starting colour (often blue)",
    "between": "between the two (often green)",
    "gas": "the colour printed for gas (often yellow)",
    "other": "another colour, or cloudy",
}

_WATCH_TEMPERATURE = Driving(
    "only_as_stated",
    "Only short distances, with the coolant level looked at cold before each drive. Stop and "
    "switch off as soon as the temperature climbs above its usual mark or the heater blows cold. "
    "Do not start it if the starter labours or stops dead: liquid may be in a cylinder.",
)

PROCEDURE = Procedure(
    name="combustion_gas",
    title="Combustion gas in the coolant",
    version=1,
    group="Cooling system",
    purpose="Shows whether gas from the cylinders gets into the cooling system: by the colour of a "
    "test fluid, bubbles, a hose that hardens early, and pressure beyond what warming explains.",
    proves_nothing_when="The leak opens only under load and the engine only idled; the engine was "
    "not warm; liquid was drawn in; the fluid is old or made for another fuel; or air from filling "
    "is still leaving.",
    cautions=(
        Caution(
            "Never open a hot cooling system.",
            "Open it cold, fit the tester, then let the engine warm up with the tester in place. A "
            "cap taken off hot lets coolant flash to steam and scalds.",
            "HSE HSG261; common practice",
            "customer",
            from_memory=True,
        ),
        Caution(
            "Coolant may spurt while the engine runs with the cap off.",
            "Face and hands away from the neck, face shield and gloves; lower the level first, and "
            "stop the engine when it climbs.",
            "common practice",
        ),
        COOLANT_IN_CYLINDER,
        Caution(
            "A gauge on a running engine: start from nought and watch it all the time.",
            "Use a tester with a relief valve; let the pressure down at the cap's rating; never "
            "use it to warm the engine up, never walk away.",
            "common practice",
        ),
        Caution(
            "Exhaust gas.",
            "Extract it outdoors. It poisons people, and in the bay's air it also turns the fluid.",
            "occupational limits for carbon monoxide",
        ),
        Caution(
            "Belts and fans; electric fans start by themselves.",
            "Hands, hair, sleeves and leads clear.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "Glycol is poisonous to people and animals.",
            "Do not taste it, do not hold your nose to the tank: the fluid or a laboratory tells. "
            "Catch it, close and label the container, wipe up what was spilt.",
            "NIOSH, ATSDR",
            "customer",
            from_memory=True,
        ),
        Caution(
            "The test fluid is alkaline.",
            "Gloves and glasses; rinse eyes and skin; keep to its maker's sheet, also for the "
            "colours and the date.",
            "maker's instructions",
        ),
        Caution(
            "A diesel needs the fluid that is made for it.",
            "With the petrol fluid nothing is shown either way.",
            "maker's instructions",
            when=lambda context: context.car.is_diesel,
        ),
        Caution(
            "High voltage: the engine may start by itself, and some circuits cool battery and "
            "inverter.",
            "Maker's service mode to keep the engine running; open none of those circuits without "
            "the training that they ask for; orange cables stay untouched.",
            "UN R100; local rules for electrical work",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "warm", "Colour test with the engine warm: thermostat open, hose warm.", "not_warm"
        ),
        Precondition(
            "level",
            "Level lowered so that only air is drawn; the level before that is noted.",
        ),
        Precondition("bay_air", "Exhaust led away; no other engine running in the bay."),
    ),
    effort=Effort(
        minutes=15,
        tools=("colour tester with fresh fluid", "pressure gauge on a tee", "thermometer", "clock"),
        state="cold",
        risk="Warming up with the cap off may push coolant out.",
    ),
    given=(
        Choice(
            key="hose",
            label="Upper hose after a start from cold",
            choices={
                "soft": "soft until warm",
                "hard": "grew hard",
                "not_felt": "not felt",
            },
            help="Start after hours of standing, cap on; feel the hose with the fan in sight.",
        ),
        Quantity(
            key="hose_hard_after",
            label="Hard after",
            quantity="time",
            unit="s",
            possible=(0.0, 7200.0),
            likely=(5.0, 1800.0),
            instrument="clock",
        ),
        Choice(
            key="bubbles",
            label="Bubbles in the neck or tank",
            needed=True,
            choices={
                "none": "none",
                "few_then_stop": "a few, then no more",
                "steady": "steady, also after minutes",
                "follow_speed": "more with engine speed, at once",
                "not_looked": "not looked",
            },
        ),
        Choice(
            key="pushed_out",
            label="Coolant pushed out",
            choices={
                "none": "no",
                "without_overheating": "yes, without running hot",
                "with_overheating": "yes, after running hot",
                "not_looked": "not looked",
            },
        ),
        Choice(
            key="refilled",
            label="Filled or topped up lately",
            origin="told",
            choices={"no": "no", "yes": "yes", "unknown": "not known"},
        ),
        Count(
            key="drives_since",
            label="Drives since it was filled",
            origin="told",
            high=10_000,
        ),
        Choice(
            key="fluid_for",
            label="Fluid made for",
            needed=True,
            choices={
                "petrol": "petrol engines",
                "diesel": "diesel engines",
                "both": "both",
                "unknown": "not known",
            },
        ),
        Choice(
            key="fluid_age",
            label="Age of the fluid",
            choices={
                "in_date": "in date, just poured",
                "past": "past its date",
                "unknown": "not known",
            },
        ),
        Choice(
            key="control",
            label="Fluid after clean air, drawn first",
            needed=True,
            choices={**_COLOURS, "none": "no clean air drawn"},
            help="Outdoors or upwind, as long as the test itself.",
        ),
        Choice(
            key="fitted",
            label="Where the gauge sits",
            default="tee",
            finer=True,
            choices={"tee": "on a tee, the cap stays on", "tester": "in the cap's place"},
        ),
        replace(CAP, needed=False),
        *(replace(entry, needed=False) for entry in COOLANT_FIELDS),
        *(replace(entry, finer=True) for entry in AIR_FIELDS),
    ),
    grids=(
        Grid(
            "rise",
            "Pressure after a start from cold",
            Series(
                Quantity(
                    key="at",
                    label="time",
                    quantity="time",
                    unit="s",
                    possible=(0.0, 7200.0),
                    likely=(0.0, 900.0),
                    instrument="clock",
                ),
                planned=(0.0, 30.0, 60.0),
            ),
            (
                Quantity(
                    key="pressure",
                    label="pressure",
                    quantity="gauge_pressure",
                    possible=(-30.0, 300.0),
                    likely=(-5.0, 160.0),
                    instrument="pressure_tester",
                ),
                Quantity(
                    key="temperature",
                    label="coolant, warmest place",
                    quantity="temperature",
                    possible=(-40.0, 150.0),
                    likely=(0.0, 110.0),
                    instrument="thermometer",
                    help="Engine's own sensor or the thermostat housing: what is warm there swells "
                    "before the tank is warm.",
                ),
            ),
            help="Only where a gauge can sit on a tee. From nought, watched all the time.",
        ),
        Grid(
            "draws",
            "Air drawn from above the coolant",
            Fixed(
                (
                    Row("idle", "warm, idling"),
                    Row("load", "after load or two minutes at 2500 rpm", optional=True),
                    Row("again", "again, fresh fluid of another make", optional=True),
                )
            ),
            (
                Choice(key="before", label="fluid before", choices=_COLOURS),
                Choice(key="after", label="fluid after", choices=_COLOURS, needed=True),
                Quantity(
                    key="minutes",
                    label="drawn for",
                    quantity="time",
                    unit="min",
                    possible=(0.0, 3600.0),
                    likely=(15.0, 900.0),
                    instrument="clock",
                ),
                Flag(key="liquid", label="liquid drawn in"),
            ),
        ),
    ),
    handling_u={"pressure": 0.5, "temperature": 0.3, "hose_hard_after": 5.0},
    limits=(
        Limit(
            "given.hose_hard_after",
            low=HARD_EARLY_S,
            source=Source("C", "common practice, from a cold start"),
        ),
    ),
    comparable={"gas_space": (0.0, 0.0)},
    patterns=(
        Pattern("gas_seen", "the fluid changed as with gas", driving=_WATCH_TEMPERATURE),
        Pattern(
            "bubbles_follow_speed", "bubbles follow the engine's speed", driving=_WATCH_TEMPERATURE
        ),
        Pattern(
            "rises_beyond_warming",
            "pressure rises beyond what warming explains",
            driving=_WATCH_TEMPERATURE,
        ),
        Pattern(
            "hose_hard_early",
            "hose hard within a minute of a cold start",
            driving=_WATCH_TEMPERATURE,
        ),
        Pattern("pushed_out", "coolant pushed out without running hot", driving=_WATCH_TEMPERATURE),
        Pattern("steady_bubbles", "bubbles keep coming", driving=_WATCH_TEMPERATURE),
        Pattern("air_after_refill", "bubbles soon after filling"),
        Pattern("none_seen", "no gas seen", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "not_warm",
            "Tested before the engine was warm: a leak may open only then.",
            0.4,
            only_sound=True,
        ),
        Confounder(
            "not_loaded",
            "No draw after load or speed: a small leak may open only then.",
            0.5,
            only_sound=True,
        ),
        Confounder("short_draw", "Drawn for less than two minutes.", 0.6, only_sound=True),
        Confounder("bubbles_not_looked", "Nobody looked for bubbles.", 0.8, only_sound=True),
        Confounder(
            "cap_may_open",
            "The cap may have let pressure out near its rating.",
            0.6,
            only_sound=True,
        ),
        Confounder("liquid_drawn", "Liquid was drawn in: coolant itself can turn the fluid.", 0.4),
        Confounder("fluid_old", "The fluid is past its date.", 0.4),
        Confounder("fluid_age_unknown", "The age of the fluid is not known.", 0.8),
        Confounder("fluid_unknown", "For which fuel the fluid is made is not known.", 0.6),
        Confounder("fluid_other_fuel", "The fluid is made for another fuel.", 0.1),
        Confounder(
            "control_not_drawn",
            "No clean air was drawn first: exhaust in the bay or stale fluid would look the same.",
            0.6,
        ),
        Confounder("control_changed", "The fluid changed in clean air already.", 0.1),
        Confounder("exhaust_near", "Exhaust may have been in the air that was drawn.", 0.6),
        Confounder(
            "refilled_lately",
            "Filled within a few drives: air is still leaving, and takes coolant along.",
            0.5,
        ),
        Confounder(
            "little_room",
            "Little room above the coolant: warming alone raises the pressure sooner and higher.",
            0.7,
        ),
        Confounder(
            "temperature_not_read",
            "Pressures without the coolant's temperature: nothing to hold them against.",
            0.6,
        ),
    ),
    needs_before=("oil_level",),
    spoils=("battery_at_rest", "pressure_hold"),
    leaves_apart=(
        "cap of radiator or tank off",
        "gas tester in the filler neck",
        "gauge on a tee in the cooling system",
    ),
    evidence_group="coolant_escape",
    formulas=(
        Formula("rise", "pressure at the end less pressure at the start, same gauge"),
        Formula(
            "expected_rise",
            "air part x T2/T1 x room ratio + water activity x saturation pressure at T2, less "
            "the same at the start; averaged over what cannot be seen (water, hoses)",
            "Gay-Lussac's law; IAPWS SR1-86(1992); JCGM 100",
        ),
        Formula("excess_rise", "rise as read less rise by warming alone"),
    ),
    example={
        "given.bubbles": "follow_speed",
        "given.fluid_for": "petrol",
        "given.fluid_age": "in_date",
        "given.control": "start",
        "draws.idle.before": "start",
        "draws.idle.after": "gas",
    },
    not_for=_not_for,
    assess=assess,
    sentences={
        # customer
        "customer.gas_seen": "A test fluid that changes colour with combustion gas changed when "
        "air from above the coolant was drawn through it. Gas from the engine's cylinders does not "
        "belong there.",
        "customer.bubbles_follow_speed": "Bubbles rise in the coolant, and more of them as soon as "
        "the engine turns faster. In a tight engine there are none once the air has left.",
        "customer.rises_beyond_warming": "After a cold start the pressure in the cooling system "
        "rose by {rise} within {time}. Warming up accounts for about {explained} of that.",
        "customer.hose_hard_early": "The coolant hose was hard {time} after a cold start. With a "
        "cold engine it usually stays soft for longer than a minute.",
        "customer.pushed_out": "Coolant was pushed out although the engine had not run hot.",
        "customer.steady_bubbles": "Bubbles kept rising in the coolant. What they are was not "
        "shown by this test.",
        "customer.air_after_refill": "Bubbles rose in the coolant. It was filled a short time "
        "ago, and air takes a few drives to leave; the test has to be made again after that.",
        "customer.none_seen": "A test fluid that changes colour with combustion gas did not "
        "change, and nothing else pointed to such gas in the coolant. A leak that opens only under "
        "load may not show in this test.",
        "customer.undecided": "The test does not show whether gas from the engine gets into the "
        "coolant. It has to be made again.",
        "customer.spoilt": "A change in the colour of the test fluid was not counted, because "
        "something else may have caused it.",
        "customer.fluid_unchanged": "The test fluid for combustion gas did not change.",
        "customer.second_ground": "Before anything large is taken apart, a second and different "
        "test should show the same.",
        # technician
        "next.gas_seen": "The fluid changed as with gas: strong ground for gas crossing. "
        "Photograph it with the ticket tag.",
        "control_held": "Clean air drawn before had left the fluid as it was.",
        "next.bubbles_follow_speed": "Bubbles at once with speed: film it. Plugs or injectors "
        "disabled one at a time show which cylinder feeds them.",
        "next.rises_beyond_warming": "More pressure than warming explains: let it down at the "
        "cap's rating. A needle that pulses with one cylinder names it.",
        "next.hose_hard_early": "Hard before the coolant is warm: read the pressure and the "
        "temperature from the next cold start, that puts a number to it.",
        "next.pushed_out": "Pushed out without running hot: look at the cap, the level and a "
        "recent filling before the engine.",
        "next.steady_bubbles": "Bubbles that keep coming and do not follow the speed: bleed it by "
        "the maker's way, look for air drawn in at the pump, then test again.",
        "next.air_after_refill": "Filled lately: bleed it, drive it a few times, test again. "
        "Nothing is concluded from these bubbles.",
        "next.none_seen": "Nothing changed. Small or rare leaks slip through: repeat after a hard "
        "drive, or hold pressure overnight and turn the engine by hand with the plugs out.",
        "next.undecided": "Nothing to rely on yet: clean air through fresh fluid first, level "
        "down, engine warm, then two minutes at idle and two after load.",
        "two_grounds": "Before a head comes off: a second ground that does not share this one. "
        "Leak-down with bubbles in the neck, borescope under coolant pressure, one washed plug. "
        "Two colour tests with the same fluid count once.",
        "between": "The colour stopped between the two: fresh fluid, lower level, longer draw, "
        "after load. It counts neither way.",
        "was.control_changed": "It turned in clean air already: exhaust in the bay or spent fluid. "
        "Air the bay, fresh fluid, begin again.",
        "was.control_not_drawn": "Draw clean air first next time: it costs two minutes and takes "
        "the objection away.",
        "was.liquid_drawn": "Liquid drawn in: that draw counts for nothing. Rinse the tester, "
        "lower the level, fresh fluid.",
        "was.fluid_other_fuel": "This fluid is not made for the car's fuel: get the right one.",
        "was.fluid_old": "Past its date: repeat with fresh fluid.",
        "was.temperature_not_read": "Pressures without a temperature: read both from the next cold "
        "start.",
        "was.little_room": "Little room above the coolant: draw off to half a litre of room and "
        "start from cold again before a rise or a hard hose is relied on.",
        "rise_beyond": "{rise} in {time} while {start} became {end}. Warming alone makes "
        "{warming}; the rest needs another cause.",
        "rise_explained": "{rise} in {time} while {start} became {end}. Warming alone makes "
        "{warming}.",
        "rise_unclear": "{rise} in {time} while {start} became {end}. Warming alone makes "
        "{warming}: too close to tell. Measure the room above the coolant, and repeat from "
        "cold with more of it.",
        "not_in_balance": "No prediction: at the first temperature the coolant's vapour alone "
        "would stand higher than the gauge. Read both again from cold.",
        "no_gas_left": "No prediction: warming by {warming}, the coolant may have taken most of "
        "the room above it. Repeat it with more room, and read earlier.",
        "hose_close": "Hard at about a minute: too close to tell by hand. Time it from the next "
        "cold start, with pressure and temperature.",
        "hose_not_timed": "Hard, but after how long? Take the time from the next cold start.",
        "pushed_out_hot": "Pushed out after running hot: that is what boiling does, and says "
        "nothing of gas. Find out first why it ran hot.",
        "above_cap": "{highest} stood above the cap's rating of {cap}: let it down now. More than "
        "the rating can burst radiator or heater core.",
        # chart
        "chart.rise": "Pressure rose by {rise} in {time} from the start; warming alone makes "
        "{warming}.",
    },
)
