"""What the shop knows already of a car and a caller, from a plate, a telephone number, a name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from jobs.actions import tickets
from jobs.models import Alteration, Ticket
from jobs.odometer import Shown, in_words
from shop.actions import cars, customers
from shop.models import Car, Customer
from shop.text import search_key

MOST_VISITS = 8


@dataclass(frozen=True)
class Known:
    """A car and its owner, the caller, and whether these two may be different people."""

    car: Car | None = None
    owner: Customer | None = None
    caller: Customer | None = None
    differs: bool = False
    visits: list[Ticket] = field(default_factory=list)
    alterations: list[Alteration] = field(default_factory=list)
    odometer: Shown | None = None
    cars: list[Car] = field(default_factory=list)

    def __bool__(self) -> bool:
        return self.car is not None or self.caller is not None

    @property
    def odometer_words(self) -> str:
        """The highest distance so far, with its unit."""
        return in_words(self.odometer) if self.odometer else ""


def what_is_known(
    *, plate: str = "", phones: Sequence[str] = (), name: str = "", car: Car | None = None
) -> Known:
    """The car of this plate and the customer of this number, with what their coming again needs."""
    car = car or cars.by_plate(plate)
    caller = known_caller(phones)
    theirs = Car.objects.filter(ownerships__customer=caller, ownerships__until=None)
    cars_of_caller = list(theirs.order_by("-since")) if caller else []
    if car is None:
        return Known(caller=caller, cars=cars_of_caller)
    owner = car.owner
    return Known(
        car=car,
        owner=owner,
        caller=caller,
        differs=is_somebody_else(owner, caller=caller, phones=phones, name=name),
        visits=list(
            Ticket.objects.filter(car=car)
            .prefetch_related("complaints", "wishes")
            .order_by("-opened_at")[:MOST_VISITS]
        ),
        alterations=list(
            Alteration.objects.filter(car=car).still_on().select_related("entry", "ticket")
        ),
        odometer=tickets.odometer_before(car),
        cars=cars_of_caller,
    )


def known_caller(phones: Sequence[str]) -> Customer | None:
    """The customer whom one of these numbers belongs to."""
    return next((c for p in phones if p.strip() and (c := customers.by_phone(p))), None)


def is_somebody_else(
    owner: Customer | None, *, caller: Customer | None, phones: Sequence[str], name: str
) -> bool:
    """Whether what was typed of the caller speaks of another person than the car's owner."""
    if owner is None:
        return False
    if caller is not None:
        return caller.pk != owner.pk
    key = search_key(name)
    if key and key in {search_key(owner.name), search_key(owner.firm)}:
        return False
    return bool(key or any(phone.strip() for phone in phones))
