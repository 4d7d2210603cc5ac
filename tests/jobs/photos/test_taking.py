"""A photo is taken whole or refused with a sentence; whatever was sent, the next photo is taken."""

import io

import pytest
from PIL import Image

from jobs.photos import intake, store
from jobs.photos.limits import COPIES, PHOTO
from jobs.photos.refusals import (
    Animation,
    Damaged,
    EmptyFile,
    HeicUnreadable,
    Incomplete,
    NotAPhoto,
    PhotoRefused,
    SideTooLong,
    TooLarge,
    TooManyPixels,
    TooManyScans,
)
from jobs.process import HelperUnavailable
from tests.jobs.photos import pictures


@pytest.fixture
def root(tmp_path):
    return tmp_path / "photos"


def stored(root):
    return sorted(path.name for path in (root / "originals").rglob("*") if path.is_file())


def test_the_original_is_kept_bit_for_bit(root):
    data = pictures.marked("JPEG")
    taken = intake.take(root, [data[:100], data[100:]])
    assert store.original_path(root, taken.sha256).read_bytes() == data
    assert (taken.size, taken.type) == (len(data), "image/jpeg")
    assert (taken.width, taken.height) == (480, 320)
    assert (taken.claimed_at, taken.had_location) == ("2026-03-14T09:26:53+01:00", True)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_every_kind_gets_its_three_copies(root, kind):
    taken = intake.take(root, [pictures.saved(pictures.quarters(), kind)])
    for size in COPIES:
        with Image.open(intake.copy_path(root, taken.sha256, size)) as copy:
            assert pictures.corners_of(copy) == pictures.UPRIGHT


def test_a_copy_that_is_gone_is_made_again_the_same(root):
    taken = intake.take(root, [pictures.jpeg(2000, 1500)])
    path = store.copy_path(root, taken.sha256, "print")
    before = path.read_bytes()
    path.unlink()
    assert intake.copy_path(root, taken.sha256, "print").read_bytes() == before


def test_the_same_photo_twice_is_one_file(root):
    first = intake.take(root, [pictures.jpeg()])
    assert intake.take(root, [pictures.jpeg()]) == first
    assert stored(root) == [first.sha256]


def hostile():
    good = pictures.jpeg(600, 400)
    yield "no bytes", b"", EmptyFile
    yield "one byte", b"\xff", EmptyFile
    yield "first bytes only", b"\x89PNG\r\n\x1a\n", EmptyFile
    yield "cut off", good[: len(good) // 2], Incomplete
    yield "too large", good + b"\0" * PHOTO.max_bytes, TooLarge
    yield "400 MP", pictures.jpeg_header(20_000, 20_000), TooManyPixels
    yield "WebP of 268 MP", pictures.webp_header(16_384, 16_384), TooManyPixels
    yield "PNG of 144 MP", pictures.png_header(12_000, 12_000), TooManyPixels
    yield "one long line", pictures.png_header(89_000_000, 1), SideTooLong
    yield "no size", pictures.png_header(0, 0), Damaged
    yield "4,000 scans", pictures.jpeg_with_scans(4_000), TooManyScans
    yield "GIF animation", b"GIF89a" + b"\x21\xf9\x04" * 20_000, Animation
    yield "HTML", b"<!doctype html><script>alert(1)</script>", NotAPhoto
    yield "SVG", b"<svg xmlns='http://www.w3.org/2000/svg' onload='x'/>", NotAPhoto
    yield "PDF", b"%PDF-1.7" + b"\0" * 99, NotAPhoto
    yield "program", b"\x7fELF" + b"\0" * 99, NotAPhoto
    yield (
        "HEIC garbage",
        (pictures.box(b"ftyp", b"heic\0\0\0\0mif1heic") + pictures.box(b"meta", b"\7" * 99)),
        HeicUnreadable,
    )
    yield "20 MP that are not there", pictures.png_header(5_000, 4_000), Incomplete


@pytest.mark.parametrize(("data", "why"), [pytest.param(d, w, id=i) for i, d, w in hostile()])
def test_a_hostile_file_is_refused_and_the_next_photo_is_taken(root, data, why):
    with pytest.raises(PhotoRefused) as caught:
        intake.take(root, [data])
    assert type(caught.value) is why
    assert str(caught.value).endswith(".")
    assert stored(root) == []
    assert not list((root / "incoming").iterdir())
    assert intake.take(root, [pictures.jpeg()]).width == 480


def test_too_large_names_the_limit_and_asks_for_413(root):
    with pytest.raises(TooLarge) as caught:
        intake.take(root, (b"\xff\xd8\xff" + b"\0" * 10**6 for _ in range(1000)))
    assert str(caught.value) == "The photo is too large: more than the limit of 25 MB."
    assert caught.value.status == 413


def test_what_is_no_photo_asks_for_415():
    assert NotAPhoto().status == 415
    assert str(NotAPhoto()).endswith("Only JPEG, PNG, WebP and HEIC are taken.")


def test_a_full_disk_is_said_and_nothing_is_left(root, monkeypatch):
    monkeypatch.setattr(store, "space", lambda _: store.Space(1, 100))
    with pytest.raises(store.StorageFull):
        intake.take(root, [pictures.jpeg()])
    assert not root.exists()


def test_without_a_helper_the_original_is_kept_and_its_copies_come_later(root, monkeypatch):
    with monkeypatch.context() as dead:

        def unavailable(path):
            raise HelperUnavailable("none")

        dead.setattr(intake, "decode", unavailable)
        taken = intake.take(root, [pictures.jpeg()])
        assert (taken.width, taken.height, taken.claimed_at) == (480, 320, "")
        assert not (root / "copies").exists()
    with Image.open(intake.copy_path(root, taken.sha256, "thumb")) as copy:
        assert pictures.corners_of(copy) == pictures.UPRIGHT


def test_without_a_helper_what_is_no_photo_is_refused_all_the_same(root, monkeypatch):
    def unavailable(path):
        raise HelperUnavailable("none")

    monkeypatch.setattr(intake, "decode", unavailable)
    with pytest.raises(NotAPhoto):
        intake.take(root, [b"<html>" * 10])
    assert stored(root) == []


def test_copies_that_can_not_be_written_do_not_cost_the_photo(root, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(store, "put_copy", full)
    taken = intake.take(root, [pictures.jpeg()])
    assert stored(root) == [taken.sha256]


def test_only_copies_without_metadata_lie_beside_the_originals(root):
    for kind in ("JPEG", "PNG", "WEBP", "HEIF"):
        intake.take(root, [pictures.marked(kind)])
    copies = list((root / "copies").rglob("*.jpg"))
    assert len(copies) == 12
    for path in copies:
        assert not any(mark in path.read_bytes() for mark in pictures.MARKS)
        with Image.open(io.BytesIO(path.read_bytes())) as copy:
            assert not copy.getexif()
