"""Air pressure by height: what is refused, and which way it goes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.atmosphere import AltitudeOutOfRangeError, standard_pressure_kpa

heights = st.floats(-500, 5000)


@pytest.mark.parametrize("altitude_m", [-501, 5001, float("nan")])
def test_a_height_without_workshops_is_refused(altitude_m: float) -> None:
    with pytest.raises(AltitudeOutOfRangeError, match=f"{altitude_m:g}"):
        standard_pressure_kpa(altitude_m)


@given(heights, heights)
def test_air_is_thinner_higher_up(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert standard_pressure_kpa(high) <= standard_pressure_kpa(low)
