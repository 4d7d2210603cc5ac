"""Which pins belong together as far as probing shows, and which two to probe next.

A probe tells of two pins whether they are joined. Assumed beforehand: each pin of the left
connector leads to exactly one pin of the right one or to none, no two to the same, and all such
assignments are equally likely, unless the caller gives a pair other odds (equal colours that can
be trusted). Where what was found contradicts this, as with wires that touch, the pins concerned are
set aside and the rest goes on.

The next pair is the one with the largest own odds among all that it would settle: its odds divided
by 1 (for an open pin) plus the odds of every pair in its row and column. From two untouched
connectors of up to five pins each the expected number of probes equals that of the best decision
tree, found by trying all; from any pairs already tried it stays within a tenth of it (see
`tests/measurements/core/test_wire_probe.py`).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

Pair = tuple[str, str]
"""A pin of the left connector and one of the right."""

_NONE: Mapping[Pair, float] = {}


@dataclass(frozen=True)
class Picture:
    """What is known of the pins.

    wires: left -> right, proven; open_left, open_right: pins that no pin of the other side is left
    for; groups: pins joined in another way than one to one, each in the order given;
    possible: pairs that are not settled yet, in order.
    """

    wires: Mapping[str, str]
    open_left: tuple[str, ...]
    open_right: tuple[str, ...]
    groups: tuple[tuple[str, ...], ...]
    possible: tuple[Pair, ...]

    @property
    def is_settled(self) -> bool:
        """Every pin is paired, open, or in a group."""
        return not self.possible


def picture_of(
    left: Sequence[str],
    right: Sequence[str],
    joined: Iterable[Collection[str]],
    apart: Iterable[Collection[str]],
) -> Picture:
    """What probes prove. joined, apart: pairs of pins, of any side and in any order.

    >>> found = picture_of(["a", "b"], ["x", "y"], [("a", "y")], [("b", "x")])
    >>> dict(found.wires), found.open_left, found.open_right
    ({'a': 'y'}, ('b',), ('x',))
    """
    clusters = _clusters((*left, *right), joined)
    ours, theirs = set(left), set(right)
    wires: dict[str, str] = {}
    groups = []
    for cluster in clusters:
        one = [pin for pin in cluster if pin in ours]
        other = [pin for pin in cluster if pin in theirs]
        if len(one) == len(other) == 1:
            wires[one[0]] = other[0]
        else:
            groups.append(tuple(cluster))
    known = {pin for cluster in clusters for pin in cluster}
    no = {frozenset(pair) for pair in apart}
    possible = tuple(
        (a, b)
        for a in left
        for b in right
        if a not in known and b not in known and frozenset((a, b)) not in no
    )
    still = {pin for pair in possible for pin in pair} | known
    return Picture(
        {pin: wires[pin] for pin in left if pin in wires},
        tuple(pin for pin in left if pin not in still),
        tuple(pin for pin in right if pin not in still),
        tuple(groups),
        possible,
    )


def _clusters(pins: Sequence[str], joined: Iterable[Collection[str]]) -> list[list[str]]:
    """Pins that hang together, those that are joined to none left out; all in the order given."""
    home = {pin: {pin} for pin in pins}
    for pair in joined:
        merged: set[str] = set().union(*(home[pin] for pin in pair))
        for pin in merged:
            home[pin] = merged
    found: list[list[str]] = []
    done: set[str] = set()
    for pin in pins:
        if pin not in done and len(home[pin]) > 1:
            found.append([other for other in pins if other in home[pin]])
            done |= home[pin]
    return found


def next_probe(
    picture: Picture, odds: Mapping[Pair, float] = _NONE, preferred: Collection[Pair] = ()
) -> Pair | None:
    """The pair to probe next; None when all is settled.

    odds: of a pair, against 1 for any other pair and for an open pin; preferred: goes first among
    equals, such as pins of the same name.
    """
    rows: dict[str, float] = {}
    columns: dict[str, float] = {}
    for pair in picture.possible:
        own = odds.get(pair, 1.0)
        rows[pair[0]] = rows.get(pair[0], 0.0) + own
        columns[pair[1]] = columns.get(pair[1], 0.0) + own
    best: Pair | None = None
    best_rank = (-1.0, False)
    for pair in picture.possible:
        own = odds.get(pair, 1.0)
        share = own / (1.0 + rows[pair[0]] + columns[pair[1]] - own)
        rank = (round(share, 12), pair in preferred)
        if rank > best_rank:
            best, best_rank = pair, rank
    return best
