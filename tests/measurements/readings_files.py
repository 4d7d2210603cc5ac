"""The readings files of all procedures, with what is expected of each."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from measurements.core.run_file import Judged, run_file
from measurements.procedures import PROCEDURES

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "readings"


@dataclass(frozen=True)
class Case:
    """A readings file and its expectation."""

    procedure: str
    name: str

    @property
    def path(self) -> Path:
        return FOLDER / self.procedure / f"{self.name}.json"

    @property
    def expected(self) -> dict[str, Any]:
        text = self.path.with_name(f"{self.name}.expected.json").read_text(encoding="utf-8")
        return json.loads(text)

    @property
    def data(self) -> dict[str, Any]:
        return json.loads(self.path.read_text(encoding="utf-8"))

    @cache  # noqa: B019 - as many as there are files, for as long as the tests run
    def judged(self) -> Judged:
        return run_file(PROCEDURES[self.procedure], self.path)

    def __str__(self) -> str:
        return f"{self.procedure}-{self.name}"


def cases(procedure: str) -> list[Case]:
    """The readings files of one procedure, by name."""
    return [
        Case(procedure, path.stem)
        for path in sorted((FOLDER / procedure).glob("*.json"))
        if not path.name.endswith(".expected.json")
    ]


def all_cases() -> Iterator[Case]:
    """Every readings file of every procedure."""
    for name in PROCEDURES:
        yield from cases(name)
