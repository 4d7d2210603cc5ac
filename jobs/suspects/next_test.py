"""Which test to make next: the first things, what is a danger, then bits per minute from here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from jobs.suspects.information import after, expected_bits
from jobs.suspects.odds import row_under
from jobs.suspects.tables import Evidence, Table

LEAST_BITS = 0.01
"""A test that is expected to tell less is not offered: it separates nothing to speak of."""

OPENED_SAVES = 0.5
"""Share of a test's minutes that is saved where what it opens is open already (judgement)."""

LEAST_MINUTES = 1.0

IN_VIEW = 0.15
"""Share from which a suspect that can hurt brings its tests to the top (judgement)."""

FIRST, DANGER, INFORMATION = "first", "danger", "information"
"""Why a test stands where it does."""


@dataclass(frozen=True)
class Candidate:
    """A test that could be made. key: its evidence in the table; minutes: of work in all; opens:
    what it takes apart; wants: "cold", "hot", "driving" or "any"; weight: less than 1 where it
    would see what a test that was made has seen; first: one of the first things; danger: it looks
    at something that can hurt; lacks: tools that the shop hasn't got."""

    name: str
    key: str
    minutes: float
    opens: frozenset[str] = frozenset()
    wants: str = "any"
    weight: float = 1.0
    first: bool = False
    danger: bool = False
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Here:
    """How the car stands now: the engine's state ("" unknown), and what is open already."""

    engine: str = ""
    open: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Meaning:
    """What an outcome would mean: how likely it is, and who would then lead with which share."""

    outcome: str
    chance: float
    leading: str
    share: float


@dataclass(frozen=True)
class Ranked:
    """A test in its place. waits: it wants another state of the engine than there is."""

    candidate: Candidate
    why: str
    bits: float
    minutes: float
    waits: bool

    @property
    def bits_per_minute(self) -> float:
        """What it is expected to tell for its time."""
        return self.bits / self.minutes


def minutes_from_here(candidate: Candidate, here: Here) -> float:
    """Minutes that the test still costs as the car stands."""
    ready = bool(candidate.opens) and candidate.opens <= here.open
    saved = OPENED_SAVES if ready else 0.0
    return max(LEAST_MINUTES, candidate.minutes * (1 - saved))


def looks_at_danger(
    table: Table, evidence: Evidence, shares: Mapping[str, float], *, alarmed: bool
) -> bool:
    """Whether a test looks at something that can hurt and is well in view; alarmed: the complaint
    is a danger by itself, so that all of it is."""
    return any(
        one.safety and one.code in evidence.rows and (alarmed or shares[one.code] >= IN_VIEW)
        for one in table.suspects
    )


def rank(
    table: Table, shares: Mapping[str, float], candidates: Iterable[Candidate], here: Here
) -> list[Ranked]:
    """The tests that can be made, the best first.

    The first things lead, quickest first; then what looks at a danger whatever its bits; then bits
    per minute. What wants a colder engine than there is comes after all that can be made now, and
    what the shop has no tool for is left out.
    """
    found = []
    for candidate in candidates:
        if candidate.lacks:
            continue
        evidence = table.evidence.get(candidate.key)
        bits = expected_bits(evidence, shares, candidate.weight) if evidence else 0.0
        why = FIRST if candidate.first else DANGER if candidate.danger else INFORMATION
        if why == INFORMATION and bits < LEAST_BITS:
            continue
        minutes = minutes_from_here(candidate, here)
        waits = candidate.wants == "cold" and here.engine in ("hot", "driving")
        found.append(Ranked(candidate, why, bits, minutes, waits))
    return sorted(found, key=_place)


def _place(one: Ranked) -> tuple[bool, int, float, float, str]:
    order = (FIRST, DANGER, INFORMATION).index(one.why)
    quickest = one.minutes if one.why == FIRST else 0.0
    return one.waits, order, quickest, -one.bits_per_minute, one.candidate.name


def meanings(
    table: Table, shares: Mapping[str, float], candidate: Candidate
) -> tuple[Meaning, ...]:
    """What each outcome would mean, the likeliest outcome first."""
    evidence = table.evidence.get(candidate.key)
    if evidence is None:
        return ()
    said = []
    for outcome in evidence.otherwise:
        then = after(evidence, shares, outcome, candidate.weight)
        chance = sum(
            share * row_under(evidence, code, candidate.weight)[outcome]
            for code, share in shares.items()
        )
        leading = max(then, key=lambda code: then[code])
        said.append(Meaning(outcome, chance, leading, then[leading]))
    return tuple(sorted(said, key=lambda one: -one.chance))


def separates(table: Table, shares: Mapping[str, float], candidate: Candidate) -> tuple[str, ...]:
    """The suspects whose share an outcome can move most, likeliest first: what the test is for."""
    evidence = table.evidence.get(candidate.key)
    if evidence is None:
        return ()
    moved: dict[str, float] = {}
    for outcome in evidence.otherwise:
        then = after(evidence, shares, outcome, candidate.weight)
        for code, share in shares.items():
            moved[code] = max(moved.get(code, 0.0), then[code] - share)
    touched = [code for code in moved if code in evidence.rows]
    return tuple(sorted(touched, key=lambda code: -moved[code])[:3])
