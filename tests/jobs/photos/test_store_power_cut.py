"""A power cut after the answer loses nothing, and no cut ever leaves a wrong file under a name.

The store's system calls are logged. For every beginning of that log the disk is built again as a
power cut may have left it: names and bytes that were not synced are there, gone, cut or zeroed.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.photos import store

Step = tuple[Any, ...]


class LoggedCalls:
    """Stands in for `os` in the store: does the call and writes it down."""

    def __init__(self) -> None:
        self.steps: list[Step] = []
        self._open: dict[int, Path] = {}

    def __getattr__(self, name: str) -> Any:
        return getattr(os, name)

    def open(self, path, flags, mode=0o777):
        new = bool(flags & os.O_CREAT) and not os.path.exists(path)
        handle = os.open(path, flags, mode)
        self._open[handle] = Path(path)
        if new:
            self.steps.append(("create", Path(path)))
        return handle

    def close(self, handle):
        del self._open[handle]
        os.close(handle)

    def write(self, handle, data):
        data = bytes(data)[: max(1, len(data) // 2)]  # as the system may: less than asked for
        self.steps.append(("write", self._open[handle], data))
        return os.write(handle, data)

    def fsync(self, handle):
        os.fsync(handle)
        path = self._open[handle]
        self.steps.append(("sync folder" if path.is_dir() else "sync file", path))

    def mkdir(self, path, mode=0o777):
        os.mkdir(path, mode)
        self.steps.append(("create", Path(path)))

    def replace(self, source, target):
        os.replace(source, target)
        self.steps.append(("rename", Path(source), Path(target)))

    def unlink(self, path):
        os.unlink(path)
        self.steps.append(("remove", Path(path)))


@dataclass
class File:
    """Bytes that are on the platter, and those that wait."""

    synced: bytes = b""
    waiting: bytes = b""


@dataclass
class Disk:
    """Names in folders, each with what is synced and the changes that wait."""

    names: dict[Path, File] = field(default_factory=dict)
    synced: dict[Path, File] = field(default_factory=dict)
    waiting: list[tuple[Path, File | None]] = field(default_factory=list)

    def do(self, step: Step) -> None:
        kind, path, *rest = step
        if kind == "create":
            self._name(path, File())
        elif kind == "write":
            self.names[path].waiting += rest[0]
        elif kind == "sync file":
            file = self.names[path]
            file.synced, file.waiting = file.synced + file.waiting, b""
        elif kind == "rename":
            file = self.names[path]
            self._name(path, None)
            self._name(rest[0], file)
        elif kind == "remove":
            self._name(path, None)
        elif kind == "sync folder":
            for name, file in [w for w in self.waiting if w[0].parent == path]:
                self._settle(self.synced, name, file)
            self.waiting = [w for w in self.waiting if w[0].parent != path]

    def _name(self, path: Path, file: File | None) -> None:
        self._settle(self.names, path, file)
        self.waiting.append((path, file))

    @staticmethod
    def _settle(names: dict[Path, File], path: Path, file: File | None) -> None:
        if file is None:
            names.pop(path, None)
        else:
            names[path] = file

    def after_cut(
        self, root: Path, name_hits: Callable[[], bool], bytes_hit: Callable[[bytes], bytes]
    ) -> dict[Path, bytes]:
        """What a reader finds when the power is back."""
        names = dict(self.synced)
        for path, file in self.waiting:
            if name_hits():
                self._settle(names, path, file)
        found = {}
        for path, file in names.items():
            folders = [f for f in path.parents if f == root or root in f.parents]
            if all(folder in names for folder in folders):
                found[path] = file.synced + (bytes_hit(file.waiting) if file.waiting else b"")
        return found


def log_of(root: Path, contents: list[bytes]) -> list[Step]:
    """The steps of storing these, one after the other, each followed by its answer."""
    calls = LoggedCalls()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "os", calls)
        for content in contents:
            sha256 = store.put(root, content).sha256
            calls.steps.append(("answer", store.original_path(root, sha256), content))
    return calls.steps


def lost_or_wrong(
    root: Path,
    steps: list[Step],
    name_hits: Callable[[], bool],
    bytes_hit: Callable[[bytes], bytes],
) -> list[str]:
    """What a cut after these steps loses of what was answered, or leaves wrong under a name."""
    disk, answered = Disk(), {}
    for step in steps:
        if step[0] == "answer":
            answered[step[1]] = step[2]
        else:
            disk.do(step)
    found = disk.after_cut(root, name_hits, bytes_hit)
    lost = [f"lost {path.name}" for path, data in answered.items() if found.get(path) != data]
    wrong = [
        f"wrong {path.name}"
        for path, data in found.items()
        if len(path.name) == 64 and hashlib.sha256(data).hexdigest() != path.name
    ]
    return lost + wrong


CONTENTS = st.lists(st.binary(min_size=1, max_size=64), min_size=1, max_size=4)


@settings(max_examples=150, deadline=None)
@given(contents=CONTENTS, data=st.data())
def test_no_power_cut_loses_an_answered_photo_or_leaves_a_wrong_one(contents, data):
    def bytes_hit(waiting: bytes) -> bytes:
        how = data.draw(st.sampled_from(["all", "cut", "zeroed", "none"]))
        length = data.draw(st.integers(0, len(waiting)))
        return {
            "all": waiting,
            "cut": waiting[:length],
            "none": b"",
            "zeroed": b"\0" * len(waiting),
        }[how]

    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "photos"
        steps = log_of(root, contents + contents[:1])
        for length in range(len(steps) + 1):
            faults = lost_or_wrong(
                root, steps[:length], lambda: data.draw(st.booleans()), bytes_hit
            )
            assert faults == [], f"after step {length}: {steps[:length][-1:]}"


@pytest.mark.parametrize("left_out", ["sync file", "sync folder"])
def test_the_check_finds_a_store_that_does_not_sync(tmp_path, left_out):
    root = tmp_path / "photos"
    steps = [step for step in log_of(root, [b"one", b"two"]) if step[0] != left_out]
    name_hits = left_out == "sync file"
    assert lost_or_wrong(root, steps, lambda: name_hits, lambda waiting: b"")


def test_the_check_finds_a_store_that_syncs_only_the_last_folder(tmp_path):
    root = tmp_path / "photos"
    steps = log_of(root, [b"one"])
    deepest = store.original_path(root, hashlib.sha256(b"one").hexdigest()).parent
    steps = [s for s in steps if s[0] != "sync folder" or s[1] == deepest]
    assert lost_or_wrong(root, steps, lambda: False, lambda waiting: b"")


def test_the_file_is_synced_before_it_is_renamed_and_its_folder_after(tmp_path):
    steps = [step[0] for step in log_of(tmp_path / "photos", [b"x"])]
    renamed = steps.index("rename")
    assert "sync file" in steps[:renamed]
    assert steps[renamed + 1 : renamed + 2] == ["sync folder"]
    assert steps[-1] == "answer"
