"""Worked cases from published descriptions, and what the tables conclude from each.

A case is one file of `fixtures/worked_cases`: what was told, what tests showed in the order in
which they were made, what the cause proved to be, and where that was published. No table was made
from them: what was seen is put in our outcomes first, and how that was done stands in each file.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from jobs.reasoning.stop import stand
from jobs.suspects.gather import COMPLAINT, Made, Told, gather
from jobs.suspects.odds import update
from jobs.suspects.pairs import weigh_pairs
from jobs.suspects.tables import Fault, Table, lines_of, no_toml, source_of
from measurements.procedures import PROCEDURES

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "worked_cases"

READ = ("read", "from memory")
"""Whether the source was opened for the case, or what it says was known."""

TEXTS = ("family", "title", "story", "source", "translated")
_KEYS = {*TEXTS, "read", "cause", "told", "tests"}
_TEST_KEYS = {"procedure", "pattern", "note", "weight", "part", "state"}

MOST_CAUSES = 2


@dataclass(frozen=True)
class CaseTest:
    """A test of a case. weight: what of it is left, from 1 whole to above 0, where it was no full
    test; part: what was tried in its place; state: of the car, as in the tables."""

    procedure: str
    pattern: str
    note: str
    weight: float = 1.0
    part: str = ""
    state: str = ""


@dataclass(frozen=True)
class Case:
    """One worked case. causes: codes of suspects, two where two faults were found; translated: how
    what was published became our outcomes; read: one of READ."""

    slug: str
    family: str
    title: str
    told: Mapping[str, tuple[str, ...]]
    tests: tuple[CaseTest, ...]
    causes: tuple[str, ...]
    story: str
    source: str
    read: str
    translated: str


@dataclass
class ReadCase:
    """A file as it was read: its case, None where it can't be used, and all that is wrong."""

    file: str
    case: Case | None = None
    faults: list[Fault] = field(default_factory=list)


def read_all(
    tables: Mapping[str, Table], outcomes: Mapping[str, Sequence[str]], folder: Path = FOLDER
) -> list[ReadCase]:
    """Every case of the folder, by name."""
    return [
        read_text(path.read_text("utf-8"), path.name, tables, outcomes)
        for path in sorted(folder.glob("*.toml"))
    ]


def read_text(
    text: str, name: str, tables: Mapping[str, Table], outcomes: Mapping[str, Sequence[str]]
) -> ReadCase:
    """Read and check one case.

    tables: family -> its table; outcomes: procedure or "complaint." and condition -> what can be
    said of it.
    """
    found = ReadCase(name)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        found.faults.append(no_toml(name, fault))
        return found
    checker = _Checker(name, text, data, tables, outcomes)
    found.faults = list(checker.faults())
    if not found.faults:
        found.case = _case(Path(name).stem, data)
    return found


def _case(slug: str, data: Mapping[str, Any]) -> Case:
    texts = {key: _one_line(data[key]) for key in TEXTS}
    return Case(
        slug,
        told={name: tuple(codes) for name, codes in data["told"].items()},
        tests=tuple(CaseTest(**test) for test in data["tests"]),
        causes=_causes(data["cause"]),
        read=data["read"],
        **texts,
    )


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _causes(cause: Any) -> tuple[str, ...]:
    return (cause,) if isinstance(cause, str) else tuple(cause)


