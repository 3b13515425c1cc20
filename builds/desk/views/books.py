"""The settings of money, and the books of a period. The owner's alone."""

from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from builds.desk.actions.shop import change_shop
from builds.desk.forms.money_settings import MoneySettingsForm, PeriodForm
from builds.desk.views.section import section
from shop.clock import day_in, now
from shop.house.queries import house
from shop.orders.queries.books import books as sums_of
from shop.orders.queries.books import papers_csv, payments_csv
from shop.web.access import owner_only, staff
from shop.web.partials import done

CSV_OF = {"payments": payments_csv, "invoices": papers_csv}


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def money_settings(request: HttpRequest) -> HttpResponse:
    """Prices, tax, deposit, ceiling, days, how to pay."""
    form = MoneySettingsForm(request.POST or None, instance=house())
    if form.is_valid():
        change_shop(form.instance, form.changed(), by=staff(request), now=now())
        return done(request, reverse("desk_money_settings"), _("Saved."))
    shown = {"form": form, "currency": house().currency}
    return section(
        request, "desk_money_settings", "money_settings", shown, refused=bool(form.errors)
    )


@owner_only
@require_safe
def books(request: HttpRequest) -> HttpResponse:
    """What a period comes to; asked for it, as CSV for the book-keeper."""
    form = PeriodForm(request.GET if "first" in request.GET else _last_month())
    if not form.is_valid():
        return section(request, "desk_books", "books", {"form": form}, refused=True)
    first, last = form.days()
    wanted = request.GET.get("csv", "")
    if wanted in CSV_OF:
        return _file(CSV_OF[wanted](first, last), f"{wanted}-{first}-{last}.csv")
    shown = {
        "form": form,
        "sums": sums_of(first, last),
        "currency": house().currency,
        "first": first.isoformat(),
        "last": last.isoformat(),
    }
    return section(request, "desk_books", "books", shown)


def _last_month() -> dict[str, str]:
    today = day_in(house().zone, now())
    last = today.replace(day=1) - timedelta(days=1)
    first: date = last.replace(day=1)
    return {"first": first.isoformat(), "last": last.isoformat()}


def _file(text: str, name: str) -> HttpResponse:
    answer = HttpResponse(text, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer
