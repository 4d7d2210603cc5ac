"""Odds and factors in words, rounded no finer than the judgement behind them."""

from __future__ import annotations

from django.utils.translation import gettext as _

_ONE_IN = (10, 12, 15, 20, 25, 30, 40, 50)
LITTLE = 1.15
"""A factor nearer to 1 than this says next to nothing."""


def in_number(share: float) -> str:
    """ "9 in 10", "1 in 30", "under 1 in 100".

    >>> in_number(0.87), in_number(0.05), in_number(0.003)
    ('9 in 10', '1 in 20', 'under 1 in 100')
    """
    if share >= 0.97:
        return _("over 19 in 20")
    if share >= 0.93:
        return _("19 in 20")
    if share >= 0.095:
        return _("%(n)s in 10") % {"n": max(1, round(share * 10))}
    if share >= 0.015:
        return _("1 in %(n)s") % {"n": min(_ONE_IN, key=lambda n: abs(1 / n - share))}
    return _("1 in 100") if share >= 0.008 else _("under 1 in 100")


def in_words(share: float) -> str:
    """How likely, in a word."""
    for least, word in (
        (0.9, _("very likely")),
        (0.6, _("likely")),
        (0.3, _("quite possible")),
        (0.1, _("possible")),
        (0.03, _("not likely")),
    ):
        if share >= least:
            return word
    return _("unlikely")


def per_cent(share: float) -> int:
    """The length of a bar, in steps of 5, at least 1."""
    return max(1, 5 * round(share * 20))


def says(factor: float) -> bool:
    """Whether a factor says anything to speak of."""
    return not 1 / LITTLE < factor < LITTLE


def times(factor: float) -> str:
    """What a piece of evidence did to the odds: "× 9", "÷ 4", "× 1".

    >>> times(9.3), times(0.24), times(1.05), times(47)
    ('× 9', '÷ 4', '× 1', '× 45')
    """
    if not says(factor):
        return "× 1"
    return f"× {_rounded(factor)}" if factor > 1 else f"÷ {_rounded(1 / factor)}"


def times_words(factor: float) -> str:
    """The same as a sentence."""
    if not says(factor):
        return _("About as likely if this is the cause as if it is not: it says next to nothing.")
    if factor > 1:
        return _("About %(n)s times as likely if this is the cause as if it is not.") % {
            "n": _rounded(factor)
        }
    return _("About %(n)s times as likely if this is not the cause as if it is.") % {
        "n": _rounded(1 / factor)
    }


def _rounded(number: float) -> str:
    if number >= 10:
        return str(5 * round(number / 5))
    return f"{number:.1f}" if number < 1.95 else str(round(number))
