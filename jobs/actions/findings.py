"""Findings are made and revised; evidence decides how sure they may be."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from typing import Any

from jobs.models import Entry, Photo, Swap, Ticket
from jobs.record.append import EntryRefused, append
from measurements.models import Run
from shop.models import Person

WITHOUT_EVIDENCE = {"suspected", "not_tested"}


class NeedsEvidence(EntryRefused):
    """A finding surer than its evidence."""

    def __init__(self) -> None:
        super().__init__(
            "Without a test, a photo or a swap under it, a finding can only be suspected or not "
            "tested. Add what it rests on, or choose one of these two."
        )


class SaysNotHow(EntryRefused):
    """Driving "only as stated" must state it."""

    def __init__(self) -> None:
        super().__init__("Say how the car may be driven: how far, how fast, watching what.")


Evidence = Run | Photo | Swap


def add(
    *,
    ticket: Ticket,
    by: Person,
    certainty: str,
    sentence: str,
    advice: str,
    rests_on: Iterable[Evidence] = (),
    facts: dict[str, Any] | None = None,
    corrects: Entry | None = None,
    why: str = "",
    **how: Any,
) -> Entry:
    """Make a finding, or a later version of one (`corrects`, with the reason `why`)."""
    facts = facts or {}
    basis = [_name(item) for item in rests_on]
    if not basis and certainty not in WITHOUT_EVIDENCE:
        raise NeedsEvidence
    if advice == "only_as_stated" and not facts.get("advice_words", "").strip():
        raise SaysNotHow
    data = facts | {
        "uid": str(corrects.finding.uid) if corrects else str(uuid.uuid4()),
        "certainty": certainty,
        "sentence": sentence,
        "advice": advice,
        "rests_on": basis,
    }
    if why:
        data["why"] = why
    return append(ticket=ticket, kind="finding", data=data, by=by, replaces=corrects, **how)


def _name(item: Evidence) -> dict[str, Any]:
    if isinstance(item, Run):
        return {"run": item.digest}
    if isinstance(item, Photo):
        return {"photo": [str(item.entry.uid), item.letter]}
    return {"swap": str(item.uid)}


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
