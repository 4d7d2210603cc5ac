"""Voltage drop under load: how much is lost on the way, and between which two points.

Method: meter across a stretch of the path while its own load draws current; ohms = volts / amperes.
Limits: advice of an engineering society as quoted in a published service manual (the society's own
paper not identified); the others are common practice. The maker's data go before all of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.cautions import BATTERY_LEAD, BELTS_AND_FANS
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge, judge_figure, span_for
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
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
    Row,
    Source,
    Span,
    Text,
)
from measurements.core.readings import Readings, RowReadings

if TYPE_CHECKING:
    from uncertainties import UFloat

_MANUAL = Source("S", "an engineering society's advice as printed in a published service manual")
_PRACTICE = Source("C", "common practice")

STEP_LIMIT_V: Mapping[str, tuple[float, Source]] = {
    "small_joint": (0.05, _PRACTICE),
    "joint": (0.10, _MANUAL),
    "cable": (0.20, _MANUAL),
    "contact": (0.30, _MANUAL),
}
"""Kind of step -> most that it may lose, volt, on a 12 volt car with its load on."""

WHOLE_LIMIT_V: Mapping[str, float] = {
    "starter_ground": 0.30,
    "starter_feed": 0.50,
    "charging_feed": 0.30,
    "alternator_ground": 0.20,
    "accessory_ground": 0.10,
    "sensor_ground": 0.05,
}
"""Path -> most that the whole of it may lose, volt; common practice. Other paths have none."""

ENOUGH_OF_RATED = 0.5
"""Below this share of the rated current a good reading decides nothing (common practice)."""

LEAST_DISAGREEMENT = 0.10
"""Steps and whole are read at different moments: a tenth of the whole may differ (judgement)."""


def _step(code: str, kind: str, start: str, end: str) -> Row:
    return Row(code, f"{start} to {end}", {"kind": kind}, start=start, end=end)


PATHS = {
    "starter_ground": (
        _step("post", "joint", "battery − post", "battery − clamp"),
        _step("cable", "cable", "battery − clamp", "body"),
        _step("strap", "cable", "body", "engine block"),
        _step("case", "joint", "engine block", "starter case"),
    ),
    "starter_feed": (
        _step("post", "joint", "battery + post", "battery + clamp"),
        _step("cable", "cable", "battery + clamp", "solenoid feed stud"),
        _step("solenoid", "contact", "solenoid feed stud", "solenoid motor stud"),
        _step("link", "joint", "solenoid motor stud", "starter terminal"),
    ),
    "charging_feed": (
        _step("stud", "joint", "B+ stud", "B+ cable lug"),
        _step("cable", "cable", "B+ cable lug", "fuse or link, inlet"),
        _step("fuse", "joint", "fuse or link, inlet", "fuse or link, outlet"),
        _step("onward", "cable", "fuse or link, outlet", "battery + clamp"),
        _step("post", "joint", "battery + clamp", "battery + post"),
    ),
    "alternator_ground": (
        _step("case", "joint", "alternator case", "engine block"),
        _step("strap", "cable", "engine block", "body"),
        _step("cable", "cable", "body", "battery − clamp"),
        _step("post", "joint", "battery − clamp", "battery − post"),
    ),
}
"""The routes that stand ready, step by step; any other circuit is named by hand."""


def _supply_range(context: Context) -> tuple[float, float]:
    """A drop can't exceed what the battery and alternator have, in either direction."""
    most = 40.0 if context.car.volts >= 24 else 20.0
    return (-most, most)


def _step_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    if row is None or context.car.volts != 12:
        return None
    found = STEP_LIMIT_V.get(str(row.value("kind")))
    return Span(None, *found) if found else None


def _whole_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    limit_v = WHOLE_LIMIT_V.get(str(readings.given("path")))
    if limit_v is None or context.car.volts != 12:
        return None
    return Span(None, limit_v, _PRACTICE)


def resistance_mohm(drop_v: float, current_a: float) -> float:
    """Resistance of a stretch, mΩ, from volts across it and amperes through it.

    >>> round(resistance_mohm(0.18, 40), 3)
    4.5
    """
    return drop_v / current_a * 1000


