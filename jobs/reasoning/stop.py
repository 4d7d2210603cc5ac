"""When enough is known, and when looking on is no longer worth it.

A cheap step that can be undone wins early: do it, and test again. A repair that costs much, can't
be undone, or guards somebody's life wants two grounds that don't share a cause, one of them seen
directly, and an answer to what else would look the same. Numbers are judgement.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from jobs.suspects.gather import COMPLAINT, OPINION, SWAP
from jobs.suspects.odds import Factor, Odds, Piece, update
from jobs.suspects.tables import NOTHING, UNLISTED, Suspect, Table, source_of

CHEAP, COSTLY = 0.6, 0.9
"""Share from which a suspect is acted on: a cheap step that can be undone; any other."""

RAISES = 1.5
"""A factor from which a test is a ground for a suspect."""

STILL_TESTS, STILL_SHARE = 3, 0.1
"""So many tests that moved no share by more than this: it does not move any more."""

MOST_OF_ALLOWANCE = 0.8
"""Share of the agreed sum at which the shop stops and asks."""

State = Literal["cured", "act", "grounds", "no_more", "still", "open"]


@dataclass(frozen=True)
class Ground:
    """A test that speaks for a suspect. direct: seen, or the part's own test."""

    source: int
    group: str
    times: float
    direct: bool


@dataclass(frozen=True)
class Stand:
    """Where a complaint stands. suspect: whom it is about, None for none; lacking: what a costly
    repair still wants ("second", "direct")."""

    state: State
    suspect: Suspect | None = None
    lacking: tuple[str, ...] = ()

    @property
    def ends(self) -> bool:
        """Whether looking on is no longer worth it, so that an honourable end is offered."""
        return self.state in ("no_more", "still")


Direct = Callable[[str, str], bool]
"""Procedure and outcome -> whether that is seen directly."""


def is_test(piece: Piece) -> bool:
    """A test, and no answer, own judgement or swap."""
    return piece.key not in (OPINION, SWAP) and not piece.key.startswith(COMPLAINT)


def grounds_for(factors: Sequence[Factor], direct: Direct) -> list[Ground]:
    """The tests that speak for a suspect, the strongest first."""
    found = [
        Ground(
            int(factor.piece.source),
            factor.piece.group or factor.piece.key,
            factor.times,
            direct(source_of(factor.piece.key), factor.piece.outcome),
        )
        for factor in factors
        if is_test(factor.piece) and factor.times >= RAISES
    ]
    return sorted(found, key=lambda ground: -ground.times)


def lacking_grounds(grounds: Collection[Ground]) -> tuple[str, ...]:
    """What a costly repair still wants: a second ground that shares no cause, a direct one."""
    lacking = []
    if len({ground.group for ground in grounds}) < 2:
        lacking.append("second")
    if not any(ground.direct for ground in grounds):
        lacking.append("direct")
    return tuple(lacking)


def needs_two(suspect: Suspect) -> bool:
    """Whether its repair costs much, can't be undone, or is one of safety."""
    return suspect.costly or suspect.safety


def stand(
    table: Table,
    odds: Odds,
    starts: Mapping[str, float],
    *,
    separable: bool,
    direct: Direct,
    made: Sequence[int] = (),
    first_left: bool = False,
    cured: bool = False,
) -> Stand:
    """Where it stands. separable: a test at hand still tells something; made: all tests by their
    place in the record, those too that decided nothing; first_left: one of the first things is not
    done, which goes before any end."""
    leading = table.suspect(odds.leading[0])
    share = odds.shares[leading.code]
    if cured:
        return Stand("cured", leading)
    if leading.code not in (UNLISTED, NOTHING):
        if not needs_two(leading) and share >= CHEAP:
            return Stand("act", leading)
        if needs_two(leading) and share >= COSTLY:
            lacking = lacking_grounds(grounds_for(odds.factors[leading.code], direct))
            return Stand("grounds" if lacking else "act", leading, lacking)
    if not separable and not first_left:
        return Stand("no_more", leading)
    if first_left:
        return Stand("open", leading)
    return Stand("still" if stands_still(table, odds, starts, made) else "open", leading)


def stands_still(
    table: Table, odds: Odds, starts: Mapping[str, float], made: Sequence[int]
) -> bool:
    """Whether the last tests moved nothing to speak of."""
    if len(made) < STILL_TESTS:
        return False
    late = {str(source) for source in sorted(made)[-STILL_TESTS:]}
    before = update(table, [p for p in odds.pieces if p.source not in late], starts).shares
    return all(abs(share - before[code]) < STILL_SHARE for code, share in odds.shares.items())
