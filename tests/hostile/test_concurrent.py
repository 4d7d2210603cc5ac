"""Two people at once: one order wins, and whoever came second is told who was first."""

from __future__ import annotations

import html
import io
import json

import pytest
from django.test import Client
from django.urls import reverse

from jobs.actions import apart, reports, swaps, tickets
from jobs.models import Blob, Entry, Report, Ticket
from jobs.record.verify import faults
from tests.jobs.pictures import READINGS, strap_test, upload
from tests.needs import needs

pytestmark = pytest.mark.django_db

KEY = "f" * 32
STRAP = json.loads((READINGS / "voltage_drop" / "corroded_strap_hot.json").read_text("utf-8"))


def page_of(answer) -> str:
    return " ".join(html.unescape(answer.content.decode()).split())


@pytest.fixture
def at_the_car(technician):
    """The technician's phone."""
    browser = Client()
    browser.force_login(technician)
    return browser


@pytest.fixture
def at_the_desk(counter):
    """The counter's screen."""
    browser = Client()
    browser.force_login(counter)
    return browser


def move(browser, ticket, *ways: str, **typed):
    for to in ways:
        address = reverse("ticket-state", args=[ticket.number])
        answer = browser.post(address, {"to": to} | typed)
    return answer


def save_test(browser, ticket):
    readings = {k: v if isinstance(v, str) else v[0] for k, v in STRAP["typed"].items()}
    return browser.post(
        reverse("test-new", args=[ticket.number, "voltage_drop"]),
        readings | {"fault_present": "yes", "state_of_car": "hot", "client_key": KEY},
        follow=True,
    )


# ------------------------------------------------------------------ row 79: handed back meanwhile


def test_row_79_a_reading_that_comes_after_the_keys_is_kept_and_says_so(
    at_the_car, at_the_desk, ticket
):
    at_the_car.get(reverse("test-new", args=[ticket.number, "voltage_drop"]))
    move(at_the_desk, ticket, "ready", "handed_back")
    given = Entry.objects.filter(kind="state").last()
    page = page_of(save_test(at_the_car, ticket))
    saved = Entry.objects.get(kind="test")
    assert saved.seq > given.seq
    assert f"Test saved as entry {saved.seq}" in page
    assert f"Ida Marsh handed the car back before that, entry {given.seq}," in page
    ticket.refresh_from_db()
    assert ticket.state == "handed_back"


def test_row_79_a_reading_that_comes_first_stands_before_the_keys(at_the_car, at_the_desk, ticket):
    at_the_desk.get(reverse("ticket-state", args=[ticket.number]))
    page = page_of(save_test(at_the_car, ticket))
    assert "handed the car back" not in page
    answer = move(at_the_desk, ticket, "ready", "handed_back")
    test, given = Entry.objects.get(kind="test"), Entry.objects.filter(kind="state").last()
    assert given.seq > test.seq
    assert answer.url.endswith(f"#e{given.seq}")


def test_row_79_a_car_that_came_back_in_is_not_called_gone(at_the_car, at_the_desk, ticket):
    move(at_the_desk, ticket, "ready", "handed_back", "in_the_bay")
    assert "handed the car back" not in page_of(save_test(at_the_car, ticket))


def test_row_79_a_hand_over_that_was_taken_back_is_none(at_the_car, at_the_desk, ticket, owner):
    move(at_the_desk, ticket, "ready", "handed_back")
    tickets.withdraw(entry=Entry.objects.filter(kind="state").last(), why="Not yet.", by=owner)
    assert "handed the car back" not in page_of(save_test(at_the_car, ticket))


def test_row_79_keys_stay_while_something_was_left_apart_meanwhile(at_the_car, at_the_desk, ticket):
    move(at_the_desk, ticket, "ready")
    at_the_desk.get(reverse("ticket-state", args=[ticket.number]))
    at_the_car.post(reverse("apart", args=[ticket.number]), {"what": "Fuse 14 pulled"})
    answer = move(at_the_desk, ticket, "handed_back", note="Keys in the box")
    page = page_of(answer)
    assert answer.status_code == 422
    assert "Still apart: Fuse 14 pulled" in page
    assert "Keys in the box" in page
    ticket.refresh_from_db()
    assert ticket.state == "ready"


