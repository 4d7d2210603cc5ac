"""What is half typed. Changes freely until it is recorded."""

from django.conf import settings
from django.db import models


class Draft(models.Model):
    """One person's half-filled form on one ticket, as the browser sent it."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="drafts")
    kind = models.CharField(max_length=60)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="drafts")
    fields = models.JSONField(default=dict)
    client_key = models.CharField(max_length=64)
    updated_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["ticket", "kind", "person"], name="draft_one_per_person_and_kind"
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} on {self.ticket}"
