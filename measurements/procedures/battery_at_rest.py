"""Battery at rest: how full it is, by volts and where cells can be reached by the acid's density.

Method: volts at the posts after hours of rest, or after surface charge was taken off; density of
each cell by hydrometer. Tables and their sources stand in `core.battery`. Neither tells how much
the battery can hold: that needs load.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from measurements.core import battery, decision, units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, VerdictOutcome
from measurements.core.battery import CHEMISTRIES, STATES_PERCENT, Chemistry
from measurements.core.cautions import BATTERY_LEAD
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge, judge_figure
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
    Free,
    Grid,
    Limit,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    Source,
    Span,
    Text,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.uncertainty import rectangular

if TYPE_CHECKING:
    from uncertainties import UFloat

_PRACTICE = Source("C", "common practice")
_ARMY = Source("S", "an army battery manual, TM 9-6140-200-14")

RESTED_S = 4 * 3600.0
"""Hours, not minutes (common practice); or lamps 15 s, then 3 min wait (an army manual)."""

ONE_CELL_MISSING_V = (10.3, 11.0)
"""After charging: what five sound cells of six show (common practice)."""

SPREAD_MOST_G_CM3 = 0.050
SPREAD_MOST_BY_ARMY_G_CM3 = 0.025
"""Between any two cells: common practice after an equalising charge; an army manual, charged."""

PAIR_APART_V = 0.20
"""Between two batteries in series, both rested: a quarter of the charge (common practice)."""

TEMPERATURE_DOUBT_V = 0.03
NEAR_25_K = 5.0
"""Half width added to rest volts away from 25 °C, since sources disagree (judgement)."""

CHARGES_DISAGREE_PERCENT = 20.0
MAY_FREEZE_C = -5.0
"""A nearly empty battery freezes at about -10 °C (from memory); warned of a little earlier."""


# --- limits -----------------------------------------------------------------------------------


def _chemistry(readings: Readings) -> Chemistry:
    return CHEMISTRIES[readings.given("chemistry") or "unknown"]


def _shift_v(readings: Readings) -> float:
    """What temperature adds to the limits at 25 °C; nought unless a slope was entered."""
    slope, temp_c = readings.given("slope"), readings.given("temperature")
    return slope * (temp_c - 25.0) if slope is not None and temp_c is not None else 0.0


def _rest_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span:
    """From three quarters charged to what no rested battery shows."""
    kind, shift = _chemistry(readings), _shift_v(readings)
    return Span(kind.low_v + shift, kind.rested_most_v + shift, _PRACTICE)


def _doubt_v(readings: Readings) -> float:
    """Standard uncertainty of what the volts mean: makers' tables, and temperature."""
    doubt = rectangular(_chemistry(readings).spread_v)
    temp_c = readings.given("temperature")
    if temp_c is None or abs(temp_c - 25.0) > NEAR_25_K:
        doubt = math.hypot(doubt, rectangular(TEMPERATURE_DOUBT_V))
    return doubt


def _with_doubt(readings: Readings) -> Readings:
    """The readings, their volts as uncertain as the limit that they are held against."""
    doubt = _doubt_v(readings)
    return replace(
        readings,
        by_address={
            address: replace(reading, u=math.hypot(reading.u, doubt))
            if address.startswith("batteries.")
            else reading
            for address, reading in readings.by_address.items()
        },
    )


# --- reasoning --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Battery:
    """One 12 volt battery with what its volts say: charge in per cent, None if they cannot."""

    row: RowReadings
    volts: UFloat
    outcome: str
    charge: UFloat | None

    @property
    def side(self) -> str:
        """ "low", "high" or "" against the limits of a rested battery."""
        return self.outcome if self.outcome in ("low", "high") else ""


def _rested(readings: Readings) -> bool | None:
    """Whether the volts have settled; None if that was not noted."""
    if readings.given("surface_off"):
        return True
    rested_s = readings.given("rested")
    return None if rested_s is None else rested_s >= RESTED_S


def _batteries(readings: Readings, verdicts: Sequence[VerdictOutcome]) -> list[Battery]:
    kind, by_address = _chemistry(readings), {v.address: v for v in verdicts}
    found = []
    for row in readings.rows("batteries"):
        volts = row.uncertain("volts")
        if volts is None:
            continue
        verdict = by_address[row.address("volts")]
        outcome: str = verdict.outcome
        if verdict.outcome == "outside":
            low = verdict.low is not None and volts.nominal_value < verdict.low
            outcome = "low" if low else "high"
        found.append(Battery(row, volts, outcome, _charge(readings, kind, volts)))
    return found


