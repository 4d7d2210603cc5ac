"""A recorded test: what was typed, in which context, and what it said. Called a test on screens."""

from __future__ import annotations

import json
import uuid
from functools import cached_property
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.append_only import AppendOnly, AppendOnlyQuerySet


class RunQuerySet(AppendOnlyQuerySet):
    """Sets of runs by the words of the bench."""

    def of(self, car, procedure: str = "") -> RunQuerySet:
        """Runs of one car, of one procedure where named, newest first."""
        found = self.filter(car=car)
        if procedure:
            found = found.filter(procedure=procedure)
        return found.order_by("-measured_at", "-id")


class Run(AppendOnly):
    """One run of one procedure on one car. `content` is the exact text that `digest` covers:
    {"format", "given", "readings", "context", "assessment"}; the tables below are read from it."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    car = models.ForeignKey("shop.Car", models.PROTECT, related_name="runs")
    procedure = models.CharField(max_length=40)
    procedure_version = models.PositiveSmallIntegerField()
    subject = models.CharField(max_length=80, blank=True)
    state_of_car = models.CharField(max_length=20, blank=True)
    measured_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    content = models.TextField()
    format = models.PositiveSmallIntegerField(default=1)
    digest = models.CharField(max_length=64, unique=True)

    objects = RunQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["car", "procedure", "measured_at"], name="run_of_a_car")]

    def __str__(self) -> str:
        return f"{self.procedure} {self.measured_at:%Y-%m-%d %H:%M}"

    @cached_property
    def data(self) -> dict[str, Any]:
        """The stored content, read once."""
        return json.loads(self.content)


class Reading(models.Model):
    """One value of a run, by its address `grid.row.column`. Read from the run's content."""

    class Status(models.TextChoices):
        MEASURED = "measured"
        OVERLOAD = "overload"
        ABOVE = "above"
        BELOW = "below"
        NOT_MEASURED = "not_measured"
        CHOICE = "choice"
        TEXT = "text"

    run = models.ForeignKey(Run, models.CASCADE, related_name="readings")
    address = models.CharField(max_length=120)
    row = models.CharField(max_length=80, blank=True)
    column = models.CharField(max_length=40)
    typed = models.CharField(max_length=200)
    typed_unit = models.CharField(max_length=16, blank=True)
    status = models.CharField(max_length=12, default=Status.MEASURED)
    quantity = models.CharField(max_length=40, blank=True)
    value = models.FloatField(null=True)
    u = models.FloatField(null=True)
    instrument = models.ForeignKey("measurements.Instrument", models.PROTECT, null=True)
    verdict = models.CharField(max_length=12, blank=True)
    p = models.FloatField(null=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["run", "address"], name="reading_once_per_address"),
            models.CheckConstraint(
                condition=Q(status="measured", value__isnull=False)
                | (~Q(status="measured") & Q(value=None)),
                name="reading_value_iff_measured",
            ),
        ]
        indexes = [models.Index(fields=["column", "run"], name="reading_column_run")]

    def __str__(self) -> str:
        return f"{self.address} {self.typed} {self.typed_unit}"


class Figure(models.Model):
    """A value computed from the readings of a run, with its standard uncertainty."""

    run = models.ForeignKey(Run, models.CASCADE, related_name="figures")
    key = models.CharField(max_length=60)
    quantity = models.CharField(max_length=40)
    value = models.FloatField()
    u = models.FloatField(null=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["run", "key"], name="figure_once_per_key")]

    def __str__(self) -> str:
        return self.key


class RunSummary(models.Model):
    """The pattern of a run and where it was seen."""

    run = models.OneToOneField(Run, models.CASCADE, primary_key=True, related_name="summary")
    pattern = models.CharField(max_length=60)
    where = models.JSONField(default=list)
    missing = models.PositiveSmallIntegerField(default=0)

    def __str__(self) -> str:
        return self.pattern
