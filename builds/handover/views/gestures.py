"""What is done to the gestures of a build; the page that shows them is the hand-over."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_POST

from builds.handover.actions import gestures as actions
from builds.handover.forms.gestures import AddLineForm, ChangeLineForm, SeenForm, SourceForm
from builds.handover.models import Gesture
from builds.handover.refusals import Refused
from builds.handover.views.show import build_of, show
from builds.progress.models import Build
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, refused

OUT_OF_DATE = gettext_lazy("This page is out of date. Look at it anew.")


def _here(number: int, gesture_id: int | None = None) -> str:
    part = f"gesture-{gesture_id}" if gesture_id else "gestures"
    return reverse("handover_build", args=[number]) + f"#{part}"


def _gesture(number: int, pk: int) -> Gesture:
    return get_object_or_404(Gesture, pk=pk, build__number=number)


@require_POST
def take_over(request: HttpRequest, number: int) -> HttpResponse:
    """Take over the plans of the boards in a build."""
    build = build_of(number)
    return _counted(
        request, build, lambda: actions.take_over(build.pk, by=staff(request), now=now())
    )


@require_POST
def copy(request: HttpRequest, number: int) -> HttpResponse:
    """Begin with the gestures of an earlier build of the same hilt."""
    build, form = build_of(number), SourceForm(request.POST)
    if not form.is_valid():
        return refused(request, _here(number), str(OUT_OF_DATE))
    source = form.cleaned_data["source"]
    return _counted(
        request,
        build,
        lambda: actions.copy_gestures(build.pk, source, by=staff(request), now=now()),
    )


def _counted(request: HttpRequest, build: Build, deed: Callable[[], int]) -> HttpResponse:
    here = _here(build.number)
    try:
        count = deed()
    except Refused as error:
        return refused(request, here, str(error))
    if not count:
        return done(request, here, _("They stand here already."))
    words = ngettext("%(n)d line taken over.", "%(n)d lines taken over.", count) % {"n": count}
    return done(request, here, words)


@require_POST
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Add a line of the build's own."""
    build, form = build_of(number), AddLineForm(request.POST, prefix="line-new")
    if form.is_valid():
        values = form.cleaned_data
        try:
            actions.add_gesture(
                build.pk, values, token=values["token"], by=staff(request), now=now()
            )
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, _here(number), _("The line is kept."))
    return show(request, build, {"line-new": form}, 422)


@require_POST
def change(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Change a line."""
    build, line = build_of(number), _gesture(number, pk)
    form = ChangeLineForm(request.POST, prefix=f"line-{pk}")
    if form.is_valid():
        values = form.cleaned_data
        try:
            lost = actions.change_gesture(
                pk, values, seen=values["seen"], by=staff(request), now=now()
            )
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, _here(number, pk), _changed(lost))
    if line.ended_at or not build.is_open:
        return refused(request, _here(number), _("This line stands here no more."))
    return show(request, build, {f"line-{pk}": form}, 422)


def _changed(was_tried: bool) -> str:
    if was_tried:
        return _("The line is changed. What was tried said otherwise: try it again.")
    return _("The line is changed.")


@require_POST
def tried(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Say that it was tried on the unit and is so."""
    return _by_tap(request, number, pk, actions.try_gesture)


@require_POST
def untried(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Take the tick back."""
    return _by_tap(request, number, pk, actions.untry_gesture)


@require_POST
def up(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """One place up in its state."""
    return _by_tap(request, number, pk, actions.move_gesture_up)


@require_POST
def end(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Drop it."""
    return _by_tap(request, number, pk, actions.end_gesture)


def _by_tap(request: HttpRequest, number: int, pk: int, deed: Callable[..., None]) -> HttpResponse:
    _gesture(number, pk)
    form = SeenForm(request.POST)
    if not form.is_valid():
        return refused(request, _here(number), str(OUT_OF_DATE))
    try:
        deed(pk, seen=form.cleaned_data["seen"], by=staff(request), now=now())
    except Refused as error:
        return refused(request, _here(number), str(error))
    return done(request, _here(number, pk))


@require_POST
def back(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Let a dropped line stand again."""
    _gesture(number, pk)
    try:
        actions.bring_gesture_back(pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, _here(number), str(error))
    return done(request, _here(number, pk), _("It stands again. Try it on the unit."))
