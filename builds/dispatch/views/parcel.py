"""The page of one parcel: what is in it, how it is packed, how it may travel."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcels
from builds.dispatch.queries.page import parcel_page
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.partials import page

PARTS = {"list": "dispatch/_list.html"}


def parcel_of(pk: int) -> Parcel:
    """The parcel of a number with what lies in it, or 404."""
    return get_object_or_404(parcels(), pk=pk)


@require_safe
def parcel(request: HttpRequest, pk: int) -> HttpResponse:
    """One parcel."""
    return show(request, parcel_of(pk))


def show(request: HttpRequest, parcel: Parcel, status: int = 200) -> HttpResponse:
    """The page of a parcel."""
    moment = now()
    diary = calendar(request.house)  # type: ignore[attr-defined]
    context = {"room": "dispatch", "page": parcel_page(parcel, diary, moment)}
    along = {"progress": "dispatch/_progress.html", "paper": "dispatch/_paper.html"}
    return page(request, "dispatch/parcel.html", context, PARTS, status, along)
