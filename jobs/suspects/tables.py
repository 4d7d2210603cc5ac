"""Tables of suspects: one TOML file for each family of complaints, read and checked.

A table lists suspects with whole numbers as starting weights, and for each kind of evidence how
likely each outcome is. `otherwise` is the row of every suspect that the evidence does not touch
and names each outcome; a suspect's own row names only the outcomes that it changes, the others
share what is left in the proportions of `otherwise`. Numbers are per cent, and the shop's judgement
unless a table says that they were counted.
"""

from __future__ import annotations

import hashlib
import math
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

FORMAT = 1
UNLISTED, NOTHING = "unlisted", "nothing"
"""Codes of what is always possible: something not on the list; nothing that these tests show."""

OWN = "own:"
"""Before the uid of a suspect that a technician added to a complaint."""

FLOOR = 0.01
"""No outcome is less likely than this under any suspect: a zero could never be taken back."""

LEAST_SUSPECTS, MOST_SUSPECTS = 6, 14

_SUSPECT_KEYS = {"label", "customer", "start", "counted", "parts", "safety", "costly", "why"}
_CODE = re.compile(r"[a-z][a-z0-9_]*")

Row = Mapping[str, float]


@dataclass(frozen=True)
class Fault:
    """Something wrong in a table: the file, the line (from 1) and what to put right."""

    file: str
    line: int
    text: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.text}"


def entropy(shares: Mapping[str, float]) -> float:
    """Uncertainty of a distribution, in bits.

    >>> entropy({"a": 0.5, "b": 0.5})
    1.0
    """
    return -sum(p * math.log2(p) for p in shares.values() if p > 0)


@dataclass(frozen=True)
class Suspect:
    """A possible cause. start: weight before any evidence; parts: what is swapped for it; safety:
    stays in view however unlikely; costly: its repair can't be undone or costs much."""

    code: str
    label: str
    customer: str
    start: int
    parts: tuple[str, ...] = ()
    safety: bool = False
    costly: bool = False
    counted: bool = False
    why: str = ""


@dataclass(frozen=True)
class Evidence:
    """How likely each outcome of a kind of evidence is, suspect by suspect; each row sums to 1."""

    key: str
    otherwise: Row
    rows: Mapping[str, Row]
    why: str = ""

    @cached_property
    def uncertainties(self) -> dict[str, float]:
        """Uncertainty of each row's outcomes, in bits; "" is the row `otherwise`."""
        rows = {"": self.otherwise, **self.rows}
        return {name: entropy(row) for name, row in rows.items()}

    def row(self, suspect: str) -> Row:
        """The row that holds for this suspect."""
        return self.rows.get(suspect, self.otherwise)


@dataclass(frozen=True)
class Table:
    """The knowledge of one family."""

    family: str
    suspects: tuple[Suspect, ...]
    evidence: Mapping[str, Evidence]
    digest: str = ""

    @cached_property
    def starts(self) -> dict[str, float]:
        """Odds before any evidence, as shares of 1."""
        total = sum(suspect.start for suspect in self.suspects)
        return {suspect.code: suspect.start / total for suspect in self.suspects}

    def suspect(self, code: str) -> Suspect:
        """The suspect of this code; raises KeyError."""
        return next(one for one in self.suspects if one.code == code) if code in self else _no(code)

    def __contains__(self, code: object) -> bool:
        return any(one.code == code for one in self.suspects)

    def key_for(self, name: str, subject: str = "", state: str = "") -> str:
        """The kind of evidence whose rows speak on a test: the nearest to what it was made on and
        in which state; "" where there is none.

        >>> Table("f", (), {"cranking@hot": None, "cranking": None}).key_for("cranking", "", "hot")
        'cranking@hot'
        """
        part, at = f":{subject}" if subject else "", f"@{state}" if state else ""
        nearest = (name + part + at, name + part, name + at, name)
        return next((key for key in nearest if key in self.evidence), "")


def source_of(key: str) -> str:
    """The procedure or condition whose outcomes a kind of evidence has.

    >>> source_of("voltage_drop:starter_feed@hot")
    'voltage_drop'
    """
    return key.partition("@")[0].partition(":")[0]


def _no(code: str) -> Suspect:
    raise KeyError(code)


@dataclass
class Read:
    """A file as it was read: its table, None where it can't be used, and all that is wrong."""

    file: str
    table: Table | None = None
    faults: list[Fault] = field(default_factory=list)


def read(path: Path, outcomes: Mapping[str, Sequence[str]]) -> Read:
    """Read and check one file.

    outcomes: kind of evidence ("cranking", "complaint.since_when") -> its outcomes. What the test
    was made on and the state of the car may follow the name ("voltage_drop:starter_feed@hot").
    """
    raw = path.read_bytes()
    return read_text(raw.decode("utf-8", "replace"), path.name, outcomes, raw)


