"""Runs the whole test suite, apart from the data and settings of any real shop."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from django.core.management.base import BaseCommand, CommandParser

NO_BENCH = "not bench"
ON_POSTGRES = "not browser and not kill and not bench"
OWN_VARIABLES_KEPT = {"BAYWITNESS_NO_BOOTSTRAP", "BAYWITNESS_NO_SYSTEM_INSTALL"}


class Command(BaseCommand):
    """`test [--postgres] [anything that pytest takes]`."""

    help = (
        "Runs the test suite, side by side. Anything but --postgres and --help is handed to "
        "pytest, for instance: tests/shop -x -k phone"
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """Only what is our own; the rest is pytest's."""
        parser.add_argument(
            "--postgres",
            action="store_true",
            help="the tests that use the database, on a PostgreSQL server started for them",
        )

    def run_from_argv(self, argv: list[str]) -> None:
        """Hand the words over as they are, since pytest's options aren't Django's."""
        words = argv[2:]
        if "--help" in words or "-h" in words:
            self.print_help(argv[0], argv[1])
            return
        postgres = "--postgres" in words
        sys.exit(run([word for word in words if word != "--postgres"], postgres=postgres))


def run(words: list[str], *, postgres: bool) -> int:
    """Exit status of the suite, or of the part of it that `words` choose."""
    try:
        import pytest  # noqa: F401
    except ImportError:
        sys.exit(
            "pytest is missing from this Python environment. Start with the system's own Python\n"
            "(python3 manage.py test), or: python -m pip install -r tests/requirements.lock"
        )
    with tempfile.TemporaryDirectory(prefix="baywitness-test-") as folder:
        variables = clean_variables(folder)
        if postgres:
            module, words = "tests.postgres", ["--only-database", *chosen(words, ON_POSTGRES)]
        else:
            module = "pytest"
            words = words if makes_a_choice(words) else ["-m", NO_BENCH, *words]
        line = [sys.executable, "-m", module, *side_by_side(words), *words]
        return subprocess.call(line, env=variables, stdin=subprocess.DEVNULL)


def makes_a_choice(words: list[str]) -> bool:
    """Whether the words name some of the tests, so that it is not the whole suite."""
    return any(word in {"-m", "-k"} or not word.startswith("-") for word in words)


def chosen(words: list[str], markers: str) -> list[str]:
    """The words with a choice by markers, unless they make one."""
    return words if "-m" in words else ["-m", markers, *words]


def side_by_side(words: list[str]) -> list[str]:
    """Several tests at once where that is wanted: not under a debugger or with output shown."""
    alone = {"-s", "--pdb", "--capture=no", "--collect-only", "--co"}
    if alone & set(words) or any(word.startswith(("-n", "--numprocesses")) for word in words):
        return []
    return [
        "-n",
        str(max(2, min(os.cpu_count() or 2, 8))),
        "--dist",
        "loadfile",
        "--no-loadscope-reorder",
    ]


def clean_variables(folder: str) -> dict[str, str]:
    """The environment without a shop's own settings, so that no test meets its data."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if name in OWN_VARIABLES_KEPT
        or not (name.startswith("BAYWITNESS_") or name == "DATABASE_URL")
    }
    if kept.pop("PYTHONDONTWRITEBYTECODE", ""):
        # None beside the sources; but without any, each process would compile everything anew.
        whose = os.getuid() if hasattr(os, "getuid") else ""
        kept["PYTHONPYCACHEPREFIX"] = str(Path(tempfile.gettempdir()) / f"bytecode-{whose}")
    return {**kept, "BAYWITNESS_DATA": folder, "DJANGO_SETTINGS_MODULE": "shop.settings"}
