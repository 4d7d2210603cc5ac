"""Trouble codes by their structure alone; no code is given a meaning here.

Letter, digit 0 to 3, three hexadecimal digits: two bytes, after SAE J2012 / ISO 15031-6:2015. A
third byte may tell the kind of failure, shown as two more digits: U0100-00. Scope of the standard
and the owners of its ranges as quoted by others (seen); bits and groups of P0 from memory.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Letter = Literal["P", "C", "B", "U"]
Owner = Literal["standard", "maker", "shared", "reserved"]

LETTERS: tuple[Letter, ...] = ("P", "C", "B", "U")
"""By the number in the two highest bits."""

SYSTEMS: Mapping[Letter, str] = {
    "P": "powertrain",
    "C": "chassis",
    "B": "body",
    "U": "network",
}

OWNERS: Mapping[Owner, str] = {
    "standard": "the standard, alike for all makes",
    "maker": "the car maker: make, model and year needed",
    "shared": "the standard or the maker, by range",
    "reserved": "reserved, no one yet",
}
"""Who gives a code its meaning, in words."""

_FUEL_AND_AIR = "fuel and air"
_GROUPS: Mapping[int, tuple[str, str]] = {
    0x0: (_FUEL_AND_AIR, "fuel and air metering, auxiliary emission controls"),
    0x1: (_FUEL_AND_AIR, "fuel and air metering"),
    0x2: (_FUEL_AND_AIR, "fuel and air metering, injectors"),
    0x3: ("ignition", "ignition or misfire"),
    0x4: ("emission control", "auxiliary emission controls"),
    0x5: ("speed, idle and inputs", "vehicle speed, idle, auxiliary inputs"),
    0x6: ("control unit", "control unit and its outputs"),
    0x7: ("transmission", "transmission"),
    0x8: ("transmission", "transmission"),
    0x9: ("transmission", "transmission"),
}
"""Second digit of P0 codes -> family and group (from memory). Others are not divided here."""

SYSTEM_VOLTAGE = frozenset(range(0x0560, 0x0564))
"""P0560 to P0563, system voltage (from memory)."""

_WRITTEN = re.compile(r"([PCBU])([0-3])([0-9A-F]{3})(?:-([0-9A-F]{2}))?", re.ASCII)
_LOOSE = re.compile(r"([PCBU])([0-9A-Z]{4})(?:-?([0-9A-Z]{2}))?", re.ASCII)
_BYTES = re.compile(r"0X([0-9A-F]{4})-?([0-9A-F]{2})?", re.ASCII)
_LOOK_ALIKE = str.maketrans({"O": "0", "I": "1", "L": "1", "S": "5", "Z": "2"})


class NotACodeError(ValueError):
    """Something that has not the form of a code; the message shows the form."""

    def __init__(self, typed: str) -> None:
        self.typed = typed
        super().__init__(f"{typed[:40]!r} is no trouble code; one looks like P0562 or U0100-00")


@dataclass(frozen=True)
class TroubleCode:
    """A code. number: its two bytes, 0 to 0xFFFF; failure_type: the third byte, or None."""

    number: int
    failure_type: int | None = None

    def __post_init__(self) -> None:
        for value, most in ((self.number, 0xFFFF), (self.failure_type or 0, 0xFF)):
            if not 0 <= value <= most:
                raise NotACodeError(f"{value:#x}")

    @property
    def letter(self) -> Letter:
        """Letter of its system."""
        return LETTERS[self.number >> 14]

    @property
    def digit(self) -> int:
        """First digit, 0 to 3."""
        return self.number >> 12 & 0b11

    @property
    def text(self) -> str:
        """As the standard writes it: P0562, or U0100-00 with a kind of failure.

        >>> TroubleCode(0x9234).text, TroubleCode(0xC100, 0).text
        ('B1234', 'U0100-00')
        """
        bare = f"{self.letter}{self.digit}{self.number & 0xFFF:03X}"
        return bare if self.failure_type is None else f"{bare}-{self.failure_type:02X}"

    @property
    def raw(self) -> bytes:
        """Two bytes, three with a kind of failure, as a control unit sends them."""
        two = self.number.to_bytes(2, "big")
        return two if self.failure_type is None else two + bytes([self.failure_type])

    @property
    def system(self) -> str:
        """Its system in a word."""
        return SYSTEMS[self.letter]

    @property
    def owner(self) -> Owner:
        """Who gives it its meaning.

        P3 is the maker's up to P33FF and the standard's from P3400; the split of U3 stands in the
        standard itself and is not known here, so U3 is "shared".
        """
        if self.letter == "P":
            if self.digit == 3:
                return "maker" if self.number & 0xFFF < 0x400 else "standard"
            return "standard" if self.digit in (0, 2) else "maker"
        if self.digit == 0:
            return "standard"
        if self.digit == 3:
            return "shared" if self.letter == "U" else "reserved"
        return "maker"

    @property
    def group(self) -> str:
        """Group of a P0 code in words, "" where the second digit tells nothing we know."""
        return self._group[1]

    @property
    def family(self) -> str:
        """What codes of one system have in common, "" where structure does not tell.

        Chassis, body and network are one family each; a P code has one only where its group is
        known, since P1, P2 and P3 say nothing but powertrain.
        """
        return self._group[0] if self.letter == "P" else self.system

    @property
    def _group(self) -> tuple[str, str]:
        if self.letter != "P" or self.digit != 0:
            return "", ""
        return _GROUPS.get(self.number >> 8 & 0xF, ("", ""))

    @property
    def means_nothing_stored(self) -> bool:
        """P0000, with which tools fill up an empty list (from memory)."""
        return self.number == 0

    @property
    def is_system_voltage(self) -> bool:
        """One of P0560 to P0563."""
        return self.number in SYSTEM_VOLTAGE


def read(text: str) -> TroubleCode:
    """The code that is written exactly in the standard's form; raises NotACodeError.

    >>> hex(read("P0562").number), read("C1035").owner
    ('0x562', 'maker')
    """
    found = _WRITTEN.fullmatch(text)
    if found is None:
        raise NotACodeError(text)
    letter, digit, rest, failure = found.groups()
    place = "PCBU".index(letter)
    number = place << 14 | int(digit) << 12 | int(rest, 16)
    return TroubleCode(number, int(failure, 16) if failure else None)


def from_bytes(raw: bytes) -> TroubleCode:
    """The code of two or three bytes; raises NotACodeError for any other length.

    >>> from_bytes(b"\\x34\\x00").text
    'P3400'
    """
    if len(raw) not in (2, 3):
        raise NotACodeError(raw.hex())
    return TroubleCode(int.from_bytes(raw[:2], "big"), raw[2] if len(raw) == 3 else None)


def suggestion(text: str) -> str:
    """What was perhaps meant by something that is no code, "" if nothing suggests itself.

    Only offered, never put in the place of what was typed.

    >>> suggestion("PO562"), suggestion("u0100 00"), suggestion("0x9234"), suggestion("P0562")
    ('P0562', 'U0100-00', 'B1234', '')
    """
    bare = re.sub(r"[\s./:_\u2010-\u2015\u2212-]+", "-", text.strip().upper()).strip("-")
    if raw := _BYTES.fullmatch(bare):
        return TroubleCode(int(raw[1], 16), int(raw[2], 16) if raw[2] else None).text
    spaced = _LOOSE.fullmatch(bare.replace("-", ""))
    if spaced is None:
        return ""
    letter, digits, failure = spaced.groups()
    meant = letter + digits.translate(_LOOK_ALIKE)
    if failure:
        meant += f"-{failure.translate(_LOOK_ALIKE)}"
    return meant if _WRITTEN.fullmatch(meant) and meant != text else ""


def question(text: str) -> tuple[str, str] | None:
    """What to ask about a typed code and what was perhaps meant; None if there is nothing to ask.

    A maker's own number may stand as it is typed.
    """
    try:
        code = read(text)
    except NotACodeError:
        meant = suggestion(text)
        if meant:
            return f"“{text[:40]}” is not in the standard's form. Did you mean {meant}?", meant
        return (
            f"“{text[:40]}” is not in the standard's form, for instance P0562 or U0100-00. "
            "A maker's own number may stand.",
            "",
        )
    if code.means_nothing_stored:
        return "P0000 only says that nothing is stored. Leave it out, and note that none was.", ""
    return None
