"""What a ticket's record says about the suspects of one of its complaints."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING

from jobs import battery, words
from jobs.actions.runs import car_facts
from jobs.likely_tests import FIRST
from jobs.models import RunLink, StartingOdds
from jobs.own_odds import digest, weights_of
from jobs.reasoning.stop import Stand, stand
from jobs.suspects.gather import (
    SHARED,
    STRENGTHS,
    Changed,
    Gathered,
    Made,
    Said,
    Told,
    gather,
)
from jobs.suspects.information import expected_bits
from jobs.suspects.knowledge import sound_outcomes, tables
from jobs.suspects.next_test import Candidate, Here, Ranked, looks_at_danger, rank
from jobs.suspects.odds import IN_A_GROUP, UNDECIDED, Odds, update
from jobs.suspects.pairs import Joint, weigh_pairs
from jobs.suspects.tables import OWN, UNLISTED, Evidence, Suspect, Table, source_of
from measurements.core.context import Context
from measurements.core.judging import COMMON_CONFOUNDERS
from measurements.core.procedure import Pattern, Procedure
from measurements.models import Run
from measurements.procedures import PROCEDURES

if TYPE_CHECKING:
    from jobs.ticket_view import EntryView, TicketView

FIRST_TESTS = (*FIRST, "trouble_codes")
"""Procedures among the five first things: they are offered first."""

SAFETY_FAMILIES = frozenset({"brakes", "steering", "overheats", "smell_or_smoke"})
"""Complaints that are a danger by themselves."""

WORTH_REPEATING = 0.5
"""A test of which no more than this was left by what disturbed it may be made again."""


@dataclass
class Reasoning:
    """One complaint: its suspects and what moved them. Work that not every page needs is done when
    it is asked for."""

    view: TicketView
    complaint: EntryView
    table: Table
    starts: Mapping[str, float]
    gathered: Gathered
    odds: Odds
    made: Sequence[EntryView]
    own: Collection[str] = ()
    knowledge: str = ""
    opinions: Sequence[EntryView] = ()

    @property
    def family(self) -> str:
        """The complaint's family."""
        return self.table.family

    @cached_property
    def joint(self) -> Joint:
        """Pairs beside single suspects."""
        return weigh_pairs(
            self.table, self.gathered.pieces, sound_outcomes_by_key(self.table), self.starts
        )

    @cached_property
    def ranked(self) -> list[Ranked]:
        """The tests that could be made, the best first."""
        found = rank(self.table, self.odds.shares, self._candidates, self._here)
        return [one for one in found if not one.candidate.lacks]

    @cached_property
    def elsewhere(self) -> list[Candidate]:
        """Tests for which this shop lacks a tool, those that would tell something."""
        return [one for one in self._candidates if one.lacks and self._bits(one.key) > 0.05]

    @cached_property
    def stand(self) -> Stand:
        """Where it stands."""
        separable = any(one.bits >= 0.01 for one in self.ranked)
        return stand(
            self.table,
            self.odds,
            self.starts,
            separable=separable,
            direct=seen_directly,
            made=[view.entry.seq for view in self.made],
            first_left=any(one.candidate.first for one in self.ranked),
            cured=self.gathered.cured_by is not None,
        )

    def _bits(self, key: str) -> float:
        evidence = self.table.evidence.get(key)
        return expected_bits(evidence, self.odds.shares) if evidence else 0.0

    @cached_property
    def _here(self) -> Here:
        from jobs.offers import hot_at

        runs = [view.link.run for view in self.view.tests if view.link]
        return Here("hot" if hot_at(runs) else "", frozenset(item.what for item in self.view.apart))

    @cached_property
    def _candidates(self) -> list[Candidate]:
        context = Context(car=car_facts(self.view.ticket.car), units=self.view.profile.units)
        lacking = set(self.view.profile.lacks_tools)
        groups = {piece.group for piece in self.odds.pieces if piece.group}
        found = []
        for key in self._open_keys():
            procedure = PROCEDURES[source_of(key)]
            if not (procedure.not_for and procedure.not_for(context)):
                found.append(self._candidate(procedure, key, groups, lacking))
        return found

    def _candidate(
        self, procedure: Procedure, key: str, groups: set[str], lacking: set[str]
    ) -> Candidate:
        evidence = self.table.evidence.get(key)
        return Candidate(
            name=procedure.name,
            key=key,
            minutes=procedure.effort.minutes,
            opens=frozenset(procedure.leaves_apart),
            wants=procedure.effort.state,
            weight=IN_A_GROUP if group_of(procedure) in groups else 1.0,
            first=procedure.name in FIRST_TESTS,
            danger=evidence is not None and self._is_danger(evidence),
            lacks=tuple(tool for tool in procedure.effort.tools if tool in lacking),
        )

    def _open_keys(self) -> list[str]:
        """Of each procedure that is not made yet, or may be made again, the key that tells most;
        of the first things those too of which the table knows nothing."""
        made = {piece.key for piece in self.odds.pieces if piece.weight > WORTH_REPEATING}
        best: dict[str, str] = {}
        for key in self.table.evidence:
            name = source_of(key)
            if name not in PROCEDURES or key in made:
                continue
            if name not in best or self._bits(key) > self._bits(best[name]):
                best[name] = key
        tried = {view.link.run.procedure for view in self.made if view.link}
        for name in FIRST_TESTS:
            if name in tried:
                best.pop(name, None)
            else:
                best.setdefault(name, name)
        return list(best.values())

    def _is_danger(self, evidence: Evidence) -> bool:
        """It looks at something that can hurt, and that is well in view."""
        alarmed = self.family in SAFETY_FAMILIES or bool(self.complaint.data.get("red_flags"))
        return looks_at_danger(self.table, evidence, self.odds.shares, alarmed=alarmed)


