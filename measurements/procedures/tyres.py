"""Tyres by corner: tread against the legal minimum, pressure against the placard, age, damage.

The thinnest main groove counts. Common practice unless a source stands beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.cautions import STANDS_SILENT, WHEEL_NUTS_AFTERWARDS
from measurements.core.context import Context
from measurements.core.decision import verdict_words
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Code,
    Confounder,
    Date,
    Driving,
    Effort,
    Flag,
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
from measurements.core.tyre_marks import (
    DATE_CODE,
    HALF_WEEK_YEARS,
    MILLIMETRES_PER_INCH,
    SIZE,
    Week,
    age_years,
    same_size,
    size_of,
    week_made,
)
from measurements.core.uncertainty import rectangular
from measurements.core.units import show, show_value
from measurements.core.wording import at_head, places

if TYPE_CHECKING:
    from uncertainties import UFloat

GROOVES = ("inner", "middle", "outer")
TREADS = ("least", *GROOVES)
AXLES = (("fl", "fr"), ("rl", "rr"))
ALL_WHEEL = ("all", "all_selectable")
"""Values of the car's driven wheels."""

NEAR_MM = 1.5
"""Above the minimum: about 3 mm or 4/32 in left, when most advise new tyres (common practice)."""
NEAR_WINTER_MM = 2.5
"""The same for winter tyres: about 4 mm, when they lose their hold on snow (common practice)."""
UNEVEN_MM = 1.5
"""Across one tyre; more asks for a reason (common practice)."""
SPREAD_MM = 2.0
"""Between the tyres of a car that drives all wheels; makers differ (common practice)."""
PRESSURE_SHARE = 0.10
"""Either side of the placard (common practice)."""
VERY_LOW_SHARE = 0.25
"""Below the placard."""
OLD_YEARS = 10.0
LOOK_CLOSELY_YEARS = 6.0
"""Tyre makers advise a yearly look from about 5 to 6 years and renewal by 10 (common practice)."""

RULES: Mapping[str, tuple[str, float, Source]] = {
    "mm": (
        "1.6 mm (EU, UK)",
        1.6,
        Source(
            "S",
            "Directive 89/459/EEC in the EU, Construction and Use Regulations 1986 in the UK (from "
            "memory)",
        ),
    ),
    "in": (
        "2/32 in (US)",
        2 * MILLIMETRES_PER_INCH / 32,
        Source("S", "49 CFR 570.9 (from memory); state law may ask for more"),
    ),
}
"""Rule -> words for the form, least tread in mm, where it stands."""

LOCAL = Source("maker", "minimum entered for this car")
NEAR = Source("C", "common practice")
WARNING = Source(
    "S", "a quarter under the placard, where a warning lamp must light by 49 CFR 571.138 (from "
    "memory)"
)  # fmt: skip
WEAR: Mapping[str, str] = {
    "even": "even",
    "inner_edge": "inner edge",
    "outer_edge": "outer edge",
    "both_edges": "both edges",
    "middle": "middle",
    "feathered": "feathered, one side of each block sharp",
    "cupped": "cupped, dips round the tyre",
    "flat_spot": "flat spot",
}
KINDS: Mapping[str, str] = {"summer": "summer", "all_season": "all-season", "winter": "winter"}
_UNEVEN = {
    "inner_edge": "one_edge",
    "outer_edge": "one_edge",
    "both_edges": "both_edges",
    "middle": "middle_worn",
    "feathered": "patchy",
    "cupped": "patchy",
    "flat_spot": "patchy",
}


# --- rules ------------------------------------------------------------------------------------


def rule_of(readings: Readings, context: Context) -> str:
    """The legal minimum that was chosen, else that of the country on the plate; where neither is
    known the metric one, which is the stricter by a hair."""
    return readings.given("rule") or ("in" if context.car.region[:2] == "US" else "mm")


def _minimum(context: Context, readings: Readings, row: RowReadings | None) -> Span:
    """Least tread: the law's, or more where more was entered; never less than the law's."""
    _, least, source = RULES[rule_of(readings, context)]
    entered = readings.given("local_minimum")
    return Span(entered, None, LOCAL) if entered and entered > least else Span(least, None, source)


def _placard(readings: Readings, corner: str) -> float | None:
    return readings.given("placard_front" if corner[0] == "f" else "placard_rear")


