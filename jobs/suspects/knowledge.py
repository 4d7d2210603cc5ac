"""The tables of suspects that stand in `jobs/knowledge`, one file for each family of complaints."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

from jobs import words
from jobs.suspects.gather import COMPLAINT
from jobs.suspects.odds import UNDECIDED
from jobs.suspects.tables import Fault, Read, Table, read
from measurements.core.procedure import Choice, Free, Procedure
from measurements.procedures import PROCEDURES

FOLDER = Path(__file__).resolve().parents[1] / "knowledge"


def outcomes() -> dict[str, Sequence[str]]:
    """Every kind of evidence with its outcomes: the patterns of each procedure but "undecided", for
    each thing too that it can be made on ("voltage_drop:starter_feed"), and the answers to each
    question about a complaint but those that tell nothing."""
    found: dict[str, Sequence[str]] = {}
    for procedure in PROCEDURES.values():
        seen = [p.code for p in procedure.patterns if p.code != UNDECIDED]
        names = [procedure.name, *(f"{procedure.name}:{code}" for code in subjects(procedure))]
        found |= dict.fromkeys(names, seen)
    silent = {words.NOT_ASKED, words.DONT_KNOW}
    return found | {
        COMPLAINT + condition.name: [c for c in condition.answers.codes if c not in silent]
        for condition in words.CONDITIONS.values()
    }


def subjects(procedure: Procedure) -> Mapping[str, str]:
    """What a procedure can be made on, by code, where its rows hang on that choice: {} for most."""
    by = next((g.axis.by for g in procedure.grids if isinstance(g.axis, Free) and g.axis.by), "")
    asked = next((entry for entry in procedure.given if entry.key == by), None)
    return asked.choices if isinstance(asked, Choice) else {}


def sound_outcomes() -> dict[str, str]:
    """Procedure -> its pattern that means that nothing unusual was seen."""
    return {procedure.name: procedure.sound.code for procedure in PROCEDURES.values()}


def read_all(folder: Path = FOLDER) -> list[Read]:
    """Every file of the folder, read and checked, by name."""
    known = outcomes()
    return [read(path, known) for path in sorted(folder.glob("*.toml"))]


@cache
def tables() -> Mapping[str, Table]:
    """Family -> its table; files with a fault are left out (the system check names them)."""
    return {found.table.family: found.table for found in read_all() if found.table}


def faults(folder: Path = FOLDER) -> list[Fault]:
    """All that is wrong in the folder, families that don't exist among it."""
    found = []
    families = set(words.FAMILY.codes)
    for one in read_all(folder):
        found += one.faults
        if Path(one.file).stem not in families:
            found.append(Fault(one.file, 1, "there is no such family of complaints"))
    return found
