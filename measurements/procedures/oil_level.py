"""Oil level and condition: where it stands on the stick, how much is short, how it looks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from measurements.core.assessment import Also, Assessment, Figure, Sentence
from measurements.core.cautions import USED_OIL
from measurements.core.context import Context
from measurements.core.decision import verdict_words
from measurements.core.judging import conclude, figure_of, judge, judge_figure
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
    Source,
    Span,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.uncertainty import rectangular
from measurements.core.units import show, show_value

if TYPE_CHECKING:
    from uncertainties import UFloat

TYPICAL_LITRES = 1.0
TYPICAL_HALF_WIDTH = 0.3
"""Between the marks, where nobody knows better: often about 1 L or 1 US quart (common practice);
the half width is judgement."""

MUCH_OVER_L = 0.5
"""So much above the upper mark is more than a slip of the can (common practice)."""

STICK = Source("maker", "the marks on the stick")


def litres_above(level_mm: Any, span_mm: Any, span_l: Any) -> Any:
    """Litres above the lower mark: litres between the marks x mm above the lower / mm between them.

    The stick is taken as even (common practice). Numbers with or without uncertainty.

    >>> litres_above(5, 20, 1)
    0.25
    """
    return span_l * level_mm / span_mm


def litres_to_upper(level_mm: Any, span_mm: Any, span_l: Any) -> Any:
    """Litres that bring the level to the upper mark; below nought there is too much.

    >>> litres_to_upper(27, 18, 0.9)
    -0.45
    """
    return span_l * (span_mm - level_mm) / span_mm


def _marks(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """The stick's own two marks, once their distance is known."""
    span = readings.given("span")
    return Span(0.0, span, STICK) if span else None


def _span_litres(readings: Readings) -> UFloat:
    """Litres between the marks, typical with a wide bound where they were not given."""
    from uncertainties import ufloat

    told = readings.given("span_l")
    if told is None:
        return ufloat(TYPICAL_LITRES, rectangular(TYPICAL_HALF_WIDTH))
    # Makers print it to the tenth of a litre.
    return ufloat(told, rectangular(0.05))


def _dips(readings: Readings) -> list[UFloat]:
    found = [row.uncertain("level") for row in readings.rows("stick")]
    return [dip for dip in found if dip is not None]


def _level(dips: Sequence[UFloat]) -> UFloat | None:
    """Mean of the dips that were read."""
    return sum(dips[1:], dips[0]) / len(dips) if dips else None


def _disagree(dips: Sequence[UFloat]) -> bool:
    if len(dips) < 2:
        return False
    gap: Any = dips[0] - dips[1]
    return abs(gap.nominal_value) > max(2 * gap.std_dev, 2.0)


def assess(readings: Readings, context: Context) -> Assessment:
    """Level against the marks, look of the oil, and use where it can be told."""
    dips, span = _dips(readings), readings.given("span")
    level = _level(dips)
    figures, verdicts = _figures(readings, level, span), list(judge(PROCEDURE, readings, context))
    where_it_stands = "undecided"
    if readings.given("nothing_on_stick") is True:
        where_it_stands = "below_lower"
    elif level is None and span:
        where_it_stands = _beyond(readings, span)
    elif level is not None and span:
        shown = figure_of("level", "level above the lower mark", "length", level)
        verdict = judge_figure(PROCEDURE, shown, context, Span(0.0, span, STICK))
        figures, verdicts = [shown, *figures], [*verdicts, verdict]
        where_it_stands = _stands(verdict.outcome, level, span)
        if where_it_stands == "between_marks" and any(v.outcome == "outside" for v in verdicts):
            where_it_stands = "undecided"  # one dip inside, one outside: dip again
    seen = [*_looks(readings)]
    if where_it_stands in ("above_upper", "below_lower"):
        seen.append(where_it_stands)
    seen = [pattern.code for pattern in PROCEDURE.patterns if pattern.code in seen]
    # The order of the declared patterns is the order of what matters.
    lead = seen[0] if seen else where_it_stands
    confounders = _confounders(readings, dips)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        also=tuple(Also(code) for code in seen[1:]),
        figures=figures,
        verdicts=verdicts,
        confounders=confounders,
        customer=_customer(lead, seen, where_it_stands, readings, figures, context),
        technician=_technician(
            lead, seen, where_it_stands, readings, figures, verdicts, context, confounders
        ),
        chart=_chart(level, span, figures, context),
    )


