"""A data log on the pages: sent, looked at, its columns named, saved, shown, fetched again."""

from __future__ import annotations

import codecs
import hashlib
import re
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from jobs.actions import drafts
from jobs.models import Blob, Draft, Entry
from jobs.photos import store, verify
from jobs.process import READING
from jobs.report.content import content_of
from measurements.core.logs import text as limits
from measurements.models import Reading, Run
from tests.measurements.readings_files import FOLDER

LOG = (FOLDER / "data_log" / "low_at_idle.csv").read_bytes()
SHA256 = hashlib.sha256(LOG).hexdigest()
GIVEN = {
    "given.watched": "voltage",
    "given.named": "the voltage at the battery",
    "given.limit_low": "13.2 V",
    "given.limit_from": "own",
    "given.least": "2 s",
}
COLUMNS = {
    "log.time.source": "time",
    "log.watched.source": "battery",
    "log.engine_speed.source": "engine speed",
}


@pytest.fixture(autouse=True, scope="module")
def helper():
    yield
    READING.close()


def page(ticket) -> str:
    return f"/tickets/{ticket.number}/tests/data_log/"


def file(data: bytes = LOG, name: str = "idle.csv") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, "text/csv")


def sent(browser, ticket, data: bytes = LOG, name: str = "idle.csv", **more: str):
    """The form with a file chosen, after pressing the button that reads it."""
    form = GIVEN | {"client_key": "c" * 32, "upload_log": file(data, name), "read": "log"} | more
    return browser.post(page(ticket), form)


def saved(browser, ticket, **more: str):
    form = GIVEN | COLUMNS | {"log.file": SHA256, "log.called": "idle.csv"}
    return browser.post(
        page(ticket), form | {"client_key": "c" * 32, "fault_present": "yes"} | more
    )


def words(answer) -> str:
    """What a person reads on the page."""
    text = re.sub(r"<(script|style|svg).*?</\1>", " ", answer.content.decode(), flags=re.S)
    return " ".join(re.sub(r"<[^>]*>", " ", text).split())


def chosen(answer, name: str) -> str:
    """The option that stands in a choice."""
    found = re.search(
        rf'<select name="{re.escape(name)}".*?</select>', answer.content.decode(), re.S
    )
    option = re.search(r'<option value="([^"]*)" selected', found[0]) if found else None
    return option[1] if option else ""


@pytest.fixture
def made(as_owner, ticket) -> Entry:
    sent(as_owner, ticket)
    saved(as_owner, ticket)
    return ticket.entries.get(kind="test")


# --- the file -----------------------------------------------------------------------------------


def test_before_there_is_a_file_it_is_asked_for_with_its_limits(as_technician, ticket) -> None:
    answer = as_technician.get(page(ticket))
    assert 'enctype="multipart/form-data"' in answer.content.decode()
    assert 'hx-params="not photos,upload_log"' in answer.content.decode()
    assert "At most 100 MB, 1\u202f000\u202f000 rows and 64 columns." in answer.content.decode()
    assert "column of the file" not in words(answer).lower()


def test_a_file_is_in_the_store_before_its_row_and_nothing_is_recorded(
    as_technician, ticket, settings
) -> None:
    answer = sent(as_technician, ticket)
    assert answer.status_code == 200
    blob = Blob.objects.get()
    assert (blob.sha256, blob.size, blob.type) == (SHA256, len(LOG), "text/csv")
    assert store.original_path(settings.PHOTO_FOLDER, SHA256).read_bytes() == LOG
    assert not Run.objects.exists()


def test_the_preview_shows_what_was_recognised(as_technician, ticket) -> None:
    text = words(sent(as_technician, ticket))
    assert "idle.csv" in text
    assert "text in UTF-8, columns parted by commas, decimal point, values from line 3 on" in text
    assert "battery , V" in text
    assert "0.0 12.63 780" in text


def test_columns_are_guessed_and_said_to_be(as_technician, ticket) -> None:
    answer = sent(as_technician, ticket)
    assert chosen(answer, "log.time.source") == "time"
    assert chosen(answer, "log.watched.source") == "battery"
    assert chosen(answer, "log.watched.unit") == "V"
    assert chosen(answer, "log.engine_speed.source") == "engine speed"
    assert "guessed from their headings: look at each before you save" in words(answer)


def test_a_column_that_was_chosen_is_not_guessed_anew(as_technician, ticket) -> None:
    answer = sent(as_technician, ticket, **{"log.watched.source": "engine speed"})
    assert chosen(answer, "log.watched.source") == "engine speed"


