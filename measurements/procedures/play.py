"""Play in steering, joints, bearings and mounts: wheel by wheel by hand, and at the steering wheel.

A wheel is rocked at the top and bottom, then at the sides. Play that goes when a helper holds the
foot brake lies in the wheel bearing, since the brake ties hub to knuckle; play that stays lies
beyond it. This is common practice, as is every word here about which part is likely.

Measured play has no limit of its own: only the car's maker says how much a joint or bearing may
have. Play at the steering wheel's rim has published limits that vehicles in use must keep; they
are the outermost, not what a car in good order has.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.cautions import (
    EXHAUST_GAS,
    MOVES_SILENTLY,
    STARTS_BY_ITSELF,
    WHEEL_NUTS_AFTERWARDS,
)
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
from measurements.core.readings import Readings, RowReadings
from measurements.core.units import show
from measurements.core.wording import at_head, places

if TYPE_CHECKING:
    from uncertainties import UFloat

INCH_MM = 25.4

LIGHT_IN: Mapping[float, float] = {16: 2.0, 18: 2.25, 20: 2.5, 22: 2.75}
"""Steering wheel diameter -> most free play at its rim, inches: 49 CFR 570.7, table 1, vehicles in
use up to 10 000 lb, text seen in a copy as of October 2024; the engine runs."""

COMMERCIAL_MANUAL_IN: Mapping[float, float] = {
    16: 2.0, 18: 2.25, 19: 2.375, 20: 2.5, 21: 2.625, 22: 2.75,
}  # fmt: skip
COMMERCIAL_POWER_IN: Mapping[float, float] = {
    16: 4.25, 18: 4.75, 19: 5.0, 20: 5.25, 21: 5.5, 22: 5.75,
}  # fmt: skip
"""The same for commercial vehicles: 49 CFR 393.209(b), from memory; power steering."""

SAME_DIAMETER_MM = 0.5
"""A diameter in whole millimetres (457 for 18 in) counts as the inches that it stands for."""

_LIGHT = Source(
    "S",
    "49 CFR 570.7, table 1, vehicles in use up to 10 000 lb",
    "as of October 2024",
)
_COMMERCIAL = Source("S", "49 CFR 393.209(b), commercial vehicles", "from memory")

ROCKED = ("twelve_six", "nine_three")
MOVES = ("felt", "seen")
ASSISTED_STILL = "off"
CARRYING = ("wheels", "plates")
JOINTS = ("ball_joint", "tie_rod_end", "inner_rod")
SOFT = ("bush", "top_mount")

# --- rules ------------------------------------------------------------------------------------


def rim_degrees(chord_mm: Any, diameter_mm: Any) -> Any:
    """Angle that the steering wheel turned, degrees, from the straight distance between two
    positions of one mark on its rim; chord = diameter x sin(angle / 2).

    Plain numbers or numbers with uncertainty; the chord is at most the diameter.

    >>> round(rim_degrees(50.8, 406.4), 2), round(rim_degrees(380, 380), 1)
    (14.36, 180.0)
    """
    from uncertainties import umath

    return 2 * umath.degrees(umath.asin(chord_mm / diameter_mm))


def published_most_mm(table_in: Mapping[float, float], diameter_mm: float) -> float:
    """Most free play at the rim, mm. Between two rows of the table the smaller one holds; the first
    row is for all smaller wheels.

    >>> published_most_mm(LIGHT_IN, 380), published_most_mm(LIGHT_IN, 457)
    (50.8, 57.15)
    """
    rows = sorted(table_in)
    reached = [one for one in rows if one * INCH_MM <= diameter_mm + SAME_DIAMETER_MM]
    return INCH_MM * table_in[reached[-1] if reached else rows[0]]


def _rim_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """The published limit; none without diameter, or with power steering whose pump stands, and
    none where the maker's angle was entered."""
    steering, across = readings.given("steering"), readings.uncertain("given.diameter")
    if steering not in ("manual", "running") or across is None:
        return None
    if any(chosen.address == "figure.free_angle" for chosen in context.limits):
        return None
    if readings.given("vehicle") == "commercial":
        table = COMMERCIAL_MANUAL_IN if steering == "manual" else COMMERCIAL_POWER_IN
        return Span(None, published_most_mm(table, across.nominal_value), _COMMERCIAL)
    return Span(None, published_most_mm(LIGHT_IN, across.nominal_value), _LIGHT)


