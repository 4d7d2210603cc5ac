"""From which day to which the owner looks at parts."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.forms.dates import Day

USUAL = timedelta(days=365)
"""Twelve months, where nobody says otherwise."""


def usual_days() -> dict[str, date]:
    """The last twelve months, as the form has them before anybody says otherwise."""
    today = timezone.localdate()
    return {"since": today - USUAL, "until": today}


class PeriodForm(forms.Form):
    """Two days, both of them within; left empty it is the last twelve months."""

    since = Day(label=_("From"), ahead=timedelta())
    until = Day(label=_("To"), ahead=timedelta())

    def clean(self) -> dict[str, Any]:
        """The first day does not come after the last."""
        data = super().clean()
        since, until = data.get("since"), data.get("until")
        if since and until and since > until:
            self.add_error("since", _("This day comes after the last one. Exchange the two."))
        return data

    def period(self) -> tuple[datetime, datetime]:
        """From the first moment of the one day to the first one after the other; of what can't be
        read, the usual."""
        given = self.cleaned_data if self.is_bound and self.is_valid() else {}
        until = given.get("until") or timezone.localdate()
        since = given.get("since") or until - USUAL
        zone = timezone.get_current_timezone()
        return (
            datetime.combine(since, time(), zone),
            datetime.combine(until + timedelta(days=1), time(), zone),
        )
