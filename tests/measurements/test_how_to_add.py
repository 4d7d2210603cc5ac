"""“Add a procedure” of DEVELOPERS.md, followed to the letter with a small test of a pedal's play.

The files of the toy are written to a folder of their own that becomes a part of the package
`measurements.procedures` for the time of the test; nothing else of the program is told of it.
"""

from __future__ import annotations

import importlib.util
import inspect
import json
import sys
from collections.abc import Iterator, Mapping
from html import unescape
from pathlib import Path
from types import ModuleType
from typing import Any

import jsonschema
import pytest
from django.core.management import call_command
from django.urls import reverse

from jobs.actions import runs
from jobs.offers import offers
from jobs.report.content import content_of
from jobs.run_view import run_view
from measurements import procedures
from measurements.core.context import Context
from measurements.core.procedure import Procedure
from measurements.core.schema import file_schema_of
from measurements.forms.run_form import form_for
from tests.measurements import readings_files, test_every_procedure
from tests.reference.conftest import Against

NAME, TITLE = "pedal_play", "Free play of the clutch pedal"

MODULE = '''
"""Free play of the clutch pedal: how far it goes before the spring is felt.

Common practice: 10 to 30 mm at the pad, mean of the strokes that were read.
"""

from __future__ import annotations

from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.judging import conclude, figure_of, judge, judge_figure
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Effort,
    Fixed,
    Formula,
    Grid,
    Limit,
    Pattern,
    Procedure,
    Quantity,
    Row,
    Source,
    Span,
)
from measurements.core.readings import Readings
from measurements.core.units import show

USUAL = Span(10.0, 30.0, Source("C", "common practice"))


def assess(readings: Readings, context: Context) -> Assessment:
    """Mean of the strokes against what is usual."""
    strokes = [row for row in readings.rows("strokes") if row.uncertain("play") is not None]
    figures, verdicts, chart = [], list(judge(PROCEDURE, readings, context)), {}
    pattern, play = "undecided", ""
    if strokes:
        mean = sum(row.uncertain("play") for row in strokes) / len(strokes)
        figure = figure_of("mean", "mean free play", "length", mean)
        figures.append(figure)
        verdict = judge_figure(PROCEDURE, figure, context, USUAL)
        verdicts.append(verdict)
        if verdict.outcome == "outside":
            pattern = "play_unusual"
        elif verdict.outcome == "within" and all(v.outcome != "outside" for v in verdicts):
            pattern = "play_usual"
        play = show(figure.value, figure.u, "length", context.units, digit=1)
        chart = {
            "kind": "scale",
            "title": PROCEDURE.say("chart", play=play).text,
            "unit": "mm",
            "axis": "free play",
            "low": USUAL.low,
            "high": USUAL.high,
            "rows": [{"label": row.label, "value": row.value("play")} for row in strokes],
        }
    return conclude(
        PROCEDURE,
        readings,
        context,
        pattern=pattern,
        figures=figures,
        verdicts=verdicts,
        customer=[PROCEDURE.say("customer." + pattern, play=play)],
        technician=[PROCEDURE.say("technician." + pattern, play=play)],
        chart=chart,
    )


PROCEDURE = Procedure(
    name="pedal_play",
    title="Free play of the clutch pedal",
    version=1,
    group="On the road",
    purpose="Shows how far the clutch pedal goes before it begins to work.",
    proves_nothing_when="The pedal adjusts itself, or a mat lies under it.",
    cautions=(
        Caution(
            "The car may roll.",
            "Brake on and wheels chocked, engine off.",
            "common practice",
        ),
        MAKER_FIRST,
    ),
    effort=Effort(minutes=2, tools=("rule",)),
    grids=(
        Grid(
            "strokes",
            "At the pad",
            Fixed((Row("first", "first stroke"), Row("second", "second stroke", optional=True))),
            (
                Quantity(
                    key="play",
                    label="free play",
                    quantity="length",
                    needed=True,
                    possible=(0.0, 200.0),
                    likely=(0.0, 60.0),
                    instrument="tape",
                ),
            ),
        ),
    ),
    limits=(Limit("strokes.*.play", USUAL.low, USUAL.high, USUAL.source),),
    handling_u={"play": 0.5},
    patterns=(
        Pattern("play_unusual", "more or less free play than is usual", direct=True),
        Pattern("play_usual", "free play as is usual", sound=True),
        UNDECIDED,
    ),
    formulas=(Formula("mean", "mean of the strokes", "JCGM 100:2008, 4.2.1"),),
    example={"strokes.first.play": "20 mm"},
    sentences={
        "customer.play_unusual": "The clutch pedal moves {play} before it works. That is unusual.",
        "customer.play_usual": "The clutch pedal moves {play} before it works, which is usual.",
        "customer.undecided": "The pedal's free play is not decided yet.",
        "technician.play_unusual": "Free play {play}: adjust it as the maker says, measure again.",
        "technician.play_usual": "Free play {play}, nothing to adjust.",
        "technician.undecided": "Measure the free play once more, with a finer rule.",
        "chart": "Free play of the pedal: {play}.",
    },
    assess=assess,
)
'''

