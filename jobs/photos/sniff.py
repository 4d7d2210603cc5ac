"""What a file is, by its content alone, and whether it may be decoded: headers only, no pixels."""

from __future__ import annotations

import re
import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from jobs.photos.limits import PHOTO, TYPES
from jobs.photos.refusals import (
    Animation,
    Damaged,
    EmptyFile,
    HeicUnreadable,
    Incomplete,
    NotAPhoto,
    SideTooLong,
    TooManyPixels,
    TooManyScans,
)


@dataclass(frozen=True)
class Sniffed:
    """Kind ("JPEG", "PNG", "WEBP", "HEIF") and size in pixels as the header says it."""

    kind: str
    width: int
    height: int

    @property
    def type(self) -> str:
        """Content type."""
        return TYPES[self.kind]


def sniff(data: bytes) -> Sniffed:
    """Kind and size of a photo whose header keeps the limits; else a `PhotoRefused`."""
    if len(data) < 16:
        raise EmptyFile
    kind, size_of = _kind(data)
    try:
        width, height = size_of(data)
    except (struct.error, IndexError) as fault:
        raise Incomplete from fault
    except Damaged:
        if kind == "HEIF":
            raise HeicUnreadable from None
        raise
    check_size(kind, width, height)
    return Sniffed(kind, width, height)


def check_size(kind: str, width: int, height: int) -> None:
    """Refuse sides and pixel counts beyond the limits."""
    if width < 1 or height < 1:
        raise Damaged
    if max(width, height) > PHOTO.max_side:
        raise SideTooLong(width=width, height=height, limit=PHOTO.max_side)
    limit = PHOTO.max_pixels[kind]
    if width * height > limit:
        raise TooManyPixels(
            found=round(width * height / 1e6, 1), kind=kind, limit=limit // 1_000_000
        )


def _kind(data: bytes) -> tuple[str, Callable[[bytes], tuple[int, int]]]:
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG", _jpeg_size
    if data.startswith(PNG_SIGNATURE):
        return "PNG", _png_size
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return "WEBP", _webp_size
    if data[4:8] == b"ftyp":
        return "HEIF", _heif_size
    if data.startswith((b"GIF87a", b"GIF89a")) and data.count(b"\x21\xf9\x04") > 1:
        raise Animation
    raise NotAPhoto


# ------------------------------------------------------------------ JPEG (ITU-T T.81, annex B)

_START_OF_FRAME = {0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF}
_DECODABLE = {0xC0, 0xC1, 0xC2}
_START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9
_ALONE = {0x00, 0x01, *range(0xD0, 0xD9)}
_MARKER_IN_SCAN = re.compile(rb"\xff[\x01-\xcf\xd8-\xfe]")


def _jpeg_size(data: bytes) -> tuple[int, int]:
    """Size from the frame header; the walk ends at the first scan unless there are many."""
    width = height = 0
    for marker, start in _jpeg_segments(data):
        if marker in _START_OF_FRAME:
            if marker not in _DECODABLE:
                raise Damaged
            height, width = struct.unpack_from(">HH", data, start + 3)
        elif marker == _START_OF_SCAN:
            if not width:
                raise Damaged
            if not data.endswith(b"\xff\xd9") and data.find(b"\xff\xd9", start) < 0:
                raise Incomplete
            # Entropy-coded data never holds this pair, so the count is an upper bound.
            if data.count(b"\xff\xda", start) >= PHOTO.max_scans:
                _count_scans(data)
            return width, height
    raise Incomplete


def _count_scans(data: bytes) -> None:
    scans = sum(marker == _START_OF_SCAN for marker, _ in _jpeg_segments(data))
    if scans > PHOTO.max_scans:
        raise TooManyScans(found=scans, limit=PHOTO.max_scans)