def test_row_79_who_decided_by_an_older_state_is_told_it(ticket, owner, counter):
    seen_before = Ticket.objects.get(pk=ticket.pk)
    tickets.move(ticket=ticket, to="ready", by=owner)
    tickets.move(ticket=ticket, to="handed_back", by=owner)
    with pytest.raises(tickets.MoveRefused, match="From its present state"):
        tickets.move(ticket=seen_before, to="waiting", waits_for="part", by=counter)
    assert Entry.objects.filter(kind="state").count() == 2


def test_row_79_nobody_else_writes_between_the_look_and_the_move(ticket, owner, monkeypatch):
    done = []
    lock, look = tickets.one_writer, tickets._nothing_apart
    monkeypatch.setattr(tickets, "one_writer", lambda: (done.append("lock"), lock()))
    monkeypatch.setattr(tickets, "_nothing_apart", lambda t: (done.append("look"), look(t)))
    tickets.move(ticket=ticket, to="ready", by=owner)
    assert done == ["lock", "look"]


def test_row_79_a_state_sent_twice_is_one_though_it_could_not_be_sent_again(ticket, owner):
    first, second = (
        tickets.move(ticket=ticket, to="ready", by=owner, client_key=KEY) for _ in range(2)
    )
    assert first == second


# ------------------------------------------------------------------ row 79: reports


def issue(browser, ticket, seen_to: int, key: str = KEY):
    return browser.post(
        reverse("report-issue", args=[ticket.number]),
        {"seen_to": seen_to, "client_key": key},
        follow=True,
    )


def add_note(browser, ticket, words: str) -> None:
    browser.post(reverse("ticket-note-add", args=[ticket.number]), {"words": words})


def test_row_79_what_came_after_the_look_stops_the_report_and_says_so(
    at_the_car, at_the_desk, ticket
):
    seen = ticket.entries.count()
    add_note(at_the_desk, ticket, "She rang: it squeals too.")
    page = page_of(issue(at_the_car, ticket, seen))
    assert "Something was added to the ticket while the report was being made" in page
    assert not Report.objects.exists()


def test_row_79_what_comes_while_the_pdf_is_made_stops_it_and_leaves_nothing(
    at_the_car, at_the_desk, ticket, monkeypatch
):
    def slowly(_content: dict) -> bytes:
        add_note(at_the_desk, ticket, "She rang: it squeals too.")
        return b"%PDF-1.7 a stand-in"

    monkeypatch.setattr(reports, "pdf_of", slowly)
    page = page_of(issue(at_the_car, ticket, ticket.entries.count()))
    assert "Something was added to the ticket while the report was being made" in page
    assert not Report.objects.exists()
    assert not Blob.objects.exists()
    assert Entry.objects.filter(kind="note").count() == 1
    assert "entries 1 to 3" in page_of(
        at_the_car.get(reverse("report-preview", args=[ticket.number]))
    )


@needs("pango")
def test_row_79_the_pdf_names_the_entries_that_it_was_made_from(at_the_car, at_the_desk, ticket):
    from pypdf import PdfReader

    made_from = ticket.entries.count()
    issue(at_the_car, ticket, made_from)
    add_note(at_the_desk, ticket, "She rang: it squeals too.")
    report = Report.objects.get()
    answer = at_the_car.get(reverse("report-pdf", args=[ticket.number, 1]))
    pages = PdfReader(io.BytesIO(b"".join(answer.streaming_content))).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert f"Check value of this record, entries 1 to {made_from}: " in text
    assert ticket.entries.get(seq=made_from).digest in text.replace(" ", "")
    assert (report.made_from_seq, report.entry.seq) == (made_from, made_from + 1)
    assert [str(fault) for fault in faults()] == []


# ------------------------------------------------------------------ row 81: gone meanwhile


@pytest.fixture
def swap(ticket, owner):
    """A swap that the owner takes back while a phone still offers it."""
    return swaps.add(
        ticket=ticket, by=owner, reason="worn_or_damaged", facts={"part_in": "Braided strap"}
    )


def photo_of(browser, ticket, **typed):
    return browser.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload()], "subject": "leak", "client_key": KEY} | typed,
    )


