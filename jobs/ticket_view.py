"""A ticket as its page shows it: the record read once, in few queries, as plain values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs import battery, clock_view, words
from jobs.actions.tickets import CAPABILITY_OF_KIND
from jobs.models import Alteration, Apart, Entry, Photo, Report, RunLink, Ticket, TicketPerson
from jobs.proof.of_swap import Proof, SwapRecord, part_of
from jobs.proof.outcome import NOT_CHECKED
from jobs.record.kind import kind_of
from jobs.run_view import RunView, run_view
from jobs.swap_view import swap_view
from measurements.procedures import PROCEDURES, procedure_called
from shop.models import Person, Profile

COMPLETED = "completed"  # why a later version of a swap only adds what was left for the desk


@dataclass
class EntryView:
    """One entry of the record, with what its template needs."""

    entry: Entry
    data: dict[str, Any]
    photos: list[Photo] = field(default_factory=list)
    link: RunLink | None = None
    run: RunView | None = None
    rests: list[dict[str, Any]] = field(default_factory=list)
    runs: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    report: Report | None = None
    of: EntryView | None = None
    was_completed: bool = False
    names: dict[str, str] = field(default_factory=dict)
    page: TicketView | None = field(default=None, repr=False, compare=False)

    @property
    def template(self) -> str:
        """The fragment that shows this kind of entry."""
        return f"jobs/entries/_{self.entry.kind}.html"

    @property
    def kind_word(self) -> str:
        """The kind in words."""
        return words.technician("entry_kind", self.entry.kind)

    @property
    def is_gone(self) -> bool:
        """Whether a later entry replaced it."""
        return self.replaced_by is not None

    @property
    def replaced_by(self) -> Entry | None:
        """The entry that replaced it."""
        return getattr(self.entry, "replaced_by", None)

    @property
    def url(self) -> str:
        """The entry's own page, for those that have one."""
        return reverse("test", args=[self.entry.ticket.number, self.entry.seq])

    @property
    def strip(self) -> list[dict[str, Any]]:
        """The entry's photos as `_photos.html` takes them."""
        number = self.entry.ticket.number
        return [
            {
                "no": photo.frame,
                "url": reverse("photo", args=[number, photo.frame]),
                "src": reverse("photo-file", args=[number, photo.frame, "thumb"]),
                "alt": photo.alt or photo.caption,
                "caption": photo.caption or words.photo_words(photo.subject, photo.place),
                "in_report": getattr(photo, "choice", None) is None or photo.choice.in_report,
            }
            for photo in self.photos
        ]

    @property
    def strip_name(self) -> str:
        """Name of the strip for screen readers."""
        return _("Photos of entry %(no)s") % {"no": self.entry.seq}

    @property
    def apart_what(self) -> str:
        """What a tick is about."""
        return self.names.get(self.data.get("apart", ""), "")

    @property
    def alteration_what(self) -> str:
        """What a putting back is about."""
        return self.names.get(self.data.get("alteration", ""), "")

    @cached_property
    def proof(self) -> Proof | None:
        """Of a swap of ours: what came of it by the tests, and its standing."""
        if not self.page or not self.data.get("ours", True):
            return None
        return self.page.swap_record.proof(self.data)

    @cached_property
    def swap(self) -> dict[str, Any]:
        """Of a swap of ours: all that its fragment shows."""
        return swap_view(self, self.proof) if self.proof else {}

    @property
    def first_seq(self) -> int:
        """Of a swap: the entry that first recorded it; later versions only complete it."""
        return self.page.swap_record.first_seq(self.data["uid"]) if self.page else self.entry.seq

    @property
    def part(self) -> str:
        """Of a swap: the part, as it was written."""
        return part_of(self.data) or _("part")

    @property
    def swap_named(self) -> EntryView | None:
        """Of drives: the swap since which they were made."""
        return self.page.swap_of(self.data["swap"]) if self.page else None

    @property
    def swap_outcome(self) -> str:
        """Of a swap: the code of what came of it, "" where nothing is known."""
        code = self.proof.code if self.proof else ""
        return "" if code == NOT_CHECKED else code

    @property
    def swap_complaint(self) -> str:
        """Of a swap: the uid of the complaint that it is about, "" where that is not known."""
        return self.page.swap_record.complaint_of(self.data) if self.page else ""

    @property
    def is_unchecked(self) -> bool:
        """Of a swap of ours: nothing was measured after it, and nobody says what came of it."""
        return bool(self.proof) and self.proof.code == NOT_CHECKED

    @cached_property
    def no_longer_stands(self) -> list[str]:
        """Of a finding: what it rests on that was corrected or taken back since, in sentences."""
        from jobs.certainty.standing import no_longer_stands

        return no_longer_stands(self.page, self) if self.page and self.data else []

    @property
    def complaint_seq(self) -> int | None:
        """The entry of the complaint that it is about, as it stands now; None where it is gone."""
        uid = self.data.get("complaint")
        found = self.page.complaints if self.page else []
        return next((one.entry.seq for one in found if one.data["uid"] == uid), None)

    @cached_property
    def appeared_since(self) -> list[int]:
        """Of a fault that did not appear: later tests in which it was there after all."""
        from jobs.certainty.tried import appeared_since

        return appeared_since(self.page, self) if self.page and self.data else []

    @property
    def kept_odds(self) -> str:
        """Of kept odds: the few likeliest suspects as they stood then."""
        from jobs.reasoning.odds_words import in_number

        return "; ".join(
            f"{capfirst(one['label'])}: {in_number(one['now'])}"
            for one in self.data["suspects"][:3]
        )

    @property
    def take_back_url(self) -> str:
        """Where whoever may write such an entry takes it back; "" else. A test has its own page."""
        capability = CAPABILITY_OF_KIND.get(self.entry.kind)
        person = self.page.person if self.page else None
        if self.is_gone or capability is None or person is None or self.entry.kind == "test":
            return ""
        if not person.can(capability):
            return ""
        return reverse("entry-withdraw", args=[self.entry.ticket.number, self.entry.seq])

    @property
    def clocks(self) -> list[str]:
        """What is odd about the time of this entry, in sentences."""
        return clock_view.beside(self.entry)

    @property
    def mark(self) -> str:
        """The scribe mark of look.css: tests and swaps have their own."""
        return {"test": "entry-test", "swap": "entry-swap"}.get(self.entry.kind, "")


