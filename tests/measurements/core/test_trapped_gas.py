"""Gas above the coolant: what temperature does to it, within brackets that nobody can see into."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm, qmc
from uncertainties import ufloat

from measurements.core.trapped_gas import (
    NoGasLeftError,
    NotInBalanceError,
    Unknowns,
    air_loss_ml_min,
    coolant_loss_ml,
    expected_kpa,
    gas_volume_ratio,
    no_leak_kpa,
)

gauges = st.floats(30, 150)
cool = st.floats(5, 80)
activities = st.floats(0, 1)


@pytest.mark.parametrize(("gauge", "celsius"), [(20, 110), (0, 101), (-20, 95)])
def test_more_vapour_than_pressure_is_refused_with_its_numbers(
    gauge: float, celsius: float
) -> None:
    with pytest.raises(NotInBalanceError, match=f"{celsius:g} °C") as caught:
        no_leak_kpa(gauge, celsius, 25, activity=1)
    assert caught.value.vapour_kpa > gauge + 101.325


def test_coolant_that_fills_the_gas_space_is_refused() -> None:
    with pytest.raises(NoGasLeftError, match="20 K"):
        gas_volume_ratio(-20, 0.05)


@given(gauges, cool, activities, st.floats(0, 0.02))
def test_nothing_changes_at_a_steady_temperature(
    gauge: float, celsius: float, activity: float, contraction: float
) -> None:
    found = no_leak_kpa(gauge, celsius, celsius, activity=activity, contraction_per_k=contraction)
    assert found == pytest.approx(gauge, abs=1e-9)


@given(gauges, cool, st.floats(0.5, 40), activities)
def test_cooling_lowers_and_warming_raises(
    gauge: float, celsius: float, step: float, activity: float
) -> None:
    assert no_leak_kpa(gauge, celsius, celsius - step, activity=activity) < gauge
    assert no_leak_kpa(gauge, celsius, celsius + step, activity=activity) > gauge


@given(gauges, st.floats(40, 80), st.floats(1, 30))
def test_moist_gas_and_shrinking_coolant_fall_further(
    gauge: float, celsius: float, step: float
) -> None:
    dry = no_leak_kpa(gauge, celsius, celsius - step)
    moist = no_leak_kpa(gauge, celsius, celsius - step, activity=0.75)
    contracting = no_leak_kpa(
        gauge, celsius, celsius - step, activity=0.75, contraction_per_k=0.003
    )
    assert contracting < moist < dry


@given(gauges, cool, st.floats(0, 30), activities)
def test_there_and_back_is_where_it_was(
    gauge: float, celsius: float, step: float, activity: float
) -> None:
    down = no_leak_kpa(gauge, celsius + step, celsius, activity=activity)
    back = no_leak_kpa(down, celsius, celsius + step, activity=activity)
    assert back == pytest.approx(gauge, abs=1e-8)


@given(st.floats(0.1, 3), gauges, st.floats(0, 25))
def test_no_fall_is_no_loss_and_a_larger_gas_space_a_larger_one(
    gas_l: float, gauge: float, fall: float
) -> None:
    assert coolant_loss_ml(gas_l, gauge, gauge, 101.325) == 0
    loss = coolant_loss_ml(gas_l, gauge, gauge - fall, 101.325)
    assert coolant_loss_ml(2 * gas_l, gauge, gauge - fall, 101.325) == pytest.approx(2 * loss)
    assert air_loss_ml_min(gas_l, fall, 60) >= 0


WIDE = Unknowns(driest=0.7, moistest=0.81, contraction_per_k=0.0096)
NARROW = Unknowns(driest=0.97, moistest=1.0, contraction_per_k=0.0024)


@pytest.mark.parametrize(
    ("gauge", "start", "end", "unknowns"),
    [
        (104, 62, 58, WIDE),
        (100, 36, 31, NARROW),
        (90, 25, 37, NARROW),
        (104, 21, 20, WIDE),
        (100, 90, 60, NARROW),
    ],
)
def test_fixed_points_agree_with_sampling_the_whole_model(
    gauge: float, start: float, end: float, unknowns: Unknowns
) -> None:
    """Propagation of distributions (JCGM 101), 4096 low-discrepancy points, always the same.

    Two per cent of u: the code takes the readings to first order only.
    """
    u_gauge, u_start, u_end, u_ambient = 1.5, 0.8, 0.8, 1.5
    values = []
    points = qmc.Sobol(6, rng=7).random(4096)
    for (moist, free), z in zip(points[:, :2], norm.ppf(points[:, 2:]), strict=True):
        values.append(
            no_leak_kpa(
                gauge + u_gauge * z[0],
                start + u_start * z[1],
                end + u_end * z[2],
                ambient_kpa=101.325 + u_ambient * z[3],
                activity=moist * unknowns.moistest,
                contraction_per_k=free * unknowns.contraction_per_k,
            )
        )
    mean = sum(values) / len(values)
    spread = math.sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1))
    found = expected_kpa(
        ufloat(gauge, u_gauge),
        ufloat(start, u_start),
        ufloat(end, u_end),
        ufloat(101.325, u_ambient),
        unknowns,
    )
    assert found.nominal_value == pytest.approx(mean, abs=0.02 * spread)
    assert found.std_dev == pytest.approx(spread, rel=0.02)


def test_an_error_shared_by_both_temperatures_cancels() -> None:
    """A thermometer that stands 2 K wrong at both ends hardly moves the prediction."""
    wrong = ufloat(0, 2)
    together = expected_kpa(ufloat(100, 0.1), 30 + wrong, 30 + wrong, ufloat(101.325, 0.1), NARROW)
    apart = expected_kpa(
        ufloat(100, 0.1), ufloat(30, 2), ufloat(30, 2), ufloat(101.325, 0.1), NARROW
    )
    assert together.std_dev < 0.15 < 1 < apart.std_dev


def test_a_gauge_that_stops_at_nought_shows_nought() -> None:
    found = expected_kpa(
        ufloat(5, 0.1), ufloat(90, 0.1), ufloat(20, 0.1), ufloat(101.325, 0.1), NARROW
    )
    assert found.nominal_value == pytest.approx(0, abs=1e-9)