def _pressure(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """A tenth either side of the placard; warm tyres read high, so only the lower bound holds."""
    placard = _placard(readings, row.code) if row else None
    if not placard:
        return None
    cold = "cold" not in readings.unticked
    low, high = placard * (1 - PRESSURE_SHARE), placard * (1 + PRESSURE_SHARE)
    return Span(low, high if cold else None, Source("C", "common practice"))


def worn_where(inner: float | None, middle: float | None, outer: float | None) -> str:
    """Which part of an unevenly worn tread is lowest: a key of WEAR; depths in mm, two at least.

    >>> worn_where(2.0, 4.0, 5.0), worn_where(5.0, 3.0, 5.0), worn_where(3.0, 5.0, 3.2)
    ('inner_edge', 'middle', 'both_edges')
    """
    edges = [depth for depth in (inner, outer) if depth is not None]
    if middle is not None and middle < min(edges):
        return "middle"
    if inner is None or outer is None:
        return "outer_edge" if inner is None else "inner_edge"
    if middle is None or abs(inner - outer) >= UNEVEN_MM:
        return "inner_edge" if inner < outer else "outer_edge"
    return "both_edges"


def rolling_percent(tread_difference_mm: Any, diameter_mm: float) -> Any:
    """How much farther one tyre rolls in a turn than another of its size, in per cent.

    Twice the difference in tread over the diameter; with or without uncertainty.

    >>> round(rolling_percent(2.0, 631.9), 2)
    0.63
    """
    return 100 * 2 * tread_difference_mm / diameter_mm


# --- one tyre ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Tyre:
    """What was read at one corner."""

    row: RowReadings
    thinnest: UFloat | None
    grooves: Mapping[str, UFloat]
    week: Week | None

    @property
    def code(self) -> str:
        return self.row.code

    @property
    def label(self) -> str:
        return self.row.label


def _tyre(row: RowReadings) -> Tyre:
    depths = {key: row.uncertain(key) for key in TREADS}
    read = {key: depth for key, depth in depths.items() if depth is not None}
    thinnest = min(read.values(), key=lambda depth: depth.nominal_value, default=None)
    grooves = {key: read[key] for key in GROOVES if key in read}
    code = row.value("date_code")
    return Tyre(row, thinnest, grooves, week_made(code) if code else None)


def _day(text: Any) -> date | None:
    try:
        return date.fromisoformat(str(text))
    except ValueError:
        return None


def _tested_on(readings: Readings, context: Context) -> date | None:
    return _day(context.measured_on) or _day(readings.given("on"))


# --- figures ----------------------------------------------------------------------------------


def _figures(
    tyres: Sequence[Tyre], readings: Readings, context: Context
) -> tuple[list[Figure], list[VerdictOutcome]]:
    """Figures with the verdicts on those that have a limit."""
    figures: list[Figure] = []
    verdicts: list[VerdictOutcome] = []

    def add(figure: Figure, span: Span | None = None, *, safety: bool = False) -> None:
        figures.append(figure)
        verdict = judge_figure(PROCEDURE, figure, context, span, safety=safety)
        if verdict.outcome != "no_limit":
            verdicts.append(verdict)

    for tyre in tyres:
        if tyre.thinnest is not None:
            low = _minimum(context, readings, tyre.row).low or 0.0
            left = figure_of(
                f"left_{tyre.code}",
                f"{tyre.label}, tread above the minimum",
                "length",
                tyre.thinnest - low,
            )
            winter = tyre.row.value("kind") == "winter"
            add(left, Span(NEAR_WINTER_MM if winter else NEAR_MM, None, NEAR))
        if len(tyre.grooves) > 1:
            depths = sorted(tyre.grooves.values(), key=lambda depth: depth.nominal_value)
            across = figure_of(
                f"across_{tyre.code}",
                f"{tyre.label}, difference across the tread",
                "length",
                depths[-1] - depths[0],
            )
            add(across, Span(None, UNEVEN_MM, NEAR))
        placard, pressure = _placard(readings, tyre.code), tyre.row.uncertain("pressure")
        if placard and pressure is not None:
            off = figure_of(
                f"off_{tyre.code}",
                f"{tyre.label}, pressure above the placard (minus: below)",
                "gauge_pressure",
                pressure - placard,
            )
            add(off, Span(-VERY_LOW_SHARE * placard, None, WARNING), safety=True)
        if tyre.week is not None:
            add(_age(tyre, tyre.week, readings, context), Span(None, OLD_YEARS, NEAR))
    for figure in _all_wheel(tyres, readings, context):
        add(figure, Span(None, SPREAD_MM, NEAR) if figure.key == "spread" else None)
    return figures, verdicts


def _age(tyre: Tyre, week: Week, readings: Readings, context: Context) -> Figure:
    key, label = f"age_{tyre.code}", f"{tyre.label}, age in years"
    on = _tested_on(readings, context)
    if on is None:
        return Figure(key, label, "count", None, absent_because="the day of the test is not known")
    if week.first_day > on:
        why = "its week comes after the day of the test: read the code again"
        return Figure(key, label, "count", None, absent_because=why)
    if week.at_least:
        label = f"{tyre.label}, age in years at least"
    return Figure(key, label, "count", age_years(week, on), rectangular(HALF_WEEK_YEARS))


def _drives_all(readings: Readings, context: Context) -> bool:
    told = readings.given("driven")
    return told == "all" if told else context.car.drive in ALL_WHEEL


def _all_wheel(tyres: Sequence[Tyre], readings: Readings, context: Context) -> list[Figure]:
    """Difference in tread and in rolling size between the tyres of an all-wheel-drive car."""
    if not _drives_all(readings, context):
        return []
    labels = ("largest difference in tread between tyres", "difference in rolling size")
    depths = [tyre.thinnest for tyre in tyres if tyre.thinnest is not None]
    sizes = [tyre.row.value("size") for tyre in tyres]
    why = "" if len(depths) == len(tyres) else "the tread of all four was not measured"
    if not why and _unlike_sizes(tyres):
        why = "the tyres are not all of one size"
    if why:
        return [
            Figure("spread", labels[0], "length", None, absent_because=why),
            Figure("rolling", labels[1], "ratio", None, absent_because=why),
        ]
    in_order = sorted(depths, key=lambda depth: depth.nominal_value)
    spread: Any = in_order[-1] - in_order[0]
    size = size_of(sizes[0]) if all(sizes) else None
    if size is None:
        why = "the size of all four, as width/height and rim, is not known"
        rolling = Figure("rolling", labels[1], "ratio", None, absent_because=why)
    else:
        percent = rolling_percent(spread, size.diameter_mm)
        rolling = figure_of("rolling", labels[1], "ratio", percent)
    return [figure_of("spread", labels[0], "length", spread), rolling]


def _unlike_sizes(tyres: Sequence[Tyre]) -> bool:
    sizes = [size for tyre in tyres if (size := tyre.row.value("size"))]
    return any(not same_size(sizes[0], size) for size in sizes[1:])


# --- what was seen ----------------------------------------------------------------------------


def _seen(
    tyres: Sequence[Tyre],
    verdicts: Sequence[VerdictOutcome],
    readings: Readings,
    context: Context,
) -> dict[str, tuple[str, ...]]:
    """Pattern -> corners, in the order of the declared patterns, which is that of what matters."""
    outcomes = {verdict.address: verdict.outcome for verdict in verdicts}
    found: dict[str, list[str]] = {}

    def note(pattern: str, corner: str) -> None:
        found.setdefault(pattern, []).append(corner)

    for tyre in tyres:
        code, row = tyre.code, tyre.row
        if row.value("cord") is True or row.value("bulge") is True:
            note("damaged", code)
        if any(row.value(key) is True for key in ("cut", "cracked", "object")):
            note("cut_or_object", code)
        treads = [outcomes.get(row.address(key)) for key in TREADS]
        if "outside" in treads:
            note("worn_to_limit", code)
        elif "cannot_tell" in treads:
            note("at_limit", code)
        elif outcomes.get(f"figure.left_{code}") in ("outside", "cannot_tell"):
            note("near_limit", code)
        if outcomes.get(f"figure.off_{code}") in ("outside", "cannot_tell"):
            note("pressure_very_low", code)
        elif outcomes.get(row.address("pressure")) == "outside":
            note("pressure_off", code)
        if outcomes.get(f"figure.age_{code}") == "outside":
            note("age", code)
        for wear in _wear(tyre, outcomes):
            note(_UNEVEN[wear], code)
    for corner in _unlike(tyres, readings, context):
        note("sizes_differ", corner)
    if "outside" in (outcomes.get("figure.spread"), outcomes.get("figure.rolling")):
        depths = {t.code: t.thinnest.nominal_value for t in tyres if t.thinnest is not None}
        found["rolling_differs"] = [min(depths, key=depths.__getitem__)]
    return {
        pattern.code: tuple(dict.fromkeys(found[pattern.code]))
        for pattern in PROCEDURE.patterns
        if pattern.code in found
    }


def _wear(tyre: Tyre, outcomes: Mapping[str, str]) -> list[str]:
    """How the tread is worn, by eye and by the grooves where these differ clearly."""
    seen = [tyre.row.value("wear")]
    if outcomes.get(f"figure.across_{tyre.code}") == "outside":
        depths = {key: depth.nominal_value for key, depth in tyre.grooves.items()}
        seen.append(worn_where(*(depths.get(key) for key in GROOVES)))
    return [wear for wear in dict.fromkeys(seen) if wear in _UNEVEN]


def _unlike(tyres: Sequence[Tyre], readings: Readings, context: Context) -> list[str]:
    """Corners whose size is unlike its neighbour's or the placard's, or whose kind is mixed."""
    by_code = {tyre.code: tyre for tyre in tyres}
    corners = []
    for left, right in AXLES:
        sizes = [by_code[code].row.value("size") for code in (left, right)]
        if all(sizes) and not same_size(*sizes):
            corners += [left, right]
    for tyre in tyres:
        asked = readings.given("size_front" if tyre.code[0] == "f" else "size_rear")
        size = tyre.row.value("size")
        if asked and size and not same_size(asked, size):
            corners.append(tyre.code)
    kinds = {tyre.code: kind for tyre in tyres if (kind := tyre.row.value("kind"))}
    if len(set(kinds.values())) > 1:
        corners += kinds
    return [tyre.code for tyre in tyres if tyre.code in corners]


def assess(readings: Readings, context: Context) -> Assessment:
    """Each tyre against the minimum, the placard and its age, then the four against each other."""
    tyres = [_tyre(row) for row in readings.rows("tyres")]
    known = {tyre.row.address("least") for tyre in tyres if tyre.thinnest is not None}
    readings = replace(
        readings, missing=tuple(address for address in readings.missing if address not in known)
    )
    figures, on_figures = _figures(tyres, readings, context)
    verdicts = (*judge(PROCEDURE, readings, context), *on_figures)
    seen = _seen(tyres, verdicts, readings, context)
    all_measured = bool(tyres) and all(tyre.thinnest is not None for tyre in tyres)
    lead = next(iter(seen), "even" if all_measured else "undecided")
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead,
        where=seen.get(lead, ()),
        also=tuple(Also(code, where) for code, where in seen.items() if code != lead),
        figures=figures,
        verdicts=verdicts,
        confounders=_confounders(tyres, readings, context),
        tables=(_table(tyres, context),) if readings.by_address else (),
        customer=_customer(lead, seen, tyres, readings, context),
        technician=_technician(lead, seen, tyres, figures, verdicts, readings, context),
        chart=_chart(tyres, seen, readings, context),
    )


