"""Axes beyond fixed rows: days, pairs of named rows, and every combination of two."""

from __future__ import annotations

import pytest

from measurements.core.assessment import Assessment
from measurements.core.compare import compare
from measurements.core.context import Context, EarlierRun
from measurements.core.history import dated_rows
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Dated,
    Effort,
    Fixed,
    Free,
    Grid,
    OfCar,
    Pairs,
    Pattern,
    Procedure,
    Product,
    Quantity,
    Row,
    RowOf,
    Text,
)
from measurements.core.readings import layout, validate
from measurements.core.schema import schema_of

GAP = Quantity(key="gap", label="gap", quantity="length", possible=(0, 1000), instrument="tape")
AMOUNT = Quantity(key="added", label="added", quantity="volume", possible=(0, 20))
OHMS = Quantity(key="ohms", label="ohms", quantity="resistance", possible=(0, 1e7))
NAME = Text(key="name", label="pin")


def procedure(*grids: Grid) -> Procedure:
    return Procedure(
        name="toy",
        title="Toy",
        version=1,
        group="Engine",
        purpose="To try an axis.",
        proves_nothing_when="Always.",
        cautions=(Caution("Hot.", "Let it cool.", "common practice"), MAKER_FIRST),
        effort=Effort(minutes=1),
        assess=lambda readings, context: Assessment("toy", 1, "undecided"),
        patterns=(Pattern("fine", "nothing unusual", sound=True), UNDECIDED),
        sentences={},
        grids=grids,
    )


DIARY = procedure(Grid("top", "Top-ups", Dated(opens=1), (AMOUNT,)))
WHEELS = procedure(
    Grid(
        "wheel",
        "Wheels",
        Product(
            OfCar("corners"), Fixed((Row("a", "as it stands"), Row("b", "half a turn", {}, True)))
        ),
        (GAP,),
    )
)
ENDS = {"left": RowOf(key="left", label="from", grids=("one",))} | {
    "right": RowOf(key="right", label="to", grids=("one", "two"))
}
WIRES = procedure(
    Grid("one", "Plug A", Free(), (NAME,)),
    Grid("two", "Plug B", Free(), (NAME,)),
    Grid("probe", "Probes", Pairs(**ENDS, opens=1), (OHMS,)),
)


# --- days -------------------------------------------------------------------------------------


def typed_days(*days: tuple[str, str, str]) -> dict[str, str]:
    typed = {}
    for n, (day, km, litres) in enumerate(days, start=1):
        typed |= {f"top.d{n}.date": day, f"top.d{n}.odometer": km, f"top.d{n}.added": litres}
    return typed


def test_days_of_earlier_runs_come_along_in_order() -> None:
    before = EarlierRun(
        "u1", "2026-02-01T09:00:00+00:00", typed_days(("2026-01-10", "81000", "0.4"))
    )
    context = Context(earlier=(before,), measured_on="2026-03-02")
    readings = validate(
        DIARY, typed_days(("2026-03-01", "82000", "0.2"), ("2025-12-24", "80500", "0.3")), context
    ).readings
    rows = dated_rows(DIARY, "top", readings, context)
    assert [(r.day, r.odometer_km, r.run) for r in rows] == [
        ("2025-12-24", 80500, ""),
        ("2026-01-10", 81000, "u1"),
        ("2026-03-01", 82000, ""),
    ]
    assert [row.row.value("added") for row in rows] == [0.3, 0.4, 0.2]


def test_the_same_day_noted_twice_counts_once() -> None:
    same = typed_days(("2026-01-10", "81000", "0.4"))
    context = Context(earlier=(EarlierRun("u1", "2026-02-01", same),))
    rows = dated_rows(DIARY, "top", validate(DIARY, same, context).readings, context)
    assert [row.run for row in rows] == [""]


def test_a_day_after_the_test_is_refused_and_left_out() -> None:
    checked = validate(
        DIARY, typed_days(("2026-03-03", "82000", "0.2")), Context(measured_on="2026-03-02")
    )
    (fault,) = checked.faults
    assert (fault.kind, fault.address, fault.typed) == ("refused", "top.d1.date", "2026-03-03")
    assert "after the day of this test, 2026-03-02" in fault.text
    assert checked.readings.get("top.d1.date") is None


def test_an_odometer_that_runs_backwards_is_asked_about_and_stands() -> None:
    checked = validate(
        DIARY,
        typed_days(("2026-01-10", "81000", "0.4"), ("2026-02-10", "80900", "0.2")),
        Context(measured_on="2026-03-02"),
    )
    (fault,) = checked.faults
    assert (fault.kind, fault.address) == ("asks", "top.d2.odometer")
    assert checked.readings.value("top.d2.odometer") == 80900


