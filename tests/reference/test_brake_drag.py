"""Brake drag against pint, scipy, printed tables of emissivity, and hand calculation.

What usually lies between two sides is common practice and has no source. Emissivities: tables in
two makers' manuals of thermal cameras, seen in copies (cast iron polished 0.21, machined 0.44,
oxidised 0.64 to 0.78; iron rusted red 0.69). NIST SP 811 and JCGM 101 from memory.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pint
import pytest
from scipy import constants
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from measurements.core.assessment import Assessment, Figure
from measurements.core.context import Context
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.brake_drag import (
    COOLING_S,
    DOUBT,
    PROCEDURE,
    cooled_by,
    power_w,
)
from tests.reference.conftest import Against

REGISTRY = pint.get_application_registry()
TABLES = "tables of emissivity in two thermal cameras' manuals, seen in copies; fourth-power law"
READY = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
CONTEXT = Context(fault_present="yes")


def run(typed: dict[str, Any]) -> Assessment:
    checked = validate(PROCEDURE, {**READY, **typed}, CONTEXT)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, CONTEXT)


def figure(found: Assessment, key: str) -> Figure:
    one = found.figure(key)
    assert one is not None and one.value is not None, key
    return one


# --- torque and power -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("force", "radius", "unit"),
    [
        (("45", "N"), ("310", "mm"), "N * mm"),
        (("10", "lbf"), ("12", "in"), "lbf * inch"),
        (("5", "kgf"), ("30", "cm"), "kgf * cm"),
    ],
)
def test_torque_is_force_times_radius_by_pint(
    force: tuple[str, str], radius: tuple[str, str], unit: str, against: Against
) -> None:
    found = run({"given.radius": radius, "wheels.fl.force": force})
    expected = float(force[0]) * float(radius[0]) * REGISTRY(unit).to("N * m").magnitude
    against(
        f"residual torque, {' '.join(force)} at {' '.join(radius)}",
        "pint",
        expected=float(expected),
        got=figure(found, "torque_fl").value,
        relative=1e-9,
        unit="N·m",
    )


def test_ten_pounds_at_a_foot_are_ten_pound_feet(against: Against) -> None:
    typed = {"given.radius": ("12", "in"), "wheels.fl.force": ("10", "lbf")}
    got = figure(run(typed), "torque_fl").value
    for source, expected in (
        ("NIST SP 811, appendix B.8, from memory: 1 ft·lbf = 1.355 818 N·m", 13.55818),
        ("scipy.constants, pound force and foot", 10 * constants.lbf * constants.foot),
    ):
        against(
            "residual torque, 10 lbf at a foot",
            source,
            expected=float(expected),
            got=got,
            relative=1e-6,
            unit="N·m",
        )


def test_power_is_torque_times_angular_speed(against: Against) -> None:
    """20 N·m on 205/55 R16 at 80 km/h; as force at the tyre times speed, and by pint."""
    typed = {"wheels.fl.torque": "20", "given.tyre": "205/55 R16", "given.speed": "80"}
    got = figure(run(typed), "power_fl").value
    assert got is not None
    across = 16 * 25.4 + 2 * 205 * 0.55
    rolled_m = 3.05 * across / 1000
    against(
        "power of 20 N·m at 80 km/h on 205/55 R16",
        "force at the rolling radius x speed, ETRTO's 3.05 diameters a turn from memory, by hand",
        expected=20 / (rolled_m / (2 * math.pi)) * (80 / 3.6) / 1000,
        got=got,
        relative=1e-9,
        unit="kW",
    )
    turning = REGISTRY.Quantity(80 / 3.6 / rolled_m, "revolution / second")
    power = REGISTRY.Quantity(20, "N * m") * turning.to("1 / second")
    against(
        "the same with turns in a second",
        "pint",
        expected=float(power.to("kW").magnitude),
        got=got,
        relative=1e-9,
        unit="kW",
    )


def test_torque_at_a_thousand_turns_a_minute(against: Against) -> None:
    """P in kW = T x n / 9549 (engineers' pocket formula, from memory)."""
    against(
        "power of 50 N·m at 1000 turns a minute",
        "kW = N·m x 1/min / 9549, engineers' pocket formula, from memory",
        expected=50 * 1000 / 9549,
        got=power_w(50, 1000 / 60) / 1000,
        relative=1e-4,
        unit="kW",
    )


# --- temperatures -----------------------------------------------------------------------------


def test_differences_in_fahrenheit_by_exact_fractions_and_pint(against: Against) -> None:
    """250 and 95 °F on an axle, air 68 °F."""
    heat = {"fl": "250", "fr": "95", "rl": "90", "rr": "91"}
    typed = {f"wheels.{corner}.temperature": (value, "°F") for corner, value in heat.items()}
    found = run({**typed, "given.air": ("68", "°F"), "given.braked": "none", "given.tool": "dull"})
    against(
        "hotter less cooler side, 250 and 95 °F",
        "exact fractions by hand",
        expected=float(Fraction(5, 9) * (250 - 95)),
        got=figure(found, "sides_front").value,
        within=1e-9,
        unit="K",
    )
    rise = REGISTRY.Quantity(250, "degF") - REGISTRY.Quantity(68, "degF")
    against(
        "above the air, 250 and 68 °F",
        "pint",
        expected=float(rise.to("delta_degC").magnitude),
        got=figure(found, "rise_fl").value,
        within=1e-9,
        unit="K",
    )
    against(
        "hotter rise as a share of the cooler, 182 and 27 °F steps",
        "exact fractions by hand",
        expected=float(Fraction(182, 27) * 100),
        got=figure(found, "share_front").value,
        within=1e-6,
        unit="%",
    )


def test_a_standing_disc_cools_as_newton_says(against: Against) -> None:
    solved = solve_ivp(
        lambda _t, rise: -rise / COOLING_S, (0, 180), [200.0], t_eval=[60, 180], rtol=1e-10
    )
    for seconds, left in zip((60, 180), solved.y[0], strict=True):
        against(
            f"lost of 200 K in {seconds} s, time constant 600 s",
            "scipy.integrate.solve_ivp on Newton's law of cooling",
            expected=float(200 - left),
            got=cooled_by(200, seconds),
            relative=1e-6,
            unit="K",
        )


def shown_c(true_c: float, emissivity: float, air_c: float = 20.0, set_to: float = 0.95) -> float:
    """What an infrared thermometer shows, from the fourth-power law over all wavelengths."""

    def fourth(celsius: float) -> float:
        return (celsius + constants.zero_Celsius) ** 4

    def missing(shown: float) -> float:
        seen = emissivity * fourth(true_c) + (1 - emissivity) * fourth(air_c)
        return set_to * fourth(shown) + (1 - set_to) * fourth(air_c) - seen

    return float(brentq(missing, -200, 900))


@pytest.mark.parametrize(
    ("tool", "faces", "words"),
    [
        ("dull", (0.64, 0.78), "oxidised cast iron, 0.64 and 0.78"),
        ("bare", (0.21, 0.44), "cast iron polished 0.21, machined 0.44"),
    ],
)
def test_two_faces_of_one_heat_lie_inside_the_doubt_that_is_allowed(
    tool: str, faces: tuple[float, float], words: str, against: Against
) -> None:
    """Both at 150 °C: half their difference as a share of their mean rise above 20 °C of air."""
    low, high = (shown_c(150, face) - 20 for face in faces)
    half = (high - low) / (high + low)
    against(
        f"half width allowed to infrared readings, {words}",
        TABLES,
        expected=half,
        got=DOUBT[tool],
        within=0.05,
    )
    assert half <= DOUBT[tool]


def test_a_rusty_and_a_polished_face_of_one_heat_differ_more_than_sides_usually_do() -> None:
    """Why bare metal weakens the whole test: 0.69 rusted red against 0.21 polished, 150 °C."""
    assert shown_c(150, 0.69) - shown_c(150, 0.21) > 50


def test_uncertainty_of_two_sides_by_hand_and_by_draws(against: Against) -> None:
    """150 and 50 °C beside 20 °C, contact probe ±(1 % + 1 °C) read to 0.1 °C, handling 2 K,
    contact 5 % of the rise (rectangular), cooling of 130 K over a minute."""
    typed = {
        "given.air": "20",
        "given.tool": "contact",
        "wheels.fl.temperature": "150.0",
        "wheels.fr.temperature": "50.0",
    }
    got = figure(run(typed), "sides_front").u
    root3 = math.sqrt(3)
    own = math.hypot(1 / root3, 0.1 / math.sqrt(12), 2)
    lost = 130 * (1 - math.exp(-0.1))
    gain = 0.01 / root3
    by_hand = math.sqrt(
        2 * own**2
        + (gain * (150 - 50)) ** 2
        + (0.05 * 130 / root3) ** 2
        + (0.05 * 30 / root3) ** 2
        + (lost / root3) ** 2
    )
    against(
        "standard uncertainty of 150 less 50 °C on one thermometer",
        "JCGM 100:2008, 4.3.7 and 5.2.2, by hand",
        expected=by_hand,
        got=got,
        relative=1e-6,
        unit="K",
    )
    draw = np.random.default_rng(7)
    count = 400_000
    shared = draw.uniform(-0.01, 0.01, count)

    def side(celsius: float) -> Any:
        doubt = 0.05 * (celsius - 20)
        return (
            celsius * (1 + shared)
            + draw.uniform(-1, 1, count)
            + draw.uniform(-0.05, 0.05, count)
            + draw.normal(0, 2, count)
            + draw.uniform(-doubt, doubt, count)
        )

    drawn = side(150) - side(50) + draw.uniform(-lost, lost, count)
    against(
        "the same by 400,000 draws with numpy",
        "JCGM 101:2008, from memory",
        expected=float(drawn.std()),
        got=got,
        relative=0.01,
        unit="K",
    )
