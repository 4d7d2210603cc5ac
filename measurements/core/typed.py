"""The strict parser of what people type as a number with a unit.

One separator, comma or point, is the decimal sign of a measured quantity. Where thousands are usual
(odometer, speed, counts) a separator before exactly three digits is refused and both readings are
offered. What was typed is kept; nothing is rounded or guessed.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from measurements.core import units

Status = Literal["measured", "overload", "above", "below", "not_measured"]

LONGEST = 60
MOST_DIGITS = 15

_BODY = re.compile(r"([+\-\u2212]?) ?((?:[0-9]|[.,](?=[0-9]))[0-9.,'\u2019_ ]*)(.*)\Z", re.ASCII)
_OVERLOAD = {"ol", "o.l", "o.l.", ".ol", "0l", "0.l", "overload", "over load", "ovld"}
_NOT_MEASURED = {"-", "\u2013", "\u2014", "--", "not measured"}
_GROUPED = ("distance", "speed", "count", "rotation")


class TypedError(ValueError):
    """Something typed is not understood; `typed` keeps it."""

    def __init__(self, typed: str, says: str) -> None:
        self.typed = typed
        shown = typed if len(typed) <= 40 else typed[:37] + "..."
        super().__init__(says.format(typed=f"“{shown}”"))


class NotANumberError(TypedError):
    """No number in it."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            typed,
            "{typed} is not a number. Type digits with one comma or point, for instance 12.4; "
            "OL for overload, - for not measured.",
        )


class WrittenOtherwiseError(TypedError):
    """A number in a notation that is not taken: powers, hexadecimal, other digits, fractions."""

    def __init__(self, typed: str, what: str) -> None:
        super().__init__(
            typed, "{typed} has " + what + ". Write the number out with the digits 0 to 9."
        )


class SeparatorError(TypedError):
    """Separators that can be read in more than one way, or not at all; `readings` are offered."""

    def __init__(self, typed: str, readings: tuple[str, ...]) -> None:
        self.readings = readings
        offered = " or ".join(readings)
        says = (
            f"can be read in more than one way. Type {offered}."
            if readings
            else ("has more separators than a number has. Type one comma or point at most.")
        )
        super().__init__(typed, "{typed} " + says)


