"""The command that shows whether the reasoning pays, and the help page that it makes."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from jobs.management.commands import simulate
from jobs.reasoning.of_ticket import FIRST_TESTS
from jobs.suspects.knowledge import tables
from jobs.suspects.simulation import Assumptions, Comparison, Figure
from jobs.suspects.tables import source_of

QUICK = ("--faults=2", "--seed=5")


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def families(monkeypatch: pytest.MonkeyPatch) -> list[simulate.Family]:
    """Two families in place of all of them."""
    found = [simulate._family(name) for name in ("brakes", "wont_crank")]
    monkeypatch.setattr(simulate, "families_of", lambda only=None: found)
    return found


@pytest.fixture
def page(tmp_path: Path, families, settings) -> Path:
    """Where the command writes."""
    settings.BASE_DIR = tmp_path
    path = tmp_path / simulate.PAGE
    path.parent.mkdir(parents=True)
    return path


def printed(*words: str, error: io.StringIO | None = None) -> str:
    out = io.StringIO()
    call_command("simulate", *words, stdout=out, stderr=error or io.StringIO())
    return out.getvalue()


# --- what it prints ---------------------------------------------------------------------------


def test_it_says_first_what_it_shows_and_what_not(families) -> None:
    assert printed(*QUICK).startswith(
        "A simulation out of our own tables: it shows that the arithmetic works"
    )


def test_it_prints_the_seed_and_everything_that_was_assumed(families) -> None:
    said = printed(*QUICK)
    assert "Seed 5, 2 jobs of each of 2 families." in said
    assert "Assumed (judgement)" in said
    assert all(f"- {sentence}" in said for sentence in simulate._assumptions(Assumptions()))


def test_the_same_seed_prints_the_same(families) -> None:
    assert printed(*QUICK) == printed(*QUICK)
    assert printed("--faults=2", "--seed=6") != printed(*QUICK)


def test_one_family_may_be_asked_for() -> None:
    said = printed(*QUICK, "--family=brakes")
    assert "2 jobs of each of 1 families." in said


def test_a_family_without_a_table_is_refused_with_those_that_have_one() -> None:
    with pytest.raises(CommandError, match=r"no table of “moods”. There are: .*brakes"):
        printed(*QUICK, "--family=moods")


def test_no_jobs_at_all_are_refused(families) -> None:
    with pytest.raises(CommandError, match="at least one job"):
        printed("--faults=0")


def test_progress_is_one_line_rewritten_on_a_terminal(families) -> None:
    error = Terminal()
    printed(*QUICK, error=error)
    assert error.getvalue().split("\r")[-1] == "12 of 12 jobs worked\n"
    assert error.getvalue().count("\n") == 1


def test_progress_is_plain_lines_elsewhere(families) -> None:
    error = io.StringIO()
    printed(*QUICK, error=error)
    assert error.getvalue().splitlines()[-1] == "12 of 12 jobs worked"
    assert "\r" not in error.getvalue()


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [(1, 5, "takes less time"), (-5, -1, "takes more time"), (-1, 5, "do not tell")],
)
def test_a_difference_that_chance_could_make_is_no_difference(low, high, verdict) -> None:
    nought = Figure(0, 0, 0)
    came = Comparison(1, (), nought, Figure((low + high) / 2, low, high), nought)
    assert verdict in simulate._saved(came)


# --- what somebody at the car has -------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(tables()))
def test_a_family_has_every_test_of_its_table_but_the_one_that_needs_a_part(name: str) -> None:
    found = [test.candidate.key for test in simulate._family(name).tests]
    want = {
        key
        for key in tables()[name].evidence
        if not key.startswith("complaint.") and source_of(key) != simulate.NEEDS_A_PART
    }
    assert sorted(found) == sorted(want | set(FIRST_TESTS))


@pytest.mark.parametrize("name", sorted(tables()))
def test_the_usual_order_begins_as_the_shop_does(name: str) -> None:
    names = [test.candidate.name for test in simulate._family(name).tests]
    assert names[:2] == ["make_it_happen", "look_over"]


# --- the help page ----------------------------------------------------------------------------


def test_a_page_that_was_just_written_is_fresh(page: Path) -> None:
    printed(*QUICK, "--write")
    printed("--check")


def test_the_page_has_the_command_that_makes_it_anew(page: Path) -> None:
    printed(*QUICK, "--write")
    assert "python3 manage.py simulate --seed 5 --faults 2" in page.read_text("utf-8")


def test_a_page_that_is_missing_is_stale(page: Path) -> None:
    with pytest.raises(CommandError, match=r"is stale: run manage\.py simulate --write"):
        printed("--check")


def test_a_table_that_was_changed_makes_the_page_stale(page: Path, families) -> None:
    printed(*QUICK, "--write")
    before = page.read_bytes()
    families[0] = replace(families[0], table=replace(families[0].table, digest="another"))
    with pytest.raises(CommandError, match="is stale"):
        printed("--check")
    assert page.read_bytes() == before


def test_an_assumption_that_was_changed_makes_the_page_stale(page: Path, monkeypatch) -> None:
    printed(*QUICK, "--write")
    monkeypatch.setattr(simulate, "Assumptions", lambda: Assumptions(two_faults=0.5))
    with pytest.raises(CommandError, match="is stale"):
        printed("--check")


def test_the_page_is_of_all_families(page: Path) -> None:
    with pytest.raises(CommandError, match="without --family"):
        printed(*QUICK, "--write", "--family=brakes")
    assert not page.exists()


def test_the_page_says_first_that_it_is_a_simulation_out_of_our_own_tables(as_counter) -> None:
    said = as_counter.get(reverse("help-simulation")).content.decode()
    (first,) = re.findall(r"</h1><p>(.*?)</p>", said)[:1]
    assert "a simulation out of our own tables" in first
    assert "if the tables were right" in first


def test_words_of_the_arithmetic_stand_only_where_it_is_explained(as_counter) -> None:
    said = as_counter.get(reverse("help-simulation")).content.decode()
    open_text = unescape(re.sub(r"(?s)<details>.*?</details>|<[^>]+>", " ", said))
    assert not re.search(r"\b(bits?|posteriors?|likelihoods?)\b", open_text)


def test_ids_of_the_page_stand_once(as_counter) -> None:
    said = as_counter.get(reverse("help-simulation")).content.decode()
    ids = re.findall(r'\sid="([^"]+)"', said)
    assert len(ids) == len(set(ids))
