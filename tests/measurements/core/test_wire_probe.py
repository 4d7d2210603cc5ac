"""Probing wires: what probes prove, and that the next one is well chosen."""

from __future__ import annotations

import random
from collections.abc import Mapping
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.wire_probe import Pair, next_probe, picture_of

# --- what probes prove ------------------------------------------------------------------------

LEFT, RIGHT = ["a", "b", "c"], ["x", "y", "z"]


def test_one_joined_to_one_is_a_wire() -> None:
    assert picture_of(LEFT, RIGHT, [("y", "a")], []).wires == {"a": "y"}


def test_a_proven_wire_takes_both_its_pins_out_of_the_question() -> None:
    assert picture_of(LEFT, RIGHT, [("a", "y")], []).possible == (
        ("b", "x"),
        ("b", "z"),
        ("c", "x"),
        ("c", "z"),
    )


def test_a_pin_tried_against_all_others_is_open() -> None:
    found = picture_of(LEFT, RIGHT, [], [("a", pin) for pin in RIGHT])
    assert (found.open_left, found.open_right) == (("a",), ())


def test_the_last_pair_apart_with_all_others_proven_leaves_both_open() -> None:
    found = picture_of(LEFT, RIGHT, [("a", "x"), ("b", "y")], [("c", "z")])
    assert (found.open_left, found.open_right) == (("c",), ("z",))
    assert found.is_settled


def test_a_pin_that_still_may_have_a_partner_is_not_open() -> None:
    assert picture_of(LEFT, RIGHT, [], [("a", "x"), ("a", "y")]).open_left == ()


@pytest.mark.parametrize(
    ("joined", "group"),
    [
        ([("a", "x"), ("a", "y")], ("a", "x", "y")),
        ([("a", "b")], ("a", "b")),
        ([("x", "z")], ("x", "z")),
        ([("a", "x"), ("b", "y"), ("a", "b")], ("a", "b", "x", "y")),
    ],
)
def test_pins_joined_otherwise_than_one_to_one_are_a_group(
    joined: list[Pair], group: tuple[str, ...]
) -> None:
    found = picture_of(LEFT, RIGHT, joined, [])
    assert (found.groups, found.wires) == ((group,), {})


@given(st.data())
def test_order_of_probing_does_not_matter(data: st.DataObject) -> None:
    pins = LEFT + RIGHT
    pairs = data.draw(st.lists(st.tuples(st.sampled_from(pins), st.sampled_from(pins))))
    pairs = [pair for pair in pairs if pair[0] != pair[1]]
    shuffled = data.draw(st.permutations(pairs))
    assert picture_of(LEFT, RIGHT, pairs, []) == picture_of(LEFT, RIGHT, shuffled, [])


# --- the next probe ---------------------------------------------------------------------------

Board = tuple[tuple[float, ...], ...]
"""Odds by left and right pin; nought for a pair that is out of the question."""


def named(board: Board) -> tuple[list[str], list[str]]:
    return [f"l{n}" for n in range(len(board))], [f"r{n}" for n in range(len(board[0]))]


def _cells(board: Board) -> list[tuple[int, int]]:
    return [(i, j) for i, row in enumerate(board) for j, own in enumerate(row) if own]


def _proven(board: Board, i: int, j: int) -> Board:
    return tuple(row[:j] + row[j + 1 :] for k, row in enumerate(board) if k != i)


def _apart(board: Board, i: int, j: int) -> Board:
    return tuple((*row[:j], 0.0, *row[j + 1 :]) if k == i else row for k, row in enumerate(board))


def _settled_form(board: Board) -> Board:
    """The same board with empty lines left out and the others in an order that renaming pins does
    not change much: boards of one form cost the same."""
    board = tuple(row for row in board if any(row))
    if not board:
        return ()
    columns = [column for column in zip(*board, strict=True) if any(column)]
    by_row = [sum(9.7**own for own in row) for row in zip(*columns, strict=True)]
    keyed = [(sum(own * by_row[k] for k, own in enumerate(column)), column) for column in columns]
    keyed.sort()
    weights = [key for key, _column in keyed]
    rows = list(zip(*(column for _key, column in keyed), strict=True))
    rows.sort(key=lambda row: (sum(own * w for own, w in zip(row, weights, strict=True)), row))
    return tuple(rows)


@cache
def _whole_odds(board: Board) -> float:
    """Odds of all assignments together: each left pin to one right pin or to none."""
    if not board:
        return 1.0
    first, rest = board[0], board[1:]
    total = _whole_odds(rest)
    for j, own in enumerate(first):
        if own:
            total += own * _whole_odds(tuple(row[:j] + row[j + 1 :] for row in rest))
    return total


@cache
def _best(board: Board) -> float:
    """Expected number of probes of the best decision tree, times the odds of the board."""
    if not board:
        return 0.0
    found = {}
    for i, j in _cells(board):
        after = _settled_form(_proven(board, i, j)), _settled_form(_apart(board, i, j))
        found[after] = board[i][j]
    return _whole_odds(board) + min(
        own * _best(yes) + _best(no) for (yes, no), own in found.items()
    )


