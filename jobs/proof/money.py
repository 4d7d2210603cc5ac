"""Money in parts that changed no reading, parts fitted twice, and how parts do by condition: counts
and sums for the owner's eyes, from swaps of this shop. Never printed in a report."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from jobs.proof.parts import alike
from shop.money import Money

FEW = 5
"""Fewer than that say nothing about a kind of part (judgement)."""

AGAIN_IN_ANY_CASE = frozenset({"due", "renewed_when_opened", "customer_asks"})
"""Reasons for which the same part comes up again on a car without anything being wrong with it."""


@dataclass(frozen=True)
class Fitting:
    """One swap as it is counted. ticket, car: keys; parts: its names; cost: None where it is not
    written down; wasted: why it counts as money that changed no reading, "" where it doesn't;
    cured: False where what came of it shows that it did not cure."""

    uid: str
    ticket: int
    car: int
    parts: tuple[str, ...]
    at: datetime
    reason: str
    condition: str = ""
    cost: Money | None = None
    wasted: str = ""
    cured: bool | None = None


@dataclass(frozen=True)
class Total:
    """What several parts cost: a sum for each currency; unknown: parts whose cost nobody wrote
    down, which is not nought."""

    parts: int
    sums: tuple[Money, ...]
    unknown: int


@dataclass(frozen=True)
class Twice:
    """A part that was fitted to a car, and again on a later visit."""

    first: Fitting
    again: Fitting

    @property
    def days(self) -> int:
        """Days between the two."""
        return (self.again.at - self.first.at).days


@dataclass(frozen=True)
class OfCondition:
    """How parts of one condition did. condition: its code, "" where it is not said."""

    condition: str
    fitted: int
    not_cured: int
    again: int
    failed: int

    @property
    def too_few(self) -> bool:
        """So few that their share says nothing."""
        return self.fitted < FEW


def total(fittings: Iterable[Fitting]) -> Total:
    """What they cost in all, currency by currency: two of them are never added."""
    sums: dict[str, Money] = {}
    parts = unknown = 0
    for one in fittings:
        parts += 1
        if one.cost is None:
            unknown += 1
        else:
            currency = one.cost.currency
            sums[currency] = sums.get(currency, Money(0, currency)) + one.cost
    return Total(parts, tuple(sums[currency] for currency in sorted(sums)), unknown)


def fitted_twice(fittings: Iterable[Fitting]) -> list[Twice]:
    """Each part that came up again on its car on a later visit, with the time before. What is due,
    must be renewed or was asked for comes again in any case, and does not count."""
    earlier: dict[int, list[Fitting]] = {}
    found = []
    for one in sorted(fittings, key=lambda fitting: (fitting.at, fitting.uid)):
        before = earlier.setdefault(one.car, [])
        if one.reason not in AGAIN_IN_ANY_CASE:
            last = next((old for old in reversed(before) if _same_part(old, one)), None)
            if last is not None:
                found.append(Twice(last, one))
        before.append(one)
    return found


def _same_part(old: Fitting, new: Fitting) -> bool:
    if old.ticket == new.ticket:
        return False
    return any(alike(one, other) for one in old.parts for other in new.parts)


def by_condition(
    fittings: Sequence[Fitting], again: Collection[str], order: Sequence[str]
) -> list[OfCondition]:
    """How parts did, new, rebuilt or used. again: uids of those that were replaced on a later
    visit; order: the codes of conditions. One that did not cure and was replaced counts once."""
    found = []
    for code in (*order, ""):
        of_it = [one for one in fittings if one.condition == code]
        if not of_it:
            continue
        not_cured = {one.uid for one in of_it if one.cured is False}
        replaced = {one.uid for one in of_it if one.uid in again}
        failed = len(not_cured | replaced)
        found.append(OfCondition(code, len(of_it), len(not_cured), len(replaced), failed))
    return found
