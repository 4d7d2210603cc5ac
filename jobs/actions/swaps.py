"""Parts are swapped: quickly at the car, completed at the desk by a later version."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from typing import Any

from django.db import transaction

from jobs.actions.apart import take_apart
from jobs.models import Entry, Swap, Ticket
from jobs.record.append import EntryRefused, append
from measurements.models import Run
from shop.models import Person


class NoReasonGiven(EntryRefused):
    """Every swap has one reason of the closed list."""

    def __init__(self) -> None:
        super().__init__("Say why the part is swapped: one of the reasons listed.")


@transaction.atomic
def add(
    *,
    ticket: Ticket,
    by: Person,
    reason: str,
    facts: dict[str, Any] | None = None,
    pointed: Iterable[Run] = (),
    before: Iterable[Run] = (),
    after: Iterable[Run] = (),
    leaves_apart: Iterable[str] = (),
    **how: Any,
) -> Entry:
    """Record a swap. Recorded even when nobody agreed to it: `facts["agreed"]` says so."""
    if not reason:
        raise NoReasonGiven
    data = _told(facts) | {
        "uid": str(uuid.uuid4()),
        "reason": reason,
        "currency": ticket.currency,
        "runs": _runs(pointed, before, after),
    }
    entry = append(ticket=ticket, kind="swap", data=data, by=by, **how)
    for what in leaves_apart:
        if not ticket.aparts.filter(swap_uid=entry.swap.uid, what=what).exists():
            take_apart(ticket=ticket, what=what, by=by, swap=entry.swap)
    return entry


def change(
    *,
    entry: Entry,
    by: Person,
    why: str,
    reason: str | None = None,
    facts: dict[str, Any] | None = None,
    pointed: Iterable[Run] | None = None,
    before: Iterable[Run] | None = None,
    after: Iterable[Run] | None = None,
    **how: Any,
) -> Entry:
    """A later version of a swap: completed at the desk, tests after it added, or corrected."""
    old = entry.data
    runs = dict(old.get("runs", {}))
    for role, chosen in (("pointed", pointed), ("before", before), ("after", after)):
        if chosen is not None:
            runs[role] = [run.digest for run in chosen]
    data = _told(old | (facts or {})) | {"runs": runs, "why": why}
    if reason:
        data["reason"] = reason
    return append(ticket=entry.ticket, kind="swap", data=data, by=by, replaces=entry, **how)


def _told(facts: dict[str, Any] | None) -> dict[str, Any]:
    """What was said; what was left or made empty is left out."""
    return {name: value for name, value in (facts or {}).items() if value not in (None, "")}


def _runs(
    pointed: Iterable[Run], before: Iterable[Run], after: Iterable[Run]
) -> dict[str, list[str]]:
    return {
        role: [run.digest for run in runs]
        for role, runs in (("pointed", pointed), ("before", before), ("after", after))
    }


def current_version(ticket: Ticket, swap_uid: uuid.UUID) -> Swap:
    """The version of a swap that counts now."""
    return Swap.objects.current().select_related("entry").get(ticket=ticket, uid=swap_uid)
