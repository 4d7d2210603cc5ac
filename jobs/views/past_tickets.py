"""The shop's own past tickets that are like a complaint."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.access import entry_of, ticket_for
from jobs.models import Complaint
from jobs.past_tickets import seen_before
from shop.access import allowed


@allowed("see_tickets")
def before(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Earlier visits of the same car, then those of other cars, each with why it is alike."""
    ticket = ticket_for(request.user, number)
    entry = entry_of(ticket, seq, "complaint")
    complaint = Complaint.objects.select_related("entry").filter(entry=entry).first()
    if complaint is None:
        raise Http404
    return render(
        request,
        "jobs/before.html",
        {"ticket": ticket, "complaint": complaint, "seen": seen_before(complaint, ticket)},
    )
