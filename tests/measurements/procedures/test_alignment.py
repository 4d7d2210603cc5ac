"""Wheel alignment: what must not be said first, then toe, thrust, camber, set-up and signs."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.compare import Comparison, compare
from measurements.core.context import ChosenLimit, Context
from measurements.core.instruments import Instrument
from measurements.core.instruments import Span as Range
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import layout, validate
from measurements.forms.limits import places
from measurements.procedures.alignment import PROCEDURE
from tests.measurements.svg import SVG, parsed

CORNERS = ("fl", "fr", "rl", "rr")
GAUGE = Instrument("tape", "steel rule", "±0.1 mm", (Range(300, 0.1), Range(3000, 0.5)))
TESTED = Context(fault_present="yes", instruments={"tape": GAUGE})
STRAIGHT = dict.fromkeys(CORNERS, (120.0, 120.0))
TICKED = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
GIVEN = {"play": "none", "settled": "rolled", "span": "420 mm", "ratio": "16"}


def typing(
    gaps: dict[str, tuple[float, float]] | None = None,
    *,
    turned: dict[str, tuple[float, float]] | None = None,
    unticked: tuple[str, ...] = (),
    facts: dict[str, str] | None = None,
    **more: str,
) -> dict[str, str]:
    """Four straight wheels unless told otherwise; more: corners__fl__hub="100" and so on."""
    typed = {a: v for a, v in TICKED.items() if a.removeprefix("ready.") not in unticked}
    typed |= {f"given.{key}": value for key, value in (GIVEN | (facts or {})).items()}
    for turn, four in (("stood", STRAIGHT | (gaps or {})), ("turned", turned or {})):
        for code, (front, rear) in four.items():
            typed |= {
                f"wheels.{code}_{turn}.front": f"{front:.4f} mm",
                f"wheels.{code}_{turn}.rear": f"{rear:.4f} mm",
            }
    return typed | {key.replace("__", "."): value for key, value in more.items()}


def judged(typed: dict[str, str], context: Context = TESTED) -> Assessment:
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def toe(
    gaps: dict[str, tuple[float, float]] | None = None, context: Context = TESTED, **changes: object
) -> Assessment:
    return judged(typing(gaps, **changes), context)


def asked(low: float | None, high: float | None, *keys: str) -> Context:
    source = Source("maker", "data sheet", "2019")
    limits = tuple(ChosenLimit(f"figure.{key}", low, high, source) for key in keys)
    return replace(TESTED, limits=limits)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def value(found: Assessment, key: str) -> float:
    figure = found.figure(key)
    assert figure is not None and figure.value is not None, key
    return figure.value


def outcome(found: Assessment, key: str) -> str | None:
    verdict = found.verdict(f"figure.{key}")
    return verdict.outcome if verdict else None


TOED_IN = {"fl": (125.0, 120.0), "fr": (125.0, 120.0)}
POINTING_RIGHT = {"rl": (123.0, 120.0), "rr": (117.0, 120.0)}
HUBS = {"track_front": "1530", "track_rear": "1510", "wheelbase": "2650"}


def hubs(fl: str, fr: str, rl: str, rr: str) -> dict[str, str]:
    return {f"corners__{c}__hub": v for c, v in zip(CORNERS, (fl, fr, rl, rr), strict=True)}


# --- what must not be said --------------------------------------------------------------------


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"gaps": TOED_IN},
        {"facts": {"play": "found"}},
        {"facts": {"settled": "no"}},
        {"unticked": ("square", "centred")},
        {"gaps": POINTING_RIGHT},
    ],
)
def test_a_pull_is_never_answered_and_the_customer_is_told(changes: dict[str, object]) -> None:
    found = toe(**changes)
    assert found.customer[-1].text == "Why a car pulls to one side is not answered by this test."
    assert "toe does not make a car pull" in found.technician[-1].text or any(
        "toe does not make a car pull" in sentence.text for sentence in found.technician
    )


def test_nothing_typed_says_so_about_a_pull_too() -> None:
    found = judged({})
    assert "pulls to one side" in words(found)


@pytest.mark.parametrize("facts", [{"play": "found"}, {"settled": "no"}])
def test_with_play_or_unsettled_no_angle_is_judged_however_far_off(facts: dict[str, str]) -> None:
    found = toe(TOED_IN | POINTING_RIGHT, facts=facts, context=asked(-0.1, 0.1, "toe_front"))
    assert not found.verdicts
    assert found.pattern == ("play_first" if "play" in facts else "undecided")
    assert value(found, "total_front") == pytest.approx(1.364, abs=0.001)


def test_strings_that_nobody_squared_give_no_verdict() -> None:
    found = toe(TOED_IN, unticked=("square",))
    assert (found.pattern, found.verdicts) == ("undecided", ())
    assert "strings_unchecked" in found.confounders
    assert "toe is only apparent" in words(found)


def test_hub_gaps_and_tracks_stand_in_for_the_tick() -> None:
    found = toe(TOED_IN, unticked=("square",), facts=HUBS, **hubs("100", "100", "110", "110"))
    assert found.pattern == "toe_off_front"
    assert "strings_unchecked" not in found.confounders


def test_half_of_what_the_correction_needs_corrects_nothing_and_is_named() -> None:
    found = toe(unticked=("square",), corners__fl__hub="100")
    assert found.figure("skew_left") is None
    assert {"given.track_front", "given.wheelbase", "corners.rl.hub"} <= set(found.missing)


def test_a_steering_wheel_off_its_middle_leaves_only_the_pair() -> None:
    gaps = {"fl": (125.0, 120.0), "fr": (115.0, 120.0)}
    found = toe(gaps, unticked=("centred",), context=asked(-0.1, 0.3, "toe_front"))
    assert outcome(found, "toe_fl") is None
    assert outcome(found, "total_front") == "within"
    assert found.figure("lead").absent_because == "the steering wheel was not held straight ahead"
    assert found.figure("wheel_off").value is None


def test_a_camber_on_a_floor_nobody_levelled_is_shown_without_a_verdict() -> None:
    lean = {"wheels__fl_stood__top": "60", "wheels__fl_stood__bottom": "50"}
    context = asked(-0.5, 0.5, "camber_front")
    bare = toe(facts={"height": "400"}, unticked=("level",), context=context, **lean)
    assert value(bare, "camber_fl") == pytest.approx(-1.4325, abs=0.001)
    assert outcome(bare, "camber_fl") is None
    assert "floor_unknown" in bare.confounders
    tilted = toe(
        facts={"height": "400"}, unticked=("level",), context=context, corners__fl__floor="0.2",
        **lean,
    )  # fmt: skip
    assert value(tilted, "camber_fl") == pytest.approx(-1.6325, abs=0.001)
    assert outcome(tilted, "camber_fl") == "outside"


def test_without_the_makers_limit_a_wheel_a_rear_axle_and_a_camber_have_no_verdict() -> None:
    found = toe({"rl": (125.0, 120.0), "rr": (125.0, 120.0)})
    assert {v.address for v in found.verdicts} == {"figure.total_front", "figure.thrust"}
    assert found.pattern == "even"
    assert "no_maker_limits" in found.confounders


def test_a_tape_by_eye_in_one_position_cannot_call_straight_wheels_usual() -> None:
    found = toe(context=replace(TESTED, instruments={}))
    assert found.pattern == "undecided"
    verdict = found.verdict("figure.total_front")
    assert verdict is not None and verdict.too_narrow


def test_half_a_turn_on_the_same_tape_can() -> None:
    found = toe(turned=STRAIGHT, context=replace(TESTED, instruments={}))
    assert found.pattern == "even"


@pytest.mark.parametrize("lacking", CORNERS)
def test_three_wheels_are_not_called_even(lacking: str) -> None:
    typed = {a: v for a, v in typing().items() if not a.startswith(f"wheels.{lacking}")}
    found = judged(typed)
    assert found.pattern == "undecided"
    assert f"wheels.{lacking}_stood.front" in found.missing


def test_gaps_that_make_no_angle_are_named_instead_of_failing() -> None:
    found = toe({"fl": (400.0, 10.0)})
    assert found.figure("toe_fl").value is None
    assert "read them again" in found.figure("toe_fl").absent_because
    assert found.pattern == "undecided"


# --- toe, thrust, steering wheel --------------------------------------------------------------


def test_toe_in_is_plus_and_toe_out_minus_in_words_too() -> None:
    found = toe({"fl": (125.0, 120.0), "fr": (112.0, 120.0)})
    assert value(found, "toe_fl") > 0 > value(found, "toe_fr")
    assert "front left 0.68° toe-in" in found.chart["title"]
    assert "front right 1.09° toe-out" in found.chart["title"]
    assert found.figure("toe_fl").label == "toe front left (in +)"


def test_millimetres_are_those_that_were_read_over_the_span() -> None:
    found = toe({"fl": (121.6, 120.0)})
    assert value(found, "toe_mm_fl") == pytest.approx(1.6, abs=1e-9)
    assert "over the rim span" in found.figure("toe_mm_fl").label


def test_the_front_axle_is_named_where_its_total_is_off() -> None:
    found = toe(TOED_IN)
    assert (found.pattern, found.where) == ("toe_off_front", ("front",))
    assert "total toe front 1.36° toe-in, where −0.30° to 0.30° is usual" in words(found)


@pytest.mark.parametrize(("code", "axle"), [("fl", "front"), ("rr", "rear")])
def test_a_wheel_is_named_where_the_makers_limit_for_one_is_left(code: str, axle: str) -> None:
    other = {"fl": "fr", "rr": "rl"}[code]
    gaps = {code: (116.5, 120.0), other: (123.5, 120.0)}
    found = toe(gaps, context=asked(-0.1, 0.7, f"toe_{axle}"))
    assert (found.pattern, found.where) == (f"toe_off_{axle}", (code,))
    assert "where the maker asks for −0.10° to 0.70°" in words(found)


def test_a_makers_total_in_millimetres_is_held_against_the_span() -> None:
    found = toe(context=asked(2.0, 4.0, "total_mm_rear"))
    assert (found.pattern, found.where) == ("toe_off_rear", ("rear",))


def test_the_makers_limit_goes_before_what_is_usual() -> None:
    found = toe(TOED_IN, context=asked(1.0, 1.7, "total_front"))
    assert outcome(found, "total_front") == "within"
    assert found.pattern == "even"


def test_thrust_is_plus_to_the_right_and_said_in_both_conventions() -> None:
    found = toe(POINTING_RIGHT)
    assert (found.pattern, found.where) == ("thrust_off", ("rear",))
    assert value(found, "thrust") == pytest.approx(0.4093, abs=1e-3)
    assert value(found, "thrust_iso") == -value(found, "thrust")
    assert "right plus: 0.41°. In ISO 8855 axes, left plus: −0.41°" in words(found)


def test_a_steering_wheel_stands_to_the_side_the_rear_wheels_point_to() -> None:
    found = toe(POINTING_RIGHT)
    assert value(found, "wheel_off") == pytest.approx(16 * 0.4093, abs=0.02)
    assert "the steering wheel stands 7° to the right" in words(found)


def test_front_wheels_that_follow_the_thrust_leave_the_steering_wheel_where_it_is() -> None:
    found = toe(POINTING_RIGHT | {"fl": (123.0, 120.0), "fr": (117.0, 120.0)})
    assert value(found, "wheel_off") == pytest.approx(0.0, abs=1e-9)
    assert "stands where it was held" in words(found)


def test_no_steering_ratio_no_angle_of_the_steering_wheel() -> None:
    found = toe(facts={"ratio": ""})
    assert found.figure("wheel_off").absent_because == "the steering ratio is not known"


# --- strings, tape, run-out -------------------------------------------------------------------


def test_tracks_that_differ_are_taken_out_of_the_toe() -> None:
    """Equal hub gaps on tracks of 1530 and 1510 mm: each string spreads by 10 mm."""
    found = toe(facts=HUBS, **hubs("100", "100", "100", "100"))
    skew = math.degrees(math.atan(10 / 2650))
    for code in CORNERS:
        assert value(found, f"toe_{code}") == pytest.approx(-skew, abs=1e-9)
    assert value(found, "total_front") == pytest.approx(-2 * skew, abs=1e-9)
    assert value(found, "thrust") == pytest.approx(0.0, abs=1e-9)


def test_what_both_sides_share_cancels_in_the_thrust_and_not_in_the_total() -> None:
    found = toe(facts=HUBS, **hubs("100", "100", "110", "110"))
    plain = toe()
    assert found.figure("total_rear").u > plain.figure("total_rear").u * 1.2
    tracks = replace(TESTED, instruments={"tape": replace(GAUGE, accuracy="±5 mm")})
    assert toe(context=tracks).figure("thrust").u == pytest.approx(
        toe(context=tracks).figure("total_rear").u / 2
    )


def test_a_string_too_far_askew_is_set_up_anew_and_judges_nothing_on_its_side() -> None:
    found = toe(TOED_IN, facts=HUBS, **hubs("100", "118", "110", "100"))
    assert (found.pattern, found.where) == ("string_not_square", ("fr", "rr"))
    assert outcome(found, "total_front") is None and outcome(found, "thrust") is None


def test_a_tape_that_disagrees_with_the_strings_is_believed_for_the_total_alone() -> None:
    tape = {f"tape__front__{k}": v for k, v in (("ahead", "1500"), ("behind", "1500"))}
    found = toe(TOED_IN, tape__front__between="620", context=asked(-0.1, 0.1, "toe_front"), **tape)
    assert found.pattern == "string_not_square"
    assert value(found, "total_front") == 0.0
    assert outcome(found, "toe_fl") is None and outcome(found, "thrust") is None


def test_a_tape_alone_judges_the_total_toe() -> None:
    tape = {"tape.front.ahead": "1498", "tape.front.behind": "1514", "tape.front.between": "620"}
    found = judged(TICKED | {"given.play": "none", "given.settled": "rolled"} | tape)
    assert (found.pattern, found.where) == ("toe_off_front", ("front",))
    assert value(found, "tape_mm_front") == 16


def test_the_mean_of_two_turns_is_free_of_run_out() -> None:
    """Rim out of true by 2 mm: the difference of the gaps reads 2 too much, then 2 too little."""
    found = toe({"fl": (122.6, 120.0)}, turned={"fl": (118.6, 120.0)})
    assert value(found, "toe_mm_fl") == pytest.approx(0.6, abs=1e-9)
    assert value(found, "runout_fl") == pytest.approx(2.0, abs=1e-9)
    assert "the mean of the two turns is free of it" in words(found)


def test_two_turns_have_less_doubt_than_one() -> None:
    once, twice = toe(), toe(turned=STRAIGHT)
    assert twice.figure("toe_fl").u == pytest.approx(once.figure("toe_fl").u / math.sqrt(2))


def test_run_out_that_was_not_looked_for_is_said_in_degrees() -> None:
    said = words(toe())
    assert "1 mm of rim run-out is 0.14° over 420 mm" in said
    assert "1 mm of rim run-out is 0.15° over 381 mm" in words(toe(facts={"span": "381"}))


def test_a_rim_that_swings_is_not_judged_in_one_position() -> None:
    found = toe(TOED_IN, corners__fl__swing="2.4")
    assert (found.pattern, found.where) == ("runout_too_large_to_tell", ("fl",))
    assert outcome(found, "total_front") is None
    found = toe(TOED_IN, turned=TOED_IN, corners__fl__swing="2.4")
    assert found.pattern == "toe_off_front"


def test_a_dial_off_its_scale_counts_as_swinging() -> None:
    assert toe(corners__fl__swing=">10").pattern == "runout_too_large_to_tell"


def test_a_known_swing_widens_the_doubt_of_a_single_position() -> None:
    without, found = toe(), toe(corners__fl__swing="0.8")
    mm = math.hypot(without.figure("toe_mm_fl").u, 0.8 / math.sqrt(2))
    assert found.figure("toe_mm_fl").u == pytest.approx(mm, rel=1e-6)
    assert "runout_unknown" in found.confounders  # of the three others


# --- camber, ride height, afterwards ----------------------------------------------------------


def lean(**tops: str) -> dict[str, str]:
    typed = {}
    for code, top in tops.items():
        typed |= {f"wheels__{code}_stood__top": top, f"wheels__{code}_stood__bottom": "50"}
    return typed


def test_a_top_that_leans_outward_is_plus() -> None:
    found = toe(facts={"height": "400"}, **lean(fl="45", fr="55"))
    assert value(found, "camber_fl") == pytest.approx(-value(found, "camber_fr"))
    assert value(found, "camber_fl") > 0
    assert (found.pattern, found.where) == ("camber_differs", ("front",))


def test_a_makers_camber_holds_for_both_wheels_of_an_axle() -> None:
    context = asked(-1.5, -0.5, "camber_rear")
    found = toe(facts={"height": "400"}, context=context, **lean(rl="57", rr="50"))
    assert (found.pattern, found.where) == ("camber_off", ("rr",))
    assert outcome(found, "camber_rl") == "within"


def test_camber_without_the_height_between_the_points_is_missing_it() -> None:
    found = toe(**lean(fl="45"))
    assert found.figure("camber_fl") is None
    assert "given.height" in found.missing


def test_other_rims_at_the_rear_have_their_own_span() -> None:
    found = toe({"rl": (122.0, 120.0)}, facts={"span_rear": "480"})
    assert value(found, "toe_rl") == pytest.approx(math.degrees(math.asin(2 / 480)), abs=1e-9)


def test_a_sagged_corner_is_seen_before_the_wheels_are_called_even() -> None:
    found = toe(corners__rl__ride="350", corners__rr__ride="382")
    assert (found.pattern, found.where) == ("stands_uneven", ("rear",))


@pytest.mark.parametrize("key", ["sensor", "cameras"])
def test_what_an_adjustment_leaves_to_be_done_is_said(key: str) -> None:
    name = {"sensor": "steering-angle sensor", "cameras": "driver-assistance cameras"}[key]
    open_ = toe(facts={key: "not_done", "adjusted": "yes"})
    assert f"The {name} ha" in " ".join(s.text for s in open_.customer)
    done = toe(facts={key: "done", "adjusted": "yes"})
    assert name not in " ".join(s.text for s in done.customer)
    assert f"{name} set." in words(done).lower()
    assert f"{name} set or not? not noted." in words(toe(facts={"adjusted": "yes"})).lower()
    assert f"{name} set or not" not in words(toe()).lower()


# --- signs, limits, form ----------------------------------------------------------------------


def test_the_sign_is_stated_on_the_form_in_words_and_with_each_angle() -> None:
    assert "count as plus" in PROCEDURE.purpose
    shown = layout(PROCEDURE, Context())
    helps = " ".join(slot.field.help for slot in shown.slots)
    assert "toe-in, which counts as plus" in helps
    found = toe(
        facts={"height": "400"} | HUBS,
        **lean(fl="45", fr="45"),
        **hubs("100", "100", "110", "110"),
    )
    assert "Signs: toe-in plus" in words(found)
    for figure in found.figures:
        if figure.quantity == "angle" and not figure.label.endswith("left less right"):
            assert "+)" in figure.label, figure.label


def test_a_makers_limit_can_be_kept_for_each_angle() -> None:
    offered = places(PROCEDURE, Context())
    assert offered["figure.total_front"] == ("Total toe, front (in +)", "angle")
    for key in PROCEDURE.maker_figures:
        found = toe(
            TOED_IN,
            facts={"height": "400"},
            context=asked(40.0, None, key),
            corners__fl__ride="400",
            corners__fr__ride="400",
            corners__rl__ride="400",
            corners__rr__ride="400",
            **lean(fl="45", fr="45", rl="45", rr="45"),
        )
        makers = [v for v in found.verdicts if v.source and v.source.tag == "maker"]
        assert makers and all(v.outcome == "outside" for v in makers), key


def test_the_form_has_a_row_for_each_wheel_and_turn() -> None:
    grid = layout(PROCEDURE, Context()).grids[0]
    assert [row.row.code for row in grid.rows] == [
        f"{code}_{turn}" for code in CORNERS for turn in ("stood", "turned")
    ]
    assert grid.rows[1].label == "front left, rolled on half a turn of the wheel"


def test_cautions_name_what_hurts() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions)
    for word in ("jack alone", "Rated stands", "air bag", "lock nut", "chocks", "cameras", "Taut"):
        assert word in said


def test_one_tapes_gain_is_shared_and_cancels_in_a_toe() -> None:
    long_tape = Instrument("tape", "stretched tape", "±1 %", (Range(5000, 0.1),))
    found = toe(context=replace(TESTED, instruments={"tape": long_tape}))
    alone = math.hypot(0.1 / math.sqrt(12), 0.5 / math.sqrt(3))
    in_mm = found.figure("toe_mm_fl").u
    assert in_mm == pytest.approx(math.sqrt(2) * alone, rel=1e-6)
    assert in_mm < 120 * 0.01 / math.sqrt(3)


# --- before and after -------------------------------------------------------------------------


def compared(before: dict[str, str], after: dict[str, str]) -> Comparison:
    runs = [validate(PROCEDURE, typed, TESTED).readings for typed in (before, after)]
    figures = [assess(PROCEDURE, readings, TESTED).figures for readings in runs]
    return compare(PROCEDURE, *runs, figures_before=figures[0], figures_after=figures[1])


def test_before_and_after_compare_angles_whatever_the_strings_stood_at() -> None:
    moved = {code: (front + 31, rear + 31) for code, (front, rear) in STRAIGHT.items()}
    found = compared(typing(TOED_IN), typing(moved))
    by_key = {change.address.removeprefix("figure."): change for change in found.changes}
    assert by_key["toe_fl"].direction == "less"
    assert by_key["toe_fl"].change == pytest.approx(-0.682, abs=0.001)
    assert by_key["total_front"].change == pytest.approx(-1.364, abs=0.001)
    assert by_key["toe_rl"].direction == "no clear change"
    assert {"thrust", "lead"} <= set(by_key)
    assert not any(address.startswith("wheels.") for address in by_key)


def test_before_and_after_name_an_angle_that_one_of_the_two_lacks() -> None:
    found = compared(typing(), typing(unticked=("centred",)))
    assert [(item.address, item.reason) for item in found.apart] == [
        ("figure.lead", "not known after")
    ]


def test_the_doubt_of_a_change_is_that_of_both_runs() -> None:
    change = next(c for c in compared(typing(), typing()).changes if c.address == "figure.thrust")
    assert change.u_change == pytest.approx(math.hypot(change.u_before, change.u_after))


# --- the drawing ------------------------------------------------------------------------------


def outlines(svg: str) -> list[list[tuple[float, float]]]:
    """Corner points of the four closed wheels, in order of drawing, dashed ones left out."""
    found = []
    for path in parsed(svg).iter(f"{SVG}path"):
        steps = path.get("d", "")[1:].split(" L")
        if len(steps) == 5 and path.get("stroke-dasharray") is None:
            found.append([tuple(float(n) for n in step.split()) for step in steps])
    return found


def test_wheels_are_drawn_turned_the_way_they_point() -> None:
    found = toe({"fl": (124.0, 120.0), "fr": (124.0, 120.0), "rl": (118.0, 120.0)})
    for wheel, leans in zip(outlines(chart.draw(found.chart)), (1, -1, -1, 0), strict=True):
        front_left, front_right, rear_right, rear_left = wheel[:4]
        ahead = (front_left[0] + front_right[0] - rear_left[0] - rear_right[0]) / 2
        assert (ahead > 0.5) - (ahead < -0.5) == leans


def test_the_drawing_says_how_much_it_exaggerates() -> None:
    for gaps, times in (({}, 50), (TOED_IN, 20), ({"fl": (160.0, 120.0)}, 2)):
        svg = chart.draw(toe(gaps).chart)
        assert f"Angles drawn {times} times as large." in svg
    wheel = outlines(chart.draw(toe({"fl": (124.0, 120.0)}).chart))[0]
    (ax, ay), (bx, by) = wheel[3], wheel[0]
    drawn = math.degrees(math.atan2(bx - ax, ay - by))
    assert drawn == pytest.approx(20 * math.degrees(math.asin(4 / 420)), abs=0.2)


def test_an_earlier_car_lies_dashed_beneath_on_the_same_exaggeration() -> None:
    alone = chart.draw(toe().chart)
    both = chart.draw(toe().chart, earlier=toe(TOED_IN).chart)
    assert "before" in both and "before" not in alone
    assert "Angles drawn 20 times as large." in both
    dashed = [p for p in parsed(both).iter(f"{SVG}path") if p.get("stroke-dasharray") == "5 3"]
    assert len(dashed) == 4 + 1 + 1  # wheels, thrust, and the key


def test_a_wheel_that_is_off_has_thick_lines_and_others_not() -> None:
    data = toe({"rr": (113.0, 120.0)}, context=asked(-0.1, 0.3, "toe_rear")).chart
    assert [one["marked"] for one in data["wheels"]] == [False, False, False, True]
    assert 'stroke-width="4.5"' in chart.draw(data)


def test_a_wheel_that_was_not_read_is_dotted() -> None:
    typed = {a: v for a, v in typing().items() if not a.startswith("wheels.rr")}
    assert 'stroke-dasharray="2 4"' in chart.draw(judged(typed).chart)


@pytest.mark.parametrize("code", ["xx", "f", ""])
def test_a_wheel_of_no_corner_cannot_be_drawn(code: str) -> None:
    data = {"kind": "wheels", "title": "t", "wheels": [{"code": code, "label": "x"}]}
    with pytest.raises(chart.ChartError, match="none of fl, fr, rl, rr"):
        chart.draw(data)


# --- laws -------------------------------------------------------------------------------------

GAP = st.integers(1000, 1400).map(lambda tenths: tenths / 10)
FOUR = st.fixed_dictionaries({code: st.tuples(GAP, GAP) for code in CORNERS})
MIRROR = {"fl": "fr", "fr": "fl", "rl": "rr", "rr": "rl", "left": "right", "right": "left"}


def mirrored(typed: dict[str, str]) -> dict[str, str]:
    """The same readings on the car's mirror image."""
    swapped = {}
    for address, text in typed.items():
        grid, row, *column = address.split(".")
        corner, _, turn = row.partition("_")
        if grid in ("wheels", "corners"):
            row = MIRROR[corner] + (f"_{turn}" if turn else "")
        swapped[".".join((grid, row, *column))] = text
    return swapped


