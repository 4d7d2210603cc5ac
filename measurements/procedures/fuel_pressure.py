"""Fuel pressure and hold on the low side: against the maker's figures, and whether it stays.

There is no usual fuel pressure: only the maker's figure judges one. Without it the test still tells
what does not depend on the level: nothing builds up, it sags under load, a regulator's hose changes
nothing, it pulses, and how fast it falls after switching off. Low side only.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.cautions import EXHAUST_GAS
from measurements.core.context import Context
from measurements.core.decision import verdict_words
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
    Series,
    Source,
    Span,
)
from measurements.core.readings import Reading, Readings, RowReadings
from measurements.core.wording import at_head

if TYPE_CHECKING:
    from uncertainties import UFloat

SAGS_BY = 0.1
"""Under load a tenth lower than at idle is a sag, not a tremor (common practice)."""

LEAST_RISE_KPA = 20.0
"""Hose off at idle: less than any idle vacuum would give (common practice)."""

SHARE_OF_VACUUM = 0.5
"""Where the idle vacuum was read, at least half of it must show (judgement)."""

NOUGHT_KPA = 5.0
"""One mark of the gauge: the needle does not move."""

TEMPERATURE_MATTERS_K = 5.0
"""Shut-in fuel swells and shrinks: beyond this the needle may follow the heat (judgement)."""

_REACH_KPA = 150.0
_ENTERED = Source("maker", "maker's figure entered with the readings")
_NO_SAG = Source("C", "common practice, no more than a tenth below idle")
_FOLLOWS = Source("C", "common practice, the regulator follows the vacuum in its hose")

RUNNING = ("key_on", "idle", "load", "hose_off")
"""Points that a maker's figure judges."""

# --- the maker's figures ----------------------------------------------------------------------

# Point -> the figure that the maker gives for it. Without vacuum at the regulator the key-on figure
# holds; a regulator without a hose has one figure for all.
_WHOSE = {"key_on": "static", "hose_off": "static", "idle": "idle", "load": "load"}


