"""Parts swapped: what came out, what went in, why, and which tests speak for it."""

from django.db import models
from django.db.models import Q

from jobs.models.projection import Projection, Thing


class Swap(Thing):
    """One part out, one part in. Entered quickly at the car, completed at the desk."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="swaps")
    reason = models.CharField(max_length=30)
    ours = models.BooleanField(default=True)
    done_on = models.DateField(null=True, blank=True)
    part_out = models.CharField(max_length=120, blank=True)
    part_in = models.CharField(max_length=120, blank=True)
    maker = models.CharField(max_length=80, blank=True)
    number = models.CharField(max_length=80, blank=True)
    condition = models.CharField(max_length=12, blank=True)
    supplier = models.CharField(max_length=120, blank=True)
    cost_minor = models.PositiveBigIntegerField(null=True)
    price_minor = models.PositiveBigIntegerField(null=True)
    core_minor = models.PositiveBigIntegerField(null=True)
    currency = models.CharField(max_length=3)
    core_until = models.DateField(null=True, blank=True)
    warranty_months = models.PositiveSmallIntegerField(null=True)
    warranty_km = models.PositiveIntegerField(null=True)
    agreed = models.BooleanField(null=True)
    old_part_kept = models.CharField(max_length=120, blank=True)
    outcome = models.CharField(max_length=24, blank=True)
    note = models.TextField(blank=True)

    def __str__(self) -> str:
        return self.part_in or self.part_out or "swap"


class SwapRun(Projection):
    """A test that pointed to a swap, or was made before or after it."""

    entry = models.ForeignKey("jobs.Entry", models.PROTECT, related_name="swap_runs")
    swap = models.ForeignKey(Swap, models.CASCADE, related_name="runs")
    run = models.ForeignKey("measurements.Run", models.PROTECT, related_name="swap_runs")
    role = models.CharField(max_length=8)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["swap", "run", "role"], name="swap_run_once_per_role"),
            models.CheckConstraint(
                condition=Q(role__in=["pointed", "before", "after"]), name="swap_run_role_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.role}: {self.run_id}"
