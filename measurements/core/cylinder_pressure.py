"""Pressures in a cylinder: cranking compression, what oil adds, leak-down, and the air outside.

Pure arithmetic; numbers with or without uncertainty. Pressures in kPa.
"""

from __future__ import annotations

from typing import Any

from measurements.core.units import STANDARD_ATMOSPHERE_KPA


def share_percent(pressure: Any, highest: Any) -> Any:
    """A cylinder's gauge pressure in per cent of the highest one."""
    return 100 * pressure / highest


def rise_percent(dry: Any, wet: Any) -> Any:
    """By how many per cent oil in the cylinder raises its gauge pressure."""
    return 100 * (wet / dry - 1)


def sea_level_kpa(gauge_kpa: Any, ambient_kpa: Any) -> Any:
    """The gauge pressure that the same engine would give under the standard atmosphere.

    Absolute pressure in the cylinder is the air's times a constant, so the gauge pressure follows
    the air's pressure. Tables of the trade often print the ratio of densities instead, which is
    what power follows.
    """
    return gauge_kpa * STANDARD_ATMOSPHERE_KPA / ambient_kpa


def expected_kpa(ratio: float, exponent: Any, ambient_kpa: Any) -> Any:
    """Rough gauge pressure of a sound cylinder: air x (ratio ^ exponent - 1), polytropic.

    The exponent is about 1.2 to 1.3 while cranking (common practice); late closing of the inlet
    valve lowers the pressure. For information only.
    """
    return ambient_kpa * (ratio**exponent - 1)


def leak_percent(regulated_kpa: Any, cylinder_kpa: Any) -> Any:
    """Leak-down: how far the pressure falls behind the tester's orifice, per cent."""
    return 100 * (1 - cylinder_kpa / regulated_kpa)
