"""Form fields for what is read off a car or a calendar: plate, VIN, year, a moment of the day."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.forms.fields import Line
from shop.plates import PlateError, read_plate
from shop.vin import LONGEST_KEPT, check, market_of, normalise

FIRST_CAR = 1885  # the first motor car with a combustion engine was built that year


class Plate(forms.CharField):
    """A number plate: letters, digits, blanks and hyphens."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault(
            "widget", forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off"})
        )
        super().__init__(**options)

    def to_python(self, value: Any) -> str:
        """The plate as it is stored, or which sign stands on no plate."""
        try:
            return read_plate(value or "")
        except PlateError as error:
            raise ValidationError(str(error)) from error


class Vin(Line):
    """A VIN. What can't be one is refused with what to look at; a doubtful one is kept."""

    def __init__(self, *, region: str = "", **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault(
            "widget", forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off"})
        )
        super().__init__(limit=LONGEST_KEPT * 2, **options)
        self.region = region

    def clean(self, value: Any) -> str:
        """The number in upper case without blanks."""
        typed = super().clean(value)
        if not typed:
            return ""
        found = check(typed, market_of(self.region))
        if found.refused:
            raise ValidationError(" ".join(found.advice))
        return normalise(typed)


class Year(forms.CharField):
    """A model year in four figures, or None where empty."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault("widget", forms.TextInput(attrs={"inputmode": "numeric"}))
        super().__init__(**options)

    def clean(self, value: Any) -> int | None:
        """The year, if a car can be of it."""
        typed = super().clean(value).strip()
        if not typed:
            return None
        latest = timezone.localdate().year + 2
        if not re.fullmatch(r"[0-9]{4}", typed) or not FIRST_CAR <= int(typed) <= latest:
            raise ValidationError(
                _("“%(typed)s” is no model year. Type four figures, %(first)s to %(last)s."),
                params={"typed": typed[:20], "first": FIRST_CAR, "last": latest},
            )
        return int(typed)


_MOMENT = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})[T ]([0-9]{2}):([0-9]{2})(?::00)?")
LONGEST_PROMISE = timedelta(days=365)


class Moment(forms.CharField):
    """Date and time by the shop's clock, in the one form YYYY-MM-DD HH:MM; None where empty.

    An hour that the change to summer time leaves out is refused; of one that comes twice in
    autumn the first is meant, and its offset is stored with it.
    """

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault("widget", forms.DateTimeInput(attrs={"type": "datetime-local"}))
        super().__init__(**options)

    def to_python(self, value: Any) -> datetime | None:
        """The moment, aware, or what about it is wrong."""
        if isinstance(value, datetime):
            return value
        typed = (value or "").strip()
        if not typed:
            return None
        found = _MOMENT.fullmatch(typed)
        if not found:
            raise ValidationError(
                _(
                    "“%(typed)s” is no date and time. The form is YYYY-MM-DD HH:MM, as in "
                    "2026-03-31 16:00."
                ),
                params={"typed": typed[:40]},
            )
        try:
            naive = datetime(*(int(part) for part in found.groups()))
        except ValueError:
            raise ValidationError(
                _("“%(typed)s” is not on the calendar or the clock. The form is YYYY-MM-DD HH:MM."),
                params={"typed": typed},
            ) from None
        zone = timezone.get_current_timezone()
        moment = naive.replace(tzinfo=zone)
        if not _exists(moment):
            raise ValidationError(
                _("%(typed)s does not exist: the clocks go forward in that hour. Choose another."),
                params={"typed": typed},
            )
        return moment

    def prepare_value(self, value: Any) -> Any:
        """A moment as a browser's control takes it."""
        if isinstance(value, datetime):
            return timezone.localtime(value).strftime("%Y-%m-%dT%H:%M")
        return value


def _exists(moment: datetime) -> bool:
    """Whether the clocks of its zone ever show a moment."""
    try:
        back = moment.astimezone(UTC).astimezone(moment.tzinfo)
    except OverflowError:  # the first and the last day that a computer's calendar knows
        return True
    return back.replace(tzinfo=None) == moment.replace(tzinfo=None)


class Promise(Moment):
    """When a car is promised: not before today, not more than a year ahead."""

    def clean(self, value: Any) -> datetime | None:
        """The promised moment."""
        moment = super().clean(value)
        if moment is None:
            return None
        today = timezone.localdate()
        if moment.date() < today:
            raise ValidationError(
                _("%(day)s is past. A promise begins today, %(today)s, at the earliest."),
                params={"day": moment.date().isoformat(), "today": today.isoformat()},
            )
        if moment.date() > today + LONGEST_PROMISE:
            raise ValidationError(
                _("%(day)s is more than a year ahead. Look at the year again."),
                params={"day": moment.date().isoformat()},
            )
        return moment
