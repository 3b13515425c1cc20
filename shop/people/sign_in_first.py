"""Leads whoever is not signed in to the sign-in, and afterwards back to where they were."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.translation import gettext as _

from shop.web.access import came_from


class SignInFirst(LoginRequiredMiddleware):
    """Deny by default, minding deeds and htmx.

    A deed cannot be repeated by going to its address, so the way back is the page that it was
    done on. htmx would put the sign-in page into a part of the old one: it is told to go there.
    """

    def handle_no_permission(  # type: ignore[override]
        self, request: HttpRequest, view_func: Callable[..., Any]
    ) -> HttpResponse:
        to = f"{resolve_url(settings.LOGIN_URL)}?{urlencode({'next': _way_back(request)})}"
        if request.method not in {"GET", "HEAD"}:
            messages.error(request, _("You were signed out, and nothing was saved. Sign in first."))
        if getattr(request, "htmx", None):
            return HttpResponse(headers={"HX-Redirect": to})
        return HttpResponseRedirect(to, status=303 if request.method == "POST" else 302)


def _way_back(request: HttpRequest) -> str:
    htmx = getattr(request, "htmx", None)
    if htmx and htmx.current_url_abs_path:
        return str(htmx.current_url_abs_path)
    if request.method in {"GET", "HEAD"}:
        return request.get_full_path()
    return came_from(request)
