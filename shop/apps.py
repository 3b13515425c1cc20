"""The shop app: loads Celery with Django, so that tasks are bound to our application."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "Shop"

    def ready(self) -> None:
        # Needs loaded settings; an import at the top would run before them.
        from shop import celery  # noqa: F401, PLC0415
