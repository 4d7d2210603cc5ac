"""Play: which wheel, what the foot brake says, the steering wheel against its limits, mounts."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.compare import compare
from measurements.core.context import ChosenLimit, Context
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import Readings, validate
from measurements.procedures.play import PROCEDURE

PRESENT = Context(fault_present="yes")
CORNERS = ("fl", "fr", "rl", "rr")
MAKER = Source("maker", "data sheet")
READY = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
STEERING = {
    "given.stood": "stands",
    "given.steering": "running",
    "given.free_play": "12",
    "given.diameter": "380",
    "given.mount": "none",
}
STILL = {f"wheels.{c}.{way}": "none" for c in CORNERS for way in ("twelve_six", "nine_three")}
SPUN = {f"wheels.{c}.spun": "smooth" for c in CORNERS}
NOTHING: dict[str, Any] = {**READY, **STEERING, **STILL, **SPUN}


def front_left(**typed: str) -> dict[str, Any]:
    return {**NOTHING, **{f"wheels.fl.{key}": text for key, text in typed.items()}}


def readings_of(typed: dict[str, Any], context: Context = PRESENT) -> Readings:
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return checked.readings


def judged(typed: dict[str, Any], context: Context = PRESENT) -> Assessment:
    return assess(PROCEDURE, readings_of(typed, context), context)


def patterns(found: Assessment) -> list[str]:
    return [found.pattern, *(item.pattern for item in found.also)]


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def outcome(found: Assessment, address: str) -> str:
    verdict = found.verdict(address)
    return "" if verdict is None else verdict.outcome


def with_limit(address: str, high: float) -> Context:
    return replace(PRESENT, limits=(ChosenLimit(address, None, high, MAKER),))


# --- by hand ----------------------------------------------------------------------------------


@pytest.mark.parametrize("way", ["twelve_six", "nine_three"])
@pytest.mark.parametrize("how", ["felt", "seen"])
@pytest.mark.parametrize(
    ("brake", "pattern"),
    [("gone", "bearing_play"), ("stays", "stays"), ("not_tried", "brake_untried")],
)
def test_the_foot_brake_tells_bearing_from_joint(
    way: str, how: str, brake: str, pattern: str
) -> None:
    found = judged(front_left(**{way: how, "brake": brake}))
    assert (found.pattern, found.where) == (pattern, ("fl",))


def test_play_without_a_word_on_the_brake_is_brake_untried() -> None:
    found = judged(front_left(twelve_six="felt"))
    assert found.pattern == "brake_untried"
    assert "brake_not_tried" in found.confounders


def test_a_joint_leads_before_a_bearing() -> None:
    typed = {
        **front_left(twelve_six="felt", brake="gone"),
        "wheels.rr.nine_three": "felt",
        "wheels.rr.brake": "stays",
    }
    assert patterns(judged(typed)) == ["stays", "bearing_play"]


@pytest.mark.parametrize("place", ["bush", "top_mount"])
def test_rubber_alone_is_no_joint(place: str) -> None:
    found = judged(front_left(twelve_six="felt", brake="stays", place=place))
    assert patterns(found) == ["bush"]


@pytest.mark.parametrize(
    ("brake", "place"), [("gone", "ball_joint"), ("gone", "bush"), ("stays", "bearing")]
)
def test_brake_and_seen_part_that_do_not_fit_are_told(brake: str, place: str) -> None:
    found = judged(front_left(twelve_six="seen", brake=brake, place=place))
    assert "at_odds" in found.confounders
    assert "brake and seen part do not fit" in words(found)


@pytest.mark.parametrize(
    ("moves", "told"),
    [
        ({"twelve_six": "felt"}, "only at 12 and 6"),
        ({"nine_three": "felt"}, "only at 9 and 3"),
        ({"twelve_six": "felt", "nine_three": "felt"}, "both ways"),
    ],
)
def test_direction_points_on_where_no_part_was_seen(moves: dict[str, str], told: str) -> None:
    assert told in words(judged(front_left(brake="stays", **moves)))


@pytest.mark.parametrize(
    "missing", [f"wheels.{c}.{way}" for c in CORNERS for way in ("twelve_six", "nine_three")]
)
def test_none_found_needs_both_rockings_at_all_four(missing: str) -> None:
    assert judged(NOTHING).pattern == "no_play"
    typed = {address: text for address, text in NOTHING.items() if address != missing}
    assert judged(typed).pattern == "undecided"


def test_a_rough_wheel_is_told_though_nothing_moves() -> None:
    assert patterns(judged(front_left(spun="rough"))) == ["rough"]


@pytest.mark.parametrize("mount", ["torn", "oil", "moves"])
def test_a_mount_is_told_beside_sound_wheels(mount: str) -> None:
    assert patterns(judged({**NOTHING, "given.mount": mount})) == ["mount"]


@pytest.mark.parametrize(
    ("changed", "confounder"),
    [
        ({"given.stood": "wheels"}, "carrying"),
        ({"given.stood": "plates"}, "carrying"),
        ({"given.stood": ""}, "stood_unknown"),
        ({"given.mount": ""}, "mounts_not_seen"),
        ({"given.free_play": ""}, "steering_not_tried"),
        ({"given.steering": "off"}, "pump_stood"),
        ({"wheels.rl.spun": "not_spun"}, "not_spun"),
        ({"ready.nuts": ""}, "loose_nuts"),
        ({"ready.tyres": ""}, "soft_tyre"),
        ({"ready.hands": ""}, "one_hand"),
    ],
)
def test_what_makes_none_found_worth_less(changed: dict[str, str], confounder: str) -> None:
    assert confounder not in judged(NOTHING).confounders
    found = judged({**NOTHING, **changed})
    assert found.pattern == "no_play"
    assert confounder in found.confounders


@pytest.mark.parametrize("code", ["stays", "beyond_maker", "steering_over", "brake_untried"])
def test_what_can_cost_the_steering_is_not_driven(code: str) -> None:
    driving = PROCEDURE.pattern(code).driving
    assert driving is not None and driving.code == "do_not_drive"


# --- measured ---------------------------------------------------------------------------------


def test_measured_play_has_no_limit_but_the_makers() -> None:
    found = judged(front_left(twelve_six="felt", brake="stays", measured="1.20"))
    assert found.verdict("wheels.fl.measured") is None
    assert "1.20 mm ± 0.06 measured. Only the maker's figure" in words(found)


def test_a_joint_of_the_maker_may_have_its_play() -> None:
    typed = front_left(twelve_six="felt", brake="stays", measured="0.40")
    assert judged(typed, with_limit("wheels.*.measured", 0.8)).pattern == "within_maker"
    assert judged(typed, with_limit("wheels.*.measured", 0.2)).pattern == "beyond_maker"


def test_one_measurement_does_not_excuse_play_both_ways() -> None:
    typed = front_left(twelve_six="felt", nine_three="felt", brake="stays", measured="0.40")
    assert judged(typed, with_limit("wheels.*.measured", 0.8)).pattern == "stays"


def test_too_near_the_makers_figure_counts_as_reached() -> None:
    typed = front_left(twelve_six="felt", brake="stays", measured="0.79")
    found = judged(typed, with_limit("wheels.*.measured", 0.8))
    assert outcome(found, "wheels.fl.measured") == "cannot_tell"
    assert found.pattern == "stays"
    assert "the limit counts as reached" in words(found)
    assert "measure better, or treat it as reached" in words(found)


# --- steering wheel ---------------------------------------------------------------------------


def test_free_play_over_the_published_limit_leads() -> None:
    found = judged({**NOTHING, "given.free_play": "75"})
    assert patterns(found) == ["steering_over"]
    verdict = found.verdict("given.free_play")
    assert verdict is not None and verdict.source is not None
    assert verdict.safety
    assert verdict.high == pytest.approx(50.8)
    assert "49 CFR 570.7" in verdict.source.text


def test_within_the_rule_says_that_it_is_the_outermost() -> None:
    assert "outermost" in words(judged(NOTHING))


@pytest.mark.parametrize("steering", ["off", ""])
def test_no_verdict_by_the_rule_unless_power_steering_was_at_work(steering: str) -> None:
    found = judged({**NOTHING, "given.free_play": "75", "given.steering": steering})
    assert found.verdict("given.free_play") is None
    assert "No limit for this free play" in words(found)


def test_without_diameter_there_is_neither_angle_nor_limit() -> None:
    found = judged({**NOTHING, "given.diameter": ""})
    figure = found.figure("free_angle")
    assert figure is not None and figure.value is None and figure.absent_because
    assert found.verdict("given.free_play") is None


def test_play_as_wide_as_the_wheel_gives_no_angle() -> None:
    typed = {**NOTHING, "given.free_play": "380"}
    checked = validate(PROCEDURE, typed, PRESENT)
    figure = assess(PROCEDURE, checked.readings, PRESENT).figure("free_angle")
    assert figure is not None and figure.value is None and figure.absent_because


def test_the_makers_figure_in_mm_goes_before_the_rule() -> None:
    found = judged(NOTHING, with_limit("given.free_play", 5.0))
    assert found.pattern == "steering_over"


def test_the_makers_angle_goes_before_the_rule() -> None:
    typed = {**NOTHING, "given.free_play": "75"}
    found = judged(typed, with_limit("figure.free_angle", 30.0))
    assert (found.pattern, found.verdict("given.free_play")) == ("no_play", None)
    assert judged(typed, with_limit("figure.free_angle", 10.0)).pattern == "steering_over"


@pytest.mark.parametrize(("steering", "most"), [("manual", 50.8), ("running", 4.25 * 25.4)])
def test_the_rule_for_lorries_is_used_only_for_lorries(steering: str, most: float) -> None:
    typed = {**NOTHING, "given.vehicle": "commercial", "given.steering": steering}
    verdict = judged(typed).verdict("given.free_play")
    assert verdict is not None and verdict.source is not None
    assert verdict.high == pytest.approx(most)
    assert "commercial" in verdict.source.text
    assert "from memory" in verdict.source.words


# --- asked next, chart, again -----------------------------------------------------------------


def next_address(typed: dict[str, Any]) -> str:
    assert PROCEDURE.next_step is not None
    asked = PROCEDURE.next_step(readings_of(typed), PRESENT)
    return asked[0][0] if asked else ""


def test_what_is_asked_next() -> None:
    assert next_address(front_left(twelve_six="felt")) == "wheels.fl.brake"
    assert next_address(front_left(twelve_six="felt", brake="stays")) == "wheels.fl.place"
    assert next_address({**NOTHING, "wheels.rr.nine_three": ""}) == "wheels.rr.nine_three"
    assert next_address(NOTHING) == ""


def test_the_chart_marks_what_moves_and_what_was_there_before() -> None:
    worn = judged(front_left(twelve_six="seen", brake="gone", spun="rough")).chart
    assert "front left 12 and 6, rough" in worn["title"]
    svg = chart.draw(judged(NOTHING).chart, earlier=worn)
    assert "12 and 6" in svg and "before" in svg


def test_two_runs_that_stood_unlike_are_not_alike() -> None:
    before = readings_of(front_left(twelve_six="felt", brake="stays", measured="1.2"))
    after = readings_of(front_left(measured="0.2"))
    other = readings_of({**front_left(measured="0.2"), "given.stood": "wheels"})
    assert compare(PROCEDURE, before, after).comparable
    assert not compare(PROCEDURE, before, other).comparable


# --- properties -------------------------------------------------------------------------------

PLAY = st.floats(0, 500).map(lambda value: round(value, 1))
ACROSS = st.floats(200, 700).map(lambda value: round(value, 1))


@given(PLAY, ACROSS, st.sampled_from(["manual", "running", "off"]))
def test_no_free_play_in_range_stops_it(free: float, across: float, steering: str) -> None:
    typed = {
        **NOTHING,
        "given.free_play": f"{free}",
        "given.diameter": f"{across}",
        "given.steering": steering,
    }
    readings = validate(PROCEDURE, typed, PRESENT).readings
    assert assess(PROCEDURE, readings, PRESENT).pattern in {"no_play", "steering_over", "undecided"}


ORDER = {"within": 0, "cannot_tell": 1, "outside": 2}


@given(PLAY, PLAY, ACROSS)
def test_more_free_play_is_never_better(one: float, other: float, across: float) -> None:
    seen = []
    for free in sorted((one, other)):
        typed = {**NOTHING, "given.free_play": f"{free}", "given.diameter": f"{across}"}
        readings = validate(PROCEDURE, typed, PRESENT).readings
        seen.append(ORDER[outcome(assess(PROCEDURE, readings, PRESENT), "given.free_play")])
    assert seen == sorted(seen)


@given(PLAY, st.sampled_from(["us", "imperial"]))
def test_the_shops_units_change_no_verdict(free: float, units: Literal["us", "imperial"]) -> None:
    typed = {**NOTHING, "given.free_play": (f"{free}", "mm"), "given.diameter": ("380", "mm")}
    found = []
    for context in (PRESENT, replace(PRESENT, units=units)):
        result = assess(PROCEDURE, validate(PROCEDURE, typed, context).readings, context)
        found.append((result.pattern, outcome(result, "given.free_play")))
    assert found[0] == found[1]
