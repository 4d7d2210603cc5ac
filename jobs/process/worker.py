"""The helper process: does one kind of job again and again, with little memory and time.

Started by `jobs.process.pool` with the kind as its argument; reads requests from its standard
input and answers on its standard output. It ends when its parent does.
"""

from __future__ import annotations

import contextlib
import math
import os
import sys
import time
from collections.abc import Callable
from typing import Any, BinaryIO

from jobs.photos.refusals import PhotoRefused
from jobs.process.wire import LENGTHS, Head, pack, unpack

Answer = tuple[Head, bytes]


class Refused(Exception):
    """A job that is not done, by a name that the parent knows, with facts for the sentence."""

    def __init__(self, name: str, **facts: Any) -> None:
        super().__init__(name)
        self.head = {"refused": name, "facts": facts}


def _decode(head: Head, body: bytes) -> Answer:
    from jobs.photos.decode import decode

    with open(head["path"], "rb") as file:
        data = file.read()
    try:
        facts, copies = decode(data)
    except PhotoRefused as refusal:
        raise Refused(refusal.code, **refusal.facts) from refusal
    sizes = [[name, len(copy)] for name, copy in copies.items()]
    return {"facts": facts, "sizes": sizes}, b"".join(copies.values())


def _render(head: Head, body: bytes) -> Answer:
    from jobs.process.html_to_pdf import render

    given = {name: head[name] for name in ("language", "files", "made")}
    pdf = render(body.decode(), refuse=Refused, **given)
    return {}, pdf


def _warm_decode() -> None:
    import pi_heif  # noqa: F401

    import jobs.photos.decode  # noqa: F401


def _warm_render() -> None:
    with contextlib.suppress(Exception):  # said when a job comes
        import weasyprint  # noqa: F401


def _log(head: Head, body: bytes) -> Answer:
    from pathlib import Path

    import numpy as np

    from measurements.core.logs.columns import Wanted, read_columns
    from measurements.core.logs.text import LogRefused, LogText
    from measurements.core.plain import from_plain, to_plain

    wanted = {key: from_plain(Wanted, one) for key, one in head["wanted"].items()}
    try:
        found = read_columns(Path(head["path"]), from_plain(LogText, head["text"]), wanted)
    except LogRefused as refusal:
        raise Refused("log", why=str(refusal)) from refusal
    facts = {"rows": found.rows, "bad": to_plain(found.bad), "bad_count": found.bad_count}
    columns = [found.columns[key] for key in wanted]
    return {"facts": facts}, np.concatenate(columns).astype("<f8", copy=False).tobytes()


def _warm_log() -> None:
    import numpy as np  # noqa: F401

    import measurements.core.logs.columns  # noqa: F401


KINDS: dict[str, tuple[Callable[[], None], Callable[[Head, bytes], Answer]]] = {
    "decode": (_warm_decode, _decode),
    "render": (_warm_render, _render),
    "log": (_warm_log, _log),
}


def main(kind: str) -> None:
    """Serve until the input ends."""
    warm, work = KINDS[kind]
    requests, answers = _own_pipes()
    _limit_for_good(kind)
    warm()
    while (message := _next(requests)) is not None:
        head, body = unpack(message)
        _limit_job(**head["limits"])
        answers.write(pack(*_answer(work, head, body)))
        answers.flush()


def _answer(work: Callable[[Head, bytes], Answer], head: Head, body: bytes) -> Answer:
    """The answer; `retire` where this process is better not given another job."""
    try:
        return work(head, body)
    except Refused as refusal:
        return refusal.head, b""
    except MemoryError:
        return {"refused": "memory", "facts": {}, "retire": True}, b""
    except Exception as fault:
        words = f"{type(fault).__name__}: {fault}"[:2000]
        return {"refused": "fault", "facts": {"fault": words}, "retire": True}, b""


def _own_pipes() -> tuple[BinaryIO, BinaryIO]:
    """Input and output for us alone: what a library prints goes nowhere."""
    requests = os.fdopen(os.dup(0), "rb", buffering=1 << 16)
    answers = os.fdopen(os.dup(1), "wb", buffering=1 << 16)
    nothing = os.open(os.devnull, os.O_RDWR)
    os.dup2(nothing, 0)
    os.dup2(nothing, 1)
    os.close(nothing)
    return requests, answers


def _next(requests: BinaryIO) -> bytes | None:
    lengths = requests.read(LENGTHS.size)
    if len(lengths) < LENGTHS.size:
        return None
    rest = sum(LENGTHS.unpack(lengths))
    content = requests.read(rest)
    return lengths + content if len(content) == rest else None


def _limit_for_good(kind: str) -> None:
    """No core dumps; what only reads writes no file at all."""
    resource = _resource()
    if resource is None:
        return
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if kind in ("decode", "log"):
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))


def _limit_job(*, memory_bytes: int, cpu_seconds: int) -> None:
    """Memory, and seconds of computing from now on: the system counts from the start."""
    resource = _resource()
    if resource is None:
        return
    until = math.ceil(time.process_time()) + cpu_seconds
    for what, value in (
        (resource.RLIMIT_AS, memory_bytes),
        (resource.RLIMIT_CPU, until),
    ):
        with contextlib.suppress(ValueError, OSError):  # macOS refuses to limit address space
            resource.setrlimit(what, (value, resource.getrlimit(what)[1]))


def _resource() -> Any:
    try:
        import resource
    except ImportError:
        return None
    return resource


if __name__ == "__main__":
    main(sys.argv[1])
