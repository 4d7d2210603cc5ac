"""Words that are no words, or far too many, or of every script: kept and printed, or refused with
the place named; never run, never fetched."""

from __future__ import annotations

import html
import re
from urllib.parse import quote_from_bytes

import pytest
from django.urls import reverse

from jobs.models import Entry, Ticket
from tests.hostile import paper
from tests.listener import Listener
from tests.needs import needs

pytestmark = pytest.mark.django_db

KEY = "d" * 32


def page_of(answer) -> str:
    return html.unescape(answer.content.decode())


def write_complaint(browser, ticket, words: str):
    return browser.post(
        reverse("ticket-complaint-add", args=[ticket.number]), {"words": words, "client_key": KEY}
    )


def write_finding(browser, ticket, words: str):
    told = dict.fromkeys(("sentence", "to_do", "waiting_risk", "why_it_failed"), words)
    return browser.post(
        reverse("finding-add", args=[ticket.number]),
        told | {"certainty": "suspected", "advice": "no_restriction", "client_key": "c" * 32},
    )


# --- nothing is fetched, nothing is run ----------------------------------------------------------


@pytest.fixture
def listener():
    made = Listener()
    yield made
    made.socket.close()


@needs("pango", "pdftotext")
def test_row_29_references_in_a_finding_are_printed_and_nothing_is_fetched(
    as_technician, ticket, listener, tmp_path
):
    secret = tmp_path / "secret.txt"
    secret.write_text("PLANTED-SECRET" * 9)
    near, far = f"file://{secret}", f"http://127.0.0.1:{listener.port}/x"
    typed = " ".join(
        (
            f"<img src={near}> <img src={far}>",
            f'<style>@import "{far}"; @import url({near});</style>',
            f'<link rel=attachment href="{near}"> <a rel=attachment href={far}>x</a>',
        )
    )
    assert write_finding(as_technician, ticket, typed).status_code == 303
    pdf = paper.issued(as_technician, ticket)
    assert re.sub(r"\s", "", typed) in paper.printed(pdf, tmp_path)
    assert listener.hits == 0
    assert b"PLANTED-SECRET" not in paper.unpacked(pdf)
    assert not {"/EmbeddedFile", "/Filespec"} & _kinds_in(pdf)


def _kinds_in(pdf: bytes) -> set[str]:
    reader = paper.read(pdf)
    parts = (reader.get_object(n) for n in range(1, int(reader.trailer["/Size"])))
    return {str(part.get("/Type")) for part in parts if hasattr(part, "get")}


TEMPLATES = "{{ 7*7 }} {% now 'Y' %} {0.__class__} %(part)s %s%n%x ${7*7} #{7*7} <%= 7*7 %>"


def test_row_30_what_looks_like_a_template_is_literal_on_every_page(as_technician, ticket):
    for write in (write_complaint, write_finding):
        assert write(as_technician, ticket, TEMPLATES).status_code == 303
    as_technician.post(
        reverse("swap-elsewhere-add", args=[ticket.number]),
        {"part_in": TEMPLATES, "client_key": "b" * 32},
    )
    for name in ("ticket", "report-preview"):
        page = page_of(as_technician.get(reverse(name, args=[ticket.number])))
        assert page.count(TEMPLATES) >= 3, name


@needs("pango", "pdftotext")
def test_row_30_what_looks_like_a_template_is_literal_on_paper(as_technician, ticket, tmp_path):
    write_finding(as_technician, ticket, TEMPLATES)
    printed = paper.printed(paper.issued(as_technician, ticket), tmp_path)
    assert re.sub(r"\s", "", TEMPLATES) in printed


# --- what can't be kept --------------------------------------------------------------------------

UNPRINTABLE = {
    "row 31: NUL": (b"\0", "U+0000"),
    "row 31: bell": (b"\x07", "U+0007"),
    "row 32: lone surrogate": (b"\xed\xa0\x80", "U+FFFD"),
    "row 32: half a character": (b"\xe2\x82", "U+FFFD"),
    "row 32: noncharacter": ("\ufdd0".encode(), "U+FDD0"),
    "row 32: noncharacter at a plane's end": ("\U0001ffff".encode(), "U+1FFFF"),
}
FIELDS = {
    "a note": ("ticket-note-add", "words", {}),
    "a complaint": ("ticket-complaint-add", "words", {}),
    "work asked for": ("ticket-wish-add", "words", {}),
    "a caption": ("photo-add", "caption", {"subject": "leak"}),
    "damage": ("ticket-check-in", "damage", {}),
}


@pytest.mark.parametrize(
    ("field", "sign", "code"),
    [
        pytest.param(FIELDS[field], *UNPRINTABLE[sign], id=f"{sign}, in {field}")
        for field in FIELDS
        for sign in (UNPRINTABLE if field == "a note" else list(UNPRINTABLE)[::2])
    ],
)
def test_a_sign_that_can_not_be_printed_is_named_with_its_place(
    as_owner, ticket, field, sign, code
):
    address, name, rest = field
    before = Entry.objects.count()
    typed = b" Bel" + sign + b"t frayed"
    body = "&".join(
        f"{k}={v}" for k, v in {**rest, "client_key": KEY, name: quote_from_bytes(typed)}.items()
    )
    answer = as_owner.post(
        reverse(address, args=[ticket.number]), body, "application/x-www-form-urlencoded"
    )
    page = page_of(answer)
    assert answer.status_code == 422
    assert f"contains an unprintable character ({code}) at position 5." in page
    assert typed.decode(errors="replace") in page
    assert Entry.objects.count() == before