def fewest(board: Board) -> float:
    """Expected number of probes of the best decision tree, by trying all."""
    form = _settled_form(board)
    return _best(form) / _whole_odds(form)


def proposed(board: Board) -> float:
    """Expected number of probes when each next one is what `next_probe` says."""
    left, right = named(board)
    odds = {(left[i], right[j]): board[i][j] for i, j in _cells(board)}

    def cost(joined: frozenset[Pair], apart: frozenset[Pair]) -> tuple[float, float]:
        """Odds of what is still possible, and odds x probes."""
        picture = picture_of(left, right, joined, apart)
        pair = next_probe(picture, odds)
        if pair is None:
            return 1.0, 0.0
        yes, probes_yes = cost(joined | {pair}, apart)
        no, probes_no = cost(joined, apart | {pair})
        whole = odds[pair] * yes + no
        return whole, whole + odds[pair] * probes_yes + probes_no

    out = frozenset(
        (a, b) for i, a in enumerate(left) for j, b in enumerate(right) if not board[i][j]
    )
    whole, probes = cost(frozenset(), out)
    return probes / whole


def untouched(pins_left: int, pins_right: int) -> Board:
    return ((1.0,) * pins_right,) * pins_left


@pytest.mark.parametrize(
    ("pins", "by_hand"),
    [
        ((1, 1), 1.0),
        # one of three ends: yes at once 1/4 of the time, then 1/3 of the rest, else a third probe
        ((1, 3), 1 / 4 + 2 / 4 + 3 / 4 + 3 / 4),
        # seven ways: a-x, then b-y (1 + 1 ways); or not a-x: 5 ways left
        ((2, 2), 3.0),
    ],
)
def test_trying_all_gives_what_is_easily_counted(pins: tuple[int, int], by_hand: float) -> None:
    assert fewest(untouched(*pins)) == pytest.approx(by_hand)


@pytest.mark.parametrize("pins_right", [1, 2, 3, 4, 5])
@pytest.mark.parametrize("pins_left", [1, 2, 3, 4, 5])
def test_two_untouched_connectors_take_as_few_probes_as_the_best_decision_tree(
    pins_left: int, pins_right: int
) -> None:
    board = untouched(pins_left, pins_right)
    assert proposed(board) == pytest.approx(fewest(board), rel=1e-9)


def test_from_whatever_was_tried_it_stays_within_two_per_cent_of_the_best() -> None:
    chosen = random.Random(20)
    for _ in range(150):
        pins = chosen.choice([3, 4])
        board = tuple(tuple(float(chosen.random() < 0.7) for _ in range(pins)) for _ in range(pins))
        if any(map(any, board)):
            assert proposed(board) <= 1.02 * fewest(board), board


def test_with_trusted_colours_it_stays_within_a_tenth_of_the_best() -> None:
    chosen = random.Random(7)
    for _ in range(40):
        ours, theirs = ([chosen.randrange(3) for _ in range(3)] for _ in "12")
        board = tuple(
            tuple((20.0 if a == b else 1.0) * (chosen.random() < 0.85) for b in theirs)
            for a in ours
        )
        if any(map(any, board)):
            assert proposed(board) <= 1.1 * fewest(board), board


def test_colours_that_can_be_trusted_save_probes() -> None:
    plain, coloured = (
        untouched(4, 4),
        tuple(tuple(20.0 if i == j else 1.0 for j in range(4)) for i in range(4)),
    )
    assert proposed(coloured) < 0.6 * proposed(plain)


def ask(odds: Mapping[Pair, float] | None = None, **known: list[Pair]) -> Pair | None:
    picture = picture_of(LEFT, RIGHT, known.get("joined", []), known.get("apart", []))
    return next_probe(picture, odds or {}, known.get("preferred", ()))


def test_it_stays_with_the_pin_that_has_fewest_partners_left() -> None:
    assert ask(apart=[("b", "x")]) in {("b", "y"), ("b", "z"), ("a", "x"), ("c", "x")}


def test_equal_odds_are_decided_by_what_is_preferred() -> None:
    assert ask(preferred=[("c", "y")]) == ("c", "y")


def test_equal_colours_go_first() -> None:
    assert ask({("b", "z"): 20.0}) == ("b", "z")


def test_nothing_is_proposed_once_all_is_settled() -> None:
    assert ask(joined=[("a", "x"), ("b", "y")], apart=[("c", "z")]) is None


@given(st.data())
def test_following_it_settles_any_harness_in_at_most_all_pairs(data: st.DataObject) -> None:
    left = [f"l{n}" for n in range(data.draw(st.integers(1, 7)))]
    right = [f"r{n}" for n in range(data.draw(st.integers(1, 7)))]
    ends = data.draw(st.permutations(right + [""] * len(left)))
    truth = {a: b for a, b in zip(left, ends, strict=False) if b}
    joined: list[Pair] = []
    apart: list[Pair] = []
    while (pair := next_probe(picture_of(left, right, joined, apart))) is not None:
        assert pair not in joined and pair not in apart
        (joined if truth.get(pair[0]) == pair[1] else apart).append(pair)
    assert len(joined) + len(apart) <= len(left) * len(right)
    assert picture_of(left, right, joined, apart).wires == truth
