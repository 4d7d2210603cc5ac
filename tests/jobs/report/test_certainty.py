"""The report prints why a finding is called what it is, and what was tried in vain."""

from __future__ import annotations

from datetime import date

import pytest
from django.template.loader import render_to_string

from jobs.actions import findings, not_appeared
from jobs.actions.photos import add_photos
from jobs.ticket_view import TicketView
from shop.models import Profile
from tests.jobs.pictures import made, strap_test, upload

pytestmark = pytest.mark.django_db

REASON = "Seen on three vans of this model."
IT_DID_NOT = "The fault did not appear while we had the car. That does not mean it is gone."


def printed(content: dict) -> str:
    said = {"report": content, "docname": "x", "anchor": "x", "for_paper": True}
    page = render_to_string("report/findings.html", said)
    return " ".join(page.split())


def find(ticket, by, *evidence, certainty, **facts):
    findings.add(
        ticket=ticket,
        by=by,
        certainty=certainty,
        sentence="The feed loses volts.",
        advice="no_restriction",
        rests_on=evidence,
        facts=facts,
    )


def spread(ticket, by, **how):
    return made(ticket, by, "voltage_drop", "spread_over_feed", **how).run_link.run


def test_a_reason_for_being_surer_is_printed_beside_the_certainty(ticket, owner, report):
    find(ticket, owner, spread(ticket, owner), certainty="confirmed", overruled=REASON)
    page = printed(report(ticket))
    assert f"Called so although our own rules ask for more, because: {REASON}" in page


def test_what_else_could_look_so_is_printed(ticket, owner, report):
    run = spread(ticket, owner)
    find(ticket, owner, run, certainty="probable", also_like="A tired battery")
    said = "<b>What else could look like this:</b> A tired battery."
    assert said in printed(report(ticket))


def test_what_is_ruled_out_is_no_sign_of_it_with_the_test_and_its_conditions(ticket, owner, report):
    sound = made(ticket, owner, "voltage_drop", "strap_renewed_hot")
    find(ticket, owner, sound.run_link.run, certainty="ruled_out")
    [finding] = report(ticket)["findings"]
    assert finding["word"] == "No sign of it"
    assert finding["cleared"].startswith(f"Tested: test {sound.seq} on ")
    assert finding["cleared"].endswith("engine hot, while it was happening.")


def test_direct_proof_alone_is_called_ruled_out(ticket, owner, report):
    stayed = made(ticket, owner, "substitution", "same_at_both")
    find(ticket, owner, stayed.run_link.run, certainty="ruled_out")
    [finding] = report(ticket)["findings"]
    assert finding["cleared"].startswith(f"Ruled out by direct proof: test {stayed.seq} on ")


# --- the fault did not appear ----------------------------------------------------------------


@pytest.fixture
def unseen(ticket, owner):
    """A ticket on which the fault stayed away."""
    made(ticket, owner, "make_it_happen", "stayed_away_three_of_eleven", fault_present="no")
    view = TicketView(ticket, Profile.current())
    not_appeared.say(
        view=view,
        complaint=view.complaints[0],
        by=owner,
        not_tried=["in rain or on wet roads"],
        note="Note the day and how hot the engine was",
        on_trial=True,
        ring_on=date(2031, 6, 5),
    )
    return ticket


def test_a_fault_that_did_not_appear_has_a_section_of_its_own(unseen, report):
    page = printed(report(unseen))
    section = page[page.index("<h2>The fault did not appear</h2>") :]
    assert IT_DID_NOT in section
    for said in (
        "as told (3 times).",
        "In rain or on wet roads.",
        "Note the day and how hot the engine was",
        "We ring you on 5 June 2031.",
    ):
        assert said in section


def test_the_first_page_says_it_and_asks_for_notes(unseen, report):
    short = report(unseen)["short"]
    assert [line["text"] for line in short["what"]] == [IT_DID_NOT]
    assert short["to_do"] == ["Note the day and how hot the engine was."]


def test_it_is_said_once_beside_what_was_reported_and_in_its_section(unseen, report):
    assert IT_DID_NOT not in report(unseen)["complaints"][0]["tried"]


def test_once_it_has_been_there_after_all_the_report_no_longer_says_so(unseen, owner, report):
    strap_test(unseen, owner)
    content = report(unseen)
    assert content["not_appeared"] == []
    assert IT_DID_NOT not in printed(content)


def test_a_photo_of_the_fault_stands_with_its_finding(ticket, owner, report):
    crack = add_photos(ticket=ticket, by=owner, uploads=[upload()], subject="damage").photos.get()
    findings.add(
        ticket=ticket,
        by=owner,
        certainty="confirmed",
        sentence="The lug is cracked.",
        advice="no_restriction",
        fault_seen_in=[crack],
    )
    [finding] = report(ticket)["findings"]
    assert [one["no"] for one in finding["photos"]] == [crack.frame]
