"""What is half typed is kept as the browser sent it, until it is recorded or thrown away."""

from __future__ import annotations

from collections.abc import Mapping

from django.db import transaction

from jobs.models import Draft, Entry, Ticket
from shop.models import Person

MOST_FIELDS = 1_000
LONGEST_KEY = 64
_NEVER = {"csrfmiddlewaretoken", "carry", "add", "show", "leave", "limit", "discard", "device_at"}


@transaction.atomic
def keep(*, ticket: Ticket, kind: str, by: Person, fields: Mapping[str, str]) -> Draft | None:
    """Keep a half-filled form; None where the same form has made its entry meanwhile."""
    kept = {
        # A database keeps no NUL in JSON; a keypad doesn't make one.
        name[:200].replace("\x00", ""): str(fields[name]).replace("\x00", "")
        for name in list(fields)[:MOST_FIELDS]
        if name not in _NEVER and str(fields[name])
    }
    key = kept.get("client_key", "")[:LONGEST_KEY]
    if key and Entry.objects.filter(client_key=key).exists():
        return None
    draft, _made = Draft.objects.update_or_create(
        ticket=ticket, kind=kind, person=by, defaults={"fields": kept, "client_key": key}
    )
    return draft


def of(*, ticket: Ticket, kind: str, by: Person) -> Draft | None:
    """What this person has begun of this kind on the ticket."""
    return Draft.objects.filter(ticket=ticket, kind=kind, person=by).first()


def drop(*, ticket: Ticket, kind: str, by: Person) -> None:
    """Forget a draft: it is recorded, or its writer throws it away."""
    Draft.objects.filter(ticket=ticket, kind=kind, person=by).delete()
