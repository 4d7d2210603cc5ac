"""How lists of tickets, cars and customers are narrowed down."""

from __future__ import annotations

import django_filters
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from jobs import words
from jobs.models import Ticket
from shop.models import Car, Customer


class _Words(django_filters.CharFilter):
    """The one search box: literal, never a pattern, at most 100 characters."""

    def __init__(self) -> None:
        super().__init__(
            label=_("Search"),
            method="search",
            max_length=100,
            widget=forms.TextInput(attrs={"type": "search"}),
        )


class _NarrowingForm(forms.Form):
    """A list's form: the search box, and what narrows the list down further."""

    @property
    def narrowed(self) -> bool:
        """Whether anything but the search box is filled in."""
        return any(name != "words" for name in self.changed_data)


class _Searched(django_filters.FilterSet):
    """A list with a search box that asks the queryset's `matching`."""

    words = _Words()

    def get_form_class(self) -> type[forms.Form]:
        """The filters' fields on our form."""
        return type("ListForm", (_NarrowingForm,), super().get_form_class().base_fields)

    def search(self, queryset: QuerySet, _name: str, value: str) -> QuerySet:
        """Rows that match what was typed."""
        return queryset.matching(value)


class TicketFilter(_Searched):
    """Tickets by words, state, and day."""

    state = django_filters.ChoiceFilter(
        label=_("State"), choices=lambda: list(words.TICKET_STATE.choices()), empty_label=_("any")
    )
    since = django_filters.DateFilter(
        label=_("Opened since"),
        field_name="opened_at",
        lookup_expr="date__gte",
        widget=forms.DateInput(attrs={"type": "date"}),
    )

    class Meta:
        model = Ticket
        fields: list[str] = []


class CarFilter(_Searched):
    """Cars by words and fuel."""

    fuel = django_filters.ChoiceFilter(
        label=_("Fuel"), choices=lambda: list(words.FUEL.choices()), empty_label=_("any")
    )

    class Meta:
        model = Car
        fields: list[str] = []


class CustomerFilter(_Searched):
    """Customers by name or telephone number."""

    class Meta:
        model = Customer
        fields: list[str] = []
