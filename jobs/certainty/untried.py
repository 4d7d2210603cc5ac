"""Under which of a complaint's own conditions nobody has tried to bring it about.

A try under all that was told covers the whole; every other test covers what it names. What a test
leaves open counts as not tried. Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

Answer = tuple[str, str]
"""A condition and one answer to it: ("weather", "wet")."""

TO_TRY = (
    "engine_temperature",
    "driving_state",
    "speed_band",
    "engine_speed_band",
    "loads_on",
    "weather",
)
"""Conditions that can be brought about; the others tell of the past."""

NO_CONDITION = frozenset({"any", "none", "not_asked", "dont_know"})
"""Answers that ask for nothing in particular."""

OF_A_TRY: Mapping[str, tuple[Answer, ...]] = {
    "cold": (("engine_temperature", "cold"),),
    "hot": (("engine_temperature", "hot"),),
    "standing": (
        ("driving_state", "parked"),
        ("driving_state", "idle"),
        ("speed_band", "standing"),
    ),
    "town": (("speed_band", "town"),),
    "fast": (("speed_band", "country"),),
    "load": (("driving_state", "uphill"), ("loads_on", "laden")),
    "braking": (("driving_state", "braking"),),
    "turning": (("driving_state", "turning"),),
    "bumps": (("driving_state", "bumps"),),
    "wet": (("weather", "wet"),),
}
"""What a row of tries to make it happen covers."""

OF_A_PHASE: Mapping[str, str] = {
    "start": "starting",
    "idle": "idle",
    "pull_away": "pulling_away",
    "cruise": "cruising",
    "coast": "lifting_off",
    "brake": "braking",
    "turn_left": "turning",
    "turn_right": "turning",
    "bumps": "bumps",
}
"""What the car was doing at a point of a road test."""

_SPEEDS = ((1, "standing"), (30, "crawling"), (60, "town"), (100, "country"))
_ENGINE_SPEEDS = ((1100, "idle"), (2000, "low"), (3500, "middle"))


def speed_band(km_per_hour: float) -> str:
    """The answer that a road speed in km/h belongs to.

    >>> [speed_band(v) for v in (0, 20, 50, 90, 130)]
    ['standing', 'crawling', 'town', 'country', 'motorway']
    """
    return next((band for most, band in _SPEEDS if km_per_hour <= most), "motorway")


def engine_speed_band(rpm: float) -> str:
    """The answer that an engine speed in 1/min belongs to.

    >>> [engine_speed_band(n) for n in (800, 1800, 3000, 5000)]
    ['idle', 'low', 'middle', 'high']
    """
    return next((band for most, band in _ENGINE_SPEEDS if rpm <= most), "high")


def untried(
    told: Mapping[str, Sequence[str]], covered: Collection[Answer], *, as_told: bool = False
) -> list[Answer]:
    """What was told of the complaint and no test covered, in the order in which it is asked.

    as_told: it was tried under all that was told.

    >>> untried({"weather": ["wet"], "engine_temperature": ["hot"]}, {("weather", "wet")})
    [('engine_temperature', 'hot')]
    """
    if as_told:
        return []
    return [
        (name, code)
        for name in TO_TRY
        for code in told.get(name, ())
        if code not in NO_CONDITION and (name, code) not in covered
    ]
