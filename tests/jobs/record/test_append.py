"""The record is written once, in order, and only by `append`."""

import pytest
from django.db import IntegrityError, connection, transaction

from jobs.actions import tickets
from jobs.models import Complaint, Entry, Ledger, Payload, Ticket
from jobs.record import chain
from jobs.record.append import AlreadyCorrected, EntryRefused, append
from jobs.record.kind import UnknownKind, kinds
from shop.append_only import AppendOnlyError, protected_models, unprotected_tables

pytestmark = pytest.mark.django_db


def note(ticket, by, words="Belt glazed.", **how):
    return append(ticket=ticket, kind="note", data={"words": words}, by=by, **how)


def test_entries_of_a_ticket_are_numbered_without_gaps(ticket, owner):
    for _ in range(3):
        note(ticket, owner)
    assert list(ticket.entries.in_order().values_list("seq", flat=True)) == [1, 2, 3, 4, 5]


def test_each_entry_names_the_digest_of_the_one_before(ticket, owner):
    first, second = note(ticket, owner), note(ticket, owner)
    assert f'"prev":"{first.digest}"' in second.envelope


def test_the_ledger_chains_all_tickets(ticket, owner):
    entry = note(ticket, owner)
    lines = list(Ledger.objects.order_by("seq"))
    before, last = lines[-2], lines[-1]
    assert last.entry == entry
    assert last.head == chain.ledger_head(before.head, entry.digest)


def test_a_form_sent_twice_makes_one_entry(ticket, owner):
    assert note(ticket, owner, client_key="k1") == note(ticket, owner, client_key="k1")
    assert Entry.objects.filter(kind="note").count() == 1


def test_a_ticket_opened_twice_by_one_form_is_one_ticket(van, customer, owner):
    for _ in range(2):
        tickets.open_ticket(car=van, customer=customer, by=owner, client_key="once")
    assert Ticket.objects.count() == 1


def test_a_correction_leaves_the_old_entry_legible_and_out_of_the_current_ones(ticket, owner):
    old = Complaint.objects.get(ticket=ticket).entry
    new = tickets.add_complaint(ticket=ticket, words="Slow when hot.", by=owner, corrects=old)
    assert [c.entry for c in ticket.complaints.current()] == [new]
    assert old.data["words"] == "Turns over slowly once it is hot."


def test_a_corrected_thing_keeps_its_uid(ticket, owner):
    old = Complaint.objects.get(ticket=ticket)
    new = tickets.add_complaint(ticket=ticket, words="Slow.", by=owner, corrects=old.entry)
    assert new.complaint.uid == old.uid


def test_the_second_of_two_corrections_is_told_of_the_first(ticket, owner, technician):
    old = note(ticket, owner)
    tickets.withdraw(entry=old, why="wrong car", by=owner)
    with pytest.raises(AlreadyCorrected, match="replaced by entry 4"):
        tickets.withdraw(entry=Entry.objects.get(pk=old.pk), why="wrong car", by=technician)


def test_an_entry_is_not_replaced_on_another_ticket(ticket, van, customer, owner):
    other = tickets.open_ticket(car=van, customer=customer, by=owner)
    with pytest.raises(EntryRefused, match="own ticket"):
        append(
            ticket=other,
            kind="withdrawn",
            data={"why": "x"},
            by=owner,
            replaces=note(ticket, owner),
        )


def test_an_entry_that_lacks_a_needed_fact_is_refused(ticket, owner):
    with pytest.raises(EntryRefused, match="words"):
        append(ticket=ticket, kind="note", data={}, by=owner)


def test_a_kind_that_nobody_declared_is_refused(ticket, owner):
    with pytest.raises(UnknownKind):
        append(ticket=ticket, kind="rumour", data={}, by=owner)


def test_withdrawing_a_change_brings_the_earlier_fact_back(ticket, owner):
    change = tickets.change(ticket=ticket, by=owner, facts={"odometer_in": 150_000})
    tickets.withdraw(entry=change, why="read upside down", by=owner)
    ticket.refresh_from_db()
    assert ticket.odometer_in == 148_230


