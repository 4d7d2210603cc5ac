"""The shop's own sheet: who it is, and how it measures, counts and prints."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.utils.translation import gettext_lazy as _


class Profile(models.Model):
    """One row: name, address, units, currency, paper, time zone, labour rate."""

    class Units(models.TextChoices):
        METRIC = "metric", _("metric (kPa, °C, km)")
        US = "us", _("US (psi, °F, miles)")
        IMPERIAL = "imperial", _("imperial (psi, °C, miles)")

    class Paper(models.TextChoices):
        A4 = "A4", _("A4")
        LETTER = "Letter", _("US Letter")

    name = models.CharField(_("name of the shop"), max_length=120)
    address = models.TextField(_("address"), blank=True, max_length=500)
    phone = models.CharField(_("telephone"), blank=True, max_length=40)
    mail = models.EmailField(_("e-mail"), blank=True)
    website = models.CharField(_("web address"), blank=True, max_length=200)
    registration = models.CharField(
        _("registration or tax number"),
        blank=True,
        max_length=80,
        help_text=_("Printed on reports where local rules ask for it."),
    )
    logo_sha256 = models.CharField(max_length=64, blank=True)
    region = models.CharField(
        _("country"),
        max_length=2,
        default="GB",
        help_text=_("Two letters, as in GB, US, DE. Decides how telephone numbers are read."),
    )
    units = models.CharField(_("units"), max_length=8, choices=Units, default=Units.METRIC)
    currency = models.CharField(_("currency"), max_length=3, default="EUR")
    paper = models.CharField(_("paper"), max_length=6, choices=Paper, default=Paper.A4)
    time_zone = models.CharField(_("time zone"), max_length=40, default="UTC")
    locale = models.CharField(_("language"), max_length=8, default="en")
    labour_rate_minor = models.PositiveIntegerField(_("labour, per hour"), null=True, blank=True)
    risk_a = models.DecimalField(
        _("risk taken in a verdict"),
        max_digits=6,
        decimal_places=5,
        default=Decimal("0.02275"),
        help_text=_("Chance of calling a bad reading good, at most. 0.02275 is 1 in 44."),
    )
    lacks_tools = models.JSONField(default=list, blank=True, editable=False)
    is_demo = models.BooleanField(default=False, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(id=1), name="shop_profile_one_row"),
            models.CheckConstraint(
                condition=models.Q(risk_a__gt=0, risk_a__lt=0.5), name="shop_profile_risk_range"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @classmethod
    def current(cls) -> Profile:
        """The shop's profile; an unsaved one with defaults before the first start."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)
