"""Times that are told and times that are shown: a phone's claim, and the hour that comes twice."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from django.utils import timezone

_CLAIM = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?(Z|[+-][0-9]{2}:[0-9]{2})"
)
FIRST_YEAR, LAST_YEAR = 1970, 2099
"""A clock without a battery starts at the first; after the last it shows nonsense (judgement)."""
FURTHEST_OFFSET = timedelta(hours=14)
"""No zone of the world is further from UTC (Line Islands, from memory)."""


def claimed_moment(text: str) -> datetime | None:
    """What a phone says its clock shows, as ISO 8601 with offset; None for anything else.

    It is a claim, stored beside the server's time and never in its place, so nonsense is unknown
    rather than refused.
    """
    if not _CLAIM.fullmatch(text):
        return None
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return None
    offset = moment.utcoffset()
    if offset is None or abs(offset) > FURTHEST_OFFSET:
        return None
    return moment if FIRST_YEAR <= moment.year <= LAST_YEAR else None


def hour(moment: datetime) -> str:
    """15:20 by the shop's clock; with its offset, 02:30 (UTC+02:00), where that comes twice."""
    local = timezone.localtime(moment) if timezone.is_aware(moment) else moment
    shown = f"{local:%H:%M}"
    twice = _offset_if_twice(local)
    return f"{shown} ({twice})" if twice else shown


def _offset_if_twice(local: datetime) -> str:
    """The offset of a time that the change to winter time brings twice, "" for any other."""
    offset = local.utcoffset()
    if offset is None or offset == local.replace(fold=1 - local.fold).utcoffset():
        return ""
    minutes = round(offset.total_seconds() / 60)
    sign = "-" if minutes < 0 else "+"
    return f"UTC{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"
