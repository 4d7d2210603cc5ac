"""Road test: whether the complaint came, when, and with what a vibration goes.

A vibration is laid beside everything that turns: wheels from speed and tyre, propeller shaft from
the axle's ratio, engine from its speed (`core.rolling`). What "the same speed" means, and which
points belong to a drive, are common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table
from measurements.core.cautions import MOVES_SILENTLY
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Conditions,
    Confounder,
    Driving,
    Effort,
    Formula,
    Grid,
    Odometer,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    Text,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.rolling import (
    engine_hz,
    one_turn_mm,
    shown_speed_bounds,
    size_question,
    wheel_hz,
)
from measurements.core.uncertainty import rectangular, resolution
from measurements.core.units import show, show_value

if TYPE_CHECKING:
    from uncertainties import UFloat

SAME = 0.10
OTHER = 0.25
"""Two speeds are the same within a tenth, and clearly others beyond a quarter (common practice)."""

ROLLING_KMH = 15.0
"""Below it hardly anything turns that could be felt (common practice)."""

SHORT_KM = 5.0
"""A shorter drive warms nothing through and meets few conditions (common practice)."""

CORE_POINTS = ("idle", "pull_away", "cruise", "brake")
"""Without these a drive shows too little to say that nothing was noticed (common practice)."""

_STANDING = ("start", "idle")

PHASES = {
    "start": "starting",
    "idle": "idling",
    "pull_away": "pulling away",
    "cruise": "at steady speed",
    "coast": "coasting",
    "brake": "braking",
    "turn_left": "turning left",
    "turn_right": "turning right",
    "bumps": "over bumps",
}

NOTICED = {
    "nothing": "nothing unusual",
    "vibration": "vibration",
    "judder": "shaking in pedal or wheel",
    "pulls_left": "pulls to the left",
    "pulls_right": "pulls to the right",
    "hum": "hum or drone",
    "knock": "knock or clunk",
    "click": "clicking",
    "squeal": "squeal",
    "grind": "grinding",
    "jerks": "jerks or hesitates",
    "lamp": "a warning lamp",
    "hot": "temperature above its usual place",
    "other": "something else, see note",
    "not_tried": "not tried",
}

_FELT = {
    "steering": "steering wheel",
    "seat": "seat or floor",
    "pedal": "brake pedal",
    "everywhere": "whole car",
    "heard": "only heard",
}

_STOPPED = {
    "no": "no",
    "brakes": "yes: brakes",
    "steering": "yes: steering or a wheel",
    "engine": "yes: oil lamp, temperature or a knock",
    "smoke": "yes: smoke, smell of fuel or a leak",
    "other_danger": "yes: another danger, see note",
    "not_the_car": "yes, not for the car: traffic, weather, time",
}
_DANGERS = {
    "brakes": "the brakes",
    "steering": "the steering or a wheel",
    "engine": "the oil lamp, the temperature or a knock in the engine",
    "smoke": "smoke, a smell of fuel or a leak",
    "other_danger": "a danger that the technician noted",
}


@dataclass(frozen=True)
class Turning:
    """Something that turns or fires. family: "wheel" or "engine"; hz: how often in a second."""

    key: str
    label: str
    family: str
    hz: UFloat


def turning_things(
    wheel: UFloat | None, shaft_ratio: float | None, rpm: UFloat | None, cylinders: int
) -> list[Turning]:
    """All that could be felt at one moment, in rising order within each family.

    wheel: turns in a second; shaft_ratio: of the axle, None without a propeller shaft; rpm: engine
    speed. A four-stroke engine fires cylinders / 2 times in a turn, and half a time in each.
    """
    found = []
    if wheel is not None:
        found += [
            Turning("wheel_once_hz", "wheel, once a turn", "wheel", wheel),
            Turning("wheel_twice_hz", "wheel, twice a turn", "wheel", 2 * wheel),
        ]
        if shaft_ratio is not None:
            shaft = wheel * shaft_ratio
            found += [
                Turning("shaft_once_hz", "shaft, once a turn", "wheel", shaft),
                Turning("shaft_twice_hz", "shaft, twice a turn", "wheel", 2 * shaft),
            ]
    if rpm is not None:
        orders = {0.5: "half", 1.0: "first", 2.0: "second"}
        if cylinders / 2 not in orders:
            orders[cylinders / 2] = "firing"
        for order, word in sorted(orders.items()):
            label = f"engine, {order:g} a turn"
            found.append(Turning(f"engine_{word}_hz", label, "engine", engine_hz(rpm, order)))
    return found


def matches(measured: UFloat, things: Sequence[Turning]) -> list[Turning]:
    """Those whose frequency differs from the measured one by no more than twice its uncertainty."""
    found = []
    for thing in things:
        gap: Any = measured - thing.hz
        if abs(gap.nominal_value) <= 2 * gap.std_dev:
            found.append(thing)
    return found


@dataclass(frozen=True)
class Moment:
    """One observation, reduced to what comparing needs. speed_kmh, rpm: None if not noted."""

    speed_kmh: float | None
    rpm: float | None


def goes_with(felt: Sequence[Moment], quiet: Sequence[Moment]) -> str:
    """ "wheel" or "engine" by comparing moments with and without the vibration, "" if undecided.

    Same road speed at another engine speed, or same engine speed at another road speed.
    """
    votes = set()
    if any(m.speed_kmh is not None and m.speed_kmh < 1 for m in felt):
        votes.add("engine")
    for n, one in enumerate(felt):
        for other in felt[n + 1 :]:
            if _same_speed(one, other) and _other_rpm(one, other):
                votes.add("wheel")
            if _same_rpm(one, other) and _other_speed(one, other):
                votes.add("engine")
        for other in quiet:
            if _same_speed(one, other) and _other_rpm(one, other):
                votes.add("engine")
            if _same_rpm(one, other) and _other_speed(one, other):
                votes.add("wheel")
    return votes.pop() if len(votes) == 1 else ""


def _near(one: float | None, other: float | None, share: float) -> bool:
    return (
        one is not None and other is not None and abs(one - other) <= share * max(one, other, 1e-9)
    )


def _far(one: float | None, other: float | None) -> bool:
    return one is not None and other is not None and not _near(one, other, OTHER)


def _rolls(moment: Moment) -> bool:
    return moment.speed_kmh is not None and moment.speed_kmh >= ROLLING_KMH


def _same_speed(one: Moment, other: Moment) -> bool:
    return _rolls(one) and _rolls(other) and _near(one.speed_kmh, other.speed_kmh, SAME)


def _other_speed(one: Moment, other: Moment) -> bool:
    return _far(one.speed_kmh, other.speed_kmh)


def _same_rpm(one: Moment, other: Moment) -> bool:
    return bool(one.rpm and other.rpm) and _near(one.rpm, other.rpm, SAME)


def _other_rpm(one: Moment, other: Moment) -> bool:
    return _far(one.rpm, other.rpm)


# --- reasoning --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Vibration:
    """What is known of the vibration: the point that is computed, and what it goes with."""

    row: RowReadings
    things: tuple[Turning, ...]
    measured: UFloat | None
    matched: tuple[Turning, ...]
    family: str
    weak: tuple[str, ...]


def assess(readings: Readings, context: Context) -> Assessment:
    """Everything that was noticed, the most urgent first."""
    observed = [row for row in readings.rows("points") if _noticed(row)]
    vibration = _vibration(readings, context, observed)
    seen = _seen(readings, observed, vibration)
    if seen:
        pattern, where = seen[0]
        also = tuple(Also(code, rows) for code, rows in seen[1:])
    else:
        pattern, where, also = _quiet(readings, observed), (), ()
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=pattern,
        where=where,
        also=also,
        figures=_figures(readings, vibration),
        verdicts=judge(PROCEDURE, readings, context),
        confounders=_confounders(readings, vibration),
        tables=_tables(observed, vibration, context),
        customer=_customer(pattern, seen, readings, observed, context),
        technician=_technician(pattern, seen, readings, observed, vibration, context),
        chart=_chart(vibration, context),
    )


def _noticed(row: RowReadings) -> str:
    """Code of what was noticed at a point, "" where it was not tried."""
    noticed = str(row.value("noticed") or "")
    return "" if noticed == "not_tried" else noticed


def _phase(row: RowReadings) -> str:
    return str(row.value("phase") or "")


def _judders(row: RowReadings) -> bool:
    noticed = _noticed(row)
    return _phase(row) == "brake" and noticed in ("judder", "vibration")


def _vibrates(row: RowReadings) -> bool:
    return _noticed(row) in ("vibration", "judder") and _phase(row) != "brake"


def _moment(row: RowReadings) -> Moment:
    speed = row.value("speed")
    if speed is None and _phase(row) in _STANDING:
        speed = 0.0
    return Moment(speed, row.value("rpm"))


def _circumference(readings: Readings) -> UFloat | None:
    """Distance of one turn, mm: measured, else from the marking."""
    return one_turn_mm(readings.uncertain("given.circumference"), str(readings.given("tyre") or ""))


def _true_speed(readings: Readings, row: RowReadings) -> UFloat | None:
    """Road speed, km/h; what a speedometer may add is taken into account."""
    from uncertainties import ufloat

    shown = row.uncertain("speed")
    if shown is None:
        return None
    if readings.given("speed_from") in ("satellite", "tool"):
        return shown
    low, high = shown_speed_bounds(shown.nominal_value)
    true = shown - shown.nominal_value + (low + high) / 2
    return true + ufloat(0, rectangular((high - low) / 2)) if high > low else true


def _vibration(
    readings: Readings, context: Context, observed: Sequence[RowReadings]
) -> Vibration | None:
    """The vibration, by frequency where it was measured and by comparing points."""
    felt = [row for row in observed if _vibrates(row)]
    if not felt:
        return None
    # The point with a frequency tells most; else the fastest, where frequencies lie apart.
    row = max(felt, key=lambda r: (r.value("hz") is not None, r.value("speed") or 0.0))
    speed, circumference = _true_speed(readings, row), _circumference(readings)
    wheel = None
    if speed is not None and circumference is not None and speed.nominal_value > 0:
        wheel = wheel_hz(speed, circumference)
    things = turning_things(
        wheel,
        readings.given("shaft_ratio"),
        row.uncertain("rpm"),
        context.car.engine.cylinders,
    )
    measured = row.uncertain("hz")
    matched = matches(measured, things) if measured is not None else []
    by_points = goes_with(
        [_moment(r) for r in felt], [_moment(r) for r in observed if _noticed(r) == "nothing"]
    )
    families = {thing.family for thing in matched}
    weak = []
    family = by_points
    if len(families) == 2 and not by_points:
        weak.append("frequencies_overlap")
    if measured is not None and things and not matched:
        weak.append("no_match")
    if len(families) == 1:
        (family,) = families
        if by_points and by_points != family:
            weak.append("signs_disagree")
            family = ""
    return Vibration(row, tuple(things), measured, tuple(matched), family, tuple(weak))


def _seen(
    readings: Readings, observed: Sequence[RowReadings], vibration: Vibration | None
) -> list[tuple[str, tuple[str, ...]]]:
    """What was noticed, with its points, in the order of the declared patterns."""
    found: dict[str, list[str]] = {}
    told_apart = f"vibration_with_{vibration.family}_speed" if vibration else ""
    for row in observed:
        noticed = _noticed(row)
        code = {"hot": "runs_hot", "lamp": "lamp_came_on", "nothing": ""}.get(noticed)
        if code is None:
            if _judders(row):
                code = "brake_judder"
            elif noticed in ("pulls_left", "pulls_right"):
                code = "pulls"
            elif _vibrates(row) and vibration is not None and vibration.family:
                code = told_apart
            else:
                code = "something_noticed"
        if code:
            found.setdefault(code, []).append(row.code)
    if readings.given("stopped") in _DANGERS:
        found["stopped_early"] = []
    if readings.given("complaint") == "as_told":
        found["reproduced"] = []
    if readings.given("complaint") == "otherwise":
        found["reproduced_otherwise"] = []
    return [(p.code, tuple(found[p.code])) for p in PROCEDURE.patterns if p.code in found]


def _quiet(readings: Readings, observed: Sequence[RowReadings]) -> str:
    """Nothing noticed counts only after the points that belong to any drive."""
    phases = {_phase(row) for row in observed}
    answered = readings.given("complaint") in ("no", "none")
    return "nothing_noticed" if answered and phases >= set(CORE_POINTS) else "undecided"


def _confounders(readings: Readings, vibration: Vibration | None) -> list[str]:
    weak = list(vibration.weak) if vibration else []
    if readings.given("complaint") == "no":
        weak.append("not_reproduced")
    driven = _driven_km(readings)
    if driven is not None and driven.nominal_value < SHORT_KM:
        weak.append("short_drive")
    if readings.given("stopped") not in (None, "no"):
        weak.append("cut_short")
    return weak


def _driven_km(readings: Readings) -> UFloat | None:
    """Distance by the odometer, else as noted; None if neither, or the odometer ran backwards."""
    from uncertainties import ufloat

    out, back = readings.get("given.odometer_out"), readings.get("given.odometer_in")
    if out and back and out.number is not None and back.number is not None:
        if back.number < out.number:
            return None
        u = (resolution(out.digit or 1.0) ** 2 + resolution(back.digit or 1.0) ** 2) ** 0.5
        return ufloat(back.number - out.number, u)
    noted = readings.get("given.distance")
    if noted is None or noted.number is None:
        return None
    return ufloat(noted.number, resolution(noted.digit or 1.0))


def _runs_backwards(readings: Readings) -> bool:
    out, back = readings.given("odometer_out"), readings.given("odometer_in")
    return out is not None and back is not None and back < out


def _figures(readings: Readings, vibration: Vibration | None) -> list[Figure]:
    figures = []
    driven = _driven_km(readings)
    if driven is not None:
        figures.append(figure_of("driven", "distance driven", "distance", driven))
    elif _runs_backwards(readings):
        why = "the odometer at the end stands below that at the start"
        figures.append(Figure("driven", "distance driven", "distance", None, absent_because=why))
    if vibration is None:
        return figures
    circumference = _circumference(readings)
    if circumference is not None:
        label = "rolled in one turn of a wheel"
        figures.append(figure_of("circumference", label, "length", circumference, unit="mm"))
    figures += [
        figure_of(thing.key, thing.label, "frequency", thing.hz) for thing in vibration.things
    ]
    if not any(thing.family == "wheel" for thing in vibration.things):
        why = "road speed or tyre size not noted"
        figures.append(
            Figure("wheel_once_hz", "wheel, once a turn", "frequency", None, absent_because=why)
        )
    return figures


# --- words, tables, chart ---------------------------------------------------------------------


def _point(row: RowReadings, context: Context) -> str:
    """ "at steady speed, 100 km/h" """
    parts = [PHASES.get(_phase(row), row.label)]
    speed = row.value("speed")
    if speed:
        parts.append(show_value(speed, "speed", context.units, 0))
    return ", ".join(parts)


def _points(codes: Sequence[str], observed: Sequence[RowReadings], context: Context) -> str:
    return "; ".join(_point(row, context) for row in observed if row.code in codes)


def _customer(
    pattern: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    observed: Sequence[RowReadings],
    context: Context,
) -> list[Sentence]:
    say = PROCEDURE.say
    by_code = {row.code: row for row in observed}
    said = []
    for code, where in seen:
        what = ", ".join(dict.fromkeys(NOTICED[_noticed(by_code[row])] for row in where))
        why = _DANGERS.get(str(readings.given("stopped")), "")
        said.append(
            say(
                f"customer.{code}",
                where=_points(where, observed, context),
                what=what,
                why=why,
            )
        )
    if not seen:
        said.append(say(f"customer.{pattern}"))
    if readings.given("complaint") == "no" and context.fault_present != "no":
        said.append(say("customer.not_reproduced"))
    driven = _driven_km(readings)
    if driven is not None and driven.nominal_value >= 0.5:
        km = show_value(driven.nominal_value, "distance", context.units, 0)
        said.append(say("customer.driven", km=km))
    return said


def _technician(
    pattern: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    observed: Sequence[RowReadings],
    vibration: Vibration | None,
    context: Context,
) -> list[Sentence]:
    say = PROCEDURE.say
    told = [say(f"next.{code}", where=_points(where, observed, context)) for code, where in seen]
    if not seen:
        told.append(say(f"next.{pattern}"))
    if vibration is not None:
        told += _about_vibration(vibration, readings, context)
    at_km = readings.given("at_km")
    if at_km is not None and readings.given("complaint") in ("as_told", "otherwise"):
        told.append(say("at_km", km=show_value(at_km, "distance", context.units)))
    if readings.given("complaint") == "no":
        told.append(say("not_reproduced"))
    if readings.given("driver") == "customer_alone":
        told.append(say("customer_alone"))
    if _runs_backwards(readings):
        told.append(say("odometer"))
    untried = [row.label for row in readings.rows("points") if row.value("noticed") == "not_tried"]
    if untried:
        told.append(say("untried", points=", ".join(untried)))
    return told


def _about_vibration(vibration: Vibration, readings: Readings, context: Context) -> list[Sentence]:
    say = PROCEDURE.say
    told = []
    if vibration.measured is not None and vibration.things:
        reading = vibration.row.get("hz")
        hz = reading.understood if reading else ""
        if vibration.matched:
            labels = "; ".join(thing.label for thing in vibration.matched)
            told.append(say("matched", hz=hz, labels=labels))
        else:
            told.append(say("no_match", hz=hz))
    if "frequencies_overlap" in vibration.weak:
        told.append(say("overlap"))
    if "signs_disagree" in vibration.weak:
        told.append(say("disagree"))
    if not vibration.family and not vibration.weak:
        told.append(say("not_told_apart"))
    rolls = any(thing.family == "wheel" for thing in vibration.things)
    if rolls and readings.given("speed_from") not in ("satellite", "tool"):
        told.append(say("speedometer"))
    if any(thing.key == "engine_firing_hz" for thing in vibration.things):
        told.append(say("cylinders", n=str(context.car.engine.cylinders)))
    return told


def _tables(
    observed: Sequence[RowReadings], vibration: Vibration | None, context: Context
) -> tuple[Table, ...]:
    tables = []
    if observed:
        tables.append(
            Table(
                "What was noticed, point by point",
                ("when", "road speed", "engine speed", "noticed", "felt", "frequency", "note"),
                tuple(
                    (
                        PHASES.get(_phase(row), row.label),
                        *(
                            reading.understood if (reading := row.get(key)) else "–"
                            for key in ("speed", "rpm")
                        ),
                        NOTICED[_noticed(row)],
                        _FELT.get(str(row.value("felt")), "–"),
                        reading.understood if (reading := row.get("hz")) else "–",
                        str(row.value("note") or ""),
                    )
                    for row in observed
                ),
            )
        )
    if vibration is not None and vibration.things:
        tables.append(
            Table(
                "What turns how often",
                ("what", "times a second", "the measured vibration"),
                tuple(
                    (
                        thing.label,
                        show(thing.hz.nominal_value, thing.hz.std_dev, "frequency"),
                        _agrees(thing, vibration),
                    )
                    for thing in vibration.things
                ),
            )
        )
    return tuple(tables)


def _agrees(thing: Turning, vibration: Vibration) -> str:
    if vibration.measured is None:
        return "not measured"
    return "agrees" if thing in vibration.matched else "differs"


def _chart(vibration: Vibration | None, context: Context) -> dict[str, Any]:
    """What turns how often at the point of the vibration, with the measured frequency across."""
    if vibration is None or not vibration.things:
        return {}
    matched = {thing.key for thing in vibration.matched}
    note = ""
    if vibration.measured is not None:
        hz = show_value(vibration.measured.nominal_value, "frequency", places=1)
        note = PROCEDURE.say("chart.felt", hz=hz).text
    said = "; ".join(
        f"{thing.label} {show_value(thing.hz.nominal_value, 'frequency', places=1)}"
        for thing in vibration.things
    )
    point = _point(vibration.row, context)
    return {
        "kind": "candidates",
        "title": PROCEDURE.say("chart", point=point, things=said, felt=note or "–").text,
        "axis": "times a second",
        "unit": "Hz",
        "note": note,
        "measured": (
            [vibration.measured.nominal_value, vibration.measured.std_dev]
            if vibration.measured is not None
            else None
        ),
        "rows": [
            {
                "label": thing.label,
                "value": thing.hz.nominal_value,
                "u": thing.hz.std_dev,
                "marked": thing.key in matched,
            }
            for thing in vibration.things
        ],
    }


# --- the declaration --------------------------------------------------------------------------

_NO_FURTHER = Driving(
    "do_not_drive",
    "The road test was stopped because going on was a danger. The car is not to be driven before "
    "the reason is found and put right.",
)
_NOT_HOT = Driving(
    "do_not_drive",
    "The engine ran hotter than usual. Driving on can destroy it, and hot coolant can burst out.",
)
_LAMP = Driving(
    "only_as_stated",
    "Stop at once and have it towed if a red lamp, or a flashing engine lamp, comes on. With a "
    "steady yellow lamp go gently, and only to where it is looked into.",
)
_BRAKES = Driving(
    "only_as_stated",
    "Short distances, gently, with much room for braking, until the brakes have been looked at; "
    "not at all if the pedal grows soft or the car pulls while braking.",
)
_PULLS = Driving(
    "only_as_stated",
    "Short distances, slowly, both hands on the wheel, until brakes, tyres and steering have been "
    "looked at.",
)
_WHEELS = Driving(
    "only_as_stated",
    "Not before the wheel nuts, tyres and joints have been looked at. Stop if the shaking grows.",
)

_POINTS: tuple[tuple[str, str, bool], ...] = (
    ("idle", "idle", False),
    ("pull_away", "pulling away", False),
    ("cruise", "steady speed", False),
    ("brake", "braking", False),
    ("start", "start", True),
    ("coast", "coasting, foot off", True),
    ("turn_left", "turning left", True),
    ("turn_right", "turning right", True),
    ("bumps", "over bumps", True),
)

PROCEDURE = Procedure(
    name="road_test",
    title="Road test",
    version=1,
    group="On the road",
    purpose="Shows whether the complaint comes, at what point of a drive, and whether a vibration "
    "goes with the wheels or with the engine.",
    proves_nothing_when="The complaint's own conditions (cold, wet, speed, load) were not met, or "
    "the drive was too short.",
    cautions=(
        Caution(
            "Not on the road before it is fit for it.",
            "Brake pedal pumped firm before the car moves, brakes and steering tried at walking "
            "pace, wheel nuts to the maker's torque, tyres whole, nothing apart, no drips.",
            "common practice",
        ),
        Caution(
            "Do not drive at all: tow.",
            "Pedal soft or low, steering loose, tyre cut or flat, fuel smell or leak, oil or "
            "temperature lamp lit, knock in the engine, damage underneath.",
            "common practice",
        ),
        Caution(
            "Stop at once.",
            "Red lamp, flashing engine lamp, temperature rising, pedal sinking, steering heavy or "
            "loose, smoke, fuel smell, a new knock. Hazard lights, engine off, tow.",
            "common practice",
        ),
        Caution(
            "Licence, insurance, plates and the customer's yes.",
            "Trade or customer's plates as the law says, insurance that covers this driver, "
            "distance and kind of road agreed beforehand, the driver's phone number noted.",
            "common practice; local rules",
        ),
        Caution(
            "The driver only drives.",
            "A second person reads, measures and writes, or the car stands. A phone that measures "
            "is fixed in place, never in the hand.",
            "common practice; local rules",
        ),
        Caution(
            "Never hurried.",
            "Do not drive against the clock or the hours that were agreed; the speed limit holds "
            "for a road test too.",
            "common practice; local rules",
        ),
        Caution(
            "Braking, swerving and bumps only where nobody is near.",
            "Straight dry road, mirror first, belts on, nothing loose in the car; begin gently.",
            "common practice",
        ),
        Caution(
            "Fuel above the reserve.",
            "On the last of the tank it stalls in traffic, and a pump that runs dry wears.",
            "common practice",
        ),
        Caution(
            "Hot after the drive.",
            "Never open the cooling system hot; exhaust, brakes and rims burn. Fans start by "
            "themselves.",
            "HSE HSG261; common practice",
            from_memory=True,
        ),
        MOVES_SILENTLY,
        Caution(
            "We drive your car only with your yes.",
            "If red lamps, bad brakes, heavy steering, smoke or a smell of fuel appear on your own "
            "drive, stop and call us; do not bring it in.",
            "common practice",
            "customer",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("agreed", "The customer agreed to this drive: distance, kind of road.", ""),
        Precondition("insured", "Licence, insurance and plates hold for this drive.", ""),
        Precondition("pedal", "Brake pedal firm, brakes and steering tried at walking pace.", ""),
        Precondition("wheels", "Wheel nuts to torque, tyres whole and inflated.", ""),
        Precondition("whole", "Nothing apart, no tool left on the car, no drips.", ""),
        Precondition("fuel", "Fuel above the reserve, no red lamp with the engine running.", ""),
        Precondition(
            "as_told",
            "Driven as the complaint needs it: cold or hot, wet, speed, load.",
            "other_conditions",
        ),
    ),
    effort=Effort(
        minutes=25,
        tools=("plates and papers", "second person", "phone holder"),
        state="driving",
        risk="Traffic; a fault can get worse on the way.",
    ),
    given=(
        Choice(
            key="complaint",
            label="The complaint",
            needed=True,
            choices={
                "as_told": "came, as the customer told it",
                "otherwise": "came, under other conditions",
                "no": "did not come",
                "none": "there is none, a drive to check",
            },
        ),
        Quantity(
            key="at_km",
            label="First came after",
            quantity="distance",
            possible=(0.0, 2000.0),
            likely=(0.0, 100.0),
        ),
        Choice(
            key="stopped",
            label="Stopped early",
            needed=True,
            choices=_STOPPED,
        ),
        Choice(
            key="driver",
            label="Who drove",
            needed=True,
            choices={
                "technician": "technician alone",
                "technician_with": "technician, customer beside",
                "customer_with": "customer, technician beside",
                "customer_alone": "customer alone",
            },
        ),
        Text(key="route", label="Route", longest=120, help="So that it can be driven again."),
        Odometer(key="odometer_out", label="Odometer at the start"),
        Odometer(key="odometer_in", label="Odometer at the end"),
        Quantity(
            key="distance",
            label="Distance, if the odometer was not read",
            quantity="distance",
            possible=(0.0, 2000.0),
            likely=(0.5, 200.0),
            finer=True,
        ),
        Quantity(
            key="duration",
            label="Duration",
            quantity="time",
            unit="min",
            possible=(0.0, 86_400.0),
            likely=(120.0, 14_400.0),
        ),
        Choice(
            key="road",
            label="Road",
            choices={
                "dry": "dry",
                "wet": "wet",
                "snow": "snow or ice",
                "rough": "rough or unpaved",
            },
        ),
        Text(key="weather", label="Weather", longest=60),
        Text(key="load", label="Load, passengers, trailer", longest=60, finer=True),
        Quantity(
            key="hottest",
            label="Highest coolant temperature shown",
            quantity="temperature",
            possible=(-40.0, 160.0),
            likely=(60.0, 115.0),
            finer=True,
        ),
        Text(
            key="tyre",
            label="Tyre size",
            longest=30,
            origin="photo",
            question=size_question,
            help="As on its side: 205/55 R16. For a vibration.",
        ),
        Quantity(
            key="circumference",
            label="Rolled in one turn, measured",
            quantity="length",
            possible=(900.0, 4000.0),
            likely=(1500.0, 2600.0),
            instrument="tape",
            finer=True,
            help="Chalk on tyre and floor, rolled one turn under its own weight.",
        ),
        Choice(
            key="speed_from",
            label="Road speed read from",
            choices={
                "car": "the car's speedometer",
                "satellite": "satellite receiver or phone",
                "tool": "diagnostic tool, wheel speed",
            },
        ),
        Quantity(
            key="shaft_ratio",
            label="Axle ratio, if it has a propeller shaft",
            quantity="gear_ratio",
            possible=(1.0, 12.0),
            likely=(2.2, 6.5),
            origin="told",
            finer=True,
            help="Turns of the propeller shaft for one of the wheels, maker's data.",
        ),
    ),
    grids=(
        Grid(
            "points",
            "On the way",
            Conditions(
                fields=(
                    Choice(key="phase", label="when", choices=PHASES),
                    Quantity(
                        key="speed",
                        label="road speed",
                        quantity="speed",
                        possible=(0.0, 300.0),
                        likely=(0.0, 140.0),
                    ),
                    Quantity(
                        key="rpm",
                        label="engine speed",
                        quantity="rotation",
                        possible=(0.0, 12_000.0),
                        likely=(500.0, 6000.0),
                        instrument="rev_counter",
                    ),
                ),
                presets=tuple(
                    Row(code, label, {"phase": code}, optional=optional)
                    for code, label, optional in _POINTS
                ),
                tolerance={"speed": 10.0, "rpm": 150.0},
                most=21,
            ),
            (
                Choice(key="noticed", label="noticed", needed=True, choices=NOTICED),
                Choice(key="felt", label="felt at", choices=_FELT),
                Quantity(
                    key="hz",
                    label="frequency",
                    quantity="frequency",
                    possible=(0.1, 2000.0),
                    likely=(3.0, 300.0),
                    help="From a phone that is fixed in place, if there is one.",
                ),
                Text(key="note", label="note", longest=120, help="Which lamp, which side."),
            ),
            help="Two things at one point: add a point. For a vibration note speed and engine "
            "speed, and try the same road speed in another gear or coasting.",
        ),
    ),
    handling_u={"speed": 1.0, "rpm": 30.0, "hz": 0.3, "circumference": 5.0},
    patterns=(
        Pattern("stopped_early", "stopped early, going on was a danger", driving=_NO_FURTHER),
        Pattern("runs_hot", "temperature above its usual place", driving=_NOT_HOT),
        Pattern("lamp_came_on", "a warning lamp came on", driving=_LAMP),
        Pattern("brake_judder", "shakes while braking", driving=_BRAKES),
        Pattern("pulls", "pulls to one side", driving=_PULLS),
        Pattern(
            "vibration_with_wheel_speed", "vibration goes with the road speed", driving=_WHEELS
        ),
        Pattern("vibration_with_engine_speed", "vibration goes with the engine speed"),
        Pattern("reproduced", "the complaint came as told"),
        Pattern("reproduced_otherwise", "the complaint came under other conditions"),
        Pattern("something_noticed", "something else was noticed"),
        Pattern("nothing_noticed", "nothing unusual was noticed", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "other_conditions",
            "It was not driven under the conditions that the complaint needs.",
            0.3,
            only_sound=True,
        ),
        Confounder(
            "not_reproduced",
            "The complaint did not come on this drive.",
            0.2,
            only_sound=True,
        ),
        Confounder("short_drive", "The drive was short.", 0.4, only_sound=True),
        Confounder("cut_short", "The drive ended before all was tried.", 0.5, only_sound=True),
        Confounder(
            "frequencies_overlap",
            "At this speed wheels and engine turn at frequencies too close to tell apart.",
            0.5,
        ),
        Confounder(
            "no_match",
            "The measured frequency agrees with nothing that was computed.",
            0.6,
        ),
        Confounder(
            "signs_disagree",
            "The frequency says one thing, the comparison of points another.",
            0.4,
        ),
    ),
    needs_before=("trouble_codes", "oil_level"),
    spoils=("battery_at_rest", "parasitic_draw", "pressure_hold", "tyres"),
    formulas=(
        Formula("driven", "odometer at the end less odometer at the start, or as noted"),
        Formula(
            "circumference",
            "3.05 x outer diameter from the size marking, or as measured over one turn",
            "ETRTO standards manual, from memory, at 60 km/h",
        ),
        Formula("wheel_once_hz", "road speed / distance rolled in one turn"),
        Formula("wheel_twice_hz", "2 x wheel, once a turn"),
        Formula("shaft_once_hz", "wheel, once a turn x turns of the shaft for one of the wheel"),
        Formula("shaft_twice_hz", "2 x shaft, once a turn"),
        Formula(
            "engine_*_hz",
            "rpm / 60 x times in a turn: half, first, second, and firing = cylinders / 2 of a "
            "four-stroke",
        ),
    ),
    example={
        "ready.agreed": "yes",
        "ready.insured": "yes",
        "ready.pedal": "yes",
        "ready.wheels": "yes",
        "ready.whole": "yes",
        "ready.fuel": "yes",
        "ready.as_told": "yes",
        "given.driver": "technician",
        "given.stopped": "no",
        "given.road": "dry",
        "given.odometer_out": "84210 km",
        "given.odometer_in": "84232 km",
        "given.complaint": "as_told",
        "given.tyre": "205/55 R16",
        "given.speed_from": "satellite",
        "points.idle.noticed": "nothing",
        "points.pull_away.noticed": "nothing",
        "points.cruise.noticed": "vibration",
        "points.brake.noticed": "nothing",
        "points.cruise.speed": "110 km/h",
        "points.cruise.rpm": "2600 rpm",
        "points.cruise.hz": "15.9 Hz",
    },
    evidence_group="road",
    assess=assess,
    sentences={
        # customer
        "customer.stopped_early": "We stopped the drive early, because going on was a danger: "
        "{why}.",
        "customer.runs_hot": "The temperature rose above its usual place ({where}).",
        "customer.lamp_came_on": "A warning lamp came on ({where}).",
        "customer.brake_judder": "The car shakes when it is braked ({where}).",
        "customer.pulls": "The car {what} ({where}).",
        "customer.vibration_with_wheel_speed": "There is a vibration ({where}). It goes with how "
        "fast the wheels turn, not with the engine.",
        "customer.vibration_with_engine_speed": "There is a vibration ({where}). It goes with how "
        "fast the engine turns, not with the wheels.",
        "customer.reproduced": "The complaint came on our drive, as you told it.",
        "customer.reproduced_otherwise": "The complaint came on our drive, but under other "
        "conditions than you told.",
        "customer.something_noticed": "We noticed: {what} ({where}).",
        "customer.nothing_noticed": "We noticed nothing unusual on the drive.",
        "customer.undecided": "The drive is not far enough on record to say anything.",
        "customer.not_reproduced": "The fault that you told us of did not appear on this drive. "
        "That does not mean it is gone.",
        "customer.driven": "Driven: {km}.",
        # technician: what to look at next
        "next.stopped_early": "Stopped for a danger: no further drive before the reason is found. "
        "Tell the owner in writing, offer a tow.",
        "next.runs_hot": "Hot ({where}): let it cool, then level, fan, thermostat, pressure hold, "
        "combustion gas. Is it the gauge? Compare with a thermometer.",
        "next.lamp_came_on": "Lamp ({where}): read the codes and freeze frames now, before the "
        "ignition is cycled often.",
        "next.brake_judder": "Shakes while braking ({where}): disc run-out and thickness, hub "
        "face, wheel torque, play. In the steering wheel rather front, in the seat rather rear.",
        "next.pulls": "Pulls ({where}): pressures and tyres changed side to side, brake drag, "
        "ride height, then cross camber and caster. Only while braking: brakes and hoses first. "
        "Toe alone does not make a car pull.",
        "next.vibration_with_wheel_speed": "Goes with the wheels ({where}): nuts and seats first, "
        "tyre bulge, balance, run-out, hub; twice a turn or the shaft: joints, angles, balance.",
        "next.vibration_with_engine_speed": "Goes with the engine ({where}): half order one "
        "cylinder, first order something that turns with the crank, firing order the mounts; "
        "auxiliary drives turn at ratios of their own.",
        "next.reproduced": "Reproduced as told: note route, speed and conditions, so that the "
        "repair can be tried there again.",
        "next.reproduced_otherwise": "Reproduced, but otherwise than told: ask the customer along "
        "and agree that it is the same complaint.",
        "next.something_noticed": "Noticed ({where}): show it to a second person, then go on at "
        "that point of the drive.",
        "next.nothing_noticed": "Nothing noticed: it says little for what comes cold, wet, loaded "
        "or seldom.",
        "next.undecided": "Too little noted: at least idle, pulling away, steady speed and "
        "braking, and whether the complaint came.",
        "matched": "{hz} measured: agrees with {labels}.",
        "no_match": "{hz} measured agrees with nothing computed. Speed and engine speed from the "
        "same moment? Cooling fan, alternator and other auxiliaries turn at ratios of their own.",
        "overlap": "Wheels and engine agree alike. Same road speed in another gear, or coasting "
        "with the engine at another speed, tells them apart.",
        "disagree": "Frequency and comparison contradict each other: two vibrations, or a reading "
        "from another moment. Drive it again.",
        "not_told_apart": "Not told yet what the vibration goes with: same road speed in another "
        "gear, same engine speed standing, or measure the frequency.",
        "speedometer": "Speed by the speedometer: it may show up to a tenth and 4 km/h more than "
        "is driven, and the wheel's frequency is as uncertain as that. A satellite speed is finer.",
        "cylinders": "Firing order computed for {n} cylinders, four strokes.",
        "at_km": "First came after {km}.",
        "not_reproduced": "Not reproduced: until then no part is more than a guess. Ride with the "
        "customer, or give a diary along.",
        "customer_alone": "Driven by the customer alone: told, not seen by us.",
        "odometer": "The odometer at the end stands below that at the start: no distance computed.",
        "untried": "Not tried: {points}.",
        # chart
        "chart": "What turns how often, {point}: {things}. {felt}.",
        "chart.felt": "felt {hz}",
    },
)
