"""Notes, numbers in addresses, tokens and hosts that are meant to hurt."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Entry

pytestmark = pytest.mark.django_db

MARKUP = ["<script>alert(1)</script>", '"><svg onload=alert(1)>']


@pytest.mark.parametrize("words", MARKUP, ids=["row 28: script", "row 28: svg"])
def test_markup_in_a_note_is_shown_literally(as_technician, ticket, words):
    answer = as_technician.post(
        reverse("ticket-note-add", args=[ticket.number]),
        {"words": words, "client_key": "d" * 32},
        follow=True,
    )
    page = answer.content.decode()
    assert answer.status_code == 200
    assert words not in page
    assert "&lt;s" in page or "&gt;&lt;svg" in page


@pytest.mark.parametrize("number", ["0", "-1", "1e3", str(2**63), "9" * 60, "1'"])
def test_row_46_a_ticket_number_that_is_none_is_not_found(as_technician, ticket, number):
    assert as_technician.get(f"/tickets/{number}/").status_code == 404


@pytest.mark.parametrize("target", ["//evil.example", "javascript:alert(1)", "/\\evil.example"])
def test_row_52_signing_in_never_leads_elsewhere(client, technician, target):
    answer = client.post(
        reverse("sign-in"),
        {"username": "tomas", "password": "a long enough word", "next": target},
    )
    assert answer.status_code in {302, 303}
    assert answer.url == reverse("today")


@pytest.mark.parametrize(
    ("origin", "is_given_back"),
    [("http://testserver", True), ("https://evil.example", False)],
    ids=["row 76: our own page", "row 77: another site"],
)
def test_a_missing_token_gives_the_draft_back_to_our_own_page_only(
    technician, ticket, origin, is_given_back
):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(technician)
    before = Entry.objects.count()
    answer = browser.post(
        reverse("ticket-note-add", args=[ticket.number]),
        {"words": "Belt frayed"},
        headers={"origin": origin},
    )
    assert answer.status_code == 403
    assert ("Belt frayed" in answer.content.decode()) is is_given_back
    assert Entry.objects.count() == before


def test_row_77_a_wrong_host_is_refused(client, settings):
    settings.ALLOWED_HOSTS = ["shop.example"]
    assert client.get("/sign-in/", headers={"host": "evil.example"}).status_code == 400


def test_row_80_a_double_tap_makes_one_note(as_technician, ticket):
    before = Entry.objects.count()
    for _ in range(2):
        as_technician.post(
            reverse("ticket-note-add", args=[ticket.number]),
            {"words": "Belt frayed", "client_key": "d" * 32},
        )
    assert Entry.objects.count() == before + 1
