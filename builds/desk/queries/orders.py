"""Reads for the desk: customers, orders, their builds and messages, in a constant number."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from functools import reduce
from operator import or_
from uuid import UUID

from django.db.models import F, Prefetch, Q, QuerySet, Value

from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcel_of
from builds.hilts.models import Blade, Hilt
from builds.hilts.queries.blades import blades_of
from builds.progress.models import Build
from builds.progress.states import FINISHED, STAGES, State
from builds.queue.queries import promises
from shop.house.models import House
from shop.orders.models import Answer, Item, Order
from shop.orders.queries import orders
from shop.people.models import Customer
from shop.post.models import Message, PrivateLink
from shop.post.queries import links_to, url_of
from shop.web.paging import OneAfterTheOther
from shop.web.prefix import begins, plain

LONGEST = 20  # signs of a key that are looked at: Python reads no number of thousands
SHOWN = 8  # customers offered at once: what fits a phone above the fold


def named(text: str, path: str = "") -> Q:
    """Customers whose name, family name or e-mail begins with a text."""
    return reduce(or_, named_by(text, path).values())


def named_by(text: str, path: str = "") -> dict[str, Q]:
    """The same, each column by itself."""
    found = {path + "email_folded": begins(path + "email_folded", text)}
    for column in ("called_folded", "name_folded", "family_folded"):
        found[path + column] = begins(path + column, plain(text))
    return found


def customers(text: str = "") -> QuerySet[Customer]:
    """Customers by name; all of them where no text is given."""
    rows = Customer.objects.filter(erased_at=None)
    rows = rows.order_by("called_folded", "name_folded", "pk")
    return rows.filter(named(text)) if text.strip() else rows


def customers_called(name: str) -> list[Customer]:
    """Those of exactly a name, as far as two: one alone can be meant."""
    if not name.strip():
        return []
    return list(customers().filter(name_folded=plain(name))[:2])


def customers_to_choose(text: str, chosen: str) -> list[Customer]:
    """A few customers that a text means, or the newest; the chosen one stays among them."""
    newest = Customer.objects.filter(erased_at=None).order_by("-since", "-pk")
    rows = customers(text) if text.strip() else newest
    found = list(rows[:SHOWN])
    chosen = chosen[:LONGEST]
    if chosen.isdecimal() and int(chosen) not in {customer.pk for customer in found}:
        found = [*Customer.objects.filter(pk=chosen), *found]
    return found


def customer_with_email(email: str, but: int | None = None) -> Customer | None:
    """The customer who has an address already."""
    if not email:
        return None
    return Customer.objects.filter(email_folded=email.casefold()).exclude(pk=but or 0).first()


def hilts_of(customer: Customer | None) -> list[Hilt]:
    """A customer's hilts, by name."""
    if customer is None:
        return []
    return list(Hilt.objects.filter(customer=customer).order_by("name_folded", "pk"))


def order_placed(token: UUID | None) -> Order | None:
    """The order that a form with this token placed."""
    return Order.objects.filter(token=token).first() if token else None


def order_rows(text: str = "") -> OneAfterTheOther:
    """Orders with their items and builds: open ones first, by the day that they are needed."""
    text = text.strip()
    return _open_first(begins("number", text) | named(text, "customer__") if text else Q())


def _open_first(which: Q) -> OneAfterTheOther:
    going = Build.objects.filter(state__in=STAGES).values("item__order")
    rows = orders().filter(which)
    by_need = (F("needed_by").asc(nulls_last=True), "-placed_at", "-pk")
    still_open = rows.filter(pk__in=going).annotate(is_open=Value(True)).order_by(*by_need)
    rest = rows.exclude(pk__in=going).annotate(is_open=Value(False))
    return OneAfterTheOther([still_open, rest], _items())


def _items() -> Prefetch:
    items = Item.objects.select_related("build__hilt", "build__tray", "part").order_by("pk")
    return Prefetch("items", queryset=items, to_attr="rows")


@dataclass(frozen=True)
class Line:
    """One item of an order as its page shows it."""

    item: Item
    build: Build | None
    promised: date | None
    name: str
    parcel: Parcel | None = None


