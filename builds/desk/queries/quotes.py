"""Reads for writing a quote: its first lines, what a kit or part comes to, what it adds up to."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from builds.desk.queries.orders import Sheet
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.orders.actions import LineFacts
from shop.orders.models import Item, LineOf, Quote
from shop.orders.queries import (
    figures,
    kit_price,
    part_price,
    percent,
    rate_of,
    rule_of,
    span,
    sums_of,
    text_of,
)
from shop.stores.kinds import Counted
from shop.stores.models import Kit, Part


@dataclass(frozen=True)
class Rules:
    """How a draft counts, with a discount that is not kept yet."""

    currency: str
    prices: str
    rounding: str
    discount_hundredths: int
    discount_minor: int


@dataclass(frozen=True)
class Peek:
    """What a quote adds up to as it is typed; nothing where something is typed wrongly."""

    span: str = ""
    currency: str = ""
    discount: int = 0
    taxes: Sequence[tuple[str, int]] = ()
    ceiling: int = 0
    deposit: int = 0
    why: str = ""

    @classmethod
    def of(cls, quote: Quote) -> "Peek":
        """What a kept draft adds up to."""
        if not quote.high_minor:
            return cls()
        sums = sums_of(quote, quote.lines.all())
        return cls(
            span(sums.low, sums.high, quote.currency),
            quote.currency,
            sums.discount,
            [(percent(each.tax_hundredths), each.tax) for each in sums.by_rate],
            quote.ceiling_minor or 0,
            quote.deposit_minor,
        )


def peek(lines: Sequence[LineFacts], terms: dict[str, Any], quote: Quote, shop: House) -> Peek:
    """What lines that are not kept yet add up to."""
    rules = Rules(
        quote.currency,
        quote.prices,
        quote.rounding,
        terms["discount_hundredths"],
        terms["discount_minor"],
    )
    try:
        sums = figures(lines, rules)
    except ValueError:
        return Peek(why=_("The discount is more than the whole at its low figure."))
    by_rule = rule_of(quote, shop, sums.high)
    ceiling, deposit = terms.get("ceiling_minor"), terms.get("deposit_minor")
    return Peek(
        span(sums.low, sums.high, quote.currency),
        quote.currency,
        sums.discount,
        [(percent(each.tax_hundredths), each.tax) for each in sums.by_rate],
        by_rule[0] if ceiling is None else ceiling,
        by_rule[1] if deposit is None else deposit,
    )


def first_lines(quote: Quote, sheet: Sheet, shop: House) -> list[dict[str, Any]]:
    """What an empty draft begins with: hours for each job, goods at the price of their part."""
    rate = rate_of(getattr(quote.order.customer, "account", None), shop)
    tax = Decimal(shop.tax_hundredths) / 100
    lines: list[dict[str, Any]] = []
    for line in sheet.lines:
        is_job = line.build is not None
        lines.append(
            {
                "kind": LineOf.HOURS if is_job else LineOf.EXTRA,
                "words": _first_words(line.item.wanted),
                "quantity": None if is_job else Decimal(line.item.quantity),
                "each": (rate or None) if is_job else _price_of(line.item),
                "tax": tax,
                "item": str(line.item.pk),
            }
        )
    return lines


def _price_of(goods: Item) -> int | None:
    """What one is sold for, where it stands in stores with a price."""
    return part_price(goods.part, 1) if goods.part else None


def _first_words(wanted: str) -> str:
    first = wanted.strip().splitlines()[0] if wanted.strip() else ""
    return first if len(first) <= 120 else f"{first[:119]}…"


def kit_line(kit: Kit, quote: Quote, sheet: Sheet, shop: House) -> tuple[LineFacts, list[str]]:
    """A kit as a line, and the names of its parts that have no price."""
    price = kit_price(kit, rate_of(getattr(quote.order.customer, "account", None), shop))
    line = _one(LineOf.KIT, kit.name, price.minor, sheet, shop, kit=kit)
    return line, price.unpriced


def part_line(part: Part, sheet: Sheet, shop: House) -> LineFacts:
    """A part as a line, at its price; by length, at the price of a metre."""
    each = part_price(part, 1000 if part.counted == Counted.MM else 1) or 0
    return _one(LineOf.PART, part.name, each, sheet, shop, part=part)


def _one(kind: str, words: str, each: int, sheet: Sheet, shop: House, **of: Any) -> LineFacts:
    return LineFacts(kind, words, 1000, 1000, each, shop.tax_hundredths, item=job_of(sheet), **of)


def job_of(sheet: Sheet) -> Item | None:
    """The job of an order that has just one."""
    jobs = [line.item for line in sheet.lines if line.build]
    return jobs[0] if len(jobs) == 1 else None


def read_as(quote: Quote, shop: House, today: date) -> str:
    """A draft's text as it would be sent today."""
    lines = list(quote.lines.all())
    quote.valid_until = quote.valid_until or today + timedelta(days=shop.quote_days)
    with speaking_as(shop, quote.order.customer.language):
        return text_of(quote, lines, sums_of(quote, lines), shop.name, today)
