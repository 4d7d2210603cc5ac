"""Which tests can be made on a ticket, with what each costs, opens, needs before and spoils."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.actions import runs
from jobs.likely_tests import likely_for
from jobs.models import RunLink, Ticket
from jobs.run_view import run_view
from measurements.core.context import Context
from measurements.core.procedure import Procedure
from measurements.models import Run
from measurements.procedures import PROCEDURES
from shop.models import Person, Profile

COOLS_IN = timedelta(hours=6)
"""An engine that was hot is taken for cold again after this long (judgement)."""

WHOLE_CAR = "Whole car"
"""The group that is offered first."""

_WARM = ("hot", "driving")

_STATES = {
    "cold": gettext_lazy("engine cold"),
    "hot": gettext_lazy("engine hot"),
    "driving": gettext_lazy("on the road"),
}


@dataclass(frozen=True)
class Offer:
    """One test that can be made."""

    title: str
    url: str
    minutes: int
    purpose: str
    remarks: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Offers:
    """The page's lists: begun, usual for the complaint, by group, not for this car with the reason,
    made already."""

    begun: list[dict[str, Any]]
    likely: list[Offer]
    groups: list[dict[str, Any]]
    not_for: list[dict[str, str]]
    made: list[dict[str, Any]]


def offers(ticket: Ticket, person: Person) -> Offers:
    """What to choose from, for this car and this person."""
    profile = Profile.current()
    context = Context(car=runs.car_facts(ticket.car), units=profile.units)
    links = list(
        RunLink.objects.current()
        .filter(ticket=ticket)
        .select_related("run__by", "entry")
        .order_by("-entry__seq")
    )
    done = {link.run.procedure for link in links}
    groups: dict[str, list[Offer]] = {}
    by_name: dict[str, Offer] = {}
    begun = _begun(ticket, person)
    likely = cold_first([PROCEDURES[name] for name in _likely(ticket)])
    wanted = {*(one.name for one in likely), *(draft["kind"] for draft in begun)}
    was_hot_at = hot_at([link.run for link in links])
    not_for = []
    for procedure in cold_first(PROCEDURES.values()):
        reason = procedure.not_for(context) if procedure.not_for else ""
        if reason:
            not_for.append({"title": procedure.title, "reason": reason})
            continue
        by_name[procedure.name] = _offer(ticket, procedure, done, wanted, was_hot_at)
        groups.setdefault(procedure.group, []).append(by_name[procedure.name])
    return Offers(
        begun=begun,
        likely=[by_name[p.name] for p in likely if p.name in by_name and p.name not in done],
        groups=[{"name": name, "offers": groups[name]} for name in _in_order(groups)],
        not_for=not_for,
        made=[_made(ticket, link, profile) for link in links],
    )


def _likely(ticket: Ticket) -> tuple[str, ...]:
    """What usually comes first for this ticket's complaints."""
    complaints = ticket.complaints.current().order_by("entry__seq")
    return likely_for(complaint.family for complaint in complaints)


def cold_first(procedures: Iterable[Procedure]) -> list[Procedure]:
    """The same in the same order, but that what wants a cold engine stands before whatever wants
    it hot or is driven: the engine is cold once a day."""
    ordered: list[Procedure] = []
    for procedure in procedures:
        warm = (n for n, one in enumerate(ordered) if one.effort.state in _WARM)
        place = next(warm, len(ordered)) if procedure.effort.state == "cold" else len(ordered)
        ordered.insert(place, procedure)
    return ordered


def _in_order(groups: Iterable[str]) -> list[str]:
    """The groups as a car is gone round: whole car first, then by name of the first procedure."""
    return sorted(groups, key=lambda name: name != WHOLE_CAR)


def hot_at(runs: Iterable[Run]) -> datetime | None:
    """When a test last found the engine hot, if it can't have cooled down since."""
    since = timezone.now() - COOLS_IN
    hot = [run.measured_at for run in runs if run.state_of_car in _WARM]
    last = max(hot, default=None)
    return last if last and last > since else None


def _offer(
    ticket: Ticket,
    procedure: Procedure,
    done: set[str],
    wanted: set[str],
    was_hot_at: datetime | None = None,
) -> Offer:
    remarks = []
    if procedure.effort.state in _STATES:
        remarks.append(str(_STATES[procedure.effort.state]))
    if procedure.leaves_apart:
        remarks.append(_("opens: %(what)s") % {"what": ", ".join(procedure.leaves_apart)})
    return Offer(
        title=procedure.title,
        url=reverse("test-new", args=[ticket.number, procedure.name]),
        minutes=procedure.effort.minutes,
        purpose=procedure.purpose,
        remarks=remarks,
        warnings=[
            *order_warnings(procedure, done, wanted),
            *_too_warm(procedure, was_hot_at),
        ],
    )


def _too_warm(procedure: Procedure, hot_at: datetime | None) -> list[str]:
    if hot_at is None or procedure.effort.state != "cold":
        return []
    at = date_format(timezone.localtime(hot_at), "H:i")
    return [_("The engine was hot at %(at)s: this one wants it cold, after a night.") % {"at": at}]


def order_warnings(procedure: Procedure, done: set[str], wanted: set[str]) -> list[str]:
    """What should be done first: tests that this one needs, and undone ones that it would spoil.

    wanted: tests that are usual for the complaint or begun; what nobody wants can't be spoilt.
    Without any, all count.
    """
    undone = [name for name in PROCEDURES if name not in done]
    needed = [PROCEDURES[name] for name in undone if name in procedure.needs_before]
    spoilt = [
        PROCEDURES[name]
        for name in undone
        if name in procedure.spoils and (not wanted or name in wanted)
    ]
    said = []
    if needed:
        said.append(_("To be done before it: %(tests)s.") % {"tests": _with_minutes(needed)})
    if spoilt:
        said.append(
            _("It spoils what is not made yet; do that first: %(tests)s.")
            % {"tests": _with_minutes(spoilt)}
        )
    return said


def _with_minutes(procedures: list[Procedure]) -> str:
    return ", ".join(
        _("%(title)s (%(n)s min)") % {"title": one.title, "n": one.effort.minutes}
        for one in procedures
    )


def _begun(ticket: Ticket, person: Person) -> list[dict[str, Any]]:
    return [
        {
            "kind": draft.kind,
            "title": PROCEDURES[draft.kind].title,
            "url": reverse("test-new", args=[ticket.number, draft.kind]),
            "updated_at": draft.updated_at,
        }
        for draft in ticket.drafts.filter(person=person).order_by("-updated_at")
        if draft.kind in PROCEDURES
    ]


def _made(ticket: Ticket, link: RunLink, profile: Profile) -> dict[str, Any]:
    view = run_view(link.run, profile=profile)
    return {
        "no": link.entry.seq,
        "at": link.run.measured_at,
        "title": view.title,
        "subject": view.subject,
        "pattern": view.pattern,
        "url": reverse("test", args=[ticket.number, link.entry.seq]),
        "again": reverse("test-again", args=[ticket.number, link.entry.seq]),
        "is_known": link.run.procedure in PROCEDURES,
    }
