"""The shop: profile, people, customers, cars; settings and addresses of the project."""

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class ShopConfig(AppConfig):
    """Protects the append-only tables again after every migration, since some rebuild tables."""

    name = "shop"
    verbose_name = "Shop"

    def ready(self) -> None:
        from shop import checks  # noqa: F401

        post_migrate.connect(_protect, dispatch_uid="shop.append_only")


def _protect(using: str, **_: Any) -> None:
    from shop.append_only import protect

    protect(using)
