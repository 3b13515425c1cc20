"""Purchase orders: the list, one of them, a draft and its lines, the order itself."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.core.paginator import Paginator
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.clock import now
from shop.diary.queries import calendar
from shop.history.queries import entries_about
from shop.stores.actions import buying as actions
from shop.stores.forms import purchases as forms
from shop.stores.models import Purchase, PurchaseState, Supplier
from shop.stores.queries import buying as queries
from shop.stores.queries.wording import asking_after, for_supplier
from shop.stores.refusals import Refused
from shop.web.access import owner_only, staff
from shop.web.partials import done, page, refused

FRAME = {"room": "stores", "here": "purchases"}
A_PAGE = 25


@require_safe
def purchases(request: HttpRequest) -> HttpResponse:
    """Orders on their way and drafts; the settled ones where they are asked for."""
    settled = request.GET.get("show") == "settled"
    rows = queries.settled_purchases() if settled else queries.open_purchases()
    found = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page_obj": found,
        "stands": queries.stands(list(found.object_list), _today(request)),
        "settled": settled,
        "counts": queries.purchase_counts(),
        "has_suppliers": queries.suppliers().exists(),
    }
    return page(request, "stores/purchases.html", FRAME | context)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def purchase_new(request: HttpRequest) -> HttpResponse:
    """Draft an order by hand: with whom; what is wanted follows on its page."""
    asked = {name: request.GET.get(name, "") for name in ("supplier", "part", "quantity")}
    form = forms.DraftForm(request.POST or None, initial={"token": uuid4(), **asked})
    if request.method == "POST" and form.is_valid():
        supplier: Supplier = form.cleaned_data["supplier"]
        made = actions.draft(
            supplier, form.wanted,
            token=form.cleaned_data["token"], by=staff(request), now=now(),
        )  # fmt: skip
        return done(request, _page_of(made))
    status = 422 if request.method == "POST" else 200
    context = {
        "form": form,
        "wanted": queries.wanted_words(form["part"].value(), form["quantity"].value()),
        "has_suppliers": len(form.fields["supplier"].choices) > 1,  # type: ignore[attr-defined]
        "again": request.get_full_path(),
    }
    return page(request, "stores/purchase_new.html", FRAME | context, status=status)


@require_safe
def purchase(request: HttpRequest, number: str) -> HttpResponse:
    """One order."""
    return show(request, purchase_of(number))


@owner_only
@require_safe
def purchase_text(request: HttpRequest, number: str) -> HttpResponse:
    """The order as text for the supplier: to copy, to print, to write by mail."""
    stand = queries.stands([purchase_of(number)], _today(request))[0]
    shop = request.house  # type: ignore[attr-defined]
    context = {"stand": stand, "text": for_supplier(stand, shop)}
    return page(request, "stores/purchase_text.html", FRAME | context)


@owner_only
@require_safe
def purchase_where(request: HttpRequest, number: str) -> HttpResponse:
    """The letter that asks where an order is, with only what has not come."""
    stand = queries.stands([purchase_of(number)], _today(request))[0]
    if stand.purchase.state != PurchaseState.ORDERED or not stand.missing:
        return refused(request, _page_of(stand.purchase), _("Nothing of it is awaited."))
    text = asking_after(stand, request.house)  # type: ignore[attr-defined]
    return page(request, "stores/purchase_text.html", FRAME | {"stand": stand, "text": text})


@owner_only
@require_POST
def line_add(request: HttpRequest, number: str) -> HttpResponse:
    """Put a part on a draft."""
    found = purchase_of(number)
    form = forms.LineForm(request.POST, currency=_currency(request))

    def deed(values: dict[str, Any]) -> None:
        actions.put_line(
            found.pk, values["part"], values["quantity"], values["cost"],
            by=staff(request), now=now(),
        )  # fmt: skip

    return _save(request, found, "line", form, deed)


@owner_only
@require_POST
def lines_save(request: HttpRequest, number: str) -> HttpResponse:
    """Save how many of each line, and what each costs."""
    found = purchase_of(number)
    form = _lines_form(request, queries.stands([found], _today(request))[0], request.POST)

    def deed(_values: dict[str, Any]) -> None:
        actions.save_lines(found.pk, form.facts, by=staff(request), now=now())

    return _save(request, found, "lines", form, deed, _("Saved."))


@owner_only
@require_POST
def line_drop(request: HttpRequest, number: str, line_id: int) -> HttpResponse:
    """Give a line up."""
    key = purchase_of(number).pk
    return _deed(
        request, number, lambda by, moment: actions.drop_line(key, line_id, by=by, now=moment)
    )


@owner_only
@require_POST
def order(request: HttpRequest, number: str) -> HttpResponse:
    """It was ordered."""
    found = purchase_of(number)

    def deed(values: dict[str, Any]) -> None:
        actions.order(found.pk, **values, by=staff(request), now=now())

    form = forms.OrderForm(request.POST)
    return _save(request, found, "order", form, deed, _("%s is ordered.") % found)


@owner_only
@require_POST
def change(request: HttpRequest, number: str) -> HttpResponse:
    """Change the day it is expected, the supplier's number, the note."""
    found = purchase_of(number)
    form = forms.PurchaseForm(request.POST)

    def deed(_values: dict[str, Any]) -> None:
        actions.change_purchase(found.pk, form.facts, by=staff(request), now=now())

    return _save(request, found, "change", form, deed, _("Saved."))


