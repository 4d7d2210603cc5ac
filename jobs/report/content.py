"""What a findings report says, as plain data: every rule and every rounding decided here.

The contents follow the clauses gathered for test reports: ISO/IEC 17025:2017, 7.8.2 (who, what,
when, method, results with units), 7.8.3 (conditions, uncertainty), 7.8.6 (decision rule),
7.8.7 (opinions marked as such) and 7.8.8 (amended reports)."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import words
from jobs.models import Alteration, Ledger, Photo, Report, Ticket
from jobs.report import changes
from jobs.run_view import for_paper
from jobs.swap_view import swap_view
from jobs.ticket_view import EntryView, TicketView
from shop.models import Car, Person, Profile
from shop.money import Money

FORMAT = 1
PHOTOS_OF_A_FINDING = 6
Content = dict[str, Any]

NEVER_LOOKED_AT = (
    # On every report: what the reader may take for looked at, unless a test of it was made.
    ("brakes", gettext_lazy("brakes")),
    ("tyres", gettext_lazy("tyres")),
    ("steering", gettext_lazy("steering")),
    ("lights", gettext_lazy("lights")),
)


def content_of(
    ticket: Ticket, profile: Profile, *, by: Person, at: datetime | None = None
) -> Content:
    """The next revision of a ticket's report, ready to be shown or issued."""
    view = TicketView(ticket, profile)
    at = at or timezone.now()
    before = view.reports[0] if view.reports else None
    content: Content = {
        "format": FORMAT,
        "number": ticket.number,
        "revision": before.revision + 1 if before else 1,
        "language": profile.locale,
        "paper": profile.paper,
        "issued_at": at.isoformat(),
        "issued_by": by.name,
        "shop": _shop(profile),
        "customer": _customer(ticket),
        "car": _car(ticket.car),
        "visit": _visit(view),
        "complaints": [_complaint(item) for item in view.complaints],
        "wishes": [{"no": item.entry.seq, "words": item.data["words"]} for item in view.wishes],
        "tried": _tried(view),
        "short": _short(view),
        "findings": [_finding(view, n, item) for n, item in enumerate(view.findings, start=1)],
        "tests": [_test(item) for item in view.entries if item.entry.kind == "test"],
        "swaps": [_swap(view, item) for item in view.swaps if item.data.get("ours", True)],
        "fitted_elsewhere": [
            _fitted_elsewhere(item) for item in view.swaps if not item.data.get("ours", True)
        ],
        "alterations": [_alteration(item, ticket) for item in view.alterations],
        "apart": [item.what for item in view.apart],
        "not_tested": _not_tested(view),
        "open_work": [_open_work(item) for item in view.open_work],
        "cautions": _cautions(view),
        "rules": _rules(view),
        "further_photos": _further_photos(view),
        "people": sorted({item.entry.by.name for item in view.entries}),
        "record": _record(view),
    }
    content["changes"] = changes.between(before, content) if before else []
    return content


def document_name(content: Content) -> str:
    """Running title: what this is, its number and revision, whose it is."""
    return _("Findings report %(number)04d, revision %(revision)s. %(shop)s") % {
        "number": content["number"],
        "revision": content["revision"],
        "shop": content["shop"]["name"],
    }


def _shop(profile: Profile) -> Content:
    return {
        "name": profile.name,
        "address": " ".join(profile.address.split("\n")),
        "phone": profile.phone,
        "mail": profile.mail,
        "website": profile.website,
        "registration": profile.registration,
        "logo": profile.logo_sha256,
    }


def _customer(ticket: Ticket) -> Content:
    customer = ticket.customer
    return {"name": customer.shown_name, "address": customer.address}


def _car(car: Car) -> Content:
    title = [car.title.rsplit(" ", 1)[0] if car.year else car.title, car.body]
    parts = [" ".join(part for part in title if part)]
    if car.fuel:
        parts.append(words.customer("fuel", car.fuel))
    if car.year:
        parts.append(str(car.year))
    return {
        "title": ", ".join(parts),
        "plate": car.plate,
        "vin": car.vin,
        "high_voltage": car.high_voltage,
        "non_standard": car.non_standard,
    }


