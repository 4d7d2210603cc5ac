"""An instrument's checks, and what rests on it where one found it wrong."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from jobs.instrument_use import uses_since
from measurements.actions import instruments
from measurements.forms.instruments import CheckForm
from measurements.models import Instrument
from shop.access import allowed, row_number

UNPROCESSABLE = 422


@allowed("keep_instruments")
def show(request: HttpRequest, pk: int) -> HttpResponse:
    """Note a check; once one finds it wrong, every test and report since the last good one."""
    tool = get_object_or_404(Instrument, pk=row_number(pk))
    form = CheckForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        check = instruments.note_check(instrument=tool, by=request.user, **form.facts())
        if check.good:
            messages.success(request, _("Noted: it agreed."))
        else:
            messages.warning(
                request, _("Noted: it was wrong. What was measured with it is listed below.")
            )
        return redirect("instrument-checks", pk=tool.pk)
    wrong, good_on = instruments.in_doubt(tool)
    page = {
        "instrument": tool,
        "form": form,
        "checks": tool.checks.select_related("by"),
        "wrong": wrong,
        "good_on": good_on,
        "uses": uses_since(tool, good_on) if wrong else [],
    }
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "jobs/instrument_checks.html", page, status=status)
