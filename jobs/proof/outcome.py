"""What the repeat of a test shows of a part that was changed. Pure rules, no numbers of their own:
uncertainties and limits come with the tests.

Better and worse have a direction only from limits, patterns and the complaint itself, never from
the sign of a difference. "Gone" counts for nothing where something else was moved on the way: a
disturbed connector may be the repair (common practice).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from measurements.core.compare import Apart, Change, K
from measurements.core.recurrence import tries_needed

NOT_PRESENT, NO_RECURRENCE_YET = "not_present", "no_recurrence_yet"
CHANGED, NO_CHANGE, WORSE = "changed_not_cured", "no_change", "worse"
CANNOT_TELL, NOT_CHECKED = "cannot_tell", "not_checked"
"""Codes of outcomes; their words stand in the table `swap_outcome`."""

NOT_CURED = frozenset({CHANGED, NO_CHANGE, WORSE})

Seen = Literal["sound", "unusual", "undecided"]
Complaint = Literal["yes", "no", "unknown", ""]

ONE_IN: Mapping[str, float | None] = {
    "once": None,
    "one_in_ten": 10.0,
    "one_in_four": 4.0,
    "every_second": 2.0,
}
"""Answers to "how often" of a fault that comes and goes -> once in so many drives. One that came
once has no rate that anybody knows, so that no number of drives settles it."""

SILENT = frozenset({"absent_before", "unknown_before", "sound_before", "no_before", "conditions"})
"""Reasons for which a test tells nothing of the change: it showed nothing to begin with, or there
is no test before that it could be held against."""


@dataclass(frozen=True)
class Held:
    """A point held against its limit. beyond: how far outside, in the stored unit; 0.0 inside."""

    outcome: str
    beyond: float = 0.0


@dataclass(frozen=True)
class Side:
    """One test, before or after. complaint: whether it was there, "" where nobody complains;
    held: address -> point against its limit; doubts: what makes it prove less, in words."""

    seen: Seen
    pattern: str = ""
    complaint: Complaint = ""
    held: Mapping[str, Held] = field(default_factory=dict)
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Pair:
    """The same test before and after. apart: why they can't be laid side by side; disturbed: what
    else was moved or changed between them."""

    before: Side
    after: Side
    changes: tuple[Change, ...] = ()
    apart: tuple[Apart, ...] = ()
    disturbed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reason:
    """Why it can't be told, or what must be known with an outcome; about: which, in words."""

    code: str
    about: tuple[str, ...] = ()


@dataclass(frozen=True)
class Clock:
    """Drives since the repair of a fault that comes and goes. one_in: it came once in so many
    drives, None if nobody knows; clean: drives in a row without it."""

    one_in: float | None
    clean: int = 0
    came_back: bool = False

    @property
    def needed(self) -> int | None:
        """Drives in a row without it after which luck is a poor explanation."""
        return None if self.one_in is None else tries_needed(self.one_in)

    @property
    def enough(self) -> bool:
        """Whether they have been made."""
        return self.needed is not None and self.clean >= self.needed


@dataclass(frozen=True)
class Outcome:
    """What came of a change. clock: the drives, where the fault comes and goes."""

    code: str
    reasons: tuple[Reason, ...] = ()
    clock: Clock | None = None


def of_pair(pair: Pair) -> Outcome:
    """What one test, made before and again after, shows."""
    if pair.after.complaint == "yes":
        return _still_there(pair)
    if reason := _not_comparable(pair):
        return Outcome(CANNOT_TELL, (reason,))
    found = _by_sight(pair)
    if found.code == NOT_PRESENT and pair.disturbed:
        return Outcome(CANNOT_TELL, (Reason("disturbed", pair.disturbed),))
    return found


def _not_comparable(pair: Pair) -> Reason | None:
    whole = tuple(_apart_words(item) for item in pair.apart if not item.address)
    if whole:
        return Reason("conditions", whole)
    doubts = tuple(dict.fromkeys((*pair.before.doubts, *pair.after.doubts)))
    return Reason("doubt", doubts) if doubts else None


def _apart_words(item: Apart) -> str:
    """Which condition, where the reason does not name it by itself."""
    return item.reason if item.label in item.reason else f"{item.label}: {item.reason}"


def _still_there(pair: Pair) -> Outcome:
    """The complaint was there in the repeat: not cured, whatever was read."""
    if _not_comparable(pair):
        return Outcome(NO_CHANGE)
    before, after = pair.before.seen, pair.after.seen
    clear = _clear(pair)
    if before == "sound" and after == "unusual" and (clear or not pair.changes):
        return Outcome(WORSE)
    if before == after == "unusual" and clear and set(_directions(pair)) == {"worse"}:
        return Outcome(WORSE)
    by_pattern = not pair.changes and pair.before.pattern != pair.after.pattern
    return Outcome(CHANGED if clear or by_pattern else NO_CHANGE)


