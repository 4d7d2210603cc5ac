"""Uncertainty of readings against JCGM 100:2008 (GUM) and the `uncertainties` library.

Each worked value names its clause; those of the guide's own examples stand here from memory.
"""

from __future__ import annotations

import math

import pytest
import uncertainties

from measurements.core import units
from measurements.core.context import Context
from measurements.core.instruments import Instrument, Span
from measurements.core.readings import validate
from measurements.core.uncertainty import (
    Accuracy,
    coverage_factor,
    decimal_places,
    effective_dof,
    fixed,
    parse_accuracy,
    reading_parts,
    rectangular,
    repeats,
    resolution,
)
from measurements.procedures import PROCEDURES
from tests.reference.conftest import Against

BOUND = "JCGM 100:2008, 4.3.7, worked by hand"
CORRELATED = "JCGM 100:2008, 5.2.2, worked by hand"


@pytest.mark.parametrize(
    ("value", "percent", "counts", "digit", "half_width", "u", "expanded"),
    [
        (14.32, 0.5, 2, 0.01, 0.0916, 0.052885, 0.105771),
        (0.085, 0.5, 3, 0.001, 0.003425, 0.001977, 0.003955),
        (128.4, 0.8, 3, 0.1, 1.3272, 0.766259, 1.532519),
    ],
)
def test_meter_accuracy_as_a_rectangular_bound(
    value: float,
    percent: float,
    counts: float,
    digit: float,
    half_width: float,
    u: float,
    expanded: float,
    against: Against,
) -> None:
    accuracy = Accuracy(percent=percent, counts=counts)
    parts = reading_parts(value, accuracy, digit=digit, typed_digit=digit)
    meter = f"{value} by a meter of ±({percent} % + {counts} counts of {digit})"
    for what, expected, got, within in (
        ("half width", half_width, accuracy.half_width(value, digit), 5e-5),
        ("standard uncertainty", u, parts.u, 6e-7),
        ("expanded uncertainty, k = 2", expanded, 2 * parts.u, 6e-7),
    ):
        against(f"{what}, {meter}", BOUND, expected=expected, got=got, within=within)


def test_voltmeter_of_the_guide(against: Against) -> None:
    """0.928571 V, 14e-6 of reading + 2e-6 of the 1 V range."""
    accuracy = Accuracy(percent=14e-4, of_range=2e-4)
    half_width = accuracy.half_width(0.928571, full_scale=1.0)
    for what, expected, got in (
        ("half width", 15.0, half_width),
        ("standard uncertainty", 8.7, rectangular(half_width)),
    ):
        against(
            f"voltmeter of the guide, 0.928571 V: {what}",
            "JCGM 100:2008, example of 4.3.7, from memory",
            expected=expected,
            got=got * 1e6,
            within=0.05,
            unit="µV",
        )


def test_resolution_of_a_display(against: Against) -> None:
    against(
        "standard uncertainty of a display, digits",
        "JCGM 100:2008, F.2.2.1",
        expected=0.29,
        got=resolution(1.0),
        within=0.002,
    )


def test_rectangular_is_the_deviation_of_the_distribution(against: Against) -> None:
    stats = pytest.importorskip("scipy.stats")
    against(
        "standard uncertainty of a bound of ±0.7",
        "scipy.stats.uniform",
        expected=float(stats.uniform(-0.7, 1.4).std()),
        got=rectangular(0.7),
        relative=1e-12,
    )


def readings_of(first: str, second: str, accuracy: str = "±(0.5 % + 2 counts)"):
    meter = Instrument("multimeter", "bench meter", accuracy, (Span(60, 0.01),))
    context = Context(instruments={"multimeter": meter})
    typed = {"points.idle.battery_v": first, "points.idle.stud_v": second}
    return validate(PROCEDURES["charging"], typed, context).readings


def test_gain_of_one_meter_cancels_in_a_difference(against: Against) -> None:
    """Two readings near 14.4 V, ±(0.5 % + 2 counts of 0.01): u of the difference 0.016, not 0.061.

    Checked by the covariance formula, JCGM 100:2008 5.2.2, written out.
    """
    readings = readings_of("14.20", "14.52")
    difference = readings.uncertain("points.idle.stud_v") - readings.uncertain(
        "points.idle.battery_v"
    )
    gain, count = 0.005 / math.sqrt(3), 0.02 / math.sqrt(3)
    by_formula = math.sqrt((gain * (14.52 - 14.20)) ** 2 + 2 * count**2)
    assert difference.nominal_value == pytest.approx(0.32)
    against(
        "standard uncertainty of 14.52 V less 14.20 V, one meter ±(0.5 % + 2 counts)",
        CORRELATED,
        expected=by_formula,
        got=difference.std_dev,
        relative=1e-9,
        unit="V",
    )
    assert difference.std_dev == pytest.approx(0.016, abs=0.0005)
    apart = math.hypot(*(math.hypot(gain * volts, count) for volts in (14.20, 14.52)))
    assert apart == pytest.approx(0.061, abs=0.0005)


