"""Whether the battery was weak when a test was made: what was measured on it then means little.

This shop's changes of the battery cut a ticket's time into stretches: what was seen of one battery
says nothing of tests made on another.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from datetime import datetime

from django.db.models import Min
from django.utils.translation import gettext as _

from jobs.models import Swap, Ticket
from jobs.suspects.gather import part_words
from measurements.actions.runs import read
from measurements.core.procedure import Pattern, Procedure
from measurements.models import Run
from measurements.procedures import PROCEDURES

_BATTERY = frozenset({"battery", "batterie"})
"""As `part_words` leaves it, one or several."""

_ONLY_NEAR_IT = frozenset(
    {"clamp", "cable", "post", "strap", "cover", "terminal", "lead", "ground", "earth", "fuse"}
    | {"sensor", "tray", "holder", "box", "key", "remote"}
)
_ANOTHER_BATTERY = frozenset({"traction", "hybrid", "voltage"})
"""One that drives the car; starter and lamps do not live on it."""


def is_battery(part: str) -> bool:
    """Whether a part, as it was written, is the battery that starter and lamps live on.

    >>> [is_battery(part) for part in ("AGM battery, 70 Ah", "battery clamp", "lead-acid battery")]
    [True, False, True]
    """
    words = part_words(part)
    if "acid" in words:
        words -= {"lead"}
    return bool(words & _BATTERY) and not words & (_ONLY_NEAR_IT | _ANOTHER_BATTERY)


def changes_on(ticket: Ticket) -> list[datetime]:
    """When this shop changed the battery on a ticket: when that was first recorded."""
    ours = Swap.objects.current().filter(ticket=ticket, ours=True)
    changed = {swap.uid for swap in ours if is_battery(swap.part_in) or is_battery(swap.part_out)}
    if not changed:
        return []
    versions = Swap.objects.filter(ticket=ticket, uid__in=changed)
    return list(versions.values("uid").annotate(at=Min("entry__at")).values_list("at", flat=True))


def weak_at(
    runs: Iterable[Run],
    moment: datetime,
    *,
    changes: Iterable[datetime],
    later_too: bool = False,
) -> Run | None:
    """The test that says so: of that battery, the last one up to that moment that saw how it was.

    changes: when the battery was changed; later_too: where no test of it was made before, the first
    one after it speaks for that moment.
    """
    cuts = sorted(changes)
    stretch = bisect_right(cuts, moment)
    seeing = sorted(
        (run for run in runs if bisect_right(cuts, run.measured_at) == stretch and _saw_it(run)),
        key=lambda run: (run.measured_at, run.pk),
    )
    before = [run for run in seeing if run.measured_at <= moment]
    told = before[-1] if before else seeing[0] if seeing and later_too else None
    return told if told is not None and _pattern(told).weak_battery else None


def remark(run: Run, others: Iterable[Run], *, changes: Iterable[datetime]) -> str:
    """That a test was made on a battery which another test found weak; "" where it was not, where
    the battery doesn't matter, and where the test itself says so already. changes: when the battery
    was changed."""
    procedure = PROCEDURES.get(run.procedure)
    if (
        procedure is None
        or not procedure.battery_matters
        or run.data["context"].get("weak_battery")
    ):
        return ""
    weak = weak_at(
        (one for one in others if one != run), run.measured_at, changes=changes, later_too=True
    )
    if weak is None:
        return ""
    return _("It was made on a weak battery: %(title)s says “%(found)s”.") % {
        "title": read(weak).words.title,
        "found": found(weak),
    }


def found(run: Run) -> str:
    """What that test found, in its own words."""
    return read(run).words.pattern


def _saw_it(run: Run) -> bool:
    procedure = PROCEDURES.get(run.procedure)
    return procedure is not None and (_pattern(run).weak_battery or _shows_it_sound(procedure, run))


def _shows_it_sound(procedure: Procedure, run: Run) -> bool:
    return any(pattern.weak_battery for pattern in procedure.patterns) and _pattern(run).sound


def _pattern(run: Run) -> Pattern:
    return PROCEDURES[run.procedure].pattern(run.summary.pattern)
