"""Issues papers with a number: invoices, credit notes, receipts. What is issued never changes."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.clock import day_in
from shop.history.actions import record
from shop.house.actions import next_number
from shop.house.models import House
from shop.house.queries import house
from shop.house.speech import known, speaking_as
from shop.house.world import with_country
from shop.orders.actions.payments import lock_order
from shop.orders.models import Account, Invoice, Order, Paper, Payment
from shop.orders.queries.bill import how_to_pay
from shop.orders.queries.invoicing import Off, PaperLine, agreed_quote, turned_round, worked_out
from shop.orders.queries.ledger import standing
from shop.orders.refusals import Refused, refuse_card_numbers
from shop.people.models import User
from shop.people.speech import speaking_to
from shop.web.money import written

__all__ = ["Refused", "credit", "give_receipt", "issue"]

# Each kind of paper has a series of its own, begun anew with the year.
SERIES = {Paper.INVOICE: "I", Paper.CREDIT: "C", Paper.RECEIPT: "R"}


@transaction.atomic
def issue(
    order: Order,
    lines: Sequence[PaperLine],
    *,
    token: UUID,
    by: User,
    now: datetime,
    off: Off | None = None,
    reference: str = "",
) -> Invoice:
    """Issue an invoice under the year's next number; names, lines and sums stand on it for good.

    :raises Refused: there is nothing on it, it goes above what the customer said yes to,
        or the number of a card stands on it.
    """
    order, shop = lock_order(order), house()
    issued = Invoice.objects.filter(token=token).first()
    if issued:
        return issued
    refuse_card_numbers(reference, *(line.words for line in lines))
    figures = _figures(lines, off or Off(), shop)
    _check_ceiling(order, figures["gross"], shop)
    stands, account = standing(order), _account(order)
    paid = min(max(stands.received - (stands.invoiced or 0), 0), figures["gross"])
    number = _number(Paper.INVOICE, shop, now)
    today = day_in(shop.zone, now)
    pay = how_to_pay(shop, figures["gross"] - paid, number)
    return _written(
        Paper.INVOICE,
        order,
        {**figures, "paid": paid, "how_to_pay": pay},
        number=number,
        reference=reference or order.reference,
        due_on=today + timedelta(days=account.days if account else shop.invoice_days),
        buyer=_buyer(order, account),
        token=token,
        by=by,
        now=now,
    )


@transaction.atomic
def credit(invoice: Invoice, because: str, *, token: UUID, by: User, now: datetime) -> Invoice:
    """Take an invoice back by a credit note of the same lines; the invoice itself stays.

    :raises Refused: it is no invoice, was credited already, or no reason is given.
    """
    order, shop = lock_order(invoice.order), house()
    issued = Invoice.objects.filter(token=token).first()
    if issued:
        return issued
    other = invoice.credited_by.first()
    if other:
        raise Refused(_("Credit note %s takes it back already.") % other.number)
    if invoice.paper != Paper.INVOICE:
        raise Refused(_("Only an invoice can be taken back by a credit note."))
    if not because.strip():
        raise Refused(_("Write down why; it stands on the credit note."))
    refuse_card_numbers(because)
    return _written(
        Paper.CREDIT,
        order,
        turned_round({**invoice.figures, "paid": 0, "how_to_pay": ""}),
        number=_number(Paper.CREDIT, shop, now),
        credits=invoice,
        because=because,
        reference=invoice.reference,
        buyer=invoice.buyer,
        token=token,
        by=by,
        now=now,
    )


@transaction.atomic
def give_receipt(payment: Payment, *, token: UUID, by: User, now: datetime) -> Invoice:
    """A receipt for money that came. There is one for each payment, however often it is asked for.

    :raises Refused: the money did not come, or was taken back.
    """
    order, shop = lock_order(payment.order), house()
    given = Invoice.objects.filter(payment=payment, paper=Paper.RECEIPT).first()
    if given:
        return given
    if payment.kind not in {"deposit", "payment"} or payment.takes_back_id:
        raise Refused(_("A receipt is given for money that came."))
    if Payment.objects.filter(takes_back=payment).exists():
        raise Refused(_("This line was taken back: there is nothing to give a receipt for."))
    return _written(
        Paper.RECEIPT,
        order,
        _received(payment),
        number=_number(Paper.RECEIPT, shop, now),
        payment=payment,
        buyer=_buyer(order, _account(order)),
        reference=order.reference,
        token=token,
        by=by,
        now=now,
    )


def _written(
    paper: str,
    order: Order,
    figures: dict[str, Any],
    *,
    number: str,
    by: User,
    now: datetime,
    due_on: date | None = None,
    **more: Any,
) -> Invoice:
    shop = house()
    spoken = known(order.customer.language) or known(shop.language)
    with speaking_as(shop, spoken):
        seller = _seller(shop)
    row = Invoice.objects.create(
        paper=paper,
        number=number,
        order=order,
        currency=shop.currency,
        figures={**figures, "language": spoken},
        net_minor=figures["net"],
        tax_minor=figures["of_tax"],
        gross_minor=figures["gross"],
        seller=seller,
        issued_on=day_in(shop.zone, now),
        due_on=due_on,
        by=by,
        at=now,
        **more,
    )
    record("paper_issued", f"order:{order.pk}", by, now, paper=str(paper), number=number)
    return row


def _figures(lines: Sequence[PaperLine], off: Off, shop: House) -> dict[str, Any]:
    if not lines:
        raise Refused(_("Nothing stands on it yet: write at least one line."))
    try:
        figures = worked_out(lines, off, shop)
    except ValueError as error:
        raise Refused(_("The discount is more than the whole.")) from error
    if figures["gross"] <= 0:
        raise Refused(_("It comes to nothing, and nothing needs no invoice."))
    return figures


def _check_ceiling(order: Order, gross: int, shop: House) -> None:
    quote = agreed_quote(order)
    if quote is None or quote.ceiling_minor is None:
        return
    left = quote.ceiling_minor - (standing(order).invoiced or 0)
    if gross > left:
        raise Refused(
            _(
                "That is above the ceiling that was agreed: %(left)s are left of %(ceiling)s. "
                "Ask first, with a change order."
            )
            % {
                "left": written(max(left, 0), shop.currency),
                "ceiling": written(quote.ceiling_minor, shop.currency),
            }
        )


def _received(payment: Payment) -> dict[str, Any]:
    amount = payment.amount_minor
    with speaking_to(payment.order.customer):
        words = f"{payment.get_kind_display()}, {payment.get_way_display()}"
    line = {"words": words, "quantity": "1", "each": amount, "tax": 0, "sum": amount}
    sums = {"discount": 0, "net": amount, "of_tax": 0, "gross": amount, "paid": 0}
    return {"lines": [line], "rates": [], "how_to_pay": "", "paid_on": str(payment.paid_on), **sums}


def _number(paper: Paper, shop: House, now: datetime) -> str:
    year = day_in(shop.zone, now).year
    return f"{SERIES[paper]}{year}-{next_number(f'{paper}-{year}'):04d}"


def _account(order: Order) -> Account | None:
    return Account.objects.filter(customer=order.customer_id, closed_at=None).first()


def _seller(shop: House) -> str:
    tax_number = _("Tax number %s") % shop.tax_number if shop.tax_number else ""
    lines = [shop.name, shop.address, shop.email, shop.phone, tax_number]
    return "\n".join(line.strip() for line in lines if line.strip())


def _buyer(order: Order, account: Account | None) -> str:
    customer = order.customer
    tax_number = account.tax_number if account else ""
    country = customer.country if customer.country != house().country else ""
    with speaking_to(customer):
        lines = [customer.full_name, *with_country(customer.address, country)]
        lines.append(_("Tax number %s") % tax_number if tax_number else "")
    return "\n".join(line.strip() for line in lines if line.strip())
