"""Findings reports as issued: frozen content, frozen PDF."""

from django.db import models

from shop.append_only import AppendOnly


class Report(AppendOnly):
    """One revision of one report. `content` is the exact text that `content_digest` covers."""

    entry = models.OneToOneField("jobs.Entry", models.PROTECT, related_name="report")
    ticket = models.ForeignKey("jobs.Ticket", models.PROTECT, related_name="reports")
    number = models.PositiveIntegerField()
    revision = models.PositiveSmallIntegerField()
    content = models.TextField()
    content_digest = models.CharField(max_length=64)
    pdf = models.ForeignKey("jobs.Blob", models.PROTECT, related_name="reports")
    made_from_seq = models.PositiveIntegerField()
    issued_at = models.DateTimeField()

    class Meta:
        ordering = ["-revision"]
        constraints = [
            models.UniqueConstraint(fields=["number", "revision"], name="report_revision_once")
        ]

    def __str__(self) -> str:
        return f"{self.number:04d} revision {self.revision}"
