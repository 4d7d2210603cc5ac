"""Cranking: what the starter did, volts and amperes while it turned, and the switches before it.

Method: volts at the battery posts and amperes by clamp while cranking, held values and not the
first dip; switches of clutch, brake and neutral at rest and pressed. Windows are common practice;
the load-test figure with its temperatures is printed alike in several makers' service data.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from measurements.core import battery, units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.cautions import BATTERY_LEAD, CAN_LEAP
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge, span_for
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
from measurements.core.readings import Reading, Readings, RowReadings

if TYPE_CHECKING:
    from uncertainties import UFloat

_PRACTICE = Source("C", "common practice")
_PRACTICE_COLD = Source("C", "common practice, lowered in the cold like the load-test figure")
_NOTED = Source("C", "around the current noted when all is well, common practice")

HELD_LEAST_V = 10.0
"""A sound car holds more than this while cranking at 20 °C (common practice)."""

LOAD_TEST_V = battery.loaded_minimum_v(20.0)

LOW_OF_NOTED, HIGH_OF_NOTED = 0.6, 1.5
"""Shares of the current noted when all is well, beyond which it is unusual (judgement)."""

USUAL_CURRENT_A: Mapping[str, tuple[float, float]] = {
    "petrol": (60.0, 250.0),
    "diesel": (120.0, 600.0),
    "": (60.0, 600.0),
}
"""Fuel -> cranking current of 12 volt car engines (common practice, wide, from memory)."""

SLOWEST_RPM: Mapping[str, float] = {"petrol": 150.0, "diesel": 120.0, "": 120.0}
"""Fuel -> slowest usual cranking speed, not in frost (common practice, from memory)."""

FROST_C = 0.0
COMMANDED_SHARE = 0.5
"""Less than this share of the battery's volts at the control terminal commands nothing."""


# --- limits -----------------------------------------------------------------------------------


def held_least_v(temperature_c: float | None) -> float:
    """Least usual volts of a 12 volt battery while it cranks, held, not the first dip.

    10 V at 20 °C, less in the cold by as much as the load-test figure; common practice.

    >>> held_least_v(20), held_least_v(-18), held_least_v(None)
    (10.0, 8.9, 10.0)
    """
    if temperature_c is None:
        return HELD_LEAST_V
    return round(HELD_LEAST_V - (LOAD_TEST_V - battery.loaded_minimum_v(temperature_c)), 6)


def _times(context: Context) -> float:
    return context.car.volts / 12


def _volts_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span:
    temp_c = readings.given("temperature")
    least = held_least_v(temp_c)
    source = _PRACTICE_COLD if least < HELD_LEAST_V else _PRACTICE
    return Span(least * _times(context), None, source)


def _current_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    noted = readings.given("noted_current")
    if noted:
        return Span(LOW_OF_NOTED * noted, HIGH_OF_NOTED * noted, _NOTED)
    if context.car.volts != 12:
        return None
    return Span(*USUAL_CURRENT_A.get(context.car.fuel, USUAL_CURRENT_A[""]), _PRACTICE)


def _speed_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    temp_c = readings.given("temperature")
    if temp_c is not None and temp_c < FROST_C:
        return None
    return Span(SLOWEST_RPM.get(context.car.fuel, SLOWEST_RPM[""]), None, _PRACTICE)


def _volts_range(context: Context) -> tuple[float, float]:
    return (-1.0, 20.0 * _times(context))


def _volts_likely(context: Context) -> tuple[float, float]:
    return (5.0 * _times(context), 13.0 * _times(context))


def _not_for(context: Context) -> str:
    if context.car.high_voltage:
        return (
            "a car with a high-voltage or 48 volt system is mostly started by its drive motor, "
            "and may start by itself."
        )
    return ""


# --- reasoning --------------------------------------------------------------------------------

_TURNS = ("turns", "turns_slowly")
_DOES_NOT_TURN = ("nothing", "one_click", "many_clicks")


