"""Numbers, dates and plates that mean nothing, or two things: refused, named, kept."""

from __future__ import annotations

import html
from datetime import UTC, datetime

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from jobs.models import Entry, Ticket
from measurements.models import Instrument
from shop.clock import hour
from shop.models import Car

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


# ------------------------------------------------------------------ dates and times


@pytest.fixture
def clock():
    """Noon of a Monday, eight days after the clocks went back in Europe."""
    with time_machine.travel(datetime(2026, 11, 2, 12, 0, tzinfo=UTC), tick=False) as traveller:
        yield traveller


PLACES = {
    "promised": ("ticket-check-in", "promised_at", {"damage": "Dent"}),
    "measured": ("charging", "measured_at", {"points.idle.battery_v": "14.1"}),
    "fitted": ("swap-elsewhere-add", "done_on", {"part_in": "Strap, blue"}),
    "core": (
        "swap-add",
        "core_until",
        {"reason": "worn_or_damaged", "part_in": "Strap, blue"},
    ),
    "calibration": ("instrument-add", "calibration_due", {"kind": "multimeter", "name": "Blue"}),
    "year": ("ticket-check-in", "year", {"damage": "Dent"}),
}
MOMENTS, DAYS = ("promised", "measured"), ("fitted", "core", "calibration")


def type_into(place: str, typed: str, client, ticket):
    """Send one form of the application with this in its field for a date or time."""
    name, field, more = PLACES[place]
    if name == "charging":
        address = reverse("test-new", args=[ticket.number, name])
    else:
        address = reverse(name, args=[] if place == "calibration" else [ticket.number])
    return client.post(address, more | {field: typed, "client_key": "e" * 32})


def counts() -> tuple[int, int]:
    return Entry.objects.count(), Instrument.objects.count()


def refused(place: str, typed: str, words: str, client, ticket) -> None:
    """With its reason; the field and the rest of the form kept, nothing saved."""
    before = counts()
    answer = type_into(place, typed, client, ticket)
    page = page_of(answer)
    assert (answer.status_code, counts()) == (422, before)
    assert words in page
    assert f'value="{typed}"' in page
    kept = list(PLACES[place][2].values())[-1]
    assert f'value="{kept}"' in page or f">\n{kept}<" in page


@pytest.mark.usefixtures("clock")
@pytest.mark.parametrize("place", MOMENTS)
@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("2026-02-30T10:00", "is not on the calendar or the clock"),
        ("2026-13-01T10:00", "is not on the calendar or the clock"),
        ("0000-01-01T10:00", "is not on the calendar or the clock"),
        ("10000-01-01T10:00", "The form is YYYY-MM-DD HH:MM"),
        ("-001-01-01T10:00", "The form is YYYY-MM-DD HH:MM"),
        ("-1", "The form is YYYY-MM-DD HH:MM"),
        ("02/03/2026 10:00", "The form is YYYY-MM-DD HH:MM"),
        ("2026-02-03T10:00:60", "The form is YYYY-MM-DD HH:MM"),
        ("2026-02-03T24:00", "is not on the calendar or the clock"),
        ("2026-02-03T10:00+99:99", "The form is YYYY-MM-DD HH:MM"),
        ("\u0662\u0660\u0662\u0666-02-03T10:00", "The form is YYYY-MM-DD HH:MM"),
    ],
)
def test_rows_53_54_56_a_time_that_is_none_is_refused_and_kept(
    as_owner, ticket, place, typed, words
):
    refused(place, typed, words, as_owner, ticket)


@pytest.mark.usefixtures("clock")
@pytest.mark.parametrize("place", DAYS)
@pytest.mark.parametrize(
    "typed",
    ["2026-02-30", "2026-13-01", "0000-01-01", "10000-01-01", "-1", "02/03/2026", "3 Feb 2026",
     "2026-2-3", "2026-02-03T24:00", "2026-W06-2", "20260203", "\uff12026-02-03"],
)  # fmt: skip
def test_rows_53_54_a_day_that_is_none_is_refused_and_kept(as_owner, ticket, place, typed):
    refused(place, typed, "is not a calendar date. The form is YYYY-MM-DD", as_owner, ticket)


OUT_OF_REACH = [
    ("promised", "1999-03-01T10:00", "is past"),
    ("promised", "2027-11-03T10:00", "is more than a year ahead"),
    ("measured", "1999-03-01T10:00", "too long ago"),
    ("measured", "2026-11-02T12:01", "in the future"),
    ("measured", "2027-11-02T12:00", "in the future"),
    ("fitted", "1999-03-01", "this car, of 2016, was not built yet"),
    ("fitted", "2026-11-03", "still to come"),
    ("fitted", "2027-11-02", "still to come"),
    ("core", "1999-03-01", "too long ago"),
    ("core", "2028-11-02", "too far ahead"),
    ("calibration", "1999-03-01", "too long ago"),
    ("calibration", "2099-01-01", "too far ahead"),
    ("year", "1884", "is no model year"),
    ("year", "2029", "is no model year"),
    ("year", "0000", "is no model year"),
    ("year", "10000", "is no model year"),
]


