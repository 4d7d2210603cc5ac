"""How a log is recognised: what it is not, first."""

from __future__ import annotations

import codecs

import pytest

from measurements.core.logs.text import LogRefused, LogText, is_clock, is_number, recognise


def text(lines: str, encoding: str = "utf-8") -> LogText:
    return recognise(lines.encode(encoding))


# --- refused ------------------------------------------------------------------------------------


@pytest.mark.parametrize("data", [b"", b"  \r\n", codecs.BOM_UTF8, codecs.BOM_UTF16_LE])
def test_nothing_is_refused_as_empty(data: bytes) -> None:
    with pytest.raises(LogRefused, match="empty"):
        recognise(data)


def test_a_size_beyond_the_limit_is_refused_before_anything_is_read() -> None:
    with pytest.raises(LogRefused, match="has 250 MB; at most 100 MB"):
        recognise(b"time,volts\n0,12\n", size=250_000_000)


def test_bytes_that_are_no_text_are_named_by_their_place() -> None:
    with pytest.raises(LogRefused, match="byte 4 is zero"):
        recognise(b"%PDF\x00\x01\n1,2\n")


def test_words_without_numbers_are_no_log() -> None:
    with pytest.raises(LogRefused, match="No row of numbers"):
        text("a,b\nc,d\n")


def test_a_65th_column_is_refused_and_64_are_not() -> None:
    assert len(text(",".join("1" for _ in range(64)) + "\n").headings) == 64
    with pytest.raises(LogRefused, match="65 columns; at most 64"):
        text(",".join("1" for _ in range(65)) + "\n")


def test_a_line_that_no_log_has_is_named_by_its_number() -> None:
    with pytest.raises(LogRefused, match="Line 3 is longer than 20000"):
        text("time,volts\n0,12\n" + "9" * 30_000 + "\n")


def test_a_quotation_mark_that_is_not_closed_is_named_by_its_line() -> None:
    with pytest.raises(LogRefused, match=r"Line 2: a quotation mark is opened and not closed\."):
        text('made by hand\ntime,"volts\n0,12\n1,12\n')
    with pytest.raises(LogRefused, match="Line 2: a quotation mark"):
        text('\n"time,volts\n0,12\n')


def test_an_open_quote_among_the_values_is_left_to_the_reader_of_lines() -> None:
    assert text('time,volts\n0,12\n1,"13\n2,14\n').preview == (("0", "12"),)


def test_lines_that_end_as_on_old_machines_are_refused_in_words() -> None:
    with pytest.raises(LogRefused, match="carriage return alone"):
        text("time,volts\r0,12\r1,13\r")


# --- recognised ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lines", "separator", "decimal"),
    [
        ("time,volts\n0.0,12.6\n0.5,12.7\n", ",", "."),
        ("time;volts\n0,0;12,6\n0,5;12,7\n", ";", ","),
        ("time;volts\n0.0;12.6\n", ";", "."),
        ("time\tvolts\n0,0\t12,6\n0,5\t12,7\n", "\t", ","),
        ("time|volts\n0.0|12.6\n", "|", "."),
        ('time,volts\n"0,0","12,6"\n"0,5","12,7"\n', ",", ","),
        ("time;volts;note\n0;12,6;idle, warm\n1;12,7;idle, hot\n", ";", ","),
    ],
    ids=["comma", "semicolon", "semicolon and point", "tab", "bar", "quoted comma", "words"],
)
def test_separator_and_decimal_sign(lines: str, separator: str, decimal: str) -> None:
    found = text(lines)
    assert (found.separator, found.decimal) == (separator, decimal)
    assert found.headings[:2] == ("time", "volts")


