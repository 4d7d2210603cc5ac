"""Photos that were chosen on a form which is not saved yet: they are stored, wait with its draft,
and go into the record with what the form makes."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from django.contrib import messages
from django.http import HttpRequest, QueryDict
from django.utils.translation import gettext as _

from jobs.actions import photos
from jobs.actions.photos import TooManyPhotos
from jobs.models import Entry
from jobs.photos.limits import PHOTO
from jobs.photos.refusals import PhotoRefused
from jobs.photos.store import NotStored
from jobs.record.append import EntryRefused
from jobs.words.photo import SUBJECTS_WITH_CYLINDER, UNKNOWN_PLACE
from measurements.core.procedure import Procedure

UPLOAD = "photos"
"""Name of the box that takes them; one row's own box is called `photos.<grid>.<row>`."""
WAITING = "photos_waiting"
"""Name of the hidden box that says which are stored already, and of which row."""

_SUBJECTS = {"spark_plugs": "spark_plug", "oil_level": "dipstick"}


class Waiting(NamedTuple):
    """One photo that is stored; `row` is the grid and row that it shows, "" for the whole test."""

    sha256: str
    row: str = ""

    def __str__(self) -> str:
        return f"{self.sha256}@{self.row}" if self.row else self.sha256


def waiting_in(fields: Mapping[str, Any]) -> list[Waiting]:
    """The photos that wait with a form, each once; whatever else stands there is left out."""
    text = str(fields.get(WAITING, ""))
    found = re.findall(r"(?<!\S)([0-9a-f]{64})(?:@([a-z0-9_]+\.[a-z0-9_]+))?(?!\S)", text)
    each = {sha256: Waiting(sha256, row) for sha256, row in reversed(found)}
    return list(reversed(each.values()))[: PHOTO.per_request]


def by_row(waiting: Iterable[Waiting]) -> dict[str, int]:
    """How many wait, by row."""
    return dict(Counter(one.row for one in waiting))


def put_by(request: HttpRequest) -> QueryDict:
    """What was sent, with the photos that came along stored and named in it. Says which were not
    taken, and why; the form goes on without them."""
    sent = request.POST.copy()
    sent.pop(UPLOAD, None)
    uploads = [
        (name.removeprefix(UPLOAD).removeprefix("."), upload)
        for name in request.FILES
        if name == UPLOAD or name.startswith(f"{UPLOAD}.")
        for upload in request.FILES.getlist(name)
    ]
    if not uploads:
        return sent
    waiting = {one.sha256: one for one in waiting_in(sent)}
    if len(waiting) + len(uploads) > PHOTO.per_request:
        messages.warning(request, str(TooManyPhotos(len(uploads), PHOTO.per_request)))
        return sent
    for row in dict.fromkeys(row for row, _upload in uploads):
        stored, refused = photos.put_by([upload for place, upload in uploads if place == row])
        for one in refused:
            messages.warning(
                request, _("Not taken: %(photo)s") % {"photo": f"{one.name}: {one.reason}"}
            )
        for sha256 in stored:
            waiting.setdefault(sha256, Waiting(sha256, row))
    sent[WAITING] = " ".join(str(one) for one in waiting.values())
    return sent


def add_to_test(
    request: HttpRequest, entry: Entry, procedure: Procedure, rows: Mapping[str, str]
) -> None:
    """Record the photos that waited with the form of a test that is saved now, those of a row
    with its name as their place; `rows`: what people call each."""
    waiting = waiting_in(request.POST)
    subject = _SUBJECTS.get(procedure.name, "gauge_face")
    for row in dict.fromkeys(one.row for one in waiting):
        known = rows.get(row, "")
        key = f"{entry.client_key}-photos{f'-{row}' if row else ''}"
        anywhere = UNKNOWN_PLACE if subject in SUBJECTS_WITH_CYLINDER else ""
        try:
            photos.add_put_by(
                ticket=entry.ticket,
                sha256=[one.sha256 for one in waiting if one.row == row],
                by=request.user,
                subject="other" if known else subject,
                place=known or anywhere,
                run=entry.run_link.run,
                client_key=key if entry.client_key else None,
            )
        except (PhotoRefused, NotStored, EntryRefused) as refusal:
            messages.warning(
                request,
                _("The test is saved; its photos are not: %(why)s Add them here.")
                % {"why": str(refusal)},
            )
