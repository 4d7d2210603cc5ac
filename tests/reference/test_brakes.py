"""Brake figures against numpy, pint, exact fractions, printed tables and the classes of fluid."""

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
from tests.reference.conftest import Against

REGISTRY = pint.get_application_registry()
FINE = Instrument("micrometer", "to a thousandth", "±0.003 mm", (Span(50, 0.001),))

CLASSES = "49 CFR 571.116 (from memory); its table as reprinted by Wikipedia, “DOT 3”"
CELSIUS = "(°F − 32) × 5/9, NIST SP 811 (from memory), in exact fractions"
INCH = "international inch, 25.4 mm exactly"
FRACTIONS = f"exact fractions; {INCH}"
SUBTRACTION = "subtraction by hand"
JCGM = "JCGM 100:2008, 4.3.7, F.2.2.1 and 5.1.2, by hand"
DRAWS = 400_000


def judged(typed: dict[str, str], context: Context | None = None) -> Assessment:
    context = context or Context(fault_present="yes")
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def value(found: Assessment, key: str) -> float:
    figure = found.figure(key)
    assert figure is not None and figure.value is not None, key
    return figure.value


def doubt(found: Assessment, key: str) -> float:
    figure = found.figure(key)
    assert figure is not None, key
    return figure.u


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
    code: str, dry_c: float, dry_f: float, wet_c: float, wet_f: float, against: Against
) -> None:
    """The reprinted table gives both scales."""
    fluid = FLUIDS[code]
    for state, ours, celsius, fahrenheit in (
        ("new", fluid.dry_c, dry_c, dry_f),
        ("wet", fluid.wet_c, wet_c, wet_f),
    ):
        figure = f"least boiling point of {fluid.label}, {state}"
        against(figure, CLASSES, expected=celsius, got=ours, unit="°C")
        got = float(units.convert(ours, "temperature", "°C", "°F"))
        against(figure, CLASSES, expected=fahrenheit, got=got, within=1e-9, unit="°F")


@pytest.mark.parametrize(("fahrenheit", "above_k"), [("293", -10.0), ("365", 30.0), ("311", 0.0)])
def test_boiling_point_above_the_wet_limit_from_fahrenheit(
    fahrenheit: str, above_k: float, against: Against
) -> None:
    found = judged({"given.asked_class": "dot4", "given.boiling": f"{fahrenheit} °F"})
    exact = (Fraction(fahrenheit) - 32) * Fraction(5, 9) - 155
    assert exact == above_k
    by_pint = REGISTRY.Quantity(float(fahrenheit), "degF").to("degC").magnitude - 155
    for source, expected in ((CELSIUS, float(exact)), ("pint", by_pint)):
        against(
            f"above the wet limit of DOT 4, boiling at {fahrenheit} °F",
            source,
            expected=expected,
            got=value(found, "above_wet"),
            within=1e-9,
            unit="K",
        )


# --- linings ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("inner", "outer", "apart_mm", "source"),
    [
        ("2.0 mm", "5.5 mm", 3.5, SUBTRACTION),
        ("3/32 in", "7/32 in", 3.175, FRACTIONS),
        ("2/32 in", "6/32 in", REGISTRY.Quantity(4 / 32, "inch").to("mm").magnitude, "pint"),
    ],
)
def test_difference_between_two_pads(
    inner: str, outer: str, apart_mm: float, source: str, against: Against
) -> None:
    found = judged({"pads.fl.inner": inner, "pads.fl.outer": outer})
    against(
        f"difference between pads of {inner} and {outer}",
        source,
        expected=apart_mm,
        got=value(found, "pads_fl"),
        within=1e-9,
        unit="mm",
    )


