"""The list of orders, and a new one."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse, QueryDict
from django.urls import reverse
from django.utils.translation import gettext as _

from builds.desk.actions.orders import book_job, with_odds
from builds.desk.forms.booking import Booking
from builds.desk.forms.enquiries import from_sender, prefilled
from builds.desk.queries.enquiries import enquiry_of
from builds.desk.queries.orders import order_placed, order_rows
from builds.desk.queries.parcels import build_for, parcel_waiting
from builds.desk.views.hints import dispatch_hint
from builds.intake.models import Arrival
from builds.queue.actions import Refused as NotThatDay
from builds.queue.queries.serving import Said, serving_to
from shop.clock import now
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.orders.actions import Refused, draft_quote
from shop.orders.enquiries import Refused as Settled
from shop.orders.models import Enquiry, Order
from shop.web.access import staff
from shop.web.paging import cut
from shop.web.partials import done, page, refused


def orders(request: HttpRequest) -> HttpResponse:
    """Every order: open ones first, by the day that they are needed."""
    text = request.GET.get("begins", "")
    return page(
        request,
        "desk/orders.html",
        {
            "room": "orders",
            "here": "orders",
            "page_obj": cut(request, order_rows(text)),
            "begins": text,
        },
        parts={"order-list": "desk/_order_list.html"},
    )


def order_new(request: HttpRequest) -> HttpResponse:
    """One page for a new order: who, which hilt, what, when, for how much.

    Looking for a customer is no answer yet: what was typed stays, and nothing is judged.
    """
    moment = now()
    enquiry = enquiry_of(request.POST.get("enquiry") or request.GET.get("enquiry", ""))
    parcel = parcel_waiting(request.POST.get("arrival") or request.GET.get("arrival", ""))
    typed: QueryDict = request.POST
    if request.method != "POST":
        typed = from_sender(prefilled(request.GET, enquiry), parcel)
    judged = request.method == "POST" and "look" not in typed
    booking = Booking(house(), staff(request), dispatch_hint(moment), typed=typed, judged=judged)
    order = _placed(request, booking, moment, enquiry) if judged else None
    if order and "quote" in request.POST and staff(request).is_owner:
        return _quoting(request, order, moment)
    if order:
        return _to_its_parcel(request, order, parcel)
    return page(
        request,
        "desk/order_new.html",
        {
            "room": "orders",
            "here": "orders",
            "booking": booking,
            "form": booking.job,
            "enquiry": enquiry,
            "parcel": parcel,
            "quotes": staff(request).is_owner,
            "quote_first": "quote" in typed,
            "served": _served(booking, moment),
        },
        parts={
            "found": "desk/_found.html",
            "hilts": "desk/_hilts.html",
            "served": "desk/_served.html",
        },
        status=422 if judged else 200,
    )


def _served(booking: Booking, moment: datetime) -> Said | None:
    """What the day asks that stands in the form."""
    day = booking.needed_by
    if day is None:
        return None
    diary, to = calendar(house()), Order(customer=booking.for_whom).consignee
    found = serving_to(to, day, booking.leaves_by, diary)
    return found.said(diary.first_day(moment), booking.promise_day)


def _to_its_parcel(request: HttpRequest, order: Order, parcel: Arrival | None) -> HttpResponse:
    """To the order; where a parcel waits for it, back there, with the new build chosen."""
    build = build_for(order) if parcel else None
    if parcel is None or build is None:
        return done(request, reverse("desk_order", args=[order.number]), _("Order placed."))
    to = reverse("bench_arrival", args=[parcel.pk]) + f"?build={build.number}#match"
    return done(request, to, _("Order placed. Now say that this parcel holds its hilt."))


def _quoting(request: HttpRequest, order: Order, moment: datetime) -> HttpResponse:
    """Go on to the order's quote; a second tap finds the draft that the first began."""
    try:
        draft = draft_quote(order, token=order.token, by=staff(request), now=moment)
    except Refused as refusal:
        return refused(request, reverse("desk_order", args=[order.number]), str(refusal))
    to = reverse("desk_quote", args=[order.number, draft.revision])
    return done(request, to, _("Order placed. Now the quote."))


def _placed(
    request: HttpRequest, booking: Booking, moment: datetime, enquiry: Enquiry | None
) -> Order | None:
    # The second of two taps is asked first: what the first one wrote down would refuse it.
    before = order_placed(booking.token)
    return before or (_book(request, booking, moment, enquiry) if booking.is_valid() else None)


def _book(
    request: HttpRequest, booking: Booking, moment: datetime, enquiry: Enquiry | None
) -> Order | None:
    terms = booking.terms.cleaned_data
    try:
        return book_job(
            with_odds(booking.job.job(), moment),
            customer=booking.whom,
            token=booking.once.cleaned_data["token"],
            by=staff(request),
            now=moment,
            needed_by=terms["needed_by"],
            price_note=terms.get("price_note", ""),
            reference=terms["reference"],
            enquiry=enquiry,
        )
    except NotThatDay as refusal:
        booking.job.add_error("promise_day", str(refusal))
    except Settled as refusal:
        booking.job.add_error(None, str(refusal))
    return None
