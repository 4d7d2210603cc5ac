"""The standing of a swap, and which parts count as money that changed nothing."""

from __future__ import annotations

import itertools

import pytest

from jobs import words
from jobs.proof.standing import NEEDS_A_TEST, changed_nothing, standing

OUTCOMES = words.SWAP_OUTCOME.codes


@pytest.mark.parametrize(
    ("outcome", "code"),
    [
        ("not_present", "pointed_cured"),
        ("changed_not_cured", "pointed_not_cured"),
        ("no_change", "pointed_not_cured"),
        ("worse", "pointed_not_cured"),
        ("no_recurrence_yet", "not_settled"),
        ("cannot_tell", "not_settled"),
        ("not_checked", "not_checked"),
    ],
)
def test_a_part_that_a_test_pointed_to_stands_by_what_came_of_it(outcome, code):
    assert standing(reason="pointed_to", pointed=True, outcome=outcome) == code


@pytest.mark.parametrize("reason", sorted(NEEDS_A_TEST))
@pytest.mark.parametrize("outcome", OUTCOMES)
def test_a_part_tried_without_a_test_stands_so_whatever_came_of_it(reason, outcome):
    assert standing(reason=reason, pointed=False, outcome=outcome) == "not_pointed"


@pytest.mark.parametrize("outcome", OUTCOMES)
def test_what_needed_no_test_has_no_standing(outcome):
    for reason in set(words.SWAP_REASON.codes) - NEEDS_A_TEST:
        assert standing(reason=reason, pointed=False, outcome=outcome) == ""


def test_every_standing_has_words():
    told = {
        standing(reason=reason, pointed=pointed, outcome=outcome)
        for reason, pointed, outcome in itertools.product(
            words.SWAP_REASON.codes, (True, False), OUTCOMES
        )
    }
    assert told - {""} == set(words.STANDING.codes)


@pytest.mark.parametrize(
    "reason",
    ["worn_or_damaged", "due", "renewed_when_opened", "customer_asks", "bulletin_or_recall"],
)
@pytest.mark.parametrize("outcome", OUTCOMES)
def test_a_part_that_needed_no_test_is_never_wasted_money(reason, outcome):
    assert changed_nothing(reason=reason, pointed=False, outcome=outcome) == ""


@pytest.mark.parametrize("reason", sorted(NEEDS_A_TEST))
@pytest.mark.parametrize(
    ("outcome", "why"),
    [
        ("no_change", "no_change"),
        ("worse", "no_change"),
        ("not_checked", "never_shown"),
        ("cannot_tell", "never_shown"),
        ("not_present", ""),
        ("changed_not_cured", ""),
        ("no_recurrence_yet", ""),
    ],
)
def test_a_part_tried_without_a_test_counts_unless_it_was_shown_to_help(reason, outcome, why):
    assert changed_nothing(reason=reason, pointed=False, outcome=outcome) == why


@pytest.mark.parametrize(("outcome", "why"), [("no_change", "no_change"), ("not_checked", "")])
def test_a_part_that_a_test_pointed_to_counts_only_where_it_changed_nothing(outcome, why):
    assert changed_nothing(reason="pointed_to", pointed=True, outcome=outcome) == why
