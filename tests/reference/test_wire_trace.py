"""Copper and AWG against published tables, and the resistance of a traced wire by hand."""

from __future__ import annotations

import math

import pint
import pytest

from measurements.core import conductor
from measurements.core.context import Context
from measurements.core.instruments import Instrument, Span
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.wire_trace import PROCEDURE, usual_most_ohm
from tests.reference.conftest import Against

ASTM = "ASTM B258, table of diameters, as quoted in wire tables (from memory)"
NBS = "NBS Handbook 100, Copper Wire Tables, 1966, solid wire at 20 °C (from memory)"
IEC_CLASS_5 = "IEC 60228, class 5, plain copper, largest resistance at 20 °C (as quoted elsewhere)"
IEC_COPPER = "IEC 60028, 1/58 Ω·mm²/m and 0.00393 per K (from memory), worked by hand"


@pytest.mark.parametrize(
    ("number", "mm"),
    [
        (22, 0.6438),
        (20, 0.8118),
        (18, 1.0237),
        (16, 1.2908),
        (14, 1.6277),
        (12, 2.0525),
        (10, 2.5882),
        (4, 5.1894),
    ],
)
def test_diameter_of_an_awg_number(number: int, mm: float, against: Against) -> None:
    got = conductor.awg_diameter_mm(number)
    against(f"diameter of AWG {number}", ASTM, expected=mm, got=got, within=5e-5, unit="mm")


def test_awg_is_fixed_by_its_two_ends(against: Against) -> None:
    """By definition AWG 36 has 0.005 inch and 0000 has 0.46 inch."""
    source = "ASTM B258, definition of the gauge (from memory)"
    for number, inch in ((36, 0.005), (-3, 0.46)):
        got = conductor.awg_diameter_mm(number) / 25.4
        against(f"diameter of AWG {number}", source, expected=inch, got=got, within=1e-9, unit="in")


@pytest.mark.parametrize(("number", "ohm_per_1000_ft"), [(18, 6.385), (12, 1.588), (10, 0.9989)])
def test_resistance_of_1000_feet(number: int, ohm_per_1000_ft: float, against: Against) -> None:
    area = conductor.awg_area_mm2(number)
    got = conductor.resistance_ohm(area, 304.8)
    against(
        f"1000 ft of AWG {number}", NBS, expected=ohm_per_1000_ft, got=got, relative=5e-4, unit="Ω"
    )


@pytest.mark.parametrize(("area", "most"), sorted(conductor.CLASS_5_MOHM_PER_M.items()))
def test_the_largest_usual_resistance_of_a_metre_is_that_of_flexible_copper(
    area: float, most: float, against: Against
) -> None:
    """Never under what the standard allows, and at most a twentieth over it."""
    got = conductor.resistance_ohm(area, 1.0) * conductor.LARGEST_OVER_PLAIN * 1000
    assert got >= most * 0.999
    against(f"1 m of {area} mm²", IEC_CLASS_5, expected=most, got=got, relative=0.05, unit="mΩ")


@pytest.mark.parametrize("celsius", [-20.0, 60.0, 120.0])
def test_temperature_factor(celsius: float, against: Against) -> None:
    got = conductor.resistance_ohm(1.5, 6, celsius) / conductor.resistance_ohm(1.5, 6)
    against(
        f"copper at {celsius:g} °C against 20 °C",
        "IEC 60228, (234.5 + T) / 254.5 (as quoted elsewhere)",
        expected=(234.5 + celsius) / 254.5,
        got=got,
        within=5e-4,
    )


@pytest.mark.parametrize(
    ("section", "metres", "celsius", "mohm"),
    [
        ("AWG 18", 4, 20, 83.793),
        ("AWG 14", 6, 60, 57.528),
        ("AWG 4", 1.8, 40, 1.583),
        ("0.5", 3, 20, 103.448),
        ("1.5", 6, 60, 79.807),
        ("25", 1.2, 20, 0.828),
    ],
)
def test_the_whole_procedure_expects_it(
    section: str, metres: float, celsius: float, mohm: float, against: Against
) -> None:
    found = _traced(section, f"{metres} m", f"{celsius} °C", "0.2 Ω")
    figure = found.figure("expected_r1")
    assert figure is not None and figure.value is not None
    got = figure.value * 1000
    what = f"{metres} m of {section} at {celsius} °C"
    against(what, IEC_COPPER, expected=mohm, got=got, within=6e-4 * max(1, mohm), unit="mΩ")


def test_resistance_by_units(against: Against) -> None:
    """Resistivity 17.241 nΩ·m, as the same standard prints it, through a library of units."""
    units = pint.get_application_registry()
    wire = 17.241 * units.nanoohm * units.metre * (8 * units.foot) / (0.8 * units.millimetre**2)
    against(
        "8 ft of 0.8 mm²",
        "pint, from 17.241 nΩ·m (IEC 60028, from memory)",
        expected=wire.to("milliohm").magnitude,
        got=conductor.resistance_ohm(0.8, 8 * 0.3048) * 1000,
        relative=1e-4,
        unit="mΩ",
    )


def test_found_resistance_and_its_doubt_by_hand(against: Against) -> None:
    """0.450 Ω less 0.120 Ω on one range: the gain counts for the difference alone, the counts of
    both readings each (JCGM 100, 5.2.2, rectangular bounds)."""
    found = _traced("0.75", "3.00 m", "20 °C", "0.450 Ω", leads="0.120 Ω").figure("found_r1")
    assert found is not None
    source = "JCGM 100:2008, 4.3.7 and 5.2.2, by hand"
    by_hand = math.hypot(0.005 * 0.330, 0.002, 0.002) / math.sqrt(3)
    against("0.450 Ω less leads of 0.120 Ω", source, expected=0.330, got=found.value, within=1e-9)
    against("its standard uncertainty", source, expected=by_hand, got=found.u, relative=1e-6)


def test_largest_usual_reading_by_hand(against: Against) -> None:
    """3 m of 0.75 mm² at 80 °C: 3 / 43.5 x 1.2358 x 1.16, twice 0.05 Ω, leads of 0.1 Ω."""
    against(
        "largest usual reading over 3 m of 0.75 mm² at 80 °C",
        "common practice, worked by hand",
        expected=3 / 43.5 * 1.2358 * 1.16 + 0.2,
        got=usual_most_ohm(0.75, 3.0, 80.0, 0.1),
        within=1e-9,
        unit="Ω",
    )


def _traced(section: str, length: str, temperature: str, ohms: str, leads: str = "0.1 Ω"):
    meter = Instrument("ohmmeter", "fine", "±(0.5 % + 2 counts)", (Span(20, 0.001),))
    context = Context(fault_present="yes", instruments={"ohmmeter": meter})
    typed = {
        "given.serves": "load",
        "given.both_off": "yes",
        "given.battery_off": "yes",
        "given.module_on": "no",
        "given.leads": leads,
        "given.length": length,
        "given.temperature": temperature,
        "left.r1.name": "1",
        "left.r1.section": section,
        "right.r1.name": "1",
        "probe.p1.start": "left.r1",
        "probe.p1.end": "right.r1",
        "probe.p1.ohms": ohms,
    }
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)
