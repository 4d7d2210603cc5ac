"""Temperatures by place from a cold start: thermostat, fan, radiator, heater, and the car's sensor.

The thermostat opens between the last reading with its hose cold and the first with it warm: half
that interval is the bound of what is known (JCGM 100, 4.3.7). Usual limits are common practice; the
fan is held against the maker's figure only.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.context import Context
from measurements.core.decision import limit_words, verdict_words
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.one_gauge import two_readings
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
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Series,
    Source,
    Span,
)
from measurements.core.readings import Reading, Readings
from measurements.core.uncertainty import rectangular
from measurements.core.wording import at_head

if TYPE_CHECKING:
    from uncertainties import UFloat

STAMP_K = 3.0
"""A thermostat usually begins to open within so much of its stamp (common practice)."""

LATE_K = 3.0
"""So much further the engine warms before warm coolant has come to the end of its hose (common
practice)."""

SURFACE_K = 3.0
"""So much lower a surface may read than the coolant behind it (common practice)."""

SHUT_K, SHUT_FAR_K = 10.0, 15.0
"""So far above the stamp the hose is usually warm; more where the thermostat sits elsewhere than at
the engine's outlet (common practice)."""

COLD_SHARE, WARM_SHARE, CONTRAST_K = 0.25, 0.5, 20.0
"""A hose that has covered a quarter of the way to the engine's temperature is still cold, half of
it warm; with less than this between the two nobody can tell (judgement)."""

WARM_C, RISE_K = 71.1, 22.2
"""A warm-up: at least 160 °F, risen by at least 40 °F, as the rules for on-board diagnosis count it
(from memory)."""

LEAST_DROP_K, MOST_DROP_K = 5.0, 20.0
"""Across a radiator with the thermostat wide open and air through it (common practice)."""

SENSOR_K = 5.0
"""The car's sensor and a thermometer at its place usually agree within this (common practice)."""

START_COLD_C = 45.0
"""Warmer than this at the start, no engine has stood overnight."""

COLD_AGREES_K = 8.0
FLOWED_S, LEVEL_S, LEVEL_K, LONG_S = 120.0, 120.0, 2.0, 600.0
COARSE_K = 5.0
HEATER_C = 60.0

_TEMPERATURE, _DIFFERENCE = "temperature", "temperature_difference"
_REACH_K = 10.0

# --- what was read ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Moment:
    """One row of the warm-up: seconds from the start, row code, readings by place."""

    seconds: float
    code: str
    read: Mapping[str, Reading]

    def celsius(self, place: str) -> float | None:
        """Temperature as read at the place, None where it was not."""
        return self.read[place].number if place in self.read else None


@dataclass(frozen=True)
class Opening:
    """The last moment with the watched hose cold, and the first with it warm."""

    before: Moment
    after: Moment

    @property
    def engine(self) -> tuple[float, float]:
        """Engine's temperature at the two, the lower one first."""
        ends = sorted((m.celsius("engine") or 0.0) for m in (self.before, self.after))
        return ends[0], ends[1]


def _moments(readings: Readings) -> list[Moment]:
    found = []
    for row in readings.rows("warm_up"):
        seconds = row.value("at")
        read = {}
        for place in PLACES:
            reading = row.get(place)
            if reading is not None and reading.number is not None:
                read[place] = reading
        if seconds is not None and read:
            found.append(Moment(float(seconds), row.code, read))
    return found


def _with(moments: Sequence[Moment], *places: str) -> list[Moment]:
    return [moment for moment in moments if all(place in moment.read for place in places)]


def _side(readings: Readings) -> str:
    return readings.given("side") or "unknown"


def _watched(readings: Readings) -> str:
    """The hose that warms when the thermostat opens."""
    return "lower" if _side(readings) == "inlet" else "upper"


def _shares(moments: Sequence[Moment], hose: str) -> list[tuple[Moment, float]]:
    """How much of the way to the engine's temperature the hose has come; only where the two are far
    enough apart to tell, and only from a start at which the hose was cold."""
    seen = _with(moments, "engine", hose)
    if not seen:
        return []
    start = seen[0].celsius(hose) or 0.0
    engine = seen[0].celsius("engine") or 0.0
    if engine > START_COLD_C and engine - start < CONTRAST_K:
        return []
    found = []
    for moment in seen:
        contrast = (moment.celsius("engine") or 0.0) - start
        if contrast >= CONTRAST_K:
            found.append((moment, ((moment.celsius(hose) or 0.0) - start) / contrast))
    return found


def _opening(moments: Sequence[Moment], hose: str) -> Opening | None:
    shares = _shares(moments, hose)
    if not shares:
        return None
    before = _with(moments, "engine", hose)[0]
    for moment, share in shares:
        if share >= WARM_SHARE and moment is not before:
            return Opening(before, moment)
        if share < COLD_SHARE:
            before = moment
    return None


# --- figures ----------------------------------------------------------------------------------


def _opens_at(opening: Opening) -> UFloat:
    from uncertainties import ufloat

    low, high = opening.engine
    reading = max(opening.before.read["engine"].u, opening.after.read["engine"].u)
    return ufloat((low + high) / 2, math.hypot(rectangular((high - low) / 2), reading))


def _opened_after(opening: Opening, start: float) -> UFloat:
    from uncertainties import ufloat

    early, late = opening.before.seconds - start, opening.after.seconds - start
    return ufloat((early + late) / 2, rectangular((late - early) / 2))


def _warm_up(moments: Sequence[Moment]) -> UFloat | None:
    """Seconds from the start to `WARM_C`, by a straight line between the two readings about it."""
    from uncertainties import ufloat

    seen = _with(moments, "engine")
    if not seen or (seen[0].celsius("engine") or 0.0) > WARM_C - RISE_K:
        return None
    for early, late in pairwise(seen):
        a, b = early.celsius("engine") or 0.0, late.celsius("engine") or 0.0
        if a < WARM_C <= b:
            slope = (b - a) / (late.seconds - early.seconds)
            at = early.seconds + (WARM_C - a) / slope - seen[0].seconds
            return ufloat(at, max(early.read["engine"].u, late.read["engine"].u) / slope)
    return None


def _hottest(moments: Sequence[Moment], place: str = "engine") -> Moment | None:
    seen = _with(moments, place)
    return max(seen, key=lambda moment: moment.celsius(place) or 0.0, default=None)


def _still_shut(moments: Sequence[Moment], hose: str) -> Moment | None:
    """The hottest moment with the hose still cold, where it never was seen warm."""
    if _opening(moments, hose) is not None:
        return None
    cold = [moment for moment, share in _shares(moments, hose) if share < COLD_SHARE]
    return _hottest(cold)


