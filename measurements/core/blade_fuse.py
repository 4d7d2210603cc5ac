"""Blade fuses as resistors: what they resist cold, and what flows through one that loses so much.

Cold resistances: Littelfuse data sheets of blade fuses for 32 V, typical values: series 287
(standard) of 4 February 2025, 297 (mini) of 27 September 2024, 299 (maxi) of 6 January 2025, as
quoted elsewhere; the rest from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

PUBLISHED_MOHM: Mapping[str, Mapping[str, float]] = {
    "standard": {
        "3": 31.1,
        "5": 17.85,
        "7.5": 10.91,
        "10": 7.70,
        "15": 4.80,
        "20": 3.38,
        "25": 2.52,
        "30": 1.97,
        "40": 1.44,
    },
    "mini": {"7.5": 10.85, "10": 7.42, "15": 4.58},
    "maxi": {"40": 1.4, "50": 1.1},
}
"""Size and rating (A) of a blade fuse -> typical cold resistance, mΩ; a fuse maker's data sheets,
see above."""

_MINI_REMEMBERED = {
    "2": 54.0,
    "3": 31.0,
    "4": 23.0,
    "5": 17.5,
    "7.5": 10.9,
    "10": 7.5,
    "15": 4.6,
    "20": 3.3,
    "25": 2.4,
    "30": 1.9,
}
REMEMBERED_MOHM: Mapping[str, Mapping[str, float]] = {
    "standard": {"1": 123.0, "2": 54.0, "4": 23.0},
    "mini": _MINI_REMEMBERED,
    "low_profile": _MINI_REMEMBERED,
}
"""The same where no data sheet was at hand: from memory. Small sizes hardly differ."""

STANDARD_RATINGS = tuple(
    sorted({*PUBLISHED_MOHM["standard"], *REMEMBERED_MOHM["standard"]}, key=float)
)
"""Ratings of the standard size, A."""

PUBLISHED_SPREAD, REMEMBERED_SPREAD = 0.20, 0.30
"""Half widths, relative: makes differ, cheap ones by more (judgement)."""

RISE_PER_K = 0.0038
"""Share by which zinc and copper gain resistance per kelvin (handbooks: 0.0037 to 0.0039)."""

BOX_AT_C, U_BOX_K = 20.0, 10.0
"""Where nothing is known of the air, a fuse is taken to be at this temperature; and its doubt."""

HEATING, HEATING_SPREAD = 0.5, 0.2
"""A fuse at its full rating has this share more resistance than cold, growing with the square of
the current; the data sheets give 0.34 (maxi 40 A, 75 mV) and 0.67 (standard 40 A, 96 mV)."""

NOTABLE_HEATING_FROM = 0.5
"""Share of the rating from which a fuse warms itself notably, by some tenth."""


def cold_mohm(size: str, rating: str) -> tuple[float, float] | None:
    """Typical cold resistance of a blade fuse, mΩ, and its relative half width; None if unknown.

    >>> cold_mohm("mini", "15"), cold_mohm("maxi", "15")
    ((4.58, 0.2), None)
    """
    for table, spread in (
        (PUBLISHED_MOHM, PUBLISHED_SPREAD),
        (REMEMBERED_MOHM, REMEMBERED_SPREAD),
    ):
        found = table.get(size, {}).get(rating)
        if found is not None:
            return found, spread
    return None


def through_fuse_a(drop_v: Any, mohm: Any, rated_a: float | None, heating: Any = HEATING) -> Any:
    """Current, A, through a fuse from volts across it, its cold resistance, mΩ, and its rating.

    Solves drop = R I (1 + heating (I / rated)²), a cubic with one real root, in closed form; with
    an unknown rating the fuse is taken as cold.

    >>> round(through_fuse_a(0.001, 7.7, 10), 4), round(through_fuse_a(0.096, 1.44, 40), 1)
    (0.1299, 42.6)
    """
    from uncertainties import umath

    if_cold = drop_v / mohm * 1000
    if rated_a is None:
        return if_cold
    root = (3 * heating) ** 0.5
    angle = umath.asinh(1.5 * root * if_cold / rated_a) / 3
    return rated_a * 2 / root * umath.sinh(angle)
