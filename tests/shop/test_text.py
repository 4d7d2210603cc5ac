"""Typed text: what is refused and where, what is shown openly, what it is found by."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.text import (
    TextTooLong,
    TooManyMarks,
    UnprintableCharacter,
    clean_line,
    clean_text,
    search_key,
    show_controls,
)


@pytest.mark.parametrize(
    "text",
    [
        "Squeals when cold",
        "quietscht – ‘kalt’",
        "冷機時に鳴る",
        "صوت عند البرد",
        "🚗👩‍🔧",
        "<script>alert(1)</script>",
        "{{ 7*7 }}",
        "=cmd|x",
        "tab\tand\nline",
        "e\u0301te\u0301",
        "right\u202eto left",
    ],
)
def test_text_of_any_language_is_kept_as_typed(text):
    assert clean_text(text) == text


@pytest.mark.parametrize(
    "bad", ["\x00", "\x07", "\x7f", "\x85", "\ud800", "\ufdd0", "\ufffd", "\uffff"]
)
def test_an_unprintable_character_is_refused_with_its_position(bad):
    with pytest.raises(UnprintableCharacter, match="position 4") as refused:
        clean_text(f"abc{bad}def")
    assert refused.value.position == 4
    assert f"U+{ord(bad):04X}" in str(refused.value)


def test_the_position_in_a_line_counts_as_it_was_typed():
    with pytest.raises(UnprintableCharacter, match="position 6"):
        clean_line("  abc\x00 ")


def test_too_long_a_text_names_length_and_limit():
    with pytest.raises(TextTooLong, match="10001 characters; at most 10000"):
        clean_text("x" * 10_001)
    assert len(clean_text("x" * 10_000)) == 10_000


def test_a_heap_of_accents_on_one_letter_is_refused():
    with pytest.raises(TooManyMarks):
        clean_text("a" + "\u0301" * 5_000)


def test_line_ends_of_a_browser_become_plain_ones():
    assert clean_text("a\r\nb\rc") == "a\nb\nc"


def test_a_pasted_name_fits_on_one_line():
    assert clean_line("  Petra\r\n Holm\t") == "Petra Holm"


def test_the_limit_of_a_line_does_not_count_what_is_trimmed():
    assert clean_line("x" * 120 + "\n\n") == "x" * 120
    with pytest.raises(TextTooLong):
        clean_line("x" * 121)


def test_signs_that_turn_or_hide_text_are_shown_by_name():
    assert show_controls("a\u202eb\u200bc\ufeff") == "a⟨RLO⟩b⟨ZWSP⟩c⟨BOM⟩"
    assert show_controls("plain ägé") == "plain ägé"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Müller", "MULLER"),
        ("Mu\u0308ller", "müller"),
        ("Straße", "STRASSE"),
        ("Ångström", "angstrom"),
        ("Łódź", "lodz"),
        ("Søren", "soren"),
        ("a\u200bb", "ab"),
        ("two\n  lines", "Two Lines"),
        ("ﬁlter", "FILTER"),
    ],
)
def test_two_ways_of_writing_share_a_search_key(one, other):
    assert search_key(one) == search_key(other)


def test_different_words_keep_different_keys():
    assert len({search_key(w) for w in ("Holm", "Halm", "Холм", "冷", "温")}) == 5


@given(st.text(alphabet=st.characters(), max_size=60))
def test_a_search_key_is_its_own_key_and_can_be_stored(text):
    key = search_key(text)
    assert search_key(key) == key
    assert "\x00" not in key
    key.encode("utf-8")


@given(st.text(max_size=60), st.integers(1, 20))
def test_a_search_key_is_cut_to_its_column(text, limit):
    assert len(search_key(text, limit=limit)) <= limit
