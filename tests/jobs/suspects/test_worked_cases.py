"""Worked cases: what is read, what is wrong in a file by line, and what is concluded."""

from __future__ import annotations

import pytest
from django.core.management import CommandError, call_command

from jobs.management.commands import worked_cases as command
from jobs.suspects.knowledge import outcomes, tables
from jobs.suspects.tables import Table
from jobs.suspects.worked_cases import Case, CaseTest, conclude, read_text
from tests.jobs.suspects.made import table

TEXTS = (
    'family = "wont_crank"\n'
    'title = "Does not crank"\n'
    'story = "It did not crank."\n'
    'source = "A leaflet, 1960, p. 3"\n'
    'translated = "As told."'
)


def text(**changes: str) -> str:
    """A case that is right, but for what is changed."""
    parts = {
        "texts": TEXTS,
        "read": 'read = "from memory"',
        "cause": 'cause = "posts"',
        "told": '[told]\nhow_often = ["once"]',
        "test": '[[tests]]\nprocedure = "look_over"\npattern = "posts"\nnote = "Green posts."',
    } | changes
    return "\n".join(parts.values())


def faults(**changes: str) -> list[str]:
    found = read_text(text(**changes), "made.toml", tables(), outcomes())
    assert found.case is None or not found.faults
    return [str(fault) for fault in found.faults]


def test_a_right_case_is_read() -> None:
    found = read_text(text(), "made.toml", tables(), outcomes())
    assert found.faults == []
    assert found.case == Case(
        slug="made",
        family="wont_crank",
        title="Does not crank",
        told={"how_often": ("once",)},
        tests=(CaseTest("look_over", "posts", "Green posts."),),
        causes=("posts",),
        story="It did not crank.",
        source="A leaflet, 1960, p. 3",
        read="from memory",
        translated="As told.",
    )


def test_a_case_may_have_two_causes() -> None:
    found = read_text(
        text(cause='cause = ["posts", "weak_battery"]'), "made.toml", tables(), outcomes()
    )
    assert found.case is not None and found.case.causes == ("posts", "weak_battery")


def test_a_story_may_run_over_several_lines() -> None:
    long = TEXTS.replace('"It did not crank."', '"""\nIt did\nnot crank.\n"""')
    found = read_text(text(texts=long), "made.toml", tables(), outcomes())
    assert found.case is not None and found.case.story == "It did not crank."


TEST = 'procedure = "look_over"\npattern = "posts"\nnote = "Green posts."'


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"texts": "family = "}, "made.toml:1: no TOML"),
        ({"texts": TEXTS.replace("wont_crank", "wont_crnak")}, ":1: there is no table of"),
        ({"texts": TEXTS.replace('"Does not crank"', '" "')}, "made.toml:2: title is missing"),
        ({"texts": TEXTS.replace("source", "sauce")}, ":4: “sauce” is no part of a case"),
        ({"texts": TEXTS.replace("source", "sauce")}, "source is missing"),
        ({"read": ""}, "read must be “read” or “from memory”"),
        ({"read": 'read = "heard"'}, "made.toml:6: read must be"),
        ({"cause": ""}, "a case has one cause"),
        ({"cause": 'cause = ["posts", "posts"]'}, "made.toml:7: a case has one cause"),
        ({"cause": 'cause = "gremlin"'}, "made.toml:7: “gremlin” is no suspect of “wont_crank”"),
        ({"told": ""}, "[told] is missing"),
        ({"told": '[told]\nmood = ["once"]'}, "made.toml:9: “mood” is no question"),
        ({"told": '[told]\nhow_often = ["twice"]'}, ":9: “twice” is no answer to “how_often”"),
        ({"told": '[told]\nhow_often = "once"'}, "made.toml:9: how_often: a list of answers"),
        ({"told": '[told]\nhow_often = ["dont_know"]'}, "“dont_know” is no answer"),
        ({"test": ""}, "there is no test"),
        ({"test": f"[[tests]]\n{TEST.replace('look_over', 'peek')}"}, ":10: there is no test cal"),
        (
            {"test": "[[tests]]\n" + TEST.replace('"posts"', '"pots"')},
            "made.toml:10: “pots” is no outcome of “look_over”",
        ),
        (
            {"test": f"[[tests]]\n{TEST}\n[[tests]]\n" + TEST.replace('"posts"', '"undecided"')},
            "made.toml:14: “undecided” is no outcome of “look_over”",
        ),
        (
            {"test": f"[[tests]]\n{TEST.replace('look_over', 'complaint.weather')}"},
            "there is no test called “complaint.weather”",
        ),
        ({"test": '[[tests]]\nprocedure = "look_over"\npattern = "posts"'}, "note is missing"),
        ({"test": f"[[tests]]\n{TEST}\nweight = 0"}, ":10: weight: 0 is not above 0"),
        ({"test": f"[[tests]]\n{TEST}\nweight = 1.2"}, "weight: 1.2 is not above 0"),
        ({"test": f"[[tests]]\n{TEST}\npart = 3"}, "part must be text"),
        ({"test": f"[[tests]]\n{TEST}\nodds = 3"}, "“odds” is no part of a test"),
    ],
)
def test_what_is_wrong_is_named_with_its_line(changes: dict[str, str], said: str) -> None:
    found = faults(**changes)
    assert any(said in fault for fault in found), found