def _charge(readings: Readings, kind: Chemistry, volts: UFloat) -> UFloat | None:
    """Per cent by the table, drawn on beyond its ends; None for lithium."""
    from uncertainties import ufloat

    if not kind.volts:
        return None
    at_25_c: Any = volts - _shift_v(readings)
    if doubt := _doubt_v(readings):
        at_25_c = at_25_c + ufloat(0, doubt)
    fineness = battery.TABLE_FINENESS_PERCENT / 2
    percent: UFloat = battery.charge_percent(at_25_c, kind) + ufloat(0, fineness)
    return percent


def assess(readings: Readings, context: Context) -> Assessment:
    """What was seen by eye first, then what the volts and cells show."""
    verdicts = list(judge(PROCEDURE, _with_doubt(readings), context))
    found, rested = _batteries(readings, verdicts), _rested(readings)
    cells = _cells(readings)
    figures = [*_charge_figures(found, rested), *_pair_figure(found), *_cell_figures(cells)]
    for figure in figures:
        if figure.key == "apart":
            verdicts.append(
                judge_figure(PROCEDURE, figure, context, Span(None, PAIR_APART_V, _PRACTICE))
            )
        if figure.key.startswith("spread_"):
            verdicts.append(judge_figure(PROCEDURE, figure, context, _spread_span(readings)))
    weak = _confounders(readings, context, found, rested, cells)
    seen = _seen(readings, found, cells, verdicts, context)
    if seen:
        (pattern, where), rest = seen[0], seen[1:]
    else:
        pattern, where, rest = _quiet(readings, context, found, rested, verdicts), (), []
        if pattern in ("not_rested", "charge_not_told", "sound"):
            where = tuple(one.row.code for one in found)
    also = [Also(code, rows) for code, rows in rest]
    if pattern == "sound":
        weak.append("capacity_not_shown")
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
        customer=_customer(pattern, where, readings, context, found),
        technician=_technician(pattern, where, also, readings, context, found, cells, verdicts),
        chart=_chart(readings, context, found, cells),
    )


def _seen(
    readings: Readings,
    found: Sequence[Battery],
    cells: Sequence[Cells],
    verdicts: Sequence[VerdictOutcome],
    context: Context,
) -> list[tuple[str, tuple[str, ...]]]:
    """What is unusual, with its rows; the most direct first."""
    seen: list[tuple[str, tuple[str, ...]]] = []
    look = readings.given("look")
    if look in ("frozen", "swollen", "leaking"):
        seen.append(("frozen_seen" if look == "frozen" else "case_damaged", ()))
    by_code: dict[str, list[str]] = {}
    for one in found:
        by_code.setdefault(_by_volts(readings, context, one), []).append(one.row.code)
    for code in ("reads_backwards", "one_cell_missing", "flat_after_charging"):
        if code in by_code:
            seen.append((code, tuple(by_code[code])))
    by_address = {verdict.address: verdict for verdict in verdicts}
    seen += _cells_seen(cells, by_address, context)
    apart = by_address.get("figure.apart")
    if apart is not None and apart.outcome == "outside":
        lower = min(found, key=lambda one: one.volts.nominal_value)
        seen.append(("pair_apart", (lower.row.code,)))
    for code in ("flat", "low", "above_rest"):
        if code in by_code:
            seen.append((code, tuple(by_code[code])))
    return seen


def _by_volts(readings: Readings, context: Context, one: Battery) -> str:
    """What one battery's volts show that is unusual, "" for nothing."""
    kind, volts = _chemistry(readings), one.volts.nominal_value
    if volts < -2 * one.volts.std_dev:
        return "reads_backwards"
    if one.side != "low":
        return "above_rest" if one.side == "high" else ""
    charged = readings.given("last") == "charged"
    if not kind.volts:
        return "low"
    low, high = ONE_CELL_MISSING_V
    if charged and low <= volts <= high:
        return "one_cell_missing"
    u = math.hypot(one.volts.std_dev, _doubt_v(readings))
    foot = kind.volts[0] + _shift_v(readings)
    if decision.decide(volts, u, low=foot, risk=context.risk).outcome == "outside":
        return "flat_after_charging" if charged else "flat"
    return "low"


def _quiet(
    readings: Readings,
    context: Context,
    found: Sequence[Battery],
    rested: bool | None,
    verdicts: Sequence[VerdictOutcome],
) -> str:
    """Nothing unusual is shown: is that worth something?"""
    if not found:
        return "undecided"
    if not rested:
        return "not_rested"
    if any(one.outcome != "within" for one in found):
        return "undecided"
    if any(v.outcome not in ("within", "no_limit") for v in verdicts):
        return "undecided"
    if not _chemistry(readings).volts:
        return "charge_not_told"
    if context.car.volts >= 24 and len(found) < 2:
        return "undecided"
    return "sound"


