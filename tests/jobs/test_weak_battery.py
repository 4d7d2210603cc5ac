"""A weak battery flags what was measured on it, whichever of the two was tested first."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.actions import runs
from jobs.models import Entry, Ticket
from measurements.actions.runs import read
from shop.models import Person
from tests.measurements.readings_files import Case

pytestmark = pytest.mark.django_db

WEAK = "weak_battery"


@pytest.fixture
def test(ticket: Ticket, owner: Person):
    """Records a readings file as a test of the ticket, so many minutes ago."""

    def made(procedure: str, name: str, minutes_ago: int = 0) -> Entry:
        return runs.record_test(
            ticket=ticket,
            procedure=procedure,
            typed=Case(procedure, name).data["typed"],
            by=owner,
            fault_present="yes",
            measured_at=timezone.now() - timedelta(minutes=minutes_ago),
        )

    return made


def confounders(entry: Entry) -> tuple[str, ...]:
    return read(entry.run_link.run).assessment.confounders


def page_of(client, entry: Entry) -> str:
    answer = client.get(reverse("test", args=[entry.ticket.number, entry.seq]))
    return " ".join(answer.content.decode().split())


def test_charging_measured_on_a_half_full_battery_proves_less(test) -> None:
    test("battery_at_rest", "half_full", 20)
    assert WEAK in confounders(test("charging", "holds_under_load"))


def test_its_sentence_says_what_was_found_of_the_battery(test) -> None:
    test("battery_at_rest", "half_full", 20)
    found = read(test("charging", "holds_under_load").run_link.run)
    assert any(
        "less than three quarters charged" in line.text for line in found.assessment.technician
    )


def test_after_a_full_battery_nothing_is_flagged(test) -> None:
    test("battery_at_rest", "half_full", 40)
    test("battery_at_rest", "rested_and_full", 20)
    assert WEAK not in confounders(test("charging", "holds_under_load"))


def test_what_does_not_live_on_the_battery_is_not_flagged(test) -> None:
    test("battery_at_rest", "half_full", 20)
    assert WEAK not in confounders(test("oil_level", "between"))


def test_a_battery_found_weak_afterwards_flags_the_earlier_test_on_its_page(test, as_owner) -> None:
    charging = test("charging", "holds_under_load", 30)
    test("battery_at_rest", "half_full")
    assert WEAK not in confounders(charging)
    assert "It was made on a weak battery" in page_of(as_owner, charging)


def test_a_battery_that_was_full_before_speaks_for_what_followed(test, as_owner) -> None:
    test("battery_at_rest", "rested_and_full", 40)
    charging = test("charging", "holds_under_load", 30)
    test("battery_at_rest", "half_full")
    assert "weak battery" not in page_of(as_owner, charging)


def test_the_report_says_it_too(test, owner, shop) -> None:
    from jobs.report.content import content_of

    charging = test("charging", "holds_under_load", 30)
    test("battery_at_rest", "half_full")
    content = content_of(charging.ticket, shop, by=owner)
    (told,) = [t for t in content["tests"] if t["no"] == charging.seq]
    assert any("weak battery" in text for text in told["run"]["confounders"])