def _maker_only(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """No limit but the one that the shop enters from the maker's data."""
    return None


# --- figures ----------------------------------------------------------------------------------


def _free_angle(readings: Readings, context: Context) -> tuple[list[Figure], list[VerdictOutcome]]:
    """Free play of the steering wheel as an angle; the maker may give a limit for it."""
    rim: Any = readings.uncertain("given.free_play")
    across: Any = readings.uncertain("given.diameter")
    if rim is None:
        return [], []
    key, label = "free_angle", "free play of the steering wheel"
    if across is None:
        why = "the steering wheel's diameter was not measured"
        return [Figure(key, label, "angle", None, absent_because=why)], []
    if rim.nominal_value >= across.nominal_value:
        why = "the play is no less than the steering wheel is wide"
        return [Figure(key, label, "angle", None, absent_because=why)], []
    angle: UFloat | float = rim_degrees(rim, across)
    figure = figure_of(key, label, "angle", angle)
    verdict = judge_figure(PROCEDURE, figure, context, None, safety=True)
    return [figure], [verdict] if verdict.outcome != "no_limit" else []


# --- what was seen ----------------------------------------------------------------------------

Seen = dict[str, tuple[str, ...]]
"""Pattern -> wheels where it was seen, in the order of the declared patterns."""


def _has_play(row: RowReadings) -> bool:
    return any(row.value(way) in MOVES for way in ROCKED)


def _of_wheel(row: RowReadings, outcome: str) -> list[str]:
    """Patterns of one wheel; outcome: of its measured play against the maker's figure."""
    found = []
    if outcome == "outside":
        found.append("beyond_maker")
    if row.value("spun") == "rough":
        found.append("rough")
    if not _has_play(row):
        return found
    both_ways = all(row.value(way) in MOVES for way in ROCKED)
    brake = row.value("brake")
    if outcome == "within" and not both_ways:
        found.append("within_maker")
    elif brake == "gone":
        found.append("bearing_play")
    elif row.value("place") in SOFT:
        found.append("bush")
    else:
        found.append("stays" if brake == "stays" else "brake_untried")
    return found


def _seen(readings: Readings, verdicts: Sequence[VerdictOutcome]) -> Seen:
    outcomes = {verdict.address: verdict.outcome for verdict in verdicts}
    rows = readings.rows("wheels")
    found: dict[str, set[str]] = {}
    for row in rows:
        for pattern in _of_wheel(row, outcomes.get(row.address("measured"), "no_limit")):
            found.setdefault(pattern, set()).add(row.code)
    if "outside" in (outcomes.get("given.free_play"), outcomes.get("figure.free_angle")):
        found["steering_over"] = set()
    if readings.given("mount") in ("torn", "oil", "moves"):
        found["mount"] = set()
    return {
        pattern.code: tuple(row.code for row in rows if row.code in found[pattern.code])
        for pattern in PROCEDURE.patterns
        if pattern.code in found
    }


def _quiet(readings: Readings, verdicts: Sequence[VerdictOutcome]) -> str:
    """Nothing found is worth saying only where all four wheels were rocked both ways."""
    rocked = all(row.value(way) == "none" for row in readings.rows("wheels") for way in ROCKED)
    inside = all(verdict.outcome == "within" for verdict in verdicts)
    return "no_play" if rocked and inside else "undecided"


def assess(readings: Readings, context: Context) -> Assessment:
    """Each wheel by hand and with the brake held, the steering wheel, the mounts."""
    verdicts = [v for v in judge(PROCEDURE, readings, context) if v.outcome != "no_limit"]
    figures, of_figures = _free_angle(readings, context)
    verdicts += of_figures
    seen = _seen(readings, verdicts)
    lead = next(iter(seen), "") or _quiet(readings, verdicts)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=seen.get(lead, ()),
        also=tuple(Also(code, where) for code, where in seen.items() if code != lead),
        figures=figures,
        verdicts=verdicts,
        confounders=_confounders(readings, seen),
        tables=_tables(readings),
        customer=_customer(lead, seen, readings, verdicts),
        technician=_technician(lead, seen, readings, figures, verdicts, context),
        chart=_chart(readings),
    )


