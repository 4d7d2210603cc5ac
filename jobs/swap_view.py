"""A swap as page and report show it: out, in, why, what came of it, before and after."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _

from jobs import words
from jobs.compare import shown
from jobs.proof.of_swap import Proof
from jobs.proof.outcome import NOT_CHECKED
from jobs.proof.standing import CLAIMS_A_TEST, NEEDS_A_TEST
from jobs.proof.wording import outcome_words, why_words

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView


def swap_view(item: EntryView, proof: Proof) -> dict[str, Any]:
    """Plain data of one swap of this shop; compared only where a test before and one after belong
    together."""
    data = item.data
    return {
        "no": item.entry.seq,
        "at": item.entry.at.isoformat(),
        "out": data.get("part_out") or _("part not named yet"),
        "in": data.get("part_in") or _("part not named yet"),
        "in_details": _in_details(data),
        "kept": data.get("old_part_kept", ""),
        "reason": words.customer("swap_reason", data["reason"]),
        "no_ground": data["reason"] == words.REASON_WITHOUT_GROUND,
        "without_test": data["reason"] in NEEDS_A_TEST and bool(data.get("without_test")),
        "agreed": data.get("agreed"),
        **_outcome(proof),
        **_standing(proof),
        "why": why_words(proof),
        "told_why": proof.told_why if proof.overruled else "",
        "note": data.get("note", ""),
        "pointed": item.runs.get("pointed", []),
        "before": item.runs.get("before", []),
        "after": item.runs.get("after", []),
        "comparisons": _comparisons(proof),
        "comes_and_goes": proof.comes_and_goes,
        "warranty": _warranty(data),
    }


def _outcome(proof: Proof) -> dict[str, str]:
    """What came of it; empty where nobody had to measure and nobody did."""
    if proof.code == NOT_CHECKED and not _was_to_be_measured(proof):
        return dict.fromkeys(("outcome", "outcome_meaning", "outcome_word", "by_tests", "told"), "")
    return {
        "outcome": words.customer("swap_outcome", proof.code),
        "outcome_meaning": words.meaning("swap_outcome", proof.code),
        "outcome_word": outcome_words(proof),
        # Somebody's word that is not what the tests show stands beside what they show.
        "by_tests": words.customer("swap_outcome", proof.by_tests.code) if proof.differs else "",
        "told": words.customer("swap_outcome", proof.told) if proof.differs else "",
    }


def _was_to_be_measured(proof: Proof) -> bool:
    return proof.pointed or proof.reason in NEEDS_A_TEST or proof.reason == CLAIMS_A_TEST


def _standing(proof: Proof) -> dict[str, str]:
    if not proof.standing:
        return {"standing": "", "standing_word": ""}
    return {
        "standing": words.customer("standing", proof.standing),
        "standing_word": words.technician("standing", proof.standing),
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


def _comparisons(proof: Proof) -> list[dict[str, Any]]:
    """Each test after the swap against the latest one before it of the same procedure."""
    return [
        asdict(shown(pair.matched))
        | {
            "before_no": pair.before.entry.seq,
            "after_no": pair.after.entry.seq,
            "outcome": words.technician("swap_outcome", pair.outcome.code),
            "counts": pair.counts,
            # Why it is not compared stands with the outcome already.
            "said": pair.counts and any(r.code == "conditions" for r in pair.outcome.reasons),
        }
        for pair in proof.pairs
        if pair.matched is not None and pair.before is not None
    ]
