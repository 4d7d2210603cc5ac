"""Sessions in the database that a wrong clock brings back neither soon nor late.

A session ends at a date. Set back, the server's clock would show a time before it again, so
sessions that have ended are removed while the clock still says so. One that would end later than
any begun now was begun under a clock that was ahead, or the clock is behind: it is not taken.
Both ask for nothing but signing in again.
"""

from __future__ import annotations

import time
from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.sessions.backends.db import SessionStore as DatabaseStore
from django.contrib.sessions.models import Session
from django.db.models import Q, QuerySet
from django.utils import timezone

TIDIED_EVERY_S = 15 * 60
SET_BACK = timedelta(days=1)
"""What a clock may be put back without signing everybody out: a zone mistaken, not a date."""

_tidied: dict[str, float] = {}


def _latest_end() -> datetime:
    """No session that has begun by now ends later."""
    return timezone.now() + timedelta(seconds=settings.SESSION_COOKIE_AGE) + SET_BACK


def _no_longer_valid() -> Q:
    return Q(expire_date__lte=timezone.now()) | Q(expire_date__gt=_latest_end())


def tidy() -> None:
    """Remove them, in each process at most every quarter of an hour by a clock nobody sets."""
    ticks = time.monotonic()
    if ticks - _tidied.get("at", -TIDIED_EVERY_S) < TIDIED_EVERY_S:
        return
    _tidied["at"] = ticks
    _remove(Session.objects.filter(_no_longer_valid()))


def _remove(stale: QuerySet[Session]) -> None:
    if stale.exists():  # to delete nothing would lock SQLite as well
        stale.delete()


def end_all_of(person: AbstractBaseUser) -> None:
    """Whoever leaves is signed out everywhere, and stays so should they come back."""
    key = str(person.pk)
    theirs = [
        session.pk
        for session in Session.objects.all()
        if SessionStore().decode(session.session_data).get(SESSION_KEY) == key
    ]
    Session.objects.filter(pk__in=theirs).delete()


class SessionStore(DatabaseStore):
    """Django's own store, which leaves what has ended in its table."""

    def _get_session_from_db(self) -> Session | None:
        tidy()
        asked = self.session_key
        session = super()._get_session_from_db()
        if session and session.expire_date <= _latest_end():
            return session
        _remove(Session.objects.filter(_no_longer_valid(), pk=asked))
        self._session_key = None
        return None
