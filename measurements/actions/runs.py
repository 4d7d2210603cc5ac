"""A test is recorded: its content once as text that never changes, then what is read from it."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import models, transaction
from django.utils import timezone

from measurements.core import plain
from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.instruments import KINDS
from measurements.core.judging import assess
from measurements.core.logs.file import Files
from measurements.core.procedure import Choice, File, Procedure, Row, fields_of
from measurements.core.readings import Checked, Readings, validate
from measurements.core.readings import Reading as Read
from measurements.models import Figure, Reading, Run, RunSummary
from shop.models import Car, Person

FORMAT = 1
LONGEST_TYPED, LONGEST_UNIT = 200, 16

Typed = Mapping[str, Any]


class RunRefused(ValueError):
    """Something typed is impossible, so nothing is recorded; `faults` says what and where."""

    def __init__(self, checked: Checked) -> None:
        self.faults = tuple(fault for fault in checked.faults if fault.kind == "refused")
        super().__init__(" ".join(fault.text for fault in self.faults))


class UnreadableRun(ValueError):
    """A stored test is of a format that this version does not know."""

    def __init__(self, run: Run, fmt: object) -> None:
        super().__init__(f"test {run.uid} has format {fmt!r}; this version reads up to {FORMAT}")


@dataclass(frozen=True)
class Words:
    """The words that a test was shown with, kept beside it: they outlive a later version."""

    title: str
    group: str
    pattern: str
    patterns: Mapping[str, str]
    sound: bool
    direct: bool
    confounders: Mapping[str, str]
    preconditions: Mapping[str, str]
    grids: Mapping[str, str]
    columns: Mapping[str, str]
    choices: Mapping[str, Mapping[str, str]]


@dataclass(frozen=True)
class Recorded:
    """A stored test, read without judging it again."""

    procedure: str
    version: int
    typed: Mapping[str, tuple[str, str]]
    readings: Readings
    context: Context
    assessment: Assessment
    words: Words

    @property
    def sound(self) -> bool:
        """Nothing unusual was seen."""
        return self.words.sound

    @property
    def undecided(self) -> bool:
        """The readings decide nothing."""
        return self.assessment.pattern == "undecided"


@dataclass(frozen=True)
class Judged:
    """Typed readings that can be recorded, and what they say."""

    checked: Checked
    assessment: Assessment


def judge(
    procedure: Procedure, typed: Typed, context: Context, files: Files | None = None
) -> Judged:
    """Validate and judge, which may take seconds where a file is read. Raises RunRefused."""
    checked = validate(procedure, typed, context, files or {})
    if not checked.ok:
        raise RunRefused(checked)
    return Judged(checked, assess(procedure, checked.readings, context))


@transaction.atomic
def record(
    *,
    car: Car,
    procedure: Procedure,
    typed: Typed,
    context: Context,
    by: Person,
    measured_at: datetime | None = None,
    subject: str = "",
    state_of_car: str = "",
    instruments: Mapping[str, int] | None = None,
    recorded_at: datetime | None = None,
    judged: Judged | None = None,
) -> Run:
    """Validate, judge and store one run with what is read from it.

    typed: address -> text or (text, unit); instruments: kind -> key of the shop's own instrument;
    judged: from `judge`, where that was done before the transaction. Of a file the run stores its
    key and what was read from it, never its values.
    Raises RunRefused when something typed is impossible; improbable and missing values don't stop.
    """
    judged = judged or judge(procedure, typed, context)
    checked = judged.checked
    now = recorded_at or timezone.now()
    uid, measured = uuid.uuid4(), measured_at or now
    content = canonical(
        {
            "format": FORMAT,
            "uid": str(uid),
            "car": str(car.uid),
            "procedure": procedure.name,
            "procedure_version": procedure.version,
            "subject": subject,
            "state_of_car": state_of_car,
            "measured_at": measured.isoformat(),
            "typed": _typed(typed),
            **_readings(checked.readings),
            "context": context.to_dict(),
            "instruments": dict(instruments or {}),
            "assessment": judged.assessment.to_dict(),
            "words": plain.to_plain(_words(procedure, judged.assessment, checked.readings)),
        }
    )
    run = Run(
        uid=uid,
        car=car,
        procedure=procedure.name,
        procedure_version=procedure.version,
        subject=subject,
        state_of_car=state_of_car,
        measured_at=measured,
        recorded_at=now,
        by=by,
        content=content,
        format=FORMAT,
        digest=content_digest(content),
    )
    run.save()
    _save(project(run))
    return run


def canonical(data: Mapping[str, Any]) -> str:
    """The exact text of a content: sorted keys, no blanks, no NaN."""
    return json.dumps(
        data, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
    )


def content_digest(text: str) -> str:
    """SHA-256 of a content's exact text, as the record's chain names it."""
    return hashlib.sha256(text.encode()).hexdigest()


def read(run: Run) -> Recorded:
    """A stored test, from its content alone: nothing is judged again. Done once for each `run` at
    hand, since page, comparison and reasoning all ask for it."""
    if run.data.get("format") != FORMAT:
        raise UnreadableRun(run, run.data.get("format"))
    known: Recorded | None = run.__dict__.get("_recorded")
    if known is None:
        known = run.__dict__["_recorded"] = _read(run)
    return known


def _read(run: Run) -> Recorded:
    data = run.data
    return Recorded(
        procedure=data["procedure"],
        version=data["procedure_version"],
        typed={address: (text, unit) for address, (text, unit) in data["typed"].items()},
        readings=Readings(
            {item["address"]: plain.from_plain(Read, item) for item in data["readings"]},
            {
                key: tuple(plain.from_plain(Row, row) for row in rows)
                for key, rows in data["rows"].items()
            },
            tuple(data["unticked"]),
            data["names"],
            tuple(data["missing"]),
        ),
        context=Context.from_dict(data["context"]),
        assessment=Assessment.from_dict(data["assessment"]),
        words=plain.from_plain(Words, data["words"]),
    )


# --- what is read from a run's content --------------------------------------------------------


def project(run: Run) -> list[models.Model]:
    """The rows of readings, figures and summary that a run's content gives, unsaved."""
    found = read(run)
    verdicts = {verdict.address: verdict for verdict in found.assessment.verdicts}
    kept = run.data.get("instruments", {})
    rows: list[models.Model] = []
    for reading in found.readings:
        first, _, rest = reading.address.partition(".")
        row, _, column = rest.partition(".")
        verdict = verdicts.get(reading.address)
        number = reading.number if reading.status == "measured" else None
        rows.append(
            Reading(
                run=run,
                address=reading.address,
                row=row if column else "",
                column=column or row,
                typed=reading.typed[:LONGEST_TYPED],
                typed_unit=reading.typed_unit[:LONGEST_UNIT],
                status=_status(reading, f"{first}.{column or row}" in found.words.choices),
                quantity=reading.quantity,
                value=number,
                u=reading.u if number is not None else None,
                instrument_id=kept.get(_kind(reading, found.context)),
                verdict=verdict.outcome if verdict else "",
                p=verdict.p if verdict else None,
            )
        )
    rows += [
        Figure(run=run, key=f.key, quantity=f.quantity, value=f.value, u=f.u)
        for f in found.assessment.figures
        if f.value is not None
    ]
    rows.append(
        RunSummary(
            run=run,
            pattern=found.assessment.pattern,
            where=list(found.assessment.where),
            missing=len(found.assessment.missing),
        )
    )
    return rows


