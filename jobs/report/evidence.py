"""Findings, tests, swaps and photos of a report. Every test is printed in full at one place only:
under the first finding that rests on it, or in the list of every test."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime
from typing import Any

from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs import words
from jobs.certainty.of_ticket import case_of
from jobs.certainty.rules import RULED_OUT, clearing
from jobs.certainty.standing import about, bases
from jobs.engine_view import engine_view
from jobs.models import Alteration, Photo
from jobs.report.reasoning import HowWeKnow
from jobs.report.wording import day, inside, moment, stopped
from jobs.run_view import ON_PAGE, ON_PAPER, for_paper
from jobs.ticket_view import EntryView, TicketView
from measurements.core.judging import COMMON_CONFOUNDERS

PHOTOS_OF_A_FINDING = 6
Content = dict[str, Any]

_ABSENT = next(c.text for c in COMMON_CONFOUNDERS if c.code == "fault_absent")
_ABSENT_ID = "common.fault_absent.customer"


class Evidence:
    """What a ticket holds, arranged for the reader of its report. Make one for each report."""

    def __init__(self, view: TicketView) -> None:
        self.view = view
        self.tests = [item for item in view.entries if item.link and item.run]
        self.ours = [item for item in view.swaps if item.data.get("ours", True)]
        self._of_digest = {item.link.run.digest: item for item in self.tests}
        self._repeats = {
            digest: swap
            for swap in self.ours
            for digest in swap.data.get("runs", {}).get("after", [])
        }
        self._standing_run = {
            item.link.run_id: now.link.run_id
            for item in self.tests
            if (now := self.standing(item)) is not None
        }
        self._home: dict[int, int] = {}
        for n, finding in enumerate(view.findings, start=1):
            for item in self.tests_of(finding):
                if not self.repeat_of(item):
                    self._home.setdefault(item.entry.seq, n)
        self._shown_frames: set[str] = set()
        self._how_we_know = HowWeKnow(view)

    # --- tests ----------------------------------------------------------------------------------

    def repeat_of(self, item: EntryView) -> EntryView | None:
        """The swap after which this test was made, to see what it did; None for other tests."""
        return self._repeats.get(item.link.run.digest)

    def standing(self, item: EntryView) -> EntryView | None:
        """The test itself, or the latest correction of it; None where it was withdrawn."""
        return self.view.swap_record.standing_test(item)

    def tests_of(self, finding: EntryView) -> list[EntryView]:
        """The tests that a finding rests on, as they stand now, oldest first."""
        found = {}
        for basis in finding.data.get("rests_on", []):
            named = self._of_digest.get(basis.get("run", ""))
            item = self.standing(named) if named else None
            if item:
                found[item.entry.seq] = item
        return [found[seq] for seq in sorted(found)]

    def all_tests(self) -> list[Content]:
        """Every test made, those that were replaced too, oldest first."""
        return [self._test(item) for item in self.tests]

    def engine(self) -> Content | None:
        """The tests by cylinder on one drawing, where there are two kinds of them."""
        made = [(item.entry.seq, item.link.run) for item in self.tests if not item.is_gone]
        found = engine_view(made, ground=ON_PAPER, name="engine")
        return asdict(found) if found else None

    def _test(self, item: EntryView) -> Content:
        replaced, swap = item.replaced_by, self.repeat_of(item)
        run = asdict(for_paper(item.run))
        if swap:
            # After a repair the fault's absence is what was hoped for, not a weakness of the test.
            run["customer"] = [text for text in run["customer"] if text not in _absent(item)]
            run["confounders"] = [text for text in run["confounders"] if text != _ABSENT]
        return {
            "no": item.entry.seq,
            "by": item.entry.by.name,
            "at": moment(item.link.run.measured_at),
            "late": (item.link.run.recorded_at - item.link.run.measured_at).total_seconds() > 3600,
            "replaced_by": replaced.seq if replaced else None,
            "withdrawn": bool(replaced and replaced.kind == "withdrawn"),
            "corrects": item.of.entry.seq if item.of else None,
            "why": self._why(item),
            "repeat_after": swap.entry.seq if swap else None,
            "finding": None if replaced else self._home.get(item.entry.seq),
            "photos": []
            if replaced or item.entry.seq in self._home
            else self._photos(lambda photo: self._run_of(photo) == item.link.run_id),
            "run": run,
        }

    def _why(self, item: EntryView) -> str:
        """Why it corrects another, or why it was taken back."""
        if item.replaced_by and item.replaced_by.kind == "withdrawn":
            later = next(v for v in self.view.entries if v.entry.seq == item.replaced_by.seq)
            return str(later.data.get("why", ""))
        return str(item.data.get("why", ""))

    # --- findings -------------------------------------------------------------------------------

    def finding(self, n: int, item: EntryView) -> Content:
        """One finding with what it rests on; `n` is its place in the report."""
        data = item.data
        tests = self.tests_of(item)
        here = [i.entry.seq for i in tests if self._home.get(i.entry.seq) == n]
        frames = [tuple(b["photo"]) for b in data.get("rests_on", []) if "photo" in b]
        run_ids = {i.link.run_id for i in tests}
        photos = self._photos(
            lambda photo: (
                (str(photo.entry.uid), photo.letter) in frames
                or self._run_of(photo) in run_ids
                or (n == 1 and photo.subject == "plate")
            ),  # whose car these pictures are of
            most=PHOTOS_OF_A_FINDING,
        )
        return {
            "n": n,
            "no": item.entry.seq,
            "certainty": data["certainty"],
            "word": capfirst(words.customer("certainty", data["certainty"])),
            "sentence": data["sentence"],
            "advice": data["advice"],
            # What holds no restriction is said once, on the first page.
            "advice_sentence": words.advice_sentence(
                data["advice"], words=stopped(data.get("advice_words", ""))
            )
            if data["advice"] != "no_restriction"
            else "",
            "to_do": data.get("to_do", ""),
            "waiting": data.get("waiting_risk", ""),
            "why": data.get("why_it_failed", ""),
            "overruled": data.get("overruled", ""),
            "also_like": data.get("also_like", ""),
            "reasoning": self._how_we_know.of(item),
            "cleared": self._cleared(item),
            "rests": self._rests(item),
            "tests": here,
            "elsewhere": [self._elsewhere(i) for i in tests if i.entry.seq not in here],
            "withdrawn": self._withdrawn(item),
            "photos": photos,
            "by": item.entry.by.name,
        }

    def _cleared(self, item: EntryView) -> str:
        """Of what is ruled out: by which test, when and under what. Only direct proof rules out."""
        if item.data["certainty"] != RULED_OUT:
            return ""
        standing = [basis.evidence for basis in bases(self.view, item) if basis.evidence]
        found = clearing(case_of(self.view, standing, about(item)))
        proved = [test for test in found if test.clears or test.direct]
        named = {test.no for test in proved or found}
        tests = [
            _conditions(test)
            for test in self.tests_of(item)
            if test.entry.seq in named or (not named and test.run.is_sound)
        ]
        if not tests:
            return ""
        said = _("Ruled out by direct proof: %(tests)s.") if proved else _("Tested: %(tests)s.")
        return said % {"tests": "; ".join(tests)}

    def _rests(self, item: EntryView) -> list[Content]:
        said = []
        for rest in map(_unlinked, item.rests):
            words_of = rest["words"]
            test = next((i for i in self.tests if str(i.entry.seq) == rest["no"]), None)
            if test and self.repeat_of(test):
                words_of = _("%(test)s, after the change") % {"test": words_of}
            said.append(rest | {"words": words_of})
        return said

    def _elsewhere(self, item: EntryView) -> Content:
        """A line on a test whose readings stand at another place of the report."""
        swap = self.repeat_of(item)
        return {
            "no": item.entry.seq,
            "repeat": bool(swap),
            "finding": self._home.get(item.entry.seq),
            "pattern": item.run.pattern,
            "headline": item.run.headline,
        }

    def _withdrawn(self, finding: EntryView) -> list[int]:
        """Tests that it rested on and that were taken back since."""
        named = [
            self._of_digest.get(basis.get("run", "")) for basis in finding.data.get("rests_on", [])
        ]
        return [item.entry.seq for item in named if item and self.standing(item) is None]

    # --- swaps and alterations ------------------------------------------------------------------

    def swap(self, item: EntryView) -> Content:
        """One part changed by this shop, with before and after."""
        said = item.swap
        about = {
            "uid": item.data["uid"],
            "pointed": [_unlinked(rest) for rest in said["pointed"]],
            "before": [_unlinked(rest) for rest in said["before"]],
            "after": [_unlinked(rest) for rest in said["after"]],
            "photos": self._photos(lambda photo: str(photo.swap_uid) == item.data["uid"]),
            "at": moment(item.entry.at),
            "reason": capfirst(said["reason"]),
            "outcome": capfirst(said["outcome"]),
            "comparisons": [
                one | {"chart": one["chart"].replace(ON_PAGE, ON_PAPER)}
                for one in said["comparisons"]
            ],
        }
        return said | about

    def alteration(self, item: Alteration) -> Content:
        """What was changed and left on the car, from whichever visit."""
        here = item.ticket_id == self.view.ticket.pk
        return {
            "no": item.entry.seq,
            "ticket": "" if here else item.ticket.shown_number,
            "what": item.what,
            "where": item.where_on_car,
            "why": item.why,
            "found_so": item.found_so,
            "affects": [words.customer("affects", code) for code in item.affects],
            "emissions": str(words.EMISSIONS_LAW) if "emissions_law" in item.affects else "",
            "put_back": item.put_back_how,
            "since": moment(item.entry.at),
            "photos": self._photos(lambda photo: here and photo.alteration_uid == item.uid),
        }

    # --- photos ---------------------------------------------------------------------------------

    def _run_of(self, photo: Photo) -> int | None:
        """The run that it belongs to now: of a corrected test, the correction's."""
        return self._standing_run.get(photo.run_id, photo.run_id)

    def further_photos(self) -> list[Content]:
        """Photos chosen for the report that stand nowhere else in it. Ask last."""
        return self._photos(lambda photo: True)

    def _photos(self, belongs, most: int | None = None) -> list[Content]:
        """Chosen photos that belong here and stand nowhere before; each is printed once."""
        found = [
            photo
            for entry in self.view.entries
            if not entry.is_gone
            for photo in entry.photos
            if photo.frame not in self._shown_frames and _chosen(photo) and belongs(photo)
        ]
        found.sort(key=lambda photo: getattr(getattr(photo, "choice", None), "position", 0))
        found = found[:most]
        self._shown_frames |= {photo.frame for photo in found}
        return [_photo(photo) for photo in found]


