"""Stretches, held levels, bands and the envelope: against plain loops that share no code."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.logs.search import (
    bands,
    beyond,
    carried,
    envelope,
    held,
    spans_of,
    stretches,
    usual_step,
)

values = st.lists(
    st.one_of(st.integers(0, 6).map(float), st.just(math.nan)), min_size=1, max_size=40
)
steps = st.lists(st.sampled_from([0.5, 1.0, 1.0, 7.0]), min_size=40, max_size=40)
GAP = 5.0


def log(found: list[float], between: list[float]) -> tuple[np.ndarray, np.ndarray]:
    time = np.concatenate([[0.0], np.cumsum(between)])[: len(found)]
    return time, np.array(found)


def by_hand(time, value, level, side) -> list[tuple[float, float]]:
    """(start, seconds) of every stretch beyond, row by row."""
    found, start = [], None
    for n in range(len(time)):
        is_beyond = value[n] < level if side == "below" else value[n] > level
        if is_beyond and start is None:
            start = time[n]
        last = n == len(time) - 1
        gap = not last and time[n + 1] - time[n] > GAP
        ends = (
            last or gap or not (value[n + 1] < level if side == "below" else value[n + 1] > level)
        )
        if start is not None and is_beyond and ends:
            until = time[n] if last or gap else time[n + 1]
            found.append((float(start), float(until - start)))
            start = None
    return found


@given(
    values, steps, st.integers(0, 7), st.sampled_from(["below", "above"]), st.sampled_from([0, 2])
)
def test_stretches_are_those_found_row_by_row(found, between, level, side, least) -> None:
    time, value = log(found, between)
    wanted = [one for one in by_hand(time, value, level, side) if one[1] >= least]
    events = stretches(time, value, level, side, least, GAP)
    assert [(e.start_s, e.seconds) for e in events] == wanted
    for event in events:
        inside = value[event.first : event.last + 1]
        assert event.worst == (inside.min() if side == "below" else inside.max())


@given(values, steps, st.integers(0, 7), st.sampled_from(["below", "above"]))
def test_all_that_lies_beyond_adds_up(found, between, level, side) -> None:
    time, value = log(found, between)
    every = by_hand(time, value, level, side)
    total = beyond(time, value, level, side, GAP)
    assert (total.count, total.seconds) == (len(every), sum(seconds for _, seconds in every))
    assert total.longest_s == max((seconds for _, seconds in every), default=0)


@given(values, steps, st.sampled_from([0.0, 1.0, 2.5, 8.0]), st.sampled_from(["below", "above"]))
def test_the_held_level_is_the_first_of_all_values_that_lasts(found, between, least, side) -> None:
    time, value = log(found, between)
    levels = sorted(set(value[~np.isnan(value)].tolist()), reverse=side == "above")
    beside = 0.5 if side == "below" else -0.5
    lasting = [
        level
        for level in levels
        if any(seconds >= least for _, seconds in by_hand(time, value, level + beside, side))
    ]
    assert held(time, value, side, least, GAP) == (lasting[0] if lasting else None)


@given(values, steps, st.integers(0, 7), st.sampled_from(["below", "above"]))
def test_a_stretch_counts_just_when_the_held_level_lies_beyond(found, between, level, side) -> None:
    time, value = log(found, between)
    extreme = held(time, value, side, 2.0, GAP)
    is_beyond = extreme is not None and (extreme < level if side == "below" else extreme > level)
    assert bool(stretches(time, value, level, side, 2.0, GAP)) == is_beyond


@given(values, steps)
def test_no_peak_is_lost_in_the_envelope(found, between) -> None:
    time, value = log(found, between)
    slices = envelope(time, value, 7)
    known = value[~np.isnan(value)]
    if not len(known):
        assert slices == []
        return
    assert len(slices) <= 7
    assert min(least for _, least, _ in slices) == known.min()
    assert max(most for _, _, most in slices) == known.max()


@given(values, steps)
def test_bands_hold_every_row_once_and_every_second_but_those_of_gaps(found, between) -> None:
    time, value = log(found, between)
    by = np.arange(len(value), dtype=float)
    parts = bands(time, value, by, (0, 3, 10, math.inf), GAP)
    known = ~np.isnan(value)
    assert sum(band.rows for band in parts) == known.sum()
    assert sum(band.seconds for band in parts) == spans_of(time, GAP)[known].sum()


def test_a_gap_belongs_to_no_band() -> None:
    time = np.array([0.0, 1.0, 100.0, 101.0])
    (band,) = bands(time, np.ones(4), np.ones(4), (0, 2), gap_s=5)
    assert (band.seconds, band.rows) == (2, 4)


def test_a_value_lasts_until_the_next_but_not_for_ever() -> None:
    time = np.arange(8.0)
    value = np.array([math.nan, 5, math.nan, math.nan, math.nan, 7, math.nan, 8])
    found = carried(time, value, 2)
    assert np.array_equal(found, [math.nan, 5, 5, 5, math.nan, 7, 7, 8], equal_nan=True)


def test_the_usual_step_is_the_middle_one() -> None:
    assert usual_step(np.array([0, 1, 2, 50])) == 1
    assert usual_step(np.array([3.0])) == 0
