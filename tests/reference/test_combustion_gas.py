"""Rise from a cold start against routes that share no code with it.

Saturation pressures of IAPWS-IF97 (`iapws` library), the gas by amounts of substance, the accuracy
rule of JCGM 100. Half glycol has a water activity of 0.7555 (ideal mixing). The colour test has no
published figure to check: how often it errs is not known to any authority.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from iapws.iapws97 import _PSat_T

from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.combustion_gas import PROCEDURE
from tests.reference.conftest import Against

GAS_CONSTANT = 8.314462618  # J/(mol K), CODATA 2018
AMBIENT = 101.325
HALF = 0.7555


def rise_to(end_c: float, gauge: float, gas_l: str = "1") -> Assessment:
    """From 20 °C and no pressure to `end_c`, 8 L of half glycol."""
    typed = {
        "given.coolant": "half",
        "given.gas_space": "known",
        "given.gas_space_l": gas_l,
        "given.coolant_volume": "8",
        "rise.s1.pressure": "0",
        "rise.s1.temperature": "20",
        "rise.s2.pressure": f"{gauge:g}",
        "rise.s2.temperature": f"{end_c:g}",
    }
    context = Context(fault_present="yes")
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def by_amounts(end_c: float, activity: float, expansion: float, gas_l: float = 1.0) -> float:
    """Gauge pressure at the end, by moles of air in the room that 8 L of coolant leave."""
    vapour = [activity * 1000 * _PSat_T(celsius + 273.15) for celsius in (20.0, end_c)]
    moles = (AMBIENT - vapour[0]) * gas_l / (GAS_CONSTANT * 293.15)
    room = gas_l - 8 * expansion * (end_c - 20)
    return moles * GAS_CONSTANT * (end_c + 273.15) / room + vapour[1] - AMBIENT


# Published nowhere; worked twice with IAPWS-IF97: held volume, and squeezed by 8 L of coolant at
# 5.0e-4 per kelvin.
WARMING_ONLY = [
    (25, 2.3, 4.4),
    (30, 4.8, 9.1),
    (40, 10.6, 19.9),
    (50, 17.8, 32.7),
    (60, 26.9, 48.4),
]


@pytest.mark.parametrize(("end_c", "held_kpa", "squeezed_kpa"), WARMING_ONLY)
def test_what_warming_alone_does_is_never_called_gas(
    end_c: float, held_kpa: float, squeezed_kpa: float
) -> None:
    assert by_amounts(end_c, HALF, 0.0) == pytest.approx(held_kpa, abs=0.06)
    assert by_amounts(end_c, HALF, 5.0e-4) == pytest.approx(squeezed_kpa, abs=0.06)
    for gauge in (held_kpa, squeezed_kpa):
        found = rise_to(end_c, gauge)
        assert found.pattern != "rises_beyond_warming"
        assert found.verdict("figure.excess_rise").outcome != "outside"


@pytest.mark.parametrize("end_c", [25.0, 40.0, 60.0])
@pytest.mark.parametrize("gas_l", ["0.6", "1.5"])
def test_expected_rise_is_the_average_over_what_nobody_sees(
    end_c: float, gas_l: str, against: Against
) -> None:
    """Water activity 0 to 0.8055, coolant from held to free at 6e-4 per kelvin, 200 x 200 even
    points; 0.1 kPa or 1 % covers the two saturation equations and the three-point rule."""
    steps = (np.arange(200) + 0.5) / 200
    average = np.mean(
        [
            by_amounts(end_c, (HALF + 0.05) * moist, 6.0e-4 * steps, float(gas_l)).mean()
            for moist in steps
        ]
    )
    figure = rise_to(end_c, 10, gas_l).figure("expected_rise")
    assert figure is not None and figure.value is not None
    against(
        f"rise by warming alone, 20 to {end_c:g} °C, {gas_l} L of gas over 8 L of half glycol",
        "IAPWS-IF97 and moles of gas, averaged over 40,000 points",
        expected=float(average),
        got=figure.value,
        relative=0.01,
        within=0.1,
        unit="kPa",
    )


def test_excess_is_the_rise_less_what_warming_explains(against: Against) -> None:
    found = rise_to(30, 60)
    figures = {figure.key: figure.value for figure in found.figures}
    against(
        "rise as read, 0 to 60 kPa",
        "subtraction by hand",
        expected=60.0,
        got=figures["rise"],
        relative=1e-9,
        unit="kPa",
    )
    against(
        "rise beyond warming",
        "subtraction by hand",
        expected=60 - figures["expected_rise"],
        got=figures["excess_rise"],
        within=1e-9,
        unit="kPa",
    )
    assert 60 - 9.1 <= figures["excess_rise"] <= 60
    assert found.pattern == "rises_beyond_warming"


def test_uncertainty_of_no_rise_at_all(against: Against) -> None:
    """By hand after JCGM 100: needle read to 2 kPa (u = 2/√12) and by an eye (0.5 kPa), twice; at
    one pressure the class of the gauge cancels."""
    rise = rise_to(20, 0).figure("rise")
    assert rise is not None
    assert rise.value == pytest.approx(0, abs=1e-9)
    against(
        "standard uncertainty of a rise, needle read to 2 kPa by eye, twice",
        "JCGM 100:2008, F.2.2.1 and 5.1.2, by hand",
        expected=math.sqrt(2 * (2**2 / 12 + 0.5**2)),
        got=rise.u,
        relative=1e-3,
        unit="kPa",
    )