def _conditions(item: EntryView) -> str:
    """A test as what it clears is told by: its number, day, the engine, whether the fault was
    there."""
    heat = {"hot": _("engine hot"), "cold": _("engine cold"), "driving": _("driving")}
    there = {"yes": _("while it was happening"), "no": _("while it was not happening")}
    run = item.link.run
    parts = [
        _("test %(no)s on %(day)s") % {"no": item.entry.seq, "day": day(run.measured_at)},
        heat.get(run.state_of_car, ""),
        there.get(item.link.fault_present, ""),
    ]
    return ", ".join(part for part in parts if part)


def fitted_elsewhere(item: EntryView) -> str:
    """Only what the customer reports: nothing about another shop's work."""
    done_on = item.data.get("done_on")
    when = date_format(datetime.fromisoformat(done_on), "j F Y") if done_on else _("an earlier day")
    return str(
        words.sentence(
            "fitted_elsewhere",
            part=inside(item.data.get("part_in") or item.data.get("part_out") or _("a part")),
            when=when,
        )
    )


def _unlinked(rest: Content) -> Content:
    """An entry that is rested on, by number and words: a paper leads nowhere."""
    return {"no": str(rest["no"]), "words": str(rest["words"])}


def _absent(item: EntryView) -> set[str]:
    from measurements.actions.runs import read

    said = read(item.link.run).assessment.customer
    return {line.text for line in said if line.id == _ABSENT_ID}


def _photo(photo: Photo) -> Content:
    shows = capfirst(words.photo_words(photo.subject, photo.place, customer=True))
    return {
        "no": photo.frame,
        "sha256": photo.blob_id,
        "caption": photo.caption or shows,
        "alt": photo.alt or photo.caption or shows,
        "at": moment(photo.entry.at),
    }


def _chosen(photo: Photo) -> bool:
    choice = getattr(photo, "choice", None)
    return choice is None or choice.in_report