def _confounders(tyres: Sequence[Tyre], readings: Readings, context: Context) -> list[str]:
    measured = [tyre for tyre in tyres if tyre.thinnest is not None]
    weak = []
    if measured and not readings.given("rule"):
        weak.append("rule_assumed")
    if any(len(t.grooves) < len(GROOVES) and t.row.value("wear") is None for t in measured):
        weak.append("one_groove")
    if any(t.row.value("pressure") is None or not _placard(readings, t.code) for t in tyres):
        weak.append("pressure_not_judged")
    return weak


# --- words, table, chart ----------------------------------------------------------------------


def _depth(millimetres: float, context: Context) -> str:
    """Tread as people say it: a tenth of a millimetre, or 32nds of an inch in a US shop."""
    if context.units == "us":
        return show_value(millimetres, "length", places=0, unit="/32 in")
    return show_value(millimetres, "length", places=1, unit="mm")


def _depths(codes: Sequence[str], tyres: Sequence[Tyre], context: Context) -> str:
    """ "front left 1.2 mm, rear right 1.4 mm"; a corner without a figure by name alone."""
    return ", ".join(
        f"{tyre.label} {_depth(tyre.thinnest.nominal_value, context)}"
        if tyre.thinnest is not None
        else tyre.label
        for tyre in tyres
        if tyre.code in codes
    )


