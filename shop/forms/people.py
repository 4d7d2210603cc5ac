"""Forms for signing in, for passwords, and for the people of the shop."""

from __future__ import annotations

import unicodedata
from abc import abstractmethod
from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from shop.forms.fields import Line
from shop.models import Person
from shop.text import is_invisible
from shop.words import ROLE

LONGEST_PASSWORD = 1_000
PASSWORD_RULES = _(
    "12 characters or more: a few words in a row are good. Not the name, and none that many use."
)


class SignInName(Line):
    """A sign-in name; however a keyboard composes its letters, it is the same name."""

    def __init__(self, **options: Any) -> None:
        attrs = {"autocapitalize": "none", "autocorrect": "off", "spellcheck": "false"}
        options.setdefault("widget", forms.TextInput(attrs=attrs))
        super().__init__(limit=60, label=_("Sign-in name"), **options)

    def to_python(self, value: Any) -> str:
        """The name with composed letters."""
        return unicodedata.normalize("NFKC", super().to_python(value))


class Password(forms.CharField):
    """A password, taken as it is typed, blanks and all; never shown again."""

    def __init__(self, *, autocomplete: str, **options: Any) -> None:
        widget = forms.PasswordInput(attrs={"autocomplete": autocomplete})
        super().__init__(widget=widget, strip=False, max_length=LONGEST_PASSWORD, **options)


class SignInForm(forms.Form):
    """Name and password. Says of a wrong pair only that it is one."""

    username = SignInName()
    password = Password(label=_("Password"), autocomplete="current-password")

    def refuse(self) -> None:
        """The same words for a wrong name, a wrong password, and somebody who has left."""
        self.add_error(
            None, _("Name and password don't belong together. Type both once more, slowly.")
        )


class _NewPassword(forms.Form):
    """A new password, typed twice, since it can't be read while it is typed."""

    password = Password(
        label=_("New password"), autocomplete="new-password", help_text=PASSWORD_RULES
    )
    again = Password(label=_("The new password again"), autocomplete="new-password")

    @abstractmethod
    def person(self) -> Person:
        """Whose password it is to be: theirs may not be like their name."""

    def clean(self) -> dict[str, Any]:
        """Both alike, and by the rules."""
        typed = self.cleaned_data
        password, again = typed.get("password", ""), typed.get("again", "")
        if password != again and "again" not in self.errors:
            self.add_error("again", _("The two passwords differ. Type both again."))
        elif password:
            try:
                validate_password(password, self.person())
            except ValidationError as fault:
                self.add_error("password", fault)
        return typed


class OwnPasswordForm(_NewPassword):
    """One's own password: the present one is asked too."""

    present = Password(label=_("Present password"), autocomplete="current-password")
    field_order = ("present", "password", "again")

    def __init__(self, *args: Any, who: Person, **options: Any) -> None:
        super().__init__(*args, **options)
        self.who = who

    def person(self) -> Person:
        """The one who is signed in."""
        return self.who

    def clean_present(self) -> str:
        """The present password must be right."""
        typed = self.cleaned_data["present"]
        if not self.who.check_password(typed):
            raise ValidationError(_("That is not the present password."))
        return typed


class PersonForm(_NewPassword):
    """Somebody new: how they sign in, how they are printed, and what they may do."""

    username = SignInName(help_text=_("Can't be changed later: the record names people by it."))
    name = Line(label=_("Name as printed on reports"))
    role = forms.ChoiceField(label=_("Role"), choices=ROLE.choices, widget=forms.RadioSelect)
    field_order = ("username", "name", "role", "password", "again")

    def person(self) -> Person:
        """The person as typed so far."""
        typed = self.cleaned_data
        return Person(username=typed.get("username", ""), name=typed.get("name", ""))

    def clean_username(self) -> str:
        """A name that nobody has, written in another case neither."""
        typed = self.cleaned_data["username"]
        if any(is_invisible(c) for c in typed):
            raise ValidationError(_("The name holds a character that can't be seen. Type it anew."))
        if Person.objects.filter(username__iexact=typed).exists():
            raise ValidationError(_("Somebody here has that sign-in name. Choose another one."))
        return typed


class ChangePersonForm(_NewPassword):
    """Name, role, whether they may still sign in, and a new password where they forgot theirs."""

    name = Line(label=_("Name as printed on reports"))
    role = forms.ChoiceField(label=_("Role"), choices=ROLE.choices, widget=forms.RadioSelect)
    is_active = forms.BooleanField(
        label=_("May sign in"),
        required=False,
        help_text=_("Take the tick away when somebody leaves. Their entries keep their name."),
    )
    field_order = ("name", "role", "is_active", "password", "again")

    def __init__(self, *args: Any, who: Person, alone: bool, **options: Any) -> None:
        super().__init__(*args, **options)
        self.who = who
        for field in ("password", "again"):
            self.fields[field].required = False
        if alone:  # one owner and nobody else: nothing to choose
            del self.fields["role"], self.fields["is_active"]

    def person(self) -> Person:
        """The one who is changed."""
        return self.who
