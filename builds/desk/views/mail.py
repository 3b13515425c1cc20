"""Settings: where the shop's mail goes, and a test of it."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from builds.desk.forms.mail import MailForm, TestMailForm
from builds.desk.views.section import section
from shop import clock
from shop.house.queries import house
from shop.post.actions import Refused, save_mail_server, send_test_mail
from shop.web import mailserver
from shop.web.access import is_lately_proven, owner_only, proven_to_change, staff
from shop.web.partials import done


def _show(request: HttpRequest, wrong: bool = False, **forms: Any) -> HttpResponse:
    server = mailserver.parsed() if mailserver.is_set() else {}
    context = {
        "form": MailForm(initial=_as_typed(server)),
        "test": TestMailForm(initial={"to": staff(request).email}),
        "goes_to": server.get("EMAIL_HOST", ""),
        "comes_from": house().email,
        "is_proven": is_lately_proven(request),
        "here_url": reverse("desk_mail"),
    }
    parts = {"section": "desk/_mail.html"}
    return section(request, "desk_mail", "mail", context | forms, parts, wrong)


def _as_typed(server: dict[str, Any]) -> dict[str, Any]:
    """The fields as they were typed, without the password."""
    security = "starttls" if server.get("EMAIL_USE_TLS") else "none"
    if server.get("EMAIL_USE_SSL"):
        security = "tls"
    return {
        "host": server.get("EMAIL_HOST", ""),
        "port": server.get("EMAIL_PORT"),
        "user": server.get("EMAIL_HOST_USER") or "",
        "security": security if server else "starttls",
    }


@owner_only
@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
@proven_to_change
def mail(request: HttpRequest) -> HttpResponse:
    """The server that takes the shop's mail."""
    if request.method != "POST":
        return _show(request)
    form = MailForm(request.POST)
    if form.is_valid():
        try:
            save_mail_server(**form.cleaned_data, by=staff(request), now=clock.now())
        except Refused as refusal:
            form.add_error("host", str(refusal))
        else:
            return done(request, reverse("desk_mail"), _("Saved. It counts for the next mail."))
    return _show(request, True, form=form)


@owner_only
@require_POST
def test_mail(request: HttpRequest) -> HttpResponse:
    """Send a test mail, by the way that every mail goes."""
    form = TestMailForm(request.POST)
    if form.is_valid():
        try:
            send_test_mail(form.cleaned_data["to"], by=staff(request), now=clock.now())
        except Refused as refusal:
            form.add_error("to", str(refusal))
        else:
            said = _("A test mail is on its way. Messages shows whether it left.")
            return done(request, reverse("desk_mail"), said)
    return _show(request, True, test=form)
