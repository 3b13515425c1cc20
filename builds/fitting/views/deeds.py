"""What the pages of one build's parts and wires share: the build, and how a deed is answered."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from builds.fitting.actions import Refused
from builds.intake import actions as intake
from builds.progress import actions as progress
from builds.progress.models import Build
from builds.progress.queries import builds
from shop.stores import actions as stores
from shop.web.partials import done, next_url, refused

REFUSALS = (Refused, stores.Refused, progress.Refused, intake.Refused)


def build_of(number: int) -> Build:
    """The build of a number, or 404."""
    return get_object_or_404(builds(), number=number)


def do(request: HttpRequest, back: str, deed: Callable[[], object], said: str = "") -> HttpResponse:
    """Do a deed that asks for nothing typed; what is refused is said on the page it leads to."""
    to = next_url(request, back)
    try:
        deed()
    except REFUSALS as error:
        return refused(request, to, str(error))
    return done(request, to, said)
