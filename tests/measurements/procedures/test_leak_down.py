"""Leak-down: what must not be said first, then where the air goes and how much."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, ChosenLimit, Context, Engine
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import validate
from measurements.procedures.leak_down import PLACES, PROCEDURE

FOUR = Context(
    car=Car(fuel="petrol", engine=Engine("inline", 4)), fault_present="yes", state_of_car="hot"
)
V6 = Engine("v", 6, ((1, 3, 5), (2, 4, 6)))


def blown(
    leak: str = "",
    heard: str = "",
    also: str = "",
    pressure: str = "",
    context: Context = FOUR,
    unticked: tuple[str, ...] = (),
    unit: str = "kPa",
    **given_values: str,
) -> Assessment:
    """Judge cylinders 1, 2 ...; "-" for nothing entered."""
    typed: dict[str, object] = {"given.orifice": "small", "given.oiled": "no"}
    typed |= {f"given.{key}": value for key, value in given_values.items()}
    typed |= {
        f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions if item.code not in unticked
    }
    columns = {"leak": leak, "heard": heard, "also_heard": also, "pressure": pressure}
    for column, values in columns.items():
        for n, value in enumerate(values.split(), 1):
            if value != "-":
                typed[f"cylinders.c{n}.{column}"] = (value, unit) if column == "pressure" else value
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def also_seen(found: Assessment) -> list[tuple[str, tuple[str, ...]]]:
    return [(item.pattern, item.where) for item in found.also]


# --- what must not be said --------------------------------------------------------------------


def test_one_cylinder_alone_is_compared_with_nothing() -> None:
    assert blown("6 - - -").pattern == "undecided"


def test_nothing_is_called_tight_while_one_is_not_measured() -> None:
    found = blown("6 7 - 8")
    assert found.pattern == "undecided"
    assert "Not measured: 3" in words(found)


def test_a_pressure_without_the_regulated_one_gives_no_percentage() -> None:
    found = blown(pressure="640 645 640 638")
    assert found.pattern == "undecided"
    assert found.figure("leak_c1") is None


def test_a_reading_at_the_usual_limit_is_not_decided() -> None:
    assert blown("20 19 18 17").verdict("cylinders.c1.leak").outcome == "cannot_tell"


@pytest.mark.parametrize(
    ("how", "confounder"),
    [
        ({"unticked": ("at_top",)}, "not_at_top"),
        ({"unticked": ("tester_set",)}, "not_set"),
        ({"orifice": "unknown"}, "orifice_unknown"),
        ({"oiled": "yes"}, "oiled_before"),
        ({"context": replace(FOUR, state_of_car="cold")}, "cold_engine"),
    ],
)
def test_how_it_was_done_weakens_what_it_shows(how: dict, confounder: str) -> None:
    assert confounder in blown("6 7 5 8", **how).confounders


def test_through_both_valves_at_once_asks_for_the_other_top() -> None:
    found = blown("7 85 8 6", heard="- throttle - -", also="- tailpipe - -")
    assert "at_overlap" in found.confounders
    assert "turn one whole turn to the other top" in words(found)


def test_the_percentage_is_said_to_belong_to_the_tester() -> None:
    assert "depends on the tester's orifice" in words(blown("6 7 5 8"))
    assert {"orifice", "regulated"} <= set(PROCEDURE.comparable)


def test_an_electric_car_is_not_judged() -> None:
    context = replace(FOUR, car=Car(fuel="electric"))
    assert blown("50 7 5 8", context=context).confounders[0] == "not_for_this_car"


# --- where the air goes -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("leak", "heard", "pattern", "where"),
    [
        ("6 7 5 8", "", "tight", ()),
        ("6 7 5 8", "filler filler filler filler", "tight", ()),
        ("6 7 12 8", "- - coolant -", "into_coolant", ("c3",)),
        ("- - - -", "- - coolant -", "into_coolant", ("c3",)),
        ("6 9 8 7", "- neighbour - -", "into_neighbour", ("c2",)),
        ("7 8 40 6", "- - tailpipe -", "past_exhaust", ("c3",)),
        ("7 45 8 6", "- throttle - -", "past_intake", ("c2",)),
        ("32 30 34 31", "filler filler filler filler", "past_rings", ("c1", "c2", "c3", "c4")),
        ("7 8 35 6", "- - nowhere -", "leaks_unheard", ("c3",)),
        ("7 8 35 6", "", "leaks_unheard", ("c3",)),
        ("2 3 1 17", "", "uneven", ("c4",)),
        ("2 3 1 17", "- - - throttle", "past_intake", ("c4",)),
        ("18 19 21 18", "", "near_limit", ("c1", "c2", "c3", "c4")),
    ],
)
def test_pattern_of_four_in_line(
    leak: str, heard: str, pattern: str, where: tuple[str, ...]
) -> None:
    found = blown(leak, heard)
    assert (found.pattern, found.where) == (pattern, where)


def test_the_path_that_tells_most_leads_and_the_others_are_said() -> None:
    found = blown("40 8 42 7", heard="filler - tailpipe -", also="- - coolant -")
    assert (found.pattern, found.where) == ("into_coolant", ("c3",))
    assert also_seen(found) == [("past_exhaust", ("c3",)), ("past_rings", ("c1",))]


def test_bubbles_bring_driving_advice_and_nothing_else_does() -> None:
    advised = [pattern.code for pattern in PROCEDURE.patterns if pattern.driving]
    assert advised == ["into_coolant"]
    assert "coolant level" in PROCEDURE.pattern("into_coolant").driving.words


def test_every_place_has_a_pattern_of_its_own_that_is_heard_or_seen() -> None:
    for place in PLACES.values():
        assert PROCEDURE.pattern(place.pattern).direct, place.pattern
    assert len({place.pattern for place in PLACES.values()}) == len(PLACES)


# --- how much ---------------------------------------------------------------------------------


def test_two_pressures_give_the_percentage() -> None:
    found = blown(pressure="640 645 414 638", heard="- - tailpipe -", regulated="690")
    assert found.figure("leak_c3").value == pytest.approx(40.0)
    assert found.verdict("figure.leak_c3").outcome == "outside"


def test_a_regulated_pressure_of_its_own_goes_first() -> None:
    typed = {
        "given.regulated": "690",
        "cylinders.c1.pressure": "360",
        "cylinders.c1.regulated": "400",
        "cylinders.c2.pressure": "640",
    }
    found = assess(PROCEDURE, validate(PROCEDURE, typed, FOUR).readings, FOUR)
    assert found.figure("leak_c1").value == pytest.approx(10.0)


def test_what_was_read_off_goes_before_what_two_pressures_give() -> None:
    found = blown("12 7 5 8", pressure="640 - - -", regulated="690")
    assert found.figure("leak_c1") is None


def test_one_regulated_pressure_is_one_number_in_the_comparison() -> None:
    """Both percentages carry the regulator gauge's error, their difference hardly any of it."""
    found = blown(pressure="640 560 640 640", regulated="690")
    assert found.figure("leak_c2").u > 1.8
    assert found.figure("spread").u < 1.2


