"""kill -9 at any instant loses nothing that was acknowledged and leaves nothing half done.

After the crash tests of SQLite and PostgreSQL, and Jepsen's set workload: what was acknowledged is
stored, what is stored was sent.
"""

from __future__ import annotations

import random
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from jobs.photos import store
from tests.kill.survivors import Survivors, look
from tests.live import ROOT, Server, surroundings

pytestmark = pytest.mark.kill

TRIALS = 50
GRANIAN_TRIALS = 3
MUTANT_TRIALS_AT_MOST = 60
WRITERS = ("photos,note", "photos,test", "note,test")
"""Devices, and what each writes in turn."""
SHORTEST_S, LONGEST_S = 0.020, 0.300
SLOW = ("--sync-ms", "15", "--answer-ms", "15")
"""A memory card and a network, so that kills fall into every step."""
SEED = 20


def trial(server, writers, chances: random.Random) -> None:
    """One life of a server: from the start, or from its first saved photo, a random while."""
    before = writers.count("saved", "photos")
    server.start()
    if chances.random() < 0.7:  # else it is killed while it is still starting its helper
        wait_until(lambda: writers.count("saved", "photos") > before, writers)
    time.sleep(chances.uniform(SHORTEST_S, LONGEST_S))
    server.kill()


def begin(server, writers, kinds: tuple[str, ...] = WRITERS) -> None:
    """A first life in which everybody signs in."""
    server.start()
    writers.start(server.port, kinds)
    wait_until(lambda: writers.count("signed in") == len(kinds), writers)
    server.kill()


def wait_until(condition: Callable[[], bool], writers, seconds: float = 20) -> None:
    """Look again and again; a writer that has given up fails the test with its reason."""
    until = time.monotonic() + seconds
    while not condition():
        writers.check()
        if time.monotonic() > until:
            pytest.fail(f"nothing was saved for {seconds} s")
        time.sleep(0.01)


def verify(data: Path) -> subprocess.CompletedProcess:
    """The application's own check, as the owner runs it."""
    return subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), "verify", "--again"],
        check=False,
        env=surroundings(data),
        cwd=ROOT,
        capture_output=True,
        text=True,
    )


def end(server, writers, data: Path) -> Survivors:
    """A last life in which everybody gets an answer, then what stands."""
    before = writers.count("saved")
    server.start()
    wait_until(lambda: writers.count("saved") >= before + 2 * len(WRITERS), writers)
    writers.stop()
    server.kill()
    found = look(data, writers.logs)
    print(
        f"{found.saved} acknowledged, {found.entries} entries, {len(found.open)} saved without an"
        f" answer, {len(found.orphans)} files without a row, {len(found.dangling)} rows without a"
        " file"
    )
    return found


def sweep(data: Path) -> set[str]:
    """Sweep two days later; gives the names of the originals that are left."""
    with closing(sqlite3.connect(data / "baywitness.sqlite3")) as database:
        named = {row[0] for row in database.execute("SELECT sha256 FROM jobs_blob")}
    root = data / "photos"
    store.sweep(root, named.__contains__, now=time.time() + 2 * 24 * 3600)
    assert not list((root / "incoming").iterdir())
    left = {path.name for path in (root / "originals").rglob("*") if path.is_file()}
    assert left == named
    return left


def test_fifty_kills_lose_nothing_that_was_acknowledged(data, number, nursery, writers):
    server = nursery(*SLOW)
    chances = random.Random(SEED)
    begin(server, writers)
    for _ in range(TRIALS):
        trial(server, writers, chances)
    found = end(server, writers, data)
    assert found.faults == {}
    assert 0 < len(found.open) <= len(WRITERS) * (TRIALS + 1)
    assert writers.count("open") >= TRIALS / 2, "too few kills hit somebody's sending"
    assert found.saved >= 2 * TRIALS, "too little was written for this to mean anything"
    checked = verify(data)
    assert checked.returncode == 0, checked.stdout + checked.stderr
    sweep(data)
    assert look(data, writers.logs).faults == {}


def test_the_workshops_own_server_loses_nothing_either(data, number, writers):
    server = Server(data)
    chances = random.Random(SEED)
    begin(server, writers)
    for _ in range(GRANIAN_TRIALS):
        trial(server, writers, chances)
    found = end(server, writers, data)
    assert found.faults == {}
    assert verify(data).returncode == 0


def test_a_row_before_its_file_is_caught_by_the_same_check(data, number, nursery, writers):
    server = nursery(*SLOW, "--row-first")
    chances = random.Random(SEED)
    begin(server, writers, ("photos", "photos"))
    kills = 0
    while kills < MUTANT_TRIALS_AT_MOST:
        kills += 1
        trial(server, writers, chances)
        found = look(data, writers.logs)
        if found.dangling:
            break
    print(f"kill {kills} showed it")
    writers.stop()
    assert found.dangling, f"{MUTANT_TRIALS_AT_MOST} kills, and the wrong order was not noticed"
    assert verify(data).returncode == 1
