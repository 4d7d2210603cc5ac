"""A ticket is opened, its facts are added, and it moves from state to state."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from jobs.models import Apart, Entry, Ticket
from jobs.record.append import EntryRefused, already, append, one_writer
from shop.models import Car, Customer, Person, Profile, Series


class MoveRefused(EntryRefused):
    """A state that the ticket can't go to just now: says why and what to do."""


MOVES = {
    "booked": {"in_the_bay", "handed_back"},
    "in_the_bay": {"waiting", "on_trial", "ready"},
    "waiting": {"in_the_bay", "on_trial", "ready"},
    "on_trial": {"in_the_bay", "waiting", "ready", "handed_back"},
    "ready": {"in_the_bay", "waiting", "on_trial", "handed_back"},
    "handed_back": {"in_the_bay"},
}


@transaction.atomic
def open_ticket(
    *,
    car: Car,
    customer: Customer,
    by: Person,
    state: str = "in_the_bay",
    comeback_of: Ticket | None = None,
    facts: dict[str, Any] | None = None,
    at: datetime | None = None,
    device_at: datetime | None = None,
    client_key: str | None = None,
) -> Ticket:
    """Open a ticket. `facts` are those of `ticket_changed`; all of them may come later."""
    if earlier := already(client_key):
        return earlier.ticket
    now = at or timezone.now()
    profile = Profile.current()
    number = Series.take("ticket")
    ticket = Ticket.objects.create(
        uid=uuid.uuid4(),
        number=number,
        car=car,
        customer=customer,
        state=state,
        state_since=now,
        opened_at=now,
        currency=profile.currency,
    )
    data = {
        "number": number,
        "car": str(car.uid),
        "customer": str(customer.uid),
        "state": state,
        "currency": profile.currency,
    }
    if comeback_of:
        data["comeback_of"] = str(comeback_of.uid)
    append(
        ticket=ticket,
        kind="ticket_opened",
        data=data | (facts or {}),
        by=by,
        at=now,
        device_at=device_at,
        client_key=client_key,
    )
    return ticket


def change(*, ticket: Ticket, by: Person, facts: dict[str, Any], **how: Any) -> Entry:
    """Add or change facts of the visit: each is an entry, the earlier value stays in the record."""
    return append(ticket=ticket, kind="ticket_changed", data=facts, by=by, **how)


@transaction.atomic
def move(
    *,
    ticket: Ticket,
    to: str,
    by: Person,
    waits_for: str = "",
    note: str = "",
    odometer_out: int | None = None,
    odometer_why: str = "",
    **how: Any,
) -> Entry:
    """Move the ticket to another state; not `ready` or `handed_back` while anything is apart.

    Decided by what stands when it is written, whatever the page showed.
    """
    one_writer()
    if earlier := already(how.get("client_key")):
        return earlier
    ticket.refresh_from_db(fields=["state", "waits_for"])
    if to == ticket.state and waits_for == ticket.waits_for:
        raise MoveRefused("The ticket is in this state already.")
    if to != ticket.state and to not in MOVES[ticket.state]:
        raise MoveRefused("From its present state the ticket can't go there in one step.")
    if to == "waiting" and not waits_for:
        raise MoveRefused("Say what it waits for.")
    if to in {"ready", "handed_back"}:
        _nothing_apart(ticket)
    data: dict[str, Any] = {"state": to, "from_state": ticket.state}
    if to == "waiting":
        data["waits_for"] = waits_for
    if note:
        data["note"] = note
    if odometer_out is not None:
        data["odometer_out"] = odometer_out
    if odometer_why:
        data["odometer_why"] = odometer_why
    return append(ticket=ticket, kind="state", data=data, by=by, **how)


def _nothing_apart(ticket: Ticket) -> None:
    still = list(Apart.objects.filter(ticket=ticket).still().values_list("what", flat=True))
    if still:
        raise MoveRefused(
            "Still apart: {what}. Tick each back, or make it an alteration that the customer "
            "has been told of.".format(what="; ".join(still))
        )


def odometer_before(car: Car, *, but: Ticket | None = None) -> tuple[int, str] | None:
    """The highest odometer reading known of a car, with its unit, from its other tickets."""
    tickets = Ticket.objects.filter(car=car).exclude(pk=but.pk if but else None)
    readings = [
        (value, unit)
        for into, out, unit in tickets.values_list("odometer_in", "odometer_out", "odometer_unit")
        for value in (into, out)
        if value is not None
    ]
    in_km = {"km": 1.0, "mi": 1.609344}
    return max(readings, key=lambda r: r[0] * in_km[r[1]], default=None)


def add_complaint(
    *,
    ticket: Ticket,
    words: str,
    by: Person,
    family: str = "",
    conditions: dict[str, Any] | None = None,
    red_flags: Sequence[str] = (),
    corrects: Entry | None = None,
    why: str = "",
    **how: Any,
) -> Entry:
    """Write down what the customer reports, in their words; `why` where it corrects an entry."""
    thing = str(corrects.complaint.uid) if corrects else str(uuid.uuid4())
    data = {"uid": thing, "words": words, "family": family, "conditions": conditions or {}}
    if red_flags:
        data["red_flags"] = list(red_flags)
    if why:
        data["why"] = why
    return append(ticket=ticket, kind="complaint", data=data, by=by, replaces=corrects, **how)


def add_wish(*, ticket: Ticket, words: str, by: Person, **how: Any) -> Entry:
    """Write down work that the customer asks for."""
    data = {"uid": str(uuid.uuid4()), "words": words}
    return append(ticket=ticket, kind="wish", data=data, by=by, **how)


def add_note(*, ticket: Ticket, words: str, by: Person, **how: Any) -> Entry:
    """Write down anything worth keeping."""
    return append(ticket=ticket, kind="note", data={"words": words}, by=by, **how)


def add_looked_up(*, ticket: Ticket, facts: Mapping[str, Any], by: Person, **how: Any) -> Entry:
    """Write down what was looked up about the model: what, with which result, cited."""
    return append(ticket=ticket, kind="looked_up", data=dict(facts), by=by, **how)


def withdraw(*, entry: Entry, why: str, by: Person, **how: Any) -> Entry:
    """Take an entry back: it stays legible and no longer counts."""
    if not why.strip():
        raise EntryRefused("Say why the entry is taken back.")
    return append(
        ticket=entry.ticket,
        kind="withdrawn",
        data={"why": why.strip()},
        by=by,
        replaces=entry,
        **how,
    )


CAPABILITY_OF_KIND = {
    "test": "record_tests",
    "swap": "record_swaps",
    "apart": "record_apart",
    "ticked_back": "record_apart",
    "alteration": "record_alterations",
    "put_back": "record_alterations",
    "finding": "write_findings",
    "open_work": "write_findings",
    "opinion": "write_findings",
    "judgement": "write_findings",
    "not_appeared": "write_findings",
    "drives": "write_notes",
    "photos": "add_photos",
    "complaint": "record_complaints",
    "wish": "record_complaints",
    "ticket_changed": "change_tickets",
    "note": "write_notes",
    "looked_up": "write_notes",
}


def check_may_withdraw(*, entry: Entry, by: Person) -> None:
    """Whoever may write a kind of entry may take one back; openings and reports stay."""
    from django.http import Http404

    from shop.access import NotAllowed

    capability = CAPABILITY_OF_KIND.get(entry.kind)
    if capability is None:
        raise Http404
    if not by.can(capability):
        raise NotAllowed(capability)
