"""What is typed at the car is not lost, and nothing of the main path needs a script."""

from __future__ import annotations

import sqlite3

import pytest

from tests.browser.conftest import phone_page
from tests.live import Server, copied

pytestmark = pytest.mark.browser

LAST_TICKET = """SELECT kind FROM jobs_entry
    WHERE ticket_id = (SELECT max(ticket_id) FROM jobs_entry) ORDER BY seq"""
IDLE, FAST = "[name='points.idle.battery_v']", "[name='points.fast.battery_v']"


@pytest.fixture(scope="module")
def server(template, tmp_path_factory):
    """One server for all: each test opens a ticket of its own."""
    running = Server(copied(template, tmp_path_factory.mktemp("keeping") / "live")).start()
    yield running
    running.stop()


def kinds(server) -> list[str]:
    """The kinds of the last ticket's entries, in their order."""
    with sqlite3.connect(f"file:{server.data / 'baywitness.sqlite3'}?mode=ro", uri=True) as base:
        return [kind for (kind,) in base.execute(LAST_TICKET)]


def press(page, name: str) -> None:
    with page.expect_navigation():
        page.get_by_role("button", name=name, exact=True).locator("visible=true").last.click()


def open_ticket(page, server) -> str:
    """A new ticket; its address."""
    page.goto(f"{server.url}/tickets/new/")
    page.get_by_label("Complaint, in the customer’s own words").fill("The lamp glows.")
    press(page, "Open the ticket")
    return page.url.split("#")[0]


def test_a_half_typed_test_is_there_when_its_technician_comes_back(phone, server):
    ticket = open_ticket(phone, server)
    phone.goto(f"{ticket}tests/charging/")
    with phone.expect_response("**/tests/charging/draft/"):
        phone.locator(IDLE).fill("14,2")
    phone.goto(server.url)
    phone.goto(f"{ticket}tests/charging/")
    assert phone.locator(IDLE).input_value() == "14,2"
    assert kinds(server).count("test") == 0
    assert phone.complaints == []


def test_what_is_typed_while_the_network_is_away_is_kept_once_it_is_back(phone, server):
    ticket = open_ticket(phone, server)
    phone.goto(f"{ticket}tests/charging/")
    phone.context.set_offline(True)
    with phone.expect_event("requestfailed"):
        phone.locator(IDLE).fill("14,2")
    assert phone.locator(IDLE).input_value() == "14,2"
    phone.context.set_offline(False)
    with phone.expect_response("**/tests/charging/draft/"):
        phone.locator(FAST).fill("14.1 V")
    phone.reload()
    assert [phone.locator(box).input_value() for box in (IDLE, FAST)] == ["14,2", "14.1 V"]


def test_a_refused_reading_keeps_all_that_was_typed(phone, server):
    ticket = open_ticket(phone, server)
    phone.goto(f"{ticket}tests/charging/")
    phone.locator(IDLE).fill("14,2")
    phone.locator(FAST).fill("fourteen")
    press(phone, "Save test")
    assert [phone.locator(box).input_value() for box in (IDLE, FAST)] == ["14,2", "fourteen"]
    assert "fourteen" in phone.get_by_role("alert").first.inner_text()
    assert "test" not in kinds(server)


def test_ticket_note_and_test_need_no_script(browser, server):
    page = phone_page(browser, server, java_script_enabled=False)
    ticket = open_ticket(page, server)
    page.goto(f"{ticket}notes/new/")
    page.get_by_role("textbox").last.fill("Belt looks new.")
    press(page, "Save")
    page.goto(f"{ticket}tests/charging/")
    page.locator(IDLE).fill("14,2")
    press(page, "Leave and keep")
    page.goto(f"{ticket}tests/charging/")
    assert page.locator(IDLE).input_value() == "14,2"
    page.locator(FAST).fill("14.1 V")
    press(page, "Save test")
    assert (
        page.get_by_role("heading", level=1).inner_text() == "Charging over engine speed and load"
    )
    assert kinds(server)[-2:] == ["note", "test"]
    assert page.complaints == []
    page.context.close()
