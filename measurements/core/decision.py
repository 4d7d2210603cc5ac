"""What a value with its uncertainty says against a limit, after JCGM 106:2012.

within if p >= 1 - a, outside if p < a, else cannot tell; p is the chance that the true value lies
inside the limit, a the accepted risk. The default is k = 2 on one side: 1 chance in 44.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from measurements.core.assessment import VerdictOutcome

Outcome = Literal["within", "outside", "cannot_tell", "no_limit"]

RISK = 0.5 * math.erfc(2 / math.sqrt(2))
"""Φ(-2) = 0.02275, shown as 1 chance in 44."""

_TIE = 1e-9


class DecisionError(ValueError):
    """A decision was asked of numbers that allow none; quotes them."""


@dataclass(frozen=True)
class Decision:
    """Outcome, chance p of lying inside, and whether the window is too narrow for this u."""

    outcome: Outcome
    p: float | None = None
    too_narrow: bool = False


def normal_cdf(z: float) -> float:
    """Φ(z) of the standard normal distribution.

    >>> round(normal_cdf(1.0), 4)
    0.8413
    """
    return 0.5 * math.erfc(-z / math.sqrt(2))


def conformance(y: float, u: float, low: float | None = None, high: float | None = None) -> float:
    """Chance that a value measured as y with standard uncertainty u lies in [low, high].

    All in one unit; normal distribution (JCGM 106:2012 clause 7). u = 0 gives 0 or 1.

    >>> round(conformance(0.19, 0.01, high=0.2), 4)
    0.8413
    """
    _check(y, u, low, high)
    if u == 0:
        return float((low is None or y >= low) and (high is None or y <= high))
    below_high = 1.0 if high is None else normal_cdf((high - y) / u)
    below_low = 0.0 if low is None else normal_cdf((low - y) / u)
    return max(0.0, below_high - below_low)


def decide(
    y: float, u: float, low: float | None = None, high: float | None = None, risk: float = RISK
) -> Decision:
    """The verdict on one value, all in one unit.

    >>> decide(0.2, 0.01, high=0.2).outcome
    'cannot_tell'
    """
    if not 0 < risk < 0.5:
        raise DecisionError(f"risk {risk!r} must lie between 0 and 0.5")
    if low is None and high is None:
        return Decision("no_limit")
    p = conformance(y, u, low, high)
    narrow = bool(
        u > 0
        and low is not None
        and high is not None
        and conformance((low + high) / 2, u, low, high) < 1 - risk - _TIE
    )
    if p >= 1 - risk - _TIE:
        return Decision("within", p, narrow)
    if p < risk - _TIE:
        return Decision("outside", p, narrow)
    return Decision("cannot_tell", p, narrow)


def decide_beyond(
    bound: float, status: Literal["above", "below"], low: float | None, high: float | None
) -> Decision:
    """The verdict where only "more than" or "less than" is known; `bound` in the limit's unit."""
    if low is None and high is None:
        return Decision("no_limit")
    if status == "above":
        if high is not None and bound >= high:
            return Decision("outside")
        if high is None and low is not None and bound >= low:
            return Decision("within")
    else:
        if low is not None and bound <= low:
            return Decision("outside")
        if low is None and high is not None and bound <= high:
            return Decision("within")
    return Decision("cannot_tell")


def _check(y: float, u: float, low: float | None, high: float | None) -> None:
    for name, number in (("value", y), ("u", u), ("low", low), ("high", high)):
        if number is not None and not math.isfinite(number):
            raise DecisionError(f"{name} {number!r} is not a finite number")
    if u < 0:
        raise DecisionError(f"u {u!r} is below nought")
    if low is not None and high is not None and low > high:
        raise DecisionError(f"low {low!r} lies above high {high!r}")


def chance_in_words(risk: float = RISK) -> str:
    """ "1 chance in 44" for the decision rule's line in the report."""
    return f"1 chance in {round(1 / risk)}"


_WORDS = {
    "within": "inside the limit of {limit}, {source}",
    "outside": "outside the limit of {limit}, {source}",
    "cannot_tell": "too close to the limit of {limit} for this instrument, {source}",
    "usual": "usual, {limit} by common practice",
    "unusual": "unusual, {limit} by common practice",
    "cannot_tell_usual": (
        "too close for this instrument to what is usual, {limit} by common practice"
    ),
    "safety": "too close to the limit of {limit}, {source}: measure better, or treat it as reached",
    "narrow": "this instrument cannot decide a limit as narrow as {limit}, {source}",
    "no_limit": "no limit known",
}


def verdict_words(verdict: VerdictOutcome, system: str = "metric") -> str:
    """A verdict in words that name the limit and where it comes from.

    Common practice has no authority: usual and unusual. At a safety limit, doubt is no permission.
    """
    if verdict.outcome == "no_limit" or verdict.source is None:
        return _WORDS["no_limit"]
    common = verdict.source.tag == "C"
    key: str = verdict.outcome
    if verdict.outcome == "cannot_tell":
        if verdict.safety:
            key = "safety"
        elif verdict.too_narrow:
            key = "narrow"
        elif common:
            key = "cannot_tell_usual"
    elif common:
        key = {"within": "usual", "outside": "unusual"}[key]
    return _WORDS[key].format(limit=limit_words(verdict, system), source=verdict.source.words)


def side_of(verdict: VerdictOutcome) -> Literal["upper", "lower", "both"]:
    """Which limit a glyph should show: of a window, the one that the value is nearer to."""
    if verdict.low is None:
        return "upper"
    if verdict.high is None:
        return "lower"
    if verdict.outcome == "within" or verdict.value is None:
        return "both"
    return "lower" if verdict.value < (verdict.low + verdict.high) / 2 else "upper"


def limit_words(verdict: VerdictOutcome, system: str = "metric") -> str:
    """ "at most 0.20 V", "at least 13 V" or "13.8 V to 14.8 V"."""
    return bounds_in_words(verdict.low, verdict.high, verdict.quantity, system)


def bounds_in_words(
    low: float | None, high: float | None, quantity: str, system: str = "metric"
) -> str:
    """The same of bounds in the stored unit, of which at least one is given."""
    from measurements.core.units import show_limits

    first, last = show_limits(low, high, quantity, system)
    if first and last:
        return f"{first} to {last}"
    return f"at most {last}" if last else f"at least {first}"
