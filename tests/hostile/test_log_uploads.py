"""Data logs that are none, or too much of one, or meant to do something: rows 23 to 27 for their
names and 58 to 62 for what is in them."""

from __future__ import annotations

import hashlib
import re

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import RequestFactory

from jobs.models import Blob, Entry
from jobs.process import READING
from measurements.models import Run

pytestmark = pytest.mark.django_db

NAMED = {"given.watched": "voltage", "given.named": "the voltage, wet below the pump"}
ROWS = [f"{n},12.{n % 100:02}" for n in range(500)]


@pytest.fixture(autouse=True, scope="module")
def helper():
    yield
    READING.close()


def page(ticket) -> str:
    return f"/tickets/{ticket.number}/tests/data_log/"


def sent(browser, ticket, data: bytes, name: str = "log.csv"):
    upload = SimpleUploadedFile("log.csv", data, "text/csv")
    upload._name = name  # as it arrives: Django's own cleaning is not what we rely on
    form = NAMED | {"client_key": "c" * 32, "upload_log": upload, "read": "log"}
    return browser.post(page(ticket), form)


def saved(browser, ticket, data: bytes, **more: str):
    columns = {
        "log.file": hashlib.sha256(data).hexdigest(),
        "log.time.source": "1",
        "log.time.unit": "s",
        "log.watched.source": "2",
        "log.watched.unit": "V",
    }
    return browser.post(page(ticket), NAMED | columns | {"client_key": "c" * 32} | more)


REFUSED = {
    "row 59: bytes of a picture": (b"\x89PNG\r\n\x1a\n" + b"\0" * 400, "byte 8 is zero"),
    "row 59: UTF-16 without a mark": ("t,v\n0,1\n".encode("utf-16-le"), "byte 1 is zero"),
    "row 59: open quote": (b't,"v\n0,1\n1,2\n', "Line 1: a quotation mark"),
    "row 61: 50,000 columns": (b",".join([b"1"] * 50_000) + b"\n", "longer than 20000"),
    "row 61: 5,000 columns": (b",".join([b"1"] * 5_000) + b"\n", "5000 columns; at most 64"),
    "row 61: one line of 5 MB": (b"7" * 5_000_000, "Line 1 is longer than 20000"),
    "row 61: a spreadsheet": (b"PK\x03\x04" + b"\0" * 500, "byte 4 is zero"),
    "HTML": (b"<!doctype html>\n<script>alert(1)</script>\n" * 9, "No row of numbers"),
}


@pytest.mark.parametrize(("data", "said"), REFUSED.values(), ids=REFUSED.keys())
def test_what_is_no_log_is_refused_and_leaves_nothing(as_technician, ticket, data, said) -> None:
    before = Entry.objects.count()
    answer = sent(as_technician, ticket, data)
    text = answer.content.decode()
    assert (answer.status_code, said in text) == (422, True)
    assert "wet below the pump" in text
    assert (Entry.objects.count(), Blob.objects.count()) == (before, 0)
    assert not any((settings.PHOTO_FOLDER / "incoming").glob("*"))
    assert not (settings.PHOTO_FOLDER / "originals").exists()


def test_row_61_a_line_of_5_mb_far_inside_is_refused_when_it_is_read(as_technician, ticket) -> None:
    data = ("t,v\n" + "\n".join(ROWS * 30) + "\n").encode() + b"7" * 5_000_000
    assert sent(as_technician, ticket, data).status_code == 200
    answer = saved(as_technician, ticket, data)
    assert answer.status_code == 422
    assert "Line 15002 is longer than 20000 characters" in answer.content.decode()
    assert not Run.objects.exists()


def test_row_62_bad_rows_are_listed_and_the_good_ones_judged(as_technician, ticket) -> None:
    """A log is not imported row by row: what was measured stands, what was not readable is said."""
    rows = [f"{n},oops" if n % 10 == 7 else row for n, row in enumerate(ROWS)]
    data = ("t,v\n" + "\n".join(rows) + "\n").encode()
    sent(as_technician, ticket, data)
    answer = saved(as_technician, ticket, data)
    text = as_technician.get(answer["Location"]).content.decode()
    assert "Lines left out: the first 20 of 50" in text
    assert re.search(r">9</td><td[^>]*>“oops” is no number</td>", text)
    assert Run.objects.get().figures.get(key="rows").value == 450


@pytest.mark.parametrize(
    "cell", ["=cmd|' /C calc'!A0", "@SUM(1)", "\t=1+1", "+1+cmd", "-12.5e", '"<b>"', "{{7*7}}"]
)
def test_row_58_formulas_are_words(as_technician, ticket, cell) -> None:
    data = ("t,v\n0,1\n1," + cell + "\n2,3\n").encode()
    sent(as_technician, ticket, data)
    answer = saved(as_technician, ticket, data)
    text = as_technician.get(answer["Location"]).content.decode()
    assert "Lines left out: 1" in text
    assert "<b>”" not in text
    assert "“49”" not in text


def test_row_60_headings_that_are_taken_by_us_mean_nothing(as_technician, ticket) -> None:
    data = b"id,is_admin,created_at,log.file\n0,1,2,3\n1,1,2,3\n"
    answer = sent(as_technician, ticket, data)
    assert answer.status_code == 200
    assert ">2: is_admin<" in answer.content.decode()
    assert saved(as_technician, ticket, data).status_code == 303


@pytest.mark.parametrize(
    "name",
    ["../../etc/passwd", "..\\..\\boot.ini", "a\r\nSet-Cookie: x=1.csv", "x" * 400, "nul.",
     "<img onerror=alert(1)>", "\u202evsc.gol", "=cmd|x.csv"],
)  # fmt: skip
def test_rows_23_to_27_a_name_is_never_a_path_and_never_markup(as_technician, ticket, name) -> None:
    data = ("t,v\n" + "\n".join(ROWS) + "\n").encode()
    answer = sent(as_technician, ticket, data, name)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "<img onerror" not in text
    assert "\u202e" not in text
    files = [p for p in settings.PHOTO_FOLDER.rglob("*") if p.is_file() and p.name != "lock"]
    assert [p.name for p in files] == [hashlib.sha256(data).hexdigest()]


def test_a_log_may_be_larger_than_a_photo_and_no_larger_than_its_own_limit() -> None:
    from jobs.photos.limits import PHOTO
    from jobs.uploads import SizeLimit
    from measurements.core.logs.text import LARGEST_BYTES

    chunk = b"0" * 1_000_000
    for field, limit in (("upload_log", LARGEST_BYTES), ("photos", PHOTO.max_bytes)):
        handler = SizeLimit(RequestFactory().post("/"))
        handler.new_file(field, "x", "text/csv", None)
        passed = sum(handler.receive_data_chunk(chunk, 0) is not None for _ in range(130))
        assert passed * len(chunk) == limit + len(chunk), field
