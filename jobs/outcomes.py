"""What the shop's tickets turned out to be: confirmed causes of cars that were handed back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Exists, OuterRef

from jobs.models import Finding, Ticket
from jobs.suspects.counted import LEAST_CASES
from jobs.suspects.tables import Table

LATEST = 200
"""So many of a family's latest tickets are counted: cars and their faults change over the years
(judgement)."""


@dataclass(frozen=True)
class Outcomes:
    """The counted tickets of one family. counts: suspect -> tickets, each once a cause; since: when
    the earliest of them was handed back; came_back: how many of them had a comeback; gone: how many
    name a cause that the table no longer has, and count for none."""

    counts: Mapping[str, int]
    tickets: int = 0
    since: datetime | None = None
    came_back: int = 0
    gone: int = 0

    @property
    def enough(self) -> bool:
        """Whether they are more than chance may have made."""
        return self.tickets >= LEAST_CASES


def outcomes_of(table: Table) -> Outcomes:
    """The confirmed findings that stand, with a cause of this family, of tickets handed back."""
    begins = f"{table.family}."
    rows = (
        Finding.objects.current()
        .filter(
            certainty="confirmed",
            cause__startswith=begins,
            ticket__state="handed_back",
        )
        .annotate(came_back=Exists(Ticket.objects.filter(comeback_of=OuterRef("ticket"))))
        .order_by("-ticket__handed_back_at", "-ticket")
        .values_list("ticket", "cause", "ticket__handed_back_at", "came_back")
    )
    latest: dict[int, tuple[datetime, bool]] = {}
    named: set[tuple[int, str]] = set()
    for ticket, cause, handed_back_at, came_back in rows:
        if ticket not in latest and len(latest) == LATEST:
            break
        latest[ticket] = (handed_back_at, came_back)
        named.add((ticket, cause.removeprefix(begins)))
    told = [(ticket, code) for ticket, code in named if code in table]
    counting = {ticket for ticket, _code in told}
    days = [latest[ticket][0] for ticket in counting if latest[ticket][0]]
    return Outcomes(
        counts=Counter(code for _ticket, code in told),
        tickets=len(counting),
        since=min(days, default=None),
        came_back=sum(latest[ticket][1] for ticket in counting),
        gone=len(latest) - len(counting),
    )
