"""Settings: the shop itself, and its two web addresses."""

from typing import Any

from django.forms import ModelForm
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.desk.actions.shop import change_shop
from builds.desk.views.section import section
from builds.dispatch.queries import has_sums
from shop import clock
from shop.diary.holidays import is_known, region_names
from shop.house.forms import AddressesForm, BenchForm, PlaceForm, ShopForm, SpeechForm
from shop.house.queries import house
from shop.house.speech import speaking_as
from shop.orders.queries.ledger import has_money
from shop.web.access import is_lately_proven, owner_only, proven_to_change, staff
from shop.web.partials import done


def _save(request: HttpRequest, form: ModelForm) -> None:
    change_shop(form.instance, form.changed_data, by=staff(request), now=clock.now())


def _show(request: HttpRequest, refused: bool = False, **forms: Any) -> HttpResponse:
    context: dict[str, Any] = {
        "form": ShopForm(instance=house()),
        "place": PlaceForm(instance=house(), regions=region_names),
        "speech": SpeechForm(instance=house()),
        "bench": BenchForm(instance=house()),
        "suggest_url": reverse("desk_where"),
    } | forms
    context["holidays_known"] = is_known(str(context["place"]["country"].value()))
    parts = {
        "shop": "desk/_shop.html",
        "where": "desk/_where_form.html",
        "speech": "desk/_speech.html",
        "bench-figures": "desk/_bench_figures.html",
        "country-parts": "desk/_where.html",
    }
    return section(request, "desk_settings", "shop", context, parts, refused)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def settings(request: HttpRequest) -> HttpResponse:
    """How customers know the shop, and where it is; the first page of the settings."""
    if request.method != "POST":
        return _show(request)
    form = ShopForm(request.POST, instance=house())
    if not form.is_valid():
        return _show(request, refused=True, form=form)
    _save(request, form)
    return done(request, reverse("desk_settings"), _("Saved."))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def where(request: HttpRequest) -> HttpResponse:
    """Country, region, time zone and currency."""
    if request.method != "POST":
        return _show(request)
    if "suggest" in request.POST:  # Another country: show its regions, save nothing yet
        typed = request.POST.dict()
        return _show(
            request, place=PlaceForm(instance=house(), initial=typed, regions=region_names)
        )
    form = PlaceForm(request.POST, instance=house(), regions=region_names)
    _keep_currency(form)
    if not form.is_valid():
        return _show(request, refused=True, place=form)
    _save(request, form)
    return done(request, reverse("desk_settings"), _("Saved."))


def _keep_currency(form: PlaceForm) -> None:
    if "currency" in form.changed_data and (has_money() or has_sums()):
        form.add_error(
            "currency",
            _("Sums were recorded in %s already, so the currency stays.") % house().currency,
        )


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def speech(request: HttpRequest) -> HttpResponse:
    """The language of the shop, and how it writes days, hours and papers."""
    if request.method != "POST":
        return _show(request)
    form = SpeechForm(request.POST, instance=house())
    if not form.is_valid():
        return _show(request, refused=True, speech=form)
    _save(request, form)
    with speaking_as(house(), staff(request).language):
        return done(request, reverse("desk_settings"), _("Saved."))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def bench_figures(request: HttpRequest) -> HttpResponse:
    """The unit of lengths, and the limits that the bench asks of cells, joints and blades."""
    if request.method != "POST":
        return _show(request)
    form = BenchForm(request.POST, instance=house())
    if not form.is_valid():
        return _show(request, refused=True, bench=form)
    _save(request, form)
    return done(request, reverse("desk_settings"), _("Saved."))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
@proven_to_change
def addresses(request: HttpRequest) -> HttpResponse:
    """Where the staff and the customers open Hiltyard."""
    form = AddressesForm(request.POST or None, instance=house())
    if form.is_valid():
        _save(request, form)
        return done(request, reverse("desk_addresses"), _("Saved."))
    parts = {"section": "desk/_addresses.html"}
    context = {"form": form, "is_proven": is_lately_proven(request)}
    context["here_url"] = reverse("desk_addresses")
    return section(request, "desk_addresses", "addresses", context, parts, bool(form.errors))
