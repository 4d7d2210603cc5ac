"""Plugs by cylinder: what must not be said first, then what the plugs show together."""

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
from measurements.procedures.spark_plugs import LOOKS, PROCEDURE, compare

FOUR = Context(car=Car(fuel="petrol", engine=Engine("inline", 4)), fault_present="yes")
V6 = Engine("v", 6, ((1, 3, 5), (2, 4, 6)), (1, 2, 3, 4, 5, 6))
INLINE = ((1, 2, 3, 4),)


def plugs(
    *looks: str, context: Context = FOUR, gaps: tuple[str, ...] = (), **given_values: str
) -> Assessment:
    """Judge plugs of cylinders 1, 2 ... after a drive under load, unless told otherwise."""
    typed = {f"plugs.c{n}.look": look for n, look in enumerate(looks, 1) if look}
    typed |= {f"plugs.c{n}.gap": gap for n, gap in enumerate(gaps, 1) if gap}
    typed |= {"given.taken_after": "load"}
    typed |= {f"given.{key}": value for key, value in given_values.items()}
    typed |= {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


# --- what must not be said --------------------------------------------------------------------


@pytest.mark.parametrize("fuel", ["diesel", "electric"])
def test_an_engine_without_plugs_is_not_judged(fuel: str) -> None:
    context = replace(FOUR, car=replace(FOUR.car, fuel=fuel))
    found = plugs("wet_oil", "normal", "normal", "normal", context=context)
    assert found.pattern == "undecided"
    assert "no spark plugs" in words(found)


@pytest.mark.parametrize("look", ["normal", "wet_oil", "washed", "worn"])
def test_one_plug_alone_is_compared_with_nothing(look: str) -> None:
    assert plugs(look, "", "", "").pattern == "undecided"


def test_one_plug_that_was_not_looked_at_keeps_the_rest_from_being_sound() -> None:
    assert plugs("normal", "normal", "normal", "not_looked").pattern == "undecided"


def test_after_idling_a_plug_says_little() -> None:
    found = plugs("dry_soot", "dry_soot", "dry_soot", "dry_soot", taken_after="idling")
    assert "after_idling" in found.confounders
    assert PROCEDURE.confounder("after_idling").weight <= 0.3


def test_numbers_that_follow_are_no_neighbours_in_two_banks() -> None:
    context = replace(FOUR, car=replace(FOUR.car, engine=V6))
    found = plugs("normal", "normal", "wet_oil", "wet_oil", "normal", "normal", context=context)
    assert found.pattern == "several_unlike"


def test_neighbours_are_not_guessed_where_the_layout_is_unknown() -> None:
    context = replace(FOUR, car=replace(FOUR.car, engine=Engine("", 4)))
    found = plugs("normal", "wet_oil", "wet_oil", "normal", context=context)
    assert found.pattern == "several_unlike"
    assert "layout" in words(found)


def test_near_white_and_reddish_are_not_made_into_a_fault() -> None:
    found = plugs("normal", "normal", "normal", "normal")
    assert found.pattern == "all_normal"
    assert "near-white is normal" in words(found)
    assert "nearly white" in LOOKS["normal"].label


def test_normal_plugs_with_a_wide_gap_are_not_called_sound() -> None:
    found = plugs(
        "normal",
        "normal",
        "normal",
        "normal",
        gaps=("0.8", "1.2", "0.8", "0.8"),
        gap_low="0.7",
        gap_high="0.9",
    )
    assert (found.pattern, found.where) == ("gap_outside", ("c2",))


# --- what the plugs show ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("looks", "pattern", "where"),
    [
        ("normal normal normal normal", "all_normal", ()),
        ("normal normal wet_oil normal", "one_unlike", ("c3",)),
        ("washed normal normal normal", "one_unlike", ("c1",)),
        ("normal wet_oil wet_oil normal", "neighbours_unlike", ("c2", "c3")),
        ("wet_oil washed normal normal", "neighbours_unlike", ("c1", "c2")),
        ("wet_oil normal normal wet_oil", "several_unlike", ("c1", "c4")),
        ("dry_soot dry_soot dry_soot dry_soot", "all_alike", ("c1", "c2", "c3", "c4")),
        ("dry_soot dry_soot normal dry_soot", "several_unlike", ("c1", "c2", "c4")),
        ("worn dry_soot wet_oil ash", "several_unlike", ("c1", "c2", "c3", "c4")),
        ("ash ash wet_oil wet_oil", "several_unlike", ("c1", "c2", "c3", "c4")),
        ("melted normal normal normal", "damage", ("c1",)),
        ("flash_over normal normal normal", "one_unlike", ("c1",)),
    ],
)
def test_pattern_of_four_in_line(looks: str, pattern: str, where: tuple[str, ...]) -> None:
    found = plugs(*looks.split())
    assert (found.pattern, found.where) == (pattern, where)


@pytest.mark.parametrize("look", [code for code, look in LOOKS.items() if look.damage])
def test_a_damaged_plug_leads_and_the_others_are_still_compared(look: str) -> None:
    found = plugs(look, "normal", "wet_oil", "normal")
    assert (found.pattern, found.where) == ("damage", ("c1",))
    assert [(item.pattern, item.where) for item in found.also] == [("one_unlike", ("c3",))]


@pytest.mark.parametrize("look", ["melted", "cracked", "bent"])
def test_damage_inside_says_not_to_drive(look: str) -> None:
    assert "should not be driven" in words(plugs("normal", look, "normal", "normal"))


