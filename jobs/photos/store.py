"""Originals by the SHA-256 of their bytes, on disk for good before anything refers to them.

Below the root: `originals/ab/cd/<sha256>`, `copies/ab/cd/<sha256>-<size>.jpg` (may go at any time)
and `incoming/` (unfinished). An original is written under a temporary name, synced, renamed, and
its folder synced; only then its name is given out.
"""

from __future__ import annotations

import contextlib
import errno
import fcntl
import hashlib
import os
import re
import secrets
import shutil
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.utils.translation import gettext_lazy as _

from jobs.photos.limits import COPIES, INCOMING_HOURS, ORPHAN_HOURS, SPACE

FILE_MODE = 0o640
FOLDER_MODE = 0o750
_SHA256 = re.compile(r"[0-9a-f]{64}")
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


class NotStored(OSError):
    """An original that is not saved; nothing half saved is left under its name."""

    status = 503
    sentence: Any = ""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason

    def __str__(self) -> str:
        return str(self.sentence) % {"reason": self.reason}


class StorageFull(NotStored):
    """No room."""

    status = 507
    sentence = _(
        "Not saved: the storage is full (%(reason)s). Make room on the shop’s computer, then send "
        "it again."
    )


class StorageFailed(NotStored):
    """The disk or its rights don't let us write."""

    sentence = _(
        "Not saved: the storage can’t be written (%(reason)s). Tell the owner, and send it again "
        "when the storage works."
    )


class TooManyBytes(ValueError):
    """More bytes arrived than the caller allows."""

    def __init__(self, limit: int) -> None:
        super().__init__(f"more than {limit} bytes")
        self.limit = limit


class NoSuchName(ValueError):
    """A name that can't be that of an original."""

    def __init__(self, name: object) -> None:
        super().__init__(f"{name!r} is not the name of an original: 64 hexadecimal digits")


@dataclass(frozen=True)
class Stored:
    """An original that is on disk for good."""

    sha256: str
    size: int


@dataclass(frozen=True)
class Space:
    """Room on the disk that holds the store."""

    free_bytes: int
    total_bytes: int

    @property
    def is_low(self) -> bool:
        """Time to tell the owner."""
        return self._less_than(SPACE.warn_share)

    @property
    def is_full(self) -> bool:
        """No further photos: the record itself needs the rest."""
        return self._less_than(SPACE.stop_share)

    def _less_than(self, share: float) -> bool:
        return self.free_bytes < min(share * self.total_bytes, SPACE.enough_bytes)


@dataclass(frozen=True)
class Swept:
    """How many files a sweep removed."""

    incoming: int
    orphans: int


# ------------------------------------------------------------------ where things are


def original_path(root: Path, sha256: str) -> Path:
    """Where an original is, or would be."""
    _check(sha256)
    return root / "originals" / sha256[:2] / sha256[2:4] / sha256


def copy_path(root: Path, sha256: str, size: str) -> Path:
    """Where a derived copy is, or would be."""
    _check(sha256)
    if size not in COPIES:
        raise NoSuchName(size)
    return root / "copies" / sha256[:2] / sha256[2:4] / f"{sha256}-{size}.jpg"


def _check(sha256: str) -> None:
    if not isinstance(sha256, str) or not _SHA256.fullmatch(sha256):
        raise NoSuchName(sha256)


def space(root: Path) -> Space:
    """Free room, or that of the nearest folder that exists."""
    existing = next(folder for folder in [root, *root.parents] if folder.exists())
    usage = shutil.disk_usage(existing)
    return Space(free_bytes=usage.free, total_bytes=usage.total)


# ------------------------------------------------------------------ writing


@dataclass
class Received:
    """Bytes that arrived, under a temporary name in the store. `keep` makes an original of them."""

    root: Path
    path: Path
    sha256: str
    size: int

    def keep(self) -> Stored:
        """Give the file its name for good. Returns after file and folders are synced.

        The same bytes a second time take the place of the first: one file, and a damaged one is
        healed. A failed sync is final: the kernel may have dropped the data and would report
        success on a second try.
        """
        final = original_path(self.root, self.sha256)
        with _answered(), _lock(self.root, fcntl.LOCK_SH):
            _make_folders(self.root, final.parent)
            os.replace(self.path, final)
            _sync_folder(final.parent)
        return Stored(self.sha256, self.size)


@contextlib.contextmanager
def receive(root: Path, chunks: Iterable[bytes], *, limit: int | None = None) -> Iterator[Received]:
    """The bytes under a temporary name, synced and hashed. Discarded at the end unless kept."""
    with _answered():
        if space(root).is_full:
            raise StorageFull(os.strerror(errno.ENOSPC))
        _make_folders(root, root / "incoming")
    path = root / "incoming" / f"{secrets.token_hex(16)}.part"
    try:
        with _answered():
            sha256, size = _write(path, chunks, limit)
        yield Received(root, path, sha256, size)
    finally:
        with contextlib.suppress(OSError, MemoryError):  # already kept, or left to the sweep
            os.unlink(path)


