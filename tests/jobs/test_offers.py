"""Which tests are offered: the usual ones for the complaint first, each with what it costs."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs import words
from jobs.actions import tickets
from jobs.likely_tests import FIRST, LIKELY, likely_for
from jobs.offers import cold_first, offers
from measurements.procedures import PROCEDURES
from tests.jobs.pictures import strap_test

pytestmark = pytest.mark.django_db


def test_every_family_that_a_test_can_speak_to_has_its_usual_tests():
    assert set(LIKELY) == {word.code for word in words.complaint.FAMILY} - {"other"}


def test_usual_tests_exist():
    assert {name for names in LIKELY.values() for name in names} <= set(PROCEDURES)


def test_two_complaints_take_turns():
    names = [name for name in likely_for(["uses_oil", "pulls"]) if name not in FIRST]
    assert names[:4] == ["oil_level", "tyres", "spark_plugs", "brake_drag"]


def test_a_test_that_is_usual_for_both_stands_once():
    names = likely_for(["uses_oil", "runs_rough"])
    assert len(names) == len(set(names))


def test_the_page_puts_them_before_all_others(client, owner, ticket):
    tickets.add_complaint(ticket=ticket, words="It boils.", family="overheats", by=owner)
    client.force_login(owner)
    page = client.get(reverse("test-choose", args=[ticket.number])).content.decode()
    assert page.index("Usual for this complaint") < page.index('<h2 id="g1"')


def test_a_test_that_was_made_is_no_longer_among_the_usual_ones(owner, ticket):
    tickets.add_complaint(ticket=ticket, words="Slow.", family="starts_badly", by=owner)
    drop = PROCEDURES["voltage_drop"].title
    assert drop in {offer.title for offer in offers(ticket, owner).likely}
    strap_test(ticket, owner)
    assert drop not in {offer.title for offer in offers(ticket, owner).likely}


def test_without_a_complaint_nothing_is_called_usual(client, owner, van, customer):
    ticket = tickets.open_ticket(car=van, customer=customer, by=owner, facts={})
    client.force_login(owner)
    page = client.get(reverse("test-choose", args=[ticket.number])).content.decode()
    assert "Usual for this complaint" not in page


def warnings_of(ticket, person, title):
    found = [o for group in offers(ticket, person).groups for o in group["offers"]]
    return " ".join(next(offer for offer in found if offer.title == title).warnings)


def test_only_what_the_complaint_needs_can_be_spoilt(owner, ticket):
    spoiler = PROCEDURES["trouble_codes"]
    assert {"battery_at_rest", "parasitic_draw"} <= set(spoiler.spoils)
    said = warnings_of(ticket, owner, spoiler.title)
    assert PROCEDURES["battery_at_rest"].title in said
    assert PROCEDURES["parasitic_draw"].title not in said


def test_a_test_that_another_needs_is_named_with_its_minutes(owner, ticket):
    needing = next(p for p in PROCEDURES.values() if p.needs_before and not p.not_for)
    first = PROCEDURES[needing.needs_before[0]]
    assert f"{first.title} ({first.effort.minutes} min)" in warnings_of(
        ticket, owner, needing.title
    )


def test_cold_tests_stand_before_hot_ones_and_the_rest_keeps_its_order():
    states = [procedure.effort.state for procedure in cold_first(PROCEDURES.values())]
    first_warm = next(n for n, state in enumerate(states) if state in ("hot", "driving"))
    assert "cold" in states[:first_warm]
    assert "cold" not in states[first_warm:]
    others = [p for p in PROCEDURES.values() if p.effort.state != "cold"]
    assert [p for p in cold_first(PROCEDURES.values()) if p.effort.state != "cold"] == others


def test_a_cold_test_says_that_the_engine_was_hot_just_now(owner, ticket):
    cold = next(p for p in PROCEDURES.values() if p.effort.state == "cold" and not p.not_for)
    assert "was hot at" not in warnings_of(ticket, owner, cold.title)
    strap_test(ticket, owner, state_of_car="hot")
    assert "was hot at" in warnings_of(ticket, owner, cold.title)


def test_after_a_night_it_is_cold_again(owner, ticket):
    cold = next(p for p in PROCEDURES.values() if p.effort.state == "cold" and not p.not_for)
    strap_test(ticket, owner, state_of_car="hot", measured_at=timezone.now() - timedelta(hours=12))
    assert "was hot at" not in warnings_of(ticket, owner, cold.title)
