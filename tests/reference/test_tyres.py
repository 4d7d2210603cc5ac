"""Ages, sizes, tread and pressures of tyres against calendars, published examples, exact sums."""

from __future__ import annotations

import math
from datetime import date, timedelta
from fractions import Fraction

import numpy as np
import pint
import pytest

from measurements.core import units
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.core.tyre_marks import (
    HALF_WEEK_YEARS,
    Size,
    age_years,
    first_day_of,
    size_of,
    week_made,
)
from measurements.procedures.tyres import PROCEDURE, RULES, rolling_percent
from tests.reference.conftest import Against

REGISTRY = pint.get_application_registry()
CONTEXT = Context(measured_on="2025-03-31", fault_present="yes", car=Car(drive="all"))
YEARS = range(2000, 2041)

OWNERS_MANUAL = "a car maker's owner's manual of 2006"
LETTERS_OF_1996 = "letters to a car owners' mailing list, July 1996; worked by their writers"
CALCULATORS = "worked examples of public tyre size calculators"
GREGORIAN = "400 Gregorian years have 146,097 days"
INTERNATIONAL_INCH = "international inch, 25.4 mm exactly"
POUND_PER_SQUARE_INCH = "1 psi = 6.894757 kPa, NIST SP 811 (from memory)"
SUBTRACTION = "subtraction by hand"
GAUGE_BY_HAND = "JCGM 100:2008, 4.3.7, F.2.2.1 and 5.1.2, by hand"
GAUGE = "gauge ±0.1 mm, read to 0.1 mm, placed to 0.15 mm"
DRAWS = 400_000


def judged(typed: dict[str, str]) -> Assessment:
    checked = validate(PROCEDURE, typed, CONTEXT)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, CONTEXT)


def value(found: Assessment, key: str) -> float:
    figure = found.figure(key)
    assert figure is not None and figure.value is not None, key
    return figure.value


def doubt(found: Assessment, key: str) -> float:
    figure = found.figure(key)
    assert figure is not None, key
    return figure.u


# --- weeks ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "week", "years", "source"),
    [
        ("0301", 3, {2001}, OWNERS_MANUAL),
        ("031", 3, {1981, 1991}, OWNERS_MANUAL),
        ("5107", 51, {2007}, "a tyre seller's explanation for owners"),
    ],
)
def test_codes_as_explained_to_owners(
    code: str, week: int, years: set[int], source: str, against: Against
) -> None:
    """Three figures leave the decade open; the latest year is kept, and that it is so."""
    made = week_made(code)
    assert made is not None
    against(f"week of the code {code}", source, expected=week, got=made.number)
    against(f"latest year of the code {code}", source, expected=max(years), got=made.year)
    against(f"code {code} may mean an earlier year", source, expected=len(years) > 1,
            got=made.at_least)  # fmt: skip


def test_weeks_agree_with_the_calendars_own_week_number(against: Against) -> None:
    """Week 01 of a code is the first full week, Sunday to Saturday: 49 CFR 574.5 (from memory)."""
    first_days = {(year, week): first_day_of(year, week) for year in YEARS for week in range(1, 54)}
    for (year, week), day in first_days.items():
        # a 53rd week that this year has not: it runs on into the next
        assert day.year == year or week == 53
    against(
        "weeks of 2000 to 2040 that another count numbers otherwise",
        "C89 strftime %U: weeks from the year's first Sunday",
        expected=[],
        got=[
            f"{year} week {week}"
            for (year, week), day in first_days.items()
            if day.year == year and (day.strftime("%a"), int(day.strftime("%U"))) != ("Sun", week)
        ],
    )


def test_the_first_week_begins_within_a_week_of_the_iso_one(against: Against) -> None:
    """ISO 8601 counts from the Monday of the week with 4 January: another rule, close by. A year
    that begins on a Sunday is a day before it, any other six days behind."""
    apart = {(first_day_of(year, 1) - date.fromisocalendar(year, 1, 1)).days for year in YEARS}
    against(
        "days from the ISO week 1 to the code's, over 2000 to 2040",
        "ISO 8601 week calendar",
        expected=[-1, 6],
        got=sorted(apart),
        unit="days",
    )


