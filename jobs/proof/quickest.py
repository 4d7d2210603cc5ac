"""The quickest test that would tell whether a part is at fault, for whoever is about to change it
without one."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from jobs.likely_tests import likely_for
from jobs.reasoning.of_ticket import Reasoning, reasonings
from jobs.suspects.gather import suspects_naming
from jobs.suspects.next_test import INFORMATION, LEAST_BITS, Ranked
from jobs.suspects.odds import row_under
from jobs.suspects.tables import Evidence, entropy
from measurements.procedures import PROCEDURES

if TYPE_CHECKING:
    from jobs.ticket_view import TicketView

TRIED = "substitution"
"""The test for whoever wants to try a part: it is moved or lent, and nothing is sold by it."""


@dataclass(frozen=True)
class Quickest:
    """A test with the minutes that it costs from here. about: the possible cause that it tells of,
    "" where it was chosen for the complaint only."""

    procedure: str
    minutes: int
    about: str = ""

    @property
    def title(self) -> str:
        """What the test is called."""
        return PROCEDURES[self.procedure].title


def bits_about(
    evidence: Evidence, shares: Mapping[str, float], meant: Collection[str], weight: float = 1.0
) -> float:
    """Bits that a test is expected to tell on one question only: is it one of the meant suspects?
    Never more than it tells of all suspects; nought where all or none are meant."""
    groups = [
        {code: share for code, share in shares.items() if (code in meant) is wanted}
        for wanted in (True, False)
    ]
    total = sum(shares.values())
    rows = [(sum(group.values()) / total, _mixed(evidence, group, weight)) for group in groups]
    whole = {
        outcome: sum(share * row[outcome] for share, row in rows) for outcome in evidence.otherwise
    }
    return max(0.0, entropy(whole) - sum(share * entropy(row) for share, row in rows))


def _mixed(evidence: Evidence, shares: Mapping[str, float], weight: float) -> dict[str, float]:
    """How likely each outcome is if it is one of these suspects."""
    total = sum(shares.values()) or 1.0
    mixed = dict.fromkeys(evidence.otherwise, 0.0)
    for code, share in shares.items():
        for outcome, p in row_under(evidence, code, weight).items():
            mixed[outcome] += p * share / total
    return mixed


def quickest(view: TicketView, parts: Sequence[str]) -> Quickest | None:
    """The test with most bits a minute on whether one of these parts is the cause; where no table
    knows the part, the best test for the complaint; where there is no table, a usual one."""
    found = reasonings(view)
    about = [one for reasoning in found for one in _about(reasoning, parts)]
    if about:
        return max(about, key=lambda pair: pair[0])[1]
    ranked = [one for reasoning in found for one in reasoning.ranked if one.why == INFORMATION]
    if ranked:
        best = max(ranked, key=lambda one: one.bits_per_minute)
        return Quickest(best.candidate.name, round(best.minutes))
    return _usual(view)


def _about(reasoning: Reasoning, parts: Sequence[str]) -> list[tuple[float, Quickest]]:
    table = reasoning.table
    meant = suspects_naming(table, parts)
    if not meant:
        return []
    label = max(meant, key=lambda code: reasoning.odds.shares[code])
    scored = [
        (bits / one.minutes, Quickest(name, round(one.minutes), table.suspect(label).label))
        for one in reasoning.ranked
        if (name := one.candidate.name) and (bits := _bits(reasoning, one, meant)) >= LEAST_BITS
    ]
    return scored


def _bits(reasoning: Reasoning, ranked: Ranked, meant: Collection[str]) -> float:
    evidence = reasoning.table.evidence.get(ranked.candidate.key)
    if evidence is None:
        return 0.0
    return bits_about(evidence, reasoning.odds.shares, meant, ranked.candidate.weight)


def _usual(view: TicketView) -> Quickest | None:
    families = [item.data.get("family", "") for item in view.complaints]
    made = {item.link.run.procedure for item in view.tests if item.link}
    lacking = set(view.profile.lacks_tools)
    for name in likely_for(families):
        procedure = PROCEDURES[name]
        if name not in made and not lacking & set(procedure.effort.tools):
            return Quickest(name, procedure.effort.minutes)
    return None
