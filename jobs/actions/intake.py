"""A car comes in: customer, car, ticket, complaint and people, written in one go or not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.actions import tickets
from jobs.actions.visitors import customer_of
from jobs.known import is_somebody_else, known_caller
from jobs.models import Entry, Ticket
from jobs.record.append import EntryRefused, already, append
from shop.actions import cars, customers
from shop.models import Car, Customer, Person

SAME_OWNER, NEW_OWNER, ONLY_BRINGS = "same_owner", "new_owner", "only_brings"


class OwnerDiffers(EntryRefused):
    """A known car with somebody else than its owner: has it been sold, or only brought?"""

    def __init__(self, car: Car, owner: Customer) -> None:
        super().__init__(
            _(
                "%(car)s belongs to %(owner)s so far. Say whether it has a new owner, is only "
                "brought by somebody else, or this is still the same owner."
            )
            % {"car": car, "owner": owner.shown_name}
        )


@transaction.atomic
def take_in(
    *,
    by: Person,
    plate: str = "",
    car: Car | None = None,
    phones: Sequence[str] = (),
    name: str = "",
    firm: str = "",
    whose: str = "",
    complaint: str = "",
    family: str = "",
    conditions: Mapping[str, Any] | None = None,
    red_flags: Sequence[str] = (),
    wish: str = "",
    state: str = "in_the_bay",
    comeback_of: Ticket | None = None,
    facts: Mapping[str, Any] | None = None,
    at: datetime | None = None,
    device_at: datetime | None = None,
    client_key: str | None = None,
) -> Ticket:
    """Open a ticket from whatever is known at the door; the rest may follow.

    A known plate means the known car, a known number the known customer. `whose` says, where
    the caller seems not to be the car's owner, that they own it now, only bring it, or are the
    owner after all, with another number. `facts` are those of `ticket_changed`. Sent twice with
    one `client_key` it gives the first ticket.
    """
    if earlier := already(client_key):
        return earlier.ticket
    car = car or cars.by_plate(plate)
    customer, bringer, car = _who(car, plate, phones, name, firm, whose, by)
    facts = dict(facts or {})
    if bringer:
        facts["people"] = [{"part": "bringer", "customer": str(bringer.uid)}]
    ticket = tickets.open_ticket(
        car=car,
        customer=customer,
        by=by,
        state=state,
        comeback_of=comeback_of,
        facts=facts,
        at=at,
        device_at=device_at,
        client_key=client_key,
    )
    if complaint or family or red_flags:
        tickets.add_complaint(
            ticket=ticket,
            words=complaint,
            by=by,
            family=family,
            conditions=dict(conditions or {}),
            red_flags=red_flags,
            at=at,
            device_at=device_at,
        )
    if wish:
        tickets.add_wish(ticket=ticket, words=wish, by=by, at=at, device_at=device_at)
    return ticket


def _who(
    car: Car | None,
    plate: str,
    phones: Sequence[str],
    name: str,
    firm: str,
    whose: str,
    by: Person,
) -> tuple[Customer, Customer | None, Car]:
    """The ticket's customer, somebody else who only brings the car, and the car."""
    owner = car.owner if car else None
    caller = known_caller(phones)
    if is_somebody_else(owner, caller=caller, phones=phones, name=name):
        if whose not in {SAME_OWNER, NEW_OWNER, ONLY_BRINGS}:
            raise OwnerDiffers(car, owner)
        if whose == SAME_OWNER:
            return customer_of(by=by, phones=() if caller else phones, known=owner), None, car
        other = customer_of(by=by, phones=phones, name=name, firm=firm, known=caller)
        if whose == ONLY_BRINGS:
            return owner, other, car
        cars.pass_on(car=car, to=other, by=by)
        return other, None, car
    customer = customer_of(by=by, phones=phones, name=name, firm=firm, known=owner or caller)
    if car is None:
        car = cars.add(by=by, owner=customer, plate=plate)
    elif owner is None:
        cars.pass_on(car=car, to=customer, by=by)
    return customer, None, car


class NothingChanged(EntryRefused):
    """A check-in that says what is known already."""

    def __init__(self) -> None:
        super().__init__(_("Nothing has been changed, so nothing was saved."))


@transaction.atomic
def check_in(
    *,
    ticket: Ticket,
    by: Person,
    facts: Mapping[str, Any] | None = None,
    car_facts: Mapping[str, Any] | None = None,
    customer_facts: Mapping[str, Any] | None = None,
    **how: Any,
) -> Entry:
    """Add or change facts of the visit, and with them what is known of car and customer.

    The record names the car's facts as read; of the customer's only which were changed, since
    their data must stay erasable in one place.
    """
    if earlier := already(how.get("client_key")):
        return earlier
    data: dict[str, Any] = dict(facts or {})
    if car_facts:
        cars.change(car=ticket.car, by=by, **car_facts)
        data["car_facts"] = dict(car_facts)
    if customer_facts:
        given = dict(customer_facts)
        phones = given.pop("phones", None)
        customers.change(customer=ticket.customer, by=by, phones=phones, **given)
        data["customer_facts"] = sorted(customer_facts)
    if not data:
        raise NothingChanged
    return append(ticket=ticket, kind="ticket_changed", data=data, by=by, **how)
