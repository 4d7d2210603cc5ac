"""Leak-down against worked examples of the trade and routes that share no code with it.

Sources: worked examples of the trade reference (common practice for its bounds), two orifices in a
row by Bernoulli's law for small losses, and JCGM 101 (propagation by random draws) with numpy.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context, Engine
from measurements.core.cylinder_pressure import leak_percent
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.leak_down import PROCEDURE

FOUR = Context(car=Car(fuel="petrol", engine=Engine("inline", 4)))


def judged(regulated: str, *held: str) -> Assessment:
    typed = {"given.regulated": regulated}
    typed |= {f"cylinders.c{n}.pressure": text for n, text in enumerate(held, 1)}
    return assess(PROCEDURE, validate(PROCEDURE, typed, FOUR).readings, FOUR)


@pytest.mark.parametrize(
    ("regulated", "held", "leak"),
    [("100 psi", "92 psi", 8.0), ("80 psi", "60 psi", 25.0), ("690 kPa", "414 kPa", 40.0)],
)
def test_worked_examples_of_the_trade(regulated: str, held: str, leak: float) -> None:
    assert judged(regulated, held).figure("leak_c1").value == pytest.approx(leak, abs=1e-6)


def test_the_unit_of_the_gauges_does_not_matter() -> None:
    """A ratio of two pressures in one unit: 1 psi = 6.894757 kPa (NIST SP 811) cancels."""
    in_psi, in_kpa = judged("100 psi", "92 psi"), judged("689.4757 kPa", "634.3177 kPa")
    found = [one.figure("leak_c1").value for one in (in_psi, in_kpa)]
    assert found[0] == pytest.approx(found[1], abs=1e-4)


@pytest.mark.parametrize("size", [0.1, 0.5, 1.0])
def test_two_orifices_in_a_row(size: float) -> None:
    """Flow by the root of the pressure drop through tester and leak, areas 1 and `size`, solved
    numerically: the leak is size² / (1 + size²), and so depends on the tester's orifice."""
    held = brentq(lambda p: (100 - p) ** 0.5 - size * p**0.5, 0.0, 100.0, xtol=1e-12)
    assert leak_percent(100.0, held) == pytest.approx(100 * size**2 / (1 + size**2), rel=1e-9)


def test_spread_is_the_difference_of_the_two_farthest() -> None:
    """690 kPa: 640 held is 7.246 %, 414 held is 40 %."""
    found = judged("690 kPa", "640 kPa", "414 kPa").figure("spread")
    assert found.value == pytest.approx(40 - 100 * 50 / 690, rel=1e-9)
    assert found.value == pytest.approx(32.754, abs=0.001)


def test_uncertainty_of_leak_and_spread_by_random_draws() -> None:
    """JCGM 101. Both gauges ±2.5 % of 700 kPa as a bound, needle to 5 kPa, handling 3 kPa; the
    gauge behind the orifice is the same for both cylinders, its error cosine and sine between
    independent ones at the middle and the end of the scale."""
    generator = np.random.default_rng(7)
    draws = 400_000
    bound = 0.025 * 700 / 3**0.5
    middle, end = generator.normal(0, bound, (2, draws))

    def own() -> np.ndarray:
        return generator.normal(0, 3, draws) + generator.uniform(-2.5, 2.5, draws)

    def error(kpa: float, low: np.ndarray, high: np.ndarray, start: float) -> np.ndarray:
        angle = (kpa - start) / 350 * np.pi / 2
        return np.cos(angle) * low + np.sin(angle) * high

    before = 690 + generator.normal(0, bound, draws) + own()
    tight = 640 + error(640, middle, end, 350) + own()
    loose = 414 + error(414, middle, end, 350) + own()
    leaks = [100 * (1 - held / before) for held in (tight, loose)]
    found = judged("690 kPa", "640 kPa", "414 kPa")
    for key, expected in (
        ("leak_c1", leaks[0]),
        ("leak_c2", leaks[1]),
        ("spread", leaks[1] - leaks[0]),
    ):
        assert found.figure(key).value == pytest.approx(expected.mean(), abs=0.1)
        assert found.figure(key).u == pytest.approx(expected.std(), rel=0.03)
