"""Keeps helper processes warm, gives them jobs, and replaces those that die or take too long."""

from __future__ import annotations

import atexit
import contextlib
import os
import queue
import select
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from jobs.photos.limits import JobLimits
from jobs.process.failures import HelperUnavailable
from jobs.process.wire import Head, pack, unpack, wanted

PROJECT = Path(__file__).resolve().parent.parent.parent
JOBS_BEFORE_RENEWAL = 200
"""Decoders keep memory that they once had; a fresh process gives it back."""
_PASSED_ON = ("HOME", "LANG", "PATH", "TMPDIR", "VIRTUAL_ENV", "XDG_CACHE_HOME")
"""Of the environment. Nothing secret: no database, no key."""


class HelperEnded(Exception):
    """The helper ended before it answered: by a signal (negative code), or by itself."""

    def __init__(self, code: int) -> None:
        super().__init__(f"the helper process ended with code {code}")
        self.code = code


class HelperTooSlow(Exception):
    """The helper did not answer in time and was ended."""


class Helper:
    """One child process that does one kind of job, one at a time."""

    def __init__(self, job: str, limits: JobLimits) -> None:
        self.job = job
        self.limits = limits
        self.done = 0
        kept = {name: os.environ[name] for name in _PASSED_ON if name in os.environ}
        try:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "jobs.process.worker", job],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                bufsize=0,
                cwd=PROJECT,
                # Few arenas: each one reserves address space, and that is what is limited.
                env=kept
                | {"MALLOC_ARENA_MAX": "2", "OPENBLAS_NUM_THREADS": "1", "PYTHONUTF8": "1"},
                start_new_session=True,  # Ctrl+C is for the server, which then ends us
            )
        except OSError as fault:
            raise HelperUnavailable(f"no helper process can be started: {fault}") from fault
        assert self.process.stdin and self.process.stdout  # noqa: S101  (both are pipes)
        self._pipes = (self.process.stdin, self.process.stdout)
        self._in, self._out = (pipe.fileno() for pipe in self._pipes)
        os.set_blocking(self._in, False)
        os.set_blocking(self._out, False)

    @property
    def is_usable(self) -> bool:
        """Alive, and not yet due for renewal."""
        return self.process.poll() is None and self.done < JOBS_BEFORE_RENEWAL

    def ask(self, head: Head, body: bytes = b"") -> tuple[Head, bytes]:
        """Have one job done. After any exception the helper is ended and of no further use."""
        deadline = time.monotonic() + self.limits.wall_seconds
        limits = {
            "memory_bytes": self.limits.memory_bytes,
            "cpu_seconds": self.limits.cpu_seconds,
        }
        try:
            answer = self._exchange(pack(head | {"limits": limits}, body), deadline)
        except BaseException:
            self.end()
            raise
        head, body = unpack(answer)
        self.done = JOBS_BEFORE_RENEWAL if head.pop("retire", False) else self.done + 1
        return head, body

    def _exchange(self, request: bytes, deadline: float) -> bytearray:
        """Send and receive at once, so that neither side can wait for the other for ever."""
        unsent = memoryview(request)
        received = bytearray()
        poll = select.poll()
        poll.register(self._out, select.POLLIN)
        poll.register(self._in, select.POLLOUT)
        while len(received) < wanted(received):
            left = deadline - time.monotonic()
            if left <= 0:
                raise HelperTooSlow
            for handle, _event in poll.poll(left * 1000):
                if handle == self._in:
                    try:
                        unsent = unsent[os.write(handle, unsent) :]
                    except BlockingIOError:
                        continue
                    except BrokenPipeError:
                        unsent = unsent[:0]
                    if not unsent:
                        poll.unregister(self._in)
                else:
                    try:
                        part = os.read(handle, 1 << 20)
                    except BlockingIOError:
                        continue
                    if not part:
                        raise HelperEnded(self._code())
                    received += part
        return received

    def _code(self) -> int:
        try:
            return self.process.wait(timeout=5)
        except subprocess.TimeoutExpired:  # it closed its side and goes on: that is no answer
            return 0

    def end(self) -> None:
        """Kill it and give its pipes back."""
        with contextlib.suppress(OSError):
            self.process.kill()
        self.close()

    def close(self) -> None:
        """Tell it that there is no more to do, and wait for its end."""
        for pipe in self._pipes:
            with contextlib.suppress(OSError):
                pipe.close()
        try:
            self.process.wait(timeout=5)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()


@dataclass
class Lane:
    """The helpers of one kind of job: started when first needed, then kept."""

    job: str
    limits: JobLimits
    size: int
    longest_wait: float = 15.0

    def __post_init__(self) -> None:
        self._places: queue.LifoQueue[Helper | None] = queue.LifoQueue()
        self._pid = os.getpid()
        for _ in range(self.size):
            self._places.put(None)

    def ask(self, head: Head, body: bytes = b"") -> tuple[Head, bytes]:
        """Have one job done by the next free helper.

        Raises `HelperUnavailable`, `HelperEnded` or `HelperTooSlow`; the next job then gets a
        fresh one.
        """
        self._start_anew_after_fork()
        try:
            helper = self._places.get(timeout=self.longest_wait)
        except queue.Empty:
            raise HelperUnavailable(f"all helpers are busy for {self.longest_wait} s") from None
        try:
            if helper is not None and not helper.is_usable:
                helper.close()
                helper = None
            if helper is None:
                helper = Helper(self.job, self.limits)
            try:
                return helper.ask(head, body)
            except BaseException:
                helper = None
                raise
        finally:
            self._places.put(helper)

    def _start_anew_after_fork(self) -> None:
        if self._pid != os.getpid():  # our parent's helpers answer our parent
            self.__post_init__()

    def helpers(self) -> list[Helper]:
        """Those that wait for a job."""
        return [helper for helper in list(self._places.queue) if helper is not None]

    def close(self) -> None:
        """End all helpers that wait for a job."""
        if self._pid != os.getpid():
            return
        for helper in self.helpers():
            helper.close()
        self.__post_init__()


def lane(job: str, limits: JobLimits, size: int) -> Lane:
    """A lane that ends with this process."""
    made = Lane(job, limits, size)
    atexit.register(made.close)
    return made
