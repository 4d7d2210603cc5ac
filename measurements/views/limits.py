"""Limits from a maker's data, kept for a car, its model, or one engine of the model."""

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
from shop.engine import kind_words
from shop.models import Car

UNPROCESSABLE = 422


@allowed("keep_limits")
def add(request: HttpRequest, pk: int, procedure: str) -> HttpResponse:
    """The maker says otherwise: a limit with its source, for this car, its engine or its model."""
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
                holds_for=typed["scope"],
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
    page = {
        "form": form,
        "car": car,
        "procedure": declared,
        "back": back,
        "order": _order(car, declared.name, form, context),
    }
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "measurements/limit_form.html", page, status=status)


def _back(request: HttpRequest, car: Car) -> str:
    """Where the form was reached from, on this site only."""
    wanted = request.POST.get("next") or request.GET.get("next", "")
    if url_has_allowed_host_and_scheme(wanted, allowed_hosts=None):
        return wanted
    return reverse("car", args=[car.pk])


def _order(car: Car, procedure: str, form: LimitForm, context: Context) -> list[dict[str, Any]]:
    """Whose limit goes before whose, with what is kept so far at each step."""
    kept: dict[str, list[dict[str, Any]]] = {"car": [], "engine": [], "model": []}
    found = Limit.objects.for_car(car).filter(procedure=procedure).select_related("by")
    for limit in found:
        kept[limit.holds_for].append(_shown(limit, form, context))
    engine = kind_words(car.engine_kind) if car.engine_kind else ""
    steps = {
        "car": _("from the maker’s data, for this car"),
        "engine": _("from the maker’s data, for its model with this engine: %(engine)s")
        % {"engine": engine}
        if engine
        else _("from the maker’s data, for its model with this engine"),
        "model": _("from the maker’s data, for its model, whatever the engine"),
    }
    return [
        *({"words": words, "kept": kept[code]} for code, words in steps.items()),
        {"words": _("a published standard")},
        {"words": _("common practice")},
    ]


def _shown(limit: Limit, form: LimitForm, context: Context) -> dict[str, Any]:
    words, quantity = form.places.get(limit.address_pattern, (limit.address_pattern, ""))
    if quantity:
        low, high = units.show_limits(limit.low, limit.high, quantity, context.units)
    else:  # a place that the test has no longer
        low, high = ("" if one is None else f"{one:g}" for one in (limit.low, limit.high))
    bounds = {name: text for name, text in (("low", low), ("high", high)) if text}
    return {
        "what": words,
        "source": limit.source,
        "edition": limit.edition,
        "at": limit.at,
        "by": limit.by.name,
        **bounds,
    }