def test_the_draft_keeps_file_and_columns_and_never_the_upload_itself(
    as_technician, technician, ticket
) -> None:
    sent(as_technician, ticket, **{"given.noticed_at": "20 s"})
    kept = drafts.of(ticket=ticket, kind="data_log", by=technician).fields
    assert (kept["log.file"], kept["given.noticed_at"]) == (SHA256, "20 s")
    assert kept["log.watched.source"] == "battery"
    assert not {"read", "upload_log"} & set(kept)
    answer = as_technician.get(page(ticket))
    assert chosen(answer, "log.watched.source") == "battery"
    assert "Recognised: text in UTF-8" in words(answer)


def test_a_file_chosen_and_saved_at_once_is_looked_at_first(as_technician, ticket) -> None:
    answer = as_technician.post(page(ticket), GIVEN | {"upload_log": file()})
    assert answer.status_code == 200
    assert "look at each before you save" in words(answer)
    assert not Run.objects.exists()


def test_the_live_answer_says_what_the_log_says(as_technician, ticket) -> None:
    sent(as_technician, ticket)
    form = GIVEN | COLUMNS | {"log.file": SHA256, "client_key": "c" * 32}
    answer = as_technician.post(f"{page(ticket)}draft/", form, headers={"hx-request": "true"})
    assert "Beyond its limit for long, mostly at low engine speed" in words(answer)


def test_a_long_log_is_judged_when_it_is_asked_for(as_technician, ticket, monkeypatch) -> None:
    monkeypatch.setattr("jobs.run_page.LIVE_BYTES", 100)
    answer = sent(as_technician, ticket)
    assert "This log is long" in words(answer)
    form = GIVEN | COLUMNS | {"log.file": SHA256, "show": "1"}
    answer = as_technician.post(page(ticket), form)
    assert "Beyond its limit for long, mostly at low engine speed" in words(answer)


# --- refusals -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "The file is empty."),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00", "The file is no text: byte 8 is zero"),
        (b"a,b\nc,d\n", "No row of numbers is found"),
        (b'time,"volts\n1,2\n3,4\n', "Line 1: a quotation mark is opened and not closed"),
        (b"1," * 40_000, "Line 1 is longer than 20000 characters"),
        (b",".join([b"1"] * 65) + b"\n", "The file has 65 columns; at most 64 are read."),
        (b"time,v\r1,2\r3,4\r", "carriage return alone"),
    ],
    ids=["empty", "picture", "words", "open quote", "long line", "65 columns", "old line ends"],
)
def test_what_is_no_log_is_refused_in_words_and_all_typed_stays(
    data, said, as_technician, technician, ticket
) -> None:
    answer = sent(as_technician, ticket, data, **{"given.noticed_at": "20 s"})
    assert answer.status_code == 422
    assert said in words(answer)
    assert 'value="20 s"' in answer.content.decode()
    assert drafts.of(ticket=ticket, kind="data_log", by=technician).fields["given.least"] == "2 s"
    assert not Blob.objects.exists()


def test_a_file_that_is_too_large_names_the_limit(as_technician, ticket, monkeypatch) -> None:
    monkeypatch.setattr("jobs.logs.LARGEST_BYTES", 1000)
    answer = sent(as_technician, ticket)
    assert answer.status_code == 422
    assert "The file is too large: at most" in words(answer)
    assert not Blob.objects.exists()


def test_more_rows_than_are_read_are_refused_when_it_is_saved(
    as_technician, ticket, tmp_path
) -> None:
    data = b"time,battery,engine speed\n" + b"".join(
        b"%d,13.9,800\n" % n for n in range(limits.MOST_ROWS + 1)
    )
    sent(as_technician, ticket, data)
    answer = saved(as_technician, ticket, **{
        "log.file": hashlib.sha256(data).hexdigest(), "log.time.unit": "s",
        "log.watched.unit": "V", "log.engine_speed.unit": "rpm",
    })  # fmt: skip
    assert answer.status_code == 422
    assert "more than 1 000 000 rows" in words(answer)
    assert not Run.objects.exists()


def test_without_a_file_the_button_asks_for_one(as_technician, ticket) -> None:
    answer = as_technician.post(page(ticket), GIVEN | {"read": "log"})
    assert answer.status_code == 422
    assert "Choose a file first." in words(answer)


