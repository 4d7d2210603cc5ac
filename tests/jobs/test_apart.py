"""What is apart is ticked back with one tap, or stays as an alteration the customer knows of."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from jobs.actions import apart
from jobs.models import Alteration, Entry

pytestmark = pytest.mark.django_db


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


@pytest.fixture
def fuse(ticket, owner):
    """A fuse that was pulled."""
    return apart.take_apart(ticket=ticket, what="Fuse 12 pulled", by=owner).apart


def page(ticket) -> str:
    return reverse("apart", args=[ticket.number])


def back(ticket, item) -> str:
    return reverse("apart-back", args=[ticket.number, item.uid])


def test_one_thing_more_is_noted(as_technician, ticket):
    answer = as_technician.post(page(ticket), {"what": "Coil 3 unplugged"})
    assert answer.status_code == 303
    assert [item.what for item in ticket.aparts.still()] == ["Coil 3 unplugged"]


def test_nothing_typed_is_said(as_technician, ticket, fuse):
    answer = as_technician.post(page(ticket), {"what": "  "})
    assert answer.status_code == 422
    assert "Fuse 12 pulled" in text_of(answer)


def test_one_tap_ticks_it_back(as_technician, ticket, fuse):
    shown = text_of(as_technician.get(page(ticket)))
    key = re.search(r'name="client_key" value="([0-9a-f]{32})"', shown).group(1)
    for _tap in range(2):
        answer = as_technician.post(back(ticket, fuse), {"client_key": key})
        assert answer.status_code == 303
    assert Entry.objects.filter(kind="ticked_back").count() == 1
    assert "Nothing is apart" in text_of(as_technician.get(page(ticket)))


def test_ticked_back_meanwhile_by_somebody_else_is_said(as_technician, ticket, fuse, owner):
    apart.tick_back(ticket=ticket, apart=fuse, by=owner)
    answer = as_technician.post(back(ticket, fuse), {"note": "checked twice"})
    assert answer.status_code == 422
    assert "Ticked back already: Fuse 12 pulled." in text_of(answer)
    assert 'value="checked twice"' in text_of(answer)


def test_it_stays_as_an_alteration_once_the_customer_knows(as_technician, ticket, fuse):
    where = f"{reverse('alteration-add', args=[ticket.number])}?apart={fuse.uid}"
    typed = {"what": "Fuse 12 left out", "found_so": "no", "why_left": "It shorts."}
    refused = as_technician.post(where, typed)
    assert refused.status_code == 422
    assert "Tell the customer first" in text_of(refused)
    assert "It shorts." in text_of(refused)
    assert as_technician.post(where, typed | {"customer_told": "on"}).status_code == 303
    assert not ticket.aparts.still().exists()
    assert Alteration.objects.still_on().get().what == "Fuse 12 left out"


def test_the_counter_ticks_nothing_back(as_counter, ticket, fuse):
    assert as_counter.post(back(ticket, fuse)).status_code == 403
    assert as_counter.get(page(ticket)).status_code == 403


def test_a_thing_of_another_ticket_is_not_found(as_technician, ticket, fuse, van, customer, owner):
    from jobs.actions.tickets import open_ticket

    other = open_ticket(car=van, customer=customer, by=owner)
    assert as_technician.post(back(other, fuse)).status_code == 404


@pytest.mark.parametrize("named", ["x", "00000000-0000-0000-0000-000000000000", ""])
def test_a_thing_that_is_none_is_an_alteration_by_itself(as_technician, ticket, named):
    where = f"{reverse('alteration-add', args=[ticket.number])}?apart={named}"
    assert as_technician.get(where).status_code == 200
