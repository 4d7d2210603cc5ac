"""The shop's instruments: entered, changed, put away; and how the core takes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone

from measurements.core import instruments as core
from measurements.core.procedure import Procedure, Quantity, fields_of
from measurements.models import Instrument, InstrumentCheck
from shop.models import Person


@transaction.atomic
def add(*, by: Person, kind: str, name: str, accuracy: str, **facts: Any) -> Instrument:
    """Enter an instrument; `facts` are other columns of `Instrument`."""
    instrument = Instrument(
        kind=kind, name=name, accuracy=accuracy, quantity=core.KINDS[kind][1], **facts
    )
    return _keep(instrument)


@transaction.atomic
def change(*, instrument: Instrument, by: Person, **facts: Any) -> Instrument:
    """Change an instrument. Tests on record keep the figures that they were judged by."""
    for name, value in facts.items():
        setattr(instrument, name, value)
    instrument.quantity = core.KINDS[instrument.kind][1]
    return _keep(instrument)


@transaction.atomic
def retire(*, instrument: Instrument, by: Person) -> Instrument:
    """Put an instrument away: it is offered no more, and stays named in its tests."""
    instrument.retired_at = instrument.retired_at or timezone.now()
    instrument.is_usual = False
    instrument.save()
    return instrument


@transaction.atomic
def take_back(*, instrument: Instrument, by: Person) -> Instrument:
    """Offer a retired instrument again."""
    instrument.retired_at = None
    instrument.save()
    return instrument


def note_check(
    *, instrument: Instrument, checked_on: date, good: bool, how: str, by: Person
) -> InstrumentCheck:
    """Note that an instrument was held against something known, and whether it agreed."""
    check = InstrumentCheck(
        instrument=instrument,
        checked_on=checked_on,
        good=good,
        how=how,
        by=by,
        at=timezone.now(),
    )
    check.save()
    return check


def in_doubt(instrument: Instrument) -> tuple[InstrumentCheck | None, date | None]:
    """The check that found it wrong, and the day of the last good one before; (None, None) while
    the latest check was good or there is none. Tests after that day are in doubt."""
    checks = list(instrument.checks.all())
    if not checks or checks[0].good:
        return None, None
    good = next((check for check in checks if check.good), None)
    wrong = [check for check in checks[: checks.index(good) if good else None] if not check.good]
    return wrong[-1], good.checked_on if good else None


def _keep(instrument: Instrument) -> Instrument:
    """Save; of each kind at most one is the usual one, and the first is it by itself."""
    others = Instrument.objects.filter(kind=instrument.kind).exclude(pk=instrument.pk)
    if instrument.is_usual:
        others.update(is_usual=False)
    elif not others.in_use().exists():
        instrument.is_usual = True
    instrument.save()
    return instrument


def as_core(instrument: Instrument) -> core.Instrument:
    """The instrument as judging takes it; without a range of its own, those of its kind."""
    typical = core.default_instrument(instrument.kind)
    ranges = typical.ranges if typical else ()
    if instrument.high and instrument.digit:
        ranges = (core.Span(instrument.high, instrument.digit),)
    due = instrument.calibration_due
    return core.Instrument(
        kind=instrument.kind,
        name=instrument.name,
        accuracy=instrument.accuracy,
        ranges=ranges,
        typical=instrument.is_typical,
        serial=instrument.serial,
        calibration_due=due.isoformat() if due else "",
    )


def kinds_of(procedure: Procedure) -> tuple[str, ...]:
    """The kinds of instruments that a procedure reads, in its own order."""
    entries = [*procedure.given, *(e for grid in procedure.grids for e in fields_of(grid))]
    return tuple(
        dict.fromkeys(e.instrument for e in entries if isinstance(e, Quantity) and e.instrument)
    )


def usual(kinds: Iterable[str]) -> dict[str, Instrument]:
    """The instrument of each kind that the shop usually takes; kinds without one are left out."""
    found: dict[str, Instrument] = {}
    for instrument in Instrument.objects.in_use().filter(kind__in=list(kinds)):
        found.setdefault(instrument.kind, instrument)
    return found


def for_context(
    kinds: Iterable[str], chosen: Mapping[str, Instrument]
) -> dict[str, core.Instrument]:
    """Every kind that a procedure reads with its instrument, the typical one where none is kept,
    so that a stored test does not depend on today's typical figures."""
    found = {}
    for kind in kinds:
        instrument = as_core(chosen[kind]) if kind in chosen else core.default_instrument(kind)
        if instrument is not None:
            found[kind] = instrument
    return found
