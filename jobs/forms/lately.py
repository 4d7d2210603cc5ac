"""What changed before a complaint began: two questions, each a tap, out of its nine."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.forms.questions import PREFIX
from shop.forms.fields import Closed, ClosedSeveral, RecordingForm

ASKED = ("since_when", "after_work")


class LatelyForm(RecordingForm):
    """Since when, and after what; "don't know" is an answer to either."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        for name in ASKED:
            condition = words.CONDITIONS[name]
            make = ClosedSeveral if condition.several else Closed
            self.fields[PREFIX + name] = make(
                condition.answers, label=words.CONDITION[name].technician
            )

    def clean(self) -> dict[str, Any]:
        """At least one answer, and none that exclude one another."""
        data = super().clean() or {}
        told = {name: data.get(PREFIX + name) for name in ASKED}
        if not any(told.values()):
            raise ValidationError(_("Tap an answer; “don’t know” is one."))
        try:
            data["told"] = {
                name: codes
                for name, codes in words.read_conditions(
                    {name: _listed(value) for name, value in told.items()}
                ).items()
                if name in ASKED
            }
        except words.ConditionError as error:
            raise ValidationError(str(error)) from error
        return data


def _listed(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value] if value else []
    return list(value or [])
