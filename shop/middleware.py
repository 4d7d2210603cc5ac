"""Content policy on every answer; time zone and language of the shop for every request."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import timezone, translation
from django.utils.cache import patch_cache_control

Answer = Callable[[HttpRequest], HttpResponse]


class ContentPolicyMiddleware:
    """Sends the policy of settings.SECURE_CSP, unless a view has set a stricter one; and keeps out
    of caches what doesn't say how long it may be kept, refusals too."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer
        self.policy = "; ".join(
            f"{name} {' '.join(sources)}" for name, sources in settings.SECURE_CSP.items()
        )

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.answer(request)
        response.headers.setdefault("Content-Security-Policy", self.policy)
        response.headers.setdefault("Cache-Control", "private, no-store")
        return response


class ShopMiddleware:
    """Shows times in the shop's zone, and keeps signed-in pages out of every cache."""

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        from shop.models import Profile

        profile = Profile.current()
        request.shop = profile
        with timezone.override(profile.time_zone), translation.override(profile.locale):
            response = self.answer(request)
            if request.user.is_authenticated:
                patch_cache_control(response, private=True, no_store=True)
            return response