def _against_the_brake(row: RowReadings) -> bool:
    """Seen at a part that the brake cannot hold, or can, against what the brake said."""
    brake, place = row.value("brake"), row.value("place")
    at_joint = brake == "gone" and place in (*JOINTS, *SOFT)
    return _has_play(row) and (at_joint or (brake == "stays" and place == "bearing"))


def _rim_was_read(readings: Readings) -> bool:
    reading = readings.get("given.free_play")
    return reading is not None and reading.status != "not_measured"


def _confounders(readings: Readings, seen: Seen) -> list[str]:
    rows = readings.rows("wheels")
    rocked = [row for row in rows if any(row.value(way) is not None for way in ROCKED)]
    stood, steering = readings.given("stood"), readings.given("steering")
    turned = _rim_was_read(readings)
    checks = (
        ("stood_unknown", bool(rocked) and stood is None),
        ("carrying", bool(rocked) and stood in CARRYING),
        ("unloaded", bool(rocked) and stood == "stands"),
        ("brake_not_tried", "brake_untried" in seen),
        ("at_odds", any(_against_the_brake(row) for row in rows)),
        ("not_spun", any(row.value("spun") in (None, "not_spun") for row in rows)),
        ("pump_stood", turned and steering in (ASSISTED_STILL, None)),
        ("steering_not_tried", not turned),
        ("mounts_not_seen", readings.given("mount") is None),
    )
    return [code for code, holds in checks if holds]


# --- words, table, chart ----------------------------------------------------------------------


def _customer(
    lead: str, seen: Seen, readings: Readings, verdicts: Sequence[VerdictOutcome]
) -> list[Sentence]:
    rows = readings.rows("wheels")
    said = [
        PROCEDURE.say(f"customer.{code}", where=places(where, rows)) for code, where in seen.items()
    ]
    close = any(verdict.outcome == "cannot_tell" for verdict in verdicts)
    if not seen and not close:
        said.append(PROCEDURE.say(f"customer.{lead}"))
    if close:
        said.append(PROCEDURE.say("customer.too_close"))
    return said


