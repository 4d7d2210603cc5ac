"""Which tickets are counted, and how often."""

from __future__ import annotations

import pytest

from jobs import outcomes
from jobs.actions import tickets
from jobs.outcomes import outcomes_of
from jobs.suspects.knowledge import tables
from tests.jobs.similar.past import a_car, found, past_ticket

FAMILY = "starts_badly"
BATTERY, GROUND = f"{FAMILY}.weak_battery", f"{FAMILY}.poor_ground"

pytestmark = pytest.mark.django_db


def counted():
    return outcomes_of(tables()[FAMILY])


def test_a_confirmed_cause_of_a_car_handed_back_counts(van, customer, owner):
    past_ticket(van, customer, owner, cause=BATTERY)
    told = counted()
    assert (told.counts, told.tickets) == ({"weak_battery": 1}, 1)


@pytest.mark.parametrize("certainty", ["probable", "suspected", "ruled_out"])
def test_what_is_not_confirmed_counts_for_nothing(van, customer, owner, certainty):
    past_ticket(van, customer, owner, cause=BATTERY, certainty=certainty)
    assert counted().tickets == 0


def test_a_car_that_is_still_here_counts_for_nothing(van, customer, owner):
    past_ticket(van, customer, owner, cause=BATTERY, over=False)
    assert counted().tickets == 0


def test_a_finding_taken_back_counts_for_nothing(van, customer, owner):
    ticket = past_ticket(van, customer, owner, cause=BATTERY)
    entry = ticket.entries.get(kind="finding")
    tickets.withdraw(entry=entry, why="It was the strap.", by=owner)
    assert counted().tickets == 0


def test_a_corrected_finding_counts_as_it_says_now(van, customer, owner):
    ticket = past_ticket(van, customer, owner, cause=BATTERY)
    found(ticket, owner, GROUND, corrects=ticket.entries.get(kind="finding"), why="Looked again.")
    assert counted().counts == {"poor_ground": 1}


def test_two_findings_of_one_cause_on_a_ticket_count_once(van, customer, owner):
    ticket = past_ticket(van, customer, owner, cause=BATTERY)
    found(ticket, owner, BATTERY)
    assert counted().counts == {"weak_battery": 1}


def test_two_causes_on_a_ticket_count_once_each(van, customer, owner):
    ticket = past_ticket(van, customer, owner, cause=BATTERY)
    found(ticket, owner, GROUND)
    told = counted()
    assert (told.counts, told.tickets) == ({"weak_battery": 1, "poor_ground": 1}, 1)


def test_another_family_counts_for_nothing(van, customer, owner):
    past_ticket(van, customer, owner, cause="wont_crank.weak_battery")
    assert counted().tickets == 0


def test_a_cause_that_the_table_lost_is_told_and_counts_for_none(van, customer, owner):
    past_ticket(van, customer, owner, cause=f"{FAMILY}.gremlins")
    told = counted()
    assert (told.tickets, told.gone) == (0, 1)


def test_a_comeback_is_told(van, customer, owner):
    ticket = past_ticket(van, customer, owner, cause=BATTERY)
    tickets.open_ticket(car=van, customer=customer, by=owner, comeback_of=ticket)
    assert counted().came_back == 1


def test_only_the_latest_tickets_are_counted(van, customer, owner, monkeypatch):
    monkeypatch.setattr(outcomes, "LATEST", 2)
    past_ticket(van, customer, owner, cause=GROUND)
    for number in range(2):
        past_ticket(a_car(owner, f"QX 8{number} ZZ"), customer, owner, cause=BATTERY)
    assert counted().counts == {"weak_battery": 2}


def test_counting_takes_one_query(van, customer, owner, django_assert_num_queries):
    for number in range(3):
        past_ticket(a_car(owner, f"QX 8{number} ZZ"), customer, owner, cause=BATTERY)
    with django_assert_num_queries(1):
        counted()
