"""Evidence that was corrected or taken back after a finding was made on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _

from jobs import words
from jobs.certainty.of_ticket import About, Evidence, allowed_for, frame
from jobs.models import Swap

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView, TicketView


@dataclass(frozen=True)
class Basis:
    """One thing that a finding rests on. made: the entry as it was then; now: the one that stands
    for it today, None where it was taken back; evidence: what that holds."""

    made: EntryView
    now: EntryView | None
    evidence: Evidence | None = None


def bases(view: TicketView, finding: EntryView) -> list[Basis]:
    """What a finding rests on, as it stands now."""
    named = (_basis(view, told) for told in finding.data.get("rests_on", []))
    return [basis for basis in named if basis is not None]


def about(finding: EntryView) -> About:
    """What a finding says of itself, as the rules ask it."""
    data = finding.data
    return About(
        complaint=data.get("complaint", ""),
        cause=data.get("cause", ""),
        also_like=data.get("also_like", ""),
        shows={
            tuple(told["photo"])
            for told in data.get("rests_on", [])
            if told.get("fault_seen") and "photo" in told
        },
    )


def no_longer_stands(view: TicketView, finding: EntryView) -> list[str]:
    """What of a finding's evidence was corrected or taken back since, and whether what is left
    still carries it."""
    found = bases(view, finding)
    said = [text for basis in found if (text := _of(basis))]
    later = any(basis.now and basis.now.entry.seq > finding.entry.seq for basis in found)
    if not (said or later) or finding.data.get("overruled"):
        return said
    left = [basis.evidence for basis in found if basis.evidence is not None]
    certainty = finding.data["certainty"]
    if not allowed_for(view, left, about(finding)).permits(certainty):
        said.append(
            _("What it rests on no longer allows “%(word)s”: look again, and change the finding.")
            % {"word": words.technician("certainty", certainty)}
        )
    return said


def _of(basis: Basis) -> str:
    if basis.now is None:
        return _("Entry %(no)s, on which it rests, was taken back by entry %(by)s.") % {
            "no": basis.made.entry.seq,
            "by": basis.made.replaced_by.seq if basis.made.replaced_by else "",
        }
    if basis.made.entry.kind == "test" and basis.now is not basis.made:
        return _("Entry %(no)s, on which it rests, was corrected by entry %(by)s.") % {
            "no": basis.made.entry.seq,
            "by": basis.now.entry.seq,
        }
    return ""


def _basis(view: TicketView, told: dict[str, Any]) -> Basis | None:
    if "run" in told:
        made = next((v for v in view.entries if v.link and v.link.run.digest == told["run"]), None)
        now = _latest(view, made)
        return made and Basis(made, now, now.link.run if now and now.link else None)
    if "photo" in told:
        key = tuple(told["photo"])
        for entry in view.entries:
            for photo in entry.photos:
                if frame(photo) == key:
                    now = None if entry.is_gone else entry
                    return Basis(entry, now, photo if now else None)
        return None
    versions = [v for v in view.entries if v.entry.kind == "swap" and _uid(v) == told["swap"]]
    made = versions[-1] if versions else None
    now = None if made is None or made.is_gone else made
    return made and Basis(made, now, _swap(view, told["swap"]) if now else None)


def _uid(view: EntryView) -> str:
    return str(view.data.get("uid", ""))


def _swap(view: TicketView, uid: str) -> Swap | None:
    return Swap.objects.current().filter(ticket=view.ticket, uid=uid).first()


def _latest(view: TicketView, made: EntryView | None) -> EntryView | None:
    """The test itself, or its latest correction; None where it was taken back."""
    by_seq = {entry.entry.seq: entry for entry in view.entries}
    while made is not None and made.replaced_by is not None:
        later = by_seq[made.replaced_by.seq]
        made = later if later.entry.kind == "test" else None
    return made