def _at_point(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    if row is None or row.code not in _WHOSE:
        return None
    names = [_WHOSE[row.code]]
    if readings.given("regulator") == "fixed":
        names.append("static")
    for name in names:
        low, high = readings.given(f"{name}_least"), readings.given(f"{name}_most")
        if low is not None and high is not None and low > high:
            return None  # said in words: which of the two is mistyped nobody knows
        if low is not None or high is not None:
            return Span(low, high, _ENTERED)
    return None


def _reversed(readings: Readings) -> bool:
    """A least above its most was typed."""
    pairs = [
        (readings.given(f"{name}_least"), readings.given(f"{name}_most"))
        for name in ("static", "idle", "load")
    ]
    return any(low is not None and high is not None and low > high for low, high in pairs)


def _at_time(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """The least that the maker leaves after a time, at the reading about then."""
    least, after = readings.given("hold_least"), readings.given("hold_after")
    if row is None or least is None or not after:
        return None
    near = _near(readings, after)
    return Span(least, None, _ENTERED) if near is not None and near[1].code == row.code else None


def _held(readings: Readings) -> list[tuple[float, RowReadings, Reading]]:
    """Seconds after switching off, row, pressure."""
    found = []
    for row in readings.rows("hold"):
        seconds, reading = row.value("at"), row.get("pressure")
        if seconds is not None and reading is not None and reading.number is not None:
            found.append((float(seconds), row, reading))
    return found


def _near(readings: Readings, after: float) -> tuple[float, RowReadings, Reading] | None:
    """The reading within a tenth of the maker's time, the nearest."""
    near = [item for item in _held(readings) if abs(item[0] - after) <= after / 10]
    return min(near, key=lambda item: abs(item[0] - after)) if near else None


# --- the judgement ----------------------------------------------------------------------------


def _point(readings: Readings, code: str) -> Reading | None:
    reading = readings.get(f"points.{code}.pressure")
    return reading if reading is not None and reading.number is not None else None


def _change(first: Reading, last: Reading) -> UFloat:
    """Last less first on one gauge, kPa."""
    before, after = two_readings(
        (first.number or 0.0, first),
        (last.number or 0.0, last),
        PROCEDURE.handling_u["pressure"],
        _REACH_KPA,
    )
    change: Any = after - before
    return change


def assess(readings: Readings, context: Context) -> Assessment:
    """Against the maker where figures are known; what needs no figure in any case."""
    figures = _figures(readings)
    verdicts = list(judge(PROCEDURE, readings, context))
    by_address = {verdict.address: verdict for verdict in verdicts}
    spans = _figure_spans(readings, by_address)
    for figure in figures:
        if figure.key in spans:
            verdicts.append(judge_figure(PROCEDURE, figure, context, spans[figure.key]))
    by_address = {verdict.address: verdict for verdict in verdicts}
    seen = _seen(readings, by_address)
    lead, where = seen[0] if seen else (_quiet(by_address), ())
    weak = _confounders(readings, by_address, lead)
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
        customer=_customer(lead, seen, readings, figures, by_address, context),
        technician=_technician(lead, seen, readings, figures, by_address, context),
        chart=_chart(readings, by_address, context),
    )


def _figures(readings: Readings) -> list[Figure]:
    figures, idle = [], _point(readings, "idle")
    at_idle, vacuum = (
        readings.uncertain("points.idle.pressure"),
        readings.uncertain("given.idle_vacuum"),
    )
    if at_idle is not None and vacuum is not None:
        across = at_idle + vacuum
        figures.append(
            figure_of("across_idle", "pressure across the injectors at idle", _PRESSURE, across)
        )
    load, hose_off, pinched = (_point(readings, c) for c in ("load", "hose_off", "pinched"))
    if idle is not None and load is not None:
        figures.append(
            figure_of("sag", "lower under load than at idle", _PRESSURE, _change(load, idle))
        )
    if idle is not None and hose_off is not None:
        rise = _change(idle, hose_off)
        figures.append(figure_of("hose_rise", "rise with the hose off", _PRESSURE, rise))
    if idle is not None and pinched is not None:
        more = _change(idle, pinched)
        figures.append(figure_of("pinched_rise", "rise with the return pinched", _PRESSURE, more))
    return figures + _fall_figures(readings)


_PRESSURE = "gauge_pressure"


def _fall_figures(readings: Readings) -> list[Figure]:
    held = _held(readings)
    if len(held) < 2:
        return []
    (start, _, first), (end, _, last) = held[0], held[-1]
    fall: Any = _change(last, first)
    figures = [
        figure_of("fall", "fall after switching off", _PRESSURE, fall),
        figure_of("fall_rate", "fall a minute", "pressure_rate", fall / ((end - start) / 60)),
    ]
    after = readings.given("hold_after")
    if readings.given("hold_fall") is None or not after:
        return figures
    near, label = _near(readings, after), "fall in the maker's time"
    if near is None or near[0] <= start:
        why = "there is no reading at about the time that the maker gives"
        return [*figures, Figure("fall_by_maker", label, _PRESSURE, None, absent_because=why)]
    by_maker: Any = _change(near[2], first)
    return [*figures, figure_of("fall_by_maker", label, _PRESSURE, by_maker)]


def _figure_spans(
    readings: Readings, by_address: Mapping[str, VerdictOutcome]
) -> dict[str, Span | None]:
    """What figures are held against; a point that the maker's own figure judges is left to it."""
    idle, spans = _point(readings, "idle"), dict[str, Span | None]()
    spans["fall_by_maker"] = Span(None, readings.given("hold_fall"), _ENTERED)
    judged = {a for a, v in by_address.items() if v.outcome != "no_limit"}
    regulator = readings.given("regulator")
    steady_kind = regulator in ("hose", "fixed")
    if idle is not None and steady_kind and "points.load.pressure" not in judged:
        spans["sag"] = Span(None, SAGS_BY * max(0.0, idle.number or 0.0), _NO_SAG)
    if regulator == "hose":
        vacuum = readings.given("idle_vacuum")
        least = SHARE_OF_VACUUM * vacuum if vacuum else LEAST_RISE_KPA
        spans["hose_rise"] = Span(least, None, _FOLLOWS)
        low, high = readings.given("static_least"), readings.given("static_most")
        known = (low is not None or high is not None) and not _reversed(readings)
        if known and "points.idle.pressure" not in judged:
            spans["across_idle"] = Span(low, high, _ENTERED)
    return spans


def _outside(by_address: Mapping[str, VerdictOutcome], address: str) -> bool:
    return address in by_address and by_address[address].outcome == "outside"


def _side(verdict: VerdictOutcome) -> str:
    if verdict.outcome != "outside":
        return ""
    value = verdict.value
    if value is None:
        return ""
    return "below" if verdict.low is not None and value < verdict.low else "above"


def _seen(
    readings: Readings, by_address: Mapping[str, VerdictOutcome]
) -> list[tuple[str, tuple[str, ...]]]:
    seen: list[tuple[str, tuple[str, ...]]] = []
    if readings.given("leak") in _LEAKS:
        seen.append(("fuel_escaping", ()))
    if readings.given("fuel_in_hose") is True:
        seen.append(("fuel_in_hose", ()))
    read = [code for code in _ROWS if _point(readings, code) is not None]
    if read and all(_at_nought(readings, code) for code in read):
        return [*seen, ("stays_at_nought", tuple(read))]
    seen += _against_maker(by_address)
    after = [
        v.address.split(".")[1]
        for v in by_address.values()
        if v.address.startswith("hold.") and _side(v) == "below"
    ]
    if after or _outside(by_address, "figure.fall_by_maker"):
        seen.append(("falls_after_stop", tuple(after)))
    if _outside(by_address, "figure.sag"):
        seen.append(("sags_under_load", ("load",)))
    if _outside(by_address, "figure.hose_rise"):
        seen.append(("hose_changes_nothing", ("hose_off",)))
    moving = tuple(
        row.code for row in readings.rows("points") if row.value("needle") in ("pulses", "swings")
    )
    if moving:
        seen.append(("needle_moves", moving))
    return seen


def _at_nought(readings: Readings, code: str) -> bool:
    reading = _point(readings, code)
    return reading is not None and abs(reading.number or 0.0) <= NOUGHT_KPA


def _against_maker(
    by_address: Mapping[str, VerdictOutcome],
) -> list[tuple[str, tuple[str, ...]]]:
    """Points above and below the maker's figures."""
    judged = {
        code: by_address[f"points.{code}.pressure"]
        for code in _ROWS
        if f"points.{code}.pressure" in by_address
        and by_address[f"points.{code}.pressure"].outcome != "no_limit"
    }
    if "figure.across_idle" in by_address and "idle" not in judged:
        judged["idle"] = by_address["figure.across_idle"]
    above = tuple(code for code, v in judged.items() if _side(v) == "above")
    below = tuple(code for code, v in judged.items() if _side(v) == "below")
    seen: list[tuple[str, tuple[str, ...]]] = []
    if above:
        seen.append(("above_maker", above))
    if below and len(below) == len(judged) > 1:
        seen.append(("low_everywhere", below))
    elif below == ("load",) and len(judged) > 1:
        seen.append(("low_under_load", below))
    elif below:
        seen.append(("low_in_part", below))
    return seen


def _quiet(by_address: Mapping[str, VerdictOutcome]) -> str:
    """Nothing unusual: worth something only against the maker's figure."""
    judged = [v for v in by_address.values() if v.outcome != "no_limit"]
    by_maker = any(_is_makers_running(v) for v in judged)
    return (
        "within_maker" if by_maker and all(v.outcome == "within" for v in judged) else "undecided"
    )


def _is_makers_running(verdict: VerdictOutcome) -> bool:
    """A pressure with the pump running against a figure that somebody entered."""
    running = {f"points.{code}.pressure" for code in RUNNING} | {"figure.across_idle"}
    return verdict.address in running and verdict.outcome != "no_limit"


def _hold_judged(by_address: Mapping[str, VerdictOutcome]) -> bool:
    return any(
        v.outcome != "no_limit"
        and (v.address.startswith("hold.") or v.address == "figure.fall_by_maker")
        for v in by_address.values()
    )


def _warmed(readings: Readings) -> float | None:
    """Change of temperature at the rail over the hold, kelvin; None where it was not read."""
    read = [row.value("temperature") for _, row, _ in _held(readings)]
    known = [value for value in read if value is not None]
    return known[-1] - known[0] if len(known) > 1 else None


def _confounders(
    readings: Readings, by_address: Mapping[str, VerdictOutcome], lead: str
) -> list[str]:
    held, warmed = _held(readings), _warmed(readings)
    about_hold = lead in ("falls_after_stop", "within_maker", "undecided") and len(held) > 1
    checks = (
        ("no_makers_figure", not any(_is_makers_running(v) for v in by_address.values())),
        ("not_loaded", _point(readings, "load") is None),
        ("hold_not_judged", not _hold_judged(by_address)),
        (
            "temperature_changed",
            about_hold and warmed is not None and abs(warmed) > TEMPERATURE_MATTERS_K,
        ),
        ("temperature_not_read", about_hold and warmed is None),
        (
            "gauge_too_coarse",
            lead == "undecided" and any(v.too_narrow for v in by_address.values()),
        ),
        (
            "pressure_commanded",
            lead in (*_MAKERS, "within_maker") and readings.given("regulator") == "commanded",
        ),
        ("not_looked", readings.given("leak") in (None, "not_looked")),
    )
    return [code for code, holds in checks if holds]


# --- words and chart --------------------------------------------------------------------------


def _kpa(value: float, context: Context) -> str:
    places = 0 if units.shop_unit(_PRESSURE, context.units) == "kPa" else 1
    return units.show_value(value, _PRESSURE, context.units, places)


def _minutes(seconds: float) -> str:
    return units.show_value(seconds, "time", places=1 if seconds % 60 else 0, unit="min")


def _list_of(readings: Readings, rows: Sequence[str], context: Context) -> str:
    """ "idle 180 kPa, under load 120 kPa" for these points."""
    told = []
    for code in rows:
        reading = _point(readings, code)
        if reading is not None and reading.number is not None:
            told.append(f"{_ROWS[code]} {_kpa(reading.number, context)}")
    return ", ".join(told)


def _params(
    code: str,
    rows: Sequence[str],
    readings: Readings,
    figures: Sequence[Figure],
    context: Context,
) -> dict[str, str]:
    values = {figure.key: figure.value for figure in figures if figure.value is not None}
    if code in _MAKERS:
        return {"points": _list_of(readings, rows, context)}
    if code == "sags_under_load":
        return {"sag": _kpa(values["sag"], context)}
    if code == "hose_changes_nothing":
        return {"rise": _kpa(values["hose_rise"], context)}
    if code == "fuel_escaping":
        return {"place": _LEAKS[readings.given("leak")]}
    return {}


def _fallen(
    readings: Readings, by_address: Mapping[str, VerdictOutcome], context: Context
) -> tuple[str, dict[str, str]]:
    """What fell after switching off against the maker: what was left, or how much went."""
    for _, row, reading in _held(readings):
        verdict = by_address.get(row.address("pressure"))
        if verdict is not None and _side(verdict) == "below":
            return "falls_after_stop", {
                "left": _kpa(reading.number or 0.0, context),
                "least": _kpa(verdict.low or 0.0, context),
                "time": _minutes(float(row.value("at") or 0.0)),
            }
    verdict = by_address["figure.fall_by_maker"]
    return "fell_too_far", {
        "fall": _kpa(verdict.value or 0.0, context),
        "most": _kpa(verdict.high or 0.0, context),
        "time": _minutes(readings.given("hold_after")),
    }


def _said(
    reader: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    figures: Sequence[Figure],
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    """A sentence for each thing that was seen; reader: "customer" or "next"."""
    said = []
    for code, rows in seen:
        if code == "falls_after_stop":
            code, params = _fallen(readings, by_address, context)
        else:
            params = _params(code, rows, readings, figures, context)
        said.append(PROCEDURE.say(f"{reader}.{code}", **params))
    return said


_MAKERS = ("above_maker", "low_everywhere", "low_under_load", "low_in_part")


def _customer(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    figures: Sequence[Figure],
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    said = _said("customer", seen, readings, figures, by_address, context)
    if said:
        return said
    if lead == "within_maker":
        points = [c for c in RUNNING if _is_judged(by_address, c)]
        told = _list_of(readings, points, context) or _list_of(readings, ("idle",), context)
        said.append(PROCEDURE.say("customer.within_maker", points=told))
        if not _hold_judged(by_address):
            said.append(PROCEDURE.say("customer.hold_open"))
        return said
    known = any(_is_makers_running(v) for v in by_address.values())
    return [PROCEDURE.say("customer.undecided" if known else "customer.no_figure")]


def _is_judged(by_address: Mapping[str, VerdictOutcome], code: str) -> bool:
    address = f"points.{code}.pressure"
    return address in by_address and by_address[address].outcome != "no_limit"


def _technician(
    lead: str,
    seen: Sequence[tuple[str, tuple[str, ...]]],
    readings: Readings,
    figures: Sequence[Figure],
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    told = _said("next", seen, readings, figures, by_address, context)
    if not any(_is_makers_running(v) for v in by_address.values()):
        told.append(PROCEDURE.say("enter_the_figure"))
    elif not seen:
        told.append(PROCEDURE.say(f"next.{lead}"))
    if _reversed(readings):
        told.append(PROCEDURE.say("reversed"))
    told += [
        PROCEDURE.say(
            "verdict", label=at_head(verdict.label), words=verdict_words(verdict, context.units)
        )
        for verdict in by_address.values()
        if verdict.outcome == "cannot_tell"
    ]
    told += _hold_told(readings, figures, by_address, context)
    volts = readings.given("pump_volts")
    if volts is not None:
        shown = units.show_value(volts, "voltage", places=1, unit="V")
        told.append(PROCEDURE.say("pump_volts", volts=shown))
    values = {figure.key: figure for figure in figures}
    if "pinched_rise" in values:
        rise = values["pinched_rise"]
        more = (rise.value or 0.0) > 2 * rise.u
        told.append(
            PROCEDURE.say(
                "pinched_rises" if more else "pinched_stays", rise=_kpa(rise.value or 0.0, context)
            )
        )
    return told


def _hold_told(
    readings: Readings,
    figures: Sequence[Figure],
    by_address: Mapping[str, VerdictOutcome],
    context: Context,
) -> list[Sentence]:
    """How it fell, in numbers, and what heat may have to do with it."""
    values = {figure.key: figure for figure in figures}
    held, warmed = _held(readings), _warmed(readings)
    told = []
    if "fall" in values:
        fall, rate = values["fall"], values["fall_rate"]
        told.append(
            PROCEDURE.say(
                "fell" if (fall.value or 0.0) > 2 * fall.u else "did_not_fall",
                start=_kpa(held[0][2].number or 0.0, context),
                end=_kpa(held[-1][2].number or 0.0, context),
                time=_minutes(held[-1][0] - held[0][0]),
                fall=units.show(fall.value or 0.0, fall.u, _PRESSURE, context.units),
                rate=units.show(rate.value or 0.0, rate.u, "pressure_rate", context.units),
            )
        )
        if not _hold_judged(by_address):
            told.append(PROCEDURE.say("hold_needs_figure"))
    asked = [readings.given(key) for key in ("hold_least", "hold_fall")]
    after = readings.given("hold_after")
    if any(limit is not None for limit in asked) and held:
        if not after:
            told.append(PROCEDURE.say("hold_when"))
        elif _near(readings, after) is None:
            told.append(PROCEDURE.say("no_reading_then", time=_minutes(after)))
    if warmed is not None and abs(warmed) > TEMPERATURE_MATTERS_K:
        change = units.show_value(abs(warmed), "temperature_difference", context.units, 0)
        told.append(PROCEDURE.say("warmed" if warmed > 0 else "cooled", change=change))
    return told


def _chart(
    readings: Readings, by_address: Mapping[str, VerdictOutcome], context: Context
) -> dict[str, Any]:
    """Pressure over time after switching off, with the maker's least at its time."""
    held = _held(readings)
    if len(held) < 2:
        return {}
    least = readings.given("hold_least")
    title = PROCEDURE.say(
        "chart.hold",
        start=_kpa(held[0][2].number or 0.0, context),
        end=_kpa(held[-1][2].number or 0.0, context),
        time=_minutes(held[-1][0] - held[0][0]),
    ).text
    limits = []
    if least is not None:
        after = readings.given("hold_after")
        label = (
            PROCEDURE.say("chart.least", time=_minutes(after))
            if after
            else PROCEDURE.say("chart.least_ever")
        )
        limits = [{"label": label.text, "value": least, "beyond": "below"}]
    return {
        "kind": "lines",
        "title": title,
        "x": {"label": "time after switching off", "unit": "min"},
        "y": {"label": "gauge pressure", "unit": "kPa", "from_zero": True},
        "series": [
            {
                "label": "as read",
                "points": [[at / 60, reading.number, reading.u] for at, _, reading in held],
            }
        ],
        "limits": limits,
        "note": "",
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The box that would tell most now."""
    chosen = any(
        limit.address.startswith(("points.", "figure.across_idle")) for limit in context.limits
    )
    entered = any(
        readings.given(f"{name}_{end}") is not None
        for name in ("static", "idle", "load")
        for end in ("least", "most")
    )
    if not (chosen or entered):
        return (("given.static_least", "Only the maker's figure judges a fuel pressure."),)
    if _point(readings, "load") is None:
        return (("points.load.pressure", "A weak supply shows under load, seldom at idle."),)
    if len(_held(readings)) < 2:
        return (("hold.s2.pressure", "Hard starting comes from what is lost while it stands."),)
    return ()


def _not_for(context: Context) -> str:
    if not context.car.has_engine:
        return "it has no engine that burns liquid fuel."
    return ""


# --- the declaration --------------------------------------------------------------------------

_ROWS = {
    "key_on": "key on",
    "idle": "idle",
    "load": "under load",
    "hose_off": "hose off",
    "pinched": "return pinched",
    "deadhead": "line shut",
}

_LEAKS = {
    "line": "at a line or joint",
    "injector": "at an injector",
    "filter": "at the filter",
    "tank": "at the tank",
    "regulator": "at the regulator",
}

_FIRE = Driving(
    "do_not_drive",
    "Fuel escapes and can catch fire at a hot part or a spark. Do not start the engine before the "
    "leak is mended.",
)
_FUEL_IN_INTAKE = Driving(
    "only_as_stated",
    "Only the way to a workshop, and stop at once at a smell of fuel: fuel gets into the intake "
    "past the regulator.",
)
_MAY_STOP = Driving(
    "only_as_stated",
    "It may lose power or stop when power is called for: no overtaking, no motorway, no level "
    "crossing with traffic behind.",
)


def _told(key: str, label: str, help: str = "", **more: Any) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity=_PRESSURE,
        possible=(0.0, 2500.0),
        likely=(10.0, 1000.0),
        origin="told",
        help=help,
        **more,
    )


PROCEDURE = Procedure(
    name="fuel_pressure",
    title="Fuel pressure and hold, low side",
    version=1,
    group="Fuel",
    purpose="Shows whether the low side of the fuel system reaches the maker's pressure, keeps it "
    "under load, and holds it after switching off.",
    proves_nothing_when="The maker's figure is not known; the pressure was read at idle only and "
    "the complaint comes under load; the tank was nearly empty; or the gauge's hose held air.",
    cautions=(
        Caution(
            "Low side only: never loosen direct-injection or common-rail high pressure.",
            "The jet cuts through skin and gloves. A prick from it is an emergency even if it does "
            "not hurt: hospital at once, say “high-pressure injection of fuel”. The high side is "
            "read by its own sensor.",
            "maker's instructions; common practice",
        ),
        Caution(
            "Fire: fuel under pressure.",
            "Extinguisher at hand, engine cold, no flame, spark or hand lamp with a bulb; battery "
            "charger off; ventilate, also the pit; catch fuel in a metal can, rags outdoors.",
            "OSHA 29 CFR 1910.106",
            from_memory=True,
        ),
        Caution(
            "Relieve the pressure before a joint is opened.",
            "By the maker's way; cloth round the joint, eyes covered; the tank's cap off first.",
            "maker's instructions",
        ),
        Caution(
            "Smell or drip of fuel: stop.",
            "Switch off, no starting, mend it before the test goes on.",
            "common practice",
            "customer",
        ),
        Caution(
            "Look at the gauge's joints with the pump running before the engine is started.",
            "Hose and gauge rated for the pressure, tied clear of belts, fan and exhaust.",
            "common practice",
        ),
        Caution(
            "Pinch flexible rubber only, and only a return that the maker allows to be pinched.",
            "Hard plastic lines crack; the pressure may climb to the pump's most within a second.",
            "common practice",
        ),
        Caution(
            "Shut the pump's outlet only where the maker allows it, and for seconds.",
            "Without a relief valve something bursts.",
            "maker's instructions",
        ),
        Caution(
            "Under load means somebody drives and somebody reads, or a dynamometer.",
            "The gauge stays outside the cabin, taped to the screen: no fuel hose inside.",
            "common practice",
        ),
        Caution(
            "Diesel: the low side may be under suction, and air in it stops the engine.",
            "Only with the maker's method and adapters; bleed it afterwards; the high side is not "
            "opened, not even to bleed, unless the maker says so.",
            "maker's instructions",
            when=lambda context: context.car.is_diesel,
        ),
        Caution(
            "Gas system beside the petrol: its lines are another trade.",
            "Shut the tank's valve; only those qualified for gas open it.",
            "local rules",
            when=lambda context: context.car.fuel in ("lpg", "cng"),
        ),
        EXHAUST_GAS,
        Caution(
            "High voltage: the engine may start by itself.",
            "Maker's service mode to keep it running, switched off for everything else; orange "
            "cables stay untouched.",
            "UN R100; local rules for electrical work",
            when=lambda context: context.car.high_voltage,
            from_memory=True,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("low_side", "Gauge on the low side, at the port that the maker names."),
        Precondition("bled", "Gauge hose bled of air, its joints dry.", "gauge_not_tried"),
        Precondition("fuel", "Tank above a quarter.", "tank_low"),
        Precondition("battery", "Battery at least three quarters charged.", "battery_low"),
    ),
    effort=Effort(
        minutes=20,
        tools=("fuel pressure gauge with adapters", "clock", "extinguisher", "catch can"),
        state="any",
        risk="Fuel escapes when the gauge goes on and off; old seals may not close again.",
    ),
    given=(
        Choice(
            key="leak",
            label="Fuel seen escaping",
            needed=True,
            choices={"none": "none seen", **_LEAKS, "not_looked": "not looked"},
        ),
        Choice(
            key="regulator",
            label="How the pressure is kept",
            needed=True,
            origin="told",
            choices={
                "hose": "regulator with a vacuum hose",
                "fixed": "regulator without a hose, often in the tank",
                "commanded": "the control unit sets the pump",
                "unknown": "not known",
            },
        ),
        _told(
            "static_least",
            "Maker's least, key on or hose off",
            "No vacuum at the regulator. For a regulator without a hose it holds for all points.",
        ),
        _told("static_most", "Maker's most, key on or hose off"),
        _told("idle_least", "Maker's least at idle", finer=True),
        _told("idle_most", "Maker's most at idle", finer=True),
        _told("load_least", "Maker's least under load", finer=True),
        _told("load_most", "Maker's most under load", finer=True),
        _told("hold_least", "Maker's least after switching off"),
        Quantity(
            key="hold_after",
            label="After",
            quantity="time",
            unit="min",
            possible=(10.0, 86_400.0),
            likely=(60.0, 7200.0),
            origin="told",
        ),
        _told("hold_fall", "Or the most it may fall in that time", finer=True),
        Flag(key="fuel_in_hose", label="Liquid fuel in the regulator's vacuum hose"),
        Quantity(
            key="idle_vacuum",
            label="Intake vacuum at idle",
            quantity="vacuum",
            possible=(0.0, 105.0),
            likely=(20.0, 80.0),
            instrument="vacuum_gauge",
            finer=True,
            help="With it the pressure across the injectors is told.",
        ),
        Quantity(
            key="pump_volts",
            label="Volts at the pump's connector, running",
            quantity="voltage",
            possible=(-1.0, 40.0),
            likely=(6.0, 30.0),
            instrument="multimeter",
            finer=True,
            help="Back-probed; a weak supply looks like a weak pump.",
        ),
    ),
    grids=(
        Grid(
            "points",
            "Pressure",
            Fixed(
                (
                    Row("key_on", "key on, pump runs, engine off"),
                    Row("idle", "idle"),
                    Row("load", "under load"),
                    Row("hose_off", "idle, regulator's hose off and closed", optional=True),
                    Row("pinched", "idle, rubber return pinched", optional=True),
                    Row("deadhead", "pump's line shut, where the maker allows it", optional=True),
                )
            ),
            (
                Quantity(
                    key="pressure",
                    label="pressure",
                    quantity=_PRESSURE,
                    possible=(-100.0, 2500.0),
                    likely=(0.0, 1000.0),
                    needed=True,
                    instrument="fuel_gauge",
                    help="Gauge pressure; a minus sign is suction.",
                ),
                Choice(
                    key="needle",
                    label="needle",
                    choices={"steady": "steady", "pulses": "pulses fast", "swings": "swings"},
                ),
            ),
        ),
        Grid(
            "hold",
            "After switching off",
            Series(
                Quantity(
                    key="at",
                    label="time",
                    quantity="time",
                    unit="min",
                    possible=(0.0, 172_800.0),
                    likely=(0.0, 7200.0),
                    instrument="clock",
                ),
                planned=(0.0, 300.0, 600.0),
            ),
            (
                Quantity(
                    key="pressure",
                    label="pressure",
                    quantity=_PRESSURE,
                    possible=(-100.0, 2500.0),
                    likely=(0.0, 1000.0),
                    instrument="fuel_gauge",
                ),
                Quantity(
                    key="temperature",
                    label="temperature at the rail",
                    quantity="temperature",
                    possible=(-40.0, 200.0),
                    likely=(-20.0, 110.0),
                    instrument="thermometer",
                ),
            ),
            help="The rail warms at first and cools later: read its temperature too.",
        ),
    ),
    handling_u={"pressure": 2.0, "temperature": 1.0},
    limits=(
        Limit("points.*.pressure", bounds=_at_point),
        Limit("hold.*.pressure", bounds=_at_time),
    ),
    comparable={"regulator": (0.0, 0.0)},
    patterns=(
        Pattern("fuel_escaping", "fuel seen escaping", direct=True, driving=_FIRE),
        Pattern(
            "fuel_in_hose",
            "liquid fuel in the regulator's hose",
            direct=True,
            driving=_FUEL_IN_INTAKE,
        ),
        Pattern("stays_at_nought", "no pressure builds up", driving=_MAY_STOP),
        Pattern("above_maker", "above the maker's figure"),
        Pattern("low_everywhere", "below the maker's figure everywhere", driving=_MAY_STOP),
        Pattern("low_under_load", "below the maker's figure only under load", driving=_MAY_STOP),
        Pattern("low_in_part", "below the maker's figure at some points", driving=_MAY_STOP),
        Pattern("falls_after_stop", "falls after switching off, more than the maker allows"),
        Pattern("sags_under_load", "sags under load", driving=_MAY_STOP),
        Pattern("hose_changes_nothing", "the regulator's hose changes nothing"),
        Pattern("needle_moves", "the pressure pulses or swings"),
        Pattern("within_maker", "inside the maker's figures", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "no_makers_figure",
            "No maker's figure was entered: the level of the pressure is not judged.",
            0.8,
            only_sound=True,
        ),
        Confounder(
            "not_loaded",
            "Not read under load: a weak supply is often well at idle.",
            0.4,
            only_sound=True,
        ),
        Confounder(
            "hold_not_judged",
            "What it may lose after switching off was not judged.",
            0.7,
            only_sound=True,
        ),
        Confounder(
            "temperature_changed",
            "The rail's temperature changed by over 5 kelvin: shut-in fuel swells and shrinks.",
            0.6,
        ),
        Confounder(
            "temperature_not_read", "The rail's temperature was not read over the hold.", 0.8
        ),
        Confounder(
            "gauge_too_coarse",
            "The gauge is too coarse for a window as narrow as the maker's.",
            0.6,
        ),
        Confounder(
            "pressure_commanded",
            "The control unit sets the pressure: a low one may be what it asked for.",
            0.6,
        ),
        Confounder("gauge_not_tried", "Air in the gauge's hose, or its own joint, may leak.", 0.6),
        Confounder("tank_low", "The tank was below a quarter.", 0.5),
        Confounder("battery_low", "A weak battery turns the pump slowly.", 0.5),
        Confounder("not_looked", "Nobody looked for fuel escaping.", 0.9, only_sound=True),
    ),
    needs_before=("trouble_codes",),
    spoils=("battery_at_rest",),
    leaves_apart=(
        "fuel pressure gauge in the low side",
        "regulator's vacuum hose off",
        "clamp on the return hose",
        "pump relay, fuse or jumper of the test",
    ),
    evidence_group="fuel_supply",
    formulas=(
        Formula(
            "across_idle",
            "gauge pressure at idle + intake vacuum at idle",
            "definition of gauge pressure and vacuum",
        ),
        Formula("sag", "idle less under load, same gauge"),
        Formula("hose_rise", "hose off less hose on, same gauge"),
        Formula("pinched_rise", "return pinched less free, same gauge"),
        Formula("fall", "first reading after switching off less the last, same gauge"),
        Formula("fall_rate", "fall / minutes between the two readings"),
        Formula("fall_by_maker", "first reading less the one at about the maker's time"),
    ),
    example={
        "given.leak": "none",
        "given.regulator": "fixed",
        "given.static_least": "350",
        "points.key_on.pressure": "250",
        "points.idle.pressure": "240",
        "points.load.pressure": "190",
    },
    not_for=_not_for,
    next_step=_next_step,
    assess=assess,
    sentences={
        # customer
        "customer.fuel_escaping": "Fuel was seen escaping {place}. It can catch fire.",
        "customer.fuel_in_hose": "Liquid fuel stood in a hose that should hold only air. It gets "
        "into the engine's intake past the pressure regulator.",
        "customer.stays_at_nought": "No fuel pressure builds up.",
        "customer.above_maker": "The fuel pressure is above the maker's figure: {points}.",
        "customer.low_everywhere": "The fuel pressure is below the maker's figure wherever it was "
        "read: {points}.",
        "customer.low_under_load": "The fuel pressure falls below the maker's figure when power is "
        "called for: {points}.",
        "customer.low_in_part": "The fuel pressure is below the maker's figure in a part of the "
        "readings: {points}.",
        "customer.falls_after_stop": "{time} after switching off, {left} of fuel pressure were "
        "left; the maker asks for at least {least}. The engine may then be slow to start.",
        "customer.fell_too_far": "Within {time} of switching off, the fuel pressure fell by "
        "{fall}; the maker allows {most}. The engine may then be slow to start.",
        "customer.sags_under_load": "When power is called for, the fuel pressure sags by {sag}.",
        "customer.hose_changes_nothing": "The fuel pressure should change with the vacuum in a "
        "hose at its regulator; it changed by {rise} only.",
        "customer.needle_moves": "The fuel pressure pulsed or swung; it usually stands still.",
        "customer.within_maker": "The fuel pressure is inside the maker's figures: {points}.",
        "customer.hold_open": "How well it keeps that pressure while standing was not judged.",
        "customer.undecided": "The readings of the fuel pressure do not decide it yet.",
        "customer.no_figure": "The fuel pressure was read. It can be judged only with the maker's "
        "figure for this car, which is not known yet.",
        # technician
        "next.fuel_escaping": "Fuel escapes {place}: photograph it, mend it, test again. Nothing "
        "is started before that.",
        "next.fuel_in_hose": "Fuel in the regulator's hose: its diaphragm lets through. Photograph "
        "the wet hose with the ticket tag.",
        "next.stays_at_nought": "Nothing builds up. In halves: does the pump run, are there volts "
        "and ground at its connector under load, is there fuel, is the valve in the gauge's port "
        "pressed open?",
        "next.above_maker": "Above the maker's figure: {points}. Return free? Hose at the "
        "regulator tight and under vacuum? Then the regulator.",
        "next.low_everywhere": "Low everywhere: {points}. Volts at the pump under load first, then "
        "filter, return pinched where it may be, then pump.",
        "next.low_under_load": "Low only under load: {points}. Filter, strainer, kinked line, "
        "volts at the pump under load; delivery against the maker's amount.",
        "next.low_in_part": "Low at some points: {points}. Read the others again, then volts at "
        "the pump.",
        "next.falls_after_stop": "{left} left after {time}, at least {least} asked for. Shut feed "
        "and return in turn, rubber only: what stops the fall names the side; then injectors one "
        "by one, check valve, regulator.",
        "next.fell_too_far": "Fell by {fall} in {time}, {most} allowed. Shut feed and return in "
        "turn, rubber only: what stops the fall names the side; then injectors one by one, check "
        "valve, regulator.",
        "next.sags_under_load": "Sags by {sag} under load, whatever the maker's figure: volts at "
        "the pump under load, filter, strainer.",
        "next.hose_changes_nothing": "Hose off, and only {rise} more: is there vacuum in the hose? "
        "Then the regulator.",
        "next.needle_moves": "It pulses or swings: damper, air in the line, a pump that draws air; "
        "watch it with a full tank.",
        "next.within_maker": "Inside the maker's figures as far as they were entered. Pressure is "
        "not amount: where power is lacking, measure what it delivers.",
        "next.undecided": "Too close, or points are missing: a finer gauge, then idle, load and "
        "hold against the maker's figures.",
        "enter_the_figure": "Enter the maker's figure for this engine: without it no level is "
        "judged. There is no usual fuel pressure.",
        "verdict": "{label}: {words}.",
        "fell": "After switching off {start} became {end} in {time}: {fall} less, {rate}.",
        "did_not_fall": "After switching off {start} became {end} in {time}: no fall that this "
        "gauge shows ({fall}; {rate}).",
        "hold_needs_figure": "Whether that is too much only the maker's figure says, or the same "
        "hold on a like car.",
        "hold_when": "After how many minutes does the maker's figure hold? Enter it.",
        "no_reading_then": "The maker's figure holds after {time}: read it then.",
        "reversed": "The maker's least stands above the most: look at the figures again; they were "
        "not used.",
        "warmed": "The rail warmed by {change}: shut-in fuel swells, and a leak may hide in that.",
        "cooled": "The rail cooled by {change}: shut-in fuel shrinks, so a part of the fall may be "
        "cooling. Hold again at a steady temperature.",
        "pump_volts": "{volts} at the pump's connector while running: compare with the battery at "
        "that moment. Where much is lost on the way, mend that first and read the pressure again.",
        "pinched_rises": "Return pinched, {rise} more: the pump can do more, look at regulator and "
        "return.",
        "pinched_stays": "Return pinched, hardly a change ({rise}): look before the regulator, at "
        "pump, filter and supply.",
        # chart
        "chart.hold": "Fuel pressure after switching off: {start} to {end} in {time}.",
        "chart.least": "maker, at {time}",
        "chart.least_ever": "maker's least",
    },
)
