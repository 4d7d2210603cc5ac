"""Intake vacuum: how deep the engine draws at idle, while held at speed and after a snap throttle.

A throttled engine idles at much the same absolute pressure in its manifold wherever it stands, so
the usual window is kept as absolute pressure and moves with the air pressure. The window (15 to
22 inHg at sea level), the snap (2 and 25 inHg) and one inHg less for each 1000 ft are common
practice, as in US Army Ordnance subcourse OD1001 and workshop texts. No verdict where no throttle
makes the vacuum: turbo or compressor, diesel, valve lift in place of a throttle.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.atmosphere import AIR_FIELDS, ambient_of
from measurements.core.cautions import EXHAUST_GAS, STARTS_BY_ITSELF
from measurements.core.context import Ambient, Context
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.one_gauge import two_readings
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Effort,
    Fixed,
    Flag,
    Formula,
    Grid,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    Series,
    Source,
    Span,
)
from measurements.core.readings import Reading, Readings
from measurements.core.units import STANDARD_ATMOSPHERE_KPA

if TYPE_CHECKING:
    from uncertainties import UFloat

USUAL_IDLE_KPA = (27.0, 51.0)
"""Absolute pressure in the manifold at warm idle: 22 to 15 inHg of vacuum at sea level, rounded
(common practice: 17 to 22 in older texts, 15 to 22 in newer ones)."""

VISIBLE_FALL_KPA = 3.5
"""A fall within a minute at a held speed that a needle shows: one inHg (common practice)."""

LEAST_GAIN_KPA = 7.0
"""Above idle after the throttle snaps shut: 2 to 5 inHg (common practice)."""

WIDE_OPEN_KPA = 17.0
"""A snap that leaves more vacuum than this, 5 inHg, never opened the throttle wide (judgement)."""

LONG_ENOUGH_S = 45.0

_REACH_KPA = 20.0
_ABSOLUTE = Source("C", "common practice, as absolute pressure, so for any height")
_STAYS = Source("C", "common practice, no visible fall in a minute")
_GAINS = Source("C", "common practice, after the throttle snaps shut")

_THROTTLED = "natural"


def window_at(ambient_kpa: float) -> tuple[float, float]:
    """Usual vacuum at warm idle, kPa below the air pressure, at this air pressure in kPa absolute.

    >>> [round(kpa, 1) for kpa in window_at(101.325)]
    [50.3, 74.3]
    """
    low, high = USUAL_IDLE_KPA
    return ambient_kpa - high, ambient_kpa - low


def _read(readings: Readings, row: str) -> Reading | None:
    reading = readings.get(f"points.{row}.vacuum")
    return reading if reading is not None and reading.number is not None else None


def _held(readings: Readings) -> list[tuple[float, Reading]]:
    """Seconds and readings at the held speed."""
    found = []
    for row in readings.rows("held"):
        seconds, reading = row.value("at"), row.get("vacuum")
        if seconds is not None and reading is not None and reading.number is not None:
            found.append((float(seconds), reading))
    return found


def _difference(first: Reading, last: Reading) -> UFloat:
    """Last less first on one gauge, kPa."""
    before, after = two_readings(
        (first.number or 0.0, first),
        (last.number or 0.0, last),
        PROCEDURE.handling_u["vacuum"],
        _REACH_KPA,
    )
    change: Any = after - before
    return change


# --- the judgement ----------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """Level at idle, behaviour of the needle, fall while held, gain after a snap."""
    verdicts = list(judge(PROCEDURE, readings, context))
    makers = {v.address: v for v in verdicts if v.outcome != "no_limit"}
    throttled = readings.given("air") == _THROTTLED
    manifold = readings.given("port") in (None, "manifold")
    fits = manifold and (throttled or bool(makers))
    figures = _figures(readings, context)
    by_key = {figure.key: figure for figure in figures}
    for key, span in (
        ("idle_absolute", Span(USUAL_IDLE_KPA[0], USUAL_IDLE_KPA[1], _ABSOLUTE)),
        ("fall_while_held", Span(None, VISIBLE_FALL_KPA, _STAYS)),
        ("gain_after_snap", Span(LEAST_GAIN_KPA, None, _GAINS)),
    ):
        if key not in by_key or by_key[key].value is None:
            continue
        maker_speaks = key == "idle_absolute" and "points.idle.vacuum" in makers
        usable = throttled and manifold and not maker_speaks
        if key == "gain_after_snap" and not _opened_wide(readings):
            usable = False
        verdicts.append(judge_figure(PROCEDURE, by_key[key], context, span if usable else None))
    by_address = {verdict.address: verdict for verdict in verdicts}
    seen = _seen(readings, by_address) if fits else []
    lead, where = seen[0] if seen else (_quiet(readings, by_address) if fits else "undecided", ())
    weak = [
        code
        for code in _doubts(readings, context, throttled, makers)
        if lead in _MATTERS_TO.get(code, (lead,))
    ]
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=where,
        also=tuple(Also(code, rows) for code, rows in seen[1:]),
        figures=figures,
        verdicts=verdicts,
        confounders=weak,
        customer=_customer(lead, seen, fits, readings, figures, by_address, context),
        technician=_technician(lead, seen, fits, readings, figures, by_address, weak, context),
        chart=_chart(readings, context, fits and throttled and "points.idle.vacuum" not in makers),
    )


def _figures(readings: Readings, context: Context) -> list[Figure]:
    ambient, figures = ambient_of(readings, context), []
    idle = readings.uncertain("points.idle.vacuum")
    if idle is not None:
        figures += [
            figure_of(
                "idle_absolute",
                "pressure in the manifold at idle",
                "absolute_pressure",
                ambient - idle,
            ),
            figure_of(
                "idle_at_sea",
                "idle vacuum as at sea level",
                "vacuum",
                idle + STANDARD_ATMOSPHERE_KPA - ambient,
            ),
        ]
    held, at_idle = _held(readings), _read(readings, "idle")
    if len(held) > 1:
        fall = _difference(held[-1][1], held[0][1])
        figures.append(figure_of("fall_while_held", "fall while held at speed", "vacuum", fall))
    if held and at_idle is not None:
        more = _difference(at_idle, held[0][1])
        figures.append(figure_of("held_over_idle", "held less idle", "vacuum", more))
    overshoot = _read(readings, "overshoot")
    if overshoot is not None and at_idle is not None:
        gain = _difference(at_idle, overshoot)
        figures.append(figure_of("gain_after_snap", "gain after the snap", "vacuum", gain))
    return figures


def _opened_wide(readings: Readings) -> bool:
    """Without the lowest reading nobody knows whether the throttle was wide open."""
    dip = _read(readings, "dip")
    return dip is not None and (dip.number or 0.0) <= WIDE_OPEN_KPA


def _seen(
    readings: Readings, by_address: Mapping[str, VerdictOutcome]
) -> list[tuple[str, tuple[str, ...]]]:
    """What is unusual; the order is that of what narrows it down most."""
    seen: list[tuple[str, tuple[str, ...]]] = []
    idle, held = readings.given("idle_needle"), readings.given("held_needle")
    if _outside(by_address, "figure.fall_while_held"):
        last = next(r for r in reversed(readings.rows("held")) if r.get("vacuum"))
        seen.append(("falls_while_held", (last.code,)))
    if "in_beat" in (idle, held):
        seen.append(("drops_in_beat", ("idle",) if idle == "in_beat" else ()))
    if "at_times" in (idle, held):
        seen.append(("drops_at_times", ("idle",) if idle == "at_times" else ()))
    if held == "flutters":
        seen.append(("flutters_with_speed", ()))
    elif idle == "flutters":
        seen.append(("flutters_at_idle", ("idle",)))
    if "drifts" in (idle, held):
        seen.append(("drifts", ("idle",) if idle == "drifts" else ()))
    side = _idle_side(by_address)
    if side:
        seen.append((side, ("idle",)))
    if _outside(by_address, "figure.gain_after_snap"):
        seen.append(("little_gain", ("overshoot",)))
    return seen


def _outside(by_address: Mapping[str, VerdictOutcome], address: str) -> bool:
    return address in by_address and by_address[address].outcome == "outside"


def _idle_side(by_address: Mapping[str, VerdictOutcome]) -> str:
    """Low or high vacuum at idle; absolute pressure and vacuum run against each other."""
    verdict = by_address.get("points.idle.vacuum")
    if verdict is not None and verdict.outcome == "outside":
        beyond = verdict.low is not None and verdict.value is not None
        return "low_at_idle" if beyond and verdict.value < verdict.low else "high_at_idle"  # type: ignore[operator]
    verdict = by_address.get("figure.idle_absolute")
    if verdict is None or verdict.outcome != "outside" or verdict.value is None:
        return ""
    return "low_at_idle" if verdict.value > USUAL_IDLE_KPA[1] else "high_at_idle"


def _quiet(readings: Readings, by_address: Mapping[str, VerdictOutcome]) -> str:
    """Nothing unusual: worth something only with level and needle at idle."""
    judged = [v for v in by_address.values() if v.outcome != "no_limit"]
    level = any(v.address in ("points.idle.vacuum", "figure.idle_absolute") for v in judged)
    steady = readings.given("idle_needle") == "steady"
    if level and steady and all(v.outcome == "within" for v in judged):
        return "steady_usual"
    return "undecided"


_ON_LEVEL = ("low_at_idle", "high_at_idle", "steady_usual", "undecided")
_MATTERS_TO = {
    "air_pressure_assumed": _ON_LEVEL,
    "wide_overlap": (*_ON_LEVEL, "flutters_at_idle", "drifts"),
    "damped_throttle": ("little_gain",),
}
"""Confounder -> leading patterns that it weakens: a beat is a beat at any height."""


def _doubts(
    readings: Readings,
    context: Context,
    throttled: bool,
    makers: Mapping[str, VerdictOutcome],
) -> list[str]:
    held, air = _held(readings), readings.given("air")
    assumed = (
        readings.given("ambient") is None
        and readings.given("altitude") is None
        and context.ambient.pressure_kpa == Ambient().pressure_kpa
    )
    checks = (
        ("no_throttle_vacuum", air in ("boosted", "valve_lift", "diesel") and not makers),
        ("air_not_known", air in (None, "unknown") and not makers),
        ("other_port", readings.given("port") not in (None, "manifold")),
        ("air_pressure_assumed", throttled and assumed),
        ("wide_overlap", readings.given("overlap") is True),
        ("not_held", len(held) < 2),
        ("held_short", len(held) > 1 and held[-1][0] - held[0][0] < LONG_ENOUGH_S),
        ("held_needle_not_seen", readings.given("held_needle") in (None, "not_looked")),
        ("not_snapped", _read(readings, "overshoot") is None or not _opened_wide(readings)),
        ("damped_throttle", readings.given("snapped_by") == "pedal"),
    )
    return [code for code, holds in checks if holds]


# --- words and chart --------------------------------------------------------------------------


def _vacuum(kpa: float, context: Context) -> str:
    places = 0 if units.shop_unit("vacuum", context.units) == "kPa" else 1
    return units.show_value(kpa, "vacuum", context.units, places)


def _params(
    figures: Sequence[Figure],
    readings: Readings,
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> dict[str, str]:
    """Everything that a sentence may name, so far as it was read."""
    values = {figure.key: figure.value for figure in figures if figure.value is not None}
    low, high = window_at(ambient_of(readings, context).nominal_value)
    maker = by_address.get("points.idle.vacuum")
    if maker is not None and maker.outcome != "no_limit":
        low, high = maker.low or 0.0, maker.high if maker.high is not None else high
    held, idle = _held(readings), _read(readings, "idle")
    params = {"low": _vacuum(low, context), "high": _vacuum(high, context)}
    params["vacuum"] = _vacuum(idle.number or 0.0, context) if idle else ""
    params["fall"] = _vacuum(values.get("fall_while_held", 0.0), context)
    params["gain"] = _vacuum(values.get("gain_after_snap", 0.0), context)
    params["least"] = _vacuum(LEAST_GAIN_KPA, context)
    seconds = held[-1][0] - held[0][0] if held else 0.0
    params["time"] = units.show_value(seconds, "time", places=0, unit="s")
    return params


def _say(id: str, params: Mapping[str, str]) -> Sentence:
    """The sentence with only those parameters that it names."""
    text = PROCEDURE.sentences[id]
    return PROCEDURE.say(id, **{k: v for k, v in params.items() if f"{{{k}}}" in text})


def _customer(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    fits: bool,
    readings: Readings,
    figures: Sequence[Figure],
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    params = _params(figures, readings, by_address, context)
    if not fits:
        return [_say("customer.no_verdict", params)]
    said = [_say(f"customer.{code}", params) for code, _ in seen] or [
        _say(f"customer.{lead}", params)
    ]
    if seen:
        said.append(_say("customer.where_not_shown", params))
    return said


def _technician(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    fits: bool,
    readings: Readings,
    figures: Sequence[Figure],
    by_address: Mapping[str, VerdictOutcome],
    weak: Sequence[str],
    context: Context,
) -> list[Sentence]:
    params = _params(figures, readings, by_address, context)
    told = []
    if fits:
        told += [_say(f"next.{code}", params) for code, _ in seen] or [_say(f"next.{lead}", params)]
        if lead == "undecided" and any(v.outcome == "outside" for v in by_address.values()):
            told.append(_say("outside_elsewhere", params))
    told += [_say(f"was.{code}", params) for code in weak if f"was.{code}" in PROCEDURE.sentences]
    idle = next((figure for figure in figures if figure.key == "idle_absolute"), None)
    if fits and idle is not None and idle.value is not None:
        absolute = units.show(idle.value, idle.u, "absolute_pressure", context.units)
        told.append(_say("idle_told", {**params, "absolute": absolute}))
    swing = readings.given("swing")
    if swing is not None:
        told.append(PROCEDURE.say("swing", swing=_vacuum(swing, context)))
    return told


_ROWS = {"crank": "cranking", "idle": "idle", "dip": "snap, lowest", "overshoot": "shut, highest"}


def _chart(readings: Readings, context: Context, with_window: bool) -> dict[str, Any]:
    """Every reading on one scale, and the usual window at idle for this air pressure."""
    rows: list[dict[str, Any]] = []
    for code, label in _ROWS.items():
        reading = _read(readings, code)
        if reading is not None:
            rows.append({"label": label, "value": reading.number, "u": reading.u})
    for seconds, reading in _held(readings):
        shown = units.show_value(seconds, "time", places=0, unit="s")
        label = PROCEDURE.say("chart.held", time=shown).text
        rows.append({"label": label, "value": reading.number, "u": reading.u})
    if not rows:
        return {}
    told = "; ".join(
        "{} {}".format(row["label"], _vacuum(row["value"] or 0.0, context)) for row in rows
    )
    title, marks = PROCEDURE.say("chart.readings", told=told).text, []
    if with_window:
        low, high = window_at(ambient_of(readings, context).nominal_value)
        marks = [{"value": low, "label": "idle from"}, {"value": high, "label": "to"}]
        title += (
            " "
            + PROCEDURE.say(
                "chart.window", low=_vacuum(low, context), high=_vacuum(high, context)
            ).text
        )
    return {
        "kind": "scale",
        "title": title,
        "rows": rows,
        "marks": marks,
        "axis": "vacuum",
        "unit": "kPa",
    }


def _not_for(context: Context) -> str:
    if not context.car.has_engine:
        return "it has no engine that draws air."
    if context.car.is_diesel:
        return "a diesel has no throttle that makes a vacuum at idle."
    return ""


# --- the declaration --------------------------------------------------------------------------

_NEEDLE = {
    "steady": "steady",
    "in_beat": "drops in an even beat",
    "at_times": "drops now and then",
    "flutters": "flutters fast",
    "drifts": "drifts slowly to and fro",
    "not_looked": "not looked",
}


def _vacuum_box(key: str, label: str, help: str = "", **more: Any) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity="vacuum",
        possible=(-250.0, 105.0),
        likely=(0.0, 95.0),
        instrument="vacuum_gauge",
        help=help,
        **more,
    )


PROCEDURE = Procedure(
    name="intake_vacuum",
    title="Intake vacuum",
    version=1,
    group="Engine",
    purpose="Shows how an engine with a throttle breathes: how deep it draws at idle, whether all "
    "cylinders draw alike, and whether the vacuum stays at a held speed.",
    proves_nothing_when="Air is pushed in by a turbo or compressor, valve lift or diesel work "
    "without a throttle, the engine was cold, the gauge sat elsewhere than on the manifold, or the "
    "air pressure of a shop high above the sea was not entered.",
    cautions=(
        Caution(
            "Belts, fans and pulleys; electric fans start by themselves.",
            "Hands, hair, sleeves, hose and leads clear; the hose of the gauge tied away.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        EXHAUST_GAS,
        Caution(
            "The car must not move.",
            "Neutral or park, brake on, wheels chocked, nobody in front: when cranking, and when "
            "the throttle is snapped.",
            "common practice",
        ),
        Caution(
            "The brake servo's hose feeds the brakes.",
            "Take another port where there is one. If that hose came off: put it back, check the "
            "pedal before the car moves.",
            "common practice",
        ),
        Caution(
            "Snap the throttle once, for a second, and never with a cold engine.",
            "Held open without load the engine runs beyond its highest speed.",
            "common practice",
        ),
        Caution(
            "Hot parts and ignition leads beside the port.",
            "Gloves; a pacemaker keeps its distance from ignition parts.",
            "common practice",
        ),
        STARTS_BY_ITSELF,
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("warm", "Engine warm, idling at its proper speed.", "not_warm"),
        Precondition("no_loads", "Air conditioning, lamps and fan off; in neutral.", "loads_on"),
        Precondition(
            "hoses",
            "Every hose on its port; the gauge on a tee that does not leak.",
            "hoses_unsure",
        ),
        Precondition("zero", "Gauge at nought before it was connected.", "gauge_not_zeroed"),
    ),
    effort=Effort(
        minutes=8,
        tools=("vacuum gauge with hose and tees", "rev counter", "clock"),
        state="hot",
        risk="Brittle ports and hoses break off.",
    ),
    given=(
        Choice(
            key="air",
            label="How the engine takes its air",
            needed=True,
            origin="told",
            choices={
                "natural": "through a throttle, no turbo",
                "boosted": "turbo or compressor",
                "valve_lift": "valve lift in place of a throttle",
                "diesel": "diesel",
                "unknown": "not known",
            },
        ),
        Choice(
            key="idle_needle",
            label="Needle at idle",
            needed=True,
            choices=_NEEDLE,
            help="Watch it for half a minute. A faint even tremor is usual with four cylinders.",
        ),
        Quantity(
            key="swing",
            label="Width of the needle's swing",
            quantity="vacuum",
            possible=(0.0, 100.0),
            likely=(0.0, 50.0),
            instrument="vacuum_gauge",
            finer=True,
        ),
        Choice(
            key="held_needle",
            label="Needle at the held speed",
            choices=_NEEDLE,
        ),
        Quantity(
            key="held_rpm",
            label="Held speed",
            quantity="rotation",
            possible=(300.0, 8000.0),
            likely=(1500.0, 3500.0),
            instrument="rev_counter",
            help="About 2500 rpm.",
        ),
        Choice(
            key="port",
            label="Where the gauge sits",
            default="manifold",
            choices={
                "manifold": "on the manifold, behind the throttle",
                "runner": "on the pipe of one cylinder",
                "before": "before the throttle, or a port that the throttle covers",
            },
        ),
        Choice(
            key="snapped_by",
            label="Throttle snapped by",
            finer=True,
            choices={"hand": "hand or cable", "pedal": "pedal, electric throttle"},
        ),
        Flag(
            key="overlap",
            label="Sports camshaft, or valve timing that moves at idle",
            origin="told",
            finer=True,
        ),
        *AIR_FIELDS,
    ),
    grids=(
        Grid(
            "points",
            "Vacuum",
            Fixed(
                (
                    Row("crank", "cranking, throttle shut, no start", optional=True),
                    Row("idle", "idle, warm"),
                    Row("dip", "throttle snapped open, lowest", optional=True),
                    Row("overshoot", "snapped shut, highest", optional=True),
                )
            ),
            (
                _vacuum_box(
                    "vacuum",
                    "vacuum",
                    help="Counted as positive below the air pressure; a minus sign is pressure "
                    "above it.",
                    needed=True,
                ),
            ),
        ),
        Grid(
            "held",
            "Held at a steady speed",
            Series(
                Quantity(
                    key="at",
                    label="time",
                    quantity="time",
                    unit="s",
                    possible=(0.0, 3600.0),
                    likely=(0.0, 300.0),
                    instrument="clock",
                ),
                planned=(0.0, 30.0, 60.0),
            ),
            (_vacuum_box("vacuum", "vacuum"),),
            help="Speed held with the pedal; does the needle sink while nothing else changes?",
        ),
    ),
    handling_u={"vacuum": 0.7, "swing": 1.0},
    comparable={"air": (0.0, 0.0), "port": (0.0, 0.0), "held_rpm": (200.0, 0.0)},
    patterns=(
        Pattern("falls_while_held", "falls while held at speed"),
        Pattern("drops_in_beat", "the needle drops in an even beat"),
        Pattern("drops_at_times", "the needle drops now and then"),
        Pattern("flutters_with_speed", "the needle flutters at speed"),
        Pattern("flutters_at_idle", "the needle flutters at idle"),
        Pattern("drifts", "the needle drifts slowly to and fro"),
        Pattern("low_at_idle", "vacuum lower than usual at idle"),
        Pattern("high_at_idle", "vacuum higher than usual at idle"),
        Pattern("little_gain", "little gain after the throttle snaps shut"),
        Pattern("steady_usual", "steady, and as deep as usual", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "no_throttle_vacuum",
            "No throttle makes this engine's vacuum, or air is pushed in: the usual readings do "
            "not hold for it.",
            0.0,
        ),
        Confounder(
            "air_not_known",
            "It is not known whether a throttle makes this engine's vacuum.",
            0.0,
        ),
        Confounder("other_port", "The gauge did not sit on the manifold.", 0.0),
        Confounder("not_warm", "The engine was not warm, or did not idle at its speed.", 0.4),
        Confounder("loads_on", "Loads were on at idle; they lower the vacuum.", 0.6),
        Confounder("hoses_unsure", "A hose or the gauge's own tee may have leaked.", 0.4),
        Confounder("gauge_not_zeroed", "The gauge was not looked at before it was connected.", 0.7),
        Confounder(
            "air_pressure_assumed",
            "Neither barometer nor height was entered: sea level was taken.",
            0.7,
        ),
        Confounder(
            "wide_overlap",
            "Wide valve overlap or moving valve timing: idle may lie lower and tremble.",
            0.5,
        ),
        Confounder(
            "not_held", "Not held at speed: a fall with time would not show.", 0.6, only_sound=True
        ),
        Confounder("held_short", "Held for less than 45 seconds.", 0.7, only_sound=True),
        Confounder(
            "held_needle_not_seen",
            "The needle was not watched at speed.",
            0.8,
            only_sound=True,
        ),
        Confounder(
            "not_snapped",
            "No snap with the throttle wide open: the gain after it was not seen.",
            0.8,
            only_sound=True,
        ),
        Confounder(
            "damped_throttle",
            "An electric throttle closes slowly, and the gain comes out smaller.",
            0.8,
        ),
    ),
    needs_before=("trouble_codes",),
    spoils=("battery_at_rest", "pressure_hold"),
    leaves_apart=("vacuum gauge on the intake manifold", "plug of the vacuum port out"),
    evidence_group="engine_breathing",
    formulas=(
        Formula("idle_absolute", "air pressure less vacuum at idle", "definition of vacuum"),
        Formula(
            "idle_at_sea",
            "vacuum at idle + 101.325 kPa less air pressure: the same absolute pressure at sea "
            "level; trade: add 1 inHg for each 1000 ft",
            "common practice; ISO 2533 for a height",
        ),
        Formula("fall_while_held", "first reading at the held speed less the last, same gauge"),
        Formula("held_over_idle", "first reading at the held speed less that at idle"),
        Formula("gain_after_snap", "highest after the snap less that at idle"),
    ),
    example={
        "given.air": "natural",
        "given.idle_needle": "steady",
        "given.altitude": "400",
        "points.idle.vacuum": "35",
    },
    not_for=_not_for,
    assess=assess,
    sentences={
        # customer
        "customer.falls_while_held": "With the engine held at a steady speed its intake vacuum "
        "fell by {fall} within {time}. It usually stays.",
        "customer.drops_in_beat": "The needle of the vacuum gauge dropped in an even beat. With "
        "all cylinders drawing alike it stands still.",
        "customer.drops_at_times": "The needle of the vacuum gauge dropped now and then. With all "
        "cylinders drawing alike it stands still.",
        "customer.flutters_with_speed": "The needle of the vacuum gauge fluttered with the engine "
        "at speed. It usually stands still then.",
        "customer.flutters_at_idle": "The needle of the vacuum gauge fluttered at idle. It usually "
        "stands still.",
        "customer.drifts": "The needle of the vacuum gauge drifted slowly to and fro. It usually "
        "stands still.",
        "customer.low_at_idle": "At idle the engine drew {vacuum} of vacuum. Usual at this height "
        "and for this kind of engine is {low} to {high}, so it was low.",
        "customer.high_at_idle": "At idle the engine drew {vacuum} of vacuum. Usual at this height "
        "and for this kind of engine is {low} to {high}, so it was high.",
        "customer.little_gain": "After the throttle snapped shut, the vacuum went {gain} above "
        "idle. Usual is at least {least}.",
        "customer.steady_usual": "At idle the engine drew {vacuum} of vacuum, steadily. Usual at "
        "this height is {low} to {high}. One cylinder that is only a little weak would not show.",
        "customer.undecided": "The readings of the intake vacuum do not decide anything yet.",
        "customer.no_verdict": "The intake vacuum was read. For the way in which this engine takes "
        "its air, or the place of the gauge, there is nothing to hold it against.",
        "customer.where_not_shown": "What brings this about is not shown by this test; it tells "
        "where to look next.",
        # technician
        "next.falls_while_held": "Sinks by {fall} in {time} at a held speed: measure the back "
        "pressure before the catalyst, look at the exhaust's flow, also whether recirculated "
        "exhaust comes in.",
        "next.drops_in_beat": "In an even beat: one cylinder. Relative compression by starter "
        "current, then plug, coil and injector moved to another cylinder, leak-down of the one.",
        "next.drops_at_times": "Now and then: a valve that sticks, or a spark that is missing at "
        "times. Live misfire counts, and warm compression.",
        "next.flutters_with_speed": "Flutters more with speed: valve springs or lash; compare with "
        "idle, listen at the head.",
        "next.flutters_at_idle": "Flutters at idle: watch whether it steadies with speed. Valve "
        "guides, a small leak at the intake, ignition.",
        "next.drifts": "Slow drift: mixture and idle control. Fuel trims at idle and 2500 rpm, "
        "then smoke.",
        "next.low_at_idle": "Low at idle, usual here is {low} to {high}: all cylinders alike. Leak "
        "at the intake (smoke), late ignition or valve timing, low compression on all, throttle "
        "held open by the idle control.",
        "next.high_at_idle": "High at idle, usual here is {low} to {high}: check gauge and air "
        "pressure first; then overrun fuel cut, throttle not at idle, early ignition.",
        "next.little_gain": "Gains {gain} after the snap, at least {least} is usual: rings and "
        "bores want leak-down or compression; an electric throttle that closes slowly looks the "
        "same.",
        "next.steady_usual": "Level and needle as usual. This test sees what all cylinders share "
        "and what one does badly; a slightly weak cylinder wants compression or leak-down.",
        "next.undecided": "Not enough, or too close for this gauge: idle with the needle watched "
        "for half a minute, then a minute at 2500 rpm. A barometer or the height sharpens it.",
        "outside_elsewhere": "A reading lies outside a limit kept for this car; none of the usual "
        "pictures fits.",
        "was.no_throttle_vacuum": "No verdict on this engine: no throttle makes its vacuum, or air "
        "is pushed in. Use live manifold pressure against the maker's figure.",
        "was.air_not_known": "Enter how the engine takes its air: without a throttle that makes "
        "the vacuum, nothing is judged.",
        "was.other_port": "The gauge must sit on the manifold behind the throttle, where all "
        "cylinders draw.",
        "was.air_pressure_assumed": "Sea level was taken: enter barometer or height. One inHg less "
        "for each 1000 ft otherwise looks like a fault.",
        "was.wide_overlap": "Wide overlap or moving valve timing: compare with a like engine "
        "before anything is concluded.",
        "idle_told": "Idle {vacuum}, in the manifold {absolute}; usual at this air pressure {low} "
        "to {high}.",
        "swing": "The needle swung over {swing}.",
        # chart
        "chart.held": "held {time}",
        "chart.readings": "Vacuum: {told}.",
        "chart.window": "Usual at idle here: {low} to {high}.",
    },
)
