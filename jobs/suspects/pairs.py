"""Two faults at once: the odds of pairs of suspects, beside those of single ones.

A sound outcome needs both to leave the test alone: P(sound | A and B) = P(sound | A) P(sound | B)
/ P(sound | otherwise), at most the smaller of the two; the other outcomes share the rest in
proportion to the sums of both rows. A pair starts with the product of its two odds. All of this is
judgement, and is labelled so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from math import log

from jobs.suspects.odds import Piece, likelihoods, normalised, row_under, weigh
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
    usual = evidence.otherwise.get(sound, 0.0)
    return {
        outcome: _both(
            (one[outcome], one.get(sound, 0.0)),
            (other[outcome], other.get(sound, 0.0)),
            usual,
            outcome == sound,
        )
        for outcome in one
    }


def _both(
    one: tuple[float, float], other: tuple[float, float], usual: float, is_sound: bool
) -> float:
    """One outcome under two suspects together, out of how likely it and the sound one are under
    each alone; usual: the sound one's chance where neither touches the test, 0 for none."""
    if not usual:
        return (one[0] + other[0]) / 2
    a, b = one[1], other[1]
    neither = min(a, b, a * b / usual)
    if is_sound:
        return neither
    return (1 - neither) * (one[0] + other[0]) / (2 - a - b)


def _add_said(
    column: Mapping[str, float], logs: dict[str, float], two: dict[tuple[str, str], float]
) -> None:
    """What is said of single suspects: of a pair, that one of the two explains it is enough."""
    for code in logs:
        logs[code] += log(column[code])
    for pair in two:
        two[pair] += log(max(column[pair[0]], column[pair[1]]))


def _add_seen(
    evidence: Evidence,
    piece: Piece,
    quiet: str,
    logs: dict[str, float],
    two: dict[tuple[str, str], float],
) -> None:
    """An outcome of a test; quiet: its sound one."""
    outcome, usual = piece.outcome, evidence.otherwise.get(quiet, 0.0)
    is_quiet = outcome == quiet
    untouched = (evidence.otherwise[outcome], usual)
    spoken = {}
    for code in evidence.rows:
        if code not in piece.spared:
            row = row_under(evidence, code, piece.weight)
            spoken[code] = (row[outcome], row.get(quiet, 0.0))
    plain = log(untouched[0])
    for code in logs:
        logs[code] += log(spoken[code][0]) if code in spoken else plain
    for pair in two:
        a, b = pair
        if a in spoken or b in spoken:
            one, other = spoken.get(a, untouched), spoken.get(b, untouched)
            two[pair] += log(_both(one, other, usual, is_quiet))
        else:
            two[pair] += plain


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
    logs: dict[str, float] = {code: log(share) for code, share in begin.items()}
    two = {(a, b): log(begin[a]) + log(begin[b]) for a, b in combinations(paired, 2)}
    for piece in counted:
        if piece.says is not None:
            _add_said(likelihoods(table, piece), logs, two)
        else:
            _add_seen(table.evidence[piece.key], piece, sound.get(piece.key, ""), logs, two)
    shares = normalised(logs | {f"{a}+{b}": value for (a, b), value in two.items()})
    return Joint(
        {code: shares[code] for code in logs},
        {(a, b): shares[f"{a}+{b}"] for a, b in two},
    )