def _levelled_off(moments: Sequence[Moment]) -> Moment | None:
    """The last moment, where the engine has long run and gets no warmer."""
    seen = _with(moments, "engine")
    if len(seen) < 3 or seen[-1].seconds - seen[0].seconds < LONG_S:
        return None
    last = seen[-1]
    earlier = [m for m in seen[:-1] if last.seconds - m.seconds >= LEVEL_S]
    rose = abs((last.celsius("engine") or 0.0) - (earlier[-1].celsius("engine") or 0.0))
    return last if rose <= LEVEL_K else None


def _less(moment: Moment, first: str, second: str) -> UFloat:
    """One place less another, by one thermometer at one moment, kelvin."""
    one, two = moment.read[first], moment.read[second]
    handling = max(PROCEDURE.handling_u[first], PROCEDURE.handling_u[second])
    a, b = two_readings((one.number or 0.0, one), (two.number or 0.0, two), handling, _REACH_K)
    drop: Any = a - b
    return drop


def _through_radiator(moments: Sequence[Moment], opening: Opening | None) -> Moment | None:
    """The last moment with both hoses read, once warm coolant has had time to get through."""
    if opening is None:
        return None
    seen = [
        moment
        for moment in _with(moments, "upper", "lower")
        if moment.seconds >= opening.after.seconds + FLOWED_S
    ]
    return seen[-1] if seen else None


def _sensor_less(moment: Moment) -> UFloat:
    """The car's sensor less the thermometer: two instruments, nothing shared."""
    from uncertainties import ufloat

    sensor, engine = moment.read["sensor"], moment.read["engine"]
    difference = (sensor.number or 0.0) - (engine.number or 0.0)
    return ufloat(difference, math.hypot(sensor.u, engine.u))


@dataclass(frozen=True)
class Found:
    """What the series shows, before it is held against anything."""

    moments: tuple[Moment, ...]
    hose: str
    opening: Opening | None
    shut: Moment | None
    level: Moment | None
    through: Moment | None
    figures: tuple[Figure, ...]

    def figure(self, key: str) -> Figure | None:
        """The figure with this key, or None."""
        return next((figure for figure in self.figures if figure.key == key), None)

    def value(self, key: str) -> float | None:
        """Its value."""
        figure = self.figure(key)
        return figure.value if figure else None


def _at(moment: Moment, place: str = "engine") -> UFloat:
    from uncertainties import ufloat

    reading = moment.read[place]
    return ufloat(reading.number or 0.0, reading.u)


def _found(readings: Readings) -> Found:
    moments, hose = _moments(readings), _watched(readings)
    opening, shut = _opening(moments, hose), _still_shut(moments, hose)
    level, through = _levelled_off(moments), _through_radiator(moments, opening)
    figures: list[Figure] = []

    def add(key: str, label: str, quantity: str, number: Any, unit: str = "") -> None:
        if number is not None:
            figures.append(figure_of(key, label, quantity, number, unit))

    if opening is not None:
        label = "engine's temperature as the hose warmed"
        add("opens_at", label, _TEMPERATURE, _opens_at(opening))
        start = moments[0].seconds
        label = "time until the hose warmed"
        add("opened_after", label, "time", _opened_after(opening, start), "min")
    label = "time until the engine was warm"
    add("warm_up", label, "time", _warm_up(moments), "min")
    hottest = _hottest(moments)
    if hottest is not None:
        add("hottest", "engine at its hottest", _TEMPERATURE, _at(hottest))
    if shut is not None:
        label = "engine at its hottest with the hose still cold"
        add("hottest_shut", label, _TEMPERATURE, _at(shut))
    if level is not None:
        add("levels_at", "engine gets no warmer than", _TEMPERATURE, _at(level))
    if through is not None:
        drop = _less(through, "upper", "lower")
        add("radiator_drop", "upper hose less lower hose", _DIFFERENCE, drop)
    through_heater = _with(moments, "heater_in", "heater_out")
    if through_heater:
        drop = _less(through_heater[-1], "heater_in", "heater_out")
        add("heater_drop", "heater hose in less out", _DIFFERENCE, drop)
    both = _with(moments, "engine", "sensor")
    if both and readings.given("start") == "cold" and both[0] is moments[0]:
        cold = "car's sensor less thermometer, cold"
        add("sensor_cold", cold, _DIFFERENCE, _sensor_less(both[0]))
    if both and (both[-1].celsius("engine") or 0.0) >= HEATER_C:
        hot = "car's sensor less thermometer, hot"
        add("sensor_hot", hot, _DIFFERENCE, _sensor_less(both[-1]))
    switch = readings.given("fan_switch")
    place = "sensor" if _with(moments, "sensor") else "engine"
    told = _hottest(moments, place)
    if switch is not None and told is not None:
        over: Any = _at(told, place) - switch
        add("over_switch", "hottest, above the fan's switch point", _DIFFERENCE, over)
    return Found(tuple(moments), hose, opening, shut, level, through, tuple(figures))


# --- what it is held against ------------------------------------------------------------------

_ENTERED = Source("maker", "maker's figure entered with the readings")
_BY_STAMP = Source("C", "common practice, about the stamp")
_SHUT = Source("C", "common practice, the hose is warm by then")
_THROUGH = Source("C", "common practice, thermostat wide open")
_SENSOR = Source("C", "common practice, sensor and thermometer agree")


def _surface(readings: Readings) -> float:
    """How much lower the thermometer may read than the coolant."""
    return 0.0 if readings.given("tool") == "in_coolant" else SURFACE_K


def _shiny(readings: Readings) -> bool:
    return readings.given("tool") == "ir_bare"


