"""A photo that arrives: received, opened in the helper process, kept, its copies made."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from jobs.photos import store
from jobs.photos.limits import COPIES, PHOTO
from jobs.photos.refusals import TooLarge
from jobs.photos.sniff import sniff
from jobs.process import DecodedPhoto, HelperUnavailable, decode


@dataclass(frozen=True)
class TakenPhoto:
    """An original on disk for good, with what it says of itself.

    `claimed_at` is the camera's own clock (ISO 8601, "" if unknown), never ours.
    """

    sha256: str
    size: int
    type: str
    width: int
    height: int
    claimed_at: str
    had_location: bool


def take(root: Path, chunks: Iterable[bytes]) -> TakenPhoto:
    """Store a photo and its copies.

    Raises `PhotoRefused` for what isn't a photo within the limits and `store.NotStored` when the
    disk can't keep it; nothing is stored then. Without a helper process the original is kept all
    the same, and its copies are made when they are first asked for.
    """
    try:
        with store.receive(root, chunks, limit=PHOTO.max_bytes) as received:
            try:
                photo = decode(received.path)
            except HelperUnavailable:
                photo = _unopened(received.path)
            stored = received.keep()
    except store.TooManyBytes as fault:
        raise TooLarge(limit=PHOTO.max_bytes // 1_000_000) from fault
    with contextlib.suppress(OSError):  # made again when asked for
        _put_copies(root, stored.sha256, photo)
    return TakenPhoto(
        sha256=stored.sha256,
        size=stored.size,
        type=photo.type,
        width=photo.width,
        height=photo.height,
        claimed_at=photo.claimed_at,
        had_location=photo.had_location,
    )


def copy_path(root: Path, sha256: str, size: str) -> Path:
    """The file of a copy ("screen", "print" or "thumb"), made again if it is gone."""
    path = store.copy_path(root, sha256, size)
    if not path.is_file():
        _put_copies(root, sha256, decode(store.original_path(root, sha256)))
    return path


def _put_copies(root: Path, sha256: str, photo: DecodedPhoto) -> None:
    for size in COPIES:
        if size in photo.copies:
            store.put_copy(root, sha256, size, photo.copies[size])


def _unopened(path: Path) -> DecodedPhoto:
    """What the header alone tells, without opening the picture."""
    found = sniff(path.read_bytes())
    return DecodedPhoto(
        kind=found.kind,
        type=found.type,
        width=found.width,
        height=found.height,
        claimed_at="",
        had_location=False,
        copies={},
    )
