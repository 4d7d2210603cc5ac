"""The home page: cars in the shop by state, what each waits for, what must not be forgotten."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from django.db.models import Exists, OuterRef
from django.template.defaultfilters import truncatewords
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import words
from jobs.models import Alteration, Apart, Complaint, Report, Swap, Ticket, Wish
from shop.templatetags.look import due, when

ORDER = ("in_the_bay", "waiting", "on_trial", "ready", "booked")


@dataclass
class Group:
    """The tickets of one state, as calls for `_call.html`."""

    heading: str
    calls: list[dict[str, Any]] = field(default_factory=list)


def calls_of(tickets: list[Ticket]) -> list[dict[str, Any]]:
    """What a list says of each ticket: due, car, complaint, how it stands. Three queries in all."""
    reported: dict[int, str] = {}
    for model in (Wish, Complaint):
        rows = model.objects.current().filter(ticket__in=tickets).order_by("-entry__seq")
        for row in rows.only("ticket_id", "words", "entry"):
            reported[row.ticket_id] = row.words
    apart: dict[int, list[str]] = {}
    for item in Apart.objects.filter(ticket__in=tickets).still():
        apart.setdefault(item.ticket_id, []).append(item.what)
    return [_call(t, reported.get(t.pk, ""), apart.get(t.pk, [])) for t in tickets]


def _call(ticket: Ticket, reported: str, apart: list[str]) -> dict[str, Any]:
    standing = words.technician("ticket_state", ticket.state)
    if ticket.waits_for:
        standing = _("waits for: %(what)s") % {
            "what": words.technician("waits_for", ticket.waits_for)
        }
    more = _("since %(when)s") % {"when": when(ticket.state_since)}
    if apart:
        more = _("%(more)s. Apart: %(what)s") % {"more": more, "what": "; ".join(apart)}
    return {
        "url": ticket.get_absolute_url(),
        "due": due(ticket.promised_at),
        "no": ticket.shown_number,
        "name": ticket.car.title,
        "plate": ticket.car.plate,
        "what": truncatewords(reported, 14),
        "standing": str(standing),
        "more": more,
    }


def groups() -> list[Group]:
    """Open tickets by state, the soonest promised first."""
    tickets = list(
        Ticket.objects.in_the_shop()
        .select_related("car", "customer")
        .order_by("promised_at", "number")
    )
    by_number = {call["no"]: call for call in calls_of(tickets)}
    found = []
    for state in ORDER:
        calls = [by_number[t.shown_number] for t in tickets if t.state == state]
        # Those without a promised time come last: SQLite would put them first.
        calls.sort(key=lambda call: call["due"] == "")
        if calls:
            found.append(Group(str(words.technician("ticket_state", state)).capitalize(), calls))
    return found


def alterations_still_on() -> list[Alteration]:
    """Changes that are still on cars, longest first."""
    return list(
        Alteration.objects.still_on().select_related("car", "ticket", "entry").order_by("entry__at")
    )


def reports_not_handed_over() -> list[Report]:
    """Latest revisions whose car has not left yet."""
    later = Report.objects.filter(ticket=OuterRef("ticket"), revision__gt=OuterRef("revision"))
    return list(
        Report.objects.filter(~Exists(later), ticket__state__in=["ready", "in_the_bay", "waiting"])
        .select_related("ticket__car")
        .order_by("issued_at")
    )


def unfinished_swaps() -> list[Swap]:
    """Swaps that still want their desk half: what went in, or its price."""
    return [
        swap
        for swap in Swap.objects.current()
        .filter(ours=True, ticket__in=Ticket.objects.in_the_shop())
        .select_related("ticket__car", "entry")
        if not swap.part_in or swap.price_minor is None
    ]


def greeting(count: int) -> str:
    """One sentence under the date."""
    if not count:
        return _("No car in the shop.")
    return ngettext("%(n)s car in the shop.", "%(n)s cars in the shop.", count) % {"n": count}
