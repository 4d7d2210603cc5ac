"""Oil pressure: no level without the maker's figure at its speed and temperature; what lamp and
own gauge are worth; what is seen without any figure."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.compare import compare
from measurements.core.context import Car, ChosenLimit, Context
from measurements.core.instruments import Instrument, Span
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import validate
from measurements.procedures.oil_pressure import NOUGHT_KPA, PROCEDURE

FINE = Instrument("oil_gauge", "fine", "±1 % of range", (Span(600, 5),))
PRESENT = Context(fault_present="yes", instruments={"oil_gauge": FINE})
BARE = {
    **{f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions},
    "given.start": "at_once",
    "given.oil_temperature": "85",
    "given.temperature_by": "oil",
    "points.idle.rpm": "800",
    "points.idle.pressure": "150",
    "points.speed.rpm": "3000",
    "points.speed.pressure": "380",
}
MAKER = {
    **BARE,
    "given.least_idle": "100",
    "given.least_speed": "300",
    "given.speed_rpm": "3000",
}


def judged(typed: dict[str, Any], context: Context = PRESENT) -> Assessment:
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def patterns(found: Assessment) -> list[str]:
    return [found.pattern, *(item.pattern for item in found.also)]


def outcome(found: Assessment, point: str) -> str:
    verdict = found.verdict(f"points.{point}.pressure")
    assert verdict is not None
    return verdict.outcome


def without(typed: dict[str, Any], *addresses: str) -> dict[str, Any]:
    return {address: text for address, text in typed.items() if address not in addresses}


# --- only the maker's figure, and only where it holds -----------------------------------------


@pytest.mark.parametrize("kpa", ["20", "90", "250", "900"])
def test_without_the_makers_figure_no_level_is_judged(kpa: str) -> None:
    found = judged({**BARE, "points.idle.pressure": kpa, "points.speed.pressure": kpa})
    assert found.pattern == "undecided"
    assert {outcome(found, "idle"), outcome(found, "speed")} == {"no_limit"}
    assert f"{kpa} kPa" in words(found)
    assert "There is no usual oil pressure" in words(found)


def test_no_limit_is_declared_without_the_maker() -> None:
    assert all(limit.bounds is not None for limit in PROCEDURE.limits)
    assert all(limit.low is None and limit.high is None for limit in PROCEDURE.limits)


@pytest.mark.parametrize(
    ("rpm", "expected"),
    [("2850", "within"), ("3150", "within"), ("2840", "no_limit"), ("3400", "no_limit")],
)
def test_a_figure_at_speed_judges_near_its_speed_only(rpm: str, expected: str) -> None:
    assert outcome(judged({**MAKER, "points.speed.rpm": rpm}), "speed") == expected


def test_a_figure_at_speed_without_its_speed_judges_nothing() -> None:
    found = judged(without(MAKER, "given.speed_rpm"))
    assert outcome(found, "speed") == "no_limit"
    assert "enter the engine speed that the maker's figure is for" in words(found)


def test_an_idle_faster_than_the_makers_is_not_judged() -> None:
    found = judged({**MAKER, "given.idle_rpm": "750", "points.idle.rpm": "1100"})
    assert outcome(found, "idle") == "no_limit"
    assert "idles at 1100 rpm, the figure holds at 750 rpm" in words(found)


@pytest.mark.parametrize(
    ("oil", "expected"), [("90", "within"), ("100", "within"), ("75", "no_limit")]
)
def test_the_oil_must_be_near_the_temperature_of_the_figure(oil: str, expected: str) -> None:
    typed = {**MAKER, "given.figure_temperature": "95", "given.oil_temperature": oil}
    assert outcome(judged(typed), "idle") == expected


def test_a_figure_at_a_temperature_judges_no_oil_that_was_not_measured() -> None:
    typed = without({**MAKER, "given.figure_temperature": "80"}, "given.oil_temperature")
    found = judged(typed)
    assert outcome(found, "idle") == outcome(found, "speed") == "no_limit"
    assert "the oil's temperature was not read" in words(found)


def test_hot_oil_by_driving_alone_is_judged_and_worth_less() -> None:
    typed = without(MAKER, "given.oil_temperature")
    assert "temperature_not_read" in judged(typed).confounders
    unknown = judged(without(typed, "ready.hot"))
    assert outcome(unknown, "idle") == "no_limit"


def test_a_limit_kept_for_the_car_counts_as_the_makers_and_still_needs_hot_oil() -> None:
    kept = ChosenLimit("points.idle.pressure", 200.0, None, Source("maker", "sheet"))
    context = replace(PRESENT, limits=(kept,))
    assert judged(BARE, context).pattern == "below_least"
    cool = judged({**BARE, "given.oil_temperature": "40"}, context)
    assert outcome(cool, "idle") == "no_limit"
    assert cool.pattern == "undecided"


def test_figures_changed_round_are_not_used() -> None:
    found = judged({**MAKER, "given.most_ever": "200"})
    assert found.pattern == "undecided"
    assert "A least stands above its most" in words(found)


# --- below the least --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("idle", "speed", "cold", "pattern"),
    [
        ("50", "200", None, "below_least"),
        ("50", "200", "60", "below_least"),
        ("50", "200", "400", "below_when_hot"),
        ("50", "380", "400", "below_at_idle"),
        ("150", "200", "400", "below_at_speed"),
        ("100", "380", None, "at_limit"),
        ("150", "380", "400", "within_maker"),
    ],
)
def test_where_it_is_low_decides_the_picture(
    idle: str, speed: str, cold: str | None, pattern: str
) -> None:
    typed = {**MAKER, "points.idle.pressure": idle, "points.speed.pressure": speed}
    if cold:
        typed |= {"points.cold.rpm": "800", "points.cold.pressure": cold}
    assert judged(typed).pattern == pattern


def test_one_low_point_alone_is_neither_idle_only_nor_everywhere() -> None:
    typed = without(MAKER, "points.speed.rpm", "points.speed.pressure")
    found = judged({**typed, "points.idle.pressure": "50"})
    assert (found.pattern, found.where) == ("below_least", ("idle",))


def test_doubt_at_the_least_is_no_permission() -> None:
    found = judged({**MAKER, "points.idle.pressure": "102"})
    assert found.pattern == "at_limit"
    assert "treated as too low" in words(found)
    assert PROCEDURE.pattern("at_limit").driving.code == "do_not_drive"


@pytest.mark.parametrize(
    "code", ["no_pressure", "lamp_blind", "below_least", "below_when_hot", "below_at_speed"]
)
def test_missing_pressure_forbids_running(code: str) -> None:
    driving = PROCEDURE.pattern(code).driving
    assert driving is not None
    assert driving.code == "do_not_drive"
    assert "Do not run" in driving.words


def test_a_needle_at_its_stop_needs_no_figure() -> None:
    found = judged({**BARE, "points.idle.pressure": "0"})
    assert (found.pattern, found.where) == ("no_pressure", ("idle",))
    assert judged({"given.start": "nothing"}).pattern == "no_pressure"


def test_low_by_the_lamps_own_switch_point_needs_no_least() -> None:
    found = judged({**BARE, "points.idle.pressure": "20", "given.lamp_low": "40"})
    assert found.pattern == "below_least"
    assert "the oil lamp has to be lit" in words(found)


# --- lamp and own gauge -----------------------------------------------------------------------


def test_a_dark_lamp_at_missing_pressure_leads() -> None:
    typed = {**MAKER, "points.idle.pressure": "20", "given.lamp_low": "40"}
    found = judged({**typed, "points.idle.lamp": "off"})
    assert found.pattern == "lamp_blind"
    assert "below_at_idle" in patterns(found)
    assert "lamp_blind" not in patterns(judged({**typed, "points.idle.lamp": "on"}))


def test_a_dark_lamp_below_the_least_but_above_its_switch_point_is_as_made() -> None:
    typed = {**MAKER, "points.idle.pressure": "70", "points.idle.lamp": "off"}
    assert patterns(judged({**typed, "given.lamp_high": "40"})) == ["below_at_idle"]


@pytest.mark.parametrize("lamp", ["on", "flickers"])
def test_a_lit_lamp_at_good_pressure_is_the_lamps(lamp: str) -> None:
    assert judged({**MAKER, "points.idle.lamp": lamp}).pattern == "lamp_alone"


def test_a_lit_lamp_without_any_figure_says_nothing() -> None:
    assert judged({**BARE, "points.idle.lamp": "on"}).pattern == "undecided"


def test_a_lit_lamp_is_judged_by_its_switch_point_alone() -> None:
    found = judged({**BARE, "points.idle.lamp": "on", "given.lamp_high": "40"})
    assert found.pattern == "lamp_alone"
    assert "no_makers_figure" in found.confounders


@pytest.mark.parametrize(
    ("went_out", "pattern"), [("10", "lamp_late"), ("35", "within_maker"), ("90", "lamp_alone")]
)
def test_the_lamp_goes_out_between_the_makers_points(went_out: str, pattern: str) -> None:
    typed = {**MAKER, "given.lamp_low": "20", "given.lamp_high": "50"}
    assert judged({**typed, "given.lamp_out": went_out}).pattern == pattern


def test_a_lamp_noted_before_the_gauge_was_fitted_is_worth_less() -> None:
    typed = {**MAKER, "points.idle.lamp": "on", "given.fitted": "place"}
    assert "not_together" in judged(typed).confounders
    assert "not_together" not in judged({**typed, "given.fitted": "tee"}).confounders


def test_the_wire_pulled_off_tells_sender_from_wire() -> None:
    typed = {**MAKER, "points.idle.lamp": "on"}
    assert "not the sender" in words(judged({**typed, "given.lamp_unplugged": "on"}))
    assert "look at the sender" in words(judged({**typed, "given.lamp_unplugged": "off"}))


def test_an_own_gauge_far_off_disagrees_and_a_near_one_does_not() -> None:
    far = judged({**MAKER, "points.speed.own": "520"})
    assert (far.pattern, far.where) == ("own_disagrees", ("speed",))
    assert judged({**MAKER, "points.speed.own": "400"}).pattern == "within_maker"


def test_an_own_gauge_one_atmosphere_above_is_asked_whether_it_is_absolute() -> None:
    own = {"points.idle.own": "251", "points.speed.own": "481"}
    assert "is the live value an absolute one?" in words(judged({**MAKER, **own}))
    assert "absolute" not in words(judged({**MAKER, **own, "points.speed.own": "560"}))


# --- needle, start, figures -------------------------------------------------------------------


@pytest.mark.parametrize(("needle", "pattern"), [("flutters", "flutters"), ("sinks", "sinks_away")])
def test_how_the_needle_stands_needs_no_figure(needle: str, pattern: str) -> None:
    assert judged({**BARE, "points.speed.needle": needle}).pattern == pattern


def test_cold_and_hot_are_compared_at_one_engine_speed_only() -> None:
    cold = {"points.cold.rpm": "850", "points.cold.pressure": "420"}
    fall = judged({**MAKER, **cold}).figure("fall_warming")
    assert fall is not None
    assert fall.value == pytest.approx(270)
    faster = judged({**MAKER, **cold, "points.cold.rpm": "1200"}).figure("fall_warming")
    assert faster is not None
    assert faster.absent_because == "the two were read at different engine speeds"


@pytest.mark.parametrize(("kpa", "said"), [("384", "hardly rises"), ("460", "still rises")])
def test_a_point_beyond_the_makers_speed_shows_the_relief_valve(kpa: str, said: str) -> None:
    typed = {**MAKER, "points.high.rpm": "4500", "points.high.pressure": kpa}
    assert said in words(judged(typed))


def test_inside_at_one_speed_only_is_worth_less() -> None:
    typed = without(MAKER, "points.speed.rpm", "points.speed.pressure")
    found = judged(typed)
    assert found.pattern == "within_maker"
    assert "one_speed_only" in found.confounders
    assert PROCEDURE.confounder("one_speed_only").only_sound


def test_an_oil_level_that_nobody_read_weakens_all() -> None:
    assert "level_not_read" in judged(without(MAKER, "ready.level")).confounders
    assert "oil_level" in PROCEDURE.needs_before


def test_an_electric_car_has_none() -> None:
    found = judged(MAKER, replace(PRESENT, car=Car(fuel="electric")))
    assert (found.pattern, found.confounders[0]) == ("undecided", "not_for_this_car")


def test_runs_at_unlike_oil_temperatures_are_not_compared() -> None:
    before, warm, hot = (
        validate(PROCEDURE, {**MAKER, "given.oil_temperature": celsius}, PRESENT).readings
        for celsius in ("82", "88", "104")
    )
    assert compare(PROCEDURE, before, warm).comparable
    assert not compare(PROCEDURE, before, hot).comparable


def test_points_at_unlike_engine_speeds_are_not_compared() -> None:
    before = validate(PROCEDURE, MAKER, PRESENT).readings
    after = validate(PROCEDURE, {**MAKER, "points.speed.rpm": "3400"}, PRESENT).readings
    found = compare(PROCEDURE, before, after)
    assert [change.address for change in found.changes] == ["points.idle.pressure"]


def test_the_chart_tells_each_point_with_its_least() -> None:
    data = judged(MAKER).chart
    assert "hot idle 150 kPa (maker: at least 100 kPa)" in data["title"].replace("\xa0", " ")
    assert [one["label"] for one in data["series"]] == ["hot", "maker's least"]
    assert chart.draw(data)


def test_a_gauge_in_psi_is_told_in_psi_to_its_own_mark() -> None:
    typed = {
        **without(MAKER, "points.speed.pressure", "given.least_speed"),
        "given.oil_temperature": "185",
        "points.idle.pressure": "22",
        "given.least_idle": "10",
    }
    said = words(judged(typed, replace(PRESENT, units="us")))
    assert "hot idle 22 psi (maker: at least 10 psi)" in said


# --- whatever is typed ------------------------------------------------------------------------

RANK = {"within": 0, "cannot_tell": 1, "outside": 2}


@given(st.lists(st.integers(0, 900), min_size=2, max_size=2))
def test_less_pressure_is_never_better(pressures: list[int]) -> None:
    more, less = sorted(pressures, reverse=True)
    found = [
        outcome(judged({**MAKER, "points.idle.pressure": str(kpa)}), "idle") for kpa in (more, less)
    ]
    assert RANK[found[0]] <= RANK[found[1]]


@given(st.integers(1, 120))
def test_the_unit_typed_changes_no_verdict(psi: int) -> None:
    kpa = f"{psi * 6.894757293168361:.6f}"
    by_psi = judged({**MAKER, "points.idle.pressure": (str(psi), "psi")})
    by_kpa = judged({**MAKER, "points.idle.pressure": (kpa, "kPa")})
    assert by_psi.pattern == by_kpa.pattern
    assert outcome(by_psi, "idle") == outcome(by_kpa, "idle")


@given(st.integers(0, 2000), st.sampled_from(["on", "off", "flickers"]), st.integers(0, 500))
def test_a_dark_lamp_is_blamed_only_where_pressure_is_missing(
    kpa: int, lamp: str, switch: int
) -> None:
    typed = {**BARE, "points.idle.pressure": str(kpa), "points.idle.lamp": lamp}
    found = judged({**typed, "given.lamp_low": str(switch), "given.lamp_high": str(switch)})
    if "lamp_blind" in patterns(found):
        assert lamp == "off"
        assert kpa < switch or kpa <= NOUGHT_KPA
    if "lamp_alone" in patterns(found):
        assert lamp != "off"
        assert kpa > switch