@pytest.mark.parametrize(
    ("r", "u", "expanded"), [(0.0, 0.067179, 0.134358), (0.9, 0.021265, 0.04253)]
)
def test_difference_of_two_correlated_readings(
    r: float, u: float, expanded: float, against: Against
) -> None:
    """By the library that we use."""
    covariance = r * 0.048 * 0.047
    a, b = uncertainties.correlated_values(
        [14.52, 14.20], [[0.048**2, covariance], [covariance, 0.047**2]]
    )
    against(
        f"standard uncertainty of 14.52 less 14.20, u 0.048 and 0.047, correlation {r}",
        CORRELATED,
        expected=u,
        got=(a - b).std_dev,
        within=1e-6,
    )
    assert 2 * (a - b).std_dev == pytest.approx(expanded, abs=2e-6)


def test_readings_of_two_meters_share_nothing(against: Against) -> None:
    readings = readings_of("14.20", "14.52")
    stud = readings.uncertain("points.idle.stud_v")
    clamp = validate(PROCEDURES["charging"], {"points.idle.current": "40"}, Context()).readings
    product = stud * clamp.uncertain("points.idle.current")
    relative = math.hypot(
        stud.std_dev / stud.nominal_value, clamp.uncertain("points.idle.current").std_dev / 40
    )
    against(
        "standard uncertainty of 14.52 V times 40 A, two meters",
        "JCGM 100:2008, 5.1.6, by hand",
        expected=product.nominal_value * relative,
        got=product.std_dev,
        relative=1e-9,
        unit="W",
    )


def test_sampling_agrees_with_first_order_for_a_resistance(against: Against) -> None:
    """As in JCGM 101: 0.18 V ± 0.5 % over 40 A ± 2 %, rectangular; 200,000 draws, fixed seed."""
    numpy = pytest.importorskip("numpy")
    draw = numpy.random.default_rng(20240611)
    volts = 0.18 * (1 + draw.uniform(-0.005, 0.005, 200_000))
    amperes = 40 * (1 + draw.uniform(-0.02, 0.02, 200_000))
    first_order = 0.0045 * math.hypot(0.005, 0.02) / math.sqrt(3)
    against(
        "standard uncertainty of 0.18 V ± 0.5 % over 40 A ± 2 %, first order",
        "200,000 random draws, as in JCGM 101:2008",
        expected=float((volts / amperes).std() * 1e6),
        got=first_order * 1e6,
        relative=0.01,
        unit="µΩ",
    )


@pytest.mark.parametrize("value", [0.098, 0.661, 14.32, 128.4, 0.0, -5.25, 1013.25])
@pytest.mark.parametrize("u", [0.0037, 0.0996, 0.00994, 0.00996, 0.5, 7.3, 0.095])
def test_rounding_agrees_with_the_library(value: float, u: float, against: Against) -> None:
    """Two digits of u, value to the same place: the library's "{:.2uf}" is the oracle."""
    shown_value, shown_u = f"{uncertainties.ufloat(value, u):.2uf}".split("+/-")
    places = decimal_places(u)
    ours = fixed(value, places).replace("−", "-")
    assert (float(ours), fixed(u, places)) == (float(shown_value), shown_u)
    if value == 14.32:  # one value of the seven stands for all on the help page
        against(
            f"{value} with u {u}, rounded",
            "uncertainties, format .2uf",
            expected=f"{shown_value} ± {shown_u}",
            got=f"{ours} ± {fixed(u, places)}",
        )


@pytest.mark.parametrize(
    ("quantity", "value", "unit", "to", "expected", "tolerance"),
    [
        ("gauge_pressure", 1, "psi", "kPa", 6.894757, 5e-7),
        ("gauge_pressure", 1, "bar", "kPa", 100, 0),
        ("gauge_pressure", 1, "kgf/cm²", "kPa", 98.0665, 0),
        ("gauge_pressure", 1, "inHg", "kPa", 3.38639, 5e-6),
        ("torque", 1, "lbf·ft", "N·m", 1.355818, 5e-7),
        ("distance", 1, "mi", "km", 1.609344, 0),
        ("volume", 1, "US qt", "L", 0.946353, 5e-7),
        ("volume", 1, "imp pt", "L", 0.568261, 5e-7),
        ("angle", 60, "′", "°", 1, 1e-12),
        ("temperature", 212, "°F", "°C", 100, 1e-12),
        ("temperature", -40, "°C", "°F", -40, 1e-12),
        ("temperature_difference", 9, "°F step", "K", 5, 1e-12),
    ],
)
def test_factors(
    quantity: str,
    value: float,
    unit: str,
    to: str,
    expected: float,
    tolerance: float,
    against: Against,
) -> None:
    exact = tolerance < 1e-9
    against(
        f"{value} {unit} in {to}".replace("-40", "−40"),
        "by definition, SI brochure" if exact else "NIST SP 811, from memory",
        expected=expected,
        got=float(units.convert(value, quantity, unit, to)),
        within=tolerance,
        unit=to,
    )


