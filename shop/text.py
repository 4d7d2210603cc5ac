"""Text that people type: what is refused, what is shown openly, and the key it is found by.

What was typed is kept as it was; only search keys are normalised.
"""

from __future__ import annotations

import re
import unicodedata

from django.utils.translation import gettext as _

LONGEST_TEXT = 10_000
LONGEST_LINE = 120
MOST_MARKS = 8  # marks on one letter; written languages need at most four or so

_INVISIBLE = {
    "\u061c": "ALM",
    "\u200b": "ZWSP",
    "\u200e": "LRM",
    "\u200f": "RLM",
    "\u202a": "LRE",
    "\u202b": "RLE",
    "\u202c": "PDF",
    "\u202d": "LRO",
    "\u202e": "RLO",
    "\u2060": "WJ",
    "\u2066": "LRI",
    "\u2067": "RLI",
    "\u2068": "FSI",
    "\u2069": "PDI",
    "\ufeff": "BOM",
}
_UNPRINTABLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"  # controls, but for tab and line ends
    "\ud800-\udfff"  # halves of a pair
    "\ufffd"  # what browser and server put where half a character arrived
    f"\ufdd0-\ufdef{''.join(chr(p << 16 | end) for p in range(17) for end in (0xFFFE, 0xFFFF))}]"
)
_FIRST_MARK = "\u0300"
_JOINED = str.maketrans(
    {
        "ø": "o",
        "đ": "d",
        "ł": "l",
        "ħ": "h",
        "ı": "i",
        "æ": "ae",
        "œ": "oe",
        "ð": "d",
        "þ": "th",
        "ŋ": "n",
    }
)


class TextError(ValueError):
    """What was typed cannot be kept as text."""


class UnprintableCharacter(TextError):
    """A character that no page, print or database can hold, or the sign that stands for one that
    did not arrive whole: `position` counts from 1."""

    def __init__(self, position: int, character: str) -> None:
        self.position = position
        self.character = character
        super().__init__(
            _(
                "The text contains an unprintable character (U+%(code)s) at position "
                "%(position)d. Delete it and send again."
            )
            % {"code": f"{ord(character):04X}", "position": position}
        )


class TextTooLong(TextError):
    """More characters than the field takes."""

    def __init__(self, length: int, limit: int) -> None:
        self.length = length
        self.limit = limit
        super().__init__(
            _("The text has %(length)d characters; at most %(limit)d are taken. Shorten it.")
            % {"length": length, "limit": limit}
        )


class TooManyMarks(TextError):
    """More accents on one letter than any language writes: `position` counts from 1."""

    def __init__(self, position: int) -> None:
        self.position = position
        super().__init__(
            _(
                "The letter before position %(position)d carries more than %(most)d accents. "
                "Delete them and send again."
            )
            % {"position": position, "most": MOST_MARKS}
        )


def clean_text(typed: str, limit: int = LONGEST_TEXT) -> str:
    """The text as typed, with line ends as plain newlines. `limit` counts characters.

    Raises TextTooLong, UnprintableCharacter (NUL, other controls, lone surrogates,
    noncharacters) or TooManyMarks.
    """
    text = typed.replace("\r\n", "\n").replace("\r", "\n")
    if len(text) > limit:
        raise TextTooLong(len(text), limit)
    _check_characters(text)
    return text


def _check_characters(text: str) -> None:
    if found := _UNPRINTABLE.search(text):
        raise UnprintableCharacter(found.start() + 1, found.group())
    marks = 0
    for position, character in enumerate(text, start=1):
        is_mark = character >= _FIRST_MARK and unicodedata.category(character) in ("Mn", "Me")
        marks = marks + 1 if is_mark else 0
        if marks > MOST_MARKS:
            raise TooManyMarks(position)


def clean_line(typed: str, limit: int = LONGEST_LINE) -> str:
    """As `clean_text`, on one line: line breaks and tabs become one blank, ends are trimmed.

    The length counts after that, so that a pasted line end is not held against a name; positions
    count in what was typed.
    """
    parts = (part.strip(" ") for part in re.split(r"[\t\r\n\u2028\u2029]+", typed))
    line = " ".join(part for part in parts if part).strip()
    if len(line) > limit:
        raise TextTooLong(len(line), limit)
    _check_characters(typed)
    return line


def is_unprintable(character: str) -> bool:
    """Whether a character can be neither shown nor stored on every database."""
    return _UNPRINTABLE.match(character) is not None


def is_invisible(character: str) -> bool:
    """Whether a character reorders or hides text without being seen itself."""
    return character in _INVISIBLE


def show_controls(text: str) -> str:
    """The text with each reordering or invisible sign replaced by its name: ⟨RLO⟩."""
    return "".join(f"⟨{_INVISIBLE[c]}⟩" if c in _INVISIBLE else c for c in text)


def search_key(text: str, limit: int | None = None) -> str:
    """The key a text is found by: folded case, no accents, single blanks. Never raises.

    >>> search_key("  Müller-Straße  ")
    'muller-strasse'
    """
    folded = unicodedata.normalize("NFKD", text).casefold()
    letters = (
        " " if c.isspace() else c
        for c in unicodedata.normalize("NFKD", folded)
        if c.isspace() or not (unicodedata.combining(c) or is_unprintable(c) or is_invisible(c))
    )
    key = unicodedata.normalize("NFC", " ".join("".join(letters).translate(_JOINED).split()))
    return key if limit is None else key[:limit].rstrip()
