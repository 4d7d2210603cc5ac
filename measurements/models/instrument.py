"""The shop's measuring instruments."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.append_only import AppendOnly


class InstrumentQuerySet(models.QuerySet):
    """Sets of instruments by the words of the bench."""

    def in_use(self) -> InstrumentQuerySet:
        """Not retired, the usual one of each kind first."""
        return self.filter(retired_at=None).order_by("kind", "-is_usual", "name")


class Instrument(models.Model):
    """A meter, gauge or tape: what it is and how far it can be trusted."""

    name = models.CharField(_("name"), max_length=60)
    kind = models.CharField(_("kind"), max_length=40)
    serial = models.CharField(_("serial number"), max_length=60, blank=True)
    quantity = models.CharField(_("measures"), max_length=40)
    low = models.FloatField(_("range from"), null=True, blank=True)
    high = models.FloatField(_("range to"), null=True, blank=True)
    digit = models.FloatField(_("smallest step shown"), null=True, blank=True)
    accuracy = models.CharField(_("accuracy"), max_length=80)
    is_typical = models.BooleanField(
        _("figures are typical, not this instrument's own"), default=False
    )
    is_usual = models.BooleanField(_("my usual one"), default=False)
    calibration_due = models.DateField(_("calibration due"), null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = InstrumentQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["kind"],
                condition=models.Q(is_usual=True),
                name="measurements_instrument_one_usual_per_kind",
            )
        ]

    def __str__(self) -> str:
        return self.name


class InstrumentCheck(AppendOnly):
    """An instrument held against something known: it was found good, or wrong. `how` says against
    what, and what it showed."""

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="checks")
    checked_on = models.DateField()
    good = models.BooleanField()
    how = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-checked_on", "-id"]

    def __str__(self) -> str:
        return f"{self.instrument}, {self.checked_on}"