def _pressures(codes: Sequence[str], tyres: Sequence[Tyre], readings: Readings, units: str) -> str:
    """ "front left 190 kPa instead of 230 kPa"."""
    said = []
    for tyre in tyres:
        reading, placard = tyre.row.get("pressure"), _placard(readings, tyre.code)
        if tyre.code not in codes or reading is None or reading.number is None or not placard:
            continue
        found, asked = (
            show_value(value, "gauge_pressure", units, 0) for value in (reading.number, placard)
        )
        said.append(PROCEDURE.say("part.pressure", where=tyre.label, found=found, asked=asked).text)
    return ", ".join(said)


def _customer(
    lead: str,
    seen: Mapping[str, tuple[str, ...]],
    tyres: Sequence[Tyre],
    readings: Readings,
    context: Context,
) -> list[Sentence]:
    limit = _depth(_minimum(context, readings, None).low or 0.0, context)
    said = [
        PROCEDURE.say(
            f"customer.{code}",
            where=places(where, tyres),
            depths=_depths(where, tyres, context),
            pressures=_pressures(where, tyres, readings, context.units),
            limit=limit,
        )
        for code, where in seen.items()
    ]
    if seen:
        rest = [t.code for t in tyres if t.thinnest is None]
        if rest:
            said.append(PROCEDURE.say("customer.not_measured", where=places(rest, tyres)))
    elif lead == "even":
        codes = [tyre.code for tyre in tyres]
        depths = _depths(codes, tyres, context)
        said.append(PROCEDURE.say("customer.even", depths=depths, limit=limit))
    else:
        said.append(PROCEDURE.say("customer.undecided"))
    if "walls" in readings.unticked and lead == "even":
        said.append(PROCEDURE.say("customer.walls"))
    return said


def _technician(
    lead: str,
    seen: Mapping[str, tuple[str, ...]],
    tyres: Sequence[Tyre],
    figures: Sequence[Figure],
    verdicts: Sequence[VerdictOutcome],
    readings: Readings,
    context: Context,
) -> list[Sentence]:
    told = []
    if lead in ("even", "undecided"):
        told.append(PROCEDURE.say("next.all_even" if lead == "even" else "too_few"))
    for verdict in verdicts:
        doubtful = verdict.outcome == "cannot_tell"
        if doubtful or (verdict.outcome == "outside" and not verdict.address.startswith("figure.")):
            told.append(_close(verdict, context))
    told += [
        PROCEDURE.say(f"next.{code}", where=places(where, tyres))
        for code, where in seen.items()
        if code not in _UNEVEN.values()
    ]
    told += _of_wear(tyres, verdicts)
    told += _of_age(tyres, figures)
    for figure in figures:
        if figure.key == "rolling" and figure.value is not None:
            shown = show(figure.value, figure.u, "ratio", context.units)
            told.append(PROCEDURE.say("rolling", percent=shown))
    rule = rule_of(readings, context)
    key = "rule" if readings.given("rule") else "rule_assumed"
    told.append(PROCEDURE.say(key, rule=RULES[rule][0]))
    if "cold" in readings.unticked and any(t.row.get("pressure") for t in tyres):
        told.append(PROCEDURE.say("warm"))
    return told


