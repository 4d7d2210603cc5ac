"""What a report prints of a swap's standing, in the customer's words."""

from __future__ import annotations

import json
import re

import pytest

from jobs.actions import drives, swaps
from jobs.models import Ticket
from jobs.report.content import content_of
from tests.jobs.proof.made import comes_and_goes, renewed, strap
from tests.jobs.test_words import NOT_FOR_CUSTOMERS

pytestmark = pytest.mark.django_db

STRAP = {"part_out": "Braided strap", "part_in": "Ground strap"}


def parts(ticket, shop, owner) -> list[dict]:
    fresh = Ticket.objects.with_car().get(pk=ticket.pk)
    return json.loads(json.dumps(content_of(fresh, shop, by=owner)))["swaps"]


def page(client, ticket) -> str:
    return " ".join(client.get(f"{ticket.get_absolute_url()}report/").content.decode().split())


@pytest.fixture
def swap(ticket, owner):
    """The strap changed since a test pointed to it."""
    run = strap(ticket, owner).run_link.run
    return swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)


def test_a_part_that_did_not_cure_is_told_plainly(as_owner, ticket, owner, shop, swap):
    strap(ticket, owner)
    said = "The test pointed to this part. Changing it did not cure the complaint."
    (part,) = parts(ticket, shop, owner)
    assert part["standing"] == said
    assert said in page(as_owner, ticket)


def test_a_part_that_cured_is_told_of_the_repeat_and_no_more(as_owner, ticket, owner, shop, swap):
    renewed(ticket, owner)
    (part,) = parts(ticket, shop, owner)
    assert part["outcome"] == "Not present in the repeat of the test"
    assert "not present in the repeat of the test" in part["standing"]


def test_a_fault_that_comes_and_goes_is_told_with_its_drives(as_owner, ticket, owner, shop, swap):
    comes_and_goes(ticket, owner)
    renewed(ticket, owner)
    drives.add(ticket=ticket, swap=swap.swap, drives=3, came_back=False, by=owner)
    (part,) = parts(ticket, shop, owner)
    assert part["outcome"] == "It has not come back so far"
    assert "3 drives without it so far." in page(as_owner, ticket)


def test_a_part_that_needed_no_test_has_no_standing_in_it(as_owner, ticket, owner, shop):
    swaps.add(ticket=ticket, by=owner, reason="due", facts={"part_in": "Oil filter"})
    (part,) = parts(ticket, shop, owner)
    assert (part["standing"], part["outcome"]) == ("", "")
    assert "not measured again" not in page(as_owner, ticket)


def test_what_others_fitted_has_no_standing_anywhere(as_owner, ticket, owner, shop):
    facts = {"ours": False, "part_in": "a battery", "done_on": "2026-03-05"}
    swaps.add(ticket=ticket, by=owner, reason="customer_asks", facts=facts)
    assert parts(ticket, shop, owner) == []
    told = page(as_owner, ticket)
    assert "a battery was fitted elsewhere on 5 March 2026; we have seen no test records" in told
    assert "No test pointed to this part" not in told


def test_why_somebody_stated_it_otherwise_is_printed(as_owner, ticket, owner, shop):
    run = strap(ticket, owner).run_link.run
    facts = STRAP | {"outcome": "not_present", "outcome_why": "Seen to start ten times, hot"}
    swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=facts)
    strap(ticket, owner, fault_present="unknown", state_of_car="cold")
    told = page(as_owner, ticket)
    assert "Why it is stated otherwise: Seen to start ten times, hot." in told


def test_no_misread_word_and_no_money_stands_with_a_standing(ticket, owner, shop, swap):
    comes_and_goes(ticket, owner)
    renewed(ticket, owner, state_of_car="cold")
    drives.add(ticket=ticket, swap=swap.swap, drives=3, came_back=False, by=owner)
    (part,) = parts(ticket, shop, owner)
    for text in (part["standing"], part["outcome"], part["outcome_meaning"], *part["why"]):
        assert text
        assert not NOT_FOR_CUSTOMERS.search(text)
        assert not re.search(r"[€$£]", text)


def test_that_no_test_pointed_to_it_is_said_once(as_owner, ticket, owner):
    facts = {"part_in": "Starter motor"}
    swaps.add(ticket=ticket, by=owner, reason="none_of_these", facts=facts)
    assert page(as_owner, ticket).count("o test pointed to") == 1
