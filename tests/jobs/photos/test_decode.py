"""A photo becomes upright RGB copies without metadata, and says what its camera claims."""

import io
import struct
import zlib

import pytest
from PIL import Image, ImageCms

from jobs.photos.decode import decode
from jobs.photos.limits import COPIES
from jobs.photos.refusals import Damaged, Incomplete, PhotoRefused
from tests.jobs.photos import pictures
from tests.jobs.photos.pictures import MARKS, UPRIGHT, corners_of

KINDS = ("JPEG", "PNG", "WEBP", "HEIF")


def opened(copy):
    return Image.open(io.BytesIO(copy))


# ------------------------------------------------------------------ upright


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_of_the_camera_comes_out_upright(kind, orientation):
    lying = pictures.stored_with(orientation)
    data = pictures.saved(lying, kind, exif=pictures.exif_of(orientation=orientation))
    facts, copies = decode(data)
    assert (facts["width"], facts["height"]) == (480, 320)
    for copy in copies.values():
        assert opened(copy).width > opened(copy).height
        assert corners_of(opened(copy)) == UPRIGHT


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_heic_turned_by_its_own_property_is_not_turned_again_by_exif(orientation):
    lying = pictures.stored_with(orientation)
    exif = pictures.exif_of(orientation=orientation).tobytes()
    data = pictures.saved(lying, "HEIF", exif=exif, quality=95)
    assert orientation == 1 or b"irot" in data or b"imir" in data
    facts, copies = decode(data)
    assert (facts["width"], facts["height"]) == (480, 320)
    assert corners_of(opened(copies["screen"])) == UPRIGHT


def test_an_orientation_that_does_not_exist_turns_nothing():
    _, copies = decode(pictures.jpeg(exif=pictures.exif_of(orientation=99)))
    assert corners_of(opened(copies["screen"])) == UPRIGHT


# ------------------------------------------------------------------ copies


@pytest.mark.parametrize("kind", KINDS)
def test_copies_are_rgb_jpegs_of_the_three_sizes_in_the_photos_shape(kind):
    facts, copies = decode(pictures.saved(pictures.quarters(2400, 1600), kind))
    assert facts["kind"] == kind
    assert {name: max(opened(copy).size) for name, copy in copies.items()} == COPIES
    for copy in copies.values():
        image = opened(copy)
        assert (image.format, image.mode) == ("JPEG", "RGB")
        assert image.width / image.height == pytest.approx(1.5, abs=0.01)


def test_a_small_photo_is_not_enlarged():
    _, copies = decode(pictures.jpeg(120, 80))
    assert {opened(copy).size for copy in copies.values()} == {(120, 80)}


def test_a_panorama_keeps_at_least_one_pixel_of_height():
    _, copies = decode(pictures.saved(Image.new("RGB", (12_000, 2)), "JPEG"))
    assert opened(copies["thumb"]).size == (400, 1)


def modes():
    scene = pictures.quarters()
    palette = scene.quantize(16)
    see_through = scene.convert("RGBA")
    see_through.putalpha(255)
    yield pytest.param(pictures.saved(scene.convert("CMYK"), "JPEG"), id="CMYK JPEG")
    yield pytest.param(pictures.saved(palette, "PNG"), id="palette")
    yield pytest.param(
        pictures.saved(palette, "PNG", transparency=b"\xff" * 16), id="palette with alpha"
    )
    yield pytest.param(pictures.saved(see_through, "PNG"), id="RGBA")
    yield pytest.param(pictures.saved(see_through, "WEBP"), id="RGBA WebP")
    yield pytest.param(pictures.saved(see_through, "HEIF", quality=95), id="RGBA HEIC")
    yield pytest.param(sixteen_bit_colour(scene), id="16-bit colour")


