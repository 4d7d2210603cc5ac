"""The one validator: refuses, asks, lists what is missing, loses nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context, Engine
from measurements.core.instruments import Instrument
from measurements.core.instruments import Span as Range
from measurements.core.judging import assess, conclude, judge
from measurements.core.procedure import (
    MAKER_FIRST,
    UNDECIDED,
    Caution,
    Choice,
    Code,
    Count,
    Date,
    DeclarationError,
    Effort,
    Fixed,
    Flag,
    Grid,
    Limit,
    Odometer,
    OfCar,
    Pairs,
    Pattern,
    Precondition,
    Procedure,
    Quantity,
    Row,
    RowOf,
    Series,
    Source,
    Text,
)
from measurements.core.readings import Readings, layout, validate

PRESSURE = Quantity(
    key="kpa",
    label="pressure",
    quantity="gauge_pressure",
    possible=(-50.0, 250.0),
    likely=(0.0, 160.0),
    instrument="pressure_tester",
    needed=True,
)
TIME = Quantity(key="at", label="time", quantity="time", possible=(0.0, 86_400.0), unit="min")


def _assess(readings: Readings, context: Context) -> Assessment:
    return conclude(
        BENCH, readings, context, pattern="undecided", verdicts=judge(BENCH, readings, context)
    )


BENCH = Procedure(
    name="bench",
    title="Bench",
    version=1,
    group="test",
    purpose="p",
    proves_nothing_when="n",
    cautions=(Caution("d", "t", "a"), MAKER_FIRST),
    effort=Effort(1),
    assess=_assess,
    patterns=(Pattern("quiet", "quiet", sound=True), UNDECIDED),
    sentences={},
    preconditions=(Precondition("level", "Car stands level"),),
    given=(
        Choice(key="cap", label="cap", choices={"on": "cap fitted", "off": "cap off"}, needed=True),
        Flag(key="wet", label="carpet wet"),
        Count(key="drops", label="drops", high=50),
        Code(key="code", label="code", pattern="[PBCU][0-9A-F]{4}", example="P0128"),
        Date(key="day", label="day"),
        Odometer(key="odometer", label="odometer"),
        Text(key="note", label="note", longest=20),
    ),
    grids=(
        Grid("hold", "Hold", Series(TIME, planned=(0.0, 300.0), most=4), (PRESSURE,)),
        Grid(
            "plugs",
            "Plugs",
            OfCar("cylinders"),
            (
                Quantity(
                    key="gap",
                    label="gap",
                    quantity="length",
                    possible=(0.0, 5.0),
                    instrument="feeler_gauge",
                ),
            ),
        ),
        Grid("corners", "Corners", OfCar("corners"), (Count(key="nuts", label="nuts", high=12),)),
        Grid("axles", "Axles", OfCar("axles"), (Flag(key="seen", label="seen"),)),
        Grid(
            "ends",
            "Ends",
            Fixed((Row("front", "front"), Row("back", "back", optional=True))),
            (
                Quantity(
                    key="ohm",
                    label="ohms",
                    quantity="resistance",
                    possible=(0.0, 1e9),
                    instrument="ohmmeter",
                    needed=True,
                ),
            ),
        ),
    ),
    limits=(
        Limit("ends.*.ohm", high=5.0, source=Source("C", "common practice")),
        Limit("corners.*.nuts", low=5, source=Source("S", "a rule"), safety=True),
    ),
)


def checked(typed: dict[str, Any], **context: Any):
    return validate(BENCH, typed, Context(**context))


def fault(typed: dict[str, Any]) -> str:
    found = checked(typed).faults
    assert len(found) == 1, found
    return found[0].text


def test_nothing_typed_is_taken_and_lists_what_is_missing() -> None:
    result = checked({})
    assert result.ok
    assert "given.cap" in result.missing
    assert "ends.front.ohm" in result.missing
    assert "ends.back.ohm" not in result.missing


def test_blank_counts_as_not_given() -> None:
    assert checked({"given.cap": "  ", "ends.front.ohm": ("", "Ω")}).readings.by_address == {}


@pytest.mark.parametrize(
    ("address", "text", "value"),
    [
        ("given.cap", "on", "on"),
        ("given.cap", "Cap Fitted", "on"),
        ("given.wet", "no", False),
        ("given.wet", "YES", True),
        ("given.drops", "7", 7),
        ("given.code", "p0128", "P0128"),
        ("given.day", "2025-03-31", "2025-03-31"),
        ("given.odometer", "84512", 84512.0),
        ("given.odometer", "100 mi", 160.9344),
        ("given.note", " damp ", "damp"),
    ],
)
def test_each_kind_of_field_takes(address: str, text: str, value: object) -> None:
    assert checked({address: text}).readings.value(address) == value


@pytest.mark.parametrize(
    ("address", "text", "says"),
    [
        ("given.cap", "half", "none of: cap fitted, cap off"),
        ("given.wet", "maybe", "neither yes nor no"),
        ("given.drops", "51", "from 0 to 50"),
        ("given.drops", "2.5", "whole number"),
        ("given.code", "X1", "for instance P0128"),
        ("given.day", "31.3.2025", "write it like 2025-03-31"),
        ("given.day", "2025-02-30", "is no day"),
        ("given.odometer", "84.512", "84512 or 84.5120"),
        ("given.note", "x" * 21, "at most 20"),
        ("given.note", "a\x00b", "unprintable character (U+0000) at position 2"),
        ("hold.s1.kpa", "400", "from −50 kPa to 250 kPa"),
        ("nowhere.s1.kpa", "4", "no field"),
        ("hold.s9.kpa", "4", "no field"),
        ("plugs.c5.gap", "0.8", "no field"),
    ],
)
def test_what_is_impossible_is_refused_with_what_is_allowed(
    address: str, text: str, says: str
) -> None:
    assert says in fault({address: text}).replace("\u00a0", " ")
    assert checked({address: text}).readings.get(address) is None


@pytest.mark.parametrize("entry", [7, 1.5, None, True, ["1", 2], ["1", "2", "3"], {}])
def test_only_text_is_taken(entry: Any) -> None:
    assert not checked({"hold.s1.kpa": entry}).ok


def test_a_form_can_be_made_of_anything_typed() -> None:
    made = layout(BENCH, Context(), {"hold.s1.kpa": 7, "hold.s3.kpa": ("9", "kPa"), "x": None})
    assert len(made.grids[0].rows) == 3


def test_a_choice_by_its_label_decides_the_rows_too() -> None:
    from measurements.procedures.voltage_drop import PROCEDURE

    typed = {"given.path": "Alternator case to battery −", "path.strap.drop": "0.1"}
    result = validate(PROCEDURE, typed, Context())
    assert result.ok
    assert result.readings.rows("path")[1].label == "engine block to body"
    assert layout(PROCEDURE, Context(), typed).grids[0].rows[1].label == "engine block to body"


def test_a_row_named_by_hand_is_called_by_its_name() -> None:
    from measurements.procedures.voltage_drop import PROCEDURE

    typed = {"given.path": "accessory_feed", "path.r1.name": "fuse 12", "path.r1.drop": "0.1"}
    reading = validate(PROCEDURE, typed, Context()).readings.get("path.r1.drop")
    assert reading is not None and reading.label == "fuse 12, drop"


def test_the_refused_text_is_kept_in_its_fault() -> None:
    found = checked({"hold.s1.kpa": "4oo"}).faults[0]
    assert (found.kind, found.typed) == ("refused", "4oo")


def test_what_is_improbable_asks_and_stands() -> None:
    result = checked({"hold.s1.kpa": "200"})
    assert result.ok
    assert result.readings.value("hold.s1.kpa") == 200.0
    assert result.faults[0].kind == "asks"
    assert result.faults_at("hold.s1.kpa") == result.faults


def test_a_likely_meaning_is_proposed() -> None:
    typed = {"given.path": "starter_ground", "path.case.drop": "19"}
    from measurements.procedures.voltage_drop import PROCEDURE

    found = validate(PROCEDURE, typed, Context()).faults[0]
    assert found.meant == "19 mV"
    assert "Did you mean 19 mV?" in found.text


def test_cylinders_come_from_the_car() -> None:
    car = Car(engine=Engine("v", 6))
    made = layout(BENCH, Context(car=car))
    assert [row.row.code for row in made.grids[1].rows] == ["c1", "c2", "c3", "c4", "c5", "c6"]
    assert len(made.grids[2].rows) == 4
    assert [row.label for row in made.grids[3].rows] == ["front axle", "rear axle"]


def test_a_planned_time_stands_in_and_can_be_typed_over() -> None:
    plan = checked({"hold.s2.kpa": "90"}).readings.rows("hold")[1]
    typed = checked({"hold.s2.kpa": "90", "hold.s2.at": "4.5"}).readings.rows("hold")[1]
    assert (plan.value("at"), typed.value("at")) == (300.0, 270.0)
    slots = {slot.address: slot for slot in layout(BENCH, Context()).slots}
    assert (slots["hold.s2.at"].default, slots["hold.s2.at"].unit) == ("5", "min")


def test_time_must_rise() -> None:
    result = checked(
        {
            "hold.s1.kpa": "90",
            "hold.s2.kpa": "89",
            "hold.s2.at": "0",
            "hold.s3.at": "10",
            "hold.s3.kpa": "88",
        }
    )
    assert [f.address for f in result.faults] == ["hold.s2.at"]
    assert "is not later" in result.faults[0].text


def test_rows_are_added_as_they_are_typed_and_no_further_than_the_most() -> None:
    assert len(checked({"hold.s4.kpa": "80"}).readings.rows("hold")) == 4
    made = layout(BENCH, Context(), more={"hold": 9})
    assert (len(made.grids[0].rows), made.grids[0].can_add) == (4, False)
    assert layout(BENCH, Context()).grids[0].can_add


def test_a_begun_optional_row_must_be_finished() -> None:
    assert "hold.s3.kpa" in checked({"hold.s3.at": "10"}).missing


@pytest.mark.parametrize(
    ("text", "outcome"),
    [
        ("OL", "outside"),
        (">10", "outside"),
        (">1", "cannot_tell"),
        ("<1", "within"),
        ("0.5", "within"),
        ("9.0", "outside"),
    ],
)
def test_statuses_are_judged(text: str, outcome: str) -> None:
    context = Context()
    readings = validate(BENCH, {"ends.front.ohm": text}, context).readings
    verdict = assess(BENCH, readings, context).verdict("ends.front.ohm")
    assert verdict is not None and verdict.outcome == outcome


def test_not_measured_is_kept_and_gets_no_verdict() -> None:
    context = Context()
    readings = validate(BENCH, {"ends.front.ohm": "-"}, context).readings
    reading = readings.get("ends.front.ohm")
    assert reading is not None and reading.status == "not_measured"
    assert assess(BENCH, readings, context).verdict("ends.front.ohm") is None
    assert "ends.front.ohm" not in readings.missing


def test_counts_are_judged_without_uncertainty() -> None:
    context = Context()
    readings = validate(BENCH, {"corners.fl.nuts": "4"}, context).readings
    verdict = assess(BENCH, readings, context).verdict("corners.fl.nuts")
    assert verdict is not None
    assert (verdict.outcome, verdict.u, verdict.safety) == ("outside", 0, True)


def test_unticked_preconditions_are_known() -> None:
    assert checked({}).readings.unticked == ("level",)
    assert checked({"ready.level": "no"}).readings.unticked == ("level",)
    assert checked({"ready.level": "yes"}).readings.unticked == ()


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("95", "95 kPa ± 5"),
        ("OL", "overload"),
        ("-", "not measured"),
        (">200", "more than 200 kPa"),
    ],
)
def test_as_understood(text: str, shown: str) -> None:
    reading = checked({"hold.s1.kpa": text}).readings.get("hold.s1.kpa")
    assert reading is not None and reading.understood.replace("\u00a0", " ") == shown


@pytest.mark.parametrize(
    ("address", "text", "shown"),
    [
        ("given.cap", "on", "cap fitted"),
        ("given.wet", "true", "yes"),
        ("given.drops", "7", "7"),
        ("given.code", "p0128", "P0128"),
    ],
)
def test_what_is_shown_is_words_and_no_code(address: str, text: str, shown: str) -> None:
    reading = checked({address: text}).readings.get(address)
    assert reading is not None and reading.understood == shown


def test_a_slot_is_called_by_row_and_column() -> None:
    labels = {slot.address: slot.full_label for slot in layout(BENCH, Context()).slots}
    assert labels["plugs.c2.gap"] == "cylinder 2, gap"
    assert labels["given.cap"] == "cap"


def test_a_shop_in_psi_types_and_sees_psi() -> None:
    reading = checked({"hold.s1.kpa": "15"}, units="us").readings.get("hold.s1.kpa")
    assert reading is not None and reading.value == pytest.approx(103.42, abs=0.01)
    assert "psi" in reading.understood


def test_a_coarse_note_widens_the_uncertainty() -> None:
    meter = Instrument("ohmmeter", "m", "±(0.9 % + 3 counts)", (Range(600, 0.1),))
    context = {"instruments": {"ohmmeter": meter}}
    fine = checked({"ends.front.ohm": "4.0"}, **context).readings.get("ends.front.ohm")
    coarse = checked({"ends.front.ohm": "4"}, **context).readings.get("ends.front.ohm")
    assert fine is not None and coarse is not None
    assert coarse.u**2 == pytest.approx(fine.u**2 + 1 / 12)


def test_handling_is_added() -> None:
    handled = replace(BENCH, handling_u={"kpa": 3.0})
    plain = checked({"hold.s1.kpa": "90"}).readings.get("hold.s1.kpa")
    wider = validate(handled, {"hold.s1.kpa": "90"}, Context()).readings.get("hold.s1.kpa")
    assert plain is not None and wider is not None
    assert wider.u**2 == pytest.approx(plain.u**2 + 9)


def test_plain_rows_for_storage() -> None:
    rows = checked({"hold.s1.kpa": "15 psi", "given.cap": "on"}).readings.to_list()
    by_address = {row["address"]: row for row in rows}
    stored = by_address["hold.s1.kpa"]
    assert (stored["row"], stored["column"], stored["typed"]) == ("s1", "kpa", "15 psi")
    assert (stored["typed_unit"], stored["status"]) == ("psi", "measured")
    assert (by_address["given.cap"]["row"], by_address["given.cap"]["column"]) == ("", "cap")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"patterns": (UNDECIDED,)}, "exactly one pattern must be marked sound"),
        ({"patterns": (Pattern("a", "a", sound=True),)}, "last pattern must be UNDECIDED"),
        ({"cautions": (Caution("d", "t"),)}, "last caution must be MAKER_FIRST"),
        ({"limits": (Limit("a.b.c"),)}, "no bound"),
        ({"limits": (Limit("a.b.c", high=1.0),)}, "no source"),
        ({"name": "Bench Test"}, "no code"),
        ({"grids": (Grid("g", "g", Row("a", "a"), ()),)}, "Row is not collected yet"),
        (
            {
                "grids": (
                    Grid(
                        "g",
                        "g",
                        Pairs(
                            RowOf(key="left", label="left", grids=("a",)),
                            RowOf(key="right", label="right", grids=("a",)),
                        ),
                        (),
                    ),
                )
            },
            "no named rows before it",
        ),
        ({"preconditions": (Precondition("x", "x", "unheard_of"),)}, "unknown confounder"),
    ],
)
def test_a_declaration_that_contradicts_itself_is_refused(
    change: dict[str, Any], says: str
) -> None:
    with pytest.raises(DeclarationError, match=says):
        replace(BENCH, **change)


def test_conclude_refuses_what_is_not_declared() -> None:
    readings = checked({}).readings
    with pytest.raises(DeclarationError, match="not declared"):
        conclude(BENCH, readings, Context(), pattern="other")
    with pytest.raises(DeclarationError, match="unknown confounder"):
        conclude(BENCH, readings, Context(), pattern="quiet", confounders=("other",))


@pytest.mark.parametrize(
    ("context", "codes"),
    [
        ({"fault_present": "yes"}, ()),
        ({"fault_present": "no"}, ("fault_absent",)),
        ({}, ("fault_unknown",)),
        (
            {"fault_present": "yes", "complaint_only_when": "hot", "state_of_car": "cold"},
            ("engine_state_other",),
        ),
        ({"fault_present": "yes", "complaint_only_when": "hot", "state_of_car": "hot"}, ()),
    ],
)
def test_what_weakens_every_test(context: dict[str, Any], codes: tuple[str, ...]) -> None:
    made = Context(**context)
    result = conclude(BENCH, checked({}).readings, made, pattern="quiet")
    assert result.confounders == codes


def test_a_good_reading_while_the_fault_is_away_is_said_to_the_customer() -> None:
    away = Context(fault_present="no")
    sound = conclude(BENCH, checked({}).readings, away, pattern="quiet")
    other = conclude(BENCH, checked({}).readings, away, pattern="undecided")
    assert "does not mean that it is gone" in sound.customer[0].text
    assert other.customer == ()


@given(
    st.dictionaries(
        st.sampled_from([slot.address for slot in layout(BENCH, Context()).slots] + ["a.b.c"]),
        st.text(max_size=12) | st.tuples(st.text(max_size=6), st.text(max_size=4)),
        max_size=8,
    )
)
def test_nothing_typed_is_ever_lost(typed: dict[str, Any]) -> None:
    """Every entry that isn't blank ends as a reading or as a fault that quotes it."""
    result = checked(typed)
    for address, entry in typed.items():
        text = entry if isinstance(entry, str) else entry[0]
        if not text.strip():
            continue
        reading = result.readings.get(address)
        quoted = [f.typed for f in result.faults if f.address == address]
        assert (reading is not None and reading.typed == text) or text in quoted
