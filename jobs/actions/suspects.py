"""What a technician thinks of a suspect is written down, and the odds of a moment are kept."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _

from jobs.models import Entry, Opinion, Ticket
from jobs.reasoning.kept import kept
from jobs.record.append import EntryRefused, append
from jobs.suspects.gather import STRENGTHS
from jobs.suspects.tables import OWN
from shop.models import Person

if TYPE_CHECKING:
    from jobs.reasoning.of_ticket import Reasoning


class OpinionRefused(EntryRefused):
    """A judgement that says too little: says what is wanted."""


def judge(
    *,
    ticket: Ticket,
    by: Person,
    complaint_uid: str,
    suspect: str,
    strength: str,
    reason: str,
    label: str = "",
    **how: Any,
) -> Entry:
    """Write down a technician's own judgement on a suspect. Their last word on it counts: the
    earlier one stays legible. With `label` and no suspect it adds one. Raises OpinionRefused."""
    if strength not in STRENGTHS:
        raise OpinionRefused(_("Say how strongly it speaks for or against."))
    if not reason.strip():
        raise OpinionRefused(_("Say why: what you saw, heard, or know of this model."))
    if not suspect and not label.strip():
        raise OpinionRefused(_("Name the cause that you have in mind."))
    suspect = suspect or f"{OWN}{uuid.uuid4()}"
    earlier = (
        Opinion.objects.current()
        .filter(ticket=ticket, complaint_uid=complaint_uid, suspect=suspect)
        .select_related("entry")
        .first()
    )
    data = {
        "uid": str(earlier.uid if earlier else uuid.uuid4()),
        "complaint": complaint_uid,
        "suspect": suspect,
        "label": label.strip() or (earlier.label if earlier else ""),
        "strength": strength,
        "reason": reason.strip(),
    }
    return append(
        ticket=ticket,
        kind="opinion",
        data=data,
        by=by,
        replaces=earlier.entry if earlier else None,
        **how,
    )


def keep(*, reasoning: Reasoning, by: Person, **how: Any) -> Entry:
    """Write the odds of this moment into the record, with all that moved them."""
    return append(
        ticket=reasoning.view.ticket, kind="judgement", data=kept(reasoning), by=by, **how
    )
