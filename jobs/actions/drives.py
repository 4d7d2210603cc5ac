"""Drives after a repair of a fault that comes and goes are written down."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from jobs.models import Entry, Swap, Ticket
from jobs.record.append import EntryRefused, append
from shop.models import Person


class NoDrives(EntryRefused):
    """Neither a drive without the fault nor that it came back: nothing to write down."""

    def __init__(self) -> None:
        super().__init__(_("Say how many drives there were without it, or that it came back."))


def add(
    *,
    ticket: Ticket,
    swap: Swap,
    drives: int,
    came_back: bool,
    by: Person,
    facts: dict[str, Any] | None = None,
    **how: Any,
) -> Entry:
    """Write down drives since a swap of this shop.

    drives: in a row without the fault, since the last entry; came_back: it then came again; facts:
    `who` drove (a code of `drove`) and a `note`. Raises NoDrives.
    """
    if drives < 1 and not came_back:
        raise NoDrives
    data = {"swap": str(swap.uid), "drives": drives, "came_back": came_back}
    data |= {name: value for name, value in (facts or {}).items() if value}
    return append(ticket=ticket, kind="drives", data=data, by=by, **how)
