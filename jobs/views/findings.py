"""Findings, open work, and entries that are taken back."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from jobs import finding_proposal
from jobs.access import entry_of, ticket_for
from jobs.actions import findings, tickets
from jobs.certainty.of_ticket import frame
from jobs.certainty.standing import about, bases
from jobs.forms.evidence import ticked
from jobs.forms.findings import (
    FindingChangeForm,
    FindingForm,
    OpenWorkChangeForm,
    OpenWorkForm,
    WithdrawForm,
)
from jobs.models import Alteration, Entry, Photo, Ticket
from jobs.ticket_view import EntryView, TicketView
from jobs.views.recording import record
from shop.access import allowed


@allowed("write_findings")
def add_finding(request: HttpRequest, number: int) -> HttpResponse:
    """Make a finding; with `?test=`, `?swap=` or `?cause=` that proposes a first version of it."""
    ticket = ticket_for(request.user, number, to="write_findings")
    view = TicketView(ticket, request.shop)
    if LOOK_AGAIN in request.POST:
        form = _looked_at_again(FindingForm, view, request)
    else:
        form = FindingForm(view, request.POST or None, initial=_proposed(request, view))

    def act() -> Entry:
        return findings.add(
            ticket=ticket,
            by=request.user,
            view=view,
            facts=form.facts(),
            **_said(form),
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/finding_form.html",
        context={"view": view},
    )


LOOK_AGAIN = "look_again"
"""Name of the button that shows how sure the ticked evidence allows a finding to be."""


def _looked_at_again(
    form: type[FindingForm], view: TicketView, request: HttpRequest
) -> FindingForm:
    """What was typed, kept; where no certainty was chosen, the surest that is allowed."""
    typed = form.as_typed(request.POST)
    typed.setdefault("certainty", form(view, initial=typed).allowed.highest)
    return form(view, initial=typed)


def _said(form: FindingForm) -> dict:
    data = form.cleaned_data
    named = {name: data[name] for name in ("certainty", "sentence", "advice")}
    return named | form.evidence() | form.sending


def _proposed(request: HttpRequest, view: TicketView) -> dict:
    if cause := request.GET.get("cause", "")[:110]:
        return finding_proposal.of_cause(view, cause)
    if item := _named(request.GET.get("test", ""), view.tests):
        return finding_proposal.proposal(item)
    if item := _named(request.GET.get("swap", ""), view.swaps):
        return finding_proposal.of_swap(item)
    return {}


def _named(seq: str, items: list[EntryView]) -> EntryView | None:
    if not (seq.isascii() and seq.isdigit() and len(seq) < 10):
        return None
    return next((item for item in items if item.entry.seq == int(seq)), None)


@allowed("write_findings")
def change_finding(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """A later version of a finding."""
    ticket = ticket_for(request.user, number, to="write_findings")
    entry = entry_of(ticket, seq, "finding")
    view = TicketView(ticket, request.shop)
    if LOOK_AGAIN in request.POST:
        form = _looked_at_again(FindingChangeForm, view, request)
    else:
        form = FindingChangeForm(view, request.POST or None, initial=_initial(view, entry))

    def act() -> Entry:
        complaint = entry.data.get("complaint")
        kept = {"complaint": complaint} if complaint and "complaint" not in form.fields else {}
        return findings.add(
            ticket=ticket,
            by=request.user,
            view=view,
            facts=form.facts() | kept,
            corrects=entry,
            why=form.cleaned_data["why"],
            **_said(form),
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/finding_form.html",
        context={"view": view, "entry": entry},
    )


def _initial(view: TicketView, entry: Entry) -> dict:
    """What a finding says; it rests on what stands today for what it was made on."""
    item = next(one for one in view.entries if one.entry.pk == entry.pk)
    standing = [basis.evidence for basis in bases(view, item) if basis.evidence is not None]
    shows = about(item).shows
    skip = {"uid", "rests_on", "why"}
    return {k: v for k, v in entry.data.items() if k not in skip} | {
        "rests_on": [ticked(one) for one in standing],
        "fault_seen_in": [
            ticked(one) for one in standing if isinstance(one, Photo) and frame(one) in shows
        ],
    }


@allowed("write_findings")
def add_open_work(request: HttpRequest, number: int) -> HttpResponse:
    """Note work that stays open or was declined."""
    ticket = ticket_for(request.user, number, to="write_findings")
    form = OpenWorkForm(_still_on(ticket), request.POST or None)

    def act() -> Entry:
        return findings.add_open_work(
            ticket=ticket,
            by=request.user,
            **form.facts(),
            **form.sending,
        )

    return record(
        request, ticket=ticket, form=form, act=act, template="jobs/open_work_form.html", context={}
    )


def _still_on(ticket: Ticket) -> list[Alteration]:
    """What is altered on the car, from whichever visit."""
    return list(Alteration.objects.filter(car=ticket.car).still_on().order_by("entry"))


@allowed("write_findings")
def change_open_work(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """It is done by now, or declined, or was put wrongly."""
    ticket = ticket_for(request.user, number, to="write_findings")
    entry = entry_of(ticket, seq, "open_work")
    form = OpenWorkChangeForm(
        _still_on(ticket), request.POST or None, initial=entry.data | {"why": ""}
    )

    def act() -> Entry:
        return findings.add_open_work(
            ticket=ticket,
            by=request.user,
            corrects=entry,
            why=form.cleaned_data["why"],
            **form.facts(),
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/open_work_form.html",
        context={"entry": entry},
    )


@allowed("write_notes")
def withdraw(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Take an entry back, with the reason; it stays legible."""
    ticket = ticket_for(request.user, number, to="write_notes")
    entry = entry_of(ticket, seq)
    tickets.check_may_withdraw(entry=entry, by=request.user)
    form = WithdrawForm(request.POST or None)

    def act() -> Entry:
        return tickets.withdraw(
            entry=entry,
            why=form.cleaned_data["why"],
            by=request.user,
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/withdraw.html",
        context={"entry": entry},
    )
