"""Signing in, signing out, and one's own password."""

from __future__ import annotations

import logging

from django.conf import settings
from django.contrib import auth, messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from shop import device
from shop.access import allowed, open_to_all
from shop.actions import people
from shop.forms.fields import sent
from shop.forms.people import OwnPasswordForm, SignInForm

log = logging.getLogger("baywitness.security")

UNPROCESSABLE = 422


@open_to_all
@sensitive_post_parameters("password")
@never_cache
def sign_in(request: HttpRequest) -> HttpResponse:
    """Name and password; then on to where one was going, on this site only."""
    there = _own_page(request)
    if request.user.is_authenticated:
        return redirect(there)
    form = SignInForm(sent(request))
    if request.method == "POST" and form.is_valid():
        username = form.cleaned_data["username"]
        device.mark_request(request, username)
        person = auth.authenticate(request, **form.cleaned_data)
        if person:
            auth.login(request, person)
            log.info("signed in: person %s", person.pk)
            response = redirect(there)
            device.remember(request, response, username)
            return response
        log.warning("sign-in refused")
        form.refuse()
    context = {"form": form, "next": request.POST.get("next") or request.GET.get("next", "")}
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "shop/sign_in.html", context, status=status)


def _own_page(request: HttpRequest) -> str:
    """Where `next` points, if that is a page of ours, else the start page."""
    asked = request.POST.get("next") or request.GET.get("next", "")
    ours = url_has_allowed_host_and_scheme(
        asked, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    local = asked.startswith("/") and ours
    return asked if local else resolve_url(settings.LOGIN_REDIRECT_URL)


def slowed(request: HttpRequest, *_answer: object) -> HttpResponse:
    """After too many wrong tries: wait a minute. The same words for names that nobody has."""
    log.warning("sign-in slowed down")
    response = render(request, "shop/sign_in_slowed.html", status=429)
    response.headers["Retry-After"] = str(int(settings.AXES_COOLOFF_TIME.total_seconds()))
    return response


@open_to_all
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """The session ends here and now, and the browser forgets the pages that it kept."""
    pk = request.user.pk
    auth.logout(request)
    if pk:
        log.info("signed out: person %s", pk)
    response = redirect(settings.LOGOUT_REDIRECT_URL)
    response.headers["Clear-Site-Data"] = '"cache", "storage"'
    return response


@allowed("see_tickets")
@sensitive_post_parameters("present", "password", "again")
def change_password(request: HttpRequest) -> HttpResponse:
    """One's own password; other devices are signed out by it."""
    form = OwnPasswordForm(sent(request), who=request.user)
    if request.method == "POST" and form.is_valid():
        people.set_password(
            person=request.user, by=request.user, password=form.cleaned_data["password"]
        )
        auth.update_session_auth_hash(request, request.user)
        log.info("password changed: person %s", request.user.pk)
        messages.success(
            request, _("Your password is changed. Other devices have to sign in again.")
        )
        return redirect("today", permanent=False)
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "shop/password.html", {"form": form}, status=status)
