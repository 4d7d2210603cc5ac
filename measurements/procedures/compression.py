"""Cranking compression by cylinder, dry and with oil: which cylinder fills less than the others.

Lowest against highest is judged with one gauge's shared error left out (`core.one_gauge`). Oil
raises every cylinder a little; what a low one rises beyond the others counts. Sources: a published
service manual for the three quarters, neighbours and the oil; how much "clearly" is, is common
practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from measurements.core import decision, units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.atmosphere import (
    AIR_FIELDS,
    air_is_known,
    ambient_of,
    standard_density_ratio,
)
from measurements.core.cautions import PLUG_WELLS
from measurements.core.context import Context, Engine
from measurements.core.cylinder_pressure import (
    expected_kpa,
    rise_percent,
    sea_level_kpa,
    share_percent,
)
from measurements.core.engine_layout import (
    are_a_whole_bank,
    are_neighbours,
    blocks,
    numbers_of,
    places,
)
from measurements.core.engine_picture import engine_chart
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.one_gauge import on_one_gauge
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Bounds,
    Caution,
    Choice,
    Code,
    Confounder,
    Count,
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
    Span,
    Text,
)
from measurements.core.readings import Reading, Readings, RowReadings
from measurements.core.uncertainty import rectangular
from measurements.core.units import STANDARD_ATMOSPHERE_KPA, show

if TYPE_CHECKING:
    from uncertainties import UFloat

SHARE = Span(
    75.0, None, Source("S", "US Army technical manual TM 5-4210-230-14&P-1, lowest to highest")
)
"""The lowest cylinder reads at least three quarters of the highest."""

MINIMUM_KPA = 690.0
_MINIMUM = Source("C", "common practice for petrol engines")
_SPARKED = ("petrol", "lpg", "cng", "ethanol")

NOTHING_KPA = 100.0
"""A gauge that hardly moves (judgement)."""

UNLIKE_PERCENT = 90.0
"""Sound cylinders of one engine read within a tenth of each other (common practice)."""

CLEAR_RISE, CLEARLY_MORE, NO_RISE = 10.0, 5.0, 5.0
"""Per cent and points by which oil raises a worn bore, and below which it does not (common
practice)."""

OIL_TAKES = (3.0, 6.0)
"""Per cent by which oil raises any cylinder, by the room that it takes (common practice)."""

SLOW_RPM = 150.0
"""Slower than a warm engine is usually cranked (common practice)."""

ENOUGH_STROKES = 5
"""The manual of `SHARE` asks for at least so many."""

_EXPONENT, _EXPONENT_HALF = 1.25, 0.05


def _minimum(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """The usual least pressure of a petrol engine, for the air pressure here; none for others."""
    del row
    if context.car.fuel not in _SPARKED:
        return None
    air = ambient_of(readings, context).nominal_value if air_is_known(readings, context) else None
    return Span(
        MINIMUM_KPA * (air or STANDARD_ATMOSPHERE_KPA) / STANDARD_ATMOSPHERE_KPA, None, _MINIMUM
    )


def _likely(context: Context) -> Bounds:
    return (1200.0, 4500.0) if context.car.fuel == "diesel" else (500.0, 2200.0)


# --- what the pressures show ------------------------------------------------------------------


@dataclass(frozen=True)
class Pressures:
    """Cylinders by row code, in order of number; kPa on one gauge.

    dry, wet: as read, sharing the gauge's error; nothing: those that hardly moved it.
    """

    rows: tuple[str, ...]
    dry: Mapping[str, UFloat]
    wet: Mapping[str, UFloat]
    nothing: tuple[str, ...]

    @property
    def highest(self) -> str:
        """The cylinder with the highest dry reading, "" without one."""
        return max(self.dry, key=lambda code: self.dry[code].nominal_value, default="")

    @property
    def lowest(self) -> str:
        """The cylinder with the lowest dry reading, "" without one."""
        return min(self.dry, key=lambda code: self.dry[code].nominal_value, default="")

    def share(self, code: str) -> UFloat:
        """Of the highest, per cent."""
        return share_percent(self.dry[code], self.dry[self.highest])

    @property
    def rises(self) -> dict[str, UFloat]:
        """What oil added, per cent, of the cylinders that were read dry and oiled."""
        return {
            code: rise_percent(self.dry[code], wet)
            for code, wet in self.wet.items()
            if code in self.dry and code not in self.nothing
        }


def _is_nothing(kpa: float | None) -> bool:
    return kpa is not None and kpa <= NOTHING_KPA


def _pressures(readings: Readings, context: Context) -> Pressures:
    rows = readings.rows("cylinders")
    read: dict[str, Reading] = {}
    nothing = []
    for row in rows:
        for column in ("dry", "wet"):
            reading = row.get(column)
            if reading is None:
                continue
            if reading.number is not None and reading.status == "measured":
                read[f"{row.code}.{column}"] = reading
            hardly = reading.number if reading.status == "measured" else reading.bound
            if column == "dry" and reading.status != "above" and _is_nothing(hardly):
                nothing.append(row.code)
    handling = PROCEDURE.handling_u["dry"]
    numbers = on_one_gauge(read, context.instrument("compression_gauge"), handling)
    by_column: dict[str, dict[str, UFloat]] = {"dry": {}, "wet": {}}
    for key, number in numbers.items():
        code, _, column = key.partition(".")
        by_column[column][code] = number
    return Pressures(
        tuple(row.code for row in rows), by_column["dry"], by_column["wet"], tuple(nothing)
    )


def _low(pressures: Pressures, limit: float, risk: float) -> tuple[str, ...]:
    """Cylinders below the share, and beyond doubt below the others; dead ones are told apart."""
    found = []
    for code in pressures.dry:
        if code in pressures.nothing or code == pressures.highest:
            continue
        share: Any = pressures.share(code)
        value, u = share.nominal_value, share.std_dev
        below = decision.decide(value, u, limit, None, risk).outcome == "outside"
        unlike = decision.decide(value, u, UNLIKE_PERCENT, None, risk).outcome == "outside"
        if below or (value < limit and unlike):
            found.append(code)
    return tuple(found)


def arrangement(low: Sequence[str], engine: Engine) -> str:
    """The pattern of low cylinders, by where they stand in the block."""
    numbers = [int(code[1:]) for code in low]
    if len(numbers) == 1:
        return "one_low"
    if are_a_whole_bank(numbers, blocks(engine)):
        return "bank_low"
    return "neighbours_low" if are_neighbours(numbers, blocks(engine)) else "several_low"


@dataclass(frozen=True)
class Oiled:
    """What oil did to the cylinders in question: rises, stays as it was, or in between.

    extra: rise beyond that of the others, in points; alone: the others were not oiled, and common
    practice stands for them.
    """

    rises: tuple[str, ...] = ()
    stays: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()
    extra: Mapping[str, UFloat] | None = None
    alone: bool = False


def oiled(pressures: Pressures, suspects: Sequence[str], risk: float) -> Oiled:
    """Judge the rise of the low cylinders against that of the others, not against nought."""
    from uncertainties import ufloat

    rises = pressures.rises
    asked = [code for code in suspects if code in rises]
    if not asked:
        return Oiled()
    others: list[Any] = [rise for code, rise in rises.items() if code not in suspects]
    low, high = OIL_TAKES
    usual: Any = ufloat((low + high) / 2, rectangular((high - low) / 2))
    by_oil: Any = sum(others) / len(others) if others else usual
    extra = {code: rises[code] - by_oil for code in asked}
    clear, none, between = [], [], []
    for code in asked:
        rise, more = rises[code], extra[code]
        above = decision.decide(more.nominal_value, more.std_dev, 0.0, None, risk).outcome
        under = decision.decide(rise.nominal_value, rise.std_dev, None, CLEAR_RISE, risk).outcome
        if (
            rise.nominal_value >= CLEAR_RISE
            and more.nominal_value >= CLEARLY_MORE
            and above == "within"
        ):
            clear.append(code)
        elif rise.nominal_value < NO_RISE and under == "within":
            none.append(code)
        else:
            between.append(code)
    return Oiled(tuple(clear), tuple(none), tuple(between), extra, not others)


@dataclass(frozen=True)
class Seen:
    """Pattern, the cylinders it points at, and what else was seen."""

    pattern: str
    where: tuple[str, ...] = ()
    also: tuple[Also, ...] = ()

    def __iter__(self) -> Any:
        return iter((Also(self.pattern, self.where), *self.also))


def _seen(
    pressures: Pressures,
    low: tuple[str, ...],
    below: tuple[str, ...],
    oil: Oiled,
    doubtful: bool,
    engine: Engine,
) -> Seen:
    """One leading pattern: the dead cylinder first, then what oil and place tell, then the rest."""
    live = [code for code in pressures.dry if code not in pressures.nothing]
    weak = tuple(code for code in below if code in live and code not in low)
    found: list[Also] = []
    wet = [Also("low_rises_wet", oil.rises)] if oil.rises else []
    if low:
        by_place = Also(arrangement(low, engine), low)
        wet += [Also("low_stays_wet", oil.stays)] if oil.stays else []
        of_a_place = by_place.pattern in ("neighbours_low", "bank_low") and not oil.rises
        found = [by_place, *wet] if of_a_place else [*wet, by_place]
    if weak and len(weak) == len(live) > 1:
        found = [*wet, Also("all_low_even", weak)]
    elif weak:
        found.append(Also("below_minimum", weak))
    if pressures.nothing:
        found.insert(0, Also("no_compression", pressures.nothing))
    if found:
        return Seen(found[0].pattern, found[0].where, tuple(found[1:]))
    if len(pressures.dry) < 2:
        return Seen("undecided")
    if doubtful:
        return Seen("near_limit", (pressures.lowest,))
    whole = len(pressures.dry) == len(pressures.rows)
    return Seen("even") if whole else Seen("undecided")


def _one_high(
    pressures: Pressures, low: Sequence[str], below: Sequence[str], limit: float, risk: float
) -> bool:
    """All others are low against one, and alike: it is the one that is odd."""
    rest = {code: number for code, number in pressures.dry.items() if code != pressures.highest}
    if len(rest) < 3 or set(low) != set(rest) or set(below) & set(rest) or pressures.nothing:
        return False
    others = Pressures(tuple(rest), rest, {}, ())
    return not _low(others, limit, risk)


# --- the judgement ----------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """Compare the cylinders with each other, then with what is asked of any."""
    pressures = _pressures(readings, context)
    verdicts = list(judge(PROCEDURE, readings, context))
    figures: list[Figure] = []
    limit = 75.0
    share_verdict: VerdictOutcome | None = None
    live = {c: n for c, n in pressures.dry.items() if c not in pressures.nothing}
    if len(pressures.dry) >= 2 and live:
        figures = _evenness(pressures)
        share_verdict = judge_figure(PROCEDURE, figures[0], context, SHARE)
        verdicts.append(share_verdict)
        limit = share_verdict.low if share_verdict.low is not None else limit
    low = _low(pressures, limit, context.risk) if live else ()
    below = tuple(
        verdict.address.split(".")[1]
        for verdict in verdicts
        if verdict.outcome == "outside" and verdict.address.endswith(".dry")
    )
    below = tuple(code for code in below if code in pressures.dry)
    counts = not _wet_says_nothing(readings, context)
    high = _one_high(pressures, low, below, limit, context.risk)
    suspects = low or below
    oil = oiled(pressures, suspects, context.risk) if counts and not high else Oiled()
    doubtful = any(
        verdict.outcome == "cannot_tell"
        for verdict in verdicts
        if verdict is share_verdict or verdict.address.endswith(".dry")
    )
    if high:
        seen = Seen("one_high", (pressures.highest,))
    else:
        seen = _seen(pressures, low, below, oil, doubtful, context.car.engine)
    figures += _oil_figures(pressures, oil)
    figures += _air_figures(readings, context, pressures)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=seen.pattern,
        where=seen.where,
        also=seen.also,
        figures=figures,
        verdicts=verdicts,
        confounders=_confounders(readings, context, pressures, seen, oil, verdicts),
        tables=(_table(readings, context, pressures),) if pressures.dry else (),
        customer=_customer(seen, readings),
        technician=_technician(readings, context, pressures, seen, oil, share_verdict),
        chart=_chart(context, pressures, seen, limit) if pressures.dry else {},
    )


def _wet_says_nothing(readings: Readings, context: Context) -> str:
    """Why oil decides nothing in this engine, as a sentence's id; "" if it does."""
    if context.car.fuel == "diesel":
        return "wet_diesel"
    lies = readings.given("lies")
    if lies in ("leaning", "flat") or (lies is None and context.car.engine.layout == "flat"):
        return "wet_on_its_side"
    return ""


