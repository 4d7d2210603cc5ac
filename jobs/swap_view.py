"""A swap as page and report show it: out, in, why, which tests, before and after side by side."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _

from jobs import words
from jobs.compare import compare

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView, TicketView


def swap_view(view: TicketView, item: EntryView) -> dict[str, Any]:
    """Plain data of one swap; compared only where a test before and one after belong together."""
    data = item.data
    measured_again = bool(item.runs.get("after"))
    outcome = data.get("outcome") or ("" if measured_again else "not_checked")
    return {
        "no": item.entry.seq,
        "at": item.entry.at.isoformat(),
        "out": data.get("part_out") or _("part not named yet"),
        "in": data.get("part_in") or _("part not named yet"),
        "in_details": _in_details(data),
        "kept": data.get("old_part_kept", ""),
        "reason": words.customer("swap_reason", data["reason"]),
        "no_ground": data["reason"] == words.REASON_WITHOUT_GROUND,
        "agreed": data.get("agreed"),
        "outcome": words.customer("swap_outcome", outcome) if outcome else _("measured again"),
        "outcome_meaning": words.meaning("swap_outcome", outcome)
        if outcome
        else _("The readings before and after stand below."),
        "note": data.get("note", ""),
        "pointed": item.runs.get("pointed", []),
        "before": item.runs.get("before", []),
        "after": item.runs.get("after", []),
        "comparisons": _comparisons(view, data),
        "warranty": _warranty(data),
    }


def _in_details(data: dict[str, Any]) -> str:
    parts = [data.get("maker", ""), data.get("number", "")]
    if data.get("condition"):
        parts.append(words.customer("part_condition", data["condition"]))
    return ", ".join(part for part in parts if part)


def _warranty(data: dict[str, Any]) -> str:
    months, km = data.get("warranty_months"), data.get("warranty_km")
    if months and km:
        return _("%(months)s months or %(km)s km, whichever comes first") % {
            "months": months,
            "km": f"{km:,}".replace(",", "\u00a0"),
        }
    if months:
        return _("%(months)s months") % {"months": months}
    if km:
        return _("%(km)s km") % {"km": f"{km:,}".replace(",", "\u00a0")}
    return ""


def _comparisons(view: TicketView, data: dict[str, Any]) -> list[dict[str, Any]]:
    """Each test after the swap against the latest one before it of the same procedure."""
    runs = {i.link.run.digest: i for i in view.entries if i.link}
    roles = data.get("runs", {})
    earlier = [runs[d] for d in (*roles.get("before", []), *roles.get("pointed", [])) if d in runs]
    found = []
    for digest in roles.get("after", []):
        after = runs.get(digest)
        if after is None:
            continue
        same = [
            i
            for i in earlier
            if i.link.run.procedure == after.link.run.procedure
            and i.link.run.subject == after.link.run.subject
        ]
        if same:
            before = max(same, key=lambda i: i.entry.seq)
            found.append(
                asdict(compare(before.link.run, after.link.run, profile=view.profile))
                | {"before_no": before.entry.seq, "after_no": after.entry.seq}
            )
    return found
