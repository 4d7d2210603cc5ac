"""A fault that comes now and then: what tries without it say, and whether a condition matters.

Each try is taken as independent, with the same chance of the fault. Pure arithmetic; the accepted
risk of 5 % is a convention.
"""

from __future__ import annotations

import math
from collections.abc import Callable

RISK = 0.05
"""Chance of being misled by luck that is accepted (convention, 95 %)."""

_HALVINGS = 60


def luck_of_staying_away(one_in: float, clean: int) -> float:
    """Chance, 0 to 1, that a fault which comes once in `one_in` tries stays away `clean` times.

    >>> luck_of_staying_away(2, 3)
    0.125
    """
    return float((1 - _chance(one_in)) ** clean)


def tries_needed(one_in: float, risk: float = RISK) -> int:
    """How many tries without it in a row bring that chance down to `risk` or less.

    >>> [tries_needed(n) for n in (1, 2, 4, 10)]
    [1, 5, 11, 29]
    """
    chance = _chance(one_in)
    if chance == 1:
        return 1
    return math.ceil(math.log(risk) / math.log1p(-chance) - 1e-9)


def _chance(one_in: float) -> float:
    if not one_in >= 1:
        raise ValueError(f"once in {one_in!r} tries: it must be one or more")
    return 1 / one_in


def rate_at_most(came: int, tried: int, risk: float = RISK) -> float:
    """Highest chance of a try, 0 to 1, with which `came` of `tried` or fewer is not below `risk`.

    One side of the exact interval of Clopper and Pearson (Biometrika 26, 1934).

    >>> round(rate_at_most(0, 10), 3)
    0.259
    """
    _check(came, tried)
    return 1.0 if came == tried else _where(lambda p: _up_to(came, tried, p), risk)


def rate_at_least(came: int, tried: int, risk: float = RISK) -> float:
    """Lowest chance of a try, 0 to 1, with which `came` of `tried` or more is not below `risk`."""
    _check(came, tried)
    return 1.0 - rate_at_most(tried - came, tried, risk)


def rate_with_doubt(came: int, tried: int) -> tuple[float, float]:
    """Chance of a try, 0 to 1, and its standard uncertainty, for holding two such against each
    other: one try more with it and one more without, so that one of one is not "always".

    Agresti and Caffo, The American Statistician 54 (2000) 280: beyond two standard uncertainties
    of the difference, hardly more than one pair in twenty of equal rates looks unlike.

    >>> rate_with_doubt(3, 3)[0]
    0.8
    """
    _check(came, tried)
    rate = (came + 1) / (tried + 2)
    return rate, math.sqrt(rate * (1 - rate) / (tried + 2))


def _check(came: int, tried: int) -> None:
    if not 0 <= came <= tried or tried < 1:
        raise ValueError(f"{came} of {tried}: it cannot have come more often than it was tried")


def _up_to(came: int, tried: int, chance: float) -> float:
    """Chance that it comes at most `came` times; falls as `chance` rises."""
    return math.fsum(
        math.comb(tried, k) * chance**k * (1 - chance) ** (tried - k) for k in range(came + 1)
    )


def _where(falling: Callable[[float], float], level: float) -> float:
    """Where a function that falls from 0 to 1 crosses the level."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if falling(middle) > level else (low, middle)
    return (low + high) / 2


def luck_of_none(came: int, tried: int, clean: int) -> float:
    """Chance, 0 to 1, that `clean` tries saw none of it only by luck, were conditions no matter.

    It came in `came` of `tried` tries under other conditions: all ways to place that many among all
    tries are alike, and in so many of them none falls on the clean ones (Fisher's exact test).

    >>> luck_of_none(3, 3, 3)
    0.05
    """
    _check(came, tried)
    return math.comb(tried, came) / math.comb(tried + clean, came)


def more_needed(came: int, tried: int, clean: int, most: int, risk: float = RISK) -> int | None:
    """How many more clean tries bring `luck_of_none` down to `risk`; None beyond `most`."""
    for more in range(most + 1):
        if luck_of_none(came, tried, clean + more) <= risk + 1e-12:
            return more
    return None
