"""A day as people type it."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

FIRST_DAY = date(2000, 1, 1)
"""Before it nothing is due that this program knows of."""


class Day(forms.CharField):
    """A day in the one form YYYY-MM-DD, not before `first` nor more than `ahead` after today.

    Empty gives None. Nothing is guessed: which of 02/03/2026 is the month nobody can see.
    """

    def __init__(self, *, ahead: timedelta, first: date = FIRST_DAY, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault("widget", forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
        super().__init__(**options)
        self.ahead, self.first = ahead, first

    def clean(self, value: Any) -> date | None:
        """The day, or what about it is wrong."""
        typed = super().clean(value).strip()
        if not typed:
            return None
        day = self._read(typed)
        today = timezone.localdate()
        if day < self.first:
            raise ValidationError(
                _("%(day)s is too long ago: the first day possible is %(first)s."),
                params={"day": typed, "first": self.first.isoformat()},
            )
        if day > today + self.ahead:
            if not self.ahead:
                raise ValidationError(_("%(day)s is still to come."), params={"day": typed})
            raise ValidationError(
                _("%(day)s is too far ahead: the last day possible is %(last)s."),
                params={"day": typed, "last": (today + self.ahead).isoformat()},
            )
        return day

    @staticmethod
    def _read(typed: str) -> date:
        try:
            if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", typed):
                return date.fromisoformat(typed)
        except ValueError:
            pass
        raise ValidationError(
            _("“%(typed)s” is not a calendar date. The form is YYYY-MM-DD, as in 2026-03-31."),
            params={"typed": typed[:40]},
        )