def _charge_figures(found: Sequence[Battery], rested: bool | None) -> list[Figure]:
    """State of charge of each battery, or why there is none."""
    figures = []
    fineness = battery.TABLE_FINENESS_PERCENT
    for one in found:
        key, label = f"charge_{one.row.code}", f"{one.row.label}, state of charge by rest volts"
        why = ""
        if one.charge is None:
            why = "rest volts hardly tell the charge of a lithium battery"
        elif one.side == "high":
            why = "above what a rested battery shows"
        elif not rested:
            why = "not rested for hours, and no surface charge taken off"
        elif one.charge.nominal_value < -fineness:
            why = (
                "below the foot of the table, where a missing cell and an empty battery look alike"
            )
        elif one.charge.nominal_value > 100 + fineness:
            why = "above the head of the table: full, or not quite rested"
        if why or one.charge is None:
            figures.append(Figure(key, label, "ratio", None, absent_because=why))
        else:
            figures.append(figure_of(key, label, "ratio", one.charge))
    return figures


def _pair_figure(found: Sequence[Battery]) -> list[Figure]:
    if len(found) < 2:
        return []
    difference: Any = found[0].volts - found[1].volts
    size = difference if difference.nominal_value >= 0 else -difference
    return [figure_of("apart", "difference of the two batteries", "voltage", size)]


# --- cells ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Cells:
    """The cells of one battery that were read; densities as read, g/cm³."""

    battery: int
    rows: tuple[RowReadings, ...]
    read: tuple[UFloat, ...]
    corrected: UFloat | None
    charge: UFloat | None

    @property
    def spread(self) -> UFloat | None:
        """Highest less lowest; temperature cancels. None with a single cell."""
        if len(self.read) < 2:
            return None
        ordered = sorted(self.read, key=lambda number: number.nominal_value)
        difference: UFloat = ordered[-1] - ordered[0]
        return difference

    @property
    def weakest(self) -> RowReadings:
        """The cell with the lowest density."""
        values = [number.nominal_value for number in self.read]
        return self.rows[values.index(min(values))]


def _cells(readings: Readings) -> list[Cells]:
    from uncertainties import ufloat

    temp_c, found = readings.given("temperature"), []
    for number in (1, 2):
        rows = [
            row
            for row in readings.rows("cells")
            if row.row.facts.get("battery", 1) == number and row.uncertain("density") is not None
        ]
        if not rows:
            continue
        read = [density for row in rows if (density := row.uncertain("density")) is not None]
        mean: Any = sum(read[1:], read[0]) / len(read)
        # Without a temperature: 10 °F either way.
        corrected = (
            mean + ufloat(0, rectangular(0.004))
            if temp_c is None
            else battery.density_at_80_f(mean, temp_c)
        )
        charge: Any = battery.charge_percent_by_density(corrected) + ufloat(
            0, battery.TABLE_FINENESS_PERCENT / 2
        )
        found.append(Cells(number, tuple(rows), tuple(read), corrected, charge))
    return found


def _cell_figures(cells: Sequence[Cells]) -> list[Figure]:
    figures = []
    for group in cells:
        name = f"battery {group.battery}"
        if group.spread is not None:
            figures.append(
                figure_of(
                    f"spread_{group.battery}",
                    f"{name}, highest less lowest cell",
                    "density",
                    group.spread,
                )
            )
        if group.corrected is not None and group.charge is not None:
            figures += [
                figure_of(
                    f"density_{group.battery}",
                    f"{name}, mean density at 27 °C",
                    "density",
                    group.corrected,
                ),
                figure_of(
                    f"charge_by_density_{group.battery}",
                    f"{name}, state of charge by density",
                    "ratio",
                    group.charge,
                ),
            ]
    return figures


def _spread_span(readings: Readings) -> Span:
    if readings.given("spread_rule") == "army":
        return Span(None, SPREAD_MOST_BY_ARMY_G_CM3, _ARMY)
    return Span(None, SPREAD_MOST_G_CM3, _PRACTICE)


def _cells_seen(
    cells: Sequence[Cells], by_address: dict[str, VerdictOutcome], context: Context
) -> list[tuple[str, tuple[str, ...]]]:
    seen: list[tuple[str, tuple[str, ...]]] = []
    for group in cells:
        verdict = by_address.get(f"figure.spread_{group.battery}")
        if verdict is None or group.spread is None:
            continue
        beyond_army = decision.decide(
            group.spread.nominal_value,
            group.spread.std_dev,
            high=SPREAD_MOST_BY_ARMY_G_CM3,
            risk=context.risk,
        ).outcome
        if verdict.outcome == "outside":
            seen.append(("cells_apart", (group.weakest.code,)))
        elif beyond_army == "outside":
            seen.append(("cells_apart_a_little", (group.weakest.code,)))
    return seen


