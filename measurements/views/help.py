"""The help page of the tests, made out of their declarations: nothing is said twice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.access import allowed

if TYPE_CHECKING:
    from measurements.core.explain import LimitLine
    from measurements.core.procedure import Procedure


@dataclass(frozen=True)
class Sheet:
    """One procedure as its help section shows it."""

    procedure: Procedure
    limits: tuple[LimitLine, ...]


@allowed("see_tickets")
def procedures(request: HttpRequest) -> HttpResponse:
    """Purpose, cautions, preconditions, limits and outcomes of every test."""
    from measurements.core.explain import limits_of
    from measurements.procedures import PROCEDURES

    units = request.shop.units
    sheets = [Sheet(procedure, limits_of(procedure, units)) for procedure in PROCEDURES.values()]
    return render(request, "help/procedures.html", {"sheets": sheets})


@allowed("see_tickets")
def reference(request: HttpRequest) -> HttpResponse:
    """Every computed figure beside the published one that a test holds it against."""
    return render(request, "help/reference.html")