def _visit(view: TicketView) -> Content:
    ticket = view.ticket
    unit = ticket.odometer_unit
    readings = [
        _("%(n)s %(unit)s in") % {"n": _spaced(ticket.odometer_in), "unit": unit}
        if ticket.odometer_in is not None
        else _("not read at arrival"),
    ]
    if ticket.odometer_out is not None:
        readings.append(
            _("%(n)s %(unit)s out") % {"n": _spaced(ticket.odometer_out), "unit": unit}
        )
    if ticket.odometer_why:
        readings.append(ticket.odometer_why)
    return {
        "received": _moment(ticket.received_at or ticket.opened_at),
        "odometer": ", ".join(readings),
        "comeback_of": ticket.comeback_of.shown_number if ticket.comeback_of else "",
        "state": words.customer("ticket_state", ticket.state),
        "finished": ticket.state in {"ready", "handed_back"},
    }


def _complaint(item: EntryView) -> Content:
    conditions = item.data.get("conditions") or {}
    return {
        "no": item.entry.seq,
        "words": item.data["words"],
        "conditions": words.said(conditions) if conditions else [],
    }


def _tried(view: TicketView) -> list[str]:
    """Whether the complaint happened while we tested, and in which tests."""
    present = [i.entry.seq for i in view.tests if i.link.fault_present == "yes"]
    absent = [i.entry.seq for i in view.tests if i.link.fault_present == "no"]
    sentences = []
    if present:
        sentences.append(
            _("What you reported was happening during test %(list)s.") % {"list": _list(present)}
        )
    if absent:
        sentences.append(
            _("It was not happening during test %(list)s; a good result there says little.")
            % {"list": _list(absent)}
        )
    if view.tests and not present and view.complaints:
        sentences.append(str(words.sentence("not_reproduced")))
    return sentences


def _short(view: TicketView) -> Content:
    """The first page: what is wrong, how sure, drive or not, what to do, what waiting risks."""
    telling = [f for f in view.findings if f.data["certainty"] in {"confirmed", "probable"}]
    telling = telling or [f for f in view.findings if f.data["certainty"] == "suspected"]
    sures = []
    for item in telling:
        code = item.data["certainty"]
        if code not in [sure["code"] for sure in sures]:
            sures.append(
                {
                    "code": code,
                    "word": words.customer("certainty", code),
                    "meaning": words.meaning("certainty", code),
                }
            )
    if not telling:
        what = [
            _("Nothing has been found yet. The tests made so far are listed in this report.")
            if view.tests
            else _("No test has been made yet.")
        ]
    else:
        what = [item.data["sentence"] for item in telling]
    to_do = _unique(item.data.get("to_do") for item in view.findings)
    to_do += [
        _("Have this put back: %(what)s.") % {"what": alteration.what}
        for alteration in view.alterations
    ]
    to_do += [item.data["what"] for item in view.open_work if item.data["status"] == "open"]
    return {
        "what": what,
        "sure": sures,
        "advice": _advice(view),
        "to_do": to_do,
        "waiting": _unique(item.data.get("waiting_risk") for item in view.findings),
        "cost": _cost(view.ticket, view.profile),
    }


def _advice(view: TicketView) -> Content:
    code = view.advice
    if not code:
        return {
            "code": "",
            "text": _(
                "We can't advise on driving yet: nothing has been found or ruled out so far."
            ),
            "not_tested": _unlooked(view),
            "from": [],
        }
    givers = [
        _("finding %(n)s") % {"n": n}
        for n, item in enumerate(view.findings, start=1)
        if item.data["advice"] == code
    ]
    givers += [
        _("alteration %(no)s") % {"no": a.entry.seq} for a in view.alterations if a.advice == code
    ]
    return {
        "code": code,
        "text": view.advice_words,
        "not_tested": _unlooked(view),
        "from": givers if code != "no_restriction" else [],
    }


