"""What is apart on a car, until it is ticked back or has become an alteration."""

from __future__ import annotations

import uuid
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.models import Alteration, Apart, Entry, Swap, Ticket
from jobs.record.append import EntryRefused, already, append
from measurements.models import Run
from shop.models import Person


class NotApart(EntryRefused):
    """It has been ticked back already, perhaps on another phone."""

    def __init__(self, what: str) -> None:
        super().__init__(_("Ticked back already: %(what)s.") % {"what": what})


def take_apart(
    *,
    ticket: Ticket,
    what: str,
    by: Person,
    run: Run | None = None,
    swap: Swap | None = None,
    **how: Any,
) -> Entry:
    """Note that something is open, unplugged, pulled or slack from now on."""
    data: dict[str, Any] = {"uid": str(uuid.uuid4()), "what": what}
    if run:
        data["run"] = run.digest
    if swap:
        data["swap"] = str(swap.uid)
    return append(ticket=ticket, kind="apart", data=data, by=by, **how)


@transaction.atomic
def tick_back(
    *,
    ticket: Ticket,
    apart: Apart,
    by: Person,
    alteration: Alteration | None = None,
    note: str = "",
    **how: Any,
) -> Entry:
    """It is back as it was; or it stays, as an alteration that the customer is told of."""
    if earlier := already(how.get("client_key")):
        return earlier
    if not Apart.objects.filter(ticket=ticket, pk=apart.pk).still().exists():
        raise NotApart(apart.what)
    data: dict[str, Any] = {"uid": str(uuid.uuid4()), "apart": str(apart.uid)}
    if alteration:
        data["alteration"] = str(alteration.uid)
    if note:
        data["note"] = note
    return append(ticket=ticket, kind="ticked_back", data=data, by=by, **how)