def _close(verdict: VerdictOutcome, context: Context) -> Sentence:
    value = ""
    if verdict.value is not None:
        value = show(verdict.value, verdict.u, verdict.quantity, context.units)
    key = "judged" if value else "judged_bare"
    words = verdict_words(verdict, context.units)
    return PROCEDURE.say(key, what=at_head(verdict.label), value=value, words=words)


def _of_wear(tyres: Sequence[Tyre], verdicts: Sequence[VerdictOutcome]) -> list[Sentence]:
    outcomes = {verdict.address: verdict.outcome for verdict in verdicts}
    by_wear: dict[str, list[str]] = {}
    for tyre in tyres:
        for wear in _wear(tyre, outcomes):
            by_wear.setdefault(wear, []).append(tyre.label)
    return [
        PROCEDURE.say(f"wear.{wear}", where=at_head(", ".join(where)))
        for wear, where in by_wear.items()
    ]


def _of_age(tyres: Sequence[Tyre], figures: Sequence[Figure]) -> list[Sentence]:
    """Age where it asks for a look, the open decade of a short code, and why an age is absent."""
    by_key = {figure.key: figure for figure in figures}
    told = []
    for tyre in tyres:
        figure = by_key.get(f"age_{tyre.code}")
        if figure is None or tyre.week is None:
            continue
        if figure.value is None:
            told.append(
                PROCEDURE.say("age.absent", where=at_head(tyre.label), reason=figure.absent_because)
            )
        elif tyre.week.at_least:
            told.append(
                PROCEDURE.say(
                    "age.three_figures", where=at_head(tyre.label), year=str(tyre.week.year)
                )
            )
        elif LOOK_CLOSELY_YEARS <= figure.value < OLD_YEARS:
            told.append(
                PROCEDURE.say("age.look", where=at_head(tyre.label), years=f"{figure.value:.1f}")
            )
    return told


def _table(tyres: Sequence[Tyre], context: Context) -> Table:
    cells = []
    for tyre in tyres:
        row, week = tyre.row, tyre.week
        depths = ", ".join(
            f"{key} {_depth(depth.nominal_value, context)}" for key, depth in tyre.grooves.items()
        )
        pressure, kind = row.get("pressure"), row.value("kind")
        seen = [WEAR.get(row.value("wear") or "")]
        seen += [label for key, label in _MARKS.items() if row.value(key) is True]
        seen.append(row.value("note"))
        cells.append(
            (
                tyre.label,
                _depth(tyre.thinnest.nominal_value, context) if tyre.thinnest is not None else "",
                depths,
                pressure.understood if pressure else "",
                f"week {week.number} of {week.year}" if week else "",
                " ".join(part for part in (row.value("size"), KINDS.get(kind or "")) if part),
                "; ".join(part for part in seen if part),
            )
        )
    head = ("tyre", "thinnest", "grooves", "pressure", "made", "size and kind", "seen")
    return Table("Tyres by corner", head, tuple(cells))


_MARKS = {
    "cord": "cord showing",
    "bulge": "bulge",
    "cut": "cut",
    "cracked": "cracked",
    "object": "nail or stone in it",
}


def _chart(
    tyres: Sequence[Tyre],
    seen: Mapping[str, tuple[str, ...]],
    readings: Readings,
    context: Context,
) -> dict[str, Any]:
    """Tread at each corner as seen from above, the outer groove towards the outside of the car."""
    panels = []
    for tyre in tyres:
        if tyre.thinnest is None:
            continue
        side = 0 if tyre.code[1] == "l" else 1
        across = GROOVES if side else tuple(reversed(GROOVES))
        points = [(key, tyre.grooves[key]) for key in across if key in tyre.grooves]
        if all(depth.nominal_value > tyre.thinnest.nominal_value for _, depth in points):
            points.insert(len(points) // 2, ("thinnest", tyre.thinnest))
        panels.append(
            {
                "row": 0 if tyre.code[0] == "f" else 1,
                "side": side,
                "label": tyre.label,
                "low": _minimum(context, readings, tyre.row).low,
                "points": [
                    {"label": label, "value": depth.nominal_value, "u": depth.std_dev}
                    for label, depth in points
                ],
            }
        )
    if not panels:
        return {}
    codes = [tyre.code for tyre in tyres if tyre.thinnest is not None]
    limit = _depth(_minimum(context, readings, None).low or 0.0, context)
    title = PROCEDURE.say("chart", depths=_depths(codes, tyres, context), limit=limit).text
    return {"kind": "corners", "title": title, "unit": "tread, mm", "panels": panels}


# --- the declaration --------------------------------------------------------------------------

_NOT_WITH_A_BULGE = Driving(
    "do_not_drive",
    "A tyre with a bulge, or with its cord showing, can burst without warning. Fit another wheel, "
    "or have the car towed.",
)
_TO_THE_NEAREST = Driving(
    "only_as_stated",
    "Tread at the minimum no longer clears water: only slowly, on dry roads, and no further than "
    "to where tyres are fitted. Local law may forbid even that.",
)
_PUMP_FIRST = Driving(
    "only_as_stated",
    "A tyre so soft overheats and can come apart: put the pressure right before driving, and read "
    "it again the next day. If it was driven soft, it has to be looked at from inside first.",
)
_NOT_FAR_WITH_A_CUT = Driving(
    "only_as_stated",
    "Slowly, and no further than to where the tyre can be taken off and looked at from inside; "
    "read its pressure before setting off.",
)


def _tread(key: str, label: str, help: str, *, needed: bool = False) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="length",
        needed=needed,
        finer=not needed,
        possible=(0.0, 30.0),
        likely=(0.5, 14.0),
        instrument="tread_gauge",
    )


