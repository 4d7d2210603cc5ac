"""Changing a car: VIN looked at and never changed unasked, engine, high voltage, a new owner."""

from __future__ import annotations

import pytest
from django.urls import reverse

from shop.engine import Engine
from shop.models import Car, Customer

# The worked example of 49 CFR 565.15(c): its check digit is X.
GOOD = "1M8GDM9AXKP042788"
SWAPPED = "1M8GDM9AXKP042878"


def facts_of(car: Car) -> dict[str, str]:
    return {
        "plate": car.plate, "region": car.region, "vin": car.vin, "make": car.make,
        "model": car.model, "year": str(car.year or ""), "fuel": car.fuel, "volts": str(car.volts),
        "layout": "line", "cylinders": "4",
    }  # fmt: skip


def send(client, car, **typed):
    return client.post(reverse("car-change", args=[car.pk]), facts_of(car) | typed)


def text(answer) -> str:
    return answer.content.decode()


def fields(answer) -> dict:
    form = answer.context["form"]
    return {name: form[name].value() for name in form.fields}


def test_every_fact_is_kept(as_counter, van):
    answer = send(
        as_counter, van, plate="ts58-klv", region="gb", vin="sb1zz32e40e012345", make="Corvane",
        model="Hauler 24", year="2017", body="van", gearbox="manual", drive="rear", volts="24",
        numbering="from_flywheel", firing_order="1342", displacement_cc="2198",
        non_standard="Winch", notes="Two keys.",
    )  # fmt: skip
    assert answer.status_code == 302
    van.refresh_from_db()
    assert (van.plate, van.region, van.vin) == ("TS58-KLV", "GB", "SB1ZZ32E40E012345")
    assert (van.model, van.year, van.body, van.volts) == ("Hauler 24", 2017, "van", 24)
    assert (van.gearbox, van.drive, van.non_standard) == ("manual", "rear", "Winch")
    engine = Engine.from_json(van.engine)
    assert (engine.firing_order_text, engine.displacement_cc) == ("1-3-4-2", 2198)
    assert engine.banks == ((4, 3, 2, 1),)


def test_the_page_shows_the_engine_that_is_kept(as_counter, van):
    send(as_counter, van, layout="v", cylinders="6", numbering="as_stated", banks="1 3 5 / 2 4 6")
    shown = fields(as_counter.get(reverse("car-change", args=[van.pk])))
    assert (shown["layout"], shown["cylinders"], shown["banks"]) == ("v", 6, "1 3 5 / 2 4 6")


def test_a_plate_alone_is_enough(as_counter, van):
    empty = dict.fromkeys(facts_of(van), "") | {"plate": "TS58 KLV", "volts": "12"}
    assert as_counter.post(reverse("car-change", args=[van.pk]), empty).status_code == 302
    van.refresh_from_db()
    assert (van.make, van.year, van.engine) == ("", None, {})


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"plate": "", "vin": "", "make": ""}, "A plate, a VIN or a make is needed"),
        ({"plate": "TS58_KLV"}, "“_” at position 5"),
        ({"plate": "TS58\u202eKLV"}, "U+202E"),
        ({"plate": "A" * 21}, "21 characters; at most 20"),
        ({"region": "England"}, "is no region"),
        ({"vin": "SB1ZZ32E40E0123?5"}, "Position 16 is “?”"),
        ({"vin": "S" * 41}, "41 characters; a VIN has 17."),
        ({"make": "x" * 61}, "at most 60 are taken"),
        ({"make": "a\x07b"}, "unprintable character (U+0007)"),
        ({"year": "1492"}, "is not a whole number from 1885"),
        ({"year": "3000"}, "is not a whole number from 1885"),
        ({"year": "２０１６"}, "is not a whole number from 1885"),
        ({"year": "2016.5"}, "is not a whole number from 1885"),
        ({"fuel": "coal"}, "Select a valid choice."),
        ({"gearbox": "x"}, "Select a valid choice."),
        ({"volts": "13"}, "Select a valid choice."),
        ({"layout": "v", "cylinders": "5"}, "V and flat engines have an even number"),
        ({"cylinders": "17"}, "is not a whole number from 0 to 16"),
        ({"layout": ""}, "Choose the layout too"),
        ({"cylinders": ""}, "How many cylinders?"),
        ({"numbering": "bank_by_bank"}, "is no layout known here"),
        ({"firing_order": "1-3-4"}, "2 is missing"),
        ({"firing_order": "1-3-4-2-2"}, "2 is too much or twice"),
        ({"firing_order": "one three"}, "is no firing order"),
        ({"displacement_cc": "0"}, "is not a whole number from 1"),
        ({"layout": "other", "numbering": "as_stated", "banks": "1 2 3"}, "must name each"),
        ({"layout": "other", "banks": "left"}, "names no banks"),
        ({"fuel": "electric"}, "there is no combustion engine"),
        ({"non_standard": "x" * 2_001}, "at most 2000 are taken"),
        ({"notes": "x" * 10_001}, "at most 10000 are taken"),
    ],
)
def test_bad_input_is_refused_and_what_was_typed_stays(as_counter, van, typed, words):
    before = Car.objects.filter(pk=van.pk).values().get()
    answer = send(as_counter, van, **({"body": "kept <body>"} | typed))
    assert answer.status_code == 422
    assert words in text(answer)
    assert 'value="kept &lt;body&gt;"' in text(answer)
    assert Car.objects.filter(pk=van.pk).values().get() == before