def assess(readings: Readings, context: Context) -> Assessment:
    """Dangers first, then the switches, then volts and current together."""
    verdicts = judge(PROCEDURE, readings, context)
    by_address = {verdict.address: verdict for verdict in verdicts}
    attempts = [row for row in readings.rows("attempts") if _read(row)]
    figures = _figures(readings, attempts)
    seen = _seen(readings, context, by_address, attempts)
    if seen:
        (pattern, where), rest = seen[0], seen[1:]
    else:
        pattern, where, rest = _quiet(readings, by_address, attempts), (), []
    weak = _confounders(readings, context, attempts)
    also = [Also(code, rows) for code, rows in rest]
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=pattern,
        where=where,
        also=also,
        figures=figures,
        verdicts=verdicts,
        confounders=weak,
        customer=_customer(pattern, where, readings, context, attempts, weak),
        technician=_technician(
            pattern, where, also, readings, context, attempts, verdicts, figures, weak
        ),
        chart=_chart(readings, context, attempts),
    )


def _read(row: RowReadings) -> bool:
    return any(row.get(column) is not None for column in ("volts", "dip", "current", "speed"))


def lies(verdict: VerdictOutcome | None, reading: Reading | None) -> str:
    """ "low" or "high" beyond its limit, "usual" inside, "" where nothing is decided. The sign of a
    current only tells how the clamp was held."""
    if verdict is None or reading is None or verdict.outcome not in ("within", "outside"):
        return ""
    if verdict.outcome == "within":
        return "usual"
    if reading.number is None:
        return "low" if reading.status == "below" else "high"
    below = verdict.low is not None and abs(reading.number) < verdict.low
    return "low" if below else "high"


def _sides(
    by_address: Mapping[str, VerdictOutcome], attempts: Sequence[RowReadings], column: str
) -> dict[str, tuple[str, ...]]:
    """Side -> the attempts at which this column lay there."""
    found: dict[str, list[str]] = {}
    for row in attempts:
        where = lies(by_address.get(row.address(column)), row.get(column))
        if where:
            found.setdefault(where, []).append(row.code)
    return {where: tuple(codes) for where, codes in found.items()}


def _seen(
    readings: Readings,
    context: Context,
    by_address: Mapping[str, VerdictOutcome],
    attempts: Sequence[RowReadings],
) -> list[tuple[str, tuple[str, ...]]]:
    """What is unusual, with its rows; what can do harm first."""
    seen: list[tuple[str, tuple[str, ...]]] = []
    did = readings.given("did")
    if readings.given("liquid"):
        seen.append(("liquid_suspected", ()))
    if did == "stops_dead":
        seen.append(("stops_dead", ()))
    seen += _switches_seen(readings)
    if did == "whirs":
        seen.append(("whirs_alone", ()))
    if did in _DOES_NOT_TURN and _commanded(readings, context) is False:
        seen.append(("no_command", ()))
    return seen + _by_volts_and_current(readings, context, by_address, attempts)


def _switches_seen(readings: Readings) -> list[tuple[str, tuple[str, ...]]]:
    """Switches that their pedal or lever doesn't reach, and those that do not change."""
    away, same = [], []
    for row in readings.rows("switches"):
        if row.value("reaches") is False or row.value("stop") == "missing":
            away.append(row.code)
        rest, pressed = row.value("rest"), row.value("pressed")
        if rest is not None and rest == pressed:
            same.append(row.code)
    found: list[tuple[str, tuple[str, ...]]] = []
    if away:
        found.append(("switch_not_reached", tuple(away)))
    if same:
        found.append(("switch_unchanged", tuple(same)))
    return found


def _commanded(readings: Readings, context: Context) -> bool | None:
    """Whether volts arrived at the solenoid's control terminal; None if not read."""
    control = readings.given("control")
    if control is None:
        return None
    rest = readings.given("rest") or context.car.volts
    return bool(control >= COMMANDED_SHARE * rest)


def _by_volts_and_current(
    readings: Readings,
    context: Context,
    by_address: Mapping[str, VerdictOutcome],
    attempts: Sequence[RowReadings],
) -> list[tuple[str, tuple[str, ...]]]:
    """One picture from volts, current and speed of the attempts."""
    volts, amps, rpm = (_sides(by_address, attempts, c) for c in ("volts", "current", "speed"))
    did = readings.given("did")
    stands = did in _DOES_NOT_TURN
    slow = did == "turns_slowly" or "low" in rpm
    if "low" in volts and "low" in amps:
        return [("low_volts_low_current", volts["low"])]
    if "high" in amps and (slow or stands or did == "stops_dead"):
        return [("high_current_slow", amps["high"])]
    if "low" in volts:
        return [("low_volts", volts["low"])]
    if "high" in amps:
        return [("high_current", amps["high"])]
    held = "usual" in volts
    if held and "low" in amps and (slow or stands):
        return [("good_volts_low_current", amps["low"])]
    if held and "low" in amps and did == "turns":
        return [("turns_lightly", amps["low"])]
    if stands and held and _commanded(readings, context):
        return [("commanded_stands", volts["usual"])]
    if stands and _commanded(readings, context) is not False:
        return [("does_not_turn", ())]
    if slow and held:
        return [("slow_with_good_volts", volts["usual"])]
    return []