@settings(max_examples=50, deadline=None)
@given(FOUR, st.tuples(*[st.integers(900, 1300)] * 4))
def test_swapping_left_and_right_mirrors_the_car(
    four: dict[str, tuple[float, float]], hub: tuple[int, ...]
) -> None:
    tenths = [f"{h / 10}" for h in hub]
    typed = typing(four, facts=HUBS | {"height": "400"}, **hubs(*tenths), **lean(fl="45", rr="60"))
    one, other = judged(typed), judged(mirrored(typed))
    for key in ("total_front", "total_rear", "total_mm_front"):
        assert value(other, key) == pytest.approx(value(one, key), abs=1e-9)
    for key in ("thrust", "thrust_iso", "lead", "wheel_off"):
        assert value(other, key) == pytest.approx(-value(one, key), abs=1e-9)
    for figure in one.figures:
        kind, _, place = figure.key.rpartition("_")
        if place in MIRROR:
            assert value(other, f"{kind}_{MIRROR[place]}") == pytest.approx(figure.value, abs=1e-9)
    assert other.pattern == one.pattern
    assert sorted(MIRROR.get(place, place) for place in other.where) == sorted(one.where)


@settings(max_examples=50, deadline=None)
@given(FOUR, st.floats(-40, 40))
def test_a_string_farther_out_changes_no_angle(
    four: dict[str, tuple[float, float]], farther: float
) -> None:
    shifted = {c: (f + farther, r + farther) for c, (f, r) in four.items()}
    one, other = toe(four), toe(shifted)
    for key in ("toe_fl", "toe_rr", "thrust", "lead"):
        assert value(other, key) == pytest.approx(value(one, key), abs=1e-4)


