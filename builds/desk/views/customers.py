"""Customers: the list, a new one, and the page of each."""

from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from builds.desk.actions.orders import write_down_customer
from builds.desk.forms.customers import CustomerForm, NewCustomerForm
from builds.desk.queries.orders import customers as named_so
from builds.desk.queries.orders import own_pages, person
from builds.hilts.queries.blades import with_facts
from shop.clock import now
from shop.history.queries import made_once
from shop.house.queries import house
from shop.people.actions import change_customer
from shop.people.models import Customer
from shop.web.access import staff
from shop.web.paging import cut
from shop.web.partials import done, page, refused


def customers(request: HttpRequest) -> HttpResponse:
    """Customers by name."""
    text = request.GET.get("begins", "")
    return page(
        request,
        "desk/customers.html",
        {
            "room": "orders",
            "here": "customers",
            "page_obj": cut(request, named_so(text)),
            "begins": text,
        },
        parts={"customer-list": "desk/_customer_list.html"},
    )


def customer_new(request: HttpRequest) -> HttpResponse:
    """Write a customer down."""
    data = request.POST if request.method == "POST" else None
    form = NewCustomerForm(
        data,
        initial={"token": uuid4(), "country": request.house.country},  # type: ignore[attr-defined]
    )
    added = _added(request, form)
    if added:
        said = _("%s is written down.") % added.called
        return done(request, reverse("desk_customer", args=[added.pk]), said)
    shown = {"room": "orders", "here": "customers", "form": form}
    return page(request, "desk/customer_new.html", shown, status=200 if data is None else 422)


def _added(request: HttpRequest, form: NewCustomerForm) -> Customer | None:
    # The second of two taps is asked first: the first one's address would refuse it.
    is_valid, token = form.is_valid(), getattr(form, "cleaned_data", {}).get("token")
    if not token or not (is_valid or made_once(token)):
        return None
    fields = {name: value for name, value in form.cleaned_data.items() if name != "token"}
    return write_down_customer(fields, token=token, by=staff(request), now=now())


def customer(request: HttpRequest, pk: int) -> HttpResponse:
    """What the shop knows of a customer; sent back, what it now knows."""
    found = person(pk)
    if found is None:
        raise Http404
    data = request.POST if request.method == "POST" else None
    if data is not None and found.customer.erased_at:
        return refused(request, reverse("desk_customer", args=[pk]), _("They were erased."))
    form = CustomerForm(data, instance=found.customer)
    if form.is_valid():
        change_customer(found.customer, dict(form.cleaned_data), staff(request), now())
        return done(request, reverse("desk_customer", args=[pk]), _("Saved."))
    if data is not None:
        found.customer.refresh_from_db()
    unit = request.house.length_unit  # type: ignore[attr-defined]
    shown = {
        "room": "orders", "here": "customers", "person": found, "form": form,
        "blades": with_facts(found.blades, unit),
    }  # fmt: skip
    if staff(request).is_owner:
        shown["pages"] = own_pages(found.hilts, house())
    return page(request, "desk/customer.html", shown, status=200 if data is None else 422)
