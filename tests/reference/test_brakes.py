"""Brake figures against numpy, pint, exact fractions and the printed classes of brake fluid."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pint
import pytest

from measurements.core import units
from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.instruments import Instrument, Span
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.brakes import AROUND, FLUIDS, PROCEDURE

REGISTRY = pint.UnitRegistry()
FINE = Instrument("micrometer", "to a thousandth", "±0.003 mm", (Span(50, 0.001),))


def judged(typed: dict[str, str], context: Context | None = None) -> Assessment:
    context = context or Context(fault_present="yes")
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


# --- fluid ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "dry_c", "dry_f", "wet_c", "wet_f"),
    [
        ("dot3", 205, 401, 140, 284),
        ("dot4", 230, 446, 155, 311),
        ("dot5", 260, 500, 180, 356),
        ("dot51", 260, 500, 180, 356),
    ],
)
def test_boiling_points_of_the_classes(
    code: str, dry_c: float, dry_f: float, wet_c: float, wet_f: float
) -> None:
    """49 CFR 571.116 (from memory); an encyclopedia reprints its table in both scales."""
    fluid = FLUIDS[code]
    assert (fluid.dry_c, fluid.wet_c) == (dry_c, wet_c)
    for celsius, fahrenheit in ((fluid.dry_c, dry_f), (fluid.wet_c, wet_f)):
        assert float(units.convert(celsius, "temperature", "°C", "°F")) == pytest.approx(fahrenheit)


@pytest.mark.parametrize(("fahrenheit", "above_k"), [("293", -10.0), ("365", 30.0), ("311", 0.0)])
def test_boiling_point_above_the_wet_limit_from_fahrenheit(fahrenheit: str, above_k: float) -> None:
    """DOT 4: (°F − 32) x 5/9 − 155, NIST SP 811 (from memory), and by pint."""
    found = judged({"given.asked_class": "dot4", "given.boiling": f"{fahrenheit} °F"})
    exact = (Fraction(fahrenheit) - 32) * Fraction(5, 9) - 155
    by_pint = REGISTRY.Quantity(float(fahrenheit), "degF").to("degC").magnitude - 155
    value = found.figure("above_wet").value
    assert value == pytest.approx(float(exact), abs=1e-9) == above_k
    assert value == pytest.approx(by_pint, abs=1e-9)


# --- linings ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("inner", "outer", "apart_mm"),
    [("2.0 mm", "5.5 mm", 3.5), ("1/4", "", None), ("3/32 in", "7/32 in", 3.175)],
)
def test_difference_between_two_pads(inner: str, outer: str, apart_mm: float | None) -> None:
    if apart_mm is None:
        faults = validate(PROCEDURE, {"pads.fl.inner": inner}, Context()).faults
        assert [fault.kind for fault in faults] == ["refused"]  # 1/4 of what?
        return
    found = judged({"pads.fl.inner": inner, "pads.fl.outer": outer})
    assert found.figure("pads_fl").value == pytest.approx(apart_mm, abs=1e-12)


def test_four_thirty_seconds_of_an_inch_by_pint() -> None:
    """International inch: 25.4 mm exactly."""
    found = judged({"pads.fl.inner": "2/32 in", "pads.fl.outer": "6/32 in"})
    by_pint = REGISTRY.Quantity(4 / 32, "inch").to("millimetre").magnitude
    assert found.figure("pads_fl").value == pytest.approx(by_pint, rel=1e-12)


def test_uncertainty_of_a_difference_of_pads_by_hand() -> None:
    """Calliper ±0.05 mm, read to 0.1 mm, 0.2 mm of seeing it; JCGM 100 4.3.7, F.2.2.1, 5.1.2."""
    one = math.sqrt(0.05**2 / 3 + 0.1**2 / 12 + 0.2**2)
    found = judged({"pads.fl.inner": "4.1", "pads.fl.outer": "6.3", "pads.fr.inner": "5.0"})
    assert found.figure("pads_fl").u == pytest.approx(one * math.sqrt(2), rel=1e-9)
    assert found.figure("sides_front").value == pytest.approx(0.9, abs=1e-12)
    assert found.figure("sides_front").u == pytest.approx(one * math.sqrt(2), rel=1e-9)


# --- discs and drums --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "points",
    [
        ("23.618", "23.622", "23.631", "23.640", "23.645", "23.638", "23.627", "23.614"),
        ("9.402", "9.400", "9.411", "9.405"),
        ("24.0", "24.0"),
    ],
)
def test_thickness_variation_is_numpys_peak_to_peak(points: tuple[str, ...]) -> None:
    typed = {f"around.rl.{key}": text for key, text in zip(AROUND, points, strict=False)}
    found = judged(typed)
    by_numpy = float(np.ptp(np.array([float(text) for text in points])))
    assert found.figure("varies_rl").value == pytest.approx(by_numpy, abs=1e-12)


def test_thickness_variation_by_fractions_of_an_inch() -> None:
    """0.9300 in to 0.9312 in: 1.2 thou, 0.0012 x 25.4 mm exactly."""
    typed = {"around.fl.at_1": "0.9300 in", "around.fl.at_2": "0.9312 in"}
    exact = (Fraction("0.9312") - Fraction("0.9300")) * Fraction("25.4")
    assert judged(typed).figure("varies_fl").value == pytest.approx(float(exact), abs=1e-9)


@pytest.mark.parametrize(("instrument", "digit"), [(None, 0.01), (FINE, 0.001)])
def test_uncertainty_of_a_variation_is_reading_and_placing_only(
    instrument: Instrument | None, digit: float
) -> None:
    """The scale's own error is common to both points: √2 √(d²/12 + 0.002²), JCGM 100 F.2.2.1."""
    chosen = {"micrometer": instrument} if instrument else {}
    context = Context(fault_present="yes", instruments=chosen)
    found = judged({"around.fl.at_1": "23.610", "around.fl.at_2": "23.650"}, context)
    by_hand = math.sqrt(2) * math.sqrt(digit**2 / 12 + 0.002**2)
    assert found.figure("varies_fl").u == pytest.approx(by_hand, rel=1e-9)


@pytest.mark.parametrize(
    ("mark", "reading", "left"),
    [("22.0", "21.90", Fraction(-1, 10)), ("8.0 mm", "0.370 in", Fraction("1.398"))],
)
def test_disc_left_above_its_mark(mark: str, reading: str, left: Fraction) -> None:
    found = judged({"marks.front.disc_min": mark, "discs.fl.thickness": reading})
    assert found.figure("disc_left_fl").value == pytest.approx(float(left), abs=1e-9)


@pytest.mark.parametrize(
    ("mark", "one", "other", "left", "oval"),
    [
        ("229.5", "228.9", "228.6", Fraction("0.6"), Fraction("0.3")),
        ("9.06 in", "9.00 in", "9.03 in", Fraction("0.762"), Fraction("0.762")),
    ],
)
def test_drum_below_its_mark_and_out_of_round(
    mark: str, one: str, other: str, left: Fraction, oval: Fraction
) -> None:
    typed = {"marks.rear.drum_max": mark, "drums.rl.diameter": one, "drums.rl.diameter_2": other}
    found = judged(typed)
    assert found.figure("drum_left_rl").value == pytest.approx(float(left), abs=1e-9)
    assert found.figure("oval_rl").value == pytest.approx(float(oval), abs=1e-9)
