"""What an order comes to: pure sums over decimal amounts; no table, no clock, no settings.

Amounts are ``Decimal`` in the currency itself (not in minor units) and leave as multiples of its
smallest coin (ISO 4217). Every rounding is named: once a line, once a tax rate, never in between.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shop.house.states import Prices, Rounding
from shop.web.money import digits

ZERO, HUNDRED = Decimal(0), Decimal(100)


@dataclass(frozen=True)
class Line:
    """So many at so much each, taxed at a rate in per cent."""

    quantity: Decimal
    each: Decimal
    tax_percent: Decimal = ZERO
    words: str = ""


@dataclass(frozen=True)
class Discount:
    """Off the whole: a share of it in per cent, or an amount; one of the two."""

    percent: Decimal = ZERO
    amount: Decimal = ZERO


@dataclass(frozen=True)
class Tax:
    """How the lines are taxed, and what becomes of half a coin."""

    prices: Prices = Prices.WITHOUT_TAX
    rounding: Rounding = Rounding.HALF_UP


@dataclass(frozen=True)
class AtRate:
    """What is taxed at one rate."""

    tax_percent: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal


@dataclass(frozen=True)
class Total:
    """What it comes to. ``lines`` before the discount; ``net + tax == gross``, always."""

    lines: tuple[Decimal, ...]
    discount: Decimal
    by_rate: tuple[AtRate, ...]
    net: Decimal
    tax: Decimal
    gross: Decimal


def rounded(amount: Decimal, currency: str, rounding: Rounding = Rounding.HALF_UP) -> Decimal:
    """An amount as a multiple of the currency's smallest coin.

    :raises ValueError: on what is no number, or no currency.
    """
    if not amount.is_finite():
        raise ValueError(f"An amount must be a number, not {amount}.")
    return amount.quantize(Decimal(1).scaleb(-digits(currency)), rounding=rounding.value)


def total(
    lines: Iterable[Line],
    discount: Discount | None,
    tax: Tax,
    currency: str,
) -> Total:
    """What lines come to, with a discount on the whole and tax by rate.

    Each line is rounded to a coin. The discount is rounded once and spread over the rates by
    their share, so that the parts add up. Tax is worked out once a rate, on what is left of it:
    ``net × rate`` where prices are without tax, ``gross × rate / (100 + rate)`` where they hold it.

    :raises ValueError: on a negative quantity or rate, or a discount larger than the whole.
    """
    lines, discount = list(lines), discount or Discount()
    for line in lines:
        _check(line)
    sums = tuple(rounded(line.quantity * line.each, currency, tax.rounding) for line in lines)
    rates = sorted({line.tax_percent for line in lines}, reverse=True)
    at = dict.fromkeys(rates, ZERO)
    for amount, line in zip(sums, lines, strict=True):
        at[line.tax_percent] += amount
    whole = sum(sums, ZERO)
    off = _off(discount, whole, currency, tax.rounding)
    shares = split(off, [at[rate] for rate in rates], currency) if off else [ZERO] * len(rates)
    by_rate = tuple(
        _at_rate(rate, at[rate] - share, tax, currency)
        for rate, share in zip(rates, shares, strict=True)
    )
    net = sum((each.net for each in by_rate), ZERO)
    of_tax = sum((each.tax for each in by_rate), ZERO)
    return Total(sums, off, by_rate, net, of_tax, net + of_tax)


def _check(line: Line) -> None:
    if not (line.quantity.is_finite() and line.each.is_finite() and line.tax_percent.is_finite()):
        raise ValueError("A line's quantity, price and tax must be numbers.")
    if line.quantity < 0:
        raise ValueError(f"A quantity must be 0 or more, not {line.quantity}.")
    if line.tax_percent < 0:
        raise ValueError(f"A tax rate must be 0 % or more, not {line.tax_percent}.")


def _off(discount: Discount, whole: Decimal, currency: str, rounding: Rounding) -> Decimal:
    if discount.percent and discount.amount:
        raise ValueError("A discount is a share or an amount, not both.")
    if not (0 <= discount.percent <= HUNDRED and discount.amount >= 0):
        raise ValueError("A discount lies between nothing and the whole.")
    off = rounded(whole * discount.percent / HUNDRED + discount.amount, currency, rounding)
    if off > max(whole, ZERO):
        raise ValueError(f"A discount of {off} is more than the whole, {whole}.")
    return off


def _at_rate(rate: Decimal, amount: Decimal, tax: Tax, currency: str) -> AtRate:
    if tax.prices == Prices.WITH_TAX:
        within = rounded(amount * rate / (HUNDRED + rate), currency, tax.rounding)
        return AtRate(rate, amount - within, within, amount)
    on_top = rounded(amount * rate / HUNDRED, currency, tax.rounding)
    return AtRate(rate, amount, on_top, amount + on_top)


def split(amount: Decimal, parts: int | Sequence[Decimal], currency: str) -> list[Decimal]:
    """An amount in whole coins, in equal parts or by weights; the parts always add up to it.

    What is left after rounding down goes coin by coin to the largest remainders, of equal ones
    to the first (the method of largest remainders, as seats are dealt out).

    :raises ValueError: on no parts, negative weights, weights of nothing, or an amount that is
        no whole number of coins.
    """
    weights = [Decimal(1)] * parts if isinstance(parts, int) else [Decimal(w) for w in parts]
    if not weights or any(not w.is_finite() or w < 0 for w in weights) or not sum(weights):
        raise ValueError("An amount is split into one part or more, by weights of 0 or more.")
    if rounded(amount, currency) != amount:
        raise ValueError(f"{amount} is no whole number of coins in {currency}.")
    coin = Decimal(1).scaleb(-digits(currency))
    return [each * coin for each in deal(int(amount / coin), weights)]


def deal(coins: int, weights: Sequence[Decimal] | Sequence[int]) -> list[int]:
    """Whole coins by weights, as in ``split``; the parts always add up.

    Remainders are compared as fractions: a decimal with an end cannot tell equal ones apart.
    """
    exact = [Fraction(weight) for weight in weights]
    shares = [abs(coins) * weight / sum(exact) for weight in exact]
    dealt = [int(share) for share in shares]
    by_remainder = sorted(range(len(shares)), key=lambda i: (dealt[i] - shares[i], i))
    for i in by_remainder[: abs(coins) - sum(dealt)]:
        dealt[i] += 1
    return [each if coins > 0 else -each for each in dealt]