# ------------------------------------------------------------------ VIN


def test_a_wrong_check_digit_is_refused_of_a_car_for_north_america(as_counter, van):
    answer = send(as_counter, van, region="US-CA", vin=SWAPPED)
    assert answer.status_code == 422
    assert "The check digit doesn&#x27;t agree" in text(answer)
    van.refresh_from_db()
    assert van.vin == ""


def test_a_wrong_check_digit_is_advice_elsewhere(as_counter, van):
    answer = as_counter.post(
        reverse("car-change", args=[van.pk]), facts_of(van) | {"vin": SWAPPED}, follow=True
    )
    assert "Many makers outside North America use none there" in text(answer)
    van.refresh_from_db()
    assert van.vin == SWAPPED


def test_a_car_made_elsewhere_keeps_its_number_in_north_america(as_counter, van):
    assert send(as_counter, van, region="US", vin=SWAPPED, vin_elsewhere="on").status_code == 302


def test_a_number_that_was_kept_is_not_asked_about_again(as_counter, van):
    send(as_counter, van, region="US", vin=SWAPPED, vin_elsewhere="on")
    van.refresh_from_db()
    assert send(as_counter, van, region="US", body="van").status_code == 302


def test_a_suggestion_is_offered_and_not_applied(as_counter, van):
    answer = send(as_counter, van, region="US", vin=SWAPPED)
    assert f'name="take_vin" value="{GOOD}"' in text(answer)
    assert fields(answer)["vin"] == SWAPPED


def test_a_taken_suggestion_stands_in_the_field_and_is_not_saved(as_counter, van):
    answer = send(as_counter, van, region="US", vin=SWAPPED, take_vin=GOOD, body="typed")
    assert answer.status_code == 200
    assert (fields(answer)["vin"], fields(answer)["body"]) == (GOOD, "typed")
    assert "Check digit X agrees." in text(answer)
    van.refresh_from_db()
    assert (van.vin, van.body) == ("", "")


def test_letters_that_no_vin_has_are_suggested_as_digits(as_counter, van):
    answer = send(as_counter, van, region="US", vin="IM8GDM9AXKPO42788")
    assert answer.status_code == 422
    assert f'value="{GOOD}"' in text(answer)


def test_looking_at_the_vin_saves_nothing(as_counter, van):
    answer = send(as_counter, van, vin=GOOD, look="1", plate="")
    assert answer.status_code == 200
    assert "Nothing you typed is lost" not in text(answer)
    van.refresh_from_db()
    assert van.vin == ""


def test_model_years_are_offered_as_buttons(as_counter, van):
    answer = send(as_counter, van, vin=GOOD, look="1")
    assert 'name="take_year" value="1989"' in text(answer)
    assert 'name="take_year" value="2019"' in text(answer)
    assert fields(send(as_counter, van, vin=GOOD, take_year="1989"))["year"] == "1989"


def test_two_cars_never_share_a_vin(as_counter, van, owner):
    from shop.actions import cars

    other = cars.add(by=owner, plate="KE 11 AAA", make="Brennar", model="Lader", vin=GOOD)
    answer = send(as_counter, van, vin=GOOD)
    assert answer.status_code == 422
    assert f"already on another car here, {other}" in text(answer)


