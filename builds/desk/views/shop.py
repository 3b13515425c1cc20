"""Settings: the shop itself, and its two web addresses."""

from django.forms import ModelForm
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.desk.actions.shop import change_shop
from shop import clock
from shop.diary.holidays import is_known, regions
from shop.house.forms import AddressesForm, PlaceForm, ShopForm
from shop.house.queries import house
from shop.web.access import owner_only, staff
from shop.web.partials import done, page


def _save(request: HttpRequest, form: ModelForm) -> None:  # type: ignore[type-arg]
    change_shop(form.instance, form.changed_data, by=staff(request), now=clock.now())


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def settings(request: HttpRequest) -> HttpResponse:
    """How customers know the shop; the first page of the settings."""
    form = ShopForm(request.POST or None, instance=house())
    if form.is_valid():
        _save(request, form)
        return done(request, reverse("desk_settings"), _("Saved."))
    return page(
        request,
        "desk/shop.html",
        {"form": form, "here": "desk_settings"},
        {"section": "desk/_shop.html"},
        status=422 if form.errors else 200,
    )


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def where(request: HttpRequest) -> HttpResponse:
    """Country, region, time zone and currency."""
    shop = house()
    if "suggest" in request.POST:  # Another country: show its regions, save nothing yet
        form = PlaceForm(instance=shop, initial=request.POST.dict(), regions=regions)
    else:
        form = PlaceForm(request.POST or None, instance=shop, regions=regions)
    if form.is_valid():
        _save(request, form)
        return done(request, reverse("desk_where"), _("Saved."))
    country = str(form["country"].value() or "")
    context = {"form": form, "here": "desk_where", "holidays_known": is_known(country)}
    parts = {"section": "desk/_where_form.html", "where": "desk/_where.html"}
    status = 422 if form.errors else 200
    return page(request, "desk/where.html", context, parts, status=status)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def addresses(request: HttpRequest) -> HttpResponse:
    """Where the staff and the customers open Hiltyard."""
    form = AddressesForm(request.POST or None, instance=house())
    if form.is_valid():
        _save(request, form)
        return done(request, reverse("desk_addresses"), _("Saved."))
    return page(
        request,
        "desk/addresses.html",
        {"form": form, "here": "desk_addresses"},
        {"section": "desk/_addresses.html"},
        status=422 if form.errors else 200,
    )
