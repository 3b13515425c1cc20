"""Goods into a parcel, and out of it again."""

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.dispatch.actions.contents import put_goods_in, take_goods_out
from builds.dispatch.refusals import Refused
from builds.dispatch.views.parcel import parcel_of
from shop.clock import now
from shop.orders.models import Item
from shop.web.access import staff
from shop.web.partials import done, refused


@require_POST
def goods_in(request: HttpRequest, pk: int, item: int) -> HttpResponse:
    """Put goods in."""
    to = _to(pk, item)
    try:
        put_goods_in(pk, item, by=staff(request), now=now())
    except Refused as refusal:
        return refused(request, to, str(refusal))
    return done(request, to, _("They go along."))


@require_POST
def goods_out(request: HttpRequest, pk: int, item: int) -> HttpResponse:
    """Take goods out."""
    to = _to(pk, item)
    try:
        take_goods_out(pk, item, by=staff(request), now=now())
    except Refused as refusal:
        return refused(request, to, str(refusal))
    return done(request, to, _("They stay here."))


def _to(pk: int, item: int) -> str:
    parcel_of(pk)
    if not Item.objects.filter(pk=item).exists():
        raise Http404
    return f"{reverse('dispatch_parcel', args=[pk])}#contents"
