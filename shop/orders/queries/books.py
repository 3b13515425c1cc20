"""The books of a period for the book-keeper: sums, and CSV.

Figures of ours are digits with a point and, where they are below nothing, a minus.
"""

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet, Sum
from django.utils.translation import gettext as _

from shop.house.speech import speaking_to_the_shop
from shop.orders.models import Invoice, Paid, Paper, Payment
from shop.orders.queries.ledger import SIGNS
from shop.web.commas import Figure, csv_text
from shop.web.money import typed


@dataclass(frozen=True)
class Books:
    """What a period comes to, in minor units."""

    came: int
    went_back: int
    written_off: int
    net: int
    tax: int
    gross: int


def books(first: date, last: date) -> Books:
    """The sums of a period."""
    sums = dict.fromkeys(["deposit", "payment", "refund", "written-off"], 0)
    for taken_back, sign in ((True, 1), (False, -1)):
        rows = _payments(first, last).filter(takes_back__isnull=taken_back).order_by()
        for kind, amount in rows.values_list("kind").annotate(Sum("amount_minor")):
            sums[kind] += sign * amount
    billed = (
        _papers(first, last)
        .exclude(paper=Paper.RECEIPT)
        .aggregate(net=Sum("net_minor"), tax=Sum("tax_minor"), gross=Sum("gross_minor"))
    )
    return Books(
        came=sums["deposit"] + sums["payment"],
        went_back=sums["refund"],
        written_off=sums["written-off"],
        **{name: amount or 0 for name, amount in billed.items()},
    )


@speaking_to_the_shop()
def payments_csv(first: date, last: date) -> str:
    """Every line of the ledgers of a period, in the order in which they were written."""
    head = [_("date"), _("order"), _("customer"), _("kind"), _("way"), _("reference"), _("why"),
            _("amount"), _("currency"), _("line"), _("takes back line")]  # fmt: skip
    rows = _payments(first, last).select_related("order__customer")
    return csv_text(head, (_payment_row(row) for row in rows))


@speaking_to_the_shop()
def papers_csv(first: date, last: date) -> str:
    """Every invoice and credit note of a period, a row for each tax rate on it."""
    head = [_("number"), _("date"), _("due"), _("kind"), _("order"), _("customer"),
            _("tax rate"), _("net"), _("tax"), _("gross"), _("currency"), _("credits")]  # fmt: skip
    rows = _papers(first, last).exclude(paper=Paper.RECEIPT)
    rows = rows.select_related("order__customer", "credits")
    return csv_text(head, (cells for row in rows for cells in _paper_rows(row)))


def _payments(first: date, last: date) -> QuerySet[Payment]:
    return Payment.objects.filter(paid_on__gte=first, paid_on__lte=last).order_by("at", "pk")


def _papers(first: date, last: date) -> QuerySet[Invoice]:
    return Invoice.objects.filter(issued_on__gte=first, issued_on__lte=last).order_by("at", "pk")


def _payment_row(row: Payment) -> list[str]:
    sign = (SIGNS[Paid(row.kind)] or -1) * (-1 if row.takes_back_id else 1)
    return [
        Figure(row.paid_on.isoformat()),
        row.order.number,
        row.order.customer.full_name,
        row.get_kind_display(),
        row.get_way_display(),
        row.reference,
        row.because,
        Figure(typed(sign * row.amount_minor, row.currency)),
        row.currency,
        Figure(row.pk),
        Figure(row.takes_back_id or ""),
    ]


def _paper_rows(row: Invoice) -> list[list[str]]:
    rates = row.figures["rates"] or [{"tax": 0, "net": row.net_minor, "of_tax": row.tax_minor}]
    return [
        [
            row.number,
            Figure(row.issued_on.isoformat()),
            Figure(row.due_on.isoformat() if row.due_on else ""),
            row.get_paper_display(),
            row.order.number,
            row.buyer.split("\n")[0],
            Figure(f"{rate['tax'] / 100:.2f}"),
            Figure(typed(rate["net"], row.currency)),
            Figure(typed(rate["of_tax"], row.currency)),
            Figure(typed(rate["net"] + rate["of_tax"], row.currency)),
            row.currency,
            row.credits.number if row.credits else "",
        ]
        for rate in rates
    ]
