"""Suppliers: the list, one of them, a new one."""

from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.clock import now
from shop.diary.queries import calendar
from shop.history.queries import entries_about
from shop.stores.actions import suppliers as actions
from shop.stores.forms.suppliers import NewSupplierForm, SupplierForm
from shop.stores.models import Supplier
from shop.stores.queries.buying import purchases_of, stands, suppliers_listed
from shop.stores.queries.history import leads
from shop.stores.refusals import Refused
from shop.web.access import owner_only, staff
from shop.web.partials import done, next_url, page, refused

FRAME = {"room": "stores", "here": "suppliers"}


@require_safe
def suppliers(request: HttpRequest) -> HttpResponse:
    """All suppliers, those in use first."""
    found = suppliers_listed()
    waits = leads(found)
    rows = [(one, waits[one.pk]) for one in found]
    return page(request, "stores/suppliers.html", FRAME | {"rows": rows})


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def supplier_new(request: HttpRequest) -> HttpResponse:
    """Write a supplier down."""
    form = NewSupplierForm(request.POST or None, initial={"token": uuid4()})
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.add_supplier(
                form.facts, token=form.cleaned_data["token"], by=staff(request), now=now()
            )
        except Refused as error:
            form.add_error("name", str(error))
        else:
            to = next_url(request, _page_of(made))  # an order that waits for a supplier goes on
            return done(request, to, _("%s is written down.") % made)
    status = 422 if request.method == "POST" else 200
    return page(request, "stores/supplier_new.html", FRAME | {"form": form}, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
def supplier(request: HttpRequest, pk: int) -> HttpResponse:
    """One supplier: how long they take, what is bought from them."""
    found = get_object_or_404(Supplier, pk=pk)
    return _show(request, found, SupplierForm(instance=found))


@owner_only
@require_POST
def supplier_change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what is written of a supplier."""
    found = get_object_or_404(Supplier, pk=pk)
    form = SupplierForm(request.POST)
    if form.is_valid():
        try:
            actions.change_supplier(pk, form.facts, by=staff(request), now=now())
        except Refused as error:
            form.add_error("name", str(error))
        else:
            return done(request, _page_of(found), _("Saved."))
    return _show(request, found, form, status=422)


@owner_only
@require_POST
def supplier_retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer a supplier no more, or again."""
    found = get_object_or_404(Supplier, pk=pk)
    deed = actions.bring_supplier_back if "back" in request.POST else actions.retire_supplier
    try:
        deed(pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, _page_of(found), str(error))
    return done(request, _page_of(found))


def _page_of(found: Supplier) -> str:
    return reverse("stores_supplier", args=[found.pk])


def _show(
    request: HttpRequest, found: Supplier, form: SupplierForm, status: int = 200
) -> HttpResponse:
    today = calendar(request.house).today(now())  # type: ignore[attr-defined]
    context: dict[str, Any] = {
        "supplier": found,
        "form": form,
        "lead": leads([found])[found.pk],
        "stands": stands(purchases_of(found), today),
        "parts": list(found.parts.filter(retired=False)[:60]),
        "history": entries_about(found.about),
    }
    return page(request, "stores/supplier.html", FRAME | context, status=status)
