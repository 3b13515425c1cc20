"""Settings: who works here, in which role, and the links by which they set a password."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from builds.desk.actions.passwords import invite_by_mail
from builds.desk.forms.settings import StaffChangeForm, StaffForm
from builds.desk.views.section import section
from shop import clock
from shop.people import actions, factors, queries
from shop.people.models import User
from shop.people.sessions import end_other_sessions, end_session, here
from shop.post.queries import mail_goes_nowhere
from shop.web.access import (
    is_lately_proven,
    lately_proven,
    owner_only,
    proven_to_change,
    staff,
)
from shop.web.partials import done, refused


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
@proven_to_change
def people(request: HttpRequest) -> HttpResponse:
    """Everyone on the staff; someone new."""
    form = StaffForm(request.POST or None)
    if form.is_valid():
        user = actions.add_staff(**form.cleaned_data, by=staff(request), now=clock.now())
        said = _("%(name)s may join. A link sets the password: show it or mail it.")
        return done(request, reverse("desk_person", args=[user.pk]), said % {"name": user})
    context = {"form": form, "staff": list(queries.staff())} | _proof(request)
    return section(request, "desk_people", "people", context, refused=bool(form.errors))


def _proof(request: HttpRequest) -> dict[str, Any]:
    """Whether a change is taken as it is; the page says it before anything is typed."""
    return {"is_proven": is_lately_proven(request), "here_url": reverse("desk_people")}


def _show(request: HttpRequest, user: User, wrong: bool = False, **more: Any) -> HttpResponse:
    context = {
        "form": StaffChangeForm(instance=user),
        "person": user,
        "has_password": user.has_usable_password(),
        "no_mail": mail_goes_nowhere(),
        "sessions": queries.sessions_of(user, here(request), clock.now()),
        "has_second_step": factors.has_second_step(user),
        "is_own": user == staff(request),
    }
    parts = {"password-link": "desk/_password_link.html"}
    proof = _proof(request) | {"here_url": reverse("desk_person", args=[user.pk])}
    return section(request, "desk_people", "person", context | proof | more, parts, wrong)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
@proven_to_change
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """One of the staff: name, address, role, whether they may sign in."""
    user = get_object_or_404(User, pk=pk)
    if request.method != "POST":
        return _show(request, user)
    form = StaffChangeForm(request.POST, instance=get_object_or_404(User, pk=pk))
    if form.is_valid():
        try:
            actions.change_staff(pk, **form.cleaned_data, by=staff(request), now=clock.now())
        except actions.Refused as refusal:
            form.add_error("role" if user.is_active else "is_active", str(refusal))
        else:
            return done(request, reverse("desk_people"), _("Saved."))
    return _show(request, user, True, form=form)


@owner_only
@require_POST
@lately_proven
def password_link(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a link to copy. It is made for this one answer and kept nowhere."""
    user = get_object_or_404(User, pk=pk, is_active=True)
    return _show(request, user, link=queries.reset_url(user.pk))


@owner_only
@require_POST
@lately_proven
def mail_password_link(request: HttpRequest, pk: int) -> HttpResponse:
    """Mail the link instead."""
    user = get_object_or_404(User, pk=pk, is_active=True)
    to = reverse("desk_person", args=[pk])
    if mail_goes_nowhere():
        return refused(request, to, _("No mail server is set. Show the link and hand it over."))
    invite_by_mail(user, by=staff(request), now=clock.now())
    return done(
        request, to, _("A mail with the link is on its way to %(to)s.") % {"to": user.email}
    )


@owner_only
@require_POST
def end_one_session(request: HttpRequest, pk: int, mark: str) -> HttpResponse:
    """Sign one of the staff out on one device."""
    user, to = get_object_or_404(User, pk=pk), reverse("desk_person", args=[pk])
    if not end_session(user, mark, by=staff(request), now=clock.now()):
        return refused(request, to, _("That one had ended already."))
    return done(request, to, _("Signed out there."))


@owner_only
@require_POST
def end_sessions(request: HttpRequest, pk: int) -> HttpResponse:
    """Sign one of the staff out everywhere, but not the owner here."""
    user = get_object_or_404(User, pk=pk)
    keep, by = here(request), staff(request)
    ended = end_other_sessions(user, keep=keep, by=by, now=clock.now())
    said = ngettext("Signed out on %d device.", "Signed out on %d devices.", ended)
    return done(request, reverse("desk_person", args=[pk]), said % ended)


@owner_only
@require_POST
@lately_proven
def take_off_second_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a lost second step off a bench hand."""
    to = reverse("desk_person", args=[pk])
    try:
        factors.take_off(pk, by=staff(request), now=clock.now())
    except actions.Refused as refusal:
        return refused(request, to, str(refusal))
    return done(request, to, _("Taken off. The password alone opens again; set up a new one soon."))
