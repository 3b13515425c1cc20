"""Answers machines that look after the shop before anything else does.

No session, no settings row, no name of the host: whoever asks whether the shop is well must get an
answer while the database is away, by whatever address, over plain HTTP behind a proxy.
"""

from collections.abc import Callable
from typing import Any, TypeVar

from django.http import HttpRequest, HttpResponse
from django.urls import Resolver404, resolve

View = TypeVar("View", bound=Callable[..., Any])
UNDER = ("/health/", "/metrics")  # a page asked for a hundred times as often is looked up once


def bare(view: View) -> View:
    """Let a public view answer without all that stands before other pages."""
    view.is_bare = True  # type: ignore[attr-defined]
    return view


class BareFirst:
    """Hands a request for a bare view straight to it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path_info.startswith(UNDER) and (answer := _answer(request)):
            return answer
        return self.get_response(request)


def _answer(request: HttpRequest) -> HttpResponse | None:
    try:
        found = resolve(request.path_info)
    except Resolver404:
        return None
    if not getattr(found.func, "is_bare", False):
        return None
    request.resolver_match = found
    answer: HttpResponse = found.func(request)
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["X-Content-Type-Options"] = "nosniff"
    return answer
