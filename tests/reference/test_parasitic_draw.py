"""Time until low, mean draw and current through a fuse against worked examples and other routes.

Fuse currents: a vehicle technology teacher's page on voltage drop over fuses (standard 10 A fuse),
and a fuse chart as quoted in a trade association's service reports, June 2017 (mini 15 A fuse).
"""

from __future__ import annotations

import numpy as np
import pint
import pytest

from measurements.core.assessment import Assessment
from measurements.core.battery import hours_until
from measurements.core.blade_fuse import STANDARD_RATINGS, cold_mohm, through_fuse_a
from measurements.core.run_file import run_data
from measurements.procedures.parasitic_draw import (
    PROCEDURE,
    mean_over_time,
)
from tests.reference.conftest import Against

BY_HAND = "t = C (from − to) / I, worked by hand"
EXAMPLES = [(35, 60, 100, 50, 857.1, 35.71), (250, 70, 90, 40, 140.0, 5.83)]

STANDARD_MOHM = {
    rating: known[0] for rating in STANDARD_RATINGS if (known := cold_mohm("standard", rating))
}


def judged(typed: dict[str, str]) -> Assessment:
    return run_data(PROCEDURE, {"typed": typed, "context": {"fault_present": "yes"}}).assessment


def watch(*readings: tuple[float, float]) -> dict[str, str]:
    """Minutes and mA as typed."""
    typed = {}
    for number, (minutes, ma) in enumerate(readings, 1):
        typed[f"watch.s{number}.at"] = f"{minutes:g}"
        typed[f"watch.s{number}.current"] = f"{ma:g}"
    return typed


@pytest.mark.parametrize(("ma", "capacity", "start", "stop", "hours", "days"), EXAMPLES)
def test_time_until_low(
    ma: float,
    capacity: float,
    start: float,
    stop: float,
    hours: float,
    days: float,
    against: Against,
) -> None:
    what = f"{ma} mA from {start} to {stop} % of {capacity} A·h"
    got = hours_until(capacity, start, stop, ma / 1000)
    against(f"hours, {what}", BY_HAND, expected=hours, got=got, within=0.05, unit="h")
    against(f"days, {what}", BY_HAND, expected=days, got=got / 24, within=0.005, unit="d")
    ureg = pint.get_application_registry()
    charge = capacity * ureg.ampere_hour * (start - stop) / 100
    against(
        f"hours, {what}",
        "pint",
        expected=(charge / (ma * ureg.milliampere)).to("hour").magnitude,
        got=got,
        relative=1e-12,
        unit="h",
    )


@pytest.mark.parametrize(("ma", "capacity", "start", "stop", "hours", "days"), EXAMPLES)
def test_the_procedure_says_the_same(
    ma: float,
    capacity: float,
    start: float,
    stop: float,
    hours: float,
    days: float,
    against: Against,
) -> None:
    typed = watch((20, ma), (60, ma), (80, ma), (100, ma))
    typed |= {
        "given.capacity": str(capacity),
        "given.charge": str(start),
        "given.stop_at": str(stop),
    }
    result = judged(typed)
    until, a_day = result.figure("until_low"), result.figure("a_day")
    assert until is not None and until.value is not None and a_day is not None
    against(
        f"whole test: {ma} mA, {capacity} A·h",
        BY_HAND,
        expected=days,
        got=until.value / 86_400,
        within=0.005,
        unit="d",
    )
    ureg = pint.get_application_registry()
    against(
        f"taken in a day at {ma} mA",
        "pint",
        expected=(ma * ureg.milliampere * ureg.day).to("ampere_hour").magnitude,
        got=a_day.value,
        relative=1e-9,
        unit="A·h",
    )


def test_mean_over_time_against_numpy(against: Against) -> None:
    seconds = [3600.0, 3720.0, 3840.0, 5000.0]
    amps = [0.12, 0.9, 0.13, 0.2]
    span = seconds[-1] - seconds[0]
    against(
        "mean of a pulsing draw",
        "numpy.trapezoid",
        expected=float(np.trapezoid(amps, seconds)) / span,
        got=mean_over_time(list(zip(seconds, amps, strict=True))),
        relative=1e-12,
        unit="A",
    )


def test_mean_over_time_of_a_straight_rise(against: Against) -> None:
    """Whatever the times between, a straight rise has the mean of its ends."""
    against(
        "mean of a straight rise from 20 to 80 mA",
        "closed form: half the sum of the ends",
        expected=50.0,
        got=mean_over_time([(0, 20.0), (10, 21.0), (90, 29.0), (600, 80.0)]),
        within=1e-9,
        unit="mA",
    )


