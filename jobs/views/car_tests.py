"""Tests of one kind on one car over the years, and any two of them side by side."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.compare import Comparison, compare
from jobs.over_years import counting, over_years
from measurements.models import Run
from measurements.procedures import PROCEDURES
from shop.access import allowed, row_number
from shop.models import Car

LONGEST_SUBJECT = 80


@allowed("see_tickets")
def show(request: HttpRequest, pk: int, procedure: str) -> HttpResponse:
    """All of them in one table and drawing; `?before=` and `?after=` compare two."""
    car = Car.objects.with_owner().filter(pk=row_number(pk)).first()
    if car is None or procedure not in PROCEDURES:
        raise Http404
    subject = _subject(request, car, procedure)
    found = over_years(car, procedure, subject)
    if not found.runs:
        raise Http404
    two = [_chosen(request, car, procedure, name) for name in ("before", "after")]
    return render(
        request,
        "jobs/car_tests.html",
        {
            "car": car,
            "years": found,
            "of": subject,
            "before": two[0],
            "after": two[1],
            "comparison": _compared(request, two),
        },
    )


def _subject(request: HttpRequest, car: Car, procedure: str) -> str:
    """The route or part that is asked for; without one, that of the latest test."""
    if "of" in request.GET:
        return request.GET["of"][:LONGEST_SUBJECT]
    latest = counting(car, procedure).first()
    return latest.subject if latest else ""


def _chosen(request: HttpRequest, car: Car, procedure: str, name: str) -> Run | None:
    key = request.GET.get(name, "")
    if not (key.isascii() and key.isdigit() and len(key) <= 10):
        return None
    return counting(car, procedure).filter(pk=int(key)).first()


def _compared(request: HttpRequest, two: list[Run | None]) -> Comparison | None:
    first, second = two
    if first is None or second is None or first == second:
        return None
    if second.measured_at < first.measured_at:
        first, second = second, first
    return compare(first, second, profile=request.shop)
