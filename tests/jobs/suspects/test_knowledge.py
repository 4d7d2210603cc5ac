"""The tables of suspects that are shipped: whole, reachable, and with honest odds for the rest."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobs import words
from jobs.checks import tables_of_suspects
from jobs.suspects import knowledge
from jobs.suspects.information import expected_bits
from jobs.suspects.tables import NOTHING, UNLISTED, Table

TABLES = list(knowledge.tables().values())


@pytest.fixture(params=TABLES, ids=lambda table: table.family)
def table(request) -> Table:
    """Each family's table in turn."""
    return request.param


def test_no_file_has_a_fault() -> None:
    assert [str(fault) for fault in knowledge.faults()] == []
    assert tables_of_suspects(None) == []


def test_each_file_is_used() -> None:
    assert len(TABLES) == len(list(knowledge.FOLDER.glob("*.toml"))) > 0


def test_something_else_has_honest_odds(table: Table) -> None:
    """Trade reference 7: an "other" of at least 0.05."""
    assert table.starts[UNLISTED] >= 0.05
    assert table.starts[NOTHING] > 0


def test_every_suspect_is_touched_by_something(table: Table) -> None:
    for suspect in table.suspects:
        if suspect.code != NOTHING:
            assert any(suspect.code in one.rows for one in table.evidence.values()), suspect.code


def test_every_kind_of_evidence_separates_something(table: Table) -> None:
    for evidence in table.evidence.values():
        assert expected_bits(evidence, table.starts) > 0.0005, evidence.key
        assert evidence.why, f"{evidence.key} says not why"


def test_something_else_is_told_by_no_single_test(table: Table) -> None:
    """Its rows stay flat, so that it can neither win nor vanish unearned."""
    for evidence in table.evidence.values():
        row = evidence.row(UNLISTED)
        for outcome, p in row.items():
            others = (one.code for one in table.suspects if one.code != UNLISTED)
            most = max(evidence.row(code)[outcome] for code in others)
            assert p <= most + 1e-9
            assert p >= 0.005


def test_no_condition_is_asked_first_in_vain(table: Table) -> None:
    asked = words.first_conditions(table.family)
    assert {knowledge.COMPLAINT + name for name in asked} <= set(table.evidence)


def test_a_fault_is_a_check_error_that_names_file_and_line(tmp_path: Path, monkeypatch) -> None:
    source = next(knowledge.FOLDER.glob("*.toml"))
    broken = source.read_text("utf-8").replace("otherwise = {", "otherwise = { melted = 3, ", 1)
    (tmp_path / source.name).write_text(broken, "utf-8")
    line = broken[: broken.index("melted")].count("\n") + 1
    (fault, *_more) = knowledge.faults(tmp_path)
    assert str(fault).startswith(f"{source.name}:{line}: “melted” is no outcome of it")


def test_a_family_that_is_none_is_named(tmp_path: Path) -> None:
    text = next(knowledge.FOLDER.glob("*.toml")).read_text("utf-8")
    (tmp_path / "hovers.toml").write_text(text, "utf-8")
    said = [str(fault) for fault in knowledge.faults(tmp_path)]
    assert "hovers.toml:1: there is no such family of complaints" in said


def test_families_are_those_of_complaints() -> None:
    assert {table.family for table in TABLES} <= set(words.FAMILY.codes)


def test_a_test_of_one_path_says_nothing_of_the_other() -> None:
    """A volt drop on the feed of the alternator leaves its ground as likely as it was."""
    table = knowledge.tables()["charging_fault"]
    feed = table.evidence[table.key_for("voltage_drop", "charging_feed")]
    assert "poor_ground" not in feed.rows
    assert feed.row("charge_cable")["sound"] < feed.otherwise["sound"] / 4
