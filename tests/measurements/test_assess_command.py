"""`manage.py assess`: the bench without a screen, and without a database."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import jsonschema
import pytest
from django.core.management import call_command

from measurements.core.run_file import run_file
from measurements.procedures import PROCEDURES
from tests.measurements.readings_files import FOLDER

FILE = FOLDER / "voltage_drop" / "corroded_strap_hot.json"


def refused(capsys: pytest.CaptureFixture[str], *args: str) -> list[str]:
    """The lines of a refusal; status 2."""
    with pytest.raises(SystemExit) as left:
        call_command("assess", *args)
    assert left.value.code == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    return printed.err.splitlines()


def test_prints_the_assessment_as_plain_data(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("assess", "voltage_drop", str(FILE))
    printed = json.loads(capsys.readouterr().out)
    assert printed == run_file(PROCEDURES["voltage_drop"], FILE).assessment.to_dict()


def test_reads_standard_input_where_no_file_is_named(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(FILE.read_text("utf-8")))
    call_command("assess", "voltage_drop")
    printed = json.loads(capsys.readouterr().out)
    assert printed["pattern"] == run_file(PROCEDURES["voltage_drop"], FILE).assessment.pattern


def test_prints_sentences_where_wanted(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("assess", "voltage_drop", str(FILE), "--text")
    printed = capsys.readouterr().out
    assert "Seen: more is lost in one step than is usual" in printed
    assert "Where: body to engine block" in printed
    assert "1 chance in 44" in printed


def test_lists_every_procedure(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("assess", "--list")
    named = [line.split(":")[0] for line in capsys.readouterr().out.splitlines()]
    assert named == list(PROCEDURES)


@pytest.mark.parametrize("name", list(PROCEDURES))
def test_the_schema_has_an_example_that_it_takes_and_that_runs(
    name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    call_command("assess", "--schema", name)
    schema = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(schema)
    (example,) = schema["examples"]
    jsonschema.Draft202012Validator(schema).validate(example)
    monkeypatch.setattr(sys, "stdin", io.StringIO(json.dumps(example)))
    monkeypatch.chdir(FOLDER / name)  # where a file that it names lies
    call_command("assess", name)
    assert json.loads(capsys.readouterr().out)["pattern"] != "undecided"


def test_the_schema_names_units_and_what_is_possible(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("assess", "--schema", "charging")
    typed = json.loads(capsys.readouterr().out)["properties"]["typed"]["properties"]
    (ripple,) = {
        (entry["x-unit"], entry["x-least"]) for a, entry in typed.items() if a.endswith(".ripple")
    }
    assert ripple == ("mV", 0)


@pytest.mark.parametrize("name", list(PROCEDURES))
def test_explains_cautions_formulas_and_limits(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    call_command("assess", "--explain", name)
    printed = " ".join(capsys.readouterr().out.split())
    procedure = PROCEDURES[name]
    for caution in procedure.cautions:
        assert caution.danger in printed
    for formula in procedure.formulas:
        assert formula.text in printed


def test_each_impossible_value_is_named_by_its_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = json.loads(FILE.read_text("utf-8"))
    data["typed"] |= {"given.current": "much", "path.body_block.drop": True}
    path = tmp_path / "bad.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    lines = refused(capsys, "voltage_drop", str(path))
    assert [line.split(":")[0] for line in lines] == [
        "typed.path.body_block.drop",
        "typed.given.current",
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"typed": {"given.current": NaN}}', "NaN is no number"),
        ('{"typed": {}, "typed": {}}', "stand there twice"),
        ("[" * 100_000, "nested too deeply"),
        ('{"typed": {"given.current": ' + "9" * 5000 + "}}", "digits"),
        ('{"typed": [1]}', "no part named typed"),
        ('{"typed": {}, "__proto__": {}}', "unknown parts"),
        ("{", "line 1"),
        ("", "line 1"),
    ],
)
def test_what_is_no_readings_file_is_refused(
    text: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bad.json"
    path.write_text(text, encoding="utf-8")
    (line,) = refused(capsys, "voltage_drop", str(path))
    assert said in line


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("telepathy",), "no procedure 'telepathy'"),
        (("--schema", "telepathy"), "no procedure 'telepathy'"),
        (("voltage_drop", "/nowhere.json"), "cannot be read"),
        ((), "name a procedure"),
    ],
)
def test_what_does_not_exist_is_said_plainly(
    args: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (line,) = refused(capsys, *args)
    assert said in line
