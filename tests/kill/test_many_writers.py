"""On a real server: eight devices at once, one form sent five times, two corrections at once."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.kill.survivors import look
from tests.kill.test_kill_trials import verify
from tests.kill.visitor import Answer, Visitor
from tests.kill.writer import KINDS, Writer
from tests.live import Server

pytestmark = pytest.mark.kill

DEVICES = 8
EACH = 2 * KINDS
"""What each device writes: so many things, however long it takes, so that load weakens nothing."""
LIMIT_S = 180
SENDINGS = 5


@pytest.fixture
def server(data: Path) -> Iterator[Server]:
    """Two workers, so that two processes write to the database at once."""
    running = Server(data, workers=2).start()
    yield running
    running.stop()


@pytest.fixture
def visitor(server: Server) -> Visitor:
    """The technician's phone, signed in."""
    made = Visitor(server.port)
    made.sign_in()
    return made


def at_once(works: list[Callable[[], Any]]) -> list[Any]:
    """Do all of it at the same moment, a thread each; gives the results in their order.

    In the place of a result stands the exception that ended it, or that it was too slow.
    """
    ready = threading.Barrier(len(works))
    results: list[Any] = [TimeoutError(f"not done in {LIMIT_S} s") for _ in works]

    def work(place: int) -> None:
        ready.wait()
        try:
            results[place] = works[place]()
        except Exception as fault:
            results[place] = fault

    threads = [
        threading.Thread(target=work, args=(place,), daemon=True) for place in range(len(works))
    ]
    for thread in threads:
        thread.start()
    until = time.monotonic() + LIMIT_S
    for thread in threads:
        thread.join(max(0, until - time.monotonic()))
    return results


def in_parallel(visitor: Visitor, sendings: list[tuple]) -> list[Answer]:
    """Each sending on a connection of its own, from the same signed-in browser."""
    copies = [
        Visitor(visitor.port, cookies=dict(visitor.cookies), token=visitor.token) for _ in sendings
    ]
    return at_once([lambda v=v, s=s: v.post(*s) for v, s in zip(copies, sendings, strict=True)])


def test_eight_devices_at_once_lose_nothing_and_never_meet_a_locked_database(
    data, number, server, tmp_path
):
    logs = [tmp_path / f"device-{seed}.log" for seed in range(1, DEVICES + 1)]
    devices = [Writer(server.port, number, seed, log) for seed, log in enumerate(logs, start=1)]
    for device in devices:
        device.visitor.sign_in()

    def write(device: Writer) -> None:
        for kind in EACH:
            device.save(kind)

    assert at_once([lambda d=device: write(d) for device in devices]) == [None] * DEVICES
    found = look(data, logs)
    assert found.faults == {}
    assert found.open == []
    assert found.saved == DEVICES * len(EACH)
    assert "locked" not in (data / "server.log").read_text("utf-8", "replace")
    checked = verify(data)
    assert checked.returncode == 0, checked.stdout + checked.stderr


@pytest.mark.parametrize("kind", ["note", "photos", "test"])
def test_one_form_sent_five_times_at_once_makes_one_entry(
    data, number, server, visitor, tmp_path, kind
):
    device = Writer(server.port, number, 7, tmp_path / "log")
    path, fields, files = getattr(device, f"_{kind}")()
    sending = (path, {**fields, "client_key": "d" * 32}, files)
    before = look(data, []).entries
    answers = in_parallel(visitor, [sending] * SENDINGS)
    assert {getattr(answer, "status", answer) for answer in answers} == {303}
    assert len({answer.seq for answer in answers}) == 1
    found = look(data, [])
    assert found.entries == before + 1
    assert found.faults == {"unasked": [f"{kind} {answers[0].seq}"]}  # these kept no log


def test_of_two_corrections_at_once_one_stands_and_the_other_is_told(data, number, server, visitor):
    path = f"/tickets/{number}/complaints/2/change/"
    sendings = [
        (
            path,
            {
                "words": f"Turns over slowly when hot, {who}.",
                "why": "Asked again.",
                "family": "starts_badly",
                "client_key": key * 32,
            },
        )
        for who, key in (("says Odile", "a"), ("says her brother", "b"))
    ]
    answers = in_parallel(visitor, sendings)
    assert sorted(answer.status for answer in answers) == [303, 409]
    told = next(answer for answer in answers if answer.status == 409)
    assert "has been replaced by entry 3" in told.text
    assert "Turns over slowly when hot, " in told.text, "what was typed is gone"
    assert look(data, []).entries == 3
    assert verify(data).returncode == 0