@pytest.mark.usefixtures("clock")
@pytest.mark.parametrize(("place", "typed", "words"), OUT_OF_REACH)
def test_row_56_a_date_out_of_reach_is_refused_with_the_reach_and_kept(
    as_owner, ticket, place, typed, words
):
    refused(place, typed, words, as_owner, ticket)


@pytest.mark.usefixtures("clock")
@pytest.mark.parametrize(
    ("place", "typed"),
    [
        ("promised", "2026-11-02T16:00"),
        ("promised", "2026-11-02 16:00"),
        ("measured", "2026-11-02T11:59"),
        ("fitted", "2026-11-02"),
        ("fitted", "2015-12-01"),
        ("core", "2026-12-01"),
        ("calibration", "2026-06-01"),
        ("year", "2027"),
    ],
)
def test_a_date_that_makes_sense_is_taken(as_owner, ticket, place, typed):
    before = counts()
    assert type_into(place, typed, as_owner, ticket).status_code in {302, 303}
    assert sum(counts()) == sum(before) + 1


@pytest.mark.usefixtures("clock")
def test_an_old_car_whose_year_is_not_known_may_have_an_old_part(as_owner, ticket):
    Car.objects.filter(pk=ticket.car_id).update(year=None)
    assert type_into("fitted", "1999-03-01", as_owner, ticket).status_code == 303


# --- row 55: clocks that go forward and back


@pytest.fixture
def amsterdam(shop):
    """A shop whose clocks went forward on 29 March and back on 25 October 2026, at 01:00 UTC."""
    type(shop).objects.update(time_zone="Europe/Amsterdam")


@pytest.mark.usefixtures("clock", "amsterdam")
@pytest.mark.parametrize(
    ("place", "typed"), [("promised", "2027-03-28T02:30"), ("measured", "2026-03-29T02:30")]
)
def test_row_55_an_hour_that_the_clocks_leave_out_is_refused_and_kept(
    as_owner, ticket, place, typed
):
    refused(place, typed, "does not exist: the clocks go forward", as_owner, ticket)


@pytest.mark.usefixtures("amsterdam")
def test_row_55_of_an_hour_that_comes_twice_the_first_is_promised_and_its_offset_shown(
    client, ticket, owner, clock
):
    clock.move_to(datetime(2026, 10, 22, 12, 0, tzinfo=UTC))
    client.force_login(owner)
    assert type_into("promised", "2026-10-25T02:30", client, ticket).status_code == 303
    stored = Entry.objects.get(kind="ticket_changed").data["promised_at"]
    assert stored == "2026-10-25T02:30:00+02:00"
    ticket.refresh_from_db()
    assert ticket.promised_at == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert "promised Sun 02:30 (UTC+02:00)" in page_of(client.get(ticket.get_absolute_url()))


@pytest.mark.usefixtures("clock", "amsterdam")
def test_row_55_of_an_hour_that_comes_twice_the_first_was_measured_and_its_offset_shown(
    as_owner, ticket
):
    answer = type_into("measured", "2026-10-25T02:30", as_owner, ticket)
    assert answer.status_code == 303
    run = Entry.objects.get(kind="test").run_link.run
    assert run.measured_at == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    page = page_of(as_owner.get(answer.url))
    assert "Measured 25 October 2026, 02:30 (UTC+02:00)." in page
    assert "Written down later, 2 November 2026, 13:00." in page


@pytest.mark.parametrize(
    ("moment", "shown"),
    [
        (datetime(2026, 10, 24, 23, 59, tzinfo=UTC), "01:59"),
        (datetime(2026, 10, 25, 0, 0, tzinfo=UTC), "02:00 (UTC+02:00)"),
        (datetime(2026, 10, 25, 1, 0, tzinfo=UTC), "02:00 (UTC+01:00)"),
        (datetime(2026, 10, 25, 1, 59, tzinfo=UTC), "02:59 (UTC+01:00)"),
        (datetime(2026, 10, 25, 2, 0, tzinfo=UTC), "03:00"),
        (datetime(2026, 3, 29, 1, 0, tzinfo=UTC), "03:00"),
        (datetime(2026, 7, 1, 12, 0, tzinfo=UTC), "14:00"),
    ],
)
def test_row_55_an_hour_says_its_offset_only_where_it_comes_twice(moment, shown):
    with timezone.override("Europe/Amsterdam"):
        assert hour(moment) == shown


def test_row_55_west_of_greenwich_the_offset_has_its_sign():
    with timezone.override("America/St_Johns"):
        assert hour(datetime(2026, 11, 1, 4, 0, tzinfo=UTC)) == "01:30 (UTC-02:30)"


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