def _evenness(pressures: Pressures) -> list[Figure]:
    high, low = pressures.dry[pressures.highest], pressures.dry[pressures.lowest]
    spread: Any = high - low
    return [
        figure_of(
            "lowest_share", "lowest of the highest", "ratio", pressures.share(pressures.lowest)
        ),
        figure_of("spread", "highest less lowest", "gauge_pressure", spread),
    ]


def _oil_figures(pressures: Pressures, oil: Oiled) -> list[Figure]:
    found = []
    for code, rise in pressures.rises.items():
        found.append(
            figure_of(f"rise_{code}", f"cylinder {code[1:]}, rise with oil", "ratio", rise)
        )
        if oil.extra and code in oil.extra:
            found.append(
                figure_of(
                    f"extra_{code}",
                    f"cylinder {code[1:]}, rise beyond the others'",
                    "ratio",
                    oil.extra[code],
                )
            )
    return found


def _air_figures(readings: Readings, context: Context, pressures: Pressures) -> list[Figure]:
    found = []
    known = air_is_known(readings, context)
    air: Any = ambient_of(readings, context)
    if known and pressures.dry:
        for which, code in (("lowest", pressures.lowest), ("highest", pressures.highest)):
            found.append(
                figure_of(
                    f"sea_level_{which}",
                    f"{which}, as it would read at sea level",
                    "gauge_pressure",
                    sea_level_kpa(pressures.dry[code], air),
                )
            )
    elif pressures.dry:
        found.append(
            Figure(
                "sea_level_lowest",
                "lowest, as it would read at sea level",
                "gauge_pressure",
                None,
                absent_because="neither air pressure nor height entered",
            )
        )
    ratio = _ratio(readings)
    if ratio is not None:
        from uncertainties import ufloat

        exponent = ufloat(_EXPONENT, rectangular(_EXPONENT_HALF))
        found.append(
            figure_of(
                "expected",
                "rough expectation from the compression ratio",
                "gauge_pressure",
                expected_kpa(ratio, exponent, air),
            )
        )
    return found


