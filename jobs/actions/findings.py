"""Findings are made and revised; evidence decides how sure they may be."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Iterable
from typing import Any

from jobs.certainty import explain
from jobs.certainty.of_ticket import About, Evidence, allowed_for, frame
from jobs.certainty.rules import ALWAYS, Allowed
from jobs.models import Entry, Photo, Swap, Ticket
from jobs.record.append import EntryRefused, already, append
from jobs.ticket_view import TicketView
from measurements.models import Run
from shop.models import Person, Profile


class NeedsEvidence(EntryRefused):
    """A finding surer than its evidence."""

    def __init__(self) -> None:
        super().__init__(
            "Without a test, a photo or a swap under it, a finding can only be suspected or not "
            "tested. Add what it rests on, or choose one of these two."
        )


class SurerThanAllowed(EntryRefused):
    """A finding surer than the rules of certainty allow, without a reason."""

    def __init__(self, allowed: Allowed, certainty: str) -> None:
        super().__init__(explain.refusal(allowed, certainty))


class ReasonNotNeeded(EntryRefused):
    """A reason for being surer than the rules allow, where they allow it."""

    def __init__(self) -> None:
        super().__init__(
            "This evidence allows it already, so no reason is printed. Take the reason out here; "
            "what is worth keeping of it can stand under “For technicians”."
        )


class SaysNotHow(EntryRefused):
    """Driving "only as stated" must state it."""

    def __init__(self) -> None:
        super().__init__("Say how the car may be driven: how far, how fast, watching what.")


def add(
    *,
    ticket: Ticket,
    by: Person,
    certainty: str,
    sentence: str,
    advice: str,
    rests_on: Iterable[Evidence] = (),
    fault_seen_in: Iterable[Photo] = (),
    facts: dict[str, Any] | None = None,
    corrects: Entry | None = None,
    why: str = "",
    view: TicketView | None = None,
    **how: Any,
) -> Entry:
    """Make a finding, or a later version of one (`corrects`, with the reason `why`).

    fault_seen_in: photos in which the fault itself is seen; the finding rests on them too. view:
    the ticket as the caller has read it already. A finding surer than its evidence allows wants
    `facts["overruled"]`, the reason why. Raises NeedsEvidence, SurerThanAllowed, SaysNotHow.
    """
    if earlier := already(how.get("client_key")):
        return earlier
    facts = facts or {}
    shown = {frame(photo) for photo in fault_seen_in}
    evidence = list(dict.fromkeys([*rests_on, *fault_seen_in]))
    check_certainty(
        view or TicketView(ticket, Profile.current()),
        certainty=certainty,
        evidence=evidence,
        about=about(facts, shown),
        overruled=facts.get("overruled", ""),
    )
    if advice == "only_as_stated" and not facts.get("advice_words", "").strip():
        raise SaysNotHow
    data = facts | {
        "uid": str(corrects.finding.uid) if corrects else str(uuid.uuid4()),
        "certainty": certainty,
        "sentence": sentence,
        "advice": advice,
        "rests_on": [_name(item, shown) for item in evidence],
    }
    if why:
        data["why"] = why
    return append(ticket=ticket, kind="finding", data=data, by=by, replaces=corrects, **how)


def about(facts: dict[str, Any], shows: Collection[tuple[str, str]] = ()) -> About:
    """What a finding is about, out of what was said of it."""
    return About(
        complaint=str(facts.get("complaint", "")),
        cause=facts.get("cause", ""),
        also_like=facts.get("also_like", ""),
        shows=shows,
    )


def check_certainty(
    view: TicketView,
    *,
    certainty: str,
    evidence: Collection[Evidence],
    about: About,
    overruled: str = "",
) -> None:
    """Refuse a finding that is surer than its evidence, unless a reason is given for it."""
    if certainty not in ALWAYS and not evidence:
        raise NeedsEvidence
    allowed = allowed_for(view, evidence, about)
    if overruled.strip() and allowed.permits(certainty):
        raise ReasonNotNeeded
    if not overruled.strip() and not allowed.permits(certainty):
        raise SurerThanAllowed(allowed, certainty)


def _name(item: Evidence, shown: Collection[tuple[str, str]]) -> dict[str, Any]:
    if isinstance(item, Run):
        return {"run": item.digest}
    if isinstance(item, Swap):
        return {"swap": str(item.uid)}
    named: dict[str, Any] = {"photo": list(frame(item))}
    return named | {"fault_seen": True} if frame(item) in shown else named


def add_open_work(
    *,
    ticket: Ticket,
    by: Person,
    what: str,
    status: str,
    risk: str = "",
    until: str = "",
    puts_back: str = "",
    corrects: Entry | None = None,
    why: str = "",
    **how: Any,
) -> Entry:
    """Note work that is still to do, or that the customer chose not to have done.

    puts_back: uid of the alteration that the work takes off the car; a report asks for it once.
    """
    data = {
        "uid": str(corrects.openwork.uid) if corrects else str(uuid.uuid4()),
        "what": what,
        "status": status,
        "risk": risk,
        "until": until,
    }
    if puts_back:
        data["puts_back"] = puts_back
    if why:
        data["why"] = why
    return append(ticket=ticket, kind="open_work", data=data, by=by, replaces=corrects, **how)