def _spans(readings: Readings, found: Found) -> dict[str, Span | None]:
    """Limits of the figures. A gun on bare metal reads low: nothing is held against a lower limit
    then, nor the sensor against it. A thermostat that the control unit opens has no stamp to keep.
    """
    spans: dict[str, Span | None] = {}
    stamped, side, lower = readings.given("stamped"), _side(readings), _surface(readings)
    if stamped is not None and side != "commanded":
        least = None if _shiny(readings) else stamped - STAMP_K - lower
        # At the inlet the hose tells late: the radiator has to fill with warm coolant first.
        most = stamped + STAMP_K + (SHUT_FAR_K if side == "inlet" else LATE_K)
        spans["opens_at"] = Span(least, most, _BY_STAMP)
        far = SHUT_K if side == "outlet" else SHUT_FAR_K
        spans["hottest_shut"] = Span(None, stamped + far, _SHUT)
        if readings.given("run") in ("raised", "driven") and least is not None:
            spans["levels_at"] = Span(least, None, _BY_STAMP)
        spans["radiator_drop"] = _drop_span(readings, found, stamped)
    highest = readings.given("highest")
    if highest is not None:
        spans["hottest"] = Span(None, highest, _ENTERED)
    if readings.given("fan") == "never":
        spans["over_switch"] = Span(None, 0.0, _ENTERED)
    spans["sensor_cold"] = Span(-SENSOR_K, SENSOR_K, _SENSOR)
    if readings.given("sensor_at") == "same" and not _shiny(readings):
        spans["sensor_hot"] = Span(-SENSOR_K, SENSOR_K + lower, _SENSOR)
    return spans


def _drop_span(readings: Readings, found: Found, stamped: float) -> Span | None:
    """Only with the thermostat wide open: until then it is the thermostat that sets the drop. A
    small one means something only with air through the radiator."""
    engine = found.through.celsius("engine") if found.through is not None else None
    if engine is None or engine < stamped + SHUT_K:
        return None
    blown = (
        readings.given("fan") in ("came_on", "all_the_time", "mechanical")
        or readings.given("run") == "driven"
    )
    return Span(LEAST_DROP_K if blown else None, MOST_DROP_K, _THROUGH)


# --- the judgement ----------------------------------------------------------------------------


def assess(readings: Readings, context: Context) -> Assessment:
    """The thermostat from the series, and what was seen of fan, radiator, heater and gauge."""
    found = _found(readings)
    spans = _spans(readings, found)
    verdicts = [
        *judge(PROCEDURE, readings, context),
        *(
            judge_figure(
                PROCEDURE,
                figure,
                context,
                spans.get(figure.key),
                safety=figure.key in ("hottest", "hottest_shut"),
            )
            for figure in found.figures
        ),
    ]
    by_address = {verdict.address: verdict for verdict in verdicts}
    seen = _seen(readings, found, by_address)
    lead, where = seen[0] if seen else (_quiet(readings, by_address), ())
    weak = _confounders(readings, context, found, lead)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=where,
        also=tuple(Also(code, rows) for code, rows in seen[1:]),
        figures=found.figures,
        verdicts=verdicts,
        confounders=weak,
        customer=_customer(lead, seen, readings, found, by_address, context),
        technician=_technician(lead, seen, readings, found, by_address, weak, context),
        chart=_chart(readings, found, by_address, context),
    )


def _outside(by_address: Mapping[str, VerdictOutcome], key: str) -> str:
    """ "below", "above", or "" where it is not outside."""
    verdict = by_address.get(f"figure.{key}")
    if verdict is None or verdict.outcome != "outside" or verdict.value is None:
        return ""
    return "below" if verdict.low is not None and verdict.value < verdict.low else "above"


def _seen(
    readings: Readings, found: Found, by_address: Mapping[str, VerdictOutcome]
) -> list[tuple[str, tuple[str, ...]]]:
    given = readings.given
    opened = (found.opening.after.code,) if found.opening else ()
    shut = (found.shut.code,) if found.shut else ()
    level = (found.level.code,) if found.level else ()
    through = (found.through.code,) if found.through else ()
    early, cool = _outside(by_address, "opens_at") == "below", _outside(by_address, "levels_at")
    drop = _outside(by_address, "radiator_drop")
    sensor = _outside(by_address, "sensor_cold") or _outside(by_address, "sensor_hot")
    last = _with(found.moments, "engine")
    surely = [(m.celsius("engine") or 0.0) - 2 * m.read["engine"].u for m in last[-1:]]
    warm = any(celsius >= HEATER_C for celsius in surely)
    nowhere: tuple[str, ...] = ()
    checks = (
        ("stays_shut", bool(_outside(by_address, "hottest_shut")), shut),
        ("reached_red", given("needle") == "red" or bool(_outside(by_address, "hottest")), nowhere),
        ("fan_never", given("fan") == "never" and bool(_outside(by_address, "over_switch")), ()),
        ("heater_cold", given("heater") == "cold" and warm, nowhere),
        ("opens_early", early or bool(cool), opened if early else level),
        ("opens_late", _outside(by_address, "opens_at") == "above", opened),
        ("cold_patches", given("radiator") == "patches", nowhere),
        ("small_drop", drop == "below", through),
        ("large_drop", drop == "above", through),
        ("sensor_disagrees", bool(sensor), nowhere),
        ("fan_always", given("fan") == "all_the_time", nowhere),
    )
    return [(code, rows) for code, holds, rows in checks if holds]


def _about_the_stamp(readings: Readings, by_address: Mapping[str, VerdictOutcome]) -> bool:
    """The interval lies about the stamp, and is fine enough to say so."""
    verdict = by_address.get("figure.opens_at")
    if verdict is None or verdict.outcome in ("outside", "no_limit") or verdict.value is None:
        return False
    low, high = verdict.low, verdict.high
    inside = (low is None or verdict.value >= low) and (high is None or verdict.value <= high)
    return inside and verdict.u <= COARSE_K and not _shiny(readings)


def _quiet(readings: Readings, by_address: Mapping[str, VerdictOutcome]) -> str:
    """Nothing unusual was seen: as usual only where thermostat, fan and heater were all seen."""
    if not _about_the_stamp(readings, by_address):
        return "undecided"
    if any(v.safety and v.outcome == "cannot_tell" for v in by_address.values()):
        return "undecided"
    switch = by_address.get("figure.over_switch")
    not_called_for = (
        readings.given("fan") == "never" and switch is not None and switch.outcome == "within"
    )
    fan = readings.given("fan") in ("came_on", "mechanical") or not_called_for
    needle = readings.given("needle") not in ("above", "below")
    whole = fan and needle and readings.given("heater") == "hot"
    return "as_usual" if whole else "opens_as_stamped"


