"""The shot list, ticked while somebody films."""

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.handover.actions.shots import tick_shot, untick_shot
from builds.handover.forms.film import TickForm
from builds.handover.queries.shots import shots_of
from builds.handover.refusals import Refused
from builds.handover.views.show import build_of
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, page, refused

PARTS = {"shots": "handover/_shots.html"}


@require_safe
def shots(request: HttpRequest, number: int) -> HttpResponse:
    """What the film of a build is to show, and what of it is filmed."""
    build = build_of(number)
    context = {"room": "bench", "build": build, "shots": shots_of(build), "token": uuid4()}
    return page(request, "handover/shots.html", context, PARTS)


@require_POST
def tick(request: HttpRequest, number: int) -> HttpResponse:
    """Say that a shot was filmed."""
    build, form = build_of(number), TickForm(request.POST)
    back = reverse("handover_shots", args=[number])
    if not form.is_valid():
        return refused(request, back, _("This page is out of date. Look at it anew."))
    said = form.cleaned_data
    try:
        made, is_late = tick_shot(
            build.pk, said["code"], token=said["token"], by=staff(request), now=now()
        )
    except Refused as error:
        return refused(request, back, str(error))
    words = _("%s ticked it first.") % made.by.name if is_late else ""
    return done(request, back, words)


@require_POST
def untick(request: HttpRequest, number: int, tick_id: int) -> HttpResponse:
    """Take a tick back."""
    untick_shot(build_of(number).pk, tick_id, by=staff(request), now=now())
    return done(request, reverse("handover_shots", args=[number]))
