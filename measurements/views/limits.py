"""Limits from a maker's data, kept for a car or its model."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _

from measurements.actions import limits
from measurements.core import units
from measurements.core.context import Context
from measurements.forms.limits import LimitForm
from measurements.models import Limit
from measurements.procedures import UnknownProcedureError, procedure_called
from shop.access import allowed, row_number
from shop.models import Car

UNPROCESSABLE = 422


@allowed("keep_limits")
def add(request: HttpRequest, pk: int, procedure: str) -> HttpResponse:
    """The maker says otherwise: a limit with its source, for this car or its model."""
    car = get_object_or_404(Car, pk=row_number(pk))
    try:
        declared = procedure_called(procedure)
    except UnknownProcedureError as fault:
        raise Http404 from fault
    context = Context(units=request.shop.units)
    back = _back(request, car)
    data = request.POST if request.method == "POST" else None
    form = LimitForm(
        car, declared, context, data, initial={"address": request.GET.get("address", "")}
    )
    if form.is_bound and form.is_valid():
        typed = form.cleaned_data
        try:
            limits.keep(
                car=car,
                procedure=declared.name,
                address_pattern=typed["address"],
                low=typed["low"],
                high=typed["high"],
                unit=form.unit,
                source=typed["source"],
                edition=typed["edition"],
                whole_model=typed["scope"] == "model",
                by=request.user,
            )
        except limits.LimitRefused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(
                request,
                _("Kept. It goes before the general limit from now on, here and on later visits."),
            )
            return HttpResponseRedirect(back, status=303)
    kept = [
        _shown(limit, form, context)
        for limit in Limit.objects.for_car(car).filter(procedure=declared.name).select_related("by")
    ]
    page = {"form": form, "car": car, "procedure": declared, "back": back, "kept": kept}
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "measurements/limit_form.html", page, status=status)


def _back(request: HttpRequest, car: Car) -> str:
    """Where the form was reached from, on this site only."""
    wanted = request.POST.get("next") or request.GET.get("next", "")
    if url_has_allowed_host_and_scheme(wanted, allowed_hosts=None):
        return wanted
    return reverse("car", args=[car.pk])


def _shown(limit: Limit, form: LimitForm, context: Context) -> dict[str, Any]:
    words, quantity = form.places.get(limit.address_pattern, (limit.address_pattern, ""))
    bounds = {
        name: units.show_value(value, quantity, context.units) if quantity else f"{value:g}"
        for name, value in (("low", limit.low), ("high", limit.high))
        if value is not None
    }
    return {
        "what": words,
        "source": limit.source,
        "edition": limit.edition,
        "at": limit.at,
        "by": limit.by.name,
        "whole_model": limit.car_id is None,
        **bounds,
    }
