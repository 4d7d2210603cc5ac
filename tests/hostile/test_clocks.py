"""Clocks that are wrong: the phone's counts for nothing, the server's stops no work."""

from __future__ import annotations

import html
import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import time_machine
from django.conf import settings
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

import shop.sessions
from jobs.actions import apart, reports, tickets
from jobs.models import Draft, Entry, Ticket
from jobs.record.verify import faults
from shop.clock import claimed_moment
from tests.jobs.pictures import READINGS, upload

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
FIRST_OF_ALL = datetime(1970, 1, 1, 0, 5, tzinfo=UTC)
A_YEAR_ON = NOON + timedelta(days=365)
KEY = "f" * 32
STRAP = json.loads((READINGS / "voltage_drop" / "corroded_strap_hot.json").read_text("utf-8"))
TEMPLATES = Path(settings.BASE_DIR) / "templates"


@pytest.fixture(autouse=True)
def clock():
    """The server's clock stands at noon until it is moved; the store of sessions has not tidied."""
    shop.sessions._tidied.clear()
    with time_machine.travel(NOON, tick=False) as traveller:
        yield traveller


def page_of(answer) -> str:
    return " ".join(html.unescape(answer.content.decode()).split())


def note(client, ticket, words: str = "Belt frayed", **more):
    return client.post(
        reverse("ticket-note-add", args=[ticket.number]), {"words": words, "client_key": KEY} | more
    )


def record_page(client, ticket) -> str:
    return page_of(client.get(ticket.get_absolute_url()))


# ------------------------------------------------------------------ row 57: the phone's clock


def test_row_57_three_days_behind_is_kept_and_said_beside_the_entry(as_technician, ticket):
    note(as_technician, ticket, device_at="2026-02-27T13:00:00+01:00")
    entry = Entry.objects.get(kind="note")
    assert (entry.at, entry.device_at) == (NOON, NOON - timedelta(days=3))
    page = record_page(as_technician, ticket)
    said = "The phone’s clock said 27 February 2026, 12:00, 3\u00a0days behind the server’s."
    assert html.unescape(said.replace("\u00a0", " ")) in page.replace("\u00a0", " ")
    assert "The server’s time counts." in page


def test_row_57_a_clock_that_is_ahead_is_said_too(as_technician, ticket):
    note(as_technician, ticket, device_at="2026-03-02T15:00:00Z")
    page = record_page(as_technician, ticket).replace("\u00a0", " ")
    assert "The phone’s clock said 2 March 2026, 15:00, 3 hours ahead of the server’s." in page


def test_row_57_photos_that_waited_in_the_phone_are_not_laid_to_its_clock(as_technician, ticket):
    as_technician.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload()], "subject": "leak", "device_at": "2026-03-02T10:00:00Z"},
    )
    page = record_page(as_technician, ticket).replace("\u00a0", " ")
    assert "2 hours behind the server’s, or the photos waited in the phone for so long." in page


@pytest.mark.parametrize("seconds", [-119, 0, 119])
def test_row_57_a_difference_of_the_way_is_kept_and_not_spoken_of(as_technician, ticket, seconds):
    told = NOON + timedelta(seconds=seconds)
    note(as_technician, ticket, device_at=told.isoformat())
    assert Entry.objects.get(kind="note").device_at == told
    assert "The phone’s clock" not in record_page(as_technician, ticket)


