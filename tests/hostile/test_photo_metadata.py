"""What a camera writes beside the picture: never more than a claim, and it goes no further."""

from __future__ import annotations

import html
import io
import json
import re
import struct
import zlib
from functools import cache
from pathlib import Path

import pytest
from django.conf import settings
from django.urls import reverse
from PIL import Image

from jobs import process
from jobs.models import Blob, Entry, Photo
from tests.hostile import paper
from tests.jobs.photos import pictures
from tests.jobs.pictures import picture, upload
from tests.needs import needs

pytestmark = pytest.mark.django_db

CAPTION = "Wet below the pump"


def send(browser, ticket, *files: bytes):
    return browser.post(
        reverse("photo-add", args=[ticket.number]),
        {
            "photos": [upload(data) for data in files],
            "subject": "leak",
            "caption": CAPTION,
            "in_report": "on",
            "client_key": "c" * 32,
        },
    )


def page_of(browser, ticket) -> str:
    """The page of the only photo."""
    frame = Photo.objects.get().frame
    answer = browser.get(reverse("photo", args=[ticket.number, frame]))
    return html.unescape(" ".join(answer.content.decode().split()))


def copy_of(browser, photo: Photo, size: str) -> bytes:
    where = reverse("photo-file", args=[photo.ticket.number, photo.frame, size])
    return b"".join(browser.get(where).streaming_content)


# --- several pictures in one file ----------------------------------------------------------------


def gif(frames: int) -> bytes:
    """A GIF89a of one pixel, shown again and again."""
    frame = (
        b"\x21\xf9\x04\0\0\0\0\0" + b"\x2c\0\0\0\0\x01\0\x01\0\0" + b"\x02\x02\x44\x01\0"
    )  # how long, where, and the pixel
    return b"GIF89a\x01\0\x01\0\x80\0\0" + b"\0\0\0\xff\xff\xff" + frame * frames + b"\x3b"


def apng(frames: int) -> bytes:
    """A PNG of one pixel that is followed by others (PNG third edition, acTL, fcTL and fdAT)."""
    still = pictures.saved(Image.new("RGB", (1, 1), "olive"), "PNG")
    data = zlib.compress(b"\0\x80\x80\0")
    parts = [pictures.png_chunk(b"acTL", struct.pack(">II", frames, 0))]
    shown = struct.pack(">IIIIHHBB", 1, 1, 0, 0, 1, 10, 0, 0)
    parts.append(pictures.png_chunk(b"fcTL", struct.pack(">I", 0) + shown))
    after = []
    for n in range(1, frames):
        after.append(pictures.png_chunk(b"fcTL", struct.pack(">I", 2 * n - 1) + shown))
        after.append(pictures.png_chunk(b"fdAT", struct.pack(">I", 2 * n) + data))
    end = still.index(b"IEND") - 4
    return still[:33] + b"".join(parts) + still[33:end] + b"".join(after) + still[end:]


ANIMATIONS = {"GIF": gif, "APNG": apng}


@pytest.mark.parametrize("made", ANIMATIONS.values(), ids=ANIMATIONS.keys())
def test_the_animations_sent_here_are_animations(made):
    assert Image.open(io.BytesIO(made(3))).n_frames == 3


@pytest.mark.parametrize("made", ANIMATIONS.values(), ids=[f"row 8: {a}" for a in ANIMATIONS])
def test_an_animation_of_20000_frames_is_refused_in_words(as_technician, ticket, made):
    before = Entry.objects.count()
    answer = send(as_technician, ticket, made(20_000))
    page = answer.content.decode()
    assert answer.status_code == 400
    assert "animations are not taken. Send a single photo." in page
    assert CAPTION in page
    assert (Entry.objects.count(), Blob.objects.count()) == (before, 0)


# --- what unpacks to far more than was sent ------------------------------------------------------

UNPACKED = 256 * 2**20
MOST_GROWTH = 32 * 2**20
"""Bytes that opening the photo may take beyond an ordinary one: far from the 256 MiB."""


