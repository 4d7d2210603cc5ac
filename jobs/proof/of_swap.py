"""What a ticket's record says of its swaps: the tests before and after each, the drives since, what
else was moved meanwhile; and what came of the swap by the rules of `outcome`.

Worked out at reading and never stored, so that a test that is added, corrected or taken back
counts at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from jobs import battery, compare
from jobs.proof.outcome import (
    CANNOT_TELL,
    NO_CHANGE,
    NOT_CHECKED,
    ONE_IN,
    Clock,
    Complaint,
    Held,
    Outcome,
    Pair,
    Reason,
    Seen,
    Side,
    by_clock,
    of_pair,
    together,
)
from jobs.proof.standing import changed_nothing, standing
from measurements.actions.runs import Recorded, read
from measurements.core.assessment import VerdictOutcome
from measurements.core.judging import COMMON_CONFOUNDERS
from measurements.models import Run
from measurements.procedures import PROCEDURES

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView

Data = Mapping[str, Any]

WEAKENS = 0.5
"""A test of which no more than this is left by what disturbed it decides nothing here (judgement,
the same as for repeating a test)."""

ASKED_ANYWAY = frozenset({"fault_absent", "fault_unknown"})
"""Confounders that say what the rules of `outcome` ask by themselves."""

DISTURBED = frozenset({"connector_disturbed", "disturbed"})
"""Confounders that say that something was moved: it may be what put it right."""

WEIGHED_BY_DRIVES = frozenset({"too_few", "often_unknown"})
"""Confounders that the clock of a fault that comes and goes answers."""

SEEN_AFTER_MOVING = frozenset(
    {
        "followed",
        "followed_and_back",
        "gone_and_back",
        "stayed",
        "same_at_both",
        "good_part_remains",
    }
)
"""Outcomes of a substitution in which the fault was there with everything moved, or came back with
it: what was moved did not put it right."""

TRIES, ROAD = "make_it_happen", "road_test"
WEAK_DRIVE = frozenset({"other_conditions", "short_drive", "cut_short"})
"""A road test with one of these is no drive on which the fault could have come."""

KINDS = ("swap", "test", "drives", "complaint", "alteration", "apart")
"""Kinds of entries that bear on a swap."""


@dataclass(frozen=True)
class Compared:
    """A test after a swap, with the one before that it is held against. outcome: what the two show;
    counts: whether it is the latest of its kind."""

    before: EntryView | None
    after: EntryView
    matched: compare.Matched | None
    outcome: Outcome
    counts: bool


@dataclass(frozen=True)
class Proof:
    """What came of a swap. by_tests: as the record shows it; told, told_why: as somebody wrote it
    down, and why otherwise than the tests."""

    by_tests: Outcome
    reason: str
    pointed: bool
    told: str = ""
    told_why: str = ""
    pairs: tuple[Compared, ...] = ()
    comes_and_goes: bool = False

    @property
    def overruled(self) -> bool:
        """A person's word, with its reason, stands against what the tests show."""
        return bool(self.told and self.told_why and self.told != self.by_tests.code)

    @property
    def only_told(self) -> bool:
        """It was written down what came of it, and no test or drive says anything."""
        measured = self.by_tests.code != NOT_CHECKED
        return bool(self.told) and self.told != NOT_CHECKED and not measured and not self.told_why

    @property
    def code(self) -> str:
        """What counts as the outcome: the tests', or a person's word that gives its reason, or
        stands alone."""
        return self.told if self.overruled or self.only_told else self.by_tests.code

    @property
    def differs(self) -> bool:
        """What was written down is not what the tests show."""
        return bool(self.told) and self.told != self.by_tests.code

    @property
    def standing(self) -> str:
        """The swap's standing. A word alone, without a test or a reason, settles nothing."""
        outcome = NOT_CHECKED if self.only_told else self.code
        return standing(reason=self.reason, pointed=self.pointed, outcome=outcome)

    @property
    def changed_nothing(self) -> str:
        """Why it counts as money that changed no reading, "" where it doesn't."""
        outcome = NOT_CHECKED if self.only_told else self.code
        return changed_nothing(reason=self.reason, pointed=self.pointed, outcome=outcome)


