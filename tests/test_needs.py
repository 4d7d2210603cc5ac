"""What the machine lacks is said with its remedy, and in CI it is a failure."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.needs import NEEDS, needs

ROOT = Path(__file__).resolve().parent.parent
SUITE = """
from tests import needs
needs.NEEDS["pango"] = needs.Need("PDF making", lambda: "", lambda: "sudo apt-get install it")
needs.NEEDS["chromium"] = needs.Need("a browser", lambda: "/bin/browser", lambda: "")

@needs.needs("pango")
def test_a_report(): raise AssertionError("ran without")

@needs.needs("pango", "chromium")
def test_a_sheet(): raise AssertionError("ran without")

@needs.needs("chromium")
def test_a_page(chromium): assert chromium == "/bin/browser"
"""


def run(folder: Path, *words: str, **variables: str) -> subprocess.CompletedProcess:
    """pytest with the plugin, on a suite of three tests, apart from this one's settings."""
    (folder / "test_three.py").write_text(SUITE)
    (folder / "pytest.ini").write_text("[pytest]\nmarkers = needs\n")
    line = [sys.executable, "-m", "pytest", "-p", "tests.needs", "-p", "no:cacheprovider"]
    inherited = {k: v for k, v in os.environ.items() if k != "CI" and "PYTEST" not in k}
    return subprocess.run(
        [*line, "--rootdir", str(folder), *words, str(folder / "test_three.py")],
        cwd=ROOT,
        env={**inherited, **variables},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("words", [[], ["-n", "2"]])
def test_what_is_lacking_is_left_out_with_reason_and_remedy(tmp_path, words):
    done = run(tmp_path, *words)
    assert done.returncode == 0, done.stdout
    assert "1 passed, 2 skipped" in done.stdout
    assert (
        "2 tests: this machine lacks PDF making.\n    to run them: sudo apt-get install it"
        in done.stdout
    )


def test_in_ci_it_is_a_failure(tmp_path):
    done = run(tmp_path, CI="true")
    assert done.returncode == 1
    assert "1 passed, 2 errors" in done.stdout
    assert "this machine lacks PDF making. Remedy: sudo apt-get install it" in done.stdout


def test_a_need_that_nobody_described_is_refused():
    with pytest.raises(KeyError, match="there are"):
        needs("a lift")


def test_every_need_names_its_remedy():
    for need in NEEDS.values():
        assert need.remedy().strip()
