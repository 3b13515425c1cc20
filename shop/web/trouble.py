"""What a request is told while the database or the disk fails it: what is wrong, in plain words."""

import errno
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from sys import exc_info

from django.conf import settings
from django.db import DatabaseError, InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from django.views import defaults

FULL = frozenset({errno.ENOSPC, errno.EDQUOT})
LEAST = 100_000  # bytes; SQLite calls it an I/O error where it finds no room for its own notes
AGAIN_S = 5
# What PostgreSQL says of waiting too long and of two that wait for each other.
_BUSY = frozenset({"40001", "40P01", "55P03", "57014"})
_SQLITE_AWAY = ("unable to open database file", "disk i/o error")


@dataclass(frozen=True)
class Trouble:
    """One thing that is wrong with the machine, and what to say of it."""

    status: int
    title: str | Promise
    says: str | Promise


NO_ROOM = Trouble(
    507,
    _("The disk of the shop is full"),
    _("What you last sent was not kept. Make room on the shop's disk, then send it once more."),
)
AWAY = Trouble(
    503,
    _("The database does not answer"),
    _(
        "What you last sent may not have been kept. Wait a moment, load the page again and look "
        "before you send it once more."
    ),
)
BUSY = Trouble(
    503,
    _("The database is busy"),
    _("It did not come to this in time. What you last sent was not kept: send it once more."),
)


def trouble_of(error: BaseException | None) -> Trouble | None:
    """What is wrong with the machine, where it is that which an error is about."""
    chain = list(_chain(error))
    if any(isinstance(each, OSError) and each.errno in FULL for each in chain):
        return NO_ROOM
    of_database = [each for each in chain if isinstance(each, DatabaseError | InterfaceError)]
    return next((found for each in of_database if (found := _of_database(each))), None)


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


def _of_database(error: Exception) -> Trouble | None:
    words, state = str(error).lower(), getattr(error.__cause__, "sqlstate", None)
    if state == "53100" or "disk is full" in words or "no space left" in words:
        return NO_ROOM
    if not isinstance(error, OperationalError | InterfaceError):
        return None
    if state in _BUSY or "is locked" in words:
        return BUSY
    if any(each in words for each in _SQLITE_AWAY):
        return AWAY if shutil.disk_usage(settings.DATA_DIR).free > LEAST else NO_ROOM
    return AWAY if _has_no_line(error, state) else None


def _has_no_line(error: Exception, state: str | None) -> bool:
    # PostgreSQL: what it never said, because it is gone, or said as it went or was coming up.
    if not type(error.__cause__).__module__.startswith("psycopg"):
        return isinstance(error, InterfaceError)
    return state is None or state.startswith(("08", "57P"))


def broken(request: HttpRequest) -> HttpResponse:
    """Answer where a view broke off: with what is wrong, where it is known; else with 500."""
    found = trouble_of(exc_info()[1])
    if found is None:
        return defaults.server_error(request)
    answer = _told(request, found)
    answer.headers["Retry-After"] = str(AGAIN_S)
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _told(request: HttpRequest, found: Trouble) -> HttpResponse:
    """In the form in which the request can show it."""
    said = f"{found.title}. {found.says}"
    if request.headers.get("X-Photo"):
        return JsonResponse({"ok": False, "why": said}, status=found.status)
    if request.headers.get("HX-Request"):
        return HttpResponse(said, content_type="text/plain; charset=utf-8", status=found.status)
    # Without the request: nobody may have looked yet who asks, and nobody could now.
    page = HttpResponse(render_to_string("trouble.html", {"of": found}), status=found.status)
    if request.method in {"GET", "HEAD"}:
        page.headers["Refresh"] = str(AGAIN_S)  # it comes back by itself
    return page
