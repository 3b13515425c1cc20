"""A forgotten password: asks for the mail that helps."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.desk.actions.passwords import ask_for_new_password
from builds.desk.forms.mail import ForgotForm
from shop import clock
from shop.people import devices
from shop.web.access import public
from shop.web.partials import done, page


@public
@require_http_methods(["GET", "HEAD", "POST"])
def forgot(request: HttpRequest) -> HttpResponse:
    """Says the same whether or not somebody signs in with the address."""
    form = ForgotForm(request.POST or None)
    if not form.is_valid():
        return page(request, "desk/forgot.html", {"form": form}, status=422 if form.errors else 200)
    ask_for_new_password(
        form.cleaned_data["email"], caller=devices.caller(request), now=clock.now()
    )
    said = _("If somebody signs in with this address, a mail with a link is on its way there.")
    return done(request, reverse("people_sign_in"), said)
