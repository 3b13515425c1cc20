"""Passwords: a new one by a link, or by oneself."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shop import clock
from shop.people import actions, sessions
from shop.people.forms import ChangePasswordForm, NewPasswordForm
from shop.people.queries import who_resets
from shop.people.views import second_step
from shop.people.views.signing_in import proves
from shop.web.access import public, staff
from shop.web.partials import page


@public
@sensitive_post_parameters("password", "again")
@require_http_methods(["GET", "HEAD", "POST"])
def new_password(request: HttpRequest, uid: str, token: str) -> HttpResponse:
    """Set a password by the link of a mail, an invitation or the command line."""
    user = who_resets(uid, token)
    if user is None:
        context = {"forgot": resolve_url(settings.FORGOT_URL)}
        return page(request, "people/link_is_over.html", context, status=410)
    form = NewPasswordForm(user, request.POST or None)
    if not form.is_valid():
        shown = {"form": form, "user": user}
        status = 422 if form.errors else 200
        return page(request, "people/new_password.html", shown, status=status)
    actions.set_password(user, form.cleaned_data["password"], by=user, now=clock.now())
    answer = second_step.go_on(request, user, resolve_url(settings.LOGIN_REDIRECT_URL), stays=True)
    messages.success(request, _("Your new password is set. Other devices are signed out."))
    return answer


@sensitive_post_parameters("present", "password", "again")
@require_http_methods(["GET", "HEAD", "POST"])
def my_password(request: HttpRequest) -> HttpResponse:
    """Change one's own password."""
    user = staff(request)
    form = ChangePasswordForm(user, request.POST or None)
    if not (form.is_valid() and proves(request, form, "present")):
        status = 422 if form.errors else 200
        return page(request, "people/my_password.html", {"form": form}, status=status)
    password, here = form.cleaned_data["password"], sessions.here(request)
    actions.set_password(user, password, by=user, now=clock.now(), here=here)
    update_session_auth_hash(request, user)  # This device stays signed in
    messages.success(request, _("Your new password is set. Other devices are signed out."))
    return HttpResponseRedirect(request.path, status=303)
