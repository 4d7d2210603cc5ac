"""Chance of conformity and the decision rule, against JCGM 106:2012 and scipy.

Worked values: trade reference 6.2 and 6.3 (JCGM 106 clause 7 and 8, ILAC-G8:09/2019).
"""

from __future__ import annotations

import math

import pytest

from measurements.core.decision import RISK, conformance, decide, normal_cdf

CASES = [
    (0.19, 0.01, None, 0.2, 0.8413),
    (0.205, 0.01, None, 0.2, 0.3085),
    (14.32, 0.05, 13.8, 14.8, 1.0),
    (12.38, 0.03, 12.4, None, 0.2525),
    (14.75, 0.05, 13.8, 14.8, 0.8413),
    (0.2, 0.01, None, 0.2, 0.5),
]


@pytest.mark.parametrize(
    ("z", "phi"),
    [
        (0, 0.5),
        (0.5, 0.6915),
        (1, 0.8413),
        (1.28, 0.8997),
        (1.645, 0.95),
        (1.96, 0.975),
        (2, 0.9772),
        (2.33, 0.9901),
        (3, 0.9987),
    ],
)
def test_normal_table(z: float, phi: float) -> None:
    """The usual table of the normal distribution, four digits."""
    assert normal_cdf(z) == pytest.approx(phi, abs=6e-5)


@pytest.mark.parametrize(("y", "u", "low", "high", "p"), CASES)
def test_conformance_as_published(
    y: float, u: float, low: float | None, high: float | None, p: float
) -> None:
    """JCGM 106:2012 clause 7, values of the trade reference 6.2."""
    assert conformance(y, u, low, high) == pytest.approx(p, abs=6e-5)


@pytest.mark.parametrize("y", [12.0, 13.79, 13.8, 14.3, 14.79, 15.2])
@pytest.mark.parametrize("u", [0.01, 0.08, 0.4])
def test_conformance_against_scipy(y: float, u: float) -> None:
    """scipy's normal distribution is the independent library; tolerance: rounding of erfc."""
    norm = pytest.importorskip("scipy.stats").norm
    for low, high in ((None, 14.8), (13.8, None), (13.8, 14.8)):
        upper = norm.cdf(14.8, y, u) if high else 1.0
        lower = norm.cdf(13.8, y, u) if low else 0.0
        assert conformance(y, u, low, high) == pytest.approx(upper - lower, abs=1e-12)


def test_breakdown_voltage_of_the_guide() -> None:
    """JCGM 106:2012, breakdown voltage (M): -5.47 V, u 0.05 V, upper limit -5.40 V: 0.919."""
    assert conformance(-5.47, 0.05, high=-5.40) == pytest.approx(0.919, abs=5e-4)


@pytest.mark.parametrize(
    ("y", "expanded", "low", "high", "outcome"),
    [
        (0.17, 0.02, None, 0.2, "within"),
        (0.19, 0.02, None, 0.2, "cannot_tell"),
        (0.21, 0.02, None, 0.2, "cannot_tell"),
        (0.23, 0.02, None, 0.2, "outside"),
        (14.75, 0.1, 13.8, 14.8, "cannot_tell"),
        (0.18, 0.02, None, 0.2, "within"),
        (0.22, 0.02, None, 0.2, "cannot_tell"),
    ],
)
def test_decisions_as_published(
    y: float, expanded: float, low: float | None, high: float | None, outcome: str
) -> None:
    """Trade reference 6.3, guard band w = U with k = 2 (ILAC-G8, JCGM 106 8.3); edges as there."""
    assert decide(y, expanded / 2, low, high).outcome == outcome


def test_default_risk_is_two_standard_uncertainties() -> None:
    """ILAC-G8 with w = U: false acceptance at most 2.5 %; here Φ(-2) from scipy."""
    norm = pytest.importorskip("scipy.stats").norm
    assert pytest.approx(norm.cdf(-2), rel=1e-12) == RISK
    assert pytest.approx(0.02275, abs=5e-6) == RISK


@pytest.mark.parametrize(
    ("limit", "u", "target", "side", "guard", "acceptance"),
    [(0.2, 0.01, 0.95, 1, 0.01645, 0.18355), (12.4, 0.03, 0.95, -1, 0.04935, 12.44935)],
)
def test_guard_band_for_another_risk(
    limit: float, u: float, target: float, side: int, guard: float, acceptance: float
) -> None:
    """Trade reference 6.3 (ISO 14253-1, factor from scipy): acceptance ends at limit -+ 1.645 u."""
    norm = pytest.importorskip("scipy.stats").norm
    assert norm.ppf(target) * u == pytest.approx(guard, abs=5e-6)
    bounds = {"high": limit} if side > 0 else {"low": limit}
    inward = acceptance - side * 1e-5
    outward = acceptance + side * 1e-5
    assert decide(inward, u, risk=1 - target, **bounds).outcome == "within"
    assert decide(outward, u, risk=1 - target, **bounds).outcome == "cannot_tell"


def test_window_too_narrow_for_the_instrument() -> None:
    """Architecture: about 4.6 u; exactly 2 Φ^-1(1 - a/2) u, from scipy."""
    norm = pytest.importorskip("scipy.stats").norm
    width = 2 * norm.ppf(1 - RISK / 2)
    assert width == pytest.approx(4.56, abs=0.01)
    assert decide(0, 1, -width / 2 * 0.999, width / 2 * 0.999).too_narrow
    assert not decide(0, 1, -width / 2 * 1.001, width / 2 * 1.001).too_narrow
    assert decide(0, 1, -width / 2 * 0.999, width / 2 * 0.999).outcome == "cannot_tell"


def test_simple_acceptance_without_uncertainty() -> None:
    """JCGM 106 8.2 with u = 0: on the limit is inside."""
    assert decide(0.2, 0, high=0.2).outcome == "within"
    assert decide(math.nextafter(0.2, 1), 0, high=0.2).outcome == "outside"
