"""Whether the battery was weak when a test was made: what was measured on it then means little."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.utils.translation import gettext as _

from measurements.actions.runs import read
from measurements.core.procedure import Pattern, Procedure
from measurements.models import Run
from measurements.procedures import PROCEDURES


def weak_at(runs: Iterable[Run], moment: datetime, *, later_too: bool = False) -> Run | None:
    """The test that says so: the last one up to that moment that saw how the battery was.

    later_too: where none was made before, the first one after it speaks for that moment.
    """
    seeing = sorted(
        (run for run in runs if _saw_it(run)), key=lambda run: (run.measured_at, run.pk)
    )
    before = [run for run in seeing if run.measured_at <= moment]
    told = before[-1] if before else seeing[0] if seeing and later_too else None
    return told if told is not None and _pattern(told).weak_battery else None


def remark(run: Run, others: Iterable[Run]) -> str:
    """That a test was made on a battery which another test found weak; "" where it was not, where
    the battery doesn't matter, and where the test itself says so already."""
    procedure = PROCEDURES.get(run.procedure)
    if (
        procedure is None
        or not procedure.battery_matters
        or run.data["context"].get("weak_battery")
    ):
        return ""
    weak = weak_at((one for one in others if one != run), run.measured_at, later_too=True)
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
