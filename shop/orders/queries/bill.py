"""What a customer sees of the money of an order: what is open, how to pay it, their papers."""

from dataclasses import dataclass
from string import Template

from shop.house.models import House
from shop.orders.models import Invoice, Order
from shop.orders.queries.ledger import Standing, standing
from shop.web.money import typed


@dataclass(frozen=True)
class Bill:
    """The money of an order as its customer sees it."""

    stands: Standing
    papers: list[Invoice]
    how_to_pay: str
    currency: str

    @property
    def asks(self) -> int:
        """What is to be paid now: the deposit first, then what is open."""
        return self.stands.deposit_due or self.stands.due


def bill(order: Order, house: House) -> Bill | None:
    """What an order's customer sees of its money; None where there is nothing of it."""
    stands = standing(order)
    papers = list(order.invoices.order_by("-at", "-pk"))
    if not stands.is_of_money and not papers:
        return None
    asked = Bill(stands, papers, "", house.currency)
    return Bill(stands, papers, how_to_pay(house, asked.asks, order.number), house.currency)


def how_to_pay(house: House, amount: int, number: str) -> str:
    """The shop's words with the sum and the number put in; nothing where nothing is to be paid."""
    if amount <= 0:
        return ""
    known = {"amount": typed(amount, house.currency), "number": number, "currency": house.currency}
    return Template(house.how_to_pay).safe_substitute(known)
