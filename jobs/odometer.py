"""Distances that an odometer showed, compared across its units."""

from __future__ import annotations

from collections.abc import Iterable

from jobs.templatetags.record import spaced

KILOMETRES = {"km": 1.0, "mi": 1.609344}  # the international mile, exact since 1959
Shown = tuple[int, str]


def is_lower(now: Shown, before: Shown | None) -> bool:
    """Whether an odometer shows less than it did.

    >>> is_lower((100_000, "mi"), (150_000, "km"))
    False
    """
    if before is None:
        return False
    return now[0] * KILOMETRES[now[1]] < before[0] * KILOMETRES[before[1]]


def highest(readings: Iterable[Shown | None]) -> Shown | None:
    """The longest of several distances; None where there is none."""
    known = [reading for reading in readings if reading is not None]
    return max(known, key=lambda reading: reading[0] * KILOMETRES[reading[1]], default=None)


def in_words(reading: Shown) -> str:
    """148 230 km, with spaces that don't break."""
    return f"{spaced(reading[0])}\u00a0{reading[1]}"


def usual_unit(units: str) -> str:
    """The unit of most odometers where a shop measures in these units."""
    return "km" if units == "metric" else "mi"
