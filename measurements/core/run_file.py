"""Judge a file of readings: strict JSON in, an assessment out, as text or as plain data."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from measurements.core import decision, plain, units
from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.judging import assess
from measurements.core.logs.file import Files, LogFile, open_log
from measurements.core.logs.text import LogRefused
from measurements.core.procedure import File, Procedure
from measurements.core.readings import Checked, layout, validate
from measurements.core.wording import places_beyond

LARGEST_FILE = 2_000_000
_KEYS = {"procedure", "about", "context", "typed"}


class ReadingsFileError(ValueError):
    """A readings file that cannot be used; the message names the file and what to mend."""

    def __init__(self, name: str, problem: str) -> None:
        super().__init__(f"{name}: {problem}")


class FaultsError(ValueError):
    """Readings of which some are impossible; `lines` name each by its place in the JSON."""

    def __init__(self, judged: Judged) -> None:
        self.lines = [
            f"typed.{fault.address}: {fault.text}"
            for fault in judged.checked.faults
            if fault.kind == "refused"
        ]
        super().__init__("\n".join(self.lines))


@dataclass(frozen=True)
class Judged:
    """A readings file with what became of it. files: what it hands over, by the key typed."""

    procedure: Procedure
    context: Context
    checked: Checked
    assessment: Assessment
    files: Files = field(default_factory=dict)


def read_json(text: str, name: str = "readings") -> Any:
    """Strict JSON: no NaN or infinity, no key twice, not nested without end."""

    def refuse_constant(constant: str) -> Any:
        raise ReadingsFileError(name, f"{constant} is no number")

    def refuse_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        if len(found) != len(pairs):
            keys = [key for key, _ in pairs]
            twice = sorted({key for key in keys if keys.count(key) > 1})
            raise ReadingsFileError(name, f"{twice} stand there twice")
        return found

    try:
        return json.loads(text, parse_constant=refuse_constant, object_pairs_hook=refuse_doubles)
    except json.JSONDecodeError as fault:
        raise ReadingsFileError(name, f"line {fault.lineno}: {fault.msg}") from fault
    except RecursionError as fault:
        raise ReadingsFileError(name, "nested too deeply") from fault
    except ReadingsFileError:
        raise
    except ValueError as fault:
        raise ReadingsFileError(name, str(fault)) from fault


def run_data(
    procedure: Procedure,
    data: Mapping[str, Any],
    name: str = "readings",
    folder: Path | None = None,
) -> Judged:
    """Judge readings that were read already: keys `typed`, and if wanted `context` and `about`.

    folder: where a file lies that the readings hand over; without it there is none.
    """
    if not isinstance(data, Mapping):
        raise ReadingsFileError(name, "the file must hold one object with a part named typed")
    unknown = sorted(set(data) - _KEYS)
    if unknown:
        raise ReadingsFileError(name, f"unknown parts {unknown}; known are {sorted(_KEYS)}")
    if data.get("procedure", procedure.name) != procedure.name:
        raise ReadingsFileError(
            name, f"holds readings of {data['procedure']!r}, not of {procedure.name!r}"
        )
    typed = data.get("typed")
    if not isinstance(typed, Mapping):
        raise ReadingsFileError(name, "there is no part named typed with readings by address")
    try:
        context = Context.from_dict(data.get("context", {}))
    except plain.NotPlainError as fault:
        raise ReadingsFileError(name, f"context: {fault}") from fault
    files = files_beside(procedure, typed, folder) if folder else {}
    checked = validate(procedure, typed, context, files)
    judgement = assess(procedure, checked.readings, context)
    return Judged(procedure, context, checked, judgement, files)


def files_beside(procedure: Procedure, typed: Mapping[str, Any], folder: Path) -> Files:
    """The files that readings name, by the name as typed: only what lies in the folder or below."""
    found: dict[str, LogFile | LogRefused] = {}
    for grid in procedure.grids:
        if not isinstance(grid.axis, File):
            continue
        name = typed.get(f"{grid.key}.{grid.axis.file.key}")
        if not isinstance(name, str) or not name.strip():
            continue
        key = name.strip()
        try:
            path = (folder / key).resolve()
            if not path.is_relative_to(folder.resolve()):
                raise LogRefused("The file must lie beside the readings, or in a folder there.")
            found[key] = open_log(path)
        except LogRefused as refusal:
            found[key] = refusal
        except (OSError, ValueError) as fault:
            why = getattr(fault, "strerror", None) or "that is no name of a file"
            found[key] = LogRefused(f"The file “{key[:60]}” cannot be read: {why}.")
    return found


def run_file(procedure: Procedure, path: Path) -> Judged:
    """Judge a readings file; raises ReadingsFileError if it cannot be read."""
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise ReadingsFileError(path.name, f"is larger than {LARGEST_FILE} bytes")
        text = path.read_text(encoding="utf-8")
    except OSError as fault:
        raise ReadingsFileError(path.name, f"cannot be read: {fault.strerror}") from fault
    except UnicodeDecodeError as fault:
        raise ReadingsFileError(path.name, f"is not UTF-8 text at byte {fault.start}") from fault
    return run_data(procedure, read_json(text, path.name), path.name, path.parent)


def as_text(judged: Judged) -> str:
    """The assessment for a terminal."""
    procedure, context, result = judged.procedure, judged.context, judged.assessment
    lines = [procedure.title, "=" * len(procedure.title), ""]
    for fault in judged.checked.faults:
        mark = "Not taken" if fault.kind == "refused" else "To look at"
        lines.append(f"{mark}: {fault.address}: {fault.text}")
    seen = procedure.pattern(result.pattern).label
    lines += ["", f"Seen: {seen}"]
    if places := _places(judged, seen, result.where):
        lines.append(f"Where: {places}")
    for item in result.also:
        label = procedure.pattern(item.pattern).label
        places = _places(judged, label, item.where)
        lines.append(f"Also: {label}: {places}" if places else f"Also: {label}")
    lines.append("")
    for sentence in result.technician:
        lines.append(sentence.text)
    lines += ["", "Readings"]
    for verdict in result.verdicts:
        reading = judged.checked.readings.get(verdict.address)
        if reading:
            value = reading.understood
        elif verdict.value is not None:
            value = units.show(verdict.value, verdict.u, verdict.quantity, context.units)
        else:
            value = ""
        lines.append(
            f"  {verdict.label}: {value}: {decision.verdict_words(verdict, context.units)}"
        )
    if result.figures:
        lines += ["", "Computed"]
        for figure in result.figures:
            shown = (
                figure.absent_because
                if figure.value is None
                else units.show(
                    figure.value, figure.u, figure.quantity, context.units, unit=figure.unit
                )
            )
            lines.append(f"  {figure.label}: {shown}")
    if result.confounders:
        lines += ["", "Proves less because"]
        lines += [f"  {procedure.confounder(code).text}" for code in result.confounders]
    if result.missing:
        made = layout(procedure, context, judged.checked.typed)
        labels = {slot.address: slot.full_label for slot in made.slots}
        lines += ["", "Not entered"]
        lines += [f"  {labels.get(address, address)}" for address in result.missing]
    lines += ["", "For the customer"]
    lines += [f"  {sentence.text}" for sentence in result.customer]
    lines += ["", f"Accepted risk of a wrong verdict: {decision.chance_in_words(context.risk)}."]
    return "\n".join(lines)


def _places(judged: Judged, pattern: str, codes: Iterable[str]) -> str:
    return places_beyond(pattern, (row_label(judged, code) for code in codes))


def row_label(judged: Judged, code: str) -> str:
    """What people call a row, by its code."""
    for grid in judged.procedure.grids:
        for row in judged.checked.readings.rows(grid.key):
            if row.code == code:
                return row.label
    return code
