"""What a customer owes, order by order: a statement, on a page and as PDF."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import get_language
from django.utils.translation import gettext as _

from shop.house.models import House
from shop.house.speech import speaking_as
from shop.orders.models import Account, Invoice, Order, Paper
from shop.orders.queries.ledger import Standing, standings
from shop.orders.queries.wording import percent
from shop.people.models import Customer
from shop.web.dated import dated
from shop.web.money import written
from shop.web.paper import pdf


@dataclass(frozen=True)
class Owed:
    """One order of a statement."""

    order: Order
    stands: Standing
    numbers: str
    due_on: date | None
    is_overdue: bool


@dataclass(frozen=True)
class Statement:
    """A customer's orders with money, and what is open of them."""

    customer: Customer
    account: Account | None
    rows: list[Owed]
    today: date

    @property
    def open_rows(self) -> list[Owed]:
        """The orders that are not even."""
        return [row for row in self.rows if row.stands.balance]

    @property
    def balance(self) -> int:
        """What is open in all, less what came too much."""
        return sum(row.stands.balance for row in self.rows)

    @property
    def discount(self) -> str:
        """The account's own, in words."""
        return percent(self.account.discount_hundredths) if self.account else ""

    @property
    def overdue(self) -> int:
        """What should have been paid by now."""
        return sum(row.stands.due for row in self.rows if row.is_overdue)

    @property
    def over_limit(self) -> int:
        """By how much the account's limit is passed."""
        limit = self.account.limit_minor if self.account else None
        return 0 if limit is None else max(self.balance - limit, 0)


def statement(customer: Customer, today: date) -> Statement:
    """What a customer owes, in a constant number of queries."""
    orders = list(Order.objects.filter(customer=customer).order_by("placed_at", "pk"))
    stands = standings(order.pk for order in orders)
    papers = _papers([order.pk for order in orders])
    account = Account.objects.filter(customer=customer, closed_at=None).first()
    rows = [
        _owed(order, stands[order.pk], papers.get(order.pk, []), today)
        for order in orders
        if stands[order.pk].is_of_money
    ]
    return Statement(customer, account, rows, today)


def _papers(ids: list[int]) -> dict[int, list[Invoice]]:
    """Order id → its invoices that stand, not taken back by a credit note."""
    found: dict[int, list[Invoice]] = {}
    rows = Invoice.objects.filter(order__in=ids, paper=Paper.INVOICE, credited_by=None)
    # Put in order here: for the database's own order SQLite walks the invoices of all years.
    for row in sorted(rows.order_by(), key=lambda row: (row.issued_on, row.pk)):
        found.setdefault(row.order_id, []).append(row)
    return found


def _owed(order: Order, stands: Standing, papers: list[Invoice], today: date) -> Owed:
    days = [row.due_on for row in papers if row.due_on]
    due_on = min(days) if days else None
    late = bool(due_on and due_on < today and stands.due)
    return Owed(order, stands, ", ".join(row.number for row in papers), due_on, late)


def statement_pdf(found: Statement, house: House) -> bytes:
    """The statement as PDF: the open orders and what they come to."""
    with speaking_as(house, found.customer.language):
        return pdf("money", _data(found, house), house.sheet)


def _data(found: Statement, house: House) -> dict[str, Any]:
    customer = found.customer
    overdue = [(_("Of it overdue"), written(found.overdue, house.currency))]
    return {
        "lang": (get_language() or "en").split("-")[0],
        "title": _("Statement"),
        "shop": house.name,
        "foot": " · ".join(_lines(house.name, house.address, house.email, house.phone)),
        "to": _("For"),
        "buyer": "\n".join(_lines(customer.full_name, customer.address)),
        "facts": [(_("Date"), dated(found.today, "full"))],
        "because": "" if found.open_rows else _("Nothing is open."),
        "columns": [_("Order"), _("To be paid by"), _("To pay"), _("Paid"), _("Open")],
        "lines": [_line(row, house.currency) for row in found.open_rows],
        "sums": [],
        "total": [_("Open"), written(found.balance, house.currency)],
        "after": overdue if found.overdue else [],
        "left": [],
        "pay_head": _("How to pay"),
        "pay": "",
    }


def _line(row: Owed, currency: str) -> list[str]:
    name = f"{row.order.number} · {row.numbers}" if row.numbers else row.order.number
    reference = f"\n{row.order.reference}" if row.order.reference else ""
    day = dated(row.due_on, "brief") if row.due_on else "–"
    stands = row.stands
    sums = (stands.charged or 0, stands.received + stands.written_off, stands.balance)
    return [name + reference, day, *(written(amount, currency) for amount in sums)]


def _lines(*texts: str) -> list[str]:
    return [line.strip() for text in texts for line in text.splitlines() if line.strip()]
