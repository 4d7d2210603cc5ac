"""Suspects, their evidence and the next tests as plain data for templates: every word is chosen
here, every number rounded here."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import words
from jobs.offers import order_warnings
from jobs.reasoning import odds_words, stop
from jobs.reasoning.of_ticket import Reasoning
from jobs.suspects.gather import COMPLAINT, OPINION, SWAP
from jobs.suspects.knowledge import subjects
from jobs.suspects.next_test import (
    DANGER,
    FIRST,
    Candidate,
    Meaning,
    Ranked,
    meanings,
    separates,
)
from jobs.suspects.odds import Factor
from jobs.suspects.tables import NOTHING, OWN, UNLISTED, Suspect, source_of
from measurements.procedures import PROCEDURES
from shop.money import Money

SHOWN_TESTS = 3
SHOWN_SUSPECTS = 5
SHOWN_ON_TICKET = 3
LOW = 0.03
"""A suspect below this is shown small, and folded away where it can hurt nobody."""

LIKELY_OUTCOMES, MOST_OUTCOMES = 3, 3
LEAST_CHANCE = 0.04
MOVES = 0.05
"""An outcome that changes the leading share by less is not worth a line."""


@dataclass(frozen=True)
class Weighs:
    """One piece of evidence on one suspect. times: what it did to the odds, "× 9"."""

    times: str
    what: str
    said: str
    rests: list[dict[str, Any]]


@dataclass(frozen=True)
class Row:
    """One suspect. bar, start: shares in per cent, for drawing only."""

    code: str
    label: str
    odds: str
    word: str
    bar: int
    start: int
    started: str
    remarks: list[str]
    weighs: list[Weighs]
    silent: list[dict[str, Any]]
    why: str
    low: bool
    judge_url: str
    finding_url: str


@dataclass(frozen=True)
class Next:
    """A test that could be made now."""

    title: str
    url: str
    minutes: int
    lead: str
    separates: str
    meanings: list[str]
    remarks: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Enough:
    """What follows from where the complaint stands."""

    head: str
    text: str
    ends: list[dict[str, str]]


class Page:
    """All that is shown of one complaint's reasoning."""

    def __init__(self, reasoning: Reasoning) -> None:
        self.reasoning = reasoning
        self.ticket = reasoning.view.ticket
        self.complaint = reasoning.complaint
        self._entries = {view.entry.seq: view for view in reasoning.view.entries}

    @property
    def url(self) -> str:
        """The page of these suspects."""
        return self._url("suspects")

    @property
    def add_url(self) -> str:
        """Where a cause is added."""
        return self._url("suspect-add")

    @property
    def keep_url(self) -> str:
        """Where the odds of now are kept."""
        return self._url("suspects-keep")

    def _url(self, route: str) -> str:
        return reverse(route, args=[self.ticket.number, self.complaint.entry.seq])

    @property
    def tests_counted(self) -> str:
        """Out of how many tests it is weighed."""
        count = len({p.source for p in self.reasoning.odds.pieces if stop.is_test(p)})
        if not count:
            return _("Before any test: what the complaint alone tells.")
        return ngettext("Weighed from one test.", "Weighed from %(n)s tests.", count) % {"n": count}

    @cached_property
    def rows(self) -> list[Row]:
        """Every suspect, the likeliest first."""
        return [self._row(code) for code in self.reasoning.odds.leading]

    @property
    def in_view(self) -> list[Row]:
        """Those that are never folded away: likely ones, and any that can hurt."""
        return [row for n, row in enumerate(self.rows) if self._stays(row, n)]

    @property
    def folded(self) -> list[Row]:
        """The others."""
        return [row for n, row in enumerate(self.rows) if not self._stays(row, n)]

    def _stays(self, row: Row, place: int) -> bool:
        suspect = self.reasoning.table.suspect(row.code)
        return not row.low or place < SHOWN_SUSPECTS or suspect.safety or row.code == UNLISTED

    @property
    def on_ticket(self) -> list[Row]:
        """The few that the ticket's page shows, without what moved them."""
        leading = self.reasoning.odds.leading[:SHOWN_ON_TICKET]
        return [self._row(code, opened=False) for code in leading]

    def _row(self, code: str, *, opened: bool = True) -> Row:
        reasoning = self.reasoning
        suspect = reasoning.table.suspect(code)
        share, start = reasoning.odds.shares[code], reasoning.starts[code]
        moved = reasoning.odds.factors[code] if opened else ()
        factors = sorted(moved, key=lambda f: -max(f.times, 1 / f.times))
        return Row(
            code=code,
            label=capfirst(suspect.label),
            odds=odds_words.in_number(share),
            word=odds_words.in_words(share),
            bar=odds_words.per_cent(share),
            start=odds_words.per_cent(start),
            started=odds_words.in_number(start),
            remarks=self._remarks(suspect),
            weighs=[self._weighs(factor) for factor in factors if odds_words.says(factor.times)],
            silent=self._silent(factors),
            why=suspect.why,
            low=share < LOW,
            judge_url=reverse(
                "suspect-judge", args=[self.ticket.number, self.complaint.entry.seq, code]
            ),
            finding_url=self._finding_url(code),
        )

    def _finding_url(self, code: str) -> str:
        if code in (UNLISTED, NOTHING) or code.startswith(OWN):
            return ""
        url = reverse("finding-add", args=[self.ticket.number])
        return f"{url}?cause={self.reasoning.family}.{code}"

    def _remarks(self, suspect: Suspect) -> list[str]:
        said = []
        if suspect.code == UNLISTED:
            said.append(_("always kept"))
        if suspect.code in self.reasoning.own:
            said.append(_("starting odds are this shop's own"))
        if suspect.code.startswith(OWN):
            said.append(_("added by us; no test is known to tell of it"))
        if suspect.safety:
            said.append(_("can hurt somebody: never out of view"))
        if suspect.costly:
            said.append(_("costly to put right: wants two grounds"))
        fitted = [
            view.entry.seq
            for view in self.reasoning.view.swaps
            if suspect.code in self.reasoning.gathered.naming.get(view.first_seq, ())
        ]
        if fitted:
            said.append(
                _("part changed by us: entry %(nos)s") % {"nos": ", ".join(map(str, fitted))}
            )
        return said

    def _weighs(self, factor: Factor) -> Weighs:
        what, rests = self._source(factor)
        said = odds_words.times_words(factor.times)
        if factor.piece.weight < 1:
            said += " " + _("It counts for less: %(why)s.") % {"why": self._weakened(factor)}
        if evidence := self.reasoning.table.evidence.get(factor.piece.key):
            said += f" {evidence.why}"
        return Weighs(odds_words.times(factor.times), what, said.strip(), rests)

    def _silent(self, factors: Iterable[Factor]) -> list[dict[str, Any]]:
        """What of the evidence says next to nothing of a suspect: once an entry."""
        rests = [self._source(f)[1] for f in factors if not odds_words.says(f.times)]
        return list({one["no"]: one for each in rests for one in each}.values())

    def _weakened(self, factor: Factor) -> str:
        entry = self._entries.get(int(factor.piece.source))
        reasons = []
        if entry is not None and entry.run and stop.is_test(factor.piece):
            reasons += [text.rstrip(".") for text in entry.run.confounders]
        if self._shares_a_group(factor):
            reasons.append(_("other evidence here sees the same thing"))
        return "; ".join(reasons) or _("what else is known")

    def _shares_a_group(self, factor: Factor) -> bool:
        group = factor.piece.group
        same = [p for p in self.reasoning.odds.pieces if group and p.group == group]
        return len(same) > 1

    def _source(self, factor: Factor) -> tuple[str, list[dict[str, Any]]]:
        piece = factor.piece
        seq = int(piece.source)
        entry = self._entries.get(seq)
        if piece.key.startswith(COMPLAINT):
            condition = words.CONDITIONS[piece.key.removeprefix(COMPLAINT)]
            told = condition.answers.customer(piece.outcome)
            return _("The customer says: %(answer)s.") % {"answer": told}, self._rests(
                seq, _("complaint")
            )
        if piece.key == OPINION:
            reason = entry.data["reason"] if entry else ""
            return (
                _("%(name)s: %(word)s. %(reason)s")
                % {
                    "name": entry.entry.by.name if entry else "",
                    "word": words.technician("strength", piece.outcome),
                    "reason": reason,
                },
                self._rests(seq, _("own judgement")),
            )
        if piece.key == SWAP:
            return (
                _("The part was changed: %(outcome)s.")
                % {"outcome": words.technician("swap_outcome", piece.outcome)},
                self._rests(self._latest(seq), _("swap")),
            )
        run = entry.run if entry else None
        if run is None:
            return "", []
        state = f", {run.state_of_car}" if run.state_of_car else ""
        return f"{run.title}{state}: {run.pattern}.", self._rests(seq, run.title)

    def _latest(self, first: int) -> int:
        """Number of the version of a swap that stands, by the entry that first recorded it."""
        later = (v.entry.seq for v in self.reasoning.view.swaps if v.first_seq == first)
        return next(later, first)

    @staticmethod
    def _rests(seq: int, text: str) -> list[dict[str, Any]]:
        return [{"no": seq, "url": f"#e{seq}", "words": text}]

    @property
    def last_kept(self) -> str:
        """That odds of this complaint were kept, and whether the tables are others by now."""
        uid = self.complaint.data["uid"]
        kept = [v for v in self.reasoning.view.kept_odds if v.data["complaint"] == uid]
        if not kept:
            return ""
        said = _("Odds were last kept as entry %(no)s.") % {"no": kept[-1].entry.seq}
        if kept[-1].data["knowledge"] != self.reasoning.knowledge:
            said += " " + _("The tables or this shop's own odds have changed since.")
        return said

    @property
    def left_out(self) -> list[dict[str, Any]]:
        """Tests that do not count, each with the reason."""
        said = []
        for one in self.reasoning.gathered.left_out:
            entry = self._entries.get(one.source)
            title = entry.run.title if entry and entry.run else ""
            why = str(words.technician("left_out", one.why))
            if one.why == "newer":
                why += _(" as entry %(no)s") % {"no": one.by}
            said.append({"no": one.source, "title": title, "why": why})
        return said

    @property
    def pair(self) -> str:
        """That two at once explain it better than any single one; "" where they don't."""
        best = self.reasoning.joint.best
        if best is None:
            return ""
        first, second = (self.reasoning.table.suspect(code).label for code in best)
        return _("%(first)s, and %(second)s") % {"first": capfirst(first), "second": second}

    # --- what to do next ----------------------------------------------------------------------

    @property
    def is_cured(self) -> bool:
        """The repeat after a change no longer shows the fault: no further test is offered."""
        return self.reasoning.stand.state == "cured"

    @cached_property
    def next_tests(self) -> list[Next]:
        """The best tests from here; none once the fault went away with a part."""
        if self.is_cured:
            return []
        return [self._next(one) for one in self.reasoning.ranked[:SHOWN_TESTS]]

    @property
    def next_on_ticket(self) -> list[Next]:
        """The best one alone, without what its outcomes would mean."""
        if self.is_cured:
            return []
        return [self._next(one, opened=False) for one in self.reasoning.ranked[:1]]

    def _next(self, ranked: Ranked, *, opened: bool = True) -> Next:
        candidate = ranked.candidate
        procedure = PROCEDURES[candidate.name]
        done = {view.link.run.procedure for view in self.reasoning.made if view.link}
        wanted = {source_of(key) for key in self.reasoning.table.evidence}
        return Next(
            title=self._title(candidate),
            url=reverse("test-new", args=[self.ticket.number, candidate.name]),
            minutes=round(ranked.minutes),
            lead=self._lead(ranked),
            separates=self._separates(candidate),
            meanings=self._meanings(candidate) if opened else [],
            remarks=[*self._costs(ranked), *order_warnings(procedure, done, wanted)]
            if opened
            else [],
        )

    @staticmethod
    def _title(candidate: Candidate) -> str:
        """The test, and on what it is made where that is a choice."""
        procedure = PROCEDURES[candidate.name]
        on = subjects(procedure).get(candidate.key.partition("@")[0].partition(":")[2])
        return f"{procedure.title}, {on}" if on else procedure.title

    def _lead(self, ranked: Ranked) -> str:
        if ranked.why == FIRST:
            return _("One of the five first things.")
        if ranked.why == DANGER:
            return _("It looks at something that can hurt somebody, so it comes first.")
        return ""

    def _separates(self, candidate: Candidate) -> str:
        codes = separates(self.reasoning.table, self.reasoning.odds.shares, candidate)
        labels = [self.reasoning.table.suspect(code).label for code in codes[:2]]
        if len(labels) == 2:
            return _("It tells apart: %(first)s; %(second)s.") % {
                "first": labels[0],
                "second": labels[1],
            }
        return _("It tells of: %(one)s.") % {"one": labels[0]} if labels else ""

    def _meanings(self, candidate: Candidate) -> list[str]:
        """What the likely outcomes would mean, those of one meaning together."""
        procedure = PROCEDURES[candidate.name]
        shares = self.reasoning.odds.shares
        said: dict[str, list[str]] = {}
        for one in meanings(self.reasoning.table, shares, candidate):
            moves = abs(one.share - shares[one.leading]) >= MOVES
            if one.chance >= LEAST_CHANCE and moves:
                label = procedure.pattern(one.outcome).label
                said.setdefault(self._then(one), []).append(label)
        lines = [
            _("If “%(outcomes)s”: %(then)s.")
            % {"outcomes": _("” or “").join(outcomes[:MOST_OUTCOMES]), "then": then}
            for then, outcomes in said.items()
        ][:LIKELY_OUTCOMES]
        return lines or [_("No single outcome would change much; it adds a ground.")]

    def _then(self, one: Meaning) -> str:
        label = self.reasoning.table.suspect(one.leading).label
        odds = odds_words.in_number(one.share)
        if one.leading == self.reasoning.odds.leading[0]:
            return _("%(suspect)s stays first, with %(odds)s") % {"suspect": label, "odds": odds}
        return _("%(suspect)s comes first, with %(odds)s") % {"suspect": label, "odds": odds}

    def _costs(self, ranked: Ranked) -> list[str]:
        procedure = PROCEDURES[ranked.candidate.name]
        said = []
        if ranked.minutes < procedure.effort.minutes:
            said.append(_("while it is open"))
        if ranked.waits:
            said.append(_("wants a cold engine: after a night"))
        elif procedure.effort.state in ("cold", "hot", "driving"):
            said.append(
                {"cold": _("engine cold"), "hot": _("engine hot"), "driving": _("on the road")}[
                    procedure.effort.state
                ]
            )
        if procedure.leaves_apart and ranked.minutes >= procedure.effort.minutes:
            said.append(_("opens: %(what)s") % {"what": ", ".join(procedure.leaves_apart)})
        return said

    @property
    def elsewhere(self) -> list[str]:
        """Tests that somebody else could make, for want of a tool here."""
        return [
            _("%(title)s: no %(tools)s here. %(separates)s")
            % {
                "title": PROCEDURES[one.name].title,
                "tools": ", ".join(one.lacks),
                "separates": self._separates(one),
            }
            for one in self.reasoning.elsewhere
        ]

    @cached_property
    def enough(self) -> Enough | None:
        """Whether to act, to find a second ground, or to stop; None while tests go on."""
        if unchecked := self._unchecked:
            return unchecked
        found = self.reasoning.stand
        label = found.suspect.label if found.suspect else ""
        if found.state == "cured":
            return Enough(
                _("The fault went away with the part"),
                _(
                    "After the change the repeat no longer showed it. Give it the drives that it "
                    "needs, and write the finding."
                ),
                [],
            )
        if found.state == "act" and found.suspect and not stop.needs_two(found.suspect):
            return Enough(
                _("Enough for a step that can be undone"),
                _(
                    "%(what)s is likely enough. Put that right, then make the same test again: it "
                    "clears no other part."
                )
                % {"what": capfirst(label)},
                [],
            )
        if found.state == "act":
            return Enough(
                _("Enough is known"),
                _(
                    "%(what)s has two grounds that don't share a cause. Before it is opened: what "
                    "else would look like this?"
                )
                % {"what": capfirst(label)},
                [],
            )
        if found.state == "grounds":
            wants = {
                "second": _("a second ground that doesn't share its cause with the first"),
                "direct": _("one seen directly, or by the part's own test"),
            }
            return Enough(
                _("Very likely, and not enough yet"),
                _("%(what)s costs much or concerns safety. It still wants %(wants)s.")
                % {
                    "what": capfirst(label),
                    "wants": _(" and ").join(wants[code] for code in found.lacking),
                },
                [],
            )
        if found.state == "no_more":
            return Enough(
                _("The tests at hand tell no more"),
                _("What is left can't be told apart by any test that this shop can make now."),
                self._ends(),
            )
        if found.state == "still":
            return Enough(
                _("Three tests have moved nothing"),
                _("More of the same seldom does. Each of these is an honourable end:"),
                self._ends(),
            )
        if self._allowance_reached():
            return Enough(
                _("The agreed sum is nearly used up"),
                _("By the usual minutes of the tests made here. Ask before going on; or end it:"),
                self._ends(),
            )
        return None

    @property
    def _unchecked(self) -> Enough | None:
        """A part was changed for one of these suspects, and nothing was measured since."""
        naming = self.reasoning.gathered.naming
        changed = [
            view
            for view in self.reasoning.view.swaps
            if view.is_unchecked and naming.get(view.first_seq)
        ]
        if not changed:
            return None
        last = changed[-1]
        again = last.runs.get("pointed") or last.runs.get("before") or []
        number = self.ticket.number
        return Enough(
            _("A part was changed, and nothing was measured since"),
            _(
                "%(part)s, entry %(no)s. What was read before tells nothing of the new part: make "
                "the same test again."
            )
            % {"part": capfirst(last.part), "no": last.entry.seq},
            [
                {
                    "words": _("%(title)s, again") % {"title": one["words"]},
                    "url": reverse("test-again", args=[number, one["no"]]),
                }
                for one in again
            ],
        )

    def _allowance_reached(self) -> bool:
        rate, agreed = self.reasoning.view.profile.labour_rate_minor, self.ticket.allowance_minor
        if not rate or not agreed:
            return False
        return self._used(rate) >= stop.MOST_OF_ALLOWANCE * agreed

    def _used(self, rate: int) -> float:
        minutes = sum(
            PROCEDURES[view.link.run.procedure].effort.minutes
            for view in self.reasoning.made
            if view.link and view.link.run.procedure in PROCEDURES
        )
        return rate * minutes / 60

    @property
    def used(self) -> str:
        """What the tests made would cost by their usual minutes, beside what was agreed."""
        rate, agreed = self.reasoning.view.profile.labour_rate_minor, self.ticket.allowance_minor
        if not rate or not agreed:
            return ""
        currency = self.ticket.currency
        return _("Tests made: about %(used)s by their usual minutes, of %(agreed)s agreed.") % {
            "used": Money(round(self._used(rate)), currency).show(),
            "agreed": Money(agreed, currency).show(),
        }

    def _ends(self) -> list[dict[str, str]]:
        number = self.ticket.number
        return [
            {
                "words": _("Stop, and report what is known"),
                "url": reverse("report-preview", args=[number]),
            },
            {
                "words": _("Ask for more time, at an agreed sum"),
                "url": reverse("ticket-check-in", args=[number]),
            },
            {
                "words": _("On trial with the owner, who writes a diary"),
                "url": reverse("ticket-state", args=[number]),
            },
            {
                "words": _("Send it on to somebody with other tools"),
                "url": reverse("ticket-state", args=[number]),
            },
        ]
