"""The shop sets the weights with which a family's suspects start."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs.models import Entry
from jobs.own_odds import standing_of, weights_of
from jobs.record.append import EntryRefused, already, append, one_writer
from jobs.suspects.counted import LEAST, MOST
from jobs.suspects.knowledge import tables
from jobs.suspects.tables import Table
from shop.models import Person


class OddsRefused(EntryRefused):
    """Weights that can't be set so: says why and what to do."""


class UnknownFamily(OddsRefused):
    """There is no table to change."""

    def __init__(self, family: str) -> None:
        super().__init__(
            _("There is no table of possible causes for “%(family)s”.") % {"family": family[:40]}
        )


class UnknownSuspect(OddsRefused):
    """A code that the family's table doesn't have."""

    def __init__(self, code: str) -> None:
        super().__init__(
            _("“%(code)s” is no possible cause of this table. Open the page again.")
            % {"code": code[:60]}
        )


class NoWeight(OddsRefused):
    """A weight outside the table's scale."""

    def __init__(self, label: str, typed: object) -> None:
        super().__init__(
            _(
                "%(label)s: %(typed)s is not a whole number from %(least)s to %(most)s. For the "
                "table’s own number leave it empty."
            )
            % {"label": capfirst(label), "typed": str(typed)[:20], "least": LEAST, "most": MOST}
        )


class NothingChanged(OddsRefused):
    """All weights are as they were."""

    def __init__(self) -> None:
        super().__init__(_("Nothing was changed: all numbers are as they were."))


class NeedsReason(OddsRefused):
    """A weight without its reason."""

    def __init__(self) -> None:
        super().__init__(_("Say why: whoever reads the odds later must be able to judge them."))


@transaction.atomic
def change(
    *,
    family: str,
    starts: Mapping[str, int | None],
    why: str,
    by: Person,
    counted: bool = False,
    **how: Any,
) -> Entry:
    """Set the shop's own weights of some suspects, in the shop's own chain.

    starts: suspect -> whole number 1 to 1000, or None for the table's; a number that is the
    table's gives the suspect back to it. What stays as it was is not written. counted: the numbers
    come from counted tickets. The entry keeps each weight before and the suspects' words.
    """
    table = tables().get(family)
    if table is None:
        raise UnknownFamily(family)
    for code, start in starts.items():
        _check(table, code, start)
    if not why.strip():
        raise NeedsReason
    one_writer()
    if earlier := already(how.get("client_key")):
        return earlier
    own = standing_of(family)
    before = {one.suspect.code: one.start for one in weights_of(table, own)}
    changed = {}
    for code, start in starts.items():
        wanted = None if start == table.suspect(code).start else start
        if wanted != (own[code].start if code in own else None):
            changed[code] = wanted
    if not changed:
        raise NothingChanged
    data = {
        "family": family,
        "starts": changed,
        "why": why.strip(),
        "counted": counted,
        "before": {code: before[code] for code in changed},
        "after": {code: changed[code] or table.suspect(code).start for code in changed},
        "labels": {code: table.suspect(code).label for code in changed},
    }
    return append(ticket=None, kind="starting_odds", data=data, by=by, **how)


def _check(table: Table, code: str, start: object) -> None:
    if code not in table:
        raise UnknownSuspect(code)
    if start is None:
        return
    whole = isinstance(start, int) and not isinstance(start, bool)
    if not whole or not LEAST <= start <= MOST:
        raise NoWeight(table.suspect(code).label, start)
