"""What the page of an order's money shows."""

from dataclasses import dataclass, field
from datetime import date

from builds.desk.queries.margin import Leaves, margins
from builds.desk.queries.orders import Sheet, order_sheet
from builds.desk.queries.papers import Shown, papers_of, receipted
from builds.dispatch.queries.going import Part, parts_to_go
from shop.house.models import House
from shop.orders.models import Item, Order, Payment
from shop.orders.queries.ledger import Standing, ledger, standing


@dataclass(frozen=True)
class Row:
    """One line of the ledger, with what stands beside it."""

    payment: Payment
    is_taken_back: bool

    @property
    def is_out(self) -> bool:
        """Whether the sum counts against what came."""
        goes = self.payment.kind in {"refund", "written-off"}
        return goes is (self.payment.takes_back_id is None)


@dataclass(frozen=True)
class Money:
    """All that the page of an order's money shows."""

    sheet: Sheet
    stands: Standing
    rows: list[Row]
    currency: str
    today: date
    papers: list[Shown] = field(default_factory=list)
    receipts: set[int] = field(default_factory=set)
    leaves: list[Leaves] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)

    @property
    def order(self) -> Order:
        """The order."""
        return self.sheet.order

    @property
    def items(self) -> dict[str, tuple[Item, str]]:
        """The order's items by their key, with their names."""
        return self.sheet.items


def money_of(number: str, house: House, today: date) -> Money | None:
    """An order's money by the order's number."""
    sheet = order_sheet(number)
    if sheet is None:
        return None
    rows = [
        Row(payment, getattr(payment, "taken_back_by", None) is not None)
        for payment in ledger(sheet.order)
    ]
    papers, stands = papers_of(sheet.order), standing(sheet.order)
    return Money(
        sheet=sheet,
        stands=stands,
        rows=rows,
        currency=house.currency,
        today=today,
        papers=papers,
        receipts=receipted([shown.paper for shown in papers]),
        leaves=margins(sheet, stands, house),
        parts=parts_to_go(sheet.order),
    )