def sixteen_bit_colour(scene):
    rows = b"".join(
        b"\0" + bytes(b for p in range(scene.width) for c in scene.getpixel((p, y)) for b in (c, c))
        for y in range(scene.height)
    )
    header = struct.pack(">IIBBBBB", scene.width, scene.height, 16, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + pictures.png_chunk(b"IHDR", header)
        + pictures.png_chunk(b"IDAT", zlib.compress(rows))
        + pictures.png_chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("data", list(modes()))
def test_every_kind_of_colour_comes_out_as_it_looks(data):
    _, copies = decode(data)
    assert corners_of(opened(copies["screen"])) == UPRIGHT


@pytest.mark.parametrize("mode", ["1", "L", "LA", "I;16"])
def test_grey_stays_grey_from_black_to_white(mode):
    image = Image.new("L", (200, 100), 0)
    image.paste(255, (100, 0, 200, 100))
    if mode == "I;16":
        wide = b"".join(bytes([value, value]) for value in image.tobytes())
        image = Image.frombytes("I;16", (200, 100), wide)
    elif mode != "L":
        image = image.convert(mode)
    _, copies = decode(pictures.saved(image, "PNG"))
    shown = opened(copies["screen"])
    assert max(shown.getpixel((50, 50))) < 5
    assert min(shown.getpixel((150, 50))) > 250


def test_sixteen_bits_of_grey_keep_their_middle():
    image = Image.frombytes("I;16", (64, 64), struct.pack("<H", 0x8000) * 64 * 64)
    _, copies = decode(pictures.saved(image, "PNG"))
    assert opened(copies["screen"]).getpixel((32, 32))[0] == pytest.approx(128, abs=2)


def test_what_shows_through_is_white():
    image = Image.new("RGBA", (100, 100), (0, 0, 0, 0))
    _, copies = decode(pictures.saved(image, "PNG"))
    assert min(opened(copies["screen"]).getpixel((50, 50))) > 250


def profile_of(**changes):
    """The sRGB profile, with some bytes of it changed and its description no longer sRGB's."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    profile = profile.replace("sRGB".encode("utf-16-be"), "none".encode("utf-16-be"))
    swapped = {b"rXYZ": b"gXYZ", b"gXYZ": b"rXYZ"} if changes.get("red_is_green") else {}
    count = struct.unpack_from(">I", profile, 128)[0]
    table = bytearray(profile)
    for at in range(132, 132 + 12 * count, 12):
        table[at : at + 4] = swapped.get(bytes(table[at : at + 4]), table[at : at + 4])
    return bytes(table)


@pytest.mark.parametrize("kind", ["JPEG", "WEBP"])
def test_colours_are_shown_as_the_photos_profile_means_them(kind):
    data = pictures.saved(pictures.quarters(), kind, icc_profile=profile_of(red_is_green=True))
    red, green, blue, _ = (
        opened(decode(data)[1]["screen"]).getpixel(at)
        for at in ((120, 80), (360, 80), (120, 240), (360, 240))
    )
    assert red[1] > 2 * red[0] and green[0] > green[1] and blue[2] > 2 * blue[0]


@pytest.mark.parametrize("profile", [b"\0" * 200, b"\xff" * 5000, profile_of()[:300]])
def test_a_profile_that_can_not_be_read_changes_nothing(profile):
    shown = opened(decode(pictures.jpeg(icc_profile=profile))[1]["screen"])
    assert corners_of(shown) == UPRIGHT


# ------------------------------------------------------------------ nothing travels along


@pytest.mark.parametrize("kind", KINDS)
def test_no_copy_holds_anything_that_was_planted_in_the_original(kind):
    data = pictures.marked(kind)
    planted = [mark for mark in MARKS if mark in data]
    assert len(planted) >= 5, "the fixture must be worth searching"
    facts, copies = decode(data)
    assert facts["had_location"]
    for copy in copies.values():
        assert [mark for mark in planted if mark in copy] == []
        image = opened(copy)
        assert not image.getexif()
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        for sign in (b"Exif", b"ICC_PROFILE", b"http://ns.adobe.com", b"GPS", b"Photoshop"):
            assert sign not in copy
        assert copy.endswith(b"\xff\xd9")


def test_a_colour_profile_does_not_travel_along():
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    data = pictures.jpeg(icc_profile=profile)
    assert b"ICC_PROFILE" in data
    assert all(b"ICC_PROFILE" not in copy for copy in decode(data)[1].values())


# ------------------------------------------------------------------ claims


@pytest.mark.parametrize("kind", KINDS)
def test_the_cameras_time_is_told_as_it_claims_it(kind):
    facts, _ = decode(pictures.marked(kind))
    assert facts["claimed_at"] == "2026-03-14T09:26:53+01:00"


@pytest.mark.parametrize(
    ("taken", "offset", "told"),
    [
        ("2026:03:14 09:26:53", None, "2026-03-14T09:26:53"),
        ("2026:03:14 09:26:53", "Zulu", "2026-03-14T09:26:53"),
        ("2026:02:30 25:61:00", None, ""),
        ("9999:01:01 00:00:00", None, ""),
        ("0000:00:00 00:00:00", None, ""),
        ("2026-03-14 09:26:53", None, ""),
        ("<script>alert(1)</script>", None, ""),
        ("=1+2", None, ""),
        ("\u202e2026:03:14 09:26:53", None, ""),
        (None, None, ""),
    ],
)
def test_a_time_that_can_not_be_is_unknown(taken, offset, told):
    facts, _ = decode(pictures.jpeg(exif=pictures.exif_of(taken=taken, offset=offset)))
    assert facts["claimed_at"] == told


def test_a_photo_without_a_place_says_so():
    facts, _ = decode(pictures.jpeg(exif=pictures.exif_of(place=False)))
    assert not facts["had_location"]


@pytest.mark.parametrize(
    "block",
    [
        pytest.param(b"", id="nothing"),
        pytest.param(b"\xff" * 400, id="noise"),
        pytest.param(pictures.tiff((0x8769, 4, 1, 8), following=8), id="points to itself"),
        pytest.param(pictures.tiff((0x0132, 2, 2**32 - 1, 8)), id="four thousand million values"),
        pytest.param(pictures.tiff((0x0132, 2, 20, 2**32 - 1)), id="points outside"),
        pytest.param(
            pictures.tiff((0x011A, 5, 1, 26), (0x0128, 3, 1, 2 << 16)) + b"\0" * 8,
            id="divides by nought",
        ),
        pytest.param(pictures.tiff(*[(0x8769, 4, 1, 8)] * 2_000), id="2,000 times the same"),
        pytest.param(b"MM\0*\0\0\0\x08\xff\xff", id="65,535 entries that are not there"),
        pytest.param(pictures.tiff((0x0112, 2, 4, 0x61626300)), id="orientation in letters"),
    ],
)
def test_broken_metadata_is_no_reason_to_refuse_a_photo(block):
    facts, copies = decode(pictures.jpeg_with_exif(block))
    assert facts["claimed_at"] == ""
    assert corners_of(opened(copies["screen"])) == UPRIGHT


# ------------------------------------------------------------------ hostile


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(
            pictures.png_with(pictures.png_chunk(b"zTXt", b"a\0\0" + zlib.compress(b" " * 2**26))),
            id="text that unpacks to 64 MiB",
        ),
        pytest.param(
            pictures.png_with(pictures.png_chunk(b"iCCP", b"a\0\0" + zlib.compress(b" " * 2**26))),
            id="colour profile that unpacks to 64 MiB",
        ),
        pytest.param(
            pictures.png_with(*[pictures.png_chunk(b"tEXt", b"a\0b")] * 60_000),
            id="60,000 text chunks",
        ),
        pytest.param(
            pictures.jpeg()[:2] + (b"\xff\xeb\xff\xff" + b"x" * 65_533) * 80 + pictures.jpeg()[2:],
            id="80 application segments",
        ),
        pytest.param(pictures.jpeg() + b"<script>alert(1)</script>", id="JPEG with script behind"),
        pytest.param(pictures.jpeg() + b"PK\3\4" * 500, id="JPEG with archive behind"),
        pytest.param(pictures.jpeg(comment=b"<?php echo 1; ?>"), id="JPEG with a program inside"),
        pytest.param(
            pictures.saved(pictures.quarters(), "PNG") + b"<html></html>", id="PNG with page behind"
        ),
    ],
)
def test_what_hangs_on_a_good_photo_is_left_behind(data):
    _, copies = decode(data)
    assert corners_of(opened(copies["screen"])) == UPRIGHT
    for copy in copies.values():
        assert not any(sign in copy for sign in (b"<script", b"<?php", b"<html", b"PK\3\4"))


@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_cut_anywhere_is_refused_and_never_shown_as_whole(kind):
    noise = Image.effect_noise((300, 200), 90).convert("RGB")
    data = pictures.saved(noise, kind)
    for length in [17, *range(40, len(data) - 12, max(1, len(data) // 40))]:
        with pytest.raises(PhotoRefused):
            decode(data[:length])
    with pytest.raises((Incomplete, Damaged)):
        decode(data[: len(data) * 2 // 3])


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_cut_in_half_is_said_to_be_incomplete(kind):
    data = pictures.saved(Image.effect_noise((300, 200), 90).convert("RGB"), kind)
    with pytest.raises(Incomplete):
        decode(data[: len(data) // 2])


@pytest.mark.parametrize("kind", KINDS)
def test_garbage_behind_a_good_beginning_is_refused(kind):
    data = pictures.saved(pictures.quarters(), kind)
    with pytest.raises(PhotoRefused):
        decode(data[:24] + b"\x07" * 500)
