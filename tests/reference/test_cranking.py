"""Loaded minimum, a battery's resistance and power against service data, pint and random draws.

The loaded minimum is printed alike in several makers' service data (seen second-hand); 10 V while
cranking is common practice.
"""

from __future__ import annotations

import numpy as np
import pint
import pytest

from measurements.core.assessment import Assessment
from measurements.core.battery import loaded_minimum_v
from measurements.core.run_file import run_data
from measurements.procedures.cranking import PROCEDURE, battery_resistance_mohm, held_least_v
from tests.reference.conftest import Against

SERVICE_DATA = "makers' service data, seen second-hand: half the cold rating for 15 s"
CELSIUS = [-18, -12, -7, -1, 4, 10, 16, 20]
VOLTS = [8.5, 8.7, 8.9, 9.1, 9.3, 9.4, 9.5, 9.6]


def judged(**typed: str) -> Assessment:
    readings = {key.replace("__", "."): text for key, text in typed.items()}
    return run_data(PROCEDURE, {"typed": readings}).assessment


@pytest.mark.parametrize(("celsius", "volts"), [*zip(CELSIUS, VOLTS, strict=True), (21, 9.6)])
def test_loaded_minimum_of_the_table(celsius: float, volts: float, against: Against) -> None:
    against(
        f"loaded minimum at {celsius} °C",
        SERVICE_DATA,
        expected=volts,
        got=loaded_minimum_v(celsius),
        within=1e-9,
        unit="V",
    )


def test_loaded_minimum_between_the_points(against: Against) -> None:
    """−10 °C: 8.7 + 0.2 x 2 / 5; numpy's interp holds the ends level, as the table is used."""
    against(
        "loaded minimum at −10 °C",
        SERVICE_DATA,
        expected=8.78,
        got=loaded_minimum_v(-10),
        within=1e-9,
        unit="V",
    )
    grid = np.linspace(-40, 60, 500)
    ours = [loaded_minimum_v(float(celsius)) for celsius in grid]
    against(
        "greatest difference from numpy.interp, −40 to 60 °C",
        "numpy.interp",
        expected=0.0,
        got=float(np.max(np.abs(np.interp(grid, CELSIUS, VOLTS) - ours))),
        within=1e-9,
        unit="V",
    )


@pytest.mark.parametrize(("celsius", "volts"), [(20, 10.0), (35, 10.0), (-18, 8.9), (4, 9.7)])
def test_held_volts_fall_in_the_cold_like_the_load_test(
    celsius: float, volts: float, against: Against
) -> None:
    against(
        f"least usual volts held while cranking at {celsius} °C",
        "common practice: 10 V at 20 °C, lowered as the load-test table",
        expected=volts,
        got=held_least_v(celsius),
        within=1e-9,
        unit="V",
    )


@pytest.mark.parametrize(("rest", "held", "amps"), [(12.6, 10.8, 180), (25.4, 21.8, 620)])
def test_resistance_and_power_against_pint(
    rest: float, held: float, amps: float, against: Against
) -> None:
    """pint with its own registry, not ours."""
    ureg = pint.get_application_registry()
    ohms = ((rest - held) * ureg.volt / (amps * ureg.ampere)).to("milliohm").magnitude
    against(
        f"battery's resistance, {rest} V to {held} V at {amps} A",
        "Ohm's law by pint",
        expected=ohms,
        got=battery_resistance_mohm(rest, held, amps),
        relative=1e-12,
        unit="mΩ",
    )
    volts = 24 if rest > 20 else 12
    result = run_data(
        PROCEDURE,
        {
            "context": {"car": {"volts": volts}},
            "typed": {
                "given.rest": f"{rest:.2f}",
                "attempts.first.volts": f"{held:.2f}",
                "attempts.first.current": str(amps),
            },
        },
    ).assessment
    power, resistance = result.figure("power"), result.figure("resistance")
    assert power is not None and resistance is not None
    against(
        f"power, {held} V at {amps} A",
        "pint",
        expected=(held * ureg.volt * amps * ureg.ampere).to("kilowatt").magnitude,
        got=power.value,
        relative=1e-9,
        unit="kW",
    )
    assert resistance.value == pytest.approx(ohms / 1000, rel=1e-9)


def test_uncertainties_by_sampling(against: Against) -> None:
    """12.60 V to 10.80 V at 180.0 A; the meter's gain is shared by both volts; 400,000 draws."""
    result = judged(
        given__rest="12.60", attempts__first__volts="10.80", attempts__first__current="180.0"
    )
    draw, n = np.random.default_rng(5), 400_000
    gain = 1 + draw.uniform(-0.005, 0.005, n)
    rest = 12.6 * gain + draw.uniform(-0.03, 0.03, n)
    held = 10.8 * gain + draw.uniform(-0.03, 0.03, n)
    amps = 180 * (1 + draw.uniform(-0.02, 0.02, n)) + draw.uniform(-0.5, 0.5, n)
    for key, sample, unit in (
        ("fall", rest - held, "V"),
        ("resistance", (rest - held) / amps, "Ω"),
        ("power", held * amps / 1000, "kW"),
    ):
        found = result.figure(key)
        assert found is not None
        against(
            f"standard uncertainty of {found.label}",
            "400,000 random draws",
            expected=float(sample.std()),
            got=found.u,
            relative=0.02,
            unit=unit,
        )


def test_fall_is_the_difference_of_the_two_readings(against: Against) -> None:
    found = judged(given__rest="12.60", attempts__first__volts="10.80").figure("fall")
    assert found is not None
    against(
        "12.60 V less 10.80 V",
        "subtraction by hand",
        expected=1.80,
        got=found.value,
        within=1e-9,
        unit="V",
    )
