"""What is asked of an alteration, and of things that are apart."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs import words
from shop.forms.fields import Closed, ClosedSeveral, Line, RecordingForm, Words


class AlterationForm(RecordingForm):
    """What was changed and left, where, why, what it affects, how to put it back."""

    what = Line(label=_("What is altered"), limit=200)
    found_so = forms.TypedChoiceField(
        label=_("Whose change"),
        widget=forms.RadioSelect,
        choices=[("yes", _("found so")), ("no", _("left so by us"))],
        coerce=lambda value: value == "yes",
        error_messages={"required": _("Say whether it was found so, or is left so by us.")},
    )
    where_on_car = Line(label=_("Where on the car"), limit=200, required=False)
    why_left = Words(label=_("Why"), required=False, rows=2, limit=2_000)
    affects = ClosedSeveral(words.AFFECTS, label=_("What it affects"))
    put_back_how = Words(label=_("How to put it back"), required=False, rows=2, limit=2_000)
    advice = Closed(words.DRIVING_ADVICE, label=_("Driving with it"))
    advice_words = Words(
        label=_("How it may be driven, or why not"), required=False, rows=2, limit=1_000
    )
    customer_told = forms.BooleanField(label=_("The customer has been told"), required=False)

    def clean(self) -> dict[str, Any]:
        """Driving as stated must state it."""
        data = super().clean()
        if data.get("advice") == "only_as_stated" and not data.get("advice_words"):
            self.add_error("advice_words", _("Say how the car may be driven with it."))
        return data

    def facts(self) -> dict[str, Any]:
        """The facts as the record writes them."""
        skip = {"what", *self.sending}
        return {k: v for k, v in self.cleaned_data.items() if k not in skip and v not in ("", [])}


class PutBackForm(RecordingForm):
    """The alteration is off the car."""

    how = Words(label=_("How it was put back"), required=False, rows=2, limit=2_000)


class ApartForm(RecordingForm):
    """Something is open or unplugged that no test or swap has noted by itself."""

    what = Line(
        label=_("What is apart"),
        limit=200,
        help_text=_("A fuse pulled, a line opened, a clamp slack, a plug finger-tight."),
    )


class TickBackForm(RecordingForm):
    """It is back as it was."""

    note = Line(label=_("Note"), required=False, limit=300)