def _unlooked(view: TicketView) -> list[str]:
    made = {item.link.run.procedure for item in view.tests}
    return [str(word) for code, word in NEVER_LOOKED_AT if code not in made]


def _cost(ticket: Ticket, profile: Profile) -> str:
    if ticket.allowance_minor is None:
        return ""
    amount = Money(ticket.allowance_minor, ticket.currency).show(profile.locale)
    return str(words.sentence("agree_at_most", amount=amount))


def _finding(view: TicketView, n: int, item: EntryView) -> Content:
    data = item.data
    runs, frames = [], []
    for basis in data.get("rests_on", []):
        if "run" in basis:
            runs.append(basis["run"])
        elif "photo" in basis:
            frames.append(tuple(basis["photo"]))
    tests = [i for i in view.entries if i.link and i.link.run.digest in runs]
    run_ids = {i.link.run_id for i in tests}
    photos = [
        photo
        for entry in view.entries
        if not entry.is_gone
        for photo in entry.photos
        if _chosen(photo)
        and ((str(photo.entry.uid), photo.letter) in frames or photo.run_id in run_ids)
    ]
    return {
        "n": n,
        "no": item.entry.seq,
        "certainty": data["certainty"],
        "word": words.customer("certainty", data["certainty"]),
        "sentence": data["sentence"],
        "technician": data.get("for_technician", ""),
        "advice": data["advice"],
        "advice_sentence": words.advice_sentence(
            data["advice"], words=data.get("advice_words", ""), not_tested=_unlooked(view)
        ),
        "to_do": data.get("to_do", ""),
        "waiting": data.get("waiting_risk", ""),
        "why": data.get("why_it_failed", ""),
        "rests": [{"no": str(r["no"]), "words": str(r["words"])} for r in item.rests],
        "tests": [i.entry.seq for i in tests],
        "photos": [_photo(photo) for photo in photos[:PHOTOS_OF_A_FINDING]],
        "by": item.entry.by.name,
    }


def _test(item: EntryView) -> Content:
    replaced = item.replaced_by
    return {
        "no": item.entry.seq,
        "by": item.entry.by.name,
        "at": _moment(item.link.run.measured_at),
        "late": (item.link.run.recorded_at - item.link.run.measured_at).total_seconds() > 3600,
        "fault_present": item.link.fault_present,
        "fault_present_word": words.customer("fault_present", item.link.fault_present),
        "replaced_by": replaced.seq if replaced else None,
        "withdrawn": bool(replaced and replaced.kind == "withdrawn"),
        "corrects": item.of.entry.seq if item.of else None,
        "why": item.data.get("why", ""),
        "run": asdict(for_paper(item.run)),
    }


def _swap(view: TicketView, item: EntryView) -> Content:
    return swap_view(view, item) | {
        "photos": [
            _photo(photo)
            for entry in view.entries
            if not entry.is_gone
            for photo in entry.photos
            if str(photo.swap_uid) == item.data["uid"] and _chosen(photo)
        ]
    }


def _fitted_elsewhere(item: EntryView) -> str:
    """Only what the customer reports: nothing about another shop's work."""
    when = item.data.get("done_on")
    return str(
        words.sentence(
            "fitted_elsewhere",
            part=item.data.get("part_in") or item.data.get("part_out") or _("a part"),
            when=date_format(datetime.fromisoformat(when), "j F Y") if when else _("an earlier day"),
        )
    )


def _alteration(item: Alteration, ticket: Ticket) -> Content:
    return {
        "no": item.entry.seq,
        "ticket": "" if item.ticket_id == ticket.pk else item.ticket.shown_number,
        "what": item.what,
        "where": item.where_on_car,
        "why": item.why,
        "found_so": item.found_so,
        "affects": [words.customer("affects", code) for code in item.affects],
        "emissions": str(words.EMISSIONS_LAW) if "emissions_law" in item.affects else "",
        "put_back": item.put_back_how,
        "since": _moment(item.entry.at),
    }