def _quiet(
    readings: Readings,
    by_address: Mapping[str, VerdictOutcome],
    attempts: Sequence[RowReadings],
) -> str:
    """Nothing unusual is shown: is that worth something?"""
    judged = [v for v in by_address.values() if v.outcome != "no_limit"]
    if readings.given("did") != "turns" or any(v.outcome != "within" for v in judged):
        return "undecided"
    held = [row for row in attempts if row.uncertain("volts") is not None]
    return "sound" if held else "undecided"


def _weak_battery(readings: Readings, context: Context) -> bool:
    rest = readings.given("rest")
    least = battery.CHEMISTRIES["flooded"].low_v * _times(context)
    return rest is not None and rest < least


def _confounders(
    readings: Readings, context: Context, attempts: Sequence[RowReadings]
) -> list[str]:
    weak = []
    if _weak_battery(readings, context):
        weak.append("battery_low")
    if attempts and readings.given("temperature") is None:
        weak.append("temperature_unknown")
    if attempts and all(row.uncertain("current") is None for row in attempts):
        weak.append("current_not_measured")
    if any(row.get("dip") is not None and row.get("volts") is None for row in attempts):
        weak.append("first_dip_only")
    return weak


def _leading(attempts: Sequence[RowReadings]) -> RowReadings | None:
    """The attempt with the lowest held volts."""
    read = [row for row in attempts if row.uncertain("volts") is not None]
    return min(read, key=lambda row: row.value("volts")) if read else None


def battery_resistance_mohm(rest_v: Any, held_v: Any, current_a: Any) -> Any:
    """Resistance of a battery as it cranks, mΩ: volts lost from rest by amperes drawn.

    >>> round(battery_resistance_mohm(12.6, 10.8, 180), 2)
    10.0
    """
    return (rest_v - held_v) / current_a * 1000


def _figures(readings: Readings, attempts: Sequence[RowReadings]) -> list[Figure]:
    """Fall from rest, the battery's resistance, and the power that the starter was sent."""
    row = _leading(attempts)
    rest = readings.uncertain("given.rest")
    if row is None:
        return []
    held: UFloat | None = row.uncertain("volts")
    current = row.uncertain("current")
    if held is None:
        return []
    figures = []
    if rest is not None:
        figures.append(figure_of("fall", "fall from rest", "voltage", rest - held))
    drawn = current if current is None or current.nominal_value >= 0 else -current
    if drawn is None or drawn.nominal_value <= 2 * drawn.std_dev:
        why = "no current was measured while cranking"
        figures.append(
            Figure("resistance", "battery's resistance", "resistance", None, absent_because=why)
        )
        return figures
    if rest is not None:
        ohms = battery_resistance_mohm(rest, held, drawn) / 1000
        figures.append(
            figure_of("resistance", "battery's resistance", "resistance", ohms, unit="mΩ")
        )
    figures.append(figure_of("power", "power taken from the battery", "power", held * drawn / 1000))
    return figures


# --- words ------------------------------------------------------------------------------------


def _volts(value: float) -> str:
    return units.show_value(value, "voltage", places=2, unit="V")


def _amps(value: float) -> str:
    return units.show_value(abs(value), "current", places=0, unit="A")


_DID = {
    "turns": "turned at its usual speed",
    "turns_slowly": "turned slowly",
    "one_click": "clicked once and did not turn",
    "many_clicks": "clicked many times and did not turn",
    "nothing": "did nothing",
    "stops_dead": "turned and stopped dead",
    "whirs": "whirred without turning the engine",
}


