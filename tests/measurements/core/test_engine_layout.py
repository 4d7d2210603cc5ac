"""Which cylinders stand beside each other."""

from __future__ import annotations

import pytest

from measurements.core.context import Engine
from measurements.core.engine_layout import (
    are_a_whole_bank,
    are_neighbours,
    blocks,
    numbers_of,
    places,
)

INLINE = ((1, 2, 3, 4),)
V6 = Engine("v", 6, ((1, 3, 5), (2, 4, 6)), (1, 2, 3, 4, 5, 6))


@pytest.mark.parametrize(
    ("cylinders", "standing", "beside"),
    [
        ([2, 3], INLINE, True),
        ([3, 2, 4], INLINE, True),
        ([2], INLINE, False),
        ([1, 3], INLINE, False),
        ([1, 2], (), False),
        ([1, 2], V6.banks, False),
        ([1, 3], V6.banks, True),
        ([5, 2], V6.banks, False),
    ],
)
def test_neighbours_stand_side_by_side_in_one_bank(cylinders, standing, beside) -> None:
    assert are_neighbours(cylinders, standing) is beside


def test_the_firing_order_makes_no_neighbours() -> None:
    fires_after_another = Engine("inline", 4, ((1, 2, 3, 4),), (1, 3, 4, 2))
    assert not are_neighbours([1, 3], blocks(fires_after_another))


def test_block_order_is_known_in_line_or_by_banks_only() -> None:
    assert blocks(Engine("inline", 4)) == INLINE
    assert blocks(Engine("v", 6)) == ()
    assert blocks(V6) == V6.banks


def test_a_bank_is_whole_only_beside_another() -> None:
    assert are_a_whole_bank([6, 2, 4], V6.banks)
    assert not are_a_whole_bank([2, 4], V6.banks)
    assert not are_a_whole_bank([1, 2, 3, 4], INLINE)
    assert not are_a_whole_bank([1], ((1,), (2,)))


def test_cylinders_are_placed_bank_by_bank_and_by_number_where_it_is_not_known() -> None:
    rows = [f"c{n}" for n in range(1, 7)]
    assert places(rows, V6) == [("c1", 0), ("c3", 0), ("c5", 0), ("c2", 1), ("c4", 1), ("c6", 1)]
    assert places(rows[:2], Engine("", 2)) == [("c1", 0), ("c2", 0)]


def test_row_codes_are_said_as_numbers() -> None:
    assert numbers_of(("c2", "c11")) == "2, 11"