@pytest.mark.parametrize(
    ("left", "right", "apart_mm", "source"),
    [
        (("4.1 mm", "6.3 mm"), ("5.0 mm", "6.0 mm"), 0.9, SUBTRACTION),
        (("7/32 in", "8/32 in"), ("9/32 in", "4/32 in"), float(Fraction(3, 32) * Fraction("25.4")),
         FRACTIONS),
    ],
)  # fmt: skip
def test_difference_between_the_sides_of_an_axle(
    left: tuple[str, str], right: tuple[str, str], apart_mm: float, source: str, against: Against
) -> None:
    """The thinner pad of each side counts."""
    typed = {
        f"pads.{corner}.{pad}": text
        for corner, both in (("fl", left), ("fr", right))
        for pad, text in zip(("inner", "outer"), both, strict=True)
    }
    against(
        f"difference between the sides, pads {' and '.join(left)}; {' and '.join(right)}",
        source,
        expected=apart_mm,
        got=value(judged(typed), "sides_front"),
        within=1e-9,
        unit="mm",
    )


def test_uncertainty_of_a_difference_of_linings(against: Against) -> None:
    """Two pads or two sides: two readings, each with its own error."""
    found = judged(
        {"pads.fl.inner": "4.1 mm", "pads.fl.outer": "6.3 mm", "pads.fr.inner": "5.0 mm"}
    )
    one = math.sqrt(0.05**2 / 3 + 0.1**2 / 12 + 0.2**2)
    draw = np.random.default_rng(29)
    first, second = (
        draw.uniform(-0.05, 0.05, DRAWS)
        + draw.uniform(-0.05, 0.05, DRAWS)
        + draw.normal(0, 0.2, DRAWS)
        for _ in range(2)
    )
    for key, what in (("pads_fl", "two pads"), ("sides_front", "two sides")):
        figure = (
            f"standard uncertainty of a difference between {what}, calliper ±0.05 mm, read to "
            "0.1 mm, seen to 0.2 mm"
        )
        got = doubt(found, key)
        against(figure, JCGM, expected=one * math.sqrt(2), got=got, relative=1e-9, unit="mm")
        against(
            figure, "400,000 random draws", expected=float((first - second).std()), got=got,
            relative=0.01, unit="mm",
        )  # fmt: skip


# --- discs and drums --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "points",
    [
        ("23.618", "23.622", "23.631", "23.640", "23.645", "23.638", "23.627", "23.614"),
        ("9.402", "9.400", "9.411", "9.405"),
        ("24.0", "24.0"),
    ],
)
def test_thickness_variation_is_numpys_peak_to_peak(
    points: tuple[str, ...], against: Against
) -> None:
    typed = {f"around.rl.{key}": f"{mm} mm" for key, mm in zip(AROUND, points, strict=False)}
    against(
        f"thickness variation of {', '.join(points)} mm",
        "numpy.ptp",
        expected=float(np.ptp(np.array([float(text) for text in points]))),
        got=value(judged(typed), "varies_rl"),
        within=1e-12,
        unit="mm",
    )


@pytest.mark.parametrize(
    ("thin", "thick", "printed_mm", "within", "source"),
    [
        ("0.9300", "0.9312", 0.03, 0.005,
         "a car maker's brake manual of 2005: 0.03 mm (0.0012 in)"),
        ("0.8660", "0.8665", 0.013, 0.0005,
         "a car maker's brake manual of 1999: 0.013 mm (0.0005 in)"),
        ("0.9300", "0.9312", float(Fraction("0.0012") * Fraction("25.4")), 1e-9, FRACTIONS),
    ],
)  # fmt: skip
def test_thickness_variation_in_inches(
    thin: str, thick: str, printed_mm: float, within: float, source: str, against: Against
) -> None:
    typed = {"around.fl.at_1": f"{thin} in", "around.fl.at_2": f"{thick} in"}
    against(
        f"thickness variation from {thin} to {thick} in",
        source,
        expected=printed_mm,
        got=value(judged(typed), "varies_fl"),
        within=within,
        unit="mm",
    )


