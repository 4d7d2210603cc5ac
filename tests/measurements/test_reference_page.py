"""The help page of the checks against published figures, and the command that makes it."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from measurements.management.commands import reference_checks
from tests.reference.conftest import Against

LIST = "templates/help/_reference_checks.html"


def check(figure: str, group: str = "vin", test: str = "test_a", **more: str) -> dict[str, str]:
    kept = {"source": "a table", "expected": "2 V", "allowed": "", "got": "2 V"}
    return {"group": group, "test": test, "figure": figure, **kept, **more}


@pytest.fixture
def checks() -> list[dict[str, str]]:
    """What the reference tests are made out to have compared."""
    return [
        check("a check digit"),
        check(
            "charge at 12.4 V",
            "battery_at_rest",
            source="an army table & its copy",
            expected="75 %",
            allowed="± 10 %",
            got="69 %",
        ),
    ]


@pytest.fixture
def page(
    tmp_path: Path, checks: list[dict[str, str]], monkeypatch: pytest.MonkeyPatch, settings
) -> Path:
    """Where the command writes, in a folder of its own, with the checks above for the tests'."""
    monkeypatch.setattr(reference_checks, "_checks", lambda: checks)
    settings.BASE_DIR = tmp_path
    path = tmp_path / LIST
    path.parent.mkdir(parents=True)
    return path


def rows(path: Path) -> list[str]:
    """Each row of the tables, in words."""
    found = re.findall(r"<tr>(.*?)</tr>", path.read_text("utf-8"), re.S)
    return [unescape(" | ".join(re.findall(r">([^<]+)<", row))) for row in found]


def test_a_row_shows_figure_source_expected_and_got(page: Path) -> None:
    call_command("reference_checks", verbosity=0)
    assert "Charge at 12.4 V | an army table & its copy | 75 % ± 10 % | 69 %" in rows(page)


def test_tests_come_first_and_under_their_titles(page: Path) -> None:
    call_command("reference_checks", verbosity=0)
    titles = re.findall(r"<h2[^>]*>([^<]+)</h2>", page.read_text("utf-8"))
    assert titles == ["Battery at rest", "Vehicle identification number"]


def test_a_list_that_is_up_to_date_is_taken(page: Path) -> None:
    call_command("reference_checks")
    call_command("reference_checks", "--check")


def test_a_stale_list_is_refused_and_left_as_it_is(
    page: Path, checks: list[dict[str, str]]
) -> None:
    call_command("reference_checks")
    before = page.read_text("utf-8")
    checks[0]["got"] = "3 V"
    with pytest.raises(CommandError, match="is stale"):
        call_command("reference_checks", "--check")
    assert page.read_text("utf-8") == before


def test_a_list_that_is_not_there_is_stale(page: Path) -> None:
    with pytest.raises(CommandError, match="stale"):
        call_command("reference_checks", "--check")


def test_the_same_check_is_listed_once(page: Path, checks: list[dict[str, str]]) -> None:
    checks.append(check("a check digit", test="test_another"))
    call_command("reference_checks")
    assert sum(row.startswith("A check digit") for row in rows(page)) == 1


def test_a_long_test_shows_some_and_counts_the_others(
    page: Path, checks: list[dict[str, str]]
) -> None:
    checks += [check(f"code {number}", test="test_long") for number in range(30)]
    call_command("reference_checks")
    shown = [row for row in rows(page) if row.startswith("Code")]
    assert len(shown) == reference_checks.MOST_OF_ONE_TEST
    assert "and 22 more of this kind" in shown[-1]


def test_the_page_stays_short_however_many_tests_there_are(
    page: Path, checks: list[dict[str, str]]
) -> None:
    for test in range(90):
        checks += [check(f"figure {test}, {number}", test=f"t{test}") for number in range(10)]
    call_command("reference_checks")
    assert 90 < len(rows(page)) <= reference_checks.MOST_ROWS + 2


def test_what_does_not_hold_is_not_listed() -> None:
    listed: list[dict[str, str]] = []
    against = Against(listed, "vin", "test_a")
    with pytest.raises(AssertionError, match="a table"):
        against("a voltage", "a table", expected=2.0, got=2.2, within=0.1, unit="V")
    assert listed == []


@pytest.mark.parametrize(
    ("expected", "got", "allowed", "words"),
    [
        (2.0, 2.05, {"within": 0.1}, ("2 V", "± 0.1 V", "2.05 V")),
        (200.0, 201.0, {"relative": 0.01}, ("200 V", "± 2 V", "201 V")),
        (-2.0, -2.0, {"within": 1e-9}, ("−2 V", "", "−2 V")),
        (True, True, {}, ("yes", "", "yes")),
    ],
)
def test_what_holds_is_listed_with_how_far_apart_it_may_lie(
    expected: float, got: float, allowed: dict[str, float], words: tuple[str, str, str]
) -> None:
    listed: list[dict[str, str]] = []
    Against(listed, "vin", "t")("it", "a table", expected=expected, got=got, unit="V", **allowed)
    (found,) = listed
    assert (found["expected"], found["allowed"], found["got"]) == words


def test_everybody_may_read_the_page_of_checks(as_counter) -> None:
    answer = as_counter.get(reverse("help-reference"))
    assert answer.status_code == 200
    said = unescape(answer.content.decode())
    assert "49 CFR 565.15" in said
    assert said.count("<tr>") <= reference_checks.MOST_ROWS + said.count("<thead>")
    ids = re.findall(r'\sid="([^"]+)"', said)
    assert len(ids) == len(set(ids))
