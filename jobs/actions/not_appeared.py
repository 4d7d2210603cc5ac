"""A visit ends without the fault having shown itself: what was tried is written down."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs.actions import tickets
from jobs.certainty.tried import tried_for
from jobs.models import Entry
from jobs.record.append import EntryRefused, already, append
from jobs.ticket_view import EntryView, TicketView
from shop.models import Person

ON_TRIAL = "on_trial"


class SaysNotUntilWhen(EntryRefused):
    """A trial without an end is forgotten."""

    def __init__(self) -> None:
        super().__init__(_("Say until when it is on trial, or on which day you ring the owner."))


class NothingToNote(EntryRefused):
    """The owner is sent home without being told what to watch."""

    def __init__(self) -> None:
        super().__init__(_("Write what the owner should note when it comes again."))


@transaction.atomic
def say(
    *,
    view: TicketView,
    complaint: EntryView,
    by: Person,
    not_tried: Sequence[str],
    note: str,
    on_trial: bool = False,
    until: date | None = None,
    ring_on: date | None = None,
    **how: Any,
) -> Entry:
    """Write down that a complaint's fault did not appear, with what was tried as the tests tell it.

    not_tried: lines for the customer; note: what the owner should note; on_trial: the owner drives
    it, until a day or until the shop rings. Said of a complaint a second time, it replaces the
    first. Raises NothingToNote, SaysNotUntilWhen, and MoveRefused where it can't go on trial.
    """
    if earlier := already(how.get("client_key")):
        return earlier
    if not note.strip():
        raise NothingToNote
    if on_trial and not (until or ring_on):
        raise SaysNotUntilWhen
    uid = complaint.data["uid"]
    data: dict[str, Any] = {
        "complaint": uid,
        "tried": tried_for(view, complaint).lines,
        "not_tried": [line.strip() for line in not_tried if line.strip()],
        "note": note.strip(),
        "on_trial": on_trial,
    }
    data |= {name: day.isoformat() for name, day in (("until", until), ("ring_on", ring_on)) if day}
    before = next((item for item in view.not_appeared if item.data["complaint"] == uid), None)
    entry = append(
        ticket=view.ticket,
        kind="not_appeared",
        data=data,
        by=by,
        replaces=before.entry if before else None,
        **how,
    )
    view.ticket.refresh_from_db(fields=["state"])
    if on_trial and view.ticket.state != ON_TRIAL:
        tickets.move(
            ticket=view.ticket,
            to=ON_TRIAL,
            by=by,
            note=_trial_note(until, ring_on),
            at=how.get("at"),
        )
    return entry


def _trial_note(until: date | None, ring_on: date | None) -> str:
    said = [
        _("Until %(day)s.") % {"day": date_format(until, "j F Y")} if until else "",
        _("Ring on %(day)s.") % {"day": date_format(ring_on, "j F Y")} if ring_on else "",
    ]
    return " ".join(part for part in said if part)
