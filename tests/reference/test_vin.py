"""VIN against its regulation and an independent library.

Sources: 49 CFR 565.15, tables III (values), IV (weights) and VII (model years), with the
regulation's own sample number; ISO 3779 for the form. Oracle: the `vininfo` library. Serial
numbers are synthetic.
"""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from vininfo import Vin

from shop import vin as v
from shop.vin import ELSEWHERE, NORTH_AMERICA

REGULATION = "49 CFR 565.15(c), tables III and IV, worked by hand"
SAMPLE = "49 CFR 565.15, the regulation's own sample number"
YEAR_TABLE = "49 CFR 565.15, table VII"
YEAR_RULE = "49 CFR 565.15(d), position 7 of light vehicles"

EXAMPLES = [
    # typed, market, form, computed, verdict
    ("1G4AH59H45G118341", NORTH_AMERICA, "ok", "4", "valid"),  # the regulation's own sample
    ("1M8GDM9AXKP042788", NORTH_AMERICA, "ok", "X", "valid"),
    ("11111111111111111", NORTH_AMERICA, "ok", "1", "valid"),
    ("5GZCZ43D13S812715", NORTH_AMERICA, "ok", "1", "valid"),
    ("SGZCZ43D13S812715", NORTH_AMERICA, "ok", "X", "invalid"),  # S for 5: caught
    ("1C4RJ5AGXGC000013", NORTH_AMERICA, "ok", "X", "valid"),
    ("1C4RJ5AG0GC000013", NORTH_AMERICA, "ok", "X", "invalid"),  # X typed as 0: caught
    ("  1m8gdm9axkp042788 ", NORTH_AMERICA, "ok", "X", "valid"),
    ("1M8GDM9AXKPO42788", NORTH_AMERICA, "bad_characters", None, "invalid"),
    ("1M8GDM9AXKP04278I", NORTH_AMERICA, "bad_characters", None, "invalid"),
    ("1Q8GDM9AXKP042788", NORTH_AMERICA, "bad_characters", None, "invalid"),
    ("1M8GDM9AXKP04278", NORTH_AMERICA, "bad_length", None, "invalid"),
    ("2T9BR4HK3NC005417", NORTH_AMERICA, "ok", "4", "invalid"),  # neighbours swapped: caught
    ("2T9BR4HK3NC004517", NORTH_AMERICA, "ok", "3", "valid"),
    ("423ZZ5KJ1L1900632", NORTH_AMERICA, "ok", "1", "valid"),  # S and 2 share a value: not caught
    ("4S3ZZ5KJ1L1900632", NORTH_AMERICA, "ok", "1", "valid"),
    ("WVWZZZ1JZ3W000001", ELSEWHERE, "ok", "8", "advisory"),  # a filler in position 9
    ("1ZVFT82H955180009", NORTH_AMERICA, "ok", "2", "invalid"),  # 0 read as 8: caught
    ("3B7HF13YX1G000321", NORTH_AMERICA, "ok", "X", "valid"),
    ("3B7HF13YXUG000321", NORTH_AMERICA, "ok", "4", "invalid"),  # U is no year code
]

YEARS = [
    # number, light vehicle, market, candidates, chosen
    ("1G4AH59H45G118341", True, NORTH_AMERICA, (2005, 2035), 2005),
    ("2T9BR4HK3NC004517", True, NORTH_AMERICA, (1992, 2022), 2022),
    ("1ZVFT82H955100009", True, NORTH_AMERICA, (2005, 2035), 2005),
    ("1M8GDM9AXKP042788", False, NORTH_AMERICA, (1989, 2019), None),
    ("WVWZZZ1JZ3W000001", True, ELSEWHERE, (2003, 2033), None),
    ("3B7HF13YXUG000321", True, NORTH_AMERICA, (), None),
]

EQUAL_VALUES = ("1AJ", "2BKS", "3CLT", "4DMU", "5ENV", "6FW", "7GPX", "8HY", "9RZ")

numbers = st.text(alphabet=sorted(v.VALUES), min_size=17, max_size=17)


def with_check(number: str) -> str:
    """The number with the check digit that agrees."""
    return number[:8] + v.check_digit(number) + number[9:]


