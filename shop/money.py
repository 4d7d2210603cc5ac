"""Sums of money: whole minor units and a currency code. Rounding is half up, away from nought."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import total_ordering

from django.utils.translation import gettext as _

MOST_MINOR = 10**12
_LONGEST_TYPED = 40
_MINUS = ("-", "\u2212")
_SIGNS = (*_MINUS, "+")
_SUM = re.compile(r"[-\u2212+]?[0-9][0-9.,'\u2019 \u00a0\u202f]*")

# Minor units by ISO 4217 (from memory of its table A.1; the tests hold it against the library's
# data). A table of our own, since stored whole numbers must not change their meaning with it.
_EXPONENTS = {
    **dict.fromkeys(
        (
            "BIF",
            "CLP",
            "DJF",
            "GNF",
            "ISK",
            "JPY",
            "KMF",
            "KRW",
            "PYG",
            "RWF",
            "UGX",
            "VND",
            "VUV",
            "XAF",
            "XOF",
            "XPF",
        ),
        0,
    ),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
}


class MoneyError(ValueError):
    """Something that cannot be done with sums of money."""


class CurrencyMismatch(MoneyError):
    """Two currencies in one sum."""

    def __init__(self, one: str, other: str) -> None:
        super().__init__(
            _("%(one)s and %(other)s can't be added or compared.") % {"one": one, "other": other}
        )


class CurrencyUnknown(MoneyError):
    """Not the shape of a currency code."""

    def __init__(self, code: str) -> None:
        super().__init__(
            _("“%(code)s” is no currency code. Three letters, as in EUR.") % {"code": code[:20]}
        )


class AmountError(MoneyError):
    """A typed sum that is not understood; `readings` are the sums it may have meant, as typed."""

    readings: tuple[str, ...] = ()


class NotAnAmount(AmountError):
    """No number at all, or one with foreign signs."""

    def __init__(self, typed: str, currency: str) -> None:
        super().__init__(
            _(
                "“%(typed)s” is no sum in %(currency)s. Digits with one comma or point, as in "
                "%(example)s."
            )
            % {
                "typed": typed[:_LONGEST_TYPED],
                "currency": currency,
                "example": Money(15000, currency).typed(),
            }
        )


class AmountAmbiguous(AmountError):
    """Separators that can be read in more than one way, or that group thousands."""

    def __init__(self, typed: str, readings: tuple[str, ...]) -> None:
        self.readings = readings
        super().__init__(
            _("“%(typed)s” can be misread. Type %(readings)s.")
            % {"typed": typed[:_LONGEST_TYPED], "readings": _(" or ").join(readings)}
        )


class AmountTooFine(AmountError):
    """More decimals than the currency has."""

    def __init__(self, typed: str, currency: str) -> None:
        super().__init__(
            _("“%(typed)s” has more decimals than %(currency)s, which has %(places)d.")
            % {"typed": typed[:_LONGEST_TYPED], "currency": currency, "places": exponent(currency)}
        )


class AmountOutside(AmountError):
    """Below nought, or more than can be meant."""

    def __init__(self, typed: str, currency: str) -> None:
        super().__init__(
            _("“%(typed)s” is outside 0 to %(most)s %(currency)s.")
            % {
                "typed": typed[:_LONGEST_TYPED],
                "currency": currency,
                "most": Money(MOST_MINOR, currency).typed(),
            }
        )


def exponent(currency: str) -> int:
    """How many decimals a currency has: 2 for EUR, 0 for JPY, 3 for KWD (ISO 4217)."""
    return _EXPONENTS.get(currency, 2)


@total_ordering
@dataclass(frozen=True)
class Money:
    """A sum in whole minor units (cents). Arithmetic only within one currency."""

    minor: int
    currency: str

    def __post_init__(self) -> None:
        if isinstance(self.minor, bool) or not isinstance(self.minor, int):
            raise TypeError(f"minor units are whole numbers, not {self.minor!r}")
        if not re.fullmatch(r"[A-Z]{3}", self.currency):
            raise CurrencyUnknown(self.currency)

    @classmethod
    def of(cls, amount: Decimal | int, currency: str) -> Money:
        """A sum out of whole units and decimals, rounded half up to the minor unit."""
        return cls(_half_up(Decimal(amount).scaleb(exponent(currency))), currency)

    @property
    def amount(self) -> Decimal:
        """The sum in whole units, with the currency's decimals."""
        return Decimal(self.minor).scaleb(-exponent(self.currency))

    def __add__(self, other: Money) -> Money:
        return Money(self.minor + self._same(other), self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.minor - self._same(other), self.currency)

    def __neg__(self) -> Money:
        return Money(-self.minor, self.currency)

    def __mul__(self, factor: int | Decimal) -> Money:
        """Times a quantity, rounded half up; floats are refused, since they round by themselves."""
        if isinstance(factor, bool) or not isinstance(factor, (int, Decimal)):
            return NotImplemented
        return Money(_half_up(self.minor * Decimal(factor)), self.currency)

    __rmul__ = __mul__

    def __lt__(self, other: Money) -> bool:
        return self.minor < self._same(other)

    def typed(self) -> str:
        """The sum as somebody would type it into a form: 150.00."""
        return f"{self.amount:.{exponent(self.currency)}f}"

    def show(self, locale: str = "en") -> str:
        """The sum with its currency, as a reader of `locale` writes it."""
        from babel import Locale
        from babel.numbers import format_currency, get_currency_symbol

        # The locale's own pattern with the decimals of our table in place of the usual two.
        places = exponent(self.currency)
        reader = Locale.parse(locale, sep="-")
        pattern = reader.currency_formats["standard"].pattern
        pattern = pattern.replace("0.00", "0." + "0" * places if places else "0")
        if pattern.startswith("¤#") and get_currency_symbol(self.currency, reader)[-1].isalpha():
            pattern = pattern.replace("¤", "¤\u00a0", 1)
        return format_currency(
            self.amount, self.currency, pattern, locale=reader, currency_digits=False
        )

    def _same(self, other: Money) -> int:
        if not isinstance(other, Money):
            raise TypeError(f"{other!r} is no sum of money")
        if other.currency != self.currency:
            raise CurrencyMismatch(self.currency, other.currency)
        return other.minor


