"""Chance of conformity and the decision rule, against JCGM 106:2012, ILAC-G8:09/2019 and scipy."""

from __future__ import annotations

import math

import pytest

from measurements.core.decision import RISK, conformance, decide, normal_cdf
from tests.reference.conftest import Against

CLAUSE_7 = "JCGM 106:2012, clause 7, worked by hand and with scipy"
GUARD_BAND = "guard band w = U, k = 2: ILAC-G8:09/2019, JCGM 106:2012, 8.3; worked by hand"


def bounds_in_words(low: float | None, high: float | None) -> str:
    if low is None:
        return f"at most {high}"
    return f"at least {low}" if high is None else f"{low} to {high}"


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
def test_normal_table(z: float, phi: float, against: Against) -> None:
    against(
        f"Φ({z})",
        "printed tables of the normal distribution, four digits",
        expected=phi,
        got=normal_cdf(z),
        within=6e-5,
    )


@pytest.mark.parametrize(("y", "u", "low", "high", "p"), CASES)
def test_conformance_as_published(
    y: float, u: float, low: float | None, high: float | None, p: float, against: Against
) -> None:
    against(
        f"chance of conformity, {y} with u {u}, {bounds_in_words(low, high)}",
        CLAUSE_7,
        expected=p,
        got=conformance(y, u, low, high),
        within=6e-5,
    )


@pytest.mark.parametrize("y", [12.0, 13.79, 13.8, 14.3, 14.79, 15.2])
@pytest.mark.parametrize("u", [0.01, 0.08, 0.4])
def test_conformance_against_scipy(y: float, u: float, against: Against) -> None:
    """scipy's normal distribution is the independent library; tolerance: rounding of erfc."""
    norm = pytest.importorskip("scipy.stats").norm
    for low, high in ((None, 14.8), (13.8, None), (13.8, 14.8)):
        upper = norm.cdf(14.8, y, u) if high else 1.0
        lower = norm.cdf(13.8, y, u) if low else 0.0
        found = conformance(y, u, low, high)
        assert found == pytest.approx(upper - lower, abs=1e-12)
        if (y, u) == (14.79, 0.08):  # one of the eighteen stands for all on the help page
            against(
                f"chance of conformity, {y} with u {u}, {bounds_in_words(low, high)}",
                "scipy.stats.norm",
                expected=float(upper - lower),
                got=found,
                within=1e-12,
            )


def test_breakdown_voltage_of_the_guide(against: Against) -> None:
    against(
        "breakdown voltage −5.47 V, u 0.05 V, upper limit −5.40 V: chance of conformity",
        "JCGM 106:2012, example, from memory",
        expected=0.919,
        got=conformance(-5.47, 0.05, high=-5.40),
        within=5e-4,
    )


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
    y: float,
    expanded: float,
    low: float | None,
    high: float | None,
    outcome: str,
    against: Against,
) -> None:
    """On the edge of the guard band: y = T - U is within, y = T + U cannot tell."""
    against(
        f"decision on {y} ± {expanded}, {bounds_in_words(low, high)}",
        GUARD_BAND,
        expected=outcome.replace("_", " "),
        got=decide(y, expanded / 2, low, high).outcome.replace("_", " "),
    )


def test_default_risk_is_two_standard_uncertainties(against: Against) -> None:
    """ILAC-G8 with w = U: false acceptance at most 2.5 %."""
    norm = pytest.importorskip("scipy.stats").norm
    against(
        "accepted risk, Φ(−2)",
        "scipy.stats.norm",
        expected=float(norm.cdf(-2)),
        got=RISK,
        relative=1e-12,
    )
    assert pytest.approx(0.02275, abs=5e-6) == RISK


@pytest.mark.parametrize(
    ("limit", "u", "target", "side", "guard", "acceptance"),
    [(0.2, 0.01, 0.95, 1, 0.01645, 0.18355), (12.4, 0.03, 0.95, -1, 0.04935, 12.44935)],
)
def test_guard_band_for_another_risk(
    limit: float,
    u: float,
    target: float,
    side: int,
    guard: float,
    acceptance: float,
    against: Against,
) -> None:
    """ISO 14253-1, seen second-hand; factor from scipy: acceptance ends at limit -+ 1.645 u."""
    norm = pytest.importorskip("scipy.stats").norm
    assert norm.ppf(target) * u == pytest.approx(guard, abs=5e-6)
    bounds = {"high": limit} if side > 0 else {"low": limit}
    inward = acceptance - side * 1e-5
    outward = acceptance + side * 1e-5
    for where, value, outcome in (
        ("inside", inward, "within"),
        ("outside", outward, "cannot_tell"),
    ):
        against(
            f"decision just {where} the acceptance limit {acceptance} (limit {limit}, u {u}, 95 %)",
            "ISO 14253-1, seen second-hand; factor 1.645 from scipy",
            expected=outcome.replace("_", " "),
            got=decide(value, u, risk=1 - target, **bounds).outcome.replace("_", " "),
        )


def test_window_too_narrow_for_the_instrument() -> None:
    """Architecture: about 4.6 u; exactly 2 Φ^-1(1 - a/2) u, from scipy."""
    norm = pytest.importorskip("scipy.stats").norm
    width = 2 * norm.ppf(1 - RISK / 2)
    assert width == pytest.approx(4.56, abs=0.01)
    assert decide(0, 1, -width / 2 * 0.999, width / 2 * 0.999).too_narrow
    assert not decide(0, 1, -width / 2 * 1.001, width / 2 * 1.001).too_narrow
    assert decide(0, 1, -width / 2 * 0.999, width / 2 * 0.999).outcome == "cannot_tell"


def test_simple_acceptance_without_uncertainty(against: Against) -> None:
    against(
        "decision on 0.2 without uncertainty, at most 0.2",
        "simple acceptance, JCGM 106:2012, 8.2",
        expected="within",
        got=decide(0.2, 0, high=0.2).outcome,
    )
    assert decide(math.nextafter(0.2, 1), 0, high=0.2).outcome == "outside"
