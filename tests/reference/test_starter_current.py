"""Losses, power, shares of humps and firing orders against manuals, pint, fractions and draws.

Sources: US Army TM 10-3930-671-24 (volts lost per 100 A), TM 5-2420-230-24-2 (cables at 500 A,
holding current of solenoids) and TM 5-3895-382-24 (firing order), all seen in reprints; an engine
maker's manual for the in-line six, seen second-hand; JCGM 100:2008 and 101:2008, from memory.
What difference of humps tells is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import numpy as np
import pint
import pytest

from measurements.core.assessment import Assessment, Figure
from measurements.core.run_file import run_data
from measurements.procedures.starter_current import PROCEDURE, cylinders_of, drops
from shop.engine import PRESETS
from tests.reference.conftest import Against

PER_HUNDRED_AMPERES = (
    "US Army TM 10-3930-671-24, Volt Drop Tests: 0.20 volts per 100 amps, seen in a reprint"
)
CABLES = "US Army TM 5-2420-230-24-2, page 13-23: 0.5 V at 500 A, seen in a reprint"
SOLENOIDS = "US Army TM 5-2420-230-24-2, page 13-33, holding current, 12 V, seen in a reprint"
FOUR_FIRE = "US Army TM 5-3895-382-24, Engine Design: firing order 1, 3, 4, 2, seen in a reprint"
SIX_FIRE = "an engine maker's manual, in-line six: 1-5-3-6-2-4, seen second-hand"
CRANK = "mirror-symmetric crankshaft: numbers of two pistons that move together add to one more"
PINT = "pint with its own registry"
BY_HAND = "exact fractions by hand"
DRAWS = "400,000 random draws with numpy, after JCGM 101:2008, from memory"
TRAINING = "a training article for technicians, five peaks of 180 A and one of 130 A, seen"

START = (10.8, 10.55, 0.12, 150)
FEED = (11.6, 9.2, 0.15, 95)
LORRY = (21.8, 21.2, 0.24, 620)
STARTS = {"sound": START, "feed loses": FEED, "lorry": LORRY}


def judged(typed: dict[str, Any], cylinders: int = 4, volts: int = 12) -> Assessment:
    car = {
        "fuel": "petrol",
        "volts": volts,
        "engine": {"layout": "inline", "cylinders": cylinders},
    }
    typed = {"given.did": "turns"} | typed
    return run_data(PROCEDURE, {"context": {"car": car}, "typed": typed}).assessment


def figure(result: Assessment, key: str) -> Figure:
    found = result.figure(key)
    assert found is not None and found.value is not None, key
    return found


def started(posts: float, stud: float, ground: float, amps: float) -> Assessment:
    return judged(
        {
            "volts.posts.volts": f"{posts:.2f}",
            "volts.stud.volts": f"{stud:.2f}",
            "volts.ground.volts": f"{ground:.2f}",
            "current.held.amps": f"{amps:g}",
        },
        volts=24 if posts > 20 else 12,
    )


def shares(peaks: Sequence[int], troughs: Sequence[int] = ()) -> Assessment:
    typed = {f"humps.h{n}.peak": str(peak) for n, peak in enumerate(peaks, 1)}
    typed |= {f"humps.h{n}.trough": str(low) for n, low in enumerate(troughs, 1)}
    return judged(typed, cylinders=len(peaks))


# --- losses and power -------------------------------------------------------------------------


@pytest.mark.parametrize(("volts", "amps"), [(0.2, 100), (0.4, 200), (0.6, 300)])
def test_losses_of_a_manuals_rule_are_one_resistance(
    volts: float, amps: int, against: Against
) -> None:
    found = started(11.0, 11.0 - volts, volts, amps)
    for side in ("feed", "ground"):
        against(
            f"resistance of the {side} side, {volts} V at {amps} A",
            PER_HUNDRED_AMPERES,
            expected=0.002,
            got=figure(found, f"{side}_resistance").value,
            relative=1e-9,
            unit="Ω",
        )


def test_both_cables_at_the_most_a_manual_allows(against: Against) -> None:
    """0.3 V and 0.2 V at 500 A make the manual's 0.5 V together: one milliohm."""
    found = started(10.0, 9.7, 0.2, 500)
    against(
        "lost on both sides, 0.3 V and 0.2 V at 500 A",
        CABLES,
        expected=0.5,
        got=sum(figure(found, f"{side}_drop").value or 0.0 for side in ("feed", "ground")),
        within=1e-9,
        unit="V",
    )
    against(
        "resistance of both sides, 0.3 V and 0.2 V at 500 A",
        CABLES,
        expected=0.5 / 500,
        got=sum(figure(found, f"{side}_resistance").value or 0.0 for side in ("feed", "ground")),
        relative=1e-9,
        unit="Ω",
    )