def projection_faults(run: Run) -> list[str]:
    """Tables that say otherwise than the content of the run; empty when all is as written.

    For many runs, prefetch `readings` and `figures` and join `summary`.
    """
    try:
        expected = _facts(project(run))
    except (ValueError, KeyError, TypeError) as fault:
        return [f"its content can't be read: {fault}"]
    summary = [run.summary] if hasattr(run, "summary") else []
    stored = _facts([*run.readings.all(), *run.figures.all(), *summary])
    return [
        f"the table {table} says otherwise than the content"
        for table in sorted(expected.keys() | stored.keys())
        if expected.get(table, []) != stored.get(table, [])
    ]


@transaction.atomic
def rebuild(run: Run) -> None:
    """Make the tables of one run again from its content."""
    rows = project(run)
    for model in (Reading, Figure, RunSummary):
        model.objects.filter(run=run).delete()
    _save(rows)


def _save(rows: list[models.Model]) -> None:
    for model in (Reading, Figure, RunSummary):
        model.objects.bulk_create([row for row in rows if isinstance(row, model)])


def _facts(rows: Any) -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        values = {
            field.attname: getattr(row, field.attname)
            for field in row._meta.concrete_fields
            if not isinstance(field, models.AutoField)
        }
        found.setdefault(row._meta.db_table, []).append(values)
    return found


def _status(reading: Read, chosen: bool) -> str:
    """Status in the table, where only numbers count as measured."""
    if reading.status != "measured":
        return reading.status
    if reading.number is not None:
        return Reading.Status.MEASURED
    if chosen or isinstance(reading.value, bool):
        return Reading.Status.CHOICE
    return Reading.Status.TEXT


def _kind(reading: Read, context: Context) -> str:
    """Kind of the instrument that a reading was taken with, "" for none."""
    if reading.shared_with:
        return reading.shared_with.split("/", 1)[0]
    for kind, instrument in context.instruments.items():
        if instrument.name == reading.instrument and KINDS[kind][1] == reading.quantity:
            return kind
    return ""


def _typed(typed: Typed) -> dict[str, list[str]]:
    """Everything typed as [text, unit]; empty boxes are left out."""
    pairs = {a: (e, "") if isinstance(e, str) else tuple(e) for a, e in typed.items()}
    return {address: list(pair) for address, pair in pairs.items() if pair[0].strip()}


def _readings(readings: Readings) -> dict[str, Any]:
    return {
        "readings": [plain.to_plain(reading) for reading in readings],
        "rows": {key: plain.to_plain(rows) for key, rows in readings.grid_rows.items()},
        "names": dict(readings.names),
        "unticked": list(readings.unticked),
        "missing": list(readings.missing),
    }


def _words(procedure: Procedure, judged: Assessment, readings: Readings) -> Words:
    """Every label that showing this run will ask for."""
    columns = {f"given.{entry.key}": entry.label for entry in procedure.given}
    choices = {
        f"given.{entry.key}": dict(entry.choices)
        for entry in procedure.given
        if isinstance(entry, Choice)
    }
    for grid in procedure.grids:
        own = (grid.axis.file, grid.axis.called) if isinstance(grid.axis, File) else ()
        for entry in (*own, *fields_of(grid)):
            columns[f"{grid.key}.{entry.key}"] = entry.label
            if isinstance(entry, Choice):
                choices[f"{grid.key}.{entry.key}"] = dict(entry.choices)
    codes = dict.fromkeys((judged.pattern, *(item.pattern for item in judged.also)))
    pattern = procedure.pattern(judged.pattern)
    return Words(
        title=procedure.title,
        group=procedure.group,
        pattern=pattern.label,
        patterns={code: procedure.pattern(code).label for code in codes},
        sound=pattern.sound,
        direct=pattern.direct,
        confounders={code: procedure.confounder(code).text for code in judged.confounders},
        preconditions={
            item.code: item.text
            for item in procedure.preconditions
            if item.code in readings.unticked
        },
        grids={grid.key: grid.label for grid in procedure.grids},
        columns=columns,
        choices=choices,
    )