class TooLongError(TypedError):
    """More characters or digits than any reading has."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            typed,
            "{typed} is too long for a reading: at most "
            f"{MOST_DIGITS} digits and {LONGEST} characters.",
        )


class NotWholeError(TypedError):
    """A fraction where whole things are counted."""

    def __init__(self, typed: str) -> None:
        super().__init__(typed, "{typed} must be a whole number, without comma or point.")


class TypedUnitError(TypedError):
    """A unit that the quantity does not take; the message lists those that it takes."""

    def __init__(self, typed: str, fault: units.UnknownUnitError) -> None:
        super().__init__(typed, "{typed}: " + str(fault).replace("{", "(").replace("}", ")") + ".")


@dataclass(frozen=True)
class Typed:
    """What was understood.

    typed, typed_unit: exactly as entered ("" if no unit was); unit: our symbol for it;
    number: in `unit`; value: in the stored unit of the quantity; decimals: digits typed after the
    separator; digit: the last typed digit in the stored unit. For "above" and "below" number is
    the bound; for "overload" and "not_measured" it is None.
    """

    typed: str
    typed_unit: str
    unit: str
    status: Status
    number: Decimal | None
    value: float | None
    decimals: int
    digit: float


def parse(typed: str, quantity: str, unit: str = "", *, typed_unit: str = "") -> Typed:
    """Understand `typed` as a quantity.

    quantity: key of `units.QUANTITIES`; unit: what a bare number means (stored unit if empty);
    typed_unit: chosen apart from the text; a unit inside the text goes first. Raises TypedError.

    >>> parse("0,098", "voltage").value, parse("661 mV", "voltage").value
    (0.098, 0.661)
    """
    stored = units.QUANTITIES[quantity].unit
    if len(typed) > LONGEST:
        raise TooLongError(typed)
    text = " ".join(typed.replace("\u00a0", " ").replace("\u202f", " ").split())
    chosen = _symbol(typed, quantity, typed_unit) if typed_unit.strip() else unit or stored
    if text.lower() in _NOT_MEASURED:
        return Typed(typed, typed_unit, chosen, "not_measured", None, None, 0, 0.0)
    if text.lower() in _OVERLOAD:
        return Typed(typed, typed_unit, chosen, "overload", None, None, 0, 0.0)
    status: Status = "measured"
    if text[:1] in "<>" and text:
        status = "above" if text[0] == ">" else "below"
        text = text[1:].lstrip()
    number, decimals, suffix = _number(typed, text, grouped=quantity in _GROUPED)
    if quantity == "count" and decimals:
        raise NotWholeError(typed)
    if suffix:
        chosen = _symbol(typed, quantity, suffix)
    value = float(units.convert(number, quantity, chosen, stored))
    digit = float(units.convert_width(Decimal(1).scaleb(-decimals), quantity, chosen, stored))
    return Typed(typed, suffix or typed_unit, chosen, status, number, value, decimals, digit)


def with_unit(typed: str, unit: str) -> str:
    """What was typed, with the unit that was chosen apart where the text itself has none.

    >>> with_unit("1.04", "bar"), with_unit("1.04 bar", "bar")
    ('1.04 bar', '1.04 bar')
    """
    return f"{typed} {unit}".strip() if typed.strip()[-1:].isdigit() else typed


def _symbol(typed: str, quantity: str, text: str) -> str:
    try:
        return units.unit_symbol(quantity, text)
    except units.UnknownUnitError as fault:
        raise TypedUnitError(typed, fault) from fault


def _number(typed: str, text: str, *, grouped: bool) -> tuple[Decimal, int, str]:
    """Number, decimals and what follows it."""
    for sign in text:
        if sign.isdecimal() and not sign.isascii():
            raise WrittenOtherwiseError(typed, "digits of another script")
        if unicodedata.category(sign) == "No" and sign not in "²³":
            raise WrittenOtherwiseError(typed, "a fraction sign or a raised digit")
    found = _BODY.match(text)
    if found is None:
        raise NotANumberError(typed)
    minus, body, suffix = found[1], found[2].rstrip(), found[3].strip()
    if "_" in body:
        raise WrittenOtherwiseError(typed, "an underscore")
    if re.match(r"[eE][+\-\u2212]?[0-9]", suffix):
        raise WrittenOtherwiseError(typed, "a power of ten")
    if body == "0" and re.match(r"[xXoObB][0-9a-fA-F]", suffix):
        raise WrittenOtherwiseError(typed, "another base than ten")
    separators = re.findall(r"[.,'\u2019 ]", body)
    if sum(figure.isdigit() for figure in body) > MOST_DIGITS:
        raise TooLongError(typed)
    decimals = 0
    if separators:
        last = max(body.rfind(separator) for separator in ".,'\u2019 ")
        decimals = len(body) - last - 1
        if len(separators) > 1 or separators[0] not in ".,":
            raise SeparatorError(typed, _offers(minus, body, grouped))
        if decimals == 0:
            raise NotANumberError(typed)
        if grouped and decimals == 3:
            raise SeparatorError(typed, _offers(minus, body, grouped))
    number = Decimal(body.replace(",", ".").replace(" ", ""))
    return (-number if minus in ("-", "\u2212") and number else number), decimals, suffix


def _offers(minus: str, body: str, grouped: bool) -> tuple[str, ...]:
    """What somebody may have meant, each in a form that is taken."""
    groups = re.split(r"[.,'\u2019 ]", body)
    separators = re.findall(r"[.,'\u2019 ]", body)
    whole = f"{minus}{''.join(groups)}"
    broken = f"{minus}{''.join(groups[:-1]) or '0'}.{groups[-1]}"
    if grouped and len(groups[-1]) == 3:
        broken += "0"
    thousands = all(len(group) == 3 for group in groups[1:])
    if len(separators) == 1:
        return (whole, broken) if separators[0] in ".," else (whole,) if thousands else ()
    if len(set(separators)) == 1:
        return (whole,) if thousands else ()
    inner = separators[:-1]
    if len(set(inner)) == 1 and all(len(group) == 3 for group in groups[1:-1]):
        return (broken,) if separators[-1] in ".," and groups[-1] else ()
    return ()
