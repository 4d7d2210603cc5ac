"""Pages for what went wrong: each says what happened and what to do."""

from __future__ import annotations

import logging
import secrets
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

log = logging.getLogger("baywitness.errors")


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
    """500: our fault. The number lets the owner find the log line."""
    number = secrets.token_hex(4)
    log.error("error %s at %s", number, request.path)
    return render(request, "500.html", {"error_number": number}, status=500)


def send_again(request: HttpRequest, reason: str = "", **_: Any) -> HttpResponse:
    """403 for a form whose token is too old: asks to send it again; the browser keeps the text."""
    return render(request, "send_again.html", status=403)


def _reason(exception: Exception) -> str:
    return {
        "TooManyFilesSent": "Too many files at once: at most 40 photos in one go.",
        "TooManyFieldsSent": "The form holds too many fields.",
        "RequestDataTooBig": "What was sent is too large.",
        "MultiPartParserError": "The upload was damaged on the way. Send it again.",
    }.get(type(exception).__name__, "")
