"""Which pieces of evidence a complaint has: tests, answers, own judgements and swaps, each once.

Of tests alike in procedure, part, state of the car, and whether the fault was there, the latest
that decides anything counts; unlike ones all count, so that a pass never takes back a failure seen
otherwise. What is left out is named with its reason.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from jobs.suspects.odds import UNDECIDED, Piece
from jobs.suspects.tables import NOTHING, UNLISTED, Table

COMPLAINT = "complaint."
"""Before the name of a condition: what the customer told of it is evidence too."""

OPINION, SWAP = "opinion", "swap"
"""Keys of pieces that no table speaks of."""

WHEN_IT_HAPPENS = "when it happens"
LATELY = "what changed lately"

SHARED: Mapping[str, str] = {
    "make_it_happen": WHEN_IT_HAPPENS,
    "complaint.engine_temperature": WHEN_IT_HAPPENS,
    "complaint.weather": WHEN_IT_HAPPENS,
    "complaint.how_often": WHEN_IT_HAPPENS,
    "complaint.since_when": LATELY,
    "complaint.after_work": LATELY,
}
"""What an answer and a test, or two answers, know from one source: they share a group."""

SAW_RECENT_WORK = ("look_over", "recent_work")
"""The look round that sees what the customer may have told as well."""

BY_PART = "substitution"
"""The procedure that speaks of the part that was tried, and of no other."""

ON_THE_PART = frozenset(
    {
        "followed_and_back",
        "followed",
        "gone_and_back",
        "stayed",
        "good_part_gone",
        "good_part_remains",
        "same_at_both",
    }
)
"""Its outcomes that tell of the part itself; the others tell of what feeds it."""

TIMES_FOR_A_CURE = 20.0
TIMES_FOR_NO_CHANGE = 1 / 5
TIMES_FOR_NOT_CURED = 1 / 2
"""How many times as likely a swap came out so if its part was the cause (judgement): the new part
can be bad as well, so that nothing is settled by one that changed nothing."""

STRENGTHS: Mapping[str, float] = {
    "strongly_for": 10.0,
    "for": 3.0,
    "against": 1 / 3,
    "strongly_against": 1 / 10,
    "ruled_out": 1 / 100,
}
"""What a technician's word is worth: how many times as likely what they saw is if it is the cause.
The mapping is judgement, stated wherever the words are chosen."""

Why = Literal["undecided", "newer", "no_rows", "no_part", "after_cure", "retired", "silent"]


@dataclass(frozen=True)
class Made:
    """A test as evidence. source: its place in the record, later ones higher; weight: what
    confounders leave of it; present: whether the fault was there; part: what was tried."""

    source: int
    procedure: str
    outcome: str
    subject: str = ""
    state: str = ""
    present: str = "unknown"
    weight: float = 1.0
    group: str = ""
    part: str = ""
    known: bool = True

    @property
    def key(self) -> tuple[str, str, str, str]:
        """Tests alike in this are one test, repeated."""
        return self.procedure, self.subject or self.part.casefold(), self.state, self.present


@dataclass(frozen=True)
class Told:
    """An answer to a question about the complaint."""

    source: int
    condition: str
    answers: tuple[str, ...]


@dataclass(frozen=True)
class Said:
    """A technician's own judgement on a suspect. strength: a key of STRENGTHS."""

    source: int
    suspect: str
    strength: str


@dataclass(frozen=True)
class Changed:
    """A part changed by this shop. outcome: what the repeat of the test showed, "" not known;
    complaint: the one that it is about, "" not known."""

    source: int
    parts: tuple[str, ...]
    outcome: str = ""
    complaint: str = ""

    def is_about(self, complaint: str) -> bool:
        """Whether its outcome tells of this complaint."""
        return not self.complaint or not complaint or self.complaint == complaint

    @property
    def cured(self) -> bool:
        """The repeat no longer shows the fault."""
        return self.outcome == "not_present"


@dataclass(frozen=True)
class LeftOut:
    """A test that does not count, and why; by: the one that counts in its place."""

    source: int
    why: Why
    by: int | None = None


@dataclass(frozen=True)
class Gathered:
    """All that counts, and what does not."""

    pieces: tuple[Piece, ...]
    left_out: tuple[LeftOut, ...] = ()
    cured_by: int | None = None
    naming: Mapping[int, frozenset[str]] = field(default_factory=dict)
    """Swap -> the suspects whose part it is."""


def gather(
    table: Table,
    *,
    tests: Iterable[Made] = (),
    answers: Iterable[Told] = (),
    opinions: Iterable[Said] = (),
    swaps: Iterable[Changed] = (),
    complaint: str = "",
    old_parts_too: bool = False,
) -> Gathered:
    """The pieces that count for a table, and what was left out. The order given does not matter.

    complaint: whose suspects these are; old_parts_too: what was read before a part was changed is
    asked for too, as when the cause of what was wrong then is told.
    """
    changed = sorted(swaps, key=lambda swap: swap.source)
    naming = {swap.source: suspects_naming(table, swap.parts) for swap in changed}
    cure = next((swap.source for swap in changed if _cures(swap, naming, complaint)), None)
    made, left_out = _latest(sorted(tests, key=lambda test: test.source), cure)
    pieces: list[Piece] = []
    for test in made:
        piece = _of_test(table, test)
        if isinstance(piece, LeftOut):
            left_out.append(piece)
            continue
        if not old_parts_too:
            piece = _of_its_time(piece, test.source, changed, naming, cure)
        pieces.append(piece)
    for told in answers:
        pieces += _of_answer(told)
    for said in opinions:
        pieces.append(_of_opinion(said))
    for swap in changed:
        if swap.is_about(complaint):
            pieces += _of_swap(swap, naming[swap.source])
    return Gathered(
        tuple(pieces), tuple(sorted(left_out, key=lambda one: one.source)), cure, naming
    )


