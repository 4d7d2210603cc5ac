"""What was fitted to a car before: shown first when a part is about to be changed again."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from jobs import words
from jobs.models import Swap
from jobs.proof.of_swap import part_of, records_of
from jobs.proof.parts import alike
from jobs.proof.wording import outcome_words
from shop.models import Car

MOST = 40
"""So many of a car's latest swaps are looked at."""


@dataclass(frozen=True)
class Fitted:
    """A part that was changed on a car before. alike: it is called like the one in hand; at: None
    where others fitted it; what came of it only of this shop's own."""

    part: str
    alike: bool
    number: str
    url: str
    ours: bool
    at: datetime | None = None
    day: str = ""
    outcome: str = ""
    standing: str = ""


def fitted_before(
    car: Car, parts: Collection[str] = (), *, but: Collection[str] = ()
) -> list[Fitted]:
    """A car's swaps, those like these parts first, the newest first among equals. but: uids of
    swaps that are left out, as the one in hand."""
    rows = [
        swap
        for swap in Swap.objects.current()
        .filter(ticket__car=car)
        .select_related("ticket", "entry")
        .order_by("-entry__at")[:MOST]
        if str(swap.uid) not in but
    ]
    records = records_of(sorted({swap.ticket_id for swap in rows if swap.ours}))
    proofs = {
        view.data["uid"]: record.proof(view.data)
        for record in records.values()
        for view in record.swaps
    }
    found = []
    for swap in rows:
        proof = proofs.get(str(swap.uid))
        standing = words.technician("standing", proof.standing) if proof and proof.standing else ""
        names = [name for name in (swap.part_in, swap.part_out) if name]
        found.append(
            Fitted(
                part=part_of({"part_in": swap.part_in, "part_out": swap.part_out}) or _("a part"),
                alike=any(alike(name, part) for name in names for part in parts if part),
                number=swap.ticket.shown_number,
                url=f"{swap.ticket.get_absolute_url()}#e{swap.entry.seq}",
                ours=swap.ours,
                at=swap.entry.at if swap.ours else None,
                day=swap.done_on.isoformat() if swap.done_on else "",
                outcome=outcome_words(proof) if proof else "",
                standing=standing,
            )
        )
    return sorted(found, key=lambda one: not one.alike)