def test_a_crack_outside_does_not_keep_the_car_from_driving() -> None:
    assert "not be driven" not in words(plugs("normal", "cracked_body", "normal", "normal"))


def test_a_washed_plug_warns_of_liquid_before_any_cranking() -> None:
    found = words(plugs("normal", "normal", "normal", "washed"))
    assert "should not be started" in found
    assert "do not crank" in found


def test_the_odd_one_among_bad_ones_is_named_and_so_are_they() -> None:
    found = plugs("dry_soot", "dry_soot", "wet_oil", "dry_soot")
    assert (found.pattern, found.where) == ("one_unlike", ("c3",))
    assert [(item.pattern, item.where) for item in found.also] == [
        ("all_alike", ("c1", "c2", "c4"))
    ]


def test_neighbours_in_a_bank_are_told_by_block_order() -> None:
    context = replace(FOUR, car=replace(FOUR.car, engine=V6))
    found = plugs("normal", "normal", "washed", "normal", "washed", "normal", context=context)
    assert (found.pattern, found.where) == ("neighbours_unlike", ("c3", "c5"))


def test_a_loose_plug_and_the_torque_are_noted() -> None:
    typed = {f"plugs.c{n}.look": "normal" for n in range(1, 5)}
    typed |= {"plugs.c2.found": "loose", "given.taken_after": "load", "given.torque": "25"}
    checked = validate(PROCEDURE, typed, FOUR)
    said = words(assess(PROCEDURE, checked.readings, FOUR))
    assert "2 sat loose" in said
    assert "25 N·m" in said


# --- gaps -------------------------------------------------------------------------------------


def test_gaps_without_a_makers_limit_have_no_verdict() -> None:
    found = plugs("worn", "worn", "worn", "worn", gaps=("1.1", "1.1", "1.1", "1.2"))
    assert {verdict.outcome for verdict in found.verdicts} == {"no_limit"}


def test_a_gap_at_the_makers_limit_cannot_be_told() -> None:
    found = plugs(
        "normal",
        "normal",
        "normal",
        "normal",
        gaps=("0.9", "0.8", "0.8", "0.8"),
        gap_low="0.7",
        gap_high="0.9",
    )
    assert found.verdict("plugs.c1.gap").outcome == "cannot_tell"
    assert found.pattern == "all_normal"


def test_a_limit_chosen_for_the_car_goes_before_the_typed_one() -> None:
    chosen = ChosenLimit("plugs.*.gap", 1.0, 1.2, Source("maker", "sheet for this car"))
    found = plugs(
        "normal",
        "normal",
        "normal",
        "normal",
        context=replace(FOUR, limits=(chosen,)),
        gaps=("1.1", "1.1", "1.1", "1.1"),
        gap_low="0.7",
        gap_high="0.9",
    )
    assert {verdict.outcome for verdict in found.verdicts} == {"within"}


def test_gap_limits_the_wrong_way_round_are_said_and_not_used() -> None:
    found = plugs(
        "normal",
        "normal",
        "normal",
        "normal",
        gaps=("0.8", "", "", ""),
        gap_low="0.9",
        gap_high="0.7",
    )
    assert found.verdict("plugs.c1.gap").outcome == "no_limit"
    assert "larger than the largest" in words(found)


# --- chart, table, laws -----------------------------------------------------------------------


def test_the_chart_stands_in_block_order_with_its_odd_ones_marked() -> None:
    context = replace(FOUR, car=replace(FOUR.car, engine=V6))
    found = plugs("normal", "normal", "washed", "normal", "normal", "normal", context=context)
    drawn = [(row["label"], row["bank"], row["marked"]) for row in found.chart["rows"]]
    assert drawn == [
        ("1", 0, False),
        ("3", 0, True),
        ("5", 0, False),
        ("2", 1, False),
        ("4", 1, False),
        ("6", 1, False),
    ]
    assert chart.draw(found.chart).startswith("<svg")


def test_the_table_has_a_line_for_every_cylinder() -> None:
    found = plugs("normal", "wet_oil", "", "normal", gaps=("0.8", "", "", ""))
    (table,) = found.tables
    assert [row[0] for row in table.rows] == ["1", "2", "3", "4"]
    assert table.rows[2][1] == "not looked at"


def test_cautions_name_hot_threads_ignition_and_liquid() -> None:
    said = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("lukewarm", "thread", "Ignition off", "pacemaker", "do not crank", "wells"):
        assert word in said
    hybrid = PROCEDURE.cautions_for(Context(car=Car(high_voltage=True)))
    assert any("by itself" in caution.danger for caution in hybrid)


@given(st.lists(st.sampled_from(sorted(LOOKS)), min_size=4, max_size=4))
def test_a_mirrored_block_gives_the_mirrored_answer(looks: list[str]) -> None:
    """Counting from the other end of the engine must change nothing but the numbers."""
    one = compare({f"c{n}": look for n, look in enumerate(looks, 1)}, INLINE, 0)
    other = compare({f"c{n}": look for n, look in enumerate(reversed(looks), 1)}, INLINE, 0)
    assert other.pattern == one.pattern
    assert {f"c{5 - int(code[1:])}" for code in other.where} == set(one.where)


@given(st.lists(st.sampled_from(sorted(LOOKS)), min_size=2, max_size=8))
def test_sound_is_said_only_of_plugs_that_are_all_normal(looks: list[str]) -> None:
    found = compare({f"c{n}": look for n, look in enumerate(looks, 1)}, (), 0)
    assert (found.pattern == "all_normal") == (set(looks) == {"normal"})
    assert found.pattern != "undecided"
