"""A part is swapped in a few taps at the car, and completed at the desk."""

from __future__ import annotations

import pytest
from django.urls import reverse

from jobs.actions import swaps
from jobs.models import Entry, Photo, Swap
from jobs.ticket_view import TicketView
from shop.models import Profile
from tests.jobs.pictures import strap_test, upload

pytestmark = pytest.mark.django_db

KEY = "d" * 32


def new(ticket) -> str:
    return reverse("swap-add", args=[ticket.number])


def change(entry) -> str:
    return reverse("swap-change", args=[entry.ticket.number, entry.seq])


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


@pytest.fixture
def quick(ticket, owner) -> Entry:
    """A swap as it is entered at the car."""
    return swaps.add(
        ticket=ticket, by=owner, reason="worn_or_damaged", facts={"part_out": "Braided strap"}
    )


# --- at the car ------------------------------------------------------------------------------


def test_a_reason_is_enough(as_technician, ticket):
    answer = as_technician.post(new(ticket), {"reason": "due"})
    swap = Swap.objects.get()
    assert answer.status_code == 303
    assert answer.url == f"{ticket.get_absolute_url()}#e{swap.entry.seq}"
    assert (swap.reason, swap.ours) == ("due", True)


def test_without_a_reason_what_was_typed_stays(as_technician, ticket):
    answer = as_technician.post(new(ticket), {"part_in": "Alternator"})
    assert answer.status_code == 422
    assert "Say why the part is swapped" in text_of(answer)
    assert 'value="Alternator"' in text_of(answer)
    assert not Swap.objects.exists()


def test_label_and_old_part_come_along_as_photos_of_the_swap(as_technician, ticket):
    as_technician.post(
        new(ticket), {"reason": "due", "label_photo": upload(), "old_part_photo": upload()}
    )
    swap = Swap.objects.get()
    assert {(photo.subject, photo.swap_uid) for photo in Photo.objects.all()} == {
        ("label", swap.uid),
        ("old_part", swap.uid),
    }


def test_a_photo_that_is_refused_leaves_the_swap_saved(as_technician, ticket):
    answer = as_technician.post(
        new(ticket), {"reason": "due", "label_photo": upload(b""), "old_part_photo": upload()}
    )
    assert answer.status_code == 303
    page = text_of(as_technician.get(new(ticket)))
    assert "The photo “label of the part” was not taken" in page
    assert "The swap is saved" in page
    assert [photo.subject for photo in Photo.objects.all()] == ["old_part"]


def test_sent_twice_it_is_one_swap_with_its_photos_once(as_technician, ticket):
    for _time in range(2):
        as_technician.post(
            new(ticket),
            {"reason": "due", "client_key": KEY, "label_photo": upload(), "apart": "Undertray"},
        )
    assert Swap.objects.count() == 1
    assert Photo.objects.count() == 1
    assert ticket.aparts.count() == 1


def test_each_line_left_open_is_apart(as_technician, ticket):
    as_technician.post(new(ticket), {"reason": "due", "apart": "Drain plug\n\n  Undertray  "})
    assert [item.what for item in ticket.aparts.still()] == ["Drain plug", "Undertray"]


def test_from_a_test_the_reason_and_the_test_are_set(as_technician, ticket, technician):
    entry = strap_test(ticket, technician)
    page = text_of(as_technician.get(f"{new(ticket)}?test={entry.seq}"))
    assert 'value="pointed_to" id="id_reason_0" checked' in page
    assert f'name="pointed" value="run-{entry.run_link.run_id}"' in page


def test_the_test_that_pointed_to_it_is_kept(as_technician, ticket, technician):
    run = strap_test(ticket, technician).run_link.run
    as_technician.post(new(ticket), {"reason": "pointed_to", "pointed": [f"run-{run.pk}"]})
    assert [(link.role, link.run) for link in Swap.objects.get().runs.all()] == [("pointed", run)]


def test_a_test_of_nowhere_is_no_choice(as_technician, ticket):
    answer = as_technician.post(new(ticket), {"reason": "pointed_to", "pointed": ["run-999"]})
    assert answer.status_code == 422


def test_the_counter_records_no_swap(as_counter, ticket):
    assert as_counter.post(new(ticket), {"reason": "due"}).status_code == 403


# --- at the desk -----------------------------------------------------------------------------


def test_completing_it_needs_no_reason_and_keeps_what_was_said(as_technician, quick):
    answer = as_technician.post(
        change(quick),
        {
            "reason": "worn_or_damaged",
            "part_out": "Braided strap",
            "part_in": "Strap, 25 mm²",
            "price_minor": "18.40",
            "core_minor": "",
            "warranty_months": "24",
            "warranty_km": "20000",
            "condition": "new",
            "agreed": "no",
        },
    )
    swap = Swap.objects.current().get()
    assert answer.status_code == 303
    assert (swap.part_out, swap.part_in, swap.price_minor) == (
        "Braided strap",
        "Strap, 25 mm²",
        1840,
    )
    assert (swap.core_minor, swap.warranty_months, swap.agreed) == (None, 24, False)
    assert swap.uid == quick.swap.uid


def test_saying_something_else_needs_a_reason(as_technician, quick):
    typed = {"reason": "worn_or_damaged", "part_out": "Battery lead"}
    answer = as_technician.post(change(quick), typed)
    assert answer.status_code == 422
    assert "Say why: this changes what was entered before." in text_of(answer)
    assert as_technician.post(change(quick), typed | {"why": "wrong part"}).status_code == 303


