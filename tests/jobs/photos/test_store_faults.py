"""Any system call of a save may fail: the answer is a clear error, nothing is half saved, and the
next save works."""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Callable
from typing import Any

import pytest

from jobs.photos import store

PHOTO = b"a photo" * 1000
NAME = hashlib.sha256(PHOTO).hexdigest()
CALLS = ("open", "write", "fsync", "replace", "mkdir", "close", "unlink")


class FailingCalls:
    """Stands in for `os` in the store: call number `at` fails, and all after it if `for_good`."""

    def __init__(self, at: int, fault: Callable[[], BaseException], for_good: bool = False) -> None:
        self.at, self.fault, self.for_good = at, fault, for_good
        self.count = 0
        self.failed: list[str] = []
        self.done: list[str] = []

    def __getattr__(self, name: str) -> Any:
        real = getattr(os, name)
        return self._watched(name, real) if name in CALLS else real

    def _watched(self, name, real):
        def call(*arguments, **options):
            self.count += 1
            if self.count == self.at or (self.for_good and self.count > self.at):
                self.failed.append(name)
                if name == "close":
                    real(*arguments)  # a failing close gives the handle back all the same
                raise self.fault()
            self.done.append(name)
            return real(*arguments, **options)

        return call


def system_error(code):
    return lambda: OSError(code, os.strerror(code))


FAULTS = [
    pytest.param(system_error(errno.ENOSPC), store.StorageFull, id="disk full"),
    pytest.param(system_error(errno.EDQUOT), store.StorageFull, id="quota used up"),
    pytest.param(system_error(errno.EIO), store.StorageFailed, id="disk fault"),
    pytest.param(system_error(errno.EACCES), store.StorageFailed, id="no right to write"),
    pytest.param(system_error(errno.EROFS), store.StorageFailed, id="read-only disk"),
    pytest.param(MemoryError, store.StorageFailed, id="out of memory"),
]


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
@pytest.mark.parametrize(("fault", "answer"), FAULTS)
def test_whichever_call_fails_the_answer_is_clear_and_nothing_is_half_saved(
    tmp_path, monkeypatch, fault, answer, for_good
):
    answers = set()
    for at in range(1, 200):
        root = tmp_path / str(at) / "photos"
        calls = FailingCalls(at, fault, for_good)
        monkeypatch.setattr(store, "os", calls)
        try:
            store.put(root, PHOTO)
        except store.NotStored as refusal:
            answers.add(type(refusal))
            assert str(refusal).startswith("Not saved: the storage")
        monkeypatch.setattr(store, "os", os)
        final = store.original_path(root, NAME)
        assert not final.exists() or final.read_bytes() == PHOTO
        unfinished = list((root / "incoming").glob("*"))
        assert not unfinished or "unlink" in calls.failed
        assert store.put(root, PHOTO) == store.Stored(NAME, len(PHOTO))
        assert final.read_bytes() == PHOTO
        if not calls.failed:
            break
    else:
        pytest.fail("no run without a fault in 200 tries")
    assert at > 15, "the loop saw too few calls to mean anything"
    assert answers == {answer}


@pytest.mark.parametrize("kind", ["file", "folder"])
def test_a_failed_sync_is_never_tried_again(tmp_path, monkeypatch, kind):
    root = tmp_path / "photos"
    store.put(root, b"another photo, so that the folders are known")
    renames_before = {"file": 0, "folder": 1}[kind]
    calls = FailingCalls(0, system_error(errno.EIO))
    synced = []

    def fsync(handle):
        renames = calls.done.count("replace")
        synced.append(renames)
        if renames == renames_before and synced.count(renames) == 1:
            raise system_error(errno.EIO)()
        os.fsync(handle)

    monkeypatch.setattr(calls, "fsync", fsync, raising=False)
    monkeypatch.setattr(store, "os", calls)
    with pytest.raises(store.StorageFailed):
        store.put(root, PHOTO)
    assert synced.count(renames_before) == 1
    assert calls.done.count("replace") == renames_before
    assert list((root / "incoming").glob("*")) == []


def test_a_broken_disk_answers_503_and_a_full_one_507():
    assert (store.StorageFailed("x").status, store.StorageFull("x").status) == (503, 507)
