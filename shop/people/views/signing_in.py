"""The door of the staff: sign in, sign out, and the password once more where it is asked."""

from django.conf import settings
from django.contrib.auth import logout
from django.forms import Form
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop import clock
from shop.people import actions, devices
from shop.people.factors import has_second_step
from shop.people.forms import ConfirmForm, SignInForm
from shop.people.models import User
from shop.people.views import second_step
from shop.web.access import BY_PIN, public, staff
from shop.web.partials import done, next_url, page


@public
@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """The door of the staff."""
    to = next_url(request, resolve_url(settings.LOGIN_REDIRECT_URL))
    if request.user.is_authenticated:
        return HttpResponseRedirect(to)
    form = SignInForm(request.POST or None)
    user = _checked(request, form) if form.is_valid() else None
    if user:
        return second_step.go_on(request, user, to, stays=form.cleaned_data["remember"])
    context = {"form": form, "next": to, "forgot": resolve_url(settings.FORGOT_URL)}
    return page(request, "people/sign_in.html", context, status=422 if form.errors else 200)


def _checked(request: HttpRequest, form: SignInForm) -> User | None:
    try:
        return actions.check_sign_in(
            email=form.cleaned_data["email"],
            password=form.cleaned_data["password"],
            caller=devices.caller(request),
            knows=devices.knows(request),
            now=clock.now(),
        )
    except actions.Refused as refusal:
        form.add_error("password", str(refusal))
        form.begin_at_password()
        return None


@public  # A session that has run out is signed out all the same
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Leave; the tablet then asks who is there."""
    logout(request)
    return done(request, resolve_url("people_sign_in"), _("You are signed out."))


@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def confirm(request: HttpRequest) -> HttpResponse:
    """The password once more: after a PIN, and before what opens doors."""
    to = next_url(request, resolve_url(settings.LOGIN_REDIRECT_URL))
    form = ConfirmForm(request.POST or None)
    if form.is_valid() and proves(request, form, "password"):
        return second_step.go_on(request, staff(request), to, stays=_stays(request))
    context = {"form": form, "next": to, "has_second": has_second_step(staff(request))}
    context["by_pin"] = request.session.get(BY_PIN, False)
    return page(request, "people/confirm.html", context, status=422 if form.errors else 200)


def proves(request: HttpRequest, form: Form, field: str) -> bool:
    """Whether a field holds the password of who is signed in; tries count as those at the door."""
    try:
        actions.check_sign_in(
            email=staff(request).email,
            password=form.cleaned_data[field],
            caller=devices.caller(request),
            knows=devices.knows(request),
            now=clock.now(),
        )
    except actions.WrongPassword:
        form.add_error(field, _("This is not your password."))
        return False
    except actions.Refused as refusal:
        form.add_error(field, str(refusal))
        return False
    return True


def _stays(request: HttpRequest) -> bool:
    return not request.session.get_expire_at_browser_close()
