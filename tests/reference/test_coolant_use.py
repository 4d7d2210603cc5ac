"""The balance of coolant by exact fractions, its doubt by hand, and its trend by another route.

The balance itself is bookkeeping: what came in less what went out is what is there more. Nobody
publishes limits for it; those of the procedure are common practice and not checked here.
"""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pint
import pytest

from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.coolant_use import PROCEDURE, lost, per
from tests.reference.conftest import Against

CONTEXT = Context(fault_present="yes")
BALANCE = "conservation of volume, by exact fractions"
JCGM = "JCGM 100:2008, 4.3.7 and 5.1.2, by hand"

# level drop, added, caught, drained in mL, km -> lost, not caught, not caught per 1000 km
WORKED = [
    (300, 500, 150, 0, 800, "800", "650", "812.5"),
    (-50, 900, 120, 200, 1500, "650", "530", "1060/3"),
]


@pytest.mark.parametrize(
    ("drop", "added", "caught", "drained", "km", "in_all", "unseen", "rate"), WORKED
)
def test_balance_of_a_stretch(
    drop: int,
    added: int,
    caught: int,
    drained: int,
    km: int,
    in_all: str,
    unseen: str,
    rate: str,
    against: Against,
) -> None:
    """The worked values against fractions, the formulas and the whole procedure against both."""
    total = Fraction(drop) + added - drained
    assert (total, total - caught) == (Fraction(in_all), Fraction(unseen))
    assert (total - caught) / Fraction(km, 1000) == Fraction(rate)
    assert lost(drop, added, drained) == total
    assert per(float(total) - caught, km, 1000) == pytest.approx(float(Fraction(rate)))
    found = run(
        ("2026-05-01", "80000 km", "", "0.000 L", "", ""),
        (
            "2026-06-01",
            f"{80000 + km} km",
            f"{added} mL",
            f"{-drop} mL",
            f"{caught} mL",
            f"{drained} mL",
        ),
    )
    for what, key, expected in (
        ("coolant lost", "total", in_all),
        ("coolant lost and not seen outside", "unexplained", unseen),
        ("coolant not seen outside, in 1000 km", "unexplained_per_1000", rate),
    ):
        against(
            f"{what}: level down {drop} mL, {added} added, {drained} drained, {caught} caught, "
            f"{km} km",
            BALANCE,
            expected=float(Fraction(expected)),
            got=figure(found, key)[0] * 1000,
            within=1e-6,
            unit="mL",
        )


def test_loss_in_us_units(against: Against) -> None:
    """Half a US quart in 620 miles, through a library of units."""
    units = pint.get_application_registry()
    published = (0.5 * units.quart / (620 * units.mile)).to("litre/kilometre").magnitude * 1000
    found = run(
        ("2026-05-01", "50000 mi", "", "0.000 L", "", ""),
        ("2026-06-01", "50620 mi", "0.5 US qt", "0.000 L", "", ""),
    )
    against(
        "half a US quart in 620 miles, per 1000 km",
        "pint, units of NIST SP 811",
        expected=published,
        got=figure(found, "per_1000")[0],
        relative=1e-6,
        unit="L",
    )


def test_doubt_of_a_measured_loss(against: Against) -> None:
    """Two levels to 0.03 L each; 0.50 L in a jug of ±5 % and marks of 0.05 L, noted to 0.01 L.

    Then over 1000 km of an odometer that may be 2 % off.
    """
    found = run(
        ("2026-05-01", "80000 km", "", "0.00 L", "", ""),
        ("2026-06-01", "81000 km", "0.50 L", "0.00 L", "", ""),
    )
    jug = math.hypot(0.05 * 0.50 / math.sqrt(3), 0.05 / math.sqrt(12))
    by_hand = math.sqrt(2 * 0.03**2 + jug**2)
    against(
        "standard uncertainty of 0.50 L lost",
        JCGM,
        expected=by_hand,
        got=figure(found, "total")[1],
        relative=1e-6,
        unit="L",
    )
    against(
        "standard uncertainty of 0.50 L in 1000 km",
        JCGM,
        expected=math.hypot(by_hand, 0.50 * 0.02 / math.sqrt(3)),
        got=figure(found, "per_1000")[1],
        relative=1e-6,
        unit="L",
    )


