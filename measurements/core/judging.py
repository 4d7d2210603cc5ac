"""From readings to an assessment: verdicts against limits, and the door through which all go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from measurements.core import decision
from measurements.core.assessment import (
    Also,
    Assessment,
    Figure,
    Sentence,
    Table,
    VerdictOutcome,
)
from measurements.core.context import Context
from measurements.core.procedure import (
    Confounder,
    Count,
    DeclarationError,
    Limit,
    Procedure,
    Quantity,
    Span,
)
from measurements.core.readings import Reading, Readings, RowReadings

if TYPE_CHECKING:
    from uncertainties import UFloat

COMMON_CONFOUNDERS = (
    Confounder(
        "fault_absent", "The complaint was not happening during this test.", 0.04, only_sound=True
    ),
    Confounder(
        "fault_unknown",
        "It is not known whether the complaint was happening during this test.",
        0.5,
        only_sound=True,
    ),
    Confounder(
        "engine_state_other",
        "The complaint comes in another state of the engine than was tested.",
        0.04,
        only_sound=True,
    ),
    Confounder("weak_battery", "It was made on a weak battery.", 0.3),
    Confounder("not_for_this_car", "This test is not made for this kind of car.", 0.0),
)
"""Confounders of every test; weights are judgement (the shop's practice, not a publication). A
good reading with the fault away moves no suspect's odds by more than a tenth."""

_SENTENCES = {
    "common.fault_absent.customer": (
        "The fault was not showing while we made this test. A normal result then does not mean "
        "that it is gone."
    ),
    "common.fault_absent.technician": (
        "Complaint absent just then: a good reading says next to nothing, a bad one counts whole."
    ),
    "common.fault_unknown.technician": (
        "Not noted whether the complaint was happening just then: a good reading counts half."
    ),
    "common.engine_state_other.customer": (
        "The complaint comes with the engine {complaint}; this test was made with the engine "
        "{tested}. A normal result then says little."
    ),
    "common.engine_state_other.technician": (
        "Complaint only {complaint}, tested {tested}: repeat {complaint} before relying on it."
    ),
    "common.weak_battery.technician": (
        "Made on a weak battery ({found}): charge it, then make this test again before relying "
        "on it."
    ),
    "common.weak_battery.customer": (
        "The battery was weak during this test, so it is made again with a charged one."
    ),
    "common.not_for_this_car": "This test was not made for this car: {reason}",
}


def say(id: str, **params: str) -> Sentence:
    """One of the sentences that every test may use."""
    return Sentence(id=id, params=dict(params), text=_SENTENCES[id].format(**params))


def _matches(pattern: str, address: str) -> bool:
    wanted, parts = pattern.split("."), address.split(".")
    return len(wanted) == len(parts) and all(
        w in ("*", p) for w, p in zip(wanted, parts, strict=True)
    )


def _limit_at(procedure: Procedure, address: str) -> Limit | None:
    return next((limit for limit in procedure.limits if _matches(limit.address, address)), None)


def span_for(
    procedure: Procedure,
    address: str,
    context: Context,
    readings: Readings,
    row: RowReadings | None = None,
) -> Span | None:
    """The limit that holds at an address: the one chosen for the car, else the procedure's."""
    limit = _limit_at(procedure, address)
    if limit is None or limit.maker_may_override:
        for chosen in context.limits:
            if _matches(chosen.address, address):
                return Span(chosen.low, chosen.high, chosen.source)
    if limit is None:
        return None
    if limit.bounds is not None:
        return limit.bounds(context, readings, row)
    return Span(limit.low, limit.high, limit.source) if limit.source else None


def judge(procedure: Procedure, readings: Readings, context: Context) -> tuple[VerdictOutcome, ...]:
    """A verdict for every quantity and count that was read; conditions and given values only where
    a limit is declared for them."""
    verdicts = []
    for entry in procedure.given:
        address = f"given.{entry.key}"
        reading = readings.get(address)
        span = span_for(procedure, address, context, readings)
        if reading and reading.quantity and (span or _limit_at(procedure, address)):
            verdicts.append(_verdict(procedure, reading, span, context))
    for grid in procedure.grids:
        judged = [c for c in grid.columns if isinstance(c, (Quantity, Count))]
        for row in readings.rows(grid.key):
            for column in judged:
                reading = row.get(column.key)
                if reading is None or reading.status == "not_measured":
                    continue
                span = span_for(procedure, reading.address, context, readings, row)
                verdicts.append(_verdict(procedure, reading, span, context))
    return tuple(verdicts)


def _verdict(
    procedure: Procedure, reading: Reading, span: Span | None, context: Context
) -> VerdictOutcome:
    low, high = (span.low, span.high) if span else (None, None)
    limit = _limit_at(procedure, reading.address)
    if reading.status == "overload":
        found = decision.decide_beyond(float("inf"), "above", low, high)
    elif reading.bound is not None:
        status = "above" if reading.status == "above" else "below"
        found = decision.decide_beyond(reading.bound, status, low, high)  # type: ignore[arg-type]
    else:
        number = reading.number or 0.0
        number = abs(number) if limit and limit.magnitude else number
        found = decision.decide(number, reading.u, low, high, context.risk)
    return VerdictOutcome(
        address=reading.address,
        label=reading.label,
        outcome=found.outcome,
        quantity=reading.quantity,
        value=reading.number,
        u=reading.u,
        p=found.p,
        low=low,
        high=high,
        source=span.source if span else None,
        safety=bool(limit and limit.safety),
        too_narrow=found.too_narrow,
    )


def judge_figure(
    procedure: Procedure,
    figure: Figure,
    context: Context,
    span: Span | None,
    *,
    safety: bool = False,
) -> VerdictOutcome:
    """The verdict on a computed figure; a limit chosen for `figure.<key>` goes before `span`."""
    address = f"figure.{figure.key}"
    for chosen in context.limits:
        if _matches(chosen.address, address):
            span = Span(chosen.low, chosen.high, chosen.source)
            break
    if figure.value is None or span is None:
        return VerdictOutcome(
            address,
            figure.label,
            "no_limit",
            figure.quantity,
            figure.value,
            figure.u,
            safety=safety,
        )
    found = decision.decide(figure.value, figure.u, span.low, span.high, context.risk)
    return VerdictOutcome(
        address,
        figure.label,
        found.outcome,
        figure.quantity,
        figure.value,
        figure.u,
        found.p,
        span.low,
        span.high,
        span.source,
        safety,
        found.too_narrow,
    )


def figure_of(
    key: str, label: str, quantity: str, number: UFloat | float, unit: str = ""
) -> Figure:
    """A figure from a number with uncertainty (or a bare number, then u = 0)."""
    value = float(getattr(number, "nominal_value", number))
    u = float(getattr(number, "std_dev", 0.0))
    return Figure(key, label, quantity, value, u, unit=unit)


def _settled(value: Any) -> Any:
    """Every float to 12 significant digits, so that the order of a sum in memory never shows."""
    if isinstance(value, float):
        return float(f"{value:.12g}")
    if isinstance(value, Mapping):
        return {key: _settled(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return type(value)(_settled(item) for item in value)
    return value


def conclude(
    procedure: Procedure,
    readings: Readings,
    context: Context,
    *,
    pattern: str,
    where: Sequence[str] = (),
    also: Sequence[Also] = (),
    figures: Sequence[Figure] = (),
    verdicts: Sequence[VerdictOutcome] = (),
    confounders: Sequence[str] = (),
    tables: Sequence[Table] = (),
    customer: Sequence[Sentence] = (),
    technician: Sequence[Sentence] = (),
    chart: Mapping[str, Any] | None = None,
) -> Assessment:
    """Put an assessment together; adds what is missing and what weakens every kind of test.

    Raises DeclarationError for a pattern or confounder that the procedure does not declare.
    """
    declared = {entry.code for entry in procedure.patterns}
    for code in (pattern, *(item.pattern for item in also)):
        if code not in declared:
            raise DeclarationError(procedure.name, f"pattern {code!r} is not declared")
    weak = list(confounders)
    weak += [
        item.confounder
        for item in procedure.preconditions
        if item.confounder and item.code in readings.unticked
    ]
    to_customer, to_technician = list(customer), list(technician)
    sound = procedure.pattern(pattern).sound
    if context.fault_present == "no":
        weak.append("fault_absent")
        to_technician.append(say("common.fault_absent.technician"))
        if sound and procedure.fault_shown is None:
            to_customer.append(say("common.fault_absent.customer"))
    elif context.fault_present == "unknown":
        weak.append("fault_unknown")
        to_technician.append(say("common.fault_unknown.technician"))
    if (
        context.complaint_only_when
        and context.state_of_car in ("hot", "cold")
        and context.state_of_car != context.complaint_only_when
    ):
        weak.append("engine_state_other")
        states = {"complaint": context.complaint_only_when, "tested": context.state_of_car}
        to_technician.append(say("common.engine_state_other.technician", **states))
        if sound:
            to_customer.append(say("common.engine_state_other.customer", **states))
    if procedure.battery_matters and context.weak_battery:
        weak.append("weak_battery")
        to_technician.append(say("common.weak_battery.technician", found=context.weak_battery))
        to_customer.append(say("common.weak_battery.customer"))
    unique = tuple(dict.fromkeys(weak))
    for code in unique:
        procedure.confounder(code)
    return Assessment(
        procedure=procedure.name,
        version=procedure.version,
        pattern=pattern,
        where=tuple(where),
        also=tuple(also),
        figures=tuple(
            replace(figure, value=_settled(figure.value), u=_settled(figure.u))
            for figure in figures
        ),
        verdicts=tuple(
            replace(
                verdict,
                value=_settled(verdict.value),
                u=_settled(verdict.u),
                p=_settled(verdict.p),
            )
            for verdict in verdicts
        ),
        missing=readings.missing,
        confounders=unique,
        tables=tuple(tables),
        customer=tuple(to_customer),
        technician=tuple(to_technician),
        chart=_settled(dict(chart or {})),
    )


def assess(procedure: Procedure, readings: Readings, context: Context) -> Assessment:
    """The judgement of a run. A car that the procedure is not for gives "undecided", with
    the reason; its readings stay in the record.
    """
    reason = procedure.not_for(context) if procedure.not_for else ""
    if reason:
        return conclude(
            procedure,
            readings,
            context,
            pattern="undecided",
            confounders=("not_for_this_car",),
            customer=(say("common.not_for_this_car", reason=reason),),
            technician=(say("common.not_for_this_car", reason=reason),),
        )
    return procedure.assess(readings, context)
