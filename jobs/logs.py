"""Data logs that are handed over for a test: into the store of originals, and opened from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.files.base import File as Upload
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import Blob, Entry, RunLink
from jobs.photos import store
from jobs.process import read_log
from measurements.core.logs.columns import LogColumns, Wanted
from measurements.core.logs.file import Files, LogFile, open_log
from measurements.core.logs.text import LARGEST_BYTES, LogRefused, LogText
from measurements.core.procedure import File, Procedure
from measurements.models import Run
from measurements.procedures import PROCEDURES
from shop.text import show_controls

CONTENT_TYPE = "text/csv"
LONGEST_NAME = 120


@dataclass(frozen=True)
class TakenLog:
    """A log that is in the store for good: its key, its name as text to read, how it is written."""

    sha256: str
    name: str
    text: LogText


def take(upload: Upload) -> TakenLog:
    """Keep a log that arrives. Raises LogRefused for what is none, NotStored when the disk fails;
    nothing is kept then."""
    root = settings.PHOTO_FOLDER
    try:
        with store.receive(root, upload.chunks(), limit=LARGEST_BYTES) as received:
            text = open_log(received.path).text
            stored = received.keep()
    except store.TooManyBytes as fault:
        raise LogRefused(
            _("The file is too large: at most %(limit)s MB are read.")
            % {"limit": LARGEST_BYTES // 1_000_000}
        ) from fault
    Blob.objects.get_or_create(
        sha256=stored.sha256,
        defaults={"size": stored.size, "type": CONTENT_TYPE, "at": timezone.now()},
    )
    name = show_controls(upload.name or "")[:LONGEST_NAME]
    return TakenLog(stored.sha256, name, text)


def files_for(procedure: Procedure, typed: Mapping[str, Any]) -> Files:
    """The stored logs that are typed for a procedure, by their keys."""
    found: dict[str, LogFile | LogRefused] = {}
    for address in addresses(procedure):
        entry = typed.get(address, "")
        key = (entry if isinstance(entry, str) else entry[0]).strip()
        blob = Blob.objects.filter(sha256=key, type=CONTENT_TYPE).first() if key else None
        if blob is None:
            continue
        try:
            path = store.original_path(settings.PHOTO_FOLDER, blob.sha256)
            found[key] = open_log(path, _read_once())
        except LogRefused as refusal:
            found[key] = refusal
        except OSError:
            found[key] = LogRefused(_("The stored file is missing. Tell the owner; send it again."))
    return found


def size_of(files: Files) -> int:
    """Bytes of the largest of them."""
    paths = [file.path for file in files.values() if isinstance(file, LogFile)]
    return max((path.stat().st_size for path in paths), default=0)


def addresses(procedure: Procedure) -> list[str]:
    """Where a procedure's files are typed."""
    return [
        f"{grid.key}.{grid.axis.file.key}"
        for grid in procedure.grids
        if isinstance(grid.axis, File)
    ]


def log_of(run: Run) -> Blob | None:
    """The file that a recorded test was made from, None for most."""
    procedure = PROCEDURES.get(run.procedure)
    for address in addresses(procedure) if procedure else ():
        key, _unit = run.data["typed"].get(address, ("", ""))
        if key:
            return Blob.objects.filter(sha256=key, type=CONTENT_TYPE).first()
    return None


def entry_of(blob: Blob) -> Entry | None:
    """The first entry of a test that was made from a file."""
    links = RunLink.objects.filter(run__readings__typed=blob.sha256).select_related("entry__ticket")
    first = links.order_by("entry__pk").first()
    return first.entry if first else None


def name_of(run: Run) -> str:
    """What that file was called, as text to read."""
    return next(
        (text for address, (text, _) in run.data["typed"].items() if address.endswith(".called")),
        "",
    )


def _read_once() -> Any:
    """Reads in the helper process, and the same columns of one request only once."""
    known: dict[tuple[tuple[str, Wanted], ...], LogColumns] = {}

    def read(path: Path, text: LogText, wanted: Mapping[str, Wanted]) -> LogColumns:
        key = tuple(wanted.items())
        if key not in known:
            known[key] = read_log(path, text, wanted)
        return known[key]

    return read
