"""Cars are taken in, changed and passed on here, and nowhere else."""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.utils import timezone

from shop.models import Car, Customer, Ownership, Person
from shop.plates import plate_key
from shop.text import search_key
from shop.vin import vin_key

FACTS = (
    "plate",
    "region",
    "vin",
    "make",
    "model",
    "year",
    "body",
    "engine",
    "fuel",
    "gearbox",
    "drive",
    "volts",
    "high_voltage",
    "non_standard",
    "notes",
)


@transaction.atomic
def add(*, by: Person, owner: Customer | None = None, **facts: Any) -> Car:
    """Take in a car; a plate is enough to begin with."""
    car = Car(**{name: facts[name] for name in FACTS if name in facts})
    _save(car)
    if owner:
        pass_on(car=car, to=owner, by=by)
    return car


@transaction.atomic
def change(*, car: Car, by: Person, **facts: Any) -> Car:
    """Change what is known of a car. Recorded tests keep the facts that they were judged by."""
    for name in FACTS:
        if name in facts:
            setattr(car, name, facts[name])
    _save(car)
    return car


@transaction.atomic
def pass_on(*, car: Car, to: Customer, by: Person) -> Ownership:
    """The car has another owner from now on; its history stays with the car."""
    now = timezone.now()
    current = car.ownerships.filter(until=None).first()
    if current and current.customer_id == to.pk:
        return current
    if current:
        now = max(now, current.since)  # where the server's clock was put back since
        current.until = now
        current.save(update_fields=["until"])
    return Ownership.objects.create(car=car, customer=to, since=now)


def _save(car: Car) -> None:
    car.plate_key = plate_key(car.plate)[:20]
    car.vin_key = vin_key(car.vin)
    car.description_key = search_key(f"{car.make} {car.model} {car.year or ''}", limit=160)
    car.save()


def by_plate(plate: str) -> Car | None:
    """The car known by this plate, however it was spaced; the latest one taken in."""
    key = plate_key(plate)
    return Car.objects.filter(plate_key=key).order_by("-since").first() if key else None
