"""Whatever call of a save fails, of the disk or of the database: the page says "not saved", keeps
what was typed, nothing is half saved, and the next save works.

After SQLite's loops of I/O errors: call number 1 fails, then 2, until a run has no fault.
"""

from __future__ import annotations

import errno
import hashlib
import json
import os
import uuid
from pathlib import Path

import pytest
from django.db import OperationalError, connection
from django.urls import reverse

from jobs.models import Blob, Entry, Payload, Photo
from jobs.photos import store
from measurements.models import Reading, Run
from tests.jobs.photos.test_store_faults import FailingCalls, system_error
from tests.jobs.pictures import READINGS, picture, upload

pytestmark = pytest.mark.django_db

OURS = "http://testserver"
MOST_CALLS = 200
CHANGES = ("INSERT", "UPDATE", "DELETE", "SAVEPOINT", "RELEASE")
SAID_BY_THE_DATABASE = {
    "database or disk is full": 507,  # SQLITE_FULL
    "could not extend file: No space left on device": 507,  # PostgreSQL 53100
    "disk I/O error": 503,  # SQLITE_IOERR
    "database is locked": 503,  # SQLITE_BUSY
}


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


def stored() -> tuple[int, ...]:
    """How much there is of all that a save writes."""
    return tuple(m.objects.count() for m in (Entry, Payload, Blob, Photo, Run, Reading))


def send_photo(client, ticket, data: bytes, **typed):
    return client.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": upload(data), "subject": "leak", "client_key": uuid.uuid4().hex} | typed,
        headers={"origin": OURS},
    )


def send_note(client, ticket, number: int):
    return client.post(
        reverse("ticket-note-add", args=[ticket.number]),
        {"words": f"Belt glazed, {number}", "client_key": uuid.uuid4().hex},
        headers={"origin": OURS},
    )


def send_test(client, ticket, number: int):
    case = json.loads((READINGS / "voltage_drop" / "corroded_strap_hot.json").read_text("utf-8"))
    typed = {k: v if isinstance(v, str) else v[0] for k, v in case["typed"].items()}
    typed |= {"path.strap.drop": f"0.{600 + number}", "client_key": uuid.uuid4().hex}
    return client.post(
        reverse("test-new", args=[ticket.number, "voltage_drop"]),
        typed | {"fault_present": "yes", "state_of_car": "hot"},
        headers={"origin": OURS},
    )


def send_numbered_photo(client, ticket, number: int):
    return send_photo(client, ticket, picture(colour=(number, 90, 90)), caption=f"Weld {number}")


# --- the photo store's calls -----------------------------------------------------------------


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
@pytest.mark.parametrize(("code", "status"), [(errno.ENOSPC, 507), (errno.EIO, 503)])
def test_a_disk_that_fails_at_any_call_of_an_upload_saves_nothing_by_halves(
    as_technician, ticket, settings, monkeypatch, tmp_path, code, status, for_good
):
    refused = 0
    for at in range(1, MOST_CALLS):
        settings.PHOTO_FOLDER = tmp_path / str(at) / "photos"
        photo = picture(colour=(at, at, 90))
        before = stored()
        calls = FailingCalls(at, system_error(code), for_good)
        monkeypatch.setattr(store, "os", calls)
        answer = send_photo(as_technician, ticket, photo, caption="Under the pump")
        monkeypatch.setattr(store, "os", os)
        if answer.status_code != 303:
            refused += 1
            assert answer.status_code == status
            assert "Not saved: the storage" in text_of(answer)
            assert 'value="Under the pump"' in text_of(answer)
            assert stored() == before
        assert_whole(settings.PHOTO_FOLDER, photo)
        assert send_photo(as_technician, ticket, photo).status_code == 303
        assert store.original_path(settings.PHOTO_FOLDER, name_of(photo)).read_bytes() == photo
        if not calls.failed:
            break
    else:
        pytest.fail(f"no run without a fault in {MOST_CALLS} tries")
    assert refused > 10, "the loop saw too few calls to mean anything"


def name_of(photo: bytes) -> str:
    return hashlib.sha256(photo).hexdigest()


def assert_whole(folder: Path, photo: bytes) -> None:
    """No file under an original's name that is not the original; a whole one may be an orphan."""
    for path in (folder / "originals").rglob("*"):
        assert path.is_dir() or (path.name == name_of(photo) and path.read_bytes() == photo)


# --- the database's statements ---------------------------------------------------------------


class FailingStatements:
    """Statement number `at` that changes something, or ends a transaction, is refused."""

    def __init__(self, at: int, words: str) -> None:
        self.at, self.words = at, words
        self.count = 0

    def __call__(self, execute, sql, params, many, context):
        if sql.lstrip().upper().startswith(CHANGES):
            self.count += 1
            if self.count == self.at:
                raise OperationalError(self.words)
        return execute(sql, params, many, context)


@pytest.mark.parametrize("send", [send_note, send_test, send_numbered_photo])
def test_a_database_that_fails_at_any_statement_saves_nothing_by_halves(
    as_technician, ticket, send
):
    words = "database or disk is full"
    as_technician.raise_request_exception = False
    refused = 0
    for at in range(1, MOST_CALLS):
        before = stored()
        fault = FailingStatements(at, words)
        with connection.execute_wrapper(fault):
            answer = send(as_technician, ticket, at)
        if answer.status_code != 303:
            refused += 1
            assert answer.status_code == SAID_BY_THE_DATABASE[words]
            assert "Not saved: the storage" in text_of(answer)
            assert stored() == before
        assert send(as_technician, ticket, at).status_code == 303
        if fault.count < at:
            break
    else:
        pytest.fail(f"no run without a fault in {MOST_CALLS} tries")
    assert refused >= 4, "the loop saw too few statements to mean anything"


@pytest.mark.parametrize(("words", "status"), SAID_BY_THE_DATABASE.items())
def test_the_answer_tells_a_full_storage_from_one_that_does_not_work(
    as_technician, ticket, words, status
):
    as_technician.raise_request_exception = False
    with connection.execute_wrapper(FailingStatements(2, words)):
        answer = send_note(as_technician, ticket, 1)
    assert answer.status_code == status
    assert ("the storage is full" in text_of(answer)) is (status == 507)


def test_what_was_typed_comes_back_with_one_button_to_send_it_again(as_technician, ticket):
    as_technician.raise_request_exception = False
    with connection.execute_wrapper(FailingStatements(2, "database or disk is full")):
        answer = send_note(as_technician, ticket, 5)
    assert '<input type="hidden" name="words" value="Belt glazed, 5">' in text_of(answer)
    assert text_of(answer).count("<button") == 1


def test_another_sites_form_gets_nothing_back(as_technician, ticket):
    as_technician.raise_request_exception = False
    with connection.execute_wrapper(FailingStatements(2, "database or disk is full")):
        answer = as_technician.post(
            reverse("ticket-note-add", args=[ticket.number]),
            {"words": "Belt glazed", "client_key": uuid.uuid4().hex},
            headers={"origin": "http://elsewhere.example"},
        )
    assert answer.status_code == 507
    assert "Belt glazed" not in text_of(answer)


def test_a_page_that_is_only_looked_at_is_not_called_unsaved(as_technician, ticket):
    as_technician.raise_request_exception = False

    def refuse(execute, sql, params, many, context):
        if "jobs_entry" in sql:
            raise OperationalError("disk I/O error")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(refuse):
        answer = as_technician.get(ticket.get_absolute_url())
    assert answer.status_code == 500
    assert "Not saved" not in text_of(answer)
