"""The pressure hold: what is no leak first, then what is, then what cannot be told."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Ambient, Car, ChosenLimit, Context
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import validate
from measurements.procedures.pressure_hold import PROCEDURE, VISIBLE_KPA

PRESENT = Context(fault_present="yes")


def hold(
    *rows: tuple[str, str, str], context: Context = PRESENT, ready: bool = True, **given_values: str
) -> Assessment:
    """Judge a hold of (minutes, kPa, °C), cold with half glycol unless told otherwise."""
    typed: dict[str, str] = {
        "given.cap": "110",
        "given.start": "cold",
        "given.gas_space": "normal",
        "given.coolant": "half",
        "given.drips": "none",
    }
    typed |= {f"given.{key}": value for key, value in given_values.items()}
    if ready:
        typed |= {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
    for number, row in enumerate(rows, 1):
        for column, text in zip(("at", "pressure", "temperature"), row, strict=True):
            if text:
                typed[f"hold.s{number}.{column}"] = text
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def figure(found: Assessment, key: str) -> float:
    one = found.figure(key)
    assert one is not None and one.value is not None
    return one.value


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


# --- no leak ----------------------------------------------------------------------------------


def test_a_hot_system_that_only_cools_is_not_called_a_leak() -> None:
    """30 kPa gone between 90 and 70 °C, which cooling alone may take."""
    found = hold(("0", "100", "90"), ("10", "70", "70"), start="hot")
    assert found.pattern == "falls_as_cooling"
    assert "hot_start" in found.confounders
    assert "escaping" not in words(found)


def test_cooling_that_explains_a_fall_clears_nothing_either() -> None:
    found = hold(("0", "104", "62"), ("5", "94", "58"), start="hot")
    assert not PROCEDURE.pattern(found.pattern).sound
    assert "neither a leak nor that there is none" in words(found)
    assert "Repeat it cold" in words(found)


def test_a_steady_needle_at_a_steady_temperature_is_steady() -> None:
    found = hold(("0", "104", "21"), ("2", "104", ""), ("5", "104", "21"))
    assert (found.pattern, found.where) == ("steady", ())


def test_a_drip_is_never_called_steady() -> None:
    found = hold(("0", "104", "21"), ("5", "104", "21"), drips="pump")
    assert found.pattern == "drips_seen"
    assert "at the coolant pump" in words(found)


def test_settling_is_not_counted_as_a_leak() -> None:
    """6 kPa go in the first two minutes, none after."""
    found = hold(("0", "110", "22"), ("2", "104", "22"), ("7", "104", "22"), ready=False)
    assert found.pattern == "steady"
    assert "not_settled" in found.confounders
    assert "counted from 2" in words(found)


def test_rising_by_its_own_warmth_is_no_gas_from_a_cylinder() -> None:
    assert hold(("0", "90", "25"), ("10", "96", "30")).pattern == "rises_as_warming"


# --- a leak -----------------------------------------------------------------------------------


def test_a_leak_hidden_by_warming_is_found() -> None:
    """The needle rises by 3 kPa, and should have risen by some 13."""
    found = hold(("0", "90", "25"), ("10", "93", "37"), gas_space="large", start="lukewarm")
    assert found.pattern == "rises_less"
    assert figure(found, "fall") < 0 < figure(found, "excess")


def test_a_leak_on_a_hot_engine_is_found_beyond_what_cooling_takes() -> None:
    found = hold(("0", "100", "70"), ("5", "40", "60"), start="hot", gas_space="large")
    assert found.pattern == "falls_faster"
    assert 10 < figure(found, "expected_fall") < 30


def test_nothing_drips_names_where_else_to_look_and_warns_of_liquid() -> None:
    found = hold(("0", "104", "21"), ("2", "98", ""), ("5", "90", "21"))
    technician = " ".join(sentence.text for sentence in found.technician)
    for word in ("gas test", "plugs out", "carpet", "do not crank"):
        assert word in technician


def test_not_looked_asks_to_look_first() -> None:
    found = hold(("0", "104", "21"), ("5", "90", "21"), drips="not_looked")
    assert "Look now" in words(found)
    assert "Nothing drips" not in words(found)


def test_the_testers_own_seal_is_hardly_evidence() -> None:
    found = hold(("0", "104", "21"), ("5", "90", "21"), drips="tester")
    assert "tester_leaked" in found.confounders
    assert PROCEDURE.confounder("tester_leaked").weight <= 0.2
    assert "Only the tester's seal" in words(found)


def test_a_system_that_empties_has_its_rate_to_the_bottom_only() -> None:
    """30 kPa a minute to nought in two minutes; eight more minutes at nought don't dilute it."""
    found = hold(("0", "60", "20"), ("2", "0", "20"), ("10", "0", "20"))
    assert found.pattern == "falls_at_once"
    assert found.where == ("s2",)
    assert figure(found, "leak_rate") == pytest.approx(30, abs=0.01)


