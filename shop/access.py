"""Who may do what, asked at the door of every view."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse

LARGEST_NUMBER = 2_147_483_647
_READING = frozenset({"GET", "HEAD", "OPTIONS"})

View = Callable[..., HttpResponse]


class NotAllowed(PermissionDenied):
    """The role lacks a capability; the 403 page prints which, and who has it."""

    def __init__(self, capability: str) -> None:
        from shop import roles

        super().__init__(roles.explain(capability))
        self.capability = capability


def allowed(capability: str) -> Callable[[View], View]:
    """Opens a view to signed-in people whose role has the capability of `shop.roles`."""

    def wrap(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not request.user.is_authenticated:
                if request.method not in _READING:
                    return _signed_out(request)
                return redirect_to_login(request.get_full_path())
            if not request.user.can(capability):
                raise NotAllowed(capability)
            return view(request, *args, **kwargs)

        guarded.capability = capability
        return guarded

    return wrap


def open_to_all(view: View) -> View:
    """Marks a view that needs no sign-in, so that the access test knows it is meant."""
    view.capability = None
    return view


def row_number(number: int) -> int:
    """A number out of an address, if a row can have it; 404 else."""
    if number > LARGEST_NUMBER:
        raise Http404
    return number


def _signed_out(request: HttpRequest) -> HttpResponse:
    """Something sent by somebody who is signed out by now: their text comes back to them."""
    from shop.views.errors import send_again

    return send_again(request, signed_out=True)
