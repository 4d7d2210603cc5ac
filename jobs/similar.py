"""How alike two complaints are, and in what: the kind of complaint, what tests saw, the car, when
it happens, the words used. Both ways round the same.

What is rare among the complaints compared tells more: each test outcome, condition and word counts
by its rarity (inverse document frequency, standard in text search), and two sets are as alike as
the cosine of the angle between them. The worth of each part is judgement.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Hashable, Iterable, Set
from dataclasses import dataclass
from typing import TypeVar

KIND, SEEN, CAR, WORDS, WHEN = 3.0, 3.0, 2.0, 2.0, 1.0
"""What each part is worth at most: kind of complaint, what tests saw, car, words, conditions
(judgement)."""

LEAST_SCORE = KIND
"""Less than the same kind of complaint alone is not called alike (judgement)."""

SAME_MAKE, SAME_MODEL, SAME_ENGINE = "make", "model", "engine"
_CAR_SHARE = {"": 0.0, SAME_MAKE: 0.25, SAME_MODEL: 0.75, SAME_ENGINE: 1.0}

SHORTEST_TOLD, MOST_TOLD_SHARE, MOST_TOLD = 5, 1 / 4, 3
"""Which shared words are told: letters at least, in what share of the complaints at most, how many
(judgement). "It" and "when" are shared by most and tell nothing."""

Thing = TypeVar("Thing", str, tuple[str, str])

_WORD = re.compile(r"[^\W_]{2,}")


@dataclass(frozen=True)
class Case:
    """What is compared of a complaint. family: "" or a code; seen: (procedure, pattern) of tests
    that weren't sound; make, model, engine: search keys, "" unknown; words: of the complaint;
    conditions: (question, answer)."""

    family: str = ""
    seen: frozenset[tuple[str, str]] = frozenset()
    make: str = ""
    model: str = ""
    engine: str = ""
    words: frozenset[str] = frozenset()
    conditions: frozenset[tuple[str, str]] = frozenset()


@dataclass(frozen=True)
class Likeness:
    """In what two cases agree, the rarest first; `car` is "", "make", "model" or "engine" (the same
    model with the same engine)."""

    score: float
    family: str = ""
    seen: tuple[tuple[str, str], ...] = ()
    car: str = ""
    conditions: tuple[tuple[str, str], ...] = ()
    words: tuple[str, ...] = ()

    @property
    def enough(self) -> bool:
        """Whether the two are called alike."""
        return self.score >= LEAST_SCORE


def words_of(key: str) -> frozenset[str]:
    """The words of a search key.

    >>> sorted(words_of("it cranks slowly, when hot"))
    ['cranks', 'hot', 'it', 'slowly', 'when']
    """
    return frozenset(_WORD.findall(key))


class Rarity:
    """How rare each word, outcome and answer is among the cases compared."""

    def __init__(self, cases: Iterable[Case]) -> None:
        self.total = 0
        self.counts: Counter[object] = Counter()
        for case in cases:
            self.total += 1
            self.counts.update((*case.words, *case.seen, *case.conditions))
        self._weights: dict[object, float] = {}

    def weight(self, thing: object) -> float:
        """Logarithm of how many times as many cases there are as cases with it; never nought."""
        if thing not in self._weights:
            self._weights[thing] = math.log1p(self.total / max(1, self.counts[thing]))
        return self._weights[thing]

    def share(self, thing: object) -> float:
        """In what share of the cases it occurs."""
        return self.counts[thing] / self.total if self.total else 0.0

    def length(self, things: Iterable[Hashable]) -> float:
        """Length of a set as a vector of weights."""
        return math.sqrt(math.fsum(self.weight(one) ** 2 for one in things))

    def alike(self, one: Set[Hashable], other: Set[Hashable]) -> float:
        """From 0, nothing shared, to 1, the same; 0 where either is empty."""
        shared = one & other
        if not shared:
            return 0.0
        if one == other:
            return 1.0
        return self.length(shared) ** 2 / (self.length(one) * self.length(other))

    def rarest_first(self, things: Iterable[Thing]) -> list[Thing]:
        """Sorted for telling."""
        return sorted(things, key=lambda thing: (-self.weight(thing), thing))


def compare(one: Case, other: Case, rarity: Rarity) -> Likeness:
    """In what the two agree, with a score: the sum of what each part is worth."""
    family = one.family if one.family == other.family else ""
    car = _same_car(one, other)
    seen, words = one.seen & other.seen, one.words & other.words
    conditions = one.conditions & other.conditions
    score = (
        (KIND if family else 0.0)
        + SEEN * rarity.alike(one.seen, other.seen)
        + CAR * _CAR_SHARE[car]
        + WORDS * rarity.alike(one.words, other.words)
        + WHEN * rarity.alike(one.conditions, other.conditions)
    )
    return Likeness(
        score=score,
        family=family,
        seen=tuple(rarity.rarest_first(seen)),
        car=car,
        conditions=tuple(rarity.rarest_first(conditions)),
        words=_telling(words, rarity),
    )


def _same_car(one: Case, other: Case) -> str:
    if not one.make or one.make != other.make:
        return ""
    if not one.model or one.model != other.model:
        return SAME_MAKE
    return SAME_ENGINE if one.engine and one.engine == other.engine else SAME_MODEL


def _telling(words: Iterable[str], rarity: Rarity) -> tuple[str, ...]:
    long = [word for word in words if len(word) >= SHORTEST_TOLD]
    rare = [word for word in long if rarity.share(word) <= MOST_TOLD_SHARE]
    return tuple(rarity.rarest_first(rare)[:MOST_TOLD])