@settings(max_examples=40, deadline=None)
@given(FOUR)
def test_units_change_no_verdict(four: dict[str, tuple[float, float]]) -> None:
    outcomes = {
        tuple(
            (verdict.address, verdict.outcome)
            for verdict in toe(four, context=replace(TESTED, units=system)).verdicts
        )
        for system in ("metric", "imperial", "us")
    }
    assert len(outcomes) == 1


@settings(max_examples=60, deadline=None)
@given(st.integers(-300, 300), st.integers(1, 100))
def test_more_toe_in_is_never_judged_better_against_the_most(tenths: int, more: int) -> None:
    order = ["within", "cannot_tell", "outside"]
    ranks = [
        order.index(
            str(
                outcome(
                    toe(
                        {"fl": (120 + t / 10, 120.0)},
                        context=asked(None, 0.2, "toe_front"),
                    ),
                    "toe_fl",
                )
            )
        )
        for t in (tenths, tenths + more)
    ]
    assert ranks[0] <= ranks[1]


ADDRESSES = [
    slot.address
    for slot in layout(PROCEDURE, Context()).slots
    if getattr(slot.field, "quantity", "")
]


@settings(max_examples=80, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(ADDRESSES),
        st.one_of(
            st.integers(-60, 4500).map(str), st.sampled_from(["OL", "-", "<5", ">200", "n/a", "0"])
        ),
    ),
    st.sampled_from(["none", "found", "not_looked", ""]),
    st.booleans(),
)
def test_whatever_is_typed_is_judged_and_drawn(
    typed: dict[str, str], play: str, ticked: bool
) -> None:
    everything = typed | {"given.play": play} | (TICKED if ticked else {})
    checked = validate(PROCEDURE, everything, TESTED)
    found = assess(PROCEDURE, checked.readings, TESTED)
    assert found.customer and found.technician
    assert all(f.value is None or math.isfinite(f.value) for f in found.figures)
    if found.chart:
        assert parsed(chart.draw(found.chart, earlier=toe(TOED_IN).chart)) is not None
