"""The record of a ticket becomes evidence on the suspects of its complaint."""

from __future__ import annotations

import pytest

from jobs import words
from jobs.actions import odds, suspects, tickets
from jobs.models import Ticket
from jobs.reasoning.kept import kept
from jobs.reasoning.of_ticket import reasonings
from jobs.suspects.knowledge import tables
from jobs.ticket_view import TicketView

pytestmark = pytest.mark.django_db


def test_before_any_test_the_complaints_own_answers_tell(reasoned) -> None:
    found = reasoned()
    assert found.odds.shares["strap_hot"] > found.starts["strap_hot"]
    assert found.odds.shares["wrong_oil"] < found.starts["wrong_oil"]


def test_a_complaint_of_a_family_without_a_table_has_no_suspects(ticket, owner, shop) -> None:
    complaint = ticket.complaints.current().get().entry
    tickets.add_complaint(
        ticket=ticket, words="Odd.", by=owner, family="other", corrects=complaint, why="So."
    )
    assert reasonings(TicketView(Ticket.objects.get(pk=ticket.pk), shop)) == []


def test_moving_a_complaint_to_another_family_keeps_its_evidence(
    ticket, owner, test_made, reasoned
) -> None:
    entry = test_made("voltage_drop", "corroded_strap_hot")
    tickets.add_complaint(
        ticket=ticket,
        words="Will not crank.",
        by=owner,
        family="wont_crank",
        conditions=words.read_conditions({"engine_temperature": ["hot"]}),
        corrects=ticket.complaints.current().get().entry,
        why="It is no longer slow, it does not turn.",
    )
    found = reasoned()
    assert found.family == "wont_crank"
    assert str(entry.seq) in {piece.source for piece in found.odds.pieces}


def test_a_high_drop_in_the_strap_brings_the_poor_contacts_to_the_top(test_made, reasoned) -> None:
    test_made("voltage_drop", "corroded_strap_hot")
    assert set(reasoned().odds.leading[:2]) == {"strap_hot", "poor_ground"}


def test_a_good_reading_on_a_cold_engine_leaves_a_hot_complaint_where_it_was(
    ticket, test_made, reasoned
) -> None:
    before = reasoned().odds.shares
    complaint = ticket.complaints.current().get()
    test_made(
        "voltage_drop",
        "strap_renewed_hot",
        state_of_car="cold",
        fault_present="no",
        complaint_uid=complaint.uid,
    )
    after = reasoned().odds.shares
    assert all(abs(after[code] - before[code]) < 0.02 for code in before)


def test_tests_of_one_ticket_speak_on_both_of_its_complaints(
    ticket, owner, shop, test_made
) -> None:
    tickets.add_complaint(
        ticket=ticket, words="Flat by Monday.", by=owner, family="battery_flat_standing"
    )
    entry = test_made("voltage_drop", "corroded_strap_hot")
    view = TicketView(Ticket.objects.get(pk=ticket.pk), shop)
    counted = [{piece.source for piece in found.odds.pieces} for found in reasonings(view)]
    assert [str(entry.seq) in each for each in counted] == [True, True]


def test_a_technicians_word_moves_a_suspect_and_the_last_one_counts(
    ticket, technician, reasoned
) -> None:
    uid = str(ticket.complaints.current().get().uid)
    before = reasoned().odds.shares["tired_starter"]
    about = {"ticket": ticket, "by": technician, "complaint_uid": uid, "suspect": "tired_starter"}
    suspects.judge(strength="strongly_for", reason="It groans.", **about)
    raised = reasoned().odds.shares["tired_starter"]
    suspects.judge(strength="ruled_out", reason="It is three weeks old.", **about)
    assert reasoned().odds.shares["tired_starter"] < before < raised


def test_a_cause_that_is_not_on_the_list_can_be_added_and_raised(
    ticket, technician, reasoned
) -> None:
    uid = str(ticket.complaints.current().get().uid)
    suspects.judge(
        ticket=ticket,
        by=technician,
        complaint_uid=uid,
        suspect="",
        label="a heat shield that touches the starter cable",
        strength="strongly_for",
        reason="Scorched sleeve seen.",
    )
    found = reasoned()
    (code,) = [code for code in found.odds.shares if code.startswith("own:")]
    assert found.table.suspect(code).label == "a heat shield that touches the starter cable"
    assert found.odds.shares[code] > found.starts[code]


def test_the_shops_own_weights_win_over_the_tables(owner, reasoned) -> None:
    before = reasoned()
    odds.change(family="starts_badly", starts={"strap_hot": 90}, why="Seen often here.", by=owner)
    after = reasoned()
    assert after.starts["strap_hot"] > before.starts["strap_hot"]
    assert after.knowledge != before.knowledge


def test_the_first_things_are_offered_first_then_what_tells_most(test_made, reasoned) -> None:
    assert {one.candidate.name for one in reasoned().ranked[:3]} == {
        "look_over",
        "trouble_codes",
        "make_it_happen",
    }


def test_a_test_that_was_made_is_not_offered_again(test_made, reasoned) -> None:
    test_made("voltage_drop", "corroded_strap_hot")
    assert "voltage_drop" not in {one.candidate.name for one in reasoned().ranked}


def test_a_test_that_was_spoilt_is_offered_again(ticket, test_made, reasoned) -> None:
    complaint = ticket.complaints.current().get()
    test_made(
        "voltage_drop",
        "strap_renewed_hot",
        state_of_car="cold",
        fault_present="no",
        complaint_uid=complaint.uid,
    )
    assert "voltage_drop" in {one.candidate.name for one in reasoned().ranked}


def test_what_the_shop_has_no_tool_for_is_not_offered_but_named(shop, reasoned) -> None:
    shop.lacks_tools = ["clamp meter for direct current"]
    shop.save()
    found = reasoned()
    assert "starter_current" not in {one.candidate.name for one in found.ranked}
    assert "starter_current" in {one.name for one in found.elsewhere}


def test_kept_odds_stand_in_the_record_with_what_moved_them(
    ticket, technician, test_made, reasoned
) -> None:
    entry = test_made("voltage_drop", "corroded_strap_hot")
    found = reasoned()
    written = suspects.keep(reasoning=found, by=technician)
    data = written.data
    assert data == kept(found)
    assert data["knowledge"] == found.knowledge
    factors = {f["entry"]: f for f in data["suspects"][0]["factors"]}
    assert factors[entry.seq]["if_cause"] > factors[entry.seq]["if_not"]
    assert sum(one["now"] for one in data["suspects"]) == pytest.approx(1, abs=0.001)


def test_every_family_is_reasoned_about_without_a_test(ticket, owner, shop) -> None:
    for family in tables():
        tickets.add_complaint(ticket=ticket, words="It does it.", by=owner, family=family)
    view = TicketView(Ticket.objects.get(pk=ticket.pk), shop)
    assert {found.family for found in reasonings(view) if found.ranked} == set(tables())
