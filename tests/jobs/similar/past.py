"""Visits that are over, made for tests."""

from __future__ import annotations

import uuid
from typing import Any

from jobs import words
from jobs.actions import tickets
from jobs.models import Entry, Ticket
from jobs.record.append import append
from shop.actions import cars
from tests.jobs.pictures import strap_test


def a_car(by: Any, plate: str = "QX 88 ZZ", **facts: Any) -> Any:
    """A van like the one of the cast, another than it."""
    like = {
        "make": "Corvane",
        "model": "Hauler 22",
        "year": 2014,
        "fuel": "diesel",
        "engine": {"layout": "line", "cylinders": 4, "displacement_cc": 1968},
    }
    return cars.add(by=by, plate=plate, region="GB", **(like | facts))


def past_ticket(
    car: Any,
    customer: Any,
    by: Any,
    *,
    said: str = "Turns over slowly.",
    family: str = "starts_badly",
    conditions: dict[str, list[str]] | None = None,
    cause: str = "",
    certainty: str = "confirmed",
    over: bool = True,
) -> Ticket:
    """A visit with one complaint; with a strap test and a finding on it where a cause is named."""
    ticket = tickets.open_ticket(car=car, customer=customer, by=by)
    complaint = tickets.add_complaint(
        ticket=ticket,
        words=said,
        by=by,
        family=family,
        conditions=words.read_conditions(conditions or {}),
    ).complaint
    if cause:
        strap_test(ticket, by)
        found(ticket, by, cause, certainty, complaint=str(complaint.uid))
    if over:
        hand_back(ticket, by)
    return ticket


def found(
    ticket: Ticket,
    by: Any,
    cause: str,
    certainty: str = "confirmed",
    *,
    corrects: Entry | None = None,
    **facts: str,
) -> Entry:
    """A finding on the ticket's first test as the record holds it; how sure evidence may make one
    is told elsewhere."""
    data = {
        "uid": str(corrects.finding.uid if corrects else uuid.uuid4()),
        "certainty": certainty,
        "sentence": f"Found: {cause}.",
        "advice": "no_restriction",
        "cause": cause,
        "rests_on": [{"run": ticket.run_links.earliest("entry__seq").run.digest}],
    }
    return append(ticket=ticket, kind="finding", data=data | facts, by=by, replaces=corrects)


def hand_back(ticket: Ticket, by: Any) -> None:
    """The car goes home; what the tests have left apart is ticked back first."""
    from jobs.actions import apart
    from jobs.models import Apart

    for item in list(Apart.objects.filter(ticket=ticket).still()):
        apart.tick_back(ticket=ticket, apart=item, by=by)
    tickets.move(ticket=ticket, to="ready", by=by)
    tickets.move(ticket=ticket, to="handed_back", by=by)
