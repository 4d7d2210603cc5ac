"""The record: dated entries that are only ever added, chained by hash; payloads apart."""

from __future__ import annotations

import json
import uuid
from functools import cached_property
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import OuterRef, Q, Subquery

from shop.append_only import AppendOnly, AppendOnlyQuerySet


class EntryQuerySet(AppendOnlyQuerySet):
    """Sets of entries by the words of the record."""

    def current(self) -> EntryQuerySet:
        """Neither corrected nor withdrawn by a later entry."""
        return self.filter(replaced_by=None)

    def in_order(self) -> EntryQuerySet:
        """As they were written."""
        return self.order_by("seq")

    def with_time_before(self) -> EntryQuerySet:
        """Each with `time_before`: the server's time at the entry written before it, anywhere."""
        before = Ledger.objects.filter(seq=OuterRef("ledger__seq") - 1)
        return self.annotate(time_before=Subquery(before.values("entry__at")))


class Entry(AppendOnly):
    """One thing that happened. `envelope` is the exact JSON text that `digest` covers:
    {uid, ticket, seq, kind, format, at, by, device_at, replaces, prev, payload_digest}."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    ticket = models.ForeignKey(
        "jobs.Ticket", models.PROTECT, null=True, blank=True, related_name="entries"
    )
    seq = models.PositiveIntegerField()
    kind = models.CharField(max_length=30)
    format = models.PositiveSmallIntegerField(default=1)
    envelope = models.TextField()
    digest = models.CharField(max_length=64, unique=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="entries")
    device_at = models.DateTimeField(null=True, blank=True)
    replaces = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="replaced_by"
    )
    erases = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="erased_by"
    )
    client_key = models.CharField(max_length=64, unique=True, null=True, blank=True)

    objects = EntryQuerySet.as_manager()

    class Meta:
        ordering = ["ticket", "seq"]
        constraints = [
            models.UniqueConstraint(fields=["ticket", "seq"], name="entry_seq_once_per_ticket"),
            models.UniqueConstraint(
                fields=["seq"],
                condition=Q(ticket=None),
                name="entry_seq_once_in_the_shops_own_chain",
            ),
        ]
        indexes = [models.Index(fields=["kind", "at"], name="entry_kind_at")]

    def __str__(self) -> str:
        return f"{self.ticket_id or 'shop'}/{self.seq} {self.kind}"

    @cached_property
    def data(self) -> dict[str, Any]:
        """What the entry says. Empty where its payload was erased."""
        payload = getattr(self, "payload", None)
        return json.loads(payload.text) if payload else {}


class Payload(AppendOnly):
    """What an entry says, apart from the chain, so that it can be erased without breaking it.
    The chain holds sha256(salt, text)."""

    removable_when = "EXISTS (SELECT 1 FROM jobs_entry e WHERE e.erases_id = OLD.entry_id)"

    entry = models.OneToOneField(Entry, models.PROTECT, primary_key=True, related_name="payload")
    salt = models.CharField(max_length=64)
    text = models.TextField()

    def __str__(self) -> str:
        return f"payload of {self.entry_id}"


class Ledger(AppendOnly):
    """The installation's own chain over all entries: a ticket that is missing shows here."""

    seq = models.PositiveBigIntegerField(primary_key=True)
    entry = models.OneToOneField(Entry, models.PROTECT, related_name="ledger")
    head = models.CharField(max_length=64, unique=True)

    class Meta:
        ordering = ["seq"]

    def __str__(self) -> str:
        return f"{self.seq} {self.head[:12]}"
