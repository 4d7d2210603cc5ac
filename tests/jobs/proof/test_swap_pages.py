"""Recording a swap: the test that would tell is named first, and what came of it is worked out."""

from __future__ import annotations

import pytest
from django.urls import reverse

from jobs.actions import drives, swaps, tickets
from jobs.models import Swap
from jobs.proof.quickest import quickest
from jobs.ticket_view import TicketView
from tests.jobs.proof.made import comes_and_goes, item_of, proof_of, renewed, strap

pytestmark = pytest.mark.django_db

STRAP = {"part_out": "Braided strap", "part_in": "Ground strap"}


def new(ticket) -> str:
    return reverse("swap-add", args=[ticket.number])


def change(entry) -> str:
    return reverse("swap-change", args=[entry.ticket.number, entry.seq])


def since(entry) -> str:
    return reverse("swap-drives", args=[entry.ticket.number, entry.seq])


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


@pytest.fixture
def swap(ticket, owner):
    """The strap changed since a test pointed to it."""
    run = strap(ticket, owner).run_link.run
    return swaps.add(ticket=ticket, by=owner, reason="pointed_to", pointed=[run], facts=STRAP)


# ------------------------------------------------------------------ without a test


@pytest.mark.parametrize("reason", ["none_of_these", "tried_as_test"])
def test_a_part_that_no_test_points_to_is_asked_about_once(as_technician, ticket, reason):
    answer = as_technician.post(new(ticket), {"reason": reason, "part_in": "Starter motor"})
    page = text_of(answer)
    assert answer.status_code == 422
    assert "No test points to this part." in page
    assert 'value="Starter motor"' in page
    assert 'name="warned" value="yes"' in page
    assert not Swap.objects.exists()


def test_the_second_press_goes_on_and_the_record_says_so(as_technician, ticket):
    typed = {"reason": "none_of_these", "part_in": "Starter motor"}
    answer = as_technician.post(new(ticket), typed | {"warned": "yes"})
    assert answer.status_code == 303
    assert Swap.objects.get().entry.data["without_test"] is True
    assert "Gone on without a test." in text_of(as_technician.get(ticket.get_absolute_url()))


@pytest.mark.parametrize(
    "reason",
    ["pointed_to", "worn_or_damaged", "due", "renewed_when_opened", "customer_asks"],
)
def test_other_reasons_are_not_asked_about(as_technician, ticket, reason):
    answer = as_technician.post(new(ticket), {"reason": reason, "part_in": "Starter motor"})
    assert answer.status_code == 303
    assert "without_test" not in Swap.objects.get().entry.data


def test_a_test_that_points_to_it_is_enough(as_technician, ticket, owner):
    run = strap(ticket, owner).run_link.run
    answer = as_technician.post(
        new(ticket), {"reason": "tried_as_test", "pointed": [f"run-{run.pk}"]}
    )
    assert answer.status_code == 303


def test_the_test_that_tells_of_the_part_is_offered(as_technician, ticket, shop):
    best = quickest(TicketView(ticket, shop), ("Ground strap",))
    page = text_of(
        as_technician.post(new(ticket), {"reason": "none_of_these", "part_in": "Ground strap"})
    )
    assert f"The quickest test that would tell of: {best.about}." in page
    assert reverse("test-new", args=[ticket.number, best.procedure]) in page


def test_without_a_name_the_best_test_for_the_complaint_is_offered(as_technician, ticket):
    page = text_of(as_technician.post(new(ticket), {"reason": "none_of_these"}))
    assert "No table knows this part. The quickest test for what is reported:" in page


def test_without_a_complaint_trying_it_is_still_offered(as_technician, van, customer, owner):
    ticket = tickets.open_ticket(car=van, customer=customer, by=owner)
    page = text_of(as_technician.post(new(ticket), {"reason": "tried_as_test"}))
    assert "move or lend it" in page
    assert reverse("test-new", args=[ticket.number, "substitution"]) in page