def _params(
    pattern: str,
    where: Sequence[str],
    readings: Readings,
    context: Context,
    attempts: Sequence[RowReadings],
) -> dict[str, str]:
    """Everything that a sentence may name; what was not read is not named by its patterns."""
    params = {"did": _DID.get(str(readings.given("did")), "was tried")}
    if pattern in ("switch_not_reached", "switch_unchanged"):
        rows = {row.code: row.label for row in readings.rows("switches")}
        params["switches"] = ", ".join(rows[code] for code in where)
        return params
    meant = [row for row in attempts if row.code in where] or list(attempts)
    row = _leading(meant)
    if row is not None:
        params["volts"] = _volts(row.value("volts"))
    current = next(
        (one.value("current") for one in meant if one.value("current") is not None), None
    )
    if current is not None:
        params["amps"] = _amps(current)
    return params


def _customer(
    pattern: str,
    where: Sequence[str],
    readings: Readings,
    context: Context,
    attempts: Sequence[RowReadings],
    weak: Sequence[str],
) -> list[Sentence]:
    say = PROCEDURE.say
    params = _params(pattern, where, readings, context, attempts)
    said = [say(f"customer.{_spoken(pattern, params)}", **params)]
    if pattern in ("low_volts", "low_volts_low_current", "sound"):
        span = _held_span(readings, context)
        whose = "maker" if span.source.tag == "maker" else "common"
        said.append(say("limit." + whose, least=_volts(span.low or 0.0)))
    if "battery_low" in weak and pattern not in _NO_CRANKING:
        said.append(say("customer.battery_low"))
    if pattern == "sound":
        said.append(say("customer.only_then"))
    return said


_NO_CRANKING = ("liquid_suspected", "stops_dead")


def _spoken(pattern: str, params: Mapping[str, str]) -> str:
    """The sentence of a pattern; a shorter one where it would name what was not read."""
    if pattern == "high_current_slow" and "volts" not in params:
        return "high_current_slow_only"
    return pattern


def _technician(
    pattern: str,
    where: Sequence[str],
    also: Sequence[Also],
    readings: Readings,
    context: Context,
    attempts: Sequence[RowReadings],
    verdicts: Sequence[VerdictOutcome],
    figures: Sequence[Figure],
    weak: Sequence[str],
) -> list[Sentence]:
    say = PROCEDURE.say
    params = _params(pattern, where, readings, context, attempts)
    said = [say(f"technician.{_spoken(pattern, params)}", **params)]
    for item in also:
        said.append(say("technician.also", seen=PROCEDURE.pattern(item.pattern).label))
    if pattern == "switch_unchanged" or any(i.pattern == "switch_unchanged" for i in also):
        said += [
            say("technician.stays_" + row.value("rest"), switch=row.label)
            for row in readings.rows("switches")
            if row.value("rest") is not None and row.value("rest") == row.value("pressed")
        ]
    if _weak_battery(readings, context):
        said.append(say("technician.battery_low", rest=_volts(readings.given("rest"))))
    if pattern.startswith("low_volts"):
        temp_c = readings.given("temperature")
        minimum = battery.loaded_minimum_v(20.0 if temp_c is None else temp_c) * _times(context)
        said.append(say("technician.load_test", minimum=_volts(minimum)))
    if "first_dip_only" in weak:
        said.append(say("technician.first_dip_only"))
    if attempts and "current_not_measured" in weak:
        said.append(say("technician.no_current"))
    if pattern not in ("sound", "undecided", *_NO_CRANKING):
        said.append(say("technician.one_fault_clears_nothing"))
    if pattern not in _NO_CRANKING and any(v.outcome == "cannot_tell" for v in verdicts):
        said.append(say("technician.close"))
    return said


def _chart(readings: Readings, context: Context, attempts: Sequence[RowReadings]) -> dict[str, Any]:
    """Volts at rest and held while cranking on one scale, with what is usual."""
    held = [(row.label, row.uncertain("volts")) for row in attempts]
    read = [("at rest", readings.uncertain("given.rest")), *held]
    rows = [(label, value) for label, value in read if value is not None]
    if all(value is None for _, value in held):
        return {}
    temp_c = readings.given("temperature")
    span = _held_span(readings, context)
    minimum = battery.loaded_minimum_v(20.0 if temp_c is None else temp_c) * _times(context)
    told = "; ".join(f"{label} {_volts(value.nominal_value)}" for label, value in rows)
    return {
        "kind": "scale",
        "title": PROCEDURE.say(
            "chart.volts", told=told, least=_volts(span.low or 0.0), minimum=_volts(minimum)
        ).text,
        "unit": "V",
        "axis": "volts at the posts",
        "low": span.low,
        "high": None,
        "marks": [{"value": minimum, "label": "load test"}],
        "rows": [
            {"label": label, "value": value.nominal_value, "u": value.std_dev}
            for label, value in rows
        ],
    }


