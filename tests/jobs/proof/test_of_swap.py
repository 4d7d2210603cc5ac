"""What a ticket's record says of its swaps, worked out when it is read."""

from __future__ import annotations

import pytest

from jobs.actions import alterations, apart, drives, swaps, tickets
from jobs.proof.of_swap import records_of
from tests.jobs.proof.made import (
    comes_and_goes,
    item_of,
    proof_of,
    reasons,
    renewed,
    strap,
    tried,
)

pytestmark = pytest.mark.django_db

STRAP = {"part_out": "Braided strap", "part_in": "Ground strap"}


@pytest.fixture
def before(ticket, owner):
    """The test that found the strap, the complaint there."""
    return strap(ticket, owner)


@pytest.fixture
def swap(ticket, owner, before):
    """The strap changed since that test pointed to it."""
    run = before.run_link.run
    return swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)


@pytest.mark.parametrize(
    ("first", "then", "code", "because"),
    [
        ((6, 5), (5, 4), "no_change", set()),
        ((20, 18), (20, 3), "changed_not_cured", set()),
        ((6, 5), (2, 0), "cannot_tell", {"too_uncertain"}),
        ((6, 5), (12, 0), "not_present", set()),
    ],
)
def test_tries_after_it_count_by_how_often_the_complaint_came(
    ticket, owner, first, then, code, because
):
    before = tried(ticket, owner, *first, often="every").run_link.run
    entry = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[before], facts=STRAP)
    tried(ticket, owner, *then, often="every")
    proof = proof_of(ticket, entry)
    assert (proof.code, set(reasons(proof))) == (code, because)


def test_without_a_test_after_it_is_not_checked(ticket, swap):
    proof = proof_of(ticket, swap)
    assert (proof.code, proof.standing) == ("not_checked", "not_checked")


def test_a_like_test_after_it_counts_though_nobody_names_it(ticket, owner, swap):
    renewed(ticket, owner)
    proof = proof_of(ticket, swap)
    assert (proof.code, proof.standing) == ("not_present", "pointed_cured")


def test_a_test_after_it_that_is_taken_back_counts_no_more(ticket, owner, swap):
    after = renewed(ticket, owner)
    tickets.withdraw(entry=after, why="wrong car", by=owner)
    assert proof_of(ticket, swap).code == "not_checked"


def test_a_corrected_test_counts_as_corrected(ticket, owner, swap):
    after = renewed(ticket, owner)
    run = after.run_link.run
    swaps.change(entry=swap, by=owner, why="completed", after=[run])
    strap(ticket, owner, corrects=after, why="readings of another car")
    assert proof_of(ticket, swap).code == "no_change"


def test_of_several_repeats_the_latest_counts(ticket, owner, swap):
    strap(ticket, owner)
    assert proof_of(ticket, swap).code == "no_change"
    renewed(ticket, owner)
    found = proof_of(ticket, swap)
    assert found.code == "not_present"
    assert [pair.counts for pair in found.pairs] == [False, True]


def test_the_repeat_is_held_against_the_latest_test_before_the_change(ticket, owner, before):
    later = strap(ticket, owner)
    run = before.run_link.run
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)
    renewed(ticket, owner)
    (pair,) = proof_of(ticket, swap).pairs
    assert pair.before.entry == later


def test_a_test_in_the_same_heat_is_preferred_to_a_later_one(ticket, owner, before):
    strap(ticket, owner, state_of_car="cold")
    run = before.run_link.run
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)
    renewed(ticket, owner)
    (pair,) = proof_of(ticket, swap).pairs
    assert pair.before.entry == before


def test_another_heat_is_named_as_other_conditions(ticket, owner, swap):
    renewed(ticket, owner, state_of_car="cold")
    proof = proof_of(ticket, swap)
    assert (proof.code, proof.standing) == ("cannot_tell", "not_settled")
    assert reasons(proof)["conditions"] == ("the engine was hot before and cold after",)


def test_a_test_after_it_without_a_like_one_before_cannot_tell(ticket, owner):
    swap = swaps.add(ticket=ticket, by=owner, reason="worn_or_damaged", facts=STRAP)
    after = renewed(ticket, owner)
    swaps.change(entry=swap, by=owner, why="completed", after=[after.run_link.run])
    proof = proof_of(ticket, swap)
    assert (proof.code, list(reasons(proof))) == ("cannot_tell", ["no_before"])