def test_row_81_a_photo_for_a_swap_that_is_gone_is_refused_with_who_took_it_back(
    at_the_car, ticket, swap, owner
):
    value = f"swap-{swap.swap.uid}"
    assert value in page_of(at_the_car.get(reverse("photo-add", args=[ticket.number])))
    gone = tickets.withdraw(entry=swap, why="Wrong car.", by=owner)
    answer = photo_of(at_the_car, ticket, belongs=value, caption="Old strap")
    page = page_of(answer)
    assert answer.status_code == 422
    assert f"Nell Aldous has taken entry {swap.seq} back: entry {gone.seq}," in page
    assert "Old strap" in page
    assert not Blob.objects.exists()


def test_row_81_a_waiting_phone_is_told_it_in_its_own_way(at_the_car, ticket, swap, owner):
    tickets.withdraw(entry=swap, why="Wrong car.", by=owner)
    answer = at_the_car.post(
        reverse("photo-add", args=[ticket.number]),
        {"photos": [upload()], "subject": "leak", "belongs": f"swap-{swap.swap.uid}"},
        headers={"accept": "application/json"},
    )
    assert answer.status_code == 422
    assert "Nell Aldous has taken entry" in " ".join(answer.json()["refused"])


@pytest.mark.parametrize("values", [["run-0"], ["swap-1"], ["photo-" + "9" * 30], ["run-x", "?"]])
def test_row_81_evidence_that_never_was_is_refused_without_a_fault(at_the_car, ticket, values):
    answer = at_the_car.post(
        reverse("finding-add", args=[ticket.number]),
        {"certainty": "probable", "sentence": "The strap.", "advice": "no_restriction",
         "rests_on": values},
    )  # fmt: skip
    assert answer.status_code == 422
    assert "The strap." in page_of(answer)


def test_row_81_a_finding_on_a_test_that_is_gone_is_refused_with_who_took_it_back(
    at_the_car, ticket, owner
):
    test = strap_test(ticket, owner)
    gone = tickets.withdraw(entry=test, why="Other strap.", by=owner)
    answer = at_the_car.post(
        reverse("finding-add", args=[ticket.number]),
        {"certainty": "probable", "sentence": "The strap.", "advice": "no_restriction",
         "rests_on": [f"run-{test.run_link.run_id}"]},
    )  # fmt: skip
    page = page_of(answer)
    assert answer.status_code == 422
    assert f"Nell Aldous has taken entry {test.seq} back: entry {gone.seq}," in page
    assert "The strap." in page
    assert not Entry.objects.filter(kind="finding").exists()


def test_row_81_a_correction_of_what_is_gone_is_refused_with_who_was_first(
    at_the_car, ticket, swap, owner
):
    tickets.withdraw(entry=swap, why="Wrong car.", by=owner)
    answer = at_the_car.post(
        reverse("swap-change", args=[ticket.number, swap.seq]),
        {"reason": "worn_or_damaged", "part_in": "Braided strap, 25 mm²", "why": "Size."},
    )
    page = page_of(answer)
    assert answer.status_code == 409
    assert f"has been replaced by entry {swap.seq + 1} meanwhile, by Nell Aldous" in page
    assert "Braided strap, 25 mm²" in page


def test_row_81_what_is_back_already_is_not_ticked_back_twice(at_the_car, ticket, owner):
    thing = apart.take_apart(ticket=ticket, what="Fuse 14 pulled", by=owner).apart
    address = reverse("apart-back", args=[ticket.number, thing.uid])
    answers = [at_the_car.post(address, {"client_key": key * 32}) for key in "ab"]
    assert [answer.status_code for answer in answers] == [303, 422]
    assert "Fuse 14 pulled" in page_of(answers[1])


def test_row_81_photos_that_arrive_after_the_keys_are_kept_and_told_of(
    at_the_car, at_the_desk, ticket
):
    move(at_the_desk, ticket, "ready", "handed_back")
    answer = photo_of(at_the_car, ticket)
    assert answer.status_code == 303
    page = page_of(at_the_car.get(answer.url))
    assert "Ida Marsh handed the car back before that" in page
    assert Blob.objects.count() == 1
