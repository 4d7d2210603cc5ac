"""The report as it reaches a customer: issued through the pages, and read back from its file."""

from __future__ import annotations

import io
import re
import subprocess
from pathlib import Path
from typing import Any

from django.urls import reverse
from pypdf import PdfReader
from pypdf.generic import StreamObject


def issued(browser: Any, ticket: Any) -> bytes:
    """The PDF of the next revision, through the same two addresses as a person's."""
    answer = browser.post(
        reverse("report-issue", args=[ticket.number]),
        {"client_key": "f" * 32, "seen_to": ticket.entries.count()},
    )
    assert answer.status_code == 303
    served = browser.get(f"{answer['Location']}pdf/")
    return b"".join(served.streaming_content)


def previewed(browser: Any, ticket: Any) -> str:
    """The HTML of the same report, before it is issued."""
    return browser.get(reverse("report-preview", args=[ticket.number])).content.decode()


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def unpacked(pdf: bytes) -> bytes:
    """The file, and behind it all that is compressed in it."""
    reader = read(pdf)
    found = [pdf]
    for number in range(1, int(reader.trailer["/Size"])):
        part = reader.get_object(number)
        if isinstance(part, StreamObject) and part.get("/Filter") in (None, "/FlateDecode"):
            found.append(part.get_data())
    return b"\n".join(found)


def printed(pdf: bytes, folder: Path) -> str:
    """Its letters without any blanks, as pdftotext reads them."""
    return re.sub(r"\s", "", _pdftotext(pdf, folder))


def beyond_the_sheet(pdf: bytes, folder: Path) -> list[str]:
    """Words that reach over an edge of their page."""
    found = []
    width = height = 0.0
    for line in _pdftotext(pdf, folder, "-bbox").splitlines():
        if page := re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line):
            width, height = map(float, page.groups())
        elif word := re.search(r'xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*)<', line):
            left, top, right, bottom = map(float, word.groups()[:4])
            if left < 0 or top < 0 or right > width or bottom > height:
                found.append(word[5][:40])
    assert width
    return found


def _pdftotext(pdf: bytes, folder: Path, *options: str) -> str:
    file = folder / "report.pdf"
    file.write_bytes(pdf)
    done = subprocess.run(["pdftotext", *options, file, "-"], capture_output=True, check=True)
    return done.stdout.decode()
