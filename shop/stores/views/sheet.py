"""The page of a part, with the forms on it; one that came back with errors stands open."""

from typing import Any
from uuid import uuid4

from django import forms
from django.http import HttpRequest, HttpResponse

from shop.history.queries import entries_about
from shop.stores.forms.parts import RatingForm
from shop.stores.forms.stock import CountForm, PutBackForm, ReceiveForm, WriteOffForm
from shop.stores.models import Part
from shop.stores.queries import one
from shop.stores.specs import ratings
from shop.web.access import staff
from shop.web.paging import cut
from shop.web.partials import page


def sheet(request: HttpRequest, part: Part, **bound: forms.Form) -> HttpResponse:
    """Answer with the page of a part.

    :param bound: forms that were sent and refused, by their name on the page.
    """
    house = request.house  # type: ignore[attr-defined]
    page_obj, spec = cut(request, one.ledger(part)), one.spec_rows(part, house.length_unit)
    context = {
        "room": "stores",
        "here": "stores",
        "part": part,
        "level": one.level_of(part),
        "spec": spec,
        "stated": one.all_stated(spec),
        "lacking": one.lacking(part),
        "held": one.held(part),
        "page_obj": page_obj,
        "ledger": one.booked(part, page_obj.object_list),
        "history": entries_about(part.about),
        "currency": house.currency,
        **blank_forms(request, part),
        **bound,
    }
    return page(request, "stores/part.html", context, status=422 if bound else 200)


def blank_forms(request: HttpRequest, part: Part) -> dict[str, Any]:
    """The forms on the page, as nobody has filled them in yet; each with a token of its own."""
    house = request.house  # type: ignore[attr-defined]
    money = {"currency": house.currency, "costs": staff(request).is_owner}
    return {
        "receive": ReceiveForm(part=part, initial={"token": uuid4()}, **money),
        "count": CountForm(part=part, initial={"token": uuid4(), "seen": part.level.on_hand}),
        "write_off": WriteOffForm(part=part, initial={"token": uuid4()}),
        "put_back": PutBackForm(part=part, initial={"token": uuid4()}),
        "rating": _rating_form(part, house.length_unit),
    }


def _rating_form(part: Part, length_unit: str) -> RatingForm | None:
    return RatingForm(kind=part.kind, length_unit=length_unit) if ratings(part.kind) else None
