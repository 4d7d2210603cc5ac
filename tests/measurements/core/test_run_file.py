"""Readings files: strict in, the same judgement as on the page out."""

from __future__ import annotations

from pathlib import Path

import pytest

from measurements.core.context import Context
from measurements.core.plain import NotPlainError, to_plain
from measurements.core.run_file import ReadingsFileError, read_json, run_data, run_file
from measurements.procedures import PROCEDURES, UnknownProcedureError, procedure_called
from tests.measurements.readings_files import FOLDER

FILE = FOLDER / "voltage_drop" / "corroded_strap_hot.json"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('{"typed": NaN}', "NaN is no number"),
        ('{"typed": -Infinity}', "is no number"),
        ('{"a": 1, "a": 2}', "stand there twice"),
        ("[" * 100_000, "nested too deeply"),
        ('{"typed"', "line 1"),
        ("", "line 1"),
        ('{"n": ' + "9" * 5000 + "}", "limit"),
    ],
)
def test_loose_json_is_refused(text: str, says: str) -> None:
    with pytest.raises(ReadingsFileError, match=says):
        read_json(text)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ([], "one object"),
        ({}, "no part named typed"),
        ({"typed": []}, "no part named typed"),
        ({"typed": {}, "extra": 1}, "unknown parts"),
        ({"typed": {}, "procedure": "charging"}, "charging"),
        ({"typed": {}, "context": {"colour": 1}}, "unknown"),
        ({"typed": {}, "context": {"fault_present": "perhaps"}}, "none of"),
        ({"typed": {}, "context": {"car": {"volts": "12"}}}, "is not int"),
    ],
)
def test_a_file_that_does_not_fit_says_why(data: object, says: str) -> None:
    with pytest.raises(ReadingsFileError, match=says):
        run_data(PROCEDURES["voltage_drop"], data)  # type: ignore[arg-type]


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(ReadingsFileError, match=r"none\.json: cannot be read"):
        run_file(PROCEDURES["voltage_drop"], tmp_path / "none.json")


def test_a_file_in_another_encoding_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "latin.json"
    path.write_bytes('{"typed": {"given.path": "\xe9"}}'.encode("latin-1"))
    with pytest.raises(ReadingsFileError, match="not UTF-8"):
        run_file(PROCEDURES["voltage_drop"], path)


def test_an_unknown_procedure_lists_the_known() -> None:
    with pytest.raises(UnknownProcedureError, match="voltage_drop"):
        procedure_called("telepathy")


def test_a_stored_context_takes_defaults_for_what_it_lacks() -> None:
    assert Context.from_dict({}) == Context()


@pytest.mark.parametrize("value", [float("nan"), float("inf"), object(), {1, 2}])
def test_only_plain_data_is_stored(value: object) -> None:
    with pytest.raises(NotPlainError):
        to_plain({"x": value})
