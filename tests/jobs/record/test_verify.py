"""`verify` finds what was changed behind the record's back, and says where."""

from contextlib import contextmanager

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from jobs.actions import tickets
from jobs.models import Entry
from jobs.record.verify import faults
from shop.append_only import _postgresql, _sqlite, protected_models

pytestmark = pytest.mark.django_db


@contextmanager
def triggers_off():
    """As somebody with the database file in hand could do."""
    with connection.cursor() as cursor:
        for model in protected_models():
            make = {"sqlite": _sqlite, "postgresql": _postgresql}[connection.vendor]
            for statement in make(model):
                if statement.startswith("DROP"):
                    cursor.execute(statement)
        yield cursor


@pytest.fixture
def record(ticket, owner):
    """A ticket with a few entries."""
    tickets.add_note(ticket=ticket, words="Belt glazed.", by=owner)
    tickets.add_note(ticket=ticket, words="Clamp tight.", by=owner)
    tickets.move(ticket=ticket, to="waiting", waits_for="part", by=owner)
    return ticket


def texts():
    return [str(fault) for fault in faults()]


def test_a_sound_record_has_no_fault(record):
    assert texts() == []


def change(cursor, sql, *values):
    cursor.execute(sql, values)


TAMPERING = {
    "payload changed": (
        "UPDATE jobs_payload SET text = replace(text, 'glazed', 'new')",
        "entry 3",
    ),
    "payload removed": (
        "DELETE FROM jobs_payload WHERE text LIKE '%%glazed%%'",
        "entry 3",
    ),
    "time changed": (
        "UPDATE jobs_entry SET at = '2020-01-01 00:00:00+00:00' WHERE seq = 3",
        "entry 3",
    ),
    "envelope changed": (
        "UPDATE jobs_entry SET envelope = replace(envelope, 'note', 'wish') WHERE seq = 3",
        "entry 3",
    ),
    "entries swapped": (
        "UPDATE jobs_entry SET seq = 7 - seq WHERE seq IN (3, 4)",
        "entry 3",
    ),
    "ledger line removed": ("DELETE FROM jobs_ledger WHERE seq = 3", "ledger line 3"),
    "ledger head changed": (
        "UPDATE jobs_ledger SET head = 'ab' WHERE seq = 3",
        "ledger line 3",
    ),
    "table changed": (
        "UPDATE jobs_complaint SET words = 'Nothing.'",
        "jobs_complaint",
    ),
    "ticket changed": ("UPDATE jobs_ticket SET odometer_in = 90000", "odometer_in"),
}


@pytest.mark.parametrize("case", TAMPERING)
def test_tampering_is_found_and_named(record, case):
    statement, named = TAMPERING[case]
    with triggers_off() as cursor:
        if case == "entries swapped":
            change(cursor, "UPDATE jobs_entry SET seq = 90 WHERE seq = 3")
            change(cursor, "UPDATE jobs_entry SET seq = 3 WHERE seq = 4")
            change(cursor, "UPDATE jobs_entry SET seq = 4 WHERE seq = 90")
        else:
            cursor.execute(statement.replace("%%", "%"))
        assert any(named in text for text in texts())


def test_an_entry_taken_out_of_the_middle_is_found(record):
    with triggers_off() as cursor:
        change(cursor, "DELETE FROM jobs_ledger WHERE entry_id = %s", Entry.objects.get(seq=3).pk)
        change(cursor, "DELETE FROM jobs_payload WHERE entry_id = %s", Entry.objects.get(seq=3).pk)
        change(cursor, "DELETE FROM jobs_entry WHERE seq = %s", 3)
        assert any("entry 3 is missing" in text for text in texts())


def test_cutting_the_tail_shows_in_the_ledger(record):
    last = Entry.objects.order_by("-seq").first()
    with triggers_off() as cursor:
        change(cursor, "DELETE FROM jobs_payload WHERE entry_id = %s", last.pk)
        change(cursor, "DELETE FROM jobs_entry WHERE id = %s", last.pk)
        assert any("the entry that it names is missing" in text for text in texts())
        change(cursor, "DELETE FROM jobs_ledger WHERE entry_id = %s", last.pk)


def test_the_command_ends_with_an_error_when_something_is_wrong(record, capsys):
    with triggers_off() as cursor:
        cursor.execute("UPDATE jobs_ticket SET odometer_in = 1")
        with pytest.raises(CommandError, match="1 faults found"):
            call_command("verify", "--record")


def test_the_command_says_that_nothing_is_wrong(record, capsys):
    call_command("verify", "--record")
    assert "No fault found." in capsys.readouterr().out
