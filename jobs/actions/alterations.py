"""Changes left on a car, found or made, until they are put back."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from jobs import words
from jobs.actions.apart import tick_back
from jobs.models import Alteration, Apart, Entry, Ticket
from jobs.record.append import EntryRefused, already, append
from shop.models import Person


class NotToldYet(EntryRefused):
    """What the shop leaves changed, the customer must know of."""

    def __init__(self) -> None:
        super().__init__(
            "Tell the customer first, and tick that they know: what is left changed on their car "
            "is theirs to decide."
        )


class AlreadyPutBack(EntryRefused):
    """The alteration is off the car already."""

    def __init__(self, what: str) -> None:
        super().__init__(_("Put back already: %(what)s.") % {"what": what})


class AffectsUnknown(EntryRefused):
    """What an alteration affects is of a closed list."""

    def __init__(self, codes: Iterable[object]) -> None:
        super().__init__(
            _(
                "What it affects is not in the list: %(codes)s. Choose what is nearest, or "
                "“%(other)s”."
            )
            % {
                "codes": ", ".join(str(code) for code in codes),
                "other": words.technician("affects", "other"),
            }
        )


@transaction.atomic
def add(
    *,
    ticket: Ticket,
    what: str,
    by: Person,
    facts: dict[str, Any] | None = None,
    from_apart: Apart | None = None,
    **how: Any,
) -> Entry:
    """Record an alteration; with `from_apart` it ends that item, once the customer knows."""
    facts = facts or {}
    if from_apart and not facts.get("customer_told"):
        raise NotToldYet
    if unknown := [code for code in facts.get("affects", ()) if code not in words.AFFECTS]:
        raise AffectsUnknown(unknown)
    data = facts | {"uid": str(uuid.uuid4()), "car": str(ticket.car.uid), "what": what}
    entry = append(ticket=ticket, kind="alteration", data=data, by=by, **how)
    if from_apart and not _ended(from_apart):
        tick_back(ticket=ticket, apart=from_apart, by=by, alteration=entry.alteration)
    return entry


@transaction.atomic
def put_back(
    *, ticket: Ticket, alteration: Alteration, by: Person, how_done: str = "", **how: Any
) -> Entry:
    """The alteration is off the car, whichever visit put it there."""
    if earlier := already(how.get("client_key")):
        return earlier
    if not Alteration.objects.filter(uid=alteration.uid, car=ticket.car).still_on().exists():
        raise AlreadyPutBack(alteration.what)
    data = {"uid": str(uuid.uuid4()), "alteration": str(alteration.uid), "how": how_done}
    return append(ticket=ticket, kind="put_back", data=data, by=by, **how)


def _ended(apart: Apart) -> bool:
    return not Apart.objects.filter(pk=apart.pk).still().exists()
