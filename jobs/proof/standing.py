"""The standing of a swap: whether a test pointed to the part, and whether the change cured. Only of
this shop's own swaps; of what others fitted nothing is said but what the customer reports."""

from __future__ import annotations

from jobs.proof.outcome import CANNOT_TELL, NO_RECURRENCE_YET, NOT_CHECKED, NOT_CURED, NOT_PRESENT

NEEDS_A_TEST = frozenset({"tried_as_test", "none_of_these"})
"""Reasons that say nothing for the part: a test would have had to point to it."""

CLAIMS_A_TEST = "pointed_to"

POINTED_CURED, POINTED_NOT_CURED = "pointed_cured", "pointed_not_cured"
NOT_SETTLED, NEVER_CHECKED, NOT_POINTED = "not_settled", "not_checked", "not_pointed"


def standing(*, reason: str, pointed: bool, outcome: str) -> str:
    """Its code. "" where no test was needed, or which one pointed to it is not said yet.

    >>> standing(reason="pointed_to", pointed=True, outcome="not_present")
    'pointed_cured'
    >>> standing(reason="due", pointed=False, outcome="not_checked")
    ''
    """
    if not pointed:
        return NOT_POINTED if reason in NEEDS_A_TEST else ""
    if outcome == NOT_PRESENT:
        return POINTED_CURED
    if outcome in NOT_CURED:
        return POINTED_NOT_CURED
    if outcome in (NO_RECURRENCE_YET, CANNOT_TELL):
        return NOT_SETTLED
    return NEVER_CHECKED if outcome == NOT_CHECKED else ""


def changed_nothing(*, reason: str, pointed: bool, outcome: str) -> str:
    """Why a part counts as money that changed no reading: "no_change" where the repeat showed it,
    "never_shown" where no test pointed to it and none showed what it did; "" where it doesn't.

    A part that was due, worn or asked for needed no test, and never counts.
    """
    if reason != CLAIMS_A_TEST and reason not in NEEDS_A_TEST:
        return ""
    if outcome in ("no_change", "worse"):
        return "no_change"
    helped = outcome in (NOT_PRESENT, "changed_not_cured", NO_RECURRENCE_YET)
    return "" if pointed or helped or reason == CLAIMS_A_TEST else "never_shown"
