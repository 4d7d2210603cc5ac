"""Live values with fuel trims: how much the engine's control corrects the fuel, idle against speed.

A positive trim adds fuel, because the sensor before the catalyst saw too much oxygen; a negative
one takes fuel away. Short and long trim multiply, (1 + s)(1 + l) - 1; their plain sum differs by
their product, 1 % where both are 10 %. A trim is what the control does, not what the mixture is.
Scaling: SAE J1979 / ISO 15031-5, a byte each, seen in reprinted tables only. Windows are common
practice; the thresholds at which a control unit stores a code are the maker's.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from measurements.core import units
from measurements.core.assessment import Also, Assessment, Figure, Sentence, Table, VerdictOutcome
from measurements.core.atmosphere import AIR_FIELDS, air_is_known, ambient_of
from measurements.core.cautions import EXHAUST_GAS, STARTS_BY_ITSELF
from measurements.core.context import Context
from measurements.core.decision import decide
from measurements.core.judging import conclude, figure_of, judge, judge_figure, span_for
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Confounder,
    Driving,
    Effort,
    Fixed,
    Formula,
    Grid,
    Limit,
    Pattern,
    Precondition,
    Procedure,
    Product,
    Quantity,
    Row,
    Source,
    Span,
)
from measurements.core.readings import Readings, RowReadings
from measurements.core.uncertainty import fixed, resolution
from measurements.core.wording import at_head

if TYPE_CHECKING:
    from uncertainties import UFloat

TRIM_STEP = 100 / 128
"""One count of a trim, per cent (SAE J1979 / ISO 15031-5, seen in reprinted tables)."""


def trim_of_byte(byte: int) -> float:
    """Trim in per cent that a byte from 0 to 255 stands for; 128 is nought.

    >>> trim_of_byte(0), trim_of_byte(128), round(trim_of_byte(255), 2)
    (-100.0, 0.0, 99.22)
    """
    return (byte - 128) * TRIM_STEP


def celsius_of_byte(byte: int) -> float:
    """Temperature in °C that a byte from 0 to 255 stands for.

    >>> celsius_of_byte(0), celsius_of_byte(255)
    (-40.0, 215.0)
    """
    return byte - 40.0


USUAL_TRIM = 10.0
"""Short and long trim together, per cent either way; ±5 is met often (common practice)."""

TELLING_POINTS = 5.0
"""Idle and speed that differ by more than this are not alike, points of per cent (judgement)."""

USUAL_COOLANT_C = (75.0, 115.0)
"""Of an engine said to be warm, thermostats of maps included (common practice)."""

USUAL_SOAK_K = 6.0
"""Between sensors of a car that stood overnight, some 10 °F (common practice)."""

LEAST_SOAK_H = 8.0

USUAL_AIR_KPA = 5.0
"""Intake pressure with the engine off against the air around (common practice)."""

LEAST_SYSTEM_V = 12.0
"""With the engine running, of a 12 V car; below it injectors open late (common practice)."""

HIGHEST_IDLE_RPM = 1200.0
HELD_RPM = (2000.0, 3000.0)
NEAR_RPM = 200.0

_TRIMS = Source("C", "common practice; the maker's own thresholds come first")
_WARM = Source("C", "common practice, engine warm")
_SOAKED = Source("C", "common practice, after a night")
_AT_REST = Source("C", "common practice, engine off")

POINTS = ("idle", "held", "load")
BANKS = ("b1", "b2")
_AT = {"idle": "at idle", "held": "at 2500 rpm", "load": "under load"}
_BANK = {"b1": "bank 1", "b2": "bank 2"}
_OPEN = ("open_cold", "open_drive", "open_fault")
_NOMINAL_RPM = {"idle": 800.0, "held": 2500.0}
_KINDS = (
    "changes_side",
    "lean_at_idle",
    "lean_at_speed",
    "lean_everywhere",
    "rich_at_idle",
    "rich_at_speed",
    "rich_everywhere",
)


# --- figures ----------------------------------------------------------------------------------


def total_trim(short: Any, long: Any) -> Any:
    """Short and long trim together, all in per cent; plain numbers or ones with uncertainty.

    >>> round(total_trim(10.0, 10.0), 6)
    21.0
    """
    return ((1 + short / 100) * (1 + long / 100) - 1) * 100


def uncorrected_lambda(total: Any, seen: Any = 1.0) -> Any:
    """Lambda had nothing been corrected: fuel is planned x (1 + total), and lambda is as 1 / fuel.

    >>> round(uncorrected_lambda(25.0), 6)
    1.25
    """
    return seen * (1 + total / 100)


def _loop(readings: Readings, point: str) -> str | None:
    found = readings.value(f"engine.{point}.loop")
    return None if found in (None, "not_shown") else str(found)


def _totals(readings: Readings) -> dict[str, UFloat]:
    """Row code -> total trim in per cent, of rows with both trims."""
    found = {}
    for row in readings.rows("trims"):
        short, long = row.uncertain("stft"), row.uncertain("ltft")
        if short is not None and long is not None:
            found[row.code] = total_trim(short, long)
    return found


def _in_loop(readings: Readings, row: str) -> bool:
    """Nobody noted that the loop was open at this point."""
    return _loop(readings, row.split("_")[0]) not in _OPEN


def _named(row: str) -> str:
    """ "idle bank 1", for labels: no comma, so that two runs side by side keep it whole."""
    point, bank = row.split("_")
    short = {"idle": "idle", "held": "2500 rpm", "load": "load"}[point]
    return f"{short} {_BANK[bank]}"


def _trim_figures(readings: Readings, totals: Mapping[str, UFloat]) -> list[Figure]:
    figures = [
        figure_of(f"total_{row}", f"{at_head(_named(row))}: trims together", "ratio", total)
        for row, total in totals.items()
    ]
    for bank in BANKS:
        idle, held = totals.get(f"idle_{bank}"), totals.get(f"held_{bank}")
        closed = _in_loop(readings, "idle") and _in_loop(readings, "held")
        if idle is not None and held is not None and closed:
            label = f"{at_head(_BANK[bank])}: idle less 2500 rpm"
            change: Any = idle - held
            figures.append(figure_of(f"change_{bank}", label, "ratio", change))
    for row, total in totals.items():
        seen: Any = readings.uncertain(f"trims.{row}.lambda")
        if seen is None and _loop(readings, row.split("_")[0]) == "closed":
            seen = 1.0  # what the control steers to at these points
        if seen is not None:
            label = f"{at_head(_named(row))}: lambda had nothing been corrected"
            mixture = uncorrected_lambda(total, seen)
            figures.append(figure_of(f"uncorrected_{row}", label, "lambda", mixture))
    return figures


_SOAK = (
    ("coolant_less_intake", "soak_coolant", "soak_intake", "coolant less intake air"),
    ("coolant_less_outside", "soak_coolant", "soak_outside", "coolant less outside air"),
    ("intake_less_outside", "soak_intake", "soak_outside", "intake air less outside air"),
)


def _sensor_figures(readings: Readings, context: Context) -> list[Figure]:
    """Differences that are nought by nature: at rest the intake holds the air around, and after a
    night everything has one temperature."""
    figures = []
    at_rest = readings.uncertain("given.keyon_pressure")
    if at_rest is not None and air_is_known(readings, context):
        above: Any = at_rest - ambient_of(readings, context)
        label = "intake pressure with the engine off, less air pressure"
        figures.append(figure_of("pressure_less_air", label, "gauge_pressure", above))
    for key, first, second, words in _SOAK:
        one, other = (readings.uncertain(f"given.{name}") for name in (first, second))
        if one is not None and other is not None:
            apart: Any = one - other
            label = f"after the night, {words}"
            figures.append(figure_of(key, label, "temperature_difference", apart))
    return figures


def _sensor_span(key: str, readings: Readings) -> Span | None:
    if key == "pressure_less_air":
        return Span(-USUAL_AIR_KPA, USUAL_AIR_KPA, _AT_REST)
    hours = readings.given("soak_hours")
    if hours is None or hours < LEAST_SOAK_H * 3600:
        return None
    return Span(-USUAL_SOAK_K, USUAL_SOAK_K, _SOAKED)


def _coolant_limit(context: Context, readings: Readings, row: RowReadings | None) -> Span | None:
    """Only an engine that is said to be warm can read wrongly cold."""
    if "warm" in readings.unticked:
        return None
    return Span(USUAL_COOLANT_C[0], USUAL_COOLANT_C[1], _WARM)


# --- reasoning --------------------------------------------------------------------------------


def side_of(verdict: VerdictOutcome) -> str:
    """ "lean", "rich", "usual", or "doubt": what the verdict on a total trim says."""
    if verdict.outcome == "within":
        return "usual"
    if verdict.outcome != "outside" or verdict.value is None:
        return "doubt"
    above = verdict.high is not None and verdict.value > verdict.high
    return "lean" if above else "rich"


def by_speed(sides: Mapping[str, str], totals: Mapping[str, UFloat], risk: float) -> str:
    """What one bank shows over its points: a pattern, "near_nought", or "" where that is open.

    sides, totals: by point, closed loop only. Idle is held against the point away from it that
    lies furthest to the same side.
    """
    lean, rich = ("lean" in sides.values()), ("rich" in sides.values())
    if lean and rich:
        return "changes_side"
    if not (lean or rich):
        whole = {"idle", "held"} <= sides.keys() and set(sides.values()) == {"usual"}
        return "near_nought" if whole else ""
    word, sign = ("lean", 1) if lean else ("rich", -1)
    away = [point for point in ("held", "load") if point in sides]
    if "idle" not in sides or not away:
        return ""
    most = max(away, key=lambda point: sign * totals[point].nominal_value)
    more: Any = sign * (totals["idle"] - totals[most])
    apart = decide(
        more.nominal_value, more.std_dev, -TELLING_POINTS, TELLING_POINTS, risk
    ).outcome == ("outside")
    if (apart and more.nominal_value > 0) or sides[most] == "usual":
        return f"{word}_at_idle"
    if apart or sides["idle"] == "usual":
        return f"{word}_at_speed"
    return f"{word}_everywhere"


def _direction(sides: Iterable[str]) -> str:
    found = {side for side in sides if side in ("lean", "rich")}
    return found.pop() if len(found) == 1 else ""


def between_banks(banks: Mapping[str, Mapping[str, str]], kinds: Mapping[str, str]) -> list[Also]:
    """The patterns of the trims, the leading one first; empty where nothing unusual is settled.

    banks: bank -> point -> side; kinds: bank -> what `by_speed` found.
    """
    where = {
        bank: tuple(f"{point}_{bank}" for point, side in sides.items() if side in ("lean", "rich"))
        for bank, sides in banks.items()
    }
    unusual = [bank for bank in kinds if kinds[bank] in _KINDS]
    each = [Also(kinds[bank], where[bank]) for bank in unusual]
    if len(unusual) == 2:
        ways = {_direction(banks[bank].values()) for bank in unusual}
        everywhere = tuple(row for bank in unusual for row in where[bank])
        if ways == {"lean", "rich"}:
            return [Also("banks_opposite", everywhere), *each]
        if each[0].pattern == each[1].pattern:
            return [Also(each[0].pattern, everywhere)]
        return sorted(each, key=lambda item: _KINDS.index(item.pattern))
    if unusual and "near_nought" in kinds.values():
        way = _direction(banks[unusual[0]].values())
        return [Also(f"one_bank_{way}", where[unusual[0]]), *each] if way else each
    return each


def assess(readings: Readings, context: Context) -> Assessment:
    """Sensors against nature first, then the loop, then the trims, bank by bank."""
    totals = _totals(readings)
    figures = _trim_figures(readings, totals) + _sensor_figures(readings, context)
    by_key = {figure.key: figure for figure in figures}
    verdicts = list(judge(PROCEDURE, readings, context))
    span = span_for(PROCEDURE, "figure.total_trim", context, readings)
    span = span or Span(-USUAL_TRIM, USUAL_TRIM, _TRIMS)
    closed = {row: total for row, total in totals.items() if _in_loop(readings, row)}
    banks: dict[str, dict[str, str]] = {}
    for row in closed:
        verdict = judge_figure(PROCEDURE, by_key[f"total_{row}"], context, span)
        verdicts.append(verdict)
        point, bank = row.split("_")
        banks.setdefault(bank, {})[point] = side_of(verdict)
    for figure in _sensor_figures(readings, context):
        sensor_span = _sensor_span(figure.key, readings)
        verdicts.append(judge_figure(PROCEDURE, figure, context, sensor_span))
    kinds = {
        bank: by_speed(sides, {point: closed[f"{point}_{bank}"] for point in sides}, context.risk)
        for bank, sides in banks.items()
    }
    by_address = {verdict.address: verdict for verdict in verdicts}
    seen = _before_trims(readings, by_address) + between_banks(banks, kinds)
    lead, *rest = seen or [Also(_quiet(kinds, verdicts))]
    settled = lead.pattern not in (PROCEDURE.sound.code, "undecided")
    weak = [
        code
        for code in _confounders(readings, context, banks)
        if not (settled and PROCEDURE.confounder(code).only_sound)
    ]
    words = _Words(readings, context, totals, closed, span, by_address)
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=lead.pattern,
        where=lead.where,
        also=rest,
        figures=figures,
        verdicts=verdicts,
        confounders=weak,
        tables=_tables(readings, totals),
        customer=words.customer(lead, seen),
        technician=words.technician(lead, seen, banks, weak),
        chart=_chart(readings, totals, closed, span),
    )


def _before_trims(readings: Readings, by_address: Mapping[str, VerdictOutcome]) -> list[Also]:
    """What must be right before trims are believed."""
    seen = []
    coolant = by_address.get("given.coolant")
    if coolant is not None and coolant.outcome == "outside":
        reading = readings.get("given.coolant")
        if coolant.value is None:
            high = reading is not None and reading.status != "below"
        else:
            high = coolant.high is not None and coolant.value > coolant.high
        seen.append(Also("coolant_high" if high else "coolant_low"))
    sensors = ("pressure_less_air", *(key for key, *_ in _SOAK))
    if any(_is_outside(by_address, f"figure.{key}") for key in sensors):
        seen.append(Also("sensor_disagrees"))
    opened = tuple(point for point in ("idle", "held") if _loop(readings, point) in _OPEN)
    if opened:
        seen.append(Also("not_closed_loop", opened))
    return seen


def _is_outside(by_address: Mapping[str, VerdictOutcome], address: str) -> bool:
    return address in by_address and by_address[address].outcome == "outside"


def _quiet(kinds: Mapping[str, str], verdicts: Sequence[VerdictOutcome]) -> str:
    """Nothing unusual: worth something only when idle and speed were read of every bank begun."""
    judged = [verdict for verdict in verdicts if verdict.outcome != "no_limit"]
    whole = bool(kinds) and set(kinds.values()) == {"near_nought"}
    return "near_nought" if whole and all(v.outcome == "within" for v in judged) else "undecided"


def _confounders(
    readings: Readings, context: Context, banks: Mapping[str, Mapping[str, str]]
) -> list[str]:
    rows = readings.rows("engine")
    volts = [row.value("voltage") for row in rows if row.value("voltage") is not None]
    idle_rpm, held_rpm = (readings.value(f"engine.{point}.rpm") for point in ("idle", "held"))
    burns = readings.given("burns")
    points = {point for sides in banks.values() for point in sides}
    loops = {point: _loop(readings, point) for point in POINTS}
    engine = context.car.engine
    checks = (
        ("loop_unknown", any(loops[point] is None for point in points)),
        ("sensor_fault_told", "closed_fault" in loops.values()),
        ("sensor_still", "still" in _sensors(readings, "upstream").values()),
        ("sensors_contradict", bool(_contradicting(readings, banks))),
        ("ethanol", burns == "ethanol"),
        ("gas", burns == "gas"),
        ("fuel_not_said", burns is None and context.car.fuel in ("lpg", "cng", "ethanol")),
        ("purge_open", readings.given("purge") == "open"),
        ("low_voltage", any(v < LEAST_SYSTEM_V * context.car.volts / 12 for v in volts)),
        (
            "other_speed",
            (idle_rpm is not None and idle_rpm > HIGHEST_IDLE_RPM)
            or (held_rpm is not None and not HELD_RPM[0] <= held_rpm <= HELD_RPM[1]),
        ),
        (
            "one_bank_read",
            "b2" not in banks and (engine.layout in ("v", "flat") or len(engine.banks) > 1),
        ),
        ("not_under_load", "load" not in points),
    )
    return [code for code, holds in checks if holds]


def _sensors(readings: Readings, column: str) -> dict[str, str]:
    found = {row.code: row.value(column) for row in readings.rows("trims")}
    return {code: str(value) for code, value in found.items() if value}


def _contradicting(readings: Readings, banks: Mapping[str, Mapping[str, str]]) -> tuple[str, ...]:
    """Rows where a sensor reads what the correction should long have put an end to: fuel is added
    and a sensor reads rich, or taken away and it reads lean."""
    found = []
    opposite = {"lean": "rich", "rich": "lean"}
    for column in ("upstream", "downstream"):
        for row, said in _sensors(readings, column).items():
            point, bank = row.split("_")
            if said == opposite.get(banks.get(bank, {}).get(point, "")):
                found.append(row)
    return tuple(dict.fromkeys(found))


def _not_for(context: Context) -> str:
    if not context.car.has_engine:
        return "it has no engine whose mixture is corrected."
    if context.car.is_diesel:
        return "a diesel has no fuel trims of this kind."
    return ""


def _next_step(readings: Readings, context: Context) -> tuple[tuple[str, str], ...]:
    """The box that would tell most now."""
    totals = _totals(readings)
    if not totals:
        return ()
    for bank in BANKS:
        if f"idle_{bank}" in totals and f"held_{bank}" not in totals:
            return ((f"trims.held_{bank}.stft", "Only idle against speed shows a direction."),)
    if _loop(readings, "idle") is None:
        return (("engine.idle.loop", "Trims count only in closed loop."),)
    if context.car.engine.layout in ("v", "flat") and not any("b2" in row for row in totals):
        return (("trims.idle_b2.stft", "One bank alone, or both, tells where to look."),)
    return ()


# --- words, table and chart -------------------------------------------------------------------


def _signed(percent: float) -> str:
    """ "+18 %": whole per cent, with its sign; nought has none."""
    shown = fixed(percent, 0)
    return units.show_value(percent, "ratio", places=0).replace(
        shown, f"+{shown}" if percent > 0 and shown != "0" else shown, 1
    )


class _Words:
    """Sentences of one run."""

    def __init__(
        self,
        readings: Readings,
        context: Context,
        totals: Mapping[str, UFloat],
        closed: Mapping[str, UFloat],
        span: Span,
        by_address: Mapping[str, VerdictOutcome],
    ) -> None:
        self.readings, self.context = readings, context
        self.totals, self.closed, self.by_address = totals, closed, by_address
        bounds = {bound for bound in (span.low, span.high) if bound is not None}
        if span.low is not None and span.low == -(span.high or 0.0):
            self.usual = f"±{units.show_value(span.high or 0.0, 'ratio')}"
        else:
            self.usual = ", ".join(_signed(bound) for bound in sorted(bounds))

    def _params(self, where: Sequence[str]) -> dict[str, str]:
        """What a sentence may name of the bank that is furthest off among these rows."""
        rows = [row for row in where if row in self.closed] or list(self.closed)
        params = {"usual": self.usual, "idle": "", "away": "", "at": "", "most": "", "bank": ""}
        coolant = self.readings.get("given.coolant")
        if coolant is not None:
            params["coolant"] = coolant.understood
            if coolant.number is not None:
                params["coolant"] = units.show_value(
                    coolant.number, "temperature", self.context.units, places=0
                )
        params["opened"] = " and ".join(_AT[row] for row in where if row in _AT)
        if not rows:
            return params
        worst = max(rows, key=lambda row: abs(self.closed[row].nominal_value))
        bank, value = worst.split("_")[1], self.closed[worst].nominal_value
        sign = math.copysign(1.0, value)
        away = [f"{p}_{bank}" for p in ("held", "load") if f"{p}_{bank}" in self.closed]
        params |= {"bank": _BANK[bank], "most": _signed(value)}
        if f"idle_{bank}" in self.closed:
            params["idle"] = _signed(self.closed[f"idle_{bank}"].nominal_value)
        if away:
            furthest = max(away, key=lambda row: sign * self.closed[row].nominal_value)
            params["away"] = _signed(self.closed[furthest].nominal_value)
            params["at"] = _AT[furthest.split("_")[0]]
        return params

    def _say(self, id: str, where: Sequence[str] = ()) -> Sentence:
        text = PROCEDURE.sentences[id]
        params = self._params(where)
        return PROCEDURE.say(id, **{k: v for k, v in params.items() if f"{{{k}}}" in text})

    def customer(self, lead: Also, seen: Sequence[Also]) -> list[Sentence]:
        told, _shapes = _told_whole(seen)
        said = [self._say(f"customer.{item.pattern}", item.where) for item in told or (lead,)]
        shown = {item.pattern for item in seen}
        if any(word in code for code in shown for word in ("lean", "rich", "side", "opposite")):
            said.append(self._say("customer.what_it_does"))
            said.append(self._say("customer.where_not_shown"))
        return said

    def technician(
        self,
        lead: Also,
        seen: Sequence[Also],
        banks: Mapping[str, Mapping[str, str]],
        weak: Sequence[str],
    ) -> list[Sentence]:
        say = PROCEDURE.say
        whole, shapes = _told_whole(seen)
        told = [self._say(f"next.{item.pattern}", item.where) for item in whole or (lead,)]
        for item in shapes:
            params = self._params(item.where)
            named = {key: params[key] for key in ("idle", "away", "at")}
            label = PROCEDURE.pattern(item.pattern).label
            told.append(say("shape", bank=at_head(params["bank"]), label=label, **named))
        told += self._sensors_apart()
        if lead.pattern == "undecided":
            told += self._what_was_seen(banks)
        at_end = [
            row
            for row, said in _sensors(self.readings, "upstream").items()
            if said in ("lean", "rich")
            and said == banks.get(row.split("_")[1], {}).get(row.split("_")[0])
        ]
        if at_end:
            told.append(say("at_its_end", where=", ".join(_named(row) for row in at_end)))
        contradicting = _contradicting(self.readings, banks)
        if contradicting:
            where = ", ".join(_named(row) for row in contradicting)
            told.append(say("contradicts", where=where))
        if "follows" in _sensors(self.readings, "downstream").values():
            told.append(say("follows"))
        if _loop(self.readings, "load") in _OPEN:
            told.append(say("load_open"))
        if any(code in _KINDS or code.startswith(("one_bank", "banks")) for code in _codes(seen)):
            told.append(say("what_trims_are"))
        if self.totals:
            listed = "; ".join(
                f"{_named(row)} {units.show(n.nominal_value, n.std_dev, 'ratio', digit=TRIM_STEP)}"
                for row, n in self.totals.items()
            )
            told.append(say("totals", listed=listed))
        told += [say(f"was.{code}") for code in weak if f"was.{code}" in PROCEDURE.sentences]
        return told

    def _sensors_apart(self) -> list[Sentence]:
        told = []
        for key in ("pressure_less_air", *(key for key, *_ in _SOAK)):
            verdict = self.by_address.get(f"figure.{key}")
            if verdict is None or verdict.value is None or verdict.outcome != "outside":
                continue
            apart = units.show(verdict.value, verdict.u, verdict.quantity, self.context.units)
            told.append(PROCEDURE.say("apart", what=at_head(verdict.label), apart=apart))
        return told

    def _what_was_seen(self, banks: Mapping[str, Mapping[str, str]]) -> list[Sentence]:
        rows = {f"{p}_{bank}": side for bank, sides in banks.items() for p, side in sides.items()}
        far = [row for row, side in rows.items() if side in ("lean", "rich")]
        near = [row for row, side in rows.items() if side == "doubt"]
        told = []
        if far:
            listed = ", ".join(_named(row) for row in far)
            told.append(PROCEDURE.say("one_point", where=listed, most=self._params(far)["most"]))
        if near:
            told.append(PROCEDURE.say("near", where=", ".join(_named(row) for row in near)))
        if not far and any(v.outcome == "outside" for v in self.by_address.values()):
            told.append(PROCEDURE.say("outside_elsewhere"))
        return told


def _told_whole(seen: Sequence[Also]) -> tuple[list[Also], list[Also]]:
    """What is told in full, and what only tells the shape over speed of banks that differ: what
    both banks share is no place to look then."""
    if not any(code.startswith(("one_bank", "banks")) for code in _codes(seen)):
        return list(seen), []
    shapes = [item for item in seen if item.pattern in _KINDS]
    return [item for item in seen if item not in shapes], shapes


def _codes(seen: Sequence[Also]) -> list[str]:
    return [item.pattern for item in seen]


def _tables(readings: Readings, totals: Mapping[str, UFloat]) -> tuple[Table, ...]:
    """Both trims as read, with what they make together."""
    rows = []
    for row in readings.rows("trims"):
        short, long = row.get("stft"), row.get("ltft")
        if short is None and long is None:
            continue
        total = totals.get(row.code)
        rows.append(
            (
                at_head(_named(row.code)),
                short.typed if short else "–",
                long.typed if long else "–",
                "–" if total is None else _signed(total.nominal_value),
            )
        )
    head = ("point", "short trim", "long trim", "together")
    return (Table("Fuel trims, per cent", head, tuple(rows)),) if rows else ()


def _drawn_at(point: str, rpm: float | None) -> float | None:
    """Engine speed to the hundred, that of the point's name where it is near or was not read, so
    that two runs lie over each other."""
    meant = _NOMINAL_RPM.get(point)
    if rpm is None or (meant is not None and abs(rpm - meant) <= NEAR_RPM):
        return meant
    return 100.0 * round(rpm / 100)


def _chart(
    readings: Readings, totals: Mapping[str, UFloat], closed: Mapping[str, UFloat], span: Span
) -> dict[str, Any]:
    """Total trim over engine speed, bank by bank, as read in closed loop; a point whose speed is
    not known stands at what its name says."""
    series, told = [], []
    for bank in BANKS:
        points = []
        for point in POINTS:
            total = closed.get(f"{point}_{bank}")
            rpm = _drawn_at(point, readings.value(f"engine.{point}.rpm"))
            if total is None or rpm is None:
                continue
            points.append([rpm, total.nominal_value, total.std_dev])
            told.append(f"{_named(f'{point}_{bank}')} {_signed(total.nominal_value)}")
        if points:
            series.append({"label": _BANK[bank], "points": sorted(points)})
    if not any(len(one["points"]) > 1 for one in series):
        return {}
    limits = [
        {"label": PROCEDURE.say(f"chart.{key}", trim=_signed(value)).text, "value": value, **way}
        for key, value, way in (
            ("top", span.high, {"beyond": "above"}),
            ("foot", span.low, {"beyond": "below"}),
        )
        if value is not None
    ]
    return {
        "kind": "lines",
        "title": PROCEDURE.say("chart.totals", told="; ".join(told)).text,
        "x": {"label": "engine speed, about", "unit": "rpm"},
        "y": {"label": "short and long trim together", "unit": "%", "from_zero": False},
        "series": series,
        "limits": limits,
        "note": "",
    }


# --- the declaration --------------------------------------------------------------------------

_BYTE = (celsius_of_byte(0), celsius_of_byte(255))


def _trim(key: str, label: str, help: str) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        help=help,
        quantity="ratio",
        possible=(trim_of_byte(0), trim_of_byte(255)),
        likely=(-35.0, 35.0),
        needed=True,
    )


def _soak(key: str, label: str, **more: Any) -> Quantity:
    return Quantity(
        key=key,
        label=label,
        quantity="temperature",
        possible=_BYTE,
        likely=(-35.0, 50.0),
        finer=True,
        **more,
    )


def _volts_range(context: Context) -> tuple[float, float]:
    return (0.0, 20.0 * context.car.volts / 12)


_POINT_ROWS = (
    Row("idle", "idle"),
    Row("held", "2500 rpm held"),
    Row("load", "under load", optional=True),
)

_READ_U = math.hypot(resolution(TRIM_STEP), resolution(1.0))
"""A count of the standard's scale, and whole per cents typed; standard uncertainty, per cent."""

