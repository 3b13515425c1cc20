"""What strangers send: files by a door alone, and few bodies at a time, so that none blocks all."""

from collections.abc import Callable
from dataclasses import dataclass
from threading import BoundedSemaphore
from typing import Any, TypeVar

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.http.request import UnreadablePostError
from django.urls import Resolver404, resolve
from django.utils.translation import gettext as _

from shop.web.partials import asks_words, signed_out

View = TypeVar("View", bound=Callable[..., Any])
FORM = 64 * 1024  # more than any form of a public page comes to
# Of the eight threads of a web process: whoever sends a form byte by byte holds one of them.
AT_ONCE, WAIT_S = 3, 0.5
FILES_AT_ONCE = 2  # a file comes slowly by nature: these two threads at most wait for it


@dataclass(frozen=True)
class FilesDoor:
    """What a view that takes files from strangers asks before a byte of them is read."""

    at_most: int
    opens: Callable[..., bool]  # given what the address names


def takes_files(at_most: int, opens: Callable[..., bool]) -> Callable[[View], View]:
    """Let a public view take files of so many bytes in all from whom its address lets in."""

    def marked(view: View) -> View:
        view.files_door = FilesDoor(at_most, opens)  # type: ignore[attr-defined]
        return view

    return marked


def _door(request: HttpRequest) -> FilesDoor | None:
    """The door of the view that is asked for, where it lets this address in."""
    if request.content_type != "multipart/form-data":
        return None
    try:
        found = resolve(request.path_info)
    except Resolver404:
        return None
    door: FilesDoor | None = getattr(found.func, "files_door", None)
    return door if door and door.opens(**found.kwargs) else None


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
            if door := _door(request):
                return self._by_door(request, door)
            if asks_words(request):
                return signed_out()
            return HttpResponseBadRequest(_("Files are taken from people of the shop alone."))
        return self.get_response(request)

    def _by_door(self, request: HttpRequest, door: FilesDoor) -> HttpResponse:
        if int(request.META.get("CONTENT_LENGTH") or 0) > door.at_most + FORM:
            said = _("That is more than %(most)d MB at once. Please go back and send less.")
            return HttpResponse(said % {"most": door.at_most // 1_000_000}, status=413)
        return self.get_response(request)


class FewBodiesFromStrangers:
    """Reads the body of someone not signed in beforehand, a few at a time.

    A server thread waits for a slow body without an end; without a bound, two dozen connections
    that send nothing would stop the whole shop.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self.turns = BoundedSemaphore(AT_ONCE)
        self.files = BoundedSemaphore(FILES_AT_ONCE)

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method in {"GET", "HEAD"} or request.user.is_authenticated:
            return self.get_response(request)
        if int(request.META.get("CONTENT_LENGTH") or 0) > FORM and _door(request):
            return self._with_files(request)
        if not self.turns.acquire(timeout=WAIT_S):
            return _busy()
        try:
            request.body  # noqa: B018 - reading it is the point
        except UnreadablePostError:
            return HttpResponseBadRequest(_("This did not come whole. Please send it again."))
        finally:
            self.turns.release()
        return self.get_response(request)

    def _with_files(self, request: HttpRequest) -> HttpResponse:
        """Not read beforehand: files go to the disk piece by piece, while the turn is held."""
        if not self.files.acquire(timeout=WAIT_S):
            return _busy()
        try:
            return self.get_response(request)
        finally:
            self.files.release()


def _busy() -> HttpResponse:
    busy = HttpResponse(_("Too much at once. Please try again in a minute."), status=503)
    busy["Retry-After"] = "60"
    return busy
