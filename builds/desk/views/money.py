"""The page of an order's money, and the deeds on it. The owner's alone."""

from typing import Any
from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.desk.forms.money import PaidForm, RefundForm, TakeBackForm, WriteOffForm
from builds.desk.queries.money import Money, money_of
from shop.clock import day_in, now
from shop.house.queries import house
from shop.orders.actions.payments import Refused, pay, take_back
from shop.web.access import owner_only, staff
from shop.web.partials import done, page, refused


@owner_only
def money(request: HttpRequest, number: str) -> HttpResponse:
    """What was agreed, paid, and is open; every line of the ledger."""
    return _money_page(request, _found(number))


@owner_only
@require_POST
def paid(request: HttpRequest, number: str) -> HttpResponse:
    """Note money that came."""
    found = _found(number)
    form = _paid_form(found, request.POST)
    return _noted(request, found, "paid", form, _("Noted."))


@owner_only
@require_POST
def refund(request: HttpRequest, number: str) -> HttpResponse:
    """Note money that went back, with its reason."""
    found = _found(number)
    form = _refund_form(found, request.POST)
    return _noted(request, found, "refund", form, _("The refund is noted."))


@owner_only
@require_POST
def write_off(request: HttpRequest, number: str) -> HttpResponse:
    """Give up what is open, with a reason."""
    found = _found(number)
    form = _write_off_form(found, request.POST)
    return _noted(request, found, "write_off", form, _("Written off."))


@owner_only
@require_POST
def taken_back(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Put a line right that was a mistake."""
    found = _found(number)
    row = next((row.payment for row in found.rows if row.payment.pk == pk), None)
    if row is None:
        raise Http404
    form = TakeBackForm(request.POST)
    if form.is_valid():
        try:
            take_back(row, **form.cleaned_data, by=staff(request), now=now())
        except Refused as refusal:
            return refused(request, _here(found), str(refusal))
        return done(request, _here(found), _("Taken back."))
    return _money_page(request, found, {"take_back": form, "take_back_pk": pk})


def _found(number: str) -> Money:
    shop = house()
    found = money_of(number, shop, day_in(shop.zone, now()))
    if found is None:
        raise Http404
    return found


def _here(found: Money) -> str:
    return reverse("desk_money", args=[found.order.number])


def _noted(request: HttpRequest, found: Money, name: str, form: Any, said: str) -> HttpResponse:
    if form.is_valid():
        row = {"paid_on": found.today, **form.row()}
        try:
            pay(found.order, **row, by=staff(request), now=now())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return done(request, _here(found), said)
    return _money_page(request, found, {name: form})


def _paid_form(found: Money, data: Any = None) -> PaidForm:
    return PaidForm(
        data,
        currency=found.currency,
        deposit_due=found.stands.deposit_due,
        due=found.stands.due,
        today=found.today,
    )


def _refund_form(found: Money, data: Any = None) -> RefundForm:
    return RefundForm(
        found.items,
        data,
        amount=found.stands.too_much,
        currency=found.currency,
        today=found.today,
        auto_id="refund-%s",
    )


def _write_off_form(found: Money, data: Any = None) -> WriteOffForm:
    return WriteOffForm(
        found.items,
        data,
        currency=found.currency,
        amount=found.stands.due,
        auto_id="write-off-%s",
    )


def _money_page(
    request: HttpRequest, found: Money, handed_in: dict[str, Any] | None = None
) -> HttpResponse:
    """The page; a form handed in was refused and is shown open, with what was typed."""
    forms = {
        "paid": _paid_form(found),
        "refund": _refund_form(found),
        "write_off": _write_off_form(found),
        "take_back": TakeBackForm(initial={"token": uuid4()}, auto_id=False),
    }
    shown = {
        "room": "orders",
        "here": "orders",
        "money": found,
        "forms": forms | (handed_in or {}),
        "open": set(handed_in or ()),
    }
    return page(request, "desk/money.html", shown, status=422 if handed_in else 200)