def parse_amount(typed: str, currency: str) -> Money:
    """A sum out of typed text: Latin digits, at most one comma or point as the decimal sign.

    The currency's own code or sign may stand beside it. A separator that may group thousands
    is refused with the readings offered. Raises an AmountError.

    >>> parse_amount("150,5", "EUR").minor
    15050
    """
    text = _without_currency(typed, currency)
    if len(text) > _LONGEST_TYPED or not _SUM.fullmatch(text):
        raise NotAnAmount(typed, currency)
    sign, digits = (text[0], text[1:]) if text[0] in _SIGNS else ("", text)
    separators = re.findall(r"[^0-9]", digits)
    places = exponent(currency)
    if len(separators) > 1 or (separators and separators[0] not in ".,"):
        raise AmountAmbiguous(typed, _readings(digits, separators, places))
    if separators:
        whole, fraction = digits.split(separators[0])
        if not fraction:
            raise NotAnAmount(typed, currency)
        if len(fraction) == 3 != places:
            raise AmountAmbiguous(typed, _readings(digits, separators, places))
        if len(fraction) > places:
            raise AmountTooFine(typed, currency)
        digits = f"{whole}.{fraction}"
    if len(digits.lstrip("0")) > len(str(MOST_MINOR)) + 1 + places:
        raise AmountOutside(typed, currency)
    understood = Money.of(Decimal(digits), currency)
    if (sign in _MINUS and understood.minor) or understood.minor > MOST_MINOR:
        raise AmountOutside(typed, currency)
    return understood


def _readings(digits: str, separators: list[str], places: int) -> tuple[str, ...]:
    """What grouped figures may have meant, each as text that `parse_amount` understands."""
    whole, _last, fraction = digits.rpartition(separators[-1])
    whole_digits = re.sub(r"[^0-9]", "", whole)
    readings = []
    if separators[-1] in ".," and separators.count(separators[-1]) == 1:
        fits = fraction if len(fraction) <= places else fraction[:places]
        if fits and not fraction[len(fits) :].strip("0"):
            readings.append(f"{whole_digits}.{fits}")
    if not readings or len(fraction) == 3:
        readings.append(whole_digits + fraction)
    return tuple(readings)


def _without_currency(typed: str, currency: str) -> str:
    """The text without the currency's own code or sign before or after it."""
    text = typed.strip()
    if not text or _SUM.fullmatch(text):
        return text
    for name in (currency, currency.lower(), _symbol(currency)):
        text = text.removeprefix(name).removesuffix(name).strip()
    return text


def _symbol(currency: str) -> str:
    from babel.numbers import get_currency_symbol

    return get_currency_symbol(currency, locale="en")


def _half_up(value: Decimal) -> int:
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_UP))
