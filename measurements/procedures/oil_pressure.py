"""Oil pressure by a mechanical gauge: hot at idle and at speed, and what lamp and sender say of it.

There is no usual oil pressure: only the maker's figure judges one, and only near the engine speed
and the oil temperature that it holds for. Without it the test says what was read, and whether lamp
and gauge of the car agree with it. How near is near, and how far a car's own gauge may lie off, is
common practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.cautions import EXHAUST_GAS, USED_OIL
from measurements.core.context import Context
from measurements.core.decision import decide, verdict_words
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.one_gauge import on_one_gauge
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
from measurements.core.readings import Reading, Readings, RowReadings
from measurements.core.uncertainty import decimal_places
from measurements.core.wording import at_head

NEAR_K = 10.0
"""Oil so near the temperature of the maker's figure counts as at it (judgement)."""

NEAR_SPEED, NEAR_RPM = 0.05, 100.0
"""So near the speed of the maker's figure, the wider of share and rpm (judgement)."""

SAME_SPEED_RPM = 150.0
"""Two points closer than this are one engine speed when they are compared (judgement)."""

HOT_C = 70.0
"""Oil warmer than this is hot where the maker says only "hot" (common practice)."""

NOUGHT_KPA = 10.0
"""One mark of the gauge: the needle does not move."""

OWN_SHARE, OWN_KPA = 0.15, 50.0
"""A car's own gauge may lie so far off, the wider of share and pressure (common practice)."""

_PRESSURE = "gauge_pressure"
_ENTERED = Source("maker", "maker's figure entered with the readings")
_SWITCH = Source("maker", "maker's switch point entered with the readings")
_OWN_GAUGE = Source("C", "common practice")

# --- where the maker's figures hold -----------------------------------------------------------


def near_speed(rpm: float, wanted: float) -> bool:
    """Whether a point was read at the speed that a figure holds for.

    >>> near_speed(2900, 3000), near_speed(2800, 3000), near_speed(880, 800)
    (True, False, True)
    """
    return abs(rpm - wanted) <= max(NEAR_RPM, NEAR_SPEED * wanted)


def _oil_differs(readings: Readings) -> str:
    """Why the hot figures can't be used: the oil is of another temperature, or nobody knows."""
    wanted, oil = readings.given("figure_temperature"), readings.given("oil_temperature")
    if wanted is not None:
        if oil is None:
            return "oil_not_measured"
        return "" if abs(oil - wanted) <= NEAR_K else "oil_at_another"
    if oil is not None:
        return "" if oil >= HOT_C else "oil_not_hot"
    return "oil_unknown" if "hot" in readings.unticked else ""


def _speed_differs(readings: Readings, row: RowReadings) -> str:
    """Why the figure can't be used at this point: it was read at another speed, or at none."""
    rpm = row.value("rpm")
    if row.code == "idle":
        wanted = readings.given("idle_rpm")
        if wanted is None:
            return ""
        if rpm is None:
            return "idle_speed_unread"
        return "" if near_speed(rpm, wanted) else "idle_at_another"
    wanted = readings.given("speed_rpm")
    if wanted is None:
        return "speed_not_entered"
    if rpm is None:
        return "speed_unread"
    return "" if near_speed(rpm, wanted) else "speed_at_another"


def _least_of(readings: Readings, row: RowReadings) -> float | None:
    """The maker's least that would judge this point."""
    if row.code == "cold":
        return None
    found: float | None = readings.given("least_idle" if row.code == "idle" else "least_speed")
    return found


