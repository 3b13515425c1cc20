"""What the customs are told of a parcel: written down, and its paper to print."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.dispatch.actions.customs import tell_customs
from builds.dispatch.forms.customs import CustomsForm
from builds.dispatch.queries.customs import customs_seen
from builds.dispatch.queries.customs_paper import customs_pdf
from builds.dispatch.refusals import Refused
from builds.dispatch.views.parcel import parcel_of, show
from shop.clock import now
from shop.house.queries import house
from shop.web.access import owner_only, staff
from shop.web.partials import done


@require_POST
def customs(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep what the customs are told."""
    found, by = parcel_of(pk), staff(request)
    form = CustomsForm(request.POST, currency=house().currency, sees_money=by.is_owner)
    if not form.is_valid():
        return show(request, found, 422, customs_form=form)
    seen = form.cleaned_data["seen"] or 0
    try:
        tell_customs(found.pk, form.told(), seen=seen, by=by, now=now())
    except Refused as refusal:
        form.add_error(None, str(refusal))
        form.look_again(customs_seen(found))
        return show(request, parcel_of(pk), 422, customs_form=form)
    return done(request, reverse("dispatch_parcel", args=[pk]) + "#customs", _("Saved."))


@owner_only
@require_safe
def customs_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The paper as PDF. A value stands on it, so the owner prints it."""
    answer = HttpResponse(customs_pdf(parcel_of(pk), house()), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="customs-{pk}.pdf"'
    answer["Cache-Control"] = "private, no-cache"
    return answer
