"""Standard uncertainty of a reading, after JCGM 100:2008, and rounding for display.

A maker's accuracy "± (p % of reading + n counts)" is a bound: rectangular, u = a / √3 (4.3.7).
Rounding to a digit d has u = d / √12 (F.2.2.1). One rectangular source taken as normal with k = 2
is 15 % wider than its bound: on the safe side.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from measurements.core import units

_TERM = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(.*)\Z", re.ASCII)


class AccuracyError(ValueError):
    """An accuracy that cannot be understood; the message shows how to write one."""

    def __init__(self, text: str, problem: str) -> None:
        super().__init__(
            f"accuracy {text[:60]!r}: {problem}; write it like ±(0.5 % + 3 counts), ±1 °C or "
            "±1.6 % of range"
        )


@dataclass(frozen=True)
class Accuracy:
    """Half width of the maker's bound, in parts that add up.

    percent: of the reading; of_range: per cent of full scale; counts: of the last digit;
    fixed: in the stored unit of the quantity.
    """

    percent: float = 0.0
    of_range: float = 0.0
    counts: float = 0.0
    fixed: float = 0.0

    def half_width(self, value: float, digit: float = 0.0, full_scale: float = 0.0) -> float:
        """a, in the unit of `value`.

        >>> round(Accuracy(percent=0.5, counts=2).half_width(14.32, digit=0.01), 4)
        0.0916
        """
        return (
            self.percent * abs(value) / 100
            + self.of_range * full_scale / 100
            + self.counts * digit
            + self.fixed
        )


def parse_accuracy(text: str, quantity: str) -> Accuracy:
    """The accuracy that a data sheet prints; "" means none is known and gives all zeros.

    >>> parse_accuracy("±(0.5 % + 3 counts)", "voltage")
    Accuracy(percent=0.5, of_range=0.0, counts=3.0, fixed=0.0)
    """
    bare = text.strip().lstrip("±").replace("+/-", "").strip().strip("()").strip()
    parts = {"percent": 0.0, "of_range": 0.0, "counts": 0.0, "fixed": 0.0}
    for term in filter(None, (piece.strip() for piece in bare.split("+"))):
        found = _TERM.match(term)
        if found is None:
            raise AccuracyError(text, f"{term!r} does not start with a number")
        number, unit = Decimal(found[1].replace(",", ".")), " ".join(found[2].split())
        if unit in ("%", "% of reading", "% rdg"):
            parts["percent"] += float(number)
        elif unit in ("% of range", "% of full scale", "% FS"):
            parts["of_range"] += float(number)
        elif unit in ("counts", "count", "digits", "digit", "d"):
            parts["counts"] += float(number)
        else:
            try:
                symbol = units.unit_symbol(quantity, unit)
            except units.UnknownUnitError as fault:
                raise AccuracyError(text, str(fault)) from fault
            stored = units.QUANTITIES[quantity].unit
            parts["fixed"] += float(units.convert_width(number, quantity, symbol, stored))
    return Accuracy(**parts)


def exact(value: float) -> Any:
    """A number without uncertainty that can be computed with like one that has it.

    `ufloat(value, 0)` says the same and warns each time.
    """
    from uncertainties.core import AffineScalarFunc, LinearCombination

    return AffineScalarFunc(float(value), LinearCombination({}))


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a bound: a / √3 (JCGM 100, 4.3.7).

    >>> round(rectangular(0.0916), 6)
    0.052885
    """
    return half_width / math.sqrt(3)


def resolution(digit: float) -> float:
    """Standard uncertainty of rounding to `digit`: d / √12 (JCGM 100, F.2.2.1)."""
    return digit / math.sqrt(12)


@dataclass(frozen=True)
class Parts:
    """Where the uncertainty of one reading comes from, all in the stored unit.

    u: for this reading alone, from the maker's whole bound, rounding and handling;
    gain: relative, shared by all readings of one instrument and range; own: what is not shared.
    In a combination gain and counts are taken apart, since that is what lets gain cancel; there
    u² = (gain·value)² + own², a little below the square of `u`, which adds them up as a bound.
    """

    u: float
    gain: float
    own: float


