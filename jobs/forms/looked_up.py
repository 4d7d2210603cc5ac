"""What is asked when something was looked up about a car's model."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from jobs import words
from shop.forms.fields import Closed, Line, RecordingForm, Words

CITED = frozenset({"applies", "may_apply"})
"""Results that are worth nothing without saying where they stand."""


class LookedUpForm(RecordingForm):
    """Two taps where nothing was found; where something was, its source and number too."""

    what = Closed(
        words.LOOKED_UP,
        label=_("Looked up"),
        required=True,
        error_messages={"required": _("Tap what you looked up.")},
    )
    result = Closed(
        words.LOOKED_UP_RESULT,
        label=_("Result"),
        required=True,
        error_messages={"required": _("Tap the result.")},
    )
    source = Line(
        label=_("Where"),
        required=False,
        help_text=_("The register, the maker, who told it."),
        limit=160,
    )
    number = Line(
        label=_("Number and date there"),
        required=False,
        help_text=_("Cite it; do not copy its text."),
        limit=80,
    )
    by_vin = forms.BooleanField(label=_("Asked for this VIN, not only the model"), required=False)
    note = Words(label=_("What it says, in a few words of your own"), required=False, rows=2)

    def clean(self) -> dict[str, Any]:
        """What applies is cited."""
        data = super().clean() or {}
        if data.get("result") in CITED and not (data.get("source") or data.get("number")):
            self.add_error(
                "source",
                ValidationError(_("Say where it stands, or its number: it is to be found again.")),
            )
        return data

    @property
    def facts(self) -> dict[str, Any]:
        """What the record keeps: nothing that was left empty."""
        names = ("what", "result", "source", "number", "by_vin", "note")
        return {name: self.cleaned_data[name] for name in names if self.cleaned_data[name]}