def _ratio(readings: Readings) -> float | None:
    text = readings.given("ratio")
    if not text:
        return None
    value = float(str(text).removesuffix(":1").replace(",", "."))
    return value if value > 1 else None


def _confounders(
    readings: Readings,
    context: Context,
    pressures: Pressures,
    seen: Seen,
    oil: Oiled,
    verdicts: Sequence[VerdictOutcome],
) -> list[str]:
    del pressures
    weak = []
    throttle = readings.given("throttle")
    if throttle == "shut":
        weak.append("throttle_shut")
    elif throttle in (None, "asked"):
        weak.append("throttle_unseen")
    speed, strokes = readings.given("speed"), readings.given("strokes")
    if speed is not None and speed < SLOW_RPM:
        weak.append("slow_cranking")
    if strokes is not None and strokes < ENOUGH_STROKES:
        weak.append("few_strokes")
    if readings.given("battery") == "weak":
        weak.append("weak_battery")
    if readings.given("plugs_out") == "one":
        weak.append("one_plug_at_a_time")
    gauge = readings.given("gauge")
    if gauge == "pressed":
        weak.append("pressed_by_hand")
    if (context.car.fuel == "diesel") != (gauge == "diesel") and gauge and context.car.fuel:
        weak.append("other_gauge")
    if context.state_of_car == "cold":
        weak.append("cold_engine")
    if readings.given("liquid") == "possible":
        weak.append("liquid_possible")
    if oil.alone:
        weak.append("wet_alone")
    if not blocks(context.car.engine):
        weak.append("order_unknown")
    thin = air_is_known(readings, context) and ambient_of(readings, context).nominal_value < 97.0
    by_maker = any(
        v.outcome == "outside" and v.address.endswith(".dry") and v.source and v.source.tag != "C"
        for v in verdicts
    )
    if thin and by_maker and any(i.pattern in ("below_minimum", "all_low_even") for i in seen):
        weak.append("thin_air")
    return weak


