"""Prices against published figures, exact fractions, and the standard's own table."""

import random
from decimal import Decimal
from fractions import Fraction

import pytest
from iso4217 import Currency

from shop.house.states import Prices, Rounding
from shop.orders.pricing import Discount, Line, Tax, rounded, split, total
from shop.web.money import digits

D = Decimal


@pytest.mark.parametrize(("currency", "units"), [("JPY", 0), ("USD", 2), ("KWD", 3)])
def test_minor_units_are_the_standards(currency: str, units: int) -> None:
    # ISO 4217, table A.1, as the iso4217 package carries it.
    assert digits(currency) == units == Currency[currency].exponent


@pytest.mark.parametrize(
    ("rounding", "tax"), [(Rounding.HALF_UP, D("10.47")), (Rounding.HALF_EVEN, D("10.46"))]
)
def test_half_a_coin_of_tax_is_rounded_by_the_shops_rule(rounding: Rounding, tax: Decimal) -> None:
    # Closed form: 149.50 × 7 % = 10.465.
    found = total([Line(D(1), D("149.50"), D(7))], None, Tax(rounding=rounding), "USD")
    assert (found.tax, found.gross) == (tax, D("149.50") + tax)


def test_hundred_in_three_is_dealt_to_the_coin() -> None:
    # Closed form.
    assert split(D("100.00"), 3, "USD") == [D("33.34"), D("33.33"), D("33.33")]


def _lines(dice: random.Random, currency: str) -> list[Line]:
    coin = D(1).scaleb(-digits(currency))
    rates = [D(0), D("5.5"), D(7), D(19), D(20)]
    return [
        Line(D(dice.randint(0, 40)) / 4, dice.randint(0, 90_000) * coin, dice.choice(rates))
        for _i in range(dice.randint(1, 9))
    ]


def _exact_tax(lines: list[Line], sums: tuple[Decimal, ...], rate: Decimal) -> Fraction:
    whole = sum(
        Fraction(s) for s, line in zip(sums, lines, strict=True) if line.tax_percent == rate
    )
    return whole * Fraction(rate) / 100


@pytest.mark.parametrize("seed", range(4))
def test_tax_of_random_orders_is_the_exact_one_to_half_a_coin(seed: int) -> None:
    """Exact fractions (standard library) on 4 × 300 orders: within half a coin a rate."""
    dice = random.Random(seed)
    for _i in range(300):
        currency = dice.choice(["JPY", "USD", "KWD", "EUR"])
        lines = _lines(dice, currency)
        found = total(lines, None, Tax(), currency)
        half = Fraction(1, 2 * 10 ** digits(currency))
        for at in found.by_rate:
            assert abs(Fraction(at.tax) - _exact_tax(lines, found.lines, at.tax_percent)) <= half
        assert found.net + found.tax == found.gross
        assert found.net == sum(found.lines)


@pytest.mark.parametrize("seed", range(4))
def test_tax_inside_a_price_leaves_the_price_as_it_stands(seed: int) -> None:
    dice = random.Random(seed)
    for _i in range(300):
        lines = _lines(dice, "EUR")
        off = Discount(percent=D(dice.randint(0, 100)))
        found = total(lines, off, Tax(Prices.WITH_TAX), "EUR")
        assert found.gross == sum(found.lines) - found.discount
        assert all(at.gross >= at.net >= 0 for at in found.by_rate)


@pytest.mark.parametrize("seed", range(4))
def test_parts_add_up_and_are_a_coin_off_at_most(seed: int) -> None:
    """Exact fractions on 4 × 300 amounts: the whole is kept, each part within one coin."""
    dice = random.Random(seed)
    for _i in range(300):
        currency = dice.choice(["JPY", "USD", "KWD"])
        coin = D(1).scaleb(-digits(currency))
        amount = dice.randint(-500_000, 500_000) * coin
        weights = [D(dice.randint(0, 60)) for _w in range(dice.randint(1, 8))]
        if not sum(weights):
            continue
        parts = split(amount, weights, currency)
        assert sum(parts) == amount
        for part, weight in zip(parts, weights, strict=True):
            share = Fraction(amount) * Fraction(weight) / Fraction(sum(weights))
            assert abs(Fraction(part) - share) < Fraction(coin)


REFUSED = [
    (lambda: rounded(D("NaN"), "USD"), "must be a number"),
    (lambda: rounded(D(1), "XAU"), "no currency"),
    (lambda: total([Line(D(-1), D(5))], None, Tax(), "USD"), "0 or more"),
    (lambda: total([Line(D(1), D(5), D(-7))], None, Tax(), "USD"), "tax rate"),
    (lambda: total([Line(D(1), D("Infinity"))], None, Tax(), "USD"), "must be numbers"),
    (lambda: total([Line(D(1), D(5))], Discount(amount=D(6)), Tax(), "USD"), "more than the whole"),
    (lambda: total([Line(D(1), D(5))], Discount(D(101)), Tax(), "USD"), "between nothing"),
    (lambda: total([Line(D(1), D(5))], Discount(D(1), D(1)), Tax(), "USD"), "not both"),
    (lambda: split(D(1), 0, "USD"), "one part"),
    (lambda: split(D(1), [D(0), D(0)], "USD"), "one part"),
    (lambda: split(D(1), [D(-1), D(2)], "USD"), "one part"),
    (lambda: split(D("0.005"), 2, "USD"), "no whole number"),
]


@pytest.mark.parametrize(("deed", "words"), REFUSED, ids=[words for _deed, words in REFUSED])
def test_impossible_sum_is_refused_in_words(deed, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=words):
        deed()
