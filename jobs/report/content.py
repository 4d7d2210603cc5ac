"""What a findings report says, as plain data: every rule and every rounding decided here.

The contents follow the clauses gathered for test reports: ISO/IEC 17025:2017, 7.8.2 (who, what,
when, method, results with units), 7.8.3 (conditions, uncertainty), 7.8.6 (decision rule),
7.8.7 (opinions marked as such) and 7.8.8 (amended reports)."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import words
from jobs.models import Ledger, Report, Ticket
from jobs.report import changes
from jobs.report.evidence import Evidence, fitted_elsewhere
from jobs.report.first_page import FINISHED, first_page, tried, unlooked
from jobs.report.wording import inside, moment, sentence, spaced, spoken, unique
from jobs.ticket_view import EntryView, TicketView
from shop.models import Car, Person, Profile

FORMAT = 1
Content = dict[str, Any]


def content_of(
    ticket: Ticket, profile: Profile, *, by: Person, at: datetime | None = None
) -> Content:
    """The next revision of a ticket's report, ready to be shown or issued."""
    view = TicketView(ticket, profile)
    evidence = Evidence(view)
    at = at or timezone.now()
    before = view.reports[0] if view.reports else None
    # A photo stands where it is asked for first: with its finding, its swap, its test, or last.
    findings = [evidence.finding(n, item) for n, item in enumerate(view.findings, start=1)]
    swaps = [evidence.swap(item) for item in evidence.ours]
    alterations = [evidence.alteration(item) for item in view.alterations]
    tests = evidence.all_tests()
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
        "complaints": [_complaint(view, evidence, item) for item in view.complaints],
        "wishes": [{"no": item.entry.seq, "words": item.data["words"]} for item in view.wishes],
        "short": (short := first_page(view, evidence)),
        "key": _key(short, findings, tests),
        "not_appeared": _not_appeared(view),
        "findings": findings,
        "tests": tests,
        "engine": evidence.engine(),
        "swaps": swaps,
        "fitted_elsewhere": [
            fitted_elsewhere(item) for item in view.swaps if not item.data.get("ours", True)
        ],
        "alterations": alterations,
        "apart": [item.what for item in view.apart],
        "not_tested": _not_tested(view),
        "looked_up": [_looked_up(item) for item in view.looked_up],
        "open_work": [_open_work(item) for item in view.open_work],
        "cautions": _cautions(view),
        "rules": _rules(view),
        "further_photos": evidence.further_photos(),
        "people": unique(item.entry.by.name for item in view.entries),
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
        "address": ", ".join(unique(profile.address.split("\n"))),
        "phone": profile.phone,
        "mail": profile.mail,
        "website": profile.website,
        "registration": profile.registration,
        "logo": profile.logo_sha256,
    }


def _customer(ticket: Ticket) -> Content:
    customer = ticket.customer
    return {
        "name": customer.shown_name,
        "address": ", ".join(unique(customer.address.split("\n"))),
    }


def _car(car: Car) -> Content:
    named = [car.make, car.model, car.body] if car.make or car.model else [_("make not recorded")]
    parts = [" ".join(part for part in named if part)]
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
        _("%(n)s %(unit)s in") % {"n": spaced(ticket.odometer_in), "unit": unit}
        if ticket.odometer_in is not None
        else _("not read at arrival"),
    ]
    if ticket.odometer_out is not None:
        readings.append(_("%(n)s %(unit)s out") % {"n": spaced(ticket.odometer_out), "unit": unit})
    if ticket.odometer_why:
        readings.append(ticket.odometer_why)
    return {
        "received": moment(ticket.received_at or ticket.opened_at),
        "odometer": ", ".join(readings),
        "comeback_of": ticket.comeback_of.shown_number if ticket.comeback_of else "",
        "finished": ticket.state in FINISHED,
    }


def _complaint(view: TicketView, evidence: Evidence, item: EntryView) -> Content:
    conditions = item.data.get("conditions") or {}
    return {
        "no": item.entry.seq,
        "words": item.data["words"],
        "conditions": words.said(conditions) if conditions else [],
        "tried": tried(view, evidence, item),
    }