def test_completing_such_a_swap_asks_no_more_and_keeps_what_was_said(as_technician, ticket, owner):
    facts = {"part_in": "Starter motor", "without_test": True}
    entry = swaps.add(ticket=ticket, by=owner, reason="none_of_these", facts=facts)
    answer = as_technician.post(
        change(entry),
        {"reason": "none_of_these", "part_in": "Starter motor", "price_minor": "210.00"},
    )
    assert answer.status_code == 303
    assert Swap.objects.current().get().entry.data["without_test"] is True


def test_a_reason_that_becomes_such_a_one_is_asked_about(as_technician, ticket, owner):
    entry = swaps.add(ticket=ticket, by=owner, reason="due", facts={"part_in": "Starter motor"})
    typed = {"reason": "none_of_these", "part_in": "Starter motor", "why": "it was not due"}
    assert as_technician.post(change(entry), typed).status_code == 422
    assert as_technician.post(change(entry), typed | {"warned": "yes"}).status_code == 303
    assert Swap.objects.current().get().entry.data["without_test"] is True


# ------------------------------------------------------------------ fitted before


def test_the_cars_past_swaps_of_the_like_part_come_first(
    as_technician, ticket, swap, owner, van, customer
):
    renewed(ticket, owner)
    swaps.add(ticket=ticket, by=owner, reason="due", facts={"part_in": "Oil filter"})
    other = tickets.open_ticket(car=van, customer=customer, by=owner)
    page = text_of(
        as_technician.post(new(other), {"reason": "none_of_these", "part_in": "ground strap"})
    )
    like, others = page.index("<b>Ground strap</b>"), page.index("<b>Oil filter</b>")
    assert like < page.index("One other part") < others
    assert f"fitted on ticket {ticket.shown_number}" in page
    assert "Standing: pointed to and cured. Not present in the repeat" in page


def test_what_others_fitted_is_the_customers_report_there_too(as_technician, ticket, owner):
    facts = {"ours": False, "part_in": "a starter motor", "done_on": "2026-03-05"}
    swaps.add(ticket=ticket, by=owner, reason="customer_asks", facts=facts)
    page = text_of(as_technician.get(new(ticket)))
    assert "The customer reports that a starter motor was fitted elsewhere on 5 March 2026" in page
    assert "Standing:" not in page


def test_a_swap_is_not_shown_as_its_own_past(as_technician, swap):
    assert "Changed on this car before" not in text_of(as_technician.get(change(swap)))


# ------------------------------------------------------------------ what came of it


def test_the_ticket_shows_outcome_standing_and_readings(as_technician, ticket, owner, swap):
    renewed(ticket, owner)
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    assert "Not present in the repeat<small>Standing: pointed to and cured</small>" in page


def test_why_it_cannot_be_told_stands_beside_it(as_technician, ticket, owner, swap):
    renewed(ticket, owner, state_of_car="cold")
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    assert "Cannot tell<small>Standing: not settled yet</small>" in page
    assert "The repeat was made under other conditions: the engine was hot before" in page


def test_the_form_offers_what_the_tests_show(as_technician, ticket, owner, swap):
    renewed(ticket, owner)
    page = text_of(as_technician.get(change(swap)))
    assert 'value="not_present" id="id_outcome_0" checked' in page
    assert "By the tests chosen: not present in the repeat." in page


def typed(swap, **more):
    pointed = swap.swap.runs.get().run_id
    return {"reason": "pointed_to", "pointed": [f"run-{pointed}"], **STRAP, **more}


def test_another_outcome_needs_a_reason(as_technician, ticket, owner, swap):
    renewed(ticket, owner)
    answer = as_technician.post(change(swap), typed(swap, outcome="no_change"))
    assert answer.status_code == 422
    assert "By the tests it is “not present in the repeat”." in text_of(answer)
    why = {"outcome": "no_change", "outcome_why": "It still turns over slowly on the road."}
    assert as_technician.post(change(swap), typed(swap, **why)).status_code == 303
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    assert "Written down as: no change." in page
    assert "It still turns over slowly on the road." in page
    assert proof_of(ticket, swap).standing == "pointed_not_cured"