NO_TIMES = {
    "without script": "",
    "word": "yesterday",
    "without offset": "2026-03-02T12:00:00",
    "date alone": "2026-03-02",
    "no such day": "2026-02-30T12:00:00Z",
    "month 13": "2026-13-01T12:00:00Z",
    "hour 24": "2026-03-02T24:00:00Z",
    "second 60": "2026-03-02T23:59:60Z",
    "offset 99:99": "2026-03-02T12:00:00+99:99",
    "offset of a day": "2026-03-02T12:00:00+23:00",
    "year 9999": "9999-12-31T23:59:59-12:00",
    "year 0": "0000-01-01T00:00:00Z",
    "year 1": "0001-01-01T00:00:00+14:00",
    "year 1969": "1969-12-31T23:59:59Z",
    "other figures": "\u0662\u0660\u0662\u0666-03-02T12:00:00Z",
    "NUL": "2026-03-02T12:00:00\0Z",
    "a week": "2026-W10-1T12:00:00Z",
    "long": "2026-03-02T12:00:00." + "0" * 5_000 + "Z",
}


@pytest.mark.parametrize("told", NO_TIMES.values(), ids=NO_TIMES.keys())
def test_row_57_a_claim_that_is_no_time_is_unknown_and_refuses_nothing(as_technician, ticket, told):
    assert note(as_technician, ticket, device_at=told).status_code == 303
    entry = Entry.objects.get(kind="note")
    assert (entry.at, entry.device_at) == (NOON, None)


def test_a_clock_without_battery_is_a_claim_like_any_other():
    assert claimed_moment("1970-01-01T00:00:09+00:00") == datetime(1970, 1, 1, 0, 0, 9, tzinfo=UTC)


def recording_pages(ticket, note_entry, thing) -> list[str]:
    named = ["ticket-check-in", "ticket-people", "ticket-complaint-add", "ticket-wish-add",
             "ticket-note-add", "ticket-state", "photo-add", "swap-add", "swap-elsewhere-add",
             "apart", "alteration-add", "finding-add", "open-work-add",
             "report-preview"]  # fmt: skip
    pages = [reverse(name, args=[ticket.number]) for name in named]
    return [
        *pages,
        reverse("ticket-new"),
        reverse("test-new", args=[ticket.number, "charging"]),
        reverse("ticket-complaint-change", args=[ticket.number, 2]),
        reverse("entry-withdraw", args=[ticket.number, note_entry.seq]),
        reverse("apart-back", args=[ticket.number, thing.uid]),
    ]


def test_every_form_that_records_has_an_empty_place_for_the_phones_time(as_owner, ticket, owner):
    written = tickets.add_note(ticket=ticket, words="Belt frayed", by=owner)
    thing = apart.take_apart(ticket=ticket, what="Fuse 14 pulled", by=owner).apart
    for address in recording_pages(ticket, written, thing):
        page = as_owner.get(address).content.decode()
        places = re.findall(r'<input type="hidden" name="device_at"([^>]*)>', page)
        assert len(places) == page.count('name="client_key"') > 0, address
        assert not any("value" in place for place in places), address
        assert "js/clock.js" in page, address


def test_no_template_asks_for_the_key_alone():
    for path in TEMPLATES.rglob("*.html"):
        text = path.read_text("utf-8")
        keys = len(re.findall(r"form\.client_key|conditions\.client_key|name=.client_key.", text))
        times = len(re.findall(r"form\.device_at|conditions\.device_at|name=.device_at.", text))
        assert keys == times, path


def test_what_a_phone_claimed_is_not_shown_again_with_a_form_that_was_refused(
    as_technician, ticket
):
    answer = note(as_technician, ticket, words="", device_at="2026-03-01T12:00:00Z")
    assert answer.status_code == 422
    assert "2026-03-01" not in answer.content.decode()


def test_a_draft_keeps_no_phones_time(as_technician, ticket):
    as_technician.post(
        reverse("test-draft", args=[ticket.number, "charging"]),
        {"points.idle.battery_v": "14.1", "client_key": KEY, "device_at": "2026-03-02T12:00:00Z"},
    )
    assert set(Draft.objects.get().fields) == {"points.idle.battery_v", "client_key"}


