"""Before the first set-up every page leads there; nothing else answers."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse


class FirstSetup:
    """Sends every request to the first set-up until it is done."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        first = reverse("people_first_setup")
        wanted = request.house.set_up_at is None and request.path != first  # type: ignore[attr-defined]
        if wanted and not request.path.startswith(f"/{settings.STATIC_URL}".replace("//", "/")):
            return HttpResponseRedirect(first)
        return self.get_response(request)
