"""A weak battery flags what was measured on it, whichever of the two was tested first."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs import battery
from jobs.actions import runs, swaps
from jobs.actions.tickets import withdraw
from jobs.models import Entry, Ticket
from jobs.reasoning.of_ticket import made_of
from jobs.ticket_view import TicketView
from measurements.actions.runs import read
from shop.models import Person, Profile
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


def weight_of(entry: Entry, profile: Profile) -> float:
    """What is left of a test as evidence."""
    view = TicketView(Ticket.objects.get(pk=entry.ticket_id), profile)
    links = [one.link for one in view.tests if one.link]
    (link,) = (one for one in links if one.entry_id == entry.pk)
    changes = view.swap_record.battery_changes
    return made_of(entry.seq, link, [one.run for one in links], changes).weight


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


# --- the battery is changed -------------------------------------------------------------------


@pytest.fixture
def changed(ticket: Ticket, owner: Person):
    """Records a swap, so many minutes ago."""

    def made(part_in: str, minutes_ago: int, **facts: object) -> Entry:
        return swaps.add(
            ticket=ticket,
            by=owner,
            reason="customer_asks",
            facts={"part_in": part_in, **facts},
            at=timezone.now() - timedelta(minutes=minutes_ago),
        )

    return made


def test_a_weak_battery_says_nothing_of_what_is_measured_on_the_next_one(test, changed) -> None:
    test("battery_at_rest", "half_full", 40)
    changed("AGM battery 70 Ah", 20)
    assert WEAK not in confounders(test("charging", "holds_under_load"))


def test_nor_on_the_page_of_a_test_and_in_the_reasoning(test, changed, as_owner, shop) -> None:
    charging = test("charging", "holds_under_load", 10)
    test("battery_at_rest", "half_full", 40)
    assert "weak battery" in page_of(as_owner, charging)
    weakened = weight_of(charging, shop)
    changed("Battery", 20)
    assert "weak battery" not in page_of(as_owner, charging)
    assert weight_of(charging, shop) > weakened


def test_what_was_measured_on_the_weak_battery_stays_flagged(test, changed) -> None:
    test("battery_at_rest", "half_full", 40)
    changed("Battery", 20)
    assert WEAK in confounders(test("charging", "holds_under_load", 30))


def test_the_next_battery_found_weak_says_nothing_of_what_was_before(
    test, changed, as_owner
) -> None:
    charging = test("charging", "holds_under_load", 30)
    changed("Battery", 20)
    test("battery_at_rest", "half_full")
    assert "weak battery" not in page_of(as_owner, charging)


@pytest.mark.parametrize(
    ("part", "facts"), [("Battery clamp", {}), ("Starter", {}), ("Battery", {"ours": False})]
)
def test_no_other_part_and_no_other_shops_change_ends_it(test, changed, part, facts) -> None:
    test("battery_at_rest", "half_full", 40)
    changed(part, 20, **facts)
    assert WEAK in confounders(test("charging", "holds_under_load"))


def test_a_change_that_was_taken_back_ends_nothing(test, changed, owner) -> None:
    test("battery_at_rest", "half_full", 40)
    entry = changed("Battery", 20)
    withdraw(entry=entry, by=owner, why="Another car.")
    assert WEAK in confounders(test("charging", "holds_under_load"))


def test_a_swap_completed_later_counts_from_when_it_was_first_recorded(
    test, changed, owner, as_owner
) -> None:
    test("battery_at_rest", "half_full", 40)
    entry = changed("Battery", 20)
    charging = test("charging", "holds_under_load", 10)
    swaps.change(entry=entry, by=owner, why="completed", facts={"number": "12"})
    assert "weak battery" not in page_of(as_owner, charging)
    assert WEAK not in confounders(test("charging", "holds_under_load", 5))


@pytest.mark.parametrize(
    ("part", "is_it"),
    [
        ("AGM battery, 70 Ah", True),
        ("two batteries", True),
        ("lead-acid battery", True),
        ("battery lead", False),
        ("battery post", False),
        ("ground strap at the battery", False),
        ("high-voltage battery", False),
        ("alternator", False),
    ],
)
def test_which_parts_are_the_battery(part: str, is_it: bool) -> None:
    assert battery.is_battery(part) is is_it