def _confounders(readings: Readings, context: Context, found: Found, lead: str) -> list[str]:
    given = readings.given
    on_thermostat = lead in (*_THERMOSTAT, *_QUIET)
    interval = found.figure("opens_at")
    side = _side(readings)
    checks = (
        ("not_cold", on_thermostat and not _started_cold(readings, context, found)),
        ("shiny_metal", _shiny(readings) and lead not in _BY_EYE),
        ("side_unknown", on_thermostat and side == "unknown"),
        ("at_the_inlet", on_thermostat and side == "inlet"),
        ("commanded", on_thermostat and side == "commanded"),
        ("stamp_unknown", on_thermostat and given("stamped") is None),
        (
            "coarse",
            lead in _QUIET and interval is not None and interval.u > COARSE_K,
        ),
        (
            "sensor_elsewhere",
            lead in _QUIET
            and found.figure("sensor_hot") is not None
            and given("sensor_at") != "same",
        ),
        ("only_idled", given("run") in (None, "idle")),
        ("fan_not_watched", given("fan") in (None, "not_watched")),
        ("radiator_not_felt", given("radiator") in (None, "not_felt")),
        ("heater_not_tried", given("heater") in (None, "not_tried")),
    )
    return [code for code, holds in checks if holds]


def _started_cold(readings: Readings, context: Context, found: Found) -> bool:
    """Said to be cold, and by the thermometer as cold as the air, where both were read."""
    if readings.given("start") != "cold":
        return False
    seen = _with(found.moments, "engine")
    if not seen:
        return True
    first = seen[0].celsius("engine") or 0.0
    air = readings.given("air")
    air = context.ambient.temperature_c if air is None else air
    return first <= START_COLD_C and (air is None or abs(first - air) <= COLD_AGREES_K)


_THERMOSTAT = ("stays_shut", "opens_early", "opens_late")
_QUIET = ("opens_as_stamped", "as_usual", "undecided")
_BY_EYE = ("heater_cold", "cold_patches", "fan_always")

# --- words and chart --------------------------------------------------------------------------

_HOSE = {"upper": "upper hose", "lower": "lower hose"}


def _celsius(value: float, context: Context) -> str:
    return units.show_value(value, _TEMPERATURE, context.units, 0)


def _kelvin(value: float, context: Context) -> str:
    return units.show_value(abs(value), _DIFFERENCE, context.units, 0)


def _minutes(seconds: float) -> str:
    return units.show_value(seconds, "time", places=0, unit="min")


