"""Tests made on the van that cranks slowly."""

from __future__ import annotations

from typing import Any

import pytest

from jobs.actions import runs
from jobs.models import Entry, Ticket
from jobs.reasoning.of_ticket import Reasoning, reasonings
from jobs.ticket_view import TicketView
from tests.measurements.readings_files import Case


@pytest.fixture
def test_made(ticket, technician):
    """Records a test out of a readings file on the ticket."""

    def make(procedure: str, name: str, **about: Any) -> Entry:
        told = {"state_of_car": "hot", "fault_present": "yes"} | about
        return runs.record_test(
            ticket=ticket,
            procedure=procedure,
            typed=Case(procedure, name).data["typed"],
            by=technician,
            **told,
        )

    return make


@pytest.fixture
def reasoned(ticket, shop):
    """The reasoning about the ticket's first complaint, as the record stands."""

    def read() -> Reasoning:
        view = TicketView(Ticket.objects.get(pk=ticket.pk), shop)
        return reasonings(view)[0]

    return read
