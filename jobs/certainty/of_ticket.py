"""What a ticket's record says about how sure a finding may be."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from jobs import battery
from jobs.certainty.rules import (
    Allowed,
    Case,
    Changed,
    Ground,
    Pictured,
    Shows,
    Tested,
    allowed,
)
from jobs.models import Photo, Swap
from jobs.reasoning.of_ticket import made_of
from jobs.reasoning.stop import needs_two
from jobs.suspects.gather import BY_PART, Made, suspects_naming
from jobs.suspects.knowledge import tables
from jobs.suspects.odds import UNDECIDED
from jobs.suspects.tables import Suspect, Table
from measurements.core.procedure import Pattern
from measurements.models import Run
from measurements.procedures import PROCEDURES

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView, TicketView

Evidence = Run | Photo | Swap

SUBJECTS_OF_A_FAULT = frozenset(
    {"dipstick", "spark_plug", "filler_cap", "connector", "leak", "damage", "before", "old_part"}
    | {"other"}
)
"""Photos in which a fault itself can be seen; plate, dashboard, gauges and labels show none."""

PRESENCE = frozenset({"fault_absent", "fault_unknown"})
"""Weaknesses that only say whether the fault was there, which these rules ask by themselves."""

GOES_ALONG = frozenset({"followed_and_back", "followed", "gone_and_back"})
CLEARS = frozenset({"stayed", "good_part_remains", "same_at_both"})
"""Outcomes of a trial with another part: the fault went where the part went; the part is not it."""

SETTLES_NOTHING: Mapping[str, frozenset[str]] = {
    "alignment": frozenset({"runout_too_large_to_tell"}),
    "battery_at_rest": frozenset({"charge_not_told"}),
    "brakes": frozenset({"at_limit"}),
    "charging": frozenset({"not_loaded_enough"}),
    "compression": frozenset({"near_limit"}),
    "data_log": frozenset({"gaps_in_log"}),
    "fuses_and_relays": frozenset({"contact_not_loaded"}),
    "leak_down": frozenset({"near_limit"}),
    "live_values": frozenset({"not_closed_loop"}),
    "make_it_happen": frozenset(
        {"stopped", "only_under_some", "other_than_told", "as_told", "came_unseen"}
    ),
    "oil_pressure": frozenset({"at_limit"}),
    "play": frozenset({"brake_untried"}),
    "road_test": frozenset(
        {"stopped_early", "reproduced", "reproduced_otherwise", "something_noticed"}
    ),
    "substitution": frozenset({"gone_after_moving", "new_fault"}) | CLEARS,
    "tyres": frozenset({"at_limit"}),
    "voltage_drop": frozenset({"no_current", "not_loaded_enough", "steps_disagree"}),
}
"""Patterns that name no fault of a part: too little was measured or it lies too close to a limit;
the complaint itself was seen; a connector that was moved may be it as well."""

TELLS_APART = 1 / 2
"""A good result of its own test is so much less likely if the cause is there (judgement)."""

ONLY_WHEN = {"hot": "hot", "hot_restart": "hot", "cold": "cold"}
"""Answers to when a complaint comes that a test in the other state of the engine cannot answer."""

UNSEEN = frozenset({"came_unseen"})
"""Patterns of a fault that the customer saw, and this shop did not."""


@dataclass(frozen=True)
class About:
    """What a finding is about. complaint: uid, "" for none; cause: "family.suspect", "" for none;
    also_like: what else would look the same; shows: photos in which the fault itself is seen."""

    complaint: str = ""
    cause: str = ""
    also_like: str = ""
    shows: Collection[tuple[str, str]] = ()


def frame(photo: Photo) -> tuple[str, str]:
    """A photo as findings name it: uid of its entry, letter."""
    return str(photo.entry.uid), photo.letter


def can_show_a_fault(photo: Photo) -> bool:
    """Whether a fault itself can be seen in it at all."""
    return photo.subject in SUBJECTS_OF_A_FAULT


def allowed_for(view: TicketView, rests_on: Iterable[Evidence], about: About) -> Allowed:
    """How sure a finding on this evidence may be, and what is missing for more."""
    return allowed(case_of(view, rests_on, about))


def case_of(view: TicketView, rests_on: Iterable[Evidence], about: About) -> Case:
    """The evidence of a finding as the rules weigh it. What another ticket holds is left out."""
    return _Reader(view, about).case(rests_on)


def stakes_of(cause: str) -> bool:
    """Whether the repair of a cause costs much, can't be undone, or guards a life."""
    found = suspect_of(cause)
    return found is not None and needs_two(found[1])


