"""The check of the kill trials finds each kind of loss when it is planted."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.kill.survivors import look
from tests.kill.writer import Writer

pytestmark = pytest.mark.kill


@pytest.fixture
def written(data, number, nursery, tmp_path) -> tuple[Path, Path]:
    """A data folder and a log, with a photo, a note and a test that were acknowledged."""
    server = nursery()
    server.start()
    log = tmp_path / "log"
    device = Writer(server.port, number, 3, log)
    device.visitor.sign_in()
    for kind in ("photos", "note", "test"):
        device.save(kind)
    server.kill()
    return data, log


def sql(*statements: str) -> Callable[[Path, Path], None]:
    """Changes behind the application's back, past its triggers."""

    def do(data: Path, log: Path) -> None:
        with closing(sqlite3.connect(data / "baywitness.sqlite3")) as database:
            named = database.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
            for (name,) in named.fetchall():
                database.execute(f'DROP TRIGGER "{name}"')
            for statement in statements:
                database.execute(statement)
            database.commit()

    return do


def the_original(data: Path) -> Path:
    return next(path for path in (data / "photos" / "originals").rglob("*") if path.is_file())


def without_its_file(data: Path, log: Path) -> None:
    the_original(data).unlink()


def with_another_byte(data: Path, log: Path) -> None:
    path = the_original(data)
    path.write_bytes(path.read_bytes()[:-1] + b"?")


def never_sent(data: Path, log: Path) -> None:
    lines = log.read_text("utf-8").splitlines(keepends=True)
    log.write_text("".join(line for line in lines if '"note"' not in line), "utf-8")


NOTE = "(SELECT id FROM jobs_entry WHERE kind = 'note')"
PLANTED = {
    "lost": sql(
        f"DELETE FROM jobs_payload WHERE entry_id = {NOTE}",  # noqa: S608
        f"DELETE FROM jobs_ledger WHERE entry_id = {NOTE}",  # noqa: S608
        "DELETE FROM jobs_entry WHERE kind = 'note'",
    ),
    "lost, for it says something else": sql(
        f'UPDATE jobs_payload SET text = \'{{"words":"?"}}\' WHERE entry_id = {NOTE}'  # noqa: S608
    ),
    "dangling": without_its_file,
    "changed": with_another_byte,
    "half, no payload": sql(
        f"DELETE FROM jobs_payload WHERE entry_id = {NOTE}"  # noqa: S608
    ),
    "half, no frame": sql("DELETE FROM jobs_photo"),
    "half, no readings": sql("DELETE FROM measurements_reading"),
    "out_of_order": sql("UPDATE jobs_entry SET seq = seq + 10 WHERE kind = 'test'"),
    "out_of_order, in the ledger": sql(
        "UPDATE jobs_ledger SET head = hex(zeroblob(32)) WHERE seq = 1"
    ),
    "unasked": never_sent,
}


def test_it_finds_what_is_planted_and_nothing_in_what_is_sound(written, tmp_path):
    data, log = written
    assert look(data, [log]).faults == {}
    assert look(data, [log]).saved == 3
    missed = []
    for number, (kind, plant) in enumerate(PLANTED.items()):
        copy, its_log = tmp_path / str(number), tmp_path / f"{number}.log"
        shutil.copytree(data, copy)
        shutil.copy(log, its_log)
        plant(copy, its_log)
        if kind.partition(",")[0] not in look(copy, [its_log]).faults:
            missed.append(kind)
    assert missed == []
