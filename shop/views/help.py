"""Help: what the pages say, who may do what, what the record promises."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.access import allowed
from shop.models import Person
from shop.roles import access_table


@allowed("see_tickets")
def index(request: HttpRequest) -> HttpResponse:
    """Where help is to be had. Somebody who works alone reads nothing of roles."""
    return render(request, "help/index.html", {"alone": Person.objects.count() == 1})


@allowed("see_tickets")
def start(request: HttpRequest) -> HttpResponse:
    """From a car that comes in to a report that goes out, in one page."""
    return render(request, "help/start.html")


@allowed("see_tickets")
def marks(request: HttpRequest) -> HttpResponse:
    """How to read lines, verdicts, entries and notices."""
    return render(request, "help/marks.html")


@allowed("see_tickets")
def simulation(request: HttpRequest) -> HttpResponse:
    """Whether the reasoning pays: made-up jobs, and cases from published descriptions."""
    return render(request, "help/simulation.html")


@allowed("see_tickets")
def record(request: HttpRequest) -> HttpResponse:
    """What the record promises and what it doesn't; backup; checking it."""
    from django.conf import settings

    return render(request, "help/record.html", {"data_folder": settings.DATA})


@allowed("see_tickets")
def roles(request: HttpRequest) -> HttpResponse:
    """Who may do what: the table that the pages themselves ask."""
    return render(request, "help/roles.html", {"table": access_table()})