# --- words, table, chart ----------------------------------------------------------------------


def _customer(seen: Seen, readings: Readings) -> list[Sentence]:
    said = [PROCEDURE.say(f"customer.{i.pattern}", where=numbers_of(i.where)) for i in seen]
    if readings.given("liquid") == "possible":
        said.append(PROCEDURE.say("customer.liquid"))
    return said


def _technician(
    readings: Readings,
    context: Context,
    pressures: Pressures,
    seen: Seen,
    oil: Oiled,
    share: VerdictOutcome | None,
) -> list[Sentence]:
    told = []
    if readings.given("liquid") == "possible":
        told.append(PROCEDURE.say("liquid"))
    if len(pressures.dry) < 2:
        told.append(PROCEDURE.say("too_few"))
    elif len(pressures.dry) < len(pressures.rows):
        lacking = tuple(code for code in pressures.rows if code not in pressures.dry)
        told.append(PROCEDURE.say("lacking", where=numbers_of(lacking)))
    if share is not None and share.value is not None:
        told.append(
            PROCEDURE.say(
                "share",
                lowest=pressures.lowest[1:],
                highest=pressures.highest[1:],
                share=show(share.value, share.u, "ratio", context.units),
                words=decision.verdict_words(share, context.units),
            )
        )
    for item in seen:
        if f"next.{item.pattern}" in PROCEDURE.sentences:
            told.append(PROCEDURE.say(f"next.{item.pattern}", where=numbers_of(item.where)))
    told += _about_oil(readings, context, pressures, seen, oil)
    told += _about_air(readings, context, pressures)
    speed = readings.given("speed")
    if speed is not None and speed < SLOW_RPM:
        told.append(
            PROCEDURE.say(
                "slow",
                speed=units.show_value(speed, "rotation"),
                usual=units.show_value(SLOW_RPM, "rotation"),
            )
        )
    if _ratio(readings) is not None:
        told.append(PROCEDURE.say("expected"))
    if context.car.fuel not in _SPARKED and not any(
        limit.address.startswith("cylinders.") for limit in context.limits
    ):
        told.append(PROCEDURE.say("no_minimum"))
    return told


def _about_oil(
    readings: Readings, context: Context, pressures: Pressures, seen: Seen, oil: Oiled
) -> list[Sentence]:
    reason = _wet_says_nothing(readings, context)
    if reason and pressures.wet:
        return [PROCEDURE.say(reason)]
    told = []
    for code in oil.unclear:
        rise = pressures.rises[code]
        told.append(
            PROCEDURE.say(
                "wet_unclear",
                where=code[1:],
                rise=show(rise.nominal_value, rise.std_dev, "ratio", context.units),
            )
        )
    if oil.alone:
        told.append(PROCEDURE.say("wet_alone"))
    low = any(
        i.pattern in ("one_low", "neighbours_low", "several_low", "all_low_even") for i in seen
    )
    if low and not pressures.wet and not reason:
        told.append(PROCEDURE.say("oil_next"))
    return told


