"""Telephone numbers: kept as typed, read by a library where it can, never refused."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from phonenumbers import PhoneNumber as PhoneNumberRead

_DIGITS_OF_A_WHOLE_NUMBER = 7  # an area code before a stroke has at most six
_NOTE_AFTER = re.compile(r"([\d\s+().\-/]{6,})[^\d]+")
_SIGNS_OF_A_NUMBER = re.compile(r"[\d\s+().\-/\u2010-\u2015]*")


@dataclass(frozen=True)
class PhoneNumber:
    """One number. `e164` and `link` are empty where nothing could be made of it."""

    typed: str
    e164: str
    shown: str
    digits: str
    link: str


class Noted(NamedTuple):
    """A number as typed, with whose it is, or when: "son, evenings"."""

    typed: str
    note: str = ""


def read_note(line: str) -> Noted:
    """A number and what follows its first comma. A pause in dialling, `01632 960123,,4`, is no
    note.

    >>> read_note("01632 960123, son, evenings")
    Noted(typed='01632 960123', note='son, evenings')
    """
    number, _comma, note = line.partition(",")
    if number.strip() and any(letter.isalpha() for letter in note):
        return Noted(number.strip(), note.strip())
    return Noted(line.strip())


def read_phone(typed: str, region: str) -> PhoneNumber:
    """Read a number as somebody in `region` (ISO 3166, two letters) would dial it.

    Whether a number is in use is not asked: fresh ranges and numbers of fiction are possible
    ones too. A note typed beside the number stays in what is shown.
    """
    kept = " ".join(typed.split())
    number = _parsed(kept, region)
    if number is None and (noted := _NOTE_AFTER.fullmatch(kept)):
        number = _parsed(noted.group(1), region)
    if number is None:
        digits = _latin_digits(kept)
        plus = "+" if kept.startswith("+") else ""
        alone = len(digits) >= 3 and _SIGNS_OF_A_NUMBER.fullmatch(kept)
        return PhoneNumber(typed, "", kept, digits, f"tel:{plus}{digits}" if alone else "")

    import phonenumbers
    from phonenumbers import PhoneNumberFormat as Form

    e164 = phonenumbers.format_number(number, Form.E164)
    at_home = number.country_code == phonenumbers.country_code_for_region(region.upper())
    form = Form.NATIONAL if at_home else Form.INTERNATIONAL
    shown = phonenumbers.format_number(number, form)
    if not _SIGNS_OF_A_NUMBER.fullmatch(kept) and not number.extension:
        shown = kept
    extension = f";ext={number.extension}" if number.extension else ""
    return PhoneNumber(typed, e164, shown, e164.lstrip("+"), f"tel:{e164}{extension}")


def _parsed(typed: str, region: str) -> PhoneNumberRead | None:
    """The library's reading, or None; two numbers in one field are none."""
    import phonenumbers

    if _latin_digits(typed) == "" or len(typed) > 60:
        return None
    runs = re.findall(r"[\d \-.()]+", typed)
    if sum(len(_latin_digits(run)) >= _DIGITS_OF_A_WHOLE_NUMBER for run in runs) > 1:
        return None
    try:
        number = phonenumbers.parse(typed, region.upper())
    except phonenumbers.NumberParseException:
        return None
    reason = phonenumbers.is_possible_number_with_reason(number)
    return number if reason == phonenumbers.ValidationResult.IS_POSSIBLE else None


def _latin_digits(text: str) -> str:
    return "".join(c for c in text if c.isascii() and c.isdigit())
