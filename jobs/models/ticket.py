"""A ticket: one visit of one car."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.urls import reverse

STATES = ("booked", "in_the_bay", "waiting", "on_trial", "ready", "handed_back")


class TicketQuerySet(models.QuerySet):
    """Sets of tickets by the words of the shop."""

    def in_the_shop(self) -> TicketQuerySet:
        """Not yet handed back."""
        return self.exclude(state="handed_back")

    def matching(self, words: str) -> TicketQuerySet:
        """Number, words of a complaint, or car and customer contain what was typed."""
        from shop.models import Car, Customer
        from shop.text import search_key

        found = Q(car__in=Car.objects.matching(words)) | Q(
            customer__in=Customer.objects.matching(words)
        )
        if key := search_key(words):
            found |= Q(complaints__words_key__contains=key) | Q(wishes__words_key__contains=key)
        if words.strip().isascii() and words.strip().isdigit() and len(words.strip()) <= 9:
            found |= Q(number=int(words))
        return self.filter(found).distinct()

    def with_car(self) -> TicketQuerySet:
        """With car, customer and telephone numbers at hand."""
        return self.select_related("car", "customer").prefetch_related("customer__phones")


class Ticket(models.Model):
    """The state of a visit, read from its entries; never the only place where a fact stands."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    number = models.PositiveIntegerField(unique=True)
    car = models.ForeignKey("shop.Car", models.PROTECT, related_name="tickets")
    customer = models.ForeignKey("shop.Customer", models.PROTECT, related_name="tickets")
    state = models.CharField(max_length=12, default="in_the_bay")
    state_since = models.DateTimeField()
    waits_for = models.CharField(max_length=30, blank=True)
    opened_at = models.DateTimeField()
    received_at = models.DateTimeField(null=True, blank=True)
    handed_back_at = models.DateTimeField(null=True, blank=True)
    promised_at = models.DateTimeField(null=True, blank=True)
    comeback_of = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="comebacks"
    )
    allowance_minor = models.PositiveBigIntegerField(null=True, blank=True)
    currency = models.CharField(max_length=3)
    odometer_in = models.PositiveIntegerField(null=True, blank=True)
    odometer_out = models.PositiveIntegerField(null=True, blank=True)
    odometer_unit = models.CharField(max_length=2, default="km")
    odometer_why = models.CharField(max_length=300, blank=True)
    fuel_level = models.CharField(max_length=20, blank=True)
    lamps = models.JSONField(default=list, blank=True)
    damage = models.TextField(blank=True)
    belongings = models.TextField(blank=True)
    arrival = models.CharField(max_length=20, blank=True)

    objects = TicketQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(state__in=STATES), name="ticket_state_known"),
            models.CheckConstraint(
                condition=(Q(state="waiting") & ~Q(waits_for=""))
                | (~Q(state="waiting") & Q(waits_for="")),
                name="ticket_waits_for_something_iff_waiting",
            ),
            models.CheckConstraint(
                condition=Q(odometer_unit__in=["km", "mi"]), name="ticket_odometer_unit_known"
            ),
        ]
        indexes = [
            models.Index(fields=["state", "promised_at"], name="ticket_state_promised"),
            models.Index(fields=["-opened_at"], name="ticket_newest"),
        ]

    def __str__(self) -> str:
        return self.shown_number

    def get_absolute_url(self) -> str:
        return reverse("ticket", args=[self.number])

    @property
    def shown_number(self) -> str:
        """Number as printed: four figures at least."""
        return f"{self.number:04d}"

    @property
    def is_open(self) -> bool:
        """Whether the car is still the shop's concern."""
        return self.state != "handed_back"


class TicketPerson(models.Model):
    """Who owns, brings, authorises or pays, where that is somebody else than the customer."""

    ticket = models.ForeignKey(Ticket, models.CASCADE, related_name="people")
    customer = models.ForeignKey("shop.Customer", models.PROTECT, related_name="parts")
    part = models.CharField(max_length=12)
    limit_minor = models.PositiveBigIntegerField(null=True, blank=True)
    order_no = models.CharField(max_length=60, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["ticket", "part"], name="ticket_person_one_per_part"),
            models.CheckConstraint(
                condition=Q(part__in=["owner", "bringer", "authoriser", "payer"]),
                name="ticket_person_part_known",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.part}: {self.customer}"
