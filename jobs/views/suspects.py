"""Suspects of a complaint: what could cause it, what the evidence says, which test comes next."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from jobs.access import ticket_for
from jobs.actions import suspects
from jobs.forms.suspects import OpinionForm
from jobs.models import Complaint, Entry, Ticket
from jobs.past_tickets import seen_before
from jobs.reasoning.of_ticket import Reasoning, reasoning_of
from jobs.reasoning.page import Page
from jobs.ticket_view import EntryView, TicketView
from jobs.views.recording import record, saved
from shop.access import allowed


@allowed("see_working_notes")
def show(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """The suspects of one complaint with all that moved them, and the next tests."""
    view, complaint = _complaint(request, ticket_for(request.user, number), seq)
    reasoning = reasoning_of(view, complaint)
    page = Page(reasoning) if reasoning else None
    told = Complaint.objects.select_related("entry").get(pk=complaint.entry.pk)
    context = {
        "ticket": view.ticket,
        "view": view,
        "complaint": complaint,
        "page": page,
        "seen": seen_before(told, view.ticket),
    }
    return render(request, "jobs/suspects/show.html", context)


@allowed("write_findings")
def judge(request: HttpRequest, number: int, seq: int, suspect: str) -> HttpResponse:
    """A technician's own judgement on a suspect."""
    ticket = ticket_for(request.user, number, to="write_findings")
    reasoning = _reasoning(request, ticket, seq)
    if suspect not in reasoning.table:
        raise Http404
    title = reasoning.table.suspect(suspect).label
    form = OpinionForm(request.POST or None)
    return _recorded(request, ticket, reasoning, form, suspect=suspect, title=title)


@allowed("write_findings")
def add(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """A cause that is not on the list."""
    ticket = ticket_for(request.user, number, to="write_findings")
    reasoning = _reasoning(request, ticket, seq)
    form = OpinionForm(request.POST or None, adds=True)
    return _recorded(request, ticket, reasoning, form, title=_("A cause that is not on the list"))


@require_POST
@allowed("write_findings")
def keep(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Write the odds of this moment into the record."""
    ticket = ticket_for(request.user, number, to="write_findings")
    reasoning = _reasoning(request, ticket, seq)
    key = request.POST.get("client_key") or None
    return saved(request, suspects.keep(reasoning=reasoning, by=request.user, client_key=key))


def _recorded(
    request: HttpRequest,
    ticket: Ticket,
    reasoning: Reasoning,
    form: OpinionForm,
    *,
    title: str,
    suspect: str = "",
) -> HttpResponse:
    def act() -> Entry:
        return suspects.judge(
            ticket=ticket,
            by=request.user,
            complaint_uid=reasoning.complaint.data["uid"],
            suspect=suspect,
            strength=form.cleaned_data["strength"],
            reason=form.cleaned_data["reason"],
            label=form.cleaned_data.get("label", "") or title,
            **form.sending,
        )

    page = {"title": title, "complaint": reasoning.complaint}
    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/suspects/judge.html",
        context=page,
    )


def _complaint(request: HttpRequest, ticket: Ticket, seq: int) -> tuple[TicketView, EntryView]:
    view = TicketView(ticket, request.shop, person=request.user)
    found = next((item for item in view.entries if item.entry.seq == seq), None)
    if found is None or found.entry.kind != "complaint":
        raise Http404
    # A complaint that was corrected is looked at in its latest version.
    latest = [item for item in view.complaints if item.data["uid"] == found.data.get("uid")]
    if not latest:
        raise Http404
    return view, latest[0]


def _reasoning(request: HttpRequest, ticket: Ticket, seq: int) -> Reasoning:
    found = reasoning_of(*_complaint(request, ticket, seq))
    if found is None:
        raise Http404  # no table of this family: its page says so, and leads nowhere else
    return found
