"""The app of people, vehicles, work orders and the site itself."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "Shop"

    def ready(self) -> None:
        """Register the system checks."""
        from shop.site import checks  # noqa: F401
