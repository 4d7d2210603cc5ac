"""The columns of a log: every good row as Python itself reads it, every bad one by its line."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from measurements.core.logs import columns as reading
from measurements.core.logs.columns import LogColumns, Wanted
from measurements.core.logs.decimals import clock_seconds, parse_lines
from measurements.core.logs.file import open_log
from measurements.core.logs.text import MOST_ROWS, LogRefused

TWO = {"time": Wanted(0), "volts": Wanted(1)}


@pytest.fixture
def read(tmp_path: Path):
    """Reads text (or bytes) as a log of time and volts."""

    def read(lines: str | bytes, wanted=TWO, encoding: str = "utf-8") -> LogColumns:
        path = tmp_path / "log.csv"
        path.write_bytes(lines if isinstance(lines, bytes) else lines.encode(encoding))
        return open_log(path).read(wanted)

    return read


def volts(found: LogColumns) -> list[float]:
    return found.columns["volts"].tolist()


def bad(found: LogColumns) -> list[tuple[int, str]]:
    return [(one.line, one.why) for one in found.bad]


# --- bad rows -----------------------------------------------------------------------------------


def test_a_bad_row_is_left_out_and_named_by_its_line(read) -> None:
    found = read("time,volts\n0,12\n1,overrun\n2,14\n3\n4,16\n")
    assert volts(found) == [12, 14, 16]
    assert bad(found) == [(3, "“overrun” is no number"), (5, "has 1 columns, 2 are needed")]


@pytest.mark.parametrize("cell", ["NaN", "inf", "-Infinity", "1_000", "1e999", "0x1F", "1.2.3"])
def test_what_is_no_finite_number_is_bad(read, cell: str) -> None:
    found = read(f"time,volts\n0,12\n1,{cell}\n2,14\n")
    assert (volts(found), found.bad_count, found.bad[0].line) == ([12, 14], 1, 3)


def test_a_cell_too_many_is_bad_and_empty_ones_at_the_end_are_not(read) -> None:
    found = read("time,volts\n0,12\n1,13,5\n2,14,,\n")
    assert volts(found) == [12, 14]
    assert bad(found) == [(3, "has 3 columns, 2 are needed")]


def test_lines_are_counted_through_all_blocks(read, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "_BLOCK_BYTES", 1000)
    rows = [f"{n},12.5" for n in range(2000)]
    rows[1500] = "1500,?"
    rows[1990] = "1990"
    found = read("title\n\ntime,volts\n" + "\n".join(rows))
    assert [line for line, _ in bad(found)] == [1504, 1994]
    assert found.rows == 1998


def test_only_the_first_bad_lines_are_listed_and_all_are_counted(read) -> None:
    rows = [f"{n},{'x' if n % 2 else 1}" for n in range(200)]
    found = read("time,volts\n" + "\n".join(rows) + "\n")
    assert (found.bad_count, len(found.bad), found.rows) == (100, 20, 100)
    assert found.bad[0].line == 3


def test_blank_lines_are_nothing(read) -> None:
    found = read("time,volts\n0,12\n\n   \n1,13\n\n")
    assert (volts(found), found.bad_count) == ([12, 13], 0)


def test_an_empty_cell_is_missing_and_the_row_stays(read) -> None:
    found = read("time,volts\n0,12\n1,\n2, \n3,15\n")
    assert np.isnan(found.columns["volts"]).tolist() == [False, True, True, False]
    assert found.bad_count == 0


def test_an_open_quote_takes_its_own_line_with_it_and_no_other(read) -> None:
    found = read('time,volts\n0,12\n1,"13\n2,14\n')
    assert volts(found) == [12, 14]
    assert bad(found)[0][0] == 3


def test_a_cell_is_quoted_without_what_turns_or_hides(read) -> None:
    found = read("time,volts\n0,12\n1,a\u202eb\x07c\n2,14\n")
    assert bad(found) == [(3, "“abc” is no number")]


def test_not_one_good_row_is_refused(read) -> None:
    with pytest.raises(LogRefused, match="Not one row"):
        read("time,volts,note\n1,x,2\n", {"time": Wanted(0), "volts": Wanted(1)})


def test_a_column_that_is_not_there_is_refused(read) -> None:
    with pytest.raises(LogRefused, match="no column for volts"):
        read("time,volts\n0,12\n", {"time": Wanted(0), "volts": Wanted(2)})


def test_a_line_without_end_is_refused_before_it_fills_the_memory(
    read, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading, "_BLOCK_BYTES", 50_000)
    rows = "".join(f"{n},12.5\n" for n in range(10_000))
    with pytest.raises(LogRefused, match="Line 10002 is longer"):
        read("time,volts\n" + rows + "9" * 400_000)


def test_a_million_rows_are_read_and_one_more_is_refused(read) -> None:
    rows = b"".join(b"%d,12.5\n" % n for n in range(MOST_ROWS))
    assert read(b"time,volts\n" + rows).rows == MOST_ROWS
    with pytest.raises(LogRefused, match="more than 1 000 000 rows"):
        read(b"time,volts\n" + rows + b"%d,12.5\n" % MOST_ROWS)


def test_a_cell_of_blanks_alone_takes_no_time_and_is_empty(read) -> None:
    rows = "".join(f"{n},{' ' * 15_000}\n" for n in range(60))
    found = read("time,volts\n-1,12\n" + rows)
    assert (found.rows, found.bad_count) == (61, 0)
    assert np.isnan(found.columns["volts"]).sum() == 60


# --- good rows ----------------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_numbers_are_the_same_in_every_encoding(read, encoding: str) -> None:
    lines = "tïme;Öl\n0;12,5\n1;-0,25\n2;1e2\n"
    if encoding == "utf-16-le":
        lines = "\ufeff" + lines
    found = read(lines, encoding=encoding)
    assert (volts(found), found.bad_count) == ([12.5, -0.25, 100.0], 0)


def test_a_mark_at_the_start_is_no_part_of_the_first_number(read) -> None:
    assert read("0,12\n1,13\n", encoding="utf-8-sig").columns["time"].tolist() == [0, 1]


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_line_ends_and_a_last_line_without_one(read, end: str) -> None:
    assert volts(read(end.join(["time,volts", "0,12.5", "1,13.5"]))) == [12.5, 13.5]


def test_quoted_cells_and_powers_of_ten_are_read(read) -> None:
    found = read('time,volts\n"0","1.25e1"\n 1 , +13 \n2,.5\n3,5.\n')
    assert (volts(found), found.bad_count) == ([12.5, 13, 0.5, 5], 0)


def test_a_decimal_comma_where_points_are_written_is_bad(read) -> None:
    found = read("time;volts\n0;12.5\n1;12,5\n2;12.5\n")
    assert (found.rows, bad(found)[0][0]) == (2, 3)


def test_a_switch_may_be_words(read) -> None:
    found = read(
        "time,load\n0,on\n1,off\n2,1\n3,TRUE\n4,maybe\n",
        {"time": Wanted(0), "volts": Wanted(1, factor=100, switch=True)},
    )
    assert volts(found) == [100, 0, 100, 100]
    assert bad(found) == [(6, "“maybe” is no number")]


def test_values_come_in_the_stored_unit_and_beside_no_other(read) -> None:
    """13 200 mV are 13.2 V to the last bit, and 212 °F are 100 °C."""
    found = read("time,u,t\n0,13200,212\n", {
        "time": Wanted(0), "volts": Wanted(1, factor=0.001),
        "hot": Wanted(2, factor=5 / 9, offset=-160 / 9),
    })  # fmt: skip
    assert (volts(found), found.columns["hot"].tolist()) == ([13.2], [100.0])


# --- time ---------------------------------------------------------------------------------------


def test_time_counts_from_the_first_row(read) -> None:
    assert read("time,volts\n100,1\n101,2\n").columns["time"].tolist() == [0, 1]


def test_a_time_that_does_not_rise_is_left_out(read) -> None:
    found = read("time,volts\n0,1\n1,2\n1,3\n0.5,4\n2,5\n")
    assert volts(found) == [1, 2, 5]
    assert {why for _, why in bad(found)} == {"its time is not after the row above"}
    assert [line for line, _ in bad(found)] == [4, 5]


def test_one_time_far_ahead_does_not_take_the_rest_with_it(read) -> None:
    found = read("time,volts\n0,1\n1,2\n99999,3\n2,4\n3,5\n")
    assert volts(found) == [1, 2, 4, 5]
    assert bad(found) == [(4, "its time is after the row below")]


def test_a_missing_time_is_left_out(read) -> None:
    found = read("time,volts\n0,1\n,2\n2,3\n")
    assert (volts(found), bad(found)) == ([1, 3], [(3, "has no time")])


def test_times_of_day_run_over_midnight(read) -> None:
    found = read("time,volts\n23:59:58,1\n23:59:59.5,2\n0:00:01,3\n00:10,4\n")
    assert found.columns["time"].tolist() == [0, 1.5, 3, 602]


def test_times_with_their_day_and_their_zone(read) -> None:
    found = read(
        "time,volts\n2025-03-30T00:59:59Z,1\n2025-03-30T01:00:00Z,2\n"
        "2025-03-30T03:00:01+02:00,3\n2025-03-31 01:00:00Z,4\n"
    )
    assert found.columns["time"].tolist() == [0, 1, 2, 86401]


@pytest.mark.parametrize("cell", ["24:00:00", "12:60:00", "2025-02-29T10:00:00", "noon", "12"])
def test_what_is_no_time_is_bad(read, cell: str) -> None:
    day = "2025-02-28T" if "T" in cell else ""
    found = read(f"time,volts\n{day}10:00:00,1\n{cell},2\n{day}10:00:02,3\n")
    assert volts(found) == [1, 3]
    assert bad(found) == [(3, f"“{cell}” is no time")]


# --- against Python itself ----------------------------------------------------------------------

cells = st.one_of(
    st.floats(-1e6, 1e6).map(lambda x: f"{x:.3f}"),
    st.integers(-(10**17), 10**17).map(str),
    st.decimals(-1000, 1000, places=6).map(str),
    st.text("0123456789+-.eE ", max_size=20),
    st.sampled_from(["", " ", ".", "-", "nan", "inf", "1_0", "1e400", "0.1", "-0", "00.50", "5."]),
)


@given(st.lists(cells, min_size=1, max_size=30), st.sampled_from(".,"))
@example(["9007199254740993", "0.1", "123456789012345", "1234567890123456"], ".")
def test_plain_numbers_are_those_of_python(found: list[str], decimal: str) -> None:
    """Whatever it reads is what float() makes of it; the rest is left to the reader of lines."""
    lines = "".join(f"7;{cell.replace('.', decimal)};1\n" for cell in found)
    block = np.frombuffer(lines.encode(), dtype=np.uint8)
    values, good, _starts, _ends = parse_lines(block, 3, [0, 1], ";", decimal)
    assert values.shape == (2, len(found))
    for cell, value, was_read in zip(found, values[1], good, strict=True):
        if not was_read:
            continue
        if not cell.strip():
            assert math.isnan(value)
        else:
            assert value == float(cell), cell
            assert math.copysign(1, value) == math.copysign(1, float(cell))
    plain = [i for i, cell in enumerate(found) if cell.strip(" -").replace(".", "", 1).isdigit()
             and cell.count("-") <= cell.startswith("-") and len(cell) <= 15]  # fmt: skip
    assert good[plain].all(), "a plain number was not read at once"


@given(st.datetimes(min_value=__import__("datetime").datetime(1, 1, 2)), st.integers(0, 6))
def test_times_at_once_are_those_of_the_slow_reader(moment, places: int) -> None:
    part = f"{moment.microsecond:06}"[:places]
    text = moment.strftime("%H:%M:%S") + (f".{part}" if part else "")
    dated = f"{moment.year:04}-{moment.month:02}-{moment.day:02}T{text}"
    for cell in (text, dated, f"{dated}Z"):
        block = np.frombuffer(f"{cell},1\n".encode(), dtype=np.uint8)
        values, good, _starts, _ends = parse_lines(block, 2, [0], ",", ".", (0,))
        assert good.all(), cell
        assert values[0, 0] == pytest.approx(clock_seconds(cell), abs=1e-6, rel=0)
