"""Sessions that are planted, stale or withdrawn: nobody gets in, and nothing typed is lost."""

from __future__ import annotations

import html
import re

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

from jobs.models import Entry
from tests.jobs.pictures import upload

pytestmark = pytest.mark.django_db

KEY = "f" * 32
PASSWORD = {"password": "a long enough word"}
OURS = {"origin": "http://testserver"}
WORDS = "Belt “frayed” & <shiny>, runs warm"


def page_of(answer) -> str:
    return html.unescape(answer.content.decode())


def fields_of(answer) -> dict[str, str]:
    """The hidden fields of the page's own form, as a browser would send them."""
    main = answer.content.decode().split("<main")[1]
    found = re.findall(r'<input type="hidden" name="([^"]+)"[^>]* value="([^"]*)"', main)
    return {name: html.unescape(value) for name, value in found}


def signed_in(browser) -> bool:
    return browser.get(reverse("today")).status_code == 200


def sign_in(browser, username: str = "tomas"):
    """Through the door as a browser does it: the page first, for its token."""
    fields = fields_of(browser.get(reverse("sign-in")))
    return browser.post(
        reverse("sign-in"), fields | {"username": username} | PASSWORD, headers=OURS
    )


@pytest.fixture
def browser(technician):
    """The technician's, in which every form must prove that it is ours."""
    strict = Client(enforce_csrf_checks=True)
    sign_in(strict)
    return strict


# ------------------------------------------------------------------ row 75


def test_row_75_a_session_planted_before_the_door_is_worth_nothing_behind_it(client, technician):
    planted = client.session
    planted["planted"] = "by a stranger"
    planted.save()
    client.cookies["sessionid"] = planted.session_key
    sign_in(client)
    assert signed_in(client)
    assert client.cookies["sessionid"].value != planted.session_key
    stranger = Client()
    stranger.cookies["sessionid"] = planted.session_key
    assert not signed_in(stranger)
    assert not Session.objects.filter(pk=planted.session_key).exists()


@pytest.mark.parametrize("number", ["x" * 32, "", "../../etc", '"\\000"', "a" * 5_000, "é" * 32])
def test_row_75_a_session_number_that_is_none_gets_a_new_one(client, technician, number):
    client.cookies["sessionid"] = number
    assert not signed_in(client)
    sign_in(client)
    assert signed_in(client)
    assert client.cookies["sessionid"].value != number


def leave_in_another_tab(browser) -> None:
    token = fields_of(browser.get(reverse("password-change")))["csrfmiddlewaretoken"]
    left = browser.post(reverse("sign-out"), {"csrfmiddlewaretoken": token}, headers=OURS)
    assert left.status_code == 302
    assert not signed_in(browser)


def test_row_75_what_a_stale_tab_sends_comes_back_after_signing_in(browser, ticket):
    address = reverse("ticket-note-add", args=[ticket.number])
    open_form = fields_of(browser.get(address)) | {"words": WORDS}
    leave_in_another_tab(browser)

    told = browser.post(address, open_form, headers=OURS)
    assert told.status_code == 403
    assert "You are signed out, so nothing was saved yet" in page_of(told)
    assert f'href="{reverse("sign-in")}"' in page_of(told)
    assert fields_of(told)["words"] == WORDS
    assert not Entry.objects.filter(kind="note").exists()

    sign_in(browser)
    # Signing in changes the token, so that the kept page may have to be pressed twice.
    first = browser.post(address, fields_of(told), headers=OURS)
    taken = first
    if first.status_code == 403:
        assert fields_of(first)["words"] == WORDS
        taken = browser.post(address, fields_of(first), headers=OURS)
    assert taken.status_code == 303
    assert [entry.data["words"] for entry in Entry.objects.filter(kind="note")] == [WORDS]


def test_row_75_a_stale_tabs_link_leads_over_the_door_back_to_its_page(browser, ticket):
    leave_in_another_tab(browser)
    address = reverse("test-new", args=[ticket.number, "charging"])
    led = browser.get(address)
    assert led.url == f"{reverse('sign-in')}?next={address}"
    back = browser.post(
        led.url, fields_of(browser.get(led.url)) | {"username": "tomas"} | PASSWORD, headers=OURS
    )
    assert back.url == address


def test_row_75_a_half_typed_test_is_there_again_after_signing_in(browser, ticket):
    address = reverse("test-new", args=[ticket.number, "charging"])
    typed = fields_of(browser.get(address)) | {"points.idle.battery_v": "14,2"}
    draft = reverse("test-draft", args=[ticket.number, "charging"])
    browser.post(draft, typed, headers=OURS)
    leave_in_another_tab(browser)
    sign_in(browser)
    assert 'value="14,2"' in page_of(browser.get(address))


def test_row_75_somebody_else_who_signs_in_is_the_one_who_sends(browser, ticket, counter):
    address = reverse("ticket-note-add", args=[ticket.number])
    open_form = fields_of(browser.get(address)) | {"words": WORDS}
    leave_in_another_tab(browser)
    told = browser.post(address, open_form, headers=OURS)
    sign_in(browser, "ida")
    again = browser.post(address, fields_of(told), headers=OURS)
    if again.status_code == 403:
        browser.post(address, fields_of(again), headers=OURS)
    assert Entry.objects.get(kind="note").by == counter


def at_work(owner, person, stays: bool) -> None:
    """The owner's page, on which somebody leaves or comes back."""
    desk = Client()
    desk.force_login(owner)
    told = {"name": person.name, "role": person.role, "password": "", "again": ""}
    told |= {"is_active": "on"} if stays else {}
    assert desk.post(reverse("person-change", args=[person.pk]), told).status_code == 302
    person.refresh_from_db()
    assert person.is_active is stays


def test_row_75_who_has_left_is_out_at_the_next_request_and_saves_nothing(
    browser, ticket, owner, technician
):
    address = reverse("ticket-note-add", args=[ticket.number])
    open_form = fields_of(browser.get(address)) | {"words": WORDS}
    at_work(owner, technician, False)
    told = browser.post(address, open_form, headers=OURS)
    assert told.status_code == 403
    assert fields_of(told)["words"] == WORDS
    assert not Entry.objects.filter(kind="note").exists()
    assert not signed_in(browser)
    assert sign_in(browser).status_code == 422


def test_row_75_who_has_left_gets_no_photo_in_nor_out(browser, ticket, owner, technician):
    token = fields_of(browser.get(reverse("photo-add", args=[ticket.number])))
    browser.post(
        reverse("photo-add", args=[ticket.number]),
        token | {"photos": upload(), "subject": "leak"},
        headers=OURS,
    )
    frame = reverse("photo-file", args=[ticket.number, "3a", "screen"])
    assert browser.get(frame).status_code == 200
    at_work(owner, technician, False)
    assert browser.get(frame).status_code == 302


def test_row_75_who_comes_back_to_work_signs_in_anew(browser, owner, technician):
    at_work(owner, technician, False)
    assert not signed_in(browser)
    at_work(owner, technician, True)
    assert not signed_in(browser)
    sign_in(browser)
    assert signed_in(browser)