def test_rising_without_warmth_calls_for_a_gas_test() -> None:
    found = hold(("0", "20", "20"), ("1", "60", "22"), fitted="tee", gas_space="large")
    assert found.pattern == "rises_more"
    assert "gas test" in words(found)
    assert found.verdict("figure.excess").outcome == "no_limit"


# --- cannot tell ------------------------------------------------------------------------------


def test_pressure_and_temperature_that_disagree_are_refused_in_words() -> None:
    found = hold(("0", "20", "110"), ("5", "10", "100"), start="hot", coolant="water")
    assert found.pattern == "undecided"
    assert not found.figures
    assert "No prediction: at 110 °C" in words(found)


def test_a_fall_between_seen_and_not_seen_is_left_open() -> None:
    found = hold(("0", "104", "21"), ("5", "99", "21"))
    assert found.pattern == "undecided"
    assert found.verdict("figure.excess").outcome == "cannot_tell"
    assert "10 to 15 min" in words(found)


@pytest.mark.parametrize("start", ["lukewarm", "hot"])
def test_without_temperature_only_a_cold_engine_is_judged(start: str) -> None:
    assert hold(("0", "104", ""), ("5", "70", ""), start=start).pattern == "undecided"
    cold = hold(("0", "104", ""), ("5", "70", ""))
    assert cold.pattern == "falls_faster"
    assert "temperature_not_read" in cold.confounders


def test_a_brim_full_system_that_warms_cannot_be_predicted() -> None:
    found = hold(("0", "90", "20"), ("5", "110", "40"), gas_space="brim")
    assert found.pattern == "undecided"
    assert "room above" in words(found)


def test_standing_still_while_cooling_is_not_called_steady() -> None:
    found = hold(("0", "100", "70"), ("10", "99", "52"), start="hot", gas_space="large")
    assert found.pattern == "undecided"
    assert "thermometer is not where the gas is" in words(found)


def test_before_it_has_settled_a_small_fall_is_left_open() -> None:
    found = hold(("0", "104", "21"), ("2", "98", "21"), ready=False)
    assert found.pattern == "undecided"
    assert "settled" in words(found)


# --- volumes, limits, units -------------------------------------------------------------------


def test_no_millilitres_without_a_gas_space_in_litres() -> None:
    found = hold(("0", "104", "21"), ("5", "90", "21"))
    for key in ("coolant_loss", "air_loss"):
        one = found.figure(key)
        assert one is not None and one.value is None
        assert "not known in litres" in one.absent_because


def test_the_same_fall_with_less_gas_is_less_coolant() -> None:
    small, large = (
        hold(("0", "104", "21"), ("5", "90", "21"), gas_space="known", gas_space_l=litres)
        for litres in ("0.3", "1.5")
    )
    assert figure(large, "coolant_loss") == pytest.approx(
        5 * figure(small, "coolant_loss"), rel=0.01
    )
    assert figure(small, "leak_rate") == pytest.approx(figure(large, "leak_rate"), rel=1e-6)


def test_the_makers_limit_goes_before_common_practice() -> None:
    rows = (("0", "104", "21"), ("2", "97", "21"), ("10", "74", "21"))
    found = hold(*rows, allowed_fall="14", allowed_time="2")
    verdict = found.verdict("figure.excess_by_maker")
    assert verdict is not None and verdict.source is not None
    assert (verdict.outcome, verdict.source.tag, verdict.high) == ("within", "maker", 14)
    assert found.verdict("figure.excess") is None
    assert hold(*rows).verdict("figure.excess").outcome == "outside"


def test_without_a_reading_at_the_makers_time_there_is_no_verdict() -> None:
    found = hold(("0", "104", "21"), ("5", "84", "21"), allowed_fall="14", allowed_time="2")
    assert found.verdict("figure.excess_by_maker").outcome == "no_limit"
    assert "maker" in found.figure("excess_by_maker").absent_because


def test_a_maker_who_allows_less_than_can_be_seen_is_heard() -> None:
    strict = replace(
        PRESENT,
        limits=(ChosenLimit("figure.excess", None, -4.0, Source("maker", "sheet for this car")),),
    )
    found = hold(("0", "104", "21"), ("5", "104", "21"), context=strict)
    assert found.verdict("figure.excess").outcome == "outside"
    assert found.pattern == "falls_faster"