def drop_at(drop_v: float | UFloat, current_a: float | UFloat, rated_a: float) -> float | UFloat:
    """The drop, volt, that the same resistance has at another current, A.

    >>> round(drop_at(0.18, 40, 90), 4)
    0.405
    """
    return drop_v / current_a * rated_a


def assess(readings: Readings, context: Context) -> Assessment:
    """Where the loss is, judged only when a current was shown to flow."""
    verdicts = judge(PROCEDURE, readings, context)
    steps = [row for row in readings.rows("path") if row.uncertain("drop") is not None]
    confounders = ["high_voltage"] if context.car.high_voltage else []
    if not _flows(readings):
        return _without_current(readings, context, verdicts, steps, confounders)

    figures, whole = _figures(readings, steps)
    scaled = next((figure for figure in figures if figure.key == "drop_at_rated"), None)
    whole_span = span_for(PROCEDURE, "given.whole", context, readings)
    extra = []
    if scaled is not None and scaled.value is not None:
        extra.append(judge_figure(PROCEDURE, scaled, context, whole_span))
    summed = next((figure for figure in figures if figure.key == "sum"), None)
    if summed is not None and readings.uncertain("given.whole") is None and _complete(readings):
        extra.append(judge_figure(PROCEDURE, summed, context, whole_span))
    verdicts = (*verdicts, *extra)

    current, rated = readings.value("given.current"), readings.value("given.rated")
    weak = bool(current is not None and rated and abs(current) < ENOUGH_OF_RATED * rated)
    if weak:
        confounders.append("weak_current")
    if current is None:
        confounders.append("current_not_measured")
    disagree = _disagreement(readings, steps)
    if disagree is not None:
        confounders.append("steps_disagree")

    outside = sorted(
        (row for row in steps if _outcome(verdicts, row.address("drop")) == "outside"),
        key=lambda row: -abs(row.value("drop")),
    )
    whole_outcome = _outcome(verdicts, "given.whole")
    if whole_outcome == "no_limit":
        whole_outcome = _outcome(verdicts, "figure.sum")
    scaled_outcome = _outcome(verdicts, "figure.drop_at_rated")
    stronger = bool(current is not None and rated and abs(current) > rated)
    too_much = whole_outcome == "outside" and not (stronger and scaled_outcome != "no_limit")

    where: tuple[str, ...] = ()
    also: list[Also] = []
    if outside:
        pattern, where = "lost_in_one_step", (outside[0].code,)
        also = [Also("lost_in_one_step", (row.code,)) for row in outside[1:]]
    elif too_much and _complete(readings):
        pattern = "lost_spread"
    elif too_much:
        pattern = "lost_unlocated"
    elif scaled_outcome == "outside":
        pattern, where = "over_at_rated", _leading(steps)
    elif disagree is not None:
        pattern = "steps_disagree"
    elif weak:
        pattern = "not_loaded_enough"
    elif _all_within(verdicts) and (whole is not None or _complete(readings)):
        pattern = "sound"
    else:
        pattern = "undecided"
    customer, technician = _words(
        pattern, readings, context, verdicts, steps, outside, figures, disagree
    )
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=pattern,
        where=where,
        also=also,
        figures=figures,
        verdicts=verdicts,
        confounders=confounders,
        customer=customer,
        technician=technician,
        chart=_chart(readings, context, steps),
    )


# --- reasoning --------------------------------------------------------------------------------


def _flows(readings: Readings) -> bool:
    """Whether a current was shown to flow: measured clear of nought, or the load seen working."""
    current = readings.get("given.current")
    if current is not None:
        if current.status == "above":
            return True
        if current.number is not None and abs(current.number) > 2 * current.u:
            return True
        if current.number is not None:
            return False
    return readings.given("load_seen") is True


def _size(value: UFloat) -> UFloat:
    """The number without its sign, which only tells how the leads were held."""
    return value if value.nominal_value >= 0 else -value


