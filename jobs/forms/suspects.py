"""What is asked of a technician who judges a suspect, or adds one."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from jobs import words
from shop.forms.fields import Closed, Line, RecordingForm, Words


class OpinionForm(RecordingForm):
    """How strongly it speaks, and why. `adds`: a cause that is not on the list is named first."""

    def __init__(self, *args: Any, adds: bool = False, **options: Any) -> None:
        super().__init__(*args, **options)
        if adds:
            self.fields["label"] = Line(
                label=_("The cause that you have in mind"),
                limit=160,
                help_text=_("As you would say it to a colleague: what is wrong, and where."),
            )
        self.fields["strength"] = Closed(words.STRENGTH, label=_("What you know"), required=True)
        self.fields["reason"] = Words(
            label=_("Why"),
            rows=3,
            limit=1_000,
            help_text=_(
                "What you saw, heard or felt, or know of this model. It stays in the record."
            ),
        )
