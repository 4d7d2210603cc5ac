"""Tyres by corner: what must not be said first, then tread, pressure, age, wear and sizes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.decision import verdict_words
from measurements.core.judging import assess
from measurements.core.readings import layout, validate
from measurements.procedures.tyres import PROCEDURE, RULES, TREADS
from tests.measurements.svg import parsed

CORNERS = ("fl", "fr", "rl", "rr")
TESTED = Context(measured_on="2025-03-31", fault_present="yes")
ALL_WHEEL = replace(TESTED, car=Car(drive="all"))


def tyres(
    least: str | tuple[str, ...] = "6.0",
    pressure: str | tuple[str, ...] = "220 kPa",
    *,
    context: Context = TESTED,
    unticked: tuple[str, ...] = (),
    facts: dict[str, str] | None = None,
    **corners: str,
) -> Assessment:
    """Judge four tyres of 6 mm at a placard of 220 kPa, unless told otherwise.

    corners: fl_inner="3.0" and so on; facts: given fields by key.
    """
    typed = {"given.placard_front": "220 kPa", "given.placard_rear": "220 kPa", "given.rule": "mm"}
    typed |= {f"given.{key}": value for key, value in (facts or {}).items()}
    typed |= {
        f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions if item.code not in unticked
    }
    for column, values in (("least", least), ("pressure", pressure)):
        four = (values,) * 4 if isinstance(values, str) else values
        typed |= {f"tyres.{code}.{column}": v for code, v in zip(CORNERS, four, strict=True)}
    for key, value in corners.items():
        corner, _, column = key.partition("_")
        typed[f"tyres.{corner}.{column}"] = value
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def also(found: Assessment) -> list[str]:
    return [item.pattern for item in found.also]


# --- what must not be said --------------------------------------------------------------------


@pytest.mark.parametrize("depth", ["1.4", "1.6", "1.8"])
def test_at_the_minimum_doubt_is_treated_as_reached(depth: str) -> None:
    found = tyres((depth, "6.0", "6.0", "6.0"))
    assert (found.pattern, found.where) == ("at_limit", ("fl",))
    verdict = found.verdict("tyres.fl.least")
    assert verdict is not None
    assert "measure better, or treat it as reached" in verdict_words(verdict)
    assert "should be treated as reached" in words(found)


def test_three_good_tyres_say_nothing_of_the_fourth() -> None:
    found = tyres(("6.0", "6.0", "6.0", ""))
    assert found.pattern == "undecided"
    assert found.missing == ("tyres.rr.least",)


def test_a_good_middle_does_not_cover_a_bald_edge() -> None:
    found = tyres(("6.0", "6.0", "6.0", ""), rr_inner="0.9", rr_middle="5.0", rr_outer="6.0")
    assert (found.pattern, found.where, also(found)) == ("worn_to_limit", ("rr",), ["one_edge"])


def test_one_groove_alone_weakens_a_good_look() -> None:
    assert "one_groove" in tyres().confounders
    even = dict.fromkeys(("fl_wear", "fr_wear", "rl_wear", "rr_wear"), "even")
    assert "one_groove" not in tyres(**even).confounders


def test_walls_not_looked_at_are_told_to_the_customer() -> None:
    found = tyres(unticked=("walls",))
    assert "walls_not_looked" in found.confounders
    assert "walls of the tyres were not looked at" in words(found)


def test_a_warm_tyre_that_reads_high_is_not_called_too_high() -> None:
    warm = tyres(pressure="260 kPa", unticked=("cold",))
    assert warm.verdict("tyres.fl.pressure").outcome == "within"
    assert tyres(pressure="260 kPa").verdict("tyres.fl.pressure").outcome == "outside"


def test_a_warm_tyre_that_reads_low_is_too_low_all_the_same() -> None:
    assert tyres(pressure="180 kPa", unticked=("cold",)).pattern == "pressure_off"


def test_without_a_placard_no_pressure_is_judged() -> None:
    found = tyres(facts={"placard_front": "", "placard_rear": ""}, pressure="120 kPa")
    assert found.pattern == "even"
    assert found.verdict("tyres.fl.pressure").outcome == "no_limit"
    assert "pressure_not_judged" in found.confounders
    assert found.missing == ("given.placard_front", "given.placard_rear")


def test_no_age_without_a_day_to_count_to() -> None:
    found = tyres(context=replace(TESTED, measured_on=""), fl_date_code="0110")
    assert found.pattern == "even"
    assert found.figure("age_fl").value is None
    assert "the day of the test is not known" in words(found)


def test_a_week_still_to_come_gives_no_age() -> None:
    found = tyres(fl_date_code="4098")
    assert found.figure("age_fl").value is None
    assert "read the code again" in words(found)


# --- tread ------------------------------------------------------------------------------------


def test_the_form_opens_with_one_groove_and_pressure() -> None:
    rows = layout(PROCEDURE, TESTED).grids[0].rows
    for row in rows:
        assert [s.field.key for s in row.slots if not s.field.finer] == ["least", "pressure"]


@pytest.mark.parametrize(
    ("region", "limit"), [("", 1.6), ("GB", 1.6), ("US-CA", 1.5875), ("US", 1.5875)]
)
def test_the_minimum_follows_the_plate_where_none_is_chosen(region: str, limit: float) -> None:
    context = replace(TESTED, car=replace(TESTED.car, region=region))
    found = tyres("6 mm", context=context, facts={"rule": ""})
    assert found.verdict("tyres.fl.least").low == pytest.approx(limit)
    assert "rule_assumed" in found.confounders


def test_a_chosen_rule_goes_before_the_plate() -> None:
    context = replace(TESTED, car=replace(TESTED.car, region="US"))
    found = tyres("6 mm", context=context, facts={"rule": "mm"})
    assert found.verdict("tyres.fl.least").low == 1.6
    assert "rule_assumed" not in found.confounders


def test_a_higher_minimum_counts_and_a_lower_one_does_not() -> None:
    assert tyres("3.0", facts={"local_minimum": "4"}).pattern == "worn_to_limit"
    lower = tyres("1.3", facts={"local_minimum": "1.0"})
    assert lower.verdict("tyres.fl.least").low == 1.6


def test_a_kept_limit_cannot_lower_the_law() -> None:
    assert not any(
        limit.maker_may_override
        for limit in PROCEDURE.limits
        if limit.address.split(".")[-1] in TREADS
    )


@pytest.mark.parametrize("typed", ["<1.6", "< 1.2"])
def test_less_than_is_enough_below_the_minimum(typed: str) -> None:
    assert tyres((typed, "6.0", "6.0", "6.0")).pattern == "worn_to_limit"


def test_winter_tyres_are_near_their_end_earlier() -> None:
    summer = dict.fromkeys(("fl_kind", "fr_kind", "rl_kind", "rr_kind"), "summer")
    winter = dict.fromkeys(summer, "winter")
    assert tyres("3.9", **summer).pattern == "even"
    assert tyres("3.9", **winter).pattern == "near_limit"


def test_placing_the_gauge_weighs_more_than_the_gauge() -> None:
    verdict = tyres().verdict("tyres.fl.least")
    assert verdict.u > PROCEDURE.handling_u["least"] > verdict.u / 2


# --- pressure ---------------------------------------------------------------------------------


def test_a_quarter_short_is_far_too_low_with_doubt_counted_in() -> None:
    for reading in ("150 kPa", "165 kPa", "170 kPa"):
        assert tyres((("6.0",) * 4), (reading, *("220 kPa",) * 3)).pattern == "pressure_very_low"
    assert tyres((("6.0",) * 4), ("180 kPa", *("220 kPa",) * 3)).pattern == "pressure_off"


def test_front_and_rear_have_their_own_placard() -> None:
    found = tyres(pressure="260 kPa", facts={"placard_rear": "260 kPa"})
    assert (found.pattern, found.where) == ("pressure_off", ("fl", "fr"))
    assert "front left 260 kPa instead of 220 kPa" in words(found)


# --- age --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "pattern", "says"),
    [
        ("0124", "even", ""),
        ("1018", "even", "look at shoulder, bead and grooves every year"),
        ("0215", "age", "over ten years"),
        ("147", "age", "made in 1997 or ten years earlier"),
    ],
)
def test_age_asks_for_a_look_from_six_years_and_leads_beyond_ten(
    code: str, pattern: str, says: str
) -> None:
    found = tyres(fl_date_code=code)
    assert found.pattern == pattern
    assert says in words(found)


def test_a_day_that_was_given_stands_in_for_the_runs_own() -> None:
    context = replace(TESTED, measured_on="")
    found = tyres(context=context, facts={"on": "2025-03-31"}, fl_date_code="0124")
    assert found.figure("age_fl").value == pytest.approx(1.22, abs=0.01)


@pytest.mark.parametrize("code", ["0019", "5419", "9", "23191", "ab19"])
def test_what_is_no_date_code_is_refused(code: str) -> None:
    checked = validate(PROCEDURE, {"tyres.fl.date_code": code}, TESTED)
    assert [fault.kind for fault in checked.faults_at("tyres.fl.date_code")] == ["refused"]


# --- damage, wear, sizes ----------------------------------------------------------------------


@pytest.mark.parametrize("flag", ["cord", "bulge"])
def test_cord_or_bulge_leads_and_forbids_driving(flag: str) -> None:
    found = tyres("1.0", **{f"rr_{flag}": "yes"})
    assert (found.pattern, found.where, also(found)) == ("damaged", ("rr",), ["worn_to_limit"])
    assert PROCEDURE.pattern("damaged").driving.code == "do_not_drive"


@pytest.mark.parametrize("flag", ["cut", "cracked", "object"])
def test_cut_cracked_or_pierced_comes_off_for_a_look(flag: str) -> None:
    assert tyres(**{f"rr_{flag}": "yes"}).pattern == "cut_or_object"


@pytest.mark.parametrize(
    ("wear", "pattern", "says"),
    [
        ("inner_edge", "one_edge", "Inner edge"),
        ("outer_edge", "one_edge", "Outer edge"),
        ("both_edges", "both_edges", "Too little air"),
        ("middle", "middle_worn", "Too much air"),
        ("feathered", "patchy", "Toe"),
        ("cupped", "patchy", "Damper"),
        ("flat_spot", "patchy", "locked wheel"),
    ],
)
def test_wear_that_is_seen_is_named_with_where_to_look(wear: str, pattern: str, says: str) -> None:
    found = tyres(fl_wear=wear)
    assert (found.pattern, found.where) == (pattern, ("fl",))
    assert says.lower() in words(found).lower()


@pytest.mark.parametrize(
    ("grooves", "pattern"),
    [
        (("4.0", "5.8", "6.4"), "one_edge"),
        (("6.4", "5.8", "4.0"), "one_edge"),
        (("4.0", "6.4", "4.2"), "both_edges"),
        (("6.4", "4.0", "6.2"), "middle_worn"),
        (("6.0", "5.9", "5.4"), "even"),
    ],
)
def test_grooves_show_the_wear_as_well(grooves: tuple[str, str, str], pattern: str) -> None:
    inner, middle, outer = grooves
    found = tyres(
        ("", "6.0", "6.0", "6.0"), fl_inner=inner, fl_middle=middle, fl_outer=outer, fl_wear="even"
    )
    assert found.pattern == pattern
    assert found.missing == ()


def test_unlike_tread_matters_where_all_wheels_are_driven() -> None:
    four = ("3.6", "6.4", "6.4", "6.3")
    assert tyres(four, context=ALL_WHEEL).pattern == "rolling_differs"
    assert tyres(four, facts={"driven": "all"}).pattern == "rolling_differs"
    assert tyres(four).pattern == "even"
    assert tyres(four).figure("spread") is None


def test_rolling_size_needs_one_size_on_all_four() -> None:
    sizes = {f"{code}_size": "205/55R16" for code in CORNERS}
    assert tyres(context=ALL_WHEEL, **sizes).figure("rolling").value == pytest.approx(0.0)
    sizes["rl_size"] = sizes["rr_size"] = "225/45R17"
    found = tyres(context=ALL_WHEEL, **sizes)
    assert found.pattern == "even"
    assert "not all of one size" in found.figure("rolling").absent_because


def test_sizes_are_compared_on_an_axle_and_with_the_placard() -> None:
    staggered = {"fl_size": "225/45R17", "fr_size": "225/45R17", "rl_size": "255/40R17"}
    assert tyres(**staggered, rr_size="255/40R17").pattern == "even"
    assert tyres(**staggered, rr_size="245/40R17").where == ("rl", "rr")
    found = tyres(**staggered, facts={"size_front": "205/55R16"})
    assert (found.pattern, found.where) == ("sizes_differ", ("fl", "fr"))


def test_winter_tyres_on_one_axle_only_are_named() -> None:
    found = tyres(fl_kind="winter", fr_kind="winter", rl_kind="summer", rr_kind="summer")
    assert found.pattern == "sizes_differ"


# --- chart, table, cautions, laws -------------------------------------------------------------


def test_the_chart_puts_the_outer_groove_outside_on_both_sides() -> None:
    grooves = {
        f"{code}_{key}": value
        for code in ("fl", "fr")
        for key, value in (("inner", "6.0"), ("middle", "6.1"), ("outer", "6.2"))
    }
    found = tyres(**grooves)
    labels = [[point["label"] for point in panel["points"]] for panel in found.chart["panels"]]
    assert labels[:2] == [["outer", "middle", "inner"], ["inner", "middle", "outer"]]
    assert labels[2:] == [["thinnest"], ["thinnest"]]
    assert parsed(chart.draw(found.chart, earlier=tyres("7.0").chart)) is not None


def test_a_us_shop_reads_32nds() -> None:
    context = replace(TESTED, units="us")
    found = tyres("4/32", pressure="32 psi", context=context, facts={"rule": "in"})
    assert "4/32 in" in words(found)
    assert "minimum 2/32 in" in found.chart["title"]


def test_the_table_tells_the_week_in_words() -> None:
    rows = tyres(fl_date_code="2319").tables[0].rows
    assert rows[0][4] == "week 23 of 2019"


def test_cautions_name_what_hurts() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("bulge", "Stand beside", "look inside before pumping", "chocked", "rated stands"):
        assert word in said


def test_every_rule_says_where_it_stands() -> None:
    assert all("from memory" in source.text for _, _, source in RULES.values())


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 120), st.integers(1, 20))
def test_more_tread_is_never_judged_worse(tenths: int, more: int) -> None:
    order = ("worn_to_limit", "at_limit", "near_limit", "even")
    before, after = (
        tyres((f"{depth / 10}", "12.0", "12.0", "12.0")).pattern
        for depth in (tenths, tenths + more)
    )
    assert order.index(before) <= order.index(after)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 300), st.integers(0, 1000))
def test_units_change_no_verdict(tenths: int, kpa: int) -> None:
    depth, pressure = f"{tenths / 10} mm", f"{kpa} kPa"
    outcomes = set()
    for system in ("metric", "imperial", "us"):
        found = tyres(depth, pressure, context=replace(TESTED, units=system))
        outcomes.add(tuple((verdict.address, verdict.outcome) for verdict in found.verdicts))
    assert len(outcomes) == 1


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(
            [f"tyres.{c}.{k}" for c in CORNERS for k in (*TREADS, "pressure", "date_code", "size")]
        ),
        st.sampled_from(
            ["0", "1.6", "7", "30", "220", "<2", ">3", "-", "OL", "0199", "531", "205/55R16"]
        ),
    ),
    st.sampled_from([TESTED, ALL_WHEEL, Context(units="us", measured_on="yesterday")]),
)
def test_anything_typed_gets_an_answer(typed: dict[str, str], context: Context) -> None:
    typed = {"given.placard_front": "220 kPa", "given.driven": "", **typed}
    found = assess(PROCEDURE, validate(PROCEDURE, typed, context).readings, context)
    assert found.customer and found.technician
    if found.pattern == "even":
        assert all(found.figure(f"left_{code}").value > 0 for code in CORNERS)
