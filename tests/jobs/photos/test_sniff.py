"""A file is what its content says, and its header alone can refuse it."""

import pytest

from jobs.photos.refusals import (
    Animation,
    Damaged,
    EmptyFile,
    HeicUnreadable,
    Incomplete,
    NotAPhoto,
    PhotoRefused,
    SideTooLong,
    TooManyPixels,
    TooManyScans,
)
from jobs.photos.sniff import Sniffed, sniff
from tests.jobs.photos import pictures


@pytest.mark.parametrize(
    ("data", "why"),
    [
        pytest.param(b"", EmptyFile, id="no bytes"),
        pytest.param(b"\xff", EmptyFile, id="one byte"),
        pytest.param(b"\x89PNG\r\n\x1a\n", EmptyFile, id="PNG's first bytes only"),
        pytest.param(b"\xff\xd8\xff\xe0", EmptyFile, id="JPEG's first bytes only"),
        pytest.param(b"<!doctype html><script>alert(1)</script>", NotAPhoto, id="HTML"),
        pytest.param(b"<svg xmlns='http://www.w3.org/2000/svg'/>", NotAPhoto, id="SVG"),
        pytest.param(b"\x1f\x8b\x08\0" + b"\0" * 40, NotAPhoto, id="packed SVG"),
        pytest.param(b"%PDF-1.7\n" + b"\0" * 40, NotAPhoto, id="PDF"),
        pytest.param(b"%!PS-Adobe-3.0 EPSF-3.0\n" + b"\0" * 9, NotAPhoto, id="EPS"),
        pytest.param(b"8BPS\0\1" + b"\0" * 40, NotAPhoto, id="layered picture"),
        pytest.param(b"\x7fELF" + b"\0" * 40, NotAPhoto, id="program"),
        pytest.param(b"MZ" + b"\0" * 40, NotAPhoto, id="program of another system"),
        pytest.param(b"II*\0" + b"\0" * 40, NotAPhoto, id="TIFF"),
        pytest.param(b"BM" + b"\0" * 40, NotAPhoto, id="BMP"),
        pytest.param(b"\0\0\0\x18ftypisom" + b"\0" * 20, NotAPhoto, id="video"),
        pytest.param(b"\0\0\0\x18ftypavif" + b"\0" * 20, HeicUnreadable, id="AVIF"),
        pytest.param(b"\0\0\0\x18ftypmsf1" + b"\0" * 20, Animation, id="HEIC sequence"),
        pytest.param(b"\0\0\0\x18ftypheic" + b"\x07" * 40, HeicUnreadable, id="HEIC garbage"),
        pytest.param(
            pictures.saved(pictures.quarters(), "HEIF")[:-99], Incomplete, id="HEIC cut off"
        ),
        pytest.param(b"GIF89a" + b"\x21\xf9\x04" * 20_000, Animation, id="GIF of 20,000 pictures"),
        pytest.param(b"GIF89a" + b"\0" * 40, NotAPhoto, id="GIF"),
        pytest.param(
            pictures.png_with(pictures.png_chunk(b"acTL", b"\0" * 8)), Animation, id="animated PNG"
        ),
        pytest.param(pictures.jpeg_header(20_001, 100), SideTooLong, id="JPEG side"),
        pytest.param(pictures.jpeg_header(20_000, 20_000), TooManyPixels, id="JPEG of 400 MP"),
        pytest.param(pictures.jpeg_header(8000, 7501), TooManyPixels, id="JPEG just over 60 MP"),
        pytest.param(pictures.jpeg_header(0, 0), Damaged, id="JPEG of no size"),
        pytest.param(pictures.png_header(89_000_000, 1), SideTooLong, id="PNG of one long line"),
        pytest.param(pictures.png_header(2**31, 2**31), SideTooLong, id="PNG of 2^31"),
        pytest.param(pictures.png_header(12_000, 12_000), TooManyPixels, id="PNG of 144 MP"),
        pytest.param(pictures.png_header(9_500, 9_300, 16), TooManyPixels, id="16-bit, 88 MP"),
        pytest.param(pictures.png_header(6_001, 4_000, 8, 6), TooManyPixels, id="just over 24 MP"),
        pytest.param(pictures.webp_header(16_384, 16_384), TooManyPixels, id="WebP of 268 MP"),
        pytest.param(pictures.webp_header(10_000, 6_000), TooManyPixels, id="WebP of 60 MP"),
        pytest.param(pictures.jpeg_with_scans(4_000), TooManyScans, id="4,000 scans"),
        pytest.param(pictures.jpeg_with_scans(101), TooManyScans, id="101 scans"),
    ],
)
def test_refuses(data, why):
    with pytest.raises(PhotoRefused) as caught:
        sniff(data)
    assert type(caught.value) is why


