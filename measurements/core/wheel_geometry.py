"""Angles of wheels from gaps to strings, plumb lines and tapes; numbers may carry an uncertainty.

Signs, stored with every number: toe + when the front of the wheel is nearer the car's centreline,
each wheel and in total (ISO 8855:2011, 7.1.6 and 7.1.7); camber + when the top leans outward (ISO
8855, from memory); thrust and front lead + to the right, as the trade says. ISO 8855 has its axes
forward, left, up, so that its thrust is + to the left (axes from memory). Lengths in mm, angles in
degrees. Gaps are taken from a line outside the wheel inward to the rim.
"""

from __future__ import annotations

import math
from typing import Any

LARGEST_SINE = 0.5
"""Beyond 30° no wheel stands straight ahead: the gaps were misread."""


class ImpossibleAngleError(ValueError):
    """Gaps that differ by more than half the distance between the two points."""


def _degrees(sine: Any) -> Any:
    if abs(getattr(sine, "nominal_value", sine)) > LARGEST_SINE:
        raise ImpossibleAngleError("the two gaps differ by more than half the span")
    from uncertainties import umath

    return umath.asin(sine) * (180 / math.pi)


def _radians(degrees: Any) -> Any:
    return degrees * (math.pi / 180)


def toe_deg(front_mm: Any, rear_mm: Any, span_mm: Any) -> Any:
    """Toe of one wheel against its string; the gaps lie `span_mm` apart along the rim.

    >>> round(toe_deg(120.5, 118.9, 420), 4)
    0.2183
    """
    return _degrees((front_mm - rear_mm) / span_mm)


def toe_mm(toe_degrees: Any, span_mm: Any) -> Any:
    """The same toe as a length over a span, which has to be named with it.

    >>> round(toe_mm(0.1, 406.4), 3)
    0.709
    """
    from uncertainties import umath

    return span_mm * umath.sin(_radians(toe_degrees))


def tape_total_deg(ahead_mm: Any, behind_mm: Any, between_mm: Any) -> Any:
    """Total toe from a tape across both tyres, ahead of and behind the axle at one height.

    between_mm: along the car from the points ahead to those behind.

    >>> round(tape_total_deg(1498, 1501, 620), 4)
    0.2772
    """
    return 2 * _degrees((behind_mm - ahead_mm) / (2 * between_mm))


def half_difference(left: Any, right: Any) -> Any:
    """Where a pair of wheels points, right +: thrust from the rear toes, lead from the front ones.

    >>> round(half_difference(0.1637, -0.0819), 4)
    0.1228
    """
    return (left - right) / 2


def steering_wheel_off(thrust: Any, lead: Any, steering_ratio: Any) -> Any:
    """How far the steering wheel stands from where it was held, right +, once the car runs
    straight: the front pair then points along the thrust line.

    >>> round(steering_wheel_off(0.1228, 0.0273, 16), 2)
    1.53
    """
    return (thrust - lead) * steering_ratio


def skew_deg(
    hub_front_mm: Any, hub_rear_mm: Any, track_front_mm: Any, track_rear_mm: Any, wheelbase_mm: Any
) -> Any:
    """How far a string spreads from the car's centreline towards the front; true toe is the
    apparent one less this. Other tracks in front than behind are the classic error.

    >>> round(skew_deg(100, 104, 1530, 1510, 2650), 4)
    0.1297
    """
    from uncertainties import umath

    spread = (track_front_mm / 2 + hub_front_mm) - (track_rear_mm / 2 + hub_rear_mm)
    return umath.atan(spread / wheelbase_mm) * (180 / math.pi)


def camber_deg(top_mm: Any, bottom_mm: Any, height_mm: Any, floor_out_deg: Any = 0.0) -> Any:
    """Camber from a plumb line outside the wheel, less the floor's tilt there (falling outward +).

    >>> round(camber_deg(38.2, 44, 431.8, -0.15), 4)
    0.9196
    """
    return _degrees((bottom_mm - top_mm) / height_mm) - floor_out_deg


def side_slip_m_per_km(toe_degrees: Any) -> Any:
    """How far a wheel would roll to the side on each kilometre if it rolled freely.

    >>> round(side_slip_m_per_km(0.1), 3)
    1.745
    """
    from uncertainties import umath

    return 1000 * umath.tan(_radians(toe_degrees))


def turning_u_mm(swing_mm: float) -> float:
    """Standard uncertainty of front less rear gap where a rim's whole swing is known, but not how
    the wheel stood: the error runs as a cosine between ± the swing (arcsine distribution, JCGM
    101:2008, 6.4.6.1).

    >>> round(turning_u_mm(1.0), 4)
    0.7071
    """
    return abs(swing_mm) / math.sqrt(2)
