"""The check-in sheet: one page with the keys, whose QR code opens the ticket."""

from __future__ import annotations

import re
from collections import Counter
from io import BytesIO

import pytest
from django.urls import reverse
from django.utils.html import escape

from jobs import process
from jobs.actions import intake, tickets
from jobs.report import check_in_sheet
from shop import environment
from shop.models import Profile
from tests.jobs.papers import tagged
from tests.needs import needs

pytestmark = pytest.mark.django_db


def html_of(ticket, host: str = "http://testserver/") -> str:
    content = check_in_sheet.content_of(ticket, Profile.current(), host=host)
    return " ".join(check_in_sheet.html_of(content, for_paper=True).split())


def sheet(client, ticket):
    return client.get(reverse("ticket-check-in-sheet", args=[ticket.number]))


@pytest.fixture
def checked_in(ticket, owner):
    """The van's ticket with all that an arrival can say."""
    tickets.add_wish(ticket=ticket, words="And winter tyres on.", by=owner)
    tickets.change(
        ticket=ticket,
        by=owner,
        facts={
            "fuel_level": "half",
            "lamps": ["engine", "anti_lock"],
            "damage": "Scratch, left door",
            "belongings": "2 keys, child seat",
            "arrival": "towed",
            "allowance_minor": 15_000,
            "promised_at": "2026-03-04T16:00:00+00:00",
        },
    )
    ticket.refresh_from_db()
    return ticket


# --- what it prints ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "said",
    [
        "TS58 KLV",
        "Corvane Hauler 22 2016",
        "Odile Verhagen",
        "01632 960123",
        "Turns over slowly once it is hot.",
        "engine hot",
        "And winter tyres on.",
        "148 230 km",
        "about half",
        "engine lamp, anti-lock brake lamp",
        "Scratch, left door",
        "2 keys, child seat",
        "brought on a truck or towed",
        "4 March 2026, 16:00",
        "You agree to at most €150.00. We stop and ask before that.",
        "A test drive",
        "Customer, date",
        "Kestrel Yard Repairs",
    ],
)
def test_it_says_what_was_said_seen_and_agreed(checked_in, said):
    assert said in html_of(checked_in)


def test_what_is_not_known_is_said_so(owner):
    page = html_of(intake.take_in(by=owner, plate="BN58KLD"))
    assert "not read" in page
    assert "none noted" in page
    assert "You agree to at most" not in page


def test_a_corrected_complaint_is_printed_as_it_counts(ticket, owner):
    old = ticket.complaints.get().entry
    tickets.add_complaint(ticket=ticket, words="Slow when cold.", by=owner, corrects=old)
    page = html_of(ticket)
    assert "Slow when cold." in page
    assert "Turns over slowly" not in page


def test_no_box_is_ticked_beforehand(checked_in):
    page = html_of(checked_in)
    assert page.count('class="box"') == len(check_in_sheet.AGREEMENTS)
    assert "checked" not in page


@pytest.mark.parametrize(
    "typed", ["<img src=file:///etc/passwd>", "{{ 7|add:7 }} ${x} %s", "@import 'x'; 🚗 صوت"]
)
def test_what_people_typed_is_text_on_paper(ticket, owner, typed):
    tickets.change(ticket=ticket, by=owner, facts={"damage": typed})
    ticket.refresh_from_db()
    assert escape(typed) in html_of(ticket)


def test_the_drawing_is_all_attributes(ticket):
    code = check_in_sheet.qr_code("http://192.0.2.4:8000/tickets/1/")
    assert "style=" not in code
    assert "class=" not in code


# --- the address in the code -------------------------------------------------------------------


@pytest.fixture
def public(settings):
    """A shop with an address of its own."""
    settings.ADDRESS = "https://bench.example"


def test_the_public_address_is_used_where_there_is_one(ticket, public):
    address = check_in_sheet.ticket_address(ticket, "http://192.0.2.4:8000/")
    assert address == f"https://bench.example/tickets/{ticket.number}/"


