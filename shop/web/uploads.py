"""What strangers send: no files, and few bodies at a time, so that slow ones block nobody."""

from collections.abc import Callable
from threading import BoundedSemaphore

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.http.request import UnreadablePostError
from django.utils.translation import gettext as _

FORM = 64 * 1024  # more than any form of a public page comes to
# Of the eight threads of a web process: whoever sends a form byte by byte holds one of them.
AT_ONCE, WAIT_S = 3, 0.5


class NoFilesFromStrangers:
    """Refuses a multipart body from someone not signed in, unless it is no larger than a form."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if (
            request.content_type == "multipart/form-data"
            and int(request.META.get("CONTENT_LENGTH") or 0) > FORM
            and not request.user.is_authenticated
        ):
            return HttpResponseBadRequest(_("Files are taken from people of the shop alone."))
        return self.get_response(request)


class FewBodiesFromStrangers:
    """Reads the body of someone not signed in beforehand, a few at a time.

    A server thread waits for a slow body without an end; without a bound, two dozen connections
    that send nothing would stop the whole shop.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self.turns = BoundedSemaphore(AT_ONCE)

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method in {"GET", "HEAD"} or request.user.is_authenticated:
            return self.get_response(request)
        if not self.turns.acquire(timeout=WAIT_S):
            busy = HttpResponse(_("Too much at once. Please try again in a minute."), status=503)
            busy["Retry-After"] = "60"
            return busy
        try:
            request.body  # noqa: B018 - reading it is the point
        except UnreadablePostError:
            return HttpResponseBadRequest(_("This did not come whole. Please send it again."))
        finally:
            self.turns.release()
        return self.get_response(request)
