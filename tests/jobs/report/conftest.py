"""A ticket on which everything happened that a report must tell, and its report as plain data."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from jobs.actions import alterations, findings, photos, swaps, tickets
from jobs.models import Swap, Ticket
from jobs.report.content import content_of
from tests.jobs.pictures import made, picture, strap_test, telling_picture, upload

SENTENCE = "The strap that brings current back from the engine was corroded."


@pytest.fixture
def report(shop, owner) -> Callable[..., dict]:
    """A ticket's next revision, as it would be frozen."""

    def of(ticket: Ticket, **facts: Any) -> dict:
        for name, value in facts.items():
            setattr(shop, name, value)
        fresh = Ticket.objects.with_car().get(pk=ticket.pk)
        return json.loads(json.dumps(content_of(fresh, shop, by=owner)))

    return of


@pytest.fixture
def repaired(ticket, owner) -> Ticket:
    """The strap was found, changed, and tested again: three tests, four photos, a swap."""
    before = strap_test(ticket, owner)
    run = before.run_link.run
    photos.add_photos(
        ticket=ticket,
        uploads=[upload(telling_picture())],
        subject="connector",
        by=owner,
        caption="Body end of the strap, as found",
        run=run,
    )
    photos.add_photos(
        ticket=ticket,
        uploads=[upload(picture(colour="navy"))],
        subject="plate",
        by=owner,
        caption="The van at our door",
    )
    wrong = made(ticket, owner, "voltage_drop", "spread_over_feed")
    made(ticket, owner, "voltage_drop", "inside_at_40_a", corrects=wrong, why="leads on wrong post")
    swap = swaps.add(
        ticket=ticket,
        by=owner,
        reason="pointed_to",
        pointed=[run],
        before=[run],
        facts={
            "part_out": "Braided strap",
            "part_in": "Ground strap",
            "maker": "Copperline Works",
            "number": "CW-G35",
            "condition": "new",
            "warranty_months": 12,
            "warranty_km": 20_000,
        },
    )
    photos.add_photos(
        ticket=ticket,
        uploads=[upload(picture(colour="maroon"))],
        subject="old_part",
        by=owner,
        caption="The old strap",
        swap_uid=swap.swap.uid,
    )
    photos.add_photos(
        ticket=ticket,
        uploads=[upload(picture(colour="gold"))],
        subject="other",
        by=owner,
        caption="Not for the report",
        in_report=False,
    )
    after = made(ticket, owner, "voltage_drop", "strap_renewed_hot", fault_present="no")
    swaps.change(
        entry=swap,
        by=owner,
        why="completed",
        after=[after.run_link.run],
        facts={"outcome": "not_present"},
    )
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="confirmed",
        sentence=SENTENCE,
        advice="no_restriction",
        rests_on=[run, Swap.objects.current().get(ticket=ticket), after.run_link.run],
        facts={"to_do": "Nothing further", "waiting_risk": "None"},
    )
    return ticket


@pytest.fixture
def full(repaired, owner) -> Ticket:
    """With all that may stand beside: an alteration, work of others, open and declined work."""
    findings.add(
        ticket=repaired,
        by=owner,
        certainty="suspected",
        sentence="The clamp may be next.",
        advice="no_restriction",
    )
    findings.add(
        ticket=repaired,
        by=owner,
        certainty="not_tested",
        sentence="The starter motor itself",
        advice="no_restriction",
    )
    swaps.add(
        ticket=repaired,
        by=owner,
        reason="customer_asks",
        facts={"ours": False, "part_in": "Battery", "done_on": "2026-03-10"},
    )
    alterations.add(
        ticket=repaired,
        by=owner,
        what="Second starter cable, unclipped",
        facts={
            "found_so": True,
            "affects": ["starting", "emissions_law"],
            "customer_told": True,
            "put_back_how": "Take it off at both ends",
            "advice": "only_as_stated",
            "advice_words": "Have it taken off within two weeks",
        },
    )
    findings.add_open_work(
        ticket=repaired,
        by=owner,
        what="Clean the negative clamp",
        status="declined",
        risk="A slow start in winter",
    )
    tickets.add_note(ticket=repaired, words="Working note, for us only.", by=owner)
    return repaired