@pytest.mark.parametrize(
    ("data", "encoding"),
    [
        ("time,Öl\n0,1\n".encode(), "utf-8"),
        (codecs.BOM_UTF8 + "time,Öl\n0,1\n".encode(), "utf-8-sig"),
        ("time,Öl\n0,1\n".encode("utf-16"), "utf-16"),
        (codecs.BOM_UTF16_BE + "time,Öl\n0,1\n".encode("utf-16-be"), "utf-16"),
        ("time,Öl\n0,1\n".encode("cp1252"), "cp1252"),
    ],
    ids=["UTF-8", "BOM", "UTF-16", "UTF-16 big end first", "cp1252"],
)
def test_encoding(data: bytes, encoding: str) -> None:
    found = recognise(data)
    assert (found.encoding, found.headings) == (encoding, ("time", "Öl"))


def test_a_letter_that_the_sample_cuts_in_two_is_no_other_encoding() -> None:
    line = "time,Ö\n0,1\n"
    data = line.encode()[:7].rjust(7)
    assert recognise(b"t,v\n0,1\n" + "Ö".encode()[:1]).encoding == "utf-8"
    assert data  # the same bytes whole
    assert recognise(line.encode()).encoding == "utf-8"


def test_units_below_the_headings_are_no_row_of_values() -> None:
    found = text("time,battery,rpm\n[s],[V],[rpm]\n0,12,800\n")
    assert (found.units, found.first_line) == (("s", "V", "rpm"), 3)
    assert found.headings == ("time", "battery", "rpm")


def test_short_headings_are_no_units() -> None:
    found = text("a,log,of\nt,U,n\n0,12,800\n")
    assert found.headings == ("t", "U", "n")
    assert found.units == ("", "", "")


def test_lines_before_the_headings_are_passed_over() -> None:
    found = text("Logger 7\nCar: a van\n\ntime;battery\n0;12\n1;13\n")
    assert (found.headings, found.first_line) == (("time", "battery"), 5)


def test_a_first_row_that_is_bad_is_no_row_of_headings() -> None:
    found = text("time,volts\n0,overrun\n1,12.6\n2,12.7\n")
    assert (found.headings, found.first_line) == (("time", "volts"), 2)


def test_words_among_the_values_make_no_row_of_headings() -> None:
    found = text("time,gear,volts,note\n0,D,12.6,idle\n1,D,12.7,idle\n")
    assert (found.headings[1], found.first_line) == ("gear", 2)


def test_a_line_with_numbers_above_the_headings_is_no_row_of_values() -> None:
    found = text("Logger,2,7\ntime,volts\n0,12.6\n1,12.7\n")
    assert (found.headings, found.first_line) == (("time", "volts"), 3)


def test_the_last_digit_is_counted_over_the_beginning() -> None:
    assert text("time;u;p\n0;12;1e-3\n1;12,50;2\n2;;3\n").places == (0, 2, 0)


def test_columns_without_headings_are_numbered() -> None:
    assert text("0,12.6\n1,12.7\n").headings == ("column 1", "column 2")
    assert text("time,\n0,12.6\n").headings == ("time", "column 2")


def test_headings_are_shown_without_marks_that_turn_or_hide() -> None:
    assert text("time,ba\u202ett\u200bery\n0,1\n").headings[1] == "battery"
    assert text('time,"ba\x07tt\nery"\n0,1\n').headings[1] == "batt ery"


@pytest.mark.parametrize("cell", ["1", "-1.5", "+,5", "1.", "1e3", "2,5E-07", "00012"])
def test_numbers(cell: str) -> None:
    assert is_number(cell)


@pytest.mark.parametrize(
    "cell", ["", "NaN", "inf", "-Infinity", "1_0", "0x1F", "1.2.3", "٣", "--1"]
)
def test_no_numbers(cell: str) -> None:
    assert not is_number(cell)


@pytest.mark.parametrize(
    "cell",
    ["9:05", "23:59:59", "23:59:59.123", "00:00:01,5", "2025-03-31T10:00:00Z",
     "2025-03-31 10:00:00+01:00"],
)  # fmt: skip
def test_times_of_day(cell: str) -> None:
    assert is_clock(cell)


@pytest.mark.parametrize("cell", ["12", "12:", "2025-03-31", "1:2:3", "10:00 Uhr"])
def test_no_times_of_day(cell: str) -> None:
    assert not is_clock(cell)