def _about_air(readings: Readings, context: Context, pressures: Pressures) -> list[Sentence]:
    if not air_is_known(readings, context) or not pressures.dry:
        return []
    air = ambient_of(readings, context)
    told = [
        PROCEDURE.say(
            "air",
            air=show(air.nominal_value, air.std_dev, "absolute_pressure", context.units),
            ratio=f"{air.nominal_value / STANDARD_ATMOSPHERE_KPA:.3f}",
        )
    ]
    altitude_mm = readings.given("altitude")
    if altitude_mm is not None:
        density = standard_density_ratio(altitude_mm / 1000)
        told.append(PROCEDURE.say("density", ratio=f"{density:.3f}"))
    return told


def _table(readings: Readings, context: Context, pressures: Pressures) -> Table:
    known = air_is_known(readings, context)
    air: Any = ambient_of(readings, context)
    rises = pressures.rises
    cells = []
    for row in readings.rows("cylinders"):
        dry, wet = row.get("dry"), row.get("wet")
        at_sea: Any = (
            sea_level_kpa(pressures.dry[row.code], air) if row.code in pressures.dry else None
        )
        share: Any = (
            pressures.share(row.code)
            if row.code in pressures.dry and pressures.dry[pressures.highest].nominal_value > 0
            else None
        )
        rise: Any = rises.get(row.code)
        cells.append(
            (
                row.code[1:],
                dry.understood if dry else "not measured",
                "the highest" if row.code == pressures.highest else _shown(share, "ratio", context),
                wet.understood if wet else "not oiled",
                _shown(rise, "ratio", context),
                _shown(at_sea, "gauge_pressure", context) if known else "air not known",
                str(row.value("note") or ""),
            )
        )
    head = ("cylinder", "dry", "of the highest", "with oil", "rise", "at sea level", "note")
    return Table("Compression by cylinder", head, tuple(cells))


def _shown(number: Any, quantity: str, context: Context) -> str:
    if number is None:
        return "–"
    digit = 1.0 if quantity == "gauge_pressure" else 0.1
    return show(number.nominal_value, number.std_dev, quantity, context.units, digit=digit)


def _chart(context: Context, pressures: Pressures, seen: Seen, limit: float) -> dict[str, Any]:
    unit = units.shop_unit("gauge_pressure", context.units)

    def shown(kpa: float) -> float:
        return round(float(units.convert(kpa, "gauge_pressure", "kPa", unit)), 1)

    marked = {code for item in seen for code in item.where}
    drawn = []
    for code, bank in places(pressures.rows, context.car.engine):
        dry, wet = pressures.dry.get(code), pressures.wet.get(code)
        drawn.append(
            {
                "label": code[1:],
                "bank": bank,
                "dry": None if dry is None else shown(dry.nominal_value),
                "dry_u": 0.0 if dry is None else shown(dry.std_dev),
                "wet": None if wet is None else shown(wet.nominal_value),
                "marked": code in marked,
            }
        )
    highest = pressures.dry[pressures.highest].nominal_value
    return engine_chart(
        drawn,
        layout=context.car.engine.layout or "inline",
        unit=unit,
        limit=shown(highest * limit / 100) if len(pressures.dry) > 1 else None,
        share=units.show_value(limit, "ratio"),
    )


# --- the declaration --------------------------------------------------------------------------


def _not_for(context: Context) -> str:
    if context.car.fuel in ("electric", "fuel_cell"):
        return "an electric car has no cylinders."
    return ""


def _is_diesel(context: Context) -> bool:
    return context.car.fuel in ("diesel", "")


_NOT_BEFORE_SEEN = Driving(
    "do_not_drive",
    "A cylinder without compression may have a broken valve, piston or timing drive in it. Do not "
    "run the engine before it has been looked into.",
)

