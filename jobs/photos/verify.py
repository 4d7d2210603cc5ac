"""Reads every stored original, photos, reports and logs, and compares it with its name; goes on
where it stopped."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

from jobs import logs
from jobs.models import Blob
from jobs.photos.store import original_path
from jobs.record.verify import Fault

BATCH = 200


def faults(*, from_start: bool = False) -> Iterator[Fault]:
    """Every original that is missing or changed, with its name and where it is used."""
    mark = settings.DATA / "verify-photos.json"
    after = "" if from_start else _read_mark(mark)
    while True:
        batch = list(Blob.objects.filter(sha256__gt=after).order_by("sha256")[:BATCH])
        if not batch:
            break
        for blob in batch:
            problem = _problem(blob)
            if problem:
                yield Fault(_where(blob), problem)
        after = batch[-1].sha256
        mark.write_text(json.dumps({"after": after}), "utf-8")
    mark.unlink(missing_ok=True)


def _read_mark(mark: Path) -> str:
    try:
        return str(json.loads(mark.read_text("utf-8"))["after"])
    except (OSError, ValueError, KeyError):
        return ""


def _problem(blob: Blob) -> str:
    path = original_path(settings.PHOTO_FOLDER, blob.sha256)
    try:
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
    except FileNotFoundError:
        return "its file is missing"
    except OSError as error:
        return f"its file can't be read: {error.strerror}"
    return "" if digest == blob.sha256 else "its file was changed"


def _where(blob: Blob) -> str:
    photo = blob.photos.select_related("entry", "ticket").first()
    if photo:
        return f"ticket {photo.ticket.shown_number}, photo {photo.frame} ({blob.sha256[:12]})"
    if blob.type == logs.CONTENT_TYPE and (entry := logs.entry_of(blob)):
        return f"ticket {entry.ticket.shown_number}, log of test {entry.seq} ({blob.sha256[:12]})"
    report = blob.reports.first()
    return f"report {report} ({blob.sha256[:12]})" if report else f"original {blob.sha256[:12]}"