def _key(short: Content, findings: list[Content], tests: list[Content]) -> Content:
    """What the lines and marks mean, of those that this report uses and has not explained yet."""
    explained = {sure["code"] for sure in short["sure"]}
    certainties = {finding["certainty"] for finding in findings} - explained
    used = set()
    for test in tests:
        rows = [row for table in test["run"]["tables"] for row in table["rows"]]
        for row in [*rows, test["run"]]:
            if row["outcome"]:
                usual = row["common"] and row["outcome"] in _KEY_OF_USUAL
                used.add((row["outcome"], usual))
    return {
        "certainty": [
            {
                "code": code,
                "word": capfirst(words.customer("certainty", code)),
                "meaning": words.meaning("certainty", code),
            }
            for code in words.CERTAINTY.codes
            if code in certainties
        ],
        "verdicts": [
            {"outcome": outcome, "common": common, "meaning": str(meaning)}
            for common, meanings in ((False, _KEY_OF_LIMITS), (True, _KEY_OF_USUAL))
            for outcome, meaning in meanings.items()
            if (outcome, common) in used
        ],
    }


_KEY_OF_LIMITS = {
    "within": gettext_lazy("inside the limit that is named beside it"),
    "outside": gettext_lazy("outside the limit that is named beside it"),
    "cannot_tell": gettext_lazy("too close to the limit for this meter"),
    "no_limit": gettext_lazy("measured; there is no limit to judge it by"),
}
_KEY_OF_USUAL = {
    "within": gettext_lazy("usual by common practice of the trade"),
    "outside": gettext_lazy(
        "unusual by common practice of the trade, which is not the maker's limit"
    ),
}


def _not_appeared(view: TicketView) -> list[Content]:
    """Complaints whose fault did not show itself, but those in which it has been there since."""
    said = {item.data["uid"]: item.data["words"] for item in view.complaints}
    return [
        {
            "no": item.entry.seq,
            "words": said.get(item.data["complaint"], ""),
            "tried": [line["words"] for line in item.data["tried"]],
            "not_tried": item.data["not_tried"],
            "note": item.data["note"],
            "until": item.data.get("until", ""),
            "ring_on": item.data.get("ring_on", ""),
        }
        for item in view.not_appeared
        if not item.appeared_since
    ]


def _not_tested(view: TicketView) -> list[str]:
    said = [i.data["sentence"] for i in view.findings if i.data["certainty"] == "not_tested"]
    if unseen := unlooked(view):
        said.append(
            _("Not part of this job, and not looked at: %(list)s.") % {"list": spoken(unseen)}
        )
    return said


def _looked_up(item: EntryView) -> Content:
    return {
        "what": words.customer("looked_up", item.data["what"]),
        "result": words.customer("looked_up_result", item.data["result"]),
        "cited": ", ".join(item.data[k] for k in ("source", "number") if item.data.get(k)),
        "by_vin": bool(item.data.get("by_vin")),
        "note": item.data.get("note", ""),
        "at": moment(item.entry.at),
    }


def _open_work(item: EntryView) -> Content:
    return {
        "what": item.data["what"],
        "status": item.data["status"],
        "word": words.customer("open_work_status", item.data["status"]),
        "risk": item.data.get("risk", ""),
        "until": item.data.get("until", ""),
    }


def _cautions(view: TicketView) -> list[str]:
    """Cautions that concern the reader: what is apart, those of the tests made, general ones."""
    found = []
    if view.apart:
        found.append(
            _("The car is not together just now: %(list)s. Do not use it.")
            % {"list": "; ".join(inside(item.what) for item in view.apart)}
        )
    found += [text for item in view.tests for text in item.run.owner_cautions]
    if view.ticket.car.high_voltage:
        found.append(
            _(
                "This car has a high-voltage system. Leave orange leads and anything they go to "
                "to trained people."
            )
        )
    found.append(str(words.sentence("results_concern")))
    found.append(str(words.sentence("makers_data_first")))
    return list(dict.fromkeys(sentence(text) for text in found))


def _rules(view: TicketView) -> Content:
    runs = [item.run for item in view.entries if item.run]
    signed = unique(item.entry.by.name for item in view.findings)
    return {
        "decision": next((run.rule for run in runs), ""),
        "instruments": unique(text for run in runs for text in run.instruments),
        "limits": unique(text for run in runs for text in run.limit_sources),
        "opinion": str(words.sentence("opinion", name=spoken(signed))) if signed else "",
    }


def _record(view: TicketView) -> Content:
    last = view.entries[-1].entry
    ledger = Ledger.objects.order_by("-seq").first()
    return {
        "entries": last.seq,
        "head": last.digest,
        "ledger_seq": ledger.seq,
        "ledger_head": ledger.head,
    }


def revision_of(report: Report) -> Content:
    """The frozen content of an issued report."""
    return json.loads(report.content)
