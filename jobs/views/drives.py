"""Drives since a repair of a fault that comes and goes."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse

from jobs.access import entry_of, ticket_for
from jobs.actions import drives
from jobs.forms.drives import DrivesForm
from jobs.models import Entry
from jobs.ticket_view import TicketView
from jobs.views.recording import record
from shop.access import allowed


@allowed("write_notes")
def add(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Write down how often it was driven without the fault since a swap, and if it came back."""
    ticket = ticket_for(request.user, number, to="write_notes")
    entry = entry_of(ticket, seq, "swap")
    if not entry.data or not entry.data.get("ours", True):
        raise Http404
    item = TicketView(ticket, request.shop).swap_of(entry.data["uid"])
    if item is None or item.is_gone:
        raise Http404
    form = DrivesForm(request.POST or None)

    def act() -> Entry:
        return drives.add(
            ticket=ticket,
            swap=item.entry.swap,
            drives=form.cleaned_data["drives"] or 0,
            came_back=form.cleaned_data["came_back"],
            by=request.user,
            facts=form.facts(),
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/drives_form.html",
        context={"entry": item.entry, "part": item.part, "swap": item.swap},
    )