@pytest.mark.parametrize(("instrument", "digit"), [(None, 0.01), (FINE, 0.001)])
def test_uncertainty_of_a_variation_is_reading_and_placing_only(
    instrument: Instrument | None, digit: float, against: Against
) -> None:
    """The scale's own error is common to both points."""
    chosen = {"micrometer": instrument} if instrument else {}
    context = Context(fault_present="yes", instruments=chosen)
    found = judged({"around.fl.at_1": "23.610 mm", "around.fl.at_2": "23.650 mm"}, context)
    draw = np.random.default_rng(31)
    scale = draw.uniform(-0.01, 0.01, DRAWS)
    first, second = (
        scale + draw.uniform(-digit / 2, digit / 2, DRAWS) + draw.normal(0, 0.002, DRAWS)
        for _ in range(2)
    )
    figure = f"standard uncertainty of a variation, read to {digit} mm, placed to 0.002 mm"
    got = doubt(found, "varies_fl")
    by_hand = math.sqrt(2) * math.sqrt(digit**2 / 12 + 0.002**2)
    against(figure, "JCGM 100:2008, F.2.2.1, by hand", expected=by_hand, got=got, relative=1e-9,
            unit="mm")  # fmt: skip
    against(figure, "400,000 random draws, one scale for both points",
            expected=float((first - second).std()), got=got, relative=0.01, unit="mm")  # fmt: skip


@pytest.mark.parametrize(
    ("mark", "reading", "left", "source"),
    [
        ("22.0 mm", "21.90 mm", Fraction(-1, 10), SUBTRACTION),
        ("8.0 mm", "0.370 in", Fraction("1.398"), FRACTIONS),
    ],
)
def test_disc_left_above_its_mark(
    mark: str, reading: str, left: Fraction, source: str, against: Against
) -> None:
    found = judged({"marks.front.disc_min": mark, "discs.fl.thickness": reading})
    against(
        f"disc of {reading} above its mark of {mark}",
        source,
        expected=float(left),
        got=value(found, "disc_left_fl"),
        within=1e-9,
        unit="mm",
    )


DRUM_TABLE = "a car maker's drum table of 1997"


@pytest.mark.parametrize(
    ("mark", "turned", "left_mm", "within", "source"),
    [
        ("229.5 mm", "228.9 mm", 0.6, 1e-9, SUBTRACTION),
        ("9.06 in", "9.03 in", 0.762, 1e-9, FRACTIONS),
        # 250 mm new, 1.52 mm (0.060 in) may be turned away, 0.76 mm (0.030 in) more may wear
        ("252.28 mm", "251.52 mm", 0.76, 1e-9, f"{DRUM_TABLE}: 0.76 mm (0.030 in) left to wear"),
        ("9.93 in", "9.90 in", 0.76, 0.005, f"{DRUM_TABLE}: 0.76 mm (0.030 in) left to wear"),
    ],
)
def test_drum_left_below_its_mark(
    mark: str, turned: str, left_mm: float, within: float, source: str, against: Against
) -> None:
    found = judged({"marks.rear.drum_max": mark, "drums.rl.diameter": turned})
    against(
        f"drum of {turned} below its mark of {mark}",
        source,
        expected=left_mm,
        got=value(found, "drum_left_rl"),
        within=within,
        unit="mm",
    )


@pytest.mark.parametrize(
    ("one", "other", "oval_mm", "source"),
    [
        ("228.9 mm", "228.6 mm", 0.3, SUBTRACTION),
        ("9.00 in", "9.03 in", 0.762, FRACTIONS),
    ],
)
def test_drum_out_of_round(
    one: str, other: str, oval_mm: float, source: str, against: Against
) -> None:
    found = judged({"drums.rl.diameter": one, "drums.rl.diameter_2": other})
    against(
        f"drum out of round, {one} and {other}",
        source,
        expected=oval_mm,
        got=value(found, "oval_rl"),
        within=1e-9,
        unit="mm",
    )


def test_the_wider_diameter_of_a_drum_counts(against: Against) -> None:
    typed = {
        "marks.rear.drum_max": "229.5 mm",
        "drums.rl.diameter": "228.6 mm",
        "drums.rl.diameter_2": "228.9 mm",
    }
    against(
        "drum of 228.6 and 228.9 mm below its mark of 229.5 mm",
        SUBTRACTION,
        expected=0.6,
        got=value(judged(typed), "drum_left_rl"),
        within=1e-9,
        unit="mm",
    )


def test_a_fraction_without_a_unit_is_refused() -> None:
    """1/4 of what?"""
    faults = validate(PROCEDURE, {"pads.fl.inner": "1/4"}, Context()).faults
    assert [fault.kind for fault in faults] == ["refused"]