def _cures(swap: Changed, naming: Mapping[int, frozenset[str]], complaint: str) -> bool:
    """Whether a change ended this complaint: its tests were about it, or else its part is one of a
    suspect's."""
    known = bool(swap.complaint) and bool(complaint)
    return swap.cured and swap.is_about(complaint) and (known or bool(naming[swap.source]))


def _latest(tests: Sequence[Made], cure: int | None) -> tuple[list[Made], list[LeftOut]]:
    """Of tests alike the latest that decides anything; those after the cure are of another car."""
    counting: dict[tuple[str, str, str, str], Made] = {}
    left: list[LeftOut] = []
    for test in tests:
        if not test.known:
            left.append(LeftOut(test.source, "retired"))
        elif test.outcome == UNDECIDED:
            left.append(LeftOut(test.source, "undecided"))
        elif cure is not None and test.source > cure:
            left.append(LeftOut(test.source, "after_cure", cure))
        else:
            if earlier := counting.get(test.key):
                left.append(LeftOut(earlier.source, "newer", test.source))
            counting[test.key] = test
    return list(counting.values()), left


def _of_test(table: Table, test: Made) -> Piece | LeftOut:
    key = table.key_for(test.procedure, test.subject, test.state)
    if not key or test.outcome not in table.evidence[key].otherwise:
        return LeftOut(test.source, "no_rows")
    if test.weight <= 0:
        return LeftOut(test.source, "silent")
    spared: frozenset[str] = frozenset()
    if test.procedure == BY_PART and test.outcome in ON_THE_PART:
        meant = suspects_naming(table, (test.part,))
        if not meant:
            return LeftOut(test.source, "no_part")
        spared = frozenset(one.code for one in table.suspects if one.code not in meant)
    group = SHARED.get(test.procedure, test.group)
    if (test.procedure, test.outcome) == SAW_RECENT_WORK:
        group = LATELY
    return Piece(key, test.outcome, test.weight, group, str(test.source), spared)


def _of_its_time(
    piece: Piece,
    source: int,
    swaps: Sequence[Changed],
    naming: Mapping[int, frozenset[str]],
    cure: int | None,
) -> Piece:
    """A test before a part was changed tells nothing of the part that is in now. Where the change
    cured, what came before it is just what tells of the cause."""
    later = [naming[swap.source] for swap in swaps if swap.source > source and swap.source != cure]
    if not later:
        return piece
    spared = piece.spared.union(*later)
    return Piece(piece.key, piece.outcome, piece.weight, piece.group, piece.source, spared)


def _of_answer(told: Told) -> list[Piece]:
    """Several answers to one question share a group: the one that tells most counts whole."""
    key = COMPLAINT + told.condition
    group = SHARED.get(key, key)
    return [Piece(key, answer, 1.0, group, str(told.source)) for answer in told.answers]


def _of_opinion(said: Said) -> Piece:
    return Piece(
        OPINION, said.strength, source=str(said.source), says=_times(said.suspect, said.strength)
    )


def _times(suspect: str, strength: str) -> dict[str, float]:
    return ratio([suspect], STRENGTHS[strength])


def _of_swap(swap: Changed, suspects: Collection[str]) -> list[Piece]:
    times = {
        "not_present": TIMES_FOR_A_CURE,
        "no_change": TIMES_FOR_NO_CHANGE,
        "worse": TIMES_FOR_NO_CHANGE,
        "changed_not_cured": TIMES_FOR_NOT_CURED,
    }.get(swap.outcome)
    if times is None or not suspects:
        return []
    return [Piece(SWAP, swap.outcome, source=str(swap.source), says=ratio(suspects, times))]


def ratio(suspects: Iterable[str], times: float) -> dict[str, float]:
    """Something that is so many times as likely if one of these is the cause as if another is.

    >>> ratio(["relay"], 0.2)
    {'relay': 0.2, '': 1.0}
    """
    named = min(1.0, times)
    return {**dict.fromkeys(suspects, named), "": min(1.0, 1 / times)}


def suspects_naming(table: Table, parts: Iterable[str]) -> frozenset[str]:
    """The suspects for which one of these parts is changed.

    A suspect's part is meant where all its words are among those written ("battery" by "AGM battery
    70 Ah"), or the other way round; of several the longest, so that an "engine ground strap" is a
    ground strap and no engine.
    """
    found: set[str] = set()
    for part in parts:
        written = part_words(part)
        lengths = {
            one.code: max((_common(part_words(own), written) for own in one.parts), default=0)
            for one in table.suspects
            if one.code not in (UNLISTED, NOTHING)
        }
        longest = max(lengths.values(), default=0)
        found |= {code for code, length in lengths.items() if length == longest and length}
    return frozenset(found)


def _common(one: frozenset[str], other: frozenset[str]) -> int:
    """How many words two names of a part share, where the one holds the whole other; else 0."""
    return len(one & other) if one and other and (one <= other or other <= one) else 0


def part_words(part: str) -> frozenset[str]:
    """The words of a part's name, alike in singular and plural."""
    letters = "".join(c if c.isalnum() else " " for c in part.casefold())
    return frozenset(word.removesuffix("s") for word in letters.split())
