"""The money of the demo shop: its rules, deposits, invoices, one refund, one trade customer."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.desk.actions.shop import change_shop
from builds.dispatch.actions.customs import ToCustoms, tell_customs
from builds.dispatch.models import Parcel
from builds.dispatch.queries.customs import customs_of
from builds.progress.models import Build
from shop.house.models import House
from shop.house.queries import house
from shop.orders.actions.accounts import keep_account
from shop.orders.actions.papers import give_receipt, issue
from shop.orders.actions.payments import pay
from shop.orders.models import Order, Paid, Payment, Way
from shop.orders.queries.invoicing import PaperLine

RULES = {
    "tax_number": "GB 000 0000 00",
    "tax_hundredths": 2000,
    "how_to_pay": "By bank transfer to Larkhill Works, sort code 00-00-00, account 00012345.\n"
    "Amount: $amount $currency. Please name $number.",
    "customs_words": "Prop hilt of metal with battery, light and sound, worked on for its owner",
    "origin": "GB",
    "tariff_code": "0000.00.00",  # invented: a shop asks its customs office
}
TAX = 2000
TRADE = "Tallow Bridge"  # its owner keeps several, and pays by the month


@dataclass(frozen=True)
class Came:
    """Money of an order, so many working days ago."""

    hilt: str
    kind: Paid
    amount: int
    way: Way
    ago: int
    reference: str = ""
    because: str = ""


@dataclass(frozen=True)
class Billed:
    """An invoice of an order, so many working days ago."""

    hilt: str
    ago: int
    lines: tuple[tuple[str, str, int], ...]


CAME = (
    Came("Weir House", Paid.DEPOSIT, 31_000, Way.TRANSFER, 35, "WEIR HOUSE 1 of 2"),
    Came("Weir House", Paid.PAYMENT, 31_000, Way.TRANSFER, 2, "WEIR HOUSE 2 of 2"),
    Came("Copperfen", Paid.DEPOSIT, 31_700, Way.TRANSFER, 27, "COPPERFEN"),
    Came("Long Quiet", Paid.DEPOSIT, 36_100, Way.ONLINE, 26, "payment page, 51c7"),
    Came("Saltmarsh No. 3", Paid.DEPOSIT, 16_200, Way.TRANSFER, 31, "SALTMARSH 3"),
    Came("Heron two-piece", Paid.DEPOSIT, 32_400, Way.TRANSFER, 23, "HERON"),
    Came("Brindle", Paid.DEPOSIT, 29_750, Way.CASH, 15, "at the counter"),
    Came("Kestrel first", Paid.DEPOSIT, 57_500, Way.TRANSFER, 10, "KESTREL PAIR"),
    Came("Fallow Light", Paid.DEPOSIT, 4_800, Way.ONLINE, 18, "payment page, 40b1"),
    Came("Fallow Light", Paid.REFUND, 4_800, Way.ONLINE, 13, "", "withdrawn before work began"),
    Came("Bell Rope", Paid.PAYMENT, 11_500, Way.CARD, 6, "terminal 2, slip 118"),
)
BILLED = (
    Billed(
        "Weir House",
        4,
        (
            ("Full install: sound board, two switches, charging port", "1", 31_000),
            ("Hours at the bench, removable chassis", "7.5", 3_800),
            ("Postage, tracked and insured", "1", 2_500),
        ),
    ),
    Billed(
        "Bell Rope",
        6,
        (("Repair after a drop", "1", 9_000), ("Speaker 28", "1", 2_500)),
    ),
    Billed(
        TRADE,
        8,
        (("Upgrade: board and speaker, on account", "1", 21_000), ("Hours", "2.5", 3_600)),
    ),
)


def rules(crew: Crew, days: Days) -> None:
    """How the shop counts, and how it is paid."""
    shop: House = house()
    for name, value in RULES.items():
        setattr(shop, name, value)
    change_shop(shop, sorted(RULES), by=crew.oda, now=days.back(59, 9, 30))


def to_customs(parcel: Parcel, crew: Crew, now: datetime, *, worth: int | None) -> None:
    """What the customs are told of a parcel; where nobody said its worth, that is missing."""
    shop = house()
    if customs_of(parcel, shop):
        told = ToCustoms(shop.customs_words, shop.origin, shop.tariff_code, worth)
        tell_customs(parcel.pk, told, seen=0, by=crew.oda, now=now)


def keep_books(made: Mapping[str, Build], crew: Crew, days: Days) -> None:
    """Put in what was invoiced, what came and what went back."""
    trade = made[TRADE].item.order.customer
    terms = {"days": 30, "discount_hundredths": 500, "hour_minor": 3_600, "limit_minor": 150_000}
    keep_account(trade, terms, by=crew.oda, now=days.back(50, 10, 0))
    for billed in sorted(BILLED, key=lambda each: -each.ago):
        _bill(billed, made[billed.hilt].item.order, crew, days)
    for came in CAME:
        row = _book(came, made[came.hilt], crew, days)
        if came.kind == Paid.DEPOSIT:
            at = days.back(came.ago, 9, 41)
            give_receipt(row, token=_token("receipt", came), by=crew.oda, now=at)


def _bill(billed: Billed, order: Order, crew: Crew, days: Days) -> None:
    lines = [PaperLine(words, Decimal(count), each, TAX) for words, count, each in billed.lines]
    at = days.back(billed.ago, 16, 20)
    issue(order, lines, token=token("invoice", billed.hilt), by=crew.oda, now=at)


def _book(came: Came, build: Build, crew: Crew, days: Days) -> Payment:
    at = days.back(came.ago, 9, 40)
    return pay(
        build.item.order,
        came.kind,
        came.amount,
        came.way,
        came.reference,
        at.date(),
        token=_token("paid", came),
        by=crew.oda,
        now=at,
        item=build.item if came.because else None,
        because=came.because,
    )


def _token(deed: str, came: Came) -> UUID:
    return token(deed, f"{came.hilt} {came.kind}")
