"""Have we seen this before? The shop's own past tickets most like a complaint, with what the cause
turned out to be and how that was shown. A fixed number of queries, whatever the shop's age."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import Prefetch, Q, QuerySet
from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs import words
from jobs.models import Complaint, Entry, Finding, FindingBasis, RunLink, Swap, Ticket
from jobs.similar import (
    SAME_ENGINE,
    SAME_MAKE,
    SAME_MODEL,
    Case,
    Likeness,
    Rarity,
    compare,
    words_of,
)
from jobs.suspects.knowledge import tables
from jobs.suspects.odds import UNDECIDED
from measurements.procedures import PROCEDURES
from shop.engine import kind_of
from shop.text import search_key

MOST_COMPARED = 600
"""So many of the newest past complaints of the same kind or model are compared."""

MOST_SHOWN, MOST_OF_THE_CAR, FIRST = 10, 10, 3

_NO_FAMILY = {"", "other"}
_SILENT = {words.NOT_ASKED, words.DONT_KNOW}
_CAUSES = ("confirmed", "probable", "suspected")
"""Certainties of a finding that says what it was, the surest first."""


@dataclass(frozen=True)
class Cause:
    """What it turned out to be. sentence: of the finding, or that there was none; what: the suspect
    that it names; certainty: a code, "" without a finding; rests_on: how it was shown, in words."""

    sentence: str
    what: str = ""
    certainty: str = ""
    rests_on: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Past:
    """A past ticket as a page shows it: plain data, no customer's name. alike: enough to be shown
    among the first; swaps: parts that were changed, and what came of it."""

    number: str
    url: str
    car: str
    at: datetime
    said: str
    why: str
    alike: bool
    causes: list[Cause]
    swaps: list[str]


@dataclass(frozen=True)
class SeenBefore:
    """own: earlier visits of the same car, newest first; others: the most alike first, the newest
    among equals; compared: with how many past complaints; url: of the whole page."""

    own: Sequence[Past]
    others: Sequence[Past]
    compared: int
    url: str

    @property
    def first(self) -> Sequence[Past]:
        """The few for another page, all alike: the car's own before others."""
        return [*(one for one in self.own if one.alike), *self.others][:FIRST]

    @property
    def more(self) -> int:
        """How many the whole page shows besides."""
        return len(self.own) + len(self.others) - len(self.first)


class _Line(NamedTuple):
    """What is read of each past complaint that is compared: no more, since they are many."""

    entry: int
    uid: UUID
    ticket: int
    opened_at: datetime
    words_key: str
    family: str
    conditions: dict[str, list[str]]
    car: int
    make: str
    model: str
    fuel: str
    engine: dict[str, Any]


_COLUMNS = (
    "entry",
    "uid",
    "ticket",
    "ticket__opened_at",
    "words_key",
    "family",
    "conditions",
    "ticket__car",
    "ticket__car__make",
    "ticket__car__model",
    "ticket__car__fuel",
    "ticket__car__engine",
)


@dataclass(frozen=True)
class _Found:
    """A past complaint that was compared."""

    line: _Line
    likeness: Likeness


def seen_before(complaint: Complaint, ticket: Ticket) -> SeenBefore:
    """The past tickets that are like a complaint of this ticket. Its car must be at hand."""
    pool = [_Line(*row) for row in _candidates(complaint, ticket)]
    seen = _seen_by_ticket({ticket.pk, *(line.ticket for line in pool)})
    asked = _case(_line_of(complaint, ticket), seen)
    cases = [_case(line, seen) for line in pool]
    rarity = Rarity([asked, *cases])
    found = [
        _Found(line, compare(asked, case, rarity)) for line, case in zip(pool, cases, strict=True)
    ]
    own = [one for one in found if one.line.car == ticket.car_id]
    others = [one for one in found if one.line.car != ticket.car_id and one.likeness.enough]
    own = sorted(_best(own), key=_newest)[:MOST_OF_THE_CAR]
    others = sorted(_best(others), key=lambda one: (-round(one.likeness.score, 6), *_newest(one)))
    others = others[:MOST_SHOWN]
    shown = _Shown([one.line for one in (*own, *others)])
    return SeenBefore(
        own=[shown.past(one, own_car=True) for one in own],
        others=[shown.past(one) for one in others],
        compared=len(pool),
        url=reverse("ticket-complaint-before", args=[ticket.number, complaint.entry.seq]),
    )