def _placard_field(key: str, label: str) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity="gauge_pressure",
        origin="photo",
        needed=True,
        possible=(50.0, 900.0),
        likely=(150.0, 500.0),
        help="From the placard on the door post or flap, cold, for the load that it carries.",
    )


PROCEDURE = Procedure(
    name="tyres",
    title="Tyres: tread, pressure, age, damage",
    version=1,
    group="Wheels and tyres",
    purpose="Shows how much tread is left above the legal minimum, whether the pressures fit the "
    "placard, and wear, age or damage that asks for something to be done.",
    proves_nothing_when="Only one place was measured on a tyre that wears unevenly, the inner "
    "walls were not seen, or the tyres were warm from driving when their pressure was read.",
    cautions=(
        Caution(
            "A bulge, or cord showing: do not drive it and do not pump it up.",
            "It can burst at any moment. Fit another wheel or have the car towed.",
            "common practice",
            "customer",
        ),
        Caution(
            "Stand beside the tread, not in front of the wall, while pumping.",
            "Clip-on chuck and long hose. Never above the largest pressure moulded on the wall.",
            "common practice",
        ),
        Caution(
            "Driven soft or flat: look inside before pumping.",
            "Its walls may be chewed through where nobody sees it; they give way under pressure.",
            "common practice",
        ),
        Caution(
            "Never let air out of a warm tyre.",
            "It reads high and would be too soft when cold. Correct it cold.",
            "common practice",
        ),
        Caution(
            "Broken steel cord cuts to the bone.",
            "Feel a tread with a gloved hand; eyes covered when stones are picked out.",
            "common practice",
        ),
        Caution(
            "The car can roll onto a hand behind a wheel.",
            "Level ground, brake on, the other wheels chocked, key away.",
            "common practice",
        ),
        Caution(
            "A wheel off the ground: rated stands before anyone reaches under.",
            "Hard level ground, the maker's lifting points, never a jack alone.",
            "OSHA 29 CFR 1910.244(a)",
            from_memory=True,
        ),
        STANDS_SILENT,
        WHEEL_NUTS_AFTERWARDS,
        Caution(
            "No plug in a wall or shoulder.",
            "What was pierced there is renewed; the shop says no to anything else.",
            "common practice",
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("cold", "Tyres cold: stood three hours, or driven under 2 km.", "not_cold"),
        Precondition(
            "walls",
            "Tread and both walls looked at all round, the inner wall too; nothing was seen where "
            "nothing is ticked.",
            "walls_not_looked",
        ),
        Precondition(
            "grooves",
            "Depth taken in main grooves, beside the wear bars, stones out; the lowest place "
            "round the tyre.",
            "on_bars",
        ),
    ),
    effort=Effort(
        minutes=3, tools=("tread depth gauge", "tyre pressure gauge", "lamp"), state="cold"
    ),
    given=(
        _placard_field("placard_front", "Placard pressure, front"),
        _placard_field("placard_rear", "Placard pressure, rear"),
        Choice(
            key="rule",
            label="Legal minimum here",
            origin="told",
            choices={code: words for code, (words, _, _) in RULES.items()},
            help="Left empty: 2/32 in for a car with a US plate, else 1.6 mm.",
        ),
        Quantity(
            key="local_minimum",
            label="A higher minimum, where one holds",
            quantity="length",
            origin="told",
            finer=True,
            possible=(1.0, 10.0),
            likely=(1.6, 5.0),
            help="Winter tyres, local law, the maker. Counts only if it asks for more.",
        ),
        Choice(
            key="driven",
            label="Driven wheels",
            origin="told",
            finer=True,
            choices={"two": "front or rear", "all": "all, always or switched in"},
            help="Left empty: as the car's own page says.",
        ),
        Code(
            key="size_front",
            label="Size on the placard, front",
            origin="photo",
            finer=True,
            pattern=SIZE,
            example="205/55R16",
        ),
        Code(
            key="size_rear",
            label="Size on the placard, rear",
            origin="photo",
            finer=True,
            pattern=SIZE,
            example="205/55R16",
        ),
        Date(
            key="on",
            label="Day of the look",
            origin="told",
            finer=True,
            help="Only where the readings carry no day of their own; ages are counted to it.",
        ),
    ),
    grids=(
        Grid(
            "tyres",
            "Tyres",
            OfCar("corners"),
            (
                _tread(
                    "least",
                    "tread, thinnest main groove",
                    "The lowest that you find; 4/32 may be typed as it is.",
                    needed=True,
                ),
                Quantity(
                    key="pressure",
                    label="pressure",
                    quantity="gauge_pressure",
                    needed=True,
                    possible=(0.0, 1100.0),
                    likely=(120.0, 550.0),
                    instrument="tyre_gauge",
                    help="Cold, before air is added.",
                ),
                _tread("inner", "inner main groove", "Towards the middle of the car."),
                _tread("middle", "middle main groove", "The one nearest the middle."),
                _tread("outer", "outer main groove", "Towards the outside."),
                Choice(key="wear", label="wear picture", choices=WEAR, finer=True),
                Flag(key="cord", label=_MARKS["cord"], finer=True),
                Flag(key="bulge", label=_MARKS["bulge"], finer=True),
                Flag(key="cut", label="cut, no cord seen", finer=True),
                Flag(key="cracked", label="cracks in wall or grooves", finer=True),
                Flag(key="object", label=_MARKS["object"], finer=True),
                Code(
                    key="date_code",
                    label="date code",
                    origin="photo",
                    finer=True,
                    pattern=DATE_CODE,
                    example="2319",
                    help="Last four figures of the long number: week, then year. Three figures: "
                    "made before the middle of 2000.",
                ),
                Code(
                    key="size",
                    label="size",
                    origin="photo",
                    finer=True,
                    pattern=SIZE,
                    example="205/55R16",
                ),
                Choice(key="kind", label="kind", choices=KINDS, origin="photo", finer=True),
                Text(key="note", label="note", longest=120, finer=True),
            ),
            help="Four tyres in forty seconds: thinnest groove and pressure; the rest where it "
            "asks for it.",
        ),
    ),
    limits=(
        *(
            Limit(f"tyres.*.{key}", bounds=_minimum, safety=True, maker_may_override=False)
            for key in TREADS
        ),
        Limit("tyres.*.pressure", bounds=_pressure),
    ),
    # Tread differs round a tyre, and a gauge stands on a block's edge: judgement, mm.
    handling_u=dict.fromkeys(TREADS, 0.15),
    patterns=(
        Pattern("damaged", "bulge, or cord showing", direct=True, driving=_NOT_WITH_A_BULGE),
        Pattern("worn_to_limit", "tread below the minimum", direct=True, driving=_TO_THE_NEAREST),
        Pattern(
            "at_limit",
            "tread too close to the minimum to tell",
            direct=True,
            driving=_TO_THE_NEAREST,
        ),
        Pattern("pressure_very_low", "pressure far too low", direct=True, driving=_PUMP_FIRST),
        Pattern(
            "cut_or_object", "cut, cracked, or pierced", direct=True, driving=_NOT_FAR_WITH_A_CUT
        ),
        Pattern("sizes_differ", "sizes or kinds unlike", direct=True),
        Pattern("rolling_differs", "unlike tread on all driven wheels"),
        Pattern("age", "older than ten years", direct=True),
        Pattern("near_limit", "little tread left above the minimum", direct=True),
        Pattern("one_edge", "worn at one edge", direct=True),
        Pattern("both_edges", "worn at both edges", direct=True),
        Pattern("middle_worn", "worn in the middle", direct=True),
        Pattern("patchy", "feathered, cupped, or a flat spot", direct=True),
        Pattern("pressure_off", "pressure unlike the placard", direct=True),
        Pattern("even", "tread and pressures as usual", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "not_cold", "The tyres were warm from driving: they read high.", 0.6, only_sound=True
        ),
        Confounder(
            "walls_not_looked",
            "Nobody looked at the walls all round: a bulge or cut may be there unseen.",
            0.5,
            only_sound=True,
        ),
        Confounder(
            "on_bars", "Depth may have been taken on a wear bar or a stone: it reads low.", 0.9
        ),
        Confounder(
            "one_groove",
            "Not all grooves were measured and no wear picture was noted, so wear at an edge may "
            "be missed.",
            0.7,
            only_sound=True,
        ),
        Confounder(
            "pressure_not_judged",
            "Not every pressure was read and held against the placard.",
            0.8,
            only_sound=True,
        ),
        Confounder(
            "rule_assumed",
            "Which legal minimum holds here was not chosen; it was taken from the country of the "
            "plate.",
            0.9,
            only_sound=True,
        ),
    ),
    evidence_group="tyres",
    assess=assess,
    formulas=(
        Formula("left_*", "thinnest main groove − minimum, mm"),
        Formula("across_*", "deepest − shallowest of inner, middle and outer groove, mm"),
        Formula("off_*", "pressure − placard, kPa; minus: too low"),
        Formula(
            "age_*",
            "(day of the test − middle of the week of making) / 365.2425 d",
            "week after 49 CFR 574.5 (from memory)",
        ),
        Formula("spread", "deepest − shallowest of the four tyres' thinnest grooves, mm"),
        Formula(
            "rolling",
            "100 × 2 × spread / (25.4 × rim + 2 × width × height / 100), %",
            "the size marking's own definition",
        ),
    ),
    example={
        "ready.cold": "yes",
        "ready.walls": "yes",
        "given.placard_front": "230 kPa",
        "given.placard_rear": "210 kPa",
        "given.rule": "mm",
        "tyres.fl.least": "5.2 mm",
        "tyres.fl.pressure": "228 kPa",
        "tyres.fr.least": "1.1 mm",
        "tyres.fr.pressure": "226 kPa",
        "tyres.rl.least": "6.0 mm",
        "tyres.rl.pressure": "212 kPa",
        "tyres.rr.least": "6.1 mm",
        "tyres.rr.pressure": "210 kPa",
    },
    sentences={
        # customer
        "customer.damaged": "{where}: the tyre has a bulge, or its cord shows. It can burst "
        "without warning and should not be driven on.",
        "customer.worn_to_limit": "The tread is below the legal minimum of {limit}: {depths}. A "
        "tyre so worn no longer clears water from under it, and has to be renewed.",
        "customer.at_limit": "The tread is too close to the legal minimum of {limit} to tell which "
        "side of it: {depths}. It should be treated as reached.",
        "customer.pressure_very_low": "Far too little air: {pressures}. It has to be put right "
        "before driving, and it should be found out where the air went.",
        "customer.cut_or_object": "{where}: the tyre is cut or cracked, or something sticks in it. "
        "It should come off and be looked at from inside.",
        "customer.sizes_differ": "{where}: tyres of another size or kind than the others or than "
        "the car asks for.",
        "customer.rolling_differs": "{where}: clearly less tread than the other tyres. The car "
        "drives all four wheels, and unlike tyres strain the drive between the axles.",
        "customer.age": "{where}: made more than ten years ago. Rubber that old hardens and "
        "cracks; most advise to renew it whatever its tread.",
        "customer.near_limit": "Little tread is left above the legal minimum of {limit}: {depths}. "
        "New tyres should be planned.",
        "customer.one_edge": "{where}: worn more at one edge than across the rest.",
        "customer.both_edges": "{where}: worn more at both edges than in the middle.",
        "customer.middle_worn": "{where}: worn more in the middle than at the edges.",
        "customer.patchy": "{where}: worn in patches or slantwise.",
        "customer.pressure_off": "The pressure differs from the car's placard: {pressures}.",
        "customer.even": "Tread left: {depths}; the legal minimum is {limit}. Nothing unusual was "
        "seen.",
        "customer.undecided": "Too little was measured to say how the tyres are.",
        "customer.not_measured": "Tread not measured: {where}.",
        "customer.walls": "The walls of the tyres were not looked at all round.",
        "part.pressure": "{where} {found} instead of {asked}",
        # technician
        "next.all_even": "Nothing unusual. Note depths: the next visit shows the wear.",
        "too_few": "Measure the thinnest main groove of all four.",
        "judged": "{what}: {value}: {words}.",
        "judged_bare": "{what}: {words}.",
        "next.damaged": "{where}: bulge or cord. Off the road; look at the rim for a bend.",
        "next.worn_to_limit": "{where}: below the minimum. Photo with the gauge in the groove; "
        "tell the customer in writing.",
        "next.at_limit": "{where}: clean the groove, take it at three places round the tyre, "
        "inside too; the lowest counts. Until then treat it as reached.",
        "next.pressure_very_low": "{where}: nail, valve, bead or rim? Look inside before pumping "
        "if it may have been driven soft. Soapy water, then read it again the next day.",
        "next.cut_or_object": "{where}: length and depth of the cut; a piercing only off the rim, "
        "from inside. Leave the object in until the tyre can be changed.",
        "next.sizes_differ": "{where}: which sizes and kinds does the car's paper allow? Mixed "
        "kinds brake and steer unlike at both ends.",
        "next.rolling_differs": "{where} has least tread. Renew in sets or as the maker says, and "
        "ask for a shudder in tight turns.",
        "next.age": "{where}: over ten years. Bead, shoulder and grooves for cracks; a spare too.",
        "next.near_limit": "{where}: give the distance since they were new, and say when to look "
        "again.",
        "next.pressure_off": "{where}: put it right cold, for the load that it carries.",
        "wear.inner_edge": "{where}: inner edge. Play in joints first, then camber and toe; a bent "
        "part or a sagged spring does it too.",
        "wear.outer_edge": "{where}: outer edge. Play first, then camber and toe; fast corners do "
        "it on the front.",
        "wear.both_edges": "{where}: both edges. Too little air or too much load for long; fast "
        "corners.",
        "wear.middle": "{where}: middle. Too much air for long, or much power on driven wheels.",
        "wear.feathered": "{where}: feathered. Toe; feel which way the edges stand.",
        "wear.cupped": "{where}: cupped. Damper, balance, bearing or joint play.",
        "wear.flat_spot": "{where}: flat spot. A locked wheel, or long standing; it may shake.",
        "age.look": "{where}: {years} years old: look at shoulder, bead and grooves every year.",
        "age.three_figures": "{where}: three figures, so made in {year} or ten years earlier: too "
        "old in either case.",
        "age.absent": "{where}: no age: {reason}.",
        "rolling": "Rolling size differs by {percent} between the most and the least worn; makes "
        "differ besides by up to one per cent. The maker's figure decides.",
        "rule": "Minimum held against: {rule}.",
        "rule_assumed": "Minimum held against: {rule}, from the plate's country. Choose the rule "
        "that holds where the car is used.",
        "warm": "Pressures read warm: too low counts whole, too high says nothing. Read again "
        "cold.",
        # chart
        "chart": "Tread by corner: {depths}; minimum {limit}.",
    },
)
