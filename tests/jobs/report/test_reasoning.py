"""The report says how a finding was come to, in a customer's words and without odds."""

from __future__ import annotations

import re

import pytest

from jobs.actions import findings, runs, suspects
from jobs.models import Ticket
from jobs.report.content import content_of
from tests.measurements.readings_files import Case

pytestmark = pytest.mark.django_db


@pytest.fixture
def strap(ticket, technician):
    return runs.record_test(
        ticket=ticket,
        procedure="voltage_drop",
        typed=Case("voltage_drop", "corroded_strap_hot").data["typed"],
        by=technician,
        fault_present="yes",
        state_of_car="hot",
    )


def found(ticket, technician, strap, cause: str, certainty: str = "probable") -> None:
    findings.add(
        ticket=ticket,
        by=technician,
        certainty=certainty,
        sentence="The engine's ground strap loses contact when it is hot.",
        advice="no_restriction",
        rests_on=[strap.run_link.run],
        facts={"cause": cause, "complaint": str(ticket.complaints.current().get().uid)},
    )


def reasoning(ticket, technician, shop):
    content = content_of(Ticket.objects.get(pk=ticket.pk), shop, by=technician)
    return content["findings"][0]["reasoning"]


def test_what_speaks_for_it_is_named_with_the_test(ticket, technician, strap, shop) -> None:
    found(ticket, technician, strap, "starts_badly.strap_hot")
    said = reasoning(ticket, technician, shop)
    assert any(f"Test {strap.seq}, voltage drop under load" in line for line in said["for"])
    assert any("You told us: engine hot." in line for line in said["for"])


def test_other_causes_are_named_with_what_speaks_against_them(
    ticket, technician, strap, shop
) -> None:
    found(ticket, technician, strap, "starts_badly.strap_hot")
    others = reasoning(ticket, technician, shop)["others"]
    assert len(others) == 3
    assert not any("strap" in line.split(":")[0].lower() for line in others)


def test_no_odds_or_learned_words_stand_in_it(ticket, technician, strap, shop) -> None:
    suspects.judge(
        ticket=ticket,
        by=technician,
        complaint_uid=str(ticket.complaints.current().get().uid),
        suspect="strap_hot",
        strength="for",
        reason="Warm to the hand",
    )
    found(ticket, technician, strap, "starts_badly.strap_hot")
    said = str(reasoning(ticket, technician, shop))
    assert "In our opinion: Warm to the hand." in said
    assert not re.search(r"\d in \d|×|÷|odds|likel|suspect|%", said)


def test_of_what_is_confirmed_no_other_cause_is_named(ticket, technician, strap, shop) -> None:
    found(ticket, technician, strap, "starts_badly.strap_hot", "confirmed")
    assert reasoning(ticket, technician, shop)["others"] == []


@pytest.mark.parametrize("cause", ["", "starts_badly.gone", "no_family.strap_hot"])
def test_a_finding_without_a_known_cause_has_no_such_part(
    ticket, technician, strap, shop, cause: str
) -> None:
    found(ticket, technician, strap, cause)
    assert reasoning(ticket, technician, shop) is None
