"""Opens a photo and makes its copies. Runs only in the helper process: C decoders meet strangers'
bytes here."""

from __future__ import annotations

import io
import re
import warnings
from datetime import datetime
from typing import Any

from PIL import Image, ImageCms, JpegImagePlugin, PngImagePlugin, WebPImagePlugin

from jobs.photos.limits import COPIES, COPY_QUALITY
from jobs.photos.refusals import Damaged, HeicUnreadable, Incomplete, PhotoRefused
from jobs.photos.sniff import PNG_SIGNATURE, Sniffed, check_size, png_chunks, sniff

Facts = dict[str, Any]

# The sizes are checked before; the library's own warning would only come on top.
Image.MAX_IMAGE_PIXELS = None


def decode(data: bytes) -> tuple[Facts, dict[str, bytes]]:
    """Facts and copies of a photo.

    Facts: kind, type, width and height as a person sees it (turned upright), claimed_at (the
    camera's own time, ISO 8601, "" if unknown), had_location. Copies: name -> RGB JPEG without
    metadata, never larger than the photo. A `PhotoRefused` says what is wrong with it.
    """
    sniffed = sniff(data)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of metadata that doesn't matter; sizes are checked above
        try:
            image, size = _open(sniffed, data)
            claims = _claims(image)
            turn = _turn(sniffed.kind, image)
            picture = _upright(_shrunk(image, max(COPIES.values())), turn)
        except (MemoryError, PhotoRefused):
            raise
        except Exception as fault:  # decoders raise whatever they like at what they can't read
            raise _refusal(fault, sniffed.kind) from fault
    width, height = (size[1], size[0]) if turn >= 5 else size
    facts = {"kind": sniffed.kind, "type": sniffed.type, "width": width, "height": height}
    return facts | claims, _copies(picture)


_SIGNS_OF_CUT = ("truncated", "end of file", "end-of-file", "broken data stream")


def _refusal(fault: Exception, kind: str) -> Exception:
    """What a decoder's complaint means for the person."""
    words = str(fault).lower()
    if "memory" in words:
        return MemoryError(words)
    if kind == "HEIF":  # that all its boxes are there was seen before
        return HeicUnreadable()
    return Incomplete() if any(sign in words for sign in _SIGNS_OF_CUT) else Damaged()


# ------------------------------------------------------------------ opening


def _open(sniffed: Sniffed, data: bytes) -> tuple[Image.Image, tuple[int, int]]:
    """The picture by the one decoder that the content asks for, and its true size."""
    size = (sniffed.width, sniffed.height)
    if sniffed.kind == "HEIF":
        return _open_heif(data)
    if sniffed.kind == "PNG":
        return PngImagePlugin.PngImageFile(io.BytesIO(_picture_chunks(data))), size
    if sniffed.kind == "WEBP":
        return WebPImagePlugin.WebPImageFile(io.BytesIO(data)), size
    image = JpegImagePlugin.JpegImageFile(io.BytesIO(data))
    # Reading at a fraction of the size must be asked for by the true shape: a square box would
    # leave a 4:3 photo at full size.
    image.draft("RGB", _fit(size, max(COPIES.values())))
    return image, size


def _open_heif(data: bytes) -> tuple[Image.Image, tuple[int, int]]:
    import pi_heif

    pi_heif.options.THUMBNAILS = False
    pi_heif.options.DEPTH_IMAGES = False
    pi_heif.options.AUX_IMAGES = False
    pi_heif.options.DECODE_THREADS = 2
    file = pi_heif.HeifFile(data)
    main = file[file.primary_index]
    check_size("HEIF", *main.size)
    # The library's own way to a picture holds the pixels once more.
    pixels = main.data
    image = Image.frombuffer(main.mode, main.size, pixels, "raw", main.mode, main.stride, 1)
    image.info = dict(main.info)
    return image, main.size


_PICTURE_CHUNKS = {b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND", b"eXIf"}


def _picture_chunks(data: bytes) -> bytes:
    """The PNG without chunks that unpack to anything but the picture."""
    kept = [data[start:end] for name, start, end in png_chunks(data) if name in _PICTURE_CHUNKS]
    return PNG_SIGNATURE + b"".join(kept)


# ------------------------------------------------------------------ pixels

_MOST_PROFILE_BYTES = 2**20


def _fit(size: tuple[int, int], longest: int) -> tuple[int, int]:
    """The size within `longest`, in the same shape; never larger than it was."""
    scale = min(1.0, longest / max(size))
    return max(1, round(size[0] * scale)), max(1, round(size[1] * scale))


def _shrunk(image: Image.Image, longest: int) -> Image.Image:
    """The whole picture read, as sRGB on white, not larger than `longest`."""
    image.load()
    profile = image.info.get("icc_profile")
    image = _plain(image)
    size = _fit(image.size, longest)
    if size != image.size:
        image = image.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)
    if image.mode in {"RGBA", "LA"}:
        image = image.convert("RGBA")
        ground = Image.new("RGB", image.size, "white")
        ground.paste(image, mask=image.getchannel("A"))
        image = ground
    return _as_srgb(image, profile)


