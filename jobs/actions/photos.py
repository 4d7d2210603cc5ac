"""Photos are added to the record once their originals are on disk for good."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from contextlib import ExitStack
from datetime import datetime
from string import ascii_lowercase
from typing import Any, NamedTuple

from django.conf import settings
from django.core.files.base import File
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import Blob, Entry, Photo, PhotoChoice, Ticket
from jobs.photos import intake
from jobs.photos.intake import TakenPhoto
from jobs.photos.limits import PHOTO
from jobs.photos.refusals import PhotoRefused
from jobs.photos.store import NotStored, original_path
from jobs.record.append import EntryRefused, already, append
from measurements.models import Run
from shop.models import Person
from shop.text import show_controls

LONGEST_NAME_SHOWN = 60


class NoPhotoChosen(EntryRefused):
    """Nothing was sent."""

    def __init__(self) -> None:
        super().__init__(_("Choose at least one photo."))


class TooManyPhotos(EntryRefused):
    """More photos than one sending, or one ticket, takes."""

    def __init__(self, sent: int, limit: int, already_there: int = 0) -> None:
        if already_there:
            sentence = _(
                "The ticket holds %(there)s photos already, and at most %(limit)s. None of these "
                "%(sent)s was saved."
            )
        else:
            sentence = _(
                "%(sent)s photos at once are too many: send at most %(limit)s in one go. None "
                "was saved."
            )
        super().__init__(sentence % {"sent": sent, "limit": limit, "there": already_there})


class Refused(NamedTuple):
    """One upload that was not taken: its name as sent, why, and the HTTP status of that reason."""

    name: str
    reason: str
    status: int


class SomeRefused(PhotoRefused):
    """Of several uploads some were not taken. `entry` holds the good ones, if there were any."""

    def __init__(self, entry: Entry | None, refused: Sequence[Refused]) -> None:
        super().__init__()
        self.entry = entry
        self.refused = list(refused)
        self.status = max(one.status for one in refused)

    @property
    def lines(self) -> list[str]:
        """Each photo's name and why it was not taken."""
        return [f"{one.name}: {one.reason}" for one in self.refused]

    def __str__(self) -> str:
        return " ".join(self.lines)


def add_photos(
    *,
    ticket: Ticket,
    uploads: Sequence[File],
    by: Person,
    subject: str,
    place: str = "",
    caption: str = "",
    alt: str = "",
    complaint_uid: uuid.UUID | None = None,
    run: Run | None = None,
    swap_uid: uuid.UUID | None = None,
    alteration_uid: uuid.UUID | None = None,
    in_report: bool | None = None,
    client_key: str | None = None,
    at: datetime | None = None,
    device_at: datetime | None = None,
) -> Entry:
    """Add photos as the frames of one entry. A photo that is sent twice is one frame.

    A single upload that is refused raises its own `PhotoRefused` or `NotStored`. Of several, the
    good ones are saved; then `SomeRefused` carries the entry and what was refused. `in_report`
    None leaves the choice for later; photos go into the report until somebody says no.
    """
    if earlier := already(client_key):
        return earlier
    _check_number(ticket, len(uploads))
    taken, refused = _take(uploads)
    if not taken:
        raise SomeRefused(None, refused)
    about = {
        "subject": subject,
        "place": place,
        "caption": caption,
        "alt": alt,
        "complaint": str(complaint_uid) if complaint_uid else "",
        "run": run.digest if run else "",
        "swap": str(swap_uid) if swap_uid else "",
        "alteration": str(alteration_uid) if alteration_uid else "",
    }
    with transaction.atomic():
        _keep(taken)
        entry = append(
            ticket=ticket,
            kind="photos",
            by=by,
            at=at,
            device_at=device_at,
            client_key=client_key,
            data={"frames": _frames(taken, about)},
        )
        if in_report is not None:
            PhotoChoice.objects.bulk_create(
                [PhotoChoice(photo=photo, in_report=in_report) for photo in entry.photos.all()],
                ignore_conflicts=True,
            )
    if refused:
        raise SomeRefused(entry, refused)
    return entry


def put_by(uploads: Sequence[File]) -> tuple[list[str], list[Refused]]:
    """Store originals of a form that is not saved yet: their SHA-256, and what was not taken.

    They are in no record until `add_put_by` says what they show.
    """
    if len(uploads) > PHOTO.per_request:
        raise TooManyPhotos(len(uploads), PHOTO.per_request)
    taken, refused = _take_each(uploads)
    with transaction.atomic():
        _keep(taken)
    return [photo.sha256 for photo in taken], refused


