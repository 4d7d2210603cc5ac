"""Numbers of things that are somebody else's or gone, and questions no page of ours would ask."""

from __future__ import annotations

import html
import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from jobs.actions import apart, findings, photos, reports, swaps, tickets
from jobs.models import Draft, Entry, Photo, PhotoChoice
from shop.actions import cars, customers
from tests.jobs.pictures import strap_test, upload

pytestmark = pytest.mark.django_db


def page_of(answer) -> str:
    return html.unescape(answer.content.decode())


def body_of(answer) -> str:
    """The page without its form's token, which differs each time."""
    return re.sub(r"\b[A-Za-z0-9]{64}\b", "token", answer.content.decode())


# --- what is not there, for this person or at all ------------------------------------------------


def test_row_47_an_erased_customer_is_as_unknown_as_one_who_never_was(as_owner, owner, customer):
    gone = customers.add(name="Jonna Peelt", phones=["01632 960155"], by=owner)
    gone.erased_at = timezone.now()
    gone.save()
    for name in ("customer", "customer-change"):
        answers, asked = [], []
        for pk in (gone.pk, 999_999):
            with CaptureQueriesContext(connection) as queries:
                answers.append(as_owner.get(reverse(name, args=[pk])))
            asked.append(len(queries))
        assert [answer.status_code for answer in answers] == [404, 404]
        assert body_of(answers[0]) == body_of(answers[1])
        assert "Peelt" not in answers[0].content.decode()
        assert asked[0] == asked[1]


def test_row_47_a_begun_test_is_its_writers_alone(client, technician, owner, ticket):
    typed = {"given.path": "starter_ground", "path.strap.drop": "0.661"}
    kept = reverse("test-draft", args=[ticket.number, "voltage_drop"])
    client.force_login(technician)
    client.post(kept, typed)
    other = Client()
    other.force_login(owner)
    form = reverse("test-new", args=[ticket.number, "voltage_drop"])
    assert "0.661" not in page_of(other.get(form))
    other.post(reverse("draft-discard", args=[ticket.number, "voltage_drop"]))
    other.post(kept, {"given.path": "starter_ground", "path.strap.drop": "0.1"})
    assert Draft.objects.get(person=technician).fields["path.strap.drop"] == "0.661"
    assert 'value="0.661"' in page_of(client.get(form))


@pytest.mark.parametrize("name", ["test-choose", "finding-add", "swap-add"])
def test_row_47_a_role_is_refused_alike_whether_the_ticket_is_there(as_counter, ticket, name):
    there, unknown = (
        as_counter.get(reverse(name, args=[number])) for number in (ticket.number, 999_999)
    )
    assert (there.status_code, unknown.status_code) == (403, 403)
    assert body_of(there) == body_of(unknown)


def test_row_47_a_stranger_is_sent_to_sign_in_whether_the_ticket_is_there(client, ticket):
    answers = [client.get(reverse("ticket", args=[number])) for number in (ticket.number, 999_999)]
    assert {answer.status_code for answer in answers} == {302}
    assert [re.sub(r"\d+", "", answer.url) for answer in answers] == [
        "/sign-in/?next=/tickets//"
    ] * 2


@pytest.fixture
def full(ticket, owner, shop, monkeypatch):
    """A ticket with one of everything that has an address of its own."""
    monkeypatch.setattr(reports, "pdf_of", lambda content: b"%PDF-1.7 a stand-in")
    strap_test(ticket, owner)
    photos.add_photos(ticket=ticket, uploads=[upload()], subject="leak", by=owner)
    swaps.add(ticket=ticket, by=owner, reason="customer_asks", facts={"part_in": "Battery"})
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="suspected",
        sentence="The clamp may be next.",
        advice="no_restriction",
    )
    findings.add_open_work(ticket=ticket, by=owner, what="Clean the clamp", status="declined")
    apart.take_apart(ticket=ticket, what="main fuse pulled", by=owner)
    reports.issue(ticket=ticket, profile=shop, by=owner)
    return ticket


@pytest.fixture
def other(van, customer, owner):
    """Another ticket of the same car, with nothing on it."""
    return tickets.open_ticket(car=van, customer=customer, by=owner)


