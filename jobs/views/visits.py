"""What is added to a visit: people, complaints, wishes, notes, and where the ticket goes next."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from jobs.access import entry_of, ticket_for
from jobs.actions import tickets, visitors
from jobs.forms.lately import LatelyForm
from jobs.forms.looked_up import LookedUpForm
from jobs.forms.questions import answers_of, as_typed
from jobs.forms.visit import (
    ComplaintChangeForm,
    ComplaintForm,
    NoteForm,
    PeopleForm,
    StateForm,
    WishForm,
)
from jobs.models import Apart, Complaint, Entry, Finding, Ticket
from jobs.views.recording import record
from shop.access import NotAllowed, allowed


@allowed("change_tickets")
def people(request: HttpRequest, number: int) -> HttpResponse:
    """Owner, bringer, authoriser, payer: where they are others than the customer."""
    ticket = ticket_for(request.user, number, to="change_tickets")
    form = PeopleForm(ticket, request.POST or None)

    def act() -> Entry:
        return visitors.name_people(
            ticket=ticket,
            by=request.user,
            parts=form.parts(),
            **form.sending,
        )

    return record(
        request, ticket=ticket, form=form, act=act, template="jobs/people.html", context={}
    )


@allowed("record_complaints")
def add_complaint(request: HttpRequest, number: int) -> HttpResponse:
    """Write down a complaint."""
    ticket = ticket_for(request.user, number, to="record_complaints")
    if "questions" in request.POST:
        form = ComplaintForm(initial=as_typed(request.POST))
    else:
        form = ComplaintForm(request.POST or None)

    def act() -> Entry:
        return tickets.add_complaint(ticket=ticket, by=request.user, **_complaint(form))

    return record(
        request, ticket=ticket, form=form, act=act, template="jobs/complaint_form.html", context={}
    )


@allowed("record_complaints")
def change_complaint(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Correct a complaint, or add to it; the earlier version stays legible."""
    ticket = ticket_for(request.user, number, to="record_complaints")
    entry = entry_of(ticket, seq, "complaint")
    data = entry.data
    initial = {name: data.get(name) for name in ("words", "family", "red_flags")}
    initial |= answers_of(data.get("conditions", {}))
    if "questions" in request.POST:
        form = ComplaintChangeForm(initial=as_typed(request.POST))
    else:
        form = ComplaintChangeForm(request.POST or None, initial=initial)

    def act() -> Entry:
        return tickets.add_complaint(
            ticket=ticket,
            by=request.user,
            corrects=entry,
            why=form.cleaned_data["why"],
            **_complaint(form),
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/complaint_form.html",
        context={"entry": entry},
    )


@allowed("record_complaints")
def ask_lately(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Since when a complaint is there and after what: a later version of it, by two taps."""
    ticket = ticket_for(request.user, number, to="record_complaints")
    entry = entry_of(ticket, seq, "complaint")
    data = entry.data
    known = answers_of(data.get("conditions", {}))
    form = LatelyForm(request.POST or None, initial=known)

    def act() -> Entry:
        return tickets.add_complaint(
            ticket=ticket,
            by=request.user,
            corrects=entry,
            why=gettext("Asked afterwards: since when, and after what."),
            words=data["words"],
            family=data.get("family", ""),
            conditions=data.get("conditions", {}) | form.cleaned_data["told"],
            red_flags=data.get("red_flags", []),
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/lately_form.html",
        context={"entry": entry},
    )


def _complaint(form: ComplaintForm) -> dict:
    data = form.cleaned_data
    return {
        "words": data["words"],
        "family": data["family"],
        "conditions": data["conditions"],
        "red_flags": data["red_flags"],
    } | form.sending


@allowed("record_complaints")
def add_wish(request: HttpRequest, number: int) -> HttpResponse:
    """Write down work that the customer asks for."""
    ticket = ticket_for(request.user, number, to="record_complaints")
    form = WishForm(request.POST or None)

    def act() -> Entry:
        data = form.cleaned_data
        return tickets.add_wish(ticket=ticket, words=data["words"], by=request.user, **form.sending)

    return record(
        request, ticket=ticket, form=form, act=act, template="jobs/wish_form.html", context={}
    )


@allowed("write_notes")
def add_note(request: HttpRequest, number: int) -> HttpResponse:
    """Write a note."""
    ticket = ticket_for(request.user, number, to="write_notes")
    form = NoteForm(request.POST or None)

    def act() -> Entry:
        data = form.cleaned_data
        return tickets.add_note(ticket=ticket, words=data["words"], by=request.user, **form.sending)

    return record(
        request, ticket=ticket, form=form, act=act, template="jobs/note_form.html", context={}
    )


@allowed("write_notes")
def add_looked_up(request: HttpRequest, number: int) -> HttpResponse:
    """Write down what was looked up about the model."""
    ticket = ticket_for(request.user, number, to="write_notes")
    form = LookedUpForm(request.POST or None)

    def act() -> Entry:
        return tickets.add_looked_up(
            ticket=ticket, facts=form.facts, by=request.user, **form.sending
        )

    return record(
        request, ticket=ticket, form=form, act=act, template="jobs/looked_up_form.html", context={}
    )


@allowed("move_tickets")
def move(request: HttpRequest, number: int) -> HttpResponse:
    """Move the ticket to another state."""
    ticket = ticket_for(request.user, number, to="move_tickets")
    form = StateForm(ticket, request.POST or None)

    def act() -> Entry:
        if form.cleaned_data["to"] == "handed_back" and not request.user.can("hand_over"):
            raise NotAllowed("hand_over")
        return tickets.move(ticket=ticket, by=request.user, **form.move())

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/state_form.html",
        context={
            "apart": list(Apart.objects.filter(ticket=ticket).still()),
            "complaints": [one for one in _complaints(ticket) if not _is_explained(one)],
        },
    )


@allowed("see_tickets")
def more(request: HttpRequest, number: int) -> HttpResponse:
    """Everything that can be added to this ticket."""
    ticket = ticket_for(request.user, number)
    context = {"ticket": ticket, "complaints": _complaints(ticket)}
    return render(request, "jobs/more.html", context)


def _is_explained(complaint: Complaint) -> bool:
    """A cause was found, so that the fault must have shown itself."""
    found = Finding.objects.current().filter(complaint_uid=complaint.uid)
    return found.filter(certainty__in=["confirmed", "probable"]).exists()


def _complaints(ticket: Ticket) -> list[Complaint]:
    """Complaints that count, in the order in which they were told."""
    return list(Complaint.objects.current().filter(ticket=ticket).select_related("entry"))
