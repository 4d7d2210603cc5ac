"""A family's starting odds as their page shows them: plain data, every word decided here."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import words
from jobs.models import Entry, StartingOdds
from jobs.outcomes import Outcomes, outcomes_of
from jobs.own_odds import Weight, gone_from, judged, standing_of, weights_of
from jobs.reasoning import odds_words
from jobs.suspects.counted import IMAGINED, with_counts
from jobs.suspects.knowledge import FOLDER, tables
from jobs.suspects.tables import Table


@dataclass(frozen=True)
class Share:
    """A share of all cars with the complaint: length of its bar out of 100, and in words."""

    bar: int
    words: str


@dataclass(frozen=True)
class Row:
    """A suspect with the table's weight and the shop's own (None: the table's counts)."""

    code: str
    label: str
    why: str
    table: int
    own: int | None
    counted: bool
    share: Share


@dataclass(frozen=True)
class Change:
    """One entry of the history."""

    at: datetime
    by: str
    why: str
    counted: bool
    changes: list[str]


@dataclass(frozen=True)
class Moved:
    """A suspect whose weight counted tickets would change."""

    label: str
    cases: int
    before: int
    after: int
    share_before: Share
    share_after: Share


@dataclass(frozen=True)
class Offer:
    """What counted tickets would make of the weights. moved: those that would change; shown: what
    these numbers are known by when they are accepted."""

    starts: Mapping[str, int]
    moved: Sequence[Moved]
    why: str
    shown: str


@dataclass(frozen=True)
class OddsPage:
    """Everything on a family's page."""

    family: str
    title: str
    about: str
    rows: Sequence[Row]
    history: Sequence[Change]
    gone: Sequence[str]
    outcomes: Outcomes
    turned_out: Sequence[str] = ()
    offer: Offer | None = None
    imagined: int = IMAGINED

    @property
    def has_own(self) -> bool:
        """Whether any weight is the shop's own."""
        return any(row.own is not None for row in self.rows)


@dataclass(frozen=True)
class Listed:
    """A family in the list of all."""

    title: str
    url: str
    suspects: int
    own: int = field(default=0)


def listed() -> list[Listed]:
    """The families that have a table, in the order in which they are offered."""
    standing = StartingOdds.objects.standing()
    found = tables()
    return [
        Listed(
            title=capfirst(words.technician("family", family)),
            url=reverse("odds-of-family", args=[family]),
            suspects=len(found[family].suspects),
            own=sum(code in found[family] for code in standing.get(family, {})),
        )
        for family in words.FAMILY.codes
        if family in found
    ]


def page_of(table: Table) -> OddsPage:
    """The page of one family's table."""
    standing = standing_of(table.family)
    weights = weights_of(table, standing)
    outcomes = outcomes_of(table)
    return OddsPage(
        family=table.family,
        title=capfirst(words.technician("family", table.family)),
        about=comment_of(table.family),
        rows=[_row(one) for one in weights],
        history=_history(table),
        gone=gone_from(table, standing),
        outcomes=outcomes,
        turned_out=_turned_out(table, outcomes),
        offer=_offer(table, weights, outcomes),
    )


def share_of(share: float) -> Share:
    """A share of 1 as it is shown.

    >>> share_of(0.204)
    Share(bar=20, words='2 in 10')
    """
    return Share(max(1, round(100 * share)), odds_words.in_number(share))


def comment_of(family: str) -> str:
    """What the comment at the head of the table's file says of it."""
    said = []
    for line in (FOLDER / f"{family}.toml").read_text("utf-8").splitlines():
        if not line.startswith("#"):
            break
        said.append(line.lstrip("# ").strip())
    return " ".join(said)


def _row(one: Weight) -> Row:
    own = one.own
    return Row(
        code=one.suspect.code,
        label=capfirst(one.suspect.label),
        why=one.suspect.why,
        table=one.suspect.start,
        own=own.start if own else None,
        counted=own.counted if own else one.suspect.counted,
        share=share_of(one.share),
    )


def _history(table: Table) -> list[Change]:
    entries = (
        Entry.objects.filter(kind="starting_odds", starting_odds__family=table.family)
        .distinct()
        .select_related("by", "payload")
        .order_by("-seq")
    )
    return [_change(table, entry.data, entry) for entry in entries]


def _change(table: Table, data: Mapping[str, Any], entry: Entry) -> Change:
    return Change(
        at=entry.at,
        by=entry.by.name,
        why=data.get("why", ""),
        counted=data.get("counted", False),
        changes=[_in_words(table, data, code) for code in data.get("starts", {})],
    )


def _in_words(table: Table, data: Mapping[str, Any], code: str) -> str:
    """A weight before and after, in the words of then; the table's where the entry has none."""
    label = table.suspect(code).label if code in table else code
    before, start = data.get("before", {}).get(code), data["starts"][code]
    told = {
        "label": capfirst(data.get("labels", {}).get(code, label)),
        "before": _("not known") if before is None else before,
        "after": data.get("after", {}).get(code, start),
    }
    if start is None:
        if told["after"] is None:
            return _("%(label)s: %(before)s → the table’s") % told
        return _("%(label)s: %(before)s → %(after)s, the table’s") % told
    return _("%(label)s: %(before)s → %(after)s") % told


def _turned_out(table: Table, outcomes: Outcomes) -> list[str]:
    """One sentence for each cause that was confirmed, the most frequent first."""
    ranked = sorted(outcomes.counts.items(), key=lambda item: (-item[1], item[0]))
    return [
        ngettext(
            "%(n)s of your last %(m)s ticket turned out to be: %(label)s",
            "%(n)s of your last %(m)s tickets turned out to be: %(label)s",
            outcomes.tickets,
        )
        % {"n": n, "m": outcomes.tickets, "label": table.suspect(code).label}
        for code, n in ranked
    ]


def _offer(table: Table, weights: Sequence[Weight], outcomes: Outcomes) -> Offer | None:
    """The weights as counting would make them; None where too few were counted, or they stand."""
    if not outcomes.enough:
        return None
    starts = with_counts(judged(table), outcomes.counts)
    total = sum(starts.values())
    moved = [
        Moved(
            label=capfirst(one.suspect.label),
            cases=outcomes.counts.get(one.suspect.code, 0),
            before=one.start,
            after=starts[one.suspect.code],
            share_before=share_of(one.share),
            share_after=share_of(starts[one.suspect.code] / total),
        )
        for one in weights
        if one.start != starts[one.suspect.code]
    ]
    if not moved:
        return None
    why = "; ".join(_turned_out(table, outcomes))
    return Offer(starts, moved, _("Counted: %(what)s.") % {"what": why}, _known_by(starts))


def _known_by(starts: Mapping[str, int]) -> str:
    text = " ".join(f"{code}={start}" for code, start in sorted(starts.items()))
    return hashlib.sha256(text.encode()).hexdigest()[:16]
