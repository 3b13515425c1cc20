"""Sign-in, sign-out and passwords."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login, logout, update_session_auth_hash
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop import clock
from shop.people import actions, devices
from shop.people.forms import (
    ChangePasswordForm,
    ConfirmForm,
    NewPasswordForm,
    PinForm,
    SignInForm,
    TakeOverForm,
)
from shop.people.queries import may_take_over, who_resets
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
    if form.is_valid() and _let_in(request, form):
        return _on_a_known_device(request, HttpResponseRedirect(to, status=303))
    context = {"form": form, "next": to, "forgot": resolve_url(settings.FORGOT_URL)}
    return page(request, "people/sign_in.html", context, status=422 if form.errors else 200)


def _let_in(request: HttpRequest, form: SignInForm) -> bool:
    data = form.cleaned_data
    try:
        user = actions.check_sign_in(
            email=data["email"],
            password=data["password"],
            caller=devices.caller(request),
            now=clock.now(),
        )
    except actions.Refused as refusal:
        form.add_error("password", str(refusal))
        form.begin_at_password()
        return False
    login(request, user)  # Gives the session a new key
    if not data["remember"]:
        request.session.set_expiry(0)
    return True


def _on_a_known_device(request: HttpRequest, answer: HttpResponse) -> HttpResponse:
    devices.remember(request, answer)
    return answer


@public  # A session that has run out is signed out all the same
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Leave; the tablet then asks who is there."""
    logout(request)
    return done(request, resolve_url("people_sign_in"), _("You are signed out."))


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
    login(request, user, backend=settings.AUTHENTICATION_BACKENDS[0])
    said = _("Your new password is set. Other devices are signed out.")
    answer = done(request, resolve_url(settings.LOGIN_REDIRECT_URL), said)
    return _on_a_known_device(request, answer)


@sensitive_post_parameters("present", "password", "again")
@require_http_methods(["GET", "HEAD", "POST"])
def my_password(request: HttpRequest) -> HttpResponse:
    """Change one's own password."""
    user = staff(request)
    form = ChangePasswordForm(user, request.POST or None)
    if not form.is_valid():
        status = 422 if form.errors else 200
        return page(request, "people/my_password.html", {"form": form}, status=status)
    actions.set_password(user, form.cleaned_data["password"], by=user, now=clock.now())
    update_session_auth_hash(request, user)  # This device stays signed in
    messages.success(request, _("Your new password is set. Other devices are signed out."))
    return HttpResponseRedirect(request.path, status=303)


@sensitive_post_parameters("pin", "present")
@require_http_methods(["GET", "HEAD", "POST"])
def my_pin(request: HttpRequest) -> HttpResponse:
    """Set one's own PIN, or take it away; both want the password."""
    user = staff(request)
    form = PinForm(user, request.POST or None)
    if not form.is_valid():
        status = 422 if form.errors else 200
        return page(request, "people/my_pin.html", {"form": form}, status=status)
    pin = "" if "drop" in request.POST else form.cleaned_data["pin"]
    actions.set_pin(user, pin, by=user, now=clock.now())
    said = _("Your PIN is set.") if pin else _("Your PIN is taken away.")
    return done(request, request.path, said)


@sensitive_post_parameters("pin")
@require_http_methods(["GET", "HEAD", "POST"])
def take_over(request: HttpRequest) -> HttpResponse:
    """Another person takes over this tablet by a PIN and goes on with the page that stands there.

    Only on a device on which somebody has signed in with a password.
    """
    to = next_url(request, resolve_url(settings.LOGIN_REDIRECT_URL))
    is_known = devices.is_known(request)
    form = TakeOverForm(may_take_over(staff(request)) if is_known else [], request.POST or None)
    if is_known and form.is_valid() and _taken_over(request, form):
        said = _("%s is at the bench now.") % staff(request).name
        return done(request, to, said)
    context = {"form": form, "next": to, "is_known": is_known}
    return page(request, "people/take_over.html", context, status=422 if form.errors else 200)


def _taken_over(request: HttpRequest, form: TakeOverForm) -> bool:
    before, fields = staff(request), form.cleaned_data
    try:
        user = actions.check_pin(
            int(fields["person"]),
            fields["pin"],
            device=devices.caller(request),
            by=before,
            now=clock.now(),
        )
    except actions.Refused as refusal:
        form.add_error("pin", str(refusal))
        return False
    ends_with_the_browser = request.session.get_expire_at_browser_close()
    # Another person: Django empties the session and gives it a new key.
    login(request, user, backend=settings.AUTHENTICATION_BACKENDS[0])
    request.session[BY_PIN] = True
    if ends_with_the_browser:
        request.session.set_expiry(0)
    return True


@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def confirm(request: HttpRequest) -> HttpResponse:
    """Whoever came by a PIN proves by the password, once, that the owner's pages may open."""
    to = next_url(request, resolve_url(settings.LOGIN_REDIRECT_URL))
    form = ConfirmForm(request.POST or None)
    if form.is_valid() and _proven(request, form):
        return HttpResponseRedirect(to, status=303)
    context = {"form": form, "next": to}
    return page(request, "people/confirm.html", context, status=422 if form.errors else 200)


def _proven(request: HttpRequest, form: ConfirmForm) -> bool:
    try:
        actions.check_sign_in(
            email=staff(request).email,
            password=form.cleaned_data["password"],
            caller=devices.caller(request),
            now=clock.now(),
        )
    except actions.Refused as refusal:
        form.add_error("password", str(refusal))
        return False
    request.session.pop(BY_PIN, None)
    request.session.cycle_key()
    return True
