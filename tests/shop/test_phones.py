"""Telephone numbers: read where they can be, kept as typed always."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.phones import read_phone


def test_a_number_of_the_shops_country_is_shown_as_dialled_there():
    phone = read_phone("030 / 23125 000", "DE")
    assert phone.typed == "030 / 23125 000"
    assert phone.e164 == "+493023125000"
    assert phone.shown == "030 23125000"
    assert phone.digits == "493023125000"
    assert phone.link == "tel:+493023125000"


@pytest.mark.parametrize("typed", ["02041/23125", "033200/23125", "+49 (0)2041 / 23125"])
def test_a_stroke_after_the_area_code_is_no_second_number(typed):
    assert read_phone(typed, "DE").e164.endswith("23125")


def test_a_number_of_another_country_is_shown_with_its_code():
    assert read_phone("+44 20 7946 0018", "DE").shown == "+44 20 7946 0018"


def test_a_number_of_fiction_is_not_refused():
    phone = read_phone("(202) 555-0143", "US")
    assert phone.e164 == "+12025550143"
    assert phone.shown == "(202) 555-0143"


@pytest.mark.parametrize(
    "typed", ["call at the bakery", "12", "112 or so", "5550143", "030 123456 / 0172 4567890", ""]
)
def test_what_cannot_be_read_is_kept_as_typed(typed):
    phone = read_phone(typed, "US")
    assert (phone.typed, phone.shown, phone.e164) == (typed, typed, "")


def test_a_number_without_area_code_can_still_be_dialled():
    assert read_phone("555 0143", "US").link == "tel:5550143"


def test_a_note_beside_the_number_stays_visible():
    phone = read_phone("020 7946 0018 (her mother)", "GB")
    assert "her mother" in phone.shown
    assert phone.e164 == "+442079460018"


def test_an_extension_is_dialled_after_the_number():
    assert read_phone("(202) 555-0143 ext. 12", "US").link == "tel:+12025550143;ext=12"


def test_the_digits_of_a_read_number_hold_what_is_dialled_at_home():
    assert "2079460018" in read_phone("020 7946 0018", "GB").digits


@settings(deadline=None)
@given(
    st.text(alphabet=st.characters(), max_size=50), st.sampled_from(["GB", "US", "de", "ZZ", ""])
)
def test_no_typed_text_is_refused(typed, region):
    phone = read_phone(typed, region)
    assert phone.typed == typed
    assert phone.digits == "" or (phone.digits.isascii() and phone.digits.isdigit())