def _jpeg_segments(data: bytes) -> Iterator[tuple[int, int]]:
    """Each marker with the place after it, up to the end of the (first) picture."""
    at = 2
    while at + 4 <= len(data):
        if data[at] != 0xFF:
            at = data.find(b"\xff", at)
            if at < 0:
                return
            continue
        marker = data[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker in _ALONE:
            at += 2
            continue
        if marker == _END_OF_IMAGE:
            return
        yield marker, at + 2
        at += 2 + struct.unpack_from(">H", data, at + 2)[0]
        if marker == _START_OF_SCAN:
            found = _MARKER_IN_SCAN.search(data, at)
            if found is None:
                return
            at = found.start()


# ------------------------------------------------------------------ PNG (ISO/IEC 15948)

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"


def png_chunks(data: bytes) -> Iterator[tuple[bytes, int, int]]:
    """Each chunk's type, start and end (length and check value included)."""
    at = len(PNG_SIGNATURE)
    while True:
        if at + 12 > len(data):
            raise Incomplete
        length = struct.unpack_from(">I", data, at)[0]
        name = data[at + 4 : at + 8]
        end = at + 12 + length
        if end > len(data):
            raise Incomplete
        yield name, at, end
        if name == b"IEND":
            return
        at = end


def _png_size(data: bytes) -> tuple[int, int]:
    width = height = 0
    for name, start, _end in png_chunks(data):
        if name == b"IHDR":
            width, height = struct.unpack_from(">II", data, start + 8)
            # Before the walk over the rest: a header alone may be what gives it away.
            check_size("PNG", width, height)
        elif name == b"acTL":
            raise Animation
    return width, height


# ------------------------------------------------------------------ WebP (RFC 9649)


def _webp_size(data: bytes) -> tuple[int, int]:
    chunk = data[12:16]
    if chunk == b"VP8X":
        if data[20] & 0x02:
            raise Animation
        width = int.from_bytes(data[24:27], "little") + 1
        height = int.from_bytes(data[27:30], "little") + 1
    elif chunk == b"VP8L":
        bits = struct.unpack_from("<I", data, 21)[0]
        width, height = (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    elif chunk == b"VP8 ":
        width, height = (side & 0x3FFF for side in struct.unpack_from("<HH", data, 26))
    else:
        raise Damaged
    check_size("WEBP", width, height)
    if len(data) < struct.unpack_from("<I", data, 4)[0] + 8:
        raise Incomplete
    return width, height


# ------------------------------------------------------------------ HEIF (ISO/IEC 23008-12)

_STILL_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1"}
_SEQUENCE_BRANDS = {b"hevc", b"hevx", b"hevm", b"hevs", b"msf1"}
_AVIF_BRANDS = {b"avif", b"avis"}
_MOST_BOXES = 10_000


def _heif_size(data: bytes) -> tuple[int, int]:
    """The largest size that any picture in the file claims: never less than the main one's."""
    brand = data[8:12]
    if brand in _SEQUENCE_BRANDS:
        raise Animation
    if brand in _AVIF_BRANDS:
        raise HeicUnreadable
    if brand not in _STILL_BRANDS:
        raise NotAPhoto
    sizes = [(0, 0)]
    for name, start, end in _boxes(data, 0, len(data)):
        if name == b"meta":
            sizes += _extents(data, start + 4, end)
    size = max(sizes, key=_area)
    if size == (0, 0):
        raise Damaged
    return size


def _extents(data: bytes, start: int, end: int) -> Iterator[tuple[int, int]]:
    """Every size among the item properties of a `meta` box."""
    for name, properties, properties_end in _boxes(data, start, end):
        if name != b"iprp":
            continue
        for inner, container, container_end in _boxes(data, properties, properties_end):
            if inner != b"ipco":
                continue
            for kind, at, _ in _boxes(data, container, container_end):
                if kind == b"ispe":
                    yield struct.unpack_from(">II", data, at + 4)


def _area(size: tuple[int, int]) -> int:
    return size[0] * size[1]


def _boxes(data: bytes, at: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Each box's type with start and end of its content."""
    overrun = Incomplete if at == 0 else Damaged
    for _ in range(_MOST_BOXES):
        if at + 8 > end:
            return
        size, name = struct.unpack_from(">I4s", data, at)
        start = at + 8
        if size == 1:
            size = struct.unpack_from(">Q", data, start)[0]
            start += 8
        elif size == 0:  # to the end of the file
            size = end - at
        if size < start - at:
            raise Damaged
        if at + size > end:
            # A box that goes on after the file's end has a name; garbage has none.
            raise overrun if name.strip().isalnum() else Damaged
        yield name, start, at + size
        at += size
    raise Damaged
