"""Customers are taken in and changed here, and nowhere else."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from shop.models import Customer, Person, Phone, Profile
from shop.phones import Noted, read_phone
from shop.text import search_key

FACTS = ("name", "firm", "mail", "address", "reach_by", "language", "notes")


@transaction.atomic
def add(*, by: Person, phones: Sequence[str | Noted] = (), **facts: str) -> Customer:
    """Take in a customer; any of name, firm and telephone number is enough to begin with."""
    customer = Customer(**{name: facts.get(name, "") for name in FACTS})
    _save(customer, phones)
    return customer


@transaction.atomic
def change(
    *, customer: Customer, by: Person, phones: Sequence[str | Noted] | None = None, **facts: str
) -> Customer:
    """Change what is known of a customer. Issued reports keep what they printed.

    phones: all of them; a number given without its note keeps the one that it had.
    """
    for name in FACTS:
        if name in facts:
            setattr(customer, name, facts[name])
    _save(customer, phones)
    return customer


def _save(customer: Customer, phones: Sequence[str | Noted] | None) -> None:
    customer.name_key = search_key(f"{customer.name} {customer.firm}", limit=120)
    customer.save()
    if phones is None:
        return
    notes = {phone.digits or phone.typed: phone.note for phone in customer.phones.all()}
    customer.phones.all().delete()
    region = Profile.current().region
    given = [one if isinstance(one, Noted) else (one, None) for one in phones]
    for position, (typed, note) in enumerate(one for one in given if one[0].strip()):
        phone = read_phone(typed.strip(), region)
        Phone.objects.create(
            customer=customer,
            typed=phone.typed,
            e164=phone.e164 or "",
            digits=phone.digits,
            shown=phone.shown,
            note=notes.get(phone.digits or phone.typed, "") if note is None else note.strip(),
            position=position,
        )


def by_phone(typed: str) -> Customer | None:
    """The customer known by this very number, if there is one."""
    phone = read_phone(typed, Profile.current().region)
    found = (
        Phone.objects.filter(e164=phone.e164)
        if phone.e164
        else Phone.objects.filter(typed=typed.strip())
    )
    match = found.select_related("customer").order_by("-customer__since").first()
    return match.customer if match else None
