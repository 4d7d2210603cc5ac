"""Saturation pressure: what must hold at any temperature. Values stand in tests/reference."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.saturation import (
    CRITICAL_C,
    CRITICAL_KPA,
    GlycolShareError,
    NoBoilingPointError,
    TemperatureOutOfRangeError,
    boiling_c,
    saturation_kpa,
    water_activity,
)

temperatures = st.floats(0, CRITICAL_C)


@pytest.mark.parametrize("temperature_c", [-0.01, -40, 374, float("nan"), float("inf")])
def test_no_pressure_where_water_and_vapour_cannot_stand_together(temperature_c: float) -> None:
    with pytest.raises(TemperatureOutOfRangeError, match=f"{temperature_c:g}"):
        saturation_kpa(temperature_c)


@pytest.mark.parametrize(
    ("pressure", "activity"), [(0.1, 1.0), (30_000, 1.0), (101, 0.0), (101, -1)]
)
def test_no_boiling_point_is_made_up(pressure: float, activity: float) -> None:
    with pytest.raises(NoBoilingPointError, match=f"{pressure:g}"):
        boiling_c(pressure, water_activity=activity)


@pytest.mark.parametrize("percent", [-1, 100.5, float("nan")])
def test_a_share_of_glycol_lies_between_nothing_and_all(percent: float) -> None:
    with pytest.raises(GlycolShareError, match=f"{percent:g}"):
        water_activity(percent)


def test_pressure_ends_at_the_critical_point() -> None:
    assert saturation_kpa(CRITICAL_C) == pytest.approx(CRITICAL_KPA, rel=1e-9)


@given(temperatures, temperatures)
def test_warmer_water_has_more_vapour(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert saturation_kpa(low) <= saturation_kpa(high)


@given(st.floats(1, 200), st.floats(0.3, 1.0))
def test_boiling_point_is_where_the_vapour_reaches_the_pressure(
    temperature_c: float, activity: float
) -> None:
    pressure = activity * saturation_kpa(temperature_c)
    assert boiling_c(pressure, water_activity=activity) == pytest.approx(temperature_c, abs=1e-6)


@given(st.floats(0, 100), st.floats(0, 100))
def test_more_glycol_leaves_less_water(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert 0 <= water_activity(high) <= water_activity(low) <= 1
