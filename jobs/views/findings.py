"""Findings, open work, and entries that are taken back."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from jobs.access import entry_of, ticket_for
from jobs.actions import findings, tickets
from jobs.finding_proposal import proposal
from jobs.forms.findings import (
    FindingChangeForm,
    FindingForm,
    OpenWorkChangeForm,
    OpenWorkForm,
    WithdrawForm,
)
from jobs.models import Alteration, Entry, Ticket
from jobs.ticket_view import TicketView
from jobs.views.recording import record
from shop.access import allowed


@allowed("write_findings")
def add_finding(request: HttpRequest, number: int) -> HttpResponse:
    """Make a finding; with `?test=` its pattern proposes sentence, certainty and advice."""
    ticket = ticket_for(request.user, number, to="write_findings")
    view = TicketView(ticket, request.shop)
    form = FindingForm(view, request.POST or None, initial=_proposed(request, view))

    def act() -> Entry:
        data = form.cleaned_data
        return findings.add(
            ticket=ticket,
            by=request.user,
            certainty=data["certainty"],
            sentence=data["sentence"],
            advice=data["advice"],
            rests_on=data["rests_on"],
            facts=_only_complaint(view) | form.facts(),
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/finding_form.html",
        context={"view": view},
    )


def _only_complaint(view: TicketView) -> dict[str, str]:
    """Where a ticket has one complaint, findings are about it without asking."""
    return {"complaint": view.complaints[0].data["uid"]} if len(view.complaints) == 1 else {}


def _proposed(request: HttpRequest, view: TicketView) -> dict:
    seq = request.GET.get("test", "")
    if not (seq.isascii() and seq.isdigit() and len(seq) < 10):
        return {}
    item = next((i for i in view.tests if i.entry.seq == int(seq)), None)
    return proposal(item) if item else {}


@allowed("write_findings")
def change_finding(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """A later version of a finding."""
    ticket = ticket_for(request.user, number, to="write_findings")
    entry = entry_of(ticket, seq, "finding")
    view = TicketView(ticket, request.shop)
    form = FindingChangeForm(view, request.POST or None, initial=_initial(view, entry))

    def act() -> Entry:
        data = form.cleaned_data
        complaint = entry.data.get("complaint")
        kept = {"complaint": complaint} if complaint and "complaint" not in form.fields else {}
        return findings.add(
            ticket=ticket,
            by=request.user,
            certainty=data["certainty"],
            sentence=data["sentence"],
            advice=data["advice"],
            rests_on=data["rests_on"],
            facts=kept | form.facts(),
            corrects=entry,
            why=data["why"],
            **form.sending,
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
    runs = {i.link.run.digest: f"run-{i.link.run_id}" for i in view.entries if i.link}
    photos = {(str(p.entry.uid), p.letter): f"photo-{p.pk}" for i in view.entries for p in i.photos}
    ticked = []
    for basis in entry.data.get("rests_on", []):
        if "run" in basis:
            ticked.append(runs.get(basis["run"]))
        elif "photo" in basis:
            ticked.append(photos.get(tuple(basis["photo"])))
        else:
            ticked.append(f"swap-{basis['swap']}")
    skip = {"uid", "rests_on", "why"}
    return {k: v for k, v in entry.data.items() if k not in skip} | {
        "rests_on": [value for value in ticked if value]
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
