"""Before and after: two tests of one procedure side by side, or why they can't be."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs.run_view import ON_PAGE
from measurements.actions.runs import Recorded, read
from measurements.core import chart, units
from measurements.core import compare as core
from measurements.models import Run
from measurements.procedures import PROCEDURES
from shop.models import Profile


@dataclass(frozen=True)
class Comparison:
    """Plain data for `_ba.html`. `refused` says in a sentence why nothing is compared."""

    title: str
    refused: str = ""
    rows: list[dict[str, Any]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    chart: str = ""


@dataclass(frozen=True)
class Matched:
    """Two tests laid side by side. refused: why nothing is compared, in a sentence; found: what
    was, None where they are not of one test on one part."""

    before: Run
    after: Run
    earlier: Recorded
    later: Recorded
    refused: str = ""
    found: core.Comparison | None = None


def match(before: Run, after: Run) -> Matched:
    """Match two tests point by point; load or temperature too far apart stops it and says why."""
    two = before, after, read(before), read(after)
    _first, _second, earlier, later = two
    if before.car_id != after.car_id or earlier.procedure != later.procedure:
        return Matched(*two, refused=_("Not compared: these are two different tests."))
    if before.subject != after.subject:
        return Matched(*two, refused=_("Not compared: they were made on different parts."))
    procedure = PROCEDURES.get(later.procedure)
    if procedure is None:
        return Matched(*two, refused=_("Not compared: this test is no longer made."))
    found = core.compare(
        procedure,
        earlier.readings,
        later.readings,
        context_before=earlier.context,
        context_after=later.context,
        figures_before=earlier.assessment.figures,
        figures_after=later.assessment.figures,
    )
    refused = ""
    if not found.comparable:
        told = "; ".join(f"{a.label}: {a.reason}" for a in found.apart if not a.address)
        refused = _("Not compared. %(reasons)s.") % {"reasons": capfirst(told)}
    elif not found.changes:
        refused = _("Not compared: no point was measured both before and after.")
    return Matched(*two, refused=refused, found=found)


def compare(
    before: Run, after: Run, *, profile: Profile | None = None, ground: str = ON_PAGE
) -> Comparison:
    """Two tests side by side for `_ba.html`, or why they can't be."""
    return shown(match(before, after), ground=ground)


def shown(matched: Matched, *, ground: str = ON_PAGE) -> Comparison:
    """Matched tests as plain data for `_ba.html`."""
    earlier, later, found = matched.earlier, matched.later, matched.found
    title = later.words.title
    if matched.refused or found is None:
        return Comparison(title, refused=matched.refused)
    return Comparison(
        title=title,
        rows=[_row(change, later, found.changes) for change in _in_order(found.changes)],
        notes=_notes(found.apart),
        chart=_overlaid(earlier, later, ground, matched.after)
        or _chart(found, later, title, ground, matched.after),
    )


def _notes(apart: tuple[core.Apart, ...]) -> list[str]:
    """What was not compared, one sentence to a reason."""
    labels: dict[str, list[str]] = {}
    for item in apart:
        labels.setdefault(item.reason, []).append(item.label)
    return [f"{capfirst(reason)}: {'; '.join(names)}." for reason, names in labels.items()]


def _in_order(changes: tuple[core.Change, ...]) -> tuple[core.Change, ...]:
    """Point by point, then what was measured over the whole."""
    return tuple(sorted(changes, key=lambda change: change.address.startswith("given.")))


def _row(change: core.Change, later: Recorded, changes: tuple[core.Change, ...]) -> dict[str, Any]:
    reading = later.readings.get(change.address)
    unit, digit = (reading.unit, reading.digit) if reading else ("", 0.0)

    def shown(value: float, u: float) -> tuple[str, str]:
        text = units.show(value, u, change.quantity, digit=digit, unit=unit)
        number, _sign, half = text.partition(" ± ")
        return number, half

    delta, half = shown(change.change, change.u_change)
    return {
        "label": capfirst(_label(change, changes)),
        "before": shown(change.before, change.u_before)[0],
        "after": shown(change.after, change.u_after)[0],
        "change": delta if change.change <= 0 else f"+{delta}",
        "u": half,
        "direction": {
            "less": _("less"),
            "more": _("more"),
            "no clear change": _("no clear change"),
        }[change.direction],
    }


def _label(change: core.Change, changes: tuple[core.Change, ...]) -> str:
    """The row's name alone where all changes are of one column."""
    columns = {c.address.rsplit(".", 1)[-1] for c in changes if not c.address.startswith("given.")}
    if change.address.startswith("given.") or len(columns) > 1:
        return change.label
    return change.label.rsplit(", ", 1)[0]


def _overlaid(earlier: Recorded, later: Recorded, ground: str, after: Run) -> str:
    """Of two logs the later over the earlier one: what changed shows over time."""
    kinds = {found.assessment.chart.get("kind") for found in (earlier, later)}
    if kinds != {"trace"}:
        return ""
    return chart.draw(
        later.assessment.chart,
        earlier=earlier.assessment.chart,
        ground=ground,
        name=f"c{after.uid.hex[:8]}",
    )


def _chart(found: core.Comparison, later: Recorded, title: str, ground: str, after: Run) -> str:
    limits = {v.address: (v.low, v.high) for v in later.assessment.verdicts}
    quantity = found.changes[0].quantity
    told = "; ".join(
        _("%(label)s %(before)s before, %(after)s after")
        % {
            "label": change.label,
            "before": units.show_value(change.before, quantity),
            "after": units.show_value(change.after, quantity),
        }
        for change in found.changes
        if change.quantity == quantity
    )
    ordered = core.Comparison(_in_order(found.changes), found.apart)
    data = core.chart_of(ordered, limits, f"{title}: {told}.", quantity)
    ends = {row.label: row.end for rows in later.readings.grid_rows.values() for row in rows}
    for row in data.get("rows", []):
        # Along a route the name of the far end is enough, and fits.
        row["label"] = ends.get(row["label"]) or row["label"]
    return chart.draw(data, ground=ground, name=f"c{after.uid.hex[:8]}")
