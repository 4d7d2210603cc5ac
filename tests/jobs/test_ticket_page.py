"""The ticket's page: every kind of entry, what stands now, and no more queries as it grows."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs import words
from jobs.actions import (
    alterations,
    apart,
    drives,
    findings,
    intake,
    not_appeared,
    photos,
    suspects,
    swaps,
    tickets,
)
from jobs.models import Ticket
from jobs.reasoning.of_ticket import reasoning_of
from jobs.record.kind import kinds
from jobs.ticket_view import TicketView
from shop.actions import customers
from shop.models import Profile
from tests.jobs.pictures import picture, strap_test, upload

pytestmark = pytest.mark.django_db

MOST_QUERIES = 15


def page_of(client, ticket: Ticket) -> str:
    answer = client.get(ticket.get_absolute_url())
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def entry_html(page: str, seq: int) -> str:
    start = page.index(f'id="e{seq}"')
    return page[start : page.index("</article>", start)]


@pytest.fixture
def full(ticket, owner, technician, van):
    """A ticket with an entry of every kind of a ticket but an issued report, by name."""
    made = {}
    made["wish"] = tickets.add_wish(ticket=ticket, words="Winter tyres on.", by=owner)
    made["note"] = tickets.add_note(ticket=ticket, words="Belt glazed.", by=owner)
    made["looked_up"] = tickets.add_looked_up(
        ticket=ticket, facts={"what": "recalls", "result": "none"}, by=owner
    )
    made["facts"] = tickets.change(
        ticket=ticket,
        by=owner,
        facts={"fuel_level": "half", "lamps": ["engine"], "damage": "Scratch, left door"},
    )
    made["test"] = strap_test(ticket, technician)
    made["photos"] = photos.add_photos(
        ticket=ticket,
        by=owner,
        subject="connector",
        caption="Strap, body side",
        uploads=[upload(picture(colour=colour)) for colour in ("olive", "grey")],
    )
    made["apart"] = apart.take_apart(ticket=ticket, what="Fuse 14 pulled", by=technician)
    made["ticked_back"] = apart.tick_back(ticket=ticket, apart=made["apart"].apart, by=technician)
    run = made["test"].run_link.run
    made["swap"] = swaps.add(
        ticket=ticket,
        by=technician,
        reason="pointed_to",
        pointed=[run],
        before=[run],
        facts={"part_out": "Braided strap", "part_in": "Strap, 35 mm²", "outcome": "not_present"},
    )
    made["alteration"] = alterations.add(
        ticket=ticket, what="Fan wired to run always", by=technician
    )
    made["finding"] = findings.add(
        ticket=ticket,
        by=technician,
        certainty="confirmed",
        advice="only_as_stated",
        sentence="The ground strap is corroded.",
        rests_on=[run],
        facts={"advice_words": "To the shop and back."},
    )
    made["open_work"] = findings.add_open_work(
        ticket=ticket,
        by=technician,
        what="Belt",
        status="declined",
        risk="It may tear.",
    )
    made["put_back"] = alterations.put_back(
        ticket=ticket, alteration=made["alteration"].alteration, by=technician, how_done="Rewired."
    )
    view = TicketView(ticket, Profile.current())
    complaint = view.complaints[0]
    made["not_appeared"] = not_appeared.say(
        view=view, complaint=complaint, by=technician, not_tried=[], note="Note the weather."
    )
    made["opinion"] = suspects.judge(
        ticket=ticket,
        by=technician,
        complaint_uid=complaint.data["uid"],
        suspect="poor_ground",
        label="a poor ground",
        strength="for",
        reason="Crust under the lug.",
    )
    made["judgement"] = suspects.keep(reasoning=reasoning_of(view, complaint), by=technician)
    made["drives"] = drives.add(
        ticket=ticket, swap=made["swap"].swap, drives=3, came_back=False, by=technician
    )
    made["state"] = tickets.move(ticket=ticket, to="waiting", waits_for="part", by=owner)
    made["withdrawn"] = tickets.withdraw(entry=made["note"], why="Wrong car.", by=owner)
    return made


def test_every_kind_of_entry_has_a_template_that_shows_it(as_technician, ticket, full):
    page = page_of(as_technician, ticket)
    shown = {entry.kind for entry in ticket.entries.all()}
    in_the_shops_own_chain = {"starting_odds"}
    assert shown == set(kinds()) - {"report_issued", "starting_odds"} - in_the_shops_own_chain
    for entry in ticket.entries.all():
        kind = words.technician("entry_kind", entry.kind)
        assert kind in entry_html(page, entry.seq) or entry.replaces_id


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("wish", "Winter tyres on."),
        ("facts", "Scratch, left door"),
        ("test", "Voltage drop"),
        ("photos", "Strap, body side"),
        ("apart", "Fuse 14 pulled"),
        ("ticked_back", "Fuse 14 pulled"),
        ("swap", "Strap, 35 mm²"),
        ("alteration", "Fan wired to run always"),
        ("finding", "The ground strap is corroded."),
        ("open_work", "It may tear."),
        ("put_back", "Rewired."),
        ("not_appeared", "Note the weather."),
        ("opinion", "Crust under the lug."),
        ("judgement", "Judgement, not measurement"),
        ("drives", "3 drives without it."),
        ("state", "a part"),
        ("withdrawn", "does not count"),
    ],
)
def test_an_entry_says_what_happened(as_technician, ticket, full, name, said):
    assert said in entry_html(page_of(as_technician, ticket), full[name].seq)


def test_no_raw_code_reaches_the_page(as_technician, ticket, full):
    text = re.sub(r"<[^>]*>", " ", page_of(as_technician, ticket))
    codes = {code for table in words.TABLES.values() for code in table.codes if "_" in code}
    assert [code for code in codes if re.search(rf"\b{code}\b", text)] == []


def test_a_withdrawn_entry_stays_legible_and_says_where_it_went(as_technician, ticket, full):
    note = entry_html(page_of(as_technician, ticket), full["note"].seq)
    assert "Belt glazed." in note
    assert f'href="#e{full["withdrawn"].seq}"' in note


def test_a_finding_names_the_test_that_it_rests_on(as_technician, ticket, full):
    assert f'href="#e{full["test"].seq}"' in entry_html(
        page_of(as_technician, ticket), full["finding"].seq
    )


def test_what_is_apart_stands_on_top_with_the_way_to_tick_it_back(as_technician, ticket, owner):
    apart.take_apart(ticket=ticket, what="Hose pinched", by=owner)
    page = page_of(as_technician, ticket)
    assert page.index("Hose pinched") < page.index('id="record"')
    assert reverse("apart", args=[ticket.number]) in page


def test_an_alteration_of_an_earlier_visit_stands_on_top(as_technician, ticket, owner, van):
    alterations.add(ticket=ticket, what="Heater core bypassed", by=owner)
    later = intake.take_in(by=owner, car=van)
    assert "Heater core bypassed" in page_of(as_technician, later)


NOTHING_AGAINST = "Nothing we measured is a reason not to drive"


def harmless(ticket: Ticket, by):
    return findings.add(
        ticket=ticket, by=by, certainty="suspected", sentence="Wiper worn.", advice="no_restriction"
    )


def test_nothing_speaks_against_driving_only_once_something_was_found(
    as_technician, ticket, technician
):
    alterations.add(
        ticket=ticket, what="Other radio", by=technician, facts={"advice": "no_restriction"}
    )
    assert NOTHING_AGAINST not in page_of(as_technician, ticket)
    harmless(ticket, technician)
    assert NOTHING_AGAINST in page_of(as_technician, ticket)


def test_and_never_beside_a_danger_that_the_customer_reports(as_technician, ticket, technician):
    tickets.add_complaint(ticket=ticket, words="Pedal sinks.", red_flags=["brakes"], by=technician)
    harmless(ticket, technician)
    page = page_of(as_technician, ticket)
    assert "not to be driven before it is looked at" in page
    assert NOTHING_AGAINST not in page


def test_an_empty_ticket_says_what_to_do(as_counter, owner):
    page = page_of(as_counter, intake.take_in(by=owner, plate="BN58KLD"))
    assert "Nothing reported yet" in page
    assert "Nothing found yet" in page
    assert "things still missing" in page


def test_the_counter_is_offered_no_test_and_no_swap(as_counter, ticket):
    page = page_of(as_counter, ticket)
    assert reverse("test-choose", args=[ticket.number]) not in page
    assert reverse("swap-add", args=[ticket.number]) not in page
    assert reverse("ticket-note-add", args=[ticket.number]) in page


def test_a_technician_is_offered_both(as_technician, ticket):
    page = page_of(as_technician, ticket)
    assert reverse("test-choose", args=[ticket.number]) in page
    assert reverse("swap-add", args=[ticket.number]) in page


def test_words_of_people_are_never_markup(as_technician, ticket, owner):
    tickets.add_note(ticket=ticket, words="<script>alert(1)</script>", by=owner)
    customers.change(customer=ticket.customer, by=owner, name='"><svg onload=x>')
    page = page_of(as_technician, ticket)
    assert "<script>alert" not in page
    assert "<svg onload" not in page


def fill(ticket: Ticket, by, *, readings: int, frames: int) -> None:
    """Add strap tests until so many readings are there, and so many photos."""
    there = 0
    while there < readings:
        there += strap_test(ticket, by).run_link.run.readings.count()
    photos.add_photos(
        ticket=ticket,
        by=by,
        subject="connector",
        uploads=[upload(picture(colour=(shade, 90, 90))) for shade in range(frames)],
    )


def queries_of(client, ticket: Ticket) -> int:
    client.get(ticket.get_absolute_url())  # what a process reads once is not the page's
    with CaptureQueriesContext(connection) as seen:
        assert client.get(ticket.get_absolute_url()).status_code == 200
    return len(seen)


@pytest.mark.parametrize("readings", [30, 300])
def test_a_page_takes_at_most_15_queries_however_many_readings(
    as_technician, ticket, full, technician, readings
):
    fill(ticket, technician, readings=readings, frames=12)
    assert queries_of(as_technician, ticket) <= MOST_QUERIES
