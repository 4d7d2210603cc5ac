"""Trouble codes against worked pairs of number and code, and published ranges.

Structure: SAE J2012 / ISO 15031-6:2015 (scope seen). Pairs: arithmetic.
Ranges: list of the standard's own groupings and a tool's manual, both quoting it (seen); the tool's
manual calls B3, C3 and U3 generic, the list of groupings calls them reserved and shared, which is
what stands here. Groups of P0: published lists of the third character (seen), P08 and P09 from
memory. Oracle of the bits: `struct` and `int` of the standard library, by another route.
"""

from __future__ import annotations

import struct

import pytest

from measurements.core import trouble_code
from measurements.core.trouble_code import TroubleCode
from tests.reference.conftest import Against

PAIRS = [
    (0x0562, "P0562"),
    (0x0620, "P0620"),
    (0xC100, "U0100"),
    (0x9234, "B1234"),
    (0x5035, "C1035"),
    (0x3400, "P3400"),
]


@pytest.mark.parametrize(("number", "text"), PAIRS)
def test_worked_pairs_of_number_and_code(number: int, text: str, against: Against) -> None:
    against(
        f"code of the two bytes {number:04X}",
        "SAE J2012, structure, seen in part; worked by hand",
        expected=text,
        got=TroubleCode(number).text,
    )
    assert trouble_code.read(text).number == number
    assert trouble_code.read(text).raw == struct.pack(">H", number)


def test_bits_of_every_code_by_another_route() -> None:
    """The sixteen bits as text: two for the letter, two for the digit, the rest by fours."""
    letters = {"00": "P", "01": "C", "10": "B", "11": "U"}
    for number in range(0x10000):
        bits = f"{number:016b}"
        digits = "".join(f"{int(bits[n : n + 4], 2):X}" for n in (4, 8, 12))
        assert TroubleCode(number).text == f"{letters[bits[:2]]}{int(bits[2:4], 2)}{digits}"


@pytest.mark.parametrize(
    ("text", "owner"),
    [
        ("P0001", "standard"),
        ("P1001", "maker"),
        ("P2001", "standard"),
        ("P3000", "maker"),
        ("P33FF", "maker"),
        ("P3400", "standard"),
        ("P3FFF", "standard"),
        ("B0001", "standard"),
        ("B1001", "maker"),
        ("B2001", "maker"),
        ("B3001", "reserved"),
        ("C0001", "standard"),
        ("C1001", "maker"),
        ("C2001", "maker"),
        ("C3001", "reserved"),
        ("U0001", "standard"),
        ("U1001", "maker"),
        ("U2001", "maker"),
        ("U3001", "shared"),
    ],
)
def test_owner_of_each_range(text: str, owner: str, against: Against) -> None:
    against(
        f"who defines {text}",
        "list of the standard's own groupings, seen",
        expected=owner,
        got=trouble_code.read(text).owner,
    )


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("P0001", "fuel and air"),
        ("P0117", "fuel and air"),
        ("P0201", "fuel and air"),
        ("P0300", "misfire"),
        ("P0420", "emission"),
        ("P0562", "speed"),
        ("P0620", "control unit"),
        ("P0700", "transmission"),
        ("P0841", "transmission"),
        ("P0900", "transmission"),
    ],
)
def test_group_of_a_standard_powertrain_code(text: str, word: str, against: Against) -> None:
    group = trouble_code.read(text).group
    against(
        f"group of {text} names “{word}”",
        "published lists of the third character, seen; P08 and P09 from memory",
        expected="yes",
        got="yes" if word in group else group,
    )


@pytest.mark.parametrize("text", ["P0A80", "P1562", "P2503", "P3400", "B0001", "C0035", "U0100"])
def test_no_group_is_told_where_the_standards_list_was_not_at_hand(text: str) -> None:
    assert trouble_code.read(text).group == ""


def test_third_byte_is_shown_as_two_hexadecimal_digits() -> None:
    """ISO 15031-6:2015, scope: failure types apply only to codes of three bytes (seen)."""
    assert trouble_code.from_bytes(bytes.fromhex("92341c")).text == "B1234-1C"
    assert trouble_code.from_bytes(bytes.fromhex("9234")).failure_type is None