@cache
def packed() -> bytes:
    """256 MiB of nothing, as a zlib stream of some 256 KB."""
    packer = zlib.compressobj(9)
    parts = [packer.compress(bytes(2**20)) for _ in range(UNPACKED // 2**20)]
    return b"".join(parts) + packer.flush()


BOMBS = {
    "row 9: text": (b"zTXt", b"Comment\0\0"),
    "row 9: text of any language": (b"iTXt", b"Comment\0\x01\0\0\0"),
    "row 9: colour profile": (b"iCCP", b"profile\0\0"),
}


@needs("proc")
@pytest.mark.parametrize(("chunk", "before"), BOMBS.values(), ids=BOMBS.keys())
def test_metadata_that_unpacks_to_256_mib_is_left_packed(as_technician, ticket, chunk, before):
    process.DECODING.close()
    send(as_technician, ticket, picture("PNG"))
    ordinary = _most_memory_of_the_decoder()
    data = pictures.png_with(pictures.png_chunk(chunk, before + packed()))
    assert 250_000 < len(data) < 300_000
    as_technician.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload(data)], "subject": "plate", "client_key": "d" * 32},
    )
    photo = Photo.objects.get(subject="plate")
    shown = Image.open(io.BytesIO(copy_of(as_technician, photo, "screen")))
    assert pictures.corners_of(shown) == pictures.UPRIGHT
    assert _most_memory_of_the_decoder() - ordinary < MOST_GROWTH


def _most_memory_of_the_decoder() -> int:
    """Bytes that the one waiting helper has ever held."""
    (helper,) = process.DECODING.helpers()
    status = Path(f"/proc/{helper.process.pid}/status").read_text("utf-8")
    return int(re.search(r"VmHWM:\s+(\d+) kB", status)[1]) * 1024


# --- claims that can't be ------------------------------------------------------------------------

NONSENSE = {
    "row 12: no such day": {"taken": "2026:02:30 25:61:00"},
    "row 12: year 9999": {"taken": "9999:12:31 23:59:59"},
    "row 12: no time at all": {"taken": "yesterday"},
    "row 12: orientation 99": {"taken": None, "orientation": 99},
}


@pytest.mark.parametrize("claims", NONSENSE.values(), ids=NONSENSE.keys())
def test_a_claim_that_can_not_be_is_unknown_and_the_photo_is_taken(as_technician, ticket, claims):
    assert send(as_technician, ticket, pictures.jpeg(exif=pictures.exif_of(**claims))).url
    photo = Photo.objects.get()
    shown = Image.open(io.BytesIO(copy_of(as_technician, photo, "screen")))
    assert pictures.corners_of(shown) == pictures.UPRIGHT
    assert photo.claimed_at == ""
    page = page_of(as_technician, ticket)
    assert "<dt>Taken</dt><dd>not known: the camera says no time, or none that can be</dd>" in page


# --- what must not travel ------------------------------------------------------------------------


def jpeg_with_thumbnail() -> bytes:
    """A photo whose EXIF holds a small picture of its own (CIPA DC-008, the second directory)."""
    small = pictures.saved(Image.new("RGB", (32, 24), "maroon"), "JPEG", comment=b"PLANTED-SMALL")
    first = pictures.tiff((0x0112, 3, 1, 1 << 16), following=26)
    second = (
        struct.pack(">H", 3)
        + struct.pack(">HHII", 0x0103, 3, 1, 6 << 16)
        + struct.pack(">HHII", 0x0201, 4, 1, len(first) + 42)
        + struct.pack(">HHII", 0x0202, 4, 1, len(small))
        + struct.pack(">I", 0)
    )
    return pictures.jpeg_with_exif(first + second + small)


TELLING = [pictures.marked(kind) for kind in ("JPEG", "PNG", "WEBP", "HEIF")] + [
    jpeg_with_thumbnail()
]
PLANTED = (*pictures.MARKS, b"PLANTED-SMALL", b"Exif", b"GPSLatitude")


@pytest.fixture
def taken(as_technician, ticket) -> list[Photo]:
    """One photo of each kind, full of marks, on the ticket."""
    send(as_technician, ticket, *TELLING)
    photos = list(Photo.objects.all())
    assert len(photos) == len(TELLING)
    return photos


