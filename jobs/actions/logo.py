"""The shop's logo: kept like any original, shown and printed as a copy."""

from __future__ import annotations

from django.conf import settings
from django.core.files.base import File
from django.db import transaction
from django.utils import timezone

from jobs.models import Blob
from jobs.photos import intake
from shop.actions import people
from shop.models import Person, Profile


def keep_logo(*, upload: File, by: Person) -> str:
    """Store a picture as the shop's logo and give its SHA-256.

    Raises `PhotoRefused` and `NotStored` as for photos; the logo so far stays then.
    """
    taken = intake.take(settings.PHOTO_FOLDER, upload.chunks())
    with transaction.atomic():
        Blob.objects.get_or_create(
            sha256=taken.sha256,
            defaults={
                "size": taken.size,
                "type": taken.type,
                "width": taken.width,
                "height": taken.height,
                "at": timezone.now(),
            },
        )
        people.change_profile(by=by, profile=Profile.current(), logo_sha256=taken.sha256)
    return taken.sha256


def remove_logo(*, by: Person) -> None:
    """Print reports without a logo from now on. Issued ones keep theirs."""
    people.change_profile(by=by, profile=Profile.current(), logo_sha256="")