def test_a_test_alone_may_still_see_the_complaint(ticket, owner):
    swap = swaps.add(ticket=ticket, by=owner, reason="worn_or_damaged", facts=STRAP)
    after = strap(ticket, owner)
    swaps.change(entry=swap, by=owner, why="completed", after=[after.run_link.run])
    assert proof_of(ticket, swap).code == "no_change"


def test_a_further_repeat_in_another_heat_takes_nothing_from_the_first(ticket, owner, swap):
    renewed(ticket, owner)
    renewed(ticket, owner, state_of_car="cold")
    assert proof_of(ticket, swap).code == "not_present"


def test_that_another_complaint_is_there_says_nothing_of_this_one(ticket, owner):
    first = ticket.entries.get(kind="complaint").complaint.uid
    other = tickets.add_complaint(ticket=ticket, words="It squeals.", by=owner).complaint.uid
    run = strap(ticket, owner, complaint_uid=first).run_link.run
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)
    renewed(ticket, owner, complaint_uid=other, fault_present="yes")
    assert list(reasons(proof_of(ticket, swap))) == ["unknown_after"]


def test_a_wish_needs_no_complaint_to_be_asked_about(van, customer, owner):
    ticket = tickets.open_ticket(car=van, customer=customer, by=owner)
    run = strap(ticket, owner, fault_present="unknown").run_link.run
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)
    renewed(ticket, owner, fault_present="unknown")
    assert proof_of(ticket, swap).code == "not_present"


# ------------------------------------------------------------------ disturbed on the way


def unplugged(ticket, owner, swap):
    apart.take_apart(ticket=ticket, what="Connector X1 unplugged", by=owner)
    return "Connector X1 unplugged"


def altered(ticket, owner, swap):
    alterations.add(ticket=ticket, what="Fan wired to run always", by=owner)
    return "Fan wired to run always"


@pytest.mark.parametrize("disturb", [unplugged, altered])
def test_gone_after_something_else_was_moved_is_cannot_tell(ticket, owner, swap, disturb):
    what = disturb(ticket, owner, swap)
    renewed(ticket, owner)
    proof = proof_of(ticket, swap)
    assert proof.code == "cannot_tell"
    assert reasons(proof) == {"disturbed": (what,)}


def test_what_the_swap_itself_left_open_disturbs_nothing(ticket, owner, before):
    run = before.run_link.run
    swap = swaps.add(
        ticket=ticket,
        by=owner,
        reason="pointed_to",
        pointed=[run],
        facts=STRAP,
        leaves_apart=["Undertray"],
    )
    renewed(ticket, owner)
    assert proof_of(ticket, swap).code == "not_present"


def test_what_was_moved_before_the_fault_was_seen_again_disturbs_nothing(ticket, owner, before):
    apart.take_apart(ticket=ticket, what="Connector X1 unplugged", by=owner)
    strap(ticket, owner)
    run = before.run_link.run
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)
    renewed(ticket, owner)
    assert proof_of(ticket, swap).code == "not_present"


def test_of_two_parts_changed_before_the_repeat_neither_is_proved(ticket, owner, swap):
    other = swaps.add(
        ticket=ticket, by=owner, reason="none_of_these", facts={"part_in": "Starter motor"}
    )
    renewed(ticket, owner)
    proof = proof_of(ticket, swap)
    assert reasons(proof) == {"disturbed": ("Starter motor",)}
    assert proof_of(ticket, other).standing == "not_pointed"


def test_a_test_before_the_next_part_counts_for_the_first_alone(ticket, owner, swap):
    strap(ticket, owner)
    swaps.add(ticket=ticket, by=owner, reason="none_of_these", facts={"part_in": "Starter motor"})
    renewed(ticket, owner)
    assert proof_of(ticket, swap).code == "no_change"


def test_a_weak_battery_is_named(ticket, owner, swap, monkeypatch):
    from jobs import battery

    monkeypatch.setattr(battery, "remark", lambda *_, **__: "It was made on a weak battery: 40 %.")
    renewed(ticket, owner)
    proof = proof_of(ticket, swap)
    assert reasons(proof) == {"doubt": ("It was made on a weak battery: 40 %",)}


# ------------------------------------------------------------------ a fault that comes and goes


def driven(ticket, swap, owner, count, *, back=False):
    return drives.add(ticket=ticket, swap=swap.swap, drives=count, came_back=back, by=owner)


