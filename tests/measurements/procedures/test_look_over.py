"""The look round: what must not be said first, then what each sight leads to, and the drawing."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core import chart
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.readings import layout
from measurements.core.run_file import run_data
from measurements.procedures.look_over import (
    FLUIDS,
    PARTS,
    PROCEDURE,
    SHORT,
    STATES,
    TRACES,
    pattern_of,
)
from tests.measurements.svg import SVG, parsed

ROWS = {grid.key: [row.code for row in grid.axis.rows] for grid in PROCEDURE.grids}
LISTS = [f"given.{grid}_looked" for grid in ROWS]
CLEAN = dict.fromkeys(LISTS, "all")
READY = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
PLACES = [(grid, row) for grid, rows in ROWS.items() for row in rows]
UNUSUAL = [
    (grid, row, state)
    for grid, row in PLACES
    for state in STATES[grid]
    if state not in ("nothing", "absent")
]


def looked(typed: dict[str, Any], **context: Any) -> Assessment:
    data = {"typed": {**READY, **typed}, "context": {"fault_present": "yes", **context}}
    return run_data(PROCEDURE, data).assessment


def said(found: Assessment) -> str:
    return " ".join(sentence.text for sentence in (*found.customer, *found.technician))


# --- what must not be said --------------------------------------------------------------------


@pytest.mark.parametrize("address", LISTS)
def test_one_list_left_out_keeps_the_rest_from_being_called_usual(address: str) -> None:
    found = looked({key: state for key, state in CLEAN.items() if key != address})
    assert (found.pattern, found.missing) == ("undecided", (address,))
    assert looked({**CLEAN, address: "part"}).pattern == "undecided"


@pytest.mark.parametrize("grid", ROWS)
def test_a_list_looked_at_in_part_counts_once_each_of_its_places_is_marked(grid: str) -> None:
    marked = {f"{grid}.{row}.seen": "nothing" for row in ROWS[grid]}
    assert looked({**CLEAN, f"given.{grid}_looked": "part", **marked}).pattern == "nothing_seen"
    marked.popitem()
    assert looked({**CLEAN, f"given.{grid}_looked": "part", **marked}).pattern == "undecided"


def test_what_was_not_looked_at_is_named_to_the_customer() -> None:
    found = looked({"parts.belt.seen": "worn"})
    named = [s.params["rows"] for s in found.customer if s.id == "customer.lacking"]
    assert named and "brake fluid" in named[0] and not re.search(r"\bbelt\b", named[0])


def test_a_usual_look_says_what_it_did_not_cover() -> None:
    assert "Brakes, tyres and steering were not part" in said(looked(CLEAN))


def test_what_a_car_has_not_got_is_no_gap() -> None:
    absent = {
        "parts.belt.seen": "absent",
        "fluids.oil.seen": "absent",
        "fluids.fuel.seen": "absent",
    }
    found = looked(CLEAN | absent)
    assert found.pattern == "nothing_seen"
    scope = [s.params["rows"] for s in found.customer if s.id == "customer.scope"]
    assert scope and not re.search(r"\bbelt\b|engine oil", scope[0])


@pytest.mark.parametrize("hidden", ["dirt", "wet", "dark", "covers"])
def test_what_hid_a_part_weakens_only_a_usual_look_and_is_told(hidden: str) -> None:
    found = looked({**CLEAN, "given.hidden": hidden})
    assert found.confounders == ("hidden",)
    assert PROCEDURE.confounder("hidden").only_sound
    assert any(sentence.id == "customer.hidden" for sentence in found.customer)


def test_a_look_after_washing_says_so() -> None:
    found = looked({**CLEAN, "ready.before_washing": ""})
    assert found.confounders == ("washed",)


@pytest.mark.parametrize(("grid", "row", "state"), UNUSUAL)
def test_no_sight_is_a_word_on_a_person_or_on_the_quality_of_work(
    grid: str, row: str, state: str
) -> None:
    found = looked({f"{grid}.{row}.seen": state})
    told = " ".join(sentence.text for sentence in found.customer)
    blame = r"neglect|careless|botch|badly|poor(ly)? (work|done)|previous garage|sloppy|your fault"
    assert not re.search(blame, told, re.IGNORECASE)


# --- what a sight leads to --------------------------------------------------------------------


@pytest.mark.parametrize(("grid", "row", "state"), UNUSUAL)
def test_every_unusual_sight_has_a_pattern_seen_directly(grid: str, row: str, state: str) -> None:
    found = looked({f"{grid}.{row}.seen": state})
    assert found.pattern == pattern_of(row, state)
    assert found.where == (row,)
    assert PROCEDURE.pattern(found.pattern).direct


@pytest.mark.parametrize("row", SHORT)
@pytest.mark.parametrize("state", ["nothing", "absent"])
def test_nothing_unusual_and_not_fitted_are_no_sight(row: str, state: str) -> None:
    assert pattern_of(row, state) == ""


@pytest.mark.parametrize("danger", ["fuel", "brake"])
@pytest.mark.parametrize(("grid", "row", "state"), UNUSUAL)
def test_fuel_and_brake_fluid_go_before_all_else(
    grid: str, row: str, state: str, danger: str
) -> None:
    found = looked({f"{grid}.{row}.seen": state, f"fluids.{danger}.second": "leak"})
    assert found.pattern in ("fuel_leak", "brake_fluid_leak")
    driving = PROCEDURE.pattern(found.pattern).driving
    assert driving is not None and driving.code == "do_not_drive"


def test_what_changes_the_search_goes_before_what_is_worn() -> None:
    found = looked({"traces.work.seen": "bonnet", "parts.belt.seen": "worn"})
    assert (found.pattern, found.also[0].pattern) == ("recent_work", "belt")


def test_two_things_at_one_place_are_both_kept() -> None:
    found = looked({"fluids.coolant.seen": "low", "fluids.coolant.second": "leak"})
    assert (found.pattern, [item.pattern for item in found.also]) == ("coolant_leak", ["level_low"])


def test_the_same_thing_said_twice_counts_once() -> None:
    found = looked({"parts.grounds.seen": "loose", "parts.grounds.second": "loose"})
    assert found.where == ("grounds",)
    assert said(found).count("Ground strap: loose or off") == 1


def test_a_second_thing_counts_where_the_first_was_left_open() -> None:
    assert looked({"parts.posts.second": "corroded"}).pattern == "posts"


def test_a_note_stands_beside_its_place() -> None:
    found = looked({"traces.work.seen": "bonnet", "traces.work.note": "two clips missing"})
    assert ("recent work", "under the bonnet", "two clips missing") in found.tables[0].rows


marks = st.fixed_dictionaries(
    {},
    optional={
        f"{grid}.{row}.{key}": st.sampled_from(sorted(STATES[grid]))
        for grid, row in PLACES
        for key in ("seen", "second")
    },
)
extents = st.dictionaries(st.sampled_from(LISTS), st.sampled_from(["all", "part"]))


@given(marks, extents)
def test_every_sight_is_told_once_and_the_lead_is_the_first_declared(
    typed: dict[str, str], extent: dict[str, str]
) -> None:
    found = looked({**typed, **extent})
    seen = {pattern_of(key.split(".")[1], state) for key, state in typed.items()} - {""}
    told = [found.pattern, *(item.pattern for item in found.also)]
    order = [pattern.code for pattern in PROCEDURE.patterns]
    if seen:
        assert set(told) == seen and told == sorted(told, key=order.index)
    else:
        whole = all(
            extent.get(f"given.{grid}_looked") == "all"
            or f"{grid}.{row}.seen" in typed
            or f"{grid}.{row}.second" in typed
            for grid, row in PLACES
        )
        assert told == ["nothing_seen" if whole else "undecided"]


# --- the form, the cautions, the drawing ------------------------------------------------------


def test_a_look_that_finds_nothing_is_a_tap_for_each_of_three_lists() -> None:
    found = looked(CLEAN)
    assert (len(LISTS), found.pattern, found.missing) == (3, "nothing_seen", ())


def test_each_place_is_one_tap_and_takes_a_photo() -> None:
    made = layout(PROCEDURE, Context())
    assert all(grid.grid.photos for grid in made.grids)
    for grid in made.grids:
        for row in grid.rows:
            tapped = [slot.field for slot in row.slots if getattr(slot.field, "chips", False)]
            assert len(tapped) == 1 and len(tapped[0].choices) <= 7
            assert all(slot.field.finer for slot in row.slots if slot.field is not tapped[0])


def test_orange_cables_are_named_on_a_high_voltage_car_only() -> None:
    def dangers(car: Car) -> str:
        return " ".join(c.danger for c in PROCEDURE.cautions_for(Context(car=car)))

    assert "Orange" in dangers(Car(high_voltage=True)) and "Orange" not in dangers(Car())


def words(svg: str) -> list[str]:
    return [element.text or "" for element in parsed(svg).iter(f"{SVG}text")]


def test_the_drawing_names_each_thing_at_its_part_of_the_car() -> None:
    drawn = looked(
        {"traces.water.seen": "boot", "parts.underneath.seen": "loose", "parts.belt.seen": "worn"}
    ).chart
    marks = {zone["label"]: zone["marks"] for zone in drawn["zones"]}
    assert marks["in the boot"] == ["water or damp"]
    assert marks["outside, beneath"] == ["underneath: loose or off"]
    assert "belt: worn, cracked, chafed" in words(chart.draw(drawn))


def test_what_only_the_earlier_look_saw_is_struck_out() -> None:
    before = looked({**CLEAN, "parts.belt.seen": "worn"}).chart
    drawn = words(chart.draw(looked(CLEAN).chart, earlier=before))
    assert "belt: worn, cracked, chafed" in drawn and "before" in drawn
    assert "before" not in words(chart.draw(looked(CLEAN).chart))


def test_everything_at_once_stays_on_the_sheet() -> None:
    worst = {
        f"{grid}.{row}.seen": state
        for grid, row in PLACES
        for state in ("worn", "odd", "outside")
        if state in STATES[grid]
    }
    svg = chart.draw(looked(worst).chart)
    height = float(parsed(svg).get("viewBox", "").split()[3])
    texts = list(parsed(svg).iter(f"{SVG}text"))
    assert max(float(text.get("y", "0")) for text in texts) < height
    assert max(float(t.get("x", "0")) + 6.3 * len(t.text or "") for t in texts) <= 320


def test_a_drawing_without_a_part_of_the_car_is_refused() -> None:
    with pytest.raises(chart.ChartError):
        chart.draw({"kind": "plan", "title": "None.", "zones": []})


def test_lists_of_states_share_the_word_for_nothing_unusual() -> None:
    assert all("nothing" in states for states in (PARTS, FLUIDS, TRACES))
