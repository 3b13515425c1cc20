"""The page of dates: every open build on the rule of days."""

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.queue.actions.ordering import forget_order
from builds.queue.actions.reckoning import TASK, reckon_at_once
from builds.queue.forms.trying import KeepForm
from builds.queue.queries.dates import dates, extra_days, lacks
from builds.queue.queries.line import is_placed
from shop.clock import now
from shop.diary.actions import remove_extra_day
from shop.diary.models import ExtraDay
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.web.access import staff
from shop.web.partials import done, next_url, page, refused
from shop.web.wake import wake


@require_safe
def line_page(request: HttpRequest) -> HttpResponse:
    """The line, the promises in danger first."""
    moment = now()
    shop = house()
    diary = calendar(shop)
    context = {
        "room": "dates",
        "found": dates(diary, moment),
        "lacks": lacks(diary),
        "extra": extra_days(diary.today(moment)),
        "least": shop.least_odds_percent,
        "moment": moment,
        "is_placed": is_placed(),
        "token": uuid4(),
    }
    return page(request, "queue/dates.html", context)


@require_POST
def remove_extra(request: HttpRequest, pk: int) -> HttpResponse:
    """Somebody does not work on that day after all: said by the person or by the owner."""
    extra = get_object_or_404(ExtraDay.objects.select_related("person"), pk=pk)
    me, to = staff(request), next_url(request, reverse("queue_dates"))
    if not (me.is_owner or extra.person_id == me.pk):
        return refused(request, to, _("That is for %s or the owner to say.") % extra.person.name)
    if not remove_extra_day(pk, by=me, now=now()):
        return refused(request, to, _("That was taken back already."))
    refresh()
    return done(request, to, _("Taken back: the dates are reckoned without that day."))


@require_POST
def by_days(request: HttpRequest) -> HttpResponse:
    """Forget the places that were set: every build stands by the day due again."""
    to, form = reverse("queue_dates"), KeepForm(request.POST)
    if not form.is_valid():
        return refused(request, to, _("That page was out of date. Here is how things stand."))
    forget_order(token=form.cleaned_data["token"], by=staff(request), now=now())
    refresh()
    return done(request, to, _("The line stands by the days due."))


def refresh() -> None:
    """Reckon at once, for the page that follows; the task after it sees what helps."""
    reckon_at_once(now())
    wake(TASK)