def _confounders(
    readings: Readings,
    context: Context,
    found: Sequence[Battery],
    rested: bool | None,
    cells: Sequence[Cells],
) -> list[str]:
    weak = []
    if found and rested is None:
        weak.append("rest_unknown")
    elif found and not rested:
        weak.append("not_rested")
    if readings.given("chemistry") in (None, "unknown"):
        weak.append("chemistry_unknown")
    if found and readings.given("temperature") is None:
        weak.append("temperature_unknown")
    if context.car.volts >= 24 and len(found) == 1:
        weak.append("one_of_two")
    for group in cells:
        if (
            group.charge is not None
            and group.charge.nominal_value < 75
            and group.spread is not None
        ):
            weak.append("cells_not_charged")
        if _disagrees(found, group):
            weak.append("density_disagrees")
    return weak


def _disagrees(found: Sequence[Battery], group: Cells) -> bool:
    """Volts and density of one battery give charges too far apart to be one battery's."""
    same = [one for one in found if one.row.code == f"b{group.battery}" and one.charge is not None]
    if not same or group.charge is None or same[0].charge is None:
        return False
    gap: Any = same[0].charge - group.charge
    return bool(abs(gap.nominal_value) > max(2 * gap.std_dev, CHARGES_DISAGREE_PERCENT))


# --- words ------------------------------------------------------------------------------------

_FULLNESS = (
    (12.5, "nearly empty"),
    (37.5, "about a quarter full"),
    (62.5, "about half full"),
    (87.5, "about three quarters full"),
)


def fullness(charge_percent: float) -> str:
    """State of charge in words, no finer than the table is.

    >>> fullness(60), fullness(104)
    ('about half full', 'full or nearly full')
    """
    return next((w for most, w in _FULLNESS if charge_percent < most), "full or nearly full")


def _volts(value: float) -> str:
    return units.show_value(value, "voltage", places=2, unit="V")


def _density(value: float) -> str:
    return units.show_value(value, "density", places=3, unit="g/cm³")


def _at(found: Sequence[Battery], where: Sequence[str]) -> Battery:
    """The battery that leads: of those meant the lowest one."""
    meant = [one for one in found if one.row.code in where] or list(found)
    return min(meant, key=lambda one: one.volts.nominal_value)


_BY_VOLTS = (
    "reads_backwards",
    "one_cell_missing",
    "flat_after_charging",
    "flat",
    "low",
    "above_rest",
    "not_rested",
    "charge_not_told",
    "sound",
)


def _params(pattern: str, where: Sequence[str], found: Sequence[Battery]) -> dict[str, str]:
    if pattern == "pair_apart":
        first, second = (one.volts.nominal_value for one in found[:2])
        return {"one": _volts(first), "two": _volts(second)}
    if pattern not in _BY_VOLTS:
        return {}
    one = _at(found, where)
    params = {"volts": _volts(one.volts.nominal_value), "battery": one.row.label}
    if one.charge is not None:
        params["fullness"] = fullness(one.charge.nominal_value)
    return params


def _customer(
    pattern: str,
    where: Sequence[str],
    readings: Readings,
    context: Context,
    found: Sequence[Battery],
) -> list[Sentence]:
    say, params = PROCEDURE.say, _params(pattern, where, found)
    said = [say("customer." + _key(pattern, params, readings), **params)]
    if pattern in ("flat", "low", "flat_after_charging", "one_cell_missing") and _cold(readings):
        said.append(say("customer.may_be_frozen"))
    if found and pattern in ("sound", "low", "charge_not_told"):
        said.append(say("customer.not_capacity"))
    if pattern in ("flat", "low"):
        said.append(say("customer.charge_and_repeat"))
    return said


def _key(pattern: str, params: Mapping[str, str], readings: Readings) -> str:
    """A low battery that did not rest, or whose volts tell no charge, gets no figure."""
    untold = "fullness" not in params or not _rested(readings)
    return "low_no_figure" if pattern == "low" and untold else pattern


def _cold(readings: Readings) -> bool:
    temp_c = readings.given("temperature")
    return temp_c is not None and temp_c <= MAY_FREEZE_C


