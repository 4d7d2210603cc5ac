"""Which test comes next: the first things, dangers, then what tells most for its minutes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.suspects.next_test import (
    DANGER,
    FIRST,
    LEAST_BITS,
    Candidate,
    Here,
    meanings,
    minutes_from_here,
    rank,
    separates,
)
from tests.jobs.suspects.made import tables, yes_no

CAUSES = {"cable": 25, "ground": 15, "commanded_low": 35, "alternator": 20, "belt": 5}
LOW = {"ground": 0.05, "commanded_low": 0.05, "alternator": 0.05, "belt": 0.05}
OTHERS = dict.fromkeys(CAUSES, 0.02)
TABLE = yes_no(
    CAUSES,
    feed={"cable": 0.95, **LOW},
    load={"cable": 0.1, "ground": 0.1, "commanded_low": 0.9, "alternator": 0.1, "belt": 0.2},
    bench=OTHERS | {"alternator": 0.97},
    nothing={},
)
FEED = Candidate("feed", "feed", 5)
LOAD = Candidate("load", "load", 8)
BENCH = Candidate("bench", "bench", 90)


STANDING = Here()


def names(*candidates: Candidate, here: Here = STANDING) -> list[str]:
    return [one.candidate.name for one in rank(TABLE, TABLE.starts, candidates, here)]


def test_bits_per_minute_as_published() -> None:
    """Trade reference 7: 0.11243, 0.05998, 0.00655 bits a minute, in this order."""
    found = rank(TABLE, TABLE.starts, [BENCH, LOAD, FEED], Here())
    assert [one.candidate.name for one in found] == ["feed", "load", "bench"]
    assert [one.bits_per_minute for one in found] == pytest.approx(
        [0.11243, 0.05998, 0.00655], abs=5e-6
    )


def test_the_first_things_lead_quickest_first() -> None:
    look = Candidate("look", "nothing", 2, first=True)
    codes = Candidate("codes", "bench", 1, first=True)
    found = rank(TABLE, TABLE.starts, [FEED, look, codes], Here())
    assert [one.candidate.name for one in found] == ["codes", "look", "feed"]
    assert found[0].why == FIRST


def test_a_danger_stands_above_whatever_tells_more() -> None:
    brakes = Candidate("brakes", "nothing", 20, danger=True)
    found = rank(TABLE, TABLE.starts, [FEED, brakes], Here())
    assert [one.candidate.name for one in found] == ["brakes", "feed"]
    assert found[0].why == DANGER


def test_what_separates_nothing_is_not_offered() -> None:
    assert names(Candidate("idle", "nothing", 1), FEED) == ["feed"]


def test_what_the_shop_has_no_tool_for_is_left_out() -> None:
    assert names(FEED, Candidate("load", "load", 1, lacks=("scope",))) == ["feed"]


def test_what_wants_a_cold_engine_waits_while_it_is_hot() -> None:
    cold = Candidate("cold", "feed", 1, wants="cold")
    assert names(LOAD, cold, here=Here("hot")) == ["load", "cold"]
    assert names(LOAD, cold, here=Here("cold")) == ["cold", "load"]


def test_what_is_open_already_makes_its_neighbours_cheap() -> None:
    leak = Candidate("leak", "load", 12, opens=frozenset({"plugs out"}))
    assert minutes_from_here(leak, Here()) == 12
    assert minutes_from_here(leak, Here(open=frozenset({"plugs out", "cover off"}))) == 6
    assert minutes_from_here(FEED, Here(open=frozenset({"plugs out"}))) == 5


def test_each_says_whom_it_concerns_and_what_each_outcome_would_mean() -> None:
    assert separates(TABLE, TABLE.starts, FEED)[0] == "cable"
    told = {one.outcome: one for one in meanings(TABLE, TABLE.starts, FEED)}
    assert told["positive"].leading == "cable"
    assert told["negative"].leading == "commanded_low"
    assert sum(one.chance for one in told.values()) == pytest.approx(1)


@given(tables(), st.data())
def test_no_order_of_candidates_changes_the_ranking(table, data) -> None:
    candidates = [
        Candidate(f"c{n}", key, data.draw(st.sampled_from([1, 5, 20])))
        for n, key in enumerate(sorted(table.evidence))
    ]
    shuffled = data.draw(st.permutations(candidates))
    first = rank(table, table.starts, candidates, Here())
    assert rank(table, table.starts, shuffled, Here()) == first
    assert all(one.bits >= LEAST_BITS for one in first)


@given(tables())
def test_chances_of_all_outcomes_make_one(table) -> None:
    for key in table.evidence:
        told = meanings(table, table.starts, Candidate("c", key, 5, weight=0.5))
        assert sum(one.chance for one in told) == pytest.approx(1)
