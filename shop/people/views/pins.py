"""A shared tablet changes person by a PIN."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import resolve_url
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shop import clock
from shop.people import actions, devices
from shop.people.forms import PinForm, TakeOverForm
from shop.people.queries import may_take_over
from shop.people.sessions import begin_by_pin
from shop.people.views.signing_in import proves
from shop.web.access import staff
from shop.web.partials import done, next_url, page


@sensitive_post_parameters("pin", "present")
@require_http_methods(["GET", "HEAD", "POST"])
def my_pin(request: HttpRequest) -> HttpResponse:
    """Set one's own PIN, or take it away; both want the password."""
    user = staff(request)
    form = PinForm(request.POST or None)
    if not (form.is_valid() and proves(request, form, "present")):
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
    begin_by_pin(request, user, clock.now())
    return True
