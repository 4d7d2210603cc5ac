"""Readings of one gauge: what cancels in a comparison, and what doesn't."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.instruments import Instrument, Span, default_instrument
from measurements.core.one_gauge import on_one_gauge, two_readings
from measurements.core.readings import Reading
from measurements.core.uncertainty import resolution

CLASS_25 = Instrument("compression_gauge", "gauge", "±2.5 % of range", (Span(2500, 20),))


def read(value: float, *, own: float = 36.0, gain: float = 0.0, gauge: str = "one") -> Reading:
    return Reading(
        f"cylinders.c{value:g}.dry",
        "",
        "",
        quantity="gauge_pressure",
        value=value,
        u=own,
        own=own,
        gain=gain,
        shared_with=gauge,
    )


def on(*values: float, **how: float | str) -> list:
    readings = {str(n): read(value, **how) for n, value in enumerate(values)}
    return list(on_one_gauge(readings, CLASS_25, 0.0).values())


@given(st.floats(0, 3000))
def test_each_reading_keeps_its_own_uncertainty(value: float) -> None:
    (number,) = on(value)
    assert number.nominal_value == value
    assert number.std_dev == pytest.approx(36.0)


def test_readings_near_each_other_share_nearly_all_of_the_error() -> None:
    one, other = on(1200.0, 1180.0)
    assert (one - other).std_dev < 1.0


def test_readings_at_both_ends_of_the_scale_share_nothing() -> None:
    one, other = on(0.0, 2500.0)
    assert (one - other).std_dev == pytest.approx(36.0 * 2**0.5)


@given(st.floats(0, 1250), st.floats(0, 1250))
def test_a_difference_is_never_worse_than_of_two_gauges(one: float, other: float) -> None:
    first, second = on(one, other)
    assert (first - second).std_dev <= 36.0 * 2**0.5 + 1e-9


def test_an_error_in_per_cent_of_the_reading_cancels_in_a_ratio() -> None:
    low, high = on(860.0, 1200.0, own=0.0, gain=0.02)
    assert low.std_dev == pytest.approx(17.2)
    assert (low / high).std_dev == pytest.approx(0.0, abs=1e-12)


def test_two_gauges_share_nothing() -> None:
    readings = {"a": read(1200.0), "b": read(1200.0, gauge="other")}
    one, other = on_one_gauge(readings, CLASS_25, 0.0).values()
    assert (one - other).std_dev == pytest.approx(36.0 * 2**0.5)


def test_handling_and_rounding_are_shared_by_nobody() -> None:
    readings = {n: replace(read(1200.0, own=12.0), digit=20.0) for n in "ab"}
    one, other = on_one_gauge(readings, CLASS_25, 10.0).values()
    alone = (10.0**2 + resolution(20.0) ** 2) ** 0.5
    assert (one - other).std_dev == pytest.approx(alone * 2**0.5)


def test_without_a_known_range_each_reading_stands_alone() -> None:
    gauge = Instrument("compression_gauge", "gauge", "±30 kPa")
    one, other = on_one_gauge({"a": read(1200.0), "b": read(1200.0)}, gauge, 0.0).values()
    assert (one - other).std_dev == pytest.approx(36.0 * 2**0.5)


def test_what_has_no_number_is_left_out() -> None:
    lost = Reading("cylinders.c1.dry", "", "-", status="not_measured", quantity="gauge_pressure")
    assert on_one_gauge({"a": lost}, default_instrument("compression_gauge"), 0.0) == {}


def test_two_values_share_less_of_the_scale_the_further_they_are_apart() -> None:
    near, far = (
        (lambda pair: (pair[0] - pair[1]).std_dev)(
            two_readings((100.0, read(100.0)), (end, read(end)), 0.0, 25.0)
        )
        for end in (99.0, 10.0)
    )
    assert near < 0.3 * far <= 0.3 * 36.0 * 2**0.5
