"""Cranking compression: what must not be said first, then what the pressures show."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core import chart, units
from measurements.core.assessment import Assessment
from measurements.core.context import Car, ChosenLimit, Context, Engine
from measurements.core.instruments import Instrument, Span
from measurements.core.judging import assess
from measurements.core.procedure import Source
from measurements.core.readings import validate
from measurements.procedures.compression import PROCEDURE, arrangement

FOUR = Context(
    car=Car(fuel="petrol", engine=Engine("inline", 4, (), (1, 3, 4, 2))),
    fault_present="yes",
    state_of_car="hot",
)
V6 = Engine("v", 6, ((1, 3, 5), (2, 4, 6)), (1, 2, 3, 4, 5, 6))
FINE = Instrument("compression_gauge", "own gauge", "±1 %", (Span(2500, 10),))
DONE = {
    "throttle": "open",
    "battery": "supported",
    "liquid": "none",
    "gauge": "screwed",
    "plugs_out": "all",
}


def cranked(
    dry: str,
    wet: str = "",
    context: Context = FOUR,
    unit: str = "kPa",
    unticked: tuple[str, ...] = (),
    **given_values: str,
) -> Assessment:
    """Judge pressures of cylinders 1, 2 ...; "-" for one that was not measured."""
    typed: dict[str, object] = {
        f"given.{key}": value for key, value in (DONE | given_values).items() if value
    }
    typed |= {
        f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions if item.code not in unticked
    }
    for column, values in (("dry", dry), ("wet", wet)):
        for n, value in enumerate(values.split(), 1):
            if value != "-":
                typed[f"cylinders.c{n}.{column}"] = (value, unit)
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def of(engine: Engine, fuel: str = "petrol") -> Context:
    return replace(FOUR, car=Car(fuel=fuel, engine=engine))


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def also(found: Assessment) -> list[tuple[str, tuple[str, ...]]]:
    return [(item.pattern, item.where) for item in found.also]


# --- what must not be said --------------------------------------------------------------------


def test_one_cylinder_alone_is_compared_with_nothing() -> None:
    assert cranked("1200 - - -").pattern == "undecided"


def test_nothing_is_called_even_while_one_is_not_measured() -> None:
    found = cranked("1200 1190 - 1195")
    assert found.pattern == "undecided"
    assert "Not measured: 3" in words(found)


def test_even_pressures_clear_nothing_when_liquid_may_be_in_a_cylinder() -> None:
    found = cranked("1200 1190 1195 1195", liquid="possible")
    assert "liquid_possible" in found.confounders
    confounder = PROCEDURE.confounder("liquid_possible")
    assert (confounder.weight, confounder.only_sound) == (0.0, True)
    assert "do not crank" in words(found)
    assert "do not start the engine" in words(found)


def test_an_oiled_diesel_is_kept_and_not_judged() -> None:
    found = cranked(
        "2600 2580 1700 2610",
        "2700 2690 2500 2720",
        context=of(Engine("inline", 4), "diesel"),
        gauge="diesel",
        throttle="none",
    )
    assert (found.pattern, found.also) == ("one_low", ())
    assert "never oil a diesel" in words(found)


@pytest.mark.parametrize(
    ("engine", "lies"),
    [(Engine("flat", 4, ((1, 3), (2, 4))), ""), (Engine("inline", 4), "leaning")],
)
def test_oil_says_nothing_in_a_cylinder_on_its_side(engine: Engine, lies: str) -> None:
    found = cranked("1200 1190 800 1180", "1250 1230 1100 1220", context=of(engine), lies=lies)
    assert found.pattern == "one_low"
    assert not {"low_rises_wet", "low_stays_wet"} & {item.pattern for item in found.also}
    assert "lies along one side" in words(found)


def test_a_diesel_has_no_usual_least_pressure_here() -> None:
    found = cranked("1500 1490 1510 1495", context=of(Engine("inline", 4), "diesel"))
    assert {v.outcome for v in found.verdicts if v.address.endswith(".dry")} == {"no_limit"}
    assert "No least pressure known" in words(found)


def test_an_engine_of_unknown_fuel_has_none_either() -> None:
    found = cranked("500 490 510 495", context=of(Engine("inline", 4), ""))
    assert found.pattern == "even"


def test_a_share_near_three_quarters_is_not_decided_by_a_common_gauge() -> None:
    found = cranked("1200 1150 915 1160")
    assert (found.pattern, found.where) == ("near_limit", ("c3",))
    verdict = found.verdict("figure.lowest_share")
    assert verdict is not None and verdict.outcome == "cannot_tell"


def test_what_only_numbers_put_side_by_side_are_no_neighbours() -> None:
    assert cranked("1200 1190 720 700 1210 1180", context=of(V6)).pattern == "several_low"


def test_neighbours_in_the_firing_order_are_none_in_the_block() -> None:
    assert cranked("720 1200 700 1190").pattern == "several_low"


def test_neighbours_are_not_guessed_where_the_layout_is_unknown() -> None:
    found = cranked("1200 700 720 1190", context=of(Engine("", 4)))
    assert found.pattern == "several_low"
    assert "order_unknown" in found.confounders


@pytest.mark.parametrize(
    ("how", "confounder"),
    [
        ({"throttle": "shut"}, "throttle_shut"),
        ({"throttle": "asked"}, "throttle_unseen"),
        ({"throttle": ""}, "throttle_unseen"),
        ({"battery": "weak"}, "weak_battery"),
        ({"speed": "120"}, "slow_cranking"),
        ({"strokes": "3"}, "few_strokes"),
        ({"plugs_out": "one"}, "one_plug_at_a_time"),
        ({"gauge": "pressed"}, "pressed_by_hand"),
        ({"gauge": "diesel"}, "other_gauge"),
        ({"unticked": ("same_strokes",)}, "strokes_uneven"),
        ({"unticked": ("gauge_zero",)}, "gauge_not_zeroed"),
        ({"context": replace(FOUR, state_of_car="cold")}, "cold_engine"),
    ],
)
def test_how_it_was_cranked_weakens_what_it_shows(how: dict, confounder: str) -> None:
    assert confounder in cranked("1200 1190 1195 1180", **how).confounders


def test_a_petrol_gauge_on_a_diesel_proves_little() -> None:
    found = cranked("2600 2580 2590 2610", context=of(Engine("inline", 4), "diesel"))
    assert "other_gauge" in found.confounders


def test_an_electric_car_is_not_judged() -> None:
    found = cranked("", context=of(Engine("", 4), "electric"))
    assert found.confounders[0] == "not_for_this_car"


# --- what the pressures show ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("dry", "pattern", "where"),
    [
        ("1200 1180 1190 1195", "even", ()),
        ("1200 1180 600 1190", "one_low", ("c3",)),
        ("1200 640 620 1190", "neighbours_low", ("c2", "c3")),
        ("640 1200 1190 620", "several_low", ("c1", "c4")),
        ("1000 1010 1520 1005", "one_high", ("c3",)),
        ("520 500 510 515", "all_low_even", ("c1", "c2", "c3", "c4")),
        ("1200 20 1190 1210", "no_compression", ("c2",)),
        ("0 0 0 0", "no_compression", ("c1", "c2", "c3", "c4")),
        ("1200 <50 1190 1210", "no_compression", ("c2",)),
        ("1200 1150 915 1160", "near_limit", ("c3",)),
    ],
)
def test_pattern_of_four_in_line(dry: str, pattern: str, where: tuple[str, ...]) -> None:
    found = cranked(dry)
    assert (found.pattern, found.where) == (pattern, where)


def test_a_whole_bank_low_is_no_gasket_between_neighbours() -> None:
    found = cranked("1200 780 1190 770 1210 790", context=of(V6))
    assert (found.pattern, found.where) == ("bank_low", ("c2", "c4", "c6"))


def test_of_three_cylinders_two_low_ones_are_low() -> None:
    found = cranked("1200 640 620", context=of(Engine("inline", 3)))
    assert (found.pattern, found.where) == ("neighbours_low", ("c2", "c3"))


def test_a_low_one_beside_a_dead_one_is_said_too() -> None:
    found = cranked("1200 20 640 1190")
    assert (found.pattern, found.where) == ("no_compression", ("c2",))
    assert ("one_low", ("c3",)) in also(found)


def test_a_dead_cylinder_keeps_the_engine_off() -> None:
    driving = PROCEDURE.pattern("no_compression").driving
    assert driving is not None and driving.code == "do_not_drive"


def test_clearly_unlike_the_others_is_low_though_the_gauge_cannot_tell_three_quarters() -> None:
    found = cranked("1200 1180 860 1190")
    assert (found.pattern, found.where) == ("one_low", ("c3",))
    verdict = found.verdict("figure.lowest_share")
    assert verdict is not None and verdict.outcome == "cannot_tell"
    assert "too close to the limit of at least 75 %" in words(found)


def test_a_gauge_wrong_by_a_share_of_its_reading_compares_well() -> None:
    context = replace(FOUR, instruments={"compression_gauge": FINE})
    verdict = cranked("1200 1180 860 1190", context=context).verdict("figure.lowest_share")
    assert verdict is not None and verdict.outcome == "outside"


def test_the_share_asked_for_can_be_the_makers() -> None:
    chosen = ChosenLimit("figure.lowest_share", 85.0, None, Source("maker", "sheet"))
    found = cranked("1200 1180 950 1190", context=replace(FOUR, limits=(chosen,)))
    assert (found.pattern, found.where) == ("one_low", ("c3",))


def test_below_the_makers_least_pressure_though_even() -> None:
    chosen = ChosenLimit("cylinders.*.dry", 1035.0, None, Source("maker", "sheet"))
    context = replace(FOUR, limits=(chosen,))
    found = cranked("1180 1170 930 1175", context=context)
    assert (found.pattern, found.where) == ("below_minimum", ("c3",))
    assert "thin_air" not in found.confounders
    assert (
        "thin_air" in cranked("1180 1170 930 1175", context=context, altitude="1500 m").confounders
    )


# --- oil --------------------------------------------------------------------------------------


def test_a_low_one_that_rises_clearly_with_oil_leads() -> None:
    found = cranked("1200 1180 860 1190", "1250 1240 1120 1245")
    assert (found.pattern, found.where) == ("low_rises_wet", ("c3",))
    assert also(found) == [("one_low", ("c3",))]


def test_a_low_one_that_oil_does_not_change_leads() -> None:
    found = cranked("1210 700 1190 1200", "1260 722 1240 1250")
    assert (found.pattern, found.where) == ("low_stays_wet", ("c2",))


def test_neighbours_that_oil_does_not_change_lead_as_neighbours() -> None:
    found = cranked("180 95 90 178", "188 98 94 186", unit="psi")
    assert (found.pattern, found.where) == ("neighbours_low", ("c2", "c3"))
    assert also(found) == [("low_stays_wet", ("c2", "c3"))]


def test_two_low_ones_can_be_low_for_two_reasons() -> None:
    found = cranked("600 1200 1190 640", "790 1250 1240 660")
    assert (found.pattern, found.where) == ("low_rises_wet", ("c1",))
    assert also(found) == [("low_stays_wet", ("c4",)), ("several_low", ("c1", "c4"))]


def test_what_all_rise_by_is_no_worn_bore() -> None:
    found = cranked("1200 1180 800 1190", "1400 1380 930 1390")
    assert found.pattern == "one_low"
    assert "decides neither" in words(found)


def test_without_a_good_one_oiled_common_practice_stands_for_the_others() -> None:
    found = cranked("1200 1180 800 1190", "- - 1120 -")
    assert found.pattern == "low_rises_wet"
    assert "wet_alone" in found.confounders
    assert "Oil a good cylinder as well" in words(found)


def test_all_low_that_all_rise_are_worn_alike() -> None:
    found = cranked("520 500 510 515", "640 620 625 630")
    assert found.pattern == "low_rises_wet"
    assert also(found) == [("all_low_even", ("c1", "c2", "c3", "c4"))]


def test_a_low_one_asks_for_oil_next_but_not_in_a_diesel() -> None:
    assert "tablespoon" in words(cranked("1200 1180 600 1190"))
    diesel = cranked("2600 2580 1300 2610", context=of(Engine("inline", 4), "diesel"))
    assert "tablespoon" not in words(diesel)


# --- air --------------------------------------------------------------------------------------


def test_height_gives_what_it_would_read_at_sea_level_and_says_by_which_ratio() -> None:
    found = cranked("1050 1040 1045 1035", altitude="1500 m")
    assert found.figure("sea_level_highest").value == pytest.approx(1258.2, abs=0.1)
    assert "ratio 0.835 to sea level" in words(found)
    assert "ratio of densities instead, 0.864" in words(found)


def test_the_barometer_goes_before_the_height() -> None:
    found = cranked("1050 1040 1045 1035", altitude="1500 m", ambient="100 kPa")
    assert found.figure("sea_level_highest").value == pytest.approx(1050 * 1.01325, abs=0.1)


def test_without_air_there_is_no_figure_for_sea_level_but_a_reason() -> None:
    figure = cranked("1050 1040 1045 1035").figure("sea_level_lowest")
    assert (figure.value, figure.absent_because) == (
        None,
        "neither air pressure nor height entered",
    )


def test_the_usual_least_pressure_goes_down_with_the_air() -> None:
    high_up = cranked("1050 1040 1045 1035", altitude="2500 m")
    verdict = high_up.verdict("cylinders.c1.dry")
    assert verdict is not None
    assert verdict.low == pytest.approx(690 * 74.683 / 101.325, abs=0.05)


@pytest.mark.parametrize("typed", ["10.5:1", "10,5", "10.5"])
def test_the_expectation_is_information_and_no_limit(typed: str) -> None:
    found = cranked("1200 1190 1195 1180", ratio=typed)
    assert found.figure("expected").value == pytest.approx(1813.5, abs=1)
    assert found.pattern == "even"
    assert found.verdict("figure.expected") is None


# --- chart, table, cautions, laws -------------------------------------------------------------


def test_the_chart_hatches_what_lies_below_three_quarters_of_the_highest() -> None:
    data = cranked("1200 1180 860 1190").chart
    assert data["limit"] == 900.0
    assert [one["marked"] for one in data["cylinders"]] == [False, False, True, False]
    assert chart.draw(data).startswith("<svg")


def test_the_table_has_a_line_for_every_cylinder() -> None:
    (table,) = cranked("1200 1180 - 1190").tables
    assert [row[0] for row in table.rows] == ["1", "2", "3", "4"]
    assert table.rows[2][1] == "not measured"


def test_cautions_name_liquid_launch_coils_and_diesel() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("do not crank", "nobody in front", "both", "pacemaker", "lukewarm", "wells"):
        assert word in said
    diesel = " ".join(c.danger for c in PROCEDURE.cautions_for(of(Engine(), "diesel")))
    assert "Never oil a diesel" in diesel
    petrol = " ".join(c.danger for c in PROCEDURE.cautions_for(FOUR))
    assert "diesel" not in petrol
    hybrid = PROCEDURE.cautions_for(Context(car=Car(high_voltage=True)))
    assert any("by itself" in caution.danger for caution in hybrid)


def test_low_ones_are_named_by_where_they_stand() -> None:
    assert arrangement(("c3", "c5"), V6) == "neighbours_low"
    assert arrangement(("c1", "c3", "c5"), V6) == "bank_low"
    assert arrangement(("c4",), V6) == "one_low"
    assert arrangement(("c1", "c2"), V6) == "several_low"


pressures = st.lists(st.floats(0, 8000).map(lambda x: f"{x:.1f}"), min_size=4, max_size=4)


@given(pressures, st.one_of(st.just([]), pressures), st.sampled_from(["petrol", "diesel", ""]))
def test_no_reading_in_range_stops_the_judgement(dry: list, wet: list, fuel: str) -> None:
    found = cranked(" ".join(dry), " ".join(wet), context=of(Engine("inline", 4), fuel))
    assert found.customer and found.technician
    if found.chart:
        assert chart.draw(found.chart)


@given(st.lists(st.integers(300, 2400), min_size=4, max_size=4))
def test_the_unit_that_is_shown_never_changes_a_verdict(dry: list[int]) -> None:
    typed = " ".join(map(str, dry))
    metric = cranked(typed)
    us = cranked(typed, context=replace(FOUR, units="us"))
    assert us.pattern == metric.pattern
    assert [v.outcome for v in us.verdicts] == [v.outcome for v in metric.verdicts]


@given(st.integers(0, 2400), st.integers(0, 2400))
def test_more_pressure_is_never_worse_against_the_least(one: int, other: int) -> None:
    rank = {"outside": 0, "cannot_tell": 1, "within": 2}
    low, high = sorted((one, other))
    outcomes = [
        rank[cranked(f"{value} 1200 1200 1200").verdict("cylinders.c1.dry").outcome]
        for value in (low, high)
    ]
    assert outcomes[0] <= outcomes[1]


@given(st.lists(st.integers(200, 2400), min_size=4, max_size=4))
def test_counting_from_the_other_end_changes_nothing_but_numbers(dry: list[int]) -> None:
    one = cranked(" ".join(map(str, dry)))
    other = cranked(" ".join(map(str, reversed(dry))))
    assert other.pattern == one.pattern
    if len(set(dry)) == 4:
        assert {5 - int(code[1:]) for code in other.where} == {int(code[1:]) for code in one.where}


def test_shop_units_are_only_shown() -> None:
    found = cranked("174 171 173 172", context=replace(FOUR, units="us"), unit="psi")
    assert found.chart["unit"] == "psi"
    assert found.chart["cylinders"][0]["dry"] == 174.0
    assert units.shop_unit("gauge_pressure", "us") == "psi"
