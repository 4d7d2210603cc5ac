"""Two faults at once: the odds of pairs of suspects, beside those of single ones.

A sound outcome needs both to leave the test alone: P(sound | A and B) = P(sound | A) P(sound | B)
/ P(sound | otherwise), at most the smaller of the two; the other outcomes share the rest in
proportion to the sums of both rows. A pair starts with the product of its two odds. All of this is
judgement, and is labelled so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations

from jobs.suspects.odds import Piece, normalised, row_under, weigh
from jobs.suspects.tables import NOTHING, UNLISTED, Evidence, Table


@dataclass(frozen=True)
class Joint:
    """Single suspects and pairs of them on one scale: shares sum to 1 over both."""

    single: Mapping[str, float]
    pair: Mapping[tuple[str, str], float]

    @property
    def best(self) -> tuple[str, str] | None:
        """The pair that beats every single suspect, if one does."""
        if not self.pair:
            return None
        first = max(self.pair, key=lambda two: self.pair[two])
        return first if self.pair[first] > max(self.single.values()) else None


def both(
    evidence: Evidence, first: str, second: str, sound: str, weight: float = 1.0
) -> dict[str, float]:
    """The outcomes of a test when two suspects are at fault together."""
    one, other = (row_under(evidence, code, weight) for code in (first, second))
    if sound not in one:
        return {outcome: (one[outcome] + other[outcome]) / 2 for outcome in one}
    usual = evidence.otherwise[sound]
    neither = min(one[sound], other[sound], one[sound] * other[sound] / usual)
    rest = {outcome: one[outcome] + other[outcome] for outcome in one if outcome != sound}
    total = sum(rest.values())
    return {sound: neither} | {
        outcome: (1 - neither) * share / total for outcome, share in rest.items()
    }


def weigh_pairs(
    table: Table,
    pieces: Iterable[Piece],
    sound: Mapping[str, str],
    starts: Mapping[str, float] | None = None,
) -> Joint:
    """Odds of every suspect alone and of every two together, after the same evidence.

    sound: kind of evidence -> the outcome that means that nothing unusual was seen, "" for none.
    """
    begin = dict(starts or table.starts)
    counted = weigh(table, pieces, begin)
    paired = [code for code in begin if code not in (UNLISTED, NOTHING)]
    logs: dict[str, float] = {code: math.log(share) for code, share in begin.items()}
    two = {(a, b): math.log(begin[a]) + math.log(begin[b]) for a, b in combinations(paired, 2)}
    for piece in counted:
        evidence = table.evidence[piece.key]
        rows = {code: row_under(evidence, code, piece.weight) for code in begin}
        for code in logs:
            logs[code] += math.log(rows[code][piece.outcome])
        unusual = sound.get(piece.key, "")
        for a, b in two:
            if a in evidence.rows or b in evidence.rows:
                p = both(evidence, a, b, unusual, piece.weight)[piece.outcome]
            else:
                p = evidence.otherwise[piece.outcome]
            two[a, b] += math.log(p)
    shares = normalised(logs | {f"{a}+{b}": value for (a, b), value in two.items()})
    return Joint(
        {code: shares[code] for code in logs},
        {(a, b): shares[f"{a}+{b}"] for a, b in two},
    )
