"""Charging over engine speed and load: whether the voltage holds, and where it is lost if not.

Method: volts at battery posts and B+ stud at the same working points, amperes by clamp. Windows,
drops and ripple are common practice; slopes with temperature from a published engine manual and
battery texts. The maker's data go before all of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.cautions import BATTERY_LEAD, BELTS_AND_FANS
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Conditions,
    Confounder,
    Driving,
    Effort,
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

if TYPE_CHECKING:
    pass

_PRACTICE = Source("C", "common practice")
_PRACTICE_T = Source("C", "common practice, moved with the regulator's temperature")
_ENTERED = Source("maker", "set point entered from the maker's data")
_LOADED_ENTERED = Source("C", "common practice under load, its top by the maker's set point")
_REQUEST = Source(
    "C", "within 0.3 V of the voltage that the control unit asks for, common practice"
)

WINDOW_V = (13.8, 14.8)
COLD_WINDOW_V = (13.5, 15.0)
WINDOW_AT_C = 25.0
COLD_BELOW_C = 15.0
SLOPE_UP_V_PER_K = 0.018
SLOPE_DOWN_V_PER_K = 0.010
LOADED_LEAST_V = 13.0
FOLLOWS_WITHIN_V = 0.30
LOW_REQUEST_V = 13.2
JUMP_V = 0.5
RIPPLE_MOST_V = 0.5
FEED_DROP_MOST_V = 0.30
GROUND_DROP_MOST_V = 0.20
ENOUGH_OF_RATED = 0.5
RUNNING_RPM = 300.0
SAME_SPEED_RPM = 150.0

# --- limits -----------------------------------------------------------------------------------


def window(
    ref_v: float, tolerance_v: float, ref_c: float, slope_v_per_k: float, temp_c: float
) -> tuple[float, float]:
    """Charging window, volt, of a regulator whose set point falls with its own temperature, °C.

    V = ref + slope · (T − T_ref) ± tolerance; e.g. an engine maker's manual: 14.4 ± 0.3 V at 20 °C,
    −10 mV/K.

    >>> [round(v, 2) for v in window(14.4, 0.3, 20, -0.01, 60)]
    [13.7, 14.3]
    """
    middle = ref_v + slope_v_per_k * (temp_c - ref_c)
    return middle - tolerance_v, middle + tolerance_v


def usual_window(temp_c: float | None, cold_start: bool) -> tuple[float, float]:
    """The common window for 12 volt, volt; temperature only ever widens it.

    Below 25 °C the top rises by 18 mV/K (battery texts), above it the foot falls by 10 mV/K (an
    engine maker's manual); without a temperature a cold start has the wider common window.

    >>> [round(v, 2) for v in usual_window(-10, True)]
    [13.5, 15.43]
    """
    if temp_c is None:
        return COLD_WINDOW_V if cold_start else WINDOW_V
    low = COLD_WINDOW_V[0] if temp_c < COLD_BELOW_C else WINDOW_V[0]
    low -= SLOPE_DOWN_V_PER_K * max(0.0, temp_c - WINDOW_AT_C)
    return low, WINDOW_V[1] + SLOPE_UP_V_PER_K * max(0.0, WINDOW_AT_C - temp_c)


def _regulator_window(readings: Readings, context: Context) -> Span:
    """The maker's set point where it was entered, else the common window for the system voltage."""
    temp_c = readings.given("regulator_temp")
    ref_v, tolerance_v = readings.given("setpoint"), readings.given("setpoint_tolerance")
    if ref_v is not None and tolerance_v is not None:
        slope = readings.given("slope") or 0.0
        ref_c = readings.given("setpoint_temp")
        shift_k = temp_c - ref_c if temp_c is not None and ref_c is not None else 0.0
        low, high = window(ref_v, tolerance_v, 0.0, slope, shift_k)
        return Span(low, high, _ENTERED)
    times = context.car.volts / 12
    low, high = usual_window(temp_c, context.state_of_car == "cold")
    return Span(low * times, high * times, _PRACTICE if temp_c is None else _PRACTICE_T)


def _runs(row: RowReadings) -> bool:
    rpm = row.value("rpm")
    return bool(rpm is not None and rpm >= RUNNING_RPM)


def _heavy(row: RowReadings) -> bool:
    return row.value("loads") == "heavy"


def _battery_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    if row is None or not _runs(row):
        return None
    if readings.given("requested") is not None:
        return None
    span = _regulator_window(readings, context)
    if _heavy(row):
        least = LOADED_LEAST_V * context.car.volts / 12
        source = _LOADED_ENTERED if span.source is _ENTERED else span.source
        return Span(min(least, span.low or least), span.high, source)
    return span


def _stud_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    requested = readings.given("requested")
    if row is None or not _runs(row) or requested is None:
        return None
    return Span(requested - FOLLOWS_WITHIN_V, requested + FOLLOWS_WITHIN_V, _REQUEST)


def _drop_limit(most_v: float) -> Any:
    def limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
        return Span(None, most_v, _PRACTICE) if context.car.volts == 12 else None

    return limit


def _volts_range(context: Context) -> tuple[float, float]:
    return (-1.0, 20.0 * max(1.0, context.car.volts / 12))


def _volts_likely(context: Context) -> tuple[float, float]:
    return (9.0 * context.car.volts / 12, 16.0 * context.car.volts / 12)


def _not_for(context: Context) -> str:
    if context.car.high_voltage:
        return (
            "a converter, not an alternator, feeds the low-voltage side of a car with a "
            "high-voltage or 48 volt system."
        )
    return ""


# --- reasoning --------------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """Everything that was seen, the leading pattern first."""
    verdicts = list(judge(PROCEDURE, readings, context))
    loaded = _loaded_point(readings)
    figures = _figures(readings, loaded)
    for figure in figures:
        if figure.key == "feed_drop_at_rated":
            verdicts.append(
                judge_figure(
                    PROCEDURE,
                    figure,
                    context,
                    _drop_limit(FEED_DROP_MOST_V)(context, readings, None),
                )
            )
        if figure.key == "ground_drop_at_rated":
            verdicts.append(
                judge_figure(
                    PROCEDURE,
                    figure,
                    context,
                    _drop_limit(GROUND_DROP_MOST_V)(context, readings, None),
                )
            )
    by_address = {verdict.address: verdict for verdict in verdicts}
    enough = _loaded_enough(readings, loaded)
    confounders = []
    if not enough:
        confounders.append("not_loaded")
    if readings.given("regulator_temp") is None:
        confounders.append("temperature_unknown")
    gap_fault = _four_points_disagree(readings, figures)
    if gap_fault:
        confounders.append("points_disagree")

    seen = _seen(readings, context, by_address, figures, loaded, enough)
    if seen:
        pattern, where = seen[0]
        also = [Also(code, rows) for code, rows in seen[1:]]
    else:
        pattern, where, also = _quiet(readings, by_address, loaded, enough), (), []
    customer, technician = _words(
        pattern, readings, context, by_address, figures, loaded, enough, also
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
        chart=_chart(readings, context),
    )


def _running(readings: Readings) -> list[RowReadings]:
    """Points with the engine running at which something was read at the battery or the stud."""
    return [
        row
        for row in readings.rows("points")
        if _runs(row)
        and (row.uncertain("battery_v") is not None or row.uncertain("stud_v") is not None)
    ]


def _loaded_point(readings: Readings) -> RowReadings | None:
    """The running point with heavy loads; of several the one with most current."""
    heavy = [row for row in _running(readings) if _heavy(row)]
    return max(heavy, key=lambda row: row.value("current") or 0.0) if heavy else None


def _loaded_enough(readings: Readings, loaded: RowReadings | None) -> bool:
    """At least half of the rated current was measured with the loads on."""
    rated = readings.given("rated")
    current = loaded.value("current") if loaded else None
    return bool(rated and current is not None and current >= ENOUGH_OF_RATED * rated)


def _figures(readings: Readings, loaded: RowReadings | None) -> list[Figure]:
    figures: list[Figure] = []
    rows = {row.code: row for row in readings.rows("points")}
    rest, idle = rows["off"].uncertain("battery_v"), rows["idle"].uncertain("battery_v")
    if rest is not None and idle is not None:
        figures.append(figure_of("rise", "rise from rest to idle", "voltage", idle - rest))
    point = _gap_point(readings, loaded)
    if point is not None:
        stud, battery = point.uncertain("stud_v"), point.uncertain("battery_v")
        if stud is not None and battery is not None:
            figures.append(figure_of("gap", "B+ stud less battery", "voltage", stud - battery))
    rated = readings.given("rated")
    current = loaded.uncertain("current") if loaded else None
    for key, label in (
        ("feed_drop", "drop from B+ to battery +"),
        ("ground_drop", "drop from case to battery −"),
    ):
        drop = readings.uncertain(f"given.{key}")
        if drop is None:
            continue
        if rated and current is not None and current.nominal_value > 0:
            size = drop if drop.nominal_value >= 0 else -drop
            figures.append(
                figure_of(
                    f"{key}_at_rated",
                    f"{label} at rated current",
                    "voltage",
                    size / current * rated,
                )
            )
        else:
            figures.append(
                Figure(
                    f"{key}_at_rated",
                    f"{label} at rated current",
                    "voltage",
                    None,
                    absent_because="current with loads on or rating not entered",
                )
            )
    return figures


def _gap_point(readings: Readings, loaded: RowReadings | None) -> RowReadings | None:
    """The point at which stud and battery were both read, the loaded one first."""
    both = [
        row
        for row in _running(readings)
        if row.uncertain("stud_v") is not None and row.uncertain("battery_v") is not None
    ]
    if loaded is not None and any(row.code == loaded.code for row in both):
        return loaded
    return both[-1] if both else None


def _four_points_disagree(readings: Readings, figures: list[Figure]) -> bool:
    """B+ less battery should equal the two drops; more than doubt and 0.1 V apart is said."""
    gap = next((figure for figure in figures if figure.key == "gap"), None)
    feed, ground = readings.uncertain("given.feed_drop"), readings.uncertain("given.ground_drop")
    if gap is None or gap.value is None or feed is None or ground is None:
        return False
    rest = gap.value - feed.nominal_value - ground.nominal_value
    u = (gap.u**2 + feed.std_dev**2 + ground.std_dev**2) ** 0.5
    return abs(rest) > max(2 * u, 0.1)


def _side(verdict: VerdictOutcome | None) -> str:
    """ "below", "above", or "" when it isn't outside."""
    if verdict is None or verdict.outcome != "outside" or verdict.value is None:
        return ""
    if verdict.low is not None and verdict.value < verdict.low:
        return "below"
    return "above"


def _seen(
    readings: Readings,
    context: Context,
    by_address: dict[str, VerdictOutcome],
    figures: list[Figure],
    loaded: RowReadings | None,
    enough: bool,
) -> list[tuple[str, tuple[str, ...]]]:
    """What is unusual, with the points at which it shows; the most direct first."""
    seen: list[tuple[str, tuple[str, ...]]] = []
    running = _running(readings)
    if readings.given("belt_slip"):
        seen.append(("belt_seen_slipping", ()))
    above = tuple(
        row.code for row in running if _side(by_address.get(row.address("battery_v"))) == "above"
    )
    if above and readings.given("lasted"):
        seen.append(("above_window", above))
    seen += _lost(readings, by_address, figures, loaded, enough)
    ripple = tuple(
        row.code for row in running if _side(by_address.get(row.address("ripple"))) == "above"
    )
    if ripple:
        seen.append(("ripple_high", ripple))
    if readings.given("requested") is not None:
        return seen + _against_request(readings, by_address, running)
    lost = any(code.startswith("lost_") for code, _ in seen)
    return seen if lost else seen + _over_points(by_address, running, context)


def _lost(
    readings: Readings,
    by_address: dict[str, VerdictOutcome],
    figures: list[Figure],
    loaded: RowReadings | None,
    enough: bool,
) -> list[tuple[str, tuple[str, ...]]]:
    """Losses between alternator and battery, concluded only with enough current."""
    if not enough or loaded is None:
        return []
    lost: list[tuple[str, tuple[str, ...]]] = []
    for key, code in (("feed_drop", "lost_in_feed"), ("ground_drop", "lost_in_ground")):
        for address in (f"given.{key}", f"figure.{key}_at_rated"):
            verdict = by_address.get(address)
            if verdict is not None and verdict.outcome == "outside":
                lost.append((code, (loaded.code,)))
                break
    gap = next((figure for figure in figures if figure.key == "gap"), None)
    if not lost and gap is not None and gap.value is not None:
        divided = (
            readings.given("feed_drop") is not None and readings.given("ground_drop") is not None
        )
        if not divided and gap.value - 2 * gap.u > FEED_DROP_MOST_V + GROUND_DROP_MOST_V:
            lost.append(("low_at_battery_full_at_stud", (loaded.code,)))
    return lost


def _against_request(
    readings: Readings, by_address: dict[str, VerdictOutcome], running: list[RowReadings]
) -> list[tuple[str, tuple[str, ...]]]:
    judged = [
        (row.code, by_address[row.address("stud_v")])
        for row in running
        if row.address("stud_v") in by_address
    ]
    off = tuple(code for code, verdict in judged if verdict.outcome == "outside")
    if off:
        return [("not_following_request", off)]
    requested = readings.given("requested")
    if judged and requested < LOW_REQUEST_V and all(v.outcome == "within" for _, v in judged):
        return [("follows_low_request", tuple(code for code, _ in judged))]
    return []


def _over_points(
    by_address: dict[str, VerdictOutcome], running: list[RowReadings], context: Context
) -> list[tuple[str, tuple[str, ...]]]:
    """What speed and load do to the battery's voltage; low at light load alone is no finding."""
    read = [row for row in running if row.uncertain("battery_v") is not None]
    low = [row for row in read if _side(by_address.get(row.address("battery_v"))) == "below"]
    if not low:
        return []
    codes = tuple(row.code for row in low)
    # A reading in doubt is neither low nor full, and nothing is built on it.
    full = [row for row in read if by_address[row.address("battery_v")].outcome == "within"]
    for before in (row for row in low if not _heavy(row)):
        for after in full:
            if after.value("battery_v") - before.value("battery_v") < JUMP_V:
                continue
            faster = after.value("rpm") > before.value("rpm") + SAME_SPEED_RPM
            more_load = _load_rank(after) > _load_rank(before)
            if more_load and not faster:
                return [("low_until_called", codes)]
            if faster and not more_load:
                return [("rises_only_when_revved", codes)]
            if faster and more_load:
                return [("low_first_full_later", codes)]
    if any(_heavy(row) for row in low) and any(not _heavy(row) for row in full):
        return [("falls_under_load", tuple(row.code for row in low if _heavy(row)))]
    if len(low) == len(read) and any(_heavy(row) for row in low):
        return [("low_everywhere", codes)]
    return []


def _load_rank(row: RowReadings) -> int:
    return ("off", "some", "heavy").index(str(row.value("loads") or "off"))


def _quiet(
    readings: Readings,
    by_address: dict[str, VerdictOutcome],
    loaded: RowReadings | None,
    enough: bool,
) -> str:
    """Nothing unusual is shown: is that worth something?"""
    judged = [verdict for verdict in by_address.values() if verdict.outcome != "no_limit"]
    if not judged or any(verdict.outcome != "within" for verdict in judged):
        return "undecided"
    if not enough:
        return "not_loaded_enough"
    held = loaded is not None and loaded.uncertain("battery_v") is not None
    return "sound" if held else "undecided"


# --- words ------------------------------------------------------------------------------------


def _volts(value: float) -> str:
    return units.show_value(value, "voltage", places=2, unit="V")


def _words(
    pattern: str,
    readings: Readings,
    context: Context,
    by_address: dict[str, VerdictOutcome],
    figures: list[Figure],
    loaded: RowReadings | None,
    enough: bool,
    also: list[Also],
) -> tuple[tuple[Sentence, ...], tuple[Sentence, ...]]:
    say = PROCEDURE.say
    span = _regulator_window(readings, context)
    low, high = _volts(span.low or 0.0), _volts(span.high or 0.0)
    gap = next((figure.value for figure in figures if figure.key == "gap"), None)
    params: dict[str, str] = {}
    if pattern == "lost_in_feed":
        params = {"drop": _volts(abs(_drop_shown("feed_drop", readings, by_address)))}
    elif pattern == "lost_in_ground":
        params = {"drop": _volts(abs(_drop_shown("ground_drop", readings, by_address)))}
    elif pattern == "low_at_battery_full_at_stud":
        params = {"drop": _volts(gap or 0.0)}
    elif pattern in ("not_following_request", "follows_low_request"):
        params = {
            "requested": _volts(readings.given("requested")),
            "stud": _volts(_representative(readings, "stud_v")),
        }
    elif pattern == "above_window":
        highest = max(
            v.value or 0.0
            for v in by_address.values()
            if v.address.endswith("battery_v") and _side(v) == "above"
        )
        params = {"volts": _volts(highest), "high": high}
    elif pattern == "ripple_high":
        most = max(
            v.value or 0.0
            for v in by_address.values()
            if v.address.endswith("ripple") and _side(v) == "above"
        )
        params = {"ripple": units.show_value(most, "voltage", places=0, unit="mV")}
    elif pattern == "sound" and loaded is not None:
        params = {
            "volts": _volts(loaded.value("battery_v") or 0.0),
            "current": units.show_value(
                loaded.value("current") or 0.0, "current", places=0, unit="A"
            ),
        }
    elif pattern in _LOW_PATTERNS:
        numbers = [
            row.value("battery_v")
            for row in _running(readings)
            if row.value("battery_v") is not None
        ]
        params = {"least": _volts(min(numbers)), "most": _volts(max(numbers)), "low": low}
    customer = [say("customer." + pattern, **params)]
    technician = [say("technician." + pattern, **params)]
    if pattern == "sound" and readings.given("requested") is None:
        technician.append(say("technician.window", low=low, high=high))
    if pattern not in ("sound", "not_loaded_enough", "undecided"):
        technician.append(say("technician.one_fault_clears_nothing"))
        customer.append(say("customer.then_repeat"))
    for item in also:
        technician.append(say("technician.also", seen=PROCEDURE.pattern(item.pattern).label))
    if not enough and pattern != "not_loaded_enough":
        technician.append(say("technician.load_missing"))
    small = [
        v
        for v in by_address.values()
        if v.address in ("given.feed_drop", "given.ground_drop") and v.outcome == "outside"
    ]
    if small and not enough:
        technician.append(say("technician.drop_at_small_current"))
    if not readings.given("lasted") and any(
        _side(v) == "above" and v.address.endswith("battery_v") for v in by_address.values()
    ):
        technician.append(say("technician.watch_above"))
    if any(v.outcome == "cannot_tell" for v in by_address.values()):
        technician.append(say("technician.close"))
    return tuple(customer), tuple(technician)


_LOW_PATTERNS = (
    "low_until_called",
    "rises_only_when_revved",
    "low_first_full_later",
    "falls_under_load",
    "low_everywhere",
)


def _drop_shown(key: str, readings: Readings, by_address: dict[str, VerdictOutcome]) -> float:
    """The measured drop; the one at rated current if only that is outside."""
    measured = by_address.get(f"given.{key}")
    if measured is not None and measured.outcome == "outside":
        return measured.value or 0.0
    return by_address[f"figure.{key}_at_rated"].value or 0.0


def _representative(readings: Readings, column: str) -> float:
    """The reading of the most loaded point, else of the last running one."""
    numbers = [
        (_load_rank(row), row.value("rpm"), row.value(column))
        for row in _running(readings)
        if row.value(column) is not None
    ]
    return max(numbers)[2] if numbers else 0.0


def _chart(readings: Readings, context: Context) -> dict[str, Any]:
    """Volts over engine speed, battery and stud, with the window."""
    series = []
    told = []
    for column, label in (("battery_v", "battery"), ("stud_v", "B+ stud")):
        points = []
        for row in _running(readings):
            value, rpm = row.uncertain(column), row.value("rpm")
            if value is not None:
                reading = row.get(column)
                points.append([float(rpm), value.nominal_value, reading.u if reading else 0.0])
                told.append(f"{label} {_volts(value.nominal_value)} at {row.label}")
        if points:
            series.append({"label": label, "points": sorted(points)})
    if not series:
        return {}
    say = PROCEDURE.say
    limits: list[dict[str, Any]] = []
    title = say("chart.volts", told="; ".join(told)).text
    requested = readings.given("requested")
    if requested is not None:
        title += " " + say("chart.requested", requested=_volts(requested)).text
    else:
        span = _regulator_window(readings, context)
        low, high = span.low or 0.0, span.high or 0.0
        whose = "maker" if span.source.tag == "maker" else "usual"
        limits = [
            {
                "label": say("chart.top_" + whose, volts=_volts(high)).text,
                "value": high,
                "beyond": "above",
            },
            {
                "label": say("chart.foot_" + whose, volts=_volts(low)).text,
                "value": low,
                "beyond": "below",
            },
        ]
        title += " " + say("chart.window_" + whose, low=_volts(low), high=_volts(high)).text
    return {
        "kind": "lines",
        "title": title,
        "x": {"label": "engine speed", "unit": "rpm"},
        "y": {"label": "volts", "unit": "", "from_zero": False},
        "series": series,
        "limits": limits,
        "note": "",
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The reading that would tell most now, with the reason."""
    loaded = _loaded_point(readings)
    if readings.given("rated") is None:
        return (("given.rated", "Without the rating nobody can say whether the load was enough."),)
    if loaded is None or loaded.value("current") is None:
        return (("points.fast.current", "Loads on and current by clamp decide whether it holds."),)
    if loaded.uncertain("stud_v") is None:
        return (("points.fast.stud_v", "The stud tells a loss on the way from a low alternator."),)
    return ()


_MAY_RUN_FLAT = Driving(
    "only_as_stated",
    "Short distances by day only, with nothing switched on that is not needed: the battery may run "
    "flat and the engine stop.",
)
_MAY_HARM = Driving(
    "only_as_stated",
    "Short distances only: too high a voltage can harm the battery, lamps and control units. Stop "
    "if there is a smell of rotten eggs.",
)
_BELT_MAY_GO = Driving(
    "only_as_stated",
    "Stop if a warning lamp comes on or the steering grows heavy: the belt may drive more than the "
    "alternator.",
)

PROCEDURE = Procedure(
    name="charging",
    title="Charging over engine speed and load",
    version=1,
    group="Electrical",
    purpose="Shows whether the alternator holds its voltage from idle to speed and under load, and "
    "whether it reaches the battery.",
    proves_nothing_when=(
        "The loads ask for less than half of the rated current: then a weak alternator and a bad "
        "cable look well."
    ),
    formulas=(
        Formula("rise", "battery's volts at idle less volts at rest, same meter"),
        Formula(
            "gap",
            "volts B+ to case less volts at the battery's posts, at one point; about the sum of "
            "the two drops",
            "Kirchhoff's law of voltages",
        ),
        Formula(
            "feed_drop_at_rated",
            "drop from B+ to battery + / amperes with the loads on x rated amperes",
            "Ohm's law",
        ),
        Formula(
            "ground_drop_at_rated",
            "drop from case to battery − / amperes with the loads on x rated amperes",
            "Ohm's law",
        ),
    ),
    example={
        "ready.battery": "yes",
        "ready.belt": "yes",
        "ready.meter": "yes",
        "given.rated": "100",
        "given.regulator_temp": "25",
        "points.idle.battery_v": "14.20",
        "points.fast.battery_v": "12.40",
        "points.fast.current": "60",
    },
    evidence_group="electrical_supply",
    battery_matters=True,
    comparable={"regulator_temp": (25.0, 0.0), "requested": (0.3, 0.0)},
    effort=Effort(10, ("multimeter", "clamp meter"), risk="working near a running engine"),
    cautions=(
        BATTERY_LEAD,
        BELTS_AND_FANS,
        Caution(
            "Burns at B+.",
            "Rings and watch off. A spanner from B+ to the body welds itself fast: "
            "battery minus off before a nut is touched.",
            "workplace safety guidance",
            from_memory=True,
        ),
        Caution(
            "Battery gas explodes.",
            "No sparks; eyes covered. Never charge or jump a frozen battery.",
            "workplace safety guidance on batteries",
            from_memory=True,
        ),
        Caution(
            "Full field only as the maker says.",
            "Bridging the regulator can send far too much voltage through the car.",
            "common practice",
        ),
        Caution(
            "Exhaust.",
            "Run the engine outdoors or with extraction.",
            "occupational limits for carbon monoxide",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("battery", "Battery at least three quarters charged", "battery_low"),
        Precondition("belt", "Belt on, looked at, and tight"),
        Precondition("meter", "Meter leads on the battery posts, not on the clamps"),
    ),
    given=(
        Quantity(
            key="rated",
            label="alternator's rated current",
            quantity="current",
            origin="told",
            possible=(1.0, 1000.0),
            likely=(30.0, 400.0),
            help="On its plate.",
        ),
        Flag(key="belt_slip", label="belt seen or heard slipping"),
        Quantity(
            key="regulator_temp",
            label="temperature at the regulator",
            quantity="temperature",
            possible=(-50.0, 200.0),
            likely=(-30.0, 130.0),
            instrument="thermometer",
        ),
        Quantity(
            key="requested",
            finer=True,
            label="voltage the control unit asks for",
            quantity="voltage",
            origin="told",
            possible=_volts_range,
            likely=_volts_likely,
            help="From its live values, at the moment of the reading.",
        ),
        Quantity(
            key="feed_drop",
            label="drop B+ stud to battery +, loads on",
            quantity="voltage",
            possible=(-20.0, 20.0),
            likely=(-3.0, 3.0),
            instrument="multimeter",
        ),
        Quantity(
            key="ground_drop",
            label="drop alternator case to battery −, loads on",
            quantity="voltage",
            possible=(-20.0, 20.0),
            likely=(-3.0, 3.0),
            instrument="multimeter",
        ),
        Flag(key="lasted", finer=True, label="too high a voltage stood for minutes"),
        Quantity(
            key="setpoint",
            finer=True,
            label="maker's set point",
            quantity="voltage",
            origin="told",
            possible=_volts_range,
            likely=_volts_likely,
        ),
        Quantity(
            key="setpoint_tolerance",
            finer=True,
            label="maker's tolerance, plus or minus",
            quantity="voltage",
            origin="told",
            possible=(0.0, 5.0),
            likely=(0.05, 1.0),
        ),
        Quantity(
            key="setpoint_temp",
            finer=True,
            label="temperature that the set point is for",
            quantity="temperature",
            origin="told",
            possible=(-50.0, 200.0),
        ),
        Quantity(
            key="slope",
            finer=True,
            label="change of the set point per kelvin",
            quantity="voltage",
            unit="mV",
            origin="told",
            possible=(-0.06, 0.06),
            likely=(-0.03, 0.0),
        ),
    ),
    grids=(
        Grid(
            "points",
            "Working points",
            Conditions(
                fields=(
                    Quantity(
                        key="rpm",
                        label="engine speed",
                        quantity="rotation",
                        possible=(0.0, 12_000.0),
                        likely=(0.0, 6_000.0),
                        instrument="rev_counter",
                    ),
                    Choice(
                        key="loads",
                        label="loads",
                        choices={
                            "off": "off",
                            "some": "lamps and fan",
                            "heavy": "all that there is",
                        },
                    ),
                ),
                presets=(
                    Row("off", "engine off", {"rpm": 0, "loads": "off"}),
                    Row("idle", "idle", {"rpm": 800, "loads": "off"}),
                    Row("fast", "2000 rpm, loads on", {"rpm": 2000, "loads": "heavy"}),
                ),
                tolerance={"rpm": SAME_SPEED_RPM},
            ),
            (
                Quantity(
                    key="battery_v",
                    label="volts at the battery",
                    quantity="voltage",
                    possible=_volts_range,
                    likely=_volts_likely,
                    instrument="multimeter",
                    needed=True,
                ),
                Quantity(
                    key="stud_v",
                    label="volts at B+ to case",
                    quantity="voltage",
                    possible=_volts_range,
                    likely=_volts_likely,
                    instrument="multimeter",
                ),
                Quantity(
                    key="current",
                    label="alternator current",
                    quantity="current",
                    possible=(-1000.0, 1000.0),
                    likely=(-20.0, 400.0),
                    instrument="clamp_ammeter",
                ),
                Quantity(
                    key="ripple",
                    label="ripple at the stud",
                    quantity="voltage",
                    unit="mV",
                    possible=(0.0, 20.0),
                    likely=(0.0, 3.0),
                    instrument="multimeter_ac",
                ),
            ),
        ),
    ),
    limits=(
        Limit("points.*.battery_v", bounds=_battery_limit),
        Limit("points.*.stud_v", bounds=_stud_limit),
        Limit("points.*.ripple", high=RIPPLE_MOST_V, source=_PRACTICE),
        Limit("given.feed_drop", bounds=_drop_limit(FEED_DROP_MOST_V), magnitude=True),
        Limit("given.ground_drop", bounds=_drop_limit(GROUND_DROP_MOST_V), magnitude=True),
    ),
    patterns=(
        Pattern(
            "belt_seen_slipping",
            "the belt was seen or heard slipping",
            direct=True,
            driving=_BELT_MAY_GO,
        ),
        Pattern("above_window", "above the usual window for minutes", driving=_MAY_HARM),
        Pattern(
            "lost_in_feed",
            "low at the battery: lost between B+ stud and battery +",
            direct=True,
            driving=_MAY_RUN_FLAT,
        ),
        Pattern(
            "lost_in_ground",
            "low at the battery: lost between case and battery −",
            direct=True,
            driving=_MAY_RUN_FLAT,
        ),
        Pattern(
            "low_at_battery_full_at_stud",
            "low at the battery, full at the alternator",
            driving=_MAY_RUN_FLAT,
        ),
        Pattern("ripple_high", "ripple above what is usual"),
        Pattern(
            "not_following_request",
            "not at the voltage that the control unit asks for",
            driving=_MAY_RUN_FLAT,
        ),
        Pattern("follows_low_request", "low, as the control unit asks for"),
        Pattern("low_until_called", "low until a load calls for it"),
        Pattern("rises_only_when_revved", "low at idle, rises only when revved"),
        Pattern("low_first_full_later", "low at idle without load, full at speed with loads"),
        Pattern("falls_under_load", "full without load, low under load", driving=_MAY_RUN_FLAT),
        Pattern(
            "low_everywhere", "low everywhere, and does not rise with load", driving=_MAY_RUN_FLAT
        ),
        Pattern("not_loaded_enough", "nothing unusual, but not loaded enough to tell"),
        Pattern("sound", "holds its voltage under load", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "not_loaded", "Less than half of the rated current was shown to flow.", 0.3, True
        ),
        Confounder(
            "temperature_unknown",
            "The regulator's temperature is not known; the window moves with it.",
            0.9,
        ),
        Confounder("points_disagree", "Stud, battery and the two drops do not add up.", 0.6),
        Confounder("battery_low", "The battery's charge was low or not checked.", 0.6),
    ),
    sentences={
        "chart.volts": "Voltage over engine speed: {told}.",
        "chart.requested": "Asked for by the control unit: {requested}.",
        "chart.window_usual": "Usual without heavy loads: {low} to {high}.",
        "chart.window_maker": "By the maker's data: {low} to {high}.",
        "chart.top_usual": "usual up to {volts}",
        "chart.foot_usual": "usual from {volts}",
        "chart.top_maker": "maker's upper {volts}",
        "chart.foot_maker": "maker's lower {volts}",
        "customer.belt_seen_slipping": (
            "The belt that drives the alternator was seen or heard slipping, so the alternator "
            "cannot be judged yet."
        ),
        "customer.above_window": (
            "The charging voltage stood at {volts} for minutes; up to {high} is usual here."
        ),
        "customer.lost_in_feed": (
            "Between the alternator and the battery's plus post {drop} is lost while the loads "
            "are on. Less arrives at the battery than the alternator sends."
        ),
        "customer.lost_in_ground": (
            "Between the alternator's case and the battery's minus post {drop} is lost while the "
            "loads are on. Less arrives at the battery than the alternator sends."
        ),
        "customer.low_at_battery_full_at_stud": (
            "The alternator's own terminal has {drop} more than the battery while the loads are "
            "on. The difference is lost on the way."
        ),
        "customer.ripple_high": (
            "The charging voltage is not as smooth as usual: {ripple} of ripple was measured."
        ),
        "customer.not_following_request": (
            "The car asks for {requested}; {stud} was measured at the alternator."
        ),
        "customer.follows_low_request": (
            "The charging voltage is low because the car asks for {requested} just then. Whether "
            "the alternator can deliver more was not shown."
        ),
        "customer.low_until_called": (
            "The charging voltage was low ({least}) until a load was switched on, then it rose to "
            "{most}. Many cars do this on purpose."
        ),
        "customer.rises_only_when_revved": (
            "The charging voltage was low at idle ({least}) and rose to {most} when the engine "
            "turned faster."
        ),
        "customer.low_first_full_later": (
            "The charging voltage was low at idle ({least}) and {most} at speed with the loads "
            "on. Whether speed or load made the difference is not measured yet."
        ),
        "customer.falls_under_load": (
            "The charging voltage is usual without loads, and falls to {least} when they are "
            "switched on."
        ),
        "customer.low_everywhere": (
            "The charging voltage stayed low at all points measured: {least} to {most}, where "
            "{low} and more is usual."
        ),
        "customer.not_loaded_enough": (
            "Nothing unusual was measured, but too little current was flowing to judge the "
            "charging."
        ),
        "customer.sound": (
            "With the loads on ({current}) the battery still had {volts}. That is not unusual."
        ),
        "customer.undecided": (
            "The measurements made so far do not decide how well the car charges."
        ),
        "customer.then_repeat": (
            "Other parts of the charging system were not judged by this; the test is repeated "
            "after the repair."
        ),
        "technician.belt_seen_slipping": (
            "Belt first: tension, wear, pulleys, freewheel. Then the whole test again."
        ),
        "technician.above_window": (
            "{volts}, above {high} for minutes. Check the sensing line, its ground and the "
            "request before anything is changed."
        ),
        "technician.lost_in_feed": (
            "{drop} from B+ to battery +. Halve the path with the voltage-drop test: lug, fuse or "
            "link, cable, clamp."
        ),
        "technician.lost_in_ground": (
            "{drop} from case to battery −. Halve the path with the voltage-drop test: bracket, "
            "strap, body, clamp."
        ),
        "technician.low_at_battery_full_at_stud": (
            "Stud less battery is {drop}. Measure both drops, B+ to plus and case to minus, with "
            "the loads on."
        ),
        "technician.ripple_high": (
            "{ripple} at the stud. Repeat with a meter that blocks the direct part, or look at "
            "the wave."
        ),
        "technician.not_following_request": (
            "Asked for {requested}, measured {stud}. Check the request line with a meter before "
            "anything is unplugged."
        ),
        "technician.follows_low_request": (
            "Follows a request of {requested} ({stud} at the stud). Shows that it follows, not "
            "what it can deliver: ask for more and measure again."
        ),
        "technician.low_until_called": (
            "From {least} to {most} with the load alone. Read the requested value to compare."
        ),
        "technician.rises_only_when_revved": (
            "From {least} to {most} with speed alone. Look at belt and pulley size; measure the "
            "current at idle."
        ),
        "technician.low_first_full_later": (
            "From {least} to {most}, speed and load changed together. Add a point: idle with the "
            "loads on."
        ),
        "technician.falls_under_load": (
            "Down to {least} with the loads on. Measure stud and both drops at that point."
        ),
        "technician.low_everywhere": (
            "{least} to {most}, and the loads do not raise it. Read request and charge lamp "
            "circuit; stud and drops tell a loss on the way."
        ),
        "technician.not_loaded_enough": (
            "Below half of the rated current, or current or rating not noted. More loads, clamp "
            "on the B+ cable, and repeat."
        ),
        "technician.sound": "{volts} at the battery with {current} flowing.",
        "technician.undecided": "The points read so far fit more than one picture.",
        "technician.window": "Window used: {low} to {high}.",
        "technician.one_fault_clears_nothing": (
            "One thing found says nothing of the rest: put it right, then test all points again."
        ),
        "technician.also": "Also seen: {seen}.",
        "technician.load_missing": "Not loaded enough: a good reading here decides nothing.",
        "technician.drop_at_small_current": (
            "A drop is beyond its limit although little current was shown: note the current with "
            "the loads on and repeat."
        ),
        "technician.watch_above": (
            "Above the window: watch it for some minutes. A fresh start or a battery being "
            "refreshed does this for a while."
        ),
        "technician.close": "Where it says too close to tell: a finer meter or more load decides.",
    },
    assess=assess,
    not_for=_not_for,
    next_step=_next_step,
)