def test_a_good_repeat_of_a_fault_that_comes_and_goes_waits_for_drives(ticket, owner, swap):
    comes_and_goes(ticket, owner)
    renewed(ticket, owner)
    driven(ticket, swap, owner, 3)
    item = item_of(ticket, swap)
    assert (item.proof.code, item.proof.standing) == ("no_recurrence_yet", "not_settled")
    assert item.swap["outcome_word"] == "no recurrence yet, 3 of 11"
    driven(ticket, swap, owner, 8)
    assert proof_of(ticket, swap).standing == "pointed_cured"


def test_drives_that_are_taken_back_count_no_more(ticket, owner, swap):
    comes_and_goes(ticket, owner, "every_second")
    entry = driven(ticket, swap, owner, 5)
    assert proof_of(ticket, swap).code == "not_present"
    tickets.withdraw(entry=entry, why="another car", by=owner)
    assert proof_of(ticket, swap).code == "not_checked"


def test_once_it_came_back_it_is_not_cured(ticket, owner, swap):
    comes_and_goes(ticket, owner)
    renewed(ticket, owner)
    driven(ticket, swap, owner, 6, back=True)
    driven(ticket, swap, owner, 40)
    proof = proof_of(ticket, swap)
    assert (proof.code, proof.standing) == ("changed_not_cured", "pointed_not_cured")
    assert "came_back" in reasons(proof)


def test_that_it_came_back_counts_however_often_it_is_told_to_come(ticket, owner, swap):
    renewed(ticket, owner)
    driven(ticket, swap, owner, 0, back=True)
    assert proof_of(ticket, swap).code == "changed_not_cured"


def test_tries_as_told_after_the_change_count_as_drives(ticket, owner, swap):
    comes_and_goes(ticket, owner)
    tried(ticket, owner, 4)
    driven(ticket, swap, owner, 2)
    proof = proof_of(ticket, swap)
    assert (proof.code, proof.by_tests.clock.clean) == ("no_recurrence_yet", 6)


def test_tries_before_the_change_are_no_drives_after_it(ticket, owner, before):
    comes_and_goes(ticket, owner)
    tried(ticket, owner, 4)
    run = before.run_link.run
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)
    assert proof_of(ticket, swap).by_tests.clock.clean == 0


def test_a_try_in_which_it_comes_is_a_return(ticket, owner, swap):
    comes_and_goes(ticket, owner)
    tried(ticket, owner, 4, came=1)
    assert "came_back" in reasons(proof_of(ticket, swap))


def test_neither_a_drive_nor_a_return_is_nothing_to_write_down(ticket, owner, swap):
    with pytest.raises(drives.NoDrives):
        driven(ticket, swap, owner, 0)


# ------------------------------------------------------------------ what somebody wrote down


def test_a_word_that_gives_its_reason_counts_against_the_tests(ticket, owner, before):
    facts = STRAP | {"outcome": "not_present", "outcome_why": "Seen to turn over ten times, hot."}
    run = before.run_link.run
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=facts)
    strap(ticket, owner, fault_present="unknown", state_of_car="cold")
    proof = proof_of(ticket, swap)
    assert (proof.by_tests.code, proof.code) == ("cannot_tell", "not_present")
    assert (proof.overruled, proof.standing) == (True, "pointed_cured")


def test_a_word_without_a_reason_gives_way_to_the_tests(ticket, owner, before):
    run = before.run_link.run
    facts = STRAP | {"outcome": "not_present"}
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=facts)
    strap(ticket, owner)
    proof = proof_of(ticket, swap)
    assert (proof.code, proof.differs, proof.overruled) == ("no_change", True, False)


def test_a_word_alone_is_no_proof(ticket, owner, before):
    run = before.run_link.run
    facts = STRAP | {"outcome": "not_present"}
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=facts)
    proof = proof_of(ticket, swap)
    assert (proof.code, proof.standing) == ("not_present", "not_checked")


def test_the_suspects_hear_what_the_tests_show(ticket, owner, swap):
    assert item_of(ticket, swap).swap_outcome == ""
    renewed(ticket, owner)
    assert item_of(ticket, swap).swap_outcome == "not_present"


# ------------------------------------------------------------------ many tickets


def test_many_tickets_are_read_as_the_page_reads_one(
    ticket, owner, swap, django_assert_num_queries
):
    renewed(ticket, owner)
    with django_assert_num_queries(2):
        record = records_of([ticket.pk])[ticket.pk]
        (view,) = record.swaps
        proof = record.proof(view.data)
    assert (proof.code, proof.standing) == ("not_present", "pointed_cured")
