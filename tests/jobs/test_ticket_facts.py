"""What is added to a visit after it has begun: check-in, people, complaints, wishes, notes."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from jobs.actions import intake, tickets
from jobs.models import Entry, Ticket
from shop.actions import cars, customers
from shop.models import Car, Customer, Profile

pytestmark = pytest.mark.django_db

KEY = "0123456789abcdef0123456789abcdef"
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
BIDI = "\u202e"


@pytest.fixture
def noon():
    """A fixed noon, from before anybody signs in."""
    with time_machine.travel(NOON, tick=False):
        yield


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


def send(client, page: str, ticket: Ticket, **typed):
    return client.post(reverse(page, args=[ticket.number]), {"client_key": uuid4().hex} | typed)


def check_in(client, ticket: Ticket, **typed):
    return send(client, "ticket-check-in", ticket, **typed)


def entries(ticket: Ticket, kind: str) -> list[Entry]:
    return list(ticket.entries.filter(kind=kind).in_order())


# --- check-in --------------------------------------------------------------------------------


def test_facts_are_an_entry_and_stand_on_the_ticket(as_counter, ticket):
    answer = check_in(
        as_counter,
        ticket,
        fuel_level="half",
        lamps=["engine", "brake"],
        damage="Scratch, left door",
        belongings="2 keys, child seat",
        allowance_minor="150",
        arrival="towed",
    )
    ticket.refresh_from_db()
    entry = entries(ticket, "ticket_changed")[-1]
    assert answer.status_code == 303
    assert answer["Location"].endswith(f"#e{entry.seq}")
    assert (ticket.fuel_level, ticket.arrival) == ("half", "towed")
    assert ticket.lamps == ["engine", "brake"]
    assert ticket.allowance_minor == 15_000
    assert entry.data["damage"] == "Scratch, left door"


def test_only_what_changed_is_written(as_counter, ticket):
    check_in(as_counter, ticket, odometer_in="148230", odometer_unit="km", fuel_level="half")
    assert entries(ticket, "ticket_changed")[-1].data == {"fuel_level": "half"}


def test_a_page_that_was_open_for_long_does_not_undo_anothers_facts(as_counter, ticket, owner):
    page = as_counter.get(reverse("ticket-check-in", args=[ticket.number]))
    shown = page.context["form"]
    as_shown = {b.name: b.value() for b in shown if b.name != "client_key" and b.value()}
    hidden = {f"initial-{name}": value for name, value in as_shown.items()}
    tickets.change(ticket=ticket, by=owner, facts={"fuel_level": "half", "damage": "Dent"})
    typed = hidden | as_shown
    check_in(as_counter, ticket, **typed | {"belongings": "Dash camera"})
    ticket.refresh_from_db()
    assert (ticket.fuel_level, ticket.damage) == ("half", "Dent")
    assert ticket.belongings == "Dash camera"


def test_a_fact_can_be_taken_back_to_unknown(as_counter, ticket):
    check_in(as_counter, ticket, damage="Dent")
    as_counter.post(
        reverse("ticket-check-in", args=[ticket.number]), {"initial-damage": "Dent", "damage": ""}
    )
    ticket.refresh_from_db()
    assert ticket.damage == ""
    assert entries(ticket, "ticket_changed")[0].data["damage"] == "Dent"


def test_nothing_changed_is_said_and_not_written(as_counter, ticket):
    before = ticket.entries.count()
    answer = check_in(as_counter, ticket)
    assert answer.status_code == 422
    assert "Nothing has been changed" in text_of(answer)
    assert ticket.entries.count() == before


def test_sent_twice_it_is_one_entry(as_counter, ticket):
    for _ in range(2):
        check_in(as_counter, ticket, damage="Dent", client_key=KEY)
    assert len(entries(ticket, "ticket_changed")) == 1


def test_what_is_read_off_the_car_reaches_the_car_and_the_record(as_counter, ticket, van):
    check_in(as_counter, ticket, make="Corvane", model="Hauler 30", year="2016", fuel="diesel")
    van.refresh_from_db()
    assert van.model == "Hauler 30"
    assert entries(ticket, "ticket_changed")[-1].data["car_facts"]["model"] == "Hauler 30"


def test_a_fuel_that_means_high_voltage_marks_the_car(as_counter, ticket, van):
    check_in(as_counter, ticket, fuel="plug_in_hybrid")
    assert Car.objects.get(pk=van.pk).high_voltage
    assert "High voltage on this car" in text_of(as_counter.get(ticket.get_absolute_url()))


def test_the_customers_name_is_added_but_not_copied_into_the_record(as_counter, owner):
    ticket = intake.take_in(by=owner, plate="BN58KLD", phones=["01632 960155"])
    check_in(as_counter, ticket, name="Piet Oosterhuis", phone="01632 960156")
    customer = Customer.objects.get(pk=ticket.customer_id)
    assert customer.name == "Piet Oosterhuis"
    assert [p.digits for p in customer.phones.all()] == ["441632960155", "441632960156"]
    assert "Piet" not in entries(ticket, "ticket_changed")[-1].payload.text


def test_an_odometer_that_fell_is_asked_about_and_can_stand(as_counter, ticket, owner):
    later = intake.take_in(by=owner, car=ticket.car)
    answer = check_in(as_counter, later, odometer_in="98000", odometer_unit="km")
    assert answer.status_code == 422
    assert "Last time it read 148 230 km. Why is it lower?" in text_of(answer)
    assert (
        check_in(
            as_counter, later, odometer_in="98000", odometer_unit="km", odometer_why="New cluster."
        ).status_code
        == 303
    )
    later.refresh_from_db()
    assert (later.odometer_in, later.odometer_why) == (98_000, "New cluster.")


@pytest.mark.parametrize("typed", ["148.230", "148,230"])
def test_a_grouped_odometer_is_refused_with_both_readings(as_counter, ticket, typed):
    answer = check_in(as_counter, ticket, odometer_in=typed, damage="Dent")
    assert answer.status_code == 422
    assert "can be read as 148230 or as 148" in text_of(answer)
    assert "Dent" in text_of(answer)


def test_a_plate_that_turns_the_reading_direction_is_refused(as_counter, ticket, van):
    answer = check_in(as_counter, ticket, plate=f"TS{BIDI}58")
    assert answer.status_code == 422
    assert "U+202E" in text_of(answer)
    van.refresh_from_db()
    assert van.plate == "TS58 KLV"


def test_a_vin_with_a_hidden_sign_is_refused(as_counter, ticket):
    answer = check_in(as_counter, ticket, vin=f"1M8GDM9AXKP04{BIDI}2788")
    assert answer.status_code == 422
    assert "A VIN holds only" in text_of(answer)


def test_a_vin_of_17_signs_is_kept_in_capitals_without_blanks(as_counter, ticket, van):
    check_in(as_counter, ticket, vin="1m8gdm9ax kp042788")
    van.refresh_from_db()
    assert van.vin == "1M8GDM9AXKP042788"


@pytest.mark.parametrize("typed", ["1884", "2999", "20l6", "-1", "２０１６", "16"])
def test_what_is_no_model_year_is_refused_and_kept(as_counter, ticket, typed):
    answer = check_in(as_counter, ticket, year=typed)
    assert answer.status_code == 422
    assert "no model year" in text_of(answer)


@pytest.mark.parametrize("typed", ["1,2,3", "twelve", "1e3", "-5", "NaN"])
def test_what_is_no_sum_of_money_is_refused(as_counter, ticket, typed):
    assert check_in(as_counter, ticket, allowance_minor=typed).status_code == 422


@pytest.mark.parametrize(
    ("typed", "said"),
    [("x\x00y", "position 2"), ("x" * 2_001, "at most 2000"), ("e" + "\u0301" * 99, "accents")],
)
def test_damage_that_no_page_can_hold_is_refused(as_counter, ticket, typed, said):
    answer = check_in(as_counter, ticket, damage=typed)
    assert answer.status_code == 422
    assert said in text_of(answer)


# --- dates -----------------------------------------------------------------------------------


@pytest.mark.usefixtures("noon")
def test_a_promise_is_kept_in_the_shops_time_with_its_offset(as_counter, ticket):
    check_in(as_counter, ticket, promised_at="2026-03-04T16:00")
    ticket.refresh_from_db()
    assert ticket.promised_at == datetime(2026, 3, 4, 16, 0, tzinfo=UTC)
    assert entries(ticket, "ticket_changed")[-1].data["promised_at"] == "2026-03-04T16:00:00+00:00"


@pytest.mark.usefixtures("noon")
@pytest.mark.parametrize(
    "typed",
    [
        "2026-02-30T10:00",
        "2026-13-01T10:00",
        "0000-03-04T10:00",
        "10000-03-04T10:00",
        "-1-03-04T10:00",
        "02/03/2026 10:00",
        "2026-03-04T24:00",
        "2026-03-04T10:60",
        "2026-03-04T10:00:60",
        "2026-03-04T10:00+99:99",
        "tomorrow",
        "2026-03-04",
        "２０２６-03-04T10:00",
    ],
)
def test_what_is_no_date_and_time_is_refused_with_the_form_and_kept(as_counter, ticket, typed):
    answer = check_in(as_counter, ticket, promised_at=typed, damage="Dent")
    assert answer.status_code == 422
    assert "YYYY-MM-DD HH:MM" in text_of(answer)
    assert "Dent" in text_of(answer)
    ticket.refresh_from_db()
    assert ticket.promised_at is None


@pytest.mark.usefixtures("noon")
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("2026-03-01T16:00", "is past"),
        ("1999-03-04T16:00", "is past"),
        ("0001-01-01T00:00", "is past"),
        ("2027-03-04T16:00", "more than a year ahead"),
        ("9999-12-31T23:59", "more than a year ahead"),
    ],
)
def test_a_promise_out_of_reach_is_refused(as_counter, ticket, typed, said):
    answer = check_in(as_counter, ticket, promised_at=typed)
    assert answer.status_code == 422
    assert said in text_of(answer)


@pytest.mark.usefixtures("noon")
def test_an_hour_that_the_clocks_leave_out_is_refused(as_counter, ticket):
    Profile.objects.update(time_zone="Europe/Amsterdam")
    answer = check_in(as_counter, ticket, promised_at="2026-03-29T02:30")
    assert answer.status_code == 422
    assert "the clocks go forward" in text_of(answer)


@pytest.mark.usefixtures("noon")
def test_of_an_hour_that_comes_twice_the_first_is_meant_and_its_offset_stored(as_counter, ticket):
    Profile.objects.update(time_zone="Europe/Amsterdam")
    check_in(as_counter, ticket, promised_at="2026-10-25T02:30")
    stored = entries(ticket, "ticket_changed")[-1].data["promised_at"]
    assert stored == "2026-10-25T02:30:00+02:00"


@pytest.mark.usefixtures("noon")
def test_an_old_promise_that_nobody_touches_does_not_stand_in_the_way(as_counter, ticket, owner):
    tickets.change(ticket=ticket, by=owner, facts={"promised_at": "2026-02-27T16:00:00+00:00"})
    old = "2026-02-27T16:00"
    answer = check_in(
        as_counter,
        ticket,
        **{
            "initial-promised_at": old,
            "promised_at": old,
            "damage": "Dent",
        },
    )
    assert answer.status_code == 303


@pytest.mark.usefixtures("noon")
def test_the_servers_clock_counts_not_what_a_phone_claims(as_counter, ticket):
    claimed = (NOON - timedelta(days=3)).isoformat()
    send(as_counter, "ticket-note-add", ticket, words="Late.", at=claimed, device_at=claimed)
    assert entries(ticket, "note")[0].at == NOON


# --- people ----------------------------------------------------------------------------------


def test_a_payer_with_a_firms_number_is_taken_in_once(as_counter, ticket, owner):
    firm = customers.add(firm="Tarnsea Couriers", phones=["01632 960200"], by=owner)
    send(as_counter, "ticket-people", ticket, payer_phone="01632 960200")
    assert ticket.people.get(part="payer").customer == firm


def test_an_authoriser_has_a_limit_and_an_order_number(as_counter, ticket):
    send(
        as_counter,
        "ticket-people",
        ticket,
        authoriser_name="Fleet office",
        authoriser_limit="400",
        authoriser_order_no="PO-77",
    )
    authoriser = ticket.people.get()
    assert (authoriser.part, authoriser.limit_minor, authoriser.order_no) == (
        "authoriser",
        40_000,
        "PO-77",
    )
    page = text_of(as_counter.get(ticket.get_absolute_url()))
    assert "Fleet office" in page
    assert "PO-77" in page


def test_the_customer_may_have_a_limit_of_their_own(as_counter, ticket, customer):
    send(as_counter, "ticket-people", ticket, authoriser_limit="250")
    assert ticket.people.get().customer == customer


def test_by_default_all_are_the_customer(as_counter, ticket):
    send(as_counter, "ticket-people", ticket, bringer_name="Son of hers")
    send(as_counter, "ticket-people", ticket)
    assert not ticket.people.exists()


def test_an_owner_who_is_named_owns_the_car(as_counter, ticket, van):
    send(as_counter, "ticket-people", ticket, owner_name="Her mother")
    assert van.owner.name == "Her mother"


def test_saving_the_people_again_makes_no_second_customer(as_counter, ticket):
    for _ in range(2):
        send(as_counter, "ticket-people", ticket, bringer_name="Son of hers")
    assert Customer.objects.filter(name="Son of hers").count() == 1


# --- complaints, wishes, notes ----------------------------------------------------------------


def test_a_complaint_is_added_in_the_customers_words(as_counter, ticket):
    send(
        as_counter,
        "ticket-complaint-add",
        ticket,
        words="It hums at 80.",
        family="noise_by_speed",
        when_speed_band=["country"],
    )
    complaint = ticket.complaints.latest("entry__seq")
    assert (complaint.words, complaint.family) == ("It hums at 80.", "noise_by_speed")
    assert complaint.conditions["speed_band"] == ["country"]


def test_an_empty_complaint_is_refused(as_counter, ticket):
    answer = send(as_counter, "ticket-complaint-add", ticket, words="  ")
    assert answer.status_code == 422
    assert "as they say it" in text_of(answer)


def test_the_questions_of_a_family_are_shown_without_saving(as_counter, ticket):
    answer = send(
        as_counter,
        "ticket-complaint-add",
        ticket,
        words="It hums.",
        family="vibration",
        questions="1",
    )
    assert answer.status_code == 200
    assert "It hums." in text_of(answer)
    assert ticket.complaints.count() == 1


def test_a_corrected_complaint_says_why_and_keeps_the_old_one(as_counter, ticket):
    old = ticket.complaints.get().entry
    url = reverse("ticket-complaint-change", args=[ticket.number, old.seq])
    assert "Turns over slowly" in text_of(as_counter.get(url))
    as_counter.post(url, {"words": "Slow when cold too.", "why": "She rang back."})
    new = ticket.complaints.current().get()
    assert new.words == "Slow when cold too."
    assert new.entry.replaces == old
    page = text_of(as_counter.get(ticket.get_absolute_url()))
    assert "Why: She rang back." in page
    assert "Turns over slowly" in page


def test_the_second_of_two_corrections_is_told_of_the_first(as_counter, ticket, owner):
    old = ticket.complaints.get().entry
    tickets.add_complaint(ticket=ticket, words="Slow.", by=owner, corrects=old)
    answer = as_counter.post(
        reverse("ticket-complaint-change", args=[ticket.number, old.seq]),
        {"words": "Also slow.", "why": "Misheard."},
    )
    assert answer.status_code == 409
    assert "replaced by entry 3" in text_of(answer)
    assert "Also slow." in text_of(answer)


def test_a_note_is_no_complaint_to_correct(as_counter, ticket, owner):
    note = tickets.add_note(ticket=ticket, words="Belt glazed.", by=owner)
    url = reverse("ticket-complaint-change", args=[ticket.number, note.seq])
    assert as_counter.get(url).status_code == 404


def test_a_wish_and_a_note_are_entries(as_counter, ticket):
    send(as_counter, "ticket-wish-add", ticket, words="Winter tyres on.")
    send(as_counter, "ticket-note-add", ticket, words="Belt glazed.\nCracks at the ribs.")
    assert ticket.wishes.get().words == "Winter tyres on."
    assert entries(ticket, "note")[0].data["words"] == "Belt glazed.\nCracks at the ribs."


@pytest.mark.parametrize("name", ["ticket-complaint-add", "ticket-wish-add", "ticket-note-add"])
def test_words_sent_twice_are_one_entry(as_counter, ticket, name):
    before = ticket.entries.count()
    for _ in range(2):
        send(as_counter, name, ticket, words="Once.", client_key=KEY)
    assert ticket.entries.count() == before + 1


@pytest.mark.parametrize("name", ["ticket-complaint-add", "ticket-wish-add", "ticket-note-add"])
@pytest.mark.parametrize(
    ("words", "said"), [("a\x00b", "position 2"), ("x" * 10_001, "at most 10000")]
)
def test_words_that_no_page_can_hold_are_refused(as_counter, ticket, name, words, said):
    answer = send(as_counter, name, ticket, words=words)
    assert answer.status_code == 422
    assert said in text_of(answer)


# --- who and where ----------------------------------------------------------------------------

PAGES = (
    "ticket-check-in",
    "ticket-people",
    "ticket-complaint-add",
    "ticket-wish-add",
    "ticket-note-add",
    "ticket-state",
    "ticket-more",
    "ticket-check-in-sheet",
    "ticket",
)


@pytest.mark.parametrize("name", PAGES)
def test_everybody_of_the_shop_sees_the_pages_of_a_visit(as_counter, ticket, name):
    assert as_counter.get(reverse(name, args=[ticket.number])).status_code == 200


@pytest.mark.parametrize("name", PAGES)
def test_strangers_see_none_of_them(client, ticket, name):
    answer = client.get(reverse(name, args=[ticket.number]))
    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("sign-in"))


@pytest.mark.parametrize(
    "number",
    [
        "0",
        "-1",
        "1e3",
        "9223372036854775808",
        "9" * 60,
        "9" * 5_000,
        "١",
        "1'",
        "1%00",
        "00000000-0000-0000-0000-000000000000",
    ],
)
@pytest.mark.parametrize("tail", ["", "check-in/", "state/", "check-in-sheet/"])
def test_a_number_of_no_ticket_is_not_found(as_owner, ticket, number, tail):
    assert as_owner.get(f"/tickets/{number}/{tail}").status_code == 404


@pytest.mark.parametrize("seq", ["0", "9223372036854775808", "9" * 60])
def test_a_number_of_no_entry_is_not_found(as_owner, ticket, seq):
    url = f"/tickets/{ticket.number}/complaints/{seq}/change/"
    assert as_owner.get(url).status_code == 404


def test_an_entry_of_another_ticket_is_not_found(as_owner, ticket, owner):
    other = intake.take_in(by=owner, car=cars.add(plate="BN58KLD", by=owner), complaint="Smokes.")
    tickets.add_complaint(ticket=other, words="Rattles.", by=owner)
    url = reverse("ticket-complaint-change", args=[ticket.number, 3])
    assert as_owner.get(url).status_code == 404


def test_the_record_agrees_with_what_is_read_from_it(as_counter, ticket):
    from jobs.record.verify import faults

    check_in(as_counter, ticket, damage="Dent", make="Corvane", name="Odile V.", lamps=["brake"])
    send(as_counter, "ticket-people", ticket, bringer_name="Son of hers", authoriser_limit="250")
    send(as_counter, "ticket-complaint-add", ticket, words="Hums.", red_flags=["brakes"])
    send(as_counter, "ticket-state", ticket, to="waiting", waits_for="part")
    assert [str(fault) for fault in faults()] == []
