"""The rules of certainty where a finding is made, shown, and outlived by its evidence."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.urls import reverse

from jobs import words
from jobs.actions import findings, swaps, tickets
from jobs.actions.photos import add_photos
from jobs.certainty import rules
from jobs.models import Finding, Swap
from jobs.record.rebuild import rebuild
from jobs.record.verify import faults
from jobs.ticket_view import TicketView
from shop.models import Profile
from tests.jobs.pictures import made, strap_test, upload
from tests.jobs.test_findings_pages import CORRODED, filled_in, new, text_of, write

pytestmark = pytest.mark.django_db

GROUND, ENGINE = "starts_badly.poor_ground", "starts_badly.low_compression"
REASON = "Seen on three vans of this model, each with this very reading."
LOOK = {"look_again": "1"}


def spread(ticket, by, **how):
    return made(ticket, by, "voltage_drop", "spread_over_feed", **how).run_link.run


def add(ticket, by, *evidence, certainty="confirmed", **how):
    said = {"sentence": CORRODED, "advice": "no_restriction"} | how
    return findings.add(ticket=ticket, by=by, certainty=certainty, rests_on=evidence, **said)


def photo(ticket, by, subject="damage"):
    return add_photos(ticket=ticket, by=by, uploads=[upload()], subject=subject).photos.get()


# --- the action ------------------------------------------------------------------------------


def test_a_finding_surer_than_its_evidence_is_refused_with_what_is_missing(ticket, owner):
    run = spread(ticket, owner)
    with pytest.raises(findings.SurerThanAllowed, match="seeing it directly"):
        add(ticket, owner, run)
    assert not Finding.objects.exists()


def test_with_a_reason_it_is_kept_as_sure_as_it_was_called(ticket, owner):
    add(ticket, owner, spread(ticket, owner), facts={"overruled": REASON})
    found = Finding.objects.get()
    assert (found.certainty, found.overruled) == ("confirmed", REASON)


def test_a_reason_where_none_is_needed_is_sent_back(ticket, owner):
    with pytest.raises(findings.ReasonNotNeeded, match="Take the reason out"):
        add(ticket, owner, spread(ticket, owner), certainty="probable", facts={"overruled": REASON})


def test_no_reason_replaces_all_evidence(ticket, owner):
    with pytest.raises(findings.NeedsEvidence):
        add(ticket, owner, facts={"overruled": REASON})


@pytest.mark.parametrize("certainty", ["probable", "suspected", "not_tested"])
def test_less_sure_than_the_evidence_allows_is_always_open(ticket, owner, certainty):
    run = strap_test(ticket, owner).run_link.run
    assert add(ticket, owner, run, certainty=certainty).finding.certainty == certainty


def test_a_photo_of_the_fault_itself_carries_a_finding_and_is_marked_so(ticket, owner):
    crack = photo(ticket, owner)
    entry = add(ticket, owner, fault_seen_in=[crack])
    assert entry.data["rests_on"] == [
        {"photo": [str(crack.entry.uid), crack.letter], "fault_seen": True}
    ]


def test_a_record_with_such_findings_is_read_anew_without_a_fault(ticket, owner):
    add(ticket, owner, fault_seen_in=[photo(ticket, owner)], facts={"cause": GROUND})
    add(ticket, owner, spread(ticket, owner), facts={"overruled": REASON})
    rebuild()
    assert [str(fault) for fault in faults()] == []
    assert set(Finding.objects.values_list("cause", "overruled")) == {(GROUND, ""), ("", REASON)}


# --- the form --------------------------------------------------------------------------------


def test_the_form_says_beside_each_choice_what_is_missing(as_technician, ticket, technician):
    entry = made(ticket, technician, "voltage_drop", "spread_over_feed")
    page = text_of(as_technician.get(f"{new(ticket)}?test={entry.seq}"))
    assert "Missing: seeing it directly" in page
    assert "The most that this evidence allows." in page


def test_looked_at_again_the_choices_follow_what_is_ticked(as_technician, ticket, technician):
    run = spread(ticket, technician)
    before = text_of(as_technician.get(new(ticket)))
    assert "Missing: a test, a photo or a swap" in before
    sent = {"sentence": CORRODED, "rests_on": [f"run-{run.pk}"]} | LOOK
    answer = as_technician.post(new(ticket), sent)
    filled = filled_in(answer.content.decode())
    assert answer.status_code == 200
    assert (filled["certainty"], filled["sentence"]) == (["probable"], [CORRODED])
    assert filled["rests_on"] == [f"run-{run.pk}"]
    assert not Finding.objects.exists()


def test_looked_at_again_a_chosen_certainty_stays(as_technician, ticket, technician):
    sent = {"rests_on": [f"run-{spread(ticket, technician).pk}"], "certainty": "suspected"} | LOOK
    answer = as_technician.post(new(ticket), sent)
    assert filled_in(answer.content.decode())["certainty"] == ["suspected"]


def test_too_sure_it_is_sent_back_with_all_that_was_typed(as_technician, ticket, technician):
    run = spread(ticket, technician)
    answer = write(as_technician, ticket, certainty="confirmed", rests_on=[f"run-{run.pk}"])
    assert answer.status_code == 422
    assert "This evidence does not allow “confirmed”" in text_of(answer)
    assert filled_in(answer.content.decode())["rests_on"] == [f"run-{run.pk}"]
    assert not Finding.objects.exists()


def test_a_reason_is_all_that_is_needed_then(as_technician, ticket, technician):
    run = spread(ticket, technician)
    sent = {"certainty": "confirmed", "rests_on": [f"run-{run.pk}"], "overruled": REASON}
    assert write(as_technician, ticket, **sent).status_code == 303
    assert Finding.objects.get().overruled == REASON


def test_a_photo_is_ticked_as_showing_the_fault(as_technician, ticket, owner):
    crack, plate = photo(ticket, owner), photo(ticket, owner, "plate")
    page = as_technician.get(new(ticket)).content.decode()
    offered = page[page.index('id="id_fault_seen_in"') :]
    assert f'value="photo-{crack.pk}"' in offered
    assert f'value="photo-{plate.pk}"' not in offered
    sent = {"certainty": "confirmed", "fault_seen_in": [f"photo-{crack.pk}"]}
    assert write(as_technician, ticket, **sent).status_code == 303
    assert [basis.photo for basis in Finding.objects.get().bases.all()] == [crack]


def test_causes_are_offered_for_a_complaint_whose_family_has_a_table(as_technician, ticket):
    assert f'value="{GROUND}"' in as_technician.get(new(ticket)).content.decode()


def test_a_ticket_without_a_complaint_is_asked_for_no_cause(as_technician, van, customer, owner):
    bare = tickets.open_ticket(car=van, customer=customer, by=owner)
    assert "Which possible cause" not in text_of(as_technician.get(new(bare)))


def test_from_a_cause_it_begins_with_the_tests_that_speak_for_it(as_technician, ticket, owner):
    strap = strap_test(ticket, owner)
    made(ticket, owner, "battery_at_rest", "rested_and_full")
    page = as_technician.get(f"{new(ticket)}?cause={GROUND}").content.decode()
    filled = filled_in(page)
    assert f'<option value="{GROUND}" selected>' in page
    assert filled["rests_on"] == [f"run-{strap.run_link.run_id}"]
    assert filled["certainty"] == ["confirmed"]


@pytest.mark.parametrize("cause", ["starts_badly.gremlins", "no.such", "x", "%00", "a" * 500])
def test_a_link_that_names_no_cause_shows_an_empty_form(as_technician, ticket, cause):
    assert as_technician.get(f"{new(ticket)}?cause={cause}").status_code == 200


def test_from_a_swap_it_begins_with_the_tests_around_it(as_technician, ticket, owner):
    before = strap_test(ticket, owner).run_link.run
    after = made(ticket, owner, "voltage_drop", "strap_renewed_hot", fault_present="no")
    entry = swaps.add(
        ticket=ticket,
        by=owner,
        reason="pointed_to",
        before=[before],
        after=[after.run_link.run],
        facts={"part_out": "Ground strap", "part_in": "Ground strap"},
    )
    page = as_technician.get(f"{new(ticket)}?swap={entry.seq}").content.decode()
    assert set(filled_in(page)["rests_on"]) == {
        f"run-{before.pk}",
        f"run-{after.run_link.run_id}",
        f"swap-{Swap.objects.get().uid}",
    }
    assert filled_in(page)["certainty"] == ["confirmed"]


def test_of_a_costly_cause_it_is_asked_what_else_looks_so(as_technician, ticket, owner):
    asked = "What would also look like this?"
    assert asked not in text_of(as_technician.get(new(ticket)))
    assert asked in text_of(as_technician.get(f"{new(ticket)}?cause={ENGINE}"))


def test_the_answer_to_what_else_looks_so_is_kept(as_technician, ticket, owner):
    run = made(ticket, owner, "leak_down", "past_rings_all").run_link.run
    piston = photo(ticket, owner)
    sent = {
        "certainty": "confirmed",
        "cause": ENGINE,
        "rests_on": [f"run-{run.pk}"],
        "fault_seen_in": [f"photo-{piston.pk}"],
    }
    refused = write(as_technician, ticket, **sent)
    assert refused.status_code == 422
    assert "an answer to what else would look like this" in text_of(refused)
    assert write(as_technician, ticket, also_like="A valve held open.", **sent).status_code == 303
    entry = Finding.objects.get().entry
    assert (entry.data["also_like"], entry.data["cause"]) == ("A valve held open.", ENGINE)


def test_a_cause_belongs_to_the_complaint_that_was_chosen(as_technician, ticket, owner):
    other = tickets.add_complaint(ticket=ticket, by=owner, words="Squeals.", family="brakes")
    answer = write(as_technician, ticket, cause=GROUND, complaint=str(other.complaint.uid))
    assert answer.status_code == 422
    assert "This cause belongs to another complaint" in text_of(answer)


def test_a_cause_chooses_its_complaint_where_none_was_chosen(as_technician, ticket, owner):
    mine = ticket.complaints.current().get().uid
    tickets.add_complaint(ticket=ticket, by=owner, words="Squeals.", family="brakes")
    write(as_technician, ticket, cause=GROUND)
    assert Finding.objects.get().complaint_uid == mine


def test_a_change_begins_with_all_that_was_said(as_technician, ticket, owner):
    crack = photo(ticket, owner)
    facts = {"cause": GROUND, "also_like": "Paint under the lug.", "why_it_failed": "Salt."}
    old = add(ticket, owner, certainty="probable", fault_seen_in=[crack], facts=facts)
    where = reverse("finding-change", args=[ticket.number, old.seq])
    page = as_technician.get(where).content.decode()
    filled = filled_in(page)
    assert f'<option value="{GROUND}" selected>' in page
    assert filled["fault_seen_in"] == [f"photo-{crack.pk}"]
    assert filled["also_like"] == ["Paint under the lug."]
    typed = filled | {"cause": GROUND, "why": "Seen again."}
    assert as_technician.post(where, typed).status_code == 303
    new_data = Finding.objects.current().get().entry.data
    same = ("cause", "also_like", "why_it_failed", "rests_on", "certainty")
    assert {k: new_data[k] for k in same} == {k: old.data[k] for k in same}


# --- what no longer stands -------------------------------------------------------------------


def page_of(client, ticket) -> str:
    return text_of(client.get(ticket.get_absolute_url()))


def said_of(ticket) -> list[str]:
    return TicketView(ticket, Profile.current()).findings[0].no_longer_stands


def test_a_finding_says_when_its_test_was_taken_back(as_technician, ticket, owner):
    entry = strap_test(ticket, owner)
    add(ticket, owner, entry.run_link.run)
    assert said_of(ticket) == []
    gone = tickets.withdraw(entry=entry, why="Wrong car.", by=owner)
    page = page_of(as_technician, ticket)
    assert f"Entry {entry.seq}, on which it rests, was taken back by entry {gone.seq}." in page
    assert "What it rests on no longer allows “confirmed”" in page


def test_a_finding_says_when_its_test_was_corrected(ticket, owner):
    entry = strap_test(ticket, owner)
    add(ticket, owner, entry.run_link.run)
    later = strap_test(ticket, owner, corrects=entry, why="Wrong lead.")
    said = f"Entry {entry.seq}, on which it rests, was corrected by entry {later.seq}."
    assert said_of(ticket) == [said]


def test_a_correction_that_no_longer_carries_it_is_said(ticket, owner):
    entry = strap_test(ticket, owner)
    add(ticket, owner, entry.run_link.run)
    made(ticket, owner, "voltage_drop", "no_current", corrects=entry, why="No current flowed.")
    assert "no longer allows “confirmed”" in said_of(ticket)[-1]


def test_a_finding_says_when_its_photo_was_taken_back(ticket, owner):
    crack = photo(ticket, owner)
    add(ticket, owner, fault_seen_in=[crack])
    tickets.withdraw(entry=crack.entry, why="Another car.", by=owner)
    assert len(said_of(ticket)) == 2


def test_a_part_that_turns_out_of_no_use_is_said_of_the_finding(ticket, owner):
    before = strap_test(ticket, owner).run_link.run
    swaps.add(
        ticket=ticket, by=owner, reason="pointed_to", before=[before], facts={"part_in": "Strap"}
    )
    swap = Swap.objects.get()
    complaint = str(ticket.complaints.current().get().uid)
    facts = {"cause": "starts_badly.poor_ground", "complaint": complaint}
    add(ticket, owner, before, swap, facts=facts)
    after = strap_test(ticket, owner).run_link.run
    swaps.change(
        entry=swap.entry,
        by=owner,
        why="completed",
        after=[after],
        facts={"part_out": "Ground strap", "part_in": "Ground strap"},
    )
    assert "no longer allows “confirmed”" in said_of(ticket)[-1]


def test_every_word_of_what_is_lacking_is_shown_by_some_rule():
    source = Path(rules.__file__).read_text("utf-8")
    assert [code for code in words.table("lacking").codes if f'"{code}"' not in source] == []