PROCEDURE = Procedure(
    name="compression",
    title="Cranking compression, dry and with oil",
    version=1,
    group="Engine",
    purpose="Shows which cylinder builds less pressure than the others while the starter turns the "
    "engine, and by a little oil whether rings or valves let it out.",
    proves_nothing_when="The throttle is shut, the battery weak, the strokes uneven, or the gauge "
    "is not the engine's kind. Even pressures clear no gasket, and nothing when liquid may be in a "
    "cylinder.",
    cautions=(
        Caution(
            "Liquid in a cylinder bends rods.",
            "If coolant, water or much fuel may be in one: do not crank. Plugs out first, turn the "
            "engine by hand.",
            "common practice",
        ),
        Caution(
            "The car can jump.",
            "Neutral or park, brake on, wheels chocked, nobody in front or behind: a bypassed "
            "clutch or gear switch launches it.",
            "common practice",
        ),
        Caution(
            "Injection and ignition off, both.",
            "Unplug them as the maker says: coils must not fire into the open, fuel must not be "
            "sprayed. Nobody with a pacemaker near an open ignition system.",
            "common practice",
        ),
        Caution(
            "Fuel and oil spray out of open plug holes.",
            "No flames or sparks, face and hands away, eyes covered, extinguisher at hand.",
            "OSHA 29 CFR 1910.106; common practice",
            from_memory=True,
        ),
        Caution(
            "Belts, fans and pulleys turn.",
            "Hands, hair, sleeves, gauge hose and leads clear while it is cranked; electric fans "
            "start by themselves.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "Aluminium head: plugs out lukewarm, not hot.",
            "A thread in a hot head tears out with the plug, and hot metal burns.",
            "common practice",
        ),
        PLUG_WELLS,
        Caution(
            "Never oil a diesel's cylinders.",
            "The room above the piston is so small that oil can lock it, or burn and run away.",
            "common practice",
            when=_is_diesel,
        ),
        Caution(
            "Diesel: own gauge, own adapter, maker's limits.",
            "A petrol gauge bursts. Glow plugs or injectors out as the maker says; never loosen a "
            "high-pressure line: fuel under the skin means hospital at once.",
            "common practice",
            when=_is_diesel,
        ),
        Caution(
            "A hybrid may start its engine by itself.",
            "Switch it off, key out of range, maker's shut-down first. Many have no starter and "
            "are cranked only through the maker's own routine.",
            "UN R100; maker's instructions",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        Caution(
            "A starter burns out.",
            "Ten seconds at most, then let it cool a minute.",
            "common practice",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition(
            "disabled", "Injection and ignition unplugged; car in neutral, braked, chocked.", ""
        ),
        Precondition("gauge_zero", "Gauge on nought before each cylinder.", "gauge_not_zeroed"),
        Precondition(
            "same_strokes",
            "At least five compression strokes, the same count for each cylinder.",
            "strokes_uneven",
        ),
    ),
    effort=Effort(
        minutes=40,
        tools=("compression gauge", "plug socket", "torque wrench", "oil can", "battery charger"),
        state="hot",
        risk="A seized plug may tear its thread; unplugged coils and injectors set codes.",
    ),
    given=(
        Choice(
            key="throttle",
            label="Throttle",
            needed=True,
            choices={
                "open": "held open, and seen open",
                "asked": "pedal down, throttle by wire not looked at",
                "shut": "shut",
                "none": "this engine has none",
            },
            help="By wire it may stay shut with the key on and the engine not running: look.",
        ),
        Choice(
            key="battery",
            label="Battery",
            needed=True,
            choices={
                "supported": "charger or booster on it",
                "full": "charged, turned evenly from first to last",
                "weak": "weak, or slower towards the end",
            },
        ),
        Choice(
            key="liquid",
            label="Liquid in a cylinder",
            needed=True,
            choices={"none": "no sign of any", "possible": "possible"},
            help="Coolant lost, stopped dead while cranking, driven through water, flooded. If "
            "possible: do not crank.",
        ),
        Choice(
            key="gauge",
            label="Gauge",
            choices={
                "screwed": "screwed in",
                "pressed": "pressed in by hand",
                "diesel": "diesel gauge with its adapter",
            },
        ),
        Choice(
            key="plugs_out",
            label="Plugs out",
            choices={"all": "all of them", "one": "one at a time"},
        ),
        Quantity(
            key="speed",
            label="Cranking speed",
            quantity="rotation",
            possible=(10.0, 1500.0),
            likely=(100.0, 400.0),
            instrument="rev_counter",
        ),
        Count(key="strokes", label="Compression strokes for each", low=1, high=50),
        Choice(
            key="lies",
            label="How the cylinders stand",
            choices={
                "upright": "upright, or nearly",
                "leaning": "laid over",
                "flat": "flat",
            },
            help="In a cylinder on its side oil lies along one side and seals little.",
        ),
        *AIR_FIELDS,
        Code(
            key="ratio",
            label="Compression ratio, maker's",
            pattern=r"[1-9]\d?([.,]\d{1,2})?(:1)?",
            example="10.5:1",
            origin="told",
            finer=True,
            help="Only for a rough expectation; a late closing inlet valve lowers it.",
        ),
    ),
    grids=(
        Grid(
            "cylinders",
            "Cylinders",
            OfCar("cylinders"),
            (
                Quantity(
                    key="dry",
                    label="dry",
                    quantity="gauge_pressure",
                    possible=(0.0, 8000.0),
                    likely=_likely,
                    instrument="compression_gauge",
                    needed=True,
                    help="Highest reading after the same count of strokes.",
                ),
                Quantity(
                    key="wet",
                    label="with oil",
                    quantity="gauge_pressure",
                    possible=(0.0, 8000.0),
                    likely=_likely,
                    instrument="compression_gauge",
                    help="A tablespoon of engine oil, a few turns, then again. Oil at least one "
                    "good cylinder too.",
                ),
                Text(key="note", label="note", longest=120),
            ),
            help="Cylinder 1 is where the maker counts from.",
        ),
    ),
    limits=(Limit("cylinders.*.dry", bounds=_minimum),),
    handling_u={"dry": 10.0, "wet": 10.0},
    comparable={
        "throttle": (0.0, 0.0),
        "gauge": (0.0, 0.0),
        "plugs_out": (0.0, 0.0),
        "speed": (30.0, 0.1),
    },
    patterns=(
        Pattern("even", "even, and no cylinder unusually low", sound=True),
        Pattern(
            "no_compression",
            "a cylinder with next to no compression",
            direct=True,
            driving=_NOT_BEFORE_SEEN,
        ),
        Pattern("low_rises_wet", "low, and rises clearly with oil"),
        Pattern("low_stays_wet", "low, and oil changes nothing"),
        Pattern("neighbours_low", "neighbours low"),
        Pattern("bank_low", "a whole bank low"),
        Pattern("one_low", "one low"),
        Pattern("several_low", "several low"),
        Pattern("one_high", "one far above the others"),
        Pattern("all_low_even", "all low, and even"),
        Pattern("below_minimum", "below the least pressure, though even with the others"),
        Pattern("near_limit", "the lowest too near its limit to say"),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "throttle_shut",
            "The throttle was shut: the engine could not fill, and reads low all over.",
            0.3,
        ),
        Confounder(
            "throttle_unseen", "Nobody saw whether the throttle was open while cranking.", 0.7
        ),
        Confounder("weak_battery", "The battery was weak: the last cylinders read lower.", 0.3),
        Confounder(
            "slow_cranking", "The engine was cranked slowly, which lowers all readings.", 0.5
        ),
        Confounder(
            "one_plug_at_a_time",
            "Only one plug was out at a time, so the engine turned slowly and unevenly.",
            0.7,
        ),
        Confounder(
            "pressed_by_hand", "The gauge was pressed in by hand and may have blown past.", 0.7
        ),
        Confounder("other_gauge", "The gauge is not made for this kind of engine.", 0.2),
        Confounder("gauge_not_zeroed", "The gauge was not seen on nought before.", 0.7),
        Confounder(
            "strokes_uneven", "The cylinders were not given the same count of strokes.", 0.5
        ),
        Confounder("few_strokes", "Each cylinder was given fewer than five strokes.", 0.5),
        Confounder("cold_engine", "The engine was cold: clearances and oil differ from warm.", 0.7),
        Confounder(
            "liquid_possible",
            "Liquid may be in a cylinder: even pressures then clear nothing.",
            0.0,
            only_sound=True,
        ),
        Confounder(
            "wet_alone",
            "No other cylinder was oiled: what oil does to any was taken from common practice.",
            0.7,
        ),
        Confounder(
            "thin_air",
            "The air is thin here, and makers give pressures for sea level.",
            0.4,
        ),
        Confounder(
            "order_unknown", "The engine's layout is not known, so neighbours cannot be told.", 0.9
        ),
    ),
    needs_before=("battery_at_rest", "cranking"),
    spoils=("trouble_codes", "battery_at_rest"),
    leaves_apart=("spark plugs out", "coils or leads unplugged", "injection unplugged"),
    formulas=(
        Formula(
            "lowest_share",
            "100 × lowest dry pressure / highest, %",
            "US Army technical manual TM 5-4210-230-14&P-1, which asks for 75 %",
        ),
        Formula("spread", "highest dry pressure − lowest, same gauge, kPa"),
        Formula("rise_*", "100 × (pressure with oil / dry pressure − 1), same gauge, %"),
        Formula(
            "extra_*",
            "rise of a low cylinder − mean rise of the oiled others, in points; without others "
            "4.5 % stands for it, the middle of 3 to 6 %",
            "common practice",
        ),
        Formula(
            "sea_level_*",
            "gauge pressure × 101.325 kPa / air pressure here, kPa: the cylinder multiplies the "
            "air's absolute pressure by the same number everywhere",
            "air pressure at a height: ISO 2533, from memory",
        ),
        Formula(
            "expected",
            "air pressure × (compression ratio ^ exponent − 1), kPa; exponent 1.25 ± 0.05, air "
            "pressure 101.325 kPa where it is not known",
            "law of polytropic compression; exponent by common practice",
        ),
    ),
    example={
        "ready.disabled": "yes",
        "ready.gauge_zero": "yes",
        "ready.same_strokes": "yes",
        "given.throttle": "open",
        "given.battery": "supported",
        "given.liquid": "none",
        "given.altitude": "400 m",
        "cylinders.c1.dry": "12.0 bar",
        "cylinders.c1.wet": "12.5 bar",
        "cylinders.c2.dry": "11.8 bar",
        "cylinders.c3.dry": "6.1 bar",
        "cylinders.c3.wet": "8.9 bar",
        "cylinders.c4.dry": "11.9 bar",
    },
    evidence_group="combustion_by_cylinder",
    not_for=_not_for,
    assess=assess,
    sentences={
        # customer
        "customer.even": "All cylinders build much the same pressure, and none is unusually low.",
        "customer.no_compression": "Cylinder {where} builds next to no pressure. The engine should "
        "not be run until we know why.",
        "customer.low_rises_wet": "Cylinder {where} builds too little pressure, and more once oil "
        "seals it. That points to where the piston runs.",
        "customer.low_stays_wet": "Cylinder {where} builds too little pressure, and oil does not "
        "change that. That points to the valves or the gasket above it.",
        "customer.neighbours_low": "Cylinders {where}, which stand side by side, build less "
        "pressure than the others.",
        "customer.bank_low": "Cylinders {where}, one whole side of the engine, build less pressure "
        "than the other side.",
        "customer.one_low": "Cylinder {where} builds clearly less pressure than the others.",
        "customer.several_low": "Cylinders {where} build clearly less pressure than the others.",
        "customer.one_high": "Cylinder {where} builds far more pressure than the others; something "
        "takes up room in it.",
        "customer.all_low_even": "All cylinders build little pressure, and much the same. That "
        "concerns what they share, or how the test was made.",
        "customer.below_minimum": "Cylinder {where} builds less pressure than is asked for, though "
        "no less than the others by much.",
        "customer.near_limit": "The weakest cylinder, {where}, is too near the limit for our gauge "
        "to say on which side it is.",
        "customer.undecided": "Too few cylinders were measured to compare them.",
        "customer.liquid": "There may be liquid in a cylinder. Please do not start the engine "
        "until we know.",
        # technician
        "liquid": "Liquid possible: do not crank. Plugs out, turn by hand, look in. Even pressures "
        "clear nothing then.",
        "too_few": "Measure every cylinder: one alone cannot be compared.",
        "lacking": "Not measured: {where}. Nothing is called even before all are.",
        "share": "Lowest, {lowest}, is {share} of the highest, {highest}: {words}.",
        "next.no_compression": "{where}: gauge seated? Then a valve hanging or broken, a hole in "
        "the piston, or, if it is all of them, the timing drive. Turn by hand only, borescope.",
        "next.low_rises_wet": "{where} rises clearly beyond the others: rings, bore or piston. "
        "Leak-down, listening at the oil filler.",
        "next.low_stays_wet": "{where} does not rise: valves, their clearance, or the gasket. "
        "Leak-down, listening at throttle, tailpipe, coolant and the neighbours.",
        "next.neighbours_low": "{where} stand side by side: the gasket between them first "
        "(leak-down on one, listen at the other's plug hole), then what else only they share.",
        "next.bank_low": "{where} are a whole bank: its cam timing first, then its throttle or "
        "gasket.",
        "next.several_low": "{where} are no neighbours: two faults, wear, or how it was cranked. "
        "Repeat the first one; a weak battery shows as a fall from first to last.",
        "next.one_high": "{where} is the odd one: carbon, oil or other liquid in it, or a gauge "
        "left unvented. Turn by hand before it is cranked again, borescope.",
        "next.all_low_even": "All low, and even: cam timing, throttle shut, slow cranking or the "
        "gauge, before wear of all. Put a known-good gauge on one.",
        "next.below_minimum": "{where} below the least pressure: repeat with the battery supported "
        "and the throttle seen open, then leak-down.",
        "next.near_limit": "Repeat the lowest and the highest twice each, on a finer gauge, then "
        "leak-down.",
        "oil_next": "Next: a tablespoon of oil into the low one and into one good one, a few "
        "turns, and again.",
        "wet_unclear": "{where} rises by {rise} with oil: between wear and valves, decides "
        "neither. Leak-down.",
        "wet_alone": "Oil a good cylinder as well: oil alone raises any by 3 to 6 %.",
        "wet_diesel": "Oiled readings of a diesel are kept but not judged: never oil a diesel.",
        "wet_on_its_side": "Oiled readings are kept but not judged: in a cylinder on its side the "
        "oil lies along one side.",
        "air": "Air here {air}. Gauge pressure follows the air's pressure: ratio {ratio} to sea "
        "level, which is what was used.",
        "density": "Tables of the trade often print the ratio of densities instead, {ratio} here: "
        "not used.",
        "slow": "Cranked at {speed}; usual is {usual} and more. All readings are low by it.",
        "expected": "The expectation from the compression ratio is rough and no limit.",
        "no_minimum": "No least pressure known for this engine: enter the maker's. Without it the "
        "cylinders are only compared.",
    },
)