@owner_only
@require_POST
def close(request: HttpRequest, number: str) -> HttpResponse:
    """Close it: what has not come will not come."""
    key = purchase_of(number).pk
    return _deed(request, number, lambda by, moment: actions.close(key, by=by, now=moment))


@owner_only
@require_POST
def cancel(request: HttpRequest, number: str) -> HttpResponse:
    """Cancel it, as long as nothing has come."""
    key = purchase_of(number).pk
    return _deed(request, number, lambda by, moment: actions.cancel(key, by=by, now=moment))


def purchase_of(number: str) -> Purchase:
    """The order of a number, or 404."""
    return get_object_or_404(Purchase.objects.select_related("supplier", "made_by"), number=number)


def show(
    request: HttpRequest,
    found: Purchase,
    bound: dict[str, BaseForm] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page of an order, with the forms that came back bound in place of fresh ones."""
    stand = queries.stands([found], _today(request))[0]
    context = {
        "purchase": found,
        "stand": stand,
        "deliveries": queries.deliveries_of(found),
        "history": entries_about(found.about),
        "forms": {**_forms(request, stand), **(bound or {})},
    }
    return page(request, "stores/purchase.html", FRAME | context, status=status)


def _forms(request: HttpRequest, stand: queries.Stand) -> dict[str, BaseForm]:
    """Fresh forms for what may be done with an order; the owner's for the owner alone."""
    found: dict[str, BaseForm] = {}
    state, is_owner = stand.purchase.state, staff(request).is_owner
    if state == PurchaseState.ORDERED:
        found["came"] = delivery_form(stand)
    if is_owner and state in queries.OPEN:
        found["lines"] = _lines_form(request, stand)
    if is_owner and state == PurchaseState.ORDERED:
        found["change"] = forms.PurchaseForm(instance=stand.purchase)
    if is_owner and state == PurchaseState.DRAFT:
        day = queries.expected_day(stand.purchase.supplier, now())
        found["line"] = forms.LineForm(currency=_currency(request))
        found["order"] = forms.OrderForm(initial={"expected_on": day})
    return found


def delivery_form(stand: queries.Stand, data: Any = None) -> forms.DeliveryForm:
    """What is still to come, to be ticked."""
    seen = stand.purchase.deliveries.count()
    initial = {"token": uuid4(), "seen": seen}
    return forms.DeliveryForm(data, lines=stand.missing, initial=initial)


def _lines_form(request: HttpRequest, stand: queries.Stand, data: Any = None) -> forms.LinesForm:
    is_draft = stand.purchase.state == PurchaseState.DRAFT
    lines = [one for one in stand.lines if not one.line.dropped_at]
    return forms.LinesForm(data, lines=lines, currency=_currency(request), is_draft=is_draft)


def _save(
    request: HttpRequest,
    found: Purchase,
    name: str,
    form: BaseForm,
    deed: Callable[[dict[str, Any]], None],
    said: str = "",
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back beside the field."""
    if form.is_valid():
        try:
            deed(form.cleaned_data)
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, _page_of(found), said)
    present = purchase_of(found.number)
    if name not in _forms(request, queries.stands([present], _today(request))[0]):
        return refused(request, _page_of(found), " ".join(map(str, form.non_field_errors())))
    return show(request, present, {name: form}, status=422)


def _deed(request: HttpRequest, number: str, deed: Callable[[Any, Any], object]) -> HttpResponse:
    found = purchase_of(number)
    try:
        deed(staff(request), now())
    except Refused as error:
        return refused(request, _page_of(found), str(error))
    return done(request, _page_of(found))


def _page_of(found: Purchase) -> str:
    return reverse("stores_purchase", args=[found.number])


def _today(request: HttpRequest) -> Any:
    return calendar(request.house).today(now())  # type: ignore[attr-defined]


def _currency(request: HttpRequest) -> str:
    return str(request.house.currency)  # type: ignore[attr-defined]
