"""Play at the steering wheel: angle by other routes, a table of chords, its uncertainty, the rules.

49 CFR 570.7, table 1: seen in a copy of the text as of October 2024. 49 CFR 393.209(b): from
memory. Which part moves is common practice and has no source.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pint
import pytest
from scipy.optimize import brentq

from measurements.core.assessment import Assessment, Figure
from measurements.core.context import Context
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.play import (
    COMMERCIAL_MANUAL_IN,
    COMMERCIAL_POWER_IN,
    LIGHT_IN,
    PROCEDURE,
    published_most_mm,
    rim_degrees,
)
from tests.reference.conftest import Against

REGISTRY = pint.get_application_registry()
CONTEXT = Context(fault_present="yes")
LIGHT_RULE = "49 CFR 570.7, table 1, copy as of October 2024, by pint"
LORRY_RULE = "49 CFR 393.209(b), from memory, by pint"


def run(play: Any, across: Any, **more: str) -> Assessment:
    typed = {"given.steering": "running", "given.free_play": play, "given.diameter": across}
    typed |= {f"given.{key}": text for key, text in more.items()}
    checked = validate(PROCEDURE, typed, CONTEXT)
    return assess(PROCEDURE, checked.readings, CONTEXT)


def angle(found: Assessment) -> Figure:
    one = found.figure("free_angle")
    assert one is not None and one.value is not None
    return one


def high(found: Assessment) -> float:
    verdict = found.verdict("given.free_play")
    assert verdict is not None and verdict.high is not None
    return verdict.high


# --- angle ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("play", "across"), [(8.0, 340.0), (18.0, 370.0), (74.0, 380.0)])
def test_angle_by_the_law_of_cosines_and_by_a_search(
    play: float, across: float, against: Against
) -> None:
    got = angle(run(f"{play} mm", f"{across} mm")).value
    radius = across / 2
    against(
        f"free play {play:g} mm at {across:g} mm as an angle",
        "law of cosines with two radii, numpy.arccos",
        expected=float(np.degrees(np.arccos(1 - play**2 / (2 * radius**2)))),
        got=got,
        relative=1e-9,
        unit="°",
    )

    def apart(turned: float) -> float:
        """Straight distance of a mark at (radius, 0) from where it went, less the play."""
        x, y = radius * math.cos(turned), radius * math.sin(turned)
        return math.hypot(x - radius, y) - play

    against(
        "the same",
        "coordinates of a mark on the rim, scipy.optimize.brentq",
        expected=math.degrees(brentq(apart, 0.0, math.pi, xtol=1e-14)),
        got=got,
        relative=1e-9,
        unit="°",
    )


@pytest.mark.parametrize(("degrees", "chord"), [(60, 1.0), (90, 1.4142), (36, 0.6180), (180, 2.0)])
def test_angle_against_a_table_of_chords(degrees: float, chord: float, against: Against) -> None:
    """Sides of the hexagon, square, decagon and the diameter, in radii."""
    against(
        f"angle of a chord of {chord:g} radii",
        "table of chords for radius 1 (Ptolemy, Almagest I.11, in decimals; from memory)",
        expected=float(degrees),
        got=float(rim_degrees(chord * 190, 380)),
        within=0.01,
        unit="°",
    )


def test_small_play_comes_near_the_arc(against: Against) -> None:
    """Measured along the rim instead, the angle is smaller by less than a hundredth."""
    against(
        "angle of 18 mm at 370 mm beside arc over radius",
        "definition of the radian; series of arcsin, (mm / diameter)² / 6 more",
        expected=math.degrees(18 / 185) * (1 + (18 / 370) ** 2 / 6),
        got=angle(run("18 mm", "370 mm")).value,
        relative=1e-5,
        unit="°",
    )


def test_uncertainty_by_the_law_of_propagation_and_by_sampling(against: Against) -> None:
    """One rule reads both; its shared gain cancels in a quotient, its own parts do not."""
    from measurements.core.readings import Readings

    readings: Readings = validate(
        PROCEDURE, {"given.free_play": "40 mm", "given.diameter": "370 mm"}, CONTEXT
    ).readings
    play, across = (readings.get(f"given.{key}") for key in ("free_play", "diameter"))
    assert play is not None and across is not None
    got = angle(run("40 mm", "370 mm")).u
    slope = 2 / math.sqrt(1 - (40 / 370) ** 2)
    gain = 40 / 370 * abs(play.gain - across.gain)
    own = math.hypot(play.own / 370, 40 / 370**2 * across.own)
    against(
        "standard uncertainty of the angle, 40 mm at 370 mm",
        "JCGM 100:2008, 5.1.2, partial derivatives by hand",
        expected=math.degrees(slope * math.hypot(own, gain)),
        got=got,
        relative=1e-6,
        unit="°",
    )
    drawn = np.random.default_rng(20251).normal
    size = 400_000
    shared = drawn(0, 1, size)
    plays = 40 * (1 + play.gain * shared) + drawn(0, play.own, size)
    acrosses = 370 * (1 + across.gain * shared) + drawn(0, across.own, size)
    against(
        "the same",
        "JCGM 101, propagation of distributions; numpy, 400 000 draws",
        expected=float(np.degrees(2 * np.arcsin(plays / acrosses)).std()),
        got=got,
        relative=0.01,
        unit="°",
    )


# --- limits -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("across", "lash"), [(16, 2.0), (18, 2.25), (20, 2.5), (22, 2.75)])
def test_most_free_play_of_a_light_vehicle(across: int, lash: float, against: Against) -> None:
    against(
        f"most free play, steering wheel of {across} in",
        LIGHT_RULE,
        expected=float(REGISTRY.Quantity(lash, "inch").to("mm").magnitude),
        got=high(run("10 mm", (str(across), "in"))),
        relative=1e-9,
        unit="mm",
    )


@pytest.mark.parametrize(
    ("steering", "inches", "printed_mm"), [("manual", 2.0, 51), ("running", 4.25, 108)]
)
def test_most_free_play_of_a_commercial_vehicle(
    steering: str, inches: float, printed_mm: int, against: Against
) -> None:
    got = high(run("10 mm", "406 mm", steering=steering, vehicle="commercial"))
    against(
        f"most free play up to 406 mm, commercial, {steering}",
        LORRY_RULE,
        expected=float(REGISTRY.Quantity(inches, "inch").to("mm").magnitude),
        got=got,
        relative=1e-9,
        unit="mm",
    )
    against(
        "the same as printed in millimetres",
        "49 CFR 393.209(b), from memory",
        expected=printed_mm,
        got=round(got),
        unit="mm",
    )


def test_tables_in_millimetres_as_printed(against: Against) -> None:
    """Diameters and lashes of the rule's other column, rounded there to whole millimetres."""
    across = (457, 483, 508, 533, 559)
    for table, printed in (
        (COMMERCIAL_MANUAL_IN, (57, 60, 64, 67, 70)),
        (COMMERCIAL_POWER_IN, (121, 127, 133, 140, 146)),
    ):
        got = [published_most_mm(table, one) for one in across]
        for wheel, most, mm in zip(across, got, printed, strict=True):
            against(
                f"most free play at {wheel} mm, commercial",
                "49 CFR 393.209(b), millimetres, from memory",
                expected=float(mm),
                got=most,
                within=0.51,
                unit="mm",
            )


def test_between_two_rows_the_smaller_holds() -> None:
    assert published_most_mm(LIGHT_IN, 17 * 25.4) == pytest.approx(50.8)
    assert published_most_mm(LIGHT_IN, 600) == pytest.approx(2.75 * 25.4)