@pytest.mark.parametrize(
    ("size", "rating", "mv", "ma", "source"),
    [
        ("standard", "10", 1.0, 130, "a vehicle technology teacher's table, standard 10 A fuse"),
        (
            "mini",
            "15",
            0.1,
            22,
            "fuse chart in a trade association's service reports, 2017, mini 15 A",
        ),
        (
            "mini",
            "15",
            1.0,
            218,
            "fuse chart in a trade association's service reports, 2017, mini 15 A",
        ),
    ],
)
def test_current_through_a_fuse(
    size: str, rating: str, mv: float, ma: float, source: str, against: Against
) -> None:
    known = cold_mohm(size, rating)
    assert known is not None
    against(
        f"{mv} mV across a {rating} A blade fuse, {size}",
        source,
        expected=ma,
        got=through_fuse_a(mv / 1000, known[0], None) * 1000,
        relative=0.05,
        unit="mA",
    )


def test_resistance_falls_as_the_rating_rises(against: Against) -> None:
    """A fuse loses some tenth of a volt at its rating, whatever the rating (fuse makers' sheets,
    from memory: 60 to 150 mV)."""
    assert list(STANDARD_MOHM.values()) == sorted(STANDARD_MOHM.values(), reverse=True)
    for rating, mohm in STANDARD_MOHM.items():
        against(
            f"volts across a cold {rating} A fuse at its rating",
            "fuse makers' sheets, from memory",
            expected=90.0,
            got=float(rating) * mohm,
            within=40.0,
            unit="mV",
        )


def test_uncertainty_of_a_fuse_current_by_sampling(against: Against) -> None:
    """2.30 mV across 10 A: meter ±(0.5 % + 3 counts of 0.01 mV), resistance ±20 %; 400,000
    draws."""
    found = judged({"fuses.r1.rating": "10", "fuses.r1.drop": "2.30"}).figure("fuse_r1")
    draw, n = np.random.default_rng(3), 400_000
    mv = 2.30 * (1 + draw.uniform(-0.005, 0.005, n)) + draw.uniform(-0.03, 0.03, n)
    amps = mv / (STANDARD_MOHM["10"] * (1 + draw.uniform(-0.2, 0.2, n)))
    assert found is not None
    against(
        "standard uncertainty of a fuse's current",
        "400,000 random draws; first order only in ours",
        expected=float(amps.std()),
        got=found.u,
        relative=0.06,
        unit="A",
    )


@pytest.mark.parametrize(
    ("drops", "beside"), [((("10", "0.77"),), 320.0), ((("10", "0.77"), ("15", "0.48")), 220.0)]
)
def test_what_flows_beside_the_fuses_is_the_rest(
    drops: tuple[tuple[str, str], ...], beside: float, against: Against
) -> None:
    """0.77 mV / 7.7 mΩ and 0.48 mV / 4.8 mΩ are 100 mA each."""
    typed = watch((20, 420), (60, 420), (80, 420), (100, 420))
    for number, (rating, mv) in enumerate(drops, 1):
        typed |= {f"fuses.r{number}.rating": rating, f"fuses.r{number}.drop": mv}
    found = judged(typed).figure("rest")
    assert found is not None and found.value is not None
    against(
        f"420 mA less the currents of {len(drops)} fuses",
        "Ohm's law by hand",
        expected=beside,
        got=found.value * 1000,
        within=1e-6,
        unit="mA",
    )


def test_uncertainty_of_the_time_until_low_by_sampling(against: Against) -> None:
    """250 mA, meter ±(1 % + 3 counts of 1 mA) whose gain four readings share; charge ±5 % points
    as one standard uncertainty; 400,000 draws."""
    typed = watch((20, 250), (60, 250), (80, 250), (100, 250))
    typed |= {"given.capacity": "70", "given.charge": "90", "given.stop_at": "40"}
    found = judged(typed).figure("until_low")
    draw, n = np.random.default_rng(4), 400_000
    gain = 1 + draw.uniform(-0.01, 0.01, n)
    read = [0.250 * gain + draw.uniform(-0.003, 0.003, n) for _ in range(3)]
    # asleep from 60 min: readings at 60, 80 and 100 min
    amps = np.trapezoid(np.array(read), [60, 80, 100], axis=0) / 40
    hours = 70 * (draw.normal(90, 5, n) - 40) / 100 / amps
    assert found is not None
    against(
        "standard uncertainty of the time until low",
        "400,000 random draws",
        expected=float(hours.std()) * 3600,
        got=found.u,
        relative=0.02,
        unit="s",
    )
