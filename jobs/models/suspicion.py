"""What is thought of a complaint's possible causes: kept odds, the technician's own judgements,
and the starting odds that the shop set for itself."""

from __future__ import annotations

from django.db import models

from jobs.models.projection import Projection, ProjectionQuerySet, Thing


class Opinion(Thing):
    """A technician's judgement on one suspect: as strong as a word says, with its reason.
    suspect: a code of the family's table, or "own:" and the uid for a cause that was added."""

    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="opinions")
    complaint_uid = models.UUIDField()
    suspect = models.CharField(max_length=60)
    label = models.CharField(max_length=160, blank=True)
    strength = models.CharField(max_length=24)
    reason = models.TextField()

    def __str__(self) -> str:
        return f"{self.suspect}: {self.strength}"


class Judgement(Projection):
    """The odds of a complaint's suspects as they were worked out at one moment, with the tables
    that they came from."""

    entry = models.OneToOneField("jobs.Entry", models.PROTECT, primary_key=True)
    ticket = models.ForeignKey("jobs.Ticket", models.CASCADE, related_name="judgements")
    complaint_uid = models.UUIDField()
    knowledge_digest = models.CharField(max_length=64)

    def __str__(self) -> str:
        return f"odds of {self.complaint_uid}"


class StartingOddsQuerySet(ProjectionQuerySet):
    """The shop's own starting odds, of which the latest counts."""

    def standing(self) -> dict[str, dict[str, StartingOdds]]:
        """Family -> suspect -> the latest row; where that gave a suspect back to the table,
        nothing."""
        found: dict[str, dict[str, StartingOdds]] = {}
        for row in self.current().select_related("entry", "entry__by").order_by("entry__seq"):
            found.setdefault(row.family, {})[row.suspect] = row
        return {
            family: {suspect: row for suspect, row in rows.items() if row.start is not None}
            for family, rows in found.items()
        }


class StartingOdds(Projection):
    """A weight that the shop gives a suspect before any evidence, in place of the table's.
    start: whole number on the table's scale, or none to go back to the table."""

    entry = models.ForeignKey("jobs.Entry", models.PROTECT, related_name="starting_odds")
    family = models.CharField(max_length=40)
    suspect = models.CharField(max_length=60)
    start = models.PositiveSmallIntegerField(null=True)
    counted = models.BooleanField(default=False)

    objects = StartingOddsQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["entry", "family", "suspect"], name="starting_odds_once_an_entry"
            )
        ]

    def __str__(self) -> str:
        return f"{self.family}.{self.suspect}: {self.start}"
