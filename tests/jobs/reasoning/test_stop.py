"""When enough is known depends on the stakes; when nothing moves any more, an end is offered."""

from __future__ import annotations

import pytest

from jobs.reasoning.stop import Ground, lacking_grounds, stand
from jobs.suspects.odds import Piece, update
from jobs.suspects.tables import NOTHING, UNLISTED, Evidence, Suspect, Table

FIRM = {"shows": 0.9, "quiet": 0.1}
USUAL = {"shows": 0.05, "quiet": 0.95}


def table(*, costly: bool = False, safety: bool = False) -> Table:
    return Table(
        "made",
        (
            Suspect("one", "one", "one", 10, costly=costly, safety=safety),
            Suspect("two", "two", "two", 10),
            Suspect(UNLISTED, "unlisted", "unlisted", 5),
            Suspect(NOTHING, "nothing", "nothing", 5),
        ),
        {
            **{f"t{n}": Evidence(f"t{n}", USUAL, {"one": FIRM}) for n in range(4)},
            "flat": Evidence("flat", {"shows": 0.5, "quiet": 0.5}, {}),
        },
    )


def stood(known: Table, pieces: list[Piece], *, direct: bool = False, **about):
    odds = update(known, pieces)
    told = {"separable": True} | about
    return stand(known, odds, known.starts, direct=lambda _name, _outcome: direct, **told)


def shows(*numbers: int, groups: tuple[str, ...] = ()) -> list[Piece]:
    named = groups or tuple(f"g{n}" for n in numbers)
    return [
        Piece(f"t{n}", "shows", group=group, source=str(n + 1))
        for n, group in zip(numbers, named, strict=True)
    ]


def test_a_cheap_step_that_can_be_undone_wins_early() -> None:
    assert stood(table(), shows(0)).state == "act"


@pytest.mark.parametrize("stakes", [{"costly": True}, {"safety": True}])
def test_a_costly_repair_or_one_of_safety_waits_for_more(stakes) -> None:
    assert stood(table(**stakes), shows(0), direct=True).state in ("open", "grounds")


def test_two_grounds_that_share_a_cause_are_not_two() -> None:
    found = stood(table(costly=True), shows(0, 1, 2, groups=("g", "g", "g")), direct=True)
    assert (found.state, found.lacking) == ("grounds", ("second",))


def test_two_grounds_of_which_none_was_seen_directly_are_not_enough() -> None:
    found = stood(table(costly=True), shows(0, 1))
    assert (found.state, found.lacking) == ("grounds", ("direct",))


def test_two_grounds_one_of_them_direct_are_enough_for_a_costly_repair() -> None:
    assert stood(table(costly=True), shows(0, 1), direct=True).state == "act"


def test_where_no_test_tells_more_the_ends_are_offered() -> None:
    found = stood(table(), [], separable=False)
    assert (found.state, found.ends) == ("no_more", True)


def test_three_tests_that_move_nothing_are_enough_of_them() -> None:
    flat = [Piece("flat", "shows", source=str(n)) for n in (1, 2, 3)]
    assert stood(table(), flat, made=[1, 2, 3]).state == "still"


def test_tests_that_decide_nothing_count_among_the_three() -> None:
    assert stood(table(), [], made=[1, 2, 3]).state == "still"


def test_a_test_that_moved_something_lets_one_go_on() -> None:
    quiet = [Piece("t0", "quiet", source="3")]
    assert stood(table(), quiet, made=[1, 2, 3]).state == "open"


def test_while_a_first_thing_is_not_done_no_end_is_offered() -> None:
    assert stood(table(), [], made=[1, 2, 3], first_left=True).state == "open"


def test_the_unlisted_is_never_acted_on() -> None:
    made = Table(
        "made",
        (
            Suspect("one", "one", "one", 1),
            Suspect(UNLISTED, "u", "u", 50),
            Suspect(NOTHING, "n", "n", 1),
        ),
        {},
    )
    assert stood(made, []).state == "open"


def test_after_a_cure_nothing_more_is_asked_for() -> None:
    assert stood(table(), [], cured=True).state == "cured"


@pytest.mark.parametrize(
    ("grounds", "lacking"),
    [
        ([], ("second", "direct")),
        ([Ground(1, "a", 9, True)], ("second",)),
        ([Ground(1, "a", 9, False), Ground(2, "b", 3, False)], ("direct",)),
        ([Ground(1, "a", 9, False), Ground(2, "b", 3, True)], ()),
    ],
)
def test_grounds_lack_what_is_missing(grounds, lacking) -> None:
    assert lacking_grounds(grounds) == lacking