@pytest.mark.parametrize("read", STARTS.values(), ids=STARTS)
def test_losses_resistance_and_power_by_pint(
    read: tuple[float, float, float, float], against: Against
) -> None:
    posts, stud, ground, amps = read
    found = started(*read)
    ureg = pint.get_application_registry()
    volt, ampere = ureg.volt, ureg.ampere
    at = f"{posts} V at the posts, {stud} V at the stud, {ground} V at the case, {amps} A"
    for key, expected, unit in (
        ("held", amps * ampere, "ampere"),
        ("feed_drop", (posts - stud) * volt, "volt"),
        ("ground_drop", ground * volt, "volt"),
        ("starter_volts", (stud - ground) * volt, "volt"),
        ("feed_resistance", (posts - stud) * volt / (amps * ampere), "ohm"),
        ("ground_resistance", ground * volt / (amps * ampere), "ohm"),
        ("power", posts * volt * amps * ampere, "kilowatt"),
        ("starter_power", (stud - ground) * volt * amps * ampere, "kilowatt"),
    ):
        against(
            f"{key.replace('_', ' ')}: {at}",
            PINT,
            expected=float(expected.to(unit).magnitude),
            got=figure(found, key).value,
            relative=1e-9,
            unit=f"{ureg.Unit(unit):~P}",
        )


@pytest.mark.parametrize("read", STARTS.values(), ids=STARTS)
def test_what_leaves_the_battery_arrives_or_is_lost(
    read: tuple[float, float, float, float], against: Against
) -> None:
    """Round the loop the volts add up, and the power with the heat of both sides."""
    found = started(*read)
    value = {key: figure(found, key).value or 0.0 for key in ("held", "power", "starter_power")}
    volts = sum(
        figure(found, key).value or 0.0 for key in ("feed_drop", "starter_volts", "ground_drop")
    )
    against(
        f"lost and left round the loop, {read[0]} V at the posts",
        "Kirchhoff's voltage law",
        expected=read[0],
        got=volts,
        within=1e-9,
        unit="V",
    )
    ohms = sum(figure(found, f"{side}_resistance").value or 0.0 for side in ("feed", "ground"))
    against(
        f"power into the starter and heat I²R on the way, {read[3]} A",
        "Joule's law and conservation of energy",
        expected=value["power"],
        got=value["starter_power"] + value["held"] ** 2 * ohms / 1000,
        relative=1e-9,
        unit="kW",
    )


@pytest.mark.parametrize("typed", [["150000", "mA"], "-150", "150.0"])
def test_the_current_held_in_another_unit_or_direction(typed: Any, against: Against) -> None:
    against(
        f"current held, typed {' '.join(typed) if isinstance(typed, list) else typed}",
        PINT,
        expected=float(pint.get_application_registry().Quantity(150_000, "mA").to("A").magnitude),
        got=figure(judged({"current.held.amps": typed}), "held").value,
        within=1e-9,
        unit="A",
    )


def test_uncertainty_of_a_loss_by_random_draws(against: Against) -> None:
    """One meter ±(0.5 % + 3 counts of 0.01 V), read to 0.03 V: its gain nearly cancels. Clamp
    ±(2 % + 5 counts of 0.1 A), read to 3 A from a display, noted to 1 A."""
    posts, stud, _, amps = FEED
    draws, generator = 400_000, np.random.default_rng(7)

    def bound(half: float) -> np.ndarray:
        return generator.uniform(-half, half, draws)

    meter = bound(0.005)
    volts = [
        level * (1 + meter) + bound(0.03) + generator.normal(0, 0.03, draws)
        for level in (posts, stud)
    ]
    current = amps * (1 + bound(0.02)) + bound(0.5) + bound(0.5) + generator.normal(0, 3, draws)
    lost = volts[0] - volts[1]
    found = started(*FEED)
    for key, drawn, unit in (
        ("feed_drop", lost, "V"),
        ("feed_resistance", lost / current, "Ω"),
        ("power", volts[0] * current / 1000, "kW"),
    ):
        against(
            f"standard uncertainty: {key.replace('_', ' ')}, {posts} V less {stud} V at {amps} A",
            DRAWS,
            expected=float(drawn.std()),
            got=figure(found, key).u,
            relative=0.03,
            unit=unit,
        )


