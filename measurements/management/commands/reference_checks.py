"""Make the help page of the checks against published figures, out of the tests that make them."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from itertools import groupby
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.template.loader import render_to_string

PAGE = Path("templates") / "help" / "_reference_checks.html"


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
    """By procedure, in the order of their names; each check once."""
    from measurements.procedures import PROCEDURES

    ordered = sorted(checks, key=lambda check: check["group"])
    groups = []
    for name, found in groupby(ordered, key=lambda check: check["group"]):
        known = PROCEDURES.get(name)
        title = known.title if known else name.replace("_", " ").capitalize()
        unique = {tuple(check.items()): check for check in found}
        groups.append({"name": name, "title": title, "checks": list(unique.values())})
    return groups
