"""Making, repeating and correcting a test: the pages, through a browser's requests."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.actions import tickets
from jobs.actions.photos import add_photos
from jobs.models import Apart, Draft, Entry, Photo, RunLink
from measurements.models import Reading, Run
from shop.actions import cars
from tests.jobs.pictures import upload
from tests.measurements.readings_files import Case

STRAP = Case("voltage_drop", "corroded_strap_hot").data["typed"]
MENDED = Case("voltage_drop", "strap_renewed_hot").data["typed"]


def typed(readings: dict, **more: str) -> dict[str, str]:
    """A form as a browser sends it."""
    sent = {a: v if isinstance(v, str) else " ".join(v) for a, v in readings.items()}
    return sent | {"fault_present": "yes", "state_of_car": "hot", "client_key": "a" * 32} | more


def page(ticket, procedure: str = "voltage_drop") -> str:
    return f"/tickets/{ticket.number}/tests/{procedure}/"


def entry_page(ticket, entry: Entry, what: str = "test") -> str:
    return f"/tickets/{ticket.number}/entries/{entry.seq}/{what}/"


@pytest.fixture
def made(as_owner, ticket) -> Entry:
    """The strap measured, through the page."""
    as_owner.post(page(ticket), typed(STRAP))
    return ticket.entries.get(kind="test")


# --- choosing -----------------------------------------------------------------------------------


def test_tests_are_offered_by_group_with_their_minutes(as_technician, ticket) -> None:
    answer = as_technician.get(f"/tickets/{ticket.number}/tests/").content.decode()
    assert "Voltage drop under load" in answer
    assert "12 min" in answer
    assert "Electrical" in answer


def test_a_test_that_does_not_apply_says_why(as_technician, ticket) -> None:
    answer = as_technician.get(f"/tickets/{ticket.number}/tests/").content.decode()
    assert "A diesel has no spark plugs." in answer
    assert page(ticket, "spark_plugs") not in answer


def test_what_a_test_opens_is_said_before_it_is_chosen(as_technician, ticket) -> None:
    answer = as_technician.get(f"/tickets/{ticket.number}/tests/").content.decode()
    assert "pens: cap of radiator or tank off" in answer


@pytest.mark.parametrize("path", ["tests/", "tests/voltage_drop/"])
def test_the_counter_may_not_make_tests(as_counter, ticket, path) -> None:
    answer = as_counter.get(f"/tickets/{ticket.number}/{path}")
    assert answer.status_code == 403
    assert "for the owner and technicians" in answer.content.decode()


def test_the_counter_may_not_record_one_either(as_counter, ticket) -> None:
    assert as_counter.post(page(ticket), typed(STRAP)).status_code == 403
    assert not Run.objects.exists()


def test_the_counter_may_look_at_a_test(client, counter, made, ticket) -> None:
    client.force_login(counter)
    answer = client.get(entry_page(ticket, made)).content.decode()
    assert "0.661" in answer
    assert "Correct it" not in answer


def test_a_procedure_that_does_not_exist_is_not_found(as_owner, ticket) -> None:
    assert as_owner.get(page(ticket, "tea_leaves")).status_code == 404


# --- the form -----------------------------------------------------------------------------------


def test_cautions_come_before_the_first_field(as_owner, ticket) -> None:
    answer = as_owner.get(page(ticket)).content.decode()
    assert answer.index("Moving car.") < answer.index('name="ready.battery"')
    assert answer.index('name="ready.battery"') < answer.index('name="given.path"')


def test_every_test_asks_whether_the_complaint_was_happening(as_owner, ticket) -> None:
    answer = as_owner.get(page(ticket)).content.decode()
    assert "Was the complaint happening just then?" in answer
    assert "For which complaint?" not in answer


def test_without_a_complaint_it_asks_for_none(as_owner, owner, van, customer) -> None:
    visit = tickets.open_ticket(car=van, customer=customer, by=owner)
    answer = as_owner.get(page(visit))
    assert answer.status_code == 200
    assert "Was the complaint happening just then?" not in answer.content.decode()
    assert as_owner.post(page(visit), typed(STRAP)).status_code == 303


def test_with_two_complaints_it_asks_for_which(as_owner, owner, ticket) -> None:
    tickets.add_complaint(ticket=ticket, words="Squeals in the wet.", by=owner)
    answer = as_owner.get(page(ticket)).content.decode()
    assert "For which complaint?" in answer
    assert "Squeals in the wet." in answer


def test_the_chosen_path_brings_its_steps(as_owner, ticket) -> None:
    answer = as_owner.post(page(ticket), {"given.path": "starter_ground", "show": "1"})
    text = answer.content.decode()
    assert answer.status_code == 200
    assert 'name="path.strap.drop"' in text
    assert text.count('class="station') == 5
    assert not Run.objects.exists()


def test_a_row_more_keeps_what_is_typed(as_owner, ticket) -> None:
    sent = {"given.path": "accessory_ground", "path.r1.drop": "0.02", "add": "path"}
    text = as_owner.post(page(ticket), sent).content.decode()
    assert 'name="path.r3.drop"' in text
    assert 'value="0.02"' in text


def test_steps_of_another_path_come_back_with_it(as_owner, ticket) -> None:
    sent = {"given.path": "starter_feed", "path.strap.drop": "0.661", "show": "1"}
    text = as_owner.post(page(ticket), sent).content.decode()
    assert '<input type="hidden" name="path.strap.drop" value="0.661">' in text


def test_a_value_is_offered_and_never_filled_in_unasked(as_owner, made, ticket) -> None:
    text = as_owner.get(page(ticket)).content.decode()
    assert '<button class="carry" name="carry" value="given.rated"' in text
    assert re.search(r'name="given.rated"[^>]*value=', text) is None
    taken = as_owner.post(page(ticket), {"carry": "given.rated"}).content.decode()
    assert 'value="284 A"' in taken


def test_an_offered_number_is_spaced_as_elsewhere_and_taken_over_as_it_was_typed(
    as_owner, owner, customer
) -> None:
    petrol = cars.add(plate="AB12 CDE", fuel="petrol", owner=customer, by=owner)
    visit = tickets.open_ticket(car=petrol, customer=customer, by=owner)
    plugs = page(visit, "spark_plugs")
    as_owner.post(plugs, typed({"given.fitted_km": "30000 km", "plugs.c1.gap": "0.9"}))
    text = as_owner.get(plugs).content.decode()
    assert "<b>30\u00a0000\u00a0km</b>" in text
    taken = as_owner.post(plugs, {"carry": "given.fitted_km"}).content.decode()
    assert 'value="30000 km"' in taken


def test_readings_are_never_offered(as_owner, made, ticket) -> None:
    text = as_owner.get(page(ticket)).content.decode()
    assert 'name="carry" value="path.' not in text
    assert 'name="carry" value="given.whole"' not in text


# --- saving -------------------------------------------------------------------------------------


def test_a_saved_test_is_an_entry_with_its_run(as_owner, owner, ticket) -> None:
    answer = as_owner.post(page(ticket), typed(STRAP))
    entry = ticket.entries.get(kind="test")
    assert answer.status_code == 303
    assert answer["Location"] == entry_page(ticket, entry)
    link = entry.run_link
    assert (link.fault_present, str(link.complaint_uid)) == (
        "yes",
        str(ticket.complaints.get().uid),
    )
    assert link.run.summary.pattern == "lost_in_one_step"
    assert link.run.subject == "starter_ground"
    assert link.run.readings.get(address="path.strap.drop").value == pytest.approx(0.661)


def test_the_result_shows_verdict_limit_source_and_instrument(as_owner, made, ticket) -> None:
    text = as_owner.get(entry_page(ticket, made)).content.decode()
    for words in (
        "More is lost in one step than is usual: body to engine block",
        "at most 0.20",
        "engineering society",
        "typical of its kind",
        "1 chance in 44",
        "Make a finding of it",
        "Again, after the repair",
        "Correct it",
    ):
        assert words in text


def test_no_code_is_shown(as_owner, made, ticket) -> None:
    text = as_owner.get(entry_page(ticket, made)).content.decode()
    shown = re.sub(r"<[^>]*>", " ", text)
    for code in ("lost_in_one_step", "starter_ground", "path.strap", "cannot_tell", "fault_absent"):
        assert code not in shown


def test_a_form_sent_twice_makes_one_entry(as_owner, ticket) -> None:
    first = as_owner.post(page(ticket), typed(STRAP))
    second = as_owner.post(page(ticket), typed(STRAP))
    assert first["Location"] == second["Location"]
    assert ticket.entries.filter(kind="test").count() == 1
    assert Run.objects.count() == 1


def test_an_unanswered_question_is_kept_as_not_known(as_owner, ticket) -> None:
    as_owner.post(page(ticket), typed(STRAP, fault_present="", state_of_car=""))
    assert RunLink.objects.get().fault_present == "unknown"


def test_readings_may_be_missing(as_owner, ticket) -> None:
    as_owner.post(page(ticket), {"given.path": "starter_ground", "path.strap.drop": "0.3"})
    assert Run.objects.get().summary.missing == 3


def test_what_the_procedure_opens_is_apart_afterwards(as_owner, ticket) -> None:
    case = Case("pressure_hold", "steady_cold").data["typed"]
    as_owner.post(page(ticket, "pressure_hold"), typed(case))
    run = Run.objects.get()
    apart = Apart.objects.filter(ticket=ticket).still()
    assert {item.what for item in apart} == {
        "cap of radiator or tank off",
        "pressure tester on the filler neck",
    }
    assert {item.run for item in apart} == {run}
    as_owner.post(page(ticket, "pressure_hold"), typed(case, client_key="b" * 32))
    assert apart.all().count() == 2


def test_an_improbable_value_is_asked_about_once_and_may_stand(as_owner, ticket) -> None:
    sent = typed(STRAP | {"path.case.drop": "19"})
    asked = as_owner.post(page(ticket), sent)
    text = asked.content.decode()
    assert asked.status_code == 422
    assert "Is 19\xa0V right?" in text
    assert not Run.objects.exists()
    seen = re.search(r'name="seen" value="([^"]*)"', text)[1]
    assert as_owner.post(page(ticket), sent | {"seen": seen}).status_code == 303
    assert Reading.objects.get(address="path.case.drop").value == 19


def test_the_time_of_measuring_can_be_earlier_and_is_marked(as_owner, ticket) -> None:
    before = timezone.localtime() - timedelta(hours=3)
    as_owner.post(page(ticket), typed(STRAP, measured_at=before.strftime("%Y-%m-%dT%H:%M")))
    run = Run.objects.get()
    assert run.recorded_at - run.measured_at > timedelta(hours=2)
    text = as_owner.get(entry_page(ticket, ticket.entries.get(kind="test"))).content.decode()
    assert "Written down later" in text


@pytest.mark.parametrize("moment", ["2999-01-01T10:00", "1998-01-01T10:00", "2026-02-30T10:00"])
def test_a_time_that_cannot_be_is_refused(as_owner, ticket, moment) -> None:
    answer = as_owner.post(page(ticket), typed(STRAP, measured_at=moment))
    assert answer.status_code == 422
    assert 'value="661 mV"' in answer.content.decode()
    assert not Run.objects.exists()


# --- hostile and unclear numbers ----------------------------------------------------------------

REFUSED = [
    ("NaN", "is not a number"),
    ("inf", "is not a number"),
    ("-Infinity", "is not a number"),
    ("null", "is not a number"),
    (".", "is not a number"),
    ("1e308", "power of ten"),
    ("1e-400", "power of ten"),
    ("1E+2", "power of ten"),
    ("9" * 4400, "too long"),
    ("123456789", "not possible here"),
    ("1.234,5", "more than one way"),
    ("1,234,567", "more than one way"),
    ("1 234", "more than one way"),
    ("١٢", "another script"),
    ("１２", "another script"),
    ("1_000", "underscore"),
    ("0x1F", "another base"),
    ("½", "fraction sign"),
    ("12 kg", "is no unit"),
    ("12 furlongs", "is no unit"),
    ("abc", "is not a number"),
    ("<script>alert(1)</script>", "is not a number"),
    ("12\x00", "is no unit"),
    ("{{7*7}}", "is not a number"),
]


@pytest.mark.parametrize(("text", "says"), REFUSED, ids=lambda v: repr(v)[:14])
def test_an_impossible_value_is_refused_and_kept_as_typed(as_owner, ticket, text, says) -> None:
    answer = as_owner.post(page(ticket), typed(STRAP | {"path.strap.drop": text}))
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert says in shown
    assert "Body to engine block, drop:" in shown
    assert not Run.objects.exists()
    box = re.search(r'<input[^>]*name="path.strap.drop"[^>]*>', shown)[0]
    value = re.search(r'value="([^"]*)"', box)[1]
    from html import unescape

    assert unescape(value) == text
    assert 'value="0,098"' in shown


UNDERSTOOD = [
    ("0,661", 0.661),
    ("661 mV", 0.661),
    ("−0.661", -0.661),
    ("-0", 0.0),
    ("0.6610", 0.661),
    ("0.661 V", 0.661),
    ("0.661 volts", 0.661),
]


@pytest.mark.parametrize(("text", "value"), UNDERSTOOD, ids=lambda v: repr(v))
def test_usual_ways_of_writing_are_understood(as_owner, ticket, text, value) -> None:
    as_owner.post(page(ticket), typed(STRAP | {"path.strap.drop": text}))
    reading = Reading.objects.get(address="path.strap.drop")
    assert (reading.typed, reading.value) == (text, pytest.approx(value))


@pytest.mark.parametrize(
    ("text", "status"),
    [
        ("OL", "overload"),
        (">10", "above"),
        ("<0.01", "below"),
        ("-", "not_measured"),
        ("not measured", "not_measured"),
    ],
)
def test_what_is_no_value_is_kept_as_the_status_that_it_is(as_owner, ticket, text, status) -> None:
    as_owner.post(page(ticket), typed(STRAP | {"path.strap.drop": text}))
    reading = Reading.objects.get(address="path.strap.drop")
    assert (reading.status, reading.value) == (status, None)


def test_a_unit_chosen_apart_is_what_a_bare_number_means(as_owner, ticket) -> None:
    sent = typed(STRAP | {"path.strap.drop": "661", "path.post.drop": "0.098 V"})
    as_owner.post(
        page(ticket),
        sent
        | {
            "unit.path.drop": "mV",
            "path.cable.drop": "46",
            "path.case.drop": "19",
        },
    )
    values = dict(Reading.objects.filter(column="drop").values_list("row", "value"))
    assert values == {
        "post": pytest.approx(0.098),
        "cable": pytest.approx(0.046),
        "strap": pytest.approx(0.661),
        "case": pytest.approx(0.019),
    }


# --- drafts -------------------------------------------------------------------------------------


def test_a_half_typed_form_survives(as_owner, ticket) -> None:
    begun = {"given.path": "starter_ground", "path.strap.drop": "0,6"}
    as_owner.post(f"{page(ticket)}draft/", begun)
    text = as_owner.get(page(ticket)).content.decode()
    assert 'value="0,6"' in text
    assert "Begun by you" in text
    assert not Run.objects.exists()


def test_leave_and_keep_goes_back_to_the_ticket(as_owner, ticket) -> None:
    answer = as_owner.post(f"{page(ticket)}draft/", {"given.current": "205", "leave": "1"})
    assert (answer.status_code, answer["Location"]) == (303, ticket.get_absolute_url())
    assert Draft.objects.get().fields["given.current"] == "205"


def test_a_draft_is_one_persons(client, technician, as_owner, ticket) -> None:
    as_owner.post(f"{page(ticket)}draft/", {"given.current": "205"})
    client.force_login(technician)
    assert 'value="205"' not in client.get(page(ticket)).content.decode()


def test_saving_ends_the_draft_and_a_late_one_does_not_come_back(as_owner, ticket) -> None:
    as_owner.post(f"{page(ticket)}draft/", typed(STRAP))
    as_owner.post(page(ticket), typed(STRAP))
    as_owner.post(f"{page(ticket)}draft/", typed(STRAP))
    assert not Draft.objects.exists()


def test_a_draft_can_be_thrown_away(as_owner, ticket) -> None:
    as_owner.post(f"{page(ticket)}draft/", {"given.current": "205"})
    answer = as_owner.post(f"{page(ticket)}discard/")
    assert answer.status_code == 303
    assert not Draft.objects.exists()


def test_a_refused_save_is_kept_as_a_draft_too(as_owner, ticket) -> None:
    as_owner.post(page(ticket), typed(STRAP | {"path.strap.drop": "abc"}))
    assert Draft.objects.get().fields["path.strap.drop"] == "abc"


def test_while_typing_the_answer_says_what_was_understood(as_owner, ticket) -> None:
    shape = re.search(
        r'name="shape" value="(\w+)"',
        as_owner.post(page(ticket), {"given.path": "starter_ground", "show": "1"}).content.decode(),
    )[1]
    answer = as_owner.post(
        f"{page(ticket)}draft/",
        typed(STRAP | {"path.case.drop": "oops"}, shape=shape),
        headers={"hx-request": "true"},
    ).content.decode()
    assert 'id="f-path-strap-drop-understood" hx-swap-oob="true"' in answer
    assert "Understood: 0.661\xa0V ± 0.007" in answer
    assert "outside" in answer
    assert 'id="save-state"' in answer and "One to put right." in answer
    assert "More is lost in one step than is usual" in answer
    assert 'id="readings"' not in answer


def test_another_choice_of_rows_draws_the_readings_again(as_owner, ticket) -> None:
    answer = as_owner.post(
        f"{page(ticket)}draft/",
        {"given.path": "starter_feed", "shape": "old"},
        headers={"hx-request": "true"},
    ).content.decode()
    assert 'id="readings" hx-swap-oob="outerHTML"' in answer
    assert 'name="path.solenoid.drop"' in answer


def test_the_draft_address_only_takes_posts(as_owner, ticket) -> None:
    assert as_owner.get(f"{page(ticket)}draft/").status_code == 405


def test_the_way_to_the_makers_limit_keeps_the_form(as_owner, ticket) -> None:
    answer = as_owner.post(f"{page(ticket)}draft/", {"given.current": "205", "limit": "1"})
    assert answer["Location"].startswith(f"/cars/{ticket.car.pk}/limits/voltage_drop/?next=")
    assert Draft.objects.get().fields["given.current"] == "205"


# --- again, and before and after ----------------------------------------------------------------


def test_again_takes_choices_over_and_asks_for_values_only(as_owner, made, ticket) -> None:
    text = as_owner.get(entry_page(ticket, made, "again"), follow=True).content.decode()
    assert re.search(r'<option value="starter_ground" selected', text)
    assert re.search(r'name="given.rated"[^>]*value="284', text) or re.search(
        r'value="284[^>]*name="given.rated"', text
    )
    assert "661" not in text


def test_a_repeat_names_what_it_repeats_and_is_compared(as_owner, made, ticket) -> None:
    run = made.run_link.run
    mended = dict(MENDED) | {"given.current": "205"}
    as_owner.post(page(ticket), typed(mended, again=str(run.uid), client_key="b" * 32))
    later = ticket.entries.filter(kind="test").last()
    assert later.run_link.again_of == run
    text = as_owner.get(entry_page(ticket, later)).content.decode()
    assert "−0.590\xa0V" in text


def test_another_load_is_not_compared_and_says_why(as_owner, made, ticket) -> None:
    run = made.run_link.run
    other = dict(MENDED) | {"given.current": "60"}
    as_owner.post(page(ticket), typed(other, again=str(run.uid), client_key="b" * 32))
    text = as_owner.get(entry_page(ticket, ticket.entries.filter(kind="test").last()))
    assert "too far apart" in text.content.decode()


# --- corrections --------------------------------------------------------------------------------


def test_a_correction_keeps_the_old_entry_and_says_why(as_owner, made, ticket) -> None:
    answer = as_owner.post(
        entry_page(ticket, made, "correct"),
        typed(
            STRAP | {"path.strap.drop": "0.061"},
            why="Read off the wrong range.",
            client_key="b" * 32,
        ),
    )
    new = ticket.entries.filter(kind="test").last()
    assert answer["Location"] == entry_page(ticket, new)
    assert (new.replaces, new.data["why"]) == (made, "Read off the wrong range.")
    assert made.run_link.run.readings.get(address="path.strap.drop").value == pytest.approx(0.661)
    old = as_owner.get(entry_page(ticket, made)).content.decode()
    assert f"Replaced by entry {new.seq}." in old and "0.661" in old


def test_photos_of_a_corrected_test_belong_to_its_correction(as_owner, owner, made, ticket) -> None:
    photo = add_photos(
        ticket=ticket,
        by=owner,
        uploads=[upload()],
        subject="connector",
        caption="Green on pin 2",
        run=made.run_link.run,
    ).photos.get()
    entry = made
    for key, reason in (("b", "Wrong range."), ("c", "Wrong range again.")):
        sent = typed(STRAP | {"path.strap.drop": "0.061"}, why=reason, client_key=key * 32)
        as_owner.post(entry_page(ticket, entry, "correct"), sent)
        entry = ticket.entries.filter(kind="test").last()
    assert "Green on pin 2" in as_owner.get(entry_page(ticket, entry)).content.decode()
    assert "Green on pin 2" in as_owner.get(entry_page(ticket, made)).content.decode()
    of_photo = as_owner.get(reverse("photo", args=[ticket.number, photo.frame])).content.decode()
    assert f'#e{entry.seq}">{entry.seq} Voltage drop under load</a>' in of_photo
    assert Photo.objects.count() == 1


def test_photos_of_another_test_stay_with_it(as_owner, owner, made, ticket) -> None:
    add_photos(
        ticket=ticket,
        by=owner,
        uploads=[upload()],
        subject="connector",
        caption="Green on pin 2",
        run=made.run_link.run,
    )
    as_owner.post(page(ticket), typed(MENDED, client_key="d" * 32))
    other = ticket.entries.filter(kind="test").last()
    assert "Green on pin 2" not in as_owner.get(entry_page(ticket, other)).content.decode()


def test_a_correction_starts_from_what_was_recorded(as_owner, made, ticket) -> None:
    text = as_owner.get(entry_page(ticket, made, "correct")).content.decode()
    assert 'value="661 mV"' in text and 'value="0,098"' in text


def test_a_correction_without_a_reason_is_refused(as_owner, made, ticket) -> None:
    answer = as_owner.post(
        entry_page(ticket, made, "correct"), typed(STRAP, why="", client_key="b" * 32)
    )
    assert answer.status_code == 422
    assert "Say why it is corrected" in answer.content.decode()
    assert ticket.entries.filter(kind="test").count() == 1


def test_the_second_of_two_corrections_sees_the_first(as_owner, made, ticket) -> None:
    sent = typed(STRAP | {"path.strap.drop": "0.061"}, why="Wrong range.", client_key="b" * 32)
    as_owner.post(entry_page(ticket, made, "correct"), sent)
    answer = as_owner.post(
        entry_page(ticket, made, "correct"),
        sent | {"path.strap.drop": "0.066", "client_key": "c" * 32},
    )
    text = answer.content.decode()
    assert answer.status_code == 409
    assert "Nell Aldous was first" in text
    assert 'value="0.066"' in text
    assert ticket.entries.filter(kind="test").count() == 2


def test_mistyped_is_one_tap_within_the_minute(as_owner, ticket) -> None:
    sent = typed(STRAP | {"path.case.drop": "19"}, seen="path.case.drop=19")
    as_owner.post(page(ticket), sent)
    entry = ticket.entries.get(kind="test")
    text = as_owner.get(entry_page(ticket, entry)).content.decode()
    assert "Mistyped, meant" in text
    as_owner.post(
        entry_page(ticket, entry, "mistyped"), {"address": "path.case.drop", "meant": "1.9 V"}
    )
    new = ticket.entries.filter(kind="test").last()
    assert (new.replaces, new.data["why"]) == (entry, "Mistyped.")
    assert new.run_link.run.readings.get(address="path.case.drop").value == pytest.approx(1.9)


def test_after_the_minute_a_reason_is_asked_for(as_owner, made, ticket, monkeypatch) -> None:
    from jobs.actions import runs

    monkeypatch.setattr(runs, "MISTYPED_WITHIN_S", -1)
    answer = as_owner.post(
        entry_page(ticket, made, "mistyped"), {"address": "path.strap.drop", "meant": "0.1"}
    )
    assert answer["Location"] == entry_page(ticket, made, "correct")
    assert ticket.entries.filter(kind="test").count() == 1


def test_a_test_of_another_ticket_is_not_found(as_owner, made, van, customer, owner) -> None:
    other = tickets.open_ticket(car=van, customer=customer, by=owner)
    assert as_owner.get(f"/tickets/{other.number}/entries/{made.seq}/test/").status_code == 404


def test_the_ticket_page_shows_the_test(as_owner, made, ticket) -> None:
    text = as_owner.get(ticket.get_absolute_url()).content.decode()
    assert "More is lost in one step than is usual: body to engine block" in text
    assert "0.661" in text


def test_the_record_verifies_and_a_changed_reading_shows(as_owner, made, ticket) -> None:
    from jobs.record.verify import faults

    assert list(faults()) == []
    Reading.objects.filter(address="path.strap.drop").update(value=0.061)
    assert [str(f) for f in faults()] == [
        f"test {made.run_link.run.uid}: the table measurements_reading says otherwise than the "
        "content"
    ]
