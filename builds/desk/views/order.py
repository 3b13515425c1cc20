"""The page of one order, and the deeds on it."""

from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.desk.actions.orders import Refused as OrderRefused
from builds.desk.actions.orders import (
    add_goods,
    add_job,
    keep_answer,
    say_part,
    ship_to,
    with_odds,
)
from builds.desk.forms.orders import (
    NO_KNOWN_HILT,
    AnswerForm,
    FromStoresForm,
    GoodsForm,
    JobForm,
    OnceForm,
    ShipToForm,
    TermsForm,
)
from builds.desk.queries.blades import blades_to_choose
from builds.desk.queries.enquiries import asked_for
from builds.desk.queries.orders import Sheet, hilts_of, link_of, order_sheet
from builds.desk.views.hints import dispatch_hint
from builds.dispatch.queries.going import parts_to_go
from builds.progress.linking import order_link
from builds.queue.actions import Refused
from builds.queue.queries.serving import Said, serving_of_order
from shop.clock import day_in, now
from shop.diary.queries import calendar
from shop.history.queries import made_once
from shop.house.queries import house
from shop.orders.actions import change_order
from shop.orders.models import Item, ItemKind, Order, QuoteState
from shop.orders.queries import quotes_of
from shop.orders.queries.ledger import standing
from shop.post.actions import renew, revoke
from shop.post.queries import url_of
from shop.stores.queries.named import sold_by_name
from shop.web.access import owner_only, staff
from shop.web.partials import done, page


def order(request: HttpRequest, number: str) -> HttpResponse:
    """Everything on one order."""
    return _order_page(request, _sheet(number))


@require_POST
def order_change(request: HttpRequest, number: str) -> HttpResponse:
    """Change when it is needed, the customer's reference and, for the owner, its price."""
    sheet = _sheet(number)
    form = TermsForm(request.POST, sees_money=staff(request).is_owner)
    if not form.is_valid():
        return _order_page(request, sheet, terms=form)
    change_order(sheet.order, form.cleaned_data, staff(request), now())
    return _done(request, sheet.order, _("Order changed."))


@require_POST
def order_answer(request: HttpRequest, number: str) -> HttpResponse:
    """Keep an answer that the customer gave to one of us."""
    sheet = _sheet(number)
    form = AnswerForm(sheet.items, request.POST)
    if not form.is_valid():
        return _order_page(request, sheet, answer=form)
    keep_answer(**form.answer(), by=staff(request), now=now())
    return _done(request, sheet.order, _("Answer kept."))


def order_job(request: HttpRequest, number: str) -> HttpResponse:
    """Put another job on an order."""
    sheet, moment = _sheet(number), now()
    data = request.POST if request.method == "POST" else None
    once = OnceForm(data, initial={"token": uuid4()})
    form = JobForm(
        hilts_of(sheet.order.customer),
        data,
        blades=blades_to_choose(sheet.order.customer),
        initial={"hilt": NO_KNOWN_HILT},
        dispatch_hint=dispatch_hint(moment),
    )
    token = once.token_sent()
    if token and (made_once(token) or _job_added(request, sheet.order, form, token, moment)):
        return _done(request, sheet.order, _("Job added."))
    shown = {"room": "orders", "here": "orders", "sheet": sheet, "form": form, "once": once}
    return page(request, "desk/order_job.html", shown, status=200 if data is None else 422)


def _job_added(
    request: HttpRequest, found: Order, form: JobForm, token: UUID, moment: datetime
) -> bool:
    if not form.is_valid():
        return False
    try:
        add_job(found, with_odds(form.job(), moment), token=token, by=staff(request), now=moment)
    except Refused as refusal:
        form.add_error("promise_day", str(refusal))
        return False
    return True


def order_goods(request: HttpRequest, number: str) -> HttpResponse:
    """Put goods on an order."""
    sheet = _sheet(number)
    data = request.POST if request.method == "POST" else None
    form = GoodsForm(data, initial={"token": uuid4(), "quantity": 1})
    if form.is_valid():
        add_goods(sheet.order, **form.cleaned_data, by=staff(request), now=now())
        return _done(request, sheet.order, _("Goods added."))
    return _goods_page(request, sheet, form)