@pytest.mark.parametrize(
    ("code", "middle", "days"),
    [
        # First Sunday of 2019 is 6 January; week 23 is 154 days on: 9 June; middle 12 June.
        ("2319", "2019-06-12", 2119),
        # 2011 begins on a Saturday: first Sunday 2 January, week 2 from the 9th, middle the 12th.
        ("0211", "2011-01-12", 5192),
    ],
)
def test_age_by_counting_days_with_numpy(
    code: str, middle: str, days: int, against: Against
) -> None:
    counted = int((np.datetime64("2025-03-31") - np.datetime64(middle)).astype(int))
    assert counted == days
    against(
        f"age of a tyre of {code} on 31 March 2025",
        f"days counted by hand and by numpy.datetime64; {GREGORIAN}",
        expected=counted * 400 / 146_097,
        got=value(judged({"tyres.fl.date_code": code}), "age_fl"),
        within=1e-9,
        unit="years",
    )


def test_age_over_whole_centuries_is_the_gregorian_year(against: Against) -> None:
    made = week_made("0100")
    assert made is not None
    middle = made.first_day + timedelta(days=3)
    against(
        "age of a tyre of 0100 after 146,097 days",
        GREGORIAN,
        expected=400,
        got=age_years(made, middle + timedelta(days=146_097)),
        within=1e-9,
        unit="years",
    )


def test_uncertainty_of_an_age_is_a_week_that_is_known_no_better(against: Against) -> None:
    against(
        "standard uncertainty of an age from week and year",
        "JCGM 100:2008, 4.3.7: 7 days / √12, by hand",
        expected=7 / math.sqrt(12) * 400 / 146_097,
        got=doubt(judged({"tyres.fl.date_code": "2319"}), "age_fl"),
        relative=1e-9,
        unit="years",
    )
    assert pytest.approx(7 / 2 / 365.2425) == HALF_WEEK_YEARS


# --- sizes ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("marking", "diameter_mm", "source"),
    [
        ("205/55R16", 631.9, LETTERS_OF_1996),
        ("215/50R16", 621.4, LETTERS_OF_1996),
        ("225/45R16", 608.9, LETTERS_OF_1996),
        ("215/65R17", 711.3, CALCULATORS),
        ("225/60R17", 701.8, CALCULATORS),
        ("225/45 R17", 634.3, CALCULATORS),
        ("205/65R15", 647.5, f"{CALCULATORS}, seen second-hand"),
    ],
)
def test_overall_diameter_as_published(
    marking: str, diameter_mm: float, source: str, against: Against
) -> None:
    """To the tenth that they print. The letters leave out the rim: their diameters fit 16 in."""
    found = size_of(marking)
    assert found is not None
    against(
        f"overall diameter of {marking}", source, expected=diameter_mm, got=found.diameter_mm,
        within=0.051, unit="mm",
    )  # fmt: skip


@pytest.mark.parametrize(("marking", "inches"), [("205/55R16", 24.878), ("225/45R17", 24.97)])
def test_overall_diameter_in_inches_by_pint(marking: str, inches: float, against: Against) -> None:
    found = size_of(marking)
    assert found is not None
    wall = found.width_mm * REGISTRY.millimeter * found.aspect_percent / 100
    whole = found.rim_in * REGISTRY.inch + 2 * wall
    what = f"overall diameter of {marking}"
    against(what, CALCULATORS, expected=inches, got=found.diameter_mm / 25.4, within=0.005,
            unit="in")  # fmt: skip
    against(
        what, "rim and twice the wall by pint", expected=whole.to("millimeter").magnitude,
        got=found.diameter_mm, relative=1e-12, unit="mm",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("what", "other_mm", "own_mm", "percent", "within"),
    [
        ("215/50R16 instead of 205/55R16", 621.4, 631.9, 1.7, 0.05),
        ("225/45R16 instead of 205/55R16", 608.9, 631.9, 3.6, 0.05),
        # The letter takes 10/32 in off the diameter and says "about"; 215/60R15 is 639 mm across:
        # 15 x 25.4 mm and twice 129 mm.
        ("10/32 in off the diameter of 215/60R15", 639 - 10 / 32 * 25.4, 639, 1.25, 0.01),
    ],
)
def test_rolling_difference_as_published(
    what: str, other_mm: float, own_mm: float, percent: float, within: float, against: Against
) -> None:
    """A tyre that is less across by so much has that much less tread twice: half on each side."""
    against(
        f"rolling distance lost by {what}",
        LETTERS_OF_1996,
        expected=percent,
        got=rolling_percent((own_mm - other_mm) / 2, own_mm),
        within=within,
        unit="%",
    )


