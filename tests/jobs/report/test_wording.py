"""Small rules of writing."""

from __future__ import annotations

import doctest

import pytest

from jobs.report import wording


def test_the_examples_of_the_docstrings_hold():
    found = doctest.testmod(wording)
    assert found.attempted > 0
    assert found.failed == 0


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("clean the clamp", "Clean the clamp."),
        ("Clean it..", "Clean it."),
        ("when wet;", "When wet."),
        ("why?", "Why?"),
        ("", ""),
    ],
)
def test_a_line_has_a_capital_and_one_stop(typed, printed):
    assert wording.sentence(typed) == printed


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("Battery", "battery"),
        ("ECU, used", "ECU, used"),
        ("B+ cable.", "B+ cable"),
        ("12 V lead", "12 V lead"),
        ("Ölfilter", "ölfilter"),
        ("", ""),
    ],
)
def test_a_part_inside_a_sentence_starts_small_unless_it_is_an_abbreviation(typed, printed):
    assert wording.inside(typed) == printed
