"""Settings: hours, dispatch days and closures."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.desk.views.section import section
from builds.queue.queries.news import swallowed
from shop import clock
from shop.diary import actions, queries
from shop.diary.forms import ClosureForm, WeekForm, week_as_typed
from shop.house.queries import house
from shop.web.access import owner_only, staff
from shop.web.partials import done, refused


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def hours(request: HttpRequest) -> HttpResponse:
    """Working hours, the days on which parcels leave, and the cut-off."""
    shop, now = house(), clock.now()
    initial = week_as_typed(queries.week()) | {
        "cut_off": shop.cut_off,
        "closed_on_holidays": shop.closed_on_holidays,
    }
    form = WeekForm(request.POST or None, initial=initial)
    if form.is_valid():
        actions.change_week(
            form.days(),
            cut_off=form.cleaned_data["cut_off"],
            closed_on_holidays=form.cleaned_data["closed_on_holidays"],
            by=staff(request),
            now=now,
        )
        return done(request, reverse("desk_hours"), _("Saved."))
    context = {"week": form, "next_day": queries.calendar(shop).next_dispatch_day(now)}
    parts = {"section": "desk/_hours.html"}
    return section(request, "desk_hours", "hours", context, parts, bool(form.errors))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def closures(request: HttpRequest) -> HttpResponse:
    """Days on which the shop is closed: coming ones, and those that were."""
    now = clock.now()
    today = queries.calendar(house()).today(now)
    form = ClosureForm(request.POST or None, today=today)
    if form.is_valid():
        data = form.cleaned_data
        actions.add_closure(data["first"], data["last"], data["reason"], by=staff(request), now=now)
        return done(request, reverse("desk_closures"), _("The shop is closed on these days."))
    lost = swallowed(queries.calendar(house()), now)
    context = {
        "form": form,
        "coming": [
            (closure, [each for each in lost if closure.first <= each.due.day <= closure.last])
            for closure in queries.closures_from(today)
        ],
        "past": queries.closures_before(today),
        "holidays": queries.coming_holidays(house(), today),
    }
    parts = {"section": "desk/_closures.html"}
    return section(request, "desk_closures", "closures", context, parts, bool(form.errors))


@owner_only
@require_POST
def remove_closure(request: HttpRequest, pk: int) -> HttpResponse:
    """Open the shop on days that were to be closed."""
    now = clock.now()
    today = queries.calendar(house()).today(now)
    to = reverse("desk_closures")
    if actions.remove_closure(pk, today=today, by=staff(request), now=now):
        return done(request, to, _("The shop is open again on the days that are left."))
    return refused(request, to, _("This closure is over, or was taken away already."))
