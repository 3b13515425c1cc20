"""The page of one parcel: what is in it, how it is packed, how it may travel."""

from collections.abc import Mapping
from typing import Any

from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from builds.dispatch.actions.boxes import SIZE
from builds.dispatch.forms.boxes import SizeForm, Sizes, WorthForm, worth_of
from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcels
from builds.dispatch.queries.page import parcel_page
from builds.dispatch.queries.travel import worth
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff
from shop.web.partials import page


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
) -> HttpResponse:
    """The page of a parcel; a form handed in was refused and is shown with what was typed."""
    moment, shop = now(), request.house  # type: ignore[attr-defined]
    sizes = Sizes(request.GET.dict(), shop.length_unit)
    found = parcel_page(parcel, calendar(shop), moment, shop, sizes.typed)
    context = {
        "room": "dispatch",
        "page": found,
        "asked": sizes.asked(found.box.to_measure),
        "size": SizeForm(unit=shop.length_unit, initial=model_to_dict(parcel, SIZE)),
        "unit": shop.length_unit,
        **_of_money(request, parcel),
        **(handed_in or {}),
    }
    return page(request, "dispatch/parcel.html", context, None, status)


def _of_money(request: HttpRequest, parcel: Parcel) -> dict[str, Any]:
    """What the owner alone sees."""
    if not staff(request).is_owner:
        return {}
    currency = request.house.currency  # type: ignore[attr-defined]
    return {
        "worth": worth(parcel),
        "worth_form": WorthForm(currency=currency, initial=worth_of(parcel)),
    }
