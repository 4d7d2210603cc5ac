"""Devices that somebody has signed in on before: their tries to sign in are counted apart.

A stranger who guesses at a name slows that name down for strangers alone. The cookie is signed,
holds no name, and opens nothing by itself: the password is still asked.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.utils.crypto import salted_hmac

LIFETIME = 365 * 24 * 3600
MOST_PEOPLE = 20
SALT = "shop.device"


def _cookie_name() -> str:
    return "__Host-device" if settings.SECURE else "device"


@dataclass(frozen=True)
class Device:
    """What a device's cookie says: its own random number, and marks of who signed in on it."""

    number: str
    people: tuple[str, ...] = ()

    def knows(self, username: str) -> bool:
        """Whether this very name has signed in here before."""
        return _mark(username) in self.people


def _mark(username: str) -> str:
    return salted_hmac(SALT, username, algorithm="sha256").hexdigest()[:20]


def device_of(request: HttpRequest) -> Device | None:
    """The device by its cookie, or None where there is none, or none that we signed."""
    cookie = request.COOKIES.get(_cookie_name(), "")
    try:
        stored = signing.loads(cookie, salt=SALT, max_age=LIFETIME)
        return Device(str(stored["number"]), tuple(str(mark) for mark in stored["people"]))
    except (signing.BadSignature, KeyError, TypeError):
        return None


def remember(request: HttpRequest, response: HttpResponse, username: str) -> None:
    """Let this device be known for this name from now on."""
    known = device_of(request) or Device(secrets.token_urlsafe(18))
    marks = [mark for mark in known.people if mark != _mark(username)]
    people = [_mark(username), *marks][:MOST_PEOPLE]
    response.set_cookie(
        _cookie_name(),
        signing.dumps({"number": known.number, "people": people}, salt=SALT),
        max_age=LIFETIME,
        secure=settings.SECURE,
        httponly=True,
        samesite="Lax",
    )


def mark_request(request: HttpRequest, username: str) -> None:
    """Before a password is tried: say whether the try comes from a device known for this name.

    The number of a known device stands in for the browser's name, which is what is counted by.
    """
    device = device_of(request)
    request.on_known_device = bool(device and device.knows(username))
    if request.on_known_device:
        request.META["HTTP_USER_AGENT"] = f"known device {device.number}"


def counted_by(request: Any, credentials: Mapping[str, Any] | None = None) -> list[Any]:
    """What wrong tries are counted by: name and device on a known one, else name, and address."""
    if getattr(request, "on_known_device", False):
        return [["username", "user_agent"]]
    return ["username", "ip_address"]
