"""A customer's own data, and forgetting them. The owner's alone."""

from tempfile import TemporaryFile
from typing import Any

from django.db import transaction
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.forgetting.actions.erasing import Refused, erase
from builds.forgetting.actions.years import keep_names_for
from builds.forgetting.forms import EraseForm, YearsForm
from builds.forgetting.queries.obstacles import obstacles
from builds.forgetting.queries.own_data import write_own_data
from builds.forgetting.queries.strays import strays
from shop import env
from shop.clock import now
from shop.history.actions import record
from shop.house.queries import house
from shop.keeping.queries import oldest_day
from shop.people.models import Customer
from shop.web.access import owner_only, staff
from shop.web.partials import done, page


def _customer(pk: int) -> Customer:
    found = Customer.objects.filter(pk=pk).first()
    if found is None:
        raise Http404
    return found


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def customer_data(request: HttpRequest, pk: int) -> HttpResponse:
    """What is held of a customer, handed out or forgotten; sent back, they are forgotten."""
    found = _customer(pk)
    if request.method != "POST":
        return _show(request, found)
    form = EraseForm(request.POST)
    if form.is_valid():
        try:
            erase(pk, typed=form.cleaned_data["typed"], by=staff(request), now=now())
        except Refused as refusal:
            form.add_error("typed", str(refusal))
        else:
            return done(request, reverse("forgetting_data", args=[pk]), _("Erased."))
    return _show(request, found, 422, form=form)


def _show(request: HttpRequest, found: Customer, status: int = 200, **more: Any) -> HttpResponse:
    shown = {
        "room": "orders",
        "here": "customers",
        "customer": found,
        "stands_against": [] if found.erased_at else obstacles(found),
        "strays": [] if found.erased_at else strays(found),
        "form": EraseForm(),
        "years": house().names_kept_years,
        "years_form": YearsForm(initial={"years": house().names_kept_years}),
        "oldest": oldest_day(),
    }
    return page(request, "forgetting/data.html", shown | more, status=status)


@owner_only
@require_POST
def own_data(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Hand out what is held of a customer, as one file."""
    found = _customer(pk)
    file = TemporaryFile(dir=env.data_dir())  # noqa: SIM115 (the answer closes it)
    write_own_data(file, found, house(), now())
    with transaction.atomic():
        record("own_data_given", f"customer:{pk}", staff(request), now())
    file.seek(0)
    answer = FileResponse(file, as_attachment=True, filename=f"customer-{pk}.zip")
    answer["Cache-Control"] = "private, no-store"
    return answer


@owner_only
@require_POST
def years(request: HttpRequest, pk: int) -> HttpResponse:
    """Change for how long papers name somebody who was erased."""
    form = YearsForm(request.POST)
    if not form.is_valid():
        return _show(request, _customer(pk), 422, years_form=form)
    keep_names_for(form.cleaned_data["years"], by=staff(request), now=now())
    return done(request, reverse("forgetting_data", args=[pk]), _("Saved."))