def _plain(image: Image.Image) -> Image.Image:
    """Eight bits a channel and no palette, as resampling needs it."""
    if image.mode in {"I;16", "I;16L", "I;16B"}:
        high = slice(0, None, 2) if image.mode == "I;16B" else slice(1, None, 2)
        return Image.frombytes("L", image.size, image.tobytes()[high])
    if image.mode == "I":
        return image.point(lambda value: value * (1 / 256)).convert("L")
    if image.mode in {"1", "P", "PA"} or "transparency" in image.info:
        see_through = image.mode == "PA" or "transparency" in image.info
        return image.convert("RGBA" if see_through else "RGB")
    return image


def _as_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """Colours as the camera meant them; a profile that can't be used is left out."""
    if profile and len(profile) <= _MOST_PROFILE_BYTES and not _names_srgb(profile):
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(
                image, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
            if converted is not None:
                return converted
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            pass
    return image if image.mode == "RGB" else image.convert("RGB")


def _names_srgb(profile: bytes) -> bool:
    """Whether the profile's description says that nothing is to be done."""
    return b"sRGB" in profile or "sRGB".encode("utf-16-be") in profile


_TRANSPOSE = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""EXIF orientation (CIPA DC-008, tag 0x0112) -> what brings the picture upright."""


def _turn(kind: str, image: Image.Image) -> int:
    """Orientation to undo. HEIF's decoder has turned the pixels already, whatever EXIF says."""
    if kind == "HEIF":
        return 1
    try:
        turn = image.getexif().get(0x0112, 1)
    except Exception:  # broken metadata is no reason to refuse a photo
        return 1
    return turn if turn in _TRANSPOSE else 1


def _upright(image: Image.Image, turn: int) -> Image.Image:
    return image.transpose(_TRANSPOSE[turn]) if turn in _TRANSPOSE else image


def _copies(picture: Image.Image) -> dict[str, bytes]:
    """Each copy out of the next larger one, largest first."""
    copies = {}
    for name, longest in sorted(COPIES.items(), key=lambda item: -item[1]):
        size = _fit(picture.size, longest)
        if size != picture.size:
            picture = picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)
        picture.info = {}  # what stays here would be written into the copy
        with io.BytesIO() as file:
            picture.save(file, "JPEG", quality=COPY_QUALITY)
            copies[name] = file.getvalue()
    return copies


# ------------------------------------------------------------------ claims


def _claims(image: Image.Image) -> Facts:
    """What the file says of itself: when, and whether where. Broken metadata says nothing."""
    packet = image.info.get("xmp") or b""
    located = isinstance(packet, bytes) and b"GPSLatitude" in packet
    try:
        exif = image.getexif()
    except Exception:  # see _turn
        return {"claimed_at": "", "had_location": located}
    return {"claimed_at": _claimed_at(exif), "had_location": located or _located(exif)}


_PLACE_TAGS = {1, 2, 3, 4}


def _located(exif: Image.Exif) -> bool:
    """Whether there is a place; a location block that can't be read counts as one."""
    if 0x8825 not in exif:
        return False
    try:
        place = exif.get_ifd(0x8825)
    except Exception:  # see _turn
        return True
    return not place or bool(_PLACE_TAGS & set(place))


_MOMENT = re.compile(r"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)", re.ASCII)
_OFFSET = re.compile(r"[+-](0\d|1[0-4]):[0-5]\d", re.ASCII)
_PLAUSIBLE_YEARS = range(1990, 2100)


def _claimed_at(exif: Image.Exif) -> str:
    """Time of taking as the camera's clock had it, with the offset where it names one."""
    try:
        detail = exif.get_ifd(0x8769)
    except Exception:  # see _turn
        detail = {}
    moment = _MOMENT.fullmatch(_text(detail.get(0x9003) or exif.get(0x0132)))
    if moment is None:
        return ""
    try:
        at = datetime(*(int(part) for part in moment.groups()))  # type: ignore[arg-type]
    except ValueError:
        return ""
    if at.year not in _PLAUSIBLE_YEARS:
        return ""
    offset = _text(detail.get(0x9011))
    return at.isoformat() + (offset if _OFFSET.fullmatch(offset) else "")


def _text(value: Any) -> str:
    return value.strip("\0 ") if isinstance(value, str) else ""
