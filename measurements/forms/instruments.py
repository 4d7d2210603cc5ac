"""What is asked of an instrument: its name and kind; the rest only where it is known."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from measurements.core import units
from measurements.core.instruments import KINDS, default_instrument
from measurements.core.typed import TypedError, parse
from measurements.core.uncertainty import AccuracyError, parse_accuracy
from measurements.models import Instrument
from shop.forms.dates import Day
from shop.forms.fields import Line

LONGEST_DUE = timedelta(days=10 * 365)
"""Intervals are a year or a few (judgement)."""


class InstrumentForm(forms.Form):
    """Name, kind, accuracy; range and smallest step; serial number, due date, the usual one."""

    kind = forms.ChoiceField(
        label=_("Kind"), choices=[(code, capfirst(label)) for code, (label, _q) in KINDS.items()]
    )
    name = Line(label=_("Name"), limit=60, help_text=_("As you call it: bench meter, M2."))
    accuracy = Line(
        label=_("Accuracy"),
        required=False,
        limit=80,
        help_text=_(
            "As its data sheet prints it: ±(0.5 % + 3 counts), ±1 °C, ±1.6 % of range. Empty: "
            "the typical figures of its kind are taken, and every test says so."
        ),
    )
    is_usual = forms.BooleanField(
        label=_("My usual one"),
        required=False,
        help_text=_("Stands in the form of every test; of each kind there is one."),
    )
    high = Line(
        label=_("Range up to"),
        required=False,
        limit=30,
        help_text=_("With its unit, as in 60 V. Empty: the usual ranges of its kind."),
    )
    digit = Line(
        label=_("Smallest step shown"),
        required=False,
        limit=30,
        help_text=_("In that range, as in 0.01 V."),
    )
    serial = Line(label=_("Serial number"), required=False, limit=60)
    calibration_due = Day(
        label=_("Calibration due"),
        ahead=LONGEST_DUE,
        help_text=_("Only if it has one. Nobody asks it of a hobby gauge."),
    )

    @classmethod
    def of(cls, instrument: Instrument, data: Any = None) -> InstrumentForm:
        """The form of an instrument that is kept already."""
        unit = units.QUANTITIES[instrument.quantity].unit
        initial = {
            name: getattr(instrument, name)
            for name in ("kind", "name", "serial", "is_usual", "calibration_due")
        }
        initial["accuracy"] = "" if instrument.is_typical else instrument.accuracy
        for name in ("high", "digit"):
            value = getattr(instrument, name)
            initial[name] = "" if value is None else f"{value:g} {unit}"
        return cls(data, initial=initial)

    def at_once(self) -> list[forms.BoundField]:
        """What is asked first."""
        return [self[name] for name in ("kind", "name", "accuracy", "is_usual")]

    def where_known(self) -> list[forms.BoundField]:
        """What may stay empty for ever."""
        return [self[name] for name in ("high", "digit", "serial", "calibration_due")]

    def clean(self) -> dict[str, Any]:
        """Numbers in the stored unit; the accuracy of its kind where none is entered."""
        data = super().clean()
        kind = data.get("kind")
        if kind not in KINDS:
            return data
        quantity = KINDS[kind][1]
        for name in ("high", "digit"):
            data[name] = self._number(name, data.get(name, ""), quantity)
        if bool(data["high"]) != bool(data["digit"]) and not self.errors:
            lacking = "digit" if data["high"] else "high"
            self.add_error(lacking, _("Range and smallest step belong together: enter both."))
        typical = default_instrument(kind)
        data["is_typical"] = not data.get("accuracy")
        if data["is_typical"]:
            data["accuracy"] = typical.accuracy if typical else ""
        else:
            try:
                parse_accuracy(data["accuracy"], quantity)
            except AccuracyError as fault:
                self.add_error("accuracy", str(fault))
        return data

    def _number(self, name: str, text: str, quantity: str) -> float | None:
        if not text:
            return None
        try:
            value = parse(text, quantity).value
        except TypedError as fault:
            self.add_error(name, ValidationError(str(fault)))
            return None
        if value is None or value <= 0:
            self.add_error(name, ValidationError(_("A number above nought is needed here.")))
            return None
        return value

    def facts(self) -> dict[str, Any]:
        """What the action takes."""
        return {
            name: self.cleaned_data[name]
            for name in (
                "kind",
                "name",
                "accuracy",
                "is_usual",
                "high",
                "digit",
                "serial",
                "calibration_due",
                "is_typical",
            )
        }


class CheckForm(forms.Form):
    """An instrument was held against something known."""

    checked_on = Day(label=_("Day"), ahead=timedelta(0), required=True)
    good = forms.ChoiceField(
        label=_("What it showed"),
        choices=[("yes", _("it agreed, within its accuracy")), ("no", _("it was wrong"))],
        widget=forms.RadioSelect,
    )
    how = Line(
        label=_("Against what, and what it read"),
        limit=200,
        help_text=_("For instance: a fresh reference of 9.00 V, it read 9.01 V."),
        error_messages={"required": _("Say against what: without it the check proves nothing.")},
    )

    def facts(self) -> dict[str, Any]:
        """What the action takes."""
        return self.cleaned_data | {"good": self.cleaned_data["good"] == "yes"}
