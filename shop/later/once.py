"""Does a deed once that carries a key, however often it comes, and only for whom it belongs to.

The bench's own script gives each deed a key (``X-Deed``). When the connection is gone before the
answer came, nobody knows whether the shop has done it: it comes again with the same key, later.
The key is written in the transaction of the deed itself, so both are there or neither; what was
refused leaves no key, and is judged anew when it comes again.
"""

from collections.abc import Callable
from uuid import UUID

from django.db import transaction
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _

from shop.clock import now
from shop.later.actions import is_first
from shop.web.access import came_from, staff
from shop.web.partials import asks_words, done, signed_out, was_refused
from shop.web.unchanged import until_written


class Once:
    """Stands right before the views."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        # Before the key: a photo has none, and must not be led to the sign-in as if it were taken.
        if wrong := _wrong_hand(request):
            return wrong
        key = _key(request)
        if key is None:
            return self.get_response(request)
        if not request.user.is_authenticated:
            return self.get_response(request)
        with transaction.atomic():
            if not is_first(key, staff(request), now()):
                return done(request, came_from(request))
            with until_written():
                response = self.get_response(request)
            if response.status_code >= 400 or was_refused(response):
                transaction.set_rollback(True)
            return response


def _key(request: HttpRequest) -> UUID | None:
    try:
        return UUID(request.headers.get("X-Deed", "")) if request.method == "POST" else None
    except ValueError:
        return None


def _wrong_hand(request: HttpRequest) -> HttpResponse | None:
    """What a deed is told that waited, and whose hand is not at the bench now."""
    if request.method != "POST" or not asks_words(request):
        return None
    if not request.user.is_authenticated:
        return signed_out()
    if request.headers.get("X-Deed-By") != str(staff(request).pk):
        return JsonResponse({"whose": True, "why": _("It is another person’s.")}, status=409)
    return None
