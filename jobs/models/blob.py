"""Stored originals by the SHA-256 of their bytes."""

from django.db import models

from shop.append_only import AppendOnly


class Blob(AppendOnly):
    """An original whose file was fsynced before this row was written."""

    sha256 = models.CharField(max_length=64, primary_key=True)
    size = models.PositiveBigIntegerField()
    type = models.CharField(max_length=40)
    width = models.PositiveIntegerField(null=True)
    height = models.PositiveIntegerField(null=True)
    at = models.DateTimeField()

    def __str__(self) -> str:
        return self.sha256[:12]