class SwapRecord:
    """The entries of one ticket that bear on its swaps."""

    def __init__(self, views: Iterable[EntryView]) -> None:
        self._views = [view for view in views if view.data]
        self._by_seq = {view.entry.seq: view for view in self._views}
        self.tests = [view for view in self._current("test") if view.link]
        self._of_digest = {view.link.run.digest: view for view in self._views if view.link}
        self.complaints = {view.data["uid"]: view.data for view in self._current("complaint")}
        self._first: dict[str, int] = {}
        for view in self._views:
            if view.entry.kind == "swap":
                self._first.setdefault(view.data["uid"], view.entry.seq)
        self.swaps = [v for v in self._current("swap") if v.data.get("ours", True)]
        self.battery_changes = [
            self._by_seq[self.first_seq(view.data["uid"])].entry.at
            for view in self.swaps
            if any(battery.is_battery(view.data.get(key, "")) for key in ("part_in", "part_out"))
        ]

    def _current(self, kind: str) -> list[EntryView]:
        return [view for view in self._views if view.entry.kind == kind and not view.is_gone]

    @property
    def next_seq(self) -> int:
        """The number that an entry written now gets at least."""
        return max(self._by_seq, default=0) + 1

    def first_seq(self, uid: str) -> int:
        """The entry that first recorded a swap; of one that is only being typed the next."""
        return self._first.get(uid, self.next_seq)

    def standing_test(self, view: EntryView) -> EntryView | None:
        """A test itself, or the latest correction of it; None where it was withdrawn."""
        while view.replaced_by is not None:
            later = self._by_seq.get(view.replaced_by.seq)
            if later is None or later.link is None:
                return None
            view = later
        return view

    # --- which tests --------------------------------------------------------------------------

    def named(self, swap: Data, *roles: str) -> list[EntryView]:
        """The tests that a swap names in these roles, as they stand now."""
        found = {}
        for role in roles:
            for digest in swap.get("runs", {}).get(role, []):
                view = self._of_digest.get(digest)
                standing = self.standing_test(view) if view else None
                if standing is not None:
                    found[standing.entry.seq] = standing
        return [found[seq] for seq in sorted(found)]

    def after(self, swap: Data) -> list[EntryView]:
        """The tests after a swap: those named, and any like the tests before it that was made until
        the next part was changed, or, where there is none, later."""
        since, until = self._stretch(swap)
        kinds = {_kind(view) for view in self.named(swap, "pointed", "before")}
        later = [v for v in self.tests if v.entry.seq > since and _kind(v) in kinds]
        found = {v.entry.seq: v for v in self.named(swap, "after")}
        found |= {v.entry.seq: v for v in later if v.entry.seq < until}
        found = found or {v.entry.seq: v for v in later}
        return [found[seq] for seq in sorted(found)]

    def _stretch(self, swap: Data) -> tuple[int, float]:
        """From the swap to the next one of this shop, in numbers of entries."""
        since = self.first_seq(swap.get("uid", ""))
        starts = (self.first_seq(other.data["uid"]) for other in self.swaps)
        return since, min((seq for seq in starts if seq > since), default=math.inf)

    def before(self, swap: Data, after: EntryView) -> EntryView | None:
        """The latest like test before the swap; one with the engine as hot or cold, if there is."""
        since = self.first_seq(swap.get("uid", ""))
        named = {view.entry.seq for view in self.named(swap, "pointed", "before")}
        alike = [
            view
            for view in self.tests
            if _kind(view) == _kind(after)
            and view.entry.seq < after.entry.seq
            and (view.entry.seq < since or view.entry.seq in named)
        ]
        as_hot = [v for v in alike if _run(v).state_of_car == _run(after).state_of_car]
        return max(as_hot or alike, key=lambda view: view.entry.seq, default=None)

    # --- what they show -----------------------------------------------------------------------

    def proof(self, swap: Data) -> Proof:
        """What came of a swap, of its latest version's data."""
        pairs = tuple(self._pairs(swap))
        found = together([pair.outcome for pair in pairs if pair.counts])
        clock = self._clock(swap)
        return Proof(
            by_tests=by_clock(found, clock) if clock else found,
            reason=swap["reason"],
            pointed=bool(self.named(swap, "pointed")),
            told=swap.get("outcome", ""),
            told_why=swap.get("outcome_why", ""),
            pairs=pairs,
            comes_and_goes=clock is not None and self._often(swap) in ONE_IN,
        )

    def _pairs(self, swap: Data) -> Iterator[Compared]:
        after = self.after(swap)
        latest = {(_kind(view), _run(view).state_of_car): view.entry.seq for view in after}
        for view in after:
            before = self.before(swap, view)
            counts = latest[_kind(view), _run(view).state_of_car] == view.entry.seq
            if before is None:
                yield Compared(None, view, None, self._alone(swap, view), counts)
                continue
            matched = compare.match(_run(before), _run(view))
            outcome = of_pair(self._pair(swap, before, view, matched))
            yield Compared(before, view, matched, outcome, counts)

    def _alone(self, swap: Data, view: EntryView) -> Outcome:
        """Of a test after a swap that there is none before of: it may see the complaint itself."""
        if self._complaint_at(swap, view) == "yes":
            return Outcome(NO_CHANGE)
        return Outcome(CANNOT_TELL, (Reason("no_before", (_title(view),)),))

    def _complaint_at(self, swap: Data, view: EntryView) -> Complaint:
        """Whether the swap's complaint was there during a test, not known where another one was
        asked about; "" where nobody complains."""
        link, uid = view.link, self._complaint(swap)[0]
        if link is None or not self.complaints:
            return ""
        of_another = uid and str(link.complaint_uid or uid) != uid
        return "unknown" if of_another else link.fault_present

    def _pair(
        self, swap: Data, before: EntryView, after: EntryView, matched: compare.Matched
    ) -> Pair:
        first, _moved_earlier = self._side(swap, before, matched.earlier)
        second, moved = self._side(swap, after, matched.later)
        disturbed = [*moved, *self._disturbed(swap, before, after)]
        found = matched.found
        return Pair(
            first,
            second,
            changes=found.changes if found else (),
            apart=found.apart if found else (),
            disturbed=tuple(dict.fromkeys(disturbed)),
        )

    def _side(self, swap: Data, view: EntryView, found: Recorded) -> tuple[Side, list[str]]:
        """A test as the rules take it, and what it says was moved."""
        run = _run(view)
        seen: Seen = "undecided" if found.undecided else "sound" if found.sound else "unusual"
        doubts, moved = [], []
        for code in found.assessment.confounders:
            if code in ASKED_ANYWAY or not _weakens(run.procedure, code, seen):
                continue
            text = found.words.confounders.get(code, "").rstrip(".")
            if code in DISTURBED:
                moved.append(text)
            elif not (code in WEIGHED_BY_DRIVES and self._clock_runs):
                doubts.append(text)
        if weak := battery.remark(run, self._runs, changes=self.battery_changes):
            doubts.append(weak.rstrip("."))
        return (
            Side(
                seen=seen,
                pattern=found.assessment.pattern,
                complaint=self._complaint_at(swap, view),
                held={v.address: _held(v) for v in found.assessment.verdicts},
                doubts=tuple(doubts),
            ),
            moved,
        )

    @cached_property
    def _runs(self) -> list[Run]:
        return [_run(view) for view in self.tests]

    @cached_property
    def _clock_runs(self) -> bool:
        return any(_how_often(data) in ONE_IN for data in self.complaints.values())

    def _disturbed(self, swap: Data, before: EntryView, after: EntryView) -> list[str]:
        """What else was moved or changed between two tests, unless the fault was seen after it."""
        moved = []
        for view in self._views:
            seq = view.entry.seq
            if not before.entry.seq < seq < after.entry.seq or view.is_gone:
                continue
            moved += [(seq, what) for what in self._moved_by(view, swap)]
        seen = [
            view.entry.seq
            for view in self.tests
            if (view.link and view.link.fault_present == "yes")
            or _run(view).summary.pattern in SEEN_AFTER_MOVING
        ]
        return [
            what for seq, what in moved if not any(seq <= one < after.entry.seq for one in seen)
        ]

    def _moved_by(self, view: EntryView, swap: Data) -> list[str]:
        kind, data = view.entry.kind, view.data
        if kind == "swap":
            other = data["uid"] != swap.get("uid") and data.get("ours", True)
            first = self.first_seq(data["uid"]) == view.entry.seq
            return [part_of(data)] if other and first and part_of(data) else []
        if kind == "test" and view.link:
            procedure = PROCEDURES.get(_run(view).procedure)
            moves = procedure.moved if procedure else None
            return list(moves(read(_run(view)).readings)) if moves else []
        if kind == "apart" and not data.get("run") and not data.get("swap"):
            return [str(data["what"])]
        return [str(data["what"])] if kind == "alteration" and not data.get("found_so") else []

    # --- drives -------------------------------------------------------------------------------

    def _complaint(self, swap: Data) -> tuple[str, Data]:
        """The complaint that a swap is about: that of its tests, or the only one."""
        for view in self.named(swap, "pointed", "before", "after"):
            uid = str(view.link.complaint_uid or "") if view.link else ""
            if uid in self.complaints:
                return uid, self.complaints[uid]
        if len(self.complaints) == 1:
            return next(iter(self.complaints.items()))
        return "", {}

    def complaint_of(self, swap: Data) -> str:
        """The uid of the complaint that a swap is about, "" where that is not known."""
        return self._complaint(swap)[0]

    def _often(self, swap: Data) -> str:
        return _how_often(self._complaint(swap)[1])

    def _clock(self, swap: Data) -> Clock | None:
        """Drives since a swap. None where the fault is no one that comes and goes, unless somebody
        has said that it came back."""
        often = self._often(swap)
        clean, came_back = 0, False
        for view in self._since(swap):
            more, back = _drives(view)
            clean, came_back = (0 if back else clean) + more, came_back or back
        if often not in ONE_IN:
            return Clock(None, clean, came_back=True) if came_back else None
        return Clock(ONE_IN[often], clean, came_back)

    def _since(self, swap: Data) -> Iterator[EntryView]:
        """Entries of drives on this swap; of a fault that comes and goes also the tests that count
        as drives, until the next part was changed."""
        since, until = self._stretch(swap)
        uid, told = self._complaint(swap)
        counts = _how_often(told) in ONE_IN
        for view in self._views:
            if view.is_gone or view.entry.seq <= since:
                continue
            if view.entry.kind == "drives" and view.data["swap"] == swap.get("uid"):
                yield view
            elif view.link and counts and view.entry.seq < until:
                own = str(view.link.complaint_uid or "") in ("", uid)
                if own and _run(view).procedure in (TRIES, ROAD):
                    yield view


