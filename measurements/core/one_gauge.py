"""Readings of one mechanical gauge, compared with each other.

The class of a gauge bounds its error anywhere on the scale. That error bends slowly along the scale
(zero, spring, linkage), so that two readings near each other share nearly all of it, and readings
far apart little. What remains is needle, friction and handling, which each reading has of its own.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from measurements.core.instruments import Instrument
from measurements.core.readings import Reading
from measurements.core.uncertainty import exact, resolution

if TYPE_CHECKING:
    from uncertainties import UFloat

STRETCHES = 2
"""Into how many stretches the scale is cut whose ends are wrong independently (judgement)."""


def two_readings(
    first: tuple[float, Reading], last: tuple[float, Reading], handling: float, reach: float
) -> tuple[UFloat, UFloat]:
    """Two values read on one instrument, sharing gain and most of the error of its scale.

    first, last: value with the reading that it comes from; handling: of reading the tool; reach:
    how far apart two values share the error of the scale by half or so (1/e, judgement). A gauge of
    class 1.6 may stand 4 kPa wrong and still show a fall of 3 kPa well.
    """
    from uncertainties import ufloat

    (a, one), (b, two) = first, last
    shared = math.exp(-abs(a - b) / reach)
    read = [math.hypot(handling, resolution(reading.digit)) for reading in (one, two)]
    scale = [
        math.sqrt(max(0.0, reading.own**2 - own**2))
        for reading, own in zip((one, two), read, strict=True)
    ]
    gain: Any = ufloat(0, one.gain) if one.gain else 0.0
    at_start, at_end = ufloat(0, 1), ufloat(0, 1)
    moved: Any = shared * at_start + math.sqrt(1 - shared**2) * at_end
    start: Any = ufloat(a, read[0]) + a * gain + scale[0] * at_start
    end: Any = ufloat(b, read[1]) + b * gain + scale[1] * moved
    return start, end


def on_one_gauge(
    readings: Mapping[str, Reading], instrument: Instrument | None, handling_u: float
) -> dict[str, UFloat]:
    """The readings as numbers with uncertainty that share what one gauge makes them share.

    readings: measured ones, by any key; handling_u: of placing and reading the tool, stored unit.
    Between two ends of a stretch their errors are mixed so that each reading's own uncertainty
    stays what it is. An accuracy in per cent of the reading is shared whole.
    """
    from uncertainties import ufloat

    at_end: dict[tuple[str, int], Any] = {}
    gains: dict[str, Any] = {}
    found: dict[str, UFloat] = {}
    for key, reading in readings.items():
        value = reading.number
        if value is None or reading.status != "measured":
            continue
        alone = min(reading.own, math.hypot(handling_u, resolution(reading.digit)))
        scale = math.sqrt(max(0.0, reading.own**2 - alone**2))
        number: Any = ufloat(value, alone) if alone else exact(value)
        if reading.gain:
            gain = gains.setdefault(reading.shared_with, ufloat(0, reading.gain))
            number = number + value * gain
        span = instrument.range_for(value)[1] if instrument else None
        if scale and span:
            place = min(max(value / span.full_scale, 0.0), 1.0) * STRETCHES
            end = min(int(place), STRETCHES - 1)
            angle = (place - end) * math.pi / 2
            for which, weight in ((end, math.cos(angle)), (end + 1, math.sin(angle))):
                error = at_end.setdefault((reading.shared_with, which), ufloat(0, 1))
                number = number + scale * weight * error
        elif scale:
            number = number + ufloat(0, scale)
        found[key] = number
    return found