def _technician(
    lead: str,
    seen: Seen,
    readings: Readings,
    figures: Sequence[Figure],
    verdicts: Sequence[VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    rows = readings.rows("wheels")
    told = [
        PROCEDURE.say(f"next.{code}", where=places(where, rows)) for code, where in seen.items()
    ]
    if not seen:
        told.append(PROCEDURE.say(f"next.{lead}"))
    told += [
        PROCEDURE.say(
            "judged",
            what=at_head(verdict.label),
            value=show(
                verdict.value,
                verdict.u,
                verdict.quantity,
                context.units,
                digit=_DIGITS[verdict.address.split(".")[-1]],
            ),
            words=verdict_words(verdict, context.units),
        )
        for verdict in verdicts
        if verdict.value is not None
    ]
    told += _by_direction(rows)
    told += _measured(rows, verdicts, context)
    told += _of_the_rim(readings, figures, verdicts, context)
    return told


_DIGITS = {"measured": 0.01, "free_play": 1.0, "free_angle": 0.1}
"""How finely each is told, stored units."""


def _by_direction(rows: Sequence[RowReadings]) -> list[Sentence]:
    """What the direction of the play says, where nobody saw the part that moves."""
    groups: dict[str, list[str]] = {}
    for row in rows:
        if not _has_play(row):
            continue
        if _against_the_brake(row):
            groups.setdefault("at_odds", []).append(row.code)
        elif row.value("place") in (None, "not_told") and row.value("brake") != "gone":
            top, side = (row.value(way) in MOVES for way in ROCKED)
            way = "both_ways" if top and side else "top_only" if top else "side_only"
            groups.setdefault(way, []).append(row.code)
    return [PROCEDURE.say(key, where=places(where, rows)) for key, where in groups.items()]


def _measured(
    rows: Sequence[RowReadings], verdicts: Sequence[VerdictOutcome], context: Context
) -> list[Sentence]:
    judged = {verdict.address for verdict in verdicts}
    told = []
    for row in rows:
        reading, address = row.uncertain("measured"), row.address("measured")
        if reading is None or address in judged:
            continue
        value = show(reading.nominal_value, reading.std_dev, "length", context.units, digit=0.01)
        told.append(PROCEDURE.say("measured", where=at_head(row.label), value=value))
    return told


def _of_the_rim(
    readings: Readings,
    figures: Sequence[Figure],
    verdicts: Sequence[VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    if not _rim_was_read(readings):
        return []
    told = []
    for figure in figures:
        if figure.value is not None:
            angle = show(figure.value, figure.u, "angle", context.units, digit=0.1)
            told.append(PROCEDURE.say("angle", angle=angle))
    by_address = {verdict.address: verdict for verdict in verdicts}
    rim = by_address.get("given.free_play")
    if rim is None and "figure.free_angle" not in by_address:
        told.append(PROCEDURE.say("rim_not_judged"))
    elif rim is not None and rim.outcome == "within" and rim.source in (_LIGHT, _COMMERCIAL):
        told.append(PROCEDURE.say("rim_outermost"))
    return told


def _tables(readings: Readings) -> tuple[Table, ...]:
    keys = ("twelve_six", "nine_three", "brake", "spun", "measured", "place", "note")
    cells = []
    for row in readings.rows("wheels"):
        read = [row.get(key) for key in keys]
        if any(read):
            shown = [
                "" if one is None else one.understood if one.quantity else one.words for one in read
            ]
            cells.append((row.label, *shown))
    if not cells:
        return ()
    head = ("wheel", "12 and 6", "9 and 3", "brake held", "spun", "measured", "seen at", "note")
    return (Table("Play by wheel", head, tuple(cells)),)


def _chart(readings: Readings) -> dict[str, Any]:
    """A mark for each way in which a wheel moved, firm where it was seen, and for a rough one."""
    rows, told = [], []
    for row in readings.rows("wheels"):
        if all(row.value(key) is None for key in (*ROCKED, "spun")):
            continue
        marks = [
            {"label": label, "firm": row.value(way) == "seen"}
            for way, label in zip(ROCKED, ("12 and 6", "9 and 3"), strict=True)
            if row.value(way) in MOVES
        ]
        if row.value("spun") == "rough":
            marks.append({"label": "rough", "firm": False})
        rows.append({"label": row.label, "marks": marks})
        if marks:
            told.append(f"{row.label} {', '.join(str(mark['label']) for mark in marks)}")
    if not rows:
        return {}
    title = (
        PROCEDURE.say("chart.found", told="; ".join(told))
        if told
        else PROCEDURE.say("chart.nothing")
    )
    return {
        "kind": "tally",
        "title": title.text,
        "firm": "seen",
        "loose": "felt or heard",
        "rows": rows,
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The box that would tell most now."""
    rows = readings.rows("wheels")
    for row in rows:
        if _has_play(row) and row.value("brake") in (None, "not_tried"):
            return ((row.address("brake"), "The foot brake tells a bearing from a joint."),)
    for row in rows:
        if row.value("brake") == "stays" and row.value("place") is None:
            return ((row.address("place"), "A helper rocks it while you look for what moves."),)
    for row in rows:
        for way in ROCKED:
            if row.value(way) is None:
                return ((row.address(way), "All four wheels, both ways, before none is said."),)
    return ()


# --- the declaration --------------------------------------------------------------------------

_JOINT_MAY_PART = Driving(
    "do_not_drive",
    "A worn joint of steering or suspension can come apart, and the wheel then folds away. Not "
    "before the part is found and put right; have it carried.",
)
_BEYOND_THE_MAKER = Driving(
    "do_not_drive",
    "With more play than its maker allows, a joint or bearing can come apart. Not before it is "
    "put right; have it carried.",
)
_NOT_BEFORE_KNOWN = Driving(
    "do_not_drive",
    "A wheel has play, and it is not known yet whether in a joint or a bearing. Not before it is.",
)
_STEERING_LATE = Driving(
    "do_not_drive",
    "The car answers the steering wheel late, or a part of the steering is about to part. Not "
    "before the cause is found and put right.",
)
_LOOSE_BEARING = Driving(
    "only_as_stated",
    "Only a short way to the repair, at town speed, without load or trailer; stop when it grinds, "
    "wobbles or smells hot. Not at all where the wheel was seen to tilt.",
)
_ROUGH_BEARING = Driving(
    "only_as_stated",
    "Only a short way to the repair, at town speed; stop when the noise grows or the wheel gets "
    "hot.",
)
_TORN_MOUNT = Driving(
    "only_as_stated",
    "Only gently and no further than to the repair: a drive unit that shifts pulls at hoses, "
    "cables and drive shafts. Stop at any knock or leak.",
)


def _rocking(key: str, label: str) -> Choice:
    return Choice(
        key=key,
        label=label,
        needed=True,
        chips=True,
        choices={"none": "none", "felt": "felt", "seen": "seen"},
    )


PROCEDURE = Procedure(
    name="play",
    title="Play in steering, joints, bearings, mounts",
    version=1,
    group="Wheels and tyres",
    purpose="Shows which wheel has play and which way, whether the foot brake takes it away "
    "(bearing) or not (joint, rod, bush), how far the steering wheel turns before the wheels do, "
    "and whether a mount of the drive is torn.",
    proves_nothing_when="The weight was on the wheel while it was rocked, it was tried with one "
    "hand only, a wheel nut is loose, or the noise comes only when driving. A joint under spring "
    "load can hide its play.",
    cautions=(
        Caution(
            "Rated stands before anyone is under it, rocks a wheel or levers.",
            "Hard level ground, the maker's lifting points; rocking can push a car off its stands. "
            "Nobody under a car on a jack.",
            "OSHA 29 CFR 1910.244(a)",
            from_memory=True,
        ),
        Caution(
            "The wheels left on the ground are chocked.",
            "Before and behind, handbrake on; a raised driven wheel can pull the car along.",
            "common practice",
        ),
        Caution(
            "Helper at the steering wheel: say whose hands are where.",
            "Nobody turns it or presses a pedal until the one at the wheel calls. Fingers clear of "
            "joints, spring coils and rim.",
            "common practice",
        ),
        Caution(
            "Electric steering and engine may start by themselves: key out, out of range.",
            "Only for the free play with power steering is it switched on, with nobody at a wheel "
            "or under the car.",
            "maker's instructions",
        ),
        MOVES_SILENTLY,
        STARTS_BY_ITSELF,
        EXHAUST_GAS,
        Caution(
            "A pry bar slips.",
            "Push away from you, face clear, eyes covered; not against boots, hoses, brake lines, "
            "wheel-speed leads or aluminium.",
            "common practice",
        ),
        Caution(
            "Engine mounts: nobody in front or behind, foot brake held, handbrake on.",
            "Only a touch of throttle in gear, bonnet watched from the side; hands clear of fan "
            "and belts.",
            "common practice",
        ),
        Caution(
            "Air suspension can drop or rise by itself.",
            "The maker's lifting mode first, and stands; never an arm between tyre and wing.",
            "maker's instructions",
        ),
        WHEEL_NUTS_AFTERWARDS,
        Caution(
            "A loose joint or a loose wheel: the car is not driven.",
            "It can lose the wheel or its steering without further warning. Leave it where it "
            "stands and ask us.",
            "common practice",
            "customer",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("nuts", "Wheel nuts found tight before rocking.", "loose_nuts"),
        Precondition("tyres", "Tyres at their pressure.", "soft_tyre"),
        Precondition("hands", "Rocked with both hands, joints with a lever too.", "one_hand"),
    ),
    effort=Effort(
        minutes=5,
        tools=("jack, rated stands and chocks", "pry bar", "rule", "dial gauge", "helper"),
        risk="Boots of joints tear under a lever.",
    ),
    given=(
        Choice(
            key="stood",
            label="How the car stood",
            needed=True,
            chips=True,
            choices={
                "stands": "raised on rated stands",
                "wheels": "on its wheels",
                "plates": "on turntables or plates",
            },
        ),
        Choice(
            key="steering",
            label="Steering tried",
            chips=True,
            choices={
                "running": "power, engine running or switched on",
                "off": "power, standing",
                "manual": "no power steering",
            },
        ),
        Quantity(
            key="free_play",
            label="Steering wheel free play at the rim",
            quantity="length",
            unit="mm",
            possible=(0.0, 500.0),
            likely=(0.0, 80.0),
            instrument="tape",
            help="Wheels ahead. Straight across between the two places of one mark on the rim, "
            "from where a wheel just moves one way to where it just moves the other.",
        ),
        Quantity(
            key="diameter",
            label="Steering wheel diameter",
            quantity="length",
            unit="mm",
            possible=(200.0, 700.0),
            likely=(320.0, 560.0),
            instrument="tape",
            help="To the place on the rim where the play was read.",
        ),
        Choice(
            key="mount",
            label="Engine or gearbox mount",
            chips=True,
            choices={
                "none": "none seen",
                "torn": "torn",
                "oil": "oil-soaked",
                "moves": "too much movement",
            },
        ),
        Choice(
            key="vehicle",
            label="Kind of vehicle",
            finer=True,
            origin="told",
            choices={
                "light": "car or van up to 4.5 t",
                "commercial": "commercial vehicle above that",
            },
            help="For the published limit of the steering. Left empty, a car.",
        ),
    ),
    grids=(
        Grid(
            "wheels",
            "Wheels",
            OfCar("corners"),
            (
                _rocking("twelve_six", "rocked at 12 and 6"),
                _rocking("nine_three", "rocked at 9 and 3"),
                Choice(
                    key="brake",
                    label="with the foot brake on",
                    chips=True,
                    choices={"gone": "gone", "stays": "stays", "not_tried": "not tried"},
                    help="Only where there is play.",
                ),
                Choice(
                    key="spun",
                    label="spun",
                    chips=True,
                    choices={
                        "smooth": "smooth",
                        "rough": "rough or noisy",
                        "not_spun": "not spun",
                    },
                    help="A hand on the spring feels a rough bearing.",
                ),
                Quantity(
                    key="measured",
                    label="measured play",
                    quantity="length",
                    unit="mm",
                    finer=True,
                    possible=(0.0, 100.0),
                    likely=(0.0, 6.0),
                    instrument="dial_gauge",
                    help="Gauge set as the maker says, at joint or rim; note where.",
                ),
                Choice(
                    key="place",
                    label="where seen",
                    finer=True,
                    choices={
                        "ball_joint": "ball joint",
                        "tie_rod_end": "tie rod end",
                        "inner_rod": "inner tie rod or rack",
                        "bush": "bush",
                        "bearing": "bearing",
                        "top_mount": "top mount",
                        "not_told": "not told",
                    },
                ),
                Text(key="note", label="note", longest=120, finer=True),
            ),
            help="At 12 and 6, then 9 and 3. Play: again with the foot brake held.",
        ),
    ),
    limits=(
        Limit("given.free_play", bounds=_rim_limit, safety=True),
        Limit("wheels.*.measured", bounds=_maker_only, safety=True),
    ),
    handling_u={"measured": 0.03, "free_play": 2.0, "diameter": 2.0},
    maker_figures={"free_angle": ("Free play of the steering wheel", "angle")},
    comparable={"stood": (0.0, 0.0), "steering": (0.0, 0.0)},
    patterns=(
        Pattern(
            "beyond_maker",
            "play measured beyond the maker's figure",
            direct=True,
            driving=_BEYOND_THE_MAKER,
        ),
        Pattern(
            "stays",
            "play that stays with the brake held",
            direct=True,
            driving=_JOINT_MAY_PART,
        ),
        Pattern(
            "steering_over",
            "free play of the steering wheel over its limit",
            direct=True,
            driving=_STEERING_LATE,
        ),
        Pattern(
            "bearing_play",
            "play that goes with the brake held",
            direct=True,
            driving=_LOOSE_BEARING,
        ),
        Pattern(
            "brake_untried",
            "play, brake not tried",
            direct=True,
            driving=_NOT_BEFORE_KNOWN,
        ),
        Pattern("rough", "rough or noisy when spun", direct=True, driving=_ROUGH_BEARING),
        Pattern(
            "mount",
            "mount of the drive torn, oil-soaked or moving too far",
            direct=True,
            driving=_TORN_MOUNT,
        ),
        Pattern("bush", "play at a bush or top mount only", direct=True),
        Pattern("within_maker", "play within the maker's figure", direct=True),
        Pattern("no_play", "no play found", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("stood_unknown", "Not noted how the car stood while it was rocked.", 0.7),
        Confounder(
            "carrying",
            "The wheels carried the car: its weight presses joints and bearings together.",
            0.4,
            only_sound=True,
        ),
        Confounder(
            "unloaded",
            "Raised: a ball joint that carries the spring is held tight by it, or hangs free.",
            0.8,
            only_sound=True,
        ),
        Confounder(
            "brake_not_tried", "Play, but the brake was not held: joint or bearing is open.", 0.6
        ),
        Confounder(
            "at_odds", "What the brake said and the part that was seen do not fit together.", 0.5
        ),
        Confounder("not_spun", "Not every wheel was spun.", 0.8, only_sound=True),
        Confounder(
            "pump_stood",
            "Power steering not known to be working while its play was read: it adds play.",
            0.5,
        ),
        Confounder(
            "steering_not_tried",
            "Free play of the steering wheel was not read.",
            0.7,
            only_sound=True,
        ),
        Confounder("mounts_not_seen", "The mounts were not looked at.", 0.8, only_sound=True),
        Confounder("loose_nuts", "Wheel nuts not known to be tight: a loose wheel rocks too.", 0.5),
        Confounder("soft_tyre", "Tyre pressure not known: a soft tyre gives like play.", 0.8),
        Confounder(
            "one_hand",
            "Not known to be rocked with both hands: small or stiff play is missed.",
            0.6,
            only_sound=True,
        ),
    ),
    needs_before=("tyres",),
    evidence_group="wheel_geometry",
    formulas=(
        Formula(
            "free_angle",
            "2 x arcsin(free play across the rim / steering wheel diameter), degrees: the play is "
            "the chord that a mark on the rim crosses",
            "chord of a circle, Euclid III; uncertainty by JCGM 100:2008, 5.1.2",
        ),
    ),
    example={
        "ready.nuts": "yes",
        "ready.tyres": "yes",
        "ready.hands": "yes",
        "given.stood": "raised on rated stands",
        "given.steering": "running",
        "given.free_play": "18 mm",
        "given.diameter": "370 mm",
        "given.mount": "none seen",
        "wheels.fl.twelve_six": "none",
        "wheels.fl.nine_three": "seen",
        "wheels.fl.brake": "stays",
        "wheels.fl.spun": "smooth",
        "wheels.fl.place": "tie rod end",
        "wheels.fr.twelve_six": "none",
        "wheels.fr.nine_three": "none",
        "wheels.rl.twelve_six": "none",
        "wheels.rl.nine_three": "none",
        "wheels.rr.twelve_six": "none",
        "wheels.rr.nine_three": "none",
    },
    next_step=_next_step,
    assess=assess,
    sentences={
        # customer
        "customer.stays": "{where}: a part of the steering or suspension has play. Such a part can "
        "come apart, so the car should not be driven.",
        "customer.beyond_maker": "{where}: more play than the car's maker allows. The car should "
        "not be driven.",
        "customer.steering_over": "The steering wheel turns further than it may before the wheels "
        "follow. The car should not be driven.",
        "customer.bearing_play": "{where}: the wheel has play in its bearing.",
        "customer.brake_untried": "{where}: the wheel has play. Whether it is in the bearing or in "
        "a joint is looked into; until then the car should not be driven.",
        "customer.rough": "{where}: the wheel turns rough or noisily, as with a worn bearing.",
        "customer.mount": "A mount that holds the engine or gearbox is torn, soaked with oil, or "
        "gives too much.",
        "customer.bush": "{where}: a rubber part of the suspension has play.",
        "customer.within_maker": "{where}: some play, within what the car's maker allows.",
        "customer.no_play": "All four wheels were rocked both ways by hand, and no play was found.",
        "customer.undecided": "Steering and wheels were not tried far enough yet to say whether "
        "something has play.",
        "customer.too_close": "A measured play is too close to its limit to tell. It is measured "
        "again more closely; until then the limit counts as reached.",
        # technician
        "next.stays": "{where}: stays with the brake held, so not the bearing. Helper rocks, you "
        "look and feel at each joint, rod, bush; then lever. Ball joint loaded and unloaded as its "
        "maker says.",
        "next.beyond_maker": "{where}: beyond the maker's figure. Gauge set again, square and on "
        "the part itself; then the part is renewed.",
        "next.steering_over": "Free play over its limit: helper turns to and fro, wheels on the "
        "ground; follow the first part that moves without the next: column joints, coupling, box "
        "or rack mounts, rods. Box adjusted only by its maker's way.",
        "next.bearing_play": "{where}: goes with the brake held: wheel bearing. Adjustable one: "
        "set it by the maker's way first; a unit: hub nut torque, then renew.",
        "next.brake_untried": "{where}: rock again while a helper holds the foot brake. Gone: "
        "bearing. Stays: joint, rod, bush.",
        "next.rough": "{where}: rough: hand on the spring while it turns; disc, pads, drive shaft "
        "apart from the bearing. Load it in a bend on the road.",
        "next.mount": "Mount: lever gently, look for tear and settled rubber; leaking oil first, "
        "or the new one goes the same way. All mounts together carry the drive.",
        "next.bush": "{where}: rubber only. Lever both ways, cracks, left against right; tighten "
        "at ride height.",
        "next.within_maker": "{where}: within the maker's figure. Note it, measure again at the "
        "next service; boots looked at.",
        "next.no_play": "No play by hand. A knock that stays: joint loaded by its spring, strut, "
        "anti-roll bar links, drive shaft; on the road.",
        "next.undecided": "All four wheels at 12 and 6, then 9 and 3; where there is play, again "
        "with the foot brake held; free play at the rim.",
        "judged": "{what}: {value}: {words}.",
        "top_only": "{where}: only at 12 and 6: ball joint, bearing or top mount before rods.",
        "side_only": "{where}: only at 9 and 3: rods and rack, behind a toe link, before ball "
        "joints.",
        "both_ways": "{where}: both ways: bearing likely; hold the brake to be sure.",
        "at_odds": "{where}: brake and seen part do not fit. Again, with the brake held hard and "
        "an eye on hub against knuckle.",
        "measured": "{where}: {value} measured. Only the maker's figure says whether it is much.",
        "angle": "Steering wheel turns {angle} free.",
        "rim_not_judged": "No limit for this free play: diameter, and power steering at work, or "
        "the maker's figure.",
        "rim_outermost": "Within the outermost that the rule allows in use; the maker's figure is "
        "often less.",
        # chart
        "chart.found": "Play by wheel: {told}.",
        "chart.nothing": "Play by wheel: none found in what was tried.",
    },
)
