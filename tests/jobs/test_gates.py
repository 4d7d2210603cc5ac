"""The five first things of a ticket with a complaint: not done until done, each a tap away."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from jobs.actions import runs, tickets
from jobs.gates import Gates, gates_of
from jobs.models import Ticket
from jobs.ticket_view import TicketView
from tests.measurements.readings_files import Case

pytestmark = pytest.mark.django_db


def gates(ticket: Ticket, shop) -> Gates:
    found = gates_of(TicketView(Ticket.objects.get(pk=ticket.pk), shop))
    assert found is not None
    return found


def gate(ticket: Ticket, shop, title: str):
    (one,) = [gate for gate in gates(ticket, shop).each if gate.title == title]
    return one


def lately(client, ticket: Ticket, **typed):
    complaint = ticket.complaints.current().get()
    url = reverse("ticket-complaint-lately", args=[ticket.number, complaint.entry.seq])
    return client.post(url, {"client_key": uuid4().hex} | typed, follow=True)


def test_a_fresh_ticket_has_five_that_are_not_done(ticket, shop) -> None:
    found = gates(ticket, shop)
    assert (len(found.each), found.left) == (5, 5)


def test_the_page_says_so_on_top_and_leads_to_each(as_technician, ticket, shop) -> None:
    page = as_technician.get(ticket.get_absolute_url()).content.decode()
    assert "First: 5 of five not done" in page
    assert all(one.url in page for one in gates(ticket, shop).each)
    assert page.index("not done") < page.index("Record")


def test_whoever_may_not_test_is_not_asked_to(as_counter, ticket) -> None:
    page = as_counter.get(ticket.get_absolute_url()).content.decode()
    assert "of five not done" not in page


def test_work_without_a_complaint_has_no_such_list(van, customer, owner, shop) -> None:
    service = tickets.open_ticket(car=van, customer=customer, by=owner)
    tickets.add_wish(ticket=service, words="Service", by=owner)
    assert gates_of(TicketView(service, shop)) is None


@pytest.mark.parametrize(
    ("procedure", "name", "title"),
    [
        ("make_it_happen", None, "Seen by us?"),
        ("look_over", None, "Look over"),
        ("trouble_codes", "empty_complete", "Stored codes and freeze frame"),
    ],
)
def test_a_test_does_its_own(ticket, owner, shop, procedure, name, title) -> None:
    from measurements.procedures import PROCEDURES

    typed = Case(procedure, name).data["typed"] if name else PROCEDURES[procedure].example
    entry = runs.record_test(ticket=ticket, procedure=procedure, typed=typed, by=owner)
    done = gate(ticket, shop, title)
    assert (done.done, done.entry) == (True, entry.seq)
    assert gates(ticket, shop).left == 4


def test_two_taps_tell_what_changed_lately(as_technician, ticket, shop) -> None:
    lately(as_technician, ticket, when_since_when="days", when_after_work=["battery_or_jump"])
    assert gate(ticket, shop, "What changed lately?").answer == "Some days, battery or jump start"


def test_what_was_said_of_the_complaint_before_stays(as_technician, ticket) -> None:
    before = ticket.complaints.current().get().entry.data
    lately(as_technician, ticket, when_since_when="days")
    after = ticket.complaints.current().get().entry.data
    assert after["words"] == before["words"]
    assert after["conditions"]["engine_temperature"] == ["hot"]
    assert after["conditions"]["since_when"] == ["days"]


def test_not_knowing_is_an_answer(as_technician, ticket, shop) -> None:
    lately(as_technician, ticket, when_since_when="dont_know", when_after_work=["dont_know"])
    assert gate(ticket, shop, "What changed lately?").done


def test_no_answer_is_none(as_technician, ticket, shop) -> None:
    assert lately(as_technician, ticket).status_code == 422
    assert not gate(ticket, shop, "What changed lately?").done


def test_answers_that_exclude_one_another_are_refused(as_technician, ticket) -> None:
    page = lately(as_technician, ticket, when_after_work=["nothing", "water"])
    assert page.status_code == 422


def test_a_second_complaint_is_asked_too(as_technician, ticket, owner, shop) -> None:
    lately(as_technician, ticket, when_since_when="days")
    tickets.add_complaint(ticket=ticket, words="Wipers stick.", by=owner)
    assert not gate(ticket, shop, "What changed lately?").done


def test_what_could_not_be_looked_up_is_not_done(ticket, owner, shop) -> None:
    facts = {"what": "recalls", "result": "not_reached"}
    tickets.add_looked_up(ticket=ticket, facts=facts, by=owner)
    assert not gate(ticket, shop, "Known for this model?").done
    tickets.add_looked_up(ticket=ticket, facts={"what": "own", "result": "none"}, by=owner)
    assert gate(ticket, shop, "Known for this model?").answer == "Our own notes: nothing found"


def test_a_closed_ticket_asks_nothing(ticket, shop) -> None:
    ticket.state = "handed_back"
    assert gates_of(TicketView(ticket, shop)) is None


def came(client, ticket: Ticket, answer: str):
    from jobs.models import RunLink

    url = reverse("test-new", args=[ticket.number, "make_it_happen"])
    typed = {"given.came": answer, "given.driver": "technician", "tries.as_told.tried": "3"}
    client.post(url, {"client_key": uuid4().hex} | typed)
    return RunLink.objects.current().get(run__procedure="make_it_happen")


@pytest.mark.parametrize(
    ("answer", "present"), [("as_told", "yes"), ("no", "no"), ("otherwise", "unknown")]
)
def test_trying_it_says_by_itself_whether_it_was_there(as_technician, ticket, answer, present):
    form = as_technician.get(reverse("test-new", args=[ticket.number, "make_it_happen"]))
    assert "happening just then" not in form.content.decode()
    assert came(as_technician, ticket, answer).fault_present == present


def test_later_tests_are_reminded_of_what_came_out_when_we_tried(as_technician, ticket) -> None:
    entry = came(as_technician, ticket, "no").entry
    page = as_technician.get(reverse("test-new", args=[ticket.number, "voltage_drop"]))
    assert f"When we tried it (entry {entry.seq}):" in page.content.decode()
