"""The dry run: each row against the rules of its kind and against what the shop has."""

from collections.abc import Callable, Mapping
from datetime import datetime

from builds.importing.models import Import
from builds.importing.queries.checks import customers, orders, parts, stock
from builds.importing.queries.checks.line import Options, Plan
from builds.importing.sheets import Sheet
from builds.importing.states import Kind
from shop.house.queries import house

CHECKS: Mapping[str, Callable[[Sheet, Options], Plan]] = {
    Kind.CUSTOMERS: customers.plan,
    Kind.ORDERS: orders.plan,
    Kind.PARTS: parts.plan,
    Kind.STOCK: stock.plan,
}


def _nobody(_done: int) -> None:
    """Tells nobody how far it is."""


def plan(one: Import, sheet: Sheet, now: datetime, tick: Callable[[int], None] = _nobody) -> Plan:
    """What each row would make, and everything that is wrong."""
    shop = house()
    options = Options(
        mapping=one.mapping,
        headers=sheet.headers,
        decimals=one.decimals,
        day_order=one.day_order,
        length_unit=one.length_unit,
        uses_ours=one.doubles == "ours",
        currency=shop.currency,
        file_name=one.file_name,
        shop=shop,
        now=now,
        tick=tick,
    )
    return CHECKS[one.kind](sheet, options)


__all__ = ["Plan", "plan"]
