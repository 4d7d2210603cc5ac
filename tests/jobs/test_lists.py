"""Home, lists and the search box: every way of finding, empty states, and queries that stay few."""

from __future__ import annotations

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from jobs.actions import alterations, apart, tickets
from jobs.models import Ticket
from shop.actions import cars, customers

VIN = "SB1ZZ32E40E098765"


def text(answer) -> str:
    return answer.content.decode()


@pytest.fixture
def make_ticket(owner):
    """Opens a ticket for a new car of a new customer."""

    def make(n: int, **facts) -> Ticket:
        customer = customers.add(by=owner, name=f"Customer {n}", phones=[f"01632 9602{n:02d}"])
        car = cars.add(
            by=owner, plate=f"AB{n:02d} XYZ", make="Brennar", model=f"Lader {n}", owner=customer
        )
        opened = tickets.open_ticket(car=car, customer=customer, by=owner, **facts)
        tickets.add_complaint(ticket=opened, words=f"Squeals in bend {n}.", by=owner)
        return opened

    return make


@pytest.fixture
def jose(owner):
    """A customer whose name and car want care in searching."""
    customer = customers.add(
        by=owner, name="José Müller-Łuczak", firm="100% Blumen", phones=["+49 30 901820"]
    )
    car = cars.add(
        by=owner,
        plate="B-ÄX 1234",
        region="DE",
        vin=VIN,
        make="Halden",
        model="Städter_5",
        year=2011,
        owner=customer,
    )
    opened = tickets.open_ticket(car=car, customer=customer, by=owner)
    tickets.add_complaint(ticket=opened, words="Zündet nicht, 50% der Zeit.", by=owner)
    tickets.add_wish(ticket=opened, words="Ölwechsel", by=owner)
    return opened


# ------------------------------------------------------------------ the search box

FOUND_BY = {
    "plate as written": "B-ÄX 1234",
    "plate without anything between": "bäx1234",
    "plate without the dots": "BAX 1234",
    "part of the plate": "X12",
    "end of the VIN": "98765",
    "whole VIN in small letters": VIN.lower(),
    "VIN with blanks": "SB1ZZ 32E40E 098765",
    "name": "José",
    "name without accents": "jose",
    "name in capitals without accents": "MULLER-LUCZAK",
    "firm": "blumen",
    "telephone at home": "030 901820",
    "telephone from abroad": "+49 30 901820",
    "telephone from abroad with noughts": "0049 30 901820",
    "telephone with the dropped nought": "+49 (0)30 90 18 20",
    "end of the telephone number": "1820",
    "make": "halden",
    "model without accents": "stadter",
    "make, model and year": "halden städter_5 2011",
    "words of the complaint": "zündet nicht",
    "words of the complaint without dots": "ZUNDET NICHT",
    "words of a wish": "ölwechsel",
}


@pytest.mark.parametrize("typed", FOUND_BY.values(), ids=FOUND_BY)
def test_a_ticket_is_found_by(as_counter, jose, ticket, typed):
    calls = as_counter.get(reverse("find"), {"q": typed}).context["calls"]
    assert [call["no"] for call in calls] == [jose.shown_number]


@pytest.mark.parametrize("typed", ["B-ÄX 1234", "98765", "halden"])
def test_a_car_is_found_by(as_counter, jose, van, typed):
    assert as_counter.get(reverse("find"), {"q": typed}).context["cars"] == [jose.car]


@pytest.mark.parametrize("typed", ["jose", "blumen", "030 90 18 20"])
def test_a_customer_is_found_by(as_counter, jose, customer, typed):
    assert as_counter.get(reverse("find"), {"q": typed}).context["customers"] == [jose.customer]


def test_a_number_as_it_is_printed_leads_to_the_ticket(as_counter, ticket):
    answer = as_counter.get(reverse("find"), {"q": ticket.shown_number})
    assert answer["Location"] == ticket.get_absolute_url()


def test_a_number_without_noughts_finds_the_ticket(as_counter, ticket):
    calls = as_counter.get(reverse("find"), {"q": str(ticket.number)}).context["calls"]
    assert ticket.shown_number in [call["no"] for call in calls]


@pytest.mark.parametrize(
    "typed",
    ["%", "_", "100_", "B%1234", "Städter%5", "Stadter.5", "Z.*t", "\\", "?", "*", "' OR 1--"],
)
def test_signs_of_patterns_are_letters_like_others(as_counter, jose, ticket, make_ticket, typed):
    make_ticket(1)
    context = as_counter.get(reverse("find"), {"q": typed}).context
    numbers = [call["no"] for call in context["calls"]]
    own = {"%": [jose.shown_number], "_": [jose.shown_number]}
    assert numbers == own.get(typed, [])


def test_a_per_cent_sign_of_a_name_is_found_as_such(as_counter, jose, customer):
    assert as_counter.get(reverse("find"), {"q": "100%"}).context["customers"] == [jose.customer]


