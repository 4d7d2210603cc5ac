"""A visit on which the fault stayed away: what was tried, what was not, what the owner notes."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs import words
from jobs.actions import findings, not_appeared, tickets
from jobs.certainty.tried import tried_for
from jobs.record.rebuild import rebuild
from jobs.record.verify import faults
from jobs.ticket_view import TicketView
from jobs.words.not_appeared import OWNER_NOTE, owner_note
from shop.models import Profile
from tests.jobs.pictures import made, strap_test
from tests.jobs.test_findings_pages import filled_in, text_of

pytestmark = pytest.mark.django_db


def soon(days: int) -> str:
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def read(ticket) -> TicketView:
    return TicketView(ticket, Profile.current())


def tried(ticket):
    view = read(ticket)
    return tried_for(view, view.complaints[0])


def where(ticket) -> str:
    complaint = ticket.entries.current().filter(kind="complaint").first()
    return reverse("ticket-complaint-not-appeared", args=[ticket.number, complaint.seq])


def send(client, ticket, **typed):
    told = {"note": "Note the speed.", "not_tried": "in rain", "client_key": "a" * 32}
    return client.post(where(ticket), told | typed)


def told(ticket, owner, **conditions):
    """The complaint again, with when it happens."""
    tickets.add_complaint(
        ticket=ticket,
        by=owner,
        corrects=ticket.entries.current().get(kind="complaint"),
        why="Asked.",
        words="Turns over slowly.",
        family="starts_badly",
        conditions=words.read_conditions(conditions),
    )


# --- what was tried, what was not ------------------------------------------------------------


def test_tests_with_the_fault_away_are_what_was_tried(ticket, owner):
    entry = made(ticket, owner, "road_test", "not_reproduced_short", fault_present="no")
    made(ticket, owner, "charging", "holds_under_load", fault_present="unknown")
    [line] = tried(ticket).lines
    assert line["words"].startswith(f"Test {entry.seq} on ")
    for said in ("engine hot", "3\xa0km", "dry", "ring road to the second exit and back"):
        assert said in line["words"]


def test_tries_are_told_with_how_often(ticket, owner):
    made(ticket, owner, "make_it_happen", "stayed_away_three_of_eleven", fault_present="no")
    assert "as told (3 times)" in tried(ticket).lines[0]["words"]


def test_conditions_that_no_test_covered_are_not_tried(ticket, owner):
    told(
        ticket,
        owner,
        engine_temperature=["hot"],
        weather=["wet"],
        speed_band=["motorway"],
        driving_state=["braking"],
    )
    made(ticket, owner, "road_test", "not_reproduced_short", fault_present="no")
    assert tried(ticket).untried == [
        "above about 100 km/h (60 mph)",
        "in rain or on wet roads",
    ]


def test_tried_under_all_that_was_told_nothing_is_left(ticket, owner):
    told(ticket, owner, weather=["wet"])
    made(ticket, owner, "make_it_happen", "stayed_away_three_of_eleven", fault_present="no")
    assert tried(ticket).untried == []


def test_a_test_of_another_complaint_tried_nothing_for_this_one(ticket, owner):
    other = tickets.add_complaint(ticket=ticket, by=owner, words="Squeals.", family="brakes")
    made(
        ticket,
        owner,
        "road_test",
        "not_reproduced_short",
        fault_present="no",
        complaint_uid=other.complaint.uid,
    )
    assert tried(ticket).lines == []


def test_what_the_owner_notes_depends_on_the_complaint():
    assert "which distance on the odometer" in owner_note("uses_oil")
    assert owner_note("") == OWNER_NOTE.customer("always")
    assert set(OWNER_NOTE.codes) - {"always"} == set(words.FAMILY.codes)


# --- the page --------------------------------------------------------------------------------


def test_the_page_proposes_what_the_tests_leave_open(as_technician, ticket, owner):
    told(ticket, owner, weather=["wet"])
    made(ticket, owner, "road_test", "not_reproduced_short", fault_present="no")
    page = as_technician.get(where(ticket)).content.decode()
    assert "ring road to the second exit" in page
    assert filled_in(page)["not_tried"] == ["in rain or on wet roads"]
    assert filled_in(page)["note"] == [owner_note("starts_badly")]


def test_it_stands_in_the_record_and_on_the_ticket(as_technician, ticket, owner):
    made(ticket, owner, "road_test", "not_reproduced_short", fault_present="no")
    answer = send(as_technician, ticket, not_tried="in rain\n\n uphill ")
    entry = ticket.entries.get(kind="not_appeared")
    assert answer.status_code == 303
    assert entry.data["not_tried"] == ["in rain", "uphill"]
    assert len(entry.data["tried"]) == 1
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    known = page[page.index("What is known so far") :]
    assert "The fault did not appear while we had the car. That does not mean it is gone." in known
    rebuild()
    assert [str(fault) for fault in faults()] == []


def test_on_trial_the_ticket_moves_with_its_date(as_technician, ticket):
    send(as_technician, ticket, on_trial="on", ring_on=soon(7))
    ticket.refresh_from_db()
    moved = ticket.entries.get(kind="state", payload__text__contains="on_trial")
    assert ticket.state == "on_trial"
    assert moved.data["note"].startswith("Ring on ")
    assert ticket.entries.get(kind="not_appeared").data["ring_on"] == soon(7)


def test_a_trial_without_a_date_is_sent_back_with_what_was_typed(as_technician, ticket):
    answer = send(as_technician, ticket, on_trial="on", note="Only in rain.")
    assert answer.status_code == 422
    assert "Say until when it is on trial" in text_of(answer)
    assert filled_in(answer.content.decode())["note"] == ["Only in rain."]
    ticket.refresh_from_db()
    assert ticket.state == "in_the_bay"


def test_a_trial_that_ended_before_the_visit_is_refused(as_technician, ticket):
    assert send(as_technician, ticket, on_trial="on", until=soon(-30)).status_code == 422


def test_a_trial_from_where_none_is_possible_writes_nothing(ticket, owner):
    tickets.move(ticket=ticket, to="ready", by=owner)
    tickets.move(ticket=ticket, to="handed_back", by=owner)
    view = read(ticket)
    with pytest.raises(tickets.MoveRefused):
        not_appeared.say(
            view=view,
            complaint=view.complaints[0],
            by=owner,
            not_tried=[],
            note="Note it.",
            on_trial=True,
            ring_on=timezone.localdate(),
        )
    assert not ticket.entries.filter(kind="not_appeared").exists()


def test_without_a_word_for_the_owner_it_is_sent_back(as_technician, ticket):
    answer = send(as_technician, ticket, note=" ")
    assert answer.status_code == 422
    assert "Write what the owner should note" in text_of(answer)


def test_sent_twice_it_is_one_entry_and_one_move(as_technician, ticket):
    typed = {"on_trial": "on", "until": soon(14)}
    first, second = (send(as_technician, ticket, **typed) for _ in range(2))
    assert first.url == second.url
    assert ticket.entries.filter(kind="not_appeared").count() == 1
    assert ticket.entries.filter(kind="state").count() == 1


def test_said_again_it_replaces_what_was_said(as_technician, ticket):
    send(as_technician, ticket)
    page = as_technician.get(where(ticket)).content.decode()
    assert filled_in(page)["not_tried"] == ["in rain"]
    send(as_technician, ticket, note="Note the gear.", client_key="b" * 32)
    assert [item.data["note"] for item in read(ticket).not_appeared] == ["Note the gear."]


def test_a_confirmed_finding_is_pointed_out_and_refuses_nothing(as_technician, ticket, owner):
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="confirmed",
        sentence="The strap is corroded.",
        advice="no_restriction",
        rests_on=[strap_test(ticket, owner).run_link.run],
        facts={"complaint": str(ticket.complaints.current().get().uid)},
    )
    page = text_of(as_technician.get(where(ticket)))
    assert "A finding says that its cause is confirmed" in page
    assert "It was happening in entry" in page
    assert send(as_technician, ticket).status_code == 303


def test_the_ticket_says_when_it_has_been_there_since(as_technician, ticket, owner):
    send(as_technician, ticket)
    later = strap_test(ticket, owner)
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    assert f"It has been there since, in entry {later.seq}: take this entry back." in page


def test_it_is_reached_from_more_and_from_moving_on(as_technician, ticket):
    for name in ("ticket-more", "ticket-state"):
        page = as_technician.get(reverse(name, args=[ticket.number])).content.decode()
        assert where(ticket) in page


def test_the_counter_does_not_say_it(as_counter, ticket):
    assert send(as_counter, ticket).status_code == 403
    more = as_counter.get(reverse("ticket-more", args=[ticket.number])).content.decode()
    assert where(ticket) not in more


def test_an_entry_that_is_no_complaint_has_no_such_page(as_technician, ticket):
    address = reverse("ticket-complaint-not-appeared", args=[ticket.number, 1])
    assert as_technician.get(address).status_code == 404