def read_text(
    text: str, name: str, outcomes: Mapping[str, Sequence[str]], raw: bytes | None = None
) -> Read:
    """The same of text; `name` is the file's, whose stem must be the family's code."""
    found = Read(name)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        found.faults.append(no_toml(name, fault))
        return found
    checker = _Checker(name, text, data, outcomes)
    found.faults = list(checker.faults())
    if not found.faults:
        digest = hashlib.sha256(raw if raw is not None else text.encode()).hexdigest()
        found.table = _table(data, digest)
    return found


def no_toml(name: str, fault: tomllib.TOMLDecodeError) -> Fault:
    """A file that can't be read at all, at the line that the reader names."""
    at = re.search(r"line (\d+)", str(fault))
    return Fault(name, int(at[1]) if at else 1, f"no TOML: {fault}")


def _table(data: Mapping[str, Any], digest: str) -> Table:
    listed = [_suspect(code, told) for code, told in data["suspect"].items()]
    always = [
        Suspect(UNLISTED, "something not on this list", "something else", data[UNLISTED]["start"]),
        Suspect(
            NOTHING,
            "nothing wrong that these tests show",
            "nothing that these tests show",
            data[NOTHING]["start"],
        ),
    ]
    evidence = {key: _evidence(key, told) for key, told in data.get("evidence", {}).items()}
    return Table(data["family"], (*listed, *always), evidence, digest)


def _suspect(code: str, told: Mapping[str, Any]) -> Suspect:
    return Suspect(
        code=code,
        label=told["label"],
        customer=told.get("customer", told["label"]),
        start=told["start"],
        parts=tuple(told.get("parts", ())),
        safety=told.get("safety", False),
        costly=told.get("costly", False),
        counted=told.get("counted", False),
        why=told.get("why", ""),
    )


def _evidence(key: str, told: Mapping[str, Any]) -> Evidence:
    otherwise = {outcome: number / 100 for outcome, number in told["otherwise"].items()}
    rows = {
        suspect: spread(row, otherwise)
        for suspect, row in told.items()
        if suspect not in ("otherwise", "why")
    }
    return Evidence(key, otherwise, rows, told.get("why", ""))


def spread(named: Mapping[str, float], otherwise: Row) -> dict[str, float]:
    """A whole row out of the outcomes that it names, in per cent: the others share what is left as
    `otherwise` has them, none below FLOOR; what that takes comes off the named ones in proportion.

    >>> spread({"high": 60}, {"sound": 0.9, "high": 0.06, "pulsing": 0.04})["sound"] > 0.38
    True
    """
    row = {outcome: number / 100 for outcome, number in named.items()}
    left = 1 - sum(row.values())
    others = {outcome: p for outcome, p in otherwise.items() if outcome not in row}
    share = sum(others.values())
    for outcome, p in others.items():
        row[outcome] = max(FLOOR, left * p / share)
    total = sum(row.values())
    return {outcome: row[outcome] / total for outcome in otherwise}


