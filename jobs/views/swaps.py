"""Swaps, things apart, and alterations."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from jobs import words
from jobs.access import entry_of, ticket_for
from jobs.actions import alterations, apart, photos, swaps
from jobs.forms.alterations import AlterationForm, ApartForm, PutBackForm, TickBackForm
from jobs.forms.swaps import ElsewhereChangeForm, ElsewhereForm, SwapChangeForm, SwapForm
from jobs.models import Alteration, Apart, Entry, Ticket
from jobs.ticket_view import TicketView
from jobs.views.recording import record
from shop.access import allowed

REPORTED = "customer_asks"
"""Reason of a part fitted elsewhere: none is known; it is never shown."""


@allowed("record_swaps")
def add_swap(request: HttpRequest, number: int) -> HttpResponse:
    """Record a swap at the car; with `?test=` that test pointed to it."""
    ticket = ticket_for(request.user, number, to="record_swaps")
    view = TicketView(ticket, request.shop)
    form = SwapForm(
        view, request.POST or None, request.FILES or None, initial=_pointed(request, view)
    )

    def act() -> Entry:
        data = form.cleaned_data
        entry = swaps.add(
            ticket=ticket,
            by=request.user,
            reason=data["reason"],
            facts=form.facts(),
            pointed=data["pointed"],
            before=data["before"],
            after=data["after"],
            leaves_apart=form.things_apart(),
            **form.sending,
        )
        _photograph(request, entry, form)
        return entry

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/swap_form.html",
        context={"view": view},
    )


def _pointed(request: HttpRequest, view: TicketView) -> dict:
    seq = request.GET.get("test", "")
    item = next((i for i in view.tests if str(i.entry.seq) == seq), None)
    if item is None:
        return {}
    chosen = [f"run-{item.link.run_id}"]
    return {"reason": "pointed_to", "pointed": chosen, "before": chosen}


def _photograph(request: HttpRequest, entry: Entry, form: SwapForm) -> None:
    """Add the form's photos. The swap is saved by now, and stays so whatever a photo holds."""
    refused = photos.add_each(
        ticket=entry.ticket,
        by=request.user,
        photos=form.photos(),
        **form.sending,
        swap_uid=entry.swap.uid,
    )
    for subject, why in refused:
        messages.warning(
            request,
            _("The photo “%(subject)s” was not taken: %(why)s The swap is saved.")
            % {"subject": words.photo_words(subject), "why": why},
        )


@allowed("record_swaps")
def change_swap(request: HttpRequest, number: int, seq: int) -> HttpResponse:
    """Complete a swap at the desk, add the tests after it, or correct it."""
    ticket = ticket_for(request.user, number, to="record_swaps")
    entry = entry_of(ticket, seq, "swap")
    if not entry.data.get("ours", True):
        return _change_elsewhere(request, ticket, entry)
    view = TicketView(ticket, request.shop)
    form = SwapChangeForm(
        view, entry, request.POST or None, request.FILES or None, initial=_initial(view, entry)
    )

    def act() -> Entry:
        data = form.cleaned_data
        changed = swaps.change(
            entry=entry,
            by=request.user,
            why=data["why"] or "completed",
            reason=data["reason"],
            facts=form.facts(),
            pointed=data["pointed"],
            before=data["before"],
            after=data["after"],
            **form.sending,
        )
        _photograph(request, changed, form)
        return changed

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/swap_form.html",
        context={"view": view, "entry": entry},
    )


def _initial(view: TicketView, entry: Entry) -> dict:
    ids = {i.link.run.digest: f"run-{i.link.run_id}" for i in view.entries if i.link}
    data = entry.data
    initial = {k: v for k, v in data.items() if k not in {"runs", "uid", "why"}}
    for role, digests in data.get("runs", {}).items():
        initial[role] = [ids[digest] for digest in digests if digest in ids]
    if "agreed" in initial:
        initial["agreed"] = "yes" if initial["agreed"] else "no"
    item = view.swap_of(data["uid"])
    if item and item.proof and not item.proof.overruled:
        initial["outcome"] = item.swap_outcome
    return initial