def test_a_short_number_of_an_old_car_is_kept(as_counter, van):
    assert send(as_counter, van, vin="AB-12345", year="1965").status_code == 302
    van.refresh_from_db()
    assert van.vin == "AB12345"


# ------------------------------------------------------------------ engine, fuel


def test_a_usual_engine_fills_the_fields_in(as_counter, van):
    shown = fields(send(as_counter, van, preset="v_6", take_preset="1", layout="", cylinders=""))
    assert (shown["layout"], shown["cylinders"], shown["firing_order"]) == ("v", "6", "1-4-2-5-3-6")
    van.refresh_from_db()
    assert van.engine["layout"] == "line"


def test_a_usual_engine_counts_when_nothing_else_is_typed(as_counter, van):
    send(as_counter, van, preset="flat_4", layout="", cylinders="")
    van.refresh_from_db()
    assert van.engine["layout"] == "flat"
    assert van.engine["firing_order"] == [1, 3, 2, 4]


def test_what_is_typed_goes_before_a_usual_engine(as_counter, van):
    send(as_counter, van, preset="flat_4")
    van.refresh_from_db()
    assert van.engine["layout"] == "line"


@pytest.mark.parametrize("fuel", ["petrol_hybrid", "plug_in_hybrid"])
def test_a_hybrid_has_high_voltage_whatever_is_ticked(as_counter, van, fuel):
    send(as_counter, van, fuel=fuel)
    van.refresh_from_db()
    assert van.high_voltage


def test_an_electric_car_has_no_cylinders(as_counter, van):
    send(as_counter, van, fuel="electric", layout="none", cylinders="")
    van.refresh_from_db()
    assert (van.engine["layout"], van.engine["cylinders"]) == ("none", 0)


# ------------------------------------------------------------------ a new owner


def owner_url(van: Car) -> str:
    return reverse("car-pass-on", args=[van.pk])


def test_a_car_is_passed_on_to_somebody_known(as_counter, van, owner, ticket):
    from shop.actions import customers

    buyer = customers.add(by=owner, name="Bram Oduya", phones=["01632 960777"])
    found = text(as_counter.get(owner_url(van), {"q": "oduya"}))
    assert f'name="known" value="{buyer.pk}"' in found
    as_counter.post(owner_url(van), {"known": buyer.pk})
    van = Car.objects.get(pk=van.pk)
    assert van.owner == buyer
    assert van.ownerships.count() == 2
    assert list(van.tickets.all()) == [ticket]


def test_a_car_is_passed_on_to_somebody_new(as_counter, van):
    as_counter.post(owner_url(van), {"name": "Bram Oduya", "phone": "01632 960777"})
    assert Car.objects.get(pk=van.pk).owner.shown_name == "Bram Oduya"


def test_passing_on_twice_makes_one_owner(as_counter, van, owner):
    from shop.actions import customers

    buyer = customers.add(by=owner, name="Bram Oduya")
    for _ in range(2):
        as_counter.post(owner_url(van), {"known": buyer.pk})
    assert van.ownerships.count() == 2


@pytest.mark.parametrize("known", ["0", "999999", "x", "9" * 30, "-1", "١"])
def test_a_buyer_who_is_not_there_is_not_found(as_counter, van, known):
    assert as_counter.post(owner_url(van), {"known": known}).status_code == 404


@pytest.mark.parametrize("typed", [{}, {"name": " "}, {"phone": "0" * 41}, {"name": "a\x00"}])
def test_nobody_new_without_a_name(as_counter, van, typed):
    count = Customer.objects.count()
    assert as_counter.post(owner_url(van), typed).status_code == 422
    assert Customer.objects.count() == count


def test_a_former_owner_is_not_named_on_the_cars_page(as_counter, van):
    as_counter.post(owner_url(van), {"name": "Bram Oduya"})
    page = text(as_counter.get(reverse("car", args=[van.pk])))
    assert "Odile Verhagen" not in page
    assert "one owner before" in page


@pytest.mark.parametrize("number", ["0", "99999", "9" * 19, "9" * 60, "-1", "1e3"])
@pytest.mark.parametrize("page", ["", "change/", "owner/"])
def test_a_car_that_is_not_there(as_counter, page, number):
    assert as_counter.get(f"/cars/{number}/{page}").status_code == 404