@pytest.mark.parametrize(("typed", "market", "form", "computed", "verdict"), EXAMPLES)
def test_examples_of_form_and_check_digit(typed, market, form, computed, verdict, against):
    found = v.check(typed, market)
    against(
        f"form, check digit and verdict of {typed.strip()}"
        + (", typed small with spaces" if typed != typed.strip() else "")
        + (", not for North America" if market == ELSEWHERE else ""),
        SAMPLE if typed == "1G4AH59H45G118341" else REGULATION,
        expected=_said(form, computed, verdict),
        got=_said(found.form, found.computed, found.verdict),
    )


@pytest.mark.parametrize(("number", "light_duty", "market", "candidates", "chosen"), YEARS)
def test_examples_of_the_model_year(number, light_duty, market, candidates, chosen, against):
    found = v.check(number, market, light_duty=light_duty)
    assert (found.years, found.year) == (candidates, chosen)
    against(
        f"model year of {number}"
        + ("" if light_duty else ", heavy vehicle")
        + (", not for North America" if market == ELSEWHERE else ""),
        YEAR_RULE if chosen else YEAR_TABLE,
        expected=str(chosen) if chosen else [str(year) for year in candidates],
        got=str(found.year) if found.year else [str(year) for year in found.years],
    )


@pytest.mark.parametrize(
    ("code", "first"),
    [
        ("A", 1980),
        ("H", 1987),
        ("J", 1988),
        ("N", 1992),
        ("P", 1993),
        ("R", 1994),
        ("T", 1996),
        ("V", 1997),
        ("Y", 2000),
        ("1", 2001),
        ("9", 2009),
    ],
)
def test_year_codes_of_table_vii(code, first, against):
    found = v.year_candidates("1M8GDM9AX" + code + "P042788")
    against(
        f"model years of code {code}",
        YEAR_TABLE,
        expected=f"{first}, {first + 30}",
        got=", ".join(str(year) for year in found),
    )


@pytest.mark.parametrize("number", ["1M8GDM9AXKP042788", "5GZCZ43D13S812715", "3B7HF13YX1G000321"])
def test_check_digits_of_the_library(number, against):
    """Three of what the search below tries, for the help page."""
    (agreeing,) = (
        digit
        for digit in "0123456789X"
        if _library(number[:8] + digit + number[9:]).verify_checksum(check_year=False)
    )
    against(
        f"check digit of {number}",
        "vininfo library",
        expected=agreeing,
        got=v.check_digit(number),
    )


@given(numbers)
def test_the_check_digit_agrees_with_the_library(number):
    agreeing = [
        digit
        for digit in "0123456789X"
        if _library(number[:8] + digit + number[9:]).verify_checksum(check_year=False)
    ]
    assert agreeing == [v.check_digit(number)]


@given(numbers)
def test_model_years_that_have_come_agree_with_the_library(number):
    theirs = sorted(_library(number).years)
    assert [year for year in v.year_candidates(number) if year <= max(theirs, default=0)] == theirs


@given(numbers, st.integers(0, 16), st.sampled_from(sorted(v.VALUES)))
def test_a_change_to_a_character_of_another_value_is_caught(number, place, character):
    good = with_check(number)
    assume(v.VALUES[good[place]] != v.VALUES[character] or (place == 8 and good[8] != character))
    changed = good[:place] + character + good[place + 1 :]
    assert v.check(changed, NORTH_AMERICA).verdict == "invalid"


@given(numbers, st.integers(0, 16), st.sampled_from(EQUAL_VALUES), st.data())
def test_a_change_to_a_character_of_equal_value_is_not_caught(number, place, equals, data):
    assume(place != 8)
    one, other = data.draw(st.permutations(equals))[:2]
    good = with_check(number[:place] + one + number[place + 1 :])
    assert v.check(good[:place] + other + good[place + 1 :], NORTH_AMERICA).verdict == "valid"


@given(numbers, st.integers(0, 15))
def test_two_swapped_neighbours_of_unequal_value_are_caught(number, place):
    good = with_check(number)
    assume(8 not in (place, place + 1))
    assume(v.VALUES[good[place]] != v.VALUES[good[place + 1]])
    swapped = good[:place] + good[place + 1] + good[place] + good[place + 2 :]
    assert v.check(swapped, NORTH_AMERICA).verdict == "invalid"


def _said(form, computed, verdict):
    return f"{form.replace('_', ' ')}, {computed or 'no check digit'}, {verdict}"


class _AnyMaker:
    """Stands for the maker, since the library drops the check for some makers by name."""

    brands = ()


def _library(number: str) -> Vin:
    class Number(Vin):
        assembler = _AnyMaker()

    return Number(number)