def _beyond(readings: Readings, span: float) -> str:
    """Where only "less than" or "more than" was noted for the level."""
    reading = readings.get("stick.first.level")
    if reading is None or reading.bound is None:
        return "undecided"
    if reading.status == "below" and reading.bound <= 0:
        return "below_lower"
    return "above_upper" if reading.status == "above" and reading.bound >= span else "undecided"


def _stands(outcome: str, level: UFloat, span: float) -> str:
    if outcome == "within":
        return "between_marks"
    if outcome == "outside":
        return "above_upper" if level.nominal_value > span else "below_lower"
    return "undecided"


def _looks(readings: Readings) -> list[str]:
    """Patterns of how the oil looks; a milky cap counts only where the stick is not milky."""
    look, cap = readings.given("look"), readings.given("cap")
    seen = [code for code in ("milky_stick", "gritty", "water_drops") if look == code]
    if look == "thin" or readings.given("fuel_smell") is True:
        seen.append("thin_or_fuel")
    if cap == "milky" and look not in (None, "not_looked", "milky_stick"):
        seen.append("milky_cap")
    return seen


def _confounders(readings: Readings, dips: Sequence[UFloat]) -> list[str]:
    weak = []
    if _disagree(dips):
        weak.append("dips_disagree")
    if readings.given("span_l") is None:
        weak.append("litres_typical")
    if readings.given("look") in (None, "not_looked"):
        weak.append("look_unknown")
    if readings.given("fresh_oil") is True:
        weak.append("fresh_oil")
    return weak


# --- figures ----------------------------------------------------------------------------------


def _figures(readings: Readings, level: UFloat | None, span: float | None) -> list[Figure]:
    labels = (("above_min", "litres above the lower mark"), ("to_max", "litres to the upper mark"))
    why = "" if span else "the distance between the marks is not known"
    if readings.given("nothing_on_stick") is True:
        why = "the oil does not reach the stick"
    elif level is None:
        why = "no level was read"
    if why or level is None or not span:
        return [Figure(key, label, "volume", None, absent_because=why) for key, label in labels]
    litres, marks = _span_litres(readings), readings.uncertain("given.span")
    return [
        figure_of(*labels[0], "volume", litres_above(level, marks, litres)),
        figure_of(*labels[1], "volume", litres_to_upper(level, marks, litres)),
        *_use(readings, level, marks, litres),
    ]


def _use(readings: Readings, level: UFloat, span: Any, litres: UFloat) -> list[Figure]:
    """Oil used per 1000 km since a known level; what was only told is known less well."""
    from uncertainties import ufloat

    km = readings.given("km_since")
    if not km:
        return []
    label = "oil used per 1000 km"
    started = readings.given("level_then")
    if started in (None, "unknown"):
        return [
            Figure(
                "use",
                label,
                "volume",
                None,
                absent_because="the level at the start of that distance is not known",
            )
        ]
    ours = readings.given("known_from") == "measured"
    added = readings.given("added_l") or 0.0
    poured: Any = ufloat(added, (0.03 if ours else 0.15) * added) if added else 0.0
    driven = ufloat(km, (0.01 if ours else 0.1) * km)
    # Whoever filled "to the upper mark" read the stick as we do, or less well.
    then: Any = span + ufloat(0, 1.5 if ours else 3.0)
    used = litres * (then - level) / span + poured
    return [figure_of("use", label, "volume", used / (driven / 1000))]


# --- words and chart --------------------------------------------------------------------------


def _litres(figure: Figure | None, context: Context, places: int = 1) -> str:
    value = abs(figure.value) if figure and figure.value is not None else 0.0
    return show_value(value, "volume", context.units, places)


def _figure(figures: Sequence[Figure], key: str) -> Figure | None:
    return next((f for f in figures if f.key == key and f.value is not None), None)


def _is_over(figures: Sequence[Figure]) -> bool:
    to_max = _figure(figures, "to_max")
    return to_max is not None and to_max.value is not None and to_max.value < 0


def _losing_coolant(readings: Readings) -> bool:
    return readings.given("coolant_loss") == "yes"


