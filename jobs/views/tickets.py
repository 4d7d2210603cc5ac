"""The ticket's own page."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.access import ticket_for
from jobs.gates import gates_of
from jobs.reasoning.of_ticket import reasonings
from jobs.reasoning.page import Page
from jobs.ticket_view import TicketView
from shop.access import allowed


@allowed("see_tickets")
def show(request: HttpRequest, number: int) -> HttpResponse:
    """Head, what stands now, and the whole record of one ticket."""
    ticket = ticket_for(request.user, number)
    view = TicketView(ticket, request.shop, person=request.user)
    page = {"view": view, "gates": gates_of(view), "suspects": _suspects(request, view)}
    return render(request, "jobs/ticket.html", page)


def _suspects(request: HttpRequest, view: TicketView) -> list[Page]:
    """What the evidence says of each complaint, for whoever reads working notes."""
    if not view.ticket.is_open or not request.user.can("see_working_notes"):
        return []
    return [Page(reasoning) for reasoning in reasonings(view)]
