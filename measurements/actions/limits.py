"""Limits from a maker's data, kept for a car, its model or one engine of it, and offered again."""

from __future__ import annotations

from typing import Any, Literal

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
    holds_for: Literal["car", "engine", "model"] = "car",
) -> Limit:
    """Keep a limit. It replaces the one of the same scope at the same place, which stays.

    low, high: in the stored unit of the quantity; unit: that unit; source: where it is printed;
    holds_for: this car, every car of its make and model with its engine, or every one of its model.
    """
    if not source.strip():
        raise LimitRefused("Say where the limit stands: book, page, or the maker's system.")
    if low is None and high is None:
        raise LimitRefused("A limit needs at least one number: the least or the most.")
    if low is not None and high is not None and low > high:
        raise LimitRefused("The least is more than the most: change them round.")
    scope = _scope(car, holds_for)
    place = {"procedure": procedure, "address_pattern": address_pattern}
    same = Limit.objects.for_car(car).filter(**place, car=scope["car"], engine=scope["engine"])
    before = same.order_by("-at").first()
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


def _scope(car: Car, holds_for: str) -> dict[str, Any]:
    """The columns that say where a limit holds."""
    if holds_for == "car":
        return {"car": car, "make": "", "model": "", "engine": ""}
    if not (car.make and car.model):
        raise LimitRefused("The car's make and model are not entered yet; keep it for this car.")
    if holds_for == "engine" and not car.engine_kind:
        raise LimitRefused(
            "Fuel, layout, cylinders or displacement of the engine are not entered yet; enter "
            "them with the car, or keep the limit for this car."
        )
    engine = car.engine_kind if holds_for == "engine" else ""
    return {"car": None, "make": car.make, "model": car.model, "engine": engine}


def for_context(car: Car, procedure: str) -> tuple[ChosenLimit, ...]:
    """The kept limits for a test on a car, as judging takes them: the first that matches holds.

    The car's own, then its model's with its engine, then its model's; among equals the one for a
    single place before the one for all places.
    """
    found = Limit.objects.for_car(car).filter(procedure=procedure)
    rank = ("car", "engine", "model").index
    kept = sorted(found, key=lambda one: (rank(one.holds_for), one.address_pattern.count("*")))
    return tuple(
        ChosenLimit(
            limit.address_pattern,
            limit.low,
            limit.high,
            Source("maker", limit.source, limit.edition),
        )
        for limit in kept
    )
