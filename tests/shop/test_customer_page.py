"""Changing a customer: several numbers, whatever is typed, and who may."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.actions import customers
from shop.forms.customers import CustomerForm
from shop.models import Customer
from shop.phones import Noted


def send(client, customer, **typed):
    facts = {"name": "Odile Verhagen", "phones": "01632 960123"} | typed
    return client.post(reverse("customer-change", args=[customer.pk]), facts)


def text(answer) -> str:
    return answer.content.decode()


def test_every_fact_is_kept(as_counter, customer):
    facts = {
        "name": "Odile Verhagen-Roux", "firm": "Verhagen Flowers",
        "mail": "odile@flowers.example", "address": "9 Quay\nTarnsea", "reach_by": "message",
        "language": "nl", "notes": "Comes after five.",
    }  # fmt: skip
    assert send(as_counter, customer, **facts).status_code == 302
    customer.refresh_from_db()
    assert {name: getattr(customer, name) for name in facts} == facts
    assert facts["name"] in text(as_counter.get(reverse("customer", args=[customer.pk])))


def test_several_numbers_one_on_each_line(as_counter, customer):
    send(as_counter, customer, phones="01632 960999 work\n\n 07700 900123 \n+31 20 794 0000")
    phones = list(customer.phones.values_list("typed", "e164"))
    assert phones == [
        ("01632 960999 work", "+441632960999"),
        ("07700 900123", "+447700900123"),
        ("+31 20 794 0000", "+31207940000"),
    ]


def test_a_note_beside_a_number_follows_a_comma_and_comes_back(as_counter, customer):
    send(as_counter, customer, phones="01632 960999, son, evenings\n07700 900123")
    kept = list(customer.phones.values_list("typed", "note", "e164"))
    assert kept == [
        ("01632 960999", "son, evenings", "+441632960999"),
        ("07700 900123", "", "+447700900123"),
    ]
    page = text(as_counter.get(reverse("customer-change", args=[customer.pk])))
    assert "01632 960999, son, evenings\n07700 900123</textarea>" in page
    shown = text(as_counter.get(reverse("customer", args=[customer.pk])))
    assert "01632 960999</a>, son, evenings" in shown


def test_saving_the_form_as_it_stands_changes_no_number_and_no_note(as_counter, customer):
    lines = "01632 960999 work, son, evenings\nask at the bakery"
    send(as_counter, customer, phones=lines)
    kept = list(customer.phones.values_list("typed", "note"))
    form = CustomerForm(customer=Customer.objects.get(pk=customer.pk))
    send(as_counter, customer, phones=form["phones"].value())
    assert list(customer.phones.values_list("typed", "note")) == kept


def test_a_pause_in_dialling_is_no_note(as_counter, customer):
    send(as_counter, customer, phones="01632 960999,,4")
    assert list(customer.phones.values_list("typed", "note")) == [("01632 960999,,4", "")]


def test_a_note_stays_when_a_number_is_added_elsewhere(owner, customer):
    customers.change(customer=customer, by=owner, phones=[Noted("01632 960123", "son, evenings")])
    customers.change(customer=customer, by=owner, phones=["01632 960123", "07700 900123"])
    notes = list(customer.phones.values_list("typed", "note"))
    assert notes == [("01632 960123", "son, evenings"), ("07700 900123", "")]


def test_the_numbers_are_shown_as_they_were_typed(as_counter, customer):
    send(as_counter, customer, phones="01632 960999 work\n07700 900123")
    page = text(as_counter.get(reverse("customer-change", args=[customer.pk])))
    assert "01632 960999 work\n07700 900123</textarea>" in page


def test_what_the_library_cannot_read_is_kept_as_typed(as_counter, customer):
    send(as_counter, customer, phones="ask at the bakery")
    assert list(customer.phones.values_list("typed", "e164")) == [("ask at the bakery", "")]


def test_a_number_alone_is_a_customer(as_counter, customer):
    assert send(as_counter, customer, name="", firm="").status_code == 302
    customer.refresh_from_db()
    assert customer.shown_name == "01632 960123"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"name": "", "firm": "", "phones": ""}, "A name, a firm or a telephone number is needed."),
        ({"name": "x" * 121}, "at most 120 are taken"),
        ({"name": "a\x00b"}, "unprintable character (U+0000) at position 2"),
        ({"phones": "\n".join(f"01632 9600{n:02d}" for n in range(11))}, "11 numbers; at most 10"),
        ({"phones": "0" * 41}, "is too long for a number"),
        ({"phones": "01632 960999, " + "x" * 61}, "is too long (60 characters)"),
        ({"mail": "odile at flowers"}, "Enter a valid email address."),
        ({"mail": "x" * 300 + "@x.example"}, "at most 254 characters"),
        ({"address": "x" * 501}, "at most 500 are taken"),
        ({"reach_by": "pigeon"}, "Select a valid choice."),
        ({"language": "klingon"}, "Select a valid choice."),
        ({"notes": "x" * 10_001}, "at most 10000 are taken"),
    ],
)
def test_bad_input_is_refused_and_what_was_typed_stays(as_counter, customer, typed, words):
    answer = send(as_counter, customer, **({"firm": "Kept <Ltd>"} | typed))
    assert answer.status_code == 422
    assert words in text(answer)
    if "firm" not in typed:
        assert 'value="Kept &lt;Ltd&gt;"' in text(answer)
    customer.refresh_from_db()
    assert (customer.name, customer.firm) == ("Odile Verhagen", "")
    assert customer.phones.count() == 1


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", "{{ 7|add:7 }}", "'; DROP TABLE shop_car; --", "Zoë 李 ‮x"]
)
def test_a_name_is_shown_as_text(as_counter, customer, name):
    from django.utils.html import escape

    send(as_counter, customer, name=name)
    page = text(as_counter.get(reverse("customer", args=[customer.pk])))
    assert escape(name) in page
    assert "<script>alert" not in page


@pytest.mark.parametrize("number", ["0", "99999", "9" * 19, "9" * 60, "-1", "1e3", "١", "1'"])
def test_a_customer_who_is_not_there(as_counter, number):
    assert as_counter.get(f"/customers/{number}/change/").status_code == 404


def test_somebody_erased_is_not_there(as_counter, customer):
    Customer.objects.filter(pk=customer.pk).update(erased_at=timezone.now())
    for name in ("customer", "customer-change"):
        assert as_counter.get(reverse(name, args=[customer.pk])).status_code == 404


def test_a_customer_without_a_car_or_a_visit_has_a_page(as_counter, owner):
    from shop.actions import customers

    alone = customers.add(by=owner, name="Alone")
    page = text(as_counter.get(reverse("customer", args=[alone.pk])))
    assert "No car of theirs is known." in page
    assert "No visit yet." in page
