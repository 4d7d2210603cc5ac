"""Bayes' rule over the suspects of a family, in log odds, with everything kept that moved it.

A weakened piece of evidence is a mixture: w x its row + (1 - w) x the row of suspects that it does
not touch. So w = 0 moves nothing, and a row stays a distribution (plain powers would not). Tests
that see one thing share a group: the one that tells most counts whole, each other at half weight.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from jobs.suspects.tables import Evidence, Table

IN_A_GROUP = 0.5
"""Weight of what sees the same thing as a test that told more (judgement)."""

UNDECIDED = "undecided"
"""An outcome that says nothing under any suspect."""


@dataclass(frozen=True)
class Piece:
    """One outcome that counts. key: which rows of the table speak; weight: 1 whole, 0 nothing;
    group: what sees the same thing shares it, "" stands alone; source: where it came from; spared:
    suspects of which it says nothing, as a test on another part; says: in place of rows of the
    table, how likely it is under each suspect that it names, "" for all others."""

    key: str
    outcome: str
    weight: float = 1.0
    group: str = ""
    source: str = ""
    spared: frozenset[str] = frozenset()
    says: Mapping[str, float] | None = None


@dataclass(frozen=True)
class Factor:
    """What one piece did to one suspect: how likely the outcome is if it is the cause, and how
    likely under the others, as they started."""

    piece: Piece
    if_cause: float
    if_not: float

    @property
    def times(self) -> float:
        """How many times as likely the outcome is if this suspect is the cause."""
        return self.if_cause / self.if_not


@dataclass(frozen=True)
class Odds:
    """Shares of all suspects, summing to 1, and for each what moved it."""

    shares: Mapping[str, float]
    factors: Mapping[str, tuple[Factor, ...]]
    pieces: tuple[Piece, ...]

    @property
    def leading(self) -> list[str]:
        """The suspects, likeliest first; equal ones in the table's order."""
        return sorted(self.shares, key=lambda code: -self.shares[code])


def update(
    table: Table, pieces: Iterable[Piece], starts: Mapping[str, float] | None = None
) -> Odds:
    """The odds after this evidence. starts: the shop's own, else the table's."""
    begin = dict(starts or table.starts)
    counted = weigh(table, pieces, begin)
    logs = {code: math.log(share) for code, share in begin.items()}
    likely: list[tuple[Piece, dict[str, float]]] = []
    for piece in counted:
        column = likelihoods(table, piece)
        likely.append((piece, column))
        for code in logs:
            logs[code] += math.log(column[code])
    means = [sum(begin[code] * column[code] for code in begin) for _piece, column in likely]
    factors = {
        code: tuple(
            Factor(piece, column[code], (mean - share * column[code]) / (1 - share))
            for (piece, column), mean in zip(likely, means, strict=True)
        )
        for code, share in begin.items()
    }
    return Odds(normalised(logs), factors, tuple(counted))


def likelihoods(table: Table, piece: Piece) -> dict[str, float]:
    """How likely this piece's outcome is under each suspect, weakened by its weight; 1 for all
    where it says nothing."""
    evidence = table.evidence.get(piece.key)
    codes = [suspect.code for suspect in table.suspects]
    if piece.says is not None:
        return {code: piece.says.get(code, piece.says[""]) for code in codes}
    if evidence is None or piece.outcome not in evidence.otherwise:
        return dict.fromkeys(codes, 1.0)
    untouched = evidence.otherwise[piece.outcome]
    column = dict.fromkeys(codes, untouched)
    for code, row in evidence.rows.items():
        if code in piece.spared:
            continue
        column[code] = piece.weight * row[piece.outcome] + (1 - piece.weight) * untouched
    return column


def normalised(logs: Mapping[str, float]) -> dict[str, float]:
    """Shares out of logarithms that lack a common constant."""
    most = max(logs.values())
    raised = {code: math.exp(value - most) for code, value in logs.items()}
    total = sum(raised.values())
    return {code: value / total for code, value in raised.items()}


def weigh(table: Table, pieces: Iterable[Piece], starts: Mapping[str, float]) -> list[Piece]:
    """The pieces that say something, those of a group weakened but for the one that tells most.

    Which one that is goes by how far it moves the starting odds, so the order of the evidence does
    not matter.
    """
    speaking = [piece for piece in pieces if _speaks(table, piece)]
    groups: dict[str, list[Piece]] = {}
    for piece in speaking:
        if piece.group:
            groups.setdefault(piece.group, []).append(piece)
    halved: set[int] = set()
    for members in groups.values():
        ranked = sorted(members, key=lambda p: (-moved(table, p, starts), p.key, p.outcome))
        halved |= {id(piece) for piece in ranked[1:]}
    return [replace(p, weight=p.weight * IN_A_GROUP) if id(p) in halved else p for p in speaking]


def _speaks(table: Table, piece: Piece) -> bool:
    if piece.says is not None:
        return True
    evidence = table.evidence.get(piece.key)
    return evidence is not None and piece.outcome in evidence.otherwise and piece.weight > 0


def moved(table: Table, piece: Piece, starts: Mapping[str, float]) -> float:
    """How far one piece moves the odds by itself, in bits: the Kullback-Leibler divergence of the
    shares after it from those before."""
    column = likelihoods(table, piece)
    logs = {code: math.log(starts[code]) + math.log(column[code]) for code in starts}
    after = normalised(logs)
    return sum(p * math.log2(p / starts[code]) for code, p in after.items() if p > 0)


def row_under(evidence: Evidence, suspect: str, weight: float = 1.0) -> Mapping[str, float]:
    """The outcomes of a test under a suspect, weakened by a weight."""
    row = evidence.row(suspect)
    if weight == 1.0:
        return row
    return {
        outcome: weight * row[outcome] + (1 - weight) * p
        for outcome, p in evidence.otherwise.items()
    }
