"""Ages, sizes, tread and pressures of tyres against calendars, published examples, exact sums."""

from __future__ import annotations

import math
from datetime import date, timedelta
from fractions import Fraction

import numpy as np
import pint
import pytest

from measurements.core import units
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

REGISTRY = pint.UnitRegistry()
CONTEXT = Context(measured_on="2025-03-31", fault_present="yes", car=Car(drive="all"))


def judged(typed: dict[str, str]) -> object:
    return assess(PROCEDURE, validate(PROCEDURE, typed, CONTEXT).readings, CONTEXT)


# --- weeks ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "week", "years"),
    [("0301", 3, {2001}), ("031", 3, {1981, 1991})],
)
def test_codes_as_explained_to_owners(code: str, week: int, years: set[int]) -> None:
    """A car maker's owner's manual of 2006: 0301 is the third week of 2001, 031 that of 1981 or
    1991, and week 01 is the first full week of the calendar year."""
    made = week_made(code)
    assert made is not None
    assert made.number == week and made.year == max(years)
    assert made.at_least == (len(years) > 1)


def test_weeks_agree_with_the_calendars_own_week_number() -> None:
    """C89 strftime %U counts weeks from the first Sunday, as 49 CFR 574.5 does (from memory)."""
    for year in range(2000, 2041):
        for week in range(1, 54):
            day = first_day_of(year, week)
            assert day.strftime("%a") == "Sun"
            if day.year == year:
                assert int(day.strftime("%U")) == week
            else:
                # a 53rd week that this year has not: it runs on into the next
                assert week == 53


def test_the_first_week_begins_within_a_week_of_the_iso_one() -> None:
    """ISO 8601 counts from the Monday of the week with 4 January: another rule, close by."""
    for year in range(2000, 2041):
        iso = date.fromisocalendar(year, 1, 1)
        assert -1 <= (first_day_of(year, 1) - iso).days <= 6


@pytest.mark.parametrize(
    ("code", "on", "days"),
    [
        # First Sunday of 2019 is 6 January; week 23 is 154 days on: 9 June; middle 12 June.
        ("2319", date(2025, 3, 31), 2119),
        # 2011 begins on a Saturday: first Sunday 2 January, week 2 from the 9th, middle the 12th.
        ("0211", date(2025, 3, 31), 5192),
    ],
)
def test_age_by_counting_days_with_numpy(code: str, on: date, days: int) -> None:
    made = week_made(code)
    assert made is not None
    middle = np.datetime64(made.first_day) + np.timedelta64(3, "D")
    assert (np.datetime64(on) - middle).astype(int) == days
    assert age_years(made, on) == pytest.approx(days / 365.2425, abs=1e-12)


def test_age_over_whole_centuries_is_the_gregorian_year() -> None:
    """400 Gregorian years have 146097 days, by the calendar's definition."""
    made = week_made("0100")
    assert made is not None
    middle = made.first_day + timedelta(days=3)
    assert age_years(made, middle + timedelta(days=146_097)) == pytest.approx(400, abs=1e-9)


def test_uncertainty_of_an_age_is_a_week_that_is_known_no_better() -> None:
    """Rectangular over seven days, JCGM 100 4.3.7: 7 / √12 days."""
    found = judged({"tyres.fl.date_code": "2319"})
    assert found.figure("age_fl").u == pytest.approx(7 / math.sqrt(12) / 365.2425, rel=1e-9)
    assert pytest.approx(7 / 2 / 365.2425) == HALF_WEEK_YEARS


# --- sizes ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("marking", "diameter_mm"),
    [
        # worked examples of public size calculators, to the tenth that they print
        ("205/55R16", 631.9),
        ("225/45 R17", 634.3),
        ("215/65R17", 711.3),
        ("225/60R17", 701.8),
        ("205/65R15", 647.5),
    ],
)
def test_overall_diameter_as_published(marking: str, diameter_mm: float) -> None:
    found = size_of(marking)
    assert found is not None
    assert found.diameter_mm == pytest.approx(diameter_mm, abs=0.051)