def _complete(readings: Readings) -> bool:
    """Every step of the route was read."""
    rows = [row for row in readings.rows("path") if not row.row.optional or row.get("drop")]
    return bool(rows) and all(row.uncertain("drop") is not None for row in rows)


def _outcome(verdicts: tuple[VerdictOutcome, ...], address: str) -> str:
    return next((v.outcome for v in verdicts if v.address == address), "no_limit")


def _all_within(verdicts: tuple[VerdictOutcome, ...]) -> bool:
    judged = [v.outcome for v in verdicts if v.outcome != "no_limit"]
    return bool(judged) and all(outcome == "within" for outcome in judged)


def _sum(steps: list[RowReadings]) -> UFloat | None:
    numbers = [row.uncertain("drop") for row in steps]
    known = [number for number in numbers if number is not None]
    return sum(known[1:], known[0]) if known else None


def _disagreement(readings: Readings, steps: list[RowReadings]) -> UFloat | None:
    """Whole less sum of all steps, where it is more than doubt and moment explain."""
    whole, total = readings.uncertain("given.whole"), _sum(steps)
    if whole is None or total is None or not _complete(readings):
        return None
    # Leads reversed for the whole, or for all steps, are no disagreement.
    gap = whole - total if whole.nominal_value * total.nominal_value >= 0 else whole + total
    allowed = max(2 * gap.std_dev, LEAST_DISAGREEMENT * abs(whole.nominal_value))
    return gap if abs(gap.nominal_value) > allowed else None


def _leading(steps: list[RowReadings]) -> tuple[str, ...]:
    """The step with more than half of what the steps lose together."""
    total = sum(abs(row.value("drop")) for row in steps)
    return tuple(row.code for row in steps if total and abs(row.value("drop")) > total / 2)


def _figures(
    readings: Readings, steps: list[RowReadings]
) -> tuple[tuple[Figure, ...], UFloat | None]:
    """Sum, resistance and drop at rated current; and the whole drop that they rest on."""
    figures: list[Figure] = []
    total = _sum(steps)
    if total is not None and len(steps) > 1:
        figures.append(figure_of("sum", "sum of the steps", "voltage", _size(total)))
    whole = readings.uncertain("given.whole")
    if whole is None and _complete(readings):
        whole = total
    if whole is None:
        return tuple(figures), None
    whole = _size(whole)
    current = readings.uncertain("given.current")
    if current is None or current.nominal_value == 0:
        figures.append(
            Figure(
                "resistance",
                "resistance of the path",
                "resistance",
                None,
                absent_because="the current was not measured",
            )
        )
        return tuple(figures), whole
    current = _size(current)
    figures.append(
        figure_of("resistance", "resistance of the path", "resistance", whole / current, unit="mΩ")
    )
    rated = readings.value("given.rated")
    if rated:
        figures.append(
            figure_of(
                "drop_at_rated", "drop at rated current", "voltage", drop_at(whole, current, rated)
            )
        )
    return tuple(figures), whole


def _without_current(
    readings: Readings,
    context: Context,
    verdicts: tuple[VerdictOutcome, ...],
    steps: list[RowReadings],
    confounders: list[str],
) -> Assessment:
    """No verdict at all: nought volt without current looks like a perfect path."""
    unjudged = tuple(
        replace(v, outcome="no_limit", p=None, low=None, high=None, source=None, too_narrow=False)
        for v in verdicts
    )
    if not steps and readings.uncertain("given.whole") is None:
        pattern = "undecided"
        technician: tuple[Sentence, ...] = (PROCEDURE.say("technician.nothing_read"),)
        customer: tuple[Sentence, ...] = (PROCEDURE.say("customer.undecided"),)
    else:
        pattern = "no_current"
        technician = (PROCEDURE.say("technician.no_current"),)
        customer = (PROCEDURE.say("customer.no_current"),)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=pattern,
        verdicts=unjudged,
        confounders=confounders,
        customer=customer,
        technician=technician,
        chart=_chart(readings, context, steps),
    )


# --- words ------------------------------------------------------------------------------------

