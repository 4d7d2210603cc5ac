"""What the customer reports, and what they ask for without a complaint."""

from django.db import models

from jobs.models.projection import Thing


class Complaint(Thing):
    """In the customer's own words, with the conditions in which it happens, as closed codes."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="complaints")
    words = models.TextField()
    words_key = models.TextField()
    family = models.CharField(max_length=40, blank=True)
    conditions = models.JSONField(default=dict)

    def __str__(self) -> str:
        return self.words


class Wish(Thing):
    """Work that the customer asks for."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="wishes")
    words = models.TextField()
    words_key = models.TextField()

    def __str__(self) -> str:
        return self.words
