"""What came of a purchase order, logged at the bench and taken back."""

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from shop.clock import now
from shop.diary.queries import calendar
from shop.post.queries import told_because
from shop.stores.actions import deliveries as actions
from shop.stores.forms.purchases import DeliveryForm
from shop.stores.models import Delivery, Purchase
from shop.stores.queries.buying import Stand, not_come, stands
from shop.stores.refusals import Overtaken, Refused
from shop.stores.views.purchases import delivery_form, purchase_of, show
from shop.web.access import staff
from shop.web.partials import done, refused


@require_POST
def came(request: HttpRequest, number: str) -> HttpResponse:
    """Log a delivery; what came goes to stock."""
    found = purchase_of(number)
    form = delivery_form(_stand(request, found), request.POST)
    if form.is_valid():
        try:
            return _log(request, found, form)
        except actions.MoreThanOrdered as question:
            form.asks = question.lines
            form.add_error(None, str(question))
        except Overtaken as error:
            return _overtaken(request, number, str(error))
        except Refused as error:
            form.add_error(None, str(error))
    if not form.lines:
        return refused(request, _page_of(found), " ".join(map(str, form.non_field_errors())))
    return show(request, found, {"came": form}, status=422)


@require_POST
def take_back(request: HttpRequest, number: str, delivery_id: int) -> HttpResponse:
    """Take a delivery back that was logged wrongly."""
    logged = get_object_or_404(Delivery, pk=delivery_id, purchase__number=number)
    here = reverse("stores_purchase", args=[number])
    try:
        actions.take_back(logged.pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, here, str(error))
    return done(
        request, here, " ".join([_("It is out of stock again, and awaited."), *_told(logged)])
    )


def _told(taken_back: Delivery) -> list[str]:
    lines = not_come(one.line for one in taken_back.lines.select_related("line"))
    names = ", ".join(told_because(line.about for line in lines))
    return [_("Told already that the parts came, write again: %s.") % names] if names else []


def _log(request: HttpRequest, found: Purchase, form: DeliveryForm) -> HttpResponse:
    values = form.cleaned_data
    actions.log_delivery(
        found.pk,
        form.came,
        surplus=form.surplus,
        seen=values["seen"],
        note=values["note"],
        token=values["token"],
        by=staff(request),
        now=now(),
    )
    return done(request, _page_of(found), _("It is in stock."))


def _overtaken(request: HttpRequest, number: str, why: str) -> HttpResponse:
    """Show how the order stands now, with what was typed, as far as it still asks for it."""
    found = purchase_of(number)
    stand = _stand(request, found)
    if not stand.missing:
        return refused(request, _page_of(found), why)
    again = request.POST.copy()
    again["token"], again["seen"] = str(uuid4()), str(found.deliveries.count())
    form = delivery_form(stand, again)
    form.add_error(None, why)
    return show(request, found, {"came": form}, status=422)


def _stand(request: HttpRequest, found: Purchase) -> Stand:
    today = calendar(request.house).today(now())  # type: ignore[attr-defined]
    return stands([found], today)[0]


def _page_of(found: Purchase) -> str:
    return reverse("stores_purchase", args=[found.number])
