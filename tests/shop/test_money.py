"""Sums of money: what may be typed, arithmetic, rounding, and how they are shown."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.money import (
    MOST_MINOR,
    AmountAmbiguous,
    AmountError,
    AmountOutside,
    AmountTooFine,
    CurrencyMismatch,
    CurrencyUnknown,
    Money,
    NotAnAmount,
    exponent,
    parse_amount,
)


@pytest.mark.parametrize(
    ("typed", "currency", "minor"),
    [
        ("150", "EUR", 15000),
        ("150,00", "EUR", 15000),
        ("150.5", "EUR", 15050),
        (" 0 ", "EUR", 0),
        ("-0", "EUR", 0),
        ("007", "EUR", 700),
        ("150 €", "EUR", 15000),
        ("€150", "EUR", 15000),
        ("EUR 150", "EUR", 15000),
        ("150", "JPY", 150),
        ("1.234", "KWD", 1234),
        ("1", "KWD", 1000),
        ("10000000000", "EUR", 10**12),
    ],
)
def test_a_plain_sum_is_understood(typed, currency, minor):
    assert parse_amount(typed, currency) == Money(minor, currency)


@pytest.mark.parametrize(
    ("typed", "currency", "readings"),
    [
        ("1 234.50", "EUR", ("1234.50",)),
        ("1.234,50", "EUR", ("1234.50",)),
        ("1,234.50", "EUR", ("1234.50",)),
        ("1.234", "EUR", ("1234",)),
        ("150,000", "EUR", ("150.00", "150000")),
        ("1,234,567", "EUR", ("1234567",)),
        ("1 234", "EUR", ("1234",)),
        ("1'234", "CHF", ("1234",)),
        ("1,234", "JPY", ("1234",)),
        ("1,234.567", "KWD", ("1234.567", "1234567")),
    ],
)
def test_a_sum_that_can_be_misread_is_refused_with_its_readings(typed, currency, readings):
    with pytest.raises(AmountAmbiguous) as refused:
        parse_amount(typed, currency)
    assert refused.value.readings == readings
    assert typed in str(refused.value)
    assert all(reading in str(refused.value) for reading in readings)
    for reading in readings:
        parse_amount(reading, currency)


@pytest.mark.parametrize(
    "typed",
    [
        "",
        " ",
        "-",
        ".",
        ",",
        "NaN",
        "inf",
        "1e3",
        "0x1F",
        "1_000",
        "٣",
        "１５０",
        "½",
        "150,",
        ".5",
        "150 $",
        "one",
        "9" * 4400,
        "1\x00",
        "5-",
    ],
)
def test_what_is_no_sum_is_refused(typed):
    with pytest.raises(NotAnAmount):
        parse_amount(typed, "EUR")


def test_more_decimals_than_the_currency_has_are_refused():
    with pytest.raises(AmountTooFine, match=r"12\.3456"):
        parse_amount("12.3456", "EUR")
    with pytest.raises(AmountTooFine, match="which has 0"):
        parse_amount("12.5", "JPY")


@pytest.mark.parametrize("typed", ["-5", "\u22125", "10000000000.01", "9" * 30])
def test_a_sum_below_nought_or_beyond_meaning_is_refused(typed):
    with pytest.raises(AmountOutside, match="outside 0 to"):
        parse_amount(typed, "EUR")


@given(st.text(max_size=30), st.sampled_from(["EUR", "JPY", "KWD"]))
def test_typed_text_gives_a_sum_or_an_amount_error_and_nothing_else(typed, currency):
    try:
        understood = parse_amount(typed, currency)
    except AmountError as refused:
        assert str(refused)
    else:
        assert 0 <= understood.minor <= MOST_MINOR


@given(st.integers(0, MOST_MINOR), st.sampled_from(["EUR", "USD", "JPY", "KWD"]))
def test_what_a_form_shows_is_understood_when_it_comes_back(minor, currency):
    money = Money(minor, currency)
    assert parse_amount(money.typed(), currency) == money


def test_sums_of_two_currencies_do_not_mix():
    with pytest.raises(CurrencyMismatch, match="EUR and USD"):
        Money(1, "EUR") + Money(1, "USD")
    with pytest.raises(CurrencyMismatch):
        Money(1, "EUR") < Money(1, "USD")  # noqa: B015
    assert Money(1, "EUR") != Money(1, "USD")


def test_rounding_is_half_up_away_from_nought():
    assert Money(5, "EUR") * Decimal("0.5") == Money(3, "EUR")
    assert Money(-5, "EUR") * Decimal("0.5") == Money(-3, "EUR")
    assert Money.of(Decimal("0.125"), "EUR") == Money(13, "EUR")


def test_a_float_is_refused_in_arithmetic():
    with pytest.raises(TypeError):
        Money(100, "EUR") * 1.5
    with pytest.raises(TypeError):
        Money(1.0, "EUR")


def test_a_currency_has_a_code_of_three_letters():
    with pytest.raises(CurrencyUnknown, match="euro"):
        Money(1, "euro")


@pytest.mark.parametrize(
    ("money", "locale", "shown"),
    [
        (Money(123450, "EUR"), "en", "€1,234.50"),
        (Money(123450, "EUR"), "de", "1.234,50\u00a0€"),
        (Money(1500, "JPY"), "en", "¥1,500"),
        (Money(1234, "KWD"), "de", "1,234\u00a0KWD"),
        (Money(100, "CHF"), "de-CH", "CHF\u00a01.00"),
        (Money(1234, "KWD"), "en", "KWD\u00a01.234"),
        (Money(-4500, "USD"), "en", "-$45.00"),
        (Money(10**12, "EUR"), "en", "€10,000,000,000.00"),
    ],
)
def test_a_sum_is_shown_as_its_reader_writes_it(money, locale, shown):
    assert money.show(locale) == shown


def test_decimals_of_currencies_agree_with_unicode_cldr_for_those_in_use():
    """Unicode CLDR through babel; it follows ISO 4217 for these, and custom for a few others."""
    from babel.numbers import get_currency_precision

    for currency in (
        "EUR",
        "USD",
        "GBP",
        "CHF",
        "SEK",
        "PLN",
        "CAD",
        "AUD",
        "JPY",
        "KRW",
        "ISK",
        "CLP",
        "VND",
        "KWD",
        "BHD",
        "OMR",
        "TND",
        "JOD",
    ):
        assert exponent(currency) == get_currency_precision(currency), currency


def test_the_invoice_example_is_reached_by_this_rounding():
    """Constructed example: lines rounded half up, 8.25 % once on the taxable parts and core."""
    parts = Money(18995, "USD") + 2 * Money(749, "USD")
    core = Money(4500, "USD")
    labour = Decimal("1.7") * Money(11800, "USD")
    fee = Money(650, "USD")
    tax = (parts + core) * Decimal("0.0825")
    assert tax == Money(2062, "USD")
    assert parts + core + labour + fee + tax == Money(47765, "USD")
