"""Shows the page of a build's hand-over, with the form that came back in its place."""

from collections.abc import Mapping
from uuid import uuid4

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from builds.handover.forms.gestures import groups_of, new_line
from builds.handover.queries.page import hand_over
from builds.progress.models import Build
from builds.progress.queries import builds
from shop.clock import now
from shop.web.partials import page

# Each section is a part of its own, so that a tap replaces no more than it.
PARTS = {
    "gestures": "handover/_gestures.html",
    "film": "handover/_film.html",
    "booklet": "handover/_booklet.html",
    "after-care": "handover/_aftercare.html",
}
# What the booklet lacks follows from the sections above it.
ALONG = {"booklet": "handover/_booklet_section.html"}


def build_of(number: int) -> Build:
    """The build of a number, or 404."""
    return get_object_or_404(builds().select_related("blade"), number=number)


def show(
    request: HttpRequest,
    build: Build,
    bound: Mapping[str, BaseForm] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page. ``bound``: id of a form → the one that came back with what was typed."""
    found, back = hand_over(build, now()), dict(bound or {})
    told, opened = found.told, request.GET.get("line", "")
    context = {
        "room": "bench",
        "build": build,
        "page": found,
        "token": uuid4(),
        "bound": back,
        "gestures": groups_of(told.groups, told.untried, opened, back),
        "add_line": back.get("line-new") or new_line(),
    }
    return page(request, "handover/build.html", context, PARTS, status, ALONG)


@require_safe
def build(request: HttpRequest, number: int) -> HttpResponse:
    """What its owner is to be told of one build: gestures, film, booklet, after-care."""
    return show(request, build_of(number))
