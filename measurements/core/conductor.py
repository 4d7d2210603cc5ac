"""Copper conductors: section from what is typed, and resistance from length, section, temperature.

AWG diameter: ASTM B258, d = 0.127 mm x 92^((36 − n)/39). Resistivity 1/58 Ω·mm²/m and 0.00393 per
kelvin at 20 °C: IEC 60028, annealed copper. Largest resistances of flexible conductors: IEC 60228,
class 5, plain copper. All three as quoted elsewhere, from memory of the texts.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

CONDUCTIVITY = 58.0
"""Of annealed copper at 20 °C, in m/(Ω·mm²)."""

RISE_PER_K = 0.00393
"""Share by which its resistance grows per kelvin, from 20 °C."""

LARGEST_OVER_PLAIN = 1.16
"""The largest resistance that IEC 60228 class 5 allows is 1.12 to 1.16 times length / (58 x area):
strands are longer than the cable and thinner than their name."""

CLASS_5_MOHM_PER_M: Mapping[float, float] = {
    0.5: 39.0,
    0.75: 26.0,
    1.0: 19.5,
    1.5: 13.3,
    2.5: 7.98,
    4.0: 4.95,
    6.0: 3.3,
    10.0: 1.91,
    16.0: 1.21,
    25.0: 0.78,
    35.0: 0.554,
    50.0: 0.386,
}
"""mm² -> largest mΩ per metre at 20 °C."""

SMALLEST_MM2, LARGEST_MM2 = 0.02, 150.0

_AWG = re.compile(
    r"(?:awg|ga(?:uge|\.)?)? ?(0000|000|00|[0-9]{1,2}|[1-4]/0) ?(?:awg|ga(?:uge|\.)?)?"
)
_MM2 = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?(?:mm²|mm2|mm\^2|sqmm|qmm)?")
_AUGHTS = {"00": -1, "000": -2, "0000": -3}


class SectionError(ValueError):
    """A cross-section that is not understood; the message shows how to write one."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"“{text[:40]}” is no cross-section; write 0.75 (square millimetres) or AWG 18."
        )


def awg_diameter_mm(number: int) -> float:
    """Diameter of a solid conductor; 0000 counts as −3.

    >>> round(awg_diameter_mm(18), 4)
    1.0237
    """
    return 0.127 * 92 ** ((36 - number) / 39)


def awg_area_mm2(number: int) -> float:
    """Cross-section of an AWG number, mm².

    >>> round(awg_area_mm2(18), 4)
    0.823
    """
    return math.pi / 4 * awg_diameter_mm(number) ** 2


def area_of(text: str) -> float:
    """mm² from text: "0.75", "0,75 mm²", "AWG 18", "18 ga", "2/0 AWG". A bare number is mm².

    Raises SectionError.

    >>> area_of("1,5"), round(area_of("AWG 12"), 4)
    (1.5, 3.3088)
    """
    bare = " ".join(text.casefold().split())
    plain = _MM2.fullmatch(bare) if bare.isascii() or bare.endswith("mm²") else None
    if plain is not None:
        area = float(plain[1].replace(",", "."))
    else:
        found = _AWG.fullmatch(bare)
        if found is None:
            raise SectionError(text)
        area = awg_area_mm2(_awg_number(found[1]))
    if not SMALLEST_MM2 <= area <= LARGEST_MM2:
        raise SectionError(text)
    return area


def _awg_number(written: str) -> int:
    if written.endswith("/0"):
        return 1 - int(written[0])
    return _AUGHTS[written] if written in _AUGHTS else int(written)


def resistance_ohm(area_mm2: Any, length_m: Any, temperature_c: Any = 20.0) -> Any:
    """Ω of a copper conductor: L / (58 A) x (1 + 0.00393 (T − 20)), with or without uncertainty.

    >>> round(resistance_ohm(0.5, 3), 6)
    0.103448
    """
    return length_m / (CONDUCTIVITY * area_mm2) * (1 + RISE_PER_K * (temperature_c - 20.0))
