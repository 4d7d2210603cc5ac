"""Two readings of one instrument: a change is known better than either value."""

from __future__ import annotations

import math

import pytest

from measurements.core.one_gauge import two_readings
from measurements.core.readings import Reading


def reading(kpa: float, own: float, digit: float = 0.0, gain: float = 0.0) -> Reading:
    return Reading(
        "at",
        "gauge",
        str(kpa),
        quantity="gauge_pressure",
        value=kpa,
        own=own,
        digit=digit,
        gain=gain,
    )


def u_of_change(first: Reading, last: Reading, reach: float = 25.0) -> float:
    before, after = two_readings(
        (first.number or 0.0, first), (last.number or 0.0, last), 0.5, reach
    )
    return (after - before).std_dev


def test_at_one_place_of_the_scale_only_the_reading_of_the_needle_counts() -> None:
    one = reading(100, own=4.0, digit=2.0)
    assert u_of_change(one, one) == pytest.approx(math.sqrt(2 * (2**2 / 12 + 0.5**2)))


def test_far_apart_the_scale_counts_at_both_ends() -> None:
    u = u_of_change(reading(0, own=4.0), reading(10_000, own=4.0))
    assert u == pytest.approx(math.sqrt(2) * 4.0)


def test_one_reach_apart_the_scale_shares_1_by_e() -> None:
    own = math.hypot(4.0, 0.5)
    u = u_of_change(reading(100, own), reading(125, own))
    assert u**2 == pytest.approx(2 * 0.5**2 + 2 * 4.0**2 * (1 - math.exp(-1)))


def test_gain_counts_with_the_change_only() -> None:
    u = u_of_change(reading(100, 0.5, gain=0.01), reading(140, 0.5, gain=0.01))
    assert u**2 == pytest.approx(2 * 0.5**2 + (0.01 * 40) ** 2)
