"""The VIN at the counter: advice by market, suggestions that are only offered, odd input."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import vin
from shop.vin import ELSEWHERE, NORTH_AMERICA

GOOD = "1M8GDM9AXKP042788"


def test_a_mismatch_is_refused_in_north_america_and_advice_elsewhere():
    number = "WVWZZZ1JZ3W000001"
    assert vin.check(number, NORTH_AMERICA).refused
    elsewhere = vin.check(number, ELSEWHERE)
    assert not elsewhere.refused
    assert "may be right" in elsewhere.advice[0]


def test_a_good_number_needs_no_words():
    found = vin.check(GOOD, NORTH_AMERICA)
    assert (found.advice, found.warnings, found.suggestions) == ((), (), ())


@pytest.mark.parametrize(
    ("typed", "meant", "words"),
    [
        ("1M8GDM9AXKPO42788", GOOD, "position 12: 0 in place of O"),
        ("IM8GDM9AXKP042788", GOOD, "position 1: 1 in place of I"),
        ("1M8GDM9AXKPQ42788", GOOD, "position 12: 0 in place of Q"),
    ],
)
def test_letters_that_no_number_holds_are_offered_as_digits(typed, meant, words):
    found = vin.check(typed, NORTH_AMERICA)
    assert [(s.vin, s.words, s.check_agrees) for s in found.suggestions] == [(meant, words, True)]
    assert found.vin == typed
    assert found.refused


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("SGZCZ43D13S812715", "5GZCZ43D13S812715"),
        ("1ZVFT82H955180009", "1ZVFT82H955100009"),
        ("2T9BR4HK3NC005417", "2T9BR4HK3NC004517"),
    ],
)
def test_a_look_alike_or_a_swap_is_offered_and_not_applied(typed, meant):
    found = vin.check(typed, NORTH_AMERICA)
    assert meant in [s.vin for s in found.suggestions]
    assert found.vin == typed


def test_a_stamped_number_may_have_blanks_hyphens_and_stars():
    assert vin.normalise("*1m8-gdm9ax kp042788*") == GOOD


def test_a_car_of_before_1981_keeps_its_short_number():
    found = vin.check("9F4 1187", NORTH_AMERICA, known_year=1969)
    assert (found.form, found.verdict) == ("bad_length", "advisory")
    assert vin.check("9F41187", NORTH_AMERICA).refused


def test_a_short_number_elsewhere_is_kept_with_advice():
    found = vin.check("9F41187", ELSEWHERE)
    assert not found.refused
    assert found.advice == (
        "7 characters; a VIN has 17. Cars of before 1981 may have fewer.",
        "It is kept as typed.",
    )


@pytest.mark.parametrize("sign", ["\u202e", "\x00", "Ä", "<", "😀", "\ud800", "٣"])
@pytest.mark.parametrize("market", [NORTH_AMERICA, ELSEWHERE])
def test_signs_that_are_neither_letter_nor_digit_are_refused_everywhere(sign, market):
    found = vin.check(GOOD[:5] + sign + GOOD[6:], market)
    assert found.refused
    assert "Position 6" in found.advice[0]


def test_odd_form_is_a_warning_and_no_refusal():
    number = "1M8GDM9AXUPA42788"
    number = number[:8] + vin.check_digit(number) + number[9:]
    found = vin.check(number, NORTH_AMERICA, light_duty=True)
    assert found.verdict == "valid"
    assert "Position 10 is U, which stands for no model year." in found.warnings
    assert vin.check(number, ELSEWHERE, light_duty=True).warnings == ()


def test_letters_in_the_last_five_positions_are_named():
    number = "1M8GDM9AXKP04A788"
    number = number[:8] + vin.check_digit(number) + number[9:]
    assert any(
        "13 to 17 are 4A788" in w
        for w in vin.check(number, NORTH_AMERICA, light_duty=True).warnings
    )


def test_position_seven_is_held_against_a_known_year():
    assert not vin.check("1G4AH59H45G118341", NORTH_AMERICA, light_duty=True).warnings
    warned = vin.check("1G4AH59H45G118341", NORTH_AMERICA, light_duty=True, known_year=2012)
    assert "Position 7 is 9" in warned.warnings[0]


@pytest.mark.parametrize(
    ("region", "market"),
    [
        ("US", NORTH_AMERICA),
        ("ca", NORTH_AMERICA),
        ("US-CA", NORTH_AMERICA),
        ("DE", ELSEWHERE),
        ("MX", ELSEWHERE),
        ("", ELSEWHERE),
    ],
)
def test_the_market_follows_the_region(region, market):
    assert vin.market_of(region) == market


@given(st.text(alphabet=st.characters(), max_size=60), st.sampled_from([NORTH_AMERICA, ELSEWHERE]))
def test_any_typed_text_is_answered_and_kept(typed, market):
    found = vin.check(typed, market, light_duty=True)
    assert found.typed == typed
    assert found.verdict in ("valid", "invalid", "advisory")
    assert found.verdict == "valid" or found.advice
    key = vin.vin_key(typed)
    assert len(key) <= 40 and (key == "" or (key.isascii() and key.isalnum()))
