"""How a finding was come to, in words for a customer: what spoke for it, what against it, and why
it is thought to be no other cause. No odds: those are working notes."""

from __future__ import annotations

from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs import words
from jobs.reasoning.of_ticket import Reasoning, reasonings
from jobs.reasoning.stop import RAISES
from jobs.report.wording import inside, sentence, stopped, unique
from jobs.suspects.gather import COMPLAINT, OPINION, SWAP
from jobs.suspects.odds import Factor
from jobs.suspects.tables import NOTHING, UNLISTED
from jobs.ticket_view import EntryView, TicketView

OTHERS = 3
"""So many other causes are named, the likeliest first."""

MOST_LINES = 5


class HowWeKnow:
    """The reasoning of a ticket for its report, worked out once."""

    def __init__(self, view: TicketView) -> None:
        self._entries = {item.entry.seq: item for item in view.entries}
        self._swaps = view.swaps
        self._by_family: dict[str, list[Reasoning]] = {}
        if any(item.data.get("cause") for item in view.findings):
            # The finding tells of what was wrong, so of the part too that has been changed since.
            for found in reasonings(view, old_parts_too=True):
                self._by_family.setdefault(found.family, []).append(found)

    def of(self, item: EntryView) -> dict[str, Any] | None:
        """What stands under a finding that names its cause; None where it names none, or the tables
        no longer know it."""
        family, _dot, code = item.data.get("cause", "").partition(".")
        told = item.data.get("complaint")
        known = [
            found
            for found in self._by_family.get(family, [])
            if code in found.table and told in (None, "", found.complaint.data["uid"])
        ]
        if not known:
            return None
        reasoning = known[0]
        return {
            "cause": capfirst(reasoning.table.suspect(code).customer),
            "knowledge": reasoning.knowledge,
            "for": self._lines(reasoning, code, speaks_for=True),
            "against": self._lines(reasoning, code, speaks_for=False),
            # Of what was proved nobody needs to hear what else it might have been.
            "others": []
            if item.data["certainty"] == "confirmed"
            else self._others(reasoning, code),
        }

    def _lines(self, reasoning: Reasoning, code: str, *, speaks_for: bool) -> list[str]:
        factors = [
            factor
            for factor in reasoning.odds.factors[code]
            if (factor.times if speaks_for else 1 / factor.times) >= RAISES
        ]
        factors.sort(key=lambda one: -max(one.times, 1 / one.times))
        return unique(self._said(factor) for factor in factors)[:MOST_LINES]

    def _said(self, factor: Factor) -> str:
        """One piece of evidence as a sentence."""
        piece = factor.piece
        item = self._entries.get(int(piece.source))
        if piece.key.startswith(COMPLAINT):
            condition = words.CONDITIONS[piece.key.removeprefix(COMPLAINT)]
            told = condition.answers.customer(piece.outcome)
            return _("You told us: %(answer)s.") % {"answer": inside(str(told))}
        if piece.key == OPINION:
            reason = item.data["reason"] if item else ""
            return _("In our opinion: %(reason)s") % {"reason": stopped(reason)}
        if piece.key == SWAP:
            return sentence(
                _("After the part was changed (entry %(no)s): %(outcome)s")
                % {
                    "no": self._latest(int(piece.source)),
                    "outcome": words.customer("swap_outcome", piece.outcome),
                }
            )
        if item is None or item.run is None:
            return ""
        state = _(", engine %(state)s") % {"state": item.run.state_of_car}
        return sentence(
            _("Test %(no)s, %(title)s%(state)s: %(pattern)s")
            % {
                "no": item.entry.seq,
                "title": inside(item.run.title),
                "state": state if item.run.state_of_car in ("cold", "hot") else "",
                "pattern": inside(item.run.pattern),
            }
        )

    def _latest(self, first: int) -> int:
        """Number of the version of a swap that stands, by the entry that first recorded it."""
        later = (i.entry.seq for i in self._swaps if i.first_seq == first)
        return next(later, first)

    def _others(self, reasoning: Reasoning, code: str) -> list[str]:
        """The other causes that come first, each with the strongest that speaks against it."""
        said = []
        for other in reasoning.odds.leading:
            if other in (code, UNLISTED, NOTHING) or len(said) == OTHERS:
                continue
            against = self._lines(reasoning, other, speaks_for=False)
            label = capfirst(reasoning.table.suspect(other).customer)
            if against:
                said.append(_("%(cause)s: %(why)s") % {"cause": label, "why": against[0]})
            else:
                said.append(
                    _("%(cause)s: no test that we made speaks against it.") % {"cause": label}
                )
        return said
