"""A test is made on a ticket, repeated, or corrected."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from jobs import battery, logs
from jobs.actions.apart import take_apart
from jobs.models import Complaint, Entry, RunLink, Ticket
from jobs.record.append import EntryRefused, already, append
from measurements.actions import instruments as tools
from measurements.actions import limits
from measurements.actions import runs as recording
from measurements.core import context as core
from measurements.core.logs.file import Files
from measurements.core.procedure import Dated, Free, Procedure
from measurements.core.readings import Readings
from measurements.models import Instrument, Run
from measurements.procedures import procedure_called
from shop.engine import Engine, EngineError
from shop.models import Car, Person, Profile

EARLIER_RUNS = 3
EARLIER_DIARIES = 60
"""How many earlier runs a test may look back to; more where its rows are a diary of days."""

MISTYPED_WITHIN_S = 60
STATES_OF_CAR = ("", "cold", "hot", "driving")

_LAYOUTS = {"line": "inline", "v": "v", "flat": "flat"}
_BURNS = {"petrol_hybrid": "petrol", "diesel_hybrid": "diesel", "plug_in_hybrid": "petrol"}
_ONLY_WHEN = {"hot": "hot", "hot_restart": "hot", "cold": "cold"}


class TestRefused(EntryRefused):
    """Something typed is impossible; `faults` says what, where, and what to do."""

    __test__ = False

    def __init__(self, refusal: recording.RunRefused) -> None:
        super().__init__(str(refusal))
        self.faults = refusal.faults


class _SentTwice(Exception):
    """The same form has made its entry meanwhile; what this sending wrote is undone."""

    def __init__(self, entry: Entry) -> None:
        self.entry = entry


class NothingTyped(EntryRefused):
    """A test without a single reading is no test."""

    def __init__(self) -> None:
        super().__init__("Nothing is entered yet: type at least one reading, or leave and keep.")


@dataclass(frozen=True)
class Prepared:
    """A test that can be recorded: the context in which it was judged, and what it says."""

    context: core.Context
    judged: recording.Judged


def record_test(
    *,
    ticket: Ticket,
    procedure: str,
    typed: Mapping[str, Any],
    by: Person,
    complaint_uid: UUID | str | None = None,
    fault_present: str = "unknown",
    state_of_car: str = "",
    again_of: Run | None = None,
    instruments: Mapping[str, Instrument] | None = None,
    subject: str = "",
    measured_at: datetime | None = None,
    corrects: Entry | None = None,
    why: str = "",
    client_key: str | None = None,
    at: datetime | None = None,
    prepared: Prepared | None = None,
    **how: Any,
) -> Entry:
    """Validate, judge and record a test with what it leaves apart, or nothing of it.

    typed: address -> text, or (text, unit); prepared: these judged already, before a transaction
    that a long log would hold for seconds. With `corrects`, the entry replaces that one and says
    why; what the first one left apart stays so. Raises TestRefused, EntryRefused.
    """
    if earlier := already(client_key):
        return earlier
    declared = procedure_called(procedure)
    if corrects is not None:
        _check_correction(corrects, declared, why)
    chosen = dict(instruments) if instruments is not None else tools.usual(_kinds(declared))
    now = at or timezone.now()
    prepared = prepared or prepare(
        ticket=ticket,
        procedure=declared,
        typed=typed,
        files=logs.files_for(declared, typed),
        instruments=chosen,
        complaint_uid=complaint_uid,
        fault_present=fault_present,
        state_of_car=state_of_car,
        but=corrects.run_link.run if corrects else None,
        measured_at=measured_at or at,
    )
    try:
        with transaction.atomic():
            run = recording.record(
                car=ticket.car,
                procedure=declared,
                typed=typed,
                context=prepared.context,
                by=by,
                measured_at=measured_at or now,
                recorded_at=now,
                state_of_car=state_of_car,
                subject=subject_of(declared, typed, subject),
                instruments={kind: tool.pk for kind, tool in chosen.items()},
                judged=prepared.judged,
            )
            if not _says_anything(declared, run):
                raise NothingTyped
            data: dict[str, Any] = {"run": run.digest, "fault_present": fault_present}
            if complaint_uid:
                data["complaint"] = str(complaint_uid)
            if again_of is not None:
                data["again_of"] = again_of.digest
            if why.strip():
                data["why"] = why.strip()
            entry = append(
                ticket=ticket,
                kind="test",
                data=data,
                by=by,
                at=at,
                replaces=corrects,
                client_key=client_key,
                **how,
            )
            if entry.data["run"] != run.digest:
                raise _SentTwice(entry)
            if corrects is None:
                _leave_apart(ticket, declared, prepared.judged.checked.readings, run, by, at)
    except _SentTwice as twice:
        return twice.entry
    return entry


def prepare(
    *, procedure: Procedure, typed: Mapping[str, Any], files: Files, **about: Any
) -> Prepared:
    """Judge a test that is about to be recorded; `about` as for `context_for`. Raises
    TestRefused."""
    context = context_for(procedure=procedure, **about)
    try:
        return Prepared(context, recording.judge(procedure, typed, context, files))
    except recording.RunRefused as refusal:
        raise TestRefused(refusal) from refusal


def mistyped(*, entry: Entry, address: str, meant: str, by: Person, **how: Any) -> Entry:
    """One reading was mistyped and is put right within the minute; both stay in the record."""
    if (timezone.now() - entry.at).total_seconds() > MISTYPED_WITHIN_S:
        raise EntryRefused("More than a minute has passed: correct the test and say why.")
    link = entry.run_link
    found = recording.read(link.run)
    if address not in found.typed:
        raise EntryRefused("That reading is not in this test.")
    return record_test(
        ticket=entry.ticket,
        procedure=link.run.procedure,
        typed=dict(found.typed) | {address: meant},
        by=by,
        complaint_uid=link.complaint_uid,
        fault_present=link.fault_present,
        state_of_car=link.run.state_of_car,
        again_of=link.again_of,
        instruments=instruments_of(link.run),
        subject=link.run.subject,
        measured_at=link.run.measured_at,
        corrects=entry,
        why="Mistyped.",
        **how,
    )


def instruments_of(run: Run) -> dict[str, Instrument]:
    """The shop's own instruments that a test was made with, by kind."""
    kept = run.data.get("instruments", {})
    found = Instrument.objects.in_bulk(kept.values())
    return {kind: found[pk] for kind, pk in kept.items() if pk in found}


