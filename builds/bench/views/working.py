"""Timers on the bench: begun and stopped by one tap, put right, written down without one."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.bench.forms.working import AddWorkForm, BeginForm, RightForm
from builds.bench.views.sheet import build_of, show
from builds.gates import actions as gates
from builds.progress import actions as progress
from builds.progress.models import Build
from builds.progress.states import State
from builds.progress.worked import is_doubtful, stretches
from shop.clock import now
from shop.diary.queries import calendar
from shop.later.queries import tapped_at
from shop.web.access import staff
from shop.web.partials import done, next_url, refused

REFUSALS = (gates.Refused, progress.Refused)


def _section(build: Build) -> str:
    return reverse("bench_sheet", args=[build.number]) + "#worked"


@require_POST
def begin(request: HttpRequest, number: int) -> HttpResponse:
    """Start one's timer on a build."""
    build = build_of(number)
    back = next_url(request, _section(build))
    form = BeginForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("That page was out of date. Here is how things stand."))
    try:
        moment = tapped_at(request, now())
        gates.begin_work(build.pk, **form.cleaned_data, by=staff(request), now=moment)
    except REFUSALS as error:
        return refused(request, back, str(error))
    return done(request, back, _("The timer runs on %s.") % (build.hilt or build))


@require_POST
def end(request: HttpRequest, stretch_id: int) -> HttpResponse:
    """Stop a timer; one that was forgotten is asked about on the build's sheet."""
    found = get_object_or_404(stretches(), pk=stretch_id)
    ended = progress.end_work(found.pk, by=staff(request), now=tapped_at(request, now()))
    if is_doubtful(ended, calendar(request.house), now()):  # type: ignore[attr-defined]
        return done(request, _section(found.build), _("Stopped. How long was it really?"))
    back = next_url(request, _section(found.build))
    what = {"n": ended.minutes, "stage": State(ended.stage).label}
    return done(request, back, _("Stopped: %(n)s min on %(stage)s.") % what)


@require_POST
def put_right(request: HttpRequest, stretch_id: int) -> HttpResponse:
    """Say how long a stretch was, in which stage and on what."""
    found = get_object_or_404(stretches(), pk=stretch_id)
    form = RightForm(request.POST, stretch=found)
    if form.is_valid():
        try:
            progress.put_work_right(found.pk, **form.cleaned_data, by=staff(request), now=now())
        except REFUSALS as error:
            form.add_error(None, str(error))
        else:
            return done(request, _section(found.build), _("The time is put right."))
    return show(request, build_of(found.build.number), {"work_right": form}, status=422)


@require_POST
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Write down work that no timer saw."""
    build = build_of(number)
    form = AddWorkForm(request.POST, build=build)
    if form.is_valid():
        try:
            progress.add_work(build.pk, **form.cleaned_data, by=staff(request), now=now())
        except REFUSALS as error:
            form.add_error(None, str(error))
        else:
            return done(request, _section(build), _("The time is kept."))
    return show(request, build, {"work": form}, status=422)
