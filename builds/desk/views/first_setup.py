"""The first set-up, before which no other page answers."""

from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, QueryDict
from django.shortcuts import resolve_url
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from builds.desk.actions import first_setup as deeds
from builds.desk.forms.first_setup import CodeForm, NewShopForm, OwnerForm
from shop import clock
from shop.diary.forms import WeekForm, common_week
from shop.diary.holidays import is_known, region_names
from shop.house import world
from shop.house.models import House
from shop.house.queries import is_set_up
from shop.house.speech import known
from shop.people.sessions import begin
from shop.web.access import caller_key, public
from shop.web.partials import done, page, refused


@dataclass
class Forms:
    """The forms of the page, which is sent as a whole."""

    code: CodeForm
    shop: NewShopForm
    week: WeekForm
    owner: OwnerForm

    def are_valid(self) -> bool:
        """Whether all of them are; each is asked, so that every error shows."""
        answers = [form.is_valid() for form in (self.code, self.shop, self.week, self.owner)]
        return all(answers)


@public
@sensitive_post_parameters("code", "owner-password", "owner-again")
@require_http_methods(["GET", "HEAD", "POST"])
def first_setup(request: HttpRequest) -> HttpResponse:
    """One short page: the shop, its week, its owner."""
    if is_set_up():
        return HttpResponseRedirect(resolve_url(settings.LOGIN_URL), status=303)
    if request.method != "POST":
        return _show(request, _forms(None, request))
    if "suggest" in request.POST:
        return _show(request, _suggested(request))
    forms = _forms(request.POST, request)
    if forms.are_valid():
        return _make(request, forms)
    return _show(request, forms, status=422)


def _forms(data: QueryDict | None, request: HttpRequest) -> Forms:
    address = request.build_absolute_uri("/").rstrip("/")
    return Forms(
        CodeForm(data),
        NewShopForm(data, initial={"bench_url": address, **_here()}, regions=region_names),
        WeekForm(data, initial=common_week()),
        OwnerForm(data, prefix="owner"),
    )


def _here() -> dict[str, str]:
    zone = world.zone_of_this_machine()
    country = world.country_of(zone) or House().country
    return {
        "country": country,
        "zone_name": world.zone_of(country, zone),
        "currency": world.currency_of(country),
        "name": "",
    }


def _suggested(request: HttpRequest) -> Forms:
    """The same page for another country, with its zone and money, and nothing else changed."""
    typed: dict[str, Any] = request.POST.dict()
    country = str(typed.get("country", ""))
    typed["zone_name"] = world.zone_of(country, str(typed.get("zone_name", "")))
    typed["currency"] = world.currency_of(country)
    typed["region"] = ""
    forms = _forms(None, request)
    for form in (forms.code, forms.shop, forms.week, forms.owner):
        form.initial = {name: typed.get(form.add_prefix(name), "") for name in form.fields}
    forms.shop = NewShopForm(initial=forms.shop.initial, regions=region_names)
    return forms


def _make(request: HttpRequest, forms: Forms) -> HttpResponse:
    now = clock.now()
    try:
        deeds.check_code(forms.code.cleaned_data["code"], caller=caller_key(request), now=now)
        week = forms.week.cleaned_data
        shop = forms.shop.save(commit=False)
        shop.language = known(get_language() or "")
        shop.closed_on_holidays = week["closed_on_holidays"]
        user = deeds.set_up(
            shop, forms.week.days(), week["cut_off"], forms.owner.cleaned_data, now=now
        )
    except deeds.WrongCode as refusal:
        forms.code.add_error("code", str(refusal))
        return _show(request, forms, status=422)
    except deeds.AlreadySetUp:
        why = _("Somebody else has just set up the shop. Sign in with what was typed there.")
        return refused(request, resolve_url(settings.LOGIN_URL), why)
    begin(request, user, now)
    said = _("The shop is set up. Everything can be changed under Settings.")
    return done(request, resolve_url(settings.LOGIN_REDIRECT_URL), said)


def _show(request: HttpRequest, forms: Forms, status: int = 200) -> HttpResponse:
    country = str(forms.shop["country"].value() or "")
    context = {
        "code": forms.code,
        "shop": forms.shop,
        "place": forms.shop,
        "suggest_url": request.path,
        "holidays_known": is_known(country),
        "wrong": status != 200,
        "week": forms.week,
        "owner": forms.owner,
    }
    parts = {"country-parts": "desk/_where.html"}
    return page(request, "desk/first_setup.html", context, parts, status=status)
