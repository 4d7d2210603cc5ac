"""Cars, and whose they are."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _


class CarQuerySet(models.QuerySet):
    """Sets of cars by the words of the shop."""

    def matching(self, words: str) -> CarQuerySet:
        """Plate, tail of the VIN, or make and model contain what was typed."""
        from shop.plates import plate_key
        from shop.text import search_key

        found = Q()
        if key := search_key(words):
            found |= Q(description_key__contains=key)
        if key := plate_key(words):
            found |= Q(plate_key__contains=key) | Q(vin_key__endswith=key)
        return self.filter(found) if found else self.none()

    def with_owner(self) -> CarQuerySet:
        """With the present owner ready for `car.owner`, in three queries for the lot."""
        open_ones = Ownership.objects.filter(until=None).select_related("customer")
        return self.prefetch_related(
            models.Prefetch(
                "ownerships",
                open_ones.prefetch_related("customer__phones"),
                to_attr="open_ownerships",
            )
        )


class Car(models.Model):
    """A car, known by plate or VIN; keeps its history whoever owns it."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    plate = models.CharField(_("number plate"), max_length=20, blank=True)
    region = models.CharField(_("plate's country or state"), max_length=8, blank=True)
    plate_key = models.CharField(max_length=20, blank=True, db_index=True, editable=False)
    vin = models.CharField(_("VIN"), max_length=40, blank=True)
    vin_key = models.CharField(max_length=40, blank=True, db_index=True, editable=False)
    make = models.CharField(_("make"), max_length=60, blank=True)
    model = models.CharField(_("model"), max_length=60, blank=True)
    description_key = models.CharField(max_length=160, blank=True, editable=False)
    year = models.PositiveSmallIntegerField(_("year"), null=True, blank=True)
    body = models.CharField(_("kind of body"), max_length=40, blank=True)
    engine = models.JSONField(_("engine"), default=dict, blank=True)
    fuel = models.CharField(_("fuel"), max_length=20, blank=True)
    gearbox = models.CharField(_("gearbox"), max_length=20, blank=True)
    drive = models.CharField(_("driven wheels"), max_length=20, blank=True)
    volts = models.PositiveSmallIntegerField(_("system voltage"), default=12)
    high_voltage = models.BooleanField(
        _("has a high-voltage system"),
        default=False,
        help_text=_("Hybrid, electric, or 48 volt. Changes cautions and which tests apply."),
    )
    non_standard = models.TextField(_("non-standard parts"), blank=True, max_length=2_000)
    notes = models.TextField(_("notes"), blank=True, max_length=10_000)
    since = models.DateTimeField(auto_now_add=True)

    objects = CarQuerySet.as_manager()

    def __str__(self) -> str:
        return " ".join(part for part in (self.plate, self.title) if part)

    @property
    def title(self) -> str:
        """Make, model and year, or a plain word while nothing of it is known."""
        parts = [self.make, self.model, str(self.year) if self.year else ""]
        return " ".join(part for part in parts if part) or str(_("car"))

    @property
    def engine_kind(self) -> str:
        """Which of its model's engines it has, as a key; "" while too little of it is known."""
        from shop.engine import kind_of

        return kind_of(self.engine, self.fuel)

    @property
    def owner(self):
        """The customer who owns it now, or None."""
        if hasattr(self, "open_ownerships"):
            return self.open_ownerships[0].customer if self.open_ownerships else None
        current = self.ownerships.filter(until=None).select_related("customer").first()
        return current.customer if current else None


class Ownership(models.Model):
    """A stretch of time in which a customer owned a car; at most one is open."""

    car = models.ForeignKey(Car, models.PROTECT, related_name="ownerships")
    customer = models.ForeignKey("shop.Customer", models.PROTECT, related_name="owned")
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-since"]
        constraints = [
            models.UniqueConstraint(
                fields=["car"], condition=Q(until=None), name="shop_ownership_one_open_per_car"
            ),
            models.CheckConstraint(
                condition=Q(until=None) | Q(until__gte=models.F("since")),
                name="shop_ownership_ends_after_it_began",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.car}: {self.customer}"
