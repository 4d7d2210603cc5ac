"""The form of a customer."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from shop.forms.fields import Closed, Line, Words
from shop.models import Customer
from shop.phones import Noted, read_note
from shop.words import CONTACT_WAY

MOST_PHONES = 10
LONGEST_PHONE, LONGEST_NOTE = 40, 60
LANGUAGES = (
    "en", "ar", "bg", "cs", "da", "de", "el", "es", "et", "fi", "fr", "hi", "hr", "hu", "it",
    "lt", "lv", "nb", "nl", "pl", "pt", "ro", "ru", "sk", "sl", "sr", "sv", "tr", "uk", "zh",
)  # fmt: skip


def _languages(present: str) -> list[tuple[str, Any]]:
    from babel import Locale

    names = Locale.parse(get_language() or "en", sep="-").languages
    codes = sorted({*LANGUAGES, present} - {""}, key=lambda code: names.get(code, code))
    return [("", _("not known")), *((code, names.get(code, code)) for code in codes)]


class CustomerForm(forms.Form):
    """Who a customer is and how to reach them; one of name, firm, number is enough."""

    name = Line(label=_("Name"), required=False)
    firm = Line(label=_("Firm"), required=False)
    phones = Words(
        label=_("Telephone numbers"),
        required=False,
        rows=2,
        limit=1_000,
        help_text=_(
            "One on each line; after a comma, whose it is or when: 01632 960123, son, evenings."
        ),
    )
    mail = forms.EmailField(label=_("E-mail"), required=False, max_length=254)
    address = Words(label=_("Address"), required=False, limit=500)
    reach_by = Closed(CONTACT_WAY, label=_("Best reached"), chips=False, empty=_("not known"))
    language = forms.ChoiceField(label=_("Language they read"), required=False)
    notes = Words(
        label=_("Notes"),
        required=False,
        help_text=_("For the workshop. Write nothing that the customer should not read one day."),
    )

    def __init__(self, *args: Any, customer: Customer, **options: Any) -> None:
        names = ("name", "firm", "mail", "address", "reach_by", "language", "notes")
        initial = {name: getattr(customer, name) for name in names}
        initial["phones"] = "\n".join(
            ", ".join(part for part in (phone.typed, phone.note) if part)
            for phone in customer.phones.all()
        )
        super().__init__(*args, initial=initial, **options)
        self.fields["language"].choices = _languages(customer.language)

    def clean_phones(self) -> list[Noted]:
        """The numbers with their notes, line by line."""
        lines = [line.strip() for line in self.cleaned_data["phones"].splitlines() if line.strip()]
        if len(lines) > MOST_PHONES:
            raise ValidationError(
                _("%(n)d numbers; at most %(most)d are kept. Leave out the old ones."),
                params={"n": len(lines), "most": MOST_PHONES},
            )
        phones = [read_note(line) for line in lines]
        for phone in phones:
            if len(phone.typed) > LONGEST_PHONE:
                raise ValidationError(
                    _("“%(line)s …” is too long for a number (%(most)d characters)."),
                    params={"line": phone.typed[:LONGEST_PHONE], "most": LONGEST_PHONE},
                )
            if len(phone.note) > LONGEST_NOTE:
                raise ValidationError(
                    _("The note “%(note)s …” is too long (%(most)d characters)."),
                    params={"note": phone.note[:LONGEST_PHONE], "most": LONGEST_NOTE},
                )
        return phones

    def clean(self) -> dict[str, Any]:
        """Something to call them by."""
        typed = self.cleaned_data
        if not self.errors and not (typed["name"] or typed["firm"] or typed["phones"]):
            self.add_error("name", _("A name, a firm or a telephone number is needed. Type one."))
        return typed