def _customer(
    lead: str,
    seen: Sequence[str],
    stands: str,
    readings: Readings,
    figures: Sequence[Figure],
    context: Context,
) -> list[Sentence]:
    said = [
        PROCEDURE.say(f"customer.{code}")
        for code in seen
        if code not in ("above_upper", "below_lower")
    ]
    place = 0 if lead == stands else len(said)
    said.insert(place, _level_said(lead, stands, readings, figures, context))
    if "milky_stick" in seen:
        said.append(
            PROCEDURE.say(
                "customer.do_not_run" if _losing_coolant(readings) else "customer.not_until_known"
            )
        )
    if "above_upper" in seen or "water_drops" in seen:
        said.append(PROCEDURE.say("customer.do_not_start"))
    if stands == "below_lower":
        said.append(PROCEDURE.say("customer.top_up_first"))
    use = _figure(figures, "use")
    if use is not None and use.value is not None and use.value > 2 * use.u:
        said.append(PROCEDURE.say("customer.use", use=_litres(use, context)))
    return said


def _level_said(
    lead: str, stands: str, readings: Readings, figures: Sequence[Figure], context: Context
) -> Sentence:
    """Where the oil stands, for the customer."""
    level, to_max = _figure(figures, "level"), _figure(figures, "to_max")
    if stands == "below_lower" and to_max is None:
        return PROCEDURE.say("customer.off_stick")
    if stands == "above_upper" and to_max is None:
        return PROCEDURE.say("customer.over_stick")
    if stands != "undecided":
        good = "customer.between_lead" if lead == "between_marks" else f"customer.{stands}"
        return PROCEDURE.say(good, amount=_litres(to_max, context))
    if level is None or level.value is None:
        return PROCEDURE.say("customer.undecided")
    upper = level.value > readings.given("span") / 2
    return PROCEDURE.say("customer.at_upper" if upper else "customer.at_lower")


def _technician(
    lead: str,
    seen: Sequence[str],
    stands: str,
    readings: Readings,
    figures: Sequence[Figure],
    verdicts: Sequence[Any],
    context: Context,
    confounders: Sequence[str],
) -> list[Sentence]:
    told = []
    level, to_max = _figure(figures, "level"), _figure(figures, "to_max")
    if level is not None and to_max is not None and level.value is not None:
        key = "level_over" if _is_over(figures) else "level_short"
        told.append(
            PROCEDURE.say(
                "level_below" if level.value < 0 else key,
                level=show(abs(level.value), level.u, "length", context.units, digit=0.1),
                span=show_value(readings.given("span"), "length", context.units),
                litres=show(abs(to_max.value or 0.0), to_max.u, "volume", context.units),
            )
        )
        judged = next((v for v in verdicts if v.address == "figure.level"), None)
        if judged is not None and judged.outcome == "cannot_tell":
            told.append(PROCEDURE.say("at_the_mark", words=verdict_words(judged, context.units)))
    elif stands == "undecided":
        told.append(PROCEDURE.say("no_level"))
    if "litres_typical" in confounders and to_max is not None:
        told.append(
            PROCEDURE.say(
                "litres_typical", litres=show_value(TYPICAL_LITRES, "volume", context.units, 1)
            )
        )
    if stands == "above_upper":
        diesel = context.car.fuel == "diesel"
        told.append(PROCEDURE.say("next.above_diesel" if diesel else "next.above_upper"))
        much = to_max is not None and (to_max.value or 0.0) < -MUCH_OVER_L
        if much:
            told.append(
                PROCEDURE.say(
                    "next.much_over", much=show_value(MUCH_OVER_L, "volume", context.units, 1)
                )
            )
    told += [PROCEDURE.say(f"next.{code}") for code in seen if code != "above_upper"]
    if "milky_stick" in seen:
        told.append(
            PROCEDURE.say("do_not_run" if _losing_coolant(readings) else "next.milky_alone")
        )
    use = _figure(figures, "use")
    if use is not None and use.value is not None:
        told.append(PROCEDURE.say("use", use=show(use.value, use.u, "volume", context.units)))
    if lead == "between_marks":
        told.append(PROCEDURE.say("colour"))
    return told


def _chart(
    level: UFloat | None, span: float | None, figures: Sequence[Figure], context: Context
) -> dict[str, Any]:
    """The stick with its two marks and where the oil stands."""
    if level is None or not span:
        return {}
    note = PROCEDURE.say(
        "chart.over" if _is_over(figures) else "chart.short",
        litres=_litres(_figure(figures, "to_max"), context, 2),
    ).text
    height = level.nominal_value
    return {
        "kind": "level",
        "title": PROCEDURE.say(
            "chart.below" if height < 0 else "chart.above",
            level=show_value(abs(height), "length", context.units, 1),
            span=show_value(span, "length", context.units),
            note=note,
        ).text,
        "stick": {"low": 0.0, "high": span, "unit": "mm"},
        "level": height,
        "u": level.std_dev,
        "note": note,
    }