_PATH_WORDS = {
    "starter_ground": "from the battery's minus post to the starter's case",
    "starter_feed": "from the battery's plus post to the starter",
    "charging_feed": "from the alternator's B+ stud to the battery's plus post",
    "alternator_ground": "from the alternator's case to the battery's minus post",
    "accessory_ground": "of the accessory's ground",
    "accessory_feed": "of the accessory's feed",
    "sensor_ground": "of the sensor's or computer's ground",
}
_LIMIT_SENTENCE = {"C": "limit.common", "S": "limit.published", "maker": "limit.maker"}


def _volts(value: float) -> str:
    return units.show_value(abs(value), "voltage", places=2, unit="V")


def _limit_said(verdict: VerdictOutcome | None) -> tuple[Sentence, ...]:
    if verdict is None or verdict.source is None or verdict.high is None:
        return ()
    return (PROCEDURE.say(_LIMIT_SENTENCE[verdict.source.tag], limit=_volts(verdict.high)),)


def _words(
    pattern: str,
    readings: Readings,
    context: Context,
    verdicts: tuple[VerdictOutcome, ...],
    steps: list[RowReadings],
    outside: list[RowReadings],
    figures: tuple[Figure, ...],
    disagree: UFloat | None,
) -> tuple[tuple[Sentence, ...], tuple[Sentence, ...]]:
    say = PROCEDURE.say
    path = _PATH_WORDS.get(str(readings.given("path")), "of this circuit")
    by_address = {verdict.address: verdict for verdict in verdicts}
    whole = _whole_volts(readings, figures)
    whole_verdict = by_address.get("given.whole") or by_address.get("figure.sum")
    customer: list[Sentence] = []
    technician: list[Sentence] = []
    if pattern == "lost_in_one_step":
        first = outside[0]
        start, end = _ends(first)
        verdict = by_address[first.address("drop")]
        params = {"start": start, "end": end, "drop": _volts(first.value("drop"))}
        customer += [
            say("customer.lost_in_one_step", **params),
            *_limit_said(verdict),
            say("customer.next_mend_repeat"),
        ]
        technician += [say("technician.lost_in_one_step", **params), *_limit_said(verdict)]
        for row in outside[1:]:
            start, end = _ends(row)
            technician.append(
                say("technician.also_outside", start=start, end=end, drop=_volts(row.value("drop")))
            )
        technician.append(say("technician.one_fault_clears_nothing"))
    elif pattern in ("lost_spread", "lost_unlocated"):
        customer += [
            say("customer." + pattern, path=path, drop=_volts(whole or 0.0)),
            *_limit_said(whole_verdict),
        ]
        technician += [
            say("technician." + pattern, drop=_volts(whole or 0.0)),
            *_limit_said(whole_verdict),
        ]
    elif pattern == "over_at_rated":
        scaled = by_address["figure.drop_at_rated"]
        params = {
            "drop": _volts(scaled.value or 0.0),
            "rated": units.show_value(readings.value("given.rated"), "current", unit="A"),
            "current": units.show_value(readings.value("given.current"), "current", unit="A"),
        }
        customer += [say("customer.over_at_rated", path=path, **params), *_limit_said(scaled)]
        technician += [say("technician.over_at_rated", **params), *_limit_said(scaled)]
    elif pattern == "sound":
        customer += [
            say("customer.sound", path=path, drop=_volts(whole or 0.0)),
            *_limit_said(whole_verdict),
            say("customer.only_this_path"),
        ]
        technician += [say("technician.sound"), say("technician.only_this_path")]
    else:
        customer.append(say("customer." + pattern))
        technician.append(say("technician." + pattern))
    if disagree is not None:
        technician.append(
            say(
                "technician.gap",
                gap=units.show(disagree.nominal_value, disagree.std_dev, "voltage", unit="V"),
            )
        )
    if any(row.value("drop") < 0 for row in steps):
        technician.append(say("technician.signs"))
    if context.car.volts != 12:
        technician.append(say("technician.no_general_limit", volts=str(context.car.volts)))
    if "cannot_tell" in {verdict.outcome for verdict in verdicts}:
        technician.append(say("technician.close"))
        if pattern == "undecided":
            customer = [say("customer.close")]
    return tuple(customer), tuple(technician)


