"""Reads messages by where they stand, and what each of them is about."""

from collections.abc import Iterable

from django.db.models import Q
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.progress.models import Build
from builds.progress.states import STAGES
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.orders.models import Order
from shop.people.models import Customer
from shop.post.models import Message, State
from shop.post.queries import messages, open_questions
from shop.post.wording import Text
from shop.web.dated import dated
from shop.web.paging import NewestOfSeveral

# Tab → its words, and the states that it shows.
TABS = {
    "waiting": (gettext_lazy("Waiting"), (State.QUEUED,)),
    "failed": (gettext_lazy("Failed"), (State.FAILED,)),
    "left": (gettext_lazy("Left"), (State.SENT, State.LOGGED)),
    "received": (gettext_lazy("Received"), (State.RECEIVED,)),
    "withdrawn": (gettext_lazy("Withdrawn"), (State.WITHDRAWN,)),
}
Subject = Build | Order | Customer


def messages_in(tab: str) -> NewestOfSeveral:
    """The messages of a tab, the newest first."""
    _words, states = TABS[tab]
    return NewestOfSeveral(messages(), [Q(state=state) for state in states], "made_at")


def unanswered(found: Iterable[Message]) -> set[int]:
    """The ids of those questions that still wait for an answer."""
    ids = [message.pk for message in found]
    return set(open_questions().order_by().filter(pk__in=ids).values_list("pk", flat=True))


def said_about(customer_pk: int | None) -> list[tuple[str, str]]:
    """What a talk may have been about: key and words; for everyone, the open builds alone."""
    found = Build.objects.select_related("hilt", "item__order__customer").order_by("-number")
    if customer_pk is None:
        return [_choice(build) for build in found.filter(state__in=STAGES)]
    customer = Customer.objects.filter(pk=customer_pk).first()
    if customer is None:
        return []
    of_theirs = [_choice(build) for build in found.filter(item__order__customer=customer)[:30]]
    orders = Order.objects.filter(customer=customer).order_by("-placed_at")[:10]
    of_orders = [(f"order:{order.pk}", _("Order %s") % order.number) for order in orders]
    in_general = _("%s, about something else") % customer.called
    return [*of_theirs, *of_orders, (f"customer:{customer.pk}", in_general)]


def answer_text(question: Message, shop: House) -> Text:
    """What an answer opens with: the question, quoted, and room for the words above it."""
    with speaking_as(shop, question.customer.language if question.customer else ""):
        who = question.customer.called if question.customer else ""
        asked = dated(localtime(question.made_at), "in year")
        parts = (
            _("Hello %s,") % who,
            "",
            _("On %s you asked:") % asked,
            "\n".join(f"> {line}".rstrip() for line in question.body.splitlines()),
            _("Your page, always up to date: $link"),
            _("Kind regards\n%s") % shop.name,
        )
        subject = _("Your question of %s") % asked
        return Text(subject, "\n\n".join(parts) + "\n")


def _choice(build: Build) -> tuple[str, str]:
    name = build.hilt or build.get_kind_display()
    return build.about, f"{build.item.order.customer.called} · {name} {build}"


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