def group_of(procedure: Procedure) -> str:
    """What sees the same thing as this test shares it."""
    return SHARED.get(procedure.name, procedure.evidence_group)


def sound_outcomes_by_key(table: Table) -> dict[str, str]:
    """Kind of evidence in a table -> the outcome that means that nothing unusual was seen."""
    sound = sound_outcomes()
    return {key: sound.get(source_of(key), "") for key in table.evidence}


def seen_directly(procedure: str, outcome: str) -> bool:
    """Whether an outcome was seen with the eye or by the part's own test."""
    declared = PROCEDURES.get(procedure)
    return declared is not None and declared.pattern(outcome).direct


def reasonings(view: TicketView, *, old_parts_too: bool = False) -> list[Reasoning]:
    """One for each complaint whose family has a table."""
    if not view.complaints:
        return []
    own = StartingOdds.objects.standing()
    return [
        found
        for complaint in view.complaints
        if (found := reasoning_of(view, complaint, own, old_parts_too=old_parts_too)) is not None
    ]


def reasoning_of(
    view: TicketView,
    complaint: EntryView,
    own: Mapping[str, Mapping[str, StartingOdds]] | None = None,
    *,
    old_parts_too: bool = False,
) -> Reasoning | None:
    """The reasoning about a complaint; None where its family has no table. old_parts_too: as in
    `jobs.suspects.gather`."""
    table = tables().get(complaint.data.get("family", ""))
    if table is None:
        return None
    rows = (own if own is not None else StartingOdds.objects.standing()).get(table.family, {})
    uid = complaint.data["uid"]
    opinions = [item for item in view.opinions if item.data["complaint"] == uid]
    table = _with_added(table, opinions)
    starts = {one.suspect.code: one.share for one in weights_of(table, rows)}
    made = [item for item in view.tests if item.link and item.run]
    gathered = gather(
        table,
        tests=_made(made, view.swap_record.battery_changes),
        answers=_told(complaint),
        opinions=[
            Said(item.entry.seq, item.data["suspect"], item.data["strength"])
            for item in opinions
            if item.data["suspect"] in table and item.data["strength"] in STRENGTHS
        ],
        swaps=[
            Changed(
                item.first_seq,
                tuple(
                    part for part in (item.data.get("part_out"), item.data.get("part_in")) if part
                ),
                item.swap_outcome,
                item.swap_complaint,
            )
            for item in view.swaps
            if item.data.get("ours", True)
        ],
        complaint=uid,
        old_parts_too=old_parts_too,
    )
    return Reasoning(
        view,
        complaint,
        table,
        starts,
        gathered,
        update(table, gathered.pieces, starts),
        made,
        own=frozenset(rows),
        knowledge=digest(table, rows),
        opinions=opinions,
    )


