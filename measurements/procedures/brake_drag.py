"""Brake drag: which wheel is hot after a drive, which drags by hand, and what lets it go.

Discs or drums of one axle are compared left against right. How far they usually differ, how warm
they usually get without braking, and in which order the trials halve the search is common practice.
Infrared reads bare metal too low: machined cast iron sends out 0.2 to 0.4 of what a black face
does, rusty or oxidised 0.6 to 0.8 (tables in manuals of thermal cameras, seen).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.cautions import BRAKE_DUST, PARKING_BRAKE, WHEEL_NUTS
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
from measurements.core.rolling import one_turn_mm, size_question, wheel_hz
from measurements.core.uncertainty import rectangular
from measurements.core.units import convert_width, show, show_value
from measurements.core.wording import at_head, places

if TYPE_CHECKING:
    from uncertainties import UFloat

SIDES_K, SIDES_SHARE = 25.0, 0.15
"""Left and right of an axle usually differ by no more, in kelvin or as a share of the hotter rise
above the air, the wider of the two (common practice: 20 to 30 K, 10 to 15 per cent)."""

UNBRAKED_K = 50.0
"""Above the air after a drive without braking, discs and drums are seldom warmer (judgement)."""

DOUBT: Mapping[str, float] = {"contact": 0.05, "dull": 0.10, "bare": 0.30}
"""Half width of what a face does to a reading, as a share of its rise above the air (judgement).
Infrared: two oxidised faces of like heat (0.64 and 0.78 of a black one) read about 7 per cent to
either side of their mean, two machined ones (0.21 and 0.44) about 28."""
UNTOLD_DOUBT = "bare"

COOLING_S = 600.0
"""Time constant of a disc that cools standing (judgement): a tenth of its rise in a minute."""

MINUTE_S, UNTOLD_GAP_S = 60.0, 180.0
"""Between left and right of an axle: as ticked, or where nobody noted it (judgement)."""

SOON_S = 300.0
"""Read later after the stop, the sides have drawn together (judgement)."""

SHORT_KM = 5.0
"""A shorter drive may not warm a brake that drags a little (common practice)."""

SPEED_KMH = 80.0
"""Road speed for the power that a drag takes, unless another is entered."""

UNKNOWN_AIR_C = 20.0
"""Stands for the air where it was not read, for the doubt of a reading alone."""

AXLES = {"front": ("fl", "fr"), "rear": ("rl", "rr")}
DIAGONALS = ({"fl", "rr"}, {"fr", "rl"})
BRAKED = ("light", "hard")
_COMMON = Source("C", "common practice")
_ENTERED = Source("maker", "maker's figure entered with the readings")

# --- rules ------------------------------------------------------------------------------------


def cooled_by(rise_k: float, seconds: float) -> float:
    """What a rise above the air loses while it stands, K; Newton's law of cooling.

    >>> round(cooled_by(100, 60), 1)
    9.5
    """
    return rise_k * (1 - math.exp(-seconds / COOLING_S))


def usual_difference_k(hotter_rise_k: float) -> float:
    """How far two sides of an axle usually differ at most, K.

    >>> usual_difference_k(60), usual_difference_k(300)
    (25.0, 45.0)
    """
    return max(SIDES_K, SIDES_SHARE * hotter_rise_k)


def power_w(torque_nm: Any, turns_a_second: Any) -> Any:
    """Power that a torque takes at a speed of turning: torque x angular speed, W.

    >>> round(power_w(10, 12), 0)
    754.0
    """
    return torque_nm * (2 * math.pi * turns_a_second)


# --- temperatures -----------------------------------------------------------------------------


def _air(readings: Readings, context: Context) -> UFloat | None:
    """Air beside the car, °C: as read, else as noted for the whole test."""
    from uncertainties import ufloat

    read = readings.uncertain("given.air")
    if read is None and context.ambient.temperature_c is not None:
        return ufloat(context.ambient.temperature_c, context.ambient.u_temperature_k)
    return read


def _temperatures(readings: Readings, context: Context) -> dict[str, UFloat]:
    """Of each wheel that was read, °C, with what the face may do to the reading."""
    from uncertainties import ufloat

    air = _air(readings, context)
    around = UNKNOWN_AIR_C if air is None else air.nominal_value
    share = rectangular(DOUBT[readings.given("tool") or UNTOLD_DOUBT])
    found = {}
    for row in readings.rows("wheels"):
        read: Any = row.uncertain("temperature")
        if read is not None:
            doubt = share * abs(read.nominal_value - around)
            found[row.code] = read + ufloat(0, doubt) if doubt else read
    return found


def _gap_s(readings: Readings) -> float:
    """Seconds between left and right of an axle, at most."""
    told: float | None = readings.given("gap")
    if told is not None:
        return told
    return UNTOLD_GAP_S if "minute" in readings.unticked else MINUTE_S


def _sides(
    readings: Readings, context: Context, celsius: Mapping[str, UFloat]
) -> tuple[list[Figure], list[VerdictOutcome]]:
    """Hotter less cooler side of each axle, and the hotter rise as a share of the cooler."""
    from uncertainties import ufloat

    figures: list[Figure] = []
    verdicts = []
    air = _air(readings, context)
    around = UNKNOWN_AIR_C if air is None else air.nominal_value
    for axle, pair in AXLES.items():
        known: list[Any] = [celsius[corner] for corner in pair if corner in celsius]
        if len(known) < len(pair):
            continue
        cool, hot = sorted(known, key=lambda one: one.nominal_value)
        rise = hot.nominal_value - around
        lost = rectangular(abs(cooled_by(rise, _gap_s(readings))))
        apart = hot - cool + (ufloat(0, lost) if lost else 0.0)
        figure = figure_of(
            f"sides_{axle}",
            f"{axle} axle, hotter less cooler side",
            "temperature_difference",
            apart,
        )
        usual = SIDES_K if air is None else usual_difference_k(rise)
        figures.append(figure)
        verdicts.append(judge_figure(PROCEDURE, figure, context, Span(None, usual, _COMMON)))
        figures.append(_share(axle, hot, cool, air))
    return figures, verdicts


def _share(axle: str, hot: Any, cool: Any, air: Any) -> Figure:
    key, label = f"share_{axle}", f"{axle} axle, hotter rise as a share of the cooler"
    if air is None:
        why = "the temperature of the air was not read"
        return Figure(key, label, "ratio", None, absent_because=why)
    least = cool - air
    if least.nominal_value <= 2 * least.std_dev:
        why = "the cooler side is hardly warmer than the air"
        return Figure(key, label, "ratio", None, absent_because=why)
    return figure_of(key, label, "ratio", 100 * (hot - air) / least)


def _rises(
    readings: Readings, context: Context, celsius: Mapping[str, UFloat]
) -> tuple[list[Figure], list[VerdictOutcome]]:
    """Each wheel above the air; judged after a drive without braking only."""
    air: Any = _air(readings, context)
    if air is None:
        return [], []
    figures = [
        figure_of(
            f"rise_{row.code}",
            f"{row.label}, above the air",
            "temperature_difference",
            celsius[row.code] - air,
        )
        for row in readings.rows("wheels")
        if row.code in celsius
    ]
    if readings.given("braked") != "none":
        return figures, []
    span = Span(None, UNBRAKED_K, _COMMON)
    return figures, [judge_figure(PROCEDURE, figure, context, span) for figure in figures]


# --- torque -----------------------------------------------------------------------------------


def _torques(readings: Readings, context: Context) -> tuple[list[Figure], list[VerdictOutcome]]:
    """Residual torque as read or from a force at a radius, and what it takes at a road speed."""
    figures: list[Figure] = []
    verdicts = []
    radius = readings.uncertain("given.radius")
    span = None
    if readings.given("most_torque") is not None:
        span = Span(None, readings.given("most_torque"), _ENTERED)
    for row in readings.rows("wheels"):
        torque, force = row.uncertain("torque"), row.uncertain("force")
        key, label = f"torque_{row.code}", f"{row.label}, residual torque"
        if torque is None and force is not None and radius is None:
            why = "the radius at which the force was pulled was not measured"
            figures.append(Figure(key, label, "torque", None, absent_because=why))
            continue
        if torque is None and force is not None and radius is not None:
            pulled: Any = force * radius / 1000
            torque = pulled
        if torque is None:
            continue
        figure = figure_of(key, label, "torque", torque)
        figures.append(figure)
        verdict = judge_figure(PROCEDURE, figure, context, span)
        if verdict.outcome != "no_limit":
            verdicts.append(verdict)
        figures.append(_power(row, torque, readings))
    return figures, verdicts


def _power(row: RowReadings, torque: UFloat, readings: Readings) -> Figure:
    key, label = f"power_{row.code}", f"{row.label}, power that it takes"
    turn = _circumference(readings)
    if turn is None:
        why = "neither the tyre's size nor how far it rolls in one turn is known"
        return Figure(key, label, "power", None, absent_because=why)
    turns = wheel_hz(readings.given("speed") or SPEED_KMH, turn)
    return figure_of(key, label, "power", power_w(torque, turns) / 1000)


def _circumference(readings: Readings) -> UFloat | None:
    """Distance of one turn, mm: measured, else from the marking."""
    return one_turn_mm(readings.uncertain("given.circumference"), str(readings.given("tyre") or ""))


# --- what was seen ----------------------------------------------------------------------------

Seen = dict[str, tuple[str, ...]]
"""Pattern -> wheels where it was seen, in the order of the declared patterns."""


def _drags(row: RowReadings) -> bool:
    return row.value("spin") in ("drags", "lets_go", "locks")


def _hotter(axle: str, celsius: Mapping[str, UFloat]) -> str:
    return max(AXLES[axle], key=lambda corner: celsius[corner].nominal_value)


def _seen(
    readings: Readings,
    celsius: Mapping[str, UFloat],
    verdicts: Sequence[VerdictOutcome],
) -> Seen:
    outside = {v.address.removeprefix("figure.") for v in verdicts if v.outcome == "outside"}
    rows = {row.code: row for row in readings.rows("wheels")}
    found: dict[str, set[str]] = {}

    def note(pattern: str, *where: str) -> None:
        found.setdefault(pattern, set()).update(where)

    if readings.given("danger") in ("heat", "smoke", "boiled"):
        note("too_hot")
    if readings.given("pedal") == "slow":
        note("pedal_not_back")
    warm = {corner for corner in rows if f"rise_{corner}" in outside}
    hot = {_hotter(axle, celsius) for axle in AXLES if f"sides_{axle}" in outside}
    for pair in AXLES.values():
        if all(_drags(rows[corner]) for corner in pair) or warm >= set(pair):
            note("both_sides", *pair)
    for corner in hot:
        note("one_side_hot", corner)
    for corner in warm - hot - found.get("both_sides", set()):
        note("hot_without_braking", corner)
    for corner, row in rows.items():
        tried = _tried(row)
        for pattern in tried:
            note(pattern, corner)
        by_hand = _drags(row) and row.value("spin") != "locks"
        if (by_hand and corner not in found.get("both_sides", ())) or f"torque_{corner}" in outside:
            note("drags", corner)
    return {
        pattern.code: tuple(corner for corner in rows if corner in found[pattern.code])
        for pattern in PROCEDURE.patterns
        if pattern.code in found
    }


def _tried(row: RowReadings) -> list[str]:
    """What hand and tool found at one wheel."""
    tests = {
        "locks": row.value("spin") == "locks",
        "turns_rough": row.value("spin") == "rough",
        "handbrake_holds": row.value("slack") == "frees",
        "frees_at_bleed": row.value("bled") == "frees",
        "stays_at_bleed": row.value("bled") == "stays",
        "slides_stiff": row.value("slides") in ("stiff", "seized"),
    }
    return [pattern for pattern, holds in tests.items() if holds]


def assess(readings: Readings, context: Context) -> Assessment:
    """Left against right by temperature, each wheel by hand, and what let it go."""
    celsius = _temperatures(readings, context)
    figures: list[Figure] = []
    verdicts = [v for v in judge(PROCEDURE, readings, context) if v.outcome != "no_limit"]
    for found in (
        _sides(readings, context, celsius),
        _rises(readings, context, celsius),
        _torques(readings, context),
    ):
        figures += found[0]
        verdicts += found[1]
    seen = _seen(readings, celsius, verdicts)
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
        confounders=_confounders(readings, context, celsius),
        tables=_tables(readings, figures, context),
        customer=_customer(lead, seen, readings, celsius, verdicts, context),
        technician=_technician(lead, seen, readings, celsius, figures, verdicts, context),
        chart=_chart(readings, figures, celsius),
    )


def _quiet(readings: Readings, verdicts: Sequence[VerdictOutcome]) -> str:
    """Nothing unusual: worth something only where both axles were compared after a known drive."""
    compared = {v.address for v in verdicts} >= {f"figure.sides_{axle}" for axle in AXLES}
    inside = all(verdict.outcome == "within" for verdict in verdicts)
    return "all_alike" if compared and inside and readings.given("braked") else "undecided"


def _confounders(readings: Readings, context: Context, celsius: Mapping[str, UFloat]) -> list[str]:
    driven, stood = readings.given("distance"), readings.given("since_stop")
    tool, braked = readings.given("tool"), readings.given("braked")
    rows = readings.rows("wheels")
    spun = [row for row in rows if row.value("spin") is not None]
    lifted = bool(spun) or any(row.get("force") or row.get("torque") for row in rows)
    checks = (
        ("read_apart", bool(celsius) and _gap_s(readings) > MINUTE_S),
        ("other_spots", bool(celsius) and "spot" in readings.unticked),
        ("shiny_face", bool(celsius) and tool in ("bare", None)),
        ("braked_before", bool(celsius) and braked in BRAKED),
        ("drive_unknown", bool(celsius) and (braked is None or driven is None)),
        ("short_drive", driven is not None and driven < SHORT_KM),
        ("cooled", stood is not None and stood > SOON_S),
        ("air_not_read", bool(celsius) and _air(readings, context) is None),
        ("not_spun", len(spun) < len(rows)),
        ("not_neutral", lifted and "neutral" in readings.unticked),
    )
    return [code for code, holds in checks if holds]


# --- words, table, chart ----------------------------------------------------------------------


def _degrees(value: float, context: Context) -> str:
    """A temperature to whole degrees: no disc is known better."""
    return show_value(value, "temperature", context.units, 0)


def _heats(
    where: Sequence[str],
    readings: Readings,
    celsius: Mapping[str, UFloat],
    context: Context,
) -> str:
    """ "front left 182 °C, front right 95 °C" for these wheels and those opposite them."""
    axles = [pair for pair in AXLES.values() if set(pair) & set(where)]
    wanted = {corner for pair in axles for corner in pair}
    return ", ".join(
        f"{row.label} {_degrees(celsius[row.code].nominal_value, context)}"
        for row in readings.rows("wheels")
        if row.code in wanted and row.code in celsius
    )


def _step(value: float, context: Context) -> str:
    """A difference for the customer, in degrees of the shop's scale."""
    unit = "°F" if context.units == "us" else "°C"
    return f"{convert_width(value, 'temperature', '°C', unit):.0f}\u00a0{unit}"


