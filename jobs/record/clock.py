"""Where two clocks differ, or one has jumped. The record's order is by number, never by clock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from django.utils import timezone

from jobs.models import Ledger

PHONE_DIFFERS = timedelta(minutes=2)
"""Phones and servers that ask the network agree within seconds; a form takes some on its way."""
WENT_BACK = timedelta(minutes=5)
"""More than a clock that is set by the network is put back, and than a report takes to be made,
whose time is that of its beginning."""
WENT_AHEAD = timedelta(days=90)
"""Longer than a workshop's holidays; a mistyped year, or a clock without a battery, is further."""
LINES_LOOKED_AT = 500
"""Of the ledger, for the owner's notice: some days' or weeks' work, counted without a clock."""


def differs(device_at: datetime | None, at: datetime) -> timedelta | None:
    """By how much a phone was ahead of the server (behind: negative); None where it hardly was."""
    if device_at is None or abs(device_at - at) <= PHONE_DIFFERS:
        return None
    return device_at - at


def jump(before: datetime | None, at: datetime) -> timedelta | None:
    """By how much the server's clock seems to have jumped between two entries, or None."""
    if before is None or -WENT_BACK <= at - before <= WENT_AHEAD:
        return None
    return at - before


@dataclass(frozen=True)
class Jump:
    """A jump of the server's clock. `seq` is None for one that no entry has been written after."""

    before: datetime
    at: datetime
    ticket: int | None
    seq: int | None

    @property
    def by(self) -> timedelta:
        """Ahead, or back where it is negative."""
        return self.at - self.before


def jumps(now: datetime | None = None) -> Iterator[Jump]:
    """The latest jumps, newest first: between the latest entries, and between the last and now."""
    lines = Ledger.objects.order_by("-seq").values_list(
        "entry__at", "entry__ticket__number", "entry__seq"
    )
    moments = [(now or timezone.now(), None, None), *lines[: LINES_LOOKED_AT + 1]]
    for (at, ticket, seq), (before, _ticket, _seq) in pairwise(moments):
        if jump(before, at) is not None:
            yield Jump(before, at, ticket, seq)
