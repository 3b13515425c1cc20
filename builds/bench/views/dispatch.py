"""The dispatch day: what ships, tick by tick."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from builds.bench.forms.dispatch import (
    DayForm,
    LeftManyForm,
    PackForm,
    PackManyForm,
    TrackingForm,
)
from builds.bench.forms.tracking import Pasted
from builds.bench.queries.dispatch import dispatch_day
from builds.bench.queries.telling import news_unsent, tellings
from builds.bench.queries.tracking import carrier_of, untracked
from builds.bench.views.sheet import build_of
from builds.dispatch import actions as dispatch
from builds.dispatch.models import Parcel
from builds.dispatch.queries import carriers, day_of
from builds.gates import actions as gates
from builds.progress.actions import Refused as MoveRefused
from builds.progress.models import Build
from builds.progress.queries import undoable
from builds.progress.states import State
from shop.clock import now
from shop.diary.queries import Calendar, calendar
from shop.post.queries import mail_goes_nowhere
from shop.web.access import staff
from shop.web.dated import dated
from shop.web.partials import done, next_url, page, refused

REFUSALS = (dispatch.Refused, gates.Refused, MoveRefused)


@require_safe
def day(request: HttpRequest) -> HttpResponse:
    """What leaves on a dispatch day; the next one unless another is asked for."""
    return show_day(request, request.GET)


def show_day(
    request: HttpRequest,
    asked: Mapping[str, str],
    pasted: Pasted | None = None,
    status: int = 200,
) -> HttpResponse:
    """The dispatch day, with the box of tracking numbers as it stands."""
    moment = now()
    diary = calendar(request.house)  # type: ignore[attr-defined]
    lacking, before = untracked(moment), carriers()
    context = {
        "room": "dispatch",
        "undoable": [(move, uuid4()) for move in undoable(moment) if move.to_state == State.SENT],
        "sheet": dispatch_day(chosen_day(asked, diary, moment), diary, moment),
        "today": diary.today(moment),
        "rule": diary.rule_days(diary.today(moment), 14),
        "to_tell": tellings(diary, moment),
        "pasted": pasted or Pasted(carrier=carrier_of(lacking, before)),
        "untracked": lacking,
        "goes_nowhere": mail_goes_nowhere(),
        "carriers": before,
        "scans": "scan" in asked,
        "numbers": "numbers" in asked,
    }
    return page(request, "bench/dispatch.html", context, {"day": "bench/_day.html"}, status)


def chosen_day(asked: Mapping[str, str], diary: Calendar, moment: datetime) -> date:
    """The day that a page asks for, else the next dispatch day."""
    form = DayForm(asked)
    day: date | None = form.cleaned_data["day"] if form.is_valid() else None
    return day or diary.next_dispatch_day(moment) or diary.today(moment)


def _back(request: HttpRequest, parcel: Parcel | None = None) -> str:
    where = reverse("bench_dispatch")
    if parcel:
        day = parcel.day if parcel.left_at else day_of(parcel, calendar(request.house), now())  # type: ignore[attr-defined]
        where = f"{where}?day={day.isoformat()}"
    return next_url(request, where)


@require_POST
def pack(request: HttpRequest, number: int) -> HttpResponse:
    """Close a parcel around one build for a day."""
    return _pack(request, [build_of(number)], PackForm(request.POST))


@require_POST
def pack_many(request: HttpRequest) -> HttpResponse:
    """Close one parcel around several builds of one customer."""
    form = PackManyForm(request.POST)
    if form.is_valid():
        return _pack(request, list(form.cleaned_data["build"].select_related("hilt")), form)
    if "build" in form.errors and "build" not in request.POST:
        return refused(request, _back(request), _("Tick what goes into the parcel."))
    return refused(request, _back(request), _("That page was out of date."))


def _pack(request: HttpRequest, builds: Sequence[Build], form: PackForm) -> HttpResponse:
    if not form.is_valid():
        return refused(request, _back(request), _("That page was out of date."))
    try:
        parcel = gates.pack(
            [build.pk for build in builds],
            day=form.cleaned_data["expected"],
            token=form.cleaned_data["token"],
            by=staff(request),
            now=now(),
        )
    except REFUSALS as error:
        return refused(request, _back(request), str(error))
    names = ", ".join(str(build.hilt or build) for build in builds)
    said = ngettext(
        "%(name)s is packed for %(day)s.", "In one parcel for %(day)s: %(name)s.", len(builds)
    ) % {"name": names, "day": dated(parcel.day, "long")}
    if parcel.day != form.cleaned_data["expected"]:
        said = _("%s The cut-off of the day asked for is past.") % said
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
    unsent = news_unsent(parcel)
    why = _left(request, parcel)
    if why:
        return refused(request, _back(request, parcel), why)
    said = _("It has left.")
    if unsent:
        said += " " + _("The message that it was to leave had not gone yet and was withdrawn.")
    return done(request, _back(request, parcel), said)


@require_POST
def left_many(request: HttpRequest) -> HttpResponse:
    """Tick several parcels off at once, as from a page that was kept open on the road."""
    form = LeftManyForm(request.POST)
    if not form.is_valid():
        return refused(request, _back(request), _("Tick the parcels that left."))
    parcels = list(form.cleaned_data["parcel"].order_by("pk"))
    wrong = [why for parcel in parcels if (why := _left(request, parcel))]
    if wrong:
        return refused(request, _back(request), " ".join(wrong))
    said = ngettext("%d parcel has left.", "%d parcels have left.", len(parcels)) % len(parcels)
    return done(request, _back(request), said)


def _left(request: HttpRequest, parcel: Parcel) -> str:
    try:
        gates.leave(parcel.pk, by=staff(request), now=now())
    except REFUSALS as error:
        return str(error)
    return ""


@require_POST
def tracking(request: HttpRequest, parcel_id: int) -> HttpResponse:
    """Write down carrier and tracking number."""
    parcel = get_object_or_404(Parcel, pk=parcel_id)
    form = TrackingForm(request.POST)
    if not form.is_valid():
        return refused(request, _back(request, parcel), _("60 signs at most for each."))
    try:
        dispatch.note_tracking(parcel, **form.cleaned_data, by=staff(request), now=now())
    except REFUSALS as error:
        return refused(request, _back(request, parcel), str(error))
    return done(request, _back(request, parcel), _("The tracking number is kept."))
