"""The shop's own sheet."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from shop.forms.profile import risk_in_words
from shop.models import Profile

SHEET = {
    "name": "Kestrel Yard Repairs", "address": "4 Ropewalk\nTarnsea", "phone": "01632 960001",
    "mail": "yard@kestrel.example", "website": "kestrel.example", "registration": "GB 0000",
    "region": "US", "time_zone": "America/New_York", "units": "us", "paper": "Letter",
    "risk_a": "0.01000", "currency": "USD", "labour_rate_minor": "95.50",
}  # fmt: skip


def send(client, **typed):
    return client.post(reverse("shop-profile"), SHEET | typed)


def test_every_field_is_kept(as_owner):
    assert send(as_owner).status_code == 302
    profile = Profile.current()
    assert {name: getattr(profile, name) for name in SHEET} == SHEET | {
        "risk_a": Decimal("0.01000"),
        "labour_rate_minor": 9550,
    }


def test_the_page_shows_what_is_kept(as_owner):
    send(as_owner)
    text = as_owner.get(reverse("shop-profile")).content.decode()
    for value in ("4 Ropewalk", "95.50", "1 chance in 100", "America/New York", "US Dollar"):
        assert value in text


@pytest.mark.parametrize(
    ("risk", "words"),
    [("0.05", "1 chance in 20"), ("0.02275", "1 chance in 44"), ("0.00135", "1 chance in 741")],
)
def test_a_risk_is_said_as_a_chance(risk, words):
    assert risk_in_words(Decimal(risk)) == words


def test_a_risk_set_elsewhere_is_still_offered(as_owner, shop):
    shop.risk_a = Decimal("0.03000")
    shop.save()
    assert "1 chance in 33" in as_owner.get(reverse("shop-profile")).content.decode()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"name": ""}, "This field is required."),
        ({"name": "x" * 121}, "at most 120 are taken"),
        ({"address": "x" * 501}, "at most 500 are taken"),
        ({"mail": "nobody"}, "Enter a valid email address."),
        ({"region": "ZZ"}, "Select a valid choice."),
        ({"time_zone": "Europe/Atlantis"}, "Select a valid choice."),
        ({"time_zone": "../../etc/passwd"}, "Select a valid choice."),
        ({"units": "furlongs"}, "Select a valid choice."),
        ({"paper": "A0"}, "Select a valid choice."),
        ({"risk_a": "0.9"}, "Select a valid choice."),
        ({"currency": "ZZZ"}, "Select a valid choice."),
        ({"labour_rate_minor": "1.234,5"}, "1.234,5"),
        ({"labour_rate_minor": "-5"}, "-5"),
        ({"labour_rate_minor": "a lot"}, "a lot"),
        ({"labour_rate_minor": "9" * 30}, "9"),
    ],
)
def test_a_bad_field_is_refused_and_all_is_kept_on_the_page(as_owner, typed, words):
    answer = send(as_owner, **typed)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert words in text
    assert "Nothing you typed is lost." in text
    assert 'value="GB 0000"' in text
    assert Profile.current().registration == ""


def test_the_rate_is_read_in_the_currency_that_is_chosen_with_it(as_owner):
    send(as_owner, currency="JPY", labour_rate_minor="9500")
    assert Profile.current().labour_rate_minor == 9500
    assert send(as_owner, currency="JPY", labour_rate_minor="95.50").status_code == 422


def test_an_empty_rate_is_no_rate(as_owner):
    send(as_owner, labour_rate_minor="")
    assert Profile.current().labour_rate_minor is None


def test_the_times_of_pages_follow_the_zone(as_owner):
    send(as_owner, time_zone="Pacific/Auckland")
    answer = as_owner.get(reverse("shop-profile"))
    assert answer.status_code == 200
    assert answer.wsgi_request.shop.time_zone == "Pacific/Auckland"


@pytest.mark.parametrize("who", ["as_technician", "as_counter"])
def test_the_profile_is_the_owners_business(request, who):
    client = request.getfixturevalue(who)
    assert client.get(reverse("shop-profile")).status_code == 403
    assert send(client).status_code == 403