def test_ticket_numbers_have_no_gap_after_a_refused_opening(van, customer, owner):
    first = tickets.open_ticket(car=van, customer=customer, by=owner)
    with pytest.raises(RuntimeError), transaction.atomic():
        tickets.open_ticket(car=van, customer=customer, by=owner)
        raise RuntimeError
    second = tickets.open_ticket(car=van, customer=customer, by=owner)
    assert second.number == first.number + 1


@pytest.mark.parametrize("change", ["save", "delete", "update", "bulk"])
def test_python_refuses_to_change_an_entry(ticket, owner, change):
    entry = note(ticket, owner)
    with pytest.raises(AppendOnlyError, match="append-only"):
        {
            "save": entry.save,
            "delete": entry.delete,
            "update": lambda: Entry.objects.filter(pk=entry.pk).update(kind="x"),
            "bulk": lambda: Entry.objects.bulk_update([entry], ["kind"]),
        }[change]()


@pytest.mark.parametrize("model", protected_models(), ids=lambda m: m._meta.db_table)
@pytest.mark.parametrize("verb", ["UPDATE {t} SET {pk} = {pk}", "DELETE FROM {t}"])
def test_the_database_refuses_to_change_a_protected_table(ticket, technician, model, verb):
    fill(model, ticket, technician)
    meta = model._meta
    statement = verb.format(t=meta.db_table, pk=meta.pk.column)
    refused = pytest.raises(IntegrityError, match="append-only")
    with refused, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


def fill(model, ticket, by):
    """At least one row in each protected table, so that the statement has something to touch."""
    from django.utils import timezone

    from jobs.models import Blob, Report
    from measurements.models import Instrument, InstrumentCheck, Limit, Run

    now = timezone.now()
    if model is Blob:
        Blob.objects.create(sha256="0" * 64, size=1, type="image/jpeg", at=now)
    elif model is Limit:
        Limit.objects.create(
            procedure="p", address_pattern="a", high=1, unit="V", source="s", by=by, at=now
        )
    elif model is Run:
        Run.objects.create(
            car=ticket.car,
            procedure="p",
            procedure_version=1,
            measured_at=now,
            recorded_at=now,
            by=by,
            content="{}",
            digest="0" * 64,
        )
    elif model is InstrumentCheck:
        meter = Instrument.objects.create(kind="tape", name="Tape", accuracy="±1 mm")
        InstrumentCheck.objects.create(
            instrument=meter, checked_on=now.date(), good=True, how="h", by=by, at=now
        )
    elif model is Report:
        blob = Blob.objects.create(sha256="1" * 64, size=1, type="application/pdf", at=now)
        Report.objects.create(
            entry=ticket.entries.first(),
            ticket=ticket,
            number=1,
            revision=1,
            content="{}",
            content_digest="0",
            pdf=blob,
            made_from_seq=1,
            issued_at=now,
        )


@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="SQLite's own way around a trigger")
def test_insert_or_replace_does_not_walk_past_the_trigger(ticket):
    row = Ledger.objects.first()
    refused = pytest.raises(IntegrityError, match="append-only")
    with refused, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(
            "INSERT OR REPLACE INTO jobs_ledger (seq, entry_id, head) VALUES (%s, %s, 'x')",
            [row.seq, row.entry_id],
        )


@pytest.mark.skipif("connection.vendor != 'postgresql'", reason="SQLite has no TRUNCATE")
def test_truncate_is_refused(ticket):
    refused = pytest.raises(IntegrityError, match="append-only")
    with refused, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")  # else the foreign keys' checks pend
        cursor.execute("TRUNCATE jobs_payload")


def test_every_protected_table_has_its_triggers():
    assert unprotected_tables() == []


def test_a_payload_goes_only_when_an_entry_erases_it(ticket, owner):
    entry = note(ticket, owner, words="A name.")
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM jobs_payload WHERE entry_id = %s", [entry.pk])
    Entry.objects.create(
        ticket=None,
        seq=1,
        kind="note",
        envelope="e",
        digest="d",
        at=entry.at,
        by=owner,
        erases=entry,
    )
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM jobs_payload WHERE entry_id = %s", [entry.pk])
    assert not Payload.objects.filter(entry=entry).exists()


def test_every_kind_is_named_like_its_module():
    assert {"ticket_opened", "complaint", "photos", "test", "swap", "finding"} <= set(kinds())
