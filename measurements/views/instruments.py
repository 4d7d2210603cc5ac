"""The shop's instruments: the list, a new one, a change, one put away."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from measurements.actions import instruments
from measurements.core.instruments import KINDS
from measurements.forms.instruments import InstrumentForm
from measurements.models import Instrument
from shop.access import allowed, row_number

UNPROCESSABLE = 422


@allowed("keep_instruments")
def show(request: HttpRequest) -> HttpResponse:
    """Those in use, the usual one of each kind first; then those put away."""
    kept = [
        {
            "instrument": tool,
            "kind": KINDS[tool.kind][0] if tool.kind in KINDS else tool.kind,
            "is_overdue": bool(
                tool.calibration_due and tool.calibration_due < timezone.localdate()
            ),
        }
        for tool in Instrument.objects.in_use()
    ]
    retired = Instrument.objects.exclude(retired_at=None).order_by("-retired_at")
    return render(
        request, "measurements/instruments.html", {"instruments": kept, "retired": retired}
    )


@allowed("keep_instruments")
def add(request: HttpRequest) -> HttpResponse:
    """A new instrument."""
    form = InstrumentForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        tool = instruments.add(by=request.user, **form.facts())
        messages.success(request, _("%(name)s is on the list.") % {"name": tool.name})
        return redirect("instruments")
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "measurements/instrument_form.html", {"form": form}, status=status)


@allowed("keep_instruments")
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Another name or accuracy; tests on record keep what they were judged by."""
    tool = get_object_or_404(Instrument, pk=row_number(pk))
    form = InstrumentForm.of(tool, request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        instruments.change(instrument=tool, by=request.user, **form.facts())
        messages.success(
            request, _("Saved. Tests on record keep the figures that they were judged by.")
        )
        return redirect("instruments")
    status = UNPROCESSABLE if form.errors else 200
    page = {"form": form, "instrument": tool}
    return render(request, "measurements/instrument_form.html", page, status=status)


@allowed("keep_instruments")
@require_POST
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Put an instrument away, or take it back into use."""
    tool = get_object_or_404(Instrument, pk=row_number(pk))
    if tool.retired_at is None:
        instruments.retire(instrument=tool, by=request.user)
        messages.success(request, _("%(name)s is put away.") % {"name": tool.name})
    else:
        instruments.take_back(instrument=tool, by=request.user)
        messages.success(request, _("%(name)s is in use again.") % {"name": tool.name})
    return redirect("instruments")
