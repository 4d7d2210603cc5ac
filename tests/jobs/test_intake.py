"""A car comes in: a ticket in a minute, from whatever is known."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from jobs.actions import intake, tickets
from jobs.models import Alteration, Entry, Ticket
from shop.actions import cars, customers
from shop.models import Car, Customer, Profile
from tests.jobs.pictures import picture

pytestmark = pytest.mark.django_db

NEW = "/tickets/new/"
KEY = "0123456789abcdef0123456789abcdef"
BIDI = "\u202e"


def open_one(client, **typed):
    return client.post(NEW, typed)


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


def only_ticket() -> Ticket:
    return Ticket.objects.get()


# --- a minute --------------------------------------------------------------------------------


def test_plate_number_and_words_make_a_ticket(as_counter):
    answer = open_one(
        as_counter, plate="bn 58 kld", phone="01632 960155", complaint="It clicks and won’t turn."
    )
    ticket = only_ticket()
    assert answer.status_code == 303
    assert answer["Location"] == ticket.get_absolute_url()
    assert ticket.car.plate == "BN 58 KLD"
    assert ticket.customer.phones.get().e164 == "+441632960155"
    assert ticket.complaints.get().words == "It clicks and won’t turn."


@pytest.mark.parametrize(
    "typed",
    [
        {"plate": "BN58KLD"},
        {"phone": "01632 960155"},
        {"complaint": "It smokes."},
        {"wish": "Service, please."},
        {"name": "Piet Oosterhuis"},
    ],
)
def test_any_one_thing_is_enough(as_owner, typed):
    assert open_one(as_owner, **typed).status_code == 303
    assert Ticket.objects.count() == 1


def test_nothing_at_all_is_no_ticket(as_owner):
    answer = open_one(as_owner)
    assert answer.status_code == 422
    assert "One thing is enough" in text_of(answer)
    assert not Ticket.objects.exists()


def test_what_is_missing_is_listed_on_the_ticket(as_owner):
    answer = as_owner.post(NEW, {"plate": "BN58KLD"}, follow=True)
    page = text_of(answer)
    assert "things still missing" in page
    assert "odometer" in page
    assert "what the customer reports" in page


def test_a_wish_needs_no_complaint(as_owner):
    open_one(as_owner, plate="BN58KLD", wish="Winter tyres on.")
    ticket = only_ticket()
    assert ticket.wishes.get().words == "Winter tyres on."
    assert not ticket.complaints.exists()


def test_a_booked_car_has_not_been_received(as_counter):
    open_one(as_counter, plate="BN58KLD", state="booked")
    assert only_ticket().state == "booked"
    assert only_ticket().received_at is None


def test_the_answers_are_kept_as_codes_and_unasked_ones_apart(as_owner):
    open_one(
        as_owner,
        complaint="Slow to start.",
        family="starts_badly",
        when_engine_temperature="hot",
        when_weather=["wet", "frost"],
        when_how_often="dont_know",
    )
    conditions = only_ticket().complaints.get().conditions
    assert conditions["engine_temperature"] == ["hot"]
    assert conditions["weather"] == ["wet", "frost"]
    assert conditions["how_often"] == ["dont_know"]
    assert conditions["speed_band"] == ["not_asked"]


def test_answers_that_exclude_each_other_are_asked_about_and_kept(as_owner):
    answer = open_one(as_owner, complaint="Rattle.", when_weather=["any", "wet"])
    assert answer.status_code == 422
    assert "can’t both hold" in text_of(answer).replace("&#x27;", "’").replace("'", "’")
    assert "Rattle." in text_of(answer)


def test_sent_twice_it_is_one_ticket_one_car_one_customer(as_owner):
    for _ in range(2):
        answer = open_one(
            as_owner, plate="BN58KLD", phone="01632 960155", complaint="Smokes.", client_key=KEY
        )
        assert answer.status_code == 303
    assert (Ticket.objects.count(), Car.objects.count(), Customer.objects.count()) == (1, 1, 1)
    assert Entry.objects.filter(kind="complaint").count() == 1


def test_a_fault_on_the_way_leaves_nothing_behind(owner, monkeypatch):
    def broken(**_):
        raise RuntimeError("the disk went away")

    monkeypatch.setattr(tickets, "add_complaint", broken)
    with pytest.raises(RuntimeError):
        intake.take_in(by=owner, plate="BN58KLD", name="Piet", complaint="Smokes.")
    assert not (Ticket.objects.exists() or Car.objects.exists() or Customer.objects.exists())


def test_numbers_of_tickets_have_no_gap_after_a_fault(owner, monkeypatch):
    with monkeypatch.context() as broken:
        broken.setattr(tickets, "add_wish", lambda **_: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            intake.take_in(by=owner, plate="BN58KLD", wish="Tyres.")
    first = intake.take_in(by=owner, plate="BN58KLD", wish="Tyres.")
    assert first.number == 1


# --- known cars and people -------------------------------------------------------------------


def test_a_known_plate_brings_car_and_owner_however_it_is_spaced(as_owner, van, customer):
    open_one(as_owner, plate="ts58klv", complaint="Slow when hot.")
    assert only_ticket().car == van
    assert only_ticket().customer == customer


def test_a_known_number_brings_its_customer(as_owner, customer):
    open_one(as_owner, plate="BN58KLD", phone="+44 1632 960123")
    assert only_ticket().customer == customer
    assert only_ticket().car.owner == customer


def test_the_page_says_what_is_known_before_anything_is_saved(as_owner, ticket, owner):
    from jobs.actions import alterations

    alterations.add(ticket=ticket, what="Fan wired to run always", by=owner)
    before = Entry.objects.count()
    answer = open_one(as_owner, plate="TS58KLV", complaint="Again slow.", look_up="1")
    page = text_of(answer)
    assert answer.status_code == 200
    assert "Odile Verhagen" in page
    assert ticket.shown_number in page
    assert "Fan wired to run always" in page
    assert "148 230" in page
    assert "Again slow." in page
    assert Entry.objects.count() == before


def test_a_piece_of_the_page_says_the_same_for_the_phone_that_types(as_owner, ticket):
    answer = as_owner.post(reverse("ticket-known"), {"plate": "TS58KLV"})
    assert "Odile Verhagen" in text_of(answer)
    assert "<html" not in text_of(answer)


def test_somebody_else_with_a_known_car_is_asked_about(as_owner, van, customer):
    answer = open_one(as_owner, plate="TS58KLV", name="Bram Kooi", phone="01632 960177")
    assert answer.status_code == 422
    assert "belongs to Odile Verhagen" in text_of(answer)
    assert "Bram Kooi" in text_of(answer)
    assert not Ticket.objects.exists()


def test_a_new_owner_gets_the_car_and_not_the_former_owners_data(as_owner, van, customer):
    open_one(as_owner, plate="TS58KLV", name="Bram Kooi", phone="01632 960177", whose="new_owner")
    ticket = only_ticket()
    assert ticket.customer.name == "Bram Kooi"
    assert van.owner == ticket.customer
    page = as_owner.get(ticket.get_absolute_url()).content.decode()
    assert "Odile" not in page
    assert "960123" not in page
    assert [o.customer for o in van.ownerships.filter(until__isnull=False)] == [customer]


def test_who_only_brings_the_car_is_the_bringer(as_owner, van, customer):
    open_one(as_owner, plate="TS58KLV", name="Bram Kooi", whose="only_brings")
    ticket = only_ticket()
    assert ticket.customer == customer
    assert van.owner == customer
    assert [(p.part, p.customer.name) for p in ticket.people.all()] == [("bringer", "Bram Kooi")]


def test_the_same_owner_with_a_new_number_keeps_both(as_owner, van, customer):
    open_one(as_owner, plate="TS58KLV", phone="01632 960177", whose="same_owner")
    assert only_ticket().customer == customer
    assert [p.digits for p in customer.phones.all()] == ["441632960123", "441632960177"]


def test_the_owner_by_name_is_not_asked_about(as_owner, van, customer):
    open_one(as_owner, plate="TS58KLV", name="odile verhagen", phone="01632 960177")
    assert only_ticket().customer == customer


def test_a_caller_without_plate_chooses_among_their_cars(as_owner, van, customer):
    page = text_of(open_one(as_owner, phone="01632 960123", look_up="1"))
    assert f'value="{van.pk}"' in page
    open_one(as_owner, phone="01632 960123", which_car=str(van.pk), complaint="Slow.")
    assert only_ticket().car == van


def test_a_car_of_somebody_else_can_not_be_chosen_by_its_key(as_owner, van, owner):
    other = cars.add(plate="ZZ1", by=owner, owner=customers.add(name="Aafke Brandt", by=owner))
    answer = open_one(as_owner, phone="01632 960123", which_car=str(other.pk), complaint="Slow.")
    assert answer.status_code == 422
    assert not Ticket.objects.exists()


def test_a_comeback_names_the_earlier_visit(as_owner, ticket):
    page = text_of(open_one(as_owner, plate="TS58KLV", look_up="1"))
    assert "Comeback of an earlier visit" in page
    open_one(as_owner, plate="TS58KLV", complaint="Slow again.", comeback_of=str(ticket.pk))
    assert Ticket.objects.exclude(pk=ticket.pk).get().comeback_of == ticket


def test_a_comeback_of_another_cars_visit_is_refused(as_owner, ticket, owner):
    intake.take_in(by=owner, plate="BN58KLD")
    foreign = Ticket.objects.exclude(pk=ticket.pk).get()
    assert open_one(as_owner, plate="TS58KLV", comeback_of=str(foreign.pk)).status_code == 422


# --- odometer --------------------------------------------------------------------------------


def test_an_odometer_that_fell_is_asked_about(as_owner, ticket):
    answer = open_one(as_owner, plate="TS58KLV", odometer="98000", odometer_unit="km")
    assert answer.status_code == 422
    assert "Last time it read 148 230 km. Why is it lower?" in text_of(answer)
    assert 'name="odometer_why"' in text_of(answer)


@pytest.mark.parametrize("why", ["", "New instrument cluster."])
def test_and_it_can_stand(as_owner, ticket, why):
    answer = open_one(
        as_owner, plate="TS58KLV", odometer="98000", odometer_unit="km", odometer_why=why
    )
    assert answer.status_code == 303
    later = Ticket.objects.exclude(pk=ticket.pk).get()
    assert (later.odometer_in, later.odometer_why) == (98_000, why)


def test_miles_are_compared_with_kilometres_as_distances(as_owner, ticket):
    assert (
        open_one(as_owner, plate="TS58KLV", odometer="100000", odometer_unit="mi").status_code
        == 303
    )  # 160,934 km


@pytest.mark.parametrize("typed", ["148.230", "148,230"])
def test_a_grouped_odometer_is_refused_with_both_readings(as_owner, typed):
    answer = open_one(as_owner, plate="BN58KLD", odometer=typed)
    assert answer.status_code == 422
    assert f"{typed} can be read as 148230 or as 148" in text_of(answer)


def test_blanks_between_figures_are_figures(as_owner):
    open_one(as_owner, plate="BN58KLD", odometer="148 230")
    assert only_ticket().odometer_in == 148_230


@pytest.mark.parametrize("typed", ["1.234,5", "12_000", "0x1F", "１２３", "٣٤", "-5", "1e9", "NaN"])
def test_what_is_no_whole_distance_is_refused_and_kept(as_owner, typed):
    answer = open_one(as_owner, plate="BN58KLD", odometer=typed)
    assert answer.status_code == 422
    assert typed in answer.content.decode()


def test_an_american_shop_is_offered_miles(as_owner, shop):
    Profile.objects.filter(pk=shop.pk).update(units="us")
    open_one(as_owner, plate="BN58KLD", odometer="98000")
    assert only_ticket().odometer_unit == "mi"


# --- first call ------------------------------------------------------------------------------


def test_a_red_flag_says_at_once_what_to_tell_the_caller(as_counter):
    answer = open_one(as_counter, phone="01632 960155", red_flags=["oil_lamp"], questions="1")
    page = text_of(answer)
    assert "Not to be driven" in page
    assert "Stop and switch the engine off at once" in page
    assert not Ticket.objects.exists()


def test_the_advice_alone_for_a_phone_that_has_ticked_a_flag(as_counter):
    answer = as_counter.post(reverse("ticket-stop-advice"), {"red_flags": ["brakes"]})
    assert "have it towed" in text_of(answer)
    assert "<html" not in text_of(answer)


def test_a_red_flag_stands_on_the_ticket(as_counter):
    open_one(as_counter, complaint="Oil lamp came on.", red_flags=["oil_lamp"])
    page = text_of(as_counter.get(only_ticket().get_absolute_url()))
    assert "not to be driven before it is looked at" in page


def test_a_family_brings_its_three_telling_questions_first(as_owner):
    answer = open_one(as_owner, complaint="Slow.", family="starts_badly", questions="1")
    page = answer.content.decode()
    fold = page.index("Six more questions")
    for name in ("when_engine_temperature", "when_weather", "when_after_work"):
        assert page.index(f'name="{name}"') < fold
    assert page.index('name="when_speed_band"') > fold


def test_answers_given_before_the_questions_change_stay_ticked(as_owner):
    page = open_one(
        as_owner,
        complaint="Slow.",
        family="vibration",
        when_weather=["wet", "frost"],
        questions="1",
    ).content.decode()
    for code in ("wet", "frost"):
        box = page[page.index(f'name="when_weather" value="{code}"') :]
        assert "checked" in box[: box.index(">")]


def test_the_questions_alone_for_a_phone_that_has_chosen_a_family(as_owner):
    answer = as_owner.post(
        reverse("ticket-questions"), {"family": "brakes", "when_driving_state": ["braking"]}
    )
    assert "Six more questions" in text_of(answer)
    assert "<html" not in text_of(answer)


# --- photos ----------------------------------------------------------------------------------


def test_a_refused_photo_does_not_lose_the_ticket(as_owner):
    answer = as_owner.post(
        NEW,
        {
            "complaint": "Smokes.",
            "plate_photo": SimpleUploadedFile("plate.jpg", b"no picture", "image/jpeg"),
        },
        follow=True,
    )
    assert only_ticket().complaints.get().words == "Smokes."
    assert not only_ticket().photos.exists()
    assert "was not taken" in text_of(answer)
    assert "number plate" in text_of(answer).lower() or "plate" in text_of(answer).lower()


def a_photo(colour: str = "olive") -> SimpleUploadedFile:
    return SimpleUploadedFile("IMG 1.jpg", picture(colour=colour), "image/jpeg")


def test_both_photos_are_entries_of_the_ticket_with_their_subject(as_owner):
    as_owner.post(NEW, {"plate_photo": a_photo(), "dashboard_photo": a_photo("grey")})
    assert sorted(only_ticket().photos.values_list("subject", flat=True)) == ["dashboard", "plate"]
    page = text_of(as_owner.get(only_ticket().get_absolute_url()))
    assert "photo of the plate" not in page


def test_photos_sent_twice_are_there_once(as_owner):
    for _ in range(2):
        as_owner.post(NEW, {"plate_photo": a_photo(), "client_key": KEY})
    assert only_ticket().photos.count() == 1


def test_an_empty_photo_does_not_lose_the_ticket(as_owner):
    answer = as_owner.post(
        NEW, {"plate": "BN58KLD", "dashboard_photo": SimpleUploadedFile("d.jpg", b"")}, follow=True
    )
    assert answer.status_code == 200
    assert only_ticket().car.plate == "BN58KLD"


def test_a_photo_that_a_browser_forgets_is_asked_for_again(as_owner):
    answer = as_owner.post(
        NEW, {"look_up": "1", "plate_photo": SimpleUploadedFile("plate.jpg", b"x", "image/jpeg")}
    )
    assert "Choose the photos again" in text_of(answer)


# --- bad input -------------------------------------------------------------------------------


def test_a_plate_that_turns_the_reading_direction_is_refused_and_shown(as_owner):
    answer = open_one(as_owner, plate=f"TS{BIDI}58", complaint="Smokes.")
    assert answer.status_code == 422
    assert "U+202E" in text_of(answer)
    assert "Smokes." in text_of(answer)
    assert not Ticket.objects.exists()


def test_a_plate_of_21_signs_is_refused(as_owner):
    assert open_one(as_owner, plate="A" * 21).status_code == 422


@pytest.mark.parametrize(
    "words",
    [
        "<script>alert(1)</script>",
        '"><svg onload=alert(1)>',
        "javascript:alert(1)",
        "<img src=file:///etc/passwd>",
        "{{ 7|add:7 }} {% now 'Y' %} %s%n ${x}",
        "🚗 Ölverlust 発進 صوت",
        "x" * 10_000,
    ],
)
def test_words_are_kept_as_typed_and_shown_literally(as_owner, words):
    open_one(as_owner, complaint=words)
    assert only_ticket().complaints.get().words == words
    page = as_owner.get(only_ticket().get_absolute_url()).content.decode()
    assert "<script>alert" not in page
    assert "<svg onload" not in page
    assert "<img src=file" not in page


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("brakes\x00squeal", "at position 7"),
        ("odd \ufffe sign", "at position 5"),
        ("x" * 100_001, "at most 10000"),
        ("e" + "\u0301" * 5_000, "accents"),
    ],
)
def test_words_that_no_page_can_hold_are_refused_with_the_place(as_owner, words, said):
    answer = open_one(as_owner, complaint=words)
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert not Ticket.objects.exists()


def test_a_lone_surrogate_is_no_server_fault(as_owner):
    answer = as_owner.post(
        NEW, b"complaint=%ED%A0%80", content_type="application/x-www-form-urlencoded"
    )
    assert answer.status_code in (303, 422)


@pytest.mark.parametrize(
    "typed",
    [
        {"family": "not_a_family"},
        {"state": "handed_back"},
        {"odometer_unit": "leagues"},
        {"red_flags": ["bored"]},
        {"when_weather": ["sunny"]},
    ],
)
def test_codes_of_no_list_are_refused(as_owner, typed):
    assert open_one(as_owner, complaint="Smokes.", **typed).status_code == 422


def test_the_telephone_is_kept_as_typed_where_nothing_can_be_made_of_it(as_owner):
    open_one(as_owner, phone="ask at the mill")
    assert only_ticket().customer.phones.get().typed == "ask at the mill"


# --- roles -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["ticket-new", "ticket-known", "ticket-questions", "ticket-stop-advice"]
)
def test_what_strangers_send_is_not_taken(client, shop, name):
    assert client.post(reverse(name), {"plate": "BN58KLD"}).status_code in (302, 403)
    assert not Ticket.objects.exists()


def test_strangers_are_sent_to_the_door(client, shop):
    answer = client.get(NEW)
    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("sign-in"))


def test_a_known_car_counts_its_alterations_not_another_cars(as_owner, ticket, owner):
    from jobs.actions import alterations

    other = intake.take_in(by=owner, plate="BN58KLD")
    alterations.add(ticket=other, what="Heater bypassed", by=owner)
    assert Alteration.objects.count() == 1
    assert "Heater bypassed" not in text_of(open_one(as_owner, plate="TS58KLV", look_up="1"))
