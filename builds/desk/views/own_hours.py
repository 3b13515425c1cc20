"""Settings: when each of the staff works, days off, and the share of the day that is planned."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.desk.queries.learned import hours_learned
from builds.desk.views.section import section
from shop import clock
from shop.diary import actions, queries
from shop.diary.forms import (
    DayOffForm,
    OwnHoursForm,
    PlannedForm,
    own_hours_as_kept,
    week_words,
)
from shop.diary.models import DayOff
from shop.diary.spans import Week
from shop.house.queries import house
from shop.people.models import User
from shop.web.access import owner_only, staff
from shop.web.dated import dated
from shop.web.partials import done, refused


def _here(person: User) -> str:
    return reverse("desk_person_hours", args=[person.pk])


def _show(request: HttpRequest, person: User, wrong: bool = False, **more: Any) -> HttpResponse:
    diary = queries.calendar(house())
    kept = next((h for h in queries.people_hours(diary) if h.person.pk == person.pk), None)
    today = diary.today(clock.now())
    is_own = bool(kept and kept.is_own)
    week = kept.week if kept and kept.is_own else diary.hours
    context = {
        "person": person,
        "is_own": is_own,
        "form": OwnHoursForm(initial=own_hours_as_kept(week)),
        "off_form": DayOffForm(today=today),
        "coming": [off for off in kept.off if off.last >= today] if kept else [],
        "extra": [one for one in kept.extra if one.day >= today] if kept else [],
    }
    return section(request, "desk_people", "person_hours", context | more, {}, wrong)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def hours(request: HttpRequest, pk: int) -> HttpResponse:
    """When one of the staff works."""
    person = get_object_or_404(User, pk=pk)
    if request.method != "POST":
        return _show(request, person)
    form = OwnHoursForm(request.POST)
    if not form.is_valid():
        return _show(request, person, True, form=form)
    diary = queries.calendar(house())
    kept = next((h for h in queries.people_hours(diary) if h.person.pk == person.pk), None)
    week = form.week()
    if not (kept and kept.is_own) and week == diary.hours:
        week = {}  # the shop's hours as they were filled in: nothing of their own
    actions.keep_own_hours(person, week, by=staff(request), now=clock.now())
    return done(request, _here(person), _saved(person, week))


def _saved(person: User, week: Week) -> str:
    if not week:
        return _("Saved: %s works by the shop’s hours.") % person.name
    return _("Saved: %(who)s works %(when)s.") % {"who": person.name, "when": week_words(week)}


@owner_only
@require_POST
def add_day_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Days on which one of the staff does not work."""
    person, now = get_object_or_404(User, pk=pk), clock.now()
    form = DayOffForm(request.POST, today=queries.calendar(house()).today(now))
    if not form.is_valid():
        return _show(request, person, True, off_form=form)
    days = form.cleaned_data
    extra = queries.extra_days_between(person, days["first"], days["last"])
    actions.add_day_off(person, **days, by=staff(request), now=now)
    said = [_("No work is planned for %s then.") % person.name]
    said += [_("Not worked on top any more: %s.") % dated(day, "long") for day in extra]
    return done(request, _here(person), " ".join(said))


@owner_only
@require_POST
def remove_day_off(request: HttpRequest, pk: int, off_pk: int) -> HttpResponse:
    """One of the staff works on these days after all."""
    off = get_object_or_404(DayOff.objects.select_related("person"), pk=off_pk, person=pk)
    if actions.remove_day_off(off.pk, by=staff(request), now=clock.now()):
        return done(request, _here(off.person), _("Saved."))
    return refused(request, _here(off.person), _("That was taken back already."))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def work(request: HttpRequest) -> HttpResponse:
    """Hours of each kind of job and stage, and the share of the day that is planned."""
    shop, now = house(), clock.now()
    form = PlannedForm(request.POST or None, initial={"percent": shop.planned_percent})
    if form.is_valid():
        percent = form.cleaned_data["percent"]
        actions.change_planned_share(percent, by=staff(request), now=now)
        return done(request, reverse("desk_hours_learned"), _("Saved."))
    context = {"kinds": hours_learned(queries.calendar(shop), now), "planned": form}
    return section(request, "desk_hours", "hours_learned", context, {}, bool(form.errors))