CASES: dict[str, tuple[dict[str, str], dict[str, Any]]] = {
    "nothing_read": ({}, {"pattern": "undecided", "missing": ["strokes.first.play"]}),
    "impossible": (
        {"strokes.first.play": "900"},
        {"pattern": "undecided", "refused": ["strokes.first.play"]},
    ),
    "at_the_limit": ({"strokes.first.play": "30"}, {"pattern": "undecided"}),
    "far_too_much": (
        {"strokes.first.play": "48", "strokes.second.play": "50"},
        {"pattern": "play_unusual", "figures": {"mean": [49, 0.001]}},
    ),
    "usual": (
        {"strokes.first.play": "20"},
        {"pattern": "play_usual", "verdicts": {"strokes.first.play": "within"}},
    ),
}

TEST = '''
"""Free play of the pedal."""

from measurements.core.run_file import run_data
from measurements.procedures.pedal_play import PROCEDURE


def test_no_verdict_without_a_stroke() -> None:
    assert run_data(PROCEDURE, {"typed": {}}).assessment.pattern == "undecided"
'''

REFERENCE = '''
"""Mean free play by exact fractions."""

from fractions import Fraction

from measurements.core.run_file import run_data
from measurements.procedures.pedal_play import PROCEDURE


def test_mean_of_two_strokes(against) -> None:
    typed = {"strokes.first.play": "20", "strokes.second.play": "23"}
    found = run_data(PROCEDURE, {"typed": typed}).assessment.figure("mean")
    exact = float(Fraction(20 + 23, 2))
    against("mean of 20 and 23 mm", "exact fractions", expected=exact, got=found.value, unit="mm")


def test_mean_of_one_stroke(against) -> None:
    typed = {"strokes.first.play": "20"}
    found = run_data(PROCEDURE, {"typed": typed}).assessment.figure("mean")
    against("mean of 20 mm alone", "the reading", expected=20.0, got=found.value, unit="mm")
'''


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The folder that stands for the project's, with the toy's files where the how-to puts them."""
    for path, text in (
        (f"measurements/procedures/{NAME}.py", MODULE),
        (f"tests/measurements/procedures/test_{NAME}.py", TEST),
        (f"tests/reference/test_{NAME}.py", REFERENCE),
    ):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text.lstrip(), encoding="utf-8")
    folder = tmp_path / "fixtures" / "readings" / NAME
    folder.mkdir(parents=True)
    for name, (typed, expected) in CASES.items():
        data = {"procedure": NAME, "about": "Constructed.", "typed": typed}
        (folder / f"{name}.json").write_text(json.dumps(data), encoding="utf-8")
        (folder / f"{name}.expected.json").write_text(json.dumps(expected), encoding="utf-8")
    return tmp_path


@pytest.fixture
def toy(root: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Procedure]:
    """The procedure, collected as every other is."""
    folder = str(root / "measurements" / "procedures")
    monkeypatch.setattr(procedures, "__path__", [*procedures.__path__, folder])
    importlib.invalidate_caches()
    known = dict(procedures.PROCEDURES)
    found = procedures._collect()
    _fill(procedures.PROCEDURES, found)
    yield found[NAME]
    _fill(procedures.PROCEDURES, known)
    sys.modules.pop(f"measurements.procedures.{NAME}", None)
    vars(procedures).pop(NAME, None)


def _fill(everywhere: Any, found: Mapping[str, Procedure]) -> None:
    """In place, and in order: the whole program holds this one mapping."""
    everywhere.clear()
    everywhere.update(found)


@pytest.fixture
def entry(toy: Procedure, ticket, owner):
    """The toy's test, recorded on a ticket."""
    return runs.record_test(
        ticket=ticket,
        procedure=NAME,
        typed=CASES["far_too_much"][0],
        fault_present="yes",
        state_of_car="cold",
        by=owner,
    )


