"""What every page knows of the shop."""

from django.conf import settings
from django.http import HttpRequest


class Can:
    """`can.record_tests` in a template: whether the signed-in person has a capability."""

    def __init__(self, person) -> None:
        self.person = person

    def __getitem__(self, capability: str) -> bool:
        return self.person.is_authenticated and self.person.can(capability)


def shop(request: HttpRequest) -> dict:
    """The shop's profile, and whether this is the demo or a plain-HTTP trial."""
    return {
        "can": Can(request.user) if hasattr(request, "user") else {},
        "profile": getattr(request, "shop", None),
        "is_demo": settings.DEMO,
        "is_plain_http": not settings.SECURE,
    }
