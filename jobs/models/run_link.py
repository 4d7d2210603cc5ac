"""Which run of a procedure belongs to which ticket, and for what it was made."""

from django.db import models
from django.db.models import Q

from jobs.models.projection import Projection, ProjectionQuerySet


class RunLinkQuerySet(ProjectionQuerySet):
    """Sets of a ticket's tests."""

    def standing_for(self) -> dict[int, int]:
        """Key of each run of the set -> key of the run that stands for it now: its latest
        correction, or itself. What was attached to the one belongs to the other."""
        rows = self.order_by("entry__seq").values_list("entry", "entry__replaces", "run")
        corrected = {replaced: (entry, run) for entry, replaced, run in rows if replaced}
        found = {}
        for entry, _replaced, run in rows:
            last, stands = entry, run
            while last in corrected:
                last, stands = corrected[last]
            found[run] = stands
        return found


class RunLink(Projection):
    """A test on a ticket: its run, the complaint it asks about, whether that happened just then."""

    entry = models.OneToOneField(
        "jobs.Entry", models.PROTECT, primary_key=True, related_name="run_link"
    )
    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="run_links")
    run = models.OneToOneField("measurements.Run", models.PROTECT, related_name="link")
    complaint_uid = models.UUIDField(null=True, blank=True)
    again_of = models.ForeignKey(
        "measurements.Run", models.PROTECT, null=True, blank=True, related_name="repeats"
    )
    fault_present = models.CharField(max_length=8, default="unknown")

    objects = RunLinkQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(fault_present__in=["yes", "no", "unknown"]),
                name="run_link_fault_present_known",
            )
        ]

    def __str__(self) -> str:
        return f"{self.run}"
