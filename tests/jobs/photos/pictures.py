"""Small photos, good and hostile, made when a test runs. No file of anybody's camera."""

from __future__ import annotations

import io
import struct
import zlib

from PIL import Image, PngImagePlugin

RED, GREEN, BLUE, YELLOW = (200, 30, 30), (30, 170, 60), (40, 60, 200), (230, 210, 40)
CORNERS = (RED, GREEN, BLUE, YELLOW)
"""Colours at top left, top right, bottom left, bottom right of the upright picture."""


def quarters(width: int = 480, height: int = 320, mode: str = "RGB") -> Image.Image:
    """Four colours, one in each quarter, so that every turn and flip shows."""
    image = Image.new("RGB", (width, height))
    for i, colour in enumerate(CORNERS):
        left, top = (i % 2) * (width // 2), (i // 2) * (height // 2)
        image.paste(colour, (left, top, left + width // 2, top + height // 2))
    return image.convert(mode)


def corners_of(image: Image.Image) -> tuple[str, ...]:
    """The name of the nearest of the four colours in each quarter."""
    names = {RED: "red", GREEN: "green", BLUE: "blue", YELLOW: "yellow"}
    rgb = image.convert("RGB")
    found = []
    for x, y in ((1, 1), (3, 1), (1, 3), (3, 3)):
        pixel = rgb.getpixel((image.width * x // 4, image.height * y // 4))
        nearest = min(names, key=lambda c: sum((a - b) ** 2 for a, b in zip(c, pixel, strict=True)))
        distance = sum((a - b) ** 2 for a, b in zip(nearest, pixel, strict=True))
        found.append(names[nearest] if distance < 3 * 30**2 else f"none: {pixel}")
    return tuple(found)


UPRIGHT = ("red", "green", "blue", "yellow")

TURNED = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
"""EXIF orientation -> how a camera would have stored an upright scene: the inverse of what the
reader does (CIPA DC-008: 6 is shown after a quarter turn clockwise)."""


def stored_with(orientation: int, image: Image.Image | None = None) -> Image.Image:
    """The scene as it lies in the file."""
    scene = image or quarters()
    how = TURNED[orientation]
    return scene.transpose(how) if how is not None else scene


def saved(image: Image.Image, kind: str = "JPEG", **options) -> bytes:
    """The bytes of a file of this kind (JPEG, PNG, WEBP, HEIF)."""
    if kind == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    with io.BytesIO() as file:
        image.save(file, kind, **options)
        return file.getvalue()


def jpeg(width: int = 480, height: int = 320, **options) -> bytes:
    return saved(quarters(width, height), "JPEG", **options)


# ------------------------------------------------------------------ metadata

MARKS = (
    b"PLANTED-OWNER",
    b"PLANTED-SERIAL",
    b"PLANTED-COMMENT",
    b"PLANTED-TRAILER",
    b"PLANTED-XMP",
    b"PLANTED-MAKER",
    b"PLANTED-THUMBNAIL",
)


def exif_of(
    taken: str | None = "2026:03:14 09:26:53",
    offset: str | None = "+01:00",
    orientation: int | None = None,
    place: bool = True,
) -> Image.Exif:
    """What a phone writes: owner, serial number, place, maker's notes, time."""
    exif = Image.Exif()
    exif[0x013B] = "PLANTED-OWNER"
    if orientation is not None:
        exif[0x0112] = orientation
    detail = {0xA431: "PLANTED-SERIAL", 0x927C: b"PLANTED-MAKER", 0x9286: b"PLANTED-COMMENT"}
    if taken is not None:
        detail[0x9003] = taken
    if offset is not None:
        detail[0x9011] = offset
    exif._ifds[0x8769] = detail
    exif[0x8769] = 0
    if place:
        exif._ifds[0x8825] = {1: "N", 2: (47.0, 22.0, 11.5), 3: "E", 4: (8.0, 32.0, 30.25)}
        exif[0x8825] = 0
    return exif


XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>PLANTED-XMP exif:GPSLatitude</x:xmpmeta>"


def marked(kind: str) -> bytes:
    """A file full of things that must not travel, each with a mark that can be searched for."""
    exif = exif_of().tobytes()
    scene = quarters()
    if kind == "JPEG":
        body = saved(scene, "JPEG", exif=exif, comment=b"PLANTED-COMMENT", xmp=XMP)
        thumbnail = b"\xff\xec" + struct.pack(">H", 19) + b"PLANTED-THUMBNAIL"
        return body[:2] + thumbnail + body[2:] + b"PLANTED-TRAILER"
    if kind == "PNG":
        notes = PngImagePlugin.PngInfo()
        notes.add_text("Comment", "PLANTED-COMMENT")
        notes.add_itxt("XML:com.adobe.xmp", XMP.decode())
        return saved(scene, "PNG", exif=exif, pnginfo=notes) + b"PLANTED-TRAILER"
    if kind == "WEBP":
        return saved(scene, "WEBP", exif=exif, xmp=XMP) + b"PLANTED-TRAILER"
    return saved(scene, "HEIF", exif=exif, xmp=XMP, quality=90) + box(b"free", b"PLANTED-TRAILER")


def box(name: bytes, content: bytes) -> bytes:
    """A box of an ISO media file."""
    return struct.pack(">I4s", 8 + len(content), name) + content


# ------------------------------------------------------------------ headers without pictures


def png_chunk(name: bytes, content: bytes) -> bytes:
    return (
        struct.pack(">I", len(content))
        + name
        + content
        + struct.pack(">I", zlib.crc32(name + content))
    )


def png_header(width: int, height: int, depth: int = 8, colour: int = 2) -> bytes:
    """A PNG that claims a size and holds next to nothing."""
    return (
        b"\x89PNG\r\n\x1a\n"
        + png_chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0))
        + png_chunk(b"IDAT", zlib.compress(b"\0" * 64))
        + png_chunk(b"IEND", b"")
    )


def png_with(*chunks: bytes) -> bytes:
    """A good PNG with further chunks after its header."""
    body = saved(quarters(), "PNG")
    return body[:33] + b"".join(chunks) + body[33:]


def webp_header(width: int, height: int) -> bytes:
    """A lossless WebP that claims a size: a few dozen bytes."""
    bits = (width - 1) | (height - 1) << 14
    chunk = b"VP8L" + struct.pack("<I", 16) + b"\x2f" + struct.pack("<I", bits) + b"\0" * 11
    return b"RIFF" + struct.pack("<I", 4 + len(chunk)) + b"WEBP" + chunk


def jpeg_header(width: int, height: int) -> bytes:
    """A JPEG whose frame header claims a size."""
    body = bytearray(jpeg(16, 16))
    frame = body.find(b"\xff\xc0")
    struct.pack_into(">HH", body, frame + 5, height, width)
    return bytes(body)


def jpeg_with_scans(scans: int) -> bytes:
    """A progressive JPEG whose last scan is repeated until there are so many."""
    body = saved(quarters(), "JPEG", progressive=True)
    first = body.find(b"\xff\xda")
    assert first > 0
    last = body.rfind(b"\xff\xda")
    return body[:-2] + body[last:-2] * (scans - body.count(b"\xff\xda")) + b"\xff\xd9"


def jpeg_with_exif(block: bytes) -> bytes:
    """A good JPEG with this TIFF block as its EXIF."""
    content = b"Exif\0\0" + block
    body = jpeg()
    return body[:2] + b"\xff\xe1" + struct.pack(">H", 2 + len(content)) + content + body[2:]


def tiff(*entries: tuple[int, int, int, int], following: int = 0) -> bytes:
    """A TIFF directory of raw entries (tag, type, count, value or offset), big end first."""
    return (
        b"MM\0*"
        + struct.pack(">IH", 8, len(entries))
        + b"".join(struct.pack(">HHII", *entry) for entry in entries)
        + struct.pack(">I", following)
    )