def test_row_31_a_nul_in_the_first_words_of_a_visit_opens_no_ticket(as_counter, shop):
    answer = as_counter.post(
        reverse("ticket-new"),
        {"plate": "TS58 KLV", "complaint": "Bel\0t", "state": "in_the_bay", "client_key": KEY},
    )
    assert answer.status_code == 422
    assert "(U+0000) at position 4." in page_of(answer)
    assert 'value="TS58 KLV"' in page_of(answer)
    assert not Ticket.objects.exists()


@pytest.mark.parametrize("sign", ["\0", "\ufffe", "\ufffd"])
def test_rows_31_and_32_hold_for_the_name_of_a_measuring_point(as_technician, ticket, sign):
    before = Entry.objects.count()
    answer = as_technician.post(
        reverse("test-new", args=[ticket.number, "voltage_drop"]),
        {
            "given.path": "accessory_ground",
            "path.r1.name": f"Bel{sign}t",
            "path.r1.drop": "0.02",
            "client_key": KEY,
        },
    )
    page = page_of(answer)
    assert answer.status_code == 422
    assert f"unprintable character (U+{ord(sign):04X}) at position 4" in page
    assert 'value="0.02"' in page
    assert Entry.objects.count() == before


TOO_MUCH = {
    "row 33: 100,001 characters": (
        "x" * 100_001,
        "has 100001 characters; at most 10000 are taken",
    ),
    "row 33: 5,000 marks on one letter": (
        "Bele" + "\u0301" * 5_000,
        "The letter before position 13 carries more than 8 accents.",
    ),
}


@pytest.mark.parametrize(("typed", "said"), TOO_MUCH.values(), ids=TOO_MUCH.keys())
def test_more_than_a_text_takes_is_refused_with_the_limit_and_kept(
    as_technician, ticket, typed, said
):
    before = Entry.objects.count()
    answer = write_complaint(as_technician, ticket, typed)
    page = page_of(answer)
    assert answer.status_code == 422
    assert said in page
    assert typed in page
    assert Entry.objects.count() == before


def test_row_33_a_line_of_two_million_blanks_is_no_work(as_technician, ticket):
    body = f"caption=a{'+' * 2_000_000}b&subject=leak&client_key={KEY}"
    answer = as_technician.post(
        reverse("photo-add", args=[ticket.number]), body, "application/x-www-form-urlencoded"
    )
    assert answer.status_code == 422
    assert "has 2000002 characters; at most 300 are taken" in page_of(answer)


# --- what is kept, and printed -------------------------------------------------------------------

HEAVY = {
    "row 33: a word of 10,000 letters": "a" * 10_000,
    "row 33: 5,000 marks on 625 letters": ("e" + "\u0301" * 8) * 625,
}
MOST_PAGES = 6


@needs("pango", "pdftotext")
@pytest.mark.parametrize("typed", HEAVY.values(), ids=HEAVY.keys())
def test_a_text_at_the_limit_stays_on_its_sheet(as_technician, ticket, typed, tmp_path):
    assert write_complaint(as_technician, ticket, typed).status_code == 303
    pdf = paper.issued(as_technician, ticket)
    assert paper.beyond_the_sheet(pdf, tmp_path) == []
    assert len(paper.read(pdf).pages) <= MOST_PAGES
    letter = typed[0]
    assert paper.printed(pdf, tmp_path).count(letter) >= typed.count(letter)


SCRIPTS = {
    "row 35: umlauts": "Großmühle, Ärger, naïve, Łódź",
    "row 35: an umlaut in two signs": "Mu\u0308hle",
    "row 35: Chinese, Japanese, Korean": "冷機時に鳴る, 皮带, 벨트",
    "row 35: Arabic": "صوت عند البرد",
    "row 35: emoji": "🚗💨 👩‍🔧",
    "row 35: a sign of no script": "\ue123",
}


@pytest.mark.parametrize("typed", SCRIPTS.values(), ids=SCRIPTS.keys())
def test_every_script_is_kept_as_typed_and_shown(as_technician, ticket, typed):
    as_technician.post(
        reverse("ticket-note-add", args=[ticket.number]), {"words": typed, "client_key": KEY}
    )
    assert Entry.objects.get(kind="note").data["words"] == typed
    assert typed in page_of(as_technician.get(ticket.get_absolute_url()))


@needs("pango", "pdftotext")
def test_row_35_every_script_is_printed_between_its_neighbours(as_technician, ticket, tmp_path):
    words = list(SCRIPTS.values())
    write_complaint(
        as_technician, ticket, " ".join(f"ab{n} {w} yz{n}" for n, w in enumerate(words))
    )
    pdf = paper.issued(as_technician, ticket)
    printed = paper.printed(pdf, tmp_path)
    assert "Großmühle,Ärger,naïve,Łódź" in printed
    for n in range(len(words)):
        assert f"ab{n}" in printed
        assert f"yz{n}" in printed
    assert paper.beyond_the_sheet(pdf, tmp_path) == []