def test_a_limit_for_the_car_holds_for_read_off_and_for_computed() -> None:
    chosen = ChosenLimit("cylinders.*.leak", None, 12.0, Source("maker", "sheet"))
    context = replace(FOUR, limits=(chosen,))
    assert blown("18 7 5 8", context=context).verdict("cylinders.c1.leak").outcome == "outside"
    computed = blown(pressure="560 640 645 650", regulated="690", context=context)
    assert computed.verdict("figure.leak_c1").high == 12.0


def test_more_than_a_scale_shows_is_outside_and_has_no_figure() -> None:
    found = blown(">60 7 5 8")
    assert (found.pattern, found.where) == ("leaks_unheard", ("c1",))


def test_more_behind_the_orifice_than_before_it_asks_for_the_zero() -> None:
    assert "Set the tester to nought" in words(blown(pressure="700 640 645 650", regulated="690"))


# --- chart, table, cautions, laws -------------------------------------------------------------


def test_the_chart_stands_in_block_order_with_arrows_where_air_leaves() -> None:
    context = replace(FOUR, car=Car(fuel="petrol", engine=V6))
    found = blown("8 7 41 9 40 8", heard="- - neighbour - neighbour -", context=context)
    assert [one["label"] for one in found.chart["cylinders"]] == ["1", "3", "5", "2", "4", "6"]
    assert found.chart["cylinders"][1]["air"] == ["neighbour"]
    assert chart.draw(found.chart).startswith("<svg")


def test_the_table_tells_nowhere_from_not_noted() -> None:
    (table,) = blown("6 7 5 8", heard="nowhere - - filler").tables
    assert [row[3] for row in table.rows] == [
        "nowhere",
        "not noted",
        "not noted",
        "oil filler or dipstick",
    ]


def test_the_first_caution_takes_bar_and_socket_off_the_crank() -> None:
    first = PROCEDURE.cautions[0]
    assert "Bar and socket off the crank before air goes in" in first.text
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(FOUR))
    for word in ("do not crank", "Eyes covered", "cap only on a cold", "chocked"):
        assert word in said


places = st.sampled_from([*PLACES, "nowhere", "-"])


@given(
    st.lists(st.floats(0, 100).map(lambda x: f"{x:.1f}"), min_size=4, max_size=4),
    st.lists(places, min_size=4, max_size=4),
    st.lists(places, min_size=4, max_size=4),
)
def test_no_reading_in_range_stops_the_judgement(leak: list, heard: list, more: list) -> None:
    found = blown(" ".join(leak), " ".join(heard), " ".join(more))
    assert found.customer and found.technician
    assert chart.draw(found.chart)


@given(
    st.lists(st.integers(0, 1500), min_size=4, max_size=4).map(lambda xs: " ".join(map(str, xs))),
    st.integers(20, 1500),
)
def test_no_pair_of_pressures_in_range_stops_it_nor_its_unit_changes_it(
    pressure: str, regulated: int
) -> None:
    metric = blown(pressure=pressure, regulated=f"{regulated} kPa")
    us = blown(pressure=pressure, regulated=f"{regulated} kPa", context=replace(FOUR, units="us"))
    assert us.pattern == metric.pattern
    assert [v.outcome for v in us.verdicts] == [v.outcome for v in metric.verdicts]


@given(st.floats(0, 100), st.floats(0, 100))
def test_more_leak_is_never_better(one: float, other: float) -> None:
    rank = {"within": 0, "cannot_tell": 1, "outside": 2}
    outcomes = [
        rank[blown(f"{value:.2f} 5 5 5").verdict("cylinders.c1.leak").outcome]
        for value in sorted((one, other))
    ]
    assert outcomes[0] <= outcomes[1]
