"""Checks the whole record: chains, ledger, payloads, runs, reports, projections, numbers."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import models

from jobs.models import Entry, Ledger, Report, Ticket
from jobs.models.projection import Projection
from jobs.record import chain
from jobs.record.append import columns_of, envelope_text, rows_of
from jobs.record.kind import Find, UnknownKind, kind_of


@dataclass(frozen=True)
class Fault:
    """Something in the record that is not as it was written: where, and what is wrong."""

    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}"


def faults() -> Iterator[Fault]:
    """Every fault of the record, the photo files apart. Nothing is changed."""
    entries = list(
        Entry.objects.select_related("ticket", "by", "payload", "replaces", "erased_by").order_by(
            "ticket", "seq"
        )
    )
    yield from _chains(entries)
    yield from _ledger(entries)
    yield from _payloads(entries)
    yield from _contents()
    yield from _projections(entries)
    yield from _columns(entries)
    yield from _numbers()


def name(entry: Entry) -> str:
    """How a fault names an entry."""
    place = f"ticket {entry.ticket.shown_number}" if entry.ticket else "the shop's own record"
    return f"{place}, entry {entry.seq}"


def _chains(entries: list[Entry]) -> Iterator[Fault]:
    previous: dict[int | None, Entry] = {}
    for entry in entries:
        before = previous.get(entry.ticket_id)
        previous[entry.ticket_id] = entry
        if chain.entry_digest(entry.envelope) != entry.digest:
            yield Fault(name(entry), "its envelope does not match its digest")
        expected = before.seq + 1 if before else 1
        if entry.seq != expected:
            yield Fault(name(entry), f"entry {expected} is missing before it")
        try:
            envelope = json.loads(entry.envelope)
        except ValueError:
            yield Fault(name(entry), "its envelope is not readable")
            continue
        if envelope.get("prev") != (before.digest if before else chain.START):
            yield Fault(name(entry), "it does not follow from the entry before it")
        # The signer's name is as it was then; a person may have changed it since.
        signed = envelope.get("by") or [None, ""]
        again = json.loads(
            envelope_text(entry, envelope.get("payload_digest", ""), envelope.get("prev", ""))
        )
        again["by"] = [entry.by_id, signed[1]]
        if again != envelope:
            wrong = sorted(k for k in again if again[k] != envelope.get(k))
            yield Fault(
                name(entry), f"its row says otherwise than its envelope: {', '.join(wrong)}"
            )


def _ledger(entries: list[Entry]) -> Iterator[Fault]:
    digests = {entry.pk: entry.digest for entry in entries}
    head, expected, seen = chain.START, 1, set()
    for line in Ledger.objects.order_by("seq"):
        if line.seq != expected:
            yield Fault(f"ledger line {expected}", "it is missing")
        expected = line.seq + 1
        digest = digests.get(line.entry_id)
        seen.add(line.entry_id)
        if digest is None:
            yield Fault(f"ledger line {line.seq}", "the entry that it names is missing")
        elif chain.ledger_head(head, digest) != line.head:
            yield Fault(f"ledger line {line.seq}", "its head does not follow from the line before")
        head = line.head
    for entry in entries:
        if entry.pk not in seen:
            yield Fault(name(entry), "the ledger does not know it")


def _payloads(entries: list[Entry]) -> Iterator[Fault]:
    for entry in entries:
        payload = getattr(entry, "payload", None)
        if payload is None:
            if not hasattr(entry, "erased_by"):
                yield Fault(name(entry), "what it said is missing, and no entry erases it")
            continue
        try:
            wanted = json.loads(entry.envelope)["payload_digest"]
            sound = chain.payload_digest(payload.salt, payload.text) == wanted
        except (ValueError, KeyError, TypeError):
            sound = False
        if not sound:
            yield Fault(name(entry), "what it says was changed")


def _contents() -> Iterator[Fault]:
    from measurements.actions.runs import projection_faults
    from measurements.models import Run

    runs = Run.objects.select_related("summary").prefetch_related("readings", "figures")
    for run in runs.iterator(chunk_size=500):
        if chain.content_digest(run.content) != run.digest:
            yield Fault(f"test {run.uid}", "its content does not match its digest")
        for fault in projection_faults(run):
            yield Fault(f"test {run.uid}", fault)
    for report in Report.objects.select_related("entry__payload"):
        said = report.entry.data
        if chain.content_digest(report.content) != report.content_digest:
            yield Fault(f"report {report}", "its content does not match its digest")
        if said and (report.content_digest, report.pdf_id) != (
            said["content_digest"],
            said["pdf_sha256"],
        ):
            yield Fault(f"report {report}", "its row says otherwise than its entry")


def projection_models() -> list[type[Projection]]:
    """Every table that is read from entries."""
    return [m for m in apps.get_models() if issubclass(m, Projection)]


def facts(row: models.Model) -> dict[str, Any]:
    """A row's values without its automatic key, as comparable values."""
    return {
        field.attname: field.get_prep_value(getattr(row, field.attname))
        for field in row._meta.concrete_fields
        if not isinstance(field, models.AutoField)
    }


