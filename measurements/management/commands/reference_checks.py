"""Make the help page of the checks against published figures, out of the tests that make them."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.template.loader import render_to_string

PAGE = Path("templates") / "help" / "_reference_checks.html"

MOST_OF_ONE_TEST, MOST_ROWS = 8, 600
"""A test that is repeated over a table shows so many of its rows, or fewer where the page would
grow beyond `MOST_ROWS`, and counts the others."""

SHARED = {
    "saturation": "Vapour, boiling and air pressure",
    "uncertainty": "Units and uncertainty",
    "conformity": "Readings against a limit",
    "vin": "Vehicle identification number",
    "suspects": "Odds of suspects",
    "worked_cases": "Published cases in which the tables put the true cause first",
}
"""Titles of what is computed for more than one test, after the tests."""


class Command(BaseCommand):
    """`reference_checks` writes the list; `--check` ends with 1 where the list is stale."""

    help = "List every figure that a test holds against a published one, as a help page."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--check", action="store_true", help="only say whether it is stale")

    def handle(self, *args: Any, **options: Any) -> None:
        made = render_to_string("help/_reference_table.html", {"groups": _groups(_checks())})
        made = "\n".join(line.rstrip() for line in made.splitlines() if line.strip()) + "\n"
        path = Path(settings.BASE_DIR) / PAGE
        if options["check"]:
            if not path.is_file() or path.read_text("utf-8") != made:
                raise CommandError(f"{PAGE} is stale: run manage.py reference_checks")
            return
        path.write_text(made, encoding="utf-8")
        self.stdout.write(f"{PAGE}: {made.count('<tr>')} rows")


def _checks() -> list[dict[str, str]]:
    """Run the reference tests in a process of their own and read what they compared."""
    with tempfile.TemporaryDirectory() as folder:
        found = Path(folder) / "checks.json"
        done = subprocess.run(
            [
                *(sys.executable, "-m", "pytest", "tests/reference", "-q", "-n0", "-p"),
                *("no:cacheprovider", f"--list-reference-checks={found}"),
            ],
            cwd=settings.BASE_DIR,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            raise CommandError(f"the reference tests do not all hold:\n{done.stdout[-3000:]}")
        checks: list[dict[str, str]] = json.loads(found.read_text("utf-8"))
    return checks


def _groups(checks: list[dict[str, str]]) -> list[dict[str, Any]]:
    """The procedures in their own order, then what they share; each check once, long tests cut."""
    from measurements.procedures import PROCEDURES

    titles = {name: procedure.title for name, procedure in PROCEDURES.items()} | SHARED
    order = list(titles)
    found: dict[str, list[dict[str, str]]] = {}
    for check in checks:
        found.setdefault(check["group"], []).append(check)
    names = sorted(found, key=lambda name: order.index(name) if name in order else len(order))
    unique = {name: _once(found[name]) for name in names}
    for most in range(MOST_OF_ONE_TEST, 0, -1):
        cut = {name: _cut(checks, most) for name, checks in unique.items()}
        if sum(map(len, cut.values())) <= MOST_ROWS:
            break
    return [
        {
            "name": name,
            "title": titles.get(name) or name.replace("_", " ").capitalize(),
            "checks": cut[name],
        }
        for name in names
    ]


def _once(checks: list[dict[str, str]]) -> list[dict[str, str]]:
    """Without those that a reader could not tell from an earlier one."""
    seen = ("figure", "source", "expected", "got")
    return list({tuple(check[key] for key in seen): check for check in reversed(checks)}.values())[
        ::-1
    ]


def _cut(checks: list[dict[str, str]], most: int) -> list[dict[str, Any]]:
    """At most so many of each test, the last of them with the number of the others."""
    of_test: dict[str, list[dict[str, Any]]] = {}
    for check in checks:
        of_test.setdefault(check["test"], []).append(dict(check))
    shown = []
    for found in of_test.values():
        kept = found[:most]
        kept[-1]["more"] = len(found) - len(kept)
        shown += kept
    return shown
