"""12 volt batteries: rest voltage, density and state of charge; loaded minimum; time until low.

State of charge is in per cent and never clipped: what lies beyond the table is the caller's to
judge. Published tables name their source; "common practice" has no authority behind it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from measurements.core.procedure import Source

STATES_PERCENT = (0.0, 25.0, 50.0, 75.0, 100.0)
"""States of charge for which the tables below give a voltage or a density."""

TABLE_FINENESS_PERCENT = 10.0
"""A state of charge from rest volts is quoted no finer than this (common practice)."""

_COUNCIL = Source("S", "a battery trade council's table of rest volts, seen second-hand")
_PRACTICE = Source("C", "common practice")


@dataclass(frozen=True)
class Chemistry:
    """How one kind of battery rests; all volts of 12 volt batteries at 25 °C.

    volts: at STATES_PERCENT, empty where rest volts hardly tell the charge; spread_v: half width
    of what makers' tables differ by; low_v: rest volts at three quarters charged;
    rested_most_v: above it a battery has not rested (common practice); source: of `volts`.
    """

    volts: tuple[float, ...]
    spread_v: float
    low_v: float
    rested_most_v: float
    source: Source


CHEMISTRIES: Mapping[str, Chemistry] = {
    "flooded": Chemistry((11.89, 12.06, 12.24, 12.45, 12.65), 0.0, 12.45, 12.90, _COUNCIL),
    # No table of its own: the flooded one, and what makers differ by.
    "efb": Chemistry((11.89, 12.06, 12.24, 12.45, 12.65), 0.10, 12.45, 13.00, _PRACTICE),
    "agm": Chemistry((11.80, 12.00, 12.30, 12.60, 12.80), 0.10, 12.60, 13.10, _PRACTICE),
    # The mean of flooded and AGM; its doubt covers both.
    "unknown": Chemistry((11.845, 12.03, 12.27, 12.525, 12.725), 0.175, 12.525, 13.10, _PRACTICE),
    # Iron phosphate, from memory: between these two volts the curve is nearly flat.
    "lithium": Chemistry((), 0.0, 12.80, 13.70, _PRACTICE),
}
"""Code -> chemistry."""

DENSITIES_G_CM3 = (1.120, 1.155, 1.190, 1.225, 1.265)
"""Density of the acid at 80 °F (27 °C) at STATES_PERCENT; the same council's table."""

DENSITY_AT_C = 80 / 1.8 - 32 / 1.8
DENSITY_PER_K = 0.004 / (10 / 1.8)

_LOADED_MINIMUM_V = (
    (-18.0, 8.5),
    (-12.0, 8.7),
    (-7.0, 8.9),
    (-1.0, 9.1),
    (4.0, 9.3),
    (10.0, 9.4),
    (16.0, 9.5),
    (20.0, 9.6),
)


def on_line(points: Sequence[tuple[float, float]], x: Any) -> Any:
    """y at x on straight lines through points of rising x, the end stretches drawn on.

    x may carry an uncertainty.

    >>> on_line([(0, 0), (1, 2), (2, 6)], 1.5), on_line([(0, 0), (1, 2)], 2)
    (4.0, 4.0)
    """
    stretches = list(pairwise(points))
    nominal = getattr(x, "nominal_value", x)
    (x0, y0), (x1, y1) = next((pair for pair in stretches if nominal <= pair[1][0]), stretches[-1])
    return y0 + (x - x0) * ((y1 - y0) / (x1 - x0))


def at_25_c(volts: Any, temperature_c: float, slope_v_per_k: float = 0.0) -> Any:
    """Rest volts moved to 25 °C: V25 = V − k (T − 25).

    Sources disagree even on the sign of k, so it is nought unless somebody enters one.
    """
    return volts - slope_v_per_k * (temperature_c - 25.0)


def charge_percent(volts: Any, chemistry: Chemistry) -> Any:
    """State of charge from rest volts at 25 °C, not clipped.

    >>> round(charge_percent(12.55, CHEMISTRIES["flooded"]), 1)
    87.5
    """
    return on_line(tuple(zip(chemistry.volts, STATES_PERCENT, strict=True)), volts)


def density_at_80_f(density: Any, temperature_c: float) -> Any:
    """Acid's density, g/cm³, as it would read at 80 °F: 0.004 for each 10 °F, added when warmer.

    Common practice; an army table steps 0.008 for each 20 °F.
    """
    return density + DENSITY_PER_K * (temperature_c - DENSITY_AT_C)


def charge_percent_by_density(density: Any) -> Any:
    """State of charge from the acid's density at 80 °F, g/cm³, not clipped."""
    return on_line(tuple(zip(DENSITIES_G_CM3, STATES_PERCENT, strict=True)), density)


def loaded_minimum_v(temperature_c: float) -> float:
    """Least volts of a 12 volt battery after 15 s at half its cold-cranking current.

    A load-test figure for a battery at least three quarters charged, not one for cranking the
    engine. Printed alike in several makers' service data (seen second-hand); level outside -18 and
    20 °C.

    >>> loaded_minimum_v(21), loaded_minimum_v(4), round(loaded_minimum_v(-10), 2)
    (9.6, 9.3, 8.78)
    """
    lowest, highest = _LOADED_MINIMUM_V[0][0], _LOADED_MINIMUM_V[-1][0]
    return float(on_line(_LOADED_MINIMUM_V, min(max(temperature_c, lowest), highest)))


def hours_until(capacity_ah: Any, from_percent: Any, to_percent: Any, current_a: Any) -> Any:
    """Hours that a current takes from one state of charge to another: t = C (from − to) / I.

    The best case: C is what a new battery holds.

    >>> round(hours_until(60, 100, 50, 0.035), 1)
    857.1
    """
    return capacity_ah * (from_percent - to_percent) / 100 / current_a