def test_else_the_way_the_reader_came_in(ticket, settings):
    settings.ADDRESS = "http://localhost:8000"
    address = check_in_sheet.ticket_address(ticket, "http://192.0.2.4:8000/")
    assert address == f"http://192.0.2.4:8000/tickets/{ticket.number}/"


def test_a_phone_is_not_sent_to_itself(ticket, settings, monkeypatch):
    settings.ADDRESS = "http://localhost:8000"
    monkeypatch.setattr(environment, "own_address", lambda: "192.0.2.7")
    address = check_in_sheet.ticket_address(ticket, "http://localhost:8000/")
    assert address == f"http://192.0.2.7:8000/tickets/{ticket.number}/"


def drawn(svg: str) -> set[tuple[int, int]]:
    """Row and column of each dark module, read off the drawing."""
    path = re.search(r'stroke="#000" d="([^"]+)"', svg).group(1)
    x, y = 0.0, 0.0
    dark = set()
    for step, arguments in re.findall(r"([Mmh])([-0-9. ]+)", path):
        numbers = [float(n) for n in arguments.split()]
        if step == "M":
            x, y = numbers
        elif step == "m":
            x, y = x + numbers[0], y + numbers[1]
        else:
            dark |= {(int(y) - 4, int(x) - 4 + n) for n in range(int(numbers[0]))}
            x += numbers[0]
    return dark


def test_the_code_is_drawn_module_by_module_as_its_maker_computed_it(ticket):
    import segno

    address = check_in_sheet.ticket_address(ticket, "http://192.0.2.4:8000/")
    modules = segno.make(address, error="m", micro=False).matrix
    dark = {(r, c) for r, row in enumerate(modules) for c, module in enumerate(row) if module}
    assert drawn(check_in_sheet.qr_code(address)) == dark


# --- paper -------------------------------------------------------------------------------------


@needs("pango")
def test_it_is_one_page_of_the_shops_paper(as_counter, checked_in):
    from pypdf import PdfReader

    for paper, width_mm in (("A4", 210.0), ("Letter", 215.9)):
        Profile.objects.update(paper=paper)
        answer = sheet(as_counter, checked_in)
        assert answer["Content-Type"] == "application/pdf"
        pages = PdfReader(BytesIO(answer.content)).pages
        assert len(pages) == 1
        assert float(pages[0].mediabox.width) / 72 * 25.4 == pytest.approx(width_mm, abs=0.1)


@needs("pango")
def test_every_drawing_of_the_paper_has_an_alternative_text(as_counter, checked_in):
    from pypdf import PdfReader

    reader = PdfReader(BytesIO(sheet(as_counter, checked_in).content))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    figures = [alt for kind, alt in tagged(reader) if kind == "/Figure"]
    assert Counter(figures) == {
        "QR code of this ticket": 1,
        "mark": len(check_in_sheet.AGREEMENTS),
    }


@needs("pango")
def test_a_word_of_ten_thousand_letters_still_makes_a_paper(as_counter, ticket, owner):
    tickets.add_complaint(ticket=ticket, words="x" * 10_000, by=owner)
    assert sheet(as_counter, ticket)["Content-Type"] == "application/pdf"


@needs("pango")
def test_the_paper_says_the_same_as_the_page(as_counter, checked_in):
    from pypdf import PdfReader

    answer = sheet(as_counter, checked_in)
    text = " ".join(PdfReader(BytesIO(answer.content)).pages[0].extract_text().split())
    for said in ("Ticket 0001", "Turns over slowly once it is hot.", "Scratch, left door"):
        assert said in text


def test_where_pdfs_cannot_be_made_the_page_prints_and_says_so(as_counter, checked_in, monkeypatch):
    def none(*_args, **_more):
        raise process.PdfUnavailable

    monkeypatch.setattr(process, "render", none)
    answer = sheet(as_counter, checked_in)
    page = " ".join(answer.content.decode().split())
    assert answer.status_code == 200
    assert answer["Content-Type"].startswith("text/html")
    assert "can’t be made just now" in page
    assert "use the browser’s own print" in page
    assert "Turns over slowly once it is hot." in page
