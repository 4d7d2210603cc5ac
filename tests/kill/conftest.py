"""A shop with one open ticket on disk, writers, and servers that can be killed again and again."""

from __future__ import annotations

import contextlib
import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from tests.kill.survivors import read_logs
from tests.live import ROOT, copied, manage, shared_template, surroundings

OPEN_A_TICKET = """
from jobs.actions import tickets
from shop.actions import cars, customers
from shop.models import Person
nell = Person.objects.get(username="nell")
odile = customers.add(name="Odile Verhagen", phones=["01632 960123"], by=nell)
van = cars.add(plate="TS58 KLV", region="GB", make="Corvane", model="Hauler 22", year=2016,
    fuel="diesel", engine={"layout": "line", "cylinders": 4}, owner=odile, by=nell)
ticket = tickets.open_ticket(car=van, customer=odile, by=nell,
    facts={"odometer_in": 148_230, "odometer_unit": "km"})
tickets.add_complaint(ticket=ticket, words="Turns over slowly once it is hot.", by=nell,
    family="starts_badly", conditions={})
"""


@pytest.fixture(scope="session")
def shop_with_a_ticket(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Made once and then copied."""
    data = copied(shared_template(tmp_path_factory), tmp_path_factory.mktemp("ticket") / "shop")
    manage(data, "shell", "-c", OPEN_A_TICKET)
    return data


@pytest.fixture
def data(shop_with_a_ticket: Path, tmp_path: Path) -> Path:
    """A copy for one test."""
    return copied(shop_with_a_ticket, tmp_path / "live")


@pytest.fixture
def number(data: Path) -> int:
    """Number of the open ticket."""
    with contextlib.closing(sqlite3.connect(data / "baywitness.sqlite3")) as database:
        return int(database.execute("SELECT number FROM jobs_ticket").fetchone()[0])


class Nursery:
    """Servers out of one parent: a start costs a fork. See tests/kill/nursery.py."""

    def __init__(self, data: Path, *options: str) -> None:
        self.server = 0
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.kill.nursery", *options],
            env=surroundings(data),
            cwd=ROOT,
            text=True,
            bufsize=1,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=(data / "server.log").open("ab"),
        )
        self.port = self._answer()

    def _answer(self) -> int:
        line = self.process.stdout.readline()
        if not line:
            raise RuntimeError("the parent of the servers has ended; see server.log")
        return int(line)

    def start(self) -> None:
        """The next server, on the same data and the same port."""
        self.process.stdin.write("\n")
        self.server = self._answer()

    def kill(self) -> None:
        """SIGKILL to the server's whole group."""
        if self.server:
            os.killpg(self.server, signal.SIGKILL)
            self.server = 0

    def close(self) -> None:
        """The last server, and the parent."""
        self.kill()
        self.process.kill()
        self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout):
            pipe.close()


@pytest.fixture
def nursery(data: Path) -> Iterator[Any]:
    """Makes nurseries that end with the test."""
    made: list[Nursery] = []

    def make(*options: str) -> Nursery:
        made.append(Nursery(data, *options))
        return made[-1]

    yield make
    for one in made:
        one.close()


class Writers:
    """Devices that write until they are stopped, with a log each."""

    def __init__(self, folder: Path, number: int) -> None:
        self.folder, self.number = folder, number
        self.processes: list[subprocess.Popen] = []
        self.logs: list[Path] = []

    def start(self, port: int, kinds: Sequence[str]) -> None:
        """A device for each of these lists of kinds, with seeds 1, 2, ..."""
        for seed, list_of_kinds in enumerate(kinds, start=1):
            log = self.folder / f"writer-{seed}.log"
            log.touch()
            self.logs.append(log)
            self.processes.append(
                subprocess.Popen(
                    [
                        sys.executable,
                        "-m",
                        "tests.kill.writer",
                        str(port),
                        str(self.number),
                        str(seed),
                        str(log),
                        list_of_kinds,
                    ],
                    cwd=ROOT,
                    stderr=(self.folder / f"writer-{seed}.err").open("wb"),
                )
            )

    def count(self, what: str, kind: str = "") -> int:
        """How many lines of all logs say so."""
        said = read_logs(self.logs)
        return sum(line["what"] == what and kind in line.get("kind", "") for line in said)

    def check(self) -> None:
        """A writer that has ended met an answer that it must not get."""
        for seed, process in enumerate(self.processes, start=1):
            if process.poll() is not None:
                words = (self.folder / f"writer-{seed}.err").read_text("utf-8", "replace")
                pytest.fail(f"writer {seed} was refused: {words[-3000:]}", pytrace=False)

    def stop(self) -> None:
        """All at once; what is under way stays open."""
        for process in self.processes:
            process.kill()
            process.wait()


@pytest.fixture
def writers(tmp_path: Path, number: int) -> Iterator[Writers]:
    """Stopped at the end in any case."""
    made = Writers(tmp_path, number)
    yield made
    made.stop()
