"""Columns by heading or number, units as the file says them, and what the headings suggest."""

from __future__ import annotations

import pytest

from measurements.core.logs.file import (
    SWITCH,
    guess,
    has_times_of_day,
    place_of,
    source_of,
    unit_in_file,
    units_of,
    wanted_as,
)
from measurements.core.logs.text import LogRefused, LogText, recognise
from measurements.core.procedure import Row
from measurements.procedures.data_log import PROCEDURE

ROWS = PROCEDURE.grids[0].axis.rows


def text(head: str, values: str = "") -> LogText:
    width = head.splitlines()[-1].count(",") + 1
    row = values or ",".join(["1"] * width)
    return recognise(f"{head}\n{row}\n{row}\n".encode())


LOG = text("time,Battery_Volts (V),Engine Speed [rpm],2,load")


@pytest.mark.parametrize(
    ("typed", "place"),
    [("time", 0), (" TIME ", 0), ("battery volts (v)", 1), ("3", 2), ("#3", 2), ("column 5", 4),
     ("2", 3)],
)  # fmt: skip
def test_a_column_is_found_by_heading_first_and_then_by_number(typed: str, place: int) -> None:
    assert place_of(LOG, typed) == place


@pytest.mark.parametrize("typed", ["volts", "0", "6", "column 65", "-1", "3.0", ""])
def test_what_is_neither_is_refused_with_the_headings(typed: str) -> None:
    with pytest.raises(LogRefused, match="It has time, Battery_Volts"):
        place_of(LOG, typed)


def test_a_heading_that_stands_twice_is_refused_with_its_numbers() -> None:
    with pytest.raises(LogRefused, match="stands there 2 times: type column 2 or column 3"):
        place_of(text("time,v,V"), "v")


@pytest.mark.parametrize("head", ["time,v,V", "time,,x", "3,1,2", "column 2,column 1,x"])
def test_every_column_has_a_name_by_which_it_is_found(head: str) -> None:
    found = text(head)
    assert [place_of(found, source_of(found, n)) for n in range(3)] == [0, 1, 2]


def test_units_stand_below_or_behind_a_heading() -> None:
    assert unit_in_file(LOG, 1, "voltage") == "V"
    assert unit_in_file(text("time,u\ns,MV"), 1, "voltage") == ""
    assert unit_in_file(text("time,u\ns,mV"), 1, "voltage") == "mV"
    assert unit_in_file(LOG, 1, "temperature") == ""


def test_a_time_of_day_needs_no_unit() -> None:
    found = text("clock,u", "10:00:00,1")
    assert has_times_of_day(found, 0)
    assert not has_times_of_day(found, 1)


@pytest.mark.parametrize(
    ("quantity", "unit", "logged", "stored"),
    [
        ("voltage", "mV", 661, 0.661),
        ("temperature", "°F", 212, 100),
        ("gauge_pressure", "bar", 2, 200),
        ("time", "min", 2, 120),
        ("ratio", SWITCH, 1, 100),
    ],
)
def test_a_column_is_read_into_the_stored_unit(quantity, unit, logged, stored) -> None:
    wanted = wanted_as(0, quantity, unit)
    assert logged * wanted.factor + wanted.offset == pytest.approx(stored)
    assert wanted.switch == (unit == SWITCH)


def test_a_switch_is_offered_only_where_there_can_be_one() -> None:
    assert SWITCH in units_of("ratio", switch=True)
    assert SWITCH not in units_of("ratio")


# --- guessing -----------------------------------------------------------------------------------


def guessed(found: LogText, watched: str = "voltage") -> dict[str, str]:
    quantities = {row.code: row.facts.get("quantity", watched) for row in ROWS}
    return {code: source for code, (source, _unit) in guess(found, ROWS, quantities).items()}


def test_headings_suggest_columns() -> None:
    found = text("Time (s),Battery (V),Engine RPM,Vehicle speed,Coolant temp,Marker")
    assert guessed(found) == {
        "time": "Time (s)",
        "watched": "Battery (V)",
        "engine_speed": "Engine RPM",
        "road_speed": "Vehicle speed",
        "temperature": "Coolant temp",
        "marker": "Marker",
    }


def test_a_unit_alone_is_enough_for_what_is_watched() -> None:
    assert guessed(text("time,PID 42\ns,V"))["watched"] == "PID 42"
    assert "watched" not in guessed(text("time,PID 42\ns,kPa"))


def test_a_heading_with_another_unit_is_not_suggested() -> None:
    assert "watched" not in guessed(text("time,battery\ns,A"))
    assert guessed(text("time,battery\ns,A"), "current")["watched"] == "battery"


def test_a_column_is_suggested_once() -> None:
    found = guessed(text("time,coolant temperature\ns,°C"), "temperature")
    assert found == {"time": "time", "watched": "coolant temperature"}


def test_headings_that_say_nothing_suggest_nothing() -> None:
    assert guessed(text("a,b,c")) == {}
    assert guess(text("a"), [Row("x", "x")], {}) == {}
