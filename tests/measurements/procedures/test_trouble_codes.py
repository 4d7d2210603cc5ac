"""Trouble codes: nothing is put right or explained unasked; structure and time decide the rest."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from measurements.core import chart, trouble_code
from measurements.core.assessment import Assessment
from measurements.core.context import Car, Context
from measurements.core.readings import layout, validate
from measurements.core.run_file import run_data
from measurements.core.trouble_code import NotACodeError, TroubleCode, suggestion
from measurements.procedures.trouble_codes import PROCEDURE, STATUS

READY = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
ASKED = {"given.read_with": "handheld reader", "given.all_modules": "yes"}
COMPLETE = {"given.readiness": "complete"}


def listed(*entries: tuple[str, str], status: str = "stored", **columns: str) -> dict[str, str]:
    """Rows of (code, control unit)."""
    typed = {}
    for n, (code, module) in enumerate(entries, 1):
        typed |= {f"codes.r{n}.code": code, f"codes.r{n}.module": module}
        typed |= {f"codes.r{n}.status": status}
        typed |= {f"codes.r{n}.{key}": value for key, value in columns.items()}
    return {**typed, "given.found": "codes"}


def judged(typed: dict[str, str], **context: Any) -> Assessment:
    data = {"typed": {**READY, **ASKED, **typed}, "context": {"fault_present": "yes", **context}}
    return run_data(PROCEDURE, data).assessment


def said(found: Assessment) -> str:
    return " ".join(sentence.text for sentence in (*found.customer, *found.technician))


# --- an empty list ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "pattern"),
    [
        ({}, "undecided"),
        ({"given.readiness": "not_read"}, "undecided"),
        ({"given.readiness": "not_complete"}, "just_cleared"),
        ({"given.readiness": "not_read", "given.erased_before": "others"}, "just_cleared"),
        ({"given.erased_before": "shop", "given.erased_km": "99"}, "just_cleared"),
        ({"given.erased_before": "shop", "given.erased_km": "100"}, "undecided"),
        ({**COMPLETE}, "none"),
        ({**COMPLETE, "given.erased_before": "shop", "given.erased_km": "30"}, "none"),
    ],
)
def test_an_empty_list_counts_only_with_readiness_complete(
    typed: dict[str, str], pattern: str
) -> None:
    assert judged({"given.found": "none", **typed}).pattern == pattern


def test_an_empty_list_soon_after_erasing_is_weak_even_with_readiness_complete() -> None:
    found = judged({"given.found": "none", **COMPLETE, "given.erased_before": "shop"})
    assert "erased_lately" in found.confounders
    assert PROCEDURE.confounder("erased_lately").only_sound


def test_rows_left_empty_are_not_an_empty_list() -> None:
    assert judged({**COMPLETE}).pattern == "undecided"


def test_the_filler_that_says_nothing_stored_is_no_code() -> None:
    assert judged({**listed(("P0000", "engine")), **COMPLETE}).pattern == "undecided"


def test_control_units_that_were_not_asked_are_told_to_both_readers() -> None:
    found = judged({"given.found": "none", **COMPLETE, "given.all_modules": "no"})
    assert "not_all_modules" in found.confounders
    assert "Not every control unit" in said(found)
    assert "Not all control units" in said(found)


# --- structure --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("entries", "pattern"),
    [
        ([("P0300", "engine")], "one_system"),
        ([("P0301", "engine"), ("P0351", "engine")], "one_system"),
        ([("P0117", "engine"), ("P0201", "engine")], "one_system"),
        ([("P0700", "engine"), ("P0841", "gearbox")], "one_system"),
        ([("C0035", "brakes"), ("C1035", "steering")], "one_system"),
        ([("P0117", "engine"), ("P0480", "engine")], "one_module"),
        ([("P0117", "Engine "), ("P0480", "engine")], "one_module"),
        ([("P1234", "engine"), ("P1235", "engine")], "one_module"),
        ([("P2195", "engine"), ("P2503", "engine")], "one_module"),
        ([("17158", "engine")], "one_module"),
        ([("P0117", "engine"), ("B1234", "body")], "several_modules"),
        ([("U0100", "body"), ("B1234", "body")], "one_module"),
        ([("U0100", "body"), ("B1234", "doors")], "several_modules"),
        ([("U0100", "body"), ("U0100", "brakes")], "several_communication"),
        ([("U0100", "body"), ("U1113", "brakes"), ("P0562", "engine")], "several_communication"),
        ([("U0100", "body"), ("U0121", "Body")], "one_system"),
        ([("P0117", ""), ("P0480", "")], "undecided"),
        ([("P0117", ""), ("P0480", "engine")], "undecided"),
        ([("P0117", ""), ("P0110", "")], "one_system"),
    ],
)
def test_pattern_by_control_unit_and_family(entries: list[tuple[str, str]], pattern: str) -> None:
    assert judged({**listed(*entries), **COMPLETE}).pattern == pattern


def test_a_code_that_is_not_understood_keeps_one_system_from_being_said() -> None:
    found = judged({**listed(("P0301", "engine"), ("PO302", "engine")), **COMPLETE})
    assert found.pattern == "one_module"
    assert "not_understood" in found.confounders


def test_codes_on_a_list_too_young_are_said_to_be_perhaps_not_all() -> None:
    found = judged({**listed(("P0301", "engine")), "given.readiness": "not_complete"})
    assert (found.pattern, [item.pattern for item in found.also]) == (
        "one_system",
        ["just_cleared"],
    )
    assert "may not be whole" in said(found)


def test_a_code_of_the_system_voltage_weakens_the_others() -> None:
    assert "system_voltage" in judged(listed(("P0562", "engine"))).confounders
    assert "system_voltage" not in judged(listed(("P0564", "engine"))).confounders


def test_pending_codes_alone_are_weaker() -> None:
    assert "only_pending" in judged(listed(("P0301", "engine"), status="pending")).confounders
    assert "only_pending" not in judged(listed(("P0301", "engine"))).confounders


# --- what is never done unasked ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("PO562", "P0562"),
        ("p0562", "P0562"),
        ("P 0562", "P0562"),
        ("P0S62", "P0562"),
        ("u0100-00", "U0100-00"),
        ("U0100 1c", "U0100-1C"),
        ("B12341C", "B1234-1C"),
        ("0x9234", "B1234"),
        ("P056I", "P0561"),
    ],
)
def test_a_slip_of_the_pen_is_asked_about_and_stands(typed: str, meant: str) -> None:
    checked = validate(PROCEDURE, {"codes.r1.code": typed}, Context())
    (fault,) = checked.faults
    assert (fault.kind, fault.address, fault.meant) == ("asks", "codes.r1.code", meant)
    assert checked.ok
    assert checked.readings.value("codes.r1.code") == typed
    assert typed in said(judged(listed((typed, "engine"))))


@pytest.mark.parametrize("typed", ["17158", "P4562", "P056", "X0562", "P0562 low", "2A87F", "E"])
def test_what_is_no_code_and_no_slip_stands_without_an_offer(typed: str) -> None:
    assert suggestion(typed) == ""
    (fault,) = validate(PROCEDURE, {"codes.r1.code": typed}, Context()).faults
    assert (fault.kind, fault.meant) == ("asks", "")


def test_a_code_in_the_standards_form_is_not_asked_about() -> None:
    for typed in ("P0562", "U0100-00", "B1234"):
        assert not validate(PROCEDURE, {"codes.r1.code": typed}, Context()).faults


def test_no_code_is_given_a_meaning_and_the_customer_hears_that_it_names_no_part() -> None:
    found = judged({**listed(("P0117", "engine"), ("P0480", "engine")), **COMPLETE})
    assert not any(word in said(found).lower() for word in ("sensor low", "thermostat", "replace"))
    assert any("does not name a part" in sentence.text for sentence in found.customer)


def test_erasing_without_consent_and_without_freeze_frames_is_said() -> None:
    bare = said(judged(listed(("P0301", "engine"), erased="yes")))
    assert "yes is not noted" in bare
    assert "no freeze frame is noted" in bare
    noted = {"given.consent": "yes", "given.frames_saved": "yes"}
    kept = said(judged({**listed(("P0301", "engine"), erased="yes"), **noted}))
    assert "is not noted" not in kept
    assert "no freeze frame" not in kept


def test_a_reading_after_a_jump_start_is_weak_whatever_it_shows() -> None:
    found = judged({**listed(("P0301", "engine")), "ready.first": ""})
    assert "read_late" in found.confounders
    assert not PROCEDURE.confounder("read_late").only_sound


def test_cautions_put_reading_first_and_ask_before_erasing() -> None:
    words = " ".join(f"{c.danger} {c.text}" for c in PROCEDURE.cautions_for(Context()))
    for part in ("before the battery comes off", "customer's yes", "inspection", "second person"):
        assert part in words
    assert any(caution.reader == "customer" for caution in PROCEDURE.cautions)
    hybrid = PROCEDURE.cautions_for(Context(car=Car(high_voltage=True)))
    assert any("hybrid" in caution.danger for caution in hybrid)


def test_key_on_wakes_the_car_so_resting_tests_come_before() -> None:
    assert set(PROCEDURE.spoils) == {"battery_at_rest", "parasitic_draw"}


# --- tables and chart -------------------------------------------------------------------------


def test_the_table_takes_each_code_apart() -> None:
    found = judged({**listed(("P0562", "engine"), ("B1234-1C", "body"), ("17158", "radio"))})
    rows = found.tables[0].rows
    assert rows[0][1:8] == (
        "P0562",
        "stored",
        "powertrain",
        "the standard, alike for all makes",
        "vehicle speed, idle, auxiliary inputs",
        "–",
        "05 62",
    )
    assert rows[1][3:8] == (
        "body",
        "the car maker: make, model and year needed",
        "–",
        "1C",
        "92 34 1C",
    )
    assert rows[2][3] == "not in the standard's form"


def test_freeze_frame_values_stand_as_typed_and_a_lacking_unit_is_named() -> None:
    frame = {"frame.voltage.value": "14,1", "frame.load.value": "83", "frame.load.unit": "%"}
    more = {"more.r1.name": "gear", "more.r1.value": "3rd"}
    found = judged({**listed(("P0301", "engine")), **frame, **more})
    assert found.tables[1].rows == (
        ("load", "83", "%"),
        ("voltage", "14,1", "not noted"),
        ("gear", "3rd", "not noted"),
    )
    assert "No unit noted in the freeze frame for: voltage, gear." in said(found)
    assert not found.verdicts


def test_the_chart_has_a_row_for_each_control_unit_and_strikes_out_what_went() -> None:
    before = judged(listed(("P0562", "engine"), ("P0480", "engine"), ("C0035", "brakes"))).chart
    after = judged(listed(("P0562", "engine"), status="pending")).chart
    assert [row["label"] for row in before["rows"]] == ["engine", "brakes"]
    assert after["rows"] == [{"label": "engine", "marks": [{"label": "P0562", "firm": False}]}]
    svg = chart.draw(after, earlier=before)
    assert all(code in svg for code in ("P0562", "P0480", "C0035", "brakes"))
    assert ">before<" in svg
    assert ">before<" not in chart.draw(after)


def test_rows_without_a_name_are_called_codes() -> None:
    labels = [row.label for row in layout(PROCEDURE, Context()).grids[0].rows]
    assert labels == ["code 1", "code 2", "code 3"]


# --- laws -------------------------------------------------------------------------------------


@given(st.integers(0, 0xFFFF), st.one_of(st.none(), st.integers(0, 0xFF)))
def test_bytes_and_text_go_there_and_back(number: int, failure: int | None) -> None:
    code = TroubleCode(number, failure)
    assert trouble_code.read(code.text) == code
    assert trouble_code.from_bytes(code.raw) == code
    assert suggestion(code.text) == ""
    assert suggestion(code.text.lower()) == (code.text if code.text.lower() != code.text else "")


@given(st.text(max_size=20))
def test_any_text_is_a_code_or_refused_and_an_offer_is_always_a_code(text: str) -> None:
    try:
        assert trouble_code.read(text).text == text
    except NotACodeError as refusal:
        assert str(refusal)
    offered = suggestion(text)
    if offered:
        assert trouble_code.read(offered).text == offered


@pytest.mark.parametrize("raw", [b"", b"\x05", b"\x05\x62\x00\x00"])
def test_other_lengths_are_no_code(raw: bytes) -> None:
    with pytest.raises(NotACodeError):
        trouble_code.from_bytes(raw)


_CODES = st.one_of(
    st.builds(lambda number: TroubleCode(number).text, st.integers(0, 0xFFFF)),
    st.text(min_size=1, max_size=8, alphabet="PCBUO0123456789 -x"),
)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(_CODES, st.sampled_from(["", "engine", "brakes", "Engine"])), max_size=8),
    st.sampled_from(sorted(STATUS)),
    st.sampled_from(["codes", "none", "no_answer", ""]),
    st.sampled_from(["complete", "not_complete", "not_read", ""]),
    st.sampled_from(["metric", "us"]),
)
def test_any_list_gets_an_answer_without_a_verdict(
    entries: list[tuple[str, str]], status: str, found: str, readiness: str, units: str
) -> None:
    typed = {**listed(*entries, status=status), "given.found": found}
    result = judged({**typed, "given.readiness": readiness}, units=units)
    assert result.customer
    assert result.technician
    assert not result.verdicts
    if result.pattern == "none":
        assert readiness == "complete"
    if result.chart:
        assert chart.draw(result.chart).startswith("<svg")


@given(st.permutations([("P0117", "engine"), ("B1234", "body"), ("U0100", "brakes")]))
def test_the_order_of_codes_decides_nothing(entries: list[tuple[str, str]]) -> None:
    assert judged(listed(*entries)).pattern == "several_modules"
