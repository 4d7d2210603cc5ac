"""From a test to a finding in three taps; evidence decides how sure it may be."""

from __future__ import annotations

import html
import json
import re

import pytest
from django.urls import reverse

from jobs.actions import alterations, findings, runs, swaps, tickets
from jobs.actions.photos import add_photos
from jobs.finding_proposal import proposal
from jobs.models import Finding, OpenWork
from jobs.ticket_view import TicketView
from shop.models import Profile
from tests.jobs.pictures import made, strap_test, upload
from tests.live import ROOT

pytestmark = pytest.mark.django_db

KEY = "f" * 32
CORRODED = "The engine’s ground strap is corroded."


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


def new(ticket) -> str:
    return reverse("finding-add", args=[ticket.number])


def write(client, ticket, **typed):
    told = {
        "sentence": CORRODED,
        "certainty": "suspected",
        "advice": "no_restriction",
        "client_key": KEY,
    }
    return client.post(new(ticket), told | typed)


def filled_in(page: str) -> dict[str, list[str]]:
    """What a browser would send of the page's form without a further touch."""
    fields: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", page):
        name, value = re.search(r'name="(\w+)"', tag), re.search(r'value="([^"]*)"', tag)
        chosen = "checked" in tag or not re.search(r'type="(checkbox|radio|submit)"', tag)
        if name and chosen:
            fields.setdefault(name[1], []).append(html.unescape(value[1]) if value else "")
    written = re.findall(r'<textarea[^>]*name="(\w+)"[^>]*>\s*(.*?)</textarea>', page, re.S)
    for name, value in written:
        fields[name] = [html.unescape(value)]
    return {name: values for name, values in fields.items() if name != "csrfmiddlewaretoken"}


def test_from_a_test_it_needs_no_more_than_save(as_technician, ticket, technician):
    entry = strap_test(ticket, technician)
    page = as_technician.get(f"{new(ticket)}?test={entry.seq}").content.decode()
    answer = as_technician.post(new(ticket), filled_in(page))
    finding = Finding.objects.get()
    assert answer.status_code == 303
    assert finding.sentence
    assert finding.certainty == "confirmed"  # the drop was measured between two neighbours
    assert [basis.run for basis in finding.bases.all()] == [entry.run_link.run]


def test_a_test_that_sees_nothing_directly_never_proposes_confirmed(
    as_technician, ticket, technician
):
    entry = made(ticket, technician, "voltage_drop", "spread_over_feed")
    page = as_technician.get(f"{new(ticket)}?test={entry.seq}").content.decode()
    assert filled_in(page)["certainty"] == ["probable"]


def test_until_the_fault_was_seen_here_such_a_test_proposes_suspected(
    as_technician, ticket, technician
):
    entry = made(ticket, technician, "voltage_drop", "spread_over_feed", fault_present="unknown")
    page = as_technician.get(f"{new(ticket)}?test={entry.seq}").content.decode()
    assert filled_in(page)["certainty"] == ["suspected"]


@pytest.mark.parametrize("seq", ["x", "1", "99999", "٣"])
def test_a_link_that_names_no_test_shows_the_empty_form(as_technician, ticket, seq):
    assert as_technician.get(f"{new(ticket)}?test={seq}").status_code == 200


def test_it_is_about_the_tickets_only_complaint(as_technician, ticket):
    write(as_technician, ticket)
    assert Finding.objects.get().complaint_uid == ticket.complaints.get().uid


def test_of_several_complaints_one_is_chosen(as_technician, ticket, owner):
    second = tickets.add_complaint(ticket=ticket, words="It squeals.", by=owner).complaint
    write(as_technician, ticket, complaint=str(second.uid))
    assert Finding.objects.get().complaint_uid == second.uid


def test_it_rests_on_photo_and_swap(as_technician, ticket, owner):
    photo = add_photos(ticket=ticket, by=owner, uploads=[upload()], subject="leak").photos.get()
    swap = swaps.add(ticket=ticket, by=owner, reason="due").swap
    write(
        as_technician,
        ticket,
        certainty="suspected",
        rests_on=[f"photo-{photo.pk}", f"swap-{swap.uid}"],
    )
    bases = Finding.objects.get().bases.all()
    assert [(basis.photo, basis.swap_uid) for basis in bases] == [(photo, None), (None, swap.uid)]


@pytest.mark.parametrize("certainty", ["confirmed", "probable", "ruled_out"])
def test_without_evidence_it_is_not_this_sure_and_stays_typed(as_technician, ticket, certainty):
    answer = write(as_technician, ticket, certainty=certainty)
    assert answer.status_code == 422
    assert "can only be suspected or not tested" in text_of(answer)
    assert CORRODED in text_of(answer)
    assert not Finding.objects.exists()


def test_driving_only_as_stated_states_it(as_technician, ticket):
    answer = write(as_technician, ticket, advice="only_as_stated")
    assert answer.status_code == 422
    assert "Say how the car may be driven" in text_of(answer)


