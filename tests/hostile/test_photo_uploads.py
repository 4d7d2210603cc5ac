"""Photos that are no photos: each refused in words, the caption kept, nothing half saved."""

from __future__ import annotations

import pytest
from django.conf import settings
from django.urls import reverse

from jobs.actions import tickets
from jobs.models import Blob, Entry, Photo
from tests.jobs.photos import pictures
from tests.jobs.pictures import picture, upload

pytestmark = pytest.mark.django_db

CAPTION = "Wet below the pump"


REFUSED = {
    "row 1: empty": (b"", 400, "empty or not a photo"),
    "row 1: one byte": (b"\xff", 400, "empty or not a photo"),
    "row 1: magic only": (b"\xff\xd8\xff", 400, "empty or not a photo"),
    "row 2: cut off": (pictures.jpeg(960, 640)[:900], 400, "incomplete"),
    "row 3: 26 MB": (pictures.jpeg() + b"\0" * (26 * 1024 * 1024), 413, "25 MB"),
    "row 4: JPEG": (pictures.jpeg_header(19_000, 19_000), 400, "60 million"),
    "row 4: PNG": (pictures.png_header(12_000, 12_000), 400, "24 million"),
    "row 4: WebP": (pictures.webp_header(16_000, 16_000), 400, "24 million"),
    "row 5: side": (pictures.png_header(89_000, 1), 400, "20000"),
    "row 6: below the library's own warning": (pictures.png_header(9_400, 9_400), 400, "24"),
    "row 7: 4,000 scans": (pictures.jpeg_with_scans(4_000), 400, "100"),
    "row 16: HTML": (b"<!doctype html><script>alert(1)</script>" * 9, 415, "Only JPEG"),
    "row 16: SVG": (b"<svg xmlns='http://www.w3.org/2000/svg' onload='x'/>" * 9, 415, "Only JPEG"),
    "row 16: PDF": (b"%PDF-1.7\n%%EOF\n" * 9, 415, "Only JPEG"),
    "row 16: GIF": (b"GIF89a" + b"\x01\0\x01\0" * 30, 415, "Only JPEG"),
    "row 16: program": (b"\x7fELF" + b"\0" * 200, 415, "Only JPEG"),
}


@pytest.mark.parametrize(("data", "status", "words"), REFUSED.values(), ids=REFUSED.keys())
def test_what_is_no_whole_photo_is_refused_and_leaves_nothing(
    as_technician, ticket, data, status, words
):
    before = Entry.objects.count()
    answer = as_technician.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload(data)], "subject": "leak", "caption": CAPTION, "client_key": "c" * 32},
    )
    page = answer.content.decode()
    assert (answer.status_code, words in page, CAPTION in page) == (status, True, True)
    assert (Entry.objects.count(), Blob.objects.count()) == (before, 0)
    assert [p for p in settings.PHOTO_FOLDER.rglob("*") if p.is_file()] == []


TAKEN = {
    "row 10: 60,000 text chunks": pictures.png_with(
        *[pictures.png_chunk(b"tEXt", b"k\0v") for _ in range(60_000)]
    ),
    "row 11: EXIF pointing at itself": pictures.jpeg_with_exif(
        pictures.tiff((0x8769, 4, 1, 8), following=8)
    ),
    "row 15: JPEG and HTML in one": pictures.jpeg() + b"<script>alert(1)</script>",
    "row 19: palette": pictures.saved(pictures.quarters().convert("P"), "PNG"),
    "row 19: CMYK": pictures.saved(pictures.quarters().convert("CMYK")),
    "row 19: 1 bit": pictures.saved(pictures.quarters().convert("1"), "PNG"),
}


@pytest.mark.parametrize("data", TAKEN.values(), ids=TAKEN.keys())
def test_an_odd_photo_is_taken_and_its_copy_is_clean(as_technician, ticket, data):
    as_technician.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload(data)], "subject": "leak", "client_key": "c" * 32},
    )
    photo = Photo.objects.get()
    copy = as_technician.get(reverse("photo-file", args=[ticket.number, photo.frame, "screen"]))
    body = b"".join(copy.streaming_content) if copy.streaming else copy.content
    assert (copy.status_code, copy["Content-Type"]) == (200, "image/jpeg")
    assert body.startswith(b"\xff\xd8\xff")
    assert b"alert" not in body


def test_row_17_a_good_photo_is_known_by_its_content(as_technician, ticket):
    odd = upload(pictures.saved(pictures.quarters(), "PNG"), name="scan", kind="text/html")
    as_technician.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [odd], "subject": "leak", "client_key": "c" * 32},
    )
    assert Blob.objects.get().type == "image/png"


def test_row_20_the_same_photo_on_two_tickets_is_one_original(
    as_technician, ticket, van, customer, owner
):
    other = tickets.open_ticket(car=van, customer=customer, by=owner)
    data = picture()
    for number, key in ((ticket.number, "a" * 32), (other.number, "b" * 32)):
        as_technician.post(
            reverse("photo-add", args=[number]),
            {"photos": [upload(data)], "subject": "leak", "client_key": key},
        )
    assert (Blob.objects.count(), Photo.objects.count()) == (1, 2)


RAW_NAMES = {
    "row 23: climbing": b"../../etc/passwd",
    "row 23: encoded": b"%2e%2e%2fx.jpg",
    "row 24: quote and line end": b'a\\"; x=\\"b.jpg',
    "row 24: 300 letters": b"n" * 300 + b".jpg",
    "row 24: none": b"",
    "row 26: device": b"nul.",
}


@pytest.mark.parametrize("name", RAW_NAMES.values(), ids=RAW_NAMES.keys())
def test_a_name_as_a_phone_might_send_it_is_no_path(as_technician, ticket, name):
    fields = b"".join(
        b'--xx\r\nContent-Disposition: form-data; name="' + key + b'"\r\n\r\n' + value + b"\r\n"
        for key, value in ((b"subject", b"leak"), (b"client_key", b"c" * 32))
    )
    body = (
        fields
        + b'--xx\r\nContent-Disposition: form-data; name="photos"; filename="'
        + name
        + b'"\r\nContent-Type: image/jpeg\r\n\r\n'
        + picture()
        + b"\r\n--xx--\r\n"
    )
    answer = as_technician.generic(
        "POST",
        reverse("photo-add", args=[ticket.number]),
        body,
        content_type="multipart/form-data; boundary=xx",
    )
    assert answer.status_code in {303, 422}
    files = [p.relative_to(settings.PHOTO_FOLDER) for p in settings.PHOTO_FOLDER.rglob("*.*")]
    files += [p.relative_to(settings.PHOTO_FOLDER) for p in settings.PHOTO_FOLDER.rglob("?" * 64)]
    places = {path.parts[0] for path in files}
    assert places <= {"originals", "copies"}


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