def test_factors_against_scipy_constants(against: Against) -> None:
    """CODATA tables of scipy are an independent list of the same factors."""
    constants = pytest.importorskip("scipy.constants")
    pairs = [
        ("gauge_pressure", "psi", "kPa", constants.psi / 1000),
        ("distance", "mi", "km", constants.mile / 1000),
        ("length", "in", "mm", constants.inch * 1000),
        ("mass", "lb", "kg", constants.pound),
        ("volume", "US gal", "L", constants.gallon * 1000),
        ("volume", "imp gal", "L", constants.gallon_imp * 1000),
        ("speed", "mph", "km/h", constants.mph * 3.6),
        ("power", "hp (metric)", "kW", 75 * constants.g / 1000),
    ]
    for quantity, unit, to, expected in pairs:
        against(
            f"1 {unit} in {to}",
            "scipy.constants",
            expected=float(expected),
            got=float(units.convert(1, quantity, unit, to)),
            relative=1e-9,
            unit=to,
        )
    assert constants.atm == units.STANDARD_ATMOSPHERE_KPA * 1000
    assert constants.zero_Celsius == units.ZERO_CELSIUS_K


def test_accuracy_as_data_sheets_print_it() -> None:
    assert parse_accuracy("±1 °F", "temperature").fixed == pytest.approx(5 / 9)
    assert parse_accuracy("± 1,6 % of range", "gauge_pressure").of_range == 1.6
    assert parse_accuracy("0.8 % + 3 digits", "voltage") == Accuracy(percent=0.8, counts=3)


def test_repeated_readings(against: Against) -> None:
    found = repeats([14.31, 14.33, 14.32, 14.3, 14.34])
    factor = coverage_factor(0.95, found.dof)
    for what, expected, got, within, unit in (
        ("mean", 14.32, found.mean, 1e-9, "V"),
        ("standard deviation", 0.015811, found.s, 5e-7, "V"),
        ("standard uncertainty of the mean", 0.007071, found.u, 5e-7, "V"),
        ("coverage factor for 95 %", 2.7764, factor, 5e-5, ""),
        ("expanded uncertainty", 0.019632, factor * found.u, 5e-7, "V"),
    ):
        against(
            f"{what} of 14.31, 14.33, 14.32, 14.30, 14.34 V",
            "JCGM 100:2008, 4.2 and G.3, worked by hand",
            expected=expected,
            got=got,
            within=within,
            unit=unit,
        )


def test_end_gauge_of_the_guide(against: Against) -> None:
    """25, 9.7, 2.9 and 16.6 nm; the guide prints u_c 32, nu_eff 16, t99 2.92, U99 93 nm."""
    parts = [(25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0)]
    combined = math.hypot(*(u for u, _ in parts))
    dof = effective_dof(parts)
    factor = coverage_factor(0.99, dof)
    assert combined == pytest.approx(31.67112, abs=5e-6)
    assert dof == pytest.approx(16.76, abs=5e-3)
    assert factor == pytest.approx(2.9208, abs=5e-5)
    assert factor * combined == pytest.approx(92.50443, abs=5e-5)
    for what, printed, got, within, unit in (
        ("combined standard uncertainty", 32, combined, 0.5, "nm"),
        ("effective degrees of freedom, truncated", 16, math.floor(dof), 0, ""),
        ("coverage factor for 99 %", 2.92, factor, 0.005, ""),
        ("expanded uncertainty", 93, factor * combined, 0.5, "nm"),
    ):
        against(
            f"end gauge: {what}",
            "JCGM 100:2008, H.1, from memory",
            expected=printed,
            got=got,
            within=within,
            unit=unit,
        )


@pytest.mark.parametrize("p", [0.5, 0.6827, 0.95, 0.9545, 0.99])
@pytest.mark.parametrize("dof", [1, 2, 3, 4, 7, 16, 50, 199])
def test_coverage_factor_against_scipy(p: float, dof: int, against: Against) -> None:
    """scipy's Student t; both are good to some 12 digits."""
    stats = pytest.importorskip("scipy.stats")
    expected = float(stats.t.ppf((1 + p) / 2, dof))
    assert coverage_factor(p, dof) == pytest.approx(expected, rel=1e-9)
    if p == 0.95:  # one column of the five stands for all on the help page
        against(
            f"coverage factor for {p:.0%}, {dof} degrees of freedom".replace("%", " %"),
            "scipy.stats.t",
            expected=expected,
            got=coverage_factor(p, dof),
            relative=1e-9,
        )
    assert coverage_factor(p, math.inf) == pytest.approx(stats.norm.ppf((1 + p) / 2), rel=1e-9)


def test_one_reading_has_no_spread() -> None:
    with pytest.raises(ValueError, match="at least 2"):
        repeats([14.3])
