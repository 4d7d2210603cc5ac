"""What people type as numbers: one meaning or none."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measurements.core import units
from measurements.core.typed import (
    NotANumberError,
    NotWholeError,
    SeparatorError,
    TooLongError,
    TypedError,
    TypedUnitError,
    WrittenOtherwiseError,
    parse,
)


@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [
        ("0,098", "voltage", 0.098),
        ("0.098", "voltage", 0.098),
        ("661 mV", "voltage", 0.661),
        ("661mV", "voltage", 0.661),
        (".5", "voltage", 0.5),
        ("-0.12", "voltage", -0.12),
        ("−0,12", "voltage", -0.12),
        ("+3", "voltage", 3.0),
        (" 12.4 ", "voltage", 12.4),
        ("12.4\u00a0V", "voltage", 12.4),
        ("1.234", "voltage", 1.234),
        ("1,234", "voltage", 1.234),
        ("15 psi", "gauge_pressure", 103.421359),
        ("1 bar", "gauge_pressure", 100.0),
        ("212 F", "temperature", 100.0),
        ("20 ºC", "temperature", 20.0),
        ("3 \u2126", "resistance", 3.0),
        ("3 Ω", "resistance", 3.0),
        ("5 μΩ", "resistance", 5e-6),
        ("5 µohm", "resistance", 5e-6),
        ("4 kohm", "resistance", 4000.0),
        ("1 MΩ", "resistance", 1e6),
        ("1 US qt", "volume", 0.946353),
        ("84512", "distance", 84512.0),
        ("84512,3", "distance", 84512.3),
        ("2000", "rotation", 2000.0),
        ("5 min", "time", 300.0),
        ("12 Nm", "torque", 12.0),
        ("4/32", "length", 3.175),
        ("2/32 in", "length", 1.5875),
    ],
)
def test_understood(text: str, quantity: str, value: float) -> None:
    found = parse(text, quantity)
    assert (found.status, found.typed) == ("measured", text)
    assert found.value == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "quantity", "error"),
    [
        ("", "voltage", NotANumberError),
        (".", "voltage", NotANumberError),
        ("NaN", "voltage", NotANumberError),
        ("inf", "voltage", NotANumberError),
        ("-Infinity", "voltage", NotANumberError),
        ("null", "voltage", NotANumberError),
        ("12.", "voltage", NotANumberError),
        ("--5", "voltage", NotANumberError),
        ("> ", "voltage", NotANumberError),
        ("12..4", "voltage", SeparatorError),
        ("1e5", "voltage", WrittenOtherwiseError),
        ("1E+2", "voltage", WrittenOtherwiseError),
        ("1e-400", "voltage", WrittenOtherwiseError),
        ("1_000", "voltage", WrittenOtherwiseError),
        ("0x1F", "voltage", WrittenOtherwiseError),
        ("٣٫٥", "voltage", WrittenOtherwiseError),
        ("１２", "voltage", WrittenOtherwiseError),
        ("2½", "voltage", WrittenOtherwiseError),
        ("10⁵", "voltage", WrittenOtherwiseError),
        ("1.234,5", "voltage", SeparatorError),
        ("1 234", "voltage", SeparatorError),
        ("1'234", "voltage", SeparatorError),
        ("1.234", "distance", SeparatorError),
        ("1,234", "speed", SeparatorError),
        ("12,400", "rotation", SeparatorError),
        ("1.234", "count", SeparatorError),
        ("9" * 40, "voltage", TooLongError),
        ("9" * 4400, "voltage", TooLongError),
        ("12 MV", "voltage", TypedUnitError),
        ("12 psi", "voltage", TypedUnitError),
        ("10**10**10 V", "voltage", TypedUnitError),
        ("12 V V", "voltage", TypedUnitError),
        ("12\u202eV", "voltage", TypedUnitError),
        ("12{0}", "voltage", TypedUnitError),
        ("3.5", "count", NotWholeError),
    ],
)
def test_refused(text: str, quantity: str, error: type[TypedError]) -> None:
    with pytest.raises(error) as refusal:
        parse(text, quantity)
    assert refusal.value.typed == text
    assert text[:30].strip() in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "status", "value"),
    [
        ("OL", "overload", None),
        ("ol", "overload", None),
        ("O.L", "overload", None),
        (".OL", "overload", None),
        ("-", "not_measured", None),
        ("–", "not_measured", None),
        ("not measured", "not_measured", None),
        (">100", "above", 100.0),
        ("> 100 kΩ", "above", 1e5),
        ("<0,1", "below", 0.1),
    ],
)
def test_statuses(text: str, status: str, value: float | None) -> None:
    found = parse(text, "resistance")
    assert (found.status, found.value) == (status, value)


def test_digits_typed_are_evidence() -> None:
    assert (parse("12.40", "voltage").decimals, parse("12.40", "voltage").digit) == (2, 0.01)
    assert parse("661 mV", "voltage").digit == pytest.approx(0.001)
    assert parse("12.40", "voltage").number == Decimal("12.40")


def test_nought_has_no_sign() -> None:
    assert str(parse("-0", "voltage").number) == "0"


def test_unit_in_the_text_goes_before_the_chosen_one() -> None:
    assert parse("661 mV", "voltage", typed_unit="V").value == pytest.approx(0.661)
    assert parse("661", "voltage", typed_unit="mV").value == pytest.approx(0.661)
    assert parse("20", "voltage", "mV").value == pytest.approx(0.020)


def test_both_readings_are_offered_and_each_is_taken() -> None:
    with pytest.raises(SeparatorError) as refusal:
        parse("84.512", "distance")
    readings = [parse(offer, "distance").value for offer in refusal.value.readings]
    assert readings == [84512.0, 84.512]


@pytest.mark.parametrize(
    "text", ["1.234,5", "1 234", "1.234.567", "1'234,50", "12,345.678", "1.2.3"]
)
def test_every_offer_is_taken(text: str) -> None:
    for quantity in ("voltage", "distance"):
        with pytest.raises(SeparatorError) as refusal:
            parse(text, quantity)
        for offer in refusal.value.readings:
            assert parse(offer, quantity).value is not None


def test_unknown_unit_lists_the_known() -> None:
    with pytest.raises(TypedUnitError, match="use V, mV, kV"):
        parse("12 furlong", "voltage")


def test_gauge_and_absolute_are_two_quantities() -> None:
    assert parse("15 psig", "gauge_pressure").value == pytest.approx(103.42, abs=0.01)
    with pytest.raises(TypedUnitError):
        parse("15 psia", "gauge_pressure")
    assert units.absolute_kpa(100, units.STANDARD_ATMOSPHERE_KPA) == pytest.approx(201.325)


@given(
    st.decimals(min_value=-(10**6), max_value=10**6, allow_nan=False, places=4),
    st.sampled_from([".", ","]),
)
def test_plain_decimals_come_through_exactly(number: Decimal, separator: str) -> None:
    found = parse(str(number).replace(".", separator), "voltage")
    assert found.number == number
    assert found.value == float(number)


@given(st.text(max_size=70), st.sampled_from(sorted(units.QUANTITIES)))
def test_any_text_is_understood_or_refused_in_words(text: str, quantity: str) -> None:
    try:
        found = parse(text, quantity)
    except TypedError as refusal:
        assert str(refusal)
    else:
        assert found.typed == text


@given(st.sampled_from(sorted(units.QUANTITIES)), st.data())
def test_units_go_there_and_back(quantity: str, data: st.DataObject) -> None:
    symbols = sorted(units.QUANTITIES[quantity].units)
    first, second = data.draw(st.sampled_from(symbols)), data.draw(st.sampled_from(symbols))
    value = data.draw(st.decimals(min_value=-1000, max_value=1000, places=3))
    there = units.convert(value, quantity, first, second)
    assert float(units.convert(there, quantity, second, first)) == pytest.approx(
        float(value), abs=1e-9
    )


@pytest.mark.parametrize("quantity", sorted(units.QUANTITIES))
def test_every_spelling_leads_to_a_unit_that_converts(quantity: str) -> None:
    kind = units.QUANTITIES[quantity]
    for spelling in [*kind.units, *kind.aliases]:
        symbol = units.unit_symbol(quantity, spelling)
        assert units.convert(1, quantity, symbol, kind.unit) is not None
    for system in ("metric", "us", "imperial"):
        assert units.shop_unit(quantity, system) in kind.units


@pytest.mark.parametrize(
    ("value", "u", "quantity", "system", "digit", "shown"),
    [
        (0.661, 0.0036, "voltage", "metric", 0.001, "0.661 V ± 0.007"),
        (0.661, 0.0036, "voltage", "metric", 0.0, "0.6610 V ± 0.0072"),
        (100.0, 2.0, "gauge_pressure", "us", 0.0, "14.50 psi ± 0.58"),
        (100.0, 1.0, "temperature", "us", 0.0, "212.0 °F ± 3.6"),
        (7.0, 0.0, "count", "metric", 0.0, "7"),
        (-0.5, 0.0, "voltage", "metric", 0.0, "−0.5 V"),
        (14.3, 0.0, "voltage", "metric", 0.01, "14.30 V"),
    ],
)
def test_shown_to_a_person(
    value: float, u: float, quantity: str, system: str, digit: float, shown: str
) -> None:
    assert units.show(value, u, quantity, system, digit).replace("\u00a0", " ") == shown
