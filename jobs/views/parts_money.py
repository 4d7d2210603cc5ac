"""What parts that changed nothing have cost: for the owner."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.access import LARGEST_NUMBER
from jobs.forms.parts_money import PeriodForm, usual_days
from jobs.parts_money import parts_money
from shop.access import allowed
from shop.models import Car


@allowed("see_parts_money")
def show(request: HttpRequest) -> HttpResponse:
    """Of the shop, or with `?car=` of one car; twelve months unless two days are given."""
    asked = "since" in request.GET or "until" in request.GET
    form = PeriodForm(request.GET if asked else None, initial=usual_days())
    since, until = form.period()
    car = _car(request)
    page = {
        "form": form,
        "car": car,
        "since": since,
        "until": until,
        "found": parts_money(since, until, locale=request.shop.locale, car=car),
    }
    return render(request, "jobs/parts_money.html", page)


def _car(request: HttpRequest) -> Car | None:
    typed = request.GET.get("car", "")
    if not typed:
        return None
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 10):
        raise Http404
    car = Car.objects.filter(pk=min(int(typed), LARGEST_NUMBER)).first()
    if car is None:
        raise Http404
    return car
