"""What is done to stock by hand, and what is stated of a part: the deeds on its page."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from shop import clock
from shop.stores.actions import Overtaken, Refused, parts
from shop.stores.actions import stock as deeds
from shop.stores.forms.parts import RatingForm
from shop.stores.forms.stock import CountForm, PutBackForm, ReceiveForm, WriteOffForm
from shop.stores.models import Part, Rating
from shop.stores.views.part import part_or_404
from shop.stores.views.sheet import sheet
from shop.web.access import staff
from shop.web.partials import done, refused


def _do(
    request: HttpRequest, part: Part, name: str, form: forms.Form, deed: Callable[[], Any]
) -> HttpResponse:
    here = reverse("stores_part", args=[part.pk])
    if not form.is_valid():
        return sheet(request, part, **{name: form})
    try:
        deed()
    except Overtaken as why:
        return refused(request, here, str(why))
    except Refused as why:
        form.add_error(None, str(why))
        return sheet(request, part, **{name: form})
    return done(request, here, _("Written into the ledger."))


def _who(request: HttpRequest, form: forms.Form) -> dict[str, Any]:
    return {"token": form.cleaned_data["token"], "by": staff(request), "now": clock.now()}


@require_POST
def receive(request: HttpRequest, pk: int) -> HttpResponse:
    """Put into stock what came without a purchase order."""
    part, money = part_or_404(pk), request.house.currency  # type: ignore[attr-defined]
    form = ReceiveForm(request.POST, part=part, currency=money, costs=staff(request).is_owner)

    def deed() -> Any:
        given = form.cleaned_data
        more = {"cost_minor": given.get("cost_minor"), "reason": given["reason"]}
        return deeds.receive(part, given["quantity"], **more, **_who(request, form))

    return _do(request, part, "receive", form, deed)


@require_POST
def count(request: HttpRequest, pk: int) -> HttpResponse:
    """Set stock to what was counted."""
    part = part_or_404(pk)
    form = CountForm(request.POST, part=part)

    def deed() -> Any:
        given = form.cleaned_data
        seen, why = given["seen"], given["reason"]
        return deeds.count(part, given["quantity"], seen=seen, reason=why, **_who(request, form))

    return _do(request, part, "count", form, deed)


@require_POST
def write_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Take out of stock what is broken, lost or used up."""
    part = part_or_404(pk)
    form = WriteOffForm(request.POST, part=part)

    def deed() -> Any:
        given = form.cleaned_data
        who = _who(request, form)
        return deeds.write_off(part, given["quantity"], reason=given["reason"], **who)

    return _do(request, part, "write_off", form, deed)


@require_POST
def put_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Put into stock what came out of a hilt whole."""
    part = part_or_404(pk)
    form = PutBackForm(request.POST, part=part)

    def deed() -> Any:
        given, who = form.cleaned_data, _who(request, form)
        return deeds.put_back(
            part, given["quantity"], about="", whose="", reason=given["reason"], **who
        )

    return _do(request, part, "put_back", form, deed)


@require_POST
def state(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down what somebody states of a part."""
    part = part_or_404(pk)
    unit = request.house.length_unit  # type: ignore[attr-defined]
    form = RatingForm(request.POST, kind=part.kind, length_unit=unit)

    def deed() -> Any:
        given = form.cleaned_data
        said = (given["quantity"], given["figure"], given["source"])
        return parts.state_rating(pk, *said, by=staff(request), now=clock.now())

    return _do(request, part, "rating", form, deed)


@require_POST
def withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Use a wrong rating no more."""
    rating = get_object_or_404(Rating, pk=pk)
    parts.withdraw_rating(pk, by=staff(request), now=clock.now())
    return done(request, reverse("stores_part", args=[rating.part_id]), _("Used no more."))