def _drives(view: EntryView) -> tuple[int, bool]:
    """Drives without the fault, and whether it came back. Tries made just as the customer told
    count one each; a road test under the right conditions counts as one."""
    if view.link is None:
        return int(view.data["drives"]), bool(view.data["came_back"])
    if view.link.fault_present != "no":
        return 0, view.link.fault_present == "yes"
    found = read(_run(view))
    if found.procedure == ROAD:
        return int(not WEAK_DRIVE & set(found.assessment.confounders)), False
    tried = found.readings.value("tries.as_told.tried")
    return int(tried) if isinstance(tried, (int, float)) else 0, False


def _how_often(complaint: Data) -> str:
    answers = (complaint.get("conditions") or {}).get("how_often") or [""]
    return str(answers[0])


def _run(view: EntryView) -> Run:
    return view.link.run  # type: ignore[union-attr]


def _kind(view: EntryView) -> tuple[str, str]:
    """What makes a test the same test: its procedure, and the part that it was made on."""
    return _run(view).procedure, _run(view).subject


def _title(view: EntryView) -> str:
    return read(_run(view)).words.title


_COMMON = {confounder.code: confounder for confounder in COMMON_CONFOUNDERS}


def _weakens(name: str, code: str, seen: str) -> bool:
    procedure = PROCEDURES.get(name)
    if procedure is None:
        return False
    known = {one.code: one for one in procedure.confounders}
    confounder = known.get(code) or _COMMON.get(code)
    if confounder is None or (confounder.only_sound and seen != "sound"):
        return False
    return confounder.weight <= WEAKENS


