"""A phone tells with each sending what its clock shows; the server's time counts."""

from __future__ import annotations

import re
import sqlite3
from datetime import UTC, datetime, timedelta

import pytest

pytestmark = pytest.mark.browser

CLAIM = "SELECT at, device_at FROM jobs_entry WHERE kind = 'note'"


def test_a_phone_that_is_three_days_behind_says_so_by_itself(phone, server):
    phone.goto(f"{server.url}/tickets/new/")
    phone.get_by_label("Complaint, in the customer’s own words").fill("The lamp glows.")
    phone.get_by_role("button", name="Open the ticket").locator("visible=true").last.click()
    phone.wait_for_url(re.compile(r"/tickets/\d+/$"))
    ticket = phone.url
    phone.clock.set_fixed_time(datetime.now(UTC) - timedelta(days=3))
    phone.goto(f"{ticket}notes/new/")
    phone.get_by_label("Note").fill("Belt frayed")
    with phone.expect_navigation():
        phone.locator("button[form=record-form]").locator("visible=true").last.click()
    assert "3 days behind the server’s" in phone.inner_text("main").replace("\u00a0", " ")
    with sqlite3.connect(f"file:{server.data / 'baywitness.sqlite3'}?mode=ro", uri=True) as base:
        at, device_at = (datetime.fromisoformat(text) for text in base.execute(CLAIM).fetchone())
    assert abs(at - device_at - timedelta(days=3)) < timedelta(minutes=1)
    assert phone.complaints == []
