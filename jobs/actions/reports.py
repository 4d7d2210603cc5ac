"""A report is issued: content frozen as data, PDF rendered once, both stored with their hash."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import Blob, Report, Ticket
from jobs.photos import store
from jobs.record import chain
from jobs.record.append import EntryRefused, already, append
from jobs.report.content import content_of
from jobs.report.pdf import pdf_of
from shop.models import Person, Profile


class RecordHasMoved(EntryRefused):
    """Somebody wrote to the ticket while the report was being made."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "Something was added to the ticket while the report was being made. Look at the "
                "report again, then issue it."
            )
        )


def issue(
    *,
    ticket: Ticket,
    profile: Profile,
    by: Person,
    seen_to: int | None = None,
    at: datetime | None = None,
    client_key: str | None = None,
    device_at: datetime | None = None,
) -> Report:
    """Issue the next revision. `seen_to` is the last entry that the person saw in the preview;
    `at` is for the demo alone."""
    if earlier := already(client_key):
        return earlier.report
    now = at or timezone.now()
    content = content_of(ticket, profile, by=by, at=now)
    if seen_to is not None and content["record"]["entries"] != seen_to:
        raise RecordHasMoved
    text = chain.canonical(content)
    content = json.loads(text)
    stored = store.put(settings.PHOTO_FOLDER, pdf_of(content))
    try:
        with transaction.atomic():
            return _write(
                ticket,
                content,
                text,
                stored,
                by=by,
                at=now,
                client_key=client_key,
                device_at=device_at,
            )
    except (RecordHasMoved, IntegrityError):
        # The same form, sent twice, may have been the one to move it.
        if earlier := already(client_key):
            return earlier.report
        raise RecordHasMoved from None


def _write(
    ticket: Ticket,
    content: dict[str, Any],
    text: str,
    stored: store.Stored,
    *,
    by: Person,
    at: datetime,
    client_key: str | None,
    device_at: datetime | None,
) -> Report:
    last = ticket.entries.order_by("-seq").values_list("seq", flat=True).first()
    if last != content["record"]["entries"]:
        raise RecordHasMoved
    blob, _new = Blob.objects.get_or_create(
        sha256=stored.sha256,
        defaults={"size": stored.size, "type": "application/pdf", "at": at},
    )
    digest = chain.content_digest(text)
    entry = append(
        ticket=ticket,
        kind="report_issued",
        by=by,
        data={
            "number": content["number"],
            "revision": content["revision"],
            "content_digest": digest,
            "pdf_sha256": blob.sha256,
            "made_from_seq": last,
        },
        at=at,
        client_key=client_key,
        device_at=device_at,
    )
    return Report.objects.create(
        entry=entry,
        ticket=ticket,
        number=content["number"],
        revision=content["revision"],
        content=text,
        content_digest=digest,
        pdf=blob,
        made_from_seq=last,
        issued_at=at,
    )