def _technician(
    pattern: str,
    where: Sequence[str],
    also: Sequence[Also],
    readings: Readings,
    context: Context,
    found: Sequence[Battery],
    cells: Sequence[Cells],
    verdicts: Sequence[VerdictOutcome],
) -> list[Sentence]:
    say = PROCEDURE.say
    params = _params(pattern, where, found)
    said = [say("technician." + _key(pattern, params, readings), **params)]
    for item in also:
        said.append(say("technician.also", seen=PROCEDURE.pattern(item.pattern).label))
    if found and pattern not in ("frozen_seen", "case_damaged"):
        said.append(say("technician.not_capacity"))
    if found and readings.given("chemistry") in (None, "unknown"):
        said.append(say("technician.chemistry_unknown"))
    if found and not _rested(readings):
        said.append(say("technician.rest_first"))
    for group in cells:
        if group.spread is not None:
            said.append(
                say(
                    "technician.spread",
                    battery=str(group.battery),
                    spread=_density(group.spread.nominal_value),
                    cell=group.weakest.label,
                    army=_density(SPREAD_MOST_BY_ARMY_G_CM3),
                    practice=_density(SPREAD_MOST_G_CM3),
                )
            )
        if group.charge is not None and group.charge.nominal_value < 75:
            said.append(say("technician.charge_cells_first", battery=str(group.battery)))
        if _disagrees(found, group):
            said.append(say("technician.density_disagrees", battery=str(group.battery)))
    if context.car.volts >= 24 and len(found) == 1:
        said.append(say("technician.one_of_two"))
    if _cold(readings) and any(one.side == "low" for one in found):
        said.append(say("technician.may_be_frozen"))
    if readings.given("tester"):
        said.append(say("technician.tester", typed=str(readings.given("tester"))))
    if any(verdict.outcome == "cannot_tell" for verdict in verdicts):
        said.append(say("technician.close"))
    return said