def test_sent_twice_it_is_one(as_technician, ticket):
    first, second = (write(as_technician, ticket) for _ in range(2))
    assert first.url == second.url
    assert Finding.objects.count() == 1


def test_a_change_says_why_and_keeps_the_first_version(as_technician, ticket, owner):
    old = findings.add(
        ticket=ticket,
        by=owner,
        certainty="suspected",
        sentence=CORRODED,
        advice="do_not_drive",
        facts={"advice_words": "It may stall."},
    )
    where = reverse("finding-change", args=[ticket.number, old.seq])
    page = as_technician.get(where).content.decode()
    typed = filled_in(page) | {"certainty": ["not_tested"]}
    assert as_technician.post(where, typed).status_code == 422
    assert as_technician.post(where, typed | {"why": "never looked"}).status_code == 303
    kept = Finding.objects.current().get()
    assert (kept.uid, kept.certainty, kept.advice_words) == (
        old.finding.uid,
        "not_tested",
        "It may stall.",
    )
    assert Finding.objects.count() == 2


def test_of_two_changes_the_second_gets_the_first_named(as_technician, ticket, owner):
    old = findings.add(
        ticket=ticket, by=owner, certainty="suspected", sentence=CORRODED, advice="no_restriction"
    )
    where = reverse("finding-change", args=[ticket.number, old.seq])
    typed = {
        "certainty": "not_tested",
        "sentence": CORRODED,
        "advice": "no_restriction",
        "why": "so",
    }
    as_technician.post(where, typed)
    answer = as_technician.post(where, typed | {"why": "otherwise"})
    assert answer.status_code == 409
    assert f"Entry {old.seq} has been replaced by entry {old.seq + 1}" in text_of(answer)
    assert 'value="otherwise"' in text_of(answer)


def test_the_counter_writes_none(as_counter, ticket):
    assert write(as_counter, ticket).status_code == 403


def test_evidence_of_another_ticket_is_no_choice(as_technician, ticket, van, customer, owner):
    other = tickets.open_ticket(car=van, customer=customer, by=owner)
    run = strap_test(other, owner).run_link.run
    assert write(as_technician, ticket, rests_on=[f"run-{run.pk}"]).status_code == 422


# --- open work -------------------------------------------------------------------------------


def test_declined_work_is_kept_with_its_risk(as_technician, ticket):
    where = reverse("open-work-add", args=[ticket.number])
    answer = as_technician.post(
        where, {"what": "Rear pads", "status": "declined", "risk": "They are at 3 mm."}
    )
    work = OpenWork.objects.get()
    assert answer.status_code == 303
    assert (work.status, work.risk) == ("declined", "They are at 3 mm.")


def test_work_says_which_alteration_it_puts_back(as_technician, ticket, owner):
    where = reverse("open-work-add", args=[ticket.number])
    assert "It puts back" not in text_of(as_technician.get(where))
    lead = alterations.add(ticket=ticket, by=owner, what="Second charging lead").alteration
    assert "It puts back" in text_of(as_technician.get(where))
    sent = {"what": "Take it off", "status": "open", "puts_back": str(lead.uid)}
    assert as_technician.post(where, sent).status_code == 303
    entry = ticket.entries.get(kind="open_work")
    assert entry.data["puts_back"] == str(lead.uid)
    change = reverse("open-work-change", args=[ticket.number, entry.seq])
    assert f'value="{lead.uid}" selected' in text_of(as_technician.get(change))


def test_work_puts_back_no_alteration_that_is_not_on_the_car(as_technician, ticket, owner):
    alterations.add(ticket=ticket, by=owner, what="Second charging lead")
    where = reverse("open-work-add", args=[ticket.number])
    sent = {"what": "Take it off", "status": "open", "puts_back": "somewhere else"}
    assert as_technician.post(where, sent).status_code == 422
    assert not OpenWork.objects.exists()


def test_work_without_its_standing_is_asked_for_it(as_technician, ticket):
    where = reverse("open-work-add", args=[ticket.number])
    answer = as_technician.post(where, {"what": "Rear pads"})
    assert answer.status_code == 422
    assert 'value="Rear pads"' in text_of(answer)


def test_work_is_done_later(as_technician, ticket, owner):
    entry = findings.add_open_work(ticket=ticket, by=owner, what="Rear pads", status="open")
    where = reverse("open-work-change", args=[ticket.number, entry.seq])
    as_technician.post(where, {"what": "Rear pads", "status": "done", "why": "fitted today"})
    assert OpenWork.objects.current().get().status == "done"


def test_a_pattern_with_a_hazard_proposes_driving_advice(ticket, technician):
    file = ROOT / "fixtures/readings/oil_level/below_uses_oil.json"
    runs.record_test(
        ticket=ticket,
        procedure="oil_level",
        by=technician,
        fault_present="unknown",
        typed=json.loads(file.read_text("utf-8"))["typed"],
    )
    proposed = proposal(TicketView(ticket, Profile.current()).tests[0])
    assert (proposed["advice"], "Top up" in proposed["advice_words"]) == ("only_as_stated", True)
