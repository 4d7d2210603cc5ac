"""The only writer of the record."""

from __future__ import annotations

import json
import logging
import secrets
import uuid
from datetime import datetime
from typing import Any

from django.db import IntegrityError, connection, models, transaction
from django.utils import timezone

from jobs.models import Entry, Ledger, Payload, Ticket, TicketPerson
from jobs.record import chain, clock
from jobs.record.kind import Data, Find, Kind, kind_of
from shop.models import Person

log = logging.getLogger("baywitness.errors")


class EntryRefused(ValueError):
    """An entry that would make the record say less than it must, or contradict itself."""


class AlreadyCorrected(EntryRefused):
    """Somebody else has corrected the same entry first; both stay legible."""

    def __init__(self, entry: Entry) -> None:
        super().__init__(
            f"Entry {entry.seq} has been replaced by entry {entry.replaced_by.seq} meanwhile, by "
            f"{entry.replaced_by.by.name}. "
            "Look at that one, and correct it if it is still wrong."
        )
        self.entry = entry


def already(client_key: str | None) -> Entry | None:
    """The entry that an earlier sending of the same form has made, if any."""
    if not client_key:
        return None
    return Entry.objects.filter(client_key=client_key).first()


def append(
    *,
    ticket: Ticket | None,
    kind: str,
    data: Data,
    by: Person,
    at: datetime | None = None,
    device_at: datetime | None = None,
    replaces: Entry | None = None,
    client_key: str | None = None,
) -> Entry:
    """Write one entry with its payload, its ledger line and what is read from it, or nothing.

    A form sent twice with one `client_key` makes one entry: the second call gives the first's.
    `at` is for imports and the demo; people can't set it. Hashing of photos, rendering and other
    slow work belongs before this call.
    """
    if earlier := already(client_key):
        return earlier
    declared = kind_of(kind)
    lacking = declared.needs - data.keys()
    if lacking:
        raise EntryRefused(f"an entry {kind!r} needs {', '.join(sorted(lacking))}")
    if replaces is not None:
        _check_replaceable(replaces, ticket)
    try:
        with transaction.atomic():
            one_writer()
            entry = _write(declared, ticket, data, by, at, device_at, replaces, client_key)
            _project(declared, entry)
    except IntegrityError:
        if earlier := already(client_key):
            return earlier
        if replaces is not None and Entry.objects.filter(replaces=replaces).exists():
            raise AlreadyCorrected(Entry.objects.get(pk=replaces.pk)) from None
        raise
    return entry


def _check_replaceable(entry: Entry, ticket: Ticket | None) -> None:
    if entry.ticket_id != (ticket.pk if ticket else None):
        raise EntryRefused("An entry can be replaced on its own ticket only.")
    if hasattr(entry, "replaced_by"):
        raise AlreadyCorrected(entry)


def one_writer() -> None:
    """One writer at a time until the transaction ends: SQLite's immediate transaction does it,
    PostgreSQL is asked to. Called first by what decides by the record's state."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [0x6261_7977])


def _write(
    kind: Kind,
    ticket: Ticket | None,
    data: Data,
    by: Person,
    at: datetime | None,
    device_at: datetime | None,
    replaces: Entry | None,
    client_key: str | None,
) -> Entry:
    last = Entry.objects.filter(ticket=ticket).order_by("-seq").only("seq", "digest").first()
    salt, text = secrets.token_hex(32), chain.canonical(data)
    entry = Entry(
        uid=uuid.uuid4(),
        ticket=ticket,
        seq=last.seq + 1 if last else 1,
        kind=kind.code,
        format=kind.format,
        at=at or timezone.now(),
        by=by,
        device_at=device_at,
        replaces=replaces,
        client_key=client_key or None,
    )
    entry.envelope = envelope_text(
        entry, chain.payload_digest(salt, text), last.digest if last else chain.START
    )
    entry.digest = chain.entry_digest(entry.envelope)
    entry.save()
    Payload.objects.create(entry=entry, salt=salt, text=text)
    newest = Ledger.objects.order_by("-seq").select_related("entry").first()
    if newest and (jumped := clock.jump(newest.entry.at, entry.at)):
        log.warning("the server's clock has jumped by %s before entry %s", jumped, entry.uid)
    Ledger.objects.create(
        seq=newest.seq + 1 if newest else 1,
        entry=entry,
        head=chain.ledger_head(newest.head if newest else chain.START, entry.digest),
    )
    entry.__dict__["data"] = json.loads(text)
    return entry


def envelope_text(entry: Entry, payload_digest: str, previous: str) -> str:
    """The exact text whose digest makes an entry's link in the chain."""
    return chain.canonical(
        {
            "uid": str(entry.uid),
            "ticket": str(entry.ticket.uid) if entry.ticket else None,
            "seq": entry.seq,
            "kind": entry.kind,
            "format": entry.format,
            "at": chain.moment(entry.at),
            "by": [entry.by_id, entry.by.name],
            "device_at": chain.moment(entry.device_at) if entry.device_at else None,
            "replaces": str(entry.replaces.uid) if entry.replaces else None,
            "prev": previous,
            "payload_digest": payload_digest,
        }
    )


def _project(kind: Kind, entry: Entry) -> None:
    find = Find()
    for row in rows_of(kind, entry, find):
        row.save(force_insert=True)
    if entry.replaces_id:
        set_columns(entry.ticket, fold(entry.ticket, find))
    elif kind.ticket:
        set_columns(entry.ticket, columns_of(kind, entry, find))


def rows_of(kind: Kind, entry: Entry, find: Find) -> list[models.Model]:
    """The projection rows that an entry makes, unsaved. None once its payload is erased."""
    if not kind.rows or not hasattr(entry, "payload"):
        return []
    return list(kind.rows(entry, kind.read(entry.data, entry.format), find))


def columns_of(kind: Kind, entry: Entry, find: Find) -> dict[str, Any]:
    """The ticket's columns that an entry sets."""
    if not kind.ticket or not hasattr(entry, "payload"):
        return {}
    return kind.ticket(entry, kind.read(entry.data, entry.format), find)


def fold(ticket: Ticket | None, find: Find) -> dict[str, Any]:
    """The ticket's columns as its standing entries give them, in order."""
    columns: dict[str, Any] = {}
    if ticket is None:
        return columns
    entries = ticket.entries.current().in_order().select_related("payload", "ticket", "by")
    for entry in entries:
        columns |= columns_of(kind_of(entry.kind), entry, find)
    return columns


def set_columns(ticket: Ticket | None, columns: dict[str, Any]) -> None:
    """Write folded columns to the ticket's row, and its people where they are among them."""
    if ticket is None or not columns:
        return
    columns = dict(columns)
    people = columns.pop("people", None)
    for name, value in columns.items():
        setattr(ticket, name, value)
    ticket.save(update_fields=list(columns)) if columns else None
    if people is not None:
        ticket.people.all().delete()
        TicketPerson.objects.bulk_create(TicketPerson(ticket=ticket, **p) for p in people)
