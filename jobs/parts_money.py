"""The owner's page on parts: what changed no reading, what was fitted twice, how parts do by
condition. Each outcome is worked out anew from the record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Min
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import words
from jobs.models import Swap
from jobs.proof.money import Fitting, OfCondition, Total, Twice, by_condition, fitted_twice, total
from jobs.proof.of_swap import Proof, records_of
from jobs.proof.outcome import NOT_CURED
from shop.models import Car
from shop.money import Money

WHY_WASTED = ("no_change", "never_shown")


@dataclass(frozen=True)
class Line:
    """One part on the page. cost: shown, "" where it is not written down."""

    part: str
    car: str
    number: str
    url: str
    at: datetime
    reason: str
    cost: str


@dataclass(frozen=True)
class Group:
    """Parts that count for one reason, with what they cost."""

    code: str
    lines: list[Line]
    total: str


@dataclass(frozen=True)
class OfCar:
    """A car with what parts that changed nothing have cost on it."""

    title: str
    url: str
    total: str


@dataclass(frozen=True)
class Again:
    """A part that was fitted twice."""

    first: Line
    again: Line
    days: int


@dataclass(frozen=True)
class Condition:
    """How parts of one condition did, in words."""

    word: str
    fitted: int
    not_cured: int
    again: int
    failed: int
    too_few: bool


@dataclass(frozen=True)
class PartsMoney:
    """All of the page. swaps: how many were looked at."""

    swaps: int
    total: str
    groups: list[Group]
    cars: list[OfCar]
    twice: list[Again]
    conditions: list[Condition]


def parts_money(
    since: datetime, until: datetime, *, locale: str, car: Car | None = None
) -> PartsMoney:
    """What was fitted from `since` to before `until`, in the shop or on one car."""
    own = Swap.objects.current().filter(ours=True)
    if car is not None:
        own = own.filter(ticket__car=car)
    recent = own.filter(entry__at__gte=since).values_list("ticket__car", flat=True)
    rows = list(own.filter(ticket__car__in=set(recent)).select_related("ticket__car", "entry"))
    began = dict(
        Swap.objects.filter(uid__in=[row.uid for row in rows])
        .values_list("uid")
        .annotate(Min("entry__at"))
    )
    within = [row for row in rows if since <= began[row.uid] < until]
    proofs = _proofs(within)
    fittings = {
        str(row.uid): _fitting(row, began[row.uid], proofs.get(str(row.uid))) for row in rows
    }
    counted = [fittings[str(row.uid)] for row in within]
    uids = {one.uid for one in counted}
    pairs = fitted_twice(fittings.values())
    lines = {str(row.uid): _line(row, began[row.uid], locale) for row in rows}
    wasted = [one for one in counted if one.wasted]
    return PartsMoney(
        swaps=len(counted),
        total=_total_words(total(wasted), locale),
        groups=_groups(wasted, lines, locale),
        cars=[] if car else _cars(wasted, rows, locale),
        twice=[_again(pair, lines) for pair in pairs if pair.again.uid in uids],
        conditions=[
            _condition(one)
            for one in by_condition(
                counted, {pair.first.uid for pair in pairs}, words.PART_CONDITION.codes
            )
        ],
    )


def _proofs(rows: Iterable[Swap]) -> dict[str, Proof]:
    records = records_of(sorted({row.ticket_id for row in rows}))
    return {
        view.data["uid"]: record.proof(view.data)
        for record in records.values()
        for view in record.swaps
    }


def _fitting(row: Swap, at: datetime, proof: Proof | None) -> Fitting:
    return Fitting(
        uid=str(row.uid),
        ticket=row.ticket_id,
        car=row.ticket.car_id,
        parts=tuple(name for name in (row.part_in, row.part_out) if name),
        at=at,
        reason=row.reason,
        condition=row.condition,
        cost=None if row.cost_minor is None else Money(row.cost_minor, row.currency),
        wasted=proof.changed_nothing if proof else "",
        cured=False if proof and proof.code in NOT_CURED else None,
    )


def _line(row: Swap, at: datetime, locale: str) -> Line:
    return Line(
        part=row.part_in or row.part_out or _("part not named yet"),
        car=row.ticket.car.title,
        number=row.ticket.shown_number,
        url=f"{row.ticket.get_absolute_url()}#e{row.entry.seq}",
        at=at,
        reason=words.technician("swap_reason", row.reason),
        cost="" if row.cost_minor is None else Money(row.cost_minor, row.currency).show(locale),
    )


def _groups(wasted: list[Fitting], lines: Mapping[str, Line], locale: str) -> list[Group]:
    found = []
    for code in WHY_WASTED:
        of_it = sorted((one for one in wasted if one.wasted == code), key=lambda one: one.at)
        if of_it:
            shown = [lines[one.uid] for one in reversed(of_it)]
            found.append(Group(code, shown, _total_words(total(of_it), locale)))
    return found


def _cars(wasted: list[Fitting], rows: Iterable[Swap], locale: str) -> list[OfCar]:
    """The cars concerned, the most parts first."""
    titles = {row.ticket.car_id: row.ticket.car.title for row in rows}
    of_car: dict[int, list[Fitting]] = {}
    for one in wasted:
        of_car.setdefault(one.car, []).append(one)
    return [
        OfCar(titles[pk], f"{reverse('parts-money')}?car={pk}", _total_words(total(found), locale))
        for pk, found in sorted(of_car.items(), key=lambda item: (-len(item[1]), titles[item[0]]))
    ]


def _again(pair: Twice, lines: Mapping[str, Line]) -> Again:
    return Again(lines[pair.first.uid], lines[pair.again.uid], pair.days)


def _condition(one: OfCondition) -> Condition:
    word = words.technician("part_condition", one.condition) if one.condition else _("not said")
    return Condition(word, one.fitted, one.not_cured, one.again, one.failed, one.too_few)


def _total_words(found: Total, locale: str) -> str:
    """ "3 parts, 214.00 €; the cost of one more is not written down"."""
    parts = ngettext("%(n)s part", "%(n)s parts", found.parts) % {"n": found.parts}
    sums = _(" and ").join(money.show(locale) for money in found.sums)
    said = f"{parts}, {sums}" if sums else parts
    if not found.unknown:
        return said
    if found.unknown == found.parts:
        return _("%(parts)s, cost not written down") % {"parts": parts}
    return ngettext(
        "%(said)s; the cost of %(n)s of them is not written down",
        "%(said)s; the cost of %(n)s of them is not written down",
        found.unknown,
    ) % {"said": said, "n": found.unknown}