@pytest.mark.parametrize(
    ("data", "found"),
    [
        pytest.param(pictures.jpeg(), Sniffed("JPEG", 480, 320), id="JPEG"),
        pytest.param(
            pictures.jpeg_header(8000, 7500),
            Sniffed("JPEG", 8000, 7500),
            id="JPEG of exactly 60 MP",
        ),
        pytest.param(pictures.jpeg_with_scans(100), Sniffed("JPEG", 480, 320), id="100 scans"),
        pytest.param(
            pictures.png_header(6000, 4000), Sniffed("PNG", 6000, 4000), id="PNG of exactly 24 MP"
        ),
        pytest.param(
            pictures.saved(pictures.quarters(), "PNG"), Sniffed("PNG", 480, 320), id="PNG"
        ),
        pytest.param(
            pictures.saved(pictures.quarters(), "WEBP"), Sniffed("WEBP", 480, 320), id="WebP"
        ),
        pytest.param(
            pictures.saved(pictures.quarters(), "WEBP", lossless=True),
            Sniffed("WEBP", 480, 320),
            id="lossless WebP",
        ),
        pytest.param(pictures.marked("WEBP"), Sniffed("WEBP", 480, 320), id="WebP with metadata"),
        pytest.param(
            pictures.saved(pictures.quarters(), "HEIF"), Sniffed("HEIF", 480, 320), id="HEIC"
        ),
        pytest.param(
            pictures.jpeg() + b"PK\3\4 and more",
            Sniffed("JPEG", 480, 320),
            id="JPEG with an archive behind it",
        ),
    ],
)
def test_takes(data, found):
    assert sniff(data) == found


def test_an_animated_webp_is_refused():
    frames = [pictures.quarters(), pictures.quarters().rotate(180)]
    data = pictures.saved(frames[0], "WEBP", save_all=True, append_images=frames[1:])
    with pytest.raises(Animation):
        sniff(data)


def test_a_scan_marker_inside_metadata_is_no_scan():
    note = b"\xff\xda" * 500
    data = pictures.jpeg(comment=note)
    assert sniff(data) == Sniffed("JPEG", 480, 320)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_a_file_cut_anywhere_never_breaks_the_reader(kind):
    whole = pictures.marked(kind).removesuffix(b"PLANTED-TRAILER")
    for length in range(0, len(whole) - 1, max(1, len(whole) // 300)):
        try:
            sniff(whole[:length])
        except PhotoRefused:
            continue


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (
            pictures.png_header(12_000, 12_000),
            "The photo has too many pixels: 144.0 million, the limit for PNG is 24 million. Choose "
            "a lower resolution in the camera’s settings.",
        ),
        (
            pictures.png_header(89_000_000, 1),
            "The photo is 89000000 by 1 pixels; a side may have at most 20000.",
        ),
        (
            pictures.jpeg_with_scans(4_000),
            "The photo builds up in 4000 steps, the limit is 100. Save it as an ordinary JPEG and "
            "send it again.",
        ),
    ],
)
def test_the_sentence_names_what_was_found_and_the_limit(data, sentence):
    with pytest.raises(PhotoRefused) as caught:
        sniff(data)
    assert str(caught.value) == sentence
