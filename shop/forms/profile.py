"""The form of the shop's own sheet."""

from __future__ import annotations

from decimal import Decimal
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.utils.translation import get_language, gettext_lazy
from django.utils.translation import gettext as _

from shop.forms.fields import Amount, Line, Words
from shop.models import Profile

CURRENCIES = (
    "EUR", "GBP", "USD", "AED", "ARS", "AUD", "BGN", "BRL", "CAD", "CHF", "CLP", "CNY", "CZK",
    "DKK", "HKD", "HUF", "IDR", "ILS", "INR", "ISK", "JPY", "KES", "KRW", "KWD", "MAD", "MXN",
    "MYR", "NGN", "NOK", "NZD", "PHP", "PLN", "RON", "RSD", "SAR", "SEK", "SGD", "THB", "TND",
    "TRY", "TWD", "UAH", "VND", "ZAR",
)  # fmt: skip
NO_COUNTRIES = frozenset({"EU", "EZ", "QO", "UN", "XA", "XB", "ZZ"})
# One chance in so many that a bad reading is called good. 44 is the one-sided share of the normal
# distribution beyond two standard deviations, 741 beyond three.
RISKS = (Decimal("0.05000"), Decimal("0.02275"), Decimal("0.01000"), Decimal("0.00135"))


def risk_in_words(risk: Decimal) -> str:
    """A risk as a chance that can be pictured: 1 chance in 44."""
    return _("1 chance in %(n)d") % {"n": round(1 / risk)}


def _currencies(present: str) -> list[tuple[str, str]]:
    from babel import Locale

    names = Locale.parse(get_language() or "en", sep="-").currencies
    codes = dict.fromkeys([*CURRENCIES, present])
    return [(code, f"{code}, {names.get(code, code)}") for code in codes]


def _countries() -> list[tuple[str, str]]:
    from babel import Locale

    names = Locale.parse(get_language() or "en", sep="-").territories
    codes = [c for c in names if len(c) == 2 and c.isalpha() and c not in NO_COUNTRIES]
    return sorted(((code, names[code]) for code in codes), key=lambda pair: pair[1])


def _zones(present: str) -> list[tuple[str, str]]:
    regions = ("Africa", "America", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific")
    names = {zone for zone in available_timezones() if zone.split("/")[0] in regions}
    shown = sorted(names | {"UTC", present})
    return [(zone, zone.replace("_", " ")) for zone in shown]


def _risks(present: Decimal) -> list[tuple[str, str]]:
    risks = sorted({*RISKS, present}, reverse=True)
    return [(str(risk), risk_in_words(risk)) for risk in risks]


class ProfileForm(forms.Form):
    """Who the shop is, and how it measures, counts and prints."""

    name = Line(label=gettext_lazy("Name of the shop"))
    address = Words(label=gettext_lazy("Address"), required=False, limit=500)
    phone = Line(label=gettext_lazy("Telephone"), required=False, limit=40)
    mail = forms.EmailField(label=gettext_lazy("E-mail"), required=False, max_length=254)
    website = Line(label=gettext_lazy("Web address"), required=False, limit=200)
    registration = Line(
        label=gettext_lazy("Registration or tax number"),
        required=False,
        limit=80,
        help_text=gettext_lazy("Printed on reports where local rules ask for it."),
    )
    region = forms.ChoiceField(
        label=gettext_lazy("Country"),
        help_text=gettext_lazy("Decides how telephone numbers are read."),
    )
    time_zone = forms.ChoiceField(label=gettext_lazy("Time zone"))
    units = forms.ChoiceField(
        label=gettext_lazy("Units"), choices=Profile.Units.choices, widget=forms.RadioSelect
    )
    paper = forms.ChoiceField(
        label=gettext_lazy("Paper"), choices=Profile.Paper.choices, widget=forms.RadioSelect
    )
    risk_a = forms.ChoiceField(
        label=gettext_lazy("How often may a bad reading be called good?"),
        help_text=gettext_lazy(
            "A reading closer to its limit than this allows is called “cannot tell”. The smaller "
            "the chance, the more often the meter is too coarse to decide."
        ),
    )
    currency = forms.ChoiceField(
        label=gettext_lazy("Currency"),
        help_text=gettext_lazy("For new tickets. Sums written down before keep theirs."),
    )
    labour_rate_minor = Amount(
        label=gettext_lazy("Labour, per hour"), help_text=gettext_lazy("In the currency above.")
    )

    WHO = ("name", "address", "phone", "mail", "website", "registration")
    HOW = ("region", "time_zone", "units", "paper", "risk_a")
    MONEY = ("currency", "labour_rate_minor")

    def __init__(self, *args: Any, profile: Profile, **options: Any) -> None:
        names = (*self.WHO, *self.HOW, *self.MONEY)
        initial = {name: getattr(profile, name) for name in names} | {"risk_a": str(profile.risk_a)}
        super().__init__(*args, initial=initial, **options)
        self.fields["region"].choices = _countries()
        self.fields["time_zone"].choices = _zones(profile.time_zone)
        self.fields["currency"].choices = _currencies(profile.currency)
        self.fields["risk_a"].choices = _risks(profile.risk_a)
        chosen = str(self.data.get("currency", profile.currency))
        known = {code for code, _words in self.fields["currency"].choices}
        # The rate is read in the currency that is being chosen, since it stands beside it.
        self.fields["labour_rate_minor"].currency = chosen if chosen in known else profile.currency

    def clean_risk_a(self) -> Decimal:
        """The chosen risk as the number that it is."""
        return Decimal(self.cleaned_data["risk_a"])

    def who(self) -> list[forms.BoundField]:
        """What is printed at the head of a report."""
        return [self[name] for name in self.WHO]

    def how(self) -> list[forms.BoundField]:
        """How the shop measures and prints."""
        return [self[name] for name in self.HOW]

    def money(self) -> list[forms.BoundField]:
        """What the owner alone decides on money."""
        return [self[name] for name in self.MONEY]
