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
from django.template.loader import render_to_string
from django.urls import reverse
from PIL import Image

from jobs.actions import findings, reports, tickets
from jobs.actions.logo import keep_logo
from jobs.photos import store
from jobs.process import PdfUnavailable, render
from jobs.report.paper import on_paper
from jobs.report.pdf import html_of, pdf_of
from shop.actions import cars, customers
from shop.templatetags.look import styles
from tests.jobs.papers import tagged
from tests.jobs.pictures import TAKEN_AT, picture, telling_picture, upload
from tests.needs import needs

pytestmark = [pytest.mark.django_db, needs("pango")]

A4, LETTER = (595, 842), (612, 792)
FOOT_MM = 21
TALLEST_HOLE_MM = 78
"""Nothing that can't be parted is taller: the before-and-after chart of nine points."""


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


@pytest.fixture(scope="module")
def kept() -> dict:
    """What the first test made, for those that only read it."""
    return {}


@pytest.fixture
def content(request, kept) -> dict:
    if "content" not in kept:
        report, full = map(request.getfixturevalue, ("report", "full"))
        kept["content"] = report(full)
        kept["pdf"] = pdf_of(kept["content"])
    return kept["content"]


@pytest.fixture
def pdf(content, kept) -> bytes:
    return kept["pdf"]


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


def camera_data_in(*data: bytes) -> bool:
    """Whether a camera's time or its block of data (place and all) stands in any of it. Marks of
    three letters would be found in compressed bytes by chance."""
    marks = (TAKEN_AT.encode(), b"Exif\x00\x00", b"GPSLatitude")
    return any(mark in part for mark in marks for part in data)


def test_nothing_of_the_camera_is_in_it(pdf, full):
    telling = full.photos.get(had_location=True)
    original = store.original_path(settings.PHOTO_FOLDER, telling.blob_id).read_bytes()
    assert camera_data_in(original)
    assert not camera_data_in(pdf, *_streams(read(pdf)))


def _streams(reader):
    from pypdf.generic import StreamObject

    for number in range(1, int(reader.trailer["/Size"])):
        found = reader.get_object(number)
        if isinstance(found, StreamObject):
            yield found._data
            if found.get("/Filter") == "/FlateDecode":
                yield found.get_data()


def sign_with_camera_data() -> bytes:
    """A shop's sign, photographed with place and time."""
    out = io.BytesIO()
    exif = Image.open(io.BytesIO(telling_picture())).info["exif"]
    Image.new("RGB", (200, 80), "crimson").save(out, "JPEG", exif=exif)
    return out.getvalue()


def test_a_shop_with_a_logo_has_it_on_the_first_page_alone(report, repaired, shop, owner):
    keep_logo(upload=upload(sign_with_camera_data()), by=owner)
    shop.refresh_from_db()
    pdf = read(pdf_of(report(repaired)))
    (logo,) = [image for image in pdf.pages[0].images if image.image.size == (200, 80)]
    assert logo.image.convert("RGB").getpixel((99, 39)) == pytest.approx((220, 20, 60), abs=4)
    drawing = f"/{logo.name.rpartition('.')[0]} Do".encode()
    assert [drawing in page.get_contents().get_data() for page in pdf.pages] == [
        True, *(False for _page in pdf.pages[1:])
    ]  # fmt: skip
    figures = [alt for kind, alt in tagged(pdf) if kind == "/Figure"]
    assert figures[0] == "Sign of Kestrel Yard Repairs"
    assert all(figures)


def test_nothing_of_the_logos_camera_is_in_it(report, ticket, shop, owner):
    sign = sign_with_camera_data()
    assert camera_data_in(sign)
    keep_logo(upload=upload(sign), by=owner)
    shop.refresh_from_db()
    pdf = pdf_of(report(ticket))
    assert not camera_data_in(pdf, *_streams(read(pdf)))


def test_a_shop_without_a_logo_has_no_place_for_one(pdf, content):
    assert content["shop"]["logo"] in (None, "")
    figures = [alt for kind, alt in tagged(read(pdf)) if kind == "/Figure"]
    assert not any(alt.startswith("Sign of") for alt in figures)
    assert text_of(read(pdf)).startswith("Kestrel Yard Repairs 4 Ropewalk, Tarnsea")


def test_a_report_issued_with_a_logo_keeps_it_when_the_shop_takes_another(repaired, shop, owner):
    first = keep_logo(upload=upload(telling_picture()), by=owner)
    shop.refresh_from_db()
    issued = reports.issue(ticket=repaired, profile=shop, by=owner)
    keep_logo(upload=upload(picture(colour="crimson")), by=owner)
    assert json.loads(issued.content)["shop"]["logo"] == first


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


def test_the_same_content_gives_the_same_text(report, full):
    content = report(full)
    once, again = (text_of(read(pdf_of(content))) for _ in range(2))
    assert again == once


# --- where pages break ---------------------------------------------------------------------------

ROWS = [{"label": f"point {n}", "before": "14.1 V", "after": "14.2 V"} for n in range(1, 10)]
TALL = '<svg width="320" height="342" viewBox="0 0 320 342" role="img"><title>drawn</title></svg>'


def before_and_after(filled_mm: int) -> list[list[tuple[str, float]]]:
    """The texts of each page, with their heights above the page's foot in mm: so much of the first
    page is taken, then come a table of nine points and their chart."""
    table = render_to_string("_ba.html", {"rows": ROWS, "caption": "charging", "what": "point"})
    paper = on_paper(
        f"""<html><head>{styles("report")}<title>x</title></head><body class="report">
        <div class="sheet"><div style="height: {filled_mm}mm"></div><div class="row">
        <div class="found">{table}<figure class="chart">{TALL}<figcaption>the chart</figcaption>
        </figure><p>what follows</p></div></div></div></body></html>""",
        language="en",
    )
    pages = []
    for page in read(render(paper.html, made=paper.made, language="en")).pages:
        found: list[tuple[str, float]] = []

        def visit(text, place, matrix, _font, _size, found=found) -> None:
            if text.strip() and not re.search(r"\d+ of \d+", text):
                height = place[1] * matrix[4] + place[3] * matrix[5] + place[5]
                found.append((text.strip(), height / 72 * 25.4))

        page.extract_text(visitor_text=visit)
        pages.append(found)
    return pages


@pytest.mark.parametrize("filled_mm", range(100, 251, 10))
def test_a_table_and_a_tall_chart_leave_no_hole_and_no_row_alone(filled_mm):
    pages = before_and_after(filled_mm)
    on_first = sum(text.startswith("point ") for text, _height in pages[0])
    assert on_first not in {1, 8}
    lowest = min((height for _text, height in pages[0]), default=A4[1] / 72 * 25.4 - filled_mm)
    if len(pages) > 1:
        assert lowest - FOOT_MM < TALLEST_HOLE_MM


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