# --- the declaration --------------------------------------------------------------------------

_NOT_BEFORE_KNOWN = Driving(
    "do_not_drive",
    "Oil with water or metal in it no longer protects the engine. Do not start it before it is "
    "known where that comes from.",
)
_NOT_TOO_FULL = Driving(
    "do_not_drive",
    "Too much oil, or fuel in it, can destroy an engine. Do not start it before the level is put "
    "right and it is known what raised it.",
)
_TOP_UP_FIRST = Driving(
    "only_as_stated",
    "Top up to between the marks before driving, and read the stick again after a short drive.",
)
_SHORT_ONLY = Driving(
    "only_as_stated", "Short distances only, without haste, until the oil has been changed."
)

PROCEDURE = Procedure(
    name="oil_level",
    title="Oil level and condition",
    version=1,
    group="Engine",
    purpose="Shows whether the engine has the oil that its stick asks for, how much is short or "
    "over, and whether something is in it that does not belong there.",
    proves_nothing_when="The car stood uneven, the oil had no time to run down, or the car has "
    "only an electronic gauge.",
    cautions=(
        Caution(
            "Engine off, key away, before the stick is drawn.",
            "Belts and fans catch sleeves and hair; electric fans start by themselves.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "Above the upper mark: do not start the engine until it is known what is in it.",
            "It may be fuel or coolant. A diesel can run away on oil thinned with fuel, and then "
            "the key does not stop it.",
            "common practice",
            "customer",
        ),
        Caution(
            "Hot oil and manifolds burn.",
            "Gloves; wipe up drops on the exhaust, they burn.",
            "common practice",
        ),
        USED_OIL,
        Caution(
            "Do not taste, do not hold your nose to it.",
            "Coolant is poisonous; a strip or a laboratory tells glycol.",
            "NIOSH, ATSDR",
            from_memory=True,
        ),
        Caution(
            "A hybrid may start its engine by itself.",
            "Switch it off and keep the key out of range before a hand goes in.",
            "maker's instructions",
            when=lambda context: context.car.high_voltage,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("level_ground", "The car stands level.", "not_level"),
        Precondition(
            "stood",
            "Engine off for at least five minutes, or as long as the maker says.",
            "not_stood",
        ),
        Precondition(
            "as_maker_says", "Engine warm or cold as the maker's text asks.", "other_temperature"
        ),
        Precondition(
            "wiped",
            "Stick drawn, wiped, pushed home, drawn again; the lower of its two sides read.",
            "not_wiped",
        ),
    ),
    effort=Effort(minutes=5, tools=("clean cloth", "rule in millimetres", "lamp"), state="any"),
    given=(
        Quantity(
            key="span",
            label="Between the two marks",
            quantity="length",
            needed=True,
            possible=(3.0, 150.0),
            likely=(8.0, 60.0),
            instrument="tape",
            help="Lower to upper mark, by rule.",
        ),
        Quantity(
            key="span_l",
            label="Litres between the marks",
            quantity="volume",
            origin="told",
            possible=(0.1, 15.0),
            likely=(0.5, 3.0),
            help="Maker's data. Left empty, about 1 L is taken, with a wide doubt.",
        ),
        Flag(key="nothing_on_stick", label="The oil does not reach the stick"),
        Choice(
            key="look",
            label="Oil on the stick",
            needed=True,
            choices={
                "clear": "clear, amber",
                "dark": "dark",
                "milky_stick": "milky or grey sludge",
                "thin": "thin, runs like water",
                "gritty": "metal or grit in it",
                "water_drops": "drops of water under the oil",
                "not_looked": "not looked at",
            },
        ),
        Choice(
            key="cap",
            label="Under the filler cap",
            choices={
                "clean": "clean or dark film",
                "milky": "milky film",
                "not_looked": "not looked at",
            },
        ),
        Flag(
            key="fuel_smell",
            label="Smells of fuel on the cloth",
            help="As you notice it at arm's length.",
        ),
        Choice(
            key="coolant_loss",
            label="Coolant being lost",
            origin="told",
            choices={"yes": "yes, told or seen", "no": "no", "unknown": "not known"},
        ),
        Flag(key="fresh_oil", label="Oil changed within the last 500 km", origin="told"),
        Quantity(
            key="km_since",
            label="Distance since the known level",
            quantity="distance",
            possible=(1.0, 100_000.0),
            likely=(100.0, 40_000.0),
            origin="told",
            help="Since the last change or the last filling to the upper mark.",
        ),
        Choice(
            key="level_then",
            label="Level at its start",
            origin="told",
            choices={"upper": "at the upper mark", "unknown": "not known"},
        ),
        Quantity(
            key="added_l",
            label="Oil added since",
            quantity="volume",
            origin="told",
            possible=(0.0, 100.0),
            likely=(0.0, 10.0),
        ),
        Choice(
            key="known_from",
            label="Distance and filling are",
            default="told",
            choices={"told": "told by the customer", "measured": "measured by this shop"},
        ),
    ),
    grids=(
        Grid(
            "stick",
            "The stick",
            Fixed((Row("first", "first dip"), Row("second", "second dip", optional=True))),
            (
                Quantity(
                    key="level",
                    label="above the lower mark",
                    quantity="length",
                    needed=True,
                    possible=(-100.0, 300.0),
                    likely=(-15.0, 60.0),
                    instrument="dipstick_by_eye",
                    help="Millimetres above the lower mark; below it with a minus sign; a lone "
                    "dash if the oil does not reach the stick.",
                ),
            ),
            help="Two dips show whether the stick can be trusted.",
        ),
    ),
    limits=(Limit("stick.*.level", bounds=_marks),),
    handling_u={"level": 1.0},
    patterns=(
        Pattern("milky_stick", "milky on the stick", direct=True, driving=_NOT_BEFORE_KNOWN),
        Pattern("water_drops", "drops of water in the oil", direct=True, driving=_NOT_BEFORE_KNOWN),
        Pattern("above_upper", "above the upper mark", direct=True, driving=_NOT_TOO_FULL),
        Pattern("gritty", "metal or grit in the oil", direct=True, driving=_NOT_BEFORE_KNOWN),
        Pattern("below_lower", "below the lower mark", direct=True, driving=_TOP_UP_FIRST),
        Pattern("thin_or_fuel", "thin, or smells of fuel", driving=_SHORT_ONLY),
        Pattern("milky_cap", "milky on the cap only"),
        Pattern("between_marks", "between the marks", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "not_level",
            "The car did not stand level: one degree moves the oil by millimetres.",
            0.5,
        ),
        Confounder("not_stood", "The oil had no time to run down: the stick reads low.", 0.5),
        Confounder(
            "other_temperature", "Read warm where the maker asks for cold, or the reverse.", 0.7
        ),
        Confounder(
            "not_wiped", "The stick was not wiped and dipped again: splashes read high.", 0.4
        ),
        Confounder("dips_disagree", "Two dips differ by more than reading a stick explains.", 0.5),
        Confounder(
            "litres_typical", "The litres between the marks are typical, not this engine's.", 0.9
        ),
        Confounder("look_unknown", "Nobody looked at the oil itself.", 0.7, only_sound=True),
        Confounder(
            "fresh_oil",
            "The oil is nearly new: it has had no time to show anything.",
            0.6,
            only_sound=True,
        ),
    ),
    leaves_apart=(),
    formulas=(
        Formula("level", "mean of the dips, mm above the lower mark", "JCGM 100:2008, 4.2.1"),
        Formula(
            "above_min",
            "litres between the marks x level / distance between the marks",
            "common practice: a sump of even section near the marks",
        ),
        Formula(
            "to_max",
            "litres between the marks x (distance between the marks − level) / that distance; "
            "minus: too much",
            "common practice: a sump of even section near the marks",
        ),
        Formula(
            "use",
            "(litres between the marks x (level then − level now) / distance between the marks "
            "+ litres added) / distance driven x 1000 km",
        ),
    ),
    example={
        "ready.level_ground": "yes",
        "ready.stood": "yes",
        "ready.as_maker_says": "yes",
        "ready.wiped": "yes",
        "given.span": "20",
        "given.look": "dark",
        "given.cap": "clean",
        "given.span_l": "1",
        "stick.first.level": "10",
    },
    evidence_group="oil",
    assess=assess,
    sentences={
        # customer
        "customer.between_lead": "The oil stands where it should, between the two marks of the "
        "stick; about {amount} would bring it to the upper one.",
        "customer.between_marks": "The oil stands between the two marks of the stick.",
        "customer.at_lower": "The oil stands at the lower mark of the stick, too close to tell by "
        "eye on which side. It should be topped up a little.",
        "customer.at_upper": "The oil stands at the upper mark of the stick, too close to tell by "
        "eye on which side. No oil should be added.",
        "customer.below_lower": "The oil stands below the lower mark of the stick: about {amount} "
        "is short of the upper mark.",
        "customer.above_upper": "The oil stands above the upper mark of the stick, by about "
        "{amount}.",
        "customer.over_stick": "The oil stands above the upper mark of the stick.",
        "customer.off_stick": "The oil does not reach the stick at all.",
        "customer.undecided": "The readings do not show how much oil is in the engine. It has to "
        "be read again.",
        "customer.milky_stick": "The oil on the stick is milky, which water or coolant in the oil "
        "does. Where from is not shown by this test.",
        "customer.water_drops": "There are drops of water in the oil.",
        "customer.gritty": "There is metal or grit in the oil.",
        "customer.thin_or_fuel": "The oil is thin or smells of fuel.",
        "customer.milky_cap": "There is a milky film under the filler cap and none on the stick. "
        "Short trips in the cold do this too; by itself it is no sign of a "
        "fault.",
        "customer.do_not_run": "Do not run the engine: the oil is milky and coolant is being lost. "
        "Bearings without sound oil are ruined within minutes. The car may "
        "be towed.",
        "customer.not_until_known": "The engine should not be run until it is known what is in the "
        "oil.",
        "customer.do_not_start": "Do not start the engine until it is known what is in the oil; "
        "too much of it, or fuel or water in it, can ruin the engine.",
        "customer.top_up_first": "Oil has to be added before the engine is run.",
        "customer.use": "From what is known, the engine uses about {use} of oil per 1000 km.",
        # technician
        "level_short": "{level} above the lower mark, {span} between the marks: {litres} to the "
        "upper mark.",
        "level_below": "{level} below the lower mark, {span} between the marks: {litres} to the "
        "upper mark.",
        "level_over": "{level} above the lower mark, {span} between the marks: {litres} over the "
        "upper mark.",
        "at_the_mark": "At a mark: {words}. Dip again; add only in small steps.",
        "no_level": "No level to judge: read the stick, and the distance between its marks.",
        "litres_typical": "Litres between the marks not given: {litres} taken as typical. Look "
        "them up before filling; add a little, dip again.",
        "next.above_upper": "Over the upper mark: do not start until known. Who filled last? Blot "
        "on paper, glycol strip; then drain to the mark or change. More oil "
        "than before against coolant lost is a lower bound, since water boils "
        "off.",
        "next.above_diesel": "Diesel over the upper mark: often fuel, and the engine can run away "
        "on it. Do not start. Ask for broken-off filter regenerations and "
        "many short trips; check injectors and pump seal; change the oil "
        "before it runs.",
        "next.much_over": "More than {much} over: the crank froths it; drain before anything else.",
        "next.below_lower": "Below the lower mark: top up before running, note what went in, look "
        "for leaks and for an oily plug.",
        "next.milky_stick": "Milky on the stick: coolant level, pressure hold cold, then oil "
        "cooler and head joint alike. A glycol strip or a laboratory tells "
        "coolant from condensed water.",
        "next.milky_alone": "No loss of coolant told: mark the coolant level now and let it stand; "
        "do not run it until the water is explained.",
        "do_not_run": "Milky with coolant lost: do not run the engine, not even to move the car. "
        "Liquid may stand in a cylinder: plugs out and turn by hand before any "
        "cranking.",
        "next.water_drops": "Drops of water: drain a little cold after standing, coolant comes "
        "first. Rain through an open filler, a wash, or coolant; do not start "
        "until known.",
        "next.gritty": "Metal or grit: cut the filter open, magnet through the drained oil, oil "
        "pressure by gauge. No load until it is explained.",
        "next.thin_or_fuel": "Thin or fuel: short trips, misfire, leaking injector or pump, on a "
        "diesel broken-off filter regenerations. Is the level rising? Change "
        "the oil once the cause is found.",
        "next.milky_cap": "Milky on the cap only: look again after a long run; mark the coolant "
        "level meanwhile. Never a diagnosis by itself.",
        "use": "Oil used: {use} per 1000 km. Compare over at least 1000 km, same ground, same "
        "mark.",
        "colour": "Dark is no fault, and colour alone tells neither age nor condition.",
        # chart
        "chart.above": "Oil at {level} above the lower mark, {span} between the marks: {note}.",
        "chart.below": "Oil at {level} below the lower mark, {span} between the marks: {note}.",
        "chart.short": "{litres} to the upper mark",
        "chart.over": "{litres} over the upper mark",
    },
)
