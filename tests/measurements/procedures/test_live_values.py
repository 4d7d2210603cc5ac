"""Live values: what makes trims prove nothing first, then what they show, bank by bank."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.compare import compare
from measurements.core.context import Car, ChosenLimit, Context, Engine
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import Readings, validate
from measurements.procedures.live_values import PROCEDURE, total_trim

INLINE = Context(fault_present="yes", car=Car(fuel="petrol", engine=Engine("inline", 4)))
V6 = replace(INLINE, car=Car(fuel="petrol", engine=Engine("v", 6, ((1, 2, 3), (4, 5, 6)))))
WELL = {
    **{f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions},
    "given.coolant": "91",
    "given.burns": "petrol",
    "engine.idle.loop": "closed",
    "engine.held.loop": "closed",
    "engine.load.loop": "closed",
    "trims.idle_b1.stft": "1",
    "trims.idle_b1.ltft": "2",
    "trims.held_b1.stft": "0",
    "trims.held_b1.ltft": "2",
    "trims.load_b1.stft": "1",
    "trims.load_b1.ltft": "1",
}


def long_trims(**rows: str) -> dict[str, str]:
    """Total trims by row, typed as long ones with a short one of nought."""
    typed = {}
    for row, text in rows.items():
        typed |= {f"trims.{row}.stft": "0" if text else "", f"trims.{row}.ltft": text}
    return typed


def read(changes: dict[str, Any] | None = None, context: Context = INLINE) -> Readings:
    checked = validate(PROCEDURE, {**WELL, **(changes or {})}, context)
    assert checked.ok, checked.faults
    return checked.readings


def judged(changes: dict[str, Any] | None = None, context: Context = INLINE) -> Assessment:
    return assess(PROCEDURE, read(changes, context), context)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


# --- when trims prove nothing -----------------------------------------------------------------


@pytest.mark.parametrize("fuel", ["diesel", "diesel_hybrid", "electric", "fuel_cell"])
def test_it_is_not_for_cars_without_such_trims(fuel: str) -> None:
    found = judged(context=replace(INLINE, car=Car(fuel=fuel)))
    assert (found.pattern, found.confounders[0]) == ("undecided", "not_for_this_car")


@pytest.mark.parametrize("loop", ["open_cold", "open_drive", "open_fault"])
def test_trims_of_an_open_loop_are_not_judged(loop: str) -> None:
    typed = {"engine.idle.loop": loop, "engine.held.loop": loop, **long_trims(idle_b1="30")}
    found = judged(typed)
    assert (found.pattern, found.where) == ("not_closed_loop", ("idle", "held"))
    assert found.verdict("figure.total_idle_b1") is None
    assert found.figure("total_idle_b1") is not None


def test_an_open_loop_under_load_alone_is_usual_and_takes_only_that_point_out() -> None:
    found = judged({"engine.load.loop": "open_drive", **long_trims(load_b1="25")})
    assert found.pattern == "near_nought"
    assert "as many engines do at full load" in words(found)


def test_an_unknown_loop_weakens_what_is_seen() -> None:
    for loop in ("not_shown", ""):
        found = judged({"engine.idle.loop": loop})
        assert "loop_unknown" in found.confounders


def test_coolant_that_reads_cold_counts_only_when_the_engine_is_said_to_be_warm() -> None:
    assert judged({"given.coolant": "45"}).pattern == "coolant_low"
    cold = judged({"given.coolant": "45", "ready.warm": ""})
    assert cold.pattern == "near_nought"
    assert "not_warm" in cold.confounders


def test_coolant_leads_and_the_open_loop_that_may_follow_from_it_stands_beside() -> None:
    loops = {"engine.idle.loop": "open_cold", "engine.held.loop": "open_cold"}
    found = judged({"given.coolant": "45", **loops})
    assert found.pattern == "coolant_low"
    assert [item.pattern for item in found.also] == ["not_closed_loop"]


def test_a_sensor_that_reads_against_the_correction_is_doubted_before_the_mixture() -> None:
    lean = long_trims(idle_b1="20", held_b1="20")
    found = judged({**lean, "trims.idle_b1.downstream": "rich"})
    assert "sensors_contradict" in found.confounders
    assert "reads against the correction" in words(found)
    agreeing = judged({**lean, "trims.idle_b1.upstream": "lean"})
    assert "sensors_contradict" not in agreeing.confounders
    assert "at its end" in words(agreeing)


def test_a_good_result_alone_is_weakened_by_what_was_not_read() -> None:
    assert judged(long_trims(load_b1="")).confounders == ("not_under_load",)
    assert judged(long_trims(load_b1="", idle_b1="20")).confounders == ()


@pytest.mark.parametrize(
    ("changes", "confounder"),
    [
        ({"ready.even": ""}, "misfire_open"),
        ({"ready.tight": ""}, "exhaust_open"),
        ({"ready.learned": ""}, "erased"),
        ({"ready.steady": ""}, "not_steady"),
        ({"given.burns": "ethanol"}, "ethanol"),
        ({"given.burns": "gas"}, "gas"),
        ({"given.purge": "open"}, "purge_open"),
        ({"engine.idle.voltage": "11.4"}, "low_voltage"),
        ({"engine.held.rpm": "1500"}, "other_speed"),
        ({"engine.idle.rpm": "1500"}, "other_speed"),
        ({"engine.idle.loop": "closed_fault"}, "sensor_fault_told"),
        ({"trims.idle_b1.upstream": "still"}, "sensor_still"),
        (long_trims(load_b1=""), "not_under_load"),
    ],
)
def test_each_thing_that_makes_trims_lie_is_noted_alone(
    changes: dict[str, str], confounder: str
) -> None:
    assert judged(changes).confounders == (confounder,)


def test_a_car_of_two_fuels_is_asked_which_one_it_ran_on() -> None:
    found = judged({"given.burns": ""}, replace(INLINE, car=Car(fuel="lpg")))
    assert "fuel_not_said" in found.confounders


def test_a_weak_battery_is_said() -> None:
    found = judged(context=replace(INLINE, weak_battery="12.1 V at rest"))
    assert "weak_battery" in found.confounders


# --- one bank ---------------------------------------------------------------------------------


def test_little_correction_everywhere_is_sound() -> None:
    found = judged()
    assert (found.pattern, found.also, found.confounders) == ("near_nought", (), ())


@pytest.mark.parametrize(
    ("idle", "held", "pattern"),
    [
        ("20", "2", "lean_at_idle"),
        ("30", "15", "lean_at_idle"),
        ("2", "20", "lean_at_speed"),
        ("15", "30", "lean_at_speed"),
        ("18", "17", "lean_everywhere"),
        ("14", "10", "lean_everywhere"),
        ("-20", "-2", "rich_at_idle"),
        ("-2", "-20", "rich_at_speed"),
        ("-18", "-17", "rich_everywhere"),
        ("-15", "15", "changes_side"),
        ("9", "9", "undecided"),
        ("10", "1", "undecided"),
    ],
)
def test_idle_is_held_against_speed(idle: str, held: str, pattern: str) -> None:
    assert judged(long_trims(idle_b1=idle, held_b1=held, load_b1="")).pattern == pattern


def test_lean_under_load_alone_is_lean_at_speed() -> None:
    found = judged(long_trims(load_b1="22"))
    assert (found.pattern, found.where) == ("lean_at_speed", ("load_b1",))
    assert "under load" in words(found)


@pytest.mark.parametrize("row", ["idle_b1", "held_b1"])
def test_one_speed_alone_gives_no_direction_but_is_told(row: str) -> None:
    none = dict.fromkeys(("idle_b1", "held_b1", "load_b1"), "")
    found = judged(long_trims(**{**none, row: "20"}))
    assert found.pattern == "undecided"
    assert "the other speed is lacking" in words(found)


def test_short_and_long_trim_are_taken_together() -> None:
    """7 and 7 are each within what is usual, together they are not."""
    both = {"trims.idle_b1.stft": "7", "trims.idle_b1.ltft": "7"}
    assert judged(both).pattern == "lean_at_idle"
    against = {"trims.idle_b1.stft": "-14", "trims.idle_b1.ltft": "15"}
    assert judged(against).pattern == "near_nought"


def test_the_makers_own_threshold_goes_first() -> None:
    wide = ChosenLimit("figure.total_trim", -25.0, 25.0, Source("maker", "sheet"))
    found = judged(long_trims(idle_b1="15"), replace(INLINE, limits=(wide,)))
    assert found.pattern == "near_nought"
    verdict = found.verdict("figure.total_idle_b1")
    assert verdict is not None and verdict.source is not None and verdict.source.tag == "maker"
    assert "±25 %" in words(found)


def test_a_reading_outside_a_kept_limit_is_never_called_sound() -> None:
    strict = ChosenLimit("trims.idle_b1.ltft", -1.0, 1.0, Source("maker", "sheet"))
    found = judged({"trims.idle_b1.ltft": "6"}, replace(INLINE, limits=(strict,)))
    assert found.pattern == "undecided"
    assert "outside a limit kept for this car" in words(found)


# --- two banks --------------------------------------------------------------------------------


def test_both_banks_alike_are_one_pattern() -> None:
    rows = {"idle_b1": "20", "held_b1": "2", "idle_b2": "19", "held_b2": "1"}
    found = judged(long_trims(**rows), V6)
    assert (found.pattern, found.where) == ("lean_at_idle", ("idle_b1", "idle_b2"))


@pytest.mark.parametrize(("trim", "way"), [("20", "lean"), ("-20", "rich")])
def test_one_bank_alone_is_named(trim: str, way: str) -> None:
    found = judged(long_trims(idle_b2=trim, held_b2=trim), V6)
    assert (found.pattern, found.where) == (f"one_bank_{way}", ("idle_b2", "held_b2"))
    assert [item.pattern for item in found.also] == [f"{way}_everywhere"]
    assert "Only bank 2" in words(found)


def test_banks_that_go_apart_are_named_before_either() -> None:
    rows = {"idle_b1": "20", "held_b1": "20", "idle_b2": "-20", "held_b2": "-20"}
    found = judged(long_trims(**rows), V6)
    assert found.pattern == "banks_opposite"
    assert {item.pattern for item in found.also} == {"lean_everywhere", "rich_everywhere"}


def test_a_bank_half_read_leaves_the_other_unnamed_as_the_only_one() -> None:
    rows = {"idle_b1": "20", "held_b1": "20", "idle_b2": "2"}
    assert judged(long_trims(**rows), V6).pattern == "lean_everywhere"


def test_the_second_bank_of_a_v_engine_is_asked_for() -> None:
    found = judged(context=V6)
    assert found.confounders == ("one_bank_read",)
    assert PROCEDURE.next_step is not None
    ((address, _why),) = PROCEDURE.next_step(read(context=V6), V6)
    assert address == "trims.idle_b2.stft"


def test_what_both_banks_share_is_no_place_to_look_when_they_differ() -> None:
    found = judged(long_trims(idle_b2="20", held_b2="20"), V6)
    assert "Bank 2: +20 % at idle, +20 % at 2500 rpm" in words(found)
    assert "Next: fuel pressure" not in words(found)


# --- sensors against nature -------------------------------------------------------------------


@pytest.mark.parametrize(("shown", "pattern"), [("100", "near_nought"), ("90", "sensor_disagrees")])
def test_at_rest_the_intake_holds_the_air_around(shown: str, pattern: str) -> None:
    assert judged({"given.keyon_pressure": shown, "given.ambient": "101.3"}).pattern == pattern


def test_a_pressure_right_for_the_height_is_right() -> None:
    assert judged({"given.keyon_pressure": "80", "given.altitude": "2000"}).pattern == "near_nought"


def test_without_knowing_the_air_the_pressure_is_not_judged() -> None:
    found = judged({"given.keyon_pressure": "80"})
    assert found.figure("pressure_less_air") is None
    assert found.pattern == "near_nought"


@pytest.mark.parametrize(
    ("hours", "pattern"), [("10", "sensor_disagrees"), ("2", "near_nought"), ("", "near_nought")]
)
def test_only_a_night_makes_all_temperatures_one(hours: str, pattern: str) -> None:
    soak = {"given.soak_coolant": "30", "given.soak_intake": "12", "given.soak_hours": hours}
    assert judged(soak).pattern == pattern


# --- words, chart, comparison -----------------------------------------------------------------


def test_each_direction_names_the_next_test() -> None:
    assert "intake vacuum" in words(judged(long_trims(idle_b1="20")))
    assert "fuel pressure under load" in words(judged(long_trims(held_b1="20", load_b1="24")))


def test_the_technician_is_told_that_trims_can_lie() -> None:
    assert "what the control does" in words(judged(long_trims(idle_b1="20")))


def test_a_us_shop_reads_fahrenheit() -> None:
    found = judged({"given.coolant": ("45", "°C")}, replace(INLINE, units="us"))
    assert "113 °F" in words(found)


def test_the_chart_draws_each_bank_over_speed() -> None:
    rows = {"idle_b2": "20", "held_b2": "2"}
    found = judged({**long_trims(**rows), "engine.idle.rpm": "1130"}, V6)
    assert [one["label"] for one in found.chart["series"]] == ["bank 1", "bank 2"]
    assert [point[0] for point in found.chart["series"][1]["points"]] == [1100.0, 2500.0]
    assert "+20 %" in found.chart["title"].replace("\xa0", " ")
    assert chart.draw(found.chart, earlier=judged(context=V6).chart)


def test_idle_is_drawn_at_one_place_in_every_run() -> None:
    for rpm in ("", "780", "850"):
        points = judged({"engine.idle.rpm": rpm}).chart["series"][0]["points"]
        assert [point[0] for point in points] == [800.0, 2500.0]


def test_a_repair_shows_as_less_correction_although_the_trims_changed_places() -> None:
    before = long_trims(idle_b1="20", held_b1="2")
    after = {"trims.idle_b1.stft": "1", "trims.idle_b1.ltft": "0"}
    compared = compare(
        PROCEDURE,
        read(before),
        read(after),
        figures_before=judged(before).figures,
        figures_after=judged(after).figures,
    )
    found = {change.address: change.direction for change in compared.changes}
    assert found["figure.total_idle_b1"] == "less"
    assert found["figure.total_held_b1"] == "no clear change"


def test_runs_on_two_fuels_are_not_compared() -> None:
    assert not compare(PROCEDURE, read(), read({"given.burns": "gas"})).comparable


def test_cautions_name_exhaust_movement_driving_and_erasing() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("Exhaust", "chocked", "Nobody reads the screen", "no actuator test", "erase"):
        assert word in said


# --- laws -------------------------------------------------------------------------------------

TRIM = st.one_of(st.just(""), st.integers(-99, 99).map(str))
LOOPS = st.sampled_from(["", "closed", "open_cold", "open_drive", "closed_fault", "not_shown"])


@settings(max_examples=80, deadline=None)
@given(
    st.lists(TRIM, min_size=12, max_size=12),
    st.tuples(LOOPS, LOOPS, LOOPS),
    st.sampled_from(["", "-20", "70", "91", "130"]),
)
def test_anything_that_can_be_typed_gets_an_answer(
    trims: list[str], loops: tuple[str, ...], coolant: str
) -> None:
    rows = [f"trims.{point}_{bank}" for point in ("idle", "held", "load") for bank in ("b1", "b2")]
    boxes = [f"{row}.{column}" for row in rows for column in ("stft", "ltft")]
    typed = dict(zip(boxes, trims, strict=True))
    typed |= {f"engine.{p}.loop": s for p, s in zip(("idle", "held", "load"), loops, strict=True)}
    found = judged({**typed, "given.coolant": coolant}, V6)
    assert found.pattern in {pattern.code for pattern in PROCEDURE.patterns}
    if found.pattern == "near_nought":
        totals = [f.value for f in found.figures if f.key.startswith(("total_idle", "total_held"))]
        assert all(abs(total or 0.0) <= 10 for total in totals)
    if found.chart:
        assert chart.draw(found.chart)


MIRROR = {"lean": "rich", "rich": "lean"}


@settings(max_examples=60, deadline=None)
@given(st.integers(-40, 40), st.integers(-40, 40))
def test_lean_and_rich_are_mirror_images(idle: int, held: int) -> None:
    """Clear of the edge, where a share of more or less makes the doubt a little unlike."""
    edges = (*range(-14, -6), *range(7, 15))
    if idle in edges or held in edges or 1 <= abs(idle - held) <= 10:
        return
    there = judged(long_trims(idle_b1=str(idle), held_b1=str(held), load_b1="")).pattern
    back = judged(long_trims(idle_b1=str(-idle), held_b1=str(-held), load_b1="")).pattern
    way, _, rest = there.partition("_")
    assert back == (f"{MIRROR[way]}_{rest}" if way in MIRROR else there)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 60))
def test_more_correction_is_never_judged_better(long: int) -> None:
    rank = {"within": 0, "cannot_tell": 1, "outside": 2}
    first, second = (
        judged(long_trims(idle_b1=str(trim))).verdict("figure.total_idle_b1")
        for trim in (long, long + 2)
    )
    assert first is not None and second is not None
    assert rank[first.outcome] <= rank[second.outcome]


@settings(max_examples=30, deadline=None)
@given(st.integers(-40, 215))
def test_the_display_unit_changes_no_verdict(coolant: int) -> None:
    typed = {"given.coolant": (str(coolant), "°C")}
    assert judged(typed).verdicts == judged(typed, replace(INLINE, units="us")).verdicts


@settings(max_examples=60, deadline=None)
@given(st.floats(-90, 90), st.floats(-90, 90))
def test_which_trim_is_short_and_which_long_does_not_matter(short: float, long: float) -> None:
    assert total_trim(short, long) == pytest.approx(total_trim(long, short), abs=1e-9)
