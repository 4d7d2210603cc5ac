"""How sure a finding may be, and what is missing for more.

Confirmed needs direct sight, or a fault that comes and goes with the part on the same test; odds
alone never confirm. Until a fault was seen here nothing but direct sight is more than suspected. A
repair that costs much, can't be undone or guards a life wants two grounds that don't share a cause,
one of them direct, and an answer to what else would look the same. Nothing is ruled out but by its
own test with the fault there. Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

CONFIRMED, PROBABLE, SUSPECTED = "confirmed", "probable", "suspected"
RULED_OUT, NOT_TESTED = "ruled_out", "not_tested"

ALWAYS = frozenset({SUSPECTED, NOT_TESTED})
"""What may be said of anything."""

COMES_AND_GOES = frozenset({"once", "one_in_ten", "one_in_four", "every_second"})
ALWAYS_THERE = "always"
"""Answers to how often a complaint comes."""

PHOTO, SWAP = "photo", "swap"
"""Evidence groups of what is no test."""

Shows = Literal["fault", "sound", "nothing"]


@dataclass(frozen=True)
class Tested:
    """A test under a finding. no: its entry; group: its evidence group.

    shows: whether it found something, nothing unusual, or decides nothing; direct: seen with the
    eye or by the part's own test; whole: nothing weakened it, leaving aside whether the fault was
    there; present: whether it was ("yes", "no", "unknown"); speaks: what it found speaks for the
    cause in question; own: it is that part's own test; goes_along: the fault went where the part
    went; clears: another part was put in its place and the fault stayed; after_change: made
    after a part was changed, so that it says nothing of the one before.
    """

    __test__ = False

    no: int
    group: str
    shows: Shows
    direct: bool = False
    whole: bool = True
    present: str = "unknown"
    speaks: bool = True
    own: bool = True
    goes_along: bool = False
    clears: bool = False
    after_change: bool = False


@dataclass(frozen=True)
class Pictured:
    """A photo under a finding. fault: the fault itself is seen in it."""

    no: str
    fault: bool


@dataclass(frozen=True)
class Changed:
    """A part changed, under a finding. gone: the repeat of the same test no longer shows the fault;
    no_use: changing the part in question changed nothing."""

    no: int
    gone: bool
    no_use: bool = False


Ground = Tested | Pictured | Changed


@dataclass(frozen=True)
class Case:
    """All that decides how sure a finding may be.

    names_cause: it says which possible cause it is about; reported: it answers a complaint;
    how_often: that complaint's answer, "" if not known; seen: the fault was seen by this shop;
    stakes: the repair costs much, can't be undone or guards a life; also_like: it is said what else
    would look the same.
    """

    grounds: Sequence[Ground]
    names_cause: bool = False
    reported: bool = False
    how_often: str = ""
    seen: bool = False
    stakes: bool = False
    also_like: bool = False

    @property
    def tests(self) -> list[Tested]:
        """The tests among the grounds."""
        return [one for one in self.grounds if isinstance(one, Tested)]


@dataclass(frozen=True)
class Lack:
    """Something that is missing: a code of the words table "lacking", and the entries that it is
    about."""

    code: str
    of: tuple[str, ...] = ()


@dataclass(frozen=True)
class Allowed:
    """What is missing for each certainty; nothing where it is allowed."""

    lacks: Mapping[str, tuple[Lack, ...]]

    def permits(self, certainty: str) -> bool:
        """Whether a finding may be this sure."""
        return not self.lacks.get(certainty)

    @property
    def highest(self) -> str:
        """The surest that something is so."""
        return next(code for code in (CONFIRMED, PROBABLE, SUSPECTED) if self.permits(code))


def allowed(case: Case) -> Allowed:
    """What a finding with these grounds may be called."""
    if not case.grounds:
        bare = (Lack("evidence"),)
        return Allowed({CONFIRMED: bare, PROBABLE: bare, RULED_OUT: bare})
    confirming, telling = _direct(case), _telling(case)
    shared = [*_against(case), *_stakes(case, [*confirming, *telling])]
    confirmed = [*shared] if confirming else [_why_not_direct(case), *shared]
    probable = [*shared] if confirming or telling else [*_why_not_telling(case), *shared]
    return Allowed(
        {
            CONFIRMED: _unique(confirmed),
            PROBABLE: _unique(probable),
            RULED_OUT: _why_not_ruled_out(case),
        }
    )


# --- direct sight, and a fault that goes where the part goes ------------------------------------


def _direct(case: Case) -> list[Ground]:
    return [one for one in case.grounds if _is_direct(one)]


def _is_direct(ground: Ground) -> bool:
    if isinstance(ground, Pictured):
        return ground.fault
    if isinstance(ground, Changed):
        return ground.gone
    found = ground.shows == "fault" and ground.speaks and ground.whole
    return found and (ground.direct or ground.goes_along)


def _why_not_direct(case: Case) -> Lack:
    disturbed = [one for one in case.tests if one.direct and one.shows == "fault" and not one.whole]
    return Lack("direct_weakened", _entries(disturbed)) if disturbed else Lack("direct")


# --- tests that tell ----------------------------------------------------------------------------


def _finds(case: Case) -> list[Tested]:
    return [one for one in case.tests if one.shows == "fault"]


def _in_time(case: Case, test: Tested) -> bool:
    """A fault that is there on every drive is in the test; one that comes and goes must have been
    there just then."""
    return not case.reported or test.present == "yes" or case.how_often not in COMES_AND_GOES


def _telling(case: Case) -> list[Ground]:
    if case.reported and not case.seen:
        return []
    return [one for one in _finds(case) if one.speaks and one.whole and _in_time(case, one)]


def _why_not_telling(case: Case) -> list[Lack]:
    finds = _finds(case)
    if not finds:
        return [Lack("telling")]
    speak = [one for one in finds if one.speaks]
    if not speak:
        return [Lack("speaks", _entries(finds))]
    if not any(one.whole for one in speak):
        return [Lack("weakened", _entries(speak))]
    if case.reported and not case.seen:
        return [Lack("seen")]
    return [Lack("present", _entries(one for one in speak if one.whole))]


# --- what speaks against it, and what hangs on it -----------------------------------------------


def _against(case: Case) -> list[Lack]:
    """The part was tried or changed and the fault stayed: that takes a surer word away again.

    Without a named cause the part may just be the one that the finding clears.
    """
    if not case.names_cause:
        return []
    cleared = [one for one in case.tests if one.clears and one.whole]
    useless = [one for one in case.grounds if isinstance(one, Changed) and one.no_use]
    return [
        *([Lack("tried", _entries(cleared))] if cleared else []),
        *([Lack("changed", _entries(useless))] if useless else []),
    ]


def _stakes(case: Case, grounds: Sequence[Ground]) -> list[Lack]:
    if not case.stakes:
        return []
    found = []
    if len({_group(one) for one in grounds}) < 2:
        found.append(Lack("second"))
    if not any(_is_direct(one) for one in grounds):
        found.append(Lack("one_direct"))
    if not case.also_like:
        found.append(Lack("also_like"))
    return found


def _group(ground: Ground) -> str:
    if isinstance(ground, Tested):
        return ground.group
    return PHOTO if isinstance(ground, Pictured) else SWAP


# --- ruled out ----------------------------------------------------------------------------------


def clearing(case: Case) -> list[Tested]:
    """The tests that rule something out: its own, nothing unusual in them, with the fault there."""
    return [
        one for one in case.tests if _clears(one) and one.own and one.whole and _there(case, one)
    ]


def _clears(test: Tested) -> bool:
    return test.clears or (test.shows == "sound" and not test.after_change)


def _there(case: Case, test: Tested) -> bool:
    """What was tried with another part in its place was tried with the fault there."""
    if not case.reported or test.clears or test.present == "yes":
        return True
    return case.how_often == ALWAYS_THERE and test.present == "unknown"


def _why_not_ruled_out(case: Case) -> tuple[Lack, ...]:
    if clearing(case):
        return ()
    sound = [one for one in case.tests if _clears(one)]
    if not sound:
        return (Lack("own_sound"),)
    own = [one for one in sound if one.own]
    if not own:
        return (Lack("own", _entries(sound)),)
    whole = [one for one in own if one.whole]
    if not whole:
        return (Lack("weakened", _entries(own)),)
    return (Lack("there", _entries(whole)),)


def _entries(grounds: Iterable[Ground]) -> tuple[str, ...]:
    return tuple(str(one.no) for one in grounds)


def _unique(lacks: Iterable[Lack]) -> tuple[Lack, ...]:
    return tuple(dict.fromkeys(lacks))
