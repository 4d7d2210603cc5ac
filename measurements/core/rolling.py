"""How often things turn: wheels, propeller shaft and engine, from tyre, speed and engine speed.

Numbers may carry an uncertainty. A radial tyre rolls 3.05 outer diameters a turn at 60 km/h (ETRTO
standards manual, from memory). A speedometer may show from the true speed v up to v + v / 10 +
4 km/h (UN R39, from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from measurements.core.tyre_marks import Size, size_of
from measurements.core.uncertainty import rectangular

if TYPE_CHECKING:
    from uncertainties import UFloat

DIAMETERS_A_TURN = 3.05
"""Less than π, since a loaded tyre is flattened where it stands."""

FROM_MARKING = 0.025
"""Half width of what new size, wear, load and pressure do to the rolled distance (judgement)."""


def rolled_mm(size: Size) -> float:
    """Distance that a radial tyre of this size rolls in one turn, mm.

    >>> round(rolled_mm(size_of("205/55 R16")))
    1927
    """
    return DIAMETERS_A_TURN * size.diameter_mm


def one_turn_mm(measured: UFloat | None, marking: str) -> UFloat | None:
    """Distance of one turn, mm: as measured, else from a marking; None where neither tells it."""
    size = size_of(marking)
    if measured is not None or size is None:
        return measured
    from uncertainties import ufloat

    rolled = rolled_mm(size)
    return ufloat(rolled, rectangular(FROM_MARKING * rolled))


def wheel_hz(speed_kmh: Any, circumference_mm: Any) -> Any:
    """Turns of a wheel in a second, from km/h and the distance of one turn in mm.

    >>> round(wheel_hz(100, 1927), 2)
    14.42
    """
    return speed_kmh / 3.6 * 1000 / circumference_mm


def engine_hz(rpm: Any, order: float = 1.0) -> Any:
    """How often something that happens `order` times in a turn of the crank comes in a second.

    >>> engine_hz(3000, 2)
    100.0
    """
    return rpm / 60 * order


def shown_speed_bounds(shown_kmh: float) -> tuple[float, float]:
    """Lowest and highest true speed, km/h, behind what a speedometer shows.

    >>> [round(bound, 6) for bound in shown_speed_bounds(114.0)]
    [100.0, 114.0]
    """
    return max(0.0, (shown_kmh - 4) / 1.1), shown_kmh


def size_question(marking: str) -> tuple[str, str] | None:
    """What to ask about a marking without a size that we can read; None if there is nothing."""
    if size_of(marking) is not None:
        return None
    return (
        f"No tyre size can be read from “{marking[:40]}”. Type it like 205/55 R16, or measure how "
        "far the wheel rolls in one turn.",
        "",
    )