@pytest.mark.parametrize(("worn", "full"), [(4.1, 7.9), (3.0, 8.0)])
def test_rolling_difference_by_circumferences(worn: float, full: float, against: Against) -> None:
    size = Size(205, 55, 16)
    turns = [1e6 / (2 * math.pi * (size.diameter_mm / 2 + d)) for d in (0.0, full - worn)]
    against(
        f"difference in rolling size, 205/55R16, tread {worn} and {full} mm",
        "turns per kilometre of two circles",
        expected=100 * (turns[0] / turns[1] - 1),
        got=rolling_percent(full - worn, size.diameter_mm),
        relative=1e-9,
        unit="%",
    )


def test_rolling_difference_of_a_whole_test_by_fractions(against: Against) -> None:
    depths = {"fl": "4.0", "fr": "7.5", "rl": "5.0", "rr": "5.5"}
    typed = {f"tyres.{corner}.size": "215/65R17" for corner in depths}
    typed |= {f"tyres.{corner}.least": f"{depth} mm" for corner, depth in depths.items()}
    found = judged(typed)
    case = "four tyres 4.0, 7.5, 5.0 and 5.5 mm"
    against(
        f"largest difference in tread, {case}", "numpy.ptp",
        expected=float(np.ptp([float(depth) for depth in depths.values()])),
        got=value(found, "spread"), within=1e-12, unit="mm",
    )  # fmt: skip
    diameter = Fraction(17) * Fraction("25.4") + 2 * Fraction(215) * Fraction(65, 100)
    against(
        f"difference in rolling size, 215/65R17, {case}", "exact fractions",
        expected=float(200 * Fraction("3.5") / diameter),
        got=value(found, "rolling"), relative=1e-12, unit="%",
    )  # fmt: skip


def test_spread_of_four_tyres_in_thirty_seconds_of_an_inch(against: Against) -> None:
    depths = {"fl": 6, "fr": 9, "rl": 8, "rr": 7}
    typed = {f"tyres.{corner}.least": f"{depth}/32 in" for corner, depth in depths.items()}
    against(
        "largest difference in tread, four tyres 6, 9, 8 and 7/32 in",
        f"3/32 in by pint; {INTERNATIONAL_INCH}",
        expected=REGISTRY.Quantity(3 / 32, "inch").to("millimeter").magnitude,
        got=value(judged(typed), "spread"),
        within=1e-9,
        unit="mm",
    )


# --- tread and pressure -----------------------------------------------------------------------


def test_least_treads_of_the_law(against: Against) -> None:
    """2/32 in is below the European 1.6 mm by a hair."""
    for rule, least, source in (
        ("mm", 1.6, "Directive 89/459/EEC (from memory)"),
        ("in", float(Fraction(2, 32) * Fraction("25.4")), "49 CFR 570.9 (from memory): 2/32 in"),
    ):
        against(f"least tread, {RULES[rule][0]}", source, expected=least, got=RULES[rule][1],
                unit="mm")  # fmt: skip


@pytest.mark.parametrize("thirty_seconds", (1, 2, 3, 4, 8, 10, 16, 20))
def test_thirty_seconds_of_an_inch_by_pint(thirty_seconds: int, against: Against) -> None:
    against(
        f"{thirty_seconds}/32 in",
        f"pint; {INTERNATIONAL_INCH}",
        expected=REGISTRY.Quantity(thirty_seconds / 32, "inch").to("mm").magnitude,
        got=float(units.convert(thirty_seconds, "length", "/32 in", "mm")),
        relative=1e-12,
        unit="mm",
    )


