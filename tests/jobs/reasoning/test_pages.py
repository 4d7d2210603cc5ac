"""The pages of suspects: what a technician reads, presses and is told."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest
from django.urls import reverse

from jobs.actions import tickets
from jobs.models import Judgement, Opinion

pytestmark = pytest.mark.django_db


@pytest.fixture
def url(ticket) -> str:
    complaint = ticket.complaints.current().get()
    return reverse("suspects", args=[ticket.number, complaint.entry.seq])


def text(client, url: str) -> str:
    page = client.get(url).content.decode()
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_the_ticket_shows_the_likeliest_and_the_next_test(as_technician, ticket) -> None:
    page = text(as_technician, ticket.get_absolute_url())
    assert "Suspects" in page
    assert "loses contact once it is hot" in page
    assert "Next test" in page


def test_the_counter_sees_no_suspects(as_counter, ticket, url) -> None:
    assert "loses contact" not in text(as_counter, ticket.get_absolute_url())
    assert as_counter.get(url).status_code == 403


def test_each_suspect_opens_to_its_evidence_in_words(as_technician, test_made, url) -> None:
    entry = test_made("voltage_drop", "corroded_strap_hot")
    page = text(as_technician, url)
    assert re.search(
        r"Voltage drop under load, hot: .*? times as likely if this is the cause", page
    )
    assert f"#e{entry.seq}" in as_technician.get(url).content.decode()


LEARNED = re.compile(
    r"\b(posterior|prior|likelihood|bits?|entropy|bayes\w*|sigma)\b", re.IGNORECASE
)


def test_no_learned_word_stands_outside_how_this_is_worked_out(
    as_technician, ticket, test_made, url
) -> None:
    test_made("voltage_drop", "corroded_strap_hot")
    before, worked_out = text(as_technician, url).split("How this is worked out")
    assert not LEARNED.search(before)
    assert LEARNED.search(worked_out)
    assert not LEARNED.search(text(as_technician, ticket.get_absolute_url()))


def test_no_odds_stand_with_decimal_places(as_technician, test_made, url) -> None:
    test_made("voltage_drop", "corroded_strap_hot")
    assert not re.search(r"\d\.\d+ ?%|\d\.\d\d+ in \d", text(as_technician, url))


def test_what_was_left_out_is_named_with_the_reason(as_technician, test_made, url) -> None:
    test_made("voltage_drop", "corroded_strap_hot")
    later = test_made("voltage_drop", "corroded_strap_hot")
    assert f"made again later under the same conditions as entry {later.seq}" in text(
        as_technician, url
    )


def test_what_can_hurt_is_never_folded_away(as_technician, ticket, owner, url) -> None:
    page = as_technician.get(url).content.decode()
    unfolded = re.split(r"<summary>\d+ more, unlikely", page)[0]
    assert "fuel runs back" in unfolded.lower()
    assert "an injector drips" in unfolded.lower()


def test_a_family_without_a_list_says_so_and_how_to_go_on(as_technician, ticket, owner) -> None:
    tickets.add_complaint(ticket=ticket, words="Odd.", by=owner, family="other")
    complaint = ticket.complaints.current().get(family="other")
    page = text(as_technician, reverse("suspects", args=[ticket.number, complaint.entry.seq]))
    assert "there is no list of causes yet" in page


def test_a_corrected_complaint_leads_to_its_latest_version(
    as_technician, ticket, owner, url
) -> None:
    tickets.add_complaint(
        ticket=ticket,
        words="Will not crank at all.",
        by=owner,
        family="wont_crank",
        corrects=ticket.complaints.current().get().entry,
        why="Asked again.",
    )
    assert "Will not crank at all." in text(as_technician, url)


def test_a_suspect_is_ruled_out_with_a_reason_that_stands_in_the_record(
    as_technician, ticket, url
) -> None:
    answer = as_technician.post(
        f"{url}tired_starter/judge/",
        {"client_key": uuid4().hex, "strength": "ruled_out", "reason": "Bench-tested today."},
        follow=True,
    )
    assert "Bench-tested today." in answer.content.decode()
    assert Opinion.objects.get().suspect == "tired_starter"
    assert "I rule it out. Bench-tested today." in text(as_technician, url)


@pytest.mark.parametrize("lacking", ["strength", "reason"])
def test_a_judgement_without_strength_or_reason_is_asked_for_again(
    as_technician, url, lacking: str
) -> None:
    typed = {"client_key": uuid4().hex, "strength": "for", "reason": "Warm to the hand."}
    answer = as_technician.post(f"{url}poor_ground/judge/", typed | {lacking: ""})
    assert answer.status_code == 422
    kept = "Warm to the hand." if lacking == "strength" else 'value="for"'
    assert kept in answer.content.decode()
    assert not Opinion.objects.exists()


def test_there_is_no_page_for_a_suspect_that_is_not(as_technician, url) -> None:
    assert as_technician.get(f"{url}no_such_cause/judge/").status_code == 404


def test_a_cause_is_added_by_its_name(as_technician, url) -> None:
    as_technician.post(
        f"{url}add/",
        {
            "client_key": uuid4().hex,
            "label": "heat shield against the cable",
            "strength": "for",
            "reason": "Scorched.",
        },
    )
    assert "Heat shield against the cable" in text(as_technician, url)


def test_odds_are_kept_and_the_page_says_when_the_tables_change(as_technician, owner, url) -> None:
    from jobs.actions import odds

    as_technician.post(f"{url}keep/", {"client_key": uuid4().hex})
    assert Judgement.objects.count() == 1
    assert "have changed since" not in text(as_technician, url)
    odds.change(family="starts_badly", starts={"strap_hot": 90}, why="Seen often.", by=owner)
    assert "The tables or this shop's own odds have changed since." in text(
        as_technician, url
    ).replace("&#x27;", "'")


def test_what_was_kept_stays_legible_when_the_table_is_gone(
    as_technician, ticket, url, monkeypatch
) -> None:
    as_technician.post(f"{url}keep/", {"client_key": uuid4().hex})
    monkeypatch.setattr("jobs.reasoning.of_ticket.tables", dict)
    page = text(as_technician, ticket.get_absolute_url())
    assert "A strap, cable or lug loses contact once it is hot:" in page
    assert "there is no list of causes yet" in text(as_technician, url)


def test_a_part_changed_and_not_measured_since_asks_for_the_same_test_again(
    as_technician, ticket, technician, test_made, url
) -> None:
    from jobs.actions import swaps

    drop = test_made("voltage_drop", "corroded_strap_hot")
    swaps.add(
        ticket=ticket,
        by=technician,
        reason="pointed_to",
        facts={"part_out": "Ground strap", "part_in": "Ground strap, new"},
        pointed=[drop.run_link.run],
    )
    page = as_technician.get(url).content.decode()
    assert "A part was changed, and nothing was measured since" in page
    assert reverse("test-again", args=[ticket.number, drop.seq]) in page


@pytest.mark.parametrize("gone", ["procedure", "pattern"])
def test_a_test_that_the_tables_no_longer_know_is_left_out_and_said(
    as_technician, test_made, url, monkeypatch, gone: str
) -> None:
    from dataclasses import replace

    from measurements.procedures import PROCEDURES

    test_made("voltage_drop", "corroded_strap_hot")
    drop = PROCEDURES["voltage_drop"]
    kept = [pattern for pattern in drop.patterns if pattern.code != "lost_in_one_step"]
    left = {name: one for name, one in PROCEDURES.items() if name != drop.name}
    if gone == "pattern":
        left[drop.name] = replace(drop, patterns=tuple(kept))
    for module in ("of_ticket", "page"):
        monkeypatch.setattr(f"jobs.reasoning.{module}.PROCEDURES", left)
    assert "is no longer known to the tables" in text(as_technician, url)
