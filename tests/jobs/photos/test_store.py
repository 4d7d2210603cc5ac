"""Originals lie under the hash of their bytes, once, whole, and are never swept while in use."""

import hashlib
import os
import threading
import time

import pytest

from jobs.photos import store
from jobs.photos.limits import SPACE

HELLO = b"the bytes of a photo"
NAME = hashlib.sha256(HELLO).hexdigest()


@pytest.fixture
def root(tmp_path):
    return tmp_path / "photos"


def files(root):
    return sorted(
        str(path.relative_to(root))
        for path in root.rglob("*")
        if path.is_file() and path.name != "lock"
    )


def age(path, hours):
    then = time.time() - hours * 3600
    os.utime(path, (then, then))


def test_an_original_is_named_by_its_bytes(root):
    assert store.put(root, HELLO) == store.Stored(NAME, len(HELLO))
    assert store.original_path(root, NAME).read_bytes() == HELLO


def test_bytes_may_come_in_pieces(root):
    assert store.put(root, [HELLO[:5], b"", HELLO[5:]]).sha256 == NAME


def test_the_same_bytes_twice_are_one_file(root):
    store.put(root, HELLO)
    store.put(root, HELLO)
    assert files(root) == [f"originals/{NAME[:2]}/{NAME[2:4]}/{NAME}"]


def test_the_same_bytes_again_heal_a_damaged_file(root):
    store.put(root, HELLO)
    store.original_path(root, NAME).write_bytes(b"rotten")
    store.put(root, HELLO)
    assert store.original_path(root, NAME).read_bytes() == HELLO


def test_nothing_is_kept_unless_asked(root):
    with store.receive(root, [HELLO]) as received:
        assert received.path.read_bytes() == HELLO
    assert files(root) == []


def test_more_bytes_than_allowed_are_refused_before_they_are_all_read(root):
    def endless():
        while True:
            yield b"x" * 1000

    with pytest.raises(store.TooManyBytes):
        store.put(root, endless(), limit=10_000)
    assert files(root) == []


def test_a_sender_that_breaks_off_leaves_nothing(root):
    def broken():
        yield HELLO
        raise ConnectionResetError

    with pytest.raises(OSError):
        store.put(root, broken())
    assert files(root) == []


@pytest.mark.parametrize(
    "name",
    ["", "../../etc/passwd", NAME.upper(), NAME[:-1], NAME + "0", NAME[:-1] + "/", NAME + "\n", 7],
)
def test_only_a_hash_is_a_name(root, name):
    with pytest.raises(store.NoSuchName):
        store.original_path(root, name)


def test_a_copy_has_one_of_three_sizes(root):
    with pytest.raises(store.NoSuchName):
        store.copy_path(root, NAME, "../screen")


def test_a_copy_is_replaced_whole(root):
    store.put_copy(root, NAME, "thumb", b"one")
    store.put_copy(root, NAME, "thumb", b"two")
    assert store.copy_path(root, NAME, "thumb").read_bytes() == b"two"
    assert len(files(root)) == 1


def test_an_original_is_readable_by_its_owner_and_group_alone(root):
    store.put(root, HELLO)
    assert store.original_path(root, NAME).stat().st_mode & 0o777 & ~0o640 == 0


# ------------------------------------------------------------------ room


@pytest.mark.parametrize(
    ("free", "total", "low", "full"),
    [
        (50, 100, False, False),
        (9, 100, True, False),
        (2, 100, True, True),
        (SPACE.enough_bytes, 10**13, False, False),
        (SPACE.enough_bytes - 1, 10**13, True, True),
    ],
)
def test_room_is_low_below_a_tenth_and_full_below_three_hundredths(free, total, low, full):
    room = store.Space(free, total)
    assert (room.is_low, room.is_full) == (low, full)


def test_a_full_disk_takes_no_further_photo(root, monkeypatch):
    monkeypatch.setattr(store, "space", lambda _: store.Space(2, 100))
    with pytest.raises(store.StorageFull) as caught:
        store.put(root, HELLO)
    assert str(caught.value).startswith("Not saved: the storage is full")
    assert not root.exists()


# ------------------------------------------------------------------ sweeping


def test_a_sweep_removes_unfinished_files_after_an_hour(root):
    store.put(root, HELLO)
    old, young = root / "incoming" / "a.part", root / "incoming" / "b.part"
    old.write_bytes(b"half")
    young.write_bytes(b"half")
    age(old, 2)
    assert store.sweep(root, lambda _: True) == store.Swept(incoming=1, orphans=0)
    assert young.exists()


def test_a_sweep_removes_an_old_original_that_no_record_names_and_its_copies(root):
    store.put(root, HELLO)
    store.put_copy(root, NAME, "thumb", b"copy")
    age(store.original_path(root, NAME), 25)
    assert store.sweep(root, lambda _: False) == store.Swept(incoming=0, orphans=1)
    assert files(root) == []


def test_a_sweep_leaves_what_a_record_names_however_old(root):
    store.put(root, HELLO)
    age(store.original_path(root, NAME), 24 * 365)
    store.sweep(root, {NAME}.__contains__)
    assert store.original_path(root, NAME).read_bytes() == HELLO


def test_a_sweep_leaves_a_young_original_for_its_record_may_be_coming(root):
    store.put(root, HELLO)
    store.sweep(root, lambda _: False)
    assert store.original_path(root, NAME).exists()


def test_an_orphan_that_is_sent_again_during_the_sweep_stays(root):
    store.put(root, HELLO)
    age(store.original_path(root, NAME), 48)
    asked = []

    def is_referenced(sha256):
        if not asked:
            store.put(root, HELLO)  # between the sweep's first look and its lock
        asked.append(sha256)
        return False

    assert store.sweep(root, is_referenced).orphans == 0
    assert store.original_path(root, NAME).read_bytes() == HELLO


def test_sweeping_while_four_others_write_loses_nothing_that_was_answered(root):
    contents = [f"photo {i}".encode() for i in range(60)]
    for data in contents:  # orphans of an earlier crash, sent again below
        age(store.original_path(root, store.put(root, data).sha256), 48)
    answered: set[str] = set()

    def write(who):
        for data in contents[who % 2 :: 2]:
            answered.add(store.put(root, data).sha256)

    writers = [threading.Thread(target=write, args=(n,)) for n in range(4)]
    for writer in writers:
        writer.start()
    while any(writer.is_alive() for writer in writers):
        store.sweep(root, answered.__contains__)
    for writer in writers:
        writer.join()
    assert len(answered) == 60
    assert [sha for sha in answered if not store.original_path(root, sha).exists()] == []
