"""Who may see a page: deny by default, and two names for the exceptions.

A view without a mark is for any member of staff who has signed in. ``owner_only`` narrows it to
the owner, ``public`` opens it to everyone; a test walks the URL map and knows each of them.
"""

from collections.abc import Callable
from datetime import timedelta
from functools import update_wrapper
from typing import Any, Concatenate, ParamSpec
from urllib.parse import urlencode, urlsplit

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseBase, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.http import escape_leading_slashes, url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _

from shop import clock

# In the session of a person who took over by PIN and has not given the password since.
BY_PIN = "by_pin"
# When the person of this session last proved by password, and second step if any, who they are.
PROVEN_AT = "proven_at"
PROOF_HOLDS = timedelta(minutes=15)
P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponseBase]


def public(view: View[P]) -> View[P]:
    """Open a view to everyone, signed in or not."""
    open_view = login_not_required(view)
    open_view.is_public = True  # type: ignore[attr-defined]
    return open_view


def owner_only(view: View[P]) -> View[P]:
    """Narrow a view to the owner; a bench hand is told no.

    An owner who took over a tablet by PIN is asked for the password once.
    """

    def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        if not getattr(request.user, "is_owner", False):
            raise PermissionDenied
        if request.session.get(BY_PIN):
            return _ask_password(request)
        return view(request, *args, **kwargs)

    update_wrapper(guarded, view)
    guarded.is_owner_only = True  # type: ignore[attr-defined]
    return guarded


def lately_proven(view: View[P]) -> View[P]:
    """Ask for the password before a view that changes doors, unless it was given just now."""

    def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        if not is_lately_proven(request):
            return _ask_password(request)
        return view(request, *args, **kwargs)

    update_wrapper(guarded, view)
    return guarded


def proven_to_change(view: View[P]) -> View[P]:
    """The same where only the deed changes doors, and to look is free."""
    asking = lately_proven(view)

    def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        looks = request.method in {"GET", "HEAD"}
        return (view if looks else asking)(request, *args, **kwargs)

    update_wrapper(guarded, view)
    return guarded


def is_lately_proven(request: HttpRequest) -> bool:
    """Whether this session's person gave the password within the last quarter of an hour."""
    proven_at: float = request.session.get(PROVEN_AT, 0)
    since = clock.now().timestamp() - proven_at
    # A proof from what is now to come, because the clock was set back, would hold for as long.
    return not request.session.get(BY_PIN) and abs(since) < PROOF_HOLDS.total_seconds()


def _ask_password(request: HttpRequest) -> HttpResponse:
    if request.method in {"GET", "HEAD"}:
        back = request.get_full_path()
    else:
        # A deed cannot be repeated by going to its address: back to the page that it was on.
        back = came_from(request)
        messages.error(request, _("Nothing was saved: this wants your password first."))
    to = f"{resolve_url(settings.CONFIRM_URL)}?{urlencode({'next': back})}"
    if getattr(request, "htmx", None):
        return HttpResponse(headers={"HX-Redirect": to})
    return HttpResponseRedirect(to, status=303)


def came_from(request: HttpRequest) -> str:
    """The page of ours that a deed was done on; Today where the browser does not say."""
    page = request.headers.get("Referer", "")
    if not url_has_allowed_host_and_scheme(page, allowed_hosts={request.get_host()}):
        return resolve_url(settings.LOGIN_REDIRECT_URL)
    parts = urlsplit(page)
    # Two strokes at its beginning would name another host where it is led to.
    path = escape_leading_slashes(parts.path)
    return f"{path}?{parts.query}" if parts.query else path


def staff(request: HttpRequest) -> Any:
    """The signed-in member of staff, for handing to an action."""
    return request.user


def caller_key(request: HttpRequest) -> str:
    """What tells one caller from another for throttling: the address of the connection.

    Behind a proxy it is what the proxy says, if CALLER_HEADER names the header that it sets itself.
    """
    named = request.headers.get(settings.CALLER_HEADER, "") if settings.CALLER_HEADER else ""
    return named or str(request.META.get("REMOTE_ADDR", ""))