def _held(verdict: VerdictOutcome) -> Held:
    """A verdict, with how far beyond its limit. The sign of a drop only tells how the leads were
    held, so that of two sizes the one that is outside counts."""
    value, low, high = verdict.value, verdict.low, verdict.high
    if verdict.outcome != "outside" or value is None:
        return Held(verdict.outcome)
    below = low - value if low is not None else -math.inf
    above = value - high if high is not None else -math.inf
    beyond = max(below, above)
    if beyond <= 0 and high is not None:
        beyond = abs(value) - high
    return Held(verdict.outcome, max(beyond, 0.0))


def part_of(swap: Data) -> str:
    """The part that a swap is about, as it was written."""
    return str(swap.get("part_in") or swap.get("part_out") or "")


def records_of(tickets: Sequence[int]) -> dict[int, SwapRecord]:
    """Ticket's key -> its record of swaps, for many tickets in two queries, whatever is on them."""
    from jobs.models import Entry, RunLink
    from jobs.record.kind import kind_of
    from jobs.ticket_view import EntryView

    links = {
        link.entry_id: link
        for link in RunLink.objects.filter(ticket__in=tickets).select_related("run__summary")
    }
    entries = (
        Entry.objects.filter(ticket__in=tickets, kind__in=KINDS)
        .select_related("payload", "replaced_by")
        .order_by("ticket", "seq")
    )
    views: dict[int, list[EntryView]] = {ticket: [] for ticket in tickets}
    for entry in entries:
        data = kind_of(entry.kind).read(entry.data, entry.format) if entry.data else {}
        views[entry.ticket_id].append(EntryView(entry, data, link=links.get(entry.pk)))
    return {ticket: SwapRecord(found) for ticket, found in views.items()}
