"""The people who work in the shop and sign in."""

from __future__ import annotations

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils.translation import gettext_lazy as _


class PeopleQuerySet(models.QuerySet):
    """Sets of people by the words of the shop."""

    def at_work(self) -> PeopleQuerySet:
        """Those who may sign in."""
        return self.filter(is_active=True)


class PersonManager(BaseUserManager.from_queryset(PeopleQuerySet)):
    """Makes people with a hashed password."""

    def create_person(self, *, username: str, password: str | None, **facts: object) -> Person:
        person = self.model(username=username.strip(), **facts)
        person.set_password(password)
        person.save(using=self._db)
        return person


class Person(AbstractBaseUser):
    """Somebody of the shop. Deactivated when they leave, never deleted: the record names them."""

    class Role(models.TextChoices):
        OWNER = "owner", _("owner")
        TECHNICIAN = "technician", _("technician")
        COUNTER = "counter", _("counter")

    username = models.CharField(_("sign-in name"), max_length=60, unique=True)
    name = models.CharField(_("name as printed"), max_length=120)
    role = models.CharField(_("role"), max_length=10, choices=Role, default=Role.TECHNICIAN)
    is_active = models.BooleanField(_("may sign in"), default=True)
    since = models.DateTimeField(auto_now_add=True)

    objects = PersonManager()

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS = ["name"]

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(role__in=["owner", "technician", "counter"]),
                name="shop_person_role_known",
            )
        ]

    def __str__(self) -> str:
        return self.name or self.username

    def can(self, capability: str) -> bool:
        """Whether this person's role has a capability of `shop.roles`."""
        from shop import roles

        return self.is_active and roles.can(self, capability)