def _customer(
    lead: str,
    seen: Seen,
    readings: Readings,
    celsius: Mapping[str, UFloat],
    verdicts: Sequence[VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    rows = readings.rows("wheels")
    usual = {v.address.removeprefix("figure.sides_"): v.high for v in verdicts if v.high}
    said = []
    for code, where in seen.items():
        limits = [
            usual[axle] for axle, pair in AXLES.items() if axle in usual and set(pair) & set(where)
        ]
        said.append(
            PROCEDURE.say(
                f"customer.{code}",
                where=places(where, rows),
                heats=_heats(where, readings, celsius, context),
                usual=_step(max(limits, default=SIDES_K), context),
                unbraked=_step(UNBRAKED_K, context),
            )
        )
    if lead == "all_alike":
        everywhere = [row.code for row in rows]
        said.append(
            PROCEDURE.say(
                "customer.all_alike", heats=_heats(everywhere, readings, celsius, context)
            )
        )
        if any(row.value("spin") is None for row in rows):
            said.append(PROCEDURE.say("customer.not_spun"))
    elif lead == "undecided":
        said.append(PROCEDURE.say("customer.undecided"))
    if "one_side_hot" in seen and readings.given("braked") in BRAKED:
        said.append(PROCEDURE.say("customer.braked"))
    return said


def _technician(
    lead: str,
    seen: Seen,
    readings: Readings,
    celsius: Mapping[str, UFloat],
    figures: Sequence[Figure],
    verdicts: Sequence[VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    rows = readings.rows("wheels")
    told = []
    if not seen:
        told.append(PROCEDURE.say(f"next.{lead}"))
    told += [
        PROCEDURE.say(f"next.{code}", where=places(where, rows))
        for code, where in seen.items()
        if not _already_further(code, where, seen)
    ]
    for verdict in verdicts:
        if verdict.outcome in ("outside", "cannot_tell") and verdict.value is not None:
            told.append(
                PROCEDURE.say(
                    "judged",
                    what=at_head(verdict.label),
                    value=show(
                        verdict.value, verdict.u, verdict.quantity, context.units, digit=1.0
                    ),
                    words=verdict_words(verdict, context.units),
                )
            )
    told += _of_heat(seen, readings, celsius, verdicts)
    upstream = readings.given("upstream")
    if upstream in _UPSTREAM_NEXT:
        told.append(PROCEDURE.say(f"upstream.{upstream}"))
    told += _of_torque(figures, readings, context)
    return told


_LOCATED = (
    "locks", "both_sides", "handbrake_holds", "frees_at_bleed", "slides_stiff", "stays_at_bleed",
)  # fmt: skip


def _already_further(code: str, where: Sequence[str], seen: Seen) -> bool:
    """What it advises to try has been tried at these wheels."""
    done = {corner for one in _LOCATED for corner in seen.get(one, ())}
    if code in ("one_side_hot", "hot_without_braking"):
        done |= {*seen.get("drags", ()), *seen.get("turns_rough", ())}
    elif code != "drags":
        return False
    return bool(where) and set(where) <= done


def _of_heat(
    seen: Seen,
    readings: Readings,
    celsius: Mapping[str, UFloat],
    verdicts: Sequence[VerdictOutcome],
) -> list[Sentence]:
    """What the drive, the face and the layout of the circuits do to the picture."""
    told = []
    hot = set(seen.get("one_side_hot", ()))
    if hot and readings.given("braked") in BRAKED:
        told.append(PROCEDURE.say("braked_before"))
    if hot in DIAGONALS:
        told.append(PROCEDURE.say("diagonal"))
    if celsius and readings.given("tool") in ("bare", None):
        told.append(PROCEDURE.say("bare_face"))
    if readings.given("danger") == "smell":
        told.append(PROCEDURE.say("smell"))
    free = [row.code for row in readings.rows("wheels") if row.value("spin") == "free"]
    if hot & set(free):
        where = places(sorted(hot & set(free)), readings.rows("wheels"))
        told.append(PROCEDURE.say("hot_but_free", where=where))
    close = [v for v in verdicts if "sides" in v.address and v.outcome == "cannot_tell"]
    if close and not seen:
        told.append(PROCEDURE.say("too_close"))
    return told


def _of_torque(figures: Sequence[Figure], readings: Readings, context: Context) -> list[Sentence]:
    by_key = {figure.key: figure for figure in figures if figure.value is not None}
    told = []
    for row in readings.rows("wheels"):
        torque, power = by_key.get(f"torque_{row.code}"), by_key.get(f"power_{row.code}")
        if torque is None or torque.value is None:
            continue
        params = {
            "where": at_head(row.label),
            "torque": show(torque.value, torque.u, "torque", context.units, digit=0.1),
        }
        if power is None or power.value is None:
            if readings.given("most_torque") is None:
                told.append(PROCEDURE.say("torque", **params))
            continue
        speed = show_value(readings.given("speed") or SPEED_KMH, "speed", context.units, 0)
        watts = show(power.value, power.u, "power", digit=0.01)
        told.append(PROCEDURE.say("torque_power", **params, power=watts, speed=speed))
    return told


def _tables(readings: Readings, figures: Sequence[Figure], context: Context) -> tuple[Table, ...]:
    by_key = {figure.key: figure for figure in figures if figure.value is not None}
    cells = []
    for row in readings.rows("wheels"):
        read, rise = row.get("temperature"), by_key.get(f"rise_{row.code}")
        torque = by_key.get(f"torque_{row.code}")
        tried = [row.get(key) for key in ("spin", "bled", "slides", "slack")]
        labels = {"bled": "bled", "slides": "slides", "slack": "handbrake slack"}
        seen = [
            " ".join(part for part in (labels.get(one.address.split(".")[-1]), one.words) if part)
            for one in tried
            if one
        ]
        if not (read or torque or seen):
            continue
        cells.append(
            (
                row.label,
                read.understood if read else "",
                _difference(rise, context),
                "; ".join(seen),
                show(torque.value, torque.u, "torque", context.units, digit=0.1)
                if torque and torque.value is not None
                else "",
            )
        )
    if not cells:
        return ()
    head = ("wheel", "temperature", "above the air", "by hand", "residual torque")
    return (Table("Brake drag by wheel", head, tuple(cells)),)


def _difference(figure: Figure | None, context: Context) -> str:
    if figure is None or figure.value is None:
        return ""
    return show(figure.value, figure.u, figure.quantity, context.units, digit=1.0)


def _chart(
    readings: Readings, figures: Sequence[Figure], celsius: Mapping[str, UFloat]
) -> dict[str, Any]:
    """Each wheel as seen from above: its rise above the air, else its temperature."""
    rises = {f.key[-2:]: (f.value, f.u) for f in figures if f.key.startswith("rise_")}
    shown = rises or {c: (t.nominal_value, t.std_dev) for c, t in celsius.items()}
    known = {corner: (v, u) for corner, (v, u) in shown.items() if v is not None}
    if not known or min(value for value, _ in known.values()) < 0:
        return {}
    if max(value for value, _ in known.values()) == 0:
        return {}
    label = "above the air" if rises else "temperature"
    told, panels = [], []
    for row in readings.rows("wheels"):
        if row.code not in known:
            continue
        value, u = known[row.code]
        unit = "temperature_difference" if rises else "temperature"
        told.append(f"{row.label} {show_value(round(value), unit)}")
        panels.append(
            {
                "row": 0 if row.code in AXLES["front"] else 1,
                "side": 0 if row.code[1] == "l" else 1,
                "label": row.label,
                "low": None,
                "points": [{"label": label, "value": value, "u": u}],
            }
        )
    key = "chart.rises" if rises else "chart.temperatures"
    return {
        "kind": "corners",
        "title": PROCEDURE.say(key, told=", ".join(told)).text,
        "unit": f"{label}, {'K' if rises else '°C'}",
        "panels": panels,
    }


def _moved(readings: Readings) -> tuple[str, ...]:
    """Bleed screws, cables and pins that a trial has loosened."""
    left = []
    for row in readings.rows("wheels"):
        for key, words in (
            ("bled", "bleed screw opened"),
            ("slides", "calliper off its slides"),
            ("slack", "handbrake cable slackened"),
        ):
            if row.value(key) is not None:
                left.append(f"{words}, {row.label}")
    upstream = readings.given("upstream")
    return (*left, _UPSTREAM_APART[upstream]) if upstream in _UPSTREAM_APART else tuple(left)


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The box that would tell most now."""
    rows = {row.code: row for row in readings.rows("wheels")}
    if readings.given("danger") in ("heat", "smoke", "boiled"):
        return ()
    for corner, row in rows.items():
        if _drags(row) and row.value("bled") is None:
            address = f"wheels.{corner}.bled"
            return ((address, "Opening the bleed screw tells the hose side from the calliper."),)
    for corner, row in rows.items():
        if row.get("temperature") is None:
            return ((f"wheels.{corner}.temperature", "Left is held against right, on each axle."),)
    for corner, row in rows.items():
        if row.value("spin") is None:
            return ((f"wheels.{corner}.spin", "By hand tells a brake from a bearing."),)
    return ()


# --- the declaration --------------------------------------------------------------------------

_UPSTREAM_NEXT = ("pedal_up", "booster", "line", "nothing")
_UPSTREAM_APART = {
    "booster": "brake master cylinder eased off, or vacuum hose of the booster off",
    "line": "brake line opened at the master cylinder",
}

_NOT_SO_HOT = Driving(
    "do_not_drive",
    "A brake so hot can boil its fluid, lose the pedal, burst the tyre or catch fire. Let it cool "
    "where it stands; have it towed or repaired there.",
)
_NOT_LOCKED = Driving(
    "do_not_drive", "A wheel that does not turn can throw the car off its line. Have it carried."
)
_MAY_LOCK = Driving(
    "do_not_drive",
    "The pressure in these brakes does not let go; as they warm it grows, until wheels lock. Have "
    "it towed or repaired where it stands.",
)
_ONE_BINDS = Driving(
    "only_as_stated",
    "Only a short way to the repair, gently, without trailer or long descents; handbrake off, "
    "wheels chocked instead. Stop when it smells, smokes or pulls, and when the pedal changes.",
)
_BEARING = Driving(
    "only_as_stated",
    "Only a short way to the repair, at town speed; stop when the noise grows or the wheel gets "
    "hot.",
)


def _trial(key: str, label: str, choices: Mapping[str, str], help: str = "") -> Choice:
    return Choice(key=key, label=label, choices=choices, help=help, finer=True)


PROCEDURE = Procedure(
    name="brake_drag",
    title="Brake drag and temperatures",
    version=1,
    group="Brakes",
    purpose="Shows which brake does not let go: how hot it gets beside its neighbour after a "
    "drive, whether the wheel turns by hand, and on which side of hose, slides or cable it hangs.",
    proves_nothing_when="It was braked hard before the reading, left and right were read minutes "
    "apart or on unlike faces, or the car has cooled. How hard it brakes is not measured here.",
    cautions=(
        Caution(
            "Smoke, glow, or a pedal gone soft: stop, keep away, extinguisher.",
            "Do not pour water on it, do not set the handbrake, chock it. Tyres can burst from the "
            "heat: stand fore or aft, not beside.",
            "common practice",
            "customer",
        ),
        Caution(
            "Never touch to test for heat.",
            "Discs, drums, callipers and rims burn long after the stop. A thermometer, or the back "
            "of a hand held well away.",
            "common practice",
        ),
        Caution(
            "The drive: licensed, insured, agreed with the customer, on a quiet level road.",
            "Coast to the stop where no one is behind; test the pedal first at walking pace.",
            "common practice; local rules",
        ),
        Caution(
            "Rated stands before anyone is under it or a wheel is spun.",
            "Hard level ground, the maker's lifting points, other wheels chocked, never a jack "
            "alone.",
            "OSHA 29 CFR 1910.244(a)",
            from_memory=True,
        ),
        Caution(
            "Handbrake off and in neutral means that it can roll.",
            "Chocks before and behind the wheels on the ground.",
            "common practice",
        ),
        BRAKE_DUST,
        Caution(
            "Bleed screw: hose on it, catch the fluid, eyes covered, never on a hot brake.",
            "Fluid harms eyes and paint and burns on hot metal; rusty screws shear. Only the class "
            "on the cap goes back; bleed it, level, look for leaks.",
            "common practice",
        ),
        Caution(
            "Pump the pedal firm before the car moves.",
            "After a bleed screw, piston or pad was touched the first press goes to the floor.",
            "common practice",
        ),
        PARKING_BRAKE,
        Caution(
            "Do not let a calliper hang on its hose.",
            "Wire it up.",
            "common practice",
        ),
        WHEEL_NUTS,
        Caution(
            "Regenerative or electric brakes may build pressure by themselves.",
            "Switched off, key out of range, the maker's shut-down and wait before anything is "
            "opened; orange cables are left alone. These brakes stay cool and rust.",
            "UN R100; maker's instructions",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("minute", "Left and right of an axle read within a minute of each other."),
        Precondition("spot", "The same spot on both sides, dull or blackened where by infrared."),
        Precondition("neutral", "Spun on stands, in neutral, pedal and handbrake released."),
        Precondition("hubs", "Hubs cool enough to work at before a wheel came off."),
    ),
    effort=Effort(
        minutes=15,
        tools=(
            "infrared or contact thermometer",
            "rated stands and chocks",
            "bleed hose and jar",
            "spring balance",
            "torque wrench",
        ),
        state="driving",
        risk="Rusty bleed screws and slide pins may shear; tell the customer first.",
    ),
    given=(
        Choice(
            key="danger",
            label="Heat that is a danger",
            needed=True,
            chips=True,
            choices={
                "none": "none",
                "smell": "hot smell",
                "heat": "too hot to go near",
                "smoke": "smoke or glow",
                "boiled": "pedal gone soft",
            },
        ),
        Choice(
            key="braked",
            label="The drive before",
            needed=True,
            chips=True,
            choices={
                "none": "no braking, coasted to the stop",
                "light": "few gentle stops",
                "hard": "braked hard",
            },
            help="Without braking only a brake that drags gets hot.",
        ),
        Choice(
            key="tool",
            label="Read by",
            needed=True,
            chips=True,
            choices={
                "contact": "contact probe",
                "dull": "infrared, rusty or blackened spot",
                "bare": "infrared, bare metal",
            },
            help="Bare metal reads far too low. A spot of matt heat-proof paint cures it.",
        ),
        Quantity(
            key="distance",
            label="Driven",
            quantity="distance",
            needed=True,
            possible=(0.0, 2000.0),
            likely=(2.0, 100.0),
            origin="told",
        ),
        Quantity(
            key="air",
            label="Air beside the car",
            quantity="temperature",
            needed=True,
            possible=(-60.0, 60.0),
            likely=(-25.0, 45.0),
            instrument="thermometer",
        ),
        Quantity(
            key="since_stop",
            label="First reading after the stop",
            quantity="time",
            unit="min",
            possible=(0.0, 7200.0),
            likely=(0.0, 900.0),
            origin="told",
            finer=True,
        ),
        Quantity(
            key="gap",
            label="Left to right of an axle took",
            quantity="time",
            possible=(0.0, 3600.0),
            likely=(3.0, 180.0),
            origin="told",
            finer=True,
            help="The longer of the two axles. Left empty, a minute.",
        ),
        Choice(
            key="pedal",
            label="Pedal",
            chips=True,
            finer=True,
            choices={"returns": "comes back, with play", "slow": "stays down, slow or no play"},
        ),
        _trial(
            "upstream",
            "All of an axle lets go when",
            {
                "pedal_up": "the pedal is pulled up",
                "booster": "master eased off, or vacuum off",
                "line": "the line is opened at the master",
                "nothing": "none of these",
            },
            "In this order; the first that frees it names the place.",
        ),
        Quantity(
            key="radius",
            label="Radius of the pull",
            quantity="length",
            finer=True,
            possible=(30.0, 800.0),
            likely=(45.0, 450.0),
            instrument="tape",
            help="Hub centre to the string of the spring balance, square to the pull.",
        ),
        Quantity(
            key="most_torque",
            label="Maker's most residual torque",
            quantity="torque",
            finer=True,
            possible=(0.1, 200.0),
            likely=(1.0, 30.0),
            origin="told",
        ),
        Text(
            key="tyre",
            label="Tyre size",
            longest=30,
            origin="photo",
            finer=True,
            question=size_question,
            help="As on its side: 205/55 R16. For the power that a drag takes.",
        ),
        Quantity(
            key="circumference",
            label="Rolled in one turn, measured",
            quantity="length",
            finer=True,
            possible=(900.0, 4000.0),
            likely=(1500.0, 2600.0),
            instrument="tape",
        ),
        Quantity(
            key="speed",
            label="Power at this road speed",
            quantity="speed",
            finer=True,
            possible=(5.0, 250.0),
            likely=(30.0, 130.0),
            origin="told",
            help="Left empty, 80 km/h.",
        ),
    ),
    grids=(
        Grid(
            "wheels",
            "Wheels",
            OfCar("corners"),
            (
                Quantity(
                    key="temperature",
                    label="disc or drum",
                    quantity="temperature",
                    needed=True,
                    possible=(-60.0, 900.0),
                    likely=(0.0, 400.0),
                    instrument="thermometer",
                ),
                Choice(
                    key="spin",
                    label="by hand",
                    chips=True,
                    choices={
                        "free": "free, light rub",
                        "lets_go": "drags after the pedal, then free",
                        "drags": "drags",
                        "locks": "does not turn",
                        "rough": "rough or noisy",
                    },
                    help="Lifted, after the pedal was pressed and let go.",
                ),
                _trial(
                    "bled",
                    "bleed screw open",
                    {"frees": "lets go", "stays": "drags still"},
                    "Only one that drags, and cool.",
                ),
                _trial(
                    "slides",
                    "slide pins",
                    {"free": "free", "stiff": "stiff", "seized": "seized"},
                ),
                _trial(
                    "slack",
                    "handbrake cable slack",
                    {"frees": "lets go", "stays": "drags still"},
                ),
                Quantity(
                    key="force",
                    label="pull that keeps it turning",
                    quantity="force",
                    finer=True,
                    possible=(0.0, 3000.0),
                    likely=(0.0, 250.0),
                    instrument="spring_balance",
                    help="String round rim or tyre, pulled slowly and evenly.",
                ),
                Quantity(
                    key="torque",
                    label="torque that keeps it turning",
                    quantity="torque",
                    finer=True,
                    possible=(0.0, 500.0),
                    likely=(0.0, 60.0),
                    instrument="torque_wrench",
                    help="At the hub, instead of the pull.",
                ),
            ),
            help="Hotter side first, its opposite within a minute.",
        ),
    ),
    handling_u={"temperature": 2.0, "air": 1.0, "force": 3.0, "torque": 0.5, "radius": 3.0},
    maker_figures={
        "sides_front": ("Difference of the sides, front axle", "temperature_difference"),
        "sides_rear": ("Difference of the sides, rear axle", "temperature_difference"),
        "torque_fl": ("Residual torque, front left", "torque"),
        "torque_fr": ("Residual torque, front right", "torque"),
        "torque_rl": ("Residual torque, rear left", "torque"),
        "torque_rr": ("Residual torque, rear right", "torque"),
    },
    compares=("rise_*", "sides_*", "torque_*"),
    comparable={"braked": (0.0, 0.0), "tool": (0.0, 0.0), "distance": (2.0, 0.5)},
    patterns=(
        Pattern("too_hot", "a brake hot beyond use", direct=True, driving=_NOT_SO_HOT),
        Pattern("locks", "a wheel does not turn", direct=True, driving=_NOT_LOCKED),
        Pattern("pedal_not_back", "the pedal does not come back", direct=True, driving=_MAY_LOCK),
        Pattern("both_sides", "both sides of an axle drag or are hot", driving=_MAY_LOCK),
        Pattern(
            "handbrake_holds",
            "lets go when the handbrake's cable is slack",
            direct=True,
            driving=_ONE_BINDS,
        ),
        Pattern(
            "frees_at_bleed",
            "lets go when the bleed screw is opened",
            direct=True,
            driving=_ONE_BINDS,
        ),
        Pattern("slides_stiff", "slide pins stiff or seized", direct=True, driving=_ONE_BINDS),
        Pattern(
            "stays_at_bleed",
            "drags still with the bleed screw open",
            direct=True,
            driving=_ONE_BINDS,
        ),
        Pattern("one_side_hot", "one side hotter than the other", driving=_ONE_BINDS),
        Pattern("hot_without_braking", "hot after a drive without braking", driving=_ONE_BINDS),
        Pattern("drags", "drags by hand", direct=True, driving=_ONE_BINDS),
        Pattern("turns_rough", "turns rough or noisy by hand", direct=True, driving=_BEARING),
        Pattern("all_alike", "sides alike, nothing drags", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "read_apart",
            "Left and right were not known to be read within a minute: the later one has cooled.",
            0.5,
        ),
        Confounder("other_spots", "Not known whether the same spot was read on both sides.", 0.6),
        Confounder(
            "shiny_face",
            "Bare metal by infrared, or the way of reading not noted: it reads far too low, and "
            "unlike on unlike faces.",
            0.5,
        ),
        Confounder(
            "braked_before",
            "It was braked before: the cooler side may be the one that does not brake.",
            0.4,
        ),
        Confounder("drive_unknown", "How far and how it was driven is not noted.", 0.6),
        Confounder(
            "short_drive",
            "The drive was short: a brake that drags a little had no time to get hot.",
            0.4,
            only_sound=True,
        ),
        Confounder(
            "cooled",
            "Read late after the stop: the sides draw together as they cool.",
            0.5,
            only_sound=True,
        ),
        Confounder(
            "air_not_read", "The air was not read: no rise above it is known.", 0.8, only_sound=True
        ),
        Confounder("not_spun", "Not every wheel was turned by hand.", 0.7, only_sound=True),
        Confounder(
            "not_neutral",
            "Not known whether it was in neutral with pedal and handbrake released: the drive "
            "drags too.",
            0.5,
        ),
    ),
    needs_before=("look_over", "tyres"),
    leaves_apart=("wheel off",),
    moved=_moved,
    evidence_group="brakes",
    formulas=(
        Formula(
            "sides_*",
            "hotter less cooler side of the axle, K; in its doubt also what a disc loses between "
            "the two readings: rise x (1 − e^(−time / 600 s))",
            "Newton's law of cooling; JCGM 100:2008, 5.1.2",
        ),
        Formula("share_*", "(hotter side − air) / (cooler side − air) x 100 %"),
        Formula("rise_*", "disc or drum − air, K"),
        Formula("torque_*", "force x radius, or as read at the hub, N·m"),
        Formula(
            "power_*",
            "torque x 2π x road speed / distance rolled in one turn, in kW; as if the drag stayed "
            "what it is by hand",
        ),
    ),
    example={
        "ready.minute": "yes",
        "ready.spot": "yes",
        "ready.neutral": "yes",
        "ready.hubs": "yes",
        "given.danger": "smell",
        "given.braked": "none",
        "given.tool": "dull",
        "given.distance": "12 km",
        "given.air": "18 °C",
        "wheels.fl.temperature": "42 °C",
        "wheels.fl.spin": "free",
        "wheels.fr.temperature": "164 °C",
        "wheels.fr.spin": "drags",
        "wheels.rl.temperature": "31 °C",
        "wheels.rl.spin": "free",
        "wheels.rr.temperature": "33 °C",
        "wheels.rr.spin": "free",
    },
    next_step=_next_step,
    assess=assess,
    sentences={
        # customer
        "customer.too_hot": "A brake is so hot that it is a danger. The car should not be driven: "
        "the fluid can boil and the pedal lose its effect.",
        "customer.locks": "{where}: the wheel does not turn by hand with the brakes released. The "
        "car should not be driven.",
        "customer.pedal_not_back": "The brake pedal does not come back as it should, so that the "
        "brakes stay on. The car should not be driven.",
        "customer.both_sides": "{where}: both brakes of the axle do not let go. They can get so "
        "hot that the wheels lock; the car should not be driven.",
        "customer.handbrake_holds": "{where}: the handbrake holds on although it is released.",
        "customer.frees_at_bleed": "{where}: pressure stays in the brake after the pedal is let "
        "go, so that it drags.",
        "customer.slides_stiff": "{where}: the brake is stiff on its slides, so that it does not "
        "let go evenly.",
        "customer.stays_at_bleed": "{where}: the brake drags even without pressure in it.",
        "customer.one_side_hot": "{where}: hotter than the other side after the drive ({heats}). "
        "Up to {usual} of difference are usual.",
        "customer.hot_without_braking": "{where}: hot after a drive without braking ({heats}). "
        "More than {unbraked} above the air is unusual.",
        "customer.drags": "{where}: the wheel is hard to turn by hand with the brakes released.",
        "customer.turns_rough": "{where}: the wheel turns rough or noisily by hand.",
        "customer.all_alike": "After the drive the brakes were alike on both sides: {heats}. "
        "Nothing dragged in what was tried.",
        "customer.not_spun": "Not every wheel was turned by hand.",
        "customer.braked": "It was braked during that drive, so it may also be the cooler side "
        "that does too little; this is looked into.",
        "customer.undecided": "The readings do not show yet whether a brake drags.",
        # technician
        "next.too_hot": "Hot beyond use: let it stand, chocked, handbrake off. Cold: wheel by "
        "hand, bleed screw, slides. Then fluid by its boiling point, linings glazed, tyre and "
        "bearing grease looked at.",
        "next.locks": "{where}: in neutral, handbrake off? Bleed screw first, then handbrake "
        "cable, then drum or calliper. It may be the drive or a bearing.",
        "next.pedal_not_back": "Pedal stays down: pivot, spring, lamp switch set too far in, "
        "floor mat; push rod without play; then booster, then master cylinder.",
        "next.both_sides": "{where}: both sides, so above the hoses. Pedal pulled up; master eased "
        "off the booster or vacuum off; line opened at the master: what frees it names the place. "
        "Rear: handbrake, load valve. Wrong fluid swells seals.",
        "next.handbrake_holds": "{where}: cable sticks, lever or motor does not go home, or set "
        "too tight. Left against right.",
        "next.frees_at_bleed": "{where}: pressure is shut in. Open the line above the hose next: "
        "lets go there, then higher up (block, master); only at the screw, then the hose. Hoses of "
        "an axle together.",
        "next.slides_stiff": "{where}: pins out, clean, the maker's grease, boots; pads free in "
        "their guides.",
        "next.stays_at_bleed": "{where}: no pressure, still drags: slides, pads rusted in their "
        "guides, piston, in a drum springs and adjuster, handbrake. Calliper off: does the bearing "
        "drag?",
        "next.one_side_hot": "{where}: hotter. Lift it, by hand, then bleed screw, slides, cable, "
        "in this order. Free by hand: bearing, or a drag that comes only hot: drive again.",
        "next.hot_without_braking": "{where}: hot without braking. By hand, then bleed screw, "
        "slides, cable.",
        "next.drags": "{where}: open the bleed screw while it drags: lets go: hose or above; "
        "drags still: slides, piston, shoes, cable.",
        "next.turns_rough": "{where}: wheel bearing, plate against the disc, a stone. Calliper "
        "off, turn again; play at the rim.",
        "next.all_alike": "Sides alike. A drag that comes only after many stops needs such a "
        "drive: then by hand at once, while it is hot.",
        "next.undecided": "All four read after a drive without braking, left and right within a "
        "minute, then each wheel by hand.",
        "judged": "{what}: {value}: {words}.",
        "braked_before": "Braked before: hotter may be the one that works, cooler the one that "
        "does not. Drive again without braking, or a brake tester.",
        "diagonal": "Hot on a diagonal: brakes piped crosswise share a circuit. Master cylinder "
        "and block before either wheel.",
        "bare_face": "Bare metal by infrared reads far too low and unlike: a spot of matt paint, a "
        "rusty edge or a contact probe on both sides.",
        "smell": "Hot smell: drive no further than needed, extinguisher at hand.",
        "hot_but_free": "{where}: hot and yet free by hand: it let go as it cooled or as it was "
        "lifted; bearing, or try it hot.",
        "too_close": "Sides too close to what is usual to tell: longer drive without braking, same "
        "dull spot, contact probe, both within the minute.",
        "upstream.pedal_up": "Lets go with the pedal pulled up: pedal pivot, spring, lamp switch, "
        "mat.",
        "upstream.booster": "Lets go with the master eased off or the vacuum off: push rod set too "
        "long, or the booster's valve.",
        "upstream.line": "Lets go with the line opened at the master: return port of the master "
        "shut, swollen seals. Hydraulic unit opened by its maker's way only.",
        "upstream.nothing": "None of pedal, booster and master frees it: hydraulic unit, hoses, or "
        "the brakes themselves on both sides.",
        "torque": "{where}: residual torque {torque}. Only the maker's figure or the other side "
        "says whether it is much.",
        "torque_power": "{where}: residual torque {torque}; at {speed} that takes {power} and "
        "turns it to heat.",
        # chart
        "chart.rises": "Brakes above the air: {told}.",
        "chart.temperatures": "Brakes by wheel: {told}.",
    },
)