PROCEDURE = Procedure(
    name="live_values",
    title="Live values with fuel trims",
    version=1,
    group="Control units",
    purpose="Shows how much the engine's control corrects the fuel at idle and at speed, bank by "
    "bank, and so in which direction to look: air, fuel supply, vapour, or a sensor.",
    proves_nothing_when="The control was not in closed loop, the engine was not warm, it "
    "misfired, or air gets into the exhaust before the sensor: then the trims answer to "
    "something else than the mixture.",
    cautions=(
        EXHAUST_GAS,
        Caution(
            "Belts, fans, pulleys and hot parts.",
            "Tool and lead tied away from them; electric fans start by themselves.",
            "OSHA 29 CFR 1910.212, 1910.219",
            from_memory=True,
        ),
        Caution(
            "The car must not move while the speed is held.",
            "Neutral or park, brake on, wheels chocked, nobody in front.",
            "common practice",
        ),
        Caution(
            "Nobody reads the screen while driving.",
            "Under load a second person reads, or the tool records; it lies where it blocks "
            "neither pedals nor air bag.",
            "common practice; local rules",
        ),
        Caution(
            "Only read here: no actuator test, no reset of what was learned.",
            "Actuators move parts with hands in the way; a reset wipes out the long trims that "
            "this test is about.",
            "maker's instructions",
        ),
        Caution(
            "Do not erase codes before or after.",
            "Codes and freeze frames are saved first, and erased only with the customer's yes.",
            "common practice",
        ),
        Caution(
            "Fire: nothing that burns is sprayed at a running engine to find a leak.",
            "Smoke, or listening, finds it; hot parts and sparks light a spray.",
            "common practice",
        ),
        Caution(
            "Temperature climbs beyond its usual mark: switch off.",
            "Do not open the cooling system hot.",
            "common practice",
        ),
        STARTS_BY_ITSELF,
        MAKER_FIRST,
    ),
    preconditions=(
        Precondition("warm", "Engine driven warm, not only idled.", "not_warm"),
        Precondition(
            "steady", "Each point held for half a minute; loads off, purge settled.", "not_steady"
        ),
        Precondition("even", "No misfire felt, none counted.", "misfire_open"),
        Precondition("tight", "No leak heard or seen at the exhaust.", "exhaust_open"),
        Precondition(
            "learned", "Codes not erased and battery not off within the last drives.", "erased"
        ),
    ),
    effort=Effort(
        minutes=5,
        tools=("reader for live values", "wheel chocks"),
        state="hot",
    ),
    given=(
        Quantity(
            key="coolant",
            label="Coolant temperature, as the tool shows it",
            quantity="temperature",
            possible=_BYTE,
            likely=(60.0, 125.0),
            needed=True,
        ),
        Choice(
            key="burns",
            label="Running on",
            chips=True,
            origin="told",
            choices={
                "petrol": "petrol, up to a tenth of ethanol",
                "ethanol": "more ethanol",
                "gas": "LPG or natural gas",
            },
        ),
        Choice(
            key="purge",
            label="Vapour purge valve",
            chips=True,
            finer=True,
            choices={"shut": "shut", "open": "open", "not_shown": "not shown"},
        ),
        Quantity(
            key="keyon_pressure",
            label="Intake pressure, key on, engine off",
            help="Absolute, as the tool shows it; it should equal the air pressure on the spot.",
            quantity="absolute_pressure",
            possible=(0.0, 255.0),
            likely=(60.0, 108.0),
            finer=True,
        ),
        *(replace(entry, finer=True) for entry in AIR_FIELDS),
        _soak("soak_coolant", "After a night: coolant"),
        _soak("soak_intake", "After a night: intake air"),
        _soak("soak_outside", "After a night: air beside the car", instrument="thermometer"),
        Quantity(
            key="soak_hours",
            label="Stood for",
            quantity="time",
            unit="h",
            possible=(0.0, 3600.0 * 24 * 365),
            likely=(3600.0, 3600.0 * 24 * 30),
            origin="told",
            finer=True,
        ),
    ),
    grids=(
        Grid(
            "trims",
            "Fuel trims",
            Product(
                Fixed(_POINT_ROWS), Fixed((Row("b1", "bank 1"), Row("b2", "bank 2", optional=True)))
            ),
            (
                _trim("stft", "short term", "The middle of its swing. Plus adds fuel."),
                _trim("ltft", "long term", "Plus adds fuel."),
                Choice(
                    key="upstream",
                    label="sensor before the catalyst",
                    chips=True,
                    finer=True,
                    choices={
                        "switches": "switches",
                        "at_target": "steady at its target",
                        "lean": "stays lean",
                        "rich": "stays rich",
                        "still": "does not move",
                    },
                ),
                Quantity(
                    key="lambda",
                    label="lambda",
                    quantity="lambda",
                    possible=(0.0, 2.0),
                    likely=(0.7, 1.4),
                    finer=True,
                ),
                Choice(
                    key="downstream",
                    label="sensor after the catalyst",
                    chips=True,
                    finer=True,
                    choices={
                        "steady": "steady",
                        "lean": "stays lean",
                        "rich": "stays rich",
                        "follows": "follows the first",
                    },
                ),
            ),
            help="In per cent, as the standard's values show them; one sensor before the catalyst "
            "is bank 1.",
        ),
        Grid(
            "engine",
            "Engine",
            Fixed(_POINT_ROWS),
            (
                Choice(
                    key="loop",
                    label="fuel control",
                    chips=True,
                    needed=True,
                    choices={
                        "closed": "closed loop",
                        "open_cold": "open, cold",
                        "open_drive": "open, load or overrun",
                        "open_fault": "open, fault",
                        "closed_fault": "closed, with a fault",
                        "not_shown": "not shown",
                    },
                ),
                Quantity(
                    key="rpm",
                    label="engine speed",
                    quantity="rotation",
                    possible=(0.0, 16384.0),
                    likely=(450.0, 7000.0),
                    finer=True,
                ),
                Quantity(
                    key="intake_air",
                    label="intake air",
                    quantity="temperature",
                    possible=_BYTE,
                    likely=(-35.0, 90.0),
                    finer=True,
                ),
                Quantity(
                    key="pressure",
                    label="intake pressure",
                    quantity="absolute_pressure",
                    possible=(0.0, 255.0),
                    likely=(15.0, 250.0),
                    finer=True,
                ),
                Quantity(
                    key="air_mass",
                    label="air mass",
                    quantity="mass_flow",
                    possible=(0.0, 655.35),
                    likely=(0.5, 400.0),
                    finer=True,
                ),
                Quantity(
                    key="throttle",
                    label="throttle",
                    quantity="ratio",
                    possible=(0.0, 100.0),
                    finer=True,
                ),
                Quantity(
                    key="voltage",
                    label="voltage at the control unit",
                    quantity="voltage",
                    possible=_volts_range,
                    finer=True,
                ),
            ),
        ),
    ),
    limits=(Limit("given.coolant", bounds=_coolant_limit),),
    handling_u={
        # The middle of a swinging value by eye, 1 %; sensors of the car itself, bounds of ±3 K
        # warm, ±2 K cold, ±1.5 kPa (judgement).
        "stft": math.hypot(1.0, _READ_U),
        "ltft": _READ_U,
        "lambda": 0.01,
        "coolant": 1.8,
        "soak_coolant": 1.2,
        "soak_intake": 1.2,
        "keyon_pressure": 0.9,
        "intake_air": 1.8,
        "pressure": 0.9,
        "rpm": 20.0,
        "air_mass": 0.2,
        "throttle": 0.5,
        "voltage": 0.1,
    },
    maker_figures={"total_trim": ("Short and long trim together, any point", "ratio")},
    comparable={"burns": (0.0, 0.0)},
    compares=("total_*", "pressure_less_air", "coolant_less_*", "intake_less_*"),
    patterns=(
        Pattern("coolant_low", "coolant reads too cold for a warm engine"),
        Pattern(
            "coolant_high",
            "coolant reads hotter than usual",
            driving=Driving(
                "only_as_stated",
                "Only while the temperature is watched: stop and switch off as soon as it climbs.",
            ),
        ),
        Pattern("sensor_disagrees", "a sensor disagrees with the air around it", direct=True),
        Pattern("not_closed_loop", "not in closed loop: the trims prove nothing"),
        Pattern("banks_opposite", "one bank lean, the other rich"),
        Pattern("one_bank_lean", "one bank lean, the other as usual"),
        Pattern("one_bank_rich", "one bank rich, the other as usual"),
        Pattern("changes_side", "lean at one speed and rich at another"),
        Pattern("lean_at_idle", "lean at idle, less or not at all at speed"),
        Pattern("lean_at_speed", "lean at speed or under load, less at idle"),
        Pattern("lean_everywhere", "lean at idle and at speed much alike"),
        Pattern("rich_at_idle", "rich at idle, less or not at all at speed"),
        Pattern("rich_at_speed", "rich at speed or under load, less at idle"),
        Pattern("rich_everywhere", "rich at idle and at speed much alike"),
        Pattern("near_nought", "little correction at idle and at speed", sound=True),
        UNDECIDED,
    ),
    confounders=(
        Confounder(
            "not_warm", "The engine was not driven warm: enrichment and purge still act.", 0.4
        ),
        Confounder("not_steady", "The values were not watched long enough, or loads were on.", 0.6),
        Confounder(
            "misfire_open",
            "A misfire was not excluded: oxygen that did not burn reads as lean.",
            0.4,
        ),
        Confounder(
            "exhaust_open",
            "A leak before the sensor was not excluded: air drawn in there reads as lean.",
            0.5,
        ),
        Confounder(
            "erased",
            "Codes were erased or the battery was off lately: long trims start from nought and "
            "need some drives.",
            0.6,
        ),
        Confounder("loop_unknown", "It was not read whether the loop was closed.", 0.5),
        Confounder(
            "sensor_fault_told", "The control unit says that a sensor of the loop is at fault.", 0.4
        ),
        Confounder("sensor_still", "The sensor before the catalyst does not move.", 0.2),
        Confounder(
            "sensors_contradict", "A sensor reads against what the correction would make.", 0.4
        ),
        Confounder(
            "ethanol", "Much ethanol wants more fuel: positive trims may come from the fuel.", 0.5
        ),
        Confounder("gas", "It ran on gas: the trims belong to the gas system too.", 0.2),
        Confounder("fuel_not_said", "It was not noted on which fuel it ran.", 0.5),
        Confounder(
            "purge_open", "The purge valve was open: vapour moves the trims either way.", 0.6
        ),
        Confounder("low_voltage", "Low voltage while running: injectors open late.", 0.6),
        Confounder("other_speed", "It was not idling, or not held, at the speed meant.", 0.6),
        Confounder(
            "one_bank_read", "Only one bank was read of an engine with two.", 0.7, only_sound=True
        ),
        Confounder(
            "not_under_load",
            "Not read under load: what gives out only there would not show.",
            0.8,
            only_sound=True,
        ),
    ),
    needs_before=("trouble_codes", "battery_at_rest"),
    spoils=("battery_at_rest", "pressure_hold"),
    leaves_apart=("tool plugged into the data connector",),
    battery_matters=True,
    evidence_group="fuel_supply",
    formulas=(
        Formula(
            "total_*",
            "(1 + short trim)(1 + long trim) − 1, as shares; the plain sum differs by their "
            "product only, 1 % where both are 10 %. A trim is (byte − 128) × 100 / 128 per cent",
            "scale: SAE J1979 / ISO 15031-5, seen in reprinted tables",
        ),
        Formula("change_*", "trims together at idle less those at 2500 rpm, same bank"),
        Formula(
            "uncorrected_*",
            "lambda read (1 in closed loop) × (1 + trims together): lambda is as air over fuel, "
            "and fuel is what was planned × (1 + trims)",
            "definition of lambda",
        ),
        Formula(
            "pressure_less_air",
            "intake pressure with the engine off less the barometer, or less the standard "
            "atmosphere at that height",
            "ISO 2533 for a height",
        ),
        Formula("coolant_less_intake", "coolant less intake air after a night"),
        Formula("coolant_less_outside", "coolant less the thermometer after a night"),
        Formula("intake_less_outside", "intake air less the thermometer after a night"),
    ),
    example={
        "ready.warm": "yes",
        "ready.steady": "yes",
        "ready.even": "yes",
        "ready.tight": "yes",
        "ready.learned": "yes",
        "given.coolant": "91 °C",
        "given.burns": "petrol",
        "trims.idle_b1.stft": "6",
        "trims.idle_b1.ltft": "13",
        "trims.held_b1.stft": "-1",
        "trims.held_b1.ltft": "3",
        "engine.idle.loop": "closed",
        "engine.held.loop": "closed",
    },
    not_for=_not_for,
    next_step=_next_step,
    assess=assess,
    sentences={
        # customer
        "customer.coolant_low": "With a warm engine the control reads a coolant temperature of "
        "{coolant}. That is colder than usual, and it decides how much fuel is given.",
        "customer.coolant_high": "The control reads a coolant temperature of {coolant}, hotter "
        "than usual. Watch the temperature, and stop when it climbs.",
        "customer.sensor_disagrees": "One of the engine's sensors does not agree with the air "
        "around it, although it should while the engine is off.",
        "customer.not_closed_loop": "The engine's control was not correcting the fuel by its "
        "sensor {opened}. So these readings do not show yet how well the mixture is met.",
        "customer.banks_opposite": "The engine's control adds fuel on one side of the engine and "
        "takes it away on the other, by up to {most}. Usual is {usual}.",
        "customer.one_bank_lean": "On one side of the engine the control adds more fuel than "
        "usual, up to {most}; on the other it hardly corrects. Usual is {usual}.",
        "customer.one_bank_rich": "On one side of the engine the control takes away more fuel "
        "than usual, up to {most}; on the other it hardly corrects. Usual is {usual}.",
        "customer.changes_side": "The engine's control corrects the fuel by {idle} at idle and by "
        "{away} {at}: to opposite sides. Usual is {usual}.",
        "customer.lean_at_idle": "The engine's control corrects the fuel by {idle} at idle and by "
        "{away} {at}: it adds most at idle. Usual is {usual}.",
        "customer.lean_at_speed": "The engine's control corrects the fuel by {idle} at idle and "
        "by {away} {at}: it adds most when the engine works. Usual is {usual}.",
        "customer.lean_everywhere": "The engine's control corrects the fuel by {idle} at idle and "
        "by {away} {at}: it adds much alike everywhere. Usual is {usual}.",
        "customer.rich_at_idle": "The engine's control corrects the fuel by {idle} at idle and by "
        "{away} {at}: it takes away most at idle. Usual is {usual}.",
        "customer.rich_at_speed": "The engine's control corrects the fuel by {idle} at idle and "
        "by {away} {at}: it takes away most when the engine works. Usual is {usual}.",
        "customer.rich_everywhere": "The engine's control corrects the fuel by {idle} at idle and "
        "by {away} {at}: it takes away much alike everywhere. Usual is {usual}.",
        "customer.near_nought": "The engine's control corrects the fuel by {most} at most. Usual "
        "is {usual}. What shows only under full load was perhaps not met.",
        "customer.undecided": "The live values of the engine do not decide anything yet.",
        "customer.what_it_does": "Plus means that the control adds fuel because a sensor in the "
        "exhaust finds too much oxygen, minus that it takes fuel away.",
        "customer.where_not_shown": "What brings this about is not shown by this test; it tells "
        "where to look next.",
        # technician
        "next.coolant_low": "Coolant reads {coolant} with a warm engine. Hold a thermometer beside "
        "the sensor (temperature survey): if that agrees, the thermostat stays open; if not, "
        "sensor, connector, wiring. The control enriches and may leave the loop for it.",
        "next.coolant_high": "Coolant reads {coolant}. Thermometer beside the sensor first "
        "(temperature survey); then level, fan, thermostat. No load test before that is known.",
        "next.sensor_disagrees": "Nature says nought here, the sensor does not: its connector, "
        "supply and ground before the sensor itself. Everything the control plans from it is off, "
        "the trims too.",
        "next.not_closed_loop": "Open loop {opened}: the fuel is planned, not corrected, so those "
        "trims are not judged. Warm it up, hold 2500 rpm for two minutes, read anew. Stays open: "
        "coolant reading, heater of the sensor and its fuse, stored codes.",
        "next.banks_opposite": "One bank up, the other down. Look whether the two sensors or their "
        "connectors were exchanged, then at valve timing of one bank, then at one bank's "
        "injectors and intake.",
        "next.one_bank_lean": "Only {bank}: not fuel pressure, not the air meter, which both banks "
        "share. Look at that bank's intake gasket, injectors, exhaust before its sensor, the "
        "sensor, and for a misfire there (starter current, spark plugs).",
        "next.one_bank_rich": "Only {bank}: not what both banks share. Look at that bank's "
        "injectors for a drip, its sensor, and valve timing (starter current, compression).",
        "next.changes_side": "{idle} at idle, {away} {at}: the air meter's scale first (dirt, "
        "wrong part, air that goes round it), then two faults at once: one that acts at idle and "
        "one that acts with flow.",
        "next.lean_at_idle": "{idle} at idle, {away} {at}. Air that gets in after the meter weighs "
        "most where little is drawn: hoses, brake servo, crankcase breather, intake gasket, a "
        "purge or recirculation valve that stays open. Next: intake vacuum, then smoke. An engine "
        "that counts air by intake pressure shows a leak as a high idle rather than here.",
        "next.lean_at_speed": "{idle} at idle, {away} {at}. Fuel supply weighs most with flow: "
        "filter, pump, its volts under load, regulator; then injectors, and an air meter that "
        "reads too little. Next: fuel pressure under load.",
        "next.lean_everywhere": "{idle} at idle, {away} {at}: a share that does not change with "
        "flow. Fuel pressure, an air meter that reads too little, more ethanol in the fuel; or "
        "the sensor is deceived: leak before it, misfire. Next: fuel pressure, look at the "
        "exhaust.",
        "next.rich_at_idle": "{idle} at idle, {away} {at}. Fuel that comes unplanned weighs most "
        "where little is needed: vapour purge, injector that drips, fuel in the oil by the "
        "breather, fuel through the regulator's hose. Next: purge hose shut for a trial, oil level "
        "and condition, fuel pressure and hold.",
        "next.rich_at_speed": "{idle} at idle, {away} {at}. Look at what rises with flow: fuel "
        "pressure too high or the return narrow, air meter that reads too much, air filter. "
        "Next: fuel pressure.",
        "next.rich_everywhere": "{idle} at idle, {away} {at}: a share that does not change with "
        "flow. Fuel pressure too high, air meter that reads too much, coolant or intake air read "
        "too cold, a sensor that is stuck. Next: fuel pressure, sensors after a night.",
        "next.near_nought": "Corrections of {most} at most, usual {usual}. The mixture is "
        "nearly what was planned; one weak cylinder, ignition under load and a supply that gives "
        "out at full load do not show here.",
        "next.undecided": "Nothing is settled yet: read both trims at idle and at 2500 rpm, each "
        "in closed loop, the short one as the middle of its swing over half a minute.",
        "shape": "{bank}: {idle} at idle, {away} {at}; {label}.",
        "one_point": "Unusual at {where}, up to {most}; the other speed is lacking, so no "
        "direction yet.",
        "near": "Too near what is usual to tell at {where}: watch the short trim longer.",
        "outside_elsewhere": "A reading lies outside a limit kept for this car; none of the "
        "pictures fits.",
        "apart": "{what}: {apart}. It should be nought.",
        "at_its_end": "The correction is at its end at {where}: the sensor still reads the same "
        "side, so what is lacking may be more than the trims show.",
        "contradicts": "At {where} a sensor reads against the correction: what the control does "
        "should have turned it round. Leak in the exhaust before the first sensor, that sensor, or "
        "exchanged lines come before the mixture.",
        "follows": "The sensor after the catalyst follows the first: the catalyst stores little, "
        "or is cold.",
        "load_open": "Under load the loop was open, as many engines do at full load: those trims "
        "are not judged.",
        "what_trims_are": "A trim is what the control does, seen through its own sensor. Air in "
        "the exhaust before it, a sensor that is slow or dead, or a misfire make it lie.",
        "totals": "Short and long together: {listed}.",
        "was.ethanol": "Fuel with more ethanol: a tenth of it asks for some 4 % more fuel. A car "
        "that learns the blend corrects elsewhere, others in the trims.",
        "was.gas": "Repeat it on petrol before the engine's own parts are suspected.",
        "was.fuel_not_said": "Note on which fuel it ran: this car takes two.",
        "was.erased": "Long trims were forgotten: the sum still counts now, but read again after "
        "some drives.",
        "was.purge_open": "Read again with the purge valve shut, or its hose closed for a moment.",
        "was.loop_unknown": "Read the state of the fuel control too: in open loop trims mean "
        "nothing.",
        "was.low_voltage": "Charging first: low voltage makes injectors give too little.",
        "was.one_bank_read": "The other bank was not read.",
        # chart
        "chart.totals": "Short and long trim together over engine speed: {told}.",
        "chart.top": "usual to {trim}",
        "chart.foot": "usual from {trim}",
    },
)
