"""Limits that the shop has entered from the maker's data: for one car, or for its model with all
engines or one of them."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from shop.append_only import AppendOnly, AppendOnlyQuerySet


class LimitQuerySet(AppendOnlyQuerySet):
    """Sets of limits by the words of the bench."""

    def current(self) -> LimitQuerySet:
        """Not replaced by a later one."""
        return self.filter(replaced_by=None)

    def for_car(self, car) -> LimitQuerySet:
        """Entered for this very car, or for its make and model with its engine or with any. In the
        order of preference: the car's own, its model's with its engine, its model's."""
        same_model = Q(car=None, make__iexact=car.make, model__iexact=car.model) & ~Q(make="")
        same_engine = Q(engine="") | Q(engine=car.engine_kind)
        return (
            self.current()
            .filter(Q(car=car) | (same_model & same_engine))
            .order_by(F("car").asc(nulls_last=True), "-engine", "-at")
        )


class Limit(AppendOnly):
    """One limit with its source and edition. A change is a new row that replaces the old one.

    engine: of one kind of the model's engines (`shop.engine.kind_of`), "" for all of them.
    """

    car = models.ForeignKey(
        "shop.Car", models.PROTECT, null=True, blank=True, related_name="limits"
    )
    make = models.CharField(max_length=60, blank=True)
    model = models.CharField(max_length=60, blank=True)
    engine = models.CharField(max_length=60, blank=True)
    procedure = models.CharField(max_length=40)
    address_pattern = models.CharField(max_length=120)
    low = models.FloatField(null=True)
    high = models.FloatField(null=True)
    unit = models.CharField(max_length=16)
    tag = models.CharField(max_length=8, default="maker")
    source = models.CharField(max_length=200)
    edition = models.CharField(max_length=80, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    replaces = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="replaced_by"
    )

    objects = LimitQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(low__isnull=False) | Q(high__isnull=False),
                name="measurements_limit_has_a_side",
            ),
            models.CheckConstraint(
                condition=Q(low=None) | Q(high=None) | Q(low__lte=F("high")),
                name="measurements_limit_low_below_high",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.procedure} {self.address_pattern}"

    @property
    def holds_for(self) -> str:
        """ "car", "engine" (of its model) or "model": the order in which limits go."""
        return "car" if self.car_id else "engine" if self.engine else "model"
