"""What came of a swap, in words for page and paper. No odds and no chances: counts of drives."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import words
from jobs.proof.of_swap import Proof
from jobs.proof.outcome import NO_RECURRENCE_YET, Clock, Reason


def reason_words(reason: Reason) -> str:
    """Why it can't be told, in a sentence that names what is in the way."""
    text = words.technician("proof_reason", reason.code)
    return text % {"what": "; ".join(reason.about)} if "%(what)s" in text else text


def outcome_words(proof: Proof) -> str:
    """The outcome in the technician's words; of a fault that comes and goes with its drives, as in
    "no recurrence yet, 3 of 11"."""
    said = words.technician("swap_outcome", proof.code)
    clock = proof.by_tests.clock
    if proof.code == NO_RECURRENCE_YET and clock is not None:
        return _("%(outcome)s, %(drives)s") % {"outcome": said, "drives": _counted(clock)}
    return said


def _counted(clock: Clock) -> str:
    if clock.needed is None:
        return ngettext("%(n)s drive", "%(n)s drives", clock.clean) % {"n": clock.clean}
    return _("%(clean)s of %(needed)s") % {"clean": clock.clean, "needed": clock.needed}


def clock_words(clock: Clock | None) -> str:
    """How many drives there were without it, and how many it takes; "" where none are counted."""
    if clock is None or clock.came_back:
        return ""
    made = (
        ngettext("One drive without it so far.", "%(n)s drives without it so far.", clock.clean)
        if clock.clean
        else _("No drive since is written down.")
    ) % {"n": clock.clean}
    if clock.needed is None:
        more = _("It came only once, so nobody can say how many are enough.")
    elif clock.enough:
        more = _("For how often it came, %(n)s in a row are enough to rule out mere luck.") % {
            "n": clock.needed
        }
    else:
        more = _("For how often it came, it takes %(n)s in a row before that means much.") % {
            "n": clock.needed
        }
    return f"{made} {more}"


def why_words(proof: Proof) -> list[str]:
    """All that stands with an outcome by the tests: what is in the way, the drives."""
    said = [reason_words(reason) for reason in proof.by_tests.reasons]
    return [text for text in (*said, clock_words(proof.by_tests.clock)) if text]