def reading_parts(
    value: float,
    accuracy: Accuracy,
    *,
    digit: float,
    typed_digit: float,
    full_scale: float = 0.0,
    handling_u: float = 0.0,
) -> Parts:
    """Uncertainty of a reading in the stored unit.

    digit: the instrument's last digit in the range it was on (0: unknown, then the last typed one
    counts); typed_digit: of what was written down. The coarser of the two limits the resolution.
    """
    counted = digit or typed_digit
    bound = rectangular(accuracy.half_width(value, counted, full_scale))
    coarser = max(digit, typed_digit)
    # Counts already include the display's own rounding; only a coarser note adds to it.
    rounding = resolution(coarser) if coarser > digit * (1 + 1e-9) or not accuracy.counts else 0.0
    unshared = rectangular(
        math.hypot(accuracy.counts * counted, accuracy.of_range * full_scale / 100, accuracy.fixed)
    )
    return Parts(
        u=math.hypot(bound, rounding, handling_u),
        gain=rectangular(accuracy.percent / 100),
        own=math.hypot(unshared, rounding, handling_u),
    )


@dataclass(frozen=True)
class Repeats:
    """Several readings of one thing: mean, their spread s, u of the mean, degrees of freedom."""

    mean: float
    s: float
    u: float
    dof: int


def repeats(values: Sequence[float]) -> Repeats:
    """Mean of repeated readings with u = s / √n and n − 1 degrees of freedom (JCGM 100, 4.2).

    >>> round(repeats([14.31, 14.33, 14.32, 14.3, 14.34]).u, 6)
    0.007071
    """
    n = len(values)
    if n < 2:
        raise ValueError(f"{n} reading has no spread: at least 2 are needed")
    mean = math.fsum(values) / n
    s = math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (n - 1))
    return Repeats(mean, s, s / math.sqrt(n), n - 1)


def effective_dof(components: Sequence[tuple[float, float]]) -> float:
    """Welch-Satterthwaite degrees of freedom of a combined u (JCGM 100, G.4.1), not yet truncated.

    components: (standard uncertainty, degrees of freedom), in one unit; infinite freedom allowed.

    >>> round(effective_dof([(25, 18), (9.7, 25.6), (2.9, 50), (16.6, 2)]), 2)
    16.76
    """
    combined = math.sqrt(math.fsum(u**2 for u, _ in components))
    shares = math.fsum(u**4 / dof for u, dof in components)
    return math.inf if shares == 0 else combined**4 / shares


def coverage_factor(p: float, dof: float) -> float:
    """k for a two-sided chance p from Student's t, degrees of freedom truncated down (JCGM 100,
    G.4).

    >>> round(coverage_factor(0.95, 4), 4)
    2.7764
    """
    if not 0 < p < 1 or dof < 1:
        raise ValueError(f"p {p!r} must lie between 0 and 1, and freedom {dof!r} be at least 1")
    from statistics import NormalDist

    if dof > 1e5:
        return NormalDist().inv_cdf((1 + p) / 2)
    whole = math.floor(dof)
    low, high = 0.0, 1.0
    while _within_t(high, whole) < p:
        high *= 2
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if _within_t(middle, whole) < p else (low, middle)
    return (low + high) / 2


def _within_t(t: float, dof: int) -> float:
    """Chance that |T| <= t for whole degrees of freedom: the finite sums for odd and even.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.
    """
    angle = math.atan2(t, math.sqrt(dof))
    sine, cosine = math.sin(angle), math.cos(angle)
    if dof % 2:
        term, total = cosine, 0.0
        for k in range(1, dof - 1, 2):
            total += term
            term *= cosine**2 * (k + 1) / (k + 2)
        return 2 / math.pi * (angle + sine * total)
    term, total = 1.0, 0.0
    for k in range(0, dof - 1, 2):
        total += term
        term *= cosine**2 * (k + 1) / (k + 2)
    return sine * total


def decimal_places(u: float, digit: float = 0.0, digits: int = 2) -> int:
    """Decimals to show: the place of u's second significant digit, never finer than `digit`.

    >>> decimal_places(0.0073), decimal_places(0.0073, digit=0.001), decimal_places(7.2)
    (4, 3, 1)
    """
    choices = []
    if u > 0:
        place = digits - 1 - math.floor(math.log10(u))
        # 0.00996 rounds up to 0.0100: one place fewer then carries two digits
        if round(u, place) >= 10 ** (digits - place) * (1 - 1e-12):
            place -= 1
        choices.append(place)
    if digit > 0:
        choices.append(math.ceil(-math.log10(digit) - 1e-9))
    return max(0, min(choices)) if choices else 3


def fixed(value: float, places: int) -> str:
    """The number with so many decimals and a real minus sign; nought has no sign."""
    if not math.isfinite(value):
        raise ValueError(f"{value!r} cannot be shown")
    text = f"{round(value, places):.{max(places, 0)}f}"
    if text.startswith("-"):
        return "−" + text[1:] if any(figure in text for figure in "123456789") else text[1:]
    return text
