"""Photos that are no photos: each refused in words, the caption kept, nothing half saved."""

from __future__ import annotations

import struct
import zlib

import pytest
from django.conf import settings
from django.urls import reverse

from jobs.models import Blob, Entry
from tests.jobs.pictures import picture, upload

pytestmark = pytest.mark.django_db

CAPTION = "Wet below the pump"


def png_header(width: int, height: int) -> bytes:
    """A PNG that claims a size and holds next to nothing."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0"))
        + chunk(b"IEND", b"")
    )


REFUSED = {
    "row 1: empty": b"",
    "row 1: one byte": b"\xff",
    "row 1: magic only": b"\xff\xd8\xff",
    "row 2: cut off": picture()[:400],
    "row 4: too many pixels": png_header(19_000, 19_000),
    "row 5: side": png_header(89_000, 1),
    "row 5: no size": png_header(0, 0),
    "row 16: html": b"<!doctype html><script>alert(1)</script>",
    "row 16: svg": b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
    "row 16: pdf": b"%PDF-1.7\n%%EOF\n",
}


@pytest.mark.parametrize("data", REFUSED.values(), ids=REFUSED.keys())
def test_what_is_no_whole_photo_is_refused_and_leaves_nothing(as_technician, ticket, data):
    before = Entry.objects.count()
    answer = as_technician.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload(data)], "subject": "leak", "caption": CAPTION, "client_key": "c" * 32},
    )
    assert 400 <= answer.status_code < 500
    assert CAPTION in answer.content.decode()
    assert Entry.objects.count() == before
    assert Blob.objects.count() == 0
    folder = settings.PHOTO_FOLDER
    assert [p for p in folder.rglob("*") if p.is_file()] == []


NAMES = ["../../etc/passwd", "..\\x.jpg", "a\u202egpj.exe", "<img src=x onerror=alert(1)>.jpg",
         "n" * 300 + ".jpg", "CON", "{{7*7}}.jpg"]  # fmt: skip


@pytest.mark.parametrize("name", NAMES, ids=[f"rows 23-27: {n[:12]!a}" for n in NAMES])
def test_a_name_is_never_a_path_nor_markup(as_technician, ticket, name):
    answer = as_technician.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload(name=name)], "subject": "leak", "client_key": "c" * 32},
        follow=True,
    )
    assert answer.status_code == 200
    assert "<img src=x" not in answer.content.decode()
    assert Blob.objects.count() == 1


def test_row_21_one_photo_more_than_the_limit_is_refused_with_the_limit(as_technician, ticket):
    answer = as_technician.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload() for _ in range(41)], "subject": "leak", "client_key": "c" * 32},
    )
    assert 400 <= answer.status_code < 500
    assert "40" in answer.content.decode()
    assert Blob.objects.count() == 0


def test_row_22_an_upload_without_its_boundary_was_damaged_on_the_way(as_technician, ticket):
    answer = as_technician.post(
        reverse("photo-add", args=[ticket.number]), b"--x\r\n", content_type="multipart/form-data"
    )
    assert answer.status_code == 400
    assert "damaged on the way" in answer.content.decode()
    assert Blob.objects.count() == 0
