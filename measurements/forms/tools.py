"""Which tools the shop has: all that a test asks for, each a tick."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from measurements.procedures import PROCEDURES
from shop.templatetags.look import options_of


def tools() -> dict[str, list[str]]:
    """Every tool that tests ask for -> the titles of these; the most asked for first."""
    found: dict[str, list[str]] = {}
    for procedure in PROCEDURES.values():
        for tool in procedure.effort.tools:
            found.setdefault(tool, []).append(procedure.title)
    return dict(sorted(found.items(), key=lambda item: (-len(item[1]), item[0].casefold())))


class ToolsForm(forms.Form):
    """Ticked is what the shop has."""

    has = forms.MultipleChoiceField(
        label=_("We have"), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, lacking: Iterable[str] = (), **options: Any) -> None:
        known = tools()
        missing = set(lacking)
        options.setdefault("initial", {"has": [tool for tool in known if tool not in missing]})
        super().__init__(*args, **options)
        self.fields["has"].choices = [(tool, tool) for tool in known]

    @property
    def options(self) -> list[dict[str, Any]]:
        """Each tool with the tests that ask for it, as a list of ticks takes them."""
        used = tools()
        return [
            option | {"label": capfirst(option["label"]), "small": ", ".join(used[option["value"]])}
            for option in options_of(self["has"])
        ]

    @property
    def lacking(self) -> list[str]:
        """The tools that were not ticked."""
        has = set(self.cleaned_data["has"])
        return [tool for tool in tools() if tool not in has]
