"""Shows times in the shop's zone, and hands the shop to the request."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from shop.house.queries import house


class ShopZone:
    """Activates the shop's time zone for a request; ``request.house`` is the settings row."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.house = house()  # type: ignore[attr-defined]
        with timezone.override(request.house.zone):  # type: ignore[attr-defined]
            return self.get_response(request)
