"""What is asked about a complaint: its family, and when it happens, the telling questions first."""

from __future__ import annotations

from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from jobs import words
from shop.forms.fields import Closed, ClosedSeveral

PREFIX = "when_"


class QuestionsMixin(forms.Form):
    """Family, nine conditions and the red flags of a first call; every one may stay unasked."""

    SEVERAL = frozenset(
        {"red_flags", *(PREFIX + name for name, c in words.CONDITIONS.items() if c.several)}
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["family"] = Closed(
            words.FAMILY, chips=False, empty=_("not chosen yet"), label=_("What kind of complaint")
        )
        for name, condition in words.CONDITIONS.items():
            make = ClosedSeveral if condition.several else Closed
            self.fields[PREFIX + name] = make(
                condition.answers, label=words.CONDITION[name].technician
            )
        self.fields["red_flags"] = ClosedSeveral(
            words.RED_FLAG, label=_("Can it be driven here? Tick what the caller reports")
        )

    def clean(self) -> dict[str, Any]:
        """Answers that exclude one another are refused at their question."""
        data = super().clean()
        answers: dict[str, list[str]] = {}
        for name in words.CONDITIONS:
            given = data.get(PREFIX + name)
            try:
                answers[name] = words.read_conditions({name: given})[name]
            except words.ConditionError as error:
                self.add_error(PREFIX + name, str(error))
        data["conditions"] = answers
        return data

    @property
    def family_now(self) -> str:
        """The family that is chosen just now, before anything is checked."""
        chosen = self["family"].value() or ""
        return chosen if chosen in words.FAMILY else ""

    def _questions(self) -> list[BoundField]:
        return [self[PREFIX + name] for name in words.condition_order(self.family_now)]

    @property
    def first_questions(self) -> list[BoundField]:
        """The three that separate this family's causes most; none while no family is chosen."""
        return self._questions()[:3] if self.family_now else []

    @property
    def further_questions(self) -> list[BoundField]:
        """The others, folded."""
        return self._questions()[3:] if self.family_now else self._questions()

    @property
    def asks_more(self) -> bool:
        """Whether one of the folded questions is answered or wrong: then the fold is open."""
        return any(field.value() or field.errors for field in self.further_questions)

    @property
    def stop_advice(self) -> list[dict[str, str]]:
        """What to tell the caller at once, for each red flag that is ticked."""
        ticked = self["red_flags"].value() or []
        return [
            {"flag": str(word.technician), "tell": str(word.meaning)}
            for word in words.RED_FLAG
            if word.code in ticked
        ]


class QuestionsForm(QuestionsMixin):
    """The questions alone, for a page that asks for those of another family."""


def as_typed(sent: QueryDict) -> dict[str, Any]:
    """What was sent, as first values of a form that checks nothing yet."""
    return {
        name: values if name in QuestionsMixin.SEVERAL else values[-1]
        for name, values in sent.lists()
    }


def answers_of(conditions: dict[str, list[str]]) -> dict[str, Any]:
    """Stored conditions as the form's first values; what was not asked is left empty."""
    found: dict[str, Any] = {}
    for name, condition in words.CONDITIONS.items():
        codes = [code for code in conditions.get(name, []) if code != words.NOT_ASKED]
        found[PREFIX + name] = codes if condition.several else "".join(codes[:1])
    return found
