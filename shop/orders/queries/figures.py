"""What a quote comes to: from its lines and the shop's rules to whole minor units."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from shop.house.models import House
from shop.house.states import Prices, Rounding
from shop.orders.models import Account, Quote, QuoteKind, QuoteState
from shop.orders.pricing import AtRate, Discount, Line, Tax, Total, rounded, total
from shop.web.money import digits

THOUSAND, HUNDREDTHS = Decimal(1000), Decimal(10_000)


class Counted(Protocol):
    """A line as the sum needs it: kept in the database, or typed and not kept yet."""

    @property
    def words(self) -> str: ...
    @property
    def low_thousandths(self) -> int: ...
    @property
    def quantity_thousandths(self) -> int: ...
    @property
    def each_minor(self) -> int: ...
    @property
    def tax_hundredths(self) -> int: ...


class Terms(Protocol):
    """How a quote counts, and what is taken off the whole."""

    @property
    def currency(self) -> str: ...
    @property
    def prices(self) -> str: ...
    @property
    def rounding(self) -> str: ...
    @property
    def discount_hundredths(self) -> int: ...
    @property
    def discount_minor(self) -> int: ...


@dataclass(frozen=True)
class AtRateMinor:
    """What is taxed at one rate, in minor units."""

    tax_hundredths: int
    net: int
    tax: int


@dataclass(frozen=True)
class Figures:
    """What it comes to with the low and with the high quantities, in minor units."""

    low: int
    high: int
    tax: int
    discount: int
    lines: tuple[tuple[int, int], ...]  # low and high of each
    by_rate: tuple[AtRateMinor, ...]

    @property
    def is_range(self) -> bool:
        """Whether low and high differ."""
        return self.low != self.high


def figures(lines: Sequence[Counted], terms: Terms) -> Figures:
    """The low and the high figure of lines.

    :raises ValueError: the discount is more than the whole.
    """
    low = _total(lines, [line.low_thousandths for line in lines], terms)
    high = _total(lines, [line.quantity_thousandths for line in lines], terms)
    currency = terms.currency
    return Figures(
        low=in_minor(low.gross, currency),
        high=in_minor(high.gross, currency),
        tax=in_minor(high.tax, currency),
        discount=in_minor(high.discount, currency),
        lines=tuple(
            (in_minor(one, currency), in_minor(other, currency))
            for one, other in zip(low.lines, high.lines, strict=True)
        ),
        by_rate=tuple(_at_rate(each, currency) for each in high.by_rate if each.tax_percent),
    )


def _total(lines: Iterable[Counted], quantities: Iterable[int], terms: Terms) -> Total:
    counted = [
        Line(
            Decimal(quantity) / THOUSAND,
            in_currency(line.each_minor, terms.currency),
            in_percent(line.tax_hundredths),
            line.words,
        )
        for line, quantity in zip(lines, quantities, strict=True)
    ]
    discount = Discount(
        in_percent(terms.discount_hundredths), in_currency(terms.discount_minor, terms.currency)
    )
    return total(
        counted, discount, Tax(Prices(terms.prices), Rounding(terms.rounding)), terms.currency
    )


def _at_rate(each: AtRate, currency: str) -> AtRateMinor:
    hundredths = int(each.tax_percent * 100)
    return AtRateMinor(hundredths, in_minor(each.net, currency), in_minor(each.tax, currency))


def ceiling_by_rule(high: int, house: House) -> int:
    """What the work may come to without asking again, by the shop's rule, from the high figure."""
    return _share(high, 10_000 + house.ceiling_hundredths, house)


def deposit_by_rule(high: int, house: House) -> int:
    """What is to be paid before the work begins, by the shop's rule, from the high figure."""
    if high < house.deposit_from_minor:
        return 0
    return _share(high, house.deposit_hundredths, house)


def rush_by_rule(work: int, house: House) -> int:
    """What it costs to be taken out of turn, by the shop's rule, from what the work comes to."""
    return max(_share(work, house.rush_hundredths, house), house.rush_least_minor)


def rule_of(quote: Quote, house: House, high: int | None = None) -> tuple[int, int]:
    """The ceiling and the deposit that a draft has by itself: by the shop's rules.

    The deposit of a change order is the one that was agreed: it is asked for once.

    :param high: the high figure as it is typed, where that is not kept yet.
    """
    high = quote.high_minor if high is None else high
    before = None
    if quote.kind == QuoteKind.CHANGE:
        accepted = Quote.objects.filter(order=quote.order_id, state=QuoteState.ACCEPTED)
        before = accepted.order_by("-revision").first()
    deposit = before.deposit_minor if before else deposit_by_rule(high, house)
    return ceiling_by_rule(high, house), deposit


def rate_of(account: Account | None, house: House) -> int:
    """What an hour costs this customer, in minor units."""
    if account and account.hour_minor is not None and not account.closed_at:
        return account.hour_minor
    return house.hour_minor


def _share(amount: int, hundredths: int, house: House) -> int:
    share = in_currency(amount, house.currency) * hundredths / HUNDREDTHS
    return in_minor(rounded(share, house.currency, Rounding(house.rounding)), house.currency)


def in_percent(hundredths: int) -> Decimal:
    """Hundredths of a per cent as per cent."""
    return Decimal(hundredths) / 100


def in_currency(amount: int, currency: str) -> Decimal:
    """Minor units as an amount of the currency."""
    return Decimal(amount).scaleb(-digits(currency))


def in_minor(amount: Decimal, currency: str) -> int:
    """A rounded amount of the currency in minor units."""
    return int(amount.scaleb(digits(currency)))