class _Checker:
    """All that is wrong in a file, each with its line."""

    def __init__(
        self,
        name: str,
        text: str,
        data: Mapping[str, Any],
        outcomes: Mapping[str, Sequence[str]],
    ) -> None:
        self.name, self.text, self.data, self.outcomes = name, text, data, outcomes

    @cached_property
    def _lines(self) -> dict[tuple[str, ...], int]:
        """Looked for only when there is a fault to place: a right table is read at each start."""
        return lines_of(self.text)

    def fault(self, path: tuple[str, ...], text: str) -> Fault:
        """A fault at a key; where the key is not written, at the nearest one above it."""
        while path and path not in self._lines:
            path = path[:-1]
        return Fault(self.name, self._lines.get(path, 1), text)

    def faults(self) -> Iterator[Fault]:
        """Each of them."""
        if self.data.get("format") != FORMAT:
            yield self.fault(("format",), f"format must be {FORMAT}")
        if self.data.get("family") != Path(self.name).stem:
            yield self.fault(("family",), "family must be the file's own name")
        for key in self.data:
            if key not in {"family", "format", "suspect", UNLISTED, NOTHING, "evidence"}:
                yield self.fault((key,), f"“{key}” is no part of a table")
        yield from self._suspects()
        evidence = self.data.get("evidence", {})
        if not isinstance(evidence, Mapping):
            yield self.fault(("evidence",), "evidence must be tables")
            return
        for key, told in evidence.items():
            yield from self._evidence(key, told)

    def _suspects(self) -> Iterator[Fault]:
        suspects = self.data.get("suspect")
        if not isinstance(suspects, Mapping) or not suspects:
            yield self.fault(("suspect",), "there is no suspect")
            return
        if not LEAST_SUSPECTS <= len(suspects) <= MOST_SUSPECTS:
            yield self.fault(
                ("suspect",),
                f"{len(suspects)} suspects: a family has {LEAST_SUSPECTS} to {MOST_SUSPECTS}",
            )
        for code, told in suspects.items():
            at = ("suspect", code)
            if not _CODE.fullmatch(code) or code in (UNLISTED, NOTHING):
                yield self.fault(at, f"“{code}” can't be a suspect's code")
            if not isinstance(told, Mapping):
                yield self.fault(at, "a suspect is a table")
                continue
            for key in set(told) - _SUSPECT_KEYS:
                yield self.fault((*at, key), f"“{key}” is no part of a suspect")
            if not isinstance(told.get("label"), str) or not told["label"].strip():
                yield self.fault(at, "a suspect needs a label")
            yield from self._start(at, told)
        for code in (UNLISTED, NOTHING):
            told = self.data.get(code)
            if not isinstance(told, Mapping):
                yield self.fault((code,), f"[{code}] with its start is missing")
            else:
                yield from self._start((code,), told)

    def _start(self, at: tuple[str, ...], told: Mapping[str, Any]) -> Iterator[Fault]:
        start = told.get("start")
        if not isinstance(start, int) or isinstance(start, bool) or not 0 < start <= 1000:
            yield self.fault((*at, "start"), "start must be a whole number from 1 to 1000")

    def _evidence(self, key: str, told: Any) -> Iterator[Fault]:
        at = ("evidence", key)
        known = self.outcomes.get(key.partition("@")[0])
        if known is None:
            yield self.fault(at, f"nothing gives evidence called “{key}”")
            return
        if not isinstance(told, Mapping) or not isinstance(told.get("otherwise"), Mapping):
            yield self.fault(at, "the row “otherwise” is missing")
            return
        if UNLISTED not in told:
            yield self.fault(at, f"the row “{UNLISTED}” is missing")
        suspects = {*self.data.get("suspect", {}), UNLISTED}
        for row, numbers in told.items():
            where = (*at, row)
            if row == "why":
                continue
            if row != "otherwise" and row not in suspects:
                yield self.fault(where, f"“{row}” is no suspect of this table")
            if not isinstance(numbers, Mapping):
                yield self.fault(where, "a row is outcomes with their per cent")
                continue
            yield from self._row(where, row, numbers, known)

    def _row(
        self, where: tuple[str, ...], row: str, numbers: Mapping[str, Any], known: Sequence[str]
    ) -> Iterator[Fault]:
        for outcome, number in numbers.items():
            if outcome not in known:
                yield self.fault(where, f"“{outcome}” is no outcome of it")
            if not isinstance(number, int) or isinstance(number, bool) or not 1 <= number <= 99:
                yield self.fault(where, f"{outcome}: {number!r} is no whole per cent from 1 to 99")
                return
        total = sum(numbers.values())
        if row != "otherwise":
            unnamed = len(set(known) - set(numbers))
            if total + unnamed * FLOOR * 100 > 100 or (not unnamed and total != 100):
                yield self.fault(where, f"sums to {total}: the {unnamed} others need their share")
            return
        lacking = [outcome for outcome in known if outcome not in numbers]
        if lacking:
            yield self.fault(where, f"lacks {', '.join(lacking)}")
        elif total != 100:
            yield self.fault(where, f"sums to {total}, not to 100")


_HEAD = re.compile(r"^\s*\[(?!\[)(.+?)\]\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*((?:"[^"]*"|'[^']*'|[A-Za-z0-9_-]+)(?:\s*\.\s*\S+?)*)\s*=""")
_PART = re.compile(r"""\s*(?:"([^"]*)"|'([^']*)'|([A-Za-z0-9_-]+))\s*(?:\.|$)""")


def lines_of(text: str) -> dict[tuple[str, ...], int]:
    """Where each key of a TOML text stands: path of keys -> line, from 1.

    >>> lines_of('a = 1\\n[b."c.d"]\\ne = 2')[("b", "c.d", "e")]
    3
    """
    found: dict[tuple[str, ...], int] = {}
    head: tuple[str, ...] = ()
    for number, line in enumerate(text.splitlines(), 1):
        if match := _HEAD.match(line):
            head = _parts(match[1])
            for end in range(1, len(head) + 1):
                found.setdefault(head[:end], number)
        elif match := _KEY.match(line):
            found.setdefault((*head, *_parts(match[1])), number)
    return found


def _parts(keys: str) -> tuple[str, ...]:
    return tuple(next(p for p in match if p is not None) for match in _matches(keys))


def _matches(keys: str) -> Iterator[tuple[str | None, str | None, str | None]]:
    for match in _PART.finditer(keys.strip()):
        yield match[1], match[2], match[3]
