"""Findings: statements about the car, how sure they are, and what they rest on."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.projection import Projection, Thing

CERTAINTIES = ("confirmed", "probable", "suspected", "ruled_out", "not_tested")
ADVICES = ("do_not_drive", "only_as_stated", "no_restriction")


class Finding(Thing):
    """One statement with certainty and driving advice; confirmed and probable need evidence.

    cause: the suspect that it is about, "family.suspect", or nothing; overruled: why it is said to
    be surer than the rules of certainty allow, printed with it.
    """

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="findings")
    complaint_uid = models.UUIDField(null=True, blank=True)
    certainty = models.CharField(max_length=12)
    sentence = models.TextField()
    for_technician = models.TextField(blank=True)
    advice = models.CharField(max_length=20)
    advice_words = models.TextField(blank=True)
    to_do = models.TextField(blank=True)
    waiting_risk = models.TextField(blank=True)
    why_it_failed = models.TextField(blank=True)
    cause = models.CharField(max_length=110, blank=True)
    overruled = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(certainty__in=CERTAINTIES), name="finding_certainty_known"
            ),
            models.CheckConstraint(condition=Q(advice__in=ADVICES), name="finding_advice_known"),
            models.CheckConstraint(
                condition=~Q(advice="only_as_stated") | ~Q(advice_words=""),
                name="finding_states_the_condition_of_driving",
            ),
        ]

    def __str__(self) -> str:
        return self.sentence


class FindingBasis(Projection):
    """One piece of evidence under a finding: a run, a photo, or a swap."""

    entry = models.ForeignKey("jobs.Entry", models.PROTECT, related_name="bases")
    finding = models.ForeignKey(Finding, models.CASCADE, related_name="bases")
    position = models.PositiveSmallIntegerField()
    run = models.ForeignKey("measurements.Run", models.PROTECT, null=True, related_name="bases")
    photo = models.ForeignKey("jobs.Photo", models.PROTECT, null=True, related_name="bases")
    swap_uid = models.UUIDField(null=True)

    class Meta:
        ordering = ["position"]
        constraints = [
            models.CheckConstraint(
                condition=(
                    Q(run__isnull=False, photo=None, swap_uid=None)
                    | Q(run=None, photo__isnull=False, swap_uid=None)
                    | Q(run=None, photo=None, swap_uid__isnull=False)
                ),
                name="finding_basis_exactly_one",
            )
        ]

    def __str__(self) -> str:
        return f"basis {self.position} of {self.finding_id}"
