"""Number plates: what may be typed, and the key that finds one however it is written."""

from __future__ import annotations

import re
import unicodedata

from django.utils.translation import gettext as _

LONGEST = 20

# Countries offered first; any other ISO 3166 code, with or without a part, may be typed.
OFFERED_REGIONS = (
    "AT",
    "AU",
    "BE",
    "BG",
    "CA",
    "CH",
    "CZ",
    "DE",
    "DK",
    "EE",
    "ES",
    "FI",
    "FR",
    "GB",
    "GR",
    "HR",
    "HU",
    "IE",
    "IS",
    "IT",
    "LT",
    "LU",
    "LV",
    "MX",
    "NL",
    "NO",
    "NZ",
    "PL",
    "PT",
    "RO",
    "SE",
    "SI",
    "SK",
    "TR",
    "UA",
    "US",
    "ZA",
)

_SIGNS = " \t\r\n-·•.'"
# Plates of several countries use only letters whose shape is Latin too (Vienna Convention on
# Road Traffic 1968, annex 2); one key then finds them whichever alphabet was typed.
_SHAPES = str.maketrans("АВЕКМНОРСТУХІΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEKMHOPCTYXIABEZHIKMNOPTYX")


class PlateError(ValueError):
    """What was typed is no number plate, or no region of one."""


class PlateCharacter(PlateError):
    """A sign that stands on no plate: `position` counts from 1."""

    def __init__(self, character: str, position: int) -> None:
        self.character = character
        self.position = position
        super().__init__(
            _(
                "The plate holds %(sign)s at position %(position)d. "
                "Plates take letters, digits, blanks and hyphens."
            )
            % {"sign": _sign(character), "position": position}
        )


class PlateTooLong(PlateError):
    """More characters than a plate has."""

    def __init__(self, plate: str) -> None:
        super().__init__(
            _("The plate has %(length)d characters; at most %(limit)d are taken.")
            % {"length": len(plate), "limit": LONGEST}
        )


class RegionUnknown(PlateError):
    """Not of the shape of an ISO 3166 code."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            _(
                "“%(typed)s” is no region. Two letters for the country, as in DE, or with a part, "
                "as in US-CA."
            )
            % {"typed": typed[:40]}
        )


def read_plate(typed: str) -> str:
    """The plate as it is stored: trimmed, upper case, single blanks.

    Raises PlateCharacter for anything but letters, digits, blanks and a plate's signs (so also
    for signs that turn the reading direction), PlateTooLong beyond 20 characters.
    """
    for position, character in enumerate(typed, start=1):
        if not (
            character in _SIGNS
            or unicodedata.category(character)[0] in "LM"
            or character.isdecimal()
        ):
            raise PlateCharacter(character, position)
    plate = " ".join(unicodedata.normalize("NFC", typed).upper().split())
    if len(plate) > LONGEST:
        raise PlateTooLong(plate)
    return plate


def plate_key(typed: str) -> str:
    """The key a plate is found by: letters and digits alone, without accents. Never raises.

    >>> plate_key("bn-58 kld") == plate_key("BN 58·KLD")
    True
    """
    plain = unicodedata.normalize("NFKD", typed).upper().translate(_SHAPES)
    return "".join(c for c in plain if c.isalpha() or c.isdecimal())[:LONGEST]


def read_region(typed: str) -> str:
    """The region of a plate as an ISO 3166 code; empty stays empty. Raises RegionUnknown."""
    region = typed.strip().upper()
    if region and not re.fullmatch(r"[A-Z]{2}(-[A-Z0-9]{1,3})?", region):
        raise RegionUnknown(typed)
    return region


def regions(locale: str = "en") -> list[tuple[str, str]]:
    """The offered countries with their names in a language, by name."""
    from babel import Locale

    names = Locale.parse(locale, sep="-").territories
    return sorted(((code, names[code]) for code in OFFERED_REGIONS), key=lambda pair: pair[1])


def _sign(character: str) -> str:
    if character.isprintable():
        return f"“{character}”"
    return f"U+{ord(character):04X}"
