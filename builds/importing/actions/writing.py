"""Writes what a row wishes, by the deeds of the rooms that the things live in."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Protocol
from uuid import UUID, uuid5

from builds.hilts.actions import add_hilt
from builds.hilts.models import Hilt
from builds.importing.queries.checks.line import Wish
from builds.importing.queries.checks.people import key
from builds.importing.states import How
from builds.progress import actions as progress
from builds.progress.linking import order_link
from builds.queue import actions as queue
from shop.orders.actions import add_item, place_order
from shop.orders.models import ItemKind
from shop.people.actions import add_customer
from shop.people.models import Customer, User
from shop.stores import actions as stores
from shop.stores.actions.parts import add_part
from shop.stores.actions.stock import count, receive
from shop.stores.actions.suppliers import add_supplier, bring_supplier_back
from shop.stores.models import Supplier

_PERSON = ("called", "full_name", "email", "phone", "address", "country", "note")


class RowRefused(Exception):
    """A room refused a row, which the dry run had let by: the shop has moved on."""


@dataclass(frozen=True)
class Thing:
    """What was made or changed, by the key that history knows it by."""

    about: str
    how: str = How.NEW
    before: dict[str, Any] = field(default_factory=dict)


class Writer(Protocol):
    """Writes the rows of one kind of sheet, one after the other."""

    def write(self, wish: Wish) -> list[Thing]:
        """Everything that one row makes."""


@dataclass
class _Writes:
    """Whose deed it is, when, and the token that each row's own is made from."""

    token: UUID
    by: User
    now: datetime

    def mark(self, row: int, what: str = "") -> UUID:
        """The row's own token: the same row written twice is one."""
        return uuid5(self.token, f"{row}{what}")


class Customers(_Writes):
    """Rows that are customers."""

    def write(self, wish: Wish) -> list[Thing]:
        """The customer."""
        customer = add_customer(_facts(wish), self.by, self.now)
        return [Thing(f"customer:{customer.pk}")]


def _facts(wish: Wish) -> dict[str, Any]:
    return {name: wish.facts[name] for name in _PERSON}


class Orders(_Writes):
    """Rows that are open orders."""

    def __init__(self, token: UUID, by: User, now: datetime) -> None:
        super().__init__(token, by, now)
        self.come: dict[str, Customer] = {}  # those whom earlier rows brought
        self.hilts: dict[tuple[int, str], Hilt] = {}

    def write(self, wish: Wish) -> list[Thing]:
        """The customer where we have none, the order, its item, the hilt, the build."""
        customer, things = self._whose(wish)
        facts = wish.facts
        order = place_order(
            customer,
            token=self.mark(wish.row),
            by=self.by,
            now=self.now,
            needed_by=facts["needed_by"],
            price_note=facts["price_note"],
            note=facts["order_note"],
            reference=facts["reference"],
        )
        item = add_item(order, ItemKind.JOB, facts["wanted"], self.by, self.now)
        things += [Thing(f"order:{order.pk}"), Thing(f"item:{item.pk}")]
        hilt = self._hilt(customer, facts["hilt"], things)
        try:
            build = progress.book(
                item,
                hilt=hilt,
                kind=facts["kind"],
                leaves_by=facts["leaves_by"],
                by=self.by,
                now=self.now,
            )
            if facts["promised"]:
                # It was told before the shop worked with this: nobody knows with what odds.
                queue.promise_with(
                    build, facts["promised"], None, reason="", by=self.by, now=self.now
                )
        except (progress.Refused, queue.Refused) as error:
            raise RowRefused(str(error)) from error
        order_link(order, self.now)
        return [*things, Thing(build.about)]

    def _whose(self, wish: Wish) -> tuple[Customer, list[Thing]]:
        if wish.facts["customer"]:
            return wish.facts["customer"], []
        mark = key(wish.facts)
        if mark in self.come:
            return self.come[mark], []
        customer = add_customer(_facts(wish), self.by, self.now)
        self.come[mark] = customer
        return customer, [Thing(f"customer:{customer.pk}")]

    def _hilt(self, customer: Customer, name: str, things: list[Thing]) -> Hilt | None:
        if not name:
            return None
        mark = (customer.pk, name.casefold())
        known = self.hilts.get(mark)
        if known is None:
            known = Hilt.objects.filter(customer=customer, name_folded=mark[1]).first()
        if known is None:
            known = add_hilt(customer, name, self.by, self.now)
            things.append(Thing(known.about))
        self.hilts[mark] = known
        return known


class Parts(_Writes):
    """Rows that are parts."""

    def __init__(self, token: UUID, by: User, now: datetime) -> None:
        super().__init__(token, by, now)
        self.come: dict[str, Supplier] = {}

    def write(self, wish: Wish) -> list[Thing]:
        """The part with its figures, and its supplier where we did not know it."""
        things: list[Thing] = []
        facts = wish.facts
        supplier = self._supplier(wish, things)
        names = ("name", "counted", "supplier_ref", "pack", "cost_minor", "price_minor", "note")
        try:
            part = add_part(
                facts["kind"],
                {**{name: facts[name] for name in names}, "supplier": supplier},
                spec=facts["spec"],
                stated=facts["stated"],
                source=facts["source"],
                token=self.mark(wish.row),
                by=self.by,
                now=self.now,
            )
        except stores.Refused as error:
            raise RowRefused(str(error)) from error
        return [*things, Thing(part.about)]

    def _supplier(self, wish: Wish, things: list[Thing]) -> Supplier | None:
        name = wish.facts["supplier"]
        known: Supplier | None = wish.facts["supplier_known"]
        if not name:
            return None
        mark = name.casefold()
        if mark in self.come:
            return self.come[mark]
        if known is None:
            token = self.mark(wish.row, "supplier")
            known = add_supplier({"name": name}, token=token, by=self.by, now=self.now)
            things.append(Thing(known.about))
        elif known.retired:
            known = bring_supplier_back(known.pk, by=self.by, now=self.now)
            things.append(Thing(known.about, How.CHANGED))
        self.come[mark] = known
        return known


class Stock(_Writes):
    """Rows that are stock."""

    def write(self, wish: Wish) -> list[Thing]:
        """A line of the ledger."""
        facts, part = wish.facts, wish.facts["part"]
        level = part.level
        how: dict[str, Any] = {"token": self.mark(wish.row), "by": self.by, "now": self.now}
        try:
            if facts["way"] == "received":
                row = receive(
                    part,
                    facts["many"],
                    reason=facts["reason"],
                    cost_minor=facts["cost_minor"],
                    **how,
                )
            else:
                row = count(part, facts["many"], seen=level.on_hand, reason=facts["reason"], **how)
        except stores.Refused as error:
            raise RowRefused(str(error)) from error
        before = {"on_hand": level.on_hand, "row": row.pk}
        return [Thing(part.about, How.CHANGED, before)]


WRITERS: Mapping[str, Callable[[UUID, User, datetime], Writer]] = {
    "customers": Customers,
    "orders": Orders,
    "parts": Parts,
    "stock": Stock,
}
