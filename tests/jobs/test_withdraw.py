"""An entry that is taken back stays legible, and no longer counts."""

from __future__ import annotations

import pytest
from django.urls import reverse

from jobs.actions import swaps, tickets
from jobs.actions.photos import add_photos
from jobs.models import Entry, Photo, Swap
from tests.jobs.pictures import upload

pytestmark = pytest.mark.django_db

KEY = "9" * 32


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


def take_back(client, entry, **typed):
    where = reverse("entry-withdraw", args=[entry.ticket.number, entry.seq])
    return client.post(where, {"why": "another car's", "client_key": KEY} | typed)


@pytest.fixture
def note(ticket, owner) -> Entry:
    """A note on the wrong ticket."""
    return tickets.add_note(ticket=ticket, words="The belt squeals.", by=owner)


def test_it_no_longer_counts_and_stays_legible(as_technician, ticket, note):
    assert take_back(as_technician, note).status_code == 303
    assert not ticket.entries.current().filter(kind="note").exists()
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    assert "The belt squeals." in page
    assert "another car&#x27;s" in page


def test_without_a_reason_it_counts_on(as_technician, ticket, note):
    answer = take_back(as_technician, note, why=" ")
    assert answer.status_code == 422
    assert ticket.entries.current().filter(kind="note").exists()


def test_sent_twice_it_is_taken_back_once(as_technician, note):
    first, second = (take_back(as_technician, note) for _ in range(2))
    assert first.url == second.url
    assert Entry.objects.filter(kind="withdrawn").count() == 1


def test_taken_back_by_somebody_else_meanwhile_is_said(as_technician, note, owner):
    tickets.withdraw(entry=note, why="mistyped", by=owner)
    answer = take_back(as_technician, note)
    assert answer.status_code == 409
    assert f"Entry {note.seq} has been replaced by entry {note.seq + 1}" in text_of(answer)


def test_photos_are_taken_back_together(as_technician, ticket, owner):
    entry = add_photos(ticket=ticket, by=owner, uploads=[upload()], subject="leak")
    take_back(as_technician, entry)
    assert not Photo.objects.current().exists()
    where = reverse("photo", args=[ticket.number, f"{entry.seq}a"])
    assert "it no longer counts" in text_of(as_technician.get(where))


def test_the_counter_takes_its_own_kind_back(as_counter, note):
    assert take_back(as_counter, note).status_code == 303


def test_the_counter_takes_no_swap_back(as_counter, ticket, owner):
    entry = swaps.add(ticket=ticket, by=owner, reason="due")
    assert take_back(as_counter, entry).status_code == 403
    assert Swap.objects.current().exists()


def test_the_opening_of_a_ticket_stays(as_owner, ticket):
    opening = ticket.entries.get(seq=1)
    assert take_back(as_owner, opening).status_code == 404
