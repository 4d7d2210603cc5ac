"""What is asked of drives since a repair."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs import words
from shop.forms.fields import Closed, RecordingForm, Whole, Words

MOST_DRIVES = 500
"""More than that since one entry are no count but a guess (judgement)."""


class DrivesForm(RecordingForm):
    """Drives without the fault since the last entry, and whether it came back."""

    drives = Whole(
        label=_("Drives without it"),
        low=0,
        high=MOST_DRIVES,
        help_text=_(
            "Since the last entry, each under the conditions in which it came: just as cold or "
            "hot, as wet, as fast."
        ),
    )
    came_back = forms.TypedChoiceField(
        label=_("Then it came back"),
        widget=forms.RadioSelect,
        choices=[("no", _("no")), ("yes", _("yes"))],
        coerce=lambda value: value == "yes",
        error_messages={"required": _("Say whether it came back: choose one.")},
    )
    who = Closed(words.DROVE, label=_("Who drove"))
    note = Words(
        label=_("Note"),
        required=False,
        rows=2,
        help_text=_("When, where, how hot the engine was; who told us."),
    )

    def clean(self) -> dict[str, Any]:
        """An empty count is none where it came back, and is asked for where it did not."""
        data = super().clean()
        if not self.errors and not data["drives"] and not data["came_back"]:
            self.add_error("drives", _("Say how many drives there were without it."))
        return data

    def facts(self) -> dict[str, Any]:
        """What else was said."""
        return {"who": self.cleaned_data["who"], "note": self.cleaned_data["note"]}
