"""The shop is founded, and people of it are added, changed and deactivated."""

from __future__ import annotations

import zoneinfo

from django.db import transaction

from shop import sessions
from shop.models import Person, Profile


class LastOwner(ValueError):
    """Somebody must be able to run the shop."""

    def __init__(self) -> None:
        super().__init__("This is the only owner who may sign in. Name another owner first.")


DEFAULTS_BY_REGION = {
    "US": {"units": "us", "currency": "USD", "paper": "Letter", "time_zone": "America/New_York"},
    "CA": {"units": "metric", "currency": "CAD", "paper": "Letter", "time_zone": "America/Toronto"},
    "GB": {"units": "imperial", "currency": "GBP", "time_zone": "Europe/London"},
    "IE": {"currency": "EUR", "time_zone": "Europe/Dublin"},
    "DE": {"currency": "EUR", "time_zone": "Europe/Berlin"},
    "FR": {"currency": "EUR", "time_zone": "Europe/Paris"},
    "NL": {"currency": "EUR", "time_zone": "Europe/Amsterdam"},
    "AU": {"currency": "AUD", "time_zone": "Australia/Sydney"},
    "NZ": {"currency": "NZD", "time_zone": "Pacific/Auckland"},
}


@transaction.atomic
def found_shop(*, shop_name: str, region: str, username: str, password: str) -> Person:
    """The first start: the shop's profile with its region's usual settings, and its owner."""
    if Person.objects.exists():
        raise ValueError("The shop has people already.")
    if len(region) != 2 or not region.isascii() or not region.isalpha():
        raise ValueError(f"{region!r} is not a country in two letters, as in GB, US or DE.")
    Profile.objects.update_or_create(
        pk=1,
        defaults={"name": shop_name, "region": region} | DEFAULTS_BY_REGION.get(region, {}),
    )
    return Person.objects.create_person(
        username=username, password=password, name=username, role=Person.Role.OWNER
    )


def add(*, by: Person, username: str, name: str, role: str, password: str) -> Person:
    """Somebody new in the shop."""
    return Person.objects.create_person(username=username, name=name, role=role, password=password)


@transaction.atomic
def change(
    *, person: Person, by: Person, name: str, role: str, is_active: bool, password: str = ""
) -> Person:
    """Another name, role or password; or may no longer sign in. People are never deleted."""
    stays_owner = role == Person.Role.OWNER and is_active
    # Locked, so that two owners who demote each other at once don't both succeed.
    owners = Person.objects.select_for_update().at_work().filter(role=Person.Role.OWNER)
    if not stays_owner and not [owner for owner in owners if owner.pk != person.pk]:
        raise LastOwner
    person.name, person.role, person.is_active = name, role, is_active
    if password:
        person.set_password(password)
    person.save()
    if not is_active:
        sessions.end_all_of(person)
    return person


def set_password(*, person: Person, by: Person, password: str) -> Person:
    """A new password. Sessions that were opened with the old one end."""
    person.set_password(password)
    person.save(update_fields=["password"])
    return person


def change_profile(*, by: Person, profile: Profile, **facts: object) -> Profile:
    """The shop's own sheet. Issued reports keep what they printed."""
    for name, value in facts.items():
        setattr(profile, name, value)
    zoneinfo.ZoneInfo(profile.time_zone)
    profile.pk = 1
    profile.save()
    return profile