def test_a_solenoids_holding_current_is_hardly_any(against: Against) -> None:
    for amps in (13, 15, 18, 19):
        typed = {
            "given.did": "clicks",
            "volts.control.volts": "12.0",
            "current.held.amps": str(amps),
        }
        against(
            f"pattern, commanded and {amps} A",
            SOLENOIDS,
            expected="commanded_no_current",
            got=judged(typed).pattern,
        )


def test_a_drop_is_a_difference_of_sizes(against: Against) -> None:
    for signs in ((1, 1, 1), (-1, -1, -1), (1, -1, -1)):
        posts, stud, ground = (a * b for a, b in zip(signs, (12.5, 12.0, 0.25), strict=True))
        for side, expected in (("feed", 0.5), ("ground", 0.25)):
            against(
                f"lost on the {side} side, leads {posts:g}, {stud:g}, {ground:g} V",
                "by hand",
                expected=expected,
                got=drops(posts, stud, ground)[side],
                within=1e-12,
                unit="V",
            )


# --- humps ------------------------------------------------------------------------------------

# peaks, troughs, rows found low
HUMPS: dict[str, tuple[Sequence[int], Sequence[int], Sequence[int]]] = {
    "even by peaks": ((182, 180, 181, 183), (), ()),
    "even by heights": ((182, 180, 181, 183), (118, 117, 118, 119), ()),
    "one low": ((182, 180, 150, 181), (118, 117, 119, 118), (3,)),
    "two low of six": ((190, 150, 191, 152, 189, 190), (120, 121, 120, 121, 120, 120), (2, 4)),
    "three cylinders": ((200, 201, 150), (), (3,)),
}


@pytest.mark.parametrize("example", HUMPS.values(), ids=HUMPS)
def test_share_of_each_hump_by_fractions_and_numpy(example: tuple, against: Against) -> None:
    peaks, troughs, low = example
    sizes = [a - b for a, b in zip(peaks, troughs or [0] * len(peaks), strict=True)]
    found = shares(peaks, troughs)
    each = {}
    for n, size in enumerate(sizes, 1):
        others = [other for m, other in enumerate(sizes, 1) if m != n and m not in low]
        each[n] = float(Fraction(100 * size * len(others), sum(others)))
        for source, expected in (
            (BY_HAND, each[n]),
            ("numpy.mean", float(100 * size / np.mean(others))),
        ):
            against(
                f"hump {n} of {', '.join(map(str, sizes))} A, of the mean of the others",
                source,
                expected=expected,
                got=figure(found, f"share_h{n}").value,
                relative=1e-9,
                unit="%",
            )
    against(
        f"lowest of {', '.join(map(str, sizes))} A, of the mean of the others",
        BY_HAND,
        expected=min(each.values()),
        got=figure(found, "lowest_share").value,
        relative=1e-9,
        unit="%",
    )
    assert [*found.where] == [f"h{n}" for n in low]


def test_shares_by_cylinder_are_those_of_its_hump(against: Against) -> None:
    """Trigger on cylinder 3 of 1-3-4-2: humps are those of 3, 4, 2, 1."""
    typed: dict[str, Any] = {"given.first": "3", "given.order": "1-3-4-2"}
    peaks = (180, 171, 175, 178)
    typed |= {f"humps.h{n}.peak": str(peak) for n, peak in enumerate(peaks, 1)}
    found = judged(typed)
    for cylinder, peak in zip((3, 4, 2, 1), peaks, strict=True):
        against(
            f"cylinder {cylinder} with {peak} A, of the mean of the others",
            BY_HAND,
            expected=float(Fraction(300 * peak, sum(peaks) - peak)),
            got=figure(found, f"share_c{cylinder}").value,
            relative=1e-9,
            unit="%",
        )


