"""The vehicle identification number (VIN): form, check digit, model year.

Method: 49 CFR part 565 (sections 13 and 15, tables III, IV and VII); form of ISO 3779. The check
digit is required of cars made for the United States and Canada. Elsewhere position 9 is free,
so a mismatch is advice there and never an error.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from django.utils.translation import gettext as _

NORTH_AMERICA = "north_america"
ELSEWHERE = "elsewhere"

LENGTH = 17
LONGEST_KEPT = 40

# 49 CFR 565.15(c), table III.
VALUES = {
    **{digit: int(digit) for digit in "0123456789"},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
# 49 CFR 565.15(c), table IV: positions 1 to 17.
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
# 49 CFR 565.15(d)(1), table VII: position 10 from 1980 on, repeated after 30 years.
YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"
FIRST_YEAR = 1980
# The seventeen positions hold from model year 1981 (49 CFR 565; year from memory).
FIRST_YEAR_OF_FORM = 1981

_NEVER_USED = {"O": "0", "I": "1", "Q": "0"}
_LOOK_ALIKE = {
    "S": "5",
    "5": "S",
    "B": "8",
    "8": "B03",
    "3": "8",
    "Z": "27",
    "2": "Z",
    "7": "Z1",
    "1": "7",
    "G": "6",
    "6": "G",
    "0": "8D",
    "D": "0",
    "U": "V",
    "V": "U",
}
_MOST_SUGGESTIONS = 6


@dataclass(frozen=True)
class Suggestion:
    """Another number that may be meant. Offered, never applied by itself."""

    vin: str
    words: str
    check_agrees: bool


@dataclass(frozen=True)
class VinCheck:
    """What a typed number is worth.

    `form`: ok, bad_length, bad_characters. `computed`, `found`: the check digit by arithmetic and
    the one in position 9, None where the form is bad. `verdict`: valid, invalid, advisory.
    `years`: model years that position 10 may mean; `year`: the one that is meant, if that is sure.
    """

    typed: str
    vin: str
    market: str
    form: str
    computed: str | None
    found: str | None
    verdict: str
    advice: tuple[str, ...]
    warnings: tuple[str, ...]
    suggestions: tuple[Suggestion, ...]
    years: tuple[int, ...]
    year: int | None

    @property
    def refused(self) -> bool:
        """Whether it must be put right before it is kept as a VIN."""
        return self.verdict == "invalid"


def market_of(region: str) -> str:
    """The market whose rules hold for cars made for a region (ISO 3166, as in US or US-CA)."""
    return NORTH_AMERICA if region[:2].upper() in ("US", "CA") else ELSEWHERE


def normalise(typed: str) -> str:
    """Upper case, without blanks, hyphens and the stars that some makers stamp at both ends."""
    return "".join(typed.split()).replace("-", "").strip("*").upper()


def vin_key(typed: str) -> str:
    """The key a car is found by: letters and digits of the number. Never raises."""
    return "".join(c for c in normalise(typed) if c.isascii() and c.isalnum())[:LONGEST_KEPT]


def check_digit(vin: str) -> str:
    """The check digit of 17 characters, by 49 CFR 565.15(c): 0 to 9, or X for 10.

    What stands in position 9 counts nothing. Characters of equal value (2, B, K, S and so on)
    can't be told apart by it.

    >>> check_digit("1M8GDM9AXKP042788")
    'X'
    """
    rest = sum(VALUES[c] * weight for c, weight in zip(vin, WEIGHTS, strict=True)) % 11
    return "X" if rest == 10 else str(rest)


def year_candidates(vin: str) -> tuple[int, ...]:
    """The two model years, 30 years apart, that position 10 may mean; none for another code."""
    code = vin[9:10]
    if not code or code not in YEAR_CODES:
        return ()
    first = FIRST_YEAR + YEAR_CODES.index(code)
    return (first, first + 30)


def model_year(vin: str, market: str, light_duty: bool | None) -> int | None:
    """The model year, where 49 CFR 565.15(b) decides it; None means: ask.

    A light vehicle (4536 kg or less) for North America has a digit in position 7 up to model
    year 2009, a letter from 2010 on.
    """
    candidates = year_candidates(vin)
    if not candidates or market != NORTH_AMERICA or not light_duty:
        return None
    return candidates[0] if vin[6].isdigit() else candidates[1]


def check(
    typed: str, market: str, *, light_duty: bool | None = None, known_year: int | None = None
) -> VinCheck:
    """Check a typed number by the rules of the market that the car was made for.

    `known_year`: model year from elsewhere; before 1981 other forms were usual and nothing binds.
    """
    vin = normalise(typed)
    binding = market == NORTH_AMERICA and not (known_year and known_year < FIRST_YEAR_OF_FORM)
    wrong = [(i, c) for i, c in enumerate(vin, start=1) if c not in VALUES]
    if wrong or len(vin) != LENGTH:
        return _badly_formed(typed, vin, market, wrong, binding)

    computed, found = check_digit(vin), vin[8]
    advice: list[str] = []
    suggestions: tuple[Suggestion, ...] = ()
    verdict = "valid"
    if computed != found:
        verdict = "invalid" if binding else "advisory"
        suggestions = _near(vin)
        advice.append(_mismatch(found, computed, binding))
    return VinCheck(
        typed,
        vin,
        market,
        "ok",
        computed,
        found,
        verdict,
        tuple(advice),
        _form_warnings(vin, market, light_duty, known_year),
        suggestions,
        year_candidates(vin),
        model_year(vin, market, light_duty),
    )


def _badly_formed(
    typed: str, vin: str, market: str, wrong: list[tuple[int, str]], binding: bool
) -> VinCheck:
    advice = []
    suggestions: tuple[Suggestion, ...] = ()
    foreign = [(i, c) for i, c in wrong if c not in _NEVER_USED]
    if wrong:
        position, character = wrong[0]
        if character in _NEVER_USED:
            advice.append(
                _(
                    "Position %(position)d is %(character)s. The letters I, O and Q are in no VIN: "
                    "look again whether it is the digit %(digit)s."
                )
                % {"position": position, "character": character, "digit": _NEVER_USED[character]}
            )
        else:
            shown = f"“{character}”" if character.isprintable() else f"U+{ord(character):04X}"
            advice.append(
                _(
                    "Position %(position)d is %(character)s. A VIN holds only the letters A to Z "
                    "without I, O and Q, and digits."
                )
                % {"position": position, "character": shown}
            )
    if len(vin) != LENGTH:
        advice.append(
            _("%(length)d characters; a VIN has 17. Cars of before 1981 may have fewer.")
            % {"length": len(vin)}
        )
    elif not foreign:
        suggestions = (_without_unused_letters(vin, wrong),)
    refused = binding or bool(foreign) or len(vin) > LONGEST_KEPT
    if not refused:
        advice.append(_("It is kept as typed."))
    return VinCheck(
        typed,
        vin,
        market,
        "bad_characters" if wrong else "bad_length",
        None,
        None,
        "invalid" if refused else "advisory",
        tuple(advice),
        (),
        suggestions,
        (),
        None,
    )


def _mismatch(found: str, computed: str, binding: bool) -> str:
    facts = {"found": found, "computed": computed}
    if binding:
        return (
            _(
                "The check digit doesn't agree: position 9 is %(found)s, the other characters "
                "give %(computed)s. At least one character is mistyped, or the car wasn't made "
                "for North America."
            )
            % facts
        )
    return (
        _(
            "Position 9 is %(found)s; a check digit would be %(computed)s. Many makers outside "
            "North America use none there, so this may be right. Read the number once more."
        )
        % facts
    )


def _form_warnings(
    vin: str, market: str, light_duty: bool | None, known_year: int | None
) -> tuple[str, ...]:
    """What is unusual in positions 7, 9, 10 and 13 to 17. Never more than a warning."""
    if market != NORTH_AMERICA:
        return ()
    warnings = []
    if not year_candidates(vin):
        warnings.append(
            _("Position 10 is %(character)s, which stands for no model year.")
            % {"character": vin[9]}
        )
    first_digit = 13 if light_duty else 14
    if light_duty is not None and not vin[first_digit - 1 :].isdigit():
        warnings.append(
            _("Positions %(first)d to 17 are %(characters)s; usually they are digits.")
            % {"first": first_digit, "characters": vin[first_digit - 1 :]}
        )
    if vin[8] not in "0123456789X":
        warnings.append(
            _("Position 9 is %(character)s; only 0 to 9 or X can be a check digit.")
            % {"character": vin[8]}
        )
    if light_duty and known_year and vin[6].isdigit() != (known_year < FIRST_YEAR + 30):
        warnings.append(
            _(
                "Position 7 is %(character)s: light cars have a digit there up to model year 2009 "
                "and a letter from 2010 on. The year given is %(year)d."
            )
            % {"character": vin[6], "year": known_year}
        )
    return tuple(warnings)


def _without_unused_letters(vin: str, wrong: list[tuple[int, str]]) -> Suggestion:
    """The number with O, I and Q read as the digits that they resemble."""
    meant = "".join(_NEVER_USED.get(c, c) for c in vin)
    words = ", ".join(
        _("position %(position)d: %(digit)s in place of %(character)s")
        % {"position": i, "digit": _NEVER_USED[c], "character": c}
        for i, c in wrong
    )
    return Suggestion(meant, words, check_digit(meant) == meant[8])


def _near(vin: str) -> tuple[Suggestion, ...]:
    """Numbers one look-alike or one pair of swapped neighbours away whose check digit agrees."""
    found = []
    for i, character in enumerate(vin):
        for meant in _LOOK_ALIKE.get(character, "") if i != 8 else "":
            found.append(
                (
                    vin[:i] + meant + vin[i + 1 :],
                    _("position %(position)d: %(meant)s in place of %(character)s")
                    % {"position": i + 1, "meant": meant, "character": character},
                )
            )
    for i, (left, right) in enumerate(pairwise(vin)):
        if left != right and 8 not in (i, i + 1):
            found.append(
                (
                    vin[:i] + right + left + vin[i + 2 :],
                    _("positions %(first)d and %(second)d the other way round")
                    % {"first": i + 1, "second": i + 2},
                )
            )
    agreeing = [Suggestion(v, words, True) for v, words in found if check_digit(v) == v[8]]
    return tuple(agreeing[:_MOST_SUGGESTIONS])
