"""Number plates: what is refused, and finding one however it is written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.plates import (
    PlateCharacter,
    PlateTooLong,
    RegionUnknown,
    plate_key,
    read_plate,
    read_region,
    regions,
)


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        (" bn 58  kld ", "BN 58 KLD"),
        ("B-XY 123", "B-XY 123"),
        ("tü-a 1", "TÜ-A 1"),
        ("А123ВС 77", "А123ВС 77"),
        ("", ""),
    ],
)
def test_a_plate_is_stored_in_capitals_with_single_blanks(typed, stored):
    assert read_plate(typed) == stored


@pytest.mark.parametrize("sign", ["\u202e", "\u200b", "\x00", "<", "/", "\ud800", "🚗"])
def test_a_sign_that_stands_on_no_plate_is_refused_with_its_position(sign):
    with pytest.raises(PlateCharacter, match="position 3"):
        read_plate(f"AB{sign}12")


def test_too_long_a_plate_names_the_limit():
    with pytest.raises(PlateTooLong, match="at most 20"):
        read_plate("A" * 21)


@pytest.mark.parametrize(
    "written", ["BN 58 KLD", "bn-58-kld", "BN58KLD", " B N 5 8·KLD", "ВN58KLD"]
)
def test_a_plate_is_found_however_it_is_written(written):
    assert plate_key(written) == "BN58KLD"


def test_accents_do_not_hide_a_plate():
    assert plate_key("TÜ-A 1") == plate_key("tu a1")


@given(st.text(max_size=60))
def test_any_typed_text_has_a_key_of_letters_and_digits(text):
    key = plate_key(text)
    assert len(key) <= 20
    assert plate_key(key) == key
    assert all(c.isalpha() or c.isdecimal() for c in key)


def test_a_region_is_an_iso_code():
    assert read_region(" us-ca ") == "US-CA"
    assert read_region("") == ""
    with pytest.raises(RegionUnknown, match="Germany"):
        read_region("Germany")


def test_offered_regions_have_names_and_can_be_read():
    offered = regions("en")
    assert ("DE", "Germany") in offered
    assert all(read_region(code) == code and name for code, name in offered)
