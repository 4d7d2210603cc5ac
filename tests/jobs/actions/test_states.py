"""A ticket moves in steps that make sense, and never leaves with something apart."""

import pytest

from jobs.actions import alterations, apart, tickets
from jobs.actions.tickets import MoveRefused
from jobs.models import Alteration, Apart

pytestmark = pytest.mark.django_db


def test_waiting_says_for_what(ticket, owner):
    with pytest.raises(MoveRefused, match="what it waits for"):
        tickets.move(ticket=ticket, to="waiting", by=owner)


def test_a_step_that_skips_the_shop_is_refused(ticket, owner):
    with pytest.raises(MoveRefused, match="one step"):
        tickets.move(ticket=ticket, to="booked", by=owner)


def test_not_ready_while_something_is_apart(ticket, owner):
    apart.take_apart(ticket=ticket, what="Fuse 12 pulled", by=owner)
    with pytest.raises(MoveRefused, match="Fuse 12 pulled"):
        tickets.move(ticket=ticket, to="ready", by=owner)


def test_ready_once_everything_is_ticked_back(ticket, owner):
    entry = apart.take_apart(ticket=ticket, what="Fuse 12 pulled", by=owner)
    apart.tick_back(ticket=ticket, apart=entry.apart, by=owner)
    tickets.move(ticket=ticket, to="ready", by=owner)
    ticket.refresh_from_db()
    assert ticket.state == "ready"


def test_ticking_back_twice_is_refused(ticket, owner):
    entry = apart.take_apart(ticket=ticket, what="Fuse 12 pulled", by=owner)
    apart.tick_back(ticket=ticket, apart=entry.apart, by=owner)
    with pytest.raises(apart.NotApart, match="already"):
        apart.tick_back(ticket=ticket, apart=entry.apart, by=owner)


def test_a_thing_left_apart_becomes_an_alteration_only_when_the_customer_knows(ticket, owner):
    entry = apart.take_apart(ticket=ticket, what="Fan wired to run", by=owner)
    with pytest.raises(alterations.NotToldYet):
        alterations.add(ticket=ticket, what="Fan wired to run", by=owner, from_apart=entry.apart)
    assert Apart.objects.filter(ticket=ticket).still().count() == 1


def test_an_alteration_ends_the_thing_apart_and_stays_on_the_car(ticket, owner):
    entry = apart.take_apart(ticket=ticket, what="Fan wired to run", by=owner)
    alterations.add(
        ticket=ticket,
        what="Fan wired to run",
        by=owner,
        from_apart=entry.apart,
        facts={"customer_told": True},
    )
    assert not Apart.objects.filter(ticket=ticket).still().exists()
    assert Alteration.objects.filter(car=ticket.car).still_on().count() == 1


def test_an_alteration_is_put_back_on_a_later_visit(ticket, van, customer, owner):
    entry = alterations.add(ticket=ticket, what="Second cable", by=owner)
    later = tickets.open_ticket(car=van, customer=customer, by=owner)
    alterations.put_back(ticket=later, alteration=entry.alteration, by=owner)
    assert not Alteration.objects.filter(car=van).still_on().exists()


def test_a_handed_back_car_that_returns_keeps_its_ticket_open_again(ticket, owner):
    tickets.move(ticket=ticket, to="ready", by=owner)
    tickets.move(ticket=ticket, to="handed_back", by=owner, odometer_out=148_251)
    tickets.move(ticket=ticket, to="in_the_bay", by=owner)
    ticket.refresh_from_db()
    assert (ticket.is_open, ticket.handed_back_at, ticket.odometer_out) == (True, None, 148_251)
