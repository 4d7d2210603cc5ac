"""Base of the tables that are read from entries: one row states one version of one thing."""

from __future__ import annotations

from django.db import models


class ProjectionQuerySet(models.QuerySet):
    """Sets that leave out what a later entry corrected or withdrew."""

    def current(self):
        """The versions that count now."""
        return self.filter(entry__replaced_by=None)


class Projection(models.Model):
    """A row that one entry makes. `verify` compares it with the entry; `rebuild` makes it again."""

    objects = ProjectionQuerySet.as_manager()

    class Meta:
        abstract = True

    @property
    def made_by(self) -> int:
        """Key of the entry that makes the row."""
        return self.__dict__["entry_id"]


class Thing(Projection):
    """A thing that keeps its `uid` while later entries correct what is said of it."""

    entry = models.OneToOneField("jobs.Entry", models.PROTECT, primary_key=True)
    uid = models.UUIDField(db_index=True)

    class Meta:
        abstract = True
