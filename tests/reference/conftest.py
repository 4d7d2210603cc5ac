"""`against`: a figure of ours beside a published one, compared, and listed for the help page."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

CHECKS = pytest.StashKey[list[dict[str, str]]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--list-reference-checks",
        type=Path,
        default=None,
        help="write every published figure that was checked, as JSON, to this file",
    )


class Against:
    """Compares, and keeps what was compared.

    figure: what it is, for a reader ("state of charge from 12.55 V at rest"); source: the published
    text or library, with edition or place; expected: as published; within: absolute tolerance;
    relative: relative one, the wider of the two holds; unit: of both.
    """

    def __init__(self, checks: list[dict[str, str]], group: str, test: str) -> None:
        self.checks, self.group, self.test = checks, group, test

    def __call__(
        self,
        figure: str,
        source: str,
        *,
        expected: Any,
        got: Any,
        within: float = 0.0,
        relative: float = 0.0,
        unit: str = "",
    ) -> None:
        if isinstance(expected, (int, float)) and not isinstance(expected, bool):
            assert got == pytest.approx(expected, abs=within, rel=relative), (figure, source)
        else:
            assert got == expected, (figure, source)
        self.checks.append(
            {
                "group": self.group,
                "test": self.test,
                "figure": figure,
                "source": source,
                "expected": _words(expected, unit),
                "allowed": _allowed(expected, within, relative, unit),
                "got": _words(got, unit),
            }
        )


def _allowed(expected: Any, within: float, relative: float, unit: str) -> str:
    """How far apart the two may lie, to two digits; nothing where only rounding parts them."""
    if isinstance(expected, bool) or not isinstance(expected, (int, float)):
        return ""
    most = max(within, relative * abs(expected))
    return "" if most <= 1e-6 * max(abs(expected), 1e-3) else f"± {most:.2g} {unit}".strip()


def _words(value: Any, unit: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        value = f"{value:.6g}"
    if isinstance(value, (list, tuple)):
        value = ", ".join(_words(item, "") for item in value) or "none"
    return f"{value} {unit}".strip().replace("-", "\u2212", 1 if str(value).startswith("-") else 0)


@pytest.fixture
def against(request: pytest.FixtureRequest) -> Against:
    checks = request.config.stash.setdefault(CHECKS, [])
    group = Path(str(request.node.path)).stem.removeprefix("test_")
    test = str(getattr(request.node, "originalname", "") or request.node.name)
    return Against(checks, group, test)


@pytest.hookimpl(wrapper=True)
def pytest_sessionfinish(session: pytest.Session) -> Iterator[None]:
    yield
    path = session.config.getoption("--list-reference-checks", default=None)
    if path is not None:
        checks = session.config.stash.get(CHECKS, [])
        path.write_text(json.dumps(checks, ensure_ascii=False, indent=1), encoding="utf-8")
