"""Fills an empty installation with the demo shop of fixtures/demo, through the same actions that
people use. Times in the story are relative to today, so that the demo is fresh at any hour."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from datetime import time as clock
from functools import partial
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone

from jobs import words
from jobs.actions import (
    alterations,
    apart,
    drives,
    findings,
    not_appeared,
    photos,
    reports,
    runs,
    suspects,
    swaps,
    tickets,
)
from jobs.models import Apart, Entry, Photo, Swap, Ticket
from jobs.reasoning.of_ticket import reasoning_of
from jobs.ticket_view import EntryView, TicketView
from measurements.models import Instrument
from shop.actions import cars, customers
from shop.engine import Engine
from shop.models import Car, Customer, Person, Profile, Series
from shop.phones import Noted

FOLDER = settings.BASE_DIR / "fixtures" / "demo"
Event = dict[str, Any]
Say = Callable[[str], None]

_WHEN = re.compile(r"([+-]\d+)d(?: (\d\d):(\d\d))?")


class Story:
    """The story of the demo shop, told entry by entry."""

    def __init__(self, folder: Path = FOLDER, *, today: date | None = None) -> None:
        self.folder = folder
        self.text = tomllib.loads((folder / "story.toml").read_text("utf-8"))
        self.zone = ZoneInfo(self.text["shop"]["time_zone"])
        self.today = today or timezone.now().astimezone(self.zone).date()
        self.people: dict[str, Person] = {}
        self.customers: dict[str, Customer] = {}
        self.cars: dict[str, Car] = {}
        self.tickets: dict[str, Ticket] = {}
        self.entries: dict[str, Entry] = {}
        self.frames: dict[str, Photo] = {}
        self.awaited: list[Event] = []

    def when(self, text: str) -> datetime:
        """A moment of the story: "-1d 08:05" is five past eight yesterday, by the shop's clock."""
        found = _WHEN.fullmatch(text)
        if not found:
            raise ValueError(f"{text!r} is no moment of the story, as in '-1d 08:05'")
        days, hour, minute = int(found[1]), int(found[2] or 12), int(found[3] or 0)
        day = self.today + timedelta(days=days)
        return datetime.combine(day, clock(hour, minute), self.zone)

    def tell(self, say: Say = lambda _text: None) -> None:
        """Make everything. Call on an empty installation only."""
        with transaction.atomic():
            self._shop()
        with timezone.override(self.zone):
            for _at, step in sorted(self._steps(say), key=lambda one: one[0]):
                step()

    def _steps(self, say: Say) -> Iterator[tuple[datetime, Callable[[], None]]]:
        """Every opening and every event with its time: a record is written as time goes by, and
        several cars stand in the bay at once."""
        for number, told in enumerate(self.text["tickets"], start=1):
            yield self.when(told["at"]), partial(self._open, told, number, say)
            for event in told.get("events", []):
                yield self.when(event["at"]), partial(self._happens, told["key"], event)

    def _shop(self) -> None:
        facts = dict(self.text["shop"])
        facts["address"] = facts["address"].strip()
        Profile.objects.update_or_create(pk=1, defaults=facts | {"is_demo": True})
        Series.objects.update_or_create(
            kind="ticket", defaults={"next": self.text["first_ticket_number"]}
        )
        for told in self.text["people"]:
            self.people[told["key"]] = Person.objects.create_person(
                password=None, **{k: told[k] for k in ("username", "name", "role")}
            )
        for told in self.text["instruments"]:
            facts = {k: v for k, v in told.items() if k != "key"}
            if "calibration_due" in facts:
                facts["calibration_due"] = self.when(facts["calibration_due"]).date()
            Instrument.objects.create(**facts)
        owner = next(iter(self.people.values()))
        for told in self.text["customers"]:
            facts = {k: v.strip() for k, v in told.items() if k not in {"key", "phones"}}
            phones = [Noted(phone["typed"], phone["note"]) for phone in told["phones"]]
            self.customers[told["key"]] = customers.add(by=owner, phones=phones, **facts)
        for told in self.text["cars"]:
            facts = {k: v for k, v in told.items() if k not in {"key", "owner", "engine"}}
            self.cars[told["key"]] = cars.add(
                by=owner,
                region=self.text["shop"]["region"],
                owner=self.customers[told["owner"]],
                engine=Engine.from_json(told["engine"]).as_json(),
                **facts,
            )

    def _open(self, told: Event, number: int, say: Say) -> None:
        say(f"Demo ticket {number} of {len(self.text['tickets'])} ...")
        at, by = self.when(told["at"]), self.people[told["by"]]
        skip = {"key", "car", "customer", "at", "by", "state", "events", "comeback_of", "people"}
        facts = {k: v for k, v in told.items() if k not in skip}
        for moment in ("promised_at",):
            if facts.get(moment):
                facts[moment] = self.when(facts[moment]).isoformat()
        if "people" in told:
            facts["people"] = [
                person | {"customer": str(self.customers[person["customer"]].uid)}
                for person in told["people"]
            ]
        ticket = tickets.open_ticket(
            car=self.cars[told["car"]],
            customer=self.customers[told["customer"]],
            by=by,
            state=told["state"],
            comeback_of=self.tickets.get(told.get("comeback_of", "")),
            facts=facts,
            at=at,
        )
        self.tickets[told["key"]] = ticket

    def _happens(self, key: str, event: Event) -> None:
        ticket = self.tickets[key]
        ticket.refresh_from_db()
        how = {"by": self.people[event["by"]], "at": self.when(event["at"])}
        entry = getattr(self, f"_{event['kind']}")(ticket, event, **how)
        if "key" in event and entry is not None:
            self.entries[event["key"]] = entry
        if event["kind"] == "test":
            self._complete(ticket, **how)

    # --- one method for each kind of event -----------------------------------------------------

    def _complaint(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return tickets.add_complaint(
            ticket=ticket,
            words=event["words"],
            family=event["family"],
            conditions=words.read_conditions(event["conditions"]),
            **how,
        )

    def _wish(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return tickets.add_wish(ticket=ticket, words=event["words"], **how)

    def _note(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return tickets.add_note(ticket=ticket, words=event["words"], **how)

    def _looked_up(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return tickets.add_looked_up(ticket=ticket, facts=event["facts"], **how)

    def _test(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        complaint = self.entries.get(event.get("complaint", ""))
        again = self.entries.get(event.get("again_of", ""))
        entry = runs.record_test(
            ticket=ticket,
            procedure=event["procedure"],
            typed=event["typed"],
            complaint_uid=complaint.complaint.uid if complaint else None,
            fault_present=event["fault_present"],
            state_of_car=event.get("state_of_car", ""),
            again_of=again.run_link.run if again else None,
            **how,
        )
        if event.get("note"):
            tickets.add_note(ticket=ticket, words=event["note"], **how)
        return entry

    def _photos(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        entry = None
        for frame in event["frames"]:
            entry = self._frame(ticket, frame, **how)
        return entry

    def _frame(self, ticket: Ticket, frame: Event, **how: Any) -> Entry:
        run = self.entries[frame["test"]].run_link.run if "test" in frame else None
        swap = self.entries[frame["swap"]].swap if "swap" in frame else None
        altered = self.entries[frame["alteration"]].alteration if "alteration" in frame else None
        complaint = self.entries[frame["complaint"]].complaint if "complaint" in frame else None
        file = ContentFile(
            (self.folder / "pictures" / frame["file"]).read_bytes(), name=frame["file"]
        )
        entry = photos.add_photos(
            ticket=ticket,
            uploads=[file],
            subject=frame["subject"],
            place=frame.get("place", ""),
            caption=frame["caption"],
            alt=frame["alt"],
            run=run,
            swap_uid=swap.uid if swap else None,
            alteration_uid=altered.uid if altered else None,
            complaint_uid=complaint.uid if complaint else None,
            **how,
        )
        self.frames[frame["file"]] = entry.photos.get()
        return entry

    def _swap(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        """The tests after a swap come later in the story; `_complete` adds them then."""
        told = {"kind", "key", "at", "by", "reason", "pointed", "before", "after", "outcome"}
        if event["after"]:
            self.awaited.append(event)
        return swaps.add(
            ticket=ticket,
            reason=event["reason"],
            facts={k: v for k, v in event.items() if k not in told},
            pointed=self._runs(event["pointed"]),
            before=self._runs(event["before"]),
            **how,
        )

    def _complete(self, ticket: Ticket, **how: Any) -> None:
        """Add the tests after a swap, and what it did, once all of them have been made."""
        for event in list(self.awaited):
            if all(name in self.entries for name in event["after"]):
                self.awaited.remove(event)
                swap = swaps.current_version(ticket, self.entries[event["key"]].swap.uid)
                swaps.change(
                    entry=swap.entry,
                    why="completed",
                    after=self._runs(event["after"]),
                    facts={"outcome": event.get("outcome", "not_checked")},
                    **how,
                )

    def _drives(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return drives.add(
            ticket=ticket,
            swap=swaps.current_version(ticket, self.entries[event["swap"]].swap.uid),
            drives=event["drives"],
            came_back=event["came_back"],
            facts={"who": event["who"], "note": event.get("words", "")},
            **how,
        )

    def _fitted_elsewhere(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return swaps.add(
            ticket=ticket,
            reason="customer_asks",
            facts={
                "ours": False,
                "part_in": event["part_in"],
                "done_on": self.when(event["done_on"]).date().isoformat(),
            },
            **how,
        )

    def _apart(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return apart.take_apart(ticket=ticket, what=event["what"], **how)

    def _ticked_back(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        item = Apart.objects.get(pk=self.entries[event["apart"]].pk)
        return apart.tick_back(ticket=ticket, apart=item, note=event.get("words", ""), **how)

    def _alteration(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        told = {"kind", "key", "at", "by", "what"}
        facts = {k: v for k, v in event.items() if k not in told}
        return alterations.add(ticket=ticket, what=event["what"], facts=facts, **how)

    def _opinion(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return suspects.judge(
            ticket=ticket,
            complaint_uid=str(self.entries[event["complaint"]].complaint.uid),
            suspect=event["suspect"],
            strength=event["strength"],
            reason=event["reason"],
            **how,
        )

    def _judgement(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        """The odds of a complaint are kept as they stand at this point of the story."""
        view = TicketView(ticket, Profile.current())
        reasoning = reasoning_of(view, self._seen(view, event["complaint"]))
        if reasoning is None:
            raise ValueError(f"{event['complaint']!r} belongs to no table of possible causes")
        return suspects.keep(reasoning=reasoning, **how)

    def _not_appeared(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        view = TicketView(ticket, Profile.current())
        return not_appeared.say(
            view=view,
            complaint=self._seen(view, event["complaint"]),
            not_tried=event["not_tried"],
            note=event["note"],
            **how,
        )

    def _seen(self, view: TicketView, name: str) -> EntryView:
        """A complaint of the story as its ticket's view holds it."""
        uid = str(self.entries[name].complaint.uid)
        return next(one for one in view.complaints if one.data["uid"] == uid)

    def _finding(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        complaint = self.entries.get(event.get("complaint", ""))
        told = {
            "kind",
            "key",
            "at",
            "by",
            "complaint",
            "certainty",
            "sentence",
            "advice",
            "rests_on",
            "fault_seen_in",
        }
        facts = {k: v for k, v in event.items() if k not in told and v}
        if complaint:
            facts["complaint"] = str(complaint.complaint.uid)
        return findings.add(
            ticket=ticket,
            certainty=event["certainty"],
            sentence=event["sentence"],
            advice=event["advice"],
            facts=facts,
            rests_on=[self._evidence(ticket, name) for name in event.get("rests_on", [])],
            fault_seen_in=[self.frames[name] for name in event.get("fault_seen_in", [])],
            **how,
        )

    def _open_work(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        return findings.add_open_work(
            ticket=ticket,
            what=event["what"],
            status=event["status"],
            risk=event.get("risk", ""),
            until=event.get("until", ""),
            puts_back=str(self.entries[name].alteration.uid)
            if (name := event.get("puts_back"))
            else "",
            **how,
        )

    def _report(self, ticket: Ticket, event: Event, **how: Any) -> Entry | None:
        from jobs.process import PdfUnavailable

        try:
            return reports.issue(
                ticket=ticket, profile=Profile.current(), by=how["by"], at=how["at"]
            ).entry
        except PdfUnavailable:
            return None

    def _state(self, ticket: Ticket, event: Event, **how: Any) -> Entry:
        """Before a car is ready, what its tests had opened is ticked back."""
        if event["to"] in {"ready", "handed_back"}:
            for item in Apart.objects.filter(ticket=ticket, run__isnull=False).still():
                apart.tick_back(ticket=ticket, apart=item, **how)
        return tickets.move(
            ticket=ticket,
            to=event["to"],
            waits_for=event.get("waits_for", ""),
            note=event.get("words", ""),
            odometer_out=event.get("odometer_out"),
            **how,
        )

    def _runs(self, names: list[str]) -> list:
        return [self.entries[name].run_link.run for name in names]

    def _evidence(self, ticket: Ticket, name: str) -> Any:
        if name in self.frames:
            return self.frames[name]
        entry = self.entries[name]
        if entry.kind == "swap":
            return Swap.objects.current().get(ticket=ticket, uid=entry.swap.uid)
        return entry.run_link.run
