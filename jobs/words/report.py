"""Sentences printed on the customer's paper, each worded once."""

from __future__ import annotations

import re

from django.utils.translation import gettext_lazy as _

from shop.words import table

SENTENCE = table(
    "sentence",
    (
        "not_reproduced",
        _("The fault did not appear while we had the car. That does not mean it is gone."),
    ),
    (
        "fitted_elsewhere",
        _(
            "The customer reports that %(part)s was fitted elsewhere on %(when)s; we have seen no "
            "test records of it."
        ),
    ),
    (
        "opinion",
        _(
            "What is called probable or a possible cause here is the opinion of %(name)s, from "
            "the readings named beside each finding."
        ),
    ),
    ("declined", _("You chose not to do this today.")),
    ("towed_elsewhere", _("You may have it towed elsewhere.")),
    (
        "before_repair",
        _("This was measured before the repair. It does not describe the car as it is now."),
    ),
    ("measured_at", _("Measured %(when)s at %(odometer)s.")),
    ("agree_at_most", _("You agree to at most %(amount)s. We stop and ask before that.")),
    (
        "check_value",
        _(
            "Check value of this record: with it anyone can show later whether something in it "
            "was changed."
        ),
    ),
    ("results_concern", _("The results concern only this car, as it was when it was tested.")),
    (
        "makers_data_first",
        _(
            "The data of the car's maker, local rules and licensed specialists come before "
            "anything stated here."
        ),
    ),
    (
        "general_value",
        _("This limit is common practice of the trade, not a value of the car's maker."),
    ),
    ("not_chargeable", _("Done without agreement; you are not charged for it.")),
    ("end_of_report", _("End of report")),
)


class ParameterMismatch(ValueError):
    """A sentence got other parameters than it names."""

    def __init__(self, code: str, named: set[str], given: set[str]) -> None:
        super().__init__(
            f"the sentence {code!r} takes {sorted(named)}, and was given {sorted(given)}"
        )


def sentence(code: str, **parameters: object) -> str:
    """A printed sentence with its parameters; raises UnknownCode or ParameterMismatch."""
    text = SENTENCE.customer(code)
    named = set(re.findall(r"%\((\w+)\)", text))
    if named != set(parameters):
        raise ParameterMismatch(code, named, set(parameters))
    return text % parameters if named else text
