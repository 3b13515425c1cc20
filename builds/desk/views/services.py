"""Settings: how parcels travel."""

from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.desk.actions.shop import change_shop
from builds.desk.forms.services import ChangeServiceForm, NewServiceForm, PaddingForm
from builds.desk.queries.settings import services as listed
from builds.desk.views.section import section
from builds.dispatch.actions import Overtaken, Refused
from builds.dispatch.actions import services as deeds
from builds.dispatch.models import Service
from builds.dispatch.queries import usual_for
from shop import clock
from shop.history.queries import last_about
from shop.house.queries import house
from shop.web.access import owner_only, staff
from shop.web.partials import done


def _show(request: HttpRequest, is_refused: bool = False, **forms: Any) -> HttpResponse:
    shop = house()
    found = listed()
    context = {
        "services": [each for each in found if not each.retired],
        "retired": [each for each in found if each.retired],
        "usual": [] if found else usual_for(shop.country),
        "currency": shop.currency,
        "form": NewServiceForm(currency=shop.currency, initial={"token": uuid4()}),
        "padding": PaddingForm(instance=shop),
    }
    return section(request, "desk_services", "services", context | forms, refused=is_refused)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def services(request: HttpRequest) -> HttpResponse:
    """The services that parcels go by, in their order; one more."""
    if request.method != "POST":
        return _show(request)
    form = NewServiceForm(request.POST, currency=house().currency)
    if not form.is_valid():
        return _show(request, is_refused=True, form=form, adding=True)
    token = form.cleaned_data["token"]
    deeds.add_service(form.row(), token=token, by=staff(request), now=clock.now())
    return done(request, reverse("desk_services"), _("The service is there."))


@owner_only
@require_POST
def usual(request: HttpRequest) -> HttpResponse:
    """Write the usual services down."""
    deeds.add_usual(usual_for(house().country), by=staff(request), now=clock.now())
    return done(request, reverse("desk_services"), _("Written down. Look each of them over."))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One service, to be changed."""
    service = get_object_or_404(Service, pk=pk)
    title = service.name  # The form writes into the service what it was given, right or wrong
    last = last_about(service.about)
    form = ChangeServiceForm(
        request.POST if request.method == "POST" else None,
        instance=service,
        currency=house().currency,
        initial={"seen": last.pk if last else 0},
    )
    if form.is_valid():
        try:
            deeds.change_service(
                pk,
                form.row(),
                seen=form.cleaned_data["seen"],
                by=staff(request),
                now=clock.now(),
            )
        except Overtaken as refusal:
            form.add_error(None, str(refusal))
            form.see(last.pk if last else 0)
        except Refused as refusal:
            form.add_error("mode", str(refusal))
        else:
            return done(request, reverse("desk_services"), _("Saved."))
    context = {"form": form, "service": service, "title": title}
    return section(request, "desk_services", "service", context, refused=bool(form.errors))


@owner_only
@require_POST
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer a service no more, or again."""
    get_object_or_404(Service, pk=pk)
    facts: dict[str, Any] = {"by": staff(request), "now": clock.now()}
    if "back" in request.POST:
        deeds.service_back(pk, **facts)
        return done(request, reverse("desk_services"), _("It is offered again."))
    deeds.retire_service(pk, **facts)
    return done(request, reverse("desk_services"), _("It is offered no more."))


@owner_only
@require_POST
def move(request: HttpRequest, pk: int) -> HttpResponse:
    """One place up."""
    get_object_or_404(Service, pk=pk)
    deeds.move_service_up(pk, by=staff(request), now=clock.now())
    return done(request, reverse("desk_services"))


@owner_only
@require_POST
def padding(request: HttpRequest) -> HttpResponse:
    """How much padding a box wants."""
    form = PaddingForm(request.POST, instance=house())
    if not form.is_valid():
        return _show(request, is_refused=True, padding=form)
    change_shop(form.instance, form.changed_data, by=staff(request), now=clock.now())
    return done(request, reverse("desk_services"), _("Saved."))