def context_for(
    *,
    ticket: Ticket,
    procedure: Procedure,
    instruments: Mapping[str, Instrument],
    complaint_uid: UUID | str | None = None,
    fault_present: str = "unknown",
    state_of_car: str = "",
    but: Run | None = None,
    measured_at: datetime | None = None,
) -> core.Context:
    """All that judging may use beside the readings: car, limits, instruments, risk, earlier runs.

    `but`: a run that is being corrected, which is no earlier run of itself; measured_at: now, where
    it is not given.
    """
    profile = Profile.current()
    return core.Context(
        car=car_facts(ticket.car),
        units=profile.units,
        risk=float(profile.risk_a),
        limits=limits.for_context(ticket.car, procedure.name),
        instruments=tools.for_context(_kinds(procedure), instruments),
        fault_present=fault_present,
        complaint_only_when=_only_when(ticket, complaint_uid),
        state_of_car=state_of_car,
        earlier=_earlier(ticket.car, procedure, but),
        measured_on=timezone.localtime(measured_at).date().isoformat(),
        weak_battery=_weak_battery(ticket, procedure, measured_at),
    )


def _weak_battery(ticket: Ticket, procedure: Procedure, measured_at: datetime | None) -> str:
    """What the last test of this visit that saw this battery found of it, if that was weakness."""
    if not procedure.battery_matters:
        return ""
    tests = RunLink.objects.current().filter(ticket=ticket).select_related("run__summary")
    weak = battery.weak_at(
        [link.run for link in tests],
        measured_at or timezone.now(),
        changes=battery.changes_on(ticket),
    )
    return battery.found(weak) if weak else ""


