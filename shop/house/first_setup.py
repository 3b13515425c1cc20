"""Before the first set-up every page leads there; nothing else answers."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url


class FirstSetup:
    """Sends every request to the first set-up until it is done."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.house.set_up_at is None:  # type: ignore[attr-defined]
            first = resolve_url(settings.FIRST_SETUP_URL)
            if not request.path.startswith((first, f"/{settings.STATIC_URL.lstrip('/')}")):
                return HttpResponseRedirect(first)
        return self.get_response(request)
