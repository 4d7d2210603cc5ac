"""The PDF as a file: tagged, named, nothing in it but what was chosen, nothing fetched."""

from __future__ import annotations

import html
import io
import json
import re
import subprocess
import time
from collections import Counter

import pytest
from django.conf import settings
from django.urls import reverse

from jobs.actions import findings, reports, tickets
from jobs.photos import store
from jobs.process import PdfUnavailable, render
from jobs.report.pdf import html_of, pdf_of
from shop.actions import cars, customers
from tests.jobs.pictures import TAKEN_AT
from tests.needs import needs

pytestmark = [pytest.mark.django_db, needs("pango")]

A4, LETTER = (595, 842), (612, 792)


def read(pdf: bytes):
    from pypdf import PdfReader

    return PdfReader(io.BytesIO(pdf))


def text_of(reader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def outline_of(items, depth: int = 1) -> list[tuple[int, str]]:
    found = []
    for item in items:
        if isinstance(item, list):
            found += outline_of(item, depth + 1)
        else:
            found.append((depth, item.title))
    return found


def tagged(reader) -> list[tuple[str, object]]:
    """Kind and alternative text of every element of the structure tree."""
    found = []

    def walk(node) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for child in node:
                walk(child)
        elif hasattr(node, "get"):
            if node.get("/S"):
                found.append((str(node["/S"]), node.get("/Alt")))
            if node.get("/K") is not None:
                walk(node["/K"])

    walk(reader.trailer["/Root"]["/StructTreeRoot"])
    return found


@pytest.fixture
def content(report, full) -> dict:
    return report(full)


@pytest.fixture
def pdf(content) -> bytes:
    return pdf_of(content)


def test_title_language_author_and_tags(pdf):
    reader = read(pdf)
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata.title == "Findings report 0001, revision 1. Kestrel Yard Repairs"
    assert reader.metadata.author == "Kestrel Yard Repairs"


def test_the_outline_follows_the_headings(pdf, content):
    outline = outline_of(read(pdf).outline)
    assert outline[0] == (1, "Findings report")
    assert [title for depth, title in outline if depth == 2] == [
        "In short",
        "What we found",
        "Parts changed",
        "Altered, and still on the car",
        "Every test made",
        "Not tested",
        "Open and declined",
        "Cautions for the owner",
    ]
    deeper = [title for depth, title in outline if depth == 3]
    assert deeper[0] == "1. Confirmed: The strap that brings current back from the engine …"


def test_every_picture_chart_and_mark_has_an_alternative_text(pdf, content):
    figures = [alt for kind, alt in tagged(read(pdf)) if kind == "/Figure"]
    assert all(figures)
    assert "The van at our door" in figures
    charts = [alt for alt in figures if alt.startswith("Voltage lost step by step")]
    assert len(charts) == sum(
        bool(test["run"]["chart"]) for test in content["tests"] if not test["replaced_by"]
    )


def test_tables_and_headings_are_tagged(pdf):
    kinds = Counter(kind for kind, _alt in tagged(read(pdf)))
    assert kinds["/H1"] == 1
    for kind in ("/H2", "/H3", "/Table", "/TR", "/TH", "/TD", "/L", "/LI", "/BlockQuote"):
        assert kinds[kind] > 0, kind


def test_every_page_has_its_number_and_the_reports(pdf):
    reader = read(pdf)
    for n, page in enumerate(reader.pages, start=1):
        text = " ".join(page.extract_text().split())
        assert f"{n} of {len(reader.pages)}" in text
        assert "Findings report 0001, revision 1. Kestrel Yard Repairs" in text
        assert "record to entry" in text
    assert "End of report 0001, revision 1" in text


def test_page_one_holds_the_answers_and_no_page_is_nearly_empty(pdf):
    pages = [" ".join(page.extract_text().split()) for page in read(pdf).pages]
    for question in ("what is wrong", "how sure we are", "driving", "what to do", "it costs"):
        assert question in pages[0], question
    assert min(len(page) for page in pages[:-1]) > 400


def test_only_the_chosen_photos_are_in_it(pdf):
    images = {
        (image.image.size, image.image.getpixel((0, 0)))
        for page in read(pdf).pages
        for image in page.images
    }
    assert len(images) == 3


def test_nothing_of_the_camera_is_in_it(pdf, full):
    telling = full.photos.get(had_location=True)
    original = store.original_path(settings.PHOTO_FOLDER, telling.blob_id).read_bytes()
    assert TAKEN_AT.encode() in original
    plain = pdf + b"".join(_streams(read(pdf)))
    for mark in (TAKEN_AT.encode(), b"Exif", b"GPS"):
        assert mark not in plain


def _streams(reader):
    from pypdf.generic import StreamObject

    for number in range(1, int(reader.trailer["/Size"])):
        found = reader.get_object(number)
        if isinstance(found, StreamObject):
            yield found._data
            if found.get("/Filter") == "/FlateDecode":
                yield found.get_data()


def test_it_has_no_attachment_script_or_link_out(pdf):
    root = read(pdf).trailer["/Root"]
    assert "/Names" not in root or "/EmbeddedFiles" not in root["/Names"]
    assert "/OpenAction" not in root
    assert b"/JavaScript" not in pdf
    assert b"/URI" not in pdf


@pytest.mark.parametrize(("paper", "size"), [("A4", A4), ("Letter", LETTER)])
def test_it_is_on_the_shops_paper(report, repaired, paper, size):
    for page in read(pdf_of(report(repaired, paper=paper))).pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == size


def test_the_paper_says_what_the_page_says(content, pdf):
    page = html_of(content, for_paper=False)
    page = page[page.index("<main>") :]
    page = re.sub(r"<(title|caption)\b.*?</\1>", " ", page, flags=re.S)
    page = re.sub(r'<span class="(away|limit-short)".*?</span>', " ", page, flags=re.S)
    shown = Counter(re.findall(r"\w{3,}", html.unescape(re.sub(r"<[^>]+>", " ", page))))
    printed = text_of(read(pdf))
    assert len(shown) > 200
    assert {word: n for word, n in shown.items() if printed.count(word) < n} == {}


def test_the_same_content_gives_the_same_text(content, pdf):
    again = read(pdf_of(content))
    assert text_of(again) == text_of(read(pdf))


# --- what people type ----------------------------------------------------------------------------

HOSTILE = (
    "<script>alert(1)</script>",
    '<img src="file:///etc/hostname">',
    '<img src="http://127.0.0.1:9/x.png">',
    "<style>@import url(http://127.0.0.1:9/x.css);</style>",
    '<link rel="attachment" href="file:///etc/hostname">',
    '"><svg onload=alert(1)>',
    "{{ 7*7 }} {% now 'Y' %} %(part)s %s%n ${7}",
    "=cmd|'/C calc'!A0",
)


def test_markup_that_was_typed_is_printed_and_nothing_is_fetched(report, ticket, owner):
    typed = " ".join(HOSTILE)
    tickets.add_complaint(ticket=ticket, words=typed, family="other", by=owner)
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="suspected",
        sentence=typed,
        advice="no_restriction",
        facts={"to_do": typed, "waiting_risk": typed, "why_it_failed": typed},
    )
    printed = re.sub(r"\s", "", text_of(read(pdf_of(report(ticket)))))
    for text in HOSTILE:
        assert re.sub(r"\s", "", text) in printed, text


