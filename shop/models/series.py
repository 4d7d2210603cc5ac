"""Human numbers without gaps: tickets, reports, later invoices."""

from __future__ import annotations

from django.db import models


class Series(models.Model):
    """The next number of one kind. Taken inside the transaction that uses it."""

    kind = models.CharField(max_length=20, unique=True)
    next = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return f"{self.kind}: next {self.next}"

    @classmethod
    def take(cls, kind: str) -> int:
        """The next number. Call only inside a transaction: a rollback gives it back."""
        row, _ = cls.objects.select_for_update().get_or_create(kind=kind)
        number = row.next
        row.next = number + 1
        row.save(update_fields=["next"])
        return number
