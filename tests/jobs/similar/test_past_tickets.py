"""Past tickets like a complaint: which are found, in which order, why, and what it was."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from jobs import past_tickets
from jobs.actions import findings, swaps, tickets
from jobs.models import Complaint, Ticket
from jobs.past_tickets import FIRST, seen_before
from jobs.record.append import append
from tests.jobs.pictures import strap_test
from tests.jobs.similar.past import a_car, hand_back, past_ticket

pytestmark = pytest.mark.django_db

HOT = {"engine_temperature": ["hot"]}
GROUND = "starts_badly.poor_ground"
STRAP = "Voltage drop under load: more is lost in one step than is usual"


def seen(ticket):
    fresh = Ticket.objects.with_car().get(pk=ticket.pk)
    return seen_before(Complaint.objects.current().get(ticket=ticket), fresh)


def numbers(pasts):
    return [past.number for past in pasts]


@pytest.fixture
def twin(owner):
    """Another van of the same model, by its engine not known to be the same."""
    return a_car(owner)


@pytest.fixture
def stranger(owner):
    """A car of another make."""
    return a_car(owner, "AB 12 CD", make="Medlar", model="Tansy")


def test_a_shop_without_a_past_has_seen_nothing(ticket):
    found = seen(ticket)
    assert (found.own, found.others, found.compared, found.first) == ([], [], 0, [])


def test_a_past_visit_for_the_same_complaint_is_found(ticket, stranger, customer, owner):
    past = past_ticket(stranger, customer, owner)
    (found,) = seen(ticket).others
    assert (found.number, found.url) == (past.shown_number, past.get_absolute_url())
    assert found.car == "Medlar Tansy 2014"


def test_a_car_that_is_still_here_is_no_past(ticket, twin, customer, owner):
    past_ticket(twin, customer, owner, over=False)
    assert seen(ticket).others == []


def test_another_complaint_of_another_car_is_not_like_it(ticket, stranger, customer, owner):
    past_ticket(stranger, customer, owner, family="overheats", said="Gets too warm.")
    assert seen(ticket).others == []


def test_another_complaint_of_the_same_model_alone_is_not_like_it(ticket, twin, customer, owner):
    past_ticket(twin, customer, owner, family="overheats", said="Gets too warm.")
    found = seen(ticket)
    assert (found.others, found.compared) == ([], 1)


def test_the_most_alike_comes_first(ticket, twin, stranger, customer, owner):
    like = past_ticket(twin, customer, owner, said="Turns over slowly hot.", conditions=HOT)
    less = past_ticket(stranger, customer, owner, said="Long to fire in the morning.")
    assert numbers(seen(ticket).others) == [like.shown_number, less.shown_number]


def test_among_equals_the_newest_comes_first(ticket, customer, owner):
    made = [past_ticket(a_car(owner, f"QX 8{n} ZZ"), customer, owner) for n in range(3)]
    assert numbers(seen(ticket).others) == [one.shown_number for one in reversed(made)]


def test_the_cars_own_visits_stand_apart_the_newest_first(ticket, van, twin, customer, owner):
    made = [past_ticket(van, customer, owner, family=kind) for kind in ("brakes", "starts_badly")]
    other = past_ticket(twin, customer, owner)
    found = seen(ticket)
    assert numbers(found.own) == [one.shown_number for one in reversed(made)]
    assert numbers(found.others) == [other.shown_number]


def test_a_ticket_with_two_complaints_stands_once(ticket, twin, customer, owner):
    past = past_ticket(twin, customer, owner, said="Long to fire.", over=False)
    tickets.add_complaint(ticket=past, words="Slow when hot.", family="starts_badly", by=owner)
    hand_back(past, owner)
    (found,) = seen(ticket).others
    assert found.said == "Slow when hot."


def test_a_complaint_without_a_kind_finds_the_same_model(ticket, twin, customer, owner, van):
    past = past_ticket(twin, customer, owner, said="Judders on the clutch")
    asked = tickets.open_ticket(car=van, customer=customer, by=owner)
    tickets.add_complaint(ticket=asked, words="Judders on the clutch", by=owner)
    assert numbers(seen(asked).others) == [past.shown_number]


# ------------------------------------------------------------------ why


def why(ticket):
    (found,) = seen(ticket).others
    return found.why


def test_the_same_model_and_the_same_kind_are_said(ticket, twin, customer, owner):
    past_ticket(twin, customer, owner)
    assert why(ticket) == "same model; also starts badly"


def test_the_same_engine_is_said(ticket, van, twin, customer, owner):
    van.engine = twin.engine
    van.save()
    past_ticket(twin, customer, owner)
    assert why(ticket).startswith("same model and engine")


def test_the_same_conditions_are_said(ticket, stranger, customer, owner):
    past_ticket(stranger, customer, owner, conditions=HOT)
    assert "as here: engine hot" in why(ticket)


def test_a_test_that_saw_the_same_is_said(ticket, stranger, customer, owner):
    strap_test(ticket, owner)
    past_ticket(stranger, customer, owner, cause=GROUND)
    assert f"there too “{STRAP}”" in why(ticket)


def test_a_test_for_another_complaint_is_not(ticket, stranger, customer, owner):
    noise = tickets.add_complaint(ticket=ticket, words="Knocks.", family="steering", by=owner)
    strap_test(ticket, owner, complaint_uid=noise.complaint.uid)
    past_ticket(stranger, customer, owner, cause=GROUND)
    slow = Complaint.objects.get(ticket=ticket, family="starts_badly")
    (found,) = seen_before(slow, Ticket.objects.with_car().get(pk=ticket.pk)).others
    assert "there too" not in found.why


def test_a_rare_word_that_both_used_is_said(ticket, stranger, customer, owner):
    for number in range(8):
        past_ticket(a_car(owner, f"QX 8{number} ZZ"), customer, owner, said="Long to fire.")
    past_ticket(stranger, customer, owner, said="Turned slowly all week.")
    first = next(one for one in seen(ticket).others if one.car.startswith("Medlar"))
    assert "told with the same words: “slowly”" in first.why


# ------------------------------------------------------------------ what it was


def causes(ticket):
    (found,) = seen(ticket).others
    return found.causes


def test_the_cause_is_told_with_how_it_was_shown(ticket, twin, customer, owner):
    past_ticket(twin, customer, owner, cause=GROUND)
    (cause,) = causes(ticket)
    assert cause.what == "A post, clamp or ground is poor, cold and hot alike"
    assert (cause.certainty, cause.sentence) == ("confirmed", f"Found: {GROUND}.")
    assert cause.rests_on == [STRAP]


def test_the_surest_finding_is_told(ticket, twin, customer, owner):
    past = past_ticket(twin, customer, owner, cause=GROUND, over=False)
    findings.add(
        ticket=past,
        by=owner,
        certainty="suspected",
        sentence="The starter may be tired.",
        advice="no_restriction",
    )
    hand_back(past, owner)
    assert [cause.certainty for cause in causes(ticket)] == ["confirmed"]


def test_what_was_ruled_out_is_no_cause(ticket, twin, customer, owner):
    past_ticket(twin, customer, owner, cause=GROUND, certainty="ruled_out")
    (cause,) = causes(ticket)
    assert (cause.certainty, cause.sentence) == ("", "What it was is not written down.")


def test_a_fault_that_did_not_appear_is_told_so(ticket, twin, customer, owner):
    past = past_ticket(twin, customer, owner, over=False)
    complaint = str(past.complaints.get().uid)
    data = {"complaint": complaint, "tried": [], "not_tried": [], "note": ""}
    append(ticket=past, kind="not_appeared", data=data, by=owner)
    hand_back(past, owner)
    (cause,) = causes(ticket)
    assert cause.sentence == "The fault did not appear while the car was here."


def test_a_cause_that_the_table_lost_is_told_by_its_finding(ticket, twin, customer, owner):
    past_ticket(twin, customer, owner, cause="starts_badly.gremlins")
    (cause,) = causes(ticket)
    assert (cause.what, cause.sentence) == ("", "Found: starts_badly.gremlins.")


def test_a_part_that_was_changed_is_told_with_what_came_of_it(ticket, twin, customer, owner):
    past = past_ticket(twin, customer, owner, over=False)
    facts = {"part_in": "ground strap", "outcome": "not_present"}
    swaps.add(ticket=past, by=owner, reason="pointed_to", facts=facts)
    hand_back(past, owner)
    (found,) = seen(ticket).others
    assert found.swaps == ["Ground strap changed: not present in the repeat"]


def test_a_part_that_others_fitted_is_not_ours_to_tell(ticket, twin, customer, owner):
    past = past_ticket(twin, customer, owner, over=False)
    facts = {"part_in": "starter", "ours": False}
    swaps.add(ticket=past, by=owner, reason="customer_asks", facts=facts)
    hand_back(past, owner)
    (found,) = seen(ticket).others
    assert found.swaps == []


# ------------------------------------------------------------------ the page, and the few


def page(client, ticket):
    seq = ticket.entries.get(kind="complaint").seq
    answer = client.get(reverse("ticket-complaint-before", args=[ticket.number, seq]))
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_page_names_ticket_car_and_cause_and_no_customer(as_counter, ticket, twin, owner):
    from shop.actions import customers

    other = customers.add(name="Piet Ostrander", phones=["01632 960177"], by=owner)
    past = past_ticket(twin, other, owner, cause=GROUND)
    shown = page(as_counter, ticket)
    assert f"<b>{past.shown_number}, Corvane Hauler 22 2014</b>" in shown
    assert "A post, clamp or ground is poor" in shown
    assert "Ostrander" not in shown and "960177" not in shown


def test_a_page_without_a_past_says_so(as_technician, ticket):
    assert "Not that we know of" in page(as_technician, ticket)


def test_the_tickets_page_leads_there(as_technician, ticket):
    seq = ticket.entries.get(kind="complaint").seq
    url = reverse("ticket-complaint-before", args=[ticket.number, seq])
    assert url in as_technician.get(ticket.get_absolute_url()).content.decode()


def test_an_entry_that_is_no_complaint_is_not_found(as_technician, ticket, owner):
    note = tickets.add_note(ticket=ticket, words="Belt glazed.", by=owner)
    url = reverse("ticket-complaint-before", args=[ticket.number, note.seq])
    assert as_technician.get(url).status_code == 404


def test_of_many_the_first_three_are_shown_elsewhere_with_the_way_to_the_rest(
    ticket, customer, owner
):
    for number in range(FIRST + 2):
        past_ticket(a_car(owner, f"QX 8{number} ZZ"), customer, owner)
    found = seen(ticket)
    shown = render_to_string("jobs/_seen_before.html", {"seen": found})
    assert shown.count("<li><a ") == FIRST
    assert "2 more like it" in shown and found.url in shown


def test_where_nothing_was_seen_nothing_is_shown(ticket):
    assert render_to_string("jobs/_seen_before.html", {"seen": seen(ticket)}).strip() == ""


def test_an_unlike_visit_of_the_car_is_not_among_the_first(ticket, van, twin, customer, owner):
    past_ticket(van, customer, owner, family="brakes", said="Squeals.")
    like = past_ticket(twin, customer, owner)
    assert numbers(seen(ticket).first) == [like.shown_number]


# ------------------------------------------------------------------ size


def test_the_queries_are_as_many_for_a_long_past(
    ticket, twin, customer, owner, django_assert_num_queries
):
    fresh = Ticket.objects.with_car().get(pk=ticket.pk)
    complaint = Complaint.objects.select_related("entry").get(ticket=ticket)
    past_ticket(twin, customer, owner, cause=GROUND)
    with django_assert_num_queries(7):
        seen_before(complaint, fresh)
    for number in range(4):
        past_ticket(a_car(owner, f"QX 8{number} ZZ"), customer, owner, cause=GROUND)
    with django_assert_num_queries(7):
        seen_before(complaint, fresh)


def test_only_the_newest_are_compared(ticket, customer, owner, monkeypatch):
    monkeypatch.setattr(past_tickets, "MOST_COMPARED", 2)
    made = [past_ticket(a_car(owner, f"QX 8{n} ZZ"), customer, owner) for n in range(3)]
    first = made[0]
    Ticket.objects.filter(pk=first.pk).update(opened_at=first.opened_at - timedelta(days=900))
    found = seen(ticket)
    assert found.compared == 2
    assert first.shown_number not in numbers(found.others)