# --- what is concluded ------------------------------------------------------------------------


def case(causes: tuple[str, ...], **patterns: str) -> Case:
    """A case of the table `two_tests`, with these outcomes."""
    return Case(
        "made",
        "made",
        "",
        {},
        tuple(CaseTest(name, pattern, "") for name, pattern in patterns.items()),
        causes,
        "",
        "",
        "read",
        "",
    )


def two_tests() -> Table:
    """Either fault shows at one of two tests, and seldom at the other."""
    return table(
        {"seal": 20, "joint": 20, "unlisted": 40, "nothing": 20},
        {
            "oil_level": {
                "": {"between_marks": 0.97, "below_lower": 0.03},
                "seal": {"between_marks": 0.02, "below_lower": 0.98},
            },
            "play": {
                "": {"no_play": 0.97, "beyond_maker": 0.03},
                "joint": {"no_play": 0.02, "beyond_maker": 0.98},
            },
        },
    )


def test_a_single_cause_is_put_first_and_may_be_acted_on() -> None:
    found = conclude(case(("seal",), oil_level="below_lower", play="no_play"), two_tests())
    assert (found.first, found.pair, found.ranks) == (("seal",), None, {"seal": 1})
    seal, joint, others = 0.2 * 0.98 * 0.97, 0.2 * 0.03 * 0.02, 0.6 * 0.03 * 0.97
    assert found.share == pytest.approx(seal / (seal + joint + others))
    assert found.agreed and found.enough and found.counted == 2


def test_two_faults_are_put_first_where_neither_alone_explains_it() -> None:
    found = conclude(
        case(("joint", "seal"), oil_level="below_lower", play="beyond_maker"), two_tests()
    )
    assert found.pair == found.first == ("seal", "joint")
    assert found.agreed
    assert found.share > max(share for _code, share in found.leading) / 2


def test_one_of_two_faults_is_not_enough_to_agree() -> None:
    found = conclude(case(("joint", "seal"), oil_level="below_lower", play="no_play"), two_tests())
    assert found.first == ("seal",)
    assert not found.agreed


def test_two_faults_where_there_was_one_do_not_agree() -> None:
    found = conclude(case(("seal",), oil_level="below_lower", play="beyond_maker"), two_tests())
    assert found.first == ("seal", "joint")
    assert not found.agreed


def test_a_test_of_which_the_table_knows_nothing_does_not_count() -> None:
    found = conclude(case(("seal",), oil_level="below_lower", tyres="even"), two_tests())
    assert found.counted == 1


def test_half_a_test_moves_less_than_a_whole_one() -> None:
    whole = case(("seal",), oil_level="below_lower")
    half = Case(**{**vars(whole), "tests": (CaseTest("oil_level", "below_lower", "", weight=0.5),)})
    start = two_tests().starts["seal"]
    assert start < conclude(half, two_tests()).share < conclude(whole, two_tests()).share


# --- the command ------------------------------------------------------------------------------


def test_a_stale_page_is_named(tmp_path, settings) -> None:
    settings.BASE_DIR = tmp_path
    with pytest.raises(CommandError, match=r"_worked_cases.html is stale: run manage.py worked"):
        call_command("worked_cases", "--check")


def test_the_page_is_written_and_then_fresh(tmp_path, settings, capsys) -> None:
    settings.BASE_DIR = tmp_path
    (tmp_path / command.PAGE).parent.mkdir(parents=True)
    call_command("worked_cases", "--write")
    call_command("worked_cases", "--check")
    assert "put first" in capsys.readouterr().out


def test_a_wrong_file_is_named_in_place_of_a_conclusion(monkeypatch) -> None:
    wrong = read_text(text(cause='cause = "gremlin"'), "made.toml", tables(), outcomes())
    monkeypatch.setattr(command, "read_all", lambda *_known: [wrong])
    with pytest.raises(CommandError, match=r"made\.toml:7: “gremlin” is no suspect"):
        call_command("worked_cases")
