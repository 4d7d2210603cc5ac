"""Photos and tests that the tests of evidence share, made on the spot."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

READINGS = Path(__file__).resolve().parent.parent.parent / "fixtures" / "readings"
TAKEN_AT = "2026:03:14 09:26:53"


def picture(kind: str = "JPEG", colour: str = "olive", size: tuple[int, int] = (160, 120)) -> bytes:
    """A small picture of one colour."""
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, kind)
    return out.getvalue()


def telling_picture() -> bytes:
    """A JPEG that says when and where it was taken."""
    exif = Image.Exif()
    exif[0x0132] = TAKEN_AT
    exif.get_ifd(0x8769)[0x9003] = TAKEN_AT
    exif.get_ifd(0x8825).update({1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (4.0, 5.0, 6.0)})
    out = io.BytesIO()
    Image.new("RGB", (160, 120), "teal").save(out, "JPEG", exif=exif)
    return out.getvalue()


def upload(data: bytes | None = None, name: str = "photo.jpg", kind: str = "image/jpeg"):
    """A file as a browser sends it."""
    return SimpleUploadedFile(name, picture() if data is None else data, kind)


def made(ticket: Any, by: Any, procedure: str, case: str, **how: Any) -> Any:
    """The entry of a test with the readings of a stored case, made hot while the fault was there
    unless said otherwise."""
    from jobs.actions import runs

    told = json.loads((READINGS / procedure / f"{case}.json").read_text("utf-8"))
    return runs.record_test(
        ticket=ticket,
        procedure=procedure,
        typed=told["typed"],
        by=by,
        **({"fault_present": "yes", "state_of_car": "hot"} | how),
    )


def strap_test(ticket: Any, by: Any, **how: Any) -> Any:
    """The entry of a voltage drop test that finds a bad strap."""
    return made(ticket, by, "voltage_drop", "corroded_strap_hot", **how)
