"""A complaint whose fault did not appear while the car was here."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse

from jobs.access import ticket_for
from jobs.actions import not_appeared
from jobs.certainty.tried import Tried, tried_for
from jobs.forms.not_appeared import NotAppearedForm
from jobs.models import Entry
from jobs.ticket_view import EntryView, TicketView
from jobs.views.recording import record
from jobs.words.not_appeared import owner_note
from shop.access import allowed


@allowed("write_findings")
def say(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Write down what was tried, what was not, and what the owner should note."""
    ticket = ticket_for(request.user, number, to="write_findings")
    view = TicketView(ticket, request.shop, person=request.user)
    complaint = _complaint(view, seq)
    tried = tried_for(view, complaint)
    form = NotAppearedForm(ticket, request.POST or None, initial=_proposed(view, complaint, tried))

    def act() -> Entry:
        return not_appeared.say(view=view, complaint=complaint, by=request.user, **form.facts())

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/not_appeared_form.html",
        context={
            "complaint": complaint,
            "tried": tried,
            "confirmed": [
                item
                for item in view.findings
                if item.data["certainty"] == "confirmed"
                and item.data.get("complaint") == complaint.data["uid"]
            ],
        },
    )


def _complaint(view: TicketView, seq: int) -> EntryView:
    """The complaint that an entry wrote down, in its latest version."""
    written = next((i for i in view.entries if i.entry.seq == seq), None)
    if written is None or written.entry.kind != "complaint":
        raise Http404
    for complaint in view.complaints:
        if complaint.data["uid"] == written.data.get("uid"):
            return complaint
    raise Http404


def _proposed(view: TicketView, complaint: EntryView, tried: Tried) -> dict:
    """What was said of it before, else what the tests leave open and what is asked of owners."""
    uid = complaint.data["uid"]
    said = next((item.data for item in view.not_appeared if item.data["complaint"] == uid), None)
    if said is None:
        return {
            "not_tried": "\n".join(tried.untried),
            "note": owner_note(complaint.data.get("family", "")),
            "on_trial": view.ticket.state == not_appeared.ON_TRIAL,
        }
    return said | {"not_tried": "\n".join(said["not_tried"])}
