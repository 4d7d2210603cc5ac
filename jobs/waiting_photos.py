"""Photos that were chosen on a form which is not saved yet: they are stored, wait with its draft,
and go into the record with what the form makes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, QueryDict
from django.utils.translation import gettext as _

from jobs.actions import photos
from jobs.models import Entry
from jobs.photos.limits import PHOTO
from jobs.photos.refusals import PhotoRefused
from jobs.photos.store import NotStored
from jobs.record.append import EntryRefused
from jobs.words.photo import SUBJECTS_WITH_CYLINDER, UNKNOWN_PLACE
from measurements.core.procedure import Procedure

UPLOAD = "photos"
"""Name of the box that takes them."""
WAITING = "photos_waiting"
"""Name of the hidden box that says which are stored already."""

_SUBJECTS = {"spark_plugs": "spark_plug", "oil_level": "dipstick"}


def waiting_in(fields: Mapping[str, Any]) -> list[str]:
    """The SHA-256 of the photos that wait with a form; whatever is no such number is left out."""
    text = str(fields.get(WAITING, ""))
    return list(dict.fromkeys(re.findall(r"\b[0-9a-f]{64}\b", text)))[: PHOTO.per_request]


def put_by(request: HttpRequest) -> QueryDict:
    """What was sent, with the photos that came along stored and named in it. Says which were not
    taken, and why; the form goes on without them."""
    sent = request.POST.copy()
    sent.pop(UPLOAD, None)
    uploads = request.FILES.getlist(UPLOAD)
    if not uploads:
        return sent
    try:
        stored, refused = photos.put_by(uploads)
    except EntryRefused as refusal:
        messages.warning(request, str(refusal))
        return sent
    for one in refused:
        messages.warning(
            request, _("Not taken: %(photo)s") % {"photo": f"{one.name}: {one.reason}"}
        )
    waiting = dict.fromkeys([*waiting_in(sent), *stored])
    sent[WAITING] = " ".join(list(waiting)[: PHOTO.per_request])
    return sent


def add_to_test(request: HttpRequest, entry: Entry, procedure: Procedure) -> None:
    """Record the photos that waited with the form of a test that is saved now."""
    waiting = waiting_in(request.POST)
    if not waiting:
        return
    subject = _SUBJECTS.get(procedure.name, "gauge_face")
    try:
        photos.add_put_by(
            ticket=entry.ticket,
            sha256=waiting,
            by=request.user,
            subject=subject,
            place=UNKNOWN_PLACE if subject in SUBJECTS_WITH_CYLINDER else "",
            run=entry.run_link.run,
            client_key=f"{entry.client_key}-photos" if entry.client_key else None,
        )
    except (PhotoRefused, NotStored, EntryRefused) as refusal:
        messages.warning(
            request,
            _("The test is saved; its photos are not: %(why)s Add them here.")
            % {"why": str(refusal)},
        )