def test_what_the_tests_show_now_takes_the_place_of_an_older_word(
    as_technician, ticket, owner, swap
):
    strap(ticket, owner)
    first = {"outcome": "no_change"}
    assert as_technician.post(change(swap), typed(swap, **first)).status_code == 303
    renewed(ticket, owner)
    latest = item_of(ticket, swap).entry
    answer = as_technician.post(change(latest), typed(swap, outcome="not_present"))
    assert answer.status_code == 303


def test_an_outcome_left_open_is_worked_out(as_technician, ticket, owner, swap):
    assert as_technician.post(change(swap), typed(swap, price_minor="18.40")).status_code == 303
    renewed(ticket, owner)
    assert Swap.objects.current().get().outcome == ""
    assert proof_of(ticket, swap).code == "not_present"


# ------------------------------------------------------------------ drives


def test_drives_are_written_down_from_the_swap(as_counter, ticket, owner, swap):
    comes_and_goes(ticket, owner)
    assert since(swap) in text_of(as_counter.get(ticket.get_absolute_url()))
    answer = as_counter.post(
        since(swap), {"drives": "3", "came_back": "no", "who": "owner", "note": "Rang at noon."}
    )
    assert answer.status_code == 303
    page = text_of(as_counter.get(ticket.get_absolute_url()))
    assert "3 drives without it. Driven by: the owner." in page
    assert "No recurrence yet, 3 of 11" in page
    assert "Rang at noon." in page


def test_the_page_of_drives_says_how_many_there_were(as_technician, ticket, owner, swap):
    comes_and_goes(ticket, owner)
    drives.add(ticket=ticket, swap=swap.swap, drives=3, came_back=False, by=owner)
    page = text_of(as_technician.get(since(swap)))
    assert "3 drives without it so far." in page
    assert "it takes 11 in a row before that means much." in page


@pytest.mark.parametrize(
    ("sent", "fault"),
    [
        ({"came_back": "no"}, "Say how many drives there were without it."),
        ({"drives": "3"}, "Say whether it came back: choose one."),
        ({"drives": "many", "came_back": "no"}, "many is not a whole number"),
        ({"drives": "501", "came_back": "no"}, "501 is not a whole number from 0 to 500"),
    ],
)
def test_what_is_missing_or_wrong_is_said_and_nothing_is_lost(as_technician, swap, sent, fault):
    answer = as_technician.post(since(swap), sent | {"note": "In the rain."})
    assert answer.status_code == 422
    assert fault in text_of(answer)
    assert "In the rain." in text_of(answer)


def test_that_it_came_back_needs_no_count(as_technician, ticket, swap):
    assert as_technician.post(since(swap), {"came_back": "yes"}).status_code == 303
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    assert "Then it came back." in page
    assert "It came back on a drive after the change." in page


def test_sent_twice_drives_count_once(as_technician, ticket, owner, swap):
    comes_and_goes(ticket, owner)
    for _time in range(2):
        as_technician.post(since(swap), {"drives": "3", "came_back": "no", "client_key": "d" * 32})
    assert proof_of(ticket, swap).by_tests.clock.clean == 3


def test_of_what_others_fitted_no_drives_are_counted(as_technician, ticket, owner):
    facts = {"ours": False, "part_in": "a battery"}
    entry = swaps.add(ticket=ticket, by=owner, reason="customer_asks", facts=facts)
    assert as_technician.get(since(entry)).status_code == 404


def test_drives_stay_with_a_swap_that_is_completed_later(as_technician, ticket, owner, swap, shop):
    comes_and_goes(ticket, owner)
    drives.add(ticket=ticket, swap=swap.swap, drives=3, came_back=False, by=owner)
    changed = swaps.change(entry=swap, by=owner, why="completed", facts={"maker": "Works"})
    view = TicketView(ticket, shop)
    assert view.swap_of(changed.data["uid"]).proof.by_tests.clock.clean == 3