def test_an_address_outside_the_store_stops_the_pdf():
    with pytest.raises(PdfUnavailable):
        render('<img src="file:///etc/hostname" alt="x">', language="en")


@needs("pdftotext")
def test_endless_words_and_every_script_are_printed_within_ten_seconds(report, owner, tmp_path):
    customer = customers.add(
        by=owner, name="مريم 张伟 😀 Großmühlenwegverwaltungsgesellschaft", phones=["01632 960177"]
    )
    car = cars.add(
        by=owner, plate="X" * 12, region="GB", make="Corvane", model="M" * 60, owner=customer
    )
    ticket = tickets.open_ticket(car=car, customer=customer, by=owner, facts={})
    tickets.add_complaint(
        ticket=ticket, words="a" * 9_000 + " مرحبا بالعالم", family="other", by=owner
    )
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="suspected",
        sentence="W" * 300,
        advice="do_not_drive",
        facts={"advice_words": "W" * 200},
    )
    started = time.monotonic()
    pdf = pdf_of(report(ticket))
    assert time.monotonic() - started < 10
    # pypdf loses a font's letters where the machine has no font for some of them.
    file = tmp_path / "report.pdf"
    file.write_bytes(pdf)
    words = subprocess.run(["pdftotext", file, "-"], capture_output=True, check=True).stdout
    text = re.sub(r"\s", "", words.decode())
    assert text.count("a" * 50) > 100
    assert "Großmühlenwegverwaltungsgesellschaft" in text
    _stays_on_the_sheet(read(pdf))


def _stays_on_the_sheet(reader) -> None:
    """No text starts right of the sheet's own margin."""
    edges: list[float] = []

    def visit(text, place, matrix, _font, _size) -> None:
        if text.strip():
            edges.append(place[0] * matrix[4] + place[4])

    for page in reader.pages:
        page.extract_text(visitor_text=visit)
    assert edges
    assert max(edges) < A4[0]


# --- issued for real -----------------------------------------------------------------------------


def test_what_was_rendered_is_what_is_served(client, full, shop, owner):
    report = reports.issue(ticket=full, profile=shop, by=owner)
    client.force_login(owner)
    answer = client.get(reverse("report-pdf", args=[full.number, 1]))
    served = b"".join(answer.streaming_content)
    assert served.startswith(b"%PDF-")
    assert store.original_path(settings.PHOTO_FOLDER, report.pdf_id).read_bytes() == served
    assert json.loads(report.content)["short"]["what"][0]["text"] in text_of(read(served))