def _not_tested(view: TicketView) -> list[str]:
    said = [i.data["sentence"] for i in view.findings if i.data["certainty"] == "not_tested"]
    unlooked = _unlooked(view)
    if unlooked:
        said.append(
            _("Not part of this job, and not looked at: %(list)s.") % {"list": ", ".join(unlooked)}
        )
    return said


def _open_work(item: EntryView) -> Content:
    return {
        "what": item.data["what"],
        "status": item.data["status"],
        "word": words.customer("open_work_status", item.data["status"]),
        "risk": item.data.get("risk", ""),
        "until": item.data.get("until", ""),
    }


def _cautions(view: TicketView) -> list[str]:
    """Cautions that concern the reader, those of the tests made first, the general ones last."""
    found = [text for item in view.tests for text in item.run.owner_cautions]
    if view.ticket.car.high_voltage:
        found.append(
            _(
                "This car has a high-voltage system. Leave orange leads and anything they go to "
                "to trained people."
            )
        )
    if view.apart:
        found.insert(
            0,
            _("The car is not together just now: %(list)s. Do not use it.")
            % {"list": "; ".join(item.what for item in view.apart)},
        )
    found.append(str(words.sentence("results_concern")))
    found.append(str(words.sentence("makers_data_first")))
    return list(dict.fromkeys(found))


def _rules(view: TicketView) -> Content:
    runs = [item.run for item in view.entries if item.run]
    return {
        "decision": next((run.rule for run in runs), ""),
        "instruments": list(dict.fromkeys(text for run in runs for text in run.instruments)),
        "limits": list(
            dict.fromkeys(text for run in runs for text in run.limit_sources)
        ),
        "opinion": str(words.sentence("opinion", name=", ".join(
            sorted({item.entry.by.name for item in view.findings})
        ))) if view.findings else "",
    }


def _further_photos(view: TicketView) -> list[Content]:
    shown: set[str] = set()
    for item in view.findings:
        shown |= {frame["no"] for frame in _finding(view, 0, item)["photos"]}
    for item in view.swaps:
        shown |= {frame["no"] for frame in _swap(view, item)["photos"]}
    return [
        _photo(photo)
        for entry in view.entries
        if not entry.is_gone
        for photo in entry.photos
        if photo.frame not in shown and _chosen(photo)
    ]


def _photo(photo: Photo) -> Content:
    subject = words.customer("photo_subject", photo.subject)
    if photo.place:
        subject = f"{subject}, {photo.place}"
    return {
        "no": photo.frame,
        "sha256": photo.blob_id,
        "caption": photo.caption or subject,
        "alt": photo.alt or photo.caption or subject,
        "at": _moment(photo.entry.at),
    }


def _chosen(photo: Photo) -> bool:
    choice = getattr(photo, "choice", None)
    return choice is None or choice.in_report


def _record(view: TicketView) -> Content:
    last = view.entries[-1].entry
    ledger = Ledger.objects.order_by("-seq").first()
    return {
        "entries": last.seq,
        "head": last.digest,
        "ledger_seq": ledger.seq,
        "ledger_head": ledger.head,
    }


def _unique(texts) -> list[str]:
    return list(dict.fromkeys(text.strip() for text in texts if text and text.strip()))


def _list(numbers: list[int]) -> str:
    texts = [str(n) for n in numbers]
    if len(texts) == 1:
        return texts[0]
    return _("%(most)s and %(last)s") % {"most": ", ".join(texts[:-1]), "last": texts[-1]}


def _moment(at: datetime) -> str:
    local = timezone.localtime(at)
    return f"{date_format(local, 'j F Y')}, {date_format(local, 'H:i')}"


def _spaced(number: int) -> str:
    return f"{number:,}".replace(",", "\u00a0")


def revision_of(report: Report) -> Content:
    """The frozen content of an issued report."""
    import json

    return json.loads(report.content)
