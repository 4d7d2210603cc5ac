"""What is moulded into a tyre's wall, decoded."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.tyre_marks import age_years, same_size, size_of, week_made


@pytest.mark.parametrize(
    "code", ["", "1", "12", "0019", "5419", "12345", "ab12", "-119", "１２１９"]
)
def test_what_is_no_date_code_gives_no_week(code: str) -> None:
    assert week_made(code) is None


@pytest.mark.parametrize(("code", "year"), [("101", 1991), ("109", 1999), ("100", 2000)])
def test_three_figures_mean_the_latest_year_that_ends_so(code: str, year: int) -> None:
    found = week_made(code)
    assert found is not None
    assert (found.year, found.at_least) == (year, True)


@given(st.integers(1, 53), st.integers(0, 99), st.integers(0, 20_000))
def test_a_tyre_grows_older_day_by_day(week: int, year: int, days: int) -> None:
    made = week_made(f"{week:02}{year:02}")
    assert made is not None
    on = made.first_day + timedelta(days=days)
    assert age_years(made, on) < age_years(made, on + timedelta(days=1))


@given(st.integers(1, 53), st.integers(0, 98))
def test_weeks_follow_each_other_without_overlap(week: int, year: int) -> None:
    this, later = week_made(f"{week:02}{year:02}"), week_made(f"01{year + 1:02}")
    assert this is not None and later is not None
    assert (later.first_day - this.first_day).days % 7 == 0
    if week <= 52:
        assert this.first_day < later.first_day


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("205/55R16", (205, 55, 16.0)),
        ("P205/55 R16 91V", (205, 55, 16.0)),
        ("LT245/75R16 120/116S", (245, 75, 16.0)),
        ("225/45ZR17", (225, 45, 17.0)),
        ("195/65 R 15", (195, 65, 15.0)),
        ("225/70R19,5", (225, 70, 19.5)),
        ("225/50RF17", (225, 50, 17.0)),
    ],
)
def test_a_metric_size_is_read_in_all_its_spellings(
    text: str, size: tuple[int, int, float]
) -> None:
    found = size_of(text)
    assert found is not None
    assert (found.width_mm, found.aspect_percent, found.rim_in) == size


@pytest.mark.parametrize("text", ["31X10.50R15", "165R13", "6.00-16", ""])
def test_other_sizes_are_kept_as_words(text: str) -> None:
    assert size_of(text) is None
    assert same_size(text, text)