def _newest(one: _Found) -> tuple[float, int]:
    return -one.line.opened_at.timestamp(), -one.line.ticket


def _best(found: Iterable[_Found]) -> list[_Found]:
    """Each ticket once, by the complaint that is most alike."""
    best: dict[int, _Found] = {}
    for one in found:
        known = best.get(one.line.ticket)
        if known is None or one.likeness.score > known.likeness.score:
            best[one.line.ticket] = one
    return list(best.values())


def _candidates(complaint: Complaint, ticket: Ticket) -> QuerySet:
    """Complaints of other visits that are over: of the same car, kind or model, newest first."""
    car = ticket.car
    near = Q(ticket__car=car)
    if complaint.family not in _NO_FAMILY:
        near |= Q(family=complaint.family)
    if car.make and car.model:
        key = search_key(f"{car.make} {car.model}")
        near |= Q(ticket__car__description_key__startswith=key)
    return (
        Complaint.objects.current()
        .filter(near, ticket__state="handed_back")
        .exclude(ticket=ticket)
        .order_by("-ticket__opened_at", "-ticket", "entry")
        .values_list(*_COLUMNS)[:MOST_COMPARED]
    )


def _line_of(complaint: Complaint, ticket: Ticket) -> _Line:
    """The complaint that is asked about, as the past ones are read."""
    car = ticket.car
    return _Line(
        entry=complaint.pk,
        uid=complaint.uid,
        ticket=ticket.pk,
        opened_at=ticket.opened_at,
        words_key=complaint.words_key,
        family=complaint.family,
        conditions=complaint.conditions,
        car=car.pk,
        make=car.make,
        model=car.model,
        fuel=car.fuel,
        engine=car.engine,
    )


def _seen_by_ticket(tickets: Collection[int]) -> dict[int, list[tuple[Any, str, str]]]:
    """Ticket -> (complaint's uid or None, procedure, pattern) of its tests that saw something."""
    rows = (
        RunLink.objects.current()
        .filter(ticket__in=tickets)
        .values_list("ticket", "complaint_uid", "run__procedure", "run__summary__pattern")
    )
    found: dict[int, list[tuple[Any, str, str]]] = {}
    for ticket, uid, name, code in rows:
        procedure = PROCEDURES.get(name)
        if procedure is None or code is None:
            continue
        pattern = procedure.pattern(code)
        if not pattern.sound and pattern.code != UNDECIDED:
            found.setdefault(ticket, []).append((uid, name, pattern.code))
    return found


_key = lru_cache(maxsize=4_096)(search_key)
"""Makes and models come again and again."""


def _case(line: _Line, seen: Mapping[int, Sequence[tuple[Any, str, str]]]) -> Case:
    """A complaint with what its ticket's tests saw, but for those made for another complaint."""
    return Case(
        family="" if line.family in _NO_FAMILY else line.family,
        seen=frozenset(
            (name, code)
            for uid, name, code in seen.get(line.ticket, ())
            if uid is None or uid == line.uid
        ),
        make=_key(line.make),
        model=_key(line.model),
        engine=kind_of(line.engine, line.fuel),
        words=words_of(line.words_key),
        conditions=frozenset(
            (name, code)
            for name, codes in line.conditions.items()
            for code in codes
            if code not in _SILENT
        ),
    )


# --- in words -----------------------------------------------------------------------------------


def _reasons(likeness: Likeness, *, own_car: bool) -> list[str]:
    """Why a past ticket is alike, in words, what tells most first."""
    said = [_SAME[likeness.car]()] if likeness.car and not own_car else []
    if likeness.family:
        kind = words.technician("family", likeness.family)
        said.append(_("also %(kind)s") % {"kind": kind})
    said += [_("there too “%(seen)s”") % {"seen": _seen_words(*seen)} for seen in likeness.seen]
    when = [
        words.CONDITIONS[name].answers.customer(code)
        for name, code in likeness.conditions
        if name in words.CONDITIONS and code in words.CONDITIONS[name].answers
    ]
    if when:
        said.append(_("as here: %(when)s") % {"when": ", ".join(when)})
    if likeness.words:
        shared = ", ".join(f"“{word}”" for word in likeness.words)
        said.append(_("told with the same words: %(words)s") % {"words": shared})
    return said