def test_taking_a_fact_away_is_saying_something_else(as_technician, quick):
    assert as_technician.post(change(quick), {"reason": "worn_or_damaged"}).status_code == 422
    as_technician.post(change(quick), {"reason": "worn_or_damaged", "why": "not that part"})
    assert Swap.objects.current().get().part_out == ""


def test_the_test_after_it_is_added_later(as_technician, quick, technician):
    run = strap_test(quick.ticket, technician).run_link.run
    as_technician.post(
        change(quick),
        {
            "reason": "worn_or_damaged",
            "part_out": "Braided strap",
            "after": [f"run-{run.pk}"],
        },
    )
    swap = Swap.objects.current().get()
    assert [(link.role, link.run) for link in swap.runs.all()] == [("after", run)]


def test_the_form_shows_what_was_said(as_technician, ticket, owner):
    entry = swaps.add(
        ticket=ticket, by=owner, reason="due", facts={"price_minor": 1840, "agreed": False}
    )
    page = text_of(as_technician.get(change(entry)))
    assert 'name="price_minor" value="18.40"' in page
    assert 'name="agreed" value="no" id="id_agreed_1" checked' in page


@pytest.mark.parametrize(
    ("field", "typed", "fault"),
    [
        ("price_minor", "12,3,4", "12,3,4"),
        ("warranty_months", "two", "two is not a whole number"),
        ("warranty_km", "٣", "is not a whole number"),
        ("core_until", "2026-02-30", "is not a calendar date"),
    ],
)
def test_a_wrong_amount_is_named_and_stays(as_technician, quick, field, typed, fault):
    answer = as_technician.post(
        change(quick), {"reason": "worn_or_damaged", "part_out": "Braided strap", field: typed}
    )
    assert answer.status_code == 422
    assert fault in text_of(answer)
    assert f'value="{typed}"' in text_of(answer)


def test_of_two_changes_of_one_version_the_second_is_told_of_the_first(as_technician, quick):
    typed = {"reason": "worn_or_damaged", "part_out": "Braided strap", "part_in": "New strap"}
    as_technician.post(change(quick), typed)
    answer = as_technician.post(change(quick), typed | {"part_in": "Another strap"})
    assert answer.status_code == 409
    assert "has been replaced by entry" in text_of(answer)
    assert 'value="Another strap"' in text_of(answer)


def test_a_swap_of_another_ticket_is_not_found(as_technician, quick, van, customer, owner):
    from jobs.actions.tickets import open_ticket

    other = open_ticket(car=van, customer=customer, by=owner)
    where = reverse("swap-change", args=[other.number, quick.seq])
    assert as_technician.get(where).status_code == 404


# --- how it reads ----------------------------------------------------------------------------


def test_a_swap_that_no_test_pointed_to_says_so(as_technician, ticket, owner):
    swaps.add(ticket=ticket, by=owner, reason="none_of_these", facts={"part_in": "Starter motor"})
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    assert "No test pointed to it, and no other reason of the list." in page


def test_a_reason_of_the_list_is_shown_as_it_is(as_technician, quick):
    page = text_of(as_technician.get(quick.ticket.get_absolute_url()))
    assert "Worn or damaged, seen." in page
    assert "No test pointed to it" not in page


def test_what_others_fitted_is_the_customers_report(as_technician, ticket):
    where = reverse("swap-elsewhere-add", args=[ticket.number])
    answer = as_technician.post(where, {"part_in": "a battery", "done_on": "2026-03-05"})
    assert answer.status_code == 303
    page = text_of(as_technician.get(ticket.get_absolute_url()))
    assert (
        "The customer reports that a battery was fitted elsewhere on 5 March 2026; we have seen "
        "no test records of it." in page
    )
    assert "customer asks" not in page


def test_a_part_fitted_elsewhere_has_a_name_and_a_day_that_has_been(as_technician, ticket):
    where = reverse("swap-elsewhere-add", args=[ticket.number])
    answer = as_technician.post(where, {"done_on": "2999-01-01", "note": "By a friend"})
    assert answer.status_code == 422
    assert "is still to come" in text_of(answer)
    assert "Say which part" in text_of(answer)
    assert "By a friend" in text_of(answer)


def test_the_customers_report_is_corrected_with_a_reason(as_technician, ticket, owner):
    entry = swaps.add(
        ticket=ticket,
        by=owner,
        reason="customer_asks",
        facts={"ours": False, "part_in": "a battery"},
    )
    assert as_technician.post(change(entry), {"part_in": "a starter"}).status_code == 422
    as_technician.post(change(entry), {"part_in": "a starter", "why": "misheard"})
    swap = Swap.objects.current().get()
    assert (swap.part_in, swap.ours) == ("a starter", False)


def test_a_repeat_of_the_test_before_counts_as_the_test_after(ticket, owner):
    before = strap_test(ticket, owner).run_link.run
    swap = swaps.add(ticket=ticket, by=owner, reason="pointed_to", before=[before])
    again = strap_test(ticket, owner, again_of=before)
    view = TicketView(ticket, Profile.current())
    item = next(i for i in view.entries if i.entry == swap)
    assert [rest["no"] for rest in item.swap["after"]] == [again.seq]
