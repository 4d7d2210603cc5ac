"""What is moulded into a tyre's wall: the week it was made, and its size.

Date code, after 49 CFR 574.5 (from memory): two figures for the week, then two for the year; week
01 is the first full calendar week of the year, Sunday to Saturday. Until the middle of 2000 one
figure for the year was enough, so that three figures leave the decade open.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta

MILLIMETRES_PER_INCH = 25.4
DAYS_PER_YEAR = 365.2425
"""Mean year of the Gregorian calendar."""

DATE_CODE = r"(0[1-9]|[1-4][0-9]|5[0-3])([0-9]{2}|[0-9])"
SIZE = r"[0-9A-Z][0-9A-Z ./,\-]{3,23}"

_SIZE_PARTS = re.compile(
    r"(?:P|LT)?([1-4][0-9]{2})/([2-9][0-9]|1[0-9]{2})Z?[RDB]?F?([12][0-9](?:[.,]5)?)"
)


@dataclass(frozen=True)
class Week:
    """A week of making: its year as counted on the tyre, its number and its first day.

    at_least: the code leaves the decade open and this is the latest year that it may mean.
    """

    year: int
    number: int
    first_day: date
    at_least: bool = False


def first_day_of(year: int, week: int) -> date:
    """The Sunday on which the week begins; week 1 is the first that lies wholly in the year.

    >>> first_day_of(2001, 3)
    datetime.date(2001, 1, 21)
    """
    first = date(year, 1, 1)
    return first + timedelta(days=(6 - first.weekday()) % 7 + 7 * (week - 1))


def week_made(code: str) -> Week | None:
    """The week that a date code tells, None if it is no date code.

    Three figures: the latest year that ends so, 1991 to 2000.

    >>> week_made("0301").year, week_made("031").year, week_made("031").at_least
    (2001, 1991, True)
    """
    found = re.fullmatch(DATE_CODE, code, re.ASCII)
    if found is None:
        return None
    number, figures = int(found[1]), found[2]
    if len(figures) == 2:
        year, at_least = 2000 + int(figures), False
    else:
        year, at_least = 1990 + (int(figures) or 10), True
    return Week(year, number, first_day_of(year, number), at_least)


def age_years(week: Week, on: date) -> float:
    """Years from the middle of the week of making to a day; below nought if that lies before it.

    >>> round(age_years(week_made("0301"), date(2011, 1, 24)), 2)
    10.0
    """
    return ((on - week.first_day).days - 3) / DAYS_PER_YEAR


HALF_WEEK_YEARS = 3.5 / DAYS_PER_YEAR
"""Half width of the week that a date code names."""


@dataclass(frozen=True)
class Size:
    """A metric size: width in mm, height of the wall in per cent of it, rim in inches."""

    width_mm: int
    aspect_percent: int
    rim_in: float

    @property
    def diameter_mm(self) -> float:
        """Nominal overall diameter: the rim and twice the wall.

        >>> round(Size(205, 55, 16).diameter_mm, 1)
        631.9
        """
        wall = self.width_mm * self.aspect_percent / 100
        return self.rim_in * MILLIMETRES_PER_INCH + 2 * wall


def size_of(text: str) -> Size | None:
    """The metric size in a marking, None for one that is written otherwise.

    >>> size_of("205/55 R16 91V")
    Size(width_mm=205, aspect_percent=55, rim_in=16.0)
    """
    found = _SIZE_PARTS.match("".join(text.upper().split()))
    if found is None:
        return None
    return Size(int(found[1]), int(found[2]), float(found[3].replace(",", ".")))


def same_size(one: str, other: str) -> bool:
    """Whether two markings name one size; load and speed letters after a metric size don't count.

    >>> same_size("205/55R16", "205/55 ZR16 94W"), same_size("205/55R16", "195/65R15")
    (True, False)
    """
    first, second = size_of(one), size_of(other)
    if first is None or second is None:
        return "".join(one.split()) == "".join(other.split())
    return first == second
