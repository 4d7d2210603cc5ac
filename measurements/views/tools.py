"""The tools that the shop has: tests that want another are not offered as the next one."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from measurements.forms.tools import ToolsForm
from shop.access import allowed
from shop.models import Profile

UNPROCESSABLE = 422


@allowed("keep_instruments")
def change(request: HttpRequest) -> HttpResponse:
    """Tick what is here."""
    profile = Profile.current()
    form = ToolsForm(
        request.POST if request.method == "POST" else None, lacking=profile.lacks_tools
    )
    if form.is_bound and form.is_valid():
        profile.lacks_tools = form.lacking
        profile.save()
        messages.success(request, _("Saved. Tests that want another tool are no longer offered."))
        return redirect("instruments")
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "measurements/tools.html", {"form": form}, status=status)
