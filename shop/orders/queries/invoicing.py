"""What an invoice is made of before it is issued: its lines, and what they come to."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from shop.house.models import House
from shop.house.states import Prices, Rounding
from shop.orders.models import Order, Quote, QuoteState
from shop.orders.pricing import Discount, Line, Tax, total
from shop.orders.queries.figures import in_currency, in_minor, in_percent


@dataclass(frozen=True)
class PaperLine:
    """So many at so much each, in minor units, taxed in hundredths of a per cent."""

    words: str
    quantity: Decimal
    each_minor: int
    tax_hundredths: int = 0


@dataclass(frozen=True)
class Off:
    """What is taken off the whole: hundredths of a per cent, or an amount."""

    hundredths: int = 0
    minor: int = 0


def agreed_quote(order: Order) -> Quote | None:
    """The newest revision that the customer accepted."""
    return order.quotes.filter(state=QuoteState.ACCEPTED).order_by("-revision").first()


def lines_of(quote: Quote) -> list[PaperLine]:
    """The lines of a quote with their high quantities."""
    return [
        PaperLine(
            line.words,
            Decimal(line.quantity_thousandths) / 1000,
            line.each_minor,
            line.tax_hundredths,
        )
        for line in quote.lines.all()
    ]


def worked_out(lines: Sequence[PaperLine], off: Off, house: House) -> dict[str, Any]:
    """Lines, discount, tax by rate and sums as they are kept: whole minor units.

    :raises ValueError: where the discount is more than the whole.
    """
    currency = house.currency
    counted = [
        Line(line.quantity, in_currency(line.each_minor, currency), in_percent(line.tax_hundredths))
        for line in lines
    ]
    discount = Discount(in_percent(off.hundredths), in_currency(off.minor, currency))
    tax = Tax(Prices(house.prices), Rounding(house.rounding))
    came = total(counted, discount, tax, currency)
    return {
        "prices": str(house.prices),
        "lines": [
            {
                "words": line.words,
                "quantity": f"{line.quantity.normalize():f}",
                "each": line.each_minor,
                "tax": line.tax_hundredths,
                "sum": in_minor(amount, currency),
            }
            for line, amount in zip(lines, came.lines, strict=True)
        ],
        "discount": in_minor(came.discount, currency),
        "rates": [
            {
                "tax": int(rate.tax_percent * 100),
                "net": in_minor(rate.net, currency),
                "of_tax": in_minor(rate.tax, currency),
            }
            for rate in came.by_rate
        ],
        "net": in_minor(came.net, currency),
        "of_tax": in_minor(came.tax, currency),
        "gross": in_minor(came.gross, currency),
    }


def turned_round(figures: dict[str, Any]) -> dict[str, Any]:
    """The same figures below nothing, as a credit note has them."""
    lines = [{**line, "sum": -line["sum"]} for line in figures["lines"]]
    rates = [{**rate, "net": -rate["net"], "of_tax": -rate["of_tax"]} for rate in figures["rates"]]
    sums = {name: -figures[name] for name in ("discount", "net", "of_tax", "gross")}
    return {**figures, **sums, "lines": lines, "rates": rates}
