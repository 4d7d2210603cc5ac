"""Pages for what went wrong: each says what happened and what to do."""

from __future__ import annotations

import logging
import secrets
import sys
from typing import Literal
from urllib.parse import urlsplit

from django.conf import settings
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import REASON_NO_REFERER
from django.shortcuts import render

log = logging.getLogger("baywitness.errors")

_NOT_TYPED = {"client_key", "seen", "device_at", "next"}
"""Fields that no person fills in."""


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400: the request itself was damaged or too large."""
    return render(request, "400.html", {"reason": _reason(exception)}, status=400)


def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    """403: signed in, but the role lacks the capability."""
    log.warning("refused %s to person %s", request.path, request.user.pk)
    return render(request, "403.html", {"reason": str(exception)}, status=403)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: nothing there, or not for this person; the page doesn't say which."""
    return render(request, "404.html", status=404)


def broken(request: HttpRequest) -> HttpResponse:
    """500: our fault, unless it is the disk's. The number lets the owner find the log line."""
    fault = sys.exc_info()[1]
    if isinstance(fault, OperationalError) and request.method == "POST":
        return not_saved(request, fault)
    number = secrets.token_hex(4)
    log.error("error %s at %s", number, request.path)
    return render(request, "500.html", {"error_number": number}, status=500)


def not_saved(request: HttpRequest, fault: OperationalError) -> HttpResponse:
    """507 or 503: the database could not write. What was typed comes back, to be sent again.

    "full" is what both databases say of a disk without room (SQLITE_FULL, PostgreSQL 53100
    disk_full: "No space left on device").
    """
    is_full = any(sign in str(fault).lower() for sign in ("full", "no space"))
    log.error("not saved at %s: %s", request.path, fault)
    context = {
        "is_full": is_full,
        "typed": _typed(request) if _sent_from(request) == "ours" else [],
        "lost_files": bool(request.FILES),
    }
    return render(request, "not_saved.html", context, status=507 if is_full else 503)


def send_again(request: HttpRequest, reason: str = "", *, signed_out: bool = False) -> HttpResponse:
    """403 for what can't be taken just now: a page's token is too old, or its sender signed out.

    What was typed comes back as a form to send again, but only to a page of our own: another
    site's form must not be handed a token. Where the browser doesn't say which page it was, only
    to somebody signed in, who is shown what would be sent: their session's cookie is SameSite=Lax,
    so a browser sends it with no other site's form.
    """
    sender = _sent_from(request)
    is_mine = sender == "ours" or (sender == "unsaid" and not signed_out and _is_signed_in(request))
    typed = _typed(request) if is_mine else []
    log.warning("not taken, %s: %s", "signed out" if signed_out else "old token", request.path)
    # Over an encrypted line a token counts only where the browser names the page.
    can_be_sent = reason != REASON_NO_REFERER
    shown = [value for name, value in typed if name not in _NOT_TYPED and value.strip()]
    context = {
        "typed": typed,
        "shown": shown if sender == "unsaid" or not can_be_sent else [],
        "can_be_sent": can_be_sent,
        "signed_out": signed_out,
        "lost_files": bool(request.FILES),
    }
    return render(request, "send_again.html", context, status=403)


def _sent_from(request: HttpRequest) -> Literal["ours", "others", "unsaid"]:
    """Whose page a form was on, by the first header that says it; a page can set none of them."""
    ours = {f"{request.scheme}://{request.get_host()}", *settings.CSRF_TRUSTED_ORIGINS}
    if origin := request.headers.get("Origin"):
        return "ours" if origin in ours else "others"
    if site := request.headers.get("Sec-Fetch-Site"):
        return "ours" if site == "same-origin" else "others"
    if referer := request.headers.get("Referer"):
        return "ours" if _origin_of(referer) in ours else "others"
    return "unsaid"


def _origin_of(address: str) -> str:
    try:
        parts = urlsplit(address)
    except ValueError:
        return ""
    return f"{parts.scheme}://{parts.netloc}"


def _is_signed_in(request: HttpRequest) -> bool:
    user = getattr(request, "user", None)
    return user is not None and user.is_authenticated


def _typed(request: HttpRequest) -> list[tuple[str, str]]:
    """The fields of a form, without its token and without passwords."""
    left_out = {"csrfmiddlewaretoken", "password", "again", "present"}
    fields = request.POST.lists()
    return [(name, value) for name, values in fields if name not in left_out for value in values]


def _reason(exception: Exception) -> str:
    return {
        "TooManyFilesSent": "Too many files at once: at most 40 photos in one go.",
        "TooManyFieldsSent": "The form holds too many fields. "
        f"At most {settings.DATA_UPLOAD_MAX_NUMBER_FIELDS} are taken.",
        "RequestDataTooBig": "What was sent is too large: at most "
        f"{settings.DATA_UPLOAD_MAX_MEMORY_SIZE / 1e6:g} MB of text are taken.",
        "MultiPartParserError": "The upload was damaged on the way. Send it again.",
    }.get(type(exception).__name__, "")
