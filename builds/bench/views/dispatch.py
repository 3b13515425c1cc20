"""The dispatch day: what ships, tick by tick."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.bench.forms.dispatch import DayForm, PackForm, TrackingForm
from builds.bench.queries.dispatch import dispatch_day
from builds.bench.views.sheet import build_of
from builds.dispatch import actions as dispatch
from builds.dispatch.models import Parcel
from builds.gates import actions as gates
from builds.progress.actions import Refused as MoveRefused
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff
from shop.web.partials import done, next_url, page, refused

REFUSALS = (dispatch.Refused, gates.Refused, MoveRefused)


@require_safe
def day(request: HttpRequest) -> HttpResponse:
    """What leaves on a dispatch day; the next one unless another is asked for."""
    moment = now()
    diary = calendar(request.house)  # type: ignore[attr-defined]
    asked = DayForm(request.GET)
    chosen = asked.cleaned_data["day"] if asked.is_valid() else None
    chosen = chosen or diary.next_dispatch_day(moment) or diary.today(moment)
    context = {
        "room": "dispatch",
        "sheet": dispatch_day(chosen, diary, moment),
        "today": diary.today(moment),
        "rule": diary.rule_days(diary.today(moment), 14),
    }
    return page(request, "bench/dispatch.html", context, {"day": "bench/_day.html"})


def _back(request: HttpRequest, parcel: Parcel | None = None) -> str:
    where = reverse("bench_dispatch")
    return next_url(request, f"{where}?day={parcel.day.isoformat()}" if parcel else where)


@require_POST
def pack(request: HttpRequest, number: int) -> HttpResponse:
    """Close a parcel around one build for a day."""
    build = build_of(number)
    form = PackForm(request.POST)
    if not form.is_valid():
        return refused(request, _back(request), _("That page was out of date."))
    try:
        parcel = gates.pack(
            [build.pk],
            day=form.cleaned_data["expected"],
            token=form.cleaned_data["token"],
            by=staff(request),
            now=now(),
        )
    except REFUSALS as error:
        return refused(request, _back(request), str(error))
    said = _("%(name)s is packed for %(day)s.") % {
        "name": build.hilt or build,
        "day": date_format(parcel.day, "l j F"),
    }
    return done(request, _back(request, parcel), said)


@require_POST
def unpack(request: HttpRequest, parcel_id: int) -> HttpResponse:
    """Open a parcel again."""
    parcel = get_object_or_404(Parcel, pk=parcel_id)
    try:
        dispatch.open_parcel(parcel.pk, staff(request), now())
    except REFUSALS as error:
        return refused(request, _back(request, parcel), str(error))
    return done(request, _back(request, parcel), _("The parcel is open again."))


@require_POST
def left(request: HttpRequest, parcel_id: int) -> HttpResponse:
    """Tick a parcel off: it left."""
    parcel = get_object_or_404(Parcel, pk=parcel_id)
    try:
        gates.leave(parcel.pk, by=staff(request), now=now())
    except REFUSALS as error:
        return refused(request, _back(request, parcel), str(error))
    return done(request, _back(request, parcel), _("It has left."))


@require_POST
def tracking(request: HttpRequest, parcel_id: int) -> HttpResponse:
    """Write down carrier and tracking number."""
    parcel = get_object_or_404(Parcel, pk=parcel_id)
    form = TrackingForm(request.POST)
    if not form.is_valid():
        return refused(request, _back(request, parcel), _("60 signs at most for each."))
    dispatch.note_tracking(parcel, **form.cleaned_data, by=staff(request), now=now())
    return done(request, _back(request, parcel), _("The tracking number is kept."))
