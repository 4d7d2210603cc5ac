"""Work that is still to do, or that the customer chose not to have done."""

from django.db import models
from django.db.models import Q

from jobs.models.projection import Thing


class OpenWork(Thing):
    """What, its risk in one plain sentence, and whether it was declined."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="open_work")
    what = models.CharField(max_length=200)
    risk = models.TextField(blank=True)
    until = models.CharField(max_length=120, blank=True)
    status = models.CharField(max_length=10)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(status__in=["open", "declined", "done"]), name="open_work_status_known"
            )
        ]

    def __str__(self) -> str:
        return self.what
