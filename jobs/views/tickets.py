"""The ticket's own page."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.access import ticket_for
from jobs.gates import gates_of
from jobs.ticket_view import TicketView
from shop.access import allowed


@allowed("see_tickets")
def show(request: HttpRequest, number: int) -> HttpResponse:
    """Head, what stands now, and the whole record of one ticket."""
    ticket = ticket_for(request.user, number)
    view = TicketView(ticket, request.shop, person=request.user)
    return render(request, "jobs/ticket.html", {"view": view, "gates": gates_of(view)})
