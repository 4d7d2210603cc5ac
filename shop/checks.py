"""What would fail later, said at start, each with a number and a remedy."""

from typing import Any

from django.conf import settings
from django.core.checks import Error, Tags, Warning, register
from django.db import connections

from shop import environment


@register()
def variables_are_known(**_: Any) -> list[Warning]:
    """A mistyped variable would be silently ignored."""
    return [
        Warning(
            f"{name} is set, but nothing reads it.",
            hint="Known: " + ", ".join(v.name for v in environment.VARIABLES),
            id="shop.W001",
        )
        for name in environment.unknown_names()
    ]


@register(Tags.security, deploy=True)
def details_stay_inside(**_: Any) -> list[Error]:
    """Error pages with details are for developers."""
    if not settings.DEBUG:
        return []
    return [Error("BAYWITNESS_DEBUG is on.", hint="Unset it.", id="shop.E001")]


@register(Tags.database)
def tables_are_protected(databases: list[str] | None = None, **_: Any) -> list[Error]:
    """Append-only tables must have their triggers, and SQLite its pragmas."""
    from shop.append_only import protected_models, unprotected_tables

    found = []
    for alias in databases or []:
        tables = set(connections[alias].introspection.table_names())
        open_tables = set(unprotected_tables(alias)) & tables
        if protected_models() and open_tables:
            found.append(
                Error(
                    f"Append-only tables without triggers: {', '.join(sorted(open_tables))}.",
                    hint="Run: python3 manage.py migrate",
                    id="shop.E002",
                )
            )
        found += _pragmas(alias)
    return found


def _pragmas(alias: str) -> list[Error]:
    connection = connections[alias]
    if connection.vendor != "sqlite":
        return []
    expected = {"foreign_keys": 1, "recursive_triggers": 1}
    with connection.cursor() as cursor:
        actual = {name: cursor.execute(f"PRAGMA {name}").fetchone()[0] for name in expected}
    wrong = [f"{k}={actual[k]}" for k in expected if actual[k] != expected[k]]
    if not wrong:
        return []
    return [Error(f"SQLite runs with {', '.join(wrong)}.", id="shop.E003")]