def _at_point(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """The maker's figures, where speed and temperature of the point are theirs."""
    if row is None or _reversed(readings):
        return None
    tops = [readings.given("most_ever")]
    least = None
    if row.code != "cold" and not _oil_differs(readings) and not _speed_differs(readings, row):
        least = _least_of(readings, row)
        if row.code != "idle":
            tops.append(readings.given("most_speed"))
    most = min((top for top in tops if top is not None), default=None)
    return None if least is None and most is None else Span(least, most, _ENTERED)


def _reversed(readings: Readings) -> bool:
    """A least above its most was typed; which of the two is mistyped nobody knows."""
    pairs = (
        ("least_speed", "most_speed"),
        ("least_speed", "most_ever"),
        ("least_idle", "most_ever"),
        ("lamp_low", "lamp_high"),
    )
    return any(
        low is not None and high is not None and low > high
        for low, high in ((readings.given(a), readings.given(b)) for a, b in pairs)
    )


def _switch_points(readings: Readings) -> tuple[float | None, float | None]:
    """Between which pressures the lamp goes out by the maker; one figure alone stands for both."""
    if _reversed(readings):
        return None, None
    low, high = readings.given("lamp_low"), readings.given("lamp_high")
    return (high if low is None else low), (low if high is None else high)


def _at_switch(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    if _reversed(readings):
        return None
    low, high = readings.given("lamp_low"), readings.given("lamp_high")
    return None if low is None and high is None else Span(low, high, _SWITCH)


# --- the points -------------------------------------------------------------------------------


def _row_reading(row: RowReadings) -> Reading | None:
    """The pressure that was read there, as a number."""
    reading = row.get("pressure")
    return reading if reading is not None and reading.number is not None else None


def _read_rows(readings: Readings) -> list[RowReadings]:
    return [row for row in readings.rows("points") if _row_reading(row) is not None]


def _at_nought(row: RowReadings) -> bool:
    """The needle stays at its stop, or less than a mark was noted."""
    reading = row.get("pressure")
    if reading is None:
        return False
    if reading.status == "below" and reading.bound is not None:
        return reading.bound <= NOUGHT_KPA
    return reading.number is not None and reading.number <= NOUGHT_KPA


def _beyond(row: RowReadings, context: Context, low: float | None) -> str:
    """How the pressure of a point lies to a least: "within", "outside", "cannot_tell" or ""."""
    reading = _row_reading(row)
    if reading is None or low is None:
        return ""
    return decide(reading.number or 0.0, reading.u, low, None, context.risk).outcome


def _judge(readings: Readings, context: Context) -> list[VerdictOutcome]:
    """Verdicts on what was read; a limit kept for the car judges no oil that is not known hot."""
    held_back = _oil_differs(readings)
    verdicts = []
    for verdict in judge(PROCEDURE, readings, context):
        parts = verdict.address.split(".")
        if parts[-1] == "own":
            continue  # judged as a difference from the gauge
        kept = verdict.source is not None and verdict.source is not _ENTERED
        if kept and held_back and parts[0] == "points" and parts[1] != "cold":
            verdict = replace(
                verdict, outcome="no_limit", p=None, low=None, high=None, source=None,
                too_narrow=False,
            )  # fmt: skip
        verdicts.append(verdict)
    return verdicts


# --- figures ----------------------------------------------------------------------------------


def _figures(readings: Readings, context: Context) -> list[Figure]:
    rows = _read_rows(readings)
    found = {row.code: row for row in rows}
    on_gauge = on_one_gauge(
        {row.code: reading for row in rows if (reading := _row_reading(row)) is not None},
        context.instrument("oil_gauge"),
        PROCEDURE.handling_u["pressure"],
    )
    figures = []
    for row in rows:
        rpm: Any = row.uncertain("rpm")
        if rpm is not None and rpm.nominal_value > 0:
            label = f"{row.label}, pressure per 1000 rpm"
            per_1000 = on_gauge[row.code] / (rpm / 1000)
            figures.append(figure_of(f"per_1000_{row.code}", label, _PRESSURE, per_1000))
    label = "lower hot than cold, at idle"
    if "cold" in found and "idle" in found:
        first, last = (found[code].value("rpm") for code in ("cold", "idle"))
        why = ""
        if first is None or last is None:
            why = "the engine speed of both was not read"
        elif abs(first - last) > SAME_SPEED_RPM:
            why = "the two were read at different engine speeds"
        if why:
            figures.append(Figure("fall_warming", label, _PRESSURE, None, absent_because=why))
        else:
            fall: Any = on_gauge["cold"] - on_gauge["idle"]
            figures.append(figure_of("fall_warming", label, _PRESSURE, fall))
    if "idle" in found and "speed" in found:
        rise: Any = on_gauge["speed"] - on_gauge["idle"]
        figures.append(figure_of("rise", "higher at speed than at idle", _PRESSURE, rise))
    if "speed" in found and "high" in found:
        more: Any = on_gauge["high"] - on_gauge["speed"]
        figures.append(figure_of("rise_on", "higher still, faster than that", _PRESSURE, more))
    for row in rows:
        own = row.uncertain("own")
        if own is not None:
            label = f"{row.label}, the car's own less our gauge"
            off: Any = own - on_gauge[row.code]
            figures.append(figure_of(f"own_{row.code}", label, _PRESSURE, off))
    return figures


def _own_verdicts(
    readings: Readings, figures: Sequence[Figure], context: Context
) -> list[VerdictOutcome]:
    by_key = {figure.key: figure for figure in figures}
    verdicts = []
    for row in _read_rows(readings):
        figure, reading = by_key.get(f"own_{row.code}"), _row_reading(row)
        if figure is None or reading is None:
            continue
        off = max(OWN_KPA, OWN_SHARE * (reading.number or 0.0))
        verdicts.append(judge_figure(PROCEDURE, figure, context, Span(-off, off, _OWN_GAUGE)))
    return verdicts


# --- what was seen ----------------------------------------------------------------------------

Seen = dict[str, tuple[str, ...]]
"""Pattern -> rows where it was seen, in the order of the declared patterns."""


def _side(verdict: VerdictOutcome, readings: Readings) -> str:
    """Which end of its limit a verdict is about: "low" or "high"."""
    if verdict.high is None or verdict.low is None:
        return "high" if verdict.low is None else "low"
    if verdict.value is None:
        reading = readings.get(verdict.address)
        return "low" if reading is not None and reading.status == "below" else "high"
    return "low" if verdict.value < (verdict.low + verdict.high) / 2 else "high"


def _judged(verdicts: Mapping[str, VerdictOutcome], readings: Readings) -> dict[str, str]:
    """Hot points that a least judges: "within", "low", "close" or, above the most, "high"."""
    found = {}
    for row in readings.rows("points"):
        verdict = verdicts.get(row.address("pressure"))
        if row.code == "cold" or verdict is None or verdict.low is None:
            continue
        if verdict.outcome == "within":
            found[row.code] = "within"
        elif _side(verdict, readings) == "high":
            found[row.code] = "high"
        else:
            found[row.code] = "low" if verdict.outcome == "outside" else "close"
    return found


def _below(
    readings: Readings, context: Context, verdicts: Mapping[str, VerdictOutcome]
) -> tuple[str, tuple[str, ...]] | None:
    """Where it is below the maker's least, as one picture."""
    judged = _judged(verdicts, readings)
    low = tuple(code for code, where in judged.items() if where == "low")
    if not low:
        switch = _switch_points(readings)[0]
        under = [r.code for r in _read_rows(readings) if _beyond(r, context, switch) == "outside"]
        return ("below_least", tuple(under)) if under else None
    least = verdicts[f"points.{low[0]}.pressure"].low
    cold = next((row for row in readings.rows("points") if row.code == "cold"), None)
    if cold and len(low) == len(judged) and _beyond(cold, context, least) == "within":
        return "below_when_hot", low
    others = [where for code, where in judged.items() if code not in low]
    if low == ("idle",) and others and all(where in ("within", "high") for where in others):
        return "below_at_idle", low
    if judged.get("idle") == "within":
        return "below_at_speed", low
    return "below_least", low


def _seen(readings: Readings, context: Context, verdicts: Mapping[str, VerdictOutcome]) -> Seen:
    found: dict[str, list[str]] = {}

    def note(pattern: str, *where: str) -> None:
        found.setdefault(pattern, []).extend(where)

    out_low, out_high = _switch_points(readings)
    judged = _judged(verdicts, readings)
    for row in readings.rows("points"):
        verdict, lamp = verdicts.get(row.address("pressure")), row.value("lamp")
        if _at_nought(row):
            note("no_pressure", row.code)
        if lamp == "off" and (_at_nought(row) or _beyond(row, context, out_low) == "outside"):
            note("lamp_blind", row.code)
        there = _beyond(row, context, out_high) == "within"
        if out_high is None:
            there = judged.get(row.code) in ("within", "high")
        if lamp in ("on", "flickers") and there:
            note("lamp_alone", row.code)
        outside = verdict is not None and verdict.outcome == "outside"
        if verdict is not None and outside and _side(verdict, readings) == "high":
            note("above_most", row.code)
        if judged.get(row.code) == "close":
            note("at_limit", row.code)
        for needle, pattern in (("sinks", "sinks_away"), ("flutters", "flutters")):
            if row.value("needle") == needle:
                note(pattern, row.code)
        own = verdicts.get(f"figure.own_{row.code}")
        if own is not None and own.outcome == "outside":
            note("own_disagrees", row.code)
    below = _below(readings, context, verdicts)
    if below is not None and not set(below[1]) <= set(found.get("no_pressure", ())):
        note(below[0], *below[1])
    for pattern in _of_the_whole(readings, verdicts):
        note(pattern)
    return {
        pattern.code: tuple(found[pattern.code])
        for pattern in PROCEDURE.patterns
        if pattern.code in found
    }


def _of_the_whole(readings: Readings, verdicts: Mapping[str, VerdictOutcome]) -> list[str]:
    """What belongs to no one point: the start, and the lamp by itself."""
    out = verdicts.get("given.lamp_out")
    side = _side(out, readings) if out is not None and out.outcome == "outside" else ""
    tests = {
        "no_pressure": readings.given("start") == "nothing",
        "lamp_late": readings.given("lamp_key_on") == "dark" or side == "low",
        "lamp_alone": side == "high",
        "slow": readings.given("start") == "slow",
    }
    return [pattern for pattern, holds in tests.items() if holds]


def _quiet(readings: Readings, verdicts: Mapping[str, VerdictOutcome]) -> str:
    """Nothing unusual: worth something only where the maker's least judged a hot point."""
    judged = _judged(verdicts, readings)
    at_points = [v for v in verdicts.values() if v.address.startswith("points.")]
    inside = judged and all(v.outcome in ("within", "no_limit") for v in at_points)
    return "within_maker" if inside else "undecided"


def assess(readings: Readings, context: Context) -> Assessment:
    """Against the maker where figure, speed and temperature are known; lamp and gauge always."""
    figures = _figures(readings, context)
    verdicts = [*_judge(readings, context), *_own_verdicts(readings, figures, context)]
    by_address = {verdict.address: verdict for verdict in verdicts}
    seen = _seen(readings, context, by_address)
    lead = next(iter(seen), "") or _quiet(readings, by_address)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=seen.get(lead, ()),
        also=tuple(Also(code, where) for code, where in seen.items() if code != lead),
        figures=figures,
        verdicts=verdicts,
        confounders=_confounders(lead, readings, by_address),
        tables=_tables(readings, by_address, context),
        customer=_customer(lead, seen, readings, by_address),
        technician=_technician(lead, seen, readings, figures, by_address, context),
        chart=_chart(readings, by_address),
    )


_ABOUT_LAMP = ("lamp_blind", "lamp_late", "lamp_alone", "own_disagrees")


def _confounders(
    lead: str, readings: Readings, verdicts: Mapping[str, VerdictOutcome]
) -> list[str]:
    judged, oil = _judged(verdicts, readings), readings.given("oil_temperature")
    checks = (
        ("no_makers_figure", not judged),
        ("one_speed_only", bool(judged) and (set(judged) == {"idle"} or "idle" not in judged)),
        (
            "temperature_by_proxy",
            oil is not None and readings.given("temperature_by") in ("sump", "coolant"),
        ),
        ("temperature_not_read", bool(judged) and oil is None),
        ("gauge_too_coarse", any(verdict.too_narrow for verdict in verdicts.values())),
        ("other_oil", readings.given("other_oil") is True),
        ("not_together", lead in _ABOUT_LAMP and readings.given("fitted") == "place"),
    )
    return [code for code, holds in checks if holds]


# --- words, table, chart ----------------------------------------------------------------------


def _shown(reading: Reading) -> str:
    """A pressure alone, to the last figure that the gauge has."""
    stored = units.QUANTITIES[_PRESSURE].unit
    digit = float(units.convert_width(reading.digit, _PRESSURE, stored, reading.unit))
    places = decimal_places(0.0, digit) if digit > 0 else 0
    return units.show_value(reading.number or 0.0, _PRESSURE, places=places, unit=reading.unit)


def _bound(kpa: float, like: Reading) -> str:
    """A limit in the unit in which the reading is shown."""
    return units.limit_texts(kpa, None, _PRESSURE, like.unit)[0] + "\u00a0" + like.unit


def _short(row: RowReadings) -> str:
    return _SHORT.get(row.code, row.label)


def _points(
    where: Sequence[str], readings: Readings, verdicts: Mapping[str, VerdictOutcome]
) -> str:
    """ "idle 60 kPa (maker: at least 100 kPa), at speed 250 kPa" for these points."""
    told = []
    for row in readings.rows("points"):
        reading, verdict = row.get("pressure"), verdicts.get(row.address("pressure"))
        if row.code not in where or reading is None:
            continue
        if reading.number is None:
            told.append(f"{_short(row)} {reading.understood}")
            continue
        params = {"point": _short(row), "value": _shown(reading)}
        if verdict is None or (verdict.low is None and verdict.high is None):
            told.append(PROCEDURE.say("point.bare", **params).text)
            continue
        ends = [end for end in ("low", "high") if getattr(verdict, end) is not None]
        limits = {end: _bound(getattr(verdict, end), reading) for end in ends}
        told.append(PROCEDURE.say("point." + "_".join(ends), **params, **limits).text)
    return ", ".join(told)


def _read_everywhere(readings: Readings) -> list[str]:
    return [row.code for row in readings.rows("points") if row.get("pressure") is not None]


def _switch_alone(code: str, readings: Readings, verdicts: Mapping[str, VerdictOutcome]) -> bool:
    """It is the lamp's own switch point that the pressure is below, not a least."""
    return code == "below_least" and "low" not in _judged(verdicts, readings).values()


def _off_by(
    where: Sequence[str], readings: Readings, verdicts: Mapping[str, VerdictOutcome]
) -> str:
    """ "idle 300 kPa against 120 kPa": the car's gauge and ours."""
    told = []
    for row in readings.rows("points"):
        own, ours = row.get("own"), _row_reading(row)
        if row.code in where and own is not None and ours is not None:
            params = {"point": _short(row), "own": _shown(own), "ours": _shown(ours)}
            told.append(PROCEDURE.say("point.own", **params).text)
    return ", ".join(told)


def _said(
    reader: str, seen: Seen, readings: Readings, verdicts: Mapping[str, VerdictOutcome]
) -> list[Sentence]:
    """A sentence for each thing that was seen; reader: "customer" or "next"."""
    said = []
    for code, where in seen.items():
        key = f"{reader}.{code}"
        if code == "own_disagrees":
            said.append(PROCEDURE.say(key, points=_off_by(where, readings, verdicts)))
            continue
        points = _points(where, readings, verdicts)
        if code in ("no_pressure", "lamp_alone") and not points:
            key += "_bare"
        elif _switch_alone(code, readings, verdicts):
            key = f"{reader}.below_switch"
        said.append(PROCEDURE.say(key, points=points))
    return said


_NOT_RUN = (
    "no_pressure", "lamp_blind", "below_least", "below_when_hot", "below_at_speed", "at_limit",
    "sinks_away",
)  # fmt: skip


def _customer(
    lead: str, seen: Seen, readings: Readings, verdicts: Mapping[str, VerdictOutcome]
) -> list[Sentence]:
    said = _said("customer", seen, readings, verdicts)
    if any(code in seen for code in _NOT_RUN):
        said.append(PROCEDURE.say("customer.do_not_run"))
    judged, everywhere = _judged(verdicts, readings), _read_everywhere(readings)
    if lead == "within_maker":
        said.append(
            PROCEDURE.say("customer.within_maker", points=_points([*judged], readings, verdicts))
        )
    elif everywhere and not judged and not any(code in seen for code in _NOT_RUN):
        points = _points(everywhere, readings, verdicts)
        said.append(PROCEDURE.say("customer.read_only", points=points))
    elif lead == "undecided":
        said.append(PROCEDURE.say("customer.undecided"))
    return said


def _technician(
    lead: str,
    seen: Seen,
    readings: Readings,
    figures: Sequence[Figure],
    verdicts: Mapping[str, VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    told = _said("next", seen, readings, verdicts)
    if lead == "within_maker":
        told.append(PROCEDURE.say("next.within_maker"))
    for verdict in verdicts.values():
        said_above = verdict.address.startswith("figure.own_") and verdict.outcome == "outside"
        if verdict.outcome in ("cannot_tell", "outside") and not said_above:
            words = verdict_words(verdict, context.units)
            told.append(PROCEDURE.say("judged", what=at_head(verdict.label), words=words))
    told += _why_no_verdict(readings, verdicts, context)
    told += _of_figures(readings, figures, context)
    told += _of_lamp(seen, readings)
    return told or [PROCEDURE.say("next.undecided")]


def _why_no_verdict(
    readings: Readings, verdicts: Mapping[str, VerdictOutcome], context: Context
) -> list[Sentence]:
    """What keeps the maker's figures from judging what was read."""
    told = []
    judged, rows = _judged(verdicts, readings), _read_rows(readings)
    hot = [row for row in rows if row.code != "cold" and row.code not in judged]
    if _reversed(readings):
        told.append(PROCEDURE.say("reversed"))
    elif not judged and readings.given("least_idle") is None is readings.given("least_speed"):
        told.append(PROCEDURE.say("enter_the_figure"))
    else:
        # Other points than the maker's only matter as long as that one is not judged.
        at_speed = bool(set(judged) - {"idle"})
        waiting = [
            row
            for row in hot
            if _least_of(readings, row) is not None and not (at_speed and row.code != "idle")
        ]
        oil = _oil_differs(readings)
        if waiting and oil:
            told.append(PROCEDURE.say(oil, **_temperatures(readings, context)))
        for row in waiting:
            why = _speed_differs(readings, row)
            if why:
                told.append(PROCEDURE.say(why, point=at_head(row.label), **_speeds(readings, row)))
    return told


def _temperatures(readings: Readings, context: Context) -> dict[str, str]:
    values = {
        "wanted": readings.given("figure_temperature"),
        "oil": readings.given("oil_temperature"),
        "hot": HOT_C,
    }
    return {
        key: "" if value is None else units.show_value(value, "temperature", context.units, 0)
        for key, value in values.items()
    }


def _speeds(readings: Readings, row: RowReadings) -> dict[str, str]:
    values = {
        "wanted": readings.given("idle_rpm" if row.code == "idle" else "speed_rpm"),
        "rpm": row.value("rpm"),
    }
    return {
        key: "" if value is None else units.show_value(value, "rotation")
        for key, value in values.items()
    }


def _of_figures(readings: Readings, figures: Sequence[Figure], context: Context) -> list[Sentence]:
    """What the differences tell: thinning, where the relief valve holds, an absolute reading."""
    by_key = {figure.key: figure for figure in figures if figure.value is not None}
    told = []
    fall, on = by_key.get("fall_warming"), by_key.get("rise_on")
    if fall is not None and fall.value is not None:
        told.append(PROCEDURE.say("fall", fall=_figure_words(fall, context)))
    if on is not None and on.value is not None:
        at = {row.code: row for row in _read_rows(readings)}
        first, last = at["speed"].value("rpm"), at["high"].value("rpm")
        if first is not None and last is not None and last >= 1.2 * first > 0:
            key = "capped" if on.value <= 2 * on.u else "rises_on"
            told.append(
                PROCEDURE.say(
                    key,
                    first=units.show_value(first, "rotation"),
                    last=units.show_value(last, "rotation"),
                    more=_figure_words(on, context),
                )
            )
    own = [figure for figure in by_key.values() if figure.key.startswith("own_")]
    told += [
        PROCEDURE.say("own", what=at_head(figure.label), off=_figure_words(figure, context))
        for figure in own
    ]
    air = context.ambient.pressure_kpa
    if own and all(abs((one.value or 0.0) - air) <= max(15.0, 2 * one.u) for one in own):
        told.append(PROCEDURE.say("perhaps_absolute"))
    return told


def _figure_words(figure: Figure, context: Context) -> str:
    return units.show(figure.value or 0.0, figure.u, figure.quantity, context.units, digit=1.0)


def _of_lamp(seen: Seen, readings: Readings) -> list[Sentence]:
    """The lamp's wire pulled off: on which side of it the lamp is lit."""
    unplugged = readings.given("lamp_unplugged")
    if "lamp_alone" in seen and unplugged in ("on", "off"):
        return [PROCEDURE.say(f"unplugged_{unplugged}")]
    return []


def _tables(
    readings: Readings, verdicts: Mapping[str, VerdictOutcome], context: Context
) -> tuple[Table, ...]:
    cells = []
    for row in readings.rows("points"):
        reading, rpm, own = row.get("pressure"), row.get("rpm"), row.get("own")
        if reading is None:
            continue
        verdict = verdicts.get(row.address("pressure"))
        said = [row.get(key) for key in ("lamp", "needle")]
        cells.append(
            (
                row.label,
                rpm.understood if rpm else "",
                reading.understood,
                verdict_words(verdict, context.units) if verdict else "",
                own.understood if own else "",
                "; ".join(one.words for one in said if one),
            )
        )
    if not cells:
        return ()
    head = ("point", "engine speed", "our gauge", "held against", "the car's own", "seen")
    return (Table("Oil pressure by point", head, tuple(cells)),)


def _chart(readings: Readings, verdicts: Mapping[str, VerdictOutcome]) -> dict[str, Any]:
    """Pressure over engine speed, hot and cold, with the maker's least where it holds."""
    hot: list[list[Any]] = []
    cold: list[list[Any]] = []
    least: list[list[Any]] = []
    told = []
    for row in _read_rows(readings):
        rpm, reading = row.value("rpm"), _row_reading(row)
        if rpm is None or reading is None:
            continue
        (cold if row.code == "cold" else hot).append([float(rpm), reading.number, reading.u])
        told.append(row.code)
        verdict = verdicts.get(row.address("pressure"))
        if verdict is not None and verdict.low is not None:
            least.append([float(rpm), verdict.low])
    if not hot and not cold:
        return {}
    named = (("hot", hot), ("cold", cold), ("maker's least", least))
    title = PROCEDURE.say("chart", points=_points(told, readings, verdicts)).text
    return {
        "kind": "lines",
        "title": title,
        "x": {"label": "engine speed", "unit": "rpm"},
        "y": {"label": "gauge pressure", "unit": "kPa", "from_zero": True},
        "series": [{"label": label, "points": sorted(line)} for label, line in named if line],
        "limits": [],
        "note": "",
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The box that would tell most now."""
    kept = any(limit.address.startswith("points.") for limit in context.limits)
    if not kept and readings.given("least_idle") is None is readings.given("least_speed"):
        return (("given.least_idle", "Only the maker's figure judges an oil pressure."),)
    if readings.get("points.idle.pressure") is None:
        return (("points.idle.pressure", "Hot idle is where a worn engine shows first."),)
    if readings.get("points.speed.pressure") is None:
        return (("points.speed.pressure", "At speed pump, strainer and relief valve show."),)
    if readings.given("oil_temperature") is None:
        return (("given.oil_temperature", "Pressure follows the temperature of the oil."),)
    return ()


def _not_for(context: Context) -> str:
    return "" if context.car.has_engine else "it has no engine that oil is pumped through."


# --- the declaration --------------------------------------------------------------------------

_SHORT = {"speed": "hot at speed"}

_STOP = Driving(
    "do_not_drive",
    "Without enough oil pressure an engine is ruined within minutes. Do not run it; have it towed.",
)
_TREAT_AS_LOW = Driving(
    "do_not_drive",
    "The oil pressure is too close to the maker's least to tell. Treat it as too low: do not run "
    "the engine before it is measured better or put right.",
)
_SHORT_WAY = Driving(
    "only_as_stated",
    "Only the way to the repair, oil level read before: no long idling when hot, no load, engine "
    "off at once when the oil lamp lights or it knocks.",
)
_NO_WARNING = Driving(
    "only_as_stated",
    "The oil lamp can't be relied on. Read the oil level before each drive, and switch off at once "
    "at any new noise, until lamp and sender are put right.",
)
_GENTLE_COLD = Driving(
    "only_as_stated",
    "No high engine speed, above all cold: too much pressure can burst the oil filter. Look under "
    "the car for oil after each drive.",
)


def _told(key: str, label: str, help: str = "", *, finer: bool = True) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity=_PRESSURE,
        possible=(0.0, 2000.0),
        likely=(15.0, 900.0),
        origin="told",
        finer=finer,
        help=help,
    )


def _speed(key: str, label: str, help: str = "", *, finer: bool) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity="rotation",
        possible=(300.0, 12_000.0),
        likely=(500.0, 6000.0),
        origin="told",
        finer=finer,
        help=help,
    )


PROCEDURE = Procedure(
    name="oil_pressure",
    title="Oil pressure by gauge",
    version=1,
    group="Engine",
    purpose="Shows the engine's oil pressure on a mechanical gauge, hot at idle and at speed, "
    "against the maker's least, and whether oil lamp and gauge of the car tell the truth.",
    proves_nothing_when="The maker's figure is not known, the oil was not as hot or the engine not "
    "as fast as the figure asks, the level was not read first, or the gauge does not start at "
    "nought.",
    cautions=(
        Caution(
            "Nothing on the gauge within a few seconds: switch off at once.",
            "Do not rev it to see. No second start before it is known why.",
            "common practice",
        ),
        Caution(
            "Oil lamp on while driving: stop, engine off, have it towed.",
            "Seconds count. It may be the lamp alone; a gauge shows that, another mile does not.",
            "common practice",
            "customer",
        ),
        Caution(
            "Read the oil level first, engine off.",
            "Top up to between the marks before it runs. Above the upper mark: do not start it.",
            "common practice",
        ),
        Caution(
            "Hot oil under pressure burns and feeds a fire.",
            "Fit the gauge cool; gloves, eyes covered; no rags or drops on the exhaust, "
            "extinguisher at hand.",
            "common practice",
        ),
        Caution(
            "Gauge, hose and adapter rated for the pressure, the right thread.",
            "Tied clear of belts, fan and exhaust; never forced: tapered and straight threads look "
            "alike. Look at the joints at the first idle.",
            "common practice",
        ),
        Caution(
            "Belts and fans.",
            "Sleeves, hair and hose clear of them; electric fans start by themselves.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "Neutral or park, brake on, wheels chocked, nobody in front.",
            "The engine speed is held while somebody reads.",
            "common practice",
        ),
        EXHAUST_GAS,
        Caution(
            "Afterwards: sender in, its thread sealed as the maker says, its plug on.",
            "Torque by the maker; too much sealant lifts its ground. Run it, look for leaks, read "
            "the level, see the lamp light with the key and go out.",
            "maker's instructions; common practice",
        ),
        USED_OIL,
        Caution(
            "High voltage: the engine may start and stop by itself.",
            "Maker's service mode to keep it running, switched off for fitting; orange cables stay "
            "untouched.",
            "UN R100; local rules for electrical work",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("level", "Oil level read: between the marks.", "level_not_read"),
        Precondition("zero", "Gauge at nought before the start.", "gauge_not_zeroed"),
        Precondition("tied", "Hose clear of belts, fan and exhaust; joints dry at first idle."),
        Precondition("hot", "For the hot points: driven for 20 minutes, or the fan has run twice."),
    ),
    effort=Effort(
        minutes=15,
        tools=(
            "mechanical oil pressure gauge with adapters",
            "oil thermometer",
            "rev counter",
            "thread sealant as the maker says",
            "catch pan",
        ),
        state="hot",
        risk="Old senders break or leak when they are taken out: have a new seal or sender ready.",
    ),
    given=(
        Choice(
            key="start",
            label="Needle after starting",
            needed=True,
            chips=True,
            choices={
                "at_once": "rises at once",
                "slow": "after more than five seconds",
                "nothing": "nothing, engine stopped",
            },
        ),
        Quantity(
            key="oil_temperature",
            label="Oil temperature at the hot points",
            quantity="temperature",
            needed=True,
            possible=(-40.0, 200.0),
            likely=(60.0, 130.0),
            instrument="thermometer",
        ),
        Choice(
            key="temperature_by",
            label="Read",
            chips=True,
            choices={
                "oil": "in the oil",
                "live": "live value of the oil",
                "sump": "outside of the sump",
                "coolant": "coolant only",
            },
        ),
        _told("least_idle", "Maker's least, hot idle", finer=False),
        _told("least_speed", "Maker's least, hot at speed", finer=False),
        _speed("speed_rpm", "At this engine speed", "That the maker's figure is for.", finer=False),
        Quantity(
            key="figure_temperature",
            label="At this oil temperature",
            quantity="temperature",
            possible=(20.0, 160.0),
            likely=(60.0, 130.0),
            origin="told",
            finer=True,
            help="That the maker's figures are for. Left empty where they say only “hot”.",
        ),
        _speed("idle_rpm", "Maker's idle speed for it", finer=True),
        _told("most_speed", "Maker's most, hot at speed"),
        _told("most_ever", "Maker's most at any point", "Often the relief valve's."),
        Choice(
            key="fitted",
            label="Gauge sits",
            chips=True,
            finer=True,
            choices={
                "place": "in the sender's place",
                "tee": "on a tee with the sender",
                "port": "at a port of its own",
            },
        ),
        Choice(
            key="lamp_key_on",
            label="Oil lamp, key on, engine off",
            chips=True,
            finer=True,
            choices={"lights": "lights", "dark": "stays dark", "none": "has no lamp"},
            help="With the sender plugged in, before it is taken out.",
        ),
        _told("lamp_low", "Lamp goes out by the maker: lowest", "The switch point of the sender."),
        _told("lamp_high", "Lamp goes out by the maker: highest"),
        Quantity(
            key="lamp_out",
            label="Lamp went out at",
            quantity=_PRESSURE,
            possible=(0.0, 2000.0),
            likely=(5.0, 250.0),
            instrument="oil_gauge",
            finer=True,
            help="On a tee, as the pressure builds up.",
        ),
        Choice(
            key="lamp_unplugged",
            label="Lamp with its wire off the sender",
            finer=True,
            choices={"off": "off", "on": "still on", "not_tried": "not tried"},
            help="On many newer cars the control unit lights it then: see its codes.",
        ),
        Flag(
            key="other_oil",
            label="Oil of another grade than the maker's, or thin from fuel",
            origin="told",
            finer=True,
        ),
    ),
    grids=(
        Grid(
            "points",
            "Oil pressure",
            Conditions(
                fields=(
                    Quantity(
                        key="rpm",
                        label="engine speed",
                        quantity="rotation",
                        needed=True,
                        possible=(200.0, 12_000.0),
                        likely=(500.0, 5000.0),
                        instrument="rev_counter",
                    ),
                ),
                presets=(
                    Row("cold", "cold idle", optional=True),
                    Row("idle", "hot idle"),
                    Row("speed", "hot at the maker's speed"),
                    Row("high", "hot and faster", optional=True),
                ),
                tolerance={"rpm": SAME_SPEED_RPM},
                most=8,
            ),
            (
                Quantity(
                    key="pressure",
                    label="pressure",
                    quantity=_PRESSURE,
                    needed=True,
                    possible=(0.0, 2000.0),
                    likely=(0.0, 900.0),
                    instrument="oil_gauge",
                    help="On our gauge, engine speed held until the needle stands.",
                ),
                Choice(
                    key="lamp",
                    label="oil lamp",
                    chips=True,
                    choices={"off": "off", "on": "on", "flickers": "flickers"},
                ),
                Choice(
                    key="needle",
                    label="needle",
                    chips=True,
                    choices={"steady": "steady", "flutters": "flutters", "sinks": "sinks away"},
                ),
                Quantity(
                    key="own",
                    label="the car's own gauge",
                    quantity=_PRESSURE,
                    finer=True,
                    possible=(0.0, 2500.0),
                    likely=(0.0, 1000.0),
                    help="Dash gauge or live value; of an absolute one take off the air's.",
                ),
            ),
            help="Other points are taken as hot. Lamp and own gauge need the sender in: on a tee, "
            "or noted at the same point just before.",
        ),
    ),
    handling_u={"pressure": 3.0, "lamp_out": 3.0, "own": 10.0, "oil_temperature": 2.0},
    limits=(
        Limit("points.*.pressure", bounds=_at_point, safety=True),
        Limit("given.lamp_out", bounds=_at_switch),
    ),
    comparable={"oil_temperature": (NEAR_K, 0.0)},
    patterns=(
        Pattern("no_pressure", "no oil pressure shows", direct=True, driving=_STOP),
        Pattern(
            "lamp_blind", "oil lamp off although pressure is missing", direct=True, driving=_STOP
        ),
        Pattern("below_least", "below the maker's least", direct=True, driving=_STOP),
        Pattern(
            "below_when_hot",
            "falls below the maker's least as it warms",
            direct=True,
            driving=_STOP,
        ),
        Pattern(
            "below_at_speed", "stays below the maker's least at speed", direct=True, driving=_STOP
        ),
        Pattern(
            "below_at_idle",
            "below the maker's least at idle only",
            direct=True,
            driving=_SHORT_WAY,
        ),
        Pattern(
            "at_limit",
            "too close to the maker's least to tell",
            direct=True,
            driving=_TREAT_AS_LOW,
        ),
        Pattern("sinks_away", "sinks away while the speed is held", driving=_STOP),
        Pattern("lamp_late", "oil lamp warns late or not at all", direct=True, driving=_NO_WARNING),
        Pattern("above_most", "above the maker's most", direct=True, driving=_GENTLE_COLD),
        Pattern("flutters", "the needle flutters", driving=_SHORT_WAY),
        Pattern(
            "lamp_alone",
            "oil lamp on although pressure is there",
            direct=True,
            driving=_NO_WARNING,
        ),
        Pattern("own_disagrees", "the car's own gauge disagrees", direct=True),
        Pattern("slow", "builds up slowly after starting"),
        Pattern("within_maker", "inside the maker's figures", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "no_makers_figure",
            "No maker's least judged a hot point: the level of the pressure is not judged.",
            0.8,
            only_sound=True,
        ),
        Confounder(
            "one_speed_only",
            "Only idle or only speed was judged: each shows other faults.",
            0.5,
            only_sound=True,
        ),
        Confounder(
            "temperature_by_proxy",
            "The oil's temperature was read on the sump or as that of the coolant: oil lags "
            "behind both.",
            0.7,
        ),
        Confounder(
            "temperature_not_read", "The oil's temperature was not read, only driven warm.", 0.7
        ),
        Confounder(
            "gauge_too_coarse", "The gauge is too coarse for a window as narrow as this one.", 0.6
        ),
        Confounder(
            "other_oil", "The oil is of another grade, or thin: the pressure is the oil's too.", 0.5
        ),
        Confounder(
            "not_together",
            "Lamp or own gauge were noted before our gauge took the sender's place, not together.",
            0.7,
        ),
        Confounder(
            "level_not_read", "The oil level was not read first: too little lowers it.", 0.5
        ),
        Confounder("gauge_not_zeroed", "The gauge was not seen at nought before the start.", 0.6),
    ),
    needs_before=("oil_level", "trouble_codes"),
    spoils=("battery_at_rest",),
    leaves_apart=("oil pressure sender out, gauge in its place",),
    evidence_group="oil",
    formulas=(
        Formula("per_1000_*", "gauge pressure / engine speed x 1000 rpm"),
        Formula(
            "fall_warming",
            "cold less hot, at one idle speed, same gauge",
            "JCGM 100:2008, 5.2 (what both share cancels)",
        ),
        Formula("rise", "hot at the maker's speed less hot at idle, same gauge"),
        Formula("rise_on", "hot, faster, less hot at the maker's speed, same gauge"),
        Formula("own_*", "the car's own gauge less ours; plus: it shows more than there is"),
    ),
    example={
        "ready.level": "yes",
        "ready.zero": "yes",
        "ready.tied": "yes",
        "ready.hot": "yes",
        "given.start": "at_once",
        "given.oil_temperature": "84 °C",
        "given.temperature_by": "oil",
        "given.least_idle": "1.0 bar",
        "given.least_speed": "3.0 bar",
        "given.speed_rpm": "3000 rpm",
        "points.idle.rpm": "800 rpm",
        "points.idle.pressure": "0.4 bar",
        "points.speed.rpm": "3000 rpm",
        "points.speed.pressure": "3.8 bar",
    },
    not_for=_not_for,
    next_step=_next_step,
    assess=assess,
    sentences={
        # points in a sentence
        "point.bare": "{point} {value}",
        "point.low": "{point} {value} (maker: at least {low})",
        "point.high": "{point} {value} (maker: at most {high})",
        "point.low_high": "{point} {value} (maker: {low} to {high})",
        "point.own": "{point} {own} against {ours}",
        # customer
        "customer.no_pressure": "Hardly any oil pressure shows on the gauge: {points}.",
        "customer.no_pressure_bare": "After starting, no oil pressure showed on the gauge, and the "
        "engine was stopped.",
        "customer.lamp_blind": "The oil lamp stayed dark although oil pressure is missing: "
        "{points}.",
        "customer.below_least": "The oil pressure is below the maker's least: {points}.",
        "customer.below_switch": "The oil pressure is so low that by the maker's figure the oil "
        "lamp has to be lit: {points}.",
        "customer.below_when_hot": "Cold, there is oil pressure enough; as the engine warms, it "
        "falls below the maker's least: {points}.",
        "customer.below_at_speed": "When the engine turns faster, the oil pressure stays below the "
        "maker's least: {points}.",
        "customer.below_at_idle": "With the engine hot and idling, the oil pressure is below the "
        "maker's least: {points}. At higher engine speed it was not.",
        "customer.at_limit": "The oil pressure is so close to the maker's least that it should be "
        "treated as too low, unless a better measurement shows otherwise: {points}.",
        "customer.sinks_away": "While the engine speed was held, the oil pressure sank away.",
        "customer.lamp_late": "The oil lamp does not light when it should. It would not warn in "
        "time if oil pressure were missing.",
        "customer.above_most": "The oil pressure is above the maker's most: {points}.",
        "customer.flutters": "The oil pressure flutters; it usually stands still. Air in the oil "
        "does that, and so does too little oil.",
        "customer.lamp_alone": "The oil lamp is lit although oil pressure is there: {points}. The "
        "lamp, its sender or the wire between them has to be put right, since it can't warn like "
        "this.",
        "customer.lamp_alone_bare": "The oil lamp stays lit at a pressure at which it should have "
        "gone out. Lamp, sender or wire has to be put right.",
        "customer.own_disagrees": "The car's own oil gauge shows something else than ours: "
        "{points}.",
        "customer.slow": "After starting, it took long until oil pressure showed.",
        "customer.within_maker": "The oil pressure is inside the maker's figures: {points}.",
        "customer.read_only": "The oil pressure was read: {points}. Whether that is enough was not "
        "judged: only the maker's figure for this engine, at its speed and temperature, says so.",
        "customer.undecided": "The readings of the oil pressure do not decide it yet.",
        "customer.do_not_run": "The engine should not be run before that is explained and put "
        "right: without enough oil pressure it is ruined within minutes. The car may be towed.",
        # technician
        "next.no_pressure": "Engine off, no second start: {points}. Level, then is the gauge's "
        "hose open and oil at the port? Strainer, pump drive, relief valve stuck open, filter.",
        "next.no_pressure_bare": "Engine off, no second start. Level, then is the gauge's hose "
        "open and oil at the port? Strainer, pump drive, relief valve stuck open, filter.",
        "next.lamp_blind": "Lamp dark with the pressure gone: {points}. Bulb or display with the "
        "key on, wire, sender; the customer has had no warning. Look at the bearings before it "
        "runs again.",
        "next.below_least": "Below the maker's least: {points}. Level and grade, gauge against a "
        "second one, filter; then strainer, relief valve, pump, bearing clearance. Metal in the "
        "filter decides whether it is opened.",
        "next.below_switch": "Below the point at which the maker's lamp lights: {points}. Engine "
        "off. Level and grade, gauge against a second one, filter; then strainer, relief valve, "
        "pump, bearings.",
        "next.below_when_hot": "Enough cold, too little hot: {points}. Thin oil (fuel, grade) "
        "first; then bearing clearance and pump. Drain, look for metal, cut the filter open.",
        "next.below_at_speed": "Enough at idle, too little at speed: {points}. Relief valve stuck "
        "open or weak spring, strainer clogged, air drawn at the pickup, control valve of a "
        "regulated pump.",
        "next.below_at_idle": "Too little at hot idle only: {points}. Idle speed right? Oil grade "
        "and fuel in it; then bearing clearance, pump wear, piston jets or camshaft drive leaking.",
        "next.at_limit": "Too close to the maker's least: {points}. A gauge of smaller range, the "
        "oil at the figure's temperature; until then treat it as reached.",
        "next.sinks_away": "Sinks while the speed is held: oil stays up in the head, or the "
        "strainer clogs. Level, strainer, drain holes. Engine off until known.",
        "next.lamp_late": "Lamp dark with the key on, or out below the maker's point: bulb or "
        "display, wire, then sender. A new sender of the right switch point; try it on the tee.",
        "next.above_most": "Above the maker's most: {points}. Oil too thick or too cold for the "
        "figure? Relief valve stuck, wrong filter, blocked gallery after the port. Look at the "
        "filter's seam.",
        "next.flutters": "Needle flutters: level too low or too high, froth, air drawn at the "
        "pickup, worn relief valve. Is it the gauge? A damper in the hose calms what is only the "
        "pump's pulse.",
        "next.lamp_alone": "Pressure there, lamp lit: {points}. Sender, wire to ground, its plug "
        "oily; newer cars: two switch points or the control unit's own reason, read the codes.",
        "next.lamp_alone_bare": "The lamp goes out above the maker's point: sender of the wrong "
        "kind or stiff; try a new one on the tee.",
        "next.own_disagrees": "The car's own gauge against ours: {points}. Sender, its ground, "
        "wire, gauge; many dash gauges are smoothed to stand still. Prove ours on a second one.",
        "next.slow": "Slow after the start: filter that drains back, oil too thick, pickup above "
        "the level or drawing air. Listen for the rattle at the first start of the day.",
        "next.within_maker": "Inside the maker's figures where they were entered. Pressure is not "
        "flow to every bearing: a knock stays a knock.",
        "next.undecided": "Nothing to judge yet: hot idle and the maker's speed, oil temperature, "
        "the maker's figures.",
        "judged": "{what}: {words}.",
        "enter_the_figure": "Enter the maker's figure with its speed and temperature. There is no "
        "usual oil pressure, and no rule of so much per 1000 rpm takes its place.",
        "reversed": "A least stands above its most: look at the figures again; they were not used.",
        "oil_not_measured": "The maker's figure holds at {wanted}; the oil's temperature was not "
        "read, so nothing is judged hot.",
        "oil_at_another": "The maker's figure holds at {wanted}; the oil was at {oil}. Bring it "
        "there, then read again.",
        "oil_not_hot": "The oil was at {oil}; it counts as hot from {hot} on. Drive it hot, then "
        "read again.",
        "oil_unknown": "Not known whether the oil was hot: read its temperature, or drive it for "
        "20 minutes and tick that.",
        "speed_not_entered": "{point}: enter the engine speed that the maker's figure is for.",
        "speed_unread": "{point}: the engine speed was not read; the figure holds at {wanted}.",
        "speed_at_another": "{point}: read at {rpm}, the figure holds at {wanted}. Read it there.",
        "idle_speed_unread": "{point}: the idle speed was not read; the figure holds at {wanted}.",
        "idle_at_another": "{point}: idles at {rpm}, the figure holds at {wanted}. Idle speed "
        "first.",
        "fall": "From cold to hot at one idle speed the pressure fell by {fall}. All oil thins; "
        "only the maker's hot figure says whether it is too much.",
        "capped": "From {first} to {last} it hardly rises ({more}): the relief valve or the pump's "
        "control holds it there.",
        "rises_on": "From {first} to {last} it still rises, by {more}: the relief valve was not "
        "open yet.",
        "own": "{what}: {off}.",
        "perhaps_absolute": "About the pressure of the air: is the live value an absolute one?",
        "unplugged_on": "Lamp lit with the wire off: wire to ground or the display, not the "
        "sender.",
        "unplugged_off": "Lamp dark with the wire off: the wire is sound so far, look at the "
        "sender and its plug.",
        # chart
        "chart": "Oil pressure over engine speed: {points}.",
    },
)
