"""What a carrier allows in writing: kept by the owner under the service that it is about."""

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.dispatch.actions import Refused, keep_rule, withdraw_rule
from builds.dispatch.forms.rules import RuleForm
from builds.dispatch.models import CarrierRule, Service
from builds.dispatch.queries.rules import kept_rules
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import owner_only, staff
from shop.web.partials import done, page


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def rules(request: HttpRequest, pk: int) -> HttpResponse:
    """The rules of one service, and a form for another."""
    service = get_object_or_404(Service, pk=pk)
    form = RuleForm(request.POST or None, initial={"token": uuid4()})
    if request.method == "POST" and form.is_valid():
        try:
            keep_rule(service, **form.cleaned_data, by=staff(request), now=now())
        except Refused as error:
            form.add_error(None, str(error))
        else:
            to = reverse("dispatch_rules", args=[service.pk])
            return done(request, to, _("The carrier’s rule is kept."))
    return _show(request, service, form, 422 if form.is_bound else 200)


def _show(request: HttpRequest, service: Service, form: RuleForm, status: int) -> HttpResponse:
    today = calendar(request.house).today(now())  # type: ignore[attr-defined]
    context = {
        "room": "settings",
        "service": service,
        "rules": kept_rules(service, today),
        "form": form,
    }
    return page(request, "dispatch/rules.html", context, None, status)


@owner_only
@require_POST
def withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a rule hold no more."""
    rule = get_object_or_404(CarrierRule, pk=pk)
    withdraw_rule(rule.pk, by=staff(request), now=now())
    to = reverse("dispatch_rules", args=[rule.service_id])
    return done(request, to, _("The rule holds no more."))