def addresses_of_parts(ticket, under) -> list[str]:
    """Every address of a part of `ticket`, asked for under the number of another."""
    seq = {entry.kind: entry.seq for entry in ticket.entries.all()}
    photo = Photo.objects.get(ticket=ticket)
    parts = [
        ("photo", photo.frame),
        ("photo-original", photo.frame),
        ("photo-file", photo.frame, "screen"),
        ("photo-file", photo.frame, "thumb"),
        ("test", seq["test"]),
        ("test-again", seq["test"]),
        ("test-correct", seq["test"]),
        ("ticket-complaint-change", seq["complaint"]),
        ("swap-change", seq["swap"]),
        ("finding-change", seq["finding"]),
        ("open-work-change", seq["open_work"]),
        ("entry-withdraw", seq["photos"]),
        ("apart-back", ticket.aparts.get().uid),
        ("report", 1),
        ("report-pdf", 1),
    ]
    return [reverse(name, args=[under, *rest]) for name, *rest in parts]


def test_row_48_a_part_of_one_ticket_is_not_found_under_another(as_owner, full, other):
    unknown = body_of(as_owner.get(reverse("ticket", args=[999_999])))
    for here, there in zip(
        addresses_of_parts(full, full.number),
        addresses_of_parts(full, other.number),
        strict=True,
    ):
        assert as_owner.get(here).status_code in {200, 302}, here
        answer = as_owner.get(there)
        assert answer.status_code == 404, there
        assert body_of(answer) == unknown, there


def test_row_48_sending_to_a_part_under_another_ticket_changes_nothing(as_owner, full, other):
    entries, choices = Entry.objects.count(), PhotoChoice.objects.count()
    photo = Photo.objects.get()
    seq = {entry.kind: entry.seq for entry in full.entries.all()}
    sent = {"in_report": "no", "why": "meant otherwise", "address": "path.strap.drop", "meant": "1"}
    for name, part in (
        ("photo-choice", photo.frame),
        ("entry-withdraw", seq["photos"]),
        ("test-mistyped", seq["test"]),
        ("apart-back", full.aparts.get().uid),
    ):
        answer = as_owner.post(reverse(name, args=[other.number, part]), sent)
        assert answer.status_code == 404, name
    assert (Entry.objects.count(), PhotoChoice.objects.count()) == (entries, choices)


# --- lists that are asked for what they do not know ----------------------------------------------

LISTS = ("tickets", "cars", "customers")


@pytest.fixture
def three(owner) -> list[str]:
    """Three visits of three cars of three customers; their plates, the newest first."""
    plates = []
    for n in range(1, 4):
        known = customers.add(name=f"Customer {n}", phones=[f"01632 96012{n}"], by=owner)
        car = cars.add(plate=f"AB{n}0 XYZ", make="Brennar", owner=known, by=owner)
        tickets.open_ticket(car=car, customer=known, by=owner)
        plates.insert(0, f"AB{n}0 XYZ")
    return plates


def rows_of(answer) -> list:
    """What a list shows, in its order: numbers of tickets, or cars, or customers."""
    rows = [answer.context.get(name) for name in ("calls", "cars", "customers")]
    shown = next(found for found in rows if isinstance(found, list))
    return [row["no"] if isinstance(row, dict) else row for row in shown]


UNKNOWN_NAMES = {
    "row 49: sort by password": ("sort", "password"),
    "row 49: a field of another table": ("owner__password__startswith", "md5"),
    "row 49: how conditions are joined": ("_connector", "OR"),
    "row 49: negated": ("_negated", "1"),
    "row 50: a page by number": ("page", "0"),
    "row 50: a page before the first": ("page", "-1"),
}


@pytest.mark.parametrize(
    ("page", "name", "value"),
    [
        pytest.param(page, *pair, id=f"{row}, {page}")
        for n, (row, pair) in enumerate(UNKNOWN_NAMES.items())
        for page in (LISTS if n < 2 else LISTS[:1])
    ],
)
def test_a_name_that_a_list_does_not_know_is_left_out_and_said(as_owner, three, page, name, value):
    plain = as_owner.get(reverse(page))
    answer = as_owner.get(reverse(page), {name: value})
    assert answer.status_code == 200
    assert rows_of(answer) == rows_of(plain)
    assert len(rows_of(answer)) == 3
    assert f"The address holds what this page does not know, left out: {name}." in page_of(answer)
    assert "does not know" not in page_of(plain)


@pytest.mark.parametrize(
    ("page", "value"),
    [("tickets", value) for value in ("0", "-1", "1e9", "NaN", "9" * 60, "\u0663")]
    + [("cars", "0"), ("customers", "NaN")],
)
def test_row_50_a_place_in_a_list_that_is_none_shows_its_beginning_and_says_so(
    as_owner, three, page, value
):
    answer = as_owner.get(reverse(page), {"before": value})
    assert answer.status_code == 200
    assert rows_of(answer) == rows_of(as_owner.get(reverse(page)))
    assert f"left out: before={value[:33]}" in page_of(answer)