def test_levels_in_between_drop_out_of_the_whole(against: Against) -> None:
    """A level read halfway changes neither the sum nor its doubt: what falls there rises after.

    Checked by linear algebra: variances of levels at the ends only, J V Jᵀ (JCGM 100, 5.1.2).
    """
    found = run(
        ("2026-05-01", "80000 km", "", "0.00 L", "", ""),
        ("2026-05-15", "80400 km", "", "-0.20 L", "", ""),
        ("2026-06-01", "81000 km", "", "-0.50 L", "", ""),
    )
    drops = np.array([[1.0, -1.0, 0.0], [0.0, 1.0, -1.0]])
    stretches = drops @ np.diag([0.03**2] * 3) @ drops.T
    against(
        "standard uncertainty of two stretches that share a level",
        JCGM,
        expected=float(np.sqrt(np.ones(2) @ stretches @ np.ones(2))),
        got=figure(found, "total")[1],
        relative=1e-9,
        unit="L",
    )


def test_an_even_loss_is_the_slope_of_a_straight_line(against: Against) -> None:
    """Where every stretch loses alike, rate, last stretch and time before are the fitted slope."""
    km = np.array([0.0, 500.0, 1500.0, 2600.0])
    litres = 0.24 * km / 1000
    slope = float(np.polyfit(km / 1000, litres, 1)[0])
    found = run(
        *(
            (f"2026-0{n + 2}-01", f"{80000 + x:.0f} km", "", f"{-y:.3f} L", "", "")
            for n, (x, y) in enumerate(zip(km, litres, strict=True))
        )
    )
    for key in ("per_1000", "last", "before"):
        against(
            f"even loss, figure “{PROCEDURE.name} {key}”".replace("_", " "),
            "numpy.polyfit",
            expected=slope,
            got=figure(found, key)[0],
            within=1e-9,
            unit="L",
        )


def test_by_days_where_it_did_not_move(against: Against) -> None:
    """61 days from 1 May to 1 July."""
    found = run(
        ("2026-05-01", "", "", "0.000 L", "", ""), ("2026-07-01", "", "0.61 L", "0.000 L", "", "")
    )
    against(
        "0.61 L between 1 May and 1 July, in 30 days",
        BALANCE,
        expected=float(Fraction("0.61") * 30 / 61),
        got=figure(found, "per_30_days")[0],
        within=1e-9,
        unit="L",
    )


def test_share_found_again_in_the_oil(against: Against) -> None:
    """0.6 L of oil more, 1.0 L of coolant missing; doubts of a quotient add in squares."""
    found = run(
        ("2026-05-01", "80000 km", "", "0.00 L", "", ""),
        ("2026-06-01", "81000 km", "", "-1.00 L", "", ""),
        **{"given.oil_gain": "0.6 L"},
    )
    value, u = figure(found, "oil_share")
    by_hand = 60 * math.hypot(0.1 / 0.6, math.sqrt(2) * 0.03 / 1.0)
    against("0.6 L of oil against 1.0 L", BALANCE, expected=60.0, got=value, within=1e-9, unit="%")
    against("its standard uncertainty", JCGM, expected=by_hand, got=u, relative=1e-6, unit="%")


def run(*days: tuple[str, ...], **given_values: str) -> Assessment:
    columns = ("date", "odometer", "added", "level", "caught", "drained")
    typed = dict(given_values)
    for n, day in enumerate(days, start=1):
        typed |= {f"days.d{n}.{k}": v for k, v in zip(columns, day, strict=True) if v}
        typed[f"days.d{n}.origin"] = "measured"
    checked = validate(PROCEDURE, typed, CONTEXT)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, CONTEXT)


def figure(found: Assessment, key: str) -> tuple[float, float]:
    one = found.figure(key)
    assert one is not None and one.value is not None, key
    return one.value, one.u