def test_of_two_chosen_limits_of_a_figure_the_first_holds() -> None:
    chosen = [
        ChosenLimit("figure.excess", None, most, Source("maker", f"sheet with {most:g}"))
        for most in (-4.0, 40.0)
    ]
    found = hold(
        ("0", "104", "21"),
        ("5", "104", "21"),
        context=replace(PRESENT, limits=tuple(chosen)),
    )
    assert found.verdict("figure.excess").high == -4.0


def test_more_than_the_caps_rating_is_said() -> None:
    found = hold(("0", "130", "21"), ("5", "130", "21"))
    assert "above the cap's rating" in words(found)
    assert "above the cap's rating" not in words(hold(("0", "108", "21"), ("5", "108", "21")))


def test_a_shop_in_psi_reads_psi() -> None:
    us = replace(PRESENT, units="us")
    found = hold(("0", "15", "70"), ("5", "12", "70"), context=us, cap="16")
    assert found.pattern == "falls_faster"
    assert "psi" in words(found) and "kPa" not in words(found)


def test_thinner_air_makes_a_hot_fall_smaller() -> None:
    rows = (("0", "100", "60"), ("5", "90", "50"))
    high = figure(hold(*rows, start="hot", altitude="2500"), "expected_fall")
    sea = figure(hold(*rows, start="hot"), "expected_fall")
    by_ambient = hold(*rows, start="hot", context=replace(PRESENT, ambient=Ambient(74.683)))
    assert high < sea
    assert high == pytest.approx(figure(by_ambient, "expected_fall"), abs=0.01)


def test_a_barometer_goes_before_altitude() -> None:
    rows = (("0", "100", "60"), ("5", "90", "50"))
    both = figure(hold(*rows, start="hot", altitude="2500", ambient="101.3"), "expected_fall")
    sea = figure(hold(*rows, start="hot"), "expected_fall")
    assert both == pytest.approx(sea, abs=0.01)


# --- chart, cautions, laws --------------------------------------------------------------------


def test_the_chart_shows_what_a_tight_system_would_do() -> None:
    found = hold(("0", "100", "90"), ("5", "85", "78"), ("10", "70", "70"), start="hot")
    read, tight = found.chart["series"]
    assert [point[:2] for point in read["points"]] == [[0, 100], [300, 85], [600, 70]]
    assert tight["points"][0][1] == pytest.approx(100, abs=1e-6)
    assert tight["points"][0][2] < 0.01 < 1 < tight["points"][-1][2]
    assert tight["points"][-1][1] == pytest.approx(100 - figure(found, "expected_fall"), abs=1e-6)
    values = [point[1] for point in tight["points"]]
    assert values == sorted(values, reverse=True)
    assert "tight system" in found.chart["title"]
    assert chart.draw(found.chart).startswith("<svg")


def test_cautions_name_heat_rating_pump_and_liquid() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("hot", "rating", "running engine", "slowly", "do not crank", "poisonous"):
        assert word in said
    electric = PROCEDURE.cautions_for(Context(car=Car(high_voltage=True)))
    assert any("orange" in caution.text for caution in electric)


@settings(max_examples=40, deadline=None)
@given(st.integers(40, 110), st.integers(0, 60), st.integers(10, 90), st.integers(-8, 8))
def test_a_lower_end_is_never_a_smaller_excess(
    start: int, fall: int, celsius: int, step: int
) -> None:
    rows = [("0", str(start), str(celsius))]
    ends = [("5", str(start - fall - more), str(celsius + step)) for more in (0, 5)]
    one, other = (hold(*rows, end, start="hot", gas_space="large") for end in ends)
    if one.figures and other.figures:
        assert figure(other, "excess") == pytest.approx(figure(one, "excess") + 5, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(-5, 160), st.one_of(st.none(), st.integers(-30, 130))),
        min_size=0,
        max_size=5,
    ),
    st.sampled_from(["brim", "small", "normal", "large", "unknown"]),
    st.sampled_from(["cold", "lukewarm", "hot"]),
    st.sampled_from(["tester", "tee"]),
    st.booleans(),
)
def test_anything_that_can_be_typed_gets_an_answer(
    points: list[tuple[int, int | None]], gas: str, start: str, fitted: str, settled: bool
) -> None:
    rows = [
        (str(2 * number), str(kpa), "" if celsius is None else str(celsius))
        for number, (kpa, celsius) in enumerate(points)
    ]
    found = hold(*rows, gas_space=gas, start=start, fitted=fitted, ready=settled)
    assert found.pattern in {pattern.code for pattern in PROCEDURE.patterns}
    excess = found.figure("excess")
    if found.pattern == "steady":
        assert excess is not None and excess.value is not None
        assert abs(excess.value) + 2 * excess.u <= VISIBLE_KPA + 1e-6
    if found.chart:
        assert chart.draw(found.chart)