def _whole_volts(readings: Readings, figures: tuple[Figure, ...]) -> float | None:
    measured = readings.value("given.whole")
    if measured is not None:
        return abs(float(measured))
    summed = next((figure for figure in figures if figure.key == "sum"), None)
    if summed is not None and summed.value is not None:
        return summed.value
    numbers = [row.value("drop") for row in readings.rows("path") if row.value("drop") is not None]
    return sum(abs(number) for number in numbers) if numbers else None


def _ends(row: RowReadings) -> tuple[str, str]:
    """The two places that a step lies between; a step named by hand ends at its name."""
    if row.row.end:
        return row.row.start, row.row.end
    rows = row.readings.rows(row.grid)
    index = [other.code for other in rows].index(row.code)
    return (rows[index - 1].label if index else "the start"), row.label


def _chart(readings: Readings, context: Context, steps: list[RowReadings]) -> dict[str, object]:
    """The profile from station to station; only when at least one step was read."""
    rows = [row for row in readings.rows("path") if not row.row.optional or row.get("drop")]
    if not steps:
        return {}
    stations = [_ends(rows[0])[0], *(_ends(row)[1] for row in rows)]
    drops = [
        None if row.uncertain("drop") is None else round(abs(row.value("drop")), 6) for row in rows
    ]
    span = span_for(PROCEDURE, "given.whole", context, readings)
    known = [(drop, row) for drop, row in zip(drops, rows, strict=True) if drop is not None]
    most = max(drop for drop, _ in known)
    told = "; ".join("{} to {} {}".format(*_ends(row), _volts(drop)) for drop, row in known)
    title = PROCEDURE.say("chart.steps", told=told).text
    if span and span.high is not None:
        title += " " + PROCEDURE.say("chart.limit", limit=_volts(span.high)).text
    total = sum(drop for drop, _ in known)
    leads = len(known) == 1 or most > total / 2
    return {
        "kind": "path",
        "title": title,
        "unit": "V",
        "axis": "lost since the first point",
        "stations": [_short(name) for name in stations],
        "drops": drops,
        "limit": span.high if span else None,
        "note": PROCEDURE.say("chart.here", drop=_volts(most)).text if leads and most > 0 else "",
    }


def _short(station: str) -> str:
    for long, short in (
        ("battery ", ""),
        ("solenoid ", "sol. "),
        ("fuse or link, ", "fuse "),
        ("alternator ", "alt. "),
    ):
        station = station.replace(long, short)
    return station


