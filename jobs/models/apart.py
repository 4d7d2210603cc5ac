"""What is open, unplugged, pulled or slack on a car just now."""

from __future__ import annotations

from django.db import models
from django.db.models import Exists, OuterRef

from jobs.models.projection import ProjectionQuerySet, Thing


class ApartQuerySet(ProjectionQuerySet):
    """Sets of things apart."""

    def still(self) -> ApartQuerySet:
        """Not yet ticked back, nor turned into an alteration."""
        back = TickedBack.objects.current().filter(apart_uid=OuterRef("uid"))
        return self.current().filter(~Exists(back))


class Apart(Thing):
    """One thing that must be put back before the car is ready."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="aparts")
    what = models.CharField(max_length=200)
    run = models.ForeignKey(
        "measurements.Run", models.PROTECT, null=True, blank=True, related_name="+"
    )
    swap_uid = models.UUIDField(null=True, blank=True)

    objects = ApartQuerySet.as_manager()

    def __str__(self) -> str:
        return self.what


class TickedBack(Thing):
    """The tick that it is back, or the alteration that it has become."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="ticked_back")
    apart_uid = models.UUIDField(db_index=True)
    alteration_uid = models.UUIDField(null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)

    def __str__(self) -> str:
        return str(self.apart_uid)
