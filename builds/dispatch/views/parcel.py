"""The page of one parcel: what is in it, how it is packed, how it may travel."""

from collections.abc import Mapping
from typing import Any

from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from builds.dispatch.actions.boxes import SIZE
from builds.dispatch.forms.boxes import SizeForm, Sizes, WorthForm, worth_of
from builds.dispatch.forms.customs import CustomsForm, customs_initial
from builds.dispatch.forms.stowing import StowForm
from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcels
from builds.dispatch.queries.customs import Customs, suggested_value
from builds.dispatch.queries.page import parcel_page
from builds.dispatch.queries.slip_paper import is_priced
from builds.dispatch.queries.travel import worth
from shop.clock import now
from shop.diary.queries import calendar
from shop.house.models import House
from shop.house.queries import house
from shop.web.access import staff
from shop.web.partials import page

PARTS = {"list": "dispatch/_list.html"}


def parcel_of(pk: int) -> Parcel:
    """The parcel of a number with what lies in it, or 404."""
    return get_object_or_404(parcels(), pk=pk)


@require_safe
def parcel(request: HttpRequest, pk: int) -> HttpResponse:
    """One parcel."""
    return show(request, parcel_of(pk))


def show(
    request: HttpRequest,
    parcel: Parcel,
    status: int = 200,
    handed_in: Mapping[str, Any] | None = None,
    *,
    customs_form: CustomsForm | None = None,
) -> HttpResponse:
    """The page of a parcel; a form handed in was refused, and is shown as it was typed."""
    moment, shop, given = now(), house(), handed_in or {}
    sizes = Sizes(request.GET.dict(), shop.length_unit)
    found = parcel_page(parcel, calendar(shop), moment, shop, sizes.typed)
    context: dict[str, Any] = {
        "room": "dispatch",
        "page": found,
        "asked": sizes.asked(found.box.to_measure),
        "size": SizeForm(unit=shop.length_unit, initial=model_to_dict(parcel, SIZE)),
        "unit": shop.length_unit,
        **_of_money(request, parcel),
        **given,
        "cells": [
            (row, given.get(row.thing.key) or StowForm(thing=row.thing)) for row in found.cells
        ],
    }
    if found.customs:
        context["customs_form"] = customs_form or _customs_form(
            parcel, shop, found.customs, request
        )
    along = {"progress": "dispatch/_progress.html", "paper": "dispatch/_paper.html"}
    return page(request, "dispatch/parcel.html", context, PARTS, status, along)


def _of_money(request: HttpRequest, parcel: Parcel) -> dict[str, Any]:
    """What the owner alone sees."""
    if not staff(request).is_owner:
        return {}
    currency = request.house.currency  # type: ignore[attr-defined]
    return {
        "worth": worth(parcel),
        "is_priced": is_priced(parcel),
        "worth_form": WorthForm(currency=currency, initial=worth_of(parcel)),
    }


def _customs_form(
    parcel: Parcel, shop: House, customs: Customs, request: HttpRequest
) -> CustomsForm:
    is_owner = staff(request).is_owner
    suggested = suggested_value(parcel) if is_owner else None
    initial = {**customs_initial(parcel, shop, suggested), "seen": customs.seen}
    return CustomsForm(initial=initial, currency=shop.currency, sees_money=is_owner)