def _params(
    readings: Readings,
    found: Found,
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> dict[str, str]:
    """Everything that a sentence may name, as far as it is known."""
    params = {"hose": _HOSE[found.hose], "hose_head": at_head(_HOSE[found.hose])}
    for key in ("stamped", "highest", "fan_switch", "fan_on_at", "fan_off_at"):
        value = readings.given(key)
        if value is not None:
            params[key] = _celsius(value, context)
    # A limit kept for the car stands for a stamp that was not read, and before what was typed.
    for key in ("opens_at", "levels_at", "hottest_shut"):
        verdict = by_address.get(f"figure.{key}")
        if verdict is not None and verdict.source is not None:
            params.setdefault("stamped", limit_words(verdict, context.units))
    hottest = by_address.get("figure.hottest")
    if hottest is not None and hottest.high is not None:
        params["highest"] = _celsius(hottest.high, context)
    for figure in found.figures:
        if figure.value is None:
            continue
        if figure.quantity == _TEMPERATURE:
            params[figure.key] = _celsius(figure.value, context)
        elif figure.quantity == _DIFFERENCE:
            params[figure.key] = _kelvin(figure.value, context)
        else:
            params[figure.key] = _minutes(figure.value)
    if found.opening is not None:
        params["low"], params["high"] = (_celsius(v, context) for v in found.opening.engine)
        read = [found.opening.before, found.opening.after]
        params["early"], params["late"] = (_minutes(m.seconds) for m in read)
    if found.through is not None:
        for place in ("upper", "lower"):
            params[place] = _celsius(found.through.celsius(place) or 0.0, context)
    through = _with(found.moments, "heater_in", "heater_out")
    if through:
        for place in ("heater_in", "heater_out"):
            params[place] = _celsius(through[-1].celsius(place) or 0.0, context)
    both = _with(found.moments, "engine", "sensor")
    if both:
        # The two that are told are those that disagree: cold first, since nothing excuses that.
        which = both[0] if _cold_is_worse(found) else both[-1]
        params["sensor"] = _celsius(which.celsius("sensor") or 0.0, context)
        params["thermometer"] = _celsius(which.celsius("engine") or 0.0, context)
    return params


def _cold_is_worse(found: Found) -> bool:
    cold, hot = found.value("sensor_cold"), found.value("sensor_hot")
    return cold is not None and (hot is None or abs(cold) > abs(hot))


def _spoken(
    code: str, readings: Readings, found: Found, by_address: Mapping[str, VerdictOutcome]
) -> str:
    """The sentence for what was seen: some patterns come about in two ways."""
    if code == "reached_red":
        return "above_maker" if _outside(by_address, "hottest") else "needle_red"
    if code == "opens_early" and _outside(by_address, "opens_at") != "below":
        return "stays_cool"
    if code == "as_usual" and readings.given("fan") != "came_on":
        return "as_usual_without_fan"
    return code


def _customer(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    found: Found,
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    params = _params(readings, found, by_address, context)
    codes = [code for code, _ in seen] or [lead]
    return [
        PROCEDURE.say("customer." + _spoken(code, readings, found, by_address), **params)
        for code in codes
    ]


def _technician(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    found: Found,
    by_address: Mapping[str, VerdictOutcome],
    weak: Sequence[str],
    context: Context,
) -> list[Sentence]:
    say, params = PROCEDURE.say, _params(readings, found, by_address, context)
    codes = [code for code, _ in seen] or [lead]
    told = [say("next." + _spoken(code, readings, found, by_address), **params) for code in codes]
    told += [
        say("verdict", label=at_head(verdict.label), words=verdict_words(verdict, context.units))
        for address, verdict in by_address.items()
        if address.startswith("figure.") and verdict.source is not None
    ]
    if found.opening is not None:
        told.append(say("interval", **params))
        verdict = by_address["figure.opens_at"]
        if verdict.u > COARSE_K and verdict.outcome != "outside":
            told.append(say("read_more_often"))
    if found.value("warm_up") is not None:
        told.append(say("warmed", limit=_celsius(WARM_C, context), **params))
    told += _about_fan(readings, found, by_address, params)
    told += _about_the_rest(readings, found, by_address, params)
    told += [say("was." + code) for code in weak if "was." + code in PROCEDURE.sentences]
    return told


def _about_fan(
    readings: Readings,
    found: Found,
    by_address: Mapping[str, VerdictOutcome],
    params: Mapping[str, str],
) -> list[Sentence]:
    say, told = PROCEDURE.say, []
    if readings.given("fan") == "never":
        if readings.given("fan_switch") is None:
            told.append(say("fan_needs_figure"))
        elif found.value("over_switch") is not None and not _outside(by_address, "over_switch"):
            told.append(say("fan_not_called_for", **params))
    if readings.given("fan_on_at") is not None:
        told.append(
            say("fan_came_on_switch" if "fan_switch" in params else "fan_came_on", **params)
        )
    if "fan_off_at" in params:
        told.append(say("fan_went_off", **params))
    return told


def _about_the_rest(
    readings: Readings,
    found: Found,
    by_address: Mapping[str, VerdictOutcome],
    params: Mapping[str, str],
) -> list[Sentence]:
    """Radiator, heater, and the needle against the thermometer."""
    say, told = PROCEDURE.say, []
    if found.through is not None:
        judged = by_address["figure.radiator_drop"].outcome != "no_limit"
        told.append(say("through" if judged else "through_not_judged", **params))
    if found.value("heater_drop") is not None:
        told.append(say("through_heater", **params))
    needle = readings.given("needle")
    if needle in ("above", "below"):
        told.append(say("needle_" + needle))
    if needle == "red" and _outside(by_address, "sensor_hot") == "above":
        told.append(say("needle_doubted"))
    return told


def _chart(
    readings: Readings,
    found: Found,
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> dict[str, Any]:
    """Temperatures by place over time; the stamp as a line where the sensor leaves room for it."""
    series: list[dict[str, Any]] = []
    for place, label in (
        ("engine", "engine outlet"),
        ("upper", "upper hose"),
        ("lower", "lower hose"),
        ("sensor", "car's sensor"),
    ):
        points = [
            [moment.seconds / 60, reading.number or 0.0, reading.u]
            for moment in found.moments
            if (reading := moment.read.get(place)) is not None
        ]
        if points:
            series.append({"label": label, "points": points})
    if not series or len(found.moments) < 2:
        return {}
    stamped, highest = readings.given("stamped"), readings.given("highest")
    ends = [found.moments[0].seconds / 60, found.moments[-1].seconds / 60]
    if stamped is not None and len(series) < 4:
        series.append(
            {"label": "opens, by its stamp", "points": [[end, stamped, 0.0] for end in ends]}
        )
    seen = _with(found.moments, "engine")
    params = _params(readings, found, by_address, context)
    if len(seen) < 2:
        title = PROCEDURE.say("chart.places").text
    else:
        title = PROCEDURE.say(
            "chart.opened" if found.opening else "chart.not_opened",
            start=_celsius(seen[0].celsius("engine") or 0.0, context),
            end=_celsius(seen[-1].celsius("engine") or 0.0, context),
            time=_minutes(seen[-1].seconds - seen[0].seconds),
            **params,
        ).text
    limits = [{"label": "maker's most", "value": highest, "beyond": "above"}]
    return {
        "kind": "lines",
        "title": title,
        "x": {"label": "time from the start", "unit": "min"},
        "y": {"label": "temperature", "unit": "°C", "from_zero": False},
        "series": series,
        "limits": limits if highest is not None else [],
        "note": "",
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """What would tell most now; nothing that keeps an overheating engine running."""
    if readings.given("needle") == "red":
        return ()
    asks = (
        ("given.start", "Only a cold start shows the thermostat open."),
        ("given.stamped", "Without it no opening temperature can be judged."),
        ("given.side", "It says which hose tells: the upper or the lower one."),
        ("given.fan", "Whether it ran, and when, is half of the test."),
    )
    lacking = [(address, why) for address, why in asks if readings.get(address) is None]
    return tuple(lacking[:1])


def _not_for(context: Context) -> str:
    return "" if context.car.has_engine else "it has no engine in which anything burns."


# --- the declaration --------------------------------------------------------------------------

PLACES = ("engine", "upper", "lower", "sensor", "heater_in", "heater_out")

_STOP = Driving(
    "do_not_drive",
    "The engine gets too hot. Have it towed: a short drive can ruin the engine, and coolant that "
    "boils over scalds.",
)
_WATCH_GAUGE = Driving(
    "only_as_stated",
    "Short distances without standing in traffic, trailer or long climbs, with the coolant level "
    "looked at cold before each drive. Stop and switch off as soon as the temperature climbs above "
    "its usual mark.",
)
_GAUGE_MISLEADS = Driving(
    "only_as_stated",
    "The gauge may not show when the engine gets too hot. Short distances only; stop and switch "
    "off at steam or when the heater turns cold.",
)


def _place(key: str, label: str, *, finer: bool = False, help: str = "") -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity=_TEMPERATURE,
        possible=(-50.0, 180.0),
        likely=(-25.0, 115.0),
        instrument="thermometer",
        finer=finer,
        help=help,
    )


def _told(key: str, label: str, *, finer: bool = True, help: str = "") -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity=_TEMPERATURE,
        possible=(30.0, 150.0),
        likely=(65.0, 125.0),
        origin="told",
        finer=finer,
        help=help,
    )


PROCEDURE = Procedure(
    name="temperature_survey",
    title="Thermostat, fan and temperatures",
    version=1,
    group="Cooling system",
    purpose="Shows from a cold start when the thermostat opens, whether the fan comes on, how the "
    "temperature falls across radiator and heater, and whether the car's own sensor tells the "
    "truth.",
    proves_nothing_when="The engine was not cold at the start; the readings stood far apart when "
    "the thermostat opened; an infrared thermometer looked at bare metal; the level was low; or "
    "the engine only idled and gets hot under load.",
    cautions=(
        Caution(
            "Never open a hot cooling system.",
            "Everything here is read from outside. Coolant under pressure flashes to steam and "
            "scalds; no cold water into or onto a hot engine.",
            "HSE HSG261; common practice",
            "customer",
            from_memory=True,
        ),
        Caution(
            "Stop at the maker's highest temperature, or before the needle reaches red.",
            "Engine off at once, bonnet open, leave it to cool. Engine hot and hose cold is reason "
            "enough to stop: nothing is gained by waiting.",
            "common practice",
        ),
        Caution(
            "Fans start by themselves, belts run.",
            "Also with the engine just switched off. Hands, hair, sleeves, probe and leads clear "
            "of fan, belts and pulleys.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "Exhaust gas.",
            "Outdoors, or with extraction on the pipe, from the first minute.",
            "occupational limits for carbon monoxide",
        ),
        Caution(
            "Hot surfaces.",
            "Housing, hoses and manifold burn. Touch a hose with the back of the hand and briefly; "
            "gloves.",
            "common practice",
        ),
        Caution(
            "The car must not move.",
            "Neutral or park, parking brake on, wheels chocked. While driving a second person "
            "reads.",
            "common practice",
        ),
        Caution(
            "Pointer of an infrared thermometer.",
            "Not into eyes, nor onto shiny metal that throws it back.",
            "maker's instructions",
        ),
        Caution(
            "High voltage: the engine starts and stops by itself, and some circuits cool battery "
            "and inverter.",
            "Maker's service mode to keep the engine running; no probe on those circuits, orange "
            "cables stay untouched.",
            "UN R100; local rules for electrical work",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("level", "Coolant level seen cold, at its mark.", "low_level"),
        Precondition("ac_off", "Air conditioning and screen demister off.", "ac_on"),
        Precondition(
            "same_spots",
            "The same marked, matt spots each time (tape or paint on metal).",
            "spots_changed",
        ),
        Precondition("exhaust", "Exhaust led outdoors; car held, fan and belts clear.", ""),
    ),
    effort=Effort(
        minutes=15,
        tools=("thermometer", "clock", "matt tape", "scan tool for the live value"),
        state="cold",
        risk="An engine that cannot shed its heat is run until it is hot: somebody watches.",
    ),
    given=(
        Choice(
            key="start",
            label="Engine at the start",
            needed=True,
            chips=True,
            choices={"cold": "cold, stood for hours", "lukewarm": "hand-warm", "hot": "hot"},
        ),
        _told(
            "stamped",
            "Thermostat opens at",
            finer=False,
            help="Stamped on it, or the maker's figure.",
        ),
        Choice(
            key="side",
            label="Where the thermostat sits",
            chips=True,
            choices={
                "outlet": "at the upper hose",
                "inlet": "at the lower hose",
                "commanded": "opened by the control unit",
                "unknown": "not known",
            },
            help="At the lower hose it is the lower one that stays cold; the upper one warms at "
            "once.",
        ),
        Choice(
            key="fan",
            label="Fan",
            needed=True,
            chips=True,
            choices={
                "came_on": "came on when hot",
                "never": "never came on",
                "all_the_time": "ran from the start",
                "mechanical": "driven by belt or oil",
                "not_watched": "not watched",
            },
        ),
        _told("fan_switch", "Fan comes on at, by the maker", finer=False),
        Choice(
            key="needle",
            label="Car's gauge at the end",
            chips=True,
            choices={
                "usual": "at its usual place",
                "below": "below it",
                "above": "above it",
                "red": "in the red, or lamp on",
                "none": "no gauge",
            },
        ),
        Choice(
            key="heater",
            label="Heater, set to hot",
            chips=True,
            choices={
                "hot": "blows hot",
                "lukewarm": "lukewarm",
                "cold": "cold",
                "not_tried": "not tried",
            },
        ),
        Choice(
            key="radiator",
            label="Radiator core, once warm",
            chips=True,
            choices={
                "even": "falls evenly across",
                "patches": "cold patches",
                "not_felt": "not looked at",
            },
            help="By thermometer across the fins, from the side of the upper hose on.",
        ),
        Choice(
            key="tool",
            label="Thermometer",
            chips=True,
            choices={
                "contact": "probe on the surface",
                "ir_matt": "infrared on matt tape or rubber",
                "ir_bare": "infrared on bare metal",
                "in_coolant": "probe in the coolant",
            },
            help="Bare metal shines and reads low, polished aluminium by tens of degrees.",
        ),
        Choice(
            key="run",
            label="Engine ran",
            chips=True,
            finer=True,
            choices={"idle": "at idle", "raised": "at raised speed", "driven": "driven"},
        ),
        Choice(
            key="sensor_at",
            label="Car's sensor and engine outlet",
            chips=True,
            finer=True,
            choices={"same": "at the same place", "elsewhere": "apart", "unknown": "not known"},
        ),
        Quantity(
            key="fan_on_at",
            label="Fan came on at, car's sensor",
            quantity=_TEMPERATURE,
            possible=(20.0, 150.0),
            likely=(75.0, 115.0),
            finer=True,
        ),
        Quantity(
            key="fan_off_at",
            label="Fan went off at, car's sensor",
            quantity=_TEMPERATURE,
            possible=(20.0, 150.0),
            likely=(70.0, 110.0),
            finer=True,
        ),
        _told("highest", "Highest temperature that the maker allows"),
        Quantity(
            key="air",
            label="Air around the car",
            quantity=_TEMPERATURE,
            possible=(-50.0, 60.0),
            likely=(-25.0, 45.0),
            instrument="thermometer",
            finer=True,
        ),
    ),
    grids=(
        Grid(
            "warm_up",
            "Temperatures from the start on",
            Series(
                Quantity(
                    key="at",
                    label="time",
                    quantity="time",
                    unit="min",
                    possible=(0.0, 14_400.0),
                    likely=(0.0, 3600.0),
                    instrument="clock",
                ),
                planned=(0.0, 240.0, 360.0, 480.0, 720.0),
                most=40,
            ),
            (
                _place("engine", "engine outlet", help="By your own thermometer, at the outlet."),
                _place("upper", "upper hose, at the radiator"),
                _place("lower", "lower hose, at the radiator"),
                Quantity(
                    key="sensor",
                    label="car's sensor",
                    quantity=_TEMPERATURE,
                    possible=(-60.0, 220.0),
                    likely=(-25.0, 115.0),
                    finer=True,
                    help="Live value, else the gauge if it has figures.",
                ),
                _place("heater_in", "heater hose, in", finer=True),
                _place("heater_out", "heater hose, out", finer=True),
            ),
            help="From a cold start. Every minute once the engine comes near the thermostat's "
            "figure: the closer the readings, the better the opening is known.",
        ),
    ),
    handling_u={
        "engine": 1.0,
        "upper": 1.0,
        "lower": 1.0,
        "heater_in": 1.0,
        "heater_out": 1.0,
        "sensor": 1.0,
        "fan_on_at": 1.0,
        "fan_off_at": 1.0,
    },
    comparable={"side": (0.0, 0.0), "run": (0.0, 0.0), "tool": (0.0, 0.0)},
    compares=(
        "opens_at",
        "opened_after",
        "warm_up",
        "hottest",
        "levels_at",
        "radiator_drop",
        "heater_drop",
        "sensor_cold",
        "sensor_hot",
    ),
    maker_figures={
        "opens_at": ("Engine's temperature as the hose warms", _TEMPERATURE),
        "hottest": ("Engine at its hottest", _TEMPERATURE),
        "radiator_drop": ("Upper hose less lower hose, thermostat wide open", _DIFFERENCE),
        "sensor_hot": ("Car's sensor less thermometer, hot", _DIFFERENCE),
    },
    patterns=(
        Pattern("stays_shut", "engine hot, hose still cold", driving=_STOP),
        Pattern("reached_red", "hotter than the maker allows", driving=_STOP),
        Pattern("fan_never", "fan never came on above its switch point", driving=_WATCH_GAUGE),
        Pattern(
            "heater_cold", "heater cold while the engine is hot", direct=True, driving=_WATCH_GAUGE
        ),
        Pattern("opens_early", "hose warms early, or the engine stays cool"),
        Pattern("opens_late", "hose warms late", driving=_WATCH_GAUGE),
        Pattern("cold_patches", "cold patches in the radiator", direct=True, driving=_WATCH_GAUGE),
        Pattern("small_drop", "little drop across the radiator", driving=_WATCH_GAUGE),
        Pattern("large_drop", "large drop across the radiator", driving=_WATCH_GAUGE),
        Pattern(
            "sensor_disagrees",
            "car's sensor and thermometer disagree",
            driving=_GAUGE_MISLEADS,
        ),
        Pattern("fan_always", "fan runs from the start", direct=True),
        Pattern("opens_as_stamped", "opens as stamped, the rest not all seen"),
        Pattern("as_usual", "warms up, opens and cools as usual", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("not_cold", "The engine was not cold at the start.", 0.4),
        Confounder(
            "shiny_metal",
            "An infrared thermometer on bare metal reads low, nobody knows by how much.",
            0.3,
        ),
        Confounder(
            "side_unknown",
            "Where the thermostat sits is not known: at the lower hose, the upper one warms at "
            "once.",
            0.4,
        ),
        Confounder(
            "at_the_inlet",
            "The thermostat sits at the lower hose, which tells late and colder.",
            0.7,
        ),
        Confounder(
            "commanded", "The control unit opens the thermostat by load: no stamp to keep.", 0.4
        ),
        Confounder("stamp_unknown", "At what the thermostat opens is not known.", 0.5),
        Confounder("coarse", "The readings stood far apart when the hose warmed.", 0.6),
        Confounder(
            "sensor_elsewhere", "The thermometer was not known to be at the car's sensor.", 0.8
        ),
        Confounder(
            "only_idled",
            "Not known to have run faster than idle: nothing is shown of how it cools under load.",
            0.5,
            only_sound=True,
        ),
        Confounder("fan_not_watched", "Nobody watched the fan.", 0.7, only_sound=True),
        Confounder("radiator_not_felt", "Nobody looked across the radiator.", 0.8, only_sound=True),
        Confounder("heater_not_tried", "The heater was not tried.", 0.8, only_sound=True),
        Confounder(
            "low_level",
            "The level was not seen at its mark: air instead of coolant keeps hoses, heater and "
            "sensor cold.",
            0.4,
        ),
        Confounder("ac_on", "Air conditioning or demister on: it runs the fan by itself.", 0.5),
        Confounder("spots_changed", "Perhaps not the same matt spots each time.", 0.7),
    ),
    spoils=("pressure_hold", "pressure_cap", "battery_at_rest"),
    evidence_group="coolant_temperature",
    formulas=(
        Formula(
            "opens_at",
            "middle of the engine's temperatures at the last reading with the hose cold (less than "
            "a quarter of the way to the engine's) and the first with it warm (half of it); doubt: "
            "half of what lies between / root of 3, with the thermometer's own",
            "JCGM 100:2008, 4.3.7",
        ),
        Formula(
            "opened_after",
            "middle of the times of these two readings, in minutes from the first one; doubt: half "
            "of what lies between / root of 3",
            "JCGM 100:2008, 4.3.7",
        ),
        Formula(
            "warm_up",
            "time to 71.1 °C (160 °F) at the outlet by a straight line between the two readings "
            "about it, after a rise by 22.2 K (40 °F) at least",
            "warm-up cycle of the rules for on-board diagnosis, from memory",
        ),
        Formula("hottest", "highest reading at the engine's outlet"),
        Formula("hottest_shut", "highest reading at the outlet with the hose still cold"),
        Formula("levels_at", "last reading at the outlet, where it changed by 2 K at most"),
        Formula("radiator_drop", "upper hose less lower hose, last reading, same thermometer"),
        Formula("heater_drop", "heater hose in less out, last reading, same thermometer"),
        Formula("sensor_cold", "car's sensor less thermometer before the start"),
        Formula("sensor_hot", "car's sensor less thermometer at the last reading"),
        Formula(
            "over_switch",
            "highest reading of the car's sensor, else at the outlet, less the maker's switch "
            "point of the fan",
        ),
    ),
    example={
        "ready.level": "yes",
        "ready.ac_off": "yes",
        "ready.same_spots": "yes",
        "ready.exhaust": "yes",
        "given.start": "cold",
        "given.stamped": "82 °C",
        "given.side": "outlet",
        "given.fan": "came_on",
        "given.heater": "hot",
        "given.tool": "contact",
        "warm_up.s1.engine": "18 °C",
        "warm_up.s1.upper": "18 °C",
        "warm_up.s2.at": "6 min",
        "warm_up.s2.engine": "70 °C",
        "warm_up.s2.upper": "24 °C",
        "warm_up.s3.at": "8 min",
        "warm_up.s3.engine": "80 °C",
        "warm_up.s3.upper": "27 °C",
        "warm_up.s4.at": "9 min",
        "warm_up.s4.engine": "84 °C",
        "warm_up.s4.upper": "66 °C",
    },
    not_for=_not_for,
    next_step=_next_step,
    assess=assess,
    sentences={
        # customer
        "customer.stays_shut": "The engine reached {hottest_shut}, and the {hose} to the radiator "
        "was still cold. Its heat does not get to the radiator. The thermostat opens at "
        "{stamped} by its maker.",
        "customer.above_maker": "The engine reached {hottest}; its maker allows {highest}.",
        "customer.needle_red": "The car's own gauge or lamp showed that the engine is too hot.",
        "customer.fan_never": "The radiator fan did not come on, although the engine was hotter "
        "than the {fan_switch} at which the car's maker switches it on.",
        "customer.heater_cold": "The heater blew cold although the engine was hot. Too little hot "
        "coolant gets through it.",
        "customer.opens_early": "The {hose} to the radiator warmed with the engine between {low} "
        "and {high}. It should stay cold until about {stamped}. The engine then warms up slowly.",
        "customer.stays_cool": "The engine gets no warmer than {levels_at}. It should reach about "
        "{stamped}.",
        "customer.opens_late": "The {hose} to the radiator warmed only with the engine between "
        "{low} and {high}. It should warm at about {stamped}.",
        "customer.cold_patches": "Parts of the radiator stayed cold while the rest was hot.",
        "customer.small_drop": "The coolant left the radiator hardly cooler than it came in "
        "({upper} and {lower}), with the engine hot.",
        "customer.large_drop": "The coolant came out of the radiator much cooler than it went in "
        "({upper} and {lower}) while the engine was hot.",
        "customer.sensor_disagrees": "The car's own sensor says {sensor} where a separate "
        "thermometer says {thermometer}.",
        "customer.fan_always": "The radiator fan ran from the start, with the engine cold.",
        "customer.opens_as_stamped": "The thermostat opened about where it should: the {hose} "
        "warmed with the engine between {low} and {high}. Not everything else was looked at.",
        "customer.as_usual": "From cold the engine warmed up as usual. The thermostat opened with "
        "the engine between {low} and {high}, and fan and heater did their work. How it cools "
        "under heavy load is not shown by this.",
        "customer.as_usual_without_fan": "From cold the engine warmed up as usual. The thermostat "
        "opened with the engine between {low} and {high}, and the heater blew hot. How it cools "
        "under heavy load is not shown by this.",
        "customer.undecided": "The temperatures that were read do not show whether thermostat and "
        "fan work as they should. It has to be measured again from cold.",
        # technician
        "next.stays_shut": "Stop the engine. {hottest_shut} at the outlet and the {hose} still "
        "cold, stamped {stamped}: thermostat out and into water with a thermometer, air pocket or "
        "pump without flow first if the level was low.",
        "next.above_maker": "Stop: {hottest} at the outlet, maker's most {highest}. Let it cool "
        "before anything is opened; then level, flow, fan, gas in the coolant.",
        "next.needle_red": "Stop: needle or lamp red. Let it cool before anything is opened; then "
        "hold the sensor against the thermometer.",
        "next.fan_never": "Hotter than the switch point of {fan_switch}, and no fan: fuse and "
        "relay, feed and ground under load, motor, then switch or command. Air conditioning on "
        "should start it at once on most cars.",
        "next.heater_cold": "Heater cold: level and air first, then both heater hoses. Both cold: "
        "no flow. In hot and out cold: core. Both hot: flaps.",
        "next.opens_early": "{hose_head} warm with the engine between {low} and {high}, stamped "
        "{stamped}: thermostat stuck open, of a lower figure, missing, or its seat leaks. Take it "
        "out and look.",
        "next.stays_cool": "Levels off at {levels_at}, stamped {stamped}: look whether the hose "
        "was warm from the start, and whether the fan runs all the time.",
        "next.opens_late": "{hose_head} warm only with the engine between {low} and {high}, "
        "stamped {stamped}: repeat with a reading each minute, then thermostat into water.",
        "next.cold_patches": "Cold patches: photograph with the thermal picture or mark them. "
        "Blocked tubes, or air at the top.",
        "next.small_drop": "{upper} in and {lower} out with the engine hot: little heat is shed. "
        "Look at air through the core (dirt, flaps, fan) before coolant flow.",
        "next.large_drop": "{upper} in and {lower} out with the engine hot: the coolant stays long "
        "in the core, so little flows. Pump, thermostat lift, core, hose sucked flat.",
        "next.sensor_disagrees": "Sensor {sensor}, thermometer {thermometer}: resistance at the "
        "sensor against the maker's table, then plug and ground. What fan and mixture do follows "
        "the sensor.",
        "next.fan_always": "Fan from the start: air conditioning off? Sensor unplugged or wrong "
        "makes many control units run it; else relay stuck.",
        "next.opens_as_stamped": "Opens about where stamped. Fan, heater and gauge not all seen: "
        "let it run until the fan comes on.",
        "next.as_usual": "As usual at this load. Complaint only when driven hard: the same places "
        "after a climb say more.",
        "next.as_usual_without_fan": "As usual at this load, the fan's switching not seen. "
        "Complaint only when driven hard: the same places after a climb say more.",
        "next.undecided": "Nothing to rely on yet: from cold, stamp known, a reading each minute "
        "from ten below the stamp until the hose is warm and the fan has come on.",
        "verdict": "{label}: {words}.",
        "interval": "The {hose} warmed between {early} and {late}, the engine then at {low} to "
        "{high}.",
        "read_more_often": "The two readings about the opening lie far apart: a reading each "
        "minute near the stamp.",
        "warmed": "{limit} at the outlet after {warm_up}.",
        "fan_needs_figure": "Fan never came on: only the maker's switch point tells whether it "
        "should have.",
        "fan_not_called_for": "Fan never came on, and it is not shown that it got hotter than its "
        "switch point of {fan_switch}: run it on, watched.",
        "fan_came_on": "Fan on at {fan_on_at} by the car's sensor; hold it against the maker's "
        "figure.",
        "fan_came_on_switch": "Fan on at {fan_on_at} by the car's sensor, maker's figure "
        "{fan_switch}.",
        "fan_went_off": "Fan off again at {fan_off_at}.",
        "through": "Radiator: {upper} in, {lower} out.",
        "through_not_judged": "Radiator: {upper} in, {lower} out. While the thermostat still "
        "regulates, this drop says nothing of radiator or pump.",
        "through_heater": "Heater: {heater_in} in, {heater_out} out.",
        "needle_above": "Gauge above its usual place: trust the thermometer, and hold the sensor "
        "against it.",
        "needle_below": "Gauge below its usual place: trust the thermometer, and hold the sensor "
        "against it.",
        "needle_doubted": "The sensor reads higher than the thermometer: the red may be the "
        "gauge's. Treat it as hot until that is shown.",
        "was.not_cold": "Not cold at the start: repeat after a night, bonnet shut.",
        "was.shiny_metal": "Infrared on bare metal: put matt tape on it, wait a minute, read the "
        "tape. No lower limit was held against these readings.",
        "was.side_unknown": "Find out where the thermostat sits before the upper hose is believed.",
        "was.stamp_unknown": "No opening temperature known: the maker's data, or the stamp.",
        "was.low_level": "Level not seen: fill and bleed by the maker's way, then start from cold "
        "again.",
        # chart
        "chart.opened": "Engine from {start} to {end} in {time}; the {hose} warmed with the engine "
        "between {low} and {high}.",
        "chart.not_opened": "Engine from {start} to {end} in {time}; the {hose} was not seen to "
        "warm.",
        "chart.places": "Temperatures by place.",
    },
)