@pytest.mark.parametrize("page", [*LISTS, "find"])
def test_row_50_1200_names_cost_no_further_question_and_three_are_named(as_owner, three, page):
    url = reverse(page)
    as_owner.get(url, {"q": "brennar"} if page == "find" else {})
    costs = []
    for more in ({}, {f"n{n}": "x" for n in range(1_200)}):
        with CaptureQueriesContext(connection) as asked:
            answer = as_owner.get(url, ({"q": "brennar"} if page == "find" else {}) | more)
        costs.append(len(asked))
    assert costs[0] == costs[1]
    assert len(rows_of(answer)) == 3
    assert "left out: n0, n1, n2 and 1197 more." in page_of(answer)


def test_row_50_more_names_than_a_request_may_hold_are_refused_with_the_limit(as_owner):
    answer = as_owner.get(reverse("tickets"), {f"n{n}": "x" for n in range(2_001)})
    assert answer.status_code == 400
    assert "At most 2000 are taken." in page_of(answer)


def test_row_50_of_a_name_that_comes_twice_the_last_counts(as_owner, three):
    twice = as_owner.get(reverse("tickets"), {"words": ["AB10", "AB30"]})
    assert rows_of(twice) == rows_of(as_owner.get(reverse("tickets"), {"words": "AB30"}))
    assert len(rows_of(twice)) == 1


def test_row_49_a_link_to_the_next_page_keeps_only_what_the_list_knows(
    as_owner, three, monkeypatch
):
    from jobs.views import today

    monkeypatch.setattr(today, "PAGE", 2)
    answer = as_owner.get(reverse("tickets"), {"words": "brennar", "_connector": "OR"})
    assert answer.context["older_url"].startswith("?words=brennar&before=")


# --- what is searched for ------------------------------------------------------------------------


def found_by(browser, query: str) -> list[list]:
    answer = browser.get(f"{reverse('find')}?{query}")
    assert answer.status_code == 200
    return [answer.context.get(name, []) for name in ("calls", "cars", "customers")]


@pytest.fixture
def with_signs(three, owner):
    """A customer whose name holds the signs that a database's patterns are made of."""
    return customers.add(name="100% Blumen_Ost", phones=["01632 960199"], by=owner)


@pytest.mark.parametrize("sign", ["%25", "_", "00%25", "n_o"], ids=lambda s: f"row 51: {s}")
def test_a_sign_of_patterns_is_searched_for_as_it_is(as_owner, with_signs, sign):
    assert found_by(as_owner, f"q={sign}") == [[], [], [with_signs]]
    listed = as_owner.get(f"{reverse('customers')}?words={sign}")
    assert listed.context["customers"] == [with_signs]


NOTHING = [
    "%00",
    "%ff%fe",
    "%C3%28",
    "%ED%A0%80",
    "%25_",
    "B%25n",
    "Customer_1",
    "%5C",
    "' OR 1=1 --",
]


@pytest.mark.parametrize("query", NOTHING, ids=[f"row 51: {q}" for q in NOTHING])
def test_a_search_for_what_nobody_is_called_finds_nothing_rather_than_all(
    as_owner, with_signs, query
):
    assert found_by(as_owner, f"q={query}") == [[], [], []]


@pytest.mark.parametrize("query", ["%00", "%ff%fe", "%ED%A0%80"])
@pytest.mark.parametrize("page", LISTS)
def test_row_51_a_list_is_not_broken_by_what_is_no_text(as_owner, three, page, query):
    assert as_owner.get(f"{reverse(page)}?words={query}").status_code == 200


@pytest.mark.parametrize(
    ("page", "name", "said"),
    [
        ("find", "q", "Only the first 100 characters were used."),
        ("tickets", "words", "at most 100 characters (it has 20000)"),
        ("cars", "words", "at most 100 characters (it has 20000)"),
        ("customers", "words", "at most 100 characters (it has 20000)"),
    ],
)
def test_row_51_a_search_of_20000_characters_is_answered_with_the_limit(
    as_owner, three, page, name, said
):
    answer = as_owner.get(reverse(page), {name: "x" * 20_000})
    assert answer.status_code == 200
    assert said in page_of(answer)
