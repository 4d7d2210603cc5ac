"""What is asked when the shop sets its own starting odds, or takes those that were counted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.odds_page import Row
from jobs.suspects.counted import LEAST, MOST
from shop.forms.fields import RecordingForm, Whole, Words

BEFORE = "weight_"
"""Before a suspect's code: the name of its field."""

NEEDS_REASON = {"required": _("Say why: whoever reads the odds later must be able to judge them.")}


class OddsForm(RecordingForm):
    """A box for each suspect, empty where the table's number counts; and why."""

    why = Words(label=_("Why"), rows=2, error_messages=NEEDS_REASON)

    def __init__(self, rows: Sequence[Row], *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        for row in rows:
            self.fields[BEFORE + row.code] = Whole(
                low=LEAST, high=MOST, label=row.label, initial=row.own
            )
        self.rows = rows

    def clean(self) -> dict[str, Any]:
        """Where all goes back to the table, what stands in the boxes is of no account."""
        data = super().clean() or {}
        if self.all_back:
            for row in self.rows:
                self.errors.pop(BEFORE + row.code, None)
        return data

    @property
    def all_back(self) -> bool:
        """Whether all numbers are given back to the table."""
        return "back" in self.data

    @property
    def lines(self) -> list[tuple[Row, forms.BoundField]]:
        """Each suspect with its box."""
        return [(row, self[BEFORE + row.code]) for row in self.rows]

    @property
    def starts(self) -> dict[str, int | None]:
        """Suspect -> what was typed, None where the table's number is to count."""
        if self.all_back:
            return {row.code: None for row in self.rows}
        return {row.code: self.cleaned_data[BEFORE + row.code] for row in self.rows}


class CountedForm(RecordingForm):
    """Takes the counted numbers that were shown."""

    shown = forms.CharField(widget=forms.HiddenInput, required=False)
    why = Words(label=_("Why"), rows=3, error_messages=NEEDS_REASON)
