"""Words of the reasoning: how strong a technician's word is, why a test does not count."""

from django.utils.translation import gettext_lazy as _

from shop.words import table

STRENGTH = table(
    "strength",
    (
        "strongly_for",
        _("speaks strongly for it"),
        _("speaks strongly for it"),
        _("Counts as ten times as likely if this is the cause."),
    ),
    (
        "for",
        _("speaks for it"),
        _("speaks for it"),
        _("Counts as three times as likely if this is the cause."),
    ),
    (
        "against",
        _("speaks against it"),
        _("speaks against it"),
        _("Counts as three times as likely if this is not the cause."),
    ),
    (
        "strongly_against",
        _("speaks strongly against it"),
        _("speaks strongly against it"),
        _("Counts as ten times as likely if this is not the cause."),
    ),
    (
        "ruled_out",
        _("I rule it out"),
        _("no sign of it in the technician's opinion"),
        _("Counts as a hundred times as likely if this is not the cause."),
    ),
)
"""A technician's word on a possible cause; what it counts for stands in `jobs.suspects.gather`."""

LEFT_OUT = table(
    "left_out",
    ("undecided", _("its readings decide nothing"), _("its readings decide nothing")),
    (
        "newer",
        _("made again later under the same conditions"),
        _("made again later under the same conditions"),
    ),
    (
        "no_rows",
        _("the table of this complaint has nothing about it"),
        _("it does not tell these causes apart"),
    ),
    (
        "no_part",
        _("the part that was tried belongs to none of these causes"),
        _("the part that was tried belongs to none of these causes"),
    ),
    (
        "after_cure",
        _("made after the change with which the fault went away"),
        _("made after the repair"),
    ),
    (
        "retired",
        _("this test, or what it found then, is no longer known to the tables"),
        _("this test is no longer made"),
    ),
    ("silent", _("nothing of it is left by what disturbed it"), _("it was disturbed")),
)
"""Why a test of the ticket does not count among the evidence."""
