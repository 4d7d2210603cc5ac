"""What a test is judged by, and that it is recorded whole or not at all."""

from __future__ import annotations

import pytest

from jobs.actions import runs, tickets
from jobs.models import Apart, Entry
from jobs.record.append import AlreadyCorrected, EntryRefused
from measurements.actions import instruments, limits
from measurements.actions.runs import read
from measurements.models import Run
from shop.engine import Engine
from shop.models import Profile
from tests.measurements.readings_files import Case

STRAP = Case("voltage_drop", "corroded_strap_hot").data["typed"]


def record(ticket, by, **how) -> Entry:
    how = {"procedure": "voltage_drop", "typed": STRAP} | how
    return runs.record_test(ticket=ticket, by=by, **how)


def context(entry: Entry):
    return read(entry.run_link.run).context


def test_the_context_holds_the_car_the_risk_and_the_units(ticket, owner) -> None:
    Profile.objects.update(units="us", risk_a="0.01")
    ticket.car.engine = Engine.of("line", 4).as_json()
    found = context(record(ticket, owner))
    assert (found.car.make, found.car.fuel, found.car.engine.layout) == (
        "Corvane",
        "diesel",
        "inline",
    )
    assert (found.units, found.risk) == ("us", pytest.approx(0.01))


def test_the_usual_instruments_are_taken_and_the_chosen_one_instead(ticket, owner) -> None:
    usual = instruments.add(by=owner, kind="multimeter", name="M1", accuracy="±(0.5 % + 3 counts)")
    other = instruments.add(by=owner, kind="multimeter", name="M2", accuracy="±(1 % + 9 counts)")
    assert context(record(ticket, owner)).instruments["multimeter"].name == "M1"
    entry = record(ticket, owner, instruments={"multimeter": other})
    assert context(entry).instruments["multimeter"].name == "M2"
    assert entry.run_link.run.readings.get(address="given.whole").instrument == other
    assert usual.is_usual


def test_kept_limits_are_judged_by(ticket, owner) -> None:
    limits.keep(
        car=ticket.car,
        procedure="voltage_drop",
        address_pattern="path.strap.drop",
        low=None,
        high=0.9,
        unit="V",
        source="Workshop book",
        by=owner,
    )
    found = read(record(ticket, owner).run_link.run)
    assert found.assessment.verdict("path.strap.drop").outcome == "within"
    assert found.assessment.verdict("path.strap.drop").source.text == "Workshop book"


def test_a_complaint_that_comes_hot_only_is_known(ticket, owner) -> None:
    uid = ticket.complaints.get().uid
    found = read(record(ticket, owner, complaint_uid=uid, state_of_car="cold").run_link.run)
    assert found.context.complaint_only_when == "hot"
    assert "engine_state_other" in found.assessment.confounders


def test_earlier_tests_of_this_car_come_along_and_withdrawn_ones_do_not(ticket, owner) -> None:
    first, second = record(ticket, owner), record(ticket, owner)
    tickets.withdraw(entry=second, why="Wrong car.", by=owner)
    found = context(record(ticket, owner))
    assert [run.uid for run in found.earlier] == [str(first.run_link.run.uid)]
    assert found.earlier[0].typed["given.current"] == "205 A"


def test_what_a_procedure_leaves_apart_names_the_run(ticket, owner) -> None:
    entry = record(
        ticket,
        owner,
        procedure="pressure_hold",
        typed=Case("pressure_hold", "steady_cold").data["typed"],
    )
    aparts = Apart.objects.filter(ticket=ticket)
    assert {item.run_id for item in aparts} == {entry.run_link.run_id}
    assert len(aparts) == 2


def test_nothing_is_kept_of_a_refused_test(ticket, owner) -> None:
    entries = Entry.objects.count()
    with pytest.raises(runs.TestRefused, match="abc") as refusal:
        record(ticket, owner, typed=STRAP | {"path.post.drop": "abc"})
    assert refusal.value.faults[0].address == "path.post.drop"
    assert (Run.objects.count(), Entry.objects.count()) == (0, entries)


def test_a_second_sending_leaves_no_run_behind(ticket, owner, monkeypatch) -> None:
    first = record(ticket, owner, client_key="k" * 32)
    # The second sending looks before the first has written, as two workers would.
    monkeypatch.setattr(runs, "already", lambda _key: None)
    assert record(ticket, owner, client_key="k" * 32) == first
    assert Run.objects.count() == 1


def test_a_second_correction_leaves_no_run_behind(ticket, owner) -> None:
    entry = record(ticket, owner)
    record(ticket, owner, corrects=entry, why="Wrong range.")
    with pytest.raises(AlreadyCorrected):
        record(ticket, owner, corrects=Entry.objects.get(pk=entry.pk), why="Wrong lead.")
    assert Run.objects.count() == 2


def test_a_correction_is_by_the_same_procedure(ticket, owner) -> None:
    entry = record(ticket, owner)
    with pytest.raises(EntryRefused, match="same procedure"):
        record(ticket, owner, procedure="charging", typed={}, corrects=entry, why="x")


def test_a_correction_takes_nothing_apart_again(ticket, owner) -> None:
    typed = Case("pressure_hold", "steady_cold").data["typed"]
    entry = record(ticket, owner, procedure="pressure_hold", typed=typed)
    for item in Apart.objects.filter(ticket=ticket):
        from jobs.actions.apart import tick_back

        tick_back(ticket=ticket, apart=item, by=owner)
    record(ticket, owner, procedure="pressure_hold", typed=typed, corrects=entry, why="Slip.")
    assert not Apart.objects.filter(ticket=ticket).still().exists()


def test_a_test_can_be_recorded_on_a_ticket_that_was_handed_back(ticket, owner) -> None:
    tickets.move(ticket=ticket, to="ready", by=owner)
    tickets.move(ticket=ticket, to="handed_back", by=owner)
    assert record(ticket, owner).kind == "test"


@pytest.mark.parametrize(
    ("typed", "subject", "kept"),
    [
        ({"given.path": "starter_ground"}, "", "starter_ground"),
        ({"given.path": "accessory_ground"}, "left headlamp", "accessory_ground:left headlamp"),
        ({}, "left headlamp", "left headlamp"),
        ({}, "", ""),
    ],
)
def test_the_subject_tells_one_circuit_from_another(typed, subject, kept) -> None:
    from measurements.procedures import PROCEDURES

    assert runs.subject_of(PROCEDURES["voltage_drop"], typed, subject) == kept