def add_put_by(*, ticket: Ticket, sha256: Sequence[str], by: Person, **about: Any) -> Entry | None:
    """Add photos that were put by; `about` as for `add_photos`. None where none of them is there.

    Raises what `add_photos` raises.
    """
    known = Blob.objects.filter(pk__in=sha256, type__startswith="image/")
    paths = {blob.pk: original_path(settings.PHOTO_FOLDER, blob.pk) for blob in known}
    with ExitStack() as opened:
        files = [
            File(opened.enter_context(paths[name].open("rb")), name=name)
            for name in dict.fromkeys(sha256)
            if name in paths and paths[name].is_file()
        ]
        return add_photos(ticket=ticket, uploads=files, by=by, **about) if files else None


def add_each(
    *,
    ticket: Ticket,
    by: Person,
    photos: Mapping[str, File | None],
    client_key: str | None = None,
    **belongs: Any,
) -> list[tuple[str, str]]:
    """Add photos by their subject, an entry each. One that is refused takes nothing else with it:
    the subjects and reasons of those come back."""
    refused = []
    for subject, upload in photos.items():
        if upload is None:
            continue
        key = f"{client_key}-{subject}" if client_key else None
        try:
            add_photos(
                ticket=ticket, uploads=[upload], by=by, subject=subject, client_key=key, **belongs
            )
        except (PhotoRefused, NotStored, EntryRefused) as refusal:
            refused.append((subject, str(refusal)))
    return refused


def choose(*, photo: Photo, in_report: bool, by: Person, position: int | None = None) -> None:
    """Say whether a photo goes into reports, and where among the others. No evidence: it may
    change, and reports that were issued keep what they printed."""
    if not by.can("add_photos"):
        from shop.access import NotAllowed

        raise NotAllowed("add_photos")
    chosen: dict[str, Any] = {"in_report": in_report}
    if position is not None:
        chosen["position"] = position
    PhotoChoice.objects.update_or_create(photo=photo, defaults=chosen)


def _check_number(ticket: Ticket, sent: int) -> None:
    if not sent:
        raise NoPhotoChosen
    if sent > PHOTO.per_request:
        raise TooManyPhotos(sent, PHOTO.per_request)
    there = ticket.photos.count()
    if there + sent > PHOTO.per_ticket:
        raise TooManyPhotos(sent, PHOTO.per_ticket, there)


def _take(uploads: Sequence[File]) -> tuple[list[TakenPhoto], list[Refused]]:
    """Store each original; a single one that is refused says so itself."""
    if len(uploads) == 1:
        return [intake.take(settings.PHOTO_FOLDER, uploads[0].chunks())], []
    return _take_each(uploads)


def _take_each(uploads: Sequence[File]) -> tuple[list[TakenPhoto], list[Refused]]:
    """Store each original. Nothing of the database is held meanwhile."""
    taken: dict[str, TakenPhoto] = {}
    refused = []
    for upload in uploads:
        try:
            photo = intake.take(settings.PHOTO_FOLDER, upload.chunks())
        except (PhotoRefused, NotStored) as refusal:
            refused.append(Refused(_shown(upload.name), str(refusal), refusal.status))
        else:
            taken.setdefault(photo.sha256, photo)
    return list(taken.values()), refused


def _shown(name: str | None) -> str:
    """A file's name as text to read; it is never used as a path."""
    return show_controls(name or _("photo without a name"))[:LONGEST_NAME_SHOWN]


def _keep(taken: Iterable[TakenPhoto]) -> None:
    now = timezone.now()
    for photo in taken:
        Blob.objects.get_or_create(
            sha256=photo.sha256,
            defaults={
                "size": photo.size,
                "type": photo.type,
                "width": photo.width,
                "height": photo.height,
                "at": now,
            },
        )


def _frames(taken: Sequence[TakenPhoto], about: Mapping[str, str]) -> list[dict[str, Any]]:
    told = {name: value for name, value in about.items() if value}
    frames = []
    for letter, photo in zip(_letters(len(taken)), taken, strict=True):
        frame: dict[str, Any] = {"letter": letter, "sha256": photo.sha256} | told
        if photo.claimed_at:
            frame["claimed_at"] = photo.claimed_at
        if photo.had_location:
            frame["had_location"] = True
        frames.append(frame)
    return frames


def _letters(count: int) -> list[str]:
    """a, b, c ...; two letters each, aa, ab ..., where one is not enough, so that they sort."""
    if count <= len(ascii_lowercase):
        return list(ascii_lowercase[:count])
    pairs = (first + second for first in ascii_lowercase for second in ascii_lowercase)
    return [letter for letter, _number in zip(pairs, range(count), strict=False)]
