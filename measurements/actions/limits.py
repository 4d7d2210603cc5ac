"""Limits from a maker's data, kept for one car or for its make and model, and offered again."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone

from measurements.core.context import ChosenLimit
from measurements.core.procedure import Source
from measurements.models import Limit
from shop.models import Car, Person


class LimitRefused(ValueError):
    """A limit that can't be kept as it is: says what to add."""


@transaction.atomic
def keep(
    *,
    car: Car,
    procedure: str,
    address_pattern: str,
    low: float | None,
    high: float | None,
    unit: str,
    source: str,
    by: Person,
    edition: str = "",
    whole_model: bool = False,
) -> Limit:
    """Keep a limit. It replaces the one for the same car or model at the same place, which stays.

    low, high: in the stored unit of the quantity; unit: that unit; source: where it is printed.
    """
    if not source.strip():
        raise LimitRefused("Say where the limit stands: book, page, or the maker's system.")
    if low is None and high is None:
        raise LimitRefused("A limit needs at least one number: the least or the most.")
    if low is not None and high is not None and low > high:
        raise LimitRefused("The least is more than the most: change them round.")
    if whole_model and not (car.make and car.model):
        raise LimitRefused("The car's make and model are not entered yet; keep it for this car.")
    scope = (
        {"car": None, "make": car.make, "model": car.model}
        if whole_model
        else {"car": car, "make": "", "model": ""}
    )
    place = {"procedure": procedure, "address_pattern": address_pattern}
    before = Limit.objects.current().filter(**scope, **place).order_by("-at").first()
    return Limit.objects.create(
        **scope,
        **place,
        low=low,
        high=high,
        unit=unit,
        tag="maker",
        source=source.strip(),
        edition=edition.strip(),
        by=by,
        at=timezone.now(),
        replaces=before,
    )


def for_context(car: Car, procedure: str) -> tuple[ChosenLimit, ...]:
    """The kept limits for a test on a car, its own before its model's, as judging takes them."""
    kept = Limit.objects.for_car(car).filter(procedure=procedure)
    return tuple(
        ChosenLimit(
            limit.address_pattern,
            limit.low,
            limit.high,
            Source("maker", limit.source, limit.edition),
        )
        for limit in kept
    )
