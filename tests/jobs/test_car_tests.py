"""Tests of one kind on one car over the years, and any two side by side."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.actions import runs
from jobs.over_years import kinds_on
from tests.jobs.pictures import strap_test

pytestmark = pytest.mark.django_db


@pytest.fixture
def three(ticket, owner):
    """Three drops on the same ground: 0.66 V two years ago, 0.18 V last year, 0.19 V today."""
    made = []
    for days, volts in ((730, "0.661"), (365, "0.183"), (0, "0.190")):
        made.append(
            runs.record_test(
                ticket=ticket,
                procedure="voltage_drop",
                typed={
                    "given.path": "starter_ground",
                    "given.current": "200",
                    "path.strap.drop": volts,
                },
                by=owner,
                measured_at=timezone.now() - timedelta(days=days),
            )
        )
    return made


def url(car, *, of="starter_ground", **query) -> str:
    asked = "&".join(f"{name}={value}" for name, value in {"of": of, **query}.items())
    return f"{reverse('car-tests', args=[car.pk, 'voltage_drop'])}?{asked}"


def test_every_point_stands_in_one_table_by_day(client, owner, ticket, three):
    client.force_login(owner)
    page = client.get(url(ticket.car)).content.decode()
    row = re.search(r"<tr><th scope=\"row\">Body to engine block.*?</tr>", page, re.DOTALL).group()
    assert re.findall(r">(0\.\d+)", row) == ["0.661", "0.183", "0.190"]


def test_the_drawing_tells_each_value_and_its_day(client, owner, ticket, three):
    client.force_login(owner)
    page = client.get(url(ticket.car)).content.decode()
    title = re.search(r"<title id=\"years-title\">(.*?)</title>", page).group(1)
    day = timezone.localdate() - timedelta(days=730)
    assert f"0.661 V on {day}" in title.replace("\u00a0", " ")


def test_a_corrected_test_does_not_count_twice(client, owner, ticket, three):
    runs.record_test(
        ticket=ticket,
        procedure="voltage_drop",
        typed={
            "given.path": "starter_ground",
            "given.current": "200",
            "path.strap.drop": "0.150",
        },
        by=owner,
        corrects=three[-1],
        why="read wrong",
    )
    (kind,) = kinds_on(ticket.car)
    assert (kind["times"], kind["title"]) == (3, "Voltage drop under load")


def test_other_routes_have_a_table_of_their_own(client, owner, ticket, three):
    runs.record_test(
        ticket=ticket,
        procedure="voltage_drop",
        typed={"given.path": "starter_feed", "given.current": "200", "given.whole": "0.3"},
        by=owner,
    )
    assert len(kinds_on(ticket.car)) == 2
    client.force_login(owner)
    assert "0.661" not in client.get(url(ticket.car, of="starter_feed")).content.decode()


def test_two_that_were_chosen_are_compared_the_older_first(client, owner, ticket, three):
    client.force_login(owner)
    first, _second, third = (entry.run_link.run.pk for entry in three)
    page = client.get(url(ticket.car, before=third, after=first)).content.decode()
    table = re.search(r"<table class=\"ba\">.*?</table>", page, re.DOTALL).group()
    values = [text.replace("\u00a0", " ") for text in re.findall(r"hand\">([^<]+)<", table)]
    assert values[0].startswith("0.661") and values[1].startswith("0.190")


@pytest.mark.parametrize("asked", ["0", "x", "9" * 30, "-1"])
def test_a_choice_that_is_none_compares_nothing(client, owner, ticket, three, asked):
    client.force_login(owner)
    answer = client.get(url(ticket.car, before=asked, after=asked))
    assert answer.status_code == 200
    assert 'class="ba"' not in answer.content.decode()


def test_a_test_of_another_car_is_no_choice(client, owner, ticket, three, other_car):
    stranger = strap_test_on(other_car, owner)
    client.force_login(owner)
    page = client.get(url(ticket.car, before=stranger, after=three[0].run_link.run.pk))
    assert 'class="ba"' not in page.content.decode()


@pytest.mark.parametrize(("procedure", "of"), [("voltage_drop", "starter_ground"), ("none", "")])
def test_what_was_never_tested_is_not_found(client, owner, ticket, procedure, of):
    client.force_login(owner)
    address = reverse("car-tests", args=[ticket.car.pk, procedure])
    assert client.get(f"{address}?of={of}").status_code == 404


def test_the_cars_page_leads_there(client, owner, ticket, three):
    client.force_login(owner)
    page = client.get(reverse("car", args=[ticket.car.pk])).content.decode()
    assert url(ticket.car) in page
    assert "made 3 times" in page


@pytest.fixture
def other_car(owner, customer):
    from shop.actions import cars

    return cars.add(
        by=owner, plate="QX 88 ZZ", region="GB", make="Corvane", model="Hauler", owner=customer
    )


def strap_test_on(car, owner) -> int:
    from jobs.actions import tickets

    other = tickets.open_ticket(car=car, customer=car.owner, by=owner, facts={})
    return strap_test(other, owner).run_link.run.pk
