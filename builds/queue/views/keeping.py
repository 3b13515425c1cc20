"""Keeps what was tried: the deeds behind "Keep it"."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.queue.actions.keeping import keep_closure, keep_late
from builds.queue.actions.once import Refused
from builds.queue.forms.trying import ClosedForm, ExtraDayForm, KeepForm, LateForm
from builds.queue.queries.line import line
from builds.queue.views.dates import refresh
from builds.queue.views.what_if import show
from shop.clock import now
from shop.diary.actions import add_extra_day
from shop.people.models import User
from shop.web.access import owner_only, staff
from shop.web.dated import dated
from shop.web.partials import done, refused


def _kept(request: HttpRequest, said: str) -> HttpResponse:
    refresh()
    return done(request, reverse("queue_dates"), said)


@require_POST
def day(request: HttpRequest) -> HttpResponse:
    """Somebody works on a day that was off."""
    before, me = line(now()), staff(request)
    form = ExtraDayForm(request.POST, line=before, me=me.pk, auto_id="day_%s")
    if not form.is_valid():
        return show(request, before, {"day": form})
    data = form.cleaned_data
    if not (me.is_owner or me.pk == data["person"]):
        why = _("That is for %s or the owner to keep.") % form.worker.name
        return refused(request, reverse("queue_dates"), why)
    person = get_object_or_404(User, pk=data["person"])
    add_extra_day(person, data["day"], data["opens"], data["closes"], by=me, now=now())
    said = _("Kept: %(who)s works on %(day)s, %(from)s to %(to)s.") % {
        "who": person.name,
        "day": dated(data["day"], "long"),
        "from": dated(data["opens"], "clock"),
        "to": dated(data["closes"], "clock"),
    }
    return _kept(request, said)


@owner_only
@require_POST
def closed(request: HttpRequest) -> HttpResponse:
    """The shop is closed on these days."""
    before = line(now())
    form = ClosedForm(request.POST, today=before.calendar.today(before.now), auto_id="closed_%s")
    once = KeepForm(request.POST)
    if not form.is_valid() or not once.is_valid():
        return show(request, before, {"closed": form})
    data = form.cleaned_data
    token = once.cleaned_data["token"]
    keep_closure(data["first"], data["last"], "", token=token, by=staff(request), now=now())
    return _kept(request, _("Kept: the shop is closed on these days."))


@owner_only
@require_POST
def late(request: HttpRequest) -> HttpResponse:
    """A part that is awaited comes later."""
    before = line(now())
    form = LateForm(request.POST, line=before, auto_id="late_%s")
    once = KeepForm(request.POST)
    if not form.is_valid() or not once.is_valid():
        return show(request, before, {"late": form})
    data = form.cleaned_data
    try:
        day_ = keep_late(
            data["line"], data["days"], seen=once.cleaned_data["seen"], by=staff(request), now=now()
        )
    except Refused as error:
        return refused(request, reverse("queue_dates"), str(error))
    return _kept(request, _("Kept: it is expected on %s.") % dated(day_, "long"))