@pytest.mark.parametrize("typed", ["\u200b", "\u0301", "\u202e", "\x00", "\ufeff\u200e"])
def test_what_cannot_be_seen_finds_nothing_rather_than_all(as_counter, jose, typed):
    context = as_counter.get(reverse("find"), {"q": f"a{typed}"[1:]}).context
    assert (context["calls"], context["cars"], context["customers"]) == ([], [], [])


def test_a_long_search_is_cut_and_says_so(as_counter, ticket):
    answer = as_counter.get(reverse("find"), {"q": "slowly " * 3_000})
    assert answer.status_code == 200
    assert "Only the first 100 characters were used." in text(answer)


def test_what_was_searched_for_is_shown_as_text(as_counter):
    page = text(as_counter.get(reverse("find"), {"q": '"><script>alert(1)</script>'}))
    assert "<script>alert" not in page
    assert "Nothing found" in page


@pytest.mark.parametrize("typed", ["9" * 9, "9" * 60, "٣٤٥٦", "-0001", "0000", "1e10", "²²²²"])
def test_numbers_that_are_no_ticket_find_nothing(as_counter, ticket, typed):
    assert as_counter.get(reverse("find"), {"q": typed}).status_code == 200


def test_an_erased_customer_is_not_found(as_counter, jose):
    jose.customer.erased_at = timezone.now()
    jose.customer.save()
    assert as_counter.get(reverse("find"), {"q": "jose"}).context["customers"] == []


def test_a_corrected_complaint_is_found_by_its_present_words(as_counter, jose, owner):
    entry = jose.entries.get(kind="complaint")
    tickets.add_complaint(ticket=jose, words="Rattles", by=owner, corrects=entry, why="misheard")
    assert as_counter.get(reverse("find"), {"q": "rattles"}).context["calls"]


# ------------------------------------------------------------------ home


def test_an_empty_shop_says_what_to_do(as_owner):
    page = text(as_owner.get(reverse("today")))
    assert "No car in the shop." in page
    assert reverse("ticket-new") in page


def test_cars_stand_by_state_the_soonest_first(as_owner, owner, make_ticket):
    now = timezone.now()
    for n, hours in {1: 5, 2: 2}.items():
        promised = now + datetime.timedelta(hours=hours)
        make_ticket(n, facts={"promised_at": promised.isoformat()})
    make_ticket(3)
    waiting = make_ticket(4)
    tickets.move(ticket=waiting, to="waiting", waits_for="part", by=owner)
    booked = make_ticket(5, state="booked")
    gone = make_ticket(6)
    tickets.move(ticket=gone, to="ready", by=owner)
    tickets.move(ticket=Ticket.objects.get(pk=gone.pk), to="handed_back", by=owner)
    groups = as_owner.get(reverse("today")).context["groups"]
    assert [[call["no"] for call in group.calls] for group in groups] == [
        ["0002", "0001", "0003"],
        [waiting.shown_number],
        [booked.shown_number],
    ]


def test_a_call_names_what_is_apart(as_owner, ticket, owner):
    apart.take_apart(ticket=ticket, what="main fuse pulled", by=owner)
    assert "Apart: main fuse pulled" in text(as_owner.get(reverse("today")))


def test_an_alteration_is_on_the_home_page_until_it_is_put_back(as_owner, ticket, owner):
    entry = alterations.add(ticket=ticket, what="fan wired to run always", by=owner)
    assert "fan wired to run always" in text(as_owner.get(reverse("today")))
    alterations.put_back(ticket=ticket, alteration=entry.alteration, by=owner)
    assert "fan wired to run always" not in text(as_owner.get(reverse("today")))


# ------------------------------------------------------------------ lists


LISTS = ("tickets", "cars", "customers")


@pytest.mark.parametrize("name", LISTS)
def test_an_empty_list_says_what_to_do(as_owner, name):
    page = text(as_owner.get(reverse(name)))
    assert "like that" in page
    assert reverse("ticket-new") in page


@pytest.mark.parametrize("name", LISTS)
def test_a_list_is_narrowed_by_words(as_owner, jose, ticket, name):
    page = text(as_owner.get(reverse(name), {"words": "jose" if name != "cars" else "halden"}))
    main = page.split("<main")[1]
    assert ("José" if name == "customers" else "Halden") in main
    assert "Corvane" not in main
    assert "Odile" not in main


def test_tickets_are_narrowed_by_state(as_owner, ticket, owner, make_ticket):
    make_ticket(1, state="booked")
    calls = as_owner.get(reverse("tickets"), {"state": "booked"}).context["calls"]
    assert [call["name"] for call in calls] == ["Brennar Lader 1"]


def test_tickets_are_narrowed_by_the_day_they_were_opened(as_owner, ticket):
    today = timezone.localdate()
    tomorrow = today + datetime.timedelta(days=1)
    assert as_owner.get(reverse("tickets"), {"since": today.isoformat()}).context["calls"]
    assert not as_owner.get(reverse("tickets"), {"since": tomorrow.isoformat()}).context["calls"]


