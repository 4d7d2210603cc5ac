"""The people of a visit: who is known already, who is taken in, who has which part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.known import known_caller
from jobs.models import Entry, Ticket
from jobs.record.append import EntryRefused, append
from shop.actions import cars, customers
from shop.models import Customer, Person, Profile
from shop.phones import read_phone


@transaction.atomic
def customer_of(
    *,
    by: Person,
    phones: Sequence[str] = (),
    name: str = "",
    firm: str = "",
    known: Customer | None = None,
) -> Customer:
    """The customer of these numbers, else a new one. What was not known of them yet is added;
    what was known stays as it is."""
    phones = [phone.strip() for phone in phones if phone.strip()]
    customer = known or known_caller(phones)
    if customer is None:
        return customers.add(by=by, phones=phones, name=name, firm=firm)
    facts = {}
    if name and not customer.name:
        facts["name"] = name
    if firm and not customer.firm:
        facts["firm"] = firm
    further = with_further(customer, phones)
    if facts or further is not None:
        customers.change(customer=customer, by=by, phones=further, **facts)
    return customer


def with_further(customer: Customer, phones: Sequence[str]) -> list[str] | None:
    """All numbers of a customer as typed, with those that are new; None where none is new."""
    region = Profile.current().region
    have = list(customer.phones.all())
    digits = {phone.digits for phone in have}
    new = [p for p in phones if p.strip() and read_phone(p, region).digits not in digits]
    return [phone.typed for phone in have] + new if new else None


class NobodyNamed(EntryRefused):
    """A part of the visit with details, but nobody to have it."""

    def __init__(self) -> None:
        super().__init__(_("Give the name or a telephone number of each person with a part."))


@transaction.atomic
def name_people(
    *, ticket: Ticket, by: Person, parts: Mapping[str, Mapping[str, Any] | None], **how: Any
) -> Entry:
    """Say who owns the car, brings it, agrees to work and pays. None for a part: the customer.

    An owner who is named here owns the car from now on; a part's facts are name, phone,
    limit_minor and order_no.
    """
    people = []
    for part, facts in parts.items():
        if not facts:
            continue
        person = _person_of(ticket, facts, by)
        row: dict[str, Any] = {"part": part, "customer": str(person.uid)}
        if facts.get("limit_minor") is not None:
            row["limit_minor"] = facts["limit_minor"]
        if facts.get("order_no"):
            row["order_no"] = facts["order_no"]
        people.append(row)
        if part == "owner":
            cars.pass_on(car=ticket.car, to=person, by=by)
    return append(ticket=ticket, kind="ticket_changed", data={"people": people}, by=by, **how)


def _person_of(ticket: Ticket, facts: Mapping[str, Any], by: Person) -> Customer:
    name, phone = facts.get("name", ""), facts.get("phone", "")
    if not name and not phone:
        if facts.get("limit_minor") is None and not facts.get("order_no"):
            raise NobodyNamed
        return ticket.customer
    known = known_caller([phone])
    if known is None:
        known = next(
            (
                person.customer
                for person in ticket.people.select_related("customer")
                if name and person.customer.name == name
            ),
            None,
        )
    return customer_of(by=by, phones=[phone], name=name, known=known)
