"""Numbers, dates and plates that mean nothing, or two things: refused, named, kept."""

from __future__ import annotations

import html

import pytest
from django.urls import reverse

from jobs.models import Entry, Ticket

pytestmark = pytest.mark.django_db


def page_of(answer) -> str:
    return html.unescape(answer.content.decode())


ODOMETERS = {
    "row 36: not a number": ("NaN", "not a whole number"),
    "row 36: a sign alone": ("-", "not a whole number"),
    "row 37: 4,400 figures": ("9" * 4_400, "limit 5 million"),
    "row 39: point before three figures": ("148.230", "148230"),
    "row 39: comma before three figures": ("148,230", "148230"),
    "row 40: Arabic-Indic": ("\u0661\u0662\u0663", "not a whole number"),
    "row 40: underscore": ("1_000", "not a whole number"),
    "row 40: exponent": ("1E+2", "not a whole number"),
}


@pytest.mark.parametrize(("typed", "words"), ODOMETERS.values(), ids=ODOMETERS.keys())
def test_an_odometer_that_is_none_is_refused_with_the_reason(as_counter, ticket, typed, words):
    before = Entry.objects.count()
    answer = as_counter.post(
        reverse("ticket-check-in", args=[ticket.number]),
        {"odometer_in": typed, "odometer_unit": "km", "client_key": "e" * 32},
    )
    page = page_of(answer)
    assert (answer.status_code, words in page, typed[:60] in page) == (422, True, True)
    assert Entry.objects.count() == before


READINGS = {
    "row 36: NaN": "NaN",
    "row 36: infinity": "-Infinity",
    "row 37: too large": "1e308",
    "row 39: two separators": "1.234,5",
    "row 40: full width": "\uff11\uff12",
    "row 40: hexadecimal": "0x1F",
    "row 44: a mass for a voltage": "12 kg",
}


@pytest.mark.parametrize("typed", READINGS.values(), ids=READINGS.keys())
def test_a_reading_that_is_none_is_refused_and_kept(as_technician, ticket, typed):
    before = Entry.objects.count()
    answer = as_technician.post(
        reverse("test-new", args=[ticket.number, "charging"]),
        {"points.idle.battery_v": typed, "fault_present": "unknown", "client_key": "e" * 32},
    )
    assert answer.status_code == 422
    assert typed in page_of(answer)
    assert Entry.objects.count() == before


DATES = {
    "row 53: no such day": "2026-02-30T10:00",
    "row 53: month 13": "2026-13-01T10:00",
    "row 53: year 0": "0000-01-01T10:00",
    "row 54: which is the month": "02/03/2026 10:00",
    "row 56: second 60": "2026-02-03T10:00:60",
    "row 56: hour 24": "2026-02-03T24:00",
}


@pytest.mark.parametrize("typed", DATES.values(), ids=DATES.keys())
def test_a_promise_on_no_calendar_day_is_refused_and_kept(as_counter, ticket, typed):
    answer = as_counter.post(
        reverse("ticket-check-in", args=[ticket.number]),
        {"promised_at": typed, "client_key": "e" * 32},
    )
    assert answer.status_code == 422
    ticket.refresh_from_db()
    assert ticket.promised_at is None


@pytest.mark.parametrize("plate", ["AB\u202e12", "AB\u200b12", "<b>AB</b>"])
def test_row_34_a_plate_with_signs_that_none_has_is_refused(as_counter, shop, plate):
    answer = as_counter.post(
        reverse("ticket-new"),
        {"plate": plate, "complaint": "Squeals.", "state": "in_the_bay", "client_key": "e" * 32},
    )
    assert answer.status_code == 422
    assert "Squeals." in page_of(answer)
    assert not Ticket.objects.exists()


def test_a_test_without_any_reading_is_not_recorded(as_technician, ticket):
    before = Entry.objects.count()
    answer = as_technician.post(
        reverse("test-new", args=[ticket.number, "charging"]),
        {"fault_present": "unknown", "client_key": "e" * 32},
    )
    assert (answer.status_code, "Nothing is entered yet" in page_of(answer)) == (422, True)
    assert Entry.objects.count() == before
