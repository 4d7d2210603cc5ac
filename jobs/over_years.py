"""All tests of one kind on one car, over the years and the visits, side by side."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

from django.db.models import Count
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst

from jobs.run_view import ON_PAGE, subject_words
from measurements.actions.runs import Recorded, read
from measurements.core import chart, trend
from measurements.models import Run
from measurements.procedures import PROCEDURES
from shop.models import Car

MOST_RUNS = 12
"""So many of the latest stand in one table; older ones are named, and each has its page."""


@dataclass(frozen=True)
class OverYears:
    """A table with a column for each test, oldest first, and what can be compared."""

    title: str
    subject: str
    runs: list[dict[str, Any]]
    rows: list[dict[str, Any]] = field(default_factory=list)
    chart: str = ""
    older: int = 0


def counting(car: Car, procedure: str = "") -> Any:
    """The tests of a car that still count, newest first."""
    return Run.objects.of(car, procedure).filter(link__entry__replaced_by=None)


def kinds_on(car: Car) -> list[dict[str, Any]]:
    """What was tested on this car, how often, each with the address of its table."""
    found = (
        counting(car)
        .order_by()
        .values("procedure", "subject")
        .annotate(times=Count("id"))
        .order_by("procedure", "subject")
    )
    return [
        {
            "title": PROCEDURES[one["procedure"]].title,
            "subject": _subject(one["procedure"], one["subject"]),
            "times": one["times"],
            "url": address(car, one["procedure"], one["subject"]),
        }
        for one in found
        if one["procedure"] in PROCEDURES
    ]


def address(car: Car, procedure: str, subject: str) -> str:
    """Where the table of these tests is."""
    return f"{reverse('car-tests', args=[car.pk, procedure])}?{urlencode({'of': subject})}"


def over_years(car: Car, procedure: str, subject: str) -> OverYears:
    """The latest tests of a procedure on one subject (route, part), point by point."""
    query = counting(car, procedure).filter(subject=subject)
    total = query.count()
    chosen = list(query.select_related("link__entry__ticket", "by")[:MOST_RUNS])[::-1]
    found = [(run, read(run)) for run in chosen]
    told = [
        trend.Told(timezone.localtime(run.measured_at).date(), one.readings, one.assessment)
        for run, one in found
    ]
    lines = trend.lines_of(told)
    title = PROCEDURES[procedure].title
    shown = [_run(run, one, on) for (run, one), on in zip(found, told, strict=True)]
    return OverYears(
        title=title,
        subject=_subject(procedure, subject),
        runs=shown,
        rows=[_row(line, shown) for line in lines],
        chart=chart.draw(trend.chart_of(told, lines, title), ground=ON_PAGE, name="years"),
        older=max(0, total - len(chosen)),
    )


def _run(run: Run, found: Recorded, told: trend.Told) -> dict[str, Any]:
    entry = run.link.entry
    return {
        "pk": run.pk,
        "day": told.day,
        "at": timezone.localtime(run.measured_at),
        "name": f"{entry.ticket.shown_number}, {entry.seq}",
        "url": reverse("test", args=[entry.ticket.number, entry.seq]),
        "pattern": capfirst(found.words.pattern),
        "sound": found.sound,
    }


def _row(line: trend.Line, runs: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "label": capfirst(line.label),
        "cells": [
            {"run": run, "value": reading.understood if reading else ""}
            for run, reading in zip(runs, line.readings, strict=True)
        ],
    }


def _subject(procedure: str, subject: str) -> str:
    """The words of a subject, from the latest run that has it; a code never reaches the page."""
    if not subject:
        return ""
    run = Run.objects.filter(procedure=procedure, subject=subject).order_by("-id").first()
    return subject_words(read(run), subject) if run else ""