@dataclass(frozen=True)
class Sheet:
    """All that the page of an order shows."""

    order: Order
    lines: list[Line]
    answers: list[Answer]
    messages: list[Message]
    items: dict[str, tuple[Item, str]] = field(default_factory=dict)

    @property
    def is_expected(self) -> bool:
        """Whether a hilt of this order is still to be posted to the shop."""
        builds = [line.build for line in self.lines if line.build]
        return any(build.hilt and build.state == State.BOOKED for build in builds)


def build_of(item: Item) -> Build | None:
    """The build of an item that was read with it; None for goods."""
    return getattr(item, "build", None)


def order_sheet(number: str) -> Sheet | None:
    """An order by its number, with everything on it."""
    order = orders().prefetch_related(_items()).filter(number=number).first()
    if order is None:
        return None
    items: list[Item] = order.rows  # type: ignore[attr-defined]
    lines = _lines(items)
    return Sheet(
        order=order,
        lines=lines,
        answers=answers_of(items),
        messages=messages_about(order, [line.build for line in lines if line.build]),
        items={str(line.item.pk): (line.item, line.name) for line in lines},
    )


def link_of(order: Order) -> PrivateLink | None:
    """The customer's private link to an order, if it was made."""
    return PrivateLink.objects.filter(about=f"order:{order.pk}").first()


def _lines(items: list[Item]) -> list[Line]:
    builds = [build for item in items if (build := build_of(item))]
    told = promises(build.pk for build in builds)
    packed = parcel_of(build.pk for build in builds)
    lines = []
    for item in items:
        build = build_of(item)
        promise = told.get(build.pk) if build else None
        day, parcel = promise.day if promise else None, packed.get(build.pk) if build else None
        lines.append(Line(item, build, day, _name(item, build), parcel))
    return lines


def _name(item: Item, build: Build | None) -> str:
    if build is None:
        return item.wanted.splitlines()[0][:60]
    return f"{build.hilt or build.get_kind_display()} · {build}"


def answers_of(items: list[Item]) -> list[Answer]:
    """The answers to an order's items, the newest first."""
    found = Answer.objects.filter(item__in=[item.pk for item in items])
    return list(found.select_related("recorded_by", "item__build__hilt").order_by("-at", "-pk"))


def messages_about(order: Order, builds: Iterable[Build], at_most: int = 20) -> list[Message]:
    """The newest messages about an order and its builds."""
    keys = [f"order:{order.pk}", *(build.about for build in builds)]
    found = Message.objects.filter(about__in=keys).select_related("customer")
    return list(found.order_by("-made_at", "-pk")[:at_most])


@dataclass(frozen=True)
class Person:
    """All that the page of a customer shows."""

    customer: Customer
    hilts: list[Hilt]
    blades: list[Blade]
    orders: list[Order]
    messages: list[Message]


def person(pk: int) -> Person | None:
    """A customer, with hilts, orders and the newest messages."""
    customer = Customer.objects.filter(pk=pk).first()
    if customer is None:
        return None
    builds = Build.objects.order_by("-number")
    hilts = Hilt.objects.filter(customer=customer).order_by("name_folded", "pk")
    said = Message.objects.filter(customer=customer).select_related("customer")
    return Person(
        customer=customer,
        hilts=list(hilts.prefetch_related(Prefetch("builds", queryset=builds, to_attr="rows"))),
        blades=blades_of(pk),
        orders=[*iter(_open_first(Q(customer=customer)))],
        messages=list(said.order_by("-made_at", "-pk")[:10]),
    )


@dataclass(frozen=True)
class OwnPage:
    """The page of a finished hilt: its link, if one was made, and the address that opens it."""

    hilt: Hilt
    link: PrivateLink | None
    url: str | None


def own_pages(hilts: Iterable[Hilt], shop: House) -> list[OwnPage]:
    """The pages of those hilts that were finished once; ``rows`` are a hilt's builds."""
    finished = [
        hilt
        for hilt in hilts
        if any(build.state in FINISHED for build in hilt.rows)  # type: ignore[attr-defined]
    ]
    links = links_to(hilt.about for hilt in finished)
    return [OwnPage(h, links.get(h.about), url_of(links.get(h.about), shop)) for h in finished]
