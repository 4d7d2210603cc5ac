"""Customers and the ways to reach them."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _


class CustomerQuerySet(models.QuerySet):
    """Sets of customers by the words of the shop."""

    def known(self) -> CustomerQuerySet:
        """Those whose data has not been erased."""
        return self.filter(erased_at=None)

    def matching(self, words: str) -> CustomerQuerySet:
        """Name, firm or telephone number contains what was typed, however it was written."""
        from shop.text import search_key

        found = Q()
        if key := search_key(words):
            found |= Q(name_key__contains=key)
        for digits in _dialled(words):
            found |= Q(phones__digits__contains=digits)
        return self.filter(found).distinct() if found else self.none()


FEWEST_DIGITS, DIGITS_OF_A_NUMBER = 3, 7


def _dialled(words: str) -> set[str]:
    """Digits to look for in telephone numbers: as typed, and as the whole number is dialled."""
    if any(c.isalpha() for c in words):
        return set()
    digits = "".join(c for c in words if c.isascii() and c.isdigit())
    if len(digits) < FEWEST_DIGITS:
        return set()
    looked_for = {digits.lstrip("0") or digits}
    if len(digits) >= DIGITS_OF_A_NUMBER:
        from shop.models.profile import Profile
        from shop.phones import read_phone

        looked_for.add(read_phone(words, Profile.current().region).digits)
    return looked_for


class Customer(models.Model):
    """Somebody who brings, owns, authorises or pays for a car."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(_("name"), max_length=120, blank=True)
    name_key = models.CharField(max_length=120, blank=True, db_index=True, editable=False)
    firm = models.CharField(_("firm"), max_length=120, blank=True)
    mail = models.EmailField(_("e-mail"), blank=True)
    address = models.TextField(_("address"), blank=True, max_length=500)
    reach_by = models.CharField(_("best reached by"), max_length=20, blank=True)
    language = models.CharField(_("language"), max_length=8, blank=True)
    notes = models.TextField(_("notes"), blank=True, max_length=10_000)
    since = models.DateTimeField(auto_now_add=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    objects = CustomerQuerySet.as_manager()

    def __str__(self) -> str:
        return self.shown_name

    @property
    def shown_name(self) -> str:
        """Name, or the first telephone number while only that is known."""
        if self.name and self.firm:
            return f"{self.name}, {self.firm}"
        if self.name or self.firm:
            return self.name or self.firm
        phone = next(iter(self.phones.all()), None)
        return phone.shown if phone else str(_("customer without a name"))


class Phone(models.Model):
    """One telephone number, as typed, and as a library reads it where it can."""

    customer = models.ForeignKey(Customer, models.CASCADE, related_name="phones")
    typed = models.CharField(max_length=40)
    e164 = models.CharField(max_length=20, blank=True)
    digits = models.CharField(max_length=40, db_index=True, editable=False)
    shown = models.CharField(max_length=40, editable=False)
    note = models.CharField(_("whose, or when"), max_length=60, blank=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "id"]

    def __str__(self) -> str:
        return self.shown or self.typed
