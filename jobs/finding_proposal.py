"""From a test, a swap or a possible cause to a finding in three taps: what it rests on proposes
words, certainty and advice. A technician reads it, changes it, and answers for it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from django.utils.text import capfirst

from jobs.certainty.of_ticket import About, Evidence, allowed_for, speaking_for, suspect_of
from jobs.certainty.rules import NOT_TESTED, RULED_OUT, SUSPECTED
from jobs.forms.evidence import ticked
from jobs.models import Swap

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView, TicketView


def proposal(item: EntryView) -> dict[str, Any]:
    """A finding to begin with, from one test: as sure as the rules allow, and no surer.

    A sound pattern proposes `ruled_out` only for what was tested, and `not_tested` where the fault
    was not known to be there, since such a test clears nothing.
    """
    view, run = item.page, item.run
    complaint = str(item.link.complaint_uid or "") or only_complaint(view)
    allowed = allowed_for(view, [item.link.run], About(complaint=complaint))
    if run.is_sound:
        certainty = RULED_OUT if allowed.permits(RULED_OUT) else NOT_TESTED
    else:
        certainty = SUSPECTED if run.is_undecided else allowed.highest
    return {
        "certainty": certainty,
        "sentence": run.customer_sentence,
        "for_technician": run.technician_sentence,
        "rests_on": [ticked(item.link.run)],
        "complaint": complaint,
        "advice": run.advice or "no_restriction",
        "advice_words": run.advice_words,
    }


def of_swap(item: EntryView) -> dict[str, Any]:
    """A finding to begin with, from a part changed: it rests on the tests around it as well."""
    view = item.page
    digests = [digest for runs in item.data.get("runs", {}).values() for digest in runs]
    tests = [test for test in view.tests if test.link.run.digest in digests]
    swap = Swap.objects.current().get(ticket=view.ticket, uid=item.data["uid"])
    complaint = next(
        (str(test.link.complaint_uid) for test in tests if test.link.complaint_uid),
        only_complaint(view),
    )
    return {
        "certainty": _surest(view, [*_runs(tests), swap], About(complaint=complaint)),
        "rests_on": [*_ticks(tests), ticked(swap)],
        "complaint": complaint,
        "advice": "no_restriction",
    }


def of_cause(view: TicketView, cause: str) -> dict[str, Any]:
    """A finding to begin with, from a possible cause: it rests on the tests that speak for it."""
    found = suspect_of(cause)
    if found is None:
        return {"cause": cause}
    _table, suspect = found
    complaint = complaint_of(view, cause)
    tests = speaking_for(view, cause)
    about = About(complaint=complaint, cause=cause)
    return {
        "cause": cause,
        "certainty": _surest(view, _runs(tests), about),
        "sentence": capfirst(suspect.customer),
        "rests_on": _ticks(tests),
        "complaint": complaint,
        "advice": "no_restriction",
    }


def only_complaint(view: TicketView) -> str:
    """The ticket's complaint where it has just one: its findings are about it without asking."""
    return view.complaints[0].data["uid"] if len(view.complaints) == 1 else ""


def complaint_of(view: TicketView, cause: str) -> str:
    """The complaint among whose possible causes one is; "" where there is none."""
    family = cause.partition(".")[0]
    same = (c.data["uid"] for c in view.complaints if c.data.get("family") == family)
    return next(same, "")


def _surest(view: TicketView, evidence: list[Evidence], about: About) -> str:
    return allowed_for(view, evidence, about).highest if evidence else SUSPECTED


def _runs(tests: Iterable[EntryView]) -> list[Any]:
    return [test.link.run for test in tests if test.link]


def _ticks(tests: Iterable[EntryView]) -> list[str]:
    return [ticked(run) for run in _runs(tests)]
