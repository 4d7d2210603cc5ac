"""A ticket moves from state to state; what is apart stands between it and the keys."""

from __future__ import annotations

import pytest
from django.urls import reverse

from jobs.actions import apart, intake, tickets
from jobs.models import Ticket

pytestmark = pytest.mark.django_db

KEY = "0123456789abcdef0123456789abcdef"


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


def move(client, ticket: Ticket, to: str, **typed):
    answer = client.post(reverse("ticket-state", args=[ticket.number]), {"to": to} | typed)
    ticket.refresh_from_db()
    return answer


def last_data(ticket: Ticket) -> dict:
    return ticket.entries.in_order().last().data


def test_a_booked_car_is_received(as_counter, owner):
    ticket = intake.take_in(by=owner, plate="BN58KLD", state="booked")
    assert move(as_counter, ticket, "in_the_bay").status_code == 303
    assert ticket.state == "in_the_bay"
    assert ticket.received_at is not None


def test_waiting_says_what_for(as_counter, ticket):
    answer = move(as_counter, ticket, "waiting")
    assert answer.status_code == 422
    assert "Choose what it waits for" in text_of(answer)
    assert ticket.state == "in_the_bay"


def test_what_it_waits_for_stands_on_the_ticket(as_counter, ticket):
    move(as_counter, ticket, "waiting", waits_for="part", note="Strap, Thursday.")
    assert (ticket.state, ticket.waits_for) == ("waiting", "part")
    assert "Strap, Thursday." in text_of(as_counter.get(ticket.get_absolute_url()))


def test_it_may_wait_for_something_else_next(as_counter, ticket):
    move(as_counter, ticket, "waiting", waits_for="part")
    assert move(as_counter, ticket, "waiting", waits_for="overnight").status_code == 303
    assert ticket.waits_for == "overnight"


def test_a_reason_ticked_by_mistake_does_not_stay_with_another_state(as_counter, ticket):
    move(as_counter, ticket, "on_trial", waits_for="part")
    assert (ticket.state, ticket.waits_for) == ("on_trial", "")


@pytest.mark.parametrize("to", ["booked", "handed_back", "gone", ""])
def test_states_beyond_one_step_are_refused(as_counter, ticket, to):
    assert move(as_counter, ticket, to).status_code == 422
    assert ticket.state == "in_the_bay"


def test_the_page_offers_only_the_states_of_one_step(as_counter, ticket):
    page = as_counter.get(reverse("ticket-state", args=[ticket.number])).content.decode()
    for code in ("waiting", "on_trial", "ready"):
        assert f'name="to" value="{code}"' in page
    for code in ("booked", "handed_back", "in_the_bay"):
        assert f'name="to" value="{code}"' not in page


def test_not_ready_while_anything_is_apart_and_the_page_says_what(as_technician, ticket, owner):
    apart.take_apart(ticket=ticket, what="Fuse 14 pulled", by=owner)
    answer = move(as_technician, ticket, "ready", note="Done.")
    page = text_of(answer)
    assert answer.status_code == 422
    assert ticket.state == "in_the_bay"
    assert "Still apart: Fuse 14 pulled" in page
    assert reverse("apart", args=[ticket.number]) in page
    assert "Done." in page


def test_what_came_apart_after_ready_keeps_the_car_here(as_technician, ticket, owner):
    move(as_technician, ticket, "ready")
    apart.take_apart(ticket=ticket, what="Drain plug finger-tight", by=owner)
    assert move(as_technician, ticket, "handed_back").status_code == 422
    assert ticket.state == "ready"


def test_ticked_back_it_may_go(as_technician, ticket, owner):
    item = apart.take_apart(ticket=ticket, what="Fuse 14 pulled", by=owner).apart
    apart.tick_back(ticket=ticket, apart=item, by=owner)
    assert move(as_technician, ticket, "ready").status_code == 303


def test_handed_back_with_odometer_and_last_check(as_counter, ticket):
    move(as_counter, ticket, "ready")
    move(
        as_counter,
        ticket,
        "handed_back",
        odometer_out="148 242",
        checked=["brake_pedal", "road_test"],
        wheel_nuts="120 N·m, wrench 2, T. Reyk",
        note="Keys to her son.",
    )
    assert (ticket.state, ticket.odometer_out) == ("handed_back", 148_242)
    assert ticket.handed_back_at is not None
    assert last_data(ticket)["note"] == (
        "Last check: brake pedal firm before the car moved; road test; "
        "wheel nuts: 120 N·m, wrench 2, T. Reyk.\nKeys to her son."
    )


def test_the_last_check_is_asked_but_stops_nobody(as_counter, ticket):
    move(as_counter, ticket, "ready")
    assert move(as_counter, ticket, "handed_back").status_code == 303
    assert "note" not in last_data(ticket)


def test_an_odometer_lower_than_at_arrival_is_asked_about_and_can_stand(as_counter, ticket):
    answer = move(as_counter, ticket, "ready", odometer_out="148200")
    assert answer.status_code == 422
    assert "Last time it read 148 230 km. Why is it lower?" in text_of(answer)
    answer = move(as_counter, ticket, "ready", odometer_out="148200", odometer_why="")
    assert answer.status_code == 303


@pytest.mark.parametrize("typed", ["148.242", "148,242"])
def test_a_grouped_odometer_is_refused_with_both_readings(as_counter, ticket, typed):
    answer = move(as_counter, ticket, "ready", odometer_out=typed)
    assert answer.status_code == 422
    assert "can be read as 148242 or as 148" in text_of(answer)


def test_on_trial_the_ticket_stays_open(as_counter, ticket):
    move(as_counter, ticket, "on_trial", note="Ring on Friday.")
    assert ticket.is_open


def test_a_car_that_comes_back_at_once_opens_its_ticket_again(as_counter, ticket):
    for state in ("ready", "handed_back", "in_the_bay"):
        assert move(as_counter, ticket, state).status_code == 303
    assert ticket.handed_back_at is None


def test_sent_twice_it_is_one_move(as_counter, ticket):
    before = ticket.entries.count()
    move(as_counter, ticket, "waiting", waits_for="part", client_key=KEY)
    move(as_counter, ticket, "waiting", waits_for="part", client_key=KEY)
    assert ticket.entries.count() == before + 1


def test_two_phones_that_move_at_once_make_one_move(as_counter, ticket, owner):
    tickets.move(ticket=Ticket.objects.get(pk=ticket.pk), to="ready", by=owner)
    answer = move(as_counter, ticket, "ready")
    assert answer.status_code == 422
    assert ticket.entries.filter(kind="state").count() == 1


@pytest.mark.parametrize("note", ["a\x00b", "x" * 2_001])
def test_a_note_that_no_page_can_hold_is_refused(as_counter, ticket, note):
    assert move(as_counter, ticket, "ready", note=note).status_code == 422
    assert ticket.state == "in_the_bay"