@pytest.mark.parametrize(("marking", "inches"), [("205/55R16", 24.88), ("225/45R17", 24.97)])
def test_overall_diameter_in_inches_by_pint(marking: str, inches: float) -> None:
    found = size_of(marking)
    assert found is not None
    wall = found.width_mm * REGISTRY.millimeter * found.aspect_percent / 100
    whole = (found.rim_in * REGISTRY.inch + 2 * wall).to("inch").magnitude
    assert whole == pytest.approx(inches, abs=0.005)
    assert found.diameter_mm == pytest.approx(whole * 25.4, rel=1e-12)


def test_rolling_difference_by_circumferences() -> None:
    """Another route: turns per kilometre of two tyres whose radius differs by the tread."""
    size = Size(205, 55, 16)
    for worn, full in ((4.1, 7.9), (3.0, 8.0)):
        turns = [1e6 / (2 * math.pi * (size.diameter_mm / 2 + d)) for d in (0.0, full - worn)]
        by_turns = 100 * (turns[0] / turns[1] - 1)
        assert rolling_percent(full - worn, size.diameter_mm) == pytest.approx(by_turns, rel=1e-9)


def test_rolling_difference_of_a_whole_test_by_fractions() -> None:
    typed = {f"tyres.{c}.size": "215/65R17" for c in ("fl", "fr", "rl", "rr")}
    typed |= {"tyres.fl.least": "4.0", "tyres.fr.least": "7.5"}
    typed |= {"tyres.rl.least": "5.0", "tyres.rr.least": "5.5"}
    diameter = Fraction(17) * Fraction("25.4") + 2 * Fraction(215) * Fraction(65, 100)
    found = judged(typed)
    assert found.figure("spread").value == pytest.approx(3.5, abs=1e-12)
    assert found.figure("rolling").value == pytest.approx(
        float(200 * Fraction("3.5") / diameter), rel=1e-12
    )


# --- tread and pressure -----------------------------------------------------------------------


def test_two_thirty_seconds_of_an_inch() -> None:
    """International inch, 25.4 mm exactly: 2/32 in is 1.5875 mm, below the European 1.6 mm."""
    exact = Fraction(2, 32) * Fraction("25.4")
    assert RULES["in"][1] == float(exact) == 1.5875
    assert RULES["mm"][1] == 1.6
    for thirty_seconds in range(1, 21):
        ours = units.convert(thirty_seconds, "length", "/32 in", "mm")
        theirs = REGISTRY.Quantity(thirty_seconds / 32, "inch").to("mm").magnitude
        assert float(ours) == pytest.approx(theirs, rel=1e-12)


def test_tread_left_and_its_uncertainty_by_hand() -> None:
    """Gauge ±0.1 mm, read to 0.1 mm, 0.15 mm of placing it; JCGM 100 4.3.7, F.2.2.1, 5.1.2."""
    by_hand = math.sqrt(0.1**2 / 3 + 0.1**2 / 12 + 0.15**2)
    typed = {"given.rule": "mm", "tyres.fl.inner": "3.1", "tyres.fl.outer": "5.4"}
    found = judged(typed)
    assert found.figure("left_fl").value == pytest.approx(1.5, abs=1e-12)
    assert found.figure("left_fl").u == pytest.approx(by_hand, rel=1e-9)
    assert found.figure("across_fl").value == pytest.approx(2.3, abs=1e-12)
    assert found.figure("across_fl").u == pytest.approx(by_hand * math.sqrt(2), rel=1e-9)


@pytest.mark.parametrize(("psi", "placard", "kpa"), [("30", "33", -20.684), ("36", "32", 27.579)])
def test_pressure_off_the_placard_in_pounds(psi: str, placard: str, kpa: float) -> None:
    """1 psi = 6.894757 kPa, NIST SP 811 (from memory)."""
    typed = {"given.placard_front": f"{placard} psi", "tyres.fl.pressure": f"{psi} psi"}
    value = judged(typed).figure("off_fl").value
    assert value == pytest.approx(kpa, abs=0.001)
    assert value == pytest.approx((int(psi) - int(placard)) * 6.894757, abs=1e-4)
