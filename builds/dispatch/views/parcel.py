"""The page of one parcel: what is in it, how it is packed, how it may travel."""

from collections.abc import Mapping

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from builds.dispatch.forms.stowing import StowForm
from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcels
from builds.dispatch.queries.page import parcel_page
from shop.clock import now
from shop.diary.queries import calendar
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
    bound: Mapping[str, BaseForm] | None = None,
) -> HttpResponse:
    """The page of a parcel, with forms that came back in place of their fresh ones, by name."""
    moment, forms = now(), bound or {}
    diary = calendar(request.house)  # type: ignore[attr-defined]
    shown = parcel_page(parcel, diary, moment)
    context = {
        "room": "dispatch",
        "page": shown,
        "cells": [
            (row, forms.get(row.thing.key) or StowForm(thing=row.thing)) for row in shown.cells
        ],
    }
    return page(request, "dispatch/parcel.html", context, None, status)
