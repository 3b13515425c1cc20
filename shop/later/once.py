"""Does a deed once that carries a key, however often it comes, and only for whom it belongs to.

The bench's own script gives each deed a key (``X-Deed``). When the connection is gone before the
answer came, nobody knows whether the shop has done it: it comes again with the same key, later.
The key is written in the transaction of the deed itself, so both are there or neither; what was
refused leaves no key, and is judged anew when it comes again. What else a refusal wrote stays, as
it would without a key: tries at a password or a PIN are counted.
"""

from collections.abc import Callable
from uuid import UUID

from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest, JsonResponse
from django.http.request import UnreadablePostError
from django.utils.translation import gettext as _

from shop.clock import now
from shop.later.actions import is_first, let_go
from shop.web.access import came_from, staff
from shop.web.partials import asks_words, done, signed_out, was_refused
from shop.web.unchanged import until_written

FORMS = {"multipart/form-data", "application/x-www-form-urlencoded"}


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
        try:
            request.POST  # noqa: B018 - a body that stalls must not hold the database's lock
        except UnreadablePostError:
            return HttpResponseBadRequest(_("This did not come whole. Please send it again."))
        return self._once(request, key)

    def _once(self, request: HttpRequest, key: UUID) -> HttpResponse:
        with transaction.atomic():
            if not is_first(key, staff(request), now()):
                return done(request, came_from(request))
            with until_written():
                response = self.get_response(request)
            if response.status_code >= 500 or connection.needs_rollback:
                transaction.set_rollback(True)
            elif response.status_code >= 400 or was_refused(response):
                let_go(key)
            return response


def _key(request: HttpRequest) -> UUID | None:
    # Forms alone: what reads its body by itself would do so within the transaction.
    if request.method != "POST" or request.content_type not in FORMS:
        return None
    try:
        return UUID(request.headers.get("X-Deed", ""))
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
