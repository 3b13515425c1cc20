"""The page of one parcel: what is in it, how it is packed, how it may travel."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from builds.dispatch.forms.customs import CustomsForm, customs_initial
from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcels
from builds.dispatch.queries.customs import customs_of, suggested_value
from builds.dispatch.queries.going import parcel_dues
from builds.dispatch.queries.page import parcel_page
from shop.clock import now
from shop.diary.queries import calendar
from shop.house.models import House
from shop.house.queries import house
from shop.people.models import User
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
    *,
    customs_form: CustomsForm | None = None,
) -> HttpResponse:
    """The page of a parcel; a form handed in was refused, and is shown as it was typed."""
    moment, shop = now(), house()
    diary = calendar(shop)
    context: dict[str, Any] = {"room": "dispatch", "page": parcel_page(parcel, diary, moment)}
    context |= _for_the_customs(parcel, shop, staff(request), customs_form)
    if staff(request).is_owner:
        context["dues"] = parcel_dues(parcel)
    return page(request, "dispatch/parcel.html", context, None, status)


def _for_the_customs(
    parcel: Parcel, shop: House, who: User, form: CustomsForm | None
) -> dict[str, Any]:
    customs = customs_of(parcel, shop)
    if customs is None:
        return {}
    suggested = suggested_value(parcel) if who.is_owner else None
    initial = {**customs_initial(parcel, shop, suggested), "seen": customs.seen}
    fresh = CustomsForm(initial=initial, currency=shop.currency, sees_money=who.is_owner)
    return {"customs": customs, "customs_form": form or fresh}
