"""Form fields for what people type: lines, texts, money, closed choices, the double-send key."""

from __future__ import annotations

import re
import uuid
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpRequest, QueryDict
from django.utils.translation import gettext_lazy as _

from shop.clock import claimed_moment
from shop.money import Money, MoneyError, parse_amount
from shop.text import LONGEST_LINE, LONGEST_TEXT, TextError, clean_line, clean_text


def sent(request: HttpRequest) -> QueryDict | None:
    """What a form was sent; None while its page is only looked at."""
    return request.POST if request.method == "POST" else None


class Line(forms.CharField):
    """One line of text."""

    def __init__(self, *, limit: int = LONGEST_LINE, **options: Any) -> None:
        super().__init__(**options)
        self.limit = limit

    def to_python(self, value: Any) -> str:
        """The line without control characters, or why it can't be kept."""
        try:
            return clean_line(value or "", self.limit)
        except TextError as error:
            raise ValidationError(str(error)) from error


class Words(forms.CharField):
    """Several lines of text."""

    widget = forms.Textarea

    def __init__(self, *, limit: int = LONGEST_TEXT, rows: int = 3, **options: Any) -> None:
        options.setdefault("widget", forms.Textarea(attrs={"rows": rows}))
        super().__init__(**options)
        self.limit = limit

    def to_python(self, value: Any) -> str:
        """The text, or why it can't be kept; blanks alone are none."""
        try:
            text = clean_text(value or "", self.limit)
        except TextError as error:
            raise ValidationError(str(error)) from error
        return text if text.strip() else ""


class Amount(forms.CharField):
    """A sum of money in the form's currency; cleaned to whole minor units, None where empty."""

    def __init__(self, *, currency: str = "EUR", **options: Any) -> None:
        options.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal"}))
        options.setdefault("required", False)
        super().__init__(**options)
        self.currency = currency

    def clean(self, value: Any) -> int | None:
        """Minor units, or what about the amount is not clear."""
        typed = super().clean(value).strip()
        if not typed:
            return None
        try:
            return parse_amount(typed, self.currency).minor
        except MoneyError as error:
            raise ValidationError(str(error)) from error

    def prepare_value(self, value: Any) -> Any:
        """Minor units as they are typed."""
        return Money(value, self.currency).typed() if isinstance(value, int) else value


class Whole(forms.CharField):
    """A whole number in Latin digits, between two bounds; None where empty."""

    def __init__(self, *, low: int, high: int, **options: Any) -> None:
        options.setdefault("widget", forms.TextInput(attrs={"inputmode": "numeric"}))
        options.setdefault("required", False)
        super().__init__(**options)
        self.low, self.high = low, high

    def clean(self, value: Any) -> int | None:
        """The number, or what about it can't be."""
        typed = super().clean(value).strip()
        if not typed:
            return None
        if re.fullmatch(r"[0-9]{1,9}", typed) and self.low <= int(typed) <= self.high:
            return int(typed)
        raise ValidationError(
            _("%(typed)s is not a whole number from %(low)s to %(high)s."),
            params={"typed": typed[:20], "low": self.low, "high": self.high},
        )


class Closed(forms.ChoiceField):
    """One code of a table of words, as chips or as a select; "" where nothing is chosen."""

    def __init__(
        self, table: Any, *, chips: bool = True, empty: Any = None, **options: Any
    ) -> None:
        choices = list(table.choices())
        if empty is not None:
            choices.insert(0, ("", empty))
        options.setdefault("required", False)
        options.setdefault("widget", forms.RadioSelect if chips else forms.Select)
        super().__init__(choices=choices, **options)


class ClosedSeveral(forms.MultipleChoiceField):
    """Several codes of a table of words."""

    def __init__(self, table: Any, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault("widget", forms.CheckboxSelectMultiple)
        super().__init__(choices=list(table.choices()), **options)


_GROUPED = re.compile(r"[0-9]{1,3}([.,][0-9]{3})+")
LARGEST_ODOMETER = 5_000_000


class Odometer(forms.CharField):
    """A whole distance. A separator before three figures is refused: thousands, or a decimal?"""

    def __init__(self, **options: Any) -> None:
        options.setdefault("widget", forms.TextInput(attrs={"inputmode": "numeric"}))
        options.setdefault("required", False)
        super().__init__(**options)

    def clean(self, value: Any) -> int | None:
        """The distance, or None where empty."""
        typed = super().clean(value).strip()
        if not typed:
            return None
        if re.fullmatch(r"[0-9]+|[0-9]{1,3}([ \u00a0\u202f][0-9]{3})+", typed):
            figures = re.sub(r"[^0-9]", "", typed)
            if len(figures) > 9 or int(figures) > LARGEST_ODOMETER:
                raise ValidationError(
                    _("%(typed)s is more than any odometer shows (limit 5 million)."),
                    params={"typed": typed[:20]},
                )
            return int(figures)
        if _GROUPED.fullmatch(typed):
            whole, part = re.split(r"[.,]", typed)[0], re.sub(r"\D", "", typed)
            raise ValidationError(
                _("%(typed)s can be read as %(long)s or as %(short)s. Type it without separator."),
                params={"typed": typed, "long": part, "short": whole},
            )
        raise ValidationError(
            _("%(typed)s is not a whole number. Type the figures only, as in 148230."),
            params={"typed": typed},
        )


class _OfThisSending(forms.HiddenInput):
    """A hidden field that is filled in anew with each sending, and so is shown empty."""

    def format_value(self, value: Any) -> None:
        return None


class DeviceTime(forms.CharField):
    """What the phone's clock shows, filled in by clock.js; None where it says nothing usable."""

    widget = _OfThisSending

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(**options)

    def clean(self, value: Any) -> datetime | None:
        """The claim, or None: a clock that is wrong refuses nothing."""
        return claimed_moment(value) if isinstance(value, str) else None


class RecordingForm(forms.Form):
    """A form that writes to the record: sent twice, it makes one entry."""

    device_at = DeviceTime()
    client_key = forms.RegexField(r"^[0-9a-f]{32}$", widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["client_key"].initial = uuid.uuid4().hex

    def clean_client_key(self) -> str:
        """The key of this sending; a new one where a browser left it out."""
        return self.cleaned_data["client_key"] or uuid.uuid4().hex

    @property
    def sending(self) -> dict[str, Any]:
        """Key and phone's time of this sending, as every action that records takes them."""
        return {name: self.cleaned_data[name] for name in ("client_key", "device_at")}

    def refuse(self, error: Exception) -> None:
        """Show why an action refused; what was typed stays."""
        self.add_error(None, str(error))
