"""What a ticket's record makes of the evidence under a finding."""

from __future__ import annotations

import pytest

from jobs import words
from jobs.actions import swaps, tickets
from jobs.actions.photos import add_photos
from jobs.certainty.of_ticket import (
    SETTLES_NOTHING,
    SUBJECTS_OF_A_FAULT,
    About,
    allowed_for,
    case_of,
    frame,
    speaking_for,
    stakes_of,
)
from jobs.models import Photo, Swap
from jobs.ticket_view import TicketView
from measurements.procedures import PROCEDURES
from shop.models import Profile
from tests.jobs.pictures import made, strap_test, upload

pytestmark = pytest.mark.django_db

GROUND, ENGINE = "starts_badly.poor_ground", "starts_badly.low_compression"


def read(ticket) -> TicketView:
    return TicketView(ticket, Profile.current())


def complaint_of(ticket) -> str:
    return str(ticket.complaints.current().get().uid)


def highest(ticket, *evidence, **about) -> str:
    about = {"complaint": complaint_of(ticket)} | about
    return allowed_for(read(ticket), evidence, About(**about)).highest


def ruled_out(ticket, *evidence, **about) -> bool:
    about = {"complaint": complaint_of(ticket)} | about
    return allowed_for(read(ticket), evidence, About(**about)).permits("ruled_out")


def run(entry):
    return entry.run_link.run


def photo(ticket, by, subject: str) -> Photo:
    return add_photos(ticket=ticket, by=by, uploads=[upload()], subject=subject).photos.get()


# --- photos ----------------------------------------------------------------------------------


def test_a_photo_in_which_the_fault_itself_is_seen_confirms(ticket, owner):
    leak = photo(ticket, owner, "leak")
    assert highest(ticket, leak) == "suspected"
    assert highest(ticket, leak, shows={frame(leak)}) == "confirmed"


@pytest.mark.parametrize("subject", ["plate", "dashboard", "gauge_face", "label", "after"])
def test_no_fault_is_seen_in_a_photo_of_plate_gauge_or_label(ticket, owner, subject):
    picture = photo(ticket, owner, subject)
    assert highest(ticket, picture, shows={frame(picture)}) == "suspected"


def test_all_subjects_of_a_fault_exist():
    assert set(words.PHOTO_SUBJECT.codes) >= SUBJECTS_OF_A_FAULT


# --- tests -----------------------------------------------------------------------------------


def test_a_drop_measured_in_one_step_is_seen_directly(ticket, owner):
    assert highest(ticket, run(strap_test(ticket, owner))) == "confirmed"


def test_a_drop_over_the_whole_path_makes_it_probable(ticket, owner):
    spread = made(ticket, owner, "voltage_drop", "spread_over_feed")
    assert highest(ticket, run(spread)) == "probable"


def test_while_nobody_has_seen_the_fault_it_stays_suspected(ticket, owner):
    spread = made(ticket, owner, "voltage_drop", "spread_over_feed", fault_present="unknown")
    assert highest(ticket, run(spread)) == "suspected"


def test_any_test_in_which_it_happened_has_shown_it_to_us(ticket, owner):
    spread = made(ticket, owner, "voltage_drop", "spread_over_feed", fault_present="unknown")
    made(ticket, owner, "make_it_happen", "shown_by_the_customer")
    assert highest(ticket, run(spread)) == "probable"


def test_what_the_customer_saw_alone_was_not_seen_by_us(ticket, owner):
    spread = made(ticket, owner, "voltage_drop", "spread_over_feed", fault_present="unknown")
    made(ticket, owner, "make_it_happen", "customer_alone")
    assert highest(ticket, run(spread)) == "suspected"


def test_that_the_complaint_came_names_no_part(ticket, owner):
    came = made(ticket, owner, "make_it_happen", "shown_by_the_customer")
    assert highest(ticket, run(came)) == "suspected"


def test_a_test_that_measured_too_little_makes_nothing_probable(ticket, owner):
    idle = made(ticket, owner, "voltage_drop", "no_current")
    assert highest(ticket, run(idle)) == "suspected"


def test_patterns_that_settle_nothing_exist_and_are_not_the_sound_ones():
    for name, codes in SETTLES_NOTHING.items():
        for code in codes:
            assert not PROCEDURES[name].pattern(code).sound


def test_a_fault_that_comes_and_goes_must_be_there_in_the_test(ticket, owner):
    written = ticket.entries.get(kind="complaint")
    tickets.add_complaint(
        ticket=ticket,
        by=owner,
        corrects=written,
        why="Asked how often.",
        words="Now and then it turns over slowly.",
        family="starts_badly",
        conditions=words.read_conditions({"how_often": ["one_in_ten"]}),
    )
    absent = made(ticket, owner, "voltage_drop", "spread_over_feed", fault_present="no")
    made(ticket, owner, "make_it_happen", "shown_by_the_customer")
    assert highest(ticket, run(absent)) == "suspected"


def test_what_another_ticket_holds_is_no_evidence_here(ticket, van, customer, owner):
    other = tickets.open_ticket(car=van, customer=customer, by=owner)
    assert highest(ticket, run(strap_test(other, owner))) == "suspected"


# --- the cause in question -------------------------------------------------------------------


