"""A PDF is tagged, in its language, and made of stored copies, style sheets and typefaces alone."""

from __future__ import annotations

import io
import signal
import socket

import pypdf
import pytest
from django.test import override_settings
from django.utils.html import escape

from jobs import process
from jobs.photos import intake, store
from jobs.process import PdfUnavailable, failures, render
from jobs.process.pool import HelperEnded, HelperTooSlow
from tests.jobs.photos import pictures
from tests.listener import Listener
from tests.needs import needs

pytestmark = needs("pango")


@pytest.fixture
def photo(settings):
    """A photo full of marks, in the store."""
    return intake.take(settings.PHOTO_FOLDER, [pictures.marked("JPEG")])


def page(body, head=""):
    return f"<!doctype html><html><head><title>Report</title>{head}</head><body>{body}</body>"


def read(pdf):
    return pypdf.PdfReader(io.BytesIO(pdf))


STYLES = '<link rel="stylesheet" href="/static/css/fonts.css">'


# ------------------------------------------------------------------ what it is


def test_it_is_a_tagged_pdf_in_its_language_with_a_title():
    document = read(render(page("<h1>Findings</h1>"), language="de"))
    catalog = document.trailer["/Root"]
    assert catalog["/Lang"] == "de"
    assert catalog["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in catalog
    assert b'pdfuaid:part="1"' in catalog["/Metadata"].get_data() or (
        b"pdfuaid:part>1<" in catalog["/Metadata"].get_data()
    )
    assert document.metadata.title == "Report"


def test_the_same_html_makes_the_same_bytes(photo):
    html = page(f'<img alt="x" src="evidence:{photo.sha256}/print">', STYLES)
    assert render(html, language="en") == render(html, language="en")


def test_the_packaged_typefaces_are_embedded():
    body = (
        '<p style="font-family: Barlow">one</p><p style="font-family: Barlow Semi Condensed">two'
        '</p><p style="font-family: Source Serif Pro; font-style: italic">three</p>'
    )
    document = read(render(page(body, STYLES), language="en"))
    fonts = {
        str(font.get_object()["/BaseFont"]).partition("+")[2].partition(",")[0]
        for font in document.pages[0]["/Resources"]["/Font"].values()
    }
    assert {name.replace("-", "").lower() for name in fonts} == {
        "barlow",
        "barlowsemicondensed",
        "sourceserifproitalic",
    }


@pytest.mark.parametrize("size", ["screen", "print", "thumb"])
def test_a_stored_photo_is_shown_without_anything_of_its_original(photo, size):
    pdf = render(page(f'<img alt="a plug" src="evidence:{photo.sha256}/{size}">'), language="en")
    (image,) = read(pdf).pages[0].images
    assert pictures.corners_of(image.image) == pictures.UPRIGHT
    copy = store.copy_path(_root(), photo.sha256, size).read_bytes()
    for content in (pdf, image.data, copy):
        assert not any(mark in content for mark in pictures.MARKS)
        assert b"Exif" not in content


def _root():
    from django.conf import settings

    return settings.PHOTO_FOLDER


def test_a_copy_that_is_gone_is_made_again_for_the_paper(photo):
    store.copy_path(_root(), photo.sha256, "print").unlink()
    pdf = render(page(f'<img alt="x" src="evidence:{photo.sha256}/print">'), language="en")
    assert len(read(pdf).pages[0].images) == 1


# ------------------------------------------------------------------ what it must not read


@pytest.fixture
def listener():
    made = Listener()
    yield made
    made.socket.close()


def test_the_listener_would_notice_a_caller(listener):
    with socket.create_connection(("127.0.0.1", listener.port)) as caller:
        caller.sendall(b"GET / HTTP/1.1\r\n\r\n")
        assert b"302" in caller.recv(100)
    assert listener.hits == 1


REFERENCES = [
    pytest.param('<img src="{}">', id="picture"),
    pytest.param('<link rel="stylesheet" href="{}">', id="style sheet"),
    pytest.param('<style>@import url("{}");</style>', id="import"),
    pytest.param('<style>p {{ background: url("{}") }}</style><p>x', id="background"),
    pytest.param('<p style="list-style-image: url({}); display: list-item">x', id="list mark"),
    pytest.param('<style>p::before {{ content: url("{}") }}</style><p>x', id="content"),
    pytest.param(
        '<style>@font-face {{ font-family: f; src: url("{}") }} p {{ font-family: f }}</style><p>x',
        id="typeface",
    ),
    pytest.param('<object data="{}"></object>', id="object"),
    pytest.param('<embed src="{}">', id="embed"),
    pytest.param(
        '<svg width="9" height="9"><image href="{}" width="9" height="9"/></svg>',
        id="picture in a drawing",
    ),
    pytest.param('<link rel="attachment" href="{}">', id="attachment"),
    pytest.param('<a rel="attachment" href="{}">x</a>', id="attachment link"),
]


@pytest.mark.parametrize("reference", REFERENCES)
@pytest.mark.parametrize("address", ["http://127.0.0.1:{port}/x", "file:///etc/hostname"])
def test_no_reference_leads_outside(listener, reference, address):
    target = address.format(port=listener.port)
    with pytest.raises(failures.AddressRefused) as caught:
        render(page(reference.format(target)), language="en")
    assert listener.hits == 0
    assert target in str(caught.value)


@pytest.mark.parametrize(
    "address",
    [
        "evidence:" + "0" * 64 + "/print",
        "evidence:../../../etc/passwd",
        "evidence:{sha256}/original",
        "evidence:{sha256}/print?x=1",
        "evidence:{sha256}/../print",
        "EVIDENCE:{sha256}/print",
        "/static/css/../../settings.py",
        "/static/css/tokens.css?x",
        "/static/js/menu.js",
        "static/css/tokens.css/../base.css%00",
        "//127.0.0.1/x",
        "ftp://127.0.0.1/x",
        "data:image/svg+xml,<svg/>",
        "javascript:alert(1)",
        "evidence.jpg",
    ],
)
def test_only_the_exact_address_of_a_copy_or_a_packaged_file_is_read(photo, address):
    target = address.format(sha256=photo.sha256)
    with pytest.raises(failures.AddressRefused):
        render(page(f'<img src="{target}">'), language="en")


def test_the_original_itself_is_never_on_paper(photo):
    path = store.original_path(_root(), photo.sha256)
    with pytest.raises(failures.AddressRefused):
        render(page(f'<img src="file://{path}">'), language="en")


def test_a_base_address_in_the_html_changes_nothing(listener):
    html = page('<img src="x.png">', f'<base href="http://127.0.0.1:{listener.port}/">')
    with pytest.raises(failures.AddressRefused):
        render(html, language="en")
    assert listener.hits == 0


def test_references_in_what_people_typed_are_printed_as_text(listener):
    typed = (
        f'<img src=http://127.0.0.1:{listener.port}/a> <style>@import "file:///etc/passwd"</style> '
        f"<a rel=attachment href=file:///etc/passwd>x</a> evidence:{'0' * 64}/print"
    )
    document = read(render(page(f"<p>{escape(typed)}</p>"), language="en"))
    text = document.pages[0].extract_text().replace("\n", "").replace(" ", "")
    assert "<imgsrc=http://127.0.0.1" in text and "@import" in text
    assert listener.hits == 0
    assert "/EmbeddedFiles" not in document.trailer["/Root"].get("/Names", {})


def test_links_to_the_outside_are_links_and_are_not_followed(listener):
    address = f"http://127.0.0.1:{listener.port}/maker"
    document = read(render(page(f'<a href="{address}">maker</a>'), language="en"))
    assert document.pages[0]["/Annots"][0].get_object()["/A"]["/URI"] == address
    assert listener.hits == 0


# ------------------------------------------------------------------ when it can't be made


def test_more_pages_than_the_limit_are_refused():
    with pytest.raises(failures.TooManyPages) as caught:
        render(page('<p style="break-after: page">x</p>' * 230), language="en")
    assert "the limit is 200" in str(caught.value)


@pytest.mark.parametrize(
    ("outcome", "told"),
    [
        (HelperTooSlow(), failures.RenderTookTooMuch),
        (HelperEnded(-signal.SIGXCPU), failures.RenderTookTooMuch),
        (HelperEnded(-signal.SIGSEGV), failures.RenderFailed),
        (HelperEnded(-signal.SIGKILL), failures.RenderFailed),
        (process.HelperUnavailable("busy"), PdfUnavailable),
        ({"refused": "memory", "facts": {}}, failures.RenderTookTooMuch),
        ({"refused": "fault", "facts": {"fault": "KeyError: 1"}}, failures.RenderFailed),
        (
            {"refused": "PangoMissing", "facts": {"missing": "a, b", "command": "get a b"}},
            failures.PangoMissing,
        ),
    ],
)
def test_each_way_to_fail_is_told_as_a_sentence(monkeypatch, outcome, told):
    def ask(head, body):
        if isinstance(outcome, Exception):
            raise outcome
        return outcome, b""

    monkeypatch.setattr(process.RENDERING, "ask", ask)
    with pytest.raises(told) as caught:
        render(page("x"), language="en")
    assert isinstance(caught.value, PdfUnavailable)
    assert "PDF" in str(caught.value)


def test_a_killed_helper_is_replaced():
    render(page("one"), language="en")
    (helper,) = process.RENDERING.helpers()
    helper.process.kill()
    helper.process.wait()
    assert render(page("two"), language="en").startswith(b"%PDF")


def test_style_sheets_are_found_under_another_static_address():
    with override_settings(STATIC_URL="/elsewhere/"):
        html = page("<p>x</p>", '<link rel="stylesheet" href="/elsewhere/css/tokens.css">')
        assert render(html, language="en").startswith(b"%PDF")
