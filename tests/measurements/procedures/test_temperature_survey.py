"""Thermostat, fan and temperatures: what the series cannot show first, then what was seen."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.compare import compare
from measurements.core.context import Car, ChosenLimit, Context
from measurements.core.procedure import Source
from measurements.core.run_file import Judged, run_data
from measurements.procedures.temperature_survey import PROCEDURE

COLUMNS = ("at", "engine", "upper", "lower", "sensor", "heater_in", "heater_out")
USUAL = ((0, 18, 18), (6, 70, 24), (8, 80, 27), (9, 84, 66), (12, 88, 82))
Row = tuple[float | str, ...]


def run(
    *rows: Row, ready: bool = True, context: dict[str, Any] | None = None, **given_values: str
) -> Judged:
    """Rows of (min, engine, upper, lower, sensor, heater in, heater out); thermostat of 82 °C at
    the outlet, cold start, fan and heater as usual, unless told otherwise."""
    chosen = {
        "start": "cold",
        "stamped": "82 °C",
        "side": "outlet",
        "tool": "contact",
        "fan": "came_on",
        "heater": "hot",
        "needle": "usual",
        "radiator": "even",
        "run": "raised",
    } | given_values
    typed = {f"given.{key}": value for key, value in chosen.items()}
    for n, row in enumerate(rows, 1):
        for column, value in zip(COLUMNS, row, strict=False):
            unit = "min" if column == "at" else "°C"
            typed[f"warm_up.s{n}.{column}"] = f"{value} {unit}" if value != "" else ""
    if ready:
        typed |= {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
    return run_data(
        PROCEDURE, {"typed": typed, "context": {"fault_present": "yes"} | (context or {})}
    )


def survey(*rows: Row, **options: Any) -> Assessment:
    judged = run(*rows, **options)
    assert judged.checked.ok, judged.checked.faults
    return judged.assessment


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def outcome(found: Assessment, key: str) -> str:
    verdict = found.verdict(f"figure.{key}")
    assert verdict is not None, key
    return verdict.outcome


def figure(found: Assessment, key: str) -> float:
    one = found.figure(key)
    assert one is not None and one.value is not None
    return one.value


# --- what cannot be told ----------------------------------------------------------------------


def test_readings_far_apart_about_the_opening_decide_nothing() -> None:
    found = survey((0, 18, 18), (5, 50, 22), (12, 92, 86))
    assert found.pattern == "undecided"
    assert "each minute near the stamp" in words(found)


def test_a_hot_start_shows_no_opening() -> None:
    found = survey((0, 80, 70), (3, 86, 80), (6, 92, 88), start="hot")
    assert found.figure("opens_at") is None
    assert "not_cold" in found.confounders


def test_a_start_said_to_be_cold_is_held_against_the_air() -> None:
    assert "not_cold" in survey(*USUAL, air="2 °C").confounders
    assert "not_cold" not in survey(*USUAL, air="16 °C").confounders


def test_bare_metal_reads_low_so_nothing_is_called_too_cold() -> None:
    rows = ((0, 18, 18), (5, 40, 22), (6, 44, 36), (12, 52, 46), (16, 53, 47))
    assert survey(*rows).pattern == "opens_early"
    shiny = survey(*rows, tool="ir_bare")
    assert shiny.pattern == "undecided"
    assert "shiny_metal" in shiny.confounders


def test_bare_metal_that_reads_hot_still_counts() -> None:
    found = survey((0, 18, 18), (8, 80, 24), (11, 104, 28), tool="ir_bare")
    assert found.pattern == "stays_shut"


def test_without_a_stamp_the_opening_is_told_and_not_judged() -> None:
    found = survey(*USUAL, stamped="")
    assert found.pattern == "undecided"
    assert outcome(found, "opens_at") == "no_limit"
    assert figure(found, "opens_at") == pytest.approx(82)


def test_a_thermostat_that_the_control_unit_opens_keeps_no_stamp() -> None:
    found = survey(*USUAL, side="commanded")
    assert outcome(found, "opens_at") == "no_limit"


def test_the_upper_hose_is_doubted_where_the_thermostat_is_not_known() -> None:
    found = survey((0, 15, 15), (5, 45, 40), (10, 62, 58), side="unknown")
    assert found.pattern == "opens_early"
    assert "side_unknown" in found.confounders


# --- thermostat -------------------------------------------------------------------------------


def test_the_opening_lies_between_two_readings() -> None:
    found = survey(*USUAL)
    assert found.pattern == "as_usual"
    assert "engine then at 80 °C to 84 °C" in words(found)
    assert (figure(found, "opens_at"), figure(found, "opened_after")) == pytest.approx((82, 510))


def test_closer_readings_tell_more() -> None:
    fine = survey((0, 18, 18), (8, 81, 27), (8.5, 83, 60)).figure("opens_at")
    rough = survey((0, 18, 18), (6, 72, 24), (10, 92, 80)).figure("opens_at")
    assert fine is not None and rough is not None
    assert fine.value == rough.value
    assert fine.u < rough.u


def test_a_hose_that_creeps_with_the_heat_of_the_bay_is_still_cold() -> None:
    found = survey((0, 18, 18), (6, 70, 28), (8, 81, 32), (9, 84, 64))
    assert figure(found, "opens_at") == pytest.approx(82.5)


def test_between_cold_and_warm_the_interval_is_not_narrowed() -> None:
    """At 8 min the hose had covered 0.4 of the way: it may have begun any time since 6 min."""
    found = survey((0, 18, 18), (6, 70, 24), (8, 80, 43), (9, 84, 66))
    assert figure(found, "opens_at") == pytest.approx(77)


def test_engine_hot_and_hose_cold_says_stop_and_tow() -> None:
    found = survey((0, 16, 16), (6, 72, 24), (11, 103, 31))
    assert found.pattern == "stays_shut"
    assert words(found).count("Stop the engine") == 1
    driving = PROCEDURE.pattern("stays_shut").driving
    assert driving is not None and driving.code == "do_not_drive"


def test_close_to_that_is_to_be_treated_as_reached() -> None:
    found = survey((0, 16, 16), (6, 72, 24), (9, 93, 28))
    assert found.pattern == "undecided"
    assert "treat it as reached" in words(found)


def test_a_thermostat_at_the_lower_hose_is_seen_there() -> None:
    rows = ((0, 18, 18, 18), (5, 60, 50, 20), (10, 84, 74, 24), (12, 90, 84, 60))
    assert survey(*rows).pattern == "opens_early"
    found = survey(*rows, side="inlet")
    assert found.pattern == "as_usual"
    assert "lower hose warmed" in words(found)


def test_an_engine_that_levels_off_below_the_stamp_is_told_where_it_worked() -> None:
    rows = ((0, 2), (10, 60), (20, 65), (25, 66))
    driven = survey(*rows, run="driven")
    assert (driven.pattern, driven.where) == ("opens_early", ("s4",))
    assert "gets no warmer than 66 °C" in words(driven)
    assert survey(*rows, run="idle").pattern == "undecided"


def test_a_limit_kept_for_the_car_goes_before_the_stamp_and_needs_none() -> None:
    limit = ChosenLimit("figure.opens_at", 95.0, 99.0, Source("maker", "sheet for this car"))
    kept = {"limits": (Context(limits=(limit,)).to_dict()["limits"][0],)}
    found = survey(*USUAL, stamped="", context=kept)
    assert found.pattern == "opens_early"
    assert "until about 95 °C to 99 °C" in words(found)


# --- fan, radiator, heater, sensor ------------------------------------------------------------

HOT = ((0, 18, 18, 18, 18), (8, 80, 27, 20, 81), (9, 84, 66, 25, 86), (14, 101, 96, 84, 104))


def test_a_fan_is_judged_by_the_makers_figure_only() -> None:
    without = survey(*HOT, fan="never")
    assert without.pattern == "opens_as_stamped"
    assert "only the maker's switch point" in words(without)
    assert survey(*HOT, fan="never", fan_switch="96 °C").pattern == "fan_never"


def test_a_fan_that_nothing_called_for_is_no_finding() -> None:
    found = survey(*USUAL, fan="never", fan_switch="98 °C")
    assert found.pattern == "as_usual"


def test_the_fan_goes_by_the_cars_sensor_where_it_was_read() -> None:
    found = survey(*HOT, fan="never", fan_switch="102 °C")
    assert figure(found, "over_switch") == pytest.approx(2)


def test_air_conditioning_on_weakens_a_fan_that_runs() -> None:
    found = survey(*USUAL, fan="all_the_time", ready=False)
    assert found.pattern == "fan_always"
    assert "ac_on" in found.confounders


def test_a_thermostat_that_regulates_sets_the_drop_and_nothing_is_judged() -> None:
    found = survey((0, 18, 18, 18), (8, 80, 27, 20), (9, 84, 66, 25), (14, 88, 84, 40))
    assert figure(found, "radiator_drop") == pytest.approx(44)
    assert outcome(found, "radiator_drop") == "no_limit"
    assert "says nothing of radiator or pump" in words(found)


def test_a_small_drop_means_something_only_with_air_through_it() -> None:
    rows = ((0, 18, 18, 18), (8, 80, 27, 20), (9, 84, 66, 25), (14, 98, 95, 95))
    assert survey(*rows).pattern == "small_drop"
    assert survey(*rows, fan="never").pattern != "small_drop"


def test_a_hose_that_has_just_warmed_says_nothing_of_the_radiator() -> None:
    found = survey((0, 18, 18, 18), (8, 80, 27, 20), (9, 84, 66, 25))
    assert found.figure("radiator_drop") is None


def test_a_cold_heater_on_a_cold_engine_is_no_finding() -> None:
    assert survey((0, 18, 18), (3, 45, 20), heater="cold").pattern == "undecided"
    assert survey(*USUAL, heater="cold").pattern == "heater_cold"


def test_cold_all_thermometers_agree_wherever_they_are() -> None:
    found = survey((0, 18, 18, "", 4), (8, 80, 27), (9, 84, 66))
    assert found.pattern == "sensor_disagrees"
    assert outcome(found, "sensor_cold") == "outside"
    assert "says 4 °C where a separate thermometer says 18 °C" in words(found)


def test_hot_the_two_must_be_at_one_place() -> None:
    rows = ((0, 18, 18), (8, 80, 27), (9, 84, 66, "", 98))
    assert survey(*rows, sensor_at="same").pattern == "sensor_disagrees"
    apart = survey(*rows)
    assert apart.pattern == "as_usual"
    assert outcome(apart, "sensor_hot") == "no_limit"
    assert "sensor_elsewhere" in apart.confounders


def test_a_surface_that_reads_a_little_low_is_no_wrong_sensor() -> None:
    rows = ((0, 18, 18), (8, 80, 27), (9, 84, 66, "", 88))
    found = survey(*rows, sensor_at="same")
    assert outcome(found, "sensor_hot") == "within"


def test_red_counts_without_any_reading_and_nothing_more_is_asked() -> None:
    judged = run(needle="red")
    assert judged.assessment.pattern == "reached_red"
    assert PROCEDURE.next_step is not None
    assert PROCEDURE.next_step(judged.checked.readings, judged.context) == ()


def test_a_highest_temperature_kept_for_the_car_is_told() -> None:
    limit = ChosenLimit("figure.hottest", None, 98.0, Source("maker", "sheet for this car"))
    kept = {"limits": (Context(limits=(limit,)).to_dict()["limits"][0],)}
    found = survey(*HOT[:3], (14, 112, 105), context=kept)
    assert found.pattern == "reached_red"
    assert "its maker allows 98 °C" in words(found)


# --- words, chart, comparison, cautions --------------------------------------------------------


def test_what_was_not_looked_at_stands_beside_the_good_result() -> None:
    found = survey(*USUAL, fan="", heater="", radiator="", run="")
    assert found.pattern == "opens_as_stamped"
    assert {"only_idled", "fan_not_watched", "radiator_not_felt", "heater_not_tried"} <= set(
        found.confounders
    )


def test_a_low_level_weakens_everything() -> None:
    assert "low_level" in survey(*HOT, ready=False).confounders


def test_the_chart_shows_places_over_time_and_the_stamp() -> None:
    found = survey(*USUAL)
    labels = [series["label"] for series in found.chart["series"]]
    assert labels == ["engine outlet", "upper hose", "opens, by its stamp"]
    assert found.chart["series"][0]["points"][1][:2] == [6, 70]
    svg = chart.draw(found.chart, earlier=survey(*HOT).chart)
    assert svg.startswith("<svg")


def test_two_runs_are_compared_by_figures_since_their_moments_differ() -> None:
    before = run((0, 15, 15), (5, 45, 40), (10, 62, 58))
    after = run((0, 16, 16), (9, 80, 27), (10, 84, 66))
    found = compare(
        PROCEDURE,
        before.checked.readings,
        after.checked.readings,
        figures_before=before.assessment.figures,
        figures_after=after.assessment.figures,
    )
    opened = next(change for change in found.changes if change.address == "figure.opens_at")
    assert opened.direction == "more"


def test_idled_and_driven_are_not_compared() -> None:
    one, other = run(*USUAL, run="idle"), run(*USUAL, run="driven")
    assert not compare(PROCEDURE, one.checked.readings, other.checked.readings).comparable


def test_a_shop_in_fahrenheit_reads_fahrenheit() -> None:
    found = survey(*USUAL, context={"units": "us"})
    assert "176 °F to 183 °F" in words(found)
    assert "°C" not in words(found)


def test_an_electric_car_has_no_thermostat_to_be_seen_opening() -> None:
    found = survey(*USUAL, context={"car": {"fuel": "electric"}})
    assert found.confounders[0] == "not_for_this_car"


def test_cautions_name_heat_fan_exhaust_red_and_the_moving_car() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("hot", "red", "by themselves", "Exhaust", "must not move", "cold water"):
        assert word in said
    electric = PROCEDURE.cautions_for(Context(car=Car(high_voltage=True)))
    assert any("orange" in caution.text for caution in electric)


def test_it_spoils_what_needs_a_cold_engine() -> None:
    assert {"pressure_hold", "pressure_cap"} <= set(PROCEDURE.spoils)
    assert PROCEDURE.effort.state == "cold"


# --- laws -------------------------------------------------------------------------------------

ORDER = {"within": 0, "cannot_tell": 1, "outside": 2}


@settings(max_examples=40, deadline=None)
@given(st.integers(60, 130), st.integers(60, 130))
def test_hotter_with_the_hose_cold_is_never_better(one: int, other: int) -> None:
    judged = [
        outcome(survey((0, 16, 16), (8, celsius, 20)), "hottest_shut")
        for celsius in sorted((one, other))
    ]
    assert ORDER[judged[0]] <= ORDER[judged[1]]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(*(st.one_of(st.just(""), st.integers(-40, 150)) for _ in COLUMNS[1:])),
        max_size=5,
    ),
    st.sampled_from(["", "cold", "hot"]),
    st.sampled_from(["", "82 °C", "105 °C"]),
    st.sampled_from(["outlet", "inlet", "commanded", "unknown"]),
    st.sampled_from(["came_on", "never", "all_the_time", "mechanical", ""]),
    st.sampled_from(["contact", "ir_bare", "in_coolant"]),
    st.sampled_from(["usual", "red", "above"]),
)
def test_anything_that_can_be_typed_gets_an_answer(
    rows: list[tuple[Any, ...]],
    start: str,
    stamped: str,
    side: str,
    fan: str,
    tool: str,
    needle: str,
) -> None:
    timed = [(3 * n, *row) for n, row in enumerate(rows)]
    found = survey(
        *timed,
        start=start,
        stamped=stamped,
        side=side,
        fan=fan,
        tool=tool,
        needle=needle,
        fan_switch="95 °C",
        sensor_at="same",
    )
    assert found.pattern in {pattern.code for pattern in PROCEDURE.patterns}
    if found.pattern == "as_usual":
        assert not found.outside
    if found.chart:
        assert chart.draw(found.chart)
