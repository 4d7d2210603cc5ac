"""Limits of photos and of the helper process: the one table that code and messages read.

Those of a data log stand in `measurements.core.logs.text`, which the command line reads too.
"""

from __future__ import annotations

from dataclasses import dataclass, field

MEBIBYTE = 2**20


@dataclass(frozen=True)
class PhotoLimits:
    """What a photo may be. Bytes and pixels are counts; sides are in pixels."""

    max_bytes: int = 25_000_000
    max_side: int = 20_000
    max_scans: int = 100
    """Parts in which a JPEG may build up; a few thousand cost minutes of computing."""
    max_pixels: dict[str, int] = field(
        default_factory=lambda: {
            # JPEG is shrunk while it is read; the others are held in memory whole.
            "JPEG": 60_000_000,
            "PNG": 24_000_000,
            "WEBP": 24_000_000,
            "HEIF": 50_000_000,
        }
    )
    per_request: int = 40
    per_ticket: int = 500
    """At most so many photos."""


@dataclass(frozen=True)
class SpaceLimits:
    """Free room on the disk, as shares of the whole, below which is warned and stopped."""

    warn_share: float = 0.10
    stop_share: float = 0.03
    enough_bytes: int = 20_000_000_000
    """With so much free, a large disk is neither low nor full, whatever the share."""


@dataclass(frozen=True)
class JobLimits:
    """What one job of the helper process may use."""

    memory_bytes: int
    cpu_seconds: int
    wall_seconds: float


PHOTO = PhotoLimits()
SPACE = SpaceLimits()
DECODE = JobLimits(memory_bytes=512 * MEBIBYTE, cpu_seconds=10, wall_seconds=15)
RENDER = JobLimits(memory_bytes=1024 * MEBIBYTE, cpu_seconds=30, wall_seconds=60)
READ_LOG = JobLimits(memory_bytes=768 * MEBIBYTE, cpu_seconds=40, wall_seconds=60)
REPORT_PAGES = 200

COPIES: dict[str, int] = {"screen": 1600, "print": 1000, "thumb": 400}
"""Derived copies: name -> longer side in pixels. 1000 px over a third of a sheet is 440 dots an
inch, and a report of 12 photos stays near 2 MB; 1600 px would make it 5 MB."""
COPY_QUALITY = 82

TYPES: dict[str, str] = {
    "JPEG": "image/jpeg",
    "PNG": "image/png",
    "WEBP": "image/webp",
    "HEIF": "image/heic",
}
"""Kinds of photo that are taken -> content type."""

INCOMING_HOURS = 1
ORPHAN_HOURS = 24
"""Age from which a sweep removes unfinished files and originals that no record names."""
