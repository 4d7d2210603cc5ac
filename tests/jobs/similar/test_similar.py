"""How alike two complaints are."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.similar import CAR, KIND, LEAST_SCORE, SEEN, WHEN, WORDS, Case, Rarity, compare, words_of


def some(things: list) -> st.SearchStrategy[frozenset]:
    return st.frozensets(st.sampled_from(things), max_size=6)


cases = st.builds(
    Case,
    family=st.sampled_from(["", "starts_badly", "overheats"]),
    seen=some([(test, pattern) for test in ("cranking", "charging") for pattern in "abc"]),
    make=st.sampled_from(["", "corvane", "medlar"]),
    model=st.sampled_from(["", "hauler", "tansy"]),
    engine=st.sampled_from(["", "diesel line 4 1968", "petrol line 3 999"]),
    words=some(["slow", "hot", "cranks", "noise", "it", "smoke", "morning", "grinding"]),
    conditions=some([("weather", "wet"), ("weather", "frost"), ("how_often", "once")]),
)
pools = st.lists(cases, min_size=2, max_size=8)

SLOW = Case(
    family="starts_badly",
    seen=frozenset({("voltage_drop", "lost_in_one_step")}),
    make="corvane",
    model="hauler",
    engine="diesel line 4 1968",
    words=words_of("turns over slowly when hot"),
    conditions=frozenset({("engine_temperature", "hot")}),
)


@given(pools)
def test_both_ways_round_are_the_same(pool) -> None:
    one, other = pool[:2]
    rarity = Rarity(pool)
    there, back = compare(one, other, rarity), compare(other, one, rarity)
    assert replace(there, score=0) == replace(back, score=0)
    assert there.score == pytest.approx(back.score)


@given(pools)
def test_nothing_is_more_like_a_complaint_than_the_same_complaint(pool) -> None:
    asked = pool[0]
    rarity = Rarity(pool)
    best = compare(asked, asked, rarity).score
    assert all(compare(asked, other, rarity).score <= best + 1e-9 for other in pool)


@given(pools)
def test_what_is_stated_is_true_of_both(pool) -> None:
    one, other = pool[:2]
    found = compare(one, other, Rarity(pool))
    assert set(found.seen) == one.seen & other.seen
    assert set(found.conditions) == one.conditions & other.conditions
    assert set(found.words) <= one.words & other.words
    assert found.family in ("", one.family) and found.family in ("", other.family)


@given(pools, st.randoms())
def test_the_order_of_the_others_does_not_matter(pool, draw) -> None:
    one, other = pool[:2]
    mixed = draw.sample(pool, len(pool))
    assert compare(one, other, Rarity(pool)) == compare(one, other, Rarity(mixed))


@given(pools)
def test_the_score_stays_within_what_the_parts_are_worth(pool) -> None:
    score = compare(*pool[:2], Rarity(pool)).score
    assert 0 <= score <= KIND + SEEN + CAR + WORDS + WHEN + 1e-9


@pytest.mark.parametrize(
    ("other", "car"),
    [
        (SLOW, "engine"),
        (replace(SLOW, engine="petrol line 4 1598"), "model"),
        (replace(SLOW, engine=""), "model"),
        (replace(SLOW, model="tansy"), "make"),
        (replace(SLOW, make="medlar"), ""),
        (replace(SLOW, make=""), ""),
    ],
)
def test_how_far_the_car_is_the_same(other, car) -> None:
    assert compare(SLOW, other, Rarity([SLOW, other])).car == car


def test_what_is_not_known_is_not_the_same() -> None:
    unknown = Case()
    found = compare(unknown, unknown, Rarity([unknown, unknown]))
    assert (found.family, found.car, found.score) == ("", "", 0)


def test_the_same_kind_alone_is_alike_and_the_same_model_alone_is_not() -> None:
    kind = Case(family="starts_badly")
    model = replace(SLOW, family="overheats", seen=frozenset(), words=frozenset())
    rarity = Rarity([SLOW, kind, model])
    assert compare(SLOW, kind, rarity).score == LEAST_SCORE
    assert compare(SLOW, kind, rarity).enough
    assert not compare(SLOW, replace(model, conditions=frozenset()), rarity).enough


def test_a_rare_word_counts_more_than_a_common_one() -> None:
    asked = Case(words=frozenset({"slowly", "grinding"}))
    common = Case(words=frozenset({"slowly", "smoke"}))
    rare = Case(words=frozenset({"grinding", "smoke"}))
    rarity = Rarity([asked, rare, *[common] * 6])
    assert compare(asked, rare, rarity).score > compare(asked, common, rarity).score


def test_only_words_that_few_use_are_told() -> None:
    asked = Case(words=words_of("it makes a grinding noise"))
    other = Case(words=words_of("grinding, it stops when warm"))
    rest = [Case(words=words_of("it shakes"))] * 8
    assert compare(asked, other, Rarity([asked, other, *rest])).words == ("grinding",)


def test_a_test_that_saw_the_same_counts_more_than_one_that_few_share() -> None:
    other = replace(SLOW, seen=frozenset({("voltage_drop", "lost_spread")}))
    rarity = Rarity([SLOW, SLOW, other])
    assert compare(SLOW, SLOW, rarity).score > compare(SLOW, other, rarity).score


def test_words_are_taken_from_any_writing() -> None:
    assert words_of("ελεγχος 12v, кран") == {"ελεγχος", "12v", "кран"}
