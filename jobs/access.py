"""Tickets and their parts are fetched through the person, or not at all."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404

from jobs.models import Entry, Photo, Ticket
from shop.access import LARGEST_NUMBER, NotAllowed
from shop.models import Person


def ticket_for(person: Person, number: int, *, to: str = "see_tickets") -> Ticket:
    """The ticket with this number, for somebody who has the capability; 404 or 403 else."""
    if not person.can(to):
        raise NotAllowed(to)
    if number > LARGEST_NUMBER:
        raise Http404
    return get_object_or_404(Ticket.objects.with_car(), number=number)


def entry_of(ticket: Ticket, seq: int, kind: str = "") -> Entry:
    """One entry of this ticket; one of another ticket is not found."""
    if seq > LARGEST_NUMBER:
        raise Http404
    entries = ticket.entries.select_related("payload", "by")
    return get_object_or_404(entries, seq=seq, **({"kind": kind} if kind else {}))


def photo_of(ticket: Ticket, frame: str) -> Photo:
    """One photo of this ticket by its frame number, as in 11a."""
    digits = frame.rstrip("abcdefghijklmnopqrstuvwxyz")
    if not digits.isascii() or not digits.isdigit() or len(digits) > 9:
        raise Http404
    return get_object_or_404(
        Photo.objects.select_related("entry", "blob", "choice"),
        ticket=ticket,
        entry__seq=int(digits),
        letter=frame[len(digits) :],
    )
