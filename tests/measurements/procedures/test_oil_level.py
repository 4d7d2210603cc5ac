"""Oil on the stick: what must not be said first, then level, look and use."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.oil_level import PROCEDURE

PETROL = Context(car=Car(fuel="petrol"), fault_present="yes")
DIESEL = Context(car=Car(fuel="diesel"), fault_present="yes")


def stick(
    level: str = "",
    second: str = "",
    *,
    context: Context = PETROL,
    ready: bool = True,
    **given_values: str,
) -> Assessment:
    """Judge a stick with 20 mm and 1 L between its marks and dark oil, unless told otherwise."""
    typed = {"given.span": "20", "given.span_l": "1", "given.look": "dark", "given.cap": "clean"}
    typed |= {f"given.{key}": value for key, value in given_values.items()}
    if level:
        typed["stick.first.level"] = level
    if second:
        typed["stick.second.level"] = second
    if ready:
        typed |= {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
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


def also(found: Assessment) -> list[str]:
    return [item.pattern for item in found.also]


# --- what must not be said --------------------------------------------------------------------


@pytest.mark.parametrize("look", ["clear", "dark"])
def test_colour_alone_is_no_finding(look: str) -> None:
    found = stick("10", look=look)
    assert (found.pattern, also(found)) == ("between_marks", [])
    assert "colour alone" in words(found)


def test_a_milky_cap_alone_is_no_leak() -> None:
    found = stick("10", cap="milky")
    assert found.pattern == "milky_cap"
    assert "no sign of a fault" in words(found)
    assert "not be run" not in words(found)


def test_a_milky_cap_says_nothing_of_a_stick_that_nobody_looked_at() -> None:
    found = stick("10", cap="milky", look="not_looked")
    assert found.pattern == "between_marks"
    assert "look_unknown" in found.confounders


@pytest.mark.parametrize("level", ["0", "0.5", "-1", "20", "19", "21"])
def test_at_a_mark_the_eye_cannot_tell(level: str) -> None:
    found = stick(level)
    assert found.pattern == "undecided"
    assert "too close to tell" in words(found)


def test_marks_closer_than_an_eye_can_read_give_no_between() -> None:
    found = stick("2", span="4")
    assert found.pattern == "undecided"
    assert found.verdict("figure.level").too_narrow


def test_an_uneven_hurried_dip_is_weakened() -> None:
    found = stick("10", ready=False)
    assert {"not_level", "not_stood", "other_temperature", "not_wiped"} <= set(found.confounders)


def test_one_dip_inside_and_one_outside_is_left_open() -> None:
    found = stick("10", "-6")
    assert found.pattern == "undecided"
    assert "dips_disagree" in found.confounders


def test_use_is_not_made_up_without_a_level_to_start_from() -> None:
    found = stick("-6", km_since="1200", added_l="0.5", level_then="unknown")
    one = found.figure("use")
    assert one is not None and one.value is None and "not known" in one.absent_because


# --- level ------------------------------------------------------------------------------------


def test_between_the_marks_says_how_much_is_short() -> None:
    found = stick("5")
    assert found.pattern == "between_marks"
    assert figure(found, "to_max") == pytest.approx(0.75)
    assert "0.8 L" in found.customer[0].text.replace("\xa0", " ")


def test_below_the_lower_mark_asks_to_top_up_first() -> None:
    found = stick("-6")
    assert found.pattern == "below_lower"
    assert "Oil has to be added before the engine is run" in words(found)


def test_a_dry_stick_is_below_without_litres() -> None:
    found = stick("-", nothing_on_stick="yes")
    assert found.pattern == "below_lower"
    assert found.figure("to_max").value is None
    assert "does not reach the stick" in words(found)


@pytest.mark.parametrize(("level", "pattern"), [("<-3", "below_lower"), (">30", "above_upper")])
def test_less_or_more_than_is_enough_where_it_lies_beyond_a_mark(level: str, pattern: str) -> None:
    assert stick(level).pattern == pattern


@pytest.mark.parametrize("context", [PETROL, DIESEL], ids=["petrol", "diesel"])
def test_overfull_is_not_started_until_known(context: Context) -> None:
    found = stick("30", context=context)
    assert found.pattern == "above_upper"
    assert "Do not start the engine until it is known" in words(found)


def test_an_overfull_diesel_may_run_away_on_fuel() -> None:
    assert "run away" in words(stick("30", context=DIESEL))
    assert "run away" not in words(stick("30"))


def test_more_than_half_a_litre_over_is_said() -> None:
    assert "froths" in words(stick("35"))
    assert "froths" not in words(stick("27"))


def test_unknown_litres_are_typical_and_wide() -> None:
    known = stick("-6")
    typed = {"given.span": "20", "given.look": "dark", "stick.first.level": "-6"}
    guessed = assess(PROCEDURE, validate(PROCEDURE, typed, PETROL).readings, PETROL)
    assert "litres_typical" in guessed.confounders
    assert figure(guessed, "to_max") == pytest.approx(figure(known, "to_max"))
    assert guessed.figure("to_max").u > 2.5 * known.figure("to_max").u
    assert "taken as typical" in words(guessed)


def test_two_dips_are_averaged() -> None:
    assert figure(stick("11", "9"), "level") == pytest.approx(10)
    assert stick("11", "9").figure("level").u < stick("10").figure("level").u


# --- look -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("choice", "pattern"),
    [
        ("milky_stick", "milky_stick"),
        ("water_drops", "water_drops"),
        ("gritty", "gritty"),
        ("thin", "thin_or_fuel"),
    ],
)
def test_what_is_in_the_oil_leads_over_a_good_level(choice: str, pattern: str) -> None:
    found = stick("10", look=choice)
    assert (found.pattern, also(found)) == (pattern, [])


def test_a_smell_of_fuel_is_enough() -> None:
    assert stick("10", fuel_smell="yes").pattern == "thin_or_fuel"


def test_milky_with_coolant_lost_is_not_run() -> None:
    found = stick("10", look="milky_stick", coolant_loss="yes")
    assert any(sentence.text.startswith("Do not run the engine") for sentence in found.customer)
    assert "turn by hand" in words(found)


@pytest.mark.parametrize("loss", ["no", "unknown"])
def test_milky_without_coolant_lost_waits_until_it_is_explained(loss: str) -> None:
    found = stick("10", look="milky_stick", coolant_loss=loss)
    assert not any(sentence.text.startswith("Do not run the engine") for sentence in found.customer)
    assert "not be run until it is known" in words(found)


def test_milky_may_come_from_an_oil_cooler_as_well() -> None:
    assert "oil cooler" in words(stick("10", look="milky_stick"))


def test_a_second_thing_is_still_named() -> None:
    assert also(stick("30", context=DIESEL, look="thin")) == ["thin_or_fuel"]
    assert also(stick("26", look="milky_stick")) == ["above_upper"]
    assert also(stick("-8", look="gritty")) == ["below_lower"]


# --- use --------------------------------------------------------------------------------------


def test_use_counts_what_was_added_and_what_is_short() -> None:
    """26 of 20 mm at 1 L short of the upper mark, 0.5 L added, 1200 km."""
    found = stick("-6", km_since="1200", added_l="0.5", level_then="upper")
    assert figure(found, "use") == pytest.approx((1.3 + 0.5) / 1.2)
    assert "1.5 L of oil per 1000 km" in words(found)


def test_what_was_only_told_is_known_less_well() -> None:
    facts = {"km_since": "1200", "added_l": "0.5", "level_then": "upper"}
    told = stick("-6", **facts, known_from="told")
    measured = stick("-6", **facts, known_from="measured")
    assert figure(told, "use") == pytest.approx(figure(measured, "use"))
    assert told.figure("use").u > 1.5 * measured.figure("use").u


def test_use_that_may_as_well_be_nought_is_not_told_to_the_customer() -> None:
    found = stick("19.5", km_since="1000", level_then="upper")
    assert found.figure("use") is not None
    assert "of oil per 1000 km" not in " ".join(sentence.text for sentence in found.customer)


# --- chart, cautions, laws --------------------------------------------------------------------


def test_the_chart_says_litres_and_where() -> None:
    found = stick("-6")
    assert found.chart["stick"] == {"low": 0.0, "high": 20.0, "unit": "mm"}
    assert "1.30 L to the upper mark" in found.chart["note"].replace("\xa0", " ")
    assert "below the lower mark" in found.chart["title"]
    assert chart.draw(found.chart).startswith("<svg")


def test_no_level_no_chart() -> None:
    assert stick().chart == {}


def test_cautions_forbid_starting_an_overfull_engine_and_smelling() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("do not start", "run away", "Do not taste", "Hot oil", "Gloves"):
        assert word in said


@given(st.integers(-80, 200))
def test_litres_above_and_litres_to_the_upper_mark_make_up_the_span(tenths: int) -> None:
    found = stick(f"{tenths / 10}")
    assert figure(found, "above_min") + figure(found, "to_max") == pytest.approx(1.0)


@given(st.integers(-15, 45))
def test_higher_oil_is_never_called_lower(level: int) -> None:
    order = {"below_lower": 0, "between_marks": 1, "above_upper": 2}
    one, other = stick(str(level)).pattern, stick(str(level + 5)).pattern
    if one in order and other in order:
        assert order[one] <= order[other]


@settings(max_examples=50, deadline=None)
@given(
    st.one_of(st.just(""), st.integers(-15, 60).map(str)),
    st.sampled_from(
        ["clear", "dark", "milky_stick", "thin", "gritty", "water_drops", "not_looked"]
    ),
    st.sampled_from(["clean", "milky", "not_looked"]),
    st.booleans(),
    st.sampled_from(["metric", "us", "imperial"]),
)
def test_anything_that_can_be_ticked_gets_an_answer(
    level: str, look: str, cap: str, smell: bool, system: str
) -> None:
    context = replace(PETROL, units=system)
    typed = {
        "given.span": ("20", "mm"),
        "given.look": look,
        "given.cap": cap,
        "given.fuel_smell": "yes" if smell else "no",
    }
    if level:
        typed["stick.first.level"] = (level, "mm")
    checked = validate(PROCEDURE, typed, context)
    found = assess(PROCEDURE, checked.readings, context)
    assert found.customer and found.technician
    if found.pattern == "between_marks":
        assert look in ("clear", "dark", "not_looked") and not smell