def sendings(ticket) -> dict[str, tuple[str, dict]]:
    """One sending of each way to record, by the kind of entry it makes."""
    args = [ticket.number]
    readings = {k: v if isinstance(v, str) else v[0] for k, v in STRAP["typed"].items()}
    return {
        "note": (reverse("ticket-note-add", args=args), {"words": "Belt frayed"}),
        "complaint": (reverse("ticket-complaint-add", args=args), {"words": "Squeals."}),
        "wish": (reverse("ticket-wish-add", args=args), {"words": "A service"}),
        "ticket_changed": (reverse("ticket-check-in", args=args), {"damage": "Dent"}),
        "state": (reverse("ticket-state", args=args), {"to": "ready"}),
        "photos": (reverse("photo-add", args=args), {"photos": [upload()], "subject": "leak"}),
        "swap": (
            reverse("swap-add", args=args),
            {"reason": "worn_or_damaged", "part_in": "Strap", "label_photo": upload()},
        ),
        "test": (
            reverse("test-new", args=[*args, "voltage_drop"]),
            readings | {"fault_present": "yes", "state_of_car": "hot"},
        ),
        "finding": (
            reverse("finding-add", args=args),
            {"certainty": "suspected", "sentence": "The strap.", "advice": "no_restriction"},
        ),
        "open_work": (reverse("open-work-add", args=args), {"what": "Belt", "status": "open"}),
        "alteration": (
            reverse("alteration-add", args=args),
            {"what": "Second lead", "found_so": "yes"},
        ),
        "apart": (reverse("apart", args=args), {"what": "Fuse 14 pulled"}),
    }


KINDS = ["note", "complaint", "wish", "ticket_changed", "state", "photos", "swap", "test",
         "finding", "open_work", "alteration", "apart"]  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_every_way_to_record_stores_the_phones_time(as_owner, ticket, kind):
    address, typed = sendings(ticket)[kind]
    told = {"client_key": KEY, "device_at": "2026-03-02T11:59:30Z"}
    assert as_owner.post(address, typed | told).status_code == 303
    entry = Entry.objects.get(client_key=KEY)
    assert (entry.kind, entry.device_at) == (kind, NOON - timedelta(seconds=30))


def test_taking_a_car_in_stores_it_with_each_of_its_entries(as_counter):
    told = {"plate": "BN58 KLD", "complaint": "Squeals.", "wish": "A service", "client_key": KEY,
            "plate_photo": upload(), "device_at": "2026-03-02T11:59:30Z"}  # fmt: skip
    as_counter.post(reverse("ticket-new"), told)
    stored = dict(Entry.objects.values_list("kind", "device_at"))
    assert stored.keys() == {"ticket_opened", "complaint", "wish", "photos"}
    assert set(stored.values()) == {NOON - timedelta(seconds=30)}