def suspect_of(cause: str) -> tuple[Table, Suspect] | None:
    """The table and suspect that "family.suspect" names; None for one that no table holds."""
    family, _dot, code = cause.partition(".")
    table = tables().get(family)
    return (table, table.suspect(code)) if table is not None and code in table else None


def speaking_for(view: TicketView, cause: str) -> list[EntryView]:
    """The ticket's tests that found what speaks for a cause, by the table that holds it."""
    return [test for test in view.tests if _Reader(view, About(cause=cause)).speaks_for(test)]


class _Reader:
    """Reads evidence out of one ticket for one finding."""

    def __init__(self, view: TicketView, about: About) -> None:
        self.view, self.about = view, about
        self.suspect = suspect_of(about.cause)
        self.complaint = next(
            (c for c in view.complaints if about.complaint and c.data["uid"] == about.complaint),
            None,
        )

    def case(self, rests_on: Iterable[Evidence]) -> Case:
        grounds = [found for item in rests_on if (found := self._ground(item)) is not None]
        told = self.complaint.data.get("conditions", {}) if self.complaint else {}
        return Case(
            grounds=grounds,
            reported=self.complaint is not None,
            names_cause=self.suspect is not None,
            how_often=next(iter(told.get("how_often", ())), ""),
            seen=self._seen(),
            stakes=stakes_of(self.about.cause),
            also_like=bool(self.about.also_like.strip()),
        )

    def speaks_for(self, view: EntryView) -> bool:
        """A test that found something which the cause's table says it brings about."""
        made = self._made_of(view)
        tested = self._tested(view)
        known = self._row(made) is not None
        return tested is not None and tested.shows == "fault" and known and tested.speaks

    def _ground(self, item: Evidence) -> Ground | None:
        if isinstance(item, Photo):
            fault = can_show_a_fault(item) and frame(item) in self.about.shows
            return Pictured(item.frame, fault)
        if isinstance(item, Swap):
            swaps = (view for view in self.view.swaps if view.data["uid"] == str(item.uid))
            return next((self._changed(view) for view in swaps), None)
        tests = (view for view in self.view.tests if view.link.run_id == item.pk)
        return next((self._tested(view) for view in tests), None)

    def _seen(self) -> bool:
        """The fault was there in a test of this complaint, and this shop made it."""
        return any(
            view.link.fault_present == "yes"
            and view.link.run.data["assessment"]["pattern"] not in UNSEEN
            and self._is_of_it(view)
            for view in self.view.tests
        )

    def _is_of_it(self, test: EntryView) -> bool:
        named = str(test.link.complaint_uid or "")
        return not self.complaint or named in ("", self.complaint.data["uid"])

    # --- tests ---------------------------------------------------------------------------------

    @cached_property
    def _runs(self) -> list[Run]:
        return [view.link.run for view in self.view.tests]

    def _made_of(self, view: EntryView) -> Made:
        changes = self.view.swap_record.battery_changes
        return made_of(view.entry.seq, view.link, self._runs, changes)

    @cached_property
    def _after_changes(self) -> set[str]:
        return {
            digest
            for swap in self.view.swaps
            for digest in swap.data.get("runs", {}).get("after", [])
        }

    def _tested(self, view: EntryView) -> Tested | None:
        made = self._made_of(view)
        procedure = PROCEDURES.get(made.procedure)
        if procedure is None:
            return None
        pattern = procedure.pattern(made.outcome)
        return Tested(
            no=made.source,
            group=made.group or made.procedure,
            shows=_shows(made, pattern),
            direct=pattern.direct,
            whole=self._is_whole(view, made, pattern),
            present=made.present,
            speaks=self._speaks(made),
            own=self._is_own(made, pattern),
            goes_along=made.procedure == BY_PART and made.outcome in GOES_ALONG,
            clears=made.procedure == BY_PART and made.outcome in CLEARS and self._is_part(made),
            after_change=view.link.run.digest in self._after_changes,
        )

    def _is_whole(self, view: EntryView, made: Made, pattern: Pattern) -> bool:
        """Nothing weakened it but, at most, that the fault was not known to be there."""
        if not pattern.sound:
            return made.weight >= 1
        run = view.link.run
        codes = set(run.data["assessment"].get("confounders", ()))
        changes = self.view.swap_record.battery_changes
        if codes - PRESENCE or battery.remark(run, self._runs, changes=changes):
            return False
        state = run.state_of_car
        return state not in ("hot", "cold") or self._wanted_state in ("", state)

    @cached_property
    def _wanted_state(self) -> str:
        """The state of the engine in which alone the complaint comes; "" where it is all one."""
        told = self.complaint.data.get("conditions", {}) if self.complaint else {}
        states = {ONLY_WHEN.get(code, "") for code in told.get("engine_temperature", ())}
        return states.pop() if len(states) == 1 else ""

    def _speaks(self, made: Made) -> bool:
        """By the tables of the cause in question, where they speak of this outcome at all."""
        if made.procedure == BY_PART and self.suspect and made.part and made.outcome in GOES_ALONG:
            return self._is_part(made)
        known = self._row(made)
        return known is None or known[0] > known[1]

    def _is_own(self, made: Made, pattern: Pattern) -> bool:
        """A good result of it would hardly come about were this the cause."""
        if self.suspect is None:
            return True
        if made.procedure == BY_PART and made.outcome in CLEARS:
            return self._is_part(made)
        known = self._row(made) if pattern.sound else None
        return known is not None and known[0] <= known[1] * TELLS_APART

    def _row(self, made: Made) -> tuple[float, float] | None:
        """How likely this outcome is if the cause is there, and if it is not; None where no table
        speaks of it."""
        if self.suspect is None:
            return None
        table, suspect = self.suspect
        key = table.key_for(made.procedure, made.subject, made.state)
        if not key or made.outcome not in table.evidence[key].otherwise:
            return None
        evidence = table.evidence[key]
        return evidence.row(suspect.code)[made.outcome], evidence.otherwise[made.outcome]

    def _is_part(self, made: Made) -> bool:
        """What was tried is the part of the cause in question; without one it is taken for it."""
        if self.suspect is None:
            return True
        table, suspect = self.suspect
        return suspect.code in suspects_naming(table, (made.part,))

    # --- swaps ---------------------------------------------------------------------------------

    def _changed(self, view: EntryView) -> Changed:
        """What the tests show counts for it, and no word beside them; against it a word counts."""
        proof = view.proof
        shown = proof.by_tests.code if proof and proof.pairs else ""
        return Changed(
            no=view.entry.seq,
            gone=shown == "not_present" and self._names_it(view),
            no_use=view.swap_outcome in ("no_change", "worse") and self._names_it(view),
        )

    def _names_it(self, view: EntryView) -> bool:
        if self.suspect is None:
            return True
        table, suspect = self.suspect
        parts = [part for name in ("part_out", "part_in") if (part := view.data.get(name))]
        return suspect.code in suspects_naming(table, parts)


def _shows(made: Made, pattern: Pattern) -> Shows:
    if pattern.code == UNDECIDED or pattern.code in SETTLES_NOTHING.get(made.procedure, ()):
        return "nothing"
    return "sound" if pattern.sound else "fault"