def test_cars_are_narrowed_by_fuel(as_owner, van, jose):
    assert as_owner.get(reverse("cars"), {"fuel": "diesel"}).context["cars"] == [van]


@pytest.mark.parametrize(
    "query",
    [
        {"state": "broken"},
        {"since": "2026-02-30"},
        {"since": "02/03/2026"},
        {"before": "-1"},
        {"before": "NaN"},
        {"before": "9" * 40},
        {"before": "0"},
        {"sort": "password"},
        {"owner__password__startswith": "a"},
        {"_connector": "OR"},
        {"words": "\x00"},
        {"words": "x" * 20_000},
        {"words": ["a", "b"]},
        {"page": "-1"},
        {f"n{n}": "x" for n in range(1_200)},
    ],
    ids=lambda query: str(query)[:40],
)
@pytest.mark.parametrize("name", LISTS)
def test_a_strange_query_is_answered_plainly(as_owner, ticket, name, query):
    assert as_owner.get(reverse(name), query).status_code in (200, 400)


def test_a_wrong_day_is_named_and_the_rest_of_the_list_stays(as_owner, ticket):
    page = text(as_owner.get(reverse("tickets"), {"since": "2026-02-30"}))
    assert "Enter a valid date." in page
    assert ticket.shown_number in page


def test_words_that_are_too_long_are_named(as_owner, ticket):
    page = text(as_owner.get(reverse("tickets"), {"words": "x" * 101}))
    assert "at most 100 characters" in page


def test_a_list_has_each_id_once(as_owner, ticket):
    import re

    ids = re.findall(r'\sid="([^"]+)"', text(as_owner.get(reverse("tickets"))))
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("name", LISTS)
def test_a_long_list_goes_on_at_the_next_page_without_gap(as_owner, make_ticket, monkeypatch, name):
    from jobs.views import today

    monkeypatch.setattr(today, "PAGE", 4)
    for n in range(10):
        make_ticket(n)
    url, pages = reverse(name), []
    while url:
        answer = as_owner.get(url)
        rows = answer.context["calls"] if name == "tickets" else answer.context[name]
        pages.append([row["no"] if name == "tickets" else row.pk for row in rows])
        older = answer.context["older_url"]
        url = reverse(name) + older if older else ""
    seen = [row for page in pages for row in page]
    assert [len(page) for page in pages] == [4, 4, 2]
    assert seen == sorted(set(seen), reverse=True)


def test_the_next_page_keeps_what_the_list_was_narrowed_by(as_owner, make_ticket, monkeypatch):
    from jobs.views import today

    monkeypatch.setattr(today, "PAGE", 2)
    for n in range(5):
        make_ticket(n)
    older = as_owner.get(reverse("tickets"), {"words": "lader", "state": "in_the_bay"})
    assert "words=lader&state=in_the_bay&before=" in older.context["older_url"]


def queries(client, url: str) -> int:
    client.get(url)  # whatever is kept after the first time
    with CaptureQueriesContext(connection) as asked:
        assert client.get(url).status_code == 200
    return len(asked)


@pytest.mark.parametrize(
    "page", ["/", "/tickets/", "/cars/", "/customers/", "/find/?q=lader", "/find/?q=0163296"]
)
def test_a_long_list_asks_the_database_no_more_than_a_short_one(as_owner, owner, make_ticket, page):
    def fill(numbers) -> None:
        for n in numbers:
            opened = make_ticket(n)
            apart.take_apart(ticket=opened, what="hose off", by=owner)
            alterations.add(ticket=opened, what="fan wired", by=owner)

    fill(range(2))
    few = queries(as_owner, page)
    fill(range(2, 14))
    assert queries(as_owner, page) == few <= 14


def test_a_cars_page_asks_no_more_with_many_visits(as_owner, owner, van, customer, ticket):
    url = reverse("car", args=[van.pk])
    few = queries(as_owner, url)
    for _ in range(8):
        tickets.open_ticket(car=van, customer=customer, by=owner)
    assert queries(as_owner, url) == few


# ------------------------------------------------------------------ pages of one


def test_a_cars_page_shows_what_is_known(as_owner, jose):
    page = text(as_owner.get(reverse("car", args=[jose.car.pk])))
    for fact in ("Halden Städter_5 2011", VIN, "José", jose.shown_number, "Zündet nicht"):
        assert fact in page


def test_a_car_of_which_only_the_plate_is_known_has_a_page(as_owner, owner):
    bare = cars.add(by=owner, plate="X 1")
    page = text(as_owner.get(reverse("car", args=[bare.pk])))
    assert "not known" in page
    assert "No visit yet." in page


def test_a_customers_page_shows_cars_and_visits(as_owner, jose):
    page = text(as_owner.get(reverse("customer", args=[jose.customer.pk])))
    for fact in ("+49 30 901820", "Halden Städter_5 2011", jose.shown_number):
        assert fact in page
    assert 'href="tel:+4930901820"' in page