def test_a_day_can_be_added_up_to_the_most() -> None:
    assert [len(g.rows) for g in layout(DIARY, Context(), more={"top": 2}).grids] == [3]


def test_two_diaries_are_not_compared_row_by_row() -> None:
    one = validate(DIARY, typed_days(("2026-01-10", "81000", "0.4")), Context()).readings
    assert compare(DIARY, one, one).changes == ()


# --- pairs ------------------------------------------------------------------------------------

PINS = {"one.r1.name": "3", "one.r2.name": "4", "two.r1.name": "3"}


def test_a_probe_offers_the_pins_that_have_a_name() -> None:
    grid = layout(WIRES, Context(), PINS).grids[2]
    left, right, _ohms = grid.rows[0].slots
    assert left.field.choices == {"one.r1": "Plug A: 3", "one.r2": "Plug A: 4"}
    assert list(right.field.choices) == ["one.r1", "one.r2", "two.r1"]


@pytest.mark.parametrize("typed", ["two.r1", "plug b: 3"])
def test_an_end_is_typed_by_address_or_by_name(typed: str) -> None:
    ends = {"probe.p1.left": "one.r1", "probe.p1.right": typed, "probe.p1.ohms": "0.4"}
    readings = validate(WIRES, PINS | ends, Context()).readings
    assert readings.value("probe.p1.right") == "two.r1"
    assert readings.get("probe.p1.right").understood == "Plug B: 3"


def test_a_pin_that_was_not_named_is_refused_with_those_that_were() -> None:
    checked = validate(WIRES, PINS | {"probe.p1.left": "two.r1"}, Context())
    (fault,) = checked.faults
    assert fault.kind == "refused"
    assert "Plug A: 3, Plug A: 4" in fault.text


def test_the_schema_takes_any_pin_since_names_are_typed() -> None:
    schema = schema_of(WIRES)
    assert schema["properties"]["probe.p1.left"]["type"] == "string"
    assert "enum" not in schema["properties"]["probe.p1.left"]
    assert any(pattern.startswith("^probe\\.p") for pattern in schema["patternProperties"])


def test_a_probe_is_matched_by_its_two_ends_whichever_way_round() -> None:
    first = {"probe.p1.left": "one.r1", "probe.p1.right": "one.r2", "probe.p1.ohms": "0.4"}
    turned = {"probe.p2.left": "one.r2", "probe.p2.right": "one.r1", "probe.p2.ohms": "0.2"}
    found = compare(
        WIRES,
        validate(WIRES, PINS | first, Context()).readings,
        validate(WIRES, PINS | turned, Context()).readings,
    )
    assert [(c.before, c.after) for c in found.changes] == [(0.4, 0.2)]


def test_named_rows_are_matched_by_name_in_another_run() -> None:
    fuses = procedure(Grid("fuse", "Fuses", Free(), (NAME, OHMS)))
    before = {"fuse.r1.name": "F12", "fuse.r1.ohms": "1", "fuse.r2.name": "F3", "fuse.r2.ohms": "2"}
    after = {"fuse.r1.name": "f3", "fuse.r1.ohms": "5"}
    found = compare(
        fuses,
        validate(fuses, before, Context()).readings,
        validate(fuses, after, Context()).readings,
    )
    assert [(c.before, c.after) for c in found.changes] == [(2, 5)]


# --- combinations -----------------------------------------------------------------------------


def test_each_wheel_has_a_row_for_each_turn_and_both_facts() -> None:
    rows = layout(WHEELS, Context()).grids[0].rows
    assert [row.row.code for row in rows][:3] == ["fl_a", "fl_b", "fr_a"]
    assert len(rows) == 8
    assert rows[1].label == "front left, half a turn"
    assert (rows[1].row.facts["first"], rows[1].row.facts["second"]) == ("fl", "b")
    assert [row.row.optional for row in rows][:2] == [False, True]


def test_a_reading_of_a_combination_is_judged_at_its_own_address() -> None:
    readings = validate(WHEELS, {"wheel.rl_b.gap": "120.5"}, Context()).readings
    assert readings.rows("wheel")[5].value("gap") == 120.5


def test_two_runs_of_combinations_are_compared_row_by_row() -> None:
    before, after = (
        validate(WHEELS, {"wheel.fl_a.gap": one, "wheel.fl_b.gap": other}, Context()).readings
        for one, other in (("120", "118"), ("125", ""))
    )
    found = compare(WHEELS, before, after)
    assert [(c.address, c.change) for c in found.changes] == [("wheel.fl_a.gap", 5)]
    assert [(a.address, a.reason) for a in found.apart] == [
        ("wheel.fl_b.gap", "not measured after")
    ]