_SAME = {
    SAME_ENGINE: lambda: _("same model and engine"),
    SAME_MODEL: lambda: _("same model"),
    SAME_MAKE: lambda: _("same make"),
}


class _Shown:
    """The tickets that are shown, with what they turned out to be; five queries for all of them."""

    def __init__(self, lines: Sequence[_Line]) -> None:
        tickets = {line.ticket for line in lines}
        entries = [line.entry for line in lines]
        self._complaints = Complaint.objects.select_related("ticket__car").in_bulk(entries)
        swaps = Swap.objects.current().filter(ticket__in=tickets, ours=True).order_by("entry__seq")
        self._swap_words = {swap.uid: _swap_words(swap) for swap in swaps}
        self._swaps: dict[int, list[str]] = {}
        for swap in swaps:
            self._swaps.setdefault(swap.ticket_id, []).append(self._swap_words[swap.uid])
        findings = Finding.objects.current().filter(ticket__in=tickets, certainty__in=_CAUSES)
        bases = FindingBasis.objects.select_related("run__summary").order_by("position")
        self._findings: dict[int, list[Finding]] = {}
        for one in findings.order_by("entry__seq").prefetch_related(Prefetch("bases", bases)):
            self._findings.setdefault(one.ticket_id, []).append(one)
        ended = Entry.objects.current().filter(ticket__in=tickets, kind="not_appeared")
        self._not_appeared = set(ended.values_list("ticket", flat=True))

    def past(self, one: _Found, *, own_car: bool = False) -> Past:
        """One of them in words."""
        complaint = self._complaints[one.line.entry]
        ticket = complaint.ticket
        return Past(
            number=ticket.shown_number,
            url=ticket.get_absolute_url(),
            car=ticket.car.title,
            at=ticket.opened_at,
            said=complaint.words,
            why="; ".join(_reasons(one.likeness, own_car=own_car)),
            alike=one.likeness.enough,
            causes=self._causes(complaint),
            swaps=self._swaps.get(ticket.pk, []),
        )

    def _causes(self, complaint: Complaint) -> list[Cause]:
        """The surest findings on this complaint; or that there was none."""
        findings = [
            one
            for one in self._findings.get(complaint.ticket_id, [])
            if one.complaint_uid in (None, complaint.uid)
        ]
        if not findings and complaint.ticket_id in self._not_appeared:
            return [Cause(sentence=_("The fault did not appear while the car was here."))]
        if not findings:
            return [Cause(sentence=_("What it was is not written down."))]
        surest = min((one.certainty for one in findings), key=_CAUSES.index)
        return [self._cause(one) for one in findings if one.certainty == surest]

    def _cause(self, finding: Finding) -> Cause:
        family, _dot, code = finding.cause.partition(".")
        table = tables().get(family)
        return Cause(
            sentence=finding.sentence,
            what=capfirst(table.suspect(code).label) if table and code in table else "",
            certainty=finding.certainty,
            rests_on=list(filter(None, map(self._basis_words, finding.bases.all()))),
        )

    def _basis_words(self, basis: FindingBasis) -> str:
        if basis.swap_uid is not None:
            return self._swap_words.get(basis.swap_uid, "")
        if basis.run is None:
            return _("seen on a photo")
        summary = getattr(basis.run, "summary", None)
        return _seen_words(basis.run.procedure, summary.pattern if summary else "")


def _swap_words(swap: Swap) -> str:
    """A part that was changed, and what came of it, where that was written down: what its tests
    show is worked out on its own ticket."""
    part = {"part": capfirst(swap.part_in or swap.part_out or _("part"))}
    if swap.outcome not in words.SWAP_OUTCOME:
        return _("%(part)s changed") % part
    outcome = words.technician("swap_outcome", swap.outcome)
    return _("%(part)s changed: %(outcome)s") % (part | {"outcome": outcome})


def _seen_words(name: str, code: str) -> str:
    """A test and what it saw; "" for one that is no longer known."""
    procedure = PROCEDURES.get(name)
    if procedure is None:
        return ""
    seen = {"test": procedure.title, "pattern": procedure.pattern(code).label}
    return _("%(test)s: %(pattern)s") % seen