def put(root: Path, data: bytes | Iterable[bytes], *, limit: int | None = None) -> Stored:
    """Store an original."""
    chunks: Iterable[bytes] = [data] if isinstance(data, bytes) else data
    with receive(root, chunks, limit=limit) as received:
        return received.keep()


def put_copy(root: Path, sha256: str, size: str, data: bytes) -> Path:
    """Write a derived copy: whole or not at all, but not synced, for it can be made again."""
    final = copy_path(root, sha256, size)
    temporary = root / "incoming" / f"{secrets.token_hex(16)}.part"
    try:
        for folder in (temporary.parent, final.parent):
            folder.mkdir(parents=True, exist_ok=True, mode=FOLDER_MODE)
        temporary.write_bytes(data)
        temporary.replace(final)
    finally:
        temporary.unlink(missing_ok=True)
    return final


def _write(path: Path, chunks: Iterable[bytes], limit: int | None) -> tuple[str, int]:
    digest, size = hashlib.sha256(), 0
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, FILE_MODE)
    try:
        for chunk in chunks:
            size += len(chunk)
            if limit is not None and size > limit:
                raise TooManyBytes(limit)
            digest.update(chunk)
            rest = memoryview(chunk)
            while rest:
                rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)
    return digest.hexdigest(), size


_known_folders: set[Path] = set()
"""Folders of which this process has synced the parent, so that their names last."""


def _make_folders(root: Path, folder: Path) -> None:
    """Make the folder, root included, so that a power cut can't take it away again.

    Another process may have made it and not synced yet: the first use here syncs in any case.
    """
    levels = [folder, *folder.parents]
    for level in reversed(levels[: levels.index(root) + 1]):
        made = _make(level)
        if made or level not in _known_folders:
            _sync_folder(level.parent)
            _known_folders.add(level)


def _make(folder: Path) -> bool:
    try:
        os.mkdir(folder, FOLDER_MODE)
    except FileExistsError:
        return False
    except FileNotFoundError:  # above the root: not ours to sync
        folder.parent.mkdir(parents=True, exist_ok=True, mode=FOLDER_MODE)
        os.mkdir(folder, FOLDER_MODE)
    return True


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextlib.contextmanager
def _answered() -> Iterator[None]:
    """System errors as answers to a person."""
    try:
        yield
    except NotStored:
        raise
    except MemoryError as fault:
        raise StorageFailed(os.strerror(errno.ENOMEM)) from fault
    except OSError as fault:
        reason = fault.strerror or type(fault).__name__
        raise (StorageFull if fault.errno in _FULL else StorageFailed)(reason) from fault


@contextlib.contextmanager
def _lock(root: Path, kind: int) -> Iterator[None]:
    """Shared while an original gets its name, alone while one is swept."""
    handle = os.open(root / "lock", os.O_RDWR | os.O_CREAT, FILE_MODE)
    try:
        fcntl.flock(handle, kind)
        yield
    finally:
        os.close(handle)


# ------------------------------------------------------------------ sweeping


def sweep(root: Path, is_referenced: Callable[[str], bool], *, now: float | None = None) -> Swept:
    """Remove unfinished files older than an hour, and originals older than a day that no record
    names; copies without an original go with them. Safe while others write: what was stored or
    stored again meanwhile is young, and asked for under a lock."""
    now = time.time() if now is None else now
    incoming = sum(
        _remove(path)
        for path in _files(root / "incoming")
        if _is_older(path, now - INCOMING_HOURS * 3600)
    )
    orphans = 0
    for path in _files(root / "originals"):
        before = now - ORPHAN_HOURS * 3600
        if not _SHA256.fullmatch(path.name) or not _is_older(path, before):
            continue
        if is_referenced(path.name):
            continue
        with _lock(root, fcntl.LOCK_EX):
            if _is_older(path, before) and not is_referenced(path.name):
                orphans += _remove(path)
    for path in _files(root / "copies"):
        sha256 = path.name.partition("-")[0]
        if _SHA256.fullmatch(sha256) and not original_path(root, sha256).exists():
            _remove(path)
    return Swept(incoming, orphans)


def _files(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not path.is_symlink():
            yield path


def _is_older(path: Path, moment: float) -> bool:
    try:
        return path.stat().st_mtime < moment
    except FileNotFoundError:
        return False


def _remove(path: Path) -> bool:
    try:
        path.unlink()
    except FileNotFoundError:
        return False
    return True
