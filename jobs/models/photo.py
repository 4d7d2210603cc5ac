"""Photos: what they show and what they belong to."""

from __future__ import annotations

from django.db import models

from jobs.models.projection import Projection


class Photo(Projection):
    """One frame of an entry; `letter` is its place in the entry's strip (11a, 11b ...)."""

    entry = models.ForeignKey("jobs.Entry", models.PROTECT, related_name="photos")
    letter = models.CharField(max_length=2)
    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="photos")
    blob = models.ForeignKey("jobs.Blob", models.PROTECT, related_name="photos")
    subject = models.CharField(max_length=20)
    place = models.CharField(max_length=40, blank=True)
    caption = models.CharField(max_length=300, blank=True)
    alt = models.CharField(max_length=300, blank=True)
    claimed_at = models.CharField(max_length=40, blank=True)
    had_location = models.BooleanField(default=False)
    complaint_uid = models.UUIDField(null=True, blank=True, db_index=True)
    run = models.ForeignKey(
        "measurements.Run", models.PROTECT, null=True, blank=True, related_name="photos"
    )
    swap_uid = models.UUIDField(null=True, blank=True, db_index=True)
    alteration_uid = models.UUIDField(null=True, blank=True, db_index=True)

    class Meta:
        ordering = ["entry__seq", "letter"]
        constraints = [
            models.UniqueConstraint(fields=["entry", "letter"], name="photo_letter_once_per_entry")
        ]

    def __str__(self) -> str:
        return f"{self.frame} {self.caption or self.subject}"

    @property
    def frame(self) -> str:
        """Frame number as shown: the entry's and a letter."""
        return f"{self.entry.seq}{self.letter}"


class PhotoChoice(models.Model):
    """Whether a photo goes into the report, and where. A choice, not evidence: it may change."""

    photo = models.OneToOneField(Photo, models.CASCADE, primary_key=True, related_name="choice")
    in_report = models.BooleanField(default=True)
    position = models.PositiveSmallIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.photo_id}: {self.in_report}"
