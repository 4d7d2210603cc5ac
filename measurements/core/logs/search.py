"""What a logged column did: stretches beyond a level, the level that was held, values by band."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    import numpy as np

Side = Literal["below", "above"]

_HALVINGS = 8
"""Of the range of a column, before the few values that are left are tried one by one (halving)."""


@dataclass(frozen=True)
class Event:
    """A stretch beyond a level: from and for how long in seconds, the worst value in it, and where
    it lies in the columns (first and last row)."""

    start_s: float
    seconds: float
    worst: float
    first: int
    last: int


def stretches(
    time: np.ndarray,
    value: np.ndarray,
    level: float,
    side: Side,
    least_s: float = 0.0,
    gap_s: float = math.inf,
) -> list[Event]:
    """Stretches in which the value stays beyond the level for at least `least_s` seconds.

    A stretch lasts from its first row to the next row that is no longer beyond (or to the last
    row). A missing value, or a gap between two rows of more than `gap_s`, ends it: nothing was
    seen there.
    """
    import numpy as np

    beyond = value < level if side == "below" else value > level
    first, last = _runs(beyond, time, gap_s)
    seconds = _durations(time, first, last, gap_s)
    keep = seconds >= least_s
    worst = np.minimum if side == "below" else np.maximum
    found = []
    for a, b, s in zip(first[keep], last[keep], seconds[keep], strict=True):
        extreme = float(worst.reduce(value[a : b + 1]))
        found.append(Event(float(time[a]), float(s), extreme, int(a), int(b)))
    return found


@dataclass(frozen=True)
class Beyond:
    """All stretches beyond a level, the short ones too: how many, seconds in all, the longest."""

    count: int
    seconds: float
    longest_s: float


def beyond(
    time: np.ndarray, value: np.ndarray, level: float, side: Side, gap_s: float = math.inf
) -> Beyond:
    """How often and how long the value lay beyond the level, however shortly."""
    first, last = _runs(value < level if side == "below" else value > level, time, gap_s)
    seconds = _durations(time, first, last, gap_s)
    return Beyond(len(first), float(seconds.sum()), float(seconds.max(initial=0.0)))


def held(
    time: np.ndarray, value: np.ndarray, side: Side, least_s: float, gap_s: float = math.inf
) -> float | None:
    """The most extreme level beyond which, or at which, the value stayed for `least_s` seconds.

    "below": the lowest level L such that the value was at most L for so long; a dip that is shorter
    doesn't count. None where the log is nowhere long enough.
    """
    import numpy as np

    sign = 1.0 if side == "below" else -1.0
    column = value * sign
    known = column[~np.isnan(column)]
    if not len(known):
        return None
    low, high = float(known.min()), float(known.max())

    def lasts(level: float) -> bool:
        first, last = _runs(column <= level, time, gap_s)
        return bool(len(first)) and bool(_durations(time, first, last, gap_s).max() >= least_s)

    if not lasts(high):
        return None
    if lasts(low):
        return low * sign
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if lasts(middle) else (middle, high)
    # The level is one that was read: it does not last at `low`, and does at `high`.
    levels = np.unique(known[(known > low) & (known <= high)])
    first, last = 0, len(levels) - 1
    while first < last:
        between = (first + last) // 2
        first, last = (first, between) if lasts(float(levels[between])) else (between + 1, last)
    return float(levels[first]) * sign


def _runs(mask: Any, time: Any, gap_s: float) -> tuple[Any, Any]:
    """First and last row of each run of true rows; a gap in time cuts a run."""
    import numpy as np

    if not len(mask):
        return np.empty(0, dtype=int), np.empty(0, dtype=int)
    starts = mask.copy()
    starts[1:] &= ~mask[:-1]
    ends = mask.copy()
    ends[:-1] &= ~mask[1:]
    if math.isfinite(gap_s):
        jump = np.diff(time) > gap_s
        starts[1:] |= mask[1:] & jump
        ends[:-1] |= mask[:-1] & jump
    return np.flatnonzero(starts), np.flatnonzero(ends)


def _durations(time: Any, first: Any, last: Any, gap_s: float) -> Any:
    """Seconds from the first row of a run to the row after its last."""
    import numpy as np

    after = np.minimum(last + 1, len(time) - 1)
    until = np.where(time[after] - time[last] > gap_s, time[last], time[after])
    return until - time[first]


# --- bands ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Band:
    """Values while another column lay from `low` (inclusive) to `high`: seconds, rows, and the
    lowest, the middle (median) and the highest value."""

    low: float
    high: float
    seconds: float
    rows: int
    least: float
    middle: float
    most: float


def bands(
    time: np.ndarray,
    value: np.ndarray,
    by: np.ndarray,
    edges: Sequence[float],
    gap_s: float = math.inf,
) -> list[Band]:
    """The value in bands of another column. Rows where either is missing are left out; each row
    stands for the time until the next one, unless there is a gap of more than `gap_s`."""
    import numpy as np

    spans = spans_of(time, gap_s)
    found = []
    usable = ~(np.isnan(value) | np.isnan(by))
    for low, high in pairwise(edges):
        inside = usable & (by >= low) & (by < high)
        rows = int(inside.sum())
        if not rows:
            continue
        here = value[inside]
        found.append(
            Band(
                low,
                high,
                float(spans[inside].sum()),
                rows,
                float(here.min()),
                float(np.median(here)),
                float(here.max()),
            )
        )
    return found


def spans_of(time: np.ndarray, gap_s: float = math.inf) -> np.ndarray:
    """The seconds that each row stands for: to the next one, none before a gap and at the end."""
    import numpy as np

    steps = np.diff(time)
    return np.append(np.where(steps > gap_s, 0.0, steps), 0.0)


def usual_step(time: np.ndarray) -> float:
    """The usual seconds between two rows (median); 0 for a single row."""
    import numpy as np

    return float(np.median(np.diff(time))) if len(time) > 1 else 0.0


def carried(time: np.ndarray, value: np.ndarray, longest_s: float) -> np.ndarray:
    """A column with its last known value where a row has none, for at most `longest_s` seconds:
    loggers write what they ask for in turn into rows of their own."""
    import numpy as np

    known = ~np.isnan(value)
    if known.all() or not known.any():
        return value
    last = np.maximum.accumulate(np.where(known, np.arange(len(value)), -1))
    stale = (last < 0) | (time - time[last] > longest_s)
    return np.where(stale, np.nan, value[last])


# --- for drawing ------------------------------------------------------------------------------


def envelope(time: np.ndarray, value: np.ndarray, columns: int) -> list[tuple[float, float, float]]:
    """(time, least, most) in `columns` equal slices of time: no peak is lost. Empty slices and
    missing values leave a gap."""
    import numpy as np

    known = ~np.isnan(value)
    time, value = time[known], value[known]
    if not len(time):
        return []
    start, end = float(time[0]), float(time[-1])
    if end <= start:
        return [(start, float(value.min()), float(value.max()))]
    edges = start + (end - start) * np.arange(columns) / columns
    first = np.searchsorted(time, edges, side="left")
    filled = np.append(first[1:], len(time)) > first
    first, edges = first[filled], edges[filled]
    least, most = np.minimum.reduceat(value, first), np.maximum.reduceat(value, first)
    width = (end - start) / columns
    return [
        (float(t + width / 2), float(a), float(b))
        for t, a, b in zip(edges, least, most, strict=True)
    ]