def order_goods_part(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Say as which part goods stand in stores."""
    sheet = _sheet(number)
    item = next((line.item for line in sheet.lines if line.item.pk == pk), None)
    if item is None or item.kind != ItemKind.GOODS:
        raise Http404
    data = request.POST if request.method == "POST" else None
    form = FromStoresForm(data, initial={"part": item.part.name if item.part else ""})
    if form.is_valid():
        try:
            say_part(item, form.cleaned_data["part"], by=staff(request), now=now())
        except OrderRefused as refusal:
            form.add_error("part", str(refusal))
        else:
            return _done(request, sheet.order, _("Noted."))
    return _goods_page(request, sheet, form, item)


def _goods_page(
    request: HttpRequest, sheet: Sheet, form: FromStoresForm, item: Item | None = None
) -> HttpResponse:
    shown = {
        "room": "orders",
        "here": "orders",
        "sheet": sheet,
        "form": form,
        "item": item,
        "sold": sold_by_name(),
    }
    return page(request, "desk/order_goods.html", shown, status=422 if form.is_bound else 200)


@require_POST
def order_ship(request: HttpRequest, number: str) -> HttpResponse:
    """Say where the order goes, if not to the customer's own address."""
    sheet = _sheet(number)
    form = ShipToForm(request.POST)
    if form.is_valid():
        try:
            ship_to(sheet.order, form.cleaned_data, by=staff(request), now=now())
        except OrderRefused as refusal:
            form.add_error(None, str(refusal))
        else:
            return _done(request, sheet.order, _("Noted where it goes."))
    return _order_page(request, sheet, ship=form)


@owner_only
@require_POST
def order_link_renew(request: HttpRequest, number: str) -> HttpResponse:
    """Make the customer's link, or give it a new address: the old one opens nothing."""
    found = _sheet(number).order
    link = link_of(found)
    if link is None:
        order_link(found, now())
        return _done(request, found, _("The link is made."))
    renew(link, staff(request), now())
    order_link(found, now())  # opened anew, it opens for a while
    return _done(request, found, _("The old link is dead; the new one is below."))


@owner_only
@require_POST
def order_link_revoke(request: HttpRequest, number: str) -> HttpResponse:
    """Close the customer's link."""
    found = _sheet(number).order
    link = link_of(found)
    if link:
        revoke(link, staff(request), now())
    return _done(request, found, _("The link is closed: whoever has it sees nothing."))


def _sheet(number: str) -> Sheet:
    sheet = order_sheet(number)
    if sheet is None:
        raise Http404
    return sheet


def _done(request: HttpRequest, found: Order, said: str) -> HttpResponse:
    return done(request, reverse("desk_order", args=[found.number]), said)


def _quotes_shown(found: Order) -> dict[str, Any]:
    found_quotes = quotes_of(found, day_in(house().zone, now()))
    states = {each.quote.state for each in found_quotes}
    return {
        "order": found,
        "quotes": found_quotes,
        "token": uuid4(),
        "has_open": bool(states & {QuoteState.DRAFT, QuoteState.SENT}),
        "was_agreed": QuoteState.ACCEPTED in states,
    }


def _served(sheet: Sheet) -> Said | None:
    """What the day asks by which an open order is needed; nothing of one that is done."""
    builds = [line.build for line in sheet.lines if line.build]
    still = [build for build in builds if build.is_open]
    if builds and not still:
        return None
    diary = calendar(house())
    found = serving_of_order(sheet.order, still, diary)
    promised = [line.promised for line in sheet.lines if line.build in still and line.promised]
    return found.said(diary.first_day(now()), max(promised, default=None)) if found else None


def _order_page(
    request: HttpRequest,
    sheet: Sheet,
    *,
    terms: TermsForm | None = None,
    answer: AnswerForm | None = None,
    ship: ShipToForm | None = None,
) -> HttpResponse:
    """The page; a form handed in was refused and is shown open, with what was typed."""
    sees_money = staff(request).is_owner
    names = ("needed_by", "reference", "price_note")
    kept = {name: getattr(sheet.order, name) for name in names}
    shown: dict[str, Any] = {
        "room": "orders",
        "here": "orders",
        "sheet": sheet,
        "sees_money": sees_money,
        "asked": asked_for(sheet.order),
        "served": _served(sheet),
        "terms": terms or TermsForm(initial=kept, sees_money=sees_money),
        "terms_open": terms is not None,
        "ship": ship or ShipToForm(instance=sheet.order),
        "ship_open": ship is not None,
        "answer": answer or AnswerForm(sheet.items),
        "answer_open": answer is not None,
    }
    if sees_money:
        shown |= _quotes_shown(sheet.order)
        shown["link"] = link = link_of(sheet.order)
        shown["stands"] = standing(sheet.order)
        shown["parts"] = parts_to_go(sheet.order)
        shown["link_url"] = url_of(link, house())
    status = 422 if terms or answer or ship else 200
    return page(request, "desk/order.html", shown, status=status)
