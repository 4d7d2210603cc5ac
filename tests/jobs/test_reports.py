"""A report is looked at, issued once, kept as it was, and read again; whoever may not is told."""

from __future__ import annotations

import json

import pytest
from django.conf import settings
from django.urls import reverse

from jobs.actions import findings, reports, tickets
from jobs.models import Blob, Entry, Report
from jobs.photos import store
from jobs.photos.verify import faults as stored_faults
from jobs.process import PdfUnavailable
from jobs.record.verify import faults
from tests.jobs.pictures import strap_test

pytestmark = pytest.mark.django_db

KEY = "e" * 32
PDF = b"%PDF-1.7 a stand-in, since these tests are about keeping it"


@pytest.fixture(autouse=True)
def rendered(monkeypatch: pytest.MonkeyPatch) -> list[dict]:
    """Rendering has its own tests; here it gives a fixed PDF and says what it was asked for."""
    asked: list[dict] = []

    def pdf_of(content: dict) -> bytes:
        asked.append(content)
        return PDF + str(len(asked)).encode()

    monkeypatch.setattr(reports, "pdf_of", pdf_of)
    return asked


def preview(ticket) -> str:
    return reverse("report-preview", args=[ticket.number])


def send(client, ticket, **told):
    form = {"client_key": KEY, "seen_to": ticket.entries.count()} | told
    return client.post(reverse("report-issue", args=[ticket.number]), form)


def test_the_preview_writes_nothing(as_technician, ticket):
    before = Entry.objects.count()
    answer = as_technician.get(preview(ticket))
    assert answer.status_code == 200
    assert "not issued yet" in answer.content.decode()
    assert Entry.objects.count() == before


def test_issuing_writes_one_entry_with_the_hashes_of_content_and_pdf(as_technician, ticket, shop):
    answer = send(as_technician, ticket)
    assert answer.status_code == 303
    assert answer["Location"] == reverse("report", args=[ticket.number, 1])
    report, entry = Report.objects.get(), ticket.entries.last()
    assert entry.kind == "report_issued"
    assert entry.data == {
        "number": ticket.number,
        "revision": 1,
        "content_digest": report.content_digest,
        "pdf_sha256": report.pdf_id,
        "made_from_seq": entry.seq - 1,
    }


def test_the_pdf_comes_back_byte_for_byte(as_technician, ticket):
    send(as_technician, ticket)
    answer = as_technician.get(reverse("report-pdf", args=[ticket.number, 1]))
    assert b"".join(answer.streaming_content) == PDF + b"1"
    assert answer["Content-Type"] == "application/pdf"
    assert f"report-{ticket.number:04d}-revision-1.pdf" in answer["Content-Disposition"]


def test_a_form_sent_twice_makes_one_revision(as_technician, ticket, rendered):
    first, second = send(as_technician, ticket), send(as_technician, ticket)
    assert first["Location"] == second["Location"]
    assert Report.objects.count() == 1
    assert len(rendered) == 1


def test_a_form_sent_again_while_the_first_still_renders_makes_one_revision(
    ticket, shop, technician, monkeypatch
):
    told = {"ticket": ticket, "profile": shop, "by": technician, "client_key": KEY}

    def pdf_of(content: dict) -> bytes:
        monkeypatch.setattr(reports, "pdf_of", lambda content: PDF)
        told["first"] = reports.issue(**{k: v for k, v in told.items() if k != "first"})
        return PDF

    monkeypatch.setattr(reports, "pdf_of", pdf_of)
    second = reports.issue(**told)
    assert second == told["first"]
    assert Report.objects.count() == 1


def test_what_was_added_since_the_preview_is_told_and_nothing_is_issued(
    as_technician, ticket, technician
):
    seen_to = ticket.entries.count()
    tickets.add_note(ticket=ticket, words="The fan does not start.", by=technician)
    answer = as_technician.post(
        reverse("report-issue", args=[ticket.number]),
        {"client_key": KEY, "seen_to": seen_to},
        follow=True,
    )
    assert "Something was added to the ticket" in answer.content.decode()
    assert not Report.objects.exists()


def test_what_is_added_while_it_renders_stops_it(ticket, shop, technician, monkeypatch):
    def pdf_of(content: dict) -> bytes:
        tickets.add_note(ticket=ticket, words="The fan does not start.", by=technician)
        return PDF

    monkeypatch.setattr(reports, "pdf_of", pdf_of)
    with pytest.raises(reports.RecordHasMoved):
        reports.issue(ticket=ticket, profile=shop, by=technician)
    assert not Report.objects.exists()
    assert not Blob.objects.exists()


def test_two_people_issue_one_revision_and_the_slower_is_told(
    ticket, shop, technician, owner, monkeypatch
):
    def pdf_of(content: dict) -> bytes:
        monkeypatch.setattr(reports, "pdf_of", lambda content: PDF + b"quick")
        reports.issue(ticket=ticket, profile=shop, by=owner, client_key="1" * 32)
        return PDF + b"slow"

    monkeypatch.setattr(reports, "pdf_of", pdf_of)
    with pytest.raises(reports.RecordHasMoved):
        reports.issue(ticket=ticket, profile=shop, by=technician, client_key="2" * 32)
    assert [report.entry.by for report in Report.objects.all()] == [owner]


def test_without_a_pdf_the_reason_is_shown_and_nothing_is_half_saved(
    as_technician, ticket, monkeypatch
):
    def unavailable(content: dict) -> bytes:
        raise PdfUnavailable

    monkeypatch.setattr(reports, "pdf_of", unavailable)
    before = Entry.objects.count()
    answer = as_technician.post(
        reverse("report-issue", args=[ticket.number]), {"client_key": KEY}, follow=True
    )
    assert answer.status_code == 200
    assert "can’t be made just now" in answer.content.decode()
    assert Entry.objects.count() == before
    assert not Report.objects.exists() and not Blob.objects.exists()