@allowed("record_swaps")
def add_elsewhere(request: HttpRequest, number: int) -> HttpResponse:
    """Note a part that the customer reports was fitted by somebody else."""
    ticket = ticket_for(request.user, number, to="record_swaps")
    form = ElsewhereForm(ticket.car, request.POST or None)

    def act() -> Entry:
        return swaps.add(
            ticket=ticket,
            by=request.user,
            reason=REPORTED,
            facts=form.facts(),
            **form.sending,
        )

    return record(
        request, ticket=ticket, form=form, act=act, template="jobs/elsewhere_form.html", context={}
    )


def _change_elsewhere(request: HttpRequest, ticket: Ticket, entry: Entry) -> HttpResponse:
    form = ElsewhereChangeForm(ticket.car, request.POST or None, initial=entry.data | {"why": ""})

    def act() -> Entry:
        data = form.cleaned_data
        return swaps.change(
            entry=entry,
            by=request.user,
            why=data["why"],
            facts=form.facts(),
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/elsewhere_form.html",
        context={"entry": entry},
    )


@allowed("record_apart")
def list_apart(request: HttpRequest, number: int) -> HttpResponse:
    """What is apart just now; note one thing more."""
    ticket = ticket_for(request.user, number, to="record_apart")
    view = TicketView(ticket, request.shop)
    form = ApartForm(request.POST or None)

    def act() -> Entry:
        data = form.cleaned_data
        return apart.take_apart(ticket=ticket, what=data["what"], by=request.user, **form.sending)

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/apart.html",
        context={"items": [(item, TickBackForm()) for item in view.apart]},
    )


@allowed("record_apart")
def tick_back(request: HttpRequest, number: int, uid: UUID) -> HttpResponse:
    """Tick one thing back."""
    ticket = ticket_for(request.user, number, to="record_apart")
    item = Apart.objects.filter(ticket=ticket, uid=uid).current().first()
    if item is None:
        raise Http404
    form = TickBackForm(request.POST or None)

    def act() -> Entry:
        data = form.cleaned_data
        return apart.tick_back(
            ticket=ticket,
            apart=item,
            by=request.user,
            note=data["note"],
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/tick_back.html",
        context={"item": item},
    )


@allowed("record_alterations")
def add_alteration(request: HttpRequest, number: int) -> HttpResponse:
    """Record an alteration; with `?apart=` it ends that item."""
    ticket = ticket_for(request.user, number, to="record_alterations")
    item = _apart_named(request, ticket)
    named = {"what": item.what, "found_so": "no"} if item else {}
    form = AlterationForm(request.POST or None, initial=named)

    def act() -> Entry:
        data = form.cleaned_data
        return alterations.add(
            ticket=ticket,
            what=data["what"],
            by=request.user,
            facts=form.facts(),
            from_apart=item,
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/alteration_form.html",
        context={"item": item},
    )


def _apart_named(request: HttpRequest, ticket) -> Apart | None:
    named = request.GET.get("apart", "")
    try:
        uid = UUID(named)
    except ValueError:
        return None
    return Apart.objects.filter(ticket=ticket, uid=uid).still().first()


@allowed("record_alterations")
def put_back(request: HttpRequest, number: int, uid: UUID) -> HttpResponse:
    """Say that an alteration is off the car."""
    ticket = ticket_for(request.user, number, to="record_alterations")
    query = Alteration.objects.filter(car=ticket.car, uid=uid).current()
    item = get_object_or_404(query)
    form = PutBackForm(request.POST or None)

    def act() -> Entry:
        data = form.cleaned_data
        return alterations.put_back(
            ticket=ticket,
            alteration=item,
            by=request.user,
            how_done=data["how"],
            **form.sending,
        )

    return record(
        request,
        ticket=ticket,
        form=form,
        act=act,
        template="jobs/put_back.html",
        context={"item": item},
    )