def test_a_full_disk_keeps_what_was_typed(as_technician, ticket, monkeypatch) -> None:
    full = store.Space(free_bytes=1, total_bytes=100)
    monkeypatch.setattr(store, "space", lambda root: full)
    answer = sent(as_technician, ticket)
    assert answer.status_code == 507
    assert "the storage is full" in words(answer)
    assert Draft.objects.get().fields["given.named"] == "the voltage at the battery"


def test_a_column_that_the_file_has_not_is_refused_with_those_that_it_has(
    as_technician, ticket
) -> None:
    sent(as_technician, ticket)
    answer = saved(as_technician, ticket, **{"log.watched.source": "alternator"})
    assert answer.status_code == 422
    assert "has no column “alternator”. It has time, battery, engine speed" in words(answer)


def test_a_unit_that_nobody_says_is_asked_for(as_technician, ticket) -> None:
    data = LOG.replace(b"s,V,rpm\n", b"")
    sent(as_technician, ticket, data)
    answer = saved(as_technician, ticket, **{"log.file": hashlib.sha256(data).hexdigest()})
    assert answer.status_code == 422
    assert "does not say in which unit “battery” is: choose one of V, mV, kV" in words(answer)


@pytest.mark.parametrize("key", ["0" * 64, "../../secret", "x" * 300, "idle.csv"])
def test_only_a_stored_log_can_be_named(key, as_technician, ticket) -> None:
    answer = saved(as_technician, ticket, **{"log.file": key})
    assert answer.status_code == 422
    assert not Run.objects.exists()


def test_a_photo_is_no_log(as_owner, owner, ticket) -> None:
    from jobs.actions.photos import add_photos
    from tests.jobs.pictures import upload

    add_photos(ticket=ticket, uploads=[upload()], by=owner, subject="damage")
    answer = saved(as_owner, ticket, **{"log.file": Blob.objects.get().sha256})
    assert answer.status_code == 422
    assert "There is no such file here" in words(answer)


def test_the_counter_may_not_send_one(as_counter, ticket) -> None:
    assert sent(as_counter, ticket).status_code == 403
    assert not Blob.objects.exists()


# --- hostile content ----------------------------------------------------------------------------


def test_what_is_written_in_a_file_is_shown_and_never_done(as_technician, ticket) -> None:
    data = b"<script>alert(1)</script>,\"=cmd|' /C calc'!A0\",{{ 7*7 }}\n1,2,3\n2,=1+1,@SUM(A1)\n"
    text = sent(as_technician, ticket, data, "<img onerror=x>.csv").content.decode()
    assert "<script>alert(1)</script>" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text
    assert "{{ 7*7 }}" in text
    assert "&lt;img onerror=x&gt;.csv" in text


def test_a_mark_of_direction_in_a_heading_does_not_turn_the_page(as_technician, ticket) -> None:
    text = sent(as_technician, ticket, "time,ba\u202ettery\n1,2\n2,3\n".encode()).content.decode()
    assert "\u202e" not in text
    assert "battery" in text


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (codecs.BOM_UTF8 + LOG, "UTF-8"),
        (LOG.decode().encode("utf-16"), "UTF-16"),
        ("time;Öl (°C)\n0;80,5\n1;81\n".encode("cp1252"), "CP1252"),
        (b"time,battery\xff\xfe\n0,1\n1,2\n", "CP1252"),
    ],
    ids=["BOM", "UTF-16", "cp1252", "bad UTF-8"],
)
def test_the_encoding_is_recognised_and_said(data, said, as_technician, ticket) -> None:
    answer = sent(as_technician, ticket, data)
    assert answer.status_code == 200
    assert f"text in {said}" in words(answer)


def test_two_columns_of_one_heading_are_told_apart_by_their_number(as_technician, ticket) -> None:
    data = b"time,battery,battery\ns,V,V\n0,14,13\n1,14,12\n2,14,12\n"
    answer = sent(as_technician, ticket, data)
    assert chosen(answer, "log.watched.source") == "column 2"
    answer = saved(as_technician, ticket, **{"log.file": hashlib.sha256(data).hexdigest()})
    assert "stands there 2 times: type column 2 or column 3" in words(answer)


# --- saved --------------------------------------------------------------------------------------


def test_a_saved_log_names_its_file_and_columns_and_has_no_reading_of_its_values(made) -> None:
    run = made.run_link.run
    assert run.summary.pattern == "beyond_at_low_speed"
    assert run.readings.get(address="log.file").typed == SHA256
    logged = Reading.objects.filter(address__startswith="log.").values_list("address", flat=True)
    assert set(logged) == {"log.file", "log.called", *COLUMNS}
    assert run.figures.get(key="held_low").value == pytest.approx(12.61)