def car_facts(car: Car) -> core.Car:
    """What judging may know of a car."""
    try:
        engine = Engine.from_json(car.engine)
    except EngineError:
        engine = None
    known = core.Engine()
    if engine is not None:
        known = core.Engine(
            _LAYOUTS.get(engine.layout, ""),
            engine.cylinders or 4,
            engine.banks,
            engine.firing_order,
        )
    return core.Car(
        make=car.make,
        model=car.model,
        year=car.year,
        volts=car.volts,
        high_voltage=car.high_voltage,
        fuel=_BURNS.get(car.fuel, car.fuel),
        drive=car.drive,
        engine=known,
        region=car.region,
    )


def subject_of(procedure: Procedure, typed: Mapping[str, Any], subject: str = "") -> str:
    """What a test was made on: the chosen route, and words for it where it is named by hand."""
    if ":" in subject:
        return subject[:80]
    by = next((g.axis.by for g in procedure.grids if isinstance(g.axis, Free) and g.axis.by), "")
    entry = typed.get(f"given.{by}", "") if by else ""
    code = (entry if isinstance(entry, str) else entry[0]).strip()
    if not code:
        return subject.strip()[:80]
    return f"{code}:{subject.strip()}"[:80] if subject.strip() not in ("", code) else code[:80]


def _kinds(procedure: Procedure) -> tuple[str, ...]:
    return tools.kinds_of(procedure)


def _only_when(ticket: Ticket, complaint_uid: UUID | str | None) -> str:
    """ "hot" or "cold" where the complaint comes only then."""
    if not complaint_uid:
        return ""
    complaint = Complaint.objects.current().filter(ticket=ticket, uid=complaint_uid).first()
    answers = complaint.conditions.get("engine_temperature", []) if complaint else []
    states = {_ONLY_WHEN.get(answer, "") for answer in answers}
    return states.pop() if len(states) == 1 else ""


def _earlier(car: Car, procedure: Procedure, but: Run | None) -> tuple[core.EarlierRun, ...]:
    """The latest runs of the procedure on this car that still count."""
    runs = Run.objects.of(car, procedure.name).filter(link__entry__replaced_by=None)
    if but is not None:
        runs = runs.exclude(pk=but.pk)
    keeps_days = any(isinstance(grid.axis, Dated) for grid in procedure.grids)
    return tuple(
        core.EarlierRun(
            str(run.uid),
            run.measured_at.isoformat(),
            {
                address: f"{text} {unit}".strip()
                for address, (text, unit) in run.data["typed"].items()
            },
        )
        for run in runs[: EARLIER_DIARIES if keeps_days else EARLIER_RUNS]
    )


def _check_correction(entry: Entry, procedure: Procedure, why: str) -> None:
    if entry.kind != "test" or entry.run_link.run.procedure != procedure.name:
        raise EntryRefused("A test is corrected by a test of the same procedure.")
    if not why.strip():
        raise EntryRefused("Say why it is corrected: a few words are enough.")


def _leave_apart(
    ticket: Ticket,
    procedure: Procedure,
    readings: Readings,
    run: Run,
    by: Person,
    at: datetime | None,
) -> None:
    """Note what the procedure opens or unplugs, and what was moved, unless it is apart already."""
    still = set(ticket.aparts.still().values_list("what", flat=True))
    moved = procedure.moved(readings) if procedure.moved else ()
    for what in (*procedure.leaves_apart, *moved):
        if what not in still:
            take_apart(ticket=ticket, what=what, by=by, run=run, at=at)


def _says_anything(procedure: Procedure, run: Run) -> bool:
    """Whether something was measured or looked at, beside ticks and the choice of what to test."""
    steering = {f"given.{g.axis.by}" for g in procedure.grids if isinstance(g.axis, Free)}
    return any(
        not reading.address.startswith("ready.") and reading.address not in steering
        for reading in run.readings.all()
    )
