"""The demo shop's story can be told, its record is sound, and it shows what a swap can come to."""

import re
from datetime import date

import pytest
from django.conf import settings
from django.db import transaction

from jobs.demo import FOLDER, Story
from jobs.models import Judgement, Report, Ticket
from jobs.past_tickets import seen_before
from jobs.photos import store
from jobs.proof.of_swap import Proof
from jobs.proof.standing import (
    NEVER_CHECKED,
    NOT_POINTED,
    NOT_SETTLED,
    POINTED_CURED,
    POINTED_NOT_CURED,
)
from jobs.proof.wording import outcome_words
from jobs.reasoning.of_ticket import reasonings
from jobs.record.verify import faults
from jobs.ticket_view import TicketView
from shop.models import Profile
from tests.needs import needs

pytestmark = [pytest.mark.django_db, needs("pango")]


@pytest.fixture(scope="module")
def photo_folder(tmp_path_factory):
    """Where the photos of the story are, for as long as its tests run."""
    return tmp_path_factory.mktemp("story") / "photos"


@pytest.fixture(scope="module")
def story(django_db_setup, django_db_blocker, photo_folder):
    """The whole story, told as on a Monday, once for all tests that look at it."""
    with (
        pytest.MonkeyPatch.context() as patch,
        django_db_blocker.unblock(),
        transaction.atomic(),
    ):
        patch.setattr(settings, "PHOTO_FOLDER", photo_folder)
        told = Story(today=date(2026, 3, 2))
        told.tell()
        yield told
        transaction.set_rollback(True)


@pytest.fixture
def told(story, photo_folder, data_folder, monkeypatch):
    """The story, with its photos where each test looks for them."""
    monkeypatch.setattr(settings, "PHOTO_FOLDER", photo_folder)
    return story


def view_of(told: Story, key: str) -> TicketView:
    return TicketView(Ticket.objects.get(pk=told.tickets[key].pk), Profile.current())


def proofs_of(told: Story, key: str) -> list[Proof]:
    return [swap.proof for swap in view_of(told, key).swaps if swap.proof]


def test_the_demo_shop_is_whole(told):
    states = set(Ticket.objects.values_list("state", flat=True))
    assert states == {"booked", "in_the_bay", "waiting", "on_trial", "ready", "handed_back"}
    assert [str(fault) for fault in faults()] == []
    for report in Report.objects.all():
        pdf = store.original_path(settings.PHOTO_FOLDER, report.pdf_id).read_bytes()
        assert pdf.startswith(b"%PDF")


def test_every_ticket_and_the_look_at_its_report_open(told, client):
    client.force_login(told.people["maren"])
    pages = [ticket.get_absolute_url() for ticket in told.tickets.values()]
    opened = {
        page: client.get(page).status_code for url in pages for page in (url, f"{url}report/")
    }
    assert set(opened.values()) == {200}, opened


def test_each_standing_of_a_swap_occurs(told):
    standings = {proof.standing for key in told.tickets for proof in proofs_of(told, key)}
    named = {POINTED_CURED, POINTED_NOT_CURED, NOT_SETTLED, NOT_POINTED, NEVER_CHECKED}
    assert named <= standings


def test_what_the_story_says_of_a_swap_is_what_its_tests_show(told):
    differing = [
        (key, proof.told, proof.by_tests.code)
        for key in told.tickets
        for proof in proofs_of(told, key)
        if proof.differs
    ]
    assert differing == []


def test_after_a_part_that_did_not_cure_the_next_test_found_the_cause(told):
    standings = [proof.standing for proof in proofs_of(told, "packhorse-second-groans")]
    assert standings == [POINTED_NOT_CURED, POINTED_CURED]


def test_on_one_ticket_two_causes_together_beat_every_single_one(told):
    (reasoning,) = reasonings(view_of(told, "burdock-flat"))
    assert set(reasoning.joint.best or ()) == {"accessory", "old_battery"}


def test_one_visit_ends_without_the_fault_having_appeared(told):
    view = view_of(told, "teasel-dies")
    (end,) = view.not_appeared
    assert view.ticket.state == "handed_back"
    assert len(end.data["tried"]) == 3
    assert view.findings == []


def test_a_fault_that_comes_and_goes_is_on_trial_with_its_drives_counted(told):
    (proof,) = proofs_of(told, "medlar-belt")
    assert view_of(told, "medlar-belt").ticket.state == "on_trial"
    assert outcome_words(proof) == "no recurrence yet, 3 of 11"


def test_one_judgement_was_kept_before_the_finding(told):
    (kept,) = Judgement.objects.select_related("entry")
    finding = kept.entry.ticket.entries.get(kind="finding")
    assert kept.entry.seq < finding.seq


@pytest.mark.parametrize(
    ("now", "before"),
    [
        ("packhorse-cranks", "packhorse-second-groans"),
        ("tansy-comeback", "tansy-elder-jerks"),
    ],
)
def test_a_complaint_of_today_resembles_one_whose_cause_was_confirmed(told, now, before):
    ticket = told.tickets[now]
    seen = seen_before(ticket.complaints.first(), ticket)
    (past,) = [one for one in seen.others if one.number == told.tickets[before].shown_number]
    assert past.alike
    assert "confirmed" in {cause.certainty for cause in past.causes}


def test_a_moment_that_is_none_is_refused():
    with pytest.raises(ValueError, match="no moment"):
        Story().when("yesterday")


def test_every_picture_is_named_in_the_story_and_every_named_picture_exists():
    text = (FOLDER / "story.toml").read_text("utf-8")
    named = set(re.findall(r'file = "([^"]+)"', text))
    there = {p.name for p in (FOLDER / "pictures").iterdir() if p.suffix in {".jpg", ".heic"}}
    assert named == there
