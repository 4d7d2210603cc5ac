"""What was looked up about a model: two taps, cited where something applies."""

from __future__ import annotations

import json
from uuid import uuid4

import pytest
from django.urls import reverse

from jobs.actions import reports, tickets
from jobs.models import Entry, Ticket
from jobs.record import verify
from jobs.report.content import content_of

pytestmark = pytest.mark.django_db


def send(client, ticket: Ticket, **typed):
    return client.post(
        reverse("ticket-looked-up-add", args=[ticket.number]),
        {"client_key": uuid4().hex} | typed,
        follow=True,
    )


def kept(ticket: Ticket) -> list[Entry]:
    return list(ticket.entries.filter(kind="looked_up").in_order())


def test_two_taps_are_enough_where_nothing_was_found(as_technician, ticket) -> None:
    send(as_technician, ticket, what="recalls", result="none")
    (entry,) = kept(ticket)
    assert entry.data == {"what": "recalls", "result": "none"}


def test_what_applies_must_be_cited(as_technician, ticket) -> None:
    page = send(as_technician, ticket, what="bulletins", result="applies", note="Wet plug")
    assert page.status_code == 422
    assert "it is to be found again" in page.content.decode()
    assert "Wet plug" in page.content.decode()
    assert not kept(ticket)


def test_neither_tap_alone_is_kept(as_technician, ticket) -> None:
    assert send(as_technician, ticket, what="recalls").status_code == 422
    assert send(as_technician, ticket, result="none").status_code == 422
    assert not kept(ticket)


def test_an_answer_that_is_none_is_refused(as_technician, ticket) -> None:
    assert send(as_technician, ticket, what="recalls", result="perhaps").status_code == 422


def test_the_record_stays_whole(as_technician, ticket) -> None:
    send(as_technician, ticket, what="recalls", result="none", by_vin="on")
    assert list(verify.faults()) == []


@pytest.fixture
def recall(ticket, owner) -> Entry:
    facts = {"what": "recalls", "result": "applies", "source": "Register", "number": "R 12/3"}
    return tickets.add_looked_up(ticket=ticket, facts=facts, by=owner)


def test_the_ticket_shows_it(as_technician, recall) -> None:
    page = as_technician.get(recall.ticket.get_absolute_url()).content.decode()
    assert "R 12/3" in page


def test_it_can_be_taken_back(as_technician, recall) -> None:
    url = reverse("entry-withdraw", args=[recall.ticket.number, recall.seq])
    as_technician.post(url, {"client_key": uuid4().hex, "why": "Other car."})
    page = as_technician.get(recall.ticket.get_absolute_url()).content.decode()
    assert "Other car." in page


def test_the_customer_reads_what_applies_and_where_it_stands(recall, owner, shop) -> None:
    content = content_of(recall.ticket, shop, by=owner)
    (told,) = content["looked_up"]
    assert told["what"] == "recalls and service campaigns"
    assert told["result"] == "applies to this car"
    assert told["cited"] == "Register, R 12/3"


def test_a_later_revision_says_that_something_was_looked_up_since(ticket, owner, shop) -> None:
    reports.issue(ticket=ticket, profile=shop, by=owner)
    tickets.add_looked_up(ticket=ticket, facts={"what": "own", "result": "none"}, by=owner)
    content = content_of(ticket, shop, by=owner)
    assert any("looked up" in sentence for sentence in content["changes"])


def test_a_report_from_before_there_was_such_a_thing_is_compared(ticket, owner, shop) -> None:
    issued = reports.issue(ticket=ticket, profile=shop, by=owner)
    old = {k: v for k, v in json.loads(issued.content).items() if k != "looked_up"}
    from jobs.report import changes

    issued.content = json.dumps(old)
    new = content_of(ticket, shop, by=owner)
    assert not any("looked up" in sentence for sentence in changes.between(issued, new))
