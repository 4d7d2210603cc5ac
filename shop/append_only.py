"""Tables that only grow: refused in Python, and refused by triggers in the database itself."""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.db import DEFAULT_DB_ALIAS, connections, models, router


class AppendOnlyError(RuntimeError):
    """Somebody tried to change or delete what may only be added to."""

    def __init__(self, table: str, what: str) -> None:
        super().__init__(f"{table} is append-only: {what} is refused. Append a correction instead.")


class AppendOnlyQuerySet(models.QuerySet):
    """Reads and creates; everything else raises."""

    def update(self, **kwargs: Any) -> int:
        raise AppendOnlyError(self.model._meta.db_table, "update")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise AppendOnlyError(self.model._meta.db_table, "delete")

    def bulk_update(self, *args: Any, **kwargs: Any) -> int:
        raise AppendOnlyError(self.model._meta.db_table, "update")


class AppendOnly(models.Model):
    """Base of a protected table. `removable_when` is SQL under which a row may go, with `OLD`."""

    removable_when = ""

    objects = AppendOnlyQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise AppendOnlyError(self._meta.db_table, "update")
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AppendOnlyError(self._meta.db_table, "delete")


def protected_models() -> list[type[AppendOnly]]:
    """Every table that only grows."""
    return [model for model in apps.get_models() if issubclass(model, AppendOnly)]


def protect(using: str = DEFAULT_DB_ALIAS) -> None:
    """(Re)create the triggers of all protected tables that exist. Safe to repeat."""
    connection = connections[using]
    make = {"sqlite": _sqlite, "postgresql": _postgresql}[connection.vendor]
    existing = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for model in protected_models():
            if model._meta.db_table in existing and router.allow_migrate_model(using, model):
                for statement in make(model):
                    cursor.execute(statement)


def unprotected_tables(using: str = DEFAULT_DB_ALIAS) -> list[str]:
    """Protected tables that lack a trigger just now; empty in a sound database."""
    connection = connections[using]
    queries = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
    }
    with connection.cursor() as cursor:
        cursor.execute(queries[connection.vendor])
        found = {row[0] for row in cursor.fetchall()}
    wanted = ["keep_update", "keep_delete"]
    if connection.vendor == "postgresql":
        wanted.append("keep_truncate")
    return [
        model._meta.db_table
        for model in protected_models()
        if any(f"{model._meta.db_table}_{name}" not in found for name in wanted)
    ]


def _sqlite(model: type[AppendOnly]) -> list[str]:
    table = model._meta.db_table
    statements = []
    for event in ("UPDATE", "DELETE"):
        name = f"{table}_keep_{event.lower()}"
        unless = ""
        if event == "DELETE" and model.removable_when:
            unless = f"WHEN NOT ({model.removable_when})"
        statements += [
            f'DROP TRIGGER IF EXISTS "{name}"',
            f'CREATE TRIGGER "{name}" BEFORE {event} ON "{table}" {unless} '
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END",
        ]
    return statements


def _postgresql(model: type[AppendOnly]) -> list[str]:
    table = model._meta.db_table
    statements = [
        "CREATE OR REPLACE FUNCTION baywitness_keep() RETURNS trigger LANGUAGE plpgsql AS $$ "
        "BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME "
        "USING ERRCODE = 'integrity_constraint_violation'; END $$",
    ]
    for event, level in (("UPDATE", "ROW"), ("DELETE", "ROW"), ("TRUNCATE", "STATEMENT")):
        name = f"{table}_keep_{event.lower()}"
        body, arguments = "baywitness_keep", ""
        if event == "DELETE" and model.removable_when:
            # A trigger's WHEN may not hold a sub-query there: the condition moves into a function.
            body = f"{table}_keep"
            statements.append(
                f"CREATE OR REPLACE FUNCTION {body}() RETURNS trigger LANGUAGE plpgsql AS $$ "
                f"BEGIN IF {model.removable_when} THEN RETURN OLD; END IF; "
                "RAISE EXCEPTION '% is append-only', TG_TABLE_NAME "
                "USING ERRCODE = 'integrity_constraint_violation'; END $$"
            )
        statements += [
            f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"',
            f'CREATE TRIGGER "{name}" BEFORE {event} ON "{table}" FOR EACH {level} '
            f"EXECUTE FUNCTION {body}({arguments})",
        ]
    return statements
