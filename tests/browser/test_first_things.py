"""The five first things of a fresh ticket on a phone, and a part that is tried elsewhere."""

from __future__ import annotations

import re
import time
from typing import Any

import pytest

from tests.browser.test_whole_job import (
    back_to_the_ticket,
    choose,
    follow,
    open_the_ticket,
    press,
)

pytestmark = pytest.mark.browser

SECONDS = 120
"""Five first things in two minutes of taps: the promise of the page."""


def gate(page: Any, title: str) -> Any:
    return page.locator(".gates li").filter(has_text=title)


def make_it_happen(page: Any) -> None:
    gate(page, "Seen by us?").get_by_role("link").click()
    choose(page, "It came", "As told")
    choose(page, "Who drove", "We alone")
    page.get_by_role("group", name="As told", exact=True).get_by_label("Tried").fill("3")
    page.get_by_role("group", name="As told", exact=True).get_by_label("It came").fill("3")
    press(page, "Save test")
    back_to_the_ticket(page)


def changed_lately(page: Any) -> None:
    gate(page, "What changed lately?").get_by_role("link").click()
    choose(page, "Since", "some weeks")
    choose(page, "After", "work elsewhere")
    press(page, "Save")


def look_round(page: Any) -> None:
    gate(page, "Look over").get_by_role("link").click()
    for where in ("Under the bonnet and underneath", "Fluids", "Traces, inside too"):
        choose(page, where, "All looked at")
    place = page.locator("details.place").filter(has_text="Grounds and straps")
    place.locator("summary").first.click()
    place.get_by_text("Corroded, burnt", exact=True).first.click()
    press(page, "Save test")
    back_to_the_ticket(page)


def read_codes(page: Any) -> None:
    gate(page, "Stored codes").get_by_role("link").click()
    page.get_by_label("The control units said", exact=True).select_option(index=1)
    press(page, "Save test")
    back_to_the_ticket(page)


def look_up(page: Any) -> None:
    gate(page, "Known for this model?").get_by_role("link").click()
    choose(page, "Looked up", "recalls")
    choose(page, "Result", "nothing found")
    press(page, "Save")


def test_five_first_things_in_two_minutes(phone, server) -> None:
    phone.goto(server.url)
    open_the_ticket(phone)
    assert phone.locator(".gates summary").inner_text() == "First: 5 of five not done"
    began = time.monotonic()
    for step in (make_it_happen, changed_lately, look_round, read_codes, look_up):
        step(phone)
    assert time.monotonic() - began < SECONDS
    assert phone.locator(".gates summary").inner_text() == "The five first things are done"
    phone.locator(".gates summary").click()
    assert phone.locator(".gates em").count() == 0
    assert "ground" in gate(phone, "Look over").inner_text().lower()


def test_a_part_tried_elsewhere_is_apart_until_it_is_ticked_back(phone, server) -> None:
    phone.goto(server.url)
    open_the_ticket(phone)
    follow(phone, re.compile("^Test$"))
    follow(phone, re.compile("^Substitution"))
    choose(phone, "What was done", "Two like parts changed places")
    phone.get_by_label("Part under test", exact=True).fill("Ignition coil")
    phone.get_by_label("From where", exact=True).fill("cylinder 2")
    phone.get_by_label("To where", exact=True).fill("cylinder 3")
    choose(phone, "The fault", "Went along with the part")
    choose(phone, "Put back again", "Not put back yet")
    press(phone, "Save test")
    back_to_the_ticket(phone)
    apart = phone.locator(".apart-list li").filter(has_text="cylinder 3")
    assert "gnition coil" in apart.inner_text()
    follow(phone, "Tick back")
    press(phone, "It is back as it was")
    assert phone.locator(".apart-list").count() == 0
