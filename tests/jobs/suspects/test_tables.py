"""Tables of suspects: what is read, and what is wrong in them by file and line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.suspects.tables import FLOOR, UNLISTED, lines_of, read_text, spread
from tests.jobs.suspects.made import rows

OUTCOMES = {"drop": ("loses", "sound"), "complaint.since_when": ("today", "weeks")}
SUSPECTS = ("ground", "cable", "battery", "starter", "engine", "switch")


def text(**changes: str) -> str:
    """A small table that is right, but for what is changed."""
    parts = {
        "head": 'family = "made"\nformat = 1',
        "suspects": "\n".join(
            f'[suspect.{code}]\nlabel = "{code}"\nstart = {10 + n}'
            for n, code in enumerate(SUSPECTS)
        ),
        "always": "[unlisted]\nstart = 10\n[nothing]\nstart = 5",
        "drop": (
            "[evidence.drop]\n"
            "otherwise = { sound = 95, loses = 5 }\n"
            "ground = { loses = 90 }\n"
            "unlisted = { loses = 30 }\n"
            'why = "A bad ground loses volts."'
        ),
        "since": (
            '[evidence."complaint.since_when"]\n'
            "otherwise = { today = 50, weeks = 50 }\n"
            "unlisted = { today = 50 }"
        ),
    } | changes
    return "\n".join(parts.values())


def faults(**changes: str) -> list[str]:
    return [str(fault) for fault in read_text(text(**changes), "made.toml", OUTCOMES).faults]


def test_a_right_table_is_read() -> None:
    found = read_text(text(), "made.toml", OUTCOMES)
    assert found.faults == []
    table = found.table
    assert table is not None
    assert [one.code for one in table.suspects] == [*SUSPECTS, "unlisted", "nothing"]
    assert sum(table.starts.values()) == pytest.approx(1)
    assert table.evidence["drop"].row("ground")["loses"] == pytest.approx(0.9)
    assert table.evidence["drop"].row("cable")["loses"] == pytest.approx(0.05)
    assert len(table.digest) == 64


def test_one_changed_letter_is_another_digest() -> None:
    one = read_text(text(), "made.toml", OUTCOMES).table
    other = read_text(text(head='family = "made"\nformat = 1 '), "made.toml", OUTCOMES).table
    assert one is not None and other is not None and one.digest != other.digest


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"head": 'family = "other"\nformat = 1'}, "made.toml:1: family must be the file's own"),
        ({"head": 'family = "made"\nformat = 2'}, "made.toml:2: format must be 1"),
        ({"head": "family = "}, "made.toml:1: no TOML"),
        ({"head": 'family = "made"\nformat = 1\nodds = 3'}, ":3: “odds” is no part of a table"),
        ({"always": "[unlisted]\nstart = 10"}, "[nothing] with its start is missing"),
        ({"always": "[unlisted]\nstart = 0\n[nothing]\nstart = 5"}, ":22: start must be a whole"),
        ({"suspects": '[suspect.a]\nlabel = "a"\nstart = 3'}, "1 suspects: a family has 6 to 14"),
        (
            {"drop": "[evidence.dorp]\notherwise = { sound = 95, loses = 5 }"},
            ":25: nothing gives evidence called “dorp”",
        ),
        (
            {"drop": "[evidence.drop]\notherwise = { sound = 95 }\nunlisted = { loses = 5 }"},
            ":26: lacks loses",
        ),
        (
            {"drop": "[evidence.drop]\notherwise = { sound = 90, loses = 5 }\nunlisted = {}"},
            ":26: sums to 95, not to 100",
        ),
        (
            {
                "drop": "[evidence.drop]\notherwise = { sound = 95, loses = 5 }\n"
                "unlisted = { loses = 30 }\nground = { melts = 40 }"
            },
            ":28: “melts” is no outcome of it",
        ),
        (
            {
                "drop": "[evidence.drop]\notherwise = { sound = 95, loses = 5 }\n"
                "unlisted = { loses = 30 }\ngrund = { loses = 40 }"
            },
            ":28: “grund” is no suspect of this table",
        ),
        (
            {
                "drop": "[evidence.drop]\notherwise = { sound = 95, loses = 5 }\n"
                "unlisted = { loses = 30 }\nground = { loses = 120 }"
            },
            ":28: loses: 120 is no whole per cent from 1 to 99",
        ),
        (
            {
                "drop": "[evidence.drop]\notherwise = { sound = 95, loses = 5 }\n"
                "unlisted = { loses = 30 }\nground = { loses = 90, sound = 20 }"
            },
            ":28: sums to 110",
        ),
        (
            {"drop": "[evidence.drop]\notherwise = { sound = 95, loses = 5 }"},
            "the row “unlisted” is missing",
        ),
    ],
)
def test_what_is_wrong_is_named_with_file_and_line(changes: dict[str, str], said: str) -> None:
    assert any(said in fault for fault in faults(**changes)), faults(**changes)


@given(st.text(max_size=300))
def test_any_text_is_answered_with_faults_and_never_breaks_it(anything: str) -> None:
    assert read_text(anything, "made.toml", OUTCOMES).faults


@given(st.data(), rows(4))
def test_a_row_spread_over_the_others_is_a_distribution(data, base: list[float]) -> None:
    otherwise = dict(zip("abcd", base, strict=True))
    named = data.draw(
        st.dictionaries(st.sampled_from("abc"), st.integers(1, 30), min_size=1, max_size=3)
    )
    row = spread(named, otherwise)
    assert sum(row.values()) == pytest.approx(1)
    assert all(p >= FLOOR * 0.9 for p in row.values())
    kept = [code for code in "abcd" if code not in named]
    ratios = {row[code] / otherwise[code] for code in kept if row[code] > FLOOR * 1.01}
    assert max(ratios, default=1) <= min(ratios, default=1) * 1.0001


def test_where_a_key_stands() -> None:
    found = lines_of(text())
    assert found["evidence", "complaint.since_when", "otherwise"] > found["evidence", "drop"]
    assert found["suspect", "ground", "start"] == 5
    assert (UNLISTED,) in found


def test_what_a_test_cannot_be_made_on_is_no_evidence() -> None:
    from jobs.suspects.knowledge import outcomes

    known = outcomes()
    assert "voltage_drop:starter_feed" in known
    wrong = text().replace("[evidence.drop]", '[evidence."voltage_drop:radio"]')
    found = read_text(wrong, "made.toml", known).faults
    assert any("nothing gives evidence called “voltage_drop:radio”" in str(one) for one in found)
