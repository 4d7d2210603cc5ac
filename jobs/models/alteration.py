"""Changes left on a car that are not a normal repair."""

from __future__ import annotations

from django.db import models
from django.db.models import Exists, OuterRef

from jobs.models.projection import ProjectionQuerySet, Thing


class AlterationQuerySet(ProjectionQuerySet):
    """Sets of alterations."""

    def still_on(self) -> AlterationQuerySet:
        """Not put back."""
        put_back = PutBack.objects.current().filter(alteration_uid=OuterRef("uid"))
        return self.current().filter(~Exists(put_back))


class Alteration(Thing):
    """What was changed and left, where, why, what it affects, how to put it back."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="alterations")
    car = models.ForeignKey("shop.Car", models.PROTECT, related_name="alterations")
    what = models.CharField(max_length=200)
    where_on_car = models.CharField(max_length=200, blank=True)
    why = models.TextField(blank=True)
    found_so = models.BooleanField(default=False)
    affects = models.JSONField(default=list)
    put_back_how = models.TextField(blank=True)
    customer_told = models.BooleanField(default=False)
    advice = models.CharField(max_length=20, blank=True)
    advice_words = models.TextField(blank=True)

    objects = AlterationQuerySet.as_manager()

    def __str__(self) -> str:
        return self.what


class PutBack(Thing):
    """The entry that an alteration is off the car."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="put_backs")
    alteration_uid = models.UUIDField(db_index=True)
    how = models.TextField(blank=True)

    def __str__(self) -> str:
        return str(self.alteration_uid)