class TicketView:
    """The whole page of one ticket. Build it once a request."""

    def __init__(self, ticket: Ticket, profile: Profile, *, person: Person | None = None) -> None:
        self.ticket = ticket
        self.profile = profile
        self.person = person
        self.entries = self._read()

    def _say_weak_battery(self, views: list[EntryView]) -> None:
        """A weak battery may be found after the tests that were made on it."""
        standing = [view for view in views if view.link and not view.is_gone]
        runs = [view.link.run for view in standing if view.link]
        changes = self.swap_record.battery_changes
        for view in standing:
            if not view.run or not view.link:
                continue
            if said := battery.remark(view.link.run, runs, changes=changes):
                view.run = replace(view.run, confounders=[*view.run.confounders, said])

    def _read(self) -> list[EntryView]:
        entries = list(
            self.ticket.entries.in_order()
            .with_time_before()
            .select_related("payload", "by", "replaces", "replaced_by")
        )
        photos = self._photos()
        links = {
            link.entry_id: link
            for link in self.ticket.run_links.select_related("run", "run__summary", "run__by")
        }
        reports = {report.entry_id: report for report in self.ticket.reports.all()}
        self._seq_of_run = {
            link.run.digest: entry.seq
            for entry in entries
            if (link := links.get(entry.pk)) is not None
        }
        self._frames = {
            (str(photo.entry.uid), photo.letter): photo
            for strip in photos.values()
            for photo in strip
        }
        views = []
        for entry in entries:
            link = links.get(entry.pk)
            data = kind_of(entry.kind).read(entry.data, entry.format) if entry.data else {}
            view = EntryView(
                entry=entry,
                data=data,
                photos=photos.get(entry.pk, []),
                link=link,
                run=run_view(link.run, profile=self.profile) if link else None,
                report=reports.get(entry.pk),
            )
            views.append(view)
        self._by_pk = {view.entry.pk: view for view in views}
        self._swaps = {
            view.data["uid"]: view for view in views if view.entry.kind == "swap" and view.data
        }
        names = {
            view.data["uid"]: view.data["what"]
            for view in views
            if view.entry.kind in {"apart", "alteration"} and view.data
        } | {str(alteration.uid): alteration.what for alteration in self.alterations}
        self.swap_record = SwapRecord(views)
        self._say_weak_battery(views)
        for view in views:
            if view.entry.kind == "swap" and view.data:
                view.data = self._with_repeats(view)
            view.names = names
            view.page = self
            view.entry.ticket = self.ticket
            view.rests = self._rests(view.data.get("rests_on", []))
            view.runs = {
                role: self._rests({"run": digest} for digest in digests)
                for role, digests in view.data.get("runs", {}).items()
            }
            if view.entry.replaces_id:
                view.of = self._by_pk.get(view.entry.replaces_id)
                if view.of and view.data.get("why") == COMPLETED:
                    view.of.was_completed = True
        return views

    def _with_repeats(self, view: EntryView) -> dict[str, Any]:
        """A swap's data, in which a repeat of its test counts as made after it, though nobody has
        said so."""
        after = [item.link.run.digest for item in self.swap_record.after(view.data) if item.link]
        runs = view.data.get("runs", {})
        return view.data | {"runs": runs | {"after": after}} if after else view.data

    def swap_of(self, uid: str) -> EntryView | None:
        """The latest version of a swap."""
        return self._swaps.get(uid)

    def _photos(self) -> dict[int, list[Photo]]:
        strips: dict[int, list[Photo]] = {}
        query = self.ticket.photos.select_related("entry", "choice", "blob", "run")
        for photo in query:
            photo.ticket = self.ticket
            strips.setdefault(photo.entry_id, []).append(photo)
        return strips

    def _rests(self, basis: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
        found = []
        for item in basis:
            if "run" in item and item["run"] in self._seq_of_run:
                seq = self._seq_of_run[item["run"]]
                run = next(v.run for v in self._by_pk.values() if v.entry.seq == seq)
                found.append({"no": seq, "url": f"#e{seq}", "words": run.title})
            elif "photo" in item and tuple(item["photo"]) in self._frames:
                photo = self._frames[tuple(item["photo"])]
                found.append(
                    {
                        "no": photo.frame,
                        "url": f"#e{photo.entry.seq}",
                        "words": photo.caption or words.photo_words(photo.subject, photo.place),
                    }
                )
            elif "swap" in item and item["swap"] in self._swaps:
                view = self._swaps[item["swap"]]
                found.append(
                    {
                        "no": view.entry.seq,
                        "url": f"#e{view.entry.seq}",
                        "words": view.data.get("part_in") or view.data.get("part_out") or _("swap"),
                    }
                )
        return found

    def _current(self, kind: str) -> list[EntryView]:
        return [view for view in self.entries if view.entry.kind == kind and not view.is_gone]

    @cached_property
    def complaints(self) -> list[EntryView]:
        """Complaints that count."""
        return self._current("complaint")

    @cached_property
    def wishes(self) -> list[EntryView]:
        """Wishes that count."""
        return self._current("wish")

    @cached_property
    def looked_up(self) -> list[EntryView]:
        """What was looked up about the model."""
        return self._current("looked_up")

    @cached_property
    def opinions(self) -> list[EntryView]:
        """The technicians' own judgements on suspects that count."""
        return self._current("opinion")

    @cached_property
    def kept_odds(self) -> list[EntryView]:
        """Odds that were kept, oldest first."""
        return self._current("judgement")

    @cached_property
    def findings(self) -> list[EntryView]:
        """Findings that count, the surest first."""
        order = {code: place for place, code in enumerate(words.CERTAINTY.codes)}
        return sorted(self._current("finding"), key=lambda view: order[view.data["certainty"]])

    @cached_property
    def not_appeared(self) -> list[EntryView]:
        """Complaints whose fault did not appear, with what was tried."""
        return self._current("not_appeared")

    @cached_property
    def tests(self) -> list[EntryView]:
        """Tests that count, oldest first."""
        return self._current("test")

    @cached_property
    def swaps(self) -> list[EntryView]:
        """Swaps that count, in their latest version."""
        return self._current("swap")

    @cached_property
    def open_work(self) -> list[EntryView]:
        """Work open or declined."""
        return [view for view in self._current("open_work") if view.data["status"] != "done"]

    @cached_property
    def apart(self) -> list[Apart]:
        """What is apart just now."""
        return list(Apart.objects.filter(ticket=self.ticket).still().select_related("entry"))

    @cached_property
    def alterations(self) -> list[Alteration]:
        """Alterations still on the car, from whichever visit."""
        return list(
            Alteration.objects.filter(car=self.ticket.car)
            .still_on()
            .select_related("entry", "ticket")
        )

    @cached_property
    def advice(self) -> str:
        """The strictest driving advice of findings and alterations; "" while there is none."""
        codes = [view.data["advice"] for view in self.findings]
        codes += [alteration.advice for alteration in self.alterations if alteration.advice]
        return words.strictest(codes) if codes else ""

    @cached_property
    def advice_words(self) -> str:
        """What the strictest advice states, from the finding or alteration that gives it."""
        said = [
            view.data.get("advice_words", "")
            for view in self.findings
            if view.data["advice"] == self.advice
        ]
        said += [a.advice_words for a in self.alterations if a.advice == self.advice]
        return " ".join(dict.fromkeys(text for text in said if text))

    @cached_property
    def red_flags(self) -> list[dict[str, str]]:
        """What the customer reports that makes driving dangerous, and what they were told. It
        stands from the first call on, whatever is found later, and is no finding."""
        codes = [code for view in self.complaints for code in view.data.get("red_flags", [])]
        return [
            {
                "flag": words.technician("red_flag", code),
                "tell": words.meaning("red_flag", code),
            }
            for code in dict.fromkeys(codes)
        ]

    @property
    def says_how_to_drive(self) -> bool:
        """Whether the page shows driving advice. That nothing speaks against driving takes a
        finding of this visit, and nothing dangerous that the customer reports."""
        if self.advice != "no_restriction":
            return bool(self.advice)
        return bool(self.findings) and not self.red_flags

    @cached_property
    def people(self) -> list[TicketPerson]:
        """Owner, bringer, authoriser and payer, where they are others than the customer."""
        people = self.ticket.people.select_related("customer")
        return list(people.prefetch_related("customer__phones"))

    @property
    def last_seq(self) -> int:
        """Number of the latest entry."""
        return self.entries[-1].entry.seq if self.entries else 0

    @cached_property
    def drafts(self) -> list[dict[str, Any]]:
        """What this person has begun to type on this ticket."""
        if self.person is None:
            return []
        return [
            {
                "title": procedure_called(draft.kind).title,
                "url": reverse("test-new", args=[self.ticket.number, draft.kind]),
                "updated_at": draft.updated_at,
            }
            for draft in self.ticket.drafts.filter(person=self.person)
            if draft.kind in PROCEDURES
        ]

    @cached_property
    def reports(self) -> list[Report]:
        """Issued revisions, newest first."""
        found = [view.report for view in self.entries if view.report]
        return sorted(found, key=lambda report: -report.revision)

    @cached_property
    def missing(self) -> list[dict[str, str]]:
        """What the check-in still lacks, each with the page that adds it. Never blocks."""
        ticket, car = self.ticket, self.ticket.car
        unsaid = not self.complaints and not self.wishes
        nameless = not ticket.customer.name and not ticket.customer.firm
        lacking = [
            (unsaid, _("what the customer reports"), "ticket-complaint-add"),
            (ticket.odometer_in is None, _("odometer"), "ticket-check-in"),
            (not ticket.fuel_level, _("fuel level"), "ticket-check-in"),
            (not car.plate, _("number plate"), "ticket-check-in"),
            (not car.make, _("make and model"), "ticket-check-in"),
            (nameless, _("customer's name"), "ticket-check-in"),
            (ticket.promised_at is None, _("when it is promised"), "ticket-check-in"),
            (not self._has("plate"), _("photo of the plate"), "photo-add"),
            (not self._has("dashboard"), _("photo of the dashboard, key on"), "photo-add"),
        ]
        return [{"words": text, "route": route} for lacks, text, route in lacking if lacks]

    def _has(self, subject: str) -> bool:
        return any(photo.subject == subject for photo in self._frames.values())
