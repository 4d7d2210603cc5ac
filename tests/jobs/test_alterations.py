"""What is left changed on a car stands on each of its tickets until it is put back."""

from __future__ import annotations

import pytest
from django.urls import reverse

from jobs.actions import alterations
from jobs.actions.tickets import open_ticket
from jobs.models import Alteration, Entry
from jobs.record.append import EntryRefused

pytestmark = pytest.mark.django_db

KEY = "e" * 32


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


def new(ticket) -> str:
    return reverse("alteration-add", args=[ticket.number])


def put_back(ticket, alteration) -> str:
    return reverse("alteration-put-back", args=[ticket.number, alteration.uid])


@pytest.fixture
def fan(ticket, owner) -> Alteration:
    """A fan wired to run always."""
    return alterations.add(
        ticket=ticket,
        what="Fan wired to run with the key",
        by=owner,
        facts={"put_back_how": "Take out the bridge at relay 4.", "affects": ["emissions_law"]},
    ).alteration


def test_it_is_recorded_with_what_it_affects(as_technician, ticket):
    answer = as_technician.post(
        new(ticket),
        {
            "what": "Heater bypassed",
            "found_so": "yes",
            "where_on_car": "at the bulkhead",
            "affects": ["cooling", "comfort"],
            "put_back_how": "Two hoses.",
            "client_key": KEY,
        },
    )
    found = Alteration.objects.get()
    assert answer.status_code == 303
    assert (found.affects, found.found_so, found.car) == (["cooling", "comfort"], True, ticket.car)


def test_what_it_affects_is_of_the_list_or_nothing_is_recorded(ticket, owner):
    with pytest.raises(EntryRefused, match=r"not in the list: paint\. .*something else"):
        alterations.add(
            ticket=ticket, what="Fan", by=owner, facts={"affects": ["cooling", "paint"]}
        )
    assert not Alteration.objects.exists()


def test_sent_twice_it_is_one(as_technician, ticket):
    for _time in range(2):
        as_technician.post(new(ticket), {"what": "Fan", "found_so": "yes", "client_key": KEY})
    assert Alteration.objects.count() == 1


def test_whose_change_it_is_is_asked_and_the_rest_stays(as_technician, ticket):
    answer = as_technician.post(new(ticket), {"what": "Fan", "why_left": "The switch is dead."})
    assert answer.status_code == 422
    assert "Say whether it was found so, or is left so by us." in text_of(answer)
    assert "The switch is dead." in text_of(answer)


def test_driving_as_stated_states_it(as_technician, ticket):
    answer = as_technician.post(
        new(ticket), {"what": "Fan", "found_so": "yes", "advice": "only_as_stated"}
    )
    assert answer.status_code == 422
    assert "Say how the car may be driven with it." in text_of(answer)


def test_it_stands_on_top_of_the_cars_next_ticket(as_technician, fan, van, customer, owner):
    later = open_ticket(car=van, customer=customer, by=owner)
    page = text_of(as_technician.get(later.get_absolute_url()))
    assert "Fan wired to run with the key" in page
    assert "Take out the bridge at relay 4." in page
    assert "This concerns the car’s emission control." in page


def test_it_is_put_back_on_a_later_visit(as_technician, fan, van, customer, owner):
    later = open_ticket(car=van, customer=customer, by=owner)
    answer = as_technician.post(put_back(later, fan), {"how": "Bridge taken out."})
    assert answer.status_code == 303
    assert not Alteration.objects.still_on().exists()
    assert Entry.objects.get(kind="put_back").ticket == later


def test_put_back_twice_is_said(as_technician, ticket, fan):
    as_technician.post(put_back(ticket, fan), {"how": "Bridge taken out."})
    answer = as_technician.post(put_back(ticket, fan), {"how": "I did it too"})
    assert answer.status_code == 422
    assert "Put back already" in text_of(answer)
    assert "I did it too" in text_of(answer)


def test_put_back_sent_twice_is_one_entry(as_technician, ticket, fan):
    for _time in range(2):
        answer = as_technician.post(put_back(ticket, fan), {"client_key": KEY})
        assert answer.status_code == 303
    assert Entry.objects.filter(kind="put_back").count() == 1


def test_one_of_another_car_is_not_found(as_technician, fan, customer, owner):
    from shop.actions import cars

    other = cars.add(plate="OT 904 C", region="GB", owner=customer, by=owner)
    ticket = open_ticket(car=other, customer=customer, by=owner)
    assert as_technician.get(put_back(ticket, fan)).status_code == 404


def test_the_counter_records_none(as_counter, ticket, fan):
    assert as_counter.post(new(ticket), {"what": "Fan", "found_so": "yes"}).status_code == 403
    assert as_counter.post(put_back(ticket, fan)).status_code == 403