def _held_span(readings: Readings, context: Context) -> Span:
    """The limit of the held volts: one chosen for the car, else the usual one."""
    row = readings.rows("attempts")[0]
    found = span_for(PROCEDURE, row.address("volts"), context, readings, row)
    return found or _volts_limit(context, readings, row)


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The reading that would tell most now, with the reason; none that would crank again where
    that can do harm."""
    did = readings.given("did")
    if readings.given("liquid") or did == "stops_dead":
        return ()
    if did is None:
        return (("given.did", "What the starter did decides which readings tell more."),)
    if did in _DOES_NOT_TURN and readings.given("control") is None:
        return (("given.control", "It tells a missing command from a starter that stands."),)
    if readings.value("attempts.first.volts") is None:
        return (("attempts.first.volts", "Held volts while cranking, not the first dip."),)
    if readings.value("attempts.first.current") is None:
        return (("attempts.first.current", "Current tells a weak battery from a stiff engine."),)
    if readings.given("rest") is None:
        return (("given.rest", "Below three quarters charged, cranking proves little."),)
    return ()


# --- declaration ------------------------------------------------------------------------------

_LIQUID = Driving(
    "do_not_drive",
    "Do not try to start it: liquid in a cylinder, or something broken, can wreck the engine. Have "
    "it brought in on a truck.",
)
_MAY_NOT_START = Driving(
    "only_as_stated", "It may not start again: do not stop where that would be dangerous."
)
_MAY_LEAP = Driving(
    "only_as_stated",
    "Start it only in neutral or park with the brake on and nobody in front: it may start in gear "
    "and leap.",
)


def _volts_field(key: str, label: str, help: str, *, finer: bool = False) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity="voltage",
        possible=_volts_range,
        likely=_volts_likely,
        instrument="multimeter",
        help=help,
        finer=finer,
        needed=key == "volts",
    )


_SWITCH = {"open": "open", "closed": "closed"}

PROCEDURE = Procedure(
    name="cranking",
    title="Cranking",
    version=1,
    group="Electrical",
    purpose="Tells a weak battery, a loss on the way, a stiff engine or starter, and a missing "
    "start command apart, from volts and current while the starter works.",
    proves_nothing_when=(
        "The battery is less than three quarters charged, or only the first dip was read: every "
        "battery dips at once, and a flat one makes a sound starter slow."
    ),
    evidence_group="electrical_supply",
    battery_matters=True,
    needs_before=("battery_at_rest", "trouble_codes"),
    spoils=("parasitic_draw", "oil_level"),
    leaves_apart=("Fuel or ignition disabled for cranking",),
    handling_u={"travel": 3.0},
    comparable={"temperature": (10.0, 0.0)},
    effort=Effort(8, ("multimeter", "clamp meter"), risk="the car can leap when it is cranked"),
    cautions=(
        Caution(
            "Liquid suspected in a cylinder: do not crank.",
            "Plugs or injectors out first, then turn by hand. Signs: stops dead, coolant lost, "
            "deep water, much too much fuel or oil.",
            "common practice",
            "customer",
        ),
        Caution(
            "It stops dead: do not crank again.",
            "A second try bends what is still straight. Turn it by hand, plugs out, and find out.",
            "common practice",
        ),
        CAN_LEAP,
        Caution(
            "The engine may start.",
            "Disable fuel as the maker says; coils must not fire into the open. Leads, sleeves and "
            "hair clear of belts and fans; exhaust outdoors.",
            "workplace rules on machine guarding",
            from_memory=True,
        ),
        Caution(
            "Sparks and battery gas.",
            "Eyes covered, rings off; clip on before cranking, nothing moved at the posts "
            "meanwhile. Never charge or jump a frozen battery.",
            "workplace safety guidance on batteries",
            from_memory=True,
        ),
        Caution(
            "Starter and cables get hot.",
            "At most 10 s at a time, then two minutes of rest.",
            "common practice",
        ),
        BATTERY_LEAD,
        Caution(
            "Air-bag and sensor lines near the switches.",
            "No lamp, no ohmmeter, no piercing of insulation there.",
            "the maker's instructions",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("held", "Neutral or park, brake on, wheels chocked, nobody in front"),
        Precondition("no_liquid", "No reason to suspect liquid in a cylinder"),
        Precondition("battery", "Battery at least three quarters charged", "battery_low"),
        Precondition("meter", "Meter leads on the battery posts, not on the clamps"),
    ),
    given=(
        Choice(
            key="did",
            label="the starter",
            needed=True,
            choices={
                "turns": "turns the engine at its usual speed",
                "turns_slowly": "turns the engine slowly",
                "one_click": "clicks once, does not turn",
                "many_clicks": "clicks many times, does not turn",
                "nothing": "does nothing",
                "stops_dead": "turns, then stops dead",
                "whirs": "whirs, engine stands",
            },
        ),
        Flag(
            key="liquid",
            label="liquid in a cylinder suspected",
            help="Then do not crank; record it here.",
        ),
        Quantity(
            key="temperature",
            label="temperature of the battery",
            quantity="temperature",
            possible=(-50.0, 80.0),
            likely=(-25.0, 50.0),
            instrument="thermometer",
        ),
        _volts_field("rest", "volts at rest, before", "At the posts, nothing switched on."),
        _volts_field(
            "control",
            "volts at the solenoid's control terminal",
            "While the key or button says start.",
        ),
        Quantity(
            key="noted_current",
            label="cranking current when all is well",
            finer=True,
            quantity="current",
            origin="told",
            possible=(1.0, 3000.0),
            likely=(40.0, 1200.0),
            help="Maker's data, or this shop's own note of such an engine.",
        ),
    ),
    grids=(
        Grid(
            "attempts",
            "While cranking",
            Fixed(
                (
                    Row("first", "first attempt"),
                    Row("second", "second attempt", optional=True),
                    Row("third", "third attempt", optional=True),
                )
            ),
            (
                _volts_field("volts", "volts at the posts, held", "After the first second."),
                Quantity(
                    key="current",
                    label="current, held",
                    quantity="current",
                    possible=(-3000.0, 3000.0),
                    likely=(-1500.0, 1500.0),
                    instrument="clamp_ammeter",
                    help="The sign only tells how the clamp was held.",
                ),
                Quantity(
                    key="speed",
                    label="cranking speed",
                    quantity="rotation",
                    possible=(0.0, 1000.0),
                    likely=(40.0, 500.0),
                    instrument="rev_counter",
                ),
                _volts_field(
                    "dip", "first dip", "Lowest for an instant; noted, not judged.", finer=True
                ),
            ),
        ),
        Grid(
            "switches",
            "Switches that must agree before it cranks",
            Fixed(
                (
                    Row("clutch", "clutch pedal", optional=True),
                    Row("brake", "brake pedal", optional=True),
                    Row("neutral", "neutral or park", optional=True),
                    Row("other", "other switch", optional=True),
                )
            ),
            (
                Choice(key="rest", label="at rest", choices=_SWITCH),
                Choice(key="pressed", label="pressed, or in neutral", choices=_SWITCH),
                Flag(key="reaches", label="pedal or lever reaches its switch"),
                Choice(
                    key="stop",
                    label="stop or bumper at the pedal",
                    choices={"there": "there", "missing": "missing", "none": "none by design"},
                ),
                Quantity(
                    key="travel",
                    label="travel until it switches",
                    finer=True,
                    quantity="length",
                    possible=(0.0, 400.0),
                    likely=(2.0, 200.0),
                    instrument="tape",
                ),
            ),
            help="By ohmmeter with the plug off, or in live values.",
        ),
    ),
    limits=(
        Limit("attempts.*.volts", bounds=_volts_limit),
        Limit("attempts.*.current", bounds=_current_limit, magnitude=True),
        Limit("attempts.*.speed", bounds=_speed_limit),
    ),
    patterns=(
        Pattern(
            "liquid_suspected",
            "liquid in a cylinder suspected: not to be cranked",
            driving=_LIQUID,
        ),
        Pattern("stops_dead", "turns, then stops dead", direct=True, driving=_LIQUID),
        Pattern(
            "switch_not_reached",
            "a pedal or lever does not reach its switch",
            direct=True,
            driving=_MAY_NOT_START,
        ),
        Pattern(
            "switch_unchanged",
            "a switch does not change when pressed",
            direct=True,
            driving=_MAY_LEAP,
        ),
        Pattern(
            "whirs_alone",
            "the starter whirs, the engine stands",
            direct=True,
            driving=_MAY_NOT_START,
        ),
        Pattern("no_command", "no start command arrives at the solenoid", driving=_MAY_NOT_START),
        Pattern(
            "low_volts_low_current",
            "low volts and low current",
            driving=_MAY_NOT_START,
            weak_battery=True,
        ),
        Pattern(
            "high_current_slow", "high current, slow or standing still", driving=_MAY_NOT_START
        ),
        Pattern("low_volts", "volts low while cranking", driving=_MAY_NOT_START),
        Pattern("high_current", "current above what is usual", driving=_MAY_NOT_START),
        Pattern("good_volts_low_current", "good volts, low current", driving=_MAY_NOT_START),
        Pattern("turns_lightly", "turns with less current than usual"),
        Pattern("commanded_stands", "commanded, volts hold, does not turn", driving=_MAY_NOT_START),
        Pattern("does_not_turn", "does not turn; not yet known why", driving=_MAY_NOT_START),
        Pattern("slow_with_good_volts", "slow although the volts hold", driving=_MAY_NOT_START),
        Pattern("sound", "turns at its usual speed and holds its volts", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("battery_low", "The battery's charge was low or not checked.", 0.5),
        Confounder("temperature_unknown", "The battery's temperature is not known.", 0.9),
        Confounder("current_not_measured", "The current was not measured.", 0.7),
        Confounder("first_dip_only", "Only the first dip was read at an attempt.", 0.5),
    ),
    sentences={
        "chart.volts": (
            "Volts: {told}. Limit while cranking: {least} or more. Load test: {minimum}."
        ),
        "customer.liquid_suspected": (
            "We suspect liquid in a cylinder, so the engine was not cranked. Trying to start it "
            "can break it."
        ),
        "customer.stops_dead": (
            "The engine turned and stopped dead. It must not be cranked again before we know why."
        ),
        "customer.switch_not_reached": (
            "The car only starts when its switches agree. This is not reached when moved: "
            "{switches}."
        ),
        "customer.switch_unchanged": (
            "The car only starts when its switches agree. This did not change when moved: "
            "{switches}."
        ),
        "customer.whirs_alone": "The starter was heard turning, but the engine did not turn.",
        "customer.no_command": ("The starter {did}. The command to start did not arrive at it."),
        "customer.low_volts_low_current": (
            "While cranking the battery held only {volts} although little current was drawn "
            "({amps})."
        ),
        "customer.high_current_slow": (
            "The starter {did} and drew more current than usual ({amps}), at {volts}."
        ),
        "customer.high_current_slow_only": (
            "The starter {did} and drew more current than usual ({amps})."
        ),
        "customer.low_volts": "While cranking the battery held {volts}.",
        "customer.high_current": "The starter {did}, with more current than usual ({amps}).",
        "customer.good_volts_low_current": (
            "The starter {did}. The battery held {volts}, but little current flowed ({amps})."
        ),
        "customer.turns_lightly": (
            "The engine turned with less current than usual ({amps}). What that means is not "
            "measured yet."
        ),
        "customer.commanded_stands": (
            "The starter {did} although the command arrived and the battery held {volts}."
        ),
        "customer.does_not_turn": "The starter {did}. Why is not measured yet.",
        "customer.slow_with_good_volts": (
            "The engine turned slowly although the battery held {volts}."
        ),
        "customer.sound": (
            "While cranking the battery held {volts}, and the starter turned the engine as usual."
        ),
        "limit.common": "By common practice {least} and more is usual then.",
        "limit.maker": "The limit entered from the maker's data is {least}.",
        "customer.only_then": "This concerns the start as it was made then, not a colder day.",
        "customer.battery_low": (
            "The battery was not charged enough to judge the rest: it is charged and the test "
            "repeated."
        ),
        "customer.undecided": "The measurements made so far do not decide how well it cranks.",
        "technician.liquid_suspected": (
            "Do not crank. Plugs or injectors out, turn by hand, see what comes out. Even "
            "compression clears nothing then."
        ),
        "technician.stops_dead": (
            "Do not crank again. Turn by hand, plugs out: liquid, timing drive, starter jammed, or "
            "a driven part seized."
        ),
        "technician.switch_not_reached": (
            "Not reached: {switches}. Look for a lost bumper or stop at the pedal, a bent bracket, "
            "a loose switch."
        ),
        "technician.switch_unchanged": (
            "Does not change: {switches}. Measure at the switch itself, then at the control unit."
        ),
        "technician.stays_open": "{switch} stays open: the start may be withheld.",
        "technician.stays_closed": (
            "{switch} stays closed: stuck, bridged, or the other kind of switch. If it is the "
            "start switch, the car may crank in gear."
        ),
        "technician.whirs_alone": "Pinion, its lever, the freewheel, or teeth of the ring gear.",
        "technician.no_command": (
            "No volts at the control terminal. Follow it back: relay, switches, immobiliser, key, "
            "ignition switch."
        ),
        "technician.low_volts_low_current": (
            "{volts} at {amps}: the battery cannot give more. Charge it, rest it, load test."
        ),
        "technician.high_current_slow": (
            "{amps} at {volts}: starter drags, or the engine is stiff. Turn it by hand; starter on "
            "the bench."
        ),
        "technician.high_current_slow_only": (
            "{amps}: starter drags, or the engine is stiff. Turn it by hand; note the volts too."
        ),
        "technician.low_volts": (
            "{volts} held. Clamp on: low current points at the battery, high current at starter or "
            "engine."
        ),
        "technician.high_current": (
            "{amps} at usual speed. Compare with a note of such an engine; zero the clamp; look "
            "for other loads."
        ),
        "technician.good_volts_low_current": (
            "{volts} at {amps}: resistance in feed, ground or starter. Halve it with the "
            "voltage-drop test."
        ),
        "technician.turns_lightly": (
            "{amps} and quick: the engine gives little resistance. Timing drive and compression "
            "before more cranking."
        ),
        "technician.commanded_stands": (
            "Command there, {volts} held, nothing turns: solenoid contact, feed, ground, brushes. "
            "Voltage drop while it is commanded."
        ),
        "technician.does_not_turn": (
            "Volts at the control terminal and at the posts while it says start: which is missing?"
        ),
        "technician.slow_with_good_volts": (
            "{volts} held and slow. Current by clamp: low, a loss on the way; high, starter or "
            "engine."
        ),
        "technician.sound": "{volts} held, turning as usual.",
        "technician.undecided": "Not enough was read, or too close to tell.",
        "technician.also": "Also seen: {seen}.",
        "technician.battery_low": (
            "Rest volts {rest}: below three quarters charged. Charge first and repeat; this was "
            "taken on a weak battery."
        ),
        "technician.load_test": (
            "{minimum} is the load-test figure at this temperature, for half the cold rating and "
            "15 s; cranking holds more."
        ),
        "technician.first_dip_only": (
            "The first dip says nothing: every battery dips at once. Read what it holds."
        ),
        "technician.no_current": "Current not measured: battery and starter look alike without it.",
        "technician.one_fault_clears_nothing": (
            "One thing found says nothing of the rest: put it right, then crank again."
        ),
        "technician.close": "Where it says too close to tell: a finer meter decides.",
    },
    formulas=(
        Formula("fall", "volts at rest less volts held while cranking, same meter"),
        Formula(
            "resistance",
            "(volts at rest − volts held) / amperes held, of the attempt with the lowest volts",
            "Ohm's law",
        ),
        Formula("power", "volts held x amperes held, of the attempt with the lowest volts"),
    ),
    example={
        "ready.held": "yes",
        "ready.no_liquid": "yes",
        "ready.battery": "yes",
        "ready.meter": "yes",
        "given.did": "turns_slowly",
        "given.temperature": "20",
        "given.rest": "12.60",
        "attempts.first.volts": "8.20",
        "attempts.first.current": "45",
    },
    assess=assess,
    not_for=_not_for,
    next_step=_next_step,
)
