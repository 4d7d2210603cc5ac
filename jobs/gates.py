"""The shop's usual start with a complaint: five things before anything is ranked or taken apart.

Seen by us? What changed lately? A look round. Stored codes. Known for this model? Each costs a
minute or less, and any of them may save the rest (common practice). "Not done" until done.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs import words
from jobs.forms.lately import ASKED
from jobs.ticket_view import EntryView, TicketView
from measurements.procedures import PROCEDURES


@dataclass(frozen=True)
class Gate:
    """One line of the list: what it asks, where it is done, and what came out ("" until then)."""

    title: str
    url: str
    minutes: int
    answer: str = ""
    entry: int | None = None

    @property
    def done(self) -> bool:
        """It was answered; "don't know" is an answer."""
        return bool(self.answer)


@dataclass(frozen=True)
class Gates:
    """The five, for a ticket with a complaint."""

    each: Sequence[Gate]

    @property
    def left(self) -> int:
        """How many are not done."""
        return sum(not gate.done for gate in self.each)


def gates_of(view: TicketView) -> Gates | None:
    """The list of a ticket that is open and has a complaint; else None."""
    if not view.ticket.is_open or not view.complaints:
        return None
    return Gates(
        (
            _test(view, "make_it_happen", _("Seen by us?")),
            _changed(view),
            _test(view, "look_over", _("Look over")),
            _test(view, "trouble_codes", _("Stored codes and freeze frame")),
            _known(view),
        )
    )


def _test(view: TicketView, name: str, title: str) -> Gate:
    procedure = PROCEDURES[name]
    made = [item for item in view.tests if item.link and item.link.run.procedure == name]
    url = reverse("test-new", args=[view.ticket.number, name])
    minutes = procedure.effort.minutes
    if not made:
        return Gate(title, url, minutes)
    last = made[-1]
    pattern = last.run.pattern if last.run else ""
    return Gate(title, last.url, minutes, pattern, last.entry.seq)


def _changed(view: TicketView) -> Gate:
    """Since when, and after what: asked of the first complaint that has not said."""
    said = [_answers(item) for item in view.complaints]
    unsaid = next((c for c in view.complaints if not _answers(c)), None)
    asked = unsaid or view.complaints[-1]
    url = reverse("ticket-complaint-lately", args=[view.ticket.number, asked.entry.seq])
    title = _("What changed lately?")
    return Gate(title, url, 1, "" if unsaid else capfirst("; ".join(said)), asked.entry.seq)


def _answers(item: EntryView) -> str:
    """What a complaint says of the time before it; "" where neither was asked."""
    told = item.data.get("conditions", {})
    return ", ".join(
        str(words.CONDITIONS[name].answers.technician(code))
        for name in ASKED
        for code in told.get(name, [])
        if code != words.NOT_ASKED
    )


def _known(view: TicketView) -> Gate:
    url = reverse("ticket-looked-up-add", args=[view.ticket.number])
    told = [item for item in view.looked_up if item.data["result"] != "not_reached"]
    if not told:
        return Gate(_("Known for this model?"), url, 1)
    answer = "; ".join(
        f"{words.technician('looked_up', item.data['what'])}: "
        f"{words.technician('looked_up_result', item.data['result'])}"
        for item in told
    )
    return Gate(_("Known for this model?"), url, 1, capfirst(answer), told[-1].entry.seq)