def _by_sight(pair: Pair) -> Outcome:
    """From what the tests saw; the complaint was not there in the repeat, or nobody noted it."""
    before, after = pair.before, pair.after
    if "undecided" in (before.seen, after.seen):
        if _complaint_went(pair) and "unusual" not in (before.seen, after.seen):
            return Outcome(NOT_PRESENT)
        when = "before" if before.seen == "undecided" else "after"
        return Outcome(CANNOT_TELL, (Reason(f"undecided_{when}"),))
    if before.seen == after.seen == "unusual":
        return _still_unusual(pair)
    if before.seen != after.seen:
        if pair.changes and not _clear(pair):
            return _too_uncertain(pair.changes)
        if after.seen == "unusual":
            return Outcome(WORSE)
    elif not _complaint_went(pair) and before.complaint != "yes":
        silent = {"no": "absent_before", "unknown": "unknown_before"}
        return Outcome(CANNOT_TELL, (Reason(silent.get(before.complaint, "sound_before")),))
    if before.complaint == "yes" and after.complaint == "unknown":
        return Outcome(CANNOT_TELL, (Reason("unknown_after"),))
    return Outcome(NOT_PRESENT)


def _complaint_went(pair: Pair) -> bool:
    return (pair.before.complaint, pair.after.complaint) == ("yes", "no")


def _still_unusual(pair: Pair) -> Outcome:
    directions = set(_directions(pair))
    if directions == {"worse"}:
        return Outcome(WORSE)
    if _complaint_went(pair):
        return Outcome(CANNOT_TELL, (Reason("still_seen"),))
    other_pattern = pair.before.pattern != pair.after.pattern
    if directions or (other_pattern and not pair.changes):
        return Outcome(CHANGED)
    if blurred := _too_blurred_for_a_cure(pair):
        return _too_uncertain(blurred)
    if other_pattern:
        return _too_uncertain(pair.changes)
    return Outcome(NO_CHANGE)


def _too_blurred_for_a_cure(pair: Pair) -> tuple[Change, ...]:
    """The points that were outside, where even coming back to the limit could not be told from no
    change at all; none where one of them would have shown it."""
    outside = {
        change: held.beyond
        for change in pair.changes
        if (held := pair.before.held.get(change.address)) and held.outcome == "outside"
    }
    if any(change.u_change * K < beyond for change, beyond in outside.items()):
        return ()
    return tuple(outside)


def _too_uncertain(changes: Sequence[Change]) -> Outcome:
    return Outcome(CANNOT_TELL, (Reason("too_uncertain", tuple(c.label for c in changes)),))


def _clear(pair: Pair) -> bool:
    return any(change.direction != "no clear change" for change in pair.changes)


def _directions(pair: Pair) -> list[str]:
    """ "better", "worse" or "moved" (no limit says which) of each point that clearly changed."""
    return [
        _direction(pair.before.held.get(change.address), pair.after.held.get(change.address))
        for change in pair.changes
        if change.direction != "no clear change"
    ]


def _direction(before: Held | None, after: Held | None) -> str:
    if before is None or after is None:
        return "moved"
    told = {before.outcome, after.outcome}
    if before.outcome == "outside" and after.outcome == "cannot_tell":
        return "better"
    if not told <= {"within", "outside"} or before.beyond == after.beyond:
        return "moved"
    return "better" if after.beyond < before.beyond else "worse"


def together(found: Sequence[Outcome]) -> Outcome:
    """Several tests after one change: the worst counts. One that is worse makes it worse; some gone
    and some not is a change that did not cure; what can't be told keeps "not present" back. Tests
    that tell nothing of the change count only where there is no other."""
    telling = [one for one in found if not _is_silent(one)] or list(found)
    if not telling:
        return Outcome(NOT_CHECKED)
    codes = {one.code for one in telling}
    reasons = tuple(dict.fromkeys(reason for one in telling for reason in one.reasons))
    if WORSE in codes:
        return Outcome(WORSE, reasons)
    if CHANGED in codes or {NO_CHANGE, NOT_PRESENT} <= codes:
        return Outcome(CHANGED, reasons)
    for code in (NO_CHANGE, CANNOT_TELL):
        if code in codes:
            return Outcome(code, reasons)
    return Outcome(NOT_PRESENT, reasons)


def _is_silent(found: Outcome) -> bool:
    return bool(found.reasons) and all(reason.code in SILENT for reason in found.reasons)


def by_clock(found: Outcome, clock: Clock) -> Outcome:
    """The same of a fault that comes and goes: one good repeat proves nothing, drives do.

    It came back: not cured. Else, unless a test shows that it is still there, it has "not come
    back yet" until the drives are enough.
    """
    if clock.came_back:
        # Where the readings went right and the fault came back, the part made a difference.
        code = {WORSE: WORSE, CHANGED: CHANGED, NOT_PRESENT: CHANGED}.get(found.code, NO_CHANGE)
        return Outcome(code, (Reason("came_back"),), clock)
    if found.code in NOT_CURED:
        return replace(found, clock=clock)
    if found.code == NOT_CHECKED and not clock.clean:
        return replace(found, clock=clock)
    if not clock.enough:
        return Outcome(NO_RECURRENCE_YET, found.reasons, clock)
    moved = tuple(reason for reason in found.reasons if reason.code == "disturbed")
    return Outcome(CANNOT_TELL if moved else NOT_PRESENT, moved, clock)
