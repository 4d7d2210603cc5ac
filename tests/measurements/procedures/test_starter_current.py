"""Starter current: dangers first, where the start is held back, humps compared by ratio only."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.compare import compare
from measurements.core.context import Car, Context, Engine
from measurements.core.readings import layout
from measurements.core.run_file import Judged, run_data
from measurements.procedures import PROCEDURES
from measurements.procedures.cranking import PROCEDURE as CRANKING
from measurements.procedures.starter_current import PROCEDURE, cylinders_of

FOUR = {
    "fuel": "petrol",
    "engine": {
        "layout": "inline",
        "cylinders": 4,
        "banks": [[1, 2, 3, 4]],
        "firing_order": [1, 3, 4, 2],
    },
}
DID = ["turns", "turns_slowly", "stops_dead", "clicks", "whirs", "nothing"]
EVEN = (182, 180, 181, 183)
TROUGHS = (118, 117, 118, 119)


def run(typed: dict[str, Any], **context: Any) -> Judged:
    context.setdefault("fault_present", "yes")
    context.setdefault("car", FOUR)
    readings = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions} | typed
    return run_data(PROCEDURE, {"typed": readings, "context": context})


def typed_humps(peaks: Sequence[float], troughs: Sequence[float] = ()) -> dict[str, str]:
    typed = {f"humps.h{n}.peak": f"{peak:g}" for n, peak in enumerate(peaks, 1)}
    return typed | {f"humps.h{n}.trough": f"{low:g}" for n, low in enumerate(troughs, 1)}


def typed_start(did: str = "turns", held: str = "150", posts: str = "10.80", **more: str) -> dict:
    """At 20 °C from 12.60 V, the trigger on cylinder 1, unless told otherwise; `more`: given
    fields, or rows of the volts."""
    typed = {
        "given.did": did,
        "given.temperature": "20",
        "given.ripple": "steady",
        "given.trigger": "own",
        "given.first": "1",
        "current.held.amps": held,
        "volts.rest.volts": "12.60",
        "volts.posts.volts": posts,
    }
    for key, value in more.items():
        in_volts = key in ("rest", "control", "stud", "ground")
        typed[f"volts.{key}.volts" if in_volts else f"given.{key}"] = value
    return typed


def start(did: str = "turns", held: str = "150", posts: str = "10.80", **more: str) -> Assessment:
    return run(typed_start(did, held, posts, **more)).assessment


def turned(peaks: Sequence[float], troughs: Sequence[float] = TROUGHS, **more: str) -> Assessment:
    return run(typed_start(**more) | typed_humps(peaks, troughs)).assessment


def ids(result: Assessment) -> list[str]:
    return [sentence.id for sentence in (*result.customer, *result.technician)]


def text(result: Assessment) -> str:
    return " ".join(sentence.text for sentence in (*result.customer, *result.technician))


def steps(typed: dict[str, str]) -> list[str]:
    found = run(typed)
    assert PROCEDURE.next_step is not None
    return [a for a, _ in PROCEDURE.next_step(found.checked.readings, found.context)]


# --- dangers ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        "Fuel and ignition disabled",
        "must not fire into the open",
        "Neutral",
        "chocked",
        "nobody in front",
        "10 s",
        "do not crank again",
        "round the whole cable",
        "Sleeves",
        "Nobody under the car",
    ],
)
def test_a_danger_of_cranking_is_warned_of(words: str) -> None:
    assert any(words in f"{caution.danger} {caution.text}" for caution in PROCEDURE.cautions)


@pytest.mark.parametrize("typed", [{"given.liquid": "yes"}, {"given.did": "stops_dead"}])
def test_nothing_asks_to_crank_again_where_it_could_break(typed: dict[str, str]) -> None:
    result = run(typed).assessment
    assert steps(typed) == []
    assert "Do not crank" in result.technician[0].text and "by hand" in result.technician[0].text


def test_even_humps_clear_nothing_when_liquid_is_suspected() -> None:
    result = turned(EVEN, liquid="yes")
    assert result.pattern == "liquid_suspected"
    assert "clear nothing" in result.technician[0].text


def test_a_car_with_high_voltage_is_not_tested_so() -> None:
    result = run(typed_start(), car={"fuel": "petrol", "high_voltage": True}).assessment
    assert (result.pattern, result.confounders) == ("undecided", ("not_for_this_car",))


def test_a_diesel_is_tested_like_any_other() -> None:
    result = run(
        typed_start(held="300") | typed_humps((340, 338, 341, 339), (210, 209, 211, 210)),
        car=FOUR | {"fuel": "diesel"},
    ).assessment
    assert result.pattern == "even"


# --- where the start is held back -------------------------------------------------------------


@pytest.mark.parametrize(
    ("did", "held", "posts", "more", "pattern"),
    [
        ("nothing", "0.3", "12.55", {"control": "0.10"}, "no_command"),
        ("clicks", "14", "12.40", {"control": "12.1"}, "commanded_no_current"),
        ("clicks", "14", "12.40", {}, "good_volts_low_current"),
        ("clicks", "45", "7.20", {}, "low_volts_low_current"),
        ("clicks", "480", "8.90", {}, "high_current_slow"),
        ("turns_slowly", "40", "8.90", {}, "low_volts_low_current"),
        ("turns_slowly", "40", "12.10", {}, "good_volts_low_current"),
        ("turns_slowly", "380", "10.80", {}, "high_current_slow"),
        ("turns_slowly", "150", "9.20", {}, "low_volts"),
        ("turns_slowly", "150", "10.80", {}, "slow_as_usual"),
        ("turns_slowly", "150", "10.80", {"stud": "9.10"}, "feed_loses"),
        ("turns_slowly", "150", "10.80", {"ground": "0.9"}, "ground_loses"),
        ("turns", "42", "11.80", {}, "turns_lightly"),
        ("turns", "320", "10.60", {}, "high_current"),
        ("turns", "150", "10.80", {}, "current_usual"),
        ("whirs", "70", "11.90", {}, "whirs_alone"),
    ],
)
def test_volts_and_current_together(
    did: str, held: str, posts: str, more: dict[str, str], pattern: str
) -> None:
    assert start(did, held, posts, **more).pattern == pattern


@pytest.mark.parametrize(
    ("stud", "sentence"), [("0.05", "technician.stud_dead"), ("12.3", "technician.stud_live")]
)
def test_the_stud_tells_contact_from_starter(stud: str, sentence: str) -> None:
    assert sentence in ids(start("clicks", "14", "12.40", control="12.1", stud=stud))


def test_without_a_current_no_loss_is_judged() -> None:
    result = start("clicks", "14", "12.40", stud="0.05", ground="0.9")
    assert result.verdict("figure.feed_drop") is result.verdict("figure.ground_drop") is None
    resistance = result.figure("feed_resistance")
    assert resistance is not None and resistance.value is None and resistance.absent_because


def test_which_side_loses_more_is_said() -> None:
    assert "more on the feed side" in text(start(stud="10.55", ground="0.12"))
    assert "more on the ground side" in text(start(stud="10.75", ground="0.25"))


def test_a_meter_or_clamp_held_the_other_way_changes_nothing() -> None:
    one = run(typed_start(stud="10.55", ground="0.12") | typed_humps(EVEN, TROUGHS)).assessment
    other = run(
        typed_start(held="-150", posts="-10.80", rest="-12.60", stud="-10.55", ground="-0.12")
        | typed_humps([-peak for peak in EVEN], [-low for low in TROUGHS])
    ).assessment
    assert other.pattern == one.pattern == "even"
    assert [figure.value for figure in other.figures] == pytest.approx(
        [figure.value for figure in one.figures]
    )


def test_a_makers_limit_goes_before_the_usual_one_and_is_named() -> None:
    source = {"tag": "maker", "text": "invented workshop manual"}
    limits = [{"address": "figure.feed_drop", "low": None, "high": 0.1, "source": source}]
    result = run(typed_start("turns_slowly", stud="10.50"), limits=limits).assessment
    assert result.pattern == "feed_loses" and "limit.maker" in ids(result)
    assert start("turns_slowly", stud="10.50").pattern == "slow_as_usual"


def test_what_is_known_of_the_engine_goes_before_what_is_usual() -> None:
    assert start("turns_slowly", "230").pattern == "slow_as_usual"
    assert start("turns_slowly", "230", noted_current="110").pattern == "high_current_slow"


def test_frost_has_no_upper_current() -> None:
    verdict = start("turns_slowly", "320", "9.60", temperature="-15").verdict("current.held.amps")
    assert verdict is not None and (verdict.outcome, verdict.high) == ("within", None)


def test_a_warm_engine_does_not_lower_the_least_volts() -> None:
    verdict = start(temperature="90").verdict("volts.posts.volts")
    assert verdict is not None and verdict.low == 10.0


def test_the_first_moment_is_not_judged() -> None:
    result = run(typed_start() | {"current.first.amps": "520"}).assessment
    verdict = result.verdict("current.first.amps")
    assert verdict is not None and verdict.outcome == "no_limit"
    assert result.pattern == "current_usual"


def test_less_than_is_low_and_more_than_is_high() -> None:
    assert start("turns_slowly", "<30", "12.1").pattern == "good_volts_low_current"
    assert start("turns_slowly", ">600", "9.2").pattern == "high_current_slow"


def test_a_clamp_for_alternating_current_judges_neither_level_nor_peaks() -> None:
    result = turned(EVEN, (), clamp="ac")
    verdict = result.verdict("current.held.amps")
    assert verdict is not None and verdict.outcome == "no_limit"
    assert result.figure("lowest_share") is None and result.figure("held") is None
    assert "ac_clamp" in result.confounders and result.pattern == "undecided"


def test_with_the_troughs_even_such_a_clamp_compares_humps() -> None:
    assert turned((182, 180, 150, 181), clamp="ac").where == ("h3",)


# --- humps ------------------------------------------------------------------------------------


@pytest.mark.parametrize("cylinders", [3, 4, 5, 6, 8])
def test_the_form_has_a_hump_for_each_cylinder(cylinders: int) -> None:
    made = layout(PROCEDURE, Context(car=Car(engine=Engine("", cylinders))))
    rows = next(grid for grid in made.grids if grid.grid.key == "humps").rows
    assert [row.label for row in rows] == [f"hump {n}" for n in range(1, cylinders + 1)]


@pytest.mark.parametrize(
    ("first", "low", "cylinder"), [("1", 3, 4), ("1", 2, 3), ("3", 3, 2), ("2", 1, 2)]
)
def test_a_low_hump_is_named_by_trigger_and_firing_order(
    first: str, low: int, cylinder: int
) -> None:
    peaks = [182, 180, 181, 183]
    peaks[low - 1] = 150
    result = turned(peaks, first=first)
    assert (result.pattern, result.where) == ("one_low", (f"h{low}",))
    assert result.customer[0].text.count(f"cylinder {cylinder} ") == 1
    assert result.figure(f"share_c{cylinder}") is not None


@pytest.mark.parametrize(
    "unknown", [{"first": ""}, {"trigger": "none"}, {"trigger": "shared"}, {"first": "7"}]
)
def test_without_a_trigger_no_cylinder_is_named(unknown: dict[str, str]) -> None:
    result = turned((150, 180, 151, 182), **unknown)
    assert result.pattern == "several_low" and "trigger_unknown" in result.confounders
    assert "Hump 1 and the 2nd after it" in result.technician[0].text
    assert not any(f"cylinder {n}" in text(result) for n in range(1, 5))
    assert not any(figure.key.startswith("share_c") for figure in result.figures)


def test_a_typed_firing_order_goes_before_the_cars() -> None:
    result = turned((182, 180, 150, 181), order="1-2-4-3")
    assert "cylinder 4" in result.customer[0].text
    assert "cylinder 2" in turned((182, 180, 150, 181), order="1-3-2-4").customer[0].text


def test_a_firing_order_that_names_none_twice_is_needed() -> None:
    assert "trigger_unknown" in turned(EVEN, order="1-3-3-2").confounders


@pytest.mark.parametrize(
    ("peaks", "pattern"),
    [
        ((150, 180, 151, 182), "several_low"),  # 1 and 4
        ((182, 150, 151, 182), "neighbours_low"),  # 3 and 4
        ((150, 150, 182, 182), "several_low"),  # 1 and 3
    ],
)
def test_neighbours_are_those_in_the_block_and_not_in_the_firing_order(
    peaks: Sequence[int], pattern: str
) -> None:
    assert turned(peaks, (118,) * 4).pattern == pattern


def test_one_low_hump_does_not_hide_the_next() -> None:
    assert turned((182, 146, 160, 183), (118,) * 4).where == ("h2", "h3")


def test_one_hump_above_all_others_is_said() -> None:
    result = turned((240, 150, 151, 150), (118,) * 4)
    assert result.pattern in ("several_low", "neighbours_low")
    assert "technician.one_above" in ids(result)


def test_one_low_is_no_cause_and_asks_for_the_gauge() -> None:
    result = turned((182, 180, 150, 181))
    assert "Compression gauge or leak-down" in result.technician[0].text
    assert PROCEDURE.pattern("one_low").driving is None


def test_even_humps_are_said_to_tell_nothing_of_the_level() -> None:
    result = turned(EVEN)
    assert result.pattern == "even"
    assert {"customer.level", "technician.even"} <= set(ids(result))


def test_even_humps_with_a_high_current_are_not_sound() -> None:
    assert turned(EVEN, held="320").pattern == "high_current"


def test_a_slow_start_and_a_low_hump_are_both_said() -> None:
    result = turned((182, 180, 150, 181), did="turns_slowly", posts="9.10")
    assert result.pattern == "low_volts"
    assert [(item.pattern, item.where) for item in result.also] == [("one_low", ("h3",))]


def test_current_without_ripple_is_not_sound() -> None:
    assert start().pattern == "current_usual"
    assert not PROCEDURE.pattern("current_usual").sound


def test_nothing_is_called_even_before_all_humps_are_read() -> None:
    result = turned(EVEN[:3], TROUGHS[:3])
    assert result.pattern == "current_usual" and "technician.lacking" in ids(result)


def test_a_hump_too_close_to_tell_is_named() -> None:
    result = turned((180, 180, 168, 181), (119,) * 4)
    assert result.pattern == "undecided"
    assert "Lowest is cylinder 4" in text(result)


def test_a_gain_of_the_clamp_does_not_blur_the_ratio() -> None:
    """Two clamps that differ by their gain alone give one doubt of the share."""

    def doubt(accuracy: str) -> float:
        clamp = {
            "kind": "clamp_ammeter",
            "name": "own",
            "accuracy": accuracy,
            "ranges": [{"full_scale": 600, "digit": 0.1}],
        }
        found = run(
            typed_start() | typed_humps(EVEN, TROUGHS), instruments={"clamp_ammeter": clamp}
        ).assessment.figure("lowest_share")
        assert found is not None
        return found.u

    assert doubt("±(10 % + 5 counts)") == pytest.approx(doubt("±(1 % + 5 counts)"))


def test_humps_of_an_engine_that_did_not_turn_are_not_compared() -> None:
    result = turned((182, 180, 150, 181), did="clicks", posts="12.4", held="40")
    assert result.figure("lowest_share") is None
    assert "technician.humps_without_turning" in ids(result)


def test_no_height_at_all_is_not_divided_by() -> None:
    result = turned((118, 118, 118, 118), (118,) * 4)
    assert result.figure("lowest_share") is None and "technician.no_height" in ids(result)


@pytest.mark.parametrize(
    ("given", "confounder"),
    [
        ({"ripple": "rising"}, "ripple_not_steady"),
        ({"ripple": "few"}, "few_turns"),
        ({"seconds": "1"}, "few_turns"),
        ({"throttle": "shut"}, "throttle_shut"),
        ({"rest": "12.1"}, "battery_low"),
    ],
)
def test_what_weakens_the_comparison_is_named(given: dict[str, str], confounder: str) -> None:
    assert confounder in turned(EVEN, **given).confounders


@pytest.mark.parametrize(
    ("tick", "confounder"), [("zeroed", "clamp_not_zeroed"), ("whole_cable", "part_of_the_current")]
)
def test_an_unticked_clamp_weakens_it(tick: str, confounder: str) -> None:
    found = run(typed_start() | typed_humps(EVEN, TROUGHS) | {f"ready.{tick}": "no"})
    assert confounder in found.assessment.confounders


def test_a_weak_battery_found_before_weakens_it() -> None:
    found = run(typed_start() | typed_humps(EVEN, TROUGHS), weak_battery="11.9 V at rest")
    assert "weak_battery" in found.assessment.confounders


# --- again, after the repair ------------------------------------------------------------------


def compared(before: dict[str, str], after: dict[str, str]) -> dict[str, str]:
    first, second = run(before), run(after)
    found = compare(
        PROCEDURE,
        first.checked.readings,
        second.checked.readings,
        figures_before=first.assessment.figures,
        figures_after=second.assessment.figures,
    )
    return {change.address.removeprefix("figure."): change.direction for change in found.changes}


def test_a_cylinder_is_compared_with_itself_whichever_hump_came_first() -> None:
    before = typed_start() | typed_humps((182, 180, 150, 181), TROUGHS)
    after = typed_start(first="4") | typed_humps(EVEN, TROUGHS)
    found = compared(before, after)
    assert found["share_c4"] == "more" and found["share_c1"] == "no clear change"


def test_humps_without_a_trigger_are_not_compared_one_by_one() -> None:
    before = typed_start(first="") | typed_humps((182, 180, 150, 181), TROUGHS)
    found = compared(before, typed_start(first="") | typed_humps(EVEN, TROUGHS))
    assert found["lowest_share"] == "more"
    assert not any(key.startswith("share_") for key in found)


def test_runs_with_another_throttle_are_not_compared() -> None:
    one = typed_start(throttle="open") | typed_humps(EVEN, TROUGHS)
    assert compared(one, one | {"given.throttle": "shut"}) == {}


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ({}, "given.did"),
        ({"given.did": "nothing"}, "volts.control.volts"),
        ({"given.did": "turns"}, "current.held.amps"),
        (
            {
                "given.did": "turns",
                "current.held.amps": "150",
                "volts.posts.volts": "10.8",
            },
            "humps.h1.peak",
        ),
        (typed_start("turns_slowly", "40"), "volts.stud.volts"),
    ],
)
def test_next_step_asks_for_what_decides(typed: dict[str, str], address: str) -> None:
    assert steps(typed)[0] == address


def test_it_is_found_and_judges_the_start_with_crankings_own_windows() -> None:
    assert PROCEDURES["starter_current"] is PROCEDURE
    ours = start().verdict("current.held.amps")
    theirs = run_data(
        CRANKING,
        {"typed": {"attempts.first.current": "150"}, "context": {"car": FOUR}},
    ).assessment.verdict("attempts.first.current")
    assert ours is not None and theirs is not None
    assert (ours.low, ours.high) == (theirs.low, theirs.high)


# --- properties -------------------------------------------------------------------------------

amperes = st.floats(-1500, 1500).map(lambda number: f"{number:.0f}")
volts = st.floats(-20, 20).map(lambda number: f"{number:.2f}")


@given(
    st.sampled_from(DID),
    amperes,
    st.tuples(volts, volts, volts, volts),
    st.lists(st.tuples(amperes, st.one_of(st.just(""), amperes)), max_size=4),
    st.sampled_from(["", "1", "4", "9"]),
    st.sampled_from(["", "ac", "dc"]),
    st.sampled_from(["", "-20", "20", "95"]),
)
def test_no_readings_in_range_are_too_much(
    did: str,
    held: str,
    read: tuple[str, str, str, str],
    pairs: list[tuple[str, str]],
    first: str,
    clamp: str,
    temperature: str,
) -> None:
    posts, stud, ground, control = read
    typed = typed_start(
        did,
        held,
        posts,
        stud=stud,
        ground=ground,
        control=control,
        first=first,
        clamp=clamp,
        temperature=temperature,
    )
    for n, (peak, trough) in enumerate(pairs, 1):
        typed |= {f"humps.h{n}.peak": peak, f"humps.h{n}.trough": trough}
    result = run(typed).assessment
    assert result.customer and result.technician


@given(st.lists(st.integers(60, 300), min_size=4, max_size=4))
def test_the_unit_typed_changes_no_verdict(peaks: list[int]) -> None:
    plain = turned(peaks, ())
    typed: dict[str, Any] = typed_start() | {
        f"humps.h{n}.peak": [str(peak * 1000), "mA"] for n, peak in enumerate(peaks, 1)
    }
    other = run(typed).assessment
    assert (other.pattern, other.where) == (plain.pattern, plain.where)
    assert [v.outcome for v in other.verdicts] == [v.outcome for v in plain.verdicts]


@given(st.integers(60, 180), st.integers(0, 60))
def test_a_higher_lowest_hump_is_never_judged_worse(peak: int, more: int) -> None:
    order = ["outside", "cannot_tell", "within"]
    low, high = (
        turned((180, 180, 180, number), ()).verdict("figure.lowest_share")
        for number in (peak, min(180, peak + more))
    )
    assert low is not None and high is not None
    assert order.index(low.outcome) <= order.index(high.outcome)


@given(st.permutations(list(range(1, 7))), st.integers(1, 6))
def test_each_cylinder_has_one_hump_from_the_triggers_on(order: list[int], first: int) -> None:
    found = cylinders_of(first, order)
    assert found[0] == first and sorted(found) == [1, 2, 3, 4, 5, 6]
    following = dict(zip(order, [*order[1:], order[0]], strict=True))
    assert all(following[a] == b for a, b in pairwise(found))