@pytest.fixture
def no_pdf(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rendering has its own tests."""
    monkeypatch.setattr(reports, "pdf_of", lambda content: b"%PDF-1.7 a stand-in")


@pytest.mark.usefixtures("no_pdf")
def test_issuing_a_report_stores_it(as_owner, ticket):
    told = {"client_key": KEY, "seen_to": 2, "device_at": "2026-03-02T11:59:30Z"}
    as_owner.post(reverse("report-issue", args=[ticket.number]), told)
    assert Entry.objects.get(kind="report_issued").device_at == NOON - timedelta(seconds=30)


def test_entries_with_and_without_a_phones_time_stand_in_one_sound_record(as_technician, ticket):
    note(as_technician, ticket, device_at="1970-01-01T00:00:00.123456+14:00")
    note(as_technician, ticket, client_key="a" * 32)
    with_time, without = Entry.objects.filter(kind="note").order_by("seq")
    claimed = json.loads(with_time.envelope)["device_at"]
    assert claimed == "1969-12-31T10:00:00.123456Z"
    assert json.loads(without.envelope)["device_at"] is None
    assert [str(fault) for fault in faults()] == []


# ------------------------------------------------------------------ row 83: the server's clock


JUMPS = {"to 1970": FIRST_OF_ALL, "a year ahead": A_YEAR_ON}


@pytest.mark.usefixtures("no_pdf")
@pytest.mark.parametrize("moment", JUMPS.values(), ids=JUMPS.keys())
def test_row_83_saving_goes_on_whatever_the_clock_says(client, ticket, owner, clock, moment):
    clock.move_to(moment)
    client.force_login(owner)
    for number, (kind, (address, typed)) in enumerate(sendings(ticket).items()):
        answer = client.post(address, typed | {"client_key": f"{number:032x}"})
        assert answer.status_code == 303, (kind, page_of(answer)[:3000])
    seen_to = ticket.entries.count()
    told = {"client_key": KEY, "seen_to": seen_to}
    assert client.post(reverse("report-issue", args=[ticket.number]), told).status_code == 303
    assert Entry.objects.get(client_key=KEY).at == moment
    clock.move_to(NOON + timedelta(hours=1))
    client.force_login(owner)
    assert note(client, ticket, client_key="b" * 32).status_code == 303
    assert [entry.seq for entry in ticket.entries.in_order()] == list(range(1, seen_to + 3))
    assert [str(fault) for fault in faults()] == []


def test_row_83_a_known_car_with_a_new_owner_is_taken_in_in_1970(client, van, owner, clock):
    clock.move_to(FIRST_OF_ALL)
    client.force_login(owner)
    told = {"plate": van.plate, "phone": "01632 960777", "name": "Somebody New",
            "whose": "new_owner", "complaint": "Squeals.", "client_key": KEY}  # fmt: skip
    assert client.post(reverse("ticket-new"), told).status_code == 303
    assert Ticket.objects.get().customer.name == "Somebody New"


def test_row_83_a_check_in_in_1970_leaves_the_cars_year_alone(client, ticket, owner, clock):
    clock.move_to(FIRST_OF_ALL)
    client.force_login(owner)
    address = reverse("ticket-check-in", args=[ticket.number])
    told = {"initial-year": "2016", "year": "2016", "initial-damage": "", "damage": "Dent"}
    assert client.post(address, told).status_code == 303
    ticket.refresh_from_db()
    assert (ticket.damage, ticket.car.year) == ("Dent", 2016)


BACK, AHEAD = "The server’s clock went back by", "or the server’s clock went ahead"


@pytest.mark.parametrize(
    ("by", "said"),
    [
        (-timedelta(minutes=4), ""),
        (-timedelta(minutes=6), BACK),
        (-timedelta(hours=1), BACK),
        (timedelta(days=89), ""),
        (timedelta(days=91), AHEAD),
        (timedelta(days=365), AHEAD),
    ],
    ids=str,
)
def test_a_jump_is_said_beside_the_entry_after_it_and_to_the_owner(
    client, ticket, owner, clock, by, said
):
    clock.move_to(NOON + by)
    client.force_login(owner)
    note(client, ticket)
    page = record_page(client, ticket)
    assert [text in page for text in (BACK, AHEAD)] == [said == BACK, said == AHEAD]
    home = page_of(client.get(reverse("today")))
    assert ("The clock of the shop’s computer jumped" in home) is bool(said)
    assert (f"Before entry 3 of ticket {ticket.shown_number}" in home) is bool(said)


def test_the_banner_comes_before_anything_is_written_under_the_wrong_clock(
    client, ticket, owner, clock
):
    clock.move_to(FIRST_OF_ALL)
    client.force_login(owner)
    home = page_of(client.get(reverse("today"))).replace("\u00a0", " ")
    assert "Since the latest entry: it went back by 56 years, from 2 March 2026, 12:00" in home


def test_the_banner_is_for_the_owner(client, ticket, technician, clock):
    clock.move_to(FIRST_OF_ALL)
    client.force_login(technician)
    assert "The clock of the shop" not in page_of(client.get(reverse("today")))


def test_a_clock_that_runs_has_no_banner(as_owner, ticket, clock):
    clock.shift(timedelta(days=30))
    assert note(as_owner, ticket).status_code != 303  # thirty days on, the session has ended
    as_owner.force_login(ticket.entries.first().by)
    note(as_owner, ticket)
    assert "The clock of the shop" not in page_of(as_owner.get(reverse("today")))


def test_each_jump_is_said_once_and_the_way_back_too(client, ticket, owner, clock):
    for moment, key in ((FIRST_OF_ALL, "a"), (FIRST_OF_ALL + timedelta(hours=1), "b"), (NOON, "c")):
        clock.move_to(moment)
        client.force_login(owner)
        note(client, ticket, client_key=key * 32)
    home = page_of(client.get(reverse("today")))
    assert home.count("Before entry") == 2
    assert home.index("Before entry 5") < home.index("Before entry 3")


def test_the_record_is_shown_by_number_though_its_times_run_backwards(client, ticket, owner, clock):
    for moment, key in ((A_YEAR_ON, "a"), (FIRST_OF_ALL, "b"), (NOON, "c")):
        clock.move_to(moment)
        client.force_login(owner)
        note(client, ticket, words=f"Written as {key}", client_key=key * 32)
    page = record_page(client, ticket)
    places = [page.rindex(f"Written as {key}") for key in "abc"]
    assert places == sorted(places)


# ------------------------------------------------------------------ row 83: sessions


def signed_in(client) -> bool:
    return client.get(reverse("today")).status_code == 200


@pytest.mark.parametrize(
    "later", [FIRST_OF_ALL, NOON + timedelta(days=29)], ids=["1970", "a day before its end"]
)
@pytest.mark.parametrize("somebody", ["itself", "another"])
def test_row_83_a_session_that_was_seen_to_have_ended_stays_so(
    as_owner, owner, technician, clock, later, somebody
):
    assert signed_in(as_owner)
    stolen = as_owner.cookies["sessionid"].value
    clock.move_to(NOON + timedelta(days=31))
    shop.sessions._tidied.clear()
    asking = as_owner if somebody == "itself" else Client()
    if somebody == "another":
        asking.force_login(technician)
    assert signed_in(asking) is (somebody == "another")
    clock.move_to(later)
    thief = Client()
    thief.cookies["sessionid"] = stolen
    assert not signed_in(thief)


def test_row_83_a_session_that_ended_unseen_does_not_open_up_in_1970(as_owner, clock):
    clock.move_to(FIRST_OF_ALL)
    assert not signed_in(as_owner)


def test_row_83_a_session_begun_under_a_clock_ahead_ends_when_it_is_put_right(client, owner, clock):
    clock.move_to(A_YEAR_ON)
    client.force_login(owner)
    assert signed_in(client)
    stolen = client.cookies["sessionid"].value
    clock.move_to(NOON)
    assert not signed_in(client)
    clock.move_to(A_YEAR_ON + timedelta(days=1))
    client.cookies["sessionid"] = stolen
    assert not signed_in(client), "it opened up a year later"


@pytest.mark.parametrize("moment", JUMPS.values(), ids=JUMPS.keys())
def test_row_83_one_can_sign_in_under_a_wrong_clock_and_after_it(client, owner, clock, moment):
    told = {"username": "nell", "password": "a long enough word"}
    for at in (moment, NOON + timedelta(minutes=1)):
        clock.move_to(at)
        client.post(reverse("sign-in"), told)
        assert signed_in(client), at


def test_a_clock_put_back_by_hours_signs_nobody_out(as_owner, clock):
    clock.shift(-timedelta(hours=12))
    assert signed_in(as_owner)


def test_sessions_that_have_ended_leave_the_table(as_owner, technician, clock):
    clock.shift(timedelta(days=31))
    shop.sessions._tidied.clear()
    fresh = Client()
    fresh.force_login(technician)
    assert signed_in(fresh)
    assert Session.objects.count() == 1
