"""The shop's own sheet."""

from __future__ import annotations

import logging

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from shop.access import allowed
from shop.actions import people
from shop.forms.fields import sent
from shop.forms.profile import ProfileForm

log = logging.getLogger("baywitness.security")


@allowed("shop_profile")
def change(request: HttpRequest) -> HttpResponse:
    """Name, address, units, currency, paper, time zone, labour rate, decision risk."""
    form = ProfileForm(sent(request), profile=request.shop)
    if request.method == "POST" and form.is_valid():
        people.change_profile(by=request.user, profile=request.shop, **form.cleaned_data)
        log.info("profile changed by person %s", request.user.pk)
        messages.success(request, _("Saved. Reports that were issued keep what they printed."))
        return redirect("shop-profile")
    status = 422 if form.errors else 200
    return render(request, "shop/profile.html", {"form": form}, status=status)
