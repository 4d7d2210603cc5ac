"""Brakes by corner: what must not be said first, then linings, discs, drums, fluid and pedal."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, ChosenLimit, Context
from measurements.core.decision import verdict_words
from measurements.core.instruments import Instrument, Span
from measurements.core.judging import assess
from measurements.core.procedure import Quantity, Source
from measurements.core.readings import layout, validate
from measurements.procedures.brakes import AROUND, FLUIDS, PEDAL, PROCEDURE
from tests.measurements.svg import parsed

CORNERS = ("fl", "fr", "rl", "rr")
TESTED = Context(fault_present="yes")
FINE = Instrument("micrometer", "to a thousandth", "±0.003 mm", (Span(50, 0.001),))


def brakes(
    facts: dict[str, str] | None = None,
    *,
    context: Context = TESTED,
    unticked: tuple[str, ...] = (),
    without: tuple[str, ...] = (),
) -> Assessment:
    """Judge brakes with 8 mm on every pad, firm pedal and all ticked, unless told otherwise.

    facts: typed readings by address; without: beginnings of addresses that are left out.
    """
    typed = {f"pads.{code}.{key}": "8.0 mm" for code in CORNERS for key in ("inner", "outer")}
    typed |= {"given.pedal": "firm", "given.level": "between", "given.handbrake": "holds"}
    typed |= {
        f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions if item.code not in unticked
    }
    typed = {a: text for a, text in typed.items() if not a.startswith(without or ("?",))}
    typed |= facts or {}
    checked = validate(PROCEDURE, typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def words(found: Assessment) -> str:
    said = " ".join(sentence.text for sentence in (*found.customer, *found.technician))
    return said.replace("\xa0", " ")


def also(found: Assessment) -> list[str]:
    return [item.pattern for item in found.also]


# --- what must not be said --------------------------------------------------------------------


def test_outer_pads_alone_say_nothing_of_the_inner_ones() -> None:
    found = brakes(without=tuple(f"pads.{code}.inner" for code in CORNERS))
    assert found.pattern == "undecided"
    assert "the inner one too" in words(found)


def test_a_thin_outer_pad_counts_even_if_the_inner_was_not_seen() -> None:
    found = brakes({"pads.fl.outer": "1.8 mm"}, without=("pads.fl.inner",))
    assert (found.pattern, found.where) == ("lining_thin", ("fl",))


def test_a_disc_without_its_mark_gets_no_verdict() -> None:
    found = brakes({"discs.fl.thickness": "9 mm"})
    assert found.verdict("discs.fl.thickness").outcome == "no_limit"
    assert found.pattern == "nothing_unusual"
    assert "without it there is no limit to judge by" in words(found)


@pytest.mark.parametrize(
    ("facts", "address"),
    [
        ({"pads.fl.inner": "3.0 mm"}, "pads.fl.inner"),
        ({"discs.fl.thickness": "22.0 mm"}, "discs.fl.thickness"),
        ({"around.fl.at_3": "22.0 mm"}, "around.fl.at_3"),
    ],
)
def test_at_a_limit_doubt_is_treated_as_reached(facts: dict[str, str], address: str) -> None:
    found = brakes({"marks.front.disc_min": "22.0 mm", **facts})
    assert (found.pattern, found.where) == ("at_limit", ("fl",))
    assert "measure better, or treat it as reached" in verdict_words(found.verdict(address))


def test_fluid_too_close_to_tell_is_treated_as_reached() -> None:
    found = brakes({"given.asked_class": "dot4", "given.boiling": "158 °C"})
    assert found.verdict("given.boiling").outcome == "cannot_tell"
    assert found.pattern == "fluid_boils_low"
    assert "should be treated as reached, and renewed" in words(found)


@pytest.mark.parametrize("strip", ["low", "middle", "high"])
def test_a_strip_only_sorts_out(strip: str) -> None:
    found = brakes({"given.strip": strip})
    assert found.pattern == "nothing_unusual"
    assert "fluid_not_judged" in found.confounders
    assert "a boiling point decides" in words(found)


def test_a_boiling_point_without_a_class_is_not_judged() -> None:
    found = brakes({"given.boiling": "120 °C"})
    assert found.verdict("given.boiling").outcome == "no_limit"
    assert "read the cap" in words(found)


def test_what_was_not_looked_at_is_told_to_the_customer() -> None:
    found = brakes(without=("given.pedal",), unticked=("looked",))
    assert (
        "Not looked at: thickness of all discs or drums, brake fluid, pedal, hoses and pipes"
        in (words(found))
    )


def test_an_unticked_dial_does_not_weaken_a_lining() -> None:
    unticked = ("inside_lip", "seated")
    found = brakes({"pads.fl.inner": "1.5 mm"}, unticked=unticked)
    assert not {"over_lip", "not_seated"} & set(found.confounders)
    found = brakes({"discs.fl.thickness": "23 mm", "discs.fl.run_out": "0.08"}, unticked=unticked)
    assert {"over_lip", "not_seated"} <= set(found.confounders)


def test_a_limit_kept_for_the_car_is_not_called_usual_when_it_is_passed() -> None:
    kept = ChosenLimit("discs.*.hub", None, 0.02, Source("maker", "sheet for this car"))
    found = brakes({"discs.fl.hub": "0.06 mm"}, context=replace(TESTED, limits=(kept,)))
    assert found.pattern == "undecided"
    assert found.outside


# --- linings ----------------------------------------------------------------------------------


def test_the_form_opens_with_two_pads_at_each_wheel() -> None:
    pads = layout(PROCEDURE, TESTED).grids[0]
    for row in pads.rows:
        assert [s.field.key for s in row.slots if not s.field.finer] == ["inner", "outer"]


def test_the_thinnest_pad_counts() -> None:
    found = brakes({"pads.rr.inner": "2.0 mm"})
    assert (found.pattern, found.where) == ("lining_thin", ("rr",))
    assert "rear right 2.0 mm" in words(found)


def test_the_mark_on_the_pad_goes_before_common_practice() -> None:
    facts = {"pads.fl.inner": "2.9 mm", "pads.fl.outer": "2.9 mm"}
    facts |= {"pads.fr.inner": "2.9 mm", "pads.fr.outer": "2.9 mm"}
    assert brakes(facts).pattern == "at_limit"
    marked = brakes({**facts, "marks.front.pad_min": "2.0 mm"})
    assert marked.pattern == "nothing_unusual"
    assert marked.verdict("pads.fl.inner").source.tag == "maker"


@pytest.mark.parametrize("facts", [{"pads.fl.metal": "yes"}, {"pads.fl.inner": "0.3 mm"}])
def test_metal_on_metal_is_not_driven(facts: dict[str, str]) -> None:
    found = brakes(facts)
    assert (found.pattern, found.where) == ("lining_gone", ("fl",))
    assert PROCEDURE.pattern("lining_gone").driving.code == "do_not_drive"
    assert "should not be driven" in words(found)


def test_unlike_pads_are_named_within_a_calliper_and_across_an_axle() -> None:
    inside = brakes({"pads.fl.inner": "4.5 mm", "pads.fr.inner": "4.5 mm"})
    assert (inside.pattern, inside.where) == ("uneven", ("fl", "fr"))
    across = brakes({"pads.rl.inner": "4.8 mm", "pads.rl.outer": "4.9 mm"})
    assert (across.pattern, across.where) == ("uneven", ("rl", "rr"))


def test_a_thin_lining_does_not_hide_a_disc_at_its_mark() -> None:
    facts = {"marks.front.disc_min": "22.0 mm", "discs.fl.thickness": "22.0 mm"}
    found = brakes({**facts, "pads.fl.inner": "1.8 mm", "pads.fl.outer": "1.9 mm"})
    assert found.pattern == "lining_thin"
    assert "at_limit" in also(found)


# --- discs and drums --------------------------------------------------------------------------


def test_the_mark_on_the_disc_is_the_limit() -> None:
    found = brakes({"marks.front.disc_min": "22.0 mm", "discs.fl.thickness": "21.8 mm"})
    assert (found.pattern, found.where) == ("beyond_mark", ("fl",))
    assert found.verdict("discs.fl.thickness").source.text == "mark on the part"


def test_one_thin_point_round_the_disc_is_enough() -> None:
    facts = {"marks.front.disc_min": "22.0 mm", "discs.fl.thickness": "22.4 mm"}
    found = brakes({**facts, "around.fl.at_2": "21.9 mm"})
    assert "beyond_mark" in (found.pattern, *also(found))
    assert found.figure("disc_left_fl").value == pytest.approx(-0.1)


def test_a_calliper_over_a_lip_is_known_less_well_than_a_micrometer() -> None:
    facts = {"marks.front.disc_min": "22.0 mm"}
    by_micrometer = brakes({**facts, "discs.fl.thickness": "22.2 mm"})
    by_calliper = brakes({**facts, "discs.fl.calliper": "22.2 mm"})
    assert by_micrometer.pattern == "nothing_unusual"
    assert by_calliper.pattern == "at_limit"
    assert "inside the lip decides" in words(by_calliper)


def test_the_hub_comes_before_a_second_disc() -> None:
    found = brakes({"discs.fl.run_out": "0.09 mm"})
    assert found.pattern == "run_out"
    assert "measure the hub's face before any second disc" in words(found)
    known = brakes({"discs.fl.run_out": "0.09 mm", "discs.fl.hub": "0.06 mm"})
    assert "hub's face alone runs out by 0.06 mm" in words(known)


def around(*points: str, corner: str = "fl") -> dict[str, str]:
    return {f"around.{corner}.{key}": text for key, text in zip(AROUND, points, strict=False)}


def test_a_micrometer_to_a_hundredth_cannot_tell_fifteen_thousandths() -> None:
    found = brakes(around("23.62", "23.63", "23.64", "23.63"))
    assert found.verdict("figure.varies_fl").outcome == "cannot_tell"
    assert "reads to a thousandth" in words(found)


def test_a_micrometer_to_a_thousandth_can() -> None:
    context = replace(TESTED, instruments={"micrometer": FINE})
    rough = brakes(around("23.620", "23.635", "23.645", "23.630"), context=context)
    even = brakes(around("23.620", "23.622", "23.624", "23.621"), context=context)
    assert rough.pattern == "thickness_varies"
    assert even.verdict("figure.varies_fl").outcome == "within"


def test_one_point_has_no_variation() -> None:
    assert brakes(around("23.62")).figure("varies_fl") is None


DRUMS = {"marks.rear.drum_max": "229.5 mm", "drums.rl.lining": "3 mm", "drums.rr.lining": "3 mm"}


def test_drums_at_the_rear_ask_for_no_pads_there() -> None:
    found = brakes(DRUMS, without=("pads.rl", "pads.rr"))
    assert (found.pattern, found.missing) == ("nothing_unusual", ())


def test_handbrake_shoes_inside_a_disc_leave_its_pads_in_charge() -> None:
    found = brakes({"drums.rl.lining": "3 mm"}, without=("pads.rl.inner",))
    assert (found.pattern, found.missing) == ("undecided", ("pads.rl.inner",))


def test_a_drum_is_judged_by_its_larger_diameter() -> None:
    facts = {**DRUMS, "drums.rl.diameter": "229.0 mm", "drums.rl.diameter_2": "229.9 mm"}
    found = brakes(facts, without=("pads.rl", "pads.rr"))
    assert (found.pattern, found.where) == ("beyond_mark", ("rl",))
    assert found.figure("oval_rl").value == pytest.approx(0.9)


def test_thin_shoes_count_like_thin_pads() -> None:
    found = brakes({**DRUMS, "drums.rl.lining": "1.0 mm"}, without=("pads.rl", "pads.rr"))
    assert found.pattern == "lining_thin"


# --- fluid, pedal, hoses ----------------------------------------------------------------------


@pytest.mark.parametrize("code", list(FLUIDS))
def test_each_class_is_held_against_its_own_wet_limit(code: str) -> None:
    wet = FLUIDS[code].wet_c
    low = brakes({"given.asked_class": code, "given.boiling": f"{wet - 12} °C"})
    high = brakes({"given.asked_class": code, "given.boiling": f"{wet + 12} °C"})
    assert (low.pattern, high.pattern) == ("fluid_boils_low", "nothing_unusual")


@pytest.mark.parametrize(
    ("asked", "filled", "pattern"),
    [
        ("dot4", "dot5", "fluid_class"),
        ("dot5", "dot4", "fluid_class"),
        ("dot4", "dot3", "fluid_class"),
        ("dot3", "dot4", "nothing_unusual"),
        ("dot4", "dot51", "nothing_unusual"),
    ],
)
def test_silicone_or_a_lower_class_does_not_belong_in_it(
    asked: str, filled: str, pattern: str
) -> None:
    found = brakes({"given.asked_class": asked, "given.filled_class": filled})
    assert found.pattern == pattern


@pytest.mark.parametrize("pedal", [code for code in PEDAL if code not in ("firm", "pulses")])
def test_a_pedal_that_is_not_firm_is_not_driven(pedal: str) -> None:
    found = brakes({"given.pedal": pedal})
    assert found.pattern == "pedal_not_firm"
    assert PROCEDURE.pattern(found.pattern).driving.code == "do_not_drive"


@pytest.mark.parametrize(
    ("address", "value", "pattern"),
    [
        ("pads.fl.hose", "bulged", "hose_or_leak"),
        ("pads.fl.hose", "wet", "hose_or_leak"),
        ("pads.fl.piston", "wet", "hose_or_leak"),
        ("drums.fl.wet", "yes", "hose_or_leak"),
        ("pads.fl.hose", "cracked", "hose_cracked"),
        ("pads.fl.slides", "stiff", "sticking"),
        ("pads.fl.piston", "seized", "sticking"),
        ("discs.fl.look", "cracked", "disc_cracked"),
        ("given.handbrake", "sticks", "sticking"),
        ("given.handbrake", "none", "handbrake_weak"),
        ("given.level", "low", "fluid_low"),
        ("given.boiled", "yes", "fluid_boiled"),
    ],
)
def test_what_was_seen_is_named(address: str, value: str, pattern: str) -> None:
    assert brakes({address: value}).pattern == pattern


def test_danger_leads_over_wear() -> None:
    found = brakes({"pads.fl.inner": "1.5 mm", "pads.fr.hose": "bulged", "given.level": "low"})
    assert found.pattern == "hose_or_leak"
    assert {"lining_thin", "fluid_low"} <= set(also(found))


def test_do_not_drive_stands_where_pressure_or_lining_is_lost() -> None:
    advised = {p.code for p in PROCEDURE.patterns if p.driving and p.driving.code == "do_not_drive"}
    assert advised == {
        "lining_gone",
        "hose_or_leak",
        "fluid_boiled",
        "pedal_not_firm",
        "disc_cracked",
    }


# --- chart, cautions, laws --------------------------------------------------------------------


def test_the_chart_puts_the_outer_pad_outside_on_both_sides() -> None:
    found = brakes()
    labels = [[point["label"] for point in panel["points"]] for panel in found.chart["panels"]]
    assert labels == [["outer", "inner"], ["inner", "outer"]] * 2
    before = brakes({"pads.fl.inner": "3.5 mm"}).chart
    assert parsed(chart.draw(found.chart, earlier=before)) is not None


def test_cautions_name_what_hurts() -> None:
    plain = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for word in ("Pump the pedal", "Rated stands", "asbestos", "eats paint", "Never mix classes"):
        assert word in plain
    assert "Regenerative" not in plain
    hybrid = Context(car=Car(high_voltage=True))
    assert any("Regenerative" in caution.danger for caution in PROCEDURE.cautions_for(hybrid))


def test_common_practice_is_marked_and_never_gives_a_disc_a_limit() -> None:
    for limit in PROCEDURE.limits:
        grid, _, column = limit.address.partition(".")
        if column.endswith("run_out"):
            assert limit.source is not None and limit.source.tag == "C"
        elif grid in ("discs", "around"):
            assert limit.bounds is not None
            assert limit.bounds(Context(), validate(PROCEDURE, {}, TESTED).readings, None) is None


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 150), st.integers(1, 30))
def test_more_lining_is_never_judged_worse(tenths: int, more: int) -> None:
    order = ("lining_gone", "lining_thin", "at_limit", "uneven", "nothing_unusual")
    before, after = (
        brakes({f"pads.{c}.{k}": f"{t / 10} mm" for c in CORNERS for k in ("inner", "outer")})
        for t in (tenths, tenths + more)
    )
    assert order.index(before.pattern) <= order.index(after.pattern)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 400), st.integers(2000, 2400), st.integers(100, 300))
def test_units_change_no_verdict(pad: int, disc: int, boils: int) -> None:
    facts = {
        "pads.fl.inner": f"{pad / 10} mm",
        "marks.front.disc_min": "22.0 mm",
        "discs.fl.thickness": f"{disc / 100} mm",
        "given.asked_class": "dot4",
        "given.boiling": f"{boils} °C",
    }
    outcomes = {
        tuple(
            (verdict.address, verdict.outcome)
            for verdict in brakes(facts, context=replace(TESTED, units=system)).verdicts
        )
        for system in ("metric", "imperial", "us")
    }
    assert len(outcomes) == 1


MEASURED = [
    f"{grid.key}.{row}.{column.key}"
    for grid in PROCEDURE.grids
    for row in (CORNERS if grid.key != "marks" else ("front", "rear"))
    for column in grid.columns
    if isinstance(column, Quantity)
]


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from([*MEASURED, "given.boiling"]),
        st.sampled_from(["0", "0.05", "3", "8.2", "22", "230", "<2", ">3", "-", "OL"]),
    ),
    st.sampled_from(["", *PEDAL]),
)
def test_anything_typed_gets_an_answer(typed: dict[str, str], pedal: str) -> None:
    checked = validate(PROCEDURE, {**typed, "given.pedal": pedal}, TESTED)
    found = assess(PROCEDURE, checked.readings, TESTED)
    assert found.customer and found.technician
    if found.pattern == "nothing_unusual":
        assert not found.outside
        assert not any(v.safety and v.outcome == "cannot_tell" for v in found.verdicts)