def test_tread_left_and_across_by_hand(against: Against) -> None:
    found = judged({"given.rule": "mm", "tyres.fl.inner": "3.1 mm", "tyres.fl.outer": "5.4 mm"})
    against(
        "tread above 1.6 mm, grooves 3.1 and 5.4 mm", SUBTRACTION, expected=1.5,
        got=value(found, "left_fl"), within=1e-12, unit="mm",
    )  # fmt: skip
    against(
        "difference across the tread, grooves 3.1 and 5.4 mm", SUBTRACTION, expected=2.3,
        got=value(found, "across_fl"), within=1e-12, unit="mm",
    )  # fmt: skip


def test_tread_left_and_across_in_inches_by_fractions(against: Against) -> None:
    typed = {f"tyres.fl.{groove}": f"{n}/32 in" for groove, n in
             (("inner", 8), ("middle", 7), ("outer", 4))}  # fmt: skip
    found = judged({"given.rule": "in"} | typed)
    case = "grooves 8, 7 and 4/32 in"
    for what, key, thirty_seconds in (
        ("tread above 2/32 in", "left_fl", 2),
        ("difference across the tread", "across_fl", 4),
    ):
        against(
            f"{what}, {case}", f"exact fractions; {INTERNATIONAL_INCH}",
            expected=float(Fraction(thirty_seconds, 32) * Fraction("25.4")),
            got=value(found, key), within=1e-9, unit="mm",
        )  # fmt: skip


def test_uncertainty_of_tread_by_hand_and_by_random_draws(against: Against) -> None:
    """The legal minimum is exact; two grooves have each their own error."""
    found = judged({"given.rule": "mm", "tyres.fl.inner": "3.1 mm", "tyres.fl.outer": "5.4 mm"})
    by_hand = math.sqrt(0.1**2 / 3 + 0.1**2 / 12 + 0.15**2)
    draw = np.random.default_rng(23)
    groove = [
        draw.uniform(-0.1, 0.1, DRAWS)
        + draw.uniform(-0.05, 0.05, DRAWS)
        + draw.normal(0, 0.15, DRAWS)
        for _ in range(2)
    ]
    for what, key, exact, drawn in (
        ("tread left", "left_fl", by_hand, groove[0]),
        ("difference across", "across_fl", by_hand * math.sqrt(2), groove[1] - groove[0]),
    ):
        figure = f"standard uncertainty of the {what}, {GAUGE}"
        got = doubt(found, key)
        against(figure, GAUGE_BY_HAND, expected=exact, got=got, relative=1e-9, unit="mm")
        against(
            figure, "400,000 random draws", expected=float(drawn.std()), got=got, relative=0.01,
            unit="mm",
        )  # fmt: skip


@pytest.mark.parametrize(("psi", "placard"), [(30, 33), (36, 32)])
def test_pressure_off_the_placard_in_pounds(psi: int, placard: int, against: Against) -> None:
    typed = {"given.placard_front": f"{placard} psi", "tyres.fl.pressure": f"{psi} psi"}
    got = value(judged(typed), "off_fl")
    figure = f"{psi} psi where the placard asks for {placard}"
    against(figure, POUND_PER_SQUARE_INCH, expected=(psi - placard) * 6.894757, got=got,
            within=1e-4, unit="kPa")  # fmt: skip
    by_pint = (psi - placard) * REGISTRY.Quantity(1, "psi").to("kilopascal").magnitude
    against(figure, "pint", expected=by_pint, got=got, relative=1e-9, unit="kPa")


def test_pressure_off_the_placard_in_bar(against: Against) -> None:
    typed = {"given.placard_front": "2.3 bar", "tyres.fl.pressure": "2.1 bar"}
    against(
        "2.1 bar where the placard asks for 2.3",
        "1 bar = 100 kPa, NIST SP 811 (from memory)",
        expected=-20,
        got=value(judged(typed), "off_fl"),
        within=1e-9,
        unit="kPa",
    )
