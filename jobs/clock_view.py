"""What is said of clocks that differ or have jumped: beside an entry, and to the owner."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils.timesince import timesince
from django.utils.translation import gettext as _

from jobs.models import Entry
from jobs.record import clock
from jobs.record.clock import Jump
from jobs.report.wording import moment


def beside(entry: Entry) -> list[str]:
    """What is odd about the time of an entry, where its ledger neighbour's time is at hand."""
    found = []
    if (by := clock.differs(entry.device_at, entry.at)) is not None:
        found.append(_phone(entry, by))
    before = getattr(entry, "time_before", None)
    if (by := clock.jump(before, entry.at)) is not None:
        found.append(_server(by))
    return found


def _phone(entry: Entry, by: timedelta) -> str:
    told = {"said": moment(entry.device_at), "by": _long(entry.device_at, entry.at)}
    if by > timedelta():
        said = _("The phone’s clock said %(said)s, %(by)s ahead of the server’s.")
    elif entry.kind == "photos":
        said = _(
            "The phone’s clock said %(said)s, %(by)s behind the server’s, or the photos waited in "
            "the phone for so long."
        )
    else:
        said = _("The phone’s clock said %(said)s, %(by)s behind the server’s.")
    return _("%(said)s The server’s time counts.") % {"said": said % told}


def _server(by: timedelta) -> str:
    told = {"by": _long(datetime.min, datetime.min + abs(by))}
    if by < timedelta():
        said = _("The server’s clock went back by %(by)s before this entry was written.")
    else:
        said = _(
            "Nothing was written for %(by)s before this entry, or the server’s clock went ahead."
        )
    return _("%(said)s The order is that of the numbers.") % {"said": said % told}


def notices(now: datetime | None = None) -> list[str]:
    """What the owner is told of the server's clock: its latest jumps, newest first."""
    return [_notice(jump) for jump in clock.jumps(now)]


def _notice(jump: Jump) -> str:
    told = {
        "before": moment(jump.before),
        "at": moment(jump.at),
        "by": _long(jump.before, jump.at),
        "where": _where(jump),
    }
    if jump.by < timedelta():
        return _("%(where)s: it went back by %(by)s, from %(before)s to %(at)s.") % told
    return (
        _(
            "%(where)s: it went ahead by %(by)s, from %(before)s to %(at)s, or nothing was written "
            "in that time."
        )
        % told
    )


def _where(jump: Jump) -> str:
    if jump.seq is None:
        return _("Since the latest entry")
    if jump.ticket is None:
        return _("Before entry %(no)s of the shop’s own record") % {"no": jump.seq}
    return _("Before entry %(no)s of ticket %(ticket)04d") % {"no": jump.seq, "ticket": jump.ticket}


def _long(one: datetime, other: datetime) -> str:
    """The time between, in its largest unit: 3 days."""
    return timesince(min(one, other), max(one, other), depth=1)