def test_row_13_what_was_planted_is_in_what_is_sent():
    everything = b"".join(TELLING)
    assert [mark for mark in PLANTED if mark not in everything] == []


@pytest.mark.parametrize("size", ["screen", "print", "thumb"])
def test_row_13_no_copy_tells_place_owner_or_camera(as_technician, taken, size):
    copies = b"".join(copy_of(as_technician, photo, size) for photo in taken)
    assert [mark for mark in PLANTED if mark in copies] == []


@needs("pango")
def test_row_13_no_report_tells_place_owner_or_camera(as_technician, ticket, taken):
    pdf = paper.issued(as_technician, ticket)
    pictures_in_it = {
        image.indirect_reference.idnum for page in paper.read(pdf).pages for image in page.images
    }
    assert len(pictures_in_it) == len(TELLING)
    everything = paper.unpacked(pdf)
    assert [mark for mark in PLANTED if mark in everything] == []


def test_row_13_the_original_keeps_what_was_in_it(as_technician, taken):
    for photo, sent in zip(taken, TELLING, strict=True):
        where = reverse("photo-original", args=[photo.ticket.number, photo.frame])
        assert b"".join(as_technician.get(where).streaming_content) == sent


HOSTILE_WORDS = {
    "row 14: script": "<script>alert(1)</script>",
    "row 14: SQL": "'); DROP TABLE jobs_photo; --",
    "row 14: formula": "=cmd|'/C calc'!A0",
    "row 14: bidirectional": "\u202egpj.exe",
}


@pytest.mark.parametrize("words", HOSTILE_WORDS.values(), ids=HOSTILE_WORDS.keys())
def test_words_of_the_camera_reach_neither_page_nor_record(as_technician, ticket, words):
    exif = Image.Exif()
    for tag in (0x010E, 0x010F, 0x0110, 0x0131, 0x0132, 0x013B, 0x8298):  # texts of the main part
        exif[tag] = words.encode()
    exif._ifds[0x8769] = {0x9003: words.encode(), 0x9286: words.encode()}
    exif[0x8769] = 0
    data = pictures.jpeg(exif=exif, comment=words.encode(), xmp=f"<x>{words}</x>".encode())
    assert words.encode() in data
    send(as_technician, ticket, data)
    photo = Photo.objects.get()
    pages = page_of(as_technician, ticket) + html.unescape(
        as_technician.get(ticket.get_absolute_url()).content.decode()
    )
    assert CAPTION in pages
    assert words not in pages
    assert words not in json.dumps(photo.entry.data, ensure_ascii=False)
    assert photo.claimed_at == ""
    assert words.encode() not in copy_of(as_technician, photo, "screen")


# --- a phone's own formats -----------------------------------------------------------------------

UNREADABLE = {
    "row 18: HEIC, no boxes": b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\x07" * 400,
    "row 18: HEIC, empty boxes": (
        pictures.box(b"ftyp", b"heic\0\0\0\0mif1heic") + pictures.box(b"meta", b"\7" * 99)
    ),
    "row 18: HEIC, picture overwritten": (
        (whole := pictures.saved(pictures.quarters(), "HEIF"))[: (at := whole.index(b"mdat") + 4)]
        + b"\x07" * (len(whole) - at)
    ),
    "row 18: AVIF": b"\0\0\0\x1cftypavif\0\0\0\0avifmif1" + b"\x07" * 400,
}


@pytest.mark.parametrize("data", UNREADABLE.values(), ids=UNREADABLE.keys())
def test_a_phones_format_that_can_not_be_opened_is_refused_with_the_way_out(
    as_technician, ticket, data
):
    before = Entry.objects.count()
    answer = send(as_technician, ticket, data)
    page = answer.content.decode()
    assert answer.status_code == 415
    assert "choose JPEG as the format in the settings of the phone’s camera" in page
    assert CAPTION in page
    assert (Entry.objects.count(), Blob.objects.count()) == (before, 0)
    assert [p for p in settings.PHOTO_FOLDER.rglob("*") if p.is_file()] == []
