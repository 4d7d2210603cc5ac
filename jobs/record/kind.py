"""What a kind of entry declares, and how it finds the rows that its payload names."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cache
from typing import Any
from uuid import UUID

from django.db import models

Data = dict[str, Any]


class Find:
    """Turns what payloads name (digests, uids) into primary keys, each looked up once."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, Any], Any] = {}

    def run(self, digest: str | None) -> int | None:
        """Key of the run with this content digest."""
        return self._key("run", digest)

    def customer(self, uid: str | None) -> int | None:
        """Key of the customer with this uid."""
        return self._key("customer", uid)

    def car(self, uid: str | None) -> int | None:
        """Key of the car with this uid."""
        return self._key("car", uid)

    def ticket(self, uid: str | None) -> int | None:
        """Key of the ticket with this uid."""
        return self._key("ticket", uid)

    def photo(self, frame: list[str] | None) -> int | None:
        """Key of the photo named by its entry's uid and its letter."""
        return self._key("photo", tuple(frame) if frame else None)

    def _key(self, what: str, name: Any) -> Any:
        if name is None:
            return None
        if (what, name) not in self._known:
            self._known[what, name] = _QUERIES[what](name)
        return self._known[what, name]


def _by(model: str, column: str) -> Callable[[Any], int]:
    from django.apps import apps

    return lambda name: (
        apps.get_model(model).objects.values_list("pk", flat=True).get(**{column: name})
    )


def _photo(frame: tuple[str, str]) -> int:
    from jobs.models import Photo

    return Photo.objects.values_list("pk", flat=True).get(entry__uid=frame[0], letter=frame[1])


_QUERIES: dict[str, Callable[[Any], int]] = {
    "run": _by("measurements.Run", "digest"),
    "customer": _by("shop.Customer", "uid"),
    "car": _by("shop.Car", "uid"),
    "ticket": _by("jobs.Ticket", "uid"),
    "photo": _photo,
}

Rows = Callable[[Any, Data, Find], Iterable[models.Model]]
Columns = Callable[[Any, Data, Find], dict[str, Any]]


@dataclass(frozen=True)
class Kind:
    """One kind of entry.

    `rows` gives the projection rows that an entry makes, unsaved; `ticket` gives the columns of
    the ticket that it sets ("people" among them replaces the list of people). Both read nothing
    but the entry, its data and `find`, so that `verify` can make them again.
    """

    code: str
    needs: frozenset[str]
    format: int = 1
    rows: Rows | None = None
    ticket: Columns | None = None
    lift: dict[int, Callable[[Data], Data]] = field(default_factory=dict)

    def read(self, data: Data, stored_format: int) -> Data:
        """The data in today's format; what is stored stays as it is."""
        for step in range(stored_format, self.format):
            data = self.lift[step](data)
        return data


class UnknownKind(LookupError):
    """An entry of a kind that no module declares."""

    def __init__(self, code: str) -> None:
        super().__init__(f"no kind of entry is called {code!r}")


@cache
def kinds() -> dict[str, Kind]:
    """Every kind, by its code: one module each in `jobs/record/kinds/`, found by walking it."""
    from importlib import import_module
    from pkgutil import iter_modules

    from jobs.record import kinds as package

    found = {}
    for module in iter_modules(package.__path__):
        kind = import_module(f"{package.__name__}.{module.name}").KIND
        if kind.code != module.name:
            raise UnknownKind(f"{module.name}.py declares {kind.code}")
        found[kind.code] = kind
    return found


def kind_of(code: str) -> Kind:
    """The kind with this code."""
    try:
        return kinds()[code]
    except KeyError:
        raise UnknownKind(code) from None


def uid(text: str | None) -> UUID | None:
    """A uid out of a payload."""
    return UUID(text) if text else None
