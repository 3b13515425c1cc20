"""The box of a parcel, its size and weight, by what it goes, what it is worth."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.dispatch.actions.boxes import choose_box, choose_service, declare, note_size
from builds.dispatch.forms.boxes import BoxForm, ServiceForm, SizeForm, WorthForm
from builds.dispatch.models import Parcel
from builds.dispatch.refusals import Refused
from builds.dispatch.views.parcel import parcel_of, show
from shop.clock import now
from shop.web.access import owner_only, staff
from shop.web.partials import done, refused


def _back(parcel: Parcel, section: str) -> str:
    return f"{reverse('dispatch_parcel', args=[parcel.pk])}#{section}"


@require_POST
def box(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose the box, or none of the stores."""
    found = parcel_of(pk)
    form = BoxForm(request.POST)
    if not form.is_valid():
        return refused(request, _back(found, "box"), _("That page was out of date."))
    try:
        choose_box(pk, form.cleaned_data["box"], seen=form.cleaned_data["box_seen"],
                   by=staff(request), now=now())  # fmt: skip
    except Refused as refusal:
        return refused(request, _back(found, "box"), str(refusal))
    return done(request, _back(found, "box"), _("The box is noted."))


@require_POST
def size(request: HttpRequest, pk: int) -> HttpResponse:
    """Note its outside and its weight."""
    found = parcel_of(pk)
    form = SizeForm(request.POST, unit=request.house.length_unit)  # type: ignore[attr-defined]
    if form.is_valid():
        gross = form.cleaned_data["gross_g"]
        try:
            note_size(pk, form.sides(), gross, by=staff(request), now=now())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return done(request, _back(found, "weight"), _("Noted."))
    return show(request, found, 422, {"size": form})


@require_POST
def service(request: HttpRequest, pk: int) -> HttpResponse:
    """Say by what it goes."""
    found = parcel_of(pk)
    form = ServiceForm(request.POST)
    if not form.is_valid():
        why = _("This service is offered no more. Choose another.")
        return refused(request, _back(found, "travel"), why)
    try:
        choose_service(pk, form.cleaned_data["service"], by=staff(request), now=now())
    except Refused as refusal:
        return refused(request, _back(found, "travel"), str(refusal))
    return done(request, _back(found, "travel"), _("Noted how it travels."))


@owner_only
@require_POST
def worth(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what it is worth and who bears its loss."""
    found = parcel_of(pk)
    form = WorthForm(request.POST, currency=request.house.currency)  # type: ignore[attr-defined]
    if form.is_valid():
        try:
            declare(pk, form.cleaned_data["declared_minor"], form.cleaned_data["insured_by"],
                    by=staff(request), now=now())  # fmt: skip
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return done(request, _back(found, "travel"), _("Noted."))
    return show(request, found, 422, {"worth_form": form})