def loaded(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_it_meets_the_demands_on_every_procedure(
    toy: Procedure, root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(readings_files, "FOLDER", root / "fixtures" / "readings")
    monkeypatch.setattr(test_every_procedure, "ROOT", root)
    here = root / "tests" / "measurements" / "test_every_procedure.py"
    monkeypatch.setattr(test_every_procedure, "__file__", str(here))
    made = 0
    for name, demand in vars(test_every_procedure).items():
        if not name.startswith("test_") or not inspect.isfunction(demand):
            continue
        wanted = list(inspect.signature(demand).parameters)
        if wanted == ["procedure"]:
            demand(toy)
        elif wanted == ["case"]:
            for case in readings_files.cases(NAME):
                demand(case)
        made += wanted in (["procedure"], ["case"])
    assert made > 30


def test_its_own_tests_and_published_checks_run(toy: Procedure, root: Path) -> None:
    checks: list[dict[str, str]] = []
    for folder in ("measurements/procedures", "reference"):
        module = loaded(root / "tests" / folder / f"test_{NAME}.py")
        for name, test in vars(module).items():
            if name.startswith("test_"):
                needs = inspect.signature(test).parameters
                test(*([Against(checks, NAME, name)] if needs else []))
    assert [check["figure"] for check in checks] == ["mean of 20 and 23 mm", "mean of 20 mm alone"]


def test_it_has_a_form(toy: Procedure) -> None:
    form = form_for(toy, Context(), {"strokes.first.play": "48"})
    assert form.is_valid()
    assert form.assessment.pattern == "play_unusual"
    (grid,) = form.grids
    assert [row.label for row in grid.rows] == ["first stroke"]


def test_its_schema_takes_its_example(toy: Procedure) -> None:
    schema = file_schema_of(toy)
    (example,) = schema["examples"]
    jsonschema.Draft202012Validator(schema).validate(example)


def test_it_is_judged_on_the_command_line(
    toy: Procedure, root: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = root / "fixtures" / "readings" / NAME / "far_too_much.json"
    call_command("assess", NAME, str(path), "--text")
    printed = capsys.readouterr().out
    assert TITLE in printed
    assert "more or less free play than is usual" in printed


def test_it_is_offered_under_its_group(toy: Procedure, ticket, owner) -> None:
    offered = {
        group["name"]: [offer.title for offer in group["offers"]]
        for group in offers(ticket, owner).groups
    }
    assert TITLE in offered["On the road"]


def test_its_form_is_a_page(toy: Procedure, as_owner, ticket) -> None:
    page = as_owner.get(reverse("test-new", args=[ticket.number, NAME]))
    assert page.status_code == 200
    assert "strokes.first.play" in page.content.decode()


def test_a_recorded_one_is_a_page(entry, as_owner, ticket) -> None:
    view = run_view(entry.run_link.run)
    assert (view.title, view.pattern) == (TITLE, "More or less free play than is usual")
    answer = as_owner.get(reverse("test", args=[ticket.number, entry.seq]))
    page = unescape(answer.content.decode())
    assert TITLE in page
    assert "adjust it as the maker says" in page


def test_a_recorded_one_stands_in_the_report(entry, shop, ticket, owner) -> None:
    text = json.dumps(content_of(ticket, shop, by=owner), ensure_ascii=False)
    assert TITLE in text
    assert "before it works. That is unusual." in text


def test_it_is_explained_on_the_help_page(toy: Procedure, as_technician) -> None:
    page = unescape(as_technician.get(reverse("help-procedures")).content.decode())
    assert f'id="{NAME}"' in page
    assert toy.purpose in page
    assert "mean of the strokes" in page


def test_nothing_of_it_stays() -> None:
    assert set(procedures.PROCEDURES) == set(procedures._collect())
    assert NAME not in procedures.PROCEDURES
    assert not hasattr(procedures, NAME)
    assert f"measurements.procedures.{NAME}" not in sys.modules
