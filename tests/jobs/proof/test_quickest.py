"""The quickest test that would tell whether a part is at fault."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.proof.quickest import bits_about, quickest
from jobs.reasoning.of_ticket import reasonings
from jobs.suspects.gather import suspects_naming
from jobs.suspects.information import expected_bits
from jobs.suspects.tables import Evidence
from jobs.ticket_view import TicketView
from tests.jobs.report.conftest import made


def evidence(**rows: float) -> Evidence:
    """Two outcomes; a row for each suspect that the test touches, by its chance of "bad"."""
    told = {code: {"good": 1 - bad, "bad": bad} for code, bad in rows.items()}
    return Evidence("test", {"good": 0.9, "bad": 0.1}, told)


def by_enumeration(one: Evidence, shares: dict[str, float], meant: set[str]) -> float:
    """The textbook's mutual information of "is it one of these" and the outcome, summed cell by
    cell (T. Cover and J. Thomas, Elements of Information Theory, 2.3, from memory)."""
    cells: dict[tuple[bool, str], float] = {}
    for code, share in shares.items():
        for outcome, p in one.row(code).items():
            key = code in meant, outcome
            cells[key] = cells.get(key, 0.0) + share * p
    first = {w: sum(p for (k, _o), p in cells.items() if k == w) for w in (True, False)}
    second = {o: sum(p for (_k, r), p in cells.items() if r == o) for o in one.otherwise}
    return sum(p * math.log2(p / (first[k] * second[o])) for (k, o), p in cells.items() if p > 0)


SHARES = st.lists(st.floats(0.01, 1.0), min_size=3, max_size=3).map(
    lambda found: dict(zip("abc", (share / sum(found) for share in found), strict=True))
)
CHANCE = st.floats(0.01, 0.99)


@given(shares=SHARES, a=CHANCE, b=CHANCE, meant=st.sets(st.sampled_from("abc"), max_size=3))
def test_it_is_the_information_on_that_one_question(shares, a, b, meant):
    one = evidence(a=a, b=b)
    assert bits_about(one, shares, meant) == pytest.approx(
        by_enumeration(one, shares, meant), abs=1e-12
    )


@given(shares=SHARES, a=CHANCE, b=CHANCE, meant=st.sets(st.sampled_from("abc"), max_size=3))
def test_on_one_question_a_test_tells_no_more_than_on_all(shares, a, b, meant):
    one = evidence(a=a, b=b)
    assert bits_about(one, shares, meant) <= expected_bits(one, shares) + 1e-12


@pytest.mark.parametrize("meant", [set(), {"a", "b", "c"}])
def test_where_all_or_none_are_meant_there_is_no_question(meant):
    shares = {"a": 0.2, "b": 0.3, "c": 0.5}
    assert bits_about(evidence(a=0.9), shares, meant) == pytest.approx(0.0)


@pytest.mark.django_db
@pytest.mark.parametrize("part", ["Battery", "Starter motor", "Ground strap"])
def test_no_test_that_can_be_made_tells_more_of_the_part_a_minute(ticket, shop, part):
    view = TicketView(ticket, shop)
    (reasoning,) = reasonings(view)
    meant = suspects_naming(reasoning.table, (part,))
    assert meant
    rates = {
        one.candidate.name: bits_about(
            reasoning.table.evidence[one.candidate.key],
            reasoning.odds.shares,
            meant,
            one.candidate.weight,
        )
        / one.minutes
        for one in reasoning.ranked
        if one.candidate.key in reasoning.table.evidence
    }
    assert quickest(view, (part,)).procedure == max(rates, key=lambda name: rates[name])


@pytest.mark.django_db
def test_a_test_that_is_made_is_not_offered_again(ticket, owner, shop):
    offered = quickest(TicketView(ticket, shop), ("Ground strap",))
    assert offered.procedure == "starter_current"
    made(ticket, owner, "starter_current", "current_usual")
    assert quickest(TicketView(ticket, shop), ("Ground strap",)).procedure != "starter_current"
