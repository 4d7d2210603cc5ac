"""Which tests and reports rest on an instrument that was found wrong."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from django.urls import reverse
from django.utils import timezone

from jobs.models import Report, RunLink
from measurements.models import Instrument
from measurements.procedures import PROCEDURES


@dataclass(frozen=True)
class Use:
    """One test that was made with the instrument, and the reports that show it."""

    day: date
    number: str
    car: str
    title: str
    url: str
    reports: list[dict[str, Any]]


def uses_since(instrument: Instrument, good_on: date | None) -> list[Use]:
    """Every test that still counts and has a reading of the instrument, made after the day of its
    last good check (all, without one), newest first, with the issued reports that print it."""
    links = (
        RunLink.objects.current()
        .filter(run__readings__instrument=instrument)
        .select_related("run", "entry", "ticket__car")
        .order_by("-run__measured_at")
        .distinct()
    )
    if good_on is not None:
        after = timezone.make_aware(datetime.combine(good_on, time.max))
        links = links.filter(run__measured_at__gt=after)
    found = list(links)
    shown = _shown({link.ticket_id for link in found})
    return [
        Use(
            day=timezone.localtime(link.run.measured_at).date(),
            number=link.ticket.shown_number,
            car=link.ticket.car.title,
            title=PROCEDURES[link.run.procedure].title
            if link.run.procedure in PROCEDURES
            else link.run.procedure.replace("_", " "),
            url=reverse("test", args=[link.ticket.number, link.entry.seq]),
            reports=[
                {"name": str(report), "url": reverse("report", args=[number, report.revision])}
                for report, number, entries in shown.get(link.ticket_id, [])
                if link.entry.seq in entries
            ],
        )
        for link in found
    ]


def _shown(tickets: set[int]) -> dict[int, list[tuple[Report, int, set[int]]]]:
    """Ticket -> its issued reports, each with the numbers of the tests that it prints."""
    found: dict[int, list[tuple[Report, int, set[int]]]] = {}
    for report in Report.objects.filter(ticket__in=tickets).select_related("ticket"):
        entries = {test["no"] for test in json.loads(report.content).get("tests", [])}
        found.setdefault(report.ticket_id, []).append((report, report.ticket.number, entries))
    return found
