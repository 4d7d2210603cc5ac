"""Evidence decides how sure a finding may be; a swap always has a reason."""

import pytest
from django.db import IntegrityError, transaction

from jobs.actions import findings, swaps
from jobs.models import Finding, Swap

pytestmark = pytest.mark.django_db


def add(ticket, by, **how):
    facts = {"sentence": "The strap is corroded.", "advice": "no_restriction"} | how
    return findings.add(ticket=ticket, by=by, **facts)


@pytest.mark.parametrize("certainty", ["confirmed", "probable", "ruled_out"])
def test_a_finding_without_evidence_is_not_this_sure(ticket, owner, certainty):
    with pytest.raises(findings.NeedsEvidence, match="suspected or not tested"):
        add(ticket, owner, certainty=certainty)


@pytest.mark.parametrize("certainty", ["suspected", "not_tested"])
def test_a_finding_without_evidence_may_be_this(ticket, owner, certainty):
    assert add(ticket, owner, certainty=certainty).finding.certainty == certainty


def test_driving_only_as_stated_states_it(ticket, owner):
    with pytest.raises(findings.SaysNotHow):
        add(ticket, owner, certainty="suspected", advice="only_as_stated")


def test_the_database_holds_that_rule_too(ticket, owner):
    entry = add(ticket, owner, certainty="suspected")
    with pytest.raises(IntegrityError), transaction.atomic():
        Finding.objects.filter(pk=entry.pk).update(advice="only_as_stated", advice_words="")


def test_a_swap_is_evidence(ticket, owner):
    swap = swaps.add(ticket=ticket, by=owner, reason="worn_or_damaged").swap
    entry = add(ticket, owner, certainty="suspected", rests_on=[swap])
    assert [basis.swap_uid for basis in entry.finding.bases.all()] == [swap.uid]


def test_a_changed_finding_keeps_its_uid_and_its_first_version(ticket, owner):
    old = add(ticket, owner, certainty="suspected")
    new = add(ticket, owner, certainty="not_tested", corrects=old, why="never looked")
    assert new.finding.uid == old.finding.uid
    assert Finding.objects.current().get(ticket=ticket).certainty == "not_tested"


def test_a_swap_without_a_reason_is_refused(ticket, owner):
    with pytest.raises(swaps.NoReasonGiven):
        swaps.add(ticket=ticket, by=owner, reason="")


def test_a_swap_that_nobody_agreed_to_is_recorded_all_the_same(ticket, owner):
    entry = swaps.add(ticket=ticket, by=owner, reason="worn_or_damaged", facts={"agreed": False})
    assert entry.swap.agreed is False


def test_a_swap_completed_at_the_desk_keeps_what_the_car_said(ticket, owner):
    quick = swaps.add(
        ticket=ticket,
        by=owner,
        reason="worn_or_damaged",
        facts={"part_out": "Strap"},
        leaves_apart=["Battery lead off"],
    )
    swaps.change(entry=quick, by=owner, why="completed", facts={"price_minor": 9640})
    swap = Swap.objects.current().get(ticket=ticket)
    assert (swap.part_out, swap.price_minor, swap.reason) == ("Strap", 9640, "worn_or_damaged")


def test_what_a_swap_leaves_open_stands_on_top_of_the_ticket(ticket, owner):
    swaps.add(ticket=ticket, by=owner, reason="due", leaves_apart=["Drain plug finger-tight"])
    assert [item.what for item in ticket.aparts.still()] == ["Drain plug finger-tight"]
