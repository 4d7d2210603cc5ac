"""The odds with which a family's suspects start here: the shop's own weights before the table's."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from jobs.models import StartingOdds
from jobs.suspects.knowledge import tables
from jobs.suspects.tables import Suspect, Table

Standing = Mapping[str, StartingOdds]


@dataclass(frozen=True)
class Weight:
    """A suspect's weight before any evidence. own: the row that counts in place of the table's
    number; share: of all the family's weights, 0 to 1."""

    suspect: Suspect
    own: StartingOdds | None
    share: float

    @property
    def start(self) -> int:
        """The weight that counts, on the table's scale."""
        return _start(self.suspect, self.own)


def standing_of(family: str) -> dict[str, StartingOdds]:
    """Suspect -> the row that counts, suspects that the table no longer has among them."""
    return StartingOdds.objects.filter(family=family).standing().get(family, {})


def starts_of(family: str) -> dict[str, float]:
    """Suspect -> share of 1 before any evidence, as `jobs.suspects.odds.update` takes it. Raises
    KeyError where the family has no table."""
    return starts(tables()[family], standing_of(family))


def starts(table: Table, standing: Standing) -> dict[str, float]:
    """The same where table and rows are at hand."""
    return {one.suspect.code: one.share for one in weights_of(table, standing)}


def weights_of(table: Table, standing: Standing) -> list[Weight]:
    """Every suspect of a table with its weight, in the table's order. standing: the family's rows
    that count."""
    numbers = {one.code: _start(one, standing.get(one.code)) for one in table.suspects}
    total = sum(numbers.values())
    return [
        Weight(one, standing.get(one.code), numbers[one.code] / total) for one in table.suspects
    ]


def _start(suspect: Suspect, own: StartingOdds | None) -> int:
    return own.start if own is not None and own.start is not None else suspect.start


def judged(table: Table) -> dict[str, int]:
    """Suspect -> weight by judgement alone: the shop's latest that was not counted, else the
    table's. What was counted is added to these, so that no case counts twice."""
    rows = StartingOdds.objects.filter(family=table.family, counted=False)
    own = rows.standing().get(table.family, {})
    return {one.code: _start(one, own.get(one.code)) for one in table.suspects}


def gone_from(table: Table, standing: Standing) -> list[str]:
    """Suspects to which the shop gave a weight and which the table no longer has: these weights
    count for nothing."""
    return sorted(code for code in standing if code not in table)


def digest_of(family: str) -> str:
    """Which numbers a judgement is made with now. Raises KeyError where the family has no table."""
    return digest(tables()[family], standing_of(family))


def digest(table: Table, standing: Standing) -> str:
    """Which numbers a judgement was made with: SHA-256 over the table's digest and, for each own
    weight that counts, the suspect with the uid of the entry that set it."""
    lines = [f"{code} {standing[code].entry.uid}" for code in sorted(standing) if code in table]
    return hashlib.sha256("\n".join([table.digest, *lines]).encode()).hexdigest()