def test_a_published_picture_of_one_low_hump(against: Against) -> None:
    found = shares((180, 180, 180, 130, 180, 180))
    against("pattern of such peaks", TRAINING, expected="one_low", got=found.pattern)
    against(
        "hump of 130 A beside five of 180 A, of the mean of the others",
        f"{TRAINING}; the ratio by hand",
        expected=float(Fraction(1300, 18)),
        got=figure(found, "lowest_share").value,
        relative=1e-9,
        unit="%",
    )


@pytest.mark.parametrize("by", ["peaks", "heights"])
def test_uncertainty_of_a_share_by_formula_and_draws(by: str, against: Against) -> None:
    """The clamp's 2 % is one for all humps and cancels; each reading has 5 counts of 0.1 A, the
    note's rounding to 1 A and 1.5 A of the cursor of its own."""
    peaks, troughs = (182, 180, 150, 181), (118, 117, 119, 118)
    found = figure(shares(peaks, troughs if by == "heights" else ()), "lowest_share")
    own = (0.5**2 / 3 + 1 / 12 + 1.5**2) ** 0.5
    sizes = list(peaks)
    if by == "heights":
        own *= 2**0.5
        sizes = [a - b for a, b in zip(peaks, troughs, strict=True)]
    mean = (sizes[0] + sizes[1] + sizes[3]) / 3
    against(
        f"standard uncertainty of the lowest share, by {by}",
        "JCGM 100:2008, 5.1.2, from memory, by hand",
        expected=100 * own / mean * (1 + (sizes[2] / mean) ** 2 / 3) ** 0.5,
        got=found.u,
        relative=1e-6,
        unit="%",
    )
    draws, generator = 400_000, np.random.default_rng(11)
    gain = 1 + generator.uniform(-0.02, 0.02, draws)

    def read(amps: int) -> np.ndarray:
        return (
            amps * gain
            + generator.uniform(-0.5, 0.5, draws)
            + generator.uniform(-0.5, 0.5, draws)
            + generator.normal(0, 1.5, draws)
        )

    drawn = [read(peak) for peak in peaks]
    if by == "heights":
        drawn = [peak - read(low) for peak, low in zip(drawn, troughs, strict=True)]
    share = 100 * drawn[2] / ((drawn[0] + drawn[1] + drawn[3]) / 3)
    against(
        f"standard uncertainty of the lowest share, by {by}",
        DRAWS,
        expected=float(share.std()),
        got=found.u,
        relative=0.03,
        unit="%",
    )


def test_what_tells_is_common_practice(against: Against) -> None:
    for troughs, least, source in (
        ((118, 117, 118, 119), 80.0, "common practice: a fifth lower"),
        ((), 90.0, "judgement: friction's share hides part, a tenth lower"),
    ):
        verdict = shares((182, 180, 181, 183), troughs).verdict("figure.lowest_share")
        assert verdict is not None
        against("least usual share of a hump", source, expected=least, got=verdict.low, unit="%")


# --- firing orders ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("preset", "order", "source"),
    [("line_4", (1, 3, 4, 2), FOUR_FIRE), ("line_6", (1, 5, 3, 6, 2, 4), SIX_FIRE)],
)
def test_humps_follow_a_published_firing_order(
    preset: str, order: tuple[int, ...], source: str, against: Against
) -> None:
    ours = PRESETS[preset].engine.firing_order
    against(
        f"cylinders from the first on, {preset.replace('_', ' ')}",
        source,
        expected=order,
        got=cylinders_of(1, ours),
    )
    turned = order[2:] + order[:2]
    against(
        f"cylinders from cylinder {order[2]} on",
        source,
        expected=turned,
        got=cylinders_of(order[2], ours),
    )


@pytest.mark.parametrize("preset", ["line_4", "line_6"])
def test_half_a_cycle_apart_are_pistons_that_move_together(preset: str, against: Against) -> None:
    ours = PRESETS[preset].engine.firing_order
    count = len(ours)
    for first in range(1, count // 2 + 1):
        against(
            f"half a cycle after cylinder {first} of {count}",
            CRANK,
            expected=count + 1 - first,
            got=cylinders_of(first, ours)[count // 2],
        )
