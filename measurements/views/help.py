"""The help page of the tests, made out of their declarations: nothing is said twice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from shop.access import allowed

if TYPE_CHECKING:
    from measurements.core.procedure import Procedure, Span
    from measurements.core.readings import Slot


@dataclass(frozen=True)
class LimitLine:
    """What one kind of reading is held against: where, how much, by whose word."""

    where: str
    bounds: str
    source: str


@dataclass(frozen=True)
class Sheet:
    """One procedure as its help section shows it."""

    procedure: Procedure
    limits: tuple[LimitLine, ...]


@allowed("see_tickets")
def procedures(request: HttpRequest) -> HttpResponse:
    """Purpose, cautions, preconditions, limits and outcomes of every test."""
    from measurements.procedures import PROCEDURES

    units = request.shop.units
    sheets = [Sheet(procedure, limits_of(procedure, units)) for procedure in PROCEDURES.values()]
    return render(request, "help/procedures.html", {"sheets": sheets})


def limits_of(procedure: Procedure, units: str) -> tuple[LimitLine, ...]:
    """The limits of a 12 V car of which nothing else is known, for each way to do the test."""
    from measurements.core.context import Context
    from measurements.core.readings import layout

    lines: dict[LimitLine, None] = {}
    for typed, way in _ways(procedure):
        for slot in layout(procedure, Context(units=units), typed=typed).slots:
            if slot.limit is not None:
                where = ": ".join(part for part in (way, _place(slot)) if part)
                bounds = _bounds(slot.limit, slot.field.quantity, units)
                lines[LimitLine(where, bounds, slot.limit.source.words)] = None
    return tuple(lines)


def _ways(procedure: Procedure) -> list[tuple[dict[str, str], str]]:
    """What is typed to choose each set of rows that stands ready, and the choice in words."""
    from measurements.core.procedure import Choice, Free

    steering = {grid.axis.by for grid in procedure.grids if isinstance(grid.axis, Free)}
    for field in procedure.given:
        if field.key in steering and isinstance(field, Choice):
            return [({f"given.{field.key}": code}, str(w)) for code, w in field.choices.items()]
    return [({}, "")]


def _place(slot: Slot) -> str:
    row = slot.row.label if slot.row else ""
    return ", ".join(dict.fromkeys(part for part in (row, slot.label) if part))


def _bounds(span: Span, quantity: str, units: str) -> str:
    from measurements.core.units import show_value

    low = "" if span.low is None else show_value(span.low, quantity, units)
    high = "" if span.high is None else show_value(span.high, quantity, units)
    if low and high:
        return _("%(low)s to %(high)s") % {"low": low, "high": high}
    return _("at most %(high)s") % {"high": high} if high else _("at least %(low)s") % {"low": low}