PROCEDURE = Procedure(
    name="voltage_drop",
    title="Voltage drop under load",
    version=1,
    group="Electrical",
    purpose="Finds where voltage is lost between two points while their own load draws current.",
    proves_nothing_when="No current flows: then every path reads nought, a broken one too.",
    formulas=(
        Formula("sum", "sum of the drops of the steps, same meter", "Kirchhoff's law of voltages"),
        Formula(
            "resistance",
            "drop of the whole path (measured, else the sum of all its steps) / amperes",
            "Ohm's law",
        ),
        Formula("drop_at_rated", "resistance of the path x rated amperes", "Ohm's law"),
    ),
    example={
        "ready.battery": "yes",
        "ready.leads": "yes",
        "ready.held": "yes",
        "given.path": "starter_ground",
        "given.current": "205 A",
        "given.rated": "284",
        "given.whole": "0.824",
        "path.post.drop": "0,098",
        "path.cable.drop": "0.046",
        "path.strap.drop": "661 mV",
        "path.case.drop": "0.019",
    },
    evidence_group="electrical_supply",
    comparable={"path": (0.0, 0.0), "current": (0.5, 0.3)},
    effort=Effort(
        12, ("multimeter", "clamp meter"), risk="cranking, or working near a running engine"
    ),
    cautions=(
        Caution(
            "Moving car.",
            "Neutral or park, brake on, wheels chocked, nobody in front: a bridged "
            "gear or clutch switch lets the car leap when cranked.",
            "common practice",
        ),
        BELTS_AND_FANS,
        Caution(
            "Burns and sparks at B+ and battery.",
            "Rings off; clip the leads on before the load is switched on; battery gas explodes.",
            "workplace safety guidance on batteries",
            from_memory=True,
        ),
        BATTERY_LEAD,
        Caution(
            "High-voltage system.",
            "Only the 12 volt side, by people trained for it; the car may "
            "start by itself while it is ready. Orange cable: stop.",
            "workplace guidance on electric vehicles",
            when=lambda context: context.car.high_voltage,
        ),
        Caution(
            "Air-bag and sensor lines.",
            "No lamp, no ohmmeter, no piercing of insulation.",
            "the maker's instructions",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("battery", "Battery at least three quarters charged", "battery_low"),
        Precondition(
            "leads", "Meter leads touched together read under 0.002 V", "leads_not_checked"
        ),
        Precondition("held", "Car cannot move, and the engine cannot start if it is only cranked"),
    ),
    given=(
        Choice(
            key="path",
            label="path",
            needed=True,
            choices={
                "starter_ground": "starter ground: battery − to starter case",
                "starter_feed": "starter feed: battery + to starter",
                "charging_feed": "charging feed: alternator B+ to battery +",
                "alternator_ground": "alternator case to battery −",
                "accessory_ground": "another circuit, ground side",
                "accessory_feed": "another circuit, feed side",
                "sensor_ground": "sensor or computer ground",
            },
        ),
        Quantity(
            key="current",
            label="current while measuring",
            quantity="current",
            possible=(-3000.0, 3000.0),
            likely=(-1200.0, 1200.0),
            instrument="clamp_ammeter",
            help="By clamp, or leave empty and say that the load was seen working.",
        ),
        Flag(key="load_seen", label="load seen working (lamp lit, motor turning)"),
        Quantity(
            key="rated",
            label="current at full load",
            quantity="current",
            origin="told",
            possible=(0.0, 3000.0),
            likely=(0.0, 1200.0),
            help="Rating of alternator or consumer, or cranking current when all is well.",
        ),
        Quantity(
            key="whole",
            label="whole path, end to end",
            quantity="voltage",
            possible=_supply_range,
            likely=(-5.0, 5.0),
            instrument="multimeter",
        ),
    ),
    grids=(
        Grid(
            "path",
            "Red probe toward the load, step by step",
            Free(named="name", own=("name", "kind"), by="path", presets=PATHS, opens=2, most=20),
            (
                Text(key="name", label="probe moved to", longest=40),
                Choice(
                    key="kind",
                    label="kind of step",
                    choices={
                        "small_joint": "connection, small current",
                        "joint": "connection, large current",
                        "cable": "cable",
                        "contact": "switch or relay contact",
                    },
                ),
                Quantity(
                    key="drop",
                    label="drop",
                    quantity="voltage",
                    possible=_supply_range,
                    likely=(-5.0, 5.0),
                    instrument="multimeter",
                    needed=True,
                ),
            ),
        ),
    ),
    limits=(
        Limit("path.*.drop", bounds=_step_limit, magnitude=True),
        Limit("given.whole", bounds=_whole_limit, magnitude=True),
    ),
    patterns=(
        Pattern("lost_in_one_step", "more is lost in one step than is usual", direct=True),
        Pattern("lost_spread", "too much is lost on the whole path, spread over its steps"),
        Pattern("lost_unlocated", "too much is lost on the whole path, not yet known where"),
        Pattern("over_at_rated", "inside at this current, too much at full current"),
        Pattern("steps_disagree", "the steps do not add up to the whole"),
        Pattern("not_loaded_enough", "current too weak to tell"),
        Pattern("no_current", "no current shown to flow: proves nothing"),
        Pattern("sound", "no unusual loss on this path while current flowed", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("weak_current", "Less than half of the full current was flowing.", 0.3, True),
        Confounder(
            "current_not_measured", "The current was not measured, only seen to work.", 0.7, True
        ),
        Confounder("steps_disagree", "Steps and whole do not fit together.", 0.6),
        Confounder("battery_low", "The battery's charge was low or not checked.", 0.8),
        Confounder(
            "leads_not_checked", "The meter leads were not checked against each other.", 0.8
        ),
        Confounder(
            "high_voltage",
            "The car has a high-voltage system: its 12 volt side is fed by a converter.",
            0.5,
        ),
    ),
    sentences={
        "chart.steps": "Voltage lost step by step: {told}.",
        "chart.limit": "Limit for the whole path: {limit}.",
        "chart.here": "{drop} here",
        "customer.lost_in_one_step": (
            "While current flowed we measured that {drop} is lost between {start} and {end}."
        ),
        "customer.next_mend_repeat": (
            "That stretch should be put right and the measurement repeated; other parts were not "
            "judged by it."
        ),
        "customer.lost_spread": (
            "While current flowed we measured that {drop} is lost on the way {path}. No single "
            "connection stands out."
        ),
        "customer.lost_unlocated": (
            "While current flowed we measured that {drop} is lost on the way {path}. Between "
            "which points is not measured yet."
        ),
        "customer.over_at_rated": (
            "At the current that flowed ({current}) the loss on the way {path} was not unusual. "
            "At {rated} it would be {drop}."
        ),
        "customer.steps_disagree": (
            "Our measurements of the single stretches and of the whole way do not fit together. "
            "We have to repeat them."
        ),
        "customer.not_loaded_enough": (
            "Too little current was flowing during this measurement to judge the connection."
        ),
        "customer.no_current": (
            "No current was shown to flow during this measurement, so it says nothing about the "
            "connection."
        ),
        "customer.sound": (
            "While current flowed, {drop} was lost on the way {path}. That is not unusual."
        ),
        "customer.only_this_path": "This concerns that stretch only.",
        "customer.undecided": (
            "The measurements made so far do not decide whether voltage is lost here."
        ),
        "customer.close": (
            "A measurement lies too close to its limit for this meter. The next step is to "
            "measure again with more current or a finer meter."
        ),
        "limit.common": "By common practice at most {limit} is usual there.",
        "limit.published": "A published service manual advises at most {limit} there.",
        "limit.maker": "The limit entered from the maker's data is {limit}.",
        "technician.lost_in_one_step": (
            "{drop} between {start} and {end} with current flowing. Look at what lies between, "
            "then repeat the same step."
        ),
        "technician.also_outside": "Also outside: {start} to {end}, {drop}.",
        "technician.one_fault_clears_nothing": (
            "Put it right, then test the consumer or the alternator again: this says nothing of "
            "them."
        ),
        "technician.lost_spread": (
            "{drop} over the whole path, each step inside its own limit: look at the conductor's "
            "size and at each joint."
        ),
        "technician.lost_unlocated": (
            "{drop} over the whole path. Halve it: measure to a point in the middle, then halve "
            "again."
        ),
        "technician.over_at_rated": (
            "{current} flowed; the same resistance at {rated} loses {drop}. Repeat with more load."
        ),
        "technician.steps_disagree": (
            "Nothing is outside, but steps and whole differ. Repeat both under the same load, "
            "leads held firm."
        ),
        "technician.not_loaded_enough": (
            "Below half of the full current. Switch on more load and repeat."
        ),
        "technician.no_current": (
            "Note the current by clamp, or that the load works, and repeat: without current the "
            "drop is nought on a broken path too."
        ),
        "technician.nothing_read": "No drop was read yet.",
        "technician.sound": "No step and no whole beyond its limit with this current flowing.",
        "technician.only_this_path": (
            "Holds for this path and this current; nothing else was tested."
        ),
        "technician.undecided": (
            "Not all steps were read, or there is no limit to hold them against."
        ),
        "technician.gap": "Whole less sum of steps: {gap}.",
        "technician.signs": (
            "There are minus signs: leads reversed, or current the other way. Sizes were judged."
        ),
        "technician.no_general_limit": (
            "The general limits are for 12 volt; enter the maker's for {volts} volt."
        ),
        "technician.close": (
            "Where it says too close to tell: more current or a finer range decides."
        ),
    },
    assess=assess,
)