def test_a_test_on_another_part_confirms_no_other_cause(ticket, owner):
    strap = run(strap_test(ticket, owner))
    assert highest(ticket, strap, cause=GROUND) == "confirmed"
    assert highest(ticket, strap, cause=ENGINE) == "suspected"


def test_a_costly_cause_wants_two_grounds_and_what_else_looks_so(ticket, owner):
    low = run(made(ticket, owner, "leak_down", "past_rings_all"))
    air = run(made(ticket, owner, "leak_down", "past_exhaust"))
    about = {"cause": ENGINE, "also_like": "A valve held open; seen shut through the plug hole."}
    assert stakes_of(ENGINE) and not stakes_of(GROUND)
    assert highest(ticket, low) == "confirmed"
    assert highest(ticket, low, **about) == "suspected"
    piston = photo(ticket, owner, "damage")
    assert highest(ticket, low, piston, shows={frame(piston)}, **about) == "confirmed"
    assert highest(ticket, low, air, **about) == "suspected"  # both see one hole


def test_tests_that_speak_for_a_cause_are_found_by_its_table(ticket, owner):
    strap = strap_test(ticket, owner)
    made(ticket, owner, "voltage_drop", "fault_absent_cold", state_of_car="cold")
    assert [view.entry.seq for view in speaking_for(read(ticket), GROUND)] == [strap.seq]
    assert speaking_for(read(ticket), ENGINE) == []


# --- ruled out -------------------------------------------------------------------------------


def test_its_own_sound_test_with_the_fault_there_rules_a_cause_out(ticket, owner):
    sound = run(made(ticket, owner, "voltage_drop", "strap_renewed_hot"))
    assert ruled_out(ticket, sound, cause=GROUND)


def test_a_test_on_another_part_rules_nothing_out(ticket, owner):
    sound = run(made(ticket, owner, "voltage_drop", "strap_renewed_hot"))
    assert not ruled_out(ticket, sound, cause=ENGINE)


@pytest.mark.parametrize("present", ["no", "unknown"])
def test_with_the_fault_away_a_sound_test_rules_nothing_out(ticket, owner, present):
    sound = made(ticket, owner, "voltage_drop", "strap_renewed_hot", fault_present=present)
    assert not ruled_out(ticket, run(sound))


def test_cold_against_a_hot_complaint_a_sound_test_rules_nothing_out(ticket, owner):
    cold = made(ticket, owner, "voltage_drop", "strap_renewed_hot", state_of_car="cold")
    assert not ruled_out(ticket, run(cold))


# --- parts moved and changed -----------------------------------------------------------------


def rough(ticket, owner) -> dict[str, str]:
    entry = tickets.add_complaint(ticket=ticket, by=owner, words="Misfires.", family="runs_rough")
    return {"complaint": str(entry.complaint.uid), "cause": "runs_rough.coil"}


def test_a_fault_that_goes_along_with_the_part_confirms_it(ticket, owner):
    moved = run(made(ticket, owner, "substitution", "coil_there_and_back"))
    found = allowed_for(read(ticket), [moved], About(**rough(ticket, owner)))
    assert found.highest == "confirmed"


def test_a_fault_that_stays_with_another_part_in_speaks_against_the_part(ticket, owner):
    about = About(**rough(ticket, owner))
    stayed = run(made(ticket, owner, "substitution", "good_part_no_change"))
    case = case_of(read(ticket), [stayed], about)
    assert case.tests[0].clears is ("coil" in run_part(stayed))


def run_part(one) -> str:
    return one.data["typed"]["given.what"][0]


def swapped(ticket, owner, before, after, outcome: str) -> Swap:
    swaps.add(
        ticket=ticket,
        by=owner,
        reason="pointed_to",
        before=[before],
        after=[after] if after else [],
        facts={"part_out": "Ground strap", "part_in": "Ground strap", "outcome": outcome},
    )
    return Swap.objects.current().get(ticket=ticket)


def test_a_part_with_which_the_fault_went_in_the_same_test_is_confirmed(ticket, owner):
    before = run(strap_test(ticket, owner))
    after = run(made(ticket, owner, "voltage_drop", "strap_renewed_hot", fault_present="no"))
    swap = swapped(ticket, owner, before, after, "")
    assert highest(ticket, swap) == "confirmed"
    assert highest(ticket, swap, cause=GROUND) == "confirmed"
    assert highest(ticket, swap, cause=ENGINE) == "suspected"


def test_without_a_repeat_of_the_same_test_a_swap_confirms_nothing(ticket, owner):
    before = run(made(ticket, owner, "voltage_drop", "spread_over_feed"))
    other = run(made(ticket, owner, "charging", "holds_under_load"))
    assert highest(ticket, swapped(ticket, owner, before, other, "not_present")) == "suspected"


def test_a_part_changed_in_vain_takes_its_certainty_away(ticket, owner):
    before = run(strap_test(ticket, owner))
    after = run(strap_test(ticket, owner))
    swap = swapped(ticket, owner, before, after, "no_change")
    assert highest(ticket, before, cause=GROUND) == "confirmed"
    assert highest(ticket, before, swap, cause=GROUND) == "suspected"


def test_a_test_made_after_the_change_says_nothing_of_the_part_before(ticket, owner):
    before = run(strap_test(ticket, owner))
    after = run(made(ticket, owner, "voltage_drop", "strap_renewed_hot"))
    swapped(ticket, owner, before, after, "not_present")
    assert not ruled_out(ticket, after, cause=GROUND)
