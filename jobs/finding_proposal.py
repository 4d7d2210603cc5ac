"""From a test to a finding in three taps: its pattern proposes words, certainty and advice."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView


def proposal(item: EntryView) -> dict[str, Any]:
    """A finding to begin with. A technician reads it, changes it, and answers for it.

    One test never proposes `confirmed`: that takes seeing the fault directly, or the same test
    with and without the part. A sound pattern proposes `ruled_out` only for what was tested, and
    `not_tested` when the fault was absent just then, since such a test clears nothing.
    """
    run = item.run
    absent = item.link.fault_present == "no"
    if run.is_sound:
        certainty = "not_tested" if absent else "ruled_out"
    elif run.is_undecided:
        certainty = "suspected"
    else:
        certainty = "suspected" if run.confounders else "probable"
    return {
        "certainty": certainty,
        "sentence": run.customer_sentence,
        "for_technician": run.technician_sentence,
        "rests_on": [f"run-{item.link.run_id}"],
        "complaint": str(item.link.complaint_uid or ""),
        "advice": run.advice or "no_restriction",
        "advice_words": run.advice_words,
    }