def _chart(
    readings: Readings, context: Context, found: Sequence[Battery], cells: Sequence[Cells]
) -> dict[str, Any]:
    """Volts beside the states of charge; cells against each other where no volts were read."""
    say = PROCEDURE.say
    if not found:
        read = [
            {"label": row.label, "value": value.nominal_value, "u": value.std_dev}
            for group in cells
            for row, value in zip(group.rows, group.read, strict=True)
        ]
        told = "; ".join(
            f"{row.label} {_density(value.nominal_value)}"
            for group in cells
            for row, value in zip(group.rows, group.read, strict=True)
        )
        return (
            {
                "kind": "scale",
                "title": say("chart.cells", told=told).text,
                "unit": "g/cm³",
                "axis": "density as read",
                "rows": read,
                "marks": [],
            }
            if read
            else {}
        )
    kind, span = _chemistry(readings), _rest_limit(context, readings, None)
    told = "; ".join(f"{one.row.label} {_volts(one.volts.nominal_value)}" for one in found)
    return {
        "kind": "scale",
        "title": say(
            "chart.volts", told=told, low=_volts(span.low or 0.0), high=_volts(span.high or 0.0)
        ).text,
        "unit": "V",
        "axis": "volts at rest",
        "low": span.low,
        "high": span.high,
        "marks": [
            {"value": volts + _shift_v(readings), "label": f"{state:.0f} %"}
            for volts, state in zip(kind.volts, STATES_PERCENT, strict=False)
        ],
        "rows": [
            {
                "label": one.row.label,
                "value": one.volts.nominal_value,
                "u": math.hypot(one.volts.std_dev, _doubt_v(readings)),
            }
            for one in found
        ],
    }


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The reading that would tell most now, with the reason."""
    if readings.value("batteries.b1.volts") is None:
        return (("batteries.b1.volts", "Volts at the posts, nothing switched on."),)
    if context.car.volts >= 24 and readings.value("batteries.b2.volts") is None:
        return (("batteries.b2.volts", "One weak battery of two hides behind the sum."),)
    if readings.given("chemistry") in (None, "unknown"):
        return (("given.chemistry", "Each kind has its own table; its label names it."),)
    if _rested(readings) is None:
        return (("given.rested", "Without hours of rest the volts say nothing of the charge."),)
    return ()


# --- declaration ------------------------------------------------------------------------------


def _cell_rows(batteries: int) -> tuple[Row, ...]:
    """Six cells for each battery, counted from its plus post."""
    return tuple(
        Row(
            f"c{6 * (number - 1) + cell}",
            f"cell {cell} from +" if batteries == 1 else f"battery {number}, cell {cell} from +",
            {"battery": number},
        )
        for number in range(1, batteries + 1)
        for cell in range(1, 7)
    )


_NOT_CHARGED_OR_JUMPED = Driving(
    "only_as_stated",
    "Not to be charged or jump-started before it is thawed through and looked at.",
)
_CASE_MAY_BURST = Driving(
    "do_not_drive",
    "A swollen, cracked or leaking battery can burst or spill acid: not to be charged, "
    "jump-started or driven with.",
)
_MAY_NOT_START = Driving(
    "only_as_stated", "It may not start again: have it charged before relying on it."
)

PROCEDURE = Procedure(
    name="battery_at_rest",
    title="Battery at rest",
    version=1,
    group="Electrical",
    purpose="Shows how full the battery is before anything else electrical is judged, and whether "
    "a cell stands out.",
    proves_nothing_when=(
        "It was charged, driven or loaded less than hours ago. And never how much the battery can "
        "hold: a worn one rests at full volts too."
    ),
    evidence_group="electrical_supply",
    comparable={"chemistry": (0.0, 0.0), "temperature": (15.0, 0.0)},
    handling_u={"density": 0.002},
    effort=Effort(
        4,
        ("multimeter", "hydrometer and goggles where cells can be reached"),
        risk="acid and battery gas",
    ),
    cautions=(
        Caution(
            "A frozen battery is never charged or jump-started.",
            "It can burst. Thaw it through, look for cracks, then charge. A flat one freezes at "
            "about −10 °C.",
            "common practice",
            "customer",
        ),
        Caution(
            "Battery gas explodes.",
            "No sparks, flame or lamp at the vents; charger off before its clamps move; the last "
            "clamp goes on away from the battery.",
            "OSHA 1910.178(g)",
            from_memory=True,
        ),
        Caution(
            "Acid blinds.",
            "Goggles and gloves, water at hand; hydrometer held over its cell. Splash: rinse for "
            "minutes, then a doctor.",
            "OSHA 1910.151(c)",
            from_memory=True,
        ),
        BATTERY_LEAD,
        Caution(
            "Rings and watch off; minus comes off first and goes on last.",
            "A spanner from plus to the body welds itself fast. Codes and settings may be lost: "
            "read them first.",
            "workplace safety guidance on batteries",
            from_memory=True,
        ),
        Caution(
            "Lithium.",
            "Only a charger made for it, never below 0 °C; swollen or hot: leave it alone, "
            "outdoors.",
            "the maker's instructions",
        ),
        Caution(
            "High-voltage system.",
            "Only the 12 volt battery, by people trained for it; the car may start by itself and "
            "feeds this battery while it is ready. Orange cable: stop.",
            "workplace guidance on electric vehicles",
            when=lambda context: context.car.high_voltage,
        ),
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("off", "Engine and everything else off, key out, doors shut", "loads_on"),
        Precondition("posts", "Meter on the battery posts, not on the clamps"),
        Precondition("no_charger", "No charger connected, and none by the car itself", "loads_on"),
    ),
    given=(
        Choice(
            key="chemistry",
            label="kind of battery",
            needed=True,
            choices={
                "flooded": "flooded (wet), plain",
                "efb": "enhanced flooded (stop-start)",
                "agm": "AGM (glass mat)",
                "lithium": "lithium",
                "unknown": "not known",
            },
        ),
        Quantity(
            key="rested",
            label="rested since charging or driving",
            quantity="time",
            unit="h",
            origin="told",
            possible=(0.0, 3.2e7),
            likely=(0.0, 2.6e6),
            help="Hours with everything off.",
        ),
        Flag(
            key="surface_off",
            label="surface charge taken off",
            help="Lamps on for 15 s, off, 3 min wait.",
        ),
        Choice(
            key="last",
            label="before it rested it was",
            choices={
                "charged": "fully charged by a charger",
                "driven": "driven",
                "load": "cranked or left with loads on",
                "stood": "standing for long",
                "unknown": "not known",
            },
        ),
        Quantity(
            key="temperature",
            label="temperature of the battery",
            quantity="temperature",
            possible=(-50.0, 80.0),
            likely=(-25.0, 50.0),
            instrument="thermometer",
        ),
        Choice(
            key="look",
            label="seen on the battery",
            choices={
                "nothing": "nothing unusual",
                "frozen": "frozen, or ice in the cells",
                "swollen": "case swollen",
                "leaking": "cracked or leaking",
                "not_looked": "not looked at",
            },
        ),
        Choice(
            key="cells_read",
            label="cells by hydrometer",
            choices={
                "none": "sealed, or not read",
                "six": "six cells, one battery",
                "twelve": "twelve cells, two batteries",
            },
        ),
        Text(
            key="tester",
            label="battery tester's figure",
            longest=120,
            help="As it shows or prints it, with its unit.",
        ),
        Choice(
            key="spread_rule",
            label="how far cells may differ",
            finer=True,
            default="practice",
            choices={
                "practice": "0.050, common practice after an equalising charge",
                "army": "0.025, an army manual, charged",
            },
        ),
        Quantity(
            key="slope",
            label="change of rest volts per kelvin",
            finer=True,
            quantity="voltage",
            unit="mV",
            origin="told",
            possible=(-0.01, 0.01),
            likely=(-0.005, 0.005),
            help="Left empty: nought, with more doubt away from 25 °C.",
        ),
    ),
    grids=(
        Grid(
            "batteries",
            "Each 12 volt battery by itself",
            Fixed(
                (
                    Row("b1", "battery 1"),
                    Row("b2", "battery 2", optional=True),
                )
            ),
            (
                Quantity(
                    key="volts",
                    label="volts at its posts",
                    quantity="voltage",
                    possible=(-20.0, 20.0),
                    likely=(10.0, 14.0),
                    instrument="multimeter",
                    needed=True,
                ),
            ),
            help="A 24 volt car has two in series: read both.",
        ),
        Grid(
            "cells",
            "Density, cell by cell",
            Free(
                by="cells_read",
                presets={"six": _cell_rows(1), "twelve": _cell_rows(2)},
                opens=0,
                most=12,
            ),
            (
                Text(key="name", label="cell", longest=40),
                Quantity(
                    key="density",
                    label="density",
                    quantity="density",
                    possible=(1.0, 1.4),
                    likely=(1.08, 1.32),
                    instrument="hydrometer",
                ),
            ),
        ),
    ),
    limits=(Limit("batteries.*.volts", bounds=_rest_limit),),
    patterns=(
        Pattern(
            "frozen_seen", "seen frozen: not charged", direct=True, driving=_NOT_CHARGED_OR_JUMPED
        ),
        Pattern("case_damaged", "case seen damaged", direct=True, driving=_CASE_MAY_BURST),
        Pattern("reads_backwards", "volts the wrong way round"),
        Pattern(
            "one_cell_missing",
            "about one cell's voltage missing after charging",
            driving=_MAY_NOT_START,
            weak_battery=True,
        ),
        Pattern(
            "flat_after_charging",
            "below the table although charged",
            driving=_MAY_NOT_START,
            weak_battery=True,
        ),
        Pattern(
            "cells_apart", "a cell stands apart from the others", direct=True, weak_battery=True
        ),
        Pattern(
            "cells_apart_a_little",
            "cells differ more than an army manual allows, less than common practice does",
        ),
        Pattern("pair_apart", "the two batteries differ"),
        Pattern(
            "flat",
            "rest volts below the table's foot",
            driving=_MAY_NOT_START,
            weak_battery=True,
        ),
        Pattern(
            "low",
            "less than three quarters charged",
            driving=_MAY_NOT_START,
            weak_battery=True,
        ),
        Pattern("above_rest", "above what a rested battery shows: no figure"),
        Pattern("not_rested", "not shown to be rested: no figure"),
        Pattern("charge_not_told", "usual for lithium, where volts do not tell the charge"),
        Pattern("sound", "rested, and at least three quarters charged", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder("loads_on", "Something may have been on, or charging.", 0.5),
        Confounder("rest_unknown", "How long it rested is not noted.", 0.5),
        Confounder("not_rested", "It had not rested for hours.", 0.5),
        Confounder("chemistry_unknown", "The kind of battery is not known.", 0.7),
        Confounder("temperature_unknown", "The battery's temperature is not known.", 0.9),
        Confounder("one_of_two", "Only one battery of two was read.", 0.3, True),
        Confounder("cells_not_charged", "The cells were compared before charging.", 0.6),
        Confounder("density_disagrees", "Volts and density give different charges.", 0.6),
        Confounder(
            "capacity_not_shown",
            "A good rest voltage says nothing about how much the battery can hold.",
            0.5,
            True,
        ),
    ),
    sentences={
        "chart.volts": "Rest volts: {told}. Usual when charged and rested: {low} to {high}.",
        "chart.cells": "Density cell by cell: {told}.",
        "customer.frozen_seen": (
            "The battery was seen frozen. It must not be charged or jump-started before it is "
            "thawed and looked at."
        ),
        "customer.case_damaged": (
            "The battery's case was seen damaged. It must not be charged or jump-started."
        ),
        "customer.reads_backwards": (
            "The battery's voltage read the wrong way round ({volts}). We first check our leads."
        ),
        "customer.one_cell_missing": (
            "After charging, the battery rested at {volts}. About the voltage of one of its six "
            "cells is missing."
        ),
        "customer.flat_after_charging": (
            "After charging, the battery rested at only {volts}. It did not take or keep the "
            "charge."
        ),
        "customer.cells_apart": (
            "One cell of the battery holds clearly less charge than the others."
        ),
        "customer.cells_apart_a_little": (
            "The cells of the battery differ somewhat. We charge it and measure again."
        ),
        "customer.pair_apart": (
            "The two batteries differ: {one} and {two} at rest. They should be alike."
        ),
        "customer.flat": "The battery rested at {volts}: it is flat.",
        "customer.low": "The battery rested at {volts}: {fullness}.",
        "customer.low_no_figure": (
            "The battery's voltage was {volts}, less than usual for a charged one."
        ),
        "customer.above_rest": (
            "The battery had not come to rest yet ({volts}), so its charge is not known."
        ),
        "customer.not_rested": (
            "The battery had not been shown to be rested ({volts}), so its charge is not known."
        ),
        "customer.charge_not_told": (
            "The battery rested at {volts}, usual for its kind. How full it is does not show in "
            "that."
        ),
        "customer.sound": "The battery rested at {volts}: {fullness}. That is not unusual.",
        "customer.undecided": "The measurements made so far do not decide how full the battery is.",
        "customer.not_capacity": (
            "This tells how full it is, not how much it can hold; that needs a test under load."
        ),
        "customer.charge_and_repeat": (
            "It should be charged before other electrical tests are judged."
        ),
        "customer.may_be_frozen": (
            "At this temperature it may be frozen: do not charge or jump-start it."
        ),
        "technician.frozen_seen": (
            "Thaw through, look for cracks, then charge and test again. No jump, no charger now."
        ),
        "technician.case_damaged": "No charger, no jump. Goggles, gloves; take it out upright.",
        "technician.reads_backwards": (
            "{battery}: {volts}. Leads swapped? If not, it was charged the wrong way round: do not "
            "connect it."
        ),
        "technician.one_cell_missing": (
            "{battery}: {volts} after charging, some 2 V short: the picture of a dead cell, not of "
            "an empty battery. Density, or a load test, before it is condemned."
        ),
        "technician.flat_after_charging": (
            "{battery}: {volts} after charging. Check charger and its clamps; charge slowly once "
            "more, then load test."
        ),
        "technician.cells_apart": (
            "Equalising charge, rest, measure again; still apart: the battery's own cell."
        ),
        "technician.cells_apart_a_little": (
            "Between the two rules. Equalising charge, rest, measure again."
        ),
        "technician.pair_apart": (
            "{one} and {two}. Charge each by itself, rest, read again; look for a 12 volt load on "
            "one of them."
        ),
        "technician.flat": (
            "{battery}: {volts}, below the foot of the table. An empty battery and one with a dead "
            "cell look alike here: charge slowly, rest, read again. Find what emptied it."
        ),
        "technician.low": (
            "{battery}: {volts}, {fullness} by the table. Charge it; results of cranking, "
            "charging and draw before that are weak."
        ),
        "technician.low_no_figure": (
            "{battery}: {volts}, low. Charge it, rest it and read again; results of cranking, "
            "charging and draw before that are weak."
        ),
        "technician.above_rest": (
            "{battery}: {volts}. Not rested, being charged, or of another kind than entered: no "
            "figure. Lamps on for 15 s, off, 3 min, read again."
        ),
        "technician.not_rested": (
            "{battery}: {volts}. Hours of rest, or surface charge off, and read again."
        ),
        "technician.charge_not_told": (
            "{battery}: {volts}. On the flat part of its curve: read the charge from its own "
            "monitor."
        ),
        "technician.sound": "{battery}: {volts}, {fullness} by the table.",
        "technician.undecided": "Not enough was read, or too close to tell.",
        "technician.also": "Also seen: {seen}.",
        "technician.not_capacity": (
            "Rest volts say nothing about capacity: pair them with cranking or a load test."
        ),
        "technician.chemistry_unknown": (
            "Kind of battery not known: table between flooded and AGM, with doubt for both. Above "
            "13 V it may be lithium."
        ),
        "technician.rest_first": (
            "Not shown to be rested: charging holds the volts up, a load just before holds them "
            "down."
        ),
        "technician.spread": (
            "Battery {battery}: {spread} between its cells, lowest {cell}. An army manual calls "
            "more than {army} unserviceable when charged; common practice looks from {practice} "
            "on, after an equalising charge."
        ),
        "technician.charge_cells_first": (
            "Battery {battery}: low density on the whole. Charge before cells are compared."
        ),
        "technician.density_disagrees": (
            "Battery {battery}: volts and density give different charges. Surface charge, layered "
            "acid, or water just added."
        ),
        "technician.one_of_two": "24 volt: the second battery was not read.",
        "technician.may_be_frozen": (
            "Cold and low: it may be frozen. Do not charge or jump before it is thawed."
        ),
        "technician.tester": "Battery tester's figure as typed, not checked here: “{typed}”.",
        "technician.close": (
            "Where it says too close to tell: a finer meter or longer rest decides."
        ),
    },
    formulas=(
        Formula(
            "charge_*",
            "straight lines through volts at 0, 25, 50, 75 and 100 %; volts at 25 °C are V − k (T "
            "− 25), k nought unless entered; drawn on to 10 % beyond the ends, else none",
            "a battery trade council's table for flooded, common practice for the others",
        ),
        Formula("apart", "larger less smaller of the two batteries' rest volts, same meter"),
        Formula("spread_*", "highest less lowest density of one battery's cells, same hydrometer"),
        Formula(
            "density_*",
            "mean of the cells + 0.004 g/cm³ for each 10 °F (5.6 K) above 80 °F",
            "common practice",
        ),
        Formula(
            "charge_by_density_*",
            "straight lines through density at 0, 25, 50, 75 and 100 %",
            "a battery trade council's table, seen second-hand",
        ),
    ),
    example={
        "ready.off": "yes",
        "ready.posts": "yes",
        "ready.no_charger": "yes",
        "given.chemistry": "flooded",
        "given.rested": "10",
        "given.temperature": "22",
        "batteries.b1.volts": "12.24",
    },
    assess=assess,
    next_step=_next_step,
)
