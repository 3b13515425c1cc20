"""What to buy again, and why; one tap drafts the order."""

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.bench.actions.reorder import set_service
from builds.bench.forms.reorder import AdviceForm, ServiceForm
from builds.bench.queries.reorder import advice
from shop.clock import now
from shop.stores.actions import Refused
from shop.stores.actions.buying import Wanted, draft
from shop.web.access import owner_only, staff
from shop.web.partials import done, page, refused


@require_safe
def reorder(request: HttpRequest) -> HttpResponse:
    """Advice for each part that is kept in stock, what to order first."""
    return _show(request)


@owner_only
@require_POST
def reorder_draft(request: HttpRequest) -> HttpResponse:
    """Draft an order of what was advised, or add it to the draft with that supplier."""
    form = AdviceForm(request.POST)
    if not form.is_valid():
        why = _("Nothing was drafted: tick what to order, on a page that is not too old.")
        return refused(request, reverse("bench_reorder"), why)
    wanted = [Wanted(part, many) for part, many in form.wanted]
    try:
        made = draft(
            form.cleaned_data["supplier"],
            wanted,
            token=form.cleaned_data["token"],
            by=staff(request),
            now=now(),
        )
    except Refused as error:
        return refused(request, reverse("bench_reorder"), str(error))
    said = _("%s is drafted. Look it over, then order.") % made
    return done(request, reverse("stores_purchase", args=[made.number]), said)


@owner_only
@require_POST
def service(request: HttpRequest) -> HttpResponse:
    """Say how safe the shop wants to be."""
    form = ServiceForm(request.POST)
    if not form.is_valid():
        return _show(request, form, status=422)
    set_service(form.cleaned_data["service_percent"], by=staff(request), now=now())
    return done(request, reverse("bench_reorder"), _("Saved."))


def _show(request: HttpRequest, form: ServiceForm | None = None, status: int = 200) -> HttpResponse:
    shop = request.house  # type: ignore[attr-defined]
    found = advice(shop, now())
    context = {
        "room": "stores",
        "here": "reorder",
        "groups": [(group, uuid4()) for group in found.groups],
        "enough": found.enough,
        "unknown": found.unknown,
        "service": form or ServiceForm(instance=shop),
    }
    return page(request, "bench/reorder.html", context, status=status)