def test_its_page_has_tables_chart_and_the_file(as_owner, made, ticket) -> None:
    answer = as_owner.get(f"/tickets/{ticket.number}/entries/{made.seq}/test/")
    text = words(answer)
    for said in (
        "Beyond its limit for long, mostly at low engine speed",
        "Stretches beyond the limit",
        "By engine speed",
        "Read from idle.csv",
        "Lowest level held",
        "Made from the data log idle.csv",
        "Download the file as it was sent",
    ):
        assert said.lower() in text.lower(), said
    assert SHA256 not in answer.content.decode()
    assert '<figure class="chart"><svg' in answer.content.decode()


def test_the_file_comes_back_bit_for_bit_as_a_file_to_keep(as_owner, made, ticket) -> None:
    answer = as_owner.get(f"/tickets/{ticket.number}/entries/{made.seq}/log/")
    assert b"".join(answer.streaming_content) == LOG
    assert answer["Content-Disposition"].startswith('attachment; filename="ticket-')
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert answer["X-Content-Type-Options"] == "nosniff"


def test_the_file_is_for_people_of_the_shop(client, counter, made, ticket) -> None:
    address = f"/tickets/{ticket.number}/entries/{made.seq}/log/"
    client.logout()
    assert client.get(address).status_code == 302
    client.force_login(counter)
    assert client.get(address).status_code == 200


def test_a_test_without_a_file_has_none_to_fetch(as_owner, owner, ticket) -> None:
    from tests.jobs.pictures import strap_test

    entry = strap_test(ticket, owner)
    assert as_owner.get(f"/tickets/{ticket.number}/entries/{entry.seq}/log/").status_code == 404
    text = words(as_owner.get(f"/tickets/{ticket.number}/entries/{entry.seq}/test/"))
    assert "data log" not in text


def test_the_report_shows_its_tables_and_chart(made, ticket, shop, owner) -> None:
    (test,) = content_of(ticket, shop, by=owner)["tests"]
    titles = [table["title"] for table in test["run"]["extra_tables"]]
    assert "Stretches beyond the limit: 1" in titles
    assert test["run"]["chart"].startswith("<svg")


def test_a_correction_keeps_the_file(as_owner, made, ticket) -> None:
    answer = as_owner.get(f"/tickets/{ticket.number}/entries/{made.seq}/correct/")
    assert f'name="log.file" value="{SHA256}"' in answer.content.decode()
    assert chosen(answer, "log.watched.source") == "battery"


def test_verify_finds_a_log_that_was_changed_or_lost(made, ticket, settings) -> None:
    path = store.original_path(settings.PHOTO_FOLDER, SHA256)
    assert list(verify.faults(from_start=True)) == []
    path.chmod(0o640)
    path.write_bytes(LOG + b"9,9,9\n")
    (fault,) = verify.faults(from_start=True)
    assert str(fault).startswith(f"ticket {ticket.shown_number}, log of test {made.seq}")
    assert "changed" in str(fault)
    path.unlink()
    (fault,) = verify.faults(from_start=True)
    assert "missing" in str(fault)


def test_a_lost_file_is_said_where_it_is_needed(as_owner, made, ticket, settings) -> None:
    Path(store.original_path(settings.PHOTO_FOLDER, SHA256)).unlink()
    assert as_owner.get(f"/tickets/{ticket.number}/entries/{made.seq}/test/").status_code == 200
    assert as_owner.get(f"/tickets/{ticket.number}/entries/{made.seq}/log/").status_code == 404
    answer = saved(as_owner, ticket, client_key="d" * 32)
    assert answer.status_code == 422
    assert "The stored file is missing" in words(answer)


def test_before_and_after_are_laid_side_by_side(as_owner, made, ticket) -> None:
    run = made.run_link.run
    mended = (FOLDER / "data_log" / "steady.csv").read_bytes()
    sent(as_owner, ticket, mended)
    key = hashlib.sha256(mended).hexdigest()
    answer = saved(as_owner, ticket, client_key="e" * 32, again=str(run.uid), **{"log.file": key})
    text = words(as_owner.get(answer["Location"]))
    assert "Before and after" in text
    assert "Lowest level held" in text
    drawn = as_owner.get(answer["Location"]).content.decode()
    assert re.search(r'stroke-dasharray="6 4".*>before</text>', drawn, re.S)
