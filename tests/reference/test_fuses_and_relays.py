"""Fuse resistances, currents and relay coils against published values and by other routes.

Fuse makers' data sheets as quoted elsewhere (their PDF files not at hand): Littelfuse series 287,
revised 4 February 2025 and 18 August 2022; 297, revised 27 September 2024; 299, revised 6 January
2025. Relay data sheets: distributors' pages with the makers' text.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pint
import pytest
from scipy.optimize import brentq

from measurements.core.assessment import Assessment, Figure
from measurements.core.blade_fuse import (
    HEATING,
    HEATING_SPREAD,
    REMEMBERED_MOHM,
    RISE_PER_K,
    U_BOX_K,
    cold_mohm,
    through_fuse_a,
)
from measurements.core.run_file import run_data
from measurements.procedures.fuses_and_relays import (
    COIL_LEAST_V,
    COIL_OFF_MOST_V,
    COIL_OHM,
    CONTACT_MOST_V,
    PROCEDURE,
    coil_current_a,
    coil_power_w,
)
from tests.reference.conftest import Against

ATO = "fuse maker's data sheet, series 287 for 32 V, 4 February 2025, as quoted elsewhere"
ATO_2022 = "fuse maker's data sheet, series 287 for 32 V, 18 August 2022, as quoted elsewhere"
MINI = "fuse maker's data sheet, series 297 for 32 V, 27 September 2024, as quoted elsewhere"
MAXI = "fuse maker's data sheet, series 299 for 32 V, 6 January 2025, as quoted elsewhere"
TEACHER = "a vehicle technology teacher's page on voltage drop over fuses, standard 10 A"
REPORTS = "fuse chart in a trade association's service reports, June 2017, mini 15 A"


def judged(typed: dict[str, Any]) -> Assessment:
    ready = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
    data = {"typed": ready | typed, "context": {"fault_present": "yes"}}
    return run_data(PROCEDURE, data).assessment


def figure(result: Assessment, key: str) -> Figure:
    found = result.figure(key)
    assert found is not None and found.value is not None
    return found


def fuse(rating: str, mv: str, size: str = "standard", state: str = "asleep") -> dict[str, str]:
    return {
        "given.size": size,
        "given.state": state,
        "fuses.r1.name": "fuse",
        "fuses.r1.rating": rating,
        "fuses.r1.drop": mv,
    }


@pytest.mark.parametrize(
    ("size", "rating", "mohm", "source"),
    [
        ("standard", "3", 31.1, ATO),
        ("standard", "5", 17.85, ATO),
        ("standard", "7.5", 10.91, ATO),
        ("standard", "10", 7.70, ATO),
        ("standard", "15", 4.80, ATO),
        ("standard", "20", 3.38, ATO),
        ("standard", "25", 2.52, ATO),
        ("standard", "30", 1.97, ATO),
        ("standard", "40", 1.44, ATO_2022),
        ("mini", "7.5", 10.85, MINI),
        ("mini", "10", 7.42, MINI),
        ("mini", "15", 4.58, MINI),
        ("maxi", "40", 1.4, MAXI),
        ("maxi", "50", 1.1, MAXI),
    ],
)
def test_cold_resistance_of_a_fuse(
    size: str, rating: str, mohm: float, source: str, against: Against
) -> None:
    found = cold_mohm(size, rating)
    assert found is not None
    against(f"cold resistance, {size} {rating} A", source, expected=mohm, got=found[0], unit="mΩ")


@pytest.mark.parametrize(
    ("size", "rating", "mv", "ma", "source"),
    [
        ("standard", "10", "1.00", 130, TEACHER),
        ("mini", "15", "0.10", 22, REPORTS),
        ("mini", "15", "1.00", 218, REPORTS),
    ],
)
def test_current_of_a_published_chart(
    size: str, rating: str, mv: str, ma: float, source: str, against: Against
) -> None:
    found = figure(judged(fuse(rating, mv, size)), "current_r1")
    against(
        f"{mv} mV across a {size} {rating} A fuse",
        source,
        expected=ma,
        got=(found.value or 0.0) * 1000,
        within=0.5,
        unit="mA",
    )


@pytest.mark.parametrize(
    ("size", "rating", "mv", "source"),
    [("standard", "40", "96", ATO_2022), ("maxi", "40", "75", MAXI)],
)
def test_drop_at_the_rating_gives_the_rating(
    size: str, rating: str, mv: str, source: str, against: Against
) -> None:
    """Hot, a fuse has more resistance than cold: the two published drops lie on either side of the
    mean that is allowed for, and within what it is doubted by."""
    found = figure(judged(fuse(rating, mv, size, state="load_on")), "current_r1")
    against(
        f"{mv} mV, typical at its rating, across a {size} {rating} A fuse",
        source,
        expected=float(rating),
        got=found.value,
        relative=0.07,
        unit="A",
    )
    assert abs((found.value or 0.0) - float(rating)) < found.u


@pytest.mark.parametrize(
    ("mv", "mohm", "rated", "share", "source"),
    [(96, 1.44, 40, 0.67, ATO_2022), (75, 1.4, 40, 0.34, MAXI)],
)
def test_warming_at_the_rating(
    mv: float, mohm: float, rated: float, share: float, source: str, against: Against
) -> None:
    warmed = mv / (rated * mohm) - 1
    against("resistance gained at the rating", source, expected=share, got=warmed, within=0.005)
    assert HEATING - HEATING_SPREAD < warmed < HEATING + HEATING_SPREAD


def test_remembered_resistances_lie_beside_the_published_ones(against: Against) -> None:
    """The same rating in a small size hardly differs from the standard one: within 5 %."""
    for rating in ("3", "5", "7.5", "10", "15", "20", "25", "30"):
        standard = cold_mohm("standard", rating)
        assert standard is not None
        against(
            f"remembered cold resistance, small {rating} A, beside the standard size",
            ATO,
            expected=standard[0],
            got=REMEMBERED_MOHM["low_profile"][rating],
            relative=0.06,
            unit="mΩ",
        )


@pytest.mark.parametrize(("mv", "rating"), [(0.5, "10"), (20.0, "10"), (77.0, "10"), (96.0, "40")])
def test_current_with_own_warmth_against_a_root_finder(
    mv: float, rating: str, against: Against
) -> None:
    known = cold_mohm("standard", rating)
    assert known is not None
    ohm, rated = known[0] / 1000, float(rating)
    wanted = brentq(
        lambda amps: ohm * amps * (1 + HEATING * (amps / rated) ** 2) - mv / 1000, 0, 1000
    )
    against(
        f"{mv} mV across a {rating} A fuse that warms itself",
        "scipy.optimize.brentq",
        expected=wanted,
        got=through_fuse_a(mv / 1000, known[0], rated),
        relative=1e-9,
        unit="A",
    )


def test_small_currents_are_plain_division(against: Against) -> None:
    ureg = pint.get_application_registry()
    wanted = (0.77 * ureg.millivolt / (7.70 * ureg.milliohm)).to("ampere").magnitude
    against(
        "0.77 mV over 7.70 mΩ",
        "pint",
        expected=wanted,
        got=through_fuse_a(0.77e-3, 7.70, 10),
        relative=1e-4,
        unit="A",
    )
    against(
        "the same, rating not known",
        "pint",
        expected=wanted,
        got=through_fuse_a(0.77e-3, 7.70, None),
        relative=1e-12,
        unit="A",
    )


@pytest.mark.parametrize(
    ("metal", "per_k", "source"),
    [
        ("copper, 20 °C", 0.00393, "IEC 60028, from memory"),
        ("zinc, 20 °C", 0.0037, "handbook of chemistry and physics, from memory"),
        ("zinc", 0.003847, "table of temperature coefficients on a page of electrical notes, 2008"),
    ],
)
def test_temperature_coefficient(metal: str, per_k: float, source: str, against: Against) -> None:
    against(
        f"rise of resistance, {metal}",
        source,
        expected=per_k,
        got=RISE_PER_K,
        within=0.00015,
        unit="1/K",
    )


def test_sum_and_rest_by_hand(against: Against) -> None:
    """0.77 mV / 7.70 mΩ and 0.48 mV / 4.80 mΩ are 100 mA each; 420 mA at the battery."""
    typed = fuse("10", "0.77") | {
        "given.total": "420",
        "fuses.r2.name": "two",
        "fuses.r2.rating": "15",
        "fuses.r2.drop": "0.48",
    }
    result = judged(typed)
    for key, ma in (("sum", 200.0), ("rest", 220.0)):
        against(
            {"sum": "two fuses of 100 mA", "rest": "420 mA less two fuses of 100 mA"}[key],
            "Kirchhoff's law of currents by hand",
            expected=ma,
            got=(figure(result, key).value or 0.0) * 1000,
            within=0.05,
            unit="mA",
        )


def test_uncertainty_of_a_current_by_sampling(against: Against) -> None:
    """2.30 mV across a standard 10 A fuse: meter ±(0.5 % + 3 counts of 0.01 mV), resistance
    ±20 %, fuse 20 °C with 10 K; 400,000 draws."""
    found = figure(judged(fuse("10", "2.30")), "current_r1")
    draw, n = np.random.default_rng(7), 400_000
    mv = 2.30 * (1 + draw.uniform(-0.005, 0.005, n)) + draw.uniform(-0.03, 0.03, n)
    mohm = 7.70 * (1 + draw.uniform(-0.2, 0.2, n)) * (1 + RISE_PER_K * draw.normal(0, U_BOX_K, n))
    against(
        "standard uncertainty of a fuse's current",
        "400,000 random draws (JCGM 101); first order only in ours",
        expected=float((mv / mohm).std()),
        got=found.u,
        relative=0.06,
        unit="A",
    )


def test_uncertainty_of_a_current_by_components(against: Against) -> None:
    """u²/I² as the sum of squares of the relative parts (JCGM 100, 5.1.6)."""
    found = figure(judged(fuse("10", "2.30")), "current_r1")
    meter = math.hypot(0.005, 0.03 / 2.30) / math.sqrt(3)
    rounding = 0.01 / 2.30 / math.sqrt(12)
    parts = (meter, rounding, 0.2 / math.sqrt(3), RISE_PER_K * U_BOX_K)
    against(
        "relative standard uncertainty of a fuse's current",
        "JCGM 100:2008, 5.1.6, by hand",
        expected=math.hypot(*parts),
        got=found.u / (found.value or 1.0),
        relative=0.01,
    )


RELAYS = [
    (90.0, 1.6, "relay maker's data sheet, board relay 12 V 45 A: 90 Ω, 1.6 W"),
    (75.0, 1.9, "relay maker's data sheet, plug-in relay 12 V 25 A: 75 Ω, 1.9 W"),
    (300.0, 0.48, "relay maker's data, lamp relay 12 V: 300 Ω, 40 mA, 0.48 W"),
    (109.0, 1.3, "distributor's page, micro relay 12 V: 109 Ω, 1.3 W"),
]


@pytest.mark.parametrize(("ohm", "watts", "source"), RELAYS)
def test_power_of_a_coil(ohm: float, watts: float, source: str, against: Against) -> None:
    typed = {
        "given.tested": "relay",
        "relays.relay.coil": "12.00",
        "relays.relay.coil_ohm": str(ohm),
    }
    result = judged(typed)
    against(
        f"power of a {ohm:g} Ω coil at 12 V",
        source,
        expected=watts,
        got=(figure(result, "coil_power").value or 0.0) * 1000,
        within=0.05,
        unit="W",
    )
    verdict = result.verdict("figure.coil_resistance")
    assert verdict is not None and verdict.outcome == "within", "published coils are usual ones"
    assert COIL_OHM[0] < ohm < COIL_OHM[1]
    against(
        f"resistance that was read, {ohm:g} Ω one way only",
        source,
        expected=ohm,
        got=figure(result, "coil_resistance").value,
        unit="Ω",
    )


def test_current_of_a_coil(against: Against) -> None:
    against(
        "current of a 300 Ω coil at 12 V",
        "relay maker's data, lamp relay 12 V: 40 mA",
        expected=40.0,
        got=coil_current_a(12.0, 300.0) * 1000,
        within=1e-9,
        unit="mA",
    )
    ureg = pint.get_application_registry()
    volts, ohm = 13.4 * ureg.volt, 85.0 * ureg.ohm
    against(
        "current of an 85 Ω coil at 13.4 V",
        "pint",
        expected=(volts / ohm).to("ampere").magnitude,
        got=coil_current_a(13.4, 85.0),
        relative=1e-12,
        unit="A",
    )
    against(
        "power as volts times amperes",
        "closed form: U I = U² / R, with pint",
        expected=(volts * (volts / ohm)).to("watt").magnitude,
        got=coil_power_w(13.4, 85.0),
        relative=1e-12,
        unit="W",
    )


@pytest.mark.parametrize(
    ("pick_up", "release", "source"),
    [
        (6.9, 1.2, "relay maker's data sheet, board relay 12 V 45 A"),
        (7.2, 1.2, "relay maker's data sheet, double relay 12 V 20 A"),
    ],
)
def test_coil_limits_beside_published_pick_up_and_release(
    pick_up: float, release: float, source: str, against: Against
) -> None:
    """A coil of copper 65 K warmer needs a quarter more volts for the same current."""
    against(
        "least volts at a hot coil",
        source + ", pick-up at 20 °C x (1 + 0.00393 x 65)",
        expected=pick_up * (1 + 0.00393 * 65),
        got=COIL_LEAST_V,
        within=0.4,
        unit="V",
    )
    against("release volts", source, expected=release, got=COIL_OFF_MOST_V, within=0.01, unit="V")


@pytest.mark.parametrize(
    ("least", "most", "source"),
    [
        (0.020, 0.300, "relay maker's data sheet, board relay 12 V 45 A: 20/300 mV at 10 A"),
        (0.050, 0.300, "relay maker's data sheet, plug-in relay 12 V 25 A: 50 mV at 10 A"),
    ],
)
def test_contact_limit_lies_between_a_new_relay_and_the_makers_most(
    least: float, most: float, source: str, against: Against
) -> None:
    against(
        "limit of the contacts between typical and most of new relays",
        source,
        expected=True,
        got=least < CONTACT_MOST_V < most,
    )


def test_resistance_of_contacts(against: Against) -> None:
    typed = {
        "given.tested": "relay",
        "relays.relay.contact": "0.460",
        "relays.relay.current": "18.4",
    }
    found = figure(judged(typed), "contact_resistance")
    ureg = pint.get_application_registry()
    wanted = (0.460 * ureg.volt / (18.4 * ureg.ampere)).to("ohm").magnitude
    against("0.46 V at 18.4 A", "pint", expected=wanted, got=found.value, relative=1e-9, unit="Ω")
    # clamp ±(2 % + 5 counts of 0.01 A); volts ±(0.5 % + 3 counts of 1 mV)
    volts = math.hypot(0.005, 0.003 / 0.460, 0.001 / 0.460 / 2) / math.sqrt(3)
    current = math.hypot(0.02, 0.05 / 18.4, 0.1 / 18.4 / 2) / math.sqrt(3)
    against(
        "its relative standard uncertainty",
        "JCGM 100:2008, 5.1.6, by hand",
        expected=math.hypot(volts, current),
        got=found.u / (found.value or 1.0),
        relative=0.02,
    )