def _with_added(table: Table, opinions: Iterable[EntryView]) -> Table:
    """The table with suspects that a technician added: each starts with half of what the unlisted
    ones have together, and what is known of no test speaks of it."""
    added = {
        item.data["suspect"]: item.data["label"]
        for item in opinions
        if item.data["suspect"].startswith(OWN)
    }
    if not added:
        return table
    start = max(1, table.suspect(UNLISTED).start // 2)
    suspects = tuple(Suspect(code, label, label, start) for code, label in added.items())
    return replace(table, suspects=(*suspects, *table.suspects))


def _told(complaint: EntryView) -> list[Told]:
    silent = {words.NOT_ASKED, words.DONT_KNOW}
    return [
        Told(complaint.entry.seq, name, answers)
        for name, codes in complaint.data.get("conditions", {}).items()
        if (answers := tuple(code for code in codes if code not in silent))
    ]


def _made(views: Sequence[EntryView], battery_changes: Sequence[datetime]) -> list[Made]:
    links = [(view.entry.seq, view.link) for view in views if view.link]
    runs = [link.run for _seq, link in links]
    return [made_of(seq, link, runs, battery_changes) for seq, link in links]


def made_of(
    seq: int, link: RunLink, runs: Sequence[Run], battery_changes: Sequence[datetime]
) -> Made:
    """A test as evidence. seq: its entry; runs: the others of the ticket, which may have found the
    battery weak; battery_changes: when that was changed."""
    run = link.run
    procedure = PROCEDURES.get(run.procedure)
    stored = run.data["assessment"]
    pattern = procedure.pattern(stored["pattern"]) if procedure else None
    if procedure is None or pattern is None or _is_lost(stored["pattern"], pattern):
        return Made(seq, run.procedure, stored["pattern"], known=False)
    weight = 1.0
    for code in stored.get("confounders", ()):
        weight *= _left_by(procedure, code, sound=pattern.sound)
    if battery.remark(run, runs, changes=battery_changes):
        weight *= _left_by(procedure, "weak_battery", sound=pattern.sound)
    typed = run.data["typed"].get("given.what", ("", ""))
    return Made(
        source=seq,
        procedure=run.procedure,
        outcome=pattern.code,
        subject=run.subject.partition(":")[0],
        state=run.state_of_car,
        present=link.fault_present,
        weight=weight,
        group=procedure.evidence_group,
        part=typed[0] if procedure.name == "substitution" else "",
    )


def _is_lost(code: str, pattern: Pattern) -> bool:
    """Whether what a test found then has no meaning in the tables of now."""
    return pattern.code == UNDECIDED and code != UNDECIDED


_COMMON = {confounder.code: confounder for confounder in COMMON_CONFOUNDERS}


def _left_by(procedure: Procedure, code: str, *, sound: bool) -> float:
    """How much of a test a confounder leaves; one that no version knows any more leaves all."""
    own = {confounder.code: confounder for confounder in procedure.confounders}
    confounder = own.get(code) or _COMMON.get(code)
    if confounder is None or (confounder.only_sound and not sound):
        return 1.0
    return confounder.weight
