"""A customer's account and statement. The owner's alone."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.desk.forms.money_settings import AccountForm
from shop.clock import day_in, now
from shop.house.queries import house
from shop.orders.actions.accounts import close_account, keep_account
from shop.orders.models import Account
from shop.orders.queries.statements import Statement, statement, statement_pdf
from shop.people.models import Customer
from shop.web.access import owner_only, staff
from shop.web.partials import done, page


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def account(request: HttpRequest, pk: int) -> HttpResponse:
    """The terms of a trade customer: days, discount, hour, limit, tax number."""
    customer = get_object_or_404(Customer, pk=pk)
    kept = Account.objects.filter(customer=customer).first()
    form = AccountForm(request.POST or None, instance=kept, currency=house().currency)
    if form.is_valid():
        keep_account(customer, form.cleaned_data, by=staff(request), now=now())
        return done(request, reverse("desk_statement", args=[pk]), _("Saved."))
    shown = {
        "room": "orders",
        "here": "customers",
        "customer": customer,
        "form": form,
        "account": kept,
    }
    return page(request, "desk/account.html", shown, status=422 if form.errors else 200)


@owner_only
@require_POST
def account_close(request: HttpRequest, pk: int) -> HttpResponse:
    """Close an account."""
    customer = get_object_or_404(Customer, pk=pk)
    close_account(customer, by=staff(request), now=now())
    return done(request, reverse("desk_statement", args=[pk]), _("The account is closed."))


@owner_only
@require_safe
def one_statement(request: HttpRequest, pk: int) -> HttpResponse:
    """What a customer owes, order by order."""
    shown = {
        "room": "orders",
        "here": "customers",
        "statement": _statement(pk),
        "currency": house().currency,
    }
    return page(request, "desk/statement.html", shown)


@owner_only
@require_safe
def statement_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The statement as PDF."""
    found = _statement(pk)
    answer = HttpResponse(statement_pdf(found, house()), content_type="application/pdf")
    name = f"statement-{pk}-{found.today}.pdf"
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer


def _statement(pk: int) -> Statement:
    customer = get_object_or_404(Customer, pk=pk)
    return statement(customer, day_in(house().zone, now()))
