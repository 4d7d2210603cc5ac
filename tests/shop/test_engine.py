"""Engines as values: banks, neighbours, firing orders, and what can't be."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engine import (
    LAYOUTS,
    NUMBERINGS,
    PRESETS,
    BanksIncomplete,
    CylindersImpossible,
    DisplacementOutside,
    Engine,
    EngineError,
    FiringOrderIncomplete,
    FiringOrderUnreadable,
    LayoutUnknown,
    parse_firing_order,
)


@pytest.mark.parametrize(
    ("engine", "banks"),
    [
        (Engine.of("line", 4), ((1, 2, 3, 4),)),
        (Engine.of("line", 4, "from_flywheel"), ((4, 3, 2, 1),)),
        (Engine.of("v", 6), ((1, 2, 3), (4, 5, 6))),
        (Engine.of("v", 8, "alternating"), ((1, 3, 5, 7), (2, 4, 6, 8))),
        (Engine.of("flat", 4), ((1, 3), (2, 4))),
        (Engine.of("v", 4, "as_stated", banks=[[1, 4], [3, 2]]), ((1, 4), (3, 2))),
        (Engine.of("none", 0), ()),
    ],
)
def test_the_banks_follow_from_layout_and_numbering(engine, banks):
    assert engine.banks == banks


@pytest.mark.parametrize(
    ("engine", "cylinder", "beside"),
    [
        (Engine.of("line", 4), 1, (2,)),
        (Engine.of("line", 4), 3, (2, 4)),
        (Engine.of("v", 6), 3, (2,)),
        (Engine.of("v", 6), 4, (5,)),
        (Engine.of("v", 8, "alternating"), 3, (1, 5)),
        (Engine.of("flat", 4), 1, (3,)),
        (Engine.of("other", 2), 1, ()),
        (Engine.of("line", 4), 9, ()),
    ],
)
def test_neighbours_lie_in_the_same_bank(engine, cylinder, beside):
    assert engine.neighbours(cylinder) == beside


@given(st.sampled_from(sorted(PRESETS)))
def test_being_a_neighbour_is_mutual(code):
    engine = PRESETS[code].engine
    for cylinder in range(1, engine.cylinders + 1):
        for other in engine.neighbours(cylinder):
            assert cylinder in engine.neighbours(other)
            assert engine.bank_of(cylinder) == engine.bank_of(other)


@pytest.mark.parametrize(
    "typed", ["1-3-4-2", "1342", " 1 3 4 2 ", "1,3,4,2", "1, 3, 4, 2", "1–3–4–2"]
)
def test_a_firing_order_may_be_typed_in_several_ways(typed):
    assert parse_firing_order(typed, 4) == (1, 3, 4, 2)


def test_an_empty_firing_order_is_not_known():
    assert parse_firing_order(" ", 4) == ()
    assert Engine.of("line", 4).firing_order_text == ""


def test_a_firing_order_names_each_cylinder_once():
    with pytest.raises(FiringOrderIncomplete, match="1-3-4-3") as refused:
        Engine.of("line", 4, firing_order="1-3-4-3")
    assert (refused.value.missing, refused.value.unexpected) == ((2,), (3,))
    with pytest.raises(FiringOrderIncomplete, match="5 is too much"):
        Engine.of("line", 4, firing_order="1-3-4-2-5")


@pytest.mark.parametrize("typed", ["one", "1-3-4-", "1-3-x-2", "١-٣-٤-٢", "1-3-4-222", "\x00"])
def test_what_is_no_firing_order_is_refused(typed):
    with pytest.raises(FiringOrderUnreadable):
        parse_firing_order(typed, 4)


@pytest.mark.parametrize(
    ("layout", "cylinders"),
    [
        ("line", 0),
        ("line", 17),
        ("v", 5),
        ("flat", 3),
        ("none", 4),
        ("line", -1),
        ("line", 4.0),
        ("line", "4"),
        ("line", True),
    ],
)
def test_a_number_of_cylinders_that_the_layout_lacks_is_refused(layout, cylinders):
    with pytest.raises(CylindersImpossible):
        Engine.of(layout, cylinders)


def test_an_unknown_layout_or_numbering_is_refused():
    with pytest.raises(LayoutUnknown, match="ring"):
        Engine.of("ring", 4)
    with pytest.raises(LayoutUnknown, match="alternating"):
        Engine.of("line", 4, "alternating")


def test_banks_name_each_cylinder_once():
    with pytest.raises(BanksIncomplete):
        Engine.of("v", 4, "as_stated", banks=[[1, 2], [3, 3]])


@pytest.mark.parametrize("cc", [0, -1600, 30_001, "1600", True])
def test_a_displacement_that_no_car_has_is_refused(cc):
    with pytest.raises(DisplacementOutside):
        Engine.of("line", 4, displacement_cc=cc)


@pytest.mark.parametrize("code", sorted(PRESETS))
def test_a_preset_comes_back_from_the_cars_record_unchanged(code):
    engine = PRESETS[code].engine
    assert Engine.from_json(json.loads(json.dumps(engine.as_json()))) == engine
    assert engine.words and str(PRESETS[code].words)


def test_an_empty_record_is_an_unknown_engine():
    assert Engine.from_json({}) is None


@pytest.mark.parametrize(
    "stored",
    [
        {"layout": "line"},
        {"layout": "line", "cylinders": 4, "numbering": "from_front", "banks": 3},
        {"layout": [], "cylinders": 4, "numbering": "x"},
    ],
)
def test_a_spoilt_record_is_an_engine_error(stored):
    with pytest.raises(EngineError):
        Engine.from_json(stored)


def test_labels_are_the_numbers_of_the_cylinders():
    assert Engine.of("line", 3).cylinder_labels() == ("1", "2", "3")
    assert Engine.of("none", 0).cylinder_labels() == ()


def test_every_layout_and_numbering_has_words():
    assert all(str(words) for words in (*LAYOUTS.values(), *NUMBERINGS.values()))
