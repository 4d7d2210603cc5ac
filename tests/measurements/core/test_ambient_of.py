"""Air pressure for a test: barometer before height before what the shop is known to have."""

from __future__ import annotations

import pytest

from measurements.core.atmosphere import ambient_of
from measurements.core.context import Ambient, Context
from measurements.core.readings import validate
from measurements.procedures.pressure_hold import PROCEDURE

CONTEXT = Context(ambient=Ambient(95.0, 0.8))


@pytest.mark.parametrize(
    ("typed", "kpa"),
    [
        ({"given.ambient": "99.9", "given.altitude": "1500"}, 99.9),
        ({"given.altitude": "1500"}, 84.556),
        ({}, 95.0),
    ],
)
def test_the_nearest_source_counts(typed: dict[str, str], kpa: float) -> None:
    found = ambient_of(validate(PROCEDURE, typed, CONTEXT).readings, CONTEXT)
    assert found.nominal_value == pytest.approx(kpa, abs=0.001)


def test_a_height_leaves_the_weather_open() -> None:
    found = ambient_of(validate(PROCEDURE, {"given.altitude": "0"}, CONTEXT).readings, CONTEXT)
    assert found.std_dev == pytest.approx(0.8)