class _Checker:
    """All that is wrong in a case, each with its line."""

    def __init__(
        self,
        name: str,
        text: str,
        data: Mapping[str, Any],
        tables: Mapping[str, Table],
        outcomes: Mapping[str, Sequence[str]],
    ) -> None:
        self.name, self.data, self.tables, self.outcomes = name, data, tables, outcomes
        self._lines = lines_of(text)
        self._tests = [
            number
            for number, line in enumerate(text.splitlines(), 1)
            if line.strip().startswith("[[tests]]")
        ]

    def faults(self) -> Iterator[Fault]:
        """Each of them."""
        yield from self._texts()
        yield from self._cause()
        yield from self._told()
        yield from self._made()

    def _fault(self, path: tuple[str, ...], text: str) -> Fault:
        while path and path not in self._lines:
            path = path[:-1]
        return Fault(self.name, self._lines.get(path, 1), text)

    def _texts(self) -> Iterator[Fault]:
        for key in self.data:
            if key not in _KEYS:
                yield self._fault((key,), f"“{key}” is no part of a case")
        for key in TEXTS:
            text = self.data.get(key)
            if not isinstance(text, str) or not text.strip():
                yield self._fault((key,), f"{key} is missing")
        if self.data.get("read") not in READ:
            yield self._fault(("read",), f"read must be “{READ[0]}” or “{READ[1]}”")

    def _cause(self) -> Iterator[Fault]:
        family = self.data.get("family")
        table = self.tables.get(family) if isinstance(family, str) else None
        if table is None:
            yield self._fault(("family",), f"there is no table of “{family}”")
            return
        cause = self.data.get("cause")
        causes = _causes(cause) if isinstance(cause, (str, list)) else ()
        if not 0 < len(set(causes)) == len(causes) <= MOST_CAUSES:
            yield self._fault(("cause",), f"a case has one cause, or {MOST_CAUSES} unlike ones")
        for code in causes:
            if code not in table:
                yield self._fault(("cause",), f"“{code}” is no suspect of “{table.family}”")

    def _told(self) -> Iterator[Fault]:
        told = self.data.get("told")
        if not isinstance(told, Mapping):
            yield self._fault(("told",), "[told] is missing: leave it empty where nothing was told")
            return
        for condition, codes in told.items():
            at = ("told", condition)
            known = self.outcomes.get(COMPLAINT + condition)
            if known is None:
                yield self._fault(at, f"“{condition}” is no question about a complaint")
                continue
            if not isinstance(codes, list) or not codes:
                yield self._fault(at, f"{condition}: a list of answers")
                continue
            for code in codes:
                if code not in known:
                    yield self._fault(at, f"“{code}” is no answer to “{condition}”")

    def _made(self) -> Iterator[Fault]:
        tests = self.data.get("tests")
        if not isinstance(tests, list) or not tests:
            yield self._fault(("tests",), "there is no test")
            return
        for number, test in enumerate(tests):
            line = self._tests[number] if number < len(self._tests) else 1
            for text in self._test(test):
                yield Fault(self.name, line, text)

    def _test(self, test: Any) -> Iterator[str]:
        if not isinstance(test, Mapping):
            yield "a test is a table"
            return
        for key in test:
            if key not in _TEST_KEYS:
                yield f"“{key}” is no part of a test"
        procedure, pattern = test.get("procedure"), test.get("pattern")
        known = self.outcomes.get(procedure) if isinstance(procedure, str) else None
        if known is None or procedure not in PROCEDURES:
            yield f"there is no test called “{procedure}”"
        elif pattern not in known:
            yield f"“{pattern}” is no outcome of “{procedure}” that decides anything"
        if not isinstance(test.get("note"), str) or not test["note"].strip():
            yield "note is missing: what was seen"
        weight = test.get("weight", 1.0)
        if not isinstance(weight, (int, float)) or isinstance(weight, bool) or not 0 < weight <= 1:
            yield f"weight: {weight!r} is not above 0 and at most 1"
        for key in ("part", "state"):
            if not isinstance(test.get(key, ""), str):
                yield f"{key} must be text"


@dataclass(frozen=True)
class Conclusion:
    """What the tables make of a case.

    first: what is put first, the pair of suspects that beats each single one or else the likeliest;
    share: of that, from 0 to 1; ranks: place of each true cause among single suspects, from 1;
    enough: whether the program would say that it may be acted on; counted: tests that moved
    anything.
    """

    case: Case
    first: tuple[str, ...]
    share: float
    leading: tuple[tuple[str, float], ...]
    ranks: Mapping[str, int]
    pair: tuple[str, str] | None
    enough: bool
    counted: int

    @property
    def agreed(self) -> bool:
        """Just the true cause is put first, of two faults both."""
        return set(self.first) == set(self.case.causes)


LEADING = 3
"""How many suspects are named in a conclusion."""


def conclude(case: Case, table: Table) -> Conclusion:
    """What follows from what was told and tested, as on a ticket with that evidence."""
    gathered = gather(table, tests=_tests(case), answers=_answers(case))
    odds = update(table, gathered.pieces)
    joint = weigh_pairs(table, gathered.pieces, _sound(table))
    best, order = joint.best, odds.leading
    stands = stand(table, odds, table.starts, separable=True, direct=_direct)
    return Conclusion(
        case,
        first=best or (order[0],),
        share=joint.pair[best] if best else odds.shares[order[0]],
        leading=tuple((code, odds.shares[code]) for code in order[:LEADING]),
        ranks={code: order.index(code) + 1 for code in case.causes},
        pair=best,
        enough=stands.state == "act",
        counted=sum(not piece.key.startswith(COMPLAINT) for piece in odds.pieces),
    )


def _tests(case: Case) -> list[Made]:
    return [
        Made(
            source=number,
            procedure=test.procedure,
            outcome=test.pattern,
            state=test.state,
            weight=test.weight,
            group=PROCEDURES[test.procedure].evidence_group,
            part=test.part,
        )
        for number, test in enumerate(case.tests, 1)
    ]


def _answers(case: Case) -> list[Told]:
    """The answers, told before any test."""
    return [Told(0, condition, codes) for condition, codes in case.told.items()]


def _sound(table: Table) -> dict[str, str]:
    """Kind of evidence -> its outcome that means that nothing unusual was seen."""
    return {
        key: PROCEDURES[name].sound.code if (name := source_of(key)) in PROCEDURES else ""
        for key in table.evidence
    }


def _direct(procedure: str, outcome: str) -> bool:
    return PROCEDURES[procedure].pattern(outcome).direct