def test_a_full_disk_is_said_and_nothing_is_half_saved(as_technician, ticket, monkeypatch):
    def full(*args, **kwargs):
        raise store.StorageFull("no space left")

    monkeypatch.setattr(store, "put", full)
    answer = as_technician.post(
        reverse("report-issue", args=[ticket.number]), {"client_key": KEY}, follow=True
    )
    assert answer.status_code == 200
    assert not Report.objects.exists()


# --- who -----------------------------------------------------------------------------------------


def test_the_counter_reads_reports(as_counter, ticket, shop, technician):
    reports.issue(ticket=ticket, profile=shop, by=technician)
    for name, told in (("report-preview", []), ("report", [1]), ("report-pdf", [1])):
        assert as_counter.get(reverse(name, args=[ticket.number, *told])).status_code == 200


def test_the_counter_is_offered_no_issuing_and_refused_it(as_counter, ticket):
    assert "Issue it" not in as_counter.get(preview(ticket)).content.decode()
    assert send(as_counter, ticket).status_code == 403
    assert not Report.objects.exists()


def test_nobody_reads_a_report_signed_out(client, ticket):
    assert client.get(preview(ticket)).status_code == 302


@pytest.mark.parametrize("revision", [2, 40_000])
def test_a_revision_that_is_not_there_is_not_found(as_technician, ticket, revision):
    send(as_technician, ticket)
    for name in ("report", "report-pdf"):
        address = reverse(name, args=[ticket.number, revision])
        assert as_technician.get(address).status_code == 404


@pytest.mark.parametrize("seen_to", ["", "x", "-1", "٣"])
def test_a_mangled_form_is_no_server_error(as_technician, ticket, seen_to):
    answer = as_technician.post(
        reverse("report-issue", args=[ticket.number]), {"client_key": KEY, "seen_to": seen_to}
    )
    assert answer.status_code in {302, 303}


# --- revisions -----------------------------------------------------------------------------------


def test_an_issued_revision_stays_as_it_was(as_owner, ticket, shop, owner):
    reports.issue(ticket=ticket, profile=shop, by=owner)
    shop.name = "Another Name Repairs"
    shop.save()
    tickets.add_complaint(ticket=ticket, words="And it squeals.", by=owner)
    shown = as_owner.get(reverse("report", args=[ticket.number, 1])).content.decode()
    assert "Kestrel Yard Repairs" in shown
    assert "And it squeals." not in shown
    assert "It does not change any more." in shown


def test_the_next_revision_says_what_changed(ticket, shop, owner, van):
    reports.issue(ticket=ticket, profile=shop, by=owner)
    test = strap_test(ticket, owner)
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="probable",
        sentence="The strap is corroded.",
        advice="no_restriction",
        rests_on=[test.run_link.run],
    )
    second = reports.issue(ticket=ticket, profile=shop, by=owner)
    changes = json.loads(second.content)["changes"]
    assert second.revision == 2
    assert changes[0].startswith("This revision replaces revision 1 of ")
    assert "Finding added: The strap is corroded." in changes
    assert f"Test {test.seq} added: Voltage drop under load." in changes
    assert "The driving advice has changed." in changes


def test_a_revision_without_a_change_says_that(ticket, shop, owner):
    reports.issue(ticket=ticket, profile=shop, by=owner)
    second = reports.issue(ticket=ticket, profile=shop, by=owner)
    assert json.loads(second.content)["changes"][1:] == ["No finding, test or part changed since."]


def test_a_surer_finding_is_named_with_both_words(ticket, shop, owner):
    said = {
        "ticket": ticket,
        "by": owner,
        "sentence": "The strap is corroded.",
        "advice": "no_restriction",
    }
    first = findings.add(certainty="suspected", **said)
    reports.issue(ticket=ticket, profile=shop, by=owner)
    test = strap_test(ticket, owner)
    findings.add(
        certainty="confirmed", rests_on=[test.run_link.run], corrects=first, why="tested", **said
    )
    second = reports.issue(ticket=ticket, profile=shop, by=owner)
    assert (
        "“The strap is corroded.” is now called “confirmed”; it was “possible cause”."
        in json.loads(second.content)["changes"]
    )


def test_a_withdrawn_test_is_named(ticket, shop, owner):
    test = strap_test(ticket, owner)
    reports.issue(ticket=ticket, profile=shop, by=owner)
    gone = tickets.withdraw(entry=test, why="made on another car", by=owner)
    second = reports.issue(ticket=ticket, profile=shop, by=owner)
    assert (
        f"Test {test.seq} withdrawn by entry {gone.seq}." in json.loads(second.content)["changes"]
    )


# --- verify --------------------------------------------------------------------------------------


def test_verify_finds_nothing_wrong_with_an_issued_report(ticket, shop, owner):
    reports.issue(ticket=ticket, profile=shop, by=owner)
    assert [*faults(), *stored_faults(from_start=True)] == []


def test_verify_finds_a_changed_pdf(ticket, shop, owner):
    report = reports.issue(ticket=ticket, profile=shop, by=owner)
    path = store.original_path(settings.PHOTO_FOLDER, report.pdf_id)
    path.chmod(0o644)
    path.write_bytes(PDF + b"2")
    assert len(list(stored_faults(from_start=True))) == 1


def test_verify_finds_a_missing_pdf(ticket, shop, owner):
    report = reports.issue(ticket=ticket, profile=shop, by=owner)
    store.original_path(settings.PHOTO_FOLDER, report.pdf_id).unlink()
    assert len(list(stored_faults(from_start=True))) == 1
