"""Which tests can be made on a ticket, with what each costs, opens, needs before and spoils."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.actions import runs
from jobs.models import RunLink, Ticket
from jobs.run_view import run_view
from measurements.core.context import Context
from measurements.core.procedure import Procedure
from measurements.procedures import PROCEDURES
from shop.models import Person, Profile

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
    """The page's lists: begun, by group, not for this car with the reason, made already."""

    begun: list[dict[str, Any]]
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
    not_for = []
    for procedure in PROCEDURES.values():
        reason = procedure.not_for(context) if procedure.not_for else ""
        if reason:
            not_for.append({"title": procedure.title, "reason": reason})
            continue
        groups.setdefault(procedure.group, []).append(_offer(ticket, procedure, done))
    return Offers(
        begun=_begun(ticket, person),
        groups=[{"name": name, "offers": found} for name, found in groups.items()],
        not_for=not_for,
        made=[_made(ticket, link, profile) for link in links],
    )


def _offer(ticket: Ticket, procedure: Procedure, done: set[str]) -> Offer:
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
        warnings=order_warnings(procedure, done),
    )


def order_warnings(procedure: Procedure, done: set[str]) -> list[str]:
    """What should be done first: tests that this one needs, and undone ones that it would spoil."""
    needed = [PROCEDURES[n] for n in procedure.needs_before if n in PROCEDURES and n not in done]
    spoilt = [PROCEDURES[n] for n in procedure.spoils if n in PROCEDURES and n not in done]
    said = [
        _("Do %(title)s first, %(n)s min.") % {"title": other.title, "n": other.effort.minutes}
        for other in needed
    ]
    said += [
        _("Spoils %(title)s, not made yet: do that first, %(n)s min.")
        % {"title": other.title, "n": other.effort.minutes}
        for other in spoilt
    ]
    return said


def _begun(ticket: Ticket, person: Person) -> list[dict[str, Any]]:
    return [
        {
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
