"""Starting weights moved by what a shop's own tickets turned out to be.

The weights stand for what IMAGINED earlier cases would have shown; a counted case weighs as much as
one of those. This is Bayes' rule for shares with a Dirichlet prior (standard statistics): share of
a suspect = (IMAGINED x its share before + its cases) / (IMAGINED + all cases).
"""

from __future__ import annotations

from collections.abc import Mapping

IMAGINED = 20
"""How many earlier cases the weights before counting are worth together (judgement)."""

LEAST_CASES = 5
"""With fewer counted tickets nothing is offered: they could be chance (judgement)."""

LEAST, MOST = 1, 1000
"""A weight is a whole number in these bounds, as in the tables."""


def with_counts(weights: Mapping[str, int], counts: Mapping[str, int]) -> dict[str, int]:
    """The weights after so many cases of each suspect, in whole numbers on the scale of those
    before: only what was counted grows, unless a weight would pass MOST, when all shrink alike.

    >>> with_counts({"battery": 30, "cable": 50, "unlisted": 20}, {"battery": 4})
    {'battery': 50, 'cable': 50, 'unlisted': 20}
    """
    a_case = sum(weights.values()) / IMAGINED
    grown = {code: start + counts.get(code, 0) * a_case for code, start in weights.items()}
    shrink = min(1.0, MOST / max(grown.values()))
    return {code: max(LEAST, round(start * shrink)) for code, start in grown.items()}