def _projections(entries: list[Entry]) -> Iterator[Fault]:
    stored: dict[tuple[type, int], list[dict]] = defaultdict(list)
    for model in projection_models():
        for row in model.objects.order_by("pk"):
            stored[model, row.made_by].append(facts(row))
    find = Find()
    known = {entry.pk: entry for entry in entries}
    expected: dict[tuple[type, int], list[dict]] = defaultdict(list)
    for entry in entries:
        try:
            rows = rows_of(kind_of(entry.kind), entry, find)
        except (UnknownKind, KeyError, ValueError, TypeError, models.ObjectDoesNotExist) as fault:
            yield Fault(name(entry), f"it can't be read: {fault}")
            continue
        for made in rows:
            expected[type(made), entry.pk].append(facts(made))
    for key in stored.keys() | expected.keys():
        if stored.get(key, []) != expected.get(key, []):
            model, entry_id = key
            where = name(known[entry_id]) if entry_id in known else f"entry {entry_id}"
            yield Fault(where, f"the table {model._meta.db_table} says otherwise than the entry")


def _columns(entries: list[Entry]) -> Iterator[Fault]:
    find = Find()
    replaced = {entry.replaces_id for entry in entries}
    folded: dict[int, dict] = defaultdict(dict)
    for entry in entries:
        if entry.ticket_id and entry.pk not in replaced:
            try:
                folded[entry.ticket_id] |= columns_of(kind_of(entry.kind), entry, find)
            except (UnknownKind, KeyError, ValueError, models.ObjectDoesNotExist) as fault:
                yield Fault(name(entry), f"it can't be read: {fault}")
    for ticket in Ticket.objects.prefetch_related("people"):
        expected = folded.get(ticket.pk)
        if not expected:
            yield Fault(f"ticket {ticket.shown_number}", "no entry opens it")
            continue
        people = expected.pop("people", [])
        wrong = [k for k, v in expected.items() if getattr(ticket, k) != v]
        actual = [
            {n: getattr(p, n) for n in ("part", "customer_id", "limit_minor", "order_no")}
            for p in ticket.people.all()
        ]
        if sorted(actual, key=lambda p: p["part"]) != sorted(people, key=lambda p: p["part"]):
            wrong.append("people")
        if wrong:
            yield Fault(
                f"ticket {ticket.shown_number}",
                f"its row says otherwise than its entries: {', '.join(sorted(wrong))}",
            )


def _numbers() -> Iterator[Fault]:
    numbers = list(Ticket.objects.order_by("number").values_list("number", flat=True))
    first = numbers[0] if numbers else 1
    for expected, number in enumerate(numbers, start=first):
        if number != expected:
            yield Fault(f"ticket {expected:04d}", "the number is missing")
            return
