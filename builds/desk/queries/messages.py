"""Reads messages by where they stand, and what each of them is about."""

from collections.abc import Iterable

from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build
from shop.orders.models import Order
from shop.people.models import Customer
from shop.post.models import Message, State
from shop.post.queries import messages

# Tab → its words, and the states that it shows.
TABS = {
    "waiting": (_("Waiting"), (State.QUEUED,)),
    "failed": (_("Failed"), (State.FAILED,)),
    "left": (_("Left"), (State.SENT, State.LOGGED)),
    "received": (_("Received"), (State.RECEIVED,)),
    "withdrawn": (_("Withdrawn"), (State.WITHDRAWN,)),
}
Subject = Build | Order | Customer


def messages_in(tab: str) -> QuerySet[Message]:
    """The messages of a tab, the newest first."""
    _words, states = TABS[tab]
    return messages().filter(state__in=states)


def subjects(found: Iterable[Message]) -> dict[str, Subject]:
    """What messages are about: key, as ``build:142`` → the build, order or customer itself."""
    keys = {message.about for message in found}
    builds = Build.objects.filter(pk__in=_ids(keys, "build")).select_related("hilt")
    orders = Order.objects.filter(pk__in=_ids(keys, "order"))
    people = Customer.objects.filter(pk__in=_ids(keys, "customer"))
    known: dict[str, Subject] = {build.about: build for build in builds}
    known |= {f"order:{order.pk}": order for order in orders}
    return known | {f"customer:{person.pk}": person for person in people}


def _ids(keys: Iterable[str], kind: str) -> list[int]:
    parts = (key.partition(":") for key in keys)
    return [int(number) for name, _colon, number in parts if name == kind and number.isdecimal()]
