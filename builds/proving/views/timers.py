"""Burn-in and rest of a build: started, stopped, read when they are over."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.proving import actions
from builds.proving.forms import TimerForm
from builds.proving.models import Timer
from builds.proving.refusals import Refused
from builds.proving.states import Verdict
from builds.proving.views.sheet import here, line_of, save
from builds.proving.views.show import build_of
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, refused


@require_POST
def begin(request: HttpRequest, number: int, line_id: int) -> HttpResponse:
    """Start what runs by itself."""
    build = build_of(number)
    line = line_of(build, line_id)
    form = TimerForm(request.POST, line=line)

    def deed() -> HttpResponse:
        values = form.cleaned_data
        if line.unit and values["volts"] is None:
            form.add_error("volts", _("Measure the cell first: what it loses is read from there."))
            return save(request, build, f"timer-{line.pk}", form, deed)
        actions.begin_timer(
            build.pk, values["run"], line.pk, millivolts=values["volts"], token=values["token"],
            by=staff(request), now=now(),
        )  # fmt: skip
        return done(request, here(build, line.pk), _("%s runs.") % line.name)

    return save(request, build, f"timer-{line.pk}", form, deed)


@require_POST
def end(request: HttpRequest, number: int, line_id: int) -> HttpResponse:
    """Read it: over and right, or not right."""
    build = build_of(number)
    line = line_of(build, line_id)
    form = TimerForm(request.POST, line=line)

    def deed() -> HttpResponse:
        values = form.cleaned_data
        is_right = values["tap"] != "wrong"
        if line.unit and is_right and values["volts"] is None:
            form.add_error("volts", _("Measure the cell: what it lost is read from there."))
            return save(request, build, f"timer-{line.pk}", form, deed)
        made = actions.end_timer(
            build.pk, values["run"], line.pk, is_right=is_right, millivolts=values["volts"],
            token=values["token"], by=staff(request), now=now(),
        )  # fmt: skip
        words = _("%s failed.") if made.verdict == Verdict.FAIL else _("%s passed.")
        return done(request, here(build, line.pk), words % line.name)

    return save(request, build, f"timer-{line.pk}", form, deed)


@require_POST
def stop(request: HttpRequest, number: int, timer_id: int) -> HttpResponse:
    """Stop it before its time."""
    build = build_of(number)
    timer = get_object_or_404(Timer, pk=timer_id, build=build)
    try:
        actions.stop_timer(build.pk, timer.pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, here(build), str(error))
    return done(request, here(build), _("Stopped. It says nothing; start it anew."))
